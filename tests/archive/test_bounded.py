"""However much stands in a file: about a hundred findings, in a second, and little memory."""

from __future__ import annotations

import tracemalloc
from pathlib import Path

import pytest

from specgen.archive.archive import read_archive
from specgen.archive.reading.source import load
from specgen.findings import as_annotations, as_json, as_text
from tests.archive.cases import lay_out
from tests.archive.stopwatch import within

BUILD, CURVE = "heron/build.yaml", "heron/pulls/2025-05-14-1.csv"
HEAD = "format: 1\ntitle: Heron\nengine: {cylinders: 6, bore: 84 mm, stroke: 90 mm}\n"
TORQUE = "engine speed [rpm],torque [N m]\n"

#: Each file's name with what stands in it.
LARGE: dict[str, tuple[str, str]] = {
    "spaces in a head": (CURVE, "engine speed [rpm]," + " " * 30_000 + "x\n2000,438\n"),
    "spaces in a short head": (CURVE, "engine speed [rpm]," + " " * 9_000 + "x\n2000,438\n"),
    "brackets in a head": (CURVE, "engine speed [rpm]," + "[" * 9_000 + "\n2000,438\n"),
    "commas in a head": (CURVE, "," * 500_000),
    "commas in a short head": (CURVE, "," * 9_000 + "\n1,2\n"),
    "rows that are none": (CURVE, TORQUE + "a,b,c\n" * 19_000),
    "cells that are no numbers": (CURVE, TORQUE + f"{'x' * 30},y\n" * 19_000),
    "rows that fall": (CURVE, TORQUE + "".join(f"{it ^ 1},400\n" for it in range(19_000, 0, -1))),
    "rows without end": (CURVE, TORQUE + "1000,400\n" * 100_000),
    "a cell without end": (CURVE, TORQUE + "1" * 1_000_000),
    "quotes in a head": (CURVE, '"' * 9_000 + "\n1,2\n"),
    "a title": (BUILD, HEAD.replace("Heron", "H" * 3_000)),
    "a title in one line": (BUILD, HEAD.replace("Heron", "H" * 1_000_000)),
    "unknown keys": (BUILD, HEAD + "".join(f"kee{it}: x\n" for it in range(5_000))),
    "unknown keys and nothing": (BUILD, "".join(f"titel{it}:\n" for it in range(15_000))),
    "control characters": (BUILD, HEAD + "\x07" * 400_000),
    "control characters in lines": (BUILD, HEAD + ("\x07" * 40 + "\n") * 10_000),
    "tabs": (BUILD, HEAD + "\t\n" * 19_000),
    "setups of one id": (BUILD, HEAD + "setups:\n" + "  - {id: a}\n" * 100_000),
    "setups of one id in one line": (BUILD, HEAD + "setups: [" + "{id: a}, " * 100_000 + "]\n"),
    "setups just below the bound": (BUILD, HEAD + "setups:\n" + "  - {id: a}\n" * 6_000),
    "faulty values": (BUILD, HEAD + "setups:\n" + "  - {id: a, fuel: x}\n" * 6_000),
    "faulty quantities": (BUILD, HEAD + "parts:\n" + "  - {item: a, at: 1 m}\n" * 6_000),
    "a quantity": (BUILD, HEAD.replace("84 mm", "84" + " " * 9_000 + "mm")),
    "a valve event": (BUILD, HEAD + "x: 12" + " " * 9_000 + "deg\n"),
    "keys twice": (BUILD, HEAD + "title: x\n" * 19_000),
    "anchors": (BUILD, HEAD + "summary: [" + "&a x, " * 1_600 + "]\n"),
    "tags": (BUILD, HEAD + "summary:\n" + "  - !!x y\n" * 19_000),
    "brackets": (BUILD, "[" * 9_000),
    "a key": (BUILD, HEAD + "k" * 9_000 + ": x\n"),
    "mappings as keys": (BUILD, HEAD + "? {a: b}\n: c\n" * 9_000),
    "a number": (BUILD, HEAD.replace("6", "6" * 9_000)),
}


@pytest.mark.parametrize("about", LARGE)
def test_much_is_told_in_little(about: str, tmp_path: Path) -> None:
    """A finding or some hundred, in a second of processor time, in every layout."""
    name, text = LARGE[about]
    root = lay_out(None, tmp_path)
    (root / name).write_text(text, encoding="utf-8")
    with within():
        archive = read_archive(root)
        texts = [layout(archive.findings) for layout in (as_text, as_json, as_annotations)]
    assert any(item.severity == "error" for item in archive.findings)
    assert len(archive.findings) <= 110
    assert max(map(len, texts)) < 100_000
    assert all(len(line) < 4_000 for line in texts[0].splitlines())


def test_little_memory_is_taken() -> None:
    """Half a million commas, or setups, take some tens of megabytes."""
    text = HEAD + "setups: [" + "{id: a}, " * 200_000 + "]\n"
    tracemalloc.start()
    document = load(text.replace(", ", ",\n ").encode(), "f.yaml")
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert not document.readable
    assert peak < 60_000_000
