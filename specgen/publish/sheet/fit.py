"""The parts of a sheet that judge its model: what disagrees, and what was fitted to what."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.fit.unknowns import FittedUnknown, fitted_unknowns
from specgen.analysis.judging.causes import Cause, Weighs
from specgen.analysis.judging.diagnosis import Diagnosis
from specgen.analysis.judging.misfit import misfit_of
from specgen.analysis.sheet import Sheet
from specgen.analysis.workings import FIT
from specgen.publish import addresses, drawings
from specgen.publish.typesetting.figures import value_figure
from specgen.publish.typesetting.page import Part
from specgen.publish.typesetting.provenance import Provenance
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.units import NARROW_SPACE
from specgen.vocabulary import System

#: What the figures of a diagnosis are called in a sentence.
FIGURES = {
    "boost": "boost",
    "power": "power",
    "charge_temperature": "charge temperature",
    "inlet_pressure": "pressure before the blower",
}
#: What a piece of evidence does, before its words.
_WEIGHS: dict[Weighs, str] = {
    "for": "For it",
    "against": "Against it",
    "unknown": "Not known",
}
#: An unknown whose uncertainty is still this share of what it was has hardly been touched.
_HARDLY = 0.9


@dataclass(frozen=True, slots=True)
class UnknownLine:
    """One unknown of the model.

    `title`: what it is; `before`: what it was taken for; `basis`: whether that was written or
    assumed; `after`: what the fit made of it; `narrowed`: what is left of its uncertainty;
    `pinned`: whether measurements hold it.
    """

    title: str
    before: Markup
    basis: str
    after: Markup
    narrowed: str
    pinned: bool


@dataclass(frozen=True, slots=True)
class Fitted(Context):
    """What was fitted.

    `count`: how many unknowns there are; `pinned`: those that measurements hold; `touched`: those
    that measurements moved, before and after; `rest`: all others; `pulls`: the pulls that spoke;
    `setups`: their setups; `aside`: setups set aside; `misfits`: the link to where a
    diagnosis names them, or nothing.
    """

    template: ClassVar[str] = "sheet/fitted.jinja"
    count: int
    pinned: Sequence[str]
    touched: Sequence[UnknownLine]
    rest: Sequence[UnknownLine]
    pulls: Sequence[str]
    setups: Sequence[str]
    aside: Sequence[str]
    misfits: str


@dataclass(frozen=True, slots=True)
class CauseLine:
    """What could explain a misfit.

    `title`: the cause; `evidence`: a word for what each piece does to it, and the piece.
    """

    title: str
    evidence: Sequence[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class MisfitLine:
    """A pull that the rest of the build does not explain.

    `setup`, `pull`: which; `figure`: what misses; `pattern`: how it misses, in words; `size`: by
    how many of its margins; `speed`: where it misses most; `measured`, `predicted`, `at`: the two
    figures there and the speed they stand at; `chart`: both curves; `causes`: what could explain
    it, likeliest first.
    """

    setup: str
    pull: str
    figure: str
    pattern: str
    size: str
    speed: Markup
    measured: Markup | str
    predicted: Markup | str
    at: Markup | str
    chart: drawings.Drawing | None
    causes: Sequence[CauseLine]


@dataclass(frozen=True, slots=True)
class Misfits(Context):
    """What disagrees with the others.

    `lines`: each pull that a diagnosis names, with what could explain it.
    """

    template: ClassVar[str] = "sheet/misfits.jinja"
    lines: Sequence[MisfitLine]


def misfits(sheet: Sheet, figures: Provenance, units: System) -> Iterator[Part]:
    """Name each pull that the rest of the build does not explain, and what could explain it."""
    if not sheet.diagnoses:
        return
    lines = [
        _misfit(found, figures, units, f"misfit-{index}")
        for index, found in enumerate(sheet.diagnoses, 1)
    ]
    yield Part("What disagrees with the others", rendered(Misfits(lines=lines)))


def _misfit(found: Diagnosis, figures: Provenance, units: System, name: str) -> MisfitLine:
    curves = misfit_of(found)
    return MisfitLine(
        setup=found.setup.title,
        pull=found.pull,
        figure=FIGURES[found.figure],
        pattern=found.pattern.words,
        size=f"{found.size:.1f}",
        speed=value_figure("engine_speed", found.speed),
        measured=figures.show(curves.measured_worst) if curves else "",
        predicted=figures.show(curves.predicted_worst) if curves else "",
        at=figures.show(curves.measured_worst.at, bare=True) if curves else "",
        chart=drawings.misfit(curves, name, units) if curves else None,
        causes=[_cause(cause) for cause in found.causes],
    )


def _cause(cause: Cause) -> CauseLine:
    """A cause with each piece of evidence behind the word for what it does."""
    lines = [(_WEIGHS[item.weighs], item.words) for item in cause.evidence]
    return CauseLine(title=cause.title, evidence=lines)


def fitted(sheet: Sheet, figures: Provenance) -> Iterator[Part]:
    """Show the model's unknowns before and after the fit to the build's own pulls."""
    fit = sheet.calibration
    if fit is None or not fit.pulls:
        return
    unknowns = fitted_unknowns(fit, FIT)
    touched = [item for item in unknowns if item.pinned or item.narrowed < _HARDLY]
    titles = {setup.id: setup.title for setup in sheet.setups}
    aside = dict.fromkeys(titles[trace.setup] for trace in fit.set_aside)
    block = rendered(
        Fitted(
            count=len(unknowns),
            pinned=[_within(item.after.title) for item in unknowns if item.pinned],
            touched=[_line(item, figures) for item in touched],
            rest=[_line(item, figures) for item in unknowns if item not in touched],
            pulls=fit.pulls,
            setups=[titles[name] for name in fit.setups],
            aside=list(aside),
            misfits=_misfits(sheet, figures),
        )
    )
    yield Part("What was fitted", block, searchable=False)


def _misfits(sheet: Sheet, figures: Provenance) -> str:
    """The link to what disagrees with the others, if anything does."""
    address = addresses.build(sheet.id)
    return figures.links.to(address, "what-disagrees-with-the-others") if sheet.diagnoses else ""


def _line(item: FittedUnknown, figures: Provenance) -> UnknownLine:
    return UnknownLine(
        title=item.after.title,
        before=figures.show(item.before),
        basis="written" if item.before.basis == "stated" else "assumed",
        after=figures.show(item.after),
        narrowed=f"{item.narrowed * 100:.0f}{NARROW_SPACE}%",
        pinned=item.pinned,
    )


def _within(title: str) -> str:
    """A title as it stands inside a sentence."""
    return f"{title[:1].lower()}{title[1:]}"
