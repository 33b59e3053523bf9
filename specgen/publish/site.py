"""The site as plain (address, content) pairs; whoever builds HTML from them is not known here.

Everything a reader sees is made below this door without a site engine, so that an engine that
ends can be exchanged: `plugin` hands the items to one engine, `export` writes them to a folder.
"""

from __future__ import annotations

import datetime
import difflib
import hashlib
import re
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.accuracy import Accuracy, summed
from specgen.archive.model.build import Archive, Settings
from specgen.archive.published import published
from specgen.findings import Finding, in_order
from specgen.past.past import Past
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.assets import assets
from specgen.publish.blowers.pages import blower_page, blowers_page, builds_with
from specgen.publish.browse.builds import SNIPPETS, Listed, Missing, builds_page
from specgen.publish.browse.home import home_page
from specgen.publish.compare.data import index_script
from specgen.publish.compare.page import compare_page
from specgen.publish.estimate.data import Estimates
from specgen.publish.estimate.page import estimate_page, estimate_parts
from specgen.publish.find.combos import combos_script
from specgen.publish.find.page import find_page
from specgen.publish.making.extract import Extract
from specgen.publish.making.item import Item
from specgen.publish.making.makings import Made, Makings
from specgen.publish.reference.accepted import accepted_page
from specgen.publish.reference.accuracy import Compared, accuracy_page
from specgen.publish.reference.same_everywhere import SAME_EVERYWHERE
from specgen.publish.search.entries import blower_entry
from specgen.publish.search.entry import Entry
from specgen.publish.share.mark import mark, own_styles
from specgen.publish.sheet import left_out
from specgen.publish.store.shelf import Shelf
from specgen.publish.store.store import Store
from specgen.publish.takeaway import package
from specgen.publish.takeaway.feed import feed
from specgen.publish.typesetting.blocks import Switch
from specgen.publish.typesetting.page import wrapped
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.publish.years.page import years_page
from specgen.vocabulary import System, printed_in

_MARKER = re.compile(r"<!--\s*specgen:\s*([\w-]*)\s*-->")


#: The dates that packed files can bear, whatever the archive's: 1980 to 2100, in seconds of 1970.
_FIRST_STAMP, LAST_STAMP = 315_532_800, 4_102_444_800


class SameAddress(ValueError):  # noqa: N818 - named for what it tells
    """Two files of the site would have one address; the text names it."""


def no_words(_address: str) -> None:
    """Stand in where nobody waits for what was done."""


def in_none(_build: str) -> tuple[tuple[str, str], ...]:
    """Stand in where a site has no editions."""
    return ()


def no_edit_link(_file: str) -> str | None:
    """Stand in where nobody knows where the archive's files are edited."""
    return None


@dataclass(frozen=True, slots=True)
class Footer(Context):
    """What stands at the foot of every page.

    `settings`: those of the archive.
    """

    template: ClassVar[str] = "typesetting/footer.jinja"
    settings: Settings


@dataclass(frozen=True, slots=True)
class Redirect(Context):
    """A page that leads to a new address.

    `title`: what stands there; `href`: the way to it.
    """

    template: ClassVar[str] = "typesetting/redirect.jinja"
    title: str
    href: str


@dataclass
class Site:
    """An archive on its way to becoming pages; what is private in it stays behind.

    `folders` says whether pages are served as folders; `edit_link` turns a file of the archive
    into the address where it is edited; `site_url` is printed on paper. `store` is where made
    builds are kept, `processes` how many make them, 0 for one a core; `tell` hears of each.
    `stands_in` gives the editions that a build stands in: name, and address of its sheet there.
    Where it is an earlier edition, `newest` is the archive as it stands now, which says what is
    private.
    """

    archive: Archive
    folders: bool = True
    edit_link: Callable[[str], str | None] = field(default=no_edit_link)
    site_url: str = ""
    store: Store | None = None
    processes: int = 1
    tell: Callable[[str], None] = field(default=no_words)
    stands_in: Callable[[str], tuple[tuple[str, str], ...]] = field(default=in_none)
    newest: Archive | None = None

    def __post_init__(self) -> None:
        """Let nothing private come near a page."""
        self.archive = published(self.archive, self.newest)

    @property
    def units(self) -> System:
        """The units shown first."""
        return self.archive.settings.units.value

    @cached_property
    def made(self) -> Mapping[str, Made]:
        """What is published of each build, by its id; made once, or found in the store."""
        return self._makings(self.archive).made

    def _makings(self, archive: Archive) -> Makings:
        return Makings(
            archive, self.folders, self.site_url, self.edit_link, self.store, self.processes,
            self.tell, self.past, self.stands_in,
        )  # fmt: skip

    @cached_property
    def past(self) -> Past:
        """How the figures of its builds came to be, as far as git tells."""
        return Past(self.archive)

    @cached_property
    def extracts(self) -> tuple[Extract, ...]:
        """What other pages say of each build that could be made, in the archive's order."""
        return tuple(it.extract for it in self.made.values() if it.extract is not None)

    @cached_property
    def lines(self) -> tuple[Listed, ...]:
        """Each build as a table shows it."""
        return tuple(extract.listed for extract in self.extracts)

    @cached_property
    def missing(self) -> tuple[Missing, ...]:
        """The builds that have a page which says why they have no sheet."""
        left = (Missing(it, it, "its files have errors") for it in left_out.left_out(self.archive))
        failed = (
            Missing(name, self.archive.builds[name].title.value, "its sheet could not be made")
            for name, made in self.made.items()
            if made.fault is not None
        )
        return (*left, *failed)

    def items(self) -> Iterator[Item]:
        """Every file of the site: pages, redirects, data, schemas, styles and script.

        SameAddress where two of them would have one address on any system.
        """
        return _once(self._in_own_units(self._all_items()))

    def of_build(self, name: str) -> tuple[Item, ...]:
        """All of one build: its files, or the page that says why it has none."""
        if name in self.made:
            return self.made[name].items
        left = self._in_own_units(self._left_out())
        return tuple(item for item in left if item.address == addresses.build(name))

    def summing_up(self) -> Iterator[Item]:
        """Every page and file that a build's figures may stand in beside its own."""
        yield from self._in_own_units(self._fixed_pages())
        yield from self._in_own_units(self._blower_pages())
        yield from self._in_own_units(self._takeaway())

    def renewed(self, archive: Archive, names: Collection[str]) -> Site:
        """The site of an archive of which nothing but these builds' files changed since."""
        site = replace(self, archive=archive)
        site.past = self.past
        site.made = site._makings(site.archive).renewed(self.made, names)
        return site

    def _in_own_units(self, made: Iterator[Item]) -> Iterator[Item]:
        """Items that are made while the workshop's own units are printed, and handed out after."""
        own = self.archive.settings.units.own
        while True:
            with printed_in(own):
                item = next(made, None)
            if item is None:
                return
            yield item

    def _all_items(self) -> Iterator[Item]:
        yield from self._fixed_pages()
        yield from self._blower_pages()
        yield from self._also_at_old_addresses(
            item for made in self.made.values() for item in made.items
        )
        yield from self._left_out()
        yield from self._redirects()
        yield from self._takeaway()
        own = self.units == "own"
        yield from assets(own_styles(self.archive.settings), own_units=own, shelf=self._shelf)
        yield Item(addresses.MARK, mark(self.archive))

    def _fixed_pages(self) -> Iterator[Item]:
        """The pages that every site has, and the data that two of them work with."""
        for address, title in addresses.PAGES.items():
            yield Item(address, self.fixed_page(address), title)
        yield Item(
            addresses.COMPARE_BUILDS,
            index_script(self.archive, (it.compare for it in self.extracts)),
        )
        yield Item(addresses.FIND_COMBOS, combos_script(it.combos for it in self.extracts))
        yield from (Item(address, text) for address, text in self.estimates.files())

    @cached_property
    def estimates(self) -> Estimates:
        """What the pages estimate with: the archive's blowers, and how such estimates did."""
        attempts = [it for one in self.extracts for it in one.attempts]
        return Estimates(self.archive, attempts, self._shelf)

    def fixed_page(self, address: str) -> str:
        """One of the pages that every site has."""
        if (write := SAME_EVERYWHERE.get(address)) is None:
            return _WRITERS[address](self)
        rests_on = (address, self.units, self.folders, self.archive.settings.units.own)
        return self._shelf.text(rests_on, lambda: write(self.units, self.folders))

    @property
    def _shelf(self) -> Shelf:
        return Shelf(self.store)

    def _blower_pages(self) -> Iterator[Item]:
        for blower in self.archive.blowers.values():
            edit = self.edit_link(blower.place.file) or ""
            on = {build.id for build in builds_with(self.archive, blower)}
            runs = [run for it in self.extracts for run in it.runs if run.build in on]
            address = addresses.blower(blower.id)
            tried = estimate_parts(self.estimates, blower, Links(address, self.folders))
            page = blower_page(
                self.archive, blower, runs, self.units, self.folders, edit, self._shelf, tried
            )
            yield Item(
                address, page, blower.title.value, blower.place.file, leaf=True,
                entry=blower_entry(blower),
            )  # fmt: skip

    def _takeaway(self) -> Iterator[Item]:
        """Tables over all builds with what describes them, and the feed of news."""
        settings = self.archive.settings
        extracts = [it.takeaway for it in self.extracts]
        days = [newest(self.archive, build_id) for build_id in self.archive.builds]
        for address, text in package.files(settings, extracts, max(days, default="")):
            yield Item(address, text)
        entries = [entry for it in extracts for entry in it.entries]
        yield Item(addresses.FEED, feed(settings, entries, self.site_url, self.folders))

    def _also_at_old_addresses(self, items: Iterable[Item]) -> Iterator[Item]:
        """Serve each file of a renamed build where it was served before; pages lead on instead."""
        former = {it.id: [old.value for old in it.formerly] for it in self.archive.builds.values()}
        for item in items:
            yield item
            room, _, rest = item.address.partition("/")
            build_id, _, name = rest.partition("/")
            if room == "builds" and not name.endswith(".md"):
                for old in former.get(build_id, ()):
                    yield replace(item, address=addresses.build_file(old, name))

    def _left_out(self) -> Iterator[Item]:
        """A page for each build whose files have errors."""
        for build_id, errors in left_out.left_out(self.archive).items():
            page = left_out.left_out_page(build_id, errors, self.units, self.folders)
            address, told = addresses.build(build_id), "Left out: its files have errors."
            yield Item(
                address, page, build_id, f"{build_id}/build.yaml", leaf=True,
                entry=Entry(address, build_id, told),
            )  # fmt: skip

    @property
    def accuracy(self) -> Accuracy[Compared]:
        """How well predictions did, over the whole archive."""
        misses = tuple(miss for extract in self.extracts for miss in extract.misses)
        return summed(misses, sum(extract.measured for extract in self.extracts))

    def faults(self) -> tuple[Finding, ...]:
        """All that keeps a build or a blower, or figures of one, from being published."""
        errors = [item for item in self.archive.findings if item.severity == "error"]
        return in_order(
            [
                *errors,
                *(fault for extract in self.extracts for fault in extract.faults),
                *(made.fault for made in self.made.values() if made.fault is not None),
            ]
        )

    def _redirects(self) -> Iterator[Item]:
        """A page at each former id that leads to the build's new address, one to its figures'."""
        for build in self.archive.builds.values():
            for former in build.formerly:
                for page_of in (addresses.build, addresses.figures):
                    old = page_of(former.value)
                    href = Links(old, self.folders).to(page_of(build.id))
                    page = rendered(Redirect(title=build.title.value, href=href))
                    address = f"{old.removesuffix('.md')}.html"
                    yield Item(address, page + "\n", build.title.value)

    def footer(self) -> str:
        """What stands at the foot of every page, as HTML."""
        return str(rendered(Footer(settings=self.archive.settings)))

    def epoch(self) -> int:
        """The archive's own date in seconds since 1970, for files that must carry a date."""
        dates = [newest(self.archive, build_id) for build_id in self.archive.builds]
        latest = max(filter(None, dates), default="1980-01-01")
        moment = datetime.datetime.fromisoformat(latest).replace(tzinfo=datetime.UTC)
        return max(_FIRST_STAMP, min(int(moment.timestamp()), LAST_STAMP))

    def revision(self) -> str:
        """Name the state of the archive: the hash of all its texts."""
        digest = hashlib.sha256()
        for file, text in sorted(self.archive.sources.items()):
            digest.update(f"{file}\0{text}\0".encode())
        return digest.hexdigest()

    def told_by(self) -> str:
        """Name what tells the history of the archive's files: "git", or why nothing does."""
        return "git" if self.past.log else self.past.missing or "Git has no commit of it yet."

    def fill_markers(self, markdown: str, address: str) -> tuple[str, list[str]]:
        """Replace markers such as `<!-- specgen: newest -->`; also give what is wrong with them."""
        problems: list[str] = []
        switch = [Switch()]

        def fill(found: re.Match[str]) -> str:
            name = found.group(1)
            if name in SNIPPETS:
                block = SNIPPETS[name](self.archive, self.lines, Links(address, self.folders))
                above = rendered(switch.pop()) if switch else Markup("")
                return f"\n{wrapped(above + block, self.units)}\n"
            near = difflib.get_close_matches(name, SNIPPETS, n=1)
            hint = f'did you mean "{near[0]}"?' if near else f"write one of: {', '.join(SNIPPETS)}"
            problems.append(f'unknown marker "{name}"; {hint}')
            return found.group(0)

        with printed_in(self.archive.settings.units.own):
            return _MARKER.sub(fill, markdown), problems


#: How each of the other pages is written that every site has.
_WRITERS: Mapping[str, Callable[[Site], str]] = {
    addresses.HOME: lambda it: home_page(it.archive, it.lines, it.units, it.folders),
    addresses.BUILDS: lambda it: builds_page(
        it.archive, it.lines, it.missing, it.units, it.folders
    ),
    addresses.FIND: lambda it: find_page(it.archive, it.units, it.folders),
    addresses.ESTIMATE: lambda it: estimate_page(it.estimates, it.units, it.folders),
    addresses.COMPARE: lambda it: compare_page(it.archive, it.units, it.folders),
    addresses.YEARS: lambda it: years_page(
        [one.years for one in it.extracts], it.units, it.folders
    ),
    addresses.BLOWERS: lambda it: blowers_page(it.archive, it.units, it.folders),
    addresses.ACCURACY: lambda it: accuracy_page(it.archive, it.accuracy, it.units, it.folders),
    addresses.ACCEPTED: lambda it: accepted_page(it.archive, it.units, it.folders),
}


def _once(items: Iterable[Item]) -> Iterator[Item]:
    """Hand items on; SameAddress for the second at an address, capitals not told apart."""
    taken: set[str] = set()
    for item in items:
        place = addresses.served(item.address.lower()).removesuffix("index.html")
        if place in taken:
            raise SameAddress(f'two files of the site have the address "{item.address}"')
        taken.add(place)
        yield item


def newest(archive: Archive, build_id: str) -> str:
    """The date of a build's newest session; empty if it was never tested."""
    sessions = archive.builds[build_id].sessions
    return max((session.day for session in sessions), default="")
