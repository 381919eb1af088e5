"""A user's stock: every mistake with file, row, column and remedy, and the shipped examples."""

from __future__ import annotations

from pathlib import Path

import pytest

from wellsolar.errors import SiteFileError
from wellsolar.site.loading.read import parse_site
from wellsolar.site.loading.stock import Item, load_stock
from wellsolar.site.schema import Site
from wellsolar.studies.asked.changed_site import changed_site, may_be_written

EXAMPLES = sorted((Path(__file__).parents[2] / "examples" / "stock").glob("*.csv"))

SITE = """
[well]
depth = "60 m"
static_level = "20 m"
[[pump]]
name = "pump"
flow = "0, 1, 2 gpm"
head = "300, 200, 100 ft"
[module]
voc = "30 V"
isc = "5 A"
vmp = "25 V"
imp = "4.6 A"
cells = 48
voc_coefficient = "-0.3 %/K"
isc_coefficient = "0.05 %/K"
[[array]]
name = "roof"
feeds = "heater"
series = 2
cable = { gauge = "10 AWG", length = "10 m" }
[pressure_tank]
volume = "20 gal"
[storage_tank]
volume = "20 gal"
[water_heater]
volume = "20 gal"
[[water_heater.element]]
position = "lower"
rated_power = "1 kW"
rated_voltage = "120 V"
fed_by = "roof"
"""

PLACES = {
    "pumps": "pump[1]", "modules": "module", "elements": "water_heater.element[1]",
    "wire": "array[1].cable", "pipe": "piping.lateral",
    ("tanks", "pressure"): "pressure_tank", ("tanks", "hot water"): "water_heater",
    ("tanks", "storage"): "storage_tank", ("tanks", "expansion"): "water_heater",
}  # fmt: skip


def _written(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "stock.csv"
    path.write_text(text, encoding="utf-8")
    return path


def _refused(tmp_path: Path, text: str) -> list[tuple[int | None, str]]:
    """Row and column of each mistake of a file."""
    with pytest.raises(SiteFileError) as error:
        load_stock([_written(tmp_path, text)])
    return [(each.line, each.path) for each in error.value.problems]


def _place_of(item: Item) -> str:
    return PLACES[item.goods] if item.use is None else PLACES[item.goods, item.use]


def test_the_shipped_examples_read_and_can_be_written_to_a_site() -> None:
    stock = load_stock(EXAMPLES)
    assert {each.goods for each in stock.items} == {
        "pumps", "modules", "tanks", "elements", "wire", "pipe"
    }  # fmt: skip
    site: Site = parse_site(SITE).site
    for item in stock.items:
        changes = item.changes(_place_of(item))
        assert may_be_written(changes), item
        assert changed_site(site, changes) != site, item


@pytest.mark.parametrize(
    ("text", "mistakes"),
    [
        ("name,head,flow,voltge\nA,3 ft,1 gpm,\n", [(1, '"voltge"'), (2, "flow")]),
        ('name,head,flow\nA,"10, 20 ft","0, 1 gpm"\n', [(2, "head")]),
        ('name,head,flow,phases\nA,"20, 10 ft","0, 1 gpm",2\n', [(2, "phases")]),
        (
            "name,voc (V),isc,vmp,imp,cells,voc_coefficient,isc_coefficient\n"
            "A,40,9 A,45 V,8 A,60,-0.3 %/K,0 %/K\nB,40,9,30 V,8 A,many,-0.3 %/K,\n",
            [(2, "vmp"), (3, "isc_coefficient"), (3, "isc"), (3, "cells")],
        ),
        ("name,use,volume,heat_loss\nA,pressure,20 gal,1 W/K\n", [(2, "heat_loss")]),
        ("name,use,volume\nA,bath,20 gal\n", [(2, "use")]),
        ("name,gauge,on_hand\nA,10 AWG,3\nA,8 AWG,3 m\n", [(2, "on_hand")]),
        ("name,gauge\nA,10 AWG\nA,8 AWG\n", [(3, "name")]),
        ("name,gauge,price\nA,10 AWG,2\n", [(2, "per")]),
        ("name,rated_power,rated_voltage,on_hand\nA,1 kW,240 V,1.5\n", [(2, "on_hand")]),
        ("name,material,size\nA,copper M,7 in\n", [(2, "size")]),
        ("name,head,voc\nA,1 ft,3 V\n", [(None, "")]),
        ("name,price\nA,1\n", [(None, "")]),
        ("name,gauge\n", [(None, "")]),
    ],
)
def test_each_mistake_has_its_row_and_its_column(
    tmp_path: Path, text: str, mistakes: list[tuple[int | None, str]]
) -> None:
    assert _refused(tmp_path, text) == mistakes


def test_a_name_may_stand_once_in_all_files_of_a_kind(tmp_path: Path) -> None:
    path = _written(tmp_path, "name,gauge\nreel,10 AWG\n")
    with pytest.raises(SiteFileError, match=r"stock\.csv:2: name: .reel. stands twice"):
        load_stock([path, path])


def test_what_is_on_hand_goes_first_and_then_what_is_cheap(tmp_path: Path) -> None:
    rows = "a,2,1 kW,240 V,\nb,,2 kW,240 V,30\nc,0,3 kW,240 V,20\nd,1,4 kW,240 V,5\n"
    path = _written(tmp_path, f"name,on_hand,rated_power,rated_voltage,price\n{rows}")
    stock = load_stock([path])
    assert [each.name for each in stock.of("elements")] == ["d", "a", "c", "b"]
