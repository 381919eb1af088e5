"""The tables of a site file as frozen models with SI numbers inside.

Each field is read by its kind (`wellsolar.kinds`); what a field means stands beside it. Depths
count downward from the ground at the well; pressures are gauge pressures at the pressure tank.
"""

from __future__ import annotations

from typing import Annotated, Literal

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


class SiteTable(Table):
    """Where the site is and who lives there."""

    name: str = "unnamed site"
    note: str = ""
    latitude: Annotated[Quantity, Reads(kinds.ANGLE, least=-66.0, most=66.0)] | None = None
    longitude: Annotated[Quantity, Reads(kinds.ANGLE, least=-180.0, most=180.0)] | None = None
    altitude: Altitude
    people: Annotated[int, Field(strict=True, ge=1, le=100_000)] | None = None
    print_units: System = "US"


class DemandTable(Table):
    """Water wanted."""

    daily_use: DailyFlow | None = None
    """The whole household's or village's water on an ordinary day."""
    peak_flow: Flow | None = None
    survival_use: DailyFlow
    """The least one person needs a day when things fail."""


class StepTestTable(Table):
    """A step test: the well pumped at rising rates, each for the same time.

    drawdown: below the water at rest, at the end of each step, not step by step
    step_length: None where every step was pumped until the level settled
    """

    flow: Curve
    drawdown: Levels
    step_length: Annotated[Quantity, Reads(kinds.DURATION, above=0.0, most=1.0e7)] | None = None


class DrawdownTestTable(Table):
    """A pumping or recovery test at one rate: levels against times.

    time: since the pump started, or since it stopped for a recovery; level: depth of the water
    pumping_time: how long it had been pumped, for a recovery
    distance: of the observed well from the pumped one; None for the pumped well itself
    rest_level: of the water at rest before the test, there; None for the well's own
    """

    kind: Literal["pumping", "recovery"] = "pumping"
    flow: Flow
    time: Times
    level: Levels
    pumping_time: Annotated[Quantity, Reads(kinds.DURATION, above=0.0, most=1.0e8)] | None = None
    distance: Annotated[Quantity, Reads(kinds.LENGTH, above=0.0, most=5000.0)] | None = None
    rest_level: Depth | None = None


class WellTable(Table):
    """The well itself; levels are depths below the ground."""

    depth: Annotated[Quantity, Reads(kinds.LENGTH, above=0.0, most=2000.0)]
    casing_bore: Bore | None = None
    static_level: Depth
    specific_capacity: (
        Annotated[Quantity, Reads(kinds.SPECIFIC_CAPACITY, above=0.0, most=10.0)] | None
    ) = None
    tested_yield: Flow | None = None
    tested_pumping_level: Depth | None = None
    """The level that settled while the tested yield was pumped."""
    water_temperature: WaterTemperature
    transmissivity: (
        Annotated[Quantity, Reads(kinds.TRANSMISSIVITY, above=0.0, most=10.0)] | None
    ) = None
    storage: Annotated[Quantity, Reads(kinds.RATIO, above=0.0, most=0.5)] | None = None
    """Storage coefficient of the aquifer."""
    step_test: StepTestTable | None = None
    drawdown_test: DrawdownTestTable | None = None
    pitless_spool: Bore | None = None
    """Diameter of a spool that stands in the casing at the pitless depth."""


class Pipe(Table):
    """A run of pipe of one size."""

    material: Annotated[str, Names("pipe material", pipes.materials)]
    size: str
    length: Length | None = None


class Fittings(Table):
    """So many fittings of one kind, of the size of the lateral."""

    kind: Annotated[str, Names("fitting", fitting_table.kinds)]
    count: Annotated[int, Field(strict=True, ge=1, le=1000)]


class PipingTable(Table):
    """From the pump to the pressure tank."""

    drop_pipe: Pipe
    """Its length is the pump's intake depth less the pitless depth unless given."""
    lateral: Pipe
    fittings: tuple[Fittings, ...] = ()
    pitless_depth: Depth
    frost_depth: Annotated[Quantity, Reads(kinds.LENGTH, least=0.0, most=5.0)] | None = None
    """The greatest depth that the frost reaches at the site, as the local code has it."""
    tank_elevation: Elevation
    """Height of the pressure tank's gauge above the ground at the well."""
    treatment_loss: PressureLoss
    hazen_williams_c: Annotated[Quantity, Reads(kinds.RATIO, least=60.0, most=160.0)] | None = None


class PressureSwitchTable(Table):
    """The switch that starts and stops the pump, at the tank."""

    cut_in: Annotated[Quantity, Reads(kinds.PRESSURE, above=0.0, most=1.0e6)]
    cut_out: Annotated[Quantity, Reads(kinds.PRESSURE, above=0.0, most=1.0e6)]


class PressureTankTable(Table):
    """The bladder tank, or several alike."""

    volume: Volume
    count: Annotated[int, Field(strict=True, ge=1, le=100)] = 1
    precharge: Pressure | None = None


class Cable(Table):
    """A two-conductor run; the length is one way."""

    gauge: Annotated[str, Names("wire gauge", wiring.gauges)]
    length: Length | None = None
    diameter: Bore | None = None
    """Over the jacket, for the fit in the casing; the width of a flat cable."""
    ambient: Annotated[Quantity, Reads(kinds.TEMPERATURE, least=-60.0, most=70.0)] | None = None
    """Temperature round the conductors at their hottest; None for the table's 30 degC."""
    conductors: Annotated[int, Field(strict=True, ge=2, le=100)] | None = None
    """That carry current in one pipe or bundle; None for no more than three."""


class PumpTable(Table):
    """A powered pump, by its datasheet."""

    name: str = Field(min_length=1)
    role: Literal["existing", "backup", "other"] = "other"
    kind: Literal["submersible", "helical rotor", "suction"] = "submersible"
    intake_depth: Depth | None = None
    """Depth of the intake of a submersible pump, or of the foot valve of a suction pump."""
    flow: Curve
    head: Heads
    power: Powers | None = None
    """Electrical input at each flow of the curve."""
    efficiency: Share | None = None
    """Wire to water, where the sheet gives no power."""
    rated_power: ShaftPower | None = None
    voltage: Voltage | None = None
    supply: Literal["AC", "DC"] = "AC"
    phases: Literal[1, 3] = 1
    power_factor: Share
    start: Literal["direct", "soft", "variable speed"] = "direct"
    starting_current: Current | None = None
    """Greatest current at start with the starter named in `start`, as the maker states it."""
    full_load_current: Current | None = None
    locked_rotor_current: Current | None = None
    code_letter: Annotated[str, Names("code letter", wiring.letters)] | None = None
    cable: Cable | None = None
    drop_pipe: Pipe | None = None
    motor_diameter: Bore | None = None
    diameter: Bore | None = None
    """Of the whole pump at its widest, with cable guard, for the fit in the casing."""
    length: Annotated[Quantity, Reads(kinds.LENGTH, above=0.0, most=20.0)] | None = None
    shroud: Switch = False
    """True where a sleeve leads the water past the motor."""
    held_pressure: Pressure | None = None
    """What a variable-speed pump holds at the tank."""
    dry_run_protection: Switch | None = None
    minimum_submergence: Depth
    restart_level: Depth | None = None
    """Depth of the water at which a pump that the well stopped starts again."""
    required_suction_head: Length | None = None
    """Net positive suction head required, for a suction pump."""


PersonPower = Annotated[Quantity, Reads(kinds.POWER, above=0.0, most=500.0)]
PersonAge = Annotated[int, Field(strict=True, ge=20, le=60)]
"""The ages that the rule of human power knows."""


class HandPumpTable(Table):
    """A reciprocating hand pump."""

    kind: Literal["deep well", "suction"] = "deep well"
    bore: Bore
    stroke: Bore
    cylinder_diameter: Bore | None = None
    """Outside, for the fit in the casing."""
    cylinder_length: Annotated[Quantity, Reads(kinds.LENGTH, above=0.0, most=20.0)] | None = None
    rising_main: Pipe | None = None
    cylinder_depth: Depth | None = None
    lever_ratio: Annotated[Quantity, Reads(kinds.RATIO, least=1.0, most=50.0)]
    rod_diameter: Bore
    delivers: Literal["spout", "tank"] = "spout"
    spout_valve: Switch = True
    """False where a pump that delivers into the tank has no valve to an open spout."""
    spout_height: Elevation
    stroke_rate: Annotated[Quantity, Reads(kinds.STROKE_RATE, above=0.0, most=4.0)]
    volumetric_efficiency: Share
    mechanical_efficiency: Share
    person_power: PersonPower | None = None
    """What one person keeps up however long it takes, in place of the rule by age and time."""
    person_age: PersonAge | None = None
    arm_factor: Share | None = None
    """Share of whole-body power that work at a handle allows."""
    people_pumping: Literal[1, 2]
    """At the handle at the same time."""
    counterweight: Annotated[Quantity, Reads(kinds.FORCE, above=0.0, most=2000.0)] | None = None
    """Weight at the end of the handle, where the hand is."""
    rated_depth: Depth | None = None
    """Greatest depth of the water that the maker allows."""
    discharge_head: Heads | None = None
    discharge_flow: Curve | None = None
    discharge_power: Powers | None = None
    """The maker's table: flow at each head, by a person of one power, or of one at each head."""


class LiftTable(Table):
    """Another way to lift water by hand or foot, by what is known of its flow.

    head, flow: one point, or a table by rising head
    power: input at each point, or one for all
    """

    name: str = Field(min_length=1)
    kind: Literal["rope pump", "bucket and windlass", "treadle pump", "pedal pump", "other"] = (
        "other"
    )
    head: Heads
    flow: Curve
    power: Powers | None = None
    efficiency: Share | None = None
    """Water power over input, where no input power is known."""
    greatest_head: Annotated[Quantity, Reads(kinds.HEAD, above=0.0, most=1000.0)] | None = None
    """As far as it lifts, where there is only one point."""
    spout_height: Elevation
    people_pumping: Annotated[int, Field(strict=True, ge=1, le=20)]
    """Who work it at the same time."""
    person_power: PersonPower | None = None
    person_age: PersonAge | None = None
    arm_factor: Share | None = None


class ModuleTable(Table):
    """One PV module by its datasheet, at 1000 W/m2 and 25 degC."""

    voc: Voltage
    isc: Current
    vmp: Voltage
    imp: Current
    cells: Annotated[int, Field(strict=True, ge=1, le=1000)]
    voc_coefficient: Annotated[
        Quantity, Reads(kinds.RELATIVE_COEFFICIENT, least=-0.01, most=-0.0005)
    ]
    isc_coefficient: Annotated[
        Quantity, Reads(kinds.RELATIVE_COEFFICIENT, least=-0.001, most=0.003)
    ]
    rated_power: Power | None = None
    on_hand: Annotated[int, Field(strict=True, ge=1, le=100_000)] | None = None
    """How many of them there are to share among the groups."""


class ArrayTable(Table):
    """A named group of modules and what it feeds."""

    name: str = Field(min_length=1)
    feeds: Literal["heater", "pump", "battery", "other"]
    series: Annotated[int, Field(strict=True, ge=1, le=100)]
    parallel: Annotated[int, Field(strict=True, ge=1, le=1000)] = 1
    tilt: Annotated[Quantity, Reads(kinds.ANGLE, least=0.0, most=90.0)] | None = None
    azimuth: Angle | None = None
    """Compass direction the modules face: 0 north, 90 east, 180 south, 270 west."""
    cable: Cable | None = None
    place: Literal["roof", "ground"] | None = None
    """On or against a building, or on a rack of its own."""
    overcurrent: Current | None = None
    """Rating of the fuse or breaker in the circuit."""
    isolator_voltage: Voltage | None = None
    """Direct voltage that a switch within reach may break under load."""
    isolator_current: Current | None = None
    ground_fault_protection: Switch | None = None
    arc_fault_protection: Switch | None = None
    rapid_shutdown: Switch | None = None


class PowerTable(Table):
    """What runs the house when the grid is down."""

    grid: Switch
    """False for a house that has none."""
    inverter_rating: ApparentPower | None = None
    inverter_surge: ApparentPower | None = None
    inverter_voltage: Voltage | None = None
    inverter_efficiency: Share
    array_derate: Share
    array_losses: Annotated[Quantity, Reads(kinds.FRACTION, least=0.0, most=0.9)]
    """Lost between modules and battery or pump but for heat, which the hours tell."""
    inverter_idle: Annotated[Quantity, Reads(kinds.POWER, least=0.0, most=1.0e4)]
    """What the inverter draws around the clock."""
    generator_rating: ApparentPower | None = None
    generator_hours: Annotated[Quantity, Reads(kinds.DURATION, above=0.0, most=86_400.0)]
    """That there is fuel for in a day."""
    battery_energy: Energy | None = None
    battery_usable: Share
    battery_efficiency: Share
    """Energy out over energy in."""
    other_use: Annotated[Quantity, Reads(kinds.ENERGY, least=0.0, most=1.0e11)] | None = None
    """What else in the house draws from the battery in a day."""


class StorageTankTable(Table):
    """A cistern or open tank that a pump fills and the household draws from."""

    volume: Volume
    reserve: Share
    """Part of it that is in the tank when an outage begins."""


class ElementTable(Table):
    """One heating element, or several alike, and the thermostat that switches them."""

    position: Literal["lower", "upper"]
    rated_power: Power
    rated_voltage: Voltage
    count: Annotated[int, Field(strict=True, ge=1, le=6)] = 1
    wired: Literal["series", "parallel"] = "parallel"
    """How several elements are joined; switched ones are joined as the sun asks."""
    temperature_coefficient: (
        Annotated[Quantity, Reads(kinds.RELATIVE_COEFFICIENT, least=-0.001, most=0.01)] | None
    ) = None
    """Of the element's resistance, from 20 degC; None for a resistance that stays."""
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
    """What the relays can make; None for all that `count` elements can."""
    switch_irradiances: (
        Annotated[tuple[Quantity, ...], Reads(kinds.IRRADIANCE, above=0.0, most=2000.0, many=True)]
        | None
    ) = None
    """Sun at which the relays go to the next lower resistance; None for the best each hour."""
    tracker_efficiency: Share | None = None
    tracker_minimum: Annotated[Quantity, Reads(kinds.POWER, least=0.0, most=1.0e5)] | None = None
    """Array power below which the electronics stand still."""
    tracker_maximum: Power | None = None
    thermostat: WaterTemperature | None = None
    thermostat_switches: Literal["AC", "DC", "relay"] | None = None
    """What its contacts are rated to break, or "relay" where they only drive a DC-rated switch."""
    switch_voltage: Voltage | None = None
    """Direct voltage that the contacts, or the relay or controller they drive, are rated for."""


class MixingValveTable(Table):
    """The valve that mixes the tank's water down."""

    outlet: WaterTemperature
    standard: Annotated[str, Names("mixing-valve standard", hot_water_tables.standards)] | None = (
        None
    )


class DrawTable(Table):
    """Hot water taken in a day, measured at the tap."""

    volume: Volume | None = None
    temperature: WaterTemperature
    pattern: Annotated[str, Names("draw pattern", hot_water_tables.patterns)]
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
    heat_loss: Annotated[Quantity, Reads(kinds.HEAT_LOSS, above=0.0, most=100.0)]
    rated_power: Power
    thermostat: WaterTemperature
    high_limit: WaterTemperature | None = None
    relief_temperature: WaterTemperature | None = None
    relief_pressure: Pressure | None = None
    relief_capacity: Power | None = None


class WaterHeaterTable(Table):
    """The storage tank of hot water."""

    volume: Volume
    heat_loss: Annotated[Quantity, Reads(kinds.HEAT_LOSS, above=0.0, most=100.0)] | None = None
    """Of the whole tank; or insulation, or the rated factor, tell it."""
    insulation: (
        Annotated[Quantity, Reads(kinds.THERMAL_RESISTANCE, above=0.0, most=50.0)] | None
    ) = None
    """Thermal resistance of the jacket."""
    uniform_energy_factor: (
        Annotated[Quantity, Reads(kinds.RATIO, above=0.5, most=0.999)] | None
    ) = None
    tank_height: Annotated[Quantity, Reads(kinds.LENGTH, above=0.0, most=10.0)] | None = None
    """Inside; None for two and a half times the bore."""
    differential: (
        Annotated[Quantity, Reads(kinds.TEMPERATURE_DIFFERENCE, least=0.0, most=40.0)] | None
    ) = None
    """How far below its setting a thermostat closes again."""
    room_temperature: AirTemperature
    element: tuple[ElementTable, ...] = Field(min_length=1)
    mixing_valve: MixingValveTable | None = None
    fixture_valves: Switch | None = None
    """True where showers, tubs and basins have scald-limiting valves of their own."""
    high_limit: WaterTemperature | None = None
    relief_temperature: WaterTemperature | None = None
    relief_pressure: Pressure | None = None
    relief_capacity: Power | None = None
    """Heat that the relief valve carries away, as its plate states it."""
    check_valve: Switch | None = None
    """True where a check valve, backflow preventer or softener closes the cold side."""
    expansion_tank: Switch | None = None
    expansion_tank_volume: Volume | None = None
    expansion_tank_precharge: Pressure | None = None
    vacuum_relief: Switch | None = None
    """True where a valve lets air in before the tank can be siphoned empty or drawn in."""
    above_fixtures: Switch | None = None
    """True where the tank stands higher than taps that it feeds."""
    draw: DrawTable
    second_tank: SecondTankTable | None = None


class SunTable(Table):
    """The sky and the air, January to December, on a level surface."""

    monthly: (
        Annotated[
            tuple[Quantity, ...],
            Reads(kinds.IRRADIATION, above=0.0, most=4.0e7, many=True, count=12),
        ]
        | None
    ) = None
    temperature: (
        Annotated[
            tuple[Quantity, ...],
            Reads(kinds.TEMPERATURE, least=-60.0, most=60.0, many=True, count=12),
        ]
        | None
    ) = None
    record_low: AirTemperature | None = None
    albedo: Annotated[Quantity, Reads(kinds.FRACTION, least=0.0, most=1.0)]
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
    """Things that fail together, for so many days.

    failed: "grid", "sun" (the darkest days of the year), "inverter", "battery", "generator",
        "pressure tank", "pressure switch", "storage tank", "hand pump", "water heater", "well",
        or the name of a pump, lift or array
    """

    name: str = Field(min_length=1)
    failed: tuple[str, ...] = Field(min_length=1)
    days: OutageDays


class PriceTable(Table):
    """What something of the parts list costs, in whatever money.

    size: words that the size, or whose it is, must hold; None for every size
    """

    item: Annotated[str, Names("part", part_names)]
    size: str | None = Field(default=None, min_length=1)
    cost: Annotated[Quantity, Reads(kinds.RATIO, least=0.0, most=1.0e7)]
    per: Literal["piece", "ft", "m"] = "piece"


class LimitsTable(Table):
    """The user's own limits, in place of the usual ones."""

    velocity: Annotated[Quantity, Reads(kinds.SPEED, above=0.0, most=20.0)]
    voltage_drop: Share
    cut_out_margin: PressureLoss
    run_time: Annotated[Quantity, Reads(kinds.DURATION, above=0.0, most=86_400.0)]
    starts_a_day: Annotated[Quantity, Reads(kinds.STARTS_A_DAY, above=0.0, most=1.0)]
    handle_force: Annotated[Quantity, Reads(kinds.FORCE, above=0.0, most=2000.0)]
    storage_temperature: WaterTemperature
    casing_clearance: Bore
    motor_cooling: Annotated[Quantity, Reads(kinds.SPEED, above=0.0, most=5.0)]
    """Least velocity of the water past a submersible motor."""
    short_days: Annotated[int, Field(strict=True, ge=0, le=366)]
    """Days a year on which the water may fall short."""
    outage_days: OutageDays
    """As long as one reckons with a failure until it is mended."""


class Site(Table):
    """Everything one site file says, in SI; tables that the file lacks are None."""

    site: SiteTable
    demand: DemandTable
    well: WellTable
    piping: PipingTable
    pressure_switch: PressureSwitchTable | None = None
    pressure_tank: PressureTankTable | None = None
    pump: tuple[PumpTable, ...] = ()
    hand_pump: HandPumpTable | None = None
    lift: tuple[LiftTable, ...] = ()
    module: ModuleTable | None = None
    array: tuple[ArrayTable, ...] = ()
    power: PowerTable
    storage_tank: StorageTankTable | None = None
    water_heater: WaterHeaterTable | None = None
    sun: SunTable
    outage: tuple[OutageTable, ...] = ()
    price: tuple[PriceTable, ...] = ()
    limits: LimitsTable
