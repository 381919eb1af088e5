"""What a tank heated by modules needs besides: what breaks its current, what keeps it from scalds
and from bursting, and the cable from the modules."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import product
from typing import NamedTuple

from wellsolar import kinds
from wellsolar.data import wiring
from wellsolar.results.heat import DivertedTankResult, HeatedTankResult
from wellsolar.site.loading.stock import Stock
from wellsolar.studies.array.heater_circuit import OnArray, element_on_array
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.electric.cable import AMPACITY_PV, DROP
from wellsolar.studies.heat.study import guards_again, study_heated_tank
from wellsolar.studies.safety.code_editions import ARC_FAULT, GROUND_FAULT, SHUTDOWN
from wellsolar.studies.safety.contacts import CONTACTS, HIGH_LIMIT_CONTACTS
from wellsolar.studies.safety.direct_current import ISOLATOR
from wellsolar.studies.safety.expansion import EXPANSION
from wellsolar.studies.safety.overcurrent import OVERCURRENT
from wellsolar.studies.safety.overheating import HIGH_LIMIT
from wellsolar.studies.safety.relief import BOILING, CAPACITY, RELIEF, VACUUM
from wellsolar.studies.sizing.draft import Draft
from wellsolar.studies.sizing.search import Candidate, Choice
from wellsolar.studies.sold.standard_sizes import Sold, sizes
from wellsolar.studies.supply.diversion import SWITCHED, element_on_inverter, surplus_switch
from wellsolar.units import System, in_file, show
from wellsolar.verdicts import Change, Rule, Verdict, set_to

CABLE = (AMPACITY_PV, DROP)
"""What a cable has to bear whatever is asked of the tank."""

HIGH_LIMITS: dict[System, tuple[str, ...]] = {
    "US": ("180 degF", "170 degF", "160 degF", "150 degF"),
    "SI": ("80 degC", "75 degC", "70 degC", "65 degC"),
}
"""Cut-outs with hand reset, the usual first: 170 to 180 degF are made for household tanks, lower
ones for tanks high above the sea; common practice, no source."""

STRING_FUSES = (2.0, 4.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0)
"""Fuses made for rows of modules [A]: common practice, no source."""

DIRECT, ARRAY = "direct current", "array guards"
"""Of what several parts are, behind their names: where lines lack they share one."""

RELIEF_HEAT: dict[System, str] = {"US": "210 degF", "SI": "95 degC"}
"""At which every such valve for a household tank opens: the latter of safety groups, from
memory."""


def guards_of(
    draft: Draft, tank: HeatedTankResult | DivertedTankResult, asked: tuple[Rule, ...] = ()
) -> Draft:
    """The draft with what stands between and what keeps the tank safe, each the smallest that is
    sold and lets its verdict pass.

    Parameters:
        draft: with array and element, and the user's stock
        tank: its days and year, from `study_heated_tank`
        asked: rules on what is asked of the tank that pass with a thick cable
    Returns:
        the draft
    """

    def judge(case: Studied) -> Sequence[Verdict]:
        return guards_again(case.site, tank).verdicts

    def judge_cable(case: Studied) -> Sequence[Verdict]:
        """What a thinner cable takes of the heat is told by a run of the year, where it would do
        otherwise."""
        guards = judge(case)
        if any(verdict.rule in CABLE and verdict.status != "pass" for verdict in guards):
            return guards
        _, part = study_heated_tank(case.site, case.year, case.diverted_heat.power, advise=False)
        return part.verdicts

    for part in _choices(draft, asked):
        open_to, listed = (
            [
                replace(
                    candidate,
                    changes=tuple(c for c in candidate.changes if not draft.says(c.path)),
                )
                for candidate in some
            ]
            for some in (part.candidates, part.listed)
        )
        if not open_to or not any(candidate.changes for candidate in open_to):
            continue
        choice = Choice(
            part.name,
            open_to,
            (),
            part.rules,
            settles=part.settles,
            judge=part.judge or (judge_cable if part.rules[: len(CABLE)] == CABLE else judge),
        )
        draft = draft.choose(choice, listed)
    return draft


class _Part(NamedTuple):
    """What is chosen, the rules that hold it, and what is sold, smallest first.

    settles: True where it can settle what its rules leave open; listed: of the user's stock
    judge: what says its verdicts, where that are not the guards of the tank
    """

    name: str
    rules: tuple[Rule, ...]
    candidates: list[Candidate]
    settles: bool = True
    listed: Sequence[Candidate] = ()
    judge: Callable[[Studied], Sequence[Verdict]] | None = None


def _choices(draft: Draft, asked: tuple[Rule, ...]) -> Iterator[_Part]:
    """Every part that stands by a tank: on modules, or on a battery's surplus alone, which brings
    no direct current to it."""
    on, tank = element_on_array(draft.case.site), "water_heater"
    limits = [
        Candidate(high_limit, (set_to(f"{tank}.high_limit", high_limit),))
        for high_limit in HIGH_LIMITS[draft.system]
    ]
    yield _Part("high limit", (HIGH_LIMIT, BOILING), limits)
    if on is not None:
        yield from _on_modules(on.path, on.group_path)
    yield _Part("vacuum relief", (VACUUM,), _with_or_without(f"{tank}.vacuum_relief"))
    yield from _relief(draft)
    yield from _expansion(draft)
    if on is not None:
        yield from _cable(on, draft.stock, asked)
    if (there := element_on_inverter(draft.case.site)) is not None:
        yield _surplus_switch(f"{there[1]}.surplus_switch")


def _on_modules(element: str, group: str) -> Iterator[_Part]:
    """What breaks and guards the direct current of an element and its modules."""
    yield _switch(
        f"thermostat's relay, {DIRECT}", CONTACTS,
        [set_to(f"{element}.thermostat_switches", "relay")],
        f"{element}.switch_voltage", f"{element}.switch_current",
    )  # fmt: skip
    yield _switch(
        f"high limit's relay, {DIRECT}", HIGH_LIMIT_CONTACTS,
        [set_to(f"{element}.high_limit_switches", "relay"),
         set_to(f"{element}.high_limit_poles", 2)],
        f"{element}.high_limit_voltage", f"{element}.high_limit_current",
    )  # fmt: skip
    yield _switch(
        f"isolator, {DIRECT}", ISOLATOR, [set_to(f"{group}.isolator_poles", 2)],
        f"{group}.isolator_voltage", f"{group}.isolator_current",
    )  # fmt: skip
    fuses = [("none", ()), *((f"{fuse:g} A", (set_to(f"{group}.string_fuse", f"{fuse:g} A"),))
                             for fuse in STRING_FUSES)]  # fmt: skip
    yield _Part("fuse in each row", (OVERCURRENT,), [Candidate(*fuse) for fuse in fuses])
    for part, rule, key in (
        (f"ground-fault guard, {ARRAY}", GROUND_FAULT, f"{group}.ground_fault_protection"),
        (f"arc-fault guard, {ARRAY}", ARC_FAULT, f"{group}.arc_fault_protection"),
        (f"rapid shutdown, {ARRAY}", SHUTDOWN, f"{group}.rapid_shutdown"),
    ):
        yield _Part(part, (rule,), _with_or_without(key))


def _switch(part: str, rule: Rule, beside: Sequence[Change], voltage: str, current: str) -> _Part:
    """Something that breaks the array's current: of the least voltage, then of the least
    current."""
    return _Part(part, (rule,), [
        Candidate(
            f"{volts}, {amperes}", (*beside, set_to(voltage, volts), set_to(current, amperes))
        )
        for volts, amperes in product(_sold("switch voltage"), _sold("switch current"))
    ])  # fmt: skip


def _surplus_switch(key: str) -> _Part:
    """The relay that lets a battery's surplus alone onto the element on the inverter."""

    def judge(case: Studied) -> Sequence[Verdict]:
        there = element_on_inverter(case.site)
        return () if there is None else (surplus_switch(case.site, *there),)

    relays = [
        Candidate(
            f"relay, {amperes}, closes while the battery is full",
            (set_to(key, "relay"), set_to(f"{key}_current", amperes)),
        )
        for amperes in _sold("switch current")
    ]
    without = Candidate("none", (set_to(key, "none"),))
    return _Part(SWITCHED.key, (SWITCHED,), [without, *relays], judge=judge)


def _sold(what: Sold) -> list[str]:
    """The sizes of a switch, from small to large, as a site file writes them."""
    kind = kinds.VOLTAGE if what == "switch voltage" else kinds.CURRENT
    return [in_file(size) for size in sizes(what, kind)]


def _with_or_without(key: str) -> list[Candidate]:
    """Without a guard, then with it."""
    return [Candidate("none", (set_to(key, False),)), Candidate("one", (set_to(key, True),))]


def _relief(draft: Draft) -> Iterator[_Part]:
    """The relief valve: the strongest that the tank's plate bears, and what it carries away."""
    tank = "water_heater"
    heat = RELIEF_HEAT[draft.system]
    hot = set_to(f"{tank}.relief_temperature", heat)
    pressures = [
        Candidate(f"{heat}, {press}", (hot, set_to(f"{tank}.relief_pressure", press)))
        for press in map(in_file, reversed(sizes("relief valve", kinds.PRESSURE, draft.system)))
    ]
    yield _Part("relief valve", (RELIEF,), pressures, settles=False)
    capacities = [
        Candidate(
            show(size, kinds.HEAT_INPUT, draft.system),
            (set_to(f"{tank}.relief_capacity", in_file(size)),),
        )
        for size in sizes("relief capacity", kinds.HEAT_INPUT)
    ]
    yield _Part("relief capacity", (CAPACITY,), capacities)


def _expansion(draft: Draft) -> Iterator[_Part]:
    """An expansion tank, where a check valve closes the cold side and the pumps' pressure is
    known."""
    site, tank = draft.case.site, "water_heater"
    heater, switch = site.water_heater, site.pressure_switch
    if heater is None or not heater.check_valve or switch is None:
        return
    air = set_to(f"{tank}.expansion_tank_precharge", switch.cut_out)
    there = set_to(f"{tank}.expansion_tank", True)
    sold = [
        Candidate(
            show(size, kinds.VOLUME, draft.system),
            (there, set_to(f"{tank}.expansion_tank_volume", in_file(size)), air),
        )
        for size in sizes("expansion tank", kinds.VOLUME, draft.system)
    ]
    listed = [
        Candidate(item.called(), (there, *item.changes(tank), air))
        for item in draft.stock.of("tanks", "expansion")
    ]
    yield _Part("expansion tank", (EXPANSION,), sold, listed=listed)


def _cable(on: OnArray, stock: Stock, asked: tuple[Rule, ...]) -> Iterator[_Part]:
    """The cable from the modules, where its run is known: what is on hand before what is sold."""
    if on.group.cable is None or on.group.cable.length is None:
        return
    key = f"{on.group_path}.cable.gauge"
    there_and_back = 2.0 * on.group.cable.length
    listed = [
        Candidate(item.called(there_and_back), (set_to(key, str(item.values["gauge"])),))
        for item in stock.of("wire", wanted=there_and_back)
    ]
    metric = "mm2" in on.group.cable.gauge
    sold = [gauge for gauge in wiring.gauges() if ("mm2" in gauge) is metric]
    candidates = [Candidate(sold_size, (set_to(key, sold_size),)) for sold_size in sold]
    yield _Part("array cable", (*CABLE, *asked), candidates, listed=listed)
