"""All studies of a site, in the order in which they need each other."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from wellsolar.beside import beside
from wellsolar.results import (
    CardResult,
    CasingResult,
    DivertedTankResult,
    FrostResult,
    HandPumpResult,
    HeatedTankResult,
    HeaterRankingResult,
    LiftResult,
    MatchResult,
    OutageResult,
    PressureTankResult,
    PumpResult,
    RangeResult,
    Results,
    StudyPart,
    WellResult,
)
from wellsolar.results.readings import SheetResult
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.schema import Site
from wellsolar.studies.answers import answers, match_answers, outage_answers
from wellsolar.studies.casing.study import study_casing_fit
from wellsolar.studies.defaults_used import assumptions_of
from wellsolar.studies.figures import study_figures
from wellsolar.studies.hand.other_lifts import study_lifts
from wellsolar.studies.hand.study import study_hand_pump
from wellsolar.studies.pump.pressure_tank import study_pressure_tank
from wellsolar.studies.pump.study import study_pumps
from wellsolar.studies.sun.module_sheet import study_module_sheet
from wellsolar.studies.supply.study import SupplyFound, study_sun_and_supply
from wellsolar.studies.well.frost import study_frost
from wellsolar.studies.well.study import study_well
from wellsolar.units import System
from wellsolar.verdicts import Verdict

if TYPE_CHECKING:
    from wellsolar.physics.sun.year import HourlyYear
    from wellsolar.studies.supply.diversion import DivertedHeat

PARTS = ("pump", "supply", "tank", "hand", "heat", "match")
"""The parts a caller may ask for; each may need others, which then stay unsaid."""

OF_HEAT = {"heat", "match", "heat ranking"}
"""The parts that the water heater has."""


@dataclass(frozen=True)
class Options:
    """What a caller may set beside the parts.

    cases: to sample where the file gives ranges; seed: of that sampling
    starters: True to rank the invented pumps too; top: rows of the ranking to print
    workers: processes to start for the ranking of heated tanks; 1 for none
    progress: is told how much of the ranking is done, and of how much
    """

    cases: int = 256
    seed: int = 1
    starters: bool = False
    top: int = 10
    workers: int = 1
    progress: Callable[[int, int], None] | None = None


def study_site(
    file: SiteFile,
    parts: Collection[str] = PARTS,
    system: System | None = None,
    options: Options = Options(),
) -> Results:
    """Study a site.

    Parameters:
        file: a site file that was read
        parts: which of `PARTS` to report, and of "ranges", "ranking", "heat ranking", "outage",
            "card", "figures" and "sheet"
        system: units to print in; None for the file's own
        options: of the parts that have some
    Returns:
        the results, with verdicts and assumptions of the parts asked for
    """
    return _results(file, parts, system, _studied(file, parts, options))


@dataclass(frozen=True)
class _Studied:
    """What the studies found; told: what each part has to say."""

    pumps: tuple[PumpResult, ...]
    casing: CasingResult | None
    well: WellResult | None
    frost: FrostResult | None
    tank: PressureTankResult | None
    hand: HandPumpResult | None
    lifts: tuple[LiftResult, ...]
    supply: SupplyFound
    year: HourlyYear | None
    heat: _Heat
    ranges: RangeResult | None
    outages: OutageResult | None
    card: CardResult | None
    told: dict[str, StudyPart]


def _studied(file: SiteFile, parts: Collection[str], options: Options) -> _Studied:
    """Every study that the parts need, each after those that it takes from."""
    site = file.site
    pumps, pump_part = study_pumps(site)
    with _casing_beside(site, parts, pumps) as casing_fit:
        well, well_part = _well(site, parts, pumps)
        frost, frost_part = study_frost(file)
        tank, tank_part = study_pressure_tank(site, pumps)
        hand, lifts, hand_part = _hands(site, parts, tank)
        supply, year = _supply(file, parts, pumps, tank, options)
        heat = _heat(site, parts, pumps, tank, year, options)
        ranges, range_part = _ranges(site, parts, options)
        outages, card, outage_part = _outages(file, parts, year, heat)
        casing, casing_part = casing_fit()
    told = {
        "pump": pump_part.and_of(casing_part).and_of(well_part).and_of(frost_part),
        "supply": supply.part,
        "tank": tank_part,
        "hand": hand_part,
        "heat": heat.part,
        "match": heat.match_part,
        "heat ranking": heat.ranking_part,
        "ranges": range_part,
        "outage": outage_part,
    }
    return _Studied(
        pumps, casing, well, frost, tank, hand, lifts, supply, year, heat, ranges, outages, card,
        told,
    )  # fmt: skip


def _results(
    file: SiteFile, parts: Collection[str], system: System | None, of: _Studied
) -> Results:
    """The results, as far as they were asked for."""
    site = file.site
    chosen = _chosen(site, parts, of.told)
    verdicts = tuple(_verdicts(chosen))
    shown = of.pumps if "pump" in parts else ()
    heat, supply = of.heat, of.supply
    short = answers(shown, supply.hand_rule, heat.tank, of.hand, verdicts, supply.years, of.lifts)
    return Results(
        file=file.path,
        site_name=site.site.name,
        site_note=site.site.note,
        system=system or site.site.print_units,
        pumps=shown,
        supply=supply.hand_rule,
        pressure_tank=of.tank if "tank" in parts else None,
        hand_pump=of.hand,
        lifts=of.lifts,
        heated_tank=heat.tank,
        matching=heat.match,
        heater_ranking=heat.ranking,
        diverted_tank=heat.diverted,
        outages=of.outages,
        card=of.card,
        verdicts=verdicts,
        assumptions=tuple(assumptions_of(file, chosen, parts)),
        cautions=tuple(dict.fromkeys(key for part in chosen for key in part.cautions)),
        notes=tuple(_notes(file, parts)),
        ranges=of.ranges,
        answers=(*short, *match_answers(heat.match), *outage_answers(of.outages)),
        sun=supply.sun,
        supply_years=supply.years,
        ranking=supply.ranking,
        ledger=supply.ledger,
        casing=of.casing,
        frost=of.frost if "pump" in parts else None,
        figures=study_figures(site, of.year, of.pumps, of.well, heat.tank)
        if "figures" in parts
        else None,
        well=of.well,
        sheet=_sheet(file, of) if "sheet" in parts else None,
    )


def _sheet(file: SiteFile, of: _Studied) -> SheetResult:
    """The readings to take at handover, from what was studied already."""
    from wellsolar.studies.reading.sheet import Studied, sheet_of

    return sheet_of(file, Studied(of.pumps, of.well, of.hand, of.lifts, of.year))


def _chosen(site: Site, parts: Collection[str], told: dict[str, StudyPart]) -> list[StudyPart]:
    """What is said of the parts asked for, with the module's sheet where modules matter."""
    chosen = [part for name, part in told.items() if name in parts]
    return chosen + ([study_module_sheet(site)] if {"supply", *OF_HEAT} & set(parts) else [])


@contextmanager
def _casing_beside(
    site: Site, parts: Collection[str], pumps: tuple[PumpResult, ...]
) -> Iterator[Callable[[], tuple[CasingResult | None, StudyPart]]]:
    """What gives what hangs in the well, where pumps are asked for; made beside the block, as
    packing a casing takes tools that nothing else does."""
    if "pump" not in parts:
        yield lambda: (None, StudyPart())
        return
    with beside(lambda: study_casing_fit(site, pumps)) as casing_fit:
        yield casing_fit


def _well(
    site: Site, parts: Collection[str], pumps: tuple[PumpResult, ...]
) -> tuple[WellResult | None, StudyPart]:
    """What the well does, where pumps are asked for."""
    return study_well(site, pumps) if "pump" in parts else (None, StudyPart())


def _hands(
    site: Site, parts: Collection[str], tank: PressureTankResult | None
) -> tuple[HandPumpResult | None, tuple[LiftResult, ...], StudyPart]:
    """The hand pump and the other lifts, where they are asked for."""
    if "hand" not in parts:
        return None, (), StudyPart()
    hand, hand_part = study_hand_pump(site, tank)
    lifts, lift_part = study_lifts(site)
    return hand, lifts, hand_part.and_of(lift_part)


def _ranges(
    site: Site, parts: Collection[str], options: Options
) -> tuple[RangeResult | None, StudyPart]:
    """The pumps over the file's ranges, where they are asked for."""
    if "ranges" not in parts:
        return None, StudyPart()
    from wellsolar.studies.ranges import study_ranges

    return study_ranges(site, options.cases, options.seed)


def _outages(
    file: SiteFile, parts: Collection[str], year: HourlyYear | None, heat: _Heat
) -> tuple[OutageResult | None, CardResult | None, StudyPart]:
    """What is left when things fail, and what its owner then does, where they are asked for."""
    if "outage" not in parts and "card" not in parts:
        return None, None, StudyPart()
    from wellsolar.studies.outages_of_file import outages_of_file

    found = (heat.tank, heat.diverted) if "heat" in parts else None
    outages, card, part = outages_of_file(file, year, found, "card" in parts)
    return outages if "outage" in parts else None, card, part


@dataclass(frozen=True)
class _Heat:
    """The heated tank, by an array or by a battery's surplus alone, and how array and elements
    suit each other."""

    tank: HeatedTankResult | None = None
    diverted: DivertedTankResult | None = None
    part: StudyPart = field(default_factory=StudyPart)
    match: MatchResult | None = None
    match_part: StudyPart = field(default_factory=StudyPart)
    ranking: HeaterRankingResult | None = None
    ranking_part: StudyPart = field(default_factory=StudyPart)


def _heat(
    site: Site,
    parts: Collection[str],
    pumps: tuple[PumpResult, ...],
    tank: PressureTankResult | None,
    year: HourlyYear | None,
    options: Options,
) -> _Heat:
    """The heat of a site that has a water heater, as far as it is asked for."""
    if site.water_heater is None or not OF_HEAT & set(parts):
        return _Heat()
    from wellsolar.studies.supply.diversion import diverted_heat

    diverted = diverted_heat(site, pumps, tank, year)
    found = _Heat()

    def matched() -> tuple[MatchResult | None, StudyPart]:
        from wellsolar.studies.match.study import study_couplings

        return study_couplings(site, year, diverted, pumps, tank, full="pump" not in parts)

    if "match" in parts and "heat" in parts:
        with beside(matched) as match_beside:
            found = _tank(site, year, diverted)
            match, part = match_beside()
        found = replace(found, match=match, match_part=part)
    elif "match" in parts:
        match, part = matched()
        found = replace(found, match=match, match_part=part)
    elif "heat" in parts:
        found = _tank(site, year, diverted)
    if "heat ranking" in parts:
        from wellsolar.studies.match.ranking import HeaterRankingAsked, study_heater_ranking

        asked = HeaterRankingAsked(options.top, options.workers, options.progress)
        ranking, part = study_heater_ranking(site, year, diverted.power, asked)
        found = replace(found, ranking=ranking, ranking_part=part)
    return found


def _tank(site: Site, year: HourlyYear | None, diverted: DivertedHeat) -> _Heat:
    """The tank that an array heats, or a battery's surplus alone."""
    from wellsolar.studies.array.hours import element_on_array
    from wellsolar.studies.supply.diversion import element_on_inverter

    if element_on_inverter(site) is not None and element_on_array(site) is None:
        from wellsolar.studies.heat.diverted_tank import study_diverted_tank

        alone, part = study_diverted_tank(site, year, diverted)
        return _Heat(diverted=alone, part=part)
    from wellsolar.studies.heat.study import study_heated_tank

    heated, part = study_heated_tank(site, year, diverted.power)
    return _Heat(tank=heated, part=part)


def _supply(
    file: SiteFile,
    parts: Collection[str],
    pumps: tuple[PumpResult, ...],
    tank: PressureTankResult | None,
    options: Options,
) -> tuple[SupplyFound, HourlyYear | None]:
    """The supply of water, where it is asked for, and the site's year of hours, from which the
    heated tank takes what the household gets."""
    site = file.site
    solar = "supply" in parts and (site.module is not None or bool(site.array))
    heated = bool(OF_HEAT & set(parts)) and site.water_heater is not None
    if not solar and not heated:
        return SupplyFound(), None
    from wellsolar.studies.sun.year import year_of_site
    from wellsolar.studies.supply.ranking import RankingAsked

    sun = year_of_site(file)
    found = SupplyFound()
    if solar:
        asked = RankingAsked(options.starters, options.top, options.progress)
        ranked = asked if "ranking" in parts else None
        found = study_sun_and_supply(site, pumps, tank, sun, ranked)
    return found, sun.year


def _verdicts(parts: list[StudyPart]) -> list[Verdict]:
    return [verdict for part in parts for verdict in part.verdicts]


def _notes(file: SiteFile, parts: Collection[str]) -> list[str]:
    """What was asked for and the file has no table for."""
    site = file.site
    missing = {
        "pump": ("[[pump]]", "powered pump", not site.pump),
        "supply": (
            "[module], [sun] and [[array]]",
            "array to size",
            not (site.module or site.array),
        ),
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
    notes = [
        f"no {thing} in the file: add {table} to have it studied"
        for part, (table, thing, absent) in missing.items()
        if absent and part in parts
    ]
    return list(dict.fromkeys(notes))
