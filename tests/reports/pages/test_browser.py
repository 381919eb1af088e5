"""A browser opens each report: nothing is asked for, nothing overflows, nothing is cut."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from tests.reports.conftest import SECOND, Look, Made, Opened, Printed, odd_sites
from tests.sampled import sampled

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.toml"))
NAMES = [*(site.stem for site in EXAMPLES), "ridge_house_si"]
ODD = tuple(odd_sites())
WIDTHS = (1280, 390)
PAPERS = {"Letter": (816.0, 1056.0), "A4": (210 / 25.4 * 96, 297 / 25.4 * 96)}
"""Width and height of papers [px], 96 to the inch."""

MARGIN, ABOVE, BELOW = (each / 25.4 * 96 for each in (12, 13, 12))
"""What the style sheet leaves free at each side of the paper, above and below [px]."""

SMALLEST_LETTERS = 9.0
"""Letters that are still read on a telephone held in the hand [px]: our own mark."""

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

FIGURES = """() => [...document.querySelectorAll("figure")].map(each => ({
  title: each.querySelector("h3, h4").textContent,
  caption: each.querySelector("figcaption").innerText,
  texts: [...each.querySelectorAll("svg text")]
    .filter(text => !/rotate\\(-?90/.test(text.getAttribute("transform") || ""))
    .map(text => text.textContent),
  height: each.getBoundingClientRect().height,
  stays: getComputedStyle(each).breakInside,
}))"""
"""The figures with their letters, but for those that stand on end."""

SMALLEST = """() => {
  let least = [99, ""];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const text = walker.currentNode, node = text.parentElement;
    if (!text.textContent.trim() || node.closest("style, script, title, desc")) continue;
    let size = parseFloat(getComputedStyle(node).fontSize);
    if (node.closest("svg")) {
      const seen = node.getScreenCTM();
      size *= Math.hypot(seen.a, seen.b);
    }
    if (size < least[0]) least = [size, text.textContent.trim()];
  }
  return least;
}"""
"""The smallest letters of a page as they are seen [px], and what they say."""

CONTRAST = """() => {
  const parts = text => text.match(/[\\d.]+/g).map(Number);
  const light = ([r, g, b]) => [r, g, b].map(v => v / 255)
    .map(v => v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)
    .reduce((sum, v, i) => sum + v * [0.2126, 0.7152, 0.0722][i], 0);
  const grounds = new Map([[null, [255, 255, 255]]]);
  const ground = node => {
    if (!grounds.has(node)) {
      const [r, g, b, a = 1] = parts(getComputedStyle(node).backgroundColor);
      grounds.set(node, a > 0 ? [r, g, b] : ground(node.parentElement));
    }
    return grounds.get(node);
  };
  // Behind a figure's letters: what was filled there last, of those shapes that lie under them.
  const shapes = new Map();
  const filled = svg => {
    if (!shapes.has(svg))
      shapes.set(svg, [...svg.querySelectorAll("path, rect")]
        .filter(shape => !shape.closest("defs, clipPath"))
        .map(shape => [shape, getComputedStyle(shape).fill, shape.getBoundingClientRect()])
        .filter(([, fill]) => fill.startsWith("rgb")));
    return shapes.get(svg);
  };
  const behind = text => {
    const own = text.getBoundingClientRect();
    const [x, y] = [(own.left + own.right) / 2, (own.top + own.bottom) / 2];
    let found = ground(text.closest("svg").parentElement);
    for (const [shape, fill, box] of filled(text.closest("svg"))) {
      if (shape.compareDocumentPosition(text) & Node.DOCUMENT_POSITION_PRECEDING) break;
      if (box.left <= x && x <= box.right && box.top <= y && y <= box.bottom) {
        const at = new DOMPoint(x, y).matrixTransform(shape.getScreenCTM().inverse());
        if (shape.isPointInFill(at)) found = parts(fill);
      }
    }
    return found;
  };
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  let least = [99, ""];
  while (walker.nextNode()) {
    const text = walker.currentNode, node = text.parentElement;
    if (!text.textContent.trim() || node.closest("style, script, title, desc")) continue;
    const drawn = node.closest("svg") !== null;
    const colour = getComputedStyle(node)[drawn ? "fill" : "color"];
    const [a, b] = [light(parts(colour)), light(drawn ? behind(node) : ground(node))];
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (ratio < least[0]) least = [ratio, text.textContent.trim()];
  }
  return least;
}"""
"""The least contrast of text on its ground, by the formula of WCAG 2.1, and that text."""


@pytest.mark.sample
@pytest.mark.parametrize("name", sampled(NAMES, *SECOND, "smallest"), scope="module")
def test_text_stands_out_from_its_ground(
    in_view: Look, reports: dict[str, Any], name: str
) -> None:
    """At least 4.5 to 1: Web Content Accessibility Guidelines 2.1, 1.4.3, level AA."""
    ratio, text = in_view(reports[name].path, 1280).page.evaluate(CONTRAST)
    assert ratio >= 4.5, text


@pytest.mark.sample
@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", sampled(NAMES, *SECOND, "smallest"), scope="module")
def test_it_opens_quietly_and_fits(
    in_view: Look, reports: dict[str, Any], name: str, width: int
) -> None:
    opened = in_view(reports[name].path, width)
    page = opened.page
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert page.evaluate(CUT) == []
    assert page.evaluate(OVER) == []
    size, text = page.evaluate(SMALLEST)
    assert size >= SMALLEST_LETTERS, text
    assert opened.said == []
    assert opened.asked == [reports[name].path.as_uri()]


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", sampled(ODD, "everything", "many_pumps"), scope="module")
def test_unusual_sites_fit_as_well(
    in_view: Look, odd: dict[str, Any], name: str, width: int
) -> None:
    made = odd[name]
    opened = in_view(made.path, width)
    page = opened.page
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), name
    assert page.evaluate(CUT) == [], name
    assert page.evaluate(OVER) == [], name
    assert page.evaluate(SMALLEST)[0] >= SMALLEST_LETTERS, name
    assert page.evaluate(CONTRAST)[0] >= 4.5, name
    assert opened.said == []
    assert opened.asked == [made.path.as_uri()]


def test_awkward_names_stay_text_and_fit(browser: Any, awkward: Any) -> None:
    opened = Opened(browser, awkward.path, WIDTHS[0])
    page = opened.page
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), width
        assert page.evaluate(CUT) == []
        assert page.title().startswith("</title><script>")
        assert page.locator("h1").inner_text().startswith("</title><script>")
        assert page.locator("img, b > b").count() == 0
        assert page.locator("script").count() == 1
    assert opened.said == []
    assert opened.asked == [awkward.path.as_uri()]
    opened.close()


def bare(text: str) -> str:
    """A text without its spaces and line breaks, which a PDF does not keep."""
    return re.sub(r"\s+", "", text)


def whole_on_paper(look: Look, on_paper: Printed, made: Made, paper: str) -> None:
    """No figure is higher than the paper, each asks to stay whole, and in the PDF its heading, its
    letters and its caption stand on one page."""
    reader = shutil.which("pdftotext")
    width, height = PAPERS[paper]
    page = look(made.path, round(width - 2 * MARGIN), "print").page
    figures = page.evaluate(FIGURES)
    assert len(figures) == len(made.json["figures"])
    for each in figures:
        assert each["height"] <= height - ABOVE - BELOW, each["title"]
        assert each["stays"] == "avoid"
    assert page.evaluate(CUT) == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    pdf = on_paper(look, made.path, paper)
    if reader is None:
        pytest.skip("no pdftotext on this machine")
    text = subprocess.run([reader, "-raw", pdf, "-"], capture_output=True, check=True).stdout
    sheets = [bare(each) for each in text.decode().split("\f")]
    for each in figures:
        letters = [bare(text) for text in (each["title"], each["caption"], *each["texts"])]
        # Turned letters come out of a PDF one by one, and not in their order.
        whole = [sheet for sheet in sheets if all(text in sheet for text in letters)]
        assert len(whole) == 1, each["title"]


@pytest.mark.parametrize("name", sampled(NAMES, *SECOND), scope="module")
def test_each_figure_is_whole_on_one_page_of_paper(
    in_view: Look, on_paper: Printed, reports: dict[str, Any], name: str
) -> None:
    for paper in PAPERS:
        whole_on_paper(in_view, on_paper, reports[name], paper)


def test_no_letters_of_the_paper_need_their_ground(browser: Any, reports: dict[str, Any]) -> None:
    """Browsers print without backgrounds unless told otherwise: on white all letters are dark."""
    opened = Opened(browser, reports["creek_cabin"].path, 800)
    page = opened.page
    page.emulate_media(media="print")
    page.add_style_tag(content="* { background: none !important; }")
    ratio, text = page.evaluate(CONTRAST)
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


def test_the_keyboard_goes_through_the_page_in_its_order_and_is_seen(
    browser: Any, reports: dict[str, Any]
) -> None:
    """Web Content Accessibility Guidelines 2.1, 2.4.3 and 2.4.7: what takes the focus comes in the
    order of the page, and shows it."""
    opened = Opened(browser, reports["village_borehole"].path, 1280)
    page = opened.page
    page.evaluate(
        """() => { window.reached = () => [...document.querySelectorAll(
             'a[href], summary, input, [tabindex="0"]')].filter(each =>
             each.checkVisibility({visibilityProperty: true})); }"""
    )
    count = page.evaluate("reached().length")
    assert count > 30
    before = -1
    for _ in range(count):
        page.keyboard.press("Tab")
        place, shown = page.evaluate(
            """() => {
              const style = getComputedStyle(document.activeElement);
              return [reached().indexOf(document.activeElement),
                      style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 1];
            }"""
        )
        assert place == before + 1
        assert shown
        before = place
    opened.close()


def test_a_link_from_a_verdict_goes_to_its_figure(browser: Any, reports: dict[str, Any]) -> None:
    opened = Opened(browser, reports["ridge_house"].path, 1280)
    page = opened.page
    link = page.locator('.verdict.caution a[href^="#figure-"]').first
    goes = link.get_attribute("href")
    link.press("Enter")
    assert page.evaluate("`#${document.activeElement.id}`") == goes
    top = page.evaluate("document.activeElement.getBoundingClientRect().top")
    assert abs(top) < 900
    opened.close()
