"""Finished pages: the same HTML that the engine's Markdown pass makes of them."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from jinja2 import Template
from markdown import Markdown
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files

from specgen.publish.blowers.pages import blowers_page
from specgen.publish.engine.made import Headings, MadeFile, MadePage, titles
from specgen.publish.making.item import Item
from specgen.publish.reference.fields import fields_page
from specgen.publish.sheet.page import Surroundings, sheet_page
from specgen.publish.site import Site
from specgen.publish.typesetting.finished import finished
from tests.publish.pages import sheets_of

SETTINGS: dict[str, dict[str, Any]] = {
    "plain": {},
    "permalinks": {"toc": {"permalink": "¶", "toc_depth": 2}},
    "numbers": {"toc": {"baselevel": 2, "anchorlink": True}},
}


def config_of(extensions: dict[str, Any]) -> MkDocsConfig:
    """An engine's settings with these Markdown extensions."""
    config = MkDocsConfig()
    listed = [{name: options} for name, options in extensions.items()]
    here = str(Path(__file__).parent)
    config.load_dict({"site_name": "Shed", "docs_dir": here, "markdown_extensions": listed})
    errors, _ = config.validate()
    assert errors == []
    return config


@pytest.fixture(scope="module")
def pages(site: Site) -> dict[str, str]:
    """A sheet, a page with sections in its block, and a table."""
    archive = site.archive
    sheet = sheets_of(site)["lark-hydroplane"]
    return {
        "builds/lark-hydroplane/index.md": sheet_page(archive, sheet, Surroundings()).text,
        "fields/index.md": fields_page("metric", True),
        "blowers/index.md": blowers_page(archive, "metric", True),
    }


@pytest.mark.parametrize("extensions", SETTINGS.values(), ids=list(SETTINGS))
def test_a_made_page_is_what_markdown_makes_of_it(
    pages: dict[str, str], extensions: dict[str, Any]
) -> None:
    """Byte for byte, whatever the site's settings do to headings."""
    config = config_of(extensions)
    headings = Headings(config)
    for address, text in pages.items():
        page = made(address, text, config, headings)
        markdown = Markdown(
            extensions=config.markdown_extensions, extension_configs=config.mdx_configs
        )
        wanted = markdown.convert(re.sub(r"\A---\n.*?\n---\n", "", text, flags=re.DOTALL))
        shown = page.printed(Template("{{ page.content }}"), {"page": page})
        assert shown == wanted
        told = [(item.id, item.level) for item in page.toc]
        assert told == [(item["id"], item["level"]) for item in markdown.toc_tokens]
        assert not page.content, "the HTML is let go of"


def made(address: str, text: str, config: MkDocsConfig, headings: Headings) -> MadePage:
    """A page as far as the engine has read it when it begins to print."""
    item = Item(address, text, finished(text).title)
    file = MadeFile(item, config)
    page = MadePage(None, file, config, headings, item)
    page.read_source(config)
    page.render(config, Files([file]))
    return page


def test_the_head_of_a_page_says_what_the_theme_needs(pages: dict[str, str]) -> None:
    """Title and description, what is hidden, and that no other search shall read it."""
    config = config_of({})
    page = made("fields/index.md", pages["fields/index.md"], config, Headings(config))
    assert page.meta["search"] == {"exclude": True}
    assert page.meta["title"] == page.title == "Fields"
    assert page.content == "", "nothing is held before the template asks for it"
    assert page.present_anchor_ids is not None
    assert "fields" in page.present_anchor_ids


def test_titles_of_a_navigation_are_found_at_any_depth() -> None:
    """Pages without a title, and links, are passed over."""
    nav = [{"Home": "index.md"}, "plain.md", {"Check": [{"How well": "accuracy/index.md"}]}]
    assert dict(titles(nav)) == {"index.md": "Home", "accuracy/index.md": "How well"}
    assert list(titles(None)) == []


def test_any_other_text_is_no_page_of_ours() -> None:
    """Nothing is guessed of a text that was not put together by us."""
    with pytest.raises(ValueError, match="front matter"):
        finished("# Hand-written\n")
