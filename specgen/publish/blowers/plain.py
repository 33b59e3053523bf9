"""Boost of the plain engine on a blower over its ratios, kept from build to build."""

from __future__ import annotations

import json
from collections.abc import Sequence

from specgen.analysis.planning.package import PlainEngine
from specgen.archive.model.build import Archive, Blower
from specgen.publish.store.shelf import Shelf
from specgen.publish.store.texts import blower_texts, settings_text


class PlainBoost:
    """What a blower's page draws of the plain engine; `shelf` keeps it from build to build."""

    def __init__(self, archive: Archive, blower: Blower, shelf: Shelf) -> None:
        self._plain = PlainEngine(archive, blower)
        self._rests_on = (settings_text(archive), *blower_texts(archive, blower))
        self._shelf = shelf

    def boosts(self, volume: float, ratios: Sequence[float], speed: float) -> list[float | None]:
        """Boost [Pa] for a swept volume [m3], ratios and speed [1/s]; None beyond what is known."""

        def worked_out() -> str:
            return json.dumps([self._plain.boost(volume, ratio, speed) for ratio in ratios])

        asked = ("plain engine", self._rests_on, float(volume), tuple(ratios), float(speed))
        found: list[float | None] = json.loads(self._shelf.text(asked, worked_out))
        return found
