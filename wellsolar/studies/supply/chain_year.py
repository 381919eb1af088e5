"""The chain from well to house through the hours of a year, where a storage tank stands between.

A pump runs on the sun where modules drive it straight, else on the grid, else on the battery. Of
several that fill the tank all are followed where they run at once or in turn, and the first where
they are kept apart or the file does not tell; of those that draw from it the first. A backup
stands still in an ordinary year, but where it is the only one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.errors import OutOfRange
from wellsolar.physics.hydraulics import demand
from wellsolar.physics.sun.year import HOUR, HourlyYear
from wellsolar.physics.supply.chain import Chain, ChainYear, OtherFiller, run_chain_year
from wellsolar.physics.supply.stepper import (
    NO_BOUND,
    Casing,
    DrawNumbers,
    TankNumbers,
    WellNumbers,
)
from wellsolar.physics.supply.storage import PowerCurve, flow_in_sun
from wellsolar.physics.supply.year import by_day, days_are_short
from wellsolar.physics.types import FloatArray
from wellsolar.results.entries import DAYS
from wellsolar.results.pumps import PumpResult
from wellsolar.results.supply import ChainMonth, ChainYearResult, PumpPower, TankLevels
from wellsolar.results.well import PumpInWell
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.electric.supplies import on_the_sun
from wellsolar.studies.house import chain as house
from wellsolar.studies.house.chain import Link, Storage
from wellsolar.studies.house.demand import DAILY_KEYS, daily_use, peak_flow, short_days, use_less
from wellsolar.studies.house.wells import at_well
from wellsolar.studies.pump.at_once import AtOnce, shares_at_once
from wellsolar.studies.pump.study import pump_on_well
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.studies.sun.module_sheet import parameters_of
from wellsolar.studies.sun.refused import why_refused
from wellsolar.studies.sun.year import SUN_KEYS, YearOfSite
from wellsolar.studies.supply import system
from wellsolar.studies.supply.year import MOST_ADDED, MOST_STORED
from wellsolar.studies.well.drawdown import casing_water
from wellsolar.studies.well.total_head import gravity_flow
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    Assumption,
    Change,
    Place,
    Remedy,
    Rule,
    Verdict,
    remedy,
    say,
    set_to,
)

SUBJECT = "storage tank"

FRESH = 5.0
"""Days of water up to which a storage tank turns over often enough [day]: of three to five that
the rule's source names, the longest."""

FLOATS = (0.95, 0.9, 0.85, 0.8, 0.75, 0.7, 0.65, 0.6, 0.55, 0.5)
"""Shares of the tank to which a remedy fills it: our choice."""

FLOAT_GAP = 0.1
"""Share of the tank between the two floats of such a remedy: our choice."""

SOON = 1800.0
"""Time after which a remedy starts a pump again that the well stopped [s]: our choice."""

MOST_HALVINGS = 12
"""Steps in which the use that a chain bears is looked for: our choice."""

HARDLY_ANY = (
    "find another source beside this one, or give its pumps more power: hardly any of the day's "
    "water comes this way"
)
"""What helps where well, pumps and tank bear hardly any use."""

SHORT = Rule(
    "days short of the storage tank",
    "does the water last through the year by way of the storage tank?",
    "days a year on which water is wanted and missing, through well, filling pump, tank and "
    "booster or fall, event by event",
    "hourly supply",
    limit_is="at most",
    by="electrician",
    read_by="owner",
    place=Place(section="chain"),
)
NIGHT = Rule(
    "storage tank through the night",
    "does the storage tank last from one day's sun to the next?",
    "what the house draws between two days' sun within what the tank gives between full and empty",
    "hourly supply",
    limit_is="at least",
    by="plumber",
    place=Place(section="chain"),
)
TURNOVER = Rule(
    "turnover of the storage tank",
    "is the water in the storage tank renewed often enough?",
    "mean water in the tank over what the house takes of it a day no more than five days; water "
    "that stands longer loses its chlorine and may grow germs",
    "water age",
    limit_is="at most",
    by="plumber",
    place=Place(section="chain"),
)


@dataclass(frozen=True, eq=False)
class _Filler:
    """A pump that fills the tank.

    share: of its own flow that is left while others press into its line; curve: of a pump that
    modules drive
    flow: of the running pump, before its well's bound [m3/s], scalar or hours
    energy: from the inverter for each cubic metre, 0 on another supply [J/m3]
    stops: dry drawdown, drawdown and time of the restart, as of `WellNumbers`
    casing: number of its well's among those of the chain; borne: flow that its well bears [m3/s]
    """

    link: Link
    power: PumpPower
    share: float
    flow: FloatArray | float
    energy: float
    stops: tuple[float, float, float]
    casing: int
    borne: float
    curve: PowerCurve | None = None


@dataclass(frozen=True, eq=False)
class _Trial:
    """A site's chain, ready to run and to be changed.

    tank: the site's; array: of modules that drive filling pumps or charge the battery
    """

    site: Site
    tank: Storage
    chain: Chain
    demand: FloatArray
    fillers: tuple[_Filler, ...]
    booster: Link | None
    booster_power: PumpPower | None
    array: system.FeedingArray | None = None

    @property
    def sunny(self) -> bool:
        """Whether all that fill the tank stand still in the dark."""
        return all(filler.power == "sun" for filler in self.fillers)

    def run(self) -> ChainYear:
        """The year."""
        return run_chain_year(self.chain, self.demand)

    def holds(self, limit: int) -> bool:
        """Whether the water is short on no more days."""
        return self.run().supply.days_short <= limit

    def with_volume(self, volume: float) -> _Trial:
        """With a tank of another size, its floats at the same shares."""
        grown = replace(self.tank, volume=volume)
        return replace(self, tank=grown, chain=replace(self.chain, tank=_numbers(grown, self)))

    def with_floats(self, below: float, to: float) -> _Trial:
        """With the floats of the filling pump elsewhere."""
        moved = replace(self.tank, fills_below=below, fills_to=to)
        return replace(self, tank=moved, chain=replace(self.chain, tank=_numbers(moved, self)))

    def with_restart(self, wait: float) -> _Trial:
        """With filling pumps that start again so long after the well stopped them."""
        well = self.chain.well._replace(restart_drawdown=0.0, restart_time=wait)
        others = tuple(
            other._replace(restart_drawdown=0.0, restart_time=wait) for other in self.chain.others
        )
        return replace(self, chain=replace(self.chain, well=well, others=others))

    def with_use(self, part: float) -> _Trial:
        """With so many times the household's use."""
        return replace(self, demand=part * self.demand)

    def with_modules(self, added: int) -> _Trial:
        """With so many modules more."""
        assert self.array is not None
        power = self.array.total + added * self.array.first
        if not any(filler.curve for filler in self.fillers):
            return replace(self, chain=replace(self.chain, array_power=power))
        fillers = _in_the_sun(self.site, self.fillers, power, self.chain.in_turn)
        return replace(self, chain=_filled(self.chain, fillers))


def _in_the_sun(
    site: Site, fillers: tuple[_Filler, ...], power: FloatArray, in_turn: bool
) -> tuple[_Filler, ...]:
    """Filling pumps, those that modules drive with so much power of the modules; at once each has
    of it as the powers of their tables are."""
    all_of_it = sum(filler.curve.power[-1] for filler in fillers if filler.curve is not None)
    fillers_in_sun = []
    for filler in fillers:
        if filler.curve is not None:
            part = 1.0 if in_turn else filler.curve.power[-1] / all_of_it
            through = system.conversion_of(site, filler.link.table)
            least = (filler.link.table.start_power or 0.0) * through
            flow = filler.share * flow_in_sun(part * power, filler.curve, through, least)[1]
            filler = replace(filler, flow=flow)
        fillers_in_sun.append(filler)
    return tuple(fillers_in_sun)


def _filled(chain: Chain, fillers: tuple[_Filler, ...]) -> Chain:
    """A chain with its filling pumps, each with as much less as its well bears less of all that
    run in it, where no casing sets that bound."""
    flows = [_within_well(chain, filler, fillers) for filler in fillers]
    powers = [
        filler.energy * float(np.max(flow)) for flow, filler in zip(flows, fillers, strict=True)
    ]
    others = tuple(
        OtherFiller(flow, power, *filler.stops, filler.casing)
        for flow, power, filler in zip(flows[1:], powers[1:], fillers[1:], strict=True)
    )
    return replace(chain, pump_flow=flows[0], fill_power=powers[0], others=others)


def _within_well(
    chain: Chain, filler: _Filler, fillers: tuple[_Filler, ...]
) -> FloatArray | float:
    """A filling pump's flow, cut to what its well bears where no casing sets that bound."""
    if chain.areas[filler.casing] > 0.0:
        return filler.flow
    beside = [other.flow for other in fillers if other.casing == filler.casing]
    if chain.in_turn or len(beside) == 1:
        most: FloatArray = np.minimum(filler.flow, filler.borne)
        return most
    whole = np.sum(np.broadcast_arrays(*beside), axis=0)
    kept: FloatArray = np.minimum(1.0, filler.borne / np.maximum(whole, 1e-300))
    return np.asarray(filler.flow, float) * kept


def _numbers(tank: Storage, trial: _Trial | None = None, pumped: bool = False) -> TankNumbers:
    """The tank as the stepper wants it; a float keeps back water only from a pump."""
    pumped = pumped or (trial is not None and trial.booster is not None)
    shares = (tank.fills_below, tank.fills_to, tank.stops_below if pumped else 0.0)
    return TankNumbers(tank.volume, *(share * tank.volume for share in shares))


def study_chain_year(
    site: Site,
    pumps: tuple[PumpResult, ...],
    in_wells: Mapping[str, PumpInWell],
    sun: YearOfSite,
) -> tuple[ChainYearResult | None, StudyPart]:
    """The year of the storage tank that a pump fills.

    Parameters:
        in_wells: pumps in wells whose file tells how their water goes down, by their names
    Returns:
        the result, None where no pump fills a tank or the file tells too little, and what it
        brings
    """
    by_name = {pump.name: pump for pump in pumps}
    fillers = _working(house.fillers(site), by_name)
    if not fillers:
        return None, StudyPart()
    if house.pumps_run(site) not in ("alternating", "at once"):
        fillers = fillers[:1]
    use = daily_use(site)[0]
    if use is None:
        return None, StudyPart((SHORT.unknown(SUBJECT, *DAILY_KEYS),))
    boosters = _working(house.boosters(site), by_name)[:1]
    if not boosters and house.boosters(site):
        return None, StudyPart()  # that it lifts nothing is said of the pump
    supplies = [_power_of(site, link) for link in (*fillers, *boosters)]
    if None in supplies:
        return None, StudyPart((SHORT.unknown(SUBJECT, "power.battery_energy"),))
    if set(supplies) & {"sun", "battery"}:
        missing = ["module"] if site.module is None else []
        missing += ["site.latitude"] if site.site.latitude is None else []
        if not missing and sun.year is None:
            missing += SUN_KEYS
        if missing:
            return None, StudyPart((SHORT.unknown(SUBJECT, *missing, why=sun.why or ""),))
    try:
        trial = _trial(site, by_name, fillers, boosters, in_wells, sun.year, use * DAY)
        year = trial.run()
    except OutOfRange as error:
        keys = ("module.vmp", "module.imp")
        table = next((filler for filler in fillers if filler.table.solar_table), None)
        if table is not None:
            keys = (f"{table.path}.solar_table", "module.vmp")
        return None, StudyPart((SHORT.unknown(SUBJECT, *keys, why=why_refused(error)),))
    result = _result(trial, year, sun.year)
    assumed = [*_assumptions(trial)]
    for filler in trial.fillers:
        if filler.curve is not None:
            driven = filler.link.table
            assumed += system.taken_below_table(site, driven, by_name[driven.name])
    return result, StudyPart(tuple(_verdicts(trial, result)), tuple(assumed))


def _working(links: tuple[Link, ...], results: dict[str, PumpResult]) -> tuple[Link, ...]:
    """Those of some pumps that lift water; backups only where there is no other."""
    working = tuple(link for link in links if system.lifts(results[link.table.name]))
    return tuple(link for link in working if link.table.role != "backup") or working[:1]


def _power_of(site: Site, link: Link) -> PumpPower | None:
    """What a pump runs on in an ordinary year; None where the file names nothing."""
    table = link.table
    if link.into_tank and on_the_sun(site, table):
        return "sun"
    if site.power.grid and table.supply == "AC":
        return "grid"
    return None if site.power.battery_energy is None else "battery"


def _trial(
    site: Site,
    results: dict[str, PumpResult],
    links: tuple[Link, ...],
    boosters: tuple[Link, ...],
    in_wells: Mapping[str, PumpInWell],
    year: HourlyYear | None,
    daily_volume: float,
) -> _Trial:
    """The chain of a site."""
    assert site.storage_tank is not None
    tank = house.storage_of(site, site.storage_tank)
    days = 365 if year is None else year.air_temperature.size // 24
    booster = boosters[0] if boosters else None
    boost = None if booster is None else _power_of(site, booster)
    in_turn = len(links) > 1 and house.pumps_run(site) == "alternating"
    pumps = tuple(results[link.table.name] for link in links)
    places = _places(links)
    wells = [
        _well(site, [link for link, at in zip(links, places, strict=True) if at == number],
              results, in_wells)
        for number in range(max(places) + 1)
    ]  # fmt: skip
    shares = (1.0,) * len(links)
    if len(links) > 1 and not in_turn:
        shares = _shares(site, links, pumps)
    fillers = []
    for link, result, share, place in zip(links, pumps, shares, places, strict=True):
        numbers, borne = wells[place]
        power = _power_of(site, link)
        assert power is not None
        flow = result.duties[0].pump_flow  # into an open tank there is one
        if numbers.area == 0.0:
            flow = system.running_flow(result)
        curve = system.power_curve_of(site, link.table, result) if power == "sun" else None
        energy = float(result.energy_per_volume or 0.0) if power == "battery" else 0.0
        stops = _stops(link.table, result, in_wells)
        fillers.append(
            _Filler(link, power, share, share * flow, energy, stops, place, borne, curve)
        )
    boost_flow, boost_power = math.inf, 0.0
    falls = house.gravity_head(site)
    if falls is not None:
        # What the line down gives with the tank at its lowest: no more is drawn.
        boost_flow = gravity_flow(site, falls) or math.inf
    if booster is not None:
        boosted = results[booster.table.name]
        boost_flow = system.running_flow(boosted)
        if boost == "battery":
            boost_power = boost_flow * (boosted.energy_per_volume or 0.0)
    made, array, battery, charging = tuple(fillers), None, None, None
    if any(filler.power == "sun" for filler in fillers):
        assert year is not None
        array = _array(site, year, "pump")
        made = _in_the_sun(site, made, array.total, in_turn)
    if boost == "battery" or any(filler.power == "battery" for filler in fillers):
        assert year is not None
        charging = _array(site, year, "battery")
        on_it = [filler.link for filler in fillers if filler.power == "battery"]
        of_pump = on_it[0] if on_it else booster
        assert of_pump is not None
        energy = float(site.power.battery_energy or 0.0)
        battery = system.battery_system(site, of_pump.table.supply, energy)
        array = charging if on_it and array is None else array
    chain = Chain(
        0.0,
        _numbers(tank, pumped=booster is not None),
        DrawNumbers(float(peak_flow(site) or 0.0), boost_flow),
        wells[0][0],
        battery,
        0.0 if charging is None else charging.total,
        0.0,
        boost_power,
        boost_flow,
        casings=tuple(Casing(*numbers[:2]) for numbers, _ in wells[1:]),
        in_turn=in_turn,
    )
    wanted = np.tile(demand.hourly_volumes(daily_volume), days)
    chain = _filled(chain, made)
    return _Trial(site, tank, chain, wanted, made, booster, boost, array)


def _shares(
    site: Site, links: tuple[Link, ...], pumps: tuple[PumpResult, ...]
) -> tuple[float, ...]:
    """What is left of each pump's flow while all press at once into the lateral of the site."""
    working = []
    for link, result in zip(links, pumps, strict=True):
        on_well = pump_on_well(site, link.table, link.path)
        working.append(AtOnce(on_well.table, link.path, result, on_well.curve, on_well.line))
    return shares_at_once(working)


def _array(site: Site, year: HourlyYear, feeds: str) -> system.FeedingArray:
    """The modules of a site that feed the pump, or the battery."""
    assert site.module is not None
    groups = tuple(group for group in site.array if group.feeds == feeds)
    alone = site.model_copy(update={"array": groups})
    return system.feeding_array(alone, year, parameters_of(site.module))


def _places(links: tuple[Link, ...]) -> list[int]:
    """Of each pump the number of its well, counted from 0 as they come."""
    wells = list(dict.fromkeys(link.table.well for link in links))
    return [wells.index(link.table.well) for link in links]


def _borne(site: Site, table: PumpTable, in_wells: Mapping[str, PumpInWell]) -> float:
    """The flow that its well bears for a season above where a pump stops [m3/s]."""
    tested, in_well = at_well(site, table).well.tested_yield, in_wells.get(table.name)
    season = math.inf if in_well is None else in_well.sustained_season
    return min(season, math.inf if tested is None else float(tested))


def _well(
    site: Site,
    links: Sequence[Link],
    results: Mapping[str, PumpResult],
    in_wells: Mapping[str, PumpInWell],
) -> tuple[WellNumbers, float]:
    """The casing of some pumps and its inflow, and the flow that their well bears [m3/s]; no bound
    of its own where bore or drawdown are unknown. The first pump's stop is the casing's."""
    tables = [link.table for link in links]
    area = casing_water(at_well(site, tables[0]))
    borne = max(_borne(site, table, in_wells) for table in tables)
    if area is None or not all(table.name in in_wells for table in tables):
        return NO_BOUND, borne
    stops = [_stops(table, results[table.name], in_wells) for table in tables]
    deepest = max(dry for dry, _, _ in stops)
    return WellNumbers(area, borne / deepest, *stops[0]), borne


def _stops(
    table: PumpTable, result: PumpResult, in_wells: Mapping[str, PumpInWell]
) -> tuple[float, float, float]:
    """Drawdown at which the well stops a pump, and drawdown and time of its restart; nothing that
    stops it where that is unknown."""
    in_well = in_wells.get(result.name)
    if in_well is None:
        return math.inf, 0.0, math.inf
    rest = result.static_level
    if table.restart_after is not None:
        return in_well.stop_level - rest, 0.0, float(table.restart_after)
    return in_well.stop_level - rest, in_well.restart_level - rest, math.inf


def _result(trial: _Trial, year: ChainYear, sun: HourlyYear | None) -> ChainYearResult:
    """Every number of the year."""
    supply, tank, site, chain = year.supply, trial.chain.tank, trial.site, trial.chain
    days = trial.demand.size / 24
    least = tank.least
    flows = _flows(trial)
    known = [number for number, area in enumerate(chain.areas) if area > 0.0]
    well_flow = sum(_inflow(trial, number) for number in known)
    greatest = float(flows.max() if chain.in_turn else flows.sum(axis=0).max())
    lit = np.array([filler.power != "sun" for filler in trial.fillers])
    always = flows[lit].max(axis=1)
    steady = float(always.min() if chain.in_turn else always.sum()) if lit.any() else 0.0
    if len(known) == len(chain.areas):
        steady = min(steady, well_flow)
    peak = peak_flow(site)
    bridged = None
    if peak is not None:
        lacking = peak - steady
        bridged = math.inf if lacking <= 0.0 else (tank.fills_below - least) / lacking
    return ChainYearResult(
        filler=" and ".join(filler.link.table.name for filler in trial.fillers),
        filler_power=tuple(dict.fromkeys(filler.power for filler in trial.fillers)),
        booster=_to_house(trial),
        booster_power=trial.booster_power,
        storage=tank.fills_to - least,
        fill_flow=greatest,
        well_flow=well_flow if len(known) == len(chain.areas) else None,
        booster_flow=None if trial.booster is None else chain.draw.booster_flow,
        daily_volume=supply.volume_wanted / days,
        daily_pumped=supply.volume_pumped / days,
        limit=short_days(site),
        days_short=supply.days_short,
        longest_short_run=supply.longest_short_run,
        volume_unmet=supply.volume_unmet,
        least_stored=year.least_stored - least,
        turnover=year.turnover / DAY,
        starts=year.starts / days / len(trial.fillers),
        peak_time=None if bridged is None or math.isinf(bridged) else bridged,
        night=_longest_night(trial),
        months=_months(trial, year, sun),
        levels=_levels(tank, supply.stored_volume),
    )


def _inflow(trial: _Trial, casing: int) -> float:
    """What comes into a casing while its water stands where the deepest pump is stopped [m3/s]."""
    chain = trial.chain
    capacity = (
        chain.well.specific_capacity,
        *(casing.specific_capacity for casing in chain.casings),
    )
    dry = (filler.stops[0] for filler in trial.fillers if filler.casing == casing)
    return capacity[casing] * max(*dry, 0.0)


def _levels(tank: TankNumbers, stored: FloatArray) -> TankLevels:
    """Water in the tank [m3], of the days of a year and of the hours round the emptiest."""
    days = stored.reshape(stored.size // 24, 24)
    least = days.min(axis=1)
    first = max(0, min(int(least.argmin()) - 1, len(days) - 3))
    return TankLevels(
        full=tank.fills_to,
        starts=tank.fills_below,
        stops=tank.least,
        least=tuple(least.tolist()),
        most=tuple(days.max(axis=1).tolist()),
        emptiest=tuple(days[first : first + 3].ravel().tolist()),
        day=first + 1,
    )


def _flows(trial: _Trial) -> FloatArray:
    """What each filling pump can give in each hour [m3/s]."""
    given = (trial.chain.pump_flow, *(other.flow for other in trial.chain.others))
    return np.array([np.broadcast_to(column, trial.demand.shape) for column in given])


def _to_house(trial: _Trial) -> str:
    """How the water comes from the tank to the house."""
    if trial.booster is not None:
        return trial.booster.table.name
    return "gravity" if house.gravity_head(trial.site) is not None else "hand, at the tank"


def _longest_night(trial: _Trial) -> float | None:
    """The most that the house draws between one day's sun on the filling pump and the next [m3],
    over nights that are shorter than a day; None of another supply."""
    if not trial.sunny:
        return None
    flow = _flows(trial).max(axis=0)
    drawn, most = 0.0, 0.0
    hours = math.inf  # how long it is dark when the year begins is told at its end
    for runs, wanted in zip((flow > 0.0).tolist() * 2, trial.demand.tolist() * 2, strict=True):
        if runs:
            most = max(most, drawn) if hours < 24 else most
            drawn, hours = 0.0, 0
        else:
            drawn, hours = drawn + wanted, hours + 1
    return most


def _months(trial: _Trial, year: ChainYear, sun: HourlyYear | None) -> tuple[ChainMonth, ...]:
    """The year month by month."""
    common = np.arange("2023-01", "2024-01", dtype="datetime64[h]").astype("datetime64[M]")
    months = common.astype(int) % 12 + 1 if sun is None else sun.hours.month
    supply = year.supply
    short = days_are_short(supply.unmet, by_day(trial.demand, HOUR))
    flows, driven = _flows(trial), np.array([filler.power == "sun" for filler in trial.fillers])
    flow = flows[driven].max(axis=0, initial=0.0)
    if not trial.chain.in_turn:
        flow = flows[driven].sum(axis=0)

    def sunny(hours: NDArray[np.bool_], days: NDArray[np.bool_]) -> float | None:
        if not driven.any():
            return None
        return float(flow[hours].sum()) * HOUR / float(days.sum())

    found = []
    for month in range(1, 13):
        hours, days = months == month, months[::24] == month
        found.append(
            ChainMonth(
                month=month,
                sun_a_day=sunny(hours, days),
                pumped_a_day=float(supply.pumped[hours].sum()) / float(days.sum()),
                wanted_a_day=float(trial.demand[hours].sum()) / float(days.sum()),
                unmet=float(supply.unmet[days].sum()),
                days_short=int(short[days].sum()),
                least_stored=float(supply.stored_volume[hours].min()) - trial.chain.tank.least,
            )
        )
    return tuple(found)


def _verdicts(trial: _Trial, result: ChainYearResult) -> Iterator[Verdict]:
    yield _short(trial, result)
    if result.night is not None:
        yield _night(trial, result)
    if result.days_short < 0.5 * trial.demand.size / 24:
        yield _turnover(trial, result)


def _short(trial: _Trial, result: ChainYearResult) -> Verdict:
    days, limit = Quantity(result.days_short, kinds.DAYS), Quantity(result.limit, kinds.DAYS)
    fine = result.days_short <= result.limit
    template = "water is short on {days} of the year"
    parts: dict[str, Quantity | str] = {"days": days}
    if result.days_short:
        template += ", at most {run} in a row; {unmet} are missing in all"
        parts["run"] = Quantity(result.longest_short_run, kinds.COUNT)
        parts["unmet"] = Quantity(result.volume_unmet, kinds.SUMMED_VOLUME)
    return SHORT.verdict(
        "pass" if fine else "fail",
        SUBJECT,
        say(template, **parts),
        quantity=days,
        limit=limit,
        remedy=None if fine else _enough(trial, result),
    )


def _enough(trial: _Trial, result: ChainYearResult) -> Remedy:
    """A larger tank; else a pump that starts again sooner; else more modules; else less use."""
    limit = result.limit
    larger = list(_larger(trial, result.daily_volume))
    for volume, larger_tank in larger:
        if larger_tank.holds(limit):
            changes = [set_to("storage_tank.volume", volume)]
            return remedy("a storage tank of {volume:up}", changes, volume=volume)
    waiting = [
        filler.link for filler in trial.fillers
        if trial.chain.areas[filler.casing] > 0.0
        and filler.link.table.restart_level is None
        and filler.stops[-1] > SOON
    ]  # fmt: skip
    if len(waiting) == len(trial.fillers) and trial.with_restart(SOON).holds(limit):
        soon = Quantity(SOON, kinds.DURATION)
        return remedy(
            "a dry-run protection that starts the pump again after {soon}, not only when the "
            "water is half way back",
            [set_to(f"{link.path}.restart_after", soon) for link in waiting],
            soon=soon,
        )
    if trial.array is not None and len({group.feeds for group in trial.site.array}) == 1:
        tanks: list[tuple[Quantity | None, _Trial]] = [(None, trial), *larger[-1:]]
        for tank, tank_trial in tanks:
            added = _modules(tank_trial, limit)
            if added is None:
                continue
            template = "{added} more on {group}"
            changes = list(system.more_rows(trial.site, added))
            parts: dict[str, Quantity | str] = {
                "added": Quantity(added, kinds.MODULES),
                "group": trial.site.array[0].name,
            }
            if tank is not None:
                template = "a storage tank of {volume:up} and " + template
                changes.append(set_to("storage_tank.volume", tank))
                parts["volume"] = tank
            return remedy(template, changes, **parts)
    low, high = 0.0, 1.0
    for _ in range(MOST_HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if trial.with_use(middle).holds(limit) else (low, middle)
    return use_less(low * result.daily_volume, result.daily_volume, HARDLY_ANY)


def _larger(trial: _Trial, day: float) -> Iterator[tuple[Quantity, _Trial]]:
    """The chain with larger tanks that are sold."""
    for volume in sizes("storage tank", kinds.VOLUME, trial.site.site.print_units):
        if trial.tank.volume < volume <= MOST_STORED * day:
            yield volume, trial.with_volume(float(volume))


def _modules(trial: _Trial, limit: int) -> int | None:
    """The fewest modules more with which the water lasts; None where even many are too few."""
    few, many = 0, MOST_ADDED
    if not trial.with_modules(many).holds(limit):
        return None
    while many - few > 1:
        middle = (few + many) // 2
        few, many = (few, middle) if trial.with_modules(middle).holds(limit) else (middle, many)
    return many


def _night(trial: _Trial, result: ChainYearResult) -> Verdict:
    assert result.night is not None
    needed, there = (Quantity(volume, kinds.VOLUME) for volume in (result.night, result.storage))
    fine = result.storage >= result.night * (1.0 - 1e-9)
    changes: list[Change] = []
    size = next(
        (
            volume
            for volume, trial in _larger(trial, result.daily_volume)
            if trial.chain.tank.fills_to - trial.chain.tank.least >= result.night
        ),
        None,
    )
    if size is not None:
        changes.append(set_to("storage_tank.volume", size))
    wanted = None
    if not fine and size is not None:
        wanted = remedy("a storage tank of {volume:up}", changes, volume=size)
    elif not fine:
        wanted = remedy(
            "a battery or another supply for the filling pump at night",
            "no tank that is sold is enough",
        )
    return NIGHT.verdict(
        "pass" if fine else "fail",
        SUBJECT,
        say(
            "{needed} are drawn between the last sun of a day and the first of the next; the tank "
            "gives {there} between full and empty",
            needed=needed,
            there=there,
        ),
        quantity=there,
        limit=needed,
        remedy=wanted,
    )


def _turnover(trial: _Trial, result: ChainYearResult) -> Verdict:
    fine = result.turnover <= FRESH
    return TURNOVER.verdict(
        "pass" if fine else "caution",
        SUBJECT,
        say(
            "the tank holds {days} of use in the mean of the year",
            days=Quantity(result.turnover, DAYS),
        ),
        quantity=Quantity(result.turnover, DAYS),
        limit=Quantity(FRESH, DAYS),
        remedy=None if fine else _fresher(trial, result),
    )


def _fresher(trial: _Trial, result: ChainYearResult) -> Remedy:
    """Less in the tank where the year bears it."""
    for share in FLOATS:
        below = share - FLOAT_GAP
        if share >= trial.tank.fills_to or below <= trial.tank.stops_below:
            continue
        fuller = trial.with_floats(below, share)
        year = fuller.run()
        holds = year.supply.days_short <= result.limit
        night = result.night or 0.0
        tank = fuller.chain.tank
        if holds and year.turnover <= FRESH * DAY and tank.fills_to - tank.least >= night:
            parts = [Quantity(round(share, 2), kinds.FRACTION) for share in (below, share)]
            return remedy(
                "floats that fill it from {below} to {to}",
                [
                    set_to("storage_tank.fills_below", parts[0]),
                    set_to("storage_tank.fills_to", parts[1]),
                ],
                below=parts[0],
                to=parts[1],
            )
    return remedy(
        "test stored water and chlorinate it before use, or run some off: what is kept for an "
        "outage stands that long",
        "how stored water is looked after is no key of the file",
    )


def _assumptions(trial: _Trial) -> Iterator[Assumption]:
    shares = "5 % from 0 to 5 h, 39 % to 11 h, 28 % to 18 h, 27 % to 23 h, 1 % to 24 h"
    why = "how a household's water is spread over the day; no key of the file changes it"
    yield Assumption("demand by the hour", shares, why, "daily pattern")
    powers = [filler.power for filler in trial.fillers]
    if "grid" in (*powers, trial.booster_power):
        why = "an ordinary year has no outage; those are told apart"
        yield Assumption("grid through the year", "always there", why, "common practice")
    if powers.count("sun") > 1 and not trial.chain.in_turn:
        named = " and ".join(
            filler.link.table.name for filler in trial.fillers if filler.power == "sun"
        )
        shared = "as the greatest powers of their tables"
        why = "which modules drive which pump is no key of the file"
        yield Assumption(f"modules between {named}", shared, why, "common practice")
