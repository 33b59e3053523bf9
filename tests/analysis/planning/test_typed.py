"""An engine as a customer types it: the plan it gets, and how measured builds come out of it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from specgen.analysis.planning.typed import (
    ILL_MATCHED,
    Typed,
    beyond,
    tried,
    typed_of,
    typed_plan,
)
from specgen.analysis.sheet import sheet_of
from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive

TYPED = Typed(4, 0.086, 0.086, 6500 / 60, "petrol-98", 9.0, 4, True, injectors=4,
              injector_flow=650e-6 / 60)  # fmt: skip


@pytest.fixture(scope="module")
def archive() -> Archive:
    """The demo archive."""
    return read_archive(Path(__file__).parents[3] / "builds")


def test_a_typed_engine_is_planned_as_any_build(archive: Archive) -> None:
    """Every pair on offer, each with its band, read at the highest speed."""
    plan = typed_plan(archive, archive.blowers["grebe-11"], TYPED)
    assert len(plan.pairs) == 12
    boosts = [item.figures["boost"] for item in plan.pairs]
    assert [row.scalar for row in boosts] == sorted(row.scalar for row in boosts)
    assert all((row.expanded or 0) > 0.1 * row.scalar for row in boosts)
    assert {room.title for room in plan.pairs[0].rooms} == {
        "Blower speed", "Injector duty", "Octane"}  # fmt: skip


def test_a_match_that_nobody_builds_is_refused_in_words(archive: Archive) -> None:
    """A blower for five litres on one and a half: speeds are told, nothing else, and why."""
    small = replace(TYPED, bore=0.078, stroke=0.078)
    pair = typed_plan(archive, archive.blowers["bittern-23"], small).pairs[-1]
    assert pair.figures["blower_speed"].present
    for key in ("boost", "power", "torque", "fuel_flow", "injector_duty", "octane_asked"):
        assert not pair.figures[key].present
        assert pair.figures[key].reason == ILL_MATCHED
    assert {room.title for room in pair.rooms} == {"Blower speed"}
    assert not pair.runs


def test_what_is_left_empty_widens_or_is_absent(archive: Archive) -> None:
    """Without injectors no duty; without a compression ratio another efficiency."""
    bare = replace(TYPED, injectors=None, compression_ratio=None)
    pair = typed_plan(archive, archive.blowers["grebe-11"], bare).pairs[0]
    assert not pair.figures["injector_duty"].present
    assert pair.figures["power"].present


def test_measured_builds_are_estimated_as_their_owners_would(archive: Archive) -> None:
    """In the air and at the point of the pull; at least nine of ten lie in their bands."""
    inside: list[bool] = []
    for name in ("lark-hydroplane", "shed-test-engine", "narrow-gauge-railcar"):
        sheet = sheet_of(archive, archive.builds[name])
        for item in tried(sheet):
            assert item.typed == typed_of(sheet.build, item.setup)
            known = (item.inside("boost"), item.inside("power"))
            inside += [it for it in known if it is not None]
    assert len(inside) > 15
    assert sum(inside) >= 0.9 * len(inside)


def test_what_is_beyond_the_model_is_named() -> None:
    """Each figure out of its range by its field, and nothing that was left empty."""
    assert beyond(TYPED) == ()
    odd = replace(TYPED, bore=0.5, compression_ratio=60.0, humidity=None, cylinders=40)
    assert set(beyond(odd)) == {"bore", "compression_ratio", "cylinders"}
