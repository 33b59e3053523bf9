"""Twenty mistakes of entry, each made in ten builds that are otherwise right: who is blamed.

A workshop reads two lists: what `specgen check` found in the files, and what the sheet says does
not fit. A mistake counts as named if the first line of either names it; where the sheet accuses
several pulls, its first is the worst. The words that count are those of the mistake, and are
asked of cause and evidence in one, since the title alone may be "wrong unit".
"""

from __future__ import annotations

import csv
import io
import re
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from specgen.analysis.sheet import sheet_of
from specgen.archive.archive import read_archive
from tests.accuracy.workshop import Case, draw_case, with_slack_belt
from tests.accuracy.writing import SLACK_STEP, from_three, step_id, write_archive

BUILDS = 10

#: Every curve has these, so that each mistake has its column.
_HEADERS = (
    "engine speed [rpm]",
    "torque [N m]",
    "boost [kPa]",
    "lambda",
    "charge temperature [degC]",
)
_MIDDLE, _LAST = step_id(1), step_id(SLACK_STEP)

Edit = Callable[[Path, Case], None]
Prepare = Callable[[Case], Case | None]


@dataclass(frozen=True, slots=True)
class Mistake:
    """A name, words of which one must be said first, and how it gets into the archive."""

    name: str
    words: str
    edit: Edit | None = None
    prepare: Prepare | None = None


@dataclass(frozen=True, slots=True)
class Said:
    """What was said first of one mistake in one build, and whether that names it."""

    mistake: str
    build: int
    named: bool
    check: str
    sheet: str


def cells(folder: Path, step: str, column: str, change: Callable[[np.ndarray], Any]) -> None:
    """Change a column of a pull's curve file, as somebody's hand or a wrong export would."""
    path = folder / "pulls" / f"{step}.csv"
    head, *rows = list(csv.reader(path.read_text(encoding="utf-8").splitlines()))
    at = next(index for index, name in enumerate(head) if name.startswith(column))
    changed = change(np.array([float(row[at]) for row in rows]))
    for row, value in zip(rows, changed, strict=True):
        row[at] = f"{value:.2f}"
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([head, *rows])
    path.write_text(text.getvalue(), encoding="utf-8")


def scaled(column: str, factor: float, step: str = _MIDDLE) -> Edit:
    """A column of one pull in another unit than its header says."""
    return lambda folder, _: cells(folder, step, column, lambda values: values * factor)


def moved(column: str, by: float, step: str = _MIDDLE) -> Edit:
    """A column of one pull off by the same amount at every speed."""
    return lambda folder, _: cells(folder, step, column, lambda values: values + by)


def spiked(column: str, factor: float) -> Edit:
    """One row of one pull that jumps."""

    def change(values: np.ndarray) -> np.ndarray:
        values[2 * len(values) // 3] *= factor
        return values

    return lambda folder, _: cells(folder, _MIDDLE, column, change)


def typed(pattern: str, replacement: Callable[[re.Match[str]], str]) -> Edit:
    """Another text in build.yaml where the pattern first stands."""

    def edit(folder: Path, _: Case) -> None:
        path = folder / "build.yaml"
        text, count = re.subn(pattern, replacement, path.read_text(encoding="utf-8"), count=1)
        assert count == 1, pattern
        path.write_text(text, encoding="utf-8")

    return edit


def _longer(by: float) -> Callable[[re.Match[str]], str]:
    return lambda found: f"{found[1]}{float(found[2]) + by:.1f} mm"


def absolute(folder: Path, case: Case) -> None:
    """Manifold pressure exported as boost: the barometer stands on top."""
    cells(folder, _MIDDLE, "boost", lambda values: values + case.air.pressure / 1e3)


def swapped(folder: Path, _: Case) -> None:
    """The first and the last pull's files under each other's names."""
    first, last = (folder / "pulls" / f"{step}.csv" for step in (step_id(0), _LAST))
    one, other = first.read_text(encoding="utf-8"), last.read_text(encoding="utf-8")
    first.write_text(other, encoding="utf-8")
    last.write_text(one, encoding="utf-8")


def slipping_clutch(folder: Path, _: Case) -> None:
    """A clutch or coupling that carries no more than so much on the last pull."""
    cells(folder, _LAST, "torque", lambda values: np.minimum(values, 0.88 * values.max()))


def slipping_belt(case: Case) -> Case | None:
    """The belt let go early on the last pull."""
    return with_slack_belt(case, SLACK_STEP)


def fahrenheit(folder: Path, _: Case) -> None:
    """A thermometer that speaks Fahrenheit under a heading in Celsius."""
    cells(folder, _MIDDLE, "charge temperature", lambda values: values * 1.8 + 32)


def at_sea_level(found: re.Match[str]) -> str:
    """Station pressure as the weather report has it for the sea, 900 m below: 11 % more."""
    return f"{found[1]}{float(found[2]) * 1.113:.1f} kPa"


_UNIT = r"\bunits?\b|6\.89|psi|lb ft|1\.35|\bhp\b|1\.34|decimal|factor of 10|ten times|a tenth"

MISTAKES: tuple[Mistake, ...] = (
    Mistake("boost in psi under kPa", _UNIT, scaled("boost", 1 / 6.894757)),
    Mistake("boost in kPa under psi, as converted once more", _UNIT, scaled("boost", 6.894757)),
    Mistake("boost in psi under kPa, last pull", _UNIT, scaled("boost", 1 / 6.894757, _LAST)),
    Mistake("torque in lb ft under N m", _UNIT, scaled("torque", 1 / 1.3558179)),
    Mistake("torque converted twice", _UNIT, scaled("torque", 1.3558179)),
    Mistake("power in hp taken for kW", _UNIT, scaled("torque", 1 / 0.7456999, _LAST)),
    Mistake("boost a tenth", _UNIT, scaled("boost", 0.1)),
    Mistake("boost tenfold", _UNIT, scaled("boost", 10.0)),
    Mistake("charge temperature in Fahrenheit", r"\bunit|Fahrenheit|degF", fahrenheit),
    Mistake("absolute pressure as boost", r"barometer|absolute|gauge", absolute),
    Mistake(
        "sea-level barometer as the station's", r"sea.level|barometer|air pressure",
        typed(r"(      pressure: )([0-9.]+) kPa", at_sea_level)
    ),
    Mistake(
        "wrong pulley in the file", r"pulley",
        typed(r"(id: step-2, blower_pulley: )([0-9]+) mm", _longer(7.0))
    ),
    Mistake(
        "wrong pulley in the file, last step", r"pulley",
        typed(r"(id: step-3, blower_pulley: )([0-9]+) mm", _longer(8.0))
    ),
    Mistake("curves swapped", r"swap|exchanged|each other", swapped),
    Mistake("wrong bore", r"\bbore|swept|displacement of the engine",
            typed(r"(  bore: )([0-9.]+) mm", _longer(10.0))),
    Mistake("one row of torque jumps", r"\brow|spike|single|reading", spiked("torque", 1.3)),
    Mistake("one row of boost jumps", r"\brow|spike|single|reading", spiked("boost", 1.4)),
    Mistake("clutch slips on the hub", r"clutch|coupling|drive line", slipping_clutch),
    Mistake("belt slips", r"belt slip", prepare=slipping_belt),
    Mistake("boost sensor reads 14 kPa more", r"sensor", moved("boost", 14.0)),
)  # fmt: skip


def chosen_cases(seed: int, count: int = BUILDS) -> list[Case]:
    """Builds on blowers that displace, with every column, on a hub dyno, nothing corrected."""
    found: list[Case] = []
    number = 0
    while len(found) < count:
        case = draw_case(seed, number)
        number += 1
        if case.kind != "centrifugal" and case.bench.measured_at == "hub":
            known = replace(case.known, headers=_HEADERS, standard="", factor=False)
            true = tuple(replace(sweep, factor=1.0) for sweep in case.sweeps)
            if not case.known.standard:
                found.append(replace(case, known=known, sweeps=true))
    return found


def said_of(case: Case, mistake: Mistake) -> Said:
    """Make the mistake in a build and note what is said of it first."""
    prepared = mistake.prepare(case) if mistake.prepare else case
    if prepared is None:
        raise ValueError(f"{mistake.name} cannot be made in build {case.number}")
    trial = from_three(prepared)
    with tempfile.TemporaryDirectory(prefix="mistake-") as folder:
        root = Path(folder) / "builds"
        write_archive(root, [trial])
        if mistake.edit:
            mistake.edit(root / trial.id, prepared)
        check, sheet = first_words(root, trial.id)
    named = any(re.search(mistake.words, text, re.IGNORECASE) for text in (check, sheet))
    return Said(mistake.name, case.number, named, check, sheet)


def first_words(root: Path, build: str) -> tuple[str, str]:
    """The first finding of a check, and the first cause of the sheet's first diagnosis."""
    archive = read_archive(root)
    check = next(
        (f"{finding.found} {finding.expected} {finding.hint}" for finding in archive.findings), ""
    )
    if build not in archive.builds:
        return check, ""
    try:
        diagnoses = sheet_of(archive, archive.builds[build]).diagnoses
    except ValueError as error:
        return check, f"gave up: {error}"
    causes = diagnoses[0].causes if diagnoses else ()
    if not causes:
        return check, ""
    return check, " ".join([causes[0].title, *(item.text for item in causes[0].evidence[:1])])


def run(seed: int, mistakes: Sequence[Mistake] = MISTAKES, count: int = BUILDS) -> dict[str, Any]:
    """Every mistake in every build: how often its name was said first, and what was said else."""
    cases = chosen_cases(seed, count)
    said = [said_of(case, mistake) for mistake in mistakes for case in cases]
    by_mistake: dict[str, dict[str, Any]] = {
        mistake.name: {
            "named": sum(item.named for item in said if item.mistake == mistake.name),
            "of": len(cases),
            "said": sorted(
                {item.check or item.sheet for item in said
                 if item.mistake == mistake.name and not item.named}
            )[:3],
        }
        for mistake in mistakes
    }  # fmt: skip
    per_build = [sum(item.named for item in said if item.build == case.number) for case in cases]
    return {
        "mistakes": by_mistake,
        "named_of_each_build": per_build,
        "named_share": round(sum(item.named for item in said) / len(said), 4),
        "usually_named": sum(2 * item["named"] > item["of"] for item in by_mistake.values()),
    }


def text(found: dict[str, Any]) -> str:
    """The list for a terminal, with what was said instead."""
    lines = []
    for name, item in found["mistakes"].items():
        lines.append(f"{name:50}{item['named']:>4} of {item['of']}")
        lines += [f"    instead: {words[:110] or 'nothing'}" for words in item["said"]]
    share, usual = found["named_share"], found["usually_named"]
    lines.append(f"\nsaid first: {share:.0%}; {usual} mistakes in more than half of their builds")
    lines.append(f"of {len(found['mistakes'])} in each build: {found['named_of_each_build']}")
    return "\n".join(lines)
