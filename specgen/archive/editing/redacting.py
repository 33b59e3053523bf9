"""Taking what is private out of a YAML text, with every line in its place.

Comments go too: in a file that keeps something private they may well speak of it. As many lines
stay as there were, so that a figure's line is that of the file.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterable, Iterator
from typing import Any

from specgen.archive.editing.spans import Span, spans
from specgen.archive.reading.source import TreePath, load

#: What stands where something private stood.
INSTEAD = "not published"

_COMMENT = re.compile(r"(?:^|(?<=\s))#[^\n]*", re.MULTILINE)


def redacted(text: str, paths: Iterable[TreePath]) -> str | None:
    """Give a text without the values at some paths; None where that cannot be done safely.

    The text has plain line ends and reads without a finding.
    """
    known = set(paths)
    wanted = [it for it in known if not any(it[:size] in known for size in range(len(it)))]
    root = spans(text)
    cuts = [(root.at(path).start, root.at(path).end, INSTEAD) for path in wanted]
    kept = [*cuts, *((span.start, span.end, "") for span in _scalars(root))]
    cuts += [
        (found.start(), found.end(), "")
        for found in _COMMENT.finditer(text)
        if not any(start <= found.start() < end for start, end, _ in kept)
    ]
    new = text
    for start, end, words in sorted(cuts, reverse=True):
        new = new[:start] + words + "\n" * text[start:end].count("\n") + new[end:]
    return new if _says(new, text, wanted) else None


def _scalars(span: Span) -> Iterator[Span]:
    if span.kind == "scalar":
        yield span
    for child in span.children.values():
        yield from _scalars(child)


def _says(new: str, old: str, paths: Iterable[TreePath]) -> bool:
    """Whether a text says what another says but for some values."""
    wanted = copy.deepcopy(load(old.encode(), "").tree)
    for path in paths:
        above: Any = wanted
        for step in path[:-1]:
            above = above[step]
        above[path[-1]] = INSTEAD
    read = load(new.encode(), "")
    return not read.findings and read.tree == wanted and new.count("\n") == old.count("\n")
