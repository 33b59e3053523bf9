"""Boost of the plain engine on a blower, worked out once for each size, ratio and speed."""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import cached_property

from specgen.analysis.planning.package import SPEED, PlainEngine
from specgen.archive.model.build import Archive, Blower
from specgen.publish.store.shelf import Shelf

#: The file whose text every estimate rests on.
_SETTINGS = "archive.yaml"


class PlainBoost:
    """What a blower's page says of the plain engine; `shelf` keeps it from build to build."""

    def __init__(self, archive: Archive, blower: Blower, shelf: Shelf) -> None:
        self._archive = archive
        self._blower = blower
        self._shelf = shelf

    def boost(self, volume: float, ratio: float, speed: float = SPEED) -> float | None:
        """Boost [Pa] for a swept volume [m3] and speed [1/s]; None beyond what is known."""
        return self.boosts(volume, (ratio,), speed)[0]

    def boosts(
        self, volume: float, ratios: Sequence[float], speed: float = SPEED
    ) -> list[float | None]:
        """The same for several ratios."""
        asked = tuple(float(ratio) for ratio in ratios)

        def worked_out() -> str:
            return json.dumps([self._plain.boost(volume, ratio, speed) for ratio in asked])

        rests_on = (self._rests_on, float(volume), asked, float(speed))
        found: list[float | None] = json.loads(self._shelf.text(rests_on, worked_out))
        return found

    @cached_property
    def _plain(self) -> PlainEngine:
        return PlainEngine(self._archive, self._blower)

    @cached_property
    def _rests_on(self) -> tuple[str, ...]:
        """The texts of the settings, of the blower's file and of its map."""
        files = [_SETTINGS, self._blower.place.file]
        if self._blower.performance is not None:
            files.append(f"blowers/{self._blower.performance.value}")
        return tuple(self._archive.sources.get(file, "") for file in files)
