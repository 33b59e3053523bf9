"""Every published figure, computed by the function it belongs to."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import specgen.physics
from tests.physics.figures import decoded, load, pick
from tests.physics.public_functions import find, public_functions

FOLDER = Path(specgen.physics.__file__).parent / "published"
FIGURES = [
    (f"{path.stem}-{figure['id']}", figure)
    for path in sorted(FOLDER.glob("*.json"))
    for figure in load(path)
]
STATUSES = {"READ", "RESTATED", "RUN", "COMPUTED", "MEMORY"}
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


@pytest.mark.parametrize("figure", [pytest.param(each, id=name) for name, each in FIGURES])
def test_figure(figure: dict[str, Any]) -> None:
    """The function gives the published figure within the tolerance beside it."""
    room = figure["function"].partition(".")[0]
    found = pick(
        find(figure["function"])(**decoded(figure["arguments"], room)), figure.get("field")
    )
    expected = decoded(figure["expected"], room)
    if "absolute" in figure:
        allowed = decoded(figure["absolute"], room)
    else:
        allowed = figure["tolerance"] * abs(expected)
    assert abs(found - expected) <= allowed


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
