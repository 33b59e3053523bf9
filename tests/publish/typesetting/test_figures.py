"""The one printer of figures: both unit systems, uncertainty, unit, and words where nothing is."""

from __future__ import annotations

import html
import random
import re

import pytest

from specgen.analysis.rows.row import Basis, Row
from specgen.publish import terminal
from specgen.publish.share.sharing import share_figure
from specgen.publish.typesetting.figures import (
    figure,
    in_both,
    value_figure,
    value_text,
    words_in_both,
)
from specgen.publish.typesetting.markup import safe
from specgen.publish.web.handover import figure_text
from specgen.vocabulary import QUANTITIES, SYSTEMS, quantity


def row(key: str, value: float | None, uncertainty: float = 0.0, reason: str = "") -> Row:
    """Make a row of one number with one root of uncertainty."""
    spread = {"root": uncertainty} if uncertainty else {}
    basis: Basis = "derived" if value is not None else "absent"
    return Row(key, "test", key, quantity(key), basis, value, spread, reason=reason)


def plain(markup: str) -> str:
    """The text of a piece of HTML, thin spaces as plain ones."""
    return html.unescape(re.sub(r"<[^>]*>", "", markup)).replace("\u202f", " ")


@pytest.mark.parametrize(
    ("shown", "metric", "imperial"),
    [
        (figure(row("power", 301e3)), "301 kW", "404 hp"),
        (figure(row("power", 301e3, 3e3)), "301 ± 6 kW", "404 ± 8 hp"),
        (figure(row("power", 301e3, 3e3), bare=True), "301 kW", "404 hp"),
        (figure(row("air_temperature", 298.15)), "25.0 °C", "77 °F"),
        (value_figure("bore", 0.084), "84.0 mm", "3.307 in"),
        (value_figure("torque", 512.0), "512 N·m", "378 lb·ft"),
    ],
)
def test_both_unit_systems_stand_in_the_page(shown: str, metric: str, imperial: str) -> None:
    """Metric and imperial text, each in its own element.

    Expected: 1 hp = 745.69987 W, 1 in = 25.4 mm, 1 lb·ft = 1.3558179 N·m (NIST SP 811, app. B).
    """
    found = re.search(r'<span class="sg-m">(.*)</span><span class="sg-i">(.*)</span></span>', shown)
    assert found is not None
    assert plain(found.group(1)) == metric
    assert plain(found.group(2)).strip() == imperial


def test_a_figure_that_reads_the_same_is_printed_once() -> None:
    """A speed in rpm is the same in both systems."""
    shown = figure(row("engine_speed", 6400 / 60))
    assert "sg-m" not in shown
    assert plain(shown) == "6 400 rpm"


def test_unit_is_set_apart_from_its_number() -> None:
    """Unit and uncertainty have an element of their own, so that they can be one step lighter."""
    assert "<small>\u202fkW</small>" in figure(row("power", 1e3))
    assert "301 <small>±\u202f6\u202fkW</small>" in figure(row("power", 301e3, 3e3))


def test_a_figure_leads_to_its_row() -> None:
    """With an anchor the figure is a link within the page."""
    assert figure(row("power", 1e3), "#row-x").startswith('<a class="sg-row" href="#row-x">')


@pytest.mark.parametrize("absent", [None, row("power", None, reason="not <recorded>")])
def test_an_absent_figure_is_a_quiet_dash(absent: Row | None) -> None:
    """No figure, no link; the reason is text."""
    shown = figure(absent, "row-x")
    assert plain(shown) == "–"
    assert "href" not in shown
    assert "<recorded>" not in shown


def test_sentences_switch_with_the_units() -> None:
    """A sentence with figures has both texts, and may wrap."""
    shown = words_in_both(lambda system: f"5 {'m' if system == 'metric' else 'ft'} left")
    assert 'class="sg-both"' in shown
    assert plain(shown) == "5 m left 5 ft left"


def test_a_comma_follows_the_shown_text_at_once() -> None:
    """Between the two texts stands no space that would show before a comma."""
    shown = in_both(lambda system: safe(system))
    assert re.search(r"metric</span><span", shown)


def test_every_paper_prints_one_figure_alike() -> None:
    """Page, terminal, shared picture and data for scripts give the same number, margin and unit."""
    rng = random.Random(11)
    for key, shown in QUANTITIES.items():
        low, high = shown.plausible
        for share in (0.0, 1e-6, 1e-3, 0.02, 0.3):
            value = rng.uniform(low, high)
            item = row(key, value, share * max(abs(value), 1e-12))
            for system in SYSTEMS:
                printed = shown.printed(value, system, item.expanded)
                page = plain(str(value_text(shown, value, system, item.expanded)))
                assert page == printed.text.replace("\u202f", " ")
                assert terminal.figure(item, system) == printed.text
                drawn = share_figure(item, system)
                assert (drawn.number, drawn.unit) == (printed.number, printed.unit)
                assert drawn.margin.removeprefix("±\u202f") == printed.margin
            metric, imperial = (shown.printed(value, it, item.expanded) for it in SYSTEMS)
            parts = [*figure_text(shown, value, item.expanded).split("|"), "", "", "", ""]
            assert parts[:2] == [metric.number, metric.margin]
            if parts[2]:
                assert parts[2:4] == [imperial.number, imperial.margin]
