"""Measured maps: exact at the points, silent outside, and the same balance as the laws give."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import RegularGridInterpolator

from specgen.physics import blower, compression
from specgen.physics._domain import Array
from specgen.physics.air import KAPPA
from specgen.physics.blower_map import (
    CentrifugalMap,
    DisplacementMap,
    centrifugal_map_point,
    corrected_flow,
    corrected_speed,
    displacement_map_point,
)
from specgen.physics.map_matching import (
    OUTSIDE,
    MappedImpeller,
    MappedSupply,
    match_centrifugal_map,
    match_map,
)
from specgen.physics.matching import Cooler, Demand, Inlet, Match, Supply, match, match_centrifugal

quick = settings(max_examples=40, deadline=None)

GAS, HEAT, COLD = 287.05287, 1005.0, 298.15
ROTORS = np.linspace(40.0, 260.0, 45)
RATIOS = np.linspace(1.02, 3.2, 110)
LEAK, DISPLACEMENT, LIMIT = 6e-5, 1.3e-3, 0.96
ENGINE = Demand(3e-3, 0.9, 9.0)
AIR = Inlet(98.6e3, COLD, 4e4)
COOLER = Cooler(0.7, 305.0, 3e4)


def lobe_map(shaft: bool = False) -> DisplacementMap:
    """A fine map of a lobe blower, by its leakage and work as `blower` has them."""
    speed, ratio = (grid.ravel() for grid in np.meshgrid(ROTORS, RATIOS, indexing="ij"))
    density = 1e5 / (GAS * COLD)
    slip = blower.slip_speed(LEAK, DISPLACEMENT, 1e5 * (ratio - 1.0), density)
    volumetric = np.asarray(blower.volumetric_efficiency(LIMIT, slip, speed))
    hot = blower.discharge_temperature_from_work(COLD, 1e5, 1e5 * (ratio - 1.0), volumetric)
    isentropic = np.asarray(compression.temperature_efficiency(COLD, hot, ratio))
    return DisplacementMap(
        speed, ratio, volumetric, isentropic, 0.9 * isentropic if shaft else None
    )


LOBE = lobe_map()
WHEEL = CentrifugalMap(
    np.repeat([500.0, 700.0, 900.0], 4),
    np.array([0.05, 0.09, 0.13, 0.15, 0.07, 0.13, 0.18, 0.21, 0.10, 0.17, 0.23, 0.27]),
    np.array([1.30, 1.29, 1.24, 1.19, 1.62, 1.60, 1.50, 1.40, 2.06, 2.02, 1.86, 1.70]),
    np.array([0.70, 0.74, 0.70, 0.62, 0.70, 0.75, 0.71, 0.63, 0.69, 0.74, 0.70, 0.60]),
)
STATIONS = ("inlet_pressure", "pressure_ratio", "manifold_pressure", "discharge_temperature",
            "charge_temperature", "mass_flow", "blower_volumetric_efficiency")  # fmt: skip


def test_a_fine_map_of_the_law_gives_the_laws_balance() -> None:
    """Read off a map of its own law on 110 ratios, a lobe blower balances as by the law."""
    speeds = np.linspace(30.0, 110.0, 17)
    law = match(speeds, AIR, ENGINE, Supply(DISPLACEMENT, 2.2, LIMIT, LEAK), COOLER)
    found = match_map(speeds, AIR, ENGINE, MappedSupply(LOBE, DISPLACEMENT, 2.2), COOLER)
    assert found.solved.all()
    assert found.reason is None
    for name in STATIONS:
        assert getattr(found, name) == pytest.approx(getattr(law, name), rel=4e-4), name


def test_the_drive_takes_what_heats_the_air() -> None:
    """Without a shaft efficiency the drive's power is the heat in the air over eta_m."""
    supply = MappedSupply(LOBE, DISPLACEMENT, 2.2, mechanical_efficiency=0.9)
    found = match_map(80.0, AIR, ENGINE, supply)
    heated = found.mass_flow * HEAT * (found.discharge_temperature - COLD) / 0.9
    assert found.drive_power == pytest.approx(heated, rel=1e-12)


def test_the_shaft_efficiency_serves_the_drive_alone() -> None:
    """With it the drive's power rests on it, and no temperature, pressure or flow changes."""
    with_it = match_map(80.0, AIR, ENGINE, MappedSupply(lobe_map(shaft=True), DISPLACEMENT, 2.2))
    without = match_map(80.0, AIR, ENGINE, MappedSupply(LOBE, DISPLACEMENT, 2.2))
    for name in STATIONS:
        assert getattr(with_it, name) == getattr(without, name)
    assert with_it.drive_power == pytest.approx(without.drive_power / 0.9, rel=1e-4)


def test_a_level_wheel_gives_the_centrifugal_laws_balance() -> None:
    """On a line of constant ratio and efficiency the balance is the law's at that ratio."""
    level = CentrifugalMap([500, 500, 900, 900], [0.02, 0.6, 0.02, 0.6], [1.5] * 4, [0.7] * 4)  # type: ignore[arg-type]
    speeds = np.linspace(70.0, 100.0, 7)
    found = match_centrifugal_map(
        speeds, AIR, ENGINE, MappedImpeller(level, 8.0, mechanical_efficiency=0.9), COOLER
    )
    for at, n in enumerate(speeds):
        law = match_centrifugal(n, AIR, ENGINE, 1.5, 8.0 * n, 0.7, 8.0, 0.9, COOLER)
        for name in (*STATIONS[:-1], "drive_power"):
            assert getattr(found, name)[at] == pytest.approx(getattr(law, name)[0], rel=1e-9), name


def test_every_measured_point_comes_out_exactly() -> None:
    """At a measured point the map says what was measured, to the last digit but rounding."""
    seen = displacement_map_point(LOBE, LOBE.speed, LOBE.pressure_ratio)
    assert seen.volumetric_efficiency == pytest.approx(LOBE.volumetric_efficiency, rel=1e-14)
    assert seen.isentropic_efficiency == pytest.approx(LOBE.isentropic_efficiency, rel=1e-14)
    turned = centrifugal_map_point(WHEEL, WHEEL.speed, WHEEL.air_flow)
    assert turned.pressure_ratio == pytest.approx(WHEEL.pressure_ratio, rel=1e-14)
    assert turned.isentropic_efficiency == pytest.approx(WHEEL.isentropic_efficiency, rel=1e-14)


def test_points_in_any_order_of_speeds_make_the_same_map() -> None:
    """Lines may stand in any order; points along each keep theirs."""
    order = np.argsort(-WHEEL.speed, kind="stable")
    other = CentrifugalMap(
        *(getattr(WHEEL, name)[order]
          for name in ("speed", "air_flow", "pressure_ratio", "isentropic_efficiency"))
    )  # fmt: skip
    here, there = (centrifugal_map_point(item, 770.0, 0.16) for item in (WHEEL, other))
    assert here.pressure_ratio == there.pressure_ratio


@quick
@given(st.floats(40.0, 260.0), st.floats(1.02, 3.2))
def test_a_whole_grid_reads_as_scipy_reads_it(speed: float, ratio: float) -> None:
    """Where all lines have the same ratios it is bilinear (scipy 1.17.1, RUN)."""
    table = LOBE.volumetric_efficiency.reshape(len(ROTORS), len(RATIOS))
    expected = RegularGridInterpolator((ROTORS, RATIOS), table)((speed, ratio))
    seen = displacement_map_point(LOBE, speed, ratio).volumetric_efficiency[0]
    assert seen == pytest.approx(float(expected), rel=1e-10)


@quick
@given(st.floats(300.0, 1200.0), st.floats(0.0, 0.4))
def test_nothing_is_said_outside(speed: float, flow: float) -> None:
    """Inside the polygon of the lines' ends there is a value, outside none."""
    low = float(np.interp(speed, [500.0, 700.0, 900.0], [0.05, 0.07, 0.10]))
    high = float(np.interp(speed, [500.0, 700.0, 900.0], [0.15, 0.21, 0.27]))
    inside = 500.0 <= speed <= 900.0 and low <= flow <= high
    seen = centrifugal_map_point(WHEEL, speed, flow)
    assert np.isfinite(seen.pressure_ratio[0]) == inside
    assert np.isfinite(seen.isentropic_efficiency[0]) == inside


def causes(found: Match) -> list[str]:
    """The words for each speed."""
    assert found.outside is not None
    assert (found.solved == (found.outside == 0)).all()
    assert (np.isnan(found.mass_flow) == ~found.solved).all()
    return [OUTSIDE[index] for index in found.outside]


@pytest.mark.parametrize(
    ("engine_speed", "displacement", "words"),
    [
        (15.0, DISPLACEMENT, "more slowly than the map's lowest speed"),
        (130.0, DISPLACEMENT, "faster than the map's highest speed"),
        (80.0, 0.5e-3, "pressure ratio would lie below the map's lowest"),
        (80.0, 4.5e-3, "pressure ratio would lie above the map's highest"),
    ],
)
def test_where_a_displacing_blowers_map_ends(
    engine_speed: float, displacement: float, words: str
) -> None:
    """Each side of the map has its own words; inside there are none."""
    speeds = np.array([80.0, engine_speed])
    size = np.array([DISPLACEMENT, displacement])
    found = match_map(speeds, AIR, ENGINE, MappedSupply(LOBE, size, 2.2), COOLER)
    inside, outside = causes(found)
    assert inside == ""
    assert words in outside
    assert found.reason == f"outside the measured map: {outside}"


@pytest.mark.parametrize(
    ("engine_speed", "swept_volume", "words"),
    [
        (50.0, 2.4e-3, "more slowly than the map's lowest speed"),
        (120.0, 2.4e-3, "faster than the map's highest speed"),
        (90.0, 0.9e-3, "less than the map's smallest flow, towards surge"),
        (90.0, 5.0e-3, "more than the map's largest flow, towards choke"),
    ],
)
def test_where_a_wheels_map_ends(engine_speed: float, swept_volume: float, words: str) -> None:
    """Surge and choke are told apart, and slow from fast."""
    speeds = np.array([90.0, engine_speed])
    engine = Demand(np.array([2.4e-3, swept_volume]), 0.9)
    found = match_centrifugal_map(speeds, AIR, engine, MappedImpeller(WHEEL, 8.0), COOLER)
    inside, outside = causes(found)
    assert inside == ""
    assert words in outside


def test_the_wheel_works_at_its_corrected_speed_and_flow() -> None:
    """The balance lies on the map where similarity puts it, in thin warm air too."""
    thin = Inlet(84e3, 308.0, 2e4)
    found = match_centrifugal_map(90.0, thin, Demand(2.4e-3, 0.9), MappedImpeller(WHEEL, 8.0))
    speed = corrected_speed(720.0, 308.0)
    flow = corrected_flow(found.mass_flow, found.inlet_pressure, 308.0)
    seen = centrifugal_map_point(WHEEL, speed, flow)
    assert found.pressure_ratio == pytest.approx(seen.pressure_ratio, rel=1e-9)
    rise = found.pressure_ratio ** ((KAPPA - 1.0) / KAPPA) - 1.0
    hot = 308.0 * (1.0 + rise / seen.isentropic_efficiency)
    assert found.discharge_temperature == pytest.approx(hot, rel=1e-9)


def varied(name: str, values: Array) -> list[Match]:
    """Both balances with one parameter of the blower given for each speed."""
    speeds = np.array([70.0, 85.0, 100.0])
    other = {"volumetric_factor": "head_factor"}.get(name, name)
    supply = {"speed_ratio": 2.2, name: values}
    wheel = {"speed_ratio": 8.0, other: 8.0 / 2.2 * values if name == "speed_ratio" else values}
    return [
        match_map(speeds, AIR, ENGINE, MappedSupply(LOBE, DISPLACEMENT, **supply), COOLER),  # type: ignore[arg-type]
        match_centrifugal_map(speeds, AIR, Demand(2.4e-3, 0.9), MappedImpeller(WHEEL, **wheel)),  # type: ignore[arg-type]
    ]


@pytest.mark.parametrize(
    ("name", "values"),
    [
        ("speed_ratio", [2.15, 2.2, 2.25]),
        ("volumetric_factor", [0.97, 1.0, 1.03]),
        ("efficiency_factor", [0.95, 1.0, 1.05]),
        ("mechanical_efficiency", [0.9, 0.92, 0.94]),
    ],
)
def test_one_value_for_each_speed_is_as_one_value_at_that_speed(
    name: str, values: list[float]
) -> None:
    """Solving many cases at once gives what each alone gives."""
    together = varied(name, np.array(values))
    for index, value in enumerate(values):
        alone = varied(name, np.full(3, value))
        for many, one in zip(together, alone, strict=True):
            for station in ("manifold_pressure", "charge_temperature", "mass_flow", "drive_power"):
                expected = getattr(one, station)[index]
                assert getattr(many, station)[index] == pytest.approx(expected, rel=1e-11)


@quick
@given(st.floats(0.9, 1.1), st.floats(0.8, 1.2))
def test_factors_push_the_way_they_should(volumetric: float, isentropic: float) -> None:
    """More delivered is more boost; better compression is cooler charge."""
    plain = match_map(80.0, AIR, ENGINE, MappedSupply(LOBE, DISPLACEMENT, 2.2), COOLER)
    more = match_map(
        80.0, AIR, ENGINE, MappedSupply(LOBE, DISPLACEMENT, 2.2, volumetric_factor=volumetric),
        COOLER,
    )  # fmt: skip
    assert (more.manifold_pressure > plain.manifold_pressure)[0] == (volumetric > 1.0)
    better = match_map(
        80.0, AIR, ENGINE, MappedSupply(LOBE, DISPLACEMENT, 2.2, efficiency_factor=isentropic),
        COOLER,
    )  # fmt: skip
    if abs(isentropic - 1.0) > 1e-6:
        cooler = better.discharge_temperature < plain.discharge_temperature
        assert cooler[0] == (isentropic > 1.0)


def test_no_factor_beats_an_isentropic_machine() -> None:
    """However large the factor, the air leaves no colder than an isentropic machine makes it."""
    supply = MappedSupply(LOBE, DISPLACEMENT, 2.2, efficiency_factor=9.0)
    found = match_map(80.0, AIR, ENGINE, supply)
    coldest = COLD * found.pressure_ratio ** ((KAPPA - 1.0) / KAPPA)
    assert found.discharge_temperature == pytest.approx(coldest, rel=1e-12)


def test_a_parameter_that_does_not_go_with_the_speeds_is_refused() -> None:
    """Two factors for three speeds make no sense, and the words say so."""
    supply = MappedSupply(LOBE, DISPLACEMENT, 2.2, volumetric_factor=np.array([1.0, 1.1]))
    with pytest.raises(ValueError, match="volumetric factor must have one value, or one for each"):
        match_map(np.array([50.0, 60.0, 70.0]), AIR, ENGINE, supply)
