"""The battery's surplus on the heated tank: the smallest element on the inverter that does what is
asked, water for the house first, by what the tank takes hour by hour of the year."""

from __future__ import annotations

from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.data.hot_water_tables import element_ratings
from wellsolar.results.sizing import HeatWay
from wellsolar.site.schema import Site
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.electric.starting import VOLTAGE_BAND
from wellsolar.studies.heat.verdicts import EVENING, SHARE
from wellsolar.studies.safety.legionella import LEGIONELLA
from wellsolar.studies.sizing.draft import Draft
from wellsolar.studies.sizing.search import Candidate, Choice, Sized, smallest
from wellsolar.studies.supply.diversion import ROOM, SURPLUS, Spill, spill_of
from wellsolar.units import Quantity, show
from wellsolar.verdicts import Change, Verdict, say, set_to

ELEMENT, SWITCH = "element", "switch for the surplus"
"""What the parts are called."""

CLOSES = "on while the battery is full"
"""What the switch has to do; the site file has no key for it."""


@dataclass(frozen=True)
class OnSurplus:
    """An element on the inverter. sized: which; way: what it gives and needs."""

    sized: Sized
    way: HeatWay


def on_surplus(draft: Draft, site: Site, path: str, made: tuple[Change, ...]) -> OnSurplus | None:
    """The smallest element that with the battery's surplus does what is asked of a tank.

    Parameters:
        draft: with its pumps and their power
        site: with the tank, and with an element at a key path that no array feeds
        path: of that element
        made: what it has beside its plate
    Returns:
        the element that does, else the one that stands best; None where no battery has a surplus
        that is known
    """
    case = draft.case.with_site(site)
    spill = spill_of(case.site, case.pumps, case.pressure_tank, case.year)
    if not isinstance(spill, Spill):
        return None
    volts = site.power.inverter_voltage
    candidates = [
        Candidate(
            f"{each.rated_power:g} W {each.rated_voltage:g} V on the inverter",
            (
                *made,
                set_to(f"{path}.fed_by", "inverter"),
                set_to(f"{path}.rated_power", f"{each.rated_power:g} W"),
                set_to(f"{path}.rated_voltage", f"{each.rated_voltage:g} V"),
            ),
        )
        for each in element_ratings()
        if volts is None or abs(each.rated_voltage / volts - 1.0) <= VOLTAGE_BAND
    ]
    if not candidates:
        return None
    choice = Choice(
        ELEMENT, candidates, ("diverted_tank",), (SHARE, EVENING, LEGIONELLA, SURPLUS), (ROOM,),
        judge=_of_inverter,
    )  # fmt: skip
    found = smallest(case, choice)
    return OnSurplus(found, _way(draft, found, spill))


def _of_inverter(case: Studied) -> tuple[Verdict, ...]:
    return case.diverted_heat.part.verdicts


def _way(draft: Draft, found: Sized, spill: Spill) -> HeatWay:
    """What an element on the surplus gives and needs."""
    tank = found.case.diverted_tank
    year = tank.households[0] if tank is not None and tank.households else None
    rating = found.case.site.power.inverter_rating
    power = found.case.diverted_heat.result
    return HeatWay(
        label=found.candidate.label,
        modules=0,
        share=None if tank is None else tank.annual_share,
        evenings=None if year is None else year.fewest_evenings,
        heat=None if year is None else year.year.pv_heat,
        offered=float(spill.energy.sum()),
        needs=say(
            "{power} of the inverter's {rating}, a switch that is {switch}",
            power=Quantity(0.0 if power is None else power.power, kinds.POWER),
            rating="rating" if rating is None else show(rating, rating.kind, draft.system),
            switch=CLOSES,
        ),
        passes=found.passes,
    )
