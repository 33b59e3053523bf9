"""Rewrite the expected findings of every bad case: `python -m tests.archive.accept`.

Read the difference before committing it: each remedy must be something one can type.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from tests.archive.cases import BAD, read_case, told


def main() -> None:
    """Write what each bad case tells now."""
    for case in BAD:
        with tempfile.TemporaryDirectory() as folder:
            text = told(read_case(case, Path(folder)))
        (case / "expected.txt").write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
