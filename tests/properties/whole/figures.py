"""The other figures of verdicts at their limits: what stands in a reason and a remedy beside
quantity and limit, worked out from the plain sites as the limits are.

A head of water is marked as one; any other number of feet or metres is a length.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from tests.properties.whole.sides import ELEMENT, PUMP, TANK_2, VALVE

Written = Mapping[str, str]
NONE: Written = MappingProxyType({})


class Figures(NamedTuple):
    """What a verdict tells beside quantity and limit.

    breaks: the value beyond the limit of the row, as it stands there, or that with the key before
        or the limit behind it where two rows have it; empty for all of a rule
    reason, remedy: figures by their names; a remedy's changes by their keys
    """

    rule: str
    breaks: str
    reason: Written
    remedy: Written = NONE


CUT_IN, CUT_OUT, AIR, SIZE, COUNT = (
    "pressure_switch.cut_in", "pressure_switch.cut_out", "pressure_tank.precharge",
    "pressure_tank.volume", "pressure_tank.count",
)  # fmt: skip
INTAKE, LEVER, BORE, RODS = (
    f"{PUMP}.intake_depth",
    "hand_pump.lever_ratio",
    "hand_pump.bore",
    "hand_pump.rod_diameter",
)
USE, STORAGE, CELLAR = "demand.daily_use", "storage_tank.volume", "pressure_tank.coldest_room"
INVERTER, SURGE, GENERATOR = (
    f"power.{each}" for each in ("inverter_rating", "inverter_surge", "generator_rating")
)
GAUGE = f"{PUMP}.cable.gauge"
AT_PIPE, AT_LATERAL = "piping.drop_pipe", "piping.lateral"
HOT, HIGH = f"{ELEMENT}.thermostat", "water_heater.high_limit"

# What the next size sold is, is told by the tables of `data/`; what is asked, by what stands here.
ELSEWHERE = ""
"""What follows from weather, chance or a fit: tests of its study hold it."""

FIGURES = (
    Figures("booster's peak", "17.5 gpm", {}, {"peak": "17.5 gpm"}),
    # The floats of a tank of 17 gal lie a fifth of it apart; 3.43 gal are 20.2 %, below 95 %.
    Figures("filling run", "17 gal", {"gap": "3.4 gal", "flow": "3.43 gpm"},
            {"storage_tank.fills_below": "74 %"}),
    Figures("air gap", "", {}, {"storage_tank.air_gap": "4 in"}),
    # 260 gal in two hours; 88.4 gal are two hours of 0.737 gpm.
    Figures("peak flow", "262 gal", {"peak": "2.167 gpm", "wanted": "260 gal",
            "given": "88.4 gal"},
            {"sold": "300 gal", STORAGE: "300 gal"}),
    Figures("peak flow", "", {"given": "70 gal"}, {"sold": "100 gal", STORAGE: "100 gal"}),
    Figures("peak flow", "18.4 gal", {"peak": "12 gpm", "wanted": "84 gal"}),
    Figures("peak flow", "119.5 gal", {"peak": "13 gpm", "wanted": "91 gal"}),
    Figures("peak flow", "10.1 gpm", {"peak": "10.1 gpm", "wanted": "70.7 gal"}),
    Figures("pressure by gravity", "", {"peak": "5 gpm", "lost": "0 ft of head"}),
    Figures("pressure by gravity", "45.5 ft", {"lowest": "45.5 ft"}),
    Figures("pressure by gravity", "18.2 ft", {"lowest": "18.2 ft"}),
    Figures("check valve opening", "", {"flow": "10 gpm"}, {"speed": "0.956 ft/s"}),
    # 146.2 psi are 337.3 ft above 66 ft, 75 psi 173 ft above 263 ft; switches go by whole psi.
    Figures("reaches cut-out", "86.2 psi", {"flow": "10 gpm"},
            {"head": "403.3 ft of head", CUT_IN: "38 psi", CUT_OUT: "58 psi", AIR: "36 psi"}),
    Figures("reaches cut-out", "257 ft", {},
            {"head": "436 ft of head", CUT_IN: "24 psi", CUT_OUT: "44 psi", AIR: "22 psi"}),
    Figures("holds its pressure", "", {"flow": "10 gpm"},
            {"head": "403.3 ft of head", f"{PUMP}.held_pressure": "58 psi", AIR: "41 psi"}),
    Figures("on its curve", "28 ft", {}, {"last": "10 gpm"}),
    Figures("efficiency", "", {"water": "317.6 W", "power": "421 W"}),
    Figures("yield", "", {}, {"tested": "9.94 gpm"}),
    # 10 ft of cover over what 9.5 gpm draw down; else a hair more than 80 ft, by whole feet.
    Figures("submergence", "", {"flow": "10 gpm"}, {"depth": "81 ft", INTAKE: "81 ft"}),
    Figures("submergence", "79.5 ft", {}, {"flow": "9.5 gpm"}),
    Figures("submergence", "69.9 ft", {"bears": "9.9 gpm"}),
    Figures("submergence", "59.9 ft", {"intake": "59.9 ft", "static": "60 ft"}),
    Figures("above the bottom", "", {}, {"depth": "194.5 ft", INTAKE: "194 ft"}),
    Figures("pipe velocity", "", {}, {f"{AT_PIPE}.size": "1 1/4 in"}),
    Figures("day's water", "14480 gal/day", {"volume": "14480 gal"}, {"flow": "30.17 gpm"}),
    Figures("day's water", "4860 gal/day", {"volume": "4860 gal"}, {"flow": "10.125 gpm"}),
    Figures("day's water", "7240 gal/day", {}, {"most": "7200 gal", USE: "7200 gal/day"}),
    Figures("day's water from the well", "", {"starts": "0"},
            {"most": "14400 gal", USE: "14400 gal/day"}),
    # 64 % of 1645, 56 % of 1100 and 64 % of 1400 W.
    Figures("motor load", "1645, 1645, 1645.1 W", {"rated": "1 hp", "factor": "1.4"},
            {"needed": "1052.8 W", "sold": "1.5 hp"}),
    Figures("motor load", "1/2 hp", {"rated": "0.5 hp", "factor": "1.6"},
            {"needed": "616 W", "sold": "0.75 hp"}),
    Figures("motor load", "1.10", {"rated": "0.75 hp", "factor": "1.1"},
            {"needed": "0.833 hp", "sold": "0.75 hp"}),
    Figures("motor load", "1.19", {"rated": "1 hp", "factor": "1.19"},
            {"needed": "896 W", "sold": "1 hp"}),
    Figures("pump breaker", "", {"full": "8 A", "most": "20 A"}, {f"{PUMP}.breaker": "20 A"}),
    # 0.02228 ft3/s at 0.25 and at 0.22 ft/s, 0.014705 ft3/s at 0.5 ft/s round the motor.
    Figures("motor cooling", "3 hp",
            {"flow": "10 gpm", "motor": "3.75 in", "casing": "6 in"},
            {"bore": "5.514 in", "least": "13.43 gpm", f"{PUMP}.shroud": "true"}),
    Figures("motor cooling", "0.22 ft/s",
            {"flow": "10 gpm", "motor": "3.75 in", "casing": "6 in"},
            {"bore": "5.712 in", "least": "11.81 gpm", f"{PUMP}.shroud": "true"}),
    Figures("motor cooling", "6.6 gpm",
            {"flow": "6.6 gpm", "motor": "5.5 in", "casing": "6 in"},
            {"bore": "5.97 in", "least": "7.04 gpm", f"{PUMP}.shroud": "true"}),
    Figures("supply voltage", "", {}, {"pump": "230 V", "power.inverter_voltage": "230 V"}),
    Figures("inverter rating", "", {"current": "5.435 A"}, {"sold": "2 kVA", INVERTER: "2 kVA"}),
    # Four fifths of the surge, at 230 V.
    Figures("inverter surge", "", {"current": "40 A"}, {"sold": "12 kVA", SURGE: "12 kVA"}),
    Figures("inverter surge", "11.4 kVA", {}, {"allowed": "39.65 A"}),
    Figures("inverter surge", "9.1 kVA", {}, {"allowed": "31.65 A"}),
    Figures("motor overload", "", {"full": "10 A"}, {f"{PUMP}.overload_current": "11.5 A"}),
    Figures("ground-fault breaker", "", {"year": "2020"},
            {f"{PUMP}.ground_fault_breaker": "true"}),
    # 40 A where 1656 ft are the most; 5.435 A in twice 1665 ft lose 3.9 % in 6 AWG of 0.491 ohm in
    # 1000 ft, 2.4 % in 4 AWG of 0.308 ohm.
    Figures("voltage at start", "", {"current": "40 A", "length": "1665 ft", "gauge": "10 AWG"},
            {"current": "39.8 A", "gauge": "4 AWG", GAUGE: "4 AWG"}),
    Figures("motor conductor", "", {"gauge": "10 AWG"}, {"gauge": "8 AWG", GAUGE: "8 AWG"}),
    Figures("voltage drop", "", {"length": "100 ft", "drop": "1.348 V", "current": "5.435 A",
            "gauge": "10 AWG"},
            {"gauge": "8 AWG", GAUGE: "8 AWG"}),
    Figures("drop pipe pressure", "", {},
            {"up": "200 psi", f"{AT_PIPE}.pressure_class": "200 psi"}),
    Figures("lateral pressure", "148 psi", {},
            {"up": "160 psi", "relief": "75 psi", "pressure_tank.relief_pressure": "75 psi"}),
    Figures("lateral pressure", "79.2 psi", {},
            {"up": "80 psi", f"{AT_LATERAL}.pressure_class": "80 psi"}),
    Figures("deep setting", "", {}, {
        f"{AT_PIPE}.material": "galvanised steel", f"{AT_PIPE}.pressure_class": "1000 psi"}),
    # 3.83 kVA have 0.6005 of reactance: 1 / |0.6431 + 1.4005i| is 64.9 %.
    Figures("generator start", "3.83 kVA", {"current": "40 A", "dip": "35.1 %"},
            {"sold": "4 kVA", GENERATOR: "4 kVA"}),
    Figures("generator start", "1.24 kVA", {}, {"sold": "2 kVA", GENERATOR: "2 kVA"}),
    Figures("pumps at once on the well", "", {"together": "20 gpm"},
            {"power.pump_changeover": "true"}),
    Figures("pumps at once on the well", "19.8 gpm", {"tested": "19.8 gpm", "cover": "20 ft"}),
    Figures("pumps at once on the well", "89.5 ft", {"tested": "30 gpm", "cover": "9.5 ft"}),
    Figures("pumps at once in the pipe", "", {"together": "20 gpm"},
            {"power.pump_changeover": "true"}),
    Figures("pumps at once on the inverter", "", {},
            {"sold": "3 kVA", "exact": "2.5 kVA", "power.pump_changeover": "true"}),
    Figures("pumps that start at once", "", {},
            {"sold": "24 kVA", "exact": "23 kVA", "power.pump_changeover": "true"}),
    Figures("pumps at once on the generator", "", {},
            {"sold": "9 kVA", "exact": "7.7 kVA", "power.pump_changeover": "true"}),
    Figures("house pressure", "", {}, {"usual": "60 psi", "piping.reducing_valve": "60 psi"}),
    # Of 86 gal with 38 psi of air 25.8 %; with 41 psi 1 - 55.7 / 74.7, with 34 psi
    # 48.7 (1 / 54.7 - 1 / 74.7).
    Figures("precharge", "", {"best": "22.18 gal"}, {"best": "38 psi", AIR: "38 psi"}),
    Figures("precharge", "41 psi", {"drawdown": "21.87 gal"}),
    Figures("precharge", "34 psi", {"drawdown": "20.5 gal"}),
    Figures("tank relief", "", {"stuck": "145 psi", "working": "60 psi"}),
    Figures("tank relief", "60 psi", {"plate": "60.5 psi"}),
    Figures("tank relief", "59.5 psi", {"stuck": "45.3 psi"},
            {"cut_in": "30 psi", "cut_out": "50 psi", CUT_IN: "30 psi", CUT_OUT: "50 psi",
             AIR: "28 psi"}),
    Figures("tank relief", "144 psi", {},
            {"fits": "75 psi", "pressure_tank.relief_pressure": "75 psi"}),
    Figures("run time", "", {"flow": "10 gpm"},
            {"sold": "86 gal", "best": "38 psi", SIZE: "86 gal", COUNT: "1"}),
    Figures("run time", "77.1 gal", {"drawdown": "19.9 gal"}),
    Figures("run time", "58 psi", {"drawdown": "18.54 gal"}),
    Figures("run time", "38.5 gal", {"drawdown": "9.93 gal"}),
    Figures("run time", "38.5 gal at 60 s", {}, {"sold": "44 gal", SIZE: "44 gal"}),
    Figures("starts a day", "", {}, {"sold": "119 gal", "best": "38 psi", SIZE: "119 gal",
                                     COUNT: "1"}),
    Figures("starts an hour", "76.8 gal", {}, {"sold": "86 gal", "best": "38 psi",
                                               SIZE: "86 gal", COUNT: "1"}),
    Figures("starts an hour", "38.4 gal", {}, {"sold": "44 gal", "best": "38 psi",
                                               SIZE: "44 gal", COUNT: "1"}),
    # 70 % of the 60 psi that are held.
    Figures("drive's precharge", "", {}, {"best": "42 psi", AIR: "42 psi"}),
    Figures("drive's precharge", "35.7 psi", {"share": "59.5 %"}),
    Figures("drive's precharge", "51.4 psi", {"share": "85.67 %"}),
    Figures("drive's precharge", "60 psi", {"share": "100 %"}),
    # Half way between 40 and 60 psi.
    Figures("valve setting", "", {"cut_in": "40 psi", "cut_out": "60 psi"},
            {"right": "50 psi", "constant_pressure_valve.set_pressure": "50 psi"}),
    Figures("pressure before the valve", "", {}, {"held": "145 psi"}),
    Figures("least flow", "1.03 gpm", {}, {"asked": "1.03 gpm"}),
    Figures("jet lift", "", {}, {"lift": "70.3 ft"}),
    Figures("delivers", "", {}, {"needed": "401 ft of head"}),
    # A ring of 6 and 2.657 in, 1.181 gal/ft, falls to 9.8 of 10 ft in ln 50 times 1.181 min.
    Figures("runs dry", "", {"volume": "46.2 gal"}, {"flow": "9.8 gpm"}),
    Figures("well head", "11.9 in", {"flood": "0 ft"}, {"well.casing_height": "12 in"}),
    Figures("well head", "0 in", {"flood": "0 ft"}, {"well.casing_height": "12 in"}),
    Figures("well head", "35.8 in", {"flood": "1 ft"}, {"well.casing_height": "36 in"}),
    Figures("well head", "12 in", {"flood": "1 ft"}, {"well.casing_height": "36 in"}),
    # 0.0435 Q over 1 + 0.0435 Q is 30 % at 9.85 gpm; at 10 gpm C takes 4.35 ft.
    Figures("well loss", "", {"flow": "10 gpm"},
            {"slower": "9.85 gpm", "saved": "4.35 ft", "flow": "10 gpm"}),
    # 5.9 ft at the end, and 1.3 ft more with each power of ten in time.
    Figures("length of the test", "", {
        "flow": "8 gpm", "likely": "5.9 ft", "least": ELSEWHERE, "most": ELSEWHERE},
        {"length": "24 h"}),
    Figures("frost", "42.2 in", {"frost": "42.2 in"}, {"piping.pitless_depth": "49 in"}),
    Figures("frost", "48 in", {"frost": "48 in"}, {"piping.pitless_depth": "54 in"}),
    Figures("frost", "11.9 in", {"frost": "0 in"}, {"piping.pitless_depth": "12 in"}),
    Figures("freezing", "", {}, {CELLAR: "40 degF"}),
    Figures("suction lift", "", {"theory": "33.5 ft"}),
    Figures("net positive suction head", "", {
        "flow": "10 gpm", "lift": "12 ft", "altitude": "0 ft", "temperature": "50 degF",
        "friction": "0 ft of head"}, {"allowed": "19.5 ft of head"}),
    Figures("net positive suction head", "19.6 ft", {"required": "19.6 ft of head"}),
    Figures("net positive suction head", "21.6 ft", {"required": "21.6 ft of head"}),
    # 20 ft below the water, by quarters of a metre.
    Figures("hand suction lift", "", {"altitude": "0 ft", "theory": "33.5 ft"},
            {"level": "20.3 ft", "depth": "12.25 m", "hand_pump.kind": "deep well",
             "hand_pump.cylinder_depth": "12.25 m"}),
    Figures("cylinder under water", "", {}, {"depth": "24 m", "level": "18.01 m",
                                             "hand_pump.cylinder_depth": "24 m"}),
    Figures("depth of the hand pump", "18 m", {},
            {"level": "19 m", "hand_pump.rated_depth": "19 m"}),
    Figures("depth of the hand pump", "50.1 m", {}, {"level": "51 m",
                                                     "hand_pump.rated_depth": "51 m"}),
    # A metre over the stroke: 7.9 and 5.9; levers are sold of 4, 5, 6 and 8 to 1.
    Figures("hand travel", "126 mm", {"stroke": "126 mm", "lever": "8"},
            {"lever": "6", LEVER: "6"}),
    Figures("hand travel", "170 mm", {"stroke": "170 mm", "lever": "8"},
            {"lever": "5", LEVER: "5"}),
    Figures("stroke rate", "", {}, {"hand_pump.stroke_rate": "50 strokes/min"}),
    # 182.3 N of rods less 72.2 N of friction, at 8 and at 2.07 to 1; a newton and a bit too much.
    Figures("handle force", "", {"flow": "14.18 L/min", "lever": "8"}),
    Figures("handle force", "103 N", {"down": "13.76 N"}, {"weight": "2 N", "bore": "2.25 in",
                                                         BORE: "2.25 in"}),
    Figures("handle force", "2.07", {"down": "53.2 N", "lever": "2.07"},
            {"weight": "203 N", "lever": "5", LEVER: "5"}),
    Figures("handle force", "64 mm", {"down": "13.7 N", "flow": "14.4 L/min"},
            {"weight": "2 N", "bore": "2.5 in", BORE: "2.5 in"}),
    # 2 % beyond 20 L in three minutes; a column of 267.6 N by 43.2 mm over 0.8, 40 times a minute.
    Figures("bucket time", "43.2 mm", {"flow": "6.58 L/min", "rate": "40 strokes/min"},
            {"stroke": "129.1 mm", "power": "29.7 W"}),
    Figures("bucket time", "18.7 strokes/min",
            {"flow": "6.63 L/min", "rate": "18.7 strokes/min"},
            {"stroke": "128.2 mm", "power": "29.5 W"}),
    Figures("stretch of the rods", "6.05 mm", {"stretch": "0.613 mm"},
            {"rod": "5/8 in", RODS: "5/8 in"}),
    Figures("stretch of the rods", "3.78 mm", {"stretch": "6.18 mm"},
            {"rod": "12 mm", RODS: "12 mm"}),
    # A stroke gives 0.3959 L x 0.9, less half a percent.
    Figures("survival by hand", "", {"power": "60 W"}),
    Figures("survival by hand", "42.8 L/day", {"volume": "856 L", "strokes": "2410"},
            {"people": "2"}),
    Figures("survival by hand", "342 L/day", {"volume": "6840 L", "strokes": "19300"},
            {"people": "9"}),
    Figures("maker's discharge table", "", {
        "flow": "10.98 L/min", "head": "27.74 m of head", "water": "49.76 W"},
        {"head0": "27.74 m of head"}),
    # 90 % of what the pump is given, at 49.76 W for 10.98 L/min.
    Figures("maker's discharge table", "55 W", {"power": "55 W"}, {"flow0": "10.92 L/min"}),
    Figures("maker's discharge table", "49.8 W", {"power": "49.8 W"}, {"flow0": "9.89 L/min"}),
    Figures("hand into the tank", "", {"lever": "8", "down": "1.76 N", "flow": "14.1 L/min"},
            {"weight": "2 N", "bore": "2.25 in", BORE: "2.25 in"}),
    Figures("relief at the hand pump", "", {"most": "300 kPa"},
            {"setting": "75 psi", "hand_pump.relief_pressure": "75 psi"}),
    Figures("reach of the lift", "18.9 m", {}, {"head": "19 m of head"}),
    Figures("reach of the lift", "29.1 m", {}, {"head": "30.1 m of head"}),
    # 90 % of 54.3 and of 49.1 W, at 49.02 W for 10 L/min to 30 m; a third of it to 10 m.
    Figures("figures of the lift", "", {
        "flow": "10 L/min", "head": "30 m of head", "water": "49.02 W"},
        {"head0": "10 m of head", "head1": "30 m of head"}),
    Figures("figures of the lift", "54.3, 54.3 W", {"power": "54.3 W"},
            {"flow0": "29.91 L/min", "flow1": "9.97 L/min"}),
    Figures("figures of the lift", "49.1, 49.1 W", {"power": "49.1 W"},
            {"flow0": "27.04 L/min", "flow1": "9.015 L/min"}),
    Figures("survival by this lift", "", {"power": "60 W", "strokes": "0"}),
    Figures("survival by this lift", "47.5 L/day", {"volume": "950 L"}, {"people": "2"}),
    Figures("survival by this lift", "380 L/day", {"volume": "7600 L"}, {"people": "9"}),
    # The pump of 3.9 in hangs at 100 ft of 180; 6 in less 0.76 in and a pipe of 1.35 in.
    Figures("fits the casing", "0.76 in", {
        "top": "177 ft", "bottom": "183 ft", "circle": "5.25 in", "casing": "6 in"},
        {"diameter": "3.89 in", "pump[2].diameter": "3.89 in"}),
    Figures("fits the casing", "4.66 in", {
        "top": "177 ft", "bottom": "183 ft", "circle": "6.01 in", "casing": "6 in"},
            {"depth": "173 ft", f"{PUMP}.intake_depth": "173 ft"}),
    # 2.2385 kWh, and 1.615 times that, over 4 h of sun and the derating; 300 W a module.
    Figures("array for the pump", "", {
        "sun": "4 kWh/m2", "module": "299.92 W", "running": "0 W"},
        {"array[1].parallel": "2"}),
    Figures("array for the pump", "62 %", {
        "energy": "2.2385 kWh", "derate": "62 %", "power": "902.6 W"}, {"needed": "4"}),
    Figures("array for the pump", "1", {
        "energy": "2.2385 kWh", "derate": "75 %", "power": "746.2 W"}, {"needed": "3"}),
    Figures("array for the pump", "61.5 %", {
        "energy": "3.615 kWh", "derate": "75 %", "power": "1205 W"}, {"needed": "5"}),
    Figures("battery for the pump", "2.79 kWh", {}, {"power.battery_energy": "2.8 kWh"}),
    Figures("battery for the pump", "2.01 days", {}, {"power.battery_energy": "5.7 kWh"}),
    Figures("modules on hand", "", {"used": "4"},
            {"lacking": "1", "used": "4", "module.on_hand": "4"}),
    Figures("array's direction", "", {"toward": "180 deg", "share": ELSEWHERE},
            {"toward": "180 deg", "array[1].azimuth": "180 deg"}),
    Figures("array's direction", "89 deg", {"looks": "89 deg"}),
    Figures("array's direction", "271 deg", {"looks": "271 deg"}),
    Figures("holds over the ranges", "", {"cases": "32", "fails": ELSEWHERE}),
    Figures("holds over the ranges", "154 ft .. 264 ft", {"turn": "256 ft"}, {"turn": "256 ft"}),
    Figures("holds over the ranges", "257 ft .. 264 ft", {"fails": "100 %"}),
    # 39.9 V and -0.29 %/K of it below 25 degC; the code's table has 1.14 at -8 degC and 1.25 at
    # -40 degC.
    Figures("cold open-circuit voltage", "", {"cold": "18 degF"}),
    Figures("cold open-circuit voltage", "271 V", {"series": "6", "coefficient": "262.7 V"},
            {"most": "5", "volts": "272.9 V", "array[2].series": "5"}),
    Figures("cold open-circuit voltage", "238 V",
            {"series": "6", "coefficient": "285.6 V", "cold": "-40 degC"},
            {"most": "4", "volts": "299.25 V", "array[2].series": "4"}),
    Figures("cold open-circuit voltage", "40.8 V", {"series": "13", "coefficient": "582.6 V"},
            {"most": "12", "array[1].series": "12"}),
    Figures("cold open-circuit voltage", "181 V", {"series": "4", "coefficient": "175.2 V"},
            {"most": "3", "volts": "181.9 V", "array[1].series": "3"}),
    # 162 V of 6 in the heat, of 8 as much as 216 V, which 196.7 V ask.
    Figures("operating voltage", "", {"hot": "162 V"}, {"needed": "8", "array[2].series": "8"}),
    Figures("ground fault", "", {}, {"array[2].ground_fault_protection": "true"}),
    Figures("arc fault", "", {}, {"array[2].arc_fault_protection": "true"}),
    # The next size above 15.16 A, and open in the cold.
    Figures("pv overcurrent", "", {"rows": "1"}, {
        "size": "20 A", "fuse": "20 A", "rows": "1", "volts": "272.9 V",
        "array[1].overcurrent": "20 A", "array[2].overcurrent": "20 A",
        "array[2].string_fuse": "20 A"}),
    Figures("pv overcurrent", "array[1].overcurrent: 15.1 A", {}, {"volts": "181.9 V"}),
    Figures("pv overcurrent", "20.2 A", {"fed": "20.2 A", "label": "20 A"}),
    Figures("isolator", "271 V", {"current": "12.125 A", "rated_current": "32 A"},
            {"volts": "500 V", "amperes": "32 A", "array[2].isolator_voltage": "500 V",
             "array[2].isolator_current": "32 A"}),
    Figures("isolator", "181 V", {"current": "12.125 A", "rated_current": "32 A"},
            {"volts": "250 V", "amperes": "32 A", "array[1].isolator_voltage": "250 V",
             "array[1].isolator_current": "32 A"}),
    Figures("isolator", "array[1].isolator_current: 12 A", {"volts": "181.9 V"},
            {"array[1].isolator_voltage": "600 V", "array[1].isolator_current": "16 A"}),
    Figures("isolator", "array[2].isolator_current: 12 A", {"volts": "272.9 V"},
            {"array[2].isolator_voltage": "600 V", "array[2].isolator_current": "16 A"}),
    Figures("isolator", "12 A", {"rated_volts": "600 V"}, {"volts": "600 V", "amperes": "16 A"}),
    Figures("pv conductor", "19.4 A", {"gauge": "10 AWG"},
            {"gauge": "8 AWG", "array[1].cable.gauge": "8 AWG"}),
    Figures("pv conductor", "12 AWG", {"gauge": "12 AWG"},
            {"gauge": "10 AWG", "array[1].cable.gauge": "10 AWG"}),
    Figures("hot water stored", "21.9 gal", {"tank": "21.9 gal"},
            {"sold": "30 gal", "water_heater.volume": "30 gal"}),
    Figures("hot water stored", "105.2 degF", {"tank": "20 gal"},
            {"sold": "30 gal", "water_heater.volume": "30 gal"}),
    Figures("hot water stored", "309 gal", {"tank": "50 gal"},
            {"sold": "66 gal", "water_heater.volume": "66 gal"}),
    Figures("thermostat setting", "104 degF", {}, {HOT: "105 degF"}),
    Figures("thermostat setting", "141 degF", {}, {HOT: "145 degF"}),
    Figures("thermostat on direct current", "", {"needed": "181.9 V", "bright": "12.125 A"},
            {"volts": "250 V", "amperes": "32 A", f"{ELEMENT}.switch_voltage": "250 V",
             f"{ELEMENT}.switch_current": "32 A"}),
    Figures("thermostat on direct current", "181 V", {"current": "32 A"}),
    Figures("thermostat on direct current", "158 V", {"current": "32 A", "needed": "199.5 V"}),
    Figures("thermostat on direct current", "12 A", {"volts": "250 V"},
            {"amperes": "16 A", f"{ELEMENT}.switch_current": "16 A"}),
    Figures("high limit on direct current", "", {"needed": "181.9 V", "bright": "12.125 A"},
            {"volts": "250 V", "amperes": "32 A", f"{ELEMENT}.high_limit_voltage": "250 V",
             f"{ELEMENT}.high_limit_current": "32 A", f"{ELEMENT}.high_limit_poles": "2"}),
    Figures("high limit on direct current", "181 V", {"current": "32 A"}),
    Figures("high limit on direct current", "12 A", {"volts": "250 V"},
            {"amperes": "16 A", f"{ELEMENT}.high_limit_current": "16 A"}),
    # 138 degF above a room of 70 degF for a week at 0.9 W/K of 468.4 kJ/K: 31.3 % is left.
    Figures("storage temperature", "", {"days": "7", "cool": "32.95 degC",
            "through": "60 degC"}, {HOT: "140 degF", f"{TANK_2}.thermostat": "140 degF"}),
    Figures("high limit", "", {"setpoint": "140 degF", "relief": "210 degF"}),
    Figures("high limit", "182 degF", {}, {HIGH: "180 degF"}),
    Figures("high limit", "163 degF", {"setpoint": "163 degF"}, {HOT: "160 degF"}),
    Figures("high limit", f"{HOT}: 170 degF", {"setpoint": "170 degF"}, {HOT: "160 degF"}),
    Figures("high limit", "168 degF", {}, {HIGH: "165 degF"}),
    # 10 K below a valve of 170 degF, by steps of 5 degF.
    Figures("high limit", "water_heater.relief_temperature: 170 degF", {"relief": "170 degF"},
            {HIGH: "160 degF"}),
    Figures("mixing valve", "", {"hottest": "170 degF"}, {f"{VALVE}.outlet": "120 degF"}),
    Figures("mixing valve", "122 degF", {"setting": "122 degF"},
            {"drop": "20 delta_degF", f"{VALVE}.standard": "ASSE 1017", HOT: "140 degF"}),
    Figures("mixing-valve supply", "182 degF", {}, {HIGH: "180 degF"}),
    Figures("mixing-valve supply", "168 degF", {}, {HIGH: "165 degF"}),
    Figures("mixing-valve supply", "138 degF", {"outlet": "120 degF"}, {HOT: "140 degF"}),
    Figures("mixing-valve supply", "123 degF", {"outlet": "105 degF"}, {HOT: "125 degF"}),
    Figures("mixing-valve standard", "", {"outlet": "103 degF", "low": "105 degF",
                                          "high": "120 degF"}, {f"{VALVE}.outlet": "105 degF"}),
    Figures("relief valve", "", {"hot": "210 degF", "plate": "150 psi"},
            {"hot": "210 degF", "water_heater.relief_temperature": "210 degF"}),
    Figures("relief valve", "151 psi", {}, {"water_heater.relief_pressure": "150 psi"}),
    Figures("relief valve", "124 psi", {"plate": "124 psi"},
            {"water_heater.relief_pressure": "100 psi"}),
    Figures("relief capacity", "", {}, {"heat": "4500 W", "sold": "100000 Btu/h",
                                        f"{TANK_2}.relief_capacity": "100000 Btu/h"}),
    # 90 % of what the valve opens at.
    Figures("pressure at the relief valve", "", {},
            {"valve": "75 psi", "water_heater.relief_pressure": "75 psi"}),
    Figures("pressure at the relief valve", "55.2 psi", {"relief": "55.2 psi"},
            {"limit": "49.68 psi"}),
    Figures("pressure at the relief valve", "49.8 psi", {"relief": "49.8 psi"},
            {"limit": "44.82 psi"}),
    Figures("boiling", "", {"boils": "193.6 degF", "altitude": "10000 ft", "margin": "2 K"},
            {"limit": "180 degF", HIGH: "180 degF"}),
    Figures("boiling", "196 degF", {"hottest": "196 degF"}, {HOT: "170 degF"}),
    Figures("thermal expansion", "", {"grown": "0.751 gal", "hot": "170 degF",
                                      "supply": "50 psi"}),
    Figures("thermal expansion", "2.34 gal", {}, {
        "sold": "3.2 gal", "supply": "50 psi", "water_heater.expansion_tank": "true",
        "water_heater.expansion_tank_volume": "3.2 gal",
        "water_heater.expansion_tank_precharge": "50 psi"}),
    Figures("thermal expansion", "56.4 psi", {}, {"count": "1", "each": "119 gal",
                                                  SIZE: "119 gal"}),
    Figures("thermal expansion", "50.7 psi", {}, {"limit": "45.6 psi"}),
    Figures("high limit on grid or inverter", "", {"volts": "151 V"}, {
        "water_heater.element[2].high_limit_switches": "AC",
        "water_heater.element[2].high_limit_poles": "2"}),
    Figures("element on the inverter", "", {}, {
        "power": "3500 W", "volts": "240 V", f"{ELEMENT}.rated_power": "3500 W",
        f"{ELEMENT}.count": "1"}),
    # 3800 W / 240 V.
    Figures("switch for the surplus", "", {"takes": "15.83 A"},
            {"sold": "20 A", f"{ELEMENT}.surplus_switch_current": "20 A"}),
    Figures("switch for the surplus", "19.6 A", {}, {f"{ELEMENT}.surplus_switch": "relay"}),
    Figures("switch for the surplus", "15.7 A", {}, {f"{ELEMENT}.surplus_switch": "proportional"}),
    Figures("electronics on the array", "", {},
            {"most": "3", "reached": "181.9 V", "array[1].series": "3"}),
    # By hand 6804 L a day, and half of the tank that is added over the 7 or 3 days.
    Figures("water when one thing fails", "", {}, {"least": "6861 L", STORAGE: "200 gal"}),
    Figures("water in the worst outage", "", {}, {"least": "6858 L", STORAGE: "200 gal"}),
    Figures("water in an outage of the file", "", {}, {"least": "6867 L", STORAGE: "100 gal"}),
    Figures("tracking electronics", "", {}, {"usual": "95 %"}),
    # On the side that keeps the limit, what is another figure there.
    Figures("filling run", "17.3 gal", {"gap": "3.46 gal"}),
    Figures("pressure by gravity", "46.6 ft", {"lowest": "46.6 ft"}),
    Figures("pressure by gravity", "18.7 ft", {"lowest": "18.7 ft"}),
    # 400.5 ft less 261 ft are 60.46 psi, of which 15 are to spare.
    Figures("reaches cut-out", "255 ft", {"flow": ELSEWHERE},
            {CUT_IN: "25 psi", CUT_OUT: "45 psi", AIR: "23 psi"}),
    Figures("efficiency", "426, 426, 426.1 W", {"power": "426 W"}),
    Figures("submergence", "70.1 ft", {}, {"flow": "0.1 gpm"}),
    Figures("submergence", "60.1 ft", {"bears": "0.1 gpm"}),
    Figures("day's water", "14390 gal/day", {"volume": "14390 gal"}, {"flow": "29.98 gpm"}),
    Figures("day's water", "4790 gal/day", {"volume": "4790 gal"}),
    Figures("day's water", "7200 gal/day", {"volume": "7200 gal"}),
    Figures("motor load", f"{PUMP}.rated_power: 1 hp", {"rated": "1 hp", "factor": "1.4"}),
    Figures("motor load", "1.21", {"factor": "1.21"}),
    Figures("motor cooling", "2.9 hp", {"size": "3.75 in"}),
    Figures("motor cooling", "7.1 gpm", {"flow": "7.1 gpm"}),
    Figures("inverter surge", "9.2 kVA", {}, {"allowed": "32 A"}),
    Figures("ground-fault breaker", "2017", {"year": "2017"}),
    Figures("voltage at start", "1650 ft", {"length": "1650 ft"}),
    Figures("pumps at once on the well", "20.1 gpm", {"tested": "20.1 gpm"}),
    Figures("pumps at once on the well", "90 ft", {"cover": "10 ft"}),
    # 86 gal x 54.7 and 49.7 psi x (1 / 54.7 - 1 / 74.7).
    Figures("precharge", "40 psi", {"drawdown": "23.03 gal"}),
    Figures("precharge", "35 psi", {"drawdown": "20.92 gal"}),
    Figures("tank relief", "pressure_tank.greatest_pressure: 60 psi", {"plate": "60 psi"}),
    Figures("well head", "12 in at 12 in", {"flood": "0 ft"}),
    Figures("run time", "60 psi", {"drawdown": "20.02 gal"}),
    Figures("run time", "38.8 gal", {"drawdown": "10.01 gal"}),
    Figures("drive's precharge", "36 psi", {"share": "60 %"}),
    Figures("drive's precharge", "51 psi", {"share": "85 %"}),
    Figures("drive's precharge", "59.5 psi", {"share": "99.17 %"}),
    Figures("delivers", "340 ft", {"flow": "0.497 gpm"}),
    Figures("runs dry", "70.2 ft", {"level": "70 ft", "cover": "0.2 ft"}),
    Figures("peak flow", "10 gpm", {"peak": "10 gpm", "wanted": "70 gal"}),
    Figures("net positive suction head", "19.45 ft", {"required": "19.45 ft of head"}),
    Figures("net positive suction head", "21.45 ft", {"required": "21.45 ft of head"}),
    Figures("hand travel", "125 mm", {"stroke": "125 mm"}),
    Figures("handle force", "2.085", {"down": "52.8 N", "lever": "2.085"}, {"weight": "200 N"}),
    Figures("handle force", "63.5 mm", {"flow": "14.18 L/min"}),
    Figures("bucket time", "43.6 mm", {"flow": "6.705 L/min"}),
    Figures("bucket time", "18.9 strokes/min",
            {"flow": "6.7 L/min", "rate": "18.9 strokes/min"}),
    Figures("stretch of the rods", "3.81 mm", {"stretch": "6.08 mm"}),
    Figures("survival by hand", "42.4 L/day", {"volume": "848 L", "strokes": "2390"}),
    Figures("survival by hand", "340 L/day", {"volume": "6800 L", "strokes": "19200"},
            {"people": "8"}),
    Figures("maker's discharge table", "55.4 W", {"power": "55.4 W"}),
    Figures("maker's discharge table", "50.3 W", {"power": "50.3 W"}, {"flow0": "9.99 L/min"}),
    # 3200 N less 182.3 N of rods, over 1.125, less a column of 18 m, 558.9 N, on 31.67 cm2.
    Figures("relief at the hand pump", "", {"made": "670.5 kPa"}),
    Figures("figures of the lift", "49.4, 49.4 W", {"power": "49.4 W"},
            {"flow0": "27.21 L/min", "flow1": "9.07 L/min"}),
    Figures("survival by this lift", "47.1 L/day", {"volume": "942 L"}),
    Figures("survival by this lift", "377 L/day", {"volume": "7540 L"}, {"people": "8"}),
    Figures("array for the pump", "60 %", {"energy": "3.5816 kWh", "power": "1193.9 W"}),
    Figures("array's direction", "90 deg", {"looks": "90 deg"}),
    Figures("array's direction", "270 deg", {"looks": "270 deg"}),
    Figures("holds over the ranges", "249 ft .. 263 ft", {"turn": "256 ft", "fails": ELSEWHERE},
            {"turn": "256 ft"}),
    Figures("operating voltage", "195.6 V", {"volts": "195.6 V", "least": "195.6 V"}),
    Figures("arc fault", "35.05 V", {"least": "80 V", "volts": "79.914 V"}),
    Figures("pv overcurrent", "15.2 A", {"asked": "15.156 A", "fuse": "15.2 A"}),
    Figures("pv overcurrent", "20 A",
            {"asked": "15.156 A", "fuse": "20 A", "behind": "20 A"}),
    Figures("isolator", "12.2 A", {"current": "12.125 A", "rated_current": "12.2 A"}),
    Figures("cold open-circuit voltage", "40.4 V", {"coefficient": "576.9 V"}),
    Figures("hot water stored", "22.1 gal", {"tank": "22.1 gal"}),
    Figures("pv conductor", "10 AWG", {"gauge": "10 AWG"}),
    Figures("thermostat on direct current", "12.2 A", {"current": "12.2 A"}),
    Figures("high limit on direct current", "12.2 A", {"current": "12.2 A"}),
    Figures("storage temperature", "140 degF", {"cool": "33.28 degC"}),
    Figures("high limit", "161 degF", {"setpoint": "161 degF"}),
    Figures("high limit", f"{HOT}: 168 degF", {"setpoint": "168 degF"}),
    Figures("high limit", "172 degF", {"relief": "172 degF"}),
    Figures("mixing valve", "120 degF", {"setting": "120 degF"}),
    Figures("relief valve", "125 psi", {"plate": "125 psi"}),
    Figures("relief capacity", "", {"array": ELSEWHERE}),
    Figures("pressure at the relief valve", "55.6 psi", {"relief": "55.6 psi"}),
    Figures("pressure at the relief valve", "50.3 psi", {"relief": "50.3 psi"},
            {"limit": "45.27 psi"}),
    Figures("thermal expansion", "51.1 psi", {}, {"limit": "46 psi"}),
)  # fmt: skip


VOLTS = {"least": "0.75", "most": "0.89"}
STATES_TOLD = (
    Figures("motor cooling", "shroud=True", {
        "flow": "10 gpm", "motor": "3.75 in", "bore": "5.514 in", "limit": "0.25 ft/s"}),
    Figures("ground-fault breaker", "code_edition=2014", {"year": "2014"}),
    Figures("day's water from the well", "", {
        "starts": ELSEWHERE, "volume": ELSEWHERE, "soonest": ELSEWHERE, "use": ELSEWHERE}),
    Figures("day's water from the well", "daily_use=900 gal/day", {"use": "900 gal"}),
    Figures("test in another well", "", {"away": "60 ft"}),
    Figures("booster runs dry", "", {"share": "10 %"}, {"storage_tank.stops_below": "10 %"}),
    Figures("air gap", "", {}, {"storage_tank.air_gap": "4 in"}),
    # 27.6 and 27.04 V of each module, in the warmth of the site and on a hot roof.
    Figures("operating voltage", "", {"volts": "165.3 V", "hot": "162.2 V"},
            {"needed": "7", "array[2].series": "7"}),
    Figures("isolator", "", {"current": "12.125 A", "rated_current": "32 A"}, {
        "volts": "600 V", "amperes": "32 A", "array[2].isolator_voltage": "600 V",
        "array[2].isolator_current": "32 A", "array[2].isolator_poles": "2"}),
    Figures("pv overcurrent", "", {"asked": "15.156 A", "fuse": "20 A"}),
    # Three rows of 1.25 x 9.7 A into the fourth.
    Figures("pv overcurrent", "parallel=4", {"rows": "4", "fed": "36.375 A", "label": "20 A"}, {
        "volts": "272.9 V", "fuse": "20 A", "rows": "4", "array[2].string_fuse": "20 A"}),
    Figures("pv overcurrent", "parallel=3", {"asked": "45.47 A"}),
    Figures("scald protection at fixtures", "", {"hottest": "170 degF"}),
    Figures("time to a burn", "",
            {"setting": "140 degF", "outlet": "120 degF", "hottest": "170 degF"}),
    Figures("thermostat on direct current", "", {"bright": "12.125 A", "current": "32 A"}, {
        "volts": "250 V", "amperes": "16 A", f"{ELEMENT}.switch_voltage": "250 V",
        f"{ELEMENT}.switch_current": "16 A"}),
    Figures("high limit on direct current", "", {"bright": "12.125 A", "current": "32 A"}, {
        "volts": "250 V", "amperes": "16 A", f"{ELEMENT}.high_limit_voltage": "250 V",
        f"{ELEMENT}.high_limit_current": "16 A", f"{ELEMENT}.high_limit_poles": "2"}),
    Figures("thermal expansion", "", {"grown": "0.751 gal", "hot": "170 degF"}, {
        "sold": "3.2 gal", "supply": "50 psi",
        "water_heater.expansion_tank_volume": "3.2 gal",
        "water_heater.expansion_tank_precharge": "50 psi"}),
    Figures("mixing valve", "", {"setting": "140 degF"},
            {"drop": "20 delta_degF", f"{VALVE}.outlet": "120 degF"}),
    Figures("mixing valve", "thermostat=120 degF", {"setting": "120 degF"}, {HOT: "140 degF"}),
    Figures("high limit on grid or inverter", "", {"volts": "240 V"},
            {"water_heater.element[2].high_limit_poles": "2"}),
    Figures("storage temperature", "", {"days": "7", "cool": ELSEWHERE, "through": "60 degC"}),
    # 4 kVA less the pump's power.
    Figures("element on the inverter", "", {"rating": "4000 W", "power": "3.8 kW"}, {
        "power": "3 kW", "volts": "240 V", f"{ELEMENT}.rated_power": "3 kW",
        f"{ELEMENT}.count": "1"}),
    Figures("switch for the surplus", "", {"power": "3.8 kW"},
            {"sold": "20 A", f"{ELEMENT}.surplus_switch_current": "20 A"}),
    Figures("high limit", "", {"relief": "210 degF"}, {HOT: "125 degF"}),
    # Six of 45.49 V are 273 V on 240 V squared over 3800 W.
    Figures("element load", "", {"power": ELSEWHERE, "rated": "3.8 kW"},
            {"most": "6", "resistance": "15.16 ohm", "array[1].series": "6"}),
    Figures("overheating", "", {"relief": "210 degF", "time": ELSEWHERE},
            {"volts": "181.9 V", "amperes": "12.125 A"}),
    Figures("overheating", "high_limit=None", {},
            {"below": "170 degF", "low": "170 degF", "high": "180 degF", HIGH: "180 degF"}),
    Figures("overheating", "thermostat=None", {}, {"below": "160 degF", HOT: "150 degF"}),
    # Vmp x Imp over Voc x Isc.
    Figures("module's sheet", "", {"fill": "0.7749", "slope": "-0.3 %/K"}),
    Figures("module's sheet", "vmp=30 V", {"fill": "0.7131"}),
    Figures("module's sheet", "vmp=35.5 V", {"fill": "0.7613"}),
    Figures("module's sheet", "imp=8.15 A", {"fill": "0.6865"}),
    # By the open table; a fill factor of 0.66 to 0.842 of 387.03 VA holds a voltage too.
    Figures("module's sheet", "vmp=29.9 V", VOLTS, {"low": "29.925 V", "high": "35.41 V"}),
    Figures("module's sheet", "vmp=35.6 V", VOLTS, {"low": "30.78 V", "high": "35.511 V"}),
    Figures("module's sheet", "imp=8.14 A", {"least": "0.84", "most": "0.985"},
            {"low": "8.148 A", "high": "9.5545 A"}),
    *(
        Figures("module's sheet", f"{key}_coefficient={breaks} %/K",
                {"least": f"{low} %/K", "most": f"{high} %/K"},
                {"low": f"{low} %/K", "high": f"{high} %/K"})
        for key, breaks, low, high in (
            ("voc", "-0.61", "-0.6", "-0.2"), ("voc", "-0.19", "-0.6", "-0.2"),
            ("isc", "0.21", "-0.06", "0.2"))
    ),
    Figures("check valve opening", "", {"flow": "10 gpm"}),
    Figures("filling run", "", {"gap": "0.8 gal", "flow": "3.43 gpm"}),
    Figures("high limit on direct current", "", {"needed": "181.9 V"}),
    Figures("high limit on direct current", "high_limit_current=10 A", {"current": "10 A"}),
    *(
        Figures("high limit on direct current", f"high_limit_poles={poles}", {},
                {"amperes": "32 A", f"{ELEMENT}.high_limit_current": "32 A"})
        for poles in (None, 1)
    ),
    Figures("isolator", "", {"volts": "272.9 V"}),
    *(
        Figures("isolator", f"isolator_voltage={volts}", {},
                {"volts": "500 V", "array[2].isolator_voltage": "500 V"})
        for volts in (None, "230 V", "250 V", "260 V")
    ),
    *(
        Figures("isolator", f"isolator_current={current}", {"rated_current": "10 A"},
                {"amperes": "16 A", "array[2].isolator_current": "16 A"})
        for current in (None, "10 A")
    ),
    # The worst cold of the code's table: 1.25 times.
    Figures("isolator", "record_low=None", {"volts": "299.25 V"}),
    Figures("mixing-valve supply", "", {}, {HIGH: "180 degF"}),
    Figures("motor cooling", "rated_power=None", {"size": "3.75 in"}),
    Figures("pump breaker", "", {"full": "8 A"}),
    Figures("pv overcurrent", "parallel=3", {"rows": "3", "fed": "24.25 A", "label": "20 A"}, {
        "volts": "272.9 V", "fuse": "20 A", "rows": "3", "array[2].string_fuse": "20 A"}),
    Figures("pv overcurrent", "parallel=2", {"asked": "30.31 A"}),
    Figures("submergence", "", {"flow": "10 gpm"}),
    # 10 ft below rest and 1 ft deeper; 5 ft above a bottom at 82 ft; the tested yield.
    Figures("submergence", "specific_capacity=0.9 gpm/ft", {"bears": "9.9 gpm"},
            {"flow": "0.9 gpm", "depth": "82 ft", INTAKE: "82 ft"}),
    Figures("submergence", "intake_depth=65 ft", {"bears": "5 gpm"},
            {"depth": "81 ft", INTAKE: "81 ft"}),
    Figures("submergence", "depth=82 ft", {}, {"depth": "77 ft", "flow": "7 gpm"}),
    Figures("submergence", "intake_depth=75 ft", {}, {"flow": "5 gpm"}),
    Figures("submergence", "tested_yield=3 gpm", {}, {"flow": "3 gpm"}),
    Figures("thermostat on direct current", "", {"needed": "181.9 V"}),
    Figures("thermostat on direct current", "record_low=None", {"needed": "199.5 V"}),
    Figures("thermostat on direct current", "switch_current=10 A", {"current": "10 A"}),
    Figures("well head", "", {"flood": "0 ft"}),
    # Kept warm enough by a dial's step above 4 degC.
    Figures("freezing", "", {}, {
        "water_heater.coldest_room": "40 degF", "water_heater.room_temperature": "40 degF"}),
    # 160 degF that its maker lets in.
    Figures("mixing-valve supply", "greatest_supply=160 degF", {}, {HIGH: "160 degF"}),
    Figures("relief valve", "", {"hot": "210 degF", "plate": "150 psi"}, {
        "hot": "210 degF", "water_heater.relief_temperature": "210 degF",
        "water_heater.relief_pressure": "150 psi"}),
    Figures("pumps at once on the well", "", {
        "together": "20 gpm", "bears": "16 gpm", "cover": "20 ft", "tested": "30 gpm"}),
    Figures("pumps at once on the well", "tested_yield=19 gpm", {"tested": "19 gpm"}),
    Figures("on its curve", "", {}, {"last": "10 gpm"}),
    Figures("array for the pump", "", {
        "running": "0 W", "energy": "2.2385 kWh", "sun": "2 kWh/m2", "derate": "75 %",
        "power": "1492.3 W", "module": "299.92 W"}, {"array[1].parallel": "2"}),
    # Two at the handle share the force; 20 people take 15 L a day each.
    Figures("handle force", "", {"lever": "8", "down": "13.76 N", "flow": "14.18 L/min"}),
    Figures("handle force", "people_pumping=2", {"down": "6.88 N"}),
    Figures("survival by hand", "", {"volume": "300 L", "power": "60 W", "strokes": "846"}),
    Figures("relief capacity", "", {}, {f"{TANK_2}.relief_capacity": "100000 W"}),
)  # fmt: skip
"""Of states, by what they give: the last part of a key and its value."""

OF_A_YEAR = {
    "matched to the array", "surplus for the element", "switching thresholds", "share from PV",
    "hot water in the evening", "hot evenings by the sun", "reaches temperature",
}  # fmt: skip
"""Rules of states whose figures follow from weather: the composed tests of their studies hold
them."""


def figures_of(
    rule: str, *names: str, told: tuple[Figures, ...] = FIGURES
) -> tuple[Written, Written]:
    """What stands in reason and remedy of a rule, by the names of a row, the nearest last."""
    reason: dict[str, str] = {}
    remedy: dict[str, str] = {}
    for name in ("", *names):
        for each in told:
            if (each.rule, each.breaks) == (rule, name):
                reason |= each.reason
                remedy |= each.remedy
    return reason, remedy
