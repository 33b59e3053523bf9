"""The tested combos as the page that finds one like a reader's own takes them over."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from specgen.analysis.rows.scope import Scope
from specgen.analysis.sheet import Sheet
from specgen.analysis.words import blend_name, induction_words
from specgen.analysis.workings import PullSheet, SetupSheet
from specgen.publish.web.handover import FORMAT, Words, cell, columns, script, short

#: The columns of the page's data, and those of them whose texts repeat.
_COLUMNS = ("build", "setup", "title", "cylinders", "litres", "rpm", "fed", "fuel", "alcohol",
            "place", "standing", "power", "specific", "boost", "year")  # fmt: skip
_REPEATED = {"title", "fed", "fuel", "place", "standing"}

#: One tested setup: its columns without the first.
Combo = tuple[str | float, ...]


def combos_script(builds: Iterable[Sequence[Combo]]) -> str:
    """Every tested setup by columns, for finding one like a reader's own.

    `builds` has what `combos_of` gives of each, in the order of the comparison's index.
    """
    words = Words()
    rows = [(number, *combo) for number, found in enumerate(builds) for combo in found]
    found = columns(_COLUMNS, rows, _REPEATED, words)
    return script("combos", {"format": FORMAT, **found, "words": words.texts})


def combos_of(sheet: Sheet) -> tuple[Combo, ...]:
    """The tested setups of a build, each with its best pull; none of one that was withdrawn."""
    if sheet.build.withdrawn:
        return ()
    tested = ((setup, setup.best) for setup in sheet.setups)
    return tuple(
        _combo(sheet, setup, best)
        for setup, best in tested
        if best is not None and best.rows["power"].present
    )


def _combo(sheet: Sheet, setup: SetupSheet, best: PullSheet) -> Combo:
    volume, speed = sheet.engine["swept_volume"], sheet.engine["max_speed"]
    power = best.rows["power"]
    return (
        setup.id,
        setup.title,
        sheet.build.engine.cylinders.value,
        short(volume.scalar * 1e3, 4) if volume.present else 0,
        round(speed.scalar * 60) if speed.present else 0,
        induction_words(sheet.build, sheet.blower.kind.value if sheet.blower else None),
        blend_name(setup.setup.fuel),
        short(_alcohol(setup.rows), 2),
        best.session.dyno.measured_at.value,
        power.standing,
        cell(power) or "",
        cell(best.rows["specific_power"]) or "",
        cell(best.rows["boost"]) or "",
        best.session.when.year if best.session.when else 0,
    )


def _alcohol(rows: Scope) -> float:
    """Share of alcohol in a setup's fuel by volume; below zero where the fuel is not recorded."""
    shares = [rows["share_ethanol"], rows["share_methanol"]]
    return sum(row.scalar for row in shares) if all(row.present for row in shares) else -1.0
