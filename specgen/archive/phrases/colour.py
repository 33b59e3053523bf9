"""Colours as pages write them: how far two stand apart, and a lighter tone of one."""

from __future__ import annotations

#: What text needs against its ground. Source: WCAG 2.2, success criterion 1.4.3, level AA.
READABLE = 4.5


def contrast(first: str, second: str) -> float:
    """Ratio of two colours' luminances, from 1 for the same to 21 for black on white.

    Colours are written "#0a5a72". Source: WCAG 2.2, definitions of contrast ratio and of relative
    luminance.
    """
    darker, lighter = sorted(_luminance(colour) for colour in (first, second))
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    parts = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def lightened(colour: str, ground: str, least: float = READABLE) -> str:
    """Give the tone nearest to a colour that can be read on a dark ground."""
    for share in range(0, 101, 5):
        parts = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
        tone = "#" + "".join(f"{round(part + (255 - part) * share / 100):02x}" for part in parts)
        if contrast(tone, ground) >= least:
            return tone
    return "#ffffff"
