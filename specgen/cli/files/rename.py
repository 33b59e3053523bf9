"""`specgen rename`: another id for a build."""

from __future__ import annotations

from pathlib import Path

import click

from specgen.cli.options import Examples, archive_option, kept, started


@click.command(cls=Examples, examples=("specgen rename tug harbour-tug",))
@click.argument("old")
@click.argument("new")
@archive_option
def rename(old: str, new: str, archive: Path) -> None:
    """Call the build OLD by the id NEW; its file notes the old one, so that links keep working."""
    from specgen.archive.starting.adding import rename as renaming

    started(lambda: renaming(kept(archive), old, new))
