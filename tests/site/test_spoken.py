"""What a screen reader says of each kind of chart, as the browser hands it over, and by which keys.

The words are read off the browser's own tree for assistive technology, not off our files.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import NamedTuple

import pytest
from playwright.sync_api import Page, expect

from specgen.analysis.sheet import Sheet
from specgen.archive.model.build import Archive
from tests.site.conftest import DESK, Visit
from tests.site.kinds import KINDS, first, ladder

pytestmark = pytest.mark.browser


class Said(NamedTuple):
    """A drawing as it is read out: its name, and what is told beyond it."""

    name: str
    more: str


def said(page: Page) -> list[Said]:
    """All drawings and pictures that have words, folds opened, in the page's order."""
    page.evaluate("document.querySelectorAll('details').forEach(it => { it.open = true; })")
    session = page.context.new_cdp_session(page)
    nodes = session.send("Accessibility.getFullAXTree")["nodes"]
    session.detach()
    images = [it for it in nodes if it.get("role", {}).get("value") == "image"]
    told = [Said(*(it.get(key, {}).get("value", "") for key in ("name", "description")))
            for it in images if not it.get("ignored")]  # fmt: skip
    return [it for it in told if it.name and it.name != "logo"]


def mapped(archive: Archive) -> str:
    """The page of a blower with a measured map."""
    return f"blowers/{next(it.id for it in archive.blowers.values() if it.map is not None)}/"


#: By kind of page: what must be said of each drawing there, in its own order. A figure has both
#: systems of units; what lies between parts is left open.
_N = r"−?[\d.]+ ?"
_BOTH = rf"{_N}(kW|kPa|N·m) \({_N}(hp|psi|lb·ft)\)"
CHARTS: dict[str, tuple[str, ...]] = {
    "ladder": (
        rf"^Power and torque over engine speed, at the flywheel, corrected to ISO 1585\. "
        rf"Power, .+?, corrected: highest {_BOTH} ± {_N}kW at {_N}rpm\. Torque, ",
        rf"^Boost and power against drive ratio; dots are measured.+Ratio [\d.]+: boost {_BOTH} "
        rf"± {_N}kPa, power {_BOTH} ± {_N}kW\..+Measured at [\d.]+: boost {_BOTH}.+"
        r"The limit of boost is reached at a ratio of [\d.]+\.",
        r"^The way of the air, station by station, pressure absolute\. Air outside: "
        r"[\d.]+ kPa \([\d.]+ psi\), \d+ °C \(\d+ °F\), estimated\..+Manifold: ",
        r"^The belt's path drawn to scale.+Blower: [\d.]+ mm \([\d.]+ in\), wrap \d+°",
        r"^Valve lift over crank angle.+Intake: opens at \d+° before top dead centre and closes",
        r"^Valve events around the crank's circle.+Exhaust opens [\d.]+° before bottom dead",
    ),
    "readings": (
        r"^Power and torque over engine speed, at the flywheel, as observed, not corrected\.",
        r"^Mixture over engine speed\. Lambda .+: highest [\d.]+ at \d+ rpm",
        r"^Temperatures over engine speed\..+highest \d+ °C \(\d+ °F\) at \d+ rpm",
        r"^Blower and inlet over engine speed\. Blower speed, .+: highest \d+ rpm at \d+ rpm",
    ),
    "misfit": (
        r"^Power and torque over engine speed",
        r"^Boost and power against drive ratio",
        rf"^Boost over engine speed.+Boost, Measured: highest {_BOTH}.+From the other setups, "
        rf"estimated: highest {_BOTH}",
    ),
    "plan": (rf"^Boost and power against drive ratio.+power {_BOTH}", r"^The belt's path"),
    "compare": (
        rf"^Curves over engine speed\. power: A, .+?, up to {_N}kW or {_N}hp, B, .+"
        rf"torque: A, .+boost: A, .+?, up to {_N}kPa or {_N}psi",
    ),
    "estimate": (
        rf"^Estimated bands over engine speed\. Power: highest at .+ rpm, {_N}to {_N}kW or {_N}to "
        rf"{_N}hp\. Torque: .+ Boost: ",
    ),
    "accuracy": (
        rf"^Dots along a scale of misses\. Boost, of absolute manifold pressure: \d+ setups from "
        rf"{_N}% to \+{_N}%, half within {_N}%, nine in ten within {_N}%\..+Power: \d+ setups",
    ),
    "map": (
        r"^Estimated bands over engine speed",
        rf"^Blower speed against engine speed.+: ratio [\d.]+, \d+ rpm at {_N}rpm\.",
        rf"^Pressure ratio against air flow.+At \d+ rpm: {_N}kg/min \({_N}lb/min\) to .+, ratio "
        r"[\d.]+ to [\d.]+\.",
        rf"^Boost against drive ratio, a line an engine size\. [\d.]+ L: {_BOTH} at [\d.]+ to .+"
        rf"Measured, .+: ratio [\d.]+, {_BOTH}\.",
    ),
}  # fmt: skip
PATHS: dict[str, Callable[[Archive], str]] = {**KINDS, "map": mapped}


@pytest.mark.parametrize("kind", CHARTS)
def test_each_chart_is_told_with_its_figures(kind: str, visit: Visit, archive: Archive) -> None:
    """The finding as its name, once; then what it shows, in sentences with figures and units."""
    page = visit(viewport=DESK).open(PATHS[kind](archive))
    expect(page.locator(".md-content svg[role='img']").first).to_be_attached()
    told = [it for it in said(page) if it.more or it.name.endswith(".")]
    whole = [it.more or it.name for it in told]
    missing = [it for it in CHARTS[kind] if not any(re.search(it, words) for words in whole)]
    assert missing == [], whole
    for name, more in told:
        assert (more or name).endswith(".")
        assert not more or more not in name, "read out twice"
        assert not re.search(r"\bnan\b|undefined|\bNone\b|  |\d\u202f\d", name + more)


def test_each_drawing_has_words(visit: Visit, archive: Archive) -> None:
    """On every kind of page above a drawing that says nothing is decoration, and told as such."""
    watched = visit(viewport=DESK)
    silent = {}
    for kind in (*CHARTS, "home", "builds", "find", "years"):
        page = watched.open(PATHS[kind](archive))
        silent[kind] = page.evaluate(
            """() => [...document.querySelectorAll('.md-content svg')]
              .filter(it => !it.closest('[aria-hidden=true]')
                && !it.closest('.headerlink, .md-content__button'))
              .filter(it => !it.getAttribute('aria-label')
                && !(it.getAttribute('aria-labelledby') ?? '').split(' ')
                  .every(id => document.getElementById(id)?.textContent.trim()))
              .map(it => it.outerHTML.slice(0, 80))"""
        )
    assert {kind: found for kind, found in silent.items() if found} == {}


def test_words_are_the_sheets_figures(
    visit: Visit, archive: Archive, sheets: dict[str, Sheet]
) -> None:
    """What is read out of a sheet's first chart is the power that its headline prints."""
    path = first(archive, ladder)
    best = sheets[path.split("/")[1]].best
    assert best is not None
    power = best.rows["power"]
    words = next(it.more for it in said(visit().open(path)) if it.more.startswith("Power and"))
    for system in ("metric", "imperial"):
        text = power.quantity.text(power.scalar, system, power.expanded).replace("\u202f", " ")
        assert text in words, (text, words)


#: By kind of page: the table that says what a chart shows, and words of a line of it.
TABLES = {
    "plan": ("Every pair, and what stops it", r"ratio|kPa"),
    "accuracy": ("Predictions against measurements", r"kPa"),
    "map": ("Pulley pairs", r"rpm"),
    "estimate": ("Every pair of pulleys, estimated", r"kPa"),
    "ladder": ("Setups", r"kPa"),
}


@pytest.mark.parametrize("kind", TABLES)
def test_each_chart_has_its_table(kind: str, visit: Visit, archive: Archive) -> None:
    """Who reads no drawing gets its figures line by line, reached by the tabulator."""
    page = visit(viewport=DESK).open(PATHS[kind](archive))
    page.evaluate("document.querySelectorAll('details').forEach(it => { it.open = true; })")
    label, words = TABLES[kind]
    frame = page.locator(f".sg-scroll[aria-label^='{label}']").first
    expect(frame).to_be_visible()
    assert frame.get_attribute("tabindex") == "0"
    rows = frame.locator("tbody tr")
    assert rows.count() > 1
    assert re.search(words, rows.first.inner_text())


@pytest.mark.parametrize("kind", ["ladder", "compare", "misfit", "turbocharged"])
def test_a_curve_is_read_by_keys_alone(kind: str, visit: Visit, archive: Archive) -> None:
    """The slider is reached and moved by keys; what it says has each curve with its unit."""
    page = visit(viewport=DESK).open(KINDS[kind](archive))
    slider = page.get_by_role("slider", name=re.compile("Read at|Engine speed of the read-out"))
    slider.focus()
    before = slider.input_value()
    page.keyboard.press("ArrowLeft")
    expect(slider).to_have_attribute("aria-valuetext", re.compile(r"rpm: .+(kW|kPa)"))
    assert slider.input_value() < before
    expect(page.locator(".sg-compare-read, .sg-read").locator("tbody tr").first).to_be_visible()
