"""The steps of a pump's power and of a battery's surplus, on made-up sites, by hand."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from wellsolar import kinds
from wellsolar.studies.supply import chain_year, diversion, rule_of_thumb, system
from wellsolar.studies.supply.diversion import Spill
from wellsolar.units import Quantity
from wellsolar.verdicts import changes_of

DAY, HOUR, KWH = 86_400.0, 3600.0, 3.6e6


def group(feeds: str = "battery", series: int = 2, parallel: int = 1) -> Any:
    return SimpleNamespace(feeds=feeds, series=series, parallel=parallel)


@pytest.mark.parametrize(
    ("added", "on_hand", "changes"),
    [
        # Rows of three: one or three modules more are a row, four are two; the tank has 4 x 2.
        (1, None, ["array[2].parallel=3"]),
        (3, None, ["array[2].parallel=3"]),
        (4, None, ["array[2].parallel=4"]),
        # 8 + 6 are used and 3 come to them.
        (1, 17, ["array[2].parallel=3"]),
        (1, 16, ["array[2].parallel=3", "module.on_hand=17"]),
        (4, 17, ["array[2].parallel=4", "module.on_hand=20"]),
    ],
)
def test_more_rows_of_the_first_group_that_feeds(
    added: int, on_hand: int | None, changes: list[str]
) -> None:
    site: Any = SimpleNamespace(
        array=[group("heater", 4, 2), group(series=3, parallel=2)],
        module=SimpleNamespace(on_hand=on_hand),
    )  # fmt: skip
    assert [str(change) for change in system.more_rows(site, added)] == changes
    site.module = None
    assert len(system.more_rows(site, added)) == 1


@pytest.mark.parametrize(
    ("feeds", "direct"),
    [([], False), (["heater"], False), (["pump"], True), (["heater", "pump"], True),
     (["pump", "battery"], False), (["battery"], False)],
)  # fmt: skip
def test_straight_off_the_modules(feeds: list[str], direct: bool) -> None:
    site: Any = SimpleNamespace(array=[group(each) for each in feeds])
    assert system.is_direct(site) is direct
    places = [place for place, each in enumerate(feeds) if each != "heater"]
    assert [place for place, _ in system.feeders(site)] == places


@pytest.mark.parametrize(
    ("kwh", "rounded"), [(2.01, 2.1), (2.1, 2.1), (2.0999, 2.1), (0.05, 0.1), (3.0, 3.0)]
)
def test_a_battery_is_named_by_tenths(kwh: float, rounded: float) -> None:
    assert system.rounded_battery(kwh * KWH) == pytest.approx(rounded * KWH)


@pytest.mark.parametrize(
    ("supply", "other", "inverter", "idle", "load"),
    [
        # 2.4 kWh a day of other use are 100 W, and of the battery 125 W by an inverter of 0.8.
        ("AC", 2.4 * KWH, 0.8, 30.0, 100.0), ("AC", None, 0.8, 30.0, 0.0),
        ("DC", 2.4 * KWH, 1.0, 30.0, 125.0), ("DC", None, 1.0, 0.0, 0.0),
    ],
)  # fmt: skip
def test_battery_and_inverter_before_a_pump(
    supply: str, other: float | None, inverter: float, idle: float, load: float
) -> None:
    site: Any = SimpleNamespace(power=SimpleNamespace(
        other_use=other, battery_efficiency=0.81, battery_usable=0.5, inverter_idle=30.0,
        inverter_efficiency=0.8,
    ))  # fmt: skip
    made = system.battery_system(site, supply, 10.0 * KWH)
    assert made.usable_capacity == pytest.approx(5.0 * KWH)
    # The root of 0.81 each way.
    assert (made.charge_efficiency, made.discharge_efficiency) == pytest.approx((0.9, 0.9))
    assert (made.inverter_efficiency, made.inverter_idle_power) == (inverter, idle)
    assert made.other_load == pytest.approx(load)


@pytest.mark.parametrize(
    ("supply", "table", "part"), [("AC", None, 0.9), ("DC", None, 1.0), ("AC", (1,), 1.0)]
)
def test_what_an_inverter_takes_of_a_pumps_power(
    supply: str, table: tuple[int, ...] | None, part: float
) -> None:
    site: Any = SimpleNamespace(power=SimpleNamespace(inverter_efficiency=0.9))
    pump: Any = SimpleNamespace(supply=supply, solar_table=table)
    assert system.conversion_of(site, pump) == part


@pytest.mark.parametrize(
    ("storage", "tank", "water"),
    [(None, None, None), (3.0, None, 3.0), (None, 0.04, 0.04), (3.0, 0.04, 3.04)],
)
def test_water_between_full_and_empty(
    storage: float | None, tank: float | None, water: float | None
) -> None:
    site: Any = SimpleNamespace(
        storage_tank=None if storage is None else SimpleNamespace(volume=storage)
    )
    held: Any = None if tank is None else SimpleNamespace(drawdown=tank)
    assert system.storage_of(site, held) == (None if water is None else pytest.approx(water))


def pump_of(*flows: float, **others: Any) -> Any:
    has: dict[str, Any] = {
        "name": "pump", "throttle": None, "fill": None, "energy_per_volume": 1e6, "role": "main",
        "duties": [SimpleNamespace(flow=flow, input_power=1000.0 * flow) for flow in flows],
    }  # fmt: skip
    return SimpleNamespace(**{**has, **others})


def test_the_flow_of_a_running_pump() -> None:
    """The mean of its duties, before that of a fill, before what a valve lets the taps draw."""
    assert system.running_flow(pump_of(1.0, 4.0)) == 2.5
    fill, throttle = SimpleNamespace(mean_flow=2.2), SimpleNamespace(draw_flow=0.7)
    assert system.running_flow(pump_of(1.0, 4.0, fill=fill)) == 2.2
    assert system.running_flow(pump_of(1.0, 4.0, fill=fill, throttle=throttle)) == 0.7


@pytest.mark.parametrize(
    ("others", "powers", "flows"),
    [
        # Straight from 40 m at rest to 20 m at 1 L/s; 30 m are asked, which 0.5 L/s meet. Half of
        # the water's power is the motor's, of a tenth of the greatest flow at least.
        ({"efficiency": 0.5}, (39.2266 / 0.5, 147.09975 / 0.5), None),
        ({"power": (100.0, 200.0, 900.0)}, (100.0, 200.0), None),
        # Each turn moves the same water: a fifth of flow and power at a fifth of the speed.
        ({"power": (100.0, 200.0, 900.0), "kind": "helical rotor"}, (40.0, 200.0), (1e-4, 5e-4)),
        ({"power": (100.0, 900.0), "kind": "helical rotor", "flow": (2e-4, 8e-4),
          "head": (36.0, 24.0)}, (100.0, 500.0), None),
    ],
)  # fmt: skip
def test_the_power_at_which_a_pump_on_the_sun_gives_its_water(
    monkeypatch: pytest.MonkeyPatch, others: dict[str, Any], powers: tuple[float, ...],
    flows: tuple[float, ...] | None,
) -> None:  # fmt: skip
    line = SimpleNamespace(density=1000.0)
    monkeypatch.setattr(system, "_asked_of", lambda *_: (line, lambda flow: 30.0))
    seen: list[Any] = []
    monkeypatch.setattr(system.storage_year, "power_curve", lambda *told: seen.append(told))
    has: dict[str, Any] = {"flow": (0.0, 5e-4, 1e-3), "head": (40.0, 30.0, 20.0), "power": None,
                           "solar_table": (), "kind": "submersible"}  # fmt: skip
    table: Any = SimpleNamespace(**has | others)
    found = system.power_curve_of(None, table, None)  # type: ignore[arg-type]
    told = seen[0][2][:2] if seen else found.power
    assert told == pytest.approx(powers)
    if flows is not None:
        assert found.flow == pytest.approx(flows)
    elif seen:
        assert (seen[0][1], seen[0][4]) == (has["flow"], 1000.0)


def test_a_pump_ready_for_the_year_and_the_modules_that_feed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Straight off the modules the last of its curve, from 0.9 of what its drive starts at (a
    conversion made up here); of two groups on the battery six modules and two, each in its own
    place."""
    curve = SimpleNamespace(flow=(1.0, 2.0, 6.0), power=(4.0, 5.0, 9.0))
    well = SimpleNamespace(well=SimpleNamespace(tested_yield=2.0))
    for name, answer in (
        ("power_curve_of", curve), ("at_well", well), ("conversion_of", 0.9),
        ("link_of", SimpleNamespace(from_tank=False)), ("battery_system", None),
    ):  # fmt: skip
        monkeypatch.setattr(system, name, lambda *_, answer=answer: answer)
    table: Any = SimpleNamespace(start_power=300.0, supply="DC")
    result = pump_of(1.0, daily_volume=0.24)
    told = system.pump_supply(None, table, result, 3.0, 48, direct=True)  # type: ignore[arg-type]
    assert (told.flow, told.power, told.threshold, told.well_volume) == (6.0, 9.0, 270.0, 7200.0)
    assert (told.demand.size, told.demand.sum()) == (48, pytest.approx(0.48))
    result = pump_of(2.0, daily_volume=0.24)
    stored = system.pump_supply(None, table, result, 3.0, 48)  # type: ignore[arg-type]
    assert (stored.flow, stored.power) == (2.0, 2e6)
    monkeypatch.setattr(
        system, "plane_of_group", lambda site, year, group, path: float(path[6:-1])
    )
    monkeypatch.setattr(system, "module_power", lambda site, of, plane, group: np.full(2, plane))
    site: Any = SimpleNamespace(array=[group("heater"), group(series=2, parallel=3), group()])
    fed = system.feeding_array(site, None, None)  # type: ignore[arg-type]
    assert (fed.modules, [*fed.total], [*fed.mean]) == (8, [18.0] * 2, [18.0 / 8] * 2)
    site.array = [group("heater")]
    bare = system.feeding_array(site, None, None)  # type: ignore[arg-type]
    assert (bare.modules, [*bare.total]) == (0, [0.0, 0.0])


def test_pumps_that_lift_and_those_that_back_up() -> None:
    assert system.lifts(pump_of(1.0, 0.1))
    assert not system.lifts(pump_of(1.0, 0.0))
    assert not system.lifts(pump_of(1.0, energy_per_volume=None))
    main, backup = pump_of(1.0), pump_of(1.0, role="backup")
    assert system.backups((main, backup)) == [backup]
    assert system.backups((main, main)) == [main, main]
    assert system.backups(()) == []


@pytest.mark.parametrize(
    ("plane", "there", "running", "power", "modules", "available"),
    [
        # 2 kWh over 4 hours of peak sun are 500 W, derated to 0.8 625 W: of 125 W just five.
        (4 * KWH, 2, 0.0, 625.0, 5, 2 * 125.0 * 4 * 0.8 * HOUR),
        (4 * KWH, 0, 0.0, 625.0, 5, None),
        (3.99 * KWH, 0, 0.0, 626.6, 6, None),
        # The running pump wants 600 W, and in bright sun 750 W carry it.
        (4 * KWH, 0, 600.0, 750.0, 6, None),
        (40 * KWH, 0, 0.0, 62.5, 1, None),
        # At least one module, however little is wanted.
        (4e6 * KWH, 0, 0.0, 6.25e-4, 1, None),
    ],
)
def test_the_array_that_a_month_wants(
    plane: float, there: int, running: float, power: float, modules: int,
    available: float | None,
) -> None:  # fmt: skip
    month = rule_of_thumb._month(3, 1.0, plane, 2 * KWH, 0.8, 125.0, there, running)
    # Of a day's sun [J/m2] over 1000 W/m2 come seconds, of which energy over them is power.
    assert month.array_power == pytest.approx(power, rel=1e-4)
    assert month.modules == modules
    assert (month.month, month.horizontal, month.energy_needed) == (3, 1.0, 2 * KWH)
    if available is None:
        assert month.energy_available is None
    else:
        assert month.energy_available == pytest.approx(available)


def test_a_month_without_sun_divides_by_next_to_none() -> None:
    """1 J/m2 over 1000 W/m2 is a millisecond."""
    month = rule_of_thumb._month(1, 0.0, 0.0, 2.0, 0.5, 100.0, 3, 0.0)
    assert month.array_power == pytest.approx(2.0 / 1e-3 / 0.5)


def sized(**others: Any) -> Any:
    has: dict[str, Any] = {
        "pump": "pump", "worst_month": 2, "running_power": 0.0, "modules_needed": 5,
        "modules_there": 5, "derate": 0.8, "module_power": 125.0, "battery_days": 2.0,
        "months": (
            SimpleNamespace(plane_of_array=9 * KWH, energy_needed=9.0, array_power=1.0),
            SimpleNamespace(plane_of_array=4 * KWH, energy_needed=2 * KWH, array_power=625.0),
        ),
    }  # fmt: skip
    return SimpleNamespace(**{**has, **others})


def site_of(kwh: float = 5.0, dark_days: float = 2.0, **others: Any) -> Any:
    has: dict[str, Any] = {
        "power": SimpleNamespace(battery_energy=kwh * KWH),
        "aim": SimpleNamespace(dark_days=Quantity(dark_days * DAY, kinds.DURATION)),
        "array": [group(series=2, parallel=2)], "module": None,
        "site": SimpleNamespace(print_units="SI"),
    }  # fmt: skip
    return SimpleNamespace(**{**has, **others})


@pytest.mark.parametrize(
    ("others", "statuses", "begins"),
    [
        ({}, ("pass", "pass"), "2.00 kWh a day over"),
        ({"modules_there": 4}, ("fail", "pass"), "2.00 kWh a day over"),
        ({"modules_there": 0}, ("unknown", "pass"), ""),
        # 2 kWh over 4 h are 500 W: the running pump binds above it.
        ({"running_power": 501.0}, ("pass", "pass"), "without a battery"),
        ({"running_power": 499.0}, ("pass", "pass"), "2.00 kWh a day over"),
        # Straight off the modules no battery is asked for.
        ({"running_power": 501.0, "battery_days": None}, ("pass",), "without a battery"),
        ({"battery_days": None}, ("pass", "unknown"), "2.00 kWh a day over"),
    ],
)
def test_the_array_beside_what_is_needed(
    others: dict[str, Any], statuses: tuple[str, ...], begins: str
) -> None:
    found = rule_of_thumb._verdicts(site_of(), sized(**others))
    assert tuple(each.status for each in found) == statuses
    assert found[0].reason.text("SI").startswith(begins)
    if statuses[0] != "unknown":
        assert (found[0].quantity, found[0].limit) == (others.get("modules_there", 5), 5)
    changes = [str(change) for change in changes_of(found[0].remedy)]
    assert changes == (["array[1].parallel=3"] if statuses[0] == "fail" else [])


def test_no_array_does_in_a_month_without_sun() -> None:
    dark = SimpleNamespace(plane_of_array=0.9, energy_needed=2 * KWH, array_power=1e9)
    result = sized()
    result.months = (result.months[0], dark)
    found = rule_of_thumb._verdicts(site_of(), result)
    assert [each.status for each in found] == ["fail", "pass"]
    assert "2.00 kWh" in found[0].reason.text("SI")
    dark.plane_of_array = 1.0  # What stands for none divides as little sun does.
    assert "no sun" not in rule_of_thumb._verdicts(site_of(), result)[0].reason.text("SI")


@pytest.mark.parametrize(
    ("days", "aim", "status", "battery"),
    [
        (2.0, 2.0, "pass", None), (2.5, 2.0, "pass", None),
        # 5 kWh for 1.5 days are 6.67 for two: 6.7 kWh; for 1.25 days of two just 8 kWh.
        (1.5, 2.0, "caution", "6.7 kWh"), (1.25, 2.0, "caution", "8 kWh"),
        # And 5.022 for 2.04 of 2.049 days.
        (2.04, 2.049, "caution", "5.1 kWh"),
    ],
)  # fmt: skip
def test_a_battery_through_the_days_without_sun(
    days: float, aim: float, status: str, battery: str | None
) -> None:
    found = rule_of_thumb._battery(site_of(dark_days=aim), sized(battery_days=days))
    assert (found.status, found.limit) == (status, aim * DAY)
    assert found.quantity == pytest.approx(days * DAY)
    changes = changes_of(found.remedy)
    assert [str(change) for change in changes] == (
        [] if battery is None else [f'power.battery_energy="{battery}"']
    )


HOLDS: dict[str, Any] = {"grid": True, "battery": None, "supply": "AC", "cistern": True}


@pytest.mark.parametrize(
    ("others", "beside"),
    [({}, True), ({"grid": False}, False), ({"battery": 1.0}, False), ({"supply": "DC"}, False),
     ({"cistern": False}, False), ({"straight": ()}, False),
     ({"straight": ("pump", "filler")}, False)],
)  # fmt: skip
def test_a_pump_on_the_grid_beside_one_on_the_sun(
    monkeypatch: pytest.MonkeyPatch, others: dict[str, Any], beside: bool
) -> None:
    has = {**HOLDS, "straight": ("filler",), **others}
    monkeypatch.setattr(rule_of_thumb, "has_cistern", lambda site: has["cistern"])
    monkeypatch.setattr(
        rule_of_thumb, "on_the_sun", lambda site, table: table.name in has["straight"]
    )
    tables = [SimpleNamespace(name=name, supply=has["supply"]) for name in ("filler", "pump")]
    site: Any = SimpleNamespace(
        pump=tables, power=SimpleNamespace(grid=has["grid"], battery_energy=has["battery"])
    )
    assert rule_of_thumb._beside_the_sun(site, pump_of(1.0)) is beside


@pytest.mark.parametrize(
    ("energy", "latitude", "year", "module", "sun", "missing"),
    [
        (1.0, 40.0, "year", "module", True, []),
        (None, 40.0, "year", None, True, ["demand.daily_use", "module"]),
        (1.0, None, None, "module", True, ["site.latitude"]),
        (1.0, None, None, "module", False, ["site.latitude", "sun.monthly"]),
        (1.0, 40.0, None, None, True, ["sun.monthly", "module"]),
        (None, None, None, None, True, ["demand.daily_use", "site.latitude"]),
    ],
)
def test_what_the_rule_of_thumb_lacks(
    monkeypatch: pytest.MonkeyPatch, energy: float | None, latitude: float | None,
    year: Any, module: Any, sun: bool, missing: list[str],
) -> None:  # fmt: skip
    monkeypatch.setattr(rule_of_thumb, "has_sun", lambda site: sun)
    site: Any = SimpleNamespace(site=SimpleNamespace(latitude=latitude), module=module)
    assert rule_of_thumb._missing(site, pump_of(1.0, daily_energy=energy), year) == missing


# The battery's surplus.


def element_of(**others: Any) -> Any:
    has: dict[str, Any] = {
        "rated_power": 3000.0, "rated_voltage": 240.0, "surplus_switch": "relay",
        "surplus_switch_current": Quantity(16.0, kinds.CURRENT), "fed_by": "inverter",
    }  # fmt: skip
    return SimpleNamespace(**{**has, **others})


def house(
    monkeypatch: pytest.MonkeyPatch, volts: float | None = None, rating: float | None = 5000.0
) -> Any:
    """An element of 3 kW and 240 V on an inverter of such a voltage and rating."""
    monkeypatch.setattr(diversion, "plate_of", lambda element: (element.rated_power, 240.0))
    rated = None if rating is None else Quantity(rating, kinds.APPARENT_POWER)
    return SimpleNamespace(
        power=SimpleNamespace(inverter_voltage=volts, inverter_rating=rated,
                              inverter_efficiency=0.8, battery_efficiency=0.9),
        water_heater=SimpleNamespace(element=[element_of(fed_by="roof"), element_of()]),
    )  # fmt: skip


def test_the_first_element_on_the_inverter(monkeypatch: pytest.MonkeyPatch) -> None:
    site = house(monkeypatch)
    found = diversion.element_on_inverter(site)
    assert found == (site.water_heater.element[1], "water_heater.element[2]")
    site.water_heater.element.pop()
    assert diversion.element_on_inverter(site) is None
    site.water_heater = None
    assert diversion.element_on_inverter(site) is None


@pytest.mark.parametrize(
    ("volts", "rating", "room", "status", "left", "change"),
    [
        (None, 5000.0, None, "pass", 5000.0, None), (None, 5000.0, 3000.0, "pass", 3000.0, None),
        # Half the voltage is a quarter of the power.
        (120.0, 5000.0, 750.0, "pass", 750.0, None),
        # Sold at 240 V are 1.5, 2, 2.5 and 3 kW: common practice, no source.
        (None, 5000.0, 2999.7, "caution", 2999.7, "2500 W"),
        (None, 5000.0, 2900.0, "caution", 2900.0, "2500 W"),
        (None, 2999.7, 1600.0, "fail", 1600.0, "1500 W"),
        (None, 3000.0, 2500.0, "caution", 2500.0, "2500 W"),
        (None, 2900.0, None, "fail", 2900.0, "2500 W"),
        (None, 2900.0, 1600.0, "fail", 1600.0, "1500 W"),
        # Of one of 120 V an element of 5.5 kW takes 1.375 kW, one of 3 kW 750 W.
        (120.0, 700.0, None, "fail", 700.0, "2500 W"),
    ],
)  # fmt: skip
def test_an_element_beside_what_the_inverter_leaves(
    monkeypatch: pytest.MonkeyPatch, volts: float | None, rating: float, room: float | None,
    status: str, left: float, change: str | None,
) -> None:  # fmt: skip
    site = house(monkeypatch, volts, rating)
    found = diversion._room_verdict(site, element_of(), room)
    assert (found.status, found.limit) == (status, left)
    assert found.quantity == pytest.approx(3000.0 if volts is None else 750.0)
    assert [str(each) for each in changes_of(found.remedy)] == (
        [] if change is None
        else [f'water_heater.element[2].rated_power="{change}"', "water_heater.element[2].count=1"]
    )  # fmt: skip


@pytest.mark.parametrize(
    ("room", "sold"),
    [
        # 1 kW for pump and other use beside 3 kW: 4 kVA; 1.1 kW beside: 5 kVA.
        (1000.0, "4 kVA"), (900.0, "5 kVA"),
    ],
)  # fmt: skip
def test_an_inverter_for_an_element_that_fits_nowhere(
    monkeypatch: pytest.MonkeyPatch, room: float, sold: str
) -> None:
    """No element of 240 V is sold below 1.5 kW: common practice, no source."""
    site = house(monkeypatch, rating=2000.0)
    found = diversion._smaller(site, element_of(), room)
    assert [str(each) for each in changes_of(found)] == [f'power.inverter_rating="{sold}"']
    unknown = diversion._room_verdict(house(monkeypatch, rating=None), element_of(), room)
    assert (unknown.status, unknown.needs) == ("unknown", ("power.inverter_rating",))


@pytest.mark.parametrize(
    ("switch", "rating", "volts", "status", "changes"),
    [
        # 3 kW at 240 V are 12.5 A, for hours 15.625 A: of 16 A.
        ("relay", 16.0, None, "pass", []), ("relay", 15.0, None, "caution", ("relay", "16 A")),
        ("controller", 12.0, None, "fail", ("controller", "16 A")),
        # At half the voltage half the current, 6.25 and 7.8 A.
        ("relay", 8.0, 120.0, "pass", []), ("relay", 7.0, 120.0, "caution", ("relay", "10 A")),
        ("relay", 6.0, 120.0, "fail", ("relay", "10 A")),
        ("none", 16.0, None, "caution", ("relay", "16 A")),
        (None, 16.0, None, "unknown", []), ("relay", None, None, "unknown", []),
    ],
)  # fmt: skip
def test_the_switch_for_the_surplus(
    monkeypatch: pytest.MonkeyPatch, switch: str | None, rating: float | None,
    volts: float | None, status: str, changes: Any,
) -> None:  # fmt: skip
    current = None if rating is None else Quantity(rating, kinds.CURRENT)
    element = element_of(surplus_switch=switch, surplus_switch_current=current)
    found = diversion.surplus_switch(house(monkeypatch, volts), element, "path")
    assert found.status == status
    if status == "unknown":
        assert found.needs == (
            "path.surplus_switch" if switch is None else "path.surplus_switch_current",
        )
        return
    told = [str(each) for each in changes_of(found.remedy)]
    assert told == ([] if not changes else [
        f'path.surplus_switch="{changes[0]}"', f'path.surplus_switch_current="{changes[1]}"'
    ])  # fmt: skip
    if switch != "none":
        assert found.quantity == pytest.approx(15.625 if volts is None else 7.8125)
        assert found.limit == rating


def spill(room: float | None, running: list[float], energy: float = 3 * KWH) -> Spill:
    hours = len(running)
    return Spill("pump", 8, np.full(hours, energy), np.full(hours, 6000.0), room, 1500.0,
                 np.array(running))  # fmt: skip


@pytest.mark.parametrize(
    ("room", "switch", "least", "energy", "rooms"),
    [
        # Without a rating nothing waits, and there is room for all.
        (None, "relay", None, [3.0, 3.0, 3.0], math.inf),
        (5000.0, "relay", 3500.0, [3.0, 3.0, 3.0], 5000.0),
        # Beside the pump 2.5 kW are left: where it runs half of the hour the element is on for
        # the other half, s = 0.5 / (0.9 + 0.5 x 0.1) of 3 kW / 0.8.
        (4000.0, "relay", 2500.0, [3.0, 0.5 / 0.95 * 3.75, 0.0], 4000.0),
        (-5.0, "relay", -1505.0, [3.0, 0.5 / 0.95 * 3.75, 0.0], 0.0),
        # One that follows gives way for that part: 3 kW alone, 2.5 kW beside the pump.
        (4000.0, "proportional", 2500.0, [3.0, 3.0, 3.0], [3000.0, 2750.0, 2500.0]),
        (2000.0, "proportional", 500.0, [3.0, 3.0, 3.0], [2000.0, 1250.0, 500.0]),
        (1000.0, "proportional", -500.0, [3.0, 3.0, 3.0], [1000.0, 500.0, 0.0]),
        (None, "proportional", None, [3.0, 3.0, 3.0], math.inf),
    ],
)
def test_an_element_waits_for_the_pump(
    monkeypatch: pytest.MonkeyPatch, room: float | None, switch: str, least: float | None,
    energy: list[float], rooms: Any,
) -> None:  # fmt: skip
    asked: list[Any] = []
    monkeypatch.setattr(diversion.diversion, "diverted", lambda *told: asked.append(told))
    site = house(monkeypatch)
    there = spill(room, [0.0, 0.5, 1.0])
    assert there.least_room == least
    diversion._diverted_year(site, element_of(surplus_switch=switch), there)
    ((given, array, power, efficiency, step, bound, modulated, round_trip),) = asked
    assert given / KWH == pytest.approx(energy)
    assert (power, efficiency, step, round_trip) == (3000.0, 0.8, HOUR, 0.9)
    assert modulated is (switch == "proportional")
    assert bound == pytest.approx(rooms)
    assert (array == 6000.0).all()


@pytest.mark.parametrize(
    ("used", "room", "spilled", "status", "change"),
    [
        (0.01, 2500.0, 1.0, "pass", None), (0.0099, 2600.0, 1.0, "caution", "2500 W"),
        # It waits for nothing, or nothing is spilled: no smaller element gets more.
        (0.0, 3000.0, 1.0, "caution", ""), (0.0, None, 1.0, "caution", ""),
        (0.0, 2600.0, 0.0, "caution", ""),
    ],
)  # fmt: skip
def test_what_the_battery_leaves_for_the_element(
    monkeypatch: pytest.MonkeyPatch, used: float, room: float | None, spilled: float, status: str,
    change: str | None,
) -> None:  # fmt: skip
    result: Any = SimpleNamespace(
        used_ratio=used, room=room, power=3000.0, spilled=spilled, modules=8, pump="pump",
        energy=1.0,
    )  # fmt: skip
    found = diversion._surplus_verdict(house(monkeypatch), element_of(), result)
    assert found.status == status
    told = [each.value.strip('"') for each in changes_of(found.remedy)]
    assert told == ([change, "1"] if change else [])
    assert (found.remedy is None) is (change is None)


def test_the_numbers_of_an_element_on_the_surplus(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three hours of January and one of February, of 3 kWh spilled each and 2 kWh used."""
    year = SimpleNamespace(
        energy=5.0, used_energy=8.0 * KWH, duty=np.array([1.0, 0.5, 0.0, 1.0]),
        power=np.array([1000.0, 500.0, 0.0, 1000.0]),
    )  # fmt: skip
    monkeypatch.setattr(diversion, "_diverted_year", lambda *_: year)
    months = np.array([1, 1, 1, 2])
    site = house(monkeypatch)
    found, run = diversion.diversion_result(
        site, element_of(), spill(4000.0, [0.0] * 4), months, True
    )
    assert run is year
    assert (found.spilled / KWH, found.hours, found.room) == pytest.approx((12.0, 2.5, 2500.0))
    assert found.used_ratio == pytest.approx(8.0 / 12.0)
    assert np.array(found.months) / KWH == pytest.approx([1.5, 1.0] + [0.0] * 10)
    assert np.array(found.months_spilled) / KWH == pytest.approx([9.0, 3.0] + [0.0] * 10)
    none, _ = diversion.diversion_result(
        site, element_of(), spill(4000.0, [0.0] * 4, 0.0), months, True
    )
    assert none.used_ratio == 0.0


@pytest.mark.parametrize(
    ("pumps", "working"),
    [
        # Name, role and whether it lifts water: backups where there is no other, then one.
        ([("a", "main", True), ("b", "backup", True), ("c", "other", True)], "ac"),
        ([("a", "backup", True), ("b", "backup", True)], "a"),
        ([("a", "main", False), ("b", "backup", True)], "b"),
        ([("a", "main", False), ("b", "main", True)], "b"), ([("a", "main", False)], ""),
    ],
)  # fmt: skip
def test_backups_work_in_an_ordinary_year_where_nothing_else_does(
    monkeypatch: pytest.MonkeyPatch, pumps: list[tuple[str, str, bool]], working: str
) -> None:
    monkeypatch.setattr(system, "lifts", lambda result: result)
    links: Any = tuple(
        SimpleNamespace(table=SimpleNamespace(name=name, role=role)) for name, role, _ in pumps
    )
    results: Any = {name: lifts for name, _, lifts in pumps}
    found = chain_year._working(links, results)
    assert "".join(link.table.name for link in found) == working
