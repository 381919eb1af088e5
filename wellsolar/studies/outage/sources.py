"""What each source of water gives in an outage, and all of them together."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

from wellsolar.constants import DAY
from wellsolar.physics.hand.human_power import LONGEST_EFFORT
from wellsolar.results.hand import HandPumpResult, LiftResult, PlaceKey
from wellsolar.results.outages import Outage, OutageCell, PressureState, Store
from wellsolar.results.pumps import PumpResult
from wellsolar.site.schema import Site
from wellsolar.studies.hand.effort import minutes_for, volume_in
from wellsolar.studies.house import chain as house
from wellsolar.studies.house.chain import Link
from wellsolar.studies.house.wells import FIRST, draws_from, name_of, views
from wellsolar.studies.outage.equipment import Equipment, Event, Wanted, whole_event
from wellsolar.studies.outage.power import Powered, SunOnPumps, grid_or_generator
from wellsolar.studies.well.drawdown import water_level

HAND, STORED = "hand pump", "stored water"

BEST_FIRST: tuple[PressureState, ...] = ("yes", "short cycling", "by hand", "by gravity", "no")

SHARED = ("inverter", "battery", "sun", "generator")
"""Powers of which only one pump at a time has all."""


@dataclass(frozen=True, eq=False)
class Tried:
    """All that an outage is tried on."""

    has: Equipment
    sun: SunOnPumps
    wanted: Wanted
    stores: tuple[Store, ...]

    @cached_property
    def whole(self) -> Outage:
        """The sources with nothing out of order."""
        return outage(self, whole_event(self.has.site))


def stores_of(has: Equipment, wanted: Wanted) -> tuple[Store, ...]:
    """The water in storage tank, pressure tank and water heater when an outage begins."""
    site, stores = has.site, []
    if site.storage_tank is not None:
        volume = site.storage_tank.volume * site.storage_tank.reserve
        stores.append(("storage tank", volume, "the part of it that is kept in reserve"))
    if has.tank is not None:
        volume = (has.tank.stored_at_cut_in + has.tank.stored_at_cut_out) / 2
        stores.append(("pressure tank", volume, "half way between cut-in and cut-out"))
    if site.water_heater is not None:
        note = "at its drain valve, power off, cooled; throw the first away, with its sediment"
        stores.append(("water heater", float(site.water_heater.volume), note))
    survival = wanted.survival
    return tuple(
        Store(name, volume, None if not survival else volume / survival, note)
        for name, volume, note in stores
    )


def outage(tried: Tried, event: Event) -> Outage:
    """Every source in one outage, and all together, still without the hot water."""
    has, wanted = tried.has, tried.wanted
    cells = [_no_better(tried, _pump_cell(tried, pump, event), event) for pump in has.pumps]
    by_hand = [] if has.hand is None else [_hand_cell(tried, has.hand, HAND, event)]
    cells = [*_out_of_tank(tried, cells, by_hand, event), *by_hand]
    cells += [_hand_cell(tried, lift, lift.name, event) for lift in has.lifts]
    cells += _stored_cell(tried, event)
    pumped, handed = _pumped(cells, _from_tank(has)), sum(_of(cells, "hand pump", "lift"))
    drawn, stored = _drawn(has, cells, event), sum(_of(cells, "stored"))
    volume = drawn + stored
    if event.failed:
        # Stores stand in for what a failure takes; they add nothing to what a whole day brings.
        volume = min(volume, tried.whole.volume)
    by_power = [cell for cell in cells if cell.kind == "pump"]
    effort = _effort(tried, cells, _drawn(has, by_power, event) + stored)
    working = [cell for cell in cells if cell.volume > 0.0]
    own = [cell for cell in working if cell.source not in _from_tank(has)]
    most = max(own, key=lambda cell: cell.volume, default=None)
    limit = "no source is left" if most is None else most.limit
    if drawn < pumped + handed:
        limit = "yield of the wells" if has.site.other_well else "yield of the well"
    elif most is not None and len(working) > 1:
        limit = f"{most.source}: {most.limit}"
    return Outage(
        key=event.key,
        name=event.name,
        failed=tuple(sorted(event.failed)),
        days=event.days,
        dark=event.dark,
        group=event.group,
        cells=tuple(cells),
        volume=volume,
        survival=_share(volume, wanted.survival),
        basic=_share(volume, wanted.basic),
        normal=_share(volume, wanted.normal),
        effort=effort,
        pressure=min((cell.pressure for cell in working), key=BEST_FIRST.index, default="no"),
        limit=limit,
        order=tuple(cell.source for cell in sorted(working, key=_ease)),
        run=tried.sun.dark_run(event),
    )


def _no_better(tried: Tried, cell: OutageCell, event: Event) -> OutageCell:
    """A pump in an outage, with no more water than with nothing out of order: what still works
    then works in either case."""
    if not event.failed:
        return cell
    return replace(cell, volume=min(cell.volume, tried.whole.cell(cell.source).volume))


def _share(volume: float, wanted: float | None) -> float | None:
    return None if not wanted else volume / wanted


def _ease(cell: OutageCell) -> tuple[int, float]:
    """Pumps that need no hand first, then what is stored, then the handle that asks least."""
    kinds = ("pump", "stored", "hand pump", "lift")
    first = kinds.index(cell.kind)
    return min(first, 2), -cell.volume if cell.effort is None else cell.effort


def _of(cells: list[OutageCell], *kinds: str) -> list[float]:
    return [cell.volume for cell in cells if cell.kind in kinds]


def _from_tank(has: Equipment) -> set[str]:
    """The pumps that draw from the storage tank: they bring no water, only pressure."""
    return {link.table.name for link in house.boosters(has.site)}


def _out_of_tank(
    tried: Tried, cells: list[OutageCell], by_hand: list[OutageCell], event: Event
) -> list[OutageCell]:
    """The cells of pumps, those that draw from the storage tank with no more than is in it and
    comes into it meanwhile, by pumps and `by_hand`."""
    boosters = _from_tank(tried.has)
    if not boosters:
        return cells
    filled = {link.table.name for link in house.fillers(tried.has.site)}
    into = [cell for cell in cells if cell.source in filled]
    hand = tried.has.hand
    if hand is not None:
        carried = volume_in(hand, LONGEST_EFFORT, "storage tank", hand.people_pumping) or 0.0
        into += [replace(cell, volume=carried) for cell in by_hand if cell.volume > 0.0]
    kept = sum(store.volume for store in tried.stores if store.name == "storage tank")
    most = _drawn(tried.has, into, event) + kept / event.days
    return [
        replace(cell, volume=most, limit="what the storage tank has")
        if cell.source in boosters and cell.volume > most
        else cell
        for cell in cells
    ]


def _pumped(cells: list[OutageCell], boosters: set[str]) -> float:
    """Water of the pumps on the well: of those on one battery, generator or array the best
    alone."""
    pumps = [cell for cell in cells if cell.kind == "pump" and cell.source not in boosters]
    own = sum(pump.volume for pump in pumps if pump.power not in SHARED)
    return own + max((pump.volume for pump in pumps if pump.power in SHARED), default=0.0)


def _drawn(has: Equipment, cells: list[OutageCell], event: Event) -> float:
    """Water of pumps and hands on the wells [m3], from each well no more than it gives: of pumps
    on one battery, generator or array that one which brings most."""
    boosters, wells = _from_tank(has), [view.well for view in views(has.site)]
    drawing = [cell for cell in cells if cell.kind != "stored" and cell.source not in boosters]
    shared = [cell for cell in drawing if cell.power in SHARED]
    by_well: dict[str, list[OutageCell]] = {name_of(well) or FIRST: [] for well in wells}
    for cell in drawing:
        by_well[_well_of(has.site, cell.source)].append(cell)
    most = {name: well_volume(has, event.failed, name) for name in by_well}

    def with_shared(chosen: OutageCell | None) -> float:
        whole = 0.0
        for name, there in by_well.items():
            own = [cell for cell in there if cell not in shared or cell is chosen]
            pumped = _pumped(own, set())
            whole += min(pumped + sum(_of(own, "hand pump", "lift")), most[name])
        return whole

    return max(map(with_shared, shared), default=with_shared(None))


def well_volume(has: Equipment, failed: frozenset[str] = frozenset(), name: str = FIRST) -> float:
    """The most that a well gives on a day [m3], by the tested yield and by the drawdown down to
    the deepest intake that works; infinite where the file does not tell its yield."""
    views_of = {name_of(view.well) or FIRST: view for view in views(has.site)}
    site, boosters = views_of[name], _from_tank(has)
    working = [
        pump
        for pump in has.pumps
        if pump.name not in {*failed, *boosters} and _well_of(site, pump.name) == name
    ]
    floors = [pump.intake_depth for pump in working]
    hand = has.hand if _well_of(has.site, HAND) == name else None
    if hand is not None and hand.draws_water and HAND not in failed:
        reach = hand.suction_limit if hand.cylinder_depth is None else hand.cylinder_depth
        floors.append(reach or 0.0)
    if name == FIRST and any(lift.name not in failed for lift in has.lifts):
        floors.append(float(site.well.depth))
    tested = site.well.tested_yield
    flow = math.inf if tested is None else float(tested)
    if floors:
        flow = min(flow, water_level(site, max(floors)).greatest_flow())
    return flow * DAY


def _well_of(site: Site, source: str) -> str:
    """What the well of a pump, the hand pump or a lift is called; "" of a booster."""
    hand = site.hand_pump
    if source == HAND and hand is not None:
        return draws_from(hand)
    table = next((pump for pump in site.pump if pump.name == source), None)
    return FIRST if table is None else draws_from(table)


def _nothing(source: str, kind: str, limit: str, needs: tuple[str, ...] = ()) -> OutageCell:
    return OutageCell(source, kind, 0.0, "none", None, "no", limit, needs)


def _pump_cell(tried: Tried, pump: PumpResult, event: Event) -> OutageCell:
    site, failed = tried.has.site, event.failed
    link = house.link_of(site, tried.has.table(pump))
    stands = None
    if link.from_tank and "storage tank" in failed:
        stands = "the storage tank has failed"
    elif draws_from(link.table) in failed:
        stands = "its well has failed" if link.table.well else "the well has failed"
    elif pump.name in failed:
        stands = "it has failed"
    elif pump.duties[0].flow <= 0.0:
        stands = "it lifts no water here"
    elif "pressure switch" in failed and link.by_switch and site.pressure_switch is not None:
        stands = "its pressure switch has failed"
    if stands is not None:
        return _nothing(pump.name, "pump", stands)
    ways = [*grid_or_generator(tried.has, pump, event), tried.sun.water(pump, event)]
    best = max(ways, key=lambda way: way.volume)
    if best.volume <= 0.0:
        why = _why(ways)
        needs = next((way.needs for way in ways if way.needs), ())
        return _nothing(pump.name, "pump", why, needs)
    pressure, limit = _pressed(tried.has, link, failed), best.limit
    if pressure == "short cycling":
        limit = "far too many starts"
    return OutageCell(pump.name, "pump", best.volume, best.power, None, pressure, limit)


def _why(ways: list[Powered]) -> str:
    """Why a pump has no power at all: the way it was meant to go comes last."""
    own = [way for way in ways if not way.limit.startswith("no modules")]
    return (own or ways)[-1].limit


def _pressed(has: Equipment, link: Link, failed: frozenset[str]) -> PressureState:
    """How water stands at the taps by a pump that works."""
    if link.to_house:
        return "short cycling" if link.by_switch and "pressure tank" in failed else "yes"
    return "by gravity" if _falls(has.site) and "storage tank" not in failed else "no"


def _falls(site: Site) -> bool:
    """Whether the water of the storage tank runs down to the house by itself."""
    if house.gravity_head(site) is not None:
        return True
    # A file that tells no height of its tank has it at the end of the line from the well.
    own = site.storage_tank is not None and site.storage_tank.elevation is None
    return own and site.piping.tank_elevation > 0.0 and house.pressure_by(site) == "none"


def _hand_cell(
    tried: Tried, lift: HandPumpResult | LiftResult, name: str, event: Event
) -> OutageCell:
    kind = "hand pump" if isinstance(lift, HandPumpResult) else "lift"
    if _well_of(tried.has.site, name) in event.failed:
        return _nothing(name, kind, "the well has failed")
    if name in event.failed:
        return _nothing(name, kind, "it has failed")
    people, place = _crew(tried.has, lift)
    if place == "storage tank" and place in event.failed:
        return _nothing(name, kind, "the storage tank has failed")
    volume = volume_in(lift, LONGEST_EFFORT, place, people)
    if not volume:
        why = "it does not reach the water"
        if isinstance(lift, HandPumpResult):
            why = "its cylinder hangs above the low-season water"
            if lift.cylinder_depth is None:
                why = "suction does not reach the low-season water"
        return _nothing(name, kind, why)
    survival, effort = tried.wanted.survival, LONGEST_EFFORT
    limit = "8 h of work a day"
    if survival:
        minutes = minutes_for(lift, survival, place, people)
        effort = LONGEST_EFFORT if minutes is None else min(effort, 60.0 * minutes)
    pressed: PressureState = "no"
    if lift.place("tank") is not None:
        pressed = "no" if "pressure tank" in event.failed else "by hand"
    elif lift.place("storage tank") is not None and "storage tank" not in event.failed:
        pressed = "by gravity" if _falls(tried.has.site) else "no"
    return OutageCell(name, kind, volume, "hands", effort, pressed, limit)


def _crew(has: Equipment, lift: HandPumpResult | LiftResult) -> tuple[int, PlaceKey]:
    """Who work it at the same time, and where its water goes with the least work."""
    if isinstance(lift, LiftResult):
        return lift.people, "spout"
    table, goal = has.site.hand_pump, house.hand_goal(has.site)
    if table is None or table.spout_valve or goal == "spout":
        return lift.people_pumping, "spout"
    return lift.people_pumping, "storage tank" if goal == "storage tank" else "tank"


def _stored_cell(tried: Tried, event: Event) -> list[OutageCell]:
    """The stores together; none where the site has none."""
    if not tried.stores:
        return []
    left = [store for store in tried.stores if store.name not in event.failed]
    volume = sum(store.volume for store in left)
    if volume <= 0.0:
        return [_nothing(STORED, "stored", "no store is left")]
    if not event.failed:
        return [_nothing(STORED, "stored", "the other sources keep the stores full")]
    survival, limit = tried.wanted.survival, "its volume"
    if survival:
        days = volume / survival
        limit = f"gone in {days:.1f} days of survival use"
    site = tried.has.site
    falls = _falls(site) and "storage tank" not in event.failed
    pressure: PressureState = "by gravity" if falls else "no"
    return [OutageCell(STORED, "stored", volume / event.days, "none", None, pressure, limit)]


def _effort(tried: Tried, cells: list[OutageCell], without: float) -> float | None:
    """Work by hand for what is missing of survival water [s]; None where nothing is missing or
    no hand can lift it."""
    survival, hands = tried.wanted.survival, {cell.source for cell in cells if cell.effort}
    if survival is None or without >= survival or not hands:
        return None
    has = tried.has
    ways: list[tuple[str, HandPumpResult | LiftResult]] = [(e.name, e) for e in has.lifts]
    ways += [] if has.hand is None else [(HAND, has.hand)]
    minutes_of = []
    for name, lift in ways:
        people, place = _crew(has, lift)
        if name in hands:
            minutes = minutes_for(lift, survival - without, place, people)
            minutes_of.append(math.inf if minutes is None else minutes)
    return min(LONGEST_EFFORT, 60.0 * min(minutes_of))
