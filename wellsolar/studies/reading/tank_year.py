"""The heated tank through the site's year, with all that heats it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from wellsolar.physics.types import FloatArray
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import ElementTable, Site, WaterHeaterTable
from wellsolar.studies.heat.tank import (
    SecondTank,
    TankAtWork,
    grid_element_of,
    second_tank_of,
    work_of,
)
from wellsolar.studies.heat.year import HeatedYear, heated_year, run_two_tanks, run_year
from wellsolar.studies.house.draws import (
    draw_volume_of,
    draws_of_day,
    is_no_households,
)
from wellsolar.studies.pump.pressure_tank import study_pressure_tank
from wellsolar.studies.pump.study import study_pumps
from wellsolar.studies.reading.sun import ArrayAtReading, near_time
from wellsolar.studies.sun.year import plane_of_group, year_of_site
from wellsolar.studies.supply.diversion import diverted_heat, element_on_inverter
from wellsolar.studies.supply.system import feeders


@dataclass(frozen=True, eq=False)
class TankYear:
    """The tank through the site's year; arrays hold at the ends of its hours [degC].

    top: of the tank that the modules heat; tap_top: of the tank that the taps draw from
    """

    work: TankAtWork
    driven: HeatedYear
    top: FloatArray
    tap_top: FloatArray

    def near(self, given: Readings) -> NDArray[np.bool_]:
        """The hours whose ends a reading may have been taken at; all without month and time."""
        hours = self.driven.plane.hours
        return near_time(hours.hour_of_day + 0.5, hours.month, given.hour, given.month)

    @cached_property
    def alone(self) -> FloatArray:
        """Top of the tank with nothing but the modules' heat."""
        run = run_year(self.work, self.driven)
        return self.driven.fine.at_ends(run.top_temperature)


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
    second_volume = math.inf if second is None else second.tank.volume
    if is_no_households(draw, work.tank.volume, second_volume):
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
    """The tank, and a second one after it where there is one, through the year."""
    if second is not None:
        both = run_two_tanks(work, second, driven)
        tops = (both.run.top_temperature, both.top_temperature)
    else:
        one = run_year(work, driven, grid=grid_element_of(heater)).top_temperature
        tops = (one, one)
    return TankYear(work, driven, *(driven.fine.at_ends(top) for top in tops))


def _element(site: Site, at: ArrayAtReading | None) -> tuple[ElementTable, str] | None:
    """The element that modules or inverter heat with, and its key path."""
    return element_on_inverter(site) if at is None else (at.on.element, at.on.path)
