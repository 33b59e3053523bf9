"""`specgen report`: one build packed for a bug report."""

from __future__ import annotations

from pathlib import Path

import click

from specgen.cli.options import Examples, archive_option, opened


@click.command(
    cls=Examples,
    examples=(
        "specgen report lark-hydroplane",
        "specgen report lark-hydroplane --output report.zip",
    ),
)
@click.argument("build")
@archive_option
@click.option(
    "--output",
    type=click.Path(dir_okay=False, path_type=Path),
    help="File to write; specgen-report-BUILD.zip here unless given.",
)
def report(build: str, archive: Path, output: Path | None) -> None:
    """Pack one BUILD for a bug report: its files, its findings, versions, and what failed.

    What the files keep private is not in it, nor are pictures, nor the name of any folder of this
    machine. Look into it before you send it.
    """
    from specgen.publish.bug_report import packed

    read = opened(archive).archive
    try:
        pack = packed(read, build)
    except KeyError:
        there = ", ".join(sorted(read.builds)) or "none"
        raise click.UsageError(
            f'there is nothing of a build "{build}" that may be told; there are: {there}'
        ) from None
    path = output or Path(f"specgen-report-{build}.zip")
    try:
        path.write_bytes(pack)
    except OSError as problem:
        raise click.UsageError(f"{path} cannot be written: {problem.strerror}") from problem
    click.echo(f"{path}\nLook into it before you send it.")
