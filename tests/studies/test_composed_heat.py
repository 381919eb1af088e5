"""What the study of the heated tank says, composed again: water by CoolProp, sun and modules by
pvlib, and the balance of heat that must close in any tank."""

from __future__ import annotations

import math
from dataclasses import astuple
from types import SimpleNamespace
from typing import Any

import numpy as np
import pandas as pd
import pytest
from CoolProp.CoolProp import PropsSI
from fluids.atmosphere import ATMOSPHERE_1976
from pvlib import irradiance, location, pvsystem

from tests.sampled import every
from tests.studies.composing import (
    DAY,
    HEATED,
    HOUR,
    PSI,
    case_of,
    diode,
    month_sums,
    parameters,
    plane_light,
)
from wellsolar.data import wiring
from wellsolar.results.heat import HeatedTankResult
from wellsolar.results.heat_safety import TankSafety
from wellsolar.site.schema import Cable, Site
from wellsolar.studies.array.heater_circuit import HeaterCircuit, circuit_of, element_on_array
from wellsolar.studies.heat import figures

OF_A_CURVE = ("ridge_house", "south_slope", "series", "dim")
"""Sites of one array straight on its element, whose power an I-V curve tells."""

AVERAGE_DAYS = (17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344)
"""Day of the year that stands for each month, Klein (1977), from memory."""


def water(key: str, celsius: float) -> float:
    return float(PropsSI(key, "T", 273.15 + celsius, "P", 101_325, "Water"))


CAPACITY = water("D", 50.0) * water("C", 50.0)
"""Of a cubic metre of water at 50 degC [J/K]."""


def tank_of(name: str) -> tuple[Site, Any, HeatedTankResult]:
    case = case_of(name)
    told = case.heated_tank
    assert told is not None
    return case.site, case.site.water_heater, told


@pytest.mark.parametrize("name", HEATED)
def test_the_tank_and_its_tap_by_arithmetic(name: str) -> None:
    site, heater, told = tank_of(name)
    inlet, room = float(site.well.water_temperature), float(heater.room_temperature)
    element = next(each for each in heater.element if each.fed_by == told.array)
    setpoint = float(element.thermostat)
    volume, tap = float(heater.volume), float(heater.draw.temperature)
    assert told.tank_volume == pytest.approx(volume)
    assert (told.inlet_temperature, told.room_temperature) == pytest.approx((inlet, room))
    assert told.setpoint == pytest.approx(setpoint)
    if heater.draw.volumes is not None:
        assert told.draw_volume == pytest.approx(sum(map(float, heater.draw.volumes)))
    else:
        assert told.draw_volume == pytest.approx(float(heater.draw.volume))
    if heater.heat_loss is not None:
        assert told.heat_loss == pytest.approx(float(heater.heat_loss))
    else:
        # An upright cylinder 2.5 times as high as wide, and a quarter more for its fittings.
        bore = (volume / (2.5 * math.pi / 4)) ** (1 / 3)
        area = math.pi * bore * 2.5 * bore + 2 * math.pi / 4 * bore**2
        assert told.heat_loss == pytest.approx(1.25 * area / float(heater.insulation), rel=1e-6)
    assert told.standby_loss == pytest.approx(told.heat_loss * (setpoint - room))
    enthalpy = water("H", setpoint) - water("H", inlet)
    assert told.heating_energy == pytest.approx(volume * water("D", inlet) * enthalpy, rel=1e-3)
    grown = volume * (water("D", inlet) / water("D", setpoint) - 1.0)
    assert told.expansion == pytest.approx(grown, rel=0.02)
    hot = (tap - inlet) / (setpoint - inlet)
    assert told.tap.temperature == pytest.approx(tap)
    assert told.tap.mixing_ratio == pytest.approx(hot)
    assert told.tap.volume == pytest.approx(volume / hot)
    # 140 degF burns a grown man in 5 s, 150 degF in 1.5 s, 120 degF in 5 to 10 min.
    assert told.tap.unmixed.adult is not None
    assert told.tap.unmixed.adult <= 6.0
    assert told.tap.unmixed.child == pytest.approx(told.tap.unmixed.adult / 4)
    assert told.tap.mixed.adult is not None
    if heater.mixing_valve is None:
        assert told.tap.mixed == told.tap.unmixed
    else:
        assert 240.0 <= told.tap.mixed.adult <= 660.0


def check_guards(site: Site, table: Any, told: TankSafety, setpoint: float) -> None:
    """Of one tank: how hot it may get, and what its own relief valve allows."""
    air = float(ATMOSPHERE_1976(float(site.site.altitude)).P)
    relief = float(table.relief_pressure or 150 * PSI)
    opens = float(table.relief_temperature or (210 - 32) / 1.8)
    assert told.hottest == pytest.approx(setpoint)
    guarded = max(setpoint, opens if table.high_limit is None else float(table.high_limit))
    assert told.guarded == pytest.approx(guarded)
    assert told.boiling_temperature == pytest.approx(
        PropsSI("T", "P", air, "Q", 0, "Water") - 273.15, abs=0.02
    )
    assert told.heat_through == pytest.approx(max(60.0, float(site.limits.storage_temperature)))
    assert told.heat_through_time == HOUR
    assert told.pressure.relief_temperature == pytest.approx(opens)
    assert told.pressure.relief_pressure == pytest.approx(relief)
    assert told.pressure.limit == pytest.approx(0.9 * relief)


@pytest.mark.parametrize("name", HEATED)
def test_where_the_expansion_goes_by_boyle(name: str) -> None:
    site, heater, told = tank_of(name)
    safety, pressure = told.safety, told.safety.pressure
    settings = [float(each.thermostat) for each in heater.element if each.thermostat is not None]
    check_guards(site, heater, safety, max(told.setpoint, *settings))
    inlet, air = told.inlet_temperature, float(ATMOSPHERE_1976(float(site.site.altitude)).P)

    def grown(volume: float, guarded: float) -> float:
        return volume * (water("D", inlet) / water("D", guarded) - 1.0)

    whole, limit = grown(told.tank_volume, safety.guarded), pressure.limit
    second = heater.second_tank
    assert (safety.second is None) == (second is None)
    if second is not None:
        check_guards(site, second, safety.second, float(second.thermostat))
        own = grown(float(second.volume), safety.second.guarded)
        assert safety.second.pressure.expansion == pytest.approx(own, rel=0.01)
        assert safety.second.heat_input == pytest.approx(float(second.rated_power))
        assert safety.second.array_input == 0.0
        whole, limit = whole + own, min(limit, safety.second.pressure.limit)
        assert safety.hottest_set == max(safety.hottest, safety.second.hottest)
        assert safety.hottest_drawn == max(safety.guarded, safety.second.guarded)
    if heater.check_valve:
        limit = min(limit, 80 * PSI)
    assert pressure.expansion == pytest.approx(whole, rel=0.01)
    assert pressure.expansion_limit == pytest.approx(limit)
    supply = float(site.pressure_switch.cut_out)
    assert pressure.supply == pytest.approx(supply)
    takes = (heater.expansion_tank_volume, heater.expansion_tank_precharge)
    if not heater.check_valve:
        takes = (site.pressure_tank.volume * site.pressure_tank.count,
                 site.pressure_tank.precharge)  # fmt: skip
    size, charged = float(takes[0]), float(takes[1]) + air
    left = size * charged / (supply + air) - pressure.expansion
    if left > 0.0:
        assert pressure.after == pytest.approx(size * charged / left - air, rel=1e-6)

    def needed(precharge: float) -> float:
        share = precharge / (supply + air) - precharge / (limit + air)
        return pressure.expansion / share

    assert pressure.tank_needed == pytest.approx(needed(charged), rel=1e-6)
    assert pressure.expansion_tank == pytest.approx(needed(supply + air), rel=1e-6)
    groups = {group.name for group in site.array}
    plain = sum(
        float(each.rated_power) * each.count for each in heater.element
        if each.fed_by not in groups
    )  # fmt: skip
    assert safety.heat_input == pytest.approx(safety.array_input + plain)


@pytest.mark.parametrize("name", HEATED)
def test_a_week_without_sun_cools_by_its_loss(name: str) -> None:
    _, heater, told = tank_of(name)
    inlet, tap, volume = told.inlet_temperature, told.tap.temperature, told.tank_volume
    assert [each.day for each in told.dark_days] == list(range(1, 8))
    drawn = 0.0
    for each in told.dark_days:
        cooled = math.exp(-told.heat_loss * each.day * DAY / (CAPACITY * volume))
        idle = told.room_temperature + (told.setpoint - told.room_temperature) * cooled
        assert each.idle_temperature == pytest.approx(idle, abs=0.02)
        left = volume * (idle - inlet) / (tap - inlet) if idle >= tap else 0.0
        assert each.idle_tap_volume == pytest.approx(left, rel=2e-3)
        assert told.draw_volume is not None
        drawn += told.draw_volume
        assert min(inlet, told.room_temperature) - 0.1 <= each.mean_temperature <= idle
        assert each.mean_temperature <= each.top_temperature <= told.setpoint
        assert 0.0 <= each.tap_volume <= left + 1e-9
        if each.top_temperature >= tap + 8.0:
            # All that was drawn came as warm as wanted: its heat is gone.
            lost = CAPACITY * volume * (told.setpoint - each.mean_temperature)
            of_draw = CAPACITY * drawn * (tap - inlet)
            most = told.heat_loss * (told.setpoint - told.room_temperature) * each.day * DAY
            assert of_draw <= lost <= of_draw + most
    assert heater.draw.temperature == pytest.approx(tap)


def on_element(site: Site, told: HeatedTankResult, cells: Any, warm: Any) -> tuple[Any, Any]:
    """Power at the element and of the array at its best [W]; the loop folded into the series
    resistance, through which the array is shorted."""
    group = next(each for each in site.array if each.name == told.array)
    wires = float(site.losses.wiring)
    ohms = told.element_resistance
    loop = ohms * wires / (1.0 - wires)
    if group.cable is not None and group.cable.length is not None:
        loop = 2 * float(group.cable.length)
        loop *= wiring.wire(group.cable.gauge).resistance_75c_stranded
    lit = cells > 0.5
    array = diode(parameters(site), np.where(lit, cells, 1.0), warm, group.series, group.parallel)
    current, dark, inner, shunt, thermal = array
    amps = pvsystem.i_from_v(0.0, current, dark, inner + ohms + loop, shunt, thermal)
    best = pvsystem.max_power_point(*array, method="newton")["p_mp"]
    return np.where(lit, amps, 0.0) ** 2 * ohms, np.where(lit, best, 0.0)


@pytest.mark.parametrize(
    ("cable", "named"),
    [(None, False), (Cable(gauge="10 AWG"), False), (Cable(gauge="10 AWG", length="40 ft"), True)],
)
def test_a_cable_that_is_not_named_loses_its_share(cable: Cable | None, named: bool) -> None:
    """Loop and element carry one current: of their power the loop's part is the share lost."""
    site = case_of("ridge_house").site
    on = element_on_array(site)
    assert on is not None
    group = on.group.model_copy(update={"cable": cable})
    circuit = circuit_of(parameters(site), group, on.element, wiring_loss=0.2)
    lost = circuit.cable_resistance / (circuit.cable_resistance + circuit.resistance)
    # 80 ft of stranded 10 AWG at 75 degC: 1.24 ohm for 1000 ft (NEC chapter 9,
    # table 8, second hand).
    wires = 1.24 * 0.080
    assert lost == pytest.approx(wires / (wires + circuit.resistance) if named else 0.2, rel=1e-3)
    assert circuit.named_cable == pytest.approx(wires if named else 0.0, rel=1e-3)


@pytest.mark.parametrize(("ohms", "by_voltage"), [(12.4, False), (57.2, True)])
def test_the_line_of_an_element_ends_where_it_leaves_the_picture(
    ohms: float, by_voltage: bool
) -> None:
    """A twentieth beyond the short-circuit current or the open voltage of the brightest sun,
    whichever a line through the origin comes to first."""
    of = parameters(case_of("ridge_house").site)
    circuit = HeaterCircuit(of, 4, 1, ohms, 0.4)
    suns = [SimpleNamespace(irradiance=sun, cell_temperature=50.0) for sun in (200.0, 1000.0)]
    heated: Any = SimpleNamespace(working_points=suns)
    (line,) = figures._loads(circuit, heated)
    array = diode(of, 1000.0, 50.0, 4, 1)
    edge = 1.05 * float(pvsystem.v_from_i(0.0, *array))
    if not by_voltage:
        edge = 1.05 * float(pvsystem.i_from_v(0.0, *array)) * (ohms + 0.4)
    resistance, volts, amps = astuple(line)
    assert resistance == pytest.approx(ohms + 0.4)
    assert volts == pytest.approx((0.0, edge), rel=1e-4)
    assert amps == pytest.approx((0.0, edge / (ohms + 0.4)), rel=1e-4)


@pytest.mark.parametrize("name", OF_A_CURVE)
def test_the_months_of_the_tank_by_pvlib(name: str) -> None:
    case = case_of(name)
    site, _, told = tank_of(name)
    year, sun = case.year, case.sun
    group = next(each for each in site.array if each.name == told.array)
    plane = next(each for each in sun.planes if each.group == told.array)
    _, cells, warm = plane_light(site, year, group, told.tilt, told.azimuth)
    power, best = on_element(site, told, cells, warm)
    days = np.bincount(year.hours.month)[1:] / 24
    offered = month_sums(power, year) * HOUR / days
    greatest = month_sums(best, year) * HOUR / days
    np.testing.assert_allclose([each.element_energy for each in told.months], offered, rtol=5e-3)
    np.testing.assert_allclose([each.maximum_energy for each in told.months], greatest, rtol=5e-3)
    np.testing.assert_allclose([each.plane_of_array for each in told.months], plane.totals)


@pytest.mark.parametrize("name", HEATED)
def test_the_year_of_the_tank_closes(name: str) -> None:
    _, _, told = tank_of(name)
    rise = told.tap.temperature - told.inlet_temperature
    wanted = CAPACITY * told.draw_volume * rise
    days = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])

    def whole(key: str) -> float:
        return float(np.dot([getattr(each, key) for each in told.months], days))

    least = told.heat_loss * (told.inlet_temperature - told.room_temperature) * DAY
    most = told.heat_loss * (told.setpoint - told.room_temperature) * DAY
    assert [each.month for each in told.months] == list(range(1, 13))
    for month in told.months:
        assert month.heat_wanted == pytest.approx(wanted, rel=2e-3)
        assert 0.0 <= month.pv_at_tap <= month.heat_delivered <= month.heat_wanted * (1 + 1e-9)
        assert month.accepted_energy <= month.element_energy * (1 + 1e-9)
        assert month.element_energy <= month.maximum_energy * (1 + 1e-9)
        assert least - 1.0 <= month.heat_lost <= most + 1.0
        assert month.share == pytest.approx(month.pv_at_tap / month.heat_wanted)
    # Begun as it ends: what is taken is drawn or lost.
    stored = CAPACITY * told.tank_volume * 0.5
    spent = whole("heat_delivered") + whole("heat_lost")
    assert whole("accepted_energy") == pytest.approx(spent, abs=stored, rel=1e-4)
    share = whole("pv_at_tap") / whole("heat_wanted")
    assert told.annual_share == pytest.approx(share)
    warmed = [each for each in told.months if each.heat_lost < 0.0]
    if not warmed:
        assert whole("pv_at_tap") == pytest.approx(whole("heat_delivered"), rel=0.03)


@pytest.mark.parametrize("name", HEATED)
def test_the_years_of_a_household_close(name: str) -> None:
    site, heater, told = tank_of(name)
    assert told.draw_volume is not None
    rise = told.tap.temperature - told.inlet_temperature
    alone = told.households[0]
    beside = [each.heated_by for each in told.households]
    grid = any(each.fed_by == "grid" and each.thermostat for each in heater.element)
    wanted = ["PV"] + ["upper element"] * grid + ["second tank"] * bool(heater.second_tank)
    assert beside == wanted
    days = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
    for house in told.households:
        assert [each.month for each in house.months] == list(range(1, 13))
        assert [each.days for each in house.months] == days
        year = house.year
        assert (year.month, year.days) == (0, 365)
        for key in ("pv_heat", "grid_heat", "heat_lost", "heat_wanted", "heat_delivered",
                    "tap_volume", "short_volume", "evenings_at_setpoint",
                    "evenings_hot"):  # fmt: skip
            assert getattr(year, key) == pytest.approx(
                sum(getattr(each, key) for each in house.months)
            )
        mean = np.dot([each.evening_temperature for each in house.months], days) / 365
        assert year.evening_temperature == pytest.approx(mean)
        assert house.fewest_evenings == min(year.evenings_hot, *house.other_evenings)
        assert house.most_evenings == max(year.evenings_hot, *house.other_evenings)
        assert len(house.other_evenings) == 5
        tanks = CAPACITY * (told.tank_volume + float(heater.second_tank.volume
                            if heater.second_tank else 0.0))  # fmt: skip
        gained = year.pv_heat + year.grid_heat - year.heat_lost - year.heat_delivered
        assert gained == pytest.approx(0.0, abs=0.5 * tanks + 1e-4 * year.heat_wanted)
        if year.grid_heat == 0.0:
            assert house is alone
        for month in house.months:
            volume = month.tap_volume + month.short_volume
            assert volume == pytest.approx(told.draw_volume * month.days, rel=1e-6)
            assert month.wanted_volume == pytest.approx(volume)
            assert month.heat_wanted == pytest.approx(CAPACITY * volume * rise, rel=2e-3)
            assert month.evenings_hot <= month.days
            assert month.evenings_at_setpoint <= month.days
            assert told.inlet_temperature <= month.evening_temperature
            taken = month.pv_heat + month.grid_heat
            assert month.pv_share == pytest.approx(month.pv_heat / taken)
            assert month.pv_evenings_hot == month.evenings_hot_with_grid == month.evenings_hot
            if month.evenings_hot == month.days:
                assert month.evening_temperature >= told.tap.temperature - 0.01
            if month.short_volume < 1e-9:
                assert month.heat_delivered == pytest.approx(month.heat_wanted, rel=1e-6)
                assert month.evenings_hot == month.days
            if month.evenings_at_setpoint == month.days:
                setting = told.setpoint
                if house.heated_by == "second tank":
                    setting = float(heater.second_tank.thermostat)
                closes = 5.0 if heater.differential is None else float(heater.differential)
                assert month.evening_temperature >= setting - closes - 1e-9
    for month, pv in zip(told.months, alone.months, strict=True):
        for mean_key, key in (("accepted_energy", "pv_heat"), ("heat_wanted", "heat_wanted"),
                              ("heat_delivered", "heat_delivered"),
                              ("heat_lost", "heat_lost")):  # fmt: skip
            assert getattr(month, mean_key) * pv.days == pytest.approx(getattr(pv, key))
    for house in told.households[1:]:
        assert house.year.heat_delivered >= alone.year.heat_delivered * (1 - 1e-6)
        assert house.year.evenings_hot >= alone.year.evenings_hot
    starts = sorted(map(float, heater.draw.times or []))
    if starts:
        evening = next((each for each in starts if each >= 17 * HOUR), starts[-1])
        assert alone.evening == pytest.approx(evening)
    assert site.water_heater is heater


def clear_day(site: Site, told: HeatedTankResult, month: int, bare: bool) -> tuple[Any, Any, Any]:
    """Light on the plane, at the cells and the cells' warmth through the month's clear day, every
    20 min of sun time, by pvlib's clear sky at the meridian of its clock."""
    latitude, high = float(site.site.latitude or 0.0), float(site.site.altitude)
    begin = pd.Timestamp("1990-01-01", tz="UTC") + pd.Timedelta(days=AVERAGE_DAYS[month - 1] - 1)
    times = pd.date_range(begin + pd.Timedelta(minutes=10), periods=72, freq="20min")
    place = location.Location(latitude, 0.0, "UTC", high)
    sun = place.get_solarposition(times)
    sky = place.get_clearsky(times, linke_turbidity=float(site.sun.turbidity))
    outside = irradiance.get_extra_radiation(times)
    total = irradiance.get_total_irradiance(
        told.tilt, told.azimuth, sun["apparent_zenith"], sun["azimuth"], sky["dni"], sky["ghi"],
        sky["dhi"], dni_extra=outside, model="haydavies", albedo=float(site.sun.albedo),
    )["poa_global"].to_numpy()  # fmt: skip
    air = site.well.water_temperature
    if site.sun.temperature is not None:
        air = site.sun.temperature[month - 1]
    clock = np.arange(72) / 3 + 1 / 6
    swing = float(site.sun.temperature_swing) / 2 * np.cos(2 * np.pi * (clock - 15) / 24)
    warm = float(air) + swing + total / (25.0 + 6.84 * float(site.sun.wind))
    kept = 1.0 if bare else math.prod(1.0 - float(lost) for lost in (
        site.losses.dirt, site.losses.first_light, site.losses.nameplate, site.losses.ageing,
        site.losses.mismatch,
    ))  # fmt: skip
    return total, total * kept, warm


@pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")
@pytest.mark.parametrize("name", every(OF_A_CURVE, 2))
def test_clear_days_by_pvlibs_clear_sky(name: str) -> None:
    """To 3 %: pvlib's day has refraction and the true length of its hours, and the glass takes
    up to 3 % of light that comes from the side."""
    site, _, told = tank_of(name)
    clear = {each.month: each for each in told.days if each.kind == "clear"}
    assert sorted(clear) == list(range(1, 13))
    bare = []
    for month, day in clear.items():
        light, cells, warm = clear_day(site, told, month, bare=False)
        assert day.plane_of_array == pytest.approx(light.sum() * 1200.0, rel=0.03)
        power, best = on_element(site, told, cells, warm)
        assert 0.93 <= day.element_energy / (power.sum() * 1200.0) <= 1.03
        assert 0.95 <= day.maximum_energy / (best.sum() * 1200.0) <= 1.03
        assert day.peak_power == pytest.approx(power.max(), rel=0.03)
        _, cells, warm = clear_day(site, told, month, bare=True)
        bare.append(on_element(site, told, cells, warm)[0].mean())
    assert told.stall_temperature is not None
    stall = told.room_temperature + max(bare) / told.heat_loss
    assert told.stall_temperature == pytest.approx(min(100.0, stall), rel=0.02)
    assert bare[told.nobody_home.month - 1] >= 0.98 * max(bare)


@pytest.mark.parametrize("name", HEATED)
def test_days_of_a_cold_tank_by_their_heat(name: str) -> None:
    _, _, told = tank_of(name)
    inlet, room, setpoint = told.inlet_temperature, told.room_temperature, told.setpoint
    capacity = CAPACITY * told.tank_volume
    kinds = {(each.month, each.kind) for each in told.days}
    assert kinds == {(month, kind) for month in range(1, 13)
                     for kind in ("clear", "typical", "poor")}  # fmt: skip
    by_name = {(each.month, each.kind): each for each in told.days}
    for day in told.days:
        assert day.element_energy <= day.maximum_energy * (1 + 1e-9)
        assert day.peak_power <= told.greatest_power * 1.01
        assert day.element_energy <= day.peak_power * DAY / 2
        assert inlet <= day.end_temperature + 0.5
        assert day.end_temperature <= setpoint + 0.1
        if day.days_to_setpoint == 1:
            assert 6 * HOUR < day.time_to_setpoint < 18 * HOUR
            assert day.start_for_one_day == pytest.approx(inlet)
            # The layers below the element stay cold.
            assert day.element_energy > 0.75 * capacity * (setpoint - inlet)
            continue
        assert day.time_to_setpoint is None
        least = told.heat_loss * (inlet - room) * DAY
        most = told.heat_loss * (day.end_temperature + 5.0 - room) * DAY
        gained = capacity * (day.end_temperature - inlet)
        assert day.element_energy - max(most, 0.0) - 1e4 <= gained
        assert gained <= day.element_energy - min(least, 0.0) + 1e4
        if day.start_for_one_day is not None:
            rise = capacity * (setpoint - day.start_for_one_day)
            most = told.heat_loss * (setpoint - room) * DAY
            assert 0.75 * rise <= day.element_energy <= 1.05 * rise + most
        mean, days = day.end_temperature, 1
        # Day after day the whole tank gains the day's heat and cools.
        while days < 22 and mean < setpoint - 0.5 * (day.end_temperature - inlet):
            lost = told.heat_loss * (mean - room) * DAY
            mean, days = mean + (day.element_energy - lost) / capacity, days + 1
        if day.days_to_setpoint is not None and days <= 3:
            assert abs(day.days_to_setpoint - days) <= 1
        starts = {each.start: each for each in day.starts}
        if "half way" in starts:
            half = (inlet + setpoint) / 2
            assert starts["half way"].start_temperature == pytest.approx(half)
    for month in range(1, 13):
        poor, typical = by_name[month, "poor"], by_name[month, "typical"]
        assert poor.element_energy <= typical.element_energy * (1 + 1e-9)
        own = told.months[month - 1]
        assert typical.element_energy == pytest.approx(own.element_energy, rel=0.2)
    home = told.nobody_home
    assert home.hottest <= 100.0
    assert (home.days_to_relief is not None) == (home.hottest >= home.relief)
    assert told.stall_temperature is not None
    if home.hottest < 100.0:
        # The top swings about where the loss takes the day's mean power.
        assert told.stall_temperature - 2.0 <= home.hottest <= told.stall_temperature + 12.0
    if home.high_limit is not None and home.days_to_high_limit is not None:
        assert home.days_to_relief is not None
        assert home.high_limit < home.relief
        assert 0.25 < home.days_to_high_limit <= home.days_to_relief
        sunniest = max(
            each.element_energy for each in told.days if each.kind == "clear"
        )  # fmt: skip
        # Begun at the setpoint, it is there after its heat at the soonest.
        rise = capacity * (home.high_limit - setpoint)
        assert home.days_to_high_limit <= 1 + math.ceil(rise / (0.8 * sunniest))
