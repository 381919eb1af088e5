"""What the sizing found: what is needed, what is wanted of each part, and what it leaves open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, get_args

from wellsolar.results.parts import Cost
from wellsolar.results.pumps import Duty
from wellsolar.results.whole import Results
from wellsolar.verdicts import Change, Sentence, Status

WhichDesign = Literal["least", "ordinary", "reserve"]
"""Designs of one file: for the likeliest of what it leaves open, for the worst of it, and for that
in a dark year with one thing dead."""

DESIGNS: tuple[WhichDesign, ...] = get_args(WhichDesign)


@dataclass(frozen=True)
class Needs:
    """Water wanted [m3, m3/s], None where nothing tells it, and the well's level at rest [m]."""

    people: int | None
    daily_volume: float | None
    peak_flow: float | None
    survival_volume: float | None
    hot_volume: float | None
    tested_yield: float | None
    static_level: float


@dataclass(frozen=True)
class PumpWanted:
    """A pump as it is asked for at a counter.

    name: of its table
    duties: the heads piece by piece at each of its pressures
    least_shut_off, most_shut_off: head at no flow that stops it in time, and that its pipes bear
        [m]; None where nothing asks or limits it
    water_power: the greatest [W]; least_power, most_power: of electricity for it, by the
        efficiencies between which such pumps lie, or what its motor takes where that is more [W]
    motor: shaft power of the motor [W]; daily_energy: [J]; daily_run_time: [s]
    """

    name: str
    duties: tuple[Duty, ...]
    least_shut_off: float | None
    most_shut_off: float | None
    water_power: float
    least_power: float
    most_power: float
    motor: float | None
    daily_energy: float | None
    daily_run_time: float | None


@dataclass(frozen=True)
class PartSized:
    """A part of the design.

    part: what it is; size: as a counter calls it
    bound_by: what binds it, in few words; rule: key of the rule, or empty
    smaller: the next smaller one; falls_short: what that fails, None where there is none
    passes: False where no size passes; stands: the worst verdict of the one that is taken
    kept: True of a part of the file
    tried: how many sizes were; shut_out: rule -> how many it did not let pass
    """

    part: str
    size: str
    bound_by: str
    rule: str = ""
    smaller: str = ""
    falls_short: Sentence | None = None
    passes: bool = True
    stands: Status = "pass"
    kept: bool = False
    tried: int = 0
    shut_out: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Refused:
    """A thing of the user's stock that does not do as a part, and the rule that says so."""

    part: str
    name: str
    rule: str


STOPS_PAYING = "more stops paying"
"""What binds a part that does not reach what is aimed at, as nothing does."""


@dataclass(frozen=True)
class MissedAim:
    """An aim that nothing that was looked at reaches on this site.

    rule: that judges it; reason: what is aimed at, what is reached, and with how many modules
    within: the aim that is reached, as a change of the file
    asked: whether the file itself names the aim
    """

    rule: str
    reason: Sentence
    within: Change
    asked: bool


@dataclass(frozen=True)
class HeatWay:
    """A way to heat the tank that was looked at.

    label: modules and element; modules: that it takes beside those that are there
    share: of the year's heat, evenings: hot ones, heat: that the tank takes in a year [J]; None
        where nothing tells the draws
    offered: in a year [J]; None where it is not told apart
    needs: what it wants besides
    passes: whether it does what is asked; taken: whether it is the one of the design
    """

    label: str
    modules: int
    share: float | None
    evenings: int | None
    heat: float | None
    offered: float | None
    needs: Sentence
    passes: bool
    taken: bool = False


@dataclass(frozen=True)
class LeftOpen:
    """A verdict of the design that does not pass, and why no size settles it."""

    rule: str
    subject: str
    status: str
    reason: Sentence
    why: str
    needs: tuple[str, ...] = ()


@dataclass(frozen=True)
class SizingResult:
    """A design of a site, or why there is none.

    needs: what it is laid out for; pumps: those that are not chosen yet
    parts: in the order in which they were chosen; changes: of the file
    text: the design as a site file; results: what its check says
    refused: what of the user's stock was looked at first and does not do
    left: verdicts that no size settles; unsized: what was not sized, and why
    missed: aims that can't be met on this site
    ways: to heat the tank, where there are several
    dead: what is left where one part is dead, of a design with a reserve
    failed: why there is no design; None where there is one
    """

    needs: Needs | None
    pumps: tuple[PumpWanted, ...] = ()
    parts: tuple[PartSized, ...] = ()
    changes: tuple[Change, ...] = ()
    text: str = ""
    results: Results | None = None
    refused: tuple[Refused, ...] = ()
    left: tuple[LeftOpen, ...] = ()
    unsized: tuple[tuple[str, str], ...] = ()
    missed: tuple[MissedAim, ...] = ()
    ways: tuple[HeatWay, ...] = ()
    dead: tuple[Sentence, ...] = ()
    failed: Sentence | None = None
    lacking: tuple[str, ...] = ()

    @property
    def fails(self) -> bool:
        """True where there is no design, or something of it fails, or it does not reach what the
        file itself aims at."""
        if self.failed is not None or self.results is None or self.results.fails:
            return True
        return any(aim.asked for aim in self.missed)


@dataclass(frozen=True)
class FuelSaved:
    """Fuel that the sun spares in a year: so much of it, in the unit that it is sold by."""

    name: str
    amount: float
    per: str


@dataclass(frozen=True)
class Saved:
    """What the sun spares in a year, against the same water pumped and heated without it.

    pumping: electricity for a pump [J], pump: its name; heat: into the hot water [J]; None where
        nothing tells it
    by: what heats the water without the sun, "electricity" or the fuel that the file has a price
        of; fuel: that is spared of it; alike: what that heat would take of every fuel
    money: by the file's prices, None where none of it has one; of: what it is of
    """

    pumping: float | None
    pump: str
    heat: float | None
    by: str
    fuel: FuelSaved | None
    alike: tuple[FuelSaved, ...]
    money: float | None
    of: tuple[str, ...]

    @property
    def electricity(self) -> float | None:
        """Electricity that is spared [J]; None where nothing tells it."""
        bought = [self.pumping, self.heat if self.fuel is None else None]
        known = [number for number in bought if number is not None]
        return sum(known) if known else None


@dataclass(frozen=True)
class DesignFigures:
    """What a design comes to, each None where nothing tells it.

    wanted: water of an ordinary day [m3]; gives: water of a day, nothing failed [m3]
    pump_energy: for the water of a day [J]; heat_energy: that the sun gives the tank in a year [J]
    heat_share: part of all heat in the tank that this is
    days_short: of water, a year; evenings: hot ones of the worst of the years, out of `days`;
        sun_evenings: those of the sun alone
    survival: water over survival water with the one thing dead that is missed most
    fails_in: things whose failure alone leaves less than survival water
    bought: of what is to buy, whole: of all lines; None without prices in the file
    saved: by the sun
    """

    wanted: float | None = None
    gives: float | None = None
    pump_energy: float | None = None
    heat_energy: float | None = None
    heat_share: float | None = None
    days_short: int | None = None
    evenings: int | None = None
    sun_evenings: int | None = None
    days: int | None = None
    survival: float | None = None
    fails_in: tuple[str, ...] = ()
    bought: Cost | None = None
    whole: Cost | None = None
    saved: Saved | None = None


@dataclass(frozen=True)
class DesignSet:
    """Designs of one file side by side.

    made: each by its name; figures: what it comes to
    """

    made: Mapping[WhichDesign, SizingResult]
    figures: Mapping[WhichDesign, DesignFigures]
