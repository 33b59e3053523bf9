"""`python -m tests.same A B`: which bytes of the published demo differ between two checkouts.

A and B are folders of checkouts or revisions of this repository. Everything is written twice: the
items as an export gives them, and the site as it is served. Exit code 0 if nothing differs.
"""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

from tests.same.comparing import Comparison, compare
from tests.same.writing import COMMANDS, checkout, publish

ROOT = Path(__file__).parents[2]


def compared(first: str, second: str, what: str, work: Path) -> Comparison:
    """Publish `what` from both checkouts and compare."""
    for side, name in (("first", first), ("second", second)):
        with checkout(name, ROOT, work / f"checkout-{side}-{what}") as folder:
            publish(folder, what, work / what / side)
    return compare(work / what / "first", work / what / "second")


def main(arguments: list[str] | None = None) -> int:
    """Compare and print; 1 if a byte differs."""
    parser = argparse.ArgumentParser(prog="python -m tests.same", description=__doc__)
    parser.add_argument("first", help="folder or revision")
    parser.add_argument("second", help="folder or revision")
    parser.add_argument("--only", choices=tuple(COMMANDS), help="leave the other out")
    parser.add_argument("--show", type=int, default=20, help="differences shown")
    given = parser.parse_args(arguments)
    differing = 0
    with tempfile.TemporaryDirectory(prefix="same-") as folder:
        for what in [given.only] if given.only else COMMANDS:
            found = compared(given.first, given.second, what, Path(folder))
            differing += len(found.differences)
            print(f"{what}: {found.files} files, {found.size / 1e6:.1f} MB, "
                  f"{len(found.differences)} differ")  # fmt: skip
            for difference in found.differences[: given.show]:
                print(f"  {difference.text()}")
    return 1 if differing else 0


if __name__ == "__main__":
    raise SystemExit(main())
