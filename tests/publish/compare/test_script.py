"""The site's own scripts and style: typed, light, free of markup and of what a policy forbids.

TypeScript checks the types where a machine has it: `tsc` of version 5 on the path, or its file in
the variable SPECGEN_TSC (`npm install typescript@5` in a folder of its own; nothing of it comes
into the repository). Without it the light check stands: every function says the types of what it
takes. What the functions do is tested in a browser (tests/site).
"""

from __future__ import annotations

import gzip
import json
import os
import re
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

import pytest

from specgen.publish import addresses
from specgen.publish.web.bundles import BUNDLES, MODEL, OWN_UNITS, bundles, source

ASSETS = Path(__file__).parents[3] / "specgen" / "publish"
SCRIPTS = [name for parts in BUNDLES.values() for name in parts if name.endswith(".js")]
#: Ways by which a text becomes markup, code or style, or a request leaves the page.
FORBIDDEN = (
    "innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval(", "new Function",
    "setAttribute(\"style\"", "style:", "fetch(", "XMLHttpRequest", "import(", "WebSocket",
    "sendBeacon", "http://", "https://",
)  # fmt: skip
ALLOWED = ("http://www.w3.org/2000/svg",)
#: Own script and style that each kind of page loads, besides what all load.
PAGES = {
    "sheet": (addresses.READING_STYLE, addresses.SHEET_SCRIPT, addresses.RECORD_STYLE),
    "figures": (addresses.READING_STYLE, addresses.FIGURES_STYLE),
    "compare": (addresses.COMPARE_SCRIPT,),
    "builds": (addresses.BROWSE_SCRIPT, addresses.BROWSE_STYLE),
    "find": (addresses.FIND_SCRIPT,),
}
EVERYWHERE = (addresses.STYLE, addresses.LOOK, addresses.SCRIPT)
_FUNCTION = re.compile(r"^( *)(?:async )?function (\w+)\(([^)]*)\)", re.MULTILINE)


def compressed(text: str) -> int:
    """Bytes of a text as a server sends it."""
    return len(gzip.compress(text.encode("utf-8"), 9))


def test_every_source_is_in_a_bundle_once() -> None:
    """No part is forgotten and none is loaded twice."""
    parts = [OWN_UNITS, *(name for names in BUNDLES.values() for name in names if name != MODEL)]
    assert sorted(parts) == sorted(
        path.relative_to(ASSETS).as_posix()
        for path in ASSETS.rglob("*")
        if path.suffix in (".js", ".css")
    )


@pytest.mark.parametrize("name", SCRIPTS)
def test_each_part_asks_to_be_checked(name: str) -> None:
    """Strict mode, and types checked by any editor that can."""
    assert source(name).startswith('// @ts-check\n"use strict";\n')


@pytest.mark.parametrize("name", SCRIPTS)
def test_every_parameter_is_typed(name: str) -> None:
    """Each named function's comment has a type for each of its parameters."""
    text = source(name)
    untyped = []
    for found in _FUNCTION.finditer(text):
        names = parameters(found.group(3))
        typed = len(re.findall(r"@param \{", comment_before(text, found.start())))
        if typed != len(names):
            untyped.append(f"{found.group(2)}({found.group(3)}): {typed} of {len(names)}")
    assert untyped == []


def parameters(inside: str) -> list[str]:
    """Parameters of a function's head, a taken-apart one counted once."""
    plain = inside
    while (shorter := re.sub(r"\{[^{}]*\}|\[[^\[\]]*\]", "taken", plain)) != plain:
        plain = shorter
    return [part for part in plain.split(",") if part.strip()]


def comment_before(text: str, place: int) -> str:
    """The comment that ends right above a function; empty where there is none."""
    above = text[:place].rstrip()
    return above[above.rindex("/**") :] if above.endswith("*/") else ""


def compiler() -> str:
    """The type checker of this machine; the test skips without one."""
    found = os.environ.get("SPECGEN_TSC") or shutil.which("tsc")
    if not found:
        pytest.skip("no tsc on the path and none in SPECGEN_TSC")
    told = subprocess.run([found, "--version"], capture_output=True, text=True, check=True)
    version = told.stdout.split()[-1]
    if not version.startswith("5."):
        pytest.skip(f"tsc {version}: version 5 reads one namespace over several files")
    return found


def type_faults(tsc: str, sources: Sequence[Path], folder: Path) -> str:
    """What the strict type checker says of scripts that share one namespace; empty if nothing."""
    settings = {
        "compilerOptions": {
            "allowJs": True, "checkJs": True, "noEmit": True, "strict": True, "target": "ES2022",
            "lib": ["ES2023", "DOM", "DOM.Iterable"], "types": [],
        },
        "files": [str(path) for path in sources],
    }  # fmt: skip
    (folder / "tsconfig.json").write_text(json.dumps(settings), "utf-8")
    run = subprocess.run(
        [tsc, "-p", str(folder)], capture_output=True, text=True, check=False, cwd=folder
    )
    return run.stdout


def test_types_hold(tmp_path: Path) -> None:
    """A strict type checker finds nothing in the sources."""
    assert type_faults(compiler(), [ASSETS / name for name in SCRIPTS], tmp_path) == ""


def test_the_type_check_sees_across_parts(tmp_path: Path) -> None:
    """A function of another part that is given a text for a number is found."""
    wrong = tmp_path / "wrong.js"
    wrong.write_text('specgen.chart.ticks("low", 2, 3).toFixed();\n', "utf-8")
    told = type_faults(compiler(), [*(ASSETS / name for name in SCRIPTS), wrong], tmp_path)
    assert "TS2345" in told
    assert "TS2339" in told or "TS2551" in told


@pytest.mark.parametrize("name", SCRIPTS)
def test_no_text_becomes_markup_and_nothing_is_asked_elsewhere(name: str) -> None:
    """Only elements and texts are made; no request but for our own data files."""
    text = source(name)
    for allowed in ALLOWED:
        text = text.replace(allowed, "")
    assert [word for word in FORBIDDEN if word in text] == []


def test_the_light_check_sees_what_it_looks_for() -> None:
    """A function without types is found, and so is one whose comment misses a parameter."""
    assert parameters("{ a, b }, [c, d], e = 1") == ["taken", " taken", " e = 1"]
    bare = "function f(a) {"
    assert comment_before(bare, 0) == ""
    half = "/** @param {number} a */\nfunction f(a, b) {"
    found = _FUNCTION.search(half)
    assert found is not None
    assert len(re.findall(r"@param \{", comment_before(half, found.start()))) == 1
    assert len(parameters(found.group(3))) == 2


def test_bundles_repeat_and_carry_no_comments() -> None:
    """The same bytes every time, with the texts of the sources and without their comments."""
    made = dict(bundles())
    assert made == dict(bundles())
    assert list(made) == list(BUNDLES)
    for address, text in made.items():
        sources = "\n".join(source(name) for name in BUNDLES[address] if name != MODEL)
        assert "/*" not in text
        assert len(text) < 0.8 * len(sources)
    assert "No build has all these words." in made[addresses.COMPARE_SCRIPT]


@pytest.mark.parametrize("page", PAGES)
def test_own_script_and_style_of_a_page_are_light(page: str) -> None:
    """All of ours that a page loads stays under 25 kB, compressed file by file as it is sent."""
    made = dict(bundles())
    size = sum(compressed(made[address]) for address in (*EVERYWHERE, *PAGES[page]))
    assert size < 25_000, f"{size} bytes"
