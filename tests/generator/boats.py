"""The hidden figures of the demo archive's boats, and the pulls they were put through."""

from __future__ import annotations

from dataclasses import replace

from tests.generator.scenario import Pull, rpm
from tests.generator.truth import FUELS, Air, Belt, Cooler, Displacer, Engine, Inlet, Setup, Truth

#: The workshop's own lobe blower at 1.6 L, as the one on the hydroplane turned out.
_LARK = Truth(
    Engine(
        6,
        0.084,
        0.090,
        9.0,
        6800 / 60,
        filling=0.92,
        valve_restriction=10.4,
        tuned_speed=74.0,
        tuning_gain=0.045,
        octane_need=82.0,
        exhaust_area=2.6e-3,
    ),
    Inlet(3.1e-3, pickup=4.0),
    Displacer(1.6e-3, leak_area=58e-6, windage_torque=0.7),
    Cooler(1.35, 0.25, 289.0, 4000.0, 3.4e-3),
    Belt(tension=1500.0),
)
_LARK_AIR = Air(98.9e3, 291.9, 0.58)
_LARK_BENCH = rpm(2400, 6800)
_FULL = (
    "engine speed [rpm]",
    "torque [N m]",
    "boost [kPa]",
    "lambda",
    "intake temperature [degC]",
    "charge temperature [degC]",
    "blower speed [rpm]",
    "inlet pressure drop [kPa]",
)


def _lark(number: int, pulley: float, soak: float = 0.0) -> Pull:
    setup = Setup(FUELS["e85"], 0.82, 0.160, pulley)
    return Pull(
        "lark-hydroplane",
        "2025-05-14",
        f"p{pulley * 1e3:.0f}",
        _LARK,
        setup,
        _LARK_AIR,
        _LARK_BENCH,
        51400 + number,
        _FULL,
        f"2025-05-14-{number}.csv",
        soak,
    )


_FERRY = Truth(
    Engine(
        4,
        0.092,
        0.0712,
        9.2,
        5800 / 60,
        filling=0.915,
        valve_restriction=13.5,
        tuned_speed=58.0,
        tuning_width=22.0,
        tuning_gain=0.04,
        octane_need=88.0,
        exhaust_area=1.3e-3,
    ),
    Inlet(1.05e-3, pickup=6.0),
)


def _ferry(number: int, soak: float) -> Pull:
    setup = Setup(FUELS["petrol-95"], 0.90)
    columns = ("engine speed [rpm]", "torque [N m]", "power [kW]")
    return Pull(
        "harbour-ferry",
        "2023-03-22",
        "as-built",
        _FERRY,
        setup,
        Air(98.1e3, 285.7, 0.66),
        rpm(1400, 5600),
        32200 + number,
        columns,
        f"2023-03-22-{number}.csv",
        soak,
    )


PULLS: tuple[Pull, ...] = (
    _lark(1, 0.095),
    _lark(2, 0.090, 1.0),
    _lark(3, 0.085, 1.5),
    _lark(4, 0.085, 2.5),
    _lark(5, 0.085, 3.0),
    _lark(6, 0.080, 2.0),
    _ferry(1, 0.0),
    _ferry(2, 1.5),
)
