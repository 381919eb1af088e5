"""Texts of sites that tests share, and what a test does with one: change, study, look."""

from __future__ import annotations

import re
from pathlib import Path

from wellsolar.results import Results
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import Section, study_site
from wellsolar.units import System
from wellsolar.verdicts import Verdict

EXAMPLES = Path(__file__).parents[1] / "examples"

NO_LOSSES = """[losses]
incidence = "0"
dirt = "0 %"
first_light = "0 %"
nameplate = "0 %"
ageing = "0 %"
mismatch = "0 %"
wiring = "0 %"
controller = "0 %"
"""
"""Modules as their sheet has them, for what others published of such."""


def edited(text: str, *changes: tuple[str, str]) -> str:
    """The text with each change made once; the old words must stand in it exactly once."""
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
        text = text.replace(old, new)
    return text


def studied_text(text: str, *sections: Section) -> Results:
    """What is found in sections of a site; of one that was studied before, what was found then."""
    return study_site(parse_site(text), sections)


def printed(verdict: Verdict, pattern: str, system: System = "US") -> str:
    """The first group of a pattern in a printed remedy: what its reader writes into the file."""
    text = verdict.remedy.text(system)
    match = re.search(pattern, text)
    assert match is not None, text
    return match.group(1)


MODULE = """\
[module]
voc = "39.9 V"
isc = "9.7 A"
vmp = "32.6 V"
imp = "9.2 A"
cells = 60
voc_coefficient = "-0.30 %/K"
isc_coefficient = "0.05 %/K"
rated_power = "300 W"
"""
"""A module of 300 W."""
