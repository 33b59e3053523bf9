"""The demo archive and what the site makes of it, once for all tests of the pages."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

import pytest
from filelock import FileLock

from specgen.analysis.sheet import Sheet
from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive
from specgen.publish.making.item import Item
from specgen.publish.site import Site
from specgen.publish.store.places import VARIABLE
from specgen.publish.store.store import Store
from tests.publish.pages import sheets_of

BUILDS = Path(__file__).parent.parent.parent / "builds"


@pytest.fixture(scope="session")
def archive() -> Archive:
    """The demo archive."""
    return read_archive(BUILDS)


@pytest.fixture(scope="session")
def site(archive: Archive) -> Site:
    """The demo archive on its way to becoming pages, as the published site is made.

    What one worker made serves the others, and the site itself: all make it of the same things.
    """
    return Site(archive, store=Store(Path(os.environ[VARIABLE])))


@pytest.fixture(scope="session")
def sheets(site: Site) -> Mapping[str, Sheet]:
    """All demo sheets by build id."""
    return sheets_of(site)


@pytest.fixture(scope="session")
def listed(site: Site) -> list[Item]:
    """Every item of the demo site, in order; one worker makes them while the others wait."""
    with FileLock(Path(os.environ[VARIABLE], "being-made")):
        assert [made.fault for made in site.made.values() if made.fault is not None] == []
    return list(site.items())


@pytest.fixture(scope="session")
def items(listed: list[Item]) -> dict[str, Item]:
    """Every item of the demo site by its address."""
    return {item.address: item for item in listed}
