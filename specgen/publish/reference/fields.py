"""Every key of the files a workshop writes, made from the very schemas that check them.

A mapping is a section with its keys; a list is told by what each of its items holds. Mappings
beside one another that have the same keys, as the blueprint's dimensions do, are told once.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from markupsafe import Markup

from specgen.archive.format.examples import example_line, written
from specgen.archive.format.schema import SchemaName, schema
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.typesetting.figures import words_in_both
from specgen.publish.typesetting.markup import safe
from specgen.publish.typesetting.page import Part, fixed_page
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.units import units_of
from specgen.vocabulary import Quantity, System, quantity

Node = Mapping[str, Any]

#: The files by their schema, with what a writer knows each as.
_FILES: dict[SchemaName, str] = {
    "build": "build.yaml",
    "blower": "blowers/<id>.yaml",
    "archive": "archive.yaml",
}
#: So many mappings of the same keys are told once.
_ALIKE = 3
#: The keys of a text that may be kept private; it is told as the text that it mostly is.
_PRIVATE = {"text", "publish"}
#: So many units of a kind are named; the table of units has them all.
_UNITS = 4


@dataclass(frozen=True, slots=True)
class Key:
    """One key: what it means, how it is written, an example; `into` is its own section's path."""

    name: str
    description: str
    written: Markup
    required: bool
    example: str
    expected: Markup
    into: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """One mapping of a file; `path` is empty for the file itself."""

    file: SchemaName
    path: str
    description: str
    keys: tuple[Key, ...]

    @property
    def anchor(self) -> str:
        """The section's address on the page."""
        return _anchor(self.file, self.path)


def _anchor(file: str, path: str) -> str:
    return f"{file}-{path}".replace(".", "-").strip("-")


@dataclass(frozen=True, slots=True)
class FieldsLead(Context):
    """What opens the reference of keys.

    `units`: the link to the table of units; `findings`: that to the list of findings.
    """

    template: ClassVar[str] = "reference/fields_lead.jinja"
    units: str
    findings: str


@dataclass(frozen=True, slots=True)
class FieldsSection(Context):
    """One mapping of a file.

    `section`: the mapping with its keys; `anchor`: gives a mapping's address from its file and
    path.
    """

    template: ClassVar[str] = "reference/fields_section.jinja"
    section: Section
    anchor: Callable[[str, str], str]


def fields_page(units: System, folders: bool) -> str:
    """Print the reference of all keys."""
    links = Links(addresses.FIELDS, folders)
    parts = [
        Part(
            "",
            rendered(
                FieldsLead(units=links.to(addresses.UNITS), findings=links.to(addresses.FINDINGS))
            ),
        )
    ]
    for file, name in _FILES.items():
        for section in sections(file, links):
            block = rendered(FieldsSection(section=section, anchor=_anchor))
            parts.append(Part(section.path or name, block, level=3 if section.path else 2))
    description = "Every key of a build, a blower and an archive: meaning, unit, example."
    return fixed_page(links, description, parts, units)


def sections(file: SchemaName, links: Links) -> Iterator[Section]:
    """Every mapping of a file with its keys, from the file itself inwards."""
    yield from _sections(file, "", schema(file), links)


def _sections(file: SchemaName, path: str, node: Node, links: Links) -> Iterator[Section]:
    inner = {
        name: mapping
        for name, below in node["properties"].items()
        if (mapping := _mapping(below)) is not None
    }
    alike = _alike(inner)
    paths = {name: f"{path}.{alike[0] if name in alike else name}".strip(".") for name in inner}
    keys = tuple(
        _key(name, below, name in node.get("required", ()), paths.get(name, ""), links)
        for name, below in node["properties"].items()
    )
    yield Section(file, path, str(node.get("description", "")), keys)
    for name, below in inner.items():
        if name in alike[1:]:
            continue
        deeper = _sections(file, paths[name], below, links)
        if name in alike:
            yield _told_once(alike, next(deeper))
        else:
            yield from deeper


def _mapping(node: Node) -> Node | None:
    """Find the mapping that a key leads to, itself or in the items of its list."""
    for part in (node, node.get("items"), node.get("then")):
        if isinstance(part, Mapping) and part.get("properties", {}).keys() == _PRIVATE:
            return None
        if isinstance(part, Mapping) and "properties" in part:
            return {"description": node.get("description", ""), **part}
    return None


def _alike(inner: Mapping[str, Node]) -> tuple[str, ...]:
    """Names of mappings that have the same keys with the same meanings, if they are many."""
    groups: dict[str, list[str]] = {}
    for name, below in inner.items():
        told = {key: part.get("description") for key, part in below["properties"].items()}
        groups.setdefault(json.dumps(told, sort_keys=True), []).append(name)
    largest = max(groups.values(), key=len, default=[])
    return tuple(largest) if len(largest) >= _ALIKE else ()


def _told_once(names: tuple[str, ...], first: Section) -> Section:
    """The section that stands for several mappings of the same keys."""
    listed = f"{', '.join(names[:-1])} and {names[-1]}"
    words = f"These keys belong to each of {listed}; they are shown for {names[0]}."
    return replace(first, description=words)


def _key(name: str, node: Node, required: bool, into: str, links: Links) -> Key:
    return Key(
        name,
        str(node.get("description", "")),
        _written(node, links),
        required,
        example_line(name, node),
        _expected(node),
        into,
    )


# ---------------------------------------------------------------- how a value is written


def _written(node: Node, links: Links) -> Markup:
    """Say how a value is written: text, number, one of a list, a quantity with its units."""
    if node.get("then", {}).get("properties", {}).keys() == _PRIVATE:
        return safe("text, or {text: ..., publish: no} for one that stays private")
    if "if" in node:
        first = {"array": "list", "object": "mapping"}[node["if"]["type"]]
        rest = {key: part for key, part in node.items() if key not in ("if", "then", "else")}
        return Markup("{}, or a {}").format(_written({**rest, **node["else"]}, links), first)
    if "enum" in node:
        options = Markup(", ").join(
            Markup("<code>{}</code>").format(safe(it)) for it in node["enum"]
        )
        return Markup("one of {}").format(options)
    if "const" in node:
        return Markup("always <code>{}</code>").format(safe(written(node["const"])))
    if "quantity" in node or "quantities" in node:
        return _quantity_words(node, links)
    return _plain_words(node, links)


def _quantity_words(node: Node, links: Links) -> Markup:
    if node.get("type") == "number":
        return safe("number")
    if "event" in node:
        return safe(f"crank angle before or after {node['event'].split()[-1]}")
    shown = [quantity(key) for key in node.get("quantities") or [node["quantity"]]]
    kinds = {item.kind: _kind_words(item, links) for item in shown}
    words = Markup(" or ").join(kinds.values())
    if node.get("range"):
        words += ", or a range from one to another"
    if node.get("bounds"):
        words += ": both ends, at least, or at most"
    if "at" in node:
        at = _kind_words(quantity(node["at"]), links)
        words += Markup(", may be followed by “at” and {}").format(at)
    return words


def _kind_words(shown: Quantity, links: Links) -> Markup:
    """A kind of quantity with some of its units, linked to the table of them all."""
    first = [shown.metric.symbol, shown.imperial.symbol]
    symbols = dict.fromkeys([*first, *(unit.symbol for unit in units_of(shown.kind))])
    named = [symbol for symbol in symbols if symbol][:_UNITS]
    link = Markup('<a href="{}">{}</a>').format(
        links.to(addresses.UNITS, shown.kind.replace(" ", "-")), safe(shown.kind)
    )
    return Markup("{} in {}").format(link, safe(", ".join(named))) if named else link


def _plain_words(node: Node, links: Links) -> Markup:
    kind = node.get("type")
    if kind == "integer":
        low, high = node.get("minimum"), node.get("maximum")
        bounds = f", {low} to {high}" if low is not None and high is not None else ""
        return safe(f"whole number{bounds}")
    if kind == "array":
        if _mapping(node) is not None:
            return safe("list of mappings")
        return Markup("list, each {}").format(_written(node["items"], links))
    if node.get("format", "").startswith("date"):
        told = node["format"] == "date-if-recorded"
        return safe("date, year-month-day" + (", or not recorded" if told else ""))
    words = {"string": "text", "boolean": "true or false", "object": "mapping", "number": "number"}
    return safe(words.get(str(kind), str(kind)))


def _expected(node: Node) -> Markup:
    """The range in which such a figure lies in practice; outside it is a finding."""
    leaf = node.get("else", node) if "if" in node else node
    if "quantity" not in leaf or leaf.get("type") != "string":
        return Markup("")
    kind = quantity(leaf["quantity"])
    return words_in_both(lambda system: _range_words(kind, system))


def _range_words(kind: Quantity, system: System) -> str:
    low, high = kind.plausible
    return f"{kind.number(low, system)} to {kind.text(high, system)}"
