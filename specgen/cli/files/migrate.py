"""`specgen migrate`: older files in the newest format."""

from __future__ import annotations

from pathlib import Path

import click

from specgen.cli.options import Examples, archive_option, kept


@click.command(cls=Examples, examples=("specgen migrate", "specgen migrate --archive builds"))
@archive_option
def migrate(archive: Path) -> None:
    """Rewrite files of an older format in the newest one; comments and order stay.

    Older files are read for ever: there is no need to, unless you want what the newer format adds.
    """
    from specgen.archive.starting.begin import StartError
    from specgen.archive.starting.migrating import NEWEST
    from specgen.archive.starting.migrating import migrate as migrating

    try:
        files = migrating(kept(archive))
    except StartError as problem:
        raise click.UsageError(str(problem)) from problem
    for file in files:
        click.echo(file)
    if not files:
        click.echo(f"Every file is of format {NEWEST}, the newest.")
