"""The one writer of YAML examples: as a person would type a value, on one line.

What a finding tells to write, what the reference of fields shows, and what a new file begins with
all come from the examples that the schemas give.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

#: Texts that YAML reads as text without quotes, inside brackets too.
_PLAIN = re.compile(r"(?!-(?: |$))[A-Za-z0-9.+-][\w .+%/()-]*(?<! )")
#: Texts that look like something else: numbers, truth values, nothing.
_NOT_TEXT = re.compile(r"[-+]?[\d._]+(e[-+]?\d+)?|0x[\da-f]+|true|false|yes|no|on|off|null|~", re.I)


def written(value: object) -> str:
    """Write a value of numbers, texts, truth values, lists and mappings of these."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {written(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(written(item) for item in value) + "]"
    if isinstance(value, str):
        plain = _PLAIN.fullmatch(value) and not _NOT_TEXT.fullmatch(value)
        return value if plain else json.dumps(value, ensure_ascii=False)
    return json.dumps(value)


def example_line(key: str, node: Mapping[str, Any]) -> str:
    """Write a key with the first example that its schema gives; "" where it gives none."""
    examples = node.get("examples", [])
    return f"{key}: {written(examples[0])}" if examples else ""
