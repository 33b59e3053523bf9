"""A blower's measured map: what is read, where a fault stands, and that nothing raises."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specgen.archive.model.map import BlowerMap
from specgen.archive.reading.blower_maps import CENTRIFUGAL, DISPLACEMENT, read_map
from specgen.findings import Finding
from specgen.physics.blower_map import CentrifugalMap, DisplacementMap
from specgen.units import units_of
from specgen.vocabulary import quantity
from tests.archive.cases import HERE, read_case

LOBE = "blower speed [rpm],pressure ratio,volumetric efficiency [%],isentropic efficiency [%]\n"
WHEEL = "blower speed [rpm],air flow [kg/min],pressure ratio,isentropic efficiency [%]\n"
POINTS = "6000,1.2,88,60\n6000,1.6,80,57\n12000,1.2,93,64\n12000,1.6,89,63\n"


def read(text: str, kind: str = "lobe") -> tuple[BlowerMap | None, list[Finding]]:
    """Read a text as a map."""
    found, _, findings = read_map(text.encode(), "map.csv", kind)
    return found, findings


def test_points_are_read_in_si_with_their_place() -> None:
    """Columns are in SI and read-only, in the file's order; the map knows how large it is."""
    found, findings = read(LOBE + POINTS)
    assert findings == []
    assert found is not None
    np.testing.assert_allclose(found.columns["blower_speed"], [100.0, 100.0, 200.0, 200.0])
    np.testing.assert_allclose(found.columns["volumetric_efficiency"], [0.88, 0.80, 0.93, 0.89])
    assert not found.columns["pressure_ratio"].flags.writeable
    assert (found.points, found.speeds, found.place.file) == (4, 2, "map.csv")
    assert found.headers["pressure_ratio"] == "pressure ratio"


def test_speeds_may_stand_in_any_order() -> None:
    """The fastest line first, or points of two lines in turns: only each line's order counts."""
    rows = POINTS.splitlines(keepends=True)
    for order in ((2, 3, 0, 1), (0, 2, 1, 3)):
        found, findings = read(LOBE + "".join(rows[index] for index in order))
        assert findings == []
        assert found is not None


@pytest.mark.parametrize("symbol", [unit.symbol for unit in units_of("mass flow")])
def test_air_flow_in_every_unit(symbol: str) -> None:
    """A centrifugal blower's flow is read in each unit of mass flow, as the unit table has it."""
    rows = "30000,20,1.4,70\n30000,30,1.3,68\n45000,30,1.9,71\n45000,45,1.7,66\n"
    found, findings = read(WHEEL.replace("kg/min", symbol) + rows, "centrifugal")
    assert [item for item in findings if item.severity == "error"] == []
    assert found is not None
    unit = next(item for item in units_of("mass flow") if item.symbol == symbol)
    assert found.columns["air_mass_flow"][0] == pytest.approx(unit.to_si(20.0))


def test_a_faulty_map_leaves_its_blower_and_builds_out() -> None:
    """No build is estimated from half a map."""
    found, _ = read(LOBE + POINTS.replace("80", "8o"))
    assert found is None


def test_a_blower_has_its_map_and_the_air_it_refers_to(tmp_path: Path) -> None:
    """Map and reference stand with the blower, in SI."""
    blower = read_case(HERE / "good" / "everything", tmp_path).blowers["petrel-95"]
    assert blower.map is not None
    assert (blower.map.points, blower.map.speeds) == (6, 2)
    assert blower.map.place.file == "blowers/petrel-95.csv"
    assert blower.performance_air is not None
    assert blower.performance_air.pressure.value == pytest.approx(101300.0)
    assert blower.performance_air.temperature.value == pytest.approx(288.15)


@pytest.mark.parametrize("case", ["map-rows", "map-lines", "map-one-speed"])
def test_without_its_map_a_blower_is_left_out(case: str, tmp_path: Path) -> None:
    """A blower whose map has an error is not in the archive, and neither is what it drives."""
    archive = read_case(HERE / "bad" / case, tmp_path)
    assert "tern-13" not in archive.blowers
    assert "heron" not in archive.builds


_FIRST_FOUR = [list(names.values())[:4] for names in (DISPLACEMENT, CENTRIFUGAL)]
_CELLS = st.sampled_from(
    ["", "6000", "1.2", "88", "-1", "0", "1e9", "1e-9", "nan", "inf", "x", "0.5", "100", "101", '"']
)
_HEADS = st.sampled_from(
    [*(f"{name} [{unit}]" for name in {**DISPLACEMENT, **CENTRIFUGAL} for unit in ("%", "rpm")),
     "pressure ratio", "air flow [kg/min]", "", "x", "blower speed"]
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(st.lists(_HEADS, max_size=6), st.lists(st.lists(_CELLS, max_size=6), max_size=8))
def test_any_table_is_read_or_told(heads: list[str], rows: list[list[str]]) -> None:
    """Whatever stands there, the answer is a map that the physics takes, or findings."""
    text = "\n".join([",".join(heads), *(",".join(row) for row in rows)])
    for kind in ("lobe", "centrifugal"):
        found, findings = read(text, kind)
        assert (found is None) == any(item.severity == "error" for item in findings)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(*[_CELLS] * 4), min_size=2, max_size=7))
def test_what_is_read_the_physics_takes(rows: list[tuple[str, ...]]) -> None:
    """A map without findings makes a map of the physics, which refuses much itself."""
    body = "".join(",".join(row) + "\n" for row in rows)
    found, _ = read(LOBE + POINTS + body)
    if found is not None:
        speed, ratio, volumetric, isentropic = map(found.columns.get, _FIRST_FOUR[0])
        DisplacementMap(speed, ratio, volumetric, isentropic)  # type: ignore[arg-type]
    found, _ = read(WHEEL + body, "centrifugal")
    if found is not None:
        speed, flow, ratio, isentropic = map(found.columns.get, _FIRST_FOUR[1])
        CentrifugalMap(speed, flow, ratio, isentropic)  # type: ignore[arg-type]


def test_every_column_is_a_quantity() -> None:
    """Each name of both heads is of the vocabulary."""
    for key in (*DISPLACEMENT.values(), *CENTRIFUGAL.values()):
        assert quantity(key).key == key


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_told(data: bytes) -> None:
    """Bytes of any kind give a map or findings, never an exception."""
    found, _, findings = read_map(data, "map.csv", "screw")
    assert found is not None or findings
