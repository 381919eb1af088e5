"""A visit to the finished job: what was read at one time, and what the site's model is then."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from wellsolar.physics.types import FloatArray
from wellsolar.results.pumps import PumpResult
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import ElementTable, Site, WaterHeaterTable
from wellsolar.studies.array.heater_circuit import OnArray
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.heat.tank import (
    SecondTank,
    TankAtWork,
    grid_element_of,
    second_tank_of,
    work_of,
)
from wellsolar.studies.heat.year import (
    HeatedYear,
    heat_beside,
    heated_year,
    run_two_tanks,
    run_year,
)
from wellsolar.studies.house.demand import (
    draw_volume_of,
    draws_of_day,
    is_no_households,
)
from wellsolar.studies.house.wells import at_well
from wellsolar.studies.reading.pumps import ReadPump
from wellsolar.studies.reading.sun import ArrayAtReading, array_at_reading, near_time
from wellsolar.studies.sun.year import plane_of_group
from wellsolar.studies.supply.diversion import element_on_inverter
from wellsolar.studies.supply.system import feeders
from wellsolar.units import Quantity


@dataclass(frozen=True, eq=False)
class TankYear:
    """The tank through the site's year; arrays hold at the ends of its hours [degC].

    top: of the tank that the modules heat; tap_top: of the tank that the taps draw from
    """

    work: TankAtWork
    driven: HeatedYear
    top: FloatArray
    tap_top: FloatArray

    @property
    def hour_of_day(self) -> FloatArray:
        """Time of day at the end of each hour [h]."""
        return self.driven.plane.hours.hour_of_day + 0.5

    def near(self, given: Readings) -> NDArray[np.bool_]:
        """The hours whose ends a reading may have been taken at; all without month and time."""
        months = self.driven.plane.hours.month
        return near_time(self.hour_of_day, months, given.hour, given.month)

    @cached_property
    def alone(self) -> FloatArray:
        """Top of the tank with nothing but the modules' heat."""
        run = run_year(self.work, self.driven)
        return self.driven.fine.at_ends(run.top_temperature)


def _tank_year(case: Studied, at: ArrayAtReading | None) -> TankYear | None:
    """The tank of a site through its year, with all that heats it."""
    site, heater = case.site, case.site.water_heater
    year = None if heater is None else case.year
    if heater is None or year is None:
        return None
    surplus = case.diverted_heat.power
    element = _element(site, at)
    draw, _ = draw_volume_of(site, heater)
    if element is None or draw is None:
        return None
    work = work_of(site, heater, element)
    second = second_tank_of(heater)
    second_volume = math.inf if second is None else second.tank.volume
    if is_no_households(draw, work.tank.volume, second_volume):
        return None
    draws = draws_of_day(heater.draw, draw)
    if at is not None and at.plane is not None:
        beside = heat_beside(site, at.on, at.circuit, year, surplus)
        driven = heated_year(at.circuit, at.plane, draws, work.tank.volume, beside)
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


def _element(site: Site, at: ArrayAtReading | None) -> ElementTable | None:
    """The element that modules, or else the inverter, heat with."""
    if at is not None:
        return at.on.element
    on_inverter = element_on_inverter(site)
    return None if on_inverter is None else on_inverter[0]


@dataclass(frozen=True, eq=False)
class Job:
    """The finished job, with what is made of its site once for the readings that need it.

    on: the element that is read with its array; None for the first that modules feed
    """

    case: Studied
    on: OnArray | None = None

    @property
    def site(self) -> Site:
        """The site as its file has it."""
        return self.case.site

    @cached_property
    def array(self) -> ArrayAtReading | None:
        """The array on its element, with its sun; None where the site has none."""
        return array_at_reading(self.case, self.on)

    @cached_property
    def tank(self) -> TankYear | None:
        """The heated tank through the site's year; None where that is not known."""
        return _tank_year(self.case, self.array)


@dataclass(frozen=True, eq=False)
class Visit:
    """What was read at one time; nothing where the sheet asks what should be."""

    job: Job
    given: Readings

    @property
    def values(self) -> Mapping[str, Quantity]:
        """Readings by their key in the table."""
        return self.given.values

    @cached_property
    def pump(self) -> ReadPump | None:
        """The pump that was read: the one named, else the site's first; None without one."""
        site = self.job.site
        for table in site.pump:
            if self.given.pump in (None, table.name):
                return ReadPump(at_well(site, table), table, self.given)
        return None

    @property
    def pump_result(self) -> PumpResult:
        """What was studied of that pump."""
        assert self.pump is not None
        name = self.pump.table.name
        return next(result for result in self.job.case.pumps if result.name == name)
