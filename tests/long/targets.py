"""Wrong folders to publish in: nothing is deleted."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

from specgen.publish.delivery.manifest import files_in
from tests.long.workshop import started, workshop

#: What somebody may write by a slip, from the folder of the settings.
_WRONG = ("../builds", "../builds/ice-resurfacer", "..", "../photographs", "../builds/site", ".")


def prove(count: int, _chance: random.Random, tell: Callable[[str], None]) -> list[str]:
    """Build into each wrong folder; exit code 1, the line to change, and every file as before."""
    faults: list[str] = []
    with workshop() as shop:
        root = shop.settings("one").parents[1]
        (root / "photographs").mkdir()
        (root / "photographs" / "1.jpg").write_text("mine")
        right = shop.settings("one").read_text()
        for wrong in _WRONG[:count]:
            shop.settings("one").write_text(right.replace("../../public/site", wrong))
            before = _contents(root)
            process = started("site", "--config", str(shop.settings("one")))
            output = process.communicate()[0]
            if process.returncode != 1 or "site_dir" not in output or "Traceback" in output:
                faults.append(f"{wrong}: exit code {process.returncode}: {output}")
            if _contents(root) != before:
                faults.append(f"{wrong}: files are not as they were")
            tell(f"{wrong}: refused")
    return faults


def _contents(folder: Path) -> dict[str, bytes]:
    return {name: (folder / name).read_bytes() for name in files_in(folder)}
