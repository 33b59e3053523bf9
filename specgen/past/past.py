"""An archive's past: for each build, the changes that its figures went through.

Git is asked twice for a whole archive, once for its commits and once for the files of states that
nobody has worked out yet; what was worked out is kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from pathlib import Path

from specgen.archive.model.build import Archive, Build
from specgen.archive.past.blobs import blobs
from specgen.archive.past.commits import Commit, commits
from specgen.archive.past.git import NO_COMMIT, NO_REPOSITORY, NoHistory
from specgen.archive.reading import door
from specgen.archive.reading.source import LARGEST
from specgen.past import recounted
from specgen.past.chronicle import Event, events, method_events
from specgen.past.editions import edition_on_disk
from specgen.past.kept import Kept, read_kept
from specgen.past.known import Keeping, Known, Nowhere, known_then, remember, remembered
from specgen.past.rests_on import BUILD, SETTINGS, blower_of, settings_of
from specgen.past.states import State, states


class Past:
    """The past of the builds of an archive, worked out when it is asked for.

    `missing` says why there is none, or is empty.
    """

    def __init__(self, archive: Archive, keeping: Keeping | None = None) -> None:
        self.folder = Path(archive.root).resolve()
        self._archive = archive
        self._keeping = keeping or Nowhere()
        self._blowers: dict[str, str | None] = {}
        self._told: dict[str, tuple[Event, ...]] = {}
        self.missing = ""

    @classmethod
    def of_one(
        cls,
        archive: Archive,
        name: str,
        states: tuple[State, ...],
        kept: tuple[Kept, ...],
        keeping: Keeping,
    ) -> Past:
        """The past of one build whose states were found before, as `of` gives them."""
        past = cls(archive, keeping)
        past.states, past._kept = {name: states}, {name: kept}
        return past

    def of(self, name: str) -> tuple[tuple[State, ...], tuple[Kept, ...]]:
        """The states that a build went through, and what was kept of its figures."""
        return self.states.get(name, ()), self._kept.get(name, ())

    @cached_property
    def log(self) -> tuple[Commit, ...]:
        """All commits that touched the archive, oldest first; none where git has no history."""
        try:
            return commits(self.folder)
        except NoHistory as reason:
            self.missing = str(reason)
            return ()

    @property
    def hindered(self) -> str:
        """What keeps this machine from telling a past that the archive may have; "" for nothing."""
        of_the_archive = self.log or self.missing in (NO_REPOSITORY, NO_COMMIT)
        return "" if of_the_archive else self.missing

    @cached_property
    def states(self) -> Mapping[str, tuple[State, ...]]:
        """The states that each build went through, oldest first."""
        former = {it.id: [old.value for old in it.formerly] for it in self._archive.builds.values()}
        changes = [it for commit in self.log for it in commit.changes if it.blob is not None]
        files = {str(it.blob) for it in changes if it.path.endswith(f"/{BUILD}")}
        settings = {str(it.blob) for it in changes if it.path == SETTINGS}
        self._blowers = {key: blower_of(data) for key, data in self._read(files)}
        said = {key: settings_of(data) for key, data in self._read(settings)}
        return states(
            self.log, former, lambda blob: self._blowers.get(blob), lambda blob: said.get(blob, "")
        )

    def unknown(self, keeping: Keeping) -> int:
        """How many states of builds are still to be worked out; each costs about a sheet."""
        return sum(
            remembered(keeping, state.key) is None
            for build in self._archive.builds.values()
            if not self._keeps_back(build) and not self._is_recounted(build.id, keeping)
            for state in self.states.get(build.id, ())
        )

    def _is_recounted(self, build: str, keeping: Keeping) -> bool:
        name = recounted.name_of(*self.of(build))
        return recounted.remembered(keeping, name) is not None

    def uncommitted(self) -> tuple[str, ...]:
        """The builds whose figures rest on files that are others than in the newest commit."""
        if not any(self.states.values()):
            return ()
        now = edition_on_disk(self.folder)
        return tuple(
            name
            for name, found in self.states.items()
            if found and name in now.builds and now.key(name) != found[-1].key
        )

    @cached_property
    def _kept(self) -> Mapping[str, tuple[Kept, ...]]:
        return read_kept(self.folder)

    def events(self, build: Build) -> tuple[Event, ...]:
        """The changes of a build, oldest first; without figures where something is kept private."""
        if build.id not in self._told:
            self._told[build.id] = tuple(map(self._without_private, self._events(build)))
        return self._told[build.id]

    def _events(self, build: Build) -> Iterator[Event]:
        found = self.states.get(build.id, ())
        if self._keeps_back(build):
            for it in found:
                yield Event(it.commit.date, it.commit.revision, (), it.commit.subject, ())
            return
        yield from self._recounted(build.id, found)

    def _recounted(self, build: str, found: tuple[State, ...]) -> tuple[Event, ...]:
        """The changes of a build as they were told before; told anew where nothing was kept."""
        name = recounted.name_of(*self.of(build))
        before = recounted.remembered(self._keeping, name)
        if before is not None:
            return before
        known = self._known(found)
        told = (*events(found, lambda state: known[state.key]), *self._by_method(build, known))
        recounted.remember(self._keeping, name, told)
        return told

    def _without_private(self, event: Event) -> Event:
        """Give a change without what was said of it where that tells what is private."""
        said = event.why.casefold()
        if any(word.casefold() in said for word in self._archive.private):
            return replace(event, why="A change whose description is not published")
        return event

    def _by_method(self, build: str, known: Mapping[str, Known]) -> tuple[Event, ...]:
        """What later methods made of the newest files that figures were kept for."""
        kept = [it for it in self._kept.get(build, ()) if it.state in known]
        newest = [it.state for it in kept][-1:]
        now = known[newest[0]].figures if newest else None
        same = [(it.method, it.known.figures) for it in kept
                if it.state in newest and it.known.figures is not None]  # fmt: skip
        return method_events(same, now) if now is not None else ()

    def _keeps_back(self, build: Build) -> bool:
        """Whether what is published of a build is less than its file says."""
        if not self._archive.private:
            return False
        file = f"{build.id}/{BUILD}"
        try:
            there = door.read(self.folder, self.folder / file, LARGEST)
            return there != self._archive.sources[file].encode("utf-8")
        except (door.Refused, KeyError):
            return True

    def _known(self, found: Iterable[State]) -> dict[str, Known]:
        """What is known of each state, by its key; what is not kept is worked out."""
        by_key = {state.key: state for state in found}
        known = {key: it for key in by_key
                 if (it := remembered(self._keeping, key)) is not None}  # fmt: skip
        missing = [state for key, state in by_key.items() if key not in known]
        data = dict(self._read(blob for state in missing for blob in _ids(state)))
        for state in missing:
            known[state.key] = known_then(state.name, files_of(state, data))
            remember(self._keeping, state.key, known[state.key])
        return known

    def _read(self, ids: Iterable[str]) -> Iterator[tuple[str, bytes]]:
        try:
            yield from blobs(self.folder, ids)
        except NoHistory as reason:
            self.missing = str(reason)


def _ids(state: State) -> Iterator[str]:
    yield from (*state.own.values(), *state.shared.values(), *state.beside.values())


def files_of(state: State, data: Mapping[str, bytes]) -> dict[str, bytes]:
    """The files of a state by path from the archive's folder, as far as their bytes are there."""
    room = {**state.own, **state.beside}
    found = {f"{state.name}/{path}": blob for path, blob in room.items()} | dict(state.shared)
    return {path: data[blob] for path, blob in found.items() if blob in data}
