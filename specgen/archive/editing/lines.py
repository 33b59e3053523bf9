"""Writing a value as lines of YAML in the style of an archive's files.

What fits on one line stands on one; lists of mappings that are longer get a line for each item.
"""

from __future__ import annotations

from collections.abc import Mapping

from specgen.archive.format.examples import written
from specgen.archive.reading.source import Tree

#: What fits on one line, indentation included.
WIDTH = 100


def item_lines(value: Tree, column: int) -> list[str]:
    """Write an item of a block list whose dash stands at a column (from 0)."""
    pad = " " * column
    if not isinstance(value, Mapping) or _fits(value, column + 2):
        return [f"{pad}- {written(value)}"]
    lines = [line for key in value for line in key_lines(key, value[key], column + 2)]
    return [f"{pad}- {lines[0].lstrip()}", *lines[1:]]


def key_lines(key: str, value: Tree, column: int) -> list[str]:
    """Write a key of a block mapping that stands at a column (from 0)."""
    pad, name = " " * column, written(key)
    if not isinstance(value, Mapping | list) or _fits(value, column + len(name) + 2):
        return [f"{pad}{name}: {written(value)}"]
    return [f"{pad}{name}:", *value_lines(value, column + 2)]


def value_lines(value: Mapping[str, Tree] | list[Tree], column: int) -> list[str]:
    """Write a mapping or list as a block at a column (from 0)."""
    if isinstance(value, Mapping):
        return [line for key in value for line in key_lines(key, value[key], column)]
    return [line for item in value for line in item_lines(item, column)]


def _fits(value: Mapping[str, Tree] | list[Tree], column: int) -> bool:
    """Whether a value reads well on one line: short, and without a list of mappings inside."""
    return not value or (not _listed(value) and column + len(written(value)) <= WIDTH)


def _listed(value: object) -> bool:
    """Whether a list of mappings or lists, or one still to be filled, stands in a value."""
    if isinstance(value, Mapping):
        return any(_listed(item) for item in value.values())
    if not isinstance(value, list):
        return False
    return not value or any(isinstance(item, Mapping | list) for item in value)
