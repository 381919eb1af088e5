"""A browser opens proposals: two files of an installer's own, and designs of one file of needs."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.reports.conftest import CHECKOUT, Look, Made, Opened
from tests.reports.pages.test_browser import CONTRAST, SMALLEST
from tests.reports.pages.test_layout import NINE_POINTS, PAPERS, broken_rules, pages_of
from tests.running import here
from tests.studies.sizing.needs import BEFORE_THE_VISIT
from wellsolar import kinds
from wellsolar.results.entries import A_DAY
from wellsolar.units import show

SLOPE = (CHECKOUT / "examples" / "south_slope.toml").read_text("utf-8")
PRICES = """
[[price]]
item = "electricity"
cost = "0.20"
per = "kWh"

[[price]]
item = "module"
cost = "150"
"""
ROW = """row => [...document.querySelectorAll(".beside tr")]
    .filter(each => each.children[0].firstChild?.textContent.trim() === row)
    .map(each => [...each.children].slice(1).map(cell => cell.innerText.trim()))[0]"""
"""Cells of the row of a name."""


@pytest.fixture(scope="module")
def two(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """Two files of one house: as it is, and with a hand pump's worth of water in store."""
    folder = tmp_path_factory.mktemp("proposal")
    as_is, stored = folder / "as_is.toml", folder / "with_store.toml"
    as_is.write_text(SLOPE + PRICES, "utf-8")
    stored.write_text(SLOPE.replace("series = 6", "series = 7", 1) + PRICES, "utf-8")
    page, data = folder / "page.html", folder / "page.json"
    ran = here("compare", as_is, stored, "-o", page, "--json", data)
    assert ran.returncode in (0, 1), ran.stderr.decode()
    assert ran.stdout.decode() == f"Wrote {page}.\n"
    return Made(page, page.read_text("utf-8"), json.loads(data.read_text("utf-8")))


@pytest.fixture(scope="module")
def cells(in_view: Look, two: Made) -> Callable[[str], list[str]]:
    """What a row of the page says of each design."""
    return lambda row: in_view(two.path, 1280).page.evaluate(ROW, row)


def figures(two: Made, letter: str) -> dict[str, Any]:
    found: dict[str, Any] = two.json["designs"][letter]
    return found


FAILURES = """() => [...document.querySelectorAll("[aria-labelledby=outages] tbody tr")]
    .map(each => [...each.children])
    .map(each => [
      each[0].firstChild.textContent.trim()
        .replace(/^nothing has failed$/, "nothing").replace(/^failed: (any one of )?/, "")
        .split(/, (?!\\d)/),
      each.slice(1).map(cell => cell.innerText.trim())])"""
"""Of each row what has failed, one by one, and its cells."""


def test_what_each_gives_is_what_its_json_and_its_own_check_say(
    two: Made, cells: Callable[[str], list[str]], in_view: Look, tmp_path: Path
) -> None:
    failures = in_view(two.path, 1280).page.evaluate(FAILURES)
    for at, (letter, name) in enumerate((("A", "as_is"), ("B", "with_store"))):
        found = figures(two, letter)
        data = tmp_path / f"{name}.json"
        here("check", two.path.parent / f"{name}.toml", "--json", data)
        sections = json.loads(data.read_text("utf-8"))["sections"]
        months = sections["hot_water_year"]["grids"]["pv_alone"]["rows"]
        heat = sum(row["pv_heat_J"] for row in months if row["month"] != "year")
        assert found["heat_energy_J"] == pytest.approx(heat)
        assert cells("heat into the hot water")[at] == show(heat, kinds.ENERGY, "US")
        pumped = sections["supply_year_1"]["rows"]
        short = f"{pumped['days_short_count']:.0f} days a year"
        assert cells("days short of water")[at] == short
        spared = show(pumped["energy_pump_J"], kinds.ENERGY, "US")
        assert cells("electricity for pumping")[at] == spared
        hot = sections["hot_water_year"]["rows"]["pv_evenings_hot_count"]
        assert found["hot_evenings_sun_alone"] <= hot
        wanted = sections["outages"]["rows"]["normal_m3"]
        assert cells("water wanted on an ordinary day")[at] == show(wanted, kinds.VOLUME, "US")
        outages = sections["outages"]["grids"]
        for row, order, told in zip(
            outages["matrix"]["rows"], outages["order"]["rows"], found["outages"], strict=True
        ):
            assert row["failed"] == told["failed"]
            assert row["volume_m3"] == told["volume_m3"]
            lines = next(each for name, each in failures if row["failed"] in name)[at].split("\n")
            assert show(row["volume_m3"], A_DAY, "US") in lines
            assert f"Works: {order['order']}" in lines
            enough = row["normal_fraction"] == 1.0
            assert ("an ordinary day's water" in lines[0]) == enough
            assert ("too little" in lines[0]) == (row["survival_fraction"] < 1.0)


def test_a_sum_says_how_many_lines_it_leaves_out_and_names_them(
    two: Made, cells: Callable[[str], list[str]], tmp_path: Path
) -> None:
    data = tmp_path / "parts.json"
    here("parts", two.path.parent / "as_is.toml", "--json", data)
    sections = json.loads(data.read_text("utf-8"))["sections"].values()
    rows = [row for each in sections for row in each["grids"].get("parts", {"rows": []})["rows"]]
    priced = [float(row["cost"].replace(",", "")) for row in rows if row["cost"]]
    assert 0 < len(priced) < len(rows)
    told = cells("everything on its parts list")[0]
    lines = f"{len(priced)} of {len(rows)} lines have a price"
    assert told == f"More than {sum(priced):,.2f}: {lines}"
    whole = figures(two, "A")["all_parts"]
    assert whole["money"] == pytest.approx(sum(priced))
    lacking = {row["part"].partition(" (")[0] for row in rows if not row["cost"]}
    assert set(whole["lines_without_price"]) == lacking
    for name in lacking:
        assert name in two.text
    assert "Labour, permits, delivery and tax" in two.text


def test_what_the_sun_saves_is_told_in_money_against_a_stated_baseline(
    two: Made, cells: Callable[[str], list[str]]
) -> None:
    for at, letter in enumerate("AB"):
        saved = figures(two, letter)["saved"]
        assert saved["electricity_J"] == pytest.approx(saved["pumping_J"] + saved["heat_J"])
        assert saved["money"] == pytest.approx(0.20 * saved["electricity_J"] / 3.6e6)
        assert cells("money saved")[at].startswith(f"{saved['money']:,.2f} ")
        spared = cells("electricity saved in all")[at]
        assert spared == show(saved["electricity_J"], kinds.ENERGY, "US")
        # 91,333 Btu a gallon, of which a burner brings four fifths into the water.
        gallons = saved["heat_J"] / 1055.06 / 91_333 / 0.8
        propane = re.match(r"([\d.]+) gal of propane", cells("or of propane")[at])
        assert float(propane.group(1)) == pytest.approx(gallons, rel=0.01)
    assert "Saved against today's state, taken as:" in two.text.replace("&#39;", "'")


def test_a_fuel_with_a_price_is_what_heats_the_water_today(tmp_path: Path) -> None:
    site, data = tmp_path / "site.toml", tmp_path / "made.json"
    propane = '[[price]]\nitem = "propane"\ncost = "3"\nper = "gal"\n'
    site.write_text(SLOPE + PRICES + propane, "utf-8")
    page = tmp_path / "page.html"
    change = "water_heater.volume=65 gal"
    ran = here("compare", site, "--with", change, "-o", page, "--json", data)
    assert ran.returncode in (0, 1), ran.stderr.decode()
    saved = json.loads(data.read_text("utf-8"))["designs"]["A"]["saved"]
    assert saved["heated_today_by"] == "propane"
    assert saved["fuel"]["per"] == "gal"
    assert saved["electricity_J"] == saved["pumping_J"]
    bought = 0.20 * saved["pumping_J"] / 3.6e6 + 3.0 * saved["fuel"]["amount"]
    assert saved["money"] == pytest.approx(bought)
    text = page.read_text("utf-8")
    assert "a heater that burns propane" in text
    assert "as it stands" in text
    assert change in text


def test_each_fail_and_caution_stands_beside_those_of_the_other(two: Made) -> None:
    judged = [
        each for each in two.json["verdicts"]
        if {"fail", "caution"} & set(each["statuses"].values())
    ]  # fmt: skip
    assert judged
    for each in judged:
        assert f"{each['subject']}: {each['asks']}" in two.text


@pytest.fixture(scope="module")
def three(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """The designs of a file of needs."""
    folder = tmp_path_factory.mktemp("three")
    site, page, data = folder / "needs.toml", folder / "page.html", folder / "page.json"
    site.write_text(BEFORE_THE_VISIT, "utf-8")
    ran = here("size", site, "--three", "--html", page, "--json", data)
    assert ran.returncode in (0, 1), ran.stderr.decode()
    return Made(page, page.read_text("utf-8"), json.loads(data.read_text("utf-8")))


def test_designs_of_one_file_stand_once_each(in_view: Look, three: Made) -> None:
    made = three.json["designs"]
    texts = dict.fromkeys(each["design"] for each in made.values())
    page = in_view(three.path, 1280).page
    heads = page.locator(".offers h3").all_inner_texts()
    assert len(heads) == len(texts)
    for name in made:
        assert any(name in head for head in heads)
    wanted = page.evaluate(ROW, "water that it can give a day")
    firsts = [next(each for each in made.values() if each["design"] == text) for text in texts]
    assert wanted == [show(each["water_given_m3"], A_DAY, "US") for each in firsts]


@pytest.mark.parametrize("name", ["two", "three"])
def test_it_opens_quietly_fits_and_keeps_the_rules_of_accessibility(
    browser: Any, request: pytest.FixtureRequest, name: str
) -> None:
    made: Made = request.getfixturevalue(name)
    opened = Opened(browser, made.path, 390)
    for width in (390, 820, 1280):
        opened.page.set_viewport_size({"width": width, "height": 900})
        assert opened.page.evaluate("document.documentElement.scrollWidth <= innerWidth"), width
        ratio, text = opened.page.evaluate(CONTRAST)
        assert ratio >= 4.5, text
        assert broken_rules(opened.page, colours=width == 390) == [], width
    assert opened.said == []
    assert opened.asked == [made.path.as_uri()]
    opened.close()


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ["two", "three"])
def test_on_paper_no_sheet_is_half_blank_and_no_letter_small(
    in_view: Look, request: pytest.FixtureRequest, tmp_path: Path, name: str, paper: str
) -> None:
    made: Made = request.getfixturevalue(name)
    page = in_view(made.path, 725, "print").page
    size, text = page.evaluate(SMALLEST)
    assert size >= NINE_POINTS - 0.05, text
    page.pdf(path=tmp_path / "page.pdf", format=paper)
    sheets = pages_of(tmp_path / "page.pdf")
    assert len(sheets) <= 6
    for at, (low, _) in enumerate(sheets[:-1]):
        assert low > 0.5, f"sheet {at + 1}"
    words = " ".join(each for _, each in sheets)
    for told in ("Decision", "Owner, date", "licensed trades", "What can hurt or kill"):
        assert told in words


def test_hostile_names_are_letters_and_nothing_else(browser: Any, tmp_path: Path) -> None:
    site, page = tmp_path / "site.toml", tmp_path / "page.html"
    text = re.sub(r'(?m)^name = "South slope.*"$', r"name = '</title><script>x=1</script>'", SLOPE)
    assert text != SLOPE
    text = text.replace('"soft-start pump"', "'<img src=x onerror=alert(1)>'")
    text += '\n[job]\nmade_for = "<b onclick=alert(2)>family</b>"\nrevision = "\\u202eB"\n'
    site.write_text(re.sub(r"\n\[job\][^\[]*", "\n", SLOPE) and text, "utf-8")
    ran = here("compare", site, "--with", "well.static_level=41 ft", "-o", page)
    assert ran.returncode in (0, 1), ran.stderr.decode()
    opened = Opened(browser, page, 1280)
    assert opened.said == []
    assert opened.asked == [page.as_uri()]
    assert opened.page.locator("script, img, b[onclick]").count() == 0
    assert "<script>x=1</script>" in opened.page.locator("h1").inner_text()
    opened.close()


def test_what_can_not_be_a_proposal_is_told(tmp_path: Path) -> None:
    site = CHECKOUT / "examples" / "smallest.toml"
    page = tmp_path / "page.html"
    told = here("compare", site, site, site, site, "-o", page)
    assert told.returncode == 2
    assert "A proposal has two or three designs: name 3 at most." in told.stderr.decode()
    told = here("size", site, "--html", page)
    assert told.returncode == 2
    assert "give --three with it" in told.stderr.decode()
    assert not page.exists()
