"""Everything about the sun of a site and the water it pumps, in the order of their needs."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from wellsolar.results import (
    LedgerResult,
    PressureTankResult,
    PumpResult,
    RankingResult,
    StudyPart,
    SunYearResult,
    SupplyResult,
    SupplyYearResult,
)
from wellsolar.site.schema import Site

if TYPE_CHECKING:
    from wellsolar.studies.sun.year import YearOfSite
    from wellsolar.studies.supply.ranking import RankingAsked


@dataclass(frozen=True)
class SupplyFound:
    """What was found, and the verdicts it brings.

    hand_rule: the arrays by the hand rule; years: the supplies hour by hour
    """

    hand_rule: tuple[SupplyResult, ...] = ()
    sun: SunYearResult | None = None
    years: tuple[SupplyYearResult, ...] = ()
    ranking: RankingResult | None = None
    ledger: LedgerResult | None = None
    part: StudyPart = field(default_factory=StudyPart)


def study_sun_and_supply(
    site: Site,
    pumps: tuple[PumpResult, ...],
    tank: PressureTankResult | None,
    sun: YearOfSite,
    ranked: RankingAsked | None = None,
) -> SupplyFound:
    """The sun of a site, its pumps' arrays by hand rule and hour by hour, and its modules.

    Parameters:
        site: the site
        pumps: results of its pumps
        tank: of the pressure tank
        sun: its year of hours
        ranked: what to rank; None for no ranking
    Returns:
        what was found; nothing of a site that does not speak of modules
    """
    from wellsolar.studies.sun.year import study_sun
    from wellsolar.studies.supply.allocation import study_ledger
    from wellsolar.studies.supply.rule_of_thumb import study_supply
    from wellsolar.studies.supply.year import study_supply_year

    if site.module is None and not site.array:
        return SupplyFound()
    hand, part = study_supply(site, pumps, sun.year)
    years, years_part = study_supply_year(site, pumps, tank, sun)
    ledger, ledger_part = study_ledger(site, sun.year, years)
    ranking = None
    if ranked is not None:
        from wellsolar.studies.supply.ranking import study_ranking

        worst = min(month.plane_of_array for month in hand[0].months) if hand else None
        ranking = study_ranking(site, pumps, tank, sun.year, worst, ranked)
    return SupplyFound(
        hand_rule=hand,
        sun=None if sun.year is None else study_sun(site, sun.year),
        years=years,
        ranking=ranking,
        ledger=ledger,
        part=part.and_of(years_part).and_of(ledger_part),
    )
