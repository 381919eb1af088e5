"""The kinds of reading in the order in which they are taken, and told of."""

from __future__ import annotations

from collections.abc import Sequence

from wellsolar.results.readings import SheetLine
from wellsolar.site.readings.table import READINGS, Row
from wellsolar.studies.reading.element import ElementOnArray, ElementOnInverter, ElementResistance
from wellsolar.studies.reading.fill import BucketFlow, FillTime
from wellsolar.studies.reading.hand import HandStrokes
from wellsolar.studies.reading.hot_water import TankTemperature, TapTemperature
from wellsolar.studies.reading.level import PumpingLevel, StaticLevel
from wellsolar.studies.reading.motor import PumpAmps
from wellsolar.studies.reading.pressure import GaugePressure, Precharge, PressureDecay
from wellsolar.studies.reading.reading import Reading
from wellsolar.studies.reading.visit import Visit

TABLE: tuple[type[Reading], ...] = (
    Precharge,
    StaticLevel,
    GaugePressure,
    PumpAmps,
    FillTime,
    BucketFlow,
    PumpingLevel,
    PressureDecay,
    HandStrokes,
    ElementResistance,
    ElementOnArray,
    ElementOnInverter,
    TankTemperature,
    TapTemperature,
)
"""Every kind of reading."""


def refuse_unread(rows: Sequence[Row], kinds: Sequence[type[Reading]]) -> None:
    """Raise ValueError where a quantity of the table of readings is read by no class.

    Parameters:
        rows: of the table; those that only stand beside others may be left out
    """
    read = {key for kind in kinds for key in kind.reads}
    read |= {key for row in rows for key in row.together}
    for row in rows:
        if row.kind and not row.surrounding and row.key not in read:
            raise ValueError(f"{row.key}: no class of `studies/reading/` reads it")


refuse_unread(READINGS, TABLE)


def boxes_of(step: str, visit: Visit) -> list[SheetLine]:
    """The boxes that the readings of a step have on the commissioning sheet."""
    return [line for kind in TABLE if kind.step == step for line in kind(visit).boxes()]
