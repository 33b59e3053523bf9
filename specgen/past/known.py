"""What is known of a build as it was: its figures, worked out by this program from the files then.

Kept under the files' own name, so that it is worked out once for good.
"""

from __future__ import annotations

import hashlib
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

from specgen.analysis.method import method
from specgen.analysis.sheet import Sheet, sheet_of
from specgen.archive.archive import read_archive
from specgen.past.figures import Told, as_data, figures_of, from_data

#: Rises when something is kept in another way.
_LAYOUT = 1


class Keeping(Protocol):
    """A place where what was worked out is kept under a name; it may forget at any time."""

    def head(self, key: str) -> dict[str, Any] | None:
        """What was kept under a name."""

    def keep(self, key: str, told: Mapping[str, Any], members: Mapping[str, bytes]) -> bool:
        """Keep something under a name; False where that cannot be done."""


class Nowhere:
    """A place that forgets at once."""

    def head(self, key: str) -> dict[str, Any] | None:  # noqa: ARG002
        """Nothing was kept."""
        return None

    def keep(self, key: str, told: Mapping[str, Any], members: Mapping[str, bytes]) -> bool:  # noqa: ARG002
        """Nothing is kept."""
        return False


@dataclass(frozen=True, slots=True)
class Known:
    """A build's figures (None: its files could not be read), and what can be compared of them.

    `corrections` are the days and reasons that its file gives; `place` says where its headline
    power was measured and `state` what was done to it, nothing where it was never tested.
    """

    figures: tuple[Told, ...] | None = None
    corrections: tuple[tuple[str, str], ...] = ()
    place: str = ""
    state: str = ""
    title: str = ""
    withdrawn: bool = False
    formerly: tuple[str, ...] = ()


def known_of(sheet: Sheet) -> Known:
    """What is known of a build by its sheet."""
    best, build = sheet.best, sheet.build
    return Known(
        figures_of(sheet),
        tuple((it.on.text, it.because.value) for it in build.corrections),
        best.session.dyno.measured_at.value if best else "",
        (best.rows["power"].state or "") if best else "",
        build.title.value,
        build.withdrawn is not None,
        tuple(it.value for it in build.formerly),
    )


def known_then(name: str, files: Mapping[str, bytes]) -> Known:
    """Work out a build from an archive's files by path; never raises for what stands in them."""
    with tempfile.TemporaryDirectory(prefix="specgen-past-") as folder:
        top = Path(folder)
        for path, data in files.items():
            place = top / path
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(data)
        archive = read_archive(top)
        build = archive.builds.get(name)
        if build is None:
            return Known()
        try:
            return known_of(sheet_of(archive, build))
        except (ArithmeticError, ValueError):  # figures that no sheet can be made of
            return Known()


def name_of(state: str) -> str:
    """The name under which a state of files is kept, for the method of this program."""
    return hashlib.sha256(f"past\0{_LAYOUT}\0{method().number}\0{state}".encode()).hexdigest()


def remembered(keeping: Keeping, state: str) -> Known | None:
    """What was kept of a state; None where there is nothing, or nothing that can be read."""
    told = keeping.head(name_of(state))
    if told is None:
        return None
    try:
        return known_from(told)
    except ValueError:
        return None


def remember(keeping: Keeping, state: str, known: Known) -> None:
    """Keep what was worked out of a state."""
    keeping.keep(name_of(state), known_data(known), {})


def known_data(known: Known) -> dict[str, Any]:
    """What is known as plain data, to be kept."""
    return {
        "figures": None if known.figures is None else as_data(known.figures),
        "corrections": [list(it) for it in known.corrections],
        "place": known.place,
        "state": known.state,
        "title": known.title,
        "withdrawn": known.withdrawn,
        "formerly": list(known.formerly),
    }


def known_from(told: Mapping[str, Any]) -> Known:
    """What was kept; ValueError where the data is something else."""
    try:
        figures = told["figures"]
        return Known(
            None if figures is None else from_data(figures),
            tuple((str(day), str(why)) for day, why in told["corrections"]),
            str(told["place"]),
            str(told["state"]),
            str(told["title"]),
            bool(told["withdrawn"]),
            tuple(map(str, told["formerly"])),
        )
    except (KeyError, TypeError, ValueError) as problem:
        raise ValueError(f"nothing that was kept: {problem}") from problem
