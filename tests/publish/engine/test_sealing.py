"""The last pass: one policy on all pages, also for what nobody noted."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.publish.delivery.names import Naming
from specgen.publish.engine.sealing import seal
from specgen.publish.web.policy import Inline, hash_source

PAGE = '<head><link rel="stylesheet" href="a.css"></head><script>{}</script>'


def written(folder: Path) -> list[Path]:
    """Two pages with a script each, and the style that both load."""
    files = [folder / "a.html", folder / "b.html"]
    for file, script in zip(files, ("one()", "two()"), strict=True):
        file.write_text(PAGE.format(script), "utf-8")
    (folder / "a.css").write_text("a", "utf-8")
    return files


@pytest.mark.parametrize("noted", [("one()", "two()"), ("one()",), ()])
def test_all_pages_get_the_union(tmp_path: Path, noted: tuple[str, ...]) -> None:
    """A script on one page is allowed on every page, once, whether it was noted before or not."""
    files = written(tmp_path)
    inline = Inline()
    for script in noted:
        inline.add(PAGE.format(script))
    seal(files, inline, Naming(tmp_path), policy=True)
    for file in files:
        text = file.read_text("utf-8")
        assert text.count("Content-Security-Policy") == 1
        assert all(hash_source(script) in text for script in ("one()", "two()"))
        assert 'href="a.css"' not in text
    assert not (tmp_path / "a.css").exists()


def test_without_a_policy_only_names_change(tmp_path: Path) -> None:
    """A site whose host sends the policy has none in its pages."""
    files = written(tmp_path)
    seal(files, Inline(), Naming(tmp_path), policy=False)
    assert not any("Content-Security-Policy" in file.read_text("utf-8") for file in files)
    assert not any('href="a.css"' in file.read_text("utf-8") for file in files)
