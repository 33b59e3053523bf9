"""What a comparison is handed: the sheet's own figures, in every base, and what they rest on."""

from __future__ import annotations

import gzip
import json
import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import combinations
from typing import Any

import numpy as np
import pytest

from specgen.analysis.judging.bases import BASES, OBSERVED, drive_line_ranges, in_base, own_base
from specgen.analysis.rows.row import COVERAGE, Row
from specgen.analysis.sheet import Sheet
from specgen.analysis.workings import PullSheet
from specgen.archive.model.build import Archive, Given
from specgen.physics import correction
from specgen.publish.compare.data import build_script, index_row, index_script
from specgen.publish.compare.rows import GROUPS, cells
from specgen.publish.find.combos import combos_of, combos_script
from specgen.publish.web.handover import figure_text
from specgen.vocabulary import quantity

pytestmark = pytest.mark.slow

Sheets = Mapping[str, Sheet]


def taken(script: str, name: str) -> dict[str, Any]:
    """The data that a script hands over."""
    head = f"specgen.take({json.dumps(name)},"
    assert script.startswith(head)
    assert script.endswith(");\n")
    data: dict[str, Any] = json.loads(script[len(head) : -3])
    return data


@pytest.fixture(scope="module")
def loaded(sheets: Sheets) -> dict[str, dict[str, Any]]:
    """The data of every demo build."""
    return {name: taken(build_script(sheet), f"build {name}") for name, sheet in sheets.items()}


def pulls(sheets: Sheets) -> Iterator[tuple[Sheet, int, PullSheet]]:
    """Every demo pull with its sheet and its number."""
    for sheet in sheets.values():
        yield from ((sheet, at, pull) for at, pull in enumerate(sheet.pulls))


@pytest.mark.slow
def test_the_archives_own_base_is_the_sheets_rows(sheets: Sheets) -> None:
    """In the base that the sheets show, a comparison takes the sheets' own rows."""
    for sheet, _, pull in pulls(sheets):
        assert in_base(pull, own_base(sheet.archive.settings)) is pull.rows


def test_bases_are_recomputed_from_the_air_of_the_session(sheets: Sheets) -> None:
    """A figure in another standard is the observed one times that standard's factor of the day."""
    seen = 0
    for _, _, pull in pulls(sheets):
        air = [pull.rows[key] for key in ("station_pressure", "air_temperature", "humidity")]
        observed = pull.rows["observed_power"]
        reported = pull.session.figures.standard
        for base in BASES[1:]:
            known = observed.present and all(row.present for row in air)
            if not known or (reported is not None and reported.value == base):
                continue
            factor = correction.correction_factor(base, *(row.scalar for row in air))
            expected = observed.scalar * float(factor)
            assert in_base(pull, base)["power"].scalar == pytest.approx(expected, rel=1e-12)
            seen += 1
    assert seen > 100


def test_what_is_unknown_stays_as_reported_in_every_base(
    sheets: Sheets, loaded: dict[str, dict[str, Any]]
) -> None:
    """A figure of unknown correction is shown as it is, says so, and says why."""
    seen = 0
    for sheet, at, pull in pulls(sheets):
        if pull.session.figures.state != "unknown":
            continue
        for base in BASES:
            entry = loaded[sheet.id]["pulls"][at]["bases"][base]
            assert entry["cells"]["standing"] == "as reported, correction unknown"
            assert entry["factor"] == 1
            assert "unknown" in entry["why"]
            seen += 1
    assert seen == 2 * len(BASES)


def test_figures_in_the_dynos_own_standard_stay_as_reported(sheets: Sheets) -> None:
    """Asked for in the very standard that the dyno used, a figure is not computed again."""
    for _, _, pull in pulls(sheets):
        standard = pull.session.figures.standard
        if standard is not None:
            rows = in_base(pull, standard.value)
            assert rows["power"].scalar == rows["reported_power"].scalar


def shares(sheet: dict[str, Any], at: int, key: str, base: str) -> dict[int, float]:
    """The shares of independent roots that the data holds for a figure."""
    pull = sheet["pulls"][at]
    return dict([*pull["own"][key], *pull["bases"][base]["air"]])


@pytest.mark.parametrize("key", ["power", "torque"])
def test_shipped_shares_give_the_rows_own_uncertainty(
    key: str, sheets: Sheets, loaded: dict[str, dict[str, Any]]
) -> None:
    """Factor, peak and shares make the same value and the same ± as the row, in every base."""
    seen = 0
    for sheet, at, pull in pulls(sheets):
        for base in BASES:
            row = in_base(pull, base)[key]
            if not row.present:
                continue
            data = loaded[sheet.id]["pulls"][at]
            value = data["peak"][key] * data["bases"][base]["factor"]
            spread = math.hypot(*shares(loaded[sheet.id], at, key, base).values())
            assert value == pytest.approx(row.scalar, rel=5e-7)  # seven digits are shipped
            assert COVERAGE * value * spread == pytest.approx(row.expanded, rel=2e-4)
            seen += 1
    assert seen > 150


def difference(first: Row, second: Row) -> float:
    """Expanded uncertainty of a difference of two rows, what both rest on taken out once."""
    roots = {*first.spread, *second.spread}
    parts = [float(second.spread.get(it, 0)) - float(first.spread.get(it, 0)) for it in roots]
    return COVERAGE * math.hypot(*parts)


def test_shipped_shares_give_the_uncertainty_of_a_difference(
    sheets: Sheets, loaded: dict[str, dict[str, Any]]
) -> None:
    """Two pulls of one day share their air; what they differ by rests on the rest alone."""
    seen = 0
    for name, sheet in sheets.items():
        for one, other in combinations(range(len(sheet.pulls)), 2):
            for base in BASES:
                rows = [in_base(sheet.pulls[at], base)["power"] for at in (one, other)]
                a, b = (shares(loaded[name], at, "power", base) for at in (one, other))
                x, y = (row.scalar for row in rows)
                shipped = 2 * math.hypot(
                    *(y * b.get(root, 0.0) - x * a.get(root, 0.0) for root in {*a, *b})
                )
                assert shipped == pytest.approx(difference(*rows), rel=1e-3)
                seen += 1
    assert seen > 100


def test_shipped_curves_are_the_rows_curves(
    sheets: Sheets, loaded: dict[str, dict[str, Any]]
) -> None:
    """A curve as reported times the base's factor is the sheet's curve; so is its ±."""
    seen = 0
    for sheet, at, pull in pulls(sheets):
        data, rows = loaded[sheet.id]["pulls"][at], pull.rows
        if not rows["speed_curve"].present:
            assert "speed" not in data
            continue
        speed = np.array(data["speed"]) / 60
        turning = 2 * math.pi * speed
        power = (
            np.array(data["power"]) * 1e3 if "power" in data else np.array(data["torque"]) * turning
        )
        base = own_base(sheet.archive.settings)
        shown = power * data["bases"][base]["factor"]
        np.testing.assert_allclose(shown, rows["power_curve"].curve, rtol=1e-6)
        spread = math.hypot(*shares(loaded[sheet.id], at, "power", base).values())
        uncertainty = np.asarray(rows["power_curve"].uncertainty)
        np.testing.assert_allclose(spread * shown, uncertainty, rtol=2e-4)
        seen += 1
    assert seen > 30


def test_texts_are_those_of_the_vocabulary() -> None:
    """A figure's text is number and margin in both systems, and once where they read the same."""
    power, speed = quantity("power"), quantity("engine_speed")
    assert figure_text(power, 192404.2, 4690.3) == "192|5|258|6"
    assert figure_text(power, 192404.2) == "192||258"
    assert figure_text(speed, 7400 / 60) == "7\u202f400"
    assert figure_text(quantity("swept_volume"), 1.9949e-3) == "1.99||122"


def test_every_line_of_the_page_has_its_rows_quantity(sheets: Sheets) -> None:
    """The unit behind a number is that of the row it came from."""
    for sheet in sheets.values():
        for _, members in GROUPS:
            for line in members:
                for row in found(line.level, line.find, sheet):
                    assert row.quantity.key == line.quantity, line.key


def found(level: str, find: Any, sheet: Sheet) -> Iterator[Row]:
    """The rows that a line finds on a sheet."""
    places: dict[str, list[Any]] = {
        "build": [sheet],
        "setup": list(sheet.setups),
        "step": list(sheet.ladder),
        "pull": list(sheet.pulls),
        "base": [pull.rows for pull in sheet.pulls],
    }
    values = (find(part) for part in places[level])
    return (value for value in values if isinstance(value, Row) and value.present)


def test_lines_have_keys_of_their_own() -> None:
    """No two lines of a level share a key, or one would print the other's figure."""
    for level in ("base", "pull", "step", "setup", "build"):
        keys = [line.key for _, members in GROUPS for line in members if line.level == level]
        assert len(keys) == len(set(keys))
    setup = [line.key for _, members in GROUPS for line in members
             if line.level in ("step", "setup")]  # fmt: skip
    assert len(setup) == len(set(setup))


def test_absent_figures_are_left_out(sheets: Sheets) -> None:
    """What was not recorded has no text, not an empty or a zero one."""
    natural = next(it for it in sheets.values() if it.build.induction.natural is not None)
    assert "boost" not in cells("pull", natural.pulls[0])
    assert "blower" not in cells("build", natural)


def test_drive_lines_take_what_was_published() -> None:
    """Between flywheel and hubs 0.81 to 0.97 arrive; a figure at the flywheel needs no range.

    Source: the range that the session's table of rows cites.
    """
    ranges = drive_line_ranges()
    assert ranges["flywheel"] == (1.0, 1.0)
    assert ranges["hub"] == pytest.approx((0.81, 0.97), abs=0.001)
    assert ranges["roller"][0] < ranges["hub"][0]
    assert ranges["roller"][1] < ranges["hub"][1]


def test_index_has_every_build_and_every_former_id(archive: Archive, sheets: Sheets) -> None:
    """All columns are as long as the list of builds, and old names lead to new ones."""
    data = taken(index_script(archive, map(index_row, sheets.values())), "builds")
    assert data["id"] == list(archive.builds)
    for name in ("title", "engine", "size", "fed", "power", "place", "date"):
        assert len(data[name]) == len(archive.builds)
    former = {old.value for build in archive.builds.values() for old in build.formerly}
    assert set(data["formerly"]) == former
    assert former


def test_combos_are_the_tested_setups(sheets: Sheets) -> None:
    """Every setup with a power figure is there once, and none that was only planned."""
    data = taken(combos_script(map(combos_of, sheets.values())), "combos")
    names = list(sheets)
    listed = [(names[at], setup) for at, setup in zip(data["build"], data["setup"], strict=True)]
    expected = [
        (sheet.id, setup.id)
        for sheet in sheets.values()
        for setup in sheet.setups
        if setup.best is not None and setup.best.rows["power"].present
    ]
    assert listed == expected


def test_hostile_text_stays_text(archive: Archive, sheets: Sheets) -> None:
    """A title that would be code is handed over as the text it is."""
    sheet = next(iter(sheets.values()))
    evil = '</script><script>alert(1)</script>"+alert(2)+"\u2028'
    title = Given(evil, evil, sheet.build.title.place)
    changed = replace(sheet, build=replace(sheet.build, title=title))
    assert taken(build_script(changed), f"build {sheet.id}")["title"] == evil
    assert taken(index_script(archive, [index_row(changed)]), "builds")["title"] == [evil]


def test_one_build_costs_a_reader_little(sheets: Sheets) -> None:
    """A build chosen is a kilobyte or so and less than one more for each of its pulls."""
    for sheet in sheets.values():
        size = len(gzip.compress(build_script(sheet).encode("utf-8")))
        assert size < 1400 + 800 * len(sheet.pulls), sheet.id


def test_observed_is_the_first_base() -> None:
    """What was read comes before what became of it."""
    assert BASES[0] == OBSERVED
    assert len(BASES) == 5
