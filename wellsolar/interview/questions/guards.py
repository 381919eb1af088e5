"""Questions about what guards people: supplies kept apart, grounds, switches and high limits, each
where the site has the thing."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import partial
from itertools import combinations
from typing import Any

from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.answers.named import ALL, SAYS, read_named, without_lacking
from wellsolar.interview.answers.question import Offer, Part, Question, Reading, Unclear
from wellsolar.interview.answers.reading import in_pieces
from wellsolar.interview.answers.shapes import as_generator, as_grid, as_stand
from wellsolar.interview.questions.pumps import hangs
from wellsolar.site.locate import Path
from wellsolar.studies.electric.motor_guards import GUARDED_SINCE
from wellsolar.units import System
from wellsolar.wording import quoted

MONTHS = 12
WHOLE = 100.0
"""All of the sun [%]."""


def guards(facts: Facts) -> list[Question]:
    """What keeps people from harm, by what there is."""
    return [
        *_edition(facts),
        *_supplies(facts),
        *_well(facts),
        *_storage(facts),
        *_motors(facts),
        *_modules(facts),
        *_heater(facts),
    ]


def _yes_or_no(key: str, asks: str, path: Path, label: str, helps: str, open_to: str) -> Question:
    """A question about a switch of the file."""
    return Question(
        key, f"{asks} Yes or no.", "yes", helps=helps, parts=(Part(path, label),), open=open_to
    )


def _on_mains(facts: Facts) -> list[tuple[int, Any]]:
    """The pumps on alternating current, by their places."""
    pumps = enumerate(facts.many("pump"))
    return [(index, pump) for index, pump in pumps if pump.get("supply", "AC") == "AC"]


def _edition(facts: Facts) -> list[Question]:
    if not (_on_mains(facts) or facts.many("array")):
        return []
    return [
        Question(
            "site.code_edition",
            "Which edition of the National Electrical Code does the local inspector hold to: "
            "2014, 2017, 2020 or 2023?", "2020",
            helps="The building office tells. Editions differ in what they ask of modules clear "
            "of buildings and of outlets outdoors. Where another code is in force, say: don't "
            "know.",
            parts=(Part(("site", "code_edition"), "edition"),),
            open="what the editions differ in",
        )
    ]  # fmt: skip


def _sources(facts: Facts) -> list[str]:
    """What can feed the house's wires, in the order in which pairs of them are named."""
    power = facts.get("power") or {}
    inverter = any(
        power.get(f"{key}") is not None
        for key in ("inverter_rating", "inverter_surge", "inverter_voltage", "battery_energy")
    )
    there = {
        "grid": power.get("grid") is not False,
        "inverter": inverter,
        "generator": power.get("generator_rating") is not None,
    }
    return [name for name, is_there in there.items() if is_there]


def _supplies(facts: Facts) -> list[Question]:
    """Generator and grid, and what keeps each from the others."""
    if facts.is_no("pumps") and not facts.many("array"):
        return []
    questions = [
        Question(
            "power.generator",
            "Is there a generator, or shall there be one? Give its rating, or say no.", "7 kW",
            helps="What it gives for as long as one likes, by its plate.",
            parts=(Part(("power", "generator_rating"), "generator", unit="kW"),),
            before=as_generator,
            declines=True,
            no_takes="keys",
            open="whether it starts the pumps",
        )
    ]  # fmt: skip
    if set(_sources(facts)) - {"grid"}:
        questions.append(_grid())
    pairs = [f"{one} and {other}" for one, other in combinations(_sources(facts), 2)]
    if pairs:
        questions.append(_apart(pairs))
    if pairs and "generator" in _sources(facts):
        questions.append(_neutral())
    return questions


def _grid() -> Question:
    return Question(
        "power.grid", "Is the house joined to the public grid? Yes or no.", "yes",
        helps="What feeds the house besides must never meet it: it kills who works on the line.",
        parts=(Part(("power", "grid"), "grid"),),
        before=as_grid,
        offer=Offer("yes", "as most houses are [common practice, no source]"),
    )  # fmt: skip


def _apart(pairs: list[str]) -> Question:
    if len(pairs) == 1:
        asks, like = f"Does equipment keep {pairs[0]} from ever feeding the house at once?", "yes"
    else:
        asks = f"Which of these can never meet: {'; '.join(pairs)}?"
        like = f"all; or {pairs[0]}"
    return Question(
        "power.kept_apart", f"{asks} Say no where nothing keeps them apart.", like,
        helps="A transfer (changeover) switch, an interlock of two breakers, or an inverter's own "
        "switch, by its sheet, does. That nobody would ever turn both on does not.",
        parts=(Part(("power", "kept_apart"), "kept apart"),),
        reads=partial(_read_pairs, tuple(pairs)),
        open="whether one supply can feed the wires of another",
    )  # fmt: skip


def _read_pairs(
    pairs: tuple[str, ...], answer: str, question: Question, system: System
) -> Reading:
    """The pairs that are named, all of them, or none."""
    rest, missing = without_lacking(answer)
    said = SAYS.get(rest.lower())
    chosen_pairs = list(pairs) if said or ALL.match(rest) else []
    if not chosen_pairs and said is None:
        chosen_pairs = [pair for pair in pairs if _names(rest, *pair.split(" and "))]
        if not chosen_pairs:
            raise Unclear(f"{quoted(answer)}: expected all, no, or such as {pairs[0]}")
    chosen_pairs = [pair for pair in chosen_pairs if not _names(missing, *pair.split(" and "))]
    return Reading({question.parts[0].path: chosen_pairs})


def _names(answer: str, one: str, other: str) -> bool:
    """Whether an answer has a pair side by side, in either order."""
    between = r"\W+(?:(?:and|from|to|with|the)\W+){0,2}"
    ways = (f"{one}{between}{other}", f"{other}{between}{one}")
    return any(re.search(rf"\b{way}\b", answer, re.IGNORECASE) for way in ways)


def _neutral() -> Question:
    return Question(
        "power.generator_neutral",
        "Is the generator's neutral bonded to its frame or floating, and is it switched by the "
        "transfer switch or left joined to the house's?", "bonded, switched; or floating, joined",
        helps="The generator's papers say bonded or floating. A transfer switch with a pole for "
        "the neutral switches it. The neutral is to be bonded to ground in one place, whichever "
        "supply is on.",
        parts=(
            Part(("power", "generator_neutral"), "generator's neutral"),
            Part(("power", "transfer_neutral"), "at the transfer switch"),
        ),
        open="whether a fault to ground trips a breaker while the generator runs",
    )  # fmt: skip


def _well(facts: Facts) -> list[Question]:
    if not any(hangs(pump) for pump in facts.many("pump")):
        return []
    return [
        _yes_or_no(
            "well.bonded",
            "Are the metal casing and cap, a hand pump and metal pipes in the well joined by a "
            "wire to the ground wire of the pump?",
            ("well", "bonded"), "bonded",
            "A wire from a lug at the casing to the pump's ground wire. Without it a fault in "
            "the pump puts what hands touch under voltage. A well all of plastic says yes.",
            "whether the well's top can be live",
        )
    ]  # fmt: skip


def _storage(facts: Facts) -> list[Question]:
    """What keeps a storage tank clean, where a pump fills it or draws from it."""
    by_hand = facts.get("hand_pump", "delivers") == "storage tank"
    if not by_hand and not any("storage tank" in (pump.get("draws"), pump.get("delivers"))
                               for pump in facts.many("pump")):  # fmt: skip
        return []
    return [
        Question(
            "storage_tank.elevation",
            "How high above the ground at the well is the outlet of the storage tank, and how "
            "deep is the water above it when it is full?", "6 ft, 4 ft", like_si="2 m, 1.2 m",
            helps="Less than nothing, such as -5 ft, where the outlet lies lower than the ground "
            "at the well. Both make the head of what fills it and of what draws from it.",
            parts=(
                Part(("storage_tank", "elevation"), "outlet"),
                Part(("storage_tank", "water_height"), "water above it", optional="wanted"),
            ),
            open="the head of its pumps; level with the pressure tank is assumed",
        ),
        Question(
            "storage_tank.air_gap",
            "How far above the overflow of the storage tank does the pipe that fills it end?",
            "4 in", like_si="100 mm",
            helps="Looked at from outside through the hatch: nobody climbs in. Nothing where it "
            "ends in the water.",
            parts=(Part(("storage_tank", "air_gap"), "air gap"),),
            open="whether its water can run back into the well's line",
        ),
        Question(
            "storage_tank.overflow",
            "How does the overflow of the storage tank end: screened, open, or has it none?",
            "screened",
            helps="A fine screen at its end keeps insects and rodents out.",
            parts=(Part(("storage_tank", "overflow"), "overflow"),),
            open="whether anything gets in by it",
        ),
        _yes_or_no(
            "storage_tank.covered",
            "Has the storage tank a tight cover with a locked hatch?",
            ("storage_tank", "covered"), "covered",
            "One that overlaps its frame and keeps light, animals, rain and children out.",
            "whether foul water gets in",
        ),
        Question(
            "storage_tank.stops_below",
            "At what share of the storage tank does a float stop the pumps that draw from it? "
            "0 % where none does.", "10 %",
            helps="Without one a booster runs dry when the tank is empty.",
            parts=(Part(("storage_tank", "stops_below"), "stopped at"),),
            open="whether a booster runs dry",
        ),
    ]  # fmt: skip


def _motors(facts: Facts) -> list[Question]:
    """Overload of each motor on alternating current, and ground-fault breakers of them all."""
    questions = []
    for index, pump in _on_mains(facts):
        name = str(pump.get("name", ""))
        questions.append(
            Question(
                f"pump[{name}].overload",
                f"What stops the motor of the {name} when it is overloaded: a protector in the "
                "motor, its box (control box, drive or soft starter), a starter that is set by "
                "hand, or nothing?",
                "in the motor; or starter, 7 A",
                helps="The motor's plate says thermally protected, or the control box names the "
                "motors it is made for. Give the amperes that a starter is set to. Covers stay "
                "on: mains is behind them.",
                parts=(
                    Part(("pump", index, "overload"), "overload protection"),
                    Part(("pump", index, "overload_current"), "set to", optional=True),
                ),
                open="whether an overloaded motor is stopped",
            )
        )
    wet = [("pump", at, "ground_fault_breaker") for at, pump in _on_mains(facts)
           if hangs(pump) and pump.get("phases", 1) == 1]  # fmt: skip
    edition = facts.get("site", "code_edition")
    if wet and not (isinstance(edition, int) and edition < GUARDED_SINCE):
        questions.append(
            Question(
                "pump.ground_fault_breaker",
                "Has the circuit of every pump in the well a ground-fault breaker for the "
                "protection of people? Yes or no.", "yes",
                helps="A breaker with a test button that trips at a few thousandths of an ampere "
                "to ground. The edition of 2020 asks it of outlets outdoors.",
                parts=(Part(wet[0], "ground-fault breaker", also=tuple(wet[1:])),),
                open="whether a fault in a pump's circuit trips before it hurts",
            )
        )  # fmt: skip
    return questions


def _modules(facts: Facts) -> list[Question]:
    """Where all groups of modules stand and what guards them, as the file can tell them apart, and
    the isolator of each."""
    groups = facts.many("array")
    if not groups:
        return []
    place = Question(
        "array.place",
        "Where do the modules stand, and where do their wires end: no building, outside wall, "
        "equipment building, or building? At what tilt, facing which way, and how much of the sun "
        "do trees and roofs take?",
        "roof, building, 30 deg, south, no shade; or ground, outside wall, shade 10 %",
        helps="On the roof or the ground, or on an open structure such as a carport. Then how "
        "near the direct current comes to people's rooms: clear of every building, to a wall's "
        "outside, into a hut for such equipment alone, or in. Of several groups the file can "
        "tell each, and the shade of each month.",
        parts=(
            _of_all(facts, "place", "modules on"),
            _of_all(facts, "reaches", "wires end at"),
            replace(_of_all(facts, "tilt", "tilt", "tilt"), optional="wanted"),
            replace(_of_all(facts, "azimuth", "facing", "azimuth"), optional="wanted"),
            Part(("sun", "shading"), "shade", optional=True),
        ),
        reads=_read_place,
        open="which of the code's exceptions hold",
    )
    guarded = Question(
        "array.guards",
        "Which of these have the modules: ground-fault protection, arc-fault protection, rapid "
        "shutdown? Name them, or say all or none.",
        "all; or ground fault, rapid shutdown",
        helps="Most are within an inverter or charge controller, by its sheet, or at the modules. "
        "A plain wire from modules to an element has none of them by itself. Of several groups "
        "the file can tell each.",
        parts=(
            _of_all(facts, "ground_fault_protection", "ground fault", "ground", "gfp", "gfd"),
            _of_all(facts, "arc_fault_protection", "arc fault", "arc", "afci", "afd"),
            _of_all(facts, "rapid_shutdown", "rapid shutdown", "rapid", "shut", "rsd"),
        ),
        reads=read_named,
        open="whether a fault of their direct current is found and put out",
    )
    isolators = [
        _isolator(index, str(group.get("name", ""))) for index, group in enumerate(groups)
    ]
    return [place, *isolators, guarded]


_SHADE = re.compile(
    r"[\s,;]*\b(?:(?P<none>(?:no|without|not any) shad(?:e|ing)|unshaded|full sun)"
    r"|shad(?:e|ed|ing)(?: of| takes| by)?\s*(?P<share>\d+(?:\.\d+)?)\s*%"
    r"|(?P<ahead>\d+(?:\.\d+)?)\s*% (?:shade|shaded|shading))(?!\w)",
    re.IGNORECASE,
)


def _read_place(answer: str, question: Question, system: System) -> Reading:
    """Where the modules stand and what shades them: the same share of the sun in every month."""
    shade = _SHADE.search(answer)
    *stand, shading = question.parts
    if shade is None:
        return in_pieces(as_stand(answer), tuple(stand), system)
    rest = f"{answer[: shade.start()]}{answer[shade.end() :]}".strip(" ,;")
    taken = 0.0 if shade["none"] else float(shade["share"] or shade["ahead"])
    if taken > WHOLE:
        raise Unclear(f"{quoted(shade[0].strip(' ,;'))} is more than all of the sun")
    kept = f"{', '.join([f'{WHOLE - taken:g}'] * MONTHS)} %"
    reading = in_pieces(as_stand(rest), tuple(stand), system) if rest else Reading({})
    return replace(reading, values={**reading.values, shading.path: kept})


def _of_all(facts: Facts, key: str, label: str, *said: str) -> Part:
    """A key of every group of modules, first of one that lacks it."""
    paths: list[Path] = [("array", index, key) for index in range(len(facts.many("array")))]
    first = next((path for path in paths if facts.get(*path) is None), paths[0])
    also = tuple(path for path in paths if path != first)
    return Part(first, label, said=said, also=also)


def _isolator(index: int, name: str) -> Question:
    place = ("array", index)
    return Question(
        f"array[{name}].isolator",
        f"Which switch within reach turns off the {name}: how many volts and amperes of direct "
        "current does it break, in one conductor or in both? Say no if none does.",
        "600 V, 32 A, both",
        helps="Both stand on its label, with DC beside them. One made for alternating current "
        "does not break an arc of direct current. Never try it by opening a plug in daylight.",
        parts=(
            Part((*place, "isolator_poles"), "conductors opened:", optional="wanted"),
            Part((*place, "isolator_voltage"), "breaks"),
            Part((*place, "isolator_current"), "at"),
        ),
        declines=True,
        no_takes="keys",
        open="whether it can be turned off by hand",
    )


def _heater(facts: Facts) -> list[Question]:
    """What the high limit opens in the circuit of each element, and wires of two currents."""
    groups = {str(group.get("name")) for group in facts.many("array")}
    elements = facts.get("water_heater", "element") or []
    questions = []
    fed: set[bool] = set()
    for index, element in enumerate(elements):
        on_modules = element.get("fed_by") in groups
        fed.add(on_modules)
        questions.append(_high_limit(index, str(element.get("position", "")), on_modules))
    if len(fed) > 1:
        questions.append(
            _yes_or_no(
                "water_heater.supplies_apart",
                "Are the modules' wires at the heater apart from those of the mains, in a box of "
                "their own or behind a partition?",
                ("water_heater", "supplies_apart"), "wires apart",
                "An ordinary heater has one space behind each cover, with wires from element to "
                "element. Behind its covers is mains: a licensed electrician looks.",
                "whether the two kinds of current can touch",
            )
        )  # fmt: skip
    return questions


def _high_limit(index: int, position: str, on_modules: bool) -> Question:
    place = ("water_heater", "element", index)
    parts = [
        Part((*place, "high_limit_switches"), "high limit opens"),
        Part((*place, "high_limit_poles"), "conductors opened:", optional=True),
    ]
    if on_modules:
        asks = (
            f"What does the tank's high limit open in the circuit of the {position} element: a "
            "relay of its own made for direct current, DC contacts, AC contacts, the same relay "
            "as the thermostat, or nothing; and in one conductor or both?"
        )
        like = "relay of its own, 300 V, 32 A, both conductors; or nothing"
        parts += [
            Part((*place, "high_limit_voltage"), "rated", optional=True),
            Part((*place, "high_limit_current"), "at", optional=True),
        ]
    else:
        asks = (
            f"What does the tank's high limit open in the circuit of the {position} element: its "
            "AC contacts, or nothing; and in one conductor or both?"
        )
        like = "AC contacts, both conductors; or nothing"
    return Question(
        f"water_heater.high_limit_{position}" + ("" if index < 2 else f"_{index + 1}"), asks, like,
        helps="By the wiring drawing, not by opening a cover. Where one relay serves thermostat "
        "and high limit, a contact that welds defeats both. Volts and amperes of direct current "
        "stand on the relay.",
        parts=tuple(parts),
        open="what stops the element when its thermostat sticks",
    )  # fmt: skip
