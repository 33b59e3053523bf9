"""What the pages that sum up an archive need of one build, as plain data.

A sheet holds every figure, curve and their doubt, a megabyte or two; of a thousand builds only
this much is held at once. It goes into the store and between processes as JSON.
"""

from __future__ import annotations

import datetime
import types
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields, is_dataclass
from functools import cache
from typing import Any, Literal, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from markupsafe import Markup

from specgen.analysis.accuracy import measured_setups
from specgen.analysis.judging.trouble import troubles
from specgen.analysis.sheet import Sheet
from specgen.findings import Finding
from specgen.publish.blowers.runs import Run, runs_of
from specgen.publish.browse.builds import Listed, listed
from specgen.publish.compare.data import index_row
from specgen.publish.estimate.attempts import Attempt, attempts_of
from specgen.publish.find.combos import Combo, combos_of
from specgen.publish.reference.accuracy import Compared, compared
from specgen.publish.sheet.page import Surroundings
from specgen.publish.takeaway import package
from specgen.publish.years.results import OfYears, of_years

Made = TypeVar("Made")


@dataclass(frozen=True, slots=True)
class Extract:
    """One build in the index, the comparison, the finder, the sums and the years; its faults."""

    listed: Listed
    compare: tuple[str, ...]
    combos: tuple[Combo, ...]
    misses: tuple[Compared, ...]
    measured: int
    faults: tuple[Finding, ...]
    takeaway: package.Extract
    years: OfYears
    runs: tuple[Run, ...]
    attempts: tuple[Attempt, ...]


def extract_of(sheet: Sheet, around: Surroundings, curves: str) -> Extract:
    """Take from a sheet, and its curves as CSV, what the other pages say of it."""
    return Extract(
        listed(sheet),
        index_row(sheet),
        combos_of(sheet),
        compared(sheet, around.folders),
        measured_setups(sheet),
        tuple(troubles(sheet)),
        package.extract_of(sheet, around.events, curves),
        of_years(sheet),
        runs_of(sheet),
        attempts_of(sheet),
    )


def plain(made: Any) -> dict[str, Any]:
    """A frozen dataclass as JSON takes it."""
    found: dict[str, Any] = _days(asdict(made))
    return found


def _days(value: Any) -> Any:
    """Write days as texts, wherever they are."""
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, dict):
        return {key: _days(item) for key, item in value.items()}
    return [_days(item) for item in value] if isinstance(value, list | tuple) else value


def remade(kind: type[Made], data: Mapping[str, Any]) -> Made:
    """The dataclass again that `plain` gave; KeyError, TypeError or ValueError for other data."""
    hints = _hints(cast(Any, kind))
    names = [item.name for item in fields(cast(Any, kind))]
    return kind(**{name: _of(hints[name], data[name]) for name in names})


@cache
def _hints(kind: Any) -> dict[str, Any]:
    return get_type_hints(kind)


def _of(hint: Any, value: Any) -> Any:
    """A value of JSON as the type that a field has."""
    if hint is Markup:
        return Markup(value)
    if is_dataclass(hint):
        return remade(cast(type, hint), value)
    if get_origin(hint) in (types.UnionType, Union):
        members = [it for it in get_args(hint) if it is not type(None)]
        return None if value is None else _of(members[0], value)
    if hint is datetime.date:
        return datetime.date.fromisoformat(value)
    if get_origin(hint) is tuple:
        kinds = get_args(hint)
        each = kinds if Ellipsis not in kinds else kinds[:1] * len(value)
        return tuple(_of(kind, item) for kind, item in zip(each, value, strict=True))
    return _checked(hint, value)


def _checked(hint: Any, value: Any) -> Any:
    """A plain value as it is."""
    if get_origin(hint) is Literal and value not in get_args(hint):
        raise ValueError(f"{value!r} is none of {get_args(hint)}")
    return value
