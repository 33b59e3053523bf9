"""Templates and what they are given: each by a frozen dataclass that fits it to the name."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from dataclasses import fields, is_dataclass
from functools import cache
from pathlib import Path
from typing import Any, cast, get_args, get_type_hints

import pytest
from jinja2 import meta, nodes

from specgen import publish
from specgen.publish.typesetting.rendering import Context, environment, field_names

ROOM = Path(publish.__path__[0])


def contexts() -> list[type[Context]]:
    """Every context of every room, where it is defined."""
    found = []
    for it in pkgutil.walk_packages(publish.__path__, f"{publish.__name__}."):
        room = importlib.import_module(it.name)
        found += [
            member
            for member in vars(room).values()
            if inspect.isclass(member)
            and issubclass(member, Context)
            and member is not Context
            and member.__module__ == room.__name__
        ]
    return found


CONTEXTS = contexts()
#: Lines made for one template alone, so that the template reads each of their fields.
DESCRIBED = {
    "BlowerLine",
    "BuildLine",
    "ByCylinder",
    "CalledLine",
    "CauseLine",
    "HeadlineCell",
    "LadderLine",
    "LimitLine",
    "MisfitLine",
    "MissLine",
    "Offered",
    "ReadingLine",
    "RepeatLine",
    "SessionLine",
    "ResultCard",
    "Shown",
    "StateLine",
    "SumLine",
    "Thing",
    "UnknownLine",
    "UseLine",
}


@cache
def parsed(template: str) -> nodes.Template:
    """A template's syntax."""
    return environment().parse((ROOM / template).read_text("utf-8"))


def asked(template: str) -> set[str]:
    """Names that a template, and what it includes, asks for and does not set itself."""
    tree = parsed(template)
    own = {name.name for name in tree.find_all(nodes.Name) if name.ctx == "store"}
    names = meta.find_undeclared_variables(tree)
    for included in meta.find_referenced_templates(tree):
        names |= asked(str(included)) - own
    return names


@pytest.mark.parametrize("context", CONTEXTS, ids=lambda it: it.__name__)
def test_a_context_is_what_its_template_asks_for(context: type[Context]) -> None:
    """Every name that the template uses is a field, and every field is used."""
    assert set(field_names(context)) == asked(context.template)


@pytest.mark.parametrize("context", CONTEXTS, ids=lambda it: it.__name__)
def test_a_context_is_frozen_and_tells_its_fields(context: type[Context]) -> None:
    """Nobody changes what a template was given, and each field is described, none is a guess."""
    assert cast(Any, context).__dataclass_params__.frozen
    told = " ".join((inspect.getdoc(context) or "").split())
    assert [name for name in field_names(context) if f"`{name}`: " not in told] == []
    assert [item.name for item in fields(cast(Any, context)) if item.type == "Any"] == []


def attributes(template: str) -> set[str]:
    """Attributes that a template, and what it includes, reads of anything."""
    tree = parsed(template)
    read = {it.attr for it in tree.find_all(nodes.Getattr)}
    return read.union(*(attributes(str(it)) for it in meta.find_referenced_templates(tree)))


def parts_of(hint: Any) -> list[Any]:
    """A type and every type that it is made of."""
    return [hint, *(part for inner in get_args(hint) for part in parts_of(inner))]


def lines_of(holder: type[Any]) -> list[type[Any]]:
    """The dataclasses of a holder's own module that its fields carry, and what those carry."""
    found: list[type[Any]] = []
    for hint in get_type_hints(holder).values():
        for it in parts_of(hint):
            if inspect.isclass(it) and is_dataclass(it) and it.__module__ == holder.__module__:
                found += [it, *lines_of(it)]
    return list(dict.fromkeys(found))


LINES = [(context, line) for context in CONTEXTS for line in lines_of(context)]


@pytest.mark.parametrize(("context", "line"), LINES, ids=lambda it: it.__name__)
def test_each_field_of_a_line_is_read_by_the_template(
    context: type[Context], line: type[Any]
) -> None:
    """What a context carries line by line is no more than its template prints."""
    read = attributes(context.template)
    public = {item.name for item in fields(line)} | {
        name for name, it in vars(line).items() if isinstance(it, property)
    }
    assert public & read
    if line.__name__ in DESCRIBED:
        assert {item.name for item in fields(line)} <= read
        told = " ".join((inspect.getdoc(line) or "").split())
        described = r"`{}`(, `\w+`)*: "  # fields of one kind may share their words
        names = [item.name for item in fields(line)]
        assert [it for it in names if not re.search(described.format(it), told)] == []


@pytest.mark.parametrize("context", CONTEXTS, ids=lambda it: it.__name__)
def test_a_context_carries_nothing_of_any_type(context: type[Context]) -> None:
    """No field, and no field of a line, is an object or a mapping to objects."""
    hints = [*get_type_hints(context).items()]
    hints += [it for line in lines_of(context) for it in get_type_hints(line).items()]
    assert [name for name, hint in hints if object in parts_of(hint)] == []


def test_the_lines_are_found() -> None:
    """The reader of types above finds every line that is told to be described."""
    assert {line.__name__ for _, line in LINES} >= DESCRIBED


def test_each_template_has_one_context() -> None:
    """No template without its dataclass but those that others include, and none with two."""
    templates = {path.relative_to(ROOM).as_posix() for path in ROOM.rglob("*.jinja")}
    included = {
        str(name) for it in templates for name in meta.find_referenced_templates(parsed(it))
    }
    named = [context.template for context in CONTEXTS]
    assert len(named) == len(set(named))
    assert templates - included <= set(named) <= templates


def test_a_name_too_many_is_seen() -> None:
    """The reader above knows a loop's own name from one that a context must give."""
    tree = environment().parse("{% for it in lines %}{{ it }} {{ other }}{% endfor %}")
    assert meta.find_undeclared_variables(tree) == {"lines", "other"}
