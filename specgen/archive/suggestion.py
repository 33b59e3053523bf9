"""Guessing what a misspelled key, value or name was meant to be."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable


def nearest(word: str, words: Iterable[str]) -> str | None:
    """Find the word that was probably meant, or None: same letters first, then similar ones."""
    known = list(words)
    folded = {_folded(item): item for item in reversed(known)}
    turned = {_turned(item): item for item in reversed(known)}
    same = folded.get(_folded(word)) or turned.get(_turned(word))
    if same is not None:
        return same
    near = difflib.get_close_matches(_folded(word), list(folded), n=1, cutoff=0.6)
    return folded[near[0]] if near else None


def _folded(word: str) -> str:
    """Drop what people write differently: capitals, spaces, hyphens, underscores."""
    return re.sub(r"[\s_\-./]+", "", word).lower()


def _turned(word: str) -> str:
    """Bring the parts of a word in one order, so that speed_max is max_speed."""
    return " ".join(sorted(re.split(r"[\s_\-./]+", word.lower())))


def listed(words: Iterable[str]) -> str:
    """Write words as a list in a sentence: a, b or c."""
    known = list(words)
    if len(known) < 2:
        return "".join(known)
    return f"{', '.join(known[:-1])} or {known[-1]}"
