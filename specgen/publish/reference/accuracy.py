"""The accuracy page: how well predictions met measurements, over a whole archive."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.accuracy import Accuracy, Miss, Summary, misses_of
from specgen.analysis.accuracy_groups import FIGURES, Group, Judged, Marks
from specgen.analysis.sheet import Sheet
from specgen.archive.model.build import Archive
from specgen.publish import addresses, drawings
from specgen.publish.addresses import Links
from specgen.publish.charts.misses import percent
from specgen.publish.typesetting.figures import figure, words_in_both
from specgen.publish.typesetting.page import Part, fixed_page
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.publish.typesetting.verdicts import MISFIT, verdict
from specgen.rounding import rounded
from specgen.vocabulary import System, quantity

#: Where on a sheet a setup's ladder stands: of several setups, or of one.
_LADDERS = ("the-ladder-of-setups", "the-setup")
_MISFITS = "what-disagrees-with-the-others"


@dataclass(frozen=True, slots=True)
class SumLine:
    """The sums of one figure.

    `title`, `of`: the figure, and what percentages are of; `count`: how many setups; `median`,
    `most`: the miss that half, and nine of ten, stay under; `inside`, `expected`: how many lie in
    their band, and how many should.
    """

    title: str
    of: str
    count: int
    median: str
    most: str
    inside: int
    expected: str


@dataclass(frozen=True, slots=True)
class MissLine:
    """One measured setup beside what the others said of it.

    `build`, `href`, `setup`: which; `others`: how many setups spoke; `boost`, `boost_predicted`,
    `boost_miss`, `boost_key`: the figure, what was said of it, the miss, and what it is sorted by;
    `power`, `power_predicted`, `power_miss`, `power_key`: likewise; `verdict`: in words; `misfit`:
    the link to what disagrees with the others, or nothing.
    """

    build: str
    href: Markup
    setup: str
    others: int
    boost: Markup
    boost_predicted: Markup
    boost_miss: str
    boost_key: float | str
    power: Markup
    power_predicted: Markup
    power_miss: str
    power_key: float | str
    verdict: str
    misfit: Markup


@dataclass(frozen=True, slots=True)
class AccuracyLead(Context):
    """The sums of an archive's predictions.

    `sentences`: the sums of each figure; `named`: how many setups a diagnosis names; `alone`: how
    many had no other to be predicted from; `invented`: whether the data is; `chart`: all misses
    in one picture.
    """

    template: ClassVar[str] = "reference/accuracy_lead.jinja"
    sentences: Sequence[SumLine]
    named: int
    alone: int
    invented: bool
    chart: drawings.Drawing | None


@dataclass(frozen=True, slots=True)
class AccuracyMeaning(Context):
    """What the sums mean.

    `method`: the link to how figures are made; `validation`: that to published figures.
    """

    template: ClassVar[str] = "reference/accuracy_meaning.jinja"
    method: str
    validation: str


@dataclass(frozen=True, slots=True)
class AccuracyTable(Context):
    """Every setup behind the sums.

    `lines`: one a setup.
    """

    template: ClassVar[str] = "reference/accuracy_table.jinja"
    lines: Sequence[MissLine]


@dataclass(frozen=True, slots=True)
class KindCell:
    """One figure of a kind of build: `bias`, its mean miss; `worth`, that against its band."""

    bias: Markup | str
    worth: str


@dataclass(frozen=True, slots=True)
class KindLine:
    """One kind of build: `kind`, its name; `count`, how many setups; `cells`, one a figure."""

    kind: str
    count: int
    cells: Sequence[KindCell]


@dataclass(frozen=True, slots=True)
class AccuracyGroups(Context):
    """Misses by kind of build.

    `lines`: one a kind.
    """

    template: ClassVar[str] = "reference/accuracy_groups.jinja"
    lines: Sequence[KindLine]


def _kinds(found: Iterable[Group]) -> Iterator[KindLine]:
    """The kinds of build, one a line."""
    for group in found:
        marks = dict(group.marks)
        cells = [_kind_cell(figure, marks.get(figure)) for figure in FIGURES]
        yield KindLine(f"{group.trait}: {group.name}", group.count, cells)


def _kind_cell(figure: str, marks: Marks | None) -> KindCell:
    if marks is None:
        return KindCell("–", "–")
    worth, bias = f"{marks.rms_z:.1f}", marks.bias
    if figure != "temperature":
        return KindCell(percent(bias, signed=True), worth)
    kind = quantity("temperature_uncertainty")
    return KindCell(words_in_both(lambda system: kind.text(bias, system)), worth)


@dataclass(frozen=True, slots=True)
class Compared:
    """One measured setup as this page needs it, without the sheet that it comes from.

    `label`, `boost`, `power`, `agrees`, `power_agrees`, `named`, `judged` as in
    `analysis.accuracy.Missed`; `line` is its line of the table.
    """

    label: str
    boost: float | None
    power: float | None
    agrees: bool
    power_agrees: bool
    named: bool
    judged: Judged
    line: MissLine


def compared(sheet: Sheet, folders: bool) -> tuple[Compared, ...]:
    """The setups of a build that were measured and predicted from others."""
    links = Links(addresses.ACCURACY, folders)
    return tuple(
        Compared(
            miss.label, miss.boost, miss.power, miss.agrees, miss.power_agrees, miss.named,
            miss.judged, _line(miss, links),
        )
        for miss in misses_of(sheet)
    )  # fmt: skip


def accuracy_page(
    archive: Archive, accuracy: Accuracy[Compared], units: System, folders: bool
) -> str:
    """Print the sums in words, their chart, what they mean, and every setup behind them."""
    links = Links(addresses.ACCURACY, folders)
    invented = archive.settings.invented
    lead = rendered(
        AccuracyLead(
            sentences=list(_sentences(accuracy)),
            named=len(accuracy.named),
            alone=accuracy.alone,
            invented=bool(invented and invented.value),
            chart=drawings.misses(accuracy),
        )
    )
    parts = [Part("", lead)]
    if accuracy.misses:
        meaning = rendered(
            AccuracyMeaning(
                method=links.to(addresses.METHOD),
                validation=links.to(addresses.VALIDATION),
            )
        )
        lines = [miss.line for miss in accuracy.misses]
        table = rendered(AccuracyTable(lines=lines))
        kinds = rendered(AccuracyGroups(lines=list(_kinds(accuracy.groups))))
        parts += [
            Part("By kind of build", kinds, searchable=False),
            Part("What it means", meaning),
            Part("Every setup", table, searchable=False),
        ]
    description = "How well predictions met measurements, setup by setup."
    return fixed_page(links, description, parts, units, hide=("navigation",))


def _sentences(accuracy: Accuracy[Compared]) -> Iterator[SumLine]:
    """The sums of each figure."""
    found = (("Boost", "the absolute manifold pressure", accuracy.boost),
             ("Power", "the measured power", accuracy.power))  # fmt: skip
    for title, of, summary in found:
        if summary is not None:
            yield SumLine(
                title=title,
                of=of,
                count=summary.count,
                median=percent(summary.median),
                most=percent(summary.ninetieth),
                inside=summary.inside_count,
                expected=_expected(summary),
            )


def _expected(summary: Summary) -> str:
    low, high = summary.expected_inside
    return str(low) if low == high else f"{low} to {high}"


def _line(miss: Miss, links: Links) -> MissLine:
    """One measured setup: what was measured, what the others said of it, and the miss."""
    step, sheet = miss.step, miss.sheet
    place = addresses.build(sheet.id)
    words = verdict(step, named=miss.named)
    return MissLine(
        build=sheet.build.title.value,
        href=links.to(place, _LADDERS[len(sheet.ladder) == 1]),
        setup=step.setup.title,
        others=step.others,
        boost=figure(step.measured_boost, bare=True),
        boost_predicted=figure(step.estimated_boost if miss.boost is not None else None),
        boost_miss="" if miss.boost is None else percent(miss.boost, signed=True),
        boost_key="" if miss.boost is None else rounded(abs(miss.boost)),
        power=figure(step.measured_power, bare=True),
        power_predicted=figure(step.estimated_power if miss.power is not None else None),
        power_miss="" if miss.power is None else percent(miss.power, signed=True),
        power_key="" if miss.power is None else rounded(abs(miss.power)),
        verdict=words,
        misfit=links.to(place, _MISFITS) if words == MISFIT else Markup(""),
    )
