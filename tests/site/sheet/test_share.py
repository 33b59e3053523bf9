"""What a built sheet carries for those who share its link or print it."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from urllib.parse import urlsplit

from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive
from specgen.publish.share import sharing as share
from specgen.publish.site import Site
from tests.site.conftest import ROOT


def test_every_sheet_has_its_picture_and_words(built_site: Path, archive: Archive) -> None:
    """Each built sheet names a picture that is there, and is titled as the build is."""
    for build in archive.builds.values():
        folder = built_site / "builds" / build.id
        html = (folder / "index.html").read_text("utf-8")
        head = html.partition("</head>")[0]
        tags = dict(re.findall(r'<meta property="(og:[^"]+)" content="([^"]*)">', head))
        assert tags["og:title"] == build.title.value
        assert tags["og:description"]
        picture = urlsplit(tags["og:image"]).path.rsplit("/", 1)[-1]
        assert (folder / picture).read_bytes().startswith(b"\x89PNG")


def test_site_with_an_address_prints_its_code(built_site: Path, tmp_path: Path) -> None:
    """With the site's address known a sheet has a code; without, none and no empty place."""
    for part in ("archive.yaml", "blowers", "saddle-special"):
        source = ROOT / "builds" / part
        (shutil.copytree if source.is_dir() else shutil.copy)(source, tmp_path / part)
    site = Site(read_archive(tmp_path), site_url="https://shed.test/")
    sited = {item.address: item.content for item in site.items()}
    page = str(sited["builds/saddle-special/index.md"])
    code = share.code("https://shed.test/builds/saddle-special/")
    assert f'<div class="sg-paper sg-code">{code}</div><p class="sg-summary">' in page
    assert page.count("sg-qr") == 1
    plain = (built_site / "builds" / "saddle-special" / "index.html").read_text("utf-8")
    assert "sg-qr" not in plain
    assert "sg-code" not in plain
