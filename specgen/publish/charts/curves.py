"""Charts over engine speed: power with torque, and boost."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import partial

import numpy as np

from specgen.publish.charts.panel import (
    NARROW,
    WIDE,
    Label,
    Layout,
    Panel,
    fitted,
    is_limit,
    value_range,
)
from specgen.publish.charts.papers import inks
from specgen.publish.charts.papers.canvas import Canvas
from specgen.publish.charts.scale import width_of, wrap
from specgen.publish.charts.series import Chart, Floats, Series, leading
from specgen.publish.charts.words import (
    boost_title,
    both,
    capital,
    channels_title,
    curves_title,
    description,
    measured_words,
    series_name,
    speed_text,
)
from specgen.vocabulary import Quantity, System, quantity, side_by_side

Kinds = Sequence[Quantity]

#: The same standing has the same dash in every chart, in pixels; what was measured is solid,
#: brought to a standard's air or not.
_DASHES: dict[str, tuple[float, ...]] = {
    "measured": (),
    "corrected": (),
    "estimated": (3.5, 2.5),
    "reported": (9, 3, 1.5, 3),
}
_UNPLACED = (1.5, 3.0)
#: Points drawn in one chart, over all its curves: more would not be seen and cost the reader bytes.
_POINTS = 400
_EDGES = 160
_DOTS = 110


def power_and_torque(
    series: Sequence[Series],
    title: str | None = None,
    measured_at: str | None = None,
    standard: str | None = None,
    *,
    name: str = "power",
    system: System = "metric",
) -> Chart:
    """Draw power above torque over one engine speed.

    `series` of other quantities are left out. `title` replaces the derived finding.
    `measured_at` is flywheel, hub or roller; `standard` is the correction as printed ("ISO 1585"),
    none for figures as observed. `name` is unique on the page and heads the drawing's ids.
    `system` is the unit system of the title.
    """
    shown = [item for item in series if item.quantity in ("power", "torque")]
    keys = [key for key in ("power", "torque") if any(item.quantity == key for item in shown)]
    mixed = len({item.corrected for item in shown if item.standing == "measured"}) > 1
    where = measured_words(measured_at, standard, mixed=mixed)
    what = " and ".join(keys) or "power and torque"
    return _chart(
        name,
        title or curves_title(shown, system),
        description(shown, f"{what} over engine speed, {where}"),
        shown,
        [quantity(key) for key in keys or ["power"]],
        capital(where),
    )


def boost(
    series: Sequence[Series],
    title: str | None = None,
    *,
    name: str = "boost",
    system: System = "metric",
) -> Chart:
    """Draw boost (gauge pressure in the manifold) over engine speed, measured and estimated.

    `series` of other quantities are left out; one of standing "limit" is drawn as a tick.
    """
    shown = [item for item in series if item.quantity == "boost"]
    opening = "boost over engine speed, gauge pressure in the manifold"
    return _chart(
        name,
        title or boost_title(shown, system),
        description(shown, opening),
        shown,
        [quantity("boost")],
        "Gauge pressure in the manifold",
    )


def channels(
    series: Sequence[Series], title: str, note: str, *, name: str, caption: str | None = None
) -> Chart:
    """Draw what was logged beside power and boost: a panel a quantity, in the order they come.

    `title` says what the channels are, for the alternative text; `caption` the finding, which is
    derived unless given; `note` stands below.
    """
    kinds = {item.quantity: item.kind for item in series}
    words = description(series, f"{title} over engine speed")
    return _chart(name, caption or channels_title(series), words, series, [*kinds.values()], note)


def _chart(
    name: str, title: str, words: str, series: Sequence[Series], kinds: Kinds, note: str
) -> Chart:
    def drawn(layout: Layout) -> Canvas:
        return _draw(series, kinds, note, fitted(layout, series, kinds))

    broad, slim = partial(drawn, WIDE), partial(drawn, NARROW)
    return Chart(name, title, words, broad, slim, curves=tuple(series))


def within(
    series: Sequence[Series], shown: int, kinds: Kinds, width: float, height: float
) -> Canvas:
    """Draw curves in a frame of so many pixels; scales and room for words are those of all series.

    Only the first `shown` series are drawn: pictures of one ladder then share their scales.
    """
    layout = fitted(replace(WIDE, width=width, gutter=min(WIDE.gutter, width / 4),
                            speeds=8 if width > 500 else 4), series, kinds)  # fmt: skip
    panels = height - layout.top - 28 - (len(kinds) - 1) * layout.gap
    lines = 0
    while True:  # the notes take room from the panels, and what they say depends on these
        layout = replace(layout, panel=(panels - 16 * lines) / len(kinds))
        drawn = _draw(series, kinds, "", layout, series[:shown])
        if drawn.height <= height + 0.5:
            return drawn
        lines += 1


def _draw(
    series: Sequence[Series],
    kinds: Kinds,
    note: str,
    layout: Layout,
    shown: Sequence[Series] | None = None,
) -> Canvas:
    told = filter(None, (note, *_beyond(series, kinds, layout)))
    notes = [line for part in told for line in wrap(part, layout.type_size, layout.width - 4, 3)]
    panels = len(kinds) * layout.panel + (len(kinds) - 1) * layout.gap
    below = 28 + 16 * len(notes)
    canvas = Canvas(layout.width, layout.top + panels + below)
    for index, kind in enumerate(kinds):
        top = layout.top + index * (layout.panel + layout.gap)
        able = series if shown is None else shown
        members = [item for item in able if item.quantity == kind.key]
        panel = Panel(canvas, layout, top, series, kind)
        panel.draw_axes(numbered=index == len(kinds) - 1)
        _draw_members(panel, members, len(series))
        canvas.plots.append(panel.plot)
    for index, line in enumerate(notes):
        y = layout.top + panels + 38 + 16 * index
        canvas.words(2, y, line, size=layout.type_size, colour=inks.MUTED, role="note")
    return canvas


def _draw_members(panel: Panel, members: Sequence[Series], crowd: int) -> None:
    """Draw one panel's series: bands beneath, what the chart is about on top."""
    able = [item for item in members if item.recorded and item.standing != "limit"]
    ordered = sorted(able, key=lambda item: (item.emphasis, not item.estimated))
    for item in ordered:
        _draw_band(panel, item, _EDGES // max(crowd, 1))
    for limit in filter(is_limit, members):
        _draw_limit(panel, limit)
    for item in ordered:
        _draw_line(panel, item, _POINTS // max(crowd, 1))
    for item in ordered:
        _draw_dots(panel, item, _DOTS // max(crowd, 1))
    lead = leading(able)
    if lead is None:
        _say_nothing(panel)
    else:
        panel.draw_labels([_label(panel, item) for item in able])
        _draw_peak(panel, lead, members)


def standing_of(item: Series) -> str:
    """The word that decides a series' dash, also its class: measured, corrected, estimated..."""
    return "corrected" if item.corrected and item.standing == "measured" else item.standing


def thinned(item: Series, most: int) -> list[int]:
    """Indices of at most about `most` readings: evenly taken, with the peak and every gap kept."""
    count, placed = len(item.y), item.placed
    if count <= most or not placed.any():
        return list(range(count))
    even = np.linspace(0, count - 1, max(most, 2)).round().astype(int)
    highest = int(np.where(placed, item.y, -np.inf).argmax())
    gaps = np.flatnonzero(~placed)
    first_gaps = gaps[np.diff(gaps, prepend=-2) > 1]
    return sorted({*even.tolist(), highest, *first_gaps.tolist()})


def _pixels(panel: Panel, item: Series, most: int) -> tuple[Floats, Floats]:
    """The readings to draw, in pixels, NaN where not recorded."""
    kept, placed = thinned(item, most), item.placed
    x, y = (np.where(placed, each, np.nan)[kept] for each in (item.x, item.y))
    return panel.speed.all(x), panel.value.all(y)


#: Points of a line that only stands there to compare with: enough for its shape and its peak.
_QUIET_POINTS = 20


def _draw_band(panel: Panel, item: Series, most: int) -> None:
    """Fill between the ends of the band, within the panel, one area for each unbroken run."""
    if item.band is None:
        return
    margin = item.margin()
    if item.quiet or item.planned:
        most = min(most, _QUIET_POINTS)
    for run in _runs(item, max(most, 12)):
        x = panel.speed.all(item.x[run]).tolist()
        over = _inside(panel, item.y[run] + margin[run])
        under = _inside(panel, item.y[run] - margin[run])
        outline = [*zip(x, over, strict=True), *reversed([*zip(x, under, strict=True)])]
        panel.canvas.area(outline, _ink_of(item), opacity=0.16, role="band")
        if item.planned:
            for side in (over, under):
                panel.canvas.line(np.array(x), np.array(side), _ink_of(item), width=1,
                                  dash=_DASHES["estimated"], role="line planned")  # fmt: skip


def _runs(item: Series, most: int) -> list[list[int]]:
    """Indices of the readings to draw, parted at the gaps."""
    runs: list[list[int]] = [[]]
    placed = item.placed.tolist()
    for index in thinned(item, most):
        if placed[index]:
            runs[-1].append(index)
        elif runs[-1]:
            runs.append([])
    return [run for run in runs if len(run) > 1]


def _inside(panel: Panel, values: Floats) -> list[float]:
    found: list[float] = np.clip(panel.value.all(values), panel.top, panel.bottom).tolist()
    return found


def _ink_of(item: Series) -> str:
    """The colour of a series: that of its thing, or the ink of what is there to compare with."""
    return inks.MUTED if item.quiet else inks.colour_of(item.group)


def _draw_line(panel: Panel, item: Series, most: int) -> None:
    if item.planned and item.band is not None:
        return
    standing = standing_of(item)
    colour, width = _ink_of(item), 2.2 if item.emphasis else 1.2 if item.quiet else 1.5
    x, y = _pixels(panel, item, min(most, _QUIET_POINTS) if item.quiet else most)
    dash = _DASHES[standing]
    if not item.placed.any():
        # A value without a speed, as on old papers: it stands across all speeds.
        height = panel.value(float(np.nanmax(item.y)))
        x, y, dash = np.array([panel.left, panel.end]), np.array([height, height]), _UNPLACED
    if len(x) > 1:
        panel.canvas.line(x, y, colour, width=width, dash=dash, role=f"line {standing}")


def _draw_dots(panel: Panel, item: Series, most: int) -> None:
    """Dots for what was read; a lone value of any kind is a dot, else it would not be seen."""
    read = item.standing == "measured" and not item.corrected and not item.quiet
    if read or item.placed.sum() == 1:
        x, y = _pixels(panel, item, max(most, 8))
        size = 5.0 if item.emphasis else 4.0
        panel.canvas.dots(x, y, _ink_of(item), size=size, role="dots")


def _draw_limit(panel: Panel, item: Series) -> None:
    """Draw a limit as a thin line with words; one beyond the scale is left to the notes."""
    value = _limit_value(item)
    if not panel.value.low <= value <= panel.value.high:
        return
    y = panel.value(value)
    panel.canvas.segments([((panel.left, y), (panel.end, y))], inks.INK, width=0.8, role="limit")
    size = panel.layout.type_size
    words = _limit_words(item)
    panel.canvas.words(panel.left + 4, y - 4, words, size=size, role="limit-words")


def _limit_value(item: Series) -> float:
    return float(np.nanmin(item.y))


def _limit_words(item: Series) -> str:
    return f"{item.label or 'limit'} {both(item.kind, _limit_value(item))}"


def _beyond(series: Sequence[Series], kinds: Kinds, layout: Layout) -> list[str]:
    """Words for what is not on a panel's scale, for the notes below: zero, and limits."""
    words = []
    for kind in kinds:
        members = [item for item in series if item.quantity == kind.key]
        low, high = value_range(members, kind, layout)
        if low > 0 and not kind.metric.offset:
            title = kind.title[:1].lower() + kind.title[1:]
            words.append(f"The axis of {title} begins at {both(kind, low)}, not at zero")
        for item in filter(is_limit, members):
            if not low <= _limit_value(item) <= high:
                words.append(f"{item.kind.title}: {_limit_words(item)} is beyond this scale")
    return words


def _label(panel: Panel, item: Series) -> Label:
    placed = np.flatnonzero(item.placed)
    if len(placed):
        x, y = panel.speed(float(item.x[placed[-1]])), panel.value(float(item.y[placed[-1]]))
    else:
        x, y = panel.end, panel.value(float(np.nanmax(item.y)))
    return Label(x, y, series_name(item), _ink_of(item))


def _draw_peak(panel: Panel, lead: Series, members: Sequence[Series]) -> None:
    peak = lead.peak()
    if peak is None or not math.isfinite(peak.speed):
        return
    text = both(lead.kind, peak.value)
    if width_of(text, panel.layout.type_size, bold=True) > panel.end - panel.left - 4:
        text = lead.kind.text(peak.value, side_by_side()[0])  # the other would lie on the axis
    if panel.layout.roomy:
        text += f" at {speed_text(peak.speed)}"
    at = panel.speed(peak.speed), panel.value(peak.value)
    colour, taken = inks.colour_of(lead.group), _taken(panel, members)
    panel.draw_peak(at, text, colour, taken, hollow=lead.estimated)


def _taken(panel: Panel, members: Sequence[Series]) -> list[tuple[float, float]]:
    """Points (pixels) that words above the curves keep clear of: lines, bands and limits."""
    points: list[tuple[float, float]] = []
    for item in members:
        if item.standing != "limit":
            placed = item.placed
            x = panel.speed.all(item.x[placed]).tolist()
            points += zip(x, _inside(panel, (item.y + item.margin())[placed]), strict=True)
    size = panel.layout.type_size
    for limit in filter(is_limit, members):
        value = _limit_value(limit)
        if panel.value.low <= value <= panel.value.high:
            points += [(x, panel.value(value)) for x in np.linspace(panel.left, panel.end, 30)]
            ends = panel.left + 4 + width_of(_limit_words(limit), size)
            above = panel.value(value) - size - 2
            points += [(x, above) for x in np.linspace(panel.left, ends, 10)]
    return points


def _say_nothing(panel: Panel) -> None:
    middle = (panel.left + panel.end) / 2
    height = (panel.top + panel.bottom) / 2
    size = panel.layout.type_size
    panel.canvas.words(middle, height, "nothing recorded", size=size, anchor="center", role="empty")
