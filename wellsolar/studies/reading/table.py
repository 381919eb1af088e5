"""The kinds of reading in the order in which they are taken, and told of."""

from __future__ import annotations

from wellsolar.results.readings import SheetLine
from wellsolar.studies.reading.element import ElementOnArray, ElementOnInverter, ElementResistance
from wellsolar.studies.reading.fill import BucketFlow, FillTime
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
    ElementResistance,
    ElementOnArray,
    ElementOnInverter,
    TankTemperature,
    TapTemperature,
)
"""Every kind of reading."""


def boxes_of(step: str, visit: Visit) -> list[SheetLine]:
    """The boxes that the readings of a step have on the commissioning sheet."""
    return [line for kind in TABLE if kind.step == step for line in kind(visit).boxes()]
