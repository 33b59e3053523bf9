"""The part of a sheet that tells how it was tested: sessions, their air, their pulls."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.judging.repeats import Repeat, Spread, Verdict
from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet
from specgen.analysis.words import DYNOS, MEASURING_POINTS, run_words
from specgen.analysis.workings import PullSheet, SessionSheet
from specgen.archive.model.session import Dyno
from specgen.physics.correction import STANDARDS
from specgen.publish.sheet.channels import channels_block
from specgen.publish.sheet.record.parts import state_name
from specgen.publish.typesetting.blocks import Note, sentence, withdrawn_block
from specgen.publish.typesetting.dates import day_words
from specgen.publish.typesetting.page import Part
from specgen.publish.typesetting.provenance import Provenance
from specgen.publish.typesetting.rendering import Context, rendered


@dataclass(frozen=True, slots=True)
class PullLine:
    """One pull of a session.

    `id`: its number; `setup`: its setup's title; `notes`: what was written of it, and why it no
    longer counts; `withdrawn`: whether that is so; `cells`: its power in three states, torque and
    boost.
    """

    id: str
    setup: str
    notes: Sequence[str]
    withdrawn: bool
    cells: Sequence[Row]


@dataclass(frozen=True, slots=True)
class RepeatLine:
    """Pulls of one setup that were made again in a session.

    `setup`: its title; `count`: how many pulls; `spreads`: what scatters, by how much, and what
    that says; `drift`: power that goes one way from pull to pull, or nothing.
    """

    setup: str
    count: int
    spreads: Sequence[tuple[str, Spread, str]]
    drift: Row | None


@dataclass(frozen=True, slots=True)
class SessionLine:
    """One session.

    `date`, `title`, `note`: as written; `dyno`, `place`, `dyno_note`: its kind, where it measures
    and what was noted of it; `state`: what its figures already included; `build_state`: the state
    of the build, where parts changed; `barometer`: the kind of its reading; `air`, `pulls`: the
    air and one line a pull; `reasons`: why a figure is absent; `correction`: what correction means
    here beyond what holds for the whole build; `repeats`: pulls that were made again; `withdrawn`:
    that the whole session no longer counts, or nothing; `channels`: what else was logged.
    """

    date: str
    title: str
    dyno: str
    place: str
    dyno_note: str
    state: str
    build_state: str
    barometer: str
    air: Sequence[Row]
    pulls: Sequence[PullLine]
    note: str
    reasons: Sequence[str]
    correction: Sequence[str]
    repeats: Sequence[RepeatLine]
    withdrawn: Markup
    channels: Markup


@dataclass(frozen=True, slots=True)
class Sessions(Context):
    """How it was tested.

    `sessions`: newest first, with air, pulls and repeats; `meanings`: what correction means for
    this build; `figures`: prints and remembers a row.
    """

    template: ClassVar[str] = "sheet/sessions.jinja"
    sessions: Sequence[SessionLine]
    meanings: Sequence[str]
    figures: Provenance


def tests(sheet: Sheet, figures: Provenance) -> Iterator[Part]:
    """Show each session with its air, what its figures already included, and its pulls."""
    if not sheet.sessions:
        words = "Not tested yet. The figures above are estimates; the next pull will judge them."
        yield Part("How it was tested", rendered(Note(words=words)), kind="sg-rest")
        return
    newest_first = sorted(sheet.sessions, key=lambda item: item.session.date.value, reverse=True)
    sessions = [_session(session, sheet) for session in newest_first]
    block = rendered(Sessions(sessions=sessions, meanings=sheet.correction_words, figures=figures))
    yield Part("How it was tested", block, fold=_in_words(newest_first), kind="sg-rest")


def _in_words(newest_first: Sequence[SessionSheet]) -> str:
    """How often it was tested, and when last."""
    pulls = sum(len(session.pulls) for session in newest_first)
    last = day_words(newest_first[0].session.date.value)
    sessions = f"{len(newest_first)} sessions" if len(newest_first) > 1 else "One session"
    of = f", the newest of {last}" if len(newest_first) > 1 else f" of {last}"
    return f"{sessions}{of}; {pulls} pull{'s' if pulls != 1 else ''}"


_AIR = (
    "air_pressure",
    "elevation",
    "station_pressure",
    "air_temperature",
    "humidity",
    "dry_pressure",
    "density_altitude",
    "correction_factor",
)


def _build_state(session: SessionSheet, sheet: Sheet) -> str:
    """The state of the build in which a session was run; nothing where parts never changed."""
    record = sheet.record
    if record is None or len(record.states) < 2:
        return ""
    return state_name(record.state_of(session.session))


def _session(sheet: SessionSheet, whole: Sheet) -> SessionLine:
    session = sheet.session
    barometer = session.air.barometer
    return SessionLine(
        date=day_words(session.date.value),
        title=session.title.value if session.title else "",
        dyno=DYNOS[session.dyno.kind.value],
        place=MEASURING_POINTS[session.dyno.measured_at.value],
        dyno_note=_dyno_note(session.dyno),
        state=_state(sheet),
        build_state=_build_state(sheet, whole),
        barometer=barometer.value if barometer else "",
        air=_air_rows(sheet),
        pulls=_pulls(sheet),
        note=session.note.value if session.note else "",
        reasons=_reasons(sheet),
        correction=[
            words
            for words in whole.correction_words_of(sheet)
            if words not in whole.correction_words
        ],
        repeats=[_repeat(item) for item in whole.repeats if item.session is sheet],
        channels=channels_block(sheet.pulls, day_words(session.date.value)),
        withdrawn=(
            withdrawn_block("This session", session.withdrawn) if session.withdrawn else Markup("")
        ),
    )


def _air_rows(sheet: SessionSheet) -> list[Row]:
    """The rows of a session's air; the station's pressure only if it is not the reading."""
    rows = [sheet.rows[key] for key in _AIR]
    read, station = sheet.rows["air_pressure"], sheet.rows["station_pressure"]
    if station.key == read.key:
        rows.remove(station)
    return [row for row in rows if row.present or row.key != "elevation"]


def _state(sheet: SessionSheet) -> str:
    figures = sheet.session.figures
    if figures.state == "observed":
        return "Figures as observed, nothing corrected by the dyno."
    if figures.state == "unknown" or figures.standard is None:
        return "Whether the dyno had already corrected these figures is not known."
    title = STANDARDS[figures.standard.value].title
    if figures.factor is None:
        return f"The dyno had corrected its figures to {title}; its factor is not recorded."
    return f"The dyno had corrected its figures to {title} with a factor of {figures.factor.text}."


def _dyno_note(dyno: Dyno) -> str:
    """What is known of a dyno beside its kind: its name, its calibration, what it reads more."""
    if dyno.named is None:
        return dyno.note.value if dyno.note else ""
    bench = dyno.named
    notes = [bench.title.value if bench.title else bench.id.value]
    if bench.calibrated:
        notes.append(f"calibrated on {day_words(bench.calibrated.value)}")
    if bench.gain:
        notes.append(f"reads {bench.gain.factor.text} times what {bench.gain.against.value} reads")
    return ", ".join(notes)


_PULL_KEYS = ("reported_power", "observed_power", "corrected_power", "torque", "boost")


def _pulls(sheet: SessionSheet) -> list[PullLine]:
    """One line a pull in the order of the file, those that no longer count among them."""
    by_id = {pull.id: pull for pull in (*sheet.pulls, *sheet.withdrawn)}
    return [_pull(by_id[pull.id]) for pull in sheet.session.pulls]


def _pull(pull: PullSheet) -> PullLine:
    ran = run_words(pull.pull)
    notes = [f"ran with {ran}"] if ran else []
    notes += [pull.pull.note.value] if pull.pull.note else []
    if withdrawn := pull.pull.withdrawn:
        day = day_words(withdrawn.on.value)
        notes.append(f"withdrawn on {day}: {sentence(withdrawn.because.value)}")
    return PullLine(
        id=pull.id,
        setup=pull.setup.title,
        notes=notes,
        withdrawn=pull.pull.withdrawn is not None,
        cells=[pull.rows[key] for key in _PULL_KEYS],
    )


#: What a verdict says, between the scatter and the stated figure.
SAYS: dict[Verdict, str] = {
    "as stated": "which does not contradict the stated repeatability",
    "more than stated": "which is more than the stated repeatability",
    "less than stated": "which is less than the stated repeatability",
}


def _repeat(repeat: Repeat) -> RepeatLine:
    """Pulls that were made again: what each figure scatters by, and what that says."""
    spreads = [item for item in (repeat.power, repeat.boost) if item]
    return RepeatLine(
        setup=repeat.setup.title,
        count=len(repeat.pulls),
        spreads=[(it.figure.capitalize(), it, SAYS[it.verdict]) for it in spreads],
        drift=repeat.drift,
    )


def _reasons(sheet: SessionSheet) -> list[str]:
    """Say once why a figure is absent that a reader of a power table looks for."""
    rows = [pull.rows[key] for pull in sheet.pulls for key in ("observed_power", "corrected_power")]
    absent = dict.fromkeys(f"{row.title}: {row.reason}." for row in rows if not row.present)
    return list(absent)
