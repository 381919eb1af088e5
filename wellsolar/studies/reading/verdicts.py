"""Whether a reading is right, as a verdict with the likeliest causes as its remedy."""

from __future__ import annotations

from collections.abc import Sequence

from wellsolar import kinds
from wellsolar.results.readings import GuardResult, ReadingResult
from wellsolar.site.readings.file import Readings
from wellsolar.studies.reading.causes import is_off
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Remedy, Rule, Status, Trade, Verdict, remedy, say

RULE = Rule(
    "reading",
    "is the reading right?",
    "the reading lies between what the site's own numbers give for its time",
    "common practice",
    by="electrician",
    place=Place(),
)
ELEMENT = Rule(
    "element by its reading",
    "is it the element of the plate?",
    "volts over amperes within what an element's power may be off its plate, 5 % more, 10 % less",
    "element tolerance",
    by="electrician",
    place=Place(),
)
SCALD = Rule(
    "scald by its reading",
    "can the water burn?",
    "no hotter at a tap than 120 degF or the mixing valve's setting, in the tank than its "
    "thermostat and its high limit, and 3 K (5 degF)",
    "burn times",
    safety=True,
    by="plumber",
    place=Place(),
)
BURST = Rule(
    "pressure by its reading",
    "can the vessel stand the pressure?",
    "no more than the relief valve's setting, nor than 100 psi (690 kPa), the plate of many "
    "tanks; with the pump on, no more than where it should stop and 2 psi (14 kPa)",
    "tank relief",
    safety=True,
    by="plumber",
    place=Place(),
)

GUARD = Rule(
    "guard by its test",
    "did the guard pass its test?",
    "the commissioning sheet's line on it was tested and found in order",
    "site's figures",
    safety=True,
    by="electrician",
    place=Place(),
)


def guard_verdict(guard: GuardResult) -> Verdict:
    """The verdict on a guard whose test was told.

    Parameters:
        guard: proven or failed
    Returns:
        pass, or fail
    """
    line = guard.line
    subject = f"{line.text}, {guard.taken}" if guard.taken else line.text
    if guard.state == "proven":
        return GUARD.verdict(
            "pass", subject, say("proven by the sheet's line {number}", number=f"{line.number}")
        )
    return GUARD.verdict(
        "fail",
        subject,
        say("the sheet's line {number} is not in order", number=f"{line.number}"),
        remedy=remedy(
            "what it guards stays off and locked until it is mended and tested again",
            "it says what to do in the work, not what to write into the file",
        ),
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
    if not off and read.is_range and not band.low <= read <= band.high:
        template = "{read} lies outside {low} to {high} ({on}) by no more than it may be off"
    template += "; {warning}" if reading.warning else ""
    status: Status = "fail" if reading.warning else "caution" if off else "pass"
    wanted = _remedy(reading) if off or reading.warning else None
    return _rule(reading).verdict(
        status, reading.name, say(template, **parts), quantity=read, remedy=wanted,
        trade=_trade(reading),
    )  # fmt: skip


def _trade(reading: ReadingResult) -> Trade:
    """Whose work it is to look for what a reading tells: that of current and voltage, of levels in
    the well, or of water."""
    kind = reading.measured.kind
    if kind in (kinds.CURRENT, kinds.VOLTAGE, kinds.RESISTANCE, kinds.POWER):
        return "electrician"
    return "driller" if kind is kinds.LENGTH else "plumber"


def _rule(reading: ReadingResult) -> Rule:
    """The rule that a reading is judged by: that of what it can do to people, first."""
    if reading.warning:
        return BURST if reading.measured.kind is kinds.PRESSURE else SCALD
    return ELEMENT if reading.key == "element_resistance" else RULE


def _remedy(reading: ReadingResult) -> Remedy | None:
    """What to do at once where it can hurt someone, then where to look first."""
    _, _, at_once = reading.warning.partition(": ")
    steps = ["{at_once}"] if at_once else []
    steps += ["look first for {cause0}", "for {cause1}"][: len(reading.causes)]
    if not steps:
        return None
    return remedy(
        "; then ".join(steps),
        "it says what to look at in the work, not what to write into the file",
        at_once=at_once,
        **{f"cause{place}": cause.text for place, cause in enumerate(reading.causes)},
    )


def _unknown(reading: ReadingResult) -> Verdict:
    """The verdict on a reading of which nothing is expected."""
    if reading.needs:
        return RULE.unknown(reading.name, *reading.needs, why=reading.why)
    return Verdict(RULE, reading.name, "unknown", say("{why}", why=reading.why))


def unread_verdict(given: Readings, key: str, needs: Sequence[str]) -> Verdict:
    """The verdict on a reading that the file says too little to interpret.

    Parameters:
        given: readings of one time
        needs: keys of the file that would settle it
    Returns:
        unknown, with those keys
    """
    subject = key.replace("_", " ").replace("bucket volume", "flow by bucket")
    return RULE.unknown(f"{subject}, {given.taken}" if given.taken else subject, *needs)
