"""What a reader's browser needs to compare builds, as scripts that hand plain data over.

Scripts and not JSON files, because a page opened from a disk may load a script but fetch nothing.
One short index of all builds by columns, and one file a build, loaded when it is chosen.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from specgen.analysis.judging.bases import (
    BASES,
    OBSERVED,
    drive_line_range,
    drive_line_ranges,
    in_base,
    own_base,
)
from specgen.analysis.rows.row import Row
from specgen.analysis.rows.scope import Scope
from specgen.analysis.sheet import Sheet
from specgen.analysis.tables.boost_control import leads_observed
from specgen.analysis.words import MEASURING_POINTS, engine_words, induction_words, title_words
from specgen.analysis.workings import PullSheet
from specgen.archive.model.build import Archive, Session
from specgen.physics.correction import STANDARDS
from specgen.publish.compare.rows import GROUPS, cells
from specgen.publish.web.handover import FORMAT, Words, cell, columns, script, short, shown_units

#: Significant digits of curves and shares: more than any figure here supports.
_DIGITS, _SHARE_DIGITS = 7, 5
#: Quantities that a browser prints by itself: read-outs, averages, differences.
_PRINTED = ("power", "torque", "boost", "specific_power", "mean_pressure", "engine_speed",
            "swept_volume")  # fmt: skip
_TWICE = "its boost is held at an absolute pressure, so that a correction may count twice"
_CURVES = ("power", "torque", "boost")


# ------------------------------------------------------------------------- index


#: The index's columns, and those of them whose texts repeat.
_INDEX = ("id", "title", "engine", "size", "fed", "power", "place", "date")
_REPEATED = {"engine", "fed", "place"}


def index_script(archive: Archive, rows: Iterable[Sequence[str]]) -> str:
    """All builds by columns, with what the pages need to print and to explain figures.

    `rows` are those that `index_row` gives.
    """
    words, listed = Words(), list(rows)
    data = {
        "format": FORMAT,
        "base": own_base(archive.settings),
        "bases": [_base(key) for key in BASES],
        "places": _places(),
        "quantities": {key: shown_units(key) for key in _used_quantities()},
        "groups": [
            [title, [[line.key, line.title, line.quantity, line.level] for line in members]]
            for title, members in GROUPS
        ],
        "formerly": {
            old.value: build.id for build in archive.builds.values() for old in build.formerly
        },
        **columns(_INDEX, listed, _REPEATED, words),
        "words": words.texts,
    }
    return script("builds", data)


def index_row(sheet: Sheet) -> tuple[str, ...]:
    """One build in the index of all."""
    best = sheet.best
    return (
        sheet.id,
        title_words(sheet.build),
        engine_words(sheet.build),
        cell(sheet.engine["swept_volume"]) or "",
        induction_words(sheet.build, sheet.blower.kind.value if sheet.blower else None),
        cell(best.rows["power"]) or "" if best else "",
        best.session.dyno.measured_at.value if best else "",
        best.session.day if best else "",
    )


def _base(key: str) -> list[str]:
    """A base's key, its name, its air, and where its standard permits it."""
    if key == OBSERVED:
        return [key, "as observed", "", ""]
    standard = STANDARDS[key]
    return [key, standard.title, standard.reference, standard.permitted or ""]


def _places() -> dict[str, list[Any]]:
    """Each measuring point: words, and the range of what arrives there of the flywheel's power."""
    return {
        place: [MEASURING_POINTS[place], *(short(end, 4) for end in ends)]
        for place, ends in drive_line_ranges().items()
    }


def _used_quantities() -> list[str]:
    lines = (line.quantity for _, members in GROUPS for line in members if line.quantity)
    return sorted({*lines, *_PRINTED})


# ------------------------------------------------------------------------- one build


def build_script(sheet: Sheet) -> str:
    """One build with all its setups and pulls: texts, curves, and what uncertainty rests on."""
    roots = Words()
    volume = sheet.engine["swept_volume"]
    places = {setup.id: number for number, setup in enumerate(sheet.setups)}
    data = {
        "format": FORMAT,
        "title": title_words(sheet.build),
        "cells": cells("build", sheet),
        "volume": [*_value_and_share(volume)],
        "setups": [
            {
                "id": setup.id,
                "title": setup.title,
                "cells": {**cells("setup", setup), **cells("step", step)},
                "best": setup.best.id if setup.best else "",
            }
            for setup, step in zip(sheet.setups, sheet.ladder, strict=True)
        ],
        "best": sheet.best.id if sheet.best else "",
        "formerly": {old: pull.id for pull in sheet.pulls for old in pull.pull.earlier},
        "pulls": [_pull(pull, places[pull.setup.id], roots) for pull in sheet.pulls],
    }
    return script(f"build {sheet.id}", data)


def _value_and_share(row: Row) -> tuple[float, float]:
    """A figure and its relative standard uncertainty; zeros where there is none."""
    if not row.present or not row.scalar:
        return 0.0, 0.0
    spread = row.uncertainty
    share = spread / row.scalar if isinstance(spread, float) else 0.0
    return short(row.scalar, _DIGITS), short(share, _SHARE_DIGITS)


def _pull(pull: PullSheet, setup: int, roots: Words) -> dict[str, Any]:
    rows, session = pull.rows, pull.session
    boost = rows["boost"]
    low, high = _line(pull)
    density = rows["air_density"]
    data: dict[str, Any] = {
        "id": pull.id,
        "setup": setup,
        "date": session.day,
        "place": session.dyno.measured_at.value,
        "line": [short(low, 4), short(high, 4)],
        "density": short(density.scalar, 4) if density.present else 0,
        "cells": cells("pull", pull),
        "bases": {base: _in_base(pull, base, roots) for base in BASES},
        "peak": {key: _reported(rows, key) for key in _CURVES},
        "own": {
            key: _shares(rows[f"reported_{key}"], roots) for key in ("power", "torque")
        },
        "boost_u": short((boost.expanded or 0.0) / 2, _SHARE_DIGITS) if boost.present else 0,
    }  # fmt: skip
    return {**data, **_curves(pull)}


def _line(pull: PullSheet) -> tuple[float, float]:
    """The range of what of the flywheel's power arrives where this pull was measured."""
    row = pull.rows["drive_line_efficiency"]
    spread = row.uncertainty
    return drive_line_range(row.scalar, spread if isinstance(spread, float) else 0.0)


def _reported(rows: Scope, key: str) -> float:
    """The peak in SI as the dyno's paper has it; zero where it was not recorded."""
    row = rows[key if key == "boost" else f"reported_{key}"]
    return short(row.scalar, _DIGITS) if row.present else 0


def _in_base(pull: PullSheet, base: str, roots: Words) -> dict[str, Any]:
    """Texts in a base, and what takes a reported figure there: factor and what it rests on."""
    rows = in_base(pull, base)
    made: dict[str, Any] = {"cells": cells("base", rows)}
    shown = rows["power"] if rows["power"].present else rows["torque"]
    if not shown.present:
        return made
    reported = rows[f"reported_{shown.quantity.key}"]
    made["factor"] = short(shown.scalar / reported.scalar, 15)
    made["air"] = [
        pair
        for pair in _shares(shown, roots)
        if pair[0] not in {roots(it) for it in reported.spread}
    ]
    wanted = rows["observed_power" if base == OBSERVED else "corrected_power"]
    if shown.quantity.key == "torque":
        wanted = rows["observed_torque" if base == OBSERVED else "corrected_torque"]
    if not wanted.present:
        made["why"] = wanted.reason
    elif base != OBSERVED and leads_observed(rows):
        made["why"] = _TWICE
    elif base != OBSERVED and not _permitted(base, rows, pull.session):
        made["beyond"] = 1
    return made


def _permitted(base: str, rows: Scope, session: Session) -> bool:
    """Whether a standard permits its factor in the air of a session."""
    standard = STANDARDS[base]
    factor, temperature = rows["correction_factor"], rows["air_temperature"]
    if session.figures.standard is not None and session.figures.standard.value == base:
        return True
    pressure = rows["dry_pressure" if standard.dry else "station_pressure"]
    spans = (
        (factor, standard.factor_range),
        (temperature, standard.temperature_range),
        (pressure, standard.pressure_range),
    )
    return all(
        span is None or not row.present or span[0] <= row.scalar <= span[1] for row, span in spans
    )


def _shares(row: Row, roots: Words) -> list[list[float]]:
    """What each independent root adds to a figure, relative to it: number of the root, share."""
    if not row.present or not row.scalar:
        return []
    return [
        [roots(name), short(float(part) / row.scalar, _SHARE_DIGITS)]
        for name, part in row.spread.items()
    ]


def _curves(pull: PullSheet) -> dict[str, list[float | None]]:
    """Curves as reported, in the units of the pages: speed, and what was recorded over it.

    Where only one of power and torque was recorded, the other follows from it in the browser.
    """
    rows = pull.rows
    if not rows["speed_curve"].present:
        return {}
    wanted = [
        (key, rows[name])
        for key, name in (("power", "power_column"), ("torque", "torque_column"),
                          ("boost", "boost_curve"))
    ]  # fmt: skip
    curves = {key: _listed(row) for key, row in wanted if row.present}
    return {"speed": _listed(rows["speed_curve"]), **curves}


def _listed(row: Row) -> list[float | None]:
    unit = row.quantity.metric
    return [
        short((float(value) - unit.offset) / unit.factor, _DIGITS) if np.isfinite(value) else None
        for value in row.curve
    ]
