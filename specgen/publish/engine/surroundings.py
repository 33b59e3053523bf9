"""What the plugin has to do with the engine around it: its settings, warnings and failures."""

from __future__ import annotations

import functools
import logging
import os
import posixpath
from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar
from urllib.parse import urljoin

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import MkDocsException, PluginError
from mkdocs.plugins import get_plugin_logger
from mkdocs.utils import CountHandler

from specgen import failure, findings
from specgen.archive.archive import SETTINGS
from specgen.archive.model.build import Archive
from specgen.findings import Finding, told
from specgen.past.past import Past
from specgen.publish import addresses
from specgen.publish.delivery.lock import Busy
from specgen.publish.delivery.targets import Refused
from specgen.publish.making.workers import WorkerLost
from specgen.publish.site import LAST_STAMP
from specgen.publish.store.store import Store

log = get_plugin_logger("specgen")

Plugin = TypeVar("Plugin", bound=type)

#: What gives the files of a build their date.
EPOCH = "SOURCE_DATE_EPOCH"
#: Where an archive is looked for, from the folder of mkdocs.yml, if the option says nothing.
_USUAL_FOLDERS = ("builds", "../builds")


@contextmanager
def as_plugin_errors() -> Iterator[None]:
    """Hand on why a folder is not written to as the engine hands on what plugins say."""
    try:
        yield
    except (Refused, Busy, WorkerLost, OSError) as problem:
        raise PluginError(f"specgen: {problem}") from problem


class Unexpected(PluginError):  # noqa: N818 - named for what it is
    """An error in one of the hooks that nobody expected; its cause is that error."""


def in_a_sentence(plugin: Plugin) -> Plugin:
    """Have every hook of a plugin tell an unexpected error as the engine tells what plugins say."""
    for name in [name for name in vars(plugin) if name.startswith("on_")]:
        setattr(plugin, name, _hook(getattr(plugin, name)))
    return plugin


def _hook(hook: Callable[..., Any]) -> Callable[..., Any]:
    @functools.wraps(hook)
    def held(*given: object, **named: object) -> Any:
        try:
            return hook(*given, **named)
        except MkDocsException:
            raise
        except Exception as problem:
            raise Unexpected(
                f"{failure.sentence(problem)}. Where in the program: specgen site --traceback"
            ) from problem

    return held


def stamped(archive_epoch: int) -> bool:
    """Give files of a build the archive's own date, unless somebody has given one.

    Tells whether it did so; PluginError where what was given is no date.
    """
    given = os.environ.get(EPOCH)
    if given is None:
        os.environ[EPOCH] = str(archive_epoch)
        return True
    if not (given.isdecimal() and given.isascii() and int(given[:12]) <= LAST_STAMP):
        raise PluginError(
            f"specgen: SOURCE_DATE_EPOCH is {told(given)!r}, which is no number of seconds since "
            "1970; write one such as 1767225600, or leave it out: unset SOURCE_DATE_EPOCH"
        )
    return False


def own_look(config: MkDocsConfig) -> None:
    """Give the theme our look: its style, and the workshop's mark where nobody chose another."""
    config.extra_css.insert(1, addresses.LOOK)
    icon = config.theme.get("icon") or {}
    if not config.theme.get("logo") and not icon.get("logo"):
        config.theme["logo"] = addresses.MARK
    if not config.theme.get("favicon") or config.theme["favicon"] == _USUAL_ICON:
        config.theme["favicon"] = addresses.MARK


#: What the theme shows in a browser's tab where nobody chose.
_USUAL_ICON = "assets/images/favicon.png"


def warned() -> bool:
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


def refuse_settings(archive: Archive) -> None:
    """Stop on errors in the settings, which every build rests on, with all errors told."""
    errors = [item for item in archive.findings if item.severity == "error"]
    if any(item.place.file == SETTINGS for item in errors):
        log.error(
            "The archive's settings have errors.\n%s",
            findings.as_text(findings.from_here(errors, Path(archive.root))),
        )
        raise PluginError(f"specgen: {findings.summary(errors)}")


def advise(config: MkDocsConfig, hindered: str) -> None:
    """Say what the site lacks that its figures do not need: an address, and its history.

    `hindered` says what keeps this machine from telling the history. Nothing to stop for, so that
    strict mode is told and goes on.
    """
    level = logging.INFO if config.strict else logging.WARNING
    if not config.site_url:
        log.log(level, "there is no site_url in mkdocs.yml: links that are sent to somebody show "
                       "no picture, and paper no address; write site_url: https://..., where the "
                       "site is served")  # fmt: skip
    if hindered:
        log.log(level, "sheets are without their history: %s", hindered)


#: How many earlier states of builds are worked out without a word; what a word of it begins with.
_FEW, HISTORY = 20, "Past"
#: So many builds are named.
_NAMED = 5


def announce(past: Past, store: Store | None) -> None:
    """Say in the log what a history will take, and which builds have changes that it has not."""
    unknown = past.unknown(store) if store is not None else 0
    if unknown > _FEW:
        log.info(
            "%s: %d earlier states of builds are worked out, each about as long as a sheet; they "
            "are kept, so that the next time costs nothing",
            HISTORY,
            unknown,
        )
    if changed := past.uncommitted():
        names = ", ".join(changed[:_NAMED]) + (" and others" if len(changed) > _NAMED else "")
        log.info(
            "%s: no commit has the files of %s as they lie here; what changed since the newest one "
            "stands in no history",
            HISTORY,
            names,
        )


def report(
    archive: Archive, faults: Sequence[Finding], only: Collection[str] | None = None
) -> None:
    """Pass everything that was found on, one by one; of some builds `only`, if given.

    A build with errors takes nothing from the others: each error is a warning to the engine, which
    stops for one in strict mode.
    """
    warnings = [it for it in findings.standing(archive.findings) if it.severity != "error"]
    told = [
        item
        for item in findings.in_order([*warnings, *faults])
        if only is None or item.place.file.partition("/")[0] in only
    ]
    for item in findings.from_here(told, Path(archive.root)):
        log.warning(
            "%s: [%s] %s; expected %s; write %s",
            item.place,
            item.code,
            item.found,
            item.expected,
            item.hint,
        )


def edit_link(config: MkDocsConfig, root: Path) -> Callable[[str], str | None]:
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
