"""Pictures: what is refused before it is decoded, and what a rendition carries, which is pixels."""

from __future__ import annotations

import hashlib
import io
import json
import struct
import zlib
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms

from specgen.archive import pictures
from specgen.archive.archive import read_archive
from specgen.archive.pictures import PictureError, Rendition, judge, renditions
from tests.archive.cases import lay_out
from tests.archive.stopwatch import within
from tests.webp import chunks

pytestmark = pytest.mark.slow

DEMO = Path(__file__).parents[2] / "builds"
WITH_POSITION = DEMO / "shed-test-engine" / "pictures" / "dyno-cell.jpg"
#: Where the EXIF directory of positions is listed (Exif 2.32, tag GPSInfo).
POSITION = 0x8825


def ramp(width: int, height: int) -> Image.Image:
    """A picture whose left is dark and whose top is red, so that a turn shows."""
    across = np.linspace(0, 255, width)[None, :] * np.ones((height, 1))
    down = np.linspace(255, 0, height)[:, None] * np.ones((1, width))
    pixels = np.stack([down, across, across], axis=2).astype(np.uint8)
    return Image.fromarray(pixels)


def saved(image: Image.Image, path: Path, **more: object) -> Path:
    """Write a picture to a file."""
    image.save(path, **more)  # type: ignore[arg-type]
    return path


def exif_of(path: Path) -> Image.Exif:
    """The metadata of a file."""
    with Image.open(path) as image:
        return image.getexif()


def opened(data: bytes) -> Image.Image:
    """Open a rendition and decode it."""
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


def header_of(width: int, height: int) -> bytes:
    """A PNG that promises a size and holds next to nothing (ISO/IEC 15948, section 5)."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return (
            struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = chunk(b"IDAT", zlib.compress(bytes(64)))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + body + chunk(b"IEND", b"")


def test_widths_keep_the_proportion_and_never_enlarge(tmp_path: Path) -> None:
    """Each rendition has the wanted width; a small picture has one in its own width."""
    wide = saved(ramp(2000, 1000), tmp_path / "wide.png")
    found = renditions(wide, cache=tmp_path / "cache")
    sizes = [(240, 120), (480, 240), (960, 480), (1600, 800)]
    assert [(item.width, item.height) for item in found] == sizes
    for item in found:
        assert opened(item.data).size == (item.width, item.height)
        assert item.media_type == "image/webp"
    small = saved(ramp(300, 200), tmp_path / "small.png")
    assert [(item.width, item.height) for item in renditions(small, cache=tmp_path / "cache")] == [
        (240, 160),
        (300, 200),
    ]


def test_the_demo_has_a_position_to_strip() -> None:
    """One picture of the demo archive carries a position on purpose; no other does."""
    found = [
        path.name for path in sorted(DEMO.glob("*/pictures/*.jpg")) if POSITION in exif_of(path)
    ]
    assert found == ["dyno-cell.jpg"]


def test_no_metadata_leaves(tmp_path: Path) -> None:
    """No EXIF, position, XMP, profile or comment: only the chunk of pixels is left."""
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    exif = exif_of(WITH_POSITION)
    assert exif.get_ifd(POSITION)
    everything = saved(
        ramp(700, 500), tmp_path / "all.jpg", exif=exif, icc_profile=profile,
        comment=b"the shed, Hest Mere", xmp=b"<x:xmpmeta>the shed</x:xmpmeta>",
    )  # fmt: skip
    with Image.open(everything) as read:
        assert {"exif", "icc_profile", "comment", "xmp"} <= set(read.info)
    for path in (everything, WITH_POSITION):
        for item in renditions(path, cache=tmp_path / "cache"):
            assert chunks(item.data) == [b"VP8 "]
            for trace in (b"Exif", b"shed", b"Invented", b"ICC_", b"xmpmeta"):
                assert trace not in item.data
            assert set(opened(item.data).info) <= {"loop", "background", "timestamp", "duration"}


#: EXIF orientation: where the picture's first row and column are (Exif 2.32, tag 274), and where
#: that puts the dark side of `ramp`, which is its left.
ORIENTATIONS = {1: "left", 2: "right", 3: "right", 4: "left", 5: "top", 6: "top", 7: "bottom",
                8: "bottom"}  # fmt: skip


@pytest.mark.parametrize("orientation", ORIENTATIONS)
def test_orientation_is_applied(orientation: int, tmp_path: Path) -> None:
    """A picture is turned as its metadata says, before those are dropped."""
    exif = Image.Exif()
    exif[274] = orientation
    path = saved(ramp(600, 400), tmp_path / "turned.jpg", exif=exif, quality=95)
    item = renditions(path, cache=tmp_path / "cache")[-1]
    assert (item.width > item.height) is (orientation < 5)
    blue = np.asarray(opened(item.data), dtype=float)[:, :, 2]
    means = {"left": blue[:, :40].mean(), "right": blue[:, -40:].mean(),
             "top": blue[:40].mean(), "bottom": blue[-40:].mean()}  # fmt: skip
    assert min(means, key=lambda side: float(means[side])) == ORIENTATIONS[orientation]


def test_same_picture_same_bytes(tmp_path: Path) -> None:
    """Made twice in two caches, the bytes are the same."""
    path = saved(ramp(1200, 900), tmp_path / "a.jpg")
    assert renditions(path, cache=tmp_path / "one") == renditions(path, cache=tmp_path / "two")


def test_cache_serves_and_mends_itself(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Renditions are made once; a file that somebody changed in the cache is made again."""
    path = saved(ramp(1200, 900), tmp_path / "a.jpg")
    first = renditions(path, cache=tmp_path / "cache")
    made: list[str] = []
    real = pictures._made

    def counted(data: bytes, ending: str, widths: Sequence[int]) -> tuple[Rendition, ...]:
        made.append(ending)
        return real(data, ending, widths)

    monkeypatch.setattr(pictures, "_made", counted)
    assert renditions(path, cache=tmp_path / "cache") == first
    assert made == []
    kept = next((tmp_path / "cache").glob("*-480.webp"))
    kept.write_bytes(kept.read_bytes()[:-9])
    assert renditions(path, cache=tmp_path / "cache") == first
    assert made == [".jpg"]


def test_cache_that_cannot_be_written_is_none(tmp_path: Path) -> None:
    """A file where the cache's folder should be does no harm."""
    (tmp_path / "cache").write_text("in the way", encoding="utf-8")
    path = saved(ramp(500, 400), tmp_path / "a.png")
    assert renditions(path, cache=tmp_path / "cache")


def test_cache_lies_outside_what_is_watched(monkeypatch: pytest.MonkeyPatch) -> None:
    """By default renditions are kept in the user's cache, and nothing is kept beside a picture."""
    monkeypatch.setenv("XDG_CACHE_HOME", "/nowhere/cache")
    assert pictures.cache_folder() == Path("/nowhere/cache/specgen/pictures")


def test_other_colour_spaces_become_plain(tmp_path: Path) -> None:
    """Transparency lies on white; CMYK, palettes, grey and sixteen bits keep their colours."""
    clear = Image.new("RGBA", (60, 40), (200, 30, 30, 0))
    grey = Image.fromarray(np.full((40, 60), 32768, dtype=np.uint16))
    cases = {
        "clear.png": (clear, (255, 255, 255)),
        "palette.png": (Image.new("RGB", (60, 40), (10, 120, 40)).quantize(4), (10, 120, 40)),
        "print.jpg": (Image.new("CMYK", (60, 40), (0, 255, 255, 0)), (255, 0, 0)),
        "grey.png": (Image.new("L", (60, 40), 90), (90, 90, 90)),
        "deep.png": (grey, (128, 128, 128)),
    }
    for name, (image, colour) in cases.items():
        path = saved(image, tmp_path / name)
        (item,) = renditions(path, cache=tmp_path / "cache")
        middle = opened(item.data).convert("RGB").getpixel((30, 20))
        assert middle == pytest.approx(colour, abs=6), name


def test_telephone_pictures_are_jpegs(tmp_path: Path) -> None:
    """A JPEG that carries a second picture inside, as telephones write them, is a JPEG."""
    path = tmp_path / "phone.jpg"
    ramp(400, 300).save(path, "MPO", save_all=True, append_images=[ramp(100, 75)])
    with Image.open(path) as image:
        assert image.format == "MPO"
    judge(path)
    found = renditions(path, cache=tmp_path / "cache")
    assert [(item.width, item.height) for item in found] == [(240, 180), (400, 300)]


@pytest.mark.parametrize(
    ("width", "height", "found"),
    [(6000, 4000, None), (6001, 4000, "6001 x 4000"), (12000, 9000, "more than"),
     (60000, 60000, "more than"), (2**31 - 1, 2**31 - 1, "more than")],
)  # fmt: skip
def test_a_bomb_is_refused_by_its_header(
    width: int, height: int, found: str | None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """More than 24 megapixels are refused without decoding one; 24 are looked at."""
    decoded: list[int] = []
    monkeypatch.setattr(pictures, "_loaded", lambda image: decoded.append(image.width))
    path = tmp_path / "bomb.png"
    path.write_bytes(header_of(width, height))
    if found is None:
        judge(path)
        assert decoded == [width]
        return
    with pytest.raises(PictureError, match=found):
        judge(path)
    with pytest.raises(PictureError, match=found):
        renditions(path, cache=tmp_path / "cache")
    assert decoded == []


def test_a_large_file_is_refused_unread(tmp_path: Path) -> None:
    """A file beyond 20 MB is refused by its size; one of 20 MB is read."""
    path = tmp_path / "large.jpg"
    with path.open("wb") as file:
        file.truncate(20_000_001)
    with pytest.raises(PictureError, match=r"20\.0 MB"):
        judge(path)
    with path.open("wb") as file:
        file.truncate(20_000_000)
    with pytest.raises(PictureError, match="no picture"):
        judge(path)


@pytest.mark.parametrize("name", ["a.jpg", "a.png", "a.webp"])
def test_every_cut_is_noticed(name: str, tmp_path: Path) -> None:
    """A picture cut anywhere is refused, whatever its format."""
    path = saved(ramp(160, 120), tmp_path / name)
    whole = path.read_bytes()
    judge(path)
    for share in (0.0, 0.02, 0.2, 0.5, 0.8, 0.95):
        path.write_bytes(whole[: int(share * len(whole))])
        with pytest.raises(PictureError):
            judge(path)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.data())
def test_broken_bytes_never_end_in_a_traceback(data: st.DataObject) -> None:
    """Whatever is wrong with a picture's bytes, it is refused in words or it is whole."""
    kind = data.draw(st.sampled_from(["JPEG", "PNG", "WEBP"]))
    out = io.BytesIO()
    exif = Image.Exif()
    exif[274] = 6
    ramp(48, 32).save(out, kind, exif=exif)
    broken = bytearray(out.getvalue())
    for _ in range(data.draw(st.integers(1, 12))):
        broken[data.draw(st.integers(0, len(broken) - 1))] = data.draw(st.integers(0, 255))
    ending = {"JPEG": ".jpg", "PNG": ".png", "WEBP": ".webp"}[kind]
    refused: list[PictureError] = []
    try:
        made = pictures._made(bytes(broken), ending, (32,))
    except PictureError as error:
        refused.append(error)
    else:
        assert made[0].width <= 32
    assert all(error.found and error.expected and error.hint for error in refused)


def test_pictures_of_an_archive_are_found_beside_its_builds(tmp_path: Path) -> None:
    """A build keeps its pictures in the order of the file, with their words."""
    root = lay_out(Path(__file__).parent / "good" / "everything", tmp_path)
    (picture,) = read_archive(root).builds["heron"].pictures
    assert picture.file.value == "pictures/front.png"
    assert picture.alt.value == "Blower pulley and belt from the front."
    assert picture.caption is not None
    assert picture.caption.value == "Drawing, invented"


RUBBISH = [
    b"[" * 100_000,
    b"{}",
    b"null",
    b"[[1, 2]]",
    b'[["<script>", 2, "x"]]',
    b"[[true, 2, 3]]",
    b"[[1e999, 2, 3]]",
    b'[[480, 320, "0"], []]',
    b"[[480, -3, null]]",
    b"\xff\xfe",
    b"[" + b"[480, 320, 0]," * 100_000 + b"0]",
]


@pytest.mark.parametrize("rubbish", RUBBISH, ids=range(len(RUBBISH)))
def test_rubbish_on_the_shelf_is_not_taken(tmp_path: Path, rubbish: bytes) -> None:
    """Nested, of other types, with markup in a number, endless: the renditions are made anew."""
    path = tmp_path / "plain.png"
    Image.new("RGB", (600, 400), "navy").save(path)
    cache = tmp_path / "cache"
    first = renditions(path, cache=cache)
    (kept,) = cache.glob("*.json")
    kept.write_bytes(rubbish)
    assert renditions(path, cache=cache) == first


def test_a_file_that_is_no_picture_is_not_taken_from_the_shelf(tmp_path: Path) -> None:
    """Not even where its hash stands in the list, since somebody may have written both."""
    path = tmp_path / "plain.png"
    Image.new("RGB", (600, 400), "navy").save(path)
    cache = tmp_path / "cache"
    first = renditions(path, cache=cache)
    (kept,) = cache.glob("*.json")
    entries = json.loads(kept.read_text())
    page = b"<html><script>alert(1)</script>"
    next(cache.glob(f"*-{entries[0][0]}.webp")).write_bytes(page)
    entries[0][2] = hashlib.sha256(page).hexdigest()
    kept.write_text(json.dumps(entries))
    assert renditions(path, cache=cache) == first


def test_a_user_without_a_home_keeps_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Renditions are made all the same."""
    path = tmp_path / "plain.png"
    Image.new("RGB", (600, 400), "navy").save(path)

    def homeless() -> Path:
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    monkeypatch.setattr(Path, "home", homeless)
    assert [item.height for item in renditions(path)][-1] == 400


@pytest.mark.parametrize("size", [(24_000_000, 1), (1, 24_000_000), (960, 16_400)])
def test_a_side_that_no_rendition_can_have(tmp_path: Path, size: tuple[int, int]) -> None:
    """Few pixels, but more in a row than the format of renditions can hold."""
    path = tmp_path / "long.png"
    Image.new("1", size).save(path)
    with within(), pytest.raises(PictureError, match="a side of"):
        judge(path)
