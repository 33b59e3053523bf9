"""The test-day card on paper: a ladder of four on one page, with every field and stop."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from specgen.analysis.planning.card import BEFORE, DAY, MOST, PULL, Card, card_of
from specgen.archive.archive import read_archive
from specgen.publish.planned.card_text import AT_ONCE
from specgen.publish.plugin import build_site
from tests.site.conftest import ROOT, Visit, served, visitor
from tests.site.kinds import analysed
from tests.site.paper.printing import CUT, WIDTH, printed

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("poppler")]

CONFIG = """\
site_name: Shop
site_url: https://shed.test/a-long-way/
theme: {name: material, font: false}
plugins: [specgen]
"""
#: Builds that have much on a card: limits, belts, long titles; a blower of each kind among them.
BUILDS = ("lark-hydroplane", "narrow-gauge-railcar", "plover-sprint", "saddle-three-wheeler")
#: A card's margins are 3 mm narrower on either side than a sheet's [px].
_WIDER = round(2 * 3 / 25.4 * 96)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's builds with a ladder of four setups to be run, as a site of their own."""
    folder = tmp_path_factory.mktemp("cards")
    (folder / "docs").mkdir()
    (folder / "docs/index.md").write_text("# Home\n", encoding="utf-8")
    (folder / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    shutil.copytree(ROOT / "builds", folder / "builds")
    for name in [it.name for it in (folder / "builds").iterdir() if it.is_dir()]:
        if name not in (*BUILDS, "blowers"):
            shutil.rmtree(folder / "builds" / name)
    for name, sheet in analysed(ROOT / "builds").items():
        if name in BUILDS and sheet.lead is not None:
            size = sheet.lead.rows["blower_pulley"].scalar
            planned = sum(it.planned for it in sheet.setups)
            _plan(folder / "builds" / name / "build.yaml", size, MOST - planned)
    return folder


def _plan(file: Path, size: float, count: int) -> None:
    """Write so many smaller pulleys under a build's setups."""
    sizes = [1e3 * size * 0.97 ** (step + 3) for step in range(count)]
    lines = "".join(
        f'  - {{id: card-{at}, title: "To be tried, {mm:.1f} mm on E85", '
        f"blower_pulley: {mm:.1f} mm, fuel: e85}}\n"
        for at, mm in enumerate(sizes)
    )
    text = file.read_text("utf-8")
    assert "\nsetups:\n" in text
    file.write_text(text.replace("\nsetups:\n", f"\nsetups:\n{lines}", 1), encoding="utf-8")


@pytest.fixture(scope="module")
def cards(shop: Path) -> dict[str, Card]:
    """The card of each build."""
    archive = read_archive(shop / "builds")
    assert [it for it in archive.findings if it.severity == "error"] == []
    return {name: card_of(it, it.plan) for name, it in analysed(shop / "builds").items()}


@pytest.fixture(scope="module")
def home(shop: Path) -> Iterator[str]:
    """Where that site is served."""
    with served(build_site(shop / "mkdocs.yml")) as address:
        yield address


@pytest.fixture
def opened(browser: Browser, home: str) -> Iterator[Visit]:
    """Open pages of that site."""
    with visitor(browser, home) as visit:
        yield visit


@pytest.mark.parametrize("paper", WIDTH)
def test_a_ladder_of_four_is_one_page(
    paper: str, cards: dict[str, Card], opened: Visit, tmp_path: Path
) -> None:
    """Workshop, build, checks, each setup with where to stop, every field: on one page, not cut."""
    width = WIDTH[paper] + _WIDER
    watched = opened(viewport={"width": width, "height": 1000}, color_scheme="dark")
    assert set(cards) == set(BUILDS)
    for name, card in cards.items():
        assert len(card.steps) == MOST, name
        page = watched.open(f"builds/{name}/card/")
        pages = printed(page, tmp_path / "card.pdf", paper)
        assert len(pages) == 1, f"{name}: {len(pages)} pages"
        whole = " ".join(pages[0].split())
        wanted = [
            card.sheet.archive.settings.name.value,
            *(f"{at}. {step.setup.title}" for at, step in enumerate(card.steps, 1)),
            *BEFORE,
            AT_ONCE,
        ]
        assert [it for it in wanted if " ".join(it.split()) not in whole] == [], name
        assert whole.count("Stop at") == MOST
        for fields, times in ((DAY, 1), (PULL, MOST)):
            short = [title for _, title in fields if whole.count(title) < times]
            assert short == [], (name, short)
        page.emulate_media(media="print")
        assert page.evaluate(CUT, width) == [], name
