"""`specgen export`: the pages for any other site engine."""

from __future__ import annotations

from pathlib import Path

import click

from specgen.cli.options import Examples, archive_option, bar_of, opened, refuse_errors, told
from specgen.findings import Finding


@click.command(cls=Examples, examples=("specgen export /tmp/pages",))
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
@archive_option
@click.pass_context
def export(context: click.Context, folder: Path, archive: Path) -> None:
    """Write the pages as Markdown with their assets to FOLDER, for any other site engine."""
    from specgen.publish import export as exporting
    from specgen.publish.delivery.lock import Busy
    from specgen.publish.delivery.targets import Refused
    from specgen.publish.making.workers import WorkerLost
    from specgen.publish.store.places import store_folder
    from specgen.publish.store.store import Store

    read = opened(archive).archive
    refuse_errors(context, read)
    faults: list[Finding] = []
    try:
        with bar_of("Writing pages", archive, "/index.md") as tell:
            count = exporting.export(
                read, folder, tell, faults.extend, store=Store(store_folder()), processes=0
            )
    except OSError as problem:
        raise click.UsageError(f"{folder} cannot be written: {problem.strerror}") from problem
    except (Refused, Busy, WorkerLost) as problem:
        raise click.UsageError(str(problem)) from problem
    click.echo(f"{count} files in {folder}. Build them with: mkdocs build -f {folder}/mkdocs.yml")
    told(context, faults, archive)
