"""Pictures beside a build file: judged when an archive is read, resized when a site asks.

Pillow's one door. A picture is decoded only after its header has told that it is small enough,
and what leaves here is pixels and nothing else: no position, no camera, no comment.
"""

from __future__ import annotations

import hashlib
import io
import json
import os
import tempfile
import warnings
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import cast

import numpy as np
import PIL
from numpy.typing import NDArray
from PIL import Image, ImageOps, features

from specgen.archive.model.build import Build
from specgen.archive.model.record import Picture
from specgen.archive.phrases.figures import error
from specgen.archive.reading import door
from specgen.archive.reading.folders import named_file
from specgen.findings import Finding

MOST_BYTES = 20_000_000
MOST_PIXELS = 24_000_000
#: Just below what WebP, in which pictures are published, can hold.
LONGEST_SIDE = 16_000
#: Formats by Pillow's name, with the endings that files of theirs have.
FORMATS = {"JPEG": (".jpg", ".jpeg"), "PNG": (".png",), "WEBP": (".webp",)}
#: Widths of the renditions, the first for lists; none is wider than the picture itself.
WIDTHS = (240, 480, 960, 1600)

ENDINGS = tuple(ending for endings in FORMATS.values() for ending in endings)
_QUALITY = 80
#: Changes whenever renditions are made in another way, so that old ones are not taken.
_RECIPE = 2
#: The list of a picture's renditions is three short lines.
_LONGEST_LIST = 10_000
_SMALLER = "the picture saved again with at most 6000 x 4000 pixels"


@dataclass(frozen=True, slots=True)
class Rendition:
    """A picture in one width, as WebP, without metadata."""

    width: int
    height: int
    data: bytes
    media_type: str = "image/webp"


class PictureError(ValueError):
    """A picture that is refused; the arguments are what was found, expected, and to be written."""

    def __init__(self, found: str, expected: str, hint: str) -> None:
        super().__init__(found)
        self.found = found
        self.expected = expected
        self.hint = hint


# ---------------------------------------------------------------- judging


def pictures(build: Build, root: Path) -> Iterator[Finding]:
    """Every picture that a build names is there, is what it says, and has words beside it."""
    for picture in build.pictures:
        yield from _words(picture)
        path, fault = named_file(root / build.id, picture.file, ENDINGS)
        if fault is not None or path is None:
            yield from [fault] if fault else []
            continue
        try:
            judge(path)
        except PictureError as bad:
            found = f'"{picture.file.value}", {bad.found}'
            yield error("bad-picture", picture.file.place, found, bad.expected, bad.hint)


def _words(picture: Picture) -> Iterator[Finding]:
    """The alternative text says what can be seen."""
    words = picture.alt.value.strip()
    if words and words.lower() not in (picture.file.value.lower(), _name(picture)):
        return
    found = f'"{picture.alt.value}" as the words for who cannot see the picture'
    hint = 'alt: "Blower pulley and belt from the front", with what this picture shows'
    yield error("wrong-value", picture.alt.place, found, "what can be seen", hint)


def _name(picture: Picture) -> str:
    return Path(picture.file.value).stem.lower()


def judge(path: Path) -> None:
    """Refuse a file that is too large, no picture, not what its name says, or cut short."""
    ending = path.suffix.lower()
    if ending not in ENDINGS:
        raise PictureError(f'a file that ends in "{path.suffix}"', _A_PICTURE, _SAVE_AS)
    data = _read(path)
    with _opened(data, ending) as image:
        image.draft("RGB", (image.width // 8, image.height // 8))
        _loaded(image)
    with _opened(data, ending) as image:
        _verified(image)


def _read(path: Path) -> bytes:
    """Read a picture's file, no larger than a picture may be."""
    try:
        return door.read_plain(path, MOST_BYTES)
    except door.Refused as why:
        hint = _SMALLER if "MB" in why.expected else why.hint
        raise PictureError(why.found, why.expected, hint) from None


_A_PICTURE = "a JPEG, PNG or WebP file"
_SAVE_AS = "the picture saved as .jpg, .png or .webp"


def _opened(data: bytes, ending: str = "") -> Image.Image:
    """Open a picture by its header alone; refuse one that is too large or in disguise."""
    too_large = PictureError(
        f"more than {MOST_PIXELS // 1_000_000} megapixels", f"at most {_LIMIT}", _SMALLER
    )
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            image = Image.open(io.BytesIO(data), formats=tuple(FORMATS))
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise too_large from None
    except Exception:  # decoders raise what they like on broken bytes
        raise PictureError("which is no picture", _A_PICTURE, _SAVE_AS) from None
    if image.width * image.height > MOST_PIXELS:
        found = f"{image.width} x {image.height} pixels"
        raise PictureError(found, f"at most {_LIMIT}", _SMALLER)
    longest = max(image.width, image.height)
    if longest > LONGEST_SIDE:
        found = f"a side of {longest} pixels"
        raise PictureError(found, f"at most {LONGEST_SIDE} pixels a side", _SMALLER)
    # a telephone's JPEG often carries a second, smaller picture, which Pillow names MPO
    kind = "JPEG" if image.format == "MPO" else str(image.format)
    if ending and ending not in FORMATS[kind]:
        found = f"which is a {_WORDS[kind]} file whatever its name says"
        hint = f"{FORMATS[kind][0]} as its ending, here and in the file's name"
        raise PictureError(found, f"a name that ends in {FORMATS[kind][0]}", hint)
    return image


_LIMIT = f"{MOST_PIXELS // 1_000_000} megapixels"
_WORDS = {"JPEG": "JPEG", "PNG": "PNG", "WEBP": "WebP"}


def _loaded(image: Image.Image) -> None:
    """Decode a picture; refuse one that is cut short or broken."""
    _tried(image.load)


def _verified(image: Image.Image) -> None:
    """Go through a picture's parts to its end, which decoding alone may stop short of."""
    _tried(image.verify)


def _tried(step: Callable[[], object]) -> None:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            step()
    except Exception:  # decoders raise what they like on broken bytes
        hint = "the picture again, copied whole from where it was taken"
        raise PictureError("which is cut short or broken", "a whole picture", hint) from None


# ---------------------------------------------------------------- renditions


def renditions(
    path: Path, widths: Sequence[int] = WIDTHS, cache: Path | None = None
) -> tuple[Rendition, ...]:
    """Resize a picture to some widths, narrowest first; PictureError for one that is refused.

    The same picture gives the same bytes. Made once and kept in `cache`, by default a folder of
    the user's cache, never beside the picture: the site watches that folder.
    """
    data = _read(path)
    shelf = _Shelf(cache or cache_folder(), data, widths)
    kept = shelf.kept()
    if kept is None:
        kept = _made(data, path.suffix.lower(), widths)
        shelf.keep(kept)
    return kept


def cache_folder() -> Path:
    """Where renditions are kept: in the user's cache."""
    try:
        base = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    except (
        RuntimeError
    ):  # a user without a home: nothing can be written below this, nothing is kept
        base = os.devnull
    return Path(base) / "specgen" / "pictures"


def _made(data: bytes, ending: str, widths: Sequence[int]) -> tuple[Rendition, ...]:
    with _opened(data, ending) as image:
        wanted = 2 * max(widths)
        image.draft("RGB", (wanted, wanted))  # JPEG: decode no finer than twice what is needed
        _loaded(image)
        plain = _plain(image)
    chosen = sorted({min(width, plain.width) for width in widths})
    return tuple(_rendition(plain, width) for width in chosen)


def _plain(image: Image.Image) -> Image.Image:
    """Upright pixels in sRGB on white, with nothing else attached."""
    profile = image.info.get("icc_profile")
    upright = _upright(image)
    colours = _in_srgb(upright, profile) if profile else None
    flat = colours or _on_white(upright)
    return Image.frombytes("RGB", flat.size, flat.tobytes())


def _upright(image: Image.Image) -> Image.Image:
    """Turn a picture as its metadata says; broken metadata turns nothing."""
    try:
        return ImageOps.exif_transpose(image)
    except Exception:  # broken EXIF raises what it likes
        return image


def _in_srgb(image: Image.Image, profile: bytes) -> Image.Image | None:
    """Bring colours of another profile to sRGB; None where the profile is of no use."""
    from PIL import ImageCms

    if image.mode not in ("RGB", "CMYK", "L"):
        return None
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        target = ImageCms.createProfile("sRGB")
        return ImageCms.profileToProfile(image, source, target, outputMode="RGB")
    except Exception:  # a broken profile raises what it likes
        return None


def _on_white(image: Image.Image) -> Image.Image:
    if image.mode.startswith("I"):  # sixteen bits a pixel, which would be cut off, not scaled
        return image.point(lambda value: value / 256).convert("L").convert("RGB")
    if "A" in image.getbands() or "transparency" in image.info:
        clear = image.convert("RGBA")
        ground = Image.new("RGBA", clear.size, "white")
        return Image.alpha_composite(ground, clear).convert("RGB")
    return image.convert("RGB")


def _rendition(plain: Image.Image, width: int) -> Rendition:
    height = max(1, round(plain.height * width / plain.width))
    resized = plain.resize((width, height), Image.Resampling.LANCZOS)
    out = io.BytesIO()
    resized.save(out, "WEBP", quality=_QUALITY, method=4)
    return Rendition(width, height, out.getvalue())


class _Shelf:
    """The renditions of one picture in the cache; a cache that cannot be written is none."""

    def __init__(self, folder: Path, data: bytes, widths: Sequence[int]) -> None:
        recipe = f"{_RECIPE} {_QUALITY} {list(widths)} {PIL.__version__}"
        recipe += f" {features.version_module('webp')}"
        key = hashlib.sha256(recipe.encode() + b"\0" + data).hexdigest()
        self.folder = folder
        self.list = folder / f"{key}.json"
        self.key = key

    def kept(self) -> tuple[Rendition, ...] | None:
        """Give what is kept; None where something of it is missing or was changed."""
        try:
            entries = json.loads(door.read_plain(self.list, _LONGEST_LIST))
            return tuple(map(self._taken, entries)) or None
        except (door.Refused, ValueError, TypeError, RecursionError):
            return None

    def _taken(self, entry: list[object]) -> Rendition:
        """Take one rendition from the shelf; ValueError where it is not what was put there."""
        width, height, digest = entry
        if not all(type(size) is int and 0 < size <= LONGEST_SIDE for size in (width, height)):
            raise ValueError("a size that no rendition has")
        data = door.read_plain(self._place(cast(int, width)), MOST_BYTES)
        if hashlib.sha256(data).hexdigest() != digest or data[8:12] != b"WEBP":
            raise ValueError("not what was put there")
        return Rendition(cast(int, width), cast(int, height), data)

    def _place(self, width: int) -> Path:
        return self.folder / f"{self.key}-{width}.webp"

    def keep(self, made: Sequence[Rendition]) -> None:
        """Keep renditions, the list of them last, so that no half of them is ever taken."""
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            entries = []
            for item in made:
                _written(self._place(item.width), item.data)
                digest = hashlib.sha256(item.data).hexdigest()
                entries.append((item.width, item.height, digest))
            _written(self.list, json.dumps(entries).encode())
        except OSError:
            return


def _written(path: Path, data: bytes) -> None:
    """Write a file in one step, as others may read it at the same time."""
    handle, name = tempfile.mkstemp(dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        Path(name).replace(path)
    except OSError:
        Path(name).unlink(missing_ok=True)
        raise


def pixels_of(rendition: Rendition) -> NDArray[np.uint8]:
    """A rendition's red, green, blue and alpha, of shape (height, width, 4)."""
    with Image.open(io.BytesIO(rendition.data)) as image:
        return np.asarray(image.convert("RGBA"))
