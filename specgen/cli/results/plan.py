"""`specgen plan`: every pulley pair of a build, what stops each, and the pair that meets a goal."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import click

from specgen.cli.options import (
    Examples,
    Quantity,
    archive_option,
    build_of,
    format_option,
    opened,
    refuse_errors,
)
from specgen.units import UnitError, parse

if TYPE_CHECKING:
    from specgen.archive.model.build import Air, Fuel, Given
    from specgen.vocabulary import System


@click.command(
    cls=Examples,
    examples=(
        "specgen plan lark-hydroplane",
        'specgen plan lark-hydroplane --boost "16 psi" --fuel e85',
        'specgen plan teal-hydroplane --power "240 hp" --air "35 degC, 80 %" --elevation "900 m"',
        'specgen plan ice-sledge --pulley "88 mm" --format json',
    ),
)
@click.argument("build")
@click.option("--boost", type=Quantity("gauge pressure"), help="Seek the pulley that gives it.")
@click.option("--power", type=Quantity("power"), help="Seek the pulley for it, as observed.")
@click.option("--fuel", help="Another fuel than the leading setup's, by its name in the format.")
@click.option("--air", help='Another air, such as "98.6 kPa, 35 degC, 80 %".')
@click.option(
    "--elevation", type=Quantity("length"), help="Another air: the standard pressure there."
)
@click.option(
    "--pulley", multiple=True, help="A blower pulley beside those on offer; may be repeated."
)
@click.option("--units", type=click.Choice(["metric", "imperial", "own"]), help="Units to print.")
@archive_option
@format_option("text", "json")
@click.pass_context
def plan(
    context: click.Context,
    build: str,
    boost: float | None,
    power: float | None,
    fuel: str | None,
    air: str | None,
    elevation: float | None,
    pulley: tuple[str, ...],
    units: str | None,
    archive: Path,
    layout: str,
) -> None:
    """Choose the drive of BUILD: what each pulley pair gives, and what stops it first."""
    from specgen.analysis.planning.pairs import Question
    from specgen.analysis.planning.plan import plan_of
    from specgen.analysis.planning.seek import Aim, seek
    from specgen.publish.planned.data import plan_json
    from specgen.publish.planned.text import plan_text
    from specgen.vocabulary import printed_in

    results = opened(archive)
    refuse_errors(context, results.archive, about=build)
    sheet = build_of(results, build).sheet
    question = Question(
        pulleys=tuple(_given("--pulley", text, "length") for text in pulley),
        fuel=_fuel(fuel),
        air=_air(air, elevation),
    )
    found = plan_of(sheet, question)
    goals: dict[Aim, float | None] = {"boost": boost, "power": power}
    sought = [seek(found, aim, goal) for aim, goal in goals.items() if goal is not None]
    if layout == "json":
        click.echo(plan_json(found, sought).rstrip("\n"))
    else:
        chosen = sheet.archive.settings.units
        with printed_in(chosen.own):
            click.echo(plan_text(found, cast("System", units or chosen.value), sought))


def _given(option: str, text: str, kind: str, quantity: str | None = None) -> Given[Any]:
    """A figure of an option, as if it had been written in a file."""
    from specgen.archive.model.build import Given
    from specgen.findings import Place

    try:
        return Given(parse(text, kind), text, Place("command line"), quantity)
    except UnitError as problem:
        raise click.UsageError(
            f"{option}: {problem}; expected {problem.expected}; {problem.hint}"
        ) from problem


def _fuel(name: str | None) -> Fuel | None:
    from specgen.analysis.tables.fuel import BLENDS
    from specgen.archive.model.build import Fuel, Given
    from specgen.findings import Place

    if name is None:
        return None
    if name not in BLENDS:
        raise click.UsageError(f'no fuel "{name}"; there are: {", ".join(BLENDS)}')
    return Fuel(name=Given(name, name, Place("command line")))


def _air(text: str | None, elevation: float | None) -> Air | None:
    """The air of an option, each part told by its unit; an elevation gives the pressure."""
    from specgen.archive.model.build import Air, Given
    from specgen.findings import Place
    from specgen.physics.air import standard_pressure

    if text is None and elevation is None:
        return None
    here = Place("command line")
    parts: dict[str, Given[Any]] = {}
    for part in (text or "").split(",") if text else ():
        key, value = _part(part.strip())
        parts[key] = Given(value, part.strip(), here)
    if elevation is not None and "pressure" not in parts:
        found = float(standard_pressure(elevation))
        parts["pressure"] = Given(found, f"{found / 1e3:.1f} kPa", here)
    station = Given("station", "station", here)
    return Air(barometer=station if "pressure" in parts else None, **parts)


def _part(text: str) -> tuple[str, float]:
    """One part of the air by the kind of its unit."""
    kinds = {"pressure": "absolute pressure", "temperature": "temperature", "humidity": "fraction"}
    for key, kind in kinds.items():
        try:
            return key, parse(text, kind)
        except UnitError:
            continue
    raise click.UsageError(
        f'--air: "{text}" is no pressure, temperature or humidity; write "98.6 kPa, 30 degC, 40 %"'
    )
