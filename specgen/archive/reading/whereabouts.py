"""From a place in a file to the value that stands there: the way back from a finding."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from functools import cached_property

from specgen.archive.reading.source import Document, TreePath
from specgen.findings import Place


class Whereabouts:
    """The values of one document by where they begin."""

    def __init__(self, document: Document) -> None:
        self._document = document

    @cached_property
    def _spots(self) -> Sequence[tuple[Place, TreePath]]:
        spots = self._document.spots.items()
        return sorted((min(spot.key, spot.place), path) for path, spot in spots)

    @cached_property
    def _places(self) -> list[Place]:
        return [place for place, _ in self._spots]

    def path_of(self, place: Place) -> TreePath:
        """Give the path of the value that a place of this document belongs to."""
        at = bisect_right(self._places, place)
        return self._spots[at - 1][1] if at else ()
