"""`specgen air`: what the air of a test means."""

from __future__ import annotations

import json

import click

from specgen.cli.options import Examples, Quantity, format_option


@click.command(
    cls=Examples,
    examples=(
        'specgen air --pressure "101.325 kPa" --temperature "20 degC" --humidity "50 %"',
        'specgen air --pressure "30.1 inHg" --temperature "71 degF" --humidity "40 %" \\',
        '    --barometer sea-level --elevation "600 m" --format json',
    ),
)
@click.option("--pressure", required=True, type=Quantity("absolute pressure"), help="Barometer.")
@click.option("--temperature", required=True, type=Quantity("temperature"), help="Inlet air.")
@click.option("--humidity", required=True, type=Quantity("fraction"), help="Relative humidity.")
@click.option("--elevation", type=Quantity("length"), help="Elevation of the station.")
@click.option(
    "--barometer",
    type=click.Choice(["station", "sea-level"]),
    default="station",
    show_default=True,
    help="Whether the pressure is the station's, or reduced to sea level.",
)
@format_option("text", "json")
def air(
    pressure: float,
    temperature: float,
    humidity: float,
    elevation: float | None,
    barometer: str,
    layout: str,
) -> None:
    """Density, dry pressure and every standard's correction factor for the air of a test."""
    from specgen.publish.terminal import air_figures, air_text

    if barometer == "sea-level" and elevation is None:
        raise click.UsageError(
            'a barometer reduced to sea level needs the elevation; add --elevation "600 m"'
        )
    try:
        figures = air_figures(
            pressure, temperature, humidity, elevation if barometer == "sea-level" else None
        )
    except ValueError as problem:
        raise click.UsageError(str(problem)) from problem
    click.echo(json.dumps(figures, indent=2) if layout == "json" else air_text(figures))
