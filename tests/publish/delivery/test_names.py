"""Scripts and styles named by what is in them."""

from __future__ import annotations

import re
from pathlib import Path

from specgen.publish.delivery.names import Naming
from tests.publish.delivery.folders import write

PAGE = (
    '<link rel="canonical" href="https://x.example/a/"><link rel="stylesheet" href="{0}a.css">'
    '<link href="{0}main.0123abcd.min.css" rel=stylesheet><script defer src={0}b.js?x=1></script>'
    '<script src="https://x.example/c.js"></script><script src="{0}none.js"></script>{0}a.css'
)


def named(folder: Path, pages: list[str], base: str = "/") -> dict[str, str]:
    """Give what pages load its new names, there and in the pages."""
    naming = Naming(folder, base)
    for page in pages:
        file = folder / page
        file.write_text(naming.rewritten(file.read_text("utf-8"), page), "utf-8")
    naming.rename()
    return naming.names


def test_every_loaded_file_is_named_by_its_bytes(tmp_path: Path) -> None:
    """Relative, in full and unquoted; hashed names, strangers and plain text stay."""
    pages = {"index.html": PAGE.format(""), "x/y/index.html": PAGE.format("../../"),
             "404.html": PAGE.format("/shed/")}  # fmt: skip
    write(tmp_path, {**pages, "a.css": "a", "b.js": "b", "main.0123abcd.min.css": "m"})
    names = named(tmp_path, list(pages), "/shed/")
    assert names["main.0123abcd.min.css"] == "main.0123abcd.min.css"
    style, script = names["a.css"], names["b.js"]
    assert re.fullmatch(r"a\.[0-9a-f]{10}\.css", style)
    assert not (tmp_path / "a.css").exists()
    assert (tmp_path / style).read_text() == "a"
    for page, way in (("index.html", ""), ("x/y/index.html", "../../"), ("404.html", "/shed/")):
        text = (tmp_path / page).read_text("utf-8")
        assert f'href="{way}{style}"' in text
        assert f"src={way}{script}?x=1" in text
        assert f"</script>{way}a.css" in text, "only what is loaded is renamed"
        assert 'src="https://x.example/c.js"' in text
        assert f'src="{way}none.js"' in text


def test_the_name_follows_the_bytes(tmp_path: Path) -> None:
    """The same bytes, the same name; others, another."""
    found = []
    for folder, text in (("1", "a"), ("2", "a"), ("3", "b")):
        write(tmp_path / folder, {"index.html": PAGE.format(""), "a.css": text, "b.js": "b"})
        root = tmp_path / folder
        found.append(named(root, ["index.html"])["a.css"])
    assert found[0] == found[1] != found[2]
