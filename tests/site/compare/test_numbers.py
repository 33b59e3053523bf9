"""The script's own arithmetic in a real browser, held to the same rules in Python."""

from __future__ import annotations

import math
import random
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Page

from specgen.publish.web.handover import figure_text, shown_units
from specgen.vocabulary import QUANTITIES, SYSTEMS, quantity
from tests.site.conftest import Visit

pytestmark = pytest.mark.browser


@pytest.fixture
def page(visit: Visit) -> Page:
    """A page that has loaded the script."""
    return visit().open("compare/")


def cases() -> list[tuple[str, float, float | None]]:
    """Values of every quantity: usual ones, tiny and large ones, exact ties, uncertainties."""
    rng = random.Random(7)
    found: list[tuple[str, float, float | None]] = []
    for key, shown in QUANTITIES.items():
        low, high = shown.plausible
        values = [rng.uniform(low, high) for _ in range(40)]
        values += [0.0, -high, low, high, 1e-12, high * 1e6]
        for system, decimals in zip(SYSTEMS, shown.decimals, strict=True):
            step = 10.0**-decimals
            ties = [(rng.randrange(-2000, 2000) + 0.5) * step for _ in range(20)]
            values += [shown.unit(system).to_si(tie) for tie in ties]
        for value in values:
            spread = abs(value) * 10 ** rng.uniform(-5, 0.5)
            found += [(key, value, None), (key, value, spread)]
    exact = [2.0, 0.2, 0.02, 1.0, 0.1, 10.0, 20.0, 0.5, 5.0, 9.5, 0.95, 1.95, 0.15]
    found += [("power", 301.5e3, size * 1e3) for size in exact]
    found += [("torque", float(half) / 8, None) for half in range(-200, 200)]
    return found


def test_figures_are_printed_by_the_same_rule_as_in_python(page: Page) -> None:
    """Over ten thousand values of every quantity read the same to the last digit."""
    wanted = cases()
    units = {key: shown_units(key) for key in QUANTITIES}
    printed = page.evaluate(
        """([cases, units]) => cases.map(([key, value, spread]) =>
             specgen.numbers.figure(units[key], value, spread ?? undefined))""",
        [wanted, units],
    )
    expected = [figure_text(quantity(key), value, spread) for key, value, spread in wanted]
    wrong = [
        (case, got, want)
        for case, got, want in zip(wanted, printed, expected, strict=True)
        if got != want
    ]
    assert len(wanted) > 10_000
    assert wrong == []


def test_a_figure_with_its_unit_reads_as_in_python(page: Page) -> None:
    """Thin spaces, degree signs and missing units are those of every other page."""
    for key, value in (("power", 192404.2), ("wrap", 2.0), ("ratio", 1.5), ("boost", -3e4)):
        for system in SYSTEMS:
            printed = page.evaluate(
                "([units, value, system]) => specgen.numbers.text(units, value, system)",
                [shown_units(key), value, system],
            )
            assert printed == quantity(key).text(value, system)


def test_written_figures_are_read_back(page: Page) -> None:
    """Number and margin of a text, and the number that the text shows."""
    read = page.evaluate(
        """() => [
          specgen.numbers.parts('192|5|258|6', 'imperial'),
          specgen.numbers.parts('7\\u202f400|40', 'imperial'),
          specgen.numbers.parts('192||258', 'metric'),
          specgen.numbers.read('\\u22121\\u202f234.5'),
          Number.isNaN(specgen.numbers.read('')),
        ]"""
    )
    assert read == [["258", "6"], ["7\u202f400", "40"], ["192", ""], -1234.5, True]


def curve(x: list[float], y: list[float | None]) -> dict[str, Any]:
    """A curve as the script holds one; None stands for a gap."""
    return {"x": x, "y": y}


_AT = """([line, speeds]) => speeds.map(speed => {
  const y = line.y.map(value => value ?? NaN);
  const found = specgen.measure.at({ x: line.x, y }, speed);
  return Number.isNaN(found) ? null : found;
})"""


def test_curves_are_read_by_straight_lines(page: Page) -> None:
    """Between readings as NumPy interpolates; beyond the ends and in a gap there is nothing."""
    rng = np.random.default_rng(3)
    x = np.sort(rng.uniform(1000, 8000, 40))
    y = rng.uniform(0, 3e5, 40)
    speeds = [*rng.uniform(x[0], x[-1], 200), *x]
    found = page.evaluate(_AT, [curve(x.tolist(), y.tolist()), [float(it) for it in speeds]])
    np.testing.assert_allclose(found, np.interp(speeds, x, y), rtol=1e-12)
    gap = curve([1000, 2000, 3000, 4000], [1, None, 3, 4])
    read = page.evaluate(_AT, [gap, [999, 1000, 1500, 2000, 2500, 3000, 3500, 4001]])
    assert read == [None, 1, None, None, None, 3, 3.5, None]


def test_average_is_the_area_over_the_range(page: Page) -> None:
    """Compared with NumPy's trapezoids on a fine grid; none where the curve ends too soon."""
    rng = np.random.default_rng(5)
    x = np.arange(2000.0, 7001.0, 100.0)
    y = 1e5 + 1e5 * np.sin(x / 900) + rng.uniform(0, 1e4, x.size)
    average = """([line, from, to]) => {
      const found = specgen.measure.average(line, from, to);
      return Number.isNaN(found) ? null : found;
    }"""
    for low, high in ((2000, 7000), (2550, 6120), (3010, 3040), (2000, 2100)):
        grid = np.unique(np.concatenate([np.linspace(low, high, 2001), x]))
        grid = grid[(grid >= low) & (grid <= high)]
        fine = np.interp(grid, x, y)
        area = float(np.sum((fine[1:] + fine[:-1]) / 2 * np.diff(grid)))
        found = page.evaluate(average, [curve(x.tolist(), y.tolist()), low, high])
        assert found == pytest.approx(area / (high - low), rel=1e-12)
    assert page.evaluate(average, [curve(x.tolist(), y.tolist()), 1900, 3000]) is None


def test_ticks_are_round_and_inside(page: Page) -> None:
    """Steps of 1, 2 or 5; from the first to the last inside the range."""
    for low, high, about in ((0, 302, 5), (1000, 7500, 9), (-40, 110, 3), (0, 0.9, 4), (0, 33, 3)):
        marks = page.evaluate(
            "([low, high, about]) => specgen.chart.ticks(low, high, about)", [low, high, about]
        )
        steps = np.diff(marks)
        leading = steps[0] / 10 ** math.floor(math.log10(steps[0]) + 1e-9)
        assert round(float(leading), 6) in (1, 2, 5)
        np.testing.assert_allclose(steps, steps[0])
        assert low - 1e-9 <= marks[0]
        assert high + 1e-9 >= marks[-1] > high - steps[0] - 1e-9


def test_letters_at_line_ends_are_pushed_apart(page: Page) -> None:
    """No two closer than their height, all inside, in the order of their lines."""
    places = page.evaluate("specgen.chart.spread([50, 52, 51, 90, 98], 14, 0, 100)")
    order = sorted(places)
    assert all(b - a >= 14 - 1e-9 for a, b in pairwise(order))
    assert order[0] >= 0
    assert order[-1] <= 100
    assert places[0] < places[2] < places[1] < places[3] < places[4]


def test_an_address_restores_the_state_it_was_made_from(page: Page) -> None:
    """Everything that a comparison shows goes into the address and comes back from it."""
    states = page.evaluate(
        """() => {
          const full = {
            chosen: [{ build: 'a-b', setup: '', pull: '' }, { build: 'c', setup: 'p80', pull: '' },
              { build: 'c', setup: 'p80', pull: '2024-04-24-2' }],
            base: 'sae-j607', litre: true, place: 'hub', speed: 5200, range: [3000, 6000],
            hidden: ['b', 'c'], differing: true };
          const { address } = specgen;
          const query = address.query(full);
          const again = address.parse(new URLSearchParams(query));
          const none = address.parse(new URLSearchParams(''));
          return [query, JSON.stringify(full) === JSON.stringify(again), address.query(none), none];
        }"""
    )
    assert states[0] == (
        "with=a-b,c/p80,c/p80/2024-04-24-2&base=sae-j607&per=litre&at=hub&speed=5200"
        "&range=3000-6000&hide=bc&rows=differing"
    )
    assert states[1] is True
    assert states[2] == ""
    assert states[3]["chosen"] == []


@pytest.mark.parametrize(
    "text",
    ["with=<script>,a/b", "with=%2F%2F,,", "range=9-3&speed=-4&hide=%F0", "range=a-b&speed=NaN"],
)
def test_a_broken_address_is_read_as_far_as_it_makes_sense(text: str, page: Page) -> None:
    """Nonsense is left out, and nothing breaks."""
    state = page.evaluate("text => specgen.address.parse(new URLSearchParams(text))", text)
    assert all("<" not in wish["build"] for wish in state["chosen"])
    assert state["speed"] == 0
    assert state["range"] is None
