"""Printing a page of the site to a PDF file, and reading back what stands on each page of it."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

#: What is cut or scrolls in print, given the width of the paper in pixels.
CUT = """width => [...document.querySelectorAll('.sg .sg-scroll, .sg table, .sg svg, .sg dl')]
  .filter(it => it.getBoundingClientRect().width > 0)
  .filter(it => it.getBoundingClientRect().right > width + 1
    || (it.matches('.sg-scroll') && getComputedStyle(it).overflowX !== 'visible'))
  .map(it => `${it.tagName} ${it.getAttribute('class')}: ${
    it.getBoundingClientRect().right} of ${width}`)"""

#: Printable width between our margins, in pixels of 1/96 inch, by paper.
WIDTH = {"A4": round((210 - 2 * 14) / 25.4 * 96), "Letter": round((215.9 - 2 * 14) / 25.4 * 96)}


def printed(page: Page, file: Path, size: str, **options: Any) -> list[str]:
    """Print a page; give the text of each sheet of paper, read by poppler."""
    page.pdf(path=file, format=size, prefer_css_page_size=True, **options)
    run = subprocess.run(["pdftotext", "-raw", str(file), "-"], capture_output=True, check=True)
    return run.stdout.decode("utf-8").split("\f")[:-1]


def sheets_of_paper(data: bytes) -> int:
    """How many pages a PDF file has."""
    return len(re.findall(rb"/Type\s*/Page\b", data))


#: A word of a page as poppler tells it: its box in points, and what it says.
_WORD = re.compile(
    r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>'
)


def overprinted(file: Path) -> list[str]:
    """Words of a PDF file that lie over other words, by more than letters may touch."""
    run = subprocess.run(["pdftotext", "-bbox", str(file), "-"], capture_output=True, check=True)
    found = []
    for number, page in enumerate(run.stdout.decode("utf-8").split("<page ")[1:], 1):
        boxes = sorted(_shrunk(it) for it in _WORD.findall(page) if not it[4].startswith("Q"))
        for at, (_, bottom, left, right, words) in enumerate(boxes):
            for other in boxes[at + 1 :]:
                if other[0] >= bottom:
                    break
                # letters with a rim are in the file twice, in one place
                twice = other[4] == words and abs(other[2] - left) < 1
                if not twice and min(right, other[3]) - max(left, other[2]) > 1:
                    found.append(f"page {number}: {words} / {other[4]}")
    return found


def _shrunk(word: tuple[str, ...]) -> tuple[float, float, float, float, str]:
    """Top, bottom, left, right and text of a word, without the room above and below its letters."""
    left, top, right, bottom = map(float, word[:4])
    idle = 0.25 * (bottom - top)
    return top + idle, bottom - idle, left, right, word[4]
