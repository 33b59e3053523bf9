"""Clearances with their verdicts, parts over time, the parts of the air's way, and the whole."""

from __future__ import annotations

import datetime
from math import inf
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specgen.analysis.record.clearances import Verdict, verdict_of
from specgen.analysis.record.record import Record
from specgen.analysis.sheet import Sheet, analyse
from specgen.archive.archive import read_archive
from tests.analysis.small import BUILD, SESSION, sheet

DEMO = Path(__file__).parents[3] / "builds"
DAY = datetime.date


def made(folder: Path, more: str, build: str = BUILD + SESSION) -> Record:
    """The record of the small build with something added."""
    found = sheet(folder, build + more).record
    assert found is not None
    return found


@pytest.fixture(scope="module")
def demo() -> dict[str, Sheet]:
    """Sheets of the demo archive."""
    return analyse(read_archive(DEMO))


def record_of(demo: dict[str, Sheet], name: str) -> Record:
    """The record of one build of the demo."""
    found = demo[name].record
    assert found is not None
    return found


# ---------------------------------------------------------------- clearances


@pytest.mark.parametrize(
    ("low", "high", "value", "verdict", "share"),
    [
        (0.05, 0.08, 0.062, "in", 0.4),
        (0.05, 0.08, 0.053, "in", 0.1),
        (0.05, 0.08, 0.0529, "near the edge", 0.096667),
        (0.05, 0.08, 0.05, "near the edge", 0.0),
        (0.05, 0.08, 0.08, "near the edge", 1.0),
        (0.05, 0.08, 0.0801, "out", 1.003333),
        (0.05, 0.08, 0.049, "out", -0.033333),
        (0.30, inf, 0.40, "in", 1.333333),
        (0.30, inf, 0.31, "near the edge", 1.033333),
        (0.30, inf, 0.30, "near the edge", 1.0),
        (0.30, inf, 0.29, "out", 0.966667),
        (-inf, 15.0, 7.0, "in", 0.466667),
        (-inf, 15.0, 14.5, "near the edge", 0.966667),
        (-inf, 15.0, 15.1, "out", 1.006667),
        (-inf, 0.0, -0.02, "in", None),
        (-inf, 0.0, 0.0, "near the edge", None),
        (90.0, 90.0, 90.0, "in", None),
        (90.0, 90.0, 91.0, "out", None),
    ],
)
def test_verdicts(
    low: float, high: float, value: float, verdict: Verdict, share: float | None
) -> None:
    """Both ends belong to it; a tenth of a range from an end is near, a twentieth of one limit."""
    assert verdict_of(low, high, value) == (verdict, share)


@settings(max_examples=200, deadline=None)
@given(
    st.floats(-1, 1), st.floats(0, 1), st.floats(-3, 3), st.sampled_from(["both", "low", "high"])
)
def test_in_is_inside_and_out_is_outside(low: float, width: float, value: float, ends: str) -> None:
    """Whatever the limit, no figure beyond it is in or near, and none inside is out."""
    bottom = -inf if ends == "high" else low
    top = inf if ends == "low" else low + width
    verdict, _ = verdict_of(bottom, top, value)
    inside = bottom <= value <= top
    assert (verdict == "out") is not inside or min(abs(value - bottom), abs(value - top)) < 1e-8


CLEARANCES = """\
record:
  clearances:
    - what: Piston to wall
      where: cylinder
      specified: 0.05 to 0.08 mm
      measured: [0.062 mm, 0.079 mm, 0.0035 in]
      instrument: bore gauge
      by: AB
      date: 2025-04-02
      note: cold
    - what: Valve spring
      where: open
      at_height: 25.4 mm
      specified: at least 640 N
      measured: 151 lbf
    - {what: Piston to valve, specified: at least 1.5 mm}
    - {what: Flywheel bolt, measured: 75 N m}
"""


def test_clearances_in_the_order_of_the_file(tmp_path: Path) -> None:
    """One entry a reading, with its place, limit, instrument, initials, day and verdict."""
    record = made(tmp_path, CLEARANCES)
    told = [(item.what, item.where, item.verdict) for item in record.clearances]
    assert told == [
        ("Piston to wall", "cylinder 1", "in"),
        ("Piston to wall", "cylinder 2", "near the edge"),
        ("Piston to wall", "cylinder 3", "out"),
        ("Valve spring", "open", "near the edge"),
        ("Piston to valve", "", "not recorded"),
        ("Flywheel bolt", "", "no limit recorded"),
    ]
    first, spring = record.clearances[0], record.clearances[3]
    assert (first.instrument, first.by, first.date, first.note) == (
        "bore gauge", "AB", DAY(2025, 4, 2), "cold",
    )  # fmt: skip
    assert first.low is not None
    assert first.high is not None
    assert (first.low.scalar, first.high.scalar) == pytest.approx((0.05e-3, 0.08e-3))
    assert spring.high is None
    assert spring.at_height is not None
    assert spring.at_height.scalar == pytest.approx(0.0254)
    assert spring.measured.scalar == pytest.approx(151 * 4.4482216)  # NIST SP 811, appendix B
    assert spring.measured.quantity.key == "load"


def test_summary_leads_with_what_is_out(tmp_path: Path) -> None:
    """How many are out, and which; nothing that was not recorded is counted as in."""
    summary = made(tmp_path, CLEARANCES).summary
    assert [item.where for item in summary.out] == ["cylinder 3"]
    assert [len(group) for group in (summary.near, summary.within, summary.not_recorded)] == [
        2,
        1,
        1,
    ]
    assert [item.what for item in summary.no_limit] == ["Flywheel bolt"]


def test_what_was_not_measured_is_absent_with_a_reason(tmp_path: Path) -> None:
    """A row that nobody measured has no figure, only a reason."""
    row = made(tmp_path, CLEARANCES).clearances[4].measured
    assert not row.present
    assert row.reason == "not measured, or not recorded"


# ---------------------------------------------------------------- parts

PARTS = """\
parts:
  - {item: Blower, group: Induction}
  - {item: Plug 7, group: Ignition}
  - {item: Plug 8, group: Ignition, fitted: 2025-05-14, replaces: Plug 7}
  - {item: Plug 9, group: Ignition, fitted: 2026-02-01, replaces: Plug 8}
  - {item: Filter, group: Induction, removed: 2025-05-14}
"""


def test_parts_at_a_day(tmp_path: Path) -> None:
    """The day of a change runs with the new part; what replaces it takes a part out."""
    parts = made(tmp_path, PARTS).parts

    def names(day: DAY) -> list[str]:
        return [line.part.item.value for line in parts.at(day)]

    assert names(DAY(2025, 5, 13)) == ["Blower", "Plug 7", "Filter"]
    assert names(DAY(2025, 5, 14)) == ["Blower", "Plug 8"]
    assert names(DAY(2026, 2, 1)) == ["Blower", "Plug 9"]
    assert [line.part.item.value for line in parts.lines if line.removed is None] == [
        "Blower",
        "Plug 9",
    ]
    assert [(group, len(lines)) for group, lines in parts.groups] == [
        ("Induction", 2), ("Ignition", 3),
    ]  # fmt: skip


def test_states_tell_what_changed(tmp_path: Path) -> None:
    """Each day on which a part changed begins a state; the first has no day."""
    record = made(tmp_path, PARTS)
    told = [
        (
            state.since,
            [line.part.item.value for line in state.fitted],
            [line.part.item.value for line in state.removed],
        )
        for state in record.states
    ]
    assert told == [
        (None, [], []),
        (DAY(2025, 5, 14), ["Plug 8"], ["Plug 7", "Filter"]),
        (DAY(2026, 2, 1), ["Plug 9"], ["Plug 8"]),
    ]
    line = record.parts.lines[2]
    assert (line.replaced, line.replaced_by) == (
        record.parts.lines[1].part, record.parts.lines[3].part,
    )  # fmt: skip


def test_parts_of_one_name_replace_the_nearest_above(tmp_path: Path) -> None:
    """Three sets of one plug are three lines; each takes the place of the one before."""
    text = """\
parts:
  - {item: Plug}
  - {item: Plug, fitted: 2024-01-10, replaces: Plug}
  - {item: Plug, fitted: 2025-01-10, replaces: Plug}
"""
    lines = made(tmp_path, text).parts.lines
    assert [(line.fitted, line.removed) for line in lines] == [
        (None, DAY(2024, 1, 10)), (DAY(2024, 1, 10), DAY(2025, 1, 10)), (DAY(2025, 1, 10), None),
    ]  # fmt: skip


def test_a_part_comes_in_when_the_one_it_replaces_came_out(tmp_path: Path) -> None:
    """One day is enough, on whichever of the two lines it stands."""
    text = "parts:\n  - {item: Old, removed: 2025-03-01}\n  - {item: New, replaces: Old}\n"
    lines = made(tmp_path, text).parts.lines
    assert lines[1].fitted == DAY(2025, 3, 1)


def test_sessions_and_setups_know_their_state(demo: dict[str, Sheet]) -> None:
    """The railcar's three visits to the dyno lie in three states, and so do its setups."""
    item, record = demo["narrow-gauge-railcar"], record_of(demo, "narrow-gauge-railcar")
    states = [record.state_of(session).number for session in item.build.sessions]
    assert states == [0, 1, 2]
    numbers = {
        setup.id: [state.number for state in record.states_of(setup)] for setup in item.setups
    }
    assert numbers == {
        "first": [0], "second": [1], "second-e10": [1], "third": [2],
    }  # fmt: skip
    pulleys = {
        session.date.text: [
            line.part.item.value
            for line in record.parts.at(session.date.value)
            if line.part.item.value.startswith("Blower pulley")
        ]
        for session in item.build.sessions
    }
    assert pulleys == {
        "2022-04-07": ["Blower pulley, 104.7 mm"], "2023-10-19": ["Blower pulley, 95.5 mm"],
        "2026-03-11": ["Blower pulley, 87.1 mm"],
    }  # fmt: skip


# ---------------------------------------------------------------- the air's way

INDUCTION = "induction: {blower: test-blower, inlet_pressure_drop: 3 kPa at 6500 rpm}"
PARTS_OF_AIR = """\
induction:
  blower: test-blower
  inlet_pressure_drop: 3 kPa at 6500 rpm
  filter: panel
  filter_pressure_drop: 0.5 kPa at 10 kg/min
  throttle: {bore: 80 mm, count: 1}
  pipes:
    - {item: intake pipe, bore: 90 mm, length: 800 mm, bends: 2, bend_radius: 135 mm}
    - {side: charge, bore: 70 mm, length: 400 mm}
"""


def test_parts_of_the_air_are_estimated_at_the_sheets_flow(tmp_path: Path) -> None:
    """Filter by the square of the flow, throttle by Bernoulli, and the inlet's parts added up."""
    item = sheet(tmp_path, (BUILD + SESSION).replace(INDUCTION, PARTS_OF_AIR))
    assert item.record is not None
    air = item.record.air
    assert air is not None
    assert [(part.title, part.side) for part in air.parts] == [
        ("panel", "inlet"), ("intake pipe", "inlet"), ("Throttle", "inlet"), ("pipe 2", "charge"),
    ]  # fmt: skip
    flow = air.flow.scalar
    drops = [part.drop.scalar for part in air.parts]
    assert drops[0] == pytest.approx(500 * (flow * 60 / 10) ** 2)
    density = item.setups[0].rows["estimate_density"].scalar
    jet = flow / (0.90 * 3.14159265 / 4 * 0.080**2)
    assert drops[2] == pytest.approx(jet**2 / (2 * density))
    assert air.inlet is not None
    assert air.inlet.scalar == pytest.approx(sum(drops[:3]))
    assert all(part.drop.basis == "estimated" for part in air.parts)
    assert air.measured is not None
    assert (air.measured.basis, air.measured.scalar) == ("stated", 3000.0)
    velocity = air.parts[1].velocity
    assert velocity is not None
    assert velocity.scalar == pytest.approx(flow / density / (3.14159265 / 4 * 0.090**2))


def test_the_charge_pipe_carries_dense_air(tmp_path: Path) -> None:
    """Behind the blower the air is denser and slower than before it in the same bore."""
    text = PARTS_OF_AIR.replace("bore: 70 mm, length: 400 mm", "bore: 90 mm, length: 800 mm")
    air = made(tmp_path, "", (BUILD + SESSION).replace(INDUCTION, text)).air
    assert air is not None
    before, behind = air.parts[1].velocity, air.parts[3].velocity
    assert before is not None
    assert behind is not None
    assert behind.scalar < before.scalar


def test_a_filter_without_its_flow_is_not_reckoned(tmp_path: Path) -> None:
    """A drop without the flow it was measured at stays a reason; the rest is reckoned."""
    text = PARTS_OF_AIR.replace(" at 10 kg/min", "")
    air = made(tmp_path, "", (BUILD + SESSION).replace(INDUCTION, text)).air
    assert air is not None
    assert "not recorded" in air.parts[0].drop.reason
    assert air.parts[1].drop.present
    assert air.inlet is not None
    assert not air.inlet.present


def test_without_a_setup_there_is_no_flow(tmp_path: Path) -> None:
    """A build that names pipes but no setup has no flow to reckon with, and no table."""
    build = BUILD.replace(INDUCTION, PARTS_OF_AIR).partition("setups:")[0]
    found = sheet(tmp_path, build).record
    assert found is None or found.air is None


# ---------------------------------------------------------------- the whole


def test_no_record_where_nothing_was_recorded(tmp_path: Path) -> None:
    """A build without record, parts, pictures and parts of the air's way has none."""
    item = sheet(tmp_path)
    assert item.record is None
    assert "Build record" not in [scope.title for scope in item.scopes]


def test_scopes_have_the_record_where_it_has_rows(tmp_path: Path) -> None:
    """The record's rows stand among the others; a parts list alone has none."""
    full = sheet(tmp_path / "a", BUILD + SESSION + CLEARANCES)
    assert "Build record" in [scope.title for scope in full.scopes]
    bare = sheet(tmp_path / "b", BUILD + SESSION + PARTS)
    assert bare.record is not None
    assert "Build record" not in [scope.title for scope in bare.scopes]


def test_the_demo_shows_each_kind_of_record(demo: dict[str, Sheet]) -> None:
    """Full records, one with a clearance out, one with changed parts, volumes by cylinder."""
    records = {name: item.record for name, item in demo.items() if item.build.record}
    full = [
        name for name, found in records.items()
        if found and found.blueprint and found.cam and found.clearances and found.parts.lines
    ]  # fmt: skip
    assert len(full) >= 3
    assert [name for name, found in records.items() if found and found.summary.out] == [
        "plover-sprint"
    ]
    assert any(found and len(found.states) > 2 for found in records.values())
    assert any(found and found.blueprint and found.blueprint.spread for found in records.values())
    pictures = {name: len(item.build.pictures) for name, item in demo.items()}
    assert max(pictures.values()) >= 5
    assert sum(count > 0 for count in pictures.values()) >= 3


def test_every_figure_of_the_demos_records_is_there(demo: dict[str, Sheet]) -> None:
    """No cylinder, event or part of the demo's records is without its figure."""
    for name, item in demo.items():
        record = item.record
        if record is None:
            continue
        if record.blueprint is not None:
            for volumes in (record.blueprint.specified, *record.blueprint.cylinders):
                assert volumes.compression_ratio.present, name
                assert 0.5e-3 < volumes.quench_distance.scalar < 4e-3, name
        if record.cam is not None:
            assert len(record.cam.events) == 4, name
            assert len(record.cam.curves) == 2, name
            assert record.cam.effective_ratio.present, name
            assert record.cam.boosted_ratio.present, name
        if record.air is not None:
            assert all(part.drop.present for part in record.air.parts), name
