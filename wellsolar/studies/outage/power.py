"""What a powered pump runs on when something has failed, and the water of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from wellsolar.constants import DAY
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import module_fit
from wellsolar.physics.sun.year import HOUR, YearOfHours
from wellsolar.physics.supply import battery as battery_year
from wellsolar.physics.supply import storage
from wellsolar.physics.types import FloatArray
from wellsolar.results.outages import DarkRun
from wellsolar.results.pumps import PumpResult
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.electric.starting import DIP, GENERATOR, RATING, SURGE, VOLTAGE
from wellsolar.studies.electric.supplies import (
    Supply,
    has_inverter,
    key_of,
    needs_three,
    on_the_sun,
    phases_of,
)
from wellsolar.studies.house.chain import has_cistern, link_of
from wellsolar.studies.house.wells import at_well
from wellsolar.studies.outage.equipment import Equipment, Event
from wellsolar.studies.sun.module_sheet import rating_of
from wellsolar.studies.sun.refused import why_refused
from wellsolar.studies.sun.year import SUN_KEYS
from wellsolar.studies.supply import system

HOURS_A_DAY = 24

NEARLY = 0.99
"""Part of what a pump could give above which energy is not what limits it."""


@dataclass(frozen=True)
class Powered:
    """Water of a pump on one kind of power.

    volume: on a day [m3]; power: what it runs on; limit: what limits it, or why it stands still
    needs: keys that would settle what is not known
    """

    volume: float
    power: str
    limit: str
    needs: tuple[str, ...] = ()


class SunOnPumps:
    """The modules of a site through its year, and each pump's water of them, each made once."""

    def __init__(self, has: Equipment) -> None:
        self.has = has
        self._arrays: dict[tuple[str, ...], system.FeedingArray] = {}
        self._volumes: dict[tuple[object, ...], Powered] = {}
        self._charges: dict[tuple[str, ...], FloatArray] = {}

    def dark_run(self, event: Event) -> DarkRun | None:
        """The darkest days of the year for the modules that still feed pump or battery."""
        site = _left(self.has.site, event.failed)
        array = self._array(site) if event.dark and site.array else None
        year = self.has.year
        if array is None or year is None:
            return None
        return _dark_run(array.total, event.days, year.hours)

    def water(self, pump: PumpResult, event: Event) -> Powered:
        """The water of a pump on modules and battery, or why there is none."""
        site = _left(self.has.site, event.failed, self.has.table(pump))
        stands = self._stands_still(site, pump, event)
        if stands is not None:
            return stands
        key = (
            pump.name, *(array.name for array in site.array), site.power.battery_energy,
            event.days if event.dark or not site.array else 0,
        )  # fmt: skip
        if key not in self._volumes:
            try:
                self._volumes[key] = self._water(site, pump, event)
            except OutOfRange as error:
                refusal = why_refused(error).text(site.site.print_units)
                self._volumes[key] = Powered(0.0, "none", refusal)
        return self._volumes[key]

    def _stands_still(self, site: Site, pump: PumpResult, event: Event) -> Powered | None:
        """Why a pump gets nothing of modules and battery; None where it does."""
        whole, table = self.has.site, self.has.table(pump)
        if pump.energy_per_volume is None:
            return Powered(0.0, "none", "it does not lift water up to the cut-out pressure")
        if not site.array and site.power.battery_energy is None:
            # Of a chain the battery is none of a pump's that the sun drives.
            stored = _left(whole, frozenset(), table).power.battery_energy is not None
            why = "the battery has failed" if stored else "no modules or battery feed it"
            return Powered(0.0, "none", why)
        if table.supply == "AC":
            if "inverter" in event.failed:
                return Powered(0.0, "none", "the inverter has failed")
            if not has_inverter(whole) and not system.is_direct(site):
                return Powered(0.0, "none", "no inverter feeds it")
            refused = _inverter_refuses(self.has, pump) if has_inverter(whole) else None
            if refused is not None:
                return refused
        if not system.is_direct(site) and site.power.battery_energy is None:
            why = "no battery backs it up"
            return Powered(0.0, "none", why, ("power.battery_energy",))
        if site.array and self._array(site) is None:
            missing = ["module"] if whole.module is None else []
            missing += ["site.latitude"] if whole.site.latitude is None else [*SUN_KEYS]
            return Powered(0.0, "none", "the file gives no data on the sun", tuple(missing[:2]))
        return None

    def _array(self, site: Site) -> system.FeedingArray | None:
        key = tuple(array.name for array in site.array)
        if key not in self._arrays:
            if self.has.year is None or site.module is None:
                return None
            try:
                parameters = module_fit.fit_five_parameters(rating_of(site.module))
            except OutOfRange:
                return None
            self._arrays[key] = system.feeding_array(site, self.has.year, parameters)
        return self._arrays[key]

    def _water(self, site: Site, pump: PumpResult, event: Event) -> Powered:
        array = self._array(site) if site.array else None
        days = event.days if array is None or event.dark else array.total.size // HOURS_A_DAY
        total = np.zeros(days * HOURS_A_DAY) if array is None else array.total
        direct = system.is_direct(site)
        supply = system.pump_supply(
            site,
            self.has.table(pump),
            replace(pump, daily_volume=pump.daily_volume or system.running_flow(pump) * HOUR),
            system.storage_of(site, self.has.tank) or 0.0,
            total.size,
            direct=direct,
            rated_energy=float(site.power.battery_energy or 0.0),
        )
        most = min(supply.flow * HOUR, supply.well_volume)
        if array is not None and not event.dark:
            greedy = replace(supply, demand=np.full(total.size, most), storage=0.0)
            volume = greedy.run(total).volume_pumped / days
        else:
            charges = None if array is None else self._charges_of(site, pump, supply, total)
            volume = _through(supply, total, days, most, array is not None, charges)
        battery = "inverter" if self.has.table(pump).supply == "AC" else "battery"
        limit = "sun on the modules" if direct else "sun and battery"
        if array is None:
            limit = "the charge of the battery"
        if volume >= NEARLY * most * HOURS_A_DAY:
            limit = "yield of the well" if supply.well_volume <= most else "flow of the pump"
        power = "sun" if direct else battery
        return Powered(volume, power, limit if volume > 0.0 else "there is no energy left for it")

    def _charges_of(
        self, site: Site, pump: PumpResult, supply: system.PumpSupply, total: FloatArray
    ) -> FloatArray | None:
        """Charge of the battery through the year with the pump at its ordinary work [J], made
        once for outages of every length; None without a battery."""
        if supply.system is None:
            return None
        key = (pump.name, *(array.name for array in site.array))
        if key not in self._charges:
            self._charges[key] = supply.run(total).state_of_charge
        return self._charges[key]


def _left(site: Site, failed: frozenset[str], table: PumpTable | None = None) -> Site:
    """The site with the modules that still feed a pump, and the battery if it still works; of a
    chain by way of a storage tank with what this pump of it hangs on."""
    battery = None if "battery" in failed else site.power.battery_energy
    feeds: tuple[str, ...] = ("pump",) if "battery" in failed else ("pump", "battery")
    if table is not None and has_cistern(site):
        straight = on_the_sun(site, table)
        battery = None if straight else battery
        feeds = tuple(feed for feed in feeds if (feed == "pump") == straight)
    array = tuple(
        array for array in site.array if array.feeds in feeds and array.name not in failed
    )
    power = site.power.model_copy(update={"battery_energy": battery})
    return site.model_copy(update={"array": array, "power": power})


def _through(
    supply: system.PumpSupply,
    total: FloatArray,
    days: int,
    most: float,
    sunny: bool,
    charges: FloatArray | None,
) -> float:
    """Water of the mean day through the darkest days [m3], the battery as the year leaves it.

    A battery without modules is full when the outage begins.
    """
    begin, charge = 0, None
    if sunny:
        begin = int(np.argmin(_run_sums(total, days))) * HOURS_A_DAY
        if charges is not None:
            charge = float(charges[begin - 1])
    hours = np.arange(begin, begin + days * HOURS_A_DAY) % total.size
    light, demand = total[hours], np.full(hours.size, most)
    if supply.system is None:
        assert supply.curve is not None
        run = storage.run_direct_year(
            light, demand, supply.curve, 0.0, supply.efficiency, supply.threshold,
            well_volume_per_step=supply.well_volume, start_volume=0.0,
        )  # fmt: skip
    else:
        run = battery_year.run_battery_year(
            light, demand, supply.flow, supply.power, supply.system,
            well_volume_per_step=supply.well_volume,
            start_charge=supply.system.usable_capacity if charge is None else charge,
        )  # fmt: skip
    return run.volume_pumped / days


def _run_sums(total: FloatArray, days: int) -> FloatArray:
    """Sum of the hours of so many days from each day on, over the turn of the year."""
    daily = total.reshape(-1, HOURS_A_DAY).sum(axis=1)
    around = np.concatenate([daily, daily[: days - 1]])
    return np.convolve(around, np.ones(days), "valid")


def _dark_run(total: FloatArray, days: int, hours: YearOfHours) -> DarkRun:
    """The days in a row of a year on which modules give least, by their power in each hour [W]."""
    sums = _run_sums(total, days)
    begin = int(np.argmin(sums))
    hour = begin * HOURS_A_DAY
    month = int(hours.month[hour])
    first = hours.day_of_year[np.argmax(hours.month == month)]
    return DarkRun(
        begins=begin,
        month=month,
        day=int(hours.day_of_year[hour] - first) + 1,
        energy=float(sums[begin]) / days * HOUR,
        usual=float(total.mean()) * DAY,
    )


def _inverter_refuses(has: Equipment, pump: PumpResult) -> Powered | None:
    """Why the inverter does not start or run a pump, by the pump's own verdicts; None where it
    does both."""
    refused = _too_few_phases(has, pump, "inverter")
    if refused is not None:
        return refused
    for rule, why in (
        (VOLTAGE, "the inverter has another voltage"),
        (RATING, "the inverter is too small to run it"),
        (SURGE, "the inverter does not start it"),
        (DIP, "its cable drops too much voltage to start it"),
    ):
        verdict = has.verdict(rule, pump.name)
        if verdict is not None and verdict.status == "fail":
            return Powered(0.0, "none", why)
        if verdict is not None and verdict.status == "unknown":
            why = "not known whether the inverter starts it"
            return Powered(0.0, "none", why, verdict.needs)
    return None


def _too_few_phases(has: Equipment, pump: PumpResult, supply: Supply) -> Powered | None:
    """Why a supply does not turn a three-phase motor; None where it does."""
    if not needs_three(has.table(pump)):
        return None
    phases = phases_of(has.site, supply)
    if phases == 1:
        return Powered(0.0, "none", f"its motor has three phases, the {supply} one")
    if phases is None:
        why = f"not known whether the {supply} has the three phases of its motor"
        return Powered(0.0, "none", why, (key_of(supply),))
    return None


def grid_or_generator(has: Equipment, pump: PumpResult, event: Event) -> list[Powered]:
    """The water of a pump on alternating current from grid and generator, or why there is none;
    nothing of a pump on direct current."""
    site, ways = has.site, []
    if has.table(pump).supply == "DC":
        return []
    table = has.table(pump)
    well = at_well(site, table).well
    tested = None if link_of(site, table).from_tank else well.tested_yield
    own_flow = pump.duties[0].flow if pump.energy_per_volume is None else system.running_flow(pump)
    flow = own_flow if tested is None else min(own_flow, float(tested))
    limit = "flow of the pump" if flow == own_flow else "yield of the well"
    if site.power.grid and "grid" not in event.failed:
        few = _too_few_phases(has, pump, "grid")
        ways.append(few or Powered(flow * DAY, "grid", limit))
    elif site.power.grid:
        ways.append(Powered(0.0, "none", "the grid has failed"))
    if site.power.generator_rating is None or "generator" in event.failed:
        return ways
    verdict, few = has.verdict(GENERATOR, pump.name), _too_few_phases(has, pump, "generator")
    if few is not None:
        ways.append(few)
    elif verdict is not None and verdict.status == "unknown":
        why = "not known whether the generator starts it"
        ways.append(Powered(0.0, "none", why, verdict.needs))
    elif verdict is not None and verdict.status == "fail":
        ways.append(Powered(0.0, "none", "the generator does not start it"))
    else:
        hours = float(site.power.generator_hours)
        ways.append(Powered(flow * hours, "generator", "fuel of the generator"))
    return ways
