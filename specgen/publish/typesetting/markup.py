"""Text of the archive as safe HTML inside Markdown.

Pages are Markdown because any site engine reads that; their bodies are blocks of finished HTML
between Markdown headings. Text that somebody wrote never becomes markup of either language: HTML
characters are escaped, and characters by which Markdown, its extensions or a macro plugin would
be woken are written as character references.
"""

from __future__ import annotations

import re
from functools import lru_cache

from markupsafe import Markup

#: HTML's own characters, and what Markdown, attribute lists, snippets, macros, emoji, automatic
#: links and mathematics extensions react to.
_LIVE = re.compile(r"""[<>&"'\\`*_{}\[\]#~^$|!+=@%]|--+|:(?=\S)""")
_SPACE = re.compile(r"[ \t\r\n\f\v\x85\u2028\u2029]+")
_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]")


@lru_cache(maxsize=16384)  # a site says the same titles, units and sources thousands of times
def safe(text: str) -> Markup:
    """Turn plain text into HTML that no Markdown engine reads anything into; one line."""
    one_line = _SPACE.sub(" ", _CONTROL.sub("\N{REPLACEMENT CHARACTER}", text))
    return Markup(_LIVE.sub(_as_references, one_line))


def _as_references(found: re.Match[str]) -> str:
    return "".join(f"&#{ord(character)};" for character in found.group())


def heading_text(text: str) -> str:
    """Turn plain text into the text of a Markdown heading or link."""
    return str(safe(text)).strip()


def one_block(html: str) -> Markup:
    """Fold finished HTML so that no blank line and no indent stands in it.

    An engine of the CommonMark kind ends an HTML block at a blank line and takes four spaces for
    code.
    """
    lines = (line.strip() for line in html.splitlines())
    return Markup("\n".join(line for line in lines if line))
