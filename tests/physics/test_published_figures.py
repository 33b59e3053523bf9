"""Every published figure, computed by the function it belongs to."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

import specgen.physics
from specgen.analysis.validation import STATUSES, Check, published
from tests.physics.public_functions import find, public_functions

FOLDER = Path(specgen.physics.__file__).parent / "published"
FIGURES: list[tuple[str, dict[str, Any]]] = [
    (f"{path.stem}-{figure['id']}", figure)
    for path in sorted(FOLDER.glob("*.json"))
    for figure in json.loads(path.read_text(encoding="utf-8"))
]
KEYS = {
    "id",
    "function",
    "arguments",
    "field",
    "expected",
    "tolerance",
    "absolute",
    "source",
    "status",
    "note",
}


@pytest.mark.parametrize("check", [pytest.param(each, id=each.name) for each in published()])
def test_figure(check: Check) -> None:
    """The function gives the published figure within the tolerance beside it."""
    assert check.passes, f"{check.found} for {check.expected_text}"


def test_the_page_shows_every_figure_that_is_tested() -> None:
    """The validation page and this test read the same files, none left out."""
    assert [check.name for check in published()] == [name for name, _ in FIGURES]


def test_there_are_many_figures() -> None:
    """The data files are found: at least ninety figures, each with an id of its own."""
    names = [name for name, _ in FIGURES]
    assert len(names) >= 90
    assert len(set(names)) == len(names)


def test_every_figure_names_its_source() -> None:
    """Each figure has a source, a known status, one tolerance and no unknown key."""
    for name, figure in FIGURES:
        assert figure["source"].strip(), name
        assert figure["status"] in STATUSES, name
        assert set(figure) <= KEYS, name
        assert ("tolerance" in figure) != ("absolute" in figure), name


def test_a_wide_tolerance_says_why() -> None:
    """A relative tolerance above 2e-4 stands beside a note with the reason."""
    for name, figure in FIGURES:
        if figure.get("tolerance", 0.0) > 2e-4:
            assert figure.get("note") or "about" in figure["source"], name


def test_every_function_has_a_figure_from_outside() -> None:
    """No public function goes without a published figure."""
    by_home = {function: name for name, function in public_functions().items()}
    hit = {by_home[find(figure["function"])] for _, figure in FIGURES}
    assert sorted(set(public_functions()) - hit) == []
