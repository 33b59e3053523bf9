"""`specgen diff`: what changed in results, not in text."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from specgen.cli.options import (
    CLEAN,
    FINDINGS,
    Examples,
    archive_option,
    format_option,
    kept,
    opened,
)

if TYPE_CHECKING:
    from specgen.past.diff import Difference


@click.command(
    cls=Examples,
    examples=(
        "specgen diff",
        "specgen diff v2025 HEAD --format markdown",
        "specgen diff --method",
        "specgen diff HEAD~1 --fail-on moved",
    ),
)
@click.argument("before", default="HEAD")
@click.argument("after", required=False)
@click.option("--method", is_flag=True, help="Set this version's method beside the one kept last.")
@click.option("--fail-on", type=click.Choice(["moved"]), help="Exit with 1 if a result moved.")
@archive_option
@format_option("text", "json", "markdown")
@click.pass_context
def diff(
    context: click.Context,
    before: str,
    after: str | None,
    method: bool,
    fail_on: str | None,
    archive: Path,
    layout: str,
) -> None:
    """What changed in results from the revision BEFORE to AFTER, or to the files as they lie here.

    Builds that are new, gone or renamed; figures that moved, by the build's own data, by a file it
    shares with others, or by the method; comparisons that turned round. With --method, what this
    version of specgen gives otherwise than the one that "specgen keep" was run with.
    """
    from specgen.archive.past.git import NoHistory
    from specgen.past import telling
    from specgen.vocabulary import printed_in

    units = opened(kept(archive)).archive.settings.units
    try:
        found = _of_method(archive) if method else _of_revisions(archive, before, after)
    except NoHistory as reason:
        raise click.UsageError(str(reason)) from reason
    with printed_in(units.own):
        layouts = {
            "text": lambda: telling.as_text(found, units.value),
            "json": lambda: telling.as_json(found),
            "markdown": lambda: telling.as_markdown(found, units.value),
        }
        click.echo(layouts[layout]())
    context.exit(FINDINGS if fail_on and found.moves else CLEAN)


def _of_revisions(archive: Path, before: str, after: str | None) -> Difference:
    from specgen.past.diff import difference
    from specgen.past.editions import edition_at, edition_on_disk
    from specgen.publish.store.places import store_folder
    from specgen.publish.store.store import Store

    folder = archive.resolve()
    later = edition_at(folder, after) if after else edition_on_disk(folder)
    return difference(edition_at(folder, before), later, Store(store_folder()))


def _of_method(archive: Path) -> Difference:
    from specgen.past.diff import difference_of_methods
    from specgen.past.editions import edition_on_disk
    from specgen.past.kept import FILE, read_kept
    from specgen.publish.store.places import store_folder
    from specgen.publish.store.store import Store

    folder = archive.resolve()
    found = read_kept(folder)
    numbers = {it.method for kept_of in found.values() for it in kept_of}
    if not numbers:
        raise click.UsageError(
            f"{archive / FILE} is not there, or is not one of ours; run specgen keep with the "
            "version that the site was published with"
        )
    return difference_of_methods(
        found, edition_on_disk(folder), max(numbers), Store(store_folder())
    )
