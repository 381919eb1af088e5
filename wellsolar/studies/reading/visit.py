"""A visit to the finished job: what was read at one time, and what the site's model is then."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from wellsolar.results import PumpResult
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import Site
from wellsolar.studies.array.heater_circuit import OnArray
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.house.wells import at_well
from wellsolar.studies.reading.pumps import ReadPump
from wellsolar.studies.reading.sun import ArrayAtReading, array_at_reading
from wellsolar.studies.reading.tank_year import TankYear, tank_year
from wellsolar.units import Quantity


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
        return tank_year(self.case, self.array)


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
