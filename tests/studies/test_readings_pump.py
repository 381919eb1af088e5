"""Readings at pump, well and pressure tank, against integrals of the test's own by scipy.

The sites are invented. The head of the system is level, height of the tank, pressure over the
water's weight and the pipes' friction; only the friction is the program's, which has tests.
"""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from tests.studies.conftest import PUMP
from wellsolar.errors import SiteFileError
from wellsolar.results.readings import ReadingResult
from wellsolar.site.loading.read import SiteFile
from wellsolar.studies.pump.study import pump_on_well

Make = Callable[..., SiteFile]
Read = Callable[..., list[ReadingResult]]

PSI, GALLON, FOOT, GPM = 6894.757, 3.785411784e-3, 0.3048, 3.785411784e-3 / 60
WEIGHT = 999.5 * 9.80665
"""Of a cubic metre of water at 13 degC [N], density from memory."""

FRUGAL = """[[pump]]
name = "frugal pump"
intake_depth = "170 ft"
flow = "0, 1, 2, 3, 4, 5 gpm"
head = "480, 440, 385, 310, 210, 90 ft"
power = "330, 385, 430, 460, 475, 480 W"
voltage = "230 V"
power_factor = "95 %"
"""
ROTOR = """[[pump]]
name = "rotor"
kind = "helical rotor"
intake_depth = "180 ft"
flow = "0, 3.0, 3.4, 3.8, 4.2 gpm"
head = "520, 420, 280, 140, 20 ft"
power = "900, 760, 580, 400, 240 W"
voltage = "400 V"
phases = 3
power_factor = "85 %"
"""

FILLS = {
    "at the sea": ({}, "house pump"),
    "frugal of two, deep": (
        {"pumps": PUMP + FRUGAL, "static": "110 ft", "well": 'specific_capacity = "0.2 gpm/ft"'},
        "frugal pump",
    ),
    "high, two tanks": (
        {
            "altitude": "2500 m",
            "switch": 'cut_in = "2.0 bar"\ncut_out = "3.5 bar"',
            "tank": 'volume = "150 L"\ncount = 2\nprecharge = "1.8 bar"',
        },
        "house pump",
    ),
    "rotor, level falls with the flow": (
        {
            "pumps": PUMP + ROTOR,
            "well": 'specific_capacity = "0.08 gpm/ft"',
            "altitude": "1200 m",
            "switch": 'cut_in = "30 psi"\ncut_out = "50 psi"',
            "tank": 'volume = "44 gal"\nprecharge = "28 psi"',
        },
        "rotor",
    ),
}
"""Parts of the usual site in other words, and the pump that is read."""


def atmosphere(site: SiteFile) -> float:
    """The standard atmosphere [Pa], U.S. Standard Atmosphere 1976 by its formula."""
    return 101325.0 * (1 - 2.25577e-5 * float(site.site.site.altitude)) ** 5.25588


def flow_of(site: SiteFile, name: str, level_of: Callable[[float], float]) -> Callable[..., float]:
    """Flow at a pressure [Pa] with the water at a level that depends on the flow, by Brent."""
    index = [each.name for each in site.site.pump].index(name)
    table = site.site.pump[index]
    on_well = pump_on_well(site.site, table, f"pump[{index + 1}]")
    curve = PchipInterpolator([float(q) for q in table.flow], [float(h) for h in table.head])
    height = 8 * FOOT

    def lacks(flow: float, pressure: float) -> float:
        friction = on_well.line.friction_darcy(flow)
        return float(curve(flow) - level_of(flow) - height - pressure / WEIGHT - friction)

    return lambda pressure: brentq(lacks, 1e-9, float(table.flow[-1]), args=(pressure,))


def level_by(site: SiteFile) -> Callable[[float], float]:
    well = site.site.well
    assert well.specific_capacity is not None
    rest, capacity = float(well.static_level), float(well.specific_capacity)
    return lambda flow: rest + flow / capacity


def fill(site: SiteFile, flow: Callable[[float], float], precharge: float) -> tuple[float, float]:
    """Seconds and water [m3] from cut-in to cut-out: Boyle's dV/dp over the flow, integrated."""
    switch, tank, air = site.site.pressure_switch, site.site.pressure_tank, atmosphere(site)
    assert switch is not None
    assert tank is not None
    held = float(tank.volume) * tank.count * (precharge + air)
    begin, end = max(float(switch.cut_in), precharge), float(switch.cut_out)
    seconds = quad(lambda p: held / (p + air) ** 2 / flow(p), begin, end, epsrel=1e-4)[0]
    return seconds, held * (1 / (begin + air) - 1 / (end + air))


def only(found: list[ReadingResult], key: str) -> ReadingResult:
    (reading,) = [each for each in found if each.key == key]
    return reading


def implied(reading: ReadingResult, key: str) -> float:
    return float(next(each.value for each in reading.implied if each.key == key))


def kept(reading: ReadingResult) -> set[str]:
    return {each.key for each in reading.implied}


@pytest.mark.parametrize("name", FILLS)
def test_a_fill_gives_flow_and_level_of_the_model_that_made_it(
    name: str, make_site: Make, read_at: Read
) -> None:
    changed, pump = FILLS[name]
    site = make_site(**changed)
    tank = site.site.pressure_tank
    assert tank is not None
    flow = flow_of(site, pump, level_by(site))
    seconds, water = fill(site, flow, float(tank.precharge or np.nan))
    reading = only(read_at(site, fill_time=f"{seconds} s", pump=pump), "fill_time")
    assert implied(reading, "implied_flow") == pytest.approx(water / seconds, rel=0.02)
    mean_level = level_by(site)(water / seconds)
    assert implied(reading, "implied_pumping_level") == pytest.approx(mean_level, rel=0.02)
    assert reading.expected is not None
    assert float(reading.expected.value) == pytest.approx(seconds, rel=0.02)
    assert not reading.causes


@pytest.mark.parametrize("level", [30.0, 45.0])
def test_a_fill_tells_a_level_that_is_not_the_files(
    level: float, make_site: Make, read_at: Read
) -> None:
    site = make_site(tank='volume = "119 gal"\nprecharge = "38 psi"', altitude="1600 m")
    flow = flow_of(site, "house pump", lambda _: level)
    seconds, _ = fill(site, flow, 38 * PSI)
    reading = only(read_at(site, fill_time=f"{seconds}"), "fill_time")
    assert implied(reading, "implied_pumping_level") == pytest.approx(level, rel=0.02)


@pytest.mark.parametrize("share", [0.2, 0.5, 0.8, 1.2, 1.35])
@pytest.mark.parametrize("name", ["at the sea", "high, two tanks"])
def test_a_wrong_precharge_shows_and_is_told_by_the_bucket(
    name: str, share: float, make_site: Make, read_at: Read
) -> None:
    """The tank fills by its true air, the bucket by the pump's curve at mid pressure."""
    changed, pump = FILLS[name]
    site = make_site(**changed)
    switch = site.site.pressure_switch
    assert switch is not None
    flow = flow_of(site, pump, level_by(site))
    air = share * float(switch.cut_in)
    seconds, _ = fill(site, flow, air)
    middle = (float(switch.cut_in) + float(switch.cut_out)) / 2
    litres = flow(middle) * 60 * 1000
    found = read_at(
        site, pump=pump, fill_time=f"{seconds} s", bucket_volume=f"{litres} L",
        bucket_time="60 s", gauge_pressure=f"{middle / 1000} kPa",
    )  # fmt: skip
    reading = only(found, "fill_time")
    told = "far too low" if share < 1 else "above cut-in"
    key = "implied_precharge" if share < 1 else "implied_precharge_above"
    assert implied(reading, key) == pytest.approx(air, abs=2 * PSI)
    if share <= 0.8:
        assert told in reading.causes[0].text
    elif reading.causes:
        assert any("precharge" in each.text for each in reading.causes)
    assert not only(found, "bucket_flow").causes


def test_a_precharge_that_was_read_clears_the_tank(make_site: Make, read_at: Read) -> None:
    """The fill of a tank at 20 psi, told with that reading, is right; the precharge is not."""
    site = make_site()
    seconds, _ = fill(site, flow_of(site, "house pump", level_by(site)), 20 * PSI)
    found = read_at(site, fill_time=f"{seconds}", precharge="20 psi")
    assert not only(found, "fill_time").causes
    assert only(found, "precharge").causes


@pytest.mark.parametrize(
    ("pump", "phases", "volts", "factor"),
    [("house pump", 1.0, 230.0, 0.8), ("rotor", sqrt(3.0), 400.0, 0.85)],
)
def test_amperes_are_power_over_volts_phases_and_power_factor(
    pump: str, phases: float, volts: float, factor: float, make_site: Make, read_at: Read
) -> None:
    site = make_site(pumps=PUMP + ROTOR)
    table = next(each for each in site.site.pump if each.name == pump)
    flow = flow_of(site, pump, level_by(site))(45 * PSI)
    assert table.power is not None
    watts = np.interp(flow, [float(q) for q in table.flow], [float(p) for p in table.power])
    amps = float(watts / (volts * phases * factor))
    reading = only(read_at(site, pump=pump, pump_amps=f"{amps}", gauge_pressure="45 psi"),
                   "pump_amps")  # fmt: skip
    assert reading.expected is not None
    assert float(reading.expected.value) == pytest.approx(amps, rel=0.02)
    assert implied(reading, "implied_input_power") == pytest.approx(watts, rel=1e-6)
    assert not reading.causes


@pytest.mark.parametrize(
    ("pump", "factor", "words"),
    [
        ("house pump", 4.0, "bound"),
        ("house pump", 1.2, "voltage"),
        ("house pump", 0.4, "draws air"),
        ("house pump", 0.0, "supply"),
        # Its power rises with the head: throttled it takes more.
        ("rotor", 1.35, "throttled"),
    ],
)
def test_a_pumps_current_that_is_off_names_its_cause(
    pump: str, factor: float, words: str, make_site: Make, read_at: Read
) -> None:
    site = make_site(pumps=PUMP + ROTOR)
    usual = only(read_at(site, pump=pump, pump_amps="1"), "pump_amps").expected
    assert usual is not None
    amps = factor * float(usual.value)
    reading = only(read_at(site, pump=pump, pump_amps=f"{amps}"), "pump_amps")
    assert words in " ".join(each.text for each in reading.causes)


def test_a_pump_without_power_or_volts_says_which_key_it_needs(
    make_site: Make, read_at: Read
) -> None:
    plain = "\n".join(
        line for line in FRUGAL.splitlines() if not line.startswith(("power =", "voltage"))
    )
    bare = plain.replace('power_factor = "95 %"', 'supply = "DC"')
    found = read_at(make_site(pumps=f"{PUMP}{bare}\n"), pump="frugal pump", pump_amps="2")
    assert only(found, "pump_amps").needs == ("pump[2].voltage",)
    found = read_at(make_site(pumps=f"{PUMP}{plain}\n"), pump="frugal pump", pump_amps="2")
    assert only(found, "pump_amps").needs == ("pump[2].power",)


def test_a_pumping_level_gives_drawdown_and_specific_capacity(
    make_site: Make, read_at: Read
) -> None:
    """5 gal in 30 s is 10 gpm; 105 ft less 85 ft is 20 ft: 0.5 gpm/ft."""
    site = make_site()
    found = read_at(
        site, pumping_level="105 ft", bucket_volume="5 gal", bucket_time="30 s",
        gauge_pressure="50 psi",
    )  # fmt: skip
    reading = only(found, "pumping_level")
    assert implied(reading, "implied_drawdown") == pytest.approx(20 * FOOT)
    assert implied(reading, "implied_capacity") == pytest.approx(0.5 * GPM / FOOT)
    assert reading.expected is not None
    assert float(reading.expected.value) == pytest.approx(105 * FOOT)
    assert not reading.causes
    deep = only(read_at(site, pumping_level="130 ft"), "pumping_level")
    assert "gives less" in deep.causes[0].text
    early = only(read_at(site, pumping_level="92 ft"), "pumping_level")
    assert "not settled" in early.causes[0].text


def test_the_level_after_a_time_is_that_of_the_casings_balance(
    make_site: Make, read_at: Read
) -> None:
    """A dh/dt = Q(h) - C h by scipy; A the casing's 6.065 in less the drop pipe's 1.56 in outside
    (1.38 in and two walls of 0.092 in, SIDR 15, from memory)."""
    site = make_site(well='specific_capacity = "0.1 gpm/ft"\ncasing_bore = "6.065 in"')
    area = np.pi / 4 * (6.065**2 - 1.564**2) * 0.0254**2
    rest, capacity = 85 * FOOT, 0.1 * GPM / FOOT

    def drawn(minutes: float, pressure: float) -> float:
        def rate(_: float, drop: np.ndarray) -> list[float]:
            flow = flow_of(site, "house pump", lambda _: rest + float(drop[0]))(pressure)
            return [(flow - capacity * float(drop[0])) / area]

        return float(solve_ivp(rate, (0, minutes * 60), [0.0], rtol=1e-6).y[0, -1])

    for minutes in (3.0, 10.0):
        reading = only(
            read_at(site, pumping_level="120 ft", pumping_time=f"{minutes} min"), "pumping_level"
        )
        ends = [rest + drawn(minutes, pressure * PSI) for pressure in (40.0, 60.0)]
        assert reading.expected is not None
        band = reading.expected.value
        assert float(band) == pytest.approx(sum(ends) / 2, rel=0.02)
        assert band.low < min(ends) < max(ends) < band.high


def test_a_gauge_tells_flow_and_head_while_the_pump_runs(make_site: Make, read_at: Read) -> None:
    site = make_site()
    flow = flow_of(site, "house pump", level_by(site))(52 * PSI)
    (reading,) = read_at(site, gauge_pressure="52 psi", pump_state="on")
    assert implied(reading, "implied_flow") == pytest.approx(flow, rel=0.01)
    curve = PchipInterpolator(
        [each * GPM for each in (0, 4, 7, 10, 13)],
        [each * FOOT for each in (385, 365, 330, 270, 180)],
    )
    assert implied(reading, "implied_head") == pytest.approx(float(curve(flow)), rel=0.01)
    assert implied(reading, "implied_pumping_level") == pytest.approx(
        level_by(site)(flow), rel=0.01
    )
    (off,) = read_at(site, gauge_pressure="52 psi", pump_state="off")
    assert not off.implied


@pytest.mark.parametrize(
    ("gauge", "state", "words"),
    [
        ("20 psi", "on", "drawn than the pump gives"),
        ("20 psi", "off", "switch that does not close"),
        ("75 psi", "on", "switch that does not open"),
        ("75 psi", "off", "expands in the heater"),
    ],
)
def test_a_gauge_outside_the_switchs_band_names_its_cause(
    gauge: str, state: str, words: str, make_site: Make, read_at: Read
) -> None:
    (reading,) = read_at(make_site(), gauge_pressure=gauge, pump_state=state)
    assert words in reading.causes[0].text
    assert not reading.warning
    (burst,) = read_at(make_site(), gauge_pressure="130 psi", pump_state=state)
    assert "breaker off" in burst.warning


def test_a_level_that_was_read_sets_the_buckets_band(make_site: Make, read_at: Read) -> None:
    """With the level known a flow below the curve is the pump's or the pipe's fault."""
    site = make_site()
    flow = 0.8 * flow_of(site, "house pump", lambda _: 105 * FOOT)(50 * PSI)
    found = read_at(
        site, pumping_level="105 ft", gauge_pressure="50 psi",
        bucket_volume=f"{flow * 60} m3", bucket_time="60 s",
    )  # fmt: skip
    reading = only(found, "bucket_flow")
    assert reading.expected is not None
    assert float(reading.expected.value) == pytest.approx(flow / 0.8, rel=0.02)
    assert "worn pump" in reading.causes[0].text


def test_a_pump_that_is_not_there_is_told_with_those_that_are(
    make_site: Make, read_at: Read
) -> None:
    with pytest.raises(SiteFileError) as error:
        read_at(make_site(pumps=PUMP + FRUGAL), pump="solar", fill_time="60")
    said = '--pump: "solar" is no pump of the site: "house pump", "frugal pump"'
    assert said in str(error.value)
