"""A physics function as a reader sees it: title, equation, parameters and source.

Read from the function's own docstring, so that the method page and a sheet's "how it was got"
can never differ from the code.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

_SECTIONS = ("Equation", "Parameters", "Returns", "Raises", "Example", "Source")


@dataclass(frozen=True, slots=True)
class Formula:
    """One formula: `name` is module.function, `parameters` pairs of name and meaning."""

    name: str
    title: str
    equation: str
    parameters: tuple[tuple[str, str], ...]
    returns: str
    source: str
    note: str = ""

    @property
    def anchor(self) -> str:
        """The formula's address on the method page."""
        return self.name.replace(".", "-").replace("_", "-")


@cache
def formula_of(function: Callable[..., Any]) -> Formula:
    """Read a function's docstring; ValueError if a section that a reader needs is missing."""
    text = inspect.getdoc(function) or ""
    head, sections = _parted(text)
    for wanted in ("Equation", "Source"):
        if not sections.get(wanted):
            raise ValueError(f"{function.__qualname__}: its docstring lacks the section {wanted}")
    title, _, note = head.partition("\n\n")
    return Formula(
        name=f"{function.__module__.rpartition('.')[2]}.{function.__name__}",
        title=" ".join(title.split()),
        equation="\n".join(sections["Equation"]),
        parameters=tuple(_parameters(sections.get("Parameters", []))),
        returns=" ".join(sections.get("Returns", [])),
        source=" ".join(sections["Source"]),
        note=" ".join(note.split()),
    )


def _parted(text: str) -> tuple[str, dict[str, list[str]]]:
    """Part a docstring into its head and the lines of each section, indent taken off."""
    head: list[str] = []
    sections: dict[str, list[str]] = {}
    current: list[str] = head
    for line in text.splitlines():
        name = line.rstrip().removesuffix(":")
        if name in _SECTIONS and line.rstrip().endswith(":"):
            current = sections.setdefault(name, [])
        else:
            current.append(line if current is head else line.removeprefix("    "))
    return "\n".join(head).strip(), {name: _trimmed(lines) for name, lines in sections.items()}


def _trimmed(lines: list[str]) -> list[str]:
    while lines and not lines[-1].strip():
        lines = lines[:-1]
    while lines and not lines[0].strip():
        lines = lines[1:]
    return lines


def _parameters(lines: list[str]) -> list[tuple[str, str]]:
    """Pair each parameter's name with its meaning; a deeper indent goes on with the last."""
    pairs: list[tuple[str, str]] = []
    for line in lines:
        if line.startswith(" ") and pairs:
            name, meaning = pairs[-1]
            pairs[-1] = (name, f"{meaning} {line.strip()}")
        elif line.strip():
            name, _, meaning = line.partition(":")
            pairs.append((name.strip(), meaning.strip()))
    return pairs
