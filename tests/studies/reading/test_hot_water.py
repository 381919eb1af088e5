"""Temperatures of tank and tap, against arithmetic and what no tank can do.

The sites are invented.
"""

from __future__ import annotations

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from wellsolar import kinds
from wellsolar.results.readings import ReadingResult
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.readings.file import readings_of_options
from wellsolar.studies.case import Case
from wellsolar.studies.reading import hot_water
from wellsolar.studies.reading.study import study_readings
from wellsolar.units import Quantity
from wellsolar.verdicts import Remedy

Make = Callable[..., SiteFile]
Read = Callable[..., list[ReadingResult]]

GALLON = 3.785411784e-3
GRID = """[[water_heater.element]]
position = "upper"
rated_power = "4500 W"
rated_voltage = "240 V"
fed_by = "grid"
thermostat = "130 degF"
"""


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


def implied(reading: ReadingResult, key: str) -> float:
    return float(next(each.value for each in reading.implied if each.key == key))


def test_the_tank_is_warmer_in_july_and_in_the_evening(make_site: Make, read_at: Read) -> None:
    middles = []
    for month, time in (("1", "7:00"), ("7", "7:00"), ("7", "16:00")):
        (reading,) = read_at(make_site(), tank_temperature="50 degC", date=month, time=time)
        middles.append(float(reading.expected.value))
    assert middles == sorted(middles)
    # 1.2 kW of modules in 6.1 kWh/m2 a day bring some 3 kWh to the element by four in the
    # afternoon of July, at 0.6 of their best and 0.7 of the day; 50 gal take 0.22 kWh/K: 14 K.
    assert middles[2] - middles[0] > 10.0


def test_the_band_of_the_year_spans_that_of_every_hour(make_site: Make, read_at: Read) -> None:
    """And it lies between cold water and the thermostat, and 3 K."""
    site = make_site()
    (year,) = read_at(site, tank_temperature="50 degC")
    (month,) = read_at(site, tank_temperature="50 degC", date="4")
    (hour,) = read_at(site, tank_temperature="50 degC", date="4", time="12:00")
    bands = [each.expected.value for each in (year, month, hour) if each.expected is not None]
    assert celsius(55) - 3.1 < bands[0].low <= bands[1].low <= bands[2].low
    assert bands[2].high <= bands[1].high <= bands[0].high < celsius(150) + 3.1


def test_a_cool_tank_lacks_its_heat_in_kilowatt_hours(make_site: Make, read_at: Read) -> None:
    """V rho c dT, water by CoolProp; without supply the upper element explains it."""
    (reading,) = read_at(
        make_site(elements=GRID), tank_temperature="60 degF", date="1", time="7:00"
    )
    low = reading.expected.value.low
    assert low > celsius(100)
    density, heat = (PropsSI(key, "T", 310.0, "P", 101325, "Water") for key in ("D", "C"))
    missing = 50 * GALLON * density * heat * (low - celsius(60))
    assert implied(reading, "implied_missing_heat") == pytest.approx(missing, rel=0.01)
    held = 50 * GALLON * density * heat * (celsius(60) - celsius(55))
    assert implied(reading, "implied_heat") == pytest.approx(held, rel=0.01)
    assert "on the grid" in reading.causes[0].text


def test_what_a_thermometer_may_be_off_is_carried_to_the_heat(
    make_site: Make, read_at: Read
) -> None:
    (reading,) = read_at(make_site(), tank_temperature="50 degC +- 2 degC", date="6")
    heat = next(each.value for each in reading.implied if each.key == "implied_heat")
    cold = celsius(55)
    assert (heat.high - heat.low) / heat == pytest.approx(4.0 / (50.0 - cold), rel=1e-6)


@pytest.mark.parametrize("changed", [{}, {"sun": ""}], ids=["its year", "no sun told"])
def test_a_tank_hotter_than_its_thermostat_fails(
    changed: dict[str, str], make_site: Make, read_at: Read
) -> None:
    site = make_site(**changed)
    (reading,) = read_at(site, tank_temperature="165 degF")
    assert "isolator" in reading.warning
    found = study_readings(Case(site), [readings_of_options({"tank_temperature": "165 degF"})])
    (verdict,) = found.verdicts
    assert (verdict.status, verdict.rule.safety) == ("fail", True)


def test_a_tank_hotter_than_its_high_limit_says_that_it_failed_too(make_site: Make) -> None:
    """Set to 150 degF with a high limit of 170: neither has opened at 190; array and grid heat."""
    valve = 'high_limit = "170 degF"\n[water_heater.mixing_valve]\noutlet = "120 degF"'
    site = make_site(valve=valve, elements=GRID)
    found = study_readings(Case(site), [readings_of_options({"tank_temperature": "190 degF"})])
    (verdict,) = found.verdicts
    assert (verdict.status, verdict.rule.safety) == ("fail", True)
    assert "high limit failed as well" in verdict.reason.text("US")
    told = verdict.remedy.text("US")
    assert told.startswith("open the array's isolator and turn the heater's breaker off now")
    assert "both do not open" in told
    assert isinstance(verdict.remedy, Remedy)
    assert verdict.remedy.by_hand


def test_a_tap_is_no_hotter_than_the_valve(make_site: Make, read_at: Read) -> None:
    (more,) = read_at(make_site(), tap_temperature="119 degF", date="7", time="16:00")
    assert "less hot water drawn" in more.causes[0].text
    draw = 'volume = "30 gal"\ntemperature = "110 degF"\npattern = "medium"'
    site = make_site(draw=draw)
    (right,) = read_at(site, tap_temperature="119 degF", date="7", time="16:00")
    assert not right.warning
    assert not right.causes
    (hot,) = read_at(site, tap_temperature="140 degF", date="7", time="16:00")
    assert "scalds" in hot.warning
    assert "mixing valve" in hot.causes[0].text
    assert implied(hot, "implied_off_setting") == pytest.approx(20 / 1.8)
    # US CPSC document 5098: 140 degF burns an adult in 5 s (from memory).
    assert implied(hot, "implied_burn_adult") == pytest.approx(5.0)


def test_without_a_valve_a_tap_that_is_as_expected_still_scalds(
    make_site: Make, read_at: Read
) -> None:
    draw = 'volume = "8 gal"\ntemperature = "110 degF"\npattern = "low"'
    site = make_site(valve="", draw=draw)
    (reading,) = read_at(site, tap_temperature="145 degF", date="7", time="16:00")
    assert reading.expected.value.low < celsius(145) < reading.expected.value.high
    assert "scalds" in reading.warning
    assert "no mixing valve" in reading.causes[0].text


def test_a_second_tank_warms_the_tap(make_site: Make, read_at: Read) -> None:
    """A January morning: its thermostat holds the tap where the sun's tank is cool."""
    second = (
        '[water_heater.second_tank]\nvolume = "40 gal"\nheat_loss = "1.2 W/K"\n'
        'rated_power = "4500 W"\nthermostat = "125 degF"'
    )
    lows = []
    for more in ("", second):
        found = read_at(make_site(more=more), tap_temperature="110 degF", date="1", time="6:00")
        lows.append(float(found[0].expected.value))
    assert lows[1] > lows[0] + 5.0
    assert lows[1] > celsius(110)


@pytest.mark.parametrize(("second", "hottest"), [(None, 65.0), (60.0, 65.0), (71.0, 71.0)])
def test_without_a_year_a_tap_is_between_cold_and_the_hottest_thermostat(
    second: float | None, hottest: float
) -> None:
    """And 3 K for the thermometer."""
    downstream = None if second is None else SimpleNamespace(thermostat=second)
    tap = SimpleNamespace(
        visit=SimpleNamespace(job=SimpleNamespace(tank=None), given=SimpleNamespace(taken="")),
        heater=SimpleNamespace(second_tank=downstream), cold=10.0, hottest=65.0, valve=None,
        _mixed=hot_water._spread,
    )  # fmt: skip
    band = hot_water.TapTemperature.expected(tap).value  # type: ignore[arg-type]
    found = (band.low, float(band), band.high)
    assert found == pytest.approx((7.0, np.mean([10.0, hottest]), hottest + 3.0))


def warmth(middle: float, low: float | None = None, high: float | None = None) -> Quantity:
    ends = (middle if low is None else low, middle if high is None else high)
    return Quantity(middle, kinds.TEMPERATURE, *ends)


def by_hand(kind: type[Any], measured: Quantity, **more: Any) -> Any:
    """A reading of a tank of 200 L with elements to 50 and 60 degC on water of 10 degC, mixed
    water drawn at 40."""
    reading = object.__new__(kind)
    reading.cold = 10.0
    reading.heater = SimpleNamespace(
        **{
            "element": (50.0, 60.0), "high_limit": 80.0, "volume": 0.2, "second_tank": None,
            "draw": SimpleNamespace(temperature=40.0), "mixing_valve": None, **more,
        }
    )  # fmt: skip
    tank = more.get("tank")
    given = SimpleNamespace(taken="")
    reading.visit = SimpleNamespace(job=SimpleNamespace(tank=tank), given=given)
    vars(reading)["measured"] = measured
    return reading


@pytest.fixture
def _set_as_made(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(hot_water, "setpoint_of", lambda _, element: (element, ""))
    monkeypatch.setattr(hot_water, "grid_element_of", lambda _: None)


@pytest.mark.usefixtures("_set_as_made")
@pytest.mark.parametrize(
    ("low", "limit", "hot", "past"),
    [
        # 3 K by thermometer above the hottest thermostat, 60 degC, and above the high limit.
        (62.9, 80.0, False, False), (63.1, 80.0, True, False), (82.9, 80.0, True, False),
        (83.1, 80.0, True, True), (83.1, None, True, False),
    ],
)  # fmt: skip
def test_a_tank_too_hot_for_its_thermostats(
    low: float, limit: float | None, hot: bool, past: bool
) -> None:
    reading = by_hand(hot_water.TankTemperature, warmth(90.0, low, 95.0), high_limit=limit)
    assert (reading.too_hot, reading.past_limit) == (hot, past)
    assert len(reading.evident(warmth(50.0))) == 2 * hot


@pytest.mark.usefixtures("_set_as_made")
def test_the_bands_and_ways_of_a_tank_without_a_year() -> None:
    """From 10 degC to the hottest thermostat, 60, with 3 K either side; the middle between; colder
    than 50 the cold water, half way and 50."""
    reading = by_hand(hot_water.TankTemperature, warmth(45.0))
    band = reading.expected().value
    assert (band.low, float(band), band.high) == pytest.approx((7.0, 35.0, 63.0))
    assert band.kind is kinds.TEMPERATURE
    for way in reading._too_cool(warmth(55.0, 50.0, 60.0)):
        assert list(way.values) == pytest.approx([10.0, 30.0, 50.0])
    tap = by_hand(hot_water.TapTemperature, warmth(45.0))
    band = tap.expected().value
    assert (band.low, float(band), band.high) == pytest.approx((7.0, 35.0, 63.0))
    # A tank downstream that is hotter, or less hot; a valve that mixes to 48.
    for thermostat, high in ((70.0, 73.0), (55.0, 63.0)):
        second = SimpleNamespace(thermostat=thermostat)
        tap = by_hand(hot_water.TapTemperature, warmth(45.0), second_tank=second)
        assert tap.expected().value.high == pytest.approx(high)
    tap = by_hand(
        hot_water.TapTemperature, warmth(45.0), mixing_valve=SimpleNamespace(outlet=48.0)
    )
    band = tap.expected().value
    assert (band.low, float(band), band.high) == pytest.approx((7.0, 29.0, 51.0))


@pytest.mark.usefixtures("_set_as_made")
@pytest.mark.parametrize(
    ("read", "told"),
    [
        # Of 200 L at 55 degC 200 x (55 - 10) / (40 - 10) = 300 L at 40; no less than itself.
        (warmth(55.0, 52.0, 58.0), (0.28, 0.3, 0.32)),
        (warmth(41.0, 38.0, 44.0), (0.2, 0.2 * 31 / 30, 0.2 * 34 / 30)),
        (warmth(40.0, 38.0, 44.0), None), (warmth(30.0), None),
    ],
)  # fmt: skip
def test_mixed_water_that_a_tank_as_warm_gives(
    read: Quantity, told: tuple[float, ...] | None
) -> None:
    found = by_hand(hot_water.TankTemperature, read).implied()
    assert len(found) == (told is not None)
    if told is not None:
        water = found[0].value
        assert (water.low, float(water), water.high) == pytest.approx(told)


@pytest.mark.parametrize(
    ("low", "valve", "scalds"),
    [
        # 120 degF are 48.9 degC: with 3 K by thermometer 51.9; a valve set lower counts.
        (51.8, None, False), (52.0, None, True), (47.9, 45.0, False), (48.1, 45.0, True),
        (51.8, 60.0, False), (52.0, 60.0, True),
    ],
)  # fmt: skip
def test_a_tap_scalds_above_120_degf_or_its_valve(
    low: float, valve: float | None, scalds: bool
) -> None:
    mixing = None if valve is None else SimpleNamespace(outlet=valve)
    reading = by_hand(hot_water.TapTemperature, warmth(low + 1, low, low + 2), mixing_valve=mixing)
    assert reading.scalds is scalds


def test_how_likely_each_cause_of_a_hot_tap_is() -> None:
    """The valve's own doing first, or the want of one: at least seven cases in ten; a thermometer
    or thermostat that is off in one or two. Common practice, no source. Together they are all of
    them, or leave a tenth for what is not named."""
    for valve in (None, 50.0):
        for over in (True, False):
            first, second = (cause.share for cause in hot_water._too_hot_at_tap(valve, over))
            assert 0.7 <= first <= 0.9
            assert 0.1 <= second <= 0.2
            assert 0.9 <= round(first + second, 9) <= 1.0


@pytest.mark.parametrize(
    ("high", "valve", "drawn"),
    [(52.9, 50.0, True), (53.1, 50.0, False), (52.9, None, False)],
)
def test_a_tap_within_3_k_of_its_valve_is_the_valve_s_own_doing(
    high: float, valve: float | None, drawn: bool
) -> None:
    """How far a valve may lie from its setting: common practice, no source."""
    mixing = None if valve is None else SimpleNamespace(outlet=valve)
    reading = by_hand(hot_water.TapTemperature, warmth(50.0, 48.0, high), mixing_valve=mixing)
    causes = reading.explained(warmth(45.0), False)
    assert any("less hot water drawn" in cause.text for cause in causes) is drawn
