"""What somebody tells an import beside the file: flags, and what a dyno of the settings knows."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from specgen.archive.model.session import Bench

#: A column that is told not to be taken.
SKIP = "skip"


@dataclass(frozen=True, slots=True)
class Answers:
    """What is known before a file is looked at.

    `columns` gives for the text of a head what it is, as a curve's own head says it
    (`power [kW]`), or `skip`. `boost` is what a pressure without a word is, `decimal` the mark
    before decimals, `date_order` which of day and month stands first, and `barometer` whether the
    air pressure is that of the place.
    """

    columns: Mapping[str, str] = field(default_factory=dict)
    boost: Literal["", "gauge", "absolute"] = ""
    decimal: Literal["", ".", ","] = ""
    date_order: Literal["", "day-first", "month-first"] = ""
    date: datetime.date | None = None
    barometer: Literal["", "station", "sea-level"] = ""

    def over(self, bench: Bench) -> Answers:
        """Give these answers, with a dyno's own for what they leave open."""
        logs: Any = bench.logs
        keys = ("date_order", "decimal", "pressure", "barometer")
        word = {key: it.value for key in keys if (it := getattr(logs, key))}
        marks: dict[str, Any] = {"point": ".", "comma": ","}
        return Answers(
            {**{it.head.value: it.column.value for it in bench.logs.columns}, **self.columns},
            self.boost or word.get("pressure", ""),
            self.decimal or marks.get(word.get("decimal", ""), ""),
            self.date_order or word.get("date_order", ""),
            self.date,
            self.barometer or word.get("barometer", ""),
        )


@dataclass(frozen=True, slots=True)
class Question:
    """What a file leaves open: what about, in words, the flag that answers, and possible answers.

    `needed` tells that nothing can be taken in without an answer. `heads` are the columns that it
    is about, and `name` what a curve file calls such a column.
    """

    about: Literal["decimal", "boost", "unit", "which", "column"]
    words: str
    flag: str
    choices: tuple[str, ...] = ()
    needed: bool = False
    heads: tuple[str, ...] = ()
    name: str = ""

    def with_answer(self, answers: Answers, text: str) -> Answers:
        """Give answers with one more: the text that was chosen, or was typed."""
        given: Any = text
        columns = dict(answers.columns)
        if self.about == "decimal":
            return replace(answers, decimal=given)
        if self.about == "boost":
            return replace(answers, boost=given)
        if self.about == "unit":
            columns[self.heads[0]] = f"{self.name} [{text}]"
        elif self.about == "which":
            columns.update({head: SKIP for head in self.heads if head != text})
        else:
            head, _, meant = text.rpartition("=")
            columns[head.strip()] = meant.strip()
        return replace(answers, columns=columns)
