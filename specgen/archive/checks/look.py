"""Faults of a workshop's own look: its mark, and its colour. None keeps a build from its page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from specgen.archive.model.build import Settings
from specgen.archive.phrases.colour import READABLE, contrast
from specgen.archive.phrases.figures import warning
from specgen.archive.pictures import ENDINGS, PictureError, judge
from specgen.archive.reading.folders import named_file
from specgen.findings import Finding


def look(settings: Settings, root: Path) -> Iterator[Finding]:
    """The mark is a picture that can be shown; the colour can be read on white."""
    if settings.mark is not None:
        yield from _mark(settings, root)
    accent = settings.accent
    if accent is not None and contrast(accent.value, "#ffffff") < READABLE:
        found = (
            f"{accent.value}, which stands {contrast(accent.value, '#ffffff'):.1f} to 1 on white"
        )
        expected = f"a colour that can be read: at least {READABLE} to 1"
        hint = 'a darker tone, such as "#0a5a72"'
        yield warning("wrong-value", accent.place, found, expected, hint)


def _mark(settings: Settings, root: Path) -> Iterator[Finding]:
    """What is wrong with the mark's file, if anything; without it, letters stand there."""
    assert settings.mark is not None
    path, fault = named_file(root, settings.mark, ENDINGS)
    if fault is not None:
        yield replace(fault, severity="warning")
    if path is None:
        return
    try:
        judge(path)
    except PictureError as bad:
        found = f'"{settings.mark.value}", {bad.found}'
        yield warning("bad-picture", settings.mark.place, found, bad.expected, bad.hint)
