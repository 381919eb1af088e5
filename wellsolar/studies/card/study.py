"""The owner's card: what to do, in plain words, when the water stops."""

from __future__ import annotations

from dataclasses import replace

from wellsolar.physics.sun.year import HourlyYear
from wellsolar.results import OutageResult
from wellsolar.results.card import CardBlock, CardResult
from wellsolar.results.outages import Outage
from wellsolar.site.schema import Site
from wellsolar.studies.card.boxes import boxes_of, letters_of
from wellsolar.studies.card.cautions import blanks_of, closing_of, never_of
from wellsolar.studies.card.site import Seen
from wellsolar.studies.card.steps import notes_of, steps_of
from wellsolar.studies.card.words import signs_of, title_of
from wellsolar.studies.outage.equipment import HotTank, equipment_of
from wellsolar.verdicts import Sentence


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
