"""`specgen init`: an archive of one's own, with its site."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from specgen.cli.options import Examples

UNITS = click.Choice(["metric", "imperial"])
CORRECTIONS = click.Choice(["iso-1585", "sae-j1349", "sae-j607", "din-70020", "none"])


@click.command(
    cls=Examples,
    examples=(
        "specgen init my-workshop",
        'specgen init my-workshop --name "Lakeside Engines" --units metric --correction iso-1585',
        "specgen init my-workshop --yes",
    ),
)
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
@click.option("--name", help="Whose archive it is.")
@click.option("--units", type=UNITS, help="Units shown first.")
@click.option("--correction", type=CORRECTIONS, help="The air that results are shown in.")
@click.option("--yes", is_flag=True, help="Ask nothing: My workshop, metric, iso-1585.")
def init(
    folder: Path, name: str | None, units: str | None, correction: str | None, yes: bool
) -> None:
    """Make FOLDER an archive with its site: settings, an example build and blower, pages.

    Asks for what no option tells, on a terminal only.
    """
    from specgen.archive.starting.begin import StartError, begin

    name = name or _asked("--name", "Whose archive is it", "My workshop", yes=yes)
    units = units or _asked("--units", "Units shown first", "metric", yes=yes, kind=UNITS)
    air = correction or _asked(
        "--correction", "The air that results are shown in", "iso-1585", yes=yes, kind=CORRECTIONS
    )
    try:
        files = begin(folder, name, units, air)
    except StartError as problem:
        raise click.UsageError(str(problem)) from problem
    click.echo(f"{len(files)} files in {folder}. Next:")
    click.echo(f"  cd {folder}\n  specgen check\n  specgen site --serve")


def _asked(
    option: str, question: str, usual: str, *, yes: bool, kind: click.Choice[str] | None = None
) -> str:
    """Ask on a terminal; without one, or with --yes, nobody is asked."""
    if yes:
        return usual
    if not sys.stdin.isatty():
        raise click.UsageError(f"{option} is missing and there is no terminal to ask on; "
                               f'add {option} "{usual}", or --yes')  # fmt: skip
    return str(click.prompt(question, default=usual, type=kind))
