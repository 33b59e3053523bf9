"""Archives of every format that was ever released are read, and built, for good.

A folder beside this file holds one of each, which nobody changes any more: `SEALED` is the hash of
its files. A format that is not released yet may still change; then its seal is made anew.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from specgen.analysis.sheet import analyse
from specgen.archive.archive import read_archive
from specgen.findings import as_text, standing
from specgen.publish.site import Site
from tests.archive.cases import HERE

FORMATS = HERE / "formats"
#: The hash of each format's files, names and bytes.
SEALED = {"1": "6d5024b2f9e02f92c732b9fedcc1ad16d984bb6bd5c931ad899eb1da6142b477"}
BUILDS = {"gull", "heron", "ibis", "measured-map", "peaks-on-paper", "plover", "tern-launch",
          "withdrawn"}  # fmt: skip


def seal(folder: Path) -> str:
    """Hash every file of a folder with its name."""
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            digest.update(path.relative_to(folder).as_posix().encode() + b"\0")
            digest.update(path.read_bytes().replace(b"\r\n", b"\n") + b"\0")
    return digest.hexdigest()


@pytest.mark.parametrize("number", SEALED)
def test_nobody_changed_an_old_archive(number: str) -> None:
    """The bytes are those that were released."""
    assert seal(FORMATS / number) == SEALED[number]


def test_every_format_has_its_archive() -> None:
    """One folder for each, and a seal on it."""
    assert {path.name for path in FORMATS.iterdir()} == set(SEALED)


@pytest.mark.slow
def test_format_1_keeps_building() -> None:
    """Silent, every build there, and every page of it made."""
    archive = read_archive(FORMATS / "1")
    assert standing(archive.findings) == (), as_text(archive.findings)
    assert set(archive.builds) == BUILDS
    site = Site(archive)
    made = {item.address for item in site.items() if item.content}
    assert {f"builds/{name}/index.md" for name in BUILDS} <= made
    assert site.faults() == ()


@pytest.mark.parametrize(
    ("build", "key", "due"),
    [("measured-map", "observed_torque", 488.0), ("heron", "boost", 71e3)],
)
def test_format_1_says_what_it_said(build: str, key: str, due: float) -> None:
    """What was measured is what stands in the files: 488 N m of a curve, 71 kPa of a peak."""
    best = analyse(read_archive(FORMATS / "1"))[build].best
    assert best is not None
    assert best.rows[key].scalar == pytest.approx(due, rel=1e-9)
