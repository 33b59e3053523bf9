"""Where each mapping, list and value of a YAML text begins and ends, as offsets of characters.

The reader keeps where a value begins, which is all that a finding needs; an edit needs its end too.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

import yaml

from specgen.archive.reading.source import PARSER, TreePath

Kind = Literal["mapping", "list", "scalar"]


@dataclass(slots=True)
class Span:
    """One value: offsets of its first character and behind its last, and how it is written.

    `column` is where a block's keys or dashes stand. `style` is a scalar's quote or block sign, or
    "" for a plain one. `children` follow the file's order; a mapping's are kept by key.
    """

    kind: Kind
    start: int
    end: int
    column: int
    flow: bool = False
    style: str = ""
    children: dict[str | int, Span] = field(default_factory=dict)

    def at(self, path: TreePath) -> Span:
        """Give the span of a path beneath; KeyError where there is none."""
        span = self
        for step in path:
            span = span.children[step]
        return span


def spans(text: str) -> Span:
    """Give the span of the one document in a text that the reader takes without a finding."""
    loader: Any = PARSER(text)
    try:
        loader.get_event()
        loader.get_event()
        return _node(loader, loader.get_event(), text)
    finally:
        loader.dispose()


def _node(loader: Any, event: Any, text: str) -> Span:
    """Read one value whose first event was taken; the reader has limited how deep it can be."""
    start: Any = event.start_mark
    if isinstance(event, yaml.ScalarEvent):
        style = event.style if event.style in ("'", '"', "|", ">") else ""
        return Span("scalar", start.index, _end_of(event, style, text), start.column, style=style)
    mapping = isinstance(event, yaml.MappingStartEvent)
    kind: Kind = "mapping" if mapping else "list"
    span = Span(kind, start.index, start.index, start.column, bool(event.flow_style))
    while not isinstance(event := loader.get_event(), yaml.MappingEndEvent | yaml.SequenceEndEvent):
        key = event.value if mapping else len(span.children)
        child = _node(loader, loader.get_event() if mapping else event, text)
        span.children[key] = child
        # a block's own end is told behind the comments that follow it
        span.end = child.end
    if span.flow:
        closing: Any = event.end_mark
        span.end = closing.index
    return span


def _end_of(event: Any, style: str, text: str) -> int:
    """Give the offset behind a scalar; a block text ends before the blank lines that follow it."""
    end: int = event.end_mark.index
    if style not in ("|", ">"):
        return end
    start: int = event.start_mark.index
    written = text[start:end]
    head = written.splitlines()[0].split("#")[0]
    # blank lines are part of a text that is marked to keep them
    kept = written.removesuffix("\n").removesuffix("\r") if "+" in head else written.rstrip()
    return start + len(kept)
