"""What the house rests on: bounds, the lock, and what is said of each library."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
NEEDED: list[str] = PROJECT["dependencies"]
TESTING: list[str] = PROJECT["optional-dependencies"]["tests"]
LOCK = dict(
    line.split("==")
    for line in (ROOT / ".ci" / "constraints.txt").read_text("utf-8").splitlines()
    if line and not line.startswith("#")
)


def name_of(line: str) -> str:
    """A requirement's name."""
    return re.split(r"[^\w.-]", line)[0]


def version(text: str) -> tuple[int, ...]:
    """A version as numbers, as far as it is made of them."""
    return tuple(int(part) for part in re.findall(r"\d+", text)[:4])


@pytest.mark.parametrize("line", NEEDED)
def test_each_library_has_a_lower_bound_and_its_place_in_the_lock(line: str) -> None:
    """The lock lies within the bounds."""
    bounds = dict(re.findall(r"(>=|<)([\d.]+)", line))
    assert ">=" in bounds, line
    known = {name.lower(): held for name, held in LOCK.items()}
    held = version(known[name_of(line).lower()])
    assert held >= version(bounds[">="])
    assert "<" not in bounds or held < version(bounds["<"])


def test_the_lock_holds_what_tests_need_too() -> None:
    """Whatever CI installs has its version there; stubs of types may float."""
    known = {name.lower().replace("_", "-") for name in LOCK}
    needed = {name_of(line).lower() for line in TESTING}
    assert {name for name in needed - known if not name.startswith("types-")} == set()


def test_each_library_has_its_purpose_and_licence() -> None:
    """One line of the developers' table for each, none for what is not needed."""
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8").partition("## What the house rests on")[2]
    table = re.findall(r"^\| ([\w-]+) \| ([^|]+) \| ([^|]+) \|$", text.partition("\n## ")[0], re.M)
    listed = [name for name, purpose, licence in table if purpose.strip() and licence.strip()]
    assert [name for name in listed if name != "library"] == [name_of(line) for line in NEEDED]
    for line in TESTING:
        named = name_of(line)
        assert named in text or "types" in named or "stubs" in named, named


def test_the_lock_is_for_ci_alone() -> None:
    """CI sets it; the two commands that a reader types say nothing of it."""
    script = (ROOT / ".ci" / "run").read_text("utf-8")
    assert 'export PIP_CONSTRAINT="$PWD/.ci/constraints.txt"' in script
    assert "pip check" in script
    readme = (ROOT / "README.md").read_text("utf-8")
    commands = readme.partition("<!-- the two commands -->")[2].partition("<!-- end -->")[0]
    assert "constraint" not in commands.lower()
