"""What each source gives when something has failed. Every field is in SI, temperatures in degC."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from wellsolar import kinds
from wellsolar.results.entries import A_DAY, DAYS, EFFORT, Entry
from wellsolar.verdicts import Change

PressureState = Literal["yes", "by hand", "short cycling", "by gravity", "no"]
"""How water stands at the taps: as ever, by the handle, by a pump that starts too often, by the
height of an open tank, not at all."""


def met(share: float | None) -> float | None:
    """Part of a demand that is met, from the water there is over what is wanted."""
    return None if share is None else min(1.0, share)


def _or_nothing(sources: tuple[str, ...]) -> str:
    """Sources one after another, or "nothing"."""
    return ", ".join(sources) or "nothing"


@dataclass(frozen=True)
class OutageCell:
    """One source of water in one outage.

    source, kind: its name, and "pump", "hand pump", "lift" or "stored"
    volume: water that it gives on a day [m3]; of hands in a day's work of 8 h
    power: what it runs on: "grid", "inverter", "battery", "sun", "generator", "hands", "none"
    effort: work of those at the handle for a day's survival water, or all day where that is more
        than they can lift, or nobody knows how many drink [s]; None where nobody works
    pressure: at the taps; limit: the one thing that limits it
    needs: keys that would settle what is not known of it
    """

    source: str
    kind: str
    volume: float
    power: str
    effort: float | None
    pressure: PressureState
    limit: str
    needs: tuple[str, ...] = ()


@dataclass(frozen=True)
class HotWater:
    """The hot water in one outage.

    state: "hot", "on sunny days", "cooling" or "none"
    days: on which the evening's water is hot, out of those that the outage lasts; None where the
        file does not tell enough
    end_temperature: at the top of the tank when it ends, nothing heating [degC], or None
    """

    state: str
    days: float | None
    end_temperature: float | None
    limit: str


@dataclass(frozen=True)
class DarkRun:
    """The days of the year on which the modules that feed pump or battery give least.

    begins: day of the year, from 0; month, day: of the calendar
    energy: of the modules on one of these days, mean [J]; usual: of the year's mean day [J]
    """

    begins: int
    month: int
    day: int
    energy: float
    usual: float


@dataclass(frozen=True)
class Outage:
    """What is left when something has failed.

    key: unique; failed: what does not work
    dark: True where it lasts through the darkest days, of which `run` tells where modules feed
    group: "matrix" for the usual ones, "own" for the file's, "single" for one component alone
    cells: of the sources in their order; volume: of all together, within what the well gives
    survival, basic, normal: shares of what is wanted; None where that is not known
    effort: by hand for a day's survival water, after what needs no hands; None without
    """

    key: str
    name: Annotated[str, Entry("failed", key="failed")]
    failed: tuple[str, ...]
    days: Annotated[int, Entry("days", kinds.COUNT)]
    dark: bool
    group: str
    cells: tuple[OutageCell, ...]
    volume: Annotated[float, Entry("water", A_DAY)]
    survival: float | None
    basic: float | None
    normal: float | None
    effort: Annotated[float | None, Entry("work", EFFORT)]
    pressure: Annotated[PressureState, Entry("pressure")]
    limit: Annotated[str, Entry("limited by")]
    order: Annotated[tuple[str, ...], Entry("what works, easiest first", words=_or_nothing)]
    run: DarkRun | None = None
    hot: HotWater | None = None

    @property
    def hot_days(self) -> Annotated[float | None, Entry("hot days", DAYS, key="hot")]:
        """Days on which the evening's water is hot; None without a heater, or if not known."""
        return None if self.hot is None else self.hot.days

    @property
    def survival_met(
        self,
    ) -> Annotated[float | None, Entry("survival met", kinds.FRACTION, key="survival")]:
        """Part of the survival water that is met, at most 1."""
        return met(self.survival)

    @property
    def basic_met(
        self,
    ) -> Annotated[float | None, Entry("basic met", kinds.FRACTION, key="basic")]:
        """Part of basic use that is met, at most 1."""
        return met(self.basic)

    @property
    def normal_met(
        self,
    ) -> Annotated[float | None, Entry("ordinary met", kinds.FRACTION, key="normal")]:
        """Part of an ordinary day's use that is met, at most 1."""
        return met(self.normal)

    @property
    def short(self) -> bool:
        """True where less than survival water is left."""
        return self.survival is not None and self.survival < 1.0

    def cell(self, source: str) -> OutageCell:
        """The cell of a source by its name."""
        return next(cell for cell in self.cells if cell.source == source)


@dataclass(frozen=True)
class Store:
    """Water that is in the house when an outage begins.

    days: None where nobody knows how many drink
    """

    name: Annotated[str, Entry("stored in", key="store")]
    volume: Annotated[float, Entry("water", kinds.VOLUME)]
    days: Annotated[float | None, Entry("lasts at survival use", DAYS, key="lasts")]
    note: Annotated[str, Entry("what is counted")]


@dataclass(frozen=True)
class Fix:
    """A change of the site file that was tried and that clears the link.

    kind: "valve", "cylinder", "modules", "storage", "hand pump" or "generator"; text: what it is
    changes: keys to change; volume: water of a day that is there with it in that outage [m3]
    """

    kind: str
    text: str
    changes: tuple[Change, ...]
    volume: float


@dataclass(frozen=True)
class WeakLink:
    """One component, alone in failing.

    outage: what is left; fix: the cheapest change that clears it; None where it is no weak link or
    nothing that was tried clears it
    """

    component: str
    outage: Outage
    fix: Fix | None


@dataclass(frozen=True)
class OutageResult:
    """Every source of water against every outage.

    survival, basic, normal: None where not known
    static_level: of [well], as all is reckoned; low: True where it is that of the low
        season
    whole: nothing failed; outages: matrix and own
    links: nothing, then each component, alone out of order
    other_levels: the same of the other wells, by their names [m]
    plan: changes, one after the other, that together clear all weak links; empty where there is
        none or nothing that was tried does; planned: the least water of a day then [m3]
    """

    survival: Annotated[float | None, Entry("survival water a day", kinds.VOLUME, "for everybody")]
    basic: Annotated[float | None, Entry("basic water a day", kinds.VOLUME, "20 L (5.3 gal) each")]
    normal: Annotated[float | None, Entry("ordinary day's water", kinds.VOLUME)]
    static_level: Annotated[float, Entry("water stands at", kinds.LENGTH)]
    low: bool
    well_volume: Annotated[float | None, Entry("the well gives a day", A_DAY,
        "by tested yield and drawdown, to all sources together")]  # fmt: skip
    stores: tuple[Store, ...]
    whole: Outage
    outages: tuple[Outage, ...]
    links: tuple[WeakLink, ...]
    plan: tuple[Fix, ...]
    planned: float | None
    other_levels: tuple[tuple[str, float], ...] = ()

    @property
    def weak(self) -> tuple[WeakLink, ...]:
        """Components whose failure alone leaves less than survival water."""
        return tuple(link for link in self.links if link.outage.short)
