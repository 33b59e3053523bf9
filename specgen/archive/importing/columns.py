"""Which columns of a table are taken, as what and in which unit; what is dropped, and why."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from specgen.archive.delimited.cells import Notation
from specgen.archive.delimited.grid import Block, values_of
from specgen.archive.delimited.heads import Heading
from specgen.archive.importing.answers import SKIP, Answers, Question
from specgen.archive.importing.choice import (
    NAMES,
    Choice,
    Taken,
    answered,
    column_question,
    example,
    plain_name,
    told_apart,
)
from specgen.archive.importing.identity import IDENTITY, pairs_of_units
from specgen.archive.phrases.suggestion import listed
from specgen.archive.reading.pulls import COLUMNS
from specgen.physics.engine import power_from_torque
from specgen.units import Unit, unit, units_of
from specgen.vocabulary import quantity

Floats = NDArray[np.float64]

#: Engine speeds that a log can have at all [rpm]; they decide a doubtful decimal mark.
_SPEEDS = (150.0, 25_000.0)
_ESSENTIAL = ("engine_speed", "torque", "power")
_PRESSURES = ("boost", "manifold_pressure", "boost_or_manifold")
#: A pressure in the manifold under load is never below this, so that less can only be gauge [Pa].
_LEAST_ABSOLUTE = 60e3
#: Rows of a table somebody made; a log over time has more.
_FEW = 100
#: Two columns are the same where they agree within this share of the larger.
_SAME = 0.005


class Chooser:
    """The columns of one block of rows, while it is told what each of them is."""

    def __init__(self, block: Block, notations: Sequence[Notation], answers: Answers) -> None:
        self.block, self.answers = block, answers
        self.headings = [answered(item, answers) for item in told_apart(block.headings)]
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
            choice.questions.append(
                Question("decimal", words, '--decimal "," or --decimal "."', (".", ","), True)
            )
            return choice
        for key in _ESSENTIAL:
            self._take_one(key, self._there(key))
        self._units_by_identity()
        if choice.of("engine_speed") is None:
            words = "which column is the engine speed"
            choice.questions.append(column_question(words, "engine speed [rpm]"))
        elif not self._speed_can_be():
            words = "in which unit the engine speed is: no engine turns as its figures say"
            choice.questions.append(column_question(words, "engine speed [rpm]"))
        elif self._wider_than_head():
            words = "which cells belong together: rows have more of them than the head, as with "
            words += "decimal commas between commas; export with semicolons or decimal points"
            choice.questions.append(column_question(words, "skip"))
        elif choice.of("torque") is None and choice.of("power") is None:
            words = "which column is torque or power, and in which unit"
            choice.questions.append(column_question(words, "power [kW]"))
        return choice

    def _speed_can_be(self) -> bool:
        """Whether an engine can turn as fast as the column says."""
        speed = self.choice.of("engine_speed")
        if speed is None or speed.unit is None:
            return False
        middle = float(np.nanmedian(self.values(speed.at))) * speed.unit.factor * 60
        return _SPEEDS[0] <= middle <= _SPEEDS[1]

    def _wider_than_head(self) -> bool:
        """Whether commas part the cells, and columns of numbers have no head."""
        return self.block.delimiter == "," and any(
            not item.text and np.isfinite(self.values(at)).sum() * 2 > len(self.block.rows)
            for at, item in enumerate(self.headings)
        )

    def _there(self, key: str) -> list[int]:
        """Give the columns that are named as a quantity and have numbers."""
        return [
            at
            for at, item in enumerate(self.headings)
            if item.meaning.quantity == key and np.isfinite(self.values(at)).any()
        ]

    def _distinct(self, key: str, places: Sequence[int]) -> tuple[list[int], dict[int, int]]:
        """Part columns into those that differ, and those that repeat one of them."""
        kept: list[int] = []
        repeated: dict[int, int] = {}
        for at in places:
            same = next((other for other in kept if self._same(key, at, other)), None)
            if same is None:
                kept.append(at)
            else:
                repeated[at] = same
        # of two that say the same the one that says its unit is taken
        for at, same in list(repeated.items()):
            if self.headings[same].unit is None and self.headings[at].unit is not None:
                kept[kept.index(same)] = at
                repeated = {
                    same: at,
                    **{k: at for k, v in repeated.items() if v == same and k != at},
                }
        return kept, repeated

    def _same(self, key: str, one: int, other: int) -> bool:
        """Whether two columns say the same; one without a unit takes the other's."""
        a, b = self.values(one), self.values(other)
        first, second = self.headings[one].unit, self.headings[other].unit
        if first and second:
            units = first.of(quantity(key).kind), second.of(quantity(key).kind)
            if {first.reference, second.reference} == {"gauge", "absolute"}:
                return False
            if units[0] is None or units[1] is None:
                return False
            a, b = (a * units[0].factor + units[0].offset, b * units[1].factor + units[1].offset)
        there = np.isfinite(a) & np.isfinite(b)
        if not there.any():
            return False
        size = float(np.max(np.abs(b[there]))) or 1.0
        return bool((np.abs(a[there] - b[there]) <= _SAME * size).all())

    def _take_one(self, key: str, places: Sequence[int]) -> None:
        """Take the one column of a quantity; of several that differ none."""
        told = [at for at in places if self.headings[at].text in self.answers.columns]
        for at in places if told else ():
            if at not in told:
                self.choice.dropped.append((self.headings[at].text, "another one was told"))
        there, repeated = self._distinct(key, told or places)
        for at, same in repeated.items():
            why = f'the same as "{self.headings[same].text}"'
            self.choice.dropped.append((self.headings[at].text, why))
        if len(there) == 1:
            self._take(there[0], key)
        elif there:
            self._ask_which(key, [self.headings[at].text for at in there])

    def _ask_which(self, key: str, names: Sequence[str]) -> None:
        quoted = listed(f'"{name}"' for name in names)
        words = f"which of {quoted} is the {NAMES[key]}"
        flag = f'--column "{names[0]}={example(key)}"'
        needed = key == "engine_speed"
        told = tuple(names)
        self.choice.questions.append(Question("which", words, flag, told, needed, told))
        why = f"differs from others of {NAMES[key]}"
        self.choice.dropped += [(name, why) for name in names]

    def _take(self, at: int, key: str) -> None:
        item = self.headings[at]
        found = self._unit(at, key)
        if found is not None:
            self.choice.taken.append(Taken(at, item, key, NAMES[key], found, found.symbol))

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
        flag = f'--column "{item.text}={example(key)}"'
        self.choice.questions.append(
            Question("unit", words, flag, tuple(usual), heads=(item.text,), name=NAMES[key])
        )
        self.choice.dropped.append((item.text, "no unit stands with it"))

    def _units_by_identity(self) -> None:
        """Tell missing units of torque and power, where power is 2 pi n T in one pair only."""
        speed = self.choice.of("engine_speed")
        without = {
            key: there[0]
            for key in ("torque", "power")
            if self.choice.of(key) is None
            and len(there := self._distinct(key, self._there(key))[0]) == 1
        }
        if not without or speed is None or speed.unit is None:
            return
        pairs = self._pairs(speed, without)
        if len(pairs) == 1:
            for key, at in without.items():
                found = pairs[0][key]
                item = self.headings[at]
                self.choice.taken.append(Taken(at, item, key, NAMES[key], found, found.symbol))
                words = (
                    f'"{item.text}" in {found.symbol}, as power is 2 pi times speed times torque'
                )
                self.choice.concluded.append(words)
        else:
            for key, at in without.items():
                self._ask_unit(self.headings[at], key)

    def _pairs(self, speed: Taken, without: dict[str, int]) -> list[dict[str, Unit]]:
        """Give each pair of units in which power and torque of the rows belong together."""
        columns = {key: self.choice.of(key) for key in ("torque", "power")}
        places = {**{key: it.at for key, it in columns.items() if it}, **without}
        if len(places) < 2:
            return []
        options = {
            key: [it.unit] if (it := columns[key]) and it.unit else list(units_of(key))
            for key in ("torque", "power")
        }
        n = self.values(speed.at) * (speed.unit or unit("rotational speed", "rpm")).factor
        T, P = self.values(places["torque"]), self.values(places["power"])
        return pairs_of_units(n, T, P, options)

    # ------------------------------------------------------------ all other columns

    def others(self, rows: NDArray[np.intp]) -> Choice:
        """Take what else there is, by what the rows of the sweeps say."""
        done = {item.at for item in self.choice.taken}
        keys = dict.fromkeys(it.meaning.quantity for it in self.headings)
        for key in keys:
            if key and key not in (*_ESSENTIAL, *_PRESSURES):
                self._take_one(key, self._there(key))
        self._pressures(rows)
        self._agreeing(rows)
        taken = {item.at for item in self.choice.taken} | done
        named = {head for head, _ in self.choice.dropped}
        for at, item in enumerate(self.headings):
            if at not in taken and item.text not in named:
                self._extra(at, item, rows)
        self._in_order()
        return self.choice

    def _pressures(self, rows: NDArray[np.intp]) -> None:
        """Tell gauge from absolute: by a word, an answer, or what an absolute one cannot be."""
        there = {key: self._there(key) for key in ("boost", "manifold_pressure")}
        for at in self._there("boost_or_manifold"):
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

    def _reference(self, at: int, found: Unit, rows: NDArray[np.intp]) -> str:
        item = self.headings[at]
        reference = item.meaning.reference
        values = found.factor * self.values(at)[rows]
        # the first rows of a log may still have the throttle opening
        lowest = 5.0 if len(values) > _FEW else 0.0
        small = bool(np.isfinite(values).any()) and (
            float(np.nanpercentile(values, lowest)) < _LEAST_ABSOLUTE
        )
        # no absolute pressure is as small under load, whatever its name says
        told = self.answers.boost if reference == "absolute" and small else reference
        told = told or ("" if reference else self.answers.boost)
        if told:
            return {"gauge": "boost", "absolute": "manifold_pressure"}[told]
        if small and not reference:
            least = f"{float(np.nanmin(values)) / 1e3:.0f} kPa"
            words = f'"{item.text}" is gauge: as absolute, its least of {least} were no full load'
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
        due = np.asarray(power_from_torque(T, np.where(n > 0, n, np.nan)))
        there = np.isfinite(P) & np.isfinite(due) & (np.abs(due) > 0.2 * np.nanmax(np.abs(due)))
        if there.any() and float(np.median(np.abs(P[there] / due[there] - 1))) > 2 * IDENTITY:
            words = f'which of "{torque.heading.text}" and "{power.heading.text}" holds: '
            words += "power is 2 pi times speed times torque, and here it is not"
            flag = f'--column "{torque.heading.text}={SKIP}"'
            heads = (torque.heading.text, power.heading.text)
            self.choice.questions.append(Question("which", words, flag, heads, True, heads))

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
