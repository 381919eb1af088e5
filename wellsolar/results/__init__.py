"""What the studies found of one site: numbers in SI, verdicts and assumptions.

Every field is in SI (temperatures in degC) and named as the trade names it; None stands where the
site file lacks what the number needs. `wellsolar.reports.table` gives each its label and unit.
"""

from wellsolar.results.hand_pump import HandDuty, HandPumpResult, HandTask
from wellsolar.results.heat import HeatDay, HeatedTankResult, HeatMonth, OneDayDesign, SunPoint
from wellsolar.results.pressure_tank import PressureTankResult, TankCycle
from wellsolar.results.pumps import Duty, HeadPiece, PumpResult, StartResult, WireResult
from wellsolar.results.ranges import ChoiceShare, RangedInput, RangeResult, VerdictShare
from wellsolar.results.supply import SupplyMonth, SupplyResult
from wellsolar.results.whole import Answer, Results, StudyPart

SCHEMA = "wellsolar.results"
SCHEMA_VERSION = 1

__all__ = [
    "SCHEMA",
    "SCHEMA_VERSION",
    "Answer",
    "ChoiceShare",
    "Duty",
    "HandDuty",
    "HandPumpResult",
    "HandTask",
    "HeadPiece",
    "HeatDay",
    "HeatMonth",
    "HeatedTankResult",
    "OneDayDesign",
    "PressureTankResult",
    "PumpResult",
    "RangeResult",
    "RangedInput",
    "Results",
    "StartResult",
    "StudyPart",
    "SunPoint",
    "SupplyMonth",
    "SupplyResult",
    "TankCycle",
    "VerdictShare",
    "WireResult",
]
