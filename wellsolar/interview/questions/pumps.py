"""Questions about the powered pumps: how deep, by which curve, with which motor and wire."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import partial
from typing import Any

from wellsolar.data.starter_pumps import StarterPump, starter_pumps
from wellsolar.interview.answers.curve import STAND_IN, read_curve
from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.answers.question import Offer, Part, Question, Reading, Unclear
from wellsolar.interview.answers.reading import in_pieces
from wellsolar.interview.answers.shapes import as_intake
from wellsolar.interview.answers.spellings import NUMBER
from wellsolar.interview.answers.words import spellings
from wellsolar.kinds import FLOW, HEAD, LENGTH, VOLTAGE
from wellsolar.site.edit import Value
from wellsolar.site.locate import Path
from wellsolar.units import System, read, read_list
from wellsolar.wording import quoted

NAMES = (("house pump", "existing"), ("frugal pump", "backup"))
"""What the interview calls the pump that is there and the one beside it, and their roles."""

ABOVE = 3.048
"""Height of an intake above the bottom, and of a second above the first, where none is given,
10 ft [m]: common practice, no source."""

HEAD_OF_PRESSURE = 1.0 / 9806.65
"""Metres of water for a pascal, at 1000 kg/m3: enough for choosing a stand-in."""

LOW_VOLTAGE = 100.0
"""Below this a pump may well be for direct current, so that one has to say [V]: our mark."""


def pumps(facts: Facts) -> list[Question]:
    """How many powered pumps, and what each is."""
    questions = [_count()] if "pumps" in facts.settled or not facts.many("pump") else []
    for index, pump in enumerate(facts.many("pump")):
        questions += _one_pump(facts, index, pump)
    return [*questions, *_dry_run(facts)]


def hangs(pump: Any) -> bool:
    """Whether a pump of the file hangs in the well.

    Returns:
        False of one that sucks, and of a booster
    """
    return bool(pump.get("kind") != "suction" and pump.get("draws", "well") == "well")


def fit(facts: Facts) -> list[Question]:
    """Diameters, where more than one thing hangs in the casing."""
    hung = [
        (index, str(pump.get("name", "")))
        for index, pump in enumerate(facts.many("pump"))
        if hangs(pump) and pump.get("role", "other") != "other" and pump.get("well") is None
    ]
    hand = facts.get("hand_pump")
    others = isinstance(hand, dict) and hand.get("kind") != "suction" and "well" not in hand
    if len(hung) + others < 2:
        return []
    names = [name for _, name in hung]
    parts = [Part(("pump", index, "diameter"), name, said=(name.lower(),)) for index, name in hung]
    if others:
        names.append("hand pump's cylinder")
        path = ("hand_pump", "cylinder_diameter")
        parts.append(Part(path, "hand pump's cylinder", said=("cylinder",)))
    return [
        Question(
            "pump.diameters",
            f"How wide at their widest, with cable guard: the {' and the '.join(names)}?",
            ", ".join(("4.4 in", "3 in", "2.5 in")[: len(parts)]),
            like_si=", ".join(("112 mm", "76 mm", "64 mm")[: len(parts)]),
            helps="By their sheets, in the order of the question: what hangs side by side in one "
            "casing must pass each other.",
            parts=tuple(parts),
            open="whether all that hangs in the well fits the casing",
        )
    ]  # fmt: skip


def _dry_run(facts: Facts) -> list[Question]:
    """One question for all pumps; the file can tell them apart."""
    there = [("pump", index, "dry_run_protection") for index in range(len(facts.many("pump")))]
    if not there:
        return []
    which = "the pump" if len(there) == 1 else "each pump"
    first = next((path for path in there if facts.get(*path) is None), there[0])
    return [
        Question(
            "pump.dry_run",
            f"Does something stop {which} when the well is pumped dry? Yes or no.", "yes",
            helps="A level probe, a cut-off on low pressure or on the motor's current, or "
            "electronics that do it. Without one a pump that outruns its well runs without "
            "water and dies.",
            parts=(Part(first, "dry-run protection",
                        also=tuple(path for path in there if path != first)),),
            open="whether a pump that outruns the well is guarded",
        )
    ]  # fmt: skip


IN_ITS_OWN = re.compile(
    r"\b(?:an?other|other|second|own|two|2) wells?\b|\bof its own\b", re.IGNORECASE
)
"""What says of two pumps that each has a well."""

_POWER = re.compile(rf"{NUMBER}\s*-?\s*(?:hp|horse\w*|k?w|k?watts?)\b", re.IGNORECASE)
_SO_MANY = re.compile(
    r"(?<![\w./-])(?:[12]|one|two)\b(?!\s*(?:[./'\"]|\d|-?\s*(?:hp|horse|wires?|phase|ph\b|v\b|volt"
    r"|k?w\b|watt|gpm|gal|a\b|amp|ft|in\b)))",
    re.IGNORECASE,
)
"""How many pumps there are, and no number of a plate."""

_AND_MORE = re.compile(
    r"\b(?:and|plus|with|want|another)\b.*\b(?:backup|second|another|frugal|small|solar)\b",
    re.IGNORECASE,
)
"""What says that one is not all."""

ELSEWHERE = "pump in the other well"
"""What the second of them is called."""


def _count() -> Question:
    return Question(
        "pumps",
        "How many powered pumps: 1 for the one that is there, or 2 with a frugal one beside it "
        "for when the grid is down? Say no if there are none.",
        "1; or 2; or 2, one in another well",
        helps="The first is called house pump and the second frugal pump in the file; change the "
        "names there as you like. Where the second hangs in a well of its own, say so: 2, one in "
        "another well.",
        declines=True,
        reads=_read_count,
        open="anything about powered pumps",
    )  # fmt: skip


def _read_count(answer: str, question: Question, system: System) -> Reading:
    match = _SO_MANY.search(answer)
    number = {"1": 1, "one": 1, "2": 2, "two": 2}.get(match.group().lower()) if match else None
    plate: dict[Path, Value | None] = {}
    if number != 2 or _POWER.search(answer):
        plate = _on_the_plate(answer, system)
        number = number or (1 if plate else None)
    if number is None or (number == 1 and _AND_MORE.search(answer)):
        raise Unclear(f"{quoted(answer)}: expected 1, 2 or no; more can be added in the file")
    values: dict[Path, Value | None] = {}
    names = list(NAMES[:number])
    if number == 2 and IN_ITS_OWN.search(answer):
        names[1] = (ELSEWHERE, names[1][1])
    for index, (name, role) in enumerate(names):
        values[("pump", index, "name")] = name
        values[("pump", index, "role")] = role
    if re.search(r"\b(?:jet|suction)\b", answer, re.IGNORECASE):
        values[("pump", 0, "kind")] = "suction"
    return Reading(values | plate, choice=str(number))


def _on_the_plate(answer: str, system: System) -> dict[Path, Value | None]:
    """What an answer tells of the first pump's motor besides how many there are."""
    power_match = _POWER.search(answer)
    if power_match is None:
        return {}
    parts = tuple(
        part for part in _plate("pump", "", ("pump", 0)).parts
        if part.path[-1] in ("rated_power", "voltage", "phases")
    )  # fmt: skip
    try:
        plain = _NOT_ASKED.sub(" ", answer[power_match.start() :])
        return dict(in_pieces(plain, parts, system).values)
    except Unclear:
        return {}


def _one_pump(facts: Facts, index: int, pump: Any) -> list[Question]:
    name, place = str(pump.get("name", "")), ("pump", index)
    key = f"pump[{name}]"
    from_tank = pump.get("draws") == "storage tank"
    questions = [] if from_tank else [_depth(facts, key, name, place, pump)]
    if index and not from_tank:
        questions = [*_other_well(facts, name, place, pump), *questions]
    questions.append(_curve(key, name, place))
    if pump.get("flow") is not None and not name.endswith(STAND_IN):
        questions.append(_heads(key, name, place, str(pump["flow"])))
    if facts.settled.get(f"{key}.curve") == "not known" or name.endswith(STAND_IN):
        questions.append(_stand_in(facts, key, name, place))
    return [*questions, _plate(key, name, place), _cable(key, name, place)]


def _other_well(facts: Facts, name: str, place: Path, pump: Any) -> list[Question]:
    """The well of its own in which a second pump hangs, and what that gives."""
    if pump.get("well") is None and name != ELSEWHERE:
        return []
    wells = enumerate(facts.many("other_well"))
    at = next((n for n, well in wells if well.get("name") == pump.get("well")), 0)
    well: Path = ("other_well", at)
    line: Path = (*place, "line")
    there = Question(
        "other_well",
        "The other well: how deep is it, how far down is its water at rest, and how long is the "
        "pipe from it to the tank?",
        "30 ft, 12 ft, 90 ft", like_si="9 m, 4 m, 30 m",
        helps="Depths from the ground at that well, by its log or a weighted line. Where its "
        "ground lies higher or lower than at the first, give ground_height in the file; its pipe "
        "is taken as 1 in polyethylene: put its own into the pump's line there.",
        parts=(
            Part((*well, "depth"), "depth of that well"),
            Part((*well, "static_level"), "its water at rest"),
            Part((*line, "length"), "its pipe"),
        ),
        sets={
            (*well, "name"): "other well", (*place, "well"): "other well",
            (*line, "material"): "polyethylene SIDR", (*line, "size"): "1 in",
        },
        open="anything about that well; the pump is taken to hang in the first",
    )  # fmt: skip
    given = Question(
        "other_well.tested_yield",
        "What did a test of the other well give: flow, and the level it drew down to?",
        "3 gpm at 20'; or 3 gpm", like_si="12 L/min at 6 m",
        helps="The same as for the first well. Without it its water is taken as drawn to the "
        "intake, the worst that can be.",
        parts=(
            Part((*well, "tested_yield"), "flow of the test"),
            Part((*well, "tested_pumping_level"), "level meanwhile", optional="wanted"),
        ),
        needless=((*well, "specific_capacity"), (*well, "step_test"), (*well, "drawdown_test")),
        open="whether a pump outruns the other well",
    )  # fmt: skip
    bore = Question(
        "other_well.casing_bore", "How wide is the other well inside?", '36 in; or 6 in',
        like_si="900 mm",
        helps="Its casing, or of a dug well its curb: it decides how much water stands in it.",
        parts=(Part((*well, "casing_bore"), "other well's bore"),),
        open="for how long its water lasts",
    )  # fmt: skip
    return [there] if pump.get("well") is None else [there, given, bore]


def _depth(facts: Facts, key: str, name: str, place: Path, pump: Any) -> Question:
    suction = pump.get("kind") == "suction"
    first, bottom = facts.quantity("pump", 0, "intake_depth"), facts.quantity("well", "depth")
    offer = None
    if pump.get("well") is not None:
        wells = enumerate(facts.many("other_well"))
        at = next((n for n, well in wells if well.get("name") == pump["well"]), 0)
        first, bottom = None, facts.quantity("other_well", at, "depth")
    if place[1] == 1 and first is not None and first > ABOVE:
        text = facts.typed(first - ABOVE, LENGTH)
        offer = Offer(text, "10 ft (3 m) above the other one [common practice, no source]")
    elif bottom is not None and bottom > ABOVE and not suction:
        text = facts.typed(bottom - ABOVE, LENGTH)
        offer = Offer(text, "10 ft (3 m) above the bottom [common practice, no source]")
    return Question(
        f"{key}.intake_depth", f"How deep does the {name} hang?", "150'", like_si="45 m",
        helps="The depth of its intake below the ground: the length of its drop pipe plus the "
        "depth at which the pipe leaves the casing, by the installer's note. Do not pull a pump "
        "to find out: lifting one is for a crew with a hoist.",
        parts=(Part((*place, "intake_depth"), "intake"),),
        before=partial(as_intake, bottom),
        offer=offer,
        open="whether its intake stays under water; 10 ft above the bottom is assumed",
    )  # fmt: skip


def _curve(key: str, name: str, place: Path) -> Question:
    return Question(
        f"{key}.curve", f"Flow and head points of the {name}, from its sheet?",
        "0, 3, 6, 9 gpm; or 5 gpm at 300 ft, 8 gpm at 200 ft",
        like_si="0, 10, 20 L/min; or 10 L/min at 90 m, 20 L/min at 70 m",
        helps="Two points or more off the curve or the table of its maker, for its number of "
        "stages. Flows alone will do: their heads are asked next. If all you have is a rated "
        "point or the horsepower, say: don't know. The table of a jet on two pipes goes into the "
        "file, a [[pump.jet_table]] for each lift.",
        parts=(
            Part((*place, "flow"), "flows"),
            Part((*place, "head"), "heads", optional=True),
        ),
        reads=read_curve,
        needless=((*place, "duty", "flow"),),
        sets={(*place, "name"): name},
        open="what it gives and whether it reaches the cut-out",
    )  # fmt: skip


def _heads(key: str, name: str, place: Path, flows: str) -> Question:
    return Question(
        f"{key}.head", f"And the head of the {name} at each of {flows}?",
        "420, 390, 330, 240 ft", like_si="128, 119, 101 m",
        helps="As many heads as flows, falling as the flow grows.",
        parts=(Part((*place, "head"), "heads"),),
        open="what it gives and whether it reaches the cut-out",
    )  # fmt: skip


def _stand_in(facts: Facts, key: str, name: str, place: Path) -> Question:
    likeliest = _likeliest(facts, place)
    listed = "; ".join(
        f"{number} {pump.name}, {pump.supply}" for number, pump in enumerate(starter_pumps(), 1)
    )
    return Question(
        f"{key}.stand_in",
        f"Without its sheet nothing true can be said of what the {name} gives. Shall an invented "
        "curve stand in for it meanwhile? Give a number from 1 to 8, or say no.",
        f"{likeliest}",
        helps=f"None of these pumps exists: {listed}. Its name in the file will end in "
        f'"{STAND_IN.strip()}", and so will every verdict on it, until you put in the sheet\'s '
        "own points.",
        offer=Offer(str(likeliest), f"{starter_pumps()[likeliest - 1].name}, the smallest of the "
                    "invented ones that would reach from here [invented]"),
        parts=(Part((*place, "flow"), "flows"),),
        sets={(*place, "name"): name},
        declines=True,
        no_takes="nothing",
        remark="invented: put the sheet's own points here",
        reads=_read_stand_in,
        open="what it gives and whether it reaches the cut-out",
    )  # fmt: skip


def _likeliest(facts: Facts, place: Path) -> int:
    """The smallest invented pump that reaches the cut-out from its depth; else the strongest."""
    depth = facts.quantity(*place, "intake_depth") or facts.quantity("well", "depth") or 0.0
    cut_out = facts.quantity("pressure_switch", "cut_out") or 413_685.0
    wanted = depth + cut_out * HEAD_OF_PRESSURE
    frugal = facts.get(*place, "role") == "backup"
    shipped = list(enumerate(starter_pumps(), 1))
    fitting = [
        (number, pump) for number, pump in shipped
        if _greatest_head(pump) > wanted and (frugal or pump.supply == "AC")
    ]  # fmt: skip
    if not fitting:
        return max(shipped, key=lambda named_pump: _greatest_head(named_pump[1]))[0]
    return min(fitting, key=lambda named_pump: float(read_list(named_pump[1].flow, FLOW)[-1]))[0]


def _greatest_head(pump: StarterPump) -> float:
    return float(read_list(pump.head, HEAD)[0])


def _read_stand_in(answer: str, question: Question, system: System) -> Reading:
    place = question.parts[0].path[:-1]
    name = str(question.sets[(*place, "name")])
    shipped = starter_pumps()
    agreed = spellings(("pump", "dry_run_protection")).get(answer.lower()) is True
    if agreed:
        assert question.offer is not None
        answer = question.offer.text
    match = re.fullmatch(r"(?:number )?(\d)", answer)
    number = int(match.group(1)) if match else 0
    if not 1 <= number <= len(shipped):
        raise Unclear(f"{quoted(answer)}: expected a number from 1 to {len(shipped)}, or no")
    pump = shipped[number - 1]
    values: dict[Path, Value | None] = {
        (*place, "name"): name.removesuffix(STAND_IN) + STAND_IN,
        (*place, "flow"): pump.flow,
        (*place, "head"): pump.head,
        (*place, "power"): pump.power,
        (*place, "supply"): pump.supply,
    }
    return Reading(values, (f"invented: no pump that is sold is {pump.name}",))


def _plate(key: str, name: str, place: Path) -> Question:
    return Question(
        f"{key}.plate",
        f"What does the motor's plate of the {name} say: power, volts, amps with the rotor "
        "locked; and how is it started?",
        "3/4 hp, 230 V, 28 A LRA, direct; or 1/2 hp, 230 V, soft start; or 300 W, 48 V DC",
        helps="Power and volts are enough. Direct start is taken unless you say soft or variable "
        "speed. Below 100 V say AC or DC as well. Say jet if the pump stands above the well and "
        "sucks. The plate is on the motor, in the well; the control box or the sheet says the "
        "same.",
        parts=(
            Part((*place, "kind"), "kind", optional=True),
            Part((*place, "supply"), "supply", optional=True),
            Part((*place, "phases"), "phases", optional=True),
            Part((*place, "start"), "start", optional=True),
            Part((*place, "voltage"), "volts"),
            Part((*place, "rated_power"), "motor", optional="wanted"),
            Part((*place, "service_factor"), "service factor", optional=True,
                 said=("service factor", "sf")),
            Part((*place, "full_load_current"), "full load", optional=True,
                 said=("a fla", "amps fla", "fla", "a full load", "full load", "running")),
            Part((*place, "locked_rotor_current"), "locked rotor", optional=True,
                 said=("a lra", "amps lra", "lra", "a locked rotor", "locked rotor")),
        ),
        reads=_read_plate,
        open="whether the inverter runs and starts it",
    )  # fmt: skip


_NOT_ASKED = re.compile(
    r"\b(?:[234]|two|three|four)[- ]?wires?\b|\b\d\d ?hz\b|\b\d{4} ?rpm\b|\bcontinuous\b",
    re.IGNORECASE,
)
"""What else stands on a plate and no key takes."""


_RATED_TWICE = re.compile(
    rf"({NUMBER}\s*(?:hp|k?w))\s*(?:/|\(|=)\s*{NUMBER}\s*(?:hp|k?w)\b\)?", re.IGNORECASE
)
_WIRED_FOR = re.compile(r"\b\d{3}\s*/\s*\d{3}\s*v?(?:olts?)?,? wired for (\d{3})\b", re.IGNORECASE)


def _read_plate(answer: str, question: Question, system: System) -> Reading:
    answer = _WIRED_FOR.sub(r"\1 V", _RATED_TWICE.sub(r"\1", answer))
    answer = re.sub(r"\b([13])\s*~", r"\1 phase, ", answer)
    answer = re.sub(r"(?<=[a-z])/(?=\d)", ", ", _NOT_ASKED.sub(" ", answer), flags=re.IGNORECASE)
    reading = in_pieces(answer, question.parts, system)
    place = question.parts[0].path[:-1]
    volts = reading.values.get((*place, "voltage"))
    supply = reading.values.get((*place, "supply"))
    low = isinstance(volts, str) and read(volts, VOLTAGE) < LOW_VOLTAGE
    if low and supply is None:
        raise Unclear(f"{volts} may be either: say AC or DC with it, such as {volts} DC")
    if (*place, "start") not in reading.values and supply != "DC":
        if volts is None:
            return reading
        return replace(reading, notes=("started direct, as nothing else was said",))
    return reading


def _cable(key: str, name: str, place: Path) -> Question:
    return Question(
        f"{key}.cable", f"Which wire runs to the {name}, and how long is it one way?",
        "12 AWG, 240 ft", like_si="4 mm2, 75 m",
        helps="The gauge printed on its jacket; the length from where the power comes in down to "
        "the motor. Gauge alone is enough: the length then follows from the depth.",
        parts=(
            Part((*place, "cable", "gauge"), "wire"),
            Part((*place, "cable", "length"), "one way", optional=True),
        ),
        open="what is lost in its wire; the thinnest that does is named",
    )  # fmt: skip
