"""The ladder of a sheet: one row a setup, what was measured beside what the others say of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.judging.ladder import Step, read_at
from specgen.analysis.judging.reach import Excess, beyond_data, planned_excesses
from specgen.analysis.judging.top_speed import TopFigure, at_top_speed
from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet
from specgen.analysis.words import fuel_words
from specgen.analysis.workings import SetupSheet
from specgen.publish import addresses, drawings
from specgen.publish.sheet.record.parts import setups_by_state
from specgen.publish.typesetting.figures import figure, words_in_both
from specgen.publish.typesetting.page import Part
from specgen.publish.typesetting.provenance import Provenance
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.publish.typesetting.verdicts import excess_words, left_over, verdict


@dataclass(frozen=True, slots=True)
class _Column:
    """One column of figures, measured ones with what was predicted of them beneath."""

    heading: str
    rows: tuple[Row | None, ...]
    predicted: tuple[Row, ...] = ()
    bare: bool = False

    @property
    def shown(self) -> bool:
        """Whether any step has something in it."""
        return any(row is not None and row.present for row in (*self.rows, *self.predicted))

    @property
    def shared(self) -> Row | None:
        """The one figure that all of several steps have; a column of its own would only repeat it.

        Figures with a margin are kept in their rows: each has been measured or predicted alone.
        """
        known = [row for row in self.rows if row is not None and row.present]
        same = len(known) == len(self.rows) > 1 and len({row.scalar for row in known}) == 1
        return known[0] if same and self.bare else None

    def foretold(self, index: int) -> Row | None:
        """What was predicted of a step's figure, if anything was."""
        row = self.predicted[index] if self.predicted else None
        return row if row is not None and row.present else None


@dataclass(frozen=True, slots=True)
class LadderLine:
    """One setup of the ladder.

    `index`: its place in the columns; `planned`: whether it was never run; `title`, `note`: as
    written; `fuel`: in words; `mark`: measured and predicted boost drawn; `left_over`: the
    first less the second; `verdict`: what that says; `within`: that a planned one passes no
    limit; `named`: whether a diagnosis names it; `beyond`: in what it lies beyond what was
    measured; `excesses`: limits that it is predicted to pass.
    """

    index: int
    planned: bool
    title: str
    note: str
    fuel: str
    mark: Markup
    left_over: Markup
    verdict: str
    within: str
    named: bool
    beyond: Sequence[str]
    excesses: Sequence[Markup]


@dataclass(frozen=True, slots=True)
class LadderTable(Context):
    """The ladder of setups.

    `lines`: one a setup; `columns`: their figures; `shared`: figures that all setups have;
    `speeds`: at which boost and power of planned setups are read; `marks`: whether
    there is a prediction to draw; `fuel`: that all have one fuel, and which; `unlike`: what is not
    like for like; `rests_on`: what predictions rest on; `states`: in which state of the build each
    was run; `tops`: the link to all at the highest speed; `figures`: prints and remembers a row.
    """

    template: ClassVar[str] = "sheet/ladder.jinja"
    lines: Sequence[LadderLine]
    columns: Sequence[_Column]
    shared: Sequence[tuple[str, Row | None]]
    speeds: Sequence[tuple[str, Row]]
    marks: bool
    fuel: str
    unlike: Sequence[str]
    rests_on: str
    states: Markup
    tops: Markup
    figures: Provenance


@dataclass(frozen=True, slots=True)
class LadderTops(Context):
    """Each setup at the highest engine speed.

    `setups`: a setup, its figures, those of its closed line, and whether one is estimated;
    `estimated`: what estimates rest on; `speed`: the highest speed; `figures`: prints and
    remembers a row; `excess_words`: that a figure is above its limit, in words.
    """

    template: ClassVar[str] = "sheet/ladder_tops.jinja"
    setups: Sequence[tuple[SetupSheet, tuple[TopFigure, ...], Sequence[Markup], bool]]
    estimated: str
    speed: Row
    figures: Provenance
    excess_words: Callable[[Excess], Markup]


def ladder(sheet: Sheet, figures: Provenance) -> Iterator[Part]:
    """Print the ladder, and the way to each setup's figures at the highest engine speed."""
    steps = sheet.ladder
    if not steps:
        return
    named = {found.setup.id for found in sheet.diagnoses}
    fuels = [fuel_words(step.setup.setup.fuel) for step in steps]
    columns = [column for column in _columns(steps) if column.shown]
    block = rendered(
        LadderTable(
            lines=_lines(sheet, named, fuels),
            columns=[column for column in columns if not column.shared],
            shared=[(column.heading, column.shared) for column in columns if column.shared],
            speeds=_planned_speeds(sheet),
            marks=any(_predicted(step) for step in steps),
            fuel=_one_fuel(steps, fuels),
            unlike=sheet.unlike,
            rests_on=_rests_on(sheet),
            states=setups_by_state(sheet),
            tops=_way_to_tops(sheet, figures),
            figures=figures,
        )
    )
    heading = "The ladder of setups" if len(steps) > 1 else "The setup"
    yield Part(heading, block, searchable=False)


def _one_fuel(steps: Sequence[Step], fuels: Sequence[str]) -> str:
    """That all setups have one fuel, in words; nothing where they have several."""
    if len(set(fuels)) != 1:
        return ""
    word = "fuel" if len(fuels) > 1 else "Fuel"
    recorded = any(step.setup.setup.fuel is not None for step in steps)
    return f"{word} {fuels[0]}" if recorded else f"{word} not recorded"


def _columns(steps: tuple[Step, ...]) -> Iterator[_Column]:
    def of_setup(key: str) -> tuple[Row | None, ...]:
        return tuple(step.setup.rows[key] for step in steps)

    yield _Column("Pulley", of_setup("blower_pulley"), bare=True)
    yield _Column("Ratio", of_setup("pitch_ratio"), bare=True)
    yield _Column(
        "Boost",
        tuple(step.measured_boost for step in steps),
        tuple(step.estimated_boost for step in steps),
    )
    yield _Column(
        "Power observed",
        tuple(step.measured_power for step in steps),
        tuple(step.estimated_power for step in steps),
    )
    yield _Column("Highest blower speed", tuple(step.blower_speed for step in steps), bare=True)


def _lines(sheet: Sheet, named: set[str], fuels: list[str]) -> list[LadderLine]:
    marks = drawings.ladder_marks(sheet.ladder)
    return [
        LadderLine(
            index=index,
            planned=step.setup.planned,
            title=step.setup.title,
            note=step.setup.setup.note.value if step.setup.setup.note else "",
            fuel=fuels[index],
            mark=marks[index],
            left_over=_left_over(step),
            verdict=verdict(step, named=step.setup.id in named),
            named=step.setup.id in named,
            beyond=beyond_data(sheet, step.setup) if _predicted(step) else (),
            within=_within(sheet, step),
            excesses=[
                Markup("{} {}").format(name, _in_words(found))
                for name, found in planned_excesses(sheet, step.setup)
            ],
        )
        for index, step in enumerate(sheet.ladder)
    ]


def _predicted(step: Step) -> bool:
    return step.estimated_boost.present or step.estimated_power.present


def _within(sheet: Sheet, step: Step) -> str:
    """That a planned setup passes none of the limits that are known."""
    judged = step.setup.planned and _predicted(step) and sheet.limits
    passed = judged and planned_excesses(sheet, step.setup)
    return "within the limits that are known" if judged and not passed else ""


def _left_over(step: Step) -> Markup:
    """Measured less predicted boost; nothing where one of them is not there."""
    if step.boost_miss is None:
        return Markup("")
    return words_in_both(lambda system: left_over(step, system))


def _in_words(found: Excess) -> Markup:
    return words_in_both(lambda system: excess_words(found, system))


def _planned_speeds(sheet: Sheet) -> list[tuple[str, Row]]:
    """The speeds at which planned setups are read beside measured ones."""
    if sheet.best is None or not any(setup.planned for setup in sheet.setups):
        return []
    peaks = (("boost", "boost"), ("power", "observed_power"))
    speeds = [(name, read_at(sheet, key)) for name, key in peaks]
    return [(name, row) for name, row in speeds if row.present]


def _rests_on(sheet: Sheet) -> str:
    """Say what the predictions rest on."""
    if not any(_predicted(step) for step in sheet.ladder):
        return ""
    air = (
        "Predictions are for the air of the session in which a setup was tested; for a planned "
        "setup, of the newest session."
        if sheet.sessions
        else "Predictions are for the reference air of ISO 1585."
    )
    if not any(step.others for step in sheet.ladder):
        return f"No other setup was measured, so that predictions rest on defaults. {air}"
    return (
        "Each measured setup is predicted from the pulls of the other setups alone, without its "
        f"own; a planned one from all of them{_left_out(sheet)}. {air}"
    )


def _left_out(sheet: Sheet) -> str:
    """Which setups no prediction rests on, since the others disagree with them."""
    fit = sheet.calibration
    aside = {item.setup for item in fit.set_aside} if fit else set()
    names = [setup.title for setup in sheet.setups if setup.id in aside]
    return f" but {', '.join(names)}, with which the others disagree" if names else ""


_TOPS = "At the highest engine speed"


def _way_to_tops(sheet: Sheet, figures: Provenance) -> Markup:
    """The link to each setup's figures at the highest speed; a sheet has no room for them."""
    if not sheet.engine["max_speed"].present:
        return Markup("")
    href = figures.links.to(addresses.figures(sheet.id), _TOPS.lower().replace(" ", "-"))
    words = "Every setup at the highest engine speed"
    return Markup('<p class="sg-screen"><a href="{}">{}</a></p>').format(href, words)


def top_speeds(sheet: Sheet, figures: Provenance) -> Iterator[Part]:
    """Print each setup's figures at the highest engine speed, opened one by one."""
    if block := _tops(sheet, figures):
        yield Part(_TOPS, block, searchable=False)


def _tops(sheet: Sheet, figures: Provenance) -> Markup:
    count = len(sheet.calibration.pulls) if sheet.calibration else 0
    pulls = "all pulls" if count > 1 else "its pull"
    setups = [(setup, at_top_speed(sheet, setup)) for setup in sheet.setups]
    speed = sheet.engine["max_speed"]
    if not speed.present:
        return Markup("")
    return rendered(
        LadderTops(
            setups=[
                (
                    setup,
                    found,
                    _first_two(found, planned=setup.planned),
                    any(item.estimated.present for item in found),
                )
                for setup, found in setups
                if found
            ],
            estimated=f"Estimated from {pulls}" if count else "Estimated from defaults",
            speed=speed,
            figures=figures,
            excess_words=_in_words,
        )
    )


def _first_two(found: tuple[TopFigure, ...], *, planned: bool) -> list[Markup]:
    """What a closed line shows: boost and power, as measured, else as estimated."""
    words = []
    for item in found:
        if item.title in ("Boost", "Power, observed"):
            measured = item.measured is not None and item.measured.present
            shown = figure(item.measured if measured else item.estimated)
            words.append(shown if measured or planned else shown + " estimated")
    return words
