"""What pulls logged beside power, torque and boost: its channels in groups, drawn like the rest.

The columns that a curve file may have, and what else a log held: every group is one picture, a
panel a channel, of the best pull of each setup.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from specgen.analysis.sheet import Sheet
from specgen.analysis.workings import PullSheet
from specgen.archive.delimited.spelling import spelled
from specgen.archive.model.session import Channel
from specgen.publish.charts import door as charts
from specgen.publish.charts import words as charts_words
from specgen.publish.charts.series import Series
from specgen.publish.drawings import Drawing, power
from specgen.publish.typesetting.figures import words_in_both
from specgen.units import Unit, unit
from specgen.vocabulary import Quantity, System

Floats = NDArray[np.float64]

#: The unit of the other system that stands beside a logged one.
_COUNTERPARTS = {"degC": "degF", "degF": "degC", "bar": "psi", "kPa": "psi", "psi": "kPa"}
_IMPERIAL = ("degF", "psi")
#: Digits that a logged figure is shown with, where it is no whole number.
_DIGITS = 3
#: Panels in one picture; further channels get another.
_PANELS = 4
_OTHERS = "Also logged"

#: What belongs together: words, the end of its address, and its quantities in their order.
GROUPS = (
    ("Mixture", "mixture", ("lambda", "air_fuel_ratio")),
    ("Ignition", "ignition", ("ignition_advance",)),
    ("Temperatures", "temperatures", (
        "charge_temperature", "discharge_temperature", "intake_temperature", "coolant_temperature",
    )),
    ("Fuel and air", "flows", ("fuel_mass_flow", "air_mass_flow")),
    ("Blower and inlet", "blower", ("blower_speed", "inlet_pressure_drop")),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Group:
    """Channels that are drawn together: words, the end of an address, the curves to draw."""

    words: str
    anchor: str
    series: tuple[Series, ...]

    def drawing(self) -> Drawing:
        """All of it in one picture, what it finds in every system of units above it."""
        note = "As logged, of the best pull of each setup"
        chart = charts.channels(self.series, self.words, note, name=f"logged-{self.anchor}")
        caption = words_in_both(lambda it: charts_words.channels_title(self.series, it))
        return Drawing(caption, chart)


def further(sheet: Sheet, units: System) -> Iterator[tuple[str, Drawing]]:
    """What a sheet's picture can show besides what the page carries: words and drawing of each."""
    observed = power(sheet, units, observed=True)
    if observed is not None:
        yield "As observed", observed
    for group in groups(sheet):
        yield group.words, group.drawing()


def place_of(words: str) -> str:
    """The address of a part on a page that has these words as its heading."""
    return words.lower().replace(" ", "-")


def groups(sheet: Sheet) -> list[Group]:
    """What the setups' best pulls logged, in groups; empty where they logged nothing more."""
    pulls = [setup.best for setup in sheet.setups if setup.best is not None]
    ordered = sorted(pulls, key=lambda pull: pull is not sheet.best)
    found = []
    for words, anchor, keys in GROUPS:
        series = [it for key in keys for pull in ordered for it in _known(pull, key, sheet)]
        found.append(Group(words, anchor, tuple(series)))
    return [*(group for group in found if group.series), *_others(ordered, sheet)]


def _known(pull: PullSheet, key: str, sheet: Sheet) -> Iterator[Series]:
    """A pull's column of a quantity that the vocabulary has."""
    row = pull.rows[f"{key}_curve"]
    if row.present and row.is_curve and np.isfinite(row.curve).any():
        yield _series(pull, key, row.curve, sheet)


def _series(
    pull: PullSheet, key: str, values: Floats, sheet: Sheet, named: Quantity | None = None
) -> Series:
    lead = pull is sheet.best
    speeds = pull.rows["speed_curve"].curve
    return Series(pull.setup.title, key, speeds, values, emphasis=lead, quiet=not lead, named=named)


def _others(pulls: Sequence[PullSheet], sheet: Sheet) -> Iterator[Group]:
    """Channels that the vocabulary does not know, a few to a picture."""
    named: dict[str, list[Series]] = {}
    for pull in pulls:
        for channel in extra_channels(pull):
            kind, values = quantity_of(channel)
            item = _series(pull, kind.key, values, sheet, kind)
            named.setdefault(kind.key, []).append(item)
    each = list(named.values())
    for number, start in enumerate(range(0, len(each), _PANELS), 1):
        series = [item for items in each[start : start + _PANELS] for item in items]
        last = f" {number}" if number > 1 else ""
        yield Group(_OTHERS + last, f"more{last}".replace(" ", "-"), tuple(series))


def extra_channels(pull: PullSheet) -> Iterator[Channel]:
    """What a pull logged that is none of the quantities, where anything was recorded."""
    curve = pull.pull.curve
    for channel in curve.extra if curve is not None else ():
        if np.isfinite(channel.values).any():
            yield channel


def quantity_of(channel: Channel) -> tuple[Quantity, Floats]:
    """A channel's own kind of figure, and its values in SI: named and dimensioned as logged.

    Temperatures and pressures have their unit of the other system beside them; a unit that no table
    knows stays as it was logged, whatever the reader shows.
    """
    found = spelled(channel.unit) if channel.unit else None
    logged = found.units[0] if found else Unit("logged", channel.unit, 1.0)
    pair = _COUNTERPARTS.get(logged.symbol)
    other = unit(logged.kind, pair) if pair else logged
    metric, imperial = (other, logged) if logged.symbol in _IMPERIAL else (logged, other)
    values = channel.values * logged.factor + logged.offset
    decimals = tuple(_decimals((values - it.offset) / it.factor) for it in (metric, imperial))
    # a key of its own for each name and unit, which no quantity of the vocabulary has
    key = f"logged {channel.name} [{channel.unit}]"
    title = channel.name[:1].upper() + channel.name[1:]
    ends = (-np.inf, np.inf)
    kind = Quantity(key, title, "", logged.kind, metric, imperial, (decimals[0], decimals[1]), ends)
    return kind, values


def _decimals(values: Floats) -> int:
    """Decimals that show a few digits of the largest figure; none of whole numbers."""
    known = values[np.isfinite(values)]
    size = float(np.abs(known).max()) if len(known) else 0.0
    if not size or bool((known == np.round(known)).all()):
        return 0
    return min(max(_DIGITS - 1 - int(np.floor(np.log10(size))), 0), _DIGITS)
