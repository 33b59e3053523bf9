"""`specgen card`: what to run at the dyno, what is expected, where to stop, what to write down."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from specgen.cli.options import Examples, archive_option, build_of, opened, refuse_errors

if TYPE_CHECKING:
    from specgen.vocabulary import System


@click.command(
    cls=Examples,
    examples=(
        "specgen card lark-hydroplane",
        "specgen card irrigation-pump --setup p87 --units imperial",
    ),
)
@click.argument("build")
@click.option("--setup", multiple=True, help="A setup of the build by its id; may be repeated.")
@click.option("--units", type=click.Choice(["metric", "imperial", "own"]), help="Units to print.")
@archive_option
@click.pass_context
def card(
    context: click.Context, build: str, setup: tuple[str, ...], units: str | None, archive: Path
) -> None:
    """Print the test-day card of BUILD: setups in order, what is expected, where to stop."""
    from specgen.analysis.planning.card import card_of
    from specgen.publish.planned.card_text import card_text
    from specgen.vocabulary import printed_in

    results = opened(archive)
    refuse_errors(context, results.archive, about=build)
    sheet = build_of(results, build).sheet
    known = [item.id for item in sheet.setups]
    for name in setup:
        if name not in known:
            raise click.UsageError(f'no setup "{name}"; there are: {", ".join(known)}')
    found = card_of(sheet, sheet.plan, setup)
    chosen = sheet.archive.settings.units
    with printed_in(chosen.own):
        click.echo(card_text(found, cast("System", units or chosen.value)))
