"""Guessing what a misspelled key, value or name was meant to be."""

from __future__ import annotations

import difflib
import functools
import re
from collections.abc import Iterable

#: What the trade also says for words of the format.
_ALSO_CALLED = {
    "roots": "lobe",
    "twinscrew": "screw",
    "boxer": "flat",
    "straight": "in-line",
    "v": "vee",
    "gasoline": "petrol",
    "redline": "max_speed",
    "revlimit": "max_speed",
    "cid": "displacement",
    "crank": "flywheel",
}


#: Nobody misspells a longer one, and comparing takes the time of both words' letters.
_LONGEST_WORD = 100

#: The words of the format, which every slip is held against, are a few hundred.
_REMEMBERED = 4_000


def nearest(word: str, words: Iterable[str]) -> str | None:
    """Find the word that was probably meant, or None: same letters first, then similar ones."""
    if len(word) > _LONGEST_WORD:
        return None
    known = sorted(words)
    folded = {_folded(item): item for item in reversed(known)}
    turned = {_turned(item): item for item in reversed(known)}
    same = folded.get(_folded(word)) or turned.get(_turned(word))
    if same is not None:
        return same
    longer = [item for item in folded if item.startswith(_folded(word))] if word else []
    if len(longer) > 1:
        return None  # "sae" could be any of them
    called = _ALSO_CALLED.get(_folded(word))
    if called in known:
        return called
    near = difflib.get_close_matches(_folded(word), list(folded), n=1, cutoff=0.6)
    return folded[near[0]] if near else None


@functools.lru_cache(_REMEMBERED)
def _folded(word: str) -> str:
    """Drop what people write differently: capitals, spaces, hyphens, underscores."""
    return re.sub(r"[\s_\-./]+", "", word).lower()


@functools.lru_cache(_REMEMBERED)
def _turned(word: str) -> str:
    """Bring the parts of a word in one order, so that speed_max is max_speed."""
    return " ".join(sorted(re.split(r"[\s_\-./]+", word.lower())))


def listed(words: Iterable[str], last: str = "or") -> str:
    """Write words as a list in a sentence: a, b or c."""
    known = list(words)
    if len(known) < 2:
        return "".join(known)
    return f"{', '.join(known[:-1])} {last} {known[-1]}"


def one_of(words: Iterable[str]) -> str:
    """Write words as a choice: one of a, b or c; a single one as it is."""
    known = list(words)
    return f"one of {listed(known)}" if len(known) > 1 else listed(known)


def more(count: int, noun: str) -> str:
    """Write how many further ones there are, or nothing: ", and 2 more such rows"."""
    return f", and {count} more such {noun}{'s' * (count > 1)}" if count else ""


def plain_id(text: str) -> str:
    """Make a plain id of a text; "" where nothing is left."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")
