"""Result cards as files."""

from __future__ import annotations

from typing import cast, get_args

from specgen.publish.cards.card import Card
from specgen.publish.cards.setting import SHAPES, set_card

#: Points in an inch; the files that are no PNG are as wide as a slide of ten inches.
_WIDE = 720.0


def card_file(card: Card, shape: str, layout: str, *, clear: bool = False) -> bytes:
    """Draw a card as a PNG, SVG or PDF; `clear` leaves its ground out.

    ValueError for a shape that is none of `SHAPES`, or another layout.
    """
    from specgen.publish.charts.papers.picture import Layout, file_of

    if shape not in SHAPES or layout not in get_args(Layout):
        raise ValueError(f'no card "{shape}" as {layout}; shapes are: {", ".join(SHAPES)}')
    width = SHAPES[shape].pixels if layout == "png" else _WIDE
    return file_of(set_card(card, shape), cast(Layout, layout), width, card.spoken, clear=clear)
