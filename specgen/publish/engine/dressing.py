"""Our pages in the theme's template, or out of the store where nothing that they rest on changed.

What a template makes of a page rests on the page and on everything else: settings, theme, its
versions, the navigation. Everything else is one hash, taken over what the same template makes of a
page without content. Other plugins may change what a template is given, so that with one that is
not known here nothing is kept.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from jinja2 import ChoiceLoader, DictLoader, Environment, Template
from mkdocs.commands.build import get_context
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page

from specgen.publish import addresses
from specgen.publish.delivery.site import versions
from specgen.publish.engine.made import FINISHED, MadePage
from specgen.publish.store.method import method
from specgen.publish.store.store import Store

#: Plugins that do not change what our pages' template is given.
_KNOWN = {"specgen", "search", "material/search", "autorefs", "redirects"}
_PAGE = "page.html"
_TEMPLATE = "main.html"


def with_finished(env: Environment) -> None:
    """Let the engine's templates have one that prints a page as it stands."""
    own = DictLoader({FINISHED: "{{ page.content }}"})
    env.loader = ChoiceLoader([own, *([env.loader] if env.loader else [])])


class Dressing:
    """Puts made pages into the theme's template, one at a time."""

    def __init__(
        self,
        config: MkDocsConfig,
        env: Environment,
        nav: Navigation,
        files: Files,
        store: Store | None,
    ) -> None:
        self._template: Template = env.get_template(_TEMPLATE)
        known = set(config.plugins) <= _KNOWN and not config.hooks
        self._store = store if known else None
        self._shell = self._hash(config, nav, files) if self._store else ""

    def dressed(self, page: MadePage, context: Mapping[str, Any]) -> str:
        """The whole HTML of a page."""
        key = self._key(page)
        if self._store and (data := self._store.member(key, _PAGE)) is not None:
            return data.decode("utf-8")
        text = page.printed(self._template, context)
        if self._store:
            self._store.keep(key, {}, {_PAGE: text.encode("utf-8")})
        return text

    def _key(self, page: MadePage) -> str:
        rests_on = [self._shell, page.item.address, page.title, page.mark, page.edit_url,
                    page.update_date]  # fmt: skip
        return hashlib.sha256(json.dumps(rests_on).encode("utf-8")).hexdigest()

    def _hash(self, config: MkDocsConfig, nav: Navigation, files: Files) -> str:
        """The hash of all that a page's HTML rests on beside the page."""
        probe = File.generated(config, addresses.build("any-build"), content="")
        page = Page("Any", probe, config)
        page.content, page.meta = "", {"title": "Any"}
        told = [
            method(),
            versions("mkdocs", "mkdocs-material", "jinja2", "markdown", "pymdown-extensions"),
            sorted(config.plugins),
            repr(config.markdown_extensions),
            [_hash_of(file) for file in _own_files(config)],
            self._template.render(get_context(nav, files, config, page)),
        ]
        return hashlib.sha256(json.dumps(told).encode("utf-8")).hexdigest()


def _own_files(config: MkDocsConfig) -> list[Path]:
    """The site's settings, and whatever templates it has of its own."""
    found = [Path(config.config_file_path)] if config.config_file_path else []
    if config.theme.custom_dir:
        found += [it for it in sorted(Path(config.theme.custom_dir).rglob("*")) if it.is_file()]
    return found


def _hash_of(file: Path) -> str:
    try:
        return hashlib.sha256(file.read_bytes()).hexdigest()
    except OSError:
        return ""
