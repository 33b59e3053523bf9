"""`python -m tests.bench.compare`: what a comparison costs a reader of 3,000 builds.

The demo site is built once; its data files then give way to those of a made archive. A local server
counts what Chromium asks for; builds are chosen by the page's own field, and the time runs from the
key that chooses to the frame after table and curves were drawn. Printed, never asserted.
"""

from __future__ import annotations

import argparse
import functools
import gzip
import json
import random
import re
import statistics
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, sync_playwright

from specgen.publish.plugin import build_site
from tests.bench.many import Many, data_of, made
from tests.conftest import CHROMIUM

ROOT = Path(__file__).parents[2]
#: Columns of a comparison; after so many the page is loaded anew.
_MOST = 5
#: How long a page may take on a busy machine before the run is given up [ms].
_PATIENCE = 180_000
#: The limits that the figures are printed beside.
_FIRST_LOAD, _OWN, _REDRAWN = 250_000, 25_000, 100.0

_ARMED = """wanted => { window.sgDrawn = new Promise(done => {
  let began = 0;
  const root = document.querySelector('[data-sg-compare]');
  document.addEventListener('keydown', event => { began = event.timeStamp; },
    { capture: true, once: true });
  const seen = new MutationObserver(() => {
    if (!began || root.querySelectorAll('.sg-compare-table thead a').length !== wanted) return;
    seen.disconnect();
    requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now() - began)));
  });
  seen.observe(root, { childList: true, subtree: true });
}); }"""

_CHANGED = """([selector, value, event]) => new Promise(done => {
  const field = document.querySelector(selector);
  const began = performance.now();
  field.value = value;
  field.dispatchEvent(new Event(event));
  requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now() - began)));
})"""


def write_many(site: Path, count: int) -> Many:
    """Put the data of so many made builds in the place of the demo's."""
    index, combos = next(site.glob("compare/builds.*js")), next(site.glob("find/combos.*js"))
    many = made(index.read_text("utf-8"), combos.read_text("utf-8"), count)
    index.write_text(many.index, "utf-8")
    combos.write_text(many.combos, "utf-8")
    origins = {
        name: data_of((site / "builds" / name / "compare.js").read_text("utf-8"))
        for name in set(many.sources.values())
    }
    for name, origin in many.sources.items():
        (site / "builds" / name).mkdir(exist_ok=True)
        target = site / "builds" / name / "compare.js"
        target.write_text(many.build(name, origins[origin]), "utf-8")
    _write_table(site / "builds" / "index.html", many)
    return many


def _write_table(page: Path, many: Many) -> None:
    """Give the page of all builds a row for each made build, each that of its origin renamed."""
    text = page.read_text("utf-8")
    found = re.search(r'(<table[^>]*id="sg-builds".*?<tbody>)(.*?)(</tbody>)', text, re.DOTALL)
    assert found is not None
    rows = re.findall(r"<tr.*?</tr>", found.group(2), re.DOTALL)
    by_id = {re.findall(r'data-sg-id="([^"]+)"', row)[0]: row for row in rows}
    made_rows = [
        re.sub(r"(<a [^>]*>)[^<]*", rf"\g<1>{title}", by_id[many.sources[name]], count=1)
        for name, title in zip(many.ids, many.titles, strict=True)
    ]
    page.write_text(text[: found.end(1)] + "\n".join(made_rows) + text[found.start(3) :], "utf-8")


class _Counting(SimpleHTTPRequestHandler):
    """Serves files and notes what was asked for."""

    asked: list[str] = []  # noqa: RUF012 - one list for all of a server's requests

    def do_GET(self) -> None:
        """Note the path, then serve it."""
        self.asked.append(self.path.partition("?")[0])
        super().do_GET()

    def log_message(self, *_args: Any) -> None:
        """Keep the output to the figures."""


@contextmanager
def served(site: Path) -> Iterator[str]:
    """Serve a folder; give its address."""
    handler = functools.partial(_Counting, directory=str(site))
    with ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


def asked_by(page: Page, act: Callable[[], object], pause: float = 200) -> list[str]:
    """Paths that a page asks for while something is done and a pause [ms] after, once each."""
    _Counting.asked.clear()
    act()
    page.wait_for_timeout(pause)
    return list(dict.fromkeys(_Counting.asked))


def _is_own(path: str) -> bool:
    """Whether a file is ours; the theme's lie among the other assets, its search beside them."""
    return path.startswith("/assets/specgen/") or not path.startswith(("/assets/", "/search/"))


def _weight(site: Path, path: str) -> int:
    file = site / path.lstrip("/")
    file = file / "index.html" if file.is_dir() else file
    return len(gzip.compress(file.read_bytes(), 9)) if file.is_file() else 0


def first_load(page: Page, address: str, path: str, site: Path) -> dict[str, Any]:
    """What a page asks for when it is opened, compressed: ours by file, the theme's in one."""
    asked = asked_by(page, lambda: page.goto(address + path, timeout=_PATIENCE), 3000)
    weights = {it: _weight(site, it) for it in asked}
    ours = {it: size for it, size in weights.items() if _is_own(it)}
    assets = [size for it, size in ours.items() if it.startswith(("/assets/", "/stylesheets/"))]
    search = sum(size for it, size in weights.items() if it.startswith("/search/"))
    return {
        "files": ours,
        "bytes": sum(ours.values()),
        "script_and_style": sum(assets),
        "theme": sum(weights.values()) - sum(ours.values()) - search,
        "search": search,
    }


def choose(page: Page, title: str, wanted: int) -> float:
    """Choose a build by name in the page's field; give the time to the new frame [ms]."""
    field = page.get_by_label("Add a build")
    field.fill(title)
    page.locator("#sg-found [role=option]").first.wait_for()
    page.evaluate(_ARMED, wanted)
    field.press("Enter")
    taken: float = page.evaluate("window.sgDrawn")
    return taken


def choices(page: Page, address: str, many: Many, names: list[str]) -> dict[str, Any]:
    """Choose builds one after the other; times, and whatever else was asked for than the build."""
    times, more, sizes = [], [], []
    titles = dict(zip(many.ids, many.titles, strict=True))
    for turn, name in enumerate(names):
        if turn % _MOST == 0:
            asked_by(page, lambda: page.goto(address + "compare/"))
        wanted = turn % _MOST + 1
        asked = asked_by(
            page,
            lambda name=name, wanted=wanted: times.append(  # type: ignore[misc]
                choose(page, titles[name], wanted)
            ),
        )
        sizes.append(len(asked))
        more += [it for it in asked if it != f"/builds/{name}/compare.js"]
    return {**_spread(times), "choices": len(times), "requests_each": sorted(set(sizes)),
            "other_requests": more}  # fmt: skip


def _spread(times: list[float]) -> dict[str, float]:
    ordered = sorted(times)
    return {
        "median": round(statistics.median(ordered), 1),
        "percentile_90": round(ordered[min(len(ordered) - 1, int(0.9 * len(ordered)))], 1),
    }


def changes(page: Page, selector: str, values: list[str], event: str) -> dict[str, float]:
    """Change a field several times; time to the frame after [ms]."""
    page.locator(selector).wait_for()
    return _spread([page.evaluate(_CHANGED, [selector, it, event]) for it in values])


def measure(start: Callable[[], Browser], site: Path, count: int, number: int) -> dict[str, Any]:
    """All figures of one run."""
    many = write_many(site, count)
    names = random.Random(7).sample(many.ids, number)
    with served(site) as address:
        found: dict[str, Any] = {"builds": count}
        for path in ("compare/", "builds/", "find/"):
            with start() as browser:
                found[path] = first_load(browser.new_page(), address, path, site)
        for rate in (1, 4):
            with start() as browser:
                page = browser.new_page()
                page.context.new_cdp_session(page).send(
                    "Emulation.setCPUThrottlingRate", {"rate": rate}
                )
                found[f"choice_at_{rate}"] = choices(page, address, many, names)
        with start() as browser:
            found["builds/"]["filter"], found["find/"]["fuel"] = _others(browser, address)
    return found


def _others(browser: Browser, address: str) -> tuple[dict[str, float], dict[str, float]]:
    """Time the table's filter and the search for the nearest builds, for information."""
    page = browser.new_page()
    page.goto(address + "builds/", timeout=_PATIENCE)
    words = changes(page, ".sg-browse-words input", ["heron", "winter", "", "bar"] * 3, "input")
    page.goto(address + "find/?litres=2&cylinders=4")
    fuel = changes(page, "select[name=fuel]", ["E85", "", "methanol"] * 4, "change")
    return words, fuel


def text(found: dict[str, Any]) -> str:
    """The figures for a terminal."""
    lines = [f"{found['builds']} builds; sizes compressed (gzip 9), times from a local server"]
    for path in ("compare/", "builds/", "find/"):
        load = found[path]
        lines += [
            f"\nfirst load of {path} {load['bytes'] / 1e3:.1f} kB; limit of compare/ "
            f"{_FIRST_LOAD / 1e3:.0f} kB. Apart from it: the theme {load['theme'] / 1e3:.1f} kB,",
            f"and its search {load['search'] / 1e3:.1f} kB for the pages of the demo",
        ]
        lines += [f"  {size / 1e3:8.1f}  {it}" for it, size in load["files"].items()]
        lines.append(f"  {load['script_and_style'] / 1e3:8.1f}  own script and style together; "
                     f"limit {_OWN / 1e3:.0f} kB")  # fmt: skip
    lines.append("")
    for rate in (1, 4):
        it = found[f"choice_at_{rate}"]
        lines += [
            f"choosing a build to redrawn, processor slowed {rate} times: median "
            f"{it['median']} ms, 90th percentile {it['percentile_90']} ms of {it['choices']}"
            + (f"; limit {_REDRAWN:.0f} ms" if rate == 1 else ""),
            f"  requests a choice: {it['requests_each']}, other than that build's file: "
            f"{it['other_requests'] or 'none'}",
        ]
    for path, key in (("builds/", "filter"), ("find/", "fuel")):
        it = found[path][key]
        lines.append(f"{path} {key}: median {it['median']} ms, 90th percentile "
                     f"{it['percentile_90']} ms")  # fmt: skip
    return "\n".join(lines)


def main(arguments: list[str] | None = None) -> int:
    """Measure and print; never judges."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.compare", description=__doc__)
    parser.add_argument("--format", choices=("text", "json"), default="text")
    parser.add_argument("--builds", type=int, default=3000)
    parser.add_argument("--choices", type=int, default=20)
    asked = parser.parse_args(arguments)
    browser_path = next((path for path in CHROMIUM if path.exists()), None)
    if browser_path is None:
        parser.error(f"no browser at {' or '.join(map(str, CHROMIUM))}")
    with tempfile.TemporaryDirectory(prefix="bench-") as folder, sync_playwright() as driver:
        site = build_site(ROOT / "site_src" / "mkdocs.yml", site_dir=Path(folder, "site"))
        start = functools.partial(
            driver.chromium.launch, executable_path=str(browser_path), args=["--no-sandbox"]
        )
        found = measure(start, site, asked.builds, asked.choices)
    printed = json.dumps(found, indent=2) if asked.format == "json" else text(found)
    sys.stdout.write(printed + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
