"""specgen: build sheets for supercharged engines from YAML in git.

In a notebook or a script: `specgen.read("builds")` gives an archive's results (see `results`).
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from specgen.results import Results

__all__ = ["read"]


def read(folder: str | Path, progress: Callable[[str], None] | None = None) -> Results:
    """Read the archive in a folder; figures are worked out when they are asked for.

    Parameters
    ----------
    folder: the folder that holds archive.yaml
    progress: is told the name of each file before it is read

    Returns
    -------
    The archive's results: `read("builds").builds["some-id"].headline`.

    Raises
    ------
    FileNotFoundError: the folder holds no archive.yaml. What is wrong within the files raises
        nothing: `Results.findings` tells it.
    """
    from specgen.results import read as read_results  # what it needs is slow to import

    return read_results(folder, progress)
