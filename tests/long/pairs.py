"""Two builds at once into one folder."""

from __future__ import annotations

import random
import time
from collections.abc import Callable

from tests.long.workshop import workshop


def prove(count: int, chance: random.Random, tell: Callable[[str], None]) -> list[str]:
    """Start two builds shortly after one another; both end well, or one says why not."""
    faults: list[str] = []
    with workshop() as shop:
        states = [shop.build("one").files, shop.build("two").files]
        for number in range(1, count + 1):
            first = shop.start("one")
            time.sleep(chance.uniform(0, 1.5))
            second = shop.start("two")
            outputs = [process.communicate()[0] for process in (first, second)]
            codes = first.returncode, second.returncode
            for code, output in zip(codes, outputs, strict=True):
                if "Traceback" in output or (code != 0 and "another build" not in output):
                    faults.append(f"pair {number}: exit code {code}: {output}")
            faults += [f"pair {number}: {fault}" for fault in shop.unsound()]
            index = (shop.site / "index.html").read_bytes()
            if not any(_same(index, files["index.html"]) for files in states):
                faults.append(f"pair {number}: the entry page is of neither state")
            tell(f"pair {number}: exit codes {codes}, {len(faults)} faults")
    return faults


def _same(data: bytes, digest: str) -> bool:
    import hashlib

    return hashlib.sha256(data).hexdigest() == digest
