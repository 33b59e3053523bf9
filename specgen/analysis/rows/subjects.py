"""What the rows of a scope are about, and the way from one of these to a value that was written.

A way is written "subject.field.field", several of which may be parted by |. One that names no
field of the archive's objects is refused when its rule is made, not when a sheet is.
"""

from __future__ import annotations

import dataclasses
import functools
import typing
from dataclasses import dataclass

from specgen.analysis.rows.row import Array
from specgen.archive.model.build import Blower, Build, Given, Pull, Session, Settings, Setup
from specgen.archive.model.outing import Outing
from specgen.physics.blower_map import BlowerMap


@dataclass(frozen=True, slots=True)
class Subjects:
    """What a scope speaks of; None where it does not.

    `blower_map` is the blower's measured map for the physics; `speeds` are the engine speeds
    [rev/s] that a setup is estimated at, where they are not those of the whole range.
    """

    settings: Settings | None = None
    build: Build | None = None
    blower: Blower | None = None
    blower_map: BlowerMap | None = None
    session: Session | None = None
    setup: Setup | None = None
    pull: Pull | None = None
    outing: Outing | None = None
    speeds: Array | None = None

    def or_else(self, other: Subjects) -> Subjects:
        """These, and another's where these have none."""
        pairs = {
            item.name: mine if (mine := getattr(self, item.name)) is not None
            else getattr(other, item.name)
            for item in dataclasses.fields(self)
        }  # fmt: skip
        return Subjects(**pairs)

    def given(self, paths: str) -> Given[typing.Any] | None:
        """The first value that was written at one of some paths."""
        found = (self._followed(path) for path in paths.split("|"))
        return next((value for value in found if isinstance(value, Given)), None)

    def _followed(self, path: str) -> object:
        """Follow a path; None where it ends early because nothing was written."""
        found: object = self
        for name in path.split("."):
            found = getattr(found, name) if found is not None else None
        return found


def check_paths(paths: str) -> None:
    """Refuse paths that no field of the archive's objects has; ValueError names the step."""
    for path in paths.split("|"):
        owner: object = Subjects
        for name in path.split("."):
            fields = _fields(owner) if isinstance(owner, type) else {}
            if name not in fields:
                raise ValueError(f'"{path}": nothing of {owner} is called "{name}"')
            owner = fields[name]
        if typing.get_origin(owner) is not Given:
            raise ValueError(f'"{path}" ends at {owner}, which is no single value')


@functools.cache
def _fields(owner: type) -> dict[str, object]:
    """The fields of an object of the archive with what each holds when it is there."""
    if not dataclasses.is_dataclass(owner):
        return {}
    hints = typing.get_type_hints(owner)
    return {item.name: _present(hints[item.name]) for item in dataclasses.fields(owner)}


def _present(hint: object) -> object:
    """What a field holds where it is not None."""
    parts = [part for part in typing.get_args(hint) if part is not type(None)]
    return parts[0] if type(None) in typing.get_args(hint) else hint
