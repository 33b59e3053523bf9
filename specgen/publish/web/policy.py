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
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

_SCRIPT = re.compile(r"<script\b([^>]*)>(.*?)</script>", re.DOTALL | re.IGNORECASE)
_STYLE = re.compile(r"<style\b[^>]*>(.*?)</style>", re.DOTALL | re.IGNORECASE)
_STYLE_ATTRIBUTE = re.compile(r"""<[a-z][^<>]*?\sstyle=(?:"([^"]*)"|'([^']*)')""", re.IGNORECASE)
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
        for double, single in _STYLE_ATTRIBUTE.findall(_SCRIPT.sub("", page)):
            self.attributes.add(hash_source(html.unescape(double or single)))


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


def with_policy(page: str, policy: str) -> str:
    """Put the policy at the head of a page, before anything it must govern."""
    tag = f'<meta http-equiv="Content-Security-Policy" content="{policy}">'

    def insert(found: re.Match[str]) -> str:
        return found.group(0) + tag

    return _HEAD.sub(insert, page, count=1)


def seal(pages: Iterable[Path], *, live: bool = False) -> str:
    """Give all built pages one policy that covers what any of them carries; return the policy."""
    files = list(pages)
    inline = Inline()
    for file in files:
        inline.add(file.read_text(encoding="utf-8"))
    policy = policy_text(inline, live=live)
    for file in files:
        sealed = with_policy(file.read_text(encoding="utf-8"), policy)
        file.write_bytes(sealed.encode("utf-8"))
    return policy
