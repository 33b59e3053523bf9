"""An error that nobody expected: what it was about, and how it is told.

Whoever works on one build or file says so with `about`; the innermost word stays with the error,
from another process too. What the data has wrong is no failure: that is a finding.
"""

from __future__ import annotations

import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from specgen.findings import told

_MARK = "about: "


@contextmanager
def about(subject: str) -> Iterator[None]:
    """Name the build or file that is worked on, should it come to an error."""
    try:
        yield
    except Exception as problem:
        if not subject_of(problem):
            problem.add_note(_MARK + subject)
        raise


def subject_of(problem: BaseException) -> str:
    """Give what an error, or the one behind it, was about; "" where nobody said so."""
    seen: BaseException | None = problem
    while seen is not None:
        for note in getattr(seen, "__notes__", ()):
            if note.startswith(_MARK):
                return str(note.removeprefix(_MARK))
        seen = seen.__cause__ or seen.__context__
    return ""


def sentence(problem: BaseException, subject: str = "") -> str:
    """Tell an error in one sentence, with what it was about, if it does not say so itself."""
    subject = subject_of(problem) or subject
    where = f' with "{subject}"' if subject else ""
    said = " ".join(str(problem).split())
    why = f"{type(problem).__name__}: {said}" if said else type(problem).__name__
    if isinstance(problem, OSError) and problem.strerror:
        named = f" ({problem.filename})" if problem.filename else ""
        why = f"{problem.strerror}{named}"
    return told(f"specgen could not go on{where}: {why}")


def whole(problem: BaseException) -> str:
    """Tell where in the program an error came about."""
    return "".join(traceback.format_exception(problem))


def frames(problem: BaseException) -> str:
    """Tell the same without any place on this machine: each file from its package on."""
    lines = []
    for frame in traceback.extract_tb(problem.__traceback__):
        parts = Path(frame.filename).parts
        tops = [at for at, part in enumerate(parts) if part in ("site-packages", "specgen")]
        at = tops[-1] + (parts[tops[-1]] == "site-packages") if tops else len(parts) - 1
        lines.append(f"  {'/'.join(parts[at:])}:{frame.lineno} in {frame.name}")
    return "\n".join(lines)
