"""`specgen check`: everything that is wrong or doubtful in an archive."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from specgen import findings as layouts
from specgen.cli.options import ARCHIVE, CLEAN, FINDINGS, Examples, bar_of, format_option, kept


@click.command(
    cls=Examples,
    examples=(
        "specgen check",
        "specgen check my-archive --format json",
        "specgen check --format annotations --fail-on error",
    ),
)
@click.argument("archive", type=ARCHIVE, default="builds")
@format_option("text", "json", "annotations")
@click.option(
    "--fail-on",
    type=click.Choice(["error", "warning"]),
    default="warning",
    show_default=True,
    help="The mildest finding that makes the exit code 1.",
)
@click.pass_context
def check(context: click.Context, archive: Path, layout: str, fail_on: str) -> None:
    """Check an archive and report everything that is wrong or doubtful.

    Exit code 0 if nothing was found, 1 if something was, 2 if the command was used wrongly; with
    --fail-on error, warnings are told and leave it at 0. What the files accept is counted and
    fails nothing; JSON has it with its reason. Text and annotations name files from
    where the command is run, JSON from the archive's folder.
    """
    from specgen.archive.archive import read_archive
    from specgen.archive.checks.readings import after

    with bar_of("Reading", kept(archive), "build.yaml") as tell:
        read = read_archive(archive, tell)  # no figure is asked for: what makes them stays unread
    ahead = after(read.builds.values(), date.today())
    found = (*read.findings, *ahead)
    show = {"text": layouts.as_text, "json": layouts.as_json, "annotations": layouts.as_annotations}
    click.echo(show[layout](found if layout == "json" else layouts.from_here(found, archive)))
    standing = layouts.standing(found)
    failing = any(item.severity in ("error", fail_on) for item in standing)
    context.exit(FINDINGS if failing else CLEAN)
