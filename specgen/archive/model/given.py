"""One value as somebody wrote it: what every field of the model is made of."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Generic, TypeVar

from specgen.findings import Place

T_co = TypeVar("T_co", covariant=True)


@dataclass(frozen=True, slots=True)
class Given(Generic[T_co]):
    """A value as somebody wrote it: SI number, text or count, with its text and place.

    `quantity` is the vocabulary's key where the value is a physical quantity; `at` is the
    second value of texts such as "301 kW at 6400 rpm"; what is `private` is not published.
    """

    value: T_co
    text: str
    place: Place
    quantity: str | None = None
    at: Given[float] | None = None
    private: bool = False


Number = Given[float]
Count = Given[int]
Word = Given[str]
Flag = Given[bool]
Day = Given[datetime.date]


@dataclass(frozen=True, slots=True)
class Range:
    """A stated range of a quantity, both ends in SI."""

    low: float
    high: float
