"""From what was understood to what is written: curve files, originals, and the build's file."""

from __future__ import annotations

import contextlib
import datetime
import hashlib
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from specgen.archive.editing.edits import EditError, append_item
from specgen.archive.importing.understanding import CannotImport, Understood
from specgen.archive.model.session import NOT_RECORDED
from specgen.archive.reading import door
from specgen.archive.reading.source import LARGEST, Tree, load

#: Where a build keeps its curve files, and the files they were taken from.
PULLS, ORIGINALS = "pulls", "pulls/originals"


@dataclass(frozen=True, slots=True)
class Visit:
    """What is told of a visit to a dyno beside its pulls, as a session's keys."""

    date: datetime.date | None
    dyno: Tree
    figures: Tree | None
    air: Mapping[str, Tree] = field(default_factory=dict)

    def session(self) -> dict[str, Tree]:
        """Give the keys of a new session, without a pull."""
        keys: dict[str, Tree] = {"date": self.day, "dyno": self.dyno}
        if self.figures is not None:
            keys["figures"] = self.figures
        if self.air:
            keys["air"] = dict(self.air)
        return {**keys, "pulls": []}

    @property
    def day(self) -> str:
        """The day as a file says it."""
        return self.date.isoformat() if self.date else NOT_RECORDED

    def is_that(self, session: object) -> bool:
        """Whether a session of a file is this visit: nothing that both tell differs."""
        if not isinstance(session, dict) or session.get("date") != self.day:
            return False
        air = session.get("air", {})
        own = isinstance(air, dict) and all(air.get(key) == it for key, it in self.air.items())
        same = session.get("dyno") == self.dyno and session.get("figures") == self.figures
        return same and own


@dataclass(frozen=True, slots=True)
class Change:
    """One file that is written: what it holds now, None where it is not there, and then."""

    file: Path
    before: bytes | None
    after: bytes


@dataclass(frozen=True, slots=True)
class Intake:
    """One file with what is told of its pulls."""

    understood: Understood
    setup: str
    visit: Visit


def taken_before(archive: Path, data: bytes) -> Path | None:
    """Give the original that a file was taken in as before, if it was."""
    digest = hashlib.sha256(data).digest()
    for file in sorted(archive.glob(f"*/{ORIGINALS}/*")):
        if not file.is_file() or file.stat().st_size != len(data):
            continue
        with contextlib.suppress(door.Refused):  # whatever it is, it was not taken in
            if hashlib.sha256(door.read(archive, file, len(data))).digest() == digest:
                return file
    return None


def read_inside(archive: Path, file: Path) -> bytes:
    """Read a file of the archive through its one door; CannotImport where it is not let in."""
    try:
        return door.read(archive, file, LARGEST)
    except door.Refused as problem:
        raise CannotImport(problem.of(file)) from problem


def planned(build: Path, intakes: Sequence[Intake]) -> list[Change]:
    """Plan what is written for files into a build's folder; CannotImport where that cannot be."""
    file = build / "build.yaml"
    before = read_inside(build.parent, file)
    data = before
    changes: list[Change] = []
    used = {path.relative_to(build).as_posix() for path in (build / PULLS).rglob("*")}
    for intake in intakes:
        original = _free_original(intake.understood.name, used)
        changes.append(Change(build / original, None, intake.understood.data))
        for pull in intake.understood.pulls:
            curve = _free_curve(intake.visit.date, used)
            changes.append(Change(build / curve, None, pull.text.encode()))
            keys: dict[str, Tree] = {"setup": intake.setup, "curve": curve, "original": original}
            if pull.method != "the rows as they are":
                keys["note"] = pull.method
            data = _with_pull(data, intake.visit, keys, str(file))
    return [*changes, Change(file, before, data)]


def _free_original(name: str, used: set[str]) -> str:
    """Give an original a name of its own in the build's folder, near to the one it has."""
    stem, dot, ending = Path(name).name.rpartition(".")
    stem, ending = (stem, f".{ending}") if dot and stem else (Path(name).name, "")
    stem = re.sub(r"[^\w.()+-]+", "-", stem)[:60].strip("-.") or "log"
    if door.name_fault(f"{stem}{ending}"):
        stem, _, ending = door.plain_name(f"{stem}{ending}").partition(".")
        ending = f".{ending}" if ending else ""
    number, found = 2, f"{ORIGINALS}/{stem}{ending}"
    while found in used:
        found, number = f"{ORIGINALS}/{stem}-{number}{ending}", number + 1
    used.add(found)
    return found


def _free_curve(date: datetime.date | None, used: set[str]) -> str:
    number, day = 1, date.isoformat() if date else "undated"
    while (found := f"{PULLS}/{day}-{number}.csv") in used:
        number += 1
    used.add(found)
    return found


def _with_pull(data: bytes, visit: Visit, pull: dict[str, Tree], file: str) -> bytes:
    """Add a pull to its session in a build's file, and the session if it is not there."""
    try:
        sessions = _sessions(data, file)
        at = next((i for i, item in enumerate(sessions) if visit.is_that(item)), None)
        if at is None:
            return append_item(data, ("sessions",), {**visit.session(), "pulls": [pull]}, file)
        return append_item(data, ("sessions", at, "pulls"), pull, file)
    except EditError as problem:
        raise CannotImport(str(problem)) from problem


def _sessions(data: bytes, file: str) -> list[Tree]:
    tree = load(data, file).tree
    found = tree.get("sessions") if isinstance(tree, dict) else None
    return found if isinstance(found, list) else []


def setups_of(build: Path) -> list[str]:
    """Give the ids of a build's setups, as its file stands."""
    tree = load(read_inside(build.parent, build / "build.yaml"), "build.yaml").tree
    setups = tree.get("setups") if isinstance(tree, dict) else None
    items: Iterable[Tree] = setups if isinstance(setups, list) else ()
    return [str(item["id"]) for item in items if isinstance(item, dict) and "id" in item]


def setup_told(understood: Understood, setups: Sequence[str]) -> str:
    """Give the one setup that a file's name tells, else the lines above its table; or ""."""
    for text in (Path(understood.name).stem, understood.facts.words):
        folded = f" {re.sub(r'[^a-z0-9]+', ' ', text.lower())} "
        told = [name for name in setups if f" {name.replace('-', ' ')} " in folded]
        longest = [it for it in told if not any(it != other and it in other for other in told)]
        if len(longest) == 1:
            return longest[0]
    return ""
