"""One site, studied as far as it is asked: each study is made when it is first wanted."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Generic, Literal, TypeVar, overload

from wellsolar.beside import beside
from wellsolar.errors import UnknownName
from wellsolar.results import Results
from wellsolar.results.card import CardResult
from wellsolar.results.figures import FigureData
from wellsolar.results.hand import HandPumpResult, LiftResult
from wellsolar.results.heat import DivertedTankResult, HeatedTankResult
from wellsolar.results.heat_safety import ArrayResult
from wellsolar.results.match import HeaterRankingResult, MatchResult
from wellsolar.results.outages import OutageResult
from wellsolar.results.pumps import PressureTankResult, PumpResult
from wellsolar.results.ranges import RangeResult
from wellsolar.results.readings import SheetResult
from wellsolar.results.supply import (
    AllocationResult,
    ChainYearResult,
    RankingResult,
    SunYearResult,
    SupplyResult,
    SupplyYearResult,
)
from wellsolar.results.well import CasingResult, FrostResult, OtherWellResult, WellResult
from wellsolar.results.whole import Job, Photograph, SizedKey, StudyPart
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.locate import path_of, value_at
from wellsolar.site.schema import Site
from wellsolar.site.table import READ, keys_read, note_read
from wellsolar.studies.answers import answers
from wellsolar.studies.asked.care import care_of
from wellsolar.studies.asked.cautions import cautions_of
from wellsolar.studies.asked.ordinary import study_ordinary
from wellsolar.studies.asked.todo import todo_of
from wellsolar.studies.defaults_used import assumptions_of
from wellsolar.studies.ends import judged_at_ends
from wellsolar.studies.house.wells import views
from wellsolar.studies.kept import OF_ANOTHER, Kept, Made
from wellsolar.studies.supply.ranking_asked import RankingAsked
from wellsolar.units import System

if TYPE_CHECKING:
    from wellsolar.physics.sun.year import HourlyYear
    from wellsolar.physics.types import Progress
    from wellsolar.results.match import ArrayMatch
    from wellsolar.results.parts import Part
    from wellsolar.results.sizing import DesignSet, SizingResult, WhichDesign
    from wellsolar.results.whole import ToDo
    from wellsolar.site.loading.read import PartOfSite
    from wellsolar.site.loading.stock import Stock
    from wellsolar.studies.asked.studied import Studied
    from wellsolar.studies.heat.study import DaysAndYear
    from wellsolar.studies.outage.equipment import Equipment
    from wellsolar.studies.sun.year import YearOfSite
    from wellsolar.studies.supply.diversion import DivertedHeat
    from wellsolar.verdicts import Verdict

Section = Literal[
    "pump", "supply", "tank", "hand", "heat", "match", "heat ranking", "ranges", "outage",
    "ranking", "card", "figures", "sheet",
]  # fmt: skip

SECTIONS: dict[Section, tuple[str, ...]] = {
    "pump": ("pumps", "casing", "well", "other_wells", "frost"),
    "supply": ("sun", "supply", "supply_years", "chain_year", "ledger", "arrays"),
    "tank": ("pressure_tank",),
    "hand": ("hand_pump", "lifts"),
    "heat": ("heated_tank", "diverted_tank"),
    "match": ("matching",),
    "heat ranking": ("heater_ranking",),
    "ranges": ("ranges",),
    "outage": ("outages",),
    "ranking": ("ranking",),
    "card": ("card",),
    "figures": ("figures",),
    "sheet": ("sheet",),
}
"""The sections that may be asked for and the studies in each, in the order in which their verdicts
are read; a study is a property of `Case` and a field of `Results`."""

USUAL: tuple[Section, ...] = ("pump", "supply", "tank", "hand", "heat", "match", "outage")
"""What is studied where a caller names no sections."""

OF_MODULES = {"supply", "heat", "match", "heat ranking"}
"""Sections whose numbers rest on the module's datasheet."""

NO_PART = StudyPart()

Answer = TypeVar("Answer")


class _Asked(Generic[Answer]):
    """Something that a case makes when it is first asked for, or has from another site that it was
    changed from or to where the keys that it read are the same."""

    def __init__(self, method: Callable[[Case], Answer]) -> None:
        self.method = method
        self.__doc__ = method.__doc__

    def __set_name__(self, owner: type, name: str) -> None:
        self.name = name

    @overload
    def __get__(self, case: None, owner: type) -> _Asked[Answer]: ...
    @overload
    def __get__(self, case: Case, owner: type) -> Answer: ...
    def __get__(self, case: Case | None, owner: type) -> _Asked[Answer] | Answer:
        return self if case is None else self.of(case)

    def of(self, case: Case) -> Answer:
        """What is asked for."""
        if self.name not in case.made:
            case.made[self.name] = self.made_of(case)
        kept, keys = case.made[self.name]
        note_read(keys)
        answer: Answer = kept
        return answer

    def made_of(self, case: Case) -> Made:
        """What is asked for, kept from a site alike or made."""
        kept = case.kept.found(self.name, case.site)
        if kept is None:
            kept = self.anew(case)
            if not case.passing:
                case.kept.keep(self.name, case.site, kept)
        return kept

    def anew(self, case: Case) -> Made:
        """What is asked for, and the keys that it rests on."""
        if case.passing and READ.get() is None:
            return self.method(case), frozenset({OF_ANOTHER})
        with keys_read() as keys:
            answer = self.method(case)
        return answer, frozenset(keys)


class _OfItself(_Asked[Answer]):
    """Something that holds the case, so that no other one may have it."""

    def made_of(self, case: Case) -> Made:
        """What is made."""
        return self.anew(case)


class _Study(_Asked[tuple[Answer, StudyPart]]):
    """A study as a property of the case: its numbers; `Case.said` has what it says besides."""

    @overload  # type: ignore[override]
    def __get__(self, case: None, owner: type) -> _Study[Answer]: ...
    @overload
    def __get__(self, case: Case, owner: type) -> Answer: ...
    def __get__(self, case: Case | None, owner: type) -> _Study[Answer] | Answer:
        return self if case is None else self.of(case)[0]


@dataclass(frozen=True)
class Options(RankingAsked):
    """What a caller may set beside the sections, with what is to be ranked.

    cases: to sample where the file gives ranges; seed: of that sampling
    """

    cases: int = 256
    seed: int = 1


class Case:
    """A site and its studies.

    Every study is a property and asks the others for what it needs, so that nothing is computed
    that nobody asked for, and nothing twice. To add one: a property here, a line in `SECTIONS`,
    a field of `Results`.

    Parameters:
        file: a site file that was read
        options: of the studies that have some
    """

    def __init__(self, file: SiteFile, options: Options = Options()) -> None:
        self.file = file
        self.options = options
        self.kept = Kept()
        self.passing = False
        self.made: dict[str, Made] = {}

    @property
    def site(self) -> Site:
        """The site in SI."""
        return self.file.site

    def with_site(self, site: Site, *, keep: Collection[str] = (), passing: bool = False) -> Case:
        """The case of a changed site.

        Parameters:
            site: the site in place of this one
            keep: studies that are not made again, though they read what was changed
            passing: True of one of many sites, none of which is asked for again: what is made for
                it is not kept for others
        Returns:
            a case of its own; it has what was made for this one, or for any site that this one was
            changed from or to, where that reads no key that differs
        """
        other = Case(replace(self.file, site=site), self.options)
        other.kept, other.passing = self.kept, passing
        for study in keep:
            if study in self.made:
                kept, keys = self.made[study]
                other.made[study] = kept, keys | {OF_ANOTHER}
        return other

    # The sun

    @_Asked
    def year_of_site(self) -> YearOfSite:
        """The site's year of hours, or why there is none."""
        from wellsolar.studies.sun.year import year_of_site

        return year_of_site(self.file)

    @property
    def year(self) -> HourlyYear | None:
        """The site's year of hours; None where its file says too little of the sun."""
        return self.year_of_site.year

    @property
    def has_modules(self) -> bool:
        """True where the file speaks of modules."""
        return self.site.module is not None or bool(self.site.array)

    @_Study
    def sun(self) -> tuple[SunYearResult | None, StudyPart]:
        """The year of hours, and the sun on every group of modules."""
        if not self.has_modules:
            return None, NO_PART
        from wellsolar.studies.sun.direction import facing_verdicts
        from wellsolar.studies.sun.year import method_of, study_sun

        part = StudyPart(facing_verdicts(self.site, self.year), method_of(self.site))
        return None if self.year is None else study_sun(self.site, self.year), part

    @_Study
    def module_sheet(self) -> tuple[None, StudyPart]:
        """The module's datasheet, which says only whether it can be true."""
        from wellsolar.studies.sun.module_sheet import study_module_sheet

        return None, study_module_sheet(self.site)

    # Well and pumps

    @_Study
    def pumps(self) -> tuple[tuple[PumpResult, ...], StudyPart]:
        """Each powered pump at work."""
        from wellsolar.studies.pump.study import study_pumps

        pumps, part = study_pumps(self.site)
        if len(self.site.pump) < 2 and self.site.hand_pump is None:
            return pumps, part
        from wellsolar.studies.casing.study import hung_clear

        verdicts = part.verdicts
        for view in views(self.site):
            verdicts = hung_clear(view, verdicts)
        return pumps, replace(part, verdicts=verdicts)

    @_Study
    def casing(self) -> tuple[CasingResult | None, StudyPart]:
        """What hangs side by side in the casing."""
        from wellsolar.studies.casing.study import study_casing_fit

        return study_casing_fit(views(self.site)[0], self.pumps)

    @_Study
    def well(self) -> tuple[WellResult | None, StudyPart]:
        """The well under its pumps through time."""
        from wellsolar.studies.well.study import study_well

        others = self.other_wells if self.site.other_well else ()
        return study_well(self.site, self.pumps, others)

    @_Study
    def other_wells(self) -> tuple[tuple[OtherWellResult, ...], StudyPart]:
        """The wells beside the first."""
        if not self.site.other_well:
            return (), NO_PART
        from wellsolar.studies.casing.study import study_casing_fit
        from wellsolar.studies.well.study import study_other_wells

        return study_other_wells(self.site, self.pumps, study_casing_fit)

    @_Study
    def frost(self) -> tuple[FrostResult | None, StudyPart]:
        """The line to the house against the frost."""
        from wellsolar.studies.well.frost import study_frost

        return study_frost(self.file)

    @_Study
    def pressure_tank(self) -> tuple[PressureTankResult | None, StudyPart]:
        """The bladder tank between two starts."""
        from wellsolar.studies.pump.pressure_tank import study_pressure_tank

        return study_pressure_tank(self.site, self.pumps)

    @_Study
    def ranges(self) -> tuple[RangeResult | None, StudyPart]:
        """The pumps over the file's ranges."""
        from wellsolar.studies.ranges import study_ranges

        return study_ranges(self, self.options.cases, self.options.seed)

    # Hands

    @_Study
    def hand_pump(self) -> tuple[HandPumpResult | None, StudyPart]:
        """The hand pump and its people."""
        from wellsolar.studies.hand.study import study_hand_pump

        return study_hand_pump(self.site, self.pressure_tank)

    @_Study
    def lifts(self) -> tuple[tuple[LiftResult, ...], StudyPart]:
        """Other ways to lift water by hand."""
        from wellsolar.studies.hand.other_lifts import study_lifts

        return study_lifts(self.site)

    # The pump's array and battery

    @_Study
    def supply(self) -> tuple[tuple[SupplyResult, ...], StudyPart]:
        """The array of each pump by the rule of thumb."""
        if not self.has_modules:
            return (), NO_PART
        from wellsolar.studies.supply.rule_of_thumb import study_supply

        return study_supply(self.site, self.pumps, self.year)

    @_Study
    def supply_years(self) -> tuple[tuple[SupplyYearResult, ...], StudyPart]:
        """The supply of each pump's water hour by hour."""
        if not self.has_modules:
            return (), NO_PART
        from wellsolar.studies.supply.year import study_supply_year

        return study_supply_year(self.site, self.pumps, self.pressure_tank, self.year_of_site)

    @_Study
    def chain_year(self) -> tuple[ChainYearResult | None, StudyPart]:
        """The storage tank between well and house hour by hour."""
        from wellsolar.studies.house.chain import fillers

        if not fillers(self.site):
            return None, NO_PART
        from wellsolar.studies.supply.chain_year import study_chain_year
        from wellsolar.studies.well.study import in_wells

        wells = in_wells(self.well, self.other_wells)
        return study_chain_year(self.site, self.pumps, wells, self.year_of_site)

    @_Study
    def ledger(self) -> tuple[AllocationResult | None, StudyPart]:
        """Which group has how many of the modules on hand."""
        if not self.has_modules:
            return None, NO_PART
        from wellsolar.studies.supply.allocation import study_allocation

        return study_allocation(self.site, self.year, self.supply_years)

    @_Study
    def arrays(self) -> tuple[tuple[ArrayResult, ...], StudyPart]:
        """The direct current of the groups of modules that heat nothing."""
        from wellsolar.studies.safety.direct_current import study_arrays

        return study_arrays(self.site)

    @_Study
    def ranking(self) -> tuple[RankingResult | None, StudyPart]:
        """Every pump with every battery, by the modules that they want."""
        if not self.has_modules:
            return None, NO_PART
        from wellsolar.studies.supply.ranking import study_ranking

        sized = self.supply
        worst = min(month.plane_of_array for month in sized[0].months) if sized else None
        site, tank = self.site, self.pressure_tank
        return study_ranking(site, self.pumps, tank, self.year, worst, self.options), NO_PART

    # Hot water

    @_Asked
    def diverted_heat(self) -> DivertedHeat:
        """What a full battery leaves for an element on the inverter."""
        from wellsolar.studies.supply.diversion import (
            DivertedHeat,
            diverted_heat,
            element_on_inverter,
        )

        if element_on_inverter(self.site) is None:
            return DivertedHeat()
        return diverted_heat(self.site, self.pumps, self.pressure_tank, self.year)

    @property
    def heated_by_surplus_alone(self) -> bool:
        """True where the battery's surplus heats the tank and no array does."""
        from wellsolar.studies.array.heater_circuit import element_on_array
        from wellsolar.studies.supply.diversion import element_on_inverter

        return element_on_inverter(self.site) is not None and element_on_array(self.site) is None

    @_Asked
    def days_and_year(self) -> DaysAndYear | None:
        """The days and the year of the tank that modules heat; no change of its guards, valves or
        expansion tank has them run anew."""
        from wellsolar.studies.heat.study import days_and_year

        return days_and_year(self.site, self.year, self.diverted_heat.power)

    @_Study
    def heated_tank(self) -> tuple[HeatedTankResult | None, StudyPart]:
        """The tank that modules heat."""
        if self.site.water_heater is None or self.heated_by_surplus_alone:
            return None, NO_PART
        from wellsolar.studies.heat.study import study_tank_of

        return study_tank_of(self.site, self.days_and_year)

    @_Study
    def diverted_tank(self) -> tuple[DivertedTankResult | None, StudyPart]:
        """The tank that only a battery's surplus heats."""
        if self.site.water_heater is None or not self.heated_by_surplus_alone:
            return None, NO_PART
        from wellsolar.studies.heat.study import study_diverted_tank

        return study_diverted_tank(self.site, self.year, self.diverted_heat)

    @_Asked
    def matches(self) -> tuple[ArrayMatch | Verdict, ...]:
        """The numbers of each array and its element, or what the file lacks for them."""
        if self.site.water_heater is None:
            return ()
        from wellsolar.studies.match.study import array_matches

        return array_matches(self.site, self.year)

    @_Study
    def matching(self) -> tuple[MatchResult | None, StudyPart]:
        """How array and element suit each other."""
        if self.site.water_heater is None:
            return None, NO_PART
        from wellsolar.studies.match.study import study_couplings

        return study_couplings(
            self.site, self.year, self.matches, self.diverted_heat, self.pumps,
            self.pressure_tank, aims_met=self._gives_what_is_aimed_at,
        )  # fmt: skip

    def _gives_what_is_aimed_at(self) -> bool:
        """Whether the tank that modules heat does."""
        from wellsolar.studies.heat.verdicts import aims_met

        return aims_met(self.said("heated_tank").verdicts, self.site)

    @_Study
    def heater_ranking(self) -> tuple[HeaterRankingResult | None, StudyPart]:
        """Arrays, elements and tanks ranked by their hot water."""
        if self.site.water_heater is None:
            return None, NO_PART
        from wellsolar.studies.match.ranking import study_heater_ranking

        heat = self.diverted_heat.power
        return study_heater_ranking(self.site, self.year, heat, self.options)

    # Outages

    @_OfItself
    def equipment(self) -> Equipment:
        """What brings water in the low season, and hot water."""
        from wellsolar.studies.outage.equipment import equipment_of

        return equipment_of(self)

    @_Study
    def outages(self) -> tuple[OutageResult | None, StudyPart]:
        """What is left of the water when things fail."""
        from wellsolar.studies.outage.study import study_outages

        return study_outages(self.equipment)

    @_Study
    def card(self) -> tuple[CardResult | None, StudyPart]:
        """What the owner does when things fail."""
        from wellsolar.studies.card.study import study_card

        return study_card(self.equipment, self.outages), NO_PART

    # What the papers want besides

    @_Study
    def figures(self) -> tuple[FigureData, StudyPart]:
        """The series that figures show."""
        from wellsolar.studies.figures.study import study_figures

        heated = self.heated_tank
        year = None if heated is None else self.year
        return study_figures(self.site, year, self.pumps, self.well, heated), NO_PART

    @_Study
    def sheet(self) -> tuple[SheetResult, StudyPart]:
        """The readings to take at handover."""
        from wellsolar.studies.sheet.study import study_sheet

        return study_sheet(self)

    # All together

    def said(self, study: str) -> StudyPart:
        """What a study says besides its numbers.

        Parameters:
            study: its name, as of the property
        Returns:
            verdicts and assumptions
        Raises:
            UnknownName: there is no such study
        """
        maker = getattr(type(self), study, None)
        if not isinstance(maker, _Study):
            names = [name for name, member in vars(Case).items() if isinstance(member, _Study)]
            raise UnknownName("study", study, names)
        return maker.of(self)[1]

    def _said_by(self, studies: Sequence[str]) -> list[StudyPart]:
        """What several studies say. The two longest, of which neither asks the other, run side by
        side: on two cores the largest example is checked in 4.2 s instead of 5.2 s. So do the
        ranges and all else of `pump`, in four fifths of the time of one after the other."""
        if "heated_tank" in studies and "matching" in studies:
            from wellsolar.physics.tank.stratified import load_machine_code

            load_machine_code()
            import wellsolar.studies.match.study  # noqa: F401  # what both need is loaded once

            self.said("pressure_tank")  # with the pumps that it asks for, both need it
            if self.has_modules:
                Case.year_of_site.of(self)  # and the sun, with the library that it loads
            with self._meanwhile(Case.matches):
                self.said("heated_tank")
        if "ranges" in studies and "ranking" in studies:
            self.said("pressure_tank")
            with self._meanwhile(Case.ranges):
                for study in studies:
                    if study != "ranges":
                        self.said(study)
        return [self.said(study) for study in studies]

    @contextmanager
    def _meanwhile(self, asked: _Asked[Any]) -> Iterator[None]:
        """Make something in a process beside this one while a block runs, unless it is kept."""
        kept = self.kept.found(asked.name, self.site)
        if kept is not None:
            self.made[asked.name] = kept
            yield
            return
        with beside(lambda: asked.made_of(self)) as answer:
            yield
            self.made[asked.name] = answer()
        if not self.passing:
            self.kept.keep(asked.name, self.site, self.made[asked.name])

    def results(
        self, sections: Collection[Section] = USUAL, system: System | None = None
    ) -> Results:
        """Everything found in some sections.

        Parameters:
            sections: keys of `SECTIONS`
            system: units to print in; None for the file's own
        Returns:
            numbers, verdicts and assumptions of these sections
        Raises:
            UnknownName: there is no such section
        """
        for section in sections:
            if section not in SECTIONS:
                raise UnknownName("section", section, SECTIONS)
        studies = [
            study for section, inside in SECTIONS.items() if section in sections
            for study in inside
        ]  # fmt: skip
        chosen = judged_at_ends(self, studies, self._said_by(studies))
        if OF_MODULES & set(sections):
            chosen.append(self.said("module_sheet"))
        chosen.append(study_ordinary(self.file, sections))
        from wellsolar.studies.sheet.study import with_claims

        chosen = with_claims(self, chosen)
        by_study = {study: getattr(self, study) for study in studies}
        if by_study.get("matching") is not None:
            # Beside everything else of a site, the tables of what could be bought are left out.
            by_study["matching"] = replace(by_study["matching"], full="pump" not in sections)
        site = self.site
        results = Results(
            file=self.file.path,
            site_name=site.site.name,
            site_note=site.site.note,
            system=system or site.site.print_units,
            job=_job(site),
            verdicts=tuple(verdict for part in chosen for verdict in part.verdicts),
            assumptions=tuple(assumptions_of(self.file, chosen, sections)),
            cautions=cautions_of(site, sections),
            care=care_of(site) if "figures" in sections else (),
            notes=tuple(_notes(site, sections)),
            sized=tuple(_sized(self.file)) if set(USUAL) <= set(sections) else (),
            **by_study,
        )
        return replace(results, answers=answers(results), todo=self._todo(results, sections))

    def _todo(self, results: Results, sections: Collection[Section]) -> tuple[ToDo, ...]:
        """What must be done, with its cost where the file has prices and all is asked for that
        the parts list rests on."""
        bought: list[Part] = []
        if self.site.price and set(USUAL) <= set(sections):
            from wellsolar.studies.parts.study import study_parts

            listed = study_parts(self.site, results).parts
            bought = [part for part in listed if part.state in ("to change", "to add")]
        return todo_of(self.site, results.verdicts, bought)


def _job(site: Site) -> Job | None:
    job = site.job
    if job is None:
        return None
    return Job(
        job.made_for,
        job.made_by,
        job.phone,
        job.licence,
        job.date,
        job.revision,
        job.logo,
        tuple(Photograph(photograph.file, photograph.shows) for photograph in job.photograph),
        job.page_address,
    )


def study_site(
    file: SiteFile,
    sections: Collection[Section] = USUAL,
    system: System | None = None,
    options: Options = Options(),
) -> Results:
    """Study a site once; who wants more of it later keeps a `Case`.

    Parameters:
        file: a site file that was read
        sections: keys of `SECTIONS`
        system: units to print in; None for the file's own
        options: of the studies that have some
    Returns:
        the results, with verdicts and assumptions of the sections asked for
    Raises:
        UnknownName: there is no such section
    """
    return Case(file, options).results(sections, system)


def size_site(
    part: PartOfSite,
    stock: Stock | None = None,
    progress: Progress | None = None,
    which: WhichDesign = "ordinary",
) -> SizingResult:
    """From what a site file asks for to a design.

    Parameters:
        part: of `load_part`: a file that may lack what is to be chosen
        stock: of `load_stock`, to choose from
        progress: is told how far a search is, and of how much
        which: the least that will likely do, the "ordinary" one for the worst end of the file's
            ranges, or one with a "reserve" for a dark year and one thing dead
    Returns:
        what to buy and what binds it, the design as a site file, and what its check says
    """
    return _designed(part, Case(part.file), stock, progress, which)


def _designed(
    part: PartOfSite,
    case: Case,
    stock: Stock | None,
    progress: Progress | None,
    which: WhichDesign,
) -> SizingResult:
    """A design of a file, whose case keeps what another one of it found."""
    from wellsolar.site.loading.stock import Stock
    from wellsolar.studies.heat.household import years_kept
    from wellsolar.studies.sizing.study import study_sizing

    with years_kept():
        return study_sizing(
            part, case, study_site, _said_at_ends, stock or Stock(), progress, which
        )


def size_designs(
    part: PartOfSite, stock: Stock | None = None, progress: Progress | None = None
) -> DesignSet:
    """The designs of a site file side by side, as of `size_site` each.

    Parameters:
        part: of `load_part`: a file that may lack what is to be chosen
        stock: of `load_stock`, to choose from
        progress: is told how far a search is, and of how much
    Returns:
        each design, and what it comes to
    """
    from wellsolar.studies.sizing.designs import three_designs

    case = Case(part.file)
    return three_designs(
        part.file.site, lambda which: _designed(part, case, stock, progress, which)
    )


def _sized(file: SiteFile) -> Iterator[SizedKey]:
    """The keys of a file that the sizing set, with what stands there."""
    for sized in file.site.sized:
        value = value_at(file.tables, path_of(sized.key))
        yield SizedKey(sized.key, "-" if value is None else f"{value}", sized.reason, sized.rule)


def _said_at_ends(case: Studied, studies: Sequence[str]) -> list[Verdict]:
    """What some studies say of a case, each verdict at the worst end of what is not known."""
    judged = judged_at_ends(case, studies, [case.said(study) for study in studies])
    return [verdict for part in judged for verdict in part.verdicts]


def _notes(site: Site, sections: Collection[Section]) -> list[str]:
    """Of what was asked for, what the file has no table for."""
    missing = {
        "pump": ("[[pump]]", "powered pump", not site.pump),
        "supply": (
            "[module], [sun] and [[array]]",
            "array to size",
            not (site.module or site.array),
        ),
        "tank": ("[pressure_tank]", "pressure tank", site.pressure_tank is None),
        "hand": ("[hand_pump]", "hand pump", site.hand_pump is None and not site.lift),
        "outage": (
            "[[pump]] or [hand_pump]",
            "source of water",
            not (site.pump or site.lift or site.hand_pump),
        ),
        "heat": ("[water_heater]", "water heater", site.water_heater is None),
        "match": ("[water_heater]", "water heater", site.water_heater is None),
        "heat ranking": ("[water_heater]", "water heater", site.water_heater is None),
    }
    drawn = {pump.well for pump in site.pump} | {site.hand_pump.well if site.hand_pump else None}
    idle = [well.name for well in site.other_well if well.name not in drawn]
    notes = [
        f"no {thing} in the file: add {table} to have it studied"
        for section, (table, thing, absent) in missing.items()
        if absent and section in sections
    ]
    if {"pump", "hand", "outage"} & set(sections):
        notes += [f"no pump draws from {name}: name it in the pump's own well" for name in idle]
    return list(dict.fromkeys(notes))
