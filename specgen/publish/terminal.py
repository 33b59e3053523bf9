"""Sheets and figures as plain text for a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from specgen.analysis.judging.ladder import Step
from specgen.analysis.judging.reach import beyond_data, planned_excesses
from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet
from specgen.analysis.words import MEASURING_POINTS, fuel_words
from specgen.physics import air
from specgen.physics.correction import STANDARDS
from specgen.publish.typesetting.verdicts import excess_words, left_over, verdict
from specgen.vocabulary import System, quantity

_ABSENT = "\u2013"


def sheet_text(sheet: Sheet, system: System, *, everything: bool = False) -> str:
    """Print a sheet: its title, headline, then every scope's figures with uncertainty and basis."""
    lines = [sheet.build.title.value]
    if sheet.archive.settings.invented and sheet.archive.settings.invented.value:
        lines.append("All data of this archive is invented.")
    lines += [*_withdrawn(sheet), "", *_headline(sheet, system)]
    lines += [*_ladder(sheet, system), *_misfits(sheet)]
    for scope in sheet.scopes:
        rows = [row for row in scope if not row.is_curve and (row.present or everything)]
        if rows:
            lines += ["", scope.title, *_table(rows, system)]
    lines += ["", *_notes(sheet)]
    return "\n".join(lines).rstrip()


def _withdrawn(sheet: Sheet) -> Iterable[str]:
    """What no longer counts, since when and why."""
    told = [("This build", sheet.build.withdrawn)]
    told += [(it.rows.title, it.session.withdrawn) for it in sheet.sessions]
    told += [(it.rows.title, it.pull.withdrawn) for it in sheet.withdrawn]
    for what, withdrawn in told:
        if withdrawn:
            yield f"{what} was withdrawn on {withdrawn.on.text}: {withdrawn.because.value}"


def _headline(sheet: Sheet, system: System) -> Iterable[str]:
    for row in sheet.headline:
        parts = [f"{row.title}: {figure(row, system)}"]
        if row.at is not None:
            parts.append(f"at {figure(row.at, system, margin=False)}")
        if sheet.best is not None and row.quantity.key in ("power", "torque"):
            parts.append(MEASURING_POINTS[sheet.best.session.dyno.measured_at.value])
        parts.append(row.standing)
        yield ", ".join(part for part in parts if part)
    if sheet.best is None:
        yield "Planned: no pull yet; the figures are estimates."
    else:
        yield f"Fuel: {fuel_words(sheet.best.setup.setup.fuel)}"


def figure(row: Row, system: System, *, margin: bool = True) -> str:
    """Print a row's figure with its unit, and with its expanded uncertainty (k = 2) if known."""
    if not row.present:
        return _ABSENT
    return row.quantity.printed(row.scalar, system, row.expanded, bare=not margin).text


def _ladder(sheet: Sheet, system: System) -> Iterable[str]:
    """The ladder: each setup as measured, and as the other setups alone predict it."""
    steps = sheet.ladder
    if not any(step.estimated_boost.present or step.estimated_power.present for step in steps):
        return
    named = {found.setup.id for found in sheet.diagnoses}
    head = ("", "boost measured", "predicted", "left over", "power observed", "predicted", "")
    cells = [head, *(_rung(sheet, step, system, step.setup.id in named) for step in steps)]
    kept = [column for column in range(len(head)) if any(row[column] for row in cells[1:])]
    widths = {column: max(len(row[column]) for row in cells) for column in kept}
    yield from ("", "Ladder: measured, and predicted from the other setups alone")
    for row in cells:
        shown = [
            f"{row[column]:<{widths[column]}}"
            if column in (0, len(head) - 1)
            else f"{row[column]:>{widths[column]}}"
            for column in kept
        ]
        yield f"  {'  '.join(shown)}".rstrip()


def _rung(sheet: Sheet, step: Step, system: System, named: bool) -> tuple[str, ...]:
    """One setup's cells; a setup without a pull is planned and predicted from all of them."""
    boost, predicted = step.measured_boost, step.estimated_boost
    doubts = [f"beyond the others: {words}" for words in beyond_data(sheet, step.setup)]
    for name, found in planned_excesses(sheet, step.setup):
        doubts.append(f"{name} {excess_words(found, system)}")
    word = verdict(step, named=named) or ("planned" if step.setup.planned else "")
    return (
        step.setup.title,
        figure(boost, system) if boost else "",
        figure(predicted, system) if predicted.present else "",
        left_over(step, system),
        figure(step.measured_power, system) if step.measured_power else "",
        figure(step.estimated_power, system) if step.estimated_power.present else "",
        "; ".join(filter(None, [word, *doubts])),
    )


def _misfits(sheet: Sheet) -> Iterable[str]:
    """Each pull that disagrees with the others, and what could explain it."""
    if sheet.diagnoses:
        yield from ("", "What disagrees with the others, and what could explain it")
    for found in sheet.diagnoses:
        speed = quantity("engine_speed").text(found.speed, "metric")
        yield (
            f"  {found.setup.title}, pull {found.pull}: {found.figure.replace('_', ' ')} "
            f"{found.pattern.words}, {found.size:.1f} standard deviations around {speed}"
        )
        for cause in found.causes:
            yield f"    {cause.title}: {'; '.join(item.text for item in cause.evidence)}".rstrip(
                ": "
            )


def _table(rows: list[Row], system: System) -> Iterable[str]:
    cells = [(row.title, figure(row, system), _behind(row)) for row in rows]
    widths = [max(len(cell[column]) for cell in cells) for column in (0, 1)]
    for title, shown, behind in cells:
        yield f"  {title:<{widths[0]}}  {shown:>{widths[1]}}  {behind}".rstrip()


def _behind(row: Row) -> str:
    """Say in few words where a figure comes from."""
    if not row.present:
        return row.reason
    if row.place is not None:
        return str(row.place)
    if row.formula is not None:
        return f"{row.basis}, {row.formula.name}"
    return f"{row.basis}, {row.source}" if row.source else row.basis


def _notes(sheet: Sheet) -> Iterable[str]:
    yield from sheet.unlike
    yield "Uncertainties are expanded, k = 2. Estimates rest on defaults where the file is silent."
    yield "Stay within the makers' limits and local law; leave dyno work to those trained for it."


def air_figures(
    pressure: float, temperature: float, humidity: float, elevation: float | None
) -> dict[str, Any]:
    """Figures of the air in SI; `elevation` [m] turns a barometer reduced to sea level back."""
    station = pressure if elevation is None else air.station_pressure(pressure, elevation)
    density = air.humid_air_density(station, temperature, humidity)
    return {
        "format": 1,
        "pressure_Pa": station,
        "temperature_K": temperature,
        "relative_humidity": humidity,
        "vapour_pressure_Pa": air.vapour_pressure(temperature, humidity),
        "dry_pressure_Pa": air.dry_pressure(station, temperature, humidity),
        "density_kg_per_m3": density,
        "density_altitude_m": air.density_altitude(density),
        "factors": {
            key: standard.factor(station, temperature, humidity)
            for key, standard in STANDARDS.items()
        },
    }


_AIR_LINES = (
    ("Pressure at the station", "air_pressure", "pressure_Pa"),
    ("Temperature", "air_temperature", "temperature_K"),
    ("Relative humidity", "humidity", "relative_humidity"),
    ("Water-vapour pressure", "vapour_pressure", "vapour_pressure_Pa"),
    ("Dry air pressure", "dry_pressure", "dry_pressure_Pa"),
    ("Density", "air_density", "density_kg_per_m3"),
    ("Density altitude", "height", "density_altitude_m"),
)


def air_text(figures: Mapping[str, Any]) -> str:
    """Print the figures of the air in both unit systems, then the factors."""
    lines = []
    for title, key, name in _AIR_LINES:
        metric, imperial = (quantity(key).text(figures[name], s) for s in ("metric", "imperial"))
        same = "" if metric == imperial else f"({imperial})"
        lines.append(f"{title:<26}{metric:>14}  {same}".rstrip())
    lines += ["", "Correction factor: observed power times this is power in the standard's air"]
    for key, value in figures["factors"].items():
        standard = STANDARDS[key]
        lines.append(f"{standard.title:<26}{value:>14.4f}  ({standard.reference})")
    return "\n".join(lines)
