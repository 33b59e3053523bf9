"""Editions of the demo in a repository of its own: each rebuilt, and links between them whole."""

from __future__ import annotations

import random
import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.parse import unquote, urlsplit

from specgen.publish.plugin import build_editions
from tests.archive.repository import begun, commit_all, git

ROOT = Path(__file__).parents[2]
_LINK = re.compile(r"""\b(?:href|src)=["']([^"']+)["']""")
_SETTINGS = """\
site_name: Editions
docs_dir: pages
site_dir: ../../site
theme: mkdocs
plugins: [specgen: {cache: ../../cache}]
"""


def prove(count: int, chance: random.Random, tell: Callable[[str], None]) -> list[str]:
    """Tag `count` states of the demo, rename a build after the last, and build all of them."""
    with TemporaryDirectory(prefix="specgen-editions-") as name:
        folder = Path(name).resolve()
        shop = begun(folder / "shop")
        has = _written(shop, count, chance)
        site = build_editions(shop / "source" / "mkdocs.yml")
        tell(f"{count} editions, {sum(map(len, has.values()))} sheets in them")
        return [*_unlike(site, has), *_broken(site)]


def _written(shop: Path, count: int, chance: random.Random) -> dict[str, set[str]]:
    """Write the history: a few builds more with each tag; give the builds of each."""
    builds = shop / "builds"
    shutil.copytree(ROOT / "builds" / "blowers", builds / "blowers")
    shutil.copy(ROOT / "builds" / "archive.yaml", builds)
    (shop / "source" / "pages").mkdir(parents=True)
    (shop / "source" / "pages" / "index.md").write_text("# Home\n\n<!-- specgen: builds -->\n")
    (shop / "source" / "mkdocs.yml").write_text(_SETTINGS)
    left = [it.parent.name for it in sorted((ROOT / "builds").glob("*/build.yaml"))]
    chance.shuffle(left)
    has: dict[str, set[str]] = {}
    for number in range(count):
        take = len(left) if number == count - 1 and count > 3 else min(2, len(left))
        for build in [left.pop() for _ in range(take)]:
            shutil.copytree(ROOT / "builds" / build, builds / build)
        commit_all(shop, f"More of the {number}th year", f"{2020 + number}-05-01")
        git(shop, "tag", f"{2020 + number}/spring")
        has[f"{2020 + number}-spring"] = {it.parent.name for it in builds.glob("*/build.yaml")}
    old = min(has[f"{2019 + count}-spring"])
    git(shop, "mv", f"builds/{old}", "builds/renamed")
    file = builds / "renamed" / "build.yaml"
    text = re.sub(r"^formerly:.*\n", "", file.read_text("utf-8"), flags=re.MULTILINE)
    file.write_text(text.replace("engine:\n", f"formerly: [{old}]\nengine:\n", 1), "utf-8")
    commit_all(shop, "Another name", f"{2020 + count}-05-01")
    return has


def _unlike(site: Path, has: dict[str, set[str]]) -> Iterator[str]:
    """Editions that have other builds than their tag, and sheets that do not name theirs."""
    if {it.name for it in (site / "editions").iterdir()} != set(has):
        yield "the folders of the editions are not the tags"
    for folder, builds in has.items():
        there = {
            it.parent.name for it in (site / "editions" / folder / "builds").glob("*/sheet.json")
        }
        if there - {"ferry-flat-four"} != builds:
            yield f"{folder} has {sorted(there ^ builds)} too much or too little"
        first = (site / "editions" / folder / "builds" / min(builds) / "index.html").read_text(
            "utf-8"
        )
        if f"Edition {folder.replace('-', '/', 1)}" not in first:
            yield f"a sheet of {folder} does not say so"
    renamed = (site / "builds" / "renamed" / "index.html").read_text("utf-8")
    last = list(has)[-1]
    if f"editions/{last}/builds/" not in renamed:
        yield "a renamed build does not name the editions that it stood in"


def _broken(site: Path) -> Iterator[str]:
    """Links of any page that lead to no file of the site."""
    for page in site.rglob("*.html"):
        for link in _LINK.findall(page.read_text("utf-8")):
            parts = urlsplit(link)
            if parts.scheme or parts.netloc or not parts.path:
                continue
            base = site if parts.path.startswith("/") else page.parent
            target = (base / unquote(parts.path).lstrip("/")).resolve()
            if not target.is_relative_to(site) or not (
                target.is_file() or (target / "index.html").is_file()
            ):
                yield f"{page.relative_to(site)} leads to {link}, which is not there"
