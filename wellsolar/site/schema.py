"""The tables of a site file as frozen models with SI numbers inside.

Each field is read by its kind (`wellsolar.kinds`); what a field means stands below it, in the
words that the JSON Schema of a site file shows. Depths count downward from the ground at the well
that they are of, heights upward from the ground at [well]; pressures are gauge pressures at the
pressure tank. A key that may be left out is None without it.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

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
    Pressures,
    Reads,
    ShaftPower,
    Share,
    Switch,
    Times,
    Usual,
    Voltage,
    Volume,
    WaterTemperature,
)
from wellsolar.site.part_names import priced_names
from wellsolar.site.table import Table
from wellsolar.units import Quantity, System

CodeEdition = Literal[2014, 2017, 2020, 2023]
"""Years of the electrical code that the rules know."""


class SiteTable(Table):
    """Where the site is and who lives there."""

    name: str = "unnamed site"
    """What the site is called in reports."""
    note: str = ""
    """A remark of your own, printed under the name."""
    latitude: (
        Annotated[Quantity, Reads(kinds.ANGLE, least=-66.0, most=66.0), Usual("-55 deg .. 66 deg")]
        | None
    ) = None
    """North of the equator positive, south negative; needed for everything about sun."""
    longitude: (
        Annotated[
            Quantity, Reads(kinds.ANGLE, least=-180.0, most=180.0), Usual("-180 deg .. 180 deg")
        ]
        | None
    ) = None
    """East of Greenwich positive, west negative."""
    altitude: Annotated[Altitude, Usual("-100 ft .. 12000 ft")]
    """Height of the ground at the well above the sea."""
    people: Annotated[int, Field(strict=True, ge=1, le=100_000)] | None = None
    """How many drink this water."""
    print_units: System = "US"
    """Units of the reports; --units on the command line goes before it."""
    code_edition: CodeEdition | None = None
    """Year of the National Electrical Code that the local inspector holds to; left out where it is
    not known or another code is in force: what editions differ in then stays open."""


Fixtures = Annotated[int, Field(strict=True, ge=0, le=100)]
"""How many there are of a kind."""


class FixturesTable(Table):
    """What draws water in the house, by the number of each."""

    tubs: Fixtures = 0
    """Tubs, with or without a shower above."""
    showers: Fixtures = 0
    """Showers that stand alone."""
    lavatories: Fixtures = 0
    """Wash basins."""
    toilets: Fixtures = 0
    """Toilets with a flush tank."""
    kitchen_sinks: Fixtures = 0
    """Sinks in kitchens."""
    dishwashers: Fixtures = 0
    """Machines that wash dishes."""
    laundry_sinks: Fixtures = 0
    """Trays for the wash."""
    clothes_washers: Fixtures = 0
    """Machines that wash clothes."""
    sprinklers: Fixtures = 0
    """Sprinklers of lawn or garden."""


class DemandTable(Table):
    """Water wanted."""

    daily_use: Annotated[DailyFlow, Usual("20 gal/day .. 5000 gal/day")] | None = None
    """The whole household's or village's water on an ordinary day, by the meter if there is
    one."""
    peak_flow: Annotated[Flow, Usual("1 gpm .. 50 gpm")] | None = None
    """The most that taps draw at one time."""
    fixtures: FixturesTable | None = None
    """What draws water, from which the peak is worked out where `peak_flow` is not told."""
    survival_use: Annotated[DailyFlow, Usual("0.5 gal/day .. 30 gal/day")]
    """The least one person needs a day when things fail."""


class StepTestTable(Table):
    """A step test: the well pumped at rising rates, each for the same time."""

    flow: Annotated[Curve, Usual("0.2 gpm .. 500 gpm")]
    """The rate of each step, rising."""
    drawdown: Annotated[Levels, Usual("0 ft .. 500 ft")]
    """How far the water stood below its rest at the end of each step, not step by step."""
    step_length: (
        Annotated[Quantity, Reads(kinds.DURATION, above=0.0, most=1.0e7), Usual("10 min .. 24 h")]
        | None
    ) = None
    """How long each step was pumped; left out where each went on until the level settled."""


class DrawdownTestTable(Table):
    """A pumping or recovery test at one rate: levels against times."""

    kind: Literal["pumping", "recovery"] = "pumping"
    """Whether levels were read while the well was pumped, or while it recovered."""
    flow: Annotated[Flow, Usual("0.2 gpm .. 500 gpm")]
    """The rate at which it was pumped."""
    file: str | None = None
    """A CSV beside the site file with columns time and level, their units in the heads, in place
    of the two lists."""
    time: Annotated[Times, Usual("0 s .. 30 days")]
    """Times since the pump started, or since it stopped for a recovery."""
    level: Annotated[Levels, Usual("0 ft .. 1200 ft")]
    """Depth of the water at each of the times."""
    pumping_time: (
        Annotated[
            Quantity, Reads(kinds.DURATION, above=0.0, most=1.0e8), Usual("10 min .. 30 days")
        ]
        | None
    ) = None
    """How long it had been pumped, for a recovery."""
    distance: (
        Annotated[Quantity, Reads(kinds.LENGTH, above=0.0, most=5000.0), Usual("1 ft .. 2000 ft")]
        | None
    ) = None
    """Distance of the observed well from the pumped one; left out for the pumped well itself."""
    rest_level: Depth | None = None
    """Depth of the water at rest before the test, in the observed well; left out where it is the
    static level."""
    trend_after: Annotated[Quantity, Reads(kinds.RATIO, least=0.0, most=10.0), Usual("0 .. 2")]
    """How fast the water goes on falling after the end of the test, over its trend in the test: 0
    where it settles, 1 where it goes on, 2 where the aquifer ends at a barrier."""


class WellTable(Table):
    """The well itself; levels are depths below the ground."""

    depth: Annotated[
        Quantity, Reads(kinds.LENGTH, above=0.0, most=2000.0), Usual("20 ft .. 1200 ft")
    ]
    """Depth from the ground to the bottom, by the driller's log or a weighted line."""
    casing_bore: Annotated[Bore, Usual("100 mm .. 8 in")] | None = None
    """How wide the casing is inside."""
    static_level: Depth
    """Depth of the water below the ground when nothing is pumped; a range where it changes over
    the year."""
    specific_capacity: (
        Annotated[
            Quantity,
            Reads(kinds.SPECIFIC_CAPACITY, above=0.0, most=10.0),
            Usual("0.01 gpm/ft .. 100 gpm/ft"),
        ]
        | None
    ) = None
    """Flow for each foot of drawdown, in place of the two values of the driller's test."""
    tested_yield: Annotated[Flow, Usual("0.2 gpm .. 200 gpm")] | None = None
    """What was pumped in the driller's test."""
    tested_pumping_level: Annotated[Depth, Usual("1 ft .. 1200 ft")] | None = None
    """The level that settled while the tested yield was pumped."""
    water_temperature: Annotated[WaterTemperature, Usual("38 degF .. 86 degF")]
    """Temperature of the water as it comes from the well."""
    transmissivity: (
        Annotated[
            Quantity,
            Reads(kinds.TRANSMISSIVITY, above=0.0, most=10.0),
            Usual("1 gpd/ft .. 500000 gpd/ft"),
        ]
        | None
    ) = None
    """Transmissivity of the aquifer, where a hydrologist's report gives it."""
    storage: (
        Annotated[Quantity, Reads(kinds.RATIO, least=1.0e-7, most=0.5), Usual("0 .. 0.35")] | None
    ) = None
    """Storage coefficient of the aquifer."""
    step_test: StepTestTable | None = None
    """The well pumped at rising rates, each for the same time."""
    drawdown_test: DrawdownTestTable | None = None
    """Levels while it was pumped at one rate, or while it recovered."""
    pitless_spool: Annotated[Bore, Usual("2 in .. 8 in")] | None = None
    """Diameter of a spool that stands in the casing at the pitless depth."""
    casing_height: (
        Annotated[Quantity, Reads(kinds.LENGTH, least=-10.0, most=10.0), Usual("0 ft .. 4 ft")]
        | None
    ) = None
    """Height of the top of the casing above the ground; less than nothing where it ends in a
    pit."""
    flood_height: (
        Annotated[Quantity, Reads(kinds.LENGTH, least=0.0, most=50.0), Usual("0 ft .. 30 ft")]
        | None
    ) = None
    """Height of the highest flood known above the ground at the well; nothing where none is."""
    septic_tank_distance: (
        Annotated[Quantity, Reads(kinds.LENGTH, least=0.0, most=1.0e5), Usual("10 ft .. 5000 ft")]
        | None
    ) = None
    """Distance from the well to the nearest septic tank, the neighbours' too."""
    drain_field_distance: (
        Annotated[Quantity, Reads(kinds.LENGTH, least=0.0, most=1.0e5), Usual("10 ft .. 5000 ft")]
        | None
    ) = None
    """Distance from the well to the nearest drain field, seepage pit or latrine, the neighbours'
    too."""
    bonded: Switch | None = None
    """True where casing, cap, hand pump and pipes in the well, as far as they are metal, are
    joined to the ground wire of the pump's circuit."""


class OtherWellTable(WellTable):
    """A well beside that of [well]; levels are depths below its own ground."""

    name: str = Field(min_length=1)
    """What its pumps and the reports call it."""
    casing_bore: Annotated[Bore, Usual("100 mm .. 5 ft")] | None = None
    """How wide the casing is inside, of a dug well its curb."""
    ground_height: Annotated[Elevation, Usual("-100 ft .. 100 ft")] = Quantity(0.0, kinds.LENGTH)
    """Height of the ground at this well above that at [well]; less than nothing where it lies
    lower."""
    pitless_depth: Annotated[Depth, Usual("0 ft .. 12 ft")]
    """Depth at which the drop pipe leaves its casing."""
    check_valve_place: Literal["pump", "casing", "buried line", "house"] | None = None
    """Where the uppermost check valve of its line stands, as of [piping]."""


class Pipe(Table):
    """A run of pipe of one size."""

    material: Annotated[str, Names("pipe material", pipes.materials)]
    """What the pipe is made of, and its schedule or type."""
    size: str
    """The nominal size, with the wall where the material is made in several: "1 1/4 in", "DN 32",
    "1 in SIDR 11.5", "63 mm SDR 11" or "63 mm PN 16"; any name beside `bore`."""
    length: Annotated[Length, Usual("0 ft .. 2000 ft")] | None = None
    """Length of the pipe."""
    bore: Annotated[Bore, Usual("0.3 in .. 4 in")] | None = None
    """Your own true inside diameter, in place of that of the table."""
    outside_diameter: Annotated[Bore, Usual("0.4 in .. 5 in")] | None = None
    """Your own, for the fit in the casing; needed where the table does not know the size."""
    roughness: (
        Annotated[Quantity, Reads(kinds.ROUGHNESS, least=0.0, most=0.01), Usual("0 mm .. 1 mm")]
        | None
    ) = None
    """Height of the wall's roughness, your own: old steel is rougher than new."""
    pressure_class: (
        Annotated[
            Quantity, Reads(kinds.PRESSURE, above=0.0, most=2.0e7), Usual("80 psi .. 800 psi")
        ]
        | None
    ) = None
    """The pressure that it is made for in cold water, as printed on it; left out where material
    and size tell it, which they do not for polyethylene whose resin is not told."""


class Fittings(Table):
    """So many fittings of one kind, of the size of the lateral unless they have their own bore."""

    kind: Annotated[str, Names("fitting", fitting_table.kinds_or_other)]
    """What kind of fitting; "other" for one whose loss you give."""
    count: Annotated[int, Field(strict=True, ge=1, le=1000)] = 1
    """How many of them there are."""
    name: Annotated[str, Field(min_length=1)] | None = None
    """What such another fitting is called."""
    k: (
        Annotated[Quantity, Reads(kinds.RATIO, least=0.0, most=10_000.0), Usual("0.01 .. 20")]
        | None
    ) = None
    """The loss coefficient of one, in velocity heads, in place of that of the table."""
    equivalent_length: Annotated[Length, Usual("0 ft .. 300 ft")] | None = None
    """The length of straight pipe of its bore that loses as much as one, in place of k."""
    bore: Annotated[Bore, Usual("0.3 in .. 4 in")] | None = None
    """The bore that its loss refers to, where it is not that of the lateral."""
    opening_velocity: (
        Annotated[Quantity, Reads(kinds.SPEED, above=0.0, most=20.0), Usual("0.3 ft/s .. 10 ft/s")]
        | None
    ) = None
    """Velocity of the water in its bore from which a check valve stands fully open, by its sheet;
    below it the head lost stays what it is there."""
    opening_pressure: Annotated[PressureLoss, Usual("0.1 psi .. 5 psi")] | None = None
    """The pressure that opens it, as the sheet of one with a spring gives it, in place of the
    velocity."""


class PumpLine(Pipe):
    """A pipe of one pump's own, or down from the storage tank, with its fittings."""

    buried_depth: Annotated[Depth, Usual("0 ft .. 12 ft")] | None = None
    """How deep it lies where it lies least deep, of one in the ground."""

    fittings: tuple[Fittings, ...] = Field(default=(), max_length=100)
    """Valves, elbows and the like in it, each kind in a block of its own."""


class PipingTable(Table):
    """From the pump to the pressure tank."""

    drop_pipe: Pipe
    """The pipe in the well; its length is the pump's intake depth less the pitless depth unless
    given."""
    lateral: Pipe
    """The pipe from the well to the pressure tank."""
    fittings: tuple[Fittings, ...] = Field(default=(), max_length=100)
    """Valves, elbows and the like, each kind in a block of its own."""
    pitless_depth: Annotated[Depth, Usual("0 ft .. 12 ft")]
    """Depth at which the drop pipe leaves the casing."""
    check_valve_place: Literal["pump", "casing", "buried line", "house"] | None = None
    """Where the uppermost check valve of the line stands: on the pump, above it inside the casing,
    in the buried line, or in the house."""
    frost_depth: (
        Annotated[Quantity, Reads(kinds.LENGTH, least=0.0, most=5.0), Usual("0 ft .. 8 ft")] | None
    ) = None
    """The greatest depth that the frost reaches at the site, as the local code has it."""
    tank_elevation: Annotated[Elevation, Usual("-30 ft .. 100 ft")]
    """Height of the pressure tank's gauge above the ground at the well."""
    treatment_loss: Annotated[PressureLoss, Usual("0 psi .. 25 psi")]
    """Pressure lost in a softener or filter between pump and tank."""
    reducing_valve: Annotated[Pressure, Usual("20 psi .. 80 psi")] | None = None
    """What a pressure reducing valve between the pressure tank and the house leaves, where there
    is one."""
    hazen_williams_c: (
        Annotated[Quantity, Reads(kinds.RATIO, least=60.0, most=160.0), Usual("100 .. 155")] | None
    ) = None
    """Your own roughness number for the cross-check of friction."""


class PressureSwitchTable(Table):
    """The switch that starts and stops the pump, at the tank."""

    cut_in: Annotated[
        Quantity, Reads(kinds.PRESSURE, above=0.0, most=1.0e6), Usual("20 psi .. 80 psi")
    ]
    """The pressure at which the pump starts."""
    cut_out: Annotated[
        Quantity, Reads(kinds.PRESSURE, above=0.0, most=1.0e6), Usual("20 psi .. 80 psi")
    ]
    """The pressure at which the pump stops."""


class ConstantPressureValveTable(Table):
    """A valve between pumps and pressure tank that throttles them to one pressure behind it."""

    set_pressure: Annotated[Pressure, Usual("20 psi .. 80 psi")]
    """What it holds at the tank while water is drawn."""
    least_flow: (
        Annotated[Quantity, Reads(kinds.FLOW, least=0.0, most=0.2), Usual("0.5 gpm .. 10 gpm")]
        | None
    ) = None
    """What it lets through when it is as far shut as it gets, by its sheet: with every tap shut
    the tank fills with it until the switch stops the pump."""
    loss: Annotated[PressureLoss, Usual("1 psi .. 20 psi")] | None = None
    """Pressure lost in it wide open, at its loss_flow."""
    loss_flow: Annotated[Flow, Usual("2 gpm .. 50 gpm")] | None = None
    """The flow at which its sheet gives that loss."""
    greatest_pressure: Annotated[Pressure, Usual("100 psi .. 250 psi")] | None = None
    """The greatest pressure before it, by its sheet."""


class PressureTankTable(Table):
    """The bladder tank, or several alike."""

    volume: Annotated[Volume, Usual("2 gal .. 150 gal")]
    """Volume of one tank as on its plate, air and water together."""
    count: Annotated[int, Field(strict=True, ge=1, le=100)] = 1
    """So many tanks alike."""
    precharge: Annotated[Pressure, Usual("10 psi .. 80 psi")] | None = None
    """The air, measured with no water in the tank."""
    greatest_pressure: Annotated[Pressure, Usual("75 psi .. 200 psi")] | None = None
    """The greatest working pressure on its plate."""
    relief_pressure: Annotated[Pressure, Usual("50 psi .. 175 psi")] | None = None
    """The pressure at which the relief valve at the tank opens, where there is one."""
    coldest_room: Annotated[AirTemperature, Usual("-20 degF .. 80 degF")] | None = None
    """The coldest that the air round the tank and its pipes gets."""


class Cable(Table):
    """A two-conductor run; the length is one way."""

    gauge: Annotated[str, Names("wire gauge", wiring.gauges)]
    """Size of the conductors, as printed on the jacket."""
    length: (
        Annotated[
            Quantity, Reads(kinds.LENGTH, least=0.1, most=20_000.0), Usual("1 ft .. 1500 ft")
        ]
        | None
    ) = None
    """Length of the run, one way."""
    diameter: Annotated[Bore, Usual("0.15 in .. 1.5 in")] | None = None
    """Diameter over the jacket, for the fit in the casing; the width of a flat cable."""
    ambient: (
        Annotated[
            Quantity, Reads(kinds.TEMPERATURE, least=-60.0, most=85.0), Usual("0 degF .. 160 degF")
        ]
        | None
    ) = None
    """Temperature round the conductors at their hottest; left out for the table's 30 degC."""
    insulation: Annotated[str, Names("insulation", wiring.insulations)] | None = None
    """Type of the conductors' insulation, as printed on the jacket; left out for one good to 75
    degC."""
    conductors: Annotated[int, Field(strict=True, ge=2, le=100)] | None = None
    """How many conductors that carry current share one pipe or bundle; left out for no more than
    three."""


class SolarTable(Table):
    """One head of the maker's table of a pump that modules drive: flow against power."""

    head: Annotated[Quantity, Reads(kinds.HEAD, least=0.0, most=3000.0), Usual("10 ft .. 600 ft")]
    """Total head for which this block holds."""
    power: Annotated[Powers, Usual("30 W .. 6 kW")]
    """Input powers from the modules, upward."""
    flow: Annotated[Curve, Usual("0 gpm .. 100 gpm")]
    """Flow at each of these powers."""


class JetTable(Table):
    """One lift of the maker's table of a jet with its ejector in the well."""

    lift: Annotated[Quantity, Reads(kinds.LENGTH, least=0.0, most=200.0), Usual("20 ft .. 200 ft")]
    """Height from the pumping level up to the pump."""
    pressure: Annotated[Pressures, Usual("0 psi .. 80 psi")]
    """Gauge pressures behind the pump, upward; the last best the one at which no water comes."""
    flow: Annotated[Curve, Usual("0 gpm .. 30 gpm")]
    """Flow at each of these pressures, downward."""


class DutyTable(Table):
    """What is wanted of a pump that is not chosen yet."""

    flow: Annotated[Quantity, Reads(kinds.FLOW, above=0.0, most=1.0), Usual("0.05 gpm .. 50 gpm")]
    """Flow that it is to give."""
    head: Annotated[Quantity, Reads(kinds.HEAD, above=0.0, most=2000.0), Usual("20 ft .. 900 ft")]
    """Total dynamic head against which it gives it."""


class PumpTable(Table):
    """A powered pump, by its datasheet."""

    name: str = Field(min_length=1)
    """What reports call it."""
    role: Literal["existing", "backup", "other"] = "other"
    """The pump that is there, the one for outages, or another."""
    kind: Literal["submersible", "helical rotor", "suction"] = "submersible"
    """Whether it hangs in the water, or stands above it and sucks, as a jet pump does."""
    draws: Literal["well", "storage tank"] = "well"
    """Where its water comes from; one that draws from the storage tank is a booster."""
    well: str | None = None
    """Name of the [[other_well]] that it draws from; left out for [well]."""
    delivers: Literal["pressure tank", "storage tank"] | None = None
    """Where its water goes; left out for the pressure tank, or an open tank where nothing makes
    pressure."""
    stands_at: Annotated[Elevation, Usual("-30 ft .. 100 ft")] | None = None
    """Height above the ground at the well of a pump that stands in the house or at a tank; left
    out for a suction pump that stands at the well, or a booster level with the outlet of its
    tank."""
    line: PumpLine | None = None
    """The pipe from the pump to where it delivers, where that is not the line of [piping]."""
    suction_pipe: PumpLine | None = None
    """The pipe from where it draws to a pump that stands out of the water: for a jet pump in the
    house, the part outside the well."""
    intake_depth: Annotated[Depth, Usual("5 ft .. 1200 ft")] | None = None
    """Depth of the intake of a submersible pump, or of the foot valve of a suction pump."""
    duty: DutyTable | None = None
    """What is wanted of a pump that is not chosen yet, in place of flow and head: a curve through
    it stands in for that of the sheet."""
    jet_table: tuple[JetTable, ...] = Field(default=(), max_length=50)
    """The maker's table of a jet whose ejector hangs in the well on two pipes, in place of flow
    and head: a block for each lift, upward; with kind = "suction", as the pump stands above."""
    tail_pipe: Annotated[Length, Usual("0 ft .. 40 ft")] | None = None
    """Length of the pipe between such an ejector and the foot valve below it."""
    flow: Annotated[Curve, Usual("0 gpm .. 100 gpm")]
    """Flows of the curve on its sheet, upward."""
    head: Heads
    """Head at each flow of the curve, downward."""
    power: Annotated[Powers, Usual("30 W .. 6 kW")] | None = None
    """Electrical input at each flow of the curve."""
    efficiency: Annotated[Share, Usual("10 % .. 75 %")] | None = None
    """Wire to water, where the sheet gives no power."""
    rated_power: Annotated[ShaftPower, Usual("1/10 hp .. 7.5 hp")] | None = None
    """Power of the motor at its shaft, as on its plate."""
    service_factor: (
        Annotated[Quantity, Reads(kinds.RATIO, least=1.0, most=2.0), Usual("1 .. 1.75")] | None
    ) = None
    """How far the motor may be loaded beyond its rated power, as on its plate; left out for what
    is usual of its size."""
    voltage: Annotated[Voltage, Usual("12 V .. 480 V")] | None = None
    """What the motor is made for."""
    supply: Literal["AC", "DC"] = "AC"
    """Alternating or direct current."""
    phases: Literal[1, 3] = 1
    """How many phases the motor has."""
    power_factor: Annotated[Share, Usual("50 % .. 100 %")]
    """Power factor of the running motor."""
    start: Literal["direct", "soft", "variable speed"] = "direct"
    """How it is started."""
    electronics: Literal["none", "in a box", "in the motor"] | None = None
    """Where the drive or the brushless motor's electronics sit: a tester for insulation destroys
    those in the motor, and those in a box are disconnected before it."""
    starting_current: Annotated[Current, Usual("1 A .. 150 A")] | None = None
    """Greatest current at start with the starter named in `start`, as the maker states it."""
    full_load_current: Annotated[Current, Usual("0.5 A .. 50 A")] | None = None
    """Current at full load, as on the motor's plate."""
    locked_rotor_current: Annotated[Current, Usual("3 A .. 250 A")] | None = None
    """Current with the rotor held, as on the motor's plate."""
    code_letter: Annotated[str, Names("code letter", wiring.letters)] | None = None
    """Code letter of the locked rotor, on the motor's plate, in place of the current."""
    overload: Literal["in the motor", "in its box", "in a starter", "none"] | None = None
    """What stops a motor on alternating current that draws too much: a protector within it, one in
    the control box, drive or soft starter made for it, or a relay that is set by hand."""
    overload_current: Annotated[Current, Usual("0.5 A .. 60 A")] | None = None
    """The current to which such a relay is set."""
    breaker: Annotated[Current, Usual("6 A .. 60 A")] | None = None
    """Rating of the breaker of its circuit, of inverse time as those in a house's panel are."""
    ground_fault_breaker: Switch | None = None
    """True where a breaker for the protection of people trips on a fault to ground in its
    circuit."""
    cable: Cable | None = None
    """The cable from the supply to the motor."""
    drop_pipe: Pipe | None = None
    """Where it has one of its own."""
    motor_diameter: Annotated[Bore, Usual("2 in .. 6 in")] | None = None
    """Diameter of the motor alone, for the water that cools it."""
    diameter: Annotated[Bore, Usual("2 in .. 6 in")] | None = None
    """Diameter of the whole pump at its widest, with cable guard, for the fit in the casing."""
    length: (
        Annotated[Quantity, Reads(kinds.LENGTH, above=0.0, most=20.0), Usual("1 ft .. 10 ft")]
        | None
    ) = None
    """Length of pump and motor together, for the fit in the casing."""
    shroud: Switch = False
    """True where a sleeve leads the water past the motor."""
    held_pressure: Annotated[Pressure, Usual("20 psi .. 80 psi")] | None = None
    """What a variable-speed pump holds at the tank."""
    least_flow: Annotated[Flow, Usual("0.1 gpm .. 20 gpm")] | None = None
    """Flow below which the drive of such a pump stops it, by the drive's sheet or setting; of a
    pump behind a constant-pressure valve, the least that its sheet allows it for long."""
    dry_run_protection: Switch | None = None
    """True where something stops the pump when the well is pumped dry."""
    minimum_submergence: Annotated[Depth, Usual("1 ft .. 50 ft")]
    """Water to keep above the intake while pumping."""
    restart_level: Depth | None = None
    """Depth of the water at which a pump that the well stopped starts again."""
    restart_after: (
        Annotated[Quantity, Reads(kinds.DURATION, above=0.0, most=7.0e5), Usual("2 min .. 12 h")]
        | None
    ) = None
    """Time after which a pump that the well stopped starts again, in place of a level."""
    required_suction_head: Annotated[Length, Usual("1 ft .. 25 ft")] | None = None
    """Net positive suction head required, for a suction pump."""
    suction_line: Literal["in the well", "exposed", "sleeved", "buried"] | None = None
    """How the suction pipe of such a pump runs: all of it in the well, open to sight, within a
    pipe at the system's pressure, or in the ground."""
    foot_valve: Switch | None = None
    """True where a foot valve, or a check valve in the suction pipe, keeps a pump that stands
    above its water filled."""
    solar_table: tuple[SolarTable, ...] = Field(default=(), max_length=50)
    """The maker's table of a pump that modules drive, a block for each head, upward."""
    start_power: Annotated[Power, Usual("20 W .. 2 kW")] | None = None
    """Power of the modules from which a solar drive starts its pump."""
    least_voltage: Annotated[Voltage, Usual("12 V .. 400 V")] | None = None
    """Least direct voltage with which its solar drive works."""
    greatest_voltage: Annotated[Voltage, Usual("24 V .. 1000 V")] | None = None
    """Greatest direct voltage that its solar drive bears."""
    weight: (
        Annotated[Quantity, Reads(kinds.FORCE, above=0.0, most=5.0e4), Usual("5 lbf .. 300 lbf")]
        | None
    ) = None
    """Weight of pump and motor, by the sheet, for the lift out of the well."""


PersonPower = Annotated[
    Quantity, Reads(kinds.POWER, above=0.0, most=500.0), Usual("20 W .. 150 W")
]
PersonAge = Annotated[int, Field(strict=True, ge=20, le=60)]
"""The ages that the rule of human power knows."""


class HandPumpTable(Table):
    """A reciprocating hand pump."""

    kind: Literal["deep well", "suction"] = "deep well"
    """Whether its cylinder hangs down the well, or sits at the top and sucks."""
    well: str | None = None
    """Name of the [[other_well]] that it stands on; left out for [well]."""
    bore: Annotated[Bore, Usual("1 in .. 4 in")]
    """Diameter of the cylinder inside."""
    stroke: Annotated[Bore, Usual("2 in .. 14 in")]
    """How far the rod travels."""
    cylinder_diameter: Annotated[Bore, Usual("1.2 in .. 5 in")] | None = None
    """Diameter of the cylinder outside, for the fit in the casing."""
    cylinder_length: (
        Annotated[Quantity, Reads(kinds.LENGTH, above=0.0, most=20.0), Usual("0.5 ft .. 8 ft")]
        | None
    ) = None
    """Length of the cylinder outside, for the fit in the casing."""
    rising_main: Pipe | None = None
    """The pipe in which the rods run and the water rises."""
    cylinder_depth: Annotated[Depth, Usual("5 ft .. 350 ft")] | None = None
    """Depth of the cylinder below the ground."""
    lever_ratio: Annotated[Quantity, Reads(kinds.RATIO, least=1.0, most=50.0), Usual("2 .. 12")]
    """Travel of the hand over travel of the rod."""
    rod_diameter: Annotated[Bore, Usual("0.25 in .. 1 in")]
    """Diameter of the pump rods."""
    delivers: Literal["spout", "tank", "pressure tank", "storage tank"] = "spout"
    """Where its water goes: to an open spout, or into a tank; a tank without another word is the
    pressure tank."""
    line: PumpLine | None = None
    """The pipe from its head to the tank, where that is not the line of [piping]."""
    spout_valve: Switch = True
    """False where a pump that delivers into a tank has no valve to an open spout."""
    relief_pressure: Annotated[Pressure, Usual("40 psi .. 175 psi")] | None = None
    """The pressure at which a relief valve opens that stands between a pump that delivers into a
    tank and its first valve."""
    needs_priming: Switch | None = None
    """True where water has to be poured in at its top before it draws."""
    frost_drain: Switch | None = None
    """True where a hole or valve below the frost lets the water above it run back, in the rising
    main and in the line to a tank."""
    spout_height: Annotated[Elevation, Usual("0 ft .. 10 ft")]
    """Height of the spout above the ground."""
    stroke_rate: Annotated[
        Quantity,
        Reads(kinds.STROKE_RATE, above=0.0, most=4.0),
        Usual("15 strokes/min .. 60 strokes/min"),
    ]
    """Full strokes, as fast as people like to pump."""
    volumetric_efficiency: Annotated[Share, Usual("50 % .. 100 %")]
    """Water that comes out over the volume swept, after valves and cup leathers."""
    mechanical_efficiency: Annotated[Share, Usual("40 % .. 95 %")]
    """What friction of cup, rod and handle leaves."""
    person_power: PersonPower | None = None
    """What one person keeps up however long it takes, in place of the rule by age and time."""
    person_age: PersonAge | None = None
    """Age of who pumps: a published rule tells by it how strong they are."""
    arm_factor: Annotated[Share, Usual("30 % .. 100 %")] | None = None
    """Share of whole-body power that work at a handle allows."""
    people_pumping: Literal[1, 2]
    """How many pump together at the handle."""
    counterweight: (
        Annotated[Quantity, Reads(kinds.FORCE, above=0.0, most=2000.0), Usual("1 lbf .. 100 lbf")]
        | None
    ) = None
    """Weight at the end of the handle, where the hand is."""
    rated_depth: Annotated[Depth, Usual("10 ft .. 400 ft")] | None = None
    """Greatest depth of the water that the maker allows."""
    discharge_head: Annotated[Heads, Usual("0 ft .. 350 ft")] | None = None
    """Heads of the maker's table of discharge."""
    discharge_flow: Annotated[Curve, Usual("0 gpm .. 20 gpm")] | None = None
    """Flow at each head of the maker's table."""
    discharge_power: Annotated[Powers, Usual("10 W .. 250 W")] | None = None
    """Power of the person who pumped for the table: one for all, or one at each head."""


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
    diameter: Annotated[Bore, Usual("0.5 in .. 40 in")] | None = None
    """Diameter over all of it that hangs in the casing, for the fit there."""
    head: Annotated[Heads, Usual("0 ft .. 200 ft")]
    """One measured height, or a table upward."""
    flow: Curve
    """Water lifted at each height."""
    power: Annotated[Powers, Usual("10 W .. 1 kW")] | None = None
    """Power of the people at each height, or one for all."""
    efficiency: Annotated[Share, Usual("10 % .. 90 %")] | None = None
    """Water power over input, where no input power is known."""
    greatest_head: (
        Annotated[Quantity, Reads(kinds.HEAD, above=0.0, most=1000.0), Usual("3 ft .. 250 ft")]
        | None
    ) = None
    """How high it lifts, where there is only one point."""
    spout_height: Annotated[Elevation, Usual("-10 ft .. 10 ft")]
    """Height above the ground at which the water comes out."""
    people_pumping: Annotated[int, Field(strict=True, ge=1, le=20)]
    """Who work it at the same time."""
    person_power: PersonPower | None = None
    """What one person keeps up however long it takes, in place of the rule by age and time."""
    person_age: PersonAge | None = None
    """Age of who works it: a published rule tells by it how strong they are."""
    arm_factor: Annotated[Share, Usual("30 % .. 100 %")] | None = None
    """Share of whole-body power that this work allows."""


class ModuleTable(Table):
    """One PV module by its datasheet, at 1000 W/m2 and 25 degC."""

    voc: Annotated[Voltage, Usual("10 V .. 100 V")]
    """Voltage with nothing connected."""
    isc: Annotated[Current, Usual("0.5 A .. 20 A")]
    """Current with the leads joined."""
    vmp: Annotated[Voltage, Usual("8 V .. 90 V")]
    """Voltage at maximum power."""
    imp: Annotated[Current, Usual("0.4 A .. 19 A")]
    """Current at maximum power."""
    cells: Annotated[int, Field(strict=True, ge=1, le=1000)]
    """Cells in series; of half-cut cells count one path."""
    voc_coefficient: Annotated[
        Quantity,
        Reads(kinds.RELATIVE_COEFFICIENT, least=-0.01, most=-0.0005),
        Usual("-0.45 %/K .. -0.2 %/K"),
    ]
    """Change of the open-circuit voltage with temperature."""
    isc_coefficient: Annotated[
        Quantity,
        Reads(kinds.RELATIVE_COEFFICIENT, least=-0.001, most=0.003),
        Usual("0 %/K .. 0.12 %/K"),
    ]
    """Change of the short-circuit current with temperature."""
    rated_power: Annotated[Power, Usual("10 W .. 800 W")] | None = None
    """Power, as on its label."""
    series_fuse: Annotated[Current, Usual("5 A .. 40 A")] | None = None
    """Greatest fuse in series with it, as on its label."""
    greatest_system_voltage: Annotated[Voltage, Usual("150 V .. 1500 V")] | None = None
    """The voltage that a row of them may reach, as on its label."""
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
    tilt: (
        Annotated[Quantity, Reads(kinds.ANGLE, least=0.0, most=90.0), Usual("0 deg .. 90 deg")]
        | None
    ) = None
    """Tilt of the modules from level; left out for the latitude's."""
    azimuth: Annotated[Angle, Usual("-180 deg .. 360 deg")] | None = None
    """Compass direction the modules face: 0 north, 90 east, 180 south, 270 west."""
    cable: Cable | None = None
    """The cable from the modules to what they feed."""
    place: Place | None = None
    """Where the modules stand: on or against a building, on a rack of its own, or on a carport or
    trellis that stands by itself without walls."""
    reaches: Reaches | None = None
    """How far its direct current runs: clear of every building, to the outside of one, into one
    that houses nothing but such equipment, or into a house."""
    grounding: Grounding | None = None
    """Whether one pole is joined to ground by a plain wire, through a ground-fault device or
    electronics, or not at all."""
    enclosed: Switch | None = None
    """True where all of its wires lie in the ground, in metal raceway or in metal-clad cable."""
    overcurrent: Annotated[Current, Usual("1 A .. 200 A")] | None = None
    """Rating of the fuse or breaker in the circuit."""
    string_fuse: Annotated[Current, Usual("2 A .. 40 A")] | None = None
    """Rating of the fuse in each row of modules."""
    backfeed: (
        Annotated[Quantity, Reads(kinds.CURRENT, least=0.0, most=1.0e5), Usual("0 A .. 20000 A")]
        | None
    ) = None
    """The most that what the group feeds can drive back into its wires, by its sheet; 0 A for what
    can drive nothing, as a heating element."""
    greatest_input_voltage: Annotated[Voltage, Usual("12 V .. 1000 V")] | None = None
    """The voltage that the charge controller, inverter or pump drive behind the group bears, by
    its sheet."""
    least_input_voltage: Annotated[Voltage, Usual("5 V .. 500 V")] | None = None
    """The voltage from which that works, by its sheet."""
    isolator_voltage: Annotated[Voltage, Usual("12 V .. 1000 V")] | None = None
    """Direct voltage that a switch within reach may break under load."""
    isolator_current: Annotated[Current, Usual("1 A .. 250 A")] | None = None
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
    """How many phases the house gets from the grid."""
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
    pumps_run: Literal["kept apart", "alternating", "at once"] | None = None
    """How several powered pumps run, in place of `pump_changeover`: kept apart by a changeover
    switch, in turn by an alternator, or at once as their own switches have it."""
    inverter_rating: Annotated[ApparentPower, Usual("200 VA .. 30 kVA")] | None = None
    """What the inverter gives for as long as one likes."""
    inverter_surge: Annotated[ApparentPower, Usual("300 VA .. 90 kVA")] | None = None
    """What it gives for the moment of a start."""
    inverter_voltage: Annotated[Voltage, Usual("100 V .. 480 V")] | None = None
    """Voltage of the inverter's output."""
    inverter_phases: Literal[1, 3] | None = None
    """How many phases the inverter gives."""
    inverter_efficiency: Annotated[Share, Usual("70 % .. 99 %")]
    """Alternating over direct power."""
    array_derate: Annotated[Share, Usual("50 % .. 95 %")]
    """What all losses of an array and its heat leave, for the rule of thumb."""
    inverter_idle: Annotated[
        Quantity, Reads(kinds.POWER, least=0.0, most=1.0e4), Usual("0 W .. 200 W")
    ]
    """What the inverter draws around the clock."""
    generator_rating: Annotated[ApparentPower, Usual("500 VA .. 50 kVA")] | None = None
    """Power of the generator, where there is one."""
    generator_phases: Literal[1, 3] | None = None
    """How many phases the generator gives."""
    generator_hours: Annotated[
        Quantity, Reads(kinds.DURATION, above=0.0, most=86_400.0), Usual("15 min .. 24 h")
    ]
    """Hours a day that there is fuel for."""
    battery_energy: Annotated[Energy, Usual("0.2 kWh .. 200 kWh")] | None = None
    """What the battery holds when it is full."""
    battery_usable: Annotated[Share, Usual("20 % .. 100 %")]
    """Share of it that may be drawn."""
    battery_efficiency: Annotated[Share, Usual("60 % .. 100 %")]
    """Energy out over energy in."""
    other_use: (
        Annotated[Quantity, Reads(kinds.ENERGY, least=0.0, most=1.0e11), Usual("0 kWh .. 60 kWh")]
        | None
    ) = None
    """What else in the house draws from the battery in a day."""


Lost = Annotated[Quantity, Reads(kinds.FRACTION, least=0.0, most=0.9)]


class LossesTable(Table):
    """What every array of modules loses; heat comes by the hour, besides."""

    incidence: Annotated[Quantity, Reads(kinds.RATIO, least=0.0, most=0.5), Usual("0.1 .. 0.25")]
    """How much the glass throws back of slanting light: Martin and Ruiz' coefficient."""
    dirt: Annotated[Lost, Usual("0 % .. 30 %")]
    """Light lost in dirt, the mean of the year."""
    first_light: Annotated[Lost, Usual("0 % .. 5 %")]
    """What new modules lose in their first hours of sun."""
    nameplate: Annotated[Lost, Usual("0 % .. 10 %")]
    """How far modules fall short of their plate when new."""
    ageing: Annotated[Lost, Usual("0 % .. 25 %")]
    """What modules have lost since they were new, the mean of the years looked at."""
    mismatch: Annotated[Lost, Usual("0 % .. 10 %")]
    """What modules of a row lose that are not alike."""
    wiring: Annotated[Lost, Usual("0 % .. 10 %")]
    """What the wires of a group lose whose cable is not named; a named one is computed."""
    controller: Annotated[Lost, Usual("0 % .. 15 %")]
    """What the charge controller or the pump's controller loses; a heater has none."""


class StorageTankTable(Table):
    """A cistern or open tank that a pump fills and the household draws from."""

    volume: Annotated[Volume, Usual("50 gal .. 20000 gal")]
    """Volume of the tank, filled to its working level."""
    reserve: Annotated[Share, Usual("5 % .. 100 %")]
    """Part of it that is in the tank when an outage begins."""
    elevation: Annotated[Elevation, Usual("-20 ft .. 200 ft")] | None = None
    """Height of its outlet above the ground at the well; left out where it stands level with the
    pressure tank."""
    water_height: (
        Annotated[Quantity, Reads(kinds.LENGTH, above=0.0, most=50.0), Usual("1 ft .. 20 ft")]
        | None
    ) = None
    """Height from its outlet up to the water when it is full."""
    fills_below: Annotated[Quantity, Reads(kinds.FRACTION, least=0.0, most=1.0)] | None = None
    """Share of the tank at which a float starts the pump that fills it."""
    fills_to: Annotated[Share, Usual("50 % .. 100 %")] | None = None
    """Share at which the float stops that pump; left out for full."""
    stops_below: Annotated[Quantity, Reads(kinds.FRACTION, least=0.0, most=1.0)] | None = None
    """Share at which a float stops the pumps that draw from it, before they draw air."""
    gravity_line: PumpLine | None = None
    """The pipe from the tank to the house, where water runs down by itself."""
    air_gap: (
        Annotated[Quantity, Reads(kinds.BORE, least=0.0, most=2.0), Usual("1 in .. 12 in")] | None
    ) = None
    """Distance from the end of the pipe that fills it down to the rim of its overflow; nothing
    where the pipe ends below."""
    overflow: Literal["screened", "open", "none"] | None = None
    """How its overflow ends: behind a screen, without one, or that it has none."""
    covered: Switch | None = None
    """True where a tight cover with an overlapping, locked hatch keeps light, animals and rain
    out."""
    stands: Literal["in a room", "outdoors", "buried"] | None = None
    """Where it stands; buried below the frost."""
    coldest_room: Annotated[AirTemperature, Usual("-20 degF .. 80 degF")] | None = None
    """The coldest that the air round it gets."""


class ElementTable(Table):
    """One heating element, or several alike, and the thermostat that switches them."""

    position: Literal["lower", "upper"]
    """Where it sits in the tank."""
    rated_power: Annotated[Power, Usual("1 kW .. 6 kW")]
    """Power at the rated voltage, as stamped on its flange."""
    rated_voltage: Annotated[Voltage, Usual("12 V .. 480 V")]
    """Voltage, as stamped on its flange."""
    count: Annotated[int, Field(strict=True, ge=1, le=6)] = 1
    """So many elements alike."""
    wired: Literal["series", "parallel"] = "parallel"
    """How several elements are joined; switched ones are joined as the sun asks."""
    temperature_coefficient: (
        Annotated[
            Quantity,
            Reads(kinds.RELATIVE_COEFFICIENT, least=-0.001, most=0.01),
            Usual("0 %/K .. 0.1 %/K"),
        ]
        | None
    ) = None
    """How the element's resistance grows with heat, from 20 degC; left out for a resistance that
    stays."""
    height: (
        Annotated[Quantity, Reads(kinds.FRACTION, least=0.0, most=0.99), Usual("5 % .. 95 %")]
        | None
    ) = None
    """Height of element and thermostat, as a share of the height of the tank."""
    fed_by: str
    """The name of an array group, "grid", or "inverter" where the battery's surplus heats it."""
    coupling: Literal["direct", "switched", "tracking"] = "direct"
    """What joins array and element: a wire, relays that choose a resistance, or electronics that
    hold the array at its maximum power."""
    switched_resistances: (
        Annotated[
            tuple[Quantity, ...],
            Reads(kinds.RESISTANCE, above=0.0, most=1.0e5, many=True),
            Usual("1 ohm .. 300 ohm"),
        ]
        | None
    ) = None
    """What the relays can make; left out for all that `count` elements can."""
    switch_irradiances: (
        Annotated[
            tuple[Quantity, ...],
            Reads(kinds.IRRADIANCE, above=0.0, most=2000.0, many=True),
            Usual("20 W/m2 .. 1200 W/m2"),
        ]
        | None
    ) = None
    """Sun at which the relays go to the next lower resistance; left out for the best each hour."""
    tracker_efficiency: Annotated[Share, Usual("80 % .. 100 %")] | None = None
    """Efficiency of electronics that hold the array at its maximum power."""
    tracker_minimum: (
        Annotated[Quantity, Reads(kinds.POWER, least=0.0, most=1.0e5), Usual("0 W .. 500 W")]
        | None
    ) = None
    """Array power below which the electronics stand still."""
    tracker_maximum: Annotated[Power, Usual("300 W .. 10 kW")] | None = None
    """The most that the electronics pass."""
    tracker_converter: Literal["buck", "boost", "both"] | None = None
    """What the electronics make of the array's voltage: they lower it ("buck"), raise it, or do
    both; left out, they are judged as if they could do neither."""
    tracker_least_input: Annotated[Voltage, Usual("5 V .. 1000 V")] | None = None
    """Voltage of the array below which the electronics stand still."""
    tracker_greatest_input: Annotated[Voltage, Usual("12 V .. 1000 V")] | None = None
    """The most that the array may bring to the electronics, open and in the cold."""
    tracker_least_output: Annotated[Voltage, Usual("1 V .. 500 V")] | None = None
    """Voltage at the element below which the electronics stand still."""
    tracker_greatest_output: Annotated[Voltage, Usual("12 V .. 1000 V")] | None = None
    """Voltage at the element above which the electronics do not go."""
    thermostat: Annotated[WaterTemperature, Usual("110 degF .. 180 degF")] | None = None
    """What the thermostat of this element is set to."""
    thermostat_switches: Literal["AC", "DC", "relay"] | None = None
    """What its contacts are rated to break, or "relay" where they only drive a DC-rated switch."""
    switch_voltage: Annotated[Voltage, Usual("12 V .. 1000 V")] | None = None
    """Direct voltage that the contacts, or the relay or controller they drive, are rated for."""
    switch_current: Annotated[Current, Usual("1 A .. 200 A")] | None = None
    """Direct current that the same may break."""
    surplus_switch: Literal["relay", "proportional", "none"] | None = None
    """What lets a battery's surplus, and no more, onto an element on the inverter: a relay or
    contactor that closes while the battery is full, a controller that gives as much as is left in
    proportion, or none."""
    surplus_switch_current: Annotated[Current, Usual("5 A .. 63 A")] | None = None
    """Alternating current that this relay or controller is rated for."""
    high_limit_switches: Literal["AC", "DC", "relay", "same relay", "nothing"] | None = None
    """What the tank's high limit acts on in this element's circuit: its own contacts, rated for
    alternating or direct current, a relay of its own, the thermostat's relay, or nothing there."""
    high_limit_voltage: Annotated[Voltage, Usual("12 V .. 1000 V")] | None = None
    """Direct voltage that its contacts, or the relay of its own, are rated for."""
    high_limit_current: Annotated[Current, Usual("1 A .. 200 A")] | None = None
    """Direct current that the same may break."""
    high_limit_poles: Literal[1, 2] | None = None
    """How many of the two conductors it opens."""


class MixingValveTable(Table):
    """The valve that mixes the tank's water down."""

    outlet: Annotated[WaterTemperature, Usual("95 degF .. 140 degF")]
    """What the valve is set to."""
    standard: Annotated[str, Names("mixing-valve standard", hot_water_tables.standards)] | None = (
        None
    )
    """The standard that is stamped on the valve."""
    greatest_supply: Annotated[WaterTemperature, Usual("140 degF .. 210 degF")] | None = None
    """The hottest water that its maker lets in; left out for what its standard covers."""


class DrawTable(Table):
    """Hot water taken in a day, measured at the tap."""

    volume: Annotated[Volume, Usual("5 gal .. 300 gal")] | None = None
    """Mixed water of the whole day."""
    temperature: Annotated[WaterTemperature, Usual("95 degF .. 125 degF")]
    """Temperature at the tap."""
    pattern: Annotated[str, Names("draw pattern", hot_water_tables.patterns)]
    """How the draws spread over the hours of the day."""
    times: (
        Annotated[
            tuple[Quantity, ...],
            Reads(kinds.DURATION, least=0.0, most=86_399.0, many=True),
            Usual("0 h .. 24 h"),
        ]
        | None
    ) = None
    """Hours since midnight at which each draw of a list begins, in place of a pattern."""
    volumes: (
        Annotated[
            tuple[Quantity, ...],
            Reads(kinds.VOLUME, above=0.0, most=100.0, many=True),
            Usual("0.2 gal .. 60 gal"),
        ]
        | None
    ) = None
    """Mixed water of each draw of the list."""


class SecondTankTable(Table):
    """A tank downstream that takes the PV tank's water and heats the rest from the grid."""

    volume: Annotated[Volume, Usual("5 gal .. 120 gal")]
    """Volume, as on its plate."""
    heat_loss: Annotated[
        Quantity, Reads(kinds.HEAT_LOSS, above=0.0, most=100.0), Usual("0.3 W/K .. 6 W/K")
    ]
    """Heat that it loses for each degree between tank and room."""
    rated_power: Annotated[Power, Usual("1 kW .. 12 kW")]
    """Power of its heating element."""
    thermostat: Annotated[WaterTemperature, Usual("110 degF .. 180 degF")]
    """What its thermostat is set to."""
    high_limit: Annotated[WaterTemperature, Usual("150 degF .. 200 degF")] | None = None
    """The temperature at which its cut-out with hand reset opens."""
    working_pressure: Annotated[Pressure, Usual("75 psi .. 200 psi")] | None = None
    """The greatest that its plate allows."""
    greatest_temperature: Annotated[WaterTemperature, Usual("150 degF .. 210 degF")] | None = None
    """The greatest that its plate or its maker allows, where either names one."""
    relief_temperature: Annotated[WaterTemperature, Usual("180 degF .. 210 degF")] | None = None
    """Temperature on the plate of its relief valve."""
    relief_pressure: Annotated[Pressure, Usual("75 psi .. 175 psi")] | None = None
    """Pressure on the plate of its relief valve."""
    relief_capacity: Annotated[Power, Usual("5 kW .. 150 kW")] | None = None
    """Heat that its relief valve carries away, on the same plate."""


class WaterHeaterTable(Table):
    """The storage tank of hot water."""

    volume: Annotated[Volume, Usual("10 gal .. 200 gal")]
    """Volume, as on its plate."""
    heat_loss: (
        Annotated[
            Quantity, Reads(kinds.HEAT_LOSS, above=0.0, most=100.0), Usual("0.3 W/K .. 6 W/K")
        ]
        | None
    ) = None
    """Heat that the whole tank loses for each degree between it and the room; or give insulation,
    or the rated factor."""
    insulation: (
        Annotated[
            Quantity,
            Reads(kinds.THERMAL_RESISTANCE, above=0.0, most=50.0),
            Usual("4 ft2*degF*h/Btu .. 40 ft2*degF*h/Btu"),
        ]
        | None
    ) = None
    """Thermal resistance of the jacket."""
    uniform_energy_factor: (
        Annotated[Quantity, Reads(kinds.RATIO, above=0.5, most=0.999), Usual("0.8 .. 0.99")] | None
    ) = None
    """The rated factor of its label."""
    first_hour_rating: Annotated[Volume, Usual("20 gal .. 150 gal")] | None = None
    """First-hour rating on the same label: it tells with how much hot water the factor was
    measured."""
    working_pressure: Annotated[Pressure, Usual("75 psi .. 200 psi")] | None = None
    """The greatest that the tank's plate allows."""
    greatest_temperature: Annotated[WaterTemperature, Usual("150 degF .. 210 degF")] | None = None
    """The greatest that the tank's plate or its maker allows, where either names one."""
    tank_height: (
        Annotated[Quantity, Reads(kinds.LENGTH, above=0.0, most=10.0), Usual("1 ft .. 8 ft")]
        | None
    ) = None
    """Height of the tank inside; left out for two and a half times the bore."""
    differential: (
        Annotated[
            Quantity,
            Reads(kinds.TEMPERATURE_DIFFERENCE, least=0.0, most=40.0),
            Usual("1 degF .. 40 degF"),
        ]
        | None
    ) = None
    """How far below its setting a thermostat closes again."""
    room_temperature: Annotated[AirTemperature, Usual("30 degF .. 110 degF")]
    """Temperature of the air round the tank."""
    coldest_room: Annotated[AirTemperature, Usual("-20 degF .. 100 degF")] | None = None
    """The coldest that this air gets."""
    element: tuple[ElementTable, ...] = Field(min_length=1, max_length=20)
    """The heating elements, each in a block of its own."""
    mixing_valve: MixingValveTable | None = None
    """The valve behind the tank that mixes its water down."""
    fixture_valves: Switch | None = None
    """True where showers, tubs and basins have scald-limiting valves of their own."""
    high_limit: Annotated[WaterTemperature, Usual("150 degF .. 200 degF")] | None = None
    """The temperature at which the cut-out with hand reset opens."""
    relief_temperature: Annotated[WaterTemperature, Usual("180 degF .. 210 degF")] | None = None
    """Temperature on the plate of the temperature and pressure relief valve."""
    relief_pressure: Annotated[Pressure, Usual("75 psi .. 175 psi")] | None = None
    """Pressure on the plate of the relief valve."""
    relief_capacity: Annotated[Power, Usual("5 kW .. 150 kW")] | None = None
    """Heat that the relief valve carries away, as its plate states it."""
    check_valve: Switch | None = None
    """True where a check valve, backflow preventer or softener closes the cold side."""
    expansion_tank: Switch | None = None
    """True where there is one for the heated water."""
    expansion_tank_volume: Annotated[Volume, Usual("0.5 gal .. 20 gal")] | None = None
    """Volume, as on the plate of the expansion tank."""
    expansion_tank_precharge: Annotated[Pressure, Usual("10 psi .. 100 psi")] | None = None
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
            Usual("0.1 kWh/m2 .. 9 kWh/m2"),
        ]
        | None
    ) = None
    """Mean sun of a day in each month, January to December, on level ground; a public solar atlas
    has it."""
    temperature: (
        Annotated[
            tuple[Quantity, ...],
            Reads(kinds.TEMPERATURE, least=-60.0, most=60.0, many=True, count=12),
            Usual("-40 degF .. 110 degF"),
        ]
        | None
    ) = None
    """Mean air temperature of each month, January to December."""
    record_low: Annotated[AirTemperature, Usual("-60 degF .. 70 degF")] | None = None
    """The coldest ever measured nearby: the modules' voltage is highest then."""
    albedo: Annotated[Quantity, Reads(kinds.FRACTION, least=0.0, most=1.0), Usual("10 % .. 90 %")]
    """Share of the light that the ground throws back."""
    turbidity: Annotated[Quantity, Reads(kinds.RATIO, least=2.0, most=7.0), Usual("2 .. 7")]
    """Haze of a cloudless sky, by Linke: 2 very clear, 3 clear, 5 hazy."""
    temperature_swing: Annotated[
        Quantity,
        Reads(kinds.TEMPERATURE_DIFFERENCE, least=0.0, most=50.0),
        Usual("2 degF .. 45 degF"),
    ]
    """The day's warmest air less its coldest."""
    wind: Annotated[Quantity, Reads(kinds.SPEED, least=0.0, most=20.0), Usual("0 m/s .. 12 m/s")]
    """Wind past the modules, where no weather file tells it."""
    file: str | None = None
    """A TMY3 weather file, or a CSV with named columns, beside the site file."""
    clearness: Annotated[Share, Usual("20 % .. 100 %")] | None = None
    """Share of a clear sky's sun, where neither a table nor a file is given."""
    shading: (
        Annotated[
            tuple[Quantity, ...],
            Reads(kinds.FRACTION, least=0.0, most=1.0, many=True, count=12),
            Usual("5 % .. 100 %"),
        ]
        | None
    ) = None
    """Share of the sun that trees and roofs let through, January to December."""
    horizon: (
        Annotated[
            tuple[Quantity, ...],
            Reads(kinds.ANGLE, least=0.0, most=80.0, many=True),
            Usual("0 deg .. 45 deg"),
        ]
        | None
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
    """What something of the parts list costs, or an energy that the sun spares, in whatever
    money."""

    item: Annotated[str, Names("part", priced_names)]
    """A name out of the parts list; "electricity" as it is paid for today, or the fuel that heats
    the water today."""
    size: str | None = Field(default=None, min_length=1)
    """Words that the size, or whose it is, must hold; left out for every size."""
    cost: Annotated[Quantity, Reads(kinds.RATIO, least=0.0, most=1.0e7), Usual("0 .. 100000")]
    """The price in your own money, without its sign."""
    per: Literal["piece", "ft", "m", "kWh", "gal", "L", "therm", "ft3", "m3", "cord"] = "piece"
    """What the cost is for: a piece, a length of it, or so much of an energy."""


class SizedTable(Table):
    """A key that the sizing set, so that lists and reports can say so."""

    key: str = Field(min_length=1)
    """Its path, such as "pump[1].cable.gauge"."""
    reason: str = ""
    """What binds it."""
    rule: str = ""
    """The rule whose verdict holds it; empty where none does."""


class PhotographTable(Table):
    """A picture of the site for the report."""

    file: str = Field(min_length=1)
    """A PNG or JPEG beside the site file, of at most 2 MB."""
    shows: str = Field(min_length=1, max_length=200)
    """What it shows, printed below it."""


class JobTable(Table):
    """Who had the work planned and who planned it, for the cover of the report."""

    made_for: str | None = Field(default=None, min_length=1)
    """Whose house it is."""
    made_by: str | None = Field(default=None, min_length=1)
    """Who planned it or does the work."""
    phone: str | None = Field(default=None, min_length=1, max_length=60)
    """Whom to call when something is wrong; also on the card."""
    licence: str | None = Field(default=None, min_length=1)
    """Number of the licence of who does the work."""
    date: str | None = None
    """Day of the papers, such as "2026-11-29"; also on the card."""
    revision: str | None = Field(default=None, min_length=1, max_length=60)
    """Which state of the papers it is, such as "B"."""
    page_address: str | None = Field(default=None, min_length=1, max_length=200)
    """Where the owner keeps what `page` wrote, beginning with https:// or http://: the labels of
    the list of parts open it."""
    logo: str | None = Field(default=None, min_length=1)
    """A PNG or JPEG beside the site file, of at most 2 MB, for the cover."""
    photograph: tuple[PhotographTable, ...] = Field(default=(), max_length=12)
    """Pictures of the site, each in a block of its own."""


Month = Literal[
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
]  # fmt: skip
"""Months by their names."""


class AimTable(Table):
    """What the house should give: `check` judges by it, and what is sized is sized for it."""

    hot_evenings: Annotated[Share, Usual("30 % .. 100 %")]
    """Share of the year's evenings on which the first draw comes as warm as wanted, with all that
    heats the tank."""
    sun_evenings: Annotated[Share, Usual("10 % .. 100 %")] | None = None
    """The same by the sun alone; left out where only the tank as it stands counts."""
    sun_share: Annotated[Share, Usual("10 % .. 100 %")]
    """Share of the year's hot-water heat that modules should give."""
    clear_day_temperature: Annotated[WaterTemperature, Usual("95 degF .. 180 degF")] | None = None
    """Temperature of the tank at the end of one clear day, begun cold, nothing drawn; left out for
    the setting of its thermostat."""
    clear_day_month: Month | None = None
    """Month of that day; left out for every month of the year."""
    matched: Annotated[Share, Usual("50 % .. 100 %")]
    """Part of the energy on the best single resistance from which an element suits its modules;
    less is no matter where the hot water is as aimed at."""
    days_short: Annotated[int, Field(strict=True, ge=0, le=366)] | None = None
    """Days a year on which the water may fall short, in place of `limits.short_days`."""
    dark_days: Annotated[
        Quantity,
        Reads(kinds.DURATION, least=0.0, most=5_184_000.0),
        Usual("0 days .. 10 days"),
    ]
    """Days without sun through which the battery should carry the pump."""
    spare: Annotated[Quantity, Reads(kinds.FRACTION, least=0.0, most=2.0), Usual("0 % .. 100 %")]
    """Energy that the pump's modules should give beyond the day's pumping in the darkest month, as
    part of it."""
    make_least: Literal["modules", "money", "power at start"] = "modules"
    """What is kept least where several designs do what is aimed at; money by the file's prices.
    Of a pump's modules and battery both together are, a kWh counted like two modules."""


class LimitsTable(Table):
    """The user's own limits, in place of the usual ones."""

    velocity: Annotated[
        Quantity, Reads(kinds.SPEED, above=0.0, most=20.0), Usual("2 ft/s .. 10 ft/s")
    ]
    """Greatest velocity of water in a pipe."""
    voltage_drop: Annotated[
        Quantity, Reads(kinds.FRACTION, least=1.0e-3, most=1.0), Usual("1 % .. 10 %")
    ]
    """Greatest share of the voltage lost in a cable."""
    cut_out_margin: Annotated[PressureLoss, Usual("0 psi .. 20 psi")]
    """Least pressure above the cut-out, for wear and a falling water level."""
    run_time: (
        Annotated[
            Quantity, Reads(kinds.DURATION, above=0.0, most=86_400.0), Usual("30 s .. 10 min")
        ]
        | None
    ) = None
    """Least run of a pump, in place of what tables ask of its motor's size."""
    daily_run: Annotated[
        Quantity, Reads(kinds.DURATION, above=0.0, most=86_400.0), Usual("1 h .. 24 h")
    ]
    """Longest run in which a pump that presses into the house should give the day's water."""
    starts_a_day: (
        Annotated[
            Quantity,
            Reads(kinds.STARTS_A_DAY, above=0.0, most=1.0),
            Usual("10 starts/day .. 400 starts/day"),
        ]
        | None
    ) = None
    """Most starts of a pump, in place of what tables allow a motor of its size and phases."""
    handle_force: Annotated[
        Quantity, Reads(kinds.FORCE, above=0.0, most=2000.0), Usual("10 lbf .. 120 lbf")
    ]
    """Force that is comfortable at the handle of a hand pump."""
    storage_temperature: Annotated[WaterTemperature, Usual("120 degF .. 160 degF")]
    """Least temperature of stored hot water."""
    casing_clearance: Annotated[Bore, Usual("0.1 in .. 2 in")]
    """Room to pass each other in the well."""
    motor_cooling: (
        Annotated[Quantity, Reads(kinds.SPEED, above=0.0, most=5.0), Usual("0.1 ft/s .. 2 ft/s")]
        | None
    ) = None
    """Least velocity of the water past a submersible motor, in place of what its makers ask."""
    short_days: Annotated[int, Field(strict=True, ge=0, le=366)]
    """Days a year on which the water may fall short."""
    outage_days: OutageDays
    """How long a failure is taken to last until it is repaired."""


class Site(Table):
    """Everything one site file says, in SI; tables that the file lacks are None."""

    site: SiteTable
    """Where the site is and who lives there."""
    demand: DemandTable
    """Water wanted."""
    well: WellTable
    """The well; levels are depths below the ground."""
    other_well: tuple[OtherWellTable, ...] = Field(default=(), max_length=20)
    """Further wells, each in a block of its own with a name by which its pumps tell it."""
    piping: PipingTable
    """What leads from the pump to the pressure tank."""
    pressure_switch: PressureSwitchTable | None = None
    """The switch that starts and stops the pump."""
    constant_pressure_valve: ConstantPressureValveTable | None = None
    """A valve that throttles the pumps to one pressure at the tank."""
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
    sized: tuple[SizedTable, ...] = Field(default=(), max_length=1000)
    """Keys that the sizing set, each with its reason; a key that you set yourself belongs in no
    such block."""
    job: JobTable | None = None
    """Names, date and pictures for the papers."""
    aim: AimTable
    """What the house should give."""
    limits: LimitsTable
    """Your own limits, in place of the usual ones."""


TABLES = frozenset(Site.model_fields)
"""Names of the tables."""
