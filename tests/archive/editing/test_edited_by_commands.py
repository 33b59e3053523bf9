"""Files edited by new, rename and import, in whatever style they are written: nothing else moves.

Each build of the demo is rewritten by chance in ways that mean the same (comments, blank lines,
quotes, line ends, a mark at the head), then edited; every line that stood there stands there after,
in its order, to the byte.
"""

from __future__ import annotations

import datetime
import difflib
import random
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from specgen.archive.importing.plan import Intake, Visit, planned
from specgen.archive.reading.source import Tree, load
from specgen.archive.starting.adding import new_session, rename

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parent.parent.parent.parent
BUILDS = sorted((ROOT / "builds").glob("*/build.yaml"))
SESSION: dict[str, Tree] = {
    "date": "2031-05-14",
    "dyno": {"kind": "hub", "measured_at": "hub"},
    "figures": "unknown",
    "pulls": [],
}
_PLAIN = re.compile(r"^(\s*(?:- )?[a-z_]+: )((?!true|null|no$)[A-Za-z][\w ]*)$")
_WORDS = ("# checked by AB", "# TODO: ask", "#", "#no space", "# 'quoted' \"twice\": {x}", "# ä €")


def restyled(text: str, chance: random.Random) -> bytes:
    """The same file as another hand would have written it; its meaning is held by the caller."""
    lines, inside = [], False
    for line in text.split("\n"):
        indent = len(line) - len(line.lstrip())
        inside = inside and (not line.strip() or indent > 0) and not re.match(r"\S", line)
        inside = inside or bool(re.search(r"[>|][-+]?\s*$", line))
        plain = not inside and line.strip() and not line.lstrip().startswith("#")
        if plain and chance.random() < 0.15:
            lines.append(" " * indent + chance.choice(_WORDS))
        if plain and chance.random() < 0.1:
            lines.append("")
        if plain and (found := _PLAIN.match(line)) and chance.random() < 0.3:
            quote = chance.choice(("'", '"'))
            line = f"{found[1]}{quote}{found[2]}{quote}"
        if plain and "#" not in line and chance.random() < 0.15:
            line += "  " + chance.choice(_WORDS)
        lines.append(line)
    end = chance.choice(("\n", "\r\n"))
    mark = chance.choice(("", "", "\ufeff"))
    return (mark + end.join(lines)).encode()


def by_new(file: Path) -> Path:
    """`specgen new session`."""
    return new_session(file.parent.parent, file.parent.name, dict(SESSION))


def by_rename(file: Path) -> Path:
    """`specgen rename`."""
    return rename(file.parent.parent, file.parent.name, "another-name") / "build.yaml"


def by_import(file: Path) -> Path:
    """`specgen import`: the build's file alone, as it would be written."""
    read = SimpleNamespace(
        name="run.csv", data=b"x",
        pulls=[SimpleNamespace(text="engine speed [rpm]\n", method="the rows as they are")],
    )  # fmt: skip
    tree = load(file.read_bytes(), "").tree
    assert isinstance(tree, dict)
    setups = cast(list[dict[str, str]], tree["setups"])
    visit = Visit(datetime.date(2031, 5, 14), {"kind": "hub", "measured_at": "hub"}, "unknown")
    change = planned(file.parent, [Intake(cast(Any, read), setups[0]["id"], visit)])[-1]
    file.write_bytes(change.after)
    return file


def comments(data: bytes) -> list[str]:
    """Every comment and every blank line, in order, with its line's end."""
    return [
        it[0] for it in re.finditer(r"(?m)^\s*?$\r?\n|(?:^|(?<=\s))#[^\r\n]*\r?\n?", data.decode())
    ]


def lines_gone(old: bytes, new: bytes) -> int:
    """How many old lines, with their ends, do not stand in the new file in their order."""
    before, after = old.splitlines(keepends=True), new.splitlines(keepends=True)
    blocks = difflib.SequenceMatcher(None, before, after, autojunk=False).get_matching_blocks()
    return len(before) - sum(block.size for block in blocks)


@pytest.mark.parametrize("edit", [by_new, by_rename, by_import])
@given(which=st.sampled_from(BUILDS), seed=st.integers(0, 2**32))
@settings(
    max_examples=25, deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)  # fmt: skip
def test_every_line_comment_and_quote_stays(
    edit: Callable[[Path], Path], which: Path, seed: int, tmp_path: Path
) -> None:
    """Old lines stand in their order, comments are the same, and the file means what was meant."""
    text = which.read_text("utf-8")
    before = restyled(text, random.Random(seed))
    meant = load(text.encode(), "").tree
    assert load(before, "").tree == meant, "another hand has written the same"
    folder = tmp_path / "archive" / "tug"
    shutil.rmtree(tmp_path / "archive", ignore_errors=True)
    folder.mkdir(parents=True)
    (folder / "build.yaml").write_bytes(before)
    after = edit(folder / "build.yaml").read_bytes()
    assert after != before
    assert comments(after) == comments(before)
    assert lines_gone(before, after) <= 1  # a list within brackets grows on its own line
    read = load(after, "")
    assert read.findings == ()
    assert isinstance(read.tree, dict)
    assert isinstance(meant, dict)
    kept = {key: value for key, value in read.tree.items() if key not in ("sessions", "formerly")}
    assert kept == {key: it for key, it in meant.items() if key not in ("sessions", "formerly")}
    told = cast(list[Tree], read.tree.get("sessions", []))
    had = cast(list[Tree], meant.get("sessions", []))
    assert told[: len(had)] == had
    assert len(told) - len(had) == (0 if edit is by_rename else 1)
