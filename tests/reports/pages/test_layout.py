"""The pages as they are laid out: on paper, on a screen, and for who does not see them."""

from __future__ import annotations

import re
import shutil
import subprocess
from importlib import resources
from pathlib import Path
from typing import Any

import pytest

from tests.reports.conftest import (
    CHECKOUT,
    EXAMPLES,
    Look,
    Made,
    Opened,
    Printed,
    make,
    many_pumps,
    odd_sites,
    on_papers,
)
from tests.reports.conftest import PAPERS as SIZES
from tests.reports.pages.test_browser import SMALLEST
from tests.sampled import sampled
from wellsolar.reports.pages import html
from wellsolar.reports.pages.html import TEMPLATES

PAPERS = ("Letter", "A4")
NINE_POINTS = 9 * 96 / 72
MOST = {"owner": 4, "engineer": 20}
"""Sheets of a part of a report at most."""

ALONE = 40
"""Words of a sheet on which nothing but signatures stands, with its head and foot, at most."""

BOX = re.compile(r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">([^<]*)<')

Box = tuple[float, float, float, float, str]
"""Top, left, bottom and right of a word in points, and the word."""

Sheets = list[tuple[float, list[Box]]]
"""Of each sheet its height in points, and its words."""


def boxes_of(pdf: Path) -> Sheets:
    """The sheets of a PDF."""
    reader = shutil.which("pdftotext")
    if reader is None:
        pytest.skip("no pdftotext on this machine")
    ran = subprocess.run([reader, "-bbox", pdf, "-"], capture_output=True, check=True)
    sheets = []
    for page in ran.stdout.decode().split("<page ")[1:]:
        size = re.search(r'height="([\d.]+)"', page)
        words = [
            (float(top), float(left), float(low), float(right), word)
            for left, top, right, low, word in BOX.findall(page)
        ]
        sheets.append((float(size.group(1)), words))
    return sheets


def pages_of(pdf: Path) -> list[tuple[float, str]]:
    """What `printed_on` says of a PDF."""
    return printed_on(boxes_of(pdf))


def printed_on(sheets: Sheets) -> list[tuple[float, str]]:
    """Of each sheet how far down it is printed, as part of its height, and its words; running
    heads and feet, which are the same on all, do not count."""
    pages = []
    for height, boxes in sheets:
        lows = [low / height for _, _, low, _, _ in boxes if 0.05 < low / height < 0.95]
        pages.append((max(lows, default=0.0), " ".join(box[-1] for box in boxes)))
    return pages


def overlaid(sheets: Sheets) -> list[str]:
    """Words that are printed over others."""
    words = []
    for _, boxes in sheets:
        ordered = sorted(boxes)
        for at, (top, left, low, right, word) in enumerate(ordered):
            for other_top, other_left, other_low, other_right, other in ordered[at + 1 :]:
                if other_top > low:
                    break
                deep = min(low, other_low) - other_top
                wide = min(right, other_right) - max(left, other_left)
                if wide > 1.0 and deep > 0.4 * min(low - top, other_low - other_top):
                    words.append(f"{word} and {other}")
    return words


def blank_sheets(sheets: list[tuple[float, str]], first: int) -> list[int]:
    """Sheets of a report that are half blank, but the last of each part.

    Parameters:
        first: index of the first sheet of the appendix
    """
    last = first - 1, len(sheets) - 1
    return [at + 1 for at, (low, _) in enumerate(sheets) if low <= 0.5 and at not in last]


@pytest.mark.parametrize(("name", "paper"), on_papers(site.stem for site in EXAMPLES))
def test_both_parts_of_the_report_are_short_and_leave_no_sheet_half_blank(
    in_view: Look, on_paper: Printed, reports: dict[str, Any], name: str, paper: str
) -> None:
    made = reports[name]
    boxes = boxes_of(on_paper(in_view, made.path, paper))
    assert overlaid(boxes) == []
    sheets = printed_on(boxes)
    first = next(at for at, (_, words) in enumerate(sheets) if "appendix" in words)
    assert first <= MOST["owner"]
    assert len(sheets) - first <= MOST["engineer"]
    for at, (_, words) in enumerate(sheets):
        assert f"{at + 1} of {len(sheets)}" in words
        assert made.json["site"]["name"] in words
    assert blank_sheets(sheets, first) == []
    signed = next(words for _, words in sheets if "Signatures" in words)
    assert len(signed.split()) > ALONE


UNLIKE = {
    **{
        site.stem: site.read_text("utf-8")
        for site in (CHECKOUT / "tests" / "sites").glob("*.toml")
    },
    **odd_sites(),
    "six_pumps": many_pumps("16 in", {f"pump {at}": f"{180 - 5 * at} ft" for at in (3, 4, 5, 6)}),
}
del UNLIKE["many_pumps"]
"""Sites unlike the shipped ones; of six pumps the schedule of equipment and the figure of what
fails do not end on the sheet on which they begin. A name of sixty letters without a space, as
`many_pumps` has one, still makes the browser print all of a page smaller, and figures are laid on
sheets for the usual size."""


@pytest.mark.long
@pytest.mark.parametrize("name", sorted(UNLIKE))
def test_reports_of_sites_unlike_the_shipped_ones_leave_no_sheet_half_blank(
    in_view: Look, tmp_path: Path, name: str
) -> None:
    site = tmp_path / f"{name}.toml"
    site.write_text(UNLIKE[name], "utf-8")
    page = in_view(make(site, tmp_path).path, 1280, "print").page
    for paper, size in SIZES.items():
        page.pdf(path=tmp_path / "page.pdf", **size)
        boxes = boxes_of(tmp_path / "page.pdf")
        sheets = printed_on(boxes)
        first = next(at for at, (_, words) in enumerate(sheets) if "appendix" in words)
        assert blank_sheets(sheets, first) == [], paper
        assert overlaid(boxes) == [], paper


CONTENTS = """() => {
  let part = 0, piece = 0;
  return [...document.querySelectorAll(".listed li")].map(each => {
    if (each.className === "outer") { part++; piece = 0; }
    if (each.className === "inner") piece++;
    const number = {outer: `${part} `, inner: `${part}.${piece} `, unnumbered: ""};
    return number[each.className] + each.firstElementChild.textContent;
  });
}"""
"""The lines of the contents as paper has them, with their numbers."""


def contents_of(page: Any, pdf: Path) -> dict[str, tuple[int, list[int]]]:
    """Of each line of the printed contents the sheet that it names, and those on which such a
    heading stands."""
    reader = shutil.which("pdftotext")
    if reader is None:
        pytest.skip("no pdftotext on this machine")
    ran = subprocess.run([reader, "-raw", pdf, "-"], capture_output=True, check=True)
    sheets = [f" {' '.join(each.split())} " for each in ran.stdout.decode().split("\f")]
    first = next(at for at, text in enumerate(sheets) if " Engineer's appendix " in text)
    # Figures float: their titles come before the words around them.
    figures, contents, listed = sheets[first].partition(" Contents ")
    named: dict[str, tuple[int, list[int]]] = {}
    for entry in page.evaluate(CONTENTS):
        line = re.search(rf" {re.escape(entry)} (\d+) ", contents[-1] + listed)
        assert line is not None, entry
        listed = (contents[-1] + listed).replace(line.group()[:-1], "", 1)
        named[entry] = int(line.group(1)), []
    sheets[first] = figures + listed
    for entry, (_, found) in named.items():
        stands = (at for at, text in enumerate(sheets, 1) if f" {entry} " in text)
        found += [at for at in stands if at > first]
    return named


@pytest.mark.parametrize(
    ("name", "paper"),
    on_papers(["ridge_house", "village_borehole", "creek_cabin", "south_slope"]),
)
def test_each_part_begins_on_the_sheet_that_the_contents_name(
    in_view: Look, on_paper: Printed, reports: dict[str, Any], name: str, paper: str
) -> None:
    path = reports[name].path
    pdf = on_paper(in_view, path, paper)
    named = contents_of(in_view(path, 1280).page, pdf)
    assert len(named) > 10
    for entry, (sheet, found) in named.items():
        if entry[0].isdigit():
            assert found == [sheet], entry
        assert sheet in found, entry  # a figure's title may be named elsewhere besides


def test_no_sheet_is_named_on_a_paper_for_which_none_was_counted(
    in_view: Look, reports: dict[str, Any], tmp_path: Path
) -> None:
    page = in_view(reports["smallest"].path, 1280).page
    for paper, options in {
        "legal": {"format": "Legal"},
        "smaller": {"format": "Letter", "scale": 0.8},
    }.items():
        made = tmp_path / f"{paper}.pdf"
        page.pdf(path=made, **options)
        text = " ".join(words for _, words in pages_of(made))
        assert "Contents" in text
        assert not re.search(r"Equipment \d+ 2 Figures \d+ ", text)


@pytest.mark.parametrize(
    "name", sampled(["ridge_house", "village_borehole", "south_slope"], "village_borehole")
)
def test_paper_has_no_letters_below_nine_points(
    in_view: Look, reports: dict[str, Any], name: str
) -> None:
    page = in_view(reports[name].path, 725, "print").page
    size, text = page.evaluate(SMALLEST)
    assert size >= NINE_POINTS - 0.05, text
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_paper_shows_what_a_screen_has_folded(in_view: Look, reports: dict[str, Any]) -> None:
    page = in_view(reports["ridge_house"].path, 725).page
    assert page.locator("main details:not([open])").count() > 20
    assert not page.locator("#numbers-pump_1 ~ *, .columns").first.is_visible()
    page.emulate_media(media="print")
    assert page.locator(".columns").first.is_visible()
    assert page.locator(".sources").is_visible()


def test_the_page_is_whole_without_its_script(browser: Any, reports: dict[str, Any]) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(reports["ridge_house"].path.as_uri())
    assert page.locator("main details:not([open])").count() == 0
    assert page.locator("[role=search]").is_hidden()
    assert page.locator("#numbers-pump_1").is_visible()
    context.close()


def test_search_shows_what_has_all_words_and_then_all_again(
    browser: Any, reports: dict[str, Any]
) -> None:
    opened = Opened(browser, reports["ridge_house"].path, 390)
    page = opened.page
    before = page.locator("main details[open]").count()
    for width in (390, 820, 1280):
        page.set_viewport_size({"width": width, "height": 900})
        page.get_by_label("Search").fill("voltage drop cable")
        found = page.locator("tbody.verdict").evaluate_all(
            "all => all.filter(each => each.checkVisibility()).map(each => each.textContent)"
        )
        assert len(found) >= 3
        assert all("voltage drop" in text.lower() for text in found)
        assert int(page.locator("output").inner_text().split()[0]) >= len(found)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), width
        page.get_by_label("Search").fill("no such words here")
        assert page.locator("output").inner_text() == "0 found"
        page.get_by_label("Search").fill("")
        assert page.locator("main details[open]").count() == before
        assert page.locator("main [hidden]").count() == 0
    assert opened.said == []
    opened.close()


def test_the_contents_stay_in_sight(browser: Any, reports: dict[str, Any]) -> None:
    opened = Opened(browser, reports["ridge_house"].path, 1280)
    page = opened.page
    page.evaluate("scrollTo(0, document.body.scrollHeight / 2)")
    assert page.locator("nav a", has_text="Sources").first.is_visible()
    assert page.locator("#contents").bounding_box()["y"] >= 0
    page.set_viewport_size({"width": 390, "height": 800})
    assert page.locator(".bar").bounding_box()["y"] == 0
    page.evaluate("scrollTo(0, 0)")
    assert page.locator("#answers").bounding_box()["y"] < 800  # no list before the answer
    assert not page.locator("nav a", has_text="Sources").first.is_visible()
    page.locator(".bar a").press("Enter")
    assert page.locator("nav a", has_text="Sources").first.is_visible()
    assert page.evaluate("document.activeElement.id") == "contents"
    opened.close()


def test_a_link_unfolds_what_it_goes_to(browser: Any, reports: dict[str, Any]) -> None:
    opened = Opened(browser, reports["ridge_house"].path, 1280)
    page = opened.page
    page.locator('.verdict.caution a[href^="#numbers-"]').first.press("Enter")
    goes = page.evaluate("location.hash")
    # A selector, since the page forbids scripts that are not its own, of which a text is one.
    page.wait_for_selector(f"details[open]:has({goes})", state="attached")
    opened.close()


RULES = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"],
    "resultTypes": ["violations"],  # of what keeps a rule no list of every place
    "selectors": False,
    "elementRef": True,
    "preload": False,  # nothing that plays, and no style sheet of another address
}

BROKEN = """async ([name, rules]) => {
  window[name].configure({noHtml: true});
  return (await window[name].run(document, rules)).violations.map(
    each => `${each.id}: ${each.nodes[0].element.outerHTML.slice(0, 120)}`);
}"""
"""Rules that a page breaks; each place as it stands in the page, as how to find it and its text
were worked out of all places, those that keep the rules too."""


def broken_rules(page: Any, *, colours: bool = True) -> list[str]:
    """Rules of accessibility that a page breaks, with the first place of each.

    Parameters:
        colours: False leaves out the contrast, four fifths of the time, where `CONTRAST` is asked
            of the same page at this width and this rule at another one
    """
    folder = resources.files(pytest.importorskip("axe_playwright_python"))
    script = next(each for each in folder.iterdir() if each.name.endswith(".min.js"))
    page.evaluate(script.read_text("utf-8"))
    rules = RULES if colours else {**RULES, "rules": {"color-contrast": {"enabled": False}}}
    broken: list[str] = page.evaluate(BROKEN, [script.name.partition(".")[0], rules])
    return broken


@pytest.mark.parametrize("colours", sampled([False, True], False))
def test_the_report_keeps_the_rules_of_accessibility(
    browser: Any, reports: dict[str, Any], *, colours: bool
) -> None:
    """With the contrast in the long runs; it is asked of other reports above."""
    opened = Opened(browser, reports["village_borehole"].path, 390)
    opened.page.evaluate("document.querySelectorAll('details').forEach(e => { e.open = true; })")
    for width in (390, 1280):
        opened.page.set_viewport_size({"width": width, "height": 900})
        assert broken_rules(opened.page, colours=colours and width == 390) == [], width
    opened.close()


@pytest.mark.parametrize("command", ["card", "parts", "sheet"])
def test_the_other_pages_keep_them_as_well(
    browser: Any,
    cards: dict[tuple[str, str], Path],
    lists: dict[str, Made],
    sheets: dict[str, Made],
    command: str,
) -> None:
    made = {"parts": lists, "sheet": sheets}
    path = cards["ridge_house", "US"] if command == "card" else made[command]["ridge_house"].path
    opened = Opened(browser, path, 390)
    assert broken_rules(opened.page) == []
    opened.close()


PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108060000001f15c4890000000d49444154789c63f8cf"
    "c0f01f00050001ffa8b3b1a50000000049454e44ae426082"
)


def test_names_date_and_pictures_of_the_file_stand_on_the_cover(
    browser: Any, tmp_path: Path
) -> None:
    text = (CHECKOUT / "examples" / "creek_cabin.toml").read_text("utf-8")
    text = re.sub(r"\n\[job\][^\[]*", "\n", text)
    text += (
        '\n[job]\nmade_for = "The <family>"\nmade_by = "Planner"\ndate = "2026-03-04"\n'
        'revision = "B"\nlogo = "mark.png"\n\n[[job.photograph]]\nfile = "mark.png"\n'
        'shows = "The well\'s cap"\n'
    )
    (tmp_path / "site.toml").write_text(text, "utf-8")
    (tmp_path / "mark.png").write_bytes(PNG)
    made = make(tmp_path / "site.toml", tmp_path, "--owner")
    opened = Opened(browser, made.path, 390)
    cover = opened.page.locator(".cover").inner_text()
    for told in ("The <family>", "Planner", "4 March 2026", "B"):
        assert told in cover
    assert opened.page.locator(".blank").count() >= 2  # telephone and licence, to fill in
    assert opened.page.locator("img").count() == 2
    assert opened.page.evaluate("[...document.images].every(each => each.naturalWidth === 1)")
    assert opened.page.locator("#engineer").count() == 0
    assert made.json["job"]["photographs"] == [{"file": "mark.png", "shows": "The well's cap"}]
    assert opened.said == []
    opened.close()


KEPT = re.compile(r'/\^?\[[^\]\n]*\][^/\n]*/|"(?:\\.|[^"\\\n])*"|`[^`]*`')
"""Texts and templates of a script or style sheet, and patterns with signs of such."""


@pytest.mark.parametrize("name", sorted(path.name for path in TEMPLATES.glob("*.js")))
def test_a_script_is_made_lighter_and_says_the_same(name: str) -> None:
    """Nothing but spaces and remarks goes, and none from within a text; a template within another,
    of which that would be hard to tell, there is not."""
    text = "\n".join(
        line for line in (TEMPLATES / name).read_text("utf-8").splitlines()
        if not line.strip().startswith("//")
    )  # fmt: skip
    light = html._script([name])["text"]
    assert not re.search(r"`[^`]*\$\{[^}`]*`", text)
    assert re.sub(r"\s", "", light) == re.sub(r"\s", "", text)
    assert KEPT.findall(light) == KEPT.findall(text)
    words = re.compile(r"(?<![\w$])(?:const|let|of|in|new|return|typeof|else|case|throw)\s[\w$]")
    outside = KEPT.sub("''", text)
    assert len(words.findall(KEPT.sub("''", light))) == len(words.findall(outside))


def test_a_style_sheet_is_made_lighter_and_says_the_same() -> None:
    for name in ("style.css", "tables.css", "on_site.css"):
        text = re.sub(r"/\*.*?\*/", "", (TEMPLATES / name).read_text("utf-8"), flags=re.DOTALL)
        light = html._tight_style(text)
        assert re.sub(r"\s", "", light) == re.sub(r"\s", "", text)
        assert KEPT.findall(light) == KEPT.findall(text)
        assert len(light) < 0.92 * len(text)
    head = 'a { content: "b: c , d > e"; margin: 0 auto; } .f > g, h i { j: "\\29 ;"; }'
    assert html._tight_style(head) == (
        'a{content:"b: c , d > e";margin:0 auto;}.f>g,h i{j:"\\29 ;";}')  # fmt: skip
