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
