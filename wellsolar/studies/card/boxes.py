"""The boxes of the owner's card: how each way to bring water is done, and by what it is seen to
work."""

from __future__ import annotations

from wellsolar import kinds
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
from wellsolar.results.hand import HandPumpResult, HandTask, LiftResult
from wellsolar.results.moves import (
    ALL_HEAT,
    ALL_PUMPS,
    EMPTY,
    FULL,
    GENERATOR,
    HANDLE,
    HEATER_WATER,
    HOT_TAP,
    OFF,
    ON,
    OPEN,
    OTHER_PUMPS,
    SHUT,
    TAP,
    THIS_PUMP,
    TRANSFER,
    Move,
    Step,
    pump_switch,
)
from wellsolar.results.pumps import PumpResult
from wellsolar.site import part_names
from wellsolar.studies.card.site import (
    FILLING,
    INTO_HOUSE,
    LIFT,
    PUMP,
    SOURCES,
    SPOUT,
    STORED,
    WEAK,
    Seen,
    act,
    valves,
)
from wellsolar.studies.house.chain import pumps_run
from wellsolar.studies.plumbing import layout
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, say

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

PUMPS_OFF = Move(ALL_PUMPS, OFF)


def pumps_off(seen: Seen, then: tuple[Move, ...] = ()) -> Step:
    """The step before anything that no powered pump may break into, and valves that follow."""
    if then:
        return act(f"Electric pumps OFF. {layout.order_of(then)}.", PUMPS_OFF, *then)
    return act("Electric pumps OFF at the {switch}.", PUMPS_OFF, switch=seen.switch)


def letters_of(seen: Seen) -> dict[str, str]:
    """The boxes of a site's ways to bring water by their keys, each with its letter, in the order
    of the card."""
    kinds_of_pump = {seen.pump_box(pump.name) for pump in seen.pumps}
    keys = [key for key in (FILLING, PUMP, WEAK) if key in kinds_of_pump]
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
        elif key == WEAK:
            boxes.append(_weak_box(seen, letter))
        elif key == FILLING:
            boxes.append(_filling_box(seen, letter))
        elif key == INTO_HOUSE and seen.hand is not None:
            box_of = _storage_box if seen.hand_stores else _house_box
            boxes.append(box_of(seen, seen.hand, letter))
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


def _before_pump(seen: Seen) -> list[Step]:
    """What comes before a powered pump is switched on."""
    steps = valves(layout.hand_off_the_tank(seen.site))
    if len(seen.has.pumps) > 1:
        template = "Other pumps OFF at the {switch}."
        steps.append(act(template, Move(OTHER_PUMPS, OFF), switch=seen.switch))
    return steps


def _pump_box(seen: Seen, letter: str) -> CardBlock:
    """Powered pumps, each with the numbers that tell that it works."""
    switch, steps, word = seen.site.pressure_switch, _before_pump(seen), seen.switch
    on, taps_shut = Move(THIS_PUMP, ON), Move(TAP, SHUT)
    if switch is not None:
        template = "Taps shut. Its {switch} ON. The gauge climbs from "
        template += "{cut_in} to {cut_out}, then the pump stops."
        steps.append(
            act(
                template,
                taps_shut,
                on,
                switch=word,
                cut_in=_gauge(float(switch.cut_in)),
                cut_out=_gauge(float(switch.cut_out)),
            )
        )
    elif seen.gauged:
        template = "Taps shut. Its {switch} ON. The gauge climbs and stays."
        steps.append(act(template, taps_shut, on, switch=word))
    else:
        template = "Its {switch} ON. Look into the tank: water must run in."
        steps.append(act(template, on, switch=word))
        steps.append(act("Tank full: {switch} OFF.", Move(THIS_PUMP, OFF), switch=word))
    if seen.gauged and seen.has.tank is not None:
        steps.append(act("Not up in twice the time, or air comes: OFF for an hour."))
    elif seen.gauged:
        steps.append(act("It does not climb, or air comes: OFF for an hour."))
    else:
        steps.append(act("No water, or air comes: OFF for an hour."))
    return _of_pumps(seen, PUMP, letter, "Electric pump", steps)


def _filling_box(seen: Seen, letter: str) -> CardBlock:
    """Pumps that fill the storage tank: a float stops them, and nobody climbs in to look."""
    word, off = seen.switch, Move(THIS_PUMP, OFF)
    steps = [
        act("Other pumps OFF at the {switch}.", Move(OTHER_PUMPS, OFF), switch=word),
        act("Its {switch} ON. Water runs into the storage tank: listen, nobody climbs in.",
            Move(THIS_PUMP, ON), switch=word),
        act("The float or the well stops it. Tank full, or air comes: {switch} OFF.", off,
            switch=word),
    ]  # fmt: skip
    if len(seen.has.pumps) == 1:
        steps = steps[1:]
    return _of_pumps(seen, FILLING, letter, "Pump that fills the tank", steps)


def _weak_box(seen: Seen, letter: str) -> CardBlock:
    """Pumps that never reach what would stop them: a tap is open as long as they run."""
    on, off, word = Move(THIS_PUMP, ON), Move(THIS_PUMP, OFF), seen.switch
    template = "OPEN a tap over a tub. Its {switch} ON. Never shut all taps while it runs."
    steps = [
        *_before_pump(seen),
        act(template, Move(TAP, OPEN), on, switch=word),
        act("Tub full, or air comes: {switch} OFF, then shut the tap.", off, Move(TAP, SHUT),
            switch=word),
    ]  # fmt: skip
    return _of_pumps(seen, WEAK, letter, "Electric pump, weak", steps)


def _of_pumps(seen: Seen, key: str, letter: str, title: str, steps: list[Step]) -> CardBlock:
    """The box of the pumps that are run in the same way."""
    pumps = [pump for pump in seen.pumps if seen.pump_box(pump.name) == key]
    notes = tuple(_works(seen, pump, len(pumps) == 1) for pump in pumps)
    named = title + ": {name}"
    name = say(named, name=pumps[0].name) if len(pumps) == 1 else say(title)
    return CardBlock(key, letter, name, tuple(steps), notes)


def _works(seen: Seen, pump: PumpResult, alone: bool) -> Sentence:
    """The numbers of one pump at work."""
    parts: dict[str, Quantity | str] = {"name": pump.name}
    clauses, duty = [], pump.duties[0]
    cycles = () if seen.has.tank is None else seen.has.tank.cycles
    cycle = next((cycle for cycle in cycles if cycle.pump == pump.name), None)
    held = seen.has.table(pump).held_pressure
    if seen.fills(pump.name):
        clauses.append("about {flow}")
        parts["flow"] = Quantity(duty.flow, kinds.FLOW)
    elif seen.too_weak(pump.name):
        clauses.append("too weak for {cut_out}, so it never stops by itself")
        parts["cut_out"] = _gauge(pump.duties[-1].pressure)
    elif len(pump.duties) > 1 and pump.duties[-1].flow <= 0.0:
        clauses.append("not known if it reaches {cut_out}: stuck below it, OFF")
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
        parts["power"] = Quantity(duty.input_power, kinds.COMPUTED_POWER)
    if pump.start is not None and pump.start.running_current > 0.0:
        clauses.append("{current}")
        parts["current"] = Quantity(pump.start.running_current, AMPERES)
    name = "Works" if alone else "{name}"
    return say(f"{name}: {', '.join(clauses)}.", **parts)


def _rate(task: HandTask) -> Quantity:
    return Quantity((task.strokes or 0.0) / task.time, STROKES_A_MINUTE)


def _hand_begin(seen: Seen, hand: HandPumpResult, moves: tuple[Move, ...]) -> list[Step]:
    """What comes before the first stroke."""
    off = layout.meets_pumps(seen.site)
    steps = [pumps_off(seen, moves)] if off else valves(moves)
    table = seen.site.hand_pump
    if hand.kind == "suction" and table is not None and table.needs_priming is not False:
        steps.append(act("Pour a jug of boiled or chlorinated water in at its top."))
    return steps


def _house_box(seen: Seen, hand: HandPumpResult, letter: str) -> CardBlock:
    """The hand pump into the pressure tank."""
    switch, tank = seen.site.pressure_switch, seen.has.tank
    moved = layout.hand_into_tank(seen.site)
    steps = _hand_begin(seen, hand, moved)
    pumped, rested = Move(HANDLE, ON), Move(HANDLE, OFF)
    task = hand.task("tank", hand.people_pumping)
    if task is not None and switch is not None and tank is not None and task.bound != "day":
        cut_out = _gauge(float(switch.cut_out))
        together = "Two at the handle, taps shut. " if task.people == 2 else "Taps shut. "
        template = together + "Long, even strokes, about {rate}."
        steps.append(act(template, Move(TAP, SHUT), pumped, rate=_rate(task)))
        template = "{strokes}, {time}: gauge {cut_in} to {cut_out}, {volume}."
        steps.append(
            act(
                template,
                strokes=Quantity(task.strokes or 0.0, STROKES),
                time=Quantity(task.time, TIME),
                cut_in=_gauge(float(switch.cut_in)),
                cut_out=cut_out,
                volume=Quantity(task.volume, WATER),
            )
        )
        template = "Stop at {cut_out}. Handle stuck: stop, a valve is closed."
        steps.append(act(template, rested, cut_out=cut_out))
    else:
        template = "Open a tap over a bucket and pump: water comes stroke by stroke."
        steps.append(act(template, Move(TAP, OPEN), pumped))
        steps.append(
            act(
                "Handle stuck or heavy: stop, a valve is closed. Shut the tap.",
                rested,
                Move(TAP, SHUT),
            )
        )
    steps += hand_done(seen, moved)
    day = () if seen.two_ways else _day_note(seen, hand.task("survival", hand.people_pumping))
    return CardBlock(INTO_HOUSE, letter, say("Hand pump into the house"), tuple(steps), day)


def _storage_box(seen: Seen, hand: HandPumpResult, letter: str) -> CardBlock:
    """The hand pump up into the storage tank."""
    moved = layout.hand_into_tank(seen.site)
    steps, task = _hand_begin(seen, hand, moved), hand.task("storage tank", hand.people_pumping)
    pumped, rested = Move(HANDLE, ON), Move(HANDLE, OFF)
    if task is not None and task.bound != "day":
        together = "Two at the handle. " if task.people == 2 else ""
        template = together + "Long, even strokes, about {rate}: {strokes}, {time} for {volume}."
        steps.append(
            act(
                template,
                pumped,
                rate=_rate(task),
                strokes=Quantity(task.strokes or 0.0, STROKES),
                time=Quantity(task.time, TIME),
                volume=Quantity(task.volume, WATER),
            )
        )
        template = "Stop when the tank's overflow runs. Handle stuck: stop, a valve is closed."
        steps.append(act(template, rested))
    else:
        steps.append(act("So far up it is more than a day's work for one."))
    steps += hand_done(seen, moved)
    day = () if seen.two_ways else _day_note(seen, hand.task("survival", hand.people_pumping))
    title = "Hand pump into the storage tank"
    return CardBlock(INTO_HOUSE, letter, say(title), tuple(steps), day)


def hand_done(seen: Seen, moved: tuple[Move, ...]) -> list[Step]:
    """The hand pump's valves back at rest, those that stand otherwise; a handle without a spout to
    work into is tied."""
    tied = "." if seen.two_ways else ", tie the handle down."
    back = tuple(move for move in layout.hand_at_rest(seen.site) if move not in moved)
    return valves(back, "Done: ", tied)


def _spout_box(seen: Seen, hand: HandPumpResult, letter: str) -> CardBlock:
    """The hand pump into a bucket."""
    people = hand.people_pumping
    moved = layout.hand_to_spout(seen.site)
    steps = _hand_begin(seen, hand, moved)
    task = hand.task("bucket", people)
    if task is not None and task.bound != "day":
        together = "Two at the handle. " if people == 2 else ""
        template = together + "Long strokes, about {rate}; the first may be dry."
        steps.append(act(template, Move(HANDLE, ON), rate=_rate(task)))
        steps.append(
            act(
                "{strokes}, about {time}, fill a bucket of {volume}.",
                Move(HANDLE, OFF),
                strokes=Quantity(task.strokes or 0.0, STROKES),
                time=Quantity(task.time, TIME),
                volume=Quantity(task.volume, WATER),
            )
        )
    else:
        steps.append(act("A bucket is more than a day's work for one."))
    steps += hand_done(seen, moved)
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
    """What is in the house when it begins: the heater is cut off before any tap draws on it."""
    stores = {store.name: Quantity(store.volume, WATER) for store in seen.outages.stores}
    heater = stores.get("water heater")
    steps = [] if heater is None else _heater_off(seen)
    where = {"storage tank": "at its outlet", "pressure tank": "at the lowest cold tap"}
    cold = [name for name in where if name in stores]
    stores_text = [
        f"{name} about {{v{number}}}, {where[name]}" for number, name in enumerate(cold)
    ]
    if stores_text:
        parts = {f"v{number}": stores[name] for number, name in enumerate(cold)}
        line = "; ".join(stores_text) + "."
        drawn = (Move(TAP, OPEN), Move(TAP, SHUT))
        steps.append(Step(line[:1].upper() + line[1:], parts, drawn))
    if heater is not None:
        steps += _heater_drawn(heater)
    return CardBlock(STORED, letter, say("Water in the house"), tuple(steps))


def _heater_off(seen: Seen) -> list[Step]:
    """Every heat off, then nothing flows in or out by the cold side."""
    arrays = ", ".join(array.name for array in seen.heater_arrays)
    off = ["solar switch ({arrays}) OFF"] if arrays else []
    off += ["breaker OFF"] if seen.heater_on_breaker or not arrays else []
    parts: dict[str, Quantity | str] = {"arrays": arrays} if arrays else {}
    cold = Move(part_names.COLD, SHUT)
    template = f"Heater first: {', '.join(off)}; {layout.order_of([cold])}."
    return [Step(template, parts, (Move(ALL_HEAT, OFF), cold))]


def _heater_drawn(volume: Quantity) -> list[Step]:
    """The heater as a store: air in at the top, out at the foot, and full before any heat."""
    drain, cold = part_names.HEATER_DRAIN, part_names.COLD
    opened = (Move(HOT_TAP, OPEN), Move(drain, OPEN), Move(HEATER_WATER, EMPTY))
    refill = (Move(drain, SHUT), Move(cold, OPEN))
    template = "Heater, {volume}: OPEN a hot tap, slowly " + drain + ". It "
    template += "scalds for days. Pour away the mud; boil what you drink."
    return [
        act(template, *opened, volume=volume),
        act(f"Water back: {layout.order_of(refill)}; hot tap without air: only then heat ON.",
            *refill, Move(HEATER_WATER, FULL), Move(HOT_TAP, SHUT), Move(ALL_HEAT, ON)),
    ]  # fmt: skip


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


def _run_by_themselves(seen: Seen) -> list[str]:
    """The pumps of a chain that floats and switch run by day and night: all of a kind where they
    may run together, else the first of it; none where no pump fills a tank."""
    together = pumps_run(seen.site) in ("alternating", "at once")
    roles = {table.name: table.role for table in seen.site.pump}
    usual: list[str] = []
    for fills in (True, False):
        names = [
            pump.name for pump in seen.pumps
            if seen.fills(pump.name) == fills and not seen.too_weak(pump.name)
        ]  # fmt: skip
        names.sort(key=lambda name: roles[name] != "existing")
        usual += names if together else names[:1]
    return usual if any(map(seen.fills, usual)) else []


def _left_on(seen: Seen, usual: list[str]) -> Step:
    """The step that leaves the pumps of a chain to their floats."""
    rest = [pump.name for pump in seen.pumps if pump.name not in usual]
    word, others = seen.switch.capitalize(), ", others OFF" if rest else ""
    moves = [Move(pump_switch(name), OFF) for name in rest]
    moves += [Move(pump_switch(name), ON) for name in usual]
    if len(usual) == 1:
        return act(f"{word} of the {{on}} ON{others}: its float runs it.", *moves, on=usual[0])
    named = " and ".join(usual) if rest else "all pumps"
    runs = "floats" if all(map(seen.fills, usual)) else "floats and switch"
    return act(f"{word}s of {{on}} ON{others}: {runs} run them.", *moves, on=named)


def _mended_box(seen: Seen) -> tuple[CardBlock, ...]:
    """Back to the ordinary day: sources before breakers; the pump's box begins with the valves."""
    if not seen.pumps:
        return ()
    steps = []
    if seen.switches_over:
        usual = seen.sources[0]
        moves, stop = [PUMPS_OFF, Move(TRANSFER, usual)], ""
        if "generator" in seen.sources[1:]:
            moves, stop = [*moves, Move(GENERATOR, OFF)], " Generator OFF."
        steps.append(act(f"Pumps OFF. Transfer switch to {SOURCES[usual]}.{stop}", *moves))
    by_floats = _run_by_themselves(seen)
    if by_floats:
        steps.append(_left_on(seen, by_floats))
        return (CardBlock("mended", "", say("When all is repaired"), tuple(steps)),)
    roles = {table.name: table.role for table in seen.site.pump}
    first = min(seen.pumps, key=lambda pump: roles[pump.name] != "existing").name
    others = ", others OFF" if len(seen.pumps) > 1 else ""
    template = seen.switch.capitalize() + " of the {name} ON" + others + ": box {box}."
    key = seen.pump_box(first)
    steps.append(act(template, boxes=(key,), of=first, name=first, box=seen.box(key)))
    return (CardBlock("mended", "", say("When all is repaired"), tuple(steps)),)
