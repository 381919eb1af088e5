"""What failures are called on the owner's card, and how an owner knows them."""

from __future__ import annotations

from wellsolar.results.card import DAYS
from wellsolar.results.outages import Outage
from wellsolar.studies.card.site import Seen
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, say

HANDS = "no power at all"
"""The failure that is left to hands and stored water, to which others point."""

LITTLE_SUN = "little sun for {days}"


def title_of(outages: list[Outage]) -> Sentence:
    """One title for failures with the same steps.

    Parameters:
        outages: the failures
    Returns:
        their names, the dark days told once
    """
    parts: dict[str, Quantity | str] = {}
    told: list[str] = []
    dark = [each for each in outages if each.key.startswith("dark_")]
    lit = any(each.key == "grid" for each in outages)
    pumps = [each.name for each in outages if each.key.startswith("pump_")]
    if dark:
        parts["days"] = Quantity(float(max(each.days for each in dark)), DAYS)
    if dark and not lit:
        line = "power line down and " if "grid" in dark[0].failed else ""
        told.append(line + ("little sun for up to {days}" if len(dark) > 1 else LITTLE_SUN))
    for number, each in enumerate(outages):
        is_pump = each.key.startswith("pump_")
        if each in dark or (is_pump and each.name != pumps[0]):
            continue
        if is_pump:
            parts["pumps"] = " or ".join(pumps)
            told.append("pump dead: {pumps}")
            continue
        name = _name(each, f"name_{number}", parts)
        told.append(name + (f", even with {LITTLE_SUN}" if each.key == "grid" and dark else ""))
    joined = ", or ".join(told)
    return say(joined[:1].upper() + joined[1:], **parts)


def _name(outage: Outage, place: str, parts: dict[str, Quantity | str]) -> str:
    """The name of one failure; a name of the file stands in a part of the sentence."""
    plain = {
        "grid": "power line down",
        "inverter": "inverter dead",
        "battery": "battery dead",
        "bladder": "pressure tank's bladder torn",
        "hands": HANDS,
        "whole": "any day",
    }
    if outage.key in plain:
        return plain[outage.key]
    parts[place] = outage.name
    return f"{{{place}}}"


def signs_of(seen: Seen, outages: list[Outage]) -> tuple[Sentence, ...]:
    """How an owner knows what has failed.

    Parameters:
        seen: the site
        outages: failures with the same steps
    Returns:
        a sign of each that has one, each once
    """
    signs = {
        "grid": "The neighbours' lights are out too.",
        "inverter": "Its display is dark or shows a fault.",
        "battery": "Its display is dark or shows a fault.",
        "bladder": "The pump clicks on and off every few seconds.",
        "pump": f"Its {seen.switch} is on, yet the gauge stays low.",
    }
    if not seen.gauged:
        signs["pump"] = f"Its {seen.switch} is on, there is power, yet no water runs."
    keys = ["pump" if each.key.startswith("pump_") else each.key for each in outages]
    return tuple(say(sign) for sign in dict.fromkeys(signs.get(key, "") for key in keys) if sign)
