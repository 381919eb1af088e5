"""First heat, with taps shut until the water is mixed down, then modules at their elements."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.results.moves import ALL_HEAT, HOT_TAP, OFF, ON, OPEN, SHUT, Move, heat_switch
from wellsolar.results.readings import SheetLine, SheetStep
from wellsolar.site.part_names import HEATER_RELIEF
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import Site, WaterHeaterTable
from wellsolar.studies.array.heater_circuit import elements_on_arrays
from wellsolar.studies.reading.hot_water import THERMOSTAT
from wellsolar.studies.reading.reading import near
from wellsolar.studies.reading.table import boxes_of
from wellsolar.studies.reading.visit import Job, Visit
from wellsolar.studies.safety.guarded_tank import SECOND
from wellsolar.studies.sheet.guards import flag_lines
from wellsolar.studies.sheet.power import filling, heater_supplies
from wellsolar.units import Quantity
from wellsolar.verdicts import listed

ABOVE_SETTING = 20 / 1.8
"""How far the hot supply of a mixing valve lies above its setting for it to work [K]: ASSE
1017-2023, read."""

WARM_ENOUGH = 10.0
"""How far it may be warmed beyond that for the test [K]: our choice."""

NO_COLD = "the hot stops within 5 s, but for a drip"
"""What a mixing valve does when its cold fails: ASSE 1017 and 1070, from memory."""

FULL = (
    "Every wire back on and cover closed. The tank full, seen at an open hot tap that runs "
    "without air, before any supply is closed: an element that is dry burns out at once."
)


def heat_steps(job: Job) -> list[SheetStep]:
    """Everything that is read with an element on: first heat, every array at its element,
    thermostats, second tank; none without a heater."""
    heater = job.site.water_heater
    if heater is None:
        return []
    return [
        *_first_heat(job, heater),
        *_arrays(job),
        _thermostats(job),
        *_second_tank(heater),
    ]


def _first_heat(job: Job, heater: WaterHeaterTable) -> list[SheetStep]:
    """What keeps people from being scalded, as soon as there is water to try it with."""
    site, visit = job.site, Visit(job, Readings("sheet", {}))
    lines = []
    valve = heater.mixing_valve
    if valve is not None:
        hottest = max((element.thermostat or 0.0 for element in heater.element), default=0.0)
        least = valve.outlet + ABOVE_SETTING
        if 0.0 < hottest < least:
            least = hottest - THERMOSTAT
        warm = Quantity(least, kinds.TEMPERATURE, least, least + WARM_ENOUGH)
        path = "water_heater.mixing_valve"
        lines += [
            SheetLine("water at the top of the tank, supply off again", warm),
            SheetLine("mixing valve, its cold side shut for the test", None, NO_COLD, path),
        ]
    mixed = [line for line in boxes_of("hot_water", visit) if line.text.startswith("mixed water")]
    lines += [*mixed, *flag_lines(site, "fixture_valves")]
    if not lines:
        return []
    before = (
        f"{FULL} Of {listed(heater_supplies(site))} one alone is closed, a person at it, until "
        "the tank is warm enough to try the valves, and opened again. Nobody at a tap until these "
        "lines are in order. Cold sides open again after the test."
    )
    first = _switches(site)[0]
    moves = (Move(ALL_HEAT, OFF), *filling(), Move(first, ON), Move(first, OFF))
    moves += (Move(HOT_TAP, OPEN),)
    after, title = (Move(HOT_TAP, SHUT),), "First heat, taps shut"
    return [SheetStep("first_heat", title, before, tuple(lines), "heat", moves, after)]


def _switches(site: Site) -> list[str]:
    """What turns each supply of the heater on."""
    assert site.water_heater is not None
    return list(
        dict.fromkeys(heat_switch(element.fed_by) for element in site.water_heater.element)
    )


def _arrays(job: Job) -> list[SheetStep]:
    """Current and voltage at every element that modules feed."""
    steps = []
    for on in elements_on_arrays(job.site):
        noon = Readings("sheet", {}, sky="clear", hour=12.0)
        lines = tuple(boxes_of("array", Visit(Job(job.case, on), noon)))
        others = [
            switch for switch in heater_supplies(job.site) if f"({on.group.name})" not in switch
        ]
        alone = f" Off: {listed(others)}." if others else ""
        before = (
            f"{FULL}{alone} Then the isolator of the modules ({on.group.name}) closed, and opened "
            "at once where anything hums, smells or trips. Amperes by a direct-current clamp on "
            "insulated wire, volts by rated probes. A licensed electrician's work."
        )
        place = on.group_path.removeprefix("array[").rstrip("]")
        title = f"Modules ({on.group.name}) at the {on.element.position} element"
        own = Move(heat_switch(on.group.name), ON)
        moves = (Move(ALL_HEAT, OFF), *filling(), own)
        after = (Move(own.thing, OFF),)
        steps.append(SheetStep(f"array_{place}", title, before, lines, "heat", moves, after))
    return steps


def _thermostats(job: Job) -> SheetStep:
    """What each thermostat opens at."""
    visit = Visit(job, Readings("sheet", {}))
    lines = [line for line in boxes_of("hot_water", visit)
             if not line.text.startswith("mixed water")]  # fmt: skip
    lines += _surplus_switches(job.site)
    before = (
        "Watch from outside, covers on: the current stops, or the tank's top gets no hotter. One "
        "that runs past the upper end: off at once at every supply, and off until it is mended. "
        f"Stand clear of the {HEATER_RELIEF}'s outlet."
    )
    moves = (*filling(), Move(ALL_HEAT, ON))
    after = (Move(ALL_HEAT, OFF),)
    return SheetStep("hot_water", "Thermostats", before, tuple(lines), "heat", moves, after)


def _surplus_switches(site: Site) -> list[SheetLine]:
    """What keeps an element on the inverter off while the battery is not full."""
    assert site.water_heater is not None
    return [
        SheetLine(
            f"{element.surplus_switch} switch for the surplus, {element.position} element",
            None,
            "open while the battery is below its setting, closed above: by its lamp, or by a "
            "clamp on insulated wire",
            f"water_heater.element[{number}].surplus_switch",
        )
        for number, element in enumerate(site.water_heater.element, 1)
        if element.surplus_switch not in (None, "none")
    ]


def _second_tank(heater: WaterHeaterTable) -> list[SheetStep]:
    """The tank that heats the rest."""
    if heater.second_tank is None:
        return []
    value = near(heater.second_tank.thermostat, kinds.TEMPERATURE, THERMOSTAT)
    before = (
        "The tank full, seen at an open hot tap, before its breaker goes on. Its water may be "
        "hotter than that of the modules' tank. Covers on: read at its outlet."
    )
    lines = (SheetLine("thermostat opens at", value),)
    own, title = heat_switch(SECOND), "Second heated tank"
    moves = (Move(ALL_HEAT, OFF), *filling(), Move(own, ON))
    return [SheetStep("second_tank", title, before, lines, "heat", moves, (Move(own, OFF),))]
