"""The theme's search with our entries: what must come first, in a real browser."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.site.conftest import Visit

#: What somebody types, and the page that must come first: by fuel, size, blower, part, maker's
#: number, trade word, name, and what a page of ours is about.
SEARCHES = {
    "methanol": "builds/saddle-three-wheeler/",
    "methanol lobe blower": "builds/saddle-three-wheeler/",
    "E50 hydroplane": "builds/lark-hydroplane/",
    "half and half": "builds/plover-sprint/",
    "3.0 L": "builds/lark-hydroplane/",
    "5.9 L": "builds/snow-thrower/",
    "4083 cc": "builds/mail-boat/",
    "164 cubic inches": "builds/plover-sprint/",
    "Dabchick 0.6": "builds/saddle-three-wheeler/",
    "Bittern": "builds/saddle-groomer/",
    "Dipper C82": "builds/teal-hydroplane/",
    "W10-0081": "builds/ice-sledge/",
    "U12-0044": "builds/shed-test-engine/",
    "G11-0153": "builds/saddle-special/",
    "turbocharger": "builds/sidecar-outfit/",
    "magneto impulse": "builds/mail-boat/",
    "magnetic clutch": "builds/rescue-launch/",
    "railcar": "builds/narrow-gauge-railcar/",
    "density altitude": "glossary/",
    "detonation": "cautions/",
}


@pytest.mark.browser
def test_twenty_searches_find_the_right_page_first(visit: Visit) -> None:
    """The first link of the result list, for each of the searches."""
    page = visit().open("method/")
    field = page.get_by_role("textbox", name="Search")
    field.click()
    first = page.locator(".md-search-result__item a").first
    found = {}
    for words in SEARCHES:
        field.fill("")
        field.press("End")
        first.wait_for(state="detached")
        field.fill(words)
        field.press("End")  # the theme waits for a key
        first.wait_for()
        found[words] = (first.get_attribute("href") or "").partition("?")[0]
    home = page.evaluate("new URL('..', location.href).href")
    wanted = {words: home + place for words, place in SEARCHES.items()}
    assert {it: found[it].partition("#")[0] for it in found} == wanted


def test_entries_of_builds_are_small_and_whole(built_site: Path) -> None:
    """At most 1.5 kB a build; every sheet and blower once; no page of theirs in pieces."""
    index = json.loads((built_site / "search" / "search_index.json").read_text("utf-8"))
    entries = [it for it in index["docs"] if it["location"].startswith(("builds/", "blowers/"))]
    heaviest = max(len(json.dumps(entry).encode("utf-8")) for entry in entries)
    assert heaviest <= 1500
    places = [entry["location"] for entry in entries]
    assert len(places) == len(set(places))
    pages = {
        path.parent.relative_to(built_site).as_posix() + "/"
        for folder in ("builds", "blowers")
        for path in (built_site / folder).glob("*/index.html")
        if 'http-equiv="refresh"' not in path.read_text("utf-8")
    }
    assert pages <= set(places)
