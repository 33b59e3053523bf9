"""Which files of two folders differ, and from where on."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

#: How much of each side is shown from the first differing byte on, and how much before it.
SHOWN, BEFORE = 60, 20


@dataclass(frozen=True)
class Difference:
    """One file that is not the same on both sides; `None` stands for a file that is not there."""

    address: str
    first: bytes | None
    second: bytes | None

    def text(self) -> str:
        """The difference in a line or three for a terminal."""
        if self.first is None or self.second is None:
            return f"{self.address}: only in the {'second' if self.first is None else 'first'}"
        pairs = zip(self.first, self.second, strict=False)
        shorter = min(len(self.first), len(self.second))
        at = next((i for i, (one, other) in enumerate(pairs) if one != other), shorter)
        lines = [f"{self.address}: differs from byte {at} on"]
        for side in (self.first, self.second):
            lines.append(f"    {side[max(0, at - BEFORE) : at + SHOWN]!r}")
        return "\n".join(lines)


@dataclass(frozen=True)
class Comparison:
    """Two folders file by file: how many there are, how large they are, and what differs."""

    files: int
    size: int
    differences: tuple[Difference, ...]


def compare(first: Path, second: Path) -> Comparison:
    """Compare two folders to the byte, in the order of the files' names."""
    names = sorted(_files(first) | _files(second))
    pairs = [(name, _bytes(first / name), _bytes(second / name)) for name in names]
    return Comparison(
        len(names),
        sum(len(one or b"") for _, one, _ in pairs),
        tuple(Difference(name, one, other) for name, one, other in pairs if one != other),
    )


def _files(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def _bytes(path: Path) -> bytes | None:
    return path.read_bytes() if path.is_file() else None
