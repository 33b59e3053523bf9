"""Append an item, insert a key, change a value: bytes of a YAML file in, bytes out.

Every edit replaces one stretch of characters and leaves all others, comments, order, quotes and
line ends among them. The result is read again: if it does not say what was meant, the edit is
refused and the caller's file stays as it was.
"""

from __future__ import annotations

import copy
import re
from typing import Any

from specgen.archive.editing.lines import item_lines, key_lines, value_lines
from specgen.archive.editing.spans import Span, spans
from specgen.archive.format.examples import written
from specgen.archive.reading.source import Document, Tree, TreePath, load

#: What some editors put before the first character.
_MARK = "\ufeff"


class EditError(Exception):
    """A file cannot be edited: the message says what was found and what to write by hand."""


def append_item(data: bytes, path: TreePath, value: Tree, file: str = "") -> bytes:
    """Add an item at the end of the list at a path; a list that is absent or empty begins.

    `file` names the file in messages. EditError if the file has faults of syntax, or if something
    other than a list stands at the path.
    """
    read = _read(data, file)
    try:
        found = _value(read.tree, path)
    except (KeyError, IndexError, TypeError):
        return insert_key(data, path[:-1], str(path[-1]), [value], file=file)
    if found is not None and not isinstance(found, list):
        raise EditError(f"{file}: {_named(path)} is no list; expected a list to add to")
    text, root = _text(data), spans(_text(data))
    span = root.at(path)
    if span.kind == "scalar" or (not span.children and _in_block(root, path)):
        new = _begin(text, root, path, [value])
    elif span.flow:
        new = _insert_in_flow(text, span, written(value))
    else:
        column = span.column
        new = _insert_lines(text, span.end, column, item_lines(value, column))
    return _proved(data, new, path, [*(found or []), value], file)


def insert_key(
    data: bytes, path: TreePath, key: str, value: Tree, after: str = "", file: str = ""
) -> bytes:
    """Add a key to the mapping at a path, behind the key `after` or as the last.

    EditError if the key is there already, if `after` is not, or if no mapping stands at the path.
    """
    try:
        found = _value(_read(data, file).tree, path)
    except (KeyError, IndexError, TypeError) as missing:
        raise EditError(f"{file}: there is no {_named(path)}; write it first") from missing
    if not isinstance(found, dict):
        raise EditError(f"{file}: {_named(path)} is no mapping; expected keys to add to")
    if key in found:
        raise EditError(f'{file}: {_named(path)} has "{key}" already; change it there')
    if after and after not in found:
        raise EditError(f'{file}: {_named(path)} has no "{after}" to write "{key}" behind')
    text = _text(data)
    span = spans(text).at(path)
    if span.flow:
        new = _insert_in_flow(text, span, f"{written(key)}: {written(value)}", after)
    else:
        end = span.children[after].end if after else span.end
        new = _insert_lines(text, end, span.column, key_lines(key, value, span.column))
    return _proved(data, new, path, {**found, key: value}, file)


def change(data: bytes, path: TreePath, value: bool | float | str, file: str = "") -> bytes:
    """Replace the scalar at a path, in the quotes that it has.

    EditError if there is no such value, if it is a mapping or list, or a text over several lines.
    """
    try:
        _value(_read(data, file).tree, path)
    except (KeyError, IndexError, TypeError) as missing:
        raise EditError(f"{file}: there is no {_named(path)} to change") from missing
    text = _text(data)
    span = spans(text).at(path)
    if span.kind != "scalar" or span.style in ("|", ">"):
        raise EditError(f"{file}: {_named(path)} is no text of one line; change it by hand")
    new = _quoted(value, span.style)
    # behind "bore:" stands nothing, not even a space
    gap = " " if span.start == span.end and not text[: span.start].endswith(" ") else ""
    result = text[: span.start] + gap + new + text[span.end :]
    return _proved(data, result, path, value, file)


def _quoted(value: bool | float | str, style: str) -> str:
    """Write a scalar, a text in the quotes that stood there."""
    if style == "'" and isinstance(value, str) and value.isprintable():
        return "'" + value.replace("'", "''") + "'"
    new = written(value)
    return (
        f'"{new}"' if style == '"' and isinstance(value, str) and not new.startswith('"') else new
    )


def _read(data: bytes, file: str) -> Document:
    """Read the file; one that has faults is not edited, since nobody knows what it means."""
    read = load(data, file)
    if read.findings:
        fault = read.findings[0]
        raise EditError(
            f"{file}:{fault.place.line}: mend this first, then try again: "
            f"found {fault.found}; expected {fault.expected}"
        )
    return read


def _text(data: bytes) -> str:
    """Give the text without the mark that may head it, with its own line ends."""
    return data.decode("utf-8-sig")


def _value(tree: object, path: TreePath) -> Tree:
    """Give what stands at a path; KeyError, IndexError or TypeError where nothing does."""
    here: object = tree
    for step in path:
        here = here[step]  # type: ignore[index]
    return here  # type: ignore[return-value]


def _named(path: TreePath) -> str:
    """Name a path in words: sessions, item 2, pulls."""
    steps = (f'"{step}"' if isinstance(step, str) else f"item {step + 1}" for step in path)
    return ", ".join(steps) or "the file"


def _in_block(root: Span, path: TreePath) -> bool:
    """Whether a value may stand on lines of its own: no bracket is open around it."""
    return not any(root.at(path[:length]).flow for length in range(len(path)))


def _begin(text: str, root: Span, path: TreePath, value: list[Tree]) -> str:
    """Put the first items where nothing, null or [] stood."""
    span = root.at(path)
    above = root.at(path[:-1]) if path else None
    if above is None or above.kind != "mapping" or not _in_block(root, path):
        gap = " " if span.start == span.end else ""
        return text[: span.start] + gap + written(value) + text[span.end :]
    before = text[: span.start].rstrip(" ") if span.end > span.start else text[: span.start]
    rest = text[span.end :]
    return _insert_lines(
        before + rest, len(before), above.column, value_lines(value, above.column + 2)
    )


def _insert_in_flow(text: str, span: Span, new: str, after: str = "") -> str:
    """Put an entry between brackets, behind a key or behind the last."""
    if not span.children:
        place = span.start + 1
        return text[:place] + new + text[place:]
    last = span.children[after] if after else list(span.children.values())[-1]
    return f"{text[: last.end]}, {new}{text[last.end :]}"


def _insert_lines(text: str, offset: int, column: int, lines: list[str]) -> str:
    """Put lines behind the line of an offset, and behind comments that belong to what is there."""
    newline = match[0] if (match := re.search(r"\r\n|\r|\n", text)) else "\n"
    deeper = re.compile(rf"(?:\r\n|\r|\n) {{{column + 1},}}#[^\r\n]*")
    place = _line_end(text, offset)
    while match := deeper.match(text, place):
        place = match.end()
    return text[:place] + newline + newline.join(lines) + (text[place:] or newline)


def _line_end(text: str, offset: int) -> int:
    """Give the offset of the line end at or behind an offset."""
    match = re.compile(r"[\r\n]|\Z").search(text, offset)
    assert match is not None
    return match.start()


def _proved(data: bytes, text: str, path: TreePath, value: object, file: str) -> bytes:
    """Give the new bytes if they read as the old ones with one value in another's place."""
    mark = _MARK if data.startswith(_MARK.encode()) else ""
    result = (mark + text).encode()
    read = load(result, file)
    wanted = value
    if path:
        wanted = copy.deepcopy(_read(data, file).tree)
        above: Any = _value(wanted, path[:-1])
        above[path[-1]] = value
    if read.findings or read.tree != wanted:
        raise EditError(f"{file}: {_named(path)} cannot be edited in place; write it by hand")
    return result
