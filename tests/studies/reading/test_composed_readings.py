"""What readings say, composed again: each way to be wrong is computed by pvlib's curves, by
Boyle, or by the root of the pump's curve less its system, and stands in the band of its cause."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
import pytest
from pvlib import pvsystem
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from tests.sampled import sampled
from tests.studies.composing import HOUR, PSI, case_of, diode, parameters
from tests.studies.reading.by_integration import only
from tests.studies.test_composed import level_at, pieces_of
from wellsolar.results.pumps import Duty
from wellsolar.results.readings import Cause, ReadingResult
from wellsolar.site.readings.file import readings_of_options
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.reading.study import study_readings
from wellsolar.units import Quantity

GALLON, GPM, FOOT = 3.785411784e-3, 3.785411784e-3 / 60, 0.3048


def read(name: str, **written: str) -> list[ReadingResult]:
    found = study_readings(case_of(name), [readings_of_options(written)]).readings
    return list(found.readings)


def implied(reading: ReadingResult) -> dict[str, Quantity]:
    return {each.key: each.value for each in reading.implied}


def holds(cause: Cause, *values: float, rel: float = 2e-3) -> None:
    """A cause's band goes from the least to the greatest of what would be read with it."""
    assert cause.expected is not None, cause.text
    ends = (cause.expected.low, cause.expected.high)
    assert ends == pytest.approx((min(values), max(values)), rel=rel, abs=1e-6), cause.text
    assert cause.expected.low <= cause.expected <= cause.expected.high


# At the element


def ohms_of(name: str) -> tuple[float, float]:
    """The element and the loop of its cable [ohm]."""
    tank = case_of(name).heated_tank
    return tank.element_resistance, tank.cable_resistance


def amps_of(
    name: str, light: float, cells: float, less: int = 0, fewer: int = 0,
    ohms: float | None = None, more: float = 0.0,
) -> float:  # fmt: skip
    """Current of the site's array into a resistance, by pvlib [A]."""
    site = case_of(name).site
    tank = case_of(name).heated_tank
    element, loop = ohms_of(name)
    of = diode(parameters(site), light, cells, tank.series - less, tank.parallel - fewer)
    current, dark, inner, shunt, thermal = of
    whole = inner + (element if ohms is None else ohms) + loop + more
    return float(pvsystem.i_from_v(0.0, current, dark, whole, shunt, thermal))


def check_cause(name: str, cause: Cause, light: float, cells: float) -> bool:
    """Whether one of the ways to be wrong is known here; it is then held to pvlib."""
    text = cause.text

    def at(*args: Any, **how: Any) -> float:
        return amps_of(name, *args, **how)

    missing = re.match(r"(\d+) modules? of \d+ missing", text)
    if missing:
        gone = int(missing[1])
        usual = at(light, cells, gone)
        dirty = at(0.9 * light, cells + 15.0, gone)
        thirds = [(2 * usual + at(light, cells, gone - 1)) / 3]
        tank = case_of(name).heated_tank
        below = at(light, cells, gone + 1) if gone + 1 < tank.series else 0.0
        holds(cause, usual, dirty, *thirds, (2 * usual + below) / 3)
        return True
    plate = re.match(r"an element of (\d+) W, (\d+) V in place", text)
    if plate:
        holds(cause, at(light, cells, ohms=int(plate[2]) ** 2 / int(plate[1])))
        return True
    for word, factor in (("wired in series", 2.0), ("wired in parallel", 0.5)):
        if text.startswith("two such elements") and text.endswith(word):
            holds(cause, at(light, cells, ohms=factor * ohms_of(name)[0]))
            return True
    if text.startswith("a loose or corroded joint"):
        holds(cause, at(light, cells, more=1.0), at(light, cells, more=4.0))
        return True
    if text == "a module more in series than the file says":
        holds(cause, at(light, cells, -1))
        return True
    opened = re.match(r"(a|\d+) strings? of \d+ open", text)
    if opened:
        gone = 1 if opened[1] == "a" else int(opened[1])
        holds(cause, at(light, cells, fewer=gone))
        return True
    if text.startswith("a string that is shaded"):
        holds(cause, *(at(share * light, cells + warm) for share in (0.1, 0.95)
                       for warm in (0.0, 20.0)))  # fmt: skip
        return True
    if text.startswith("cells cooler than thought"):
        holds(cause, at(light, cells - 15.0))
        return True
    if "sun meter" in text:
        holds(cause, at(1.05 * light, cells), at(1.3 * light, cells))
        return True
    return "as its volts over its amperes say" in text


@pytest.mark.parametrize("name", ["ridge_house", "dim", "series"])
@pytest.mark.parametrize(
    ("light", "cells"), sampled([(450.0, 30.0), (800.0, 45.0)], (450.0, 30.0))
)
def test_every_cause_of_a_current_is_computed(name: str, light: float, cells: float) -> None:
    usual = amps_of(name, light, cells)
    known = set()
    for share in (0.3, 0.5, 0.65, 0.75, 0.85, 1.09, 1.3, 2.0):
        written = f"{share * usual:.4f} A"
        found = read(name, element_amps=written, irradiance=f"{light} W/m2",
                     cell_temperature=f"{cells} degC")  # fmt: skip
        reading = only(found, "element_amps")
        band = reading.expected
        assert float(band.value) == pytest.approx(usual, rel=2e-3)
        assert band.value.low == pytest.approx(0.97 * usual, rel=2e-3)
        assert band.value.high == pytest.approx(1.03 * usual, rel=2e-3)
        told = implied(reading)
        assert told["implied_power"] == pytest.approx((share * usual) ** 2 * ohms_of(name)[0],
                                                      rel=2e-3)  # fmt: skip
        if "implied_irradiance" in told:
            sun = float(told["implied_irradiance"])
            assert amps_of(name, sun, cells) == pytest.approx(share * usual, rel=2e-3)
            assert told["implied_cells"] == pytest.approx(cells)
        if "implied_missing" in told:
            gone = float(told["implied_missing"])
            low, high = math.floor(gone), math.ceil(gone)
            ends = (amps_of(name, light, cells, low), amps_of(name, light, cells, high))
            assert min(ends) - 0.01 <= share * usual <= max(ends) + 0.01
        assert reading.causes
        assert sum(cause.share for cause in reading.causes) <= 1.0 + 1e-9
        shares = [cause.share for cause in reading.causes]
        assert shares == sorted(shares, reverse=True)
        known |= {cause.text[:24] for cause in reading.causes
                  if check_cause(name, cause, light, cells)}  # fmt: skip
        assert all(check_cause(name, cause, light, cells) or cause.expected is None
                   for cause in reading.causes)  # fmt: skip
    assert len(known) >= 3


@pytest.mark.parametrize("name", ["ridge_house", "series"])
def test_volts_at_the_element_are_its_amperes_by_its_resistance(name: str) -> None:
    usual = amps_of(name, 700.0, 40.0) * ohms_of(name)[0]
    sun = {"irradiance": "700 W/m2", "cell_temperature": "40 degC"}
    reading = only(read(name, element_volts=f"{usual:.3f} V", **sun), "element_volts")
    assert float(reading.expected.value) == pytest.approx(usual, rel=2e-3)
    assert not reading.causes
    told = implied(reading)
    assert told["implied_power"] == pytest.approx(usual**2 / ohms_of(name)[0], rel=2e-3)
    assert told["implied_irradiance"] == pytest.approx(700.0, rel=2e-3)


PLATES = (
    (1500, 240), (2000, 240), (2500, 240), (3000, 240), (3500, 240), (3800, 240), (4500, 240),
    (5500, 240), (1500, 120), (2000, 120), (4500, 208), (3000, 230),
)  # fmt: skip
"""Elements as they are sold: common practice, no source."""


@pytest.mark.parametrize("name", ["ridge_house", "series"])
def test_a_resistance_tells_which_element_is_there(name: str) -> None:
    own = ohms_of(name)[0]
    for watts, volts in PLATES:
        there = volts**2 / watts
        found = read(name, element_amps="4 A", element_volts=f"{4 * there:.4f} V",
                     irradiance="700 W/m2")  # fmt: skip
        reading = only(found, "element_resistance")
        assert float(reading.measured) == pytest.approx(there, rel=1e-4)
        band = reading.expected.value
        assert float(band) == pytest.approx(own)
        # Its power may be 5 % more or 10 % less than the plate's.
        assert (band.low, band.high) == pytest.approx((own / 1.05, own / 0.90))
        fine = band.low <= there <= band.high
        assert bool(reading.causes) is not fine
        for cause in reading.causes:
            plate = re.match(r"an element of (\d+) W, (\d+) V in place", cause.text)
            if plate:
                holds(cause, int(plate[2]) ** 2 / int(plate[1]))
            elif cause.text.startswith("two such elements"):
                holds(cause, own * (2.0 if cause.text.endswith("series") else 0.5))
            elif cause.text.startswith("an element that runs hot"):
                holds(cause, 1.03 * own, 1.12 * own)
            elif cause.text.startswith("a loose or burnt joint"):
                holds(cause, 1.15 * own, 1.6 * own)
            elif cause.text.startswith("a short"):
                holds(cause, 0.0, 0.3 * own)
            else:
                assert cause.expected is None
        if 0.3 < there / own < 0.85 or there / own > 1.65:
            texts = " ".join(cause.text for cause in reading.causes)
            alike = [f"{w} W, {v} V" for w, v in PLATES if abs(v**2 / w / there - 1) < 0.03]
            assert any(each in texts for each in alike) or "two such" in texts


def test_the_resistances_that_relays_can_join_are_each_right() -> None:
    one = 240.0**2 / 1500
    for ratio in (1 / 3, 1 / 2, 2 / 3, 1, 3 / 2, 2, 3):
        found = read("switched", element_amps="2 A", element_volts=f"{2 * one * ratio} V",
                     irradiance="700 W/m2", cell_temperature="40 degC")  # fmt: skip
        reading = only(found, "element_resistance")
        assert float(reading.expected.value) == pytest.approx(one * ratio)
        assert not reading.causes


# At the pump


Flow = Callable[[float, float | None], float]


@cache
def plain_pump(name: str, number: int = 0) -> tuple[Site, PumpTable, Flow]:
    """A pump with its flow at a pressure [Pa], at the file's level or at a depth [m]."""
    case = case_of(name)
    site, table, pump = case.site, case.site.pump[number], case.pumps[number]
    curve = PchipInterpolator([*map(float, table.flow)], [*map(float, table.head)])
    duty: Duty = pump.duties[0]
    weight = pieces_of(site, table, pump.intake_depth, duty, 0.0)["pressure"] / duty.pressure

    def flow(pressure: float, depth: float | None = None) -> float:
        def spare(each: float) -> float:
            pieces = pieces_of(site, table, pump.intake_depth, duty, each)
            pieces["pressure"] = pressure * weight
            level = level_at(site, pump.intake_depth, each) if depth is None else depth
            return float(curve(each)) - level - sum(pieces.values())

        most = float(table.flow[-1])
        return most if spare(most) > 0 else float(brentq(spare, 1e-9, most))

    return site, table, flow


def stored(site: Site, precharge: float, pressure: float, air: float) -> float:
    tank = site.pressure_tank
    size = float(tank.volume) * tank.count
    return max(0.0, size * (1.0 - (precharge + air) / (pressure + air)))


def fill(name: str, precharge: float | None = None, depth: float | None = None) -> float:
    """Time from cut-in to cut-out [s]."""
    site, _, flow = plain_pump(name)
    tank, switch, told = site.pressure_tank, site.pressure_switch, case_of(name).pressure_tank
    assert tank is not None
    air = told.atmospheric_pressure
    charged = float(tank.precharge) if precharge is None else precharge
    pressures = np.linspace(float(switch.cut_in), float(switch.cut_out), 11)
    volumes = [stored(site, charged, each, air) for each in pressures]
    flows = np.array([flow(each, depth) for each in pressures])
    return float(np.trapezoid(1.0 / flows, x=volumes))


def test_every_cause_of_a_fill_is_computed() -> None:
    name = "south_slope"
    site, table, _ = plain_pump(name)
    usual, tank = fill(name), case_of(name).pressure_tank
    cut_in, cut_out = tank.cut_in, tank.cut_out
    rest, intake = float(site.well.static_level), float(table.intake_depth)
    deep = [fill(name, depth=rest + 3.0), fill(name, depth=intake)]
    bands: dict[str, tuple[float, ...]] = {
        "a precharge far too low": (fill(name, 0.0), fill(name, 0.9 * cut_in)),
        "a precharge above cut-in": (
            fill(name, 1.1 * cut_in), fill(name, 0.5 * (cut_in + cut_out)),
        ),
        "water that stands deeper": (usual, *deep),
        "a tap open, a leak": (1.1 * usual, 4.0 * usual),
        "a tank larger": (1.1 * usual, 2.0 * usual),
        "water that stands higher": (usual, fill(name, depth=0.0)),
        "a tank smaller": (0.05 * usual, 0.9 * usual),
    }  # fmt: skip
    told_of = set()
    for share in (0.06, 0.3, 0.6, 0.8, 1.2, 1.35, 1.6, 2.5):
        reading = only(read(name, fill_time=f"{share * usual:.2f} s"), "fill_time")
        assert float(reading.expected.value) == pytest.approx(usual, rel=0.01)
        assert reading.expected.value.low < 0.96 * usual < 1.04 * usual
        assert reading.expected.value.high == pytest.approx(1.05 * usual, rel=0.01)
        told = implied(reading)
        drawn = stored(site, tank.precharge, cut_out, tank.atmospheric_pressure)
        drawn -= stored(site, tank.precharge, cut_in, tank.atmospheric_pressure)
        assert told["implied_flow"] == pytest.approx(drawn / (share * usual), rel=1e-3)
        depth = told.get("implied_pumping_level")
        if depth is not None:
            assert fill(name, depth=float(depth)) == pytest.approx(share * usual, rel=0.01)
        assert reading.causes
        for cause in reading.causes:
            for text, values in bands.items():
                if cause.text.startswith(text):
                    holds(cause, *values, rel=0.02)
                    told_of.add(text)
    assert len(told_of) >= 4


def test_a_bucket_is_the_pumps_point_or_tells_the_water() -> None:
    name = "south_slope"
    site, table, flow = plain_pump(name)
    assert site.pressure_switch is not None
    gauge = 40 * PSI
    usual = flow(gauge, None)
    intake = float(table.intake_depth)
    bands: dict[str, tuple[float, ...]] = {
        "water that stands deeper": (usual, flow(gauge, intake)),
        "a leak in the drop pipe": (0.3 * usual, 0.9 * usual),
        "water from the tank": (1.1 * usual, 4.0 * usual),
        "water that stands higher": (usual, flow(gauge, 0.0)),
    }
    for share in (0.4, 0.7, 0.9, 1.0, 1.1, 1.2, 2.0):
        seconds = 5 * GALLON / (share * usual)
        found = read(name, bucket_volume="5 gal", bucket_time=f"{seconds:.3f} s",
                     gauge_pressure="40 psi")  # fmt: skip
        reading = only(found, "bucket_flow")
        assert float(reading.measured) == pytest.approx(share * usual, rel=1e-3)
        band = reading.expected.value
        ends = (0.95 * usual, usual, 1.05 * usual)
        assert (band.low, float(band), band.high) == pytest.approx(ends, rel=3e-3)
        assert bool(reading.causes) is not (0.95 < share < 1.05)
        told = implied(reading)
        if "implied_pumping_level" in told:
            depth = float(told["implied_pumping_level"])
            if depth > 0.0:
                assert flow(gauge, depth) == pytest.approx(share * usual, rel=3e-3)
            head = PchipInterpolator([*map(float, table.flow)], [*map(float, table.head)])
            assert told["implied_head"] == pytest.approx(float(head(share * usual)), rel=1e-3)
        for cause in reading.causes:
            for text, values in bands.items():
                if cause.text.startswith(text):
                    holds(cause, *values, rel=5e-3)


def test_every_cause_of_a_motors_current_is_computed() -> None:
    """Power of the sheet over volts and power factor."""
    name = "ridge_house"
    site, table, flow = plain_pump(name)
    watts = PchipInterpolator([*map(float, table.flow)], [*map(float, table.power)])
    per_watt = 1.0 / (float(table.voltage) * float(table.power_factor))
    switch = site.pressure_switch
    cuts = (float(switch.cut_in), float(switch.cut_out))

    def amps(pressure: float, depth: float | None = None) -> float:
        return float(watts(flow(pressure, depth))) * per_watt

    usual = (amps(cuts[0]) + amps(cuts[1])) / 2
    closed, run_out = (float(table.power[end]) * per_watt for end in (0, -1))
    bands: dict[str, tuple[float, ...]] = {
        "a bound pump": (1.15 * usual, 6.0 * usual),
        "a supply voltage below": (usual / 0.98, usual / 0.8),
        "a start winding": (1.3 * usual, 2.5 * usual),
        "a pump that draws air": (0.25 * usual, 0.65 * usual),
        "a supply voltage above": (usual / 1.15, usual / 1.02),
        "a closed valve": (amps(cuts[0]), closed),
        "more flow than thought": (amps(cuts[0]), run_out),
        "water that stands higher": (amps(cuts[1]), amps(cuts[1], 0.0)),
        "water that stands deeper": (amps(cuts[1]), amps(cuts[1], float(table.intake_depth))),
    }
    told_of = set()
    for share in (0.02, 0.3, 0.6, 0.72, 0.8, 1.15, 1.3, 1.7, 3.0):
        written = f"{share * usual:.3f} A"
        reading = only(read(name, pump_amps=written, pump=table.name), "pump_amps")
        assert float(reading.expected.value) == pytest.approx(usual, rel=5e-3)
        told = implied(reading)
        assert told["implied_input_power"] == pytest.approx(share * usual / per_watt, rel=2e-3)
        assert reading.causes
        for cause in reading.causes:
            for text, values in bands.items():
                if cause.text.startswith(text):
                    holds(cause, *values, rel=5e-3)
                    told_of.add(text)
    assert len(told_of) >= 6


def test_levels_tell_drawdown_and_capacity() -> None:
    name = "south_slope"
    site, _, flow = plain_pump(name)
    rest, capacity = float(site.well.static_level), float(site.well.specific_capacity)
    switch = site.pressure_switch
    cuts = (float(switch.cut_in), float(switch.cut_out))
    drops = [flow(each, None) / capacity for each in cuts]
    usual = rest + sum(drops) / 2
    ends = (rest + 0.95 * min(drops) - 0.15, rest + 1.05 * max(drops) + 0.15)
    drop = usual - rest
    bands: dict[str, tuple[float, ...]] = {
        "a well that gives less": (rest + 1.05 * drop, rest + 2.5 * drop),
        "water that stands deeper at rest": (usual, usual + 10.0),
        "a neighbour's well": (rest + 1.05 * drop, rest + 1.3 * drop),
        "not settled yet": (rest, usual),
        "water that stands higher at rest": (usual - 10.0, usual),
    }
    for depth in (rest + 0.3 * drop, usual - 0.9 * drop, usual + 2.0, usual + 6.0, usual + 14.0):
        reading = only(read(name, pumping_level=f"{depth:.4f} m"), "pumping_level")
        band = reading.expected.value
        assert float(band) == pytest.approx(usual, rel=1e-3)
        assert (band.low, band.high) == pytest.approx(ends, rel=1e-3)
        told = implied(reading)
        assert told["implied_drawdown"] == pytest.approx(depth - rest, abs=1e-3)
        there = sum(flow(each, depth) for each in cuts) / 2
        assert told["implied_flow"] == pytest.approx(there, rel=2e-3)
        assert told["implied_capacity"] == pytest.approx(there / (depth - rest), rel=5e-3)
        assert reading.causes
        for cause in reading.causes:
            for text, values in bands.items():
                if cause.text.startswith(text):
                    holds(cause, *values, rel=2e-3)
    at_rest = only(read(name, static_level=f"{rest} m"), "static_level")
    slack = max(0.15, 0.02 * rest)
    band = at_rest.expected.value
    assert (band.low, band.high) == pytest.approx((rest - slack, rest + slack))


# At the pressure tank and the hot water


def test_the_tanks_air_and_gauge_by_boyle() -> None:
    name = "south_slope"
    site, table, flow = plain_pump(name)
    told_tank = case_of(name).pressure_tank
    air, cut_in, cut_out = (told_tank.atmospheric_pressure, told_tank.cut_in, told_tank.cut_out)
    for psi in (10.0, 20.0, 28.0, 35.0):
        reading = only(read(name, precharge=f"{psi} psi"), "precharge")
        band = reading.expected.value
        ends = pytest.approx((25 * PSI, 28 * PSI, 30 * PSI), abs=1.0)
        assert (band.low, float(band), band.high) == ends
        water = stored(site, psi * PSI, cut_out, air) - stored(site, psi * PSI, cut_in, air)
        assert implied(reading)["implied_water"] == pytest.approx(water, rel=1e-6)
        assert bool(reading.causes) is not (25 <= psi <= 30)
    for psi in (20.0, 40.0, 55.0, 78.0, 110.0):
        reading = only(read(name, gauge_pressure=f"{psi} psi", pump_state="on"), "gauge_pressure")
        band = reading.expected.value
        ends = (cut_in - 2 * PSI, (cut_in + cut_out) / 2, cut_out + 2 * PSI)
        assert (band.low, float(band), band.high) == pytest.approx(ends)
        told = implied(reading)
        assert bool(reading.causes) is not (28 <= psi <= 52)
        # Its relief valve opens at 75 psi, its plate bears 100 psi.
        wanted = "breaker off" if psi > 52 else ""
        assert wanted in reading.warning
        assert bool(reading.warning) is (psi > 52)
        assert ("more than many vessels stand" in reading.warning) is (psi > 100)
        assert ("did not open either" in reading.warning) is (77 < psi <= 100)
        if psi > 78.0:
            assert told["implied_flow"] == 0.0
            continue
        there = flow(psi * PSI, None)
        assert told["implied_flow"] == pytest.approx(there, rel=2e-3)
        curve = PchipInterpolator([*map(float, table.flow)], [*map(float, table.head)])
        assert told["implied_head"] == pytest.approx(float(curve(there)), rel=2e-3)
        level = level_at(site, float(table.intake_depth), there)
        assert told["implied_pumping_level"] == pytest.approx(level, rel=2e-3)
    found = read(name, evening_pressure="50 psi", morning_pressure="35 psi", hours_between="9 h")
    reading = only(found, "pressure_decay")
    assert float(reading.measured) == pytest.approx(15 * PSI)
    rough = {"evening_pressure": "50 psi +- 1 psi", "morning_pressure": "35 psi +- 2 psi"}
    wide = only(read(name, hours_between="9 h", **rough), "pressure_decay").measured
    assert (wide.low, float(wide), wide.high) == pytest.approx((12 * PSI, 15 * PSI, 18 * PSI))
    charged = told_tank.precharge
    leak = stored(site, charged, 50 * PSI, air) - stored(site, charged, 35 * PSI, air)
    assert implied(reading)["implied_leak"] == pytest.approx(leak / (9 * HOUR), rel=1e-6)
    assert "drips" in reading.causes[0].text


@pytest.mark.parametrize("warmth", [38.0, 45.0, 50.0, 58.0])
def test_a_warm_tank_holds_its_heat_and_water(warmth: float) -> None:
    case = case_of("ridge_house")
    site, tank = case.site, case.heated_tank
    cold, tap = tank.inlet_temperature, tank.tap.temperature
    reading = only(read("ridge_house", tank_temperature=f"{warmth} degC"), "tank_temperature")
    told = implied(reading)
    held = 4.1306e6 * tank.tank_volume * (warmth - cold)
    assert told["implied_heat"] == pytest.approx(held, rel=1e-3)
    water = told.get("implied_tap_water")
    assert (water is not None) is (warmth > tap)
    if water is not None:
        mixed = tank.tank_volume * (warmth - cold) / (tap - cold)
        assert float(water) == pytest.approx(mixed, rel=1e-6)
    found = only(read("ridge_house", tap_temperature=f"{warmth} degC"), "tap_temperature")
    valve = (120 - 32) / 1.8
    assert implied(found)["implied_off_setting"] == pytest.approx(warmth - valve, abs=1e-6)
    assert bool(found.warning) is (warmth > valve + 3.0)
    assert site.water_heater is not None


def test_nothing_is_wrong_where_all_is_as_the_sheet_says() -> None:
    """What the commissioning sheet expects is no cause for anything."""
    usual = fill("south_slope")
    _, table, flow = plain_pump("south_slope")
    watts = PchipInterpolator([*map(float, table.flow)], [*map(float, table.power)])
    amps = float(watts(flow(40 * PSI, None))) / float(table.voltage * table.power_factor)
    found = read("south_slope", fill_time=f"{usual:.1f} s", static_level="120 ft",
                 pump_amps=f"{amps:.2f} A", precharge="28 psi")  # fmt: skip
    assert len(found) == 4
    assert not any(reading.causes for reading in found)
    assert not any(reading.warning for reading in found)
