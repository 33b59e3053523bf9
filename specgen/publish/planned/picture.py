"""The picture of a plan: boost and power against ratio, what was measured, and the limits."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from specgen.analysis.planning.plan import Plan, PlannedPair
from specgen.analysis.planning.room import Stop
from specgen.analysis.rows.row import Row
from specgen.analysis.words import fuel_words
from specgen.analysis.workings import PullSheet
from specgen.publish.charts import plane
from specgen.publish.charts import words as charts_words
from specgen.publish.drawings import Drawing
from specgen.publish.planned.words import hard_stops
from specgen.publish.typesetting.figures import words_in_both
from specgen.vocabulary import System, quantity, side_by_side

#: Pairs of which a picture's words tell the figures.
_TOLD = 6
_PANELS = (("boost", "boost", "Boost", "limit_boost"),
           ("power", "observed_power", "Power as observed", "limit_power"))  # fmt: skip


def plan_picture(
    plan: Plan, units: System, pairs: Sequence[PlannedPair] = (), name: str = "plan"
) -> Drawing | None:
    """Draw a plan, or some of its pairs; None where fewer than two have a figure."""
    drawn = tuple(pairs or plan.pairs)
    panels = [_panel(plan, drawn, *panel) for panel in _PANELS]
    shown = [panel for panel in panels if panel is not None]
    if not shown:
        return None
    title = _title(plan, drawn, units)
    chart = plane.planes(shown, "pulley_ratio", title, _description(plan, drawn), name=name)
    return Drawing(words_in_both(lambda system: _title(plan, drawn, system)), chart)


def _panel(
    plan: Plan, drawn: Sequence[PlannedPair], key: str, pull_key: str, heading: str, limit_key: str
) -> plane.Plane | None:
    pairs = [item for item in drawn if item.figures[key].present]
    if len(pairs) < 2:
        return None
    x = np.array([item.pair.ratio for item in pairs])
    y = np.array([item.figures[key].scalar for item in pairs])
    band = np.array([item.figures[key].expanded or 0.0 for item in pairs])
    line = plane.Line("expected", x, y, band, estimated=True)
    spots = [_spot(item, pull, pull.rows[pull_key])
             for item in pairs for pull in item.pulls
             if pull.rows[pull_key].present]  # fmt: skip
    limit = plan.sheet.engine[limit_key]
    others = [stop for stop in hard_stops(plan) if not stop.low and stop.title.lower() != key]
    edges = [plane.Edge(f"{stop.title.lower()} limit", x=stop.ratio) for stop in others]
    if limit.present:
        text = charts_words.both(limit.quantity, limit.scalar)
        edges.append(plane.Edge(f"limit of {key}, {text}", y=limit.scalar))
    return plane.Plane(key, heading, [line], spots, edges)


def _spot(item: PlannedPair, pull: PullSheet, row: Row) -> plane.Spot:
    """What was measured with a pair; a ring on another fuel than the plan's."""
    fuels = [fuel_words(setup.setup.fuel) for setup in (pull.setup, item.setup)]
    other = fuels[0] != fuels[1]
    return plane.Spot(item.pair.ratio, row.scalar, margin=row.expanded or 0.0, hollow=other)


def _title(plan: Plan, drawn: Sequence[PlannedPair], system: System) -> str:
    """The finding: how far boost goes before the first limit."""
    known = [item for item in drawn if item.figures["boost"].present]
    first, last = known[0], known[-1]
    low, high = (quantity("boost").text(i.figures["boost"].scalar, system) for i in (first, last))
    words = f"{low} to {high} of boost over ratios of {first.pair.ratio:.2f} to "
    words += f"{last.pair.ratio:.2f}"
    stops = hard_stops(plan)
    if not stops:
        return words
    if stops[0].low:
        return f"{words}; beyond {stops[0].title.lower()} with every pair"
    return f"{words}; {stops[0].title.lower()} stops it first, at {stops[0].ratio:.2f}"


def _description(plan: Plan, drawn: Sequence[PlannedPair]) -> str:
    """The alternative text: a few pairs over the whole range, with figures in both systems."""
    told = ["Boost and power against drive ratio; dots are measured, the band is what may be."]
    last = len(drawn) - 1
    for at in sorted({round(last * part / (_TOLD - 1)) for part in range(_TOLD)}):
        item = drawn[at]
        figures = [
            f"{key} {_told(row)}"
            for key in ("boost", "power")
            if (row := item.figures[key]).present
        ]
        if figures:
            told.append(f"Ratio {item.pair.ratio:.2f}: {', '.join(figures)}.")
    told += _measured(drawn)
    told += [_reached(stop) for stop in hard_stops(plan)]
    return " ".join(told)


def _told(row: Row) -> str:
    """A figure in both systems of units, with what it may be off in the first."""
    first = side_by_side()[0]
    margin = row.quantity.margin(row.expanded, first) if row.expanded else ""
    behind = f" ± {margin} {row.quantity.unit(first).shown}" if margin else ""
    return charts_words.both(row.quantity, row.scalar, row.expanded) + behind


def _measured(drawn: Sequence[PlannedPair]) -> list[str]:
    """What was measured with pairs of the picture."""
    told = []
    for item in drawn:
        for pull in item.pulls:
            rows = [(key, pull.rows[pull_key]) for key, pull_key, *_ in _PANELS]
            figures = [f"{key} {_told(row)}" for key, row in rows if row.present]
            if figures:
                told.append(f"Measured at {item.pair.ratio:.2f}: {', '.join(figures)}.")
    return told


def _reached(stop: Stop) -> str:
    """At which ratio a limit is reached."""
    title = stop.title.lower()
    if stop.low:
        return f"Every pair is beyond the limit of {title}."
    return f"The limit of {title} is reached at a ratio of {stop.ratio:.2f}."
