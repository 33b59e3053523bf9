"""The reference of fields: every key of every schema once, with an example that reads back."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
import yaml

from specgen.archive.format.examples import written
from specgen.archive.format.schema import SCHEMA_NAMES, SchemaName, faults, homes, schema
from specgen.publish.addresses import FIELDS, Links
from specgen.publish.reference.fields import Key, Section, fields_page, sections
from tests.publish.pages import text_of

LINKS = Links(FIELDS)
PAGE = fields_page("metric", folders=True)


def keys(file: SchemaName) -> Iterator[tuple[Section, Key]]:
    """Every key with the section it stands in."""
    return ((section, key) for section in sections(file, LINKS) for key in section.keys)


def examples(node: dict[str, Any]) -> Iterator[Any]:
    """Every example anywhere in a schema."""
    yield from node.get("examples", [])
    for below in node.get("properties", {}).values():
        yield from examples(below)
    for part in ("items", "then", "else"):
        if isinstance(node.get(part), dict):
            yield from examples(node[part])


@pytest.mark.parametrize("file", SCHEMA_NAMES)
def test_every_key_of_the_schema_is_there(file: SchemaName) -> None:
    """No key that a writer may use is missing, and none is made up."""
    told = {key.name for _, key in keys(file)}
    if any("{text: ..., publish: no}" in text_of(key.written) for _, key in keys(file)):
        told.add("text")
    assert told == set(homes(file))


@pytest.mark.parametrize("file", SCHEMA_NAMES)
def test_no_mapping_is_told_twice(file: SchemaName) -> None:
    """Each section has a path of its own; every key that leads inwards leads to one."""
    paths = [section.path for section in sections(file, LINKS)]
    assert len(paths) == len(set(paths))
    assert {key.into for _, key in keys(file) if key.into} == set(paths) - {""}


def test_dimensions_of_the_blueprint_are_told_once() -> None:
    """Ten mappings of the same two keys make one section, and all lead to it."""
    named = [item for item in sections("build", LINKS) if item.path.startswith("record.blueprint")]
    assert [item.path for item in named] == ["record.blueprint", "record.blueprint.bore"]
    assert {key.into for key in named[0].keys} == {"record.blueprint.bore"}
    assert "stroke" in named[1].description
    assert "dish_volume" in named[1].description


@pytest.mark.parametrize("file", SCHEMA_NAMES)
def test_each_key_has_meaning_way_of_writing_and_example(file: SchemaName) -> None:
    """Nobody is left to guess."""
    for section, key in keys(file):
        where = f"{section.path}.{key.name}"
        assert len(key.description) > 3, where
        assert key.written, where
        assert key.example.startswith(f"{key.name}: "), where


@pytest.mark.parametrize("file", SCHEMA_NAMES)
def test_examples_read_back_as_they_are_meant(file: SchemaName) -> None:
    """Typed into a file as shown, an example is the value of the schema: YAML reads nothing else.

    Dates are text in an archive, so they are read without YAML's own meaning of them; the key "on"
    is one of the format, which an older YAML takes for a word of truth.
    """
    found = list(examples(schema(file)))
    assert len(found) > 10
    for example in found:
        assert yaml.load(written(example), yaml.BaseLoader) == as_text(example)
        resolved = yaml.safe_load(written(example))
        if not isinstance(example, str) or not re.fullmatch(r"\d{4}-\d\d-\d\d", example):
            assert without_dates(resolved) == without_dates(example)


def as_text(value: object) -> object:
    """A value as a loader gives it that knows nothing but text."""
    if isinstance(value, dict):
        return {key: as_text(item) for key, item in value.items()}
    if isinstance(value, list):
        return [as_text(item) for item in value]
    return str(value).lower() if isinstance(value, bool) else str(value)


def without_dates(value: object) -> object:
    """A value with every date as text."""
    if isinstance(value, dict):
        return {"on" if key is True else key: without_dates(it) for key, it in value.items()}
    if isinstance(value, list):
        return [without_dates(item) for item in value]
    return value.isoformat() if hasattr(value, "isoformat") else value


@pytest.mark.parametrize(
    "text", ["0388", "1.5", "true", "no", "null", "a: b", "a, b", "[x]", "#", "", " x", "x ", "- x",
             "7e3", "0x1f", "~", "it's", 'say "x"', "2025-05-14"]
)  # fmt: skip
def test_texts_that_look_like_something_else_are_quoted(text: str) -> None:
    """A number that is a text stays one, alone, in a list and in a mapping."""
    for value in (text, [text, text], {"key": text}):
        assert without_dates(yaml.safe_load(written(value))) == value


def test_required_keys_are_those_the_check_asks_for() -> None:
    """A build without what is marked as required has faults; with it and no more it has none."""
    marked = {key.name for section, key in keys("build") if not section.path and key.required}
    assert marked == {"format", "title", "engine"}
    inner = {key.name for sec, key in keys("build") if sec.path == "engine" and key.required}
    least = {"format": 1, "title": "x", "engine": {"cylinders": 4, "bore": "82 mm",
                                                   "stroke": "85 mm"}}  # fmt: skip
    assert inner == set(least["engine"])  # type: ignore[call-overload]
    assert faults(least, "build") == []
    for name in marked:
        assert faults({key: value for key, value in least.items() if key != name}, "build")


@pytest.mark.parametrize(
    ("path", "name", "words"),
    [
        ("engine", "bore", "length in mm, in, cm, m; in practice 40.0 to 200.0 mm"),
        ("induction", "inlet_pressure_drop", "may be followed by “at” and rotational speed"),
        ("record.cam.intake", "opens", "crank angle before or after TDC"),
        ("record.clearances", "specified", "both ends, at least, or at most"),
        ("record.blueprint.bore", "measured", "length in mm, in, cm, m, or a list"),
        ("sessions", "date", "date, year-month-day"),
        ("setups", "fuel", "or a mapping"),
        ("engine", "cylinders", "whole number, 1 to 24"),
        ("parts", "quantity", "whole number, 1 to 10000"),
        ("induction", "natural", "always true"),
    ],
)
def test_way_of_writing_is_in_words(path: str, name: str, words: str) -> None:
    """Units, ranges, lists and closed words are told as a person would tell them."""
    (key,) = (key for section, key in keys("build") if (section.path, key.name) == (path, name))
    expected = re.sub(r'<span class="sg-i">.*?</span>', "", str(key.expected))
    told = text_of(f"{key.written}; in practice {expected}")
    assert words in told


def test_page_prints_every_key_with_an_anchor_for_each_mapping() -> None:
    """The page has all three files, and each link inwards finds its mapping."""
    for heading in ("## build.yaml", "## blowers/&lt;id&gt;.yaml", "## archive.yaml"):
        assert heading.replace("&lt;", "&#60;").replace("&gt;", "&#62;") in PAGE
    links = set(re.findall(r'href="#([^"]+)"', PAGE))
    assert len(links) > 20
    assert links <= set(re.findall(r'id="([^"]+)"', PAGE))
    count = sum(1 for file in SCHEMA_NAMES for _ in keys(file))
    assert PAGE.count("<dt>") == count
