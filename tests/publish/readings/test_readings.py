"""All that pulls logged: its page, its drawings, its data, and channels that no table knows."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import jsonschema
import numpy as np
import pytest

from specgen.analysis.sheet import Sheet, analyse
from specgen.archive.archive import read_archive
from specgen.publish.logged import extra_channels, groups, quantity_of
from specgen.publish.making.item import Item
from specgen.publish.readings.data import readings_script
from specgen.publish.readings.page import readings_page
from specgen.publish.sheet.data import SHEET_SCHEMA, sheet_json
from tests.publish.conftest import BUILDS
from tests.publish.pages import part_of, text_of

pytestmark = pytest.mark.slow

_BUILD = "ice-sledge"


@pytest.fixture(scope="module")
def logged(tmp_path_factory: pytest.TempPathFactory) -> Sheet:
    """A build whose newest log had three more columns than anybody asked for, one with a gap."""
    root = tmp_path_factory.mktemp("logged")
    shutil.copy(BUILDS / "archive.yaml", root)
    shutil.copytree(BUILDS / "blowers", root / "blowers")
    shutil.copytree(BUILDS / _BUILD, root / _BUILD)
    for file in sorted((root / _BUILD / "pulls").glob("*.csv"))[-1:]:
        head, *lines = file.read_text("utf-8").splitlines()
        more = [f"{head},exhaust gas temperature [degC],oil pressure [psi],knock count"]
        more += [f"{line},{600 + 5 * at},{58 - at / 4},{'' if at == 2 else at % 3}"
                 for at, line in enumerate(lines)]  # fmt: skip
        file.write_text("\n".join(more) + "\n", "utf-8")
    return analyse(read_archive(root))[_BUILD]


def _data(sheet: Sheet) -> Any:
    script = readings_script(sheet, "metric")
    assert script.startswith(f'specgen.take("readings {sheet.id}",')
    return json.loads(script[script.index("{") : script.rindex(")")])


def test_a_channel_that_no_table_knows_can_be_had_everywhere(logged: Sheet) -> None:
    """In the picture's choices, on the page of readings, in the sheet's data, with its unit."""
    (group,) = (it for it in groups(logged) if it.words == "Also logged")
    titles = [item.kind.title for item in group.series]
    assert titles == ["Exhaust gas temperature", "Oil pressure", "Knock count"]
    page = readings_page(logged, "metric", True)
    said = text_of(page)
    assert "## Also logged" in page
    assert "Oil pressure psi kPa" in said or "Oil pressure kPa psi" in said
    chart = _data(logged)["charts"]["logged-more"]
    assert {line["key"] for line in chart["lines"]} == {item.quantity for item in group.series}
    data = json.loads(sheet_json(logged.archive, logged, ()))
    found = {item["name"]: item for item in data["channels"]}
    assert found["knock count"]["value"][:4] == [0, 1, None, 0]
    assert found["oil pressure"]["unit"] == "psi"
    assert len(found["oil pressure"]["at"]["value"]) == len(found["oil pressure"]["value"])


def test_the_schema_tells_of_channels(logged: Sheet) -> None:
    """The data holds to the schema that is published beside it; a number as text does not."""
    here = Path(__file__).parents[3] / "specgen" / "publish" / "sheet" / SHEET_SCHEMA
    check = jsonschema.Draft202012Validator(json.loads(here.read_text("utf-8")))
    data = json.loads(sheet_json(logged.archive, logged, ()))
    assert not list(check.iter_errors(data))
    data["channels"][0]["value"][0] = "600"
    assert [it.json_path for it in check.iter_errors(data)] == ["$.channels[0].value[0]"]


def test_a_logged_unit_has_that_of_the_other_system_beside_it(logged: Sheet) -> None:
    """600 degC is 1 112 degF, 58 psi is 399.9 kPa (lb 0.45359237 kg, in 25.4 mm)."""
    pull = next(it for it in logged.pulls if list(extra_channels(it)))
    heat, oil, knocks = map(quantity_of, extra_channels(pull))
    assert [heat[0].text(float(heat[1][0]), it) for it in ("metric", "imperial")] == [
        "600\u202f°C", "1\u202f112\u202f°F",
    ]  # fmt: skip
    pascals = 58 * 0.45359237 * 9.80665 / 0.0254**2
    assert float(oil[1][0]) == pytest.approx(pascals, rel=1e-6)
    assert [oil[0].unit(it).shown for it in ("metric", "imperial")] == ["kPa", "psi"]
    assert [knocks[0].text(2.0, it) for it in ("metric", "imperial")] == ["2", "2"]


def test_values_are_read_at_their_places(sheets: Mapping[str, Sheet]) -> None:
    """Every value of every curve falls on its panel, and what is handed over is what was logged."""
    read = 0
    for sheet in sheets.values():
        if not readings_script(sheet, "metric"):
            continue
        data = _data(sheet)
        for chart in data["charts"].values():
            for drawn in chart["plots"]:
                sides = {plot[0]: plot for plot in drawn}
                for line in chart["lines"]:
                    _, left, right, top, bottom, first, last, low, high = sides[line["key"]]
                    assert left < right
                    assert top < bottom
                    both = zip(line["x"], line["y"], strict=True)
                    speeds = np.array([x for x, y in both if x is not None and y is not None])
                    assert first - 1e-6 * last <= speeds.min()
                    assert speeds.max() <= last * (1 + 1e-6)
                    values = np.array([it for it in line["y"] if it is not None])
                    assert values.max() <= high
                    assert values.min() >= low - 1e-6 * abs(high) or line["label"].endswith(
                        "planned"
                    )
                    read += len(values)
        best = sheet.best
        if best is not None and best.rows["lambda_curve"].present:
            lines = data["charts"]["logged-mixture"]["lines"]
            read_off = np.array([np.nan if it is None else it for it in lines[0]["y"]])
            assert read_off == pytest.approx(best.rows["lambda_curve"].curve, nan_ok=True)
    assert read > 10_000


def test_every_pull_with_a_curve_has_its_table(sheets: Mapping[str, Sheet]) -> None:
    """Each with its setup, day and measuring point; the highest power is among the lines."""
    for sheet in sheets.values():
        page = readings_page(sheet, "metric", True)
        for pull in sheet.pulls if page else ():
            if not pull.rows["speed_curve"].present:
                continue
            said = text_of(part_of(page, f"Pull {pull.id}"))
            assert pull.setup.title in said
            power = pull.rows["power_curve"]
            if power.present:
                most = float(np.nanmax(power.curve))
                assert power.quantity.number(most, "metric").replace("\u202f", " ") in said


def _elements(drawn: list[Any]) -> Iterator[str]:
    yield drawn[0]
    for inside in drawn[2:]:
        if not isinstance(inside, str):
            yield from _elements(inside)


def test_drawings_are_handed_over_as_elements(sheets: Mapping[str, Sheet]) -> None:
    """Nothing but what a drawing is made of, each with both of its forms and its words."""
    seen: set[str] = set()
    for sheet in sheets.values():
        if readings_script(sheet, "metric"):
            for name, chart in _data(sheet)["charts"].items():
                if name not in ("power", "boost"):
                    seen |= {*_elements(chart["wide"]), *_elements(chart["narrow"])}
                    assert chart["caption"][0]
                    assert chart["wide"][2][0] == "title"
    assert seen == {"svg", "title", "desc", "g", "path", "text"}


def test_a_sheet_leads_to_its_readings_only_where_there_are_some(listed: list[Item]) -> None:
    """The page and its data stand together, and so does the picture that reads them."""
    pages = {item.address: str(item.content) for item in listed if item.address.endswith(".md")}
    data = {item.address for item in listed if item.address.endswith("/readings.js")}
    with_picture = {it for it, text in pages.items() if "data-sg-from" in text}
    assert len(with_picture) > 8
    wanted = {it.replace("index.md", "readings.js") for it in with_picture}
    assert wanted <= data
    # what is left stands under an earlier name of a build
    former = {it.split("/")[1] for it in data - wanted}
    assert not [it for it in former if f"builds/{it}/index.md" in pages]
