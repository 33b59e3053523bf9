"""The hidden figures of the demo archive's boats, and the pulls they were put through."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tests.generator.scenario import Day, Pull, air, bench, setup
from tests.generator.truth import Belt, Cooler, Displacer, Engine, Impeller, Inlet, Truth

# The racing hydroplane: four blower pulleys in one day, three pulls on one of them.
_LARK_ENGINE = Engine(
    6, 0.084, 0.090, 9.0, 6800 / 60, filling=0.92, valve_restriction=12.0, tuned_speed=74.0,
    tuning_gain=0.045, octane_need=72.0, burn_speed=8600 / 60,
    exhaust_area=2.6e-3
)  # fmt: skip
LARK = Truth(
    _LARK_ENGINE,
    Inlet(3.1e-3, pickup=4.0),
    Displacer(1.6e-3, leak_area=58e-6, windage_torque=0.7),
    Cooler(1.35, 0.25, 289.0, 4000.0, 3.4e-3),
    Belt(tension=1500.0),
)
_LARK_COLUMNS = (
    "engine speed [rpm]",
    "torque [N m]",
    "boost [kPa]",
    "lambda",
    "intake temperature [degC]",
    "charge temperature [degC]",
    "blower speed [rpm]",
    "inlet pressure drop [kPa]",
)
_LARK_DAY = Day(
    "lark-hydroplane", "2025-05-14", LARK, air(98.9, 18.7, 58), bench(2400, 6800),
    _LARK_COLUMNS, 51400
)  # fmt: skip

# The foot ferry: naturally aspirated, three columns only.
_FERRY_ENGINE = Engine(
    4, 0.092, 0.0712, 9.2, 5800 / 60, filling=0.915, valve_restriction=15.5, tuned_speed=58.0,
    tuning_gain=0.04, tuning_width=22.0, octane_need=88.0, burn_speed=7100 / 60,
    exhaust_area=1.3e-3
)  # fmt: skip
_FERRY_DAY = Day(
    "harbour-ferry", "2023-03-22", Truth(_FERRY_ENGINE, Inlet(1.05e-3, pickup=6.0)),
    air(98.1, 12.5, 66), bench(1400, 5600),
    ("engine speed [rpm]", "torque [N m]", "power [kW]"), 32200
)  # fmt: skip

# The smaller hydroplane: centrifugal, in imperial units, on a dyno that writes SAE J607 figures.
_TEAL_ENGINE = Engine(
    4, 0.086, 0.086, 9.4, 7600 / 60, filling=0.94, valve_restriction=10.7, tuned_speed=96.0,
    tuning_gain=0.05, tuning_width=22.0, octane_need=75.0, burn_speed=8900 / 60,
    exhaust_area=2.2e-3
)  # fmt: skip
DIPPER = Impeller(0.082, 6.0, head=0.60)
_TEAL = Truth(
    _TEAL_ENGINE,
    Inlet(2.6e-3, pickup=5.0),
    DIPPER,
    Cooler(1.1, 0.18, 288.0, 3000.0, 2.6e-3),
    Belt(tension=1400.0),
)
_TEAL_COLUMNS = (
    "engine speed [rpm]",
    "torque [lb ft]",
    "boost [psi]",
    "air-fuel ratio",
    "charge temperature [degF]",
)
_TEAL_DAY = Day(
    "teal-hydroplane", "2024-05-29", _TEAL, air(29.35 * 3.386389, (72 - 32) / 1.8, 47),
    bench(2800, 7600, standard="sae-j607"), _TEAL_COLUMNS, 52900
)  # fmt: skip

# The rescue launch: everything near its limit.
_RESCUE_ENGINE = Engine(
    6, 0.090, 0.084, 9.2, 6500 / 60, filling=0.93, valve_restriction=11.5, tuned_speed=72.0,
    tuning_gain=0.035, tuning_width=20.0, octane_need=82.0, burn_speed=7700 / 60,
    exhaust_area=2.5e-3
)  # fmt: skip
_RESCUE = Truth(
    _RESCUE_ENGINE,
    Inlet(2.9e-3, pickup=5.0),
    Displacer(
        1.2e-3, built_in_ratio=1.3, leak_area=34e-6, filling=0.95, index=1.44, drag_torque=1.0,
        windage_torque=0.9
    ),
    Cooler(1.5, 0.22, 287.0, 4500.0, 3.0e-3),
    Belt(tension=1600.0),
)  # fmt: skip
_RESCUE_COLUMNS = (
    "engine speed [rpm]",
    "torque [N m]",
    "manifold pressure [kPa]",
    "lambda",
    "discharge temperature [degC]",
    "charge temperature [degC]",
    "blower speed [rpm]",
    "fuel flow [kg/h]",
)
_RESCUE_DAY = Day(
    "rescue-launch", "2025-10-02", _RESCUE, air(99.6, 11.8, 74), bench(2000, 6500),
    _RESCUE_COLUMNS, 100200
)  # fmt: skip

# The sprint boat: the tensioner was not reset for the smallest pulley, so its belt ran slack and
# slips from about 6000 rpm. The archive does not know.
_PLOVER_ENGINE = Engine(
    6, 0.090, 0.0704, 8.8, 7000 / 60, filling=0.92, valve_restriction=12.4, tuned_speed=80.0,
    tuning_gain=0.05, octane_need=74.0, burn_speed=8700 / 60,
    exhaust_area=2.4e-3
)  # fmt: skip
_PLOVER = Truth(
    _PLOVER_ENGINE,
    Inlet(2.8e-3, pickup=5.0),
    Displacer(1.6e-3, leak_area=62e-6, windage_torque=0.7),
    Cooler(1.0, 0.22, 290.0, 3500.0, 3.0e-3),
    Belt(tension=1250.0),
)
PLOVER_DAY = Day(
    "plover-sprint", "2025-07-02", _PLOVER, air(98.6, 23.4, 52), bench(2500, 7000),
    (
        "engine speed [rpm]", "torque [N m]", "boost [kPa]", "lambda",
        "charge temperature [degC]"
    ), 70200
)  # fmt: skip

_PLOVER_SLACK_DAY = replace(
    PLOVER_DAY, truth=replace(_PLOVER, belt=Belt(tension=575.0, mass=0.08, fade=0.3))
)

# The mail boat: an older test, on a dyno that writes DIN figures.
_MAIL_ENGINE = Engine(
    6, 0.095, 0.096, 8.6, 4600 / 60, filling=0.90, valve_restriction=14.9, tuned_speed=44.0,
    tuning_gain=0.04, octane_need=87.0, burn_speed=5900 / 60,
    exhaust_area=2.1e-3
)  # fmt: skip
_MAIL_DAY = Day(
    "mail-boat", "2022-06-15", Truth(_MAIL_ENGINE, Inlet(2.0e-3, pickup=7.0)),
    air(98.4, 24.6, 44), bench(1200, 4600, standard="din-70020"),
    ("engine speed [rpm]", "power [PS]", "torque [N m]", "intake temperature [degC]"), 61500
)  # fmt: skip


def _ladder(
    day: Day, mixture: float, crank: float, steps: Sequence[tuple[float, str]]
) -> list[Pull]:
    """One pull on each blower pulley with its fuel, a little warmer each time."""
    return [
        Pull(day, number, f"p{pulley:.0f}", setup(fuel, mixture, crank, pulley), 0.8 * (number - 1))
        for number, (pulley, fuel) in enumerate(steps, start=1)
    ]


# The shed turns its pulleys itself, each step 3 % of ratio from the last on pitch diameters.
_LARK_STEPS = [(95.5, "e50"), (92.6, "e50"), *[(89.8, "e85")] * 3, (87.1, "e85")]


PULLS: tuple[Pull, ...] = (
    *_ladder(_LARK_DAY, 0.82, 160, _LARK_STEPS),
    Pull(_FERRY_DAY, 1, "as-built", setup("petrol-95", 0.90)),
    Pull(_FERRY_DAY, 2, "as-built", setup("petrol-95", 0.90), soak=1.5),
    *_ladder(_TEAL_DAY, 0.84, 140, [(77.6, "e50"), (75.2, "e50")]),
    Pull(_RESCUE_DAY, 1, "p86", setup("petrol-98", 0.83, 200, 85.7)),
    Pull(_RESCUE_DAY, 2, "p83", setup("petrol-98", 0.83, 200, 83.1), soak=1.0),
    *_ladder(PLOVER_DAY, 0.83, 150, [(87.1, "e50"), (84.4, "e50"), (81.8, "e50")]),
    Pull(_PLOVER_SLACK_DAY, 4, "p79", setup("e50", 0.83, 150, 79.3), soak=2.4),
    Pull(_MAIL_DAY, 1, "post", setup("petrol-95", 0.91)),
)
