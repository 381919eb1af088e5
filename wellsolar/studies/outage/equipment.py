"""What a site has to bring water, as the other studies found it, in its low season, and what can
fail of it."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar.physics.sun.year import HourlyYear
from wellsolar.results.hand import HandPumpResult, LiftResult
from wellsolar.results.heat import DivertedTankResult, HeatedTankResult
from wellsolar.results.pumps import PressureTankResult, PumpResult
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.electric.supplies import has_inverter
from wellsolar.studies.hand.effort import BASIC
from wellsolar.studies.house.chain import has_cistern
from wellsolar.studies.house.demand import daily_use, survival_volume
from wellsolar.studies.house.wells import FIRST
from wellsolar.studies.well.drawdown import at_static_level
from wellsolar.units import Quantity
from wellsolar.verdicts import Rule, Verdict, verdict_of

DARK_RUNS = (3, 7)
"""Days of the darkest runs that every site with modules is tried through."""

OUTAGE_TABLES = (
    "power.grid", "power.generator_hours", "power.inverter_", "power.battery_",
    "losses", "storage_tank", "outage", "demand.survival_use", "hand_pump", "lift",
    "limits.outage_days", "site.altitude",
)  # fmt: skip
"""The keys whose defaults outages rest on, by the beginning of their path."""

OUTAGE_ONLY = ("power.grid", "power.generator_hours")
"""Keys in tables of other parts that only outages ask for."""


def outage_idle(site: Site) -> list[str]:
    """Keys of them that nothing of this site rests on."""
    idle = [] if site.power.generator_rating is not None else ["power.generator_hours"]
    return idle + ([] if any(table.supply == "AC" for table in site.pump) else ["power.grid"])


@dataclass(frozen=True)
class Event:
    """Things that fail together; fields as of `results.Outage`."""

    key: str
    name: str
    failed: frozenset[str]
    days: int
    dark: bool = False
    group: str = "matrix"


def whole_event(site: Site) -> Event:
    """Nothing has failed."""
    return Event("whole", "nothing", frozenset(), site.limits.outage_days)


def uses_grid(site: Site) -> bool:
    """True where something of the site hangs on a grid."""
    heater = site.water_heater
    heated = heater is not None and (
        heater.second_tank is not None
        or any(element.fed_by == "grid" for element in heater.element)
    )
    return site.power.grid and (heated or any(table.supply == "AC" for table in site.pump))


def matrix_events(site: Site) -> tuple[Event, ...]:
    """The usual outages in the order in which they are read, as far as the site has what fails in
    them, then the file's own."""
    days = site.limits.outage_days
    grid = frozenset({"grid"}) if uses_grid(site) else frozenset[str]()
    events = [Event("grid", "grid", grid, days)] if grid else []
    if site.array:
        begin = "grid, " if grid else ""
        events += [
            Event(f"dark_{count}", f"{begin}{count} dark days", grid | {"sun"}, count, True)
            for count in DARK_RUNS
        ]
    if has_inverter(site):
        events.append(Event("inverter", "inverter", frozenset({"inverter"}), days))
    if site.power.battery_energy is not None:
        events.append(Event("battery", "battery", frozenset({"battery"}), days))
    for index, pump in enumerate(site.pump, 1):
        events.append(Event(f"pump_{index}", pump.name, frozenset({pump.name}), days))
    for index, name in enumerate(_wells_that_fail(site), 1):
        event = "first well dry" if name == FIRST else f"{name} dry"
        events.append(Event(f"well_{index}", event, frozenset({name}), days))
    if has_cistern(site):
        events.append(Event("cistern", "storage tank", frozenset({"storage tank"}), days))
    if site.pressure_tank is not None:
        name = "bladder of the pressure tank"
        events.append(Event("bladder", name, frozenset({"pressure tank"}), days))
    if site.pump:
        events.append(Event("hands", "no power at all", powered(site), days))
    for index, own in enumerate(site.outage, 1):
        failed = frozenset(own.failed)
        events.append(Event(f"own_{index}", own.name, failed, own.days, "sun" in failed, "own"))
    return tuple(events)


def _wells_that_fail(site: Site) -> list[str]:
    """The wells by what they are called where one fails; none of a site with one alone, which has
    no other water."""
    return [FIRST, *(well.name for well in site.other_well)] if site.other_well else []


def powered(site: Site) -> frozenset[str]:
    """Everything that is no hand's work: power and the pumps that need it."""
    names = {table.name for table in site.pump}
    return frozenset({"grid", "inverter", "battery", "generator", *names})


def single_events(site: Site) -> tuple[Event, ...]:
    """Each component alone, but for an only well itself, named as the component."""
    names = ["grid"] if uses_grid(site) else []
    names += ["inverter"] if has_inverter(site) else []
    names += ["battery"] if site.power.battery_energy is not None else []
    names += ["generator"] if site.power.generator_rating is not None else []
    names += [array.name for array in site.array if array.feeds in ("pump", "battery")]
    names += [table.name for table in site.pump]
    names += ["pressure switch"] if site.pressure_switch is not None and site.pump else []
    names += ["pressure tank"] if site.pressure_tank is not None else []
    names += ["hand pump"] if site.hand_pump is not None else []
    names += [table.name for table in site.lift]
    names += _wells_that_fail(site)
    names += ["storage tank"] if site.storage_tank is not None else []
    days = site.limits.outage_days
    return tuple(
        Event(f"single_{index}", name, frozenset({name}), days, group="single")
        for index, name in enumerate(dict.fromkeys(names), 1)
    )


@dataclass(frozen=True, eq=False)
class Equipment:
    """What brings a site its water in the low season, and its hot water.

    own: the site as in its file; low: with its water at the deep end of the range, or as changed
    """

    own: Studied
    low: Studied

    @property
    def site(self) -> Site:
        """The site in its low season."""
        return self.low.site

    @property
    def pumps(self) -> tuple[PumpResult, ...]:
        """Each powered pump."""
        return self.low.pumps

    @property
    def tank(self) -> PressureTankResult | None:
        """The pressure tank."""
        return self.low.pressure_tank

    @property
    def hand(self) -> HandPumpResult | None:
        """The hand pump."""
        return self.low.hand_pump

    @property
    def lifts(self) -> tuple[LiftResult, ...]:
        """Other ways to lift water by hand."""
        return self.low.lifts

    @property
    def year(self) -> HourlyYear | None:
        """The site's year of hours, where modules make something of it."""
        site = self.own.site
        return self.own.year if site.module is not None and site.array else None

    @property
    def heated(self) -> HeatedTankResult | None:
        """The tank that modules heat."""
        return self.own.heated_tank

    @property
    def diverted(self) -> DivertedTankResult | None:
        """The tank that only a battery's surplus heats."""
        return self.own.diverted_tank

    def table(self, pump: PumpResult) -> PumpTable:
        """The pump's table in the file."""
        return next(table for table in self.site.pump if table.name == pump.name)

    def verdict(self, rule: Rule, subject: str) -> Verdict | None:
        """What a rule says of a pump; None where it says nothing."""
        return verdict_of(self.low.said("pumps").verdicts, rule, subject)

    def changed(self, site: Site) -> Equipment:
        """The equipment if the file had other values; the water heater stays as it is."""
        return Equipment(self.own, self.own.with_site(_in_low_season(site)))


@dataclass(frozen=True)
class Wanted:
    """Water wanted on a day [m3]; None where the file does not tell."""

    survival: float | None
    basic: float | None
    normal: float | None


def wanted_of(site: Site) -> Wanted:
    """Water for survival, for the least of a decent life, and of an ordinary day."""
    people, (use, _) = site.site.people, daily_use(site)
    return Wanted(
        survival_volume(site),
        None if people is None else people * BASIC,
        None if use is None else use * 86_400.0,
    )


def _in_low_season(site: Site) -> Site:
    """The site with its water at rest at the deep end of the range that the file gives, in every
    well."""
    for number, well in enumerate((site.well, *site.other_well)):
        level = well.static_level
        if level.is_range:
            site = at_static_level(site, Quantity(level.high, level.kind), number)
    return site


def equipment_of(case: Studied) -> Equipment:
    """The equipment of a site: its sources of water in the low season."""
    low = _in_low_season(case.site)
    return Equipment(case, case if low is case.site else case.with_site(low))
