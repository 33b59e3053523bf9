"""Comparing in a real browser: figures, words, curves, address, keyboard, units."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import Page, expect

from specgen.analysis.row import Row
from specgen.analysis.sheet import PullSheet, Sheet, analyse
from specgen.archive.model import Archive
from specgen.publish.compare_rows import GROUPS, Line, cell
from specgen.units import NARROW_SPACE
from specgen.vocabulary import System
from tests.site.conftest import Watched

pytestmark = pytest.mark.browser

Visit = Callable[..., Watched]
TWICE = "saddle-special/p80/2024-04-24-2,saddle-special/p80/2025-06-07-1"
LADDER = "lark-hydroplane/p95,lark-hydroplane/p85,lark-hydroplane/p80"


@pytest.fixture(scope="module")
def sheets(archive: Archive) -> dict[str, Sheet]:
    """All demo sheets."""
    return analyse(archive)


def words(page: Page) -> str:
    """What the page says about how far its figures compare, in the units shown."""
    return " ".join(page.locator(".sg-compare-words li").all_inner_texts())


def plain(text: str) -> str:
    """A text with its spaces made alike, for comparing what two pages print."""
    return re.sub(r"\s+", " ", text.replace(NARROW_SPACE, "")).strip().replace(" ±", "±")


# ----------------------------------------------------------------- every figure


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


_SHOWN = """() => Object.fromEntries([...document.querySelectorAll('[data-sg-line]')].map(row =>
  [row.dataset.sgLine, [...row.cells].slice(1).map(cell => cell.innerText)]))"""


def columns(sheet: Sheet) -> Iterator[list[PullSheet]]:
    """A build's pulls, five at a time."""
    for start in range(0, len(sheet.pulls), 5):
        yield list(sheet.pulls[start : start + 5])


@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_every_figure_equals_the_sheets(
    system: System, visit: Visit, sheets: dict[str, Sheet]
) -> None:
    """All lines of all pulls of all demo builds read as the rows of the sheets, to the digit."""
    page = visit().open("compare/")
    seen = 0
    for sheet in sheets.values():
        for pulls in columns(sheet):
            chosen = ",".join(f"{sheet.id}/{pull.setup.id}/{pull.id}" for pull in pulls)
            page.goto(f"{page.url.split('?')[0]}?with={chosen}&units={system}")
            expect(page.locator(".sg-compare-table thead th")).to_have_count(len(pulls) + 1)
            shown = page.evaluate(_SHOWN)
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
    visit: Visit, sheets: dict[str, Sheet], built_site: Path
) -> None:
    """What the built sheet prints among its sources is what the built comparison prints."""
    page = visit().open("compare/")
    found = 0
    for sheet in sheets.values():
        html = (built_site / "builds" / sheet.id / "index.html").read_text("utf-8")
        sources = _Sources()
        sources.feed(html)
        for pulls in columns(sheet):
            chosen = ",".join(f"{sheet.id}/{pull.setup.id}/{pull.id}" for pull in pulls)
            page.goto(f"{page.url.split('?')[0]}?with={chosen}&units=metric")
            expect(page.locator(".sg-compare-table thead th")).to_have_count(len(pulls) + 1)
            shown = page.evaluate(_SHOWN)
            for key in ("power", "torque", "specific_power", "mean_pressure", "boost"):
                for at, pull in enumerate(pulls):
                    row = pull.rows[key]
                    printed = sources.values.get(row.anchor)
                    if printed is not None and cell(row):
                        assert plain(shown[key][at]) == printed, (sheet.id, row.anchor)
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
                  const index = await specgen.data.load('builds', 'builds.js');
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


# ------------------------------------------------------------------------ words


def test_one_setup_on_two_dynos_is_not_called_different(visit: Visit) -> None:
    """At the flywheel and at the hubs: the words say so, and no difference in power is called."""
    page = visit().open(f"compare/?with={TWICE}")
    said = words(page)
    assert "one and the same setup" in said
    assert "measured at the flywheel (A) and at the hubs (B)" in said
    assert "no difference in power or torque is called" in said
    assert "overlap: the tests do not tell them apart" in said
    assert "power 11" not in said
    for key in ("power", "torque", "specific_power", "mean_pressure"):
        mark = page.locator(f"[data-sg-line='{key}'] .sg-compare-sign")
        assert mark.inner_text() == "†"


def test_pulls_of_one_day_are_told_apart_where_the_tests_can(visit: Visit) -> None:
    """A difference larger than its uncertainty is said to be; a smaller one is said not to be."""
    page = visit().open("compare/?with=lark-hydroplane/p90,lark-hydroplane/p80,lark-hydroplane/p95")
    said = words(page)
    assert re.search(r"B against A: power 2\dkW more, larger than the±\d\.?\d?kW", plain(said))
    assert "C against A: power" in said
    assert "within the ±" in said.partition("C against A: power")[2].partition(";")[0]
    assert "Like for like: all were measured at the flywheel" in said


def test_figures_that_stand_alone_are_named(visit: Visit) -> None:
    """Unknown correction, other fuel, far weather and untested setups are all said."""
    chosen = "narrow-gauge-railcar/first,narrow-gauge-railcar/third,irrigation-pump,ice-sledge"
    said = words(visit().open(f"compare/?with={chosen}"))
    assert "A stands as reported and not corrected to ISO 1585" in said
    assert "correction is unknown" in said or "already corrected is unknown" in said
    assert "C has not been tested" in said
    assert "The fuel was" in said
    assert "B against A: no difference in power or torque is called, since the figures do not " \
        "stand alike" in said  # fmt: skip
    assert "The air of" in said


def test_words_follow_the_base(visit: Visit) -> None:
    """As observed, weather far apart is said to be set side by side as well."""
    chosen = "with=rescue-launch/p86,saddle-groomer/p105,saddle-three-wheeler"
    page = visit().open(f"compare/?{chosen}&base=observed")
    assert "as observed" in page.locator(".sg-compare-table").inner_text().lower()
    assert "observed figures then set the weather side by side as well" in words(page)
    page.get_by_label("Figures").select_option("sae-j607")
    expect(page.locator("[data-sg-line='standing']")).to_contain_text("corrected, SAE J607")
    assert "takes that out only as far as a standard can" in words(page)


# ----------------------------------------------------------- base, litre, place


def test_a_figure_at_another_measuring_point_is_a_band(
    visit: Visit, sheets: dict[str, Sheet]
) -> None:
    """Brought to the flywheel, a pull at the hubs has two ends and no line; one there keeps its."""
    page = visit().open(f"compare/?with={TWICE}&at=flywheel")
    row = page.locator("tr", has_text="Power at the flywheel").last
    texts = [plain(text) for text in row.locator("td").all_inner_texts()]
    sheet = sheets["saddle-special"]
    flywheel, hub = (
        next(pull.rows["power"] for pull in sheet.pulls if pull.id == name)
        for name in ("2024-04-24-2", "2025-06-07-1")
    )
    shown = flywheel.quantity.text(flywheel.scalar, "metric", flywheel.expanded)
    margin = flywheel.quantity.margin(flywheel.expanded or 0, "metric")
    assert texts[0] == plain(shown.replace("kW", f"±{margin}kW"))
    low, high = (float(it) for it in re.findall(r"\d+", texts[1]))
    spread = hub.expanded or 0.0
    # 0.81 to 0.97 of the flywheel's power arrive at the hubs: the range the session's rows cite.
    assert low == pytest.approx((hub.scalar - spread) / 0.97 / 1e3, abs=5)
    assert high == pytest.approx((hub.scalar + spread) / 0.81 / 1e3, abs=5)
    assert page.locator(".sg-compare-band").count() == 2
    assert page.locator(".sg-compare-line").count() == 2 + 2


def test_per_litre_shows_what_each_litre_made(visit: Visit, sheets: dict[str, Sheet]) -> None:
    """The read-out at the peak then reads as the sheet's power per litre."""
    page = visit().open("compare/?with=lark-hydroplane&per=litre")
    best = sheets["lark-hydroplane"].best
    assert best is not None
    row = best.rows["specific_power"]
    margin = row.quantity.margin(row.expanded or 0, "metric")
    number = row.quantity.number(row.scalar, "metric", row.expanded)
    shown = plain(page.locator("[data-sg-cell='a-power']").inner_text())
    assert shown == f"{number}±{margin}kW/L"
    assert "Brake mean effective pressure" in page.locator(".sg-compare-chart").inner_html()


# ------------------------------------------------------------- curves, read-out


def read_out(page: Page) -> str:
    """The read-out's power of the first setup."""
    return page.locator("[data-sg-cell='a-power']").inner_text()


def test_curves_are_read_by_keyboard(visit: Visit) -> None:
    """The slider takes arrows; table, dots and spoken text follow; the address keeps the speed."""
    page = visit().open(f"compare/?with={LADDER}&speed=4000")
    slider = page.get_by_label("Engine speed of the read-out")
    before = read_out(page)
    slider.focus()
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    assert page.locator(".sg-compare-speed").inner_text() == f"4{NARROW_SPACE}200{NARROW_SPACE}rpm"
    assert read_out(page) != before
    spoken = slider.get_attribute("aria-valuetext") or ""
    assert spoken.startswith(f"4{NARROW_SPACE}200")
    assert "A " in spoken
    assert "C " in spoken
    assert "speed=4200" in page.url
    page.keyboard.press("End")
    assert page.locator(".sg-compare-speed").inner_text() == f"6{NARROW_SPACE}800{NARROW_SPACE}rpm"


def test_curves_are_read_by_pointer(visit: Visit) -> None:
    """Pointing at the chart reads it there, from one end to the other."""
    page = visit().open(f"compare/?with={LADDER}")
    chart = page.locator(".sg-compare-chart")
    box = chart.bounding_box()
    assert box is not None
    speeds = []
    for share in (0.2, 0.5, 0.9):
        page.mouse.move(box["x"] + share * box["width"], box["y"] + 60)
        text = page.locator(".sg-compare-speed").inner_text()
        speeds.append(int(re.sub(r"\D", "", text)))
    assert speeds == sorted(speeds)
    assert speeds[0] < 3500
    assert speeds[2] > 6000


def test_curves_are_read_by_touch(visit: Visit) -> None:
    """A tap on the chart of a phone reads it there."""
    page = visit(viewport={"width": 390, "height": 844}, has_touch=True).open(
        f"compare/?with={LADDER}"
    )
    chart = page.locator(".sg-compare-chart")
    chart.scroll_into_view_if_needed()
    box = chart.bounding_box()
    assert box is not None
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + 80)
    speed = int(re.sub(r"\D", "", page.locator(".sg-compare-speed").inner_text()))
    assert 3500 < speed < 5500


def test_a_curve_is_switched_off_in_its_row(visit: Visit) -> None:
    """Its box takes the curve out of the drawing, keeps the focus, and goes into the address."""
    page = visit().open(f"compare/?with={LADDER}")
    assert page.locator(".sg-compare-line").count() == 9
    box = page.get_by_label("Curve of B")
    box.focus()
    page.keyboard.press("Space")
    expect(page.locator(".sg-compare-line")).to_have_count(6)
    assert "hide=b" in page.url
    assert page.evaluate("document.activeElement.dataset.sgKey") == "show-b"


def test_average_power_over_a_range_of_the_readers(visit: Visit) -> None:
    """Another range gives another average; a curve that does not cover it says so."""
    page = visit().open("compare/?with=lark-hydroplane,saddle-special&range=4000-6000")
    cells = page.locator("[data-sg-cell$='-average']")
    first = cells.first.inner_text()
    assert "kW" in first
    page.get_by_label("Average from, rpm").fill("5000")
    page.get_by_label("Average from, rpm").press("Enter")
    expect(cells.first).not_to_have_text(first)
    assert "range=5000-6000" in page.url
    page.get_by_label("Average to, rpm").fill("7400")
    page.get_by_label("Average to, rpm").press("Enter")
    expect(cells.first).to_have_text("not over all of it")
    expect(cells.nth(1)).to_contain_text("kW")


def test_columns_are_told_apart_by_more_than_colour(visit: Visit) -> None:
    """Five curves have five letters and marks; a figure of other standing is dashed."""
    chosen = f"{LADDER},saddle-special,narrow-gauge-railcar/first"
    page = visit().open(f"compare/?with={chosen}")
    letters = page.locator(".sg-compare-letter").all_text_contents()
    assert set(letters) == set("ABCDE")
    forms = page.locator(".sg-compare-legend .sg-compare-mark path").evaluate_all(
        "all => all.map(it => it.getAttribute('d'))"
    )
    assert len(set(forms)) == 5
    dashed = page.locator(".sg-compare-line[stroke-dasharray]").evaluate_all(
        "all => all.map(it => it.getAttribute('class').split(' ')[0])"
    )
    assert set(dashed) == {"sg-s5"}


# ------------------------------------------------------------ choosing, address


def test_builds_are_added_by_keyboard_alone(visit: Visit) -> None:
    """Type, arrow, Enter: the build stands there, the focus stays, the address has it."""
    watched = visit()
    page = watched.open("compare/")
    field = page.get_by_label("Add a build")
    field.focus()
    page.keyboard.type("hydroplane")
    options = page.locator("#sg-found [role=option]")
    expect(options).to_have_count(2)
    page.keyboard.press("ArrowDown")
    assert options.nth(1).get_attribute("aria-selected") == "true"
    page.keyboard.press("Enter")
    expect(page.locator(".sg-compare-legend tbody tr")).to_have_count(1)
    assert "with=teal-hydroplane" in page.url
    assert page.evaluate("document.activeElement.id") == "sg-picker"
    page.keyboard.type("lark")
    page.keyboard.press("Enter")
    expect(page.locator(".sg-compare-legend tbody tr")).to_have_count(2)
    page.keyboard.type("zzz")
    expect(page.locator("#sg-found")).to_contain_text("No build has all these words.")
    page.keyboard.press("Escape")
    expect(page.locator("#sg-found")).to_be_hidden()
    assert watched.told() == []


def test_any_pull_of_a_setup_can_be_chosen(visit: Visit) -> None:
    """The row's choice leads from the best pull to any other, and to a planned setup."""
    page = visit().open("compare/?with=lark-hydroplane/p85,lark-hydroplane/p80")
    choice = page.get_by_label("Setup and pull of A")
    before = page.locator("[data-sg-line='power'] td").first.inner_text()
    choice.select_option("p85/2025-05-14-4")
    expect(page.locator("[data-sg-line='power'] td").first).not_to_have_text(before)
    assert "with=lark-hydroplane/p85/2025-05-14-4,lark-hydroplane/p80" in page.url
    page.get_by_label("Setup and pull of A").select_option("p75/")
    expect(page.locator("[data-sg-line='power'] td").first).to_have_text("–")
    expect(page.locator("[data-sg-line='estimated_boost'] td").first).to_contain_text("kPa")


def test_five_at_most(visit: Visit) -> None:
    """A sixth is left out with a notice; the field says why it takes no more."""
    chosen = ",".join(f"lark-hydroplane/{it}" for it in ("p95", "p90", "p85", "p80", "p75"))
    page = visit().open(f"compare/?with={chosen},saddle-special")
    expect(page.locator(".sg-compare-legend tbody tr")).to_have_count(5)
    expect(page.get_by_role("status")).to_contain_text("Only the first 5 of 6")
    assert "saddle-special" not in page.url
    expect(page.get_by_label("Add a build – five at most")).to_be_disabled()
    page.get_by_role("button", name="Remove C").click()
    expect(page.locator(".sg-compare-legend tbody tr")).to_have_count(4)
    expect(page.get_by_label("Add a build")).to_be_enabled()


def everything(page: Page) -> str:
    """All that the comparison shows, as text."""
    return page.locator(".sg-compare").inner_text()


def test_a_link_restores_everything(visit: Visit) -> None:
    """What one reader set up, another gets from the address, to the letter."""
    page = visit().open("compare/?with=lark-hydroplane/p90,saddle-special/p80,teal-hydroplane")
    page.get_by_label("Figures").select_option("din-70020")
    page.locator("[data-sg-key='place']").select_option("hub")
    page.get_by_label("per litre").check()
    page.get_by_label("Curve of C").uncheck()
    page.get_by_label("Average from, rpm").fill("3500")
    page.get_by_label("Average from, rpm").press("Enter")
    page.get_by_label("Only what differs").check()
    slider = page.get_by_label("Engine speed of the read-out")
    slider.focus()
    page.keyboard.press("ArrowLeft")
    shown = everything(page)
    address = urlsplit(page.url)
    query = parse_qs(address.query)
    assert query["base"] == ["din-70020"]
    assert query["at"] == ["hub"]
    assert query["per"] == ["litre"]
    assert query["hide"] == ["c"]
    assert query["rows"] == ["differing"]
    assert set(query) == {"with", "base", "at", "per", "hide", "rows", "range", "speed"}
    other = visit().open(f"compare/?{address.query}")
    assert everything(other) == shown


def test_back_and_forward_work(visit: Visit) -> None:
    """Each change is a step that the browser's own buttons undo and redo."""
    page = visit().open("compare/?with=lark-hydroplane")
    first = everything(page)
    page.get_by_label("Figures").select_option("observed")
    expect(page.locator("[data-sg-line='standing']")).to_contain_text("observed")
    page.get_by_label("per litre").check()
    expect(page.locator(".sg-compare-legend thead")).to_contain_text("Power per litre")
    page.go_back()
    expect(page.locator(".sg-compare-legend thead")).not_to_contain_text("per litre")
    expect(page.locator("[data-sg-line='standing']")).to_contain_text("observed")
    page.go_back()
    expect(page.locator("[data-sg-line='standing']")).to_contain_text("ISO 1585")
    assert everything(page) == first
    page.go_forward()
    expect(page.locator("[data-sg-line='standing']")).to_contain_text("observed")


def test_old_names_work_and_lost_ones_are_told(visit: Visit, archive: Archive) -> None:
    """A former id leads to the build; what has gone is named, and the rest still shows."""
    build = next(it for it in archive.builds.values() if it.formerly)
    former = build.formerly[0].value
    page = visit().open(f"compare/?with={former},gone-for-good,lark-hydroplane/p99,saddle-special")
    heads = page.locator(".sg-compare-table thead a")
    expect(heads).to_have_count(3)
    assert heads.first.inner_text() == build.title.value
    told = page.get_by_role("status").inner_text()
    assert "“gone-for-good” is no build of this archive any more" in told
    assert "The setup “p99” of “Lark, three-litre hydroplane” is gone" in told
    assert f"with={build.id},lark-hydroplane/p80,saddle-special" in page.url


def test_only_what_differs_is_shown_on_demand(visit: Visit) -> None:
    """Rows that are the same all through go; those that differ stay, with their mark."""
    page = visit().open(f"compare/?with={LADDER}")
    rows = page.locator("[data-sg-line]")
    every = rows.count()
    same = page.locator("[data-sg-line].sg-compare-same").count()
    assert 5 < same < every
    page.get_by_label("Only what differs").check()
    expect(rows).to_have_count(every - same)
    assert page.locator("[data-sg-line] .sg-compare-sign").count() == every - same
    assert page.locator("[data-sg-line='bore']").count() == 0


# --------------------------------------------------------- units, paper, safety


def test_units_switch_in_table_read_out_and_curves(visit: Visit) -> None:
    """One press turns every figure of the comparison, its axes and its words."""
    page = visit().open(f"compare/?with={TWICE}")
    page.get_by_role("button", name="imperial").click()
    assert "hp" in read_out(page)
    for part in (".sg-compare-legend", ".sg-compare-words >> nth=1", ".sg-compare-table"):
        assert "kW" not in page.locator(part).inner_text(), part
    shown = page.locator(".sg-compare-chart .sg-compare-imperial").first
    assert shown.evaluate("it => getComputedStyle(it).display") != "none"
    hidden = page.locator(".sg-compare-chart .sg-compare-metric").first
    assert hidden.evaluate("it => getComputedStyle(it).display") == "none"
    assert " hp" in words(page).replace(NARROW_SPACE, " ")


def test_units_of_the_address_win_over_memory(visit: Visit) -> None:
    """A link that asks for units gets them; a press then changes both page and address."""
    watched = visit()
    page = watched.open("compare/?with=lark-hydroplane")
    page.get_by_role("button", name="metric").click()
    watched.open("compare/?with=lark-hydroplane&units=imperial")
    assert "hp" in read_out(page)
    page.get_by_label("per litre").check()
    expect(page.locator("[data-sg-cell='a-power']")).to_contain_text("hp/L")
    assert "units=imperial" in page.url
    page.get_by_role("button", name="metric").click()
    assert "units=metric" in page.url
    assert "kW/L" in read_out(page)
    watched.open("builds/lark-hydroplane/?units=imperial")
    assert "hp" in page.locator(".sg-large").first.inner_text()


def test_sheet_charts_follow_the_units(visit: Visit) -> None:
    """On a sheet, too, the axis of the other system goes."""
    page = visit().open("builds/lark-hydroplane/?units=imperial")
    axes = page.locator(".sg-chart-wide .sg-c-axis-metric")
    assert axes.count() > 3
    assert axes.filter(visible=True).count() == 0
    assert page.locator(".sg-chart-wide .sg-c-axis-imperial").filter(visible=True).count() > 3


def test_a_comparison_prints_whole(visit: Visit) -> None:
    """On paper nothing is cut or scrolls, the tools are gone, and the address stands there."""
    width = round((210 - 2 * 14) / 25.4 * 96)
    chosen = f"{LADDER},saddle-special,sidecar-outfit"
    page = visit(viewport={"width": width, "height": 1000}).open(f"compare/?with={chosen}")
    page.emulate_media(media="print")
    cut = page.evaluate(
        """width => [...document.querySelectorAll('.sg .sg-scroll, .sg table, .sg svg')]
          .filter(it => it.getBoundingClientRect().width > 0)
          .filter(it => it.getBoundingClientRect().right > width + 1
            || (it.matches('.sg-scroll') && getComputedStyle(it).overflowX !== 'visible'))
          .map(it => `${it.getAttribute('class')} ${it.getBoundingClientRect().right}`)""",
        width,
    )
    assert cut == []
    for tool in (".sg-compare-tools", ".sg-compare-slider", ".sg-compare-away", ".sg-units"):
        assert page.locator(tool).filter(visible=True).count() == 0, tool
    address = page.locator(".sg-compare .sg-paper")
    expect(address).to_be_visible()
    assert chosen in address.inner_text()
    pages = len(re.findall(rb"/Type\s*/Page\b", page.pdf(format="A4", prefer_css_page_size=True)))
    assert pages <= 4


def test_hostile_texts_never_become_markup(visit: Visit) -> None:
    """Titles, fuels and setups that would be elements or scripts are shown as the text they are."""
    evil = '<img src=x onerror="window.hit=1"><script>window.hit=1</script>'
    watched = visit()
    page = watched.page

    def poison(route: Any) -> None:
        body = route.fetch().text()
        spoilt = body.replace("Lark, three-litre hydroplane", evil.replace('"', '\\"'))
        spoilt = spoilt.replace('"fuel":"E85"', f'"fuel":"{evil}"'.replace('="', '=\\"')
                                .replace('1">', '1\\">'))  # fmt: skip
        route.fulfill(body=spoilt, content_type="text/javascript")

    page.route("**/builds.js", poison)
    page.route("**/compare.js", lambda route: poison(route) if "/builds/" in route.request.url
               else route.continue_())  # fmt: skip
    watched.open("compare/?with=lark-hydroplane,saddle-special")
    assert evil in page.locator(".sg-compare-table").inner_text()
    page.get_by_label("Add a build").fill("img")
    expect(page.locator("#sg-found [role=option]")).to_have_count(1)
    assert page.evaluate("window.hit") is None
    assert page.locator(".sg-compare img").count() == 0
    assert watched.told() == []


def test_a_build_that_does_not_load_is_told(visit: Visit) -> None:
    """One missing file costs one column and a notice, not the page."""
    watched = visit()
    watched.page.route("**/builds/lark-hydroplane/compare.js", lambda route: route.abort())
    page = watched.open("compare/?with=lark-hydroplane,saddle-special")
    expect(page.get_by_role("status")).to_contain_text("“lark-hydroplane” could not be loaded")
    expect(page.locator(".sg-compare-table thead a")).to_have_count(1)


def test_sheets_lead_to_their_comparison(visit: Visit) -> None:
    """From a sheet: the build, its setups side by side, and builds like it."""
    page = visit().open("builds/lark-hydroplane/")
    page.get_by_role("link", name="Compare its setups").click()
    expect(page.locator(".sg-compare-table thead a")).to_have_count(4)
    page.go_back()
    page.get_by_role("link", name="Compare this build").click()
    expect(page.locator(".sg-compare-table thead a")).to_have_count(1)
    page.go_back()
    page.get_by_role("link", name="Find builds like it").click()
    expect(page.locator(".sg-find tbody th a").first).to_have_text("Lark, three-litre hydroplane")


def test_the_page_says_what_it_needs_without_script(visit: Visit) -> None:
    """Without JavaScript the page leads to the table that needs none."""
    page = visit(java_script_enabled=False).open("compare/")
    expect(page.locator(".sg-compare")).to_contain_text("This needs JavaScript")
    page.locator(".sg-compare").get_by_role("link", name="all builds").click()
    assert page.locator("#sg-builds tbody tr").count() > 10
