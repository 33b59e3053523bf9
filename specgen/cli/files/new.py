"""`specgen new`: a build, a blower, or a session of a build."""

from __future__ import annotations

from pathlib import Path

import click

from specgen.archive.reading.source import Tree
from specgen.cli.options import Examples, archive_option, kept, started
from specgen.units import UnitError, parse


@click.group()
def new() -> None:
    """Add a build or a blower, or a session to a build; the text checks at once."""


@new.command(
    cls=Examples,
    examples=(
        'specgen new blower small-lobe --kind lobe --displacement "1.3 L"',
        "specgen new blower snail --kind centrifugal",
    ),
)
@click.argument("name", metavar="ID")
@click.option(
    "--kind", required=True, type=click.Choice(["lobe", "vane", "screw", "centrifugal"]),
    help="How it compresses.",
)  # fmt: skip
@click.option(
    "--displacement", default="", help="Per revolution of the rotors; centrifugal ones have none."
)
@archive_option
def blower(name: str, kind: str, displacement: str, archive: Path) -> None:
    """Write the file of a blower called ID, with comments for what else is worth telling."""
    from specgen.archive.starting.adding import new_blower

    if bool(displacement) is (kind == "centrifugal"):
        write = "leave it out" if displacement else 'add --displacement "1.3 L"'
        raise click.UsageError(f"--displacement goes with every kind but centrifugal; {write}")
    if displacement:
        _readable("--displacement", displacement, "volume")
    started(lambda: new_blower(kept(archive), name, kind, displacement))


@new.command(
    cls=Examples,
    examples=(
        'specgen new build harbour-tug --cylinders 6 --bore "84 mm" --stroke "90 mm"',
        'specgen new build tug --cylinders 4 --bore "3.5 in" --stroke "80 mm" --blower small-lobe',
    ),
)
@click.argument("name", metavar="ID")
@click.option("--cylinders", required=True, type=click.IntRange(1, 24), help="How many.")
@click.option("--bore", required=True, help="With its unit.")
@click.option("--stroke", required=True, help="With its unit.")
@click.option("--blower", "bolted", default="", help="The id of its blower, if it has one.")
@archive_option
def build(name: str, cylinders: int, bore: str, stroke: str, bolted: str, archive: Path) -> None:
    """Write the file of a build called ID, with comments for what else is worth telling."""
    from specgen.archive.starting.adding import new_build

    for option, text in (("--bore", bore), ("--stroke", stroke)):
        _readable(option, text, "length")
    started(lambda: new_build(kept(archive), name, cylinders, bore, stroke, bolted))


@new.command(
    cls=Examples,
    examples=(
        "specgen new session harbour-tug --date 2026-05-14 --dyno roller --measured-at roller",
        "specgen new session tug --date 2026-05-14 --dyno engine --measured-at flywheel \\",
        "    --figures observed",
        "specgen new session tug --date 2026-05-14 --dyno hub --measured-at hub \\",
        '    --pressure "98.9 kPa" --barometer station --temperature "21 degC" \\',
        '    --humidity "55 %" --pull "p84: power 301 kW at 6400 rpm; boost 71 kPa at 6500 rpm"',
    ),
)
@click.argument("build_id", metavar="BUILD")
@click.option("--date", "date", required=True, type=click.DateTime(["%Y-%m-%d"]), help="The day.")
@click.option(
    "--dyno", required=True, type=click.Choice(["engine", "hub", "roller"]), help="Its kind."
)
@click.option(
    "--measured-at", required=True, type=click.Choice(["flywheel", "hub", "roller"]),
    help="Where its figures hold.",
)  # fmt: skip
@click.option(
    "--figures", default="unknown", show_default=True, type=click.Choice(["observed", "unknown"]),
    help="What its figures already include.",
)  # fmt: skip
@click.option("--pressure", default="", help="The barometer, with its unit.")
@click.option(
    "--barometer", default="", type=click.Choice(["", "station", "sea-level"]), show_choices=False,
    help="Read at the station, or reduced to sea-level.",
)  # fmt: skip
@click.option("--elevation", default="", help="Of the dyno, with its unit.")
@click.option("--temperature", default="", help="Of the air, with its unit.")
@click.option("--humidity", default="", help="Relative, with its unit.")
@click.option("--note", default="", help="What else is worth telling of the day.")
@click.option(
    "--pull", "pulls", multiple=True,
    help='A setup and its peaks, such as "p84: power 301 kW at 6400 rpm; boost 71 kPa".',
)  # fmt: skip
@archive_option
def session(
    build_id: str,
    date: object,
    dyno: str,
    measured_at: str,
    figures: str,
    note: str,
    pulls: tuple[str, ...],
    archive: Path,
    **told: str,
) -> None:
    """Add a session to BUILD, behind those that it has; nothing else in its file changes."""
    from specgen.archive.starting.adding import new_session

    air: dict[str, Tree] = {key: text for key, text in told.items() if text}
    for key, kind in _AIR.items():
        if told.get(key):
            _readable(f"--{key}", told[key], kind)
    started(
        lambda: new_session(
            kept(archive),
            build_id,
            {
                "date": f"{date:%Y-%m-%d}",
                "dyno": {"kind": dyno, "measured_at": measured_at},
                "figures": figures,
                **({"air": air} if air else {}),
                **({"note": note} if note else {}),
                "pulls": [_pull(text) for text in pulls],
            },
        )
    )


#: The air's figures and their kinds of unit.
_AIR = {"pressure": "absolute pressure", "elevation": "length", "temperature": "temperature",
        "humidity": "fraction"}  # fmt: skip
_PEAKS = ("power", "torque", "boost", "charge_temperature")


def _pull(text: str) -> dict[str, Tree]:
    """A pull as the card has it: a setup's id, then its peaks by their names."""
    setup, _, peaks = text.partition(":")
    given: dict[str, Tree] = {}
    for part in filter(None, (item.strip() for item in peaks.split(";"))):
        key, _, value = part.partition(" ")
        if key not in _PEAKS or not value.strip():
            raise click.UsageError(
                f'--pull: "{part}" is no peak; write one of {", ".join(_PEAKS)} and its figure, '
                'such as "power 301 kW at 6400 rpm"'
            )
        given[key] = value.strip()
    if not setup.strip() or not given:
        raise click.UsageError(
            f'--pull: "{text}" names no setup with its peaks; '
            'write "p84: power 301 kW at 6400 rpm; boost 71 kPa"'
        )
    return {"setup": setup.strip(), "peaks": given}


def _readable(option: str, text: str, kind: str) -> None:
    """Refuse a quantity that the archive could not read."""
    try:
        parse(text, kind)
    except UnitError as problem:
        raise click.UsageError(
            f"{option}: {problem}; expected {problem.expected}; {problem.hint}"
        ) from problem
