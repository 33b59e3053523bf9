"""What is not like for like between pulls, in words; numbers are compared only beside them."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from specgen.analysis.words import MEASURING_POINTS, fuel_words
from specgen.analysis.workings import PullSheet

#: A density further apart than this makes two sessions' air "far apart".
_FAR_AIR = 0.05


def unlike(pulls: Sequence[PullSheet]) -> tuple[str, ...]:
    """One sentence for each thing that makes these pulls not like for like."""
    if len(pulls) < 2:
        return ()
    sentences = [
        _differs(
            pulls,
            lambda pull: MEASURING_POINTS[pull.session.dyno.measured_at.value],
            "Power was measured {}: these figures do not compare.",
        ),
        _differs(
            pulls,
            lambda pull: pull.rows["power"].standing or "no power recorded",
            "Figures differ in how they stand: {}.",
        ),
        _differs(pulls, lambda pull: fuel_words(pull.setup.setup.fuel), "Fuels differ: {}."),
        _air(pulls),
    ]
    return tuple(sentence for sentence in sentences if sentence)


def _differs(pulls: Sequence[PullSheet], say: Callable[[PullSheet], str], sentence: str) -> str:
    values = list(dict.fromkeys(say(pull) for pull in pulls))
    apart = "; " if any("," in value for value in values) else " and "
    return sentence.format(apart.join(values)) if len(values) > 1 else ""


def _air(pulls: Sequence[PullSheet]) -> str:
    rows = [pull.rows["air_density"] for pull in pulls]
    if not all(row.present for row in rows):
        return "The air of at least one session was not fully recorded."
    densities = [row.scalar for row in rows]
    if max(densities) / min(densities) - 1 > _FAR_AIR:
        return (
            "The air of the sessions was far apart: only corrected figures can be set side by side."
        )
    return ""
