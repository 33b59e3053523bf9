"""One delivery, from an empty stage beside the target to the sealed folder in its place.

Until the last step nothing of the target is touched, and a delivery that is broken off, or killed,
leaves it as it was; what a killed one left beside it is cleared by the next.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from pathlib import Path

from specgen.publish.delivery import lock, manifest, swap, targets
from specgen.publish.delivery.targets import Refused, Target

#: How long a build waits for another that is at work on the same folder, in seconds.
PATIENCE = 600.0
_LOADED = (".css", ".js")


class Delivery:
    """A folder being made beside the target that it will take the place of.

    `stage` is where to write. End with `publish` or `abandon`.
    """

    def __init__(self, target: Target, tell: Callable[[str], None], wait: float = PATIENCE) -> None:
        """Lock the target and begin an empty stage. Refused or Busy if that must not be."""
        self._target = target
        self._open = ExitStack()
        self._ended = False
        targets.survey(target, closely=False)
        beside = _beside(target.folder)
        self.stage = beside.with_name(f"{beside.name}-new")
        try:
            self._open.enter_context(lock.held(beside.with_name(f"{beside.name}-lock"), wait, tell))
            targets.survey(target, closely=False)  # whoever had the lock may have changed it
            _begin(self.stage)
        except BaseException:
            self._open.close()
            raise

    def publish(self, versions: Mapping[str, str], revision: str = "", history: str = "") -> None:
        """Seal the stage and put it in the target's place. Refused if the target has changed."""
        self._ended = True
        with self._open:
            try:
                found = targets.survey(self._target, closely=False)
                for name in found.kept:
                    (self.stage / name).unlink(missing_ok=True)
                kept = self._names_of_the_build_before(found)
                sealed = manifest.of_folder(self.stage, kept, versions, revision, history)
                manifest.write(sealed, self.stage / manifest.MANIFEST)
                found = targets.survey(self._target)
                swap.into_place(self.stage, self._target.folder, found)
            except BaseException:
                swap.clear(self.stage)
                raise

    def abandon(self) -> None:
        """Leave the target as it is, and nothing beside it. Without effect after the end."""
        if self._ended:
            return
        self._ended = True
        with self._open:
            swap.clear(self.stage)

    def _names_of_the_build_before(self, found: targets.Found) -> frozenset[str]:
        """Keep what pages of the build before load, for who has such a page open; name it."""
        before = found.manifest.kept if found.manifest else frozenset()
        kept = set()
        for name in found.ours - before:
            place = self.stage / name
            if not name.endswith(_LOADED) or place.exists():
                continue
            place.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(self._target.folder / name, place)
            kept.add(name)
        return frozenset(kept)


def _begin(stage: Path) -> None:
    """Make an empty folder that is known as ours; clear what a killed build left there."""
    swap.clear(stage)
    try:
        stage.mkdir(parents=True)
    except FileExistsError as problem:
        raise Refused(f"{stage} is in the way and not of specgen; move it away") from problem
    manifest.mark(stage)


def _beside(folder: Path) -> Path:
    """Where the stage and the lock of a folder lie, as the beginning of their names.

    Beside it, so that one rename is enough; where nothing can be written there, in the system's
    folder for what is temporary, under a name that every build of that folder gives.
    """
    near = next(parent for parent in folder.parents if parent.exists())
    if os.access(near, os.W_OK):
        folder.parent.mkdir(parents=True, exist_ok=True)
        return folder.with_name(f".{folder.name}.specgen")
    digest = hashlib.sha256(str(folder).encode("utf-8")).hexdigest()[:16]
    return Path(tempfile.gettempdir(), f"specgen-{digest}")
