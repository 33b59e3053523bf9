"""The data package: tables over all builds, curves a build, and what describes them.

Data Package v2 and Table Schema (https://datapackage.org): `datapackage.json` at the site's top
names every file with its columns, its keys and its hash.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from specgen.analysis.sheet import Sheet
from specgen.archive.model.build import Settings
from specgen.past.chronicle import Event
from specgen.publish import addresses
from specgen.publish.takeaway.columns import Column, Table
from specgen.publish.takeaway.feed import Entry, entries_of
from specgen.publish.takeaway.tables import POINTS, TABLES, heading, lines_of

_PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
_SCHEMA = "https://datapackage.org/profiles/2.0/tableschema.json"
#: Tables that hold all builds; curves would be too much for one file.
_WHOLE = tuple(table for table in TABLES if table is not POINTS)


@dataclass(frozen=True, slots=True)
class Extract:
    """What one build gives to the files that sum up an archive; the sheet itself can go."""

    build: str
    tables: Mapping[str, str]
    curves: tuple[int, str] | None
    entries: tuple[Entry, ...]


def extract_of(sheet: Sheet, events: Iterable[Event] = (), curves: str | None = None) -> Extract:
    """Take from a sheet, and the changes that it went through, what tables and feed need.

    `curves` is what `curves_csv` gives, if somebody has it.
    """
    curves = curves_csv(sheet) if curves is None else curves
    data = curves.encode("utf-8")
    return Extract(
        sheet.id,
        {table.name: lines_of(table, sheet) for table in _WHOLE},
        (len(data), hashlib.sha256(data).hexdigest()) if curves else None,
        entries_of(sheet, events),
    )


def curves_csv(sheet: Sheet) -> str:
    """All curves of a build as one table; nothing where none was recorded."""
    lines = lines_of(POINTS, sheet)
    return heading(POINTS) + lines if lines else ""


def files(settings: Settings, extracts: Sequence[Extract], day: str) -> Iterator[tuple[str, str]]:
    """Addresses and texts of the package but for the curves; `day` is the archive's newest."""
    resources = []
    for table in _WHOLE:
        text = heading(table) + "".join(it.tables[table.name] for it in extracts)
        address = addresses.table(table.name)
        data = text.encode("utf-8")
        resources.append(_resource(table, address, len(data), hashlib.sha256(data).hexdigest()))
        yield address, text
    schema = addresses.table_schema(POINTS.name)
    yield schema, _json(_schema(POINTS))
    for it in extracts:
        if it.curves is not None:
            resources.append(_curves(it.build, schema, *it.curves))
    yield addresses.PACKAGE, _json(_package(settings, resources, day))


def _package(settings: Settings, resources: Iterable[dict[str, Any]], day: str) -> dict[str, Any]:
    name = re.sub(r"[^a-z0-9]+", "-", settings.name.value.lower()).strip("-")
    words = settings.summary.value if settings.summary else "Build sheets of engines."
    made: dict[str, Any] = {
        "$schema": _PROFILE,
        "name": name or "archive",
        "title": settings.name.value,
        "description": f"{words} All data is invented." if settings.invented else words,
    }
    if day:
        made["created"] = f"{day}T00:00:00Z"
    if settings.licence is not None:
        licence = {"name": settings.licence.name.value}
        if settings.licence.url is not None:
            licence["path"] = settings.licence.url.value
        made["licenses"] = [licence]
    if settings.authors:
        made["contributors"] = [{"title": it.value, "roles": ["author"]} for it in settings.authors]
    return {**made, "resources": list(resources)}


def _resource(table: Table, path: str, size: int, digest: str) -> dict[str, Any]:
    return {
        "name": table.name,
        "type": "table",
        "title": table.title,
        "description": table.words,
        **_file(path, size, digest),
        "schema": _schema(table),
    }


def _curves(build: str, schema: str, size: int, digest: str) -> dict[str, Any]:
    return {
        "name": f"curves-{build}",
        "type": "table",
        "title": f"Curves of {build}",
        **_file(addresses.build_curves(build), size, digest),
        "schema": schema,
    }


def _file(path: str, size: int, digest: str) -> dict[str, Any]:
    return {
        "path": path,
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "bytes": size,
        "hash": f"sha256:{digest}",
    }


def _schema(table: Table) -> dict[str, Any]:
    return {
        "$schema": _SCHEMA,
        "fields": [_field(column, table.key) for column in table.columns],
        "missingValues": [""],
        "primaryKey": list(table.key),
        "foreignKeys": [
            {"fields": list(names), "reference": {"resource": of, "fields": list(names)}}
            for names, of in table.refers
        ],
    }


def _field(column: Column, key: Sequence[str]) -> dict[str, Any]:
    made: dict[str, Any] = {"name": column.name, "type": column.kind, "description": column.words}
    return {**made, "constraints": {"required": True}} if column.name in key else made


def _json(data: Any) -> str:
    return json.dumps(data, ensure_ascii=False, indent=1, allow_nan=False) + "\n"
