"""The page with all that a build's pulls logged: each channel drawn, each pull's readings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from specgen.analysis.sheet import Sheet
from specgen.analysis.words import MEASURING_POINTS
from specgen.analysis.workings import PullSheet
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.logged import GROUPS, extra_channels, further, place_of, quantity_of
from specgen.publish.share.sharing import paper_head
from specgen.publish.typesetting.blocks import Charts, Note
from specgen.publish.typesetting.dates import day_words
from specgen.publish.typesetting.figures import in_both
from specgen.publish.typesetting.markup import safe
from specgen.publish.typesetting.page import Part, page_markdown, trail
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import Quantity, System, quantity

Floats = NDArray[np.float64]

_TITLE = "All readings"
#: Lines of a pull's table, at most: the curve's shape; every reading stands in the file.
_LINES = 16


@dataclass(frozen=True, slots=True)
class ReadingsLead(Context):
    """What opens the page.

    `sheet`: the link to the build's sheet; `title`: its name; `curves`: the link to every reading
    as a table; `kinds`: words and anchor of each group of channels.
    """

    template: ClassVar[str] = "readings/lead.jinja"
    sheet: str
    title: str
    curves: str
    kinds: Sequence[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class Readings(Context):
    """One pull's readings.

    `pull`: its id; `heads`: title and unit of each column; `lines`: the figures of each line;
    `shown`: how many readings stand here; `count`: how many there are; `told`: day, setup and
    measuring point.
    """

    template: ClassVar[str] = "readings/readings.jinja"
    pull: str
    heads: Sequence[tuple[str, Markup]]
    lines: Sequence[Sequence[Markup]]
    shown: int
    count: int
    told: str


def readings_page(sheet: Sheet, units: System, folders: bool) -> str:
    """Print the page; empty where no pull has a curve."""
    pulls = [it for it in sheet.pulls if it.rows["speed_curve"].present]
    if not pulls:
        return ""
    here = addresses.readings(sheet.id)
    links = Links(here, folders)
    title = sheet.build.title.value
    above = (title, addresses.build(sheet.id))
    way = trail(links, addresses.BUILDS, under=above, title=_TITLE)
    parts = _parts(sheet, pulls, links, units)
    told = f"All that was logged on the dyno: {title}"
    return page_markdown(f"{_TITLE}: {title}", told, parts, units, trail=way, hide=("navigation",),
                         head=paper_head(sheet))  # fmt: skip


def _parts(sheet: Sheet, pulls: Sequence[PullSheet], links: Links, units: System) -> Iterator[Part]:
    found = list(further(sheet, units))
    yield Part("", rendered(ReadingsLead(
        sheet=links.to(addresses.build(sheet.id)),
        title=sheet.build.title.value,
        curves=links.to(addresses.build_curves(sheet.id)),
        kinds=[(words, place_of(words)) for words, _ in found],
    )), searchable=False)  # fmt: skip
    for words, drawing in found:
        yield Part(words, rendered(Charts(charts=[drawing])), searchable=False)
    if not found:
        yield Part("", rendered(Note(words="Nothing but power, torque and boost was logged.")))
    for pull in pulls:
        block = rendered(_table(pull))
        yield Part(f"Pull {pull.id}", block, searchable=False, fold=_in_words(pull))


def _in_words(pull: PullSheet) -> str:
    place = MEASURING_POINTS[pull.session.dyno.measured_at.value]
    return f"{pull.setup.title}, {day_words(pull.session.date.value)}, power {place}"


def _table(pull: PullSheet) -> Readings:
    """A pull's readings, evenly taken where there are many, with the peak of power among them."""
    columns = list(_columns(pull))
    count = len(columns[0][2])
    kept = _kept(pull, count)
    return Readings(
        pull=pull.id,
        heads=[(title, _unit(kind)) for title, kind, _ in columns],
        lines=[[_cell(kind, float(values[at])) for _, kind, values in columns] for at in kept],
        shown=len(kept),
        count=count,
        told=_in_words(pull),
    )


def _kept(pull: PullSheet, count: int) -> list[int]:
    even = np.linspace(0, count - 1, min(count, _LINES)).round().astype(int).tolist()
    power = pull.rows["power_curve"]
    if power.present and np.isfinite(power.curve).any():
        even.append(int(np.nanargmax(power.curve)))
    return sorted(set(even))


def _columns(pull: PullSheet) -> Iterator[tuple[str, Quantity, Floats]]:
    """Title, quantity and values of each column: speed first, then what was recorded."""
    rows = pull.rows
    wanted = ["power", "torque", "boost", *(key for _, _, keys in GROUPS for key in keys)]
    yield "Engine speed", quantity("engine_speed"), rows["speed_curve"].curve
    for key in wanted:
        row = rows[f"{key}_curve"]
        if row.present and row.is_curve and np.isfinite(row.curve).any():
            state = f", {row.state}" if key in ("power", "torque") and row.state else ""
            yield f"{row.quantity.title}{state}", row.quantity, row.curve
    for channel in extra_channels(pull):
        kind, values = quantity_of(channel)
        yield kind.title, kind, values


def _unit(kind: Quantity) -> Markup:
    return in_both(lambda system: safe(kind.unit(system).shown))


def _cell(kind: Quantity, value: float) -> Markup:
    if not np.isfinite(value):
        return Markup('<span class="sg-absent">–</span>')
    return in_both(lambda system: safe(kind.number(value, system)))
