"""Questions about the well, and about how pressure is kept and water led to the house."""

from __future__ import annotations

from functools import partial

from wellsolar.interview.answers.facts import Facts, shipped_default
from wellsolar.interview.answers.question import Offer, Part, Question
from wellsolar.interview.answers.shapes import (
    as_bore,
    as_level,
    as_people,
    as_pipe,
    as_precharge,
    as_switch,
    as_tanks,
    as_test,
)
from wellsolar.kinds import PRESSURE
from wellsolar.site.part_names import HOUSE_MAIN, TANK_DRAIN
from wellsolar.studies.house.demand import LARGEST_HOUSEHOLD

PRECHARGE_BELOW = 13_789.5
"""Air of the tank below the cut-in: 2 psi [Pa], the tank makers' rule that `wellsolar` itself
assumes."""


def well(facts: Facts) -> list[Question]:
    """The well, in the order of a driller's log."""
    return [
        Question(
            "well.depth", "How deep is the well?", "180'; or 180 feet", like_si="55 m",
            helps="From the ground to the bottom, by the driller's log or a weighted line. A bare "
            "number is taken in the unit of the first example.",
            parts=(Part(("well", "depth"), "depth of the well"),),
            open="anything about water",
        ),
        Question(
            "well.static_level",
            "How far below the ground is the water when nothing is pumped? Give a range where "
            "it changes over the year.",
            "85'; or 85-110'", like_si="26 m; or 26-33 m",
            helps="The static level: measured with a tape or a sounder after some hours without "
            "pumping, or out of the log. A range is honest: verdicts use its middle, and "
            "`wellsolar pump` says how they hold over all of it.",
            parts=(Part(("well", "static_level"), "water at rest"),),
            before=as_level,
            open="anything about water; a range as wide as you must, such as 40 to 120 ft, is "
            "better than nothing",
        ),
        Question(
            "well.casing_bore", "How wide is the casing inside?", '6"; or 6 in',
            like_si="150 mm",
            helps="Measure it at the top. It decides what fits beside what, and how much water "
            "the well holds.",
            parts=(Part(("well", "casing_bore"), "casing",
                        said=("steel casing", "pvc casing", "casing", "steel", "pvc", "plastic",
                              "pipe")),),
            before=as_bore,
            offer=Offer("6 in" if facts.system == "US" else "150 mm",
                        "the usual drilled house well [common practice, no source]"),
            open="what fits in the casing side by side",
        ),
        Question(
            "well.tested_yield",
            "What did the driller's test give: flow, and the level it drew down to?",
            "8 gpm at 101'; or 8 gpm", like_si="30 L/min at 31 m",
            helps="Both stand in the log as yield and pumping level. Without them nobody knows "
            "how far pumping draws the water down: it is then taken as down at the intake, the "
            "worst that can be.",
            parts=(
                Part(("well", "tested_yield"), "flow of the test"),
                Part(("well", "tested_pumping_level"), "level meanwhile", optional="wanted",
                     said=("pumping level", "level")),
            ),
            before=partial(as_test, facts.quantity("well", "static_level")),
            needless=(("well", "specific_capacity"), ("well", "step_test"),
                      ("well", "drawdown_test"), ("well", "transmissivity")),
            open="whether a pump outruns the well; its water is taken as drawn to the intake",
        ),
    ]  # fmt: skip


def pressure(facts: Facts) -> list[Question]:
    """Pressure switch and pressure tank; nothing where no pump needs them."""
    if facts.is_no("pumps") and not facts.many("pump"):
        return []
    switch, tank = "pressure_switch", "pressure_tank"
    questions = [
        Question(
            "pressure_switch",
            "At what pressures does the switch start and stop the pump?",
            "40/60; or 40/60, valve 50", like_si="280/410; or 2.8/4.1 bar",
            helps="Cut-in and cut-out: watch the gauge at the tank while a tap runs, or read the "
            "label inside the cover of the switch. Mains voltage is under that cover: leave it "
            "on unless you are licensed for it. Where a constant-pressure valve stands between "
            "pump and tank, add what it is set to.",
            parts=(
                Part((switch, "cut_in"), "starts at",
                     said=("cut-in", "cut in", "on", "starts", "start")),
                Part((switch, "cut_out"), "stops at",
                     said=("cut-out", "cut out", "off", "stops", "stop")),
                Part(("constant_pressure_valve", "set_pressure"), "constant-pressure valve",
                     said=("constant-pressure valve", "constant pressure valve", "valve"),
                     optional=True),
            ),
            before=as_switch,
            offer=Offer("40/60" if facts.system == "US" else "280/410",
                        "a usual setting; 30/50 psi is the other [common practice, no source]"),
            open="whether a pump reaches its cut-out, and all that follows from pressure",
        ),
        Question(
            "pressure_tank",
            "How large is the pressure tank? Say no if there is none.", "44 gal; or 2 x 44 gal",
            like_si="170 L",
            helps="The volume on its plate, air and water together, of each tank.",
            parts=(
                Part((tank, "volume"), "pressure tank",
                     said=("bladder tank", "diaphragm tank", "pressure tank", "tank", "bladder")),
                Part((tank, "count"), "so many alike", optional=True),
                Part((tank, "precharge"), "precharge", optional=True,
                     said=("precharge", "pre-charge", "air")),
            ),
            before=as_tanks,
            declines=True,
            open="how long a pump runs each time, and how often it starts",
        ),
    ]  # fmt: skip
    if facts.get(tank) is not None:
        questions.append(_precharge(facts))
    return questions


def _precharge(facts: Facts) -> Question:
    cut_in = facts.quantity("pressure_switch", "cut_in")
    offer = None
    if cut_in is not None and cut_in > PRECHARGE_BELOW:
        text = facts.typed(cut_in - PRECHARGE_BELOW, PRESSURE)
        offer = Offer(text, "2 psi (14 kPa) below the cut-in, the trade's rule [precharge]")
    return Question(
        "pressure_tank.precharge",
        "What is its precharge: the air, measured with no water in it?", "38 psi",
        like_si="266 kPa",
        helps="Pump off and its breaker open, a water heater off too. "
        f"{HOUSE_MAIN.capitalize()} shut, {TANK_DRAIN} open until nothing runs, then a tyre gauge "
        "on the tank's air valve. A wrong precharge takes water out of every fill.",
        parts=(Part(("pressure_tank", "precharge"), "precharge"),),
        before=partial(as_precharge, cut_in),
        offer=offer,
        open="whether the tank holds what it could; 2 psi below the cut-in is assumed",
    )  # fmt: skip


def pipes(facts: Facts) -> list[Question]:
    """Pipe, its length, and the height of the tank."""
    if facts.is_no("pumps") and not facts.many("pump"):
        return []
    pipe, far, high = (
        shipped_default(f"piping.{key}")
        for key in ("drop_pipe.size", "lateral.length", "tank_elevation")
    )
    drop, lateral = ("piping", "drop_pipe"), ("piping", "lateral")
    return [
        Question(
            "piping",
            "What pipe carries the water up the well and to the house? How far is it from the "
            "well to the pressure tank, how much higher than the ground at the well does the tank "
            "stand (minus where it stands lower), and how deep does the ground freeze?",
            '1" poly, 60 ft, 5 ft, frost 4 ft; or 1-1/4" PVC, 60 ft, -10 ft',
            like_si="PE100 40 mm SDR 11, 18 m, 1.5 m, frost 1.2 m",
            helps="Nominal size and material, in inches or as DN 32, with the wall where the pipe "
            "has one printed on it: 1 in SIDR 11.5, 63 mm SDR 11 or 63 mm PN 16; then the length "
            "of the pipe outside the well, then "
            "the height of the tank's gauge: each foot is a foot of head for every pump. How deep "
            "the frost goes, the local code tells. If the "
            "pipe in the well is another one, give that, and change [piping] lateral in the "
            "file.",
            parts=(
                Part((*drop, "size"), "size", also=((*lateral, "size"),)),
                Part((*drop, "material"), "material",
                     optional=True, also=((*lateral, "material"),)),
                Part((*lateral, "length"), "well to tank", optional="wanted"),
                Part(("piping", "tank_elevation"), "higher by", optional="wanted",
                     said=("higher by", "higher", "up")),
                Part(("piping", "frost_depth"), "frost", optional=True,
                     said=("frost depth", "frost line", "frost", "freezes")),
                Part((*drop, "pressure_class"), "made for", optional=True,
                     also=((*lateral, "pressure_class"),)),
            ),
            before=as_pipe,
            offer=Offer("1 in polyethylene, 50 ft, 5 ft" if facts.system == "US" else
                        "DN 25 polyethylene, 15 m, 1.5 m",
                        f"{pipe.why}; {far.why}; {high.why}"),
        ),
    ]  # fmt: skip


def people(facts: Facts) -> list[Question]:
    """Who drinks the water."""
    questions = [
        Question(
            "site.people",
            "How many people drink this water?",
            "4",
            helps="The day's water follows from them by a rule of metered households, up to ten; "
            "and what each needs when things fail.",
            parts=(Part(("site", "people"), "people"),),
            before=as_people,
            open="whether the water lasts through a day, and through an outage",
        )
    ]
    number = facts.get("site", "people")
    if isinstance(number, int) and number > LARGEST_HOUSEHOLD:
        questions.append(
            Question(
                "demand.daily_use", "How much water do they use on an ordinary day?",
                "2000 gal a day", like_si="8 m3/day",
                helps="All of it together, by the meter if there is one. Left out, they count as "
                "households of up to ten, each by its metered use.",
                parts=(Part(("demand", "daily_use"), "water a day"),),
                open="whether the pumps give the day's water",
            )
        )  # fmt: skip
    return questions
