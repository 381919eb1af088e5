"""Where two things that a file says meet in one rule: its sites, how the rule stands then, what
it asks for and a piece of what it tells. Beside the limits of `sides.py`, one by one."""

from __future__ import annotations

from tests.properties.whole.sides import (
    CLEAR,
    DRY,
    ELEMENT,
    HL,
    HP,
    NO_VALVE,
    POLES,
    PUMP,
    SECOND,
    STORM,
    TANK_2,
    VALVE,
    State,
    States,
)

SUN_KEY = "sun.monthly"
DRY_RUN, YIELDS = f"{PUMP}.dry_run_protection", "well.specific_capacity"
INTAKE, DEPTH = f"{PUMP}.intake_depth", "well.depth"
SET, FULL, GUARD = (
    f"{PUMP}.{key}" for key in ("overload_current", "full_load_current", "overload")
)
GROUND, EDITION = f"{PUMP}.ground_fault_breaker", "site.code_edition"
VOLTS, AMPS = f"{ELEMENT}.switch_voltage", f"{ELEMENT}.switch_current"
HIGH_VOLTS, HIGH_AMPS = f"{ELEMENT}.high_limit_voltage", f"{ELEMENT}.high_limit_current"
COLD, HIGH = "sun.record_low", "water_heater.high_limit"
ROOM, USUAL = "water_heater.coldest_room", "water_heater.room_temperature"
PLACE, ADAPTER = "piping.check_valve_place", "piping.pitless_depth"
FREEZES = "piping.frost_depth"
BREAKS, BREAKS_AMPS, BREAKS_POLES = (
    f"array[2].isolator_{key}" for key in ("voltage", "current", "poles")
)
STOPS, STOPPED = "storage_tank.stops_below", "pump[2].dry_run_protection"
OPENS_AT = [
    {"kind": "check valve", "count": 1, "opening_velocity": f"{speed} ft/s"}
    for speed in (0.5, 0.99)
]
WARM = ", ".join(["25"] * 12) + " degC"
PLATE, OPENS, BEARS = (
    f"water_heater.{key}" for key in ("working_pressure", "relief_pressure", "relief_temperature")
)
MONTHLY = ", ".join(["4"] * 5 + ["2"] + ["4"] * 6) + " kWh/m2/day"
FAULT = "array[2].ground_fault_protection"
SEALED = "lift[1].shares_casing"

JOINED = (
    States("pumps", "steady", {}, (
        # 10 gpm pass at 0.956 ft/s; the valve that asks for more is told, wherever it stands.
        State("check valve opening", "caution", {"piping.fittings": OPENS_AT}, told="0.99 ft/s"),
        State("check valve opening", "caution", {"piping.fittings": OPENS_AT[::-1]},
              told="0.99 ft/s"),
        # 10 gpm draw it down by 11.1 ft; at rest 11 ft or 5 ft stand over the intake, of 10.
        State("submergence", "caution", {YIELDS: "0.9 gpm/ft", INTAKE: "71 ft", DRY_RUN: True},
              told="dry-run protection stops it each time"),
        State("submergence", "fail", {YIELDS: "0.9 gpm/ft", INTAKE: "71 ft", DRY_RUN: False},
              told="it draws air"),
        State("submergence", "fail", {INTAKE: "65 ft", DRY_RUN: True}, told="it draws air"),
        # 5 gpm leave 10 ft over 75 ft, 7 gpm over 77 ft, 5 ft above the bottom.
        State("submergence", "caution", {DEPTH: "82 ft", INTAKE: "75 ft"}),
        State("submergence", "fail", {INTAKE: "65 ft", DEPTH: "82 ft"}),
        State("submergence", "fail", {INTAKE: "65 ft", DEPTH: "73 ft"}),
        State("submergence", "caution", {
            DEPTH: "82 ft", INTAKE: "75 ft", "well.tested_yield": "3 gpm"}),
        State("motor cooling", "pass", {HP: None}, told="below 3 hp"),
        State("motor cooling", "unknown", {HP: None, f"{PUMP}.power": None,
              f"{PUMP}.efficiency": "30 %"}, asks=(HP,), told="of a larger one more"),
        State("motor cooling", "unknown", {
            HP: "3 hp", "well.casing_bore": None}, asks=("well.casing_bore",)),
        State("pump breaker", "caution", {
            f"{PUMP}.breaker": "9.9 A", f"{PUMP}.start": "variable speed"}),
        State("motor overload", "unknown", {GUARD: "in a starter"}, asks=(SET, FULL)),
        State("motor overload", "unknown", {GUARD: "in a starter", SET: "11 A"}, asks=(FULL,)),
        State("motor overload", "unknown", {GUARD: "in a starter", FULL: "10 A"}, asks=(SET,)),
        State("motor overload", "pass", {GUARD: "in the motor"}, told="a protector in the motor"),
        State("motor overload", "pass", {GUARD: "in its box"}, told="its control box"),
        State("ground-fault breaker", "unknown", {}, asks=(GROUND, EDITION)),
        State("ground-fault breaker", "unknown", {GROUND: False}, asks=(EDITION,)),
        State("ground-fault breaker", "unknown", {EDITION: 2023}, asks=(GROUND,)),
        State("supply phases", "unknown", {f"{PUMP}.phases": 3},
              asks=("power.inverter_phases", "power.grid_phases")),
        State("supply phases", "unknown", {f"{PUMP}.phases": 3, "power.inverter_phases": 3},
              asks=("power.grid_phases",)),
        State("neutral bond", "unknown", {"power.generator_rating": "5 kVA"},
              asks=("power.generator_neutral", "power.transfer_neutral")),
        State("voltage at start", "unknown", {
            f"{PUMP}.cable": None, f"{PUMP}.locked_rotor_current": None, HP: None},
              asks=(f"{PUMP}.cable", f"{PUMP}.locked_rotor_current")),
        State("voltage at start", "unknown", {f"{PUMP}.cable": None}, asks=(f"{PUMP}.cable",)),
        State("voltage at start", "pass", {
            f"{PUMP}.cable": None, f"{PUMP}.start": "variable speed"}),
    )),
    States("well", "steady", {}, (
        State("check valve's place", "fail", {PLACE: "buried line", ADAPTER: "0 ft"},
              told="the buried line"),
        State("check valve's place", "fail", {PLACE: "house"}, told="all of the line"),
        State("check valve's place", "pass", {PLACE: "pump"}, told="on the pump"),
        State("check valve's place", "pass", {PLACE: "casing"}, told="inside the casing"),
        State("well head", "pass", {"well.casing_height": None}),
        State("well head", "unknown", {"well.flood_height": "1 ft"},
              asks=("well.casing_height",)),
        State("well head", "pass", {"well.flood_height": "0 ft"}),
        State("well head", "pass", {"well.flood_height": "0 ft", "well.casing_height": "12 in"}),
    )),
    States("frost", "steady", {}, (
        State("freezing", "unknown", {}, asks=("pressure_tank.coldest_room",)),
        State("freezing", "pass", {COLD: "5 degC"}),
        State("freezing", "unknown", {COLD: "-5 degC"}),
        State("freezing", "pass", {"sun.temperature": WARM}),
        State("freezing", "unknown", {"sun.temperature": WARM, COLD: "-5 degC"}),
        State("freezing", "unknown", {"sun.temperature": WARM.replace("25", "12", 1)}),
        State("frost", "unknown", {FREEZES: None, ADAPTER: None}, asks=(FREEZES, ADAPTER)),
        State("frost", "unknown", {FREEZES: None}, asks=(FREEZES,)),
        State("frost", "unknown", {FREEZES: "42 in", ADAPTER: None}, asks=(ADAPTER,)),
        State("frost", "pass", {FREEZES: None, COLD: "5 degC"}),
    )),
    States("frost", "south_slope", {}, (
        # The colder of both rooms, where the file tells of both.
        State("freezing", "fail", {ROOM: "30 degF"}, told="30 °F"),
        State("freezing", "caution", {ROOM: "50 degF", USUAL: "36 degF"}, told="36 °F"),
        State("freezing", "caution", {ROOM: "35 degF", USUAL: "36 degF"}, told="35 °F"),
    )),
    States("lifts", "by_hand", {}, (
        State("closed well", "fail", {"lift[1].kind": "bucket and windlass", SEALED: True},
              told="each bucket carries"),
        State("closed well", "caution", {"lift[1].kind": "bucket and windlass", SEALED: False},
              told="an open well"),
        State("closed well", "fail", {"lift[1].kind": "rope pump", SEALED: True},
              told="go through the cap"),
    )),
    States("pumps", "poor_well", {}, (
        State("booster runs dry", "caution", {STOPS: "0 %", STOPPED: None}),
        State("booster runs dry", "caution", {STOPS: None, STOPPED: False}),
        State("booster runs dry", "pass", {STOPS: "0 %", STOPPED: True}, told="dry-run"),
        State("booster runs dry", "unknown", {STOPS: None, STOPPED: None}, asks=(STOPS, STOPPED)),
        State("filling run", "caution", {"storage_tank.volume": "4 gal"}),
        State("overflow", "fail", {"storage_tank.overflow": "open"}, told="it ends open"),
        State("overflow", "fail", {"storage_tank.overflow": "none"}, told="it has none"),
        State("overflow", "pass", {"storage_tank.overflow": "screened"}, told="behind a screen"),
        State("tank cover", "pass", {"storage_tank.covered": True}, told="a tight cover"),
        State("tank cover", "fail", {"storage_tank.covered": False}, told="it stands open"),
    )),
    States("pumps", "uphill", {}, (
        State("pressure by gravity", "unknown", {
            "demand.peak_flow": None, "storage_tank.gravity_line": None},
              asks=("demand.peak_flow", "storage_tank.gravity_line")),
    )),
    States("arrays", "south_slope", {**DRY, EDITION: 2017}, (
        # 273 V in the cold, 12.1 A in bright sun; open at 25 degC 239 V.
        State("isolator", "fail", {BREAKS: "250 V", BREAKS_AMPS: None}, told="breaks 250 V; the"),
        State("isolator", "fail", {BREAKS: None, BREAKS_AMPS: "10 A"}, told="breaks 10.0 A; the"),
        State("isolator", "fail", {BREAKS: "250 V", BREAKS_AMPS: "10 A"},
              told="breaks 250 V and 10.0 A"),
        State("isolator", "unknown", {BREAKS: None, BREAKS_AMPS: None},
              asks=(BREAKS, BREAKS_AMPS)),
        State("isolator", "unknown", {BREAKS: "300 V", BREAKS_AMPS: None}, asks=(BREAKS_AMPS,)),
        State("isolator", "unknown", {BREAKS: None}, asks=(BREAKS,)),
        State("isolator", "unknown", {COLD: None, BREAKS: "260 V"}, asks=(COLD,)),
        State("isolator", "fail", {COLD: None, BREAKS: "260 V", BREAKS_AMPS: "10 A"}),
        State("isolator", "fail", {COLD: None, BREAKS: "230 V"}),
        State("isolator", "fail", {BREAKS: "250 V", BREAKS_POLES: None}),
        State("isolator", "fail", {BREAKS: "250 V", BREAKS_POLES: 1,
                                   "array[2].grounding": "solid"}, told="breaks 250 V"),
        State("isolator", "unknown", {BREAKS_POLES: 1}, asks=("array[2].grounding",)),
        State("isolator", "unknown", {
            BREAKS_POLES: 1, "array[2].grounding": "functional", EDITION: None}, asks=(EDITION,)),
        State("isolator", "pass", {
            BREAKS_POLES: 1, "array[2].grounding": "solid", EDITION: None}),
        # A fuse of 15 A for each row by the modules' label of 20 A, 12.1 A of each other row.
        State("pv overcurrent", "fail", {"array[2].parallel": 3}),
        State("pv overcurrent", "pass", {"array[2].parallel": 2}, told="2 rows of modules"),
        State("pv overcurrent", "pass", {}, told="one row of modules and no other source"),
    )),
    States("heated_tank", "south_slope", DRY, (
        # 182 V in the cold, 12.1 A in bright sun; open at 25 degC 160 V, in the worst cold 200 V.
        State("thermostat on direct current", "fail", {VOLTS: "150 V", AMPS: None},
              told="breaks 150 V of"),
        State("thermostat on direct current", "fail", {VOLTS: None, AMPS: "10 A"},
              told="breaks 10.0 A of"),
        State("thermostat on direct current", "fail", {VOLTS: "150 V", AMPS: "10 A"},
              told="breaks 150 V and 10.0 A of"),
        State("thermostat on direct current", "unknown", {VOLTS: None, AMPS: None},
              asks=(VOLTS, AMPS)),
        State("thermostat on direct current", "unknown", {VOLTS: "190 V", AMPS: None},
              asks=(AMPS,)),
        State("thermostat on direct current", "unknown", {COLD: None, VOLTS: "190 V"},
              asks=(COLD,)),
        State("thermostat on direct current", "unknown", {COLD: None, VOLTS: "190 V", AMPS: None},
              asks=(COLD, AMPS)),
        State("thermostat on direct current", "fail", {COLD: None, VOLTS: "190 V", AMPS: "10 A"}),
        State("high limit on direct current", "fail", {
            HIGH_VOLTS: "150 V", HIGH_AMPS: None}, told="breaks 150 V of"),
        State("high limit on direct current", "fail", {
            HIGH_VOLTS: None, HIGH_AMPS: "10 A"}, told="breaks 10.0 A of"),
        State("high limit on direct current", "unknown", {HIGH_VOLTS: None, HIGH_AMPS: None},
              asks=(HIGH_VOLTS, HIGH_AMPS)),
        State("high limit on direct current", "fail", {HIGH_VOLTS: "150 V", POLES: None}),
        State("high limit on direct current", "fail", {HIGH_VOLTS: "150 V", POLES: 1}),
        State("high limit on direct current", "fail", {HL: "DC", HIGH_VOLTS: "150 V"},
              told="its contacts break 150 V"),
        State("high limit on direct current", "fail", {HL: "same relay"}, told="welds"),
        State("high limit on direct current", "fail", {HL: "nothing"}, told="opens nothing"),
        State("overheating", "unknown", {}, asks=("site.latitude",)),
        State("overheating", "unknown", {HIGH: None}, asks=("site.latitude", HIGH)),
        State("relief valve", "unknown", {BEARS: None, OPENS: None, PLATE: None},
              asks=(BEARS, OPENS)),
        State("relief valve", "unknown", {OPENS: None, PLATE: None}, asks=(OPENS, PLATE)),
        State("relief valve", "fail", {BEARS: None, OPENS: "160 psi"}, told="160 psi"),
        State("pressure at the relief valve", "unknown", {OPENS: None}, asks=(OPENS,)),
        State("vacuum relief", "unknown", {
            "water_heater.vacuum_relief": None, "water_heater.above_fixtures": None},
              asks=("water_heater.above_fixtures", "water_heater.vacuum_relief")),
        State("vacuum relief", "unknown", {
            "water_heater.vacuum_relief": False, "water_heater.above_fixtures": None},
              asks=("water_heater.above_fixtures",)),
        State("mixing valve", "fail", {**NO_VALVE, "water_heater.fixture_valves": True},
              told="that burns"),
        State("mixing-valve supply", "unknown", {
            f"{VALVE}.standard": None, f"{VALVE}.greatest_supply": None},
              asks=(f"{VALVE}.standard",)),
        State("mixing-valve supply", "unknown", {
            f"{VALVE}.standard": "ASSE 1070", f"{VALVE}.greatest_supply": None},
              asks=(f"{VALVE}.greatest_supply",)),
        State("mixing-valve supply", "unknown", {HIGH: None}, asks=(HIGH,)),
        State("mixing-valve supply", "caution", {HIGH: "190 degF"}, told="its standard allows"),
        State("mixing-valve supply", "fail", {f"{VALVE}.greatest_supply": "160 degF"},
              told="its maker allows"),
        State("mixing-valve standard", "pass", {f"{VALVE}.outlet": "125 degF"}),
        State("scald protection at fixtures", "caution", {
            f"{VALVE}.standard": None, "water_heater.fixture_valves": False},
              told="a valve at the tank alone"),
        State("scald protection at fixtures", "caution", {"water_heater.fixture_valves": False},
              told="ASSE 1017 alone"),
        State("storage temperature", "caution", {**SECOND, f"{TANK_2}.thermostat": "130 degF"},
              told="below 140 °F"),
        State("element load", "pass", {f"{ELEMENT}.count": 2}, told="each of the elements"),
        State("element load", "pass", {}, told="at an element"),
    )),
    States("heated_tank", "south_slope", {}, (
        State("overheating", "fail", {f"{ELEMENT}.thermostat": None, HIGH: None},
              told="no thermostat and no high limit is named"),
        State("overheating", "pass", {VOLTS: "150 V"}),
        State("overheating", "pass", {}, told="thermostat and high limit stop it"),
        State("overheating", "unknown", {VOLTS: None, AMPS: None, HIGH_VOLTS: None},
              asks=(VOLTS, AMPS)),
    )),
    States("pumps", "two", {}, (
        # 20 gpm draw it down by 50 ft of the 40 ft that stand over the intakes: 16 gpm are borne.
        State("pumps at once on the well", "fail", {YIELDS: "0.4 gpm/ft"}, told="the well gives"),
        State("pumps at once on the well", "fail", {
            YIELDS: "0.4 gpm/ft", "well.tested_yield": None}, told="at once; with"),
        State("pumps at once on the well", "unknown", {YIELDS: None, "well.tested_yield": None},
              asks=("well.tested_yield",)),
        State("pumps at once on the well", "pass", {"well.tested_yield": None},
              told="at once; the"),
        State("pumps at once on the well", "pass", {YIELDS: None}, told="of the well's"),
        State("pumps at once on the well", "fail", {
            "well.tested_yield": "19 gpm", DRY_RUN: True}, told="more than the well's"),
        State("pumps at once on the well", "caution", {
            "well.tested_yield": "19 gpm", DRY_RUN: True, STOPPED: True}, told="stops each"),
        State("pumps at once on the well", "pass", {
            "power.pump_changeover": None, "power.pumps_run": "alternating"}, told="in turn"),
        State("pumps at once on the well", "fail", {
            "power.pump_changeover": None, "power.pumps_run": "at once",
            "well.tested_yield": "19 gpm"}),
    )),
    # The last of several points ends a curve.
    States("pumps", "steady", {
        f"{PUMP}.flow": "0, 5, 10 gpm", f"{PUMP}.head": "220, 210, 191 ft",
        f"{PUMP}.power": "1000, 1000, 1000.1 W"}, (
        State("on its curve", "caution", {"piping.tank_elevation": "28 ft"},
              told="more than 10.0 gpm"),
        State("on its curve", "pass", {"piping.tank_elevation": "29 ft"}),
    )),
    States("casing", "twoatonce", {}, (
        State("fits the casing", "unknown", {"well.casing_bore": None},
              asks=("well.casing_bore",)),
        State("fits the casing", "unknown", {
            "well.casing_bore": None, "pump[1].diameter": None, "pump[2].diameter": None},
              asks=("well.casing_bore", "pump[1].diameter")),
        State("fits the casing", "unknown", {
            "pump[1].diameter": None, "pump[2].diameter": None},
              asks=("pump[1].diameter", "pump[2].diameter")),
    )),
    States("outages", "steady", STORM.given, (
        *(
            State("water in an outage of the file", "pass", {
                "demand.survival_use": "100 L/day", "outage": [
                    {"name": "storm", "failed": ["grid", "inverter"], "days": days}]}, told=told)
            for days, told in ((1, "a day for 1 day;"), (2, "a day for 2 days;"))
        ),
    )),
    States("supply", "sunny", {}, (
        # 2.2385 kWh over 2 h of sun in the darkest month, derated to 75 %, of 300 W each.
        State("array for the pump", "fail", {"sun.monthly": MONTHLY},
              told="over 2.00 kWh/m² in the darkest month"),
        State("array for the pump", "unknown", {"array": None}, asks=("array",)),
    )),
    States("hand_pump", "by_hand", {}, (
        State("handle force", "pass", {}, told="the hand pulls"),
        State("handle force", "pass", {"hand_pump.people_pumping": 2}, told="each of two pulls"),
        State("survival by hand", "pass", {}, told="one person"),
        State("survival by hand", "pass", {}, told="at 60 W"),
        State("survival by hand", "pass", {"hand_pump.people_pumping": 2}, told="two people"),
    )),
    States("heated_tank", "ridge_house", DRY, (
        State("high limit on grid or inverter", "unknown", {
            "water_heater.element[2].high_limit_switches": None},
              asks=("water_heater.element[2].high_limit_switches",)),
        State("high limit on grid or inverter", "pass", {}, told="contacts of its own"),
    )),
    States("arrays", "south_slope", {**DRY, EDITION: 2017}, (
        State("ground fault", "unknown", {FAULT: None, **CLEAR},
              asks=(FAULT, "array[2].grounding")),
        State("ground fault", "unknown", {FAULT: False, **CLEAR}, asks=("array[2].grounding",)),
        State("ground fault", "unknown", {FAULT: False, **CLEAR, EDITION: None},
              asks=("array[2].grounding", EDITION)),
    )),
    # Of more that lack the first two.
    States("matching", "south_slope", {}, (
        State("matched to the array", "unknown", {"sun": None}, asks=(SUN_KEY,)),
        State("matched to the array", "unknown", {"sun": None, "module": None},
              asks=("module", SUN_KEY)),
    )),
    States("heated_tank", "south_slope", DRY, (
        State("pv overcurrent", "pass", {"array[1].overcurrent": "20 A"},
              told="the 15.2 A required and no more than its wire allows"),
        # No valve that is sold carries so much.
        State("relief capacity", "fail", {**SECOND, f"{TANK_2}.rated_power": "100 kW"}),
    )),
    States("heated_tank", "south_slope", {}, (
        State("share from PV", "unknown", {
            "site.latitude": None, "sun": None, "water_heater.draw": None, "site.people": None},
              asks=("site.latitude", SUN_KEY)),
    )),
)  # fmt: skip
