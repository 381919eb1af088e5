"""Bands of lines of the sheet, from a site made by hand: ends, and the kind of unit that they are
written in.

A thermostat is off by 5 K and a bond has 1 ohm at the most, as the code has them too.
"""

from __future__ import annotations

import pytest

from tests.studies.by_hand import ends, some
from wellsolar import kinds
from wellsolar.studies.sheet import dead, guards, heat, power, water
from wellsolar.units import Quantity

PSI = 6894.757


@pytest.mark.parametrize(
    ("thermostats", "band"),
    [
        # 20 degF, 11.1 K, above the valve's 49 degC, and 10 K; of a tank that gets less warm as
        # far below its thermostat as that may be off.
        ((65.0, 60.0), (60.111, 70.111)), ((None, None), (60.111, 70.111)),
        ((60.111 + 1e-3,), (60.111, 70.111)), ((58.0, 50.0), None), ((), (60.111, 70.111)),
    ],
)  # fmt: skip
def test_how_warm_a_tank_must_be_to_try_its_valve(
    thermostats: tuple[float | None, ...], band: tuple[float, float] | None,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    for name, value in (("boxes_of", []), ("flag_lines", []), ("heater_supplies", ["x"]),
                        ("filling", ()), ("_switches", ["x"])):  # fmt: skip
        monkeypatch.setattr(heat, name, lambda *asked, value=value: value)
    elements = tuple(some(thermostat=each, fed_by="grid") for each in thermostats)
    heater = some(mixing_valve=some(outlet=49.0), element=elements)
    (step,) = heat._first_heat(some(site=None), heater)
    first, second = step.lines
    low = 53.0 if band is None else band[0]
    high = low + 10.0 if band is None else band[1]
    assert ends(first.expected) == pytest.approx((low, low, high), abs=1e-3)
    assert first.expected is not None
    assert first.expected.kind is kinds.TEMPERATURE
    assert second.proves == "water_heater.mixing_valve"
    heater.mixing_valve = None
    assert heat._first_heat(some(site=None), heater) == []


def test_the_thermostat_of_a_second_tank() -> None:
    heater = some(second_tank=some(thermostat=55.0))
    (step,) = heat._second_tank(heater)
    (line,) = step.lines
    assert ends(line.expected) == (50.0, 55.0, 60.0)
    assert line.expected is not None
    assert line.expected.kind is kinds.TEMPERATURE
    assert heat._second_tank(some(second_tank=None)) == []
    switched = tuple(some(surplus_switch=each, position="") for each in (None, "none", "relay"))
    (surplus,) = heat._surplus_switches(some(water_heater=some(element=switched)))
    assert surplus.proves == "water_heater.element[3].surplus_switch"


def test_voltages_and_pressures_by_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    """5 % of an inverter's 240 V; 2 psi of a reducing valve at 50, and nothing lost but 2."""
    monkeypatch.setattr(power, "power_sources", lambda site: ["grid", "inverter"])
    site = some(power=some(inverter_voltage=Quantity(240.0, kinds.VOLTAGE)))
    (step,) = power._sources(site)
    inverter, apart = step.lines
    assert ends(inverter.expected) == pytest.approx((228.0, 240.0, 252.0))
    assert inverter.expected is not None
    assert inverter.expected.kind is kinds.VOLTAGE
    assert apart.text == "with the inverter on, voltage toward the grid"
    site.power.inverter_voltage = None
    assert len(power._sources(site)[0].lines) == 1
    monkeypatch.setattr(power, "power_sources", lambda site: ["grid"])
    assert power._sources(site) == []
    tank = some(pressure_tank="tank", piping=some(reducing_valve=50 * PSI))
    lost, held = power._holds(tank, last=True)
    assert ends(lost.expected) == pytest.approx((0.0, 0.0, 2 * PSI))
    assert ends(held.expected) == pytest.approx((48 * PSI, 50 * PSI, 52 * PSI))
    assert held.expected is not None
    assert held.expected.kind is kinds.PRESSURE
    assert len(power._holds(tank, last=False)) == 1
    tank.piping.reducing_valve = None
    assert len(power._holds(tank, last=True)) == 1
    tank.pressure_tank = None
    assert power._holds(tank, last=True) == []


def test_each_source_alone_and_the_first_again() -> None:
    moves, after = power._one_by_one(["grid", "inverter", "generator"])
    assert [str(move.to) for move in moves[:3]] == ["grid", "inverter", "generator"]
    assert [move.thing for move in moves[3:]] == ["generator", "generator"]
    assert [move.to for move in moves[3:]] == ["on", "off"]
    assert [move.to for move in after] == ["grid"]
    assert power._one_by_one(["grid"]) == ((), ())
    assert len(power._one_by_one(["grid", "inverter"])[0]) == 2


@pytest.mark.parametrize(("record", "cold"), [(None, 0.0), (-12.0, -12.0)])
def test_open_voltages_from_the_cold_to_a_hot_dim_day(
    record: float | None, cold: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where a module has a volt for each W/m2 less a tenth for each degree; 3 by 2 of them."""
    monkeypatch.setattr(dead.module, "at_conditions", lambda of, light, cells: light - cells / 10)
    monkeypatch.setattr(
        dead.module, "array_of", lambda one, series, parallel: one * series + parallel
    )
    monkeypatch.setattr(dead.resistive, "open_circuit_voltage", lambda array: array)
    site = some(sun=some(record_low=record))
    found = dead._open_voltage(site, None, some(series=3, parallel=2))  # type: ignore[arg-type]
    low, high = 3 * (300.0 - 6.5) + 2, 3 * (1000.0 - cold / 10) + 2
    assert ends(found) == pytest.approx((low, (low + high) / 2, high))
    assert found.kind is kinds.VOLTAGE
    # IEC 62446-1:2016 (from memory): 250 V below 120 V, 500 V below 500 V, else 1000 V.
    for rows, volts, tester in ((1, 119.0, "250 V"), (2, 120.0, "500 V"), (3, 500.0, "1000 V")):
        circuit = some(system_voltage=volts)
        monkeypatch.setattr(dead, "array_circuit", lambda *_, circuit=circuit: circuit)
        lines = dead._of_group(site, some(series=3, parallel=rows), None)  # type: ignore[arg-type]
        texts = [str(each) for each in lines]
        assert ["each string" in each for each in texts] == [rows > 1, rows > 1, False]
        assert f"at {tester} dc" in texts[2]


def test_a_bond_has_no_more_than_its_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(dead, "views", lambda site: [])
    site = some(pump=(), array=(), water_heater="heater", pressure_tank=None)
    (step,) = dead._bonding(site)
    (line,) = step.lines
    assert ends(line.expected) == (0.0, 0.5, 1.0)
    assert line.expected is not None
    assert line.expected.kind is kinds.RESISTANCE
    site.water_heater = None
    assert dead._bonding(site) == []


@pytest.mark.parametrize(("time", "flow", "there"), [(80.0, 1e-4, True), (0.0, 1e-4, False),
                                                     (80.0, 0.0, False)])  # fmt: skip
def test_a_lift_fills_a_bucket_in_a_quarter_more_or_less(
    time: float, flow: float, there: bool
) -> None:
    lift = some(task=lambda key: some(time=time), flow=flow, name="rope")
    job = some(case=some(hand_pump=None, lifts=(lift,)), site=some(pump=()))
    steps = water._hands(job)
    assert [step.key for step in steps] == ["lift_1"] * there
    if there:
        value = steps[0].lines[0].expected
        assert ends(value) == (60.0, 80.0, 100.0)
        assert value is not None
        assert value.kind is kinds.DURATION


def test_how_soon_rapid_shutdown_takes_the_voltage_off() -> None:
    """NEC 690.12: 10 s by the edition of 2014, 30 s from that of 2017, second hand."""
    for edition, told in ((2014, "10 s"), (2017, "30 s"), (2020, "30 s")):
        assert guards._seconds(some(site=some(code_edition=edition))) == told
    assert guards._seconds(some(site=some(code_edition=None))).startswith("30 s, 10 s by")


@pytest.mark.parametrize(
    ("supplies", "flagged", "proven"),
    [(["grid"], 0, []), (["generator"], 0, []), (["grid", "inverter"], 0, ["kept_apart"]),
     (["grid", "inverter"], 1, []),
     (["grid", "generator"], 0, ["kept_apart", "transfer_neutral"])],
)  # fmt: skip
def test_two_supplies_are_proven_apart(
    supplies: list[str], flagged: int, proven: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Unless a flag of the file has its own line of it."""
    monkeypatch.setattr(guards, "power_sources", lambda site: supplies)
    monkeypatch.setattr(guards, "flag_lines", lambda site, flag: ["own"] * flagged)
    told = guards._transfer(some())[flagged:]
    assert [line.proves for line in told] == [f"power.{each}" for each in proven]


def test_strokes_into_a_tank_by_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    """Those of the fill as they were told; 20 L by 0.4 L a stroke. Its relief valve is lifted
    first."""
    for name in ("hand_into_tank", "hand_at_rest"):
        monkeypatch.setattr(water, name, lambda site: ())
    monkeypatch.setattr(water, "into_tank", lambda site: site)
    monkeypatch.setattr(water, "hand_relief", lambda site: ["plate", "lifted"])
    hand = some(draws_water=True, task=lambda key: some(strokes=120.0),
                duty=lambda key: some(stroke_volume=4e-4))  # fmt: skip
    (step,) = water._into_the_tank(some(), hand, "")
    lifted, fill, bucket = step.lines
    assert lifted == "lifted"
    assert (float(fill.expected), float(bucket.expected)) == pytest.approx((120.0, 50.0))
    assert step.title == "Hand pump into the storage tank"
    bare = some(draws_water=True, task=lambda key: some(strokes=None), duty=lambda key: None)
    (step,) = water._into_the_tank(some(), bare, "")
    assert (step.lines, step.title) == (("lifted",), "Hand pump into the tank")
    assert water._into_the_tank(some(), some(draws_water=False), "") == []
    assert water._into_the_tank(None, hand, "") == []  # type: ignore[arg-type]
