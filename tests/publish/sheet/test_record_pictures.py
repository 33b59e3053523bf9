"""Pictures of a build as files of the site: pixels and nothing else, in the widths asked for."""

from __future__ import annotations

import html
import io
import re
from pathlib import Path

import pytest
from PIL import Image

from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive
from specgen.findings import as_text
from specgen.publish.making.item import Item
from specgen.publish.site import Site
from specgen.publish.typesetting.shots import shots_of
from tests.analysis.small import BUILD, write
from tests.publish.conftest import BUILDS
from tests.webp import chunks

pytestmark = pytest.mark.slow

#: The directory of positions in a photograph's metadata (Exif 2.32, tag GPSInfo).
_POSITION = 0x8825
#: Chunks of a WebP file that hold pixels (RFC 9649, sections 2.5 to 2.7).
_PIXELS = {b"VP8 ", b"VP8L"}


def pictured(folder: Path, *lines: str) -> Path:
    """The small archive with pictures named in its build."""
    more = "pictures:\n" + "".join(f"  - {{{line}}}\n" for line in lines)
    root = write(folder, BUILD + more)
    (root / "test-build" / "pictures").mkdir(exist_ok=True)
    return root


def drawn(path: Path, width: int = 1700, height: int = 1000, **more: object) -> Path:
    """Save a plain picture."""
    path.parent.mkdir(parents=True, exist_ok=True)
    Image.new("RGB", (width, height), "#8899aa").save(path, **more)  # type: ignore[arg-type]
    return path


def images(page: str) -> list[dict[str, str]]:
    """Attributes of every picture of a page."""
    return [
        {name: html.unescape(value) for name, value in re.findall(r'([\w-]+)="([^"]*)"', found)}
        for found in re.findall(r"<img ([^>]*)>", page)
    ]


@pytest.fixture
def site_of(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder for an archive, with a cache of pictures of its own."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "archive"


def has_position(file: Path) -> bool:
    """Whether a photograph says where it was taken."""
    with Image.open(file) as image:
        return bool(image.getexif().get_ifd(_POSITION))


def test_a_position_is_published_nowhere(items: dict[str, Item]) -> None:
    """A demo picture knows where it was taken; no published byte does, nor is it published."""
    sources = sorted(BUILDS.glob("*/pictures/*.jpg"))
    assert any(map(has_position, sources)), (
        "no demo picture carries a position any more: there is nothing to take off"
    )
    published = {
        address: item.content for address, item in items.items() if isinstance(item.content, bytes)
    }
    originals = {file.read_bytes() for file in sources}
    assert originals.isdisjoint(published.values())
    named = [address for address in published if "/pictures/" in address]
    assert len(named) >= 2 * len(sources)
    for address in named:
        data = published[address]
        assert set(chunks(data)) <= _PIXELS, address
        with Image.open(io.BytesIO(data)) as image:
            assert not image.getexif()
            assert not {"exif", "xmp", "icc_profile", "comment", "photoshop"} & set(image.info)


def test_every_picture_of_a_sheet_is_a_file_of_the_site(
    items: dict[str, Item], archive: Archive
) -> None:
    """What the page names in src, srcset and link is there, in the size the page tells."""
    count = 0
    for build in archive.builds.values():
        page = str(items[f"builds/{build.id}/index.md"].content)
        shown = images(page)
        assert len(shown) == len(build.pictures)
        for image in shown:
            count += 1
            sizes = {}
            for part in image["srcset"].split(", "):
                name, width = part.split(" ")
                data = items[f"builds/{build.id}/{name}"].content
                assert isinstance(data, bytes)
                with Image.open(io.BytesIO(data)) as opened:
                    sizes[name] = opened.size
                assert f"{sizes[name][0]}w" == width
            assert 2 <= len(sizes) <= 4
            told = (int(image["width"]), int(image["height"]))
            assert sizes[image["src"]] == told
            assert image["loading"] == "lazy"
            assert image["sizes"]
    assert count >= 8, "the demo shows pictures of three builds, six of one"


def test_alternative_text_and_caption_are_the_file_s(
    items: dict[str, Item], archive: Archive
) -> None:
    """Each picture has the words its owner wrote, and its caption below."""
    for build in archive.builds.values():
        page = str(items[f"builds/{build.id}/index.md"].content)
        written = [picture.alt.value for picture in build.pictures]
        assert [image["alt"] for image in images(page)] == written
        for picture in build.pictures:
            if picture.caption:
                assert picture.caption.value in html.unescape(page)


def test_pictures_of_one_name_do_not_cover_each_other(site_of: Path) -> None:
    """Two files that differ in folder or ending alone keep files of their own."""
    root = pictured(
        site_of,
        "file: pictures/Front of it.jpg, alt: One",
        "file: pictures/front-of-it.png, alt: Two",
    )
    drawn(root / "test-build" / "pictures" / "Front of it.jpg")
    drawn(root / "test-build" / "pictures" / "front-of-it.png", 700, 400)
    archive = read_archive(root)
    assert not archive.findings, as_text(archive.findings)
    shots = shots_of(archive.root, archive.builds["test-build"])
    names = [address for shot in shots for address in shot.addresses]
    assert names == [
        "builds/test-build/pictures/front-of-it-240.webp",
        "builds/test-build/pictures/front-of-it-480.webp",
        "builds/test-build/pictures/front-of-it-960.webp",
        "builds/test-build/pictures/front-of-it-1600.webp",
        "builds/test-build/pictures/front-of-it-2-240.webp",
        "builds/test-build/pictures/front-of-it-2-480.webp",
        "builds/test-build/pictures/front-of-it-2-700.webp",
    ]


def test_nothing_is_written_beside_the_pictures(site_of: Path) -> None:
    """The folder is watched while previewing: a file written there would build for ever."""
    root = pictured(site_of, "file: pictures/front.jpg, alt: The front")
    drawn(root / "test-build" / "pictures" / "front.jpg")
    before = sorted(root.rglob("*"))
    made = [list(Site(read_archive(root)).items()) for _ in range(2)]
    assert sorted(root.rglob("*")) == before
    first, second = ({item.address: item.content for item in items} for items in made)
    assert first == second


def test_a_picture_that_goes_while_the_site_is_made_is_left_out(site_of: Path) -> None:
    """Between reading and building a file may go; the page is made without it."""
    root = pictured(
        site_of,
        "file: pictures/front.jpg, alt: The front",
        "file: pictures/side.jpg, alt: The side",
    )
    for name in ("front", "side"):
        drawn(root / "test-build" / "pictures" / f"{name}.jpg")
    archive = read_archive(root)
    (root / "test-build" / "pictures" / "front.jpg").unlink()
    items = {item.address: item.content for item in Site(archive).items()}
    shown = images(str(items["builds/test-build/index.md"]))
    assert [image["alt"] for image in shown] == ["The side"]


def test_large_truncated_and_disguised_files_are_each_found(site_of: Path) -> None:
    """Forty megapixels, half a file, and text that calls itself a picture: three findings."""
    names = ("large.png", "half.jpg", "letter.jpg")
    root = pictured(site_of, *(f"file: pictures/{name}, alt: Seen from there" for name in names))
    folder = root / "test-build" / "pictures"
    Image.new("1", (8000, 5000)).save(folder / "large.png")
    whole = drawn(folder / "half.jpg").read_bytes()
    (folder / "half.jpg").write_bytes(whole[: len(whole) // 2])
    (folder / "letter.jpg").write_text("Dear shed, here is the picture.", encoding="utf-8")
    found = {item.found.split('"')[1]: item for item in read_archive(root).findings}
    assert sorted(found) == sorted(f"pictures/{name}" for name in names)
    assert {item.code for item in found.values()} == {"bad-picture"}
    assert "8000 x 5000" in found["pictures/large.png"].found
    assert "cut short" in found["pictures/half.jpg"].found
    assert "no picture" in found["pictures/letter.jpg"].found
    assert [item.place.line for item in found.values()] == sorted(
        item.place.line for item in found.values()
    )
