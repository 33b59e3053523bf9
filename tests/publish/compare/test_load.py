"""What the comparison loads of an archive of 3,000 builds: little at first, then what is chosen.

Sizes and requests only; `python -m tests.bench.compare` prints times.
"""

from __future__ import annotations

import gzip
import http.server
import threading
from collections.abc import Iterator, Mapping

import pytest
from playwright.sync_api import Browser, expect

from specgen.analysis.sheet import Sheet
from specgen.archive.model.build import Archive
from specgen.publish import addresses
from specgen.publish.compare.data import build_script, index_row, index_script
from specgen.publish.compare.page import Comparison
from specgen.publish.find.combos import combos_of, combos_script
from specgen.publish.typesetting.rendering import rendered
from specgen.publish.web.bundles import bundles
from tests.bench.many import Many, data_of, made

COUNT = 3000
CHOSEN = 3
#: Bytes that the first load of the comparison may weigh beyond the theme, compressed.
FIRST_LOAD = 250_000
#: The page's own address in this test; its files lie where the site has them.
PAGE = "compare/index.html"


@pytest.fixture(scope="module")
def many(archive: Archive, sheets: Mapping[str, Sheet]) -> Many:
    """A made archive of many builds."""
    return made(
        index_script(archive, map(index_row, sheets.values())),
        combos_script(map(combos_of, sheets.values())),
        COUNT,
    )


@pytest.fixture(scope="module")
def files(many: Many, sheets: Mapping[str, Sheet]) -> dict[str, str]:
    """Everything that the page asks for, by path; of the builds those that are chosen."""
    block = rendered(
        Comparison(
            index="builds.js",
            data="../builds/*/compare.js",
            sheet="../builds/*/",
            script="../" + addresses.COMPARE_SCRIPT,
            builds="../builds/",
        )
    )
    page = f'<!doctype html><meta charset="utf-8"><title>-</title><link rel="icon" href="data:,">\
<link rel="stylesheet" href="../{addresses.STYLE}"><div class="sg sg-metric">{block}</div>\
<script src="../{addresses.SCRIPT}"></script>'
    chosen = {
        addresses.compare_build(name): many.build(
            name, data_of(build_script(sheets[many.sources[name]]))
        )
        for name in many.ids[:CHOSEN]
    }
    return {PAGE: page, addresses.COMPARE_BUILDS: many.index, **dict(bundles()), **chosen}


def test_first_load_of_many_builds_is_light(many: Many, files: dict[str, str]) -> None:
    """Page, script, style and index of 3,000 builds, no two of which share name and figures."""
    assert len(set(many.titles)) == len(set(many.ids)) == COUNT
    first = (PAGE, addresses.COMPARE_BUILDS, addresses.STYLE, addresses.SCRIPT,
             addresses.COMPARE_SCRIPT)  # fmt: skip
    weight = sum(len(gzip.compress(files[name].encode("utf-8"), 9)) for name in first)
    assert 50_000 < weight < FIRST_LOAD


@pytest.fixture
def server(files: dict[str, str]) -> Iterator[tuple[str, list[str]]]:
    """Serve the files from memory; give the address and the paths that are asked for."""
    asked: list[str] = []

    class Handler(http.server.BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            name = self.path.partition("?")[0].removeprefix("/")
            asked.append(name)
            text = files.get(name)
            self.send_response(404 if text is None else 200)
            kind = {"css": "text/css", "js": "text/javascript"}.get(name.rpartition(".")[2])
            self.send_header("Content-Type", f"{kind or 'text/html'}; charset=utf-8")
            self.end_headers()
            self.wfile.write((text or "").encode("utf-8"))

        def log_message(self, *_args: object) -> None:
            """Keep the tests' output to the tests."""

    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler) as made_server:
        threading.Thread(target=made_server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{made_server.server_port}/", asked
        made_server.shutdown()


@pytest.mark.browser
def test_choosing_a_build_asks_for_its_file_alone(
    browser: Browser, server: tuple[str, list[str]], many: Many
) -> None:
    """First page, styles, scripts and index; then one file a build, and none for one known."""
    address, asked = server
    with browser.new_context() as context:
        page = context.new_page()
        page.goto(address + PAGE)
        field = page.get_by_label("Add a build")
        expect(field).to_be_visible()
        first = [addresses.STYLE, addresses.SCRIPT, addresses.COMPARE_SCRIPT]
        assert sorted(asked) == sorted([PAGE, addresses.COMPARE_BUILDS, *first])
        for turn, name in enumerate(many.ids[:CHOSEN], start=1):
            asked.clear()
            field.fill(many.titles[turn - 1])
            page.locator("#sg-found [role=option]").first.wait_for()
            field.press("Enter")
            expect(page.locator(".sg-compare-table thead a")).to_have_count(turn)
            assert asked == [addresses.compare_build(name)]
        asked.clear()
        page.get_by_role("button", name="Remove A").click()
        expect(page.locator(".sg-compare-table thead a")).to_have_count(CHOSEN - 1)
        page.go_back()
        expect(page.locator(".sg-compare-table thead a")).to_have_count(CHOSEN)
        assert asked == []
