"""What the studies found of one site: numbers in SI, verdicts and assumptions.

Every field is in SI (temperatures in degC) and named as the trade names it; None stands where the
site file lacks what the number needs. `wellsolar.reports.table` gives each its label and unit.
"""

from wellsolar.results.casing import CasingBody, CasingResult, CasingSection
from wellsolar.results.hand_pump import HandDuty, HandPumpResult, HandTask
from wellsolar.results.heat import HeatDay, HeatedTankResult, HeatMonth, OneDayDesign, SunPoint
from wellsolar.results.ledger import GroupShare, LedgerResult, Move
from wellsolar.results.pressure_tank import PressureTankResult, TankCycle
from wellsolar.results.pumps import (
    CoolingResult,
    Duty,
    FillPoint,
    FillResult,
    HeadPiece,
    PumpResult,
    SpeedPoint,
    SpeedResult,
    StartResult,
    SuctionResult,
    WireResult,
)
from wellsolar.results.ranges import ChoiceShare, RangedInput, RangeResult, VerdictShare
from wellsolar.results.supply import SupplyMonth, SupplyResult
from wellsolar.results.supply_year import (
    PlaneMonths,
    RankedPump,
    RankingResult,
    SunYearResult,
    SupplyYearResult,
    YearMonth,
)
from wellsolar.results.well import (
    Bridge,
    PumpInWell,
    PumpsTogether,
    TestReading,
    WellResult,
    WellTestResult,
)
from wellsolar.results.whole import Answer, Results, StudyPart

SCHEMA = "wellsolar.results"
SCHEMA_VERSION = 1

__all__ = [
    "SCHEMA",
    "SCHEMA_VERSION",
    "Answer",
    "Bridge",
    "CasingBody",
    "CasingResult",
    "CasingSection",
    "ChoiceShare",
    "CoolingResult",
    "Duty",
    "FillPoint",
    "FillResult",
    "GroupShare",
    "HandDuty",
    "HandPumpResult",
    "HandTask",
    "HeadPiece",
    "HeatDay",
    "HeatMonth",
    "HeatedTankResult",
    "LedgerResult",
    "Move",
    "OneDayDesign",
    "PlaneMonths",
    "PressureTankResult",
    "PumpInWell",
    "PumpResult",
    "PumpsTogether",
    "RangeResult",
    "RangedInput",
    "RankedPump",
    "RankingResult",
    "Results",
    "SpeedPoint",
    "SpeedResult",
    "StartResult",
    "StudyPart",
    "SuctionResult",
    "SunPoint",
    "SunYearResult",
    "SupplyMonth",
    "SupplyResult",
    "SupplyYearResult",
    "TankCycle",
    "TestReading",
    "VerdictShare",
    "WellResult",
    "WellTestResult",
    "WireResult",
    "YearMonth",
]
