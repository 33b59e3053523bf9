"""The layout of every public docstring, which the method page is made from."""

from __future__ import annotations

import doctest
import importlib
import inspect
import re
from collections.abc import Callable
from typing import Any

import pytest

from tests.physics.public_functions import module_names, public_functions

SECTIONS = ["Equation", "Parameters", "Returns", "Raises", "Example", "Source"]
PARAMETER = re.compile(r"^(\w+): (\S.*) \[([^\]]+)\](, \S.*)?$")
FUNCTIONS = public_functions()


def sections_of(function: Callable[..., Any]) -> dict[str, list[str]]:
    """Part a docstring into its sections, by the headings at the left edge."""
    sections: dict[str, list[str]] = {"": []}
    heading = ""
    for line in (inspect.getdoc(function) or "").splitlines():
        found = re.fullmatch(r"(\w+):", line)
        if found:
            heading = found.group(1)
            sections[heading] = []
        elif line.strip():
            sections[heading].append(line)
    return sections


@pytest.mark.parametrize("name", FUNCTIONS)
def test_sections(name: str) -> None:
    """Summary and all six sections stand in order, none of them empty."""
    sections = sections_of(FUNCTIONS[name])
    assert list(sections) == ["", *SECTIONS]
    assert all(sections.values())
    assert sections[""][0].endswith(".")


@pytest.mark.parametrize("name", FUNCTIONS)
def test_parameters(name: str) -> None:
    """Parameters are those of the signature, in order, each with its unit on one line."""
    lines = sections_of(FUNCTIONS[name])["Parameters"]
    signature = list(inspect.signature(FUNCTIONS[name]).parameters)
    if signature:
        matches = [PARAMETER.match(line.strip()) for line in lines]
        assert all(matches), lines
        assert [match.group(1) for match in matches if match] == signature


@pytest.mark.parametrize("name", FUNCTIONS)
def test_returns_a_unit(name: str) -> None:
    """What is returned has its unit or its class in brackets."""
    assert re.search(r"\[[^\]]+\]", " ".join(sections_of(FUNCTIONS[name])["Returns"]))


@pytest.mark.parametrize("name", FUNCTIONS)
def test_says_how_well_the_source_is_known(name: str) -> None:
    """A source carries its status, or is a definition that needs none."""
    source = " ".join(sections_of(FUNCTIONS[name])["Source"])
    known = r"READ|RESTATED|RUN|computed|from memory|no source"
    plain = (
        r"definition|geometry|kinematics|balance|derivative|that of the standard|Bernoulli|as for"
    )
    assert re.search(f"{known}|{plain}", source)


@pytest.mark.parametrize("room", module_names())
def test_examples_run(room: str) -> None:
    """The examples print what they say, and every function has one."""
    result = doctest.testmod(importlib.import_module(f"specgen.physics.{room}"))
    assert result.failed == 0
    held = [name for name in FUNCTIONS if name.startswith(f"{room}.")]
    assert result.attempted >= len(held)


def test_no_file_outgrows_its_room() -> None:
    """No file of the physics is longer than 400 lines."""
    for room in module_names():
        source = inspect.getsource(importlib.import_module(f"specgen.physics.{room}"))
        assert source.count("\n") <= 400, room


def test_physics_stands_on_the_ground() -> None:
    """The physics imports nothing from the rest of specgen and no file, text or network door."""
    allowed = re.compile(
        r"(?:specgen\.physics|numpy|math|typing|dataclasses|collections|itertools|__future__)\b"
    )
    for room in [*module_names(), "_domain", "_balance", "_sides", "_speed_lines"]:
        source = inspect.getsource(importlib.import_module(f"specgen.physics.{room}"))
        imported = re.findall(r"^(?:from|import) (\S+)", source, flags=re.MULTILINE)
        assert [name for name in imported if not allowed.match(name)] == [], room
