"""The way of the air: pressure and temperature from station to station, drawn to scale."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from specgen.publish.charts.papers import inks, svg
from specgen.publish.charts.papers.canvas import Anchor, Canvas
from specgen.publish.charts.scale import Scale, width_of, wrap
from specgen.publish.charts.series import Chart, Standing
from specgen.publish.charts.words import both, capital
from specgen.vocabulary import Quantity, System, quantity, side_by_side

_PRESSURE = quantity("manifold_pressure")
_TEMPERATURE = quantity("charge_temperature")
_SIZE = 13.0
_WIDE, _NARROW = 720.0, 360.0
#: The least ranges that are drawn over the full height, so that small steps look small.
_LEAST_PRESSURE, _LEAST_TEMPERATURE = 20e3, 30.0
_MEASURED_DOT, _ESTIMATED_DOT = 7.0, 8.0


@dataclass(frozen=True, slots=True)
class Station:
    """A place on the air's way: absolute pressure (Pa) and temperature (K), NaN if not known.

    `pressure_read` and `temperature_read` are what was measured there beside an estimate.
    """

    name: str
    pressure: float = math.nan
    temperature: float = math.nan
    standing: Standing = "estimated"
    pressure_read: float = math.nan
    temperature_read: float = math.nan

    @property
    def was_read(self) -> bool:
        """Whether something was measured beside the estimate."""
        return math.isfinite(self.pressure_read) or math.isfinite(self.temperature_read)


@dataclass(frozen=True, slots=True)
class _Track:
    """One quantity along the way, with its colour and the scale's least range."""

    kind: Quantity
    title: str
    short: str
    values: tuple[float, ...]
    read: tuple[float, ...]
    colour: str
    least: float

    def scale(self, at_low: float, at_high: float) -> Scale:
        known = [value for value in (*self.values, *self.read) if math.isfinite(value)] or [0.0]
        low, high = min(known), max(known)
        middle, half = (low + high) / 2, max((high - low) / 2, self.least / 2)
        return Scale(middle - half, middle + half, at_low, at_high)


def air_path(
    stations: Sequence[Station],
    title: str | None = None,
    *,
    name: str = "air-path",
    system: System = "metric",
) -> Chart:
    """Draw pressure and temperature at each station in the order the air passes them.

    Across the page for `wide`; down the page for `narrow`, where the air runs with the reader.
    Estimated values are open dots, measured ones filled.
    """
    finding = title or air_title(stations, system)
    words = air_description(stations)
    return Chart(name, finding, words, lambda: _across(stations), lambda: _down(stations))


def air_title(stations: Sequence[Station], system: System = "metric") -> str:
    """State the finding: where the air is hottest, and how it arrives."""
    warm = [item for item in stations if math.isfinite(item.temperature)]
    dense = [item for item in stations if math.isfinite(item.pressure)]
    if not warm and not dense:
        return "The way of the air is not recorded"
    phrases = []
    if warm:
        hottest = max(warm, key=lambda item: item.temperature)
        text = _TEMPERATURE.text(hottest.temperature, system)
        phrases.append(f"hottest at {_place(hottest)}, {text}" if len(warm) > 1 else "")
        last = warm[-1]
        if last is not hottest or len(warm) == 1:
            phrases.append(f"{_TEMPERATURE.text(last.temperature, system)} at {_place(last)}")
    if dense:
        last = dense[-1]
        phrases.append(f"{_PRESSURE.text(last.pressure, system)} absolute at {_place(last)}")
    return capital("; ".join(part for part in phrases if part))


def _place(station: Station) -> str:
    """A station's name inside a sentence."""
    name = station.name
    return name[:1].lower() + name[1:] if name[1:2].islower() else name


def air_description(stations: Sequence[Station]) -> str:
    """The alternative text: each station with both figures in both unit systems."""
    told = ["The way of the air, station by station, pressure absolute."]
    for item in stations:
        figures = [
            both(kind, value)
            for kind, value in ((_PRESSURE, item.pressure), (_TEMPERATURE, item.temperature))
            if math.isfinite(value)
        ]
        standing = f", {item.standing}" if figures else ""
        read = [
            both(kind, value)
            for kind, value in (
                (_PRESSURE, item.pressure_read), (_TEMPERATURE, item.temperature_read)
            )
            if math.isfinite(value)
        ]  # fmt: skip
        also = f"; measured {', '.join(read)}" if read else ""
        figures_told = ", ".join(figures) or "not recorded"
        told.append(f"{capital(item.name)}: {figures_told}{standing}{also}.")
    return svg.spoken(" ".join(told))


def _tracks(stations: Sequence[Station]) -> tuple[_Track, _Track]:
    pressures = tuple(item.pressure for item in stations)
    temperatures = tuple(item.temperature for item in stations)
    return (
        _Track(
            _PRESSURE,
            "Pressure, absolute",
            "Pressure",
            pressures,
            tuple(item.pressure_read for item in stations),
            inks.colour_of(0),
            _LEAST_PRESSURE,
        ),
        _Track(
            _TEMPERATURE,
            "Temperature",
            "Temperature",
            temperatures,
            tuple(item.temperature_read for item in stations),
            inks.colour_of(1),
            _LEAST_TEMPERATURE,
        ),
    )


def _across(stations: Sequence[Station]) -> Canvas:
    """Two panels, stations from left to right, each value at its dot in both systems."""
    band, head, foot = 92.0, 62.0, 44.0
    canvas = Canvas(_WIDE, 2 * (band + head) + foot)
    step = (_WIDE - 20) / max(len(stations), 1)
    x = [10 + step * (index + 0.5) for index in range(len(stations))]
    lines = [((place, 22.0), (place, 2 * (band + head))) for place in x]
    canvas.segments(lines, inks.GRID, role="grid")
    canvas.words(
        _WIDE - 2, 16, _key(stations), size=_SIZE, anchor="right", colour=inks.MUTED, role="note"
    )
    for row, track in enumerate(_tracks(stations)):
        top = row * (band + head)
        canvas.words(2, top + 16, track.title, size=_SIZE, bold=True, role="heading")
        scale = track.scale(top + head + band - 30, top + head)
        y = [scale(value) for value in track.values]
        _trace(canvas, x, y, track, stations)
        _readings(canvas, x, [scale(value) for value in track.read], track)
        for index, value in enumerate(track.values):
            middle = top + head + band / 2 - 10
            if math.isfinite(value):
                below = _leaves_upwards(y, index)
                _value_at(canvas, (x[index], y[index]), track.kind, value, step, below)
            else:
                _missing(canvas, x[index], middle, "center")
    for place, station in zip(x, stations, strict=True):
        for index, line in enumerate(wrap(capital(station.name), _SIZE, step - 6, 2)):
            y_name = 2 * (band + head) + 18 + 16 * index
            canvas.words(place, y_name, line, size=_SIZE, anchor="center", role="station")
    return canvas


def _key(stations: Sequence[Station]) -> str:
    """Say which values are estimates, and how they are marked."""
    known = [
        item for item in stations if math.isfinite(item.pressure) or math.isfinite(item.temperature)
    ]
    guesses = sum(item.standing == "estimated" for item in known)
    if not guesses:
        return ""
    if any(item.was_read for item in stations):
        return "open dots: estimated, full dots: measured"
    return "all values estimated" if guesses == len(known) else "open dots: estimated"


def _leaves_upwards(y: list[float], index: int) -> bool:
    """Tell whether the line leaves a dot steeply upwards: then its value stands below."""
    beside = [y[near] for near in (index - 1, index + 1) if 0 <= near < len(y)]
    return any(y[index] - other > 14 for other in beside if math.isfinite(other))


def _missing(canvas: Canvas, x: float, y: float, anchor: Anchor) -> None:
    canvas.words(
        x, y, "not recorded", size=_SIZE, anchor=anchor, colour=inks.MUTED, role="missing value"
    )


def _value_at(
    canvas: Canvas, at: tuple[float, float], kind: Quantity, value: float, room: float, below: bool
) -> None:
    """Both systems at a dot: on one line if the station is broad enough, else on two."""
    x, y = at[0], at[1] + (22 if below else -11)
    first_text, second_text = (kind.text(value, system) for system in side_by_side())
    sides: tuple[Anchor, Anchor] = ("right", "left")
    first, second = (x - 2, y), (x + 3, y)
    if 2 * max(width_of(first_text, _SIZE, bold=True), width_of(second_text, _SIZE)) + 6 > room:
        sides = ("center", "center")
        first, second = ((x, y), (x, y + 15)) if below else ((x, y - 15), (x, y))
    canvas.words(*first, first_text, size=_SIZE, anchor=sides[0], bold=True, role="metric value")
    canvas.words(
        *second, second_text, size=_SIZE, anchor=sides[1], colour=inks.MUTED, role="imperial value"
    )


def _down(stations: Sequence[Station]) -> Canvas:
    """Stations from top to bottom, two columns of figures, each value beside its dot."""
    row, head = 52.0, 26.0
    note = "; ".join(part for part in ("pressure is absolute", _key(stations)) if part)
    lines_of_note = wrap(note, _SIZE, _NARROW - 4, 2)
    foot = 6.0 + 16.0 * len(lines_of_note)
    canvas = Canvas(_NARROW, head + row * max(len(stations), 1) + foot)
    for index, line in enumerate(lines_of_note, 1 - len(lines_of_note)):
        height = canvas.height - 6 + 16 * index
        canvas.words(2, height, line, size=_SIZE, colour=inks.MUTED, role="note")
    y = [head + row * (index + 0.5) for index in range(len(stations))]
    lines = [((0.0, head + row * index), (_NARROW, head + row * index)) for index in range(len(y))]
    canvas.segments(lines, inks.GRID, role="grid")
    for place, station in zip(y, stations, strict=True):
        names = wrap(capital(station.name), _SIZE, 84, 3)
        for index, line in enumerate(names):
            canvas.words(
                2, place + 5 + 16 * (index - (len(names) - 1) / 2), line, size=_SIZE, role="station"
            )
    for column, track in enumerate(_tracks(stations)):
        left = 96.0 + column * 134
        canvas.words(left, 16, track.short, size=_SIZE, bold=True, role="heading")
        scale = track.scale(left + 6, left + 56)
        x = [scale(value) for value in track.values]
        _trace(canvas, x, y, track, stations)
        _readings(canvas, [scale(value) for value in track.read], y, track)
        for height, value in zip(y, track.values, strict=True):
            _value_beside(canvas, left + 68, height, track.kind, value)
    return canvas


def _value_beside(canvas: Canvas, x: float, y: float, kind: Quantity, value: float) -> None:
    """Both systems in the column beside the track, where no line passes."""
    if not math.isfinite(value):
        _missing(canvas, x - 62, y + 5, "left")
        return
    first_text, second_text = (kind.text(value, system) for system in side_by_side())
    canvas.words(x, y - 2, first_text, size=_SIZE, bold=True, role="metric value")
    canvas.words(x, y + 14, second_text, size=_SIZE, colour=inks.MUTED, role="imperial value")


def _trace(
    canvas: Canvas, x: list[float], y: list[float], track: _Track, stations: Sequence[Station]
) -> None:
    """Join the known stations by a line, a gap where one is not known; open dots for estimates."""
    canvas.line(x, y, track.colour, width=1.8, role="line")
    known = [
        (place, height, item.standing == "estimated")
        for place, height, value, item in zip(x, y, track.values, stations, strict=True)
        if math.isfinite(value)
    ]
    for place, height, open_dot in known:
        size = _ESTIMATED_DOT if open_dot else _MEASURED_DOT
        canvas.dots([place], [height], track.colour, size=size, role="dots")
        if open_dot:
            canvas.dots([place], [height], inks.GROUND, size=size - 3.5, role="open")


def _readings(canvas: Canvas, x: list[float], y: list[float], track: _Track) -> None:
    """A full dot where something was measured beside the estimate."""
    for place, height, value in zip(x, y, track.read, strict=True):
        if math.isfinite(value):
            canvas.dots([place], [height], track.colour, size=_MEASURED_DOT, role="read")
