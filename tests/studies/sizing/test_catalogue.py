"""A pump out of the user's stock: what is on hand first, the first on which nothing fails."""

from __future__ import annotations

from pathlib import Path

from tests.studies.sizing.needs import BEFORE_THE_VISIT
from wellsolar.results.sizing import SizingResult
from wellsolar.site.loading.read import parse_part
from wellsolar.site.loading.stock import load_stock
from wellsolar.studies.case import size_site

HEADS = "name,on_hand,flow,head,motor_power,voltage,full_load_current\n"
WEAK = '{name},{there},"0, 5, 8 gpm","200, 150, 60 ft",1/2 hp,230 V,5 A\n'
STRONG = '{name},{there},"0, 5, 8 gpm","400, 320, 110 ft",1 hp,230 V,8.2 A\n'


def sized(tmp_path: Path, rows: str) -> SizingResult:
    path = tmp_path / "pumps.csv"
    path.write_text(HEADS + rows, encoding="utf-8")
    return size_site(parse_part(BEFORE_THE_VISIT, "needs.toml"), load_stock([path]))


def test_the_first_pump_that_does_is_taken(tmp_path: Path) -> None:
    rows = STRONG.format(name="shop", there=0) + WEAK.format(name="shelf", there=1)
    made = sized(tmp_path, rows)
    assert not made.fails
    pump = next(each for each in made.parts if each.part == "pump")
    assert pump.size == "shop"
    assert pump.smaller == "shelf, on hand"
    assert pump.falls_short is not None
    assert 'head = "400, 320, 110 ft"' in made.text
    assert "duty" not in made.text.split("# ----")[0]
    assert made.pumps == ()


def test_a_stock_without_such_a_pump_leaves_a_duty_and_says_so(tmp_path: Path) -> None:
    made = sized(tmp_path, WEAK.format(name="shelf", there=1))
    assert not made.fails
    assert [each.name for each in made.pumps] == ["well pump"]
    assert dict(made.unsized)["pump"].startswith("no pump of the stock does; the last fails: ")
