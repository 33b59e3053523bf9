"""What stands on a result card: whose result, its figures with margins, and how it was measured."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from specgen.analysis.rows.row import COVERAGE, Row
from specgen.analysis.sheet import Sheet
from specgen.analysis.words import MEASURING_POINTS, fuel_words
from specgen.analysis.workings import PullSheet
from specgen.publish.charts.series import Series
from specgen.publish.share.mark import accents, initials, own_pixels
from specgen.publish.share.picture import ShareFigure
from specgen.publish.share.sharing import share_figure
from specgen.publish.typesetting.dates import day_words
from specgen.units import NARROW_SPACE
from specgen.vocabulary import System

_CURVES = ("power", "torque")
_FIGURES = ("power", "torque", "boost")


class NoCard(ValueError):  # noqa: N818 - named for what it tells
    """There is nothing measured to put on a card; the text says what."""


@dataclass(frozen=True, slots=True)
class Card:
    """One card, ready to be set.

    `letters` and `accent` are the workshop's mark, or its `picture` is; `workshop` is its name;
    `invented` says that the data is. `title` and `line` name the thing, `figures` are its large
    ones, `told` how they were measured, `warning` what keeps a comparison from being like for
    like. Of the curves in `series` the first `shown` are drawn; the rest keep room, so that the
    cards of a ladder share a scale.
    """

    letters: str
    accent: str
    picture: NDArray[np.uint8] | None
    workshop: str
    invented: bool
    title: str
    line: str
    figures: tuple[ShareFigure, ...]
    told: str
    warning: str
    series: tuple[Series, ...]
    shown: int

    @property
    def spoken(self) -> str:
        """The card in a sentence, for whoever cannot see it."""
        told = (f"{it.title} {it.number} {it.margin} {it.unit}".strip() for it in self.figures)
        return " ".join(f"{self.title}: {', '.join(told)}; {self.told}".split(" " * 2))


def pull_of(sheet: Sheet, setup: str = "") -> PullSheet:
    """The best pull of a setup, or of the build; NoCard where there is none."""
    title = sheet.build.title.value
    if not setup:
        if sheet.best is None:
            raise NoCard(f"{title} was not tested yet; a card shows what was measured")
        return sheet.best
    found = {item.id: item for item in sheet.setups}
    if setup not in found:
        raise NoCard(f'{sheet.id} has no setup "{setup}"; there are: {", ".join(found)}')
    best = found[setup].best
    if best is None:
        raise NoCard(f"setup {setup} of {sheet.id} was not tested yet; a card shows what was")
    return best


def single(sheet: Sheet, units: System, setup: str = "") -> Card:
    """A card of one setup: its curves ahead, those of the others quiet."""
    pull = pull_of(sheet, setup)
    others = [it.best for it in sheet.setups if it.best and it.best is not pull]
    quiet = [
        it for other in others if not _unlike(pull, other) for it in _curves(other, quiet=True)
    ]
    figures = tuple(_figures(pull, units, _FIGURES))
    return _card(sheet, figures, [*_curves(pull), *quiet], line=_line(pull), told=_told(pull))


def ladder(sheet: Sheet, units: System) -> Iterator[Card]:
    """A card a tested step, each with the steps before it, all on one scale."""
    pulls = [step.setup.best for step in sheet.ladder if step.setup.best is not None]
    pulls = [pull for pull in pulls if sheet.best and not _unlike(sheet.best, pull)]
    if len(pulls) < 2:
        title = sheet.build.title.value
        raise NoCard(f"{title} has no two setups that were tested alike; a ladder shows them")
    for number, pull in enumerate(pulls):
        before = [it for other in pulls[:number] for it in _curves(other, quiet=True)]
        after = [it for other in pulls[number + 1 :] for it in _curves(other, quiet=True)]
        drawn = [*before, *_curves(pull)]
        figures = tuple(_figures(pull, units, ("power", "boost")))
        last = pulls[number - 1]
        gained = _gain(last, pull, units, f"Gain over {last.setup.title}") if number else ()
        yield _card(sheet, (*figures, *gained), [*drawn, *after], shown=len(drawn),
                    line=_line(pull), told=_told(pull))  # fmt: skip


def against(first: Sheet, second: Sheet, units: System, setups: tuple[str, str] = ("", "")) -> Card:
    """A card of two setups: the curves of both, and what the second makes beyond the first."""
    pulls = (pull_of(first, setups[0]), pull_of(second, setups[1]))
    names = [pull.setup.title if first is second else sheet.build.title.value
             for sheet, pull in zip((first, second), pulls, strict=True)]  # fmt: skip
    series = [
        *(replace(it, label=names[0]) for it in _curves(pulls[0])),
        *(replace(it, label=names[1], group=1, emphasis=False) for it in _curves(pulls[1])),
    ]
    figures = [
        replace(it, title=name)
        for name, pull in zip(names, pulls, strict=True)
        for it in _figures(pull, units, ("power",))
    ]
    unlike = _unlike(*pulls)
    told = "; ".join(f"{name}: {_told(pull)}" for name, pull in zip(names, pulls, strict=True))
    gained = () if unlike else _gain(*pulls, units, f"Against {names[0]}")
    title = " and ".join(names)
    card = _card(first, (*figures, *gained), series, line="", told=told, title=title)
    return replace(card, warning=f"Not like for like: {unlike}." if unlike else "")


def _card(
    sheet: Sheet,
    figures: Sequence[ShareFigure],
    series: Sequence[Series],
    *,
    line: str,
    told: str,
    shown: int | None = None,
    title: str = "",
) -> Card:
    settings = sheet.archive.settings
    return Card(
        letters=initials(settings.name.value),
        accent=accents(settings)[0],
        picture=own_pixels(sheet.archive),
        workshop=settings.name.value,
        invented=bool(settings.invented is not None and settings.invented.value),
        title=title or sheet.build.title.value,
        line=line,
        figures=tuple(figures),
        told=told,
        warning="",
        series=tuple(series),
        shown=len(series) if shown is None else shown,
    )


def _curves(pull: PullSheet, *, quiet: bool = False) -> Iterator[Series]:
    """A pull's power and torque as its sheet leads with them; none where only peaks were kept."""
    rows = pull.rows
    for key in _CURVES:
        row = rows[f"{key}_curve"]
        if row.present and rows["speed_curve"].present:
            corrected = row.state == "corrected"
            yield Series(pull.setup.title, key, rows["speed_curve"].curve, row.curve,
                         emphasis=not quiet, corrected=corrected, quiet=quiet)  # fmt: skip


def _figures(pull: PullSheet, units: System, keys: Sequence[str]) -> Iterator[ShareFigure]:
    for key in keys:
        row = pull.rows[key]
        if row.present:
            yield share_figure(row, units)


def _gain(
    before: PullSheet, after: PullSheet, units: System, title: str
) -> tuple[ShareFigure, ...]:
    """What power differs by, with what that may be off; what both rest on cancels out."""
    first, second = before.rows["power"], after.rows["power"]
    if not (first.present and second.present):
        return ()
    gain = second.scalar - first.scalar
    expanded = COVERAGE * _apart(first, second)
    printed = first.quantity.printed(abs(gain), units, expanded)
    sign = "+" if gain >= 0 else "−"
    margin = f"±{NARROW_SPACE}{printed.margin}" if printed.margin else ""
    share = f"{sign}{abs(gain) / first.scalar:.1%}".replace("%", f"{NARROW_SPACE}%")
    sure = "" if abs(gain) > expanded else ", within what the tests can tell"
    return (ShareFigure(title, sign + printed.number, margin, printed.unit, share + sure),)


def _apart(first: Row, second: Row) -> float:
    """Standard uncertainty of a difference: contributions of one root subtract before squaring."""
    roots = {*first.spread, *second.spread}
    parts = (float(first.spread.get(it, 0.0)) - float(second.spread.get(it, 0.0)) for it in roots)
    return math.sqrt(sum(part * part for part in parts))


def _unlike(first: PullSheet, second: PullSheet) -> str:
    """Why two pulls do not stand beside each other; empty where they do."""
    places = [MEASURING_POINTS[it.session.dyno.measured_at.value] for it in (first, second)]
    if places[0] != places[1]:
        return f"power was measured {places[0]} and {places[1]}"
    airs = [it.rows["power"].standing or "air not recorded" for it in (first, second)]
    return f"figures are {airs[0]} and {airs[1]}" if airs[0] != airs[1] else ""


def _line(pull: PullSheet) -> str:
    return ", ".join([pull.setup.title, fuel_words(pull.setup.setup.fuel)])


def _told(pull: PullSheet) -> str:
    """How it was measured: where, in which air, when."""
    place = MEASURING_POINTS[pull.session.dyno.measured_at.value]
    day = day_words(pull.session.date.value)
    standing = pull.rows["power"].standing
    return ", ".join(filter(None, (f"power {place}", standing, f"tested {day}")))
