"""Building the site, against the plain engine on the same pages already made.

Each build runs in an interpreter of its own, so that nothing is remembered from the one before;
both start Python and import the engine.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from time import perf_counter

from specgen.archive.archive import read_archive
from specgen.publish.export import export
from tests.bench.timing import best_of

_BUILD = "import sys; from specgen.publish.plugin import build_site; build_site(sys.argv[1], site_dir=sys.argv[2])"  # noqa: E501


def _build(config: Path, target: Path) -> None:
    subprocess.run(
        [sys.executable, "-W", "ignore", "-c", _BUILD, str(config), str(target)], check=True
    )


def measure(root: Path, config: Path, folder: Path, repeat: int) -> dict[str, float]:
    """Time both builds [s] in turn; pages and pages a second, and the ratio of the two.

    `config` is the site's own mkdocs.yml, `folder` an empty one to build in.
    """
    export(read_archive(root), folder / "exported")
    plain_config, own, plain = folder / "exported" / "mkdocs.yml", folder / "own", folder / "plain"
    times = [
        (
            best_of(lambda: _build(config, own), 1, perf_counter),
            best_of(lambda: _build(plain_config, plain), 1, perf_counter),
        )
        for _ in range(repeat)
    ]
    ours, theirs = (min(column) for column in zip(*times, strict=True))
    pages = sum(1 for _ in own.rglob("*.html"))
    return {
        "pages": pages,
        "seconds": round(ours, 2),
        "pages_per_second": round(pages / ours, 1),
        "plain_pages": sum(1 for _ in plain.rglob("*.html")),
        "plain_seconds": round(theirs, 2),
        "ratio": round(ours / theirs, 2),
    }
