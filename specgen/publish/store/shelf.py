"""Texts that rest on nothing but what they are asked with, kept from one build to the next."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from specgen.publish.store.method import method
from specgen.publish.store.store import Store

_TEXT = "text"


@dataclass(frozen=True)
class Shelf:
    """A way to make a text once; without a store it is made each time it is asked for."""

    store: Store | None = None

    def text(self, rests_on: Sequence[object], make: Callable[[], str]) -> str:
        """Give a text, made or found; `rests_on` is all that it depends on beside the program.

        Each of these must have a `repr` that tells all of it, and the same in every process.
        """
        if self.store is None:
            return make()
        told = repr((method(), *rests_on)).encode("utf-8", "surrogatepass")
        key = hashlib.sha256(told).hexdigest()
        data = self.store.member(key, _TEXT)
        if data is not None:
            return data.decode("utf-8")
        text = make()
        self.store.keep(key, {}, {_TEXT: text.encode("utf-8")})
        return text
