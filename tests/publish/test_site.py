"""The site as plain items: complete, ordered, the same each time, and without a site engine."""

from __future__ import annotations

import datetime
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive
from specgen.findings import CODES
from specgen.publish.addresses import Links
from specgen.publish.making.item import Item
from specgen.publish.reference.pages import formulas
from specgen.publish.site import SameAddress, Site
from specgen.units import KINDS, units_of
from tests.archive.cases import lay_out
from tests.publish.conftest import BUILDS
from tests.publish.pages import digest, sheets_of

ROOT = BUILDS.parent


def test_addresses_are_unique(listed: list[Item]) -> None:
    """No two items claim one address."""
    addresses = [item.address for item in listed]
    assert len(addresses) == len(set(addresses))


def test_every_build_and_blower_has_its_items(items: dict[str, Item], archive: Archive) -> None:
    """Page, data and files of each build; a page for each blower."""
    for name in archive.builds:
        assert items[f"builds/{name}/index.md"].source == f"{name}/build.yaml"
        assert f"builds/{name}/sheet.json" in items
        assert f"builds/{name}/build.yaml" in items
    for name in archive.blowers:
        assert items[f"blowers/{name}/index.md"].source == f"blowers/{name}.yaml"


#: One without a blower, the richest record, and three kinds of blower.
DIFFERENT = ("harbour-ferry", "lark-hydroplane", "plover-sprint", "shed-test-engine")

#: Makes every item in a process of its own, says what each is, and what was imported for it.
_ELSEWHERE = """
import json, sys
from specgen.archive.archive import read_archive
from specgen.publish.site import Site
from tests.publish.pages import digest
made = [
    (item.address, digest(item))
    for item in Site(read_archive(sys.argv[1]), site_url="https://shed.test/").items()
]
engines = sorted({"mkdocs", "material", "markdown"} & set(sys.modules))
print(json.dumps({"made": made, "engines": engines}))
"""


@pytest.mark.slow
def test_items_are_the_same_each_time_without_a_site_engine(tmp_path: Path) -> None:
    """In another process: the same bytes in the same order, and neither engine nor theme."""
    root = tmp_path / "builds"
    shutil.copytree(BUILDS / "blowers", root / "blowers")
    shutil.copy(BUILDS / "archive.yaml", root)
    for name in DIFFERENT:
        shutil.copytree(BUILDS / name, root / name)
    here = [
        [item.address, digest(item)]
        for item in Site(read_archive(root), site_url="https://shed.test/").items()
    ]
    run = subprocess.run(
        [sys.executable, "-c", _ELSEWHERE, str(root)],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
        env={**os.environ, "PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo"},
    )
    assert run.returncode == 0, run.stderr
    told = json.loads(run.stdout)
    assert told["engines"] == []
    assert len(here) > 20
    assert [one for one in here if one not in told["made"]] == []
    assert told["made"] == here


def test_dates_come_from_the_archive(site: Site, archive: Archive) -> None:
    """The site's date is that of the newest session, not of the clock."""
    newest = max(s.date.value for build in archive.builds.values() for s in build.sessions)
    moment = datetime.datetime.fromtimestamp(site.epoch(), datetime.UTC)
    assert moment.date() == newest


def test_styles_follow_the_theme_and_not_the_system(items: dict[str, Item]) -> None:
    """A theme that stays light on a dark system must not get dark charts on its white page."""
    style = str(items["assets/specgen/specgen.css"].content)
    assert "prefers-color-scheme" not in style
    for scheme in ('[data-md-color-scheme="slate"]', '[data-bs-theme="dark"]'):
        assert style.count(scheme) >= 2, scheme


@pytest.mark.slow
def test_markers_are_filled_with_links_from_their_page(site: Site, archive: Archive) -> None:
    """The same marker on a deeper page has links that go up first."""
    name = next(iter(archive.builds))
    for address, link in (("index.md", f"builds/{name}/"), ("a/b.md", f"../../builds/{name}/")):
        filled, problems = site.fill_markers("<!-- specgen: builds -->", address)
        assert problems == []
        assert f'href="{link}"' in filled


def test_data_names_units_and_reasons(items: dict[str, Item], archive: Archive) -> None:
    """Each figure has a value with its unit, or a reason; nothing is not-a-number."""
    for name in archive.builds:
        document = json.loads(str(items[f"builds/{name}/sheet.json"].content))
        assert document["format"] == 1
        assert document["invented"] is True
        for figure in document["figures"]:
            if figure["basis"] == "absent":
                assert figure["reason"], figure
            else:
                assert figure["unit"], figure
                assert figure["value"] is not None, figure


def test_data_says_the_same_as_the_sheet(items: dict[str, Item], site: Site) -> None:
    """The headline power of a page, in kilowatts, stands in the data."""
    for name, sheet in sheets_of(site).items():
        if sheet.best is None:
            continue
        row = sheet.best.rows["power"]
        document = json.loads(str(items[f"builds/{name}/sheet.json"].content))
        values = [f["value"] for f in document["figures"] if f["key"] == row.key and "value" in f]
        assert any(abs(value - row.scalar / 1e3) < 1e-3 for value in values), name


def test_method_page_has_every_formula(items: dict[str, Item]) -> None:
    """Each formula that a sheet may link to stands on the method page with its source."""
    page = str(items["method/index.md"].content)
    for formula in formulas():
        assert f'id="{formula.anchor}"' in page, formula.name
    assert page.count("<dt>source</dt>") == len(formulas())


def test_units_page_has_the_whole_table(items: dict[str, Item]) -> None:
    """Every unit of every kind is there."""
    page = str(items["units/index.md"].content)
    assert page.count('<tr><th scope="row">') == sum(len(units_of(kind)) for kind in KINDS)


def test_findings_page_has_every_code(items: dict[str, Item]) -> None:
    """A code that a check prints can be looked up."""
    page = str(items["findings/index.md"].content)
    assert [code for code in CODES if f'id="{code}"' not in page] == []


def test_redirect_says_where_the_build_went(items: dict[str, Item], archive: Archive) -> None:
    """A former id is a page of its own, without a script."""
    for build in archive.builds.values():
        for former in build.formerly:
            page = str(items[f"builds/{former.value}/index.html"].content)
            link = Links(f"builds/{former.value}/index.md").to(f"builds/{build.id}/index.md")
            assert f"url={link}" in page
            assert "<script" not in page


@pytest.mark.parametrize(
    "second", ["builds/a/index.md", "builds/A/index.html", "Builds/a/Index.md"]
)
def test_two_items_at_one_address_are_an_error(
    second: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also where an engine or a system would make one of them: nothing replaces a page."""
    pair = [Item("builds/a/index.md", "one"), Item(second, "two")]
    monkeypatch.setattr(Site, "_in_own_units", lambda _site, _made: iter(pair))
    with pytest.raises(SameAddress, match="two files"):
        list(Site.items(object.__new__(Site)))


@pytest.mark.parametrize("day", ["0001-01-01", "1968-05-14", "2106-02-08", "9999-12-31"])
def test_any_day_gives_a_stamp_that_files_can_bear(day: str, tmp_path: Path) -> None:
    """Between 1980 and 2100, whatever a session's date; the sheet shows the date as written."""
    root = lay_out(None, tmp_path)
    file = root / "heron" / "build.yaml"
    file.write_text(file.read_text().replace("2025-05-14\n", f"{day}\n"))
    site = Site(read_archive(root))
    assert 315_532_800 <= site.epoch() <= 4_102_444_800
    (sheet,) = (it for it in site.items() if it.address == "builds/heron/index.md")
    assert sheet.date == day
