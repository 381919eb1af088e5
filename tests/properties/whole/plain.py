"""Invented sites so plain that what a rule compares is worked out on a sheet of paper.

Each pump gives 10 gpm whatever stands against it, through pipes wide enough to lose nothing to
speak of; the hand pump stands on water that hardly falls.
"""

from __future__ import annotations

STEADY = """
[site]
people = 4
[demand]
daily_use = "400 gal/day"
[well]
depth = "200 ft"
casing_bore = "6 in"
static_level = "60 ft"
specific_capacity = "1 gpm/ft"
tested_yield = "30 gpm"
water_temperature = "50 degF"
[piping]
pitless_depth = "4 ft"
tank_elevation = "6 ft"
[piping.drop_pipe]
material = "polyethylene SIDR"
size = "2 in"
pressure_class = "250 psi"
[piping.lateral]
material = "polyethylene SIDR"
size = "2 in"
length = "50 ft"
pressure_class = "250 psi"
[pressure_switch]
cut_in = "40 psi"
cut_out = "60 psi"
[pressure_tank]
volume = "86 gal"
precharge = "38 psi"
[[pump]]
name = "steady"
role = "backup"
intake_depth = "100 ft"
flow = "0, 9.999, 10.001 gpm"
head = "400.5, 400, 1 ft"
power = "1000, 1000, 1000.1 W"
rated_power = "1 hp"
voltage = "230 V"
power_factor = "80 %"
dry_run_protection = false
locked_rotor_current = "40 A"
motor_diameter = "3.75 in"
cable = { gauge = "10 AWG", length = "100 ft" }
[power]
inverter_rating = "8 kVA"
inverter_surge = "40 kVA"
inverter_voltage = "230 V"
[limits]
cut_out_margin = "5 psi"
"""
"""One pump; 10 gpm draw the water down by 10 ft, to 70 ft."""

TWO = STEADY.replace(
    "[power]",
    """[[pump]]
name = "second"
role = "backup"
intake_depth = "100 ft"
flow = "0, 9.999, 10.001 gpm"
head = "400.5, 400, 1 ft"
power = "1000, 1000, 1000.1 W"
rated_power = "1 hp"
voltage = "230 V"
power_factor = "80 %"
dry_run_protection = false
locked_rotor_current = "40 A"
cable = { gauge = "10 AWG", length = "100 ft" }
[power]
pump_changeover = false""",
)
"""Two such pumps, which may run at once."""

SUCKING = """
[site]
people = 4
[demand]
daily_use = "400 gal/day"
[well]
depth = "60 ft"
static_level = "12 ft"
specific_capacity = "1000 gpm/ft"
tested_yield = "30 gpm"
water_temperature = "50 degF"
[piping.drop_pipe]
material = "polyethylene SIDR"
size = "3 in"
[pressure_switch]
cut_in = "20 psi"
cut_out = "40 psi"
[[pump]]
name = "steady"
kind = "suction"
flow = "0, 9.999, 10.001 gpm"
head = "400.5, 400, 1 ft"
required_suction_head = "5 ft"
suction_line = "exposed"
[hand_pump]
kind = "suction"
bore = "76 mm"
stroke = "110 mm"
needs_priming = false
"""
"""A powered pump and one by hand, both above the ground at sea level."""

BY_HAND = """
[site]
people = 20
[demand]
survival_use = "15 L/day"
daily_use = "600 L/day"
[well]
depth = "60 m"
static_level = "18 m"
specific_capacity = "1000 L/min/m"
water_temperature = "10 degC"
[hand_pump]
kind = "deep well"
bore = "63.5 mm"
stroke = "125 mm"
lever_ratio = "8"
rod_diameter = "12 mm"
cylinder_depth = "24 m"
spout_height = "0.6 m"
stroke_rate = "40 strokes/min"
volumetric_efficiency = "90 %"
mechanical_efficiency = "80 %"
person_power = "300 W"
rising_main = { material = "galvanised steel", size = "3 in" }
[[lift]]
name = "treadle"
kind = "treadle pump"
head = "10, 30 m"
flow = "30, 10 L/min"
power = "60, 60 W"
spout_height = "1 m"
"""
"""A hand pump as in IS 9301 with people strong enough for its full pace, and another lift."""

SUNNY = (
    STEADY.replace("people = 4", 'people = 4\nlatitude = "0 deg"')
    .replace('inverter_voltage = "230 V"', 'inverter_voltage = "230 V"\nbattery_energy = "5 kWh"')
    .replace("400 gal/day", "1200 gal/day")
    + """
[module]
voc = "39.9 V"
isc = "9.7 A"
vmp = "32.6 V"
imp = "9.2 A"
cells = 60
on_hand = 10
[[array]]
name = "flat"
feeds = "battery"
series = 4
tilt = "0 deg"
azimuth = "0 deg"
[sun]
monthly = "4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4 kWh/m2/day"
"""
)
"""Two hours of pumping a day, and flat modules on the equator."""
