"""What a hand does in a procedure: things of the site brought into positions, in order."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from wellsolar.verdicts import Sentence

OPEN, SHUT, ON, OFF = "open", "shut", "on", "off"
FULL, EMPTY = "full", "empty"
BY_SEASON = "open in frost, else shut"
"""Positions: of valves and taps, of switches and handles, of a vessel. A handle that is "on" is
pumped."""

TAP, HOT_TAP, HANDLE = "tap", "hot tap", "hand pump"
HEATER_WATER = "water in the heater"
TRANSFER = "transfer switch"
GENERATOR = "generator"
ALL_PUMPS, OTHER_PUMPS, THIS_PUMP = "every pump", "the other pumps", "this pump"
ALL_HEAT = "every supply of the heater"
"""Things that are no valve. "this pump" is the one that a step sends to a box with; the positions
of the transfer switch are the names of the sources; one pump is "pump NAME", one supply of the
heater "heat NAME" after what feeds it."""


def pump_switch(name: str) -> str:
    """The thing that turns one powered pump on and off."""
    return f"pump {name}"


def heat_switch(name: str) -> str:
    """The thing that turns one supply of the heater on and off, by what feeds it."""
    return f"heat {name}"


class Move(NamedTuple):
    """A thing brought into a position.

    thing: a valve by its name in `wellsolar.studies.plumbing.layout`, or one of the names above
    to: the position
    """

    thing: str
    to: str


@dataclass(frozen=True)
class Step(Sentence):
    """A sentence of a procedure with the moves that it asks for.

    moves: in their order
    boxes: keys of the boxes of the owner's card that it sends to, any of which may be done
    of: the pump with which a box is then done; empty where it is none
    """

    moves: tuple[Move, ...] = ()
    boxes: tuple[str, ...] = ()
    of: str = ""
