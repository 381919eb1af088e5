"""From what is needed to what to buy, in the order in which the trade thinks.

Needs, pump and well, pipes, motor, circuit, pressure tank, store, inverter, array and battery,
hand pump, heated tank; then the design is judged as it is written.
"""

from __future__ import annotations

import shlex
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from wellsolar import kinds
from wellsolar.physics.types import Progress
from wellsolar.results.pumps import PumpResult
from wellsolar.results.sizing import (
    STOPS_PAYING,
    LeftOpen,
    PartSized,
    PumpWanted,
    Refused,
    SizingResult,
    WhichDesign,
)
from wellsolar.results.whole import Results
from wellsolar.site.loading.read import PartOfSite, SiteFile, parse_part
from wellsolar.site.loading.stock import NO_STOCK, Stock
from wellsolar.site.schema import Site
from wellsolar.studies.array.heater_circuit import element_on_array
from wellsolar.studies.asked.changed_site import changed_site
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.electric import motor_guards
from wellsolar.studies.electric.supplies import has_inverter
from wellsolar.studies.house.chain import gravity_head
from wellsolar.studies.house.demand import peak_flow
from wellsolar.studies.house.wells import is_here
from wellsolar.studies.outage.study import LINKS, WORST
from wellsolar.studies.pump.study import EFFICIENCIES
from wellsolar.studies.pump.verdicts import DAILY
from wellsolar.studies.sizing import (
    catalogue,
    designs,
    hand,
    heated_tank,
    pipes,
    power,
    pressure_tank,
    replaced,
    storage,
    wiring,
)
from wellsolar.studies.sizing.design import Set, design_text
from wellsolar.studies.sizing.draft import AtEnds, Draft, NoDesign, keys_of
from wellsolar.studies.sizing.needs import needs_of, with_needs
from wellsolar.studies.sizing.pump import (
    AT_WORK,
    OF_THE_WELL,
    borne_flow,
    cover_wanted,
    deepest_intake,
    direct_flow,
    duty_of,
    intake,
    least_shut_off,
    on_site,
    with_duty,
)
from wellsolar.studies.sizing.search import Candidate, Choice, Sized, trial
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.studies.well.peak import PEAK
from wellsolar.studies.well.verdicts import WELL_GIVES
from wellsolar.units import show
from wellsolar.verdicts import Change, Verdict, set_to

Check = Callable[[SiteFile], Results]
"""What is found of a site file."""

VOLTAGE = "230 V"
"""Of a pump that is not chosen, where no inverter names another: common practice, no source."""

NAME, BOOSTER = "well pump", "booster"
"""What pumps are called that the file does not name."""

DRY_RUN = "dry-run protection"
"""What the part is called."""

PRESSES = "presses the peak from the storage tank into the house"

ABOVE = 1.001
"""Flow that is wanted of a booster over the peak, so that rounding leaves no less."""

MOST_ROUNDS = 4
"""Times that the pipes are gone through: our choice."""

FACTS = (
    ("site.", "facts of the house"),
    ("well.", "facts of the well"),
    ("other_well[", "facts of the well"),
    ("piping.frost_depth", "facts of the place"),
    ("piping.", "how the line is laid"),
    ("coldest_room", "facts of the house"),
    ("power.", "power of the house"),
    ("sun.", "facts of the place"),
    ("module.", "plates to be read"),
    ("pressure_tank.", "plates to be read"),
    ("input_voltage", "plates to be read"),
    ("backfeed", "plates to be read"),
    ("array", "how the modules stand"),
    ("storage_tank.", "how the tank is built"),
    ("pump", "the pump's sheet"),
)
"""Why no size settles what hangs on a key: by the beginning or the end of its path."""

OUTAGES = (LINKS, WORST)
"""The rules that ask for water when something fails."""

ON_THE_GRID = "not needed on the grid"
"""Why none is sized."""


def study_sizing(
    part: PartOfSite,
    case: Studied,
    check: Check,
    at_ends: AtEnds,
    stock: Stock = NO_STOCK,
    progress: Progress | None = None,
    which: WhichDesign = "ordinary",
) -> SizingResult:
    """A design of what the file asks for.

    Parameters:
        part: the user's file as far as it goes
        case: its site
        check: what is found of a site file
        at_ends: what studies say of a case at the worst ends of what is not known
        stock: of the user's own, to choose from
        progress: is told how far a search is
        which: of the designs that a file may have
    Returns:
        the design with what binds each part and what no size settles, or why there is none
    """
    draft = Draft(
        part,
        case.with_site(designs.laid_out(case.site, which)),
        told=case,
        at_ends=None if which == "least" else at_ends,
        stock=stock,
        progress=progress,
        row_dead=which == "reserve",
    )
    unsized: list[tuple[str, str]] = []
    alone = [table for table in ("water_heater", "hand_pump") if draft.says(table)]
    try:
        if _asks_for_pump(draft):
            draft = with_needs(draft)
            from_stock = bool(stock.of("pumps")) and not draft.says("pump")
            draft = catalogue.pump_of(draft, _with_pumps) if from_stock else _with_pumps(draft)
            powered = power.power_of(_with_module(draft))
            if storage.asks_larger(powered):
                powered = power.power_of(storage.tank_of(powered))
            draft = storage.stock_of(powered)
            if draft is not powered:  # What is in store takes modules off.
                draft = power.power_of(draft)
            alone = []
    except NoDesign as none:
        return SizingResult(needs_of(draft), failed=none.reason, lacking=none.needs)
    if case.site.aim.make_least == wiring.GENTLEST and not draft.case.site.pump:
        unsized.append((wiring.GENTLEST, "a matter of pumps: the fewest modules are taken"))
    draft, otherwise = hand.hand_of(draft)
    if otherwise:
        unsized.append(("hand pump", otherwise))
    if draft.case.site.hand_pump is not None:
        draft = storage.stock_of(draft)  # What gives water while it is repaired may be too little.
    try:
        draft = heated_tank.heater_of(draft)
    except NoDesign as none:
        if alone == ["water_heater"]:
            return SizingResult(needs_of(draft), failed=none.reason, lacking=none.needs)
        unsized.append(("heated tank", none.reason.text(draft.system)))
    return _finished(draft, check, unsized)


def _with_module(draft: Draft) -> Draft:
    """The draft with the first module of the stock, where the file wants its pumps on the sun
    and names none."""
    site, there = draft.case.site, draft.stock.of("modules")
    wants = draft.says("sun") or not site.power.grid
    if site.module is not None or not there or not wants:
        return draft
    return catalogue.with_module(draft, there[0])


def _with_pumps(draft: Draft) -> Draft:
    """The draft with everything from the well to the pressure tank."""
    if not _has_pump_on_well(draft.case):
        draft = _pump_added(draft)
    elif _lacks_booster(draft.case.site):
        peak = float(peak_flow(draft.case.site) or 0.0)
        draft = _booster_added(pressure_tank.switch_of(draft), peak)
    for number, table in enumerate(draft.case.site.pump, 1):
        if is_here(draft.case.site, table):
            draft = _hung(draft, number)
            break
    draft = _powered(draft)
    for number, _ in enumerate(draft.case.site.pump, 1):
        draft = wiring.guards_of(draft, number)
    draft = pressure_tank.tank_of(draft)
    draft = storage.tank_of(draft)
    draft = pressure_tank.relief_of(draft)
    draft = _piped_anew(draft)
    draft = pressure_tank.tank_of(_boosted_anew(draft))
    return _guarded_dry(_powered(draft, anew=True))


def _powered(draft: Draft, anew: bool = False) -> Draft:
    """The draft with motors, and the wire and breaker of each; anew only of a motor that the
    duty has outgrown behind the pipes as they are."""
    for number, before in enumerate(draft.case.site.pump, 1):
        draft = _motor_of(draft, number)
        if not anew or draft.case.site.pump[number - 1].rated_power != before.rated_power:
            draft = wiring.breaker_of(wiring.cable_of(draft, number), number)
    return draft


ABOUT_PUMPS = (
    "pump", "pressure_switch", "pressure_tank", "storage_tank", "demand", "piping",
    "well.tested_yield", "well.specific_capacity", "well.drawdown_test", "well.step_test",
)  # fmt: skip
"""Keys by which a file speaks of a powered pump."""

OTHERS = ("water_heater", "hand_pump", "lift")
"""Tables by which it speaks of something else."""


def _asks_for_pump(draft: Draft) -> bool:
    """Whether the file speaks of a powered pump, or of nothing else either."""
    return any(map(draft.says, ABOUT_PUMPS)) or not any(map(draft.says, OTHERS))


def _has_pump_on_well(case: Studied) -> bool:
    return any(is_here(case.site, table) for table in case.site.pump)


def _lacks_booster(site: Site) -> bool:
    """Whether pumps fill a storage tank from which nothing brings the water into the house."""
    filled = any(table.delivers == "storage tank" for table in site.pump)
    drawn = any(table.draws == "storage tank" for table in site.pump)
    return filled and not drawn and site.storage_tank is not None and gravity_head(site) is None


def _pump_added(draft: Draft) -> Draft:
    """The draft with a pump on the well that meets the peak, by itself or by way of a tank."""
    number = len(draft.case.site.pump) + 1
    path, site = f"pump[{number}]", draft.case.site
    waiting = draft.part.waiting.get("pump", [])
    own = keys_of(path, waiting[0]) if waiting else []
    paths = {change.path for change in own}
    by_gravity = _by_gravity(draft)
    if not by_gravity:
        draft = pressure_tank.switch_of(draft)
    begin: list[Change] = [
        set_to(f"{path}.name", NAME),
        set_to(f"{path}.duty.flow", "5 gpm"),
        set_to(f"{path}.duty.head", "200 ft"),
        set_to(f"{path}.intake_depth", deepest_intake(site)),
        set_to(f"{path}.voltage", site.power.inverter_voltage or VOLTAGE),
    ]
    begin = [*own, *(change for change in begin if change.path not in paths)]
    if by_gravity:
        begin.append(set_to(f"{path}.delivers", "storage tank"))
    wide = replace(draft, case=draft.case.with_site(changed_site(draft.case.site, begin)))
    peak = float(peak_flow(site) or peak_flow(draft.case.site) or 0.0)
    sets = tuple(
        Set(change, "a pump is wanted", "") for change in begin
        if change.path not in paths and "duty" not in change.path and "intake" not in change.path
    )  # fmt: skip
    draft = replace(wide, sets=(*draft.sets, *sets))
    cover = cover_wanted(draft.case.site, number)
    if cover is not None:
        reason = "the well is shallow: a pump is asked for that bears so little water above it"
        draft = draft.set([set_to(f"{path}.minimum_submergence", cover)], reason, "submergence")
    if by_gravity or any(pump.draws == "storage tank" for pump in site.pump):
        if not by_gravity:
            draft = storage.with_cistern(draft, number)
        return _filling(draft, number, peak)
    sized = direct_flow(draft.case, number, peak, draft.in_any_season)
    if sized is not None:
        return draft.chosen(sized)
    bridged = _bridged_by_tank(draft, number, peak)
    if bridged is not None:
        return bridged
    draft = storage.with_cistern(draft, number)
    draft = _filling(draft, number, peak)
    return _booster_added(draft, peak)


def _by_gravity(draft: Draft) -> bool:
    """Whether a storage tank above the house gives its pressure, and no switch is there."""
    site = draft.case.site
    if site.pressure_switch is not None or site.storage_tank is None:
        return False
    return gravity_head(site) is not None


def _bridged_by_tank(draft: Draft, number: int, peak: float) -> Draft | None:
    """A pump as large as the well bears, with a pressure tank that bridges the peak; None where
    none is large enough."""
    sized = borne_flow(draft.case, number, peak, draft.in_any_season, (DAILY,))
    if not sized.passes:
        return None
    tried = draft.chosen(sized)
    # How long its motor has to run decides what the tank has to spare.
    motored = _motor_of(tried, number)
    # More than one tank for the peak costs more than a storage tank and a booster.
    largest = sizes("pressure tank", kinds.VOLUME, draft.system)[-1]
    is_told = draft.says("pressure_tank.volume")
    changes = [] if is_told else [set_to("pressure_tank.volume", largest)]
    choice = Choice("pump", (), ("well",), (PEAK,))
    with_tank = trial(motored.case, choice, Candidate("", tuple(changes)))
    return tried if with_tank.short is None else None


def _filling(draft: Draft, number: int, peak: float) -> Draft:
    """The draft with the largest pump that the well bears and the day's water asks for, to fill
    the storage tank."""
    for protected in (draft, _stopped_dry(draft, number)):
        sized = borne_flow(protected.case, number, peak, draft.in_any_season, (DAILY, WELL_GIVES))
        fails = [verdict for verdict in sized.chosen.verdicts if verdict.status == "fail"]
        if not fails:
            return protected.chosen(sized)
    own = [verdict for verdict in fails if verdict.rule in (DAILY, WELL_GIVES)]
    raise NoDesign((own or fails)[0].reason)


def _stopped_dry(draft: Draft, number: int) -> Draft:
    """The draft with a pump on the well that stops before it draws air, where that is open."""
    table, key = draft.case.site.pump[number - 1], f"pump[{number}].dry_run_protection"
    if draft.says(key):
        return draft
    own = [Candidate(DRY_RUN, (set_to(key, True),))]
    return draft.choose(Choice(DRY_RUN, own, AT_WORK, OF_THE_WELL, subjects=[table.name]))


def _booster_added(draft: Draft, peak: float) -> Draft:
    """The draft with a pump that presses the peak from the storage tank into the house."""
    number = len(draft.case.site.pump) + 1
    path = f"pump[{number}]"
    begin = [
        set_to(f"{path}.name", BOOSTER),
        set_to(f"{path}.draws", "storage tank"),
        set_to(f"{path}.delivers", "pressure tank"),
        set_to(f"{path}.duty.flow", "5 gpm"),
        set_to(f"{path}.duty.head", "200 ft"),
        set_to(f"{path}.voltage", draft.case.site.power.inverter_voltage or VOLTAGE),
    ]
    changes = with_duty(draft.case.site, number, peak * ABOVE, begin)
    return draft.set(changes, PRESSES, "booster's peak")


def _boosted_anew(draft: Draft) -> Draft:
    """The draft with the duty of a booster that is not chosen, behind the pipes as they are."""
    site, peak = draft.case.site, peak_flow(draft.case.site)
    for number, table in enumerate(site.pump, 1):
        if table.draws == "storage tank" and table.duty is not None and peak:
            duty = duty_of(site, number, peak * ABOVE)
            draft = draft.set(duty, PRESSES, "booster's peak")
    return draft


def _hung(draft: Draft, number: int) -> Draft:
    """The draft with intake and pipes of a pump on the well, and its duty with them."""
    table, flow = draft.case.site.pump[number - 1], _flow_of(draft, number)
    if table.duty is not None and not draft.says(f"pump[{number}].intake_depth"):
        draft = draft.chosen(intake(draft.case, number, flow))
    if not draft.says("piping.lateral.size"):
        # Until it is chosen itself, the lateral is as wide as any, so that it binds nothing.
        wide = draft.case.with_site(changed_site(draft.case.site, [pipes.widest()]))
        draft = replace(draft, case=wide)
    return _piped(draft, number, flow)


def _piped(draft: Draft, number: int, flow: float) -> Draft:
    """The draft with drop pipe and lateral, until neither asks another of the other: what one
    loses is head of the duty, which presses on both."""
    chosen = draft.case.site.pump[number - 1].duty is None
    for _ in range(MOST_ROUNDS):
        before = draft.case.site
        for run in pipes.RUNS:
            rest = tuple if chosen else partial(with_duty, draft.case.site, number, flow)
            draft = pipes.pipe_of(draft, run, number, flow, rest)
        if draft.case.site == before:
            break
    return draft


def _flow_of(draft: Draft, number: int) -> float:
    return draft.case.pumps[number - 1].duties[0].pump_flow


def _piped_anew(draft: Draft) -> Draft:
    """The draft with its pipes behind whatever relief valve stands at the tank."""
    for number, table in enumerate(draft.case.site.pump, 1):
        if is_here(draft.case.site, table):
            return _piped(draft, number, _flow_of(draft, number))
    return draft


def _motor_of(draft: Draft, number: int) -> Draft:
    """The draft with the smallest motor that drives a pump on this well."""
    table, path = draft.case.site.pump[number - 1], f"pump[{number}]"
    part = f"motor, {table.name}"
    own = table.rated_power is not None and not draft.has_sized(part)
    if own or table.supply == "DC" or table.power is not None:
        return draft
    candidates = [
        Candidate(show(size, size.kind, draft.system), (set_to(f"{path}.rated_power", size),))
        for size in sizes("motor", kinds.SHAFT_POWER, draft.system)
    ]
    choice = Choice(
        part, candidates, ("pumps",), (motor_guards.LOAD,),
        subjects=[table.name], rising=True, settles=True,
    )  # fmt: skip
    return draft.choose(choice)


def _guarded_dry(draft: Draft) -> Draft:
    """The draft with dry-run protection where the well may be pumped off."""
    for number, table in enumerate(draft.case.site.pump, 1):
        key = f"pump[{number}].dry_run_protection"
        if table.draws != "well" or draft.says(key) or table.dry_run_protection:
            continue
        own = [Candidate("none"), Candidate(DRY_RUN, (set_to(key, True),))]
        choice = Choice(DRY_RUN, own, AT_WORK, OF_THE_WELL, subjects=[table.name])
        draft = draft.choose(choice)
    return draft


def _finished(draft: Draft, check: Check, unsized: Sequence[tuple[str, str]]) -> SizingResult:
    """The design as it is written, and what its own check says of it."""
    text = design_text(draft.part.text, draft.sets)
    results = check(parse_part(text, draft.part.file.path).file)
    return SizingResult(
        needs=needs_of(draft),
        pumps=tuple(_wanted(draft)),
        parts=tuple(_part(sized, draft) for sized in draft.sized),
        changes=tuple(element_set.change for element_set in draft.sets),
        text=text,
        results=results,
        refused=tuple(_refused(draft)),
        ways=draft.ways,
        dead=draft.dead,
        left=tuple(_left(results, draft)),
        missed=draft.missed,
        unsized=(*unsized, *_unsized(draft)),
    )


def _wanted(draft: Draft) -> Iterator[PumpWanted]:
    """What is asked of each pump that is not chosen, at the end of what is not known that the
    design is laid out for."""
    for number, (table, pump) in enumerate(
        zip(draft.case.site.pump, draft.case.pumps, strict=True), 1
    ):
        if table.duty is not None:
            yield _pump_wanted(draft, number, pump)


def _pump_wanted(draft: Draft, number: int, pump: PumpResult) -> PumpWanted:
    site = draft.case.site
    table = site.pump[number - 1]
    on_well = on_site(site, number)
    least = least_shut_off(on_well, site)
    if least:
        # Pumped down at cut-out, it still has its margin left.
        last = pump.duties[-1]
        pressed = (last.pressure, last.pressure + site.limits.cut_out_margin)
        standing, above = (
            on_well.line.static_head(on_well.level.at(0.0), height) for height in pressed
        )
        least = max(least, last.total_dynamic_head + above - standing)
    water = max(duty.water_power for duty in pump.duties)
    # The smallest motor that is sold takes more than a trickle of water asks.
    energy, time = pump.daily_energy, pump.daily_run_time
    running = energy / time if energy and time else 0.0
    return PumpWanted(
        name=table.name,
        duties=pump.duties,
        least_shut_off=least or None,
        most_shut_off=None,
        water_power=water,
        least_power=water / EFFICIENCIES[1],
        most_power=max(water / EFFICIENCIES[0], running),
        motor=None if table.rated_power is None else float(table.rated_power),
        daily_energy=pump.daily_energy,
        daily_run_time=pump.daily_run_time,
    )


def _part(sized: Sized, draft: Draft) -> PartSized:
    binding, short = sized.binding, None
    if sized.smaller is not None and sized.passes:
        short = sized.smaller.short
    bound_by = sized.least if binding is None else binding.rule.key
    if not sized.passes and sized.part in (heated_tank.MODULES, heated_tank.ELEMENT):
        bound_by = STOPS_PAYING if draft.missed else bound_by
    return PartSized(
        part=sized.part,
        size=sized.candidate.label,
        bound_by=bound_by,
        rule="" if binding is None else binding.rule.key,
        smaller="" if sized.smaller is None else sized.smaller.candidate.label,
        falls_short=None if short is None else short.reason,
        passes=sized.passes,
        stands="pass" if sized.passes or sized.chosen.short is None else sized.chosen.short.status,
        tried=sized.tried,
        shut_out=dict(sized.shut_out),
    )


def _refused(draft: Draft) -> Iterator[Refused]:
    """What of the stock does not do: of parts that are chosen of it, and of the others."""
    chosen = {sized.part: sized.refused for sized in draft.sized if sized.refused}
    for part in dict.fromkeys([*draft.refused, *chosen]):
        things = {**draft.refused.get(part, {}), **chosen.get(part, {})}
        yield from (Refused(part, name, rule) for name, rule in things.items())


def _left(results: Results, draft: Draft) -> Iterator[LeftOpen]:
    """Verdicts of the design that do not pass, each with why no size settles it."""
    for verdict in results.verdicts:
        if verdict.status == "pass":
            continue
        yield LeftOpen(
            verdict.rule.key,
            verdict.subject,
            verdict.status,
            verdict.reason,
            _why_left(verdict.needs, draft.case.site)
            if verdict.needs
            else _why_kept(draft, verdict),
            verdict.needs,
        )


def _why_left(needs: Sequence[str], site: Site) -> str:
    of_inverter = any(key.startswith("power.inverter") for key in needs)
    if of_inverter and site.power.grid and not has_inverter(site):
        return ON_THE_GRID
    for key in needs:
        for mark, why in FACTS:
            if key.startswith(mark) or key.endswith(mark):
                return why
    return "facts of the house"


def _why_kept(draft: Draft, verdict: Verdict) -> str:
    """Why a verdict that hangs on no fact stays open: a part of the file is kept, nothing feeds
    the pumps so far, or nothing that is sold helps."""
    name = replaced.kept_part(draft.part, verdict)
    if not name and verdict.rule in OUTAGES and _lacks_sun(draft):
        return "nothing feeds the pumps before their modules are told"
    if not name:
        return "no size that is sold settles it"
    return f"kept as in the file, --replace {as_argument(name)} sizes another"


def as_argument(name: str) -> str:
    """A name as it is typed on a command line: in quotes where a shell would part it.

    Parameters:
        name: any text
    Returns:
        such as `inverter`, `'house pump'` or `"tank's modules"`
    """
    apostrophe = "'" in name and not set(name) & set('"$`\\!')
    return f'"{name}"' if apostrophe else shlex.quote(name)


def _lacks_sun(draft: Draft) -> bool:
    """Whether pumps that could run on modules have none because no module is told."""
    site = draft.case.site
    on_grid = draft.says("power") and site.power.grid
    return bool(site.pump) and site.module is None and not on_grid


def _unsized(draft: Draft) -> Iterator[tuple[str, str]]:
    site = draft.case.site
    if _lacks_sun(draft):
        yield (
            "array and battery",
            "give [module]" if draft.says("sun") else "give [module] and [sun]",
        )
    on = element_on_array(site) if site.water_heater is not None else None
    if on is not None and (on.group.cable is None or on.group.cable.length is None):
        own = draft.part.file.tables.get("array")
        table = '[[array]] with feeds = "heater" and cable = { length = ... }'
        key = f"{on.group_path}.cable.length"
        yield "cable from array to heater", f"give {key if own else table}"
    drawn_from = {pump.well for pump in (*site.pump, site.hand_pump) if pump is not None}
    for well in site.other_well:
        if well.name not in drawn_from:
            yield f"a pump in {well.name}", "size it in a file that has this well as its [well]"
    for name in draft.part.waiting:
        if name not in ("pump", "water_heater", "array", "hand_pump"):
            yield name, "its own sizing"
