"""What the owner's card is written from: the equipment of the site, and which box says what."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from wellsolar.constants import US_GALLON
from wellsolar.results.hand import HandPumpResult, LiftResult
from wellsolar.results.moves import Move, Step
from wellsolar.results.outages import Outage, OutageCell, OutageResult
from wellsolar.results.pumps import PumpResult
from wellsolar.site.schema import ArrayTable, Site
from wellsolar.studies.electric.supplies import supplies_of
from wellsolar.studies.house.chain import fillers, hand_goal
from wellsolar.studies.outage.equipment import Equipment
from wellsolar.studies.plumbing import layout
from wellsolar.studies.pump.verdicts import never_stops
from wellsolar.units import Quantity

PUMP, WEAK, FILLING, INTO_HOUSE, SPOUT, LIFT, STORED = (
    "pump", "weak_pump", "filling_pump", "hand_house", "hand_spout", "lift", "stored",
)  # fmt: skip
"""Keys of the boxes that steps point to; a lift's has its number behind it."""

TUB_TAP = 4.0 * US_GALLON / 60.0
"""What the tap of a tub gives at 20 psi, a low cut-in [m3/s]: International Plumbing Code, table
604.3, from memory."""

SOURCES = {"grid": "POWER LINE", "inverter": "BATTERY", "generator": "GENERATOR"}
"""What stands at the positions of a transfer switch."""


def act(
    template: str,
    *moves: Move,
    boxes: tuple[str, ...] = (),
    of: str = "",
    **parts: Quantity | str,
) -> Step:
    """A step of a procedure from its words and what hands do in it.

    Parameters:
        template, parts: as of `wellsolar.verdicts.say`
        boxes: keys of the boxes that it sends to; of: the pump that they are done with
    """
    return Step(template, parts, moves, boxes, of)


def valves(moves: tuple[Move, ...], begin: str = "", end: str = ".") -> list[Step]:
    """The step that brings valves into their positions.

    Parameters:
        begin, end: what stands before and behind them in its sentence
    Returns:
        the step; none where nothing is to be moved
    """
    return [act(begin + layout.order_of(moves) + end, *moves)] if moves else []


@dataclass(frozen=True, eq=False)
class Seen:
    """A site as its card sees it.

    has: the equipment in its low season; outages: what is left when things fail
    letters: of the boxes, by their keys
    """

    has: Equipment
    outages: OutageResult
    letters: dict[str, str] = field(default_factory=dict)

    @property
    def site(self) -> Site:
        """The site in its low season."""
        return self.has.site

    @property
    def people(self) -> int | None:
        """Who live there."""
        return self.site.site.people

    @property
    def pumps(self) -> tuple[PumpResult, ...]:
        """Powered pumps that lift water here at all."""
        return tuple(pump for pump in self.has.pumps if pump.duties[0].flow > 0.0)

    @property
    def hand(self) -> HandPumpResult | None:
        """The hand pump, if it reaches the water."""
        hand = self.has.hand
        return hand if hand is not None and hand.draws_water else None

    @property
    def joined(self) -> bool:
        """True where the hand pump's pipe leads to a tank, whether it brings water or not."""
        return layout.into_tank(self.site) is not None

    @property
    def hand_stores(self) -> bool:
        """True where that is the storage tank."""
        return hand_goal(self.site) == "storage tank"

    @property
    def two_ways(self) -> bool:
        """True where valves lead the hand pump's water to a spout or to a tank."""
        table = self.site.hand_pump
        return self.joined and table is not None and table.spout_valve

    @property
    def lifts(self) -> tuple[LiftResult, ...]:
        """Other lifts that reach the water."""
        return tuple(lift for lift in self.has.lifts if lift.flow > 0.0)

    @property
    def sources(self) -> tuple[str, ...]:
        """What pumps on alternating current can hang on, by turns; the first of them is usual."""
        supplies = supplies_of(self.site)
        return tuple(name for name in SOURCES if name in supplies)

    @property
    def switches_over(self) -> bool:
        """True where pumps hang on one of several sources by turns, on the grid or off it."""
        return len(self.sources) > 1 and any(table.supply == "AC" for table in self.site.pump)

    def too_weak(self, name: str) -> bool:
        """True where a pump is found not to reach what stops it: against shut taps it runs on."""
        return never_stops(self.has.low.said("pumps").verdicts, name)

    def taps_for(self, name: str) -> int:
        """How many open taps take all that a pump gives, so that the pressure stays below what
        stops it."""
        flow = next(pump.duties[0].flow for pump in self.pumps if pump.name == name)
        return max(1, math.ceil(flow / TUB_TAP - 1e-9))

    def pump_box(self, name: str) -> str:
        """The key of the box that tells how a pump is run."""
        if self.fills(name):
            return FILLING
        return WEAK if self.too_weak(name) else PUMP

    def fills(self, name: str) -> bool:
        """True where a pump fills the storage tank, from which another one presses or water
        runs down."""
        return any(filler.table.name == name for filler in fillers(self.site))

    @property
    def gauged(self) -> bool:
        """True where a pump stops by the pressure that a gauge shows."""
        held = any(table.held_pressure for table in self.site.pump)
        return self.site.pressure_switch is not None or held

    @property
    def switch(self) -> str:
        """What turns the electric pumps on and off."""
        return "breaker" if any(table.supply == "AC" for table in self.site.pump) else "switch"

    @property
    def persons(self) -> str:
        """What people are called, by their number."""
        return "person" if self.people == 1 else "people"

    @property
    def heater_arrays(self) -> tuple[ArrayTable, ...]:
        """Groups of modules that heat the water."""
        heater = self.site.water_heater
        fed = set() if heater is None else {element.fed_by for element in heater.element}
        return tuple(array for array in self.site.array if array.name in fed)

    @property
    def heater_on_breaker(self) -> bool:
        """True where grid or inverter heats the water too."""
        heater = self.site.water_heater
        if heater is None:
            return False
        fed = {element.fed_by for element in heater.element}
        return bool(fed & {"grid", "inverter"}) or heater.second_tank is not None

    @property
    def freezes(self) -> bool:
        """False only where the file shows that it never does."""
        return layout.freezes(self.site)

    def box(self, key: str) -> str:
        """The letter of a box; empty where the card has none."""
        return self.letters.get(key, "")


def pumps_in_order(seen: Seen, outage: Outage) -> tuple[OutageCell, ...]:
    """Powered pumps that work, in the order in which an owner should try them.

    One that fills the storage tank goes before those that draw from it. On the grid the house's
    own pump goes first. On what is scarce it is the backup pump, if it
    gives an ordinary day's water, and else the one that makes most of the energy. Without the
    tank's air it is one that holds its pressure, or the one that gives least: open taps take it.
    """
    roles = {table.name: table.role for table in seen.site.pump}
    energy = {pump.name: pump.energy_per_volume or float("inf") for pump in seen.has.pumps}
    wanted = seen.outages.normal or seen.outages.survival or 0.0

    held = {table.name for table in seen.site.pump if table.held_pressure is not None}
    flows = {pump.name: pump.duties[0].flow for pump in seen.has.pumps}

    def rank(cell: OutageCell) -> tuple[float, ...]:
        if seen.fills(cell.source):
            return (-1.0, -cell.volume)
        if cell.pressure == "short cycling":
            return (2.0, float(cell.source not in held), flows[cell.source])
        if cell.power == "grid":
            return (0.0, float(roles[cell.source] != "existing"), -cell.volume)
        meets = cell.volume >= wanted
        first = 0.0 if meets and roles[cell.source] == "backup" else 1.0
        by = energy[cell.source] if meets else -cell.volume
        return (1.0, float(not meets), first, by)

    working = [cell for cell in outage.cells if cell.kind == "pump" and cell.volume > 0.0]
    return tuple(sorted(working, key=rank))
