"""Made builds in the store: what an entry's name rests on, and how it is laid out."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable
from dataclasses import asdict
from pathlib import Path
from typing import Any

from specgen.archive.model.build import Archive
from specgen.past.states import State
from specgen.publish.making.build import Before, MadeBuild
from specgen.publish.making.extract import Extract, plain, remade
from specgen.publish.making.item import Content, Item
from specgen.publish.search.entry import Entry
from specgen.publish.sheet.page import Surroundings
from specgen.publish.store.method import method
from specgen.publish.store.store import Store

#: What stands in an item beside its content.
_TOLD = ("address", "title", "source", "description", "leaf", "date", "picture", "linked", "mark")


def key_of(part: Archive, around: Surroundings, before: Before, settings: str, blower: str) -> str:
    """The hash of all that a build's files are made from.

    `settings` and `blower` are the texts of archive.yaml, and of the blower's file and map.
    """
    (build,) = part.builds.values()
    rests_on = {
        "method": method(),
        "settings": settings,
        "blower": blower,
        "sources": dict(sorted(part.sources.items())),
        "findings": [asdict(item) for item in part.findings],
        "private": part.private,
        "pictures": [_picture(Path(part.root, build.id, it.file.value)) for it in build.pictures],
        "states": [_state(state) for state in before[0]],
        "kept": repr(before[1]),
        "around": {name: getattr(around, name) for name in _AROUND},
    }
    text = json.dumps(rests_on, ensure_ascii=False, sort_keys=True)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


_AROUND = ("folders", "before", "after", "edit", "site_url", "editions")


def _state(state: State) -> list[str]:
    commit = state.commit
    return [state.key, state.name, commit.revision, str(commit.date), commit.text]


def _picture(file: Path) -> str:
    try:
        return hashlib.sha256(file.read_bytes()).hexdigest()
    except OSError:
        return "not there"


def keep(store: Store, key: str, made: MadeBuild) -> bool:
    """Write a made build into a store; False where that cannot be done."""
    told = {
        "items": [_told(item) for item in made.items],
        "extract": plain(made.extract) if made.extract else None,
    }
    members = {item.address: _bytes(item.content) for item in made.items}
    return store.keep(key, told, members)


def _told(item: Item) -> dict[str, Any]:
    told = {name: getattr(item, name) for name in _TOLD}
    entry = plain(item.entry) if item.entry else None
    return {**told, "entry": entry, "text": isinstance(item.content, str)}


def _bytes(content: Content) -> bytes:
    return content.encode("utf-8") if isinstance(content, str) else content


def found(
    store: Store, key: str, again: Callable[[str], Content]
) -> tuple[tuple[Item, ...], Extract] | None:
    """A made build's items and extract out of a store; None where it is not there.

    What an item holds is read when it is asked for; `again` gives it by its address where that
    fails, since somebody may empty a store at any time.
    """
    told = store.head(key)
    if told is None or not told.get("extract"):
        return None
    try:
        items = tuple(_items(store, key, told["items"], again))
        return items, remade(Extract, told["extract"])
    except (KeyError, TypeError, ValueError):
        return None


def _items(
    store: Store, key: str, told: Iterable[dict[str, Any]], again: Callable[[str], Content]
) -> Iterable[Item]:
    for each in told:
        entry = remade(Entry, each["entry"]) if each["entry"] else None
        given = _loader(store, key, each["address"], bool(each["text"]), again)
        yield Item(given=given, entry=entry, **{name: each[name] for name in _TOLD})


def _loader(
    store: Store, key: str, address: str, text: bool, again: Callable[[str], Content]
) -> Callable[[], Content]:
    def load() -> Content:
        data = store.member(key, address)
        if data is None:
            return again(address)
        return data.decode("utf-8") if text else data

    return load
