"""What a comparison says of one setup tested in several ways: honest words, from small archives."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from specgen.physics.correction import correction_factor
from specgen.publish.compare.data import build_script
from specgen.units import NARROW_SPACE
from tests.analysis import small
from tests.site.conftest import Visit

pytestmark = pytest.mark.browser


_AIR = "{pressure: 99.1 kPa, barometer: station, temperature: 27 degC, humidity: 41 %}"
_SESSION = """\
  - date: 2025-05-{day:02}
    dyno: {{kind: {kind}, measured_at: {place}}}
    figures: {figures}
    air: {air}
    pulls:
      - {{setup: p80, peaks: {{power: {power} kW at 6400 rpm, torque: {torque} N m at 4300 rpm}}}}
"""

_SAY = """async ([build, base]) => {
  const named = document.querySelector('[data-index]').dataset.index;
  const index = await specgen.data.load('builds', named);
  const items = build.pulls.map((pull, at) => ({ letter: 'ABCDE'[at], id: 'test-build', build,
    setup: build.setups[pull.setup], pull }));
  return specgen.words.sentences(items, { base, litre: false, place: '' }, index)
    .map(({ kind, text }) => [kind, text('metric')]);
}"""


@pytest.fixture
def page(visit: Visit) -> Page:
    """A page that has loaded the script."""
    return visit().open("compare/")


def session(
    day: int,
    power: float,
    figures: str = "observed",
    place: str = "flywheel",
    air: str = _AIR,
) -> str:
    """One visit to a dyno with one pull of the one setup; its torque goes with its power."""
    return _SESSION.format(
        day=day,
        power=power,
        torque=round(1.7 * power),
        figures=figures,
        place=place,
        kind={"flywheel": "engine"}.get(place, place),
        air=air,
    )


def said(
    page: Page, folder: Path, *sessions: str, base: str = "iso-1585", build: str = small.BUILD
) -> list[tuple[str, str]]:
    """Everything that a comparison of these visits says: kind and words."""
    sheet = small.sheet(folder, build + "sessions:\n" + "".join(sessions))
    script = build_script(sheet)
    data: Any = json.loads(script[script.index("{") : -3])
    found = page.evaluate(_SAY, [data, base])
    return [(kind, text.replace(NARROW_SPACE, " ")) for kind, text in found]


def difference(told: list[tuple[str, str]]) -> str:
    """The one sentence about B against A."""
    (text,) = [text for kind, text in told if kind == "difference"]
    return text


def test_one_result_reported_in_two_ways_is_one_result(page: Page, tmp_path: Path) -> None:
    """The same test, once observed and once on paper in another standard, does not differ."""
    factor = float(correction_factor("sae-j607", 99.1e3, 300.15, 0.41))
    paper = session(20, round(301 * factor, 2), f"{{corrected: sae-j607, factor: {factor:.5f}}}")
    told = said(page, tmp_path, session(14, 301), paper)
    assert "power the same, within the ±" in difference(told)
    assert not any("stand alike" in text for _, text in told)


def test_a_difference_that_the_tests_can_tell_is_told_with_both_sizes(
    page: Page, tmp_path: Path
) -> None:
    """Twelve kilowatts between two days: more than the two tests together can be off."""
    told = said(page, tmp_path, session(14, 301), session(14, 321))
    text = difference(told)
    assert "power 20 kW more, larger than the ±" in text
    assert "these two tests can tell apart" in text
    assert "torque 35 N·m more, larger than the ±26 N·m" in text  # by a digit more than ± has
    assert any(text.startswith("Like for like: all were measured at the flywheel")
               for _, text in told)  # fmt: skip


def test_a_small_difference_is_called_none(page: Page, tmp_path: Path) -> None:
    """Two kilowatts of three hundred: no test of this kind tells them apart."""
    text = difference(said(page, tmp_path, session(14, 301), session(14, 303)))
    assert "power 2 kW more, within the ±" in text
    assert "cannot tell apart" in text


def test_an_unknown_correction_is_never_set_against_a_known_one(page: Page, tmp_path: Path) -> None:
    """However far apart, and even if both are unknown."""
    told = said(page, tmp_path, session(14, 301), session(20, 401, "unknown"))
    assert difference(told) == (
        "B against A: no difference in power or torque is called, since the figures do not stand "
        "alike."
    )
    assert any("B stands as reported and not corrected to ISO 1585" in text for _, text in told)
    unknown = [session(14, 301, "unknown"), session(20, 401, "unknown")]
    assert "no difference in power or torque is called" in difference(
        said(page, tmp_path / "both", *unknown)
    )


@pytest.mark.parametrize(
    ("power", "verdict"),
    [(270, "overlap: the tests do not tell them apart"),
     (190, "lie apart whatever the drive line takes")],
)  # fmt: skip
def test_measuring_points_are_bridged_by_bands_only(
    power: float, verdict: str, page: Page, tmp_path: Path
) -> None:
    """Hub against flywheel: no difference is called, the bands tell what can be told."""
    told = said(page, tmp_path, session(14, 301), session(20, power, place="hub"))
    text = difference(told)
    assert "no difference in power or torque is called" in text
    assert verdict in text
    assert "more" not in text.partition("bands")[2]
    assert any("measured at the flywheel (A) and at the wheel hubs (B)" in it for _, it in told)
    assert any("one and the same setup" in it for _, it in told)


def test_air_that_was_not_recorded_leaves_a_figure_observed(page: Page, tmp_path: Path) -> None:
    """It says why, and is not set against one that is corrected; as observed, it is."""
    bare = session(20, 311, air="{pressure: 99.1 kPa, barometer: station}")
    told = said(page, tmp_path, session(14, 301), bare)
    assert any(text.startswith("B stands as observed and not corrected to ISO 1585: ")
               for _, text in told)  # fmt: skip
    assert "do not stand alike" in difference(told)
    observed = said(page, tmp_path, session(14, 301), bare, base="observed")
    assert "power 10 kW more" in difference(observed)


def test_boost_held_at_an_absolute_pressure_is_not_corrected_twice(
    page: Page, tmp_path: Path
) -> None:
    """As on its sheet such a figure stays observed, and says why."""
    build = small.BUILD.replace(
        "induction: {blower: test-blower,",
        "induction: {blower: test-blower, boost_control: absolute,",
    )
    told = said(page, tmp_path, session(14, 301), session(20, 321), build=build)
    assert any("A and B stand as observed and not corrected to ISO 1585: its boost is held at an "
               "absolute pressure" in text for _, text in told)  # fmt: skip
    assert "power 20 kW more" in difference(told)


def test_a_factor_outside_its_standard_is_said_to_be(page: Page, tmp_path: Path) -> None:
    """Thin, cold air: the standard does not permit its factor there."""
    thin = "{pressure: 84 kPa, barometer: station, temperature: 4 degC, humidity: 41 %}"
    told = said(page, tmp_path, session(14, 301), session(20, 255, air=thin))
    assert any("The air of B lies outside what ISO 1585 permits" in text for _, text in told)
    assert any("The air was far apart" in text for _, text in told)
