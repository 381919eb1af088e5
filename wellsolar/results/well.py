"""The well as it behaves in time. Every field is in SI, temperatures in degC."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from wellsolar import kinds
from wellsolar.results.entries import AQUIFER_LOSS, STORAGE, WATER_AREA, WELL_LOSS, Entry


def _yes_or_not_in_a_day(draws_air: bool) -> str:
    """Whether a pump draws air within a day, in words."""
    return "yes" if draws_air else "not in a day"


@dataclass(frozen=True)
class TestReading:
    """One reading of a test, and what the fit makes of it.

    time: since the pump started, or stopped for a recovery; None for a step that was pumped until
        the level settled
    drawdown: measured, below the water at rest; fitted: None where the fit leaves the reading out
    """

    __test__ = False  # the name begins like a test class, pytest would collect it

    flow: Annotated[float, Entry("flow", kinds.FLOW)]
    time: Annotated[float | None, Entry("time", kinds.DURATION)]
    drawdown: Annotated[float, Entry("drawdown", kinds.LENGTH)]
    fitted: Annotated[float | None, Entry("by the fit", kinds.LENGTH)]

    @property
    def residual(self) -> Annotated[float | None, Entry("difference", kinds.LENGTH)]:
        """Measured less fitted [m]."""
        return None if self.fitted is None else self.drawdown - self.fitted


@dataclass(frozen=True)
class WellTestResult:
    """A test of the well and what was fitted to it.

    kind: "step test", "pumping test" or "recovery test"; method: of the fit
    aquifer_loss: after the time `after` [s]; infinite for settled steps
    well_loss: below zero where the well cleared itself during the test
    storage, straight_storage: apparent if read in the pumped well
    length: how long was pumped [s]; None for a step test
    distance: of the observed well from the pumped one; None in the pumped well
    usable: False where the well is not taken from it
    trouble: what is wrong with it; empty where nothing is
    """

    kind: str
    method: str
    readings: tuple[TestReading, ...]
    aquifer_loss: Annotated[float | None, Entry("aquifer loss B", AQUIFER_LOSS,
        optional=True)] = None  # fmt: skip
    after: float | None = None
    well_loss: Annotated[float | None, Entry("well loss C", WELL_LOSS, optional=True)] = None
    transmissivity: Annotated[float | None, Entry("transmissivity", kinds.TRANSMISSIVITY,
        optional=True)] = None  # fmt: skip
    storage: Annotated[float | None, Entry("storage coefficient", STORAGE, optional=True)] = None
    straight_transmissivity: Annotated[float | None, Entry("transmissivity", kinds.TRANSMISSIVITY,
        "by the straight line of Cooper and Jacob, for comparison",
        optional=True)] = None  # fmt: skip
    straight_storage: Annotated[float | None, Entry("storage coefficient", STORAGE,
        "by the straight line", optional=True)] = None  # fmt: skip
    root_mean_square: Annotated[float | None, Entry("typical difference", kinds.LENGTH,
        "root mean square, measured less fitted", optional=True)] = None  # fmt: skip
    length: Annotated[float | None, Entry("pumped for", kinds.DURATION, optional=True)] = None
    distance: Annotated[float | None, Entry("read in a well", kinds.LENGTH,
        "so far from the pumped one", optional=True)] = None  # fmt: skip
    usable: bool = True
    trouble: str = ""

    @property
    def worst(self) -> TestReading | None:
        """The reading farthest from the fit."""
        fitted = [reading for reading in self.readings if reading.residual is not None]
        return max(fitted, key=lambda well_test: abs(well_test.residual or 0.0), default=None)

    @property
    def greatest_drawdown(self) -> float:
        """The greatest drawdown of the test [m]."""
        return max(reading.drawdown for reading in self.readings)


@dataclass(frozen=True)
class Bridge:
    """A demand for a time [s], and the stored water for what pump and well do not give."""

    label: Annotated[str, Entry("demand", key="demand")]
    duration: float
    wanted: Annotated[float, Entry("wanted", kinds.SUMMED_VOLUME)]
    given: Annotated[float, Entry("from pump and well", kinds.SUMMED_VOLUME)]
    storage: Annotated[float, Entry("from storage", kinds.SUMMED_VOLUME)]


@dataclass(frozen=True)
class PumpInWell:
    """A pump in this well through time.

    flow_at_rest, flow_at_intake: at the greatest duty
    restart_told: False where the file tells neither level nor time of a new start
    soonest_day: what it gives if it starts again soon, None where that was not asked [m3]
    draws_air: True where the water comes down to the intake within a day without a stop
    air_time, air_volume: None where it never does, or where the casing's bore is unknown
    day_level: without a stop, the intake at most
    first_day, later_day: what it gives on and off, from rest and the day after
    starts, running: of the later day
    sustained_day, sustained_season: greatest steady flow that keeps the water above the stop level
    protected: True with dry-run protection; levels: at the times of the course [m]
    """

    name: Annotated[str, Entry("pump", key="pump")]
    intake_depth: Annotated[float, Entry("intake", kinds.LENGTH)]
    stop_level: Annotated[float, Entry("stops at", kinds.LENGTH)]
    restart_level: Annotated[float, Entry("starts again at", kinds.LENGTH)]
    restart_told: bool
    soonest_day: float | None
    flow_at_rest: Annotated[float, Entry("flow, water at rest", kinds.FLOW)]
    flow_at_intake: Annotated[float, Entry("flow, water at intake", kinds.FLOW)]
    draws_air: Annotated[bool, Entry("draws air?", words=_yes_or_not_in_a_day)]
    air_time: Annotated[float | None, Entry("after", kinds.DURATION)]
    air_volume: Annotated[float | None, Entry("water till then", kinds.SUMMED_VOLUME)]
    day_level: Annotated[float, Entry("level after a day", kinds.LENGTH)]
    first_day: Annotated[float | None, Entry("water, first day", kinds.SUMMED_VOLUME)]
    later_day: Annotated[float | None, Entry("water, later day", kinds.SUMMED_VOLUME)]
    starts: Annotated[int | None, Entry("starts, later day", kinds.COUNT)]
    running: Annotated[float | None, Entry("share it runs", kinds.FRACTION)]
    sustained_day: Annotated[float, Entry("borne for a day", kinds.FLOW)]
    sustained_season: Annotated[float, Entry("borne for 90 days", kinds.FLOW)]
    protected: bool
    levels: tuple[float, ...]
    bridges: tuple[Bridge, ...]


@dataclass(frozen=True)
class PumpsTogether:
    """All pumps at once on their one drawdown.

    first_intake: the least deep [m]; air_time: None where never in a day or unknown
    day_level: after a day [m]; levels: at the times of the course [m]
    """

    flow_at_rest: Annotated[float, Entry("all pumps at once", kinds.FLOW,
        "water at rest; they share one drawdown", key="all_flow")]  # fmt: skip
    first_intake: float
    draws_air: bool
    air_time: Annotated[float | None, Entry("then air is drawn after", kinds.DURATION,
        key="all_air_time")]  # fmt: skip
    day_level: float
    levels: tuple[float, ...]


@dataclass(frozen=True)
class WellResult:
    """The well by the best that the file tells of it.

    specific_capacity: after a day, well loss left out; well_loss: C of the step test
    well_loss_class: by Walton; empty where no step test tells it
    transmissivity, storage: of the model; None where the level is taken as settled
    hanging_area: what hangs in the casing [m2]; times: of the course [s]
    """

    how: Annotated[str, Entry("known by")]
    static_level: Annotated[float, Entry("static level", kinds.LENGTH,
        "below the ground, water at rest")]  # fmt: skip
    specific_capacity: Annotated[float, Entry("specific capacity", kinds.SPECIFIC_CAPACITY)]
    well_loss: Annotated[float, Entry("well loss", WELL_LOSS)]
    well_loss_class: str
    transmissivity: Annotated[float | None, Entry("transmissivity", kinds.TRANSMISSIVITY,
        "how freely the aquifer lets water through")]  # fmt: skip
    storage: Annotated[float | None, Entry("storage coefficient", STORAGE,
        "with what else widens or narrows the well")]  # fmt: skip
    water_area: Annotated[float | None, Entry("water in the casing", WATER_AREA,
        "less the pipes and cables that hang in it",
        lacking="the file has no bore, or what hangs in the casing fills it")]  # fmt: skip
    hanging_area: float
    tested_yield: Annotated[float | None, Entry("tested yield", kinds.FLOW,
        "beyond it the levels below are computed, not measured", optional=True)]  # fmt: skip
    tests: tuple[WellTestResult, ...]
    times: tuple[float, ...]
    pumps: tuple[PumpInWell, ...]
    together: PumpsTogether | None


@dataclass(frozen=True)
class FrostResult:
    """The frost, and the line that leaves the well."""

    depth: Annotated[float, Entry("the pipe leaves the well at", kinds.LENGTH, "below the ground",
        key="pitless_depth")]  # fmt: skip
    frost: Annotated[float, Entry("the ground freezes to", kinds.LENGTH, key="frost_depth")]
    wanted: Annotated[float, Entry("the line should lie at", kinds.LENGTH,
        "or deeper, all the way to the house", key="wanted_depth")]  # fmt: skip


@dataclass(frozen=True)
class CasingBody:
    """Something that hangs in the well, between two depths below the ground."""

    name: Annotated[str, Entry("body", key="body")]
    diameter: Annotated[float, Entry("diameter", kinds.BORE)]
    top: Annotated[float, Entry("from", kinds.LENGTH)]
    bottom: Annotated[float, Entry("to", kinds.LENGTH)]


@dataclass(frozen=True)
class CasingSection:
    """What hangs side by side between two depths; clearance: negative where it does not fit."""

    top: Annotated[float, Entry("tightest from", kinds.LENGTH, "below the ground",
        key="tightest_top")]  # fmt: skip
    bottom: Annotated[float, Entry("tightest to", kinds.LENGTH, key="tightest_bottom")]
    bodies: Annotated[tuple[str, ...], Entry("side by side", words=", ".join)]
    smallest_circle: Annotated[float, Entry("smallest circle there", kinds.BORE,
        "round all that hangs side by side")]  # fmt: skip
    clearance: Annotated[float, Entry("clearance left", kinds.BORE)]


@dataclass(frozen=True)
class PulledString:
    """A pump or cylinder with the pipe on which it hangs, as it is lifted out."""

    name: Annotated[str, Entry("what is pulled", key="string")]
    weight: Annotated[float, Entry("weight", kinds.FORCE)]
    left_out: Annotated[str, Entry("without")]


@dataclass(frozen=True)
class CasingResult:
    """The fit in the casing.

    bodies: all that hangs in the well; sections: from the top down, empty depths left out
    tightest: number of the tightest section, from 0
    strings: what hangs on pipes, in the order in which it is pulled
    """

    bore: Annotated[float, Entry("casing bore", kinds.BORE, "inside")]
    clearance_wanted: Annotated[float, Entry("clearance wanted", kinds.BORE,
        "over the smallest circle, as a difference of diameters")]  # fmt: skip
    bodies: tuple[CasingBody, ...]
    sections: tuple[CasingSection, ...]
    tightest: int
    strings: tuple[PulledString, ...] = ()


@dataclass(frozen=True)
class OtherWellResult:
    """A well beside that of [well].

    well: None where the file does not tell how its water goes down; casing: None where nothing
        tells of the fit in it
    """

    name: str
    well: WellResult | None
    casing: CasingResult | None
