"""One entry of a search index, in the form that the themes' index files have."""

from __future__ import annotations

import html
import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from specgen.publish.addresses import served


@dataclass(frozen=True, slots=True)
class Entry:
    """What is found under an address: plain texts.

    Words of the title weigh more than those of the text, and `labels` more than either: they are
    what somebody asks for who knows what he wants, such as a fuel, a size, a blower. A reader sees
    all three. `weight` is what the whole entry counts beside others.
    """

    address: str
    title: str
    text: str
    labels: tuple[str, ...] = ()
    anchor: str = ""
    weight: float = 1.0

    def data(self, folders: bool) -> dict[str, Any]:
        """The entry as an index holds it: texts as HTML, the address as it is served."""
        place = served(self.address, folders) + (f"#{self.anchor}" if self.anchor else "")
        found: dict[str, Any] = {
            "location": place,
            "title": html.escape(self.title, quote=False),
            "text": html.escape(self.text, quote=False),
        }
        if self.labels:
            found["tags"] = list(self.labels)
        return found if self.weight == 1.0 else {**found, "boost": self.weight}


def merged(index: str, entries: Iterable[Entry], folders: bool) -> str:
    """Put entries into the text of an index, in the place of what it has of their pages.

    ValueError if the text is no such index.
    """
    data = json.loads(index)
    if not isinstance(data, dict) or not isinstance(data.get("docs"), list):
        raise ValueError("no list of docs: not an index of a kind that is known")
    own = [entry.data(folders) for entry in entries]
    pages = {_page(entry) for entry in own}
    data["docs"] = [it for it in data["docs"] if _page(it) not in pages] + own
    data.pop("index", None)  # built from the docs as they were; without it a browser builds one
    return json.dumps(data, separators=(",", ":"))


def _page(entry: dict[str, Any]) -> str:
    """The page that an entry leads to."""
    return str(entry["location"]).partition("#")[0]


def shortened(text: str, most: int) -> str:
    """The beginning of a text, cut between words, at most so many bytes in UTF-8."""
    if len(text.encode("utf-8")) <= most:
        return text
    start = text.encode("utf-8")[:most].decode("utf-8", "ignore")
    return start.rpartition(" ")[0] or start
