"""Where a verdict's figure and its numbers stand in a report."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from wellsolar.results import Results
from wellsolar.verdicts import Verdict

_WELL, _HAND = ("well", "well"), ("well", "hand_pump")
_CURVE, _LEVEL = ("pump_curve_#", "pump_#"), ("level", "well")
_PUMP, _WIRE = ("", "pump_#"), ("", "wire")
_SUPPLY, _GUARDS = ("supply_months_#", "supply_#"), ("", "circuit_guards")
_ARRAY, _MATCH = ("array", "heater_array"), ("array", "match")
_TANK, _VALVES = ("tank_days", "tank_guards"), ("", "tank_guards")
_TAP, _BLADDER, _LIFT = ("", "tap"), ("", "pressure_tank"), ("", "lift_#")
_OUTAGE = ("outages", "outages")

PLACES: dict[str, tuple[str, str]] = {
    "above the bottom": ("well", "pump_#"),
    "arc fault": _GUARDS,
    "array for the pump": _SUPPLY,
    "battery for the pump": _SUPPLY,
    "boiling": _VALVES,
    "bucket time": _HAND,
    "cold open-circuit voltage": _ARRAY,
    "cylinder under water": _HAND,
    "day's water": _PUMP,
    "day's water from the well": _LEVEL,
    "days short": ("supply_months_#", "supply_year_#"),
    "delivers": _CURVE,
    "depth of the hand pump": _HAND,
    "efficiency": _PUMP,
    "element by its reading": ("", ""),
    "element load": _ARRAY,
    "element on the inverter": ("", "match"),
    "fits the casing": ("well", "casing"),
    "frost": ("well", "frost"),
    "generator start": _PUMP,
    "ground fault": _GUARDS,
    "hand into the tank": _HAND,
    "hand suction lift": _HAND,
    "handle force": _HAND,
    "high limit": _TANK,
    "holds its pressure": _CURVE,
    "holds over the ranges": ("", "ranges"),
    "hot water in the evening": ("hot_water_months", "hot_water_year"),
    "inverter rating": _PUMP,
    "inverter surge": _PUMP,
    "isolator": _GUARDS,
    "maker's discharge table": _HAND,
    "matched to the array": _MATCH,
    "mixing valve": _TAP,
    "mixing-valve standard": _TAP,
    "modules of the tank used": _MATCH,
    "modules on hand": ("", "modules"),
    "module's sheet": ("array", "heater_array|supply_1"),
    "motor conductor": _WIRE,
    "motor cooling": _PUMP,
    "net positive suction head": ("well", "pump_#"),
    "on its curve": _CURVE,
    "overheating": _TANK,
    "peak flow": _CURVE,
    "pipe velocity": ("head", "pump_#"),
    "precharge": _BLADDER,
    "pressure by its reading": ("", ""),
    "pressure at the relief valve": _VALVES,
    "pv conductor": _WIRE,
    "pv overcurrent": _GUARDS,
    "rapid shutdown": _GUARDS,
    "reach of the lift": _LIFT,
    "reaches cut-out": _CURVE,
    "reaches temperature": ("tank_days", "heated_tank"),
    "reading": ("", ""),
    "relief capacity": _VALVES,
    "relief valve": _VALVES,
    "run time": _BLADDER,
    "runs dry": _LEVEL,
    "scald by its reading": ("", ""),
    "scald protection at fixtures": _TAP,
    "share from PV": ("hot_water_months", "heated_tank|hot_water_year"),
    "starts a day": _BLADDER,
    "storage for the peak": ("", "well"),
    "storage temperature": ("tank_days", "heated_tank|tank_guards"),
    "stretch of the rods": _HAND,
    "stroke rate": _HAND,
    "submergence": ("well", "pump_#"),
    "suction lift": ("well", "pump_#"),
    "supply voltage": _PUMP,
    "surplus for the element": ("", "match"),
    "survival by hand": _HAND,
    "survival by this lift": _LIFT,
    "switching thresholds": _MATCH,
    "test fit": ("", "well"),
    "thermal expansion": _VALVES,
    "thermostat on direct current": _GUARDS,
    "time to a burn": _TAP,
    "tracking electronics": _MATCH,
    "vacuum relief": _VALVES,
    "voltage at start": _PUMP,
    "voltage drop": _WIRE,
    "water in an outage of the file": _OUTAGE,
    "water in the worst outage": _OUTAGE,
    "water when one thing fails": _OUTAGE,
    "well loss": _WELL,
    "what is told of the lift": _LIFT,
    "yield": _LEVEL,
}
"""Rule -> figure and section, each "" where there is none; # stands for the number of the pump or
lift that is judged, | stands between a section and that in its place."""


@dataclass(frozen=True)
class Places:
    """Keys of a verdict's figure and of the section that has its numbers; "" for none."""

    figure: str
    section: str


def places_of(
    verdict: Verdict, results: Results, figures: Collection[str], sections: Collection[str]
) -> Places:
    """Where a report shows what a verdict rests on.

    Parameters:
        verdict: the verdict
        results: of the site
        figures, sections: keys of those that the report has
    Returns:
        the places; each empty where the report has no such place
    """
    figure, section = PLACES.get(verdict.rule.key, ("", ""))
    if section == "wire":
        pumps = [each.name for each in results.pumps]
        section = "pump_#" if verdict.subject in pumps else "heater_array"
    of_first = section.split("|")[0] in _OF_FIRST
    further = _further(verdict.subject, results) if of_first else ""
    if further:
        figure, section = "", further
    if not section.startswith(("supply", "lift")):
        names = [each.name for each in results.pumps]
    elif section.startswith("lift"):
        names = [each.name for each in results.lifts]
    else:
        names = [each.pump for each in results.supply_years or results.supply]
    number = str(names.index(verdict.subject) + 1) if verdict.subject in names else ""
    figure, section = figure.replace("#", number), section.replace("#", number)
    return Places(
        figure if figure in figures else "",
        next((each for each in section.split("|") if each in sections), ""),
    )


_OF_FIRST = ("circuit_guards", "heater_array", "heated_tank", "tank_guards")
"""Sections of the heater's own tank and of the array that its days are run for."""


def _further(subject: str, results: Results) -> str:
    """The section of a second tank, or of an element on a further array; "" for neither."""
    if subject == "second tank":
        return "second_tank_guards"
    tank = results.heated_tank
    for fed in () if tank is None else tank.safety.others:
        element = f"element {fed.number}"
        names = {element, f"thermostat of {element}", f"{fed.array}, {element}"}
        if subject in names or (subject == fed.array and tank and fed.array != tank.array):
            return f"circuit_guards_{fed.number}"
    return ""
