"""Findings: their order, their three layouts, and codes that are all listed."""

from __future__ import annotations

import ast
import json
from dataclasses import replace
from pathlib import Path

import pytest

import specgen
from specgen.findings import (
    CODES,
    Finding,
    Place,
    as_annotations,
    as_json,
    as_text,
    in_order,
    limited,
    summary,
)

LATER = Finding("implausible", "warning", Place("b.yaml", 2, 3), "80 %\nof", "less", "a, b")
FIRST = Finding("unknown-key", "error", Place("a.yaml", 12, 1), 'the key "x"', "a key", "bore:")


def test_order_is_by_place_and_each_stands_once() -> None:
    """Files by name, lines by number and not by text, doubles once."""
    nearer = Finding("unknown-key", "error", Place("a.yaml", 2, 1), "x", "y", "z")
    assert in_order([LATER, FIRST, nearer, FIRST]) == (nearer, FIRST, LATER)


def test_text() -> None:
    """The terminal's layout: place, severity, code, and what to write; a count at the end."""
    assert as_text([FIRST]) == (
        'a.yaml:12:1: error [unknown-key] the key "x"\n'
        "    expected: a key\n"
        "    write:    bore:\n"
        "1 error, 0 warnings."
    )
    assert as_text([]) == "Nothing wrong was found."


def test_json() -> None:
    """The JSON layout has a format number and every field."""
    document = json.loads(as_json([LATER]))
    assert document == {
        "format": 1,
        "findings": [
            {
                "code": "implausible",
                "severity": "warning",
                "place": {"file": "b.yaml", "line": 2, "column": 3},
                "found": "80 %\\nof",
                "expected": "less",
                "hint": "a, b",
                "accepted": "",
            }
        ],
    }


def test_annotations_escape_what_would_end_them() -> None:
    """Percent signs and line ends do not break a workflow command."""
    line = as_annotations([LATER]).splitlines()[0]
    assert line == (
        "::warning file=b.yaml,line=2,col=3,title=implausible::"
        "80 %25\\nof; expected less; write a, b"
    )


def test_summary_counts() -> None:
    """Errors and warnings are counted apart."""
    assert summary([FIRST, LATER, LATER]) == "1 error, 2 warnings."


def test_what_is_accepted_is_only_counted() -> None:
    """An accepted finding stands in no layout for people, but in the count, and in JSON."""
    accepted = replace(LATER, accepted="the maker allows it")
    assert as_text([FIRST, accepted]).endswith("1 error, 0 warnings; 1 accepted.")
    assert as_text([accepted]) == "Nothing wrong was found; 1 accepted."
    assert as_annotations([accepted]) == "Nothing wrong was found; 1 accepted."
    assert json.loads(as_json([accepted]))["findings"][0]["accepted"] == "the maker allows it"


def test_unlisted_code_is_refused() -> None:
    """A finding cannot have a code that nobody can look up."""
    with pytest.raises(KeyError, match="no-such-code"):
        Finding("no-such-code", "error", Place("a"), "", "", "")


def test_every_code_is_used() -> None:
    """Each listed code stands in the source, so that the list has no dead entries."""
    package = Path(specgen.__file__).parent
    texts = {
        node.value
        for path in package.rglob("*.py")
        if path.name != "findings.py"
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    assert set(CODES) <= texts


def test_nothing_unseen_reaches_a_terminal_or_a_forge() -> None:
    """Names and texts that would steer a terminal, turn the line round or command a forge."""
    steering = "a\x1b[2J\x07\x9b\r\n::error::b\u202ec\ud800##[add-mask]d"
    item = Finding("unknown-key", "error", Place(f"::set-env name=x::{steering}"), *[steering] * 3)
    for layout in (as_text, as_annotations, as_json):
        text = layout([item])
        assert all(letter.isprintable() or letter == "\n" for letter in text), layout
        starts = [line.lstrip()[:2] for line in text.splitlines()]
        assert starts.count("::") == (layout is as_annotations), text
    for layout in (as_text, as_annotations):
        assert "##[" not in layout([item])
    command, _, message = as_annotations([item]).splitlines()[0][2:].partition("::")
    assert command.count(",") == 3
    assert "b\\u202ec" in message
    assert json.loads(as_json([item]))["findings"][0]["place"]["file"] == item.place.file


def test_quoted_texts_are_cut() -> None:
    """At 80 characters, and anything at a thousand; what stands between two quotes is not."""
    between = "which is no text that can stand in this place, since it is far too long: write only"
    item = Finding(
        "wrong-value", "error", Place("a"), f'"{"x" * 500}", {between} "y"', "a " * 999, ""
    )
    assert item.found == f'"{"x" * 77}...", {between} "y"'
    assert len(item.expected) == 1000


def test_findings_of_a_file_are_limited() -> None:
    """A hundred of each file, then how many there are beyond; the gravest of them counts."""
    many = [replace(LATER, place=Place("b.yaml", line)) for line in range(1, 1001)]
    worse = replace(FIRST, place=Place("b.yaml", 999, 5))
    kept = limited(in_order([FIRST, *many, worse]))
    assert len(kept) == 1 + 100 + 1
    assert kept[-1].found == "901 further findings from here on"
    assert (kept[-1].severity, kept[-1].place.line) == ("error", 101)
    assert limited([FIRST, LATER]) == (FIRST, LATER)
