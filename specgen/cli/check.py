"""`specgen check`: everything that is wrong or doubtful in an archive."""

from __future__ import annotations

from pathlib import Path

import click

from specgen import findings as layouts
from specgen.cli.options import ARCHIVE, CLEAN, FINDINGS, Examples, format_option, opened


@click.command(
    cls=Examples,
    examples=(
        "specgen check",
        "specgen check my-archive --format json",
        "specgen check --format annotations",
    ),
)
@click.argument("archive", type=ARCHIVE, default="builds")
@format_option("text", "json", "annotations")
@click.pass_context
def check(context: click.Context, archive: Path, layout: str) -> None:
    """Check an archive and report everything that is wrong or doubtful.

    Exit code 0 if nothing was found, 1 if something was, 2 if the command was used wrongly.
    """
    read = opened(archive)
    show = {"text": layouts.as_text, "json": layouts.as_json, "annotations": layouts.as_annotations}
    click.echo(show[layout](read.findings))
    context.exit(FINDINGS if read.findings else CLEAN)
