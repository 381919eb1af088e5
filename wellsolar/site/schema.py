"""The tables of a site file as frozen models with SI numbers inside.

Each field is read by its kind (`wellsolar.kinds`); what a field means stands below it, in the
words that the JSON Schema of a site file shows. Depths count downward from the ground at the well;
pressures are gauge pressures at the pressure tank. A key that may be left out is None without it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from wellsolar import kinds
from wellsolar.data import fitting_table, hot_water_tables, pipes, wiring
from wellsolar.site.fields import (
    AirTemperature,
    Altitude,
    Angle,
    ApparentPower,
    Bore,
    Current,
    Curve,
    DailyFlow,
    Depth,
    Elevation,
    Energy,
    Flow,
    Heads,
    Length,
    Levels,
    Names,
    Power,
    Powers,
    Pressure,
    PressureLoss,
    Reads,
    ShaftPower,
    Share,
    Switch,
    Times,
    Voltage,
    Volume,
    WaterTemperature,
)
from wellsolar.site.part_names import part_names
from wellsolar.units import Quantity, System


class Table(BaseModel):
    """What every table has in common: frozen, and an unknown key is a mistake."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)


CodeEdition = Literal[2014, 2017, 2020, 2023]
"""Years of the electrical code that the rules know."""


class SiteTable(Table):
    """Where the site is and who lives there."""

    name: str = "unnamed site"
    """What the site is called in reports."""
    note: str = ""
    """A remark of your own, printed under the name."""
    latitude: Annotated[Quantity, Reads(kinds.ANGLE, least=-66.0, most=66.0)] | None = None
    """North of the equator positive, south negative; needed for everything about sun."""
    longitude: Annotated[Quantity, Reads(kinds.ANGLE, least=-180.0, most=180.0)] | None = None
    """East of Greenwich positive, west negative."""
    altitude: Altitude
    """Height of the ground at the well above the sea."""
    people: Annotated[int, Field(strict=True, ge=1, le=100_000)] | None = None
    """How many drink this water."""
    print_units: System = "US"
    """Units of the reports; --units on the command line goes before it."""
    code_edition: CodeEdition | None = None
    """Year of the National Electrical Code that the local inspector holds to; left out where it is
    not known or another code is in force: what editions differ in then stays open."""


class DemandTable(Table):
    """Water wanted."""

    daily_use: DailyFlow | None = None
    """The whole household's or village's water on an ordinary day, by the meter if there is
    one."""
    peak_flow: Flow | None = None
    """The most that taps draw at one time."""
    survival_use: DailyFlow
    """The least one person needs a day when things fail."""


class StepTestTable(Table):
    """A step test: the well pumped at rising rates, each for the same time."""

    flow: Curve
    """The rate of each step, rising."""
    drawdown: Levels
    """Below the water at rest, at the end of each step, not step by step."""
    step_length: Annotated[Quantity, Reads(kinds.DURATION, above=0.0, most=1.0e7)] | None = None
    """How long each step was pumped; left out where each went on until the level settled."""


class DrawdownTestTable(Table):
    """A pumping or recovery test at one rate: levels against times."""

    kind: Literal["pumping", "recovery"] = "pumping"
    """Whether levels were read while the well was pumped, or while it recovered."""
    flow: Flow
    """The rate at which it was pumped."""
    file: str | None = None
    """A CSV beside the site file with columns time and level, their units in the heads, in place
    of the two lists."""
    time: Times
    """Since the pump started, or since it stopped for a recovery."""
    level: Levels
    """Depth of the water at each of the times."""
    pumping_time: Annotated[Quantity, Reads(kinds.DURATION, above=0.0, most=1.0e8)] | None = None
    """How long it had been pumped, for a recovery."""
    distance: Annotated[Quantity, Reads(kinds.LENGTH, above=0.0, most=5000.0)] | None = None
    """Of the observed well from the pumped one; left out for the pumped well itself."""
    rest_level: Depth | None = None
    """Of the water at rest before the test, there; left out where it is the static level."""
    trend_after: Annotated[Quantity, Reads(kinds.RATIO, least=0.0, most=10.0)]
    """How fast the water goes on falling after the end of the test, over its trend in the test: 0
    where it settles, 1 where it goes on, 2 where the aquifer ends at a barrier."""


class WellTable(Table):
    """The well itself; levels are depths below the ground."""

    depth: Annotated[Quantity, Reads(kinds.LENGTH, above=0.0, most=2000.0)]
    """From the ground to the bottom, by the driller's log or a weighted line."""
    casing_bore: Bore | None = None
    """How wide the casing is inside."""
    static_level: Depth
    """Depth of the water below the ground when nothing is pumped; a range where it changes over
    the year."""
    specific_capacity: (
        Annotated[Quantity, Reads(kinds.SPECIFIC_CAPACITY, above=0.0, most=10.0)] | None
    ) = None
    """Flow for each foot of drawdown, in place of the two values of the driller's test."""
    tested_yield: Flow | None = None
    """What was pumped in the driller's test."""
    tested_pumping_level: Depth | None = None
    """The level that settled while the tested yield was pumped."""
    water_temperature: WaterTemperature
    """Of the water as it comes from the well."""
    transmissivity: (
        Annotated[Quantity, Reads(kinds.TRANSMISSIVITY, above=0.0, most=10.0)] | None
    ) = None
    """Of the aquifer, where a hydrologist's report gives it."""
    storage: Annotated[Quantity, Reads(kinds.RATIO, above=0.0, most=0.5)] | None = None
    """Storage coefficient of the aquifer."""
    step_test: StepTestTable | None = None
    """The well pumped at rising rates, each for the same time."""
    drawdown_test: DrawdownTestTable | None = None
    """Levels while it was pumped at one rate, or while it recovered."""
    pitless_spool: Bore | None = None
    """Diameter of a spool that stands in the casing at the pitless depth."""
    casing_height: Annotated[Quantity, Reads(kinds.LENGTH, least=-10.0, most=10.0)] | None = None
    """Of the top of the casing above the ground; less than nothing where it ends in a pit."""
    flood_height: Annotated[Quantity, Reads(kinds.LENGTH, least=0.0, most=50.0)] | None = None
    """Of the highest flood known above the ground at the well; nothing where none is."""
    septic_tank_distance: (
        Annotated[Quantity, Reads(kinds.LENGTH, least=0.0, most=1.0e5)] | None
    ) = None
    """From the well to the nearest septic tank, the neighbours' too."""
    drain_field_distance: (
        Annotated[Quantity, Reads(kinds.LENGTH, least=0.0, most=1.0e5)] | None
    ) = None
    """From the well to the nearest drain field, seepage pit or latrine, the neighbours' too."""
    bonded: Switch | None = None
    """True where casing, cap, hand pump and pipes in the well, as far as they are metal, are
    joined to the ground wire of the pump's circuit."""


class Pipe(Table):
    """A run of pipe of one size."""

    material: Annotated[str, Names("pipe material", pipes.materials)]
    """What the pipe is made of, and its schedule or type."""
    size: str
    """The nominal size in inches, such as "1 in" or "1 1/4 in"."""
    length: Length | None = None
    """Of the run."""
    pressure_class: Annotated[Quantity, Reads(kinds.PRESSURE, above=0.0, most=2.0e7)] | None = None
    """The pressure that it is made for in water to 73 degF (23 degC), as printed on it; left out
    where material and size tell it, which they do not for polyethylene."""


class Fittings(Table):
    """So many fittings of one kind, of the size of the lateral."""

    kind: Annotated[str, Names("fitting", fitting_table.kinds)]
    """What kind of fitting."""
    count: Annotated[int, Field(strict=True, ge=1, le=1000)]
    """How many of them there are."""


class PipingTable(Table):
    """From the pump to the pressure tank."""

    drop_pipe: Pipe
    """The pipe in the well; its length is the pump's intake depth less the pitless depth unless
    given."""
    lateral: Pipe
    """The pipe from the well to the pressure tank."""
    fittings: tuple[Fittings, ...] = Field(default=(), max_length=100)
    """Valves, elbows and the like, each kind in a block of its own."""
    pitless_depth: Depth
    """Depth at which the drop pipe leaves the casing."""
    check_valve_place: Literal["pump", "casing", "buried line", "house"] | None = None
    """Where the uppermost check valve of the line stands: on the pump, above it inside the casing,
    in the buried line, or in the house."""
    frost_depth: Annotated[Quantity, Reads(kinds.LENGTH, least=0.0, most=5.0)] | None = None
    """The greatest depth that the frost reaches at the site, as the local code has it."""
    tank_elevation: Elevation
    """Height of the pressure tank's gauge above the ground at the well."""
    treatment_loss: PressureLoss
    """Pressure lost in a softener or filter between pump and tank."""
    reducing_valve: Pressure | None = None
    """What a pressure reducing valve between the pressure tank and the house leaves, where there
    is one."""
    hazen_williams_c: Annotated[Quantity, Reads(kinds.RATIO, least=60.0, most=160.0)] | None = None
    """Your own roughness number for the cross-check of friction."""


class PressureSwitchTable(Table):
    """The switch that starts and stops the pump, at the tank."""

    cut_in: Annotated[Quantity, Reads(kinds.PRESSURE, above=0.0, most=1.0e6)]
    """The pressure at which the pump starts."""
    cut_out: Annotated[Quantity, Reads(kinds.PRESSURE, above=0.0, most=1.0e6)]
    """The pressure at which the pump stops."""


class PressureTankTable(Table):
    """The bladder tank, or several alike."""

    volume: Volume
    """Of one tank as on its plate, air and water together."""
    count: Annotated[int, Field(strict=True, ge=1, le=100)] = 1
    """So many tanks alike."""
    precharge: Pressure | None = None
    """The air, measured with no water in the tank."""
    greatest_pressure: Pressure | None = None
    """The greatest working pressure on its plate."""
    relief_pressure: Pressure | None = None
    """At which the relief valve at the tank opens, where there is one."""
    coldest_room: AirTemperature | None = None
    """The coldest that the air round the tank and its pipes gets."""


class Cable(Table):
    """A two-conductor run; the length is one way."""

    gauge: Annotated[str, Names("wire gauge", wiring.gauges)]
    """Of the conductors, as printed on the jacket."""
    length: Length | None = None
    """Of the run, one way."""
    diameter: Bore | None = None
    """Over the jacket, for the fit in the casing; the width of a flat cable."""
    ambient: Annotated[Quantity, Reads(kinds.TEMPERATURE, least=-60.0, most=85.0)] | None = None
    """Temperature round the conductors at their hottest; left out for the table's 30 degC."""
    insulation: Annotated[str, Names("insulation", wiring.insulations)] | None = None
    """Of the conductors, as printed on the jacket; left out for one good to 75 degC."""
    conductors: Annotated[int, Field(strict=True, ge=2, le=100)] | None = None
    """That carry current in one pipe or bundle; left out for no more than three."""


class PumpTable(Table):
    """A powered pump, by its datasheet."""

    name: str = Field(min_length=1)
    """What reports call it."""
    role: Literal["existing", "backup", "other"] = "other"
    """The pump that is there, the one for outages, or another."""
    kind: Literal["submersible", "helical rotor", "suction"] = "submersible"
    """In the water, or above it and sucking, as a jet pump does."""
    intake_depth: Depth | None = None
    """Depth of the intake of a submersible pump, or of the foot valve of a suction pump."""
    flow: Curve
    """Flows of the curve on its sheet, upward."""
    head: Heads
    """Head at each flow of the curve, downward."""
    power: Powers | None = None
    """Electrical input at each flow of the curve."""
    efficiency: Share | None = None
    """Wire to water, where the sheet gives no power."""
    rated_power: ShaftPower | None = None
    """Of the motor, at its shaft."""
    voltage: Voltage | None = None
    """What the motor is made for."""
    supply: Literal["AC", "DC"] = "AC"
    """Alternating or direct current."""
    phases: Literal[1, 3] = 1
    """Of the motor."""
    power_factor: Share
    """Of the running motor."""
    start: Literal["direct", "soft", "variable speed"] = "direct"
    """How it is started."""
    electronics: Literal["none", "in a box", "in the motor"] | None = None
    """Where the drive or the brushless motor's electronics sit: a tester for insulation destroys
    those in the motor, and those in a box are disconnected before it."""
    starting_current: Current | None = None
    """Greatest current at start with the starter named in `start`, as the maker states it."""
    full_load_current: Current | None = None
    """As on the motor's plate."""
    locked_rotor_current: Current | None = None
    """Current with the rotor held, as on the motor's plate."""
    code_letter: Annotated[str, Names("code letter", wiring.letters)] | None = None
    """Of the locked rotor, on the plate, in place of the current."""
    overload: Literal["in the motor", "in its box", "in a starter", "none"] | None = None
    """What stops a motor on alternating current that draws too much: a protector within it, one in
    the control box, drive or soft starter made for it, or a relay that is set by hand."""
    overload_current: Current | None = None
    """To which such a relay is set."""
    ground_fault_breaker: Switch | None = None
    """True where a breaker for the protection of people trips on a fault to ground in its
    circuit."""
    cable: Cable | None = None
    """From the supply to the motor."""
    drop_pipe: Pipe | None = None
    """Where it has one of its own."""
    motor_diameter: Bore | None = None
    """Of the motor alone, for the water that cools it."""
    diameter: Bore | None = None
    """Of the whole pump at its widest, with cable guard, for the fit in the casing."""
    length: Annotated[Quantity, Reads(kinds.LENGTH, above=0.0, most=20.0)] | None = None
    """Of pump and motor together, for the fit in the casing."""
    shroud: Switch = False
    """True where a sleeve leads the water past the motor."""
    held_pressure: Pressure | None = None
    """What a variable-speed pump holds at the tank."""
    least_flow: Flow | None = None
    """Flow below which the drive of such a pump stops it, by the drive's sheet or setting."""
    dry_run_protection: Switch | None = None
    """True where something stops the pump when the well is pumped dry."""
    minimum_submergence: Depth
    """Water to keep above the intake while pumping."""
    restart_level: Depth | None = None
    """Depth of the water at which a pump that the well stopped starts again."""
    required_suction_head: Length | None = None
    """Net positive suction head required, for a suction pump."""
    suction_line: Literal["in the well", "exposed", "sleeved", "buried"] | None = None
    """How the suction pipe of such a pump runs: all of it in the well, open to sight, within a
    pipe at the system's pressure, or in the ground."""
    weight: Annotated[Quantity, Reads(kinds.FORCE, above=0.0, most=5.0e4)] | None = None
    """Of pump and motor, by the sheet, for the lift out of the well."""


PersonPower = Annotated[Quantity, Reads(kinds.POWER, above=0.0, most=500.0)]
PersonAge = Annotated[int, Field(strict=True, ge=20, le=60)]
"""The ages that the rule of human power knows."""


class HandPumpTable(Table):
    """A reciprocating hand pump."""

    kind: Literal["deep well", "suction"] = "deep well"
    """With its cylinder down the well, or at the top and sucking."""
    bore: Bore
    """Of the cylinder, inside."""
    stroke: Bore
    """How far the rod travels."""
    cylinder_diameter: Bore | None = None
    """Of the cylinder outside, for the fit in the casing."""
    cylinder_length: Annotated[Quantity, Reads(kinds.LENGTH, above=0.0, most=20.0)] | None = None
    """Of the cylinder outside, for the fit in the casing."""
    rising_main: Pipe | None = None
    """The pipe in which the rods run and the water rises."""
    cylinder_depth: Depth | None = None
    """Depth of the cylinder below the ground."""
    lever_ratio: Annotated[Quantity, Reads(kinds.RATIO, least=1.0, most=50.0)]
    """Travel of the hand over travel of the rod."""
    rod_diameter: Bore
    """Of the pump rods."""
    delivers: Literal["spout", "tank"] = "spout"
    """To an open spout, or into the pressure tank."""
    spout_valve: Switch = True
    """False where a pump that delivers into the tank has no valve to an open spout."""
    relief_pressure: Pressure | None = None
    """At which a relief valve between a pump that delivers into the tank and its first valve
    opens."""
    needs_priming: Switch | None = None
    """True where water has to be poured in at its top before it draws."""
    frost_drain: Switch | None = None
    """True where a hole or valve below the frost lets the water above it run back, in the rising
    main and in the line to a tank."""
    spout_height: Elevation
    """Of the spout above the ground."""
    stroke_rate: Annotated[Quantity, Reads(kinds.STROKE_RATE, above=0.0, most=4.0)]
    """Full strokes, as fast as people like to pump."""
    volumetric_efficiency: Share
    """Water that comes out over the volume swept, after valves and cup leathers."""
    mechanical_efficiency: Share
    """What friction of cup, rod and handle leaves."""
    person_power: PersonPower | None = None
    """What one person keeps up however long it takes, in place of the rule by age and time."""
    person_age: PersonAge | None = None
    """Of who pumps: how strong, by a published rule."""
    arm_factor: Share | None = None
    """Share of whole-body power that work at a handle allows."""
    people_pumping: Literal[1, 2]
    """At the handle at the same time."""
    counterweight: Annotated[Quantity, Reads(kinds.FORCE, above=0.0, most=2000.0)] | None = None
    """Weight at the end of the handle, where the hand is."""
    rated_depth: Depth | None = None
    """Greatest depth of the water that the maker allows."""
    discharge_head: Heads | None = None
    """Heads of the maker's table of discharge."""
    discharge_flow: Curve | None = None
    """Flow at each head of the maker's table."""
    discharge_power: Powers | None = None
    """Of the person who pumped for the table: one for all, or one at each head."""


class LiftTable(Table):
    """Another way to lift water by hand or foot, by what is known of its flow."""

    name: str = Field(min_length=1)
    """What reports call it."""
    kind: Literal["rope pump", "bucket and windlass", "treadle pump", "pedal pump", "other"] = (
        "other"
    )
    """What kind of lift."""
    shares_casing: Switch | None = None
    """True where it goes down the casing of this well, beside its pumps; False where it stands on
    a well of its own."""
    diameter: Bore | None = None
    """Over all of it that hangs in the casing, for the fit there."""
    head: Heads
    """One measured height, or a table upward."""
    flow: Curve
    """Water lifted at each height."""
    power: Powers | None = None
    """Of the people at each height, or one for all."""
    efficiency: Share | None = None
    """Water power over input, where no input power is known."""
    greatest_head: Annotated[Quantity, Reads(kinds.HEAD, above=0.0, most=1000.0)] | None = None
    """As far as it lifts, where there is only one point."""
    spout_height: Elevation
    """Of where the water comes out above the ground."""
    people_pumping: Annotated[int, Field(strict=True, ge=1, le=20)]
    """Who work it at the same time."""
    person_power: PersonPower | None = None
    """What one person keeps up however long it takes, in place of the rule by age and time."""
    person_age: PersonAge | None = None
    """Of who works it: how strong, by a published rule."""
    arm_factor: Share | None = None
    """Share of whole-body power that this work allows."""


class ModuleTable(Table):
    """One PV module by its datasheet, at 1000 W/m2 and 25 degC."""

    voc: Voltage
    """Voltage with nothing connected."""
    isc: Current
    """Current with the leads joined."""
    vmp: Voltage
    """Voltage at maximum power."""
    imp: Current
    """Current at maximum power."""
    cells: Annotated[int, Field(strict=True, ge=1, le=1000)]
    """In series; of half-cut cells count one path."""
    voc_coefficient: Annotated[
        Quantity, Reads(kinds.RELATIVE_COEFFICIENT, least=-0.01, most=-0.0005)
    ]
    """Change of the open-circuit voltage with temperature."""
    isc_coefficient: Annotated[
        Quantity, Reads(kinds.RELATIVE_COEFFICIENT, least=-0.001, most=0.003)
    ]
    """Change of the short-circuit current with temperature."""
    rated_power: Power | None = None
    """As on its label."""
    series_fuse: Current | None = None
    """Greatest fuse in series with it, as on its label."""
    on_hand: Annotated[int, Field(strict=True, ge=1, le=100_000)] | None = None
    """How many of them there are to share among the groups."""


Place = Literal["roof", "ground", "open structure"]
"""Where modules stand."""

Reaches = Literal["no building", "outside wall", "equipment building", "building"]
"""How near a group's direct current comes to people's houses."""

Grounding = Literal["solid", "functional", "none"]
"""How one pole of a group is joined to ground."""


class ArrayTable(Table):
    """A named group of modules and what it feeds."""

    name: str = Field(min_length=1)
    """What reports call it, and what an element's fed_by names."""
    feeds: Literal["heater", "pump", "battery", "other"]
    """What the group is wired to."""
    series: Annotated[int, Field(strict=True, ge=1, le=100)]
    """Modules one after the other: their voltages add."""
    parallel: Annotated[int, Field(strict=True, ge=1, le=1000)] = 1
    """Such rows side by side: their currents add."""
    tilt: Annotated[Quantity, Reads(kinds.ANGLE, least=0.0, most=90.0)] | None = None
    """Of the modules from level; left out for the latitude's."""
    azimuth: Angle | None = None
    """Compass direction the modules face: 0 north, 90 east, 180 south, 270 west."""
    cable: Cable | None = None
    """From the modules to what they feed."""
    place: Place | None = None
    """On or against a building, on a rack of its own, or on a carport or trellis that stands by
    itself without walls."""
    reaches: Reaches | None = None
    """How far its direct current runs: clear of every building, to the outside of one, into one
    that houses nothing but such equipment, or into a house."""
    grounding: Grounding | None = None
    """Whether one pole is joined to ground by a plain wire, through a ground-fault device or
    electronics, or not at all."""
    enclosed: Switch | None = None
    """True where all of its wires lie in the ground, in metal raceway or in metal-clad cable."""
    overcurrent: Current | None = None
    """Rating of the fuse or breaker in the circuit."""
    string_fuse: Current | None = None
    """Rating of the fuse in each row of modules."""
    backfeed: Annotated[Quantity, Reads(kinds.CURRENT, least=0.0, most=1.0e5)] | None = None
    """The most that what the group feeds can drive back into its wires, by its sheet; 0 A for what
    can drive nothing, as a heating element."""
    greatest_input_voltage: Voltage | None = None
    """That the charge controller, inverter or pump drive behind the group bears, by its sheet."""
    least_input_voltage: Voltage | None = None
    """From which that works, by its sheet."""
    isolator_voltage: Voltage | None = None
    """Direct voltage that a switch within reach may break under load."""
    isolator_current: Current | None = None
    """Direct current that this switch may break."""
    isolator_poles: Literal[1, 2] | None = None
    """How many of the two conductors it opens."""
    ground_fault_protection: Switch | None = None
    """True where something opens the circuit on a fault to ground."""
    arc_fault_protection: Switch | None = None
    """True where something opens the circuit on an arc."""
    rapid_shutdown: Switch | None = None
    """True where the conductors on and in the building can be made dead from outside or below."""


SourcePair = Literal["grid and inverter", "grid and generator", "inverter and generator"]
"""Two supplies that could meet."""


class PowerTable(Table):
    """What runs the house when the grid is down."""

    grid: Switch
    """False for a house that has none."""
    grid_phases: Literal[1, 3] | None = None
    """Of the service that the house gets from the grid."""
    kept_apart: tuple[SourcePair, ...] | None = None
    """Supplies that a transfer switch, an interlock or an inverter's own switch keeps from ever
    meeting, by pairs; an empty list where nothing keeps them apart."""
    generator_neutral: Literal["bonded", "floating"] | None = None
    """Whether the generator's neutral is joined to its frame."""
    transfer_neutral: Literal["switched", "joined"] | None = None
    """Whether the transfer switch to the generator switches the neutral too."""
    pump_changeover: Switch | None = None
    """True where a changeover switch lets one powered pump run at a time, false where several may
    run at once."""
    inverter_rating: ApparentPower | None = None
    """What the inverter gives for as long as one likes."""
    inverter_surge: ApparentPower | None = None
    """What it gives for the moment of a start."""
    inverter_voltage: Voltage | None = None
    """Of its output."""
    inverter_phases: Literal[1, 3] | None = None
    """Of its output."""
    inverter_efficiency: Share
    """Alternating over direct power."""
    array_derate: Share
    """What all losses of an array and its heat leave, for the rule of thumb."""
    inverter_idle: Annotated[Quantity, Reads(kinds.POWER, least=0.0, most=1.0e4)]
    """What the inverter draws around the clock."""
    generator_rating: ApparentPower | None = None
    """Of the generator, where there is one."""
    generator_phases: Literal[1, 3] | None = None
    """Of the generator."""
    generator_hours: Annotated[Quantity, Reads(kinds.DURATION, above=0.0, most=86_400.0)]
    """That there is fuel for in a day."""
    battery_energy: Energy | None = None
    """What the battery holds when it is full."""
    battery_usable: Share
    """Share of it that may be drawn."""
    battery_efficiency: Share
    """Energy out over energy in."""
    other_use: Annotated[Quantity, Reads(kinds.ENERGY, least=0.0, most=1.0e11)] | None = None
    """What else in the house draws from the battery in a day."""


Lost = Annotated[Quantity, Reads(kinds.FRACTION, least=0.0, most=0.9)]


class LossesTable(Table):
    """What every array of modules loses; heat comes by the hour, besides."""

    incidence: Annotated[Quantity, Reads(kinds.RATIO, least=0.0, most=0.5)]
    """How much the glass throws back of slanting light: Martin and Ruiz' coefficient."""
    dirt: Lost
    """Of the light, the mean of the year."""
    first_light: Lost
    """Of new modules in their first hours of sun."""
    nameplate: Lost
    """By which modules fall short of their plate when new."""
    ageing: Lost
    """Since they were new, the mean of the years looked at."""
    mismatch: Lost
    """By modules of a row that are not alike."""
    wiring: Lost
    """In the wires of a group whose cable is not named; a named one is computed."""
    controller: Lost
    """In the charge controller or the pump's; a heater has none."""


class StorageTankTable(Table):
    """A cistern or open tank that a pump fills and the household draws from."""

    volume: Volume
    """Of the tank, filled to its working level."""
    reserve: Share
    """Part of it that is in the tank when an outage begins."""


class ElementTable(Table):
    """One heating element, or several alike, and the thermostat that switches them."""

    position: Literal["lower", "upper"]
    """Where it sits in the tank."""
    rated_power: Power
    """As stamped on its flange, at the rated voltage."""
    rated_voltage: Voltage
    """As stamped on its flange."""
    count: Annotated[int, Field(strict=True, ge=1, le=6)] = 1
    """So many elements alike."""
    wired: Literal["series", "parallel"] = "parallel"
    """How several elements are joined; switched ones are joined as the sun asks."""
    temperature_coefficient: (
        Annotated[Quantity, Reads(kinds.RELATIVE_COEFFICIENT, least=-0.001, most=0.01)] | None
    ) = None
    """Of the element's resistance, from 20 degC; left out for a resistance that stays."""
    height: Annotated[Quantity, Reads(kinds.FRACTION, least=0.0, most=0.99)] | None = None
    """Of element and thermostat over the height of the tank."""
    fed_by: str
    """The name of an array group, "grid", or "inverter" where the battery's surplus heats it."""
    coupling: Literal["direct", "switched", "tracking"] = "direct"
    """Between array and element: a wire, relays that choose a resistance, or electronics that
    hold the array at its maximum power."""
    switched_resistances: (
        Annotated[
            tuple[Quantity, ...],
            Reads(kinds.RESISTANCE, above=0.0, most=1.0e5, many=True),
        ]
        | None
    ) = None
    """What the relays can make; left out for all that `count` elements can."""
    switch_irradiances: (
        Annotated[tuple[Quantity, ...], Reads(kinds.IRRADIANCE, above=0.0, most=2000.0, many=True)]
        | None
    ) = None
    """Sun at which the relays go to the next lower resistance; left out for the best each hour."""
    tracker_efficiency: Share | None = None
    """Of electronics that hold the array at its maximum power."""
    tracker_minimum: Annotated[Quantity, Reads(kinds.POWER, least=0.0, most=1.0e5)] | None = None
    """Array power below which the electronics stand still."""
    tracker_maximum: Power | None = None
    """The most that the electronics pass."""
    tracker_converter: Literal["buck", "boost", "both"] | None = None
    """What the electronics make of the array's voltage: they lower it ("buck"), raise it, or do
    both; left out, they are judged as if they could do neither."""
    tracker_least_input: Voltage | None = None
    """Voltage of the array below which the electronics stand still."""
    tracker_greatest_input: Voltage | None = None
    """The most that the array may bring to the electronics, open and in the cold."""
    tracker_least_output: Voltage | None = None
    """Voltage at the element below which the electronics stand still."""
    tracker_greatest_output: Voltage | None = None
    """Voltage at the element above which the electronics do not go."""
    thermostat: WaterTemperature | None = None
    """What the thermostat of this element is set to."""
    thermostat_switches: Literal["AC", "DC", "relay"] | None = None
    """What its contacts are rated to break, or "relay" where they only drive a DC-rated switch."""
    switch_voltage: Voltage | None = None
    """Direct voltage that the contacts, or the relay or controller they drive, are rated for."""
    switch_current: Current | None = None
    """Direct current that the same may break."""
    high_limit_switches: Literal["AC", "DC", "relay", "same relay", "nothing"] | None = None
    """What the tank's high limit acts on in this element's circuit: its own contacts, rated for
    alternating or direct current, a relay of its own, the thermostat's relay, or nothing there."""
    high_limit_voltage: Voltage | None = None
    """Direct voltage that its contacts, or the relay of its own, are rated for."""
    high_limit_current: Current | None = None
    """Direct current that the same may break."""
    high_limit_poles: Literal[1, 2] | None = None
    """How many of the two conductors it opens."""


class MixingValveTable(Table):
    """The valve that mixes the tank's water down."""

    outlet: WaterTemperature
    """What the valve is set to."""
    standard: Annotated[str, Names("mixing-valve standard", hot_water_tables.standards)] | None = (
        None
    )
    """As stamped on the valve."""
    greatest_supply: WaterTemperature | None = None
    """The hottest water that its maker lets in; left out for what its standard covers."""


class DrawTable(Table):
    """Hot water taken in a day, measured at the tap."""

    volume: Volume | None = None
    """Mixed water of the whole day."""
    temperature: WaterTemperature
    """At the tap."""
    pattern: Annotated[str, Names("draw pattern", hot_water_tables.patterns)]
    """At which hours of the day it is drawn."""
    times: (
        Annotated[tuple[Quantity, ...], Reads(kinds.DURATION, least=0.0, most=86_399.0, many=True)]
        | None
    ) = None
    """Since midnight, when each draw of a list begins, in place of a pattern."""
    volumes: (
        Annotated[tuple[Quantity, ...], Reads(kinds.VOLUME, above=0.0, most=100.0, many=True)]
        | None
    ) = None
    """Mixed water of each draw of the list."""


class SecondTankTable(Table):
    """A tank downstream that takes the PV tank's water and heats the rest from the grid."""

    volume: Volume
    """As on its plate."""
    heat_loss: Annotated[Quantity, Reads(kinds.HEAT_LOSS, above=0.0, most=100.0)]
    """For each degree between tank and room."""
    rated_power: Power
    """Of its heating element."""
    thermostat: WaterTemperature
    """What its thermostat is set to."""
    high_limit: WaterTemperature | None = None
    """At which its cut-out with hand reset opens."""
    working_pressure: Pressure | None = None
    """The greatest that its plate allows."""
    greatest_temperature: WaterTemperature | None = None
    """The greatest that its plate or its maker allows, where either names one."""
    relief_temperature: WaterTemperature | None = None
    """On the plate of its relief valve."""
    relief_pressure: Pressure | None = None
    """On the plate of its relief valve."""
    relief_capacity: Power | None = None
    """Heat that its relief valve carries away, on the same plate."""


class WaterHeaterTable(Table):
    """The storage tank of hot water."""

    volume: Volume
    """As on its plate."""
    heat_loss: Annotated[Quantity, Reads(kinds.HEAT_LOSS, above=0.0, most=100.0)] | None = None
    """Of the whole tank; or give insulation, or the rated factor."""
    insulation: (
        Annotated[Quantity, Reads(kinds.THERMAL_RESISTANCE, above=0.0, most=50.0)] | None
    ) = None
    """Thermal resistance of the jacket."""
    uniform_energy_factor: (
        Annotated[Quantity, Reads(kinds.RATIO, above=0.5, most=0.999)] | None
    ) = None
    """The rated factor of its label."""
    first_hour_rating: Volume | None = None
    """On the same label: it tells with how much hot water the factor was measured."""
    working_pressure: Pressure | None = None
    """The greatest that the tank's plate allows."""
    greatest_temperature: WaterTemperature | None = None
    """The greatest that the tank's plate or its maker allows, where either names one."""
    tank_height: Annotated[Quantity, Reads(kinds.LENGTH, above=0.0, most=10.0)] | None = None
    """Inside; left out for two and a half times the bore."""
    differential: (
        Annotated[Quantity, Reads(kinds.TEMPERATURE_DIFFERENCE, least=0.0, most=40.0)] | None
    ) = None
    """How far below its setting a thermostat closes again."""
    room_temperature: AirTemperature
    """Of the air round the tank."""
    coldest_room: AirTemperature | None = None
    """The coldest that this air gets."""
    element: tuple[ElementTable, ...] = Field(min_length=1, max_length=20)
    """The heating elements, each in a block of its own."""
    mixing_valve: MixingValveTable | None = None
    """The valve behind the tank that mixes its water down."""
    fixture_valves: Switch | None = None
    """True where showers, tubs and basins have scald-limiting valves of their own."""
    high_limit: WaterTemperature | None = None
    """At which the cut-out with hand reset opens."""
    relief_temperature: WaterTemperature | None = None
    """On the plate of the temperature and pressure relief valve."""
    relief_pressure: Pressure | None = None
    """On the plate of the relief valve."""
    relief_capacity: Power | None = None
    """Heat that the relief valve carries away, as its plate states it."""
    check_valve: Switch | None = None
    """True where a check valve, backflow preventer or softener closes the cold side."""
    expansion_tank: Switch | None = None
    """True where there is one for the heated water."""
    expansion_tank_volume: Volume | None = None
    """As on the plate of the expansion tank."""
    expansion_tank_precharge: Pressure | None = None
    """The air of the expansion tank, measured with no water in it."""
    supplies_apart: Switch | None = None
    """True where wires of modules and of grid or inverter meet in no box of the heater, or a
    partition stands between them."""
    vacuum_relief: Switch | None = None
    """True where a valve lets air in before the tank can be siphoned empty or drawn in; where the
    tank stands no higher than its taps, a hole near the top of its dip tube counts too."""
    above_fixtures: Switch | None = None
    """True where the tank stands higher than taps that it feeds."""
    draw: DrawTable
    """The hot water that the household takes in a day."""
    second_tank: SecondTankTable | None = None
    """A tank downstream that heats the rest from the grid."""


class SunTable(Table):
    """The sky and the air, January to December, on a level surface."""

    monthly: (
        Annotated[
            tuple[Quantity, ...],
            Reads(kinds.IRRADIATION, above=0.0, most=4.0e7, many=True, count=12),
        ]
        | None
    ) = None
    """Mean sun of a day in each month, January to December, on level ground; a public solar atlas
    has it."""
    temperature: (
        Annotated[
            tuple[Quantity, ...],
            Reads(kinds.TEMPERATURE, least=-60.0, most=60.0, many=True, count=12),
        ]
        | None
    ) = None
    """Mean air temperature of each month, January to December."""
    record_low: AirTemperature | None = None
    """The coldest ever measured nearby: the modules' voltage is highest then."""
    albedo: Annotated[Quantity, Reads(kinds.FRACTION, least=0.0, most=1.0)]
    """Share of the light that the ground throws back."""
    turbidity: Annotated[Quantity, Reads(kinds.RATIO, least=2.0, most=7.0)]
    """Haze of a cloudless sky, by Linke: 2 very clear, 3 clear, 5 hazy."""
    temperature_swing: Annotated[
        Quantity, Reads(kinds.TEMPERATURE_DIFFERENCE, least=0.0, most=50.0)
    ]
    """The day's warmest air less its coldest."""
    wind: Annotated[Quantity, Reads(kinds.SPEED, least=0.0, most=20.0)]
    """Past the modules, where no weather file tells it."""
    file: str | None = None
    """A TMY3 weather file, or a CSV with named columns, beside the site file."""
    clearness: Share | None = None
    """Share of a clear sky's sun, where neither a table nor a file is given."""
    shading: (
        Annotated[
            tuple[Quantity, ...],
            Reads(kinds.FRACTION, least=0.0, most=1.0, many=True, count=12),
        ]
        | None
    ) = None
    """Share of the sun that trees and roofs let through, January to December."""
    horizon: (
        Annotated[tuple[Quantity, ...], Reads(kinds.ANGLE, least=0.0, most=80.0, many=True)] | None
    ) = None
    """Height of the horizon in equal steps of the compass, from north clockwise."""


OutageDays = Annotated[int, Field(strict=True, ge=1, le=60)]


class OutageTable(Table):
    """Things that fail together, for so many days."""

    name: str = Field(min_length=1)
    """What reports call it."""
    failed: tuple[str, ...] = Field(min_length=1, max_length=100)
    """What fails: "grid", "sun" (the darkest days of the year), "inverter", "battery",
    "generator", "pressure tank", "pressure switch", "storage tank", "hand pump", "water
    heater", "well", or the name of a pump, lift or array."""
    days: OutageDays
    """How long it lasts."""


class PriceTable(Table):
    """What something of the parts list costs, in whatever money."""

    item: Annotated[str, Names("part", part_names)]
    """A name out of the parts list."""
    size: str | None = Field(default=None, min_length=1)
    """Words that the size, or whose it is, must hold; left out for every size."""
    cost: Annotated[Quantity, Reads(kinds.RATIO, least=0.0, most=1.0e7)]
    """In your own money, without its sign."""
    per: Literal["piece", "ft", "m"] = "piece"
    """What the cost is for: a piece, or a length of it."""


class LimitsTable(Table):
    """The user's own limits, in place of the usual ones."""

    velocity: Annotated[Quantity, Reads(kinds.SPEED, above=0.0, most=20.0)]
    """Greatest, of water in a pipe."""
    voltage_drop: Share
    """Greatest share of the voltage lost in a cable."""
    cut_out_margin: PressureLoss
    """Least, above the cut-out, for wear and a falling water level."""
    run_time: Annotated[Quantity, Reads(kinds.DURATION, above=0.0, most=86_400.0)] | None = None
    """Least run of a pump, in place of what tables ask of its motor's size."""
    starts_a_day: Annotated[Quantity, Reads(kinds.STARTS_A_DAY, above=0.0, most=1.0)] | None = None
    """Most starts of a pump, in place of what tables allow a motor of its size and phases."""
    handle_force: Annotated[Quantity, Reads(kinds.FORCE, above=0.0, most=2000.0)]
    """Comfortable at the handle of a hand pump."""
    storage_temperature: WaterTemperature
    """Least, of stored hot water."""
    casing_clearance: Bore
    """Room to pass each other in the well."""
    motor_cooling: Annotated[Quantity, Reads(kinds.SPEED, above=0.0, most=5.0)] | None = None
    """Least velocity of the water past a submersible motor, in place of what its makers ask."""
    short_days: Annotated[int, Field(strict=True, ge=0, le=366)]
    """Days a year on which the water may fall short."""
    outage_days: OutageDays
    """How long a failure is taken to last until it is repaired."""


READ: ContextVar[set[str] | None] = ContextVar("READ", default=None)
"""Tables of a site that were read since somebody began to note them; None where nobody does."""


@contextmanager
def tables_read() -> Iterator[set[str]]:
    """Note which tables of any site are read within a block.

    Returns:
        for the length of the block, their names so far
    """
    read: set[str] = set()
    before = READ.set(read)
    try:
        yield read
    finally:
        READ.reset(before)
        note_read(read)


def note_read(tables: Iterable[str]) -> None:
    """Note that some tables were read, where what was made from them is used again.

    Parameters:
        tables: names, such as "well"
    """
    noted = READ.get()
    if noted is not None:
        noted.update(tables)


class Site(Table):
    """Everything one site file says, in SI; tables that the file lacks are None.

    What is read of it is noted within `tables_read`.
    """

    def __getattribute__(self, name: str) -> Any:
        noted = READ.get()
        if noted is not None and name in TABLES:
            noted.add(name)
        return super().__getattribute__(name)

    site: SiteTable
    """Where the site is and who lives there."""
    demand: DemandTable
    """Water wanted."""
    well: WellTable
    """The well; levels are depths below the ground."""
    piping: PipingTable
    """From the pump to the pressure tank."""
    pressure_switch: PressureSwitchTable | None = None
    """The switch that starts and stops the pump."""
    pressure_tank: PressureTankTable | None = None
    """The bladder tank, or several alike."""
    pump: tuple[PumpTable, ...] = Field(default=(), max_length=50)
    """The powered pumps, by their datasheets, each in a block of its own."""
    hand_pump: HandPumpTable | None = None
    """A hand pump with rod and cylinder."""
    lift: tuple[LiftTable, ...] = Field(default=(), max_length=50)
    """Other ways to lift water by hand or foot, each in a block of its own."""
    module: ModuleTable | None = None
    """One PV module, by its datasheet at 1000 W/m2 and 25 degC."""
    array: tuple[ArrayTable, ...] = Field(default=(), max_length=50)
    """The groups of modules, each in a block of its own."""
    power: PowerTable
    """What runs the house when the grid is down."""
    losses: LossesTable
    """What every array of modules loses but for heat."""
    storage_tank: StorageTankTable | None = None
    """A cistern or open tank that a pump fills and the household draws from."""
    water_heater: WaterHeaterTable | None = None
    """The storage tank of hot water."""
    sun: SunTable
    """The sky and the air."""
    outage: tuple[OutageTable, ...] = Field(default=(), max_length=100)
    """What may fail together, each case in a block of its own."""
    price: tuple[PriceTable, ...] = Field(default=(), max_length=1000)
    """What things of the parts list cost, each in a block of its own."""
    limits: LimitsTable
    """Your own limits, in place of the usual ones."""


TABLES = frozenset(Site.model_fields)
"""Names of the tables."""
