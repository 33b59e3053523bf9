"""Reading one YAML text strictly, keeping where each key and value stands.

An archive uses a small part of YAML, so that a file means what a person reads in it: mappings,
lists, texts, decimal numbers, true, false and nothing. A date, "no" and 0123 stay texts. What
YAML could do beyond that (anchors, tags, merge keys, several documents) is refused with a
finding. What the keys mean is not known here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import yaml

from specgen.archive.reading import syntax
from specgen.findings import MOST_TOLD, Finding, Place

Tree: TypeAlias = "bool | int | float | str | list[Tree] | dict[str, Tree] | None"
TreePath: TypeAlias = tuple[str | int, ...]

#: The C parser where PyYAML was built with it, ten times as fast as the one in Python.
PARSER: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)

#: A build file is 6 mappings deep; the limit keeps nonsense from filling the stack.
DEEPEST = 32
#: The largest build file of a long-lived archive has some 40 kB.
LARGEST = 2_000_000
#: A large build file has some thousand values.
MOST_VALUES = 20_000

_NUMBER = re.compile(r"-?(0|[1-9][0-9]{0,14})(\.[0-9]{1,15})?")
_WORDS: dict[str, bool | None] = {"true": True, "false": False, "null": None, "~": None, "": None}


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a value stands, where its key stands, and how it is written."""

    place: Place
    key: Place
    text: str


@dataclass(frozen=True, slots=True)
class Document:
    """One file as read: its tree with a spot for each path, and what was wrong with it.

    `readable` is False where no tree could be made at all. Paths in `refused` carry a finding
    already, so nobody needs to complain about their values again.
    """

    file: str
    text: str = ""
    tree: Tree = None
    spots: Mapping[TreePath, Spot] = field(default_factory=dict)
    refused: frozenset[TreePath] = frozenset()
    findings: tuple[Finding, ...] = ()
    readable: bool = True

    def spot(self, path: TreePath) -> Spot:
        """Give the spot of a path, or of the nearest one above that is known."""
        while path and path not in self.spots:
            path = path[:-1]
        return self.spots.get(path) or Spot(Place(self.file), Place(self.file), "")


def load(data: bytes, file: str) -> Document:
    """Read the bytes of a file; whatever is wrong with them becomes a finding."""
    text, findings = decode(data, file)
    if findings:
        return Document(file, text, findings=findings, readable=False)
    findings = tuple(syntax.character_faults(text, file))
    if findings:
        return Document(file, text, findings=findings, readable=False)
    return _compose(text, file, PARSER)


def decode(data: bytes, file: str) -> tuple[str, tuple[Finding, ...]]:
    """Turn bytes into text with plain line ends, or say why that cannot be done."""
    fault = syntax.byte_fault(data, file, LARGEST)
    # a text that is no UTF-8 is shown as far as it can be
    text = data[:LARGEST].decode("utf-8-sig", errors="replace")
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    fault = fault or syntax.size_fault(text, file)
    return text, (fault,) if fault else ()


def _compose(text: str, file: str, parser: Any) -> Document:
    """Turn the parser's events into a tree."""
    composer = _Composer(file)
    readable = True
    try:
        for event in _events(text, parser):
            if not composer.take(event):
                readable = composer.documents > 1
                break
    except yaml.YAMLError as error:
        composer.findings.append(syntax.finding_of(error, text, file))
        readable = False
    if readable and composer.documents == 0:
        composer.findings.append(syntax.empty(file))
        readable = False
    return Document(
        file,
        text,
        composer.root if readable else None,
        composer.spots,
        frozenset(composer.refused),
        tuple(composer.findings),
        readable,
    )


def _events(text: str, parser: Any) -> Iterator[Any]:
    """Give the parser's events one by one."""
    loader = parser(text)
    try:
        while not isinstance(event := loader.get_event(), yaml.StreamEndEvent):
            yield event
    finally:
        loader.dispose()


class _Refused:
    """Stands for a key that was refused: its value is read but kept nowhere."""


_REFUSED = _Refused()


@dataclass(slots=True)
class _Frame:
    """An open mapping or list; without a path, what it holds is kept nowhere."""

    container: dict[str, Tree] | list[Tree]
    path: TreePath | None
    key: str | _Refused | None = None
    key_place: Place | None = None


class _Composer:
    """Builds the tree from events without recursion, going on after what it refuses."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.root: Tree = None
        self.spots: dict[TreePath, Spot] = {}
        self.refused: set[TreePath] = set()
        self.findings: list[Finding] = []
        self.documents = 0
        self._frames: list[_Frame] = []

    def take(self, event: Any) -> bool:
        """Take one event; False where reading cannot or need not go on."""
        if len(self.findings) >= 10 * MOST_TOLD:
            return self._stop(syntax.too_many_faults(self._place(event)))
        if len(self.spots) > MOST_VALUES:
            return self._stop(syntax.too_many_values(self._place(event), MOST_VALUES))
        match event:
            case yaml.ScalarEvent():
                self._scalar(event)
            case yaml.MappingStartEvent() | yaml.SequenceStartEvent():
                return self._open(event)
            case yaml.MappingEndEvent() | yaml.SequenceEndEvent():
                self._frames.pop()
            case yaml.AliasEvent():
                self._alias(event)
            case yaml.DocumentStartEvent():
                return self._document(event)
        return True

    def _stop(self, fault: Finding) -> bool:
        """Read no further: half a tree would be told of as if it were all."""
        self.findings.append(fault)
        return False

    def _document(self, event: Any) -> bool:
        self.documents += 1
        if self.documents > 1:
            self.findings.append(syntax.second_document(self._place(event)))
        return self.documents == 1

    def _place(self, event: Any) -> Place:
        mark = event.start_mark
        return Place(self.file, mark.line + 1, mark.column + 1)

    def _awaits_key(self) -> _Frame | None:
        """Give the open mapping whose next event is a key, if that is where we are."""
        frame = self._frames[-1] if self._frames else None
        return frame if frame and isinstance(frame.container, dict) and frame.key is None else None

    def _scalar(self, event: Any) -> None:
        frame = self._awaits_key()
        refused = self._decorated(event)
        plain = event.implicit[0]
        if frame is not None:
            self._key(frame, event, plain)
            return
        if not plain and (letter := syntax.stray_in(event.value)):
            self.findings.append(syntax.unprintable(self._place(event), letter))
            refused = True
        value = scalar(event.value) if plain else event.value
        path = self._attach(value, event, event.value)
        if refused and path is not None:
            self.refused.add(path)

    def _key(self, frame: _Frame, event: Any, plain: bool) -> None:
        place = self._place(event)
        word = event.value
        frame.key_place = place
        frame.key = _REFUSED
        if letter := syntax.stray_in(word):
            self.findings.append(syntax.unprintable(place, letter))
        elif plain and word == "<<":
            self.findings.append(syntax.merge_key(place))
        elif plain and not isinstance(scalar(word), str):
            self.findings.append(syntax.key_is_no_text(place, word))
        elif word in frame.container:
            first = self.spots.get((*frame.path, word)) if frame.path is not None else None
            self.findings.append(syntax.duplicate_key(place, word, first.key if first else None))
        else:
            frame.key = word

    def _open(self, event: Any) -> bool:
        if len(self._frames) >= DEEPEST:
            self.findings.append(syntax.too_deep(self._place(event), DEEPEST))
            return False
        container: dict[str, Tree] | list[Tree] = (
            {} if isinstance(event, yaml.MappingStartEvent) else []
        )
        refused = self._decorated(event)
        frame = self._awaits_key()
        if frame is not None:
            self.findings.append(syntax.key_is_no_text(self._place(event), None))
            frame.key, frame.key_place = _REFUSED, self._place(event)
            path = None
            self._frames.append(_Frame(container, path))
            return True
        path = self._attach(container, event, "")
        if refused and path is not None:
            self.refused.add(path)
        self._frames.append(_Frame(container, path))
        return True

    def _alias(self, event: Any) -> None:
        self.findings.append(syntax.alias(self._place(event), event.anchor))
        frame = self._awaits_key()
        if frame is not None:
            frame.key, frame.key_place = _REFUSED, self._place(event)
            return
        path = self._attach(None, event, "*" + event.anchor)
        if path is not None:
            self.refused.add(path)

    def _decorated(self, event: Any) -> bool:
        """Report an anchor or a tag; a tag makes the value itself unusable."""
        if event.anchor is not None:
            self.findings.append(syntax.anchor(self._place(event), event.anchor))
        if event.tag is not None:
            self.findings.append(syntax.tag(self._place(event), event.tag))
        return event.tag is not None

    def _attach(self, value: Tree, event: Any, text: str) -> TreePath | None:
        """Put a value where it belongs and note its spot; None where it is kept nowhere."""
        place = self._place(event)
        if not self._frames:
            self.root = value
            self.spots[()] = Spot(place, place, text)
            return ()
        frame = self._frames[-1]
        container, key, key_place = frame.container, frame.key, frame.key_place or place
        step: str | int
        if isinstance(container, list):
            step = len(container)
            container.append(value)
            key_place = place
        else:
            frame.key = frame.key_place = None
            if not isinstance(key, str):
                return None
            step = key
            container[key] = value
        if frame.path is None:
            return None
        path = (*frame.path, step)
        # behind "bore:" stands nothing to point at, so the key serves
        self.spots[path] = Spot(key_place if value is None and not text else place, key_place, text)
        return path


def scalar(text: str) -> Tree:
    """Read an unquoted text: true, false, nothing and decimal numbers; all else stays text."""
    if text in _WORDS:
        return _WORDS[text]
    if not _NUMBER.fullmatch(text):
        return text
    return float(text) if "." in text else int(text)
