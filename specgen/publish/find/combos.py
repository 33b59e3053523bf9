"""The tested combos as the page that finds one like a reader's own takes them over."""

from __future__ import annotations

from collections.abc import Iterable

from specgen.analysis.rows.scope import Scope
from specgen.analysis.sheet import Sheet
from specgen.analysis.words import blend_name, induction_words
from specgen.publish.web.handover import FORMAT, Words, cell, script, short


def combos_script(sheets: Iterable[Sheet]) -> str:
    """Every tested setup with its best pull, by columns, for finding one like a reader's own."""
    words, rows = Words(), []
    for number, sheet in enumerate(sheets):
        if sheet.build.withdrawn:
            continue
        volume, speed = sheet.engine["swept_volume"], sheet.engine["max_speed"]
        kind = induction_words(sheet.build, sheet.blower.kind.value if sheet.blower else None)
        for setup in sheet.setups:
            best = setup.best
            if best is None or not best.rows["power"].present:
                continue
            power = best.rows["power"]
            rows.append(
                (
                    number,
                    setup.id,
                    words(setup.title),
                    sheet.build.engine.cylinders.value,
                    short(volume.scalar * 1e3, 4) if volume.present else 0,
                    round(speed.scalar * 60) if speed.present else 0,
                    words(kind),
                    words(blend_name(setup.setup.fuel)),
                    short(_alcohol(setup.rows), 2),
                    words(best.session.dyno.measured_at.value),
                    words(power.standing),
                    cell(power) or "",
                    cell(best.rows["specific_power"]) or "",
                    cell(best.rows["boost"]) or "",
                    best.session.date.value.year,
                )
            )
    names = ("build", "setup", "title", "cylinders", "litres", "rpm", "fed", "fuel", "alcohol",
             "place", "standing", "power", "specific", "boost", "year")  # fmt: skip
    columns = {name: [row[at] for row in rows] for at, name in enumerate(names)}
    return script("combos", {"format": FORMAT, **columns, "words": words.texts})


def _alcohol(rows: Scope) -> float:
    """Share of alcohol in a setup's fuel by volume; below zero where the fuel is not recorded."""
    shares = [rows["share_ethanol"], rows["share_methanol"]]
    return sum(row.scalar for row in shares) if all(row.present for row in shares) else -1.0
