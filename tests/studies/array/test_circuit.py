"""Voltage and current of a group of modules beside what it feeds and what it hangs on."""

from __future__ import annotations

import math
from dataclasses import dataclass
from types import SimpleNamespace
from typing import Any

import pytest
from pvlib import pvsystem

from tests.studies.composing import case_of, diode, parameters
from wellsolar import kinds
from wellsolar.studies.array import circuit, cold_voltage, coupling
from wellsolar.studies.array.circuit import ArrayLimits
from wellsolar.studies.array.heater_circuit import HeaterCircuit, circuit_of, plate_of
from wellsolar.units import Quantity
from wellsolar.verdicts import changes_of


def volts(value: float | None) -> Any:
    return None if value is None else Quantity(value, kinds.VOLTAGE)


class Group(SimpleNamespace):
    """A group of the file, as far as these ask for it."""

    def model_copy(self, *, update: dict[str, Any]) -> Group:
        return Group(**{**vars(self), **update})


def group_of(**others: Any) -> Any:
    has = {
        "name": "roof", "feeds": "pump", "series": 2, "parallel": 1, "least_input_voltage": None,
        "greatest_input_voltage": None, "overcurrent": None, "string_fuse": None, "cable": None,
    }  # fmt: skip
    return Group(**{**has, **others})


def pump_of(
    head: float,
    voltage: float = 100.0,
    supply: str = "DC",
    kind: str = "submersible",
    **others: Any,
) -> Any:
    return SimpleNamespace(
        voltage=volts(voltage), supply=supply, kind=kind, head=(head, 0.5 * head), **others
    )


def array_of(volts_at_work: float, hot: float, series: int = 2, **others: Any) -> Any:
    """An array of modules of 50 V each, open in the cold."""
    drawn = {"system_voltage": 50.0 * series, "mild_voltage": 40.0 * series, "cold_told": True}
    return SimpleNamespace(
        path="array[1]", working_voltage=volts_at_work, hot_voltage=hot,
        circuit=SimpleNamespace(**{**drawn, **others}),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("group", "pumps", "most", "least"),
    [
        ((450.0, 80.0), [(400.0, 100.0)], 400.0, 100.0),
        ((350.0, 120.0), [(400.0, 100.0), (None, None)], 350.0, 120.0),
        ((None, None), [(400.0, 100.0), (380.0, 110.0)], 380.0, 110.0),
        ((None, None), [(None, None)], None, None),
    ],
)
def test_the_tighter_window_of_group_and_drives(
    group: tuple[float | None, ...], pumps: list[tuple[float | None, ...]], most: float | None,
    least: float | None,
) -> None:  # fmt: skip
    told = group_of(
        greatest_input_voltage=volts(group[0]), least_input_voltage=volts(group[1])
    )  # fmt: skip
    site: Any = SimpleNamespace(pump=[
        SimpleNamespace(greatest_voltage=volts(top), least_voltage=volts(low))
        for top, low in pumps
    ])  # fmt: skip
    found = circuit.behind_drive(site, told)
    assert (found.greatest_input_voltage, found.least_input_voltage) == (most, least)
    told.feeds = "battery"  # No drive of a pump stands behind it.
    assert circuit.behind_drive(site, told) is told


@pytest.mark.parametrize(
    ("pump", "at", "full", "head"),
    [
        # Half the speed lifts a quarter; above its voltage a motor turns no faster.
        (pump_of(80.0), 50.0, 100.0, 20.0),
        (pump_of(80.0), 130.0, 100.0, 80.0),
        # A drive makes alternating current up to its direct voltage over the root of two.
        (pump_of(80.0, 230.0, "AC"), 162.634560, 325.269119, 20.0),
    ],
)
def test_the_head_of_a_motor_on_less_than_its_voltage(
    pump: Any, at: float, full: float, head: float
) -> None:
    """Affinity laws: head with the square of the speed."""
    assert circuit._full_voltage(pump) == pytest.approx(full, rel=1e-6)
    assert circuit._head_at(pump, at) == pytest.approx(head, rel=1e-6)


@pytest.mark.parametrize(
    ("feeds", "pumps", "level", "above", "limit"),
    [
        # At 50 of 100 V 80 m of head are 20; lifting 30 + 10 m asks the root of 40 / 80.
        ("pump", [pump_of(80.0)], 30.0, 10.0, 100.0 * math.sqrt(0.5)),
        ("pump", [pump_of(80.0)], 15.0, 5.0, None),
        ("pump", [pump_of(80.0)], 16.0, 5.0, 100.0 * math.sqrt(21.0 / 80.0)),
        # The best of two pumps, which lifts 80 m at most, by 20 m at 50 V.
        ("pump", [pump_of(60.0), pump_of(80.0)], 18.0, 0.0, None),
        ("pump", [pump_of(60.0), pump_of(80.0)], 21.0, 0.0, 100.0 * math.sqrt(21.0 / 80.0)),
        # A battery is no motor; of a pump without a plate, or of suction, nobody knows.
        ("battery", [pump_of(80.0)], 30.0, 10.0, None),
        ("pump", [], 30.0, 10.0, None),
        ("pump", [pump_of(80.0), SimpleNamespace(voltage=None, kind="submersible")], 30.0, 10.0,
         None),
        ("pump", [pump_of(80.0), pump_of(80.0, kind="suction")], 30.0, 10.0, None),
    ],
)  # fmt: skip
def test_a_motor_that_lifts_nothing_is_known_to_fail(
    monkeypatch: pytest.MonkeyPatch, feeds: str, pumps: list[Any], level: float, above: float,
    limit: float | None,
) -> None:  # fmt: skip
    seen = SimpleNamespace(
        well=SimpleNamespace(static_level=level), piping=SimpleNamespace(tank_elevation=above)
    )
    deeper = SimpleNamespace(well=SimpleNamespace(static_level=999.0), piping=seen.piping)
    wells = [seen, deeper]  # The least that any of them lifts counts.
    monkeypatch.setattr(circuit, "at_well", lambda site, pump: wells[pump is not pumps[0]])
    site: Any = SimpleNamespace(pump=pumps, module=None, sun=SimpleNamespace(temperature=None))
    found = circuit.operating_voltage_verdict(site, group_of(feeds=feeds), array_of(50.0, 45.0))
    assert found.subject == "roof"
    if limit is None:
        assert (found.status, found.needs) == ("unknown", ("array[1].least_input_voltage",))
        return
    assert (found.status, found.quantity) == ("fail", 50.0)
    assert found.limit == pytest.approx(limit)
    lift, head = (found.reason.parts[key] for key in ("lift", "head"))
    assert (float(lift), float(head)) == pytest.approx((level + above, 20.0))  # type: ignore[arg-type]
    assert (lift.kind, head.kind) == (kinds.LENGTH, kinds.HEAD)  # type: ignore[union-attr]
    # 22.5 V of a hot module: five of them make 100 V.
    assert [str(change) for change in changes_of(found.remedy)] == [
        "array[1].series=5", 'array[1].least_input_voltage="100 V"',
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("work", "hot", "air", "status", "quantity"),
    [
        (100.0, 90.0, True, "pass", 90.0),
        (100.0, 79.0, True, "caution", 79.0),
        (79.0, 70.0, True, "fail", 79.0),
        # Without the air between cells at 25 degC and at 70 degC nobody knows.
        (100.0, 90.0, False, "pass", 90.0),
        (100.0, 79.0, False, "unknown", None),
        (79.0, 70.0, False, "fail", 79.0),
        # What prints like the limit keeps it: 79.99 V are 80.0 V.
        (79.99, 79.99, True, "pass", 79.99),
    ],
)
def test_voltage_at_work_beside_the_least_that_it_starts_on(
    work: float, hot: float, air: bool, status: str, quantity: float | None
) -> None:
    site: Any = SimpleNamespace(
        module=None, sun=SimpleNamespace(temperature=(20.0,) if air else None)
    )
    group = group_of(least_input_voltage=volts(80.0))
    found = circuit.operating_voltage_verdict(site, group, array_of(work, hot))
    assert (found.status, found.quantity) == (status, quantity)
    assert found.needs == (("sun.temperature",) if status == "unknown" else ())
    for missing in (array_of(work, None), array_of(None, hot)):  # type: ignore[arg-type]
        unknown = circuit.operating_voltage_verdict(site, group, missing)
        assert (unknown.status, unknown.needs) == ("unknown", ("module.vmp", "module.imp"))


@pytest.mark.parametrize(
    ("least", "cold_told", "most", "changes"),
    [
        # 20 V of each hot module: 80 V are just four of them, 81 V five.
        (80.0, True, None, ["array[1].series=4"]),
        (81.0, True, None, ["array[1].series=5"]),
        # Open in the cold each has 50 V, in mild air 40 V: five are 250 and 200 V.
        (81.0, True, 250.0, ["array[1].series=5"]),
        (81.0, True, 240.0, []),
        (81.0, False, 240.0, ["array[1].series=5"]),
        (81.0, False, 190.0, []),
    ],
)
def test_as_many_in_series_as_it_starts_on_and_the_cold_allows(
    least: float, cold_told: bool, most: float | None, changes: list[str]
) -> None:
    site: Any = SimpleNamespace(module=None)
    group = group_of(greatest_input_voltage=volts(most))
    array = array_of(50.0, 40.0, cold_told=cold_told)
    found = circuit._longer(site, group, array, least)
    assert [str(change) for change in changes_of(found)] == changes
    told = circuit._longer(site, group, array, least + 0.4, "array[1].key")
    if changes:
        # A whole volt that it is sure to start on.
        assert str(changes_of(told)[1]) == f'array[1].key="{least:.0f} V"'


@dataclass
class _Wire:
    metric: bool
    small_conductor_limit: float | None


@pytest.mark.parametrize(
    ("ampacity", "thin", "borne"),
    [
        # NEC 240.6(A): 25, 30, 35 A; 240.4(D) lets 10 AWG no more than 30 A (second hand).
        (27.0, None, 30.0), (30.0, None, 30.0), (32.0, 30.0, 30.0), (22.0, 30.0, 25.0),
        (1e5, 30.0, 30.0), (None, 30.0, None),
    ],
)  # fmt: skip
def test_the_largest_device_that_a_wire_bears(
    monkeypatch: pytest.MonkeyPatch, ampacity: float | None, thin: float | None,
    borne: float | None,
) -> None:  # fmt: skip
    monkeypatch.setattr(circuit.wire_table, "wire", lambda gauge: _Wire(False, thin))
    monkeypatch.setattr(circuit.wiring, "ampacity", lambda wire, cable: ampacity)
    group = group_of(cable=SimpleNamespace(gauge="10 AWG"))
    assert circuit._borne(group) == borne
    assert circuit._ampacity(group) == ampacity
    assert circuit._borne(group_of()) is circuit._ampacity(group_of()) is None


@pytest.mark.parametrize(
    ("rows", "carried", "device", "switched", "voltage", "rewired", "breach"),
    [
        # 8 A a row are 10 A by 690.8(A) and 12.5 A by 690.8(B); two in series 100 V in the cold.
        (1, None, None, math.inf, 100.0, False, None),
        (1, None, None, math.inf, 99.0, False, "over_voltage"),
        (1, None, None, 9.9, 200.0, False, "over_current"),
        (1, None, None, 10.1, 200.0, False, None),
        (2, None, None, 19.9, 200.0, False, "over_current"),
        (2, 24.9, None, 20.1, 200.0, False, "over_current"),
        (2, 25.1, None, 20.1, 200.0, False, None),
        (2, 24.9, None, 20.1, 200.0, True, None),
        (2, 25.1, 24.0, 20.1, 200.0, False, "over_current"),
        (2, 25.1, 24.0, 20.1, 200.0, True, "over_current"),
        (2, 24.9, 30.0, 20.1, 200.0, False, "over_current"),
    ],
)
def test_which_limit_another_array_breaks(
    monkeypatch: pytest.MonkeyPatch, rows: int, carried: float | None, device: float | None,
    switched: float, voltage: float, rewired: bool, breach: str | None,
) -> None:  # fmt: skip
    def cold(site: Any, wired: Any) -> tuple[float | None, float]:
        assert wired.parallel == rows
        return (None if rows == 2 else 45.0 * wired.series), 50.0 * wired.series

    monkeypatch.setattr(circuit, "cold_voltages", cold)
    site: Any = SimpleNamespace(module=SimpleNamespace(isc=8.0))
    on: Any = SimpleNamespace(group=group_of(overcurrent=device, series=9))
    limits = ArrayLimits(site, on, voltage, switched, carried)
    assert limits.breach(2, rows, rewired) == breach


def test_three_rows_ask_for_fuses_where_there_are_none() -> None:
    """NEC 690.9(A), second hand: two rows drive back no more than one."""
    for told, rows in (({}, 3), ({"overcurrent": 30.0}, 99), ({"string_fuse": 15.0}, 99)):
        on: Any = SimpleNamespace(group=group_of(**told))
        limits = ArrayLimits(None, on, 600.0, math.inf, None)  # type: ignore[arg-type]
        assert [limits.asks_a_fuse(each) for each in (1, 2, 3, 4)] == [
            each >= rows for each in (1, 2, 3, 4)
        ]


def test_what_drives_each_of_several_elements(monkeypatch: pytest.MonkeyPatch) -> None:
    """100 V through 2 ohm of cable on 12 and 48 ohm, in 1250 W/m2 and the coldest cells; whatever
    stands between has the most that it may do."""
    of: Any = SimpleNamespace(coupling=coupling.Direct(), named_cable=2.0,
                              array=lambda sun, cell: (sun, cell))  # fmt: skip
    monkeypatch.setattr(circuit, "coldest_cell", lambda _: -10.0)
    through = {(1250.0, -10.0): lambda ohms, wire: SimpleNamespace(current=100 / (ohms + wire))}
    monkeypatch.setattr(
        circuit.resistive, "on_resistance", lambda array, ohms, wire: through[array](ohms, wire)
    )
    found = circuit.each_driven_to(None, of, [12.0, 48.0])  # type: ignore[arg-type]
    assert found == pytest.approx([100 * 12 / 14, 100 * 48 / 50])
    of.coupling = None

    def with_one(_: Any, resistance: float) -> Any:
        hardest = SimpleNamespace(at=lambda sun, cell: SimpleNamespace(
            voltage=resistance + sun - cell))  # fmt: skip
        return SimpleNamespace(hardest=lambda: hardest)

    monkeypatch.setattr(circuit, "replace", with_one)
    assert circuit.each_driven_to(None, of, [12.0, 48.0]) == [1272.0, 1308.0]  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("driven", "plate", "within"),
    [(240.0, 240.0, True), (240.1, 240.0, False), (230.0, 240.0, True)],
)
def test_never_above_its_plate(
    monkeypatch: pytest.MonkeyPatch, driven: float, plate: float, within: bool
) -> None:
    monkeypatch.setattr(circuit, "driven_to", lambda site, of: driven)
    assert circuit.within_plate(None, None, plate) is within  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("thermostat", "high_limit", "coupling", "volts_borne", "amperes"),
    [
        # Of alternating current, behind a relay of their own, they switch nothing of the modules.
        ("AC", "AC", "direct", 450.0, 30.0), ("DC", "AC", "direct", 250.0, 20.0),
        ("AC", "relay", "direct", 240.0, 15.0), ("AC", "DC", "tracking", 200.0, 15.0),
        ("AC", None, "tracking", 200.0, 30.0),
    ],
)  # fmt: skip
def test_what_a_site_bears_of_another_array(
    thermostat: str, high_limit: str | None, coupling: str, volts_borne: float, amperes: float
) -> None:
    """An isolator of 500 V and 30 A, modules of 450 V."""
    group = group_of(isolator_voltage=500.0, isolator_current=30.0)
    element = SimpleNamespace(
        thermostat_switches=thermostat, high_limit_switches=high_limit, coupling=coupling,
        switch_voltage=250.0, switch_current=20.0, high_limit_voltage=240.0,
        high_limit_current=15.0, tracker_greatest_input=200.0,
    )  # fmt: skip
    site: Any = SimpleNamespace(module=SimpleNamespace(greatest_system_voltage=450.0))
    on: Any = SimpleNamespace(element=element, group=group)
    found = circuit.limits_of(site, on)
    assert (found.voltage, found.switched, found.carried) == (volts_borne, amperes, None)
    group.isolator_current = None
    if (thermostat, high_limit) == ("AC", "AC"):
        assert circuit.limits_of(site, on).switched == math.inf


@pytest.mark.parametrize(("rows", "by_table"), [(2, None), (3, 400.0), (3, 380.0)])
def test_what_a_group_comes_to(
    monkeypatch: pytest.MonkeyPatch, rows: int, by_table: float | None
) -> None:
    """Nine of 40 V and 8 A: 1.25 of each row's current by NEC 690.8(A), 1.25 of that by (B), and
    the next of 15, 35, 40 A above (240.6(A)); from three rows on a fuse in each (690.9(A))."""
    module = SimpleNamespace(voc=40.0, isc=8.0, vmp=32.0, imp=7.5)
    site: Any = SimpleNamespace(module=module, limits=SimpleNamespace(voltage_drop=0.03))
    group = group_of(series=9, parallel=rows)
    monkeypatch.setattr(circuit, "cold_voltages", lambda *_: (390.0, by_table))
    cold = SimpleNamespace(temperature=-10.0, told=True)
    monkeypatch.setattr(circuit, "cold_of", lambda _: cold)
    monkeypatch.setattr(circuit.wiring, "in_mm2", lambda *_: False)
    found = circuit.array_circuit(site, group)
    assert (found.mild_voltage, found.system_voltage) == (360.0, max(390.0, by_table or 0.0))
    assert (found.cold_voltage, found.cold_voltage_table) == (390.0, by_table)
    assert (found.row_current, found.current) == pytest.approx((10.0, 10.0 * rows))
    assert found.conductor_current == pytest.approx(12.5 * rows)
    assert (found.overcurrent_asked, found.row_fuse) == ({2: 25.0, 3: 40.0}[rows], 15.0)
    assert found.string_fuse == (15.0 if rows == 3 else None)
    # At its maximum power 9 x 32 V and 7.5 A of each row.
    loads: list[Any] = []
    monkeypatch.setattr(circuit.wiring, "array_load", lambda *load: loads.append(load))
    monkeypatch.setattr(circuit.wiring, "wire_run", lambda *run: run[1:])
    assert circuit.plain_wire(site, group) is None
    group.cable = SimpleNamespace(length=30.0)
    assert circuit.plain_wire(site, group) == (30.0, None, 0.03, False)
    assert loads == [(8.0, 7.5 * rows, 288.0, rows, False)]


@pytest.mark.parametrize(
    ("air", "cells"), [((10.0, 30.0, 20.0), (60, 70)), ((45.0,), (75, 75)), (None, (25, 70))]
)
def test_cells_at_which_voltages_at_work_are_taken(
    monkeypatch: pytest.MonkeyPatch, air: tuple[float, ...] | None, cells: tuple[float, float]
) -> None:
    """30 K over the air of the hottest month, as of the sheet without any; hot ones at 70 degC."""
    monkeypatch.setattr(circuit, "parameters_of", lambda _: None)
    monkeypatch.setattr(
        circuit.tilted_plane, "cell_temperature", lambda sun, air, wind: air + 0.03 * sun
    )
    monkeypatch.setattr(circuit.module, "at_conditions", lambda _, sun, cell: cell * sun / 1e3)
    monkeypatch.setattr(circuit.module, "array_of", lambda one, series, rows: one * series / rows)
    monkeypatch.setattr(
        circuit.resistive, "maximum_power_point", lambda array: SimpleNamespace(voltage=array)
    )
    site: Any = SimpleNamespace(module=object(), sun=SimpleNamespace(temperature=air))
    found = circuit.working_voltages(site, group_of(series=6, parallel=2))
    assert found == pytest.approx([3 * each for each in cells])


@pytest.mark.parametrize(
    ("named", "wired", "ratios"),
    # Two of 240 V and 2400 W are 24 ohm each: 12, 24 or 48 ohm.
    [(None, 12.0, (1.0, 2.0, 4.0)), (None, 48.0, (0.25, 0.5, 1.0)),
     ((30, 6, 30), 12.0, (0.5, 2.5))],
)  # fmt: skip
def test_resistances_to_which_relays_switch(
    named: tuple[float, ...] | None, wired: float, ratios: tuple[float, ...]
) -> None:
    element: Any = SimpleNamespace(
        coupling="switched", switch_irradiances=None, switched_resistances=named, count=2,
        rated_power=2400.0, rated_voltage=240.0,
    )  # fmt: skip
    found = coupling.coupling_of(element, wired)
    assert isinstance(found, coupling.Switched)
    assert found.ratios == pytest.approx(ratios)
    assert found.resistances(30.0) == pytest.approx([30.0 * ratio for ratio in ratios])


@pytest.mark.parametrize(
    ("limit", "working", "changes"),
    [
        # Ten of 50 V: 320 V bear six, 60 V one, 49 V none. Six of 41.5 V at work are just under
        # the 250 V that the drive starts on.
        (320.0, None, ["array[1].series=6"]), (60.0, None, ["array[1].series=1"]),
        (49.0, None, []), (320.0, 415.0, []), (320.0, 420.0, ["array[1].series=6"]),
    ],
)  # fmt: skip
def test_as_few_in_series_as_are_borne(
    limit: float, working: float | None, changes: list[str]
) -> None:
    group = group_of(least_input_voltage=volts(250.0), greatest_input_voltage=volts(limit))
    array: Any = SimpleNamespace(series=10, system_voltage=500.0)
    found = cold_voltage._shorter(group, "array[1]", array, volts(limit), working)
    assert [str(change) for change in changes_of(found)] == changes


def test_six_modules_on_two_elements_by_pvlib() -> None:
    """Two of 1500 W on 120 V in a row have 19.2 ohm on 240 V, a quarter of which in a cable that
    no file names takes a fifth of the power; readings count on the 2 ohm of one that is named."""
    of = parameters(case_of("south_slope").site)
    two: Any = SimpleNamespace(
        count=2, wired="series", rated_power=1500.0, rated_voltage=120.0, coupling="direct",
        temperature_coefficient=None,
    )  # fmt: skip
    assert plate_of(two) == (3000.0, 240.0)
    unnamed = circuit_of(of, group_of(series=3, parallel=2), two, wiring_loss=0.2)
    assert (unnamed.resistance, unnamed.assumed_cable) == pytest.approx((19.2, 4.8))
    assert (unnamed.cable_resistance, unnamed.named_cable) == pytest.approx((4.8, 0.0))
    named = HeaterCircuit(of, 3, 2, 19.2, 6.8, assumed_cable=4.8)
    point, array = named.point(800.0, 40.0), diode(of, 800.0, 40.0, 3, 2)
    amps = pvsystem.i_from_v(0.0, array[0], array[1], array[2] + 19.2 + 2.0, array[3], array[4])
    found = (point.current, point.voltage, point.power, point.cable_loss, point.maximum_power)
    best = pvsystem.singlediode(*array)["p_mp"]
    told = (amps, 19.2 * amps, 19.2 * amps**2, 2.0 * amps**2, best)
    assert found == pytest.approx(told, rel=1e-5)
    full = pvsystem.singlediode(*diode(of, 1000.0, 25.0, 3, 2))
    assert named.matched_resistance() == pytest.approx(full["v_mp"] / full["i_mp"], rel=1e-4)
