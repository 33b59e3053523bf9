"""The hidden figures of the demo archive's working machines, and the pulls they went through."""

from __future__ import annotations

from tests.generator.scenario import Pull, rpm
from tests.generator.truth import FUELS, Air, Belt, Displacer, Engine, Inlet, Setup, Truth

_RESURFACER = Truth(
    Engine(
        4,
        0.088,
        0.090,
        8.4,
        4800 / 60,
        filling=0.93,
        valve_restriction=12.0,
        tuned_speed=45.0,
        tuning_width=20.0,
        tuning_gain=0.03,
        octane_need=86.0,
        exhaust_area=1.1e-3,
    ),
    Inlet(1.2e-3, pickup=8.0),
    Displacer(
        1.0e-3,
        built_in_ratio=1.25,
        leak_area=30e-6,
        filling=0.93,
        choke_speed=300.0,
        drag_torque=2.2,
        windage_torque=3.0,
        gear_efficiency=0.93,
    ),
    belt=Belt(tension=700.0),
)

PULLS: tuple[Pull, ...] = (
    Pull(
        "ice-resurfacer",
        "2022-11-09",
        "rink",
        _RESURFACER,
        Setup(FUELS["e10"], 0.88, 0.140, 0.090),
        Air(97.4e3, 281.2, 0.7),
        rpm(1500, 4800, 50),
        110901,
        ("power [hp]", "torque [lb ft]", "boost [psi]"),
    ),
)
