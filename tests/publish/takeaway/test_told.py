"""Feed, linked data and citations: valid by libraries for them, and saying what sheets say."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from specgen.analysis.sheet import Sheet
from specgen.archive.model.build import Archive
from specgen.publish.making.item import Item
from specgen.publish.share.sharing import tags
from specgen.publish.site import Site
from specgen.publish.takeaway.citing import bibtex, citation
from specgen.publish.takeaway.feed import feed
from specgen.publish.takeaway.linked import dataset

Items = Mapping[str, Item]
Sheets = Mapping[str, Sheet]
ATOM = "{http://www.w3.org/2005/Atom}"


@pytest.mark.filterwarnings("default")
@pytest.mark.slow
def test_the_feed_is_read_by_a_library_for_feeds(site: Site, archive: Archive) -> None:
    """No fault by feedparser; one entry a session or withdrawal, newest first, with its page."""
    feedparser = pytest.importorskip("feedparser")
    entries = [entry for it in site.extracts for entry in it.takeaway.entries]
    read = feedparser.parse(feed(archive.settings, entries, "https://shed.test/", folders=True))
    assert not read.bozo, read.get("bozo_exception")
    assert read.feed.title == archive.settings.name.value
    days = [entry.updated for entry in read.entries]
    assert days == sorted(days, reverse=True)
    sessions = sum(len(build.sessions) for build in archive.builds.values())
    assert len(read.entries) >= min(sessions, 50)
    for entry in read.entries:
        assert entry.link.startswith("https://shed.test/builds/")
        assert re.fullmatch(r"urn:uuid:[0-9a-f-]{36}", entry.id)
    assert len({entry.id for entry in read.entries}) == len(read.entries)


def test_the_feed_has_what_atom_demands(items: Items) -> None:
    """id, title and updated on feed and entries, an author (RFC 4287, sections 4.1.1 and 4.1.2)."""
    top = ElementTree.fromstring(str(items["feed.xml"].content))
    for node in (top, *top.findall(f"{ATOM}entry")):
        for name in ("id", "title", "updated"):
            assert len(node.findall(f"{ATOM}{name}")) == 1
    assert top.find(f"{ATOM}author/{ATOM}name") is not None
    assert "invented" in str(top.findtext(f"{ATOM}subtitle"))


def test_a_feed_says_what_was_withdrawn(archive: Archive, items: Items) -> None:
    """Each withdrawn build, session or pull of the demo is news of the day it was withdrawn."""
    gone = [it.withdrawn for it in archive.builds.values()]
    for build in archive.builds.values():
        for session in build.sessions:
            gone += [session.withdrawn, *(pull.withdrawn for pull in session.pulls)]
    told = str(items["feed.xml"].content)
    days = [it.on.value.isoformat() for it in gone if it]
    assert told.count("Withdrawn: ") == len(days)
    assert all(day in told for day in days)


def test_linked_data_expands_by_a_library_for_it(sheets: Sheets) -> None:
    """JSON-LD of every sheet, expanded with schema.org's vocabulary as context: a Dataset."""
    jsonld = pytest.importorskip("pyld.jsonld")
    for sheet in sheets.values():
        data = json.loads(dataset(sheet, "https://shed.test/", folders=True))
        data["@context"] = {"@vocab": "https://schema.org/"}  # the same terms, nothing fetched
        (found,) = jsonld.expand(data)
        assert found["@type"] == ["https://schema.org/Dataset"]
        assert found["@id"] == f"https://shed.test/builds/{sheet.id}/"
        for name in ("name", "description", "creator", "distribution", "license"):
            assert found[f"https://schema.org/{name}"], name
        values = found["https://schema.org/variableMeasured"]
        assert len(values) == len(sheet.headline)


def test_linked_data_stands_in_the_head_and_closes_no_tag(items: Items) -> None:
    """Each sheet carries its data as a script of data, in which no text can end the script."""
    page = items["builds/lark-hydroplane/index.md"]
    head = tags(replace(page, linked=page.linked.replace("Lark", "</script>")), "Shed", "", True)
    assert head.count("<script") == head.count("</script>") - 1 == 1
    head = tags(page, "Shed", "https://shed.test/", True)
    (text,) = re.findall(r'<script type="application/ld\+json">(.*?)</script>', head)
    assert json.loads(text)["identifier"] == "lark-hydroplane"
    assert 'type="application/atom+xml"' in head


def test_hostile_words_stay_inside_the_linked_data(sheets: Sheets) -> None:
    """A title with tags is data, not markup."""
    sheet = sheets["lark-hydroplane"]
    title = replace(sheet.build.title, value="</script><b>&")
    odd = replace(sheet, build=replace(sheet.build, title=title))
    text = dataset(odd, "", folders=True)
    assert "<" not in text
    assert json.loads(text)["name"] == "</script><b>&"


def test_citations_name_author_year_title_and_place(sheets: Sheets) -> None:
    """Text and BibTeX carry the same, say that data is invented, and where the page stands."""
    sheet, address = sheets["lark-hydroplane"], "https://shed.test/builds/lark-hydroplane/"
    for told in (citation(sheet, address), bibtex(sheet, address)):
        for words in ("Hestmere Engine Shed (invented)", sheet.build.title.value, "2025", address,
                      "The data is invented", "CC0-1.0"):  # fmt: skip
            assert words in told, told
    assert bibtex(sheet, "").count("{") == bibtex(sheet, "").count("}")


def test_bibtex_survives_odd_letters(sheets: Sheets) -> None:
    """Letters that BibTeX takes for commands are escaped; braces stay balanced."""
    sheet = sheets["lark-hydroplane"]
    title = replace(sheet.build.title, value=r"50 % {more} & #1 \x_y")
    text = bibtex(replace(sheet, build=replace(sheet.build, title=title)), "")
    assert r"50 \% \{more\} \& \#1 \textbackslash{}x\_y" in text


def test_a_renamed_build_serves_every_file_where_it_was(archive: Archive, items: Items) -> None:
    """What was linked at the old id is there still, byte for byte; its pages lead on."""
    renamed = [(old.value, it.id) for it in archive.builds.values() for old in it.formerly]
    assert renamed, "the demo has no renamed build"
    for old, new in renamed:
        files = [it for it in items if it.startswith(f"builds/{new}/") and not it.endswith(".md")]
        assert len(files) > 4
        for file in files:
            assert items[file.replace(new, old, 1)].content == items[file].content
        assert items[f"builds/{old}/index.html"]
