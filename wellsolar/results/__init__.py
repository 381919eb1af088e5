"""What the studies found of one site: numbers in SI, verdicts and assumptions.

Every field is in SI (temperatures in degC) and named as the trade names it; None stands where the
site file lacks what the number needs. `wellsolar.reports.table` gives each its label and unit.
"""

from wellsolar.results.casing import CasingBody, CasingResult, CasingSection
from wellsolar.results.couplings import (
    ArrayMatch,
    CouplingMonth,
    CouplingWay,
    CurrentCeiling,
    Diversion,
    MatchResult,
    ShelfElement,
    Thresholds,
    WiringChange,
)
from wellsolar.results.hand_pump import (
    DischargePoint,
    HandDuty,
    HandPlace,
    HandPumpResult,
    HandSpell,
    HandTask,
    HandWorker,
    LiftResult,
)
from wellsolar.results.heat import HeatDay, HeatedTankResult, HeatMonth, OneDayDesign, SunPoint
from wellsolar.results.heat_safety import ArrayCircuit, HeatSafety, TankPressure
from wellsolar.results.heat_year import (
    DarkDay,
    DivertedTankResult,
    HeatStart,
    HouseholdMonth,
    HouseholdYear,
    NobodyHome,
)
from wellsolar.results.heater_ranking import (
    HeaterRankingResult,
    HeaterRow,
    LeftOut,
    ModuleStep,
)
from wellsolar.results.ledger import GroupShare, LedgerResult, Move
from wellsolar.results.outages import (
    Change,
    DarkRun,
    Fix,
    HotWater,
    Outage,
    OutageCell,
    OutageResult,
    Store,
    WeakLink,
)
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
    "ArrayCircuit",
    "ArrayMatch",
    "Bridge",
    "CasingBody",
    "CasingResult",
    "CasingSection",
    "Change",
    "ChoiceShare",
    "CoolingResult",
    "CouplingMonth",
    "CouplingWay",
    "CurrentCeiling",
    "DarkDay",
    "DarkRun",
    "DischargePoint",
    "Diversion",
    "DivertedTankResult",
    "Duty",
    "FillPoint",
    "FillResult",
    "Fix",
    "GroupShare",
    "HandDuty",
    "HandPlace",
    "HandPumpResult",
    "HandSpell",
    "HandTask",
    "HandWorker",
    "HeadPiece",
    "HeatDay",
    "HeatMonth",
    "HeatSafety",
    "HeatStart",
    "HeatedTankResult",
    "HeaterRankingResult",
    "HeaterRow",
    "HotWater",
    "HouseholdMonth",
    "HouseholdYear",
    "LedgerResult",
    "LeftOut",
    "LiftResult",
    "MatchResult",
    "ModuleStep",
    "Move",
    "NobodyHome",
    "OneDayDesign",
    "Outage",
    "OutageCell",
    "OutageResult",
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
    "ShelfElement",
    "SpeedPoint",
    "SpeedResult",
    "StartResult",
    "Store",
    "StudyPart",
    "SuctionResult",
    "SunPoint",
    "SunYearResult",
    "SupplyMonth",
    "SupplyResult",
    "SupplyYearResult",
    "TankCycle",
    "TankPressure",
    "TestReading",
    "Thresholds",
    "VerdictShare",
    "WeakLink",
    "WellResult",
    "WellTestResult",
    "WireResult",
    "WiringChange",
    "YearMonth",
]
