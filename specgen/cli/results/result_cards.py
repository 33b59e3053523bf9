"""What `specgen chart --card` is asked for, and the files it writes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from specgen.cli.options import build_of

if TYPE_CHECKING:
    from specgen.publish.cards.card import Card
    from specgen.results import Results
    from specgen.vocabulary import System

_Command = TypeVar("_Command", bound=Callable[..., Any])


@dataclass(frozen=True, slots=True)
class Wanted:
    """The options of a card: its shape, and whose results stand on it."""

    shape: str | None
    ladder: bool
    setup: str
    against: str
    transparent: bool

    @property
    def asked(self) -> bool:
        """Whether something was asked for that only a card has."""
        return bool(self.ladder or self.setup or self.against or self.transparent)


def card_options(command: _Command) -> _Command:
    """Add the options of a card to a command."""
    options = (
        click.option("--card", "shape", type=click.Choice(["16:9", "1:1", "9:16"]),
                     help="A result card of this shape, in place of a chart."),
        click.option("--ladder", is_flag=True, help="With --card: a file a tested step."),
        click.option("--setup", default="", help="With --card: this setup, not the best one."),
        click.option("--against", default="", metavar="BUILD[/SETUP]",
                     help="With --card: set beside this build or setup."),
        click.option("--transparent", is_flag=True, help="With --card: without a ground."),
    )  # fmt: skip
    for option in reversed(options):
        command = option(command)
    return command


def write_cards(
    results: Results,
    build: str,
    name: str,
    wanted: Wanted,
    units: System,
    layout: str,
    output: Path | None,
) -> None:
    """Write the cards that were asked for; a usage error for what does not go together."""
    from specgen.publish.cards.card import NoCard
    from specgen.publish.cards.files import card_file

    _refuse(name, wanted)
    shape = wanted.shape or ""
    try:
        cards = list(_cards(results, build, wanted, units))
    except NoCard as problem:
        raise click.UsageError(str(problem)) from problem
    for ending, card in cards:
        path = _path(output or Path(f"{build}-card-{shape.replace(':', 'x')}.{layout}"), ending)
        drawn = card_file(card, shape, layout, clear=wanted.transparent)
        try:
            path.write_bytes(drawn)
        except OSError as problem:
            raise click.UsageError(f"{path} cannot be written: {problem.strerror}") from problem
        click.echo(f"{path}: {card.spoken}")


def _refuse(name: str, wanted: Wanted) -> None:
    """Say what does not go together."""
    if not wanted.shape:
        raise click.UsageError(
            "--ladder, --setup, --against and --transparent are for a card; "
            "write --card 16:9, 1:1 or 9:16 too"
        )
    if name:
        raise click.UsageError(
            f'a card shows the result and no single chart; leave out "{name}", or --card'
        )
    if wanted.ladder and (wanted.setup or wanted.against):
        raise click.UsageError("--ladder shows every tested setup; leave out --setup and --against")


def _cards(
    results: Results, build: str, wanted: Wanted, units: System
) -> Iterator[tuple[str, Card]]:
    """Each card, with what its file's name ends in."""
    from specgen.publish.cards.card import against, ladder, single

    sheet = build_of(results, build).sheet
    if wanted.ladder:
        yield from ((f"-{at}", card) for at, card in enumerate(ladder(sheet, units), 1))
    elif wanted.against:
        other, _, setup = wanted.against.partition("/")
        second = build_of(results, other).sheet
        yield "", against(sheet, second, units, (wanted.setup, setup))
    else:
        yield "", single(sheet, units, wanted.setup)


def _path(path: Path, ending: str) -> Path:
    return path.with_name(f"{path.stem}{ending}{path.suffix}")
