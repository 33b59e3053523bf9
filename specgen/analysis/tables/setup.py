"""The table of rows that belong to one setup: its drive here, its fuel and estimate beside it."""

from __future__ import annotations

from collections.abc import Mapping

from specgen.analysis.rows.row import Row
from specgen.analysis.rows.scope import Derived, Made, Output, Rule, Scope, Stated
from specgen.analysis.tables.belt import BELT
from specgen.analysis.tables.cooler import COOLING
from specgen.analysis.tables.defaults import instrument
from specgen.analysis.tables.estimated import ESTIMATE
from specgen.analysis.tables.fuel import FUEL
from specgen.physics import pulley


def _one_turn(scope: Scope) -> Mapping[str, Row]:
    """One turn of the crank, so that a speed ratio comes out of the law for speeds."""
    return {"one": scope.present("one", "count", 1.0, "One turn of the crank",
                                 source="by definition")}  # fmt: skip


_DRIVE: tuple[Rule, ...] = (
    Stated(
        "crank_pulley",
        "pulley_diameter",
        "setup.crank_pulley|build.drive.crank_pulley",
        title="Crank pulley",
        uncertainty=instrument("length"),
        missing="no crank pulley recorded",
    ),
    Stated(
        "blower_pulley",
        "pulley_diameter",
        "setup.blower_pulley|build.drive.blower_pulley",
        title="Blower pulley",
        uncertainty=instrument("length"),
        missing="no blower pulley recorded",
    ),
    Derived(
        (Output("pitch_ratio", "pulley_ratio"),),
        pulley.pitch_ratio,
        {"crank_diameter": "crank_pulley", "blower_diameter": "blower_pulley"},
    ),
    Derived(
        (Output("nominal_ratio", "pulley_ratio", "Nominal ratio, by the sizes on the pulleys"),),
        pulley.nominal_ratio,
        {"crank_diameter": "crank_pulley", "blower_diameter": "blower_pulley"},
    ),
    Made(("one",), _one_turn),
    Derived(
        (Output("rotor_ratio", "pulley_ratio", "Speed ratio of the rotors to the crank"),),
        pulley.blower_speed,
        {"engine_speed": "one", "ratio": "pitch_ratio", "internal_ratio": "internal_ratio"},
    ),
    Derived(
        (
            Output(
                "blower_speed_at_top",
                "blower_speed",
                "Blower speed at the highest engine speed",
            ),
        ),
        pulley.blower_speed,
        {
            "engine_speed": "max_speed",
            "ratio": "pitch_ratio",
            "internal_ratio": "internal_ratio",
        },
    ),
)

SETUP: tuple[Rule, ...] = (*_DRIVE, *BELT, *ESTIMATE, *COOLING, *FUEL)
