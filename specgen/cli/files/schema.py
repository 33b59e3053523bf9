"""`specgen schema`: the schemas as files."""

from __future__ import annotations

from pathlib import Path

import click

from specgen.cli.options import Examples


@click.command(cls=Examples, examples=("specgen schema .schemas",))
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
def schema(folder: Path) -> None:
    """Write the schemas of this specgen to FOLDER, for an editor that completes YAML."""
    from specgen.archive.starting.templates import write_schemas

    try:
        files = write_schemas(folder)
    except OSError as problem:
        raise click.UsageError(f"{folder} cannot be written: {problem.strerror}") from problem
    click.echo(f"{len(files)} schemas in {folder}")
