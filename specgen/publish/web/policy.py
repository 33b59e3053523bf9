"""The Content-Security-Policy of a built site: allow exactly what its pages carry inline.

A static host sends no headers of our own, so the policy is a meta tag. The theme's inline scripts
are allowed by hash: the union over all pages stands on every page, because a theme that swaps
pages without loading them keeps the first page's policy.
"""

from __future__ import annotations

import base64
import hashlib
import html
import re
from dataclasses import dataclass, field

_SCRIPT = re.compile(r"<script\b([^>]*)>(.*?)</script>", re.DOTALL | re.IGNORECASE)
_STYLE = re.compile(r"<style\b[^>]*>(.*?)</style>", re.DOTALL | re.IGNORECASE)
_STYLE_ATTRIBUTE = re.compile(r"""<[a-z][^<>]*?\sstyle=(?:"([^"]*)"|'([^']*)')""", re.IGNORECASE)
_MARK = "style="
_TYPE = re.compile(r"""\btype\s*=\s*["']?([^"'\s>]*)""", re.IGNORECASE)
_SOURCE = re.compile(r"\bsrc\s*=", re.IGNORECASE)
_HEAD = re.compile(r"""<head\b[^>]*>(\s*<meta\s+charset=[^>]*>)?""", re.IGNORECASE)

#: Script types that a browser runs; anything else is data, which no policy touches.
_RUN = {"", "module", "text/javascript", "application/javascript", "importmap"}


@dataclass(slots=True)
class Inline:
    """What pages carry inline, as the hash sources a policy names."""

    scripts: set[str] = field(default_factory=set)
    styles: set[str] = field(default_factory=set)
    attributes: set[str] = field(default_factory=set)

    def add(self, page: str) -> None:
        """Take in one built page."""
        for attributes, body in _SCRIPT.findall(page):
            kind = _TYPE.search(attributes)
            if not _SOURCE.search(attributes) and (kind.group(1) if kind else "").lower() in _RUN:
                self.scripts.add(hash_source(body))
        self.styles.update(hash_source(body) for body in _STYLE.findall(page))
        if _MARK in page.lower():  # the pattern tries at every element, and few pages have one
            for double, single in _STYLE_ATTRIBUTE.findall(_SCRIPT.sub("", page)):
                self.attributes.add(hash_source(html.unescape(double or single)))

    def take(self, other: Inline) -> None:
        """Have all that another one has."""
        self.scripts |= other.scripts
        self.styles |= other.styles
        self.attributes |= other.attributes

    def covers(self, other: Inline) -> bool:
        """Whether all that another one has is here too."""
        return (
            other.scripts <= self.scripts
            and other.styles <= self.styles
            and other.attributes <= self.attributes
        )


def hash_source(text: str) -> str:
    """Give the policy's name for an inline text: its SHA-256, newlines as a browser sees them.

    Source: W3C Content Security Policy Level 3, section 2.3.1 (from memory).
    """
    seen = text.replace("\r\n", "\n").replace("\r", "\n")
    digest = hashlib.sha256(seen.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"


def policy_text(inline: Inline, *, live: bool = False) -> str:
    """Write the policy; `live` is for the preview server, which injects a changing script."""
    scripts = ["'unsafe-inline'"] if live else sorted(inline.scripts)
    attributes = sorted(inline.attributes)
    directives = {
        "default-src": ["'none'"],
        "script-src": ["'self'", *scripts],
        "style-src-elem": ["'self'", *sorted(inline.styles)],
        "style-src-attr": ["'unsafe-hashes'", *attributes] if attributes else ["'none'"],
        "img-src": ["'self'", "data:"],
        "font-src": ["'self'", "data:"],
        "media-src": ["'self'"],
        "connect-src": ["'self'"],
        "worker-src": ["'self'", "blob:"],
        "manifest-src": ["'self'"],
        "base-uri": ["'self'"],
        "form-action": ["'self'"],
    }
    return "; ".join(f"{name} {' '.join(sources)}" for name, sources in directives.items())


def policy_tag(policy: str) -> str:
    """The element that a page carries its policy in."""
    return f'<meta http-equiv="Content-Security-Policy" content="{policy}">'


def with_policy(page: str, tag: str) -> str:
    """Put the policy's element at the head of a page, before anything it must govern."""

    def insert(found: re.Match[str]) -> str:
        return found.group(0) + tag

    return _HEAD.sub(insert, page, count=1)
