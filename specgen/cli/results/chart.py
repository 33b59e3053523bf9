"""`specgen chart`: one chart of a build as a picture file, for slides, posts and print."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from specgen.cli.options import Examples, archive_option, build_of, opened, refuse_errors
from specgen.cli.results.result_cards import Wanted, card_options, write_cards

if TYPE_CHECKING:
    from specgen.publish.charts.series import Chart
    from specgen.results import Results
    from specgen.vocabulary import System

#: Stands for the whole archive where no build is called so.
_ALL = "accuracy"
#: Points in an inch, and the pixels that a PNG, or a page of the web, has in it.
_POINTS, _PRINTED, _SHOWN = 72.0, 300.0, 96.0
#: Widths that a file can have [m].
_LEAST, _MOST = 0.02, 1.2


class Size(click.ParamType):
    """A width: pixels, or a length; read as metres, a PNG's pixel as 1/300 inch."""

    name = "width"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, str]:
        """Give the number and "px", or a length in metres and "m"."""
        from specgen.units import UnitError, parse

        text = str(value).strip()
        if found := re.fullmatch(r"(\d+) ?px", text):
            return float(found[1]), "px"
        try:
            return parse(text, "length"), "m"
        except UnitError as problem:
            self.fail(f"{problem}; expected a width; write it as 1600 px or 160 mm", param, ctx)


@click.command(
    cls=Examples,
    examples=(
        "specgen chart lark-hydroplane power",
        "specgen chart lark-hydroplane power --format pdf --size '160 mm'",
        "specgen chart lark-hydroplane limits --size '1600 px' --output limits.png",
        "specgen chart lark-hydroplane --card 16:9",
        "specgen chart lark-hydroplane --card 9:16 --ladder --transparent",
        "specgen chart lark-hydroplane --card 1:1 --setup p93 --against teal-hydroplane",
    ),
)
@click.argument("build")
@click.argument("name", required=False, default="")
@archive_option
@click.option(
    "--format",
    "layout",
    type=click.Choice(["png", "svg", "pdf"]),
    default="png",
    show_default=True,
    help="Kind of file.",
)
@click.option("--size", type=Size(), help='Width: "1600 px" or "160 mm"; the height follows.')
@click.option(
    "--units",
    type=click.Choice(["metric", "imperial", "own"]),
    help="Units of the title; the archive's own unless given.",
)
@click.option(
    "--output",
    type=click.Path(dir_okay=False, path_type=Path),
    help="File to write; BUILD-NAME.FORMAT here unless given.",
)
@card_options
@click.pass_context
def chart(
    context: click.Context,
    build: str,
    name: str,
    archive: Path,
    layout: str,
    size: tuple[float, str] | None,
    units: str | None,
    output: Path | None,
    shape: str | None,
    ladder: bool,
    setup: str,
    against: str,
    transparent: bool,
) -> None:
    """Draw the chart NAME of one BUILD as a file. Without NAME, list the charts there are.

    BUILD "accuracy" stands for the whole archive: how far its predictions missed. With --card the
    result stands on a card for a talk, a post or a film, with all that makes it believable.
    """
    from specgen.publish.sheet.charts import WIDTHS, chart_file
    from specgen.vocabulary import printed_in

    width = _width(size, layout) if size else WIDTHS[layout]
    results = opened(archive)
    read = results.archive
    refuse_errors(context, read, about=build)
    chosen = read.settings.units
    cards = Wanted(shape, ladder, setup, against, transparent)
    if cards.shape or cards.asked:
        with printed_in(chosen.own):
            write_cards(results, build, name, cards, cast("System", units or chosen.value),
                        layout, output)  # fmt: skip
        return
    with printed_in(chosen.own):
        whose, charts = _charts(results, build, cast("System", units or chosen.value))
    if not name:
        click.echo(_listed(charts.values()))
        return
    if name not in charts:
        raise click.UsageError(_unknown(build, name, charts))
    path = output or Path(f"{build}-{name}.{layout}")
    with printed_in(chosen.own):
        drawn = chart_file(read, whose, charts[name], layout, width)
    try:
        path.write_bytes(drawn)
    except OSError as problem:
        raise click.UsageError(f"{path} cannot be written: {problem.strerror}") from problem
    click.echo(f"{path}: {charts[name].title}")


def _charts(results: Results, build: str, units: System) -> tuple[str, dict[str, Chart]]:
    """Title and charts of a build, or those of the whole archive."""
    from specgen.publish.sheet.charts import charts_of, charts_of_all

    if build == _ALL and build not in results.builds:
        return "", charts_of_all(results.archive)
    found = build_of(results, build)
    return found.title, charts_of(found.sheet, units)


def _width(size: tuple[float, str], layout: str) -> float:
    """A width in pixels of a PNG, in points of the others; a usage error out of reason."""
    number, unit = size
    inches = number / (_PRINTED if layout == "png" else _SHOWN) if unit == "px" else number / 0.0254
    if not _LEAST <= inches * 0.0254 <= _MOST:
        least, most = (round(end / 0.0254 * _PRINTED) for end in (_LEAST, _MOST))
        raise click.UsageError(
            f"the width is {inches * 25.4:.0f} mm on paper; expected {_LEAST * 1000:.0f} to "
            f"{_MOST * 1000:.0f} mm, or {least} to {most} px of a PNG"
        )
    return float(round(inches * _PRINTED)) if layout == "png" else inches * _POINTS


def _listed(charts: Iterable[Chart]) -> str:
    return "\n".join(f"{item.name:14}{item.title}" for item in charts) or "no charts"


def _unknown(build: str, name: str, charts: dict[str, Chart]) -> str:
    near = difflib.get_close_matches(name, charts, n=1)
    hint = f'did you mean "{near[0]}"? ' if near else ""
    there = ", ".join(charts) or "none"
    return f'{build} has no chart "{name}"; {hint}there are: {there}'
