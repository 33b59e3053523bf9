"""A past that was told before is told again from one entry, and never from another's."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from specgen.past import past as past_room
from specgen.past.chronicle import Event
from specgen.past.past import Past
from tests.archive.repository import git
from tests.past.shop import BUILD, Shop, opened


class Memory:
    """A place that keeps everything as text, and counts what it was asked for."""

    def __init__(self) -> None:
        self.kept: dict[str, str] = {}
        self.asked = 0

    def head(self, key: str) -> dict[str, Any] | None:
        """What was kept under a name."""
        self.asked += 1
        return json.loads(self.kept[key]) if key in self.kept else None

    def keep(self, key: str, told: Mapping[str, Any], members: Mapping[str, bytes]) -> bool:
        """Keep something under a name."""
        assert not members
        self.kept[key] = json.dumps(told)
        return True


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """A shop whose build had one figure corrected."""
    shop = opened(tmp_path)
    shop.change(f"{BUILD}/build.yaml", "humidity: 41 %", "humidity: 95 %",
                "The hygrometer read too low", "2025-06-02")  # fmt: skip
    return shop


def _events(shop: Shop, memory: Memory) -> tuple[Event, ...]:
    archive = shop.archive()
    return Past(archive, memory).events(archive.builds[BUILD])


def test_a_past_is_told_again_from_one_entry(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same changes, figure by figure, though nothing can be worked out any more."""
    memory = Memory()
    first = _events(shop, memory)
    assert any(it.moved for it in first)
    memory.asked = 0
    monkeypatch.setattr(past_room, "known_then", None)
    assert _events(shop, memory) == first
    assert memory.asked == 1


def test_another_word_on_a_commit_is_told_anew(shop: Shop) -> None:
    """The reason of a change is part of what a past is told from."""
    memory = Memory()
    before = _events(shop, memory)
    git(shop.root, "commit", "-q", "--amend", "-m", "The hygrometer was dry", day="2025-06-02")
    after = _events(shop, memory)
    assert [it.why for it in before][-1] == "The hygrometer read too low"
    assert [it.why for it in after][-1] == "The hygrometer was dry"


@pytest.mark.parametrize(
    "rubbish",
    ['{}', '{"events": 3}', '{"events": [{"date": "soon"}]}', '{"events": [null]}',
     '{"events": [{"date": null, "revision": "", "causes": ["luck"], "why": "", "moved": []}]}'],
)  # fmt: skip
def test_what_cannot_be_read_is_told_anew(shop: Shop, rubbish: str) -> None:
    """A damaged entry costs time, not a past."""
    memory = Memory()
    first = _events(shop, memory)
    memory.kept = {
        key: rubbish if "events" in json.loads(text) else text for key, text in memory.kept.items()
    }
    assert _events(shop, memory) == first
