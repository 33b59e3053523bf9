"""Readers who follow links of a served site and note of each page whether it was whole."""

from __future__ import annotations

import hashlib
import http.client
import posixpath
import random
import re
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import unquote, urlsplit

from specgen.publish.delivery.manifest import Manifest
from tests.site.conftest import served

_LOADS = re.compile(
    r"""<(?:script|img|link rel=["']?(?:stylesheet|icon)["']?)\b[^>]*?"""
    r"""\b(?:src|href)=["']?([^"'\s>]+)"""
)
_LINKS = re.compile(r"""<a\b[^>]*?\bhref=["']?([^"'\s>#?]+)""")
_POLICY = 'http-equiv="Content-Security-Policy"'


@dataclass
class Reader:
    """Looks at pages one after the other: a page, then all that it loads."""

    host: str
    states: Sequence[Manifest]
    chance: random.Random
    looks: int = 0
    faults: list[str] = field(default_factory=list)

    def look(self, address: str) -> str:
        """Look at one page and all it loads; give a link of it to follow."""
        status, body = self._fetched(address)
        self.looks += 1
        if status != 200:
            self.faults.append(f"{address}: status {status}")
            return ""
        text = body.decode("utf-8", "replace")
        if _POLICY not in text:
            self.faults.append(f"{address}: not sealed")
        seen = {_name(address): hashlib.sha256(body).hexdigest()}
        for load in dict.fromkeys(_LOADS.findall(text)):
            name = _resolved(address, load)
            if name is not None:
                status, data = self._fetched(name)
                seen[_name(name)] = f"{status}" if status != 200 else _digest(data)
        if not any(self._is_of(seen, state) for state in self.states):
            odd = [f"{name} {digest[:6]}" for name, digest in seen.items()]
            self.faults.append(f"{address} with what it loads is of no state: {odd}")
        links = [_resolved(address, link) for link in _LINKS.findall(text)]
        pages = [link for link in links if link is not None and link.endswith("/")]
        return self.chance.choice(pages) if pages else ""

    @staticmethod
    def _is_of(seen: dict[str, str], state: Manifest) -> bool:
        return all(state.files.get(name) == digest for name, digest in seen.items())

    def _fetched(self, address: str) -> tuple[int, bytes]:
        connection = http.client.HTTPConnection(self.host, timeout=20)
        try:
            connection.request("GET", f"/{address}")
            answer = connection.getresponse()
            return answer.status, answer.read()
        except (OSError, http.client.HTTPException) as problem:
            return 0, repr(problem).encode()
        finally:
            connection.close()


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _name(address: str) -> str:
    return unquote(address + "index.html" if address.endswith("/") or not address else address)


def _resolved(page: str, link: str) -> str | None:
    """Where a link of a page leads on this site."""
    parts = urlsplit(link)
    if parts.scheme or parts.netloc or not parts.path:
        return None
    way = posixpath.normpath(posixpath.join("/", page, parts.path)).lstrip("/")
    return f"{way}/" if parts.path.endswith(("/", ".")) and way else way


@contextmanager
def reading(
    folder: Path, states: Sequence[Manifest], chance: random.Random, count: int = 2
) -> Iterator[list[Reader]]:
    """Serve a folder and let readers look at it without a pause."""
    with served(folder) as home:
        host = urlsplit(home).netloc
        readers = [Reader(host, states, random.Random(chance.random())) for _ in range(count)]
        done = threading.Event()

        def read(reader: Reader) -> None:
            address = ""
            while not done.is_set():
                address = reader.look(address)

        threads = [threading.Thread(target=read, args=(it,), daemon=True) for it in readers]
        for thread in threads:
            thread.start()
        try:
            yield readers
        finally:
            done.set()
            for thread in threads:
                thread.join()
