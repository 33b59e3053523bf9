"""Turning what a schema finds into findings: what stands there, what is due, what to write."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterator
from typing import Any

from jsonschema import ValidationError

from specgen.archive.schema import FORMATS, Implausible, Schema, SchemaName, faults, homes, schema
from specgen.archive.source import Document, TreePath, scalar
from specgen.archive.suggestion import listed, nearest
from specgen.findings import Finding, Place, Severity, in_order
from specgen.units import UnitError
from specgen.vocabulary import Quantity, quantity


def check(document: Document, name: SchemaName) -> tuple[Finding, ...]:
    """Check a readable document against its schema; findings in order of place."""
    tree = document.tree
    if isinstance(tree, dict) and "format" in tree and tree["format"] not in FORMATS:
        # nobody knows what the other keys mean in a format of tomorrow
        return tuple(_format(document, tree["format"]))
    found: list[Finding] = []
    for error in faults(tree, name):
        path: TreePath = tuple(error.absolute_path)
        if not any(path[:length] in document.refused for length in range(len(path) + 1)):
            found.extend(_WORDINGS[str(error.validator)](_Fault(document, name, error, path)))
    return in_order(found)


class _Fault:
    """One departure from the schema with all that its wording needs."""

    def __init__(
        self, document: Document, name: SchemaName, error: ValidationError, path: TreePath
    ) -> None:
        self.document = document
        self.name = name
        self.error = error
        self.path = path
        self.instance: Any = error.instance
        self.schema: Schema = error.schema if isinstance(error.schema, dict) else {}
        self.limit: Any = error.validator_value

    @property
    def place(self) -> Place:
        """Where the value stands."""
        return self.document.spot(self.path).place

    @property
    def key(self) -> str:
        """The key the value stands behind, "" for the root; items of a list have their list's."""
        keys = [step for step in self.path if isinstance(step, str)]
        return keys[-1] if keys else ""

    @property
    def example(self) -> str:
        """What could be written here, with its key."""
        examples = self.schema.get("examples") or [None]
        return " or ".join(self.line(written(example)) for example in examples)

    def line(self, value: str) -> str:
        """Put the key before a value, or the dash of a list item."""
        if self.path and isinstance(self.path[-1], int):
            return f"- {value}"
        return f"{self.key}: {value}" if self.key else value

    def finding(
        self,
        code: str,
        found: str,
        expected: str,
        hint: str,
        severity: Severity = "error",
        place: Place | None = None,
    ) -> Finding:
        """Make a finding at the value's place or another one."""
        return Finding(code, severity, place or self.place, found, expected, hint)


def written(value: object) -> str:
    """Write a value the way one types it in a file, on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {written(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(written(item) for item in value) + "]"
    if isinstance(value, bool):
        return "true" if value else "false"
    text = str(value)
    plain = isinstance(value, int | float) or (isinstance(scalar(text), str) and _is_plain(text))
    return text if plain else '"' + text.replace('"', "'") + '"'


def _is_plain(text: str) -> bool:
    return not re.search(r"[:#\[\]{},&*!|>'\"%@`]\s|^[-?&*!|>'\"%@`\[\]{}#,]|[\[\]{},]| #|:$", text)


def _named(fault: _Fault) -> str:
    """Name what stands there."""
    value = fault.instance
    text = fault.document.spot(fault.path).text
    if value is None:
        return "nothing" if text == "" else f'"{text}", which means nothing'
    if isinstance(value, bool):
        return f"the word {text}"
    if isinstance(value, int | float):
        return f"the bare number {text}"
    if isinstance(value, str):
        return f'the text "{_short(value)}"'
    return "a list" if isinstance(value, list) else "a mapping"


def _short(text: str) -> str:
    return text if len(text) <= 60 else text[:57] + "..."


def _article(words: str) -> str:
    return ("an " if words[0] in "aeiou" else "a ") + words


def _due(schema: Schema) -> str:
    """Name what is due."""
    if "quantity" in schema and schema["type"] == "string":
        return f"{_quantity_words(schema)} with its unit"
    kind = schema.get("type")
    keys = list(schema.get("properties", {}))
    return {
        "string": "a text",
        "integer": "a whole number",
        "number": "a bare number",
        "boolean": "true",
        "array": "a list",
        "object": f"a mapping with keys such as {listed(keys[:4])}",
    }.get(str(kind), "another value")


def _quantity_words(schema: Schema) -> str:
    kind = quantity(schema["quantity"]).kind
    words = "a share in percent" if kind == "fraction" else _article(kind)
    return words + (", or a range of it," if schema.get("range") else "")


def _type(fault: _Fault) -> Iterator[Finding]:
    due, found = _due(fault.schema), _named(fault)
    hint = fault.example
    value, kind = fault.instance, fault.schema.get("type")
    text = fault.document.spot(fault.path).text
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    if value is None and fault.path:
        hint += ", or leave the line out"
    elif is_number and "quantity" in fault.schema:
        hint = fault.line(_with_unit(float(value), text, quantity(fault.schema["quantity"])))
    elif isinstance(value, bool | int | float) and kind == "string":
        hint = fault.line(f'"{text}"')
    elif isinstance(value, str) and kind in ("number", "integer"):
        number = re.match(r"\s*(\d+(?:\.\d+)?)", value)
        hint = fault.line(number.group(1)) if number else fault.example
    elif kind == "array" and not isinstance(value, dict):
        hint = fault.line(f"[{text}]")
    elif not fault.path:
        hint = "format: 1, and below it the other keys"
    yield fault.finding("wrong-type", found, due, hint)


def _with_unit(value: float, text: str, kind: Quantity) -> str:
    """Put the unit behind a bare number that makes it plausible."""
    for unit in (kind.metric, kind.imperial):
        if kind.is_plausible(unit.to_si(value)):
            return f"{text} {unit.symbol}"
    return f"{text} {kind.metric.symbol}"


def _quantity(fault: _Fault) -> Iterator[Finding]:
    cause = fault.error.cause
    if isinstance(cause, Implausible):
        yield _implausible(fault, cause)
    elif isinstance(cause, UnitError):
        code = "unknown-unit" if cause.unit_only else "not-a-quantity"
        hint = fault.line(cause.hint) if cause.meant else fault.example
        expected = f"{_due(fault.schema)}: {cause.expected}"
        yield fault.finding(code, _sentence(fault, cause), expected, hint)


def _sentence(fault: _Fault, cause: UnitError) -> str:
    text, message = _short(str(fault.instance)), str(cause)
    return message if f'"{text}"' in message else f'"{text}": {message}'


def _implausible(fault: _Fault, cause: Implausible) -> Finding:
    kind, impossible = cause.kind, not cause.kind.is_possible(cause.value)
    low, high = (kind.text(end, "metric") for end in kind.plausible)
    text = fault.document.spot(fault.path).text
    words = f"{kind.title.lower()} of {text}" if kind.kind != "ratio" else f"{kind.title} {text}"
    verdict = "cannot be" if impossible else "hardly ever occurs"
    return fault.finding(
        "implausible",
        f"a {words}, which {verdict}" if kind.kind != "ratio" else f"{words}, which {verdict}",
        f"{low} to {high}",
        f"{fault.example}, in the unit it was read in"
        if impossible
        else "the figure again as it was read; leave it if it is right",
        "error" if impossible else "warning",
    )


def _unknown_keys(fault: _Fault) -> Iterator[Finding]:
    known = list(fault.schema.get("properties", {}))
    where = f'in "{fault.key}"' if fault.key else "at the top of the file"
    for key in fault.instance:
        if key in known:
            continue
        free = [item for item in known if item not in fault.instance] or known
        meant = nearest(key, free)
        home = homes(fault.name).get(key, ())
        if not meant and home:
            hint = listed(f'{key} under "{path}"' if path else f"{key} at the top" for path in home)
        else:
            hint = f"{meant}:" if meant else "nothing, or the figure in a note"
        yield fault.finding(
            "unknown-key",
            f'the key "{_short(key)}" {where}',
            f"one of the keys {listed(known)}",
            hint,
            place=fault.document.spot((*fault.path, key)).key,
        )


def _missing_keys(fault: _Fault) -> Iterator[Finding]:
    where = f'in "{fault.key}"' if fault.key else "at the top of the file"
    place = fault.document.spot(fault.path).key
    # a "then" that only requires a key leaves its description to the mapping itself
    known = fault.schema.get("properties") or schema(fault.name)["properties"]
    for key in fault.limit:
        if key in fault.instance:
            continue
        below = known[key]
        example = written(below["examples"][0])
        expected = below["description"].rstrip(".")
        yield fault.finding(
            "missing-key", f'no "{key}" {where}', expected, f"{key}: {example}", place=place
        )


def _exactly_one(fault: _Fault) -> Iterator[Finding]:
    if not isinstance(fault.instance, dict):
        return  # the type is at fault, and says so
    keys = [part["required"][0] for part in fault.limit]
    present = [key for key in keys if key in fault.instance]
    place = fault.document.spot((*fault.path, present[-1]) if present else fault.path).key
    code = "contradiction" if present else "missing-key"
    found = f"{' and '.join(present)} together" if present else f"none of {listed(keys)}"
    examples = fault.schema.get("examples", [])
    hint = f"only {listed(present)}" if present else " or ".join(written(item) for item in examples)
    yield fault.finding(code, found, f"exactly one of {listed(keys)}", hint, place=place)


def _enum(fault: _Fault) -> Iterator[Finding]:
    words = [str(word) for word in fault.limit]
    value = fault.instance
    meant = nearest(value, words) if isinstance(value, str) else None
    hint = fault.line(meant) if meant else fault.example
    code = "wrong-value" if isinstance(value, str) else "wrong-type"
    also = (
        ", or a mapping"
        if any(isinstance(e, dict) for e in fault.schema.get("examples", []))
        else ""
    )
    yield fault.finding(code, _named(fault), f"{listed(words)}{also}", hint)


def _format(document: Document, value: object) -> Iterator[Finding]:
    known = listed(str(number) for number in FORMATS)
    text = document.spot(("format",)).text or "nothing"
    newer = isinstance(value, int) and not isinstance(value, bool) and value > max(FORMATS)
    hint = f"format: {FORMATS[-1]}" + (
        "; or read the archive with a newer specgen" if newer else ""
    )
    place = document.spot(("format",)).place
    expected = f"format {known}, which is what this specgen reads"
    yield Finding("wrong-value", "error", place, f"format {text}", expected, hint)


def _const(fault: _Fault) -> Iterator[Finding]:
    due = written(fault.limit)
    hint = f"{fault.line(due)}, or leave the line out"
    if isinstance(fault.instance, type(fault.limit)):
        yield fault.finding("wrong-value", _named(fault), due, hint)


def _bound(fault: _Fault) -> Iterator[Finding]:
    low, high = fault.schema.get("minimum"), fault.schema.get("maximum")
    yield fault.finding("wrong-value", _named(fault), f"{low} to {high}", fault.example)


def _pattern(fault: _Fault) -> Iterator[Finding]:
    plain = plain_id(fault.instance)
    hint = fault.line(plain) if plain else fault.example
    expected = "an id of small letters, digits and hyphens"
    yield fault.finding("reserved-id", _named(fault), expected, hint)


def plain_id(text: str) -> str:
    """Make a plain id of a text; "" where nothing is left."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")


def _too_little(fault: _Fault) -> Iterator[Finding]:
    if isinstance(fault.instance, str):
        found, due = "an empty text", "a text with something in it"
    elif isinstance(fault.instance, list):
        found, due = f"a list of {len(fault.instance)}", f"at least {fault.limit} in the list"
    else:
        found, due = "an empty mapping", "at least one key"
    yield fault.finding("wrong-value", found, due, f"{fault.example}, or leave it out")


def _date(fault: _Fault) -> Iterator[Finding]:
    text = str(fault.instance)
    parts = re.fullmatch(r"(\d{4})\D(\d{1,2})\D(\d{1,2})\D?", text)
    turned = re.fullmatch(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})", text)
    year_first = parts.groups() if parts else turned.groups()[::-1] if turned else None
    hint = fault.example
    expected = "a day written year-month-day"
    if year_first:
        year, month, number = (int(part) for part in year_first)
        expected, hint = _calendar(year, month, number, expected, fault)
    yield fault.finding("not-a-date", f'"{_short(text)}", which is no date', expected, hint)


def _calendar(year: int, month: int, number: int, expected: str, fault: _Fault) -> tuple[str, str]:
    """Write the date the right way round, or say how long the month is."""
    try:
        return expected, fault.line(datetime.date(year, month, number).isoformat())
    except ValueError:
        pass
    if not 1 <= month <= 12 or not 1 <= year <= 9998:
        return "a month from 01 to 12", fault.example
    following = datetime.date(year + month // 12, month % 12 + 1, 1)
    last = following - datetime.timedelta(days=1)
    return f"a day from 01 to {last.day} in {year:04d}-{month:02d}", fault.line(last.isoformat())


_WORDINGS: dict[str, Callable[[_Fault], Iterator[Finding]]] = {
    "type": _type,
    "quantity": _quantity,
    "unevaluatedProperties": _unknown_keys,
    "required": _missing_keys,
    "oneOf": _exactly_one,
    "enum": _enum,
    "const": _const,
    "minimum": _bound,
    "maximum": _bound,
    "pattern": _pattern,
    "format": _date,
    "minItems": _too_little,
    "minLength": _too_little,
    "minProperties": _too_little,
}
