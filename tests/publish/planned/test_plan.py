"""A plan as text, data, page and picture: every blower build of the demo, the same numbers."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from specgen.analysis.planning.plan import FIGURES
from specgen.analysis.planning.seek import seek
from specgen.analysis.sheet import Sheet, analyse
from specgen.archive.archive import read_archive
from specgen.publish.plan.page import plan_page
from specgen.publish.planned.data import plan_json
from specgen.publish.planned.picture import plan_picture
from specgen.publish.planned.text import plan_text
from specgen.vocabulary import quantity
from tests.publish.pages import text_of

pytestmark = pytest.mark.slow

DEMO = Path(__file__).parents[3] / "builds"


@pytest.fixture(scope="module")
def demo() -> dict[str, Sheet]:
    """The sheets of the demo archive."""
    return analyse(read_archive(DEMO))


def test_every_build_is_told_as_text_and_as_data(demo: dict[str, Sheet]) -> None:
    """Builds without a blower too, which say why there is nothing to plan."""
    for made in demo.values():
        text, data = plan_text(made.plan, "metric"), json.loads(plan_json(made.plan))
        assert data["id"] == made.id
        assert bool(data["pairs"]) == bool(made.plan.pairs)
        assert ("Nothing to plan" in text) == (not made.plan.pairs)
        for item in made.plan.pairs:
            assert item.pair.title in text


def test_text_data_page_and_picture_have_the_same_numbers(demo: dict[str, Sheet]) -> None:
    """Boost, power and duty of each pair as data are those that text, page and picture print."""
    made = demo["lark-hydroplane"]
    plan, told = made.plan, json.loads(plan_json(made.plan))
    text = plan_text(plan, "metric")
    page = text_of(plan_page(plan, "metric", folders=True)).replace("\u202f", " ")
    picture = plan_picture(plan, "metric")
    assert picture is not None
    for item, pair in zip(plan.pairs, told["pairs"], strict=True):
        for key, _, _ in FIGURES:
            row, data = item.figures[key], pair["figures"][key]
            assert (data is None) == (not row.present)
            if data is None:
                continue
            shown = row.quantity
            si = data["value"] * shown.metric.factor + shown.metric.offset
            assert si == pytest.approx(row.scalar, rel=1e-6)
            number = shown.printed(row.scalar, "metric", row.expanded).number
            assert number in text, key
            assert number.replace("\u202f", " ") in page, key
    told_ratios = re.findall(r"Ratio ([\d.]+): boost (\S+) kPa", picture.chart.description)
    boosts = {f"{item.pair.ratio:.2f}": item.figures["boost"].scalar for item in plan.pairs}
    assert len(told_ratios) == min(6, len(boosts))
    for ratio, boost in told_ratios:
        assert boost == quantity("boost").number(boosts[ratio], "metric"), ratio


def test_a_sought_goal_is_told_both_ways(demo: dict[str, Sheet]) -> None:
    """What stops a goal and what it needs, in words, and the same words as data."""
    plan = demo["lark-hydroplane"].plan
    found = seek(plan, "boost", 124e3)
    text, data = plan_text(plan, "imperial", [found]), json.loads(plan_json(plan, [found]))
    assert "Stops it: boost is beyond its limit" in text
    assert "Needs: a fuel pump that gives at least" in text
    (told,) = data["sought"]
    assert [need["what"] for need in told["needs"]] == [need.what for need in found.needs]
    exact = told["exact"]["figures"]["boost"]["value"]
    assert exact == pytest.approx(124.0, rel=1e-4)
