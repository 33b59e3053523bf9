"""Reading and checking an archive, against a bare parse of the same YAML texts."""

from __future__ import annotations

from pathlib import Path

import yaml

from specgen.archive.archive import read_archive
from specgen.archive.reading.source import PARSER
from tests.bench.timing import best_of


def measure(root: Path, repeat: int) -> dict[str, float]:
    """Time per file [ms], how many files, and how often a bare parse fits into the reading."""
    texts = [path.read_text("utf-8") for path in sorted(root.rglob("*.yaml"))]

    def bare_parse() -> None:
        for text in texts:
            yaml.load(text, Loader=PARSER)

    files = len(read_archive(root).sources)
    parsing, taken = best_of(bare_parse, repeat), best_of(lambda: read_archive(root), repeat)
    return {
        "files": files,
        "milliseconds": round(1e3 * taken, 1),
        "milliseconds_per_file": round(1e3 * taken / files, 2),
        "bare_parses": round(taken / parsing, 1),
    }
