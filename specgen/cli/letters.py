"""What a terminal or a pipe that cannot take every letter is given instead."""

from __future__ import annotations

import codecs
import io
import sys
import unicodedata

#: Letters that reports use and old encodings lack, with the nearest they have.
_INSTEAD = {
    "\u2009": " ", "\u202f": " ", "\xa0": " ", "\u2212": "-", "\u2013": "-", "\u2014": "-",
    "\u2010": "-", "\u2011": "-", "±": "+/-", "µ": "u", "μ": "u", "°": " deg", "×": "x", "·": " ",
    "²": "2", "³": "3", "≤": "<=", "≥": ">=", "≈": "~", "→": "->", "…": "...", "“": '"', "”": '"',
    "‘": "'", "’": "'", "λ": "lambda", "η": "eta", "π": "pi", "Δ": "delta ",
}  # fmt: skip
_NAME = "specgen-nearest"


def _nearest(problem: UnicodeError) -> tuple[str, int]:
    """Put the nearest letters in the place of those that an encoding lacks."""
    if not isinstance(problem, UnicodeEncodeError):
        raise problem
    lacking = problem.object[problem.start : problem.end]
    return "".join(map(_plain, lacking)), problem.end


def _plain(letter: str) -> str:
    """Give what stands for a letter in plain English; its code where nothing does."""
    base = unicodedata.normalize("NFKD", letter).encode("ascii", "ignore").decode("ascii")
    code = letter.encode("unicode_escape").decode("ascii")
    return _INSTEAD.get(letter) or (base if base.isprintable() and base else code)


def speak_plainly() -> None:
    """Let nothing that is printed fail for want of a letter."""
    codecs.register_error(_NAME, _nearest)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=_NAME)
