"""The blueprint on a sheet: dimensions as specified and as measured, and what follows from them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.record.blueprint import Blueprint, DimensionRows, Volumes
from specgen.analysis.record.record import Record
from specgen.analysis.rows.row import Row
from specgen.publish.typesetting.provenance import Provenance
from specgen.publish.typesetting.rendering import Context, rendered

Line = tuple[str, Markup, Markup]

#: What follows from the dimensions of one case: field of `Volumes` and words.
_FOLLOWS = (
    ("clearance_volume", "Clearance volume of a cylinder"),
    ("compression_ratio", "Compression ratio"),
    ("quench_distance", "Quench distance"),
)


@dataclass(frozen=True, slots=True)
class ByCylinder:
    """The table of single cylinders.

    `headings`: what each column is; `lines`: a cylinder's number and its figures.
    """

    headings: Sequence[str]
    lines: Sequence[tuple[int, Sequence[Markup]]]


@dataclass(frozen=True, slots=True)
class BlueprintPart(Context):
    """The blueprint.

    `dimensions`: words, as specified, as measured; `follows`: what they give, likewise;
    `cylinders`: headings and lines of the single cylinders; `facts`: what holds for the whole
    engine.
    """

    template: ClassVar[str] = "sheet/record/blueprint.jinja"
    dimensions: Sequence[Line]
    follows: Sequence[Line]
    cylinders: ByCylinder
    facts: Sequence[tuple[str, Markup]]


def blueprint(record: Record, figures: Provenance) -> Markup:
    """Print the blueprint; nothing where none was recorded."""
    print_ = record.blueprint
    if print_ is None:
        return Markup("")
    return rendered(
        BlueprintPart(
            dimensions=list(_dimensions(print_, figures)),
            follows=list(_follows(print_, figures)),
            cylinders=_by_cylinder(print_, figures),
            facts=list(_facts(print_, figures)),
        )
    )


def _dimensions(print_: Blueprint, figures: Provenance) -> Iterator[Line]:
    for dimension in print_.dimensions:
        yield dimension.title, figures.show(dimension.specified), _all(dimension.measured, figures)


def _follows(print_: Blueprint, figures: Provenance) -> Iterator[Line]:
    """What the dimensions give, for the specification and over all cylinders as measured."""
    fields = list(_FOLLOWS)
    if not any(item.key == "deck_clearance" for item in print_.dimensions):
        fields.insert(0, ("deck_clearance", "Deck clearance, from block, stroke, rod and piston"))
    for field, words in fields:
        rows = [getattr(case, field) for case in print_.cylinders]
        specified = figures.reasoned(getattr(print_.specified, field))
        yield words, specified, _all(rows, figures) if rows else Markup("")


def _all(rows: Sequence[Row], figures: Provenance) -> Markup:
    """Print one reading, or from the smallest to the largest of several."""
    known = [row for row in rows if row.present]
    if not known:
        return figures.reasoned(rows[0]) if rows else figures.show(None)
    low, high = min(known, key=_scalar), max(known, key=_scalar)
    if low.scalar == high.scalar:
        return figures.show(low)
    return figures.between(low, high)


def _scalar(row: Row) -> float:
    return row.scalar


def _by_cylinder(print_: Blueprint, figures: Provenance) -> ByCylinder:
    """The table of single cylinders: what was measured on each, and what follows for it."""
    if len(print_.cylinders) < 2:
        return ByCylinder(headings=[], lines=[])
    own = [item for item in print_.dimensions if len(item.measured) > 1]
    fields = [item for item in _FOLLOWS if _differs(print_.cylinders, item[0])]
    lines = [_cylinder(case, index, own, fields, figures)
             for index, case in enumerate(print_.cylinders)]  # fmt: skip
    headings = [*(item.title for item in own), *(words for _, words in fields)]
    return ByCylinder(headings=headings, lines=lines)


def _differs(cases: Sequence[Volumes], field: str) -> bool:
    """Whether a figure is not the same for all cylinders."""
    values = {row.scalar for case in cases if (row := getattr(case, field)).present}
    return len(values) > 1


def _cylinder(
    case: Volumes,
    index: int,
    own: Sequence[DimensionRows],
    fields: Sequence[tuple[str, str]],
    figures: Provenance,
) -> tuple[int, list[Markup]]:
    read = [item.measured[index] if index < len(item.measured) else None for item in own]
    rows = [*read, *(getattr(case, field) for field, _ in fields)]
    return index + 1, [figures.show(row, bare=True) for row in rows]


def _facts(print_: Blueprint, figures: Provenance) -> Iterator[tuple[str, Markup]]:
    """What holds for the engine as a whole."""
    rows: list[tuple[str, Row | None]] = [("Compression ratio as stated", print_.stated_ratio)]
    if print_.spread is not None:
        rows += [
            ("Mean over the cylinders", print_.mean_ratio),
            ("Spread over the cylinders", print_.spread),
        ]
    if print_.deck_due.present and _deck_written(print_):
        rows.append(("Deck clearance that block, stroke, rod and piston give", print_.deck_due))
    rows += [(row.title, row) for row in print_.motion]
    yield from (
        (words, figures.show(row)) for words, row in rows if row is not None and row.present
    )


def _deck_written(print_: Blueprint) -> bool:
    return any(item.key == "deck_clearance" for item in print_.dimensions)
