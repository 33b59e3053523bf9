"""The estimate's script and data: made from Python or refused, and light."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from specgen.archive.model.build import Archive, Given
from specgen.findings import Place
from specgen.publish import addresses
from specgen.publish.estimate.attempts import Attempt, held
from specgen.publish.estimate.data import Estimates, of_blower
from specgen.publish.estimate.elements import Untranslatable
from specgen.publish.estimate.page import held_words
from specgen.publish.estimate.translating import script_of
from specgen.publish.making.item import Item
from tests.estimates.comparing import scripts, weight

#: What script and data of an estimate may weigh beyond what all pages load: an exception to the
#: 25 kB that a page may load of ours.
HEAVIEST = 25_000


def plain(value: float) -> float:
    """Something that has JavaScript."""
    return float(np.where(value > 2.0, value**2, -value))


def listed(values: list[float]) -> list[float]:
    """Something that has none: a list made of another."""
    return [value + 1 for value in values]


def logged(value: float) -> float:
    """Something that has none: a function that nobody named."""
    return math.log(value)


def test_a_function_becomes_javascript() -> None:
    """Arithmetic and choices, element by element."""
    assert script_of([plain], {}) == (
        "function test_made$plain(a) { return (a > 2.0) ? toSquare(a) : (-a); }\n"
    )


@pytest.mark.parametrize("function", [listed, logged])
def test_what_has_no_javascript_is_refused_with_its_line(function: object) -> None:
    """The site is not built with half a model."""
    with pytest.raises(Untranslatable, match=r"test_made:\d+: \w+ has no JavaScript here"):
        script_of([function], {})


def test_script_and_data_are_light(archive: Archive, items: dict[str, Item]) -> None:
    """All that an estimate's page loads beyond every page, compressed as it is sent."""
    made = scripts()
    shared = weight(made[addresses.ESTIMATE_SCRIPT]) + weight(
        str(items[addresses.ESTIMATE_DATA].content)
    )
    for blower in archive.blowers:
        own = items.get(addresses.blower_estimate(blower))
        assert own is not None
        size = shared + weight(str(own.content))
        assert size < HEAVIEST, f"{blower}: {size} bytes"


def test_a_digest_is_that_of_the_file(archive: Archive) -> None:
    """The same for the same file, another for another; pulls and builds do not move it."""
    blower = next(iter(archive.blowers.values()))
    first, again = of_blower(archive, blower), of_blower(replace(archive, builds={}), blower)
    faster = replace(blower, max_speed=Given(300.0, "18000 rpm", Place("here")))
    other = of_blower(archive, faster)
    assert first is not None
    assert again is not None
    assert other is not None
    assert first["digest"] == again["digest"] != other["digest"]


def attempt(boost: tuple[float, ...]) -> Attempt:
    """A measured setup of which nothing but boost matters."""
    return Attempt("b", "x", "X", "s", "e85", "E85", "at the hub", 2.0, 6e3, 2.0, boost, ())


def test_how_often_bands_held_is_counted_and_said() -> None:
    """What was not measured counts for nothing; with nothing measured nobody can say."""
    tried = [attempt((50e3, 60e3, 11e3)), attempt((50e3, 60e3, 9e3)), attempt(())]
    assert held(tried) == {"boost": [1, 2], "power": [0, 0]}
    assert "boost in 1 of 2" in held_words(held(tried))
    assert "nobody can say" in held_words(held([]))


def test_bands_hold_over_the_demo(items: dict[str, Item], archive: Archive) -> None:
    """The page says for the whole archive how often, and that is nine times of ten at least."""
    page = str(items[addresses.ESTIMATE].content)
    said = page[page.index("lay in the band: ") :][:60]
    counts = [
        int(word) for word in said.replace(",", " ").replace(".", " ").split() if word.isdigit()
    ]
    assert len(counts) == 4
    assert counts[0] >= 0.9 * counts[1] > 20
    assert counts[2] >= 0.9 * counts[3] > 20
    assert all(Estimates(archive, ()).known)


def test_without_script_there_is_a_table_of_sizes(items: dict[str, Item], archive: Archive) -> None:
    """Each blower's page has it, with what to ask the workshop with."""
    for blower in archive.blowers:
        page = str(items[addresses.blower(blower)].content)
        part = page[page.index("<noscript>") : page.index("</noscript>")]
        assert part.count("<tr>") >= 4
        assert "Ask us with" in part
