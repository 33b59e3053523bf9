"""The data package: valid by another library, and enough to recompute figures from."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import jsonschema
import numpy as np
import pandas as pd
import pytest

from specgen.analysis.sheet import Sheet
from specgen.publish.making.item import Item
from specgen.publish.takeaway.columns import csv_line, written
from specgen.publish.takeaway.tables import CURVES, TABLES

Items = Mapping[str, Item]


def _is_curves(address: str) -> bool:
    """Whether it is a build's curves, at its own address and not at a former one."""
    return address.endswith("/curves.csv") and "ferry-flat-four" not in address


@pytest.fixture(scope="module")
def folder(items: Items, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The package as somebody downloads it."""
    top = tmp_path_factory.mktemp("package")
    for address, item in items.items():
        if address == "datapackage.json" or address.startswith("data/") or _is_curves(address):
            path = top / address
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(str(item.content).encode("utf-8"))
    return top


def described(folder: Path) -> dict[str, Any]:
    """What the package says of itself."""
    return dict(json.loads((folder / "datapackage.json").read_text("utf-8")))


@pytest.mark.filterwarnings("default")
def test_frictionless_finds_nothing_wrong(folder: Path) -> None:
    """Types, keys, references, sizes and hashes, by the library of the standard; a slip is seen."""
    frictionless = pytest.importorskip("frictionless")
    report = frictionless.validate(str(folder / "datapackage.json"))
    assert report.flatten(["resourceName", "rowNumber", "fieldName", "type", "note"]) == []
    assert report.stats["tasks"] == len(described(folder)["resources"]) > 15
    pulls = folder / "data" / "pulls.csv"
    sound = pulls.read_text("utf-8")
    try:
        pulls.write_text(sound.replace("2025-05-14-6,1,", "2025-05-14-6,9,"), "utf-8")
        told = frictionless.validate(str(folder / "datapackage.json")).flatten(["type"])
    finally:
        pulls.write_text(sound, "utf-8")
    assert {"foreign-key", "hash-count"} <= {kind for (kind,) in told}


def test_every_file_is_described_and_says_who_made_it(
    folder: Path, sheets: Mapping[str, Sheet]
) -> None:
    """Six tables over all builds, the curves of each build that has some, licence and words."""
    package = described(folder)
    paths = {it["path"] for it in package["resources"]}
    assert paths == {p.relative_to(folder).as_posix() for p in folder.rglob("*.csv")}
    tested = [
        it
        for it, sheet in sheets.items()
        if any(p.rows["speed_curve"].is_curve for p in sheet.pulls)
    ]
    assert {f"builds/{it}/curves.csv" for it in tested} <= paths
    assert package["licenses"] == [
        {"name": "CC0-1.0", "path": "https://creativecommons.org/publicdomain/zero/1.0/"}
    ]
    assert "invented" in package["description"]


def test_power_follows_from_torque_and_speed(folder: Path) -> None:
    """P = 2 pi n T in pandas, to 1e-6 where one of the two was recorded, 1 % where both were."""
    pulls = pd.read_csv(folder / "data" / "pulls.csv").set_index(["build", "pull"])
    exact = rounded = 0
    for path in sorted(folder.glob("builds/*/curves.csv")):
        curves = pd.read_csv(path)
        turns = 2 * math.pi * curves["engine speed [rev/s]"]
        for state in ("reported", "observed", "corrected"):
            miss = (
                turns * curves[f"{state} torque [N m]"] / curves[f"{state} power [W]"] - 1
            ).abs()
            for pull, off in miss.groupby(curves["pull"]):
                if off.isna().all():
                    continue
                both = pulls.loc[(curves["build"].iloc[0], pull), "recorded"] == "both"
                assert off.max() < (1e-2 if both else 1e-6), (path, state, pull)
                exact, rounded = exact + (not both), rounded + both
    assert exact > 20
    assert rounded > 0


def test_tables_say_what_sheets_say(folder: Path, sheets: Mapping[str, Sheet]) -> None:
    """Headline figures in the table of builds are those of the sheets, margins as well."""
    builds = pd.read_csv(folder / "data" / "builds.csv").set_index("build")
    assert list(builds.index) == list(sheets)
    for name, sheet in sheets.items():
        if sheet.best is None:
            assert builds["power [W]"].isna()[name]
            continue
        power = sheet.best.rows["power"]
        assert builds.loc[name, "power [W]"] == pytest.approx(power.scalar, rel=1e-6)
        assert builds.loc[name, "power u [W]"] == pytest.approx(power.uncertainty, rel=1e-6)


def test_every_curve_that_a_pull_has_is_a_column(sheets: Mapping[str, Sheet]) -> None:
    """No channel of the model is forgotten, and power and torque stand once for each state."""
    known = {key for key, _, _ in CURVES}
    aliases = {"power_curve", "torque_curve", "power_column", "torque_column"}
    worked_out = {"effectiveness_curve"}
    for sheet in sheets.values():
        for pull in sheet.pulls:
            curves = {row.key for row in pull.rows if row.is_curve}
            assert curves - known - aliases - worked_out == set(), (sheet.id, pull.id)


def test_columns_are_named_once_and_keys_are_columns() -> None:
    """Within a table no two columns share a name; keys and references name columns of it."""
    for table in TABLES:
        names = [column.name for column in table.columns]
        assert len(set(names)) == len(names), table.name
        assert set(table.key) <= set(names)
        assert all(set(fields) <= set(names) for fields, _ in table.refers)


@pytest.mark.parametrize("start", ["=1+1", "+49 30", "-x", "@cmd", "\t=1", "\r=1", "\n=1"])
def test_no_text_becomes_a_formula(start: str) -> None:
    """A text that a spreadsheet would run has an apostrophe before it, a number never has."""
    assert written(start) == f"'{start}"
    assert written(-3.5) == "-3.5"
    assert written(-3) == "-3"


def test_cells_are_quoted_where_they_must_be() -> None:
    """Commas, quotes and line ends inside a cell (RFC 4180, section 2)."""
    assert csv_line(["a", 'say "b", c', "d\ne", ""]) == 'a,"say ""b"", c","d\ne",\n'
    assert written(float("nan")) == written(float("inf")) == written(None) == ""
    assert written(True) == "true"
    assert np.isclose(float(written(1 / 3)), 1 / 3, rtol=1e-7)


def test_each_sheets_data_fits_its_schema(items: Items) -> None:
    """Every sheet.json validates, formats checked, and a broken one does not."""
    schema = json.loads(str(items["schemas/sheet.schema.json"].content))
    assert schema == json.loads(str(items["schemas/1/sheet.schema.json"].content))
    checker = jsonschema.Draft202012Validator(schema, format_checker=jsonschema.FormatChecker())
    jsonschema.Draft202012Validator.check_schema(schema)
    sheets = [item for address, item in items.items() if address.endswith("/sheet.json")]
    assert len(sheets) >= 17
    for item in sheets:
        data = json.loads(str(item.content))
        assert [error.message for error in checker.iter_errors(data)] == [], item.address
    del data["figures"][0]["basis"]
    assert list(checker.iter_errors(data))


def test_input_schemas_stay_at_an_address_with_their_number(items: Items) -> None:
    """What validates today's files is found at the same place when a format 2 comes."""
    for name in ("archive", "build", "blower"):
        plain = items[f"schemas/{name}.schema.json"].content
        assert items[f"schemas/1/{name}.schema.json"].content == plain
