"""Modules, battery, generator and the group's wire, against the verdicts they clear."""

from __future__ import annotations

import math
import re
from types import SimpleNamespace
from typing import Any
from unittest import mock

import pytest

from tests.site_texts import EXAMPLES
from tests.studies.parts.listing import lines_by_hand, listed, part, status
from wellsolar import kinds
from wellsolar.studies.parts import array, power
from wellsolar.studies.parts.power import (
    BATTERY,
    GENERATOR,
    RATING,
    SURGE,
    _battery,
    _inverter_to_add,
)
from wellsolar.studies.supply.allocation import ON_HAND
from wellsolar.studies.supply.chain_year import SHORT
from wellsolar.studies.supply.year import DAYS_SHORT
from wellsolar.units import Quantity
from wellsolar.verdicts import say


def test_modules_that_the_pump_lacks_are_to_add_and_clear_the_verdict() -> None:
    found, results = listed("village_borehole", ["array[pump array].series=1"])
    assert status(results, "array for the pump", "solar pump") == "fail"
    # 518 W of running pump over a derate of 0.77 is 673 W; a module gives 37.4 V x 8.8 A = 329 W.
    assert math.ceil(518 / 0.77 / (37.4 * 8.8)) == 3
    assert part(found, "module", "for the pumps").quantity == 3 - 1
    whole, after = listed("village_borehole", ["array[pump array].series=3"])
    assert status(after, "array for the pump", "solar pump") == "pass"
    assert not [each for each in whole.parts if (each.item, each.state) == ("module", "to add")]


def test_a_battery_too_small_is_listed_as_large_as_a_day_asks() -> None:
    # The trend behind the short test is pinned: its worse end would ask for some more.
    trend = "well.drawdown_test.trend_after=1"
    small = ["power.battery_energy=100 Wh", trend]
    found, results = listed("creek_cabin", small)
    assert status(results, "battery for the pump", "frugal pump") == "caution"
    battery = part(found, "battery")
    assert battery.state == "to change"
    joules = battery.size.parts["energy"]
    assert isinstance(joules, float)
    watt_hours = math.ceil(float(joules) / 3600)
    _, after = listed("creek_cabin", [f"power.battery_energy={watt_hours} Wh", trend])
    assert status(after, "battery for the pump", "frugal pump") == "pass"
    _, less = listed("creek_cabin", [f"power.battery_energy={watt_hours - 2} Wh", trend])
    assert status(less, "battery for the pump", "frugal pump") == "caution"


def test_a_group_beside_the_heaters_has_wire_switch_and_fuses_by_its_own_current() -> None:
    text = (EXAMPLES / "ridge_house.toml").read_text(encoding="utf-8")
    for key in ('isolator_voltage = "500 V"', 'isolator_current = "63 A"', 'string_fuse = "20 A"'):
        text = "".join(text.rpartition(f"{key}\n")[::2])
    found, _ = listed("ridge_house", text=text)
    of = "house battery"
    # Eight of 39.9 V x 1.18 at -2 degF (Table 690.7(A)) are 376.7 V. Four rows of 9.7 A: 1.25 x
    # 38.8 = 48.5 A to break, and 1.25 x 1.25 x 9.7 = 15.2 A asks the next standard fuse of 240.6,
    # 20 A.
    isolator = part(found, "isolator", of)
    assert isolator.state == "to add"
    assert "377 V" in isolator.size.text("US")
    assert "48.5 A" in isolator.size.text("US")
    fuse = part(found, "string fuse", of)
    assert (fuse.state, fuse.quantity, fuse.size.text("US")[:4]) == ("to add", 4, "20 A")
    # Carries 1.25 x 48.5 = 60.6 A.
    assert "60.7 A" in part(found, "array cable", of).size.text("US")


def test_a_generator_too_small_is_listed_with_the_rating_that_starts_the_pump() -> None:
    found, results = listed("ridge_house", ["power.generator_rating=2 kVA"])
    assert status(results, "generator start", "house pump") == "fail"
    generator = part(found, "generator")
    assert generator.state == "to change"
    needed = generator.size.parts["needed"]
    assert isinstance(needed, float)
    _, after = listed("ridge_house", [f"power.generator_rating={math.ceil(float(needed))} VA"])
    assert status(after, "generator start", "house pump") == "pass"


def test_no_part_is_made_for_less_than_the_modules_open_voltage() -> None:
    # Three modules in series at 9 degC; the motor's plate says 110 V.
    found, results = listed("village_borehole")
    volts = results.arrays[0].circuit.system_voltage
    assert volts > 110.0
    breaker = part(found, "pump breaker").size
    assert float(breaker.parts["volts"]) == pytest.approx(volts)
    text = (EXAMPLES / "south_slope.toml").read_text(encoding="utf-8")
    text = re.sub(r"record_low = .*\n|switch_voltage = .*\n|isolator_voltage = .*\n", "", text)
    found, _ = listed("south_slope", text=text)
    # Four modules of 39.9 V open by the last row of Table 690.7(A), 1.25 at -40 degC: 199.5 V.
    for item in ("isolator", "relay or controller"):
        told = part(found, item, "hot water").size.text("US")
        assert "200 V" in told, told


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        # An inverter that comes back meets the generator off the grid too.
        (["power.grid=false", "power.generator_rating=7 kVA"], "inverter or generator"),
        (["power.generator_rating=7 kVA"], "inverter or generator or grid"),
        (["power.grid=false"], ""),
    ],
)
def test_a_transfer_switch_wherever_two_sources_could_meet(keys: list[str], told: str) -> None:
    # The file keeps grid and inverter apart, and the generator from neither.
    found, _ = listed("ridge_house", keys)
    switches = [each for each in found.parts if each.item == "transfer switch"]
    assert [each.state for each in switches] == (["to add"] if told else [])
    if told:
        assert f"for {told}, " in switches[0].size.text("US")
        assert part(found, "generator inlet").state == "to check"


@pytest.mark.parametrize(
    ("key", "state"),
    [("power.pump_changeover=true", "in the file"), ("power.pump_changeover=false", "to add")],
)
def test_what_keeps_two_pumps_apart(key: str, state: str) -> None:
    found, _ = listed("ridge_house", [key, "well.tested_yield=8 gpm"])
    assert part(found, "changeover switch").state == state


def test_a_three_phase_motor_has_its_protection_checked() -> None:
    three = ["pump[1].phases=3", "pump[1].full_load_current=4.5 A"]
    relay = ["pump[1].overload=in a starter", "pump[1].overload_current=5.1 A"]
    found, _ = listed("ridge_house", three + relay)
    guard = part(found, "motor protection", "house pump")
    assert (guard.of, guard.state) == ("house pump", "to check")
    assert "in a starter, set to 5.10 A" in guard.size.text("US")
    assert "loss of a phase" in guard.size.text("US")
    none, _ = listed("ridge_house", [*three, "pump[1].overload=none"])
    guard = part(none, "motor protection", "house pump")
    assert guard.state == "to add"
    assert "for 4.50 A" in guard.size.text("US")
    # Every motor has an overload; one of a single phase has no phase to lose.
    one, _ = listed("ridge_house")
    guard = part(one, "motor protection", "house pump")
    assert guard.state == "in the file"
    assert "phase" not in guard.size.text("US")


def test_guards_of_wires_and_motors_where_their_thing_is_and_nowhere_else() -> None:
    items = {"trench conduit", "motor disconnect", "ground-fault breaker", "battery room"}
    house, _ = listed("ridge_house")
    assert items | {"surge arrester"} <= {each.item for each in house.parts}
    assert part(house, "trench conduit", "house pump").quantity == pytest.approx(120 * 0.3048)
    switch = part(house, "transfer switch")
    assert any("stops by itself" in each.text("US") for each in switch.why)
    hands, _ = listed("high_pass")
    assert not (items | {"surge arrester", "motor protection"}) & {
        each.item for each in hands.parts
    }
    village, _ = listed("village_borehole")
    words = part(village, "pump breaker").size.text("US")
    assert "between modules and controller" in words
    assert "ground-fault breaker" not in {each.item for each in village.parts}


@pytest.mark.parametrize(
    ("needed", "size"),
    # Of 0.8 and 1.2 kWh a day the more, out of a battery of which six tenths may be used: 2 kWh;
    # and of two pumps the one that asks more.
    [([[0.8, 1.2]], "at least 2.00 kWh, for a day of pumping without sun"),
     ([[0.8, 0.6], [0.3, 1.2]], "at least 2.00 kWh, for a day of pumping without sun"),
     ([], "by its maker's sheet")],
)  # fmt: skip
def test_a_battery_that_no_file_names_is_as_large_as_a_day_of_pumping_asks(
    needed: list[list[float]], size: str
) -> None:
    supply = [
        SimpleNamespace(months=[SimpleNamespace(energy_needed=each * 3.6e6) for each in months])
        for months in needed
    ]
    put: dict[str, str] = {}
    lines = SimpleNamespace(
        site=SimpleNamespace(
            array=[SimpleNamespace(feeds="battery")],
            power=SimpleNamespace(battery_energy=None, battery_usable=0.6),
        ),
        results=SimpleNamespace(supply=supply),
        worst_of_all=lambda rule: None,
        add=lambda item, size, *rest, **more: put.update({item: size.text("SI")}),
    )
    _battery(lines)  # type: ignore[arg-type]
    assert put["battery"] == size


@pytest.mark.parametrize("started", [True, False])
def test_an_inverter_to_add_bears_the_larger_of_two_pumps(started: bool) -> None:
    """At their most 800 W by 0.8 and 600 W by 0.5: 1000 and 1200 VA; a direct-current pump is no
    matter. A start that nothing tells is the motor's own."""

    def of(name: str, most: float, start: float | None) -> SimpleNamespace:
        duties = [SimpleNamespace(input_power=most), SimpleNamespace(input_power=most / 2)]
        told = start and SimpleNamespace(starting_apparent_power=start)
        return SimpleNamespace(name=name, duties=duties, start=told)

    tables = [
        SimpleNamespace(name=name, supply=supply, power_factor=factor)
        for name, supply, factor in (("a", "AC", 0.8), ("b", "AC", 0.5), ("c", "DC", 0.1))
    ]
    pumps = [of("a", 800.0, 5000.0), of("b", 600.0, 3000.0 if started else None),
             of("c", 900.0, 9000.0)]  # fmt: skip
    put: dict[str, dict[str, float]] = {}
    lines = SimpleNamespace(
        site=SimpleNamespace(pump=tables, array=[], power=SimpleNamespace(battery_energy=3.6e6)),
        results=SimpleNamespace(pumps=pumps),
        add=lambda item, size, *rest, **more: put.update({item: dict(size.parts)}),
    )
    _inverter_to_add(lines)  # type: ignore[arg-type]
    # No battery, and nothing that charges one: nothing hangs on an inverter.
    lines.site.power.battery_energy, kept = None, dict(put)
    put.clear()
    _inverter_to_add(lines)  # type: ignore[arg-type]
    assert not put
    put.update(kept)
    surge = {"surge": pytest.approx(5000.0)} if started else {}
    assert put == {"inverter": {"running": pytest.approx(1200.0), **surge}}


def test_a_generator_starts_the_hardest_of_those_that_it_fails() -> None:
    """Of 4 and 6 kVA the more; what it starts asks nothing."""
    said = [("fail", 4e3), ("fail", 6e3), ("pass", 9e3), ("unknown", None)]
    verdicts = [
        SimpleNamespace(rule=GENERATOR, status=status, remedy=None,
                        limit=limit and Quantity(limit, kinds.APPARENT_POWER))
        for status, limit in said
    ]  # fmt: skip
    put: dict[str, dict[str, float]] = {}
    lines = SimpleNamespace(
        site=SimpleNamespace(power=SimpleNamespace(generator_rating=3e3)),
        results=SimpleNamespace(verdicts=verdicts),
        worst_of_all=lambda rule: verdicts[1],
        add=lambda item, size, *rest, **more: put.update({item: dict(size.parts)}),
    )
    with mock.patch.object(power, "_transfer_switch"):
        power._generator(lines)  # type: ignore[arg-type]
    assert put == {"generator": {"needed": 6e3}}


def of_power(rule: Any, subject: str, status: str, **said: Any) -> SimpleNamespace:
    return SimpleNamespace(rule=rule, subject=subject, status=status, remedy=None, **said)


@pytest.mark.parametrize(
    ("running", "surges", "told", "shown", "state"),
    [
        # Of two that fail the more, in place of the file's 2 and 4 kVA.
        (("fail", "fail"), ("pass", "pass"), (3.5e3, 4e3), 3.5e3, "to change"),
        (("fail", "pass"), ("pass", "pass"), (3e3, 4e3), 3e3, "to change"),
        (("pass", "pass"), ("pass", "fail"), (2e3, 9e3), 9e3, "to change"),
        (("fail", "pass"), ("fail", "fail"), (3e3, 9e3), 9e3, "to change"),
        (("pass", "pass"), ("pass", "caution"), (2e3, 4e3), 9e3, "in the file"),
        (("pass", "pass"), ("pass", "pass"), (2e3, 4e3), 3e3, "in the file"),
        (("fail", "pass"), ("pass", "caution"), (3e3, 4e3), 3e3, "to change"),
        (("", ""), ("pass", "fail"), (None, 9e3), 9e3, "to change"),
        (("pass", "fail"), ("", ""), (3.5e3, None), 3.5e3, "to change"),
    ],
)
def test_an_inverter_is_as_large_as_the_pump_that_asks_most(
    running: tuple[str, str],
    surges: tuple[str, str],
    told: tuple[float | None, float | None],
    shown: float,
    state: str,
) -> None:
    """One asks 3 and the other 3.5 kVA running, 8 and 9 kVA for a start."""
    said = [
        of_power(rule, name, status, quantity=Quantity(asks, kinds.APPARENT_POWER))
        for rule, states, asked in ((RATING, running, (3e3, 3.5e3)), (SURGE, surges, (8e3, 9e3)))
        for name, status, asks in zip("ab", states, asked, strict=True)
        if status
    ]
    table = SimpleNamespace(
        inverter_rating=Quantity(2e3, kinds.APPARENT_POWER) if running[0] else None,
        inverter_surge=Quantity(4e3, kinds.APPARENT_POWER) if surges[0] else None,
        inverter_voltage=None,
    )
    pumps = [SimpleNamespace(name=name) for name in "ab"]
    lines = lines_by_hand(SimpleNamespace(power=table), SimpleNamespace(pumps=pumps), said)
    power._inverter(lines)
    (line,) = lines.put
    assert tuple(line.size.parts.values()) == tuple(each for each in told if each)
    assert (line.verdict.quantity, line.state) == (shown, state)


@pytest.mark.parametrize(
    ("status", "lasts", "told", "state"),
    [("fail", 1.0, 4.0, "to change"), ("caution", 1.6, 2.5, "to change"),
     ("pass", 1.0, 2.0, "in the file"), ("fail", None, 2.0, "in the file")],
)  # fmt: skip
def test_a_battery_of_the_file_grows_by_the_days_that_it_lacks(
    status: str, lasts: float | None, told: float, state: str
) -> None:
    """2 kWh that last one day have to be 4 kWh for two; that last 1.6 days, 2.5."""
    said = of_power(BATTERY, "pump", status, quantity=lasts, limit=2.0)
    table = SimpleNamespace(battery_energy=Quantity(7.2e6, kinds.ENERGY))
    lines = lines_by_hand(SimpleNamespace(power=table, array=()), None, [said])
    _battery(lines)
    room, line = lines.put
    assert (room.item, line.state) == ("battery room", state)
    (energy,) = line.size.parts.values()
    assert float(energy) == pytest.approx(told * 3.6e6)
    assert energy.kind is kinds.ENERGY


def test_what_charges_a_battery_bears_the_modules_and_the_cold() -> None:
    """Three times two modules of 30 V and 8 A are 1440 W; two strings of 9 A by 1.25 are 22.5 A;
    of the temperatures' voltages the more."""
    group = SimpleNamespace(series=3, parallel=2, name="field")
    module = SimpleNamespace(vmp=30.0, imp=8.0, isc=9.0)
    site = SimpleNamespace(module=module, sun=SimpleNamespace(record_low=None))
    lines = lines_by_hand(site, None)
    with mock.patch.object(power, "cold_voltages", return_value=(130.0, None, 140.0)):
        power._charging(lines, group)  # type: ignore[arg-type]
    (line,) = lines.put
    assert [line.size.parts[f"p{n}"] for n in range(3)] == [1440.0, 140.0, 22.5]
    assert line.size.parts["p0"].kind is kinds.POWER
    assert "worst cold" in line.size.template


@pytest.mark.parametrize(("spare", "lacking"), [(1, None), (0, None), (-1, 1), (-7, 7)])
def test_modules_that_are_not_on_hand(spare: int, lacking: int | None) -> None:
    said: Any = SimpleNamespace(rule=ON_HAND, subject="modules", status="fail")
    lines = lines_by_hand(None, SimpleNamespace(ledger=SimpleNamespace(spare=spare)), [said])
    array._lacking(lines)
    assert [(each.item, each.count, each.state, each.verdict) for each in lines.put] == (
        [] if lacking is None else [("module", lacking, "to add", said)]
    )
    for ledger, verdicts in ((None, [said]), (SimpleNamespace(spare=-1), [])):
        bare = lines_by_hand(None, SimpleNamespace(ledger=ledger), verdicts)
        array._lacking(bare)
        assert bare.put == []


@pytest.mark.parametrize(
    ("pairs", "lacking"),
    [([(3, 3)], None), ([(4, 3)], 1), ([(5, 3), (7, 4), (9, 8)], 3), ([(2, 3), (None, 1)], None)],
)
def test_the_most_modules_that_any_pump_lacks(
    pairs: list[tuple[int | None, int]], lacking: int | None
) -> None:
    said: list[Any] = [SimpleNamespace(rule=array.ARRAY, subject="pump", limit=limit, quantity=has)
                       for limit, has in pairs]  # fmt: skip
    lines = lines_by_hand(None, SimpleNamespace(verdicts=said), said)
    array._more_for_pumps(lines)
    assert [(each.count, each.verdict) for each in lines.put] == (
        [] if lacking is None else [(lacking, said[len(said) // 2])]
    )


@pytest.mark.parametrize(
    ("rule", "status", "remedy", "listed"),
    [
        (DAYS_SHORT, "fail", "more", True),
        (DAYS_SHORT, "caution", "more", False),
        (DAYS_SHORT, "fail", None, False),
        (SHORT, "fail", "array.series=5", True),
        (SHORT, "fail", "storage_tank.volume=500 gal", False),
    ],
)
def test_modules_through_the_year_are_listed_where_it_fails_and_they_mend_it(
    rule: Any, status: str, remedy: str | None, listed: bool
) -> None:
    year = SimpleNamespace(
        rule=rule, status=status, remedy=remedy and say(remedy), limit=None, quantity=None
    )
    lines = lines_by_hand(None, SimpleNamespace(verdicts=[year]), [year])
    changes = [SimpleNamespace(path=remedy.partition("=")[0])] if remedy and "=" in remedy else []
    with mock.patch.object(array, "changes_of", return_value=changes):
        array._more_for_pumps(lines)
    assert [(each.item, each.of, each.state) for each in lines.put] == [
        ("module", "through the year", "to add")
    ] * listed
