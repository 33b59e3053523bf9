"""Texts kept on the shelf: made once, made again where anything they rest on differs."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.archive.archive import read_archive
from specgen.publish import addresses
from specgen.publish.reference.same_everywhere import SAME_EVERYWHERE
from specgen.publish.site import Site
from specgen.publish.store.shelf import Shelf
from specgen.publish.store.store import Store
from tests.publish.conftest import BUILDS


@pytest.fixture
def asked() -> list[str]:
    """What was made, in order."""
    return []


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    """A shelf in a folder of its own."""
    return Shelf(Store(tmp_path))


def test_a_text_is_made_once(shelf: Shelf, asked: list[str]) -> None:
    """A second shelf on the same folder finds it; other things to rest on make another."""

    def text(word: str, *rests_on: object) -> str:
        def make() -> str:
            asked.append(word)
            return word

        return Shelf(shelf.store).text(rests_on, make)

    assert text("one µ", "a", 1, None) == "one µ"
    assert text("never", "a", 1, None) == "one µ"
    assert text("two", "a", "1", None) == "two"
    assert text("three", "a", 1) == "three"
    assert asked == ["one µ", "two", "three"]


def test_without_a_store_it_is_made_each_time() -> None:
    """Nothing is remembered that nobody can delete."""
    assert [Shelf().text((), lambda word=word: word) for word in ("one", "two")] == ["one", "two"]  # type: ignore[misc]


def test_rubbish_is_not_served(shelf: Shelf) -> None:
    """A damaged entry is made again."""
    assert shelf.text(("a",), lambda: "right") == "right"
    assert shelf.store is not None
    for entry in shelf.store.folder.rglob("*.zip"):
        entry.write_bytes(b"PK rubbish")
    assert shelf.text(("a",), lambda: "again") == "again"


def test_a_page_from_the_shelf_is_the_page(shelf: Shelf) -> None:
    """Pages that rest on the program alone are the same, made or found, and told apart by units."""
    archive = read_archive(BUILDS)
    pages = {address: write("metric", True) for address, write in SAME_EVERYWHERE.items()}
    for _ in range(2):
        site = Site(archive, store=shelf.store)
        assert {address: site.fixed_page(address) for address in pages} == pages
    other = SAME_EVERYWHERE[addresses.UNITS]("imperial", False)
    assert other != pages[addresses.UNITS]
