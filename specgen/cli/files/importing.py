"""`specgen import`: a dyno's exports into a build."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from specgen.cli.options import Examples, archive_option, kept

if TYPE_CHECKING:
    from specgen.archive.importing.answers import Answers
    from specgen.archive.importing.plan import Intake, Visit
    from specgen.archive.importing.understanding import Understood

_FILES = click.Path(exists=True, dir_okay=False, path_type=Path)
POINTS = ("flywheel", "hub", "roller")
STANDARDS = ("iso-1585", "sae-j1349", "sae-j607", "din-70020")


@click.command(
    "import",
    cls=Examples,
    examples=(
        "specgen import run-07.csv --build harbour-tug --setup p96",
        "specgen import exports/*.csv --build harbour-tug --date 2026-05-14 --yes",
        "specgen import --undo",
    ),
)
@click.argument("files", nargs=-1, type=_FILES)
@click.option("--build", "build_id", default="", help="The id of the build.")
@click.option("--setup", default="", help="The id of the setup, where the files do not tell it.")
@click.option(
    "--date", type=click.DateTime(["%Y-%m-%d"]), help="The day, where the files do not tell it."
)
@click.option("--kind", type=click.Choice(["engine", "hub", "roller"]), help="Kind of the dyno.")
@click.option("--measured-at", type=click.Choice(POINTS), help="Where power was measured.")
@click.option(
    "--figures", type=click.Choice(["observed", "unknown", *STANDARDS]),
    help="What the figures already include.",
)  # fmt: skip
@click.option("--factor", type=float, help="The factor the dyno multiplied by.")
@click.option("--boost", type=click.Choice(["gauge", "absolute"]), help="What a pressure is.")
@click.option("--decimal", type=click.Choice([".", ","]), help="The mark before decimals.")
@click.option(
    "--column", "columns", multiple=True, metavar='"HEAD=NAME [UNIT]"',
    help='What a column is, or "HEAD=skip"; may be given again.',
)  # fmt: skip
@click.option("--again", is_flag=True, help="Take a file in that was taken in before.")
@click.option("--dry-run", is_flag=True, help="Show what would change, and write nothing.")
@click.option("--yes", is_flag=True, help="Write without asking.")
@click.option("--undo", is_flag=True, help="Take the last import back.")
@archive_option
def importing(files: tuple[Path, ...], undo: bool, archive: Path, **told: object) -> None:
    """Take a dyno's exports into a build: curve files, the originals, and the pulls in build.yaml.

    Any text with delimiters will do. What was understood is shown before anything is written; what
    a file leaves open is asked on a terminal, or told by an option. Nothing is guessed.
    """
    from specgen.archive.importing.understanding import CannotImport
    from specgen.archive.importing.writing import undone

    try:
        if undo:
            for file in undone(kept(archive)):
                click.echo(f"taken back: {file}")
            return
        _import(files, kept(archive), told)
    except CannotImport as problem:
        raise click.UsageError(str(problem)) from problem


def _import(files: tuple[Path, ...], archive: Path, told: dict[str, object]) -> None:
    from specgen.archive.importing.plan import planned
    from specgen.archive.importing.telling import difference
    from specgen.archive.importing.writing import written

    build = _build(archive, str(told["build_id"]))
    if not files:
        raise click.UsageError("no file is named; write specgen import FILE --build ID --setup ID")
    intakes = [_intake(file, archive, build, told) for file in files]
    changes = planned(build, intakes)
    if told["dry_run"]:
        click.echo(difference(changes, archive))
        return
    pulls = sum(len(item.understood.pulls) for item in intakes)
    words = f"{pulls} pull{'s' * (pulls != 1)} into {build.name}"
    if not told["yes"]:
        if not sys.stdin.isatty():
            raise click.UsageError(
                f"{words}: nothing is written without a terminal to ask on; add --yes"
            )
        click.confirm(f"Write {words}?", default=True, abort=True)
    written(archive, changes)
    click.echo(f"{words}.\nNext: specgen check")


def _build(archive: Path, name: str) -> Path:
    there = sorted(file.parent.name for file in archive.glob("*/build.yaml"))
    if name not in there:
        hint = f"add --build {there[0]}, say" if there else "make one: specgen new build ID --help"
        raise click.UsageError(f'there is no build "{name}"; there are: {", ".join(there)}; {hint}')
    return archive / name


def _intake(file: Path, archive: Path, build: Path, told: dict[str, object]) -> Intake:
    """Understand one file and ask for what it leaves open."""
    from specgen.archive.importing.plan import Intake, taken_before
    from specgen.archive.importing.telling import told as told_of
    from specgen.archive.importing.understanding import understood

    data = file.read_bytes()
    before = taken_before(archive, data)
    if before and not told["again"]:
        raise click.UsageError(
            f"{file} was taken in before, as {before}; add --again to do so again"
        )
    found = understood(data, file.name, _answers(told))
    click.echo(told_of(found))
    open_ones = [item for item in found.questions if item.needed]
    for item in found.questions:
        click.echo(f"  open: {item.words}; add {item.flag}")
    if open_ones:
        raise click.UsageError(f"{file}: not clear: {open_ones[0].words}; add {open_ones[0].flag}")
    return Intake(found, _setup(found, build, told), _visit(found, told))


def _answers(told: dict[str, object]) -> Answers:
    from specgen.archive.importing.answers import Answers

    pairs = [str(item).rpartition("=") for item in cast(tuple[str, ...], told["columns"])]
    day = cast(datetime.datetime | None, told["date"])
    return Answers(
        columns={head: meant for head, _, meant in pairs},
        boost=told["boost"] or "",  # type: ignore[arg-type]
        decimal=told["decimal"] or "",  # type: ignore[arg-type]
        date=day.date() if day else None,
    )


def _setup(found: Understood, build: Path, told: dict[str, object]) -> str:
    from specgen.archive.importing.plan import setup_told, setups_of

    setups = setups_of(build)
    name = str(told["setup"]) or setup_told(found, setups)
    if not name and len(setups) == 1:
        name = setups[0]
    if name in setups:
        click.echo(f"  setup {name}")
        return name
    there = ", ".join(setups) or "none; write it under setups first"
    about = f'no setup "{name}"' if name else f"which setup {found.name} belongs to"
    raise click.UsageError(f"{about}; add --setup ID; {build.name} has: {there}")


def _visit(found: Understood, told: dict[str, object]) -> Visit:
    from specgen.archive.importing.plan import Visit

    facts = found.facts
    if len(facts.dates) != 1:
        ways = " or ".join(day.isoformat() for day in facts.dates)
        about = f'whether "{facts.date_text}" is {ways}' if ways else f"the day of {found.name}"
        raise click.UsageError(f"not clear: {about}; add --date 2026-05-14, with the day")
    for option, name in (("--kind", "kind"), ("--measured-at", "measured_at")):
        if not told[name]:
            raise click.UsageError(f"not told: the dyno's {name}; add {option}")
    air = {key: fact.text for key, fact in facts.air.items()}
    dyno = {"kind": str(told["kind"]), "measured_at": str(told["measured_at"])}
    return Visit(facts.dates[0], dyno, _figures(found, told), air)  # type: ignore[arg-type]


def _figures(found: Understood, told: dict[str, object]) -> str | dict[str, object]:
    standard = told["figures"] or (found.facts.standard.text if found.facts.standard else "unknown")
    if standard in ("observed", "unknown"):
        return str(standard)
    factor = told["factor"] or (float(found.facts.factor.text) if found.facts.factor else None)
    return {"corrected": standard, **({"factor": factor} if factor else {})}
