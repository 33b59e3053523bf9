"""What a blower's page says of one build's measured setups, as plain data that can be kept."""

from __future__ import annotations

from dataclasses import dataclass, replace

from markupsafe import Markup

from specgen.analysis.planning.package import SPEED, PlainEngine
from specgen.analysis.rows.row import Row, point
from specgen.analysis.sheet import Sheet
from specgen.analysis.words import MEASURING_POINTS, fuel_words
from specgen.analysis.workings import PullSheet
from specgen.archive.model.build import Injectors
from specgen.publish.typesetting.dates import day_words
from specgen.publish.typesetting.figures import figure
from specgen.vocabulary import quantity

#: Shares of the pull's speeds at which an operating point is read.
_SHARES = (0.5, 0.75, 1.0)


@dataclass(frozen=True, slots=True)
class Run:
    """One measured setup on a blower, led by its best pull; SI where it is not text.

    `points` are rotor speed [1/s], pressure ratio and air mass flow [kg/s] of the model at three
    engine speeds, `plain_si` boost of a plain engine of that size on that ratio; what is not known
    is below zero, or None.
    """

    build: str
    title: str
    setup: str
    place: str
    standing: str
    date: str
    fuel: str
    pulleys: str
    ratio: Markup
    power: Markup
    torque: Markup
    boost: Markup
    power_si: float
    boost_si: float
    ratio_si: float
    volume_si: float
    speed_si: float
    plain_si: float | None
    injectors: str
    duty: Markup
    points: tuple[tuple[float, float, float], ...]


def runs_of(sheet: Sheet) -> tuple[Run, ...]:
    """Every measured setup of a build on a blower; none for a withdrawn one."""
    if sheet.blower is None or sheet.build.withdrawn:
        return ()
    plain = PlainEngine(sheet.archive, sheet.blower)
    return tuple(_run(sheet, it.best, plain) for it in sheet.setups if it.best is not None)


def _run(sheet: Sheet, pull: PullSheet, plain: PlainEngine) -> Run:
    rows, setup = pull.rows, pull.setup
    power, boost, ratio = rows["power"], rows["boost"], setup.rows["pitch_ratio"]
    fitted = sheet.build.fuel_system.injectors
    crank, blower = setup.rows["crank_pulley"], setup.rows["blower_pulley"]
    volume, speed = _si(sheet.engine["swept_volume"]), _si(sheet.engine["max_speed"])
    known, at = volume > 0 and ratio.present, speed if speed > 0 else SPEED
    return Run(
        build=sheet.id,
        title=sheet.build.title.value,
        setup=setup.title,
        place=MEASURING_POINTS[pull.session.dyno.measured_at.value],
        standing=power.standing,
        date=day_words(pull.session.date.value),
        fuel=fuel_words(setup.setup.fuel),
        pulleys=f"{crank.text} to {blower.text}" if crank.present and blower.present else "",
        ratio=figure(ratio, bare=True),
        power=figure(power),
        torque=figure(rows["torque"]),
        boost=figure(boost),
        power_si=_si(power),
        boost_si=_si(boost),
        ratio_si=_si(ratio),
        volume_si=volume,
        speed_si=speed,
        plain_si=plain.boost(volume, ratio.scalar, at) if known else None,
        injectors=_injectors(fitted) if fitted else "",
        duty=figure(setup.rows["injector_duty"]),
        points=tuple(_points(pull)),
    )


def _injectors(fitted: Injectors) -> str:
    flow = quantity("injector_flow").text(fitted.flow.value, "metric")
    return f"{fitted.count.value} × {flow}"


def _si(row: Row) -> float:
    return row.scalar if row.present and not row.is_curve else -1.0


def _points(pull: PullSheet) -> list[tuple[float, float, float]]:
    """Operating points by the model as fitted to the build, where all three figures are known."""
    rows = pull.setup.rows
    curves = [rows[key] for key in ("estimated_pressure_ratio", "estimated_mass_flow")]
    top = rows["max_speed"]
    ratio = rows["rotor_ratio"]
    if not (top.present and ratio.present and all(curve.present for curve in curves)):
        return []
    found = []
    for share in _SHARES:
        at = _at(top, share)
        read = [point(curve, rows["speed"], at, curve.key, curve.title) for curve in curves]
        if all(row.present for row in read):
            found.append((at.scalar * ratio.scalar, read[0].scalar, read[1].scalar))
    return found


def _at(top: Row, share: float) -> Row:
    return replace(top, value=share * top.scalar)
