"""Temperatures of the heated tank and of the nearest tap, against the tank's own year."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from wellsolar import kinds
from wellsolar.physics.tank import hot_water, scald
from wellsolar.physics.types import FloatArray
from wellsolar.results.readings import Band, Cause, Implied, SheetLine
from wellsolar.site.part_names import HEATER_RELIEF
from wellsolar.studies.heat.tank import grid_element_of, setpoint_of
from wellsolar.studies.reading.reading import Candidate, Reading, ends_of, fixed, near
from wellsolar.studies.reading.visit import Job, Visit
from wellsolar.studies.safety.scald import SAFE_OUTLET
from wellsolar.units import Quantity

THERMOMETER = 3.0
"""How far thermometer and place may be off together [K]; our choice."""

THERMOSTAT, MIXED = 5.0, 3.0
"""How far a thermostat and a mixing valve may lie from their setting [K]: common practice, no
source."""

SCALDS = "it scalds: keep people from the taps until the valve is set"
TOO_HOT = "it scalds and the tank must not get hotter: {off} now, keep people from the taps"
LIMIT_FAILED = (
    "it scalds, and the high limit failed as well as the thermostat: {off} now, keep people from "
    f"the taps and away from the pipe of the {HEATER_RELIEF}"
)


class _HotWater(Reading):
    """A temperature of the heated water."""

    step = "hot_water"
    subject = "water heater"

    def __init__(self, visit: Visit) -> None:
        super().__init__(visit)
        assert self.site.water_heater is not None
        self.heater = self.site.water_heater
        self.cold = float(self.site.well.water_temperature)

    @classmethod
    def lacks(cls, job: Job) -> tuple[str, ...]:
        """A file without a heater says nothing of it."""
        return () if job.site.water_heater is not None else ("water_heater",)

    @property
    def hottest(self) -> float:
        """Highest setting of the tank's thermostats [degC]."""
        return max(setpoint_of(self.heater, element)[0] for element in self.heater.element)


def _spread(temperatures: FloatArray) -> Quantity:
    """The band about some temperatures [degC], as wide as thermometer and place may be off."""
    ends = (float(temperatures.min()) - THERMOMETER, float(temperatures.max()) + THERMOMETER)
    return Quantity(float(np.median(temperatures)), kinds.TEMPERATURE, *ends)


class TankTemperature(_HotWater):
    """Water at the top of the tank that the modules heat."""

    reads = ("tank_temperature",)
    key = "tank_temperature"
    label = "water at the top of the tank"

    def expected(self) -> Band:
        """The tank's year at that time, else cold water to the highest thermostat."""
        tank = self.visit.job.tank
        if tank is None:
            low, high = self.cold, self.hottest
            middle = (low + high) / 2
            rests = "cold water to the highest thermostat, and 3 K (5 degF) more or less"
            value = _spread(np.array([low, middle, high]))
        else:
            value = self.band_of(tank.near(self.visit.given))
            taken = self.visit.given.taken or "all hours"
            rests = f"the tank's year, {taken}, and 3 K (5 degF)"
        return Band(value, rests)

    def band_of(self, hours: NDArray[np.bool_]) -> Quantity:
        """What may be read in those hours of the tank's year."""
        tank = self.visit.job.tank
        assert tank is not None
        return _spread(tank.top[hours])

    @property
    def too_hot(self) -> bool:
        """Whether no thermostat can have let it get so hot."""
        return self.measured.low > self.hottest + THERMOMETER

    def warns(self, band: Quantity) -> str:
        """Hotter than its thermostats, or than its high limit too."""
        if not self.too_hot:
            return ""
        return (LIMIT_FAILED if self.past_limit else TOO_HOT).format(off=self._off)

    @property
    def past_limit(self) -> bool:
        """Whether the high limit has let it get so hot."""
        limit = self.heater.high_limit
        return limit is not None and self.measured.low > limit + THERMOMETER

    @property
    def _off(self) -> str:
        """What cuts off all that heats the tank."""
        arrays = {group.name for group in self.site.array}
        fed = {element.fed_by for element in self.heater.element}
        ways = ["open the array's isolator"] if fed & arrays else []
        ways += ["turn the heater's breaker off"] if fed - arrays else []
        return " and ".join(ways)

    def evident(self, band: Quantity) -> tuple[Cause, ...]:
        """A thermostat that does not open."""
        if not self.too_hot:
            return ()
        if self.past_limit:
            return fixed(
                ("a thermostat and a high limit that both do not open, or one welded contact that "
                 "both act on: a licensed trade mends it before heat goes on again", 0.8),
                ("a thermometer that reads high", 0.1),
            )  # fmt: skip
        return fixed(
            ("a thermostat that does not open", 0.7),
            ("a thermometer that reads high", 0.2),
        )

    def explained(self, band: Quantity, low: bool) -> Sequence[Candidate] | tuple[Cause, ...]:
        """Draw, thermostat, or too little heat."""
        if low:
            return self._too_cool(band)
        return fixed(
            ("less hot water drawn than the file says", 0.6),
            ("a thermostat set higher than the file says", 0.3),
        )

    def _too_cool(self, band: Quantity) -> list[Candidate]:
        """Ways for the tank to be cooler than in any such hour of its year."""
        below = np.array([self.cold, (self.cold + band.low) / 2, band.low])
        candidates = [
            Candidate("more hot water drawn, or less sun, than in any such day of the file's year",
                      below, 0.7),
            Candidate("an array or element that gives less: read its amperes", below, 0.6),
            Candidate("a thermometer that sits low or loose: read at the top of the tank", below,
                      0.3),
        ]  # fmt: skip
        tank = self.visit.job.tank
        if tank is not None and grid_element_of(self.heater) is not None:
            alone = np.asarray(tank.alone[tank.near(self.visit.given)])
            text = "the element on the grid without supply, or its thermostat set low"
            candidates.append(Candidate(text, alone, 1.0))
        return candidates

    def implied(self) -> list[Implied]:
        """Heat and warm water that a tank holds which is everywhere as warm as read."""
        read, cold, tap = self.measured, self.cold, float(self.heater.draw.temperature)
        implied = self._heat()
        if read > tap > cold:
            volume = float(self.heater.volume)
            least, middle, most = (
                hot_water.delivered_volume(volume, max(warmth, tap), cold, tap)
                for warmth in ends_of(read)
            )
            water = Quantity(middle, kinds.VOLUME, least, most)
            why = "at the tap's temperature, if all of it is so warm"
            implied.append(Implied("implied_tap_water", "mixed water it gives", water, why))
        return implied

    def _heat(self) -> list[Implied]:
        """Heat in the tank, and what is missing up to the coolest that is expected."""
        tank, ends = self.visit.job.tank, ends_of(self.measured)
        if tank is None:
            return []
        capacity = tank.work.tank.heat_capacity
        low, middle, high = (capacity * (warmth - self.cold) for warmth in ends)
        held = Quantity(middle, kinds.ENERGY, low, high)
        why = "if all of the tank is so warm"
        implied = [Implied("implied_heat", "heat above cold water", held, why)]
        coolest = self.expected().value.low
        if self.measured.high < coolest:
            most, middle, least = (capacity * (coolest - warmth) for warmth in ends)
            missing = Quantity(middle, kinds.ENERGY, least, most)
            label, why = "heat that is missing at least", "up to the coolest that is expected"
            implied.append(Implied("implied_missing_heat", label, missing, why))
        return implied

    def boxes(self) -> list[SheetLine]:
        """What each thermostat opens at."""
        return [
            SheetLine(
                f"{element.position} thermostat opens at",
                near(element.thermostat, kinds.TEMPERATURE, THERMOSTAT),
            )
            for element in self.heater.element
            if element.thermostat is not None
        ]


class TapTemperature(_HotWater):
    """Hot water at the nearest tap, run until it is as warm as it gets."""

    reads = ("tap_temperature",)
    key = "tap_temperature"
    label = "water at the tap"

    @property
    def valve(self) -> float | None:
        """Setting of the mixing valve [degC]; None without one."""
        valve = self.heater.mixing_valve
        return None if valve is None else float(valve.outlet)

    def expected(self) -> Band:
        """The top of the tank that the taps draw from, mixed where there is a valve."""
        tank, taken = self.visit.job.tank, self.visit.given.taken
        if tank is None:
            # Cold to the highest thermostat.
            second = self.heater.second_tank
            hottest = 0.0 if second is None else float(second.thermostat)
            value = self._mixed(np.array([self.cold, max(self.hottest, hottest)]))
        else:
            value = self.band_of(tank.near(self.visit.given))
        what = "the tank's top"
        what += "" if self.valve is None else ", mixed to the valve's setting"
        return Band(value, f"{what}, {taken or 'all hours of the year'}, and 3 K (5 degF)")

    def band_of(self, hours: NDArray[np.bool_]) -> Quantity:
        """What may be read in those hours of the tank's year."""
        tank = self.visit.job.tank
        assert tank is not None
        return self._mixed(tank.tap_top[hours])

    def _mixed(self, tops: FloatArray) -> Quantity:
        """What may be read where the taps draw water so warm [degC]."""
        return _spread(tops if self.valve is None else np.minimum(tops, self.valve))

    @property
    def scalds(self) -> bool:
        """Whether it is hotter than the valve or a safe tap lets it be."""
        limit = SAFE_OUTLET if self.valve is None else min(self.valve, SAFE_OUTLET)
        return self.measured.low > limit + THERMOMETER

    def warns(self, band: Quantity) -> str:
        """Hot enough to scald."""
        return SCALDS if self.scalds else ""

    def evident(self, band: Quantity) -> tuple[Cause, ...]:
        """Whatever lets it scald."""
        return _too_hot_at_tap(self.valve, self.measured.low > band.high) if self.scalds else ()

    def explained(self, band: Quantity, low: bool) -> tuple[Cause, ...]:
        """Not run long enough or mixed too cool; above, the valve."""
        if not low and self.valve is not None and self.measured.high <= self.valve + MIXED:
            return fixed(
                ("less hot water drawn than the file says, so that the tank is hotter", 0.7),
                ("a thermometer that reads high", 0.2),
            )
        if not low:
            return _too_hot_at_tap(self.valve, True)
        return fixed(
            ("water not run long enough: let it run until it gets no warmer", 0.5),
            ("a mixing valve set lower or stuck, or a tank that is cold: read its top", 0.4),
        )

    def implied(self) -> list[Implied]:
        """How far above the valve's setting, and how fast it burns."""
        read, valve = self.measured, self.valve
        implied = []
        if valve is not None:
            off = Quantity(read - valve, kinds.TEMPERATURE_DIFFERENCE,
                           read.low - valve, read.high - valve)  # fmt: skip
            implied.append(Implied("implied_off_setting", "above the mixing valve's setting", off,
                                   "below 0 where it is cooler"))  # fmt: skip
        for who in ("adult", "child"):
            longest, likely, shortest = (scald.burn_time(warmth, who) for warmth in ends_of(read))
            if likely.bound == "none":
                continue
            most = likely.seconds if longest.bound == "none" else longest.seconds
            time = Quantity(likely.seconds, kinds.DURATION, shortest.seconds, most)
            why = "or less" if likely.bound == "at most" else "by published times"
            key, label = f"implied_burn_{who}", f"time to a deep burn, {who}"
            implied.append(Implied(key, label, time, why))
        return implied

    def boxes(self) -> list[SheetLine]:
        """Mixed water, where there is a valve."""
        if self.valve is None:
            return []
        outlet = near(self.valve, kinds.TEMPERATURE, MIXED)
        return [SheetLine("mixed water at the nearest tap", outlet, reads=self.reads)]


def _too_hot_at_tap(valve: float | None, over: bool) -> tuple[Cause, ...]:
    """Why a tap is too hot; over: more than the year can give, so that the valve is at fault."""
    if valve is None:
        return fixed(
            ("no mixing valve: have one fitted, set to 120 degF (49 degC)", 0.8),
            ("a tank that is hotter than its thermostat says", 0.1),
        )
    if over:
        return fixed(
            ("a mixing valve set too high or stuck: keep people from the tap", 0.7),
            ("a thermometer that reads high", 0.2),
        )
    return fixed(
        ("a mixing valve set above 120 degF (49 degC): have it set lower", 0.9),
        ("a thermometer that reads high", 0.1),
    )
