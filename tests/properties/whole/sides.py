"""Rules at their limits: a site, the key to turn, and where the limit lies.

The limits are worked out here from file, table or source, on plain sites; none is read off an
answer of the program. What prints alike is alike to a verdict, so that the two values lie a hair
beyond the third digit apart.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from types import MappingProxyType
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
    lacking: on which side the key is taken out; needs: what is asked for then, if not that key
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
    given: Given = MappingProxyType({})
    lacking: str = "keeps"
    needs: str = ""
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

PUMPS = Group("pumps", "steady", {}, (
    Sides("reaches cut-out", "limits.cut_out_margin", "84.7 psi", "86.2 psi", "caution", "60 psi",
          "400.5 ft of shut-off head less 60 ft of lift and 6 ft to the tank: 334.5 ft, 145 psi "
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
    Sides("efficiency", f"{PUMP}.power", "426, 426, 426.1 W", "421, 421, 421.1 W", "caution",
          "75 %",
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
    Sides("pipe velocity", "piping.drop_pipe.size", "1 1/4 in", "1 in", "caution", "3 ft/s",
          "10 gpm through 1.38 and 1.049 in: 2.14 and 3.712 ft/s",
          given={"limits.velocity": "3 ft/s"}, apart=0.3),
    Sides("day's water", "demand.daily_use", "14390 gal/day", "14480 gal/day", "fail", "24 h",
          "10 gpm give 14400 gal a day", "demand.daily_use", given={"site.people": None},
          kept="caution", apart=2.1),
    Sides("day's water", "demand.daily_use", "4790 gal/day", "4860 gal/day", "caution", "8 h",
          "and 4800 gal in 8 h: common practice"),
    Sides("day's water", "demand.daily_use", "7200 gal/day", "7240 gal/day", "fail", "7200 gal",
          "the well yields 5 gpm", given={"well.tested_yield": "5 gpm",
          "limits.daily_run": "24 h"}),
    Sides("motor load", f"{PUMP}.power", "1625, 1625, 1625.1 W", "1645, 1645, 1645.1 W",
          "caution", "1.4 hp", "64 % of it at the shaft of 1 hp, whose plates have a service "
          "factor of 1.4: from memory"),
    Sides("motor load", HP, "1 hp", "1/2 hp", "caution", "0.8 hp",
          "64 and 56 % of 1100 W, of 1.4 hp and of 1.6 times 1/2 hp",
          given={f"{PUMP}.power": "1100, 1100, 1100.1 W"}, apart=0.35),
    Sides("motor load", f"{PUMP}.service_factor", "1.12", "1.10", "caution", "0.825 hp",
          "10 gpm at 70 + 6 + 138.5 ft are 0.542 hp of water: 0.833 hp of the best pump, and more "
          "than a motor of 3/4 hp has of a usual one",
          kept="unknown", given={f"{PUMP}.power": None, HP: "3/4 hp"}),
    Sides("motor load", f"{PUMP}.service_factor", "1.21", "1.19", "caution", "1.19 hp",
          "64 % of 1400 W are 1.2 hp", given={f"{PUMP}.power": "1400, 1400, 1400.1 W"}),
    Sides("pump breaker", f"{PUMP}.breaker", "10 A", "9.9 A", "caution", "10 A",
          "125 % of 8 A, the code's full load of 1 hp at 230 V"),
    Sides("pump breaker", f"{PUMP}.breaker", "8 A", "7.9 A", "fail", "8 A", "that full load",
          kept="caution", apart=0.21),
    Sides("pump breaker", f"{PUMP}.breaker", "20 A", "20.5 A", "caution", "20 A",
          "250 % of 8 A", apart=1.1),
    Sides("pump breaker", f"{PUMP}.breaker", "32 A", "32.5 A", "fail", "20 A",
          "400 % of 8 A", kept="caution", apart=0.7),
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
          "a motor at rest is an impedance of 230 V / 40 A at a power factor of 0.6; it keeps 65 "
          "% behind 0.7141 times that, 4.106 ohm; 10 AWG has 1.24 ohm in 1000 ft: 1656 ft",
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
          "above the 60 psi of usual work",
          given={"pressure_tank.greatest_pressure": "60.5 psi"}),
    Sides("tank relief", "pressure_tank.greatest_pressure", "60 psi", "59.5 psi", "fail",
          "59.5 psi", "60 psi at work, of a pump that presses no harder than 45.3 psi",
          given={f"{PUMP}.head": "170.5, 170, 1 ft"}, apart=0.3),
    Sides("tank relief", "pressure_tank.greatest_pressure", "145 psi", "144 psi", "fail",
          "144 psi", "400.5 ft less 60 ft of lift and 6 ft to the tank press with 145 psi",
          "pressure_tank.greatest_pressure"),
    Sides("run time", "pressure_tank.volume", "77.6 gal", "77.1 gal", "caution", "120 s",
          "two minutes from 1 hp; 10 gpm fill 20 gal, by Boyle 25.8 % of 77.5 gal: 52.696 psi "
          "absolute at precharge (1 / 54.696 - 1 / 74.696)", HP, lacking="breaks"),
    Sides("run time", "pressure_switch.cut_out", "60 psi", "58 psi", "caution", "120 s",
          "a narrower span: 52.696 psi (1 / 54.696 - 1 / 72.696) are 23.9 % of 77.6 gal, 18.5 gal",
          given={"pressure_tank.volume": "77.6 gal"}, apart=0.09),
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

OF_THE_JET = Group("pumps", "two_pipe_jet", {"well.specific_capacity": "1000 gpm/ft",
                   f"{PUMP}.intake_depth": "82 ft"}, (
    Sides("jet lift", "well.static_level", "75.5 ft", "76.3 ft", "fail", "70 ft",
          "70 ft, where the table ends, from a pump 6 ft down"),
))  # fmt: skip

VALVE = "constant_pressure_valve"
OF_THE_VALVE = Group("pumps", "steady", {VALVE: {"set_pressure": "50 psi", "least_flow": "1 gpm",
                     "greatest_pressure": "200 psi"}, f"{PUMP}.least_flow": "0.5 gpm"}, (
    Sides("valve setting", f"{VALVE}.set_pressure", "59.5 psi", "60 psi", "fail", "60 psi",
          "the cut-out"),
    Sides("valve setting", f"{VALVE}.set_pressure", "40.5 psi", "40 psi", "caution", "60 psi",
          "the cut-in", apart=0.4),
    Sides("pressure before the valve", f"{VALVE}.greatest_pressure", "145.5 psi", "144.4 psi",
          "fail", "144 psi", "334.5 ft, 145 psi, at the tank",
          f"{VALVE}.greatest_pressure"),
    Sides("least flow", f"{PUMP}.least_flow", "0.999 gpm", "1.03 gpm", "caution", "1.03 gpm",
          "what the valve lets through", f"{PUMP}.least_flow", apart=0.03),
    Sides("least flow", f"{VALVE}.least_flow", "0.0021 gpm", "0 gpm", "fail", "",
          "a valve that shuts tight", f"{VALVE}.least_flow",
          given={f"{PUMP}.least_flow": "0.002 gpm"}),
))  # fmt: skip

OPEN_TANK = Group("pumps", "steady", {"pressure_switch": None, "pressure_tank": None}, (
    Sides("delivers", "piping.tank_elevation", "340 ft", "341 ft", "fail", "401 ft",
          "400.5 ft of shut-off head less 60 ft of lift", "well.specific_capacity"),
))  # fmt: skip

WELL = Group("well", "steady", {}, (
    Sides("runs dry", f"{PUMP}.intake_depth", "70.2 ft", "69.8 ft", "fail", "",
          "the level settles at 60 ft and 10 gpm over 1 gpm/ft"),
    Sides("runs dry", f"{PUMP}.intake_depth", "70.2 ft", "69.8 ft", "caution", "",
          "with dry-run protection", "well.casing_bore", lacking="breaks",
          given={f"{PUMP}.dry_run_protection": True}),
    Sides("day's water from the well", "demand.daily_use", "14390 gal/day", "14480 gal/day",
          "fail", "14480 gal", "10 gpm all day"),
    Sides("peak flow", "storage_tank.volume", "18.7 gal", "18.4 gal", "caution", "14 gal",
          "seven minutes of 12 gpm less 10 gpm, of three quarters of the tank",
          given={"demand.peak_flow": "12 gpm", "pressure_tank.volume": "77 gal"}),
    Sides("peak flow", "pressure_tank.volume", "120.5 gal", "119.5 gal", "caution", "21 gal",
          "When the Well Runs Dry, The Driller, article 85040: 21 gal for seven minutes of 13 gpm "
          "by a pump of 10 gpm, beyond 10 gal for a minute's run: 31 gal, 25.8 % of 120.1 gal",
          given={"demand.peak_flow": "13 gpm", HP: "3/4 hp"}, apart=0.025),
    Sides("peak flow", "demand.peak_flow", "10 gpm", "10.1 gpm", "caution", "",
          "what the pump gives", given={"pressure_tank.volume": "77 gal"}),
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

STEP = Group("well", "steady", {}, (
    # s = B Q + C Q2 with B = 1 ft/gpm: C Q / (B + C Q) is 30 % at 10 gpm where C = 0.042857
    # ft/gpm2, 8600 s2/ft5, of a badly deteriorated well by Walton.
    Sides("well loss", "well.step_test",
          {"flow": "3, 6, 9, 12 gpm", "drawdown": "3.3816, 7.5264, 12.4344, 18.1056 ft"},
          {"flow": "3, 6, 9, 12 gpm", "drawdown": "3.3915, 7.566, 12.5235, 18.264 ft"},
          "caution", "30 %", "C of 0.0424 and of 0.0435 ft/gpm2 lie about 30 % at 10 gpm"),
))  # fmt: skip

LONG = {"well.drawdown_test": {
    "flow": "8 gpm", "time": "2, 10, 60, 240, 720, 1440 min",
    "level": "62.1, 63.0, 64.1, 64.9, 65.5, 65.9 ft"}}  # fmt: skip
PUMPED = Group("well", "steady", LONG, (
    Sides("length of the test", "well.drawdown_test.time", "2, 10, 60, 240, 720, 1440 min",
          "2, 10, 60, 240, 720, 1430 min", "caution", "24 h", "a day, as the source has it"),
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
          "18 m at rest and 14.2 L/min over 1000 L/min/m", "well.specific_capacity"),
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
    Sides("bucket time", "hand_pump.bore", "43.6 mm", "43.2 mm", "caution", "180 s",
          "20 L by 125 mm x 0.9 x 40 strokes in 3 min want 14.81 cm2, and 0.2 % for the rods"),
    Sides("handle force", "hand_pump.bore", "63.5 mm", "64 mm", "caution", "104.1 N",
          "the column's weight grows with its bore", given={"limits.handle_force": "104.1 N"}),
    Sides("stretch of the rods", "hand_pump.stroke", "6.14 mm", "6.05 mm", "caution", "10 %",
          "577.9 N on 24 m of 113.1 mm2 at 200 GPa: 0.613 mm"),
    Sides("stretch of the rods", "hand_pump.rod_diameter", "3.81 mm", "3.78 mm", "fail", "10 %",
          "the whole stroke of 6.14 mm: 12 mm times the root of 0.613 over 6.14, 3.792 mm",
          kept="caution", given={"hand_pump.stroke": "6.14 mm"}, apart=9.2),
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
          "90 %", "10 L/min to 30 m are 49.02 W of water, over 0.9: 54.47 W", "lift[1].power",
          needs="lift[1].efficiency"),
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

SUN_ON_PUMPS = Group("supply", "sunny", {}, (
    # 2 h of 1000 W and of 5.435 A in 0.248 ohm of cable, over 0.9 of the inverter: 2.2385 kWh.
    Sides("array for the pump", "power.array_derate", "62.3 %", "62 %", "fail", "4",
          "2.2385 kWh over 4 h of sun and 3 x 32.6 V x 9.2 A: 62.2 %", "module",
          given={"array[1].series": 3}, apart=0.26),
    Sides("battery for the pump", "power.battery_energy", "2.81 kWh", "2.79 kWh", "caution",
          "24 h", "2.2385 kWh over the usable 80 %", "power.battery_energy"),
    Sides("array for the pump", "array[1].parallel", 2, 1, "fail", "3",
          "3 modules for 2.2385 kWh: 2 rows of 2", given={"array[1].series": 2}, apart=0.34),
    Sides("battery for the pump", "aim.dark_days", "2 days", "2.01 days", "caution", "2.01 days",
          "80 % of 5.6 kWh are 2.0013 times that", given={"power.battery_energy": "5.6 kWh"}),
    Sides("array for the pump", "aim.spare", "60 %", "61.5 %", "fail", "5",
          "4 h of sun and 4 x 32.6 V x 9.2 A, of which 75 % come: 3.599 kWh, 1.608 times that",
          given={"array[1].series": 4}, apart=0.26),
))  # fmt: skip

LEDGER = Group("ledger", "sunny", {}, (
    Sides("modules on hand", "module.on_hand", 4, 3, "fail", "3", "four are used",
          apart=0.4),
))  # fmt: skip

DIRECTION = Group("sun", "south_slope", {}, (
    Sides("array's direction", "array[1].azimuth", "90 deg", "89 deg", "caution", "",
          "a right angle off the south"),
    Sides("array's direction", "array[1].azimuth", "270 deg", "271 deg", "caution", "",
          "the same to the west"),
))  # fmt: skip

RANGES = Group("ranges", "steady", {"well.depth": "400 ft", f"{PUMP}.intake_depth": "300 ft"}, (
    Sides("holds over the ranges", "well.static_level", "154 ft .. 259 ft", "154 ft .. 264 ft",
          "caution", "95 %", "above 256 ft it never shuts off (see its reach): 2.8 % and 7.2 % of "
          "the range", apart=0.06),
    Sides("holds over the ranges", "well.static_level", "249 ft .. 263 ft", "257 ft .. 264 ft",
          "fail", "95 %", "half of the one range, all of the other", kept="caution", apart=1.1),
))  # fmt: skip

NO_SUMMER = {"sun.temperature": None}
SMALL = {
    "array[2].series": 1, "array[2].ground_fault_protection": False, "module.rated_power": None,
    "site.code_edition": 2023, "module.isc": "6.3 A", "module.imp": "6 A", "module.cells": 40,
    "module.vmp": "21.3 V", "module.voc": "26.3 V", "array[2].least_input_voltage": None,
}  # fmt: skip
"""One small module."""
ARRAYS = Group("arrays", "south_slope", {**DRY, **NO_SUMMER}, (
    Sides("cold open-circuit voltage", "array[2].greatest_input_voltage", "273 V", "271 V",
          "fail", "271 V", "6 x 39.9 V x 1.14 by the table of NEC 690.7 at -8 degC: 272.9 V",
          "array[2].greatest_input_voltage"),
    Sides("cold open-circuit voltage", "array[2].greatest_input_voltage", "239.4 V", "238 V",
          "fail", "238 V", "open at 25 degC, 6 x 39.9 V: over what it bears in any cold",
          kept="unknown", given={"sun.record_low": None}, apart=0.4),
    Sides("cold open-circuit voltage", "module.greatest_system_voltage", "273 V", "271 V",
          "fail", "271 V", "the same on the modules' label"),
    Sides("operating voltage", "array[2].least_input_voltage", "195.6 V", "196.7 V", "fail",
          "196.7 V", "6 x 32.6 V at the sheet's 25 degC", "array[2].least_input_voltage",
          kept="unknown", apart=0.25),
    Sides("ground fault", "module.voc", "26.3 V", "26.6 V", "fail", "",
          "30 V over 1.14; NEC (2023) 690.41(B)", "array[2].ground_fault_protection",
          lacking="breaks", given=SMALL),
    Sides("ground fault", "module.isc", "6.4 A", "6.45 A", "fail", "", "8 A over 1.25; the same",
          given=SMALL),
    Sides("arc fault", "module.voc", "35.05 V", "35.15 V", "caution", "",
          "80 V over 2 x 1.14; NEC 690.11", "array[2].arc_fault_protection", lacking="breaks",
          given={"array[2].series": 2, "array[2].arc_fault_protection": False,
                 "module.vmp": "28 V", "array[2].least_input_voltage": None,
                 "module.rated_power": None}),
    Sides("pv overcurrent", "array[2].overcurrent", "15.2 A", "15.1 A", "fail", "15.2 A",
          "1.25 x 1.25 x 9.7 A is 15.16 A"),
    Sides("pv overcurrent", "array[2].string_fuse", "15.2 A", "15.1 A", "fail", "15.2 A",
          "the same of a row"),
    Sides("pv overcurrent", "array[2].string_fuse", "20 A", "20.2 A", "fail", "20 A",
          "the modules' label"),
    Sides("pv overcurrent", "array[2].backfeed", "20 A", "20.2 A", "fail", "",
          "what stands behind feeds more than the label allows", "array[2].backfeed"),
    Sides("isolator", "array[2].isolator_voltage", "273 V", "271 V", "fail", "273 V",
          "272.9 V in the cold", "array[2].isolator_voltage"),
    Sides("isolator", "array[2].isolator_current", "12.2 A", "12 A", "fail", "12.1 A",
          "1.25 x 9.7 A", "array[2].isolator_current"),
))  # fmt: skip

CIRCUIT = Group("heated_tank", "south_slope", DRY, (
    Sides("cold open-circuit voltage", "module.voc", "40.4 V", "40.8 V", "fail", "600 V",
          "600 V in a house over 13 x 1.14", given={"array[1].series": 13}),
    Sides("cold open-circuit voltage", "array[1].greatest_input_voltage", "182 V", "181 V",
          "fail", "181 V", "4 x 39.9 V x 1.14: 181.9 V", "sun.record_low", lacking="breaks"),
    Sides("pv conductor", "module.isc", "19.2 A", "19.4 A", "fail", "30.3 A",
          "10 AWG carries 30 A at 60 degC, over 1.25 x 1.25",
          given={"module.isc": "19 A", "module.imp": "18.4 A", "module.rated_power": None}),
    Sides("hot water stored", "water_heater.volume", "22.1 gal", "21.9 gal", "caution", "30 gal",
          "30 gal a day at 105 degF over 0.7 of 72 degF, of 140 from 68, over 37: 22.02 gal"),
    Sides("hot water stored", f"{ELEMENT}.thermostat", "104.9 degF", "105.2 degF", "caution",
          "15 gal", "asked of a tank that is set as warm as the 105 degF of the taps",
          given={"water_heater.volume": "20 gal", "water_heater.draw": {
          "volume": "15 gal", "temperature": "105 degF"}}, apart=0.1),
    Sides("pv conductor", "array[1].cable.gauge", "10 AWG", "12 AWG", "fail", "23.4 A",
          "1.25 x 1.25 x 15 A; 10 AWG carries 30 A, 12 AWG 20 A at 60 degC", apart=0.3,
          given={"module.isc": "15 A", "module.imp": "14.4 A", "module.rated_power": None}),
    Sides("thermostat setting", f"{ELEMENT}.thermostat", "105 degF", "104 degF", "fail",
          "105 degF", "water of 105 degF is wanted at the taps",
          given={"water_heater.mixing_valve": None}),
    Sides("thermostat setting", "aim.clear_day_temperature", "140 degF", "141 degF", "fail",
          "141 degF", "it is set to 140 degF"),
    Sides("isolator", "array[1].isolator_voltage", "182 V", "181 V", "fail", "182 V",
          "4 x 39.9 V x 1.14 by the table of NEC 690.7 at -8 degC: 181.9 V",
          "array[1].isolator_voltage"),
    Sides("isolator", "array[1].isolator_current", "12.2 A", "12 A", "fail", "12.1 A",
          "1.25 x a short-circuit current of 9.7 A", "array[1].isolator_current"),
    Sides("pv overcurrent", "array[1].overcurrent", "15.2 A", "15.1 A", "fail", "15.2 A",
          "1.25 x 1.25 x 9.7 A is 15.16 A"),
    Sides("thermostat on direct current", f"{ELEMENT}.switch_voltage", "182 V", "181 V", "fail",
          "182 V", "181.9 V in the cold", f"{ELEMENT}.switch_voltage"),
    Sides("thermostat on direct current", f"{ELEMENT}.switch_current", "12.2 A", "12 A", "fail",
          "12.1 A", "1.25 x 9.7 A", f"{ELEMENT}.switch_current"),
    Sides("thermostat on direct current", f"{ELEMENT}.switch_voltage", "159.6 V", "158 V", "fail",
          "199.5 V", "open at 25 degC, 4 x 39.9 V: too little in any cold", kept="unknown",
          given={"sun.record_low": None}, apart=0.4),
    Sides("high limit on direct current", f"{ELEMENT}.high_limit_voltage", "182 V", "181 V",
          "fail", "182 V", "181.9 V in the cold", f"{ELEMENT}.high_limit_voltage"),
    Sides("high limit on direct current", f"{ELEMENT}.high_limit_current", "12.2 A", "12 A",
          "fail", "12.1 A", "1.25 x 9.7 A", f"{ELEMENT}.high_limit_current"),
))  # fmt: skip

NO_VALVE = {"water_heater.mixing_valve": None}
SECOND = {"water_heater.second_tank": {
    "volume": "40 gal", "heat_loss": "1.2 W/K", "rated_power": "4500 W", "thermostat": "140 degF",
    "high_limit": "170 degF", "relief_temperature": "210 degF", "relief_pressure": "150 psi",
    "relief_capacity": "5000 W", "working_pressure": "150 psi",
}}  # fmt: skip
VALVE, TANK_2 = "water_heater.mixing_valve", "water_heater.second_tank"
HEAT = Group("heated_tank", "south_slope", DRY, (
    Sides("storage temperature", f"{ELEMENT}.thermostat", "140 degF", "138 degF", "caution",
          "140 degF", "60 degC of storage against legionella"),
    Sides("storage temperature", f"{TANK_2}.thermostat", "140 degF", "138 degF", "caution",
          "140 degF", "the same of a second tank", given=SECOND),
    Sides("high limit", "water_heater.high_limit", "180 degF", "182 degF", "caution", "180 degF",
          "high limits of such tanks open at 170 to 180 degF", "water_heater.high_limit",
          apart=0.25),
    Sides("high limit", f"{ELEMENT}.thermostat", "161 degF", "163 degF", "caution", "170 degF",
          "5 K below a high limit of 170 degF: our choice", apart=0.08),
    Sides("high limit", f"{ELEMENT}.thermostat", "168 degF", "170 degF", "fail", "170 degF",
          "the high limit itself", kept="caution"),
    Sides("high limit", "water_heater.greatest_temperature", "170 degF", "168 degF", "fail",
          "168 degF", "the tank's plate", apart=0.2),
    Sides("high limit", "water_heater.relief_temperature", "172 degF", "170 degF", "fail",
          "170 degF", "the relief valve opens there", apart=0.25),
    Sides("mixing valve", f"{VALVE}.outlet", "120 degF", "122 degF", "fail", "120 degF",
          "120 degF of model plumbing codes"),
    Sides("mixing valve", f"{ELEMENT}.thermostat", "120 degF", "122 degF", "fail", "120 degF",
          "without a valve the fixtures' own hold back what a stuck thermostat lets come",
          kept="caution", given=NO_VALVE, apart=0.6),
    Sides("mixing-valve supply", "water_heater.high_limit", "180 degF", "182 degF", "caution",
          "180 degF", "180 degF of the valve's standard", f"{VALVE}.standard"),
    Sides("mixing-valve supply", f"{VALVE}.greatest_supply", "170 degF", "168 degF", "fail",
          "168 degF", "what its maker lets in"),
    Sides("mixing-valve supply", f"{ELEMENT}.thermostat", "140 degF", "138 degF", "caution",
          "140 degF", "20 degF above an outlet of 120 degF", apart=0.06),
    Sides("mixing-valve supply", f"{ELEMENT}.thermostat", "125 degF", "123 degF", "caution",
          "125 degF", "125 degF of the valve's standard", given={f"{VALVE}.outlet": "105 degF"},
          apart=0.06),
    Sides("mixing-valve standard", f"{VALVE}.outlet", "105 degF", "103 degF", "caution", "",
          "105 degF of the valve's standard", f"{VALVE}.standard",
          given={"water_heater.draw.temperature": "100 degF"}),
    Sides("relief valve", "water_heater.relief_pressure", "150 psi", "151 psi", "fail", "150 psi",
          "150 psi of the valve's standard", "water_heater.relief_temperature"),
    Sides("relief valve", "water_heater.working_pressure", "125 psi", "124 psi", "fail",
          "124 psi", "the tank's plate", "water_heater.working_pressure",
          given={"water_heater.relief_pressure": "125 psi"}),
    Sides("relief capacity", f"{TANK_2}.relief_capacity", "4500 W", "4470 W", "fail", "4500 W",
          "an element of 4500 W; what passes best is the other tank's",
          f"{TANK_2}.relief_capacity", given=SECOND, apart=20.0),
    Sides("pressure at the relief valve", "water_heater.relief_pressure", "55.6 psi", "55.2 psi",
          "caution", "49.7 psi", "50 psi of the switch are 90 % of 55.6 psi",
          "water_heater.relief_pressure"),
    Sides("pressure at the relief valve", "water_heater.relief_pressure", "50.3 psi", "49.8 psi",
          "fail", "44.8 psi", "the valve itself", kept="caution", apart=0.13),
    Sides("boiling", "water_heater.high_limit", "190 degF", "192 degF", "caution", "190 degF",
          "69.68 kPa at 10,000 ft by the standard atmosphere, at which water boils at 89.8 degC "
          "(IAPWS), and 2 K below", "water_heater.high_limit", lacking="breaks",
          given={"site.altitude": "10000 ft"}),
    Sides("boiling", f"{ELEMENT}.thermostat", "192 degF", "196 degF", "fail", "190 degF",
          "193.7 degF there", kept="caution", apart=0.15,
          given={"site.altitude": "10000 ft", "water_heater.high_limit": "200 degF"}),
    Sides("thermal expansion", "water_heater.expansion_tank_volume", "2.36 gal", "2.34 gal",
          "fail", "80 psi", "30 gal grow from 998.4 to 974 kg/m3 by 0.751 gal; 64.07 psi absolute "
          "rise to 94.07, 80 psi, in 0.751 x 94.07 / 30 = 2.354 gal",
          "water_heater.expansion_tank_volume"),
    Sides("thermal expansion", "water_heater.relief_pressure", "56.8 psi", "56.4 psi", "caution",
          "50.8 psi", "into 52.5 gal of air above 80 gal of tank: 64.07 psi x 52.5 / 51.78 are "
          "50.93 psi, 90 % of 56.6", "pressure_tank",
          given={"water_heater.check_valve": False, "water_heater.expansion_tank": None}),
    Sides("thermal expansion", "water_heater.relief_pressure", "51.1 psi", "50.7 psi", "fail",
          "45.6 psi", "50.93 psi, at which the valve opens", "water_heater.check_valve",
          kept="caution",
          given={"water_heater.check_valve": False, "water_heater.expansion_tank": None},
          apart=0.13),
))  # fmt: skip

TWO_CURRENTS = Group("heated_tank", "ridge_house", DRY, (
    Sides("hot water stored", "water_heater.draw.volume", "299 gal", "309 gal", "caution",
          "95.5 gal",
          "17 of the medium pattern's 55 gal in its first hour; 0.7 of 50 gal x 95 over 55 degF: "
          "60.5 gal, 4500 W heat 127 L (33.6 gal) by 30.6 K in an hour: 94.1 gal x 55 / 17 is "
          "304 gal", apart=0.03),
    Sides("high limit on grid or inverter", "water_heater.element[2].rated_voltage", "150 V",
          "151 V", "caution", "", "120 V of a service whose two live conductors have 240 V",
          "water_heater.element[2].high_limit_switches",
          given={"water_heater.element[2].high_limit_poles": 1}),
))  # fmt: skip

ROOM = Group("matching", "south_slope", {**DRY, f"{ELEMENT}.fed_by": "inverter"}, (
    Sides("element on the inverter", "power.inverter_rating", "3.8 kW", "3.79 kW", "fail",
          "3.79 kW", "3800 W at its rated 240 V", "power.inverter_rating"),
    Sides("switch for the surplus", f"{ELEMENT}.surplus_switch_current", "19.8 A", "19.6 A",
          "caution", "19.6 A", "1.25 x 3800 W / 240 V: 19.79 A",
          f"{ELEMENT}.surplus_switch_current", given={f"{ELEMENT}.surplus_switch": "relay"}),
    Sides("switch for the surplus", f"{ELEMENT}.surplus_switch_current", "15.9 A", "15.7 A",
          "fail", "15.7 A", "3800 W / 240 V: 15.83 A", f"{ELEMENT}.surplus_switch",
          kept="caution", given={f"{ELEMENT}.surplus_switch": "proportional"}, apart=0.27),
))  # fmt: skip

TRACKED = Group("matching", "south_slope", {
    f"{ELEMENT}.coupling": "tracking", f"{ELEMENT}.tracker_maximum": "2000 W",
    f"{ELEMENT}.tracker_greatest_input": "200 V", f"{ELEMENT}.tracker_efficiency": "95 %",
}, (
    Sides("electronics on the array", f"{ELEMENT}.tracker_greatest_input", "182 V", "181 V",
          "fail", "181 V", "4 x 39.9 V x 1.14: 181.9 V", f"{ELEMENT}.tracker_greatest_input"),
    Sides("tracking electronics", f"{ELEMENT}.tracker_efficiency", "99 %", "99.2 %", "caution",
          "99 %", "99 %: common practice"),
))  # fmt: skip

CYLINDER = {"kind": "deep well", "bore": "63.5 mm", "stroke": "125 mm", "lever_ratio": "8",
            "cylinder_depth": "24 m", "person_power": "300 W", "stroke_rate": "40 strokes/min",
            "rising_main": {"material": "galvanised steel", "size": "3 in"},
            "volumetric_efficiency": "90 %"}  # fmt: skip
OUTAGE = Group("outages", "by_hand", {}, (
    Sides("water when one thing fails", "demand.survival_use", "340 L/day", "342 L/day", "fail",
          "6840 L", "without the lift 14.18 L/min for 8 h, 6807 L for 20 people", "site.people"),
))  # fmt: skip
STORM = Group("outages", "steady", {"hand_pump": CYLINDER, "site.people": 20, "outage": [
    {"name": "storm", "failed": ["grid", "inverter"], "days": 3}], "pressure_tank": None,
    "pressure_switch": None, "piping.tank_elevation": "200 ft"}, (
    Sides("water in the worst outage", "demand.survival_use", "338 L/day", "342 L/day", "fail",
          "6840 L", "by hand alone: 6807 L for 20 people"),
    Sides("water in an outage of the file", "demand.survival_use", "338 L/day", "342 L/day",
          "fail", "6840 L", "the same"),
))  # fmt: skip

CISTERN = Group("pumps", "poor_well", {}, (
    Sides("booster's peak", "demand.peak_flow", "17.2 gpm", "17.5 gpm", "caution", "17.5 gpm",
          "40 psi, 2 ft of lift and pipes ask for 95 ft, at which its curve gives 17.2 gpm"),
    Sides("filling run", "storage_tank.volume", "17.3 gal", "17 gal", "caution", "60 s",
          "half a horsepower runs one minute: at 3.43 gpm a fifth of 17.2 gal"),
    Sides("air gap", "storage_tank.air_gap", "4 in", "3.8 in", "fail", "100 mm",
          "4 in (100 mm), as the source of the rule has it", "storage_tank.air_gap", apart=0.06),
))  # fmt: skip

CISTERN_PEAK = Group("well", "poor_well", {}, (
    Sides("peak flow", "storage_tank.volume", "266 gal", "262 gal", "caution",
          "172 gal", "260 gal in two hours less 88 gal pumped meanwhile, of 65 % of the tank"),
))  # fmt: skip

HILL = Group("pumps", "uphill", {"storage_tank.gravity_line": {
    "material": "PVC sch 40", "size": "3 in", "length": "30 ft"}}, (
    Sides("pressure by gravity", "storage_tank.elevation", "46.6 ft", "45.5 ft", "caution",
          "20 psi", "20 psi are 46.2 ft of water, and a wide pipe loses nothing to speak of",
          "demand.peak_flow", apart=0.03),
    Sides("pressure by gravity", "storage_tank.elevation", "18.7 ft", "18.2 ft", "fail",
          "20 psi", "8 psi are 18.5 ft", "storage_tank.gravity_line", kept="caution", apart=0.62),
))  # fmt: skip

OPENS = Group("pumps", "steady", {"piping.fittings": [
    {"kind": "check valve", "count": 1, "opening_velocity": "0.95 ft/s"}]}, (
    Sides("check valve opening", "piping.fittings",
          [{"kind": "check valve", "count": 1, "opening_velocity": "0.95 ft/s"}],
          [{"kind": "check valve", "count": 1, "opening_velocity": "0.99 ft/s"}], "caution",
          "0.99 ft/s", "10 gpm through 2.067 in: 0.956 ft/s", apart=0.04),
))  # fmt: skip

GROUPS = (
    CISTERN, CISTERN_PEAK, HILL, OPENS,
    PUMPS, AT_ONCE, TANK, HELD, OF_THE_DRIVE, OF_THE_VALVE, OF_THE_JET, OPEN_TANK, WELL, STEP,
    PUMPED, FROST,
    SUCTION,
    SUCKED, HAND, INTO_TANK, LIFTS, CASING, SUN_ON_PUMPS, LEDGER, DIRECTION, RANGES, ARRAYS,
    CIRCUIT, HEAT, TWO_CURRENTS, ROOM, TRACKED, OUTAGE, STORM,
)  # fmt: skip


class State(NamedTuple):
    """What a site says, and how a rule without a number stands then.

    asks: keys that it lacks, in this order; told: a piece of its reason; not looked at where empty
    """

    rule: str
    status: Status
    given: Given
    asks: tuple[str, ...] = ()
    told: str = ""


class States(NamedTuple):
    """States of one study of one site."""

    study: str
    site: str
    given: Given
    rows: tuple[State, ...]


ON_MAINS = {f"{ELEMENT}.fed_by": "hot water"}
HL, POLES = f"{ELEMENT}.high_limit_switches", f"{ELEMENT}.high_limit_poles"
MAINS = "water_heater.element[2]"
GROUND, ARC, DOWN = (f"array[2].{each}" for each in (
    "ground_fault_protection", "arc_fault_protection", "rapid_shutdown"))  # fmt: skip
CLEAR = {"array[2].place": "ground", "array[2].reaches": "no building"}
LIFT = "lift[1].shares_casing"

STATES = (
    States("pumps", "steady", {}, (
        State("supply phases", "unknown", {f"{PUMP}.phases": 3}),
        State("supply phases", "unknown", {f"{PUMP}.phases": 3, "power.inverter_phases": 3}),
        State("supply phases", "fail", {f"{PUMP}.phases": 3, "power.inverter_phases": 1}),
        State("supply phases", "fail", {f"{PUMP}.phases": 3, "power.inverter_phases": 3,
                                        "power.grid_phases": 1}),
        State("supply phases", "pass", {f"{PUMP}.phases": 3, "power.inverter_phases": 3,
                                        "power.grid_phases": 3}),
        State("supply phases", "pass", {f"{PUMP}.phases": 3, f"{PUMP}.start": "variable speed"}),
        State("bonding at the well", "unknown", {}),
        State("bonding at the well", "pass", {"well.bonded": True}),
        State("bonding at the well", "fail", {"well.bonded": False}),
        State("supplies kept apart", "unknown", {}),
        State("supplies kept apart", "pass", {"power.kept_apart": ["grid and inverter"]}),
        State("supplies kept apart", "fail", {"power.kept_apart": []}),
        State("supplies kept apart", "pass", {"power.grid": False}),
        State("neutral bond", "unknown", {"power.generator_rating": "5 kVA"}),
        *(
            State("neutral bond", status, {
                "power.generator_rating": "5 kVA", "power.generator_neutral": neutral,
                "power.transfer_neutral": transfer})
            for neutral, transfer, status in (
                ("bonded", "switched", "pass"), ("floating", "joined", "pass"),
                ("bonded", "joined", "caution"), ("floating", "switched", "caution"))
        ),
        # 700 ft are 303 psi; PVC sch 40 bears 280 psi of 2 in, as quoted, 260 psi of 3 in, from
        # memory.
        *(
            State("drop pipe pressure", status, {
                f"{PUMP}.head": "700.5, 700, 1 ft", "piping.drop_pipe.pressure_class": None,
                "piping.drop_pipe.material": "PVC sch 40", "piping.drop_pipe.size": size})
            for size, status in (("2 in", "fail"), ("3 in", "caution"))
        ),
        State("generator start", "unknown", {
            "power.generator_rating": "5 kVA", f"{PUMP}.locked_rotor_current": None, HP: None}),
        State("motor overload", "unknown", {}),
        State("motor overload", "fail", {f"{PUMP}.overload": "none"}),
        State("motor overload", "pass", {f"{PUMP}.overload": "in the motor"}),
        State("motor overload", "pass", {f"{PUMP}.overload": "in its box"}),
        State("ground-fault breaker", "pass", {f"{PUMP}.ground_fault_breaker": True}),
        State("ground-fault breaker", "unknown", {"site.code_edition": 2020}),
        State("ground-fault breaker", "pass", {"site.code_edition": 2014}),
        State("pumps at once on the well", "pass", {}),
        State("motor cooling", "pass", {HP: "3 hp", f"{PUMP}.shroud": True}),
        State("motor cooling", "unknown", {HP: None, f"{PUMP}.motor_diameter": None,
                                           f"{PUMP}.power": None}),
    )),
    States("pumps", "two", {}, (
        State("pumps at once on the well", "pass", {"power.pump_changeover": True}),
    )),
    States("pumps", "two_pipe_jet", {"well.specific_capacity": None,
                                    f"{PUMP}.intake_depth": "82 ft"}, (
        # At rest it stands 69.5 ft below the pump, within the 70 ft of its table.
        State("jet lift", "unknown", {"well.static_level": "63.5 ft"}),
    )),
    States("well", "poor_well", {}, (
        State("peak flow", "unknown", {"demand.daily_use": None, "demand.peak_flow": None,
                                       "site.people": None}),
        State("day's water from the well", "pass", {f"{PUMP}.restart_after": None}),
        State("day's water from the well", "unknown", {f"{PUMP}.restart_after": None,
                                                       "demand.daily_use": "900 gal/day"}),
    )),
    States("well", "steady", {}, (
        State("check valve's place", "unknown", {}),
        State("check valve's place", "pass", {"piping.check_valve_place": "pump"}),
        State("check valve's place", "pass", {"piping.check_valve_place": "casing"}),
        State("check valve's place", "fail", {"piping.check_valve_place": "buried line"}),
        State("check valve's place", "fail", {"piping.check_valve_place": "house"}),
        State("check valve's place", "caution", {"piping.check_valve_place": "house",
                                                 "piping.pitless_depth": "0 ft"}),
        State("test in another well", "pass", {"well.drawdown_test": {
            "flow": "8 gpm", "distance": "60 ft", "time": "20, 60, 180, 600, 1800 min",
            "level": "60.5, 61.3, 62.4, 63.8, 65.2 ft"}}),
        State("test in another well", "unknown", {"well.specific_capacity": None,
            "well.drawdown_test": {
            "flow": "8 gpm", "distance": "60 ft", "time": "20, 60, 180, 600, 1800 min",
            "level": "60.5, 61.3, 62.4, 63.8, 65.2 ft"}}),
    )),
    States("well", "sucking", {}, (
        State("suction line", "unknown", {f"{PUMP}.suction_line": None}),
        State("suction line", "pass", {f"{PUMP}.suction_line": "exposed"}),
        State("suction line", "pass", {f"{PUMP}.suction_line": "sleeved"}),
        State("suction line", "pass", {f"{PUMP}.suction_line": "in the well"}),
        State("suction line", "fail", {f"{PUMP}.suction_line": "buried"}),
    )),
    States("pumps", "poor_well", {}, (
        State("prime", "pass", {}),
        State("prime", "unknown", {"pump[2].stands_at": "3 ft"}),
        State("prime", "pass", {"pump[2].stands_at": "3 ft", "pump[2].foot_valve": True}),
        State("prime", "caution", {"pump[2].stands_at": "3 ft",
                                   "pump[2].foot_valve": False}),
    )),
    States("pumps", "poor_well", {}, (
        State("filling run", "unknown", {"storage_tank.volume": "17 gal",
                                         "storage_tank.fills_below": None}),
        State("booster runs dry", "pass", {}),
        State("booster runs dry", "pass", {"storage_tank.stops_below": None}),
        State("booster runs dry", "unknown", {"storage_tank.stops_below": None,
                                              "pump[2].dry_run_protection": None}),
        State("booster runs dry", "caution", {"storage_tank.stops_below": "0 %",
                                              "pump[2].dry_run_protection": False}),
        State("air gap", "fail", {"storage_tank.air_gap": "0 in"}),
        State("overflow", "pass", {}),
        State("overflow", "unknown", {"storage_tank.overflow": None}),
        State("overflow", "fail", {"storage_tank.overflow": "open"}),
        State("overflow", "fail", {"storage_tank.overflow": "none"}),
        State("tank cover", "pass", {}),
        State("tank cover", "unknown", {"storage_tank.covered": None}),
        State("tank cover", "fail", {"storage_tank.covered": False}),
    )),
    States("hand_pump", "sucking", {}, (
        State("priming", "unknown", {"hand_pump.needs_priming": None}),
        State("priming", "pass", {"hand_pump.needs_priming": False}),
        State("priming", "fail", {"hand_pump.needs_priming": True}),
    )),
    States("frost", "by_hand", {"sun.record_low": "-10 degC"}, (
        State("frost in the hand pump", "unknown", {}),
        State("frost in the hand pump", "pass", {"hand_pump.frost_drain": True}),
        State("frost in the hand pump", "fail", {"hand_pump.frost_drain": False}),
        State("frost in the hand pump", "pass", {"hand_pump.frost_drain": False,
                                                 "sun.record_low": "5 degC"}),
    )),
    States("lifts", "by_hand", {}, (
        State("closed well", "unknown", {"lift[1].kind": "rope pump"}),
        State("closed well", "pass", {"lift[1].kind": "rope pump", LIFT: False}),
        State("closed well", "fail", {"lift[1].kind": "rope pump", LIFT: True}),
        State("closed well", "caution", {"lift[1].kind": "rope pump", LIFT: True,
                                         "hand_pump": None}),
        State("closed well", "unknown", {"lift[1].kind": "bucket and windlass"}),
        State("closed well", "fail", {"lift[1].kind": "bucket and windlass", LIFT: True}),
        State("closed well", "caution", {"lift[1].kind": "bucket and windlass", LIFT: False}),
        State("closed well", "pass", {}),
    )),
    States("arrays", "south_slope", {**DRY, "site.code_edition": 2017}, (
        # 6 x 32.6 V in warm cells: about 165 V in full sun, 162 V with cells at 70 degC.
        State("operating voltage", "pass", {"array[2].least_input_voltage": "155 V"}),
        State("operating voltage", "caution", {"array[2].least_input_voltage": "163.5 V"}),
        State("operating voltage", "fail", {"array[2].least_input_voltage": "180 V"}),
        State("operating voltage", "unknown", {"array[2].least_input_voltage": None}),
        State("ground fault", "fail", {GROUND: False}),
        State("ground fault", "unknown", {GROUND: None}),
        State("ground fault", "pass", {GROUND: False, **CLEAR, "site.code_edition": 2014}),
        State("ground fault", "pass", {GROUND: None, **CLEAR, "array[2].grounding": "solid"}),
        State("ground fault", "fail", {GROUND: False, **CLEAR, "array[2].grounding": "solid",
                                       "array[2].parallel": 3}),
        State("ground fault", "fail", {GROUND: False, **CLEAR, "array[2].grounding": "none"}),
        State("ground fault", "unknown", {GROUND: False, **CLEAR}),
        State("arc fault", "caution", {ARC: False}),
        State("arc fault", "unknown", {ARC: None}),
        State("arc fault", "pass", {ARC: False, **CLEAR, "array[2].enclosed": True}),
        State("arc fault", "unknown", {ARC: False, **CLEAR}),
        State("rapid shutdown", "fail", {DOWN: False}),
        State("rapid shutdown", "unknown", {DOWN: None}),
        State("rapid shutdown", "pass", {DOWN: False, **CLEAR}),
        State("rapid shutdown", "fail", {DOWN: False, "array[2].place": "ground",
                                         "array[2].reaches": "building"}),
        State("rapid shutdown", "pass", {
            DOWN: False, "array[2].place": "ground", "array[2].reaches": "outside wall",
            "site.code_edition": 2023}),
        State("isolator", "unknown", {"array[2].isolator_poles": None}),
        State("isolator", "fail", {"array[2].isolator_poles": 1, "array[2].grounding": "none"}),
        State("isolator", "pass", {"array[2].isolator_poles": 1, "array[2].grounding": "solid"}),
        State("isolator", "pass", {"array[2].isolator_poles": 1, "site.code_edition": 2014,
                                   "array[2].grounding": "functional"}),
        State("isolator", "fail", {"array[2].isolator_poles": 1,
                                   "array[2].grounding": "functional"}),
        State("pv overcurrent", "pass", {}),
        State("pv overcurrent", "fail", {"array[2].parallel": 4}),
        State("pv overcurrent", "pass", {"array[2].parallel": 3, "array[2].string_fuse": "20 A"}),
    )),
    States("heated_tank", "south_slope", DRY, (
        # In no cold that is told: as much at 25 degC as its plate is too much in any.
        State("element load", "unknown", {"sun.record_low": None, f"{ELEMENT}.rated_voltage":
                                          "150 V", f"{ELEMENT}.rated_power": "1484 W"}),
        State("reaches temperature", "unknown", {}),
        State("vacuum relief", "pass", {}),
        State("vacuum relief", "unknown", {"water_heater.vacuum_relief": None}),
        State("vacuum relief", "caution", {"water_heater.vacuum_relief": False}),
        State("vacuum relief", "fail", {"water_heater.vacuum_relief": False,
                                        "water_heater.above_fixtures": True}),
        State("scald protection at fixtures", "pass", {}),
        State("scald protection at fixtures", "unknown", {"water_heater.fixture_valves": None}),
        State("scald protection at fixtures", "caution", {"water_heater.fixture_valves": False}),
        State("mixing-valve standard", "pass", {}),
        State("mixing-valve standard", "caution", {f"{VALVE}.standard": "ASSE 1016"}),
        State("mixing-valve standard", "caution", {f"{VALVE}.standard": "ASSE 1070"}),
        State("mixing-valve standard", "unknown", {f"{VALVE}.standard": None}),
        State("time to a burn", "pass", {}),
        State("thermostat on direct current", "fail", {f"{ELEMENT}.thermostat_switches": "AC"}),
        State("thermostat on direct current", "pass", {f"{ELEMENT}.thermostat_switches": "DC"}),
        State("thermostat on direct current", "unknown",
              {f"{ELEMENT}.thermostat_switches": None}),
        State("high limit on direct current", "fail", {HL: "AC"}),
        State("high limit on direct current", "fail", {HL: "nothing"}),
        State("high limit on direct current", "fail", {HL: "same relay"}),
        State("high limit on direct current", "pass", {HL: "DC"}),
        State("high limit on direct current", "unknown", {HL: None}),
        State("high limit on direct current", "unknown", {POLES: None}),
        State("high limit on direct current", "caution", {POLES: 1}),
        State("thermal expansion", "fail", {"water_heater.expansion_tank": False}),
        State("thermal expansion", "unknown", {"water_heater.expansion_tank": None}),
        State("overheating", "unknown", {}),
        State("mixing valve", "fail", {VALVE: None}),
        State("mixing valve", "fail", {VALVE: None, f"{ELEMENT}.thermostat": "120 degF",
                                       "water_heater.fixture_valves": False}),
    )),
    States("heated_tank", "ridge_house", DRY, (
        State("currents apart in the heater", "pass", {}),
        State("currents apart in the heater", "fail", {"water_heater.supplies_apart": False}),
        State("currents apart in the heater", "unknown", {"water_heater.supplies_apart": None}),
        State("high limit on grid or inverter", "pass", {}),
        State("high limit on grid or inverter", "fail", {f"{MAINS}.high_limit_switches":
                                                         "nothing"}),
        State("high limit on grid or inverter", "fail", {
            f"{MAINS}.high_limit_switches": "same relay",
            f"{MAINS}.thermostat_switches": "relay"}),
        State("high limit on grid or inverter", "unknown", {f"{MAINS}.high_limit_poles": None}),
        State("high limit on grid or inverter", "caution", {f"{MAINS}.high_limit_poles": 1}),
        State("storage temperature", "pass", {}),
    )),
    States("matching", "south_slope", {**DRY, f"{ELEMENT}.fed_by": "inverter"}, (
        State("surplus for the element", "unknown", {}),
    )),
    States("matching", "south_slope", DRY, (
        State("matched to the array", "unknown", {}),
    )),
    States("matching", "south_slope", {f"{ELEMENT}.fed_by": "inverter"}, (
        State("surplus for the element", "pass", {}),
        State("surplus for the element", "caution", {"power.other_use": "60 kWh"}),
        State("element on the inverter", "caution", {}),
        State("switch for the surplus", "unknown", {}),
        State("switch for the surplus", "caution", {f"{ELEMENT}.surplus_switch": "none"}),
    )),
    States("matching", "south_slope", {}, (
        State("matched to the array", "pass", {}),
        State("matched to the array", "caution", {
            f"{ELEMENT}.rated_power": "1500 W", "aim.sun_share": "99 %"}),
        State("matched to the array", "caution", {f"{ELEMENT}.rated_voltage": "100 V"}),
        State("matched to the array", "pass", {
            f"{ELEMENT}.rated_power": "1500 W", "aim.matched": "30 %"}),
        State("matched to the array", "pass", {
            f"{ELEMENT}.rated_power": "1500 W", "aim.sun_share": "20 %",
            "aim.hot_evenings": "5 %"}),
        State("matched to the array", "caution", {
            f"{ELEMENT}.rated_power": "1500 W", "aim.sun_share": "20 %",
            "aim.hot_evenings": "5 %", "aim.sun_evenings": "99 %"}),
        State("switching thresholds", "pass", {
            f"{ELEMENT}.coupling": "switched", f"{ELEMENT}.switch_irradiances": "476 W/m2",
            f"{ELEMENT}.switched_resistances": "15, 60 ohm"}),
        State("switching thresholds", "caution", {
            f"{ELEMENT}.coupling": "switched", f"{ELEMENT}.switch_irradiances": "900 W/m2",
            f"{ELEMENT}.switched_resistances": "15, 60 ohm"}),
    )),
    States("heated_tank", "south_slope", {}, (
        State("reaches temperature", "pass", {}),
        State("reaches temperature", "caution", {"water_heater.volume": "80 gal"}),
        State("share from PV", "pass", {}),
        State("reaches temperature", "pass", {"water_heater.volume": "80 gal",
                                              "aim.clear_day_temperature": "85 degF"}),
        State("reaches temperature", "caution", {"water_heater.volume": "80 gal",
                                                 "aim.clear_day_temperature": "120 degF"}),
        State("reaches temperature", "pass", {"water_heater.volume": "30.5 gal",
                                              "aim.clear_day_month": "March"}),
        State("reaches temperature", "caution", {"water_heater.volume": "30.5 gal",
                                                 "aim.clear_day_month": "December"}),
        State("share from PV", "caution", {"aim.sun_share": "97 %"}),
        State("hot water in the evening", "caution", {"aim.hot_evenings": "92 %"}),
        State("hot evenings by the sun", "pass", {"aim.sun_evenings": "91 %"}),
        State("hot evenings by the sun", "caution", {"aim.sun_evenings": "92 %"}),
        State("share from PV", "caution", {"water_heater.draw": {"volume": "150 gal"}}),
        State("share from PV", "unknown", {"water_heater.draw": {"volume": "9000 gal"}}),
        State("hot water in the evening", "pass", {}),
        State("hot water in the evening", "caution", {"water_heater.draw": {"volume": "60 gal"}}),
        State("high limit", "fail", {"water_heater.high_limit": "135 degF"}),
        State("element load", "pass", {}),
        State("element load", "fail", {"array[1].series": 8, "array[1].parallel": 2}),
        State("overheating", "pass", {}),
        State("overheating", "fail", {"water_heater.high_limit": None}),
        State("overheating", "fail", {f"{ELEMENT}.thermostat": None}),
        State("overheating", "unknown", {f"{ELEMENT}.switch_voltage": None}),
    )),
    States("module_sheet", "south_slope", {"module.rated_power": None}, (
        # vmp / voc within 0.75 and 0.89, imp / isc within 0.84 and 0.985, by the open table.
        State("module's sheet", "pass", {}),
        State("module's sheet", "pass", {"module.vmp": "30 V"}),
        State("module's sheet", "caution", {"module.vmp": "29.9 V"}),
        State("module's sheet", "pass", {"module.vmp": "35.5 V", "module.imp": "8.3 A"}),
        State("module's sheet", "caution", {"module.vmp": "35.6 V", "module.imp": "8.3 A"}),
        State("module's sheet", "pass", {"module.imp": "8.15 A"}),
        State("module's sheet", "caution", {"module.imp": "8.14 A"}),
        State("module's sheet", "caution", {"module.voc_coefficient": "-0.61 %/K"}),
        State("module's sheet", "caution", {"module.voc_coefficient": "-0.19 %/K"}),
        State("module's sheet", "caution", {"module.isc_coefficient": "0.21 %/K"}),
    )),
)  # fmt: skip


class Reading(NamedTuple):
    """Readings of one job on the two sides of a limit."""

    rule: str
    keeps: Mapping[str, str]
    breaks: Mapping[str, str]
    broken: Status
    why: str
    kept: Status = "pass"


READINGS = (
    Reading("reading", {"precharge": "35 psi"}, {"precharge": "34.7 psi"}, "caution",
            "5 psi below a cut-in of 40 psi"),
    Reading("element by its reading",
            {"element_volts": "142 V", "element_amps": "10 A"},
            {"element_volts": "143 V", "element_amps": "10 A"}, "caution",
            "240 V squared over 4500 W, 12.8 ohm, and 10 % less power: 14.22 ohm"),
    Reading("element by its reading",
            {"element_volts": "122 V", "element_amps": "10 A"},
            {"element_volts": "121.5 V", "element_amps": "10 A"}, "caution",
            "12.8 ohm and 5 % more power: 12.19 ohm"),
    Reading("scald by its reading", {"tap_temperature": "125.3 degF"},
            {"tap_temperature": "125.5 degF"}, "fail",
            "a valve set to 120 degF, and 3 K (5.4 degF)", "caution"),
    Reading("pressure by its reading",
            {"gauge_pressure": "62 psi", "pump_state": "on"},
            {"gauge_pressure": "62.1 psi", "pump_state": "on"}, "fail",
            "the pump stops at 60 psi, and 2 psi of the gauge"),
    Reading("pressure by its reading",
            {"gauge_pressure": "77 psi", "pump_state": "off"},
            {"gauge_pressure": "77.1 psi", "pump_state": "off"}, "fail",
            "the relief valve opens at 75 psi, and 2 psi of the gauge", "caution"),
    Reading("guard by its test", {"proven": "1"}, {"failed": "1"}, "fail",
            "the sheet's first line"),
)  # fmt: skip
"""At the ridge house."""

BY_ITSELF = {
    "test fit": "a tenth of the drawdown off a fit of many readings: tests/studies/well holds it",
    "days short": "counts days of a year: tests/studies/supply makes years of so many dark days",
    "ordinary value": "asks after each value beyond its own pair of bounds: every pair is looked "
    "at below",
    "days short of the storage tank": "counts days of a year, as those of the well",
    "storage tank through the night": "the same year's darkest nights",
    "turnover of the storage tank": "the same year's longest stand",
    "modules of the tank used": "ranks elements that are sold over a year: tests/studies/match",
}
"""Rules with neither row, state nor reading, each with what holds it."""

BETWEEN: dict[str, str] = {
    "reaches cut-out": "cautions up to a margin above it",
    "holds its pressure": "the same",
    "high limit": "cautions within the spread of a thermostat below it",
    "relief at the hand pump": "names the tank's plate where it opens before the tank is full",
    "inverter surge": "cautions from the starting current up to a margin above it",
    "pumps that start at once": "the same",
    "precharge": "cautions where it is far below cut-in too",
    "drive's precharge": "cautions on both sides of the usual share",
    "valve setting": "names the cut-out, and cautions at the cut-in below it",
    "survival by hand": "cautions where it takes more than half of a day's work",
    "survival by this lift": "the same",
    "supply voltage": "lies within a tenth of its limit, on both sides",
    "mixing-valve supply": "names the hottest that the valve is made for",
    "motor overload": "names the plain limit while a service factor allows more",
}
"""Rules whose verdict may stand otherwise than limit and quantity do, with the reason."""

NO_REMEDY_SEEN = {
    "test fit": BY_ITSELF["test fit"],
    "days short": BY_ITSELF["days short"],
    "modules of the tank used": BY_ITSELF["modules of the tank used"],
    "days short of the storage tank": BY_ITSELF["days short of the storage tank"],
    "storage tank through the night": BY_ITSELF["storage tank through the night"],
    "turnover of the storage tank": BY_ITSELF["turnover of the storage tank"],
    "ordinary value": "looked at below",
    "time to a burn": "tells a time, and always passes",
    "test in another well": "is unknown or passes",
}
"""Rules of which no verdict here has a remedy."""


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
