"""What a full battery leaves for an element on the inverter, from the supply year of a pump."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.data import hot_water_tables
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import diversion, heating_element
from wellsolar.physics.array.diversion import DivertedYear
from wellsolar.physics.sun.year import HOUR, HourlyYear
from wellsolar.physics.types import FloatArray, Floats
from wellsolar.results.match import Diversion
from wellsolar.results.pumps import PressureTankResult, PumpResult
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import ElementTable, Site
from wellsolar.studies.array.heater_circuit import plate_of
from wellsolar.studies.house.demand import DAILY_KEYS
from wellsolar.studies.sold.standard_sizes import next_up
from wellsolar.studies.sun.days import MONTHS
from wellsolar.studies.sun.year import SUN_KEYS
from wellsolar.studies.supply import system
from wellsolar.studies.supply.year import supply_run
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    Assumption,
    Place,
    Remedy,
    Rule,
    Status,
    Verdict,
    at_least,
    remedy,
    say,
    set_to,
)

SUBJECT = "element on the inverter"

ON_FOR_HOURS = 1.25
"""What a relay is rated for over the current of a load that is on for hours: common practice, no
source."""

LEAST_USE = 0.01
"""Part of what is spilled below which an element is as good as never on: our choice."""

SURPLUS = Rule(
    "surplus for the element",
    "what does the battery leave for the element?",
    "the element is on while the battery is full, hour by hour through the year",
    "hourly supply",
    by="electrician",
    place=Place(section="match"),
)
ROOM = Rule(
    "element on the inverter",
    "does the inverter carry the element?",
    "rated power of the element within what pump and other use leave of the inverter's rating",
    "site's figures",
    limit_is="at most",
    by="electrician",
    place=Place(section="match"),
)

SWITCHED = Rule(
    "switch for the surplus",
    "what lets the battery's surplus, and no more, onto the element?",
    "a relay or controller that closes while the battery is full, rated for 1.25 x the element's "
    "current, as it is on for hours, and never for less than that current",
    "site's figures",
    limit_is="at most",
    safety=True,
    by="electrician",
    place=Place(section="match"),
    claims=("surplus_switch",),
)


@dataclass(frozen=True, eq=False)
class Spill:
    """What nothing takes of the modules that feed the battery; arrays have one value an hour.

    pump: whose water comes first; modules: that feed the battery
    energy: spilled [J]; array_power: of those modules, less losses [W]
    room: what other use leaves of the inverter [W]; None without its rating
    pump_power: of the pump, where it runs on the inverter [W]; running: part of each hour in
    which it does
    """

    pump: str
    modules: int
    energy: FloatArray
    array_power: FloatArray
    room: float | None
    pump_power: float
    running: FloatArray

    @property
    def least_room(self) -> float | None:
        """What is left of the inverter while the pump runs [W]."""
        return None if self.room is None else self.room - self.pump_power


@dataclass(frozen=True, eq=False)
class DivertedHeat:
    """Heat of the site's element on the inverter.

    result: its numbers; power: at the element, mean of each hour [W]; part: verdicts
    None where the file has no such element, or no surplus can be told
    """

    result: Diversion | None = None
    power: FloatArray | None = None
    part: StudyPart = field(default_factory=StudyPart)


def element_on_inverter(site: Site) -> tuple[ElementTable, str] | None:
    """The first element that the inverter feeds, and its key path."""
    elements = () if site.water_heater is None else site.water_heater.element
    for place, element in enumerate(elements, 1):
        if element.fed_by == "inverter":
            return element, f"water_heater.element[{place}]"
    return None


def spill_of(
    site: Site,
    pumps: tuple[PumpResult, ...],
    tank: PressureTankResult | None,
    year: HourlyYear | None,
) -> Spill | tuple[str, ...]:
    """What the battery of a site can't take through the year, after its pump: the surplus, or the
    keys that would settle it."""
    wanted = system.backups(pumps)
    able = (pump for pump in wanted if system.lifts(pump) and pump.daily_volume is not None)
    pump = next(able, None)
    missing = [] if pump else list(DAILY_KEYS) if any(map(system.lifts, wanted)) else ["pump"]
    if site.power.battery_energy is None:
        missing.append("power.battery_energy")
    if not system.feeders(site) or system.is_direct(site):
        missing.append("array")
    missing += [] if site.module is not None else ["module"]
    missing += [] if site.site.latitude is not None else ["site.latitude"]
    missing += [] if year is not None or site.site.latitude is None else [*SUN_KEYS]
    if missing or pump is None or year is None:
        return tuple(missing[:2])
    try:
        supply, array, run = supply_run(site, pump, system.storage_of(site, tank) or 0.0, year)
    except OutOfRange:
        return ("module.vmp", "module.imp")
    rating, other = site.power.inverter_rating, (site.power.other_use or 0.0) / DAY
    return Spill(
        pump=pump.name,
        modules=array.modules,
        energy=run.spilled,
        array_power=array.total,
        room=None if rating is None else rating - other,
        pump_power=supply.power if system.table_of(site, pump).supply == "AC" else 0.0,
        running=np.minimum(run.pumped / (supply.flow * HOUR), 1.0),
    )


def power_on_inverter(site: Site, element: ElementTable) -> float:
    """Power of an element, or of several as wired, at the inverter's voltage [W]."""
    rated, volts = plate_of(element)
    at = site.power.inverter_voltage or volts
    return heating_element.element_power_at(rated, volts, at)


def _diverted_year(site: Site, element: ElementTable, spill: Spill) -> DivertedYear:
    """The year of an element that takes what is spilled."""
    power = power_on_inverter(site, element)
    efficiency = float(site.power.inverter_efficiency)
    round_trip = float(site.power.battery_efficiency)
    energy, least = spill.energy, spill.least_room
    room: Floats = math.inf if spill.room is None else max(spill.room, 0.0)
    modulated = element.surplus_switch == "proportional"
    if modulated and least is not None:
        # It gives way to the pump, for the part of the hour that this runs.
        alone, beside = (
            min(power, max(power_left, 0.0)) for power_left in (float(spill.room or 0.0), least)
        )
        room = (1.0 - spill.running) * alone + spill.running * beside
    elif least is not None and power > least:
        # Of an hour's surplus s, over the element's power, it is on for s r / (1 - s + s r) of
        # the hour: the surplus that leaves the pump's part of it free is the inverse of that.
        free = 1.0 - spill.running
        share = free / (round_trip + free * (1.0 - round_trip))
        energy = np.minimum(energy, share * power * HOUR / efficiency)
    return diversion.diverted(
        energy,
        spill.array_power,
        power,
        efficiency,
        HOUR,
        room,
        modulated,
        round_trip,
    )


def diversion_result(
    site: Site, element: ElementTable, spill: Spill, months: NDArray[np.int64], named: bool
) -> tuple[Diversion, DivertedYear]:
    """The numbers of an element that takes what is spilled.

    Parameters:
        element: on the inverter, or looked at as if it were
        months: month of each hour
        named: True where the file has it there
    Returns:
        numbers, and the year
    """
    year = _diverted_year(site, element, spill)
    spilled = float(spill.energy.sum())
    result = Diversion(
        named=named,
        pump=spill.pump,
        modules=spill.modules,
        power=power_on_inverter(site, element),
        room=spill.least_room,
        spilled=spilled,
        energy=year.energy,
        used_ratio=year.used_energy / spilled if spilled > 0.0 else 0.0,
        hours=float(year.duty.sum()),
        months=tuple(float(year.power[months == month].sum()) * HOUR for month in MONTHS),
        months_spilled=tuple(float(spill.energy[months == month].sum()) for month in MONTHS),
    )
    return result, year


def diverted_heat(
    site: Site,
    pumps: tuple[PumpResult, ...],
    tank: PressureTankResult | None,
    year: HourlyYear | None,
) -> DivertedHeat:
    """The heat of the site's element on the inverter: numbers, power by the hour and verdicts;
    nothing where the file has no such element."""
    on_inverter = element_on_inverter(site)
    if on_inverter is None:
        return DivertedHeat()
    element, path = on_inverter
    spill = spill_of(site, pumps, tank, year)
    if not isinstance(spill, Spill) or year is None:
        missing = () if isinstance(spill, Spill) else spill
        unknown = SURPLUS.unknown(SUBJECT, *missing)
        others = (_room_verdict(site, element), surplus_switch(site, element, path))
        return DivertedHeat(part=StudyPart((unknown, *others)))
    result, diverted = diversion_result(site, element, spill, year.hours.month, True)
    why = (
        "the battery's surplus is known by the hour of the year: the days of each month leave it "
        "out, and the year gives it where the modules' own element is, if they have one"
    )
    days = Assumption(f"{path}.fed_by", "inverter", why, "hourly supply")
    verdicts = (
        _surplus_verdict(site, element, result),
        _room_verdict(site, element, result.room),
        surplus_switch(site, element, path),
    )
    return DivertedHeat(result, diverted.power, StudyPart(verdicts, (days,)))


def _surplus_verdict(site: Site, element: ElementTable, result: Diversion) -> Verdict:
    """What the element takes of the battery's surplus."""
    fine = result.used_ratio >= LEAST_USE
    to_try = None
    waits = result.room is not None and result.room < result.power
    if not fine and waits and result.spilled > 0.0:
        to_try = _smaller(site, element, float(result.room or 0.0))
    elif not fine:
        to_try = remedy(
            "feed it from an array of its own: the battery has no surplus to give",
            "an array of its own is a table of the file, not a key",
        )
    return SURPLUS.verdict(
        "pass" if fine else "caution",
        SUBJECT,
        say(
            "{modules} modules leave {spilled} a year that battery, {pump} and other use do not "
            "take; the element takes {share} of it, {energy} of heat after inverter and battery",
            modules=f"{result.modules}",
            spilled=Quantity(result.spilled, kinds.ENERGY),
            pump=result.pump,
            energy=Quantity(result.energy, kinds.ENERGY),
            share=Quantity(result.used_ratio, kinds.FRACTION),
        ),
        remedy=to_try,
    )


def _room_verdict(site: Site, element: ElementTable, room: float | None = None) -> Verdict:
    """Whether the inverter carries the element: beside its other loads, or at least alone."""
    rating = site.power.inverter_rating
    if rating is None:
        return ROOM.unknown(SUBJECT, "power.inverter_rating")
    power = Quantity(power_on_inverter(site, element), kinds.POWER)
    left = Quantity(rating if room is None else room, kinds.POWER)
    status: Status = "pass" if power <= left else "caution" if power <= rating else "fail"
    template = {
        "pass": "the element takes {power}; pump and other use leave {left} of {rating}",
        "caution": "the element takes {power} and must wait while the pump runs: then {left} of "
        "{rating} are left",
        "fail": "the element takes {power}, the inverter gives {rating}",
    }[status]
    return ROOM.verdict(
        status,
        SUBJECT,
        say(template, power=power, left=left, rating=Quantity(rating, kinds.POWER)),
        quantity=power,
        limit=left,
        remedy=None if status == "pass" else _smaller(site, element, left),
    )


def surplus_switch(site: Site, element: ElementTable, path: str) -> Verdict:
    """Whether anything keeps the element off while the battery is not full, and bears its current.

    Parameters:
        element: on the inverter; path: its key path
    """
    key, rating = f"{path}.surplus_switch", element.surplus_switch_current
    power = power_on_inverter(site, element)
    current = power / (site.power.inverter_voltage or plate_of(element)[1])
    takes = Quantity(current, kinds.CURRENT)
    wanted = Quantity(ON_FOR_HOURS * current, kinds.CURRENT)
    sold = next_up("switch current", wanted, kinds.CURRENT) or wanted
    kind = "relay" if element.surplus_switch in (None, "none") else element.surplus_switch
    better = remedy(
        "a relay or controller for {sold} (needs {wanted:up}) that closes while the battery is "
        "full, by its voltage or state of charge, and opens again below",
        [set_to(key, kind), set_to(f"{key}_current", sold)],
        sold=sold,
        wanted=wanted,
    )
    if element.surplus_switch is None:
        why = "whether anything keeps the element off while the battery is not full is not given"
        return SWITCHED.unknown(SUBJECT, key, why=why)
    if element.surplus_switch == "none":
        reason = say(
            "only its thermostat switches it: by night too it takes {power} off the battery that "
            "the pump has to run on; its heat here is worked out from the surplus alone",
            power=Quantity(power, kinds.POWER),
        )
        return SWITCHED.verdict("caution", SUBJECT, reason, remedy=better)
    if rating is None:
        why = "what current the switch for the surplus is rated for is not given"
        return SWITCHED.unknown(SUBJECT, f"{key}_current", why=why)
    enough = at_least(rating, wanted)
    template = "it closes while the battery is full; rated for {rating}, and the element takes "
    template += "{takes}" if enough else "{takes} for hours, which asks {wanted:up}"
    return SWITCHED.verdict(
        "pass" if enough else "caution" if at_least(rating, takes) else "fail",
        SUBJECT,
        say(template, rating=rating, takes=takes, wanted=wanted),
        quantity=wanted,
        limit=rating,
        remedy=None if enough else better,
        claims=[key],
    )


def _smaller(site: Site, element: ElementTable, room: float) -> Remedy:
    """The largest element of the same voltage that is sold and fits into a room [W]."""
    volts = element.rated_voltage
    at = ((site.power.inverter_voltage or volts) / volts) ** 2
    fitting = [
        rating.rated_power
        for rating in hot_water_tables.element_ratings()
        if rating.rated_voltage == volts and rating.rated_power * at <= room
    ]
    power = power_on_inverter(site, element)
    if not fitting:
        taken = (site.power.inverter_rating or room) - room
        needed = Quantity(power + taken, kinds.APPARENT_POWER)
        sold = next_up("inverter", needed, kinds.APPARENT_POWER) or needed
        return remedy(
            "an inverter of {sold} (needs {needed:up})",
            [set_to("power.inverter_rating", sold)],
            sold=sold,
            needed=needed,
        )
    on_inverter = element_on_inverter(site)
    path = "water_heater.element[1]" if on_inverter is None else on_inverter[1]
    largest = Quantity(max(fitting), kinds.POWER)
    return remedy(
        "one element of {power}, {volts}",
        [set_to(f"{path}.rated_power", largest), set_to(f"{path}.count", 1)],
        power=largest,
        volts=element.rated_voltage,
    )
