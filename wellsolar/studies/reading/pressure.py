"""Readings at the pressure tank: its air, the gauge, what is lost overnight."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from wellsolar import kinds
from wellsolar.constants import PSI
from wellsolar.physics.hydraulics import pressure_tank, suction
from wellsolar.physics.hydraulics import pressure_tank as readings
from wellsolar.results.readings import Band, Cause, Implied, SheetLine
from wellsolar.site.part_names import HOUSE_MAIN, TANK_RELIEF
from wellsolar.site.schema import Site
from wellsolar.studies.pump.pressure_tank import (
    HELD_BAND,
    HELD_SHARE,
    TOLERANCE_BELOW,
    held_by_all,
)
from wellsolar.studies.reading.pumps import ReadPump, flow_of, standing
from wellsolar.studies.reading.reading import (
    AIR,
    CHECK_VALVE,
    TAP,
    Lacking,
    Reading,
    ends_of,
    fixed,
    near,
)
from wellsolar.studies.reading.visit import Visit
from wellsolar.units import Quantity

GAUGE_OFF = 2.0 * PSI
"""How far a pressure may be off by the gauge and the switch, or fall by cooling, 2 psi [Pa]: our
choice."""

VESSEL = 100.0 * PSI
"""Working pressure on the plate of many well tanks, 100 psi [Pa]: common practice, no source."""

BURSTS = "more than many vessels stand: breaker off now, keep away, let water off at a tap"
RELIEF_SHUT = (
    f"the {TANK_RELIEF} did not open either: breaker off now, keep away, let water off at a tap"
)
RUNS_ON = "the pump runs past where it should stop: breaker off now, and off until it is repaired"

SWITCH_KEYS = ("pressure_switch.cut_in", "pressure_switch.cut_out")
"""What the file lacks where a gauge can't be judged."""

WITH_THE_GAUGE = {"bucket_volume", "pump_amps", "pumping_level"}
"""Readings that the gauge's pressure only goes with."""


@dataclass(frozen=True)
class TankAir:
    """Volume of all tanks together [m3], their precharge and the atmosphere's pressure [Pa]."""

    volume: float
    precharge: float
    atmosphere: float

    def drawn(self, cut_in: float, cut_out: float) -> float:
        """Water between two pressures [m3]."""
        return pressure_tank.drawdown_volume(
            self.volume, self.precharge, cut_in, cut_out, self.atmosphere
        )


def tank_air_of(site: Site, precharge: float | None = None) -> TankAir | None:
    """The pressure tank with the precharge that was read, else the file's, else 2 psi below
    cut-in [Pa]; None where there is no tank or nothing tells its air."""
    tank, switch = site.pressure_tank, site.pressure_switch
    if tank is None:
        return None
    if precharge is None and tank.precharge is not None:
        precharge = float(tank.precharge)
    elif precharge is None and switch is not None:
        precharge = pressure_tank.recommended_precharge(switch.cut_in)
    if precharge is None:
        return None
    atmosphere = suction.atmospheric_pressure(site.site.altitude)
    return TankAir(tank.volume * tank.count, precharge, atmosphere)


class Precharge(Reading):
    """Air of the drained tank."""

    reads = ("precharge",)
    clears = (AIR,)
    step = "tank"
    key = label = "precharge"
    subject = "pressure tank"
    when = "tank drained"

    @cached_property
    def best(self) -> float | None:
        """What it should be [Pa]; None without a switch or a pump that holds its pressure."""
        held, switch = held_by_all(self.site), self.site.pressure_switch
        if held is not None:
            return HELD_SHARE * held
        if switch is None:
            return None
        return pressure_tank.recommended_precharge(switch.cut_in)

    def expected(self) -> Band | Lacking:
        """Just below cut-in, or the share of a pressure that is held."""
        held, switch = held_by_all(self.site), self.site.pressure_switch
        if held is not None and self.best is not None:
            least, most = (share * held for share in HELD_BAND)
            value = Quantity(self.best, kinds.PRESSURE, least, most)
            return Band(value, "about 70 % of the pressure held; the drive's sheet goes before")
        if switch is None or self.best is None:
            return Lacking(SWITCH_KEYS[:1])
        low = max(0.0, switch.cut_in - TOLERANCE_BELOW)
        value = Quantity(self.best, kinds.PRESSURE, low, float(switch.cut_in))
        return Band(value, "2 psi (14 kPa) below cut-in, never above it")

    def implied(self) -> list[Implied]:
        """Water that the tank gives with that air."""
        switch, tank = self.site.pressure_switch, tank_air_of(self.site, float(self.measured))
        if tank is None or switch is None:
            return []
        cuts = (float(switch.cut_in), float(switch.cut_out))
        low, middle, high = sorted(
            replace(tank, precharge=precharge).drawn(*cuts) for precharge in ends_of(self.measured)
        )
        water, why = Quantity(middle, kinds.VOLUME, low, high), "by Boyle, with that air"
        return [Implied("implied_water", "water from cut-out to cut-in", water, why)]

    def explained(self, band: Quantity, low: bool) -> tuple[Cause, ...]:
        """Air lost or never set, or water in the tank."""
        if low:
            return fixed(
                ("air never set to this switch, or lost: set it, tank drained", 0.6, AIR),
                ("a leaking air valve or bladder: water at the air valve shows it", 0.3),
            )
        return fixed(
            ("air never set to this switch: let some out, tank drained", 0.6, AIR),
            ("water still in the tank when it was read", 0.3),
        )

    def boxes(self) -> list[SheetLine]:
        """One for all tanks."""
        tank = self.site.pressure_tank
        if tank is None or self.best is None:
            return []
        label = "precharge, tank drained"
        if tank.count > 1:
            label = f"precharge of each of {tank.count} tanks, drained"
        return [SheetLine(label, near(self.best, kinds.PRESSURE, PSI), reads=self.reads)]


class GaugePressure(Reading):
    """The gauge at the tank, by itself."""

    reads = ("gauge_pressure",)
    step = "pump"
    key = "gauge_pressure"
    label = "gauge at the tank"
    subject = "pressure tank"

    def __init__(self, visit: Visit) -> None:
        super().__init__(visit)
        self.state = visit.given.pump_state
        self.when = f"the pump {self.state}" if self.state else "pump on or off"
        self.held = None if visit.pump is None else visit.pump.table.held_pressure
        self.open = visit.pump is not None and visit.pump.on_well.link.into_tank

    @classmethod
    def was_taken(cls, visit: Visit) -> bool:
        """Whether it was read by itself."""
        return super().was_taken(visit) and not WITH_THE_GAUGE & set(visit.values)

    def expected(self) -> Band | Lacking:
        """The pressure that the pump holds, else anything from cut-in to cut-out."""
        switch = self.site.pressure_switch
        if self.held is not None:
            held = float(self.held)
            value = Quantity(held, kinds.PRESSURE, held - GAUGE_OFF, held + GAUGE_OFF)
            return Band(value, "the pressure that the pump holds")
        if switch is None:
            return Lacking(SWITCH_KEYS)
        cut_in, cut_out = float(switch.cut_in), float(switch.cut_out)
        low, high = max(0.0, cut_in - GAUGE_OFF), cut_out + GAUGE_OFF
        value = Quantity((cut_in + cut_out) / 2, kinds.PRESSURE, low, high)
        return Band(value, "cut-in to cut-out, and 2 psi (14 kPa) for gauge and switch")

    def implied(self) -> list[Implied]:
        """The point of a pump that runs against it."""
        pump = self.visit.pump
        if pump is None or self.state != "on" or self.open or pump.on_well.link.valve is not None:
            return []  # Behind a valve one pressure stands for any flow.
        return _at_that_pressure(pump)

    def warns(self, band: Quantity) -> str:
        """More than the relief valve or a usual vessel stands, or a pump that nothing stops."""
        heater = self.site.water_heater
        tank = self.site.pressure_tank
        plates = [heater.relief_pressure] if heater is not None else []
        plates += [tank.greatest_pressure] if tank is not None else []
        stands = min([VESSEL, *(float(plate) for plate in plates if plate is not None)])
        if self.measured.high > stands:
            return BURSTS
        opens = None if tank is None else tank.relief_pressure
        if opens is not None and self.measured.low > opens + GAUGE_OFF:
            return RELIEF_SHUT
        return RUNS_ON if self.state == "on" and self.measured.low > band.high else ""

    def explained(self, band: Quantity, low: bool) -> tuple[Cause, ...]:
        """Switch, gauge, draw or expansion, by whether the pump ran."""
        return _too_low(self.state) if low else _too_high(self.site, self.state)

    def boxes(self) -> list[SheetLine]:
        """What the pump holds, or both ends of its switch; none of one that fills a tank."""
        if self.open:
            return []
        if self.held is not None:
            held = near(self.held, kinds.PRESSURE, GAUGE_OFF)
            return [SheetLine("pressure that it holds, by the gauge", held)]
        switch = self.site.pressure_switch
        cuts = () if switch is None else (("cut-in", switch.cut_in), ("cut-out", switch.cut_out))
        lines = [
            SheetLine(f"{label} by the gauge", near(cut, kinds.PRESSURE, GAUGE_OFF))
            for label, cut in cuts
        ]
        valve = None if self.visit.pump is None else self.visit.pump.on_well.link.valve
        if valve is not None:
            held = near(valve.set_pressure, kinds.PRESSURE, GAUGE_OFF)
            lines.append(SheetLine("gauge while one tap draws, a minute on", held))
        return lines


def _at_that_pressure(at: ReadPump) -> list[Implied]:
    """Flow, head and pumping level of a pump that runs against the gauge, by its curve."""
    duties = [at.on_well.duty("at the gauge", pressure) for pressure in at.pressures]
    middle = duties[len(duties) // 2]
    rests = "by its curve and the file's drawdown"
    if not at.on_well.level.known:
        # Without a drawdown the water may stand anywhere from rest down to the intake.
        rest = standing(at.on_well.level.static_level)
        duties += [at.on_well.duty("at the gauge", pressure, rest) for pressure in at.pressures]
        rests = "by its curve, the water anywhere from rest to the intake"
    flows = [duty.flow for duty in duties]
    heads = [duty.total_dynamic_head for duty in duties]
    levels = [duty.pumping_level for duty in duties]
    flow = flow_of(min(flows), middle.flow, max(flows))
    head = Quantity(middle.total_dynamic_head, kinds.HEAD, min(heads), max(heads))
    level = Quantity(middle.pumping_level, kinds.LENGTH, min(levels), max(levels))
    return [
        Implied("implied_flow", "flow of the pump", flow, rests),
        Implied("implied_head", "total head there", head, rests),
        *(
            []
            if at.on_well.link.from_tank
            else [Implied("implied_pumping_level", "pumping level", level, rests)]
        ),
    ]


def _too_low(state: str | None) -> tuple[Cause, ...]:
    """Why a gauge is below cut-in, the pump on or off."""
    if state == "on":
        return fixed(
            ("more is drawn than the pump gives: shut every tap and look again", 0.5),
            ("water deeper than thought, a worn pump or a leaking drop pipe", 0.4),
        )
    return fixed(
        ("a switch that does not close, or no supply to it: breaker off before its cover", 0.5),
        ("a gauge that is stuck or clogged: try another", 0.3),
    )


def _too_high(site: Site, state: str | None) -> tuple[Cause, ...]:
    """Why a gauge is above cut-out, the pump on or off."""
    heater = site.water_heater
    gauge = ("a gauge that reads high: try another", 0.3)
    if state == "off" and heater is not None and heater.check_valve is not False:
        return fixed(
            ("water that expands in the heater behind a check valve", 0.5),
            ("a switch set higher than the file says, or a gauge that reads high", 0.4),
        )
    if state == "off":
        return fixed(("a switch set higher than the file says", 0.5), gauge)
    stuck = "a switch that does not open: contacts welded or its tube clogged"
    if state is None:
        stuck = f"{stuck}; where the pump runs, its breaker off now"
    return fixed((f"{stuck}; its cover only with the breaker locked off", 0.6), gauge)


class PressureDecay(Reading):
    """Pressure lost overnight with the pump off and no tap open."""

    reads = ("evening_pressure",)
    step = "night"
    clears = (CHECK_VALVE,)
    key = "pressure_decay"
    label = "pressure lost with the pump off"
    subject = "pressure tank"

    def __init__(self, visit: Visit) -> None:
        super().__init__(visit)
        self.shut = visit.given.house_main == "shut"
        self.when = f"{HOUSE_MAIN} shut" if self.shut else "no tap open"

    @cached_property
    def measured(self) -> Quantity:
        """How far it fell."""
        first, last = self._pressures
        low, high = first.low - last.high, first.high - last.low
        return Quantity(first - last, kinds.PRESSURE_LOSS, low, high)

    @property
    def _pressures(self) -> tuple[Quantity, Quantity]:
        """In the evening and in the morning."""
        return self.visit.values["evening_pressure"], self.visit.values["morning_pressure"]

    def expected(self) -> Band:
        """None, but for the gauge and cooling."""
        value = Quantity(0.0, kinds.PRESSURE_LOSS, -GAUGE_OFF, GAUGE_OFF)
        return Band(value, "a tight system, by the gauge and cooling")

    def implied(self) -> list[Implied]:
        """Water that leaks away."""
        precharge = self.visit.values.get("precharge")
        tank = tank_air_of(self.site, None if precharge is None else float(precharge))
        if tank is None:
            return []
        (first, last), hours = self._pressures, self.visit.values["hours_between"]
        rates = [
            readings.leak_rate(tank.volume, tank.precharge, before, after, tank.atmosphere, time)
            for before, after, time in (
                (first.low, last.high, hours.high),
                (float(first), float(last), float(hours)),
                (first.high, last.low, hours.low),
            )
        ]
        rate = Quantity(rates[1], kinds.DAILY_FLOW, min(rates), max(rates))
        why = "by Boyle, in a tank with that precharge"
        return [Implied("implied_leak", "water that leaks away", rate, why)]

    def explained(self, band: Quantity, low: bool) -> tuple[Cause, ...]:
        """A leak; where it rose, a pump or a heater that worked."""
        if low:
            return fixed(
                ("the pump ran in the night: its breaker must be off", 0.6),
                ("water that expands in the heater while it warms", 0.3),
            )
        drips = "a toilet valve or tap that drips: shut the valves at the toilets and try again"
        back = (
            "a check valve or drop pipe that lets water back into the well: a buried line in a "
            "vacuum draws in foul water, so test for bacteria"
        )
        if self.shut:
            # No tap is on this side of the valve.
            lets_by = f"a {HOUSE_MAIN} that lets water by, or a leak on the way to it"
            return fixed((back, 0.7, CHECK_VALVE), (lets_by, 0.2))
        return fixed((drips, 0.5, TAP), (back, 0.4, CHECK_VALVE))

    def boxes(self) -> list[SheetLine]:
        """What it may lose overnight."""
        if self.site.pressure_tank is None:
            return []
        value = Quantity(0.0, kinds.PRESSURE_LOSS, 0.0, GAUGE_OFF)
        reads = ("evening_pressure", "morning_pressure", "hours_between")
        return [SheetLine("pressure lost overnight", value, reads=reads)]
