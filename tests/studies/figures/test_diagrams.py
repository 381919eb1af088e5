"""The schedule of equipment and how it is joined, against the site files read by themselves."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from wellsolar.reports.charts.diagram import SYMBOLS
from wellsolar.reports.charts.draw import draw
from wellsolar.reports.figures.diagrams import MAIN
from wellsolar.reports.figures.plots import DiagramPanel, Plot
from wellsolar.results.figures import Branch, Parallel, Series, Thing, scheduled, things_in
from wellsolar.site.loading.read import load_site, parse_site
from wellsolar.site.schema import Site
from wellsolar.studies.figures.pipes import water_of
from wellsolar.studies.figures.tags import LETTERS
from wellsolar.studies.figures.wires import power_of
from wellsolar.studies.plumbing.layout import layout_of
from wellsolar.verdicts import say

CHECKOUT = Path(__file__).parents[3]
SITES = sorted([*CHECKOUT.glob("examples/*.toml"), *CHECKOUT.glob("tests/sites/*.toml")])


def of_site(path: Path) -> tuple[Site, dict[str, Any]]:
    """A site and its file as plain tables."""
    return load_site(str(path)).site, tomllib.loads(path.read_text(encoding="utf-8"))


def ways(branch: Branch) -> Iterator[list[Thing]]:
    """Every way along a branch from where it begins to where it ends."""
    if isinstance(branch, Thing):
        yield [branch]
    elif isinstance(branch, Parallel):
        for part in branch.parts:
            yield from ways(part)
    else:
        behind: list[list[Thing]] = [[]]
        for part in branch.parts:
            behind = [before + after for before in behind for after in ways(part)]
        yield from behind


def signs(way: list[Thing]) -> list[str]:
    """What stands on a way, in order."""
    return [thing.sign for thing in way]


@pytest.mark.parametrize("path", SITES, ids=lambda path: path.stem)
def test_all_that_the_file_names_is_drawn_once_under_a_tag_of_its_own(path: Path) -> None:
    site, told = of_site(path)
    water, power = water_of(site), power_of(site)
    schedule = scheduled((*things_in(water), *things_in(power)))
    tags = [thing.tag for thing in schedule]
    assert len(set(tags)) == len(tags)
    names = Counter(thing.name for thing in schedule)
    pumps, arrays = told.get("pump", []), told.get("array", [])
    for each in [*pumps, *arrays, *[{"name": each.name} for each in layout_of(site)]]:
        if water is not None or each in arrays:
            assert names[each["name"]] == 1, each["name"]
    elements = told.get("water_heater", {}).get("element", [])
    assert sum(thing.sign == "element" for thing in schedule) == len(elements)
    assert sum(thing.sign == "isolator" for thing in schedule) == len(arrays)
    assert [thing.tag for thing in schedule if thing.sign == "pump"] == [
        f"P-{number}" for number in range(1, len(pumps) + 1)
    ]
    on_mains = Counter(
        thing.tag for thing in things_in(power) if thing.sign in ("pump", "element")
    )
    assert not on_mains or max(on_mains.values()) == 1  # nothing is fed twice


@pytest.mark.parametrize("path", SITES, ids=lambda path: path.stem)
def test_a_wire_and_a_pipe_are_the_file_s_own(path: Path) -> None:
    """Each way to a pump tells that pump's cable, each way from it that pump's pipe."""
    site, told = of_site(path)
    power, water = power_of(site), water_of(site)
    for number, pump in enumerate(told.get("pump", []), 1):
        for way in ways(power) if power is not None else ():
            cables = [thing.said.text("US") for thing in way if thing.name == "cable"]
            if way[-1].tag == f"P-{number}" and "cable" in pump:
                gauge = pump["cable"]["gauge"].replace("mm2", "mm²")
                assert cables[-1].split(", ")[0] == gauge
        for way in ways(water) if water is not None else ():
            at = next((n for n, thing in enumerate(way) if thing.tag == f"P-{number}"), None)
            drop = next((thing for thing in way[at:] if thing.name == "drop pipe"), None)
            if at is not None and drop is not None:
                pipe = pump.get("drop_pipe", told.get("piping", {}).get("drop_pipe", {}))
                if pump.get("draws", "well") == "well" and "size" in pipe:
                    assert drop.said.text("US").startswith(pipe["size"])


def test_ridge_house_is_joined_as_its_story_tells() -> None:
    """Read off the file by hand: grid and inverter meet at one switch that a changeover follows;
    four modules go by isolator, thermostat's relay and high limit to the lower element; the three
    pumps meet before the one tank; the mixing valve is the last thing before the hot taps."""
    site, _ = of_site(CHECKOUT / "examples" / "ridge_house.toml")
    power, water = power_of(site), water_of(site)
    assert power is not None
    assert water is not None
    heats = [way for way in ways(power) if way[-1].name == "lower element"]
    assert [signs(way) for way in heats] == [
        ["modules", "isolator", "run", "contacts", "high limit", "element"]
    ]
    assert {thing.carries for thing in heats[0][:-1]} == {"direct current", ""}
    to_frugal = [signs(way) for way in ways(power) if way[-1].name == "frugal pump"]
    end = ["transfer", "changeover", "breaker", "controller", "run", "pump"]
    assert to_frugal == [
        ["grid", *end],
        ["modules", "fuse", "isolator", "inverter", *end],
        ["battery", "inverter", *end],
    ]
    hot = [way for way in ways(water) if way[-1].name == "hot taps"]
    assert [way[0].tag for way in hot] == ["P-1", "P-2", "H-1"]
    for way in hot:
        assert signs(way)[-3:] == ["heater", "mixing valve", "tap"]
        assert sum(thing.sign == "pressure tank" for thing in way) == 1
        tank = next(thing for thing in way if thing.sign == "pressure tank")
        # The switch and the relief valve hang on the tank's tee, no valve between.
        assert [thing.sign for thing in tank.beside] == ["switch", "relief valve", "drain"]


def test_what_the_file_does_not_tell_is_marked() -> None:
    text = (CHECKOUT / "examples" / "ridge_house.toml").read_text(encoding="utf-8")
    told = {thing.name: thing.told for thing in things_in(power_of(parse_site(text).site))}
    assert told["breaker of house pump"]
    assert not told["breaker of frugal pump"]
    assert told["transfer switch"]
    open_to = text.replace('kept_apart = ["grid and inverter"]', "")
    assert not {thing.name: thing.told for thing in things_in(power_of(parse_site(open_to).site))}[
        "transfer switch"
    ]


def test_a_storage_tank_stands_between_its_filling_pump_and_the_house() -> None:
    """Poor well: a line, the tank, a pump, the pressure tank; hill tank: down by gravity."""
    for name, expected in (
        ("poor_well", ["pump", "check valve", "run", "run", "storage tank", "pump", "run",
                       "pressure tank", "valve", "tap"]),
        ("hill_tank", ["pump", "check valve", "run", "run", "storage tank", "run", "tap"]),
    ):  # fmt: skip
        site, _ = of_site(CHECKOUT / "examples" / f"{name}.toml")
        water = water_of(site)
        assert water is not None
        assert [signs(way) for way in ways(water)] == [expected]


def test_a_hand_pump_to_its_spout_alone_is_not_joined_to_the_house() -> None:
    site, _ = of_site(CHECKOUT / "examples" / "village_borehole.toml")
    water = water_of(site)
    assert isinstance(water, Parallel)
    assert (water.above, water.below) == (False, False)
    assert [signs(way) for way in ways(water)][-1] == ["hand pump", "tap"]


def test_every_kind_of_thing_has_letters_and_a_symbol() -> None:
    assert set(SYMBOLS) == {*LETTERS, "tap"}
    assert set(LETTERS) | {"tap"} >= MAIN


def test_a_name_of_any_kind_is_drawn_as_text_alone() -> None:
    hostile = Thing("P-1", "pump", "<script>&" + "x" * 300, say(""), "water")
    lanes = Parallel((hostile, Series((hostile, hostile))), above=True, below=True)
    panel = DiagramPanel("", Series((hostile, lanes)))
    svg = draw(Plot("system", "t", "c", (), "pump_1", (panel,)), "US")
    assert "<script" not in svg
    assert "&lt;script" in svg
