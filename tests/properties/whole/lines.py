"""What makes each rule worse: a site and a worsening by which a verdict of the rule gets worse."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from wellsolar.studies.case import Section


class Line(NamedTuple):
    """A site by its name, what is made worse of it, and what to set before.

    sections: in which the rule is judged
    start: key paths and values as `--with` takes them
    """

    site: str
    worsening: str
    sections: tuple[Section, ...] = ("pump", "tank", "hand")
    start: Mapping[str, object] = {}


SUPPLY: tuple[Section, ...] = ("supply",)
HEAT: tuple[Section, ...] = ("heat",)
MATCH: tuple[Section, ...] = ("match",)
OUTAGE: tuple[Section, ...] = ("outage",)

HUT = {"well.static_level": "4.9 m", "site.altitude": "0 m"}
"""A suction pump that works."""

SHALLOW = {
    "well.static_level": "12 ft", "well.tested_pumping_level": "14 ft",
    "well.tested_yield": "12 gpm",
}  # fmt: skip
"""Water within the reach of a pump that sucks."""

STEPS = {"flow": "3, 6, 9, 12 gpm", "drawdown": "6, 12.5, 20, 28 ft"}
"""A step test of a well that loses little."""

TREND = {"well.drawdown_test.trend_after": 1.0}
"""Told, so that the site is not studied again at the ends of what it could be."""

LONG_TEST = {
    "well.drawdown_test.time": "20, 50, 90, 120, 200, 300, 450, 700, 1000, 1500 min",
    **TREND,
}
READINGS = {
    "well.drawdown_test": {
        "flow": "8 gpm",
        "time": "2, 6, 20, 60, 240, 1440 min",
        "level": "62, 64, 67, 70, 73, 76 ft",
        "trend_after": 1.0,
    }
}
CHANGED_OVER = {"power.pump_changeover": True}

HOTTER = {"water_heater.high_limit": "190 degF"}

_ELEMENT = "water_heater.element[1]"
TRACKING = {f"{_ELEMENT}.coupling": "tracking", f"{_ELEMENT}.tracker_maximum": "2000 W"}
RELAYS = {
    f"{_ELEMENT}.coupling": "switched",
    f"{_ELEMENT}.switched_resistances": "12.8, 25.6 ohm",
    f"{_ELEMENT}.switch_irradiances": "750 W/m2",
}
SURPLUS = {f"{_ELEMENT}.fed_by": "inverter"}
SWITCHED = {f"{_ELEMENT}.surplus_switch": "relay", f"{_ELEMENT}.surplus_switch_current": "25 A"}

LINES: dict[str, Line] = {
    # Pumps and their well
    "reaches cut-out": Line("ridge_house", "a much weaker pump"),
    "holds its pressure": Line("vfd", "a much weaker pump"),
    "delivers": Line(
        "village_borehole", "a much weaker pump", start={"piping.tank_elevation": "30 m"}
    ),
    "on its curve": Line("ridge_house", "a sheet of fewer points"),
    "efficiency": Line("ridge_house", "a sheet that promises too much"),
    "yield": Line("creek_cabin", "less yield"),
    "submergence": Line("twoatonce", "less yield"),
    "above the bottom": Line("precharge", "a shallower well"),
    "pipe velocity": Line("starter", "a narrower lateral"),
    "check valve opening": Line(
        "starter",
        "a check valve that opens late",
        start={"piping.fittings[2].opening_velocity": "2 ft/s"},
    ),
    "day's water": Line("village_borehole", "far more use"),
    "motor load": Line(
        "ridge_house",
        "a motor without a service factor",
        start={"pump[1].power": "980, 1160, 1280, 1350, 1380 W"},
    ),
    "pump breaker": Line("ridge_house", "a breaker too small"),
    "peak flow": Line("ridge_house", "more taps at once"),
    "booster's peak": Line("poor_well", "more taps at once", start={"demand.peak_flow": "12 gpm"}),
    "filling run": Line(
        "poor_well", "floats close together", start={"storage_tank.volume": "50 gal"}
    ),
    "booster runs dry": Line(
        "poor_well", "no low float", start={"pump[2].dry_run_protection": False}
    ),
    "air gap": Line("poor_well", "a filling pipe in the water"),
    "overflow": Line("poor_well", "an overflow without a screen"),
    "tank cover": Line("poor_well", "an open storage tank"),
    "pressure by gravity": Line(
        "uphill", "a storage tank lower down", start={"storage_tank.elevation": "52 ft"}
    ),
    "prime": Line("basement_jet", "no foot valve"),
    "suction lift": Line("halfgpm", "deeper water", start=SHALLOW),
    "net positive suction head": Line(
        "halfgpm",
        "a suction pump that needs more",
        start={
            **SHALLOW,
            "piping.drop_pipe.size": "2 in",
            "pump[2].required_suction_head": "9 ft",
        },
    ),
    "motor cooling": Line(
        "starter", "a pump without a shroud", start={"pump[1].rated_power": "3 hp"}
    ),
    "fits the casing": Line("twoatonce", "a narrower casing"),
    "runs dry": Line("twoatonce", "less yield"),
    "day's water from the well": Line("village_borehole", "far more use"),
    "well loss": Line(
        "ridge_house", "more turbulence in the well", start={"well.step_test": STEPS}
    ),
    "test fit": Line("creek_cabin", "less yield"),
    "frost": Line("ridge_house", "deeper frost"),
    "frost in the hand pump": Line("ridge_house", "no frost drain"),
    "priming": Line(
        "high_pass", "a hand pump to be primed", start={"hand_pump.needs_priming": False}
    ),
    "check valve's place": Line("ridge_house", "a check valve in the house"),
    "suction line": Line(
        "starter",
        "a buried suction line",
        start={"pump[1].kind": "suction", "pump[1].suction_line": "exposed"},
    ),
    "well head": Line("ridge_house", "a flood"),
    "setback": Line("ridge_house", "a nearer septic tank"),
    "freezing": Line("ridge_house", "a pressure tank where it freezes"),
    "holds over the ranges": Line("ridge_house", "a much weaker pump", ("ranges",)),
    "length of the test": Line("creek_cabin", "a shorter test", start=LONG_TEST),
    "test in another well": Line("smallest", "readings in another well", start=READINGS),
    # Several pumps at once
    "pumps at once on the well": Line("ridge_house", "no changeover switch", start=CHANGED_OVER),
    "pumps at once in the pipe": Line(
        "ridge_house",
        "no changeover switch",
        start={**CHANGED_OVER, "limits.velocity": "3 ft/s"},
    ),
    "pumps at once on the inverter": Line("twoatonce", "a smaller inverter"),
    "pumps that start at once": Line(
        "twoatonce",
        "a smaller surge",
        start={"power.pump_changeover": False, "power.inverter_surge": "30 kVA"},
    ),
    "pumps at once on the generator": Line(
        "twoatonce", "a smaller generator", start={"power.generator_rating": "20 kVA"}
    ),
    # Pressure
    "drop pipe pressure": Line("ridge_house", "a drop pipe of a low class"),
    "lateral pressure": Line("ridge_house", "a lateral of a low class"),
    "deep setting": Line("starter", "a pump hung far deeper"),
    "tank relief": Line("ridge_house", "a tank for less pressure"),
    "house pressure": Line("ridge_house", "a higher cut-out"),
    "jet lift": Line(
        "two_pipe_jet",
        "deeper water",
        start={"pump[1].intake_depth": "85 ft", "well.static_level": "62 ft"},
    ),
    "valve setting": Line("throttled", "a valve set to cut-out"),
    "pressure before the valve": Line("throttled", "a valve that bears less"),
    "least flow": Line("throttled", "a valve that shuts farther"),
    "drive's precharge": Line("vfd", "far too little precharge"),
    "precharge": Line("ridge_house", "too much precharge"),
    "run time": Line("ridge_house", "a smaller tank"),
    "starts an hour": Line("ridge_house", "a much smaller tank"),
    "starts a day": Line("ridge_house", "fewer starts allowed"),
    # Motors and their supply
    "voltage drop": Line("creek_cabin", "thinner pump cable", start=TREND),
    "motor conductor": Line("precharge", "thinner pump cable"),
    "inverter surge": Line("ridge_house", "a smaller surge"),
    "inverter rating": Line("twoatonce", "a smaller inverter"),
    "supply phases": Line("ridge_house", "three phases"),
    "supply voltage": Line("ridge_house", "an inverter of another voltage"),
    "voltage at start": Line(
        "precharge", "thinner pump cable", start={"pump[1].cable.length": "600 ft"}
    ),
    "generator start": Line("vfd", "a smaller generator"),
    # Hands
    "hand suction lift": Line("high_pass", "higher in the mountains", start=HUT),
    "cylinder under water": Line("ridge_house", "a cylinder less deep"),
    "depth of the hand pump": Line("ridge_house", "a pump made for less depth"),
    "stretch of the rods": Line("village_borehole", "thinner rods"),
    "maker's discharge table": Line(
        "starter",
        "a maker that promises more",
        start={
            "hand_pump.discharge_head": "91 ft",
            "hand_pump.discharge_flow": "2.9 gpm",
            "hand_pump.discharge_power": "75 W",
        },
    ),
    "handle force": Line("ridge_house", "a longer lever arm of the load"),
    "hand travel": Line("ridge_house", "a longer stroke"),
    "relief at the hand pump": Line(
        "ridge_house",
        "no relief valve at the hand pump",
        start={"hand_pump.relief_pressure": "75 psi"},
    ),
    "closed well": Line("starter", "a bucket in the well"),
    "stroke rate": Line("ridge_house", "faster strokes"),
    "survival by hand": Line("village_borehole", "more people"),
    "bucket time": Line("ridge_house", "a shorter stroke"),
    "hand into the tank": Line("ridge_house", "a longer lever arm of the load"),
    "reach of the lift": Line("starter", "water much deeper"),
    "figures of the lift": Line("starter", "a lift said to waste nothing"),
    "survival by this lift": Line("starter", "far more people"),
    # Arrays of pumps
    "array for the pump": Line("village_borehole", "fewer modules in series", SUPPLY),
    "battery for the pump": Line(
        "creek_cabin", "far more use", SUPPLY, {"power.battery_energy": "0.5 kWh"}
    ),
    "days short": Line("village_borehole", "trees", SUPPLY),
    "days short of the storage tank": Line("hill_tank", "far more use", SUPPLY),
    "storage tank through the night": Line("hill_tank", "far more use", SUPPLY),
    "modules on hand": Line("starter", "fewer modules on hand", SUPPLY),
    "module's sheet": Line("dcbrushless", "weaker modules", SUPPLY),
    # Hot water
    "cold open-circuit voltage": Line("south_slope", "more modules in series", HEAT),
    "thermal expansion": Line("south_slope", "a cold side that is closed", HEAT),
    "thermostat on direct current": Line("south_slope", "bare contacts for direct current", HEAT),
    "element load": Line("south_slope", "more modules in series", HEAT, {"array[1].parallel": 3}),
    "pv overcurrent": Line("south_slope", "a fuse too large", HEAT),
    "pv conductor": Line("south_slope", "a hotter roof", HEAT),
    "motor overload": Line("ridge_house", "no overload protection", ("pump",)),
    "ground-fault breaker": Line("south_slope", "no ground-fault breaker", ("pump",)),
    "bonding at the well": Line(
        "ridge_house", "a well whose metal is bonded to nothing", ("pump",)
    ),
    "high limit on grid or inverter": Line("ridge_house", "one high limit for two supplies", HEAT),
    "currents apart in the heater": Line("ridge_house", "currents in one wiring space", HEAT),
    "supplies kept apart": Line("ridge_house", "nothing between the supplies", ("pump",)),
    "neutral bond": Line("starter", "a generator bonded twice", ("pump",)),
    "isolator": Line("south_slope", "an isolator of less voltage", HEAT),
    "ground fault": Line("south_slope", "no ground-fault protection", HEAT),
    "arc fault": Line("south_slope", "no arc-fault protection", HEAT),
    "rapid shutdown": Line("south_slope", "no rapid shutdown", HEAT),
    "storage temperature": Line("south_slope", "a colder thermostat", HEAT),
    "mixing valve": Line("south_slope", "a hotter mixing valve", HEAT),
    "scald protection at fixtures": Line("south_slope", "no valves at the fixtures", HEAT),
    "mixing-valve standard": Line("south_slope", "a mixing valve for another place", HEAT),
    "high limit": Line("south_slope", "a hotter thermostat", HEAT),
    "overheating": Line("south_slope", "without water_heater.high_limit", HEAT),
    "relief valve": Line("south_slope", "without water_heater.relief_temperature", HEAT),
    "relief capacity": Line("south_slope", "a relief valve of less capacity", HEAT),
    "pressure at the relief valve": Line("south_slope", "a relief valve that opens early", HEAT),
    "boiling": Line("south_slope", "higher in the mountains", HEAT, HOTTER),
    "vacuum relief": Line("south_slope", "a tank above its taps", HEAT),
    "reaches temperature": Line("south_slope", "far too few modules", HEAT),
    "share from PV": Line("south_slope", "trees", HEAT),
    "hot water in the evening": Line("south_slope", "less sun", HEAT),
    "hot evenings by the sun": Line("south_slope", "less sun", HEAT, {"aim.sun_evenings": "80 %"}),
    "hot water stored": Line("south_slope", "more hot water at each draw", HEAT),
    "thermostat setting": Line("south_slope", "a thermostat far too cold", HEAT),
    "matched to the array": Line("south_slope", "an element too large", MATCH),
    "mixing-valve supply": Line("south_slope", "a hotter high limit", HEAT),
    "high limit on direct current": Line(
        "south_slope", "one contact for thermostat and high limit", HEAT
    ),
    "electronics on the array": Line(
        "south_slope",
        "more modules in series",
        MATCH,
        {**TRACKING, f"{_ELEMENT}.tracker_greatest_input": "200 V"},
    ),
    "operating voltage": Line("south_slope", "a drive that starts at more volts", SUPPLY),
    "array's direction": Line("south_slope", "modules that look north", SUPPLY),
    "tracking electronics": Line(
        "south_slope", "a tracker said to waste nothing", MATCH, TRACKING
    ),
    "switching thresholds": Line("south_slope", "relays that switch too soon", MATCH, RELAYS),
    "modules of the tank used": Line("south_slope", "an element too small", ("heat ranking",)),
    "surplus for the element": Line("south_slope", "more use of the battery", MATCH, SURPLUS),
    "element on the inverter": Line("south_slope", "a smaller inverter", MATCH, SURPLUS),
    "switch for the surplus": Line(
        "south_slope", "a relay that carries less", MATCH, {**SURPLUS, **SWITCHED}
    ),
    # Outages
    "water when one thing fails": Line("village_borehole", "more people", OUTAGE),
    "water in the worst outage": Line("village_borehole", "more people", OUTAGE),
    "water in an outage of the file": Line("starter", "a storm that takes all", OUTAGE),
}
"""By rule."""

READING = "judges what a meter shows on a day, not a site"

WITHOUT_LINE: dict[str, str] = {
    "reading": READING,
    "turnover of the storage tank": "a larger tank and less use, which help all else",
    "element by its reading": READING,
    "ordinary value": "asks whether a number is meant; how bad it is, the other rules judge",
    "time to a burn": "tells a time; whether it is long enough is the mixing valve's rule",
    "scald by its reading": READING,
    "pressure by its reading": READING,
    "guard by its test": READING,
}
"""Rules that no worsening of a site makes worse, each with the reason."""
