"""The page for the site: the sheet as a form, and what would be if a size were another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from wellsolar.kinds import Kind


@dataclass(frozen=True)
class FormBox:
    """One box of the form in which a number is typed.

    key: row of the table of readings; empty where only the sheet asks for it
    above, least, most: bounds in SI; None where there is none
    """

    key: str
    label: str
    kind: Kind
    above: float | None = None
    least: float | None = None
    most: float | None = None


@dataclass(frozen=True)
class Way:
    """A way to be wrong, with the ends of what would be read then.

    at: least, middle and greatest of it; of a reading in the sun at each of the form's lights
    weight: how usual it is beside the others [-]; group: of ways that shut each other out
    of: what may lie behind it, as other readings may show it too; empty for itself alone
    """

    text: str
    at: tuple[tuple[float, float, float], ...]
    weight: float
    group: str = ""
    of: tuple[str, ...] = ()


Fixed = Mapping[str, tuple[float, tuple[str, ...]]]
"""Of causes that need no weighing, by their text: the share [-], and what may lie behind it."""


@dataclass(frozen=True)
class Told:
    """What is told of a reading whose lower or upper end is more than a bound.

    beyond: the bound, in SI; end: of the reading; texts: a warning, or causes, likeliest first
    """

    beyond: float
    end: Literal["low", "high"]
    texts: tuple[str, ...]


@dataclass(frozen=True)
class Causes:
    """Why a reading may lie below its band, inside or above it: texts by what was read, which go
    first, or else ways to be weighed; fixed: of those texts."""

    told: tuple[Told, ...] = ()
    ways: tuple[Way, ...] = ()
    fixed: Fixed = field(default_factory=dict)


MadeOf = Literal["value", "flow", "fall", "ohms", "words"]
"""How a reading is made of its boxes: as typed, volume over time, what was lost from the first to
the second, volts over amperes, or in order and not."""


@dataclass(frozen=True)
class FormField:
    """A reading, or a line of the sheet, as a form asks for it.

    number: of the sheet's line; 0 where the sheet has none
    pump, state: told beside the reading, the state of the pump or of the house main valve; empty
        where not
    clears: what hardly lies behind other readings where this one is right
    bands: low, middle and high in SI, of several the nearest; none where nothing is expected
    by_time: name of the bands by month, hour and sky; empty for a band that always holds
    rests_on: what the band rests on; why: what is lacking where nothing is expected
    warns: where it can hurt someone; below, inside, above: causes
    """

    key: str
    number: int
    label: str
    words: str
    made_of: MadeOf
    boxes: tuple[FormBox, ...] = ()
    pump: str = ""
    state: str = ""
    bands: tuple[tuple[float, float, float], ...] = ()
    by_time: str = ""
    rests_on: str = ""
    why: str = ""
    warns: tuple[Told, ...] = ()
    below: Causes = Causes()
    inside: Causes = Causes()
    above: Causes = Causes()
    clears: tuple[str, ...] = ()


ByTime = tuple[tuple[tuple[float, ...], ...], ...]
"""Numbers by month and by time of day: by class of the time, of which each has other hours of the
year near it, numbered as the minutes of a day first come to them; or by hour."""


@dataclass(frozen=True)
class TimedBands:
    """Bands of a reading by month and time of day.

    hours: of the day in which the year has its hours [h]
    bands: by the sky, empty where it does not matter; then by month and class of the time, or by
        hour, of which those near the reading make its band: low and high, both 0 in the dark
    lights: of a reading in the sun, likewise: the least and the greatest light [W/m2]
    by_hour: True where they stand by the hour
    like, times: another reading that this one is so many times of, instead of bands of its own
    """

    hours: tuple[float, ...]
    bands: Mapping[str, ByTime]
    lights: Mapping[str, ByTime]
    by_hour: bool = False
    like: str = ""
    times: float = 1.0


@dataclass(frozen=True)
class MeteredSun:
    """What is read at the element under a sun that a meter showed, by the circuit of `WhatIf`.

    hours: of the day in which the year has its hours [h]
    airs: three airs by month and class of the time [degC], whole times `air_step` [K]
    off: by how much of what is read band and meter may be off [-]
    dark: light [W/m2] up to which the sun is down; in_the_dark: what may be read then
    """

    hours: tuple[float, ...]
    airs: ByTime
    air_step: float
    off: float
    dark: float
    in_the_dark: Mapping[str, float]


@dataclass(frozen=True)
class SunCauses:
    """Why a reading in the sun may be off.

    lights: at which its ways are told [W/m2]; below, above: ways, each with how the sun must be
        known for it to count, "sky" or "metered", and empty where either will do
    open: texts where less is read than `share` of what is expected; dark: where the sun is down
    fixed: of those texts
    """

    lights: tuple[float, ...]
    below: tuple[tuple[str, Way], ...]
    above: tuple[tuple[str, Way], ...]
    open: tuple[str, ...]
    share: float
    dark: tuple[str, ...]
    fixed: Fixed = field(default_factory=dict)


@dataclass(frozen=True)
class FormStep:
    """A step of the sheet with its fields; `before`: what to isolate and beware of first."""

    key: str
    title: str
    before: str
    fields: tuple[FormField, ...]


@dataclass(frozen=True)
class FormResult:
    """The sheet as a form that judges what is typed into it.

    near: how far from the time of a reading an hour of the year may lie [h]
    timed: by name; sun: None where no modules heat; causes: by the reading's row
    slack: how far a reading may be off beside what was said of it [-]
    again: what is left where hardly anything explains it, and its weight [-]
    cleared: what is left of a fault's likelihood where a reading speaks against it [-]
    """

    steps: tuple[FormStep, ...]
    near: float
    timed: Mapping[str, TimedBands]
    sun: MeteredSun | None
    causes: Mapping[str, SunCauses]
    slack: float
    again: tuple[str, float]
    cleared: float


@dataclass(frozen=True)
class PipeFriction:
    """What the friction of a pipe follows from: bore and length [m], roughness over bore [-]."""

    bore: float
    length: float
    roughness: float


@dataclass(frozen=True)
class LateFitting:
    """So many fittings whose loss does not go with the velocity head alone.

    like: the pipe that one is worth; None for a check valve, with its K, its bore [m] and the head
        that it takes at least [m]
    """

    count: int
    like: PipeFriction | None
    k: float = 0.0
    bore: float = 0.0
    opening_head: float = 0.0


@dataclass(frozen=True)
class Points:
    """The points of a datasheet's curve: flows [m3/s], and what it is there."""

    flows: tuple[float, ...]
    values: tuple[float, ...]


@dataclass(frozen=True)
class PumpWhatIf:
    """A pump that the pressure switch starts, with all that its operating point follows from.

    head: [m] by flow [m3/s]; power: [W] by flow, None where an efficiency tells it
    capacity: specific, of the well [m2/s], None where unknown; well_loss: C of Jacob [s2/m5]
    floor: the intake [m]; elevation [m]; treatment [Pa]; density [kg/m3]; viscosity [m2/s]
    loss_coefficient: of the usual fittings, in velocity heads of the lateral
    gauge, run: of its cable, run [m] None where the file names none; phases; voltage [V]
    per_watt: its current [A/W]
    """

    name: str
    head: Points
    power: Points | None
    efficiency: float | None
    capacity: float | None
    well_loss: float
    floor: float
    elevation: float
    treatment: float
    density: float
    viscosity: float
    drop: PipeFriction
    lateral: PipeFriction
    loss_coefficient: float
    late: tuple[LateFitting, ...]
    gauge: str
    run: float | None
    phases: int
    voltage: float
    per_watt: float


@dataclass(frozen=True)
class HeaterWhatIf:
    """Modules on an element.

    parameters: photocurrent and saturation current [A], series and shunt resistance [ohm],
        ideality voltage [V], current coefficient [A/K] of one module
    gauge, run: of the named cable, run [m] None where the file names none
    wiring: resistance that then stands for it, over that of the element [-]
    coefficient: relative change of the element's resistance with its water [1/K], from `cold` on
    ratios, limits: of relays, the resistances over that of the element as wired, lowest first, and
        the suns at which they go to the next lower one [W/m2], None for the best one
    electronics: that track, at the least that they do, then at the most where the file leaves it
        open: their values by name, None for no limit; none of a wire or relays
    warming: of the cells by the sun [K m2/W], in air of [degC]
    """

    parameters: tuple[float, ...]
    series: int
    parallel: int
    power: float
    voltage: float
    gauge: str
    run: float | None
    wiring: float
    coefficient: float
    cold: float
    ratios: tuple[float, ...]
    limits: tuple[float, ...] | None
    electronics: tuple[Mapping[str, float | None], ...]
    warming: float
    air: float


@dataclass(frozen=True)
class DayWhatIf:
    """A day of sun on the modules in equal steps: lights [W/m2], cells [degC], and power that the
    tank is given beside [W]."""

    lights: tuple[float, ...]
    cells: tuple[float, ...]
    beside: tuple[float, ...]


@dataclass(frozen=True)
class TankWhatIf:
    """The tank that the modules heat.

    volume [m3]; loss [W/K]; heat_capacity [J/(m3 K)]; nodes, element_node: layers and that of the
        element; conduction: conductance between two over the heat capacity of one [1/s]
    cold, room, tap: water that comes in, air round the tank, water wanted at the tap [degC]
    thermostat [degC]; differential [K]; mixed: True with a mixing valve
    storage: warmth against legionella [degC]
    draw: mixed water a day of the people that the file names [m3], None where it is unknown;
        shares: part of it that is drawn in each step of a day
    burns: rows of each table of times to a burn [degC, s], coolest first; burns_from: coolest
        water that burns [degC]; child: a child's time over an adult's [-]
    step: of a day [s]; longest, least: days after which a tank that still rises does not get
        there, and rise of a day's end below which it has settled [K]
    """

    volume: float
    loss: float
    heat_capacity: float
    nodes: int
    element_node: int
    conduction: float
    cold: float
    room: float
    tap: float
    thermostat: float
    differential: float
    mixed: bool
    storage: float
    people: int
    draw: float | None
    shares: tuple[float, ...]
    burns: tuple[tuple[tuple[float, float], ...], ...]
    burns_from: float
    child: float
    step: float
    longest: int
    least: float


@dataclass(frozen=True)
class HandWhatIf:
    """A place to which hands lift water: powers [W] with the flow that each lifts [m3/s].

    age, arm_factor, own_power: of each person; power None where the rule tells it
    """

    label: str
    powers: tuple[float, ...]
    flows: tuple[float, ...]
    age_factor: float
    arm_factor: float
    own_power: float | None


@dataclass(frozen=True)
class WhatIf:
    """What the page reckons anew when a size is changed, and the sizes of the file, in SI.

    gauges: resistance of each gauge [ohm/m]; atmosphere: pressure [Pa]
    nodes, weights: of the quadrature of a fill between two pressures, from -1 to 1
    tank_volume: of all pressure tanks together [m3]; None without one
    days: of each month, by their kind; none where the sun is not known or no tank is heated
    """

    static_level: float
    cut_in: float | None
    cut_out: float | None
    precharge: float | None
    tank_volume: float | None
    atmosphere: float
    people: int
    pumps: tuple[PumpWhatIf, ...]
    heater: HeaterWhatIf | None
    tank: TankWhatIf | None
    days: Mapping[str, tuple[DayWhatIf, ...]]
    hands: tuple[HandWhatIf, ...]
    gauges: Mapping[str, float]
    nodes: tuple[float, ...]
    weights: tuple[float, ...]


@dataclass(frozen=True)
class Fault:
    """A question that a homeowner can answer, or what to do where none is left.

    answers: of a question, each with the key of what comes after it; none of a leaf
    first: of a leaf: what to beware of; steps: what to do; who: whom to call
    reads: rows of the table of readings that tell more of it
    """

    key: str
    asks: str
    answers: tuple[tuple[str, str], ...] = ()
    first: str = ""
    steps: tuple[str, ...] = ()
    who: str = ""
    reads: tuple[str, ...] = ()
