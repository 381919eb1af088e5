"""Failures on the owner's card: their names, how an owner knows them, and what is done then."""

from __future__ import annotations

from dataclasses import replace

from wellsolar.physics.hand.human_power import LONGEST_EFFORT
from wellsolar.results.card import DAY, DAYS, PERSONS, TIME, WATER, WHOLE_HOURS
from wellsolar.results.moves import (
    GENERATOR,
    HANDLE,
    OFF,
    ON,
    OPEN,
    SHUT,
    TAP,
    TRANSFER,
    Move,
    Step,
    pump_switch,
)
from wellsolar.results.outages import Outage, OutageCell
from wellsolar.studies.card.boxes import PUMPS_OFF, hand_done, pumps_off
from wellsolar.studies.card.site import (
    INTO_HOUSE,
    LIFT,
    SOURCES,
    SPOUT,
    STORED,
    Seen,
    act,
    pumps_in_order,
    valves,
)
from wellsolar.studies.house.chain import boosters
from wellsolar.studies.outage.study import NO_PRESSURE
from wellsolar.studies.plumbing import layout
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, say

TAP_OPEN = "a tap open, pump: water comes stroke by stroke."

GETS = {
    "valve": "a valve that lets the hand pump fill a bucket",
    "cylinder": "the hand pump's cylinder hung deeper",
    "modules": "a group of modules wired to the pump or the battery",
    "storage": "a storage tank",
    "hand pump": "a deep-well hand pump",
    "generator": "a generator",
}
"""What a change of the outage study is for an owner."""

HANDS = "no power at all"
"""The failure that is left to hands and stored water, to which others point."""

LITTLE_SUN = "little sun for {days}"


def steps_of(seen: Seen, outage: Outage) -> tuple[Sentence, ...]:
    """What to do in an outage, in order."""
    pumps = pumps_in_order(seen, outage)
    if pumps and pumps[0].pressure == "short cycling":
        return _bursts(seen, outage, pumps[0])
    steps: list[Sentence] = []
    by_hand = _by_hand(seen, outage)
    if not pumps and seen.has.pumps and "pressure tank" in outage.failed:
        # Without the tank's air the switch would hammer the pump as soon as there is power.
        steps.append(pumps_off(seen))
    if pumps:
        lone = outage.key.startswith("pump_")
        steady = tuple(cell for cell in pumps if cell.pressure != "short cycling")
        steps += [*_power(seen, outage, pumps[0]), *_pumps(seen, outage, steady, lone)]
        if len(steady) == 1 < len(pumps):
            # The next pump would hammer without the tank's air: it needs taps that stay open.
            begin = "" if seen.fills(pumps[0].source) else "No water? "
            return (*steps, *_bursts(seen, outage, pumps[1], begin))
        rest = _rest(seen, outage)
        if rest is not None:
            return (*steps, rest)
    steps += by_hand
    stored = _stored(seen, outage)
    if not pumps and not by_hand:
        why = "Nothing here lifts water now."
        steps.append(say(why + " Save what is left, bring water in, call for help."))
        steps += [*_reasons(outage), *_get(seen, outage)]
    return (*steps, *stored)


def notes_of(seen: Seen, outages: list[Outage]) -> tuple[Sentence, ...]:
    """For what and whom the water of the worst of some outages with the same steps suffices, the
    work at the handle where only that is left, and the hot water."""
    worst = min(outages, key=lambda outage: outage.volume)
    notes = [_gives(seen, worst)] if worst.volume > 0.0 else []
    return (*notes, *_hot(outages))


def _power(seen: Seen, outage: Outage, cell: OutageCell) -> list[Sentence]:
    """What brings power to the pump that is to run; no pump runs while its source changes."""
    failed, power = set(outage.failed), seen.site.power
    if cell.power == "generator":
        hours = Quantity(power.generator_hours, TIME)
        # A motor on a generator that starts up or dies burns: the breaker comes after the engine
        # and goes before it.
        begin = "Pumps OFF. Start the generator outdoors, far from doors and windows."
        moves = [PUMPS_OFF, Move(GENERATOR, ON)]
        if seen.switches_over:
            begin += " Transfer switch to GENERATOR."
            moves.append(Move(TRANSFER, "generator"))
        last = " Fuel for {hours} a day: pumps OFF before the engine stops."
        return [act(begin + last, *moves, hours=hours)]
    if cell.power in ("inverter", "battery"):
        if cell.power == "inverter" and "grid" in failed and power.grid and seen.switches_over:
            return [_over("inverter", " Save power.")]
        return [act("Save power.")]
    if cell.power == "grid" and {"inverter", "battery"} & failed and seen.switches_over:
        return [_over("grid", "")]
    return []


def _over(source: str, then: str) -> Step:
    """The transfer switch brought to a source, with nothing running on it."""
    template = f"Pumps OFF. Transfer switch to {SOURCES[source]}.{then}"
    return act(template, PUMPS_OFF, Move(TRANSFER, source))


def _pumps(
    seen: Seen, outage: Outage, pumps: tuple[OutageCell, ...], lone: bool
) -> list[Sentence]:
    """The pumps to try, one after the other; `lone` where one of them is all that has failed."""
    by_day = " It runs while the sun shines: fill all you have." if pumps[0].power == "sun" else ""
    begin = "Run the {pump}: box {box}."
    if lone and len(pumps) == 1 and len(seen.pumps) == 2:
        # One title stands for either pump, and so do the steps, unless their boxes differ.
        begin = "Run the other pump: box {box}."
    drawn = ""
    torn = any(cell.pressure == "short cycling" for cell in outage.cells)
    if boosters(seen.site) and not torn and all(seen.fills(cell.source) for cell in pumps):
        drawn = " Draw at the storage tank's outlet."
    if "storage tank" in outage.failed and all(seen.fills(cell.source) for cell in pumps):
        drawn = " Draw at the end of its pipe."
    steps: list[Sentence] = [_run(seen, begin + by_day + drawn, pumps[0])]
    if len(pumps) > 1:
        off = Move(pump_switch(pumps[0].source), OFF)
        template = f"No water? Its {seen.switch} OFF, then the {{pump}}: box {{box}}."
        if seen.fills(pumps[0].source) and not seen.fills(pumps[1].source):
            template = template.replace("No water?", "Tank full?")
        steps.append(_run(seen, template, pumps[1], off))
    return steps


def _run(seen: Seen, template: str, cell: OutageCell, *moves: Move) -> Step:
    """A pump run by its box."""
    key = seen.pump_box(cell.source)
    parts = {"pump": cell.source} if "{pump}" in template else {}
    return act(template, *moves, boxes=(key,), of=cell.source, box=seen.box(key), **parts)


def _rest(seen: Seen, outage: Outage) -> Sentence | None:
    """Where no pump brings water: the steps that stand under another failure already."""
    hands = next((outage for outage in seen.outages.outages if outage.key == "hands"), None)
    if hands is None or pumps_in_order(seen, hands):
        return None
    if (_by_hand(seen, hands), _stored(seen, hands)) != (
        _by_hand(seen, outage), _stored(seen, outage),
    ):  # fmt: skip
        return None
    return say(f"Still no water: as with {HANDS.upper()}.")


def _by_hand(seen: Seen, outage: Outage) -> list[Sentence]:
    """The handles that work, the easiest first."""
    steps: list[Sentence] = []
    for name in outage.order:
        cell = outage.cell(name)
        if cell.kind == "hand pump":
            house, spout = seen.box(INTO_HOUSE), seen.box(SPOUT)
            aired, into = cell.pressure == "by hand", "the house"
            if seen.hand_stores and "storage tank" not in outage.failed:
                aired, into = True, "the storage tank"
            begin = "Else the hand pump: " if steps else "Hand pump: "
            if house and not spout and not aired:
                steps += _at_a_tap(seen, begin)
            elif house and spout and aired:
                template = begin + "box {house} into {into}, box {spout} for a bucket."
                both = (INTO_HOUSE, SPOUT)
                steps.append(act(template, boxes=both, house=house, into=into, spout=spout))
            else:
                key = SPOUT if spout else INTO_HOUSE
                steps.append(act(begin + "box {box}.", boxes=(key,), box=seen.box(key)))
        elif cell.kind == "lift":
            begin = "Else the" if steps else "The"
            number = [lift.name for lift in seen.has.lifts].index(name) + 1
            key = f"{LIFT}_{number}"
            template = begin + " {lift}: box {box}."
            steps.append(act(template, boxes=(key,), lift=name, box=seen.box(key)))
    return steps


def _bursts(seen: Seen, outage: Outage, pump: OutageCell, begin: str = "") -> tuple[Sentence, ...]:
    """Without the tank's air nothing may stop a pump: taps that take all it gives stay open."""
    word, name = seen.switch, pump.source
    count = seen.taps_for(name)
    taps = "a tap over a tub" if count == 1 else f"{count} taps over tubs"
    on, off = Move(pump_switch(name), ON), Move(pump_switch(name), OFF)
    power = _power(seen, outage, pump)
    first = power[0].moves[:1] if power and isinstance(power[0], Step) else ()
    moves = layout.hand_off_the_tank(seen.site)
    steps: list[Sentence] = power if first == (PUMPS_OFF,) else [pumps_off(seen, moves), *power]
    steps[0] = replace(steps[0], template=begin + steps[0].template)
    steps += valves(moves) if first == (PUMPS_OFF,) else []
    template = f"OPEN {taps} and leave open. {word.capitalize()} of the {{pump}} ON."
    steps.append(act(template, Move(TAP, OPEN), on, pump=name))
    template = f"Tub full: {word} OFF, then shut the tap{'s' * (count > 1)}."
    steps.append(act(template, off, Move(TAP, SHUT)))
    if seen.hand is not None and outage.cell("hand pump").volume > 0.0:
        key = INTO_HOUSE if seen.hand_stores and not seen.box(SPOUT) else SPOUT
        if seen.box(key):
            steps.append(act("Or the hand pump: box {box}.", boxes=(key,), box=seen.box(key)))
        else:
            steps += _at_a_tap(seen, "Or the hand pump: ")
    return tuple(steps)


def _at_a_tap(seen: Seen, begin: str) -> list[Sentence]:
    """The hand pump into the house where no tank takes its water."""
    moves = layout.hand_into_tank(seen.site)
    off = "pumps OFF, " if seen.has.pumps else ""
    stopped = (PUMPS_OFF,) if seen.has.pumps else ()
    template = f"{begin}{off}{layout.order_of(moves)}, {TAP_OPEN}"
    pumped = act(template, *stopped, *moves, Move(TAP, OPEN), Move(HANDLE, ON), Move(HANDLE, OFF),
                 Move(TAP, SHUT))  # fmt: skip
    return [pumped, *hand_done(seen, moves)]


def _stored(seen: Seen, outage: Outage) -> list[Sentence]:
    left = [store for store in seen.outages.stores if store.name not in outage.failed]
    volume = sum(store.volume for store in left)
    if not seen.box(STORED) or volume <= 0.0:
        return []
    survival = seen.outages.survival
    parts: dict[str, Quantity | str] = {"volume": Quantity(volume, WATER), "box": seen.box(STORED)}
    template = "Stored: {volume}"
    if survival:
        template += ", to drink and cook for {days}"
        parts["days"] = _in_days(volume / survival)
    return [Step(template + ": box {box}.", parts, boxes=(STORED,))]


def _reasons(outage: Outage) -> list[Sentence]:
    """Why a handle that did not fail gives nothing."""
    return [
        say("The {name}: {why}.", name=cell.source, why=cell.limit)
        for cell in outage.cells
        if cell.kind in ("hand pump", "lift") and not {cell.source, "well"} & set(outage.failed)
    ]


def _get(seen: Seen, outage: Outage) -> list[Sentence]:
    """What would bring water in this failure, as the study of the weak links has tried it."""
    if "well" in outage.failed:
        return [say("Before the next time: keep more water in store.")]
    fixes = [link.fix for link in seen.outages.weak if link.outage.failed == outage.failed]
    kinds_tried = [fix.kind for fix in fixes if fix is not None]
    kinds_tried += [fix.kind for fix in seen.outages.plan]
    if not kinds_tried:
        template = "Before the next time: ask a well driller for a pump that needs no power."
        return [say(template)]
    thing = GETS[kinds_tried[0]]
    if kinds_tried[0] == "hand pump" and seen.hand is not None:
        thing = "a second person for the hand pump"
    return [say("Before the next time get {thing}.", thing=thing)]


def _gives(seen: Seen, outage: Outage) -> Sentence:
    """Water of a day, for what and whom it is enough, and how long that takes by hand."""
    result, volume, people = seen.outages, outage.volume, seen.people
    parts: dict[str, Quantity | str] = {"volume": Quantity(volume, WATER)}
    who = ""
    if people is not None:
        parts["people"] = Quantity(float(people), PERSONS)
        who = f" for {{people}} {seen.persons}"
    by_hand, work = _handle(seen, outage)
    if result.normal is not None and volume >= result.normal:
        parts["volume"] = Quantity(result.normal, WATER)
        template = "Enough for an ordinary day: {volume}" + who
    elif result.basic is not None and volume >= result.basic:
        template = "{volume:down} a day: to drink, cook and wash" + who
    elif result.survival is not None and volume >= result.survival:
        template = "{volume:down} a day: to drink and cook" + who + ", no more"
    elif result.survival is not None and people is not None:
        fed = volume / result.survival * people
        parts["fed"] = Quantity(fed, PERSONS)
        template = "{volume:down} a day: to drink and cook for only {fed:down} of {people}"
        template = template if fed >= 1.0 else "{volume:down} a day: too little to live on"
        return say(template + ". Bring water in.", **parts)
    else:
        template = "{volume:down} a day"
    if by_hand:
        template += ", by {work} at the handle"
        parts["work"] = Quantity(work, WHOLE_HOURS if work == LONGEST_EFFORT else TIME)
    return say(template + ".", **parts)


def _handle(seen: Seen, outage: Outage) -> tuple[bool, float]:
    """True where only hands lift water, and how long they then work in a day [s]."""
    handles = [name for name in outage.order if outage.cell(name).kind in ("hand pump", "lift")]
    if pumps_in_order(seen, outage) or not handles:
        return False, 0.0
    hand, normal = seen.hand, seen.outages.normal
    if normal is None or outage.volume < normal:
        return True, LONGEST_EFFORT
    if hand is not None and handles[0] == "hand pump":
        task = hand.task("ordinary", hand.people_pumping)
    else:
        lift = next((lift for lift in seen.lifts if lift.name == handles[0]), None)
        task = None if lift is None else lift.task("ordinary")
    return True, LONGEST_EFFORT if task is None else min(LONGEST_EFFORT, task.time)


def _hot(outages: list[Outage]) -> list[Sentence]:
    """The hot water of all of them where it is not as ever, each state once."""
    sentences: dict[str, Sentence] = {}
    for outage in outages:
        hot = outage.hot
        if hot is None:
            continue
        if hot.limit == NO_PRESSURE:
            sentences.setdefault("none", say("Hot water: none at the taps."))
            continue
        if hot.state == "hot" and hot.days:
            continue
        if hot.state == "on sunny days" and hot.days is not None:
            days = Quantity(hot.days, PERSONS)
            of = Quantity(float(outage.days), PERSONS)
            line = "Hot water by the sun: about {days} evening{s} in {of}."
            line = line if hot.days >= 0.5 else "Hot water by the sun: hardly ever."
            plural = "" if round(hot.days) == 1 else "s"
            sentences.setdefault("sunny", say(line, days=days, of=of, s=plural))
        elif hot.state == "on sunny days":
            sentences.setdefault("sunny", say("Hot water: by the sun."))
        elif hot.state == "cooling" and hot.days is not None:
            dark = "In dark days" if outage.dark else "Hot water"
            lasts = ": not hot." if hot.days < 1 else ": hot for about {days}."
            sentences["cooling"] = say(dark + lasts, days=_in_days(hot.days))
        elif hot.state == "cooling":
            sentences.setdefault("cooling", say("Hot water: what is in the tank, no more."))
        else:
            sentences.setdefault("none", say("Hot water: none."))
    return list(sentences.values())


def _in_days(value: float) -> Quantity:
    """A number of days as one says it: 9 hours, 1 day, 3 days."""
    if value < 0.75:
        seconds = value * 86_400.0
        return Quantity(seconds, TIME if seconds < 7_200.0 else WHOLE_HOURS)
    return Quantity(value, DAY if round(value) == 1 else DAYS)


def title_of(outages: list[Outage]) -> Sentence:
    """One title for failures with the same steps, the dark days named once."""
    parts: dict[str, Quantity | str] = {}
    names: list[str] = []
    dark = [outage for outage in outages if outage.key.startswith("dark_")]
    lit = any(outage.key == "grid" for outage in outages)
    pumps = [outage.name for outage in outages if outage.key.startswith("pump_")]
    if dark:
        parts["days"] = Quantity(float(max(outage.days for outage in dark)), DAYS)
    if dark and not lit:
        line = "power line down and " if "grid" in dark[0].failed else ""
        names.append(line + ("little sun for up to {days}" if len(dark) > 1 else LITTLE_SUN))
    for number, outage in enumerate(outages):
        is_pump = outage.key.startswith("pump_")
        if outage in dark or (is_pump and outage.name != pumps[0]):
            continue
        if is_pump:
            parts["pumps"] = " or ".join(pumps)
            names.append("pump dead: {pumps}")
            continue
        name = _name(outage, f"name_{number}", parts)
        names.append(name + (f", even with {LITTLE_SUN}" if outage.key == "grid" and dark else ""))
    joined = ", or ".join(names)
    return say(joined[:1].upper() + joined[1:], **parts)


def _name(outage: Outage, place: str, parts: dict[str, Quantity | str]) -> str:
    """The name of one failure; a name of the file stands in a part of the sentence."""
    plain = {
        "grid": "power line down",
        "inverter": "inverter dead",
        "battery": "battery dead",
        "bladder": "pressure tank's bladder torn",
        "cistern": "storage tank leaking or fouled",
        "well_1": "first well dry",
        "hands": HANDS,
        "whole": "any day",
    }
    if outage.key in plain:
        return plain[outage.key]
    parts[place] = outage.name
    return f"{{{place}}}"


def signs_of(seen: Seen, outages: list[Outage]) -> tuple[Sentence, ...]:
    """How an owner knows what has failed: a sign of each failure that has one, each once."""
    signs = {
        "grid": "The neighbours' lights are out too.",
        "inverter": "Its display is dark or shows a fault.",
        "battery": "Its display is dark or shows a fault.",
        "bladder": "The pump clicks on and off every few seconds.",
        "cistern": "It stands empty though its pump runs, or its water looks or smells bad.",
        "well": "Its pump runs a short while, then stops or spits air.",
        "pump": f"Its {seen.switch} is on, yet the gauge stays low.",
    }
    if not seen.gauged:
        signs["pump"] = f"Its {seen.switch} is on, there is power, yet no water runs."
    signs["filling"] = f"Its {seen.switch} is on, there is power, yet the storage tank sinks."

    def key_of(outage: Outage) -> str:
        kind = outage.key.partition("_")[0]
        if kind == "pump" and seen.fills(outage.name):
            return "filling"
        return kind if kind in ("pump", "well") else outage.key

    keys = map(key_of, outages)
    return tuple(say(sign) for sign in dict.fromkeys(signs.get(key, "") for key in keys) if sign)
