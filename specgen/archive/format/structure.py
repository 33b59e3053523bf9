"""Turning a checked tree into the model's frozen objects, by the classes' own type hints.

Only for trees without errors: what the schema promises is not checked again. A field is filled
from the key of the same name; the few places where file and class differ in shape are listed
in `_SHAPES`.
"""

from __future__ import annotations

import dataclasses
import functools
import types
import typing
from collections.abc import Callable, Iterator
from typing import Any, TypeVar, get_args, get_origin

from specgen.archive.format.schema import (
    Schema,
    SchemaName,
    branch,
    day,
    read_quantity,
    schema,
    step_into,
)
from specgen.archive.model import build as model
from specgen.archive.model.build import Given, Range
from specgen.archive.model.session import NOT_RECORDED, UNDATED, Bench
from specgen.archive.reading.source import Document, TreePath
from specgen.findings import Place

T = TypeVar("T")


def structured(cls: type[T], document: Document, name: SchemaName, **also: object) -> T:
    """Make an object of a class from a whole document; `also` gives fields no key stands for."""
    assert isinstance(document.tree, dict)
    return _object(_Spot(document, (), document.tree, schema(name)), cls, also)


class _Spot:
    """A value in its document with the schema that speaks about it."""

    __slots__ = ("document", "node", "path", "value")

    def __init__(self, document: Document, path: TreePath, value: Any, node: Schema) -> None:
        self.document = document
        self.path = path
        self.value = value
        self.node = branch(node, value)

    def below(self, step: str | int) -> _Spot:
        """Go to a key or an item."""
        node = step_into(self.node, step)
        return _Spot(self.document, (*self.path, step), self.value[step], node)

    def items(self) -> Iterator[_Spot]:
        """Go through a list."""
        return (self.below(index) for index in range(len(self.value)))

    @property
    def place(self) -> Place:
        """Where the value stands."""
        return self.document.spots[self.path].place


@functools.cache
def _fields(cls: type[Any]) -> tuple[tuple[str, Any], ...]:
    """Give the fields of a class with their types, without "or None"."""
    hints = typing.get_type_hints(cls)
    return tuple((item.name, _bare(hints[item.name])) for item in dataclasses.fields(cls))


def _bare(hint: Any) -> Any:
    if get_origin(hint) in (typing.Union, types.UnionType):
        (only,) = [part for part in get_args(hint) if part is not type(None)]
        return only
    return hint


def _object(spot: _Spot, cls: type[T], also: dict[str, object] | None = None) -> T:
    """Make an object of a class from a mapping."""
    values = dict(also or {})
    for name, hint in _fields(typing.cast(typing.Hashable, cls)):
        if name == "place" and name not in values:
            values[name] = spot.place
        elif name in spot.value and name not in values:
            values[name] = _value(spot.below(name), hint)
    return cls(**values)


def _value(spot: _Spot, hint: Any) -> Any:
    """Make what a field's type asks for."""
    if hint in _SHAPES:
        return _SHAPES[hint](spot)
    origin = get_origin(hint)
    if origin is tuple:
        item = get_args(hint)[0]
        if not isinstance(spot.value, list):  # one value where a list of them may stand
            return (_value(spot, item),)
        return tuple(_value(part, item) for part in spot.items())
    if origin is Given:
        return given(spot)
    if origin is not None:  # the mapping of what a blower fits
        return _fits(spot)
    return _object(spot, hint)


def given(spot: _Spot) -> Given[Any]:
    """Make a value that remembers how and where it was written."""
    node, value = spot.node, spot.value
    if isinstance(value, dict):  # a text with a word on whether it is published
        return dataclasses.replace(given(spot.below("text")), private=True)
    text = spot.document.spots[spot.path].text
    if "quantity" not in node and "quantities" not in node:
        if node.get("format", "").startswith("date"):
            return Given(day(value) or UNDATED, text, spot.place)
        return Given(int(value) if node.get("type") == "integer" else value, text, spot.place)
    if not isinstance(value, str):
        return Given(float(value), text, spot.place, node["quantity"])
    reading = read_quantity(value, node)
    at = None
    if reading.at is not None:
        behind = text.partition(" at ")[2]
        at = Given(reading.at, behind, spot.place, node["at"])
    return Given(reading.value, text, spot.place, reading.quantity, at)


def _fits(spot: _Spot) -> dict[str, Given[Range] | tuple[Given[str | int], ...]]:
    """Make a range of each quantity, and a tuple of each list or single word."""
    fits: dict[str, Given[Range] | tuple[Given[str | int], ...]] = {}
    for key in spot.value:
        part = spot.below(key)
        if "quantity" in part.node:
            fits[key] = given(part)
        elif isinstance(part.value, list):
            fits[key] = tuple(given(item) for item in part.items())
        else:
            fits[key] = (given(part),)
    return fits


def _fuel(spot: _Spot) -> model.Fuel:
    """A fuel is a name of the list, or a blend."""
    if isinstance(spot.value, str):
        return model.Fuel(name=given(spot))
    return _object(spot, model.Fuel)


def _figures(spot: _Spot) -> model.Figures:
    """Figures are a word, or a mapping with the standard they were corrected to."""
    if isinstance(spot.value, str):
        state = "unknown" if spot.value == NOT_RECORDED else spot.value
        told = spot.value != NOT_RECORDED
        return model.Figures(typing.cast(Any, state), spot.place, recorded=told)
    standard = given(spot.below("corrected"))
    factor = given(spot.below("factor")) if "factor" in spot.value else None
    return model.Figures("corrected", spot.place, standard, factor)


def _units(spot: _Spot) -> model.Units:
    """Units are a word, or a mapping of those that were chosen."""
    if isinstance(spot.value, str):
        return model.Units(typing.cast(Any, spot.value), spot.place)
    return _object(spot, model.Units, {"value": "own"})


def _dyno(spot: _Spot) -> model.Dyno:
    """A dyno is described where it stands, or named; what the name means is put in place later."""
    if isinstance(spot.value, str):
        named = given(spot)
        nothing = Given(NOT_RECORDED, "", spot.place)
        return model.Dyno(nothing, nothing, named=Bench(named, nothing, nothing))
    return _object(spot, model.Dyno, {"named": None})


def _pull(spot: _Spot) -> model.Pull:
    """A pull names its curve's file; the curve itself is read later, and an id made for all."""
    file = given(spot.below("curve")) if "curve" in spot.value else None
    own = given(spot.below("id")) if "id" in spot.value else None
    also: dict[str, object] = {
        "id": "",
        "earlier": (),
        "written_id": own,
        "curve": None,
        "curve_file": file,
    }
    return _object(spot, model.Pull, also)


_SHAPES: dict[Any, Callable[[_Spot], Any]] = {
    model.Fuel: _fuel,
    model.Figures: _figures,
    model.Dyno: _dyno,
    model.Pull: _pull,
    model.Units: _units,
}
