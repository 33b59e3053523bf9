"""A plan as text for a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from specgen.analysis.planning.belts import BeltChoice
from specgen.analysis.planning.plan import FIGURES, Plan, PlannedPair
from specgen.analysis.planning.seek import Sought
from specgen.publish.planned.words import (
    figure_words,
    rest_words,
    sought_words,
    stop_words,
    verdict_words,
)
from specgen.vocabulary import System, quantity

_LEADING = ("ratio", "boost", "power", "torque")
_BEHIND = tuple(key for key, _, _ in FIGURES if key not in _LEADING)


def plan_text(plan: Plan, system: System, sought: Sequence[Sought] = ()) -> str:
    """Print a plan: what stops it, every pair, what a goal asks for."""
    lines = [f"{plan.sheet.build.title.value}: choosing the drive"]
    if not plan.pairs:
        return "\n".join([*lines, "", f"Nothing to plan: {plan.reason}."])
    lines += ["", rest_words(plan, system), *stop_words(plan, system)]
    for found in sought:
        lines += ["", *sought_words(found, system)]
    lines += ["", *_table(plan, _LEADING, system, ending="verdict")]
    lines += ["", *_table(plan, _BEHIND, system)]
    if any(item.belt is not None for item in plan.pairs):
        lines += ["", "Belt", *_belts(plan, system)]
    if not all(item.pair.offered for item in plan.pairs):
        lines += ["", "* is not among the pairs that the blower comes with."]
    lines += ["", "± says how far a figure may be off, in 19 cases of 20. Estimates, not promises:"]
    lines.append("go up in steps, watch mixture and knock, and keep to the makers' limits.")
    return "\n".join(line.rstrip() for line in lines)


def _table(plan: Plan, keys: Sequence[str], system: System, ending: str = "") -> Iterable[str]:
    titles = {key: title for key, title, _ in FIGURES}
    shown = [key for key in keys if any(item.figures[key].present for item in plan.pairs)]
    head = ["Crank to blower pulley", *(titles[key] for key in shown), *([""] if ending else [])]
    cells = [head, *(_cells(item, shown, system, bool(ending)) for item in plan.pairs)]
    yield from _aligned(cells, words_last=bool(ending))


def _cells(item: PlannedPair, keys: Sequence[str], system: System, told: bool) -> list[str]:
    mark = "" if item.pair.offered else " *"
    measured = " (measured)" if item.pulls else ""
    cells = [item.pair.title + mark + measured]
    for key in keys:
        row = item.figures[key]
        bare = key in ("ratio", "blower_speed", "belt_speed")
        cells.append(row.quantity.text(row.scalar, system) if bare and row.present
                     else figure_words(row, system))  # fmt: skip
    return [*cells, verdict_words(item, system)] if told else cells


def _belts(plan: Plan, system: System) -> Iterator[str]:
    cells = [["Crank to blower pulley", "path asks for", "next lengths", "belt that is on"]]
    for item in plan.pairs:
        if item.belt is not None:
            cells.append([item.pair.title, *belt_words(item.belt, system)])
    yield from _aligned(cells, words_last=True)


def belt_words(belt: BeltChoice, system: System) -> tuple[str, str, str]:
    """Path, next lengths on the list, and what the belt that is on does."""

    def length(value: float | None) -> str:
        return "\u2013" if value is None else quantity("belt_length").text(value, system)

    if belt.problem or belt.path is None:
        return "no path", "", belt.problem
    ends = length(belt.path)
    if belt.shortest != belt.longest:
        ends = f"{length(belt.shortest)} to {length(belt.longest)}"
    beside = [item for item in (belt.next_shorter, belt.next_longer) if item]
    near = " or ".join(length(item) for item in belt.within or beside)
    return ends, near or "\u2013", _on(belt, system)


def _on(belt: BeltChoice, system: System) -> str:
    if belt.on is None or belt.path is None:
        return ""
    slack = quantity("belt_slack")
    if belt.fits is None:
        apart = belt.on - belt.path
        return f"{slack.text(abs(apart), system)} {'longer' if apart >= 0 else 'shorter'}"
    if belt.fits and belt.travel is not None:
        return f"fits, tensioner at {quantity('fraction').text(belt.travel, system)} of its travel"
    assert belt.shortest is not None
    assert belt.longest is not None
    short = belt.on < belt.shortest
    apart = belt.shortest - belt.on if short else belt.on - belt.longest
    return f"{slack.text(apart, system)} too {'short' if short else 'long'} for the tensioner"


def _aligned(cells: Sequence[Sequence[str]], *, words_last: bool) -> Iterator[str]:
    """Columns, figures to the right; the first one and closing words to the left."""
    widths = [max(len(row[column]) for row in cells) for column in range(len(cells[0]))]
    for row in cells:
        shown = [
            f"{text:<{width}}" if index == 0 or (words_last and index == len(row) - 1)
            else f"{text:>{width}}"
            for index, (text, width) in enumerate(zip(row, widths, strict=True))
        ]  # fmt: skip
        yield f"  {'  '.join(shown)}".rstrip()
