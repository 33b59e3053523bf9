"""Entries of the search: short texts, merged into the index that a theme has written."""

from __future__ import annotations

import json

import pytest
from markupsafe import Markup

from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.search.entries import blower_entry, page_entries, sheet_entry
from specgen.publish.search.entry import Entry, merged, shortened
from specgen.publish.site import Site
from specgen.publish.typesetting.finished import finished
from specgen.publish.typesetting.page import Part, fixed_page
from tests.publish.pages import sheets_of


def test_entries_take_the_place_of_what_the_theme_found_of_their_pages() -> None:
    """A hand-written page's entries stay; a prepared index is dropped, since it misses ours."""
    theirs = [{"location": "own/", "title": "Own", "text": ""},
              {"location": "builds/x/#limits", "title": "Limits", "text": "a table"}]  # fmt: skip
    text = json.dumps({"config": {"lang": ["en"]}, "docs": theirs, "index": {"version": "2"}})
    entry = Entry("builds/x/index.md", "A & B", "1 < 2", ("E85",), weight=0.5)
    found = json.loads(merged(text, [entry], folders=True))
    assert found == {
        "config": {"lang": ["en"]},
        "docs": [
            theirs[0],
            {
                "location": "builds/x/",
                "title": "A &amp; B",
                "text": "1 &lt; 2",
                "tags": ["E85"],
                "boost": 0.5,
            },
        ],
    }


@pytest.mark.parametrize("text", ["", "[]", '{"docs": 3}', "{}"])
def test_an_unknown_index_is_refused(text: str) -> None:
    """Another search's file is not written over."""
    with pytest.raises(ValueError, match=r"docs|Expecting"):
        merged(text, [], folders=True)


def test_a_long_text_is_cut_between_words_and_by_bytes() -> None:
    """Letters of more than one byte count as what they weigh, and stay whole."""
    assert shortened("short", 20) == "short"
    assert shortened("ein überlanger Text", 12) == "ein"
    assert shortened("ééééé", 5) == "éé"


def test_a_page_gives_an_entry_for_itself_and_each_section() -> None:
    """Headings, titled sections and terms with anchors; a table that nobody searches is silent."""
    sections = (
        Part("", Markup('<section id="one"><h2>In a block</h2><p>Told &amp; sold.</p></section>')),
        Part("A heading", Markup("<p>Its text.</p>")),
        Part("Figures", Markup("<table><tr><td>17</td></tr></table>"), searchable=False),
        Part("", Markup('<dl><div id="term"><dt>a-term</dt><dd>It means that.</dd></div></dl>')),
    )
    links = Links(addresses.UNITS)
    page = finished(fixed_page(links, "What it is.", sections, "metric"))
    elements = ['<h1 id="units">Units</h1>', '<h2 id="a-heading">A heading</h2>',
                '<h2 id="figures">Figures</h2>']  # fmt: skip
    found = list(page_entries(links.page, page, elements))
    assert [(it.anchor, it.title, it.text) for it in found] == [
        ("", "Units", "What it is."),
        ("one", "In a block", "Told & sold."),
        ("a-heading", "A heading", "Its text."),
        ("figures", "Figures", ""),
        ("term", "a-term", "It means that."),
    ]


def test_a_sheet_is_found_by_size_fuel_blower_part_and_trade_word(site: Site) -> None:
    """What somebody would type, in the archive's words and in the trade's others."""
    entry = sheet_entry(sheets_of(site)["lark-hydroplane"])
    assert entry.labels == ("3.0 L", "Grebe 1.6", "E50", "E85")
    for word in ("2993 cc", "supercharger", "intercooler", "horsepower", "G16-0419"):
        assert word in entry.text, word
    natural = sheet_entry(sheets_of(site)["mail-boat"])
    assert "supercharge" not in natural.text
    assert "NA" in natural.text.split()
    blower = blower_entry(next(iter(site.archive.blowers.values())))
    assert "supercharger" in blower.text
