"""The strict YAML reader: what stays text, what is refused, and where everything stands."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from specgen.archive.reading import source
from specgen.archive.reading.source import DEEPEST, LARGEST, Document, load, scalar
from tests.archive.cases import BAD, BASE, GOOD

YAML_FILES = sorted(
    path for folder in (BASE, *GOOD, *BAD) for path in folder.rglob("*.yaml") if path.is_file()
)


def read(text: str) -> Document:
    """Read a text as a file."""
    return load(text.encode(), "f.yaml")


@pytest.mark.parametrize(
    "text",
    ["no", "yes", "on", "Off", "True", "NULL", "2025-05-14", "12:30", "0123456", "0x1f", "1_000",
     "1e3", ".5", "5.", "+5", ".inf", ".nan", "-", "=", "1,5", "9.0:1", "84 mm", "9" * 16],
)  # fmt: skip
def test_stays_text(text: str) -> None:
    """What only some readers take for a number, truth or date stays the text it is."""
    assert scalar(text) == text


@pytest.mark.parametrize(
    ("text", "value"),
    [("6", 6), ("-6", -6), ("0", 0), ("9.0", 9.0), ("-0.5", -0.5), ("1.023", 1.023), ("true", True),
     ("false", False), ("null", None), ("~", None), ("", None)],
)  # fmt: skip
def test_is_read(text: str, value: object) -> None:
    """Decimal numbers, true, false and nothing are read, each with its type."""
    assert scalar(text) == value
    assert type(scalar(text)) is type(value)


def test_keeps_places_and_texts() -> None:
    """Keys and values keep line, column and the text as written."""
    document = read("a: 1.50\nb:\n  - {c: 'x y'}\n  -\nd:\n")
    assert document.tree == {"a": 1.5, "b": [{"c": "x y"}, None], "d": None}
    places = {
        path: (str(spot.key)[7:], str(spot.place)[7:], spot.text)
        for path, spot in document.spots.items()
    }
    assert places == {
        (): ("1:1", "1:1", ""),
        ("a",): ("1:1", "1:4", "1.50"),
        ("b",): ("2:1", "3:3", ""),
        ("b", 0): ("3:5", "3:5", ""),
        ("b", 0, "c"): ("3:6", "3:9", "x y"),
        ("b", 1): ("4:4", "4:4", ""),
        ("d",): ("5:1", "5:1", ""),
    }


def test_places_count_characters_not_bytes() -> None:
    """A letter of two bytes is one column, and a byte order mark is none."""
    document = load("\ufefftitle: {é: ü, b: 2}\n".encode(), "f.yaml")
    assert str(document.spots["title", "b"].place) == "f.yaml:1:18"


def test_unknown_path_gives_the_nearest_spot() -> None:
    """A path that is not there is placed where its mapping stands."""
    assert str(read("a: {b: 1}\n").spot(("a", "c", "d")).place) == "f.yaml:1:4"
    assert str(Document("f.yaml").spot(("a",)).place) == "f.yaml:1:1"


def test_goes_on_after_a_refusal() -> None:
    """What is refused is left out, and the rest of the file is read."""
    document = read("a: &x 1\nb: *x\n? [c]\n: {d: 1, d: 2}\na: {deep: 3}\ne: !t 5\nf: 6\n")
    assert document.readable
    assert document.tree == {"a": 1, "b": None, "e": "5", "f": 6}
    assert document.refused == {("b",), ("e",)}
    codes = [(item.code, item.place.line) for item in document.findings]
    assert codes == [
        ("not-yaml", 1), ("not-yaml", 2), ("not-yaml", 3), ("duplicate-key", 4),
        ("duplicate-key", 5), ("not-yaml", 6),
    ]  # fmt: skip


def test_alias_bomb_is_refused_unexpanded() -> None:
    """Nested aliases, which would grow without bound, cost nothing."""
    lines = ["a0: &a0 [x, x]"]
    lines += [f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]" for n in range(1, 60)]
    document = read("\n".join(lines))
    assert isinstance(document.tree, dict)
    assert document.tree["a59"] == [None, None]


def test_depth_and_size_are_limited() -> None:
    """Nesting stops at its limit, and a file beyond all reason is not parsed at all."""
    assert read("[" * DEEPEST + "]" * DEEPEST).readable
    assert not read("[" * 100_000).readable
    assert not read("a: " + "x" * LARGEST).readable


@pytest.mark.parametrize("path", YAML_FILES, ids=lambda path: "-".join(path.parts[-3:]))
def test_parser_in_python_agrees(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """PyYAML's slow parser, for places without the fast one, reads and refuses the same."""
    fast = load(path.read_bytes(), "f.yaml")
    monkeypatch.setattr(source, "PARSER", yaml.BaseLoader)
    slow = load(path.read_bytes(), "f.yaml")
    assert (fast.tree, fast.readable, fast.refused) == (slow.tree, slow.readable, slow.refused)
    assert [item.code for item in fast.findings] == [item.code for item in slow.findings]
    assert [item.place.line for item in fast.findings] == [
        item.place.line for item in slow.findings
    ]


def test_fast_parser_is_there() -> None:
    """PyYAML has its C parser here, so both have been tested."""
    assert source.PARSER is yaml.CBaseLoader
