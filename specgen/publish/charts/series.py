"""What charts are given and what they give: plain series in, two drawings with words out.

Nothing of the archive is known here, so a chart can be drawn and tested alone. Values are SI;
engine speed is in revolutions per second.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from specgen.publish.charts.papers.canvas import Canvas
from specgen.publish.charts.papers.inline import inline
from specgen.vocabulary import QUANTITIES, Quantity, quantity

Floats = NDArray[np.float64]
Standing = Literal["measured", "estimated", "reported", "limit"]
#: A reading within this share of the peak counts as level with it (common practice, no source).
LEVEL = 0.05


@dataclass(frozen=True, slots=True)
class Chart:
    """A finished chart: the same finding drawn for a page and for a phone.

    `name` heads every id in both drawings and must be unique on the page. `title` states the
    finding, `description` is the alternative text with figures. `draw_broad` and `draw_slim` make
    the drawings when they are asked for; `wide` and `narrow` write them as inline SVG of one line
    each, of which `charts.css` shows the one that fits. `curves` are what it was drawn from, where
    it shows curves over engine speed.
    """

    name: str
    title: str
    description: str
    draw_broad: Callable[[], Canvas]
    draw_slim: Callable[[], Canvas]
    curves: tuple[Series, ...] = field(default=(), kw_only=True)

    @property
    def broad(self) -> Canvas:
        """The drawing for a page, and for files."""
        return self.draw_broad()

    @property
    def wide(self) -> str:
        """The drawing for a page, as inline SVG."""
        return self._inline(self.broad, "wide")

    @property
    def narrow(self) -> str:
        """The drawing for a phone, as inline SVG; what it says stands with the wide one."""
        return self._inline(self.draw_slim(), "narrow")

    def _inline(self, canvas: Canvas, form: str) -> str:
        return inline(
            canvas,
            name=f"{self.name}-{form}",
            title=self.title,
            description=self.description,
            classes=f"sg-chart sg-chart-{form}",
            said_by=f"{self.name}-wide" if form == "narrow" else "",
        )


class Peak(NamedTuple):
    """The largest reading of a series; `speed` and `band` are NaN where not recorded."""

    speed: float
    value: float
    band: float
    last: bool


@dataclass(frozen=True, slots=True, eq=False)
class Series:
    """One curve: `y` (SI) of a quantity over engine speed `x` (rev/s), both of shape (n,).

    `band` is the expanded uncertainty (k = 2) of `y`, same unit, shape (n,) or none. `emphasis`
    marks the series that the chart is about. `group` is the colour index of the thing (build or
    setup) it belongs to. `corrected` marks measured figures brought to a standard's air; `quiet`
    what is there to compare with; `planned` what was never run: its band stands alone. NaN is
    "not recorded", a gap. `named` is the quantity itself where the vocabulary has none of that key.
    ValueError for unequal shapes, KeyError for an unknown quantity.
    """

    label: str
    quantity: str
    x: Floats
    y: Floats
    standing: Standing = "measured"
    band: Floats | None = None
    emphasis: bool = False
    group: int = 0
    corrected: bool = False
    quiet: bool = False
    planned: bool = False
    named: Quantity | None = None

    def __post_init__(self) -> None:
        if self.named is None and self.quantity not in QUANTITIES:
            raise KeyError(self.quantity)
        shape = np.shape(self.x)
        if len(shape) != 1 or any(
            np.shape(part) != shape for part in (self.y, self.band) if part is not None
        ):
            raise ValueError(
                f'series "{self.label}": speed has shape {shape}, values {np.shape(self.y)}, '
                f"band {None if self.band is None else np.shape(self.band)}; expected one equal "
                "length for all"
            )

    @property
    def kind(self) -> Quantity:
        """The quantity as the vocabulary has it, or as a log named it."""
        return self.named or quantity(self.quantity)

    @property
    def estimated(self) -> bool:
        """Tell whether this was calculated rather than read from a dyno."""
        return self.standing == "estimated"

    @property
    def placed(self) -> NDArray[np.bool_]:
        """Mask of the readings that have both a speed and a value."""
        return np.isfinite(self.x) & np.isfinite(self.y)

    @property
    def recorded(self) -> bool:
        """Tell whether there is any value at all, with or without a speed."""
        return bool(np.isfinite(self.y).any())

    def margin(self) -> Floats:
        """The band with zeros where there is none, shape (n,)."""
        if self.band is None:
            return np.zeros_like(self.y)
        return np.nan_to_num(np.abs(self.band), nan=0.0, posinf=0.0)

    def peak(self) -> Peak | None:
        """The largest value; None where nothing was recorded."""
        if not self.recorded:
            return None
        index = int(np.nanargmax(np.where(np.isfinite(self.y), self.y, -np.inf)))
        placed = np.flatnonzero(self.placed)
        band = math.nan if self.band is None else abs(float(self.band[index]))
        last = len(placed) >= 3 and index == placed[-1]
        return Peak(float(self.x[index]), float(self.y[index]), band, last)

    def level(self) -> tuple[float, float] | None:
        """The speeds between which the curve stays within 5 % of its peak, around the peak.

        None where that is less than a third of the sweep or fewer than five readings: then the
        curve has a peak, not a plateau.
        """
        x, y = self.x[self.placed], self.y[self.placed]
        if len(x) < 5 or y.max() <= 0:
            return None
        high = y >= y.max() * (1 - LEVEL)
        first = last = int(y.argmax())
        while first > 0 and high[first - 1]:
            first -= 1
        while last < len(x) - 1 and high[last + 1]:
            last += 1
        if last - first < 4 or x[last] - x[first] < (x[-1] - x[0]) / 3:
            return None
        return float(x[first]), float(x[last])


def leading(series: Sequence[Series]) -> Series | None:
    """The series a chart is about: the emphasised, else the measured, else the highest one.

    None where nothing but limits was recorded.
    """
    able = [item for item in series if item.standing != "limit" and item.recorded]
    if not able:
        return None

    def rank(item: Series) -> tuple[bool, bool, bool, float]:
        peak = item.peak()
        highest = -math.inf if peak is None else peak.value
        return (item.emphasis, not item.estimated, item.corrected, highest)

    return max(able, key=rank)


def companion(lead: Series, series: Sequence[Series]) -> Series | None:
    """The series of another quantity that belongs to the leading one: same thing, same standing."""
    wanted = (lead.group, lead.standing, lead.corrected)
    fitting = [
        item
        for item in series
        if item.recorded and (item.group, item.standing, item.corrected) == wanted
    ]
    exact = [item for item in fitting if item.label == lead.label]
    return next(iter(exact or fitting), None)
