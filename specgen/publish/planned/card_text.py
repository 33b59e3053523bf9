"""The test-day card as text for a terminal, and the words that its page prints too."""

from __future__ import annotations

from collections.abc import Iterator

from specgen.analysis.planning.card import BEFORE, DAY, EXPECTED, PULL, Card, CardStep, FactorTable
from specgen.analysis.planning.room import Room
from specgen.analysis.words import fuel_words
from specgen.publish.planned.words import figure_words
from specgen.units import text_of
from specgen.vocabulary import System, quantity

_LINE = "_" * 18


#: What ends a run of any setup; common practice, no source.
AT_ONCE = (
    "In every setup stop at once at any knock, at a mixture leaner than mapped, and at slip or "
    "noise of the belt."
)


def card_text(card: Card, system: System) -> str:
    """Print a card."""
    lines = [f"{card.sheet.build.title.value}: card for the day at the dyno"]
    if not card.steps:
        return "\n".join([*lines, "", f"No card: {card.reason}."])
    lines += ["", "Before the engine turns", *(f"  [ ] {words}" for words in BEFORE), "", AT_ONCE]
    for number, step in enumerate(card.steps, 1):
        lines += ["", f"{number}. {step_words(step, system)}", *_expected(step, system)]
        lines += [f"  Stop at: {words}" for words in stop_words(step, system)]
        lines += [f"  Write: {'; '.join(f'{title} {_LINE}' for _, title in PULL)}"]
    if card.left:
        lines += ["", f"{more_setups(card.left)} found no room; name those wanted: --setup ID"]
    lines += ["", "The day", *(f"  {title}: {_LINE}" for _, title in DAY)]
    if card.factors is not None:
        lines += ["", *_factors(card.factors, system)]
    if new := new_setups(card):
        lines += ["", "Written under setups of the build first:", *(f"  {line}" for line in new)]
    lines += ["", "Afterwards, with what was written:", f"  {command(card)}"]
    return "\n".join(lines)


def more_setups(left: int) -> str:
    """How many setups a card had no room for."""
    return f"{left} more setup{'s' if left > 1 else ''}"


def step_words(step: CardStep, system: System) -> str:
    """A setup in a line: name, pulleys, ratio, fuel, belt."""
    rows = step.setup.rows
    parts = [step.setup.title]
    if rows["blower_pulley"].present and rows["crank_pulley"].present:
        ratio = rows["pitch_ratio"]
        parts.append(f"{rows['crank_pulley'].text} to {rows['blower_pulley'].text}")
        parts.append(f"ratio {ratio.quantity.text(ratio.scalar, system)}")
    parts.append(fuel_words(step.setup.setup.fuel))
    if step.belt is not None and step.belt.path is not None:
        parts.append(f"belt {quantity('belt_length').text(step.belt.path, system)}")
    return ", ".join(dict.fromkeys(parts))


def stop_words(step: CardStep, system: System) -> Iterator[str]:
    """The figures at which to stop: each limit, and boost beyond what is expected."""
    for room in step.rooms:
        if room.title not in ("Octane", "Belt grip"):
            yield f"{room.title.lower()} {_limit(room, system)}"
    boost = step.readings[-1].figures[0] if step.readings else None
    if boost is not None and boost.present and boost.expanded:
        most = boost.quantity.text(boost.scalar + boost.expanded, system)
        yield f"boost above its band, {most} at the highest speed: look for the cause first"


def _limit(room: Room, system: System) -> str:
    expected = room.value.quantity.text(room.value.scalar, system)
    return f"{room.limit.quantity.text(room.limit.scalar, system)} (expected {expected})"


def _expected(step: CardStep, system: System) -> Iterator[str]:
    for reading in step.readings:
        told = [
            f"{title.lower()} {figure_words(row, system)}"
            for (_, title), row in zip(EXPECTED, reading.figures, strict=True)
            if row.present
        ]
        speed = reading.speed.quantity.text(reading.speed.scalar, system)
        yield f"  At {speed}: {', '.join(told) or 'nothing is expected'}"


def factor_words(table: FactorTable, system: System) -> str:
    """What the table of factors is."""
    humid = quantity("humidity").text(table.humidity, system)
    return f"{table.standard}: observed power times this is corrected power (at {humid} humidity)"


def pressure_heads(table: FactorTable, system: System) -> list[str]:
    """The columns of the factors."""
    return [quantity("air_pressure").text(value, system) for value in table.pressures]


def factor_rows(table: FactorTable, system: System) -> list[tuple[str, list[str]]]:
    """Temperature and factors of each row."""
    shown = quantity("correction_factor").unit("metric")
    return [
        (quantity("air_temperature").text(temperature, system),
         [text_of(factor, shown, 3) for factor in factors])
        for temperature, factors in zip(table.temperatures, table.factors, strict=True)
    ]  # fmt: skip


def _factors(table: FactorTable, system: System) -> Iterator[str]:
    yield factor_words(table, system)
    yield f"  {'':10}{''.join(f'{head:>12}' for head in pressure_heads(table, system))}"
    for temperature, factors in factor_rows(table, system):
        yield f"  {temperature:<10}{''.join(f'{factor:>12}' for factor in factors)}"


def new_setups(card: Card) -> list[str]:
    """Lines of the build's file for setups that it does not have yet."""
    lines = []
    for step in card.steps:
        if step.new:
            rows, fuel = step.setup.rows, step.setup.setup.fuel
            parts = [f"id: {step.id}"]
            parts += [f"{key}: {rows[key].text}" for key in ("crank_pulley", "blower_pulley")]
            parts += [f"fuel: {fuel.name.value}"] if fuel and fuel.name else []
            lines.append(f"- {{{', '.join(parts)}}}")
    return lines


def command(card: Card) -> str:
    """The command that takes what was written on the card."""
    options = " ".join(f"{name} ..." for name, _ in DAY if name not in ("--elevation", "--note"))
    peaks = "; ".join(f"{key} ..." for key, _ in PULL)
    first, *others = [step.id for step in card.steps]
    pulls = " ".join([f'--pull "{first}: {peaks}"', *(f'--pull "{it}: ..."' for it in others)])
    return f"specgen new session {card.sheet.id} {options} {pulls}"
