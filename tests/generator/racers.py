"""The hidden figures of the demo archive's hill climbers, and the pulls they were put through."""

from __future__ import annotations

from tests.generator.scenario import Day, Pull, air, bench, setup
from tests.generator.truth import (
    Belt,
    Cooler,
    Displacer,
    DriveLine,
    Engine,
    Inlet,
    Truth,
    Turbine,
)

# The three-wheeler: a V-twin on methanol, on the roller at 600 m.
_TWIN_ENGINE = Engine(
    2, 0.094, 0.086, 9.5, 6500 / 60, filling=0.92, valve_restriction=11.3, tuned_speed=74.0,
    tuning_gain=0.05, octane_need=72.0, burn_speed=8000 / 60,
    exhaust_area=1.2e-3
)  # fmt: skip
_TWIN = Truth(
    _TWIN_ENGINE,
    Inlet(1.4e-3, pickup=6.0),
    Displacer(
        0.6e-3, leak_area=28e-6, casing_conductance=5.0, drag_torque=0.3, windage_torque=0.25
    ),
    belt=Belt(tension=800.0, mass=0.08),
    drive_line=DriveLine(0.95, 1.2, 0.95),
)
_TWIN_DAY = Day(
    "saddle-three-wheeler", "2024-07-13", _TWIN, air(94.1, 19.6, 55),
    bench(2500, 6500, measured_at="roller"),
    ("engine speed [rpm]", "power [kW]", "torque [N m]", "boost [kPa]", "lambda"), 71300
)  # fmt: skip

# The sidecar outfit: a turbocharger held by its wastegate, on a roller that writes SAE figures.
_SIDECAR_ENGINE = Engine(
    4, 0.078, 0.068, 9.2, 9500 / 60, filling=0.95, valve_restriction=9.2, tuned_speed=118.0,
    tuning_gain=0.06, tuning_width=30.0, octane_need=79.0, burn_speed=12800 / 60,
    exhaust_area=1.6e-3
)  # fmt: skip
_SIDECAR = Truth(
    _SIDECAR_ENGINE,
    Inlet(1.9e-3, pickup=7.0),
    Turbine(85e3, 68.0, 8.0, 0.67, 1.12),
    Cooler(1.1, 0.15, 301.0, 2500.0, 2.0e-3),
    drive_line=DriveLine(0.95, 1.5, 0.94),
)
_SIDECAR_DAY = Day(
    "sidecar-outfit", "2023-08-05", _SIDECAR, air(98.0, 26.8, 49),
    bench(3500, 9500, measured_at="roller", standard="sae-j1349"),
    (
        "engine speed [rpm]", "power [kW]", "boost [bar]", "air-fuel ratio",
        "intake temperature [degC]"
    ), 80500
)  # fmt: skip

# The climb special: the same setup on the shed's engine dyno and on the school's hub dyno.
_SPECIAL_ENGINE = Engine(
    4, 0.088, 0.082, 8.8, 7400 / 60, filling=0.93, valve_restriction=11.0, tuned_speed=88.0,
    tuning_gain=0.05, tuning_width=20.0, octane_need=78.0, burn_speed=9000 / 60,
    exhaust_area=2.2e-3
)  # fmt: skip
_SPECIAL = Truth(
    _SPECIAL_ENGINE,
    Inlet(2.4e-3, pickup=5.0),
    Displacer(1.1e-3, leak_area=44e-6, drag_torque=0.5, windage_torque=0.5),
    Cooler(0.9, 0.18, 297.0, 2800.0, 2.4e-3),
    Belt(tension=1300.0),
    DriveLine(0.935, 3.0, 0.95),
)
_SPECIAL_ENGINE_DAY = Day(
    "saddle-special", "2024-04-24", _SPECIAL, air(99.3, 15.5, 57), bench(2600, 7400),
    (
        "engine speed [rpm]", "torque [N m]", "boost [kPa]", "lambda",
        "intake temperature [degC]", "charge temperature [degC]", "inlet pressure drop [kPa]"
    ), 42400
)  # fmt: skip
_SPECIAL_HUB_DAY = Day(
    "saddle-special", "2025-06-07", _SPECIAL, air(99.9, 21.8, 46),
    bench(3000, 7400, measured_at="hub"),
    ("engine speed [rpm]", "power [kW]", "torque [N m]", "boost [kPa]", "lambda"), 60700
)  # fmt: skip

PULLS: tuple[Pull, ...] = (
    Pull(_TWIN_DAY, 1, "p73", setup("e85", 0.78, 120, 72.9)),
    Pull(_TWIN_DAY, 2, "p71", setup("methanol", 0.78, 120, 70.6), soak=2.0),
    Pull(
        _TWIN_DAY,
        3,
        "p68",
        setup("methanol", 0.78, 120, 68.5),
        soak=3.0,
        silent={"lambda": (2500, 2900)},
    ),
    Pull(_SIDECAR_DAY, 1, "low", setup("petrol-102", 0.82)),
    Pull(_SIDECAR_DAY, 2, "low", setup("petrol-102", 0.82), soak=3.0),
    Pull(_SPECIAL_ENGINE_DAY, 1, "p84", setup("e50", 0.83, 140, 84)),
    Pull(_SPECIAL_ENGINE_DAY, 2, "p81", setup("e85", 0.83, 140, 81.4), soak=1.5),
    Pull(_SPECIAL_HUB_DAY, 1, "p81", setup("e85", 0.83, 140, 81.4), soak=3.0),
    Pull(_SPECIAL_HUB_DAY, 2, "p79", setup("e85", 0.83, 140, 78.9), soak=4.0),
)
