"""What one try took, and the worst of many: nothing over a time, nothing over a size."""

from __future__ import annotations

import resource
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass, field

#: Seconds of processor time that any one input may take, and bytes that the process may hold.
SLOWEST, LARGEST = 5.0, 1_000_000_000


@dataclass
class Measured:
    """Tries one after the other; `faults` tell what was raised, or took too long."""

    tries: int = 0
    worst: float = 0.0
    seconds: float = 0.0
    faults: list[str] = field(default_factory=list)

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
        held = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
        if held > LARGEST:
            self.faults.append(f"{held / 1e6:.0f} MB held")
        each = 1000 * self.seconds / max(self.tries, 1)
        return (f"{self.tries} tries, {each:.1f} ms each, worst "
                f"{self.worst:.2f} s, {held / 1e6:.0f} MB, {len(self.faults)} faults")  # fmt: skip
