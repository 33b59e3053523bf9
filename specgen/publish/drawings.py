"""From a sheet to the plain series that charts draw; the only room that knows both sides."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from specgen.analysis.accuracy import Accuracy, Missed, Of
from specgen.analysis.judging.ladder import Step
from specgen.analysis.judging.limits import Limit
from specgen.analysis.judging.misfit import Misfit
from specgen.analysis.rows.row import COVERAGE, Row
from specgen.analysis.sheet import Sheet
from specgen.analysis.workings import PullSheet, SetupSheet, Workings
from specgen.archive.belts import belt_line
from specgen.archive.model.build import Build, Drive
from specgen.physics import Unphysical
from specgen.physics.correction import STANDARDS
from specgen.publish.charts import air as charts_air
from specgen.publish.charts import door as charts
from specgen.publish.charts import limits as charts_limits
from specgen.publish.charts import words as charts_words
from specgen.publish.charts.series import Chart, Series, Standing
from specgen.publish.typesetting.figures import words_in_both
from specgen.publish.typesetting.markup import safe
from specgen.units import NARROW_SPACE
from specgen.vocabulary import System

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A chart ready for a page: what it finds, in both unit systems, and its two drawings."""

    caption: Markup
    chart: Chart

    @property
    def wide(self) -> Markup:
        """The drawing for a page; it escapes every text it was given."""
        return Markup(self.chart.wide)

    @property
    def narrow(self) -> Markup:
        """The drawing for a phone."""
        return Markup(self.chart.narrow)


def _drawing(chart: Chart, caption: Markup | None = None) -> Drawing:
    """Take over a finished chart, its title as caption unless there is another."""
    return Drawing(caption or safe(chart.title), chart)


def has_power(sheet: Sheet) -> bool:
    """Whether the leading pull has a power curve."""
    return sheet.best is not None and sheet.best.rows["power_curve"].present


def power(sheet: Sheet, units: System, *, observed: bool = False) -> Drawing | None:
    """Draw power and torque of all setups: the best ahead, the others quiet, planned ones as bands.

    `observed`: as the dyno read them, where a correction lies between; None where none does.
    """
    best = sheet.best
    if best is None or not has_power(sheet):
        return None
    corrected = best.rows["power"].state == "corrected"
    if observed and not (corrected and best.rows["observed_power_curve"].present):
        return None
    as_read = observed or not corrected
    series = [*_power_series(best, as_read), *_others(sheet, best, as_read)]
    if as_read:
        series += _planned(sheet, ("power", "torque"))
    chart = charts.power_and_torque(
        series,
        measured_at=best.session.dyno.measured_at.value,
        standard=None if as_read else _standard(sheet),
        name="observed" if observed else "power",
        system=units,
    )
    caption = words_in_both(lambda system: charts_words.curves_title(series, system))
    return _drawing(chart, caption)


def _standard(sheet: Sheet) -> str | None:
    key = sheet.archive.settings.correction.value
    return STANDARDS[key].title if key in STANDARDS else None


def _power_series(pull: PullSheet, as_read: bool, *, quiet: bool = False) -> Iterator[Series]:
    """A pull's power and torque, as read or as brought to the archive's air."""
    speeds = pull.rows["speed_curve"].curve
    for kind in ("power", "torque"):
        observed = pull.rows[f"observed_{kind}_curve"]
        shown = observed if as_read and observed.present else pull.rows[f"{kind}_curve"]
        if shown.present:
            standing: Standing = "measured" if observed.present else "reported"
            yield Series(
                pull.setup.title,
                kind,
                speeds,
                shown.curve,
                standing,
                None if quiet else _band(shown),
                emphasis=not quiet,
                corrected=not as_read,
                quiet=quiet,
            )


def _others(sheet: Sheet, best: PullSheet, as_read: bool) -> Iterator[Series]:
    """The other setups' best pulls, as far as they stand like the best: same point, same air."""
    for setup in sheet.setups:
        pull = setup.best
        if pull is None or setup is best.setup or not pull.rows["power_curve"].present:
            continue
        alike = pull.rows["power"].state == best.rows["power"].state
        same = pull.session.dyno.measured_at.value == best.session.dyno.measured_at.value
        if alike and same:
            yield from _power_series(pull, as_read, quiet=True)


#: Planned setups that a chart has room for as bands.
_PLANNED = 2


def _planned(sheet: Sheet, kinds: tuple[str, ...]) -> list[Series]:
    """What is expected of setups that were never run, as bands: as observed, never corrected."""
    found = []
    for setup in [it for it in sheet.setups if it.planned][:_PLANNED] if sheet.best else []:
        for kind in kinds:
            row = setup.rows[f"estimated_{kind}"]
            if row.present:
                speeds = setup.rows["speed"].curve
                found.append(
                    Series(setup.title, kind, speeds, row.curve, "estimated", _band(row),
                           group=1, planned=True)
                )  # fmt: skip
    return found


def _band(row: Row) -> Floats | None:
    """The expanded uncertainty of a curve; None where none is known."""
    spread = row.uncertainty
    if spread is None:
        return None
    return np.broadcast_to(np.asarray(COVERAGE * spread), row.curve.shape).astype(np.float64)


def boost(sheet: Sheet, units: System) -> Drawing | None:
    """Draw boost measured and estimated, of the leading setup, with the limit if there is one."""
    setup = sheet.best.setup if sheet.best else next(iter(sheet.setups), None)
    if setup is None or sheet.build.induction.natural is not None:
        return None
    series = _boost_series(sheet, setup)
    if not any(item.recorded and item.standing != "limit" for item in series):
        return None
    chart = charts.boost(series, system=units)
    return _drawing(chart, words_in_both(lambda system: charts_words.boost_title(series, system)))


def _boost_series(sheet: Sheet, setup: SetupSheet) -> list[Series]:
    """Boost of the leading setup measured and estimated, of the others quiet, and the limit."""
    series = []
    if sheet.best is not None and sheet.best.rows["boost_curve"].present:
        series.append(_measured_boost(sheet.best, setup.title))
    estimate = setup.rows["estimated_boost"]
    if estimate.present:
        label = f"{setup.title}, estimated" if series else "Estimated"
        series.append(
            Series(label, "boost", setup.rows["speed"].curve, estimate.curve, "estimated",
                   _band(estimate), emphasis=not series)
        )  # fmt: skip
    for other in sheet.setups:
        if other is not setup and other.best and other.best.rows["boost_curve"].present:
            series.append(_measured_boost(other.best, other.title, quiet=True))
    series += _planned(sheet, ("boost",))
    limit = sheet.engine["limit_boost"]
    if limit.present and series:
        x = series[0].x
        series.append(Series("Limit", "boost", x, np.full_like(x, limit.scalar), "limit"))
    return series


def _measured_boost(pull: PullSheet, title: str, *, quiet: bool = False) -> Series:
    curve, speeds = pull.rows["boost_curve"], pull.rows["speed_curve"].curve
    return Series(title, "boost", speeds, curve.curve, "measured",
                  None if quiet else _band(curve), emphasis=not quiet, quiet=quiet)  # fmt: skip


def spark(sheet: Sheet) -> Markup:
    """Draw the leading power curve as a tiny line; nothing where there is none."""
    if sheet.best is None or not has_power(sheet):
        return Markup("")
    rows = sheet.best.rows
    return Markup(charts.sparkline(rows["speed_curve"].curve, rows["power_curve"].curve))


def plan(build: Build) -> Markup:
    """Draw a build's cylinders from above: what stands in a list where no picture does."""
    layout = build.engine.layout.value if build.engine.layout else ""
    return Markup(charts.cylinder_plan(build.engine.cylinders.value, layout))


def ladder_marks(steps: tuple[Step, ...]) -> list[Markup]:
    """Draw each step's predicted band with its measured dot, all on one scale.

    Boost where it is predicted, else power.
    """
    boosts = any(step.estimated_boost.present for step in steps)
    pairs = [
        (step.measured_boost, step.estimated_boost)
        if boosts
        else (step.measured_power, step.estimated_power)
        for step in steps
    ]
    ends = [end for pair in pairs for row in pair for end in _ends(row)]
    if not ends:
        return [Markup("") for _ in steps]
    room = 0.06 * (max(ends) - min(ends)) or 1.0
    low, high = min(ends) - room, max(ends) + room
    return [_mark(measured, predicted, low, high) for measured, predicted in pairs]


def _ends(row: Row | None) -> list[float]:
    """What a row's drawing must have room for."""
    if row is None or not row.present or row.is_curve:
        return []
    width = row.expanded or 0.0
    return [row.scalar - width, row.scalar + width]


def _mark(measured: Row | None, predicted: Row, low: float, high: float) -> Markup:
    band = _ends(predicted)
    if not band:
        return Markup("")
    value = measured.scalar if measured is not None and measured.present else None
    return Markup(charts.ladder_mark(value, band[0], band[1], low, high))


def air_path(sheet: Sheet, units: System) -> Drawing | None:
    """Draw the way of the air to scale."""
    path = sheet.air_path
    if path is None:
        return None
    stations = [
        charts.Station(
            station.title,
            station.pressure.scalar,
            station.temperature.scalar,
            "measured" if station.pressure.basis == "measured" else "estimated",
            _or_nan(station.pressure_read),
            _or_nan(station.temperature_read),
        )
        for station in path.stations
    ]
    chart = charts.air_path(stations, system=units)
    return _drawing(chart, words_in_both(lambda system: charts_air.air_title(stations, system)))


def _or_nan(row: Row | None) -> float:
    return float("nan") if row is None else row.scalar


def limit_items(sheet: Sheet) -> list[tuple[Limit, charts.LimitItem]]:
    """Each limit as a chart takes it, nearest first; beside the bar stands the share used."""
    found = [(limit, _limit_item(limit)) for limit in sheet.limits]
    return sorted(found, key=lambda pair: charts.share_of(pair[1]), reverse=True)


def _limit_item(limit: Limit) -> charts.LimitItem:
    name = f"{limit.title} ({limit.setup})" if limit.setup else limit.title
    item = charts.LimitItem(
        name,
        limit.value.scalar,
        limit.limit.scalar,
        limit.value.quantity.key,
        margin=limit.value.expanded or 0.0,
        planned=limit.planned,
    )
    share = f"{charts.share_of(item) * 100:.0f}{NARROW_SPACE}% of the limit"
    kind = "planned" if limit.planned else "estimated" if limit.value.basis == "estimated" else ""
    return item._replace(words=f"{share}, {kind}" if kind else share)


def limits(items: list[charts.LimitItem], units: System) -> Drawing:
    """Draw a bar towards each limit."""
    chart = charts.limits(items, system=units)
    return _drawing(chart, words_in_both(lambda system: charts_limits.limits_title(items, system)))


def limits_finding(items: list[charts.LimitItem]) -> Markup:
    """What is nearest to its limit, in words."""
    return words_in_both(lambda system: charts_limits.limits_title(items, system))


def limit_bar(item: charts.LimitItem) -> Markup:
    """Draw how near one limit is, the size of a word."""
    share = charts.share_of(item)
    near = charts.share_of(item._replace(value=item.value + item.margin)) - share
    return Markup(charts.limit_mark(share, near, planned=item.planned))


def misfit(found: Misfit, name: str, units: System) -> Drawing | None:
    """Draw a pull that disagrees with the others against what the other setups say, over speed."""
    kind = found.diagnosis.figure
    if kind not in ("boost", "power"):
        return None
    measured = Series(
        "Measured", kind, found.speeds.curve, found.measured.curve, "measured",
        _band(found.measured), emphasis=True,
    )  # fmt: skip
    others = Series(
        "From the other setups", kind, found.predicted_speeds.curve, found.predicted.curve,
        "estimated", _band(found.predicted),
    )  # fmt: skip
    series = [measured, others]
    if kind == "boost":
        chart = charts.boost(series, name=name, system=units)
    else:
        chart = charts.power_and_torque(series, name=name, system=units)
    words = f"{found.measured.quantity.title}, {charts_words.band_words(measured, series)}"
    return _drawing(chart, safe(words))


def misses(accuracy: Accuracy[Of]) -> Drawing | None:
    """Draw how far the predictions of an archive missed; None where nothing was compared."""
    found = (("Boost, of absolute manifold pressure", "boost", accuracy.boost),
             ("Power", "power", accuracy.power))  # fmt: skip
    strips, halves = [], []
    for title, key, summary in found:
        dots = [_dot(miss, key) for miss in accuracy.misses if getattr(miss, key) is not None]
        if summary is not None and dots:
            strips.append(charts.Strip(title, dots, summary.median, summary.ninetieth))
            halves.append(f"{charts.percent(summary.median)} in {key}")
    if not strips:
        return None
    words = f"Half of the predictions miss by less than {' and '.join(halves)}"
    return _drawing(charts.misses(strips, words))


def _dot(miss: Missed, key: str) -> charts.Dot:
    inside = miss.agrees if key == "boost" else miss.power_agrees
    return charts.Dot(miss.label, getattr(miss, key), inside, miss.named)


def belt(sheet: Workings, units: System) -> Drawing | None:
    """Draw the belt's path to scale, where the whole layout is recorded and has a path."""
    drive = sheet.build.drive
    if drive.crank_pulley is None or drive.blower_pulley is None:
        return None
    line = belt_line(drive, drive.crank_pulley.value, drive.blower_pulley.value)
    if line is None:
        return None
    try:
        path = line.path
    except Unphysical:
        return None
    pulleys = [
        charts.Pulley(name, item.x, item.y, item.diameter, item.side, wrap, _size(drive, index))
        for index, (name, item, wrap) in enumerate(
            zip(line.names, line.pulleys, path.wraps, strict=True)
        )
    ]
    spans = [(span.start, span.end) for span in path.spans]
    return _drawing(charts.belt_layout(pulleys, spans, system=units))


def _size(drive: Drive, index: int) -> float:
    """The size written on a pulley, or for it; the drawing itself is on the belt's pitch line."""
    item = drive.layout[index]
    own = {"crank": drive.crank_pulley, "blower": drive.blower_pulley}
    size = own.get(item.pulley.value) or item.diameter
    assert size is not None
    return size.value
