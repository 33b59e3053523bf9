"""`specgen import`: a dyno's exports into a build."""

from __future__ import annotations

import datetime
import sys
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import click

from specgen.cli.options import Examples, archive_option, kept

if TYPE_CHECKING:
    from specgen.archive.importing.answers import Answers
    from specgen.archive.importing.plan import Intake, Visit
    from specgen.archive.importing.understanding import Understood
    from specgen.archive.model.session import Bench

_FILES = click.Path(exists=True, dir_okay=False, path_type=Path)
#: Bytes of a log; an hour of twenty channels at ten readings a second is a tenth of it.
_LARGEST = 50_000_000
KINDS = ("engine", "hub", "roller")
POINTS = ("flywheel", "hub", "roller")
STANDARDS = ("iso-1585", "sae-j1349", "sae-j607", "din-70020")
NOT_RECORDED = "not recorded"


@click.command(
    "import",
    cls=Examples,
    examples=(
        "specgen import run-07.csv --build harbour-tug --setup p96",
        "specgen import exports/*.csv --build harbour-tug --dyno hall-2 --yes",
        'specgen import log.txt --build tug --column "P1=power [kW]" --column "Aux=skip"',
        "specgen import --undo",
    ),
)
@click.argument("files", nargs=-1, type=_FILES)
@click.option("--build", "build_id", default="", help="The id of the build.")
@click.option("--setup", default="", help="The id of the setup, where the files do not tell it.")
@click.option(
    "--date", type=click.DateTime(["%Y-%m-%d"]), help="The day, where the files do not tell it."
)
@click.option(
    "--dyno", default="",
    help="The id of a dyno of archive.yaml, or a new one that is noted there with what is told.",
)  # fmt: skip
@click.option("--kind", type=click.Choice(KINDS), help="Kind of the dyno.")
@click.option("--measured-at", type=click.Choice(POINTS), help="Where power was measured.")
@click.option(
    "--figures", type=click.Choice(["observed", "unknown", *STANDARDS]),
    help="What the figures already include.",
)  # fmt: skip
@click.option("--factor", type=float, help="The factor the dyno multiplied by.")
@click.option(
    "--barometer", type=click.Choice(["station", "sea-level"]),
    help="Whether the files' air pressure is that of the place.",
)  # fmt: skip
@click.option("--boost", type=click.Choice(["gauge", "absolute"]), help="What a pressure is.")
@click.option("--decimal", type=click.Choice([".", ","]), help="The mark before decimals.")
@click.option(
    "--column", "columns", multiple=True, metavar='"HEAD=NAME [UNIT]"',
    help='What a column is, or "HEAD=skip"; may be given again.',
)  # fmt: skip
@click.option("--again", is_flag=True, help="Take a file in that was taken in before.")
@click.option("--dry-run", is_flag=True, help="Show what would change, and write nothing.")
@click.option("--yes", is_flag=True, help="Write without asking; what nobody tells is left open.")
@click.option("--undo", is_flag=True, help="Take the last import back.")
@archive_option
def importing(files: tuple[Path, ...], undo: bool, archive: Path, **told: object) -> None:
    """Take a dyno's exports into a build: curve files, the originals, and the pulls in build.yaml.

    Any text with delimiters will do. What was understood is shown before anything is written; what
    a file leaves open is asked on a terminal, or told by an option or by a dyno of archive.yaml.
    Nothing is guessed: what nobody tells is left out, or written as not recorded.
    """
    from specgen.archive.importing.understanding import CannotImport
    from specgen.archive.importing.writing import undone

    try:
        if undo:
            for file in undone(kept(archive)):
                click.echo(f"taken back: {file}")
            return
        _Import(kept(archive), told).run(files)
    except CannotImport as problem:
        raise click.UsageError(str(problem)) from problem


def _log(file: Path) -> bytes:
    """Read a file that is taken in: a plain one, no larger than logs are."""
    from specgen.archive.reading import door

    try:
        return door.read_plain(file, _LARGEST)
    except door.Refused as problem:
        raise click.UsageError(problem.of(file)) from problem


def _terminal() -> bool:
    """Whether somebody sits there who can be asked."""
    return sys.stdin.isatty()


@dataclass
class _Import:
    """One call of the command, with what its options tell."""

    archive: Path
    told: dict[str, Any]

    def __post_init__(self) -> None:
        from specgen.archive.importing.benches import benches_of

        self.benches = benches_of(self.archive)
        self.build = self._build(str(self.told["build_id"]))
        self.asks = _terminal() and not self.told["yes"] and not self.told["dry_run"]
        self.learnt: dict[str, Answers] = {}

    def run(self, files: tuple[Path, ...]) -> None:
        """Understand all files, then write all that is to be written, or nothing."""
        from specgen.archive.importing.benches import learned
        from specgen.archive.importing.plan import planned
        from specgen.archive.importing.telling import difference
        from specgen.archive.importing.writing import written

        if not files:
            raise click.UsageError("name a file: specgen import FILE --build ID --setup ID")
        intakes = [self._intake(file) for file in files]
        changes = planned(self.build, intakes)
        for dyno, answers in self.learnt.items():
            changes += learned(self.archive, dyno, answers, self._described(), self.benches)
        if self.told["dry_run"]:
            click.echo(difference(changes, self.archive))
            return
        pulls = sum(len(item.understood.pulls) for item in intakes)
        words = f"{pulls} pull{'s' * (pulls != 1)} into {self.build.name}"
        if not self.told["yes"]:
            if not self.asks:
                raise click.UsageError(
                    f"{words}: nothing is written without a terminal to ask on; add --yes"
                )
            click.confirm(f"Write {words}?", default=True, abort=True)
        written(self.archive, changes)
        click.echo(f"{words}.\nNext: specgen check")

    def _build(self, name: str) -> Path:
        there = sorted(file.parent.name for file in self.archive.glob("*/build.yaml"))
        if name in there:
            return self.archive / name
        hint = f"add --build {there[0]}, say" if there else "make one: specgen new build ID --help"
        listed = ", ".join(there) or "none"
        raise click.UsageError(f'there is no build "{name}"; there are: {listed}; {hint}')

    def _intake(self, file: Path) -> Intake:
        """Understand one file and ask for what it leaves open."""
        from specgen.archive.importing.plan import Intake, taken_before
        from specgen.archive.importing.telling import told as told_of
        from specgen.archive.importing.understanding import understood

        data = _log(file)
        before = taken_before(self.archive, data)
        if before and not self.told["again"]:
            words = f"{file} was taken in before, as {before}"
            raise click.UsageError(f"{words}; add --again to do so again")
        answers = self._answers()
        found = understood(data, file.name, answers)
        bench = self._bench(found)
        if bench is not None:
            found = understood(data, file.name, answers.over(bench))
        while self.asks and found.questions:
            answers = self._asked(found, answers)
            found = understood(data, file.name, answers.over(bench) if bench else answers)
        click.echo(told_of(found))
        for item in found.questions:
            click.echo(f"  open: {item.words}; add {item.flag}")
        if found.blocked:
            first = next(item for item in found.questions if item.needed)
            raise click.UsageError(f"{file}: not clear: {first.words}; add {first.flag}")
        visit = self._visit(found, bench, answers.over(bench) if bench else answers)
        self._learn(found, bench, answers)
        return Intake(found, self._setup(found), visit)

    def _answers(self) -> Answers:
        from specgen.archive.importing.answers import Answers

        pairs = [str(item).rpartition("=") for item in cast(tuple[str, ...], self.told["columns"])]
        day = cast(datetime.datetime | None, self.told["date"])
        return Answers(
            columns={head.strip(): meant.strip() for head, _, meant in pairs},
            boost=self.told["boost"] or "",
            decimal=self.told["decimal"] or "",
            date=day.date() if day else None,
            barometer=self.told["barometer"] or "",
        )

    def _asked(self, found: Understood, answers: Answers) -> Answers:
        """Ask the first question that a file leaves open; a column may be left out."""
        from specgen.archive.importing.answers import SKIP

        item = found.questions[0]
        if item.about == "column":
            text = click.prompt(f"{found.name}: {item.words} (HEAD=NAME [UNIT])")
            return item.with_answer(answers, str(text))
        choices = (*item.choices, *((SKIP,) if item.heads and not item.needed else ()))
        text = click.prompt(f"{found.name}: {item.words}", type=click.Choice(choices))
        if text == SKIP:
            skipped = dict.fromkeys(item.heads, SKIP)
            return replace(answers, columns={**answers.columns, **skipped})
        return item.with_answer(answers, str(text))

    def _bench(self, found: Understood) -> Bench | None:
        """Give the dyno of the settings that is told, or that the file is of."""
        from specgen.archive.importing.benches import bench_of

        name = str(self.told["dyno"])
        if name:
            return next((item for item in self.benches if item.id.value == name), None)
        bench = bench_of(found, self.benches)
        if bench is not None:
            click.echo(f"{found.name}: of the dyno {bench.id.value}, described in archive.yaml")
        return bench

    def _described(self) -> dict[str, Any]:
        figures, factor = self.told["figures"], self.told["factor"]
        if figures in STANDARDS:
            figures = {"corrected": figures, **({"factor": factor} if factor else {})}
        return {
            "kind": self.told["kind"] or NOT_RECORDED,
            "measured_at": self.told["measured_at"] or NOT_RECORDED,
            **({"figures": figures} if figures else {}),
        }

    def _learn(self, found: Understood, bench: Bench | None, answers: Answers) -> None:
        """Note what was told of a dyno's logs, so that its next file needs no question."""
        name = bench.id.value if bench else str(self.told["dyno"])
        if name:
            order: Any = found.facts.order or answers.date_order
            self.learnt[name] = replace(answers, date_order=order)

    def _setup(self, found: Understood) -> str:
        from specgen.archive.importing.plan import setup_told, setups_of

        setups = setups_of(self.build)
        name = str(self.told["setup"]) or setup_told(found, setups)
        if not name and len(setups) == 1:
            name = setups[0]
        if not name and setups and self.asks:
            name = click.prompt(f"{found.name}: which setup", type=click.Choice(setups))
        if name in setups:
            click.echo(f"  setup {name}")
            return name
        there = ", ".join(setups) or "none; write it under setups first"
        about = f'no setup "{name}"' if name else f"which setup {found.name} belongs to"
        raise click.UsageError(f"{about}; add --setup ID; {self.build.name} has: {there}")

    def _visit(self, found: Understood, bench: Bench | None, answers: Answers) -> Visit:
        """Tell day, dyno, figures and air; what nobody tells is not recorded."""
        from specgen.archive.importing.plan import Visit

        air = {key: fact.text for key, fact in found.facts.air.items()}
        if "pressure" in air and answers.barometer:
            air["barometer"] = answers.barometer
        name = bench.id.value if bench else str(self.told["dyno"])
        dyno: Any = name or {
            "kind": self._told_or_asked("kind", "kind of the dyno", KINDS),
            "measured_at": self._told_or_asked("measured_at", "power measured at", POINTS),
        }
        return Visit(self._day(found), dyno, self._figures(found, bench), cast(Any, air))

    def _day(self, found: Understood) -> datetime.date | None:
        from specgen.archive.importing.understanding import day_of_name

        days = found.facts.dates or tuple(filter(None, [day_of_name(found.name)]))
        if len(days) == 1:
            return days[0]
        ways = [day.isoformat() for day in days]
        if self.asks and ways:
            choices = click.Choice([*ways, NOT_RECORDED])
            text = click.prompt(f"{found.name}: the day", type=choices)
            return None if text == NOT_RECORDED else datetime.date.fromisoformat(text)
        if self.asks:
            typed: Any = click.prompt(f"{found.name}: the day", type=click.DateTime(["%Y-%m-%d"]))
            return cast(datetime.datetime, typed).date()
        about = (
            f'"{found.facts.date_text}" may be {" or ".join(ways)}' if ways else "no day is told"
        )
        click.echo(f"  not recorded: {about}; add --date with the day")
        return None

    def _told_or_asked(self, key: str, words: str, choices: tuple[str, ...]) -> str:
        told = self.told[key]
        if not told and self.asks:
            told = self.told[key] = click.prompt(words, type=click.Choice([*choices, NOT_RECORDED]))
        if not told:
            click.echo(f"  not recorded: {words}; add --{key.replace('_', '-')}")
        return str(told or NOT_RECORDED)

    def _figures(self, found: Understood, bench: Bench | None) -> Any:
        """Give a session's figures; None where the dyno's own words serve."""
        told, read = self.told["figures"], found.facts.standard
        if not told and read is None and bench is not None and bench.figures is not None:
            return None
        standard = told or (read.text if read else "")
        if not standard and self.asks:
            choices = click.Choice(["observed", "unknown", *STANDARDS])
            standard = self.told["figures"] = click.prompt("the figures include", type=choices)
        if not standard:
            click.echo("  not recorded: what the figures already include; add --figures")
            return NOT_RECORDED
        if standard in ("observed", "unknown"):
            return standard
        factor = self.told["factor"]
        if not factor and found.facts.factor:
            factor = float(found.facts.factor.text)
        return {"corrected": standard, **({"factor": factor} if factor else {})}
