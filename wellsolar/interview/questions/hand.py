"""Questions about the hand pump, and about what runs the house when the grid is down."""

from __future__ import annotations

from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.answers.question import Offer, Part, Question
from wellsolar.interview.answers.shapes import as_hand_pump, as_power
from wellsolar.kinds import LENGTH

BELOW_WATER = 6.096
"""Depth of a cylinder below the deepest water at rest, 20 ft [m]: common practice, no source."""


def hand_pump(facts: Facts) -> list[Question]:
    """Cylinder, depth, and where the water goes."""
    place = ("hand_pump",)
    questions = [
        Question(
            "hand_pump",
            "Is there a hand pump, or shall there be one? Give the bore and stroke of its "
            "cylinder, or say no.",
            "2 in, 6 in", like_si="50 mm, 150 mm",
            helps="By its sheet: the bore is the inside of the cylinder, the stroke how far the "
            "rod travels. Say suction with it if the cylinder is at the top and sucks; that "
            "reaches some 25 ft, less with altitude.",
            parts=(
                Part((*place, "kind"), "kind", optional=True),
                Part((*place, "bore"), "bore",
                     said=("bore", "brass cylinder", "cylinder")),
                Part((*place, "stroke"), "stroke", said=("stroke",)),
                Part((*place, "cylinder_depth"), "depth", said=("depth",), optional=True),
            ),
            before=as_hand_pump,
            declines=True,
            open="what people can pump by hand when everything fails",
        )
    ]  # fmt: skip
    if facts.get("hand_pump") is not None:
        questions.append(_place(facts))
    return questions


def _place(facts: Facts) -> Question:
    depth, bottom = facts.quantity("well", "static_level"), facts.quantity("well", "depth")
    suction = facts.get("hand_pump", "kind") == "suction"
    delivers = Part(("hand_pump", "delivers"), "delivers to")
    goals = "a spout or into the pressure tank"
    if facts.get("storage_tank") is not None:
        goals = "a spout, into the pressure tank or into the storage tank"
    if suction:
        return Question(
            "hand_pump.place", f"Where does it deliver: to {goals}?", "spout; or tank",
            helps="Into the tank means against the pressure of the house.",
            parts=(delivers,), offer=Offer("spout", "as most do [common practice, no source]"),
        )  # fmt: skip
    offer = None
    if depth is not None and bottom is not None:
        where = min(depth.high + BELOW_WATER, float(bottom))
        text = facts.typed(where, LENGTH)
        into = "tank" if facts.get("pressure_tank") is not None else "spout"
        offer = Offer(f"{text}, {into}", "20 ft (6 m) below the deepest water at rest [common "
                      "practice, no source]")  # fmt: skip
    return Question(
        "hand_pump.place",
        f"How deep does its cylinder hang, and does it deliver to {goals}?",
        "125', tank", like_si="38 m, spout",
        helps="Depth below the ground. Into the tank means against the pressure of the house, so "
        "that a tap runs while somebody pumps.",
        parts=(Part(("hand_pump", "cylinder_depth"), "cylinder"), delivers),
        offer=offer,
        open="how hard it pulls; 20 ft below the water and a spout are assumed",
    )  # fmt: skip


def power(facts: Facts) -> list[Question]:
    """Inverter and battery in one line."""
    place = ("power",)
    return [
        Question(
            "power",
            "Is there an inverter with a battery, or shall there be one? Give its rating, what "
            "it gives for a moment (surge), and the battery, or say no.",
            "6 kW, 12 kVA, 15 kWh",
            helps="By their plates, in this order; what you do not know of it leave out. A "
            "battery bank of 48 V and 200 Ah holds about 48 x 200 / 1000 = 9.6 kWh.",
            parts=(
                Part((*place, "inverter_rating"), "inverter", unit="kW", said=("inverter",)),
                Part((*place, "inverter_surge"), "surge", unit="kVA", optional="wanted",
                     said=("surge", "peak")),
                Part((*place, "battery_energy"), "battery", optional="wanted",
                     said=("batteries", "battery bank", "battery", "bank")),
                Part((*place, "inverter_voltage"), "its volts", optional=True),
            ),
            before=as_power,
            declines=True,
            no_takes="keys",
            open="whether the house can run and start its pumps without the grid",
        )
    ]  # fmt: skip
