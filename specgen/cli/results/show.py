"""`specgen show`: one build's sheet in the terminal."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from specgen.cli.options import (
    Examples,
    archive_option,
    build_of,
    format_option,
    opened,
    refuse_errors,
    told,
)
from specgen.findings import inert

if TYPE_CHECKING:
    from specgen.analysis.sheet import Sheet
    from specgen.vocabulary import System


@click.command(
    cls=Examples,
    examples=(
        "specgen show lark-hydroplane",
        "specgen show lark-hydroplane --units imperial",
        "specgen show lark-hydroplane --format json",
    ),
)
@click.argument("build")
@archive_option
@click.option(
    "--units",
    type=click.Choice(["metric", "imperial", "own"]),
    help="Units to print; the archive's own unless given.",
)
@click.option("--all", "everything", is_flag=True, help="Also print what is not there, and why.")
@format_option("text", "json")
@click.pass_context
def show(
    context: click.Context,
    build: str,
    archive: Path,
    units: str | None,
    everything: bool,
    layout: str,
) -> None:
    """Print the sheet of one BUILD, named by its folder."""
    from specgen.analysis.judging.trouble import troubles
    from specgen.publish.terminal import sheet_text
    from specgen.vocabulary import printed_in

    results = opened(archive)
    refuse_errors(context, results.archive, about=build)
    sheet = build_of(results, build).sheet
    if layout == "json":
        click.echo(_as_data(sheet).rstrip("\n"))
    else:
        chosen = sheet.archive.settings.units
        with printed_in(chosen.own):
            system = cast("System", units or chosen.value)
            click.echo(inert(sheet_text(sheet, system, everything=everything)))
    told(context, troubles(sheet), archive)


def _as_data(sheet: Sheet) -> str:
    """The very text that the site publishes beside the sheet."""
    from specgen.publish.sheet.data import sheet_json
    from specgen.publish.sheet.page import Surroundings, sheet_page

    return sheet_json(sheet.archive, sheet, sheet_page(sheet.archive, sheet, Surroundings()).shown)
