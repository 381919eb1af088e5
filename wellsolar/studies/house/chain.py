"""The supply as a chain: from where each pump draws to where it delivers, and what gives the house
its pressure at the end."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from wellsolar import kinds
from wellsolar.site.schema import (
    ConstantPressureValveTable,
    PumpTable,
    Site,
    StorageTankTable,
)
from wellsolar.site.table import made_once
from wellsolar.studies.house.wells import ground_of, name_of
from wellsolar.units import Quantity
from wellsolar.verdicts import Assumption

Goal = Literal["pressure tank", "storage tank", "open tank"]
"""Where a pump delivers; an open tank where the file names no storage tank for it."""

HandGoal = Literal["spout", "pressure tank", "storage tank"]
"""Where a hand pump delivers."""

Pressure = Literal["switch", "held", "gravity", "none"]
"""What gives the house its pressure: a switch at the pressure tank, with or without a valve that
evens it out, a drive that holds one, the height of the storage tank, or nothing that the file
names."""

USUAL_HEIGHT = 1.8288
"""Depth of the water in a full storage tank whose file does not tell it, 6 ft [m]: common
practice, no source."""

FILLS_BELOW, FILLS_TO = 0.75, 1.0
"""Shares between which floats keep a storage tank whose file names none: our choice."""


@dataclass(frozen=True)
class Storage:
    """The storage tank, with what its file leaves open taken as usual.

    volume: full [m3]; outlet: height of its outlet above the ground at the well [m];
    depth: of the water above the outlet when it is full [m]; inlet: height at which the pipe that
        fills it ends [m]
    fills_below, fills_to: shares of it between which its pump is started and stopped
    stops_below: share at which pumps that draw from it are stopped, 0 where nothing stops them
    """

    volume: float
    outlet: float
    depth: float
    inlet: float
    fills_below: float
    fills_to: float
    stops_below: float

    def surface(self, share: float) -> float:
        """Height of its water above the ground at the well [m], so much of it full."""
        return self.outlet + share * self.depth

    @property
    def lowest(self) -> float:
        """Height of the water where pumps that draw from it are stopped [m]."""
        return self.surface(self.stops_below)


@dataclass(frozen=True)
class Link:
    """One powered pump of the chain.

    number: its place in the file, from 1, or 0 of one that is only tried; table: of the file
    from_tank: True for a booster, which draws from the storage tank
    goal: where it delivers
    pressures: gauge pressures at the pressure tank between which it works [Pa]: cut-in and
        cut-out, the one that it holds, or none at all
    elevation: of where it delivers, above the ground at its well [m]
    valve: the constant-pressure valve between it and the pressure tank, where a switch starts it
    """

    number: int
    table: PumpTable
    from_tank: bool
    goal: Goal
    pressures: tuple[float, ...]
    elevation: float
    valve: ConstantPressureValveTable | None = None

    @property
    def path(self) -> str:
        """Its key path."""
        return f"pump[{self.number}]"

    @property
    def into_tank(self) -> bool:
        """True where it fills the storage tank."""
        return self.goal == "storage tank"

    @property
    def to_house(self) -> bool:
        """True where it presses into the pressure tank."""
        return self.goal == "pressure tank"

    @property
    def by_switch(self) -> bool:
        """True where the pressure switch starts and stops it."""
        return self.to_house and self.table.held_pressure is None

    @property
    def labels(self) -> tuple[str, ...]:
        """What its duties are called, one for each pressure."""
        if not self.to_house:
            return ("into the storage tank" if self.into_tank else "into an open tank",)
        return ("at cut-in", "at cut-out") if self.by_switch else ("at its pressure",)


def hangs_in_well(table: PumpTable) -> bool:
    """Whether a powered pump is one for the well's water, neither above it nor in a tank. False
    too of a submersible pump in the storage tank."""
    return table.kind != "suction" and table.draws == "well"


def has_ejector(table: PumpTable) -> bool:
    """Whether a pump above the water drives an ejector in the well, on two pipes. True of a jet by
    its maker's table of lifts."""
    return bool(table.jet_table)


def stands_elsewhere(table: PumpTable) -> bool:
    """Whether a suction pump on the well stands in the house and draws through a line. False of
    one at the well, and of any other kind."""
    elsewhere = table.stands_at is not None or table.suction_pipe is not None
    return table.kind == "suction" and table.draws == "well" and elsewhere


def presses_lateral(table: PumpTable) -> bool:
    """Whether a pump presses into the lateral of the site. False of one with a line of its own, of
    a booster, and of a jet that draws through it."""
    return table.draws == "well" and table.line is None and not stands_elsewhere(table)


def uses_lateral(table: PumpTable) -> bool:
    """Whether a pump's water runs through the lateral of the site. True of one that presses into
    it, and of a jet that draws through it."""
    draws_through = stands_elsewhere(table) and table.suction_pipe is None
    return presses_lateral(table) or draws_through


def lateral_name(site: Site) -> str:
    """What the lateral of a site is called: by where the pumps that use it deliver, or the hand
    pump where no other does.

    Returns:
        the line to the storage tank or to the open tank where every such pump fills that, else the
        line to the house
    """
    goals: set[Goal | HandGoal | None]
    goals = {link.goal for link in links(site) if uses_lateral(link.table)}
    (goal,) = goals if len(goals) == 1 else (None if goals else hand_goal(site),)
    return f"line to the {goal}" if goal in ("storage tank", "open tank") else "line to the house"


@made_once
def links(site: Site) -> tuple[Link, ...]:
    """Every powered pump between where it draws and where it delivers: a link for each pump, in
    the order of the file."""
    return tuple(_link(site, number, table) for number, table in enumerate(site.pump, 1))


def link_of(site: Site, table: PumpTable) -> Link:
    """The link of one pump.

    Parameters:
        table: the pump's, of the file or of one that is tried in its place
    """
    places = (at for at, pump in enumerate(site.pump, 1) if pump.name == table.name)
    return _link(site, next(places, 0), table)


def _link(site: Site, number: int, table: PumpTable) -> Link:
    switch, held, tank = site.pressure_switch, table.held_pressure, site.storage_tank
    pressures: tuple[float, ...] = (0.0,)
    elevation, goal = float(site.piping.tank_elevation), _goal(site, table)
    if goal == "pressure tank" and held is not None:
        pressures = (float(held),)
    elif goal == "pressure tank" and switch is not None:
        pressures = (float(switch.cut_in), float(switch.cut_out))
    elif goal == "storage tank" and tank is not None:
        elevation = storage_of(site, tank).inlet
    if site.other_well:
        elevation += _ground(site) - ground_of(site, table)
    throttled = goal == "pressure tank" and held is None
    valve = site.constant_pressure_valve if throttled else None
    return Link(number, table, table.draws == "storage tank", goal, pressures, elevation, valve)


def _ground(site: Site) -> float:
    """Height of the ground from which a site counts, above that at [well] [m]."""
    own = name_of(site.well)
    return next((float(well.ground_height) for well in site.other_well if well.name == own), 0.0)


def _goal(site: Site, table: PumpTable) -> Goal:
    if table.delivers == "storage tank" and site.storage_tank is not None:
        return "storage tank"
    makes = site.pressure_switch is not None or table.held_pressure is not None
    return "pressure tank" if makes else "open tank"


def storage_of(site: Site, tank: StorageTankTable) -> Storage:
    """The storage tank of a site, with what its file leaves open taken as usual: heights, floats
    and volume."""
    outlet = site.piping.tank_elevation if tank.elevation is None else tank.elevation
    depth = USUAL_HEIGHT if tank.water_height is None else tank.water_height
    full = outlet + depth
    return Storage(
        volume=float(tank.volume),
        outlet=float(outlet),
        depth=float(depth),
        inlet=float(full) if tank.air_gap is None else full + tank.air_gap,
        fills_below=FILLS_BELOW if tank.fills_below is None else float(tank.fills_below),
        fills_to=FILLS_TO if tank.fills_to is None else float(tank.fills_to),
        stops_below=0.0 if tank.stops_below is None else float(tank.stops_below),
    )


def pressure_by(site: Site) -> Pressure:
    """What gives the house its pressure: the last link of the chain.

    Returns:
        its kind; gravity only where the storage tank stands above the house and no pump draws
        from it
    """
    last = [link for link in links(site) if link.to_house]
    if any(link.by_switch for link in last):
        return "switch"
    if last:
        return "held"
    return "gravity" if gravity_head(site) is not None else "none"


def gravity_head(site: Site) -> float | None:
    """Height of the storage tank's outlet above the house, where its water runs down by itself.

    Returns:
        [m] above the place of the pressure tank; None where the tank stands no higher, its
        elevation is not told, or a pump stands between it and the house
    """
    tank = site.storage_tank
    if tank is None or tank.elevation is None:
        return None
    if any(link.from_tank or link.to_house for link in links(site)):
        return None
    head = tank.elevation - site.piping.tank_elevation
    return head if head > 0.0 else None


def pumps_run(site: Site) -> Literal["kept apart", "alternating", "at once"] | None:
    """How several powered pumps run, in either spelling of the file; None where it does not tell.

    Returns:
        kept apart by a changeover switch, in turn by an alternator, or at once
    """
    power = site.power
    if power.pumps_run is not None or power.pump_changeover is None:
        return power.pumps_run
    return "kept apart" if power.pump_changeover else "at once"


def hand_goal(site: Site) -> HandGoal | None:
    """Where the hand pump delivers, in either spelling of the file; None where there is none."""
    hand = site.hand_pump
    if hand is None:
        return None
    return "pressure tank" if hand.delivers == "tank" else hand.delivers


def has_cistern(site: Site) -> bool:
    """True where a storage tank is a link of the chain: a pump fills it or draws from it."""
    by_hand = hand_goal(site) == "storage tank"
    return by_hand or any(link.from_tank or link.into_tank for link in links(site))


def fillers(site: Site) -> tuple[Link, ...]:
    """The pumps that fill the storage tank."""
    return tuple(link for link in links(site) if link.into_tank)


def boosters(site: Site) -> tuple[Link, ...]:
    """The pumps that draw from the storage tank."""
    return tuple(link for link in links(site) if link.from_tank)


def storage_assumed(site: Site) -> tuple[Assumption, ...]:
    """What was taken as usual of a storage tank that is a link of the chain: an assumption for
    each key that decides something and is left out."""
    tank = site.storage_tank
    if tank is None or not has_cistern(site):
        return ()
    assumed = []
    if tank.elevation is None:
        value = Quantity(site.piping.tank_elevation, kinds.LENGTH)
        why = "its outlet stands level with the pressure tank"
        assumed.append(Assumption("storage_tank.elevation", value, why, "common practice"))
    if tank.water_height is None:
        value = Quantity(USUAL_HEIGHT, kinds.LENGTH)
        why = "from its outlet to the water when full, in a usual tank"
        assumed.append(Assumption("storage_tank.water_height", value, why, "common practice"))
    if tank.fills_below is None and fillers(site):
        share = Quantity(FILLS_BELOW, kinds.FRACTION)
        why = "a float starts the filling pump when a quarter is drawn"
        assumed.append(Assumption("storage_tank.fills_below", share, why, "common practice"))
    return tuple(assumed)
