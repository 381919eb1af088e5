"""The owner's card: what to do, in plain words, when the water stops; what nobody may do, and what
the installer writes in by hand.
"""

from __future__ import annotations

from dataclasses import replace

from wellsolar.physics.sun.year import HourlyYear
from wellsolar.results import OutageResult
from wellsolar.results.card import CardBlock, CardResult
from wellsolar.results.outages import Outage
from wellsolar.site.schema import Site
from wellsolar.studies.card.boxes import boxes_of, letters_of
from wellsolar.studies.card.site import Seen
from wellsolar.studies.card.steps import notes_of, signs_of, steps_of, title_of
from wellsolar.studies.outage.equipment import HotTank, equipment_of
from wellsolar.studies.outage.events import has_inverter, uses_grid
from wellsolar.verdicts import Sentence, say


def study_card(
    site: Site, outages: OutageResult | None, year: HourlyYear | None, hot: HotTank
) -> CardResult | None:
    """The owner's card of a site.

    Parameters:
        site: the site as in its file
        outages: what is left when things fail
        year: its year of hours
        hot: its water heater as its own studies found it
    Returns:
        the card; None of a site with nothing that brings water
    """
    if outages is None:
        return None
    seen = Seen(equipment_of(site, year, hot), outages)
    seen = replace(seen, letters=letters_of(seen))
    told = outages.outages or (outages.whole,)
    groups: list[tuple[tuple[Sentence, ...], list[Outage]]] = []
    for each in told:
        steps = steps_of(seen, each)
        same = next((group for known, group in groups if known == steps), None)
        if same is None:
            groups.append((steps, [each]))
        else:
            same.append(each)
    failures = tuple(
        CardBlock(
            key="+".join(each.key for each in group),
            letter="",
            title=title_of(group),
            steps=steps,
            notes=notes_of(seen, group),
            signs=signs_of(seen, group),
        )
        for steps, group in groups
    )
    return CardResult(failures, boxes_of(seen), never_of(seen), blanks_of(seen), closing_of(seen))


def never_of(seen: Seen) -> tuple[Sentence, ...]:
    """What nobody may do at this site, what kills first.

    Parameters:
        seen: the site
    Returns:
        each as the end of a sentence that begins with "never"
    """
    site = seen.site
    pumps, heater = seen.pumps, site.water_heater
    wired = uses_grid(site) or has_inverter(site)
    made = []
    if site.power.generator_rating is not None or wired:
        made.append("run a generator indoors, or plug it into a house socket.")
    if site.array:
        made.append("pull solar plugs or fuses in daylight: they arc.")
    if heater is not None:
        first = "its solar switch" if seen.heater_arrays else "its breaker"
        made.append(f"drain the water heater before {first} is OFF.")
        made.append("drink, or hold a hand or hose in, hot heater water.")
    if seen.joined and seen.hand is not None:
        made.append("work the hand pump against a closed valve.")
    if seen.two_ways and pumps:
        made.append("switch an electric pump ON while the spout valve is open.")
    if seen.joined and not seen.two_ways and pumps:
        made.append("pump by hand while an electric pump is ON.")
    if heater is not None or (seen.joined and seen.hand is not None):
        made.append("plug or cap a relief valve.")
    if len(pumps) > 1:
        made.append("run two electric pumps at once.")
    if any(seen.has.table(each).dry_run_protection is not True for each in pumps):
        made.append("let a pump that spits air run on: it burns out dry.")
    if seen.freezes and (pumps or seen.hand is not None):
        made.append("leave a pipe full where it can freeze: drain it.")
    return tuple(say(each) for each in made)


def blanks_of(seen: Seen) -> tuple[Sentence, ...]:
    """The places that no file tells: the installer writes them in.

    Parameters:
        seen: the site
    Returns:
        what stands before each blank
    """
    made = []
    for pump in seen.pumps:
        made.append(say(seen.switch.capitalize() + " {name}", name=pump.name))
    if seen.switches_over:
        made.append(say("Transfer switch"))
    if seen.joined:
        made.append(say("House valve"))
    if seen.two_ways:
        made.append(say("Spout valve"))
    if seen.freezes and (seen.joined or seen.hand is not None):
        made.append(say("Frost drain"))
    for array in seen.heater_arrays:
        made.append(say("Solar switch ({name})", name=array.name))
    if seen.site.water_heater is not None:
        if seen.heater_on_breaker:
            made.append(say("Breaker water heater"))
        made.append(say("Heater's cold valve, drain"))
    made.append(say("Call: well, pumps"))
    heater = seen.site.water_heater is not None
    if seen.site.array or seen.pumps or heater:
        made.append(say("Call: wiring, heater" if heater else "Call: wiring"))
    return tuple(made)


def closing_of(seen: Seen) -> tuple[Sentence, ...]:
    """How far the card may be trusted, and what is not for its reader.

    Parameters:
        seen: the site
    Returns:
        the sentences at its foot
    """
    season = " for the dry season" if seen.outages.low else ""
    site = seen.site
    work = ["wiring"] if seen.has.pumps or site.array or site.water_heater else []
    work += ["heater"] if site.water_heater is not None else []
    work += ["tank"] if site.pressure_tank is not None else []
    told = ", ".join([*work, "open well"])
    return (
        say(f"Reckoned{season}, not measured: correct by hand."),
        say(f"{told[:1].upper()}{told[1:]}: licensed people, local rules."),
    )
