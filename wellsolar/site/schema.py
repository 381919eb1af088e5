"""The tables of a site file as frozen models with SI numbers inside.

Each field is read by its kind (`wellsolar.kinds`); what a field means stands beside it. Depths
count downward from the ground at the well; pressures are gauge pressures at the pressure tank.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field
from pydantic_core import PydanticCustomError, core_schema

from wellsolar import kinds
from wellsolar.data import fitting_table, hot_water_tables, pipes, wiring
from wellsolar.errors import OutOfRange
from wellsolar.kinds import Kind
from wellsolar.units import Quantity, System, UnreadableQuantity, read, read_list, show


class Reads:
    """Marks a field as a quantity of a kind, with the bounds that nature or sense sets it."""

    def __init__(
        self,
        kind: Kind,
        *,
        above: float | None = None,
        least: float | None = None,
        most: float | None = None,
        many: bool = False,
        count: int | None = None,
    ) -> None:
        self.kind = kind
        self.above = above
        self.least = least
        self.most = most
        self.many = many
        self.count = count

    def read(self, written: object) -> Quantity | tuple[Quantity, ...]:
        """The quantity or quantities of a text; UnreadableQuantity where it is none."""
        if not self.many:
            return self._bounded(read(written, self.kind), str(written))
        values = read_list(written, self.kind)
        if self.count is not None and len(values) != self.count:
            raise UnreadableQuantity(
                f'"{written}" has {len(values)} values: expected {self.count}'
            )
        return tuple(self._bounded(value, f"{written}") for value in values)

    def _bounded(self, value: Quantity, written: str) -> Quantity:
        if self.above is not None and value.low <= self.above:
            raise UnreadableQuantity(
                f'"{written}": a {self.kind.name} here must be more than {self._both(self.above)}'
            )
        if self.least is not None and value.low < self.least:
            raise UnreadableQuantity(
                f'"{written}": a {self.kind.name} here is at least {self._both(self.least)}'
            )
        if self.most is not None and value.high > self.most:
            raise UnreadableQuantity(
                f'"{written}": a {self.kind.name} here is at most {self._both(self.most)}'
            )
        return value

    def _both(self, limit: float) -> str:
        if limit == 0 and self.kind is not kinds.TEMPERATURE:
            return "zero"
        us, si = (show(limit, self.kind, system, 4) for system in ("US", "SI"))
        return us if us == si else f"{us} ({si})"

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self._validate)

    def _validate(self, written: object) -> Quantity | tuple[Quantity, ...]:
        if isinstance(written, Quantity):
            return written
        try:
            return self.read(written)
        except UnreadableQuantity as error:
            raise PydanticCustomError("quantity", "{text}", {"text": str(error)}) from None


class Names:
    """Marks a field as a name out of a shipped table."""

    def __init__(self, what: str, known: Callable[[], tuple[str, ...]]) -> None:
        self.what = what
        self.known = known

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self._validate)

    def _validate(self, written: object) -> str:
        known = self.known()
        if isinstance(written, str) and written in known:
            return written
        raise PydanticCustomError(
            "choice", "{text}", {"text": choice_message(written, self.what, known)}
        )


def choice_message(written: object, what: str, known: tuple[str, ...]) -> str:
    """The message for a word that is none of those allowed, with the nearest that is."""
    import difflib

    near = difflib.get_close_matches(str(written), known, n=1, cutoff=0.4)
    hint = f', did you mean "{near[0]}"?' if near else ""
    listed = ", ".join(f'"{name}"' for name in known)
    return f'"{written}" is no {what}: expected one of {listed}{hint}'


Depth = Annotated[Quantity, Reads(kinds.LENGTH, least=0.0, most=2000.0)]
Length = Annotated[Quantity, Reads(kinds.LENGTH, least=0.0, most=20_000.0)]
Elevation = Annotated[Quantity, Reads(kinds.LENGTH, least=-300.0, most=300.0)]
Altitude = Annotated[Quantity, Reads(kinds.LENGTH, least=-450.0, most=6000.0)]
Bore = Annotated[Quantity, Reads(kinds.BORE, above=0.0, most=3.0)]
Flow = Annotated[Quantity, Reads(kinds.FLOW, above=0.0, most=1.0)]
DailyFlow = Annotated[Quantity, Reads(kinds.DAILY_FLOW, above=0.0, most=1.0)]
Volume = Annotated[Quantity, Reads(kinds.VOLUME, above=0.0, most=1000.0)]
Pressure = Annotated[Quantity, Reads(kinds.PRESSURE, least=0.0, most=2.0e6)]
PressureLoss = Annotated[Quantity, Reads(kinds.PRESSURE_LOSS, least=0.0, most=1.0e6)]
WaterTemperature = Annotated[Quantity, Reads(kinds.TEMPERATURE, least=0.0, most=99.0)]
AirTemperature = Annotated[Quantity, Reads(kinds.TEMPERATURE, least=-60.0, most=60.0)]
Power = Annotated[Quantity, Reads(kinds.POWER, above=0.0, most=1.0e6)]
ShaftPower = Annotated[Quantity, Reads(kinds.SHAFT_POWER, above=0.0, most=1.0e6)]
ApparentPower = Annotated[Quantity, Reads(kinds.APPARENT_POWER, above=0.0, most=1.0e6)]
Energy = Annotated[Quantity, Reads(kinds.ENERGY, above=0.0, most=1.0e12)]
Voltage = Annotated[Quantity, Reads(kinds.VOLTAGE, above=0.0, most=1500.0)]
Current = Annotated[Quantity, Reads(kinds.CURRENT, above=0.0, most=2000.0)]
Share = Annotated[Quantity, Reads(kinds.FRACTION, above=0.0, most=1.0)]
Angle = Annotated[Quantity, Reads(kinds.ANGLE, least=-360.0, most=360.0)]


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
    people: Annotated[int, Field(ge=1, le=100_000)] | None = None
    print_units: System = "US"


class DemandTable(Table):
    """Water wanted."""

    daily_use: DailyFlow | None = None
    """The whole household's or village's water on an ordinary day."""
    peak_flow: Flow | None = None
    survival_use: DailyFlow
    """The least one person needs a day when things fail."""


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


class Pipe(Table):
    """A run of pipe of one size."""

    material: Annotated[str, Names("pipe material", pipes.materials)]
    size: str
    length: Length | None = None


class Fittings(Table):
    """So many fittings of one kind, of the size of the lateral."""

    kind: Annotated[str, Names("fitting", fitting_table.kinds)]
    count: Annotated[int, Field(ge=1, le=1000)]


class PipingTable(Table):
    """From the pump to the pressure tank."""

    drop_pipe: Pipe
    """Its length is the pump's intake depth less the pitless depth unless given."""
    lateral: Pipe
    fittings: tuple[Fittings, ...] = ()
    pitless_depth: Depth
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
    count: Annotated[int, Field(ge=1, le=100)] = 1
    precharge: Pressure | None = None


class Cable(Table):
    """A two-conductor run; the length is one way."""

    gauge: Annotated[str, Names("wire gauge", wiring.gauges)]
    length: Length | None = None


Curve = Annotated[tuple[Quantity, ...], Reads(kinds.FLOW, least=0.0, most=1.0, many=True)]
Heads = Annotated[tuple[Quantity, ...], Reads(kinds.HEAD, least=0.0, most=3000.0, many=True)]
Powers = Annotated[tuple[Quantity, ...], Reads(kinds.POWER, above=0.0, most=1.0e6, many=True)]


class PumpTable(Table):
    """A powered pump, by its datasheet."""

    name: str = Field(min_length=1)
    role: Literal["existing", "backup", "other"] = "other"
    kind: Literal["submersible", "suction"] = "submersible"
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
    dry_run_protection: bool | None = None
    minimum_submergence: Depth
    required_suction_head: Length | None = None
    """Net positive suction head required, for a suction pump."""


class HandPumpTable(Table):
    """A reciprocating hand pump."""

    kind: Literal["deep well", "suction"] = "deep well"
    bore: Bore
    stroke: Bore
    cylinder_depth: Depth | None = None
    lever_ratio: Annotated[Quantity, Reads(kinds.RATIO, least=1.0, most=50.0)]
    rod_diameter: Bore
    delivers: Literal["spout", "tank"] = "spout"
    spout_height: Elevation
    stroke_rate: Annotated[Quantity, Reads(kinds.STROKE_RATE, above=0.0, most=4.0)]
    volumetric_efficiency: Share
    mechanical_efficiency: Share
    person_power: Annotated[Quantity, Reads(kinds.POWER, above=0.0, most=500.0)]


class ModuleTable(Table):
    """One PV module by its datasheet, at 1000 W/m2 and 25 degC."""

    voc: Voltage
    isc: Current
    vmp: Voltage
    imp: Current
    cells: Annotated[int, Field(ge=1, le=1000)]
    voc_coefficient: Annotated[
        Quantity, Reads(kinds.RELATIVE_COEFFICIENT, least=-0.01, most=-0.0005)
    ]
    isc_coefficient: Annotated[
        Quantity, Reads(kinds.RELATIVE_COEFFICIENT, least=-0.001, most=0.003)
    ]
    rated_power: Power | None = None


class ArrayTable(Table):
    """A named group of modules and what it feeds."""

    name: str = Field(min_length=1)
    feeds: Literal["heater", "pump", "battery", "other"]
    series: Annotated[int, Field(ge=1, le=100)]
    parallel: Annotated[int, Field(ge=1, le=1000)] = 1
    tilt: Annotated[Quantity, Reads(kinds.ANGLE, least=0.0, most=90.0)] | None = None
    azimuth: Angle | None = None
    """Compass direction the modules face: 0 north, 90 east, 180 south, 270 west."""
    cable: Cable | None = None


class PowerTable(Table):
    """What runs the house when the grid is down."""

    inverter_rating: Power | None = None
    inverter_surge: ApparentPower | None = None
    inverter_voltage: Voltage | None = None
    inverter_efficiency: Share
    array_derate: Share
    battery_energy: Energy | None = None
    battery_usable: Share


class ElementTable(Table):
    """One heating element and the thermostat that switches it."""

    position: Literal["lower", "upper"]
    rated_power: Power
    rated_voltage: Voltage
    fed_by: str
    """The name of an array group, or "grid"."""
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


class WaterHeaterTable(Table):
    """The storage tank of hot water."""

    volume: Volume
    heat_loss: Annotated[Quantity, Reads(kinds.HEAT_LOSS, above=0.0, most=100.0)]
    room_temperature: AirTemperature
    element: tuple[ElementTable, ...] = Field(min_length=1)
    mixing_valve: MixingValveTable | None = None
    fixture_valves: bool | None = None
    """True where showers, tubs and basins have scald-limiting valves of their own."""
    high_limit: WaterTemperature | None = None
    relief_temperature: WaterTemperature | None = None
    check_valve: bool | None = None
    """True where a check valve, backflow preventer or softener closes the cold side."""
    expansion_tank: bool | None = None
    draw: DrawTable


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


class LimitsTable(Table):
    """The user's own limits, in place of the usual ones."""

    velocity: Annotated[Quantity, Reads(kinds.SPEED, above=0.0, most=20.0)]
    voltage_drop: Share
    cut_out_margin: PressureLoss
    run_time: Annotated[Quantity, Reads(kinds.DURATION, above=0.0, most=86_400.0)]
    starts_a_day: Annotated[Quantity, Reads(kinds.STARTS_A_DAY, above=0.0, most=1.0)]
    handle_force: Annotated[Quantity, Reads(kinds.FORCE, above=0.0, most=2000.0)]
    storage_temperature: WaterTemperature


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
    module: ModuleTable | None = None
    array: tuple[ArrayTable, ...] = ()
    power: PowerTable
    water_heater: WaterHeaterTable | None = None
    sun: SunTable
    limits: LimitsTable
