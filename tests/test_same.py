"""The comparison of two checkouts by what they publish."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.same.comparing import compare


def _written(folder: Path, files: dict[str, bytes]) -> Path:
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return folder


def test_equal_folders_have_no_difference(tmp_path: Path) -> None:
    """The same bytes under the same names: counted, and nothing told."""
    files = {"index.html": b"one", "builds/a/index.html": b"two"}
    found = compare(_written(tmp_path / "a", files), _written(tmp_path / "b", files))
    assert (found.files, found.size, found.differences) == (2, 6, ())


@pytest.mark.parametrize(
    ("second", "told"),
    [
        ({"a.html": b"same", "b.json": b"12345"}, "b.json: differs from byte 2 on"),
        ({"a.html": b"same"}, "b.json: only in the first"),
        ({"a.html": b"same", "b.json": b"12", "c.css": b""}, "b.json: differs from byte 2 on"),
        ({"a.html": b"same", "b.json": b"12.45", "c.css": b""}, "c.css: only in the second"),
    ],
)
def test_each_difference_is_told(tmp_path: Path, second: dict[str, bytes], told: str) -> None:
    """One byte changed, a file cut short, a file gone, a file more: each is named."""
    first = {"a.html": b"same", "b.json": b"12.45"}
    found = compare(_written(tmp_path / "a", first), _written(tmp_path / "b", second))
    assert told in "\n".join(difference.text() for difference in found.differences)
