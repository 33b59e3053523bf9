"""The part of a sheet about runs outside the dyno, and what they can and cannot tell."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from specgen.analysis.judging.outings import Run, same_air
from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet
from specgen.publish.typesetting.dates import day_words
from specgen.publish.typesetting.page import Part
from specgen.publish.typesetting.provenance import Provenance
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.units import NARROW_SPACE


@dataclass(frozen=True, slots=True)
class OutingBlock:
    """One run.

    `heading`: what and when; `rows`: what was written; `power`: what went into motion; `other`: the
    same had it been constant, or nothing; `share`: of the dyno's power, in words; `note`: tyres and
    remarks.
    """

    heading: str
    rows: Sequence[Row]
    power: Row
    other: Row | None
    share: str
    note: str


@dataclass(frozen=True, slots=True)
class Outings(Context):
    """Runs outside the dyno.

    `runs`: each; `alike`: whether their air is known and alike; `figures`: prints and remembers a
    row.
    """

    template: ClassVar[str] = "sheet/outings.jinja"
    runs: Sequence[OutingBlock]
    alike: bool
    figures: Provenance


def outings(sheet: Sheet, figures: Provenance) -> Iterator[Part]:
    """Print the outings of a build, where there are any."""
    if not sheet.outings:
        return
    blocks = [_block(run) for run in sheet.outings]
    alike = same_air(sheet.outings)
    block = rendered(Outings(runs=blocks, alike=alike, figures=figures))
    yield Part("Beyond the dyno", block, searchable=False)


def _block(run: Run) -> OutingBlock:
    keys = ("run_distance", "run_time", "terminal_speed", "run_mass")
    outing, rows = run.outing, run.rows
    notes = [item.value for item in (outing.tyres, outing.note) if item is not None]
    other = rows["power_by_distance"]
    both = rows["power_by_time"].present and other.present
    return OutingBlock(
        heading=f"{day_words(outing.date.value)}: {outing.what.value}",
        rows=[rows[key] for key in keys if rows[key].present],
        power=rows["motion_power"],
        other=other if both else None,
        share="" if run.share is None else f"{100 * run.share:.0f}{NARROW_SPACE}%",
        note=". ".join(note.rstrip(".") for note in notes) + ("." if notes else ""),
    )
