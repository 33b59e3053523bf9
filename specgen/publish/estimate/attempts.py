"""Measured setups beside the estimate that their owners would have got, as plain data."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from specgen.analysis.planning.typed import Tried, tried
from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet
from specgen.analysis.words import MEASURING_POINTS, fuel_words
from specgen.physics.engine import swept_volume
from specgen.publish.web.handover import short

_DIGITS = 5


@dataclass(frozen=True, slots=True)
class Attempt:
    """One measured setup; figures are measured, estimated and the band's half width, SI.

    A figure is empty where it was not measured. `turned` are turns of the rotors for one of the
    crank, `speed` is the highest engine speed in revolutions a minute.
    """

    blower: str
    build: str
    title: str
    setup: str
    fuel: str
    words: str
    place: str
    litres: float
    speed: float
    turned: float
    boost: tuple[float, ...]
    power: tuple[float, ...]

    def inside(self, figure: str) -> bool | None:
        """Whether what was measured lies in the band; None where it was not measured."""
        known: tuple[float, ...] = getattr(self, figure)
        return abs(known[0] - known[1]) <= known[2] if known else None


def attempts_of(sheet: Sheet) -> tuple[Attempt, ...]:
    """Every measured setup of a build on a blower; none of one that was withdrawn."""
    if sheet.build.withdrawn or sheet.blower is None:
        return ()
    return tuple(_attempt(sheet, sheet.blower.id, item) for item in tried(sheet))


def _attempt(sheet: Sheet, blower: str, item: Tried) -> Attempt:
    typed, turned = item.typed, item.setup.rows["rotor_ratio"]
    best = item.setup.best
    point = best.session.dyno.measured_at.value if best is not None else "not recorded"
    volume = float(swept_volume(typed.bore, typed.stroke, typed.cylinders))
    return Attempt(
        blower=blower,
        build=sheet.id,
        title=sheet.build.title.value,
        setup=item.setup.title,
        fuel=typed.fuel,
        words=fuel_words(item.setup.setup.fuel),
        place=MEASURING_POINTS[point],
        litres=short(volume * 1e3, _DIGITS),
        speed=short(typed.max_speed * 60, _DIGITS),
        turned=short(turned.scalar, _DIGITS) if turned.present else 0.0,
        boost=_figures(item.measured["boost"], item.estimated["boost"]),
        power=_figures(item.measured["power"], item.estimated["power"]),
    )


def _figures(measured: Row, estimated: Row) -> tuple[float, ...]:
    if not (measured.present and estimated.present):
        return ()
    figures = measured.scalar, estimated.scalar, estimated.expanded or 0.0
    return tuple(short(value, _DIGITS) for value in figures)


def held(attempts: Iterable[Attempt]) -> dict[str, list[int]]:
    """How many measured figures lie in their band, of how many."""
    found = {}
    for figure in ("boost", "power"):
        known = [inside for it in attempts if (inside := it.inside(figure)) is not None]
        found[figure] = [sum(known), len(known)]
    return found


def written(attempt: Attempt) -> dict[str, Any]:
    """One attempt as the page's script takes it."""
    return {
        "build": attempt.build,
        "title": attempt.title,
        "setup": attempt.setup,
        "fuel": attempt.fuel,
        "fuelWords": attempt.words,
        "place": attempt.place,
        "litres": attempt.litres,
        "speed": attempt.speed,
        "turned": attempt.turned,
        "boost": list(attempt.boost) or None,
        "power": list(attempt.power) or None,
    }
