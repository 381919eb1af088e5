"""The battery's surplus on the heated tank: the smallest element on the inverter that does what is
asked, water for the house first, by what the tank takes hour by hour of the year."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from wellsolar import kinds
from wellsolar.results.sizing import HeatWay
from wellsolar.site.schema import Site
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.electric.starting import VOLTAGE_BAND
from wellsolar.studies.heat.verdicts import EVENING, SHARE
from wellsolar.studies.match.designs import sold_elements
from wellsolar.studies.safety.legionella import LEGIONELLA
from wellsolar.studies.sizing.draft import Draft
from wellsolar.studies.sizing.search import Candidate, Choice
from wellsolar.studies.supply.diversion import ROOM, SURPLUS, Spill, spill_of
from wellsolar.units import Quantity, read, show
from wellsolar.verdicts import Change, Verdict, say, set_to

ELEMENT = "element"
"""What the part is called."""


@dataclass(frozen=True)
class OnSurplus:
    """A tank on the surplus. draft: with its element; way: what that gives and needs."""

    draft: Draft
    way: HeatWay


def on_surplus(
    draft: Draft, site: Site, path: str, changes: tuple[Change, ...], thread: float | None
) -> OnSurplus | None:
    """The smallest element that with the battery's surplus does what is asked of a tank, of the
    user's stock before what is sold.

    Parameters:
        draft: with its pumps and their power
        site: with the tank, and with an element at a key path that no array feeds
        path: of that element
        made: what it has beside its plate
        thread: of its opening [m]; None where nobody tells it
    Returns:
        the element that does, else the one that stands best; None where no battery has a surplus
        that is known
    """
    case = draft.case.with_site(site)
    spill = spill_of(case.site, case.pumps, case.pressure_tank, case.year)
    if not isinstance(spill, Spill):
        return None
    begin, volts = (*changes, set_to(f"{path}.fed_by", "inverter")), site.power.inverter_voltage

    def suits(rated: float) -> bool:
        return volts is None or abs(rated / volts - 1.0) <= VOLTAGE_BAND

    listed = [
        Candidate(
            item.called().replace(item.name, f"{item.name} on the inverter", 1),
            (*begin, *item.changes(path)),
        )
        for item in draft.stock.of("elements")
        if suits(float(read(str(item.values["rated_voltage"]), kinds.VOLTAGE)))
        and (thread is None or item.opening is None or math.isclose(thread, item.opening))
    ]
    sold = [
        Candidate(
            f"{sold_element.rated_power:g} W {sold_element.rated_voltage:g} V on the inverter",
            (
                *begin,
                set_to(f"{path}.rated_power", f"{sold_element.rated_power:g} W"),
                set_to(f"{path}.rated_voltage", f"{sold_element.rated_voltage:g} V"),
            ),
        )
        for sold_element in sold_elements(draft.system)
        if suits(sold_element.rated_voltage)
    ]
    if not sold:
        return None
    choice = Choice(
        ELEMENT, sold, ("diverted_tank",), (SHARE, EVENING, LEGIONELLA, SURPLUS), (ROOM,),
        judge=_of_inverter,
    )  # fmt: skip
    chosen = replace(draft, case=case).choose(choice, listed)
    return OnSurplus(chosen, _way(chosen, spill))


def _of_inverter(case: Studied) -> tuple[Verdict, ...]:
    return case.diverted_heat.part.verdicts


def _way(draft: Draft, spill: Spill) -> HeatWay:
    """What an element on the surplus gives and needs."""
    element = next(sized for sized in draft.sized if sized.part == ELEMENT)
    tank = element.case.diverted_tank
    year = tank.households[0] if tank is not None and tank.households else None
    rating = element.case.site.power.inverter_rating
    power = element.case.diverted_heat.result
    return HeatWay(
        label=element.candidate.label,
        modules=0,
        share=None if tank is None else tank.annual_share,
        evenings=None if year is None else year.fewest_evenings,
        heat=None if year is None else year.year.pv_heat,
        offered=float(spill.energy.sum()),
        needs=say(
            "{power} of the inverter's {rating}, a relay that closes while the battery is full",
            power=Quantity(0.0 if power is None else power.power, kinds.COMPUTED_POWER),
            rating="rating" if rating is None else show(rating, rating.kind, draft.system),
        ),
        passes=element.passes,
    )
