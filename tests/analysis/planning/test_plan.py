"""The plan: the same numbers as the ladder, goals that are met when fed back, limits in order."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.analysis.planning.pairs import Question
from specgen.analysis.planning.plan import Plan, plan_of
from specgen.analysis.planning.seek import seek
from specgen.analysis.sheet import Sheet, analyse
from specgen.archive.archive import read_archive
from specgen.archive.model.build import Given
from specgen.findings import Place
from tests.analysis.small import BLOWER, BUILD, SESSION, sheet

PLANNED = BUILD + "  - {id: p85, blower_pulley: 85 mm, fuel: petrol-98}\n" + SESSION
DEMO = Path(__file__).parents[3] / "builds"


@pytest.fixture(scope="module")
def demo() -> dict[str, Sheet]:
    """The sheets of the demo archive."""
    return analyse(read_archive(DEMO))


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    """The plan of a small build with one setup measured and one planned."""
    return plan_of(sheet(tmp_path_factory.mktemp("plan"), PLANNED))


def test_a_pair_has_the_ladders_numbers(planned: Plan) -> None:
    """Boost and power of the pair that is a planned setup too are those of the ladder's step."""
    step = next(step for step in planned.sheet.ladder if step.setup.planned)  # type: ignore[attr-defined]
    pair = next(item for item in planned.pairs if item.pair.blower.text == "85 mm")
    for key, row in (("boost", step.estimated_boost), ("power", step.estimated_power)):
        assert pair.figures[key].scalar == row.scalar
        assert pair.figures[key].expanded == pytest.approx(row.expanded, rel=1e-12)
    for key in ("blower_speed_at_top", "injector_duty", "charge_temperature_at_top"):
        assert pair.setup.rows[key].scalar == step.setup.rows[key].scalar


@pytest.mark.slow
def test_the_whole_demo_agrees_with_its_ladders(demo: dict[str, Sheet]) -> None:
    """Every planned setup of the demo on the leading setup's fuel stands in its plan as it is."""
    compared = 0
    for made in demo.values():
        plan = plan_of(made) if any(s.planned for s in made.setups) and made.blower else None
        for step in made.ladder if plan else ():
            lead = made.lead
            if not step.setup.planned or lead is None or plan is None:
                continue
            if step.setup.setup.fuel != lead.setup.fuel and _fuel(step.setup) != _fuel(lead):
                continue
            pair = next(
                i for i in plan.pairs
                if abs(i.pair.blower.value - step.setup.rows["blower_pulley"].scalar) < 1e-6
                and abs(i.pair.crank.value - step.setup.rows["crank_pulley"].scalar) < 1e-6
            )  # fmt: skip
            if _mixture(step.setup) == _mixture(lead):
                assert pair.figures["boost"].scalar == step.estimated_boost.scalar
                assert pair.figures["power"].scalar == step.estimated_power.scalar
                compared += 1
    assert compared >= 1


def _fuel(setup: object) -> object:
    fuel = setup.setup.fuel  # type: ignore[attr-defined]
    return fuel.name.value if fuel and fuel.name else fuel


def _mixture(setup: object) -> float:
    return float(setup.rows["mixture"].scalar)  # type: ignore[attr-defined]


@pytest.mark.parametrize("aim", ["boost", "power"])
def test_a_goal_is_met_when_its_pulley_is_fed_back(planned: Plan, aim: str) -> None:
    """The pulley solved for, named to a plan of its own, gives the goal to a ten-thousandth."""
    rows = [item.figures[aim].scalar for item in planned.pairs]
    goal = 0.5 * (min(rows) + max(rows))
    found = seek(planned, aim, goal)  # type: ignore[arg-type]
    assert found.exact is not None
    size = found.exact.pair.blower.value
    named = Given(size, f"{1e3 * size:.4f} mm", Place("command line"))
    again = plan_of(planned.sheet, Question(pulleys=(named,)))
    pair = next(item for item in again.pairs if item.pair.blower is named)
    assert pair.figures[aim].scalar == pytest.approx(goal, rel=1e-4)
    nearest = min(planned.pairs, key=lambda item: abs(item.figures[aim].scalar - goal))
    assert found.nearest is nearest


def test_a_goal_beyond_reach_says_the_most(planned: Plan) -> None:
    """No pulley gives a megawatt; what gives most is named."""
    found = seek(planned, "power", 1e6)
    assert found.exact is None
    assert found.most is not None
    assert found.most.figures["power"].scalar >= max(
        item.figures["power"].scalar for item in planned.pairs
    )


def test_the_limit_that_comes_first_is_named(tmp_path: Path) -> None:
    """Limits of boost and of blower speed, boost reached at the lower ratio, between two pairs."""
    build = PLANNED.replace("setups:", "limits: {boost: 50 kPa}\nsetups:")
    blower = BLOWER.replace("pulleys: [85 mm, 80 mm]", "pulleys: [90 mm, 85 mm, 80 mm, 75 mm]")
    plan = plan_of(sheet(tmp_path, build, blower))
    boosts = {item.pair.ratio: item.rooms[1] for item in plan.pairs}
    stop = next(stop for stop in plan.stops if stop.title == "Boost")
    below = [ratio for ratio, room in boosts.items() if room.left >= 0]
    above = [ratio for ratio, room in boosts.items() if room.left < 0]
    assert max(below) <= stop.ratio <= min(above)
    assert list(plan.stops) == sorted(plan.stops, key=lambda item: item.ratio)
    for item in plan.pairs:
        room = item.rooms[1]
        width = room.value.expanded or 0.0
        state = {True: "beyond", False: "inside"}.get(room.left < 0, "")
        if abs(room.left) > width:
            assert room.state == state
        else:
            assert room.state == "may be beyond"


@pytest.mark.slow
def test_every_blower_build_of_the_demo_has_a_plan(demo: dict[str, Sheet]) -> None:
    """Centrifugal, mapped and peaks-only ones too; all others say why there is none."""
    for made in demo.values():
        plan = plan_of(made)
        assert bool(plan.pairs) == (made.blower is not None)
        assert bool(plan.reason) != bool(plan.pairs)
        ratios = [item.pair.ratio for item in plan.pairs]
        assert ratios == sorted(ratios)
        assert all(item.runs or item.figures["boost"].reason for item in plan.pairs), made.id
