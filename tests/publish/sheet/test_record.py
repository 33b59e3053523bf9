"""The record on a sheet: verdicts in words, contradictions told, states named, nothing invented."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest

from specgen.analysis.sheet import Sheet
from specgen.archive.model.build import Archive
from specgen.publish.making.item import Item
from specgen.publish.sheet.page import Surroundings, sheet_page
from tests.analysis.small import ARCHIVE, BUILD, SESSION, sheet
from tests.publish.pages import text_of

pytestmark = pytest.mark.slow

BLUEPRINT = """\
record:
  blueprint:
    bore: {specified: 84.00 mm, measured: 84.01 mm}
    stroke: {specified: 90.00 mm}
    rod_length: {specified: 145.00 mm}
    deck_clearance: {specified: 0.40 mm}
    gasket_bore: {specified: 85.5 mm}
    gasket_thickness: {specified: 1.20 mm}
    chamber_volume:
      specified: 48.0 cm3
      measured: [47.0 cm3, 48.2 cm3, 48.0 cm3, 47.9 cm3, 48.1 cm3, 48.0 cm3]
    dish_volume: {specified: 5.0 cm3}
"""
CAM = """\
record:
  cam:
    intake: {opens: 4 deg after TDC, closes: 30 deg after BDC, lift: 9.0 mm}
    exhaust: {opens: 40 deg before BDC, closes: 2 deg before TDC, lift: 8.5 mm}
"""
CLEARANCES = """\
record:
  clearances:
    - what: Top ring gap
      where: cylinder
      specified: 0.45 to 0.60 mm
      measured: [0.50 mm, 0.64 mm, 0.46 mm]
      instrument: Feeler gauge
      by: TK
      date: 2025-04-02
    - {what: Piston to valve, specified: at least 1.5 mm}
    - {what: Spring load, where: intake, at_height: 38.5 mm, measured: 300 N}
    - {what: Leak-down, specified: at most 15 %, measured: 7 %}
"""
PARTS = """\
parts:
  - {item: Gasket A, group: Top end, serial: "0388", removed: 2025-06-01}
  - {item: Gasket B, group: Top end, quantity: 1, fitted: 2025-06-01, replaces: Gasket A}
  - {item: Oil, group: Fluids, note: 5 L}
"""
LATER = """\
  - date: 2025-07-01
    dyno: {kind: engine, measured_at: flywheel}
    figures: observed
    pulls:
      - {setup: p80, peaks: {power: 305 kW at 6400 rpm}}
"""
PIPES = """\
induction: {blower: test-blower, throttle: {bore: 70 mm}, pipes: [{bore: 80 mm, length: 500 mm}]}
"""


def page_of(found: Sheet) -> str:
    """The Markdown of a sheet."""
    return sheet_page(found.archive, found, Surroundings()).text


def section(page: str, name: str) -> str:
    """The HTML of one part of the record."""
    start = page.index(f'id="{name}"')
    end = re.search(r"</section>", page[start:])
    assert end is not None
    return page[start : start + end.start()]


def made(folder: Path, more: str, **files: str) -> str:
    """The page of the small build with something added."""
    return page_of(sheet(folder, BUILD + more + SESSION, **files))


def rows(block: str) -> list[list[str]]:
    """The cells of each table row, in plain words."""
    return [
        [" ".join(text_of(cell).split()) for cell in re.findall(r"<t[hd][^>]*>.*?</t[hd]>", row)]
        for row in re.findall(r"<tr[^>]*>(.*?)</tr>", block, re.DOTALL)
    ]


def test_specified_stands_beside_measured(tmp_path: Path) -> None:
    """One reading is printed, several as from the least to the most, none as a dash."""
    found = {
        line[0]: line[1:] for line in rows(section(made(tmp_path, BLUEPRINT), "record-blueprint"))
    }
    assert found["Bore"][0].startswith("84.000 mm")
    assert found["Bore"][1].startswith("84.010 ±")
    assert found["Chamber volume"][1].startswith("47.0 to 48.2 cm³")
    assert found["Stroke"][1] == "–"


def test_each_cylinder_has_its_line(tmp_path: Path) -> None:
    """Six cylinders, six lines; the smaller chamber has the higher compression ratio."""
    block = section(made(tmp_path, BLUEPRINT), "record-blueprint")
    table = rows(block.split("Cylinder by cylinder", 1)[1].split("</table>")[0])
    assert table[0] == [
        "Cylinder", "Chamber volume", "Clearance volume of a cylinder", "Compression ratio",
    ]  # fmt: skip
    assert [line[0] for line in table[1:]] == list("123456")
    ratios = [float(line[3]) for line in table[1:]]
    assert ratios.index(max(ratios)) == 0
    assert ratios.index(min(ratios)) == 1
    # by hand: 498.88 cm3 of stroke at 84.01 mm; 47 + 6.890 + 2.217 + 5 cm3 of clearance
    assert max(ratios) == pytest.approx(1 + 498.88 / 61.107, abs=0.01)


def test_contradictions_are_told_in_words(tmp_path: Path) -> None:
    """A stated ratio that the measured volumes deny is a sentence with its line, on the sheet."""
    denied = re.sub(r"measured: \[.*?\]", "measured: 55.0 cm3", BLUEPRINT)
    found = sheet(tmp_path, BUILD + denied + SESSION)
    (finding,) = (item for item in found.archive.findings if item.code == "contradiction")
    words = text_of(section(page_of(found), "record-contradictions"))
    assert finding.found[1:] in words
    assert f"line {finding.place.line}" in words
    assert "record-contradictions" not in made(tmp_path, BLUEPRINT)


def test_figures_of_the_blueprint_are_not_said_twice(tmp_path: Path) -> None:
    """Piston speed and clearance volume stand with the blueprint where there is one."""
    with_it, without = made(tmp_path, BLUEPRINT), made(tmp_path, "")
    engine = with_it[with_it.index("<h3>Engine") : with_it.index("<h3>Induction")]
    assert "Mean piston speed" not in engine
    assert "Mean piston speed" in without


def test_events_have_a_side_and_no_sign(tmp_path: Path) -> None:
    """An event on the unusual side is printed as such, never as a negative angle."""
    block = section(made(tmp_path, CAM), "record-cam")
    lines = {line[0]: line[1:] for line in rows(block)}
    assert lines["Opens"] == ["4.0° after TDC", "40.0° before BDC"]
    assert lines["Closes"] == ["30.0° after BDC", "2.0° before TDC"]
    assert "\N{MINUS SIGN}4.0" not in text_of(block.split("<figure")[0])
    assert "The valves are never open together" in block
    assert "an assumption" in block


def test_the_ratio_with_boost_carries_its_caution(tmp_path: Path) -> None:
    """It is called what it is, and what may not rest on it stands in the same paragraph."""
    card = CAM.replace("record:\n", BLUEPRINT, 1)
    words = text_of(section(made(tmp_path, card), "record-cam"))
    caution = words[words.index("Rough compression ratio with boost") :]
    assert "A rule of thumb without a source" in caution.partition("TDC and BDC")[0]
    assert "no setting may rest on it" in caution


def test_clearances_are_summed_up_first(tmp_path: Path) -> None:
    """How many are out and which leads; what nobody measured is not in."""
    block = section(made(tmp_path, CLEARANCES), "record-clearances")
    words = text_of(block)
    summary = "6 entries: 1 out, 1 near the edge, 2 in, 1 not recorded, 1 without a limit."
    assert words.index(summary) < words.index("Verdict")
    out = words[words.index("Out:") : words.index("Near the edge:")]
    assert "Top ring gap, cylinder 2 0.640 mm" in out
    assert "0.450 to 0.600 mm" in out


def test_every_reading_has_a_verdict_in_words_and_a_mark(tmp_path: Path) -> None:
    """Words and shape tell the verdict; colour is never alone."""
    block = section(made(tmp_path, CLEARANCES), "record-clearances")
    found = re.findall(r'<td(?: class="sg-beyond")?>([^<]*)</td>\n<td>((?:<svg.*?)?)</td>', block)
    verdicts, marks = zip(*found, strict=True)
    assert verdicts == ("in", "out", "near the edge", "not recorded", "no limit recorded", "in")
    assert [bool(mark) for mark in marks] == [True, True, True, False, False, True]
    assert len(set(marks[:3])) == 3
    assert "Feeler gauge, TK, 2\N{NO-BREAK SPACE}April\N{NO-BREAK SPACE}2025" in html.unescape(
        block
    )


def test_named_readings_lead_to_their_line(tmp_path: Path) -> None:
    """Each link of the summary is the id of a line in the table."""
    block = section(made(tmp_path, CLEARANCES), "record-clearances")
    links = set(re.findall(r'href="#(record-clearance-\d+)"', block))
    assert links
    assert links <= set(re.findall(r'<tr id="([^"]+)"', block))


def test_parts_show_what_replaced_what_and_when(tmp_path: Path) -> None:
    """Serial, days and replacement stand in columns; a column of nothing is left out."""
    block = section(made(tmp_path, PARTS), "record-parts")
    table = rows(block)
    assert table[0] == ["Part", "Count", "Serial", "In the build", "Note"]
    lines = {line[0]: line[1:] for line in table[1:]}
    assert lines["Gasket A out"] == ["", "0388", "until 1 June 2025", "replaced by Gasket B"]
    assert lines["Gasket B"] == ["1", "", "since 1 June 2025", "replaced Gasket A"]
    assert "Maker" not in block


def test_each_session_and_setup_says_its_state(tmp_path: Path) -> None:
    """A session before and one after a change were run in different states."""
    page = page_of(sheet(tmp_path, BUILD + PARTS + SESSION + LATER))
    states = rows(section(page, "record-states"))
    assert states[1][2].startswith("14 May 2025: setup p80")
    assert states[2][1] == "In: Gasket B in place of Gasket A"
    assert states[2][2].startswith("1 July 2025")
    tested = text_of(page[page.index("## How it was tested") :])
    assert tested.index("1 July 2025") < tested.index("Run in state 2 of the build")
    assert tested.index("14 May 2025") < tested.index("Run in state 1 of the build")
    ladder = page[page.index("## The setup") : page.index("## The record")]
    assert "p80 in state 1 and state 2." in text_of(ladder)


def test_without_a_change_there_is_no_state(tmp_path: Path) -> None:
    """Parts that never changed make no states to speak of."""
    page = made(tmp_path, "parts: [{item: Gasket}]\n")
    assert "record-states" not in page
    assert "state 1" not in page


def test_air_parts_are_estimates_unless_measured(tmp_path: Path) -> None:
    """Each part says estimated in its column; a single part is one fact and no table."""
    build = re.sub(r"induction: .*\n", PIPES, BUILD)
    block = section(page_of(sheet(tmp_path, build + SESSION)), "record-air")
    assert "Pressure lost, estimated" in block
    assert [line[0] for line in rows(block)] == [
        "Part",
        "Pipe 1",
        "Throttle",
        "All parts of the inlet",
    ]
    one = re.sub(
        r"induction: .*\n", PIPES.replace(", pipes: [{bore: 80 mm, length: 500 mm}]", ""), BUILD
    )
    page = page_of(sheet(tmp_path, one + SESSION))
    assert "record-air" not in page
    assert "Pressure lost in the open throttle at the highest engine speed, estimated" in page


def test_signature_lines_stand_where_the_archive_asks(tmp_path: Path) -> None:
    """Two lines are asked for and stand with a place for the date; none otherwise."""
    asked = ARCHIVE + "signatures: [Built by, Checked <by>]\n"
    page = made(tmp_path, "", archive=asked)
    lines = re.findall(r"<p><span>(.*?)</span><span>Date</span></p>", page)
    assert [html.unescape(line) for line in lines] == ["Built by", "Checked <by>"]
    assert "sg-signatures" not in made(tmp_path, "", archive=ARCHIVE)


def test_builds_without_a_record_show_none_of_it(tmp_path: Path) -> None:
    """Neither headings nor the choice for paper stand where nothing was recorded."""
    page = made(tmp_path, "")
    assert "sg-record-contents" not in page
    assert "record-first" not in page
    assert not re.search(r'id="record-', page)
    assert "record-first" in made(tmp_path, CAM)


def test_what_is_written_never_becomes_markup(tmp_path: Path) -> None:
    """Names of parts, places and notes are shown as they were typed."""
    nasty = "'<b>x</b> *y* `z` {{ macro }}'"
    more = f"parts:\n  - {{item: {nasty}, serial: {nasty}, note: {nasty}, group: {nasty}}}\n"
    more += "record:\n  clearances:\n"
    more += f"    - {{what: {nasty}, where: {nasty}, measured: 1 mm, by: {nasty}, note: {nasty}}}\n"
    page = made(tmp_path, more)
    assert "<b>" not in page
    assert "{{" not in page
    assert "*y*" not in page
    assert "<b>x</b> *y* `z` {{ macro }}" in html.unescape(page)


@pytest.mark.parametrize("name", ["record-blueprint", "record-cam", "record-clearances"])
def test_every_figure_of_the_record_opens(
    name: str, items: dict[str, Item], archive: Archive
) -> None:
    """Each figure links to where it comes from, on the page that tells it."""
    pages = [
        [str(items[f"builds/{build.id}/{page}index.md"].content) for page in ("", "figures/")]
        for build in archive.builds.values()
        if f'id="{name}"' in str(items[f"builds/{build.id}/index.md"].content)
    ]
    assert len(pages) >= 3, "the demo has three full records"
    for page, known in pages:
        block = section(page, name).split("<figure")[0]
        linked = re.findall(r'<a class="sg-row" href="figures/#([^"]+)"', block)
        assert len(linked) > 5
        assert 'class="sg-fig"' not in block, "a figure that leads nowhere"
        assert set(linked) <= set(re.findall(r'id="([^"]+)"', known))
