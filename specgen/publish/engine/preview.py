"""The preview's answer to a change: the edited builds' pages at once, what sums them up after.

Reading everything and writing every page again is the engine's own answer, and stays the one for
any other change: pages by hand, settings, blowers, builds that come or go.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from jinja2 import Environment
from mkdocs.commands.build import _build_page, _populate_page
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page

from specgen.archive.archive import renewed
from specgen.archive.model.build import Archive
from specgen.publish.engine.made import MadeFile, MadePage
from specgen.publish.engine.surroundings import log, report
from specgen.publish.making.item import Item
from specgen.publish.site import Site

#: More builds than this are made sooner by the engine's own answer, in several processes.
_MANY = 12
#: File by its path, with what tells one state of it from the next.
Look = Mapping[str, tuple[int, int]]


@dataclass
class Built:
    """What the last whole build has left, and what was changed in it since.

    `archive` is as it was read; `marked` are hand-written pages with figures of builds in them.
    """

    config: MkDocsConfig
    files: Files
    nav: Navigation
    env: Environment
    archive: Archive
    site: Site
    marked: Collection[Page] = ()


class Preview:
    """Takes the place of the engine's builder.

    `whole` is that builder, `built` gives what it has left last, and `finish` seals written pages
    and, if asked, has the search know of all; `add` makes a file of an item that is new.
    """

    def __init__(
        self,
        whole: Callable[[], None],
        built: Callable[[], Built],
        finish: Callable[[list[Path], bool], None],
        add: Callable[[Item], MadeFile | None],
    ) -> None:
        self._whole = whole
        self._built = built
        self._finish = finish
        self._add = add
        self._busy = threading.Lock()
        self._seen = self._look()

    def __call__(self) -> None:
        """Answer a change of whatever is watched."""
        with self._busy:  # what sums up may be at work still
            before, self._seen = self._seen, self._look()
            names = self._edited(before)
            if names is None:
                self._whole()
                self._seen = self._look()
                return
            if names:
                self._replace(names)
        if names:
            threading.Thread(target=self._sum_up, daemon=True).start()

    def _look(self) -> Look:
        built = self._built()
        places = [built.archive.root, built.config.docs_dir, built.config.theme.custom_dir]
        found = {path: state for place in places if place for path, state in _states(place)}
        settings = built.config.config_file_path or ""
        return {**found, settings: _state(Path(settings))}

    def _edited(self, before: Look) -> set[str] | None:
        """The builds whose files changed; None where anything else did."""
        root, now = self._built().archive.root, self._seen
        names = set()
        for path in {it for it in before.keys() | now.keys() if before.get(it) != now.get(it)}:
            name = Path(os.path.relpath(path, root)).parts[0]
            build = str(Path(root, name, "build.yaml"))
            if build not in before or build not in now:
                return None
            names.add(name)
        return names if len(names) <= _MANY else None

    def _replace(self, names: set[str]) -> None:
        """Read and make these builds again, and write what is of them."""
        built = self._built()
        built.archive = renewed(built.archive, names)
        built.site = built.site.renewed(built.archive, names)
        mine = [it for it in built.site.faults() if it.place.file.partition("/")[0] in names]
        report(built.archive, mine, names)
        self._write(built, [item for name in sorted(names) for item in built.site.of_build(name)])
        log.info("Made again: %s", ", ".join(sorted(names)))

    def _sum_up(self) -> None:
        """Write what stands of the builds on other pages, as far as it changed."""
        with self._busy:
            built = self._built()
            try:
                self._write(
                    built, _changed(built.files, built.site.summing_up()), built.marked, whole=True
                )
            except Exception as problem:  # the preview goes on, with these pages as they were
                log.error("The pages that sum up are as they were: %s", problem)

    def _write(
        self,
        built: Built,
        items: Iterable[Item],
        marked: Iterable[Page] = (),
        *,
        whole: bool = False,
    ) -> None:
        pages = list(marked)
        for item in items:
            file = built.files.get_file_from_path(item.address) or self._add(item)
            if not isinstance(file, MadeFile):  # somebody has written it by hand
                continue
            file.take(item)
            if isinstance(file.page, MadePage):
                file.page.take(item)
                pages.append(file.page)
            else:
                file.copy_file()
        documents = built.files.documentation_pages()
        for page in pages:
            _populate_page(page, built.config, built.files)
            _build_page(page, built.config, documents, built.nav, built.env)
        self._finish([Path(page.file.abs_dest_path) for page in pages], whole)


def _changed(files: Files, items: Iterable[Item]) -> Iterator[Item]:
    """The items that say something else than what is there."""
    for item in items:
        file = files.get_file_from_path(item.address)
        content = item.content
        data = content.encode("utf-8") if isinstance(content, str) else content
        if file is None or file.content_bytes != data:
            yield item


def _states(folder: str) -> Iterator[tuple[str, tuple[int, int]]]:
    """Every file of a folder with the time it was written and its size."""
    try:
        entries = list(os.scandir(folder))
    except OSError:
        return
    for entry in entries:
        if entry.is_dir():
            yield from _states(entry.path)
        else:
            yield entry.path, _state(entry)


def _state(file: Path | os.DirEntry[str]) -> tuple[int, int]:
    """When a file was written and how large it is; zeros for one that has gone."""
    try:
        there = file.stat()
    except OSError:
        return 0, 0
    return there.st_mtime_ns, there.st_size
