"""What a design needs, thing by thing. Every number is in SI."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, Verdict

State = Literal["in the file", "sized", "to change", "to add", "to check"]
"""A thing in the file is one of which its keys prove each property in its line; a thing to check
one that may be there already, and of which the file does not say all; a sized one the sizing put
into the file."""

TO_BUY: tuple[State, ...] = ("sized", "to change", "to add")
"""What of a design is not there yet."""


@dataclass(frozen=True)
class PartPrice:
    """A price that the file gives, in the file's own money.

    amount: so much money; per: a "piece", a "ft" or a "m"
    """

    amount: float
    per: str


@dataclass(frozen=True)
class Part:
    """One line of the list.

    group: part of the house; item: what it is, a name of `wellsolar.site.part_names`
    of: whose it is, such as the name of a pump; may be empty
    quantity: a count, a length or a volume; None where it is for the house to count
    size: what to ask for at the counter
    state: whether the file has it so, has it otherwise, not at all, or has no word for it
    why: sentences, the first from the verdict
    verdict: what it follows from; None where nothing is judged of it
    source: key into `wellsolar.sources`
    keys: of the file that prove a line in the file, all of them
    price: of the file; cost: of the whole line by it; both None without one
    """

    group: str
    item: str
    of: str
    quantity: Quantity | None
    size: Sentence
    state: State
    why: tuple[Sentence, ...]
    verdict: Verdict | None
    source: str
    keys: tuple[str, ...] = ()
    price: PartPrice | None = None
    cost: float | None = None


@dataclass(frozen=True)
class Cost:
    """What lines of the list cost, as far as they have prices.

    money: in the file's own; priced: lines in it; unpriced: items of the lines that are not
    """

    money: float
    priced: int
    unpriced: tuple[str, ...]


@dataclass(frozen=True)
class PartsList:
    """The whole list.

    open: verdicts that wait for a key of the file and on which parts hang
    unused_prices: items of prices that no line has
    """

    parts: tuple[Part, ...]
    open: tuple[Verdict, ...]
    unused_prices: tuple[str, ...] = ()

    @property
    def priced(self) -> bool:
        """True where the file gives any price."""
        return any(part.price is not None for part in self.parts) or bool(self.unused_prices)

    def cost(self, *states: State) -> float:
        """What the lines of some states cost, as far as they have prices."""
        return sum(part.cost or 0.0 for part in self.parts if part.state in states)

    def without_price(self, *states: State) -> int:
        """How many lines of some states have no price."""
        return len(self.summed(*states).unpriced)

    def summed(self, *states: State) -> Cost:
        """The sum of the lines of some states, and those that it leaves out."""
        lines = [part for part in self.parts if part.state in states]
        names = [line.item for line in lines if line.cost is None]
        return Cost(self.cost(*states), len(lines) - len(names), tuple(names))
