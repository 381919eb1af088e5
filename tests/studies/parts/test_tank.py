"""The pressure tank of a parts list, against the verdict it clears."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any
from unittest import mock

import pytest

from tests.properties.whole.plain import TWO
from tests.studies.parts.listing import (
    FOOT,
    GALLON,
    PSI,
    lines_by_hand,
    listed,
    part,
    status,
)
from wellsolar import kinds
from wellsolar.studies.parts import tank as parts_of_tank
from wellsolar.studies.pump.pressure_tank import HELD_PRECHARGE, PRECHARGE, RUN_TIME, STARTS
from wellsolar.studies.pump.shut_off import RELIEF
from wellsolar.studies.safety.expansion import EXPANSION
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.units import Quantity


def test_a_small_pressure_tank_is_listed_as_large_as_the_least_run_asks() -> None:
    found, results = listed("south_slope", ["pressure_tank.volume=20 gal"])
    assert status(results, "run time", "soft-start pump") == "fail"
    tank = part(found, "pressure tank")
    assert tank.state == "to change"
    flow = results.pressure_tank.cycles[0].pump_flow if results.pressure_tank else 0.0
    air = 101_325 * (1 - 2.25577e-5 * 1200 * FOOT) ** 5.25588
    held = (28 * PSI + air) * (1 / (30 * PSI + air) - 1 / (50 * PSI + air))
    volume = tank.size.parts["needed"]
    assert isinstance(volume, float)
    sold = tank.size.parts["one"]
    assert isinstance(sold, float)
    assert sold >= volume
    assert float(volume) == pytest.approx(flow * 60 / held, rel=0.01)
    gallons = math.ceil(float(volume) / GALLON)
    _, after = listed("south_slope", [f"pressure_tank.volume={gallons} gal"])
    assert status(after, "run time", "soft-start pump") == "pass"


def test_a_storage_tank_too_small_for_the_night_is_to_be_changed() -> None:
    """The hill tank's longest night takes 158 gal; modules are not what it lacks."""
    small, _ = listed("hill_tank", ['storage_tank.volume="130 gal"'])
    line = part(small, "storage tank")
    assert line.state == "to change"
    assert "gal" in " ".join(each.text("US") for each in line.why)
    assert not [each for each in small.parts if each.of == "through the year"]
    few, _ = listed("hill_tank", ['well.tested_yield="0.2 gpm"'])
    assert part(few, "module", "through the year").state == "to add"


@pytest.mark.parametrize("stronger", ["steady", "second"])
def test_the_relief_valve_is_told_the_pump_that_presses_hardest(stronger: str) -> None:
    """400.5 ft of shut-off head less 60 ft of lift and 6 ft to the tank: 145 psi; 300.5 ft press
    with 101.6 psi."""
    weak = TWO.split('head = "400.5, 400, 1 ft"')
    heads = ["400.5, 400, 1 ft", "300.5, 300, 1 ft"]
    first, second = heads if stronger == "steady" else heads[::-1]
    text = f'{weak[0]}head = "{first}"{weak[1]}head = "{second}"{weak[2]}'
    valve = part(listed("", text=text)[0], "tank relief valve")
    told = " ".join(each.text("US") for each in valve.why)
    assert f"{stronger} can hold 145 psi" in told


def bar(pressure: float) -> Quantity:
    return Quantity(pressure * 1e5, kinds.PRESSURE)


def duties(*flows: float) -> list[SimpleNamespace]:
    return [SimpleNamespace(flow=flow) for flow in flows]


def test_a_stand_bears_a_ton_for_each_cubic_metre_and_a_gauge_shows_half_more_than_the_most() -> (
    None
):
    """Half a ton weighs 4903.325 N at 9.80665 m/s2; of 4 bar a gauge goes to 6."""
    lines = lines_by_hand(None, SimpleNamespace(pumps=()))
    parts_of_tank.tank_stand(lines, "tank", 0.5)
    with mock.patch.object(parts_of_tank, "valves"):
        parts_of_tank._beside_the_tank(lines, 4e5)
    stand, gauge = lines.put
    assert float(stand.size.parts["weight"]) == pytest.approx(4903.325)
    assert float(gauge.size.parts["scale"]) == pytest.approx(6e5)


@pytest.mark.parametrize(
    ("precharge", "status", "told", "state"),
    [(None, "unknown", 2.8, "in the file"), (1.0, "pass", 1.0, "in the file"),
     (1.0, "fail", 2.8, "to change"), (1.0, "caution", 2.8, "to change")],
)  # fmt: skip
def test_a_small_tank_beside_a_drive_has_seven_tenths_of_what_it_holds(
    precharge: float | None, status: str, told: float, state: str
) -> None:
    """Of 4 bar 2.8 (seven tenths from memory)."""
    tank = SimpleNamespace(
        precharge=precharge and bar(precharge), count=2, greatest_pressure=None,
        volume=Quantity(0.02, kinds.VOLUME),
    )  # fmt: skip
    said = SimpleNamespace(rule=HELD_PRECHARGE, subject="pressure tank", status=status)
    lines = lines_by_hand(None, None, [said])
    parts_of_tank._tank_of_drive(lines, tank, 4e5)  # type: ignore[arg-type]
    (line,) = lines.put
    assert (line.state, line.count) == (state, 2)
    assert line.size.template.startswith("{p0} each")
    assert float(line.size.parts["p1"]) == pytest.approx(told * 1e5)


@pytest.mark.parametrize("longest", ["first", "last"])
def test_a_tank_that_no_file_names_holds_the_run_that_asks_most_water(longest: str) -> None:
    """3 L/s for 60 s are 180 L, 2 L/s for 120 s are 240 L. Between 2 and 4 bar at 101 325 Pa a
    tank with 2 psi less than cut-in gives that share of itself that Boyle says."""
    more, less = ("much", 2e-3, 120.0), ("fast", 3e-3, 60.0)
    rows = [more, less] if longest == "first" else [less, more]
    pumps = [
        SimpleNamespace(name=name, fill=SimpleNamespace(mean_flow=flow)) for name, flow, _ in rows
    ]
    runs = {name: SimpleNamespace(wanted_run=run) for name, _, run in rows}
    site: Any = SimpleNamespace(
        pressure_switch=SimpleNamespace(cut_in=2e5, cut_out=4e5), pump=pumps,
        site=SimpleNamespace(altitude=0.0, print_units="SI"),
    )  # fmt: skip
    lines = lines_by_hand(site, None)
    with mock.patch.object(parts_of_tank, "motor_cycle", lambda _, table: runs[table.name]):
        parts_of_tank._tank_to_add(lines, [*pumps, SimpleNamespace(name="none", fill=None)])  # type: ignore[list-item]
    air = 101_325.0
    share = (2e5 - 2 * PSI + air) * (1 / (2e5 + air) - 1 / (4e5 + air))
    (line,) = lines.put
    told = line.size.parts
    assert float(told["needed"]) == pytest.approx(0.240 / share, rel=1e-4)
    assert float(told["precharge"]) == pytest.approx(2e5 - 2 * PSI, rel=1e-5)
    assert line.count * float(told["one"]) >= 0.240 / share
    (why,) = line.why
    assert (float(why.parts["run"]), float(why.parts["flow"])) == (120.0, 2e-3)
    assert (told["needed"].kind, why.parts["flow"].kind) == (kinds.VOLUME, kinds.FLOW)
    # Nothing to fill, or no switch that asks a tank.
    parts_of_tank._tank_to_add(lines, [])
    site.pressure_switch = None
    parts_of_tank._tank_to_add(lines, pumps)  # type: ignore[arg-type]
    assert lines.put == [line]


@pytest.mark.parametrize(("times", "count", "each"), [(0.9, 1, False), (1.9, 2, True)])
def test_two_tanks_are_told_each(times: float, count: int, each: bool) -> None:
    """Of the largest that is sold, somewhat less than one of them and less than two."""
    largest = sizes("pressure tank", kinds.VOLUME, "US")[-1]
    told, found = parts_of_tank._tank_size(times * largest, bar(1.0), "US")
    assert found == count
    assert (" each" in told.template) is each


@pytest.mark.parametrize(
    ("states", "needs", "needed", "precharge", "air"),
    [
        # Of what does not pass the greatest need, whatever passes; the best precharge with it.
        (("fail", "caution"), (0.1, 0.3), 0.3, "best", "pass"),
        (("caution", "fail"), (0.3, 0.1), 0.3, "best", "pass"),
        (("fail", "pass"), (0.1, 0.3), 0.1, "best", "pass"),
        (("pass", "pass"), (0.1, 0.3), None, "file", "pass"),
        (("pass", "pass"), (0.1, 0.3), None, "file", "unknown"),
        (("pass", "pass"), (0.1, 0.3), None, "best", "fail"),
        (("pass", "pass"), (0.1, 0.3), None, "best", "caution"),
        (("fail", "pass"), (0.1, 0.3), 0.1, "best", "fail"),
    ],
)
def test_a_pressure_tank_is_as_large_as_the_pump_that_asks_most(
    states: tuple[str, str],
    needs: tuple[float, float],
    needed: float | None,
    precharge: str,
    air: str,
) -> None:
    said = [
        SimpleNamespace(rule=rule, subject=name, status=state, remedy=None)
        for rule, name, state in zip((RUN_TIME, STARTS), "ab", states, strict=True)
    ]
    said.append(SimpleNamespace(rule=PRECHARGE, subject="pressure tank", status=air))
    cycles = [
        SimpleNamespace(pump=name, volume_needed=need)
        for name, need in zip("ab", needs, strict=True)
    ]
    tank = SimpleNamespace(volume=Quantity(0.05, kinds.VOLUME), count=1, greatest_pressure=None)
    result = SimpleNamespace(cycles=cycles, best_precharge=1.5e5, precharge=1.25e5, count=1)
    site = SimpleNamespace(pressure_tank=tank, site=SimpleNamespace(print_units="SI"))
    lines = lines_by_hand(site, SimpleNamespace(pressure_tank=result, heated_tank=None), said)
    with mock.patch.object(parts_of_tank, "held_by_all", return_value=None):
        parts_of_tank._pressure_tank(lines, [])
    _, line = lines.put
    told = line.size.parts
    right = {"best": 1.5e5, "file": 1.25e5}[precharge]
    assert line.state == ("to change" if precharge == "best" else "in the file")
    assert float(told["p1" if needed is None else "precharge"]) == pytest.approx(right)
    if needed is None:
        assert line.verdict is said[0 if precharge == "file" else -1]
        assert line.size.template.startswith("{p0},")
    else:
        assert float(told["needed"]) == pytest.approx(needed)
        judged = states[needs.index(needed)]
        assert line.verdict.status == judged


@pytest.mark.parametrize(
    ("held", "there", "expands", "grows", "told"),
    [
        (4e5, True, "pass", 0.5, [4e5]), (4e5, False, "pass", 0.5, [4e5]),
        (None, False, "pass", 0.5, []),
        # Hot water that grows asks more than the pump's 0.2 m3, or less, or is taken elsewhere.
        (None, True, "fail", 0.5, [0.5]), (None, True, "caution", 0.1, [0.2]),
        (None, True, "pass", 0.5, [0.2]), (None, True, "fail", None, [0.2]),
    ],
)  # fmt: skip
def test_a_pressure_tank_takes_the_growth_of_hot_water_too(
    held: float | None, there: bool, expands: str, grows: float | None, told: list[float]
) -> None:
    """A drive's tank is judged by what the drive holds; one without a result is not judged."""
    said = [
        SimpleNamespace(rule=rule, subject=subject, status=status, remedy=None)
        for rule, subject, status in (
            (RUN_TIME, "a", "fail"), (EXPANSION, "water heater", expands)
        )
    ]  # fmt: skip
    result = SimpleNamespace(
        cycles=[SimpleNamespace(pump="a", volume_needed=0.2)], best_precharge=1.5e5,
        precharge=1.25e5, count=1,
    )  # fmt: skip
    heated = SimpleNamespace(safety=SimpleNamespace(pressure=SimpleNamespace(tank_needed=grows)))
    site = SimpleNamespace(
        pressure_tank=SimpleNamespace(volume=0.05), site=SimpleNamespace(print_units="SI")
    )
    results = SimpleNamespace(pressure_tank=result if there else None, heated_tank=heated)
    lines = lines_by_hand(site, results, said)
    with (
        mock.patch.object(parts_of_tank, "held_by_all", return_value=held),
        mock.patch.object(
            parts_of_tank, "_tank_of_drive",
            lambda lines, tank, held: lines.put.append(held),
        ),
    ):  # fmt: skip
        parts_of_tank._pressure_tank(lines, [])
    found = [
        each if isinstance(each, float) else float(each.size.parts["needed"])
        for each in lines.put[1:]
    ]
    assert found == pytest.approx(told)


@pytest.mark.parametrize(
    ("opens", "status", "state"),
    [(None, "unknown", "to check"), (None, "pass", "to check"), (None, "fail", "to add"),
     (8e5, "fail", "to change"), (8e5, "pass", "in the file"), (8e5, "unknown", "to check")],
)  # fmt: skip
def test_a_relief_valve_is_told_the_greatest_flow_and_the_greatest_pressure(
    opens: float | None, status: str, state: str
) -> None:
    """Of 1, 3 and 2 L/s the 3; above the 5 bar at work, and 9 bar is more than 7. A pump that
    fills the storage tank presses nothing."""
    tables = [SimpleNamespace(name=name) for name in ("weak", "strong", "filler")]
    pumps = [SimpleNamespace(duties=duties(*flows)) for flows in ((1e-3, 3e-3), (2e-3,), (8e-3,))]
    tank = SimpleNamespace(relief_pressure=opens and Quantity(opens, kinds.PRESSURE))
    said = SimpleNamespace(rule=RELIEF, subject="pressure tank", status=status)
    site = SimpleNamespace(pump=tables, pressure_tank=tank)
    lines = lines_by_hand(site, SimpleNamespace(pumps=pumps), [said])
    with (
        mock.patch.object(parts_of_tank, "relief_sold", return_value=bar(7.5)),
        mock.patch.object(parts_of_tank, "link_of", lambda _, table: SimpleNamespace(
            to_house=table.name != "filler")),
        mock.patch.object(parts_of_tank, "tank_pressure", lambda _, table, pump: {
            "weak": 7e5, "strong": 9e5}[table.name]),
    ):  # fmt: skip
        parts_of_tank._relief(lines, 5e5)
    valve = lines.put[0]
    if opens is None and status != "fail":
        assert valve.size.parts == {"highest": 5e5, "flow": 3e-3}
        assert valve.size.parts["flow"].kind is kinds.FLOW
    else:
        flow = {} if state == "in the file" else {"p1": 3e-3}
        assert valve.size.parts == {"p0": 7.5e5 if status == "fail" else 8e5, **flow}
    assert valve.why[0].parts == {"pump": "strong", "pressure": 9e5}
    assert valve.state == state


@pytest.mark.parametrize("count", [1, 2])
@pytest.mark.parametrize(
    ("air", "precharge", "status", "state", "right"),
    [
        # 70 % (from memory) of the 4 bar that the drive holds, where the file has none or a
        # wrong one.
        (None, None, None, "in the file", 2.8),
        ("told", 2.5, None, "in the file", 2.5),
        ("told", 2.5, "pass", "in the file", 2.5),
        ("told", 3.9, "caution", "to change", 2.8),
        ("told", 4.1, "fail", "to change", 2.8),
        (None, None, "unknown", "in the file", 2.8),
    ],
)
def test_the_tank_beside_a_drive(
    air: str | None, precharge: float | None, status: str | None, state: str, right: float,
    count: int,
) -> None:  # fmt: skip
    said = SimpleNamespace(rule=HELD_PRECHARGE, subject="pressure tank", status=status)
    table: Any = SimpleNamespace(
        precharge=None if precharge is None else bar(precharge), count=count,
        volume=Quantity(0.05, kinds.VOLUME), greatest_pressure=None,
    )  # fmt: skip
    lines = lines_by_hand(None, None, [] if status is None else [said])
    parts_of_tank._tank_of_drive(lines, table, 4e5)
    (line,) = lines.put
    assert (line.state, line.count) == (state, count)
    assert line.verdict is (None if status is None else said)
    assert float(line.size.parts["p1"]) == pytest.approx(right * 1e5)
    assert line.size.parts["p1"].kind is kinds.PRESSURE
    assert (" each" in line.size.template) is (count > 1)
