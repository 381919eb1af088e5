"""Where each rule, default and method comes from; results carry the keys of those they used."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Provenance = Literal["read", "second hand", "from memory", "common practice"]


@dataclass(frozen=True)
class Source:
    """A citation, and how far the project has seen it.

    provenance: "read" in the source or a copy; "second hand" in a text that quotes it;
        "from memory", not seen; "common practice" of the trade without a source
    """

    citation: str
    provenance: Provenance


SOURCES: dict[str, Source] = {
    "common practice": Source("common practice, no source", "common practice"),
    "command line": Source("Set on the command line, in place of the site file", "read"),
    "Python": Source("Set in Python, in place of the site file", "read"),
    "sphere": Source(
        "Sphere Handbook, water supply standard 1, an older edition whose year was not seen: at "
        "least 15 L a person a day, a 20 L can filled in no more than 3 min; the edition of 2011, "
        "as quoted, 7.5 to 15 L to survive",
        "read",
    ),
    "ground temperature": Source(
        "Hydrogeology texts: ground water 0.5 to 1.5 K above the mean air temperature of the year",
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
        "Krendel's rule of human power against duration, and field figures of "
        "60 to 75 W over a shift",
        "from memory",
    ),
    "open module table": Source(
        "Population of 20,946 crystalline modules in the open module table shipped with pvlib",
        "read",
    ),
    "array derate": Source(
        "Textbook example of an array for a pump: 0.80; public sizing guides with a battery print "
        "0.70 to 0.75 (from memory)",
        "read",
    ),
    "fixture water": Source(
        "Hendron & Engebrecht, NREL/TP-550-49426 (2010): water of showers, baths and sinks "
        "mixed to 110 degF",
        "second hand",
    ),
    "hot water use": Source(
        "Solar sizing rule of 20, 20 and then 15 gal a day for each further person", "from memory"
    ),
    "module table": Source(
        "Open table of 20,946 crystalline modules of 2019, shipped with the pvlib library; bounds "
        "that 998 in 1,000 keep, computed and rounded outward",
        "read",
    ),
    "jacket loss": Source(
        "UA = A / R of the jacket; the addition for fittings from the gap between a published "
        "worked figure for an R-16 tank and its jacket alone (15 to 40 %)",
        "read",
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
        "Surface albedos tabled in the pvlib library: grass 0.20, soil 0.17; 0.2 without snow in "
        "Duffie & Beckman, Example 2.19.1 (second hand)",
        "read",
    ),
    "tdh worksheet": Source(
        "A state sanitarian's worksheet of total dynamic head, without title or year: at most 5 "
        "ft/s, head to the cut-out pressure",
        "read",
    ),
    "nec voltage drop": Source(
        "NEC 210.19(A), informational note (No. 4 in 2023): 3 % in a branch circuit, as quoted in "
        "public texts; a note is not enforceable, 90.5(C)",
        "second hand",
    ),
    "tank run time": Source(
        "Trade sheet of pressure tanks: 2 min for a pump of 1 hp; Pelikan, trade column on tank "
        "sizing, and a maker's table: at least 1 min of run for all",
        "read",
    ),
    "motor starts": Source(
        "A maker's table of starts in 24 h, as a dealer quotes it, single/three phase: to 0.75 hp "
        "300/300, 1 to 5.5 hp 100/300, from 7.5 hp 50/100; Kill, Water Well Journal: up to 300 "
        "below 1 hp, evenly spread",
        "read",
    ),
    "hourly starts": Source(
        "A trade association's standard for pressure tanks, as a trade text quotes it: 15 starts "
        "an hour to 3/4 hp, 7.5 above",
        "second hand",
    ),
    "motor cooling": Source(
        "A maker's table of flows past motors, as dealers quote it: 0.25 ft/s past 4-inch motors "
        "of 3 hp and more, 0.5 ft/s past 6-inch ones and larger, in water to 30 degC; 3 ft/s in "
        "warmer water; none is asked of smaller motors",
        "read",
    ),
    "sobol": Source(
        "Sobol sequence under a random linear scramble and shift, as scipy documents it; "
        "Spearman's rank correlation; 95 % of the cases is our own mark",
        "read",
    ),
    "handle force": Source(
        "Hand-pump project practice: 200 N comfortable, 400 N at most", "from memory"
    ),
    "sanitary hand pump": Source(
        "Connecticut 19-13-B51j(e), Missouri 10 CSR 23-3.050(1)(A) and (B), Howard County, "
        "Indiana, 52.04(A)(1): a hand pump has a stuffing box, a closed spout that points down, a "
        "flange over a casing 1 in above it, needs no priming and does not freeze; no water by "
        "bailer or bucket",
        "read",
    ),
    "hand travel": Source(
        "Deep-well pump in the public domain, IS 9301: 125 mm of stroke by a lever of 8 to 1 (the "
        "lever from memory); NUREG-0700 Rev. 3, table 11.4 after MIL-STD-1472G, appendix B: "
        "functional reach of a woman of the fifth percentile 67.7 cm (read in a copy)",
        "from memory",
    ),
    "hand pump depth": Source(
        "IS 9301:1982, first revision, note to its scope (now in IS 15500-1 to 8:2004): lever "
        "pumps are normally not used below 50 m; an extra-deep version of the public-domain pump "
        "goes to 80 m (field text)",
        "read",
    ),
    "rod stretch": Source(
        "Hooke's law, steel of 2.0e11 Pa from memory; a tenth of the stroke as limit is common "
        "practice",
        "common practice",
    ),
    "discharge table": Source(
        "Published field tables of hand pumps reach 51 to 87 % overall; rows of 98 and 100 % are "
        "water power given as discharge; 90 % as limit is common practice",
        "common practice",
    ),
    "other lifts": Source(
        "Field figures of rope and pedal pumps: rope pump 65 %, half the flow at twice the head, "
        "so constant power",
        "read",
    ),
    "legionella": Source(
        "WHO 2007, Legionella and the prevention of legionellosis: 60 degC (140 degF) at the "
        "heater's outlet, 50 degC (122 degF) back at it (read); Approved Code of Practice L8, "
        "technical guidance, as quoted: the whole of a tank at 60 degC for an hour a day, and a "
        "short rise does not do it; ASHRAE Guideline 12-2000, 4.1.6, as quoted, asks 60 degC of "
        "health care, nursing homes and other places of high risk, not of homes",
        "second hand",
    ),
    "total dynamic head": Source(
        "UFC 3-230-03A (16 January 2004, superseded by UFC 3-230-01 of 1 November 2012), eq. 5-6 "
        "and 5-7: head from the drawn-down level plus friction, pressure and velocity head",
        "read",
    ),
    "cut-out": Source(
        "Pelikan, trade column on pressure drop: the pump must reach cut-out, not cut-in", "read"
    ),
    "metered use": Source(
        "LBNL, household energy documentation, eq. 26, from Mayer et al. 1999: indoor use 37.2 N "
        "+ 69.2 gal/day",
        "read",
    ),
    "suction lift": Source(
        "Suction lift against altitude: atmospheric less vapour pressure; in "
        "practice about 7 m at sea level (FAO)",
        "read",
    ),
    "locked rotor": Source(
        "NEC Tables 430.7(B), 430.251(A) and (B): locked-rotor current; below 1/2 hp six times "
        "the full-load current, as in the table's own rows",
        "second hand",
    ),
    "motor conductor": Source(
        "NEC 430.22: conductors for 125 % of the motor's full-load current, by the tables that "
        "430.6(A) names; the section is alike in the editions from 2011 to 2023 (editions from "
        "memory)",
        "second hand",
    ),
    "casing fit": Source(
        "Kravitz 1967, Packing cylinders into cylindrical containers; three bodies by Descartes' "
        "theorem; the clearance is common practice",
        "second hand",
    ),
    "start dip": Source(
        "Trade tables of generators for submersible motors: at least 65 % of the rated voltage at "
        "the motor while it starts; NFPA 20 9.4.1 and NEC 695.7(A) ask 15 % at most, but at the "
        "line terminals of a fire pump's controller",
        "read",
    ),
    "generator start": Source(
        "Trade table of generators for submersible motors: at least 65 % of the rated voltage at "
        "start (read); reactance and power factor of the start are common practice",
        "common practice",
    ),
    "motor phases": Source(
        "A three-phase induction motor has no torque of its own at rest on a single phase: "
        "textbooks of electric machines",
        "from memory",
    ),
    "motor full load": Source(
        "NEC Tables 430.248 and 430.250: full-load current by power, voltage and phases",
        "second hand",
    ),
    "suction head": Source(
        "Bachus and Custodio 2003, Know and Understand Centrifugal Pumps, ch. 2; the margin is "
        "common practice",
        "common practice",
    ),
    "pv circuit": Source(
        "NEC (2014, 2017) 690.8(A), (B)(1) and (2): at most 1.25 x the short-circuit current; "
        "conductors for 1.25 x that before correction, and for that itself after correction for "
        "ambient and bundling; a trade magazine's article and one of inspectors",
        "second hand",
    ),
    "cold voltage": Source(
        "NEC 690.7 as quoted in public texts: open-circuit voltage at the lowest expected "
        "temperature, 600 V in one- and two-family dwellings; Table 690.7(A)",
        "second hand",
    ),
    "peak sun hours": Source(
        "Peak-sun-hour rule of public sizing guides: energy / peak sun hours / derate", "read"
    ),
    "precharge": Source(
        "Pelikan, trade column on captive-air tanks, and a water systems association's sheet of "
        "January 2007: precharge 2 psi below cut-in",
        "read",
    ),
    "element rating": Source(
        "R = V^2/W of the element's plate; power grows with the square of the voltage", "read"
    ),
    "element tolerance": Source(
        "IEC 60335-1:2010, clause 10.1 (clause from memory), and a national standard of tubular "
        "elements above 100 W: input power 5 % more to 10 % less than rated; a maker's page that "
        "quotes it",
        "second hand",
    ),
    "load matching": Source(
        "Matuska & Sourek, Int. J. Photoenergy 2017, 7540250: tracking gives 20 to 35 % more in a "
        "year than an optimised resistance; the mark of 95 % of the best one is our choice",
        "read",
    ),
    "heat balance": Source(
        "Stratified tank of nodes after Duffie & Beckman ch. 8, stepped through days and the "
        "hours of the site's year; the mark to pass is our own",
        "from memory",
    ),
    "mixing valve": Source(
        "UPC 408.3 (2015): 120 degF at a shower, for which a water heater's thermostat is no "
        "control; IPC 412.3 and 412.5 (424.3 before 2018): 120 degF at showers and tubs; SRCC "
        "criterion 6.1.5.6: a solar system limits the water at its fixtures",
        "read",
    ),
    "point of use": Source(
        "ASSE standards: 1017 controls temperature at the source, 1016 and 1070 "
        "protect at the fixture",
        "read",
    ),
    "burn times": Source(
        "Shortest of the published times: mostly a children's hospital's page on scalds (150 degF "
        "1.5 s, 140 degF 5 s), near it US CPSC document 5098 (2 s, 6 s; 130 degF 30 s, 120 degF "
        "5 min) and Moritz & Henriques 1947, as reproduced; a child in a quarter of the adult's "
        "time is from memory",
        "from memory",
    ),
    "high limit": Source(
        "Water-heater service texts: high-limit cut-out 170 to 180 degF by hand "
        "reset, relief valve 210 degF; no code's figure was found",
        "read",
    ),
    "dc contacts": Source(
        "Texts on switching direct current: its arc finds no zero to die at, so contacts without "
        "a rating for direct current must not break it",
        "read",
    ),
    "high limit contacts": Source(
        "That one contact which welds must not defeat both guards: our own rule; both conductors: "
        "NEC 422.47, a temperature limit besides the thermostat that opens every ungrounded "
        "conductor",
        "second hand",
    ),
    "voltage window": Source(
        "Input voltages by the sheets of controllers and drives; the affinity laws; cells of "
        "70 degC on a hot roof: common practice, no source",
        "common practice",
    ),
    "well disinfection": Source(
        "California Bulletin 74-81 with 74-90 (a draft, adopted locally), Part II section 11: "
        "disinfected when work is done on the pump; Alberta Agriculture, Agdex 716 (A10), module "
        "6: 200 ppm in twice the water of the casing; some counties ask 50 mg/L for 24 h",
        "read",
    ),
    "closed system": Source(
        "IPC 607.3, in a city's print: behind a check valve, reducing valve or backflow preventer "
        "expansion is controlled so that the pressure stays within 604.8, 80 psi; UPC 608.3 the "
        "same way; a relief valve is no such device. 10 % below its setting: engineer's note",
        "read",
    ),
    "mixing-valve standards": Source(
        "Standards developer's magazine: what ASSE 1016, 1017, 1062, 1069, 1070, 1071, 1082 and "
        "1084 are for; ranges of settings from a trade comparison sheet; scope of ASSE 1017-2023: "
        "hot supply 125 to 180 degF (read), at least 20 degF hotter than the setting",
        "second hand",
    ),
    "relief valve": Source(
        "IPC 504.3 to 504.6 in a city's print: 210 degF and 150 psi or the tank's plate, the "
        "lower; capacity not less than the heat input; what its discharge pipe is. Some cities "
        "cap it at 200 degF",
        "read",
    ),
    "relief margin": Source(
        "Engineer's published note on thermal expansion tanks: 135 psi, 10 % below a relief valve "
        "of 150 psi",
        "read",
    ),
    "boiling": Source(
        "Boiling point by IAPWS R7-97, coefficients as the iapws library prints them, at the "
        "pressure of the U.S. Standard Atmosphere 1976; the margin for the weather's low is our "
        "own",
        "second hand",
    ),
    "vacuum relief": Source(
        "UPC 608.7 (2015), as quoted by its publisher: a vacuum relief valve where the tank "
        "stands above fixtures (read); IPC 504.1: every storage heater is kept from being "
        "siphoned, by a valve or a hole in the dip tube (from memory)",
        "read",
    ),
    "pv overcurrent": Source(
        "NEC (2017) 690.9(A) with its exception: none where conductors carry all available "
        "currents; sources that can feed more, as batteries, inverters and parallel rows, count; "
        "690.9(B), 240.4(B) and (D), 240.6: a magazine of inspectors, February 2018",
        "second hand",
    ),
    "pv disconnect": Source(
        "NEC (2020) 690.13(A) and (E), 690.15: articles of inspectors and trade magazines; rated "
        "for circuit current and voltage",
        "second hand",
    ),
    "ground fault": Source(
        "NEC (2017) 690.41(B) as a maker of connectors prints it: shall be provided; excepted are "
        "arrays of no more than two source circuits, with no direct current on or in a building, "
        "that are solidly grounded",
        "read",
    ),
    "arc fault": Source(
        "NEC 690.11: 80 V or more; editions 2011 and 2017 on or in buildings, 2014 anywhere; "
        "trade articles",
        "second hand",
    ),
    "rapid shutdown": Source(
        "NEC (2020, 2023) 690.12, its first sentence as a trade article and a course on the "
        "code print it: circuits on or in buildings shall include it; of arrays on the ground too "
        "where their wires enter",
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
        "Energy and water balance of each hour, loads before battery; 3 short days a year are a "
        "limit of common practice",
        "common practice",
    ),
    "overall efficiency": Source(
        "Overall efficiency of a submersible pump and motor, wire to water: 20 to 50 % by the "
        "legal floors of pumps and motors at 5 to 30 gpm, taken as 35 %; above 75 % implausible",
        "common practice",
    ),
    "casing balance": Source(
        "Balance of the casing's water with pump curve and inflow; Theis 1935, Jacob 1947, "
        "Papadopulos and Cooper 1967",
        "from memory",
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
        "MIL-HDBK-1005/7A, Water supply systems, 4.4.1.1: a test of a well runs at least 24 h, "
        "longer ones may be desirable (read in a copy); the band beyond its end by image wells, "
        "USGS Water-Supply Paper 1536-E (from memory)",
        "read",
    ),
    "observation well": Source(
        "Technical articles on pumping tests: losses and skin of the pumped well add to its own "
        "drawdown, and to none in a well beside it",
        "second hand",
    ),
    "outages": Source(
        "Needs of a person after the Sphere Handbook, at least 15 L a day, and the UN development "
        "programme, 20 L, met in full from 50 L; what may fail and for how long: common practice",
        "common practice",
    ),
    "frost depth": Source(
        "International Plumbing Code 305.4 (2012 and later): water lines outside lie at least 6 "
        "in (152 mm) below the frost line and 12 in (305 mm) below the ground; seen in two texts "
        "that quote it",
        "second hand",
    ),
    "pipe classes": Source(
        "Polyethylene by wall ratio and design stress, plastics pipe institute (2015); "
        "PVC, Machinery's Handbook, 31st ed., Table 13; copper, copper association's handbook; "
        "galvanised steel and depths: common practice",
        "second hand",
    ),
    "tank relief": Source(
        "Chicago's plumbing code 606.5, after the international one: a relief valve set no higher "
        "than the tank's rating, on the tank or its supply pipe; West Virginia 64-46-7.8: pump "
        "controls include a relief valve; a tank's working pressure is 75 to 150 psi by the water "
        "systems council's standard (second hand)",
        "read",
    ),
    "house pressure": Source(
        "International Residential Code 2021, P2903.3.1: static pressure above 80 psi takes a "
        "pressure reducing valve; International Plumbing Code 604.8 and Uniform Plumbing Code "
        "608.2 alike (second hand)",
        "read",
    ),
    "drive precharge": Source(
        "Practice with pumps that hold their pressure: precharge about 70 % of the set point; the "
        "drive's own sheet goes before",
        "from memory",
    ),
    "peak storage": Source(
        "Trade article on low-yield wells: what a peak of seven minutes or more lacks comes from "
        "storage",
        "read",
    ),
}
