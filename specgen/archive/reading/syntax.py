"""What can be wrong with a file before anybody asks what it means, in a workshop's words.

Only the wording and the scan for stray characters; `source` does the reading.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import islice
from typing import Any

import yaml

from specgen.findings import MOST_TOLD, Finding, Place

#: Everything that is not printable; also the line breaks that editors do not count as such, and
#: what turns the direction of a line round.
_STRAY = re.compile(
    "[^\t\n\x20-\x7e\xa0-\u2027\u202f-\u2065\u206a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)
#: More lines than a curve of a long sweep has, and a line longer than any head.
MOST_LINES, LONGEST_LINE = 20_000, 10_000
_INDENT = re.compile(r"^ *(\t|\xa0)", re.MULTILINE)
_NAMES = {"\t": "tab", "\xa0": "non-breaking space"}


def _error(code: str, place: Place, found: str, expected: str, hint: str) -> Finding:
    return Finding(code, "error", place, found, expected, hint)


def place_of(text: str, index: int, file: str) -> Place:
    """Turn an index into a text into its place."""
    line = text.count("\n", 0, index)
    return Place(file, line + 1, index - text.rfind("\n", 0, index))


_TEXT = "a text file in UTF-8"
_SAVE = 'the file again, saved by the editor as "UTF-8"'


def byte_fault(data: bytes, file: str, largest: int) -> Finding | None:
    """Say why bytes are no UTF-8 text of a reasonable size, if they are none."""
    place = Place(file)
    if len(data) > largest:
        found, most = f"a file of {len(data) / 1e6:.1f} MB", f"at most {largest / 1e6:.0f} MB"
        hint = "long tables into CSV files of their own"
        return _error("unreadable-file", place, found, most, hint)
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return _error("unreadable-file", place, "a text in UTF-16", _TEXT, _SAVE)
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        return _encoding_fault(data, error.start, file)
    if b"\0" in data:
        hint = "the table or text itself, exported as plain text"
        return _error("unreadable-file", place, "zero bytes: this is not text", _TEXT, hint)
    return None


def _encoding_fault(data: bytes, index: int, file: str) -> Finding:
    """Point at the first byte that is not UTF-8, and guess which letter it was to be."""
    before = data[:index].decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    byte = data[index : index + 1]
    meant = byte.decode("cp1252", errors="replace")
    guess = f', perhaps "{meant}"' if meant.isprintable() and meant != "\ufffd" else ""
    found = f"the byte 0x{byte.hex()}, which is not UTF-8{guess}"
    place = place_of(before, len(before), file)
    return _error("unreadable-file", place, found, _TEXT, _SAVE)


def size_fault(text: str, file: str) -> Finding | None:
    """Say that a text has more lines, or longer ones, than a file that somebody wrote."""
    lines = text.count("\n") + 1
    if lines > MOST_LINES:
        found, hint = f"a file of {lines} lines", "a curve with fewer points, or several files"
        place = Place(file, MOST_LINES + 1)
        return _error("too-many", place, found, f"at most {MOST_LINES} lines", hint)
    for number, line in enumerate(text.split("\n"), 1):
        if len(line) > LONGEST_LINE:
            found, most = f"a line of {len(line)} letters", f"at most {LONGEST_LINE} letters"
            hint = "several lines, or what was lost between them"
            return _error("too-many", Place(file, number), found, most, hint)
    return None


def character_faults(text: str, file: str) -> Iterator[Finding]:
    """Report characters that nobody sees but that change what a file means."""
    for found in islice(_INDENT.finditer(text), MOST_TOLD):
        name = _NAMES[found.group(1)]
        yield _error(
            "not-yaml",
            place_of(text, found.start(1), file),
            f"a {name} at the start of a line",
            "spaces only",
            f"spaces instead of the {name}, two for each step",
        )
    stray = _STRAY.finditer(text)
    for found in islice(stray, MOST_TOLD):
        yield unprintable(place_of(text, found.start(), file), found.group())
    if following := next(stray, None):
        count = 1 + sum(1 for _ in stray)
        place = place_of(text, following.start(), file)
        words = f"{count} more such character" + "s" * (count > 1)
        yield _error("too-many", place, words, "a text", "the file again from its last good state")


def unprintable(place: Place, letter: str) -> Finding:
    """Report a character that cannot be seen."""
    return _error(
        "not-yaml",
        place,
        f"the unprintable character U+{ord(letter):04X}",
        "characters that can be seen",
        "the line again without it",
    )


def stray_in(value: str) -> str:
    """Give the first character of a value that cannot be seen, "" where all can."""
    found = None if value.isprintable() else _STRAY.search(value)
    return found.group() if found else ""


def too_many_values(place: Place, most: int) -> Finding:
    """Report a file that holds more than any build does."""
    return _error(
        "too-many",
        place,
        f"more than {most} values in one file",
        "what one engine needs",
        "tables into CSV files, and other engines into folders of their own",
    )


def too_many_faults(place: Place) -> Finding:
    """Report that a file is so full of faults that nobody reads on."""
    return _error(
        "too-many",
        place,
        "so many faults that the rest of the file was not read",
        "a file in the form of the others",
        "what stands above first; or the file again from a working example",
    )


def empty(file: str) -> Finding:
    """Report a file in which nothing stands."""
    return _error(
        "not-yaml",
        Place(file),
        "a file in which nothing stands",
        'keys and values, first of all "format"',
        "format: 1",
    )


def second_document(place: Place) -> Finding:
    """Report a line of three dashes that starts another document."""
    return _error(
        "not-yaml",
        place,
        'a second document after "---"',
        "one document in a file",
        'what follows into a file of its own, or nothing instead of "---"',
    )


def too_deep(place: Place, deepest: int) -> Finding:
    """Report nesting that no archive needs."""
    return _error(
        "not-yaml",
        place,
        f"lists or mappings nested more than {deepest} deep",
        "at most six levels, as the format has them",
        "the file again from a working example",
    )


def merge_key(place: Place) -> Finding:
    """Report a merge key."""
    return _error(
        "not-yaml", place, 'a merge key "<<"', "every key written out", "the merged keys themselves"
    )


def key_is_no_text(place: Place, word: str | None) -> Finding:
    """Report a key that is a number, true, nothing, a list or a mapping."""
    found = "a list or mapping used as a key" if word is None else f'the key "{word}"'
    if word == "":
        found = "a colon without a key"
    hint = "the name of a key before the colon"
    if word and word.isdigit():
        hint = "a point where a comma stands inside a number; or a key's name before the colon"
    return _error("not-yaml", place, found, "a key made of words", hint)


def duplicate_key(place: Place, word: str, first: Place | None) -> Finding:
    """Report a key that stands twice."""
    where = f"; it stands in line {first.line} already" if first else ""
    return _error(
        "duplicate-key",
        place,
        f'the key "{word}" again{where}',
        "each key once",
        "only the one that holds",
    )


def alias(place: Place, name: str) -> Finding:
    """Report an alias."""
    return _error(
        "not-yaml",
        place,
        f'"*{name}", which repeats a value from elsewhere',
        "every value written out",
        f'the value itself; a text that begins with "*" goes in quotes: "*{name}"',
    )


def anchor(place: Place, name: str) -> Finding:
    """Report an anchor."""
    return _error(
        "not-yaml",
        place,
        f'"&{name}", which names a value for use elsewhere',
        "values without such names",
        f'the value without "&{name}"; a text that begins with "&" goes in quotes',
    )


def tag(place: Place, name: str) -> Finding:
    """Report a tag."""
    short = name.replace("tag:yaml.org,2002:", "!!")
    return _error(
        "not-yaml",
        place,
        f'"{short}", which changes how a value is read',
        "values without such tags",
        f'the value without "{short}"; a text that begins with "!" goes in quotes',
    )


_QUOTE = 'the text in quotes, such as title: "Trial 2: new inlet"'
#: What the parser complains of, and what that means in practice.
_PROBLEMS: tuple[tuple[str, str, str, str], ...] = (
    (
        "mapping values are not allowed",
        "a colon where no key can stand",
        "one key and one value in a line, below the keys of the same mapping",
        f"the line under the ones it belongs to; or, if it is text, {_QUOTE}",
    ),
    (
        "could not find expected ':'",
        "a line without a colon",
        "a key, a colon and a value",
        "key: value; before an item of a list, a dash and a space",
    ),
    (
        "did not find expected key",
        "a line that is neither a key of the mapping above nor part of its text",
        "keys of one mapping one below the other; texts with quotes closed",
        "the line under the ones it belongs to, with as many spaces as they have",
    ),
    (
        "did not find expected '-' indicator",
        "a line among the items of a list that begins with no dash",
        "items that begin with a dash, one below the other",
        "a dash and a space before the item, or the line indented under its item",
    ),
    (
        "did not find expected ',' or",
        "a bracket that is not closed, or a comma that is missing",
        "items with commas between them and a bracket at the end",
        "[90 mm, 85 mm], or {kind: engine, measured_at: flywheel}",
    ),
    (
        "found unexpected end of stream",
        "a quote or bracket that is not closed",
        "the same mark at the end of the text as at its start",
        '"the text in quotes"',
    ),
    (
        "cannot start any token",
        "a character that no value can begin with",
        "a value that begins with a letter or a digit",
        _QUOTE,
    ),
    (
        "unknown escape character",
        "a backslash in double quotes",
        "a text in single quotes where it has a backslash",
        "'text with \\ in it'",
    ),
    (
        "alphabetic or numeric character",
        'a "*" or "&" at the start of a value',
        "a value that begins with a letter or a digit",
        _QUOTE,
    ),
    (
        "sequence entries are not allowed",
        "a dash where no list can begin",
        "each item of a list in a line of its own",
        "the dash in the next line, two spaces further to the right",
    ),
    (
        "document start",
        "text after the end of the document",
        "keys one below the other, beginning in the first column",
        "the line under the ones it belongs to",
    ),
)


def finding_of(error: yaml.YAMLError, text: str, file: str) -> Finding:
    """Turn the parser's complaint into a finding."""
    problem = str(getattr(error, "problem", None) or error).splitlines()[0]
    mark = _mark_of(error, problem)
    place = Place(file, mark.line + 1, mark.column + 1) if mark else Place(file)
    for needle, found, expected, hint in _PROBLEMS:
        if needle in problem:
            return _error("not-yaml", _inside(place, text), found, expected, hint)
    return _error(
        "not-yaml",
        _inside(place, text),
        f"something that is not YAML ({problem})",
        "keys, colons and values, indented by two spaces",
        f"key: value; where the value has special characters, {_QUOTE}",
    )


def _mark_of(error: yaml.YAMLError, problem: str) -> Any:
    """Point at where an open quote or bracket began, else at where the parser stumbled."""
    opened = "end of stream" in problem or "',' or" in problem
    context = getattr(error, "context_mark", None)
    return context if opened and context else getattr(error, "problem_mark", None) or context


def _inside(place: Place, text: str) -> Place:
    """Keep a place from lying beyond the last line of its file."""
    lines = text.split("\n")
    last = max(len(lines) - (1 if lines[-1] == "" and len(lines) > 1 else 0), 1)
    return place if place.line <= last else Place(place.file, last, len(lines[last - 1]) + 1)
