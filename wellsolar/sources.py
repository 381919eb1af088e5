"""Where each rule, default and method comes from; results carry the keys of those they used."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Provenance = Literal["read", "second hand", "physics", "from memory", "common practice", "given"]

BINDING: tuple[Provenance, ...] = ("read", "second hand", "physics")
"""Provenances of a limit that a verdict may fail by; by any other it is a caution at most."""


@dataclass(frozen=True)
class Source:
    """A citation, and how far the project has seen it.

    citation: title, year or edition, and where in it; "undated" where a text prints no year
    provenance: "read" in the source or a copy; "second hand" in a text that quotes it;
        "physics": follows by arithmetic from a law of nature and from what the site file gives;
        "from memory", not seen; "common practice" of the trade without a source; "given" by
        whoever runs the program
    """

    citation: str
    provenance: Provenance


SOURCES: dict[str, Source] = {
    "common practice": Source("common practice, no source", "common practice"),
    "command line": Source("Set on the command line, in place of the site file", "given"),
    "Python": Source("Set in Python, in place of the site file", "given"),
    "site's figures": Source(
        "Follows by arithmetic from the site file, or from what was read and tested there: what "
        "is asked is there or it is not, and a plate's own limit is kept or it is not",
        "physics",
    ),
    "freezing": Source(
        "Water freezes at 0 degC and bursts what holds it; what counts as near to it is common "
        "practice",
        "physics",
    ),
    "supply voltage": Source(
        "NEMA MG 1-2011, 12.44.1, in its condensed print of 2014 (9.9.1): induction motors run at "
        "rated load within 10 % of their rated voltage",
        "read",
    ),
    "sphere": Source(
        "Sphere Handbook, the edition of 2004 by a copy that prints no year, water supply "
        "standard 1: at least 15 L a person a day, a 20 L can filled in no more than 3 min; "
        "edition of 2011, as a course quotes it: 7.5 to 15 L to survive. Standard 2.1 of 2018 was "
        "not seen",
        "read",
    ),
    "ground temperature": Source(
        "What Temperature Is Groundwater?, an undated web text, section on the mean annual air "
        "temperature: 0.5 to 1.5 K above it; the ground water association's undated page has it "
        "equal",
        "read",
    ),
    "is 9301": Source(
        "IS 9301:1982 (now in IS 15500-1 to 8:2004), public-domain deep-well hand pump: 63.5 mm "
        "cylinder, 125 mm stroke, 12 mm rods (rods from memory)",
        "from memory",
    ),
    "faulkner 1991": Source(
        "Faulkner et al., J. Agric. Eng. Res. 48 (1991) 171-183: 30 to 50 "
        "cycles a minute preferred",
        "read",
    ),
    "human power": Source(
        "Human power, encyclopaedia (undated), section on available power: 75 W over a shift of 8 "
        "h (read); Krendel, The mechanical power output of men, report F-A1982 (1958), of which "
        "the title page was seen: his rule of power against duration is from memory",
        "second hand",
    ),
    "one-point curve": Source(
        "Users manual of the federal agency's model of pipe networks (2020), "
        "chapter 3, pump curves: of a pump with one point the head at no flow is taken as 133 % "
        "of that head, and the flow at no head as twice that flow",
        "read",
    ),
    "open module table": Source(
        "Population of 20,946 crystalline modules of 2019 in the open module table shipped with "
        "pvlib 0.16.1",
        "read",
    ),
    "array derate": Source(
        "Derate of an array for a pump: 0.80 in one textbook's example, 0.70 to 0.75 with a "
        "battery in public guides (from memory); titles were not kept: common practice",
        "common practice",
    ),
    "fixture water": Source(
        "Hendron & Engebrecht, Building America House Simulation Protocols, NREL/TP-550-49426 "
        "(2010), section on domestic hot water: water of showers, baths and sinks mixed to 110 "
        "degF",
        "second hand",
    ),
    "hot water use": Source(
        "Solar sizing rule of 20, 20 and then 15 gal a day for each further person", "from memory"
    ),
    "module table": Source(
        "Open table of 20,946 crystalline modules of 2019, shipped with pvlib 0.16.1; bounds that "
        "998 in 1,000 keep, computed and rounded outward",
        "read",
    ),
    "jacket loss": Source(
        "UA = A / R of the jacket; the addition for fittings, 15 to 40 %, by one worked figure "
        "for an R-16 tank whose title was not kept: common practice",
        "common practice",
    ),
    "rated factor": Source(
        "Energy balance of the 24-hour test of 10 CFR 430 Subpart B App. E; its 58 degF inlet "
        "second hand; the draw pattern by the heater's first-hour rating, below 18, 51 and 75 gal "
        "or more, from memory; that rating by the trade's rule of 70 % and an hour's recovery",
        "from memory",
    ),
    "draw patterns": Source(
        "10 CFR 430 Subpart B App. E, Tables III.1 to III.4, final rule 79 FR 40542 of 11 July "
        "2014, as an open simulation library schedules the test minute by minute",
        "second hand",
    ),
    "solar engineering": Source(
        "Surface albedos of pvlib 0.16.1, irradiance.SURFACE_ALBEDOS: grass 0.20, soil 0.17; 0.2 "
        "without snow in Duffie & Beckman, 4th ed. (2013), Example 2.19.1 (second hand)",
        "read",
    ),
    "tdh worksheet": Source(
        "A state sanitarian's worksheet, taken to be Determining Total Dynamic Head (undated, "
        "names no state), parts A to D: head to the cut-out pressure. Its 5 ft/s is advice",
        "read",
    ),
    "nec voltage drop": Source(
        "NEC 210.19(A), informational note (No. 4 in 2011 and 2023, No. 3 in 2020 by one text): "
        "3 % in a branch circuit, 5 % with its feeder (note to 215.2); public texts quote it "
        "alike of every edition; a note is not enforceable, 90.5(C)",
        "second hand",
    ),
    "tank run time": Source(
        "Pelikan, Pressure Tanks, The Driller, article 84649 (undated copy), and National "
        "Driller, article 86027 (undated copy): at least 1 min of run for all, as makers of "
        "motors ask; Kill, Tank Selection by the Numbers, Water Well Journal (undated copy): by "
        "the motor's power; a trade sheet: 2 min for 1 hp",
        "read",
    ),
    "motor starts": Source(
        "Maker's table 3 of starts in 24 h, as a dealer's undated page prints it, single/three "
        "phase: to 0.75 hp 300/300, 1 to 5.5 hp 100/300, from 7.5 hp 50/100; Kill, Tank Selection "
        "by the Numbers, Water Well Journal (undated copy), table 1: up to 300 below 1 hp, evenly "
        "spread",
        "read",
    ),
    "hourly starts": Source(
        "Water Systems Council, standard for pressurised tanks of wells, foreword, as a web text "
        "of November 2008 quotes it: 15 starts an hour to 3/4 hp, 7.5 above",
        "second hand",
    ),
    "motor cooling": Source(
        "Maker's table 6 of flows past submersible motors, as dealers' undated pages print it: "
        "0.25 ft/s past 4-inch motors of 3 hp and more, 0.5 ft/s past 6-inch ones and larger, in "
        "water to 30 degC; 3 ft/s in warmer water; none is asked of smaller motors",
        "read",
    ),
    "sobol": Source(
        "Sobol sequence under a random linear scramble and shift, documentation of scipy 1.17 "
        "(2026), section stats.qmc; Spearman's rank correlation; 95 % of the cases is wellsolar's "
        "mark",
        "read",
    ),
    "handle force": Source(
        "Handbook of Control Room Design and Ergonomics, 2nd ed. (2009; title and year from "
        "memory), page on levers: 12 to 22 kg at most for one hand that pulls or pushes, the "
        "double for two, 235 to 430 N (read); 200 N as comfortable and 400 N as the most are "
        "hand-pump practice within that, from memory",
        "read",
    ),
    "sanitary hand pump": Source(
        "Connecticut 19-13-B51j(e), Missouri 10 CSR 23-3.050(1)(A) and (B), Howard County, "
        "Indiana, 52.04(A)(1), all in undated prints: a hand pump has a stuffing box, a closed "
        "spout that points down, a flange over a casing 1 in above it, needs no priming and does "
        "not freeze; no water by bailer or bucket",
        "read",
    ),
    "check valve": Source(
        "Howard County, Indiana, 52.04(A)(2)(b) (undated print): a submersible pump shall have a "
        "check valve on its discharge above the pump and inside the casing; in the house only "
        "where the pipe lies 12 in above the ground and drains into the well. Wisconsin NR "
        "811.37(1), of community systems: a buried line never below the ground's pressure",
        "read",
    ),
    "suction line": Source(
        "Minnesota Rules 4725.5150 (undated print): a suction line between well and pump is "
        "exposed, or lies in a pipe that is kept at the system's pressure",
        "read",
    ),
    "well setback": Source(
        "Washtenaw County, Michigan, minimum isolation distances (undated page) of a well of 25 "
        "ft or deeper: 50 ft from a septic tank, 100 ft from a drain field; a town code with the "
        "same figures",
        "read",
    ),
    "well head": Source(
        "Howard County, Indiana, 52.04(A)(2) (undated print): the top of the casing 2 ft above "
        "any known flood; its pitless casings, and Connecticut's vents (19-13-B51j(b)), end 12 in"
        " above the ground or high water",
        "read",
    ),
    "well cap": Source(
        "Connecticut 19-13-B51j(a) and (b) (print of 2023): what goes into a well is joined "
        "watertight to its casing; a vent is shielded and screened",
        "read",
    ),
    "stored drinking water": Source(
        "Wisconsin NR 812.42(4)(c) (undated print): vent and overflow screened, 12 in above the "
        "ground; Virginia 12VAC5-610-1170: every opening screened, an air gap on drain and "
        "overflow; Vernon, California, 25.37: an inlet ends two of its own diameters above the "
        "highest water",
        "read",
    ),
    "discharge pipe": Source(
        "IPC 504.6 and UPC 608.5 (2015): as wide as the valve's outlet, one valve a pipe, by "
        "gravity through an air gap, seen, no trap, valve, tee or threaded end, 6 in or less "
        "above the floor, of rated material, free of frost, not into a pan",
        "read",
    ),
    "lead-free": Source(
        "Safe Drinking Water Act 1417(d), since 4 January 2014: 0.25 % of lead, weighted, in what"
        " wets drinking water; NSF/ANSI 61 and 372 are the marks",
        "read",
    ),
    "hand travel": Source(
        "NUREG-0700 Rev. 3 (2020), table 11.4 after MIL-STD-1472G, appendix B: functional reach "
        "of a woman of the fifth percentile 67.7 cm (read in a copy); 125 mm of stroke by a lever "
        "of 8 to 1 at the public-domain deep-well pump, IS 9301:1982 (the lever from memory)",
        "read",
    ),
    "hand pump depth": Source(
        "IS 9301:1982, first revision, note to its scope (now in IS 15500-1 to 8:2004): lever "
        "pumps are normally not used below 50 m; an extra-deep version of the public-domain pump "
        "goes to 80 m (field text)",
        "read",
    ),
    "rod stretch": Source(
        "Hooke's law, steel of 2.0e11 Pa from memory; a tenth of the stroke as limit is common "
        "practice; rods that stretch by the whole stroke lift nothing",
        "physics",
    ),
    "discharge table": Source(
        "No pump gives more water power than it is given; 90 % as limit is common practice: "
        "published field tables of hand pumps reach 51 to 87 % overall, and rows of 98 and 100 % "
        "are water power given as discharge",
        "physics",
    ),
    "other lifts": Source(
        "Rope pump and pedal pump, open encyclopaedia of water (undated pages), tables of yields: "
        "rope pump 65 %, half the flow at twice the head, so constant power",
        "read",
    ),
    "legionella": Source(
        "WHO 2007, Legionella and the prevention of legionellosis, control measures for "
        "temperature in piped systems (chapter 4): 60 degC (140 degF) at the heater's outlet, 50 "
        "degC (122 degF) back at it (read); HSE, HSG274 Part 2 (2014), introduction: hot water "
        "stored at 60 degC; Approved Code of Practice L8 (2000), technical guidance, as quoted: "
        "the whole of a tank at 60 degC for an hour a day, and a short rise does not do it. "
        "ASHRAE Guideline 12-2000, 4.1.6, now 12-2020, asks 60 degC of health care, nursing homes "
        "and other places of high risk, not of homes",
        "second hand",
    ),
    "total dynamic head": Source(
        "UFC 3-230-03A (16 January 2004, superseded by UFC 3-230-01 of 1 November 2012), eq. 5-6 "
        "and 5-7: head from the drawn-down level plus friction, pressure and velocity head",
        "read",
    ),
    "cut-out": Source(
        "Pelikan, column on pressure drop, National Driller, article 86087 (undated copy): the "
        "pump must reach cut-out, not cut-in; a switch that its pump does not reach never opens",
        "read",
    ),
    "metered use": Source(
        "Home energy documentation of LBNL (undated pages), eq. 26, from Mayer et al. 1999: "
        "indoor use 37.2 N + 69.2 gal/day",
        "read",
    ),
    "suction lift": Source(
        "Atmospheric less vapour pressure against altitude; Snell, Appropriate water-lifting "
        "technologies in West Africa, FAO (2004), chapter 3: in practice no more than about 7 m; "
        "Fraenkel, FAO Irrigation and Drainage Paper 43 (1986), 2.1.5, the atmospheric limit "
        "(heading seen)",
        "read",
    ),
    "motor overload": Source(
        "NEC (2008) 430.32(A)(1) and (2), as a reprint on a page of building texts has it: 125 % "
        "of the plate's full-load current with a service factor of 1.15 or a rise of 40 degC, 115 "
        "% else; or a thermal protector in the motor. A trade magazine of 2023 says the same",
        "read",
    ),
    "motor plate": Source(
        "Service factor times rated power is what a motor may carry for good, as texts on motors "
        "have it; service factors and efficiencies of submersible motors by size, after NEMA MG 1 "
        "and usual plates, from memory; of a pump that is not chosen the least efficiency by "
        "Commission Regulation (EU) 547/2012, annex III, from memory",
        "from memory",
    ),
    "motor breaker": Source(
        "NEC (edition not named) 430.52 and its table, as undated trade texts quote it: an "
        "inverse-time breaker that carries the starting current, of no more than 250 % of the "
        "full-load current (150 % of direct current), next standard size, and to 400 % where the "
        "motor does not start; 210.20(A), 125 % of what runs for long, as a maker prints it",
        "second hand",
    ),
    "outdoor outlets": Source(
        "NEC (2020) 210.8(F), as a maker of devices prints it: all outdoor outlets of dwellings, "
        "single phase, 150 V to ground and 50 A or less; Article 100 has an outlet where current "
        "is taken by equipment; (2023) by another maker's page, second hand",
        "read",
    ),
    "locked rotor": Source(
        "NEC (2008) Tables 430.7(B), 430.251(A) and (B): locked-rotor current; below 1/2 hp six "
        "times the full-load current, as in the table's own rows",
        "second hand",
    ),
    "motor conductor": Source(
        "NEC 430.22: conductors for 125 % of the motor's full-load current, by the tables that "
        "430.6(A) names; the section is alike in the editions from 2011 to 2023 (editions from "
        "memory)",
        "second hand",
    ),
    "casing fit": Source(
        "Kravitz 1967, Packing cylinders into cylindrical containers, Mathematics Magazine 40:65; "
        "three bodies by Descartes' theorem; the clearance is common practice",
        "second hand",
    ),
    "start dip": Source(
        "Maker's table 5 of generators for submersible motors, as dealers' undated pages print "
        "it: at least 65 % of the rated voltage at the motor while it starts, for enough torque; "
        "taken for the cable by us. NFPA 20 (1999) 9.4.1 and NEC 695.7(A) ask 15 % at most, but "
        "at the line terminals of a fire pump's controller",
        "read",
    ),
    "generator start": Source(
        "Maker's table 5 of generators for submersible motors, as two undated copies print it: at "
        "least 65 % of the rated voltage at start, and least ratings by the motor's power (read). "
        "With a reactance of 25 % and a power factor of 0.6, which are ours, 71 to 110 % of its "
        "column of externally regulated ones comes out",
        "read",
    ),
    "motor phases": Source(
        "A three-phase induction motor has no torque of its own at rest on a single phase",
        "physics",
    ),
    "motor full load": Source(
        "NEC (2008; 1999 as 430-148 and 430-150) Tables 430.248 and 430.250: full-load current by "
        "power, voltage and phases",
        "second hand",
    ),
    "suction head": Source(
        "Bachus and Custodio 2003, Know and Understand Centrifugal Pumps, ch. 2: less than the "
        "pump's sheet asks and it cavitates; the margin above that is common practice",
        "read",
    ),
    "pv circuit": Source(
        "NEC (2014, 2017) 690.8(A), (B)(1) and (2): at most 1.25 x the short-circuit current; "
        "conductors for 1.25 x that before correction, and for that itself after correction for "
        "ambient and bundling; a trade magazine's article and one of inspectors",
        "second hand",
    ),
    "cold voltage": Source(
        "NEC (2017) 690.7, 690.7(A)(1) to (3) and Table 690.7(A), as quoted in public texts: "
        "open-circuit voltage at the lowest expected temperature, by the module's coefficient, "
        "which in 2014 replaces the table, or by the table; 600 V in one- and two-family "
        "dwellings",
        "second hand",
    ),
    "peak sun hours": Source(
        "Energy over peak sun hours and derate, the rule of public sizing guides",
        "physics",
    ),
    "precharge": Source(
        "Pelikan, Pressure Tanks, The Driller, article 84649 (undated copy), and Water Systems "
        "Council, Pressure Tanks, sheet of January 2007, page 3: precharge 2 psi below cut-in",
        "read",
    ),
    "element rating": Source(
        "R = V^2/W of the element's plate; power grows with the square of the voltage",
        "physics",
    ),
    "element tolerance": Source(
        "IEC 60335-1:2010, clause 10.1 and Table 1: heating appliances above 200 W take 5 % or 20 "
        "W more, whichever is more, to 10 % less than rated (clause and scope from memory); a "
        "national standard of tubular elements above 100 W: 5 % more to 10 % less, on a maker's "
        "undated page",
        "second hand",
    ),
    "load matching": Source(
        "Matuska & Sourek, Int. J. Photoenergy (2017), article 7540250: tracking gives 20 to 35 % "
        "more in a year than an optimised resistance; the mark of 95 % of the best one is "
        "wellsolar's choice",
        "read",
    ),
    "heat balance": Source(
        "Stratified tank of nodes after Duffie & Beckman, 4th ed. (2013), ch. 8 (from memory), "
        "stepped through days and the hours of the site's year: what its heat balance gives; the "
        "mark to pass is wellsolar's",
        "physics",
    ),
    "hot water stored": Source(
        "Sizing a New Water Heater, federal advice on saving energy (undated), section on storage "
        "heaters: a first-hour rating no less than the hour of most use (second hand); that seven "
        "tenths of a tank come hot, and that modules need the draws of a day stored, is the "
        "trade's practice, from memory",
        "from memory",
    ),
    "mixing valve": Source(
        "UPC (2015) 408.3: 120 degF at a shower, for which a water heater's thermostat is no "
        "control; IPC 412.3 and 412.5 (424.3 before 2018): 120 degF at showers and tubs; SRCC "
        "Standard 300 (2014), 6.1.5.6: a solar system limits the water at its fixtures",
        "read",
    ),
    "point of use": Source(
        "Temperature Control Devices, magazine of a standards developer (undated page): ASSE 1017 "
        "controls temperature at the source and does not protect from scalds, 1016 and 1070 "
        "protect at the fixture; a comparison sheet names 1016-2005, 1017-2003 and 1070-2004",
        "read",
    ),
    "burn times": Source(
        "Shortest of the published times: mostly a children's hospital's page, Prevent Scald Burn "
        "Injuries (undated), list of times (150 degF 1.5 s, 140 degF less than 5 s), which "
        "differs little from US CPSC document 5098, Avoiding Tap Water Scalds (undated reprint: 2 "
        "s, 6 s; 130 degF 30 s, 120 degF 5 min), and Moritz & Henriques, Am. J. Pathology 23 "
        "(1947) 695, as reproduced; a child in a quarter of the adult's time is from memory",
        "read",
    ),
    "high limit": Source(
        "Water-heater service texts (undated): high-limit cut-out 170 to 180 degF by hand reset; "
        "IPC 504.4 as the Chicago code prints it (undated): relief valve 210 degF at most. No "
        "code's figure for the cut-out was found",
        "read",
    ),
    "dc contacts": Source(
        "NEC (2014, 2017) 110.9: what is to interrupt a current has a rating for it at the "
        "circuit's voltage; direct current has no zero at which its arc dies, so contacts without "
        "a rating for it must not break it",
        "read",
    ),
    "high limit contacts": Source(
        "That one contact which welds must not defeat both guards: wellsolar's reading of NEC "
        "(2017, edition from memory) 422.47, a temperature limit beside the thermostat that opens "
        "every ungrounded conductor",
        "second hand",
    ),
    "voltage window": Source(
        "Input voltages are limits of the controller's own sheet in the site file; the affinity "
        "laws; cells of 70 degC on a hot roof are common practice",
        "physics",
    ),
    "well disinfection": Source(
        "What the state or county asks comes first: 50 mg/L for 24 h on a Californian county's "
        "page (undated), 12 to 24 h in the pipes on one of Frederick County, Maryland (undated), "
        "50 mg/L at Alberta's health service; Water Wells That Last, Agdex 716 (A10; newer print "
        "8th ed. 2013), module 6: 200 ppm in twice the water of the casing. California Bulletin "
        "74-81 (1981) with the draft 74-90 (1990), never final, Part II section 11: disinfected "
        "when work is done on the pump",
        "read",
    ),
    "water test": Source(
        "US Environmental Protection Agency, What should I do if I have my own drinking water "
        "well?, an undated web page: nitrate and coliform bacteria once a year",
        "read",
    ),
    "relief valve test": Source(
        "Makers' manuals of water heaters, as an undated page of an inspectors' forum quotes "
        "them: lever lifted at least once a year",
        "second hand",
    ),
    "closed system": Source(
        "IPC 607.3 as Philadelphia's P-607.3 prints it (undated): behind a check valve, reducing "
        "valve or backflow preventer expansion is controlled so that the pressure stays within "
        "604.8, 80 psi; UPC (2015, 2018) 608.3 the same way; a relief valve is no such device. 10 "
        "% below its setting is wellsolar's mark, after Griffith (2015)",
        "read",
    ),
    "mixing-valve standards": Source(
        "Temperature Control Devices, and What's the Difference Between ASSE 1017 and ASSE 1070, "
        "magazine of a standards developer (undated pages): what ASSE 1016, 1017, 1062, 1069, "
        "1070, 1071, 1082 and 1084 are for; ranges of settings from a comparison sheet of the "
        "editions 1996 to 2006 (second hand); ASSE 1017-2023, scope: hot supply 125 to 180 degF, "
        "at least 20 degF hotter than the setting",
        "read",
    ),
    "relief valve": Source(
        "IPC 504.3 to 504.6, as the Chicago plumbing code prints them (undated): 210 degF and 150 "
        "psi or the tank's plate, the lower; capacity not less than the heat input; what its "
        "discharge pipe is. Chicago itself caps it at 200 degF",
        "read",
    ),
    "relief margin": Source(
        "A relief valve opens at its setting; 10 % below it is wellsolar's mark, after Griffith "
        "(2015), Thermal expansion tanks, part 2: 135 psi for 150 psi",
        "physics",
    ),
    "boiling": Source(
        "IAPWS R7-97(2012), section 8 (from memory), coefficients as the iapws library prints "
        "them, at the pressure of the U.S. Standard Atmosphere 1976, NOAA-S/T 76-1562; the margin "
        "of 2 K for the weather's low is wellsolar's",
        "second hand",
    ),
    "vacuum relief": Source(
        "UPC 608.7 (2015), as quoted by its publisher: a vacuum relief valve where the tank "
        "stands above fixtures (read); IPC 504.1: every storage heater is kept from being "
        "siphoned, by a valve or a hole in the dip tube (from memory)",
        "read",
    ),
    "supplies apart": Source(
        "NEC (2020, edition from memory; in 2005 as 702.6) 702.5(A): transfer equipment prevents "
        "the inadvertent interconnection of all sources of supply, as an excerpt prints it",
        "read",
    ),
    "bonding": Source(
        "NEC 250.112(L) and (M), three undated reprints: a water pump, and the metal casing of a "
        "well with a submersible pump, to the equipment ground of the pump's circuit",
        "read",
    ),
    "wiring apart": Source(
        "NEC (2014) 690.31(B), as a seller of labels prints it: circuits of modules not in one "
        "raceway, box or fitting with those of other systems, unless a partition parts them",
        "read",
    ),
    "neutral bond": Source(
        "NEC 250.24(A)(5), 250.30, 250.34, 702.11: one bond between neutral and ground",
        "from memory",
    ),
    "pv overcurrent": Source(
        "NEC (2017) 690.9(A) with its exception: none where conductors carry all available "
        "currents; sources that can feed more, as batteries, inverters and parallel rows, count; "
        "690.9(B), 240.4(B) and (D), 240.6: a magazine of inspectors, February 2018",
        "second hand",
    ),
    "pv disconnect": Source(
        "NEC (2014) 690.13, all conductors that are not grounded, and (2017) 690.15, all that are "
        "not solidly grounded, as an inspectors' magazine and a course print them; (2020) "
        "690.13(E), at once, lockable, rated for circuit current and voltage, by a trade text",
        "read",
    ),
    "ground fault": Source(
        "NEC (2017) 690.41(B) as a maker of connectors prints it: shall be provided; excepted are "
        "arrays of no more than two source circuits, with no direct current on or in a building, "
        "that are solidly grounded. (2014) 690.5: two source circuits on the ground, clear of "
        "buildings; (2023): above 30 V or 8 A; both second hand. (2020) from memory",
        "read",
    ),
    "arc fault": Source(
        "NEC 690.11: 80 V or more; edition of 2014 anywhere, from 2017 on not clear of buildings "
        "with wires in the ground or in metal; trade articles. Buildings for such equipment "
        "alone, 2020 on, from memory",
        "second hand",
    ),
    "rapid shutdown": Source(
        "NEC (2014) 690.12(1), (2017, 2020, 2023) 690.12, first sentence, as engineers, the "
        "code's publisher and a course print them: circuits on or in buildings shall include it. "
        "(2023) exceptions 1 and 2 and that of 690.12(A): a building for such equipment alone, "
        "open structures, arrays clear of buildings whose wires end outside. Exception 1 in 2017 "
        "and 2020 from memory",
        "read",
    ),
    "incidence loss": Source(
        "Martin & Ruiz, Solar Energy Materials & Solar Cells 70 (2001) 25: angular losses of PV "
        "modules, model fitted to measurements; the coefficients of coated and dusty glass and "
        "the loss of a year from memory",
        "read",
    ),
    "dirt loss": Source(
        "Mejia & Kleissl, Solar Energy 95 (2013) 357: 186 sites, 0.051 % a dry day, a quarter of "
        "them above 0.1 % (read); Kimber et al., IEEE 4th World Conference on Photovoltaic Energy "
        "Conversion (2006): 1.5 to 6.2 % of a year (second hand)",
        "second hand",
    ),
    "first light": Source(
        "Repins et al., Solar Energy 208 (2020) 894, on boron and oxygen in silicon; 1 to 3 % as "
        "trade articles print it",
        "second hand",
    ),
    "nameplate loss": Source(
        "Jordan, Kurtz, VanSant & Newmiller, Progress in Photovoltaics 24 (2016) 978: new modules "
        "deviate from their plates (read); by 0 to 3 % (from memory)",
        "from memory",
    ),
    "ageing loss": Source(
        "Jordan & Kurtz, Progress in Photovoltaics 21 (2013) 12: nearly 2000 measured rates, "
        "median 0.5 % a year; the same and others, ibid. 24 (2016) 978: median 0.5 to 0.6 %, mean "
        "0.8 to 0.9 % a year",
        "read",
    ),
    "mismatch loss": Source(
        "Losses of strings by modules that differ, 0.01 to 1 % where they are sorted; 1 to 2 % in "
        "design practice",
        "from memory",
    ),
    "turbidity": Source(
        "Ineichen & Perez, Solar Energy 73 (2002) 151: Linke turbidity of clear skies; 3 as its "
        "usual value is common practice",
        "from memory",
    ),
    "cell temperature": Source(
        "Faiman, Progress in Photovoltaics 16 (2008) 307: 25.0 and 6.84, measured on open racks, "
        "as the pvlib library has it",
        "second hand",
    ),
    "days in order": Source(
        "Graham, Hollands & Unny, Solar Energy 40 (1988) 83, for how days follow each other; "
        "Bendt, Collares-Pereira & Rabl, Solar Energy 27 (1981) 1, for how clear they are",
        "from memory",
    ),
    "daily pattern": Source(
        "Mayer et al. 1999, Residential End Uses of Water: lowest from 23 to 5 h, highest to "
        "11 h, moderate to 18 h, high to 23 h; as quoted, less than 4 % from 2 to 5 h and more "
        "than 88 % from 6 to 22 h; the shares are common practice",
        "from memory",
    ),
    "hourly supply": Source(
        "Energy and water balance of each hour, loads before battery: the water is there or it is "
        "not; 3 short days a year, where the file gives no number, are wellsolar's limit",
        "physics",
    ),
    "water age": Source(
        "Finished Water Storage Facilities, distribution system issue paper for the U.S. EPA "
        "(2002), on water age: a complete turnover every three to five days, after Kirmeyer et "
        "al. (1999), Maintaining Water Quality in Finished Water Storage Facilities",
        "from memory",
    ),
    "overall efficiency": Source(
        "Overall efficiency of a submersible pump and motor, wire to water: 20 to 50 % by the "
        "legal floors of pumps and motors at 5 to 30 gpm, taken as 35 %; above 75 % implausible",
        "common practice",
    ),
    "casing balance": Source(
        "Balance of the casing's water with pump curve and inflow: the water is there or it is "
        "not; Theis 1935, Jacob 1947, Papadopulos and Cooper 1967 (from memory)",
        "physics",
    ),
    "walton": Source(
        "Walton 1962, Illinois State Water Survey Bull. 49: classes of well loss; a well "
        "efficiency of 70 % as enough is from memory",
        "from memory",
    ),
    "image wells": Source(
        "Ferris, Knowles, Brown and Stallman 1962, Theory of aquifer tests, USGS Water-Supply "
        "Paper 1536-E: image wells; one barrier doubles the trend of the drawdown, a stream or "
        "lake ends it",
        "from memory",
    ),
    "test length": Source(
        "MIL-HDBK-1005/7A (24 January 2001, superseded by UFC 3-230-19N of 8 June 2005), Water "
        "supply systems, 4.4.1.1: a test of a well runs at least 24 h, longer ones may be "
        "desirable (read in a copy); the band beyond its end by image wells, USGS Water-Supply "
        "Paper 1536-E (from memory)",
        "read",
    ),
    "observation well": Source(
        "Technical articles on pumping tests, titles not kept: losses and skin of the pumped well "
        "add to its own drawdown, and to none in a well beside it",
        "from memory",
    ),
    "outages": Source(
        "Sphere Handbook (2004), water supply standard 1: at least 15 L a person a day; UNDP, "
        "Human Development Report (2006), as a course quotes it: 20 L, needs met in full from 50 "
        "L. What may fail and for how long is common practice",
        "second hand",
    ),
    "frost depth": Source(
        "International Plumbing Code 305.4 (2012 and later): water lines outside lie at least 6 "
        "in (152 mm) below the frost line and 12 in (305 mm) below the ground; seen in two texts "
        "that quote it",
        "second hand",
    ),
    "pipe classes": Source(
        "Plastics pipe institute (2015), pressure classes of polyethylene by wall ratio and "
        "design stress; PVC, Machinery's Handbook, 31st ed. (2020), Table 13; copper, copper "
        "association's handbook, table of annealed type M; galvanised steel and depths: common "
        "practice",
        "second hand",
    ),
    "check valve opening": Source(
        "A valve maker's catalogue, page on swing check valves (undated): below the velocity that "
        "holds the disc wide open, found from test data, it moves, is noisy and wears, and a "
        "smaller valve loses no more than one that stands partly open",
        "read",
    ),
    "tank relief": Source(
        "Chicago plumbing code 18-29-606.5 (undated print), after the international one: a relief "
        "valve set no higher than the tank's rating, on the tank or its supply pipe; West "
        "Virginia 64-46-7.8 (December 2024): pump controls include a relief valve; a tank's "
        "working pressure is 75 to 150 psi by the Water Systems Council's standard, as a web text "
        "of November 2008 quotes it",
        "read",
    ),
    "house pressure": Source(
        "International Residential Code 2021, P2903.3.1: static pressure above 80 psi takes a "
        "pressure reducing valve; International Plumbing Code 604.8 and Uniform Plumbing Code "
        "608.2 alike (second hand)",
        "read",
    ),
    "drive precharge": Source(
        "At a precharge as high as the pressure that is held no water enters the tank; about 70 % "
        "of the set point is common practice, from memory; the drive's own sheet goes before",
        "physics",
    ),
    "two-pipe jet": Source(
        "Robert Pelikan, Jet Pumps, part 1 (The Driller, May 2003, article 85358, begun): "
        "the ejector in the well pushes the water up, so that air sets no limit and the maker's "
        "table does. An undated web book on pumps, section 3.2.7 (read): two pipes, and a "
        "suction pipe below the ejector a little longer than 10.3 m keeps a jet from running dry",
        "read",
    ),
    "constant-pressure valve": Source(
        "A valve that holds the pressure behind it throttles to what is drawn, and the switch "
        "stops the pump only as what it lets through fills the tank to cut-out; before it stands "
        "what the pump makes at that flow. National Driller, Constant Pressure Systems (article "
        "85083, beginning read): such a valve is added to a system of switch and tank",
        "physics",
    ),
    "peak storage": Source(
        "Booster Systems for Low-Yield Wells, part 1, and When the Well Runs Dry, The Driller, "
        "articles 86502 and 85040 (undated copies): what a peak of seven minutes or more lacks "
        "comes from storage, as the Water Systems Council recommends, be it a pressure tank's "
        "beyond a minute's run; US Environmental Protection Agency, Private Water Systems, in a "
        "web archive of November 2008, section Storage, Reservoirs: two hours of heavy use beyond "
        "what the well pump gives; that no more than the day's water is drawn in them is ours",
        "read",
    ),
    "fixture allowances": Source(
        "US Environmental Protection Agency, Private Water Systems, in a web archive of November "
        "2008, section Pump Capacity, with its tables of uses: the allowances of all fixtures are "
        "added, that of the greatest use replaced by its flow",
        "read",
    ),
    "intermediate storage": Source(
        "US Environmental Protection Agency, Private Water Systems, in a web archive of November "
        "2008, section Pumping Installation, Storage, Reservoirs: a pressure pump gives the peak",
        "read",
    ),
    "gravity tanks": Source(
        "Chicago plumbing code 18-29-606.5.6 (undated print), after the international one: the "
        "inlet of a gravity tank ends with an air gap no less than 4 in (100 mm) above the "
        "overflow",
        "read",
    ),
    "cisterns": Source(
        "Virginia 12 VAC 5-610-1170 C (undated print): cisterns are watertight, their covers "
        "solid and overlapping their frames, all openings screened, overflows screened and joined "
        "to no drain, with an air gap",
        "read",
    ),
    "fixture pressure": Source(
        "International Plumbing Code 604.3 and its table (undated print): flow "
        "pressure at peak demand 8 psi at most fixtures, 20 psi at closets with tanks and at "
        "showers with mixing valves",
        "read",
    ),
}
