"""A site's pipes, switches and sources as hands bring them from one state into the next, and what
may not be in any of them.

Every procedure is a list of moves. After each of them the state is looked at; what hurts somebody
or breaks something is a fault in words.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from wellsolar.results.card import CardBlock, CardResult
from wellsolar.results.moves import (
    ALL_HEAT,
    ALL_PUMPS,
    BY_SEASON,
    EMPTY,
    FULL,
    GENERATOR,
    HANDLE,
    HEATER_WATER,
    HOT_TAP,
    OFF,
    ON,
    OPEN,
    OTHER_PUMPS,
    SHUT,
    TAP,
    THIS_PUMP,
    TRANSFER,
    Move,
    Step,
    heat_switch,
    pump_switch,
)
from wellsolar.results.parts import Part
from wellsolar.results.readings import SheetResult
from wellsolar.site.part_names import COLD, HAND_LINE, HEATER_DRAIN, HOUSE_MAIN, TANK_DRAIN
from wellsolar.site.schema import Site
from wellsolar.studies.electric.supplies import supplies_of
from wellsolar.studies.house.chain import fillers, pumps_run
from wellsolar.studies.plumbing.layout import Fitting, into_tank, layout_of, meets_pumps

USUAL = ("grid", "inverter", "generator")


@dataclass
class House:
    """What stands open, on and full.

    frost: the season; weak: pumps that never reach what stops them
    usual: the pumps that are on by day and night
    bladder: False when the tank's is torn
    """

    site: Site
    frost: bool
    weak: frozenset[str] = frozenset()
    usual: tuple[str, ...] = ()
    bladder: bool = True
    stands: dict[str, str] = field(default_factory=dict)

    @property
    def fittings(self) -> tuple[Fitting, ...]:
        return layout_of(self.site)

    @property
    def pumps(self) -> list[str]:
        return [table.name for table in self.site.pump]

    @property
    def heats(self) -> list[str]:
        heater = self.site.water_heater
        feeders = [group.name for group in self.site.array if group.feeds == "heater"]
        if heater is not None:
            feeders += [element.fed_by for element in heater.element]
            feeders += ["second tank"] if heater.second_tank is not None else []
        return [heat_switch(name) for name in dict.fromkeys(feeders)]

    def at_rest(self) -> House:
        """Every valve, tap, switch and source as on an ordinary day."""
        self.stands = {each.name: self.position(each.rest) for each in self.fittings if each.rest}
        self.stands |= {TAP: SHUT, HOT_TAP: SHUT, HANDLE: OFF, GENERATOR: OFF}
        self.stands |= {pump_switch(name): ON if name in self.usual else OFF
                        for name in self.pumps}  # fmt: skip
        self.stands |= dict.fromkeys(self.heats, ON)
        self.stands[HEATER_WATER] = FULL
        sources = supplies_of(self.site)
        self.stands[TRANSFER] = next((name for name in USUAL if name in sources), "")
        return self

    def new(self) -> House:
        """The same before anything was ever switched on or filled."""
        self.at_rest()
        self.stands |= dict.fromkeys(self.heats, OFF)
        self.stands[HEATER_WATER] = EMPTY
        return self

    def position(self, to: str) -> str:
        return (OPEN if self.frost else SHUT) if to == BY_SEASON else to

    def running(self) -> list[str]:
        return [name for name in self.pumps if self.stands[pump_switch(name)] == ON]

    def heated(self) -> bool:
        there = self.site.water_heater is not None
        return there and any(self.stands[name] == ON for name in self.heats)

    def emptied(self) -> bool:
        """Whether all is off and every tap and drain open; the frost drain in frost alone."""
        ways = {each.name: self.position(OPEN if each.rest == SHUT else each.rest)
                for each in self.fittings if each.rest and each.between[1] == "waste"}  # fmt: skip
        ways[TAP] = OPEN
        if self.site.water_heater is not None:
            ways[HOT_TAP] = OPEN
        opened = all(self.stands[name] == to for name, to in ways.items())
        return opened and not self.running() and not self.heated()

    def valves(self) -> dict[str, str]:
        """What a procedure that ends leaves as it was: valves, taps and handle."""
        names = [each.name for each in self.fittings if each.rest]
        return {name: self.stands[name] for name in (*names, TAP, HOT_TAP, HANDLE)}

    def do(self, move: Move, this: str = "") -> list[str]:
        """Make a move, its "this pump" being that of the name; gives what is wrong then."""
        wrong = []
        if move.thing in (TRANSFER, GENERATOR) and self.running():
            wrong.append(f"{move} under a pump that runs")
        for name in self._named(move.thing, this):
            if name not in self.stands:
                wrong.append(f"{name} is no thing of this site")
            self.stands[name] = self.position(move.to)
        return wrong + list(self.faults())

    def _named(self, thing: str, this: str) -> list[str]:
        if thing == ALL_PUMPS:
            return [pump_switch(name) for name in self.pumps]
        if thing == OTHER_PUMPS:
            return [pump_switch(name) for name in self.pumps if name != this]
        if thing == ALL_HEAT:
            return self.heats
        return [pump_switch(this) if thing == THIS_PUMP else thing]

    def faults(self) -> Iterator[str]:
        """What is wrong as things stand."""
        yield from self._of_pumps()
        yield from self._of_handle()
        yield from self._of_heater()
        if self.stands[GENERATOR] == ON and self.running():
            others = set(supplies_of(self.site)) - {"generator"}
            if others and self.stands[TRANSFER] != "generator":
                yield "an engine runs beside another source"

    def _of_pumps(self) -> Iterator[str]:
        running = self.running()
        filling = {each.table.name for each in fillers(self.site)} & set(running)
        together = pumps_run(self.site) in ("alternating", "at once") and bool(fillers(self.site))
        alike = max(len(filling), len(running) - len(filling))
        if alike > 1 and not together:
            yield "two pumps on at once"
        if running and self.stands.get(HAND_LINE) == OPEN and meets_pumps(self.site):
            yield "a powered pump presses into the hand pump"
        if running and self.stands.get(TANK_DRAIN) == OPEN:
            yield "a pump runs out of the tank's drain"
        for name in running:
            if not self._has_outlet(name):
                yield f"{name} on against a shut line"

    def _has_outlet(self, name: str) -> bool:
        """Whether a pump has somewhere to go, or something that stops it."""
        if any(each.table.name == name for each in fillers(self.site)):
            return True  # The storage tank is open.
        if self.stands[TAP] == OPEN and self.stands.get(HOUSE_MAIN, OPEN) == OPEN:
            return True
        table = next(each for each in self.site.pump if each.name == name)
        if self.site.pressure_switch is None and table.held_pressure is None:
            return True
        # A drive that holds its pressure slows down by itself, with the tank's air or without.
        return name not in self.weak and (self.bladder or table.held_pressure is not None)

    def unguarded(self, tried: set[str]) -> Iterator[str]:
        """Vessels that are pressed or heated before what relieves them was tried."""
        pressed = {
            "tank": bool(self.running()),
            "hand pump": self.stands[HANDLE] == ON and self.stands.get(HAND_LINE) == OPEN,
            "heater": self.heated(),
            "second tank": self.stands.get(heat_switch("second tank")) == ON,
        }
        keys = {each.name: each.key for each in self.fittings}
        for vessel in vessels_of(self.site):
            if pressed.get(vessel) and keys.get(RELIEVED_BY[vessel]) not in tried:
                yield f"the {vessel} is at work before its {RELIEVED_BY[vessel]} is tried"

    def _of_handle(self) -> Iterator[str]:
        if self.stands[HANDLE] != ON:
            return
        ways = {
            each.between[1]: each.name
            for each in self.fittings
            if each.between[0] == "hand pump" and self.stands.get(each.name) == OPEN
        }
        if into_tank(self.site) is None:
            return
        if not set(ways) & {"tank", "storage tank", "spout"}:
            yield "the hand pump works against a shut valve"
        if "waste" in ways:
            yield "what is pumped runs out of the frost drain"
        if "tank" in ways and not self.bladder and self.stands[TAP] != OPEN:
            yield "the hand pump presses into pipes without air"
        if {"tank", "storage tank"} & set(ways) and "spout" in ways:
            yield "the tank empties itself at the spout"
        if self.running() and meets_pumps(self.site):
            yield "hand pump and powered pump at once"

    def _of_heater(self) -> Iterator[str]:
        if self.site.water_heater is None:
            return
        if self.heated():
            if self.stands[HEATER_WATER] != FULL:
                yield "an element is heated in a tank that is not full"
            if self.stands[COLD] == SHUT:
                yield "a heater that is heated is cut off from where its water expands"
        if self.stands[HEATER_DRAIN] == OPEN and self.heated():
            yield "the heater is drained with its heat on"


RELIEVED_BY = {
    "tank": "tank relief valve",
    "hand pump": "hand pump relief valve",
    "heater": "heater relief valve",
    "second tank": "second tank relief valve",
    "storage tank": "vent and overflow",
}
"""Vessel -> what keeps it from bursting, as the parts list calls it."""


def vessels_of(site: Site) -> dict[str, bool]:
    """What holds water under pressure, or would if nothing let it out, and whether the file has
    what relieves it."""
    tank, hand, heater = site.pressure_tank, into_tank(site), site.water_heater
    found = {}
    held = any(each.held_pressure is not None for each in site.pump)
    if site.pump and (tank is not None or site.pressure_switch is not None or held):
        found["tank"] = tank is not None and tank.relief_pressure is not None
    if hand is not None:
        found["hand pump"] = hand.relief_pressure is not None
    if heater is not None:
        found["heater"] = heater.relief_pressure is not None
        if heater.second_tank is not None:
            found["second tank"] = heater.second_tank.relief_pressure is not None
    if site.storage_tank is not None:
        found["storage tank"] = False
    return found


def unlisted(site: Site, parts: Iterable[Part]) -> list[str]:
    """Valves that procedures move and that no line of the parts list has by their name."""
    listed = {part.item for part in parts}
    return [f"{each.name} is in no line of the parts" for each in layout_of(site)
            if each.name not in listed]  # fmt: skip


def relief_faults(site: Site, parts: Iterable[Part]) -> list[str]:
    """Vessels whose relief path neither the file has nor the parts list asks for, or that a valve
    can cut off from it."""
    wrong = []
    asked = {part.item for part in parts if part.state != "in the file"}
    fittings = {each.name: each for each in layout_of(site)}
    for vessel, told in vessels_of(site).items():
        name = RELIEVED_BY[vessel]
        if not told and name not in asked:
            wrong.append(f"{vessel}: neither file nor parts have its {name}")
        if vessel == "storage tank":
            continue
        fitting = fittings.get(name)
        if fitting is None or fitting.rest or fitting.between != (vessel, "waste"):
            wrong.append(f"{vessel}: no {name} stands at it, open of itself")
        elif fitting.told != told:
            wrong.append(f"{vessel}: its {name} is told otherwise than by the file")
    return wrong


def card_faults(
    site: Site, card: CardResult, weak: frozenset[str], torn: set[str], frost: bool
) -> list[str]:
    """Every failure of a card, from rest through its steps, the boxes that they send to and what
    is done when all is repaired, and back to rest; every box by itself, for each of its pumps.
    `torn`: keys of the failures with the tank's bladder torn."""
    wrong = []
    boxes = {each.key: each for each in card.boxes}
    usual = _usual(site, boxes, weak)
    for block in card.failures:
        house = House(site, frost, weak, usual).at_rest()
        rest, house.bladder = dict(house.stands), not torn & set(block.key.split("+"))
        wrong += _done(house, block, boxes)
        house.bladder = True
        if "mended" in boxes:
            wrong += _done(house, boxes["mended"], boxes)
        else:
            house.stands |= {pump_switch(name): ON for name in usual}
        if supplies_of(site) == ("generator",):
            house.stands[GENERATOR] = OFF
        left = [f"{name} is left {house.stands[name]}"
                for name, to in rest.items() if house.stands[name] != to]  # fmt: skip
        wrong += [f"{block.key}: {each}" for each in left]
    for block in card.boxes:
        for name in _run_by(block, site, weak):
            house = House(site, frost, weak, usual).at_rest()
            rest = house.valves()
            wrong += _done(house, block, boxes, name)
            if house.valves() != rest:
                left = set(house.valves().items()) - set(rest.items())
                wrong.append(f"{block.key}: left {sorted(left)}")
    return wrong


def _usual(site: Site, boxes: dict[str, CardBlock], weak: frozenset[str]) -> tuple[str, ...]:
    """The pumps that stay on: of a chain those that floats and switch run, else one that a
    pressure stops."""
    last = boxes["mended"].steps[-1] if "mended" in boxes else None
    moves = last.moves if isinstance(last, Step) else ()
    names = [each.name for each in site.pump]
    chain = tuple(name for name in names if Move(pump_switch(name), ON) in moves)
    if chain:
        assert not set(chain) & weak
        return chain
    name = last.of if isinstance(last, Step) else next((e.name for e in site.pump), "")
    stops = site.pressure_switch is not None or any(e.held_pressure for e in site.pump)
    return (name,) if stops and name not in weak else ()


def _run_by(block: CardBlock, site: Site, weak: frozenset[str]) -> list[str]:
    """The pumps that a box is done with; of others than pumps' any."""
    names = [table.name for table in site.pump]
    if block.key in ("pump", "weak_pump"):
        return [name for name in names if (name in weak) == (block.key == "weak_pump")]
    return names[:1] or [""]


def _done(
    house: House, block: CardBlock, boxes: dict[str, CardBlock], this: str = ""
) -> Iterator[str]:
    """The faults of a block's steps, and of the boxes that they send to."""
    for step in block.steps:
        if not isinstance(step, Step):
            continue
        for move in step.moves:
            for each in house.do(move, this):
                yield f"{block.key}, {step.text('US')!r}, {move}: {each}"
            drawn = block.key == "stored" and move == Move(TAP, OPEN)
            if drawn and house.stands.get(COLD) == OPEN:
                yield "stored: a tap draws on the heater"
        for key in step.boxes:
            yield from _done(house, boxes[key], boxes, step.of)


def sheet_faults(site: Site, sheet: SheetResult, weak: frozenset[str], frost: bool) -> list[str]:
    """The steps of a sheet one after the other in a new house, each back at rest at its end."""
    house = House(site, frost, weak).new()
    rest = house.valves()
    wrong: list[str] = []
    tried: set[str] = set()
    for step in sheet.steps:
        emptied = False
        tried |= {line.proves for line in step.lines}
        for move in (*step.moves, *step.after):
            wrong += [f"sheet, {step.key}, {move}: {each}"
                      for each in (*house.do(move), *house.unguarded(tried))]  # fmt: skip
            emptied = emptied or house.emptied()
        if step.key == "frost" and not emptied:
            wrong.append("sheet, frost: something is left full")
        if house.valves() != rest:
            left = set(house.valves().items()) - set(rest.items())
            wrong.append(f"sheet, {step.key}: left {sorted(left)}")
        if house.running() or house.heated():
            wrong.append(f"sheet, {step.key}: something is left on")
    return wrong


def moved(blocks: Iterable[CardBlock]) -> set[str]:
    """Everything that some blocks move."""
    return {move.thing for block in blocks for step in block.steps
            for move in getattr(step, "moves", ())}  # fmt: skip
