"""The pressure tank by run and starts of its pump and by the peak; its air and relief valve."""

from __future__ import annotations

import math
from collections.abc import Iterator

from wellsolar import kinds
from wellsolar.physics.hydraulics import pressure_tank
from wellsolar.site.loading.stock import Item, Stock
from wellsolar.studies.house.chain import links
from wellsolar.studies.pump.pressure_tank import HOURLY, RUN_TIME, STARTS
from wellsolar.studies.pump.shut_off import LEAST_PLATE, RELIEF, to_set
from wellsolar.studies.sizing.draft import Draft
from wellsolar.studies.sizing.search import Candidate, Choice
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.studies.well.peak import PEAK
from wellsolar.units import System, read, show
from wellsolar.verdicts import set_to

MOST_TANKS = 3
"""Tanks alike side by side up to which one is looked for: our choice."""

SWITCH = {"US": ("30 psi", "50 psi"), "SI": ("2 bar", "3.5 bar")}
"""Cut-in and cut-out of a usual switch: common practice, no source."""


def switch_of(draft: Draft) -> Draft:
    """The draft with a pressure switch where the file has none."""
    cut_in, cut_out = SWITCH[draft.system]
    changes = [
        set_to("pressure_switch.cut_in", cut_in), set_to("pressure_switch.cut_out", cut_out)
    ]  # fmt: skip
    return draft.set(changes, "a usual switch: common practice")


def tank_sizes(system: System) -> Iterator[tuple[str, tuple[str, int]]]:
    """Tanks as they are sold from small to large in all, one alone or several alike: what they
    are called, the volume of one as a file has it and their number."""
    sold = sizes("pressure tank", kinds.VOLUME, system)
    tank_items = [
        (quantity * count, quantity, count)
        for count in range(1, MOST_TANKS + 1)
        for quantity in sold
        if count == 1 or quantity * count > sold[-1] * (count - 1)
    ]
    for _, quantity, count in sorted(tank_items, key=lambda one: (one[0], one[2])):
        volume = show(quantity, kinds.VOLUME, system)
        yield (
            volume if count == 1 else f"{count} x {volume}",
            (str(quantity.written), count),
        )


def _listed(stock: Stock) -> list[tuple[str, Item, int]]:
    """Tanks of the user's own, one alone or several alike: those on hand from small to large, then
    what costs least in all."""
    every = [(item, count) for item in stock.of("tanks", "pressure")
             for count in range(1, MOST_TANKS + 1)]  # fmt: skip

    def wanted(one: tuple[Item, int]) -> tuple[bool, float, float]:
        item, count = one
        volume = count * read(str(item.values["volume"]), kinds.VOLUME)
        price = math.inf if item.price is None else item.price
        there = item.there(count)
        return not there, volume if there else price * (count - item.on_hand), volume

    return [
        (item.called(count) if count == 1 else f"{count} x {item.called(count)}", item, count)
        for item, count in sorted(every, key=wanted)
    ]


def tank_of(draft: Draft) -> Draft:
    """The draft with the smallest pressure tank that lets its pumps run long and start seldom
    enough and bridges what they lack of the peak, and with its air.

    Parameters:
        draft: with the pumps and their motors
    Returns:
        the draft; as it was where no switch starts a pump
    """
    site = draft.case.site
    switched = [link for link in links(site) if link.by_switch]
    if not switched or site.pressure_switch is None:
        return draft
    best = pressure_tank.recommended_precharge(site.pressure_switch.cut_in)
    precharge = set_to("pressure_tank.precharge", to_set(best, draft.system))
    if not draft.says("pressure_tank.volume"):
        candidates = [
            Candidate(
                label,
                (
                    set_to("pressure_tank.volume", volume),
                    set_to("pressure_tank.count", count),
                    precharge,
                ),
            )
            for label, (volume, count) in tank_sizes(draft.system)
        ]
        listed = [
            Candidate(
                label,
                (*item.changes("pressure_tank"), set_to("pressure_tank.count", count), precharge),
            )
            for label, item, count in _listed(draft.stock)
        ]
        choice = Choice(
            "pressure tank", candidates, ("pressure_tank", "well"),
            (RUN_TIME, STARTS, HOURLY, PEAK),
            subjects=[link.table.name for link in switched], rising=True,
        )  # fmt: skip
        return draft.choose(choice, listed)
    if draft.says("pressure_tank.precharge"):
        return draft
    return draft.set([precharge], "2 psi (14 kPa) below cut-in", "precharge")


def relief_of(draft: Draft) -> Draft:
    """The draft with a relief valve at the tank where the pump can press more than its plate."""
    site = draft.case.site
    if site.pressure_tank is None or draft.says("pressure_tank.relief_pressure"):
        return draft
    candidates = [Candidate("none")]
    for valve in sizes("relief valve", kinds.PRESSURE, draft.system):
        changes = [set_to("pressure_tank.relief_pressure", valve)]
        if valve > LEAST_PLATE and site.pressure_tank.greatest_pressure is None:
            changes.append(set_to("pressure_tank.greatest_pressure", valve))
        label = show(valve, kinds.PRESSURE, draft.system)
        candidates.append(Candidate(label, tuple(changes)))
    choice = Choice("tank relief", candidates, ("pressure_tank",), (RELIEF,), settles=True)
    return draft.choose(choice)
