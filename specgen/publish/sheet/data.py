"""A sheet as data: every figure that was printed, and every figure it rests on, as JSON.

One unit a row, named beside it, in full precision; the format's number rises when a key changes
its meaning. Beside the figures stand what was made of them: the fit, the ladder, what does not
fit, and what is near its limit.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any

from specgen.analysis.fit.unknowns import FittedUnknown, fitted_unknowns
from specgen.analysis.judging.diagnosis import Diagnosis
from specgen.analysis.judging.ladder import Step
from specgen.analysis.judging.limits import Limit
from specgen.analysis.judging.reach import beyond_data, planned_excesses
from specgen.analysis.rows.row import COVERAGE, Row
from specgen.analysis.sheet import Sheet
from specgen.analysis.workings import FIT, FITTED, PullSheet
from specgen.archive.model.build import Archive
from specgen.archive.model.standing import Withdrawn
from specgen.publish.logged import extra_channels
from specgen.publish.typesetting.plain_data import figure_data, plain_value, rounded
from specgen.publish.typesetting.verdicts import verdict

FORMAT = 1
#: Made once: a sheet has some eight hundred lines.
_ENCODER = json.JSONEncoder(ensure_ascii=False, allow_nan=False)
#: The file beside this one that describes the data.
SHEET_SCHEMA = "sheet.schema.json"


def sheet_json(archive: Archive, sheet: Sheet, shown: Iterable[tuple[str, Row]]) -> str:
    """Write a build's figures as JSON text with a final newline.

    `shown` are the figures of its page with their scopes' titles, as `SheetPage` has them.
    """
    document = {
        "format": FORMAT,
        "archive": archive.settings.name.value,
        "invented": bool(archive.settings.invented and archive.settings.invented.value),
        "id": sheet.id,
        "title": sheet.build.title.value,
        "coverage_factor_shown": COVERAGE,
        "withdrawn": _withdrawn(sheet.build.withdrawn),
    }
    parts = [
        _members(document),
        _list("withdrawn_pulls", map(_withdrawn_pull, sheet.withdrawn)),
        _list("limits", map(_limit, sheet.every_limit)),
        _list("ladder", (_step(sheet, step) for step in sheet.ladder)),
        _list("diagnoses", map(_diagnosis, sheet.diagnoses)),
        f'"calibration": {_calibration(sheet)}',
        _list("channels", _channels(sheet)),
        _list("figures", _figures(sheet, shown)),
    ]
    return "{" + ",\n".join(parts) + "}\n"


def _list(name: str, objects: Iterable[dict[str, Any]]) -> str:
    """Write a list with one object on a line."""
    lines = ",\n".join(map(_json, objects))
    return f'"{name}": [\n{lines}\n]' if lines else f'"{name}": []'


def _members(data: dict[str, Any]) -> str:
    """Write the members of an object on one line, without its brackets."""
    written = ((_json(name), _json(value)) for name, value in data.items())
    return ", ".join(f"{name}: {value}" for name, value in written)


def _json(data: Any) -> str:
    """Write one object on one line: a figure a line can be compared from edition to edition."""
    return _ENCODER.encode(data)


def _figures(sheet: Sheet, shown: Iterable[tuple[str, Row]]) -> Iterator[dict[str, Any]]:
    """Every figure of every scope, then those of the page and those that they all rest on."""
    listed = list(sheet.scopes)
    rows = [(scope.title, row) for scope in listed for row in scope]
    if sheet.calibration is not None:
        rows += [(FITTED, row) for row in sheet.calibration.all_fitted(FIT)]
    titles = {scope.name: scope.title for scope in listed}
    known = {(row.scope, row.key) for _, row in rows}
    for title, row in shown:
        if (row.scope, row.key) not in known:
            known.add((row.scope, row.key))
            rows.append((title, row))
    for title, row in rows:  # grows while it is walked
        yield {"of": title, **row_data(row)}
        for part in row.inputs:
            if (part.scope, part.key) not in known:
                known.add((part.scope, part.key))
                rows.append((titles.get(part.scope, part.scope.capitalize()), part))


def _withdrawn(withdrawn: Withdrawn | None) -> dict[str, Any] | None:
    """Since when and why something no longer counts; null where it does."""
    if withdrawn is None:
        return None
    return {"on": withdrawn.on.text, "because": withdrawn.because.value}


def _withdrawn_pull(pull: PullSheet) -> dict[str, Any]:
    """A pull that no longer counts, by itself or with its session."""
    why = pull.pull.withdrawn or pull.session.withdrawn
    return {"pull": pull.id, "setup": pull.setup.id, "withdrawn": _withdrawn(why)}


def _channels(sheet: Sheet) -> Iterator[dict[str, Any]]:
    """What pulls logged that is none of the quantities, with the speeds it was logged at."""
    for pull in (*sheet.pulls, *sheet.withdrawn):
        for channel in extra_channels(pull):
            yield {
                "pull": pull.id,
                "name": channel.name,
                "unit": channel.unit,
                "value": plain_value(channel.values, 1.0, 0.0),
                "at": {
                    "unit": "rpm",
                    "value": plain_value(pull.rows["speed_curve"].curve, 1 / 60, 0.0),
                },
            }


def _limit(limit: Limit) -> dict[str, Any]:
    return {
        "title": limit.title,
        "setup": limit.setup,
        "planned": limit.planned,
        "value": figure_data(limit.value),
        "limit": figure_data(limit.limit),
    }


def _step(sheet: Sheet, step: Step) -> dict[str, Any]:
    """One setup: measured, predicted from the other setups alone, and how the two agree."""
    named = step.setup.id in {found.setup.id for found in sheet.diagnoses}
    return {
        "setup": step.setup.id,
        "title": step.setup.title,
        "planned": step.setup.planned,
        "pull": step.pull.id if step.pull else None,
        "other_pulls": step.others,
        "boost": _pair(step.measured_boost, step.estimated_boost, step.boost_miss),
        "power": _pair(step.measured_power, step.estimated_power, step.power_miss),
        "verdict": verdict(step, named=named),
        "beyond_data": list(beyond_data(sheet, step.setup)),
        "above_limit": [
            {"key": found.value.key, "limit": figure_data(found.limit), "certain": found.certain}
            for _, found in planned_excesses(sheet, step.setup)
        ],
    }


def _pair(measured: Row | None, predicted: Row, miss: float | None) -> dict[str, Any]:
    left_over = None if miss is None else plain_value(miss, predicted.quantity.metric.factor, 0.0)
    return {
        "measured": figure_data(measured),
        "predicted": figure_data(predicted),
        "left_over": left_over,
    }


def _diagnosis(found: Diagnosis) -> dict[str, Any]:
    return {
        "setup": found.setup.id,
        "pull": found.pull,
        "figure": found.figure,
        "pattern": found.pattern.words,
        "standard_deviations": rounded(found.size),
        "engine_speed": {"unit": "rpm", "value": rounded(found.speed * 60)},
        "causes": [
            {"title": cause.title, "evidence": [item.text for item in cause.evidence]}
            for cause in found.causes
        ],
    }


def _calibration(sheet: Sheet) -> str:
    """What the fit rests on and each of its unknowns; null where nothing was fitted."""
    fit = sheet.calibration
    if fit is None:
        return "null"
    aside = dict.fromkeys(trace.setup for trace in fit.set_aside)
    head = _members({"pulls": fit.pulls, "setups": fit.setups, "set_aside": list(aside)})
    unknowns = _list("unknowns", map(_unknown, fitted_unknowns(fit, FIT)))
    return f"{{{head},\n{unknowns}}}"


def _unknown(item: FittedUnknown) -> dict[str, Any]:
    return {
        "key": item.before.key,
        "title": item.after.title,
        "group": item.group,
        "prior": {"basis": item.before.basis, **(figure_data(item.before) or {})},
        "posterior": figure_data(item.after),
        "pinned": item.pinned,
        "narrowed_to": rounded(item.narrowed),
    }


def row_data(row: Row) -> dict[str, Any]:
    """Turn one row into plain data; an absent row has a reason instead of a value."""
    data: dict[str, Any] = {
        "key": row.key,
        "scope": row.scope,
        "title": row.title,
        "basis": row.basis,
    }
    if not row.present:
        return {**data, "reason": row.reason}
    data |= figure_data(row) or {}
    if row.formula is not None:
        data["formula"] = row.formula.name
        data["inputs"] = [{"scope": part.scope, "key": part.key} for part in row.inputs]
    if row.place is not None:
        data["place"] = {"file": row.place.file, "line": row.place.line}
    for name in ("text", "source", "standing"):
        if value := getattr(row, name):
            data[name] = value
    return data
