"""The chain of a site: where each pump draws and delivers, and the head between, by hand."""

from __future__ import annotations

from dataclasses import astuple
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from wellsolar import kinds
from wellsolar.constants import FOOT, US_GALLON
from wellsolar.physics.hydraulics import pipe
from wellsolar.site.loading.read import SiteFile, load_site, parse_site
from wellsolar.studies.case import Case
from wellsolar.studies.house import chain
from wellsolar.studies.house.wells import views
from wellsolar.studies.well.total_head import line_for, line_of

SITES = Path(__file__).parents[2] / "sites"
GPM = US_GALLON / 60.0
PSI_IN_FEET = 2.307
"""Feet of water in a pound per square inch at 60 degF: handbooks of the trade."""


def file_of(name: str, *changes: str) -> SiteFile:
    text = (SITES / f"{name}.toml").read_text("utf-8")
    return parse_site(text, name, list(changes)) if changes else load_site(SITES / f"{name}.toml")


def test_each_pump_has_its_place() -> None:
    site = file_of("cistern").site
    filler, booster = chain.links(site)
    assert (booster.by_switch, booster.from_tank) == (True, True)
    assert filler.labels == ("into the storage tank",)
    assert (filler.into_tank, filler.from_tank) == (True, False)
    assert (chain.gravity_head(site), chain.pressure_by(site)) == (None, "switch")
    assert chain.gravity_head(file_of("uphill").site) == pytest.approx(62 * FOOT)


def test_a_pump_is_named_by_its_place_in_the_file_and_one_that_is_only_tried_by_none() -> None:
    site = file_of("cistern").site
    filler, booster = site.pump
    assert [each.path for each in chain.links(site)] == ["pump[1]", "pump[2]"]
    assert chain.link_of(site, booster).number == 2
    # In its place, with another value.
    assert chain.link_of(site, booster.model_copy(update={"head": filler.head})).number == 2
    assert chain.link_of(site, filler.model_copy(update={"name": "another"})).number == 0


def test_old_files_have_the_links_they_had() -> None:
    open_tank = chain.links(file_of("dcbrushless").site)
    assert {each.goal for each in open_tank} <= {"open tank", "pressure tank"}
    (held,) = chain.links(file_of("vfd").site)
    assert (held.to_house, held.by_switch, held.labels) == (True, False, ("at its pressure",))
    assert not chain.has_cistern(file_of("no_booster").site)


def test_the_booster_works_from_the_tank_to_the_switch() -> None:
    booster = Case(file_of("cistern")).pumps[1]
    # Water at a tenth of 5 ft above an outlet 2 ft up, gauge 8 ft up: 5.5 ft, and 30 psi.
    static = (8.0 - 2.5) + 30.0 * PSI_IN_FEET
    at_cut_in = booster.duties[0]
    velocity = float(pipe.velocity_head(pipe.velocity(at_cut_in.flow, 1.049 * FOOT / 12)))
    assert at_cut_in.total_dynamic_head - velocity == pytest.approx(static * FOOT, rel=2e-3)
    # On the datasheet's curve there: between 10 gpm at 115 ft and 15 gpm at 70 ft.
    assert 10 * GPM < at_cut_in.flow < 15 * GPM
    # It stands level with the outlet: half a foot of water above it.
    assert booster.suction.lift == pytest.approx(-0.5 * FOOT)


def test_the_filling_pump_works_against_the_open_tank() -> None:
    pump = Case(file_of("uphill")).pumps[0]
    (duty,) = pump.duties
    pieces = {piece.key: piece.head for piece in duty.pieces}
    # Outlet, 4 ft of water and an air gap of 4 in.
    assert pieces["elevation"] == pytest.approx((62 + 4 + 4 / 12) * FOOT)
    assert (pieces["pressure"], pieces["treatment"], pump.fill) == (0.0, 0.0, None)
    assert pieces["pumping_level"] == pytest.approx(
        40 * FOOT + duty.flow / (0.5 * GPM / FOOT), rel=1e-6
    )
    # Hazen and Williams in metric units, C of 140 for plastic pipe with cold water.
    lost = 10.67 * 320 * FOOT * (duty.flow / 140) ** 1.852 / (1.033 * FOOT / 12) ** 4.8704
    assert pieces["lateral"] == pytest.approx(lost, rel=0.05)


def test_both_spellings_of_how_pumps_run() -> None:
    def runs(*changes: str) -> str | None:
        return chain.pumps_run(file_of("cistern", *changes).site)

    assert runs("power.grid=true") is None
    assert runs("power.pump_changeover=true") == "kept apart"
    assert runs("power.pump_changeover=false") == "at once"
    assert runs('power.pumps_run="alternating"') == "alternating"


ELBOWS = '[{ kind = "90 elbow", count = 2 }]'
LINE = '{ material = "polyethylene SIDR", size = "1 in", length = "40 ft"'


@pytest.mark.parametrize(
    ("line", "of_filler", "of_booster"),
    [
        # Without a line of its own the one on the well has the house's fittings; the booster,
        # which stands beside the tank, none. A line may tell its own.
        ("", "usual", []),
        (f"{LINE} }}", "usual", []),
        (f"{LINE}, fittings = {ELBOWS} }}", [("90 elbow", 2)], [("90 elbow", 2)]),
    ],
)
def test_what_a_pumps_line_loses_is_its_own(
    line: str, of_filler: list[tuple[str, int]] | str, of_booster: list[tuple[str, int]]
) -> None:
    """Softener and filter stand behind the tank that is filled; its inlet lies 5 in above the 7 ft
    of its water, the pressure tank 8 ft up. The drop pipe ends 4 ft below the ground."""
    changes = ['piping.treatment_loss="5 psi"', 'piping.lateral.length="90 ft"']
    changes += [f"pump[{number}].line={line}" for number in (1, 2) if line]
    site = file_of("cistern", *changes).site
    filler, booster = (line_of(site, table, 100.0) for table in site.pump)
    assert filler.treatment == 0.0
    assert booster.treatment == pytest.approx(5 * 6894.757, rel=1e-6)
    assert filler.elevation / FOOT == pytest.approx(7 + 5 / 12)
    assert booster.elevation / FOOT == pytest.approx(8.0)
    assert filler.lateral.length / FOOT == pytest.approx(40.0 if line else 90.0)
    assert booster.lateral.length / FOOT == pytest.approx(40.0 if line else 0.0)
    assert (filler.drop.length, booster.drop.length) == (pytest.approx(100.0 - 4 * FOOT), 0.0)
    usual = [(each.kind, each.count) for each in line_for(site, 100.0).fittings]
    assert usual
    told = [[(each.kind, each.count) for each in own.fittings] for own in (filler, booster)]
    assert told == [usual if of_filler == "usual" else of_filler, of_booster]


def test_where_a_pump_stands_is_counted_from_the_ground_of_its_own_well() -> None:
    """3 ft above the ground of [well], 12 ft above that of the dug well: 15 ft above that."""
    changes = ['pump[2].kind="suction"', 'pump[2].stands_at="3 ft"',
               'pump[2].required_suction_head="8 ft"',
               f"pump[2].suction_pipe={LINE} }}"]  # fmt: skip
    site = file_of("two_wells", *changes).site
    assert line_of(site, site.pump[1], 8.0).stands == pytest.approx(15 * FOOT)
    drilled = file_of("two_wells", *[each.replace("[2]", "[1]") for each in changes]).site
    assert line_of(drilled, drilled.pump[0], 8.0).stands == pytest.approx(3 * FOOT)


@pytest.mark.parametrize(
    ("told", "assumed"),
    [
        ("", {"elevation": 8 * FOOT, "water_height": 6 * FOOT, "fills_below": 0.75}),
        ('elevation = "2 ft"', {"water_height": 6 * FOOT, "fills_below": 0.75}),
        ('elevation = "2 ft"\nwater_height = "5 ft"\nfills_below = "80 %"', {}),
    ],
)
def test_what_is_taken_as_usual_of_a_storage_tank(told: str, assumed: dict[str, float]) -> None:
    """Level with the pressure tank, 6 ft of water, filled again when a quarter is gone: practice
    of the trade. Of a tank that no pump fills or draws from, nothing."""
    text = (
        '[site]\npeople = 3\n[well]\ndepth = "99 m"\nstatic_level = "9 m"\n[piping]\n'
        f'tank_elevation = "8 ft"\n[storage_tank]\nvolume = "500 gal"\n{told}\n'
    )
    pump = '[[pump]]\nname = "p"\ndelivers = "storage tank"\nflow = "0, 4 gpm"\nhead = "99, 9 m"\n'
    made = chain.storage_assumed(parse_site(text + pump).site)
    found = {each.path.removeprefix("storage_tank."): each.value for each in made}
    assert found == pytest.approx(assumed)
    assert {each.source for each in made} <= {"common practice"}
    assert all(each.value.kind in (kinds.LENGTH, kinds.FRACTION) for each in made)
    assert chain.storage_assumed(parse_site(text).site) == ()


def table_of(**keys: Any) -> Any:
    plain = {"kind": "submersible", "draws": "well", "stands_at": None, "suction_pipe": None,
             "line": None, "delivers": "house", "held_pressure": None, "name": "p"}  # fmt: skip
    return SimpleNamespace(**plain | keys)


@pytest.mark.parametrize(
    ("keys", "presses", "draws"),
    [
        ({}, True, True), ({"line": "own"}, False, False),
        ({"draws": "storage tank"}, False, False),
        ({"kind": "suction", "stands_at": "0 ft"}, False, True),
        ({"kind": "suction", "stands_at": "0 ft", "suction_pipe": "own"}, False, False),
    ],
)  # fmt: skip
def test_what_runs_through_the_lateral(keys: dict[str, Any], presses: bool, draws: bool) -> None:
    """A pump in the well presses into it, a jet in the house draws through it, unless they have a
    pipe of their own."""
    table = table_of(**keys)
    assert (chain.presses_lateral(table), chain.uses_lateral(table)) == (presses, draws)


@pytest.mark.parametrize(
    ("pumps", "hand", "name"),
    [
        ([], "spout", "house"), ([(None, "storage tank")], "spout", "storage tank"),
        ([(None, "pressure tank")], "storage tank", "house"),
        ([(None, "storage tank"), (None, "pressure tank")], None, "house"),
        ([(None, "storage tank"), ("own", "pressure tank")], None, "storage tank"),
        ([("own", "storage tank")], None, "house"), ([], "storage tank", "storage tank"),
        ([(None, "open tank")], "pressure tank", "open tank"), ([], None, "house"),
        ([("own", "pressure tank")], "storage tank", "storage tank"),
        ([(None, "open tank"), (None, "storage tank")], None, "house"),
    ],
)  # fmt: skip
def test_the_lateral_is_called_by_where_it_leads(
    monkeypatch: pytest.MonkeyPatch,
    pumps: list[tuple[str | None, str]],
    hand: str | None,
    name: str,
) -> None:
    made = [SimpleNamespace(table=table_of(line=line), goal=goal) for line, goal in pumps]
    monkeypatch.setattr(chain, "links", lambda site: made)
    table = hand and SimpleNamespace(delivers=hand, pressurises=None)
    site: Any = SimpleNamespace(hand_pump=table)
    assert chain.lateral_name(site) == f"line to the {name}"


@pytest.mark.parametrize(
    ("delivers", "switch", "held", "goal", "labels", "pressures"),
    [
        ("house", True, None, "pressure tank", ("at cut-in", "at cut-out"), (2.0, 3.0)),
        ("house", True, 5.0, "pressure tank", ("at its pressure",), (5.0,)),
        ("house", False, 5.0, "pressure tank", ("at its pressure",), (5.0,)),
        ("house", False, None, "open tank", ("into an open tank",), (0.0,)),
        ("storage tank", True, None, "storage tank", ("into the storage tank",), (0.0,)),
        ("storage tank", True, 5.0, "storage tank", ("into the storage tank",), (0.0,)),
    ],
)
def test_between_what_pressures_a_pump_works(
    delivers: str, switch: bool, held: float | None, goal: str, labels: tuple[str, ...],
    pressures: tuple[float, ...],
) -> None:  # fmt: skip
    """The house stands 4 m up, the tank's outlet 1 m, with 2 m of water in it. A valve evens out
    what a switch makes, not what a drive holds."""
    tank = SimpleNamespace(
        volume=1.0, elevation=1.0, water_height=2.0, air_gap=None, fills_below=None,
        fills_to=None, stops_below=None,
    )  # fmt: skip
    site: Any = SimpleNamespace(
        pressure_switch=SimpleNamespace(cut_in=2.0, cut_out=3.0) if switch else None,
        storage_tank=tank, piping=SimpleNamespace(tank_elevation=4.0), other_well=[],
        constant_pressure_valve="valve", pump=[],
    )  # fmt: skip
    full = SimpleNamespace(
        volume=1.0, elevation=None, water_height=None, air_gap=0.5, fills_below=0.6, fills_to=0.9,
        stops_below=0.1,
    )  # fmt: skip
    usual, told = (chain.storage_of(site, each) for each in (tank, full))  # type: ignore[arg-type]
    assert astuple(usual) == (1.0, 1.0, 2.0, 3.0, 0.75, 1.0, 0.0)
    wanted = (1.0, 4.0, 6 * FOOT, 4.5 + 6 * FOOT, 0.6, 0.9, 0.1)
    assert astuple(told) == pytest.approx(wanted)
    assert told.lowest == pytest.approx(4.0 + 0.6 * FOOT)
    link = chain.link_of(site, table_of(delivers=delivers, held_pressure=held))
    assert (link.goal, link.labels, link.pressures) == (goal, labels, pressures)
    assert link.elevation == (3.0 if goal == "storage tank" else 4.0)
    assert link.valve == ("valve" if goal == "pressure tank" and held is None else None)


def test_a_pump_lifts_above_the_ground_at_its_own_well_from_wherever_it_is_seen() -> None:
    """The tank is full to 7 ft 5 in above the drilled well, 12 ft more above the dug one."""
    for view in views(file_of("two_wells").site):
        lifts = [link.elevation / FOOT for link in chain.links(view)]
        assert lifts == pytest.approx([7 + 5 / 12, 19 + 5 / 12, 6.0])


@pytest.mark.parametrize(
    ("tank", "pumps", "head", "by"),
    [
        (10.0, [], 6.0, "gravity"), (10.0, [""], 6.0, "gravity"), (4.0, [], None, "none"),
        ("level", [], None, "none"), (None, [], None, "none"),
        # A pump stands between it and the house, or beside it.
        (10.0, ["from_tank"], None, "none"), (10.0, ["to_house"], None, "held"),
        (10.0, ["to_house by_switch"], None, "switch"),
        (10.0, ["to_house", "to_house by_switch"], None, "switch"),
    ],
)  # fmt: skip
def test_what_gives_a_house_its_pressure(
    monkeypatch: pytest.MonkeyPatch, tank: Any, pumps: list[str], head: float | None, by: str
) -> None:
    """A house 4 m up."""
    keys = ("from_tank", "to_house", "by_switch")
    made = [SimpleNamespace(**{key: key in pump for key in keys}) for pump in pumps]
    monkeypatch.setattr(chain, "links", lambda site: made)
    stands = SimpleNamespace(elevation=None if tank == "level" else tank)
    site: Any = SimpleNamespace(
        storage_tank=None if tank is None else stands, piping=SimpleNamespace(tank_elevation=4.0)
    )
    assert (chain.gravity_head(site), chain.pressure_by(site)) == (head, by)


@pytest.mark.parametrize(
    ("delivers", "goal"),
    [("tank", "pressure tank"), ("spout", "spout"), ("storage tank", "storage tank")],
)
def test_where_hands_pump_to(delivers: str, goal: str) -> None:
    site: Any = SimpleNamespace(hand_pump=SimpleNamespace(delivers=delivers), pump=[])
    assert chain.hand_goal(site) == goal
    assert chain.has_cistern(site) is (goal == "storage tank")
    site.hand_pump = None
    assert chain.hand_goal(site) is None
