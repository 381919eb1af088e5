"""The owner's card: what to do, in plain words, when the water stops; what nobody may do, and what
the installer writes in by hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from wellsolar.results.card import CardBlock, CardResult
from wellsolar.results.outages import Outage, OutageResult
from wellsolar.site import part_names
from wellsolar.studies.card.boxes import boxes_of, letters_of
from wellsolar.studies.card.site import Seen
from wellsolar.studies.card.steps import notes_of, signs_of, steps_of, title_of
from wellsolar.studies.electric.supplies import has_inverter
from wellsolar.studies.house.chain import has_cistern, pumps_run
from wellsolar.studies.outage.equipment import Equipment, uses_grid
from wellsolar.studies.plumbing import layout
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, say


def study_card(has: Equipment, outages: OutageResult | None) -> CardResult | None:
    """The owner's card of a site; None of a site with nothing that brings water."""
    if outages is None:
        return None
    seen = Seen(has, outages)
    seen = replace(seen, letters=letters_of(seen))
    outages_shown = outages.outages or (outages.whole,)
    groups: list[tuple[tuple[Sentence, ...], list[Outage]]] = []
    for outage in outages_shown:
        steps = steps_of(seen, outage)
        same = next((group for known, group in groups if _told(known) == _told(steps)), None)
        if same is None:
            groups.append((steps, [outage]))
        else:
            same.append(outage)
    failures = tuple(
        CardBlock(
            key="+".join(outage.key for outage in group),
            letter="",
            title=title_of(group),
            steps=steps,
            notes=notes_of(seen, group),
            signs=signs_of(seen, group),
        )
        for steps, group in groups
    )
    return CardResult(failures, boxes_of(seen), _never(seen), _blanks(seen), _closing(seen))


def _told(steps: tuple[Sentence, ...]) -> list[tuple[str, Mapping[str, Quantity | str]]]:
    """What steps say, whatever pump they say it of."""
    return [(step.template, step.parts) for step in steps]


def _never(seen: Seen) -> tuple[Sentence, ...]:
    """What nobody may do at this site, what kills first; each ends a sentence that begins with
    "never"."""
    site = seen.site
    pumps, heater = seen.pumps, site.water_heater
    wired = uses_grid(site) or has_inverter(site)
    sentences = []
    if site.power.generator_rating is not None or wired:
        sentences.append("run a generator indoors, or plug it into a house socket.")
    if site.array:
        sentences.append("pull solar plugs or fuses in daylight: they arc.")
    if heater is not None:
        first = "its solar switch" if seen.heater_arrays else "its breaker"
        sentences.append(f"drain the water heater before {first} is OFF.")
        sentences.append("drink, or hold a hand or hose in, hot heater water.")
    if seen.joined and seen.hand is not None:
        shut = f"{part_names.HAND_LINE} shut"
        if seen.two_ways:
            shut = "both its valves shut"
        sentences.append(f"work the hand pump with {shut}.")
    if layout.meets_pumps(site) and pumps:
        sentences.append(f"switch an electric pump ON with {part_names.HAND_LINE} open.")
    if heater is not None or (seen.joined and seen.hand is not None):
        sentences.append("plug or cap a relief valve.")
    in_a_chain = has_cistern(seen.site) and pumps_run(seen.site) == "at once"
    if len(pumps) > 1 and not in_a_chain:
        sentences.append("run two electric pumps at once.")
    if any(seen.has.table(pump).dry_run_protection is not True for pump in pumps):
        sentences.append("let a pump that spits air run on: it burns out dry.")
    if seen.freezes and (pumps or seen.hand is not None):
        sentences.append("leave a pipe full where it can freeze: drain it.")
    return tuple(say(sentence) for sentence in sentences)


def _blanks(seen: Seen) -> tuple[Sentence, ...]:
    """The places that no file names and the installer writes in: what stands before each blank."""
    blanks = []
    for pump in seen.pumps:
        blanks.append(say(seen.switch.capitalize() + " {name}", name=pump.name))
    if seen.switches_over:
        blanks.append(say("Transfer switch"))
    names = [move.thing for move in layout.hand_at_rest(seen.site)]
    shown = [f"any {name}" if name == part_names.FROST_DRAIN else name for name in names]
    for line in (shown[:1], shown[1:]):
        blanks += [say(", ".join(line).capitalize())] if line else []
    for array in seen.heater_arrays:
        blanks.append(say("Solar switch ({name})", name=array.name))
    if seen.site.water_heater is not None:
        if seen.heater_on_breaker:
            blanks.append(say("Breaker water heater"))
        blanks.append(say(f"{part_names.COLD.capitalize()}, {part_names.HEATER_DRAIN}"))
    if seen.site.job is not None and seen.site.job.phone is not None:
        return tuple(blanks)
    blanks.append(say("Call: well, pumps"))
    heater = seen.site.water_heater is not None
    if seen.site.array or seen.pumps or heater:
        blanks.append(say("Call: wiring, heater" if heater else "Call: wiring"))
    return tuple(blanks)


def _closing(seen: Seen) -> tuple[Sentence, ...]:
    """How far the card may be trusted, and what is not for its reader."""
    season = " for the dry season" if seen.outages.low else ""
    site = seen.site
    work = ["wiring"] if seen.has.pumps or site.array or site.water_heater else []
    work += ["heater"] if site.water_heater is not None else []
    work += ["tank"] if site.pressure_tank is not None else []
    work_named = ", ".join([*work, "open well"])
    sentences: list[Sentence] = []
    if site.job is not None and site.job.phone is not None:
        named = f"Call {site.job.made_by}" if site.job.made_by else "Call"
        sentences.append(say("{named}: {phone}.", named=named, phone=site.job.phone))
    if site.job is not None and site.job.date is not None:
        sentences.append(say("Card of {date}.", date=site.job.date))
    return (
        *sentences,
        say(f"Computed{season}, not measured: correct by hand."),
        say(f"{work_named[:1].upper()}{work_named[1:]}: licensed people, local rules."),
    )
