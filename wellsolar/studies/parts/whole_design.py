"""What a whole design comes to: water, heat, money, what the sun spares, what it bears."""

from __future__ import annotations

from collections.abc import Iterator

from wellsolar.constants import HOUR
from wellsolar.data.fuels import fuels, heat_in
from wellsolar.results import Results
from wellsolar.results.parts import TO_BUY, Cost, PartsList, State
from wellsolar.results.sizing import DesignFigures, FuelSaved, Saved
from wellsolar.site.part_names import ELECTRICITY
from wellsolar.site.schema import Site
from wellsolar.studies.parts.study import study_parts

BURNER = 0.8
"""Heat in the water over heat of the fuel, of a heater that burns it: common practice, no
source."""

DAYS_A_YEAR = 365

ALL: tuple[State, ...] = ("in the file", "to check", *TO_BUY)


def comes_to(site: Site, results: Results) -> DesignFigures:
    """What a design comes to, by its own check.

    Parameters:
        results: of `study_site`, of everything that a check asks for
    Returns:
        the figures, each None where the file tells too little for it; nothing is summed from lines
        without a price unless these are named beside the sum
    """
    energies = [pump.daily_energy for pump in results.pumps if pump.daily_energy is not None]
    tank = results.heated_tank or results.diverted_tank
    years = tank.households if tank is not None else ()
    listed = study_parts(site, results)
    outages = results.outages
    links = [] if outages is None else [
        link for link in outages.links if link.outage.survival is not None
    ]  # fmt: skip
    weakest = min(links, key=lambda link: link.outage.survival or 0.0, default=None)
    year = years[-1] if years else None
    return DesignFigures(
        wanted=None if outages is None else outages.normal,
        gives=None if outages is None else outages.whole.volume,
        pump_energy=sum(energies) if energies else None,
        heat_energy=None if year is None else year.year.pv_heat,
        heat_share=None if year is None else year.year.pv_share,
        days_short=max(_days_short(results), default=None),
        evenings=None if year is None else year.fewest_evenings,
        sun_evenings=None if year is None else years[0].fewest_evenings,
        days=None if year is None else year.year.days,
        survival=None if weakest is None else weakest.outage.survival,
        fails_in=tuple(link.component for link in links if link.outage.short),
        bought=_priced(listed, *TO_BUY),
        whole=_priced(listed, *ALL),
        saved=saved(site, results),
    )


def _priced(listed: PartsList, *states: State) -> Cost | None:
    return listed.summed(*states) if listed.priced else None


def _days_short(results: Results) -> Iterator[int]:
    yield from (supply_year.days_short for supply_year in results.supply_years)
    if results.chain_year is not None:
        yield results.chain_year.days_short


def saved(site: Site, results: Results) -> Saved | None:
    """What the sun spares in a year.

    Parameters:
        site: with the prices of energies as they are paid today
        results: of its supply and of its heated tank
    Returns:
        energy [J], fuel and money, against the same water pumped and heated without the sun; None
        where neither a pump nor a tank lives on the sun
    """
    pump, pumping = _on_the_sun(results)
    tank = results.heated_tank or results.diverted_tank
    heat = tank.households[-1].year.pv_heat if tank is not None and tank.households else None
    if pumping is None and heat is None:
        return None
    costs = {price.item: price for price in site.price}
    burnt = next((fuel for fuel in fuels() if fuel.name in costs), None)
    parts: dict[str, float] = {}
    fuel = None
    if burnt is not None and heat is not None:
        price = costs[burnt.name]
        fuel = _spared(burnt.name, price.per, heat)
        parts["heat"] = fuel.amount * price.cost
    if ELECTRICITY in costs:
        per_joule = costs[ELECTRICITY].cost / (1000.0 * HOUR)
        if pumping is not None:
            parts["pumping"] = pumping * per_joule
        if heat is not None and fuel is None:
            parts["heat"] = heat * per_joule
    return Saved(
        pumping=pumping,
        pump=pump,
        heat=heat,
        by=ELECTRICITY if burnt is None else burnt.name,
        fuel=fuel,
        alike=() if heat is None else tuple(
            _spared(fuel.name, unit, heat) for fuel in fuels() for unit in fuel.sold_by
        ),
        money=sum(parts.values()) if parts else None,
        of=tuple(sorted(parts)),
    )  # fmt: skip


def _spared(fuel: str, per: str, heat: float) -> FuelSaved:
    """So much of a fuel as a burner would take for a heat [J]."""
    return FuelSaved(fuel, heat / BURNER / heat_in(fuel, per), per)


def _on_the_sun(results: Results) -> tuple[str, float | None]:
    """The pump that gives the day's water on the sun and misses it least often, and its energy in
    a year [J]; of a chain by way of a storage tank those of its pumps that live on the sun."""
    chain = results.chain_year
    if chain is not None:
        sunny = chain.filler.split(" and ") if "grid" not in chain.filler_power else []
        sunny += [chain.booster] if chain.booster_power not in ("grid", None) else []
        taken = [
            pump for pump in results.pumps
            if pump.daily_energy is not None and pump.name in sunny
        ]  # fmt: skip
        energy = sum(DAYS_A_YEAR * (pump.daily_energy or 0.0) for pump in taken)
        names = " and ".join(pump.name for pump in taken)
        return names, energy if taken else None
    best = min(
        results.supply_years,
        key=lambda supply_year: (supply_year.days_short, supply_year.energy_pump),
        default=None,
    )
    return ("", None) if best is None else (best.pump, best.energy_pump)
