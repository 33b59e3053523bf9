"""The table of rows that belong to one run outside the dyno."""

from __future__ import annotations

from specgen.analysis.rows.scope import Derived, FirstOf, Output, Rule, Stated
from specgen.analysis.tables.defaults import PRACTICE, relative
from specgen.physics import outing

OUTING: tuple[Rule, ...] = (
    Stated("run_distance", "run_distance", "outing.distance",
           uncertainty=relative(0.002, PRACTICE)),
    Stated("run_time", "run_time", "outing.time", uncertainty=relative(0.005, PRACTICE)),
    Stated("terminal_speed", "terminal_speed", "outing.terminal_speed",
           uncertainty=relative(0.01, PRACTICE)),
    Stated("run_mass", "run_mass", "outing.mass", uncertainty=relative(0.02, PRACTICE)),
    Derived(
        (Output("power_by_time", "power", "Mean power into motion, by energy over time"),),
        outing.mean_power_by_time,
        {"mass": "run_mass", "speed": "terminal_speed", "time": "run_time"},
    ),
    Derived(
        (Output("power_by_distance", "power", "Power into motion, had it been constant"),),
        outing.constant_power_by_distance,
        {"mass": "run_mass", "speed": "terminal_speed", "distance": "run_distance"},
    ),
    FirstOf("motion_power", ("power_by_time", "power_by_distance")),
)  # fmt: skip
