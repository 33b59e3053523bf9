"""One departure from a schema, with what it takes to put it in words."""

from __future__ import annotations

from typing import Any

from jsonschema import ValidationError

from specgen.archive.format.examples import written
from specgen.archive.format.schema import Schema, SchemaName, branch, schema, step_into
from specgen.archive.reading.source import Document, TreePath
from specgen.findings import Finding, Place, Severity


class Fault:
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

    @property
    def named(self) -> str:
        """What stands there, in words."""
        value = self.instance
        text = self.document.spot(self.path).text
        if value is None:
            is_item = bool(self.path) and isinstance(self.path[-1], int)
            where = " in an item of the list" if is_item else f' behind "{self.key}:"'
            return f"nothing{where}" if text == "" else f'"{text}", which means nothing'
        if isinstance(value, bool):
            return f"the word {text}"
        if isinstance(value, int | float):
            return f"the bare number {text}"
        if isinstance(value, str):
            return f'the text "{short(value)}"'
        return "a list" if isinstance(value, list) else "a mapping"

    @property
    def is_required(self) -> bool:
        """Whether the mapping above needs the key the value stands behind."""
        node: Schema = schema(self.name)
        value: Any = self.document.tree
        for step in self.path[:-1]:
            node, value = step_into(node, step, value), value[step]
        return self.path[-1] in branch(node, value).get("required", ())

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


def short(text: str) -> str:
    """Cut a text that would drown its message."""
    return text if len(text) <= 60 else text[:57] + "..."
