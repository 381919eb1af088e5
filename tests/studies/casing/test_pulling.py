"""Order and weight of what is pulled, by arithmetic from the pipe's tabled sizes: 1 1/4 in sch 40
steel weighs 2.27 lb/ft (ASME B36.10M, from memory) and holds 1.496 in2 of water."""

from __future__ import annotations

import pytest

from tests.site_texts import EXAMPLES, studied_text

RIDGE = (EXAMPLES / "ridge_house.toml").read_text(encoding="utf-8")


def test_the_least_deep_comes_first_and_weighs_its_pipe_water_and_rods() -> None:
    hand, frugal, house = studied_text(RIDGE, "pump").casing.strings
    assert [hand.name, frugal.name, house.name] == ["hand cylinder", "frugal pump", "house pump"]
    assert hand.left_out == "its cylinder"
    # 125 ft; rods of 12 mm weigh 0.775 kg/m in water; 4.44822 N to the pound.
    pipe, water, rods = 2.27 * 125, 1.496 / 144 * 62.43 * 125, 0.775 * 0.3048 * 125 / 0.45359
    assert hand.weight / 4.44822 == pytest.approx(pipe + water + rods, rel=0.02)
    # 187 ft of 1 1/4 in SIDR-7 pipe hold 1.496 in2 of water too; 190 ft of cable, its copper 3 x
    # 3.31 mm2 and as much again round it.
    assert "cable" not in house.left_out
    water = 1.496 / 144 * 62.43 * 187
    cable = 2 * 3 * 3.31e-6 * 8960 * 190 * 0.3048 / 0.45359
    assert water + cable < house.weight / 4.44822 < water + cable + 0.5 * 187
    bare = studied_text(RIDGE.replace('cable = { gauge = "12 AWG", length = "330 ft", diameter = '
                                      '"0.65 in" }', ""), "pump").casing  # fmt: skip
    assert (house.weight - bare.strings[2].weight) / 4.44822 == pytest.approx(cable, rel=0.01)
    assert bare.strings[2].left_out.startswith("its cable and its pump")
    weighed = RIDGE.replace('role = "backup"', 'role = "backup"\nweight = "20 lb"')
    other = studied_text(weighed, "pump").casing
    assert other.strings[1].weight - frugal.weight == pytest.approx(20 * 4.44822, rel=1e-3)
