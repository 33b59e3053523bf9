"""Turning what a schema finds into findings: what stands there, what is due, what to write."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterator
from itertools import islice

from specgen.archive.format.examples import written
from specgen.archive.format.fault import Fault, short
from specgen.archive.format.schema import (
    FORMATS,
    Implausible,
    Schema,
    SchemaName,
    faults,
    homes,
    schema,
)
from specgen.archive.model.session import NOT_RECORDED
from specgen.archive.phrases.figures import article, plausible_words
from specgen.archive.phrases.suggestion import listed, nearest, plain_id
from specgen.archive.reading import syntax
from specgen.archive.reading.source import Document
from specgen.findings import MOST_TOLD, Finding, in_order
from specgen.units import UnitError
from specgen.vocabulary import Quantity, quantity


def check(document: Document, name: SchemaName) -> tuple[Finding, ...]:
    """Check a readable document against its schema; findings in order of place."""
    tree = document.tree
    if isinstance(tree, dict) and "format" in tree and tree["format"] not in FORMATS:
        # nobody knows what the other keys mean in a format of tomorrow
        return tuple(_format(document, tree["format"]))
    departures = [Fault(document, name, error, tuple(error.absolute_path))
                  for error in faults(tree, name)]  # fmt: skip
    found: list[Finding] = []
    for fault in sorted(departures, key=lambda it: it.place):
        if len(found) > _MOST_WORDED:  # the rest would only be counted, and guesses take their time
            found.append(syntax.too_many_faults(fault.place))
            break
        if not any(
            fault.path[:length] in document.refused for length in range(len(fault.path) + 1)
        ):
            found.extend(islice(_WORDINGS[str(fault.error.validator)](fault), _MOST_WORDED))
    return in_order(found)


#: Beyond so many findings of a file none is put in words any more.
_MOST_WORDED = 5 * MOST_TOLD


def _due(schema: Schema) -> str:
    """Name what is due."""
    if ("quantity" in schema or "quantities" in schema) and schema["type"] == "string":
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
    if "quantities" in schema:
        return "a limit" if schema.get("bounds") else "a figure"
    kind = quantity(schema["quantity"]).kind
    words = "a share in percent" if kind == "fraction" else article(kind)
    return words + (", or a range of it," if schema.get("range") else "")


def _type(fault: Fault) -> Iterator[Finding]:
    if fault.schema.get("format", "").startswith("date") and fault.instance is not None:
        yield from _date(fault)
        return
    due, found, hint = _due(fault.schema), fault.named, fault.example
    value, kind = fault.instance, fault.schema.get("type")
    text = fault.document.spot(fault.path).text
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    if value is None and fault.path:
        hint += "" if fault.is_required else ", or leave the line out"
    elif is_number and "quantity" in fault.schema and "event" not in fault.schema:
        hint = fault.line(_with_unit(float(value), text, quantity(fault.schema["quantity"])))
    elif isinstance(value, bool | int | float) and kind == "string" and not _is_figure(fault):
        hint = fault.line(f'"{text}"')
    elif isinstance(value, str) and kind in ("number", "integer"):
        number = re.match(r"\s*(\d+(?:\.\d+)?)", value)
        hint = fault.line(number.group(1)) if number else fault.example
    elif kind == "array" and not isinstance(value, dict):
        hint = fault.line(f"[{text}]")
    elif not fault.path:
        hint = "format: 1, and below it the other keys"
    yield fault.finding("wrong-type", found, due, hint)


def _is_figure(fault: Fault) -> bool:
    return "quantity" in fault.schema or "quantities" in fault.schema


def _with_unit(value: float, text: str, kind: Quantity) -> str:
    """Put the unit behind a bare number that makes it plausible."""
    if kind.kind == "fraction" and 0 < value < 1:
        return f"{100 * value:g} %, or {text} % if that was read"
    for unit in (kind.metric, kind.imperial):
        if kind.is_plausible(unit.to_si(value)):
            return f"{text} {unit.symbol}"
    return f"{text} {kind.metric.symbol}"


def _quantity(fault: Fault) -> Iterator[Finding]:
    cause = fault.error.cause
    if isinstance(cause, Implausible):
        yield _implausible(fault, cause)
    elif isinstance(cause, UnitError):
        code = "unknown-unit" if cause.unit_only else "not-a-quantity"
        hint = fault.line(cause.hint) if cause.meant else fault.example
        expected = f"{_due(fault.schema)}: {cause.expected}"
        yield fault.finding(code, _sentence(fault, cause), expected, hint)


def _sentence(fault: Fault, cause: UnitError) -> str:
    text, message = short(str(fault.instance)), str(cause)
    return message if f'"{text}"' in message else f'"{text}": {message}'


def _implausible(fault: Fault, cause: Implausible) -> Finding:
    kind, impossible = cause.kind, not cause.kind.is_possible(cause.value)
    text = fault.document.spot(fault.path).text
    verdict = "cannot be" if impossible else "hardly ever occurs"
    meant = _in_another_unit(text, kind)
    hint = f"{fault.line(meant)}, if that was meant" if meant else "the figure as it was read"
    if impossible and not meant:
        hint = f"{fault.example}, with the figure as it was read"
    return fault.finding(
        "implausible",
        f'"{text}" as {kind.title.lower()}, which {verdict}',
        plausible_words(kind, text),
        hint if impossible else f"{hint}; leave it if it is right",
        "error" if impossible else "warning",
    )


def _in_another_unit(text: str, kind: Quantity) -> str | None:
    """Find the unit in which a figure would be one of practice."""
    number = re.fullmatch(r"\s*([-+]?\d+(?:\.\d+)?)\s*([^\d\s].*)", text)
    if number is None or " at " in text or " to " in text:
        return None
    for unit in (kind.metric, kind.imperial):
        if kind.is_plausible(unit.to_si(float(number.group(1)))):
            return f"{number.group(1)} {unit.symbol}"
    return None


def _unknown_keys(fault: Fault) -> Iterator[Finding]:
    known = list(fault.schema.get("properties", {}))
    where = f'in "{fault.key}"' if fault.key else "at the top of the file"
    for key in fault.instance:
        if key in known:
            continue
        yield fault.finding(
            "unknown-key",
            f'the key "{short(key)}" {where}',
            f"one of the keys {listed(known)}",
            _meant_key(fault, key, known),
            place=fault.document.spot((*fault.path, key)).key,
        )


def _meant_key(fault: Fault, key: str, known: list[str]) -> str:
    """Guess what to write for an unknown key: its right name, or the mapping it belongs to."""
    value = fault.instance[key]
    if value is None and key.isdigit():
        return "a point where a comma stands inside a number"
    behind = " ..." if isinstance(value, dict | list) or value is None else f" {written(value)}"
    elsewhere = homes(fault.name)
    home = elsewhere.get(key, ())
    free = [it for it in known if it not in fault.instance]
    meant = None if len(home) == 1 else nearest(key, free)
    if meant:
        return f"{meant}:{behind}"
    word = key if home else nearest(key, elsewhere)
    home = elsewhere.get(word or "", ())
    if word and len(home) <= 4:
        nearest_first = sorted(home, key=lambda path: path.count("."))[:2]
        where = listed(
            f'under "{path}"' if path else "at the top of the file" for path in nearest_first
        )
        return f"{word}:{behind} {where}"
    return "nothing here; a remark goes into a summary or note"


def _missing_keys(fault: Fault) -> Iterator[Finding]:
    where = f'in "{fault.key}"' if fault.key else "at the top of the file"
    place = fault.document.spot(fault.path).key
    # a "then" that only requires a key leaves its description to the mapping itself
    known = fault.schema.get("properties") or schema(fault.name)["properties"]
    if fault.path and isinstance(fault.path[-1], int):
        where = f'in an item of "{fault.key}"'
    for key in fault.limit:
        if key in fault.instance:
            continue
        below = known[key]
        example = written(below["examples"][0])
        expected = below["description"][0].lower() + below["description"][1:].rstrip(".")
        yield fault.finding(
            "missing-key", f'no "{key}" {where}', expected, f"{key}: {example}", place=place
        )


def _exactly_one(fault: Fault) -> Iterator[Finding]:
    if not isinstance(fault.instance, dict):
        return  # the type is at fault, and says so
    keys = [part["required"][0] for part in fault.limit]
    present = [key for key in keys if key in fault.instance]
    place = fault.document.spot((*fault.path, present[-1]) if present else fault.path).key
    code = "contradiction" if present else "missing-key"
    found = f"{' and '.join(present)} together" if present else f"none of {listed(keys)}"
    examples = fault.schema.get("examples", [])
    hint = f"only {' or only '.join(present)}"
    if not present:
        hint = " or ".join(fault.line(written(item)) for item in examples)
    yield fault.finding(code, found, f"exactly one of {listed(keys)}", hint, place=place)


def _enum(fault: Fault) -> Iterator[Finding]:
    words = [str(word) for word in fault.limit]
    value = fault.instance
    # nobody slips into saying that something was not recorded
    sayings = [word for word in words if word != NOT_RECORDED]
    meant = nearest(value, sayings) if isinstance(value, str) else None
    code = "wrong-value" if isinstance(value, str) else "wrong-type"
    mappings = [item for item in fault.schema.get("examples", []) if isinstance(item, dict)]
    also = f", or {written(mappings[0])}" if mappings else ""
    hint = fault.line(meant) if meant else fault.example
    if not meant and not mappings:
        hint = fault.line(listed(words)) + (", whichever it is" if len(words) > 1 else "")
    yield fault.finding(code, fault.named, f"{listed(words)}{also}", hint)


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


def _const(fault: Fault) -> Iterator[Finding]:
    due = written(fault.limit)
    hint = f"{fault.line(due)}, or leave the line out"
    if isinstance(fault.instance, type(fault.limit)):
        yield fault.finding("wrong-value", fault.named, due, hint)


def _bound(fault: Fault) -> Iterator[Finding]:
    low, high = fault.schema.get("minimum"), fault.schema.get("maximum")
    yield fault.finding("wrong-value", fault.named, f"{low} to {high}", fault.example)


def _pattern(fault: Fault) -> Iterator[Finding]:
    if expected := fault.schema.get("expected"):
        yield fault.finding("wrong-value", fault.named, str(expected), fault.example)
        return
    plain = plain_id(fault.instance)
    hint = fault.line(plain) if plain else fault.example
    expected = "an id of small letters, digits and hyphens"
    yield fault.finding("reserved-id", fault.named, expected, hint)


def _too_little(fault: Fault) -> Iterator[Finding]:
    if isinstance(fault.instance, str):
        found, due = "an empty text", "a text with something in it"
    elif isinstance(fault.instance, list):
        found, due = f"a list of {len(fault.instance)}", f"at least {fault.limit} in the list"
    else:
        found, due = "an empty mapping", "at least one key"
    may_go = not (fault.path and fault.is_required)
    hint = fault.example + (", or leave it out" if may_go else "")
    yield fault.finding("wrong-value", found, due, hint)


def _too_much(fault: Fault) -> Iterator[Finding]:
    if isinstance(fault.instance, str):
        found, due = f"a text of {len(fault.instance)} letters", f"at most {fault.limit} letters"
        hint = f"{fault.line('...')}, in fewer words; a note may be longer"
    else:
        found, due = f"a list of {len(fault.instance)}", f"at most {fault.limit} in the list"
        hint = "what belongs to this engine; other engines into folders of their own"
    yield fault.finding("too-many", found, due, hint)


def _date(fault: Fault) -> Iterator[Finding]:
    text = str(fault.instance)
    parts = re.fullmatch(r"(\d{4})\D(\d{1,2})\D(\d{1,2})\D?|(\d{4})(\d\d)(\d\d)", text)
    turned = re.fullmatch(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})", text)
    year_first = turned.groups()[::-1] if turned else None
    if parts:
        year_first = tuple(part for part in parts.groups() if part)
    hint = fault.example
    expected = "a day written year-month-day"
    if year_first:
        year, month, number = (int(part) for part in year_first)
        expected, hint = _calendar(year, month, number, expected, fault)
    yield fault.finding("not-a-date", f'"{short(text)}", which is no date', expected, hint)


def _calendar(year: int, month: int, number: int, expected: str, fault: Fault) -> tuple[str, str]:
    """Write the date the right way round, or say how long the month is."""
    try:
        return expected, fault.line(datetime.date(year, month, number).isoformat())
    except ValueError:
        pass
    if 1 <= number <= 12 < month <= 31 and year:
        return expected, fault.line(f"{year:04d}-{number:02d}-{month:02d}")
    if not 1 <= month <= 12 or not 1 <= year <= 9998:
        return "a month from 01 to 12", fault.example
    following = datetime.date(year + month // 12, month % 12 + 1, 1)
    last = following - datetime.timedelta(days=1)
    return f"a day from 01 to {last.day} in {year:04d}-{month:02d}", fault.line(last.isoformat())


_WORDINGS: dict[str, Callable[[Fault], Iterator[Finding]]] = {
    "type": _type,
    "quantity": _quantity,
    "quantities": _quantity,
    "unevaluatedProperties": _unknown_keys,
    "required": _missing_keys,
    "oneOf": _exactly_one,
    "enum": _enum,
    "const": _const,
    "minimum": _bound,
    "maximum": _bound,
    "pattern": _pattern,
    "format": _date,
    "maxItems": _too_much,
    "maxLength": _too_much,
    "minItems": _too_little,
    "minLength": _too_little,
    "minProperties": _too_little,
}
