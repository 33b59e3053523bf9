"""Draws the demo archive's pictures: `python -m tests.generator.pictures`. Nothing is a photograph.

One picture carries a made-up position in its metadata on purpose, so that whoever strips
metadata has something to strip.
"""

from __future__ import annotations

import io
import math
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFont

BUILDS = Path(__file__).parents[2] / "builds"
WIDTH, HEIGHT = 1400, 1050
#: Drawn this much larger and scaled down, so that edges are smooth.
FINE = 2

INK, STEEL, DARK, LIGHT = (44, 50, 56), (150, 158, 166), (84, 92, 100), (214, 219, 224)
BENCH, BRASS, GLASS, RED = (226, 221, 211), (181, 146, 79), (196, 214, 222), (158, 59, 46)
Colour = tuple[int, int, int]
Point = tuple[float, float]


class Sheet:
    """A drawing in units of the finished picture's pixels."""

    def __init__(self, ground: Colour = BENCH) -> None:
        self.image = Image.new("RGB", (WIDTH * FINE, HEIGHT * FINE), ground)
        self.pen = ImageDraw.Draw(self.image)

    def disc(self, x: float, y: float, radius: float, fill: Colour, edge: float = 3) -> None:
        """A filled circle with an inked edge."""
        box = [(x - radius) * FINE, (y - radius) * FINE, (x + radius) * FINE, (y + radius) * FINE]
        self.pen.ellipse(box, fill=fill, outline=INK if edge else None, width=round(edge * FINE))

    def shape(self, points: Sequence[Point], fill: Colour, edge: float = 3) -> None:
        """A filled outline."""
        scaled = [(x * FINE, y * FINE) for x, y in points]
        self.pen.polygon(scaled, fill=fill)
        if edge:
            width = round(edge * FINE)
            self.pen.line([*scaled, scaled[0]], fill=INK, width=width, joint="curve")

    def box(self, x: float, y: float, width: float, height: float, fill: Colour,
            round_by: float = 8, edge: float = 3) -> None:  # fmt: skip
        """A filled rectangle with round corners."""
        corners = [x * FINE, y * FINE, (x + width) * FINE, (y + height) * FINE]
        self.pen.rounded_rectangle(corners, round_by * FINE, fill, INK if edge else None,
                                   round(edge * FINE))  # fmt: skip

    def line(self, points: Sequence[Point], colour: Colour = INK, width: float = 3) -> None:
        """A line through points."""
        scaled = [(x * FINE, y * FINE) for x, y in points]
        self.pen.line(scaled, fill=colour, width=round(width * FINE), joint="curve")

    def words(self, x: float, y: float, text: str, size: float = 30, colour: Colour = INK) -> None:
        """A line of text that starts at a point."""
        font = ImageFont.load_default(size * FINE)
        self.pen.text((x * FINE, y * FINE), text, fill=colour, font=font)

    def note(self, x: float, y: float, to: Point, text: str) -> None:
        """A label with a line to what it names."""
        self.line([(x, y), to], DARK, 2)
        self.disc(*to, 6, INK, 0)
        width = ImageFont.load_default(30).getlength(text)
        self.box(x - 12, y - 26, width + 24, 52, (250, 249, 246), 6, 2)
        self.words(x, y - 18, text)

    def finished(self, seed: int) -> Image.Image:
        """The drawing in its own size, with the grain of paper."""
        small = self.image.resize((WIDTH, HEIGHT), Image.Resampling.LANCZOS)
        grain = np.random.default_rng(seed).normal(0, 2.2, (HEIGHT, WIDTH, 1))
        pixels = np.asarray(small, dtype=float) + grain
        return Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8))


def around(x: float, y: float, radius: float, turn: float) -> Point:
    """A point on a circle; a turn of 0 is to the right, a quarter is down."""
    return x + radius * math.cos(2 * math.pi * turn), y + radius * math.sin(2 * math.pi * turn)


def ring(x: float, y: float, radii: tuple[float, float], count: int) -> list[Point]:
    """A toothed outline that goes between two radii."""
    return [
        around(x, y, radii[(step // 2) % 2], (step + 0.5) / (4 * count))
        for step in range(4 * count)
    ]


def pulley(sheet: Sheet, x: float, y: float, radius: float, bolts: int = 6) -> None:
    """A ribbed pulley from the front."""
    sheet.disc(x, y, radius, STEEL)
    for share in (0.955, 0.91, 0.865):
        sheet.disc(x, y, radius * share, STEEL, 1.5)
    sheet.disc(x, y, radius * 0.80, LIGHT)
    for bolt in range(bolts):
        centre = around(x, y, radius * 0.55, bolt / bolts)
        sheet.disc(*centre, radius * 0.09, DARK, 2)
    sheet.disc(x, y, radius * 0.26, STEEL)
    sheet.disc(x, y, radius * 0.12, DARK)


def belt(sheet: Sheet, one: tuple[float, float, float], other: tuple[float, float, float]) -> None:
    """A belt around two pulleys, each by centre and radius."""
    (x1, y1, r1), (x2, y2, r2) = one, other
    away, along = math.hypot(x2 - x1, y2 - y1), math.atan2(y2 - y1, x2 - x1)
    lean = math.acos((r1 - r2) / away)
    for side in (-1, 1):
        turn = (along + side * lean) / (2 * math.pi)
        sheet.line([around(x1, y1, r1 + 7, turn), around(x2, y2, r2 + 7, turn)], INK, 16)
    sheet.disc(x1, y1, r1 + 14, INK, 0)
    sheet.disc(x2, y2, r2 + 14, INK, 0)


def belt_drive() -> Sheet:
    """The front of the engine: crank pulley, blower pulley, tensioner, belt."""
    sheet = Sheet()
    sheet.box(330, 250, 740, 690, LIGHT, 30)
    sheet.box(560, 70, 460, 220, STEEL, 40)
    crank, blower = (640, 740, 190.0), (800, 210, 108.0)
    belt(sheet, crank, blower)
    pulley(sheet, *crank)
    pulley(sheet, *blower, bolts=5)
    pulley(sheet, 905, 520, 62, 3)
    sheet.line([(905, 520), (1030, 610)], DARK, 26)
    sheet.disc(1030, 610, 30, DARK)
    sheet.note(1090, 200, (905, 190), "blower pulley")
    sheet.note(1090, 470, (960, 510), "tensioner")
    sheet.note(160, 900, (470, 800), "crank pulley")
    return sheet


def head_gasket() -> Sheet:
    """A head gasket of four bores on the bench, with a rule below it."""
    sheet = Sheet()
    outline = [(120, 330), (1280, 330), (1280, 700), (120, 700)]
    sheet.shape(outline, BRASS)
    for bore in range(4):
        x = 290 + bore * 275
        sheet.disc(x, 515, 122, STEEL)
        sheet.disc(x, 515, 108, BENCH)
    for index in range(5):
        for y in (372, 658):
            sheet.disc(152 + index * 274, y, 20, BENCH, 2)
    for index in range(8):
        for y in (360, 672):
            sheet.box(230 + index * 130, y - 12, 46, 24, BENCH, 12, 2)
    sheet.box(120, 820, 1160, 84, (244, 236, 205), 4)
    for step in range(0, 117):
        length = 40 if step % 10 == 0 else 26 if step % 5 == 0 else 16
        sheet.line([(120 + step * 10, 820), (120 + step * 10, 820 + length)], INK, 1.5)
        if step % 10 == 0 and step:
            sheet.words(108 + step * 10, 864, str(step * 3), 22)
    sheet.note(880, 200, (842, 410), "86.5 mm bore, 1.2 mm pressed")
    return sheet


def rotor_housing() -> Sheet:
    """The blower opened from the end: two rotors that mesh in their housing."""
    sheet = Sheet()
    sheet.box(150, 210, 1100, 650, STEEL, 120)
    left, right, radius = (496, 535), (904, 535), 275.0
    sheet.disc(*left, radius, (236, 238, 240))
    sheet.disc(*right, radius, (236, 238, 240))
    for lobes, centre, turn, colour in ((4, left, 0.0, DARK), (5, right, 0.0, (120, 128, 136))):
        points = []
        for step in range(360):
            angle = step / 360
            wave = math.cos(2 * math.pi * lobes * (angle - turn))
            points.append(around(*centre, 200 + 62 * wave, angle))
        sheet.shape(points, colour)
        sheet.disc(*centre, 46, LIGHT)
        sheet.disc(*centre, 20, DARK)
    for x, y in ((230, 290), (1170, 290), (230, 780), (1170, 780), (700, 245), (700, 825)):
        sheet.disc(x, y, 26, DARK, 2)
    sheet.note(180, 130, (430, 380), "main rotor, four lobes")
    sheet.note(860, 950, (960, 700), "gate rotor, five flutes")
    return sheet


def dyno_cell() -> Sheet:
    """A plan of the dyno cell: engine, brake, fan, fuel, and the window to the desk."""
    sheet = Sheet((246, 245, 241))
    sheet.box(110, 110, 1180, 740, (255, 255, 255), 4, 8)
    sheet.box(520, 838, 360, 24, GLASS, 2, 2)
    sheet.box(420, 390, 250, 170, LIGHT)
    sheet.box(760, 410, 170, 130, STEEL)
    sheet.line([(670, 475), (760, 475)], DARK, 22)
    sheet.shape(ring(270, 475, (86, 62), 9), GLASS)
    sheet.disc(270, 475, 24, DARK)
    for step in range(4):
        y = 430 + step * 30
        sheet.line([(360, y), (404, y)], DARK, 3)
        sheet.shape([(404, y - 9), (418, y), (404, y + 9)], DARK, 0)
    sheet.box(1120, 180, 110, 150, RED)
    sheet.line([(1120, 250), (545, 250), (545, 390)], RED, 5)
    sheet.line([(545, 560), (545, 700), (1290, 700)], DARK, 16)
    sheet.line([(845, 540), (845, 640), (1290, 640)], (64, 111, 150), 8)
    sheet.line([(845, 410), (845, 320), (1000, 320), (1000, 110)], (64, 111, 150), 8)
    for x, y, text in (
        (455, 455, "engine"), (780, 455, "brake"), (225, 590, "fan"), (1136, 345, "fuel"),
        (620, 880, "window to the desk"), (1040, 716, "exhaust"), (1020, 590, "water out"),
        (1018, 140, "water in"),
    ):  # fmt: skip
        sheet.words(x, y, text, 28)
    return sheet


def cam_timing() -> Sheet:
    """A timing disc on the crank's nose with a bent wire as the pointer."""
    sheet = Sheet()
    x, y = 700, 560
    sheet.disc(x, y, 400, (250, 249, 246))
    for degree in range(0, 360, 2):
        inner = 352 if degree % 30 == 0 else 368 if degree % 10 == 0 else 382
        ends = [around(x, y, inner, degree / 360), around(x, y, 396, degree / 360)]
        sheet.line(ends, INK, 3 if degree % 10 == 0 else 1.5)
        if degree % 30 == 0:
            shown = min(degree, 360 - degree)
            at = around(x, y, 312, (degree - 90) / 360)
            sheet.words(at[0] - 26, at[1] - 18, str(shown), 32)
    sheet.words(x - 32, y - 260, "TDC", 36, RED)
    sheet.words(x - 32, y + 218, "BDC", 36, RED)
    pulley(sheet, x, y, 130, 4)
    sheet.line([(1180, 90), (900, 110), (770, 150), (742, 176)], BRASS, 12)
    sheet.shape([(742, 176), (756, 182), (726, 206)], BRASS, 0)
    sheet.note(980, 60, (880, 116), "pointer, from welding wire")
    return sheet


def air_box() -> Sheet:
    """The bellmouth with its inclined manometer, before the panel filter."""
    sheet = Sheet()
    sheet.box(640, 300, 420, 420, LIGHT)
    for step in range(11):
        sheet.line([(680 + step * 34, 320), (680 + step * 34, 700)], STEEL, 8)
    flare = [(640, 400), (520, 400), (430, 380), (360, 330), (320, 260),
             (320, 760), (360, 690), (430, 640), (520, 620), (640, 620)]  # fmt: skip
    sheet.shape([(float(a), float(b)) for a, b in flare], STEEL)
    sheet.line([(1060, 510), (1260, 510)], DARK, 90)
    sheet.line([(560, 620), (560, 860), (300, 860)], (64, 111, 150), 8)
    sheet.shape([(120, 950), (860, 830), (868, 870), (128, 990)], GLASS)
    sheet.line([(140, 962), (520, 900)], RED, 14)
    for step in range(15):
        share = 0.05 + step * 0.06
        left = 120 + share * 740, 950 - share * 120
        sheet.line([left, (left[0] + 3, left[1] + 16)], INK, 2)
    sheet.note(120, 160, (340, 340), "bellmouth")
    sheet.note(900, 220, (860, 340), "panel filter")
    sheet.note(900, 960, (700, 880), "inclined manometer")
    return sheet


def ring_gap() -> Sheet:
    """A piston ring squared in its bore, with a feeler gauge in the gap."""
    sheet = Sheet()
    sheet.box(140, 110, 1120, 860, LIGHT, 20)
    sheet.disc(640, 540, 400, STEEL)
    sheet.disc(640, 540, 372, (240, 241, 242))
    sheet.disc(640, 540, 366, DARK, 2)
    sheet.disc(640, 540, 340, (240, 241, 242), 2)
    sheet.shape([(984, 520), (1012, 522), (1012, 546), (984, 544)], (240, 241, 242), 0)
    sheet.shape([(960, 524), (1290, 500), (1292, 528), (960, 542)], BRASS)
    sheet.disc(1270, 514, 9, BENCH, 2)
    sheet.words(1085, 560, "0.64 mm", 34)
    sheet.note(300, 170, (400, 300), "top ring, fifth cylinder")
    return sheet


def three_pulleys() -> Sheet:
    """Three blower pulleys of different size side by side on the bench."""
    sheet = Sheet()
    sheet.box(90, 760, 1220, 60, (196, 186, 168), 4, 2)
    for x, size in ((320, 105), (740, 95), (1100, 85)):
        radius = 1.95 * size
        pulley(sheet, x, 760 - radius, radius, 5)
        sheet.words(x - 66, 846, f"{size} mm", 40)
    sheet.note(150, 180, (250, 420), "2022")
    sheet.note(690, 180, (740, 440), "2023")
    sheet.note(1060, 180, (1100, 470), "2026")
    return sheet


#: Path below builds, who draws it, and whether it carries a made-up position.
PICTURES: tuple[tuple[str, Callable[[], Sheet], bool], ...] = (
    ("shed-test-engine/pictures/belt-drive.jpg", belt_drive, False),
    ("shed-test-engine/pictures/head-gasket.jpg", head_gasket, False),
    ("shed-test-engine/pictures/rotor-housing.jpg", rotor_housing, False),
    ("shed-test-engine/pictures/dyno-cell.jpg", dyno_cell, True),
    ("shed-test-engine/pictures/cam-timing.jpg", cam_timing, False),
    ("shed-test-engine/pictures/air-box.jpg", air_box, False),
    ("plover-sprint/pictures/ring-gap.jpg", ring_gap, False),
    ("narrow-gauge-railcar/pictures/three-pulleys.jpg", three_pulleys, False),
)


def with_position(image: Image.Image) -> Image.Exif:
    """Metadata as a telephone writes them: a position (invented), a camera, a comment."""
    exif = image.getexif()
    exif[0x010E] = "Drawing, invented"
    exif[0x010F] = "Invented camera"
    position = exif.get_ifd(0x8825)
    position[1], position[2] = "N", (61.0, 30.0, 15.0)
    position[3], position[4] = "W", (20.0, 45.0, 30.0)
    return exif


def encoded(drawing: Callable[[], Sheet], position: bool) -> bytes:
    """A drawing as the bytes of a JPEG file."""
    image = drawing().finished(len(drawing.__name__))
    out = io.BytesIO()
    extra = {"exif": with_position(image)} if position else {}
    image.save(out, "JPEG", quality=76, optimize=True, **extra)
    return out.getvalue()


def main() -> None:
    """Write all pictures below builds."""
    for name, drawing, position in PICTURES:
        target = BUILDS / name
        target.parent.mkdir(parents=True, exist_ok=True)
        data = encoded(drawing, position)
        target.write_bytes(data)
        sys.stdout.write(f"{name}: {len(data) / 1000:.0f} kB\n")


if __name__ == "__main__":
    main()
