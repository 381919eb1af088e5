"""What explains together all readings of a sheet that are off: one fault shows in several."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import prod
from typing import NamedTuple

from wellsolar.results.readings import Suspect
from wellsolar.studies.reading.reading import (
    AGAIN_WEIGHT,
    TOLD,
    Candidate,
    Lacking,
    Reading,
    is_off,
    scored,
)

CLEARED = 0.05
"""What is left of a fault's likelihood where a reading that it should show in is right [-]; our
choice."""


SEVERAL = 2
"""Readings that one fault must explain to be told besides what each says by itself."""


class _Fault(NamedTuple):
    """What may lie behind a reading: how usual it is, how well it fits [-], and its text there.

    alone: True where the text means this fault and no other
    """

    prior: float
    fit: float
    text: str
    alone: bool


def suspects(taken: Sequence[Reading]) -> tuple[Suspect, ...]:
    """What explains together the readings that are off.

    Each fault counts by how usual it is, once, and by how well it fits each of them; what a
    reading does not know counts there as a slip would, and what another reading speaks against
    counts for less.

    Parameters:
        taken: all readings, right and off
    Returns:
        the two likeliest, with how many of the readings that are off each explains; none where
        the likeliest explains one alone, which tells its own causes
    """
    off: list[Reading] = []
    right: list[Reading] = []
    for reading in taken:
        if isinstance(reading.band, Lacking):
            continue
        outside = is_off(reading.measured, reading.band.value)
        (off if outside or reading.evident(reading.band.value) else right).append(reading)
    by_reading = [dict(_faults(reading)) for reading in off]
    cleared = {fault for reading in right for fault in reading.clears}
    suspects_of = []
    for fault in dict.fromkeys(fault for faults in by_reading for fault in faults):
        known = [faults[fault] for faults in by_reading if fault in faults]
        likely = max(fault.prior for fault in known) * AGAIN_WEIGHT ** (len(off) - len(known))
        likely *= prod(fault.fit for fault in known) * (CLEARED if fault in cleared else 1.0)
        text = max(
            known, key=lambda fault_found: (fault_found.alone, fault_found.prior * fault_found.fit)
        ).text
        explains = sum(fault.prior * fault.fit > AGAIN_WEIGHT for fault in known)
        suspects_of.append(Suspect(text, likely, explains))
    suspects_of.sort(key=lambda suspect: -suspect.share)
    if not suspects_of or suspects_of[0].explains < SEVERAL:
        return ()
    total = sum(suspect.share for suspect in suspects_of)
    return tuple(
        replace(suspect, share=suspect.share / total)
        for suspect in suspects_of[:TOLD]
        if suspect.explains
    )


def _faults(reading: Reading) -> Iterator[tuple[str, _Fault]]:
    """What may lie behind a reading that is off, the least likely way of each first."""
    assert not isinstance(reading.band, Lacking)
    band, read = reading.band.value, reading.measured
    ways = reading.evident(band) or reading.explained(band, read.high < band.low)
    faults = []
    for way in ways:
        alone = len(way.of) < 2
        if isinstance(way, Candidate):
            told = [
                _Fault(suspect.prior, suspect.fit, way.text, alone)
                for suspect in scored(read, way)
            ]
        else:
            told = [_Fault(way.share, 1.0, way.text, alone)]
        faults += [(fault, way_found) for fault in way.of or (way.text,) for way_found in told]
    yield from sorted(faults, key=lambda fault: fault[1].prior * fault[1].fit)
