"""Which columns of a table are taken, as what and in which unit; what is dropped, and why."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from specgen.archive.delimited.cells import Notation
from specgen.archive.delimited.grid import Block, values_of
from specgen.archive.delimited.heads import Heading
from specgen.archive.importing.answers import SKIP, Answers, Question
from specgen.archive.phrases.suggestion import listed
from specgen.archive.reading.pulls import COLUMNS
from specgen.physics.engine import power_from_torque
from specgen.units import Unit, UnitError, unit, units_of
from specgen.vocabulary import quantity

Floats = NDArray[np.float64]

#: Engine speeds that a log can have at all [rpm]; they decide a doubtful decimal mark.
_SPEEDS = (150.0, 25_000.0)
#: Power and torque belong together within this share.
_IDENTITY = 0.01
#: A pressure in the manifold under load is never below this, so that less can only be gauge [Pa].
_LEAST_ABSOLUTE = 60e3
#: Two columns are the same where they agree within this share of the larger.
_SAME = 0.005
_NAMES = {key: name for name, key in COLUMNS.items()}


@dataclass(frozen=True, slots=True)
class Taken:
    """A column that is taken: where it stands, its head, and as what with which unit.

    `quantity` is empty for an extra channel, which keeps its own name and the unit as spelled.
    """

    at: int
    heading: Heading
    quantity: str
    name: str
    unit: Unit | None
    symbol: str

    @property
    def head(self) -> str:
        """The head that the curve file has for it."""
        return f"{self.name} [{self.symbol}]" if self.symbol else self.name


@dataclass(slots=True)
class Choice:
    """What is taken of a table, what is not and why, what is open, and what was concluded."""

    notation: Notation
    taken: list[Taken] = field(default_factory=list)
    dropped: list[tuple[str, str]] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    concluded: list[str] = field(default_factory=list)

    def of(self, key: str) -> Taken | None:
        """Give the column of a quantity."""
        return next((item for item in self.taken if item.quantity == key), None)


class Chooser:
    """The columns of one block of rows, while it is told what each of them is."""

    def __init__(self, block: Block, notations: Sequence[Notation], answers: Answers) -> None:
        self.block, self.answers = block, answers
        self.headings = [_answered(item, answers) for item in block.headings]
        self.choice = Choice(self._notation(notations))
        self._cache: dict[int, Floats] = {}

    def values(self, at: int) -> Floats:
        """Give the numbers of a column as they stand."""
        if at not in self._cache:
            self._cache[at] = values_of(self.block, at, self.choice.notation)
        return self._cache[at]

    def _notation(self, notations: Sequence[Notation]) -> Notation:
        """Decide a doubtful decimal mark by what an engine's speed and the others can be."""
        if self.answers.decimal:
            other = "." if self.answers.decimal == "," else ","
            return Notation(self.answers.decimal, other + notations[0].thousands)
        if len(notations) == 1:
            return notations[0]
        scores = [self._plausible(notation) for notation in notations]
        if scores[0] == scores[1]:
            self.doubtful = True
        return notations[int(np.argmax(scores))]

    doubtful = False

    def _plausible(self, notation: Notation) -> float:
        """Count the known columns whose middle is what such a figure can be."""
        score = 0.0
        for at, item in enumerate(self.headings):
            key = item.meaning.quantity.replace("boost_or_manifold", "manifold_pressure")
            if not key:
                continue
            values = values_of(self.block, at, notation)
            if not np.isfinite(values).any():
                continue
            middle = float(np.nanmedian(values))
            if key == "engine_speed":
                score += 10 * (_SPEEDS[0] <= middle <= _SPEEDS[1])
            elif item.unit and (read := item.unit.of(quantity(key).kind)):
                score += quantity(key).is_plausible(read.to_si(middle))
        return score

    # ------------------------------------------------------------ speed, torque and power

    def essential(self) -> Choice:
        """Take engine speed, torque and power; questions where they are not all told."""
        choice = self.choice
        if self.doubtful:
            words = "whether a comma or a point stands before the decimals"
            choice.questions.append(Question("decimal", words, "--decimal", (".", ","), True))
            return choice
        for key in ("engine_speed", "torque", "power"):
            self._take_one(key, self._sort_out(key))
        self._units_by_identity()
        if choice.of("engine_speed") is None:
            words = "which column is the engine speed"
            choice.questions.append(_column_question(words, "engine speed [rpm]", needed=True))
        elif choice.of("torque") is None and choice.of("power") is None:
            words = "which column is torque or power, and in which unit"
            choice.questions.append(_column_question(words, "power [kW]", needed=True))
        return choice

    def _sort_out(self, key: str) -> list[int]:
        """Give the columns of a quantity that differ; a repeated one is dropped."""
        there = [
            at
            for at, item in enumerate(self.headings)
            if item.meaning.quantity == key and np.isfinite(self.values(at)).any()
        ]
        kept: list[int] = []
        for at in there:
            same = next((other for other in kept if self._same(key, at, other)), None)
            if same is None:
                kept.append(at)
            else:
                first = self.headings[same].text
                self.choice.dropped.append((self.headings[at].text, f'the same as "{first}"'))
        return kept

    def _same(self, key: str, one: int, other: int) -> bool:
        """Whether two columns say the same, in their own units; one without a unit takes the other's."""
        kind = quantity(key).kind
        read = [self.headings[at].unit for at in (one, other)]
        units = [item.of(kind) if item else None for item in read]
        if read[0] and read[1] and read[0].reference != read[1].reference:
            return False
        a, b = (
            self.values(at) if None in units or which is None else which.to_si(1.0) * self.values(at)
            if which.offset == 0 else which.factor * self.values(at) + which.offset
            for at, which in zip((one, other), units, strict=True)
        )  # fmt: skip
        there = np.isfinite(a) & np.isfinite(b)
        if not there.any():
            return False
        size = float(np.max(np.abs(b[there]))) or 1.0
        return bool((np.abs(a[there] - b[there]) <= _SAME * size).all())

    def _take_one(self, key: str, there: list[int]) -> None:
        """Take the one column of a quantity; of several that differ none."""
        if len(there) > 1:
            names = [self.headings[at].text for at in there]
            words = f"which of {listed(f'{name!r}' for name in names)} is the {_NAMES[key]}".replace("'", '"')
            self.choice.questions.append(
                Question(f"column {key}", words, f'--column "{names[0]}={self._example(key)}"',
                         tuple(names), key == "engine_speed")
            )  # fmt: skip
            self.choice.dropped += [(name, f"differs from others of {_NAMES[key]}") for name in names]
        elif there:
            self._take(there[0], key)

    def _take(self, at: int, key: str) -> None:
        item = self.headings[at]
        found = self._unit(at, key)
        if found is not None:
            self.choice.taken.append(Taken(at, item, key, _NAMES[key], found, found.symbol))

    def _unit(self, at: int, key: str) -> Unit | None:
        """Give a column's unit; one that only one unit can be is concluded."""
        item, kind = self.headings[at], quantity(key).kind
        if item.unit and (found := item.unit.of(kind)):
            return found
        if kind in ("ratio", "angle"):
            return units_of(kind)[0]
        middle = float(np.nanmedian(self.values(at)))
        if key == "engine_speed" and _SPEEDS[0] <= middle <= _SPEEDS[1]:
            self.choice.concluded.append(f'"{item.text}" in rpm, by its size')
            return unit(kind, "rpm")
        if key not in ("torque", "power"):
            self._ask_unit(item, key)
        return None

    def _ask_unit(self, item: Heading, key: str) -> None:
        usual = [it.symbol for it in units_of(quantity(key).kind)[:5]]
        words = f'in which unit "{item.text}" is'
        flag = f'--column "{item.text}={self._example(key)}"'
        self.choice.questions.append(Question(f"unit of {item.text}", words, flag, tuple(usual)))
        self.choice.dropped.append((item.text, "no unit stands with it"))

    def _example(self, key: str) -> str:
        symbol = quantity(key).metric.symbol
        return f"{_NAMES[key]} [{symbol}]" if symbol else _NAMES[key]

    def _units_by_identity(self) -> None:
        """Tell units of torque and power that are missing, where power is 2 pi n T in one pair only."""
        speed = self.choice.of("engine_speed")
        without = {
            key: there[0]
            for key in ("torque", "power")
            if self.choice.of(key) is None and len(there := self._sort_out_quietly(key)) == 1
        }
        if not without or speed is None or speed.unit is None:
            return
        pairs = self._pairs(speed, without)
        if len(pairs) == 1:
            for key, at in without.items():
                found = pairs[0][key]
                item = self.headings[at]
                self.choice.taken.append(Taken(at, item, key, _NAMES[key], found, found.symbol))
                words = f'"{item.text}" in {found.symbol}, as power is 2 pi times speed times torque'
                self.choice.concluded.append(words)
        else:
            for key, at in without.items():
                self._ask_unit(self.headings[at], key)

    def _sort_out_quietly(self, key: str) -> list[int]:
        before = list(self.choice.dropped)
        found = self._sort_out(key)
        self.choice.dropped[:] = before
        return found

    def _pairs(self, speed: Taken, without: dict[str, int]) -> list[dict[str, Unit]]:
        """Give each pair of units in which power and torque of the rows belong together."""
        assert speed.unit is not None
        columns = {key: self.choice.of(key) for key in ("torque", "power")}
        places = {**{k: it.at for k, it in columns.items() if it}, **without}
        if len(places) < 2:
            return []
        options = {
            key: [it.unit] if (it := columns[key]) and it.unit else list(units_of(key))
            for key in ("torque", "power")
        }
        n = speed.unit.factor * self.values(speed.at)
        T, P = self.values(places["torque"]), self.values(places["power"])
        with np.errstate(invalid="ignore", divide="ignore"):
            ratio = P / np.asarray(power_from_torque(T, n))
        loaded = np.isfinite(ratio) & (T > 0.3 * np.nanmax(T))
        if not loaded.any():
            return []
        middle = float(np.median(ratio[loaded]))
        return [
            {"torque": torque, "power": power}
            for torque in options["torque"]
            for power in options["power"]
            if abs(middle * power.factor / torque.factor - 1) <= _IDENTITY
        ]

    # ------------------------------------------------------------ all other columns

    def others(self, rows: NDArray[np.intp]) -> Choice:
        """Take what else there is, by what the rows of the sweeps say."""
        done = {item.at for item in self.choice.taken}
        keys = dict.fromkeys(it.meaning.quantity for it in self.headings)
        for key in keys:
            if key == "boost_or_manifold":
                self._pressures(rows)
            elif key and key not in ("engine_speed", "torque", "power"):
                self._take_one(key, self._sort_out(key))
        self._agreeing(rows)
        taken = {item.at for item in self.choice.taken} | done
        named = {head for head, _ in self.choice.dropped}
        for at, item in enumerate(self.headings):
            if at not in taken and item.text not in named:
                self._extra(at, item, rows)
        self._in_order()
        return self.choice

    def _pressures(self, rows: NDArray[np.intp]) -> None:
        """Tell gauge from absolute: by a word, by an answer, or by what an absolute one cannot be."""
        there: dict[str, list[int]] = {"boost": [], "manifold_pressure": []}
        for at in self._sort_out_pressures():
            item = self.headings[at]
            found = item.unit.of("gauge pressure") if item.unit else None
            if found is None:
                self._ask_unit(item, "boost")
                continue
            key = self._reference(at, found, rows)
            if key:
                there[key].append(at)
        for key, places in there.items():
            self._take_one(key, places)

    def _sort_out_pressures(self) -> list[int]:
        return [
            at
            for at, item in enumerate(self.headings)
            if item.meaning.quantity == "boost_or_manifold" and np.isfinite(self.values(at)).any()
        ]

    def _reference(self, at: int, found: Unit, rows: NDArray[np.intp]) -> str:
        item = self.headings[at]
        told = item.meaning.reference or self.answers.boost
        if told:
            return {"gauge": "boost", "absolute": "manifold_pressure"}[told]
        values = found.to_si(1.0) * self.values(at)[rows]
        if np.isfinite(values).any() and float(np.nanpercentile(values, 10)) < _LEAST_ABSOLUTE:
            least = f"{float(np.nanmin(values)) / 1e3:.0f} kPa"
            words = f'"{item.text}" is above the air outside: {least} absolute is no full load'
            self.choice.concluded.append(words)
            return "boost"
        words = f'whether "{item.text}" is gauge or absolute'
        self.choice.questions.append(
            Question("boost", words, "--boost gauge or --boost absolute", ("gauge", "absolute"))
        )
        self.choice.dropped.append((item.text, "gauge or absolute is not told"))
        return ""

    def _agreeing(self, rows: NDArray[np.intp]) -> None:
        """Leave out power that does not belong to the torque beside it."""
        torque, power = self.choice.of("torque"), self.choice.of("power")
        speed = self.choice.of("engine_speed")
        if not (torque and power and speed and torque.unit and power.unit and speed.unit):
            return
        n = speed.unit.factor * self.values(speed.at)[rows]
        T = torque.unit.factor * self.values(torque.at)[rows]
        P = power.unit.factor * self.values(power.at)[rows]
        due = np.asarray(power_from_torque(T, n))
        there = np.isfinite(P) & np.isfinite(due) & (np.abs(due) > 0.2 * np.nanmax(np.abs(due)))
        if there.any() and float(np.median(np.abs(P[there] / due[there] - 1))) > 2 * _IDENTITY:
            words = f'which of "{torque.heading.text}" and "{power.heading.text}" holds: '
            words += "power is 2 pi times speed times torque, and here it is not"
            flag = f'--column "{torque.heading.text}={SKIP}"'
            self.choice.questions.append(Question("torque or power", words, flag, (), True))

    def _extra(self, at: int, item: Heading, rows: NDArray[np.intp]) -> None:
        """Keep a column that nobody knows with its unit, if it has numbers."""
        why = {"time": "rows go by engine speed, not by time", "count": "a number of rows only"}
        values = self.values(at)[rows]
        if not item.text:
            if np.isfinite(values).any():
                self.choice.dropped.append((f"column {at + 1}", "it has no head"))
            return
        if item.meaning.role in why:
            self.choice.dropped.append((item.text, why[item.meaning.role]))
        elif self.answers.columns.get(item.text) == SKIP:
            self.choice.dropped.append((item.text, "as told"))
        elif not np.isfinite(values).any():
            self.choice.dropped.append((item.text, "no numbers"))
        else:
            symbol = item.unit.symbol if item.unit else item.unit_text
            found = item.unit.units[0] if item.unit else None
            name = self._free_name(plain_name(item.name or item.text))
            self.choice.taken.append(Taken(at, item, "", name, found, plain_name(symbol)))

    def _free_name(self, name: str) -> str:
        """Give an extra channel a name that no other column of the curve has."""
        used = {item.name for item in self.choice.taken} | set(COLUMNS)
        number, free = 2, name
        while free in used:
            free, number = f"{name} {number}", number + 1
        return free

    def _in_order(self) -> None:
        """Put the columns in the order that curve files have, extra ones behind."""
        order = list(COLUMNS.values())
        self.choice.taken.sort(
            key=lambda it: (order.index(it.quantity) if it.quantity else len(order), it.at)
        )


def plain_name(text: str) -> str:
    """Give a name that can stand in a head of a curve file."""
    return " ".join(re.sub(r'[\[\](),;"|\t]', " ", text).split())


def _column_question(words: str, example: str, *, needed: bool) -> Question:
    return Question("column", words, f'--column "HEAD={example}"', (), needed)


def _answered(item: Heading, answers: Answers) -> Heading:
    """Let an answer about a head stand in for what its words say."""
    told = answers.columns.get(item.text)
    if told is None:
        return item
    if told == SKIP:
        return replace(item, meaning=replace(item.meaning, quantity="", role=""))
    return own_heading(told, item.text) or item


def own_heading(told: str, text: str) -> Heading | None:
    """Read what a column is as a curve's own head says it, "power [kW]"; None where it cannot be."""
    from specgen.archive.delimited.spelling import Spelling
    from specgen.archive.delimited.words import Meaning

    found = re.fullmatch(r"([^\[\]]*?)\s*(?:\[([^\[\]]*)\])?", told.strip())
    key = COLUMNS.get(found.group(1)) if found else None
    if found is None or key is None:
        return None
    try:
        read = unit(quantity(key).kind, found.group(2) or "")
    except UnitError:
        return None
    return Heading(text, found.group(1), Spelling(read.symbol, (read,)), Meaning(key))


#: For tests and pages: what a column may be called, by its quantity.
Values = Callable[[int], Floats]
