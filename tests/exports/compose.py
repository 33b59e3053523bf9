"""One export by chance: what it says, and what an archive ought to have of it."""

from __future__ import annotations

import datetime
import math
import random
from dataclasses import dataclass, field

from tests.exports.engine import Engine, engine
from tests.exports.layout import Layout, day_is_open, day_writer, head_of, layout
from tests.exports.tongues import ENDINGS, HEADS, LABELS, REFERENCES, UNCORRECTED, UNITS

#: The unit family of each channel.
FAMILY = {
    "speed": "speed", "torque": "torque", "power": "power", "pressure": "pressure",
    "absolute": "pressure", "lambda": "ratio", "afr": "ratio", "intake": "temperature",
    "charge": "temperature", "discharge": "temperature", "coolant": "temperature",
    "blower": "speed", "depression": "depression", "fuel": "mass flow", "air": "mass flow",
    "spark": "angle", "oil temperature": "temperature", "oil pressure": "pressure",
    "exhaust": "temperature", "fuel pressure": "pressure",
}  # fmt: skip
STRANGE = ("oil temperature", "oil pressure", "exhaust", "fuel pressure", "volts", "knock")
STANDARDS = (
    ("SAE J1349", "sae-j1349"),
    ("DIN 70020", "din-70020"),
    ("ISO 1585", "iso-1585"),
    ("SAE J607", "sae-j607"),
)
OPTIONAL = ("lambda", "afr", "intake", "charge", "discharge", "coolant", "blower", "depression",
            "fuel", "air", "spark")  # fmt: skip


@dataclass(slots=True)
class Column:
    """A column: its channel, head, unit, decimals, and whether an archive is to have it."""

    channel: str
    name: str
    unit: str
    factor: float
    offset: float
    decimals: int
    wanted: bool = True
    scale: float = 1.0
    unit_shown: bool = True
    #: Nobody can tell by the file alone what it is.
    open: bool = False

    def shown(self, value: float) -> float:
        """Give an SI value in the column's unit."""
        return (value * self.scale - self.offset) / self.factor


@dataclass(slots=True)
class Export:
    """A file with what is true of it; `sweeps` are each the printed figures of its rows in SI."""

    name: str
    data: bytes
    engine: Engine
    columns: list[Column]
    sweeps: list[list[dict[str, float | None]]]
    sampled: bool
    day: datetime.date
    day_open: bool
    facts: dict[str, str | float]
    traits: list[str] = field(default_factory=list)

    @property
    def open(self) -> bool:
        """Whether the file alone cannot tell all that an archive is to have."""
        return self.day_open or any(item.open for item in self.columns)


def compose(seed: int) -> Export:
    """Compose an export; the same seed composes the same."""
    chance = random.Random(seed)
    tongue = chance.choice(("en", "de", "fr", "es"))
    return _Composer(chance, tongue, layout(chance, tongue), engine(chance)).export(seed)


class _Composer:
    columns: list[Column]
    holes: str | None

    def __init__(self, chance: random.Random, tongue: str, marks: Layout, made: Engine) -> None:
        self.chance, self.tongue, self.marks, self.engine = chance, tongue, marks, made
        self.traits = [tongue, marks.encoding, f"delimiter {marks.delimiter!r}",
                       f"decimal {marks.decimal}", f"head {marks.head_style}"]  # fmt: skip
        if marks.thousands:
            self.traits.append("thousands")
        if marks.quoted:
            self.traits.append("quoted")
        self.facts: dict[str, str | float] = {}

    def export(self, seed: int) -> Export:
        self.columns = self._columns()
        self.holes = (
            self.chance.choice(("-", "n/a", "NaN", "---", ""))
            if (self.chance.random() < 0.15)
            else None
        )
        if self.holes == "" and self.marks.delimiter == "   ":
            self.holes = "-"
        sampled = self.chance.random() < 0.4
        count = self.chance.choice((1, 1, 1, 2, 3))
        blocks = count > 1 and self.chance.random() < 0.4
        day = datetime.date(2019, 1, 1) + datetime.timedelta(days=self.chance.randrange(2600))
        above, name, day_open = self._above(day, seed)
        self.traits += ["sampled"] * sampled + [f"{count} sweeps"] * (count > 1)
        self.traits += ["blocks"] * blocks
        heads = self._heads()
        lines, sweeps = [*above], []
        falling = not sampled and self.chance.random() < 0.15
        self.traits += ["falling"] * falling
        if not blocks:
            lines += heads
        clock = 0.0
        for number in range(count):
            if blocks:
                lines += ([""] if number else []) + heads
            rows, kept, clock = self._sweep(sampled, falling, clock)
            lines += [self.marks.line(self._cells(row, index)) for index, row in enumerate(rows)]
            sweeps.append(kept)
        lines += self._below()
        return Export(
            name, self.marks.data(lines), self.engine, self.columns, sweeps, sampled, day,
            day_open, self.facts, self.traits,
        )  # fmt: skip

    # ------------------------------------------------------------ columns

    def _columns(self) -> list[Column]:
        chance = self.chance
        kinds = chance.choice((("torque",), ("power",), ("torque", "power"), ("torque", "power"),
                               ("power", "torque")))  # fmt: skip
        columns = [self._column("speed"), *map(self._column, kinds)]
        if len(kinds) == 2 and chance.random() < 0.12:
            self._without_units(columns[1:])
        if chance.random() < 0.8:
            columns.append(self._pressure())
        more = chance.sample(OPTIONAL, chance.randrange(0, 5))
        if {"lambda", "afr"} <= set(more):
            more.remove("afr")
        columns += map(self._column, more)
        for channel in chance.sample(STRANGE, chance.randrange(0, 3)):
            columns.append(self._column(channel))
        if chance.random() < 0.12:
            columns.append(self._repeated(columns))
        if chance.random() < 0.03:
            self._differing(columns, kinds[0])
        if chance.random() < 0.3:
            rest = columns[1:]
            chance.shuffle(rest)
            columns = [columns[0], *rest]
            self.traits.append("shuffled")
        return self._beside(columns)

    def _column(self, channel: str) -> Column:
        name = self.chance.choice(HEADS[self.tongue][channel])
        family = FAMILY.get(channel)
        unit, factor, offset = self.chance.choice(UNITS[family]) if family else ("", 1.0, 0.0)
        if channel == "volts":
            unit = "V"
        if channel == "speed" and name.upper().split()[-1] in ("RPM", "REVS"):
            unit = self.chance.choice((unit, "")) if "RPM" in name.upper() else unit
        typical = abs(self._typical(channel) - offset) / factor
        decimals = min(max(0, 3 - math.floor(math.log10(max(typical, 1e-6)))), 4)
        if channel in ("speed", "blower"):
            decimals = self.chance.choice((0, 0, 1))
        return Column(channel, name, unit, factor, offset, decimals)

    def _typical(self, channel: str) -> float:
        middle = (self.engine.lowest + self.engine.highest) / 2
        return self.engine.curves[channel](middle)

    def _without_units(self, columns: list[Column]) -> None:
        """Torque and power say no unit; their figures do, where one pair alone fits."""
        for item in columns:
            item.unit_shown = False
        self.traits.append("no units of torque and power")
        ratio = columns[0].factor / columns[1].factor
        ratio = ratio if columns[0].channel == "torque" else 1 / ratio
        torques, powers = ({factor for _, factor, _ in UNITS[key]} for key in ("torque", "power"))
        near = {(t, p) for t in torques for p in powers if abs(t / p / ratio - 1) < 0.02}
        if len(near) > 1:
            for item in columns:
                item.open = True

    def _pressure(self) -> Column:
        """Boost or manifold pressure, with a word that says which, or without."""
        chance = self.chance
        kind = chance.choice(("pressure", "pressure", "absolute"))
        item = self._column(kind)
        words = REFERENCES[self.tongue]["gauge" if kind == "pressure" else "absolute"]
        if kind == "absolute" or chance.random() < 0.35:
            if item.name == "MAP" and chance.random() < 0.5:
                pass  # the name itself says absolute
            elif kind == "absolute" and chance.random() < 0.05:
                item.open = True  # an absolute pressure without a word
            else:
                word = chance.choice(words)
                where = chance.random()
                letters = {
                    "psi": ("psig", "psia"),
                    "bar": ("barg", "bara"),
                    "kPa": ("kPag", "kPa abs"),
                }
                if where < 0.4 and item.unit in letters and self.tongue == "en":
                    item.unit = letters[item.unit][kind == "absolute"]
                elif where < 0.6 and self.marks.head_style not in ("_", "/"):
                    item.unit = f"{item.unit} {word.strip('()')}"
                else:
                    item.name = f"{item.name} {word}"
            self.traits.append("open pressure" if item.open else f"{kind} by a word")
        return item

    def _repeated(self, columns: list[Column]) -> Column:
        """The same column again, in the same or another unit."""
        first = self.chance.choice(columns[:3])
        self.traits.append("repeated")
        again = self._column(first.channel)
        again.wanted = False
        if not first.unit_shown:
            again.unit, again.factor, again.offset = first.unit, first.factor, first.offset
            again.unit_shown, again.open = False, first.open
            again.decimals = first.decimals
        return again

    def _differing(self, columns: list[Column], channel: str) -> None:
        """A second torque or power that says something else, as behind losses."""
        other = self._column(channel)
        other.scale, other.wanted = 0.87, False
        for item in columns:
            if item.channel == channel:
                item.open = True
        other.open = True
        columns.append(other)
        self.traits.append("differing")

    def _beside(self, columns: list[Column]) -> list[Column]:
        chance = self.chance
        if chance.random() < 0.35:
            time = self._column_plain("time", chance.choice(("s", "s", "sec")), 2)
            columns.insert(chance.choice((0, 0, len(columns))), time)
        if chance.random() < 0.15:
            columns.insert(0, self._column_plain("row", "", 0))
        return columns

    def _column_plain(self, channel: str, unit: str, decimals: int) -> Column:
        name = self.chance.choice(HEADS[self.tongue][channel])
        return Column(channel, name, unit, 1.0, 0.0, decimals, wanted=False)

    def _heads(self) -> list[str]:
        style = self.marks.head_style
        if self.marks.delimiter == "   " and style == "stacked":
            style = "row"
        pairs = [(it.name, it.unit if it.unit_shown else "") for it in self.columns]
        blank = self.marks.blank
        if style in ("row", "[row]"):
            bracket = "[{}]" if style == "[row]" else "{}"
            units = [bracket.format(unit) if unit else blank for _, unit in pairs]
            return [self.marks.line([name for name, _ in pairs]), self.marks.line(units)]
        if style == "stacked":
            split = [name.rpartition(" ") for name, _ in pairs]
            upper = [first for first, _, _ in split]
            lower = [f"{last} [{unit}]" if unit else last
                     for (_, _, last), (_, unit) in zip(split, pairs, strict=True)]  # fmt: skip
            return [self.marks.line(upper), self.marks.line(lower)]
        return [self.marks.line([head_of(name, unit, style) for name, unit in pairs])]

    # ------------------------------------------------------------ rows

    def _with_holes(self, rows: list[dict[str, float]]) -> None:
        """Leave some cells of channels beside torque and power without a figure."""
        names = [item.channel for item in self.columns]
        able = [it for it in names if it in OPTIONAL and names.count(it) == 1]
        if self.holes is not None:
            for row in rows:
                for channel in able:
                    if self.chance.random() < 0.04:
                        row[channel] = math.nan

    def _sweep(
        self, sampled: bool, falling: bool, clock: float
    ) -> tuple[list[dict[str, float]], list[dict[str, float | None]], float]:
        chance, made = self.chance, self.engine
        if not sampled:
            count = chance.choice((6, 10, 16, 24, 40, 60))
            step = (made.highest - made.lowest) / (count - 1)
            speeds = [made.lowest + step * index for index in range(count)]
            speeds = [round(n / 10) * 10.0 for n in speeds]
            rows = [self._row(n, clock + index) for index, n in enumerate(speeds)]
            self._with_holes(rows)
            rows = rows[::-1] if falling else rows
            return rows, [self._printed(row) for row in rows], clock + count
        return self._log(clock)

    def _log(
        self, clock: float
    ) -> tuple[list[dict[str, float]], list[dict[str, float | None]], float]:
        """A log over time: a hold with the throttle nearly shut, the sweep, the engine let go."""
        chance, made = self.chance, self.engine
        count = chance.choice((150, 400, 900, 1500))
        rate = count / 10
        shake = chance.uniform(0, 0.0008)
        rows: list[dict[str, float]] = []
        if chance.random() < 0.7:
            for _ in range(chance.randrange(count // 10, count // 2)):
                rows.append(self._row(made.lowest * chance.gauss(1, 0.001), clock, load=0.2))
                clock += 1 / rate
            self.traits.append("rows before")
        kept = []
        for index in range(count):
            n = made.lowest + (made.highest - made.lowest) * index / (count - 1)
            row = self._row(n * chance.gauss(1, shake), clock)
            rows.append(row)
            kept.append(self._printed(row))
            clock += 1 / rate
        lowest = made.lowest if chance.random() < 0.5 else made.lowest * 0.6
        for index in range(chance.randrange(count // 6, count)):
            n = made.highest - (made.highest - lowest) * index / count
            rows.append(self._row(n, clock, load=-0.1))
            clock += 1 / rate
        self.traits.append("rows behind")
        return rows, kept, clock

    def _row(self, n: float, clock: float, load: float = 1.0) -> dict[str, float]:
        """Every channel at a speed; at part load the torque and the pressures are other ones."""
        inside = min(max(n, self.engine.lowest), self.engine.highest)
        row = {key: curve(inside) for key, curve in self.engine.curves.items()}
        row["speed"] = n / 60
        if load != 1.0:
            row["torque"] *= load
            row["power"] *= load
            row["pressure"] = -45e3
            row["absolute"] = 53e3
        else:
            row["power"] = 2 * math.pi * n / 60 * row["torque"]
        row["time"], row["row"] = clock, 0.0
        return row

    def _printed(self, row: dict[str, float]) -> dict[str, float | None]:
        """Give what the file prints of a row, in SI; None where it prints no figure."""
        return {
            item.channel: None
            if math.isnan(row[item.channel])
            else round(item.shown(row[item.channel]), item.decimals) * item.factor + item.offset
            for item in reversed(self.columns)
            if item.wanted
        }

    def _cells(self, row: dict[str, float], index: int) -> list[str]:
        cells = []
        for item in self.columns:
            value = float(index + 1) if item.channel == "row" else item.shown(row[item.channel])
            hole = math.isnan(value)
            cells.append(str(self.holes) if hole else self.marks.number(value, item.decimals))
        return cells

    # ------------------------------------------------------------ above and below

    def _above(self, day: datetime.date, seed: int) -> tuple[list[str], str, bool]:
        """The lines above the table, the file's name, and whether its day stays open."""
        chance, labels = self.chance, LABELS[self.tongue]
        if chance.random() < 0.2:
            self.traits.append("no preamble")
            return [], f"{day.isoformat()} run {seed}.csv", False
        write = day_writer(chance, self.tongue)
        facts: list[tuple[str, str, str]] = [(chance.choice(labels["date"]), write(day), "")]
        day_open = day_is_open(write(day), day)
        if chance.random() < 0.4:
            later = day + datetime.timedelta(days=chance.randrange(25))
            facts.append((chance.choice(labels["export"]), write(later), ""))
            day_open = day_open and day_is_open(write(later), later)
            self.traits.append("day of export")
        if day_open:
            self.traits.append("open day")
        if chance.random() < 0.5:
            facts.append(
                (chance.choice(labels["operator"]), chance.choice(("Smith", "K. Muster")), "")
            )
        if chance.random() < 0.5:
            facts.append((chance.choice(labels["dyno"]), "Bench 2", ""))
            self.facts["dyno"] = "Bench 2"
        if chance.random() < 0.4:
            facts += self._correction()
        if chance.random() < 0.6:
            facts += self._air()
        chance.shuffle(facts)
        return self._fact_lines(facts), f"run{seed}.txt", day_open

    def _correction(self) -> list[tuple[str, str, str]]:
        labels = LABELS[self.tongue]
        name = self.chance.choice(labels["standard"])
        if self.chance.random() < 0.3:
            self.facts["standard"] = "observed"
            return [(name, UNCORRECTED[self.tongue], "")]
        text, key = self.chance.choice(STANDARDS)
        self.facts["standard"] = key
        found = [(name, text, "")]
        if self.chance.random() < 0.7:
            factor = round(self.chance.uniform(0.96, 1.06), 3)
            self.facts["factor"] = factor
            found.append((self.chance.choice(labels["factor"]), self._plain(factor, 3), ""))
        return found

    def _air(self) -> list[tuple[str, str, str]]:
        chance, labels = self.chance, LABELS[self.tongue]
        pressure = chance.uniform(95.0, 102.0)
        unit, scale, decimals = chance.choice((("kPa", 1.0, 1), ("hPa", 10.0, 1), ("mbar", 10.0, 0),
                                               ("inHg", 1 / 3.386389, 2)))  # fmt: skip
        shown = round(pressure * scale, decimals)
        self.facts["pressure"] = shown / scale * 1e3
        found = [(chance.choice(labels["pressure"]), self._plain(shown, decimals), unit)]
        warm = round(chance.uniform(12, 34), 1)
        if chance.random() < 0.8:
            fahrenheit = self.tongue == "en" and chance.random() < 0.5
            self.facts["temperature"] = warm + 273.15
            if fahrenheit:
                warm_f = round(warm * 1.8 + 32, 1)
                self.facts["temperature"] = (warm_f - 32) / 1.8 + 273.15
                found.append((chance.choice(labels["temperature"]), self._plain(warm_f, 1), "°F"))
            else:
                found.append((chance.choice(labels["temperature"]), self._plain(warm, 1), "°C"))
        if chance.random() < 0.7:
            damp = chance.randrange(20, 85)
            self.facts["humidity"] = damp / 100
            found.append((chance.choice(labels["humidity"]), str(damp), "%"))
        return found

    def _plain(self, value: float, decimals: int) -> str:
        return f"{value:.{decimals}f}".replace(".", self.marks.decimal)

    def _fact_lines(self, facts: list[tuple[str, str, str]]) -> list[str]:
        form = self.chance.choice(("colon", "cells", "cells", "hash", "equals", "full"))
        if form in ("colon", "hash", "equals") and self.marks.delimiter == ",":
            form = "cells"
        self.traits.append(f"preamble {form}")
        lines = []
        for label, value, unit in facts:
            both = f"{value} {unit}".strip()
            if form == "colon":
                lines.append(f"{label}: {both}")
            elif form == "hash":
                lines.append(f"# {label}: {both}")
            elif form == "equals":
                lines.append(f"{label} = {both}")
            elif form == "full":
                width = max(len(self.columns), 3)
                lines.append(self.marks.line([label, value, unit, *[""] * (width - 3)]))
            else:
                lines.append(self.marks.line([label, both]))
        if self.chance.random() < 0.6:
            lines.append("")
        if self.chance.random() < 0.3:
            lines.insert(0, self.chance.choice(("Run 14", "TEST", "Log file v2")))
        return lines

    def _below(self) -> list[str]:
        if self.chance.random() > 0.3:
            return []
        self.traits.append("junk behind")
        ending = self.chance.choice(ENDINGS[self.tongue])
        return ["", self.marks.line([ending, "301"]) if self.chance.random() < 0.4 else ending]
