"""The reading interface: an archive's results for a notebook, a script and the commands.

What is here keeps its names from version to version. A figure is the very row that the pages
print, so that a notebook and a sheet can never differ.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, cast

import numpy as np
from numpy.typing import NDArray

from specgen.analysis.rows.row import COVERAGE, Row
from specgen.analysis.rows.scope import Scope
from specgen.archive.archive import SETTINGS, read_archive
from specgen.archive.model.build import Archive, Build
from specgen.findings import Finding
from specgen.units import unit
from specgen.vocabulary import System

if TYPE_CHECKING:
    import pandas

    from specgen.analysis.sheet import Sheet

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Figure:
    """One figure of a sheet: a number or a curve over engine speed, or why there is none."""

    row: Row
    system: System

    @property
    def key(self) -> str:
        """What a program calls it, such as "power"."""
        return self.row.key

    @property
    def title(self) -> str:
        """What a sheet calls it."""
        return self.row.title

    @property
    def unit(self) -> str:
        """The unit of `value` and `margin`; "" for a plain number."""
        return self.row.quantity.unit(self.system).symbol

    @property
    def value(self) -> float | Array | None:
        """The figure in its `unit`, in full precision; an array for a curve, None if absent."""
        return self.to(self.unit)

    @property
    def margin(self) -> float | Array | None:
        """The expanded uncertainty (k = 2) in its `unit`; None where it is not known."""
        doubt = self.row.uncertainty
        factor = self.row.quantity.unit(self.system).factor
        return None if doubt is None else COVERAGE * doubt / factor

    @property
    def source(self) -> str:
        """Where it comes from: file and line, or what is cited; "" where it was worked out."""
        if self.row.place is not None:
            return f"{self.row.place.file}:{self.row.place.line}"
        return self.row.source

    @property
    def basis(self) -> str:
        """How it was got: stated, measured, derived, default, fitted, estimated or absent."""
        return self.row.basis

    @property
    def reason(self) -> str:
        """Why it is absent; "" where it is there."""
        return self.row.reason

    @property
    def standing(self) -> str:
        """How a power or torque stands towards standard air, in words."""
        return self.row.standing

    @property
    def at(self) -> Figure | None:
        """The engine speed that it was read at, where there is one."""
        return Figure(self.row.at, self.system) if self.row.at is not None else None

    @property
    def formula(self) -> str:
        """The formula that gave it, as the method page names it; "" for none."""
        return self.row.formula.name if self.row.formula is not None else ""

    @property
    def inputs(self) -> tuple[Figure, ...]:
        """The figures that it was worked out from."""
        return tuple(Figure(row, self.system) for row in self.row.inputs)

    def to(self, symbol: str) -> float | Array | None:
        """The figure in another unit of its kind, such as "hp"; None if absent.

        Raises
        ------
        specgen.units.UnitError: no such unit of this kind; the error says which there are.
        """
        if self.row.value is None:
            return None
        wanted = unit(self.row.quantity.kind, symbol)
        return (self.row.value - wanted.offset) / wanted.factor

    def __str__(self) -> str:
        """The figure as its sheet prints it; a curve and an absent figure in words."""
        if not self.row.present:
            return f"not there: {self.row.reason}"
        if self.row.is_curve:
            return f"{len(self.row.curve)} points in {self.unit or 'no unit'}"
        return self.row.quantity.printed(self.row.scalar, self.system, self.row.expanded).text

    def __repr__(self) -> str:
        return f"<{self.title}: {self}>"


class Figures(Mapping[str, Figure]):
    """Figures of one subject by key; one that is not known is absent and says why.

    `list(figures)` names those that the subject itself has.
    """

    def __init__(self, scope: Scope, system: System) -> None:
        self._scope = scope
        self._system = system

    def __getitem__(self, key: str) -> Figure:
        return Figure(self._scope[key], self._system)

    def __iter__(self) -> Iterator[str]:
        return iter([row.key for row in self._scope])

    def __len__(self) -> int:
        return sum(1 for _ in self._scope)


def _plain(key: str) -> str:
    """A curve's name without the word that tells it from the figure read off it."""
    return "engine_speed" if key == "speed_curve" else key.removesuffix("_curve")


@dataclass(frozen=True, eq=False)
class PullResults:
    """One sweep on the dyno."""

    id: str
    setup: str
    date: str
    figures: Figures
    withdrawn: bool = False

    @cached_property
    def curves(self) -> Mapping[str, Array]:
        """Each curve as an array, all of one length, in the order of engine speed.

        The key is the figure's with its unit, such as "observed_power [kW]"; NaN where a curve
        has no value. Empty where the pull is only its peak figures.
        """
        found = (self.figures[key] for key in self.figures)
        curves = [it for it in found if it.row.is_curve]
        return {f"{_plain(it.key)} [{it.unit or 1}]": cast(Array, it.value) for it in curves}

    def frame(self) -> pandas.DataFrame:
        """The curves as a frame of pandas, which is not installed with specgen."""
        import pandas

        return pandas.DataFrame(dict(self.curves))


@dataclass(frozen=True, eq=False)
class SetupResults:
    """One combination tried or planned."""

    id: str
    title: str
    planned: bool
    figures: Figures


@dataclass(frozen=True, eq=False)
class BuildResults:
    """One build and its figures."""

    build: Build
    archive: Archive

    @property
    def id(self) -> str:
        """The name of its folder."""
        return self.build.id

    @property
    def title(self) -> str:
        """What its sheet is called."""
        return self.build.title.value

    @cached_property
    def sheet(self) -> Sheet:
        """Everything that follows from the build, as the pages use it."""
        from specgen.analysis.sheet import sheet_of  # a check of the files does without it

        return sheet_of(self.archive, self.build)

    @property
    def headline(self) -> tuple[Figure, ...]:
        """The figures that its sheet leads with."""
        return tuple(Figure(row, self._system) for row in self.sheet.headline)

    @property
    def engine(self) -> Figures:
        """What holds for the engine, whatever the setup."""
        return Figures(self.sheet.engine, self._system)

    @property
    def setups(self) -> tuple[SetupResults, ...]:
        """Its setups in the order of the file; those without a pull are planned."""
        return tuple(
            SetupResults(it.id, it.title, it.planned, Figures(it.rows, self._system))
            for it in self.sheet.setups
        )

    @property
    def pulls(self) -> tuple[PullResults, ...]:
        """Its pulls that count, in the order of the file."""
        return tuple(self._pulls(withdrawn=False))

    @property
    def withdrawn(self) -> tuple[PullResults, ...]:
        """Its pulls that no longer count."""
        return tuple(self._pulls(withdrawn=True))

    @property
    def best(self) -> PullResults | None:
        """The pull that its sheet leads with; None if it was never tested."""
        best = self.sheet.best
        return next((it for it in self.pulls if best is not None and it.id == best.id), None)

    @property
    def _system(self) -> System:
        return self.archive.settings.units.table

    def _pulls(self, *, withdrawn: bool) -> Iterator[PullResults]:
        for it in self.sheet.withdrawn if withdrawn else self.sheet.pulls:
            day = it.session.day
            yield PullResults(it.id, it.setup.id, day, Figures(it.rows, self._system), withdrawn)

    def __repr__(self) -> str:
        return f"<{self.title}: {'; '.join(f'{it.title} {it}' for it in self.headline)}>"


class Builds(Mapping[str, BuildResults]):
    """The builds of an archive by id, in the order of its index."""

    def __init__(self, archive: Archive) -> None:
        self._made = {key: BuildResults(it, archive) for key, it in archive.builds.items()}

    def __getitem__(self, key: str) -> BuildResults:
        return self._made[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._made)

    def __len__(self) -> int:
        return len(self._made)


@dataclass(frozen=True, eq=False)
class Results:
    """An archive as it was read; builds with an error are left out and `findings` say why."""

    archive: Archive

    @property
    def name(self) -> str:
        """What the archive calls itself."""
        return self.archive.settings.name.value

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What a check says of its files."""
        return self.archive.findings

    @cached_property
    def builds(self) -> Builds:
        """Its builds by id; figures are worked out when they are asked for."""
        return Builds(self.archive)


def read(folder: str | Path, progress: Callable[[str], None] | None = None) -> Results:
    """Read the archive in a folder (see `specgen.read`)."""
    if not (Path(folder) / SETTINGS).is_file():
        raise FileNotFoundError(f"{folder} holds no {SETTINGS}")
    return Results(read_archive(folder, progress))
