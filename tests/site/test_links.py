"""Every page that should be there is there, and every link in it leads somewhere."""

from __future__ import annotations

import json
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urldefrag, urljoin, urlsplit

import pytest

from specgen.analysis.sheet import analyse
from specgen.archive.model.build import Archive
from specgen.archive.published import published
from specgen.publish import addresses
from specgen.publish.plan.pages import plan_pages

HOST = "http://site.test/"


class Page(HTMLParser):
    """The ids and links of one HTML page, and attributes that a strict policy would block."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.styled: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Collect what one element carries."""
        for name, value in attrs:
            if name == "id" and value:
                self.ids.append(value)
            elif name in ("href", "src") and value and tag != "base":
                self.links.append(value)
            elif name == "style" or name.startswith("on"):
                self.styled.append(f"{tag} {name}")


@pytest.fixture(scope="module")
def pages(built_site: Path) -> dict[str, Page]:
    """Every HTML page of the site by its path."""
    return {
        file.relative_to(built_site).as_posix(): Page(file.read_text("utf-8"))
        for file in sorted(built_site.rglob("*.html"))
    }


def targets(path: str, page: Page) -> Iterator[tuple[str, str, str]]:
    """Links of a page within the site: as written, path of the file, anchor."""
    for link in page.links:
        whole, anchor = urldefrag(urljoin(HOST + path.removesuffix("index.html"), link))
        if whole.startswith(HOST):
            file = unquote(urlsplit(whole).path).lstrip("/")
            yield link, file + ("index.html" if file == "" or file.endswith("/") else ""), anchor


def test_every_link_leads_to_a_file(pages: dict[str, Page], built_site: Path) -> None:
    """No link, style, script or picture of any page points to nothing."""
    lost = [
        f"{path}: {link}"
        for path, page in pages.items()
        if path != "404.html"
        for link, file, _ in targets(path, page)
        if not (built_site / file).is_file()
    ]
    assert lost == []


def test_every_anchor_is_there(pages: dict[str, Page]) -> None:
    """A link into a page names an id that the page has."""
    lost = [
        f"{path}: {link}"
        for path, page in pages.items()
        if path != "404.html"
        for link, file, anchor in targets(path, page)
        if anchor and file in pages and unquote(anchor) not in pages[file].ids
    ]
    assert lost == []


def test_ids_are_unique(pages: dict[str, Page]) -> None:
    """No id stands twice on a page, those inside drawings included."""
    twice = {
        path: sorted({name for name in page.ids if page.ids.count(name) > 1})
        for path, page in pages.items()
        if len(set(page.ids)) != len(page.ids)
    }
    assert twice == {}


def test_no_link_leaves_the_site(pages: dict[str, Page]) -> None:
    """Nothing of the demo site points to another host."""
    away = [link for page in pages.values() for link in page.links if "//" in link]
    assert away == []


def test_no_style_attribute_or_handler(pages: dict[str, Page]) -> None:
    """The policy blocks them, so no page carries one."""
    assert {path: page.styled for path, page in pages.items() if page.styled} == {}


#: Pages that are written by hand.
BY_HAND = ["write/", "write/notebook/", "guides/first-build/", "guides/import/", "guides/correct/",
           "guides/pulley/", "guides/publish/"]  # fmt: skip


def chosen_drives(archive: Archive) -> Iterator[str]:
    """Where the drives of the builds that have a choice are planned, and their test-day cards."""
    for sheet in analyse(published(archive)).values():
        yield from (addresses.served(it) for it, _, _ in plan_pages(sheet, "metric", folders=True))


def read_off(archive: Archive) -> Iterator[str]:
    """The builds of which a page of all readings stands: those that a curve was logged of."""
    for build in published(archive).builds.values():
        pulls = (pull for session in build.sessions for pull in session.pulls)
        if any(it.curve is not None and it.withdrawn is None for it in pulls):
            yield build.id


def test_pages_are_those_of_the_archive(pages: dict[str, Page], archive: Archive) -> None:
    """Each build, blower and former id has its page, and nothing else is there."""
    wanted = {
        *("404.html", *(f"{address}index.html" for address in BY_HAND)),
        *(f"{address}index.html" for address in chosen_drives(archive)),
        *(f"{addresses.served(address)}index.html" for address in addresses.PAGES),
        *(f"builds/{name}/index.html" for name in archive.builds),
        *(f"builds/{name}/figures/index.html" for name in archive.builds),
        *(f"builds/{name}/readings/index.html" for name in read_off(archive)),
        *(f"blowers/{name}/index.html" for name in archive.blowers),
        *(
            f"builds/{former.value}/{page}index.html"
            for build in archive.builds.values()
            for former in build.formerly
            for page in ("", "figures/")
        ),
    }
    assert set(pages) == wanted


def test_every_sheet_offers_its_data(built_site: Path, archive: Archive) -> None:
    """Beside each sheet lie its figures as JSON, its YAML and its curves."""
    for name, build in archive.builds.items():
        folder = built_site / "builds" / name
        figures = json.loads((folder / "sheet.json").read_text("utf-8"))
        assert figures["id"] == name
        assert (folder / "build.yaml").read_text("utf-8") == archive.sources[f"{name}/build.yaml"]
        for session in build.sessions:
            for pull in session.pulls:
                if pull.curve_file is not None:
                    assert (folder / pull.curve_file.value).is_file()


def test_schemas_are_published(built_site: Path) -> None:
    """The schemas that the files name are there to read."""
    for name in ("archive", "blower", "build"):
        text = (built_site / "schemas" / f"{name}.schema.json").read_text("utf-8")
        assert json.loads(text)["$schema"].endswith("2020-12/schema")


def test_former_address_leads_to_the_build(built_site: Path, archive: Archive) -> None:
    """An old link finds the build without a script."""
    formers = [
        (former.value, build.id) for build in archive.builds.values() for former in build.formerly
    ]
    assert formers, "the demo archive shows no former id any more"
    for former, name in formers:
        for page, up in (("", ""), ("figures/", "../")):
            text = (built_site / "builds" / former / page / "index.html").read_text("utf-8")
            assert f'content="0; url={up}../{name}/{page}"' in text
            assert f'href="{up}../{name}/{page}"' in text
            assert "<script" not in text
