"""Temperatures of the heated tank and of the nearest tap, against the tank's own year."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from wellsolar import kinds
from wellsolar.physics.sun.year import YearOfHours
from wellsolar.physics.tank import hot_water, scald
from wellsolar.physics.types import FloatArray
from wellsolar.results.readings import Band, Cause, Implied, ReadingResult
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import ElementTable, Site, WaterHeaterTable
from wellsolar.studies.heat.tank import (
    SecondTank,
    TankAtWork,
    grid_element_of,
    second_tank_of,
    setpoint_of,
    work_of,
)
from wellsolar.studies.heat.year import HeatedYear, heated_year, run_two_tanks, run_year
from wellsolar.studies.house.draws import (
    MOST_SECOND_TANKS,
    MOST_TANKS,
    draw_volume_of,
    draws_of_day,
)
from wellsolar.studies.pump.pressure_tank import study_pressure_tank
from wellsolar.studies.pump.study import study_pumps
from wellsolar.studies.reading.causes import Candidate, is_off, ranked
from wellsolar.studies.reading.sun import NEAR, ArrayAtReading, taken_words
from wellsolar.studies.safety.scald import SAFE_OUTLET
from wellsolar.studies.sun.year import plane_of_group, year_of_site
from wellsolar.studies.supply.diversion import diverted_heat, element_on_inverter
from wellsolar.studies.supply.system import feeders
from wellsolar.units import Quantity

THERMOMETER = 3.0
"""How far thermometer and place may be off together [K]; our choice."""

SCALDS = "it scalds: keep people from the taps until the valve is set"
TOO_HOT = "it scalds and the tank must not get hotter: open the array's isolator"


@dataclass(frozen=True, eq=False)
class TankYear:
    """The tank through the site's year; arrays hold at the ends of its hours [degC].

    top: of the tank that the modules heat; tap_top: of the tank that the taps draw from
    """

    work: TankAtWork
    driven: HeatedYear
    top: FloatArray
    tap_top: FloatArray

    def near(self, given: Readings) -> np.ndarray:
        """The hours whose ends a reading may have been taken at; all without month and time."""
        hours: YearOfHours = self.driven.plane.hours
        chosen = np.ones(hours.month.shape, dtype=bool)
        if given.hour is not None:
            apart = np.abs(hours.hour_of_day + 0.5 - given.hour)
            chosen &= np.minimum(apart, 24.0 - apart) < NEAR
        if given.month is not None:
            chosen &= hours.month == given.month
        return chosen

    @cached_property
    def alone(self) -> FloatArray:
        """Top of the tank with nothing but the modules' heat."""
        found = run_year(self.work, self.driven)
        return self.driven.fine.at_ends(found.top_temperature)


def tank_year(file: SiteFile, at: ArrayAtReading | None) -> TankYear | None:
    """The tank of a site through its year, with all that heats it.

    Parameters:
        file: a site file that was read
        at: the array on its element; None where only the inverter feeds one
    Returns:
        the tank; None where sun or draws are not known, or the draws are no household's
    """
    site, heater = file.site, file.site.water_heater
    year = None if heater is None else year_of_site(file).year
    if heater is None or year is None:
        return None
    surplus = None
    if element_on_inverter(site) is not None:
        pumps, _ = study_pumps(site)
        surplus = diverted_heat(site, pumps, study_pressure_tank(site, pumps)[0], year).power
    heated_by = _element(site, at)
    draw, _ = draw_volume_of(site, heater)
    if heated_by is None or draw is None:
        return None
    element, _ = heated_by
    work = work_of(site, heater, element)
    second = second_tank_of(heater)
    if draw > MOST_TANKS * work.tank.volume or (
        second is not None and draw > MOST_SECOND_TANKS * second.tank.volume
    ):
        return None
    draws = draws_of_day(heater.draw, draw)
    if at is not None and at.plane is not None:
        driven = heated_year(at.circuit, at.plane, draws, work.tank.volume, surplus)
    elif surplus is not None:
        index, group = feeders(site)[0]
        plane = plane_of_group(site, year, group, f"array[{index + 1}]")
        driven = HeatedYear(plane, surplus, surplus, draws, work.tank.volume)
    else:
        return None
    return _run(work, driven, heater, second)


def _run(
    work: TankAtWork, driven: HeatedYear, heater: WaterHeaterTable, second: SecondTank | None
) -> TankYear:
    if second is not None:
        both = run_two_tanks(work, second, driven)
        tops = (both.run.top_temperature, both.top_temperature)
    else:
        one = run_year(work, driven, grid=grid_element_of(heater)).top_temperature
        tops = (one, one)
    return TankYear(work, driven, *(driven.fine.at_ends(each) for each in tops))


def _element(site: Site, at: ArrayAtReading | None) -> tuple[ElementTable, str] | None:
    return element_on_inverter(site) if at is None else (at.on.element, at.on.path)


def read_tank(site: Site, of_year: TankYear | None, given: Readings) -> ReadingResult:
    """Water at the top of the tank that the modules heat.

    Parameters:
        site: a site with a water heater
        of_year: the tank through its year, None where that is not known
        given: readings of one time
    Returns:
        the result
    """
    read, heater = given.values["tank_temperature"], site.water_heater
    assert heater is not None
    most = _hottest(heater)
    if of_year is None:
        cold = float(site.well.water_temperature)
        low, high, middle = cold, most, (cold + most) / 2
        rests = "cold water to the highest thermostat, and 3 K (5 degF) more or less"
    else:
        tops = of_year.top[of_year.near(given)]
        low, high, middle = float(tops.min()), float(tops.max()), float(np.median(tops))
        rests = f"the tank's year, {taken_words(given) or 'all hours'}, and 3 K (5 degF)"
    band = Quantity(middle, kinds.TEMPERATURE, low - THERMOMETER, high + THERMOMETER)
    too_hot = read.low > most + THERMOMETER
    causes: tuple[Cause, ...] = ()
    if too_hot:
        causes = (
            Cause("a thermostat that does not open: turn the array's isolator off", None, 0.7),
            Cause("a thermometer that reads high", None, 0.2),
        )
    elif is_off(read, band) and read.low > band.high:
        causes = (
            Cause("less hot water drawn than the file says", None, 0.6),
            Cause("a thermostat set higher than the file says", None, 0.3),
        )
    elif is_off(read, band):
        causes = ranked(read, _too_cool(site, of_year, given, band))
    return ReadingResult(
        "tank_temperature", "water at the top of the tank", "water heater", "", read,
        Band(band, rests), tuple(_heat(site, heater, of_year, read, band)), causes,
        warning=TOO_HOT if too_hot else "",
    )  # fmt: skip


def _hottest(heater: WaterHeaterTable) -> float:
    """Highest setting of the tank's thermostats [degC]."""
    return max(setpoint_of(heater, element)[0] for element in heater.element)


def _too_cool(
    site: Site, of_year: TankYear | None, given: Readings, band: Quantity
) -> list[Candidate]:
    cold = float(site.well.water_temperature)
    below = np.array([cold, (cold + band.low) / 2, band.low])
    tried = [
        Candidate("more hot water drawn, or less sun, than in any such day of the file's year",
                  below, 0.7),
        Candidate("an array or element that gives less: read its amperes", below, 0.6),
        Candidate("a thermometer that sits low or loose: read at the top of the tank", below, 0.3),
    ]  # fmt: skip
    heater = site.water_heater
    grid = heater is not None and grid_element_of(heater) is not None
    if grid and of_year is not None:
        alone = of_year.alone[of_year.near(given)]
        text = "the element on the grid without supply, or its thermostat set low"
        tried.append(Candidate(text, np.asarray(alone), 1.0))
    return tried


def _heat(
    site: Site,
    heater: WaterHeaterTable,
    of_year: TankYear | None,
    read: Quantity,
    band: Quantity,
) -> list[Implied]:
    """Heat and warm water that a tank holds which is everywhere as warm as read."""
    cold, tap = float(site.well.water_temperature), float(heater.draw.temperature)
    ends = (read.low, float(read), read.high)
    made = []
    if of_year is not None:
        capacity = of_year.work.tank.heat_capacity
        low, middle, high = (capacity * (each - cold) for each in ends)
        held = Quantity(middle, kinds.ENERGY, low, high)
        made.append(Implied("implied_heat", "heat above cold water", held,
                            "if all of the tank is so warm"))  # fmt: skip
        if read.high < band.low:
            lacking = [capacity * (band.low - each) for each in ends]
            made.append(Implied("implied_missing_heat", "heat that is missing at least",
                                Quantity(lacking[1], kinds.ENERGY, lacking[2], lacking[0]),
                                "up to the coolest that is expected"))  # fmt: skip
    if float(read) > tap > cold:
        volumes = [
            float(hot_water.delivered_volume(float(heater.volume), max(each, tap), cold, tap))
            for each in ends
        ]
        made.append(Implied("implied_tap_water", "mixed water it gives",
                            Quantity(volumes[1], kinds.VOLUME, volumes[0], volumes[2]),
                            "at the tap's temperature, if all of it is so warm"))  # fmt: skip
    return made


def read_tap(site: Site, of_year: TankYear | None, given: Readings) -> ReadingResult:
    """Hot water at the nearest tap, run until it is as warm as it gets.

    Parameters:
        site: a site with a water heater
        of_year: the tank through its year, None where that is not known
        given: readings of one time
    Returns:
        the result
    """
    read, heater = given.values["tap_temperature"], site.water_heater
    assert heater is not None
    valve = None if heater.mixing_valve is None else float(heater.mixing_valve.outlet)
    if of_year is None:
        cold = float(site.well.water_temperature)
        tops = np.array([cold, max(_hottest(heater), _of_second(heater))])
    else:
        tops = of_year.tap_top[of_year.near(given)]
    mixed = tops if valve is None else np.minimum(tops, valve)
    middle = float(np.median(mixed))
    ends = (float(mixed.min()) - THERMOMETER, float(mixed.max()) + THERMOMETER)
    band = Quantity(middle, kinds.TEMPERATURE, *ends)
    what = "the tank's top" if valve is None else "the tank's top, mixed to the valve's setting"
    rests = f"{what}, {taken_words(given) or 'all hours of the year'}, and 3 K (5 degF)"
    limit = SAFE_OUTLET if valve is None else min(valve, SAFE_OUTLET)
    hot = read.low > limit + THERMOMETER
    over = read.low > band.high
    causes: tuple[Cause, ...] = ()
    if hot or over:
        causes = _too_hot_at_tap(valve, over)
    elif is_off(read, band):
        causes = (
            Cause("water not run long enough: let it run until it gets no warmer", None, 0.5),
            Cause("a mixing valve set lower or stuck, or a tank that is cold: read its top",
                  None, 0.4),
        )  # fmt: skip
    return ReadingResult(
        "tap_temperature", "water at the tap", "water heater", "", read, Band(band, rests),
        tuple(_at_tap(read, valve)), causes, warning=SCALDS if hot else "",
    )  # fmt: skip


def _of_second(heater: WaterHeaterTable) -> float:
    return 0.0 if heater.second_tank is None else float(heater.second_tank.thermostat)


def _too_hot_at_tap(valve: float | None, over: bool) -> tuple[Cause, ...]:
    if valve is None:
        return (
            Cause("no mixing valve: have one fitted, set to 120 degF (49 degC)", None, 0.8),
            Cause("a tank that is hotter than its thermostat says", None, 0.1),
        )  # fmt: skip
    if over:
        return (
            Cause("a mixing valve set too high or stuck: keep people from the tap", None, 0.7),
            Cause("a thermometer that reads high", None, 0.2),
        )
    return (
        Cause("a mixing valve set above 120 degF (49 degC): have it set lower", None, 0.9),
        Cause("a thermometer that reads high", None, 0.1),
    )


def _at_tap(read: Quantity, valve: float | None) -> list[Implied]:
    """How far above the valve's setting, and how fast it burns."""
    made = []
    if valve is not None:
        off = Quantity(float(read) - valve, kinds.TEMPERATURE_DIFFERENCE,
                       read.low - valve, read.high - valve)  # fmt: skip
        made.append(Implied("implied_off_setting", "above the mixing valve's setting", off,
                            "below 0 where it is cooler"))  # fmt: skip
    for who in ("adult", "child"):
        times = [scald.burn_time(each, who) for each in (read.high, float(read), read.low)]
        if times[1].bound == "none":
            continue
        longest = times[1].seconds if times[2].bound == "none" else times[2].seconds
        burn = Quantity(times[1].seconds, kinds.DURATION, times[0].seconds, longest)
        why = "or less" if times[1].bound == "at most" else "by published times"
        made.append(Implied(f"implied_burn_{who}", f"time to a deep burn, {who}", burn, why))
    return made
