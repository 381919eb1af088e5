"""Why physics refused what a site asked of it, in the units of the report."""

from __future__ import annotations

import math

from wellsolar import kinds
from wellsolar.errors import OutOfRange
from wellsolar.kinds import Kind
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, say

PRINTED: dict[str, Kind] = {
    "m": kinds.HEAD, "m3/s": kinds.FLOW, "W": kinds.POWER, "V": kinds.VOLTAGE,
    "A": kinds.CURRENT, "degC": kinds.TEMPERATURE, "K": kinds.TEMPERATURE_DIFFERENCE,
    "m/s": kinds.SPEED, "J/m2": kinds.IRRADIATION,
}  # fmt: skip
"""What a number that physics refuses is printed as, by its unit."""


def why_refused(error: OutOfRange) -> Sentence:
    """Why physics has no answer, its numbers in the report's own units."""
    if error.found is None or error.found[-1] not in PRINTED:
        return say("{why}", why=str(error))
    quantity, *numbers, unit = error.found
    value, least, greatest = (Quantity(number, PRINTED[unit]) for number in numbers)
    template = "{quantity} is {value}, allowed is {least} "
    template += "or more" if math.isinf(greatest) else "to {greatest}"
    return say(template, quantity=quantity, value=value, least=least, greatest=greatest)
