"""A sweep of a log as the text of a curve file; rows that are kept stay as they were written."""

from __future__ import annotations

import math
from collections.abc import Sequence

from specgen.archive.delimited.grid import Block
from specgen.archive.importing.choice import Taken
from specgen.archive.importing.columns import Chooser
from specgen.archive.importing.sweeps import Sweep
from specgen.vocabulary import quantity

#: Rows that are looked at to tell how many decimals a column has.
_LOOKED_AT = 200


def curve_text(chooser: Chooser, taken: Sequence[Taken], sweep: Sweep) -> str:
    """Write a sweep with its head: each row's own figures, or the means with a decimal more."""
    columns = [_cells(chooser, item, sweep) for item in taken]
    head = ",".join(item.head for item in taken)
    return "\n".join([head, *(",".join(row) for row in zip(*columns, strict=True)), ""])


def _cells(chooser: Chooser, item: Taken, sweep: Sweep) -> list[str]:
    if sweep.groups is None:
        return [_own(chooser, item.at, int(row)) for row in sweep.rows]
    decimals = min(_decimals(chooser.block, item.at, chooser) + 1, 6)
    return [
        "" if math.isnan(value) else f"{value:.{decimals}f}".replace("-0." + "0" * decimals, "0")
        for value in sweep.averaged(chooser.values(item.at)).tolist()
    ]


def _own(chooser: Chooser, at: int, row: int) -> str:
    """Give a cell's number as it was written, in the notation of curve files."""
    value = float(chooser.values(at)[row])
    if math.isnan(value):
        return ""
    plain = chooser.choice.notation.plain(chooser.block.rows[row][at])
    return plain if len(plain) <= 16 and not math.isinf(value) else f"{value:.9g}"


def _decimals(block: Block, at: int, chooser: Chooser) -> int:
    """Give the most decimals that a column's cells have."""
    notation = chooser.choice.notation
    most = 0
    for row in block.rows[:_LOOKED_AT]:
        if at < len(row) and notation.number(row[at]) is not None:
            mantissa = notation.plain(row[at]).lower().partition("e")[0]
            most = max(most, len(mantissa.partition(".")[2]))
    return most


def impossible(chooser: Chooser, item: Taken, sweep: Sweep) -> bool:
    """Whether a sweep has figures that such a quantity cannot have, as a dead sensor gives."""
    if not item.quantity or item.unit is None:
        return False
    kind = quantity(item.quantity)
    values = sweep.averaged(chooser.values(item.at))
    return any(
        not kind.is_possible(item.unit.to_si(value)) for value in values.tolist() if value == value
    )
