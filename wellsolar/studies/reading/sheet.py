"""The commissioning sheet: readings in the order they are taken, with what each should be.

Each step says what to isolate first. Its boxes are those of the readings of the table, beside
checks of its own that no reading takes up.
"""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.constants import PSI
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import module, module_fit, resistive
from wellsolar.results import HandPumpResult, StudyPart
from wellsolar.results.readings import SheetLine, SheetResult, SheetStep
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import ArrayTable, PumpTable, Site, WaterHeaterTable
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.hand.effort import BUCKET
from wellsolar.studies.reading.hot_water import THERMOSTAT
from wellsolar.studies.reading.reading import near
from wellsolar.studies.reading.table import boxes_of
from wellsolar.studies.reading.visit import Job, Visit
from wellsolar.studies.sun.module_sheet import rating_of
from wellsolar.units import Quantity

MOTOR_INSULATION = "2 megohm or more; 0.5 where it is old"
"""Of a submersible motor in the well with its drop cable: trade table, read."""

ARRAY_INSULATION = "1 megohm or more; 0.5 below 120 V"
"""Of an array, wires of both poles: IEC 62446-1, from memory."""

CHLORINE = "no more than 4 mg/L"
"""Free chlorine in drinking water: limit of the US drinking-water rules, from memory."""

PRIMED = "3 or fewer"
"""Strokes that a foot valve in order takes: common practice, no source."""

BY_HAND = 0.15
"""How far strokes may lie from the pump's own numbers: leathers and valves; our choice [-]."""

LIFTED = 0.25
"""The same for lifts of which only a flow is told: people differ; our choice [-]."""

HOTTEST_CELLS, DIM = 65.0, 300.0
"""Cells [degC] and sun [W/m2] of the lowest open-circuit voltage of a bright day: our choice."""

FREEZING, BRIGHT = 0.0, 1000.0
"""Cells [degC] of the highest where the file has no record low, and its sun [W/m2]."""

ELEMENT_INSULATION = "1 megohm or more"
"""Of an element, wires off, in the full tank, by a tester of 500 V: from memory."""

DISCHARGE = (
    "full size, by gravity, open over a drain in sight, 6 in or less above the floor; no thread, "
    "trap, tee or valve"
)
"""What the pipe of a relief valve is: IPC 504.6, in a city's print."""

RELIEF_VALVE = SheetLine("relief valve", None, "flows when lifted, shuts tight")


def study_sheet(case: Studied) -> tuple[SheetResult, StudyPart]:
    """The readings to take at handover.

    Parameters:
        case: the site and its studies
    Returns:
        the steps in their order
    """
    job = Job(case)
    visit = Visit(job, Readings("sheet", {}))
    steps = [
        _tank_step(visit),
        _well_step(visit),
        *[_pump_step(job, number, table) for number, table in enumerate(job.site.pump, 1)],
        *_hand_steps(job),
        _clean_step(job.site),
        *_element_steps(visit),
        *_array_steps(job),
        *_hot_steps(visit),
        _night_step(visit),
    ]
    sheet = SheetResult(tuple(step for step in steps if step.lines))
    return sheet, StudyPart()


def _tank_step(visit: Visit) -> SheetStep:
    """Air of the drained pressure tank."""
    before = (
        "Every pump's breaker off and locked. Open a tap until the gauge shows nothing, and leave "
        "it open while air goes in or out. Never let in more than the tank's plate allows."
    )
    lines = boxes_of("tank", visit)
    return SheetStep("tank", "Pressure tank, drained", before, tuple(lines))


def _well_step(visit: Visit) -> SheetStep:
    """Water at rest."""
    before = (
        "All pumps off since some hours, breakers locked. Clean and disinfect tape, hands and "
        "whatever else goes into the well; close its cap after. Many places let only licensed "
        "people open a well."
    )
    return SheetStep("well", "Water at rest", before, tuple(boxes_of("well", visit)))


def _pump_step(job: Job, number: int, table: PumpTable) -> SheetStep:
    """A powered pump."""
    lines = []
    if table.kind != "suction":
        text = "insulation to ground, motor with its cable"
        lines.append(SheetLine(text, None, MOTOR_INSULATION))
    lines += boxes_of("pump", Visit(job, Readings("sheet", {}, pump=table.name)))
    before = _before_pump(job.site, table)
    return SheetStep(f"pump_{number}", table.name, before, tuple(lines))


def _before_pump(site: Site, table: PumpTable) -> str:
    """What to isolate before a pump's readings."""
    others = [other.name for other in site.pump if other is not table]
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
    """Names as a sentence lists them."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _hand_steps(job: Job) -> list[SheetStep]:
    """The hand pump, and other lifts."""
    hand = job.case.hand_pump
    steps = []
    if hand is not None:
        lines = tuple(_hand_lines(hand))
        steps.append(SheetStep("hand_pump", "Hand pump", _before_hand(job.site), lines))
    for number, lift in enumerate(job.case.lifts, 1):
        task = lift.task("bucket")
        if task is not None and task.time > 0.0 and lift.flow > 0.0:
            low, high = task.time * (1 - LIFTED), task.time * (1 + LIFTED)
            time = Quantity(task.time, kinds.DURATION, low, high)
            line = SheetLine("time to fill a 20 L (5.3 gal) bucket", time)
            before = "Electric pumps off at their breakers. Hands and loose clothes off the gear."
            steps.append(SheetStep(f"lift_{number}", lift.name, before, (line,)))
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


def _clean_step(site: Site) -> SheetStep:
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


def _array_steps(job: Job) -> list[SheetStep]:
    """Every group of modules; none where the module's sheet does not hold together."""
    site = job.site
    if site.module is None:
        return []
    try:
        parameters = module_fit.fit_five_parameters(rating_of(site.module))
    except OutOfRange:
        return []
    steps = []
    for number, group in enumerate(site.array, 1):
        heats = job.array is not None and job.array.on.group is group
        lines = [
            SheetLine("open-circuit voltage before connecting",
                      _open_voltage(site, parameters, group)),
            SheetLine("polarity at the isolator", None, "plus on plus, in every string"),
            SheetLine("insulation to ground, plus and minus", None, ARRAY_INSULATION),
        ]  # fmt: skip
        if heats:
            noon = Readings("sheet", {}, sky="clear", hour=12.0)
            lines += boxes_of("array", Visit(job, noon))
        key, title = "array" if heats else f"array_{number}", f"Modules: {group.name}"
        before = _before_modules(group.feeds == "heater")
        steps.append(SheetStep(key, title, before, tuple(lines)))
    return steps


def _open_voltage(site: Site, parameters: module.FiveParameters, group: ArrayTable) -> Quantity:
    """From cells in the record low or at freezing to those of a hot day in weak sun [V]."""
    coldest = site.sun.record_low
    cases = ((DIM, HOTTEST_CELLS), (BRIGHT, FREEZING if coldest is None else float(coldest)))
    volts = []
    for light, cells in cases:
        one = module.at_conditions(parameters, light, cells)
        array = module.array_of(one, group.series, group.parallel)
        volts.append(float(resistive.open_circuit_voltage(array)))
    return Quantity(sum(volts) / 2, kinds.VOLTAGE, min(volts), max(volts))


def _before_modules(heats: bool) -> str:
    """What to isolate before an array's terminals are touched."""
    covered = (
        "Isolator open and locked, modules covered where terminals are touched: they give full "
        "voltage in any light, and its arc does not go out. Never open a connector under load."
    )
    tank = (
        " The tank is full of water, seen at an open hot tap, before the isolator is closed: an "
        "element that is dry burns out at once."
    )
    return f"{covered}{tank if heats else ''} A licensed electrician's work."


def _element_steps(visit: Visit) -> list[SheetStep]:
    """The elements by themselves, before any current goes on: one that leaks to the tank puts
    direct current on every pipe."""
    site = visit.job.site
    heater = site.water_heater
    if heater is None:
        return []
    dead = (
        "Every supply of the heater isolated, locked and measured dead: "
        f"{_supplies(site, heater)}. The tank full. Both wires off each element, and off until "
        "its insulation is read: direct current through a leaking element stands on every pipe."
    )
    lines = boxes_of("element", visit)
    leaks = "insulation of each element to the tank, tester of 500 V"
    lines.append(SheetLine(leaks, None, ELEMENT_INSULATION))
    return [SheetStep("element", "Elements, wires off", dead, tuple(lines))]


def _hot_steps(visit: Visit) -> list[SheetStep]:
    """The hot water, and the second tank."""
    heater = visit.job.site.water_heater
    if heater is None:
        return []
    hot = (
        "Keep everybody from the taps until the mixed water is measured. Stand clear of the "
        "relief valve's outlet, which must lead to a safe place. Isolate every supply before a "
        "cover comes off."
    )
    lines = [*boxes_of("hot_water", visit), RELIEF_VALVE]
    lines.append(SheetLine("discharge pipe of the relief valve", None, DISCHARGE))
    if heater.expansion_tank_precharge is not None:
        value = near(heater.expansion_tank_precharge, kinds.PRESSURE, PSI)
        lines.append(SheetLine("air of the expansion tank, drained", value))
    steps = [SheetStep("hot_water", "Hot water", hot, tuple(lines))]
    if heater.second_tank is not None:
        value = near(heater.second_tank.thermostat, kinds.TEMPERATURE, THERMOSTAT)
        before = (
            "Its breaker off and locked before a cover comes off; the tank full before it goes "
            "on. Its water may be hotter than that of the modules' tank."
        )
        boxes = (SheetLine("thermostat opens at", value), RELIEF_VALVE)
        steps.append(SheetStep("second_tank", "Second heated tank", before, boxes))
    return steps


def _supplies(site: Site, heater: WaterHeaterTable) -> str:
    """What feeds the heater's elements, as it is switched off."""
    feeders = {element.fed_by for element in heater.element}
    groups = [group.name for group in site.array if group.name in feeders]
    switches = [f"the isolator of the modules ({name})" for name in groups]
    switches += [f"the breaker of the {name}" for name in ("grid", "inverter") if name in feeders]
    return ", ".join(switches)


def _night_step(visit: Visit) -> SheetStep:
    """What the system loses overnight."""
    heater = ""
    if visit.job.site.water_heater is not None:
        heater = " The heater off too, as water that warms or cools moves the gauge."
    before = (
        "Pumps off at their breakers, every tap and the house valve shut; note the hour and the "
        f"gauge.{heater}"
    )
    return SheetStep("night", "Overnight", before, tuple(boxes_of("night", visit)))
