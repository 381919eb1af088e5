"""Who has the modules: the groups of an array, and what a module more or less does to each.

Every field is in SI; months run from January to December.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class GroupShare:
    """One group's part of the modules on hand.

    energy: what reaches what the group feeds, in each month [J]; empty where the sun is unknown
    lost: of that with one module fewer, gained: with one more [J]
    where: where the energy is counted
    """

    name: str
    feeds: str
    modules: int
    where: str
    energy: tuple[float, ...]
    lost: tuple[float, ...]
    gained: tuple[float, ...]


@dataclass(frozen=True)
class Move:
    """One module moved from a group to another; energies of the year [J].

    days_short: of the first backup pump before and after; None where no move touches it
    """

    giver: str
    taker: str
    lost: float
    gained: float
    days_short: tuple[int, int] | None


@dataclass(frozen=True)
class LedgerResult:
    """The modules on hand and the groups that share them.

    spare: on hand less used, negative where more are used; pump: whose short days moves tell
    """

    on_hand: int
    used: int
    spare: int
    pump: str
    groups: tuple[GroupShare, ...]
    moves: tuple[Move, ...]
