"""What a command costs from its start to its end, in processor time of a process of its own."""

from __future__ import annotations

import resource
import subprocess
import sys
from pathlib import Path

#: Commands that a workshop waits for; BUILD stands for the largest demo build.
COMMANDS = {"--help": ("--help",), "check": ("check",), "show": ("show", "BUILD")}


def measure(root: Path, largest: str, repeat: int = 5) -> dict[str, float]:
    """Seconds of processor time of each command on the demo archive, the best of some runs."""
    found = {}
    for name, arguments in COMMANDS.items():
        words = [largest if word == "BUILD" else word for word in arguments]
        found[name] = min(_seconds(root, words) for _ in range(repeat))
    return found


def _seconds(root: Path, arguments: list[str]) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    code = "from specgen.cli import main; main()"
    subprocess.run([sys.executable, "-c", code, *arguments], cwd=root, capture_output=True,
                   check=False)  # fmt: skip
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
