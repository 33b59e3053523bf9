"""The hidden figures of the demo archive's working machines, and the pulls they went through."""

from __future__ import annotations

from tests.generator.scenario import Day, Pull, air, bench, setup
from tests.generator.truth import Belt, Cooler, Displacer, Engine, Inlet, Truth

# The ice machine: a vane blower, and only its peaks on the job card.
_RESURFACER_ENGINE = Engine(
    4, 0.088, 0.090, 8.4, 4800 / 60, filling=0.93, valve_restriction=13.8, tuned_speed=45.0,
    tuning_gain=0.03, tuning_width=20.0, octane_need=86.0, burn_speed=5900 / 60,
    exhaust_area=1.1e-3
)  # fmt: skip
_VANE = Displacer(
    1.0e-3, built_in_ratio=1.25, leak_area=30e-6, filling=0.93, choke_speed=300.0,
    drag_torque=2.2, windage_torque=3.0, gear_efficiency=0.93
)  # fmt: skip
_RESURFACER_DAY = Day(
    "ice-resurfacer", "2022-11-09",
    Truth(_RESURFACER_ENGINE, Inlet(1.2e-3, pickup=8.0), _VANE, belt=Belt(tension=900.0)),
    air(97.4, 8.0, 70), bench(1500, 4800, 50),
    ("power [hp]", "torque [lb ft]", "boost [psi]"), 110900
)  # fmt: skip

# The propeller sledge: a flat four with the same vane blower; no humidity was noted.
_SLEDGE_ENGINE = Engine(
    4, 0.096, 0.084, 8.2, 3400 / 60, filling=0.93, valve_restriction=14.4, tuned_speed=42.0,
    tuning_gain=0.03, tuning_width=20.0, octane_need=86.0, burn_speed=3900 / 60,
    exhaust_area=1.2e-3
)  # fmt: skip
_SLEDGE_DAY = Day(
    "ice-sledge", "2023-12-14",
    Truth(_SLEDGE_ENGINE, Inlet(1.3e-3, pickup=6.0), _VANE, belt=Belt(tension=1000.0)),
    air(97.8, 3.4, 80), bench(1200, 3400, 50, smoothing=80),
    ("engine speed [rpm]", "torque [N m]", "boost [kPa]"), 121400
)  # fmt: skip

# The groomer: a V8 with a large screw blower at 600 m.
_GROOMER_ENGINE = Engine(
    8, 0.094, 0.088, 8.8, 5200 / 60, filling=0.91, valve_restriction=13.2, tuned_speed=54.0,
    tuning_gain=0.04, octane_need=81.0, burn_speed=6400 / 60,
    exhaust_area=3.0e-3
)  # fmt: skip
_GROOMER = Truth(
    _GROOMER_ENGINE,
    Inlet(3.6e-3, pickup=6.0),
    Displacer(
        2.3e-3, built_in_ratio=1.35, leak_area=55e-6, filling=0.95, index=1.43, drag_torque=2.0,
        windage_torque=2.0
    ),
    Cooler(1.1, 0.33, 285.0, 6000.0, 4.0e-3),
    Belt(tension=2000.0),
)  # fmt: skip
# 1016 hPa reduced to sea level at 600 m: 101.6 kPa times (1 - 2.25577e-5 * 600)^5.25588.
_GROOMER_DAY = Day(
    "saddle-groomer", "2024-11-20", _GROOMER, air(101.6 * 0.930882, 6.2, 62), bench(1400, 5200),
    (
        "engine speed [rpm]", "torque [N m]", "boost [kPa]", "air-fuel ratio",
        "intake temperature [degC]", "discharge temperature [degC]",
        "charge temperature [degC]", "ignition advance [deg]"
    ), 112000
)  # fmt: skip

# The railcar: one engine over four years, pulleys and fuel changing.
_RAILCAR_ENGINE = Engine(
    6, 0.100, 0.101, 8.5, 4400 / 60, filling=0.91, valve_restriction=14.4, tuned_speed=42.0,
    tuning_gain=0.035, tuning_width=20.0, octane_need=80.0, burn_speed=5300 / 60,
    exhaust_area=2.4e-3
)  # fmt: skip
_RAILCAR = Truth(
    _RAILCAR_ENGINE,
    Inlet(2.3e-3, pickup=9.0),
    Displacer(1.6e-3, leak_area=66e-6, windage_torque=0.7),
    belt=Belt(tension=1400.0),
)
_RAILCAR_2022 = Day(
    "narrow-gauge-railcar", "2022-04-07", _RAILCAR, air(97.9, 9.5, 71), bench(1000, 4400),
    ("engine speed [rpm]", "torque [N m]", "power [kW]"), 40700
)  # fmt: skip
_RAILCAR_2023 = Day(
    "narrow-gauge-railcar", "2023-10-19", _RAILCAR, air(98.8, 13.1, 63), bench(1000, 4400),
    (
        "engine speed [rpm]", "torque [N m]", "boost [kPa]", "lambda",
        "intake temperature [degC]"
    ), 101900
)  # fmt: skip
_RAILCAR_2026 = Day(
    "narrow-gauge-railcar", "2026-03-11", _RAILCAR, air(99.2, 7.4, 68), bench(1000, 4400),
    (
        "engine speed [rpm]", "torque [N m]", "boost [kPa]", "lambda",
        "charge temperature [degC]", "inlet pressure drop [kPa]"
    ), 31100
)  # fmt: skip

# The rope tow: a peak on a scrap of paper.
_WINCH_ENGINE = Engine(
    3, 0.076, 0.080, 9.0, 5200 / 60, filling=0.90, valve_restriction=14.4, tuned_speed=52.0,
    octane_need=87.0, burn_speed=6800 / 60,
    exhaust_area=0.7e-3
)  # fmt: skip
_WINCH_DAY = Day(
    "rope-tow-winch", "2022-02-05", Truth(_WINCH_ENGINE, Inlet(0.55e-3, pickup=5.0)),
    air(94.2, -3.0, 75), bench(1500, 5200), ("power [PS]",), 20500
)  # fmt: skip

# The snow thrower: a naturally aspirated V8; DIN figures with their factor, peaks only.
_THROWER_ENGINE = Engine(
    8, 0.099, 0.096, 8.8, 4400 / 60, filling=0.89, valve_restriction=14.9, tuned_speed=40.0,
    tuning_gain=0.04, octane_need=87.0, burn_speed=5500 / 60,
    exhaust_area=2.8e-3
)  # fmt: skip
_THROWER_DAY = Day(
    "snow-thrower", "2023-01-25", Truth(_THROWER_ENGINE, Inlet(2.8e-3, pickup=5.0)),
    air(96.9, 2.0, 66), bench(1200, 4400, standard="din-70020"),
    ("power [kW]", "torque [N m]"), 12500
)  # fmt: skip

# The shed's own test engine: one pair of pulleys, three fuels; then methanol two years later.
_SHED_ENGINE = Engine(
    4, 0.085, 0.088, 9.0, 6600 / 60, filling=0.93, valve_restriction=11.3, tuned_speed=74.0,
    tuning_gain=0.045, octane_need=80.0, burn_speed=8000 / 60,
    exhaust_area=2.0e-3
)  # fmt: skip
OUZEL = Displacer(
    1.2e-3, built_in_ratio=1.3, leak_area=36e-6, filling=0.95, index=1.44, drag_torque=1.0,
    windage_torque=0.9
)  # fmt: skip
_SHED = Truth(
    _SHED_ENGINE,
    Inlet(2.2e-3, pickup=4.0),
    OUZEL,
    Cooler(1.2, 0.18, 288.0, 3500.0, 2.3e-3),
    Belt(tension=1500.0),
)
_SHED_COLUMNS = (
    "engine speed [rpm]",
    "torque [N m]",
    "boost [kPa]",
    "lambda",
    "intake temperature [degC]",
    "discharge temperature [degC]",
    "charge temperature [degC]",
    "blower speed [rpm]",
    "inlet pressure drop [kPa]",
    "air flow [kg/h]",
    "fuel flow [kg/h]",
    "ignition advance [deg]",
)
_SHED_2024 = Day(
    "shed-test-engine", "2024-02-13", _SHED, air(99.7, 14.0, 51), bench(2000, 6600),
    _SHED_COLUMNS, 21300
)  # fmt: skip
_SHED_2026 = Day(
    "shed-test-engine", "2026-02-18", _SHED, air(98.2, 12.2, 60), bench(2000, 6600),
    _SHED_COLUMNS, 21800
)  # fmt: skip

PULLS: tuple[Pull, ...] = (
    Pull(_RESURFACER_DAY, 1, "rink", setup("e10", 0.88, 140, 89.4), curve=False),
    Pull(_SLEDGE_DAY, 1, "ice", setup("petrol-98", 0.87, 160, 95.1)),
    Pull(_SLEDGE_DAY, 2, "ice", setup("petrol-98", 0.87, 160, 95.1), soak=1.0),
    Pull(_GROOMER_DAY, 1, "p107", setup("petrol-98", 0.86, 180, 106.7)),
    Pull(_GROOMER_DAY, 2, "p104", setup("petrol-98", 0.86, 180, 103.5), soak=1.5),
    Pull(_RAILCAR_2022, 1, "first", setup("petrol-95", 0.90, 180, 104.7)),
    Pull(_RAILCAR_2023, 1, "second", setup("petrol-95", 0.88, 180, 95.5)),
    Pull(_RAILCAR_2023, 2, "second-e10", setup("e10", 0.88, 180, 95.5), soak=1.0),
    Pull(_RAILCAR_2026, 1, "third", setup("e10", 0.87, 180, 87.1)),
    Pull(_WINCH_DAY, 1, "tow", setup("petrol-95", 0.90), curve=False),
    Pull(_THROWER_DAY, 1, "thrower", setup("petrol-95", 0.90), curve=False),
    Pull(_SHED_2024, 1, "petrol", setup("petrol-98", 0.85, 160, 94)),
    Pull(_SHED_2024, 2, "half", setup("e50", 0.85, 160, 94), soak=1.0),
    Pull(_SHED_2024, 3, "ethanol", setup("e85", 0.83, 160, 94), soak=1.5),
    Pull(_SHED_2026, 1, "ethanol", setup("e85", 0.83, 160, 94)),
    Pull(_SHED_2026, 2, "methanol", setup("methanol", 0.80, 160, 94), soak=1.0),
)
