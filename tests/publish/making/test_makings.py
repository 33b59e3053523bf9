"""Builds out of a store, made here or elsewhere: the same files, whatever befalls the store."""

from __future__ import annotations

import errno
import os
import shutil
import threading
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import pytest

from specgen.analysis.sheet import sheet_of
from specgen.archive.archive import read_archive
from specgen.publish.making import build as making
from specgen.publish.making import workers
from specgen.publish.making.item import Item
from specgen.publish.making.workers import Job, WorkerLost
from specgen.publish.sheet.page import sheet_page
from specgen.publish.site import Site
from specgen.publish.store import store as stores
from specgen.publish.store.store import Store
from tests.publish.conftest import BUILDS
from tests.publish.pages import digest

pytestmark = pytest.mark.slow

#: Builds that are quickly made: one without a blower, one never tested.
FEW = ("harbour-ferry", "irrigation-pump")
#: The files of the blower that the second has.
BLOWER = ("grebe-11.yaml",)


@pytest.fixture(scope="module")
def few(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small archive of the demo's files."""
    root = tmp_path_factory.mktemp("few") / "builds"
    (root / "blowers").mkdir(parents=True)
    for file in BLOWER:
        shutil.copy(BUILDS / "blowers" / file, root / "blowers")
    for name in FEW:
        shutil.copytree(BUILDS / name, root / name)
    shutil.copy(BUILDS / "archive.yaml", root)
    return root


def files_of(root: Path, store: Store | None, processes: int = 1) -> list[tuple[str, str]]:
    """Address and digest of every file of the builds of a site."""
    return told(files(Site(read_archive(root), store=store, processes=processes)))


def files(site: Site) -> list[Item]:
    """Every file of its builds."""
    return [item for made in site.made.values() for item in made.items]


def told(items: Iterable[Item]) -> list[tuple[str, str]]:
    """Address and digest of each."""
    return [(item.address, digest(item)) for item in items]


@pytest.fixture(scope="module")
def right(few: Path) -> list[tuple[str, str]]:
    """What the site must be, made without a store."""
    return files_of(few, None)


def never(*_any: Any, **_more: Any) -> Any:
    """Stand in for what must not be called."""
    raise AssertionError("made again, though nothing had changed")


def test_a_second_site_makes_nothing(
    few: Path, right: list[tuple[str, str]], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same bytes, those of the pages that sum up too, and no sheet is even begun."""
    store, archive = Store(tmp_path), read_archive(few)
    whole = told(Site(archive, store=store).items())
    assert set(whole) > set(right)
    monkeypatch.setattr(making, "sheet_of", never)
    assert told(Site(archive, store=store).items()) == whole
    assert told(Site(read_archive(few), store=store).items()) == whole


def _deleted(store: Store) -> None:
    shutil.rmtree(store.folder)


def _rubbish(store: Store) -> None:
    for entry in store.folder.rglob("*.zip"):
        entry.write_bytes(os.urandom(500))


def _half(store: Store) -> None:
    for entry in store.folder.rglob("*.zip"):
        entry.write_bytes(entry.read_bytes()[: entry.stat().st_size // 2])


@pytest.mark.parametrize("spoil", [_deleted, _rubbish, _half])
def test_a_spoilt_store_does_no_harm(
    spoil: Callable[[Store], None], few: Path, right: list[tuple[str, str]], tmp_path: Path
) -> None:
    """Deleted, filled with rubbish, cut short: the site is right, and the store whole again."""
    store = Store(tmp_path / "store")
    files_of(few, store)
    spoil(store)
    assert files_of(few, store) == right
    assert files_of(few, store) == right


def test_a_store_that_vanishes_between_does_no_harm(
    few: Path, right: list[tuple[str, str]], tmp_path: Path
) -> None:
    """Emptied after the builds were found in it and before their files are read."""
    store = Store(tmp_path / "store")
    site = Site(read_archive(few), store=store)
    items = files(site)
    shutil.rmtree(store.folder)
    assert told(items) == right


def test_a_store_that_cannot_be_written_does_no_harm(
    few: Path, right: list[tuple[str, str]], tmp_path: Path
) -> None:
    """Where its folder should be, something is in the way; a folder for the time serves."""
    (tmp_path / "file").write_text("in the way")
    store = Store(tmp_path / "file" / "store")
    assert files_of(few, store) == right
    assert (tmp_path / "file").read_text() == "in the way"


def test_a_full_disk_does_no_harm(
    few: Path, right: list[tuple[str, str]], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No entry can be written anywhere: builds are held, and nothing half is left."""

    def full(stream: Any, *_more: Any) -> None:
        stream.write(b"PK\x03\x04")
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(stores, "_write", full)
    store = Store(tmp_path / "store")
    assert files_of(few, store) == right
    assert [path for path in store.folder.rglob("*") if path.is_file()] == []


def test_two_sites_at_once_share_a_store(
    few: Path, right: list[tuple[str, str]], tmp_path: Path
) -> None:
    """Both are right, and so is what they leave."""
    store = Store(tmp_path)
    found: list[list[tuple[str, str]]] = []
    both = [threading.Thread(target=lambda: found.append(files_of(few, store))) for _ in range(2)]
    for one in both:
        one.start()
    for one in both:
        one.join()
    assert found == [right, right]
    assert files_of(few, store) == right


def test_a_change_makes_its_build_anew_and_no_other(
    few: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A changed bore: one sheet is made. Settings: all are. A blower: those that have it."""
    root = tmp_path / "builds"
    shutil.copytree(few, root)
    store, made = Store(tmp_path / "store"), list[str]()
    files_of(root, store)
    real = sheet_of

    def noted(part: Any, build: Any) -> Any:
        made.append(build.id)
        return real(part, build)

    monkeypatch.setattr(making, "sheet_of", noted)

    def after(file: str, old: str, new: str) -> set[str]:
        path = root / file
        text = path.read_text("utf-8")
        assert old in text
        path.write_text(text.replace(old, new), "utf-8")
        made.clear()
        files_of(root, store)
        return set(made)

    assert after("harbour-ferry/build.yaml", "bore: 92 mm", "bore: 92.5 mm") == {"harbour-ferry"}
    assert after("blowers/grebe-11.yaml", "max_speed: ", "max_speed:  ") == {"irrigation-pump"}
    assert after("archive.yaml", "units: metric", "units: imperial") == set(FEW)
    assert after("harbour-ferry/build.yaml", "bore: 92.5 mm", "bore: 92 mm") == {"harbour-ferry"}


def test_a_fault_of_ours_takes_one_build_and_no_other(
    few: Path, right: list[tuple[str, str]], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The build gets a page that says so, and a finding, in no store; the index names it."""
    real = sheet_page

    def broken(part: Any, sheet: Any, around: Any) -> Any:
        if sheet.id == FEW[0]:
            raise ZeroDivisionError("float division by zero")
        return real(part, sheet, around)

    monkeypatch.setattr(making, "sheet_page", broken)
    store = Store(tmp_path)
    site = Site(read_archive(few), store=store)
    items = {item.address: str(item.content) for item in site.items()}
    page = items[f"builds/{FEW[0]}/index.md"]
    assert "The sheet of this build could not be made." in page
    assert "ZeroDivisionError" in page
    assert f'href="{FEW[0]}/"' in items["builds/index.md"]
    assert "its sheet could not be made" in items["builds/index.md"]
    assert [(it.code, it.place.file) for it in site.faults()] == [
        ("not-made", f"{FEW[0]}/build.yaml")
    ]
    monkeypatch.setattr(making, "sheet_page", real)
    assert files_of(few, store) == right


@pytest.mark.slow
def test_processes_make_the_same(
    few: Path, right: list[tuple[str, str]], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two processes, started anew, give the bytes that one gives."""
    monkeypatch.setattr(workers, "WORTH_IT", 1)
    assert files_of(few, Store(tmp_path), processes=2) == right


class _Fatal:
    """What ends the process that it is handed to, as a killer would: without a word."""

    def __reduce__(self) -> tuple[Any, ...]:
        return os._exit, (9,)


@pytest.mark.slow
def test_a_process_that_dies_is_told_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    """One message that says what to do, and no build that waits for ever."""
    monkeypatch.setattr(workers, "WORTH_IT", 1)
    job: Any = Job("x", "k", _Fatal(), None, ((), ()), ())  # type: ignore[arg-type]
    with pytest.raises(WorkerLost, match="memory ran out"):
        list(workers.run([job, job], 2, processes=2))
