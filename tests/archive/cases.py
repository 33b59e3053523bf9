"""The good and bad archives beside this file, each laid over the small archive in `base`."""

from __future__ import annotations

import shutil
from pathlib import Path

from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive
from specgen.findings import as_text

HERE = Path(__file__).parent
BASE = HERE / "base"
GOOD = sorted(path for path in (HERE / "good").iterdir() if path.is_dir())
BAD = sorted(path for path in (HERE / "bad").iterdir() if path.is_dir())
#: Names in a case's folder that are about the case, not part of its archive.
ABOUT = ("expected.txt", "remove.txt")


def lay_out(case: Path | None, folder: Path) -> Path:
    """Copy the base archive to a folder and lay a case's files over it."""
    root = folder / "archive"
    shutil.copytree(BASE, root)
    if case is not None:
        shutil.copytree(case, root, dirs_exist_ok=True, ignore=shutil.ignore_patterns(*ABOUT))
        if (case / "remove.txt").is_file():
            for name in (case / "remove.txt").read_text(encoding="utf-8").split():
                (root / name).unlink()
    return root


def read_case(case: Path | None, folder: Path) -> Archive:
    """Read a case as an archive of its own."""
    return read_archive(lay_out(case, folder))


def told(archive: Archive) -> str:
    """Give what a workshop would read of an archive's findings."""
    return as_text(archive.findings) + "\n"


def expected(case: Path) -> str:
    """Give what a case's findings were when somebody last read and accepted them."""
    return (case / "expected.txt").read_text(encoding="utf-8")
