"""A browser opens each card: one sheet of paper, a telephone's width, nothing asked for."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from tests.reports.conftest import CHECKOUT, EXAMPLES, Look, Opened, Printed, hostile, make
from tests.reports.pages.test_browser import CONTRAST
from tests.running import here
from tests.sampled import sampled

PHONE = 390
POINT = 96 / 72
LEAST_TYPE = 12
MILLIMETRE = 96 / 25.4
EDGE = 6.5 * MILLIMETRE
"""What the card leaves free around it [px]."""
NAMES = [*(site.stem for site in EXAMPLES), "starter"]
IN_UNITS = sampled(
    [(name, system) for name in NAMES for system in ("US", "SI")],
    *((name, system) for name in ("ridge_house", "starter") for system in ("US", "SI")),
    ("village_borehole", "US"),
    ("smallest", "US"),
)
"""Cards in both systems of units; for the test command those of an example with two pumps, a hand
pump and a heated tank, of the starter, which has everything, and of two that have less."""

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


@pytest.mark.parametrize(("name", "system"), IN_UNITS, scope="module")
def test_it_opens_quietly_at_phone_width(
    in_view: Look, cards: dict[tuple[str, str], Path], name: str, system: str
) -> None:
    path = cards[name, system]
    opened = in_view(path, PHONE)
    assert opened.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert min(opened.page.evaluate(PIECES)) >= 16
    assert opened.said == []
    assert opened.asked == [path.as_uri()]


@pytest.mark.sample
@pytest.mark.parametrize(("name", "system"), IN_UNITS, scope="module")
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


def test_what_room_is_left_goes_to_the_type_and_to_air(
    in_view: Look, cards: dict[tuple[str, str], Path]
) -> None:
    """A card fills most of its sheet, and where little is told its blocks stand well apart."""
    for name in ("creek_cabin", "meadow_farm", "ridge_house"):
        page = in_view(cards[name, "US"], round(816 - 2 * EDGE), "print").page
        high = page.evaluate("document.body.getBoundingClientRect().height")
        assert 0.85 < high / (1056 - 2 * EDGE) <= 0.995, name
        gap, line = page.evaluate(
            """() => { const style = getComputedStyle(document.querySelector(".block"));
                 return [parseFloat(style.marginBottom), parseFloat(style.lineHeight)]; }"""
        )
        if name != "ridge_house":
            assert gap > 1.2 * MILLIMETRE
            assert line > 1.1 * page.evaluate(
                "parseFloat(getComputedStyle(document.body).fontSize)"
            )


def test_the_card_of_six_pumps_stays_on_one_sheet(
    in_view: Look, on_paper: Printed, tmp_path: Path
) -> None:
    text = (CHECKOUT / "examples" / "ridge_house.toml").read_text("utf-8")
    start, end = text.index('[[pump]]\nname = "frugal pump"'), text.index("[hand_pump]")
    more = "".join(
        text[start:end].replace("frugal pump", f"pump number {number}") for number in range(3, 7)
    )
    text = text[:end].replace("6.065 in", "20 in") + more + text[end:]
    (tmp_path / "six.toml").write_text(text, "utf-8")
    path = make(tmp_path / "six.toml", tmp_path, command="card").path
    if not in_view(path, 816).page.evaluate(NARROW):
        pytest.skip("no narrow type on this machine")
    for paper in ("Letter", "A4"):
        assert pages(on_paper(in_view, path, paper).read_bytes()) == 1, paper


def test_the_count_of_pages_can_count(browser: Any, cards: dict[tuple[str, str], Path]) -> None:
    """On cards a quarter as large it can't be one sheet."""
    opened = Opened(browser, cards["ridge_house", "US"], 816)
    assert pages(opened.page.pdf(width="4in", height="5in")) > 1
    opened.close()


def test_names_that_try_to_be_markup_stay_text(browser: Any, tmp_path: Path) -> None:
    text = hostile(r"</title><script>document.title=\"taken\"</script>")
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


def test_digits_beside_a_name_from_right_to_left_keep_their_order(
    browser: Any, tmp_path: Path
) -> None:
    """Without marks around it such a name turns the digits of the telephone behind it round."""
    text = (CHECKOUT / "examples" / "ridge_house.toml").read_text("utf-8")
    by = 'made_by = "\u0623\u062d\u0645\u062f"\nphone = "+00 123 456"'
    (tmp_path / "site.toml").write_text(re.sub('made_by = ".*"', by, text), "utf-8")
    page = make(tmp_path / "site.toml", tmp_path, command="card")
    places = """() => {
      const line = document.querySelector("footer p").firstChild;
      return [..."00 123 456"].map((_, at) => {
        const letter = document.createRange();
        letter.setStart(line, line.data.indexOf("00 123") + at);
        letter.setEnd(line, line.data.indexOf("00 123") + at + 1);
        return letter.getBoundingClientRect().left;
      });
    }"""
    bare = tmp_path / "bare.html"
    bare.write_text(re.sub("&#x206[79];", "", page.text), "utf-8")
    kept, turned = (Opened(browser, each, 820) for each in (page.path, bare))
    assert kept.page.evaluate(places) == sorted(kept.page.evaluate(places))
    assert turned.page.evaluate(places) != sorted(turned.page.evaluate(places))
    kept.close()
    turned.close()


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
