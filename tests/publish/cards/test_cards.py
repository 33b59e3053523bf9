"""Result cards: what a figure needs to be believed stands on each, and nothing leaves its paper."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result
from PIL import Image

from specgen.analysis.sheet import Sheet
from specgen.cli import main
from specgen.publish.cards.card import Card, NoCard, against, ladder, single
from specgen.publish.cards.files import card_file
from specgen.publish.cards.setting import SHAPES, set_card
from specgen.publish.charts.papers.canvas import Canvas, Stroke, Words
from specgen.publish.charts.papers.letters import advance
from tests.publish.conftest import BUILDS

pytestmark = pytest.mark.slow


def run(*arguments: str) -> Result:
    """Run `specgen chart` on the demo archive."""
    words = ["chart", "--archive", str(BUILDS), *arguments]
    return CliRunner().invoke(main, words, catch_exceptions=False)


def said(canvas: Canvas) -> str:
    """All words of a card."""
    return " ".join(mark.text for mark in canvas.marks if isinstance(mark, Words))


def boxes(canvas: Canvas) -> list[tuple[float, float, float, float, str]]:
    """Left, top, right, bottom and text of all words that are seen."""
    found = []
    for mark in canvas.marks:
        if isinstance(mark, Words) and mark.opacity != 0 and mark.role != "mark-words":
            wide = advance(mark.text, mark.size, bold=mark.bold)
            left = mark.x - {"left": 0.0, "center": wide / 2, "right": wide}[mark.anchor]
            found.append((left, mark.y - 0.75 * mark.size, left + wide, mark.y, mark.text))
    return found


def crossing(canvas: Canvas) -> list[tuple[str, str]]:
    """Words that lie over other words."""
    all_boxes = boxes(canvas)
    return [
        (first[4], second[4])
        for at, first in enumerate(all_boxes)
        for second in all_boxes[at + 1 :]
        if min(first[2], second[2]) - max(first[0], second[0]) > 1
        and min(first[3], second[3]) - max(first[1], second[1]) > 1
    ]


def of_all_kinds(sheet: Sheet) -> list[Card]:
    """The card of a build, and those of its ladder; none of what was never tested."""
    if sheet.best is None:
        with pytest.raises(NoCard, match="was not tested yet"):
            single(sheet, "metric")
        return []
    tested = [step.setup.best for step in sheet.ladder if step.setup.best]
    stands = {(it.session.dyno.measured_at.value, it.rows["power"].standing) for it in tested}
    if len(tested) > 1 and len(stands) == 1:
        return [single(sheet, "metric"), *ladder(sheet, "imperial")]
    return [single(sheet, "metric")]


@pytest.mark.parametrize("shape", SHAPES)
def test_every_card_of_the_demo_is_whole(shape: str, sheets: Mapping[str, Sheet]) -> None:
    """No word lies over another or leaves the paper; unit, margin, place, air, name are there."""
    made = 0
    for sheet in sheets.values():
        for card in of_all_kinds(sheet):
            canvas = set_card(card, shape)
            assert crossing(canvas) == []
            width, height, _ = SHAPES[shape]
            out = [it for it in boxes(canvas) if it[0] < 0 or it[2] > width or it[3] > height]
            assert out == []
            words = said(canvas)
            assert "invented data" in words
            assert "Hestmere" in words
            assert "19 cases of 20" in words
            assert re.search(r"[Pp]ower (at|on|measured)", words), words
            assert card.figures[0].unit in words
            made += 1
    assert made > 20


def test_a_word_over_another_is_seen(sheets: Mapping[str, Sheet]) -> None:
    """The two measures above find what was put there by hand."""
    canvas = set_card(single(sheets["lark-hydroplane"], "metric"), "16:9")
    assert crossing(canvas) == []
    canvas.words(60, 100, "in the way of the title", size=30)
    assert crossing(canvas)


def test_cards_of_a_ladder_share_their_scales(sheets: Mapping[str, Sheet]) -> None:
    """Step by step one more curve, on the same axes: a film of them does not jump."""
    cards = list(ladder(sheets["lark-hydroplane"], "metric"))
    drawn = [set_card(card, "9:16") for card in cards]
    axes = [
        [(it.text, it.x, it.y) for it in canvas.marks
         if isinstance(it, Words) and it.role.startswith(("axis", "speed"))]
        for canvas in drawn
    ]  # fmt: skip
    # the first card has no gain: its figures take one line, so its curves stand higher
    assert all(axis == axes[1] for axis in axes[1:])
    assert [text for text, _, _ in axes[0]] == [text for text, _, _ in axes[1]]
    lines = [
        sum(isinstance(it, Stroke) and "line" in it.role.split() for it in canvas.marks)
        for canvas in drawn
    ]
    assert lines == [2, 4, 6, 8]


def test_a_gain_is_what_the_figures_differ_by(sheets: Mapping[str, Sheet]) -> None:
    """Each step's gain is the difference of the powers; what both rest on cancels out."""
    sheet = sheets["lark-hydroplane"]
    cards = list(ladder(sheet, "metric"))
    pulls = [step.setup.best for step in sheet.ladder if step.setup.best]
    for (before, after), card in zip(pairwise(pulls), cards[1:], strict=True):
        first, second = before.rows["power"], after.rows["power"]
        gain = card.figures[-1]
        shown = float(gain.number.replace("−", "-"))
        assert shown == pytest.approx((second.scalar - first.scalar) / 1e3, abs=0.51)
        roots = {*first.spread, *second.spread}
        apart = [float(first.spread.get(it, 0.0)) - float(second.spread.get(it, 0.0))
                 for it in roots]  # fmt: skip
        expanded = 2 * float(np.sqrt(np.square(apart).sum())) / 1e3
        assert float(gain.margin.split("\u202f")[1]) == pytest.approx(expanded, abs=0.51)
        both = float(np.hypot(first.expanded or 0.0, second.expanded or 0.0)) / 1e3
        assert expanded <= both * (1 + 1e-9)


def test_unlike_results_are_not_subtracted(sheets: Mapping[str, Sheet]) -> None:
    """Hub beside flywheel stands in bold, and no gain is told; alike, one is."""
    flywheel, hub = sheets["lark-hydroplane"], _elsewhere(sheets)
    card = against(flywheel, hub, "metric")
    assert card.warning.startswith("Not like for like: power was measured at the flywheel and ")
    assert not [it for it in card.figures if it.title.startswith("Against")]
    assert "Not like for like" in said(set_card(card, "1:1"))
    setups = [step.setup.id for step in flywheel.ladder if step.setup.best][:2]
    alike = against(flywheel, flywheel, "metric", (setups[0], setups[1]))
    assert not alike.warning
    assert alike.figures[-1].title.startswith("Against")


def _elsewhere(sheets: Mapping[str, Sheet]) -> Sheet:
    tested = (sheet for sheet in sheets.values() if sheet.best)
    return next(it for it in tested if it.best and it.best.rows["power"].present
                and it.best.session.dyno.measured_at.value != "flywheel")  # fmt: skip


def test_a_card_without_a_ground(sheets: Mapping[str, Sheet]) -> None:
    """Clear where nothing stands; words have a white rim, so that any picture may lie below."""
    card = single(sheets["lark-hydroplane"], "metric")
    image = Image.open(io.BytesIO(card_file(card, "16:9", "png", clear=True)))
    assert (image.width, image.height) == (1920, 1080)
    alpha = np.asarray(image.convert("RGBA"))
    assert alpha[5, 5, 3] == 0
    assert (alpha[:, :, 3] == 0).mean() > 0.7
    solid = alpha[alpha[:, :, 3] > 250]
    assert (solid[:, :3].min(axis=1) > 250).sum() > 10_000, "no rim"
    ground = Image.open(io.BytesIO(card_file(card, "16:9", "png"))).convert("RGBA")
    assert np.asarray(ground)[5, 5, 3] == 255


@pytest.mark.parametrize("size", [(300, 300), (300, 150)])
def test_a_workshops_own_mark_stands_on_its_cards(
    size: tuple[int, int], sheets: Mapping[str, Sheet]
) -> None:
    """Its picture, whole and in its own shape, in place of the letters, in every kind of file."""
    plain = single(sheets["lark-hydroplane"], "metric")
    assert "HE" in said(set_card(plain, "16:9"))
    pixels = np.zeros((size[1], size[0], 4), dtype=np.uint8)
    pixels[..., 0] = pixels[..., 3] = 255
    card = replace(plain, picture=pixels)
    assert "HE" not in said(set_card(card, "16:9"))
    drawn = np.asarray(Image.open(io.BytesIO(card_file(card, "16:9", "png"))).convert("RGB"))
    red = (drawn[..., 0] > 200) & (drawn[..., 1] < 60) & (drawn[..., 2] < 60)
    down, across = np.nonzero(red)
    wide, high = np.ptp(across) + 1, np.ptp(down) + 1
    assert wide == pytest.approx(72, abs=3)
    assert wide / high == pytest.approx(size[0] / size[1], rel=0.1)
    assert across.max() < 200
    assert down.max() < 200
    for layout, sign in (("svg", b"<image"), ("pdf", b"/Subtype /Image")):
        assert sign in card_file(card, "16:9", layout)
        assert sign not in card_file(plain, "16:9", layout)


def test_files_are_the_same_every_time(sheets: Mapping[str, Sheet]) -> None:
    """The same card gives the same bytes, in each layout."""
    card = single(sheets["lark-hydroplane"], "metric")
    for layout, start in (("png", b"\x89PNG"), ("svg", b"<?xml"), ("pdf", b"%PDF")):
        first = card_file(card, "1:1", layout)
        assert first.startswith(start)
        assert first == card_file(card, "1:1", layout)
    with pytest.raises(ValueError, match=r'no card "4:3"'):
        card_file(card, "4:3", "png")


def test_cards_are_written_by_the_command(tmp_path: Path) -> None:
    """One file, a file a step, two setups beside each other; each is told in a sentence."""
    path = tmp_path / "out.png"
    result = run("lark-hydroplane", "--card", "9:16", "--ladder", "--output", str(path))
    assert result.exit_code == 0, result.output
    assert {it.name for it in tmp_path.iterdir()} == {f"out-{at}.png" for at in (1, 2, 3, 4)}
    assert "Gain over 95.5 mm" in result.output
    result = run("lark-hydroplane", "--card", "1:1", "--against", "teal-hydroplane",
                 "--output", str(path), "--transparent")  # fmt: skip
    assert result.exit_code == 0, result.output
    assert result.output.startswith(f"{path}: Lark, three-litre hydroplane and Teal, two-litre")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("lark-hydroplane", "--ladder"), "write --card 16:9, 1:1 or 9:16 too"),
        (("lark-hydroplane", "power", "--card", "1:1"), 'leave out "power", or --card'),
        (("lark-hydroplane", "--card", "1:1", "--setup", "none"), 'no setup "none"; there are: '),
        (("irrigation-pump", "--card", "1:1"), "was not tested yet"),
        (("lark-hydroplane", "--card", "1:1", "--ladder", "--against", "teal-hydroplane"),
         "leave out --setup and --against"),
    ],
)  # fmt: skip
def test_what_does_not_go_together_is_told(arguments: tuple[str, ...], words: str) -> None:
    """Each with what to write instead."""
    result = run(*arguments)
    assert result.exit_code == 2
    assert words in re.sub(r"\s+", " ", result.output)
