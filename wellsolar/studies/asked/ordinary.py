"""Values of a site file or a reading that are possible, but outside what is ordinary."""

from __future__ import annotations

from collections.abc import Collection

from wellsolar import kinds
from wellsolar.results.whole import StudyPart
from wellsolar.site.fields import Usual
from wellsolar.site.loading.overrides import SET_BY
from wellsolar.site.loading.read import SiteFile
from wellsolar.site.locate import key_text
from wellsolar.site.ordinary import Unusual, beyond, unusual_in
from wellsolar.site.readings.file import Readings
from wellsolar.site.readings.table import READINGS
from wellsolar.verdicts import Place, Rule, Verdict, remedy, say

ORDINARY = Rule(
    "ordinary value",
    "is a value meant that lies outside what is ordinary?",
    "what few wells, pumps and houses have is asked after: a slip of the unit or of a digit looks "
    "like it, and a number that was read so is as good as any",
    "common practice",
    by="owner",
    place=Place(),
)

_WATER = {
    "site",
    "demand",
    "well",
    "other_well",
    "piping",
    "pressure_switch",
    "pressure_tank",
    "limits",
}
_HEAT = {"site", "module", "array", "losses", "sun", "water_heater", "limits"}
TABLES: dict[str, set[str]] = {
    "pump": _WATER | {"pump", "power", "storage_tank"},
    "supply": {"site", "module", "array", "losses", "sun", "power", "limits"},
    "tank": {"site", "pressure_switch", "pressure_tank"},
    "hand": _WATER | {"hand_pump", "lift"},
    "heat": _HEAT,
    "match": _HEAT,
    "outage": _WATER | _HEAT | {"pump", "hand_pump", "lift", "power", "storage_tank"},
}
"""The tables of which each section asks whether their values are meant."""


def study_ordinary(file: SiteFile, sections: Collection[str]) -> StudyPart:
    """What of a site lies outside the ordinary, in the tables that some sections rest on.

    Parameters:
        sections: keys of `SECTIONS` of the case
    """
    tables = frozenset(name for section in sections for name in TABLES.get(section, ()))
    set_by = {
        assumption.path: assumption.source
        for assumption in file.assumptions
        if assumption.source in SET_BY
    }
    verdicts = []
    for unusual in unusual_in(file.site, tables):
        key = key_text(unusual.path)
        line = file.lines.get(unusual.path)
        place = f" on the {set_by[key]}" if set_by.get(key) == "command line" else ""
        if not place and line is not None and key not in set_by:
            place = f" in line {line}"
        verdicts.append(_verdict(key, unusual, place))
    return StudyPart(tuple(verdicts))


def unusual_readings(readings: Readings) -> list[Verdict]:
    """What of some readings lies outside the ordinary.

    Parameters:
        readings: of one time
    """
    place = "" if readings.line is None else f" in line {readings.line}"
    unusual_verdicts = []
    for row in READINGS:
        value = readings.values.get(row.key)
        if value is not None:
            usual = Usual(row.usual or kinds.USUAL[value.kind.name])
            unusual = beyond((row.key,), value, usual)
            if unusual is not None:
                unusual_verdicts.append(
                    _verdict(f"reading {row.key.replace('_', ' ')}", unusual, place)
                )
    return unusual_verdicts


def _verdict(subject: str, unusual: Unusual, place: str) -> Verdict:
    reason = say(
        "outside what is ordinary: {written}{place}, most are {low} to {high}; is it meant?",
        written=unusual.written, place=place, low=unusual.low, high=unusual.high,
    )  # fmt: skip
    return ORDINARY.verdict(
        "caution",
        subject,
        reason,
        remedy=remedy(
            "right it where it is a slip, and leave it where it is so",
            "only who was there can say which of the two it is",
        ),
    )
