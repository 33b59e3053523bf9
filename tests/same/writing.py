"""Let a checkout publish its demo archive, by its own commands, into a folder."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

#: What is published: the items as an export writes them, and the site as it is served.
COMMANDS = {
    "items": ("export", "{target}", "--archive", "builds"),
    "site": ("site", "--config", "{config}"),
}


@contextmanager
def checkout(name: str, repository: Path, spare: Path) -> Iterator[Path]:
    """Give the folder of a checkout, named by its path or by a revision of `repository`.

    A revision is checked out in `spare` for as long as it is looked at.
    """
    if (Path(name) / "specgen").is_dir():
        yield Path(name).resolve()
        return
    _run(repository, "git", "worktree", "add", "--quiet", "--detach", str(spare), name)
    try:
        yield spare
    finally:
        _run(repository, "git", "worktree", "remove", "--force", str(spare))


def publish(folder: Path, what: str, target: Path) -> None:
    """Write `what` of a checkout's demo archive into `target`, with the code of that checkout.

    SystemExit with the command's own words where it fails.
    """
    config = folder / "site_src" / "specgen-same.yml"
    command = [part.format(target=target, config=config) for part in COMMANDS[what]]
    if what == "site":
        config.write_text(f"INHERIT: mkdocs.yml\nsite_dir: {target}\n", encoding="utf-8")
    try:
        _run(folder, sys.executable, "-c", "from specgen.cli import main; main()", *command)
    finally:
        config.unlink(missing_ok=True)


def _run(folder: Path, *command: str) -> None:
    """Run in a folder whose own package is the one that is imported."""
    surroundings = {**os.environ, "PYTHONPATH": str(folder), "PYTHONDONTWRITEBYTECODE": "1"}
    result = subprocess.run(
        command, cwd=folder, env=surroundings, capture_output=True, text=True, check=False
    )
    if result.returncode:
        raise SystemExit(f"{' '.join(command)} in {folder}:\n{result.stdout}{result.stderr}")
