"""Edits in place: whatever is added or changed, every other byte of the file stays."""

from __future__ import annotations

import difflib
import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from specgen.archive.editing.edits import EditError, append_item, change, insert_key
from specgen.archive.editing.spans import spans
from specgen.archive.reading.source import Tree, TreePath, load

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parent.parent.parent.parent
FILES = sorted(
    path
    for folder in (ROOT / "builds", ROOT / "tests" / "archive" / "good")
    for path in folder.rglob("*.yaml")
)
PULL: Tree = {"setup": "p96", "curve": "pulls/2026-05-14-1.csv", "note": "hot: # second, 'late'"}
SESSION: Tree = {
    "date": "2026-05-14",
    "dyno": {"kind": "engine", "measured_at": "flywheel"},
    "air": {"pressure": "99.1 kPa", "barometer": "station", "temperature": "27 degC"},
    "pulls": [PULL, {"setup": "p93", "peaks": {"power": "301 kW at 6400 rpm"}}],
}
#: Ways to write that nobody who sets a file by hand is spared.
ODD = (
    "# head\n\na:\n- 1   # one\n# about b\nb: [1, 2,  ]  # flow\n# end",
    "a:\n    - x: 1\n      y:\n        - deep  # why\n        # still deep\n    # shallow\nz: 2\n",
    "s: >-\n  folded\n  text\n\n\nkeep: |+\n  kept\n\n\nlast:\n",
    "'q': 'it''s'\n"
    '"d": "two"\n'
    "f: {a: 1, 'b': [],}\ne: {}\nn: ~\nt: null # none\nl: []  # empty\n",
    "---\na:\n  - - 1\n    - 2\n  - [\n    {x: 1},  # first\n    {x: 2}   # second\n  ]\n...\n",
    "a: text that\n  goes on\nb:\r\n  - é €\r\n",
    "- only\n- a list\n",
    "{a: 1, b: {c: [1, 2]}}\n",
    "l: []",
    "a: {b: }\n",
)


def texts() -> Iterator[tuple[str, bytes]]:
    """Every file of the demo and of the good cases, and the odd ones."""
    yield from ((str(path.relative_to(ROOT)), path.read_bytes()) for path in FILES)
    yield from ((f"odd {number}", text.encode()) for number, text in enumerate(ODD))


def paths(tree: Tree, path: TreePath = ()) -> Iterator[tuple[TreePath, Tree]]:
    """Every value with its path."""
    yield path, tree
    if isinstance(tree, dict):
        for key, value in tree.items():
            yield from paths(value, (*path, key))
    elif isinstance(tree, list):
        for number, item in enumerate(tree):
            yield from paths(item, (*path, number))


def some(data: bytes, kind: type | tuple[type, ...], count: int) -> list[tuple[TreePath, Tree]]:
    """A fixed sample of the values of a kind; all of a small file's."""
    found = [item for item in paths(load(data, "").tree) if isinstance(item[1], kind)]
    return random.Random(11).sample(found, min(count, len(found)))


def is_old_with_one_stretch_more(old: bytes, new: bytes) -> bool:
    """Whether the new bytes are the old ones with one stretch put in between."""
    same = next((n for n, (a, b) in enumerate(zip(old, new, strict=False)) if a != b), len(old))
    return len(new) > len(old) and new.endswith(old[same:])


def lines_gone(old: bytes, new: bytes) -> int:
    """How many lines of the old text do not stand in the new one, in their order."""
    before, after = old.decode().splitlines(), new.decode().splitlines()
    blocks = difflib.SequenceMatcher(None, before, after, autojunk=False).get_matching_blocks()
    return len(before) - sum(block.size for block in blocks)


@pytest.mark.parametrize(("name", "data"), list(texts()), ids=[name for name, _ in texts()])
@pytest.mark.parametrize("value", ["new", PULL, SESSION], ids=["text", "pull", "session"])
def test_an_item_is_added_and_nothing_else(name: str, data: bytes, value: Tree) -> None:
    """Lists of every file: the item is read back, and each old byte stands in its order."""
    for path, found in some(data, list, 3):
        new = append_item(data, path, value, name)
        tree = load(new, name).tree
        assert dict(paths(tree))[path] == [*found, value] if isinstance(found, list) else False
        if found:
            assert is_old_with_one_stretch_more(data, new), (path, new.decode())
        else:  # only the line with the empty brackets changes
            assert lines_gone(data, new) <= 1


@pytest.mark.parametrize(("name", "data"), list(texts()), ids=[name for name, _ in texts()])
@pytest.mark.parametrize("value", ["new", ["a-former"], SESSION], ids=["text", "list", "session"])
def test_a_key_is_put_in_and_nothing_else(name: str, data: bytes, value: Tree) -> None:
    """Mappings of every file, behind each key and as the last: each old byte stays."""
    for path, found in some(data, dict, 3):
        assert isinstance(found, dict)
        for after in ("", *list(found)[:2]):
            new = insert_key(data, path, "brand-new", value, after, name)
            tree = dict(paths(load(new, name).tree))[path]
            assert tree == {**found, "brand-new": value}
            assert isinstance(tree, dict)
            keys = list(tree)
            assert not after or keys.index("brand-new") == keys.index(after) + 1
            assert is_old_with_one_stretch_more(data, new), (path, after, new.decode())


@pytest.mark.parametrize(("name", "data"), list(texts()), ids=[name for name, _ in texts()])
def test_a_value_is_changed_and_nothing_else(name: str, data: bytes) -> None:
    """Values of every file: bytes before and behind stay, a text of several lines is refused."""
    for path, _ in some(data, (str, int, float), 6):
        span = spans(data.decode("utf-8-sig")).at(path)
        if span.style in ("|", ">"):
            with pytest.raises(EditError, match="by hand"):
                change(data, path, "it's new", name)
            continue
        new = change(data, path, "it's new", name)
        assert dict(paths(load(new, name).tree))[path] == "it's new"
        old, text = data.decode("utf-8-sig"), new.decode("utf-8-sig")
        assert text.startswith(old[: span.start])
        assert text.endswith(old[span.end :])


def test_a_list_begins_where_there_was_none() -> None:
    """A first session becomes lines of its own, behind the comment that stood there."""
    lines = b"  - {date: 2026-05-14}\n"
    for start in (b"a: 1\n", b"a: 1\nsessions:\n", b"a: 1\nsessions: []\n", b"a: 1\nsessions: ~\n"):
        new = append_item(start, ("sessions",), {"date": "2026-05-14"})
        assert new == b"a: 1\nsessions:\n" + lines or new == (
            b"a: 1\nsessions: [{date: 2026-05-14}]\n"
        )
    new = append_item(b"sessions: []  # none yet\nb: 1\n", ("sessions",), {"date": "2026-05-14"})
    assert new == b"sessions:  # none yet\n" + lines + b"b: 1\n"


def test_a_session_is_written_as_a_person_would() -> None:
    """Short mappings on a line each, pulls as a list beneath."""
    new = append_item(
        b"sessions:\n  - date: 2025-01-01  # cold\n\nparts: []\n", ("sessions",), SESSION
    )
    assert new.decode() == (
        "sessions:\n"
        "  - date: 2025-01-01  # cold\n"
        "  - date: 2026-05-14\n"
        "    dyno: {kind: engine, measured_at: flywheel}\n"
        "    air: {pressure: 99.1 kPa, barometer: station, temperature: 27 degC}\n"
        "    pulls:\n"
        "      - {setup: p96, curve: pulls/2026-05-14-1.csv, note: \"hot: # second, 'late'\"}\n"
        "      - {setup: p93, peaks: {power: 301 kW at 6400 rpm}}\n"
        "\nparts: []\n"
    )


def test_quotes_stay_as_they_are() -> None:
    """A changed text keeps its single or double quotes; a plain one gets them only if it must."""
    data = b"a: 'one'  # x\nb: \"two\"\nc: three\nd:\n"
    assert change(data, ("a",), "it's") == data.replace(b"'one'", b"'it''s'")
    assert change(data, ("b",), "2 two") == data.replace(b'"two"', b'"2 two"')
    assert change(data, ("c",), "12") == data.replace(b"three", b'"12"')
    assert change(data, ("d",), True) == data.replace(b"d:", b"d: true")


@pytest.mark.parametrize(
    ("data", "path", "says"),
    [
        (b"a: [1\n", ("a",), "mend this first"),
        (b"a: 1\na: 2\n", ("a",), "mend this first"),
        (b"a: 1\n", ("a",), "is no list"),
        (b"a: 1\n", ("b", "c"), 'there is no "b"'),
        (b"a: 1\n", ("a", "c"), "is no mapping"),
    ],
)
def test_what_cannot_be_edited_is_refused(data: bytes, path: TreePath, says: str) -> None:
    """Faulty files and wrong places are refused with the reason, file named."""
    with pytest.raises(EditError, match=says) as refused:
        append_item(data, path, "x", "heron/build.yaml")
    assert str(refused.value).startswith("heron/build.yaml:")


def test_a_key_is_never_written_twice() -> None:
    """Adding a key that is there, or behind one that is not, is refused."""
    with pytest.raises(EditError, match="already"):
        insert_key(b"a: 1\n", (), "a", 2)
    with pytest.raises(EditError, match='no "z"'):
        insert_key(b"a: 1\n", (), "b", 2, after="z")


def test_comments_stay_with_what_they_are_about() -> None:
    """A deeper comment belongs to the item above it; one at the dash or farther left follows."""
    data = b"a:\n  - x: 1\n    # about x\n  # about the list\n# about b\nb: 2\n"
    assert append_item(data, ("a",), "new") == (
        b"a:\n  - x: 1\n    # about x\n  - new\n  # about the list\n# about b\nb: 2\n"
    )
    assert insert_key(data, (), "c", 3, after="a") == (
        b"a:\n  - x: 1\n    # about x\n  # about the list\nc: 3\n# about b\nb: 2\n"
    )
