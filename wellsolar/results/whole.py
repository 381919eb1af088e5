"""Everything found of one site. Every field is in SI, temperatures in degC."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from wellsolar.errors import UnknownName
from wellsolar.results.card import CardResult
from wellsolar.results.figures import FigureData
from wellsolar.results.hand import HandPumpResult, LiftResult
from wellsolar.results.heat import DivertedTankResult, HeatedTankResult
from wellsolar.results.heat_safety import ArrayResult
from wellsolar.results.match import HeaterRankingResult, MatchResult
from wellsolar.results.outages import OutageResult
from wellsolar.results.pumps import PressureTankResult, PumpResult
from wellsolar.results.ranges import RangeResult
from wellsolar.results.readings import ReadingsResult, SheetResult
from wellsolar.results.supply import (
    AllocationResult,
    ChainYearResult,
    RankingResult,
    SunYearResult,
    SupplyResult,
    SupplyYearResult,
)
from wellsolar.results.well import CasingResult, FrostResult, OtherWellResult, WellResult
from wellsolar.units import System
from wellsolar.verdicts import RANK, Assumption, Change, Sentence, Status, Trade, Verdict

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
        return min((verdict.status for verdict in self.clears), key=RANK.__getitem__)

    @property
    def safety(self) -> bool:
        """True where a person could be hurt by what it clears."""
        return any(verdict.rule.safety for verdict in self.clears)


@dataclass(frozen=True)
class Photograph:
    """A picture of the site: its name in the file, and what it shows."""

    file: str
    shows: str


@dataclass(frozen=True)
class Job:
    """Names, date and pictures for the papers, each None where the file does not tell it.

    date: year, month and day, such as "2026-11-29"
    """

    made_for: str | None = None
    made_by: str | None = None
    phone: str | None = None
    licence: str | None = None
    date: str | None = None
    revision: str | None = None
    logo: str | None = None
    photographs: tuple[Photograph, ...] = ()
    page_address: str | None = None


@dataclass(frozen=True)
class Care:
    """What is done again and again so that a site stays as it was handed over.

    often: such as "once a year"; by: who may do it; source: key into `wellsolar.sources`
    """

    often: str
    by: str
    text: Sentence
    source: str


@dataclass(frozen=True)
class Answer:
    """One of the site's questions, and the answer in a sentence.

    plain: the same for an owner who knows no trade's words; None where it would tell him nothing
    """

    subject: str
    text: Sentence
    plain: Sentence | None = None


@dataclass(frozen=True)
class StudyPart:
    """What one study adds besides its numbers.

    verdicts: in the order they are best read; assumptions: made by the study itself
    """

    verdicts: tuple[Verdict, ...] = ()
    assumptions: tuple[Assumption, ...] = ()

    def and_of(self, other: StudyPart) -> StudyPart:
        """This and what a study of the same subject adds."""
        return StudyPart(
            self.verdicts + other.verdicts,
            self.assumptions + other.assumptions,
        )


@dataclass(frozen=True)
class SizedKey:
    """A key of the file that the sizing set.

    key: its path; value: as the file has it, "-" where it has it no more
    reason: what binds it; rule: key of the rule that holds it, or empty
    """

    key: str
    value: str
    reason: str
    rule: str


@dataclass(frozen=True)
class Results:
    """Everything found of one site; a study that was not asked for, or whose table the file
    lacks, is None or empty."""

    file: str
    site_name: str
    site_note: str
    system: System
    job: Job | None = None
    verdicts: tuple[Verdict, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    care: tuple[Care, ...] = ()
    answers: tuple[Answer, ...] = ()
    todo: tuple[ToDo, ...] = ()
    pumps: tuple[PumpResult, ...] = ()
    supply: tuple[SupplyResult, ...] = ()
    pressure_tank: PressureTankResult | None = None
    hand_pump: HandPumpResult | None = None
    heated_tank: HeatedTankResult | None = None
    ranges: RangeResult | None = None
    sun: SunYearResult | None = None
    supply_years: tuple[SupplyYearResult, ...] = ()
    ranking: RankingResult | None = None
    ledger: AllocationResult | None = None
    casing: CasingResult | None = None
    well: WellResult | None = None
    other_wells: tuple[OtherWellResult, ...] = ()
    lifts: tuple[LiftResult, ...] = ()
    matching: MatchResult | None = None
    heater_ranking: HeaterRankingResult | None = None
    diverted_tank: DivertedTankResult | None = None
    outages: OutageResult | None = None
    figures: FigureData | None = None
    readings: ReadingsResult | None = None
    sheet: SheetResult | None = None
    card: CardResult | None = None
    frost: FrostResult | None = None
    arrays: tuple[ArrayResult, ...] = ()
    chain_year: ChainYearResult | None = None
    sized: tuple[SizedKey, ...] = ()

    @property
    def fails(self) -> bool:
        """True where any verdict fails."""
        return any(verdict.status == "fail" for verdict in self.verdicts)

    def verdict(self, rule: str, subject: str | None = None) -> Verdict:
        """The verdict by a rule.

        Parameters:
            rule: key of the rule, such as "voltage drop"
            subject: what is judged, such as the name of a pump; may be left out where the rule
                judges one thing only
        Returns:
            the verdict
        Raises:
            UnknownName: nothing was judged by such a rule, or nothing of that name
        """
        by_rule = {
            verdict.subject: verdict for verdict in self.verdicts if verdict.rule.key == rule
        }
        if not by_rule:
            raise UnknownName(
                "rule of these verdicts", rule, {verdict.rule.key for verdict in self.verdicts}
            )
        if subject is None and len(by_rule) == 1:
            return next(iter(by_rule.values()))
        if subject not in by_rule:
            raise UnknownName(f"subject of {rule!r}", subject or "", by_rule)
        return by_rule[subject]
