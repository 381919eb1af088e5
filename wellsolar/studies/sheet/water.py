"""Water at rest, tank air, hands, disinfection, the night and the sample."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from wellsolar import kinds
from wellsolar.results.hand import HandPumpResult
from wellsolar.results.moves import (
    ALL_HEAT,
    ALL_PUMPS,
    EMPTY,
    FULL,
    HANDLE,
    HEATER_WATER,
    HOT_TAP,
    OFF,
    ON,
    OPEN,
    SHUT,
    TAP,
    Move,
    pump_switch,
)
from wellsolar.results.readings import Phase, SheetLine, SheetStep
from wellsolar.site.part_names import (
    BYPASS,
    COLD,
    FROST_DRAIN,
    HAND_RELIEF,
    HEATER_DRAIN,
    HOUSE_MAIN,
    TANK_DRAIN,
)
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import Site
from wellsolar.studies.hand.effort import BUCKET
from wellsolar.studies.house.chain import boosters, fillers
from wellsolar.studies.house.wells import name_of, views
from wellsolar.studies.plumbing.layout import (
    freezes,
    hand_at_rest,
    hand_into_tank,
    hand_off_the_tank,
    hand_to_spout,
    house_drains,
    into_tank,
    layout_of,
    stand_of,
)
from wellsolar.studies.reading.hand import counted
from wellsolar.studies.reading.level import at_rest
from wellsolar.studies.reading.table import boxes_of
from wellsolar.studies.reading.visit import Job, Visit
from wellsolar.studies.sheet.guards import flag_lines, hand_relief
from wellsolar.studies.sheet.power import heater_supplies, standing
from wellsolar.studies.well.sanitary import FIELD, SEPTIC
from wellsolar.units import Quantity
from wellsolar.verdicts import listed

DOSE = "50 mg/L or more, or what the local health office asks"
"""Free chlorine in the pipes: a Californian county and a Canadian health service, read."""

CONTACT = "24 h without draw, or what the local health office asks"
"""Time that it stays in well and pipes: the same county, read."""

NO_CHLORINE = "none by test strip"
"""A sample with chlorine in it reads clean: county health department of Ottawa, Ohio, read."""

WAIT = "48 h or more of usual draw, still not drunk"
"""Between the last chlorine and the sample: the same, read."""

PRIMED = "3 or fewer"
"""Strokes that a foot valve in order takes: common practice, no source."""

PUMPS_OFF = Move(ALL_PUMPS, OFF)

LIFTED = 0.25
"""The same for lifts of which only a flow is told: people differ; our choice [-]."""


KEEP_CLEAR = "Keep hands clear of the rod and the lever's joint."


def water_steps(visit: Visit) -> list[SheetStep]:
    """Water at rest, the tank's air, storage, and what hands lift.

    Parameters:
        visit: with nothing read
    """
    wells = [_well(visit), *_other_wells(visit)]
    return [*wells, _tank(visit), *_storage(visit.job.site), *_hands(visit.job)]


def _other_wells(visit: Visit) -> Iterator[SheetStep]:
    """Water at rest in the wells beside the first."""
    first = _well(visit)
    for number, view in enumerate(views(visit.job.site)[1:], 1):
        level = SheetLine("static level", at_rest(view.well))
        title = f"{first.title}: {name_of(view.well)}"
        lines = (*_setbacks(view), level)
        yield replace(first, key=f"well_{number}", title=title, lines=lines)


def _well(visit: Visit) -> SheetStep:
    """Water at rest."""
    off = ", breakers locked" if visit.job.site.pump else ""
    before = (
        f"No water drawn for some hours{off}. Clean and disinfect tape, hands and whatever else "
        "goes into the well; close its cap after. Many places let only licensed people open a "
        "well."
    )
    lines = (*_setbacks(visit.job.site), *boxes_of("well", visit))
    return SheetStep("well", "Water at rest", before, lines, "water", (PUMPS_OFF,))


def _setbacks(site: Site) -> list[SheetLine]:
    """The distances to what is drained into the ground that the file lacks."""
    values = {
        f"nearest {SEPTIC}, the neighbours' too": (
            site.well.septic_tank_distance, "50 ft (15 m) or more from the well"),
        f"nearest {FIELD}, seepage pit or latrine, the neighbours' too": (
            site.well.drain_field_distance, "100 ft (30 m) or more from the well"),
    }  # fmt: skip
    ask = ", or what the local health office asks"
    return [SheetLine(text, None, words + ask) for text, (given, words) in values.items()
            if given is None]  # fmt: skip


def _tank(visit: Visit) -> SheetStep:
    """Air of the drained pressure tank, cut off from heater and house meanwhile."""
    site = visit.job.site
    drained = (Move(HOUSE_MAIN, SHUT), Move(TANK_DRAIN, OPEN))
    heater = ""
    if site.water_heater is not None:
        heater = f" Off and locked too: {listed(heater_supplies(site))}."
    before = (
        f"Every pump's breaker off and locked.{heater} {standing(drained)}, until the gauge shows "
        "nothing and while air goes in or out. Never let in more than the tank's plate allows. "
        f"After it {stand_of(_back(drained))}."
    )
    lines = tuple(boxes_of("tank", visit))
    moves = (PUMPS_OFF, Move(ALL_HEAT, OFF), *drained)
    title = "Pressure tank, drained"
    return SheetStep("tank", title, before, lines, "water", moves, _back(drained))


def _back(moves: tuple[Move, ...]) -> tuple[Move, ...]:
    """Valves brought back in the other order."""
    other = {OPEN: SHUT, SHUT: OPEN}
    return tuple(Move(move.thing, other[move.to]) for move in reversed(moves))


def _storage(site: Site) -> list[SheetStep]:
    """What keeps a cistern clean."""
    if site.storage_tank is None:
        return []
    lines = [
        SheetLine("storage tank's cover", None, "tight, over its frame, and locked",
                  "storage_tank.covered"),
        SheetLine("storage tank's vent and overflow", None, "screened, ends looking down",
                  "storage_tank.overflow"),
        SheetLine("storage tank's inlet", None,
                  "ends 4 in (100 mm) or more above the overflow's rim"),
    ]  # fmt: skip
    if fillers(site):
        words = "lifted by hand starts and stops what fills it, at the levels of the file"
        lines.append(SheetLine("storage tank's floats", None, words))
    if boosters(site):
        words = "lowered by hand it stops every pump that draws, with water left above the outlet"
        lines.append(
            SheetLine("storage tank's low float", None, words, "storage_tank.stops_below")
        )
    before = (
        "Pumps off at their breakers. Looked at from outside: nobody climbs in, as the air in a "
        "tank can kill."
    )
    return [SheetStep("storage", "Storage tank", before, tuple(lines), "water", (PUMPS_OFF,))]


def _hands(job: Job) -> list[SheetStep]:
    """The hand pump to its spout, then into the tank, and other lifts."""
    hand, site = job.case.hand_pump, job.site
    off = "Electric pumps off at their breakers. " if site.pump else ""
    steps = []
    if hand is not None:
        lines = (*_at_the_spout(job, hand), *flag_lines(site, "frost_drain"))
        stand = standing(hand_to_spout(site))
        before = f"{off}{KEEP_CLEAR}{f' {stand}.' if stand else ''}"
        moves = (PUMPS_OFF, *hand_to_spout(site), Move(HANDLE, ON))
        after = (Move(HANDLE, OFF), *hand_at_rest(site))
        steps.append(SheetStep("hand_pump", "Hand pump", before, lines, "water", moves, after))
        steps += _into_the_tank(site, hand, off)
    for number, lift in enumerate(job.case.lifts, 1):
        task = lift.task("bucket")
        if task is not None and task.time > 0.0 and lift.flow > 0.0:
            low, high = task.time * (1 - LIFTED), task.time * (1 + LIFTED)
            time = Quantity(task.time, kinds.DURATION, low, high)
            line = SheetLine("time to fill a 20 L (5.3 gal) bucket", time)
            before = f"{off}Hands and loose clothes off the gear and the rope."
            key = f"lift_{number}"
            steps.append(SheetStep(key, lift.name, before, (line,), "water", (PUMPS_OFF,)))
    return steps


def _at_the_spout(job: Job, hand: HandPumpResult) -> list[SheetLine]:
    """Strokes for a bucket, and until water comes."""
    duty = hand.duty("spout")
    if not hand.draws_water or duty is None:
        return [SheetLine("water at the spout", None, "none: it does not reach the water here")]
    return [
        *boxes_of("hand", Visit(job, Readings("sheet", {}))),
        SheetLine(
            "after an hour at rest, strokes until water comes",
            None,
            PRIMED,
            "hand_pump.needs_priming" if hand.kind == "suction" else "",
        ),
    ]


def _into_the_tank(site: Site, hand: HandPumpResult, off: str) -> list[SheetStep]:
    """Strokes for a tank, with the relief valve that guards the pump lifted first."""
    if into_tank(site) is None or not hand.draws_water:
        return []
    lines = hand_relief(site)[-1:]
    task = hand.task("tank")
    if task is not None and task.strokes is not None:
        text = "strokes to raise the tank from cut-in to cut-out"
        lines.append(SheetLine(text, counted(task.strokes)))
    inlet = hand.duty("inlet")
    if inlet is not None:
        text = "strokes to fill a 20 L (5.3 gal) bucket at the storage tank's inlet"
        lines.append(SheetLine(text, counted(BUCKET / inlet.stroke_volume)))
    before = (
        f"{off}{KEEP_CLEAR} {standing(hand_into_tank(site))}: never pump against a shut "
        f"valve. Few slow strokes until the {HAND_RELIEF} is lifted. After it and before any "
        f"breaker goes on, {stand_of(hand_at_rest(site))}."
    )
    moves = (PUMPS_OFF, *hand_into_tank(site), Move(HANDLE, ON))
    after = (Move(HANDLE, OFF), *hand_at_rest(site))
    title = "Hand pump into the tank" if inlet is None else "Hand pump into the storage tank"
    return [SheetStep("hand_tank", title, before, tuple(lines), "water", moves, after)]


def clean_step(site: Site) -> SheetStep:
    """Disinfection after the work in the well, with every pump that can circulate it proven."""
    where = "tap" if site.pump or site.pressure_tank is not None else "spout"
    warm = ", hot side and cold" if site.water_heater is not None else ""
    lines = []
    if site.piping.treatment_loss > 0.0:
        words = "bypassed before chlorine comes, in line again when none is left"
        lines.append(SheetLine("softener, carbon, membrane and filters", None, words))
    if site.pump:
        casing = "each casing" if site.other_well else "the casing"
        words = f"by a hose into {casing}, its wall washed down, until a strip shows the dose"
        lines.append(SheetLine("circulation down the casing", None, words))
    else:
        words = "wall and rods washed down, then lifted until a strip at the spout shows the dose"
        lines.append(SheetLine("chlorine down the casing", None, words))
    if site.storage_tank is not None:
        words = "filled with it to the overflow, then emptied and rinsed, from outside"
        lines.append(SheetLine("storage tank", None, words))
    if site.water_heater is not None:
        words = "filled with it, then flushed at its drain until none is left"
        lines.append(SheetLine("water heater, cold", None, words))
    lines += [
        SheetLine(f"free chlorine at each {where}{warm}", None, DOSE),
        SheetLine("contact time", None, CONTACT),
        SheetLine(f"free chlorine at each {where} and at the well after flushing", None,
                  NO_CHLORINE),
    ]  # fmt: skip
    heater = ""
    if site.water_heater is not None:
        heater = f", the water heater off and cold: {listed(heater_supplies(site))} off and locked"
    before = (
        "Disinfect well and pipes as the local health office asks. From here until the sample is "
        f"found clean nobody drinks, cooks with or bathes in the water{heater}. Gloves and "
        "goggles; chlorine never with acid or another cleaner: the gas kills. Flush outdoors, "
        "away from plants, the septic tank and any stream."
    )
    phase: Phase = "power" if site.pump else "water"
    moves, after = _while_cleaned(site)
    bypass = f" {standing(_bypass(site))}, shut when the last is flushed." if _bypass(site) else ""
    title = "Well and pipes, disinfected"
    return SheetStep("clean", title, f"{before}{bypass}", tuple(lines), phase, moves, after)


def _bypass(site: Site) -> tuple[Move, ...]:
    """The treatment bypassed, where water passes one."""
    named = any(fitting.name == BYPASS for fitting in layout_of(site))
    return (Move(BYPASS, OPEN),) if named else ()


def _while_cleaned(site: Site) -> tuple[tuple[Move, ...], tuple[Move, ...]]:
    """What is done before the chlorine goes down, and when the last is flushed."""
    before, after = [Move(ALL_HEAT, OFF), *_bypass(site)], list(_back(_bypass(site)))
    if site.pump:
        first = pump_switch(site.pump[0].name)
        before += [PUMPS_OFF, *hand_off_the_tank(site), Move(TAP, OPEN), Move(first, ON)]
        after = [Move(first, OFF), Move(TAP, SHUT), *after]
    if site.water_heater is not None:
        after = [Move(HEATER_DRAIN, OPEN), Move(HEATER_DRAIN, SHUT), *after]
    return tuple(before), tuple(after)


def rest_steps(visit: Visit) -> list[SheetStep]:
    """What is read after days: the night's loss, the sample, then the house emptied for frost.

    Parameters:
        visit: with nothing read
    """
    site = visit.job.site
    return [_night(visit), _sample(site), *_left_in_frost(site)]


def _night(visit: Visit) -> SheetStep:
    """What the system loses overnight."""
    site = visit.job.site
    heater = site.water_heater
    moves = [PUMPS_OFF, Move(ALL_HEAT, OFF), Move(TAP, SHUT)]
    shut = [Move(HOUSE_MAIN, SHUT)] if heater is None and _has_main(site) else []
    before = "Pumps off at their breakers, every tap shut"
    before += f", {stand_of(shut)}." if shut else "."
    if heater is not None:
        stay = f"{COLD} open"
        if not heater.check_valve:
            stay = f"{COLD} and {HOUSE_MAIN} open, as its water expands into the pressure tank"
        before += (
            " Off and locked too, as water that warms or cools moves the gauge: "
            f"{listed(heater_supplies(site))}. {stay[0].upper()}{stay[1:]}."
        )
    before += " Note the hour and the gauge."
    before += f" In the morning {stand_of(_back(tuple(shut)))}." if shut else ""
    lines = tuple(boxes_of("night", visit))
    after = _back(tuple(shut))
    return SheetStep("night", "Overnight", before, lines, "at rest", (*moves, *shut), after)


def _has_main(site: Site) -> bool:
    """True where a valve parts the pressure tank from the taps."""
    return any(fitting.name == HOUSE_MAIN for fitting in layout_of(site))


def _left_in_frost(site: Site) -> list[SheetStep]:
    """How a house that nobody warms is emptied before a frost and filled again, tried once."""
    drains = house_drains(site)
    if not freezes(site) or not drains:
        return []
    heater = site.water_heater is not None
    opened = [Move(name, OPEN) for name in drains]
    drained = [move for move in hand_at_rest(site) if move.thing == FROST_DRAIN]
    supplies = ["every pump's breaker"] if site.pump else []
    supplies += heater_supplies(site)
    off = f"Off and locked: {listed(supplies)}. " if supplies else ""
    scalds = " Cold first: the heater's water scalds for days." if heater else ""
    standing_so = standing([*opened, *drained])
    by_hand = "Toilets, softener and filters are" if _bypass(site) else "Toilets are"
    filled = "a pump on" if site.pump else "water pumped in by hand"
    full = " Heat only on a tank that is full." if heater else ""
    before = (
        f"For a house left unheated in frost; tried once while it is warm. {off}{standing_so}, "
        f"every tap open, hot and cold.{scalds} {by_hand} emptied by "
        f"hand, traps filled with antifreeze for drinking water. All stays open until people come "
        f"back. Then {stand_of(_back(tuple(opened)))}, {filled}, each tap open until it runs "
        f"without air.{full}"
    )
    if site.storage_tank is not None:
        before += " The storage tank and its pipes are emptied too, where they freeze."
    if any(table.kind == "suction" for table in site.pump):
        before += " A suction pump is emptied at its plug and primed again."
    lines = [
        SheetLine("gauge and every tap, drains open", None, "no pressure, air and no water"),
        SheetLine("pipes that sag on their way", None, "none, or with a drain of their own"),
        SheetLine("full again: taps and drains", None, "no air, no drip"),
    ]  # fmt: skip
    moves = [*([PUMPS_OFF] if site.pump else []), Move(ALL_HEAT, OFF), *drained, *opened]
    moves += [Move(TAP, OPEN), Move(HOT_TAP, OPEN), Move(HEATER_WATER, EMPTY)]
    after = [*_back(tuple(opened)), *hand_off_the_tank(site)]
    first = [pump_switch(site.pump[0].name)] if site.pump else []
    after += [Move(name, ON) for name in first]
    after += [Move(HEATER_WATER, FULL)] if heater else []
    after += [*(Move(name, OFF) for name in first), Move(HOT_TAP, SHUT), Move(TAP, SHUT)]
    title = "House left in frost, emptied"
    return [SheetStep("frost", title, before, tuple(lines), "at rest", tuple(moves), tuple(after))]


def _sample(site: Site) -> SheetStep:
    """Bacteria, when the chlorine is long gone."""
    bypass = _bypass(site)
    place = "a tap or spout"
    lines = (
        SheetLine("since the last chlorine", None, WAIT),
        SheetLine(f"free chlorine at {place}, just before", None, NO_CHLORINE),
        SheetLine("coliform bacteria in the sample", None, "none, by a laboratory"),
    )
    first = f"{standing(bypass)}, shut again after it. " if bypass else ""
    before = (
        f"{first}At {place}, no hose or screen on it, its mouth wiped with chlorine and rinsed, "
        "water run for some minutes. The laboratory's own bottle, kept cool, there the same day. "
        "Nobody drinks the water before the laboratory finds it clean."
    )
    moves = (*bypass, Move(TAP, OPEN))
    after = (Move(TAP, SHUT), *_back(bypass))
    return SheetStep("sample", "Sample of the water", before, lines, "at rest", moves, after)
