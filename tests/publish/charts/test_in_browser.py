"""Charts in a real browser: under a strict policy, with nothing cut off and no words on others."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from specgen.publish.charts.papers import svg
from tests import fonts
from tests.publish.charts.samples import charts

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]
CSS = (Path(svg.__file__).parent.parent / "charts.css").read_text("utf-8")
STYLE = CSS + "body { margin: 16px; font: 16px sans-serif }"
#: Texts that stick out of their drawing, and pairs of texts that lie on each other.
FAULTS = """() => {
  const faults = [];
  for (const drawing of document.querySelectorAll("svg")) {
    const frame = drawing.getBoundingClientRect();
    if (!frame.width) continue;
    const texts = [...drawing.querySelectorAll("text")].map(
      text => [text.textContent, text.getBoundingClientRect()]);
    texts.forEach(([words, box], index) => {
      const name = drawing.getAttribute("aria-labelledby");
      if (box.left < frame.left - 1 || box.right > frame.right + 1
          || box.top < frame.top - 1 || box.bottom > frame.bottom + 1)
        faults.push(`${name}: "${words}" is cut off`);
      for (const [other, there] of texts.slice(index + 1)) {
        const across = Math.min(box.right, there.right) - Math.max(box.left, there.left);
        const down = Math.min(box.bottom, there.bottom) - Math.max(box.top, there.top);
        if (across > 1 && down > 4) faults.push(`${name}: "${words}" lies on "${other}"`);
      }
    });
  }
  return faults;
}"""


def page_of(browser: Any, width: int, scheme: str = "default") -> tuple[Any, list[str]]:
    """A page with every chart under a strict policy, and what its console says."""
    sha = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
    policy = f"default-src 'none'; style-src 'sha256-{sha}'"
    figures = "".join(f"<figure>{chart.wide}{chart.narrow}</figure>" for chart in charts().values())
    said: list[str] = []
    page = browser.new_page(viewport={"width": width, "height": 800})
    page.on("console", lambda message: said.append(message.text))
    page.set_content(
        f'<!doctype html><meta http-equiv="Content-Security-Policy" content="{policy}">'
        f'<style>{STYLE}</style><body data-md-color-scheme="{scheme}">{figures}</body>'
    )
    return page, said


@pytest.mark.parametrize("family", [fonts.USUAL, fonts.WIDE])
@pytest.mark.parametrize(("width", "form"), [(752, "wide"), (392, "narrow")])
def test_words_are_whole_and_apart(
    browser_with: Callable[[str], Any], width: int, form: str, family: str
) -> None:
    """No text is cut off or lies on another, in a font 15 % broader than the measured one too."""
    page, said = page_of(browser_with(family), width)
    shown = page.eval_on_selector_all(
        "svg",
        "all => all.filter(one => one.getBoundingClientRect().width).map(one => one.classList[1])",
    )
    assert shown == [f"sg-chart-{form}"] * len(charts())
    assert page.evaluate(FAULTS) == []
    assert said == []
    page.close()


def colour_of_first_line(page: Any) -> str:
    """The stroke the browser computes for the first measured line."""
    return str(page.eval_on_selector(".sg-c-measured", "one => getComputedStyle(one).stroke"))


def test_colours_follow_scheme_and_paper(browser: Any) -> None:
    """Light, dark and print each compute their own stroke; nothing is black by accident."""
    light, _ = page_of(browser, 752)
    dark, _ = page_of(browser, 752, "slate")
    assert colour_of_first_line(light) == "rgb(0, 114, 178)"
    assert colour_of_first_line(dark) == "rgb(86, 180, 233)"
    dark.emulate_media(media="print")
    assert colour_of_first_line(dark) == "rgb(0, 0, 0)"
    light.close()
    dark.close()


def test_a_chosen_system_stands_alone(browser: Any) -> None:
    """With imperial chosen the metric axis and grid give way to the imperial ones."""
    page, _ = page_of(browser, 752)
    page.evaluate("document.documentElement.dataset.sgUnits = 'imperial'")
    shown = "one => getComputedStyle(one).display + getComputedStyle(one).opacity"
    assert page.eval_on_selector(".sg-c-axis-metric", shown) == "none1"
    assert page.eval_on_selector(".sg-c-grid-imperial", shown) == "inline1"
    page.evaluate("document.documentElement.dataset.sgUnits = 'metric'")
    assert page.eval_on_selector(".sg-c-axis-imperial", shown) == "none1"
    assert page.eval_on_selector(".sg-c-grid-imperial", shown) == "inline0"
    page.close()
