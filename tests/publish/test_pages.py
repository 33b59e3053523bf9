"""The one table of the pages that every site has, and everybody who reads it."""

from __future__ import annotations

import re
from pathlib import Path

from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive
from specgen.publish import addresses
from specgen.publish.site import Site
from tests.site.kinds import KINDS

ROOT = Path(__file__).parents[2]


def test_the_site_writes_each_page_of_the_table(tmp_path: Path) -> None:
    """An archive of nothing but its settings has exactly these pages, titled as the table says."""
    (tmp_path / "archive.yaml").write_text(
        "format: 1\nname: Empty\nunits: metric\ncorrection: iso-1585\n", encoding="utf-8"
    )
    site = Site(read_archive(tmp_path))
    pages = {it.address: it for it in site.items() if it.address.endswith(".md")}
    assert {address: page.title for address, page in pages.items()} == addresses.PAGES
    for address, page in pages.items():
        title = "Empty" if address == addresses.HOME else addresses.PAGES[address]
        assert f"\n# {title}\n" in str(page.content)


def test_each_page_of_the_table_is_looked_at_in_a_browser(archive: Archive) -> None:
    """Among the pages that every browser test visits is each of the table's."""
    visited = {path(archive).partition("?")[0] for path in KINDS.values()}
    assert {addresses.served(address) for address in addresses.PAGES} <= visited


def test_the_demo_leads_to_each_page_by_its_title() -> None:
    """The navigation written by hand names every page as the table does."""
    written = (ROOT / "site_src" / "mkdocs.yml").read_text("utf-8").partition("\nnav:\n")[2]
    found = {address: title for title, address in re.findall(r"- ([\w ]+): (\S+\.md)", written)}
    assert addresses.PAGES.items() <= found.items()
