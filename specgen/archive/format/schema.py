"""Checking a document against its JSON Schema, and reading the quantities the schema names.

The schemas are JSON Schema 2020-12 with annotations of our own on a text: `quantity` is the
vocabulary's key, or `quantities` several of which the unit picks one; `at` is the quantity that
may stand behind " at ", `range` allows " to ", `bounds` asks for a limit and `event` for a crank
angle from a dead centre. The validator knows them, so one pass finds everything; `wording` turns
it into findings.
"""

from __future__ import annotations

import datetime
import functools
import json
import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib import resources
from itertools import islice
from typing import Any, Literal, NamedTuple, TypeAlias

from jsonschema import Draft202012Validator, ValidationError
from jsonschema.protocols import Validator
from jsonschema.validators import extend

from specgen.archive.model.build import Range
from specgen.archive.model.session import NOT_RECORDED
from specgen.archive.reading.notation import chosen, read_bounds, read_event, refuse_other_limits
from specgen.units import UnitError, parse, parse_at, parse_range
from specgen.vocabulary import Quantity, quantity

Schema: TypeAlias = dict[str, Any]
SchemaName = Literal["archive", "blower", "build"]
SCHEMA_NAMES: tuple[SchemaName, ...] = ("archive", "blower", "build")

#: Files that the others refer to; nobody writes a file by them alone.
SHARED = ("record",)

#: The file formats this specgen reads.
FORMATS = (1,)


#: No figure with its unit, its range and what stands behind " at " is longer.
LONGEST_QUANTITY = 100


class Implausible(Exception):  # noqa: N818 - it is no failure of the program
    """Travels in a validation error: a value that hardly or never occurs."""

    def __init__(self, value: float, kind: Quantity) -> None:
        super().__init__(value, kind)
        self.value = value
        self.kind = kind


@dataclass(frozen=True, slots=True)
class Reading:
    """A quantity as read: its key, SI value or range, and what stood behind " at "."""

    quantity: str
    value: float | Range
    at: float | None = None


class Asked(NamedTuple):
    """What a schema asks of a text that is a quantity; see the head of this module."""

    quantity: str = ""
    quantities: tuple[str, ...] = ()
    at: str = ""
    event: str = ""
    range: bool = False
    bounds: bool = False


def read_quantity(text: str, leaf: Mapping[str, Any]) -> Reading:
    """Read a text as the quantity its schema names; UnitError says what is wrong with it.

    What was read is remembered, so that a value is read once, for its check and for its object.
    """
    if len(text) > LONGEST_QUANTITY:
        most = f"no more than {LONGEST_QUANTITY} letters"
        raise UnitError(f"a text of {len(text)} letters", most, "")
    asked = {name: leaf[name] for name in Asked._fields if name in leaf}
    if "quantities" in asked:
        asked["quantities"] = tuple(asked["quantities"])
    return _read(text, Asked(**asked))


@functools.lru_cache(maxsize=8192)
def _read(text: str, asked: Asked) -> Reading:
    """Read a text; what is wrong with it is told anew each time."""
    if asked.bounds:
        refuse_other_limits(text)
    key = chosen(text, asked.quantities) if asked.quantities else asked.quantity
    kind = quantity(key).kind
    if asked.range or asked.bounds:
        read = read_bounds if asked.bounds else parse_range
        return Reading(key, Range(*read(text, kind)))
    if asked.event:
        return Reading(key, read_event(text, asked.event))
    return _read_value(text, key, asked.at)


def _read_value(text: str, key: str, at: str) -> Reading:
    """Read one value, with what may stand behind " at "."""
    kind = quantity(key).kind
    head, found, _ = text.partition(" at ")
    if found and not at:
        parse(head, kind)
        raise UnitError(
            f'"{text}" has an " at " that is not asked for here', "one value", head, meant=True
        )
    if found:
        return Reading(key, *parse_at(text, kind, quantity(at).kind))
    head, found, _ = text.partition(" to ")
    if found:
        parse_range(text, kind)
        raise UnitError(f'"{text}" is a range', "one value", head, meant=False)
    return Reading(key, parse(text, kind))


def _values(reading: Reading, leaf: Mapping[str, Any]) -> Iterator[tuple[float, Quantity]]:
    kind = quantity(reading.quantity)
    if isinstance(reading.value, Range):
        ends = (reading.value.low, reading.value.high)
        yield from ((end, kind) for end in ends if math.isfinite(end))
    else:
        yield reading.value, kind
    if reading.at is not None:
        yield reading.at, quantity(leaf["at"])


def _check_quantity(
    _validator: Validator, _keyword: str, instance: object, leaf: Schema
) -> Iterator[ValidationError]:
    """Validate `quantity` and `quantities`: the text reads as one, and is plausible."""
    if isinstance(instance, str):
        try:
            reading = read_quantity(instance, leaf)
        except UnitError as error:
            yield ValidationError(str(error), cause=error)
            return
    elif isinstance(instance, int | float) and leaf["type"] == "number":
        reading = Reading(leaf["quantity"], float(instance))
    else:
        return
    for value, kind in _values(reading, leaf):
        if not kind.is_plausible(value):
            yield ValidationError(kind.title, cause=Implausible(value, kind))


def _check_format(
    _validator: Validator, name: str, instance: object, _leaf: Schema
) -> Iterator[ValidationError]:
    """Validate `format`: date, or date-if-recorded, which may also say that it was not."""
    told = name == "date-if-recorded" and instance == NOT_RECORDED
    if name.startswith("date") and isinstance(instance, str) and not told and day(instance) is None:
        yield ValidationError("not a date")


def _check_closed(
    _validator: Validator, closed: object, instance: object, node: Schema
) -> Iterator[ValidationError]:
    """Validate `unevaluatedProperties: false` where all keys stand in the same mapping.

    So they do in our schemas, which a test holds; the general way takes half of the time.
    """
    if closed is False and isinstance(instance, dict):
        extra = instance.keys() - node["properties"].keys()
        if extra:
            yield ValidationError(f"unknown keys {sorted(extra)}")


def day(text: str) -> datetime.date | None:
    """Read a date written year-month-day, or None."""
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        return None
    try:
        return datetime.date.fromisoformat(text)
    except ValueError:
        return None


_extend: Any = extend  # the stubs leave it untyped
_Validator: Any = _extend(
    Draft202012Validator,
    {
        "quantity": _check_quantity,
        "quantities": _check_quantity,
        "format": _check_format,
        "unevaluatedProperties": _check_closed,
    },
)


def schema_text(name: str) -> str:
    """Give a schema, or a file that schemas share, as it is published."""
    folder = resources.files("specgen.archive") / "schemas"
    return (folder / f"{name}.schema.json").read_text(encoding="utf-8")


@functools.cache
def _documents() -> dict[str, Schema]:
    names = (*SCHEMA_NAMES, *SHARED)
    return {f"{name}.schema.json": json.loads(schema_text(name)) for name in names}


@functools.cache
def schema(name: SchemaName) -> Schema:
    """Give a schema with what it refers to put in place, so that one can walk along it."""
    file = f"{name}.schema.json"
    document = {key: part for key, part in _documents()[file].items() if key != "$defs"}
    inlined = _inlined(document, file)
    assert isinstance(inlined, dict)
    return inlined


def _inlined(node: object, file: str) -> object:
    """Replace each $ref by what it points to; keys beside the $ref win."""
    if isinstance(node, list):
        return [_inlined(item, file) for item in node]
    if not isinstance(node, dict):
        return node
    out = {key: _inlined(item, file) for key, item in node.items() if key != "$ref"}
    if "$ref" in node:
        target_file, _, pointer = node["$ref"].partition("#/")
        target: Any = _documents()[target_file or file]
        for step in pointer.split("/"):
            target = target[step]
        referred = _inlined(target, target_file or file)
        assert isinstance(referred, dict)
        return referred | out
    return out


def validator(node: Schema) -> Any:
    """Give a validator for a schema or a part of one, which also reads quantities and dates."""
    return _Validator(node)


@functools.cache
def _validator(name: SchemaName) -> Any:
    return validator(schema(name))


#: Nobody reads so many, and a list of a hundred thousand entries would take its time.
_MOST_FAULTS = 1_000


def faults(tree: object, name: SchemaName) -> list[ValidationError]:
    """Give in what a tree departs from its schema; of a hopeless one the first thousand."""
    return list(islice(_validator(name).iter_errors(tree), _MOST_FAULTS))


def step_into(node: Schema, step: str | int, value: object = None) -> Schema:
    """Give the schema of a key or item below a node; {} where the schema has none.

    `value` is what stands at the node itself; it decides between `then` and `else`.
    """
    chosen = branch(node, value)
    if isinstance(step, int):
        items: Schema = chosen.get("items", {})
        return items
    below: Schema = chosen.get("properties", {}).get(step, {})
    return below


def branch(node: Schema, value: object) -> Schema:
    """Give the half of an if, then, else that speaks about a value of this type."""
    wanted = node.get("if", {}).get("type")
    if wanted is None:
        return node
    is_wanted = isinstance(value, {"object": dict, "array": list}[wanted])
    half: Schema = node["then"] if is_wanted else node["else"]
    return half


@functools.cache
def homes(name: SchemaName) -> dict[str, tuple[str, ...]]:
    """Give for each key the mappings that have it, as dotted paths; the root is ""."""
    found: dict[str, list[str]] = {}
    _collect(schema(name), "", found)
    return {key: tuple(dict.fromkeys(paths)) for key, paths in found.items()}


def _collect(node: Schema, path: str, found: dict[str, list[str]]) -> None:
    for key, below in node.get("properties", {}).items():
        found.setdefault(key, []).append(path)
        _collect(below, f"{path}.{key}" if path else key, found)
    for part in ("items", "then", "else"):
        if isinstance(node.get(part), dict):
            _collect(node[part], path, found)
