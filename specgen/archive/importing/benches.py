"""The dynos of the settings while files are taken in: which one a file is of, what it learns."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from specgen.archive.delimited.words import fold
from specgen.archive.editing.edits import EditError, append_item, insert_key
from specgen.archive.format.structure import structured
from specgen.archive.format.wording import check
from specgen.archive.importing.answers import Answers
from specgen.archive.importing.plan import Change, read_inside
from specgen.archive.importing.understanding import CannotImport, Understood
from specgen.archive.model.build import Settings
from specgen.archive.model.session import Bench
from specgen.archive.reading.source import Tree, load

SETTINGS = "archive.yaml"
_LOGS = {"boost": "pressure", "date_order": "date_order", "barometer": "barometer"}
_MARKS = {".": "point", ",": "comma"}


def benches_of(archive: Path) -> tuple[Bench, ...]:
    """Give the dynos of the settings; CannotImport where the settings have faults."""
    document = load(read_inside(archive, archive / SETTINGS), SETTINGS)
    found = [*document.findings, *(check(document, "archive") if document.readable else ())]
    faults = [item for item in found if item.severity == "error"]
    if faults:
        place = f"{archive / SETTINGS}:{faults[0].place.line}"
        raise CannotImport(f"{place}: mend this first: found {faults[0].found}; {faults[0].hint}")
    return structured(Settings, document, "archive").dynos


def bench_of(found: Understood, benches: Sequence[Bench]) -> Bench | None:
    """Give the one dyno that a file is of: the lines above its table name it, or its heads do."""
    named = [item for item in benches if _is_named(item, found)]
    if len(named) == 1:
        return named[0]
    heads = set(found.heads)
    alike = [
        item
        for item in benches
        if item.logs.columns and {it.head.value for it in item.logs.columns} <= heads
    ]
    return alike[0] if len(alike) == 1 and not named else None


def _is_named(item: Bench, found: Understood) -> bool:
    told = fold(found.facts.dyno.text) if found.facts.dyno else ""
    names = [item.id.value, item.id.value.replace("-", " ")]
    names += [item.title.value] if item.title else []
    return bool(told) and any(fold(name) in told for name in names)


def learned(
    archive: Path, dyno: str, told: Answers, described: dict[str, Tree], benches: Sequence[Bench]
) -> list[Change]:
    """Plan what the settings keep of what was told: a new dyno, and how its logs are read.

    `described` are kind and measuring point of a dyno that is not there yet.
    """
    file = archive / SETTINGS
    before = data = read_inside(archive, file)
    try:
        if dyno not in [item.id.value for item in benches]:
            logs = _new(told, {})
            item: dict[str, Tree] = {"id": dyno, **described, **({"logs": logs} if logs else {})}
            data = append_item(data, ("dynos",), item, str(file))
        else:
            at = [it["id"] for it in _dynos(data) if isinstance(it, dict)].index(dyno)
            data = _with_logs(data, ("dynos", at), _known(data, at), told, str(file))
    except EditError as problem:
        raise CannotImport(str(problem)) from problem
    return [Change(file, before, data)] if data != before else []


def _dynos(data: bytes) -> list[Tree]:
    tree = load(data, SETTINGS).tree
    found = tree.get("dynos") if isinstance(tree, dict) else None
    return found if isinstance(found, list) else []


def _known(data: bytes, at: int) -> dict[str, Tree]:
    item = _dynos(data)[at]
    logs = item.get("logs") if isinstance(item, dict) else None
    return logs if isinstance(logs, dict) else {}


def _new(told: Answers, known: dict[str, Tree]) -> dict[str, Tree]:
    """Give what was told of a dyno's logs and they do not say yet."""
    words: dict[str, Tree] = {
        key: word for name, key in _LOGS.items() if (word := getattr(told, name))
    }
    if told.decimal:
        words["decimal"] = _MARKS[told.decimal]
    listed = known.get("columns")
    there = _heads(listed if isinstance(listed, list) else ())
    columns: list[Tree] = [
        {"head": head, "column": meant} for head, meant in told.columns.items() if head not in there
    ]
    new = {key: word for key, word in words.items() if key not in known}
    return {**new, **({"columns": columns} if columns else {})}


def _with_logs(
    data: bytes, path: tuple[str | int, ...], known: dict[str, Tree], told: Answers, file: str
) -> bytes:
    """Add to a dyno's logs what they do not say yet."""
    new = _new(told, known)
    if new and not known:
        return insert_key(data, path, "logs", new, file=file)
    columns = new.pop("columns", [])
    for key, word in new.items():
        data = insert_key(data, (*path, "logs"), key, word, file=file)
    for item in columns if isinstance(columns, list) else ():
        data = append_item(data, (*path, "logs", "columns"), item, file)
    return data


def _heads(items: Iterable[Tree]) -> set[str]:
    return {str(item["head"]) for item in items if isinstance(item, dict) and "head" in item}
