"""The plugin's hooks: hand the site's items to the engine and seal the built pages.

Hooks only; what a page says is made in `site`.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from jinja2 import Environment
from mkdocs.config import config_options
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page

from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive
from specgen.findings import Finding
from specgen.publish import addresses
from specgen.publish.browse.ways import not_found
from specgen.publish.delivery.delivery import Delivery
from specgen.publish.delivery.names import Naming
from specgen.publish.delivery.site import site_target, versions
from specgen.publish.engine.dressing import Dressing, with_finished
from specgen.publish.engine.editions import Editions
from specgen.publish.engine.made import Headings, MadeFile, MadePage, titles
from specgen.publish.engine.preview import Built, Preview
from specgen.publish.engine.sealing import seal
from specgen.publish.engine.surroundings import (
    EPOCH,
    advise,
    announce,
    archive_folder,
    as_plugin_errors,
    edit_link,
    in_a_sentence,
    log,
    own_look,
    refuse_settings,
    report,
    stamped,
    warned,
)
from specgen.publish.making.item import Item
from specgen.publish.search.entry import merged
from specgen.publish.share import sharing
from specgen.publish.site import Site, no_edit_link
from specgen.publish.store.places import store_folder
from specgen.publish.store.store import Store
from specgen.publish.web.policy import Inline

#: What the theme says of a page that is not there.
_NOT_FOUND = "<h1>404 - Not found</h1>"
#: Where the searches of the engine's themes keep what they find.
_INDEX = "search/search_index.json"


class SpecgenConfig(Config):  # type: ignore[no-untyped-call]
    """Options of the plugin; all may be left out."""

    archive = config_options.Type(str, default="")
    content_security_policy = config_options.Type(bool, default=True)
    look = config_options.Type(bool, default=True)
    keep = config_options.ListOfItems(config_options.Type(str), default=[])
    cache = config_options.Type(str, default="")
    workers = config_options.Type(int, default=0)


@in_a_sentence
class SpecgenPlugin(BasePlugin[SpecgenConfig]):  # type: ignore[no-untyped-call]
    """Adds an archive's pages to an MkDocs site."""

    def __init__(self) -> None:
        self._serving = False
        self._archive: Archive | None = None
        self._site: Site | None = None
        self._files: Files | None = None
        self._made: list[MadePage] = []
        self._marked: dict[str, Page] = {}
        self._taken: set[str] = set()
        self._named: dict[str, str] = {}
        self._headings: Headings | None = None
        self._built: Built | None = None
        self._pages: list[str] = []
        self._own_epoch = False
        self._delivery: Delivery | None = None
        self._published = ""
        self._config: MkDocsConfig | None = None
        self._store: Store | None = None
        self._nav: Navigation | None = None
        self._dressing: Dressing | None = None
        self._noted = Inline()
        self.workers, self.fresh = 0, False
        self.editions = Editions()
        self.tell_page: Callable[[str], None] = _nothing
        self.faults: tuple[Finding, ...] = ()

    def on_startup(self, *, command: str, **_unused: object) -> None:
        """Remember whether this is a preview; being there keeps the plugin over rebuilds."""
        self._serving = command == "serve"

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Read the archive and tell MkDocs of its folder, styles, script and date."""
        config.config_file_path = str(Path(config.config_file_path or "mkdocs.yml").absolute())
        here = Path(config.config_file_path).parent
        now = archive_folder(here, self.config.archive)
        root = self.editions.archive or now
        config.watch.append(str(root))
        archive = self._archive = read_archive(root)
        refuse_settings(archive)
        self._store = None if self.fresh else Store(store_folder(self.config.cache, here))
        self._site = Site(
            archive,
            folders=config.use_directory_urls,
            edit_link=no_edit_link if self.editions.shown else edit_link(config, root),
            site_url=config.site_url or "",
            store=self._store,
            processes=self.workers or self.config.workers,
            tell=self.tell_page,
            stands_in=self.editions.of_build,
            newest=read_archive(now) if root != now else None,
        )
        if not self._serving:
            advise(config, self._site.past.hindered)
            announce(self._site.past, self._store)
        config.extra_css.insert(0, addresses.STYLE)
        if self.config.look:
            own_look(config)
        config.extra_javascript.append(addresses.SCRIPT)
        config.copyright = " ".join(filter(None, [config.copyright, self._site.footer()]))
        self._own_epoch = stamped(self._site.epoch()) or self._own_epoch
        return config

    @event_priority(-100)
    def on_pre_build(self, *, config: MkDocsConfig) -> None:
        """Let the engine write beside the site's folder; the last to change where it writes."""
        if self._serving:  # it writes to a folder of its own that nobody else sees
            return
        assert self._site is not None
        target = site_target(
            Path(config.site_dir),
            archive=Path(self._site.archive.root),
            pages=Path(config.docs_dir),
            settings=Path(config.config_file_path or "mkdocs.yml"),
            keep=tuple(self.config.keep),
        )
        with as_plugin_errors():
            self._delivery = Delivery(target, log.info)
        self._published = config.site_dir
        self._config = config
        config.site_dir = str(self._delivery.stage)

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add every item that the site's owner has not written by hand."""
        assert self._site is not None
        with as_plugin_errors():
            self.faults = self._site.faults()
        assert self._archive is not None
        report(self._archive, self.faults)
        self._taken = {file.dest_uri for file in files}
        self._named = dict(titles(config.nav))
        self._headings, self._made, self._marked = Headings(config), [], {}
        self._files, self._config = files, config
        for item in self._site.items():
            self._add(item)
        return files

    def _add(self, item: Item) -> MadeFile | None:
        """Add an item to the engine's files, unless the site's owner has written it by hand."""
        assert self._files is not None
        assert self._config is not None
        assert self._headings is not None
        file = MadeFile(item, self._config)
        if file.dest_uri in self._taken:
            return None
        self._files.append(file)
        if file.is_documentation_page():
            title = self._named.get(item.address)
            self._made.append(MadePage(title, file, self._config, self._headings, item))
        return file

    def on_nav(self, nav: Navigation, **_unused: object) -> None:
        """Take note of the navigation, which every page prints."""
        self._nav = nav

    def on_page_markdown(self, markdown: str, *, page: Page, **_unused: object) -> str:
        """Point a made page's edit link at its YAML; fill the markers of a hand-written page."""
        assert self._site is not None
        if not isinstance(page, MadePage):
            filled, unknown = self._site.fill_markers(markdown, page.file.src_uri)
            for problem in unknown:
                log.warning("%s: %s", page.file.src_uri, problem)
            if filled != markdown:
                self._marked[page.file.src_uri] = page
            return filled
        source, date = page.item.source, page.item.date
        page.edit_url = self._site.edit_link(source) if source else None
        page.update_date = date or page.update_date
        return markdown

    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> None:
        """Make ready to print our pages; note which HTML files the build is about to write."""
        assert self._nav is not None
        assert self._site is not None
        assert self._archive is not None
        with_finished(env)
        self._noted = Inline()
        self._built = Built(config, files, self._nav, env, self._archive, self._site)
        self._dressing = Dressing(config, env, self._nav, files, self._store)
        written = [page.abs_dest_path for page in files.documentation_pages()]
        fixed = [name for name in config.theme.static_templates if name.endswith(".html")]
        self._pages = [*written, *(str(Path(config.site_dir, name)) for name in sorted(fixed))]

    @event_priority(-100)
    def on_page_context(self, context: Any, *, page: Page, **_unused: object) -> None:
        """Print a made page, after all that others had to say of its template's context."""
        if isinstance(page, MadePage):
            assert self._dressing is not None
            page.content = self._dressing.dressed(page, context)

    def on_post_page(self, output: str, *, page: Page, config: MkDocsConfig) -> str:
        """Say what a shared link of one of our pages shows."""
        output = self.editions.told(output, page.url)
        self._noted.add(output)
        if not isinstance(page, MadePage):
            return output
        page.content = ""
        tags = sharing.tags(
            page.item, config.site_name, config.site_url or "", config.use_directory_urls
        )
        return output.replace("</head>", f"{tags}</head>", 1)

    def on_post_template(self, output: str, *, template_name: str, config: MkDocsConfig) -> str:
        """Note what a page of the theme carries inline; let a page that is not there lead on."""
        if not template_name.endswith(".html"):
            return output
        self._noted.add(output)
        if template_name != "404.html" or _NOT_FOUND not in output:
            return output
        base = urlsplit(config.site_url or "/").path
        block = not_found(base if base.endswith("/") else f"{base}/", config.use_directory_urls)
        return output.replace(_NOT_FOUND, block, 1)

    @event_priority(-100)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Seal every page with one policy and put the site in its place, after all others."""
        self._restore_environment()
        self._add_to_search(config)
        if self._built is not None:
            self._built.marked = tuple(self._marked.values())
        built = [Path(page) for page in self._pages if Path(page).is_file()]
        naming = None
        if self._delivery is not None:
            base = urlsplit(config.site_url or "/").path or "/"
            naming = Naming(self._delivery.stage, base)
        asked = self.config.content_security_policy
        seal(built, self._noted, naming, policy=asked, live=self._serving)
        if self._delivery is None:
            return
        if config.strict and warned():  # the engine is about to stop for it
            self._abandon()
            return
        assert self._site is not None
        with as_plugin_errors():
            self.editions.copied_to(self._delivery.stage)
            self._delivery.publish(
                versions("specgen", "mkdocs", "mkdocs-material"),
                self._site.revision(),
                self._site.told_by(),
            )
            if self._store is not None:
                self._store.prune()
        self._abandon()

    def on_serve(
        self, server: LiveReloadServer, /, *, builder: Callable[..., None], **_unused: object
    ) -> LiveReloadServer:
        """Answer an edit with the pages that it changes, and anything else as the engine does."""
        server.builder = Preview(builder, self._what_is_built, self._finish, self._add)
        return server

    def _what_is_built(self) -> Built:
        assert self._built is not None
        return self._built

    def _finish(self, pages: list[Path], whole: bool) -> None:
        """Seal pages that were written again; bring the search up to date if all of it changed."""
        asked = self.config.content_security_policy
        seal(pages, self._noted, None, policy=asked, live=True)
        if whole:
            self._add_to_search(self._what_is_built().config)

    def _add_to_search(self, config: MkDocsConfig) -> None:
        """Put the entries of our pages into the index that the theme's search has written."""
        index = Path(config.site_dir, _INDEX)
        if not index.is_file():  # a site without a search
            return
        entries = [entry for page in self._made for entry in page.entries]
        try:
            text = merged(index.read_text("utf-8"), entries, config.use_directory_urls)
        except ValueError as problem:
            log.warning("%s was left as it is: %s", _INDEX, problem)
            return
        index.write_text(text, "utf-8")

    def on_build_error(self, **_unused: object) -> None:
        """Leave the site, and the environment, as they were."""
        self._restore_environment()
        self._abandon()

    def on_shutdown(self) -> None:
        """Leave nothing behind where a build was interrupted."""
        self._abandon()

    def _abandon(self) -> None:
        """End a delivery that is still under way; name the site's folder where others look."""
        if self._delivery is not None and self._config is not None:
            self._delivery.abandon()
            self._config.site_dir = self._published
        self._delivery = None

    def _restore_environment(self) -> None:
        if self._own_epoch:
            os.environ.pop(EPOCH, None)
            self._own_epoch = False


def _nothing(_message: str) -> None:
    """Take a message that nobody waits for."""
