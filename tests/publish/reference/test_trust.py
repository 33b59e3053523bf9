"""Accuracy and validation: every miss and every published figure is shown, none left out."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from pathlib import Path

import pytest

from specgen.analysis.accuracy import accuracy_of
from specgen.analysis.validation import published
from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive
from specgen.publish.charts.misses import percent
from specgen.publish.making.item import Item
from specgen.publish.reference import validation as room
from specgen.publish.reference.accuracy import accuracy_page
from specgen.publish.reference.pages import formulas
from specgen.publish.reference.validation import counted, lines_of, significant, validation_page
from specgen.publish.site import Site
from tests.analysis.small import ARCHIVE, write
from tests.publish.pages import sheets_of, text_of

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def accuracy(items: dict[str, Item]) -> str:
    """The accuracy page of the demo site."""
    return str(items["accuracy/index.md"].content)


@pytest.fixture(scope="module")
def validation(items: dict[str, Item]) -> str:
    """The validation page of the demo site."""
    return str(items["validation/index.md"].content)


# ---------------------------------------------------------------- accuracy


def test_sums_are_those_of_all_misses(accuracy: str, site: Site) -> None:
    """Count, median, nine in ten and share inside, for boost and for power, in words first."""
    found = accuracy_of(sheets_of(site).values())
    text = text_of(accuracy)
    for title, sums in (("Boost", found.boost), ("Power", found.power)):
        assert sums is not None
        words = f"{title}, {sums.count} setups: half of the predictions missed by less than"
        sentence = text[text.index(words) :].partition("usual.")[0]
        for share in (sums.median, sums.ninetieth):
            assert percent(share).replace("\u202f", " ") in sentence
        low, high = sums.expected_inside
        assert f"{sums.inside_count} of {sums.count}" in sentence
        assert f"{low} to {high} would be" in sentence
    assert text.index("half of the predictions") < text.index("Every setup")


def test_kinds_of_build_stand_with_bias_temperature_and_band(accuracy: str, site: Site) -> None:
    """Each kind has its line: signed misses of boost, power and charge, each against its band."""
    found = accuracy_of(sheets_of(site).values())
    text = text_of(accuracy)
    for group in found.groups:
        assert f"{group.trait}: {group.name}" in text
    cooled = next(group for group in found.groups if group.name == "cooled")
    kelvin = dict(cooled.marks)["temperature"].bias
    assert f"{abs(kelvin):.1f}" in text[text.index("Charge: cooled") :][:200]


def test_every_miss_has_its_row_and_leads_to_its_sheet(accuracy: str, site: Site) -> None:
    """As many rows as misses, each with its link; what a diagnosis names is said, and linked."""
    found = accuracy_of(sheets_of(site).values())
    table = accuracy[accuracy.index("sg-accuracy") :]
    rows = re.findall(r"<tr><th scope=\"row\">.*?</tr>", table, re.DOTALL)
    assert len(rows) == len(found.misses) > 20
    for row, miss in zip(rows, found.misses, strict=True):
        assert f'href="../builds/{miss.sheet.id}/#the-ladder-of-setups"' in row
        assert miss.step.setup.title in text_of(row)
        assert ("disagrees with the others" in row) == miss.named
        if miss.power is not None:
            assert percent(miss.power, signed=True).replace("\u202f", " ") in text_of(row)
    address = "../builds/plover-sprint/#what-disagrees-with-the-others"
    assert f'<a href="{address}">disagrees with the others</a>' in accuracy


def test_named_and_lonely_setups_are_counted_apart(accuracy: str, site: Site) -> None:
    """What is not in the sums is said with its number."""
    found = accuracy_of(sheets_of(site).values())
    text = text_of(accuracy)
    assert f"{len(found.named)} setup is named by its sheet as disagreeing with the others" in text
    assert f"{found.alone} more measured setups have no other" in text
    measured = [s for sheet in sheets_of(site).values() for s in sheet.setups if not s.planned]
    assert found.alone + len(found.misses) == len(measured)


def test_chart_of_misses_has_every_setup(accuracy: str, site: Site) -> None:
    """One dot or cross a setup, wide and narrow."""
    found = accuracy_of(sheets_of(site).values())
    named = sum((miss.boost is not None) + (miss.power is not None) for miss in found.named)
    words = html.unescape(accuracy)
    wanted = sum((miss.boost is not None) + (miss.power is not None) for miss in found.misses)
    counts = [int(number) for number in re.findall(r"(\d+) setups from", words)]
    assert sum(counts[:2]) == wanted - named
    assert words.count("Disagrees with the others: Plover, sprint boat, 79.3 mm") >= 2


def test_invented_data_says_what_its_misses_are_worth(archive: Archive, site: Site) -> None:
    """Misses against a simulator say nothing about real engines; real data needs no such words."""
    for invented in (True, False):
        assert archive.settings.invented is not None
        given = replace(archive.settings.invented, value=invented)
        settings = replace(archive.settings, invented=given)
        page = accuracy_page(replace(archive, settings=settings), site.accuracy, "metric", True)
        assert ("nothing about real engines" in text_of(page)) == invented


def test_an_archive_without_a_second_setup_says_what_to_do(tmp_path: Path) -> None:
    """Nothing to compare is said in words, with the next step, and no empty table."""
    archive = read_archive(write(tmp_path, archive=ARCHIVE))
    page = accuracy_page(archive, Site(archive).accuracy, "metric", True)
    assert "No build has two measured setups yet" in page
    assert "Test a second pulley" in page
    assert "<table" not in page
    assert "<svg" not in page


# -------------------------------------------------------------- validation


def test_every_published_figure_stands_once(validation: str) -> None:
    """As many rows as figures in the test's own files, with source and standing."""
    rows = re.findall(r'<tr><td class="sg-asked">.*?</tr>', validation, re.DOTALL)
    assert len(rows) == len(published())
    text = text_of(validation)
    for check in published():
        assert re.sub(r"\s+", " ", f"{check.source} ({check.status})") in text, check.name


def test_summary_counts_before_the_tables(validation: str) -> None:
    """How many figures, of which standing, all met: before the first table."""
    head = text_of(validation.partition("<table")[0])
    checks = published()
    formulas_held = len({check.formula.name for check in checks})
    assert f"{len(checks)} figures hold {formulas_held} formulas. All are met" in head
    for status in ("READ", "RESTATED", "RUN", "COMPUTED", "MEMORY"):
        count = sum(check.status == status for check in checks)
        assert re.search(rf"{status}, [a-z -]+{count}\b", head), status


def test_every_formula_leads_to_the_method(validation: str, items: dict[str, Item]) -> None:
    """Each group links to the formula, and the method page has that place."""
    method = str(items["method/index.md"].content)
    for name in {check.formula.anchor for check in published()}:
        assert f'href="../method/#{name}"' in validation
        assert f'id="check-{name}"' in validation
        assert f'id="{name}"' in method


def test_method_shows_under_each_formula_what_tests_it(items: dict[str, Item]) -> None:
    """The same rows as on the validation page, closed, and out of the search."""
    method = str(items["method/index.md"].content)
    for formula in formulas():
        section = method.partition(f'id="{formula.anchor}"')[2].partition("</section>")[0]
        lines = lines_of(formula.name)
        assert section.count('<td class="sg-asked">') == len(lines), formula.name
        assert lines, formula.name
        assert f"Held to {counted(formula)}" in section
        assert '<details class="sg-fold" data-search-exclude>' in section


def test_tables_are_out_of_the_search(validation: str, accuracy: str) -> None:
    """Every table stands in a block that the search leaves out; the words before are found."""
    for page in (validation, accuracy):
        blocks = re.split(r'(?=<div class="sg sg-)', page)
        for block in blocks:
            if "<table" in block:
                assert block.startswith('<div class="sg sg-metric" data-search-exclude>')
        assert any("<p>" in block and "data-search-exclude" not in block for block in blocks)


def test_arguments_read_as_words() -> None:
    """No braces, quotes, underscores or class names of the files are left."""
    for check in published():
        for line in lines_of(check.formula.name):
            said = text_of(str(line.arguments))
            assert not re.search(r"[{}_'\"\[\]]|\bInlet\b|\bdegC\b|<", said), said
    (line, *_) = [
        item
        for item in lines_of("air.humid_air_density")
        if "relative humidity 50" in item.arguments
    ]
    assert "temperature 20\u202f°C" in text_raw(str(line.arguments))


def text_raw(page: str) -> str:
    """What a piece of a page says, its thin spaces kept."""
    return html.unescape(re.sub(r"<[^>]*>", "", page))


def test_found_and_published_are_in_one_unit() -> None:
    """Saturation at 20 °C: 2.3371 kPa published, and kilopascals found, within what is allowed."""
    line = next(line for line in lines_of("air.saturation_pressure") if "2.3371" in line.expected)
    assert line.expected == "2.3371\u202fkPa"
    assert line.found.endswith("\u202fkPa")
    assert abs(float(line.found.split("\u202f")[0]) - 2.3371) <= float(line.allowed)


def test_a_missed_figure_is_told_first_and_where_it_stands(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One digit changed in a source: the summary names the formula, the row says so."""
    checks = list(published())
    wrong = replace(checks[0], found=checks[0].found * 1.1)
    monkeypatch.setattr(room, "published", lambda: (wrong, *checks[1:]))
    room.lines_of.cache_clear()
    try:
        page = validation_page("metric", True)
        formula = wrong.formula
        assert "1 missed" in counted(formula)
    finally:
        room.lines_of.cache_clear()
    head = page.partition("<table")[0]
    assert "1 is missed by more than is allowed" in text_of(head)
    assert f'href="#check-{formula.anchor}"' in head
    assert "All are met" not in page
    assert page.count(", missed</td>") == 1


@pytest.mark.parametrize(
    ("number", "decimals", "expected"),
    [
        (0.0, None, "0"),
        (0.00088, None, "0.00088"),
        (-1.44, None, "−1.4"),
        (123.4, None, "123"),
        (2.4e-5, None, "2.4·10⁻⁵"),
        (-3.3e-12, None, "−3.3·10⁻¹²"),
        (1.1875123, 4, "1.1875"),
        (-6556.8765, 1, "−6556.9"),
    ],
)
def test_numbers_keep_the_digits_that_count(
    number: float, decimals: int | None, expected: str
) -> None:
    """Two digits for a difference, as many decimals as asked for a value, powers when tiny."""
    assert significant(number, decimals) == expected
