"""The archive that uses every key, with an attack in every text that is free to say anything."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

from specgen.archive.format.schema import Schema, SchemaName, branch, schema, step_into
from specgen.archive.reading.source import TreePath, load
from tests.archive.cases import HERE, lay_out
from tests.publish.hostile import EVIL

#: Beside what breaks out of text: elements that run without a click, and links that run.
WORSE = (
    f'<img src=x onerror="window.hit=1"><svg onload="window.hit=1"></svg>{EVIL} '
    "[b](javascript:window.hit=1) http://127.0.0.1:9/x <style>*{display:none}</style> &#60;b&#62;"
)
#: A name that some systems can keep, and that an address has to quote.
CURVE = "pulls/it's 1&2;#50%25 {{x}} $a` é.csv"
#: Texts that other parts of an archive name, so that they cannot say anything.
_NAMES = {"setup", "blower", "curve", "file", "performance", "pulley", "id", "formerly", "url"}
_NAMES |= {"mark", "original", "column", "replaces", "finding", "dyno", "batch", "format"}


def written(folder: Path) -> Path:
    """Write the archive into a folder; give its root."""
    root = lay_out(HERE / "good" / "everything", folder)
    for path in sorted(root.rglob("*.yaml")):
        name: SchemaName = "build" if path.name == "build.yaml" else "blower"
        name = "archive" if path.name == "archive.yaml" else name
        tree: Any = load(path.read_bytes(), path.name).tree
        for at in list(_free(tree, schema(name), ())):
            _put(tree, at, _fitting(tree, at, schema(name)))
        path.write_text(yaml.safe_dump(tree, allow_unicode=True, sort_keys=False), "utf-8")
    _rename_a_curve(root)
    return root


def _free(tree: Any, node: Schema, path: TreePath) -> Iterator[TreePath]:
    """The paths of all texts that a schema leaves free."""
    node = branch(node, tree)
    if isinstance(tree, dict):
        for key, value in tree.items():
            yield from _free(value, step_into(node, key, tree), (*path, key))
    elif isinstance(tree, list):
        for at, value in enumerate(tree):
            yield from _free(value, step_into(node, at, tree), (*path, at))
    elif isinstance(tree, str) and path and _named(path) not in _NAMES:
        held = {"quantity", "quantities", "enum", "const", "pattern", "format"} & set(node)
        if node.get("type") == "string" and not held:
            yield path


def _named(path: TreePath) -> str:
    return next((step for step in reversed(path) if isinstance(step, str)), "")


def _fitting(tree: Any, path: TreePath, node: Schema) -> str:
    """As much of the attack as a text may have letters."""
    value = tree
    for step in path:
        node, value = step_into(node, step, value), value[step]
    return WORSE[: branch(node, value).get("maxLength", 120)]


def _put(tree: Any, path: TreePath, text: str) -> None:
    for step in path[:-1]:
        tree = tree[step]
    tree[path[-1]] = text


def _rename_a_curve(root: Path) -> None:
    file = root / "heron" / "build.yaml"
    tree = yaml.safe_load(file.read_text("utf-8"))
    pull = next(
        pull for session in tree["sessions"] for pull in session["pulls"] if "curve" in pull
    )
    shutil.copy(root / "heron" / pull["curve"], root / "heron" / CURVE)
    pull["curve"] = CURVE
    file.write_text(yaml.safe_dump(tree, allow_unicode=True, sort_keys=False), "utf-8")
