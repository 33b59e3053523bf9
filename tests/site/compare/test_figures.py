"""Every figure of the comparison equals its sheet's: tables, read-outs, averages."""

from __future__ import annotations

from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Browser

from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet
from specgen.analysis.workings import PullSheet
from specgen.publish.compare.rows import GROUPS, Line
from specgen.publish.web.handover import cell
from specgen.vocabulary import SYSTEMS, System
from tests.site.compare.chosen import plain
from tests.site.conftest import Visit, visitor

pytestmark = pytest.mark.browser

#: What a comparison prints: by line of its table, a text for each column; and its averages.
Table = dict[str, list[str]]

#: Lead one page to one comparison after the other, by the way that the browser's own buttons
#: take, and read each table once it is drawn anew.
_READ = """async (queries) => {
  const drawn = () => document.querySelector('.sg-compare-table');
  const found = [];
  for (const query of queries) {
    drawn()?.remove();
    history.pushState(null, '', `?${query}`);
    window.dispatchEvent(new PopStateEvent('popstate'));
    for (let turn = 0; !drawn(); turn += 1) {
      if (turn > 2000) throw new Error(`nothing is drawn for ${query}`);
      await new Promise(done => setTimeout(done, 5));
    }
    await new Promise(done => setTimeout(done));
    const averages = [...document.querySelectorAll("[data-sg-cell$='-average']")];
    const lines = [...document.querySelectorAll('[data-sg-line]')].map(row =>
      [row.dataset.sgLine, [...row.cells].slice(1).map(cell => cell.innerText)]);
    found.push(Object.fromEntries([...lines, ['averages', averages.map(it => it.innerText)]]));
  }
  return found;
}"""


def columns(sheets: dict[str, Sheet]) -> Iterator[tuple[Sheet, list[PullSheet]]]:
    """All pulls of all builds, a build's own beside each other, five at most."""
    for sheet in sheets.values():
        for start in range(0, len(sheet.pulls), 5):
            yield sheet, list(sheet.pulls[start : start + 5])


def query(sheet: Sheet, pulls: list[PullSheet]) -> str:
    """How an address asks for these pulls."""
    return "with=" + ",".join(f"{sheet.id}/{pull.setup.id}/{pull.id}" for pull in pulls)


@pytest.fixture(scope="module")
def tables(browser: Browser, address: str, sheets: dict[str, Sheet]) -> dict[str, list[Table]]:
    """The comparison's table for each of `columns`, in either system of units."""
    queries = [query(sheet, pulls) for sheet, pulls in columns(sheets)]
    read: dict[str, list[Table]] = {}
    with visitor(browser, address) as visit:
        for system in SYSTEMS:
            watched = visit()
            page = watched.open(f"compare/?units={system}")
            read[system] = page.evaluate(_READ, [f"{it}&units={system}" for it in queries])
            assert watched.told() == []
    return read


def expected(line: Line, sheet: Sheet, pull: PullSheet, system: System) -> str:
    """What a sheet prints for a line of the comparison, in one system."""
    step = next(it for it in sheet.ladder if it.setup is pull.setup)
    part: dict[str, Any] = {
        "base": pull.rows,
        "pull": pull,
        "step": step,
        "setup": pull.setup,
        "build": sheet,
    }
    found = line.find(part[line.level])
    if isinstance(found, Row) and found.present and not found.is_curve:
        shown, value, spread = found.quantity, found.scalar, found.expanded
        number = shown.number(value, system, spread)
        margin = f" ±{shown.margin(spread, system)}" if spread else ""
        return plain(f"{number}{margin}{shown.unit(system).shown}")
    return plain(found) if isinstance(found, str) else "–"


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_figure_equals_the_sheets(
    system: System, tables: dict[str, list[Table]], sheets: dict[str, Sheet]
) -> None:
    """All lines of all pulls of all demo builds read as the rows of the sheets, to the digit."""
    seen = 0
    for (sheet, pulls), shown in zip(columns(sheets), tables[system], strict=True):
        for line in (line for _, members in GROUPS for line in members):
            wanted = [expected(line, sheet, pull, system) for pull in pulls]
            if set(wanted) == {"–"}:
                assert line.key not in shown
                continue
            assert [plain(text) for text in shown[line.key]] == wanted, (sheet.id, line.key)
            seen += len(wanted)
    assert seen > 1200


class _Sources(HTMLParser):
    """What a built sheet prints for each of its rows, by the row's anchor."""

    def __init__(self) -> None:
        super().__init__()
        self.values: dict[str, str] = {}
        self._text: list[str] | None = None
        self._depth = 0
        self._last = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        known = dict(attrs)
        kind = known.get("class") or ""
        if tag == "span" and "sg-prov-value" in kind:
            self._text, self._depth = [], 0
        elif self._text is not None and tag == "span":
            self._depth += 1
            if kind == "sg-i":
                self._text.append("|")
        elif "sg-prov-body" in kind and known.get("id"):
            self.values[str(known["id"])] = self._last

    def handle_endtag(self, tag: str) -> None:
        if self._text is not None and tag == "span":
            if self._depth == 0:
                self._last = plain("".join(self._text).split("|")[0])
                self._text = None
            self._depth -= 1

    def handle_data(self, data: str) -> None:
        if self._text is not None:
            self._text.append(data)


def test_every_figure_stands_on_its_sheet_with_the_same_digits(
    tables: dict[str, list[Table]], sheets: dict[str, Sheet], built_site: Path
) -> None:
    """What the built sheet prints among its sources is what the built comparison prints."""
    found = 0
    printed: dict[str, dict[str, str]] = {}
    for (sheet, pulls), shown in zip(columns(sheets), tables["metric"], strict=True):
        if sheet.id not in printed:
            sources = _Sources()
            known = built_site / "builds" / sheet.id / "figures" / "index.html"
            sources.feed(known.read_text("utf-8"))
            printed[sheet.id] = sources.values
        for key in ("power", "torque", "specific_power", "mean_pressure", "boost"):
            for at, pull in enumerate(pulls):
                row = pull.rows[key]
                wanted = printed[sheet.id].get(row.anchor)
                if wanted is not None and cell(row):
                    assert plain(shown[key][at]) == wanted, (sheet.id, row.anchor)
                    found += 1
    assert found > 100


def test_the_read_out_at_the_peak_is_the_peak(visit: Visit, sheets: dict[str, Sheet]) -> None:
    """Read at the speed of its own peak, each curve gives the figure of the table."""
    page = visit().open("compare/")
    seen = 0
    for sheet in sheets.values():
        for pull in sheet.pulls:
            if not pull.rows["speed_curve"].present:
                continue
            texts = page.evaluate(
                """async ([id, setup, pull, file, rpm]) => {
                  const named = document.querySelector('[data-index]').dataset.index;
                  const index = await specgen.data.load('builds', named);
                  const build = await specgen.data.load(`build ${id}`, file);
                  const { item } = specgen.compare.itemOf({ build: id, setup, pull }, build);
                  const basis = { base: index.base, litre: false, place: '' };
                  return ['power', 'torque', 'boost'].map((key, at) => {
                    const line = specgen.measure.curve(item, key, basis);
                    if (!line) return null;
                    const value = specgen.measure.at(line, rpm[at]);
                    return specgen.numbers.figure(index.quantities[key], value,
                      specgen.measure.expanded(item, key, basis, value));
                  });
                }""",
                [
                    sheet.id,
                    pull.setup.id,
                    pull.id,
                    f"../builds/{sheet.id}/compare.js",
                    [_speed(pull.rows[key]) for key in ("power", "torque", "boost")],
                ],
            )
            for key, text in zip(("power", "torque", "boost"), texts, strict=True):
                assert text == cell(pull.rows[key]), (sheet.id, pull.id, key)
            seen += 1
    assert seen > 30


def _speed(row: Row) -> float:
    """The speed of a peak [rpm]."""
    return round(row.at.scalar * 60, 6) if row.present and row.at is not None else 0.0


def test_the_average_over_a_range_is_that_of_the_pull(
    visit: Visit, sheets: dict[str, Sheet]
) -> None:
    """The page's figure is the area under the power that was recorded, over the reader's range."""
    wanted: list[tuple[str, list[float | None]]] = []
    for sheet, pulls in columns(sheets):
        curved = [it for it in pulls if it.rows["torque_column"].present]
        if curved:
            low = round(max(it.rows["speed_curve"].curve[0] for it in curved) * 60 + 50)
            high = round(min(it.rows["speed_curve"].curve[-1] for it in curved) * 60 - 130)
            asked = f"{query(sheet, curved)}&base=observed&range={low}-{high}"
            wanted.append((asked, [average(pull, low / 60, high / 60) for pull in curved]))
    read = visit().open("compare/").evaluate(_READ, [asked for asked, _ in wanted])
    checked = 0
    for (asked, powers), table in zip(wanted, read, strict=True):
        for power, text in zip(powers, table["averages"], strict=True):
            if power is not None:
                number = plain(text).partition("±")[0]
                step = 10.0 ** -len(number.partition(".")[2])
                assert float(number) == pytest.approx(power / 1e3, abs=step * 0.51), asked
                checked += 1
    assert checked > 15


def average(pull: PullSheet, low: float, high: float) -> float | None:
    """Mean power of a pull's recorded torque between two speeds [1/s], on a fine grid [W].

    None where the recorded figures were already corrected: as observed they are others.
    """
    if pull.session.figures.state != "observed":
        return None
    speed, torque = pull.rows["speed_curve"].curve, pull.rows["torque_column"].curve
    grid = np.unique(np.concatenate([np.linspace(low, high, 4001), speed]))
    grid = grid[(grid >= low) & (grid <= high)]
    power = np.interp(grid, speed, 2 * np.pi * speed * torque)
    return float(np.sum((power[1:] + power[:-1]) / 2 * np.diff(grid)) / (high - low))
