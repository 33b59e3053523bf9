"""The harnesses of mistakes and of ladders do what they say, on one build each."""

from __future__ import annotations

import numpy as np
import pytest

from tests.accuracy.__main__ import SEED
from tests.accuracy.ladders import LADDERS, climb, draw_ladder
from tests.accuracy.mistakes import MISTAKES, Mistake, chosen_cases, moved, run, said_of
from tests.accuracy.workshop import STEPS, Case

pytestmark = [pytest.mark.xdist_group("accuracy"), pytest.mark.slow]


@pytest.fixture(scope="module")
def case() -> Case:
    """The first build that mistakes are made in."""
    return chosen_cases(SEED, 1)[0]


def test_there_are_twenty_mistakes_each_with_a_way_in() -> None:
    """Twenty names, all different, each made in the file or on the dyno."""
    assert len({mistake.name for mistake in MISTAKES}) == 20
    assert all(mistake.edit or mistake.prepare for mistake in MISTAKES)


def test_a_sound_build_is_blamed_for_nothing(case: Case) -> None:
    """Without a mistake nothing is said, so that what is said is said of the mistake."""
    said = said_of(case, Mistake("none", ".", lambda *_: None))
    assert (said.check, said.sheet, said.named) == ("", "", False)


def test_only_the_right_words_count(case: Case) -> None:
    """A sensor that reads high is named by its own word, and not by another mistake's."""
    sensor = said_of(case, Mistake("sensor", "sensor", moved("boost", 14.0)))
    other = said_of(case, Mistake("sensor", "another word", moved("boost", 14.0)))
    assert sensor.named
    assert not other.named
    assert sensor.sheet == other.sheet


def test_a_run_counts_what_was_named() -> None:
    """One mistake in two builds: its count, its share, and each build's own."""
    found = run(SEED, [Mistake("sensor", "sensor", moved("boost", 14.0))], 2)
    assert found["mistakes"]["sensor"]["named"] == 2
    assert found["named_share"] == 1
    assert found["named_of_each_build"] == [1, 1]


def test_mistakes_are_named_first() -> None:
    """A sample of the twenty in one build: each is the first thing said."""
    found = run(SEED, [item for item in MISTAKES if item.name != "wrong bore"][::3], 1)
    assert found["named_share"] == 1


def test_a_ladder_slips_on_its_last_step_only() -> None:
    """A large engine whose last pull falls short of the others' trend, predicted from its first."""
    ladder = next(found for number in range(LADDERS) if (found := draw_ladder(SEED, number)))
    speeds = [sweep.state.grip[-1] for sweep in ladder.sweeps]
    assert ladder.truth.engine.swept_volume > 3.5e-3
    assert min(speeds[: STEPS - 1]) > 0.99 > 0.97 > speeds[-1]
    judged = climb(ladder)
    assert np.isfinite(judged.power).all()
    assert np.median(np.abs(judged.power)) < 0.1
