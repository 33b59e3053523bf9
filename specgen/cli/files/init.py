"""`specgen init`: an archive of one's own, with its site."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import click

from specgen.cli.options import Examples

#: The one question that may stay without an answer.
_WHERE = "Where will the site be served (its address; nothing if not known yet)"
UNITS = click.Choice(["metric", "imperial"])
CORRECTIONS = click.Choice(["iso-1585", "sae-j1349", "sae-j607", "din-70020", "none"])


@click.command(
    cls=Examples,
    examples=(
        "specgen init my-workshop",
        'specgen init my-workshop --name "Lakeside Engines" --units metric --correction iso-1585',
        "specgen init my-workshop --yes --site-url https://workshop.example/sheets/",
        "specgen init my-workshop --yes",
    ),
)
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
@click.option("--name", help="Whose archive it is.")
@click.option("--units", type=UNITS, help="Units shown first.")
@click.option("--correction", type=CORRECTIONS, help="The air that results are shown in.")
@click.option("--site-url", callback=lambda _context, _option, text: _address(text),
              help="Where its site will be served; may be told later, in mkdocs.yml.")  # fmt: skip
@click.option("--yes", is_flag=True, help="Ask nothing: My workshop, metric, iso-1585.")
def init(
    folder: Path,
    name: str | None,
    units: str | None,
    correction: str | None,
    site_url: str | None,
    yes: bool,
) -> None:
    """Make FOLDER an archive with its site: settings, an example build and blower, pages.

    Asks for what no option tells, on a terminal only. What an editor, git and two usual forges
    need to check, complete and publish it lies beside.
    """
    from specgen.archive.starting.begin import StartError, begin

    name = name or _asked("--name", "Whose archive is it", "My workshop", yes=yes)
    units = units or _asked("--units", "Units shown first", "metric", yes=yes, kind=UNITS)
    air = correction or _asked(
        "--correction", "The air that results are shown in", "iso-1585", yes=yes, kind=CORRECTIONS
    )
    if site_url is None and not yes and sys.stdin.isatty():
        site_url = _address(click.prompt(_WHERE, default="", show_default=False))
    try:
        files = begin(folder, name, units, air, site_url or "")
    except StartError as problem:
        raise click.UsageError(str(problem)) from problem
    click.echo(f"{len(files)} files in {folder}. Next:")
    click.echo(f"  cd {folder}\n  specgen check\n  specgen site --serve")
    click.echo("README.md tells how to keep it in git and publish it.")
    if not site_url:
        click.echo(
            "Not told yet: where the site will be served. Links that are sent to somebody show a "
            "picture once site_url stands in mkdocs.yml."
        )


def _address(text: str | None) -> str | None:
    """Refuse an address that no browser has."""
    if text and not re.fullmatch(r"https?://[^\s/]+(/\S*)?", text):
        raise click.BadParameter(
            f'"{text}" is no address; write it as a browser shows it, such as '
            "https://workshop.example/"
        )
    return text


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
