"""All builds of an archive: out of the store where nothing changed, made where something did."""

from __future__ import annotations

import shutil
import tempfile
import weakref
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import NamedTuple

from specgen.analysis.words import title_words
from specgen.archive.model.build import Archive
from specgen.findings import Finding
from specgen.past.past import Past
from specgen.publish import addresses
from specgen.publish.making import kept, workers
from specgen.publish.making.build import NOTHING, Before, MadeBuild, Parts, made_build
from specgen.publish.making.extract import Extract
from specgen.publish.making.item import Content, Item
from specgen.publish.making.workers import Job
from specgen.publish.sheet.page import Neighbour, Surroundings
from specgen.publish.store.store import Store
from specgen.publish.store.texts import blower_texts, settings_text


class Made(NamedTuple):
    """What is published of a build, and what other pages say of it; a fault if it was not made."""

    items: tuple[Item, ...]
    extract: Extract | None
    fault: Finding | None


@dataclass(eq=False)
class Makings:
    """The builds of an archive on their way to becoming files.

    `store` is where made builds are kept, none for a folder of this object's own that goes with
    it; `processes` how many make them, 0 for as many as the machine has cores; `edit_link` and the
    rest as in `Site`; `past` is what git knows. `tell` hears the address of each as it is done.
    """

    archive: Archive
    folders: bool
    site_url: str
    edit_link: Callable[[str], str | None]
    store: Store | None = None
    processes: int = 1
    tell: Callable[[str], None] = field(default=lambda _address: None)
    past: Past | None = None
    stands_in: Callable[[str], tuple[tuple[str, str], ...]] = field(default=lambda _build: ())
    _keys: dict[str, str] = field(default_factory=dict)

    @cached_property
    def _spare(self) -> Store:
        """Where what the store does not take lies until this object goes."""
        folder = tempfile.mkdtemp(prefix="specgen-made-")
        weakref.finalize(self, shutil.rmtree, folder, ignore_errors=True)
        return Store(Path(folder))

    @property
    def _stores(self) -> list[Store]:
        return [self._spare] if self.store is None else [self.store, self._spare]

    def _before(self, name: str) -> Before:
        """What git knows of a build."""
        return self.past.of(name) if self.past is not None else NOTHING

    def _key(self, name: str) -> str:
        """The hash of all that a build rests on."""
        if name not in self._keys:
            settings = settings_text(self.archive)
            part = self._parts.of(name)
            before, blower = self._before(name), self._blower_text(name)
            key = kept.key_of(part, self.around(name), before, settings, blower)
            self._keys[name] = key
        return self._keys[name]

    def _blower_text(self, name: str) -> str:
        """The texts of a build's blower and of its map."""
        given = self.archive.builds[name].induction.blower
        blower = self.archive.blowers.get(given.value) if given else None
        return "\0".join(blower_texts(self.archive, blower))

    def around(self, name: str) -> Surroundings:
        """What a build's pages need to know of the site around them."""
        at = self._order[name]
        return Surroundings(
            self.folders,
            self._neighbour(at - 1),
            self._neighbour(at + 1),
            self.edit_link(self.archive.builds[name].place.file) or "",
            self.site_url,
            editions=self.stands_in(name),
        )

    @cached_property
    def _parts(self) -> Parts:
        return Parts(self.archive)

    @cached_property
    def _ids(self) -> tuple[str, ...]:
        return tuple(self.archive.builds)

    @cached_property
    def _order(self) -> Mapping[str, int]:
        return {name: at for at, name in enumerate(self._ids)}

    def _neighbour(self, at: int) -> Neighbour | None:
        if not 0 <= at < len(self._ids):
            return None
        build = self.archive.builds[self._ids[at]]
        return Neighbour(build.id, title_words(build))

    @cached_property
    def made(self) -> Mapping[str, Made]:
        """Every build by id, in the archive's order."""
        found = {name: self._found(name) for name in self.archive.builds}
        missing = [name for name, made in found.items() if made is None]
        for name in found:
            if found[name] is not None:
                self.tell(addresses.build(name))
        for name, fault in workers.run(self._jobs(missing), len(missing), self.processes):
            there = None if fault else self._found(name)
            found[name] = there or self._here(name)  # which holds what no folder takes
            self.tell(addresses.build(name))
        return {name: made for name, made in found.items() if made is not None}

    def renewed(self, before: Mapping[str, Made], names: Collection[str]) -> Mapping[str, Made]:
        """Every build, of which only those named are made or looked for again."""
        return {
            name: (name not in names and before.get(name)) or self._found(name) or self._kept(name)
            for name in self.archive.builds
        }

    def _kept(self, name: str) -> Made:
        """A build made here, and kept where it can be."""
        made = self._made(name)
        if made.extract is not None:
            self._keep(name, made)
        return Made(made.items, made.extract, made.fault)

    def _keep(self, name: str, made: MadeBuild) -> None:
        _ = any(kept.keep(store, self._key(name), made) for store in self._stores)

    def _jobs(self, names: list[str]) -> Iterator[Job]:
        folders = tuple(str(store.folder) for store in self._stores)
        for name in names:
            part = self._parts.of(name)
            yield Job(name, self._key(name), part, self.around(name), self._before(name), folders)

    def _found(self, name: str) -> Made | None:
        """A build out of the store, or of the spare one."""
        for store in self._stores:
            there = kept.found(store, self._key(name), lambda address: self._again(name, address))
            if there is not None:
                return Made(*there, None)
        return None

    def _here(self, name: str) -> Made:
        """A build made here and held in memory."""
        made = self._made(name)
        return Made(made.items, made.extract, made.fault)

    def _made(self, name: str) -> MadeBuild:
        before, store = self._before(name), self._stores[0]
        return made_build(self._parts.of(name), self.around(name), before, store)

    def _again(self, name: str, address: str) -> Content:
        """One file of a build whose entry has gone since: the build is made once more."""
        made = self._made(name)
        self._keep(name, made)
        return next(item.content for item in made.items if item.address == address)
