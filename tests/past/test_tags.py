"""Editions that tags of git mark: which there are, their files, and the builds by today's ids."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.archive.past.git import NoHistory
from specgen.past.past import Past
from specgen.past.tags import Tag, names_at, tags, write_edition
from tests.archive.repository import git
from tests.past.shop import BUILD, Shop, opened


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """A shop with two tags, and a build that was renamed between them."""
    shop = opened(tmp_path)
    git(shop.root, "tag", "2025/spring")
    git(shop.root, "mv", f"builds/{BUILD}", "builds/new-name")
    shop.commit("Another name", "2025-06-02")
    git(shop.root, "tag", "-a", "-m", "A second", "2025-autumn", day="2025-10-01")
    return shop


def test_tags_stand_in_their_order_with_folders_for_their_pages(shop: Shop) -> None:
    """Plain and annotated ones; a name with a slash becomes one folder."""
    assert tags(shop.builds) == (
        Tag("2025/spring", "2025-05-14", "2025-spring"),
        Tag("2025-autumn", "2025-10-01", "2025-autumn"),
    )


def test_a_tag_from_before_the_archive_marks_no_edition(tmp_path: Path) -> None:
    """A state without archive.yaml in that folder is none."""
    shop = opened(tmp_path)
    git(shop.root, "rm", "-q", "builds/archive.yaml")
    shop.commit("Gone")
    git(shop.root, "tag", "empty")
    assert tags(shop.builds) == ()


def test_an_edition_has_its_files_byte_for_byte(shop: Shop, tmp_path: Path) -> None:
    """What lay there then, and nothing that came after."""
    folder = tmp_path / "edition"
    write_edition(shop.builds, "2025/spring", folder)
    found = {it.relative_to(folder).as_posix() for it in folder.rglob("*") if it.is_file()}
    assert found == {"archive.yaml", "blowers/test-blower.yaml", f"{BUILD}/build.yaml"}
    now = (shop.builds / "new-name" / "build.yaml").read_bytes()
    assert (folder / BUILD / "build.yaml").read_bytes() == now


def test_builds_are_known_by_the_ids_that_they_had(shop: Shop) -> None:
    """A renamed build is found in editions of both names."""
    first, second = tags(shop.builds)
    states = Past(shop.archive()).states
    assert names_at(shop.builds, first, states) == {"new-name": BUILD}
    assert names_at(shop.builds, second, states) == {"new-name": "new-name"}


def test_no_repository_is_told(tmp_path: Path) -> None:
    """Without git there is no edition, and a reason."""
    with pytest.raises(NoHistory, match="no git repository"):
        tags(tmp_path)
