"""What a key of a site file may hold: quantities by their kind and bounds, names, switches."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any

from pydantic import Field
from pydantic_core import PydanticCustomError, core_schema

from wellsolar import kinds
from wellsolar.kinds import Kind
from wellsolar.units import (
    SYSTEMS,
    Quantity,
    System,
    UnreadableQuantity,
    one,
    read,
    read_list,
    show,
    to_unit,
)
from wellsolar.wording import as_written, nearest, quoted


class BeyondBounds(UnreadableQuantity):
    """A text is of the kind that is wanted, but beyond the bounds of its key."""


_SLACK = 1e-3
"""Share of an end by which 3.94 in is no less than 100 mm."""


@dataclass(frozen=True)
class Usual:
    """Marks a quantity with the ends between which most of its like lie: outside them it is asked
    whether it is meant.

    text: as a range of a site file, such as "4 in .. 8 in"
    source: key into `wellsolar.sources`
    """

    text: str
    source: str = "common practice"

    def is_beyond(self, value: Quantity) -> bool:
        """Whether an end of a quantity lies outside, by more than another unit's rounding."""
        band = self.band(value.kind)
        slack = 0.05 if value.kind is kinds.TEMPERATURE else 0.0
        below = band.low - value.low > slack + _SLACK * abs(band.low)
        return below or value.high - band.high > slack + _SLACK * abs(band.high)

    def band(self, kind: Kind) -> Quantity:
        """The ends, as those of a quantity of a kind."""
        return _band(self.text, kind.name)


@cache
def _band(text: str, kind: str) -> Quantity:
    return read(text, kinds.NAMED[kind])


MOST_KNOWN = 200
"""Texts of a key whose quantities are kept."""


class Reads:
    """Marks a field as a quantity of a kind, with the bounds that nature or sense sets it."""

    def __init__(
        self,
        kind: Kind,
        *,
        above: float | None = None,
        least: float | None = None,
        most: float | None = None,
        many: bool = False,
        count: int | None = None,
    ) -> None:
        self.kind = kind
        self.above = above
        self.least = least
        self.most = most
        self.many = many
        self.count = count
        self.known: dict[str, Quantity | tuple[Quantity, ...]] = {}

    def read(self, written: object) -> Quantity | tuple[Quantity, ...]:
        """The quantity or quantities of a text; UnreadableQuantity where it is none."""
        if not isinstance(written, str):
            return self._read(written)
        # A site is read by its model and for the rules between keys, by an interview at each
        # answer again.
        value = self.known.get(written)
        if value is None:
            value = self._read(written)
            if len(self.known) >= MOST_KNOWN:
                self.known.clear()
            self.known[written] = value
        return value

    def _read(self, written: object) -> Quantity | tuple[Quantity, ...]:
        if not self.many:
            return self._bounded(read(written, self.kind))
        values = read_list(written, self.kind)
        if self.count is not None and len(values) != self.count:
            written = quoted(values[0].written or "")
            raise BeyondBounds(f"{written} has {len(values)} values: expected {self.count}")
        return tuple(self._bounded(value) for value in values)

    def _bounded(self, value: Quantity) -> Quantity:
        smallest = kinds.SMALLEST[self.kind.name]
        for end in (value.low, float(value), value.high):
            if 0.0 < abs(end) < smallest and (self.above != 0.0 or end > 0.0):
                none = "" if self.above == 0.0 else "nothing or "
                raise self._beyond(value, f"is {none}at least {self._both(smallest)}")
        if self.above is not None and value.low <= self.above:
            raise self._beyond(value, f"must be more than {self._both(self.above)}")
        if self.least is not None and value.low < self.least:
            raise self._beyond(value, f"is at least {self._both(self.least)}")
        if self.most is not None and value.high > self.most:
            hint = ""
            if self.kind is kinds.FRACTION and value >= 2 and "%" not in (value.written or ""):
                hint = f", did you mean {quoted(f'{value.written} %')}?"
            raise self._beyond(value, f"is at most {self._both(self.most)}{hint}")
        return value

    def _beyond(self, value: Quantity, said: str) -> BeyondBounds:
        return BeyondBounds(f"{quoted(value.written or '')}: {one(self.kind)} here {said}")

    def _both(self, limit: float) -> str:
        if limit == 0 and self.kind is not kinds.TEMPERATURE:
            return "zero"
        us, si = (self._shown(limit, system) for system in SYSTEMS)
        return us if us == si else f"{us} ({si})"

    def _shown(self, limit: float, system: System) -> str:
        """A limit in a system of units, however small it is."""
        shown = show(limit, self.kind, system, 4)
        if limit and not re.search("[1-9]", shown):
            unit = (self.kind.us if system == "US" else self.kind.metric)[0]
            return f"{to_unit(limit, self.kind, unit.unit):.1g} {unit.label}".strip()
        return re.sub(r"\.0+(?!\d)", "", shown)

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self._validate)

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        unit = next((unit for unit in self.kind.written if unit), "")
        like = f"0, 3, 6, 9 {unit}".strip() if self.many else self.kind.example
        what = f"a list that shares a unit, each {one(self.kind)}" if self.many else one(self.kind)
        bounds = (("more than", self.above), ("at least", self.least), ("at most", self.most))
        within = [f"{word} {self._both(end)}" for word, end in bounds if end is not None]
        count = [f"{self.count} of them"] if self.count else []
        holds = ", ".join([what, *count, *within])
        types = ["string", "number"] if "" in self.kind.written else "string"
        return {"type": types, "description": f'{holds}, such as "{like}"'}

    def _validate(self, written: object) -> Quantity | tuple[Quantity, ...]:
        if isinstance(written, Quantity):
            return written
        try:
            return self.read(written)
        except UnreadableQuantity as error:
            raise PydanticCustomError("quantity", "{text}", {"text": str(error)}) from None


class Names:
    """Marks a field as a name out of a shipped table."""

    def __init__(self, what: str, known: Callable[[], tuple[str, ...]]) -> None:
        self.what = what
        self.known = known

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self._validate)

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        return {"enum": list(self.known())}

    def _validate(self, written: object) -> str:
        known = self.known()
        if isinstance(written, str) and written in known:
            return written
        raise PydanticCustomError(
            "choice", "{text}", {"text": choice_message(written, self.what, known)}
        )


def choice_message(written: object, what: str, known: Sequence[str | int]) -> str:
    """The message for a word that is none of those allowed, with the nearest that is."""
    listed = ", ".join(as_written(choice) for choice in known)
    near = nearest(str(written), [choice for choice in known if isinstance(choice, str)], 0.4)
    hint = f", did you mean {as_written(near)}?" if near else ""
    if isinstance(written, str) and not all(isinstance(choice, str) for choice in known):
        hint = ", without quotes"
    return f"{as_written(written)} is no {what}: expected one of {listed}{hint}"


Depth = Annotated[Quantity, Reads(kinds.LENGTH, least=0.0, most=2000.0)]
Length = Annotated[Quantity, Reads(kinds.LENGTH, least=0.0, most=20_000.0)]
Elevation = Annotated[Quantity, Reads(kinds.LENGTH, least=-300.0, most=300.0)]
Altitude = Annotated[Quantity, Reads(kinds.LENGTH, least=-450.0, most=6000.0)]
Bore = Annotated[Quantity, Reads(kinds.BORE, above=0.0, most=3.0)]
Flow = Annotated[Quantity, Reads(kinds.FLOW, least=1.0e-7, most=1.0)]
DailyFlow = Annotated[Quantity, Reads(kinds.DAILY_FLOW, above=0.0, most=1.0)]
Volume = Annotated[Quantity, Reads(kinds.VOLUME, above=0.0, most=1000.0)]
Pressure = Annotated[Quantity, Reads(kinds.PRESSURE, least=0.0, most=2.0e6)]
PressureLoss = Annotated[Quantity, Reads(kinds.PRESSURE_LOSS, least=0.0, most=1.0e6)]
WaterTemperature = Annotated[Quantity, Reads(kinds.TEMPERATURE, least=0.0, most=99.0)]
AirTemperature = Annotated[Quantity, Reads(kinds.TEMPERATURE, least=-60.0, most=60.0)]
Power = Annotated[Quantity, Reads(kinds.POWER, least=1.0, most=1.0e6)]
ShaftPower = Annotated[Quantity, Reads(kinds.SHAFT_POWER, least=1.0, most=1.0e6)]
ApparentPower = Annotated[Quantity, Reads(kinds.APPARENT_POWER, least=1.0, most=1.0e6)]
Energy = Annotated[Quantity, Reads(kinds.ENERGY, least=3600.0, most=1.0e12)]
Voltage = Annotated[Quantity, Reads(kinds.VOLTAGE, least=0.1, most=1500.0)]
Current = Annotated[Quantity, Reads(kinds.CURRENT, least=1.0e-3, most=2000.0)]
Share = Annotated[Quantity, Reads(kinds.FRACTION, least=0.01, most=1.0)]
Angle = Annotated[Quantity, Reads(kinds.ANGLE, least=-360.0, most=360.0)]
Switch = Annotated[bool, Field(strict=True)]

Curve = Annotated[tuple[Quantity, ...], Reads(kinds.FLOW, least=0.0, most=1.0, many=True)]
Heads = Annotated[tuple[Quantity, ...], Reads(kinds.HEAD, least=0.0, most=3000.0, many=True)]
Pressures = Annotated[
    tuple[Quantity, ...], Reads(kinds.PRESSURE, least=0.0, most=2.0e6, many=True)
]
Powers = Annotated[tuple[Quantity, ...], Reads(kinds.POWER, least=1.0, most=1.0e6, many=True)]
Times = Annotated[tuple[Quantity, ...], Reads(kinds.DURATION, least=0.0, most=1.0e8, many=True)]
Levels = Annotated[tuple[Quantity, ...], Reads(kinds.LENGTH, least=0.0, most=2000.0, many=True)]
