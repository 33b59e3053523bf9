"""What a chart of curves says in words: its finding as a title, and the alternative text.

Titles take one unit system, which the reader saw first on the page; descriptions give both.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from specgen.analysis.words import MEASURING_POINTS
from specgen.publish.charts.papers.svg import spoken
from specgen.publish.charts.series import LEVEL, Peak, Series, companion, leading
from specgen.vocabulary import Quantity, System, quantity, side_by_side

_SPEED = quantity("engine_speed")
#: More series than these are described by their peaks alone.
_MANY = 6
#: Channels that a title has room for.
_NAMED = 3
#: Letters of a label that a title has room for.
_SUBJECT = 48
_SHARE = f"{LEVEL:.0%}".replace("%", "\u202f%")


def both(kind: Quantity, value: float, uncertainty: float | None = None) -> str:
    """A value in both unit systems, such as "301 kW (404 hp)"; once if they agree."""
    known = uncertainty if uncertainty and math.isfinite(uncertainty) else None
    first, second = (kind.text(value, system, known) for system in side_by_side())
    return first if first == second else f"{first} ({second})"


def speed_text(speed: float) -> str:
    """An engine speed with its unit."""
    return _SPEED.text(speed, "metric")


def speed_number(speed: float) -> str:
    """An engine speed without its unit."""
    return _SPEED.number(speed, "metric")


def measured_words(measured_at: str | None, standard: str | None, *, mixed: bool = False) -> str:
    """Say where the figures were measured and in which air they are given.

    `mixed` where observed and corrected figures stand side by side.
    """
    place = "measuring point not recorded"
    if measured_at:
        place = MEASURING_POINTS.get(measured_at, f"at the {measured_at}")
    air = f"corrected to {standard}" if standard else "as observed, not corrected"
    if standard and mixed:
        air = f"as observed and corrected to {standard}"
    return f"{place}, {air}"


def capital(text: str) -> str:
    """A text with its first letter as a capital, the rest untouched."""
    return text[:1].upper() + text[1:]


def series_name(item: Series) -> str:
    """The label, with a word for the standing where the label does not say it."""
    words = [item.label]
    if item.corrected:
        words.append("corrected")
    if item.standing in ("estimated", "reported"):
        words.append("estimated" if item.estimated else "as reported")
    if item.planned:
        words[1:] = ["planned"]
    elif item.quiet:
        words[1:] = []
    wanted = [word for word in words[1:] if word not in item.label.lower()]
    return ", ".join(part for part in (item.label, *wanted) if part)


def curves_title(series: Sequence[Series], system: System = "metric") -> str:
    """State the finding of a power and torque chart in one line.

    For instance "301 kW at 6 400 rpm, flat torque from 3 800"; torque is called flat where it
    stays within 5 % of its peak over a third of the sweep or more.
    """
    powers = [item for item in series if item.quantity == "power"]
    torques = [item for item in series if item.quantity == "torque"]
    lead = leading(powers) or leading(torques)
    if lead is None:
        return "No power or torque recorded"
    other = companion(lead, torques) if lead.quantity == "power" else None
    words = peak_words(lead, system)
    if other is not None:
        words = _joined(words, lead, other, system)
    return capital(_subject(lead, series) + words)


def _joined(words: str, power: Series, torque: Series, system: System) -> str:
    """Put torque behind power; where neither has a speed that is said once."""
    if not (power.placed.any() or torque.placed.any()):
        values = [item.kind.text(_peak(item).value, system) for item in (power, torque)]
        return f"{values[0]} and {values[1]}, engine speed not recorded"
    return f"{words}, {_torque_words(torque, system)}"


def _subject(lead: Series, series: Sequence[Series]) -> str:
    """Name the thing a title is about, where the chart shows several."""
    able = [item for item in series if item.standing != "limit" and not item.quiet]
    groups = {item.group for item in able if item.recorded and not item.planned}
    if len(groups) < 2 or not lead.label:
        return ""
    short = lead.label if len(lead.label) <= _SUBJECT else f"{lead.label[:_SUBJECT].rstrip(' ,;')}…"
    return f"{short}: "


def peak_words(item: Series, system: System) -> str:
    """The peak of a series as "an estimated 301 kW at 6 400 rpm", and whether it still rises."""
    peak = _peak(item)
    value = item.kind.text(peak.value, system, peak.band if math.isfinite(peak.band) else None)
    words = f"an estimated {value}" if item.estimated else value
    if not math.isfinite(peak.speed):
        return f"{words}, engine speed not recorded"
    rising = " and still rising" if peak.last and not item.estimated else ""
    return f"{words} at {speed_text(peak.speed)}{rising}"


def _torque_words(item: Series, system: System) -> str:
    level = item.level()
    if level is None:
        peak = _peak(item)
        value = item.kind.text(peak.value, system)
        if not math.isfinite(peak.speed):
            return value
        return f"{value} at {speed_text(peak.speed)}"
    first, last = level
    end = float(item.x[item.placed][-1])
    until = f" to {speed_number(last)}" if end - last > 0.05 * (end - first) else ""
    return f"flat torque from {speed_number(first)}{until}"


def _peak(item: Series) -> Peak:
    peak = item.peak()
    if peak is None:
        raise ValueError(f'series "{item.label}" has no value')
    return peak


def boost_title(series: Sequence[Series], system: System = "metric") -> str:
    """State the finding of a boost chart: the most there was, and how the estimate fared."""
    lead = leading(series)
    if lead is None:
        return "No boost recorded"
    values = lead.y[np.isfinite(lead.y)]
    if values.max() <= 0:
        return capital(_subject(lead, series) + _vacuum_words(lead, system))
    words = peak_words(lead, system)
    verdict = band_words(lead, series)
    return capital(_subject(lead, series) + (f"{words}, {verdict}" if verdict else words))


def channels_title(series: Sequence[Series], system: System = "metric") -> str:
    """State between what each logged channel of the leading setup ran, or the first three of many.

    For instance "Lambda 0.82 to 0.91, ignition advance 14 to 22°".
    """
    kinds = {item.quantity: item.kind for item in series}
    told = []
    for key, kind in kinds.items():
        lead = leading([item for item in series if item.quantity == key])
        if lead is not None:
            values = lead.y[np.isfinite(lead.y)]
            first = kind.number(float(values.min()), system)
            last = kind.text(float(values.max()), system)
            told.append(f"{kind.title[:1].lower()}{kind.title[1:]} {first} to {last}")
    more = f", and {len(told) - _NAMED} more" if len(told) > _NAMED else ""
    return capital(", ".join(told[:_NAMED])) + more if told else "Nothing recorded"


def _vacuum_words(item: Series, system: System) -> str:
    """Say how far the manifold stays below the outside air."""
    values = -item.y[np.isfinite(item.y)]
    least, most = (item.kind.text(float(value), system) for value in (values.min(), values.max()))
    number = item.kind.number(float(values.min()), system)
    span = most if least == most else f"{number} to {most}"
    guess = "an estimated " if item.estimated else ""
    return f"no boost: the manifold stays {guess}{span} below the outside air"


def band_words(measured: Series, series: Sequence[Series]) -> str:
    """Compare a measured series with the estimate of the same thing; empty if there is none.

    A reading is inside where it differs from the estimate by no more than the band (k = 2) of
    the estimate and of the reading together (root of the sum of squares).
    """
    estimate = next(
        (item for item in series if item.estimated and item.group == measured.group), None
    )
    if measured.estimated or estimate is None or estimate.band is None:
        return ""
    mask = estimate.placed
    x, y = measured.x[measured.placed], measured.y[measured.placed]
    if mask.sum() < 2 or not len(x):
        return ""
    covered = (x >= estimate.x[mask].min()) & (x <= estimate.x[mask].max())
    if not covered.any():
        return ""
    middle = np.interp(x, estimate.x[mask], estimate.y[mask])
    around = np.interp(x, estimate.x[mask], estimate.margin()[mask])
    around = np.hypot(around, measured.margin()[measured.placed])
    outside = covered & (np.abs(y - middle) > around)
    return _verdict(x[covered], (y - middle)[covered], outside[covered])


def _verdict(x: np.ndarray, miss: np.ndarray, outside: np.ndarray) -> str:
    if not outside.any():
        return "inside the estimated band"
    side = "below" if (miss[outside] < 0).all() else "above" if (miss[outside] > 0).all() else ""
    if outside.all():
        return f"{side or 'outside'} the estimated band throughout"
    first = int(np.flatnonzero(outside)[0])
    if side and outside[first:].all():
        return f"{side} the estimated band from {speed_number(float(x[first]))}"
    return f"{side or 'outside'} the estimated band at {outside.sum()} of {len(x)} readings"


def description(series: Sequence[Series], opening: str) -> str:
    """The alternative text: what is shown, then each series and limit with its figures.

    With many series each is told by its peak alone: nobody listens to forty figures.
    """
    told = [series_words(item, brief=len(series) > _MANY) for item in series]
    if not any(item.recorded for item in series):
        told = ["Nothing is recorded"]
    return spoken(" ".join(f"{capital(part)}." for part in (opening, *told)))


def series_words(item: Series, *, brief: bool = False) -> str:
    """One series in a sentence without its full stop; `brief` leaves out where it runs."""
    name = f"{item.kind.title.lower()}, {series_name(item)}" if item.label else item.kind.title
    if not item.recorded:
        return f"{name}: not recorded"
    if item.standing == "limit":
        return f"the limit of {item.kind.title.lower()} is {both(item.kind, _limit(item))}"
    peak = _peak(item)
    text = both(item.kind, peak.value, peak.band)
    first = side_by_side()[0]
    margin = item.kind.margin(peak.band, first) if math.isfinite(peak.band) else ""
    if margin:
        text += f" ± {margin}\u202f{item.kind.unit(first).shown}"
    speeds = item.x[item.placed]
    if not len(speeds):
        return f"{name}: {text}, engine speed not recorded"
    if len(speeds) == 1:
        return f"{name}: a single value of {text} at {speed_text(float(speeds[0]))}"
    return f"{name}: {_highest(item, text, peak)}{'' if brief else _sweep(item)}"


def _limit(item: Series) -> float:
    """The lowest value of a limit, which is the one that holds."""
    return float(np.nanmin(item.y))


def _highest(item: Series, text: str, peak: Peak) -> str:
    at = f" at {speed_text(peak.speed)}" if math.isfinite(peak.speed) else ""
    level = item.level() if item.quantity == "torque" else None
    if level is None:
        return f"highest {text}{at}"
    first, last = level
    return (
        f"highest {text}{at}, within {_SHARE} of that from {speed_number(first)} to "
        f"{speed_text(last)}"
    )


def _sweep(item: Series) -> str:
    """From where to where the series runs, with the values at both ends, and its gaps."""
    x, y = item.x[item.placed], item.y[item.placed]
    system = side_by_side()[0]
    first = f"{item.kind.text(float(y[0]), system)} at {speed_text(float(x[0]))}"
    last = f"{item.kind.text(float(y[-1]), system)} at {speed_text(float(x[-1]))}"
    missing = int((~np.isfinite(item.y)).sum())
    gaps = f"; {missing} of {len(item.y)} values not recorded" if missing else ""
    return f"; it runs from {first} to {last}{gaps}"
