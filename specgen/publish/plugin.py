"""The way out by MkDocs: the plugin, and what the command line builds or previews by it."""

from __future__ import annotations

import logging
import os
from collections.abc import Callable, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, TypeVar

from mkdocs.commands import build as build_command
from mkdocs.commands import serve as serve_command
from mkdocs.config import load_config
from mkdocs.exceptions import Abort, MkDocsException

from specgen.archive.archive import read_archive
from specgen.findings import Finding
from specgen.past.past import Past
from specgen.past.tags import names_at, tags, write_edition
from specgen.publish.delivery.manifest import ManifestError
from specgen.publish.delivery.verifying import Verified, verified
from specgen.publish.engine.editions import Editions
from specgen.publish.engine.hooks import SpecgenPlugin
from specgen.publish.engine.surroundings import Unexpected, archive_folder

Result = TypeVar("Result")


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
    workers: int = 0,
    fresh: bool = False,
    faults: Callable[[tuple[Finding, ...]], None] | None = None,
    editions: Editions | None = None,
) -> Path:
    """Build the site as `mkdocs build` would; give its folder. SiteError if it cannot be built.

    `progress` is told MkDocs' messages, `pages` the address of each build's page as it is made,
    `faults` what keeps a build out of the site that was built. `workers` is how many processes make
    sheets, 0 for what the settings say; a `fresh` site takes nothing out of the store. `editions`
    are those that it has, or is one of.
    """

    def run() -> Path:
        target = {"site_dir": str(site_dir)} if site_dir else {}
        if editions is not None and editions.shown is not None and editions.tags:
            address = load_config(str(config_file)).site_url
            target |= {"site_url": editions.address_below(address)} if address else {}
        config = load_config(str(config_file), strict=strict, **target)
        own = config.plugins.get("specgen")
        if isinstance(own, SpecgenPlugin):
            own.workers, own.fresh = workers, fresh
            own.editions = editions or Editions()
            own.tell_page = pages or own.tell_page
        config.plugins.on_startup(command="build", dirty=False)
        try:
            build_command.build(config)
        finally:
            config.plugins.on_shutdown()
        if isinstance(own, SpecgenPlugin) and faults is not None:
            faults(own.faults)
        return Path(config.site_dir)

    return _with_mkdocs(run, progress)


def build_edition(
    config_file: str | Path, tag: str, *, progress: Callable[[str], None] | None = None,
    pages: Callable[[str], None] | None = None,
) -> Path:  # fmt: skip
    """Build the site as of a tag, with this program, beside the site; give its folder.

    SiteError if it cannot be built, NoHistory if git does not know the tag.
    """
    root, published = archive_of(config_file), site_folder(config_file)
    shown = next((it for it in tags(root) if it.name == tag), None)
    if shown is None:
        known = ", ".join(it.name for it in tags(root)) or "none yet; git tag makes one"
        raise SiteError(f'no tag "{tag}" marks a state of this archive; there are: {known}')
    with TemporaryDirectory(prefix="specgen-edition-") as work:
        archive = Path(work, "builds")
        write_edition(root, tag, archive)
        target = published.with_name(f"{published.name}-{shown.folder}")
        return build_site(config_file, progress=progress, pages=pages, site_dir=target,
                          editions=Editions(shown=shown, archive=archive))  # fmt: skip


def build_editions(
    config_file: str | Path, *, progress: Callable[[str], None] | None = None,
    pages: Callable[[str], None] | None = None, workers: int = 0,
    faults: Callable[[tuple[Finding, ...]], None] | None = None,
) -> Path:  # fmt: skip
    """Build the site with every edition in a folder of it; SiteError, NoHistory as above."""
    root = archive_of(config_file)
    found = tags(root)
    past = Past(read_archive(root))
    names = {it.name: names_at(root, it, past.states) for it in found}
    with TemporaryDirectory(prefix="specgen-editions-") as work:
        made = {}
        for it in found:
            archive = Path(work, "archives", it.folder, "builds")
            write_edition(root, it.name, archive)
            made[it.folder] = build_site(
                config_file, site_dir=Path(work, "sites", it.folder),
                workers=workers, editions=Editions(found, it, archive),
            )  # fmt: skip
        return build_site(
            config_file, progress=progress, pages=pages, workers=workers, faults=faults,
            editions=Editions(found, names=names, made=made),
        )  # fmt: skip


def site_folder(config_file: str | Path) -> Path:
    """Where a site's configuration has it published; SiteError if it cannot be read."""
    return _with_mkdocs(lambda: Path(load_config(str(config_file)).site_dir), None)


def verify_site(
    config_file: str | Path, *, progress: Callable[[str], None] | None = None
) -> Verified:
    """Build the site beside itself and compare; SiteError if either cannot be had."""

    def settled() -> tuple[Path, tuple[str, ...]]:
        config = load_config(str(config_file))
        own = config.plugins.get("specgen")
        keep = tuple(own.config.keep) if isinstance(own, SpecgenPlugin) else ()
        return Path(config.site_dir), keep

    published, keep = _with_mkdocs(settled, None)
    with TemporaryDirectory(prefix="specgen-verify-") as beside:
        target = Path(beside, "site")
        made = build_site(config_file, progress=progress, site_dir=target, fresh=True)
        try:
            return verified(published, made, keep)
        except (OSError, ManifestError) as problem:
            raise SiteError(f"{published} cannot be verified: {problem}") from problem


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
    except Unexpected as problem:
        raise problem.__cause__ or problem from None
    except (MkDocsException, SystemExit, OSError) as problem:
        raise SiteError(_in_words(problem, untold)) from problem
    finally:
        logger.removeHandler(handler)
        logger.setLevel(level)
        logger.propagate = spread
