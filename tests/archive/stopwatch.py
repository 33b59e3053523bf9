"""A second of processor time for what must not cost more, whatever is read."""

from __future__ import annotations

import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

#: Nothing under test waits for anybody; a test that hangs would hang for ever.
_PATIENCE = 60


@contextmanager
def within(seconds: float = 1.0) -> Iterator[None]:
    """Hold that what is done here costs no more processor time, and ends at all."""

    def late(_number: int, _frame: FrameType | None) -> None:
        raise TimeoutError(f"not done after {_PATIENCE} s")

    usual = signal.signal(signal.SIGALRM, late)
    signal.alarm(_PATIENCE)
    began = time.process_time()
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, usual)
    took = time.process_time() - began
    assert took <= seconds, f"{took:.2f} s of processor time"
