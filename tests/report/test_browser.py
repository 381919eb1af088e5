"""A browser opens each report: nothing is asked for, nothing overflows, nothing is cut."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
NAMES = [*(site.stem for site in EXAMPLES), "ridge_house_si"]
WIDTHS = (1280, 390)

CUT = """() => {
  const found = [];
  for (const svg of document.querySelectorAll("svg")) {
    const box = svg.getBoundingClientRect();
    for (const text of svg.querySelectorAll("text")) {
      const own = text.getBoundingClientRect();
      if (own.left < box.left - 0.5 || own.right > box.right + 0.5 ||
          own.top < box.top - 0.5 || own.bottom > box.bottom + 0.5)
        found.push(text.textContent);
    }
  }
  return found;
}"""
"""Labels of figures that reach beyond their figure."""

OVER = """() => {
  const found = [];
  for (const svg of document.querySelectorAll("svg")) {
    const texts = [...svg.querySelectorAll("text")].map(
      each => [each.textContent, each.getBoundingClientRect()]);
    const slack = svg.getBoundingClientRect().width / 420;
    for (let i = 0; i < texts.length; i++)
      for (let j = i + 1; j < texts.length; j++) {
        const [a, b] = [texts[i][1], texts[j][1]];
        const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
        const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        if (wide > 1.5 * slack && high > 4 * slack) found.push([texts[i][0], texts[j][0]]);
      }
  }
  return found;
}"""
"""Labels of a figure that lie over each other."""

CONTRAST = """() => {
  const parts = text => text.match(/[\\d.]+/g).map(Number);
  const light = ([r, g, b]) => [r, g, b].map(v => v / 255)
    .map(v => v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)
    .reduce((sum, v, i) => sum + v * [0.2126, 0.7152, 0.0722][i], 0);
  const ground = node => {
    for (; node; node = node.parentElement) {
      const [r, g, b, a = 1] = parts(getComputedStyle(node).backgroundColor);
      if (a > 0) return [r, g, b];
    }
    return [255, 255, 255];
  };
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  let least = [99, ""];
  while (walker.nextNode()) {
    const node = walker.currentNode.parentElement;
    if (!walker.currentNode.textContent.trim() || node.closest("svg, style")) continue;
    const [a, b] = [light(parts(getComputedStyle(node).color)), light(ground(node))];
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (ratio < least[0]) least = [ratio, walker.currentNode.textContent.trim()];
  }
  return least;
}"""
"""The least contrast of text on its ground, by the formula of WCAG 2.1, and that text."""


class Opened:
    """A page in the browser with what it said and asked for."""

    def __init__(self, browser: Any, path: Path, width: int) -> None:
        self.said: list[str] = []
        self.asked: list[str] = []
        self.page = browser.new_page(viewport={"width": width, "height": 900})
        self.page.on("console", lambda message: self.said.append(message.text))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.on("dialog", lambda dialog: self.said.append(dialog.message))
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.goto(path.as_uri())

    def close(self) -> None:
        self.page.close()


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", NAMES)
def test_it_opens_quietly_and_fits(
    browser: Any, reports: dict[str, Any], name: str, width: int
) -> None:
    opened = Opened(browser, reports[name].path, width)
    page = opened.page
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert page.evaluate(CUT) == []
    assert page.evaluate(OVER) == []
    assert opened.said == []
    assert opened.asked == [reports[name].path.as_uri()]
    opened.close()


@pytest.mark.parametrize("width", WIDTHS)
def test_awkward_names_stay_text_and_fit(browser: Any, awkward: Any, width: int) -> None:
    opened = Opened(browser, awkward.path, width)
    page = opened.page
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert page.evaluate(CUT) == []
    assert page.title().startswith("</title><script>")
    assert page.locator("h1").inner_text().startswith("</title><script>")
    assert page.locator("script, img, b > b").count() == 0
    assert opened.said == []
    assert opened.asked == [awkward.path.as_uri()]
    opened.close()


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_no_figure_is_cut_in_print(
    browser: Any, reports: dict[str, Any], tmp_path: Path, paper: str
) -> None:
    """In print each figure is lower than the paper, and asks to stay whole; the PDF has pages."""
    opened = Opened(browser, reports["ridge_house"].path, 816 if paper == "Letter" else 794)
    page = opened.page
    page.emulate_media(media="print")
    height = (11.0 * 96 if paper == "Letter" else 297 / 25.4 * 96) - 2 * 14 / 25.4 * 96
    figures = page.evaluate(
        """[...document.querySelectorAll("figure")].map(each => [
             each.id, each.getBoundingClientRect().height, getComputedStyle(each).breakInside])"""
    )
    assert len(figures) >= 7
    assert [each for each in figures if each[1] > height or each[2] != "avoid"] == []
    assert page.evaluate(CUT) == []
    made = page.pdf(path=tmp_path / "report.pdf", format=paper)
    assert made.startswith(b"%PDF")
    assert made.count(b"/Type /Page\n") + made.count(b"/Type /Page ") >= 5
    opened.close()


@pytest.mark.parametrize("name", ["ridge_house", "creek_cabin", "smallest"])
def test_text_stands_out_from_its_ground(browser: Any, reports: dict[str, Any], name: str) -> None:
    """At least 4.5 to 1: Web Content Accessibility Guidelines 2.1, 1.4.3, level AA."""
    opened = Opened(browser, reports[name].path, 1280)
    ratio, text = opened.page.evaluate(CONTRAST)
    assert ratio >= 4.5, text
    opened.close()


def test_the_keyboard_reaches_the_content_first(browser: Any, reports: dict[str, Any]) -> None:
    opened = Opened(browser, reports["ridge_house"].path, 1280)
    page = opened.page
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the content"
    assert page.evaluate("document.activeElement.getBoundingClientRect().left >= 0")
    page.keyboard.press("Enter")
    assert page.evaluate("location.hash") == "#main"
    opened.close()
