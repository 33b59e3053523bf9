"""What somebody tells an import beside the file: flags, and what a dyno of the settings knows."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

#: A column that is told not to be taken.
SKIP = "skip"


@dataclass(frozen=True, slots=True)
class Answers:
    """What is known before a file is looked at.

    `columns` gives for the text of a head what it is, as a curve's own head says it
    (`power [kW]`), or `skip`. `boost` is what a pressure without a word is, `decimal` the mark
    before decimals, `date_order` which of day and month stands first.
    """

    columns: Mapping[str, str] = field(default_factory=dict)
    boost: Literal["", "gauge", "absolute"] = ""
    decimal: Literal["", ".", ","] = ""
    date_order: Literal["", "day-first", "month-first"] = ""
    date: datetime.date | None = None


@dataclass(frozen=True, slots=True)
class Question:
    """What a file leaves open: what about, in words, the flag that answers, and possible answers.

    `needed` tells that nothing can be taken in without an answer.
    """

    about: str
    words: str
    flag: str
    choices: tuple[str, ...] = ()
    needed: bool = False
