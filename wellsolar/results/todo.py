"""What must be done at a site: from every verdict that does not pass, whose work it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from wellsolar.verdicts import RANK, Change, Sentence, Status, Trade, Verdict

Act = Literal["change", "work", "read"]
"""To buy or set what a key of the file names, to do what no key says, or to read what lacks."""


@dataclass(frozen=True)
class ToDo:
    """One line of the list.

    act: what kind of work it is; does: what to buy or set, whole, or which keys to read
    first: the same by its first way alone, for a line
    why: the reason of the worst verdict, or what is asked where the file lacks something
    by: who may do it
    clears: the verdicts that it clears, or settles where something is read; the worst first
    changes: of the file, made together; needs: keys of the file to be read
    cost: in the file's money, of all that is bought for it; None where a price lacks
    """

    act: Act
    does: Sentence
    first: Sentence
    why: Sentence
    by: Trade
    clears: tuple[Verdict, ...]
    changes: tuple[Change, ...] = ()
    needs: tuple[str, ...] = ()
    cost: float | None = None

    @property
    def subject(self) -> str:
        """What the worst verdict judges."""
        return self.clears[0].subject

    @property
    def status(self) -> Status:
        """The worst state among its verdicts."""
        return min((each.status for each in self.clears), key=RANK.__getitem__)

    @property
    def safety(self) -> bool:
        """True where a person could be hurt by what it clears."""
        return any(each.rule.safety for each in self.clears)
