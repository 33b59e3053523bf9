"""`specgen fits`: what a blower bolts to, over the archive or for one engine given by flags."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from specgen.cli.options import Examples, archive_option, format_option, opened, refuse_errors
from specgen.units import UnitError, parse

if TYPE_CHECKING:
    from specgen.archive.fitment import Fit
    from specgen.archive.model.build import Archive, Blower, Given


@click.command(
    cls=Examples,
    examples=(
        "specgen fits grebe-16",
        'specgen fits ouzel-12 --deck-height "8.75 in" --cylinders 6 --layout vee',
        "specgen fits ouzel-12 --cylinders 8 --format json",
    ),
)
@click.argument("blower")
@click.option("--deck-height", help="Of the engine asked about, with its unit.")
@click.option("--bore-spacing", help="Of the engine asked about, with its unit.")
@click.option("--cylinders", type=click.IntRange(1, 24), help="Of the engine asked about.")
@click.option("--layout", "arrangement", type=click.Choice(["in-line", "vee", "flat"]),
              help="Arrangement of its cylinders.")  # fmt: skip
@click.option("--mount", help="Name of its mounting pattern.")
@archive_option
@format_option("text", "json")
@click.pass_context
def fits(
    context: click.Context,
    blower: str,
    deck_height: str | None,
    bore_spacing: str | None,
    cylinders: int | None,
    arrangement: str | None,
    mount: str | None,
    archive: Path,
    layout: str,
) -> None:
    """Whether BLOWER fits: every build of the archive, or the one engine that the flags tell of."""
    from specgen.archive.fitment import engine_of, fitment, verdict

    read = opened(archive).archive
    refuse_errors(context, read, about="blowers")
    found = _blower_of(read, blower)
    told = {
        "deck_height": _length("--deck-height", deck_height),
        "bore_spacing": _length("--bore-spacing", bore_spacing),
        "cylinders": _given(cylinders),
        "layout": _given(arrangement),
        "mount": _given(mount),
    }
    engines: dict[str, dict[str, Given[Any] | None]]
    if any(value is not None for value in told.values()):
        engines = {"the engine asked about": told}
    else:
        engines = {build.id: engine_of(build) for build in read.builds.values()}
    answers = [(name, fitment(found, engine)) for name, engine in engines.items()]
    if layout == "json":
        click.echo(json.dumps([_data(name, answer) for name, answer in answers], indent=2))
        return
    system = read.settings.units.table
    width = max((len(name) for name, _ in answers), default=0)
    for name, answer in answers:
        against = [fit.words(system) for fit in answer if fit.verdict != "fits"]
        why = "; ".join(against) if answer else "its file asks for nothing"
        click.echo(f"{name:<{width}}  {verdict(answer):<12}  {why}".rstrip())


def _data(name: str, answer: tuple[Fit, ...]) -> dict[str, Any]:
    """One engine's answers, lengths in metres."""
    from specgen.archive.fitment import verdict

    return {
        "engine": name,
        "verdict": verdict(answer),
        "dimensions": [
            {
                "key": fit.key,
                "wanted": fit.wanted("metric"),
                "found": fit.found.text if fit.found else None,
                "verdict": fit.verdict,
                "over": fit.over,
            }
            for fit in answer
        ],
    }


def _blower_of(read: Archive, name: str) -> Blower:
    if name not in read.blowers:
        import difflib

        near = difflib.get_close_matches(name, read.blowers, n=1)
        hint = f'did you mean "{near[0]}"?' if near else f"there are: {', '.join(read.blowers)}"
        raise click.UsageError(f'no blower "{name}"; {hint}')
    return read.blowers[name]


def _given(value: Any) -> Given[Any] | None:
    """What a flag told, as if it had been written in a file."""
    from specgen.archive.model.build import Given
    from specgen.findings import Place

    return None if value is None else Given(value, str(value), Place("command line"))


def _length(option: str, text: str | None) -> Given[Any] | None:
    from specgen.archive.model.build import Given
    from specgen.findings import Place

    if text is None:
        return None
    try:
        return Given(parse(text, "length"), text, Place("command line"))
    except UnitError as problem:
        raise click.UsageError(
            f"{option}: {problem}; expected {problem.expected}; {problem.hint}"
        ) from problem
