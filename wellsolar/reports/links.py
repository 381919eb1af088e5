"""Where a verdict's figure and its numbers stand in a report."""

from __future__ import annotations

from collections.abc import Collection

from wellsolar.results import Results
from wellsolar.verdicts import Place, Verdict


def places_of(
    verdict: Verdict, results: Results, figures: Collection[str], sections: Collection[str]
) -> Place:
    """Where a report shows what a verdict rests on.

    Parameters:
        figures, sections: keys of those that the report has
    Returns:
        the places; each empty where the report has no such place
    """
    place = verdict.rule.place
    figure, section = place.figure, place.section
    of_first = any(name in _OF_FIRST for name in section.split("|"))
    further = _further(verdict.subject, results) if of_first else ""
    if further:
        figure, section = "", further
    if not section.startswith(("supply", "lift")):
        names = [pump.name for pump in results.pumps]
    elif section.startswith("lift"):
        names = [lift.name for lift in results.lifts]
    else:
        names = [supply_year.pump for supply_year in results.supply_years or results.supply]
    other = _other_well(verdict.subject, results)
    if other and section in ("well", "casing"):
        section = f"other_{section}_{other}"
        figure = f"other_well_{other}" if figure == "well" else figure
    number = str(names.index(verdict.subject) + 1) if verdict.subject in names else ""
    figure, section = figure.replace("#", number), section.replace("#", number)
    return Place(
        figure if figure in figures else "",
        next((name for name in section.split("|") if name in sections), ""),
    )


def _other_well(subject: str, results: Results) -> int:
    """Number of the other well that is judged, by its name or that of a pump in it; 0 for the
    first."""
    for number, other in enumerate(results.other_wells, 1):
        pumps = () if other.well is None else other.well.pumps
        if other.name in subject or subject in [pump.name for pump in pumps]:
            return number
    return 0


_OF_FIRST = ("circuit_guards", "heater_array", "heated_tank", "tank_guards")
"""Sections of the heater's own tank and of the array that its days are run for; others have some
of their own."""


def _further(subject: str, results: Results) -> str:
    """The section of a second tank, of an element on a further array, or of an array that heats
    nothing; "" for neither."""
    if subject == "second tank":
        return "second_tank_guards"
    arrays = [array.circuit.array for array in results.arrays]
    if subject in arrays:
        return f"circuit_array_{arrays.index(subject) + 1}"
    tank = results.heated_tank
    for fed in () if tank is None else tank.safety.others:
        element = f"element {fed.number}"
        names = {element, f"{fed.array}, {element}"}
        names |= {f"{guard} of {element}" for guard in ("thermostat", "high limit")}
        if subject in names or (subject == fed.array and tank and fed.array != tank.array):
            return f"circuit_guards_{fed.number}"
    return ""
