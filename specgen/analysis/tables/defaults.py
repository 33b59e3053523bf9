"""What stands in where the archive is silent: standard uncertainties and model parameters.

Each with its source in words; most are common practice, and the sheet says so wherever one was
used. The first half gives the standard uncertainty of written figures, the second the
parameters of the boost estimate.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import sqrt

from specgen.analysis.rows.scope import Default, Scope
from specgen.archive.model.build import Number, Repeatability

PRACTICE = "common practice, no source"

# ------------------------------------------------------------ uncertainty of written figures

#: Standard uncertainty that holds where neither session nor archive states one.
#: (size, relative to the value?, source)
_INSTRUMENTS: dict[str, tuple[float, bool, str]] = {
    "power": (0.015, True, f"1.5 % of the reading; {PRACTICE}"),
    "torque": (0.015, True, f"1.5 % of the reading; {PRACTICE}"),
    "engine_speed": (0.003, True, f"0.3 % of the reading; {PRACTICE}"),
    "boost": (1500.0, False, f"1.5 kPa; {PRACTICE}"),
    "temperature": (2.0, False, f"2 K; {PRACTICE}"),
    "air_pressure": (300.0, False, f"0.3 kPa; {PRACTICE}"),
    "humidity": (0.05, False, f"5 points of relative humidity; {PRACTICE}"),
    "length": (0.0002, True, f"0.02 % of the length; {PRACTICE}"),
}

Uncertain = Callable[[Scope, float], tuple[float, str]]


def instrument(name: str) -> Uncertain:
    """Standard uncertainty of a reading: the session's, the archive's, or the default."""

    def size(scope: Scope, value: float) -> tuple[float, str]:
        session, settings = scope.subjects.session, scope.subjects.settings
        stated = _stated(session.uncertainty if session else None, name)
        where = "stated for the session"
        if stated is None and settings is not None:
            stated, where = _stated(settings.repeatability, name), "stated for the archive"
        amount, relative, source = _INSTRUMENTS[name]
        if stated is not None:
            amount, source = stated.value, f"{stated.text}, {where}"
        return amount * abs(value) if relative else amount, f"standard uncertainty {source}"

    return size


def _stated(repeatability: Repeatability | None, name: str) -> Number | None:
    return getattr(repeatability, name, None)


def relative(share: float, why: str) -> Uncertain:
    """Standard uncertainty as a share of the value."""
    return lambda _, value: (share * abs(value), f"standard uncertainty {share:.1%}; {why}")


def absolute(size: float, why: str) -> Uncertain:
    """Standard uncertainty as a fixed size in SI."""
    return lambda _scope, _value: (size, f"standard uncertainty; {why}")


def fixed(value: float, uncertainty: float, source: str = PRACTICE) -> Callable[[Scope], Default]:
    """A default that does not depend on the build."""
    return lambda _: Default(value, uncertainty, source)


# ------------------------------------------------------------ parameters of the boost estimate

#: What the model leaves out of manifold pressure and of power, as shares: the same of a pull that
#: is fitted and of a setup that is predicted; common practice, no source.
PRESSURE_SHARE, POWER_SHARE = 0.006, 0.010
#: Of the pressure of a centrifugal blower known by one point: its head falls with flow to either
#: side of it, of which the point says nothing; common practice, no source.
ONE_POINT_SHARE = 0.010


def pressure_share(scope: Scope) -> float:
    """What the model leaves out of manifold pressure, by what is known of the blower."""
    blower = scope.subjects.blower
    known = blower is None or blower.displaces or blower.map is not None
    return PRESSURE_SHARE if known else ONE_POINT_SHARE


#: Volumetric efficiency at its best speed, counted on the air in the manifold, by valves.
_BREATHING = {2: 0.87, 3: 0.90, 4: 0.93, 5: 0.93}


@dataclass(frozen=True, slots=True)
class Usual:
    """What a blower of one kind usually does; None where its kind has no such figure.

    Mechanical efficiency, volumetric efficiency without pressure difference, and the leakage area
    of a blower of one litre [m2], which grows as the surface does; common practice, no source.
    """

    mechanical_efficiency: float
    limit_efficiency: float | None = None
    leak_area: float | None = None
    built_in_ratio: Default | None = None


def _inside(kind: str) -> Default:
    return Default(1.3, 0.1, f"{kind} blower; {PRACTICE}")


#: By kind of blower, each of the archive's kinds once.
USUAL = {
    "lobe": Usual(0.92, 0.96, 62e-6, Default(1.0, 0.0, "a lobe blower has no compression inside")),
    "vane": Usual(0.85, 0.92, 45e-6, _inside("vane")),
    "screw": Usual(0.90, 0.97, 30e-6, _inside("screw")),
    "centrifugal": Usual(0.94),
}


def breathing(scope: Scope) -> Default:
    """Volumetric efficiency of an engine that was not measured, by its valves."""
    build = scope.subjects.build
    valves = build.engine.valves_per_cylinder if build else None
    count = valves.value if valves else 2
    words = f"{count} valves a cylinder" if valves else "valves not recorded, taken as two"
    return Default(_BREATHING.get(count, 0.9), 0.05, f"{words}; {PRACTICE}")


def best_speed(scope: Scope) -> Default | None:
    """Engine speed at which the engine is taken to breathe best: two thirds of its highest."""
    build = scope.subjects.build
    highest = build.engine.max_speed if build else None
    if highest is None:
        return None
    return Default(0.66 * highest.value, 0.0, f"two thirds of the highest speed; {PRACTICE}")


def _usual(name: str, uncertainty: float) -> Callable[[Scope], Default | None]:
    """A figure of the blower's kind, with its standard uncertainty."""

    def value(scope: Scope) -> Default | None:
        blower = scope.subjects.blower
        found = getattr(USUAL[blower.kind.value], name) if blower else None
        if blower is None or found is None:
            return None
        return Default(found, uncertainty, f"{blower.kind.value} blower; {PRACTICE}")

    return value


limit_efficiency = _usual("limit_efficiency", 0.025)
blower_mechanical_efficiency = _usual("mechanical_efficiency", 0.03)


def built_in_ratio(scope: Scope) -> Default | None:
    """Volume ratio inside a blower of this kind."""
    blower = scope.subjects.blower
    return USUAL[blower.kind.value].built_in_ratio if blower else None


def leak_area(scope: Scope) -> Default | None:
    """Leakage area by kind and size; with a third of it as standard uncertainty.

    No tabulated slip was found in print, so that the volumetric efficiency of an unmeasured
    blower carries about five points.
    """
    blower = scope.subjects.blower
    if blower is None or blower.displacement is None or blower.map is not None:
        return None
    kind = blower.kind.value
    of_a_litre = USUAL[kind].leak_area
    if of_a_litre is None:
        return None
    area = of_a_litre * (blower.displacement.value / 1e-3) ** (2 / 3)
    return Default(area, area / 3, f"{kind} blower of this size; {PRACTICE}")


def inlet_drop(_scope: Scope) -> Default:
    """Pressure lost before the blower at the highest speed."""
    return Default(2500.0, 1200.0, f"2.5 kPa at the highest engine speed; {PRACTICE}")


def mixture(scope: Scope) -> Default:
    """Lambda under full load, by how the engine is fed."""
    build = scope.subjects.build
    natural = build.induction.natural if build else None
    value = 0.88 if natural else 0.83
    return Default(value, 0.03, f"full load, {'natural' if natural else 'boosted'}; {PRACTICE}")


#: Ethanol in what a pump sells as E85: 51 to 83 % by volume, any share in between as likely.
E85_LOW, E85_HIGH = 0.51, 0.83
E85_SOURCE = "51 to 83 % ethanol by volume (ASTM D5798 as tabled by AFDC), rectangular"
E85_MEAN = (E85_LOW + E85_HIGH) / 2
E85_UNCERTAINTY = (E85_HIGH - E85_LOW) / sqrt(12)
#: What a tester of ethanol content reads to, by volume (common practice, no source).
TESTED_ETHANOL = 0.02
