"""A browser opens each card: one sheet of paper, a telephone's width, nothing asked for."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from tests.reports.conftest import CHECKOUT, EXAMPLES, Look, Opened
from tests.reports.pages.test_browser import CONTRAST
from tests.running import here

PHONE = 390
POINT = 96 / 72
LEAST_TYPE = 12
NAMES = [*(site.stem for site in EXAMPLES), "starter"]

PIECES = """() => [...document.querySelectorAll("li, .note, .sign, footer p, h3")]
  .map(each => parseFloat(getComputedStyle(each).fontSize))"""
"""Sizes of all type, in pixels."""

NARROW = """() => {
  const pen = document.createElement("canvas").getContext("2d");
  const width = font => {
    pen.font = `16px ${font}`;
    return pen.measureText("CLOSE valve").width;
  };
  return width(getComputedStyle(document.body).fontFamily) < 0.9 * width("Arial, sans-serif");
}"""
"""True where the machine has one of the narrow types that the page asks for."""


def pages(pdf: bytes) -> int:
    return len(re.findall(rb"/Type /Page\b(?!s)", pdf))


@pytest.mark.parametrize("system", ["US", "SI"], scope="module")
@pytest.mark.parametrize("name", NAMES, scope="module")
def test_it_opens_quietly_at_phone_width(
    in_view: Look, cards: dict[tuple[str, str], Path], name: str, system: str
) -> None:
    path = cards[name, system]
    opened = in_view(path, PHONE)
    assert opened.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert min(opened.page.evaluate(PIECES)) >= 16
    assert opened.said == []
    assert opened.asked == [path.as_uri()]


@pytest.mark.parametrize("system", ["US", "SI"], scope="module")
@pytest.mark.parametrize("name", NAMES, scope="module")
def test_it_prints_on_one_sheet_in_large_type(
    in_view: Look, cards: dict[tuple[str, str], Path], name: str, system: str
) -> None:
    page = in_view(cards[name, system], 816).page
    if not page.evaluate(NARROW):
        pytest.skip("no narrow type on this machine")
    for paper in ("Letter", "A4"):
        assert pages(page.pdf(format=paper)) == 1, paper
    page.emulate_media(media="print")
    assert min(page.evaluate(PIECES)) >= LEAST_TYPE * POINT - 0.01


def test_the_count_of_pages_can_count(browser: Any, cards: dict[tuple[str, str], Path]) -> None:
    """On cards a quarter as large it can't be one sheet."""
    opened = Opened(browser, cards["ridge_house", "US"], 816)
    assert pages(opened.page.pdf(width="4in", height="5in")) > 1
    opened.close()


def test_names_that_try_to_be_markup_stay_text(browser: Any, tmp_path: Path) -> None:
    text = (CHECKOUT / "examples" / "ridge_house.toml").read_text("utf-8")
    text = text.replace(
        'name = "Ridge house (invented)"',
        r'name = "</title><script>document.title=\"taken\"</script>"',
    )
    text = text.replace('name = "house pump"', f'name = "<img src=x onerror=alert(1)> {"w" * 90}"')
    text = text.replace('"hot water"', '"<b onclick=alert(1)>{{ 7 * 7 }}"')
    (tmp_path / "site.toml").write_text(text, "utf-8")
    ran = here("card", tmp_path / "site.toml", "-o", tmp_path / "card.html")
    assert ran.returncode == 0, ran.stderr.decode()
    opened = Opened(browser, tmp_path / "card.html", PHONE)
    page = opened.page
    assert page.title().startswith("</title><script>")
    assert page.locator("script, img, b").count() == 0
    assert "<img src=x onerror=alert(1)>" in page.locator("main").inner_text()
    assert "{{ 7 * 7 }}" in page.locator("body").inner_text()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert opened.said == []
    assert opened.asked == [(tmp_path / "card.html").as_uri()]
    opened.close()


def test_it_is_black_on_white(browser: Any, cards: dict[tuple[str, str], Path]) -> None:
    """At least 7 to 1: Web Content Accessibility Guidelines 2.1, 1.4.6, level AAA."""
    opened = Opened(browser, cards["ridge_house", "US"], PHONE)
    ratio, text = opened.page.evaluate(CONTRAST)
    assert ratio >= 7.0, text
    opened.close()


def test_it_is_light(cards: dict[tuple[str, str], Path]) -> None:
    for path in cards.values():
        text = path.read_text("utf-8")
        assert len(text.encode()) < 40_000
        assert not re.search(r"https?:|src=|@import|url\(", text)
