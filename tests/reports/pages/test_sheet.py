"""A browser opens the commissioning sheet: boxes to write in, each after its caution."""

from __future__ import annotations

from typing import Any

from tests.reports.conftest import Made, Opened


def test_the_sheet_has_boxes_to_write_in_after_their_caution(
    browser: Any, sheets: dict[str, Made]
) -> None:
    """Each box is named for those who hear the page, takes what is typed, and comes after what
    must be isolated first; each step stays together on paper."""
    made = sheets["ridge_house"]
    opened = Opened(browser, made.path, 390)
    page = opened.page
    sheet = made.json["sections"]["sheet"]["grids"]
    steps = page.locator(".step")
    assert steps.count() == len(sheet) > 5
    for number, step in enumerate(sheet.values()):
        place = steps.nth(number)
        assert place.locator("h3").inner_text() == step["title"]
        assert place.locator("p").inner_text() == step["note"]
        assert place.evaluate("each => each.children[1].tagName") == "P"
        boxes = place.locator("input")
        assert boxes.count() == len(step["rows"])
        for at, row in enumerate(step["rows"]):
            name = f"measured, line {row['line']}: {row['reading']}"
            assert boxes.nth(at).get_attribute("aria-label") == name
    box = page.locator(".step input").first
    box.fill("38 psi")
    assert box.input_value() == "38 psi"
    page.emulate_media(media="print")
    assert page.evaluate(
        """[...document.querySelectorAll(".step")].every(each =>
             getComputedStyle(each).breakInside === "avoid")"""
    )
    opened.close()


def test_a_telephone_shows_each_reading_over_its_width(
    browser: Any, sheets: dict[str, Made]
) -> None:
    """No word is broken for want of room, nothing lies over a reading, and a thumb finds the box:
    Web Content Accessibility Guidelines 2.1, 2.5.5."""
    made = sheets["poor_well"]
    opened = Opened(browser, made.path, 390)
    rows = opened.page.evaluate(
        """() => [...document.querySelectorAll(".step tbody tr")].map(row => {
             const [line, reading] = [...row.children].map(cell => cell.getBoundingClientRect());
             const box = row.querySelector("input").getBoundingClientRect();
             return [reading.width, line.right <= reading.left, box.height]; })"""
    )
    assert len(rows) > 30
    assert all(width > 280 and apart and height >= 44 for width, apart, height in rows)
    opened.close()
