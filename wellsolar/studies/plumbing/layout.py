"""The plumbing of a site, made once: parts list, owner's card and commissioning sheet speak of
these things by these names alone.

Where the file has no key for a thing it stands as the trade usually builds it: a part to check.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from wellsolar.results.moves import BY_SEASON, OPEN, SHUT, Move
from wellsolar.site.part_names import (
    BYPASS,
    COLD,
    FROST_DRAIN,
    HAND_CHECK,
    HAND_LINE,
    HAND_RELIEF,
    HEATER_CHECK,
    HEATER_DRAIN,
    HEATER_RELIEF,
    HOUSE_MAIN,
    SECOND_DRAIN,
    SECOND_RELIEF,
    SPOUT,
    TANK_DRAIN,
    TANK_RELIEF,
)
from wellsolar.site.schema import HandPumpTable, Site
from wellsolar.studies.house.chain import hand_goal

Group = Literal["hand pump", "house", "heater"]


@dataclass(frozen=True)
class Fitting:
    """A thing in the pipes.

    name: its only name; group: to what it belongs
    place: where it stands, as the parts list says it; why: what it is for
    rest: its normal position; empty for one that moves by itself
    between: what it joins: "hand pump", "spout", "tank", "storage tank", "house", "heater",
        "second tank", "waste"
    key: of the file that says that it is there; empty where no key does
    told: True where the file has that key
    """

    name: str
    group: Group
    place: str
    why: str
    rest: str
    between: tuple[str, str]
    key: str = ""
    told: bool = False

    @property
    def by_hand(self) -> bool:
        """True for what a hand moves."""
        return bool(self.rest)


def freezes(site: Site) -> bool:
    """Whether pipes may freeze. False only where the file shows that it never does."""
    low = site.sun.record_low
    return low is None or low <= 0.0


def pressurised(site: Site) -> bool:
    """Whether powered pumps press into closed pipes. True where a tank, a switch or a pump that
    holds its pressure says so."""
    closed = site.pressure_tank is not None or site.pressure_switch is not None
    held = any(pump.held_pressure is not None for pump in site.pump)
    return bool(site.pump) and (closed or held)


def into_tank(site: Site) -> HandPumpTable | None:
    """The hand pump whose line leads to a tank, the pressure tank or the storage tank; None where
    there is none."""
    hand = site.hand_pump
    return None if hand_goal(site) == "spout" else hand


def meets_pumps(site: Site) -> bool:
    """Whether powered pumps press into the pipes that the hand pump's line leads to. False too of
    a line of its own up to the open storage tank."""
    hand = into_tank(site)
    if hand is None or not site.pump:
        return False
    return hand_goal(site) != "storage tank" or hand.line is None


def layout_of(site: Site) -> tuple[Fitting, ...]:
    """Every valve, drain and guard of a site's pipes: those of the hand pump, of the house, of the
    heater."""
    return (*_of_hand_pump(site), *_of_house(site), *_of_heater(site))


def _of_hand_pump(site: Site) -> list[Fitting]:
    """The line from a hand pump to the tank."""
    hand = into_tank(site)
    if hand is None:
        return []
    stored = hand_goal(site) == "storage tank"
    to = ("hand pump", "storage tank" if stored else "tank")
    main = f"on its line to the {to[1]}, as wide as its rising main"
    back = "no powered pump then presses back into the hand pump"
    packed = (
        "no powered pump presses on its packing, and it comes out of the well while the house has "
        "water"
    )
    if stored and not meets_pumps(site):
        back = "what stands in the line up to the tank does not run back out at the hand pump"
        packed = "nothing presses on its packing, and it comes out of the well with the line full"
    fittings = [
        Fitting(HAND_CHECK, "hand pump", main, back, "", to),
        Fitting(HAND_LINE, "hand pump", f"{main}; shut but while somebody pumps into the tank",
                packed, SHUT, to),
        Fitting(HAND_RELIEF, "hand pump", "between the pump and its first valve",
                "hands against a shut valve make more pressure than the pipes stand", "",
                ("hand pump", "waste"), "hand_pump.relief_pressure",
                hand.relief_pressure is not None),
    ]  # fmt: skip
    if hand.spout_valve:
        fittings.append(
            Fitting(SPOUT, "hand pump", "between head and open spout",
                    "open but while somebody pumps into the tank, so that no handle works against "
                    "a shut valve", OPEN, ("hand pump", "spout"), "hand_pump.spout_valve",
                    "spout_valve" in hand.model_fields_set)
        )  # fmt: skip
    if freezes(site) and hand.frost_drain is not False:
        fittings.append(
            Fitting(FROST_DRAIN, "hand pump", "below the frost, to which all above it falls",
                    "what stands in the line between head and house freezes", BY_SEASON,
                    ("hand pump", "waste"), "hand_pump.frost_drain", hand.frost_drain is True)
        )  # fmt: skip
    return fittings


def _of_house(site: Site) -> list[Fitting]:
    """From the treatment to the taps."""
    tank, fittings = site.pressure_tank, []
    if site.piping.treatment_loss > 0.0:
        fittings.append(
            Fitting(BYPASS, "house", "three valves round softener and filters",
                    "chlorine ruins what treats the water, and the water must run while it is "
                    "mended", SHUT, ("tank", "house"))
        )  # fmt: skip
    if pressurised(site) or tank is not None or site.pressure_switch is not None:
        fittings.append(
            Fitting(TANK_DRAIN, "house", "at the pressure tank",
                    "the precharge is read on a drained tank", SHUT, ("tank", "waste"))
        )  # fmt: skip
        fittings.append(
            Fitting(HOUSE_MAIN, "house", "between the pressure tank and the first tap",
                    "a burst pipe is cut off, and the pumps' part is tested by itself", OPEN,
                    ("tank", "house"))
        )  # fmt: skip
    if pressurised(site):
        fittings.append(
            Fitting(TANK_RELIEF, "house", "at the pressure tank, no valve between",
                    "a switch that sticks leaves the pump running against shut taps", "",
                    ("tank", "waste"), "pressure_tank.relief_pressure",
                    tank is not None and tank.relief_pressure is not None)
        )  # fmt: skip
    return fittings


def _of_heater(site: Site) -> list[Fitting]:
    """At the water heater."""
    heater = site.water_heater
    if heater is None:
        return []
    fittings = [
        Fitting(COLD, "heater", "in the cold pipe to the heater, before its relief valve and any "
                "expansion tank", "the heater is cut off for repair and for drawing its water",
                OPEN, ("house", "heater")),
        Fitting(HEATER_DRAIN, "heater", "at the foot of the heater",
                "sediment is flushed, and its water drawn", SHUT, ("heater", "waste")),
        Fitting(HEATER_RELIEF, "heater", "at the heater, no valve between",
                "water that boils bursts the tank", "", ("heater", "waste"),
                "water_heater.relief_pressure", heater.relief_pressure is not None),
    ]  # fmt: skip
    second = heater.second_tank
    if second is not None:
        fittings.append(
            Fitting(SECOND_DRAIN, "heater", "at the foot of the second tank",
                    "sediment is flushed, and its water drawn", SHUT, ("second tank", "waste"))
        )  # fmt: skip
        fittings.append(
            Fitting(SECOND_RELIEF, "heater", "at the second tank, no valve between",
                    "water that boils bursts the tank", "", ("second tank", "waste"),
                    "water_heater.second_tank.relief_pressure",
                    second.relief_pressure is not None)
        )  # fmt: skip
    if heater.check_valve:
        fittings.append(
            Fitting(HEATER_CHECK, "heater", "in the cold pipe to the heater",
                    "the file has it", "", ("house", "heater"), "water_heater.check_valve", True)
        )  # fmt: skip
    return fittings


def hand_at_rest(site: Site) -> tuple[Move, ...]:
    """The hand pump's valves as they stand by day and night: its line shut, then its spout open
    and any frost drain by the season; none where its line does not lead to the tank."""
    orders = {fitting.name: fitting.rest for fitting in _of_hand_pump(site) if fitting.by_hand}
    return tuple(Move(name, orders[name]) for name in (HAND_LINE, SPOUT, FROST_DRAIN)
                 if name in orders)  # fmt: skip


def house_drains(site: Site) -> tuple[str, ...]:
    """The valves by which the house's vessels run empty; none where no vessel has one."""
    drains = (TANK_DRAIN, HEATER_DRAIN, SECOND_DRAIN)
    return tuple(fitting.name for fitting in layout_of(site) if fitting.name in drains)


def hand_off_the_tank(site: Site) -> tuple[Move, ...]:
    """What comes before a powered pump is switched on: no way into the hand pump, none shut to it.

    Returns:
        its line shut, then its spout open; none where its line does not lead to the tank
    """
    return tuple(move for move in hand_at_rest(site) if move.thing != FROST_DRAIN)


def hand_into_tank(site: Site) -> tuple[Move, ...]:
    """The hand pump's valves while somebody pumps into the tank; powered pumps are off before.

    Returns:
        its spout and any frost drain shut, then its line open; none where it does not lead there
    """
    names = [move.thing for move in hand_at_rest(site)]
    shut = [Move(name, SHUT) for name in (SPOUT, FROST_DRAIN) if name in names]
    return (*shut, Move(HAND_LINE, OPEN)) if names else ()


def hand_to_spout(site: Site) -> tuple[Move, ...]:
    """The hand pump's valves while somebody fills a bucket: its line and any frost drain shut, its
    spout open; none where it does not lead to the tank."""
    names = [move.thing for move in hand_at_rest(site)]
    shut = [Move(name, SHUT) for name in (HAND_LINE, FROST_DRAIN) if name in names]
    return (*shut, Move(SPOUT, OPEN)) if SPOUT in names else tuple(shut)


VERBS = {SHUT: "CLOSE", OPEN: "OPEN", BY_SEASON: "in frost OPEN"}


def order_of(moves: Iterable[Move]) -> str:
    """Moves of valves as an order, as the owner's card prints it.

    Returns:
        such as "CLOSE spout valve and any frost drain, OPEN hand pump line valve"; empty for none
    """
    return ", ".join(f"{VERBS[to]} {' and '.join(names)}" for to, names in _together(moves))


def stand_of(moves: Iterable[Move]) -> str:
    """Moves of valves as how they then stand, as the commissioning sheet prints it.

    Returns:
        such as "hand pump line valve shut, spout valve open"; empty for none
    """
    return ", ".join(f"{' and '.join(names)} {to}" for to, names in _together(moves))


def _together(moves: Iterable[Move]) -> list[tuple[str, list[str]]]:
    """Neighbours that go to the same position, their names as an order shows them."""
    groups: list[tuple[str, list[str]]] = []
    for move in moves:
        name = f"any {move.thing}" if move.thing == FROST_DRAIN else move.thing
        if groups and groups[-1][0] == move.to:
            groups[-1][1].append(name)
        else:
            groups.append((move.to, [name]))
    return groups
