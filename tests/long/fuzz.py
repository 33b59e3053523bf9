"""Mutated files through the readers: loader and schema, curves, maps, and the import of exports."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

from specgen.archive.format import wording
from specgen.archive.format.schema import SchemaName
from specgen.archive.importing.answers import Answers
from specgen.archive.importing.understanding import CannotImport, understood
from specgen.archive.reading.blower_maps import read_map
from specgen.archive.reading.pulls import read_curve
from specgen.archive.reading.source import load
from specgen.findings import Finding, as_annotations, as_json, as_text, limited
from tests.exports.compose import compose
from tests.long.measured import Measured
from tests.long.mutating import mutated

ROOT = Path(__file__).parents[2]
_TOLD = 2000


def prove(count: int, chance: random.Random, tell: Callable[[str], None]) -> list[str]:
    """Read mutated YAML files, curves and maps; there are findings and no traceback."""
    files = {path: path.read_bytes() for path in _files()}
    others = list(files.values())
    measured = Measured()
    for number in range(1, count + 1):
        path = chance.choice(list(files))
        data = mutated(files[path], others, chance)
        measured.attempt(f"{path.name}: {data[:4000]!r}", lambda: _read(path, data))  # noqa: B023
        if number % _TOLD == 0 or number == count:
            tell(measured.told())
    return measured.faults


def prove_imports(count: int, chance: random.Random, tell: Callable[[str], None]) -> list[str]:
    """Understand mutated exports; what cannot be understood says so."""
    exports = [compose(chance.randrange(10**9)) for _ in range(40)]
    others = [item.data for item in exports]
    measured = Measured()
    for number in range(1, count + 1):
        export = chance.choice(exports)
        data = mutated(export.data, others, chance)
        measured.attempt(f"{export.name}: {data[:4000]!r}", lambda: _import(data, export.name))  # noqa: B023
        if number % _TOLD == 0 or number == count:
            tell(measured.told())
    return measured.faults


def _files() -> list[Path]:
    """Every file of the demo and of the good and bad cases."""
    cases = ROOT / "tests" / "archive"
    folders = (ROOT / "builds", cases / "good", cases / "bad")
    return [
        path
        for folder in folders
        for path in sorted(folder.rglob("*"))
        if path.suffix in (".yaml", ".csv") and path.stat().st_size < 20_000
    ]


def _read(path: Path, data: bytes) -> None:
    findings: list[Finding] = []
    if path.suffix == ".csv":
        if "pulls" in path.parts:
            findings += read_curve(data, "1.csv")[2]
        else:
            findings += read_map(data, "map.csv", "lobe")[2]
    else:
        document = load(data, path.name)
        findings += document.findings
        if document.readable:
            findings += wording.check(document, _schema(path))
    told = limited(findings)
    for layout in (as_text, as_json, as_annotations):
        text = layout(told)
        assert all(letter.isprintable() or letter in "\n\u202f\u2009\xa0" for letter in text)


def _schema(path: Path) -> SchemaName:
    if path.name == "archive.yaml":
        return "archive"
    return "blower" if path.parent.name == "blowers" else "build"


def _import(data: bytes, name: str) -> None:
    said = "understood"
    try:
        understood(data, name, Answers())
    except CannotImport as problem:
        said = str(problem)
    assert said
