"""A pump out of the user's stock: what is on hand first, the first on which nothing fails."""

from __future__ import annotations

import tomllib
from pathlib import Path

from tests.studies.sizing.needs import BEFORE_THE_VISIT
from wellsolar.reports.text.sizing import page
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
    (refused,) = made.refused
    assert (refused.part, refused.name) == ("pump", "shelf, on hand")
    assert f"{refused.name}: {refused.rule}" in page(made, "US", "needs.toml")


NO_TANK = BEFORE_THE_VISIT.replace('[pressure_tank]\nvolume = "44 gal"\n', "")
OUTLET = HEADS.replace("flow,", "outlet,flow,", 1)
PIPES = (
    "name,on_hand,price,per,material,size,pressure_class\n"
    "short,100 ft,0.6,ft,PVC sch 80,1 in,630 psi\n"
    "narrow,900 ft,0.4,ft,polyethylene SIDR,3/4 in,200 psi\n"
    "weak,900 ft,0.4,ft,polyethylene SIDR,1 in,100 psi\n"
    "long,400 ft,0.7,ft,polyethylene SIDR,1 in,200 psi\n"
)
TANKS = (
    "name,on_hand,price,use,volume,greatest_pressure\n"
    "dear,0,900,pressure,86 gal,100 psi\ncheap,0,700,pressure,119 gal,100 psi\n"
    "small,1,450,pressure,20 gal,100 psi\nyard,0,640,storage,500 gal,\n"
)


def test_pipe_and_tanks_come_from_the_stock_and_the_outlet_holds_the_drop_pipe(
    tmp_path: Path,
) -> None:
    pump = STRONG.format(name="shop", there=0).replace(',"0', ',1 in,"0', 1)
    for name, text in (("pumps", OUTLET + pump), ("pipe", PIPES), ("tanks", TANKS)):
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
    stock = load_stock(sorted(tmp_path.glob("*.csv")))
    made = size_site(parse_part(NO_TANK, "needs.toml"), stock)
    assert not made.fails
    parts = {each.part: each for each in made.parts}
    # The short one lacks length, so that it would have to be bought.
    assert parts["drop pipe"].size == "long, on hand"
    assert parts["lateral pipe"].size == "narrow, on hand"
    refused = {(each.part, each.name): each.rule for each in made.refused}
    assert refused["drop pipe", "narrow, on hand"] == "the pump's outlet"
    assert refused["lateral pipe", "weak, on hand"] == "160 psi, IPC 605.3"
    # What is on hand is looked at first, then what costs least, not what is smallest.
    assert ("pressure tank", "small, on hand") in refused
    assert parts["pressure tank"].size == "cheap"
    tables = tomllib.loads(made.text)
    assert tables["pressure_tank"]["greatest_pressure"] == "100 psi"


def test_a_drop_pipe_that_is_sold_is_no_narrower_than_the_outlet(tmp_path: Path) -> None:
    sizes = []
    for outlet in ("3/4 in", "1 1/4 in"):
        path = tmp_path / "pumps.csv"
        pump = STRONG.format(name="shop", there=0).replace(',"0', f',{outlet},"0', 1)
        path.write_text(OUTLET + pump, encoding="utf-8")
        made = size_site(parse_part(BEFORE_THE_VISIT, "needs.toml"), load_stock([path]))
        sizes.append(tomllib.loads(made.text)["piping"]["drop_pipe"]["size"])
    assert sizes == ["3/4 in", "1 1/4 in"]
