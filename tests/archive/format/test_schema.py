"""The schemas: valid, closed, described, with examples that pass, and equal to the classes."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Iterator
from typing import Any

import jsonschema
import pytest

from specgen.archive.format.schema import (
    SCHEMA_NAMES,
    SHARED,
    Schema,
    SchemaName,
    branch,
    faults,
    schema,
    schema_text,
    step_into,
    validator,
)
from specgen.archive.model import build as model
from specgen.archive.model import map as model_map
from specgen.archive.model import outing as model_outing
from specgen.archive.model import record as model_record
from specgen.archive.model import session as model_session
from specgen.archive.model import standing as model_standing
from specgen.archive.model import units as model_units
from specgen.archive.reading.source import load
from specgen.findings import CODES
from specgen.vocabulary import QUANTITIES
from tests.archive.cases import HERE

#: Keywords of the standard that the schemas use, and the annotations of our own.
KEYWORDS = {
    "$schema", "$defs", "$ref", "title", "description", "examples", "type", "const", "enum", "if",
    "then", "else", "oneOf", "required", "properties", "unevaluatedProperties", "items", "minimum",
    "maximum", "minLength", "maxLength", "minItems", "maxItems", "minProperties", "pattern",
    "format",
    "quantity", "quantities", "at", "range", "bounds", "event", "expected",
}  # fmt: skip


KEYWORD = "unevaluatedProperties"


def nodes(node: object, path: str = "") -> Iterator[tuple[str, Schema]]:
    """Walk over every schema within a schema."""
    if not isinstance(node, dict):
        return
    yield path, node
    for key in ("properties", "$defs"):
        for name, below in node.get(key, {}).items():
            yield from nodes(below, f"{path}/{name}")
    for key in ("items", "then", "else", "if"):
        yield from nodes(node.get(key), f"{path}/{key}")


def described() -> list[Any]:
    """Give every key of every schema, with what describes it."""
    found = []
    for name in SCHEMA_NAMES:
        for path, node in nodes(schema(name)):
            if not path.endswith("/if"):
                for key, below in node.get("properties", {}).items():
                    found.append(pytest.param(below, id=f"{name}{path}/{key}"))
                if "items" in node:
                    found.append(pytest.param(node["items"], id=f"{name}{path}/items"))
    return found


@pytest.mark.parametrize("name", [*SCHEMA_NAMES, *SHARED])
def test_schema_is_valid(name: str) -> None:
    """The published text is JSON Schema 2020-12 and uses no keyword that nobody checks."""
    document = json.loads(schema_text(name))
    jsonschema.Draft202012Validator.check_schema(document)
    assert document["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    for path, node in nodes(document):
        assert set(node) <= KEYWORDS, path


@pytest.mark.parametrize("name", SCHEMA_NAMES)
def test_every_text_and_list_has_a_bound(name: SchemaName) -> None:
    """No text goes on for ever; figures and dates are bounded by how they are read."""
    read = {"quantity", "quantities", "format", "enum", "const"}
    for path, node in nodes(schema(name)):
        if not path.endswith("/if"):
            assert node.get("type") != "string" or read & set(node) or "maxLength" in node, path
            assert node.get("type") != "array" or "maxItems" in node, path


@pytest.mark.parametrize("name", SCHEMA_NAMES)
def test_every_mapping_is_closed(name: SchemaName) -> None:
    """Wherever keys are listed, others are refused."""
    for path, node in nodes(schema(name)):
        if "properties" in node and not path.endswith("/if"):
            assert node.get("unevaluatedProperties") is False, path


def test_closed_mappings_are_judged_as_the_standard_does() -> None:
    """Our quick check of closed mappings agrees with the general one on every file of the tests."""
    judged = 0
    for path in HERE.rglob("*.yaml"):
        name: SchemaName = "build" if path.name == "build.yaml" else "blower"
        name = "archive" if path.name == "archive.yaml" else name
        tree = load(path.read_bytes(), path.name).tree
        general = jsonschema.Draft202012Validator(schema(name)).iter_errors(tree)
        places = [
            [list(error.absolute_path) for error in errors if error.validator == KEYWORD]
            for errors in (general, faults(tree, name))
        ]
        assert places[0] == places[1], path
        judged += len(places[0])
    assert judged > 5


@pytest.mark.parametrize("node", described())
def test_every_key_is_described_by_an_example_that_passes(node: Schema) -> None:
    """A key has a description and examples, and its own schema accepts each of them."""
    if "if" not in node or "description" in node:
        assert node.get("description", "enum" in node or "type" in node)
    assert node["examples"]
    for example in node["examples"]:
        assert list(validator(node).iter_errors(example)) == []


@pytest.mark.parametrize("node", described())
def test_quantities_are_in_the_vocabulary(node: Schema) -> None:
    """A key's quantity, and what may stand behind its "at", are in the table."""
    if "quantity" in node:
        assert node["quantity"] in QUANTITIES
        assert node["type"] in ("string", "number")
        assert QUANTITIES[node["quantity"]].kind == "ratio" or node["type"] == "string"
    assert "at" not in node or node["at"] in QUANTITIES
    assert set(node.get("quantities", ())) <= set(QUANTITIES)


#: Which class a mapping becomes; fields that no key stands for; keys that no field keeps.
CLASSES: list[tuple[SchemaName, tuple[str | int, ...], type[Any], set[str], set[str]]] = [
    ("archive", (), model.Settings, set(), {"format"}),
    ("archive", ("units",), model.Units, {"value", "place"}, set()),
    ("archive", ("repeatability",), model.Repeatability, set(), set()),
    ("archive", ("licence",), model.Licence, set(), set()),
    ("archive", ("dynos", 0), model.Bench, set(), set()),
    ("archive", ("dynos", 0, "gain"), model_session.Gain, set(), set()),
    ("archive", ("dynos", 0, "logs"), model_session.Logs, set(), set()),
    ("archive", ("dynos", 0, "logs", "columns", 0), model_session.LogColumn, set(), set()),
    ("blower", (), model.Blower, {"id", "place", "map"}, {"format"}),
    ("blower", ("performance_air",), model_map.PerformanceAir, set(), set()),
    ("blower", ("design_point",), model.DesignPoint, set(), set()),
    ("blower", ("options", 0), model.Option, set(), set()),
    ("build", (), model.Build, {"id", "place"}, {"format"}),
    ("build", ("engine",), model.Engine, set(), set()),
    ("build", ("induction",), model.Induction, set(), set()),
    ("build", ("induction", "turbocharger"), model.Turbocharger, set(), set()),
    ("build", ("induction", "throttle"), model.Throttle, set(), set()),
    ("build", ("induction", "charge_cooler"), model.ChargeCooler, set(), set()),
    ("build", ("drive",), model.Drive, set(), set()),
    ("build", ("drive", "belt"), model.Belt, set(), set()),
    ("build", ("drive", "layout", 0), model.LayoutPulley, set(), set()),
    ("build", ("drive", "layout", 0, "travel_to"), model.Centre, set(), set()),
    ("build", ("fuel_system",), model.FuelSystem, set(), set()),
    ("build", ("fuel_system", "injectors"), model.Injectors, set(), set()),
    ("build", ("limits",), model.Limits, set(), set()),
    ("build", ("induction", "pipes", 0), model_record.Pipe, set(), set()),
    ("build", ("record",), model_record.Record, set(), set()),
    ("build", ("record", "blueprint"), model_record.Blueprint, set(), set()),
    ("build", ("record", "blueprint", "bore"), model_record.Dimension, set(), set()),
    ("build", ("record", "cam"), model_record.Cam, set(), set()),
    ("build", ("record", "cam", "intake"), model_record.Lobe, set(), set()),
    ("build", ("record", "clearances", 0), model_record.Clearance, {"place"}, set()),
    ("build", ("pictures", 0), model_record.Picture, set(), set()),
    ("build", ("parts", 0), model_record.Part, set(), set()),
    ("build", ("setups", 0), model.Setup, set(), set()),
    ("build", ("setups", 0, "fuel"), model.Fuel, {"name", "tested"}, set()),
    ("build", ("outings", 0), model_outing.Outing, set(), set()),
    ("build", ("outings", 0, "air"), model.Air, set(), set()),
    ("build", ("sessions", 0), model.Session, {"place"}, set()),
    ("build", ("sessions", 0, "dyno"), model.Dyno, {"named"}, set()),
    (
        "build",
        ("sessions", 0, "figures"),
        model.Figures,
        {"state", "place", "standard", "recorded"},
        {"corrected"},
    ),
    ("build", ("sessions", 0, "air"), model.Air, set(), set()),
    ("build", ("sessions", 0, "uncertainty"), model.Repeatability, set(), set()),
    (
        "build",
        ("sessions", 0, "pulls", 0),
        model.Pull,
        {"id", "place", "curve_file", "earlier", "written_id"},
        {"id"},
    ),
    ("build", ("sessions", 0, "pulls", 0, "calibration"), model_session.Calibrations, set(), set()),
    ("build", ("sessions", 0, "pulls", 0, "fuel_batch"), model_session.FuelBatch, set(), set()),
    ("build", ("sessions", 0, "pulls", 0, "peaks"), model.Peaks, set(), set()),
    ("build", ("withdrawn",), model_standing.Withdrawn, set(), set()),
    ("build", ("corrections", 0), model_standing.Correction, set(), set()),
    ("build", ("owner",), model_standing.Owner, set(), set()),
    ("build", ("accepted", 0), model_standing.Accepted, {"place"}, set()),
]  # fmt: skip


@pytest.mark.parametrize(("name", "path", "cls", "made", "dropped"), CLASSES)
def test_keys_equal_fields(
    name: SchemaName,
    path: tuple[str | int, ...],
    cls: type[Any],
    made: set[str],
    dropped: set[str],
) -> None:
    """A mapping's keys are its class's fields, and needed keys are fields without a default."""
    node = schema(name)
    for step in path:
        node = step_into(node, step, {})
    node = branch(node, {})
    fields = {item.name: item for item in dataclasses.fields(cls)}
    assert set(node["properties"]) - dropped == set(fields) - made
    needed = {
        key
        for key, item in fields.items()
        if item.default is dataclasses.MISSING and item.default_factory is dataclasses.MISSING
    }
    assert set(node.get("required", ())) - dropped == needed - made


def test_every_class_is_compared() -> None:
    """No class of the model that a file's mapping becomes is missing in the comparison."""
    made_by_reading = {
        "Given", "Range", "Curve", "Channel", "BlowerMap", "Change", "History", "Archive"
    }  # fmt: skip
    classes = {
        name
        for room in (
            model,
            model_map,
            model_outing,
            model_record,
            model_session,
            model_standing,
            model_units,
        )
        for name, item in vars(room).items()
        if isinstance(item, type)
        and dataclasses.is_dataclass(item)
        and item.__module__ == room.__name__
    }
    assert classes - made_by_reading == {row[2].__name__ for row in CLASSES}


def test_every_key_is_used_by_a_good_file() -> None:
    """The good archives use every key there is, so that no key is only a promise."""
    used: dict[SchemaName, set[str]] = {name: set() for name in SCHEMA_NAMES}
    for path in (HERE / "good").rglob("*.yaml"):
        name: SchemaName = "build" if path.name == "build.yaml" else "blower"
        if path.name == "archive.yaml":
            name = "archive"
        for spot in load(path.read_bytes(), path.name).spots:
            used[name].add("/".join(step for step in spot if isinstance(step, str)))
    for name in SCHEMA_NAMES:
        keys = set(_key_paths(schema(name), ""))
        assert keys - used[name] == set()


def _key_paths(node: Schema, path: str) -> Iterator[str]:
    for key, below in node.get("properties", {}).items():
        yield f"{path}/{key}".strip("/")
        yield from _key_paths(below, f"{path}/{key}".strip("/"))
    for part in ("items", "then", "else"):
        if isinstance(node.get(part), dict):
            yield from _key_paths(node[part], path)


def test_any_finding_can_be_named_as_accepted() -> None:
    """The codes that an entry of `accepted` may name are the codes there are, in their order."""
    entry = step_into(step_into(schema("build"), "accepted"), 0)
    assert entry["properties"]["finding"]["enum"] == list(CODES)
