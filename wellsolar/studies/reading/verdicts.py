"""Whether a reading is right, as a verdict with the likeliest causes as its remedy."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.results.readings import ReadingResult
from wellsolar.site.readings.file import Readings
from wellsolar.site.schema import Site
from wellsolar.studies.reading.causes import is_off
from wellsolar.studies.reading.sun import taken_words
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Rule, Sentence, Status, Verdict, say

RULE = Rule(
    "reading",
    "is the reading right?",
    "the reading lies between what the site's own numbers give for its time",
    "common practice",
    place=Place(),
)
ELEMENT = Rule(
    "element by its reading",
    "is it the element of the plate?",
    "volts over amperes within what an element's power may be off its plate, 5 % more, 10 % less",
    "element tolerance",
    place=Place(),
)
SCALD = Rule(
    "scald by its reading",
    "can the water burn?",
    "no hotter at a tap than 120 degF or the mixing valve's setting, in the tank than its "
    "thermostat, and 3 K (5 degF)",
    "burn times",
    safety=True,
    place=Place(),
)
BURST = Rule(
    "pressure by its reading",
    "can the vessel stand the pressure?",
    "no more than the relief valve's setting, nor than 100 psi (690 kPa), the plate of many tanks",
    "common practice",
    safety=True,
    place=Place(),
)


def reading_verdict(reading: ReadingResult) -> Verdict:
    """The verdict on a reading.

    Parameters:
        reading: what was found of it
    Returns:
        pass, caution, fail where it can hurt someone, or unknown
    """
    if reading.expected is None:
        return _unknown(reading)
    band, read = reading.expected.value, reading.measured
    off = is_off(read, band)
    parts: dict[str, Quantity | str] = {
        "read": read,
        "low": Quantity(band.low, band.kind),
        "high": Quantity(band.high, band.kind),
        "on": reading.expected.rests_on,
        "warning": reading.warning,
    }
    template = "{read} lies outside {low} to {high} ({on})" if off else (
        "{read} lies within {low} to {high} ({on})")  # fmt: skip
    if not off and read.is_range and not band.low <= float(read) <= band.high:
        template = "{read} lies outside {low} to {high} ({on}) by no more than it may be off"
    template += "; {warning}" if reading.warning else ""
    status: Status = "fail" if reading.warning else "caution" if off else "pass"
    remedy = _remedy(reading) if off or reading.warning else None
    return _rule(reading).verdict(
        status, reading.name, say(template, **parts), quantity=read, remedy=remedy
    )


def _rule(reading: ReadingResult) -> Rule:
    if reading.warning:
        return BURST if reading.measured.kind is kinds.PRESSURE else SCALD
    return ELEMENT if reading.key == "element_resistance" else RULE


def _remedy(reading: ReadingResult) -> Sentence | None:
    if not reading.causes:
        return None
    causes = {f"cause{index}": each.text for index, each in enumerate(reading.causes)}
    then = "; then for {cause1}" if len(reading.causes) > 1 else ""
    return say("look first for {cause0}" + then, **causes)


def _unknown(reading: ReadingResult) -> Verdict:
    if reading.needs:
        return RULE.unknown(reading.name, *reading.needs, why=reading.why)
    return Verdict(RULE, reading.name, "unknown", say("{why}", why=reading.why))


def unread_verdict(site: Site, given: Readings, key: str) -> Verdict:
    """The verdict on a reading that the file says too little to interpret.

    Parameters:
        site: the site
        given: readings of one time
        key: of the reading
    Returns:
        unknown, with the keys that would settle it
    """
    needs: tuple[str, ...] = ("pump",)
    if key.startswith("element"):
        needs = _element_needs(site)
    elif key.endswith("temperature"):
        needs = ("water_heater",)
    taken = taken_words(given)
    subject = key.replace("_", " ").replace("bucket volume", "flow by bucket")
    return RULE.unknown(f"{subject}, {taken}" if taken else subject, *needs)


def _element_needs(site: Site) -> tuple[str, ...]:
    if site.water_heater is None:
        return ("water_heater",)
    if site.module is None:
        return ("module", "array")
    if not site.array:
        return ("array",)
    names = {each.name for each in site.array}
    on_array = any(each.fed_by in names for each in site.water_heater.element)
    return ("module.vmp", "module.imp") if on_array else ("water_heater.element[1].fed_by",)
