"""Order and weight of what is pulled, by arithmetic from the pipe's tabled sizes: 1 1/4 in sch 40
steel weighs 2.27 lb/ft (ASME B36.10M, from memory) and holds 1.496 in2 of water."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any
from unittest import mock

import pytest

from tests.site_texts import EXAMPLES, studied_text
from wellsolar.studies.casing import bodies

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


@pytest.mark.parametrize(("phases", "conductors"), [(1, 3), (3, 4), (None, 3)])
def test_a_cable_weighs_twice_its_copper_the_ground_wire_with_it(
    phases: int | None, conductors: int
) -> None:
    """100 m of 2 mm2 at 8960 kg/m3 (copper: from memory), and 99 m of pipe of 2 kg/m below the
    spool; rods of 12 mm in such a main, 0.775 kg/m in water."""
    cable = SimpleNamespace(gauge="any")
    table: Any = SimpleNamespace(name="p", phases=phases, cable=cable, weight=30.0, drop_pipe="x")
    site: Any = SimpleNamespace(piping=SimpleNamespace(pitless_depth=1.0))
    with (
        mock.patch.object(bodies, "intake_depth", return_value=100.0),
        mock.patch.object(bodies, "_per_metre", return_value=2.0),
        mock.patch.object(bodies, "cylinder_depth", return_value=50.0),
        mock.patch.object(bodies.wiring, "wire", return_value=SimpleNamespace(area=2e-6)),
    ):
        string = bodies._of_pump(site, table)
        rods: Any = SimpleNamespace(rod_diameter=0.012, rising_main="x")
        assert bodies._of_cylinder(site, rods).weight == pytest.approx(
            9.80665 * 50.0 * (2.0 + 0.775), rel=1e-3
        )
    copper = conductors * 2e-6 * 8960.0 * 100.0
    assert string.weight == pytest.approx(9.80665 * 2.0 * (copper + 99.0) + 30.0)


@pytest.mark.parametrize(
    ("kind", "wide", "here", "hangs"),
    [
        ("deep well", 0.1, True, True), ("suction", 0.1, True, False),
        ("deep well", None, True, False), ("deep well", 0.1, False, False),
    ],
)  # fmt: skip
def test_only_a_deep_well_pump_has_a_cylinder_in_the_casing(
    kind: str, wide: float | None, here: bool, hangs: bool
) -> None:
    pipe = SimpleNamespace(size="1 1/4 in", material="steel")
    hand = SimpleNamespace(kind=kind, cylinder_diameter=wide, cylinder_length=0.5,
                           rising_main=pipe)  # fmt: skip
    site: Any = SimpleNamespace(
        hand_pump=hand, piping=SimpleNamespace(drop_pipe=pipe, pitless_depth=1.5)
    )
    with (
        mock.patch.object(bodies, "is_here", return_value=here),
        mock.patch.object(bodies, "cylinder_depth", return_value=30.0),
        mock.patch.object(bodies, "_outside", return_value=0.042),
    ):
        found = [*bodies._cylinder(site, [])]
        hand_less: Any = SimpleNamespace(hand_pump=None)
        assert not [*bodies._cylinder(hand_less, [])]
    assert len(found) == hangs
    if hangs:
        assert (found[0].body.diameter, found[0].pipe, found[0].is_pump) == (0.1, 0.042, False)
