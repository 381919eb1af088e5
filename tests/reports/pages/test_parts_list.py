"""A browser opens each list of parts: readable, printable, and the same as its JSON."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from tests.reports.conftest import EXAMPLES, Look, Made, Opened, Printed, hostile
from tests.reports.pages.test_browser import CONTRAST
from tests.reports.pages.test_layout import pages_of
from tests.running import here
from tests.sampled import sampled

NAMES = sampled(
    [*(site.stem for site in EXAMPLES), "starter"],
    "ridge_house", "village_borehole", "smallest", "starter",
)  # fmt: skip
PAPERS = {"Letter": (816, 1056), "A4": (794, 1123)}
"""Width and height of papers [px], 96 to the inch."""

LINES = """() => [...document.querySelectorAll("tr.line")].map(each => [
  ...[...each.children].map(cell => cell.innerText.trim()),
  each.nextElementSibling.innerText.trim()])"""
"""Cells of every line, and beneath them why."""


@pytest.mark.parametrize("width", [1280, 390])
@pytest.mark.parametrize("name", NAMES, scope="module")
def test_it_opens_quietly_and_fits(
    in_view: Look, lists: dict[str, Made], name: str, width: int
) -> None:
    opened = in_view(lists[name].path, width)
    assert opened.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert opened.said == []
    assert opened.asked == [lists[name].path.as_uri()]


@pytest.mark.parametrize("name", NAMES, scope="module")
def test_every_line_of_the_page_stands_in_its_json(
    in_view: Look, lists: dict[str, Made], name: str
) -> None:
    lines = in_view(lists[name].path, 1280).page.evaluate(LINES)
    sections = lists[name].json["sections"].values()
    rows = [row for each in sections for row in each["grids"].get("parts", {"rows": []})["rows"]]
    # What is to buy stands first on the page.
    bought = [row["line"] for row in rows if row["state"] in ("sized", "change", "add")]
    assert [line[0] for line in lines][: len(bought)] == bought
    lines.sort(key=lambda line: int(line[0]))
    assert [line[0] for line in lines] == [row["line"] for row in rows]
    for line, row in zip(lines, rows, strict=True):
        assert (line[1], line[3], line[4]) == (row["part"], row["size"], row["state"])
        assert line[5:-1] == ([row["cost"] or "-"] if "cost" in row else [])
    reasons = [
        row["why"] for each in sections for row in each["grids"].get("why", {"rows": []})["rows"]
    ]
    shared = list(dict.fromkeys(reasons))
    assert {re.sub(r"\s+", " ", line[-1]) for line in lines} == set(shared)


@pytest.mark.parametrize("name", ["ridge_house", "starter"], scope="module")
def test_no_line_is_torn_between_two_sheets(
    in_view: Look, lists: dict[str, Made], name: str
) -> None:
    for width, height in PAPERS.values():
        page = in_view(lists[name].path, width, "print").page
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        stays, highest = page.evaluate(
            """() => { const all = [...document.querySelectorAll(".parts tbody")];
            return [all.every(each => getComputedStyle(each).breakInside === "avoid"),
                    Math.max(...all.map(each => each.getBoundingClientRect().height))]; }"""
        )
        assert stays
        assert highest < height / 4


def test_a_thumb_finds_each_box_and_labels_follow_their_heading(
    in_view: Look, on_paper: Printed, lists: dict[str, Made]
) -> None:
    """Web Content Accessibility Guidelines 2.1, 2.5.5, and no heading at the foot of a sheet."""
    page = in_view(lists["ridge_house"].path, 390).page
    small = page.evaluate(
        """[...document.querySelectorAll("label")].map(each => each.getBoundingClientRect())
             .filter(box => box.height < 44 || box.width < 44).length"""
    )
    assert small == 0
    for name in ("ridge_house", "smallest"):
        for paper in PAPERS:
            sheets = pages_of(on_paper(in_view, lists[name].path, paper))
            words = next(words for _, words in sheets if "Labels to cut out" in words)
            assert re.search(r"\b(V|PS|CB)-1\b", words), (name, paper)


def test_names_that_try_to_be_markup_stay_text(browser: Any, tmp_path: Path) -> None:
    text = hostile(r"</title><script>document.title=\"taken\"</script>")
    (tmp_path / "site.toml").write_text(text, "utf-8")
    ran = here("parts", tmp_path / "site.toml", "-o", tmp_path / "parts.html")
    assert ran.returncode == 0, ran.stderr.decode()
    opened = Opened(browser, tmp_path / "parts.html", 390)
    page = opened.page
    assert page.title().startswith("</title><script>")
    assert page.locator("img").count() == 0
    assert page.locator("script").count() == 1
    assert "<img src=x onerror=alert(1)>" in page.locator("main").inner_text()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert opened.said == []
    opened.close()


def test_it_is_read_easily_and_light(browser: Any, lists: dict[str, Made]) -> None:
    """At least 4.5 to 1: Web Content Accessibility Guidelines 2.1, 1.4.3, level AA."""
    opened = Opened(browser, lists["starter"].path, 1280)
    ratio, text = opened.page.evaluate(CONTRAST)
    assert ratio >= 4.5, text
    opened.close()
    for made in lists.values():
        assert len(made.text.encode()) < 120_000
        assert not re.search(r"https?:|src=|@import|url\(", made.text)


def test_boxes_that_are_ticked_stay_so(browser: Any, lists: dict[str, Made]) -> None:
    opened = Opened(browser, lists["ridge_house"].path, 390)
    page = opened.page
    boxes = page.locator("input[type=checkbox]")
    assert (
        boxes.count() == page.locator("tr.line").count() + page.locator(".todo tbody tr").count()
    )
    for at in (0, 5):
        boxes.nth(at).check()
    boxes.nth(5).uncheck()
    page.reload()
    assert boxes.nth(0).is_checked()
    assert not boxes.nth(5).is_checked()
    assert opened.said == []
    opened.close()


def test_what_a_hand_turns_has_a_label_to_cut_out(
    browser: Any, lists: dict[str, Made], reports: dict[str, Made]
) -> None:
    """By the tags of the report's diagrams: valves, breakers and isolators, but no pump."""
    opened = Opened(browser, lists["ridge_house"].path, 390)
    labels = [each.split("\n") for each in opened.page.locator(".labels li").all_inner_texts()]
    tags = [each[0].strip() for each in labels]
    assert len(set(tags)) == len(tags) > 8
    assert {"V-1", "CB-1", "DS-1"} <= set(tags)
    assert not [each for each in tags if each.startswith(("P-", "WH-"))]
    drawn = reports["ridge_house"].text
    assert all(f">{tag}<" in drawn or f"{tag}:" in drawn for tag in tags)
    opened.close()


def test_the_totals_above_the_list_stand_in_its_json(lists: dict[str, Made]) -> None:
    for made in lists.values():
        rows = made.json["sections"]["parts_totals"]["grids"]["totals"]["rows"]
        counts = {row["state"]: row["lines_count"] for row in rows}
        found = re.search(
            r"<p>(\d+) in the file, (\d+) to change, (\d+) to add, (\d+) to check", made.text
        )
        assert found
        names = ("in the file", "to change", "to add", "to check")
        assert [int(each) for each in found.groups()] == [counts[name] for name in names]
        assert counts["everything"] == sum(counts[name] for name in names)
    starter = lists["starter"]
    rows = starter.json["sections"]["parts_totals"]["grids"]["totals"]["rows"]
    # The starter's prices: 1.10 a foot of pump cable, 264 ft and 253 ft.
    assert rows[-1]["cost"] == f"{1.10 * 264 + 1.10 * 253:.2f}"
    assert f"Everything: {rows[-1]['cost']} by" in starter.text
