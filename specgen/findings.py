"""Findings: what is wrong or doubtful in the data, with its place, and how it is laid out.

The room knows nothing of how a finding came about. Every code is listed in `CODES`, so that a
reader can look one up and a test can hold that each has been seen.
"""

from __future__ import annotations

import json
import os
import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Literal

Severity = Literal["error", "warning"]

#: Every code there is, with what it means.
CODES: dict[str, str] = {
    "unreadable-file": "The file cannot be read, or is not UTF-8 text.",
    "not-yaml": "The text is not YAML, or uses a part of YAML that an archive does not allow.",
    "duplicate-key": "The same key stands twice in one mapping.",
    "unknown-key": "A key that the format does not have.",
    "missing-key": "A key that the format needs is not there.",
    "wrong-type": "A list, mapping, number or text stands where another is expected.",
    "wrong-value": "A value outside the closed list or the pattern the format allows.",
    "not-a-quantity": "A text that is not a number with its unit.",
    "unknown-unit": "A unit that is not in the table, or is of another kind.",
    "implausible": "A figure outside the range that such a figure has in practice.",
    "not-a-date": "A date that is not in the calendar, or not written year-month-day.",
    "unknown-reference": "A name that points to nothing: a setup or blower that is not there.",
    "missing-file": "A file that is named but is not there.",
    "duplicate-id": "The same id is used twice.",
    "reserved-id": "An id that the site needs for itself, or that is not a plain id.",
    "contradiction": "Two figures that cannot both be true.",
    "not-offered": "A part that the other half does not come with.",
    "does-not-fit": "A blower on an engine that its own file denies.",
    "beyond-limit": "A figure beyond a stated limit.",
    "bad-curve": "A curve file that is not a table of numbers, or runs backwards.",
    "bad-picture": "A picture that is too large, cut short, or not what its name says.",
    "bad-map": "A blower's measured map that is not a table of numbers, or has odd points.",
    "unclear": "Figures whose meaning is left open; the sheet says so too.",
    "not-made": "A build whose sheet could not be made, which is a fault of specgen.",
    "nothing-accepted": "An accepted finding that is not there, or that has to be mended.",
    "too-many": "More of a file than is read, or more findings in it than are told.",
}


#: So many findings of one file are told; who mends them sees the next.
MOST_TOLD = 100
#: So much of a quoted text is shown, and of anything that is found, expected or to be written.
LONGEST_QUOTE, LONGEST_TEXT = 80, 1000

_QUOTED = re.compile(r'"([^"]*)"')
_JOINERS = "\u200c\u200d"


def visible(text: str) -> str:
    """Write characters that nobody sees, or that steer a terminal, by their code."""
    if text.isprintable():
        return text
    return "".join(letter if _is_seen(letter) else _code(letter) for letter in text)


def _is_seen(letter: str) -> bool:
    return letter.isprintable() or letter in _JOINERS or unicodedata.category(letter) == "Zs"


def _code(letter: str) -> str:
    return letter.encode("unicode_escape").decode("ascii")


def told(text: str) -> str:
    """Write a text as a finding tells it: what is quoted is cut, nothing in it is invisible."""
    if len(text) > LONGEST_QUOTE:
        text = _QUOTED.sub(lambda quote: f'"{_cut(quote.group(1), LONGEST_QUOTE)}"', text)
    return visible(_cut(text, LONGEST_TEXT))


def _cut(text: str, longest: int) -> str:
    return text if len(text) <= longest else f"{text[: longest - 3]}..."


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where something stands: file relative to the archive, line and column from 1."""

    file: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        """Print it for a terminal: no name can steer it, or command the forge it is read by."""
        file = visible(self.file)
        named = file if file[:1].isalnum() or file[:1] in "._/" else f"./{file}"
        return f"{inert(named)}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing wrong or doubtful: what was found, what was expected, and what to write.

    `accepted` is the reason why somebody answers for it as it stands; such a finding fails nothing.
    All texts are kept as they can be told: see `told`.
    """

    code: str
    severity: Severity
    place: Place
    found: str
    expected: str
    hint: str
    accepted: str = ""

    def __post_init__(self) -> None:
        if self.code not in CODES:
            raise KeyError(f"finding code {self.code!r} is not listed in CODES")
        for name in ("found", "expected", "hint", "accepted"):
            object.__setattr__(self, name, told(getattr(self, name)))


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Sort findings by place, each only once."""
    return tuple(sorted(dict.fromkeys(findings), key=lambda item: (item.place, item.code)))


def limited(findings: Iterable[Finding], most: int = MOST_TOLD) -> tuple[Finding, ...]:
    """Keep so many findings of each file, in their order, and count the others in a last one."""
    kept: list[Finding] = []
    counts: Counter[str] = Counter()
    beyond: dict[str, list[Finding]] = {}
    for item in findings:
        counts[item.place.file] += 1
        if counts[item.place.file] <= most:
            kept.append(item)
        else:
            beyond.setdefault(item.place.file, []).append(item)
    return in_order([*kept, *(_beyond(items) for items in beyond.values())])


def _beyond(items: Sequence[Finding]) -> Finding:
    """Count what is not told, at the first of it."""
    worst: Severity = "error" if any(it.severity == "error" for it in items) else "warning"
    found = f"{_count(len(items), 'further finding')} from here on"
    hint = "what stands above first; then check again"
    return Finding("too-many", worst, items[0].place, found, "fewer in one file", hint)


def standing(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Leave out what was accepted."""
    return tuple(item for item in findings if not item.accepted)


def from_here(items: Iterable[Finding], folder: Path) -> list[Finding]:
    """Tell places from where the command was run, so that editors and forges find the files."""
    where = Path(os.path.relpath(folder)) if folder.anchor in ("", Path.cwd().anchor) else folder
    return [
        replace(item, place=replace(item.place, file=(where / item.place.file).as_posix()))
        for item in items
    ]


def as_text(findings: Sequence[Finding]) -> str:
    """Lay findings out for a terminal: a headline with the place, then the remedy.

    What was accepted is only counted, here and in annotations; JSON has it with its reason.
    """
    lines: list[str] = []
    for item in standing(findings):
        lines.append(f"{item.place}: {item.severity} [{item.code}] {inert(item.found)}")
        lines.append(f"    expected: {inert(item.expected)}")
        lines.append(f"    write:    {inert(item.hint)}")
    lines.append(summary(findings))
    return "\n".join(lines)


def as_json(findings: Sequence[Finding]) -> str:
    """Lay findings out as JSON: a list of objects, keys as in `Finding`."""
    document = {"format": 1, "findings": [asdict(item) for item in findings]}
    text = json.dumps(document, indent=2, ensure_ascii=False)
    return re.sub(r"[^\x20-\x7e\n]", lambda found: _in_json(found.group()), text)


def _in_json(letter: str) -> str:
    """Write an unseen character as JSON does."""
    return letter if _is_seen(letter) else json.dumps(letter)[1:-1]


def as_annotations(findings: Sequence[Finding]) -> str:
    """Lay findings out as the workflow commands by which a forge marks lines of a change."""
    lines = [
        f"::{item.severity} file={_escaped(visible(item.place.file), ':,')},"
        f"line={item.place.line},col={item.place.column},title={item.code}::"
        + _escaped(f"{item.found}; expected {item.expected}; write {item.hint}")
        for item in standing(findings)
    ]
    return "\n".join([*lines, summary(findings)])


def summary(findings: Sequence[Finding]) -> str:
    """Count findings in words."""
    left = standing(findings)
    errors = sum(item.severity == "error" for item in left)
    counts = f"{_count(errors, 'error')}, {_count(len(left) - errors, 'warning')}"
    words = counts if left else "Nothing wrong was found"
    accepted = len(findings) - len(left)
    return f"{words}{f'; {accepted} accepted' if accepted else ''}."


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" + ("" if number == 1 else "s")


def _escaped(text: str, more: str = "") -> str:
    """Escape what would end a workflow command, or one of its properties."""
    for mark in f"%\r\n{more}":
        text = text.replace(mark, f"%{ord(mark):02X}")
    return inert(text)


def inert(text: str) -> str:
    """Part the signs that some forges take for a command: "##[" anywhere, "::" before a line."""
    return re.sub(r"(?m)^(\s*):(?=:)", r"\1: ", text.replace("##[", "## ["))
