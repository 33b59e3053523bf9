"""Text of the archive as safe HTML inside Markdown, and the templates that print it.

Pages are Markdown because any site engine reads that; their bodies are blocks of finished HTML
between Markdown headings. Text that somebody wrote never becomes markup of either language: HTML
characters are escaped, and characters by which Markdown, its extensions or a macro plugin would
be woken are written as character references.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

#: What Markdown, attribute lists, snippets, macros and mathematics extensions react to.
_LIVE = re.compile(r"[\\`*_{}\[\]#~^$|!+=@%]|--+|:(?=\S)|(?<=:)/(?=/)")
_SPACE = re.compile(r"[ \t\r\n\f\v\x85\u2028\u2029]+")
_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]")


def safe(text: str) -> Markup:
    """Turn plain text into HTML that no Markdown engine reads anything into; one line."""
    one_line = _SPACE.sub(" ", _CONTROL.sub("\N{REPLACEMENT CHARACTER}", text))
    return Markup(_LIVE.sub(_as_references, str(escape(one_line))))  # escaped on this line


def _as_references(found: re.Match[str]) -> str:
    return "".join(f"&#{ord(character)};" for character in found.group())


def _safe_unless_markup(value: Any) -> Any:
    """Jinja's last step before printing: everything that is not finished HTML is made safe."""
    if isinstance(value, Markup):
        return value
    if hasattr(value, "__html__"):
        return Markup(value)
    return safe(str(value))


def heading_text(text: str) -> str:
    """Turn plain text into the text of a Markdown heading or link."""
    return re.sub(r"^(\d+)([.)])", r"\1&#46;", str(safe(text)).strip())


def one_block(html: str) -> Markup:
    """Fold finished HTML so that no blank line and no indent stands in it.

    An engine of the CommonMark kind ends an HTML block at a blank line and takes four spaces for
    code.
    """
    lines = (line.strip() for line in html.splitlines())
    return Markup("\n".join(line for line in lines if line))


@cache
def environment() -> Environment:
    """Make the templates' environment: autoescape on, undefined names are errors."""
    made = Environment(
        loader=PackageLoader("specgen.publish", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_safe_unless_markup,
    )
    made.filters["heading"] = lambda text: Markup(heading_text(text))
    return made


def rendered(template: str, **names: Any) -> Markup:
    """Print one template as a block of HTML."""
    return one_block(environment().get_template(template).render(**names))
