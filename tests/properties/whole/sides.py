"""Rules at their limits: a site, the key to turn, and where by file, table or source the limit lies.

The limits are worked out here, on plain sites, and none is read off an answer of the program. What
prints alike is alike to a verdict, so that the two values lie a hair beyond the third digit apart.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any, NamedTuple

from tests.properties.whole import plain
from tests.properties.whole.named import tables_of
from wellsolar.site.loading.overrides import changed, python_settings
from wellsolar.verdicts import Status

Given = Mapping[str, object]
"""Key paths and what to write there; None for a key to take out."""


class Sides(NamedTuple):
    """A rule at its limit.

    key: of the file; keeps, breaks: values on its two sides
    broken: how the verdict stands beyond the limit
    limit: as the verdict names it beyond; empty where it compares nothing by size
    why: where the limit lies, and on whose authority
    lacks: a key without which the rule is unknown; empty where it never is
    kept: how the verdict stands on this side
    given: what is set before
    lacking: on which side the key is taken out
    apart: how far the quantity may lie from the limit on either side, as a part of it
    """

    rule: str
    key: str
    keeps: object
    breaks: object
    broken: Status
    limit: str
    why: str
    lacks: str = ""
    kept: Status = "pass"
    given: Given = {}
    lacking: str = "keeps"
    apart: float = 0.02


class Group(NamedTuple):
    """Rows of one study of one site."""

    study: str
    site: str
    given: Given
    rows: tuple[Sides, ...]


ELEMENT, PUMP, ARRAY = "water_heater.element[1]", "pump[1]", "array[1]"
HP, DRIVE = f"{PUMP}.rated_power", f"{PUMP}.start"
DRY = {"site.latitude": None}
"""Without a latitude no year of hours is made: the tank's guards alone are judged, at once."""
HOT = {**DRY, "array[1].cable": None}

PUMPS = Group("pumps", "steady", {}, (
    Sides("reaches cut-out", "limits.cut_out_margin", "84.7 psi", "86.2 psi", "caution", "60 psi",
          "400.5 ft of shut-off head less 60 ft of lift and 6 ft to the tank are 334.5 ft, 145 psi "
          "(1 ft of water at 50 degF is 0.4334 psi): 85 psi above a cut-out of 60",
          apart=1.5),
    Sides("reaches cut-out", "well.static_level", "255 ft", "257 ft", "fail", "60 psi",
          "beyond 400.5 ft less 6 ft and 138.4 ft, which are 60 psi: 256.1 ft",
          kept="caution", given={"well.depth": "400 ft", f"{PUMP}.intake_depth": "300 ft",
          "limits.cut_out_margin": "15 psi"}),
    Sides("on its curve", "piping.tank_elevation", "29 ft", "28 ft", "caution", "10 gpm",
          "the sheet ends at 200 ft; the level at 70 ft and 40 psi (92.3 ft) leave 37.7 ft, of "
          "which the fittings and pipes take 0.1 ft: below 37.6 ft more than 10 gpm is asked",
          given={f"{PUMP}.head": "220, 201, 191 ft"}),
    Sides("efficiency", f"{PUMP}.power", "426, 426, 426.1 W", "421, 421, 421.1 W", "caution", "75 %",
          "10 gpm to 70 + 6 + 92.3 ft and 0.1 ft of friction are 317.6 W of water, over 0.75"),
    Sides("yield", "well.tested_yield", "10.01 gpm", "9.94 gpm", "fail", "9.94 gpm",
          "10 gpm whatever the head", "well.tested_yield"),
    Sides("yield", "well.tested_yield", "10.01 gpm", "9.94 gpm", "caution", "9.94 gpm",
          "with dry-run protection", given={f"{PUMP}.dry_run_protection": True}),
    Sides("submergence", f"{PUMP}.intake_depth", "80 ft", "79.5 ft", "caution", "10 ft",
          "10 ft of usual cover over a level of 60 ft and 10 gpm over 1 gpm/ft",
          "well.specific_capacity", apart=0.06),
    Sides("submergence", f"{PUMP}.intake_depth", "70.1 ft", "69.9 ft", "fail", "10 ft",
          "the level itself", kept="caution", apart=1.1),
    Sides("submergence", f"{PUMP}.intake_depth", "60.1 ft", "59.9 ft", "fail", "10 ft",
          "above the water at rest", kept="fail", apart=2.1),
    Sides("above the bottom", f"{PUMP}.intake_depth", "195 ft", "195.3 ft", "caution", "5 ft",
          "5 ft above a bottom at 200 ft: common practice", apart=0.07),
    Sides("pipe velocity", "limits.velocity", "3.72 ft/s", "3.69 ft/s", "caution", "3.69 ft/s",
          "10 gpm, 0.02228 ft3/s, through 1.049 in of bore, 0.0060019 ft2: 3.712 ft/s",
          given={"piping.drop_pipe.size": "1 in"}),
    Sides("day's water", "demand.daily_use", "14390 gal/day", "14480 gal/day", "fail", "24 h",
          "10 gpm give 14400 gal a day", "demand.daily_use", given={"site.people": None}),
    Sides("day's water", "demand.daily_use", "7200 gal/day", "7240 gal/day", "fail", "7200 gal",
          "the well yields 5 gpm", given={"well.tested_yield": "5 gpm"}),
    Sides("motor cooling", HP, "2.9 hp", "3 hp", "caution", "0.25 ft/s",
          "asked of motors of 4-inch wells from 3 hp: 10 gpm, 0.02228 ft3/s, in the ring of 6 and "
          "3.75 in, 0.11965 ft2, are 0.186 ft/s", "well.casing_bore", lacking="breaks", apart=0.3),
    Sides("motor cooling", "limits.motor_cooling", "0.18 ft/s", "0.22 ft/s", "caution",
          "0.22 ft/s", "the same 0.186 ft/s", f"{PUMP}.motor_diameter", given={HP: "3 hp"},
          apart=0.16),
    Sides("supply voltage", "power.inverter_voltage", "253 V", "254 V", "fail", "254 V",
          "a tenth above the motor's 230 V", "power.inverter_voltage", apart=0.12),
    Sides("supply voltage", "power.inverter_voltage", "207 V", "206 V", "fail", "206 V",
          "a tenth below", f"{PUMP}.voltage", apart=0.12),
    Sides("inverter rating", "power.inverter_rating", "1.25 kVA", "1.24 kVA", "fail", "1.24 kVA",
          "1000 W at a power factor of 0.8", "power.inverter_rating"),
    Sides("inverter surge", "power.inverter_surge", "11.5 kVA", "11.4 kVA", "caution", "11.4 kVA",
          "40 A at 230 V, 9.2 kVA, and a fifth to spare: common practice", "power.inverter_surge",
          apart=0.21),
    Sides("inverter surge", "power.inverter_surge", "9.2 kVA", "9.1 kVA", "fail", "9.1 kVA",
          "40 A at 230 V", kept="caution"),
    Sides("motor overload", f"{PUMP}.overload_current", "11.5 A", "11.6 A", "caution", "11.5 A",
          "115 % of 10 A", f"{PUMP}.overload_current",
          given={f"{PUMP}.overload": "in a starter", f"{PUMP}.full_load_current": "10 A"}),
    Sides("motor overload", f"{PUMP}.overload_current", "12.5 A", "12.6 A", "fail", "12.5 A",
          "125 % of 10 A", f"{PUMP}.full_load_current", kept="caution",
          given={f"{PUMP}.overload": "in a starter", f"{PUMP}.full_load_current": "10 A"},
          apart=0.1),
    Sides("ground-fault breaker", f"{PUMP}.voltage", "301 V", "300 V", "caution", "",
          "asked up to 150 V to ground, 300 V between two conductors; NEC 210.8(F)",
          given={f"{PUMP}.ground_fault_breaker": False, "site.code_edition": 2020,
                 f"{PUMP}.rated_power": None}),
    Sides("ground-fault breaker", "site.code_edition", 2017, 2020, "caution", "",
          "asked from the edition of 2020", "site.code_edition",
          given={f"{PUMP}.ground_fault_breaker": False}),
    Sides("voltage at start", f"{PUMP}.cable.length", "1650 ft", "1665 ft", "fail", "35 %",
          "a motor at rest is an impedance of 230 V / 40 A at a power factor of 0.6; it keeps 65 % "
          "behind 0.7141 times that, 4.106 ohm; 10 AWG has 1.24 ohm in 1000 ft, two ways: 1656 ft",
          f"{PUMP}.cable"),
    Sides("motor conductor", f"{PUMP}.full_load_current", "24 A", "24.1 A", "fail", "30.1 A",
          "10 AWG carries 30 A at 60 degC, over 1.25", f"{PUMP}.cable"),
    Sides("voltage drop", "limits.voltage_drop", "0.587 %", "0.584 %", "caution", "0.584 %",
          "1250 VA at 230 V are 5.435 A; 200 ft of 1.24 ohm in 1000 ft lose 1.348 V, 0.586 %",
          f"{PUMP}.cable"),
    Sides("drop pipe pressure", "piping.drop_pipe.pressure_class", "174 psi", "172 psi", "fail",
          "172 psi", "400.5 ft of shut-off head are 173.6 psi", "piping.drop_pipe.pressure_class"),
    Sides("lateral pressure", "piping.lateral.pressure_class", "150 psi", "148 psi", "fail",
          "148 psi", "400.5 ft less 60 ft of lift, and 4 ft below the ground: 344.5 ft, 149.3 psi",
          "piping.lateral.pressure_class"),
    Sides("lateral pressure", "piping.lateral.pressure_class", "79.4 psi", "79.2 psi", "fail",
          "79.2 psi", "a relief valve of 75 psi, 10 ft (4.34 psi) above its lowest point",
          given={"pressure_tank.relief_pressure": "75 psi"}),
    Sides("deep setting", f"{PUMP}.intake_depth", "304 ft", "306 ft", "caution", "300 ft",
          "300 ft on polyethylene of 250 psi: common practice; the pitless adapter is 4 ft down",
          "piping.drop_pipe.pressure_class", given={"well.depth": "400 ft"}),
    Sides("generator start", "power.generator_rating", "3.86 kVA", "3.83 kVA", "fail", "3.85 kVA",
          "per unit of the motor at rest, 9.2 kVA: 0.6 and the cable's 0.248 ohm of 5.75 ohm, "
          "0.6431; 1 / 0.65 of it leaves a reactance of 1.3977 - 0.8, so that 9.2 kVA x 0.25 / "
          "0.5977 is 3.85 kVA"),
))  # fmt: skip

AT_ONCE = Group("pumps", "two", {}, (
    Sides("pumps at once on the well", "well.tested_yield", "20.1 gpm", "19.8 gpm", "fail", "",
          "twice 10 gpm", "power.pump_changeover", lacking="breaks"),
    Sides("pumps at once on the well", "pump[2].intake_depth", "90 ft", "89.5 ft", "fail", "",
          "60 ft at rest, 20 ft of drawdown by 20 gpm, and 10 ft of cover"),
    Sides("pumps at once on the well", "well.tested_yield", "20.1 gpm", "19.8 gpm", "caution", "",
          "with both protected against running dry", given={f"{PUMP}.dry_run_protection": True,
          "pump[2].dry_run_protection": True}),
    Sides("pumps at once in the pipe", "limits.velocity", "7.43 ft/s", "7.38 ft/s", "caution",
          "7.38 ft/s", "20 gpm through 1.049 in of bore: twice 3.712 ft/s",
          "power.pump_changeover", given={"piping.lateral.size": "1 in"}, lacking="breaks"),
    Sides("pumps at once on the inverter", "power.inverter_rating", "2.5 kVA", "2.48 kVA", "fail",
          "2.48 kVA", "twice 1250 VA", "power.pump_changeover", lacking="breaks"),
    Sides("pumps that start at once", "power.inverter_surge", "23 kVA", "22.8 kVA", "caution",
          "22.8 kVA", "twice 9.2 kVA, and a fifth to spare", "power.pump_changeover",
          lacking="breaks", apart=0.21),
    Sides("pumps that start at once", "power.inverter_surge", "18.4 kVA", "18.2 kVA", "fail",
          "18.2 kVA", "twice 9.2 kVA", kept="caution"),
    Sides("pumps at once on the generator", "power.generator_rating", "7.7 kVA", "7.66 kVA",
          "fail", "7.7 kVA", "twice the 3.849 kVA of each (see its start)"),
))  # fmt: skip

TANK = Group("pressure_tank", "steady", {}, (
    Sides("house pressure", "pressure_switch.cut_out", "80 psi", "81 psi", "fail", "80 psi",
          "80 psi (552 kPa), as the source of the rule has it"),
    Sides("house pressure", "piping.reducing_valve", "80 psi", "81 psi", "fail", "80 psi",
          "the same behind a reducing valve", given={"pressure_switch.cut_out": "90 psi"}),
    Sides("precharge", "pressure_tank.precharge", "40 psi", "41 psi", "fail", "40 psi",
          "never above a cut-in of 40 psi", "pressure_tank.precharge", apart=0.03),
    Sides("precharge", "pressure_tank.precharge", "35 psi", "34 psi", "caution", "40 psi",
          "5 psi below cut-in: common practice", apart=0.16),
    Sides("tank relief", "pressure_tank.greatest_pressure", "75 psi", "74 psi", "fail", "74 psi",
          "the relief valve opens at 75 psi", given={"pressure_tank.relief_pressure": "75 psi"}),
    Sides("tank relief", "pressure_tank.relief_pressure", "60.5 psi", "60 psi", "fail", "60 psi",
          "above the 60 psi of usual work", "pressure_tank.greatest_pressure",
          given={"pressure_tank.greatest_pressure": "60.5 psi"}, lacking="never"),
    Sides("tank relief", "pressure_tank.greatest_pressure", "60 psi", "59.5 psi", "fail",
          "59.5 psi", "60 psi at work, of a pump that presses no harder than 45.3 psi",
          given={f"{PUMP}.head": "170.5, 170, 1 ft"}, apart=0.3),
    Sides("tank relief", "pressure_tank.greatest_pressure", "145 psi", "144 psi", "fail",
          "144 psi", "400.5 ft less 60 ft of lift and 6 ft to the tank press with 145 psi",
          "pressure_tank.greatest_pressure"),
    Sides("run time", "pressure_tank.volume", "77.6 gal", "77.1 gal", "caution", "120 s",
          "two minutes from 1 hp; 10 gpm fill 20 gal, by Boyle 25.8 % of 77.5 gal: 52.696 psi "
          "absolute at precharge (1 / 54.696 - 1 / 74.696)", HP, lacking="breaks"),
    Sides("run time", "pressure_tank.volume", "38.8 gal", "38.5 gal", "fail", "120 s",
          "one minute for any", kept="caution", apart=0.51),
    Sides("run time", "pressure_tank.volume", "38.8 gal", "38.5 gal", "fail", "60 s",
          "one minute below 1 hp", given={HP: "3/4 hp"}),
    Sides("starts a day", "demand.daily_use", "2215 gal/day", "2235 gal/day", "caution",
          "100 starts/day", "100 a day from 1 hp, of 22.18 gal (25.8 % of 86 gal) each", HP,
          lacking="breaks"),
    Sides("starts a day", "demand.daily_use", "6640 gal/day", "6700 gal/day", "caution",
          "300 starts/day", "300 a day below 1 hp", "demand.daily_use",
          given={HP: "3/4 hp", "site.people": None}),
    Sides("starts an hour", "pressure_tank.volume", "77.6 gal", "76.8 gal", "caution",
          "7.5 starts/h", "7.5 an hour from 1 hp: a quarter of 10 gpm over 20 gal", HP,
          lacking="breaks"),
    Sides("starts an hour", "pressure_tank.volume", "38.8 gal", "38.4 gal", "caution",
          "15 starts/h", "15 an hour below 1 hp", given={HP: "3/4 hp"}),
))  # fmt: skip

HELD = Group("pressure_tank", "vfd", {}, (
    Sides("drive's precharge", "pressure_tank.precharge", "36 psi", "35.7 psi", "caution",
          "60 psi", "60 % of the 60 psi held: from memory", "pressure_tank.precharge", apart=0.5),
    Sides("drive's precharge", "pressure_tank.precharge", "51 psi", "51.4 psi", "caution",
          "60 psi", "85 % of the 60 psi held: from memory", apart=0.2),
    Sides("drive's precharge", "pressure_tank.precharge", "59.5 psi", "60 psi", "fail", "60 psi",
          "the pressure held", kept="caution", given={"pressure_switch.cut_out": "70 psi"}),
))  # fmt: skip

OF_THE_DRIVE = Group("pumps", "steady", {f"{PUMP}.held_pressure": "60 psi",
                                         f"{PUMP}.start": "variable speed"}, (
    Sides("holds its pressure", "limits.cut_out_margin", "84.7 psi", "86.2 psi", "caution",
          "60 psi", "334.5 ft, 145 psi, above 60 psi", apart=1.5),
    Sides("motor cooling", f"{PUMP}.least_flow", "7.1 gpm", "6.6 gpm", "caution", "0.5 ft/s",
          "0.5 ft/s in the ring of 6 and 5.5 in, 0.03136 ft2, is 7.04 gpm", f"{PUMP}.least_flow",
          given={f"{PUMP}.motor_diameter": "5.5 in"}, apart=0.08),
    Sides("generator start", "power.generator_rating", "1.25 kVA", "1.24 kVA", "fail", "1.25 kVA",
          "a drive starts within its running 1250 VA"),
))  # fmt: skip

OPEN_TANK = Group("pumps", "steady", {"pressure_switch": None, "pressure_tank": None}, (
    Sides("delivers", "piping.tank_elevation", "340 ft", "341 ft", "fail", "401 ft",
          "400.5 ft of shut-off head less 60 ft of lift", "well.specific_capacity",
          given={}, lacking="never"),
))  # fmt: skip

WELL = Group("well", "steady", {}, (
    Sides("runs dry", f"{PUMP}.intake_depth", "70.2 ft", "69.8 ft", "fail", "",
          "the level settles at 60 ft and 10 gpm over 1 gpm/ft", "well.specific_capacity"),
    Sides("runs dry", f"{PUMP}.intake_depth", "70.2 ft", "69.8 ft", "caution", "",
          "with dry-run protection", "well.casing_bore",
          given={f"{PUMP}.dry_run_protection": True}),
    Sides("day's water from the well", "demand.daily_use", "14390 gal/day", "14480 gal/day",
          "fail", "14480 gal", "10 gpm all day"),
    Sides("peak flow", "storage_tank.volume", "14 gal", "13.8 gal", "caution", "13.8 gal",
          "seven minutes of 12 gpm less 10 gpm", given={"demand.peak_flow": "12 gpm"}),
    Sides("peak flow", "demand.peak_flow", "10 gpm", "10.1 gpm", "caution", "",
          "what the pump gives"),
    Sides("well head", "well.casing_height", "12 in", "11.9 in", "caution", "12 in",
          "12 in above the ground, as the rules of the source have it"),
    Sides("well head", "well.casing_height", "36 in", "35.8 in", "caution", "36 in",
          "2 ft above a flood of 1 ft", "well.casing_height",
          given={"well.flood_height": "1 ft"}),
    Sides("well head", "well.casing_height", "12.1 in", "12 in", "fail", "36 in",
          "no higher than a flood of 1 ft", kept="caution", given={"well.flood_height": "1 ft"},
          apart=0.7),
    Sides("well head", "well.casing_height", "0.1 in", "0 in", "fail", "12 in",
          "in the ground", kept="caution", apart=1.1),
    Sides("setback", "well.septic_tank_distance", "50 ft", "49.7 ft", "caution", "50 ft",
          "50 ft from a septic tank, as the source of the rule has it"),
    Sides("setback", "well.drain_field_distance", "100 ft", "99.3 ft", "caution", "100 ft",
          "100 ft from a drain field, as the source of the rule has it"),
))  # fmt: skip

TESTED = {"well.step_test": {"flow": "3, 6, 9, 12 gpm"}}
STEP = Group("well", "steady", {}, (
    # s = B Q + C Q2 with B = 1 ft/gpm: C Q / (B + C Q) is 30 % at 10 gpm where C = 0.042857
    # ft/gpm2, 8600 s2/ft5, of a badly deteriorated well by Walton.
    Sides("well loss", "well.step_test",
          {"flow": "3, 6, 9, 12 gpm", "drawdown": "3.3816, 7.5264, 12.4344, 18.1056 ft"},
          {"flow": "3, 6, 9, 12 gpm", "drawdown": "3.3915, 7.566, 12.5235, 18.264 ft"},
          "caution", "30 %", "C of 0.0424 and of 0.0435 ft/gpm2 lie about 30 % at 10 gpm"),
))  # fmt: skip

FROST = Group("frost", "steady", {}, (
    Sides("frost", "piping.frost_depth", "42 in", "42.2 in", "caution", "48.2 in",
          "6 in above a line at 4 ft, as the source of the rule has it", "piping.frost_depth"),
    Sides("frost", "piping.frost_depth", "47.9 in", "48 in", "fail", "54 in",
          "the line itself", "piping.pitless_depth", kept="caution", apart=0.13),
    Sides("frost", "piping.pitless_depth", "12 in", "11.9 in", "caution", "12 in",
          "12 in where there is no frost", given={"piping.frost_depth": "0 in"}),
    Sides("freezing", "pressure_tank.coldest_room", "39.2 degF", "38 degF", "caution",
          "39.2 degF", "4 degC: common practice", "pressure_tank.coldest_room", apart=0.2),
    Sides("freezing", "pressure_tank.coldest_room", "32 degF", "31 degF", "fail", "39.2 degF",
          "0 degC", kept="caution", apart=1.2),
))  # fmt: skip

SUCTION = Group("pumps", "sucking", {}, (
    Sides("suction lift", "well.static_level", "20 ft", "20.2 ft", "fail", "20.1 ft",
          "0.60 of (101.325 - 1.228) kPa over 999.7 kg/m3 and g, 10.21 m, as the source has it: "
          "20.1 ft"),
    Sides("net positive suction head", f"{PUMP}.required_suction_head", "19.45 ft", "19.6 ft",
          "caution", "21.6 ft", "10.21 m, 33.5 ft, less a lift of 12 ft and 2 ft over, 19.5 ft",
          f"{PUMP}.required_suction_head"),
    Sides("net positive suction head", f"{PUMP}.required_suction_head", "21.45 ft", "21.6 ft",
          "fail", "23.6 ft", "33.5 ft less a lift of 12 ft", kept="caution", apart=0.1),
))  # fmt: skip

SUCKED = Group("hand_pump", "sucking", {}, (
    Sides("hand suction lift", "well.static_level", "20 ft", "20.3 ft", "fail", "20.1 ft",
          "0.60 of 10.21 m, as for the powered pump", "well.specific_capacity"),
))  # fmt: skip

HAND = Group("hand_pump", "by_hand", {}, (
    Sides("cylinder under water", "hand_pump.cylinder_depth", "18.05 m", "18 m", "fail", "18.01 m",
          "18 m at rest and 14.2 L/min over 1000 L/min/m", "well.specific_capacity",
          given={}, lacking="keeps"),
    Sides("depth of the hand pump", "hand_pump.rated_depth", "18.05 m", "18 m", "caution", "18 m",
          "the same level"),
    Sides("depth of the hand pump", "well.static_level", "49.9 m", "50.1 m", "caution", "50 m",
          "50 m where no depth is given, as the source of the rule has it",
          given={"hand_pump.cylinder_depth": "58 m"}),
    Sides("hand travel", "hand_pump.stroke", "125 mm", "126 mm", "caution", "1 m",
          "a metre at the end of a lever of 8 to 1"),
    Sides("hand travel", "hand_pump.stroke", "169 mm", "170 mm", "fail", "1.354 m",
          "twice the 677 mm of a small woman's reach, over 8", kept="caution", apart=0.36),
    Sides("stroke rate", "hand_pump.stroke_rate", "50 strokes/min", "50.5 strokes/min", "caution",
          "50 strokes/min", "50 cycles a minute, as the source of the rule has it"),
    Sides("handle force", "limits.handle_force", "104.1 N", "103 N", "caution", "103 N",
          "a column of 18.61 m on 31.67 cm2 weighs 577.9 N, 24 m of 12 mm rods 182.3 N in water, "
          "friction at 80 % is half of a quarter, 72.2 N: 832.4 N at 8 to 1"),
    Sides("handle force", "hand_pump.lever_ratio", "2.085", "2.07", "fail", "400 N",
          "832.4 N over 400 N", kept="caution", apart=1.1),
    Sides("stretch of the rods", "hand_pump.stroke", "6.14 mm", "6.05 mm", "caution", "10 %",
          "577.9 N on 24 m of 113.1 mm2 at 200 GPa: 0.613 mm"),
    Sides("bucket time", "hand_pump.stroke_rate", "18.9 strokes/min", "18.7 strokes/min",
          "caution", "180 s",
          "20 L by 0.3959 L x 0.9 a stroke, less the 0.5 % that the rods stretch, in 3 min: 18.8"),
    Sides("survival by hand", "demand.survival_use", "42.4 L/day", "42.8 L/day", "caution",
          "8 h", "20 people; 14.18 L/min lift 851 L in an hour", "site.people", apart=0.9),
    Sides("survival by hand", "demand.survival_use", "340 L/day", "342 L/day", "fail", "8 h",
          "14.18 L/min lift 6806 L in 8 h", kept="caution"),
    Sides("maker's discharge table", "hand_pump.discharge_power", "55.4 W", "55 W", "caution",
          "90 %", "10.98 L/min to 27.74 m are 49.76 W of water, over 0.9",
          "hand_pump.discharge_power", given={"hand_pump.discharge_head": "27.74 m",
          "hand_pump.discharge_flow": "10.98 L/min", "hand_pump.discharge_power": "55.4 W"}),
    Sides("maker's discharge table", "hand_pump.discharge_power", "50.3 W", "49.8 W", "fail",
          "90 %", "no pump is without loss", kept="caution",
          given={"hand_pump.discharge_head": "27.74 m",
          "hand_pump.discharge_flow": "10.98 L/min", "hand_pump.discharge_power": "55.4 W"},
          apart=0.12),
))  # fmt: skip

INTO_TANK = Group("hand_pump", "by_hand", {
    "hand_pump.delivers": "tank", "pressure_switch": {"cut_in": "200 kPa", "cut_out": "300 kPa"},
    "pressure_tank": {"volume": "300 L", "precharge": "186 kPa", "greatest_pressure": "690 kPa"},
    "piping": {"tank_elevation": "2 m", "lateral": {"length": "10 m", "size": "3 in",
    "material": "polyethylene SIDR"}},
}, (
    Sides("hand into the tank", "limits.handle_force", "244 N", "242 N", "caution", "242 N",
          "18 m and 2 m of lift and 300 kPa, 30.6 m, make 50.6 m: 1571 N of water on 31.67 cm2, "
          "182.3 N of rods and 196.4 N of friction, 1950 N at 8 to 1: 243.7 N", "pressure_tank"),
    Sides("relief at the hand pump", "hand_pump.relief_pressure", "302 kPa", "300 kPa", "fail",
          "690 kPa", "above a cut-out of 300 kPa", "hand_pump.relief_pressure", apart=0.6),
    Sides("relief at the hand pump", "hand_pump.relief_pressure", "690 kPa", "695 kPa", "fail",
          "690 kPa", "no more than the tank's plate"),
    Sides("relief at the hand pump", "hand_pump.relief_pressure", "689 kPa", "695 kPa", "caution",
          "689 kPa", "100 psi for a tank whose plate is not given: common practice",
          given={"pressure_tank.greatest_pressure": None}),
))  # fmt: skip

LIFTS = Group("lifts", "by_hand", {}, (
    Sides("reach of the lift", "lift[1].greatest_head", "19.1 m", "18.9 m", "fail", "18.9 m",
          "18 m to the water and 1 m to the spout", given={"lift[1].head": "10, 15 m"}),
    Sides("reach of the lift", "lift[1].greatest_head", "19.1 m", "18.9 m", "fail", "18.9 m",
          "the same, of a sheet of one head", "lift[1].greatest_head",
          given={"lift[1].head": "10 m", "lift[1].flow": "30 L/min", "lift[1].power": "60 W"}),
    Sides("reach of the lift", "well.static_level", "28.9 m", "29.1 m", "fail", "30 m",
          "the last head of its sheet, with a spout of 1 m", "well.specific_capacity"),
    Sides("figures of the lift", "lift[1].power", "54.5, 54.5 W", "54.3, 54.3 W", "caution",
          "90 %", "10 L/min to 30 m are 49.02 W of water, over 0.9: 54.47 W", "lift[1].power"),
    Sides("figures of the lift", "lift[1].power", "49.4, 49.4 W", "49.1, 49.1 W", "fail", "90 %",
          "no lift is without loss", kept="caution", apart=0.12),
    Sides("survival by this lift", "demand.survival_use", "47.1 L/day", "47.5 L/day", "caution",
          "8 h", "49.02 W of water at 19.02 m are 15.77 L/min, 946 L an hour for 20 people",
          "site.people", apart=0.9),
    Sides("survival by this lift", "demand.survival_use", "377 L/day", "380 L/day", "fail",
          "8 h", "15.77 L/min are 7570 L in 8 h", kept="caution"),
))  # fmt: skip

CASING = Group("casing", "twoatonce", {}, (
    Sides("fits the casing", "limits.casing_clearance", "0.75 in", "0.76 in", "caution", "0.76 in",
          "6 in less a pump of 3.9 in beside a pipe of 1.35 in outside: 0.75 in",
          "well.casing_bore"),
    Sides("fits the casing", "pump[2].diameter", "4.64 in", "4.66 in", "fail", "0.25 in",
          "6 in less a pipe of 1.35 in", kept="caution", apart=1.2),
))  # fmt: skip

GROUPS = (
    PUMPS, AT_ONCE, TANK, HELD, OF_THE_DRIVE, OPEN_TANK, WELL, STEP, FROST, SUCTION, SUCKED, HAND,
    INTO_TANK, LIFTS, CASING,
)  # fmt: skip


def base_tables(site: str) -> dict[str, Any]:
    """The tables of a plain or named site, read anew."""
    text = getattr(plain, site.upper(), None)
    return tables_of(site) if text is None else tomllib.loads(text)


def with_given(tables: dict[str, Any], given: Given) -> dict[str, Any]:
    """Tables with some keys set and others taken out."""
    kept = {key: value for key, value in given.items() if value is not None}
    made = changed(tables, python_settings(kept))
    assert not made.problems, made.problems
    tables = made.tables
    for key, value in given.items():
        if value is None:
            tables = without(tables, key)
    return tables


def without(tables: dict[str, Any], path: str) -> dict[str, Any]:
    """The tables without a key; where the path has no number, without it in each of several."""
    name, _, rest = path.partition(".")
    name, _, number = name.partition("[")
    kept = dict(tables)
    if not rest:
        kept.pop(name, None)
        return kept
    inner = kept.get(name)
    if isinstance(inner, list):
        only = int(number.rstrip("]")) if number else None
        kept[name] = [
            without(each, rest) if only in (None, place) else each
            for place, each in enumerate(inner, 1)
        ]
    elif inner is not None:
        kept[name] = without(inner, rest)
    return kept
