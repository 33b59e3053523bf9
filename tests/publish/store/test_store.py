"""A folder of entries: read as written; whatever is wrong with one means that it is not there."""

from __future__ import annotations

import json
import os
import pickle
import zipfile
from pathlib import Path

import pytest

from specgen.publish.store.places import VARIABLE, store_folder
from specgen.publish.store.store import Store

KEY = "ab" + "0" * 62


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """A store with one entry."""
    store = Store(tmp_path / "store")
    assert store.keep(KEY, {"title": "Ümlaut"}, {"a.txt": b"text" * 99, "b.png": b"\x89PNG"})
    return store


def entry(store: Store) -> Path:
    """The file of its one entry."""
    return next(store.folder.rglob("*.zip"))


def test_an_entry_is_read_as_it_was_written(store: Store) -> None:
    """Head and members; another key has none."""
    assert store.head(KEY) == {"title": "Ümlaut"}
    assert store.member(KEY, "a.txt") == b"text" * 99
    assert store.member(KEY, "b.png") == b"\x89PNG"
    assert store.member(KEY, "c.txt") is None
    assert store.head("cd" + "0" * 62) is None


@pytest.mark.parametrize(
    "rubbish",
    [b"", b"rubbish", b"PK\x03\x04", pickle.dumps(os.getcwd)],
    ids=["empty", "text", "cut", "pickle"],
)
def test_rubbish_is_no_entry_and_is_written_over(store: Store, rubbish: bytes) -> None:
    """No exception, nothing run, and the next who makes it keeps it."""
    entry(store).write_bytes(rubbish)
    assert store.head(KEY) is None
    assert store.member(KEY, "a.txt") is None
    assert store.keep(KEY, {"title": "new"}, {"a.txt": b"new"})
    assert store.member(KEY, "a.txt") == b"new"


def test_one_changed_byte_is_seen(store: Store) -> None:
    """Wherever it lies in a member: its checksum does not agree."""
    file = entry(store)
    data = bytearray(file.read_bytes())
    at = data.index(b"\x89PNG")
    data[at + 1] ^= 1
    file.write_bytes(bytes(data))
    assert store.member(KEY, "b.png") is None
    assert store.member(KEY, "a.txt") is not None


def test_an_entry_under_another_name_is_not_taken(store: Store) -> None:
    """A file that somebody moved is not what its name says."""
    other = "ab" + "1" * 62
    entry(store).rename(store.folder / "ab" / f"{other}.zip")
    assert store.head(other) is None


def test_an_entry_that_lacks_a_member_is_not_taken(store: Store) -> None:
    """Its head tells of all members, so that half an entry is none."""
    with zipfile.ZipFile(entry(store), "w") as made:
        head = {"layout": 1, "key": KEY, "members": ["a.txt"], "told": {}}
        made.writestr("head.json", json.dumps(head))
    assert store.head(KEY) is None


def test_the_least_used_go_first_when_a_store_is_full(tmp_path: Path) -> None:
    """Beyond its size the oldest are deleted, and what nobody asked for in long is, always."""
    store = Store(tmp_path)
    keys = [f"{number:02}" + "0" * 62 for number in range(4)]
    for age, key in enumerate(reversed(keys)):
        store.keep(key, {}, {"a": os.urandom(1000)})
        file = tmp_path / key[:2] / f"{key}.zip"
        os.utime(file, (file.stat().st_mtime - 1000 * age,) * 2)
    size = file.stat().st_size
    store.prune(most=2 * size + 10)
    assert [store.head(key) is not None for key in keys] == [False, False, True, True]
    store.prune(longest=500)
    assert [store.head(key) is not None for key in keys] == [False, False, False, True]


def test_what_a_killed_build_left_is_deleted_in_time(store: Store) -> None:
    """A part that is being written stays; one of yesterday goes."""
    new, old = (store.folder / "ab" / f".part-{name}" for name in ("new", "old"))
    for part in (new, old):
        part.write_bytes(b"half")
    os.utime(old, (0, 0))
    store.prune()
    assert new.exists()
    assert not old.exists()
    assert store.head(KEY) is not None


def test_the_folder_is_where_somebody_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The variable, then the setting beside mkdocs.yml, then the user's own."""
    monkeypatch.setenv(VARIABLE, str(tmp_path / "variable"))
    assert store_folder("setting", tmp_path) == tmp_path / "variable"
    monkeypatch.delenv(VARIABLE)
    assert store_folder("setting", tmp_path) == tmp_path / "setting"
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "caches"))
    assert store_folder() == tmp_path / "caches" / "specgen"
    monkeypatch.setenv("XDG_CACHE_HOME", "relative")
    assert store_folder() == Path.home() / ".cache" / "specgen"
