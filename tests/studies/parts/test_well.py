"""Pipe, wire and what shares a pump's line, against arithmetic and the verdicts they clear."""

from __future__ import annotations

import csv
import io
import math
from types import SimpleNamespace
from typing import Any
from unittest import mock

import pytest

from tests.properties.whole.plain import TWO
from tests.site_texts import EXAMPLES
from tests.studies.parts.listing import FOOT, GALLON, lines_by_hand, listed, part, status
from wellsolar import kinds
from wellsolar.reports.text.csv import as_csv
from wellsolar.site.loading.read import load_site
from wellsolar.studies.asked.changed_site import changed_site
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.case import Case
from wellsolar.studies.parts import well
from wellsolar.studies.parts.study import study_parts
from wellsolar.units import Quantity
from wellsolar.verdicts import Verdict, set_to


def test_pipe_and_wire_are_as_long_as_the_well_asks() -> None:
    found, _ = listed("creek_cabin")
    # Intake at 160 ft under a pitless adapter at 5 ft; 230 ft of cable and a tenth more.
    drop = part(found, "drop pipe", "old pump")
    assert drop.quantity == pytest.approx((160 - 5) * FOOT)
    cable = part(found, "pump cable", "old pump")
    assert cable.quantity == pytest.approx(230 * 1.1 * FOOT)
    assert part(found, "lateral pipe").quantity == pytest.approx(60 * FOOT)
    # Table figures from memory.
    # NEC 430.52: 250 % of the 4.9 A of a half-horsepower motor at 230 V (Table 430.248) is
    # 12.25 A, the next standard size of 240.6 is 15 A.
    assert part(found, "pump breaker", "old pump").size.text("US").startswith("15 A")
    # Locked-rotor 24 A at 230 V.
    assert "5520 VA for a start" in part(found, "inverter").size.text("US")
    assert part(found, "inverter").state == "to change"


def test_a_thin_wire_is_listed_as_the_one_that_does_and_clears_its_verdicts() -> None:
    found, results = listed("ridge_house")
    assert status(results, "voltage drop", "house pump") == "caution"
    pump, array = part(found, "pump cable", "house pump"), part(found, "array cable", "hot water")
    assert (pump.state, array.state) == ("to change", "to change")
    # Table figures from memory.
    # 12 AWG stranded, 1.98 ohm/kft at 75 degC (NEC chapter 9 table 8): 2 x 330 ft x 6.35 A is
    # 8.3 V of 230; 10 AWG, 1.24 ohm/kft: 5.2 V, 2.3 %.
    assert 2 * 0.330 * 1.24 * 6.35 / 230 < 0.03 < 2 * 0.330 * 1.98 * 6.35 / 230
    assert pump.size.text("US").startswith("10 AWG")
    gauges = [each.size.text("US").split(",")[0] for each in (pump, array)]
    settings = [
        f"pump[house pump].cable.gauge={gauges[0]}",
        f"array[hot water].cable.gauge={gauges[1]}",
    ]
    changed, after = listed("ridge_house", settings)
    assert status(after, "voltage drop", "house pump") == "pass"
    assert status(after, "voltage drop", "hot water") == "pass"
    assert part(changed, "pump cable", "house pump").state == "in the file"


def test_a_pipe_too_narrow_is_listed_wider_and_clears_its_verdict() -> None:
    settings = ["pump[1].drop_pipe.material=polyethylene SIDR", "pump[1].drop_pipe.size=1/2 in"]
    found, results = listed("south_slope", settings)
    assert status(results, "pipe velocity", "soft-start pump") == "caution"
    pipe = part(found, "drop pipe")
    assert pipe.state == "to change"
    size = pipe.size.text("US").split(", ")[1]
    _, after = listed("south_slope", [*settings, f"pump[1].drop_pipe.size={size}"])
    assert status(after, "pipe velocity", "soft-start pump") == "pass"


def test_pipes_that_are_told_wider_are_so_where_the_pump_gives_most() -> None:
    """Whatever the limit: between two sizes lies less than between the flows at cut-out and
    cut-in."""
    file = load_site(EXAMPLES / "ridge_house.toml")
    told = 0
    for limit in range(8, 27):
        site = changed_site(file.site, [set_to("limits.velocity", f"{limit / 10} ft/s")])
        verdict = _velocity(Case(file).with_site(site))
        if verdict.status != "pass":
            assert verdict.remedy is not None
            wider = changed_site(site, list(verdict.remedy.changes))
            assert _velocity(Case(file).with_site(wider)).status == "pass", limit
            told += 1
    assert told > 10


def _velocity(case: Studied) -> Verdict:
    """The verdict on the house pump's pipes."""
    return next(
        verdict
        for verdict in case.said("pumps").verdicts
        if (verdict.rule.key, verdict.subject) == ("pipe velocity", "house pump")
    )


def test_bleach_is_for_twice_the_water_in_the_casing() -> None:
    found, _ = listed("ridge_house")
    # 135 ft of water in a bore of 6.065 in; 200 mg/L of chlorine out of 52.5 g/L of bleach.
    water = math.pi / 4 * (6.065 * 0.0254) ** 2 * (220 - 85) * FOOT
    bleach = part(found, "disinfectant")
    assert bleach.quantity == pytest.approx(2 * water * 0.2 / 52.5, rel=1e-6)
    row = next(
        each
        for each in csv.DictReader(io.StringIO(as_csv(found, "SI")))
        if each["part"] == "disinfectant"
    )
    liters = math.ceil(2 * water * 0.2 / 52.5 * 1e4) / 10
    assert (float(row["quantity"]), row["unit"]) == (liters, "L")
    # Without the bore nobody knows the water.
    without = (EXAMPLES / "ridge_house.toml").read_text(encoding="utf-8")
    without = without.replace('casing_bore = "6.065 in"\n', "")
    unknown = part(listed("ridge_house", text=without)[0], "disinfectant")
    assert unknown.quantity is None
    assert "well.casing_bore" in unknown.size.text("US")


def test_pipe_bears_what_the_pump_holds_against_shut_taps() -> None:
    found, _ = listed("creek_cabin")
    # 290 ft of water at 47 degF, 62.42 lb/ft3: 290 x 62.42 / 144 = 125.7 psi at the pump.
    pipe = part(found, "drop pipe", "old pump")
    assert pytest.approx(125.7, abs=0.05) == 290 * 62.42 / 144
    assert any("up to 126 psi" in each.text("US") for each in pipe.why)
    # What a counter is asked for is the class that the file tells, where that holds.
    assert "class 160 psi" in pipe.size.text("US")


def test_all_that_shares_the_line_has_its_own_check_valve() -> None:
    found, results = listed("ridge_house")
    site = load_site(EXAMPLES / "ridge_house.toml").site
    with mock.patch.object(well, "_joins_the_line") as joins:
        study_parts(site, results)
    # As wide as its greatest flow asks, against the least pressure.
    most = [max(duty.flow for duty in pump.duties) for pump in results.pumps[1:]]
    assert [call.args[2] for call in joins.call_args_list] == most
    assert most[0] > min(duty.flow for duty in results.pumps[1].duties)
    valves = {each.of: each for each in found.parts if each.item == "check valve"}
    assert set(valves) == {"", "frugal pump"}
    assert valves["frugal pump"].size.text("US").startswith("3/4 in")
    assert part(found, "hand pump check valve").state == "to check"
    assert part(found, "hand pump line valve").state == "to check"
    assert "60.0 psi" in part(found, "hand pump").size.text("US")
    # A hand pump to the spout alone touches no line.
    alone, _ = listed("ridge_house", ["hand_pump.delivers=spout"])
    assert {each.of for each in alone.parts if each.item == "check valve"} == {"", "frugal pump"}


def test_a_suction_pump_wants_a_foot_valve_and_a_wide_pump_wide_fittings() -> None:
    text = """
[well]
depth = "25 ft"
static_level = "12 ft"
[pressure_switch]
cut_in = "20 psi"
cut_out = "40 psi"
[[pump]]
name = "jet"
kind = "suction"
intake_depth = "20 ft"
flow = "0, 5, 10 gpm"
head = "150, 120, 60 ft"
[[pump]]
name = "large"
flow = "0, 20, 40 gpm"
head = "400, 350, 200 ft"
"""
    found, results = listed("odd", text=text)
    assert part(found, "foot valve").of == "jet"
    assert "bears" not in part(found, "drop pipe", "jet").size.text("US")
    # 40 gpm through 2 in is 4.1 ft/s at a bore of 2.067 in, within 5 ft/s; 1 1/2 in, 1.610 in
    # (bores as of schedule 40, from memory) would be 6.3 ft/s.
    flow = 40 * GALLON / 60
    speeds = [flow / (math.pi / 4 * (bore * 0.0254) ** 2) / FOOT for bore in (2.067, 1.610)]
    assert speeds[0] < 5 < speeds[1]
    for item in ("drop pipe", "check valve", "pitless adapter"):
        assert "2 in" in part(found, item, "large").size.text("US")
    assert results.pumps[1].duties[0].flow == pytest.approx(flow, rel=0.01)


@pytest.mark.parametrize("greater", ["first", "second"])
def test_the_line_to_the_house_is_wide_enough_for_the_greatest_pump(greater: str) -> None:
    """3/4 in, 0.824 in of bore, carries 4 gpm at 2.4 ft/s and 10 gpm at 6.0: 5 ft/s is the limit;
    1 in, 1.049 in, carries 10 gpm at 3.7. Pitless adapter and elbows widen with it."""
    small = TWO.replace('size = "2 in"\nlength', 'size = "3/4 in"\nlength')
    head, between, tail = small.split("0, 9.999, 10.001 gpm")
    flows = ["0, 9.999, 10.001 gpm", "0, 3.999, 4.001 gpm"]
    one, other = flows if greater == "first" else flows[::-1]
    text = f"{head}{one}{between}{other}{tail}"
    found, _ = listed("", text=text)
    lateral = part(found, "lateral pipe")
    assert (lateral.state, lateral.quantity) == ("to change", pytest.approx(50 * FOOT))
    assert "polyethylene SIDR, 1 in" in lateral.size.text("US")
    # 400.5 ft of shut-off head less 60 ft of lift, and 4 ft below the ground: 149.3 psi.
    assert any("up to 150 psi" in each.text("US") for each in lateral.why)
    name = "steady" if greater == "first" else "second"
    assert (lateral.verdict.rule.key, lateral.verdict.subject) == ("pipe velocity", name)
    assert any("too narrow for 10.0 gpm" in each.text("US") for each in lateral.why)
    widened = [each.item for each in found.parts if "as the lateral" in each.size.text("US")
               and "1 in" in each.size.text("US")]  # fmt: skip
    assert {"pitless adapter", "check valve", "90 elbow"} <= {*widened}
    _, after = listed("", ["piping.lateral.size=1 in"], text=text)
    assert status(after, "pipe velocity", name) == "pass"


def test_the_line_to_the_house_is_as_wide_as_the_most_of_its_pumps_asks(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """10 gpm of the second of two pumps, whose first duty has 4; a third takes another line."""

    def duties(*flows: float) -> Any:
        return SimpleNamespace(
            name=f"of {flows[0]:g}", intake_depth=30.0 + flows[0],
            duties=[SimpleNamespace(flow=flow) for flow in flows],
        )  # fmt: skip

    taken: list[tuple[Any, ...]] = []
    monkeypatch.setattr(well.chain, "uses_lateral", lambda table: table != "other")
    monkeypatch.setattr(well.chain, "presses_lateral", lambda table: table != "other")
    monkeypatch.setattr(well.chain, "lateral_name", lambda _: "lateral")
    monkeypatch.setattr(well, "lateral_pressure", lambda _, __, pump: pump.duties[0].flow)
    monkeypatch.setattr(well, "line_for", lambda _, depth: taken.append((depth,)) or NO_FITTING)
    monkeypatch.setattr(well, "_pipe", lambda _, *what: taken.append(what))
    monkeypatch.setattr(well, "_wide_enough", lambda _, pipe, flow: taken.append((flow,)))
    lateral = SimpleNamespace(length=20.0, size="1 in")
    lines: Any = SimpleNamespace(
        site=SimpleNamespace(
            pump=["one", "two", "other"], piping=SimpleNamespace(lateral=lateral, fittings=[])
        ),
        results=SimpleNamespace(pumps=[duties(6.0, 9.0), duties(4.0, 10.0, 7.0), duties(20.0)]),
        verdict=lambda rule, name: None,
        claim=lambda *_, **__: ("", ""),
    )
    well._line_to_house(lines)
    assert taken == [
        (34.0,), ("lateral pipe", lateral, 20.0, 10.0, 6.0, None, ""), (10.0,)
    ]  # fmt: skip


NO_FITTING = SimpleNamespace(fittings=[])


@pytest.mark.parametrize(
    ("flow", "size"),
    [
        # At 1.5 m/s a bore of 30 mm carries 1.5 x 7.0686 cm2, 1.0603 L/s.
        (0.0010602, "b"), (0.0010604, "c"), (0.0001, "a"), (0.01, None),
        # What is right at the limit but for the last places of a float passes.
        (1.5 * math.pi / 4 * 0.03**2 * (1.0 + 5e-10), "b"),
    ],
)  # fmt: skip
def test_the_narrowest_pipe_that_keeps_the_velocity(flow: float, size: str | None) -> None:
    sizes = [
        SimpleNamespace(nominal=name, bore=bore)
        for name, bore in (("a", 0.02), ("b", 0.03), ("c", 0.04))
    ]
    lines = lines_by_hand(SimpleNamespace(limits=SimpleNamespace(velocity=1.5)), None)
    with mock.patch.object(well, "from_this_up", return_value=sizes):
        assert well._wide_enough(lines, None, flow) == size  # type: ignore[arg-type]


def test_a_breaker_opens_the_greatest_voltage_that_feeds_its_pump() -> None:
    groups = [SimpleNamespace(name=name, feeds=feeds) for name, feeds in (
        ("low", "pump"), ("high", "pump"), ("other", "heater"))]  # fmt: skip
    fed = [SimpleNamespace(circuit=SimpleNamespace(array=group.name, system_voltage=volts))
           for group, volts in zip(groups, (200.0, 300.0, 400.0), strict=True)]  # fmt: skip
    table: Any = SimpleNamespace(supply="DC")
    lines = lines_by_hand(SimpleNamespace(array=groups), SimpleNamespace(arrays=fed))
    assert well._breaker(lines, table, 15.0).parts["volts"] == 300.0
    bare = lines_by_hand(SimpleNamespace(array=groups[2:]), SimpleNamespace(arrays=fed))
    assert "battery's highest" in well._breaker(bare, table, 15.0).template


def test_a_rig_bears_the_heaviest_string_and_what_was_not_weighed() -> None:
    strings = [
        SimpleNamespace(name=name, weight=weight, left_out=out)
        for name, weight, out in (("light", 1e3, "nothing"), ("heavy", 3e3, "its cable"),
                                  ("other", 2e3, "nothing"))
    ]  # fmt: skip
    for told, besides in ((strings, True), ([strings[2], strings[0]], False)):
        lines = lines_by_hand(None, None)
        with (
            mock.patch.object(well, "views", return_value=["one", "two"]),
            mock.patch.object(well, "strings_of", {"one": told[:1], "two": told[1:]}.__getitem__),
        ):
            well._rig(lines)
        size = lines.put[0].size
        assert size.parts["weight"] == max(each.weight for each in told)
        assert size.parts["weight"].kind is kinds.FORCE
        assert ("and besides" in size.template) is besides
    with mock.patch.object(well, "views", return_value=[]):
        well._rig(lines)
    assert len(lines.put) == 1


@pytest.mark.parametrize(
    ("hangs", "pitless", "hand", "told"),
    [
        ((True, True), False, True, "2 pump cables and 2 drop pipes and the hand pump"),
        ((True, False), False, False, "1 pump cable and 2 drop pipes"),
        ((True,), True, False, "1 pump cable"), ((False,), False, False, "1 drop pipe"),
        ((False,), True, False, None),
    ],
)  # fmt: skip
def test_a_cap_is_holed_for_what_goes_through_it(
    hangs: tuple[bool, ...], pitless: bool, hand: bool, told: str | None
) -> None:
    bore = Quantity(0.15, kinds.LENGTH)
    view = SimpleNamespace(
        pump=[SimpleNamespace(hangs=each, here=True) for each in hangs]
        + [SimpleNamespace(hangs=True, here=False)],
        hand_pump=True if hand else None, lift=(), well=SimpleNamespace(casing_bore=bore),
    )  # fmt: skip
    fittings = [SimpleNamespace(kind="pitless adapter")] if pitless else []
    lines = lines_by_hand(view, None)
    with (
        mock.patch.object(well, "is_here", lambda _, pump: pump.here),
        mock.patch.object(well, "name_of", return_value=None),
        mock.patch.object(well.chain, "hangs_in_well", lambda pump: pump.hangs),
        mock.patch.object(well, "line_for", return_value=SimpleNamespace(fittings=fittings)),
    ):
        well._cap(lines, view)  # type: ignore[arg-type]
    parts = lines.put[0].size.parts
    assert parts.get("p2") == told
    assert parts["p1"] == bore


@pytest.mark.parametrize("treatment", [0.0, 0.5])
@pytest.mark.parametrize(("level", "column"), [(30.0, 20.0), (49.5, 0.5), (52.0, 0.0)])
def test_bleach_is_for_the_water_that_stands_in_a_well_of_50_m(
    level: float, column: float, treatment: float
) -> None:
    """A bore of 0.2 m; 0.2 g of chlorine in each litre of twice the water, 52.5 g in one of
    bleach. A dry well takes none."""
    water = math.pi * 0.01 * column
    view = SimpleNamespace(
        well=SimpleNamespace(casing_bore=0.2, depth=50.0, static_level=level),
        piping=SimpleNamespace(treatment_loss=treatment),
    )
    lines = lines_by_hand(view, None)
    with mock.patch.object(well, "name_of", return_value=None):
        well._disinfectant(lines, view)  # type: ignore[arg-type]
    (line,) = lines.put
    assert line.volume == pytest.approx(2 * water * 0.2 / 52.5)
    assert float(line.why[0].parts["standing"]) == pytest.approx(water)
    assert line.why[0].parts["standing"].kind is kinds.VOLUME
    assert ("treatment bypass" in line.why[0].template) is (treatment > 0.0)


@pytest.mark.parametrize(("lateral", "drive"), [(True, 42.0), (False, 30.0)])
def test_the_drive_pipe_of_a_jet_goes_across_and_down(lateral: bool, drive: float) -> None:
    """30 m down, and 12 m across where the jet stands in the house."""
    site = SimpleNamespace(
        piping=SimpleNamespace(lateral=SimpleNamespace(length=12.0 if lateral else None))
    )
    table = SimpleNamespace(diameter=None, tail_pipe=None, drop_pipe=None)
    lines = lines_by_hand(site, None)
    with (
        mock.patch.object(well, "at_well", return_value=None),
        mock.patch.object(well.chain, "uses_lateral", return_value=True),
        mock.patch.object(
            well, "line_for", return_value=SimpleNamespace(drop=SimpleNamespace(length=30.0))
        ),
    ):
        well._two_pipes(
            lines, table, SimpleNamespace(name="jet", intake_depth=31.0),  # type: ignore[arg-type]
            SimpleNamespace(size="1 in", material="PVC"),  # type: ignore[arg-type]
        )  # fmt: skip
    assert {line.item: line.length for line in lines.put[1:]} == {
        "drop pipe": 30.0,
        "drive pipe": drive,
    }


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_the_lateral_is_for_the_most_water_and_the_strongest_pump(order: tuple[int, int]) -> None:
    """Of two pumps on it one gives more, the other presses harder; a third does neither."""
    both = [("much", 3e-3, 4e5), ("strong", 2e-3, 9e5)]
    rows = [both[each] for each in order] + [("apart", 9e-3, 99e5)]
    pumps = [
        SimpleNamespace(
            name=name, intake_depth=30.0,
            duties=[SimpleNamespace(flow=flow / 2), SimpleNamespace(flow=flow)],
        )
        for name, flow, _ in rows
    ]  # fmt: skip
    pressed = {name: pressure for name, _, pressure in rows}
    lateral = SimpleNamespace(length=12.0, size="1 in")
    site = SimpleNamespace(pump=pumps, piping=SimpleNamespace(lateral=lateral, fittings=[]))
    lines = lines_by_hand(site, SimpleNamespace(pumps=pumps))
    asked: list[Any] = []
    with (
        mock.patch.object(well.chain, "uses_lateral", lambda pump: pump.name != "apart"),
        mock.patch.object(well.chain, "presses_lateral", lambda pump: pump.name != "apart"),
        mock.patch.object(well.chain, "lateral_name", return_value="lateral"),
        mock.patch.object(well, "lateral_pressure", lambda _, table, __: pressed[table.name]),
        mock.patch.object(well, "line_for", return_value=SimpleNamespace(fittings=[])),
        mock.patch.object(well, "_wide_enough", return_value="1 in"),
        mock.patch.object(well, "_pipe", lambda _, *told: asked.append(told)),
    ):
        well._line_to_house(lines)
    assert asked == [("lateral pipe", lateral, 12.0, 3e-3, 9e5, None, "")]
