"""The only room that knows MkDocs: hands the site's items to it and seals the built pages.

Hooks only; what a page says is made in `site`. The functions at the end are for the command line.
"""

from __future__ import annotations

import logging
import os
import posixpath
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar
from urllib.parse import urljoin, urlsplit

from mkdocs.commands import build as build_command
from mkdocs.commands import serve as serve_command
from mkdocs.config import config_options, load_config
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort, MkDocsException, PluginError
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page
from mkdocs.utils import CountHandler

from specgen import findings
from specgen.archive.archive import SETTINGS, read_archive
from specgen.archive.model.build import Archive
from specgen.findings import Finding
from specgen.publish import addresses
from specgen.publish.delivery import names
from specgen.publish.delivery.delivery import Delivery
from specgen.publish.delivery.lock import Busy
from specgen.publish.delivery.site import site_target, versions
from specgen.publish.delivery.targets import Refused
from specgen.publish.share import sharing
from specgen.publish.site import Item, Site
from specgen.publish.web import policy

log = get_plugin_logger("specgen")

Result = TypeVar("Result")

#: Where an archive is looked for, from the folder of mkdocs.yml, if the option says nothing.
_USUAL_FOLDERS = ("builds", "../builds")
_EPOCH = "SOURCE_DATE_EPOCH"


class SpecgenConfig(Config):  # type: ignore[no-untyped-call]
    """Options of the plugin; all may be left out."""

    archive = config_options.Type(str, default="")
    content_security_policy = config_options.Type(bool, default=True)
    keep = config_options.ListOfItems(config_options.Type(str), default=[])


class SpecgenPlugin(BasePlugin[SpecgenConfig]):  # type: ignore[no-untyped-call]
    """Adds an archive's pages to an MkDocs site."""

    def __init__(self) -> None:
        self._serving = False
        self._site: Site | None = None
        self._items: dict[str, Item] = {}
        self._pages: list[str] = []
        self._own_epoch = False
        self._delivery: Delivery | None = None
        self._published = ""
        self._config: MkDocsConfig | None = None
        self.tell_page: Callable[[str], None] = _nothing
        self.faults: tuple[Finding, ...] = ()

    def on_startup(self, *, command: str, **_unused: object) -> None:
        """Remember whether this is a preview; being there keeps the plugin over rebuilds."""
        self._serving = command == "serve"

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Read the archive and tell MkDocs of its folder, styles, script and date."""
        config.config_file_path = str(Path(config.config_file_path or "mkdocs.yml").absolute())
        root = archive_folder(Path(config.config_file_path).parent, self.config.archive)
        config.watch.append(str(root))
        archive = read_archive(root)
        self._site = Site(
            archive,
            folders=config.use_directory_urls,
            edit_link=_edit_link(config, root),
            site_url=config.site_url or "",
        )
        self.faults = self._site.faults()
        _report(archive, self.faults)
        config.extra_css.insert(0, addresses.STYLE)
        config.extra_javascript.append(addresses.SCRIPT)
        config.copyright = " ".join(filter(None, [config.copyright, self._site.footer()]))
        if _EPOCH not in os.environ:
            os.environ[_EPOCH] = str(self._site.epoch())
            self._own_epoch = True
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
        with _as_plugin_errors():
            self._delivery = Delivery(target, log.info)
        self._published = config.site_dir
        self._config = config
        config.site_dir = str(self._delivery.stage)

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add every item that the site's owner has not written by hand."""
        assert self._site is not None
        taken = {file.dest_uri for file in files}
        self._items = {}
        for item in self._site.items():
            inclusion = InclusionLevel.NOT_IN_NAV if item.leaf else InclusionLevel.UNDEFINED
            file = File.generated(config, item.address, content=item.content, inclusion=inclusion)
            if file.dest_uri in taken:
                continue
            self._items[item.address] = item
            files.append(file)
            self.tell_page(item.address)
        return files

    def on_page_markdown(self, markdown: str, *, page: Page, **_unused: object) -> str:
        """Point a made page's edit link at its YAML; fill the markers of a hand-written page."""
        assert self._site is not None
        if (item := self._items.get(page.file.src_uri)) is None:
            filled, unknown = self._site.fill_markers(markdown, page.file.src_uri)
            for problem in unknown:
                log.warning("%s: %s", page.file.src_uri, problem)
            return filled
        page.edit_url = self._site.edit_link(item.source) if item.source else None
        if item.date:
            page.update_date = item.date
        return markdown

    def on_post_page(self, output: str, *, page: Page, config: MkDocsConfig) -> str:
        """Say what a shared link of one of our pages shows."""
        item = self._items.get(page.file.src_uri)
        if item is None:
            return output
        tags = sharing.tags(
            item, config.site_name, config.site_url or "", config.use_directory_urls
        )
        return output.replace("</head>", f"{tags}</head>", 1)

    def on_env(self, _env: object, *, config: MkDocsConfig, files: Files) -> None:
        """Note which HTML files the build is about to write."""
        written = [page.abs_dest_path for page in files.documentation_pages()]
        fixed = [name for name in config.theme.static_templates if name.endswith(".html")]
        self._pages = [*written, *(str(Path(config.site_dir, name)) for name in sorted(fixed))]

    @event_priority(-100)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Seal every page with one policy and put the site in its place, after all others."""
        self._restore_environment()
        built = [Path(page) for page in self._pages if Path(page).is_file()]
        if self._delivery is not None:
            base = urlsplit(config.site_url or "/").path or "/"
            names.with_hashes(self._delivery.stage, built, base)
        if self.config.content_security_policy:
            policy.seal(built, live=self._serving)
        if self._delivery is None:
            return
        if config.strict and _warned():  # the engine is about to stop for it
            self._abandon()
            return
        assert self._site is not None
        with _as_plugin_errors():
            self._delivery.publish(
                versions("specgen", "mkdocs", "mkdocs-material"), self._site.revision()
            )
        self._abandon()

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
            os.environ.pop(_EPOCH, None)
            self._own_epoch = False


@contextmanager
def _as_plugin_errors() -> Iterator[None]:
    """Hand on why a folder is not written to as the engine hands on what plugins say."""
    try:
        yield
    except (Refused, Busy, OSError) as problem:
        raise PluginError(f"specgen: {problem}") from problem


def _warned() -> bool:
    """Whether the engine has counted a warning, for which it stops in strict mode."""
    counters = [it for it in logging.getLogger("mkdocs").handlers if isinstance(it, CountHandler)]
    return any(counter.get_counts() for counter in counters)


def archive_folder(beside: Path, option: str) -> Path:
    """Find the archive's folder; PluginError says what to write if there is none."""
    tried = [option] if option else list(_USUAL_FOLDERS)
    for name in tried:
        folder = Path(os.path.normpath(beside / name))
        if (folder / "archive.yaml").is_file():
            return folder
    looked = " or ".join(str(Path(os.path.normpath(beside / name))) for name in tried)
    raise PluginError(
        f"specgen: no archive.yaml in {looked}. In mkdocs.yml write the folder that holds "
        "archive.yaml under plugins, relative to mkdocs.yml:\n"
        "plugins:\n  - specgen:\n      archive: ../builds"
    )


def _report(archive: Archive, faults: Sequence[Finding]) -> None:
    """Stop on errors in the settings, with all told; pass everything else on one by one.

    A build with errors takes nothing from the others: each error is a warning to the engine, which
    stops for one in strict mode.
    """
    if any(item.place.file == SETTINGS for item in faults):
        log.error("The archive's settings have errors.\n%s", findings.as_text(faults))
        raise PluginError(f"specgen: {findings.summary(faults)}")
    warnings = [it for it in findings.standing(archive.findings) if it.severity != "error"]
    for item in findings.in_order([*warnings, *faults]):
        log.warning(
            "%s: [%s] %s; expected %s; write %s",
            item.place,
            item.code,
            item.found,
            item.expected,
            item.hint,
        )


def _edit_link(config: MkDocsConfig, root: Path) -> Callable[[str], str | None]:
    """Turn a file of the archive into the address where a forge edits it.

    `edit_uri` leads to the pages' folder; the archive lies in the same repository, so the way
    from that folder to the file is the way at the forge too.
    """
    base = urljoin((config.repo_url or "").rstrip("/") + "/", config.edit_uri or "")
    to_archive = Path(os.path.relpath(root, config.docs_dir)).as_posix()

    def link(file: str) -> str | None:
        if not config.edit_uri or "://" not in base:
            return None
        return urljoin(base, posixpath.join(to_archive, file))

    return link


def _nothing(_message: str) -> None:
    """Take a message that nobody waits for."""


class SiteError(Exception):
    """The site could not be built; what is wrong has been told to `progress`."""


class _Telling(logging.Handler):
    """Hands MkDocs' messages to a function."""

    def __init__(self, tell: Callable[[str], None]) -> None:
        super().__init__(logging.INFO)
        self._tell = tell

    def emit(self, record: logging.LogRecord) -> None:
        level = "" if record.levelno < logging.WARNING else f"{record.levelname.lower()}: "
        self._tell(level + record.getMessage())


def build_site(
    config_file: str | Path,
    *,
    strict: bool = False,
    progress: Callable[[str], None] | None = None,
    pages: Callable[[str], None] | None = None,
    site_dir: str | Path | None = None,
    faults: Callable[[tuple[Finding, ...]], None] | None = None,
) -> Path:
    """Build the site as `mkdocs build` would; give its folder. SiteError if it cannot be built.

    `progress` is told MkDocs' messages, `pages` the address of every file as it is made, `faults`
    what keeps a build out of the site that was built.
    """

    def run() -> Path:
        target = {"site_dir": str(site_dir)} if site_dir else {}
        config = load_config(str(config_file), strict=strict, **target)
        own = config.plugins.get("specgen")
        if isinstance(own, SpecgenPlugin) and pages is not None:
            own.tell_page = pages
        config.plugins.on_startup(command="build", dirty=False)
        try:
            build_command.build(config)
        finally:
            config.plugins.on_shutdown()
        if isinstance(own, SpecgenPlugin) and faults is not None:
            faults(own.faults)
        return Path(config.site_dir)

    return _with_mkdocs(run, progress)


def archive_of(config_file: str | Path) -> Path:
    """Find the archive that a site's configuration names; SiteError if it cannot be read."""

    def run() -> Path:
        config = load_config(str(config_file))
        own = config.plugins.get("specgen")
        option = own.config.archive if isinstance(own, SpecgenPlugin) else ""
        return archive_folder(Path(config_file).absolute().parent, option)

    return _with_mkdocs(run, None)


def serve_site(
    config_file: str | Path,
    *,
    strict: bool = False,
    progress: Callable[[str], None] | None = None,
    address: str | None = None,
    open_in_browser: bool = False,
) -> None:
    """Preview the site and rebuild it when a file changes, until interrupted."""

    def run() -> None:
        where: dict[str, Any] = {"dev_addr": address} if address else {}
        serve_command.serve(
            str(config_file), strict=strict, open_in_browser=open_in_browser, **where
        )

    _with_mkdocs(run, progress)


def _in_words(problem: BaseException, untold: Sequence[str]) -> str:
    """Say why there is no site; an abort's reasons were told already, or are told here."""
    if isinstance(problem, Abort | SystemExit):
        reasons = [line for line in untold if line.startswith(("warning: ", "error: "))]
        if reasons:
            return "\n".join([*reasons, "The site was not built."])
        return "The site was not built; what is wrong stands above."
    return f"The site was not built: {problem}"


def _with_mkdocs(run: Callable[[], Result], progress: Callable[[str], None] | None) -> Result:
    """Run an MkDocs command with its messages handed on and its failures as SiteError."""
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
    logger = logging.getLogger("mkdocs")
    untold: list[str] = []
    handler = _Telling(progress or untold.append)
    level, spread = logger.level, logger.propagate
    logger.addHandler(handler)
    logger.setLevel(logging.INFO)
    logger.propagate = False
    try:
        return run()
    except (MkDocsException, SystemExit, OSError) as problem:
        raise SiteError(_in_words(problem, untold)) from problem
    finally:
        logger.removeHandler(handler)
        logger.setLevel(level)
        logger.propagate = spread
