"""Readings held beside the site's own numbers: what is expected, what they imply, why off."""

from __future__ import annotations

from collections.abc import Sequence

from wellsolar import kinds
from wellsolar.physics import pressure_tank
from wellsolar.results import Results
from wellsolar.results.readings import Band, Cause, ReadingResult, ReadingsResult
from wellsolar.site.read import SiteFile
from wellsolar.site.readings_file import Readings
from wellsolar.site.schema import Site
from wellsolar.studies.pressure_tank import TOLERANCE_BELOW
from wellsolar.studies.reading_array import array_at_reading, read_array
from wellsolar.studies.reading_pump import read_pump
from wellsolar.units import Quantity, System
from wellsolar.verdicts import Rule, Verdict, say

RULE = Rule(
    "reading",
    "is the reading right?",
    "the reading lies between what the site's own numbers give for its time",
    "common practice",
)

KEYS = {
    "element_amps": ("sun.monthly", "site.latitude"),
    "element_volts": ("sun.monthly", "site.latitude"),
    "fill_time": ("pressure_switch.cut_in", "pressure_tank.volume"),
    "bucket_volume": ("pump.flow",),
    "precharge": ("pressure_switch.cut_in",),
    "tank_temperature": ("water_heater.element.thermostat",),
    "tap_temperature": ("water_heater.mixing_valve.outlet",),
}
"""What the file lacks where a reading can't be judged."""


def study_readings(
    file: SiteFile, given: Sequence[Readings], system: System | None = None
) -> Results:
    """Readings of a finished job.

    Parameters:
        file: a site file that was read
        given: readings, each of one time
        system: units to print in; None for the file's own
    Returns:
        results that hold only the readings and their verdicts
    """
    site = file.site
    array = None
    if any({"element_amps", "element_volts"} & set(each.values) for each in given):
        array = array_at_reading(file)
    found: list[ReadingResult] = []
    verdicts: list[Verdict] = []
    for each in given:
        made = [] if array is None else read_array(site, array, each)
        made += read_pump(site, each) + _levels(site, each) + _temperatures(site, each)
        found += made
        verdicts += [_verdict(one) for one in made]
        verdicts += _unread(each, made)
    return Results(
        file=file.path,
        site_name=site.site.name,
        site_note=site.site.note,
        system=system or site.site.print_units,
        pumps=(),
        supply=(),
        pressure_tank=None,
        hand_pump=None,
        heated_tank=None,
        verdicts=tuple(verdicts),
        assumptions=(),
        cautions=("direct current", "mains", "pressure", "scald"),
        readings=ReadingsResult(tuple(found)),
    )


def _unread(given: Readings, made: list[ReadingResult]) -> list[Verdict]:
    """Readings that the file says too little to interpret."""
    done = {each.key for each in made} | ({"element_volts"} if made else set())
    done |= {"bucket_volume"} if "bucket_flow" in done else set()
    return [
        RULE.unknown(key.replace("_", " "), *keys)
        for key, keys in KEYS.items()
        if key in given.values and key not in done
    ]


def _verdict(reading: ReadingResult) -> Verdict:
    if reading.expected is None:
        missing = ("site.latitude", "sun.monthly")
        why = "its sun is not known; give the sky, the time or the irradiance too, else"
        return RULE.unknown(f"{reading.subject}, {reading.label}", *missing, why=why)
    band, read = reading.expected.value, reading.measured
    inside = read.high >= band.low and read.low <= band.high
    parts = {
        "read": read,
        "low": Quantity(band.low, band.kind),
        "high": Quantity(band.high, band.kind),
        "on": reading.expected.rests_on,
    }
    template = "{read} lies within {low} to {high} ({on})"
    if not inside:
        template = "{read} lies outside {low} to {high} ({on})"
    causes = {f"cause{index}": each.text for index, each in enumerate(reading.causes)}
    remedy = None
    if reading.causes:
        remedy = say("look first for {cause0}" + (
            "; then for {cause1}" if len(reading.causes) > 1 else ""), **causes)  # fmt: skip
    hot = not inside and reading.key in ("tank_temperature", "tap_temperature")
    status = "pass" if inside else "fail" if hot and read.low > band.high else "caution"
    subject = f"{reading.subject}, {reading.label}"
    return RULE.verdict(status, subject, say(template, **parts), quantity=read, remedy=remedy)  # type: ignore[arg-type]


def _levels(site: Site, given: Readings) -> list[ReadingResult]:
    """The water level at rest and while a pump runs."""
    found = []
    rest = given.values.get("static_level")
    level = site.well.static_level
    if rest is not None:
        slack = 0.02 * float(level)
        band = Quantity(float(level), kinds.LENGTH, level.low - slack, level.high + slack)
        causes: tuple[Cause, ...] = ()
        if rest.low > band.high or rest.high < band.low:
            causes = (
                Cause("water not yet at rest: pumped within the last hours", None, 0.5),
                Cause("a season wetter or drier than the file's", None, 0.4),
            )
        found.append(ReadingResult("static_level", "water level at rest", "well",
                                   "pumps off", rest, Band(band, "the file's static level"),
                                   (), causes))  # fmt: skip
    filled, switch = given.values.get("precharge"), site.pressure_switch
    if filled is not None and switch is not None:
        best = float(pressure_tank.recommended_precharge(float(switch.cut_in)))
        ends = (best - TOLERANCE_BELOW, float(switch.cut_in))
        band = Quantity(best, kinds.PRESSURE, *ends)
        causes = ()
        if filled.low > band.high or filled.high < band.low:
            causes = (
                Cause("air never set to this switch, or lost: set it, tank drained", None, 0.6),
                Cause("water still in the tank when it was read", None, 0.3),
            )
        rests = "2 psi below cut-in, never above it"
        found.append(
            ReadingResult(
                "precharge",
                "precharge",
                "pressure tank",
                "tank drained",
                filled,
                Band(band, rests),
                (),
                causes,
            )
        )
    return found


def _temperatures(site: Site, given: Readings) -> list[ReadingResult]:
    """The heated tank and the nearest tap."""
    heater = site.water_heater
    if heater is None:
        return []
    found = []
    cold = float(site.well.water_temperature)
    settings = [float(each.thermostat) for each in heater.element if each.thermostat is not None]
    for key, label, most, rests in (
        ("tank_temperature", "water in the tank", max(settings, default=None),
         "cold water to the highest thermostat, and 3 K"),
        ("tap_temperature", "water at the tap",
         None if heater.mixing_valve is None else float(heater.mixing_valve.outlet),
         "cold water to the mixing valve's setting, and 3 K"),
    ):  # fmt: skip
        read = given.values.get(key)
        if read is None or most is None:
            continue
        causes: tuple[Cause, ...] = ()
        if read.low > most + 3.0:
            first = "a thermostat that does not open: turn the array's isolator off"
            if key == "tap_temperature":
                first = "a mixing valve set too high or stuck: keep people from the tap"
            causes = (Cause(first, None, 0.7), Cause("a thermometer that reads high", None, 0.2))
        band = Quantity((cold + most) / 2, kinds.TEMPERATURE, cold - 3.0, most + 3.0)
        found.append(
            ReadingResult(key, label, "water heater", "", read, Band(band, rests), (), causes)
        )
    return found
