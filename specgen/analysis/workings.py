"""A build's workings: its scopes of rows, the pulls it was tested with, the fit they rest on.

What the parts are stands here; `assembly` puts them together, `judging` judges them, and a `Sheet`
hands out the judgements.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from specgen.analysis.fit.calibration import Calibration
from specgen.analysis.rows.scope import Scope
from specgen.archive.model.build import Archive, Blower, Build, Pull, Session, Setup

#: Scope of the rows fitted to all pulls of a build.
FIT = "fit"
#: What a page calls them.
FITTED = "Fitted to all pulls"


def fit_without(setup: str) -> str:
    """Scope of the rows fitted to all pulls but a setup's own, by the setup's id."""
    return f"{FIT} without {setup}"


@dataclass(frozen=True, eq=False)
class SetupSheet:
    """One combination with its rows and the pulls made with it.

    `rows` rest on everything that was measured on the build; `held_out` rest on the other setups
    alone (on the priors where there is no other), so that a setup's own pulls can be set against
    what would have been predicted without them. `held_out` is evaluated only where the measured
    peaks lie, which is all that the ladder reads; `over_speed` is the same over the whole range.
    """

    setup: Setup
    rows: Scope
    held_out: Scope
    over_speed: Scope
    session: Session | None
    pulls: list[PullSheet] = field(default_factory=list)

    @property
    def id(self) -> str:
        """The setup's id, unique in its build."""
        return self.setup.id.value

    @property
    def title(self) -> str:
        """What a page calls it."""
        return self.setup.title.value if self.setup.title else self.id

    @property
    def planned(self) -> bool:
        """Whether no pull was made with it yet."""
        return not self.pulls

    @property
    def best(self) -> PullSheet | None:
        """The pull with the highest power, as a page leads with it."""
        return best_of(self.pulls)


@dataclass(frozen=True, eq=False)
class SessionSheet:
    """One visit to a dyno with its rows and its pulls.

    `readings` are the rows of each pull by its id: what was measured needs no setup's estimate,
    so that the fit reads them before there is one. Pulls that were `withdrawn` are shown, and
    nothing rests on them.
    """

    session: Session
    rows: Scope
    readings: Mapping[str, Scope]
    pulls: list[PullSheet] = field(default_factory=list)
    withdrawn: list[PullSheet] = field(default_factory=list)


@dataclass(frozen=True, eq=False)
class PullSheet:
    """One sweep with its rows."""

    pull: Pull
    session: Session
    setup: SetupSheet
    rows: Scope

    @property
    def id(self) -> str:
        """The pull's id, unique in its build."""
        return self.pull.id


@dataclass(frozen=True, eq=False)
class Workings:
    """All that one build's figures are worked out with, before anything is judged.

    `unfitted` says why nothing could be fitted to its pulls although there are some: its figures
    contradict each other, and what would be estimated from them is absent.
    """

    build: Build
    blower: Blower | None
    archive: Archive
    engine: Scope
    setups: tuple[SetupSheet, ...]
    sessions: tuple[SessionSheet, ...]
    calibration: Calibration | None
    unfitted: str = ""

    @property
    def id(self) -> str:
        """The build's permanent id."""
        return self.build.id

    @cached_property
    def pulls(self) -> tuple[PullSheet, ...]:
        """All pulls that count, in the order of the file."""
        return tuple(pull for session in self.sessions for pull in session.pulls)

    @cached_property
    def withdrawn(self) -> tuple[PullSheet, ...]:
        """All pulls that no longer count, in the order of the file."""
        return tuple(pull for session in self.sessions for pull in session.withdrawn)

    @cached_property
    def best(self) -> PullSheet | None:
        """The pull that the sheet leads with: the highest power of the build."""
        return best_of(self.pulls)

    @property
    def lead(self) -> SetupSheet | None:
        """The setup that the sheet leads with: that of the best pull, else the first."""
        return self.best.setup if self.best else next(iter(self.setups), None)


def best_of(pulls: list[PullSheet] | tuple[PullSheet, ...]) -> PullSheet | None:
    """The pull with the highest power; one without power only if there is no other."""
    powered = [pull for pull in pulls if pull.rows["power"].present]
    if powered:
        return max(powered, key=lambda pull: pull.rows["power"].scalar)
    return next(iter(pulls), None)
