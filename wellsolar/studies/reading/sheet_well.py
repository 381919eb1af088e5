"""Steps of the commissioning sheet at the well, its pumps and the pressure tank."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.constants import PSI
from wellsolar.physics.hydraulics import pressure_tank
from wellsolar.results import HandPumpResult, LiftResult, PumpResult, WellResult
from wellsolar.results.readings import SheetLine, SheetStep
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.hand.effort import BUCKET
from wellsolar.studies.reading.fill import bucket_band, expected_fill
from wellsolar.studies.reading.level import TAPE, rest_band
from wellsolar.studies.reading.motor import expected_amps
from wellsolar.studies.reading.pumps import SLACK, ReadPump
from wellsolar.units import Quantity

HALF_AN_HOUR = 1800.0
"""Time of pumping after which the level is read [s], one of those of the well's course."""

INSULATION = "2 megohm or more; 0.5 where it is old"
"""Of a submersible motor in the well with its drop cable: trade table, read."""

CHLORINE = "no more than 4 mg/L"
"""Free chlorine in drinking water: limit of the US drinking-water rules, from memory."""

PRIMED = "3 or fewer"
"""Strokes that a foot valve in order takes: common practice, no source."""

BY_HAND = 0.15
"""How far strokes may lie from the pump's own numbers: leathers and valves; our choice [-]."""

LIFTED = 0.25
"""The same for lifts of which only a flow is told: people differ; our choice [-]."""


def near(value: float, kind: kinds.Kind, off: float) -> Quantity:
    """A value with as much either side, not below 0 [of its kind]."""
    return Quantity(value, kind, max(0.0, value - off), value + off)


def tank_step(site: Site) -> SheetStep:
    """Air of the drained pressure tank."""
    lines = []
    if site.pressure_tank is not None and site.pressure_switch is not None:
        best = float(pressure_tank.recommended_precharge(float(site.pressure_switch.cut_in)))
        label = "precharge, tank drained"
        if site.pressure_tank.count > 1:
            label = f"precharge of each of {site.pressure_tank.count} tanks, drained"
        lines.append(SheetLine(label, near(best, kinds.PRESSURE, PSI)))
    before = (
        "Every pump's breaker off and locked. Open a tap until the gauge shows nothing, and leave "
        "it open while air goes in or out. Never let in more than the tank's plate allows."
    )
    return SheetStep("tank", "Pressure tank, drained", before, tuple(lines))


def well_step(site: Site) -> SheetStep:
    """Water at rest."""
    value = rest_band(site)
    before = (
        "All pumps off since some hours, breakers locked. Clean and disinfect tape, hands and "
        "whatever else goes into the well; close its cap after. Many places let only licensed "
        "people open a well."
    )
    return SheetStep("well", "Water at rest", before, (SheetLine("static level", value),))


def pump_steps(
    site: Site, pumps: tuple[PumpResult, ...], well: WellResult | None
) -> list[SheetStep]:
    """Each powered pump.

    Parameters:
        site: the site
        pumps: results of its pumps
        well: the well through time, None where that is not known
    Returns:
        a step a pump
    """
    return [
        SheetStep(
            f"pump_{number}",
            table.name,
            _before_pump(site, table),
            tuple(_pump_lines(ReadPump(site, table, Readings("sheet", {})), result, well)),
        )
        for number, (table, result) in enumerate(zip(site.pump, pumps, strict=True), 1)
    ]


def _before_pump(site: Site, table: PumpTable) -> str:
    others = [each.name for each in site.pump if each is not table]
    alone = f" Off at the breaker: {_listed(others)}." if others else ""
    supply = "Breaker off and locked while wires are touched."
    if table.supply == "DC":
        supply = (
            "Isolator open and locked while wires are touched, modules covered: they give full "
            "voltage in any light."
        )
    hand = site.hand_pump
    valve = ""
    if hand is not None and hand.delivers == "tank":
        valve = " The hand pump's valve shut."
    return (
        f"{supply} Ground and insulation are the licensed electrician's "
        f"readings, before the first start.{alone}{valve} Off at once if it hums, trips or draws "
        "no water."
    )


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _pump_lines(at: ReadPump, result: PumpResult, well: WellResult | None) -> list[SheetLine]:
    site, table = at.site, at.table
    lines = []
    if table.kind != "suction":
        lines.append(SheetLine("insulation to ground, motor with its cable", None, INSULATION))
    if table.held_pressure is not None:
        held = near(float(table.held_pressure), kinds.PRESSURE, 2 * PSI)
        lines.append(SheetLine("pressure that it holds, by the gauge", held))
    elif site.pressure_switch is not None:
        switch = site.pressure_switch
        for label, value in (("cut-in", switch.cut_in), ("cut-out", switch.cut_out)):
            band = near(float(value), kinds.PRESSURE, 2 * PSI)
            lines.append(SheetLine(f"{label} by the gauge", band))
    amps = expected_amps(at)
    if amps is not None:
        lines.append(SheetLine("running current", amps))
    known = result.fill.duration if result.fill is not None else None
    if known is not None:
        fill = expected_fill(at, known)
        lines += [] if fill is None else [SheetLine("cut-in to cut-out, no tap open", fill)]
    flow = bucket_band(at)
    if flow.low > 0.0:
        words = f"flow by bucket, level settled, {at.at_pressures}"
        lines.append(SheetLine(words, flow))
    return lines + _level_line(at, result, well)


def _level_line(at: ReadPump, result: PumpResult, well: WellResult | None) -> list[SheetLine]:
    """The level after half an hour of pumping, or settled where the casing's water is not told."""
    if not result.level_known:
        return []
    static = at.site.well.static_level
    in_time = _after_half_an_hour(well, result.name)
    drops = [each.pumping_level - float(static) for each in result.duties]
    label = "level while pumping, settled"
    if in_time is not None and max(drops) > 0.0:
        drops = [(in_time - float(static)) * each / max(drops) for each in drops]
        label = "level after half an hour of pumping"
    low = max(0.0, static.low + min(drops) * (1 - SLACK) - TAPE)
    # No deeper than the intake, where the pump draws air.
    high = min(static.high + max(drops) * (1 + SLACK) + TAPE, max(result.intake_depth, low))
    middle = min(float(static) + sum(drops) / len(drops), high)
    return [SheetLine(label, Quantity(middle, kinds.LENGTH, low, high))]


def _after_half_an_hour(well: WellResult | None, name: str) -> float | None:
    """Depth of the water then under a pump [m]; None where the well's course is not known."""
    found = [each for each in (() if well is None else well.pumps) if each.name == name]
    if well is None or not found or HALF_AN_HOUR not in well.times or not found[0].levels:
        return None
    return found[0].levels[well.times.index(HALF_AN_HOUR)]


def hand_steps(
    site: Site, hand: HandPumpResult | None, lifts: tuple[LiftResult, ...]
) -> list[SheetStep]:
    """The hand pump, and other lifts.

    Parameters:
        site: the site
        hand: result of its hand pump
        lifts: results of its other lifts
    Returns:
        a step each
    """
    steps = []
    if hand is not None:
        lines = tuple(_hand_lines(hand))
        steps.append(SheetStep("hand_pump", "Hand pump", _before_hand(site), lines))
    for number, lift in enumerate(lifts, 1):
        task = lift.task("bucket")
        if task is not None and task.time > 0.0 and lift.flow > 0.0:
            time = Quantity(task.time, kinds.DURATION, task.time * (1 - LIFTED),
                            task.time * (1 + LIFTED))  # fmt: skip
            line = SheetLine("time to fill a 20 L (5.3 gal) bucket", time)
            before = "Electric pumps off at their breakers. Hands and loose clothes off the gear."
            steps.append(SheetStep(f"lift_{number}", lift.name, before, (line,)))
    return steps


def _hand_lines(hand: HandPumpResult) -> list[SheetLine]:
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
    low, high = round(count * (1 - BY_HAND)), round(count * (1 + BY_HAND))
    return Quantity(round(count), kinds.COUNT, low, high)


def _before_hand(site: Site) -> str:
    said = "Electric pumps off at their breakers before the handle is moved." if site.pump else ""
    hand = site.hand_pump
    if hand is not None and hand.delivers == "tank":
        said += (
            " Valve to the tank open before pumping into it, and shut again before a breaker goes "
            "on; never pump against a shut valve."
        )
    return f"{said} Keep hands clear of the rod and the lever's joint.".strip()


def clean_step(site: Site) -> SheetStep:
    """Disinfection after the work in the well."""
    lines = [
        SheetLine("free chlorine at each tap after flushing", None, CHLORINE),
        SheetLine("coliform bacteria in a sample", None, "none, by a laboratory"),
    ]
    heater = ", the water heater off" if site.water_heater is not None else ""
    before = (
        "Disinfect well and pipes as the local health office asks. Nobody drinks, cooks with or "
        f"bathes in the water meanwhile{heater}. Gloves and goggles; chlorine never with acid or "
        "another cleaner: the gas kills. Flush outdoors, away from plants and the septic tank."
    )
    return SheetStep("clean", "Well and pipes, disinfected", before, tuple(lines))


def night_step(site: Site) -> SheetStep:
    """What the system loses overnight."""
    lines: tuple[SheetLine, ...] = ()
    if site.pressure_tank is not None:
        value = Quantity(0.0, kinds.PRESSURE_LOSS, 0.0, 2 * PSI)
        lines = (SheetLine("pressure lost overnight", value),)
    heater = " The heater off too, as water that warms or cools moves the gauge." if (
        site.water_heater is not None) else ""  # fmt: skip
    before = (
        "Pumps off at their breakers, every tap and the house valve shut; note the hour and the "
        f"gauge.{heater}"
    )
    return SheetStep("night", "Overnight", before, lines)
