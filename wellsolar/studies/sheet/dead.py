"""Tests of wires, motors, elements and modules before anything is switched on."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import module, module_fit, resistive
from wellsolar.results.moves import ALL_HEAT, ALL_PUMPS, OFF, Move, heat_switch, pump_switch
from wellsolar.results.readings import SheetLine, SheetStep
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import ArrayTable, PumpTable, Site
from wellsolar.studies.array.circuit import array_circuit
from wellsolar.studies.electric.bonding import has_metal_drop_pipe
from wellsolar.studies.house.chain import hangs_in_well
from wellsolar.studies.house.wells import is_here, key_of, name_of, views
from wellsolar.studies.plumbing.layout import stand_of
from wellsolar.studies.reading.table import boxes_of
from wellsolar.studies.reading.visit import Job, Visit
from wellsolar.studies.sheet.power import FILLING, filling, heater_supplies, pump_off
from wellsolar.studies.sun.module_sheet import rating_of
from wellsolar.units import Quantity
from wellsolar.verdicts import listed

BONDED = 1.0
"""Most between a metal part and the panel's ground [ohm]: from memory; the code asks the bond and
gives no figure."""

MOTOR_INSULATION = "2 megohm or more; 0.5 where it is old"
"""Of a submersible motor in the well with its drop cable, at 500 V dc: trade table, read."""

DRY_MOTOR_INSULATION = "1 megohm or more"
"""Of a motor above the water, at 500 V dc: from memory."""

WINDINGS_APART = "within 5 % of each other, all three"
"""Resistances between the legs of a three-phase motor: from memory."""

ELEMENT_INSULATION = "1 megohm or more"
"""Of an element, wires off, in the full tank, by a tester of 500 V: from memory."""

INSULATION_STEPS = ((120.0, "250 V", "0.5 megohm"), (500.0, "500 V", "1 megohm"))
ABOVE_THEM = ("1000 V", "1 megohm")
"""Open-circuit voltage of an array in the cold up to which it is tested at a voltage, and least
insulation: IEC 62446-1:2016, from memory."""

HOTTEST_CELLS, DIM = 65.0, 300.0
"""Cells [degC] and sun [W/m2] of the lowest open-circuit voltage of a bright day: our choice."""

FREEZING, BRIGHT = 0.0, 1000.0
"""Cells [degC] of the highest where the file has no record low, and its sun [W/m2]."""


def dead_steps(job: Job) -> list[SheetStep]:
    """Every test that is made with all supplies off.

    Returns:
        bonding, motors, elements, modules: those that the site has
    """
    site = job.site
    return [
        *_bonding(site),
        *[_motor(site, number, table) for number, table in enumerate(site.pump, 1)],
        *_elements(job),
        *_modules(site),
    ]


def _bonding(site: Site) -> list[SheetStep]:
    """Metal that people touch, to the panel's ground."""
    if not (site.pump or site.array or site.water_heater):
        return []
    parts, proven = [], {}
    for view in views(site):
        name = name_of(view.well)
        of = "" if name is None else f" ({name})"
        if any(hangs_in_well(table) and is_here(view, table) for table in site.pump):
            parts.append(f"metal casing and cap of the well{of}")
            proven[parts[-1]] = f"{key_of(view)}.bonded"
        if site.pump and view.hand_pump is not None:
            parts.append("hand pump's head and metal rising main")
        if has_metal_drop_pipe(view):
            parts.append(f"metal drop pipe{of}")
    if site.pump and site.pressure_tank is not None:
        parts.append("pressure tank")
    if site.water_heater is not None:
        parts.append("water heater's shell and metal pipes")
    parts += [f"rack and frames of the modules ({group.name})" for group in site.array]
    ohms = Quantity(BONDED / 2, kinds.RESISTANCE, 0.0, BONDED)
    lines = [
        SheetLine(f"{part}, to the panel's ground", ohms, proves=proven.get(part, ""))
        for part in parts
    ]
    before = (
        "Every breaker off, every isolator open, all locked; measured dead, wire to wire and wire "
        "to ground. Plastic parts need no reading. Nobody touches the well's top or a "
        "handle before these are in order. A licensed electrician's readings."
    )
    moves = (Move(ALL_PUMPS, OFF), Move(ALL_HEAT, OFF))
    title = "Bonding, all supplies off"
    return [SheetStep("bonding", title, before, tuple(lines), "dead tests", moves)]


def _motor(site: Site, number: int, table: PumpTable) -> SheetStep:
    """A pump's motor and wires before its first start."""
    direct = table.supply == "DC"
    before = f"Its {pump_off(site, table)}, measured dead."
    before += (
        " The motor's leads off the control box, drive, controller or switch: a tester's voltage "
        "ruins the electronics in them. A licensed electrician's readings."
    )
    lines = _insulation(table)
    if direct:
        lines.append(
            SheetLine("polarity of the leads to the motor and its controller", None,
                      "plus on plus, minus on minus, as both are marked")
        )  # fmt: skip
    if table.phases == 3:
        lines.append(SheetLine("resistance of the windings, leg to leg", None, WINDINGS_APART))
    lines.append(
        SheetLine("ground wire of the motor, to the panel's ground",
                  Quantity(BONDED / 2, kinds.RESISTANCE, 0.0, BONDED))
    )  # fmt: skip
    title = f"{table.name}, leads off"
    moves = (Move(pump_switch(table.name), OFF),)
    return SheetStep(f"motor_{number}", title, before, tuple(lines), "dead tests", moves)


def _insulation(table: PumpTable) -> list[SheetLine]:
    """The motor's insulation, where a tester does its electronics no harm."""
    if table.electronics == "in the motor":
        return []
    text = "insulation to ground at 500 V dc, motor with its cable"
    least = DRY_MOTOR_INSULATION if table.kind == "suction" else MOTOR_INSULATION
    untold = table.electronics is None
    if untold and (table.supply == "DC" or table.start == "variable speed"):
        least += "; not read where electronics sit in the motor, which the tester destroys"
    return [SheetLine(text, None, least)]


def _elements(job: Job) -> list[SheetStep]:
    """The elements by themselves, before any current goes on: one that leaks to the tank puts
    direct current on every pipe."""
    heater = job.site.water_heater
    if heater is None:
        return []
    dead = (
        "Every supply of the heater isolated, locked and measured dead: "
        f"{listed(heater_supplies(job.site))}. The tank full: {stand_of(FILLING)}, a hot tap open "
        "until it runs without air. Both wires off each element, and off until its insulation is "
        "read, so that no thermostat, relay or electronics sees the tester: direct current "
        "through a leaking element stands on every pipe."
    )
    lines = boxes_of("element", Visit(job, Readings("sheet", {})))
    lines += [
        SheetLine(f"{element.position} element, insulation to the tank at 500 V dc", None,
                  ELEMENT_INSULATION)
        for element in heater.element
    ]  # fmt: skip
    moves = (Move(ALL_HEAT, OFF), *filling())
    title = "Elements, wires off"
    return [SheetStep("element", title, dead, tuple(lines), "dead tests", moves)]


def _modules(site: Site) -> list[SheetStep]:
    """Every group of modules; none where the module's sheet does not hold together."""
    if site.module is None:
        return []
    try:
        parameters = module_fit.fit_five_parameters(rating_of(site.module))
    except OutOfRange:
        return []
    before = (
        "Isolator open and locked, modules covered where terminals are touched: they give full "
        "voltage in any light, and its arc does not go out. Never open a connector under load. "
        "For the insulation, surge arresters and electronics off, and on again after it. A "
        "licensed electrician's work."
    )
    return [
        SheetStep(
            f"modules_{number}",
            f"Modules ({group.name}), nothing connected",
            before,
            tuple(_of_group(site, group, parameters)),
            "dead tests",
            (Move(heat_switch(group.name), OFF),) if group.feeds == "heater" else (),
        )
        for number, group in enumerate(site.array, 1)
    ]


def _of_group(site: Site, group: ArrayTable, parameters: module.FiveParameters) -> list[SheetLine]:
    """Polarity, open voltage and insulation of a group."""
    each = "" if group.parallel == 1 else ", each string"
    cold = array_circuit(site, group).system_voltage
    tester, least = next(
        ((volts, ohms) for most, volts, ohms in INSULATION_STEPS if cold < most), ABOVE_THEM
    )
    return [
        SheetLine(f"polarity at the isolator{each}", None, "plus on plus, minus on minus"),
        SheetLine(f"open-circuit voltage{each}, before connecting",
                  _open_voltage(site, parameters, group)),
        SheetLine(f"insulation to ground at {tester} dc, plus and minus", None,
                  f"{least} or more"),
    ]  # fmt: skip


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
