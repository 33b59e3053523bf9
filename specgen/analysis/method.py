"""The number of the method: it rises when the physics or the model give other figures.

A test holds the demo's figures against those kept under the number, so that nobody changes them
unnoticed. What changed is told to readers of a sheet whose figures it moved.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Method:
    """One state of the method: its number, since when, and what it does otherwise than before."""

    number: int
    since: datetime.date
    words: str


#: Oldest first; a change of figures adds a line.
METHODS = (
    Method(1, datetime.date(2026, 11, 27), "The first method that was released."),
    Method(
        2,
        datetime.date(2026, 11, 27),
        "An engine asks for less octane the faster it turns, so that boost costs less power at "
        "high speed; a logged ignition tells where knock begins. How long a valve is open is "
        "counted from 0.15 mm of lift, as cam cards do, and no longer from none at all.",
    ),
)


def method() -> Method:
    """The method of this program."""
    return METHODS[-1]
