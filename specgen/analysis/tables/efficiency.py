"""Parameters of what burns: how well, what knock takes back, what friction takes."""

from __future__ import annotations

from specgen.analysis.rows.scope import Default, Parameter, Rule, Scope
from specgen.analysis.shapes import KNOTS
from specgen.analysis.tables import defaults
from specgen.physics import knock
from specgen.physics.air import KAPPA

#: Octane asked for less at twice the speed: anything from none to what the delay alone gives,
#: 96 (1 - 2^(-1/3.402)) = 17.7; mean and standard uncertainty of that rectangle.
_FALL = (8.9, 5.1)


def _indicated_efficiency(scope: Scope) -> Default:
    """Two thirds of what the ideal Otto cycle gives at this compression ratio."""
    ratio = scope["compression_ratio"]
    if not ratio.present:
        return Default(0.38, 0.04, f"compression ratio not recorded; {defaults.PRACTICE}")
    source = f"0.67 of the ideal Otto cycle; {defaults.PRACTICE}"
    return Default(usual_efficiency(ratio.scalar), 0.035, source)


def usual_efficiency(compression_ratio: float) -> float:
    """Indicated efficiency of an engine that nobody measured [1], by its compression ratio [1].

    0.67 of the ideal Otto cycle's; common practice, no source.
    """
    ideal: float = 1 - compression_ratio ** (1 - KAPPA)
    return 0.67 * ideal


def bends(name: str, title: str, size: float) -> tuple[Parameter, ...]:
    """Departures from the usual shape over speed, nothing unless fitted."""
    return tuple(
        Parameter(f"{name}_{index + 1}", "share", defaults.fixed(0.0, size),
                  f"{title} at {share:.0%} of the highest speed".replace("%", " %"))
        for index, share in enumerate(KNOTS)
    )  # fmt: skip


EFFICIENCY: tuple[Rule, ...] = (
    Parameter(
        "indicated_efficiency",
        "thermal_efficiency",
        title="Indicated efficiency, of the fuel that burns",
        default=_indicated_efficiency,
    ),
    *bends("burning", "Indicated efficiency against a level line", 0.02),
    Parameter(
        "fuel_factor",
        "ratio",
        title="Indicated efficiency on this fuel against the engine's own",
        default=defaults.fixed(1.0, 0.03),
    ),
    Parameter(
        "evaporation_share",
        "fraction",
        title="Share of the fuel that evaporates before the valves",
        default=defaults.fixed(0.2, 0.1),
    ),
    Parameter(
        "boost_exponent",
        "ratio",
        title="Exponent of manifold pressure in the indicated efficiency",
        default=defaults.fixed(0.0, 0.04),
    ),
    Parameter(
        "octane_need",
        "octane",
        title="Octane asked for at 100 kPa, 37 °C, a compression ratio of 9 and 2000 rpm",
        default=defaults.fixed(
            91.0,
            6.0,
            "road engines of 1971 had 8.64 to one on petrol of 90 by the pump's average (US DOE "
            "Fact 940), 94 by research number: 96 at nine to one, as carburetted engines ask for "
            "(Hamilton, Gasoline FAQ, 7.3); later ones with 10.5 on 93 ask for 86; between the "
            "two, and what one engine differs from another",
        ),
    ),
    Parameter(
        "octane_fall",
        "octane",
        title="Octane asked for less at twice the engine speed",
        default=defaults.fixed(
            *_FALL,
            "engines ask for most at low speed (Hamilton, Gasoline FAQ, 7.1); half the time to "
            "knock is worth 18 numbers by the ignition delay of Douaud and Eyzat (from memory) if "
            "the charge gets no hotter with speed: between none of that and all of it, rectangular",
        ),
    ),
    Parameter(
        "octane_slope",
        "ratio",
        title="Octane asked for by manifold pressure, against 3.5 numbers for 10 kPa",
        default=defaults.fixed(1.0, 0.15, "3 to 4 numbers for 10 kPa; Russ, SAE 960497"),
    ),
    Parameter(
        "knock_cost",
        "ratio",
        title="Work lost by a late spark, over the square of its angle",
        default=defaults.fixed(knock.LATE_COST, 0.5),
    ),
    Parameter(
        "gas_exchange_share",
        "ratio",
        title="Work of boost on the intake stroke, against all of it",
        default=defaults.fixed(0.8, 0.2),
    ),
    Parameter(
        "friction_share",
        "ratio",
        title="Friction against the usual law",
        default=defaults.fixed(1.0, 0.25),
    ),
)
