"""The page as text: whole, alone, ordered, escaped, and every number of it in the JSON."""

from __future__ import annotations

import re
from base64 import b64encode
from functools import cache
from hashlib import sha256
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

import wellsolar
from tests.reports.conftest import SECOND, odd_sites
from tests.sampled import sampled
from wellsolar.errors import UnknownName
from wellsolar.studies.rules import all_rules
from wellsolar.verdicts import Place, Rule

CHECKOUT = Path(__file__).parents[3]
EXAMPLES = sorted((CHECKOUT / "examples").glob("*.toml"))
NAMES = sampled(
    [*(site.stem for site in EXAMPLES), "ridge_house_si"],
    *SECOND, "ridge_house_si", "smallest",
)  # fmt: skip

LARGEST = 2_000_000
"""Bytes that a report may have."""

EMPTY = {"meta", "link", "br", "img", "hr", "input", "wbr"}


class Page(HTMLParser):
    """What the tests ask of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.headings: list[int] = []
        self.addresses: list[str] = []
        self.tables: list[dict[str, int]] = []
        self.cells: list[str] = []
        self.figures: list[dict[str, str]] = []
        self.open: list[str] = []
        self.tags: set[str] = set()
        self._cell: list[str] | None = None
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.tags.add(tag)
        if "id" in given:
            self.ids.append(given["id"])
        if tag == "a":
            self.links.append(given["href"])
        if re.fullmatch(r"h[1-6]", tag):
            self.headings.append(int(tag[1]))
        self.addresses += [given[name] for name in ("src", "href") if name in given]
        if tag == "table":
            self.tables.append({"caption": 0, "th": 0, "scoped": 0})
        if tag in ("caption", "th"):
            self.tables[-1][tag] += 1
            self.tables[-1]["scoped"] += tag == "th" and given.get("scope") in ("row", "col")
        if tag == "svg":
            self.figures.append(given)
        if tag == "td":
            self._cell = []
        if tag not in EMPTY:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag
        if tag == "td" and self._cell is not None:
            self.cells.append("".join(self._cell).strip())
            self._cell = None

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in EMPTY:
            self.open.pop()

    def handle_data(self, data: str) -> None:
        if self._cell is not None:
            self._cell.append(data)


read = cache(Page)
"""A page as it was read once for all that ask of it."""


@pytest.mark.parametrize("name", NAMES)
def test_it_is_one_file_that_asks_for_nothing(reports: dict[str, Any], name: str) -> None:
    text = reports[name].text
    page = read(text)
    assert len(text.encode()) < LARGEST
    assert page.open == []
    assert not page.tags & {"iframe", "object", "embed", "img", "form"}
    script = re.findall(r"<script>(.*?)</script>", text, re.S)
    assert text.count("<script") == len(script) == 1
    allowed = b64encode(sha256(script[0].encode()).digest()).decode()
    assert f"script-src 'sha256-{allowed}'" in text
    assert not re.search(r"fetch|import|https?:|src\s*=|XMLHttp", script[0])
    assert [each for each in page.addresses if not each.startswith("#")] == ["data:,"]
    assert not re.search(r"@import|url\((?!#)", text)


@pytest.mark.parametrize("name", NAMES)
def test_ids_links_headings_and_tables_are_in_order(reports: dict[str, Any], name: str) -> None:
    page = read(reports[name].text)
    assert len(page.ids) == len(set(page.ids))
    assert not [each for each in page.links if each[1:] not in page.ids]
    assert page.headings[0] == 1
    assert page.headings.count(1) == 1
    steps = zip(page.headings, page.headings[1:], strict=False)
    assert all(after - before <= 1 for before, after in steps)
    assert page.tables
    assert all(each["caption"] == 1 for each in page.tables)
    assert all(each["scoped"] == each["th"] > 0 for each in page.tables)
    assert '<html lang="en">' in reports[name].text


@pytest.mark.parametrize("name", NAMES)
def test_each_figure_is_told_in_words(reports: dict[str, Any], name: str) -> None:
    made = reports[name]
    page = read(made.text)
    assert len(page.figures) == len(made.json["figures"]) > 0
    named = {given["aria-labelledby"]: given["role"] for given in page.figures}
    for key, figure in made.json["figures"].items():
        assert named[f"{key}-title {key}-desc"] == "img"
        assert any(re.search(r"\d", each) for each in figure["description"])
        assert any(figure["description_numbers"]) or key in ("one_line", "water")


@pytest.mark.parametrize("name", NAMES)
def test_the_parts_stand_in_their_order(reports: dict[str, Any], name: str) -> None:
    made = reports[name]
    heads = re.findall(r'<h[23] id="([\w-]+)"', made.text)
    order = [
        "answers", "todo", "picture", "care", "failures", "cautions", "signatures", "engineer",
        "equipment", "figures", "verdicts", "numbers", "assumptions", "sources",
    ]  # fmt: skip
    assert heads == [each for each in order if each in heads]
    contents = re.findall(r'<a href="#([\w-]+)">', made.text[: made.text.index("<main")])
    assert [each for each in contents if each in order] == [
        each for each in order if each in contents
    ]
    answer = made.text.index(made.json["answer"].replace("'", "&#39;"))
    assert made.text.index("<h1") < answer < made.text.index('<h2 id="signatures"')
    groups = re.findall(r'<h4 id="verdicts-(\w+)"', made.text)
    assert groups == [each for each in ("fail", "unknown", "caution", "pass") if each in groups]
    assert set(groups) == {each["status"] for each in made.json["verdicts"]}


@pytest.mark.parametrize("name", NAMES)
def test_every_verdict_links_to_its_numbers(reports: dict[str, Any], name: str) -> None:
    made = reports[name]
    verdicts = re.findall(r'<tbody class="verdict .*?</tbody>', made.text, re.S)
    assert len(verdicts) == len(made.json["verdicts"])
    told = set(made.json["sections"])
    without = [each for each in verdicts if "#numbers-" not in each]
    # A file that lacks what a part needs has no section of it: only such verdicts lead nowhere.
    assert not [each for each in without if "badge unknown" not in each], told


def numbers_in(value: Any) -> list[float]:
    """Every number of a JSON value."""
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return []
    if isinstance(value, dict):
        return [each for inner in value.values() for each in numbers_in(inner)]
    if isinstance(value, list):
        return [each for inner in value for each in numbers_in(inner)]
    return [float(value)]


def printed_in(value: Any) -> str:
    """Every text of a JSON value, one after the other."""
    if isinstance(value, str):
        return value + "\n"
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return "".join(printed_in(each) for each in inner)


# Factors and offsets from SI, by the definitions of NIST SP 811 (from memory), beside the units
# of SI themselves that the program prints; a number in another unit would not be found and fail.
FACTORS = [
    (1.0, 0.0), (100.0, 0.0), (1e3, 0.0), (1e6, 0.0), (1e-3, 0.0), (1e9, 0.0),
    (1 / 0.3048, 0.0), (1 / 0.0254, 0.0), (1.8, 32.0), (1.8, 0.0), (60.0, 0.0), (3600.0, 0.0),
    (86_400.0, 0.0), (1 / 60, 0.0), (1 / 3600, 0.0), (1 / 86_400, 0.0), (1 / 3.6e6, 0.0),
    (1 / 3.785411784e-3, 0.0), (60 / 3.785411784e-3, 0.0), (86_400 / 3.785411784e-3, 0.0),
    (60e3, 0.0), (86_400e3, 0.0), (1 / 6894.757293168, 0.0), (1 / 4.4482216152605, 0.0),
    (1 / 745.6998715822702, 0.0), (3.785411784e-3 / 3600, 0.0), (0.3048 / 0.45359237, 0.0),
    (60 * 0.3048 / 3.785411784e-3, 0.0), (3.412141633, 0.0), (1.895634241, 0.0),
    (86_400 * 0.3048 / 3.785411784e-3, 0.0), (0.3048**3, 0.0), (0.3048 / 3.785411784e-3, 0.0),
    (0.3048**2 / 3.785411784e-3 / 0.3048, 0.0), (5.678263341, 0.0),
]  # fmt: skip


SUMMED = (1.0, 1 / 3.6e6, 1 / 3.785411784e-3, 1e3)
"""Factors of hours or strokes, of energy, and of water in gallons and litres."""

HALF = 0.5001 * (1.0 + 1e-9)
"""How far a number may lie from a printed one, of its last digit."""

NUMBER = re.compile(r"(?<![\w.:/])-?\d+(?:\.\d+)?(?::\d\d)?(?![\w/]*\d)")
"""A number as it is printed, or a time of day."""


class Known:
    """Numbers of the JSON in every unit that is printed, in order of size."""

    def __init__(self, numbers: list[float]) -> None:
        factors, offsets = np.array(FACTORS).T
        printed = np.outer(numbers, factors) + offsets
        self.plain = np.sort(numbers)
        self.all = np.sort(printed, axis=None)
        self.sums = np.sort(printed[:, np.isin(factors, SUMMED)], axis=None)

    def shown_as(self, text: str) -> bool:
        """Whether a printed number is one of these, in some unit, to the digits that are
        printed."""
        if ":" in text:
            hours, minutes = text.split(":")
            return holds(self.plain, 3600.0 * float(hours) + 60.0 * float(minutes), 30.0)
        shown = float(text)
        slack = HALF * 10.0 ** -len(text.partition(".")[2])
        if holds(self.all, shown, slack):
            return True
        if "." in text or float(f"{shown:.3g}") != shown:
            return False
        # A sum over days is printed with three figures.
        rounded = HALF * 10.0 ** (len(text.lstrip("-")) - 3)
        return holds(self.sums, shown, max(slack, rounded))


def holds(ordered: NDArray[np.float64], wanted: float, slack: float) -> bool:
    """Whether one of the numbers lies so near to the wanted one."""
    at = int(np.searchsorted(ordered, wanted - slack))
    return at < ordered.size and bool(ordered[at] <= wanted + slack)


class Blocks(HTMLParser):
    """The texts of a page under the part of the JSON that they are made from.

    Those of figures without the numbers of their axes.
    """

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: dict[tuple[str, ...], list[str]] = {}
        self._open: list[tuple[str, tuple[str, ...] | None]] = []
        self._verdicts = 0
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in EMPTY:
            return
        given = {name: value or "" for name, value in attrs}
        block = self._block(tag, given)
        self._open.append((tag, block or (self._open[-1][1] if self._open else None)))

    def _block(self, tag: str, given: dict[str, str]) -> tuple[str, ...] | None:
        if tag == "tbody" and given.get("class", "").startswith("verdict "):
            self._verdicts += 1
            return ("verdicts", str(self._verdicts - 1))
        if tag == "figure":
            return ("figures", given["id"].removeprefix("figure-"))
        if tag == "section" and given.get("class", "").startswith("numbers"):
            return ("sections", given["aria-labelledby"].removeprefix("numbers-"))
        if given.get("class") == "tick" or tag in ("style", "script"):
            return ("nothing",)
        if tag in ("header", "footer", "title", "nav"):
            return (tag,)
        return (given["aria-labelledby"],) if tag == "section" else None

    def handle_endtag(self, tag: str) -> None:
        assert self._open.pop()[0] == tag

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        return

    def handle_data(self, data: str) -> None:
        block = self._open[-1][1] if self._open else None
        if data.strip() and block not in (None, ("nothing",)):
            self.found.setdefault(block or (), []).append(data.strip())


def source_of(block: tuple[str, ...], made: dict[str, Any]) -> Any:
    """The part of the JSON that a part of the page is made from."""
    name = block[0]
    if name == "figures" and len(block) == 2:
        figure = made["figures"][block[1]]
        return [figure, made["sections"].get(figure["section"], {}).get("title")]
    if len(block) == 2:
        return made[name][int(block[1]) if name == "verdicts" else block[1]]
    if name in ("assumptions", "sources", "cautions", "care"):
        return [made[name], *made[name]]
    if name == "equipment":
        return made["figures"]
    if name == "todo":
        return [made[name], [str(number) for number, _ in enumerate(made[name], 1)]]
    titles = [each["title"] for each in (*made["sections"].values(), *made["figures"].values())]
    head = [made[each] for each in ("site", "job", "answer", "answers", "counts", "notes")]
    return [*head, *titles]


def lost_numbers(page: str, made: dict[str, Any]) -> list[tuple[Any, ...]]:
    """Numbers of a page that its JSON does not have where it should, with their texts."""
    lost: list[tuple[Any, ...]] = []
    for block, texts in Blocks(page).found.items():
        source = source_of(block, made)
        known = Known(sorted(set(numbers_in(source))))
        words = set(NUMBER.findall(printed_in(source)))
        printed = {number for text in texts for number in NUMBER.findall(text)} - words
        missing = {number for number in printed if not known.shown_as(number)}
        lost += [
            (block, number, text)
            for text in texts
            for number in NUMBER.findall(text)
            if number in missing
        ]
    return lost


@pytest.mark.parametrize("name", NAMES)
def test_every_number_of_the_page_stands_in_its_part_of_the_json(
    reports: dict[str, Any], name: str
) -> None:
    """Of a verdict in that verdict, of a figure in that figure, of a table in its section: as a
    number that is one of the JSON's in some printed unit, or within a text of the JSON."""
    assert lost_numbers(reports[name].text, reports[name].json) == []


@pytest.mark.parametrize("name", sampled(odd_sites(), "wrong"))
def test_the_same_of_sites_unlike_the_shipped_ones(odd: dict[str, Any], name: str) -> None:
    assert lost_numbers(odd[name].text, odd[name].json) == []


def test_a_site_that_is_mostly_wrong_is_told_so(odd: dict[str, Any]) -> None:
    fails = [each for each in odd["wrong"].json["verdicts"] if each["status"] == "fail"]
    assert len(fails) > 15


WRONG = (
    ("11.5 gpm at cut-in is more", "11.7 gpm at cut-in is more"),  # the reason of a verdict
    (">36.0°<", ">37.0°<"),  # a cell
    ("bottom at 220 ft", "bottom at 221 ft"),  # a letter in a figure
    (">-0.47 gpm<", ">-0.48 gpm<"),  # a margin
)
"""What the page prints, and another number in its place."""


def test_a_number_that_is_not_in_the_json_is_found(reports: dict[str, Any]) -> None:
    made = reports["ridge_house"]
    text = made.text
    for printed, wrong in WRONG:
        assert printed in text
        text = text.replace(printed, wrong)
    lost = {number for _, number, _ in lost_numbers(text, made.json)}
    assert lost == {"11.7", "37.0", "221", "-0.48"}


def test_the_reader_of_numbers_can_refuse() -> None:
    assert Known([25.908]).shown_as("85.0")
    assert not Known([25.908]).shown_as("85.2")
    gallons = Known([57.5158])  # 15194 gal
    assert gallons.shown_as("15200")
    assert not gallons.shown_as("15300")
    assert not gallons.shown_as("15190")
    assert Known([45_000.0]).shown_as("12:30")
    assert not Known([45_031.0]).shown_as("12:30")


NOT_SHIPPED = {"lift_#", "ranges"}
"""Sections that no report of a shipped example has: of other lifts, and of cases over ranges."""


def test_every_rule_has_its_place(reports: dict[str, Any]) -> None:
    """The figure and the sections that a rule names are some that a report has."""
    rules = all_rules().values()
    assert len(rules) > 60
    told = {
        part: {re.sub(r"\d+$", "#", key) for name in SECOND for key in reports[name].json[part]}
        for part in ("figures", "sections")
    }
    for rule in rules:
        assert rule.place.figure in {"", *told["figures"]}, rule.key
        named = {re.sub(r"\d+$", "#", each) for each in rule.place.section.split("|")}
        assert named <= {"", *told["sections"], *NOT_SHIPPED}, rule.key


def test_a_rule_is_given_by_its_key_and_no_key_twice() -> None:
    assert wellsolar.rule("voltage drop").limit_is == "at most"
    with pytest.raises(UnknownName, match="'voltage drp': did you mean 'voltage drop'"):
        wellsolar.rule("voltage drp")
    with pytest.raises(ValueError, match="two rules are called 'voltage drop'"):
        Rule("voltage drop", "is it?", "so", "common practice", by="owner", place=Place())


def test_units_are_those_asked_for(reports: dict[str, Any]) -> None:
    us, si = reports["ridge_house"], reports["ridge_house_si"]
    assert "85.0 ft" in us.text
    assert "25.9 m" in si.text
    shown = re.compile(r'<td class="(?:value|number)">[^<]*\d (?:gpm|psi|°F|gal)\b')
    assert shown.search(us.text)
    assert not shown.search(si.text)
    figures = us.json["figures"]["level"]["panels"][1]["lines"]
    assert figures == si.json["figures"]["level"]["panels"][1]["lines"]


def test_an_awkward_name_is_written_as_text(awkward: Any) -> None:
    assert awkward.text.count("<script") == 1
    assert awkward.text.count("</style>") == 1
    assert "&lt;script&gt;" in awkward.text
    assert "<img" not in awkward.text
    assert "$x_1$" in awkward.text
    assert "\\frac{1}{2}$ pump 水" in awkward.text
    assert Page(awkward.text).open == []
