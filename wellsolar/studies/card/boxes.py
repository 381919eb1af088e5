"""The boxes of the owner's card: how each way to bring water is done, and by what it is seen to
work."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.results import HandPumpResult, HandTask, LiftResult, PumpResult
from wellsolar.results.card import (
    AMPERES,
    GAUGE,
    PERSONS,
    STROKES,
    STROKES_A_MINUTE,
    TIME,
    WATER,
    CardBlock,
)
from wellsolar.studies.card.site import INTO_HOUSE, LIFT, PUMP, SPOUT, STORED, Seen
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, say

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

BREAKERS_OFF = "Electric pumps OFF at the {switch}."


def letters_of(seen: Seen) -> dict[str, str]:
    """The boxes of a site's ways to bring water by their keys, each with its letter, in the order
    of the card."""
    keys = [PUMP] if seen.pumps else []
    if seen.hand is not None and seen.joined:
        keys.append(INTO_HOUSE)
    if seen.hand is not None and (seen.two_ways or not seen.joined):
        keys.append(SPOUT)
    names = [lift.name for lift in seen.has.lifts]
    keys += [f"{LIFT}_{names.index(lift.name) + 1}" for lift in seen.lifts]
    keys += [STORED] if seen.outages.stores else []
    return {
        key: LETTERS[place] if place < len(LETTERS) else str(place + 1)
        for place, key in enumerate(keys)
    }


def boxes_of(seen: Seen) -> tuple[CardBlock, ...]:
    """Every box of a site: the ways by their letters, then hot water, then what is done when all
    is repaired."""
    boxes = []
    for key, letter in seen.letters.items():
        if key == PUMP:
            boxes.append(_pump_box(seen, letter))
        elif key == INTO_HOUSE and seen.hand is not None:
            boxes.append(_house_box(seen, seen.hand, letter))
        elif key == SPOUT and seen.hand is not None:
            boxes.append(_spout_box(seen, seen.hand, letter))
        elif key == STORED:
            boxes.append(_stored_box(seen, letter))
        else:
            lift = seen.has.lifts[int(key.removeprefix(f"{LIFT}_")) - 1]
            boxes.append(_lift_box(seen, lift, key, letter))
    return (*boxes, *_hot_box(seen), *_mended_box(seen))


def _gauge(value: float) -> Quantity:
    return Quantity(value, GAUGE)


def _pump_box(seen: Seen, letter: str) -> CardBlock:
    """Powered pumps, each with the numbers that tell that it works."""
    switch, steps, word = seen.site.pressure_switch, [], seen.switch
    if seen.to_house:
        steps.append(say(seen.to_house))
    if len(seen.has.pumps) > 1:
        steps.append(say(f"Other pumps OFF at the {word}: one at a time."))
    if switch is not None:
        template = f"Its {word} ON, taps shut. The gauge climbs from "
        template += "{cut_in} to {cut_out}, then the pump stops."
        steps.append(
            say(
                template,
                cut_in=_gauge(float(switch.cut_in)),
                cut_out=_gauge(float(switch.cut_out)),
            )
        )
    elif seen.gauged:
        steps.append(say(f"Its {word} ON, taps shut. The gauge climbs and stays."))
    else:
        steps.append(say(f"Its {word} ON. Look into the tank: water must run in."))
        steps.append(say(f"Tank full: {word} OFF."))
    if seen.gauged and seen.has.tank is not None:
        steps.append(say("Not up in twice the time, or air comes: OFF for an hour."))
    elif seen.gauged:
        steps.append(say("It does not climb, or air comes: OFF for an hour."))
    else:
        steps.append(say("No water, or air comes: OFF for an hour."))
    notes = tuple(_works(seen, pump) for pump in seen.pumps)
    one, title = len(notes) == 1, "Electric pump"
    name = say(title + ": {name}", name=seen.pumps[0].name) if one else say(title)
    return CardBlock(PUMP, letter, name, tuple(steps), notes)


def _works(seen: Seen, pump: PumpResult) -> Sentence:
    """The numbers of one pump at work."""
    parts: dict[str, Quantity | str] = {"name": pump.name}
    clauses, duty = [], pump.duties[0]
    cycles = () if seen.has.tank is None else seen.has.tank.cycles
    cycle = next((cycle for cycle in cycles if cycle.pump == pump.name), None)
    held = seen.has.table(pump).held_pressure
    if len(pump.duties) > 1 and pump.duties[-1].flow <= 0.0:
        clauses.append("too weak for {cut_out}: switch it OFF by hand")
        parts["cut_out"] = _gauge(pump.duties[-1].pressure)
    elif held is not None:
        clauses.append("holds the gauge at {held}")
        parts["held"] = _gauge(float(held))
    elif cycle is not None:
        clauses.append("up in about {time}")
        parts["time"] = Quantity(cycle.run_time, TIME)
    else:
        clauses.append("about {flow}" + (" in full sun" if not seen.gauged else ""))
        parts["flow"] = Quantity(duty.flow, kinds.FLOW)
    if duty.input_power > 0.0:
        clauses.append("takes {power}")
        parts["power"] = Quantity(duty.input_power, kinds.POWER)
    if pump.start is not None and pump.start.running_current > 0.0:
        clauses.append("{current}")
        parts["current"] = Quantity(pump.start.running_current, AMPERES)
    name = "Works" if len(seen.pumps) == 1 else "{name}"
    return say(f"{name}: {', '.join(clauses)}.", **parts)


def _rate(task: HandTask) -> Quantity:
    return Quantity((task.strokes or 0.0) / task.time, STROKES_A_MINUTE)


def _hand_begin(seen: Seen, hand: HandPumpResult, valves: str) -> list[Sentence]:
    """What comes before the first stroke."""
    steps = [say(BREAKERS_OFF, switch=seen.switch)] if seen.joined and seen.has.pumps else []
    steps += [say(valves)] if valves else []
    table = seen.site.hand_pump
    if hand.kind == "suction" and table is not None and table.needs_priming is not False:
        steps.append(say("Pour a jug of boiled or chlorinated water in at its top."))
    return steps


def _house_box(seen: Seen, hand: HandPumpResult, letter: str) -> CardBlock:
    """The hand pump into the pressure tank."""
    switch, tank = seen.site.pressure_switch, seen.has.tank
    steps = _hand_begin(seen, hand, seen.to_house)
    task = hand.task("tank", hand.people_pumping)
    if task is not None and switch is not None and tank is not None and task.bound != "day":
        cut_out = _gauge(float(switch.cut_out))
        together = "Two at the handle, taps shut. " if task.people == 2 else "Taps shut. "
        template = together + "Long, even strokes, about {rate}."
        steps.append(say(template, rate=_rate(task)))
        template = "{strokes}, {time}: gauge {cut_in} to {cut_out}, {volume}."
        steps.append(
            say(
                template,
                strokes=Quantity(task.strokes or 0.0, STROKES),
                time=Quantity(task.time, TIME),
                cut_in=_gauge(float(switch.cut_in)),
                cut_out=cut_out,
                volume=Quantity(task.volume, WATER),
            )
        )
        template = "Stop at {cut_out}. Handle stuck: stop, a valve is closed."
        steps.append(say(template, cut_out=cut_out))
    else:
        steps.append(say("Open a tap over a bucket and pump: water comes stroke by stroke."))
        steps.append(say("Handle stuck or heavy: stop, a valve is closed."))
    if seen.freezes:
        template = "Done, in frost: CLOSE house valve, then OPEN frost drain."
        steps.append(say(template))
    day = () if seen.two_ways else _day_note(seen, hand.task("survival", hand.people_pumping))
    return CardBlock(INTO_HOUSE, letter, say("Hand pump into the house"), tuple(steps), day)


def _spout_box(seen: Seen, hand: HandPumpResult, letter: str) -> CardBlock:
    """The hand pump into a bucket."""
    people = hand.people_pumping
    drain = " and frost drain" if seen.freezes else ""
    valves = "CLOSE frost drain." if seen.freezes else ""
    if seen.two_ways:
        valves = f"CLOSE house valve{drain}, OPEN spout valve."
    steps = _hand_begin(seen, hand, valves)
    task = hand.task("bucket", people)
    if task is not None and task.bound != "day":
        together = "Two at the handle. " if people == 2 else ""
        template = together + "Long strokes, about {rate}; the first may be dry."
        steps.append(say(template, rate=_rate(task)))
        steps.append(
            say(
                "{strokes}, about {time}, fill a bucket of {volume}.",
                strokes=Quantity(task.strokes or 0.0, STROKES),
                time=Quantity(task.time, TIME),
                volume=Quantity(task.volume, WATER),
            )
        )
    else:
        steps.append(say("A bucket is more than a day's work for one."))
    if seen.two_ways or seen.freezes:
        shut = "CLOSE spout valve" if seen.two_ways else ""
        drain = "in frost OPEN frost drain" if seen.freezes else ""
        steps.append(say("Done: " + "; ".join(part for part in (shut, drain) if part) + "."))
    title = "Hand pump at its spout" if seen.joined else "Hand pump"
    return CardBlock(
        SPOUT, letter, say(title), tuple(steps), _day_note(seen, hand.task("survival", people))
    )


def _day_note(seen: Seen, task: HandTask | None) -> tuple[Sentence, ...]:
    """How long a day's least water takes."""
    if task is None:
        return ()
    parts: dict[str, Quantity | str] = {"volume": Quantity(task.volume, WATER)}
    who = ""
    if seen.people is not None:
        who = f" for {{people}} {seen.persons}"
        parts["people"] = Quantity(float(seen.people), PERSONS)
    begin = f"To drink and cook{who}: {{volume}} a day, "
    if task.bound == "day":
        return (say(begin + "more than one day's work.", **parts),)
    return (say(begin + "{time}.", **parts, time=Quantity(task.time, TIME)),)


def _lift_box(seen: Seen, lift: LiftResult, key: str, letter: str) -> CardBlock:
    """Another lift by hand or foot."""
    steps, task = [], lift.task("bucket")
    if lift.people > 1:
        template = "{people} work it together."
        steps.append(say(template, people=Quantity(float(lift.people), PERSONS)))
    steps.append(say("Bucket under its spout; work it steadily."))
    if task is not None and task.bound != "day":
        template = "A bucket of {volume} takes about {time}."
        volume, time = Quantity(task.volume, WATER), Quantity(task.time, TIME)
        steps.append(say(template, volume=volume, time=time))
    notes = _day_note(seen, lift.task("survival"))
    return CardBlock(key, letter, say("{name}", name=lift.name), tuple(steps), notes)


def _stored_box(seen: Seen, letter: str) -> CardBlock:
    """What is in the house when it begins."""
    steps = []
    for store in seen.outages.stores:
        volume = Quantity(store.volume, WATER)
        if store.name == "storage tank":
            steps.append(say("Storage tank: about {volume}, at its outlet.", volume=volume))
        elif store.name == "pressure tank":
            template = "Pressure tank: about {volume}, at the lowest tap."
            steps.append(say(template, volume=volume))
        else:
            steps += _heater_steps(seen, volume)
    return CardBlock(STORED, letter, say("Water in the house"), tuple(steps))


def _heater_steps(seen: Seen, volume: Quantity) -> list[Sentence]:
    """The water heater as a store: every heat off first, full again before any is on."""
    arrays = ", ".join(array.name for array in seen.heater_arrays)
    off = ["solar switch ({arrays}) OFF"] if arrays else []
    off += ["breaker OFF"] if seen.heater_on_breaker or not arrays else []
    parts: dict[str, Quantity | str] = {"arrays": arrays} if arrays else {}
    first = "Water heater, {volume}: first " + ", then ".join(off)
    drain = "CLOSE its cold valve, OPEN a hot tap for air, then slowly its drain. It scalds "
    return [
        say(first + ".", volume=volume, **parts),
        say(drain + "for days: let each bucket cool."),
        say("Pour the first, muddy water away. Boil what you drink."),
        say("Refill till the hot tap runs without air, only then heat ON."),
    ]


def _hot_box(seen: Seen) -> tuple[CardBlock, ...]:
    """How hot water lasts longest."""
    if seen.site.water_heater is None:
        return ()
    heated = seen.has.heated
    steps = []
    if heated is not None and heated.tap.volume > 0.0:
        warm = Quantity(heated.tap.volume, WATER)
        at = Quantity(heated.tap.temperature, kinds.TEMPERATURE)
        template = "A full hot tank gives about {warm} at {at}."
        steps.append(say(template, warm=warm, at=at))
    sunny = heated is not None or seen.has.diverted is not None
    late = ", late on a sunny day." if sunny else "."
    steps.append(say("Wash at a bowl, shower short" + late))
    if sunny:
        steps.append(say("Lukewarm for days: germs. No showers till hot again."))
    return (CardBlock("hot", "", say("Make hot water last"), tuple(steps)),)


def _mended_box(seen: Seen) -> tuple[CardBlock, ...]:
    """Back to the ordinary day: valves before breakers."""
    if not seen.pumps:
        return ()
    steps = [say(seen.to_house)] if seen.to_house else []
    if seen.switches_over:
        steps.append(say(f"Transfer switch to {seen.usual_supply}."))
    roles = {table.name: table.role for table in seen.site.pump}
    usual = min(seen.pumps, key=lambda pump: roles[pump.name] != "existing")
    others = ", others OFF" if len(seen.pumps) > 1 else ""
    template = seen.switch.capitalize() + " of the {name} ON" + others + ": box {box}."
    steps.append(say(template, name=usual.name, box=seen.box(PUMP)))
    return (CardBlock("mended", "", say("When all is repaired"), tuple(steps)),)
