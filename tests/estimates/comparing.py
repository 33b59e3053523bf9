"""The browser's estimates of many cases beside the package's own, and where they differ."""

from __future__ import annotations

import gzip
import json
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from specgen.analysis.planning.plan import PlannedPair
from specgen.analysis.planning.typed import beyond, typed_pair
from specgen.archive.model.build import Archive
from specgen.publish import addresses
from specgen.publish.estimate.data import Estimates
from specgen.publish.estimate.model import model_script
from specgen.publish.web.bundles import bundles
from tests.estimates.engines import Case

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

#: How far two figures may lie apart, as a share.
CLOSE = 1e-6
FIGURES = (
    "ratio", "blower_speed", "boost", "power", "torque", "discharge_temperature",
    "charge_temperature", "drive_power", "fuel_flow", "injector_duty", "octane_asked",
)  # fmt: skip
#: How many cases go to the browser at once.
_BATCH = 100
_WORK = """([common, cases]) => cases.map(({ blower, typed, crank, pulley }) => {
  for (const name in typed) if (typed[name] === null) typed[name] = NaN;
  const { working, asking } = specgen;
  const engine = working.engineRows(common, blower, typed);
  const [whole, short] = [true, false].map((it) => working.pairOf(
    common, blower, typed, engine, ["", crank], ["", pulley], it));
  const read = (it) => JSON.stringify([it.figures, it.rooms, it.reason, it.widens,
    ["power", "torque"].map((key) => specgen.telling.peak(it, key))]);
  const { figures, rooms } = whole;
  return { figures, rooms, beyond: asking.beyond(typed, common.ranges),
    apart: read(whole) === read(short) ? "" : `${read(whole)}, in a table ${read(short)}` };
})"""


@dataclass
class Apart:
    """What differs, how far figures lay apart at most, and what was refused how often."""

    faults: list[str] = field(default_factory=list)
    furthest: float = 0.0
    figures: int = 0
    refused: Counter[str] = field(default_factory=Counter)


def scripts() -> dict[str, str]:
    """Every script and style of the site by its address."""
    return dict(bundles(model=model_script()))


def weight(text: str) -> int:
    """Bytes of a text as a server sends it."""
    return len(gzip.compress(text.encode("utf-8"), 9))


def taken(script: str) -> Any:
    """What a data file hands over."""
    start = script.index(",", script.index("(")) + 1
    return json.loads(script[start : script.rindex(")")])


def opened(browser: Browser) -> Page:
    """A page with the estimate's scripts and nothing else."""
    made = scripts()
    page = browser.new_page()
    page.set_content("<!doctype html><title>-</title>")
    for address in (addresses.SCRIPT, addresses.ESTIMATE_SCRIPT):
        page.add_script_tag(content=made[address])
    return page


def compared(browser: Browser, archive: Archive, drawn: Sequence[Case]) -> Apart:
    """Estimate every case on both sides."""
    common = taken(Estimates(archive, ()).common_script())
    page, apart = opened(browser), Apart()
    for start in range(0, len(drawn), _BATCH):
        some = drawn[start : start + _BATCH]
        found = page.evaluate(_WORK, [common, [case.written() for case in some]])
        for case, theirs in zip(some, found, strict=True):
            own = typed_pair(case.archive, case.blower, case.typed, case.crank, case.pulley)
            _set_beside(own, theirs, case, apart)
    page.close()
    return apart


def _set_beside(own: PlannedPair, theirs: dict[str, Any], case: Case, apart: Apart) -> None:
    for name in FIGURES:
        row, other = own.figures[name], theirs["figures"].get(name)
        apart.figures += 1
        if not row.present:
            apart.refused[row.reason] += 1
            unasked = name == "injector_duty" and row.reason == "injectors not recorded"
            if not unasked and (other or {}).get("reason") != row.reason:
                apart.faults.append(
                    f"{name}: refused for {row.reason!r}, not {other} ({case.told})"
                )
            continue
        for mine, that in ((row.scalar, "value"), (row.expanded or 0.0, "width")):
            far = _far(mine, (other or {}).get(that))
            apart.furthest = max(apart.furthest, far)
            if not far <= CLOSE:
                apart.faults.append(f"{name}: {that} {mine}, not {other} ({case.told})")
    rooms = [(room.value.scalar, room.state) for room in own.rooms]
    others = [(room["value"], room["state"]) for room in theirs["rooms"]]
    if [state for _, state in rooms] != [state for _, state in others]:
        apart.faults.append(f"limits {rooms}, not {others} ({case.told})")
    if theirs["apart"]:
        apart.faults.append(f"a pair drawn whole and in a table: {theirs['apart']} ({case.told})")
    if sorted(beyond(case.typed)) != sorted(theirs["beyond"]):
        apart.faults.append(f"beyond the model {beyond(case.typed)}, not {theirs['beyond']}")


def _far(one: float, other: float | None) -> float:
    if other is None:
        return float("inf")
    return abs(one - other) / max(abs(one), 1e-12) if one != other else 0.0
