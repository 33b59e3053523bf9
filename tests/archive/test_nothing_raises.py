"""Whatever stands in the files, there are findings and no traceback."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from specgen.archive.archive import read_archive
from specgen.archive.format.schema import SCHEMA_NAMES, homes
from specgen.archive.model.build import Archive
from specgen.archive.reading.pulls import COLUMNS, read_curve
from specgen.archive.reading.source import load
from specgen.findings import as_annotations, as_json, as_text
from tests.archive.cases import HERE, lay_out

pytestmark = pytest.mark.slow

GOOD = HERE / "good" / "everything"
FILES = (
    "archive.yaml", "blowers/petrel-95.yaml", "heron/build.yaml", "heron/pulls/2025-05-14-1.csv",
)  # fmt: skip
KEYS = sorted({key for name in SCHEMA_NAMES for key in homes(name)})
SCALARS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=12),
    st.sampled_from(
        ["84 mm", "1e999 mm", "-1 rpm", "301 kW at 6400 rpm", "1 to 2 mm", "0 L", "at", " at ",
         "2025-05-14", "0000-00-00", "petrel-95", "p85", "pulls/2025-05-14-1.csv", "..", "observed"]
    ),
)  # fmt: skip
TREES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=4), st.dictionaries(st.sampled_from(KEYS), inner, max_size=6)
    ),
    max_leaves=30,
)
QUICK = settings(
    max_examples=50,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


def read_with(name: str, data: bytes) -> Archive:
    """Read the archive that uses every key with one file replaced, and lay its findings out."""
    with tempfile.TemporaryDirectory() as folder:
        root = lay_out(GOOD, Path(folder))
        (root / name).write_bytes(data)
        archive = read_archive(root)
    for layout in (as_text, as_json, as_annotations):
        assert layout(archive.findings)
    for item in archive.findings:
        lines = archive.sources.get(item.place.file, "").split("\n")
        assert 1 <= item.place.line <= max(len(lines), 1), item
        assert item.found
        assert item.expected
        assert item.hint
    return archive


@QUICK
@given(st.sampled_from(FILES), st.binary(max_size=200))
@example("heron/build.yaml", b"\xef\xbb\xbf")
@example("heron/build.yaml", b"? ")
@example("heron/build.yaml", b"%YAML 9.9\n---\na: 1")
@example("heron/pulls/2025-05-14-1.csv", b'"')
@example("heron/pulls/2025-05-14-1.csv", b"engine speed [],torque[\n")
def test_random_bytes(name: str, data: bytes) -> None:
    """Any bytes in any file."""
    read_with(name, data)


@QUICK
@given(st.text(alphabet="ab:-?[]{},&*!|>'\"%@` #\n\t\\<~0", max_size=60))
def test_random_punctuation(text: str) -> None:
    """Any heap of the signs that mean something in YAML."""
    load(text.encode(), "f.yaml")


@QUICK
@given(st.sampled_from(FILES[:3]), st.dictionaries(st.sampled_from(KEYS), TREES, max_size=8))
def test_random_trees(name: str, tree: dict[str, Any]) -> None:
    """Any tree of keys that exist, with values of all kinds, at any level."""
    text = yaml.safe_dump({"format": 1, **tree}, allow_unicode=True)
    read_with(name, text.encode("utf-8", errors="replace"))


@QUICK
@given(st.data())
def test_mutated_files(data: st.DataObject) -> None:
    """A good file in which a piece was replaced by a piece of another."""
    name = data.draw(st.sampled_from(FILES))
    text = (GOOD / name).read_bytes()
    other = (GOOD / data.draw(st.sampled_from(FILES))).read_bytes()
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, min(start + 40, len(text))))
    begin = data.draw(st.integers(0, len(other)))
    piece = other[begin : begin + data.draw(st.integers(0, 40))]
    read_with(name, text[:start] + piece + text[end:])


@QUICK
@given(st.data())
def test_values_swapped_in_a_good_build(data: st.DataObject) -> None:
    """A good build in which some values are replaced by values of all kinds."""
    tree: Any = load((GOOD / "heron" / "build.yaml").read_bytes(), "f.yaml").tree
    for _ in range(data.draw(st.integers(1, 3))):
        node: Any = tree
        while True:
            steps = list(node) if isinstance(node, dict) else list(range(len(node)))
            if not steps:
                break
            step = data.draw(st.sampled_from(steps))
            if isinstance(node[step], dict | list) and data.draw(st.booleans()):
                node = node[step]
            else:
                node[step] = data.draw(TREES)
                break
    text = yaml.safe_dump(tree, allow_unicode=True, default_flow_style=False)
    read_with("heron/build.yaml", text.encode("utf-8", errors="replace"))


CELLS = st.one_of(
    st.just(""),
    st.integers(-9999, 99999).map(str),
    st.floats().map(str),
    st.text(alphabet='0123456789.,;+-eE"nNaAiIfF \t', max_size=8),
    st.text(max_size=4),
)


HEADS = [
    *(f"{name} [{unit}]" for name in COLUMNS for unit in ("kPa", "rpm", "N m", "kW", "degC")),
    *("lambda", ""),
]


@QUICK
@given(
    st.lists(st.sampled_from(HEADS), max_size=6),
    st.lists(st.lists(CELLS, max_size=6), max_size=6),
)
def test_random_curves(head: list[str], rows: list[list[str]]) -> None:
    """Any table under any head of columns that exist."""
    text = "\n".join(",".join(row) for row in [head, *rows])
    data = text.encode("utf-8", errors="replace")
    curve, _, findings = read_curve(data, "1.csv")
    assert (curve is None) == any(item.severity == "error" for item in findings)
