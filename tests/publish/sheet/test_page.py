"""A sheet's page: its parts in order, where there is something to say, each figure traceable."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from itertools import pairwise

import pytest

from specgen.analysis.words import MEASURING_POINTS
from specgen.archive.model.build import Archive, Build
from specgen.publish.making.item import Item
from specgen.publish.site import Site
from specgen.publish.typesetting.cautions import CAUTIONS
from specgen.vocabulary import System
from tests.publish.pages import text_of

#: The order of a sheet's parts, as a reader meets them.
ORDER = (
    "Power and torque",
    "Boost",
    "The ladder of setups",
    "The setup",
    "Near its limits",
    "What disagrees with the others",
    "Choosing the drive",
    "The way of the air",
    "The record",
    "How it was tested",
    "Beyond the dyno",
    "How we know",
    "What changed in its figures",
    "Data to take away",
    "Cautions",
)


def sheet(items: dict[str, Item], build: Build) -> str:
    """The Markdown of a build's sheet."""
    return str(items[f"builds/{build.id}/index.md"].content)


def known(items: dict[str, Item], build: Build) -> str:
    """The Markdown of the page that tells where a sheet's figures come from."""
    return str(items[f"builds/{build.id}/figures/index.md"].content)


def headings(page: str) -> list[str]:
    """The headings of the second level."""
    return re.findall(r"^## (.*)$", page, re.MULTILINE)


def test_parts_stand_in_their_order(items: dict[str, Item], archive: Archive) -> None:
    """Every sheet has its parts in the one order, none twice."""
    for build in archive.builds.values():
        found = headings(sheet(items, build))
        assert found == [part for part in ORDER if part in found], build.id
        for always in ("The record", "How we know", "Cautions"):
            assert always in found


def test_parts_stand_only_where_there_is_something_to_say(
    items: dict[str, Item], archive: Archive
) -> None:
    """A natural engine has no way of boosted air; what was never tested has no curve."""
    for build in archive.builds.values():
        found = headings(sheet(items, build))
        if build.induction.natural is not None:
            assert "The way of the air" not in found
            assert "Boost" not in found
        if not build.sessions:
            assert "Power and torque" not in found
            assert "Not tested yet" in sheet(items, build)


def test_every_figure_leads_to_its_line(items: dict[str, Item], archive: Archive) -> None:
    """Each link of a figure, and of each input behind it, names a line on the page of figures."""
    for build in archive.builds.values():
        page = html.unescape(known(items, build))
        links = set(re.findall(r'href="figures/#(row-[^"]*)"', sheet(items, build)))
        inputs = set(re.findall(r'href="#(row-[^"]*)"', page))
        lines = re.findall(r'id="(row-[^"]*)"', page)
        assert links, build.id
        assert links | inputs <= set(lines), build.id
        assert len(lines) == len(set(lines)), build.id
        assert 'id="row-' not in sheet(items, build), build.id


def test_every_line_says_where_its_figure_comes_from(
    items: dict[str, Item], archive: Archive
) -> None:
    """Behind each figure stands a formula, a place in a file, or a source in words.

    Each equation stands once on a page, with one of the figures that its formula gives.
    """
    for build in archive.builds.values():
        bodies = re.findall(r'id="row-[^"]*">(.*?)</div></details>', known(items, build), re.DOTALL)
        assert bodies
        formulas = [re.search(r"method/#([\w.-]+)", body) for body in bodies]
        pairs = zip(formulas, bodies, strict=True)
        shown = [formula[1] for formula, body in pairs if formula and "sg-equation" in body]
        assert len(shown) == len(set(shown)), build.id
        for formula, body in zip(formulas, bodies, strict=True):
            explained = formula is not None and formula[1] in shown
            told = explained or re.search(r"line \d+|sg-note|the same figures", body)
            assert told, f"{build.id}: {body}"


def test_places_are_lines_of_the_file(items: dict[str, Item], archive: Archive) -> None:
    """A quoted text stands in the named file at the named line."""
    quoted = re.compile(r"Written in (\S+) line (\d+) as “([^”]*)”")
    seen = 0
    for build in archive.builds.values():
        for file, line, text in quoted.findall(text_of(known(items, build))):
            source = archive.sources[file].splitlines()[int(line) - 1]
            assert text.split(" at ")[0] in source, f"{file}:{line}"
            seen += 1
    assert seen > 200


def test_power_never_stands_without_its_measuring_point(
    items: dict[str, Item], archive: Archive
) -> None:
    """Beneath the headline power stands where on the drive line it was measured."""
    for build in archive.builds.values():
        page = sheet(items, build)
        cells = re.findall(
            r"<dt>(Power[^<]*)</dt>(.*?)</div>", page.partition("\n## ")[0], re.DOTALL
        )
        assert bool(cells) == bool(build.sessions), build.id
        for title, cell in cells:
            said = text_of(cell)
            assert any(words in said for words in MEASURING_POINTS.values()), f"{build.id} {title}"


def test_absent_figures_say_why(items: dict[str, Item], archive: Archive) -> None:
    """Air that was not recorded is named as such, and what would need it gives the reason."""
    unrecorded = [
        build
        for build in archive.builds.values()
        for session in build.sessions
        if session.air.humidity is None
    ]
    assert unrecorded
    for build in unrecorded:
        assert "not recorded" in text_of(sheet(items, build)), build.id


def test_invented_data_is_said_on_every_sheet(items: dict[str, Item], archive: Archive) -> None:
    """The line of facts says so, and so does the foot of every page."""
    assert archive.settings.invented is not None
    for build in archive.builds.values():
        assert "invented data" in text_of(sheet(items, build)).partition("## ")[0]


def test_planned_setups_look_planned(items: dict[str, Item], archive: Archive) -> None:
    """A setup without a pull carries the word, not the colour alone."""
    for build in archive.builds.values():
        tested = {pull.setup.value for session in build.sessions for pull in session.pulls}
        planned = [setup for setup in build.setups if setup.id.value not in tested]
        page = sheet(items, build)
        ladder = re.search(r'<table class="sg-table sg-ladder">.*?</table>', page, re.DOTALL)
        if ladder is not None:
            assert ladder.group().count(">planned</span>") == len(planned), build.id


def test_neighbours_lead_through_all_builds(items: dict[str, Item], archive: Archive) -> None:
    """From the first build, next leads through every build in order."""
    ids = list(archive.builds)
    for here, after in pairwise(ids):
        assert f'rel="next" class="sg-next" href="../{after}/"' in sheet(
            items, archive.builds[here]
        )
        assert f'rel="prev" href="../{here}/"' in sheet(items, archive.builds[after])


def test_cautions_fit_the_build(items: dict[str, Item], archive: Archive) -> None:
    """Belt guards where there is a belt, alcohol where it is burnt, estimates where one stands."""
    for build in archive.builds.values():
        cautions = sheet(items, build).partition("## Cautions")[2]
        belt = CAUTIONS["rotating-parts"].line in html.unescape(cautions)
        assert belt == (build.induction.blower is not None), build.id
        fuels = [setup.fuel for setup in build.setups if setup.fuel is not None]
        alcohol = any(
            fuel.ethanol or fuel.methanol or (fuel.name and fuel.name.value in ("e85", "methanol"))
            for fuel in fuels
        )
        if alcohol:
            assert CAUTIONS["alcohol-fuel"].line in html.unescape(cautions), build.id


def test_printed_sheet_names_its_address(archive: Archive) -> None:
    """Paper cannot be clicked: the sheet's own address stands on it."""
    build = archive.builds["irrigation-pump"]
    alone = Site(replace(archive, builds={build.id: build}), site_url="https://shed.test/")
    pages = {item.address: item for item in alone.made[build.id].items}
    assert f"https://shed.test/builds/{build.id}/" in text_of(sheet(pages, build))


@pytest.mark.parametrize("system", ["metric", "imperial"])
@pytest.mark.slow
def test_first_units_are_the_archive_s(system: System, archive: Archive) -> None:
    """The wrapper of every block names the units that show before a reader chooses."""
    from dataclasses import replace

    units = replace(archive.settings.units, value=system)
    one = dict(list(archive.builds.items())[:1])
    site = Site(replace(archive, settings=replace(archive.settings, units=units), builds=one))
    page = next(
        str(i.content) for i in site.items() if i.address.endswith(f"{next(iter(one))}/index.md")
    )
    assert f'<div class="sg sg-{system}"' in page
    other = {"metric": "imperial", "imperial": "metric"}[system]
    assert f"sg-{other}" not in page


def test_each_caution_of_the_page_has_words() -> None:
    """A caution has a line for sheets and paragraphs for its page."""
    for caution in CAUTIONS.values():
        assert caution.line.endswith(".")
        assert caution.paragraphs
