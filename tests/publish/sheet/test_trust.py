"""The parts of a sheet that judge its model: ladder, misfits, fit, limits; and the same as data."""

from __future__ import annotations

import json
import math
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from specgen.analysis.judging.ladder import Step
from specgen.analysis.judging.reach import Excess
from specgen.analysis.rows.row import Basis, Row
from specgen.analysis.sheet import Sheet
from specgen.analysis.workings import FIT
from specgen.cli import main
from specgen.publish.making.item import Item
from specgen.publish.sheet.data import sheet_json
from specgen.publish.sheet.page import Surroundings, sheet_page
from specgen.publish.site import Site
from specgen.publish.terminal import sheet_text
from specgen.publish.typesetting.verdicts import MISFIT, excess_words, left_over, verdict
from specgen.vocabulary import quantity
from tests.publish.pages import known, part, sheets_of, text_of

pytestmark = pytest.mark.slow


def ladder(items: dict[str, Item], sheet: Sheet) -> str:
    """The ladder's part of a sheet."""
    heading = "The ladder of setups" if len(sheet.ladder) > 1 else "The setup"
    return part(items, sheet.id, heading)


def row(value: float | None, uncertainty: float, key: str = "boost") -> Row:
    """A figure with its standard uncertainty."""
    basis: Basis = "absent" if value is None else "measured"
    return Row(key, "test", key, quantity(key), basis, value, {"one": uncertainty})


def step(site: Site, measured: float, predicted: float, others: int = 3) -> Step:
    """A rung of the demo's ladder with other boosts, each with 1 kPa of standard uncertainty."""
    rung = sheets_of(site)["lark-hydroplane"].ladder[0]
    return replace(
        rung, measured_boost=row(measured, 1e3), estimated_boost=row(predicted, 1e3),
        measured_power=None, others=others,
    )  # fmt: skip


# ------------------------------------------------------------------ words


def test_inside_and_just_outside_by_both_bands(site: Site) -> None:
    """Two bands of 2 kPa agree up to the root of the sum of their squares, 2.83 kPa."""
    assert verdict(step(site, 92.8e3, 90e3), named=False) == "inside"
    assert verdict(step(site, 92.9e3, 90e3), named=False) == "boost just outside"
    assert verdict(step(site, 92.9e3, 90e3), named=True) == MISFIT


def test_both_figures_outside_are_both_named(site: Site) -> None:
    """Boost and power may each lie outside; a pull that read neither says so, a plan nothing."""
    rung = step(site, 99e3, 90e3)
    power = replace(rung, measured_power=row(300e3, 1e3, "power"),
                    estimated_power=row(280e3, 1e3, "power"))  # fmt: skip
    assert verdict(power, named=False) == "boost and power just outside"
    pulled = replace(rung, measured_boost=None)
    assert verdict(pulled, named=False) == "not compared"
    assert verdict(replace(pulled, pull=None), named=False) == ""


def test_a_prediction_from_defaults_says_so(site: Site) -> None:
    """With no other pull to rest on, being inside is no feat."""
    assert verdict(step(site, 91e3, 90e3, others=0), named=False) == "inside, from defaults"


@pytest.mark.parametrize(
    ("measured", "system", "expected"),
    [
        (94e3, "metric", "+4 kPa"),
        (86e3, "metric", "−4 kPa"),
        (90.2e3, "metric", "0 kPa"),
        (94e3, "imperial", "+0.6 psi"),  # 4 kPa / 6.894757 kPa = 0.58
    ],
)
def test_what_is_left_over(site: Site, measured: float, system: Any, expected: str) -> None:
    """Measured less predicted, with its sign, no finer than the bands allow."""
    assert left_over(step(site, measured, 90e3), system).replace("\u202f", " ") == expected


def test_a_limit_is_named_in_both_systems() -> None:
    """120 kPa is 17.4 psi (120 / 6.894757)."""
    found = Excess(row(121e3, 3e3), row(120e3, 0.0), certain=False)
    assert excess_words(found, "metric") == "may be above the limit of 120\u202fkPa"
    assert excess_words(found, "imperial") == "may be above the limit of 17.4\u202fpsi"
    assert excess_words(replace(found, certain=True), "metric").startswith("above the limit")


# ------------------------------------------------------------------ ladder


def test_every_rung_has_its_figures_and_word(items: dict[str, Item], site: Site) -> None:
    """Measured, predicted and left over stand in the row, with the word of the verdict."""
    seen = 0
    for sheet in sheets_of(site).values():
        table = ladder(items, sheet).partition("</table>")[0]
        rows = re.findall(r"<tr.*?</tr>", table, re.DOTALL)[1:]
        assert len(rows) == len(sheet.ladder), sheet.id
        named = {found.setup.id for found in sheet.diagnoses}
        for text, rung in zip(map(text_of, rows), sheet.ladder, strict=True):
            for figure in (rung.measured_boost, rung.estimated_boost, rung.measured_power):
                if figure is not None and figure.present:
                    number = figure.quantity.number(figure.scalar, "metric", figure.expanded)
                    assert number.replace("\u202f", " ") in text, f"{sheet.id} {rung.setup.id}"
                    seen += 1
            word = verdict(rung, named=rung.setup.id in named)
            compared = "sg-mark-cell" in table  # else nothing of the build is set beside anything
            assert (word if compared else "") in text, f"{sheet.id} {rung.setup.id}"
            assert compared or word in ("", "not compared")
    assert seen > 60


def test_a_misfit_in_the_ladder_leads_to_its_explanation(
    items: dict[str, Item], site: Site
) -> None:
    """The word is a link to the part that names the pull; nobody else is accused."""
    for sheet in sheets_of(site).values():
        links = ladder(items, sheet).count(
            f'<a href="#what-disagrees-with-the-others">{MISFIT}</a>'
        )
        assert links == len({found.setup.id for found in sheet.diagnoses}), sheet.id


def test_predictions_say_what_they_rest_on(items: dict[str, Item], site: Site) -> None:
    """The others alone, or the defaults where there is no other; a plan on all pulls."""
    for sheet in sheets_of(site).values():
        text = text_of(ladder(items, sheet))
        predicted = any(
            rung.estimated_boost.present or rung.estimated_power.present for rung in sheet.ladder
        )
        others = any(rung.others for rung in sheet.ladder)
        assert ("rest on defaults" in text) == (predicted and not others), sheet.id
        assert ("other setups alone" in text) == (predicted and others), sheet.id


def test_what_lies_beyond_is_marked_where_it_stands(items: dict[str, Item], site: Site) -> None:
    """A dagger behind the figure with its reason below; a plan above its limit says so in words."""
    text = text_of(ladder(items, sheets_of(site)["lark-hydroplane"]))
    assert text.count("†") > text.count("† Predicted beyond") == 1
    assert "84.4 mm (rotor ratio" in text
    planned = text[text.index("planned") :]
    assert "boost may be above the limit of 110 kPa" in planned


def test_each_setup_opens_to_its_figures_at_the_highest_speed(
    items: dict[str, Item], site: Site
) -> None:
    """One fold a setup; a plan looks planned and has no column of measurements."""
    sheet = sheets_of(site)["lark-hydroplane"]
    block = known(items, sheet.id, "At the highest engine speed")
    folds = re.findall(r"<details.*?</details>", block, re.DOTALL)
    assert len(folds) == len(sheet.setups)
    for fold, setup in zip(folds, sheet.setups, strict=True):
        assert ("sg-planned-fold" in fold) == setup.planned
        assert (">planned</span>" in fold) == setup.planned
        assert (">Measured</th>" in fold) != setup.planned
        duty = setup.rows["injector_duty"]
        words = duty.quantity.number(duty.scalar, "metric", duty.expanded)
        assert f"Injector duty{words}" in text_of(fold)
        assert "Torque" in fold
        assert "Air mass flow" in fold


# ------------------------------------------------------- what disagrees with the others


def test_the_part_stands_only_where_something_does_not_fit(
    items: dict[str, Item], site: Site
) -> None:
    """A build that fits has no such part."""
    for sheet in sheets_of(site).values():
        assert bool(part(items, sheet.id, "What disagrees with the others")) == bool(
            sheet.diagnoses
        ), sheet.id


def test_a_misfit_says_what_where_and_by_how_much(items: dict[str, Item], site: Site) -> None:
    """Pull, pattern, speed, both figures, how far apart, and a chart of both curves."""
    sheet = sheets_of(site)["plover-sprint"]
    (found,) = sheet.diagnoses
    block = part(items, sheet.id, "What disagrees with the others")
    text = text_of(block)
    assert f"{found.setup.title}, pull {found.pull}: boost {found.pattern.words}" in text
    told = re.search(r"At ([\d ]+) rpm boost was measured as (\d+) .*? say (\d+) ", text)
    assert told is not None
    assert abs(int(told[1].replace(" ", "")) - found.speed * 60) <= 100
    assert int(told[2]) < int(told[3])
    assert f"{found.size:.1f} standard deviations" in text
    assert block.count("<svg") == 2
    assert "below the estimated band" in text


def test_causes_come_in_order_with_what_speaks_for_and_against(
    items: dict[str, Item], site: Site
) -> None:
    """What speaks for a cause, against it, and what nobody recorded are told apart."""
    sheet = sheets_of(site)["plover-sprint"]
    (found,) = sheet.diagnoses
    text = text_of(part(items, sheet.id, "What disagrees with the others"))
    places = [text.index(cause.title) for cause in found.causes]
    assert places == sorted(places)
    assert "For it: boost is short at high speed only" in text
    assert "Against it: at nearly the same flow the other setups fit" in text
    assert "Not known: the pressure before the blower was not recorded" in text
    assert "What could explain it" in text


# --------------------------------------------------------- what was fitted


def test_every_unknown_stands_before_and_after(items: dict[str, Item], site: Site) -> None:
    """All unknowns are listed; the word of each is the fit's own."""
    for sheet in sheets_of(site).values():
        block = known(items, sheet.id, "What was fitted")
        fit = sheet.calibration
        assert bool(block) == (fit is not None), sheet.id
        if fit is None:
            continue
        lines = re.findall(r"<tr><th scope=\"row\">.*?</tr>", block, re.DOTALL)
        assert len(lines) == len(fit.unknowns), sheet.id
        pinned = sum(fit.pinned(index) for index in range(len(fit.unknowns)))
        assert sum("pinned by the measurements" in line for line in lines) == pinned
        assert sum("still rests on its prior" in line for line in lines) == len(lines) - pinned
        for pull in fit.pulls:
            assert pull in text_of(block)


def test_a_setup_set_aside_is_said_to_be(items: dict[str, Item]) -> None:
    """The fit does not rest on the slipping belt, and says so with a link."""
    block = known(items, "plover-sprint", "What was fitted")
    assert (
        'Set aside, because all the others speak against it: <a href="../#what-disagrees' in block
    )
    assert "2025-07-02-4" not in block


def test_a_fitted_figure_opens_to_its_prior(items: dict[str, Item], site: Site) -> None:
    """Behind a fitted figure stand the pulls it was fitted to and a link to where it began."""
    for name, sheet in sheets_of(site).items():
        if sheet.calibration is None:
            continue
        page = str(items[f"builds/{name}/figures/index.md"].content)
        row = next(
            item for item in sheet.calibration.all_fitted(FIT) if item.key == "friction_share"
        )
        body = re.search(rf'id="{row.anchor}">(.*?)</div></details>', page, re.DOTALL)
        assert body is not None, name
        assert f'href="#{row.inputs[0].anchor}"' in body[1]
        assert "itted to " in text_of(body[1])


# ------------------------------------------------------------------ limits


def test_limits_stand_each_once_with_bar_and_words(items: dict[str, Item], site: Site) -> None:
    """A line for each limit, nearest first, with its bar."""
    for sheet in sheets_of(site).values():
        block = part(items, sheet.id, "Near its limits")
        assert bool(block) == bool(sheet.limits), sheet.id
        if not block:
            continue
        assert block.count("<svg") == len(re.findall(r"<li[ >]", block)) == len(sheet.limits)
        bars = [float(it) for it in re.findall(r'<rect x="1" y="4" width="([\d.]+)"', block)]
        assert bars == sorted(bars, reverse=True), sheet.id
        assert len(bars) == len(sheet.limits)


# ------------------------------------------------------------------ groups


def test_figures_stand_in_closed_groups(items: dict[str, Item], site: Site) -> None:
    """The long part is a list of groups, each with its count; no title stands twice."""
    for name in sheets_of(site):
        block = known(items, name, "Where the figures come from")
        groups = re.findall(r"<summary><h3>(.*?)</h3> <span[^>]*>(\d+) figure", block)
        assert len({title for title, _ in groups}) == len(groups) > 1, name
        assert sum(int(count) for _, count in groups) == block.count("sg-prov-body")
        assert "<details open" not in block


# -------------------------------------------------------------------- data


def data_of(site: Site, sheet: Sheet) -> str:
    """A sheet as data."""
    page = sheet_page(site.archive, sheet, Surroundings())
    return sheet_json(site.archive, sheet, page.shown)


def test_data_holds_every_figure_that_the_page_explains(site: Site, items: dict[str, Item]) -> None:
    """Each figure of a page has an object in its sheet.json, whose value is the one printed."""
    compared = 0
    for sheet in sheets_of(site).values():
        figures = json.loads(str(items[f"builds/{sheet.id}/sheet.json"].content))["figures"]
        held = {(item["scope"], item["key"]): item for item in figures}
        page = sheet_page(site.archive, sheet, Surroundings())
        anchors = set(re.findall(r'class="sg-prov-body" id="([^"]+)"', page.known))
        assert len(anchors) == len(page.shown), sheet.id
        linked = set(re.findall(r'class="sg-row" href="figures/#([^"]+)"', page.text))
        assert linked <= anchors, sheet.id
        for _, row in page.shown:
            item = held[row.scope, row.key]
            unit = row.quantity.metric
            if not row.is_curve:
                assert unit.to_si(item["value"]) == pytest.approx(row.scalar, rel=1e-6, abs=1e-9)
                compared += 1
    assert compared > 3000


def test_data_is_the_same_from_the_site_and_from_the_terminal(items: dict[str, Item]) -> None:
    """`specgen show --format json` gives the published file to the byte."""
    root = Path(__file__).parents[3] / "builds"
    asked = ["show", "plover-sprint", "--archive", str(root), "--format", "json"]
    told = CliRunner().invoke(main, asked)
    assert told.stdout == str(items["builds/plover-sprint/sheet.json"].content)


def test_data_carries_fit_ladder_misfits_and_limits(site: Site) -> None:
    """The JSON says what the sheet's objects say."""
    for sheet in sheets_of(site).values():
        document = json.loads(data_of(site, sheet))
        assert [rung["setup"] for rung in document["ladder"]] == [s.setup.id for s in sheet.ladder]
        for told, rung in zip(document["ladder"], sheet.ladder, strict=True):
            assert told["other_pulls"] == rung.others
            if rung.boost_miss is not None:
                assert told["boost"]["left_over"] == pytest.approx(rung.boost_miss / 1e3, rel=1e-5)
        assert [item["pull"] for item in document["diagnoses"]] == [
            found.pull for found in sheet.diagnoses
        ]
        assert len(document["limits"]) == len(sheet.every_limit)
        fit = document["calibration"]
        assert (fit is None) == (sheet.calibration is None)
        if fit is not None and sheet.calibration is not None:
            assert fit["pulls"] == list(sheet.calibration.pulls)
            assert [item["pinned"] for item in fit["unknowns"]] == [
                sheet.calibration.pinned(index) for index in range(len(fit["unknowns"]))
            ]


def test_data_has_every_figure_that_another_rests_on(site: Site) -> None:
    """No figure's input leads nowhere, and none stands twice."""
    for sheet in sheets_of(site).values():
        figures = json.loads(data_of(site, sheet))["figures"]
        names = [(item["scope"], item["key"]) for item in figures]
        assert len(set(names)) == len(names), sheet.id
        wanted = {
            (part["scope"], part["key"]) for item in figures for part in item.get("inputs", [])
        }
        assert wanted <= set(names), sheet.id


# ---------------------------------------------------------------- terminal


def test_terminal_shows_the_ladder_and_what_does_not_fit(site: Site) -> None:
    """Measured and predicted side by side, and the causes in their order."""
    text = sheet_text(sheets_of(site)["plover-sprint"], "metric").replace("\u202f", " ")
    line = next(line for line in text.splitlines() if line.startswith("  84.4 mm"))
    assert re.search(
        r"109 ± 3 kPa +10\d ± \d kPa +[+]\d kPa +225 ± 5 kW +2[23]\d ± \d+ kW +inside", line
    )
    causes = text.partition("What disagrees with the others")[2].partition("Engine and drive")[0]
    assert causes.index("Belt slip") < causes.index("A restriction before the blower")
    assert "around 6 750 rpm" in causes
    assert "disagrees with the others" in next(
        li for li in text.splitlines() if li.startswith("  79.3 mm")
    )


def test_terminal_is_silent_where_there_is_nothing_to_predict(site: Site) -> None:
    """A turbocharged build is measured, never predicted: no ladder, no misfit."""
    text = sheet_text(sheets_of(site)["sidecar-outfit"], "metric")
    assert "Ladder" not in text
    assert "What disagrees with the others" not in text


def test_terminal_warns_of_a_plan_in_the_reader_s_units(site: Site) -> None:
    """A planned pulley above its limit is told in the units asked for."""
    text = sheet_text(sheets_of(site)["lark-hydroplane"], "imperial").replace("\u202f", " ")
    line = next(line for line in text.splitlines() if line.startswith("  84.4 mm"))
    assert "planned; beyond the others: rotor ratio" in line
    assert "boost may be above the limit of 16.0 psi" in line
    assert math.isclose(110 / 6.894757, 16.0, abs_tol=0.05)
