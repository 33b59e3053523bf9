"""What one try took, and the worst of many: nothing over a time, nothing over a size."""

from __future__ import annotations

import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

#: Seconds of processor time that any one input may take, and bytes that the tries may hold beside
#: what the process held before: less than a gigabyte with the program itself.
SLOWEST, LARGEST = 5.0, 800_000_000
_STATUS, _REFERENCES = Path("/proc/self/status"), Path("/proc/self/clear_refs")


def _now_held() -> int:
    """Bytes that the process holds; from now on the most it holds is counted anew."""
    _REFERENCES.write_text("5", "utf-8")
    return _told("VmRSS")


def _told(name: str) -> int:
    """A size of the process, of those that Linux tells."""
    lines = _STATUS.read_text("utf-8").splitlines()
    return next(int(line.split()[1]) * 1024 for line in lines if line.startswith(name))


@dataclass
class Measured:
    """Tries one after the other; `faults` tell what was raised, or took too long."""

    tries: int = 0
    worst: float = 0.0
    seconds: float = 0.0
    faults: list[str] = field(default_factory=list)
    before: int = field(default_factory=_now_held)

    def attempt(self, about: str, what: Callable[[], object]) -> None:
        """Do something once; whatever it raises would be a traceback for somebody."""
        began = time.process_time()
        try:
            what()
        except Exception:  # all of them are what is looked for
            self.faults.append(f"{about}\n{traceback.format_exc(limit=-4)}")
        took = time.process_time() - began
        self.tries += 1
        self.seconds += took
        self.worst = max(self.worst, took)
        if took > SLOWEST:
            self.faults.append(f"{about}: {took:.1f} s")

    def told(self) -> str:
        """Say how it stands."""
        held = _told("VmHWM") - self.before
        if held > LARGEST:
            self.faults.append(f"{held / 1e6:.0f} MB held")
        each = 1000 * self.seconds / max(self.tries, 1)
        return (f"{self.tries} tries, {each:.1f} ms each, worst "
                f"{self.worst:.2f} s, {held / 1e6:.0f} MB, {len(self.faults)} faults")  # fmt: skip
