"""Water at rest, tank air, hands, disinfection, the night and the sample."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.results import HandPumpResult
from wellsolar.results.readings import Phase, SheetLine, SheetStep
from wellsolar.site.schema import Site
from wellsolar.studies.hand.effort import BUCKET
from wellsolar.studies.reading.table import boxes_of
from wellsolar.studies.reading.visit import Job, Visit
from wellsolar.studies.sheet.supplies import heater_supplies, listed
from wellsolar.units import Quantity

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

BY_HAND = 0.15
"""How far strokes may lie from the pump's own numbers: leathers and valves; our choice [-]."""

LIFTED = 0.25
"""The same for lifts of which only a flow is told: people differ; our choice [-]."""


def water_steps(visit: Visit) -> list[SheetStep]:
    """Water at rest, the tank's air, storage, and what hands lift.

    Parameters:
        visit: with nothing read
    Returns:
        the steps that the site has something for
    """
    return [_well(visit), _tank(visit), *_storage(visit.job.site), *_hands(visit.job)]


def _well(visit: Visit) -> SheetStep:
    """Water at rest."""
    off = ", breakers locked" if visit.job.site.pump else ""
    before = (
        f"No water drawn for some hours{off}. Clean and disinfect tape, hands and whatever else "
        "goes into the well; close its cap after. Many places let only licensed people open a "
        "well."
    )
    lines = tuple(boxes_of("well", visit))
    return SheetStep("well", "Water at rest", before, lines, "water")


def _tank(visit: Visit) -> SheetStep:
    """Air of the drained pressure tank."""
    before = (
        "Every pump's breaker off and locked. Open a tap until the gauge shows nothing, and leave "
        "it open while air goes in or out. Never let in more than the tank's plate allows. Then "
        "shut the tap."
    )
    lines = tuple(boxes_of("tank", visit))
    return SheetStep("tank", "Pressure tank, drained", before, lines, "water")


def _storage(site: Site) -> list[SheetStep]:
    """What keeps a cistern clean."""
    if site.storage_tank is None:
        return []
    lines = (
        SheetLine("storage tank's cover, vent and overflow", None,
                  "cover tight and locked; vent and overflow screened, ends looking down"),
        SheetLine("storage tank's inlet", None, "ends above the overflow's rim, with an air gap"),
    )  # fmt: skip
    before = (
        "Pumps off at their breakers. Looked at from outside: nobody climbs in, as the air in a "
        "tank can kill."
    )
    return [SheetStep("storage", "Storage tank", before, lines, "water")]


def _hands(job: Job) -> list[SheetStep]:
    """The hand pump, and other lifts."""
    hand = job.case.hand_pump
    steps = []
    if hand is not None:
        lines = tuple(_hand_lines(hand))
        before = _before_hand(job.site)
        steps.append(SheetStep("hand_pump", "Hand pump", before, lines, "water"))
    off = "Electric pumps off at their breakers. " if job.site.pump else ""
    for number, lift in enumerate(job.case.lifts, 1):
        task = lift.task("bucket")
        if task is not None and task.time > 0.0 and lift.flow > 0.0:
            low, high = task.time * (1 - LIFTED), task.time * (1 + LIFTED)
            time = Quantity(task.time, kinds.DURATION, low, high)
            line = SheetLine("time to fill a 20 L (5.3 gal) bucket", time)
            before = f"{off}Hands and loose clothes off the gear and the rope."
            steps.append(SheetStep(f"lift_{number}", lift.name, before, (line,), "water"))
    return steps


def _hand_lines(hand: HandPumpResult) -> list[SheetLine]:
    """Strokes for a bucket, for the tank, and until water comes."""
    duty = hand.duty("spout")
    if not hand.draws_water or duty is None:
        return [SheetLine("water at the spout", None, "none: it does not reach the water here")]
    strokes = BUCKET / duty.stroke_volume
    lines = [SheetLine("strokes to fill a 20 L (5.3 gal) bucket", _strokes(strokes))]
    task = hand.task("tank")
    if task is not None and task.strokes is not None:
        text = "strokes to raise the tank from cut-in to cut-out"
        lines.append(SheetLine(text, _strokes(task.strokes)))
    lines.append(SheetLine("after an hour at rest, strokes until water comes", None, PRIMED))
    return lines


def _strokes(count: float) -> Quantity:
    """Strokes as they are counted, with what a hand may be off."""
    low, high = round(count * (1 - BY_HAND)), round(count * (1 + BY_HAND))
    return Quantity(round(count), kinds.COUNT, low, high)


def _before_hand(site: Site) -> str:
    """What to isolate before the handle is moved."""
    text = "Electric pumps off at their breakers before the handle is moved." if site.pump else ""
    hand = site.hand_pump
    if hand is not None and hand.delivers == "tank":
        text += (
            " Valve to the tank open before pumping into it, and shut again before a breaker goes "
            "on; never pump against a shut valve."
        )
    return f"{text} Keep hands clear of the rod and the lever's joint.".strip()


def clean_step(site: Site) -> SheetStep:
    """Disinfection after the work in the well, with every pump that can circulate it proven.

    Parameters:
        site: the site
    Returns:
        the step
    """
    where = "tap" if site.pump or site.pressure_tank is not None else "spout"
    warm = ", hot side and cold" if site.water_heater is not None else ""
    lines = []
    if site.piping.treatment_loss > 0.0:
        words = "bypassed before chlorine comes, back in line when none is left"
        lines.append(SheetLine("softener, carbon, membrane and filters", None, words))
    if site.pump:
        words = "by a hose into the casing, its wall washed down, until a strip shows the dose"
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
    return SheetStep("clean", "Well and pipes, disinfected", before, tuple(lines), phase)


def rest_steps(visit: Visit) -> list[SheetStep]:
    """What is read after days: the night's loss, then the sample.

    Parameters:
        visit: with nothing read
    Returns:
        the steps
    """
    return [_night(visit), _sample(visit.job.site)]


def _night(visit: Visit) -> SheetStep:
    """What the system loses overnight."""
    site = visit.job.site
    shut = "Pumps off at their breakers, every tap shut"
    heater = site.water_heater
    if heater is None:
        before = f"{shut}, and the house's main valve."
    else:
        before = (
            f"{shut}. Off too, as water that warms or cools moves the gauge: "
            f"{listed(heater_supplies(site))}. The valves between heater and pressure tank stay "
            "open: its water expands into that tank."
        )
        if heater.check_valve:
            before = before.replace(
                "The valves between heater and pressure tank stay open: its water expands into "
                "that tank.",
                "No valve shut between the heater and its expansion tank.",
            )
    before += " Note the hour and the gauge. In the morning all valves back as they stood."
    lines = tuple(boxes_of("night", visit))
    return SheetStep("night", "Overnight", before, lines, "at rest")


def _sample(site: Site) -> SheetStep:
    """Bacteria, when the chlorine is long gone."""
    treated = site.piping.treatment_loss > 0.0
    place = "a tap before the treatment" if treated else "a tap or spout"
    lines = (
        SheetLine("since the last chlorine", None, WAIT),
        SheetLine(f"free chlorine at {place}, just before", None, NO_CHLORINE),
        SheetLine("coliform bacteria in the sample", None, "none, by a laboratory"),
    )
    before = (
        f"At {place}, no hose or screen on it, its mouth wiped with chlorine and rinsed, water "
        "run for some minutes. The laboratory's own bottle, kept cool, there the same day. "
        "Nobody drinks the water before the laboratory finds it clean."
    )
    return SheetStep("sample", "Sample of the water", before, lines, "at rest")
