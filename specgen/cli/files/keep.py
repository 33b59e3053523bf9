"""`specgen keep`: this method's figures, kept in the archive for a later one to be set beside."""

from __future__ import annotations

from pathlib import Path

import click

from specgen.cli.options import Examples, archive_option, opened, refuse_errors


@click.command(cls=Examples, examples=("specgen keep", "specgen keep --archive builds"))
@archive_option
@click.pass_context
def keep(context: click.Context, archive: Path) -> None:
    """Keep the figures of every build as this version works them out, in kept-figures.json.

    Commit the file. After an upgrade "specgen diff --method" tells what the new version moves, and
    each sheet's history has it. To be run before each upgrade; it replaces what it kept before
    with the same method.
    """
    from specgen.past.editions import edition_on_disk
    from specgen.past.kept import write_kept
    from specgen.past.known import known_of

    results = opened(archive)
    refuse_errors(context, results.archive)
    edition = edition_on_disk(archive.resolve())
    now = {key: (edition.key(key), known_of(it.sheet)) for key, it in results.builds.items()}
    click.echo(f"{write_kept(archive, now)}: the figures of {len(now)} builds")
