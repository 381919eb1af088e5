"""How much each way to be wrong weighs beside the others: our choice, entered twice.

No source has these weights, so that this tells a slip of the finger and no more. What would be
read with each cause is composed in `test_composed_readings.py`; how weights and readings make
shares is told by the formula below.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import numpy as np
import pytest

from tests.studies.reading.by_integration import KINDS
from tests.studies.reading.conftest import PUMP, TEXT, USUAL
from wellsolar import kinds
from wellsolar.results.readings import ReadingResult
from wellsolar.site.loading.read import parse_site
from wellsolar.site.readings.file import readings_of_options
from wellsolar.studies.case import Case
from wellsolar.studies.reading import reading as weighing
from wellsolar.studies.reading.study import study_readings
from wellsolar.units import Quantity

SUNNY = {"irradiance": "900 W/m2", "cell_temperature": "50 degC"}
CLEAR = {"date": "2026-07-10", "time": "12:00", "sky": "clear"}
BUCKET = {"bucket_volume": "5 gal", "bucket_time": "60 s", "gauge_pressure": "50 psi"}
PLATE = USUAL["element"]
ON_INVERTER = {"element": PLATE.replace("hot water", "inverter"), "array": "series = 4",
               "more": '[power]\ninverter_voltage = "240 V"\n'}  # fmt: skip
TRACKING = {"element": PLATE + '\ncoupling = "tracking"\ntracker_maximum = "4 kW"'}
TWO = {"element": PLATE.replace("4500", "2250") + '\ncount = 2\nwired = "parallel"'}
GRID = {"elements": '[[water_heater.element]]\nposition = "upper"\nrated_power = "4500 W"\n'
        'rated_voltage = "240 V"\nfed_by = "grid"\nthermostat = "120 degF"\n'}  # fmt: skip
STEEP = {"pumps": PUMP.replace("1150, 1180 W", "1250, 1900 W")}
BESIDE = {"pumps": PUMP + PUMP.replace("house pump", "other pump").replace("190 ft", "180 ft")}
NO_VALVE = {"valve": ""}

PLATES = {"an element of": (0.1,), "two such elements": (0.1,)}
MISSING = {"1 module of": (1.0,), "2 modules of": (1 / 2,), "3 modules of": (1 / 3,)}
# Seldom as many from each of several strings.
FROM_EACH = {text: (0.3 * weight,) for text, (weight,) in MISSING.items()}
SHADED = {"a string that is shaded": (4.0,)}
JOINT = {"a loose or corroded joint": (0.2,)}
BOLD = {"a module more in series": (0.3,), "cells cooler": (0.5,)}

Weights = dict[str, tuple[float, ...]]
WEIGHED: list[tuple[dict[str, str], dict[str, str], str, Weights]] = [
    ({}, {"fill_time": "600 s"}, "fill_time", {
        "a precharge far too low": (1.0,), "a precharge above cut-in": (0.4,),
        "water that stands deeper": (0.8,), "a tap open": (0.6, 1.1, 2.0, 4.0),
        "a tank larger": (0.2, 1.1, 2.0)}),
    ({}, {"fill_time": "30 s"}, "fill_time", {
        "a precharge far too low": (1.0,), "a precharge above cut-in": (0.4,),
        "water that stands higher": (0.6,), "a tank smaller": (0.7, 0.05, 0.5, 0.9)}),
    # A bucket clears pump and level to a twentieth, a gauge the tank's air to a tenth.
    ({}, {"fill_time": "600 s", "precharge": "38 psi", **BUCKET}, "fill_time", {
        "a precharge far too low": (0.1,), "a precharge above cut-in": (0.04,),
        "water that stands deeper": (0.04,), "a tap open": (0.03, 1.1, 2.0, 4.0),
        "a tank larger": (0.02, 1.1, 2.0)}),
    ({}, {"fill_time": "30 s", "precharge": "38 psi", **BUCKET}, "fill_time", {
        "a precharge far too low": (0.1,), "a precharge above cut-in": (0.04,),
        "water that stands higher": (0.03,), "a tank smaller": (0.07, 0.05, 0.5, 0.9)}),
    ({}, {"pump_amps": "9 A"}, "pump_amps", {
        "a bound pump": (0.8, 1.15, 6.0), "a start winding": (0.4, 1.3, 2.5),
        "a supply voltage below": (0.8, 1 / 0.98, 1 / 0.8)}),
    ({}, {"pump_amps": "8.9 A (8.2 A .. 9.6 A)"}, "pump_amps", {
        "a bound pump": (0.8, 1.15, 6.0), "a start winding": (0.4, 1.3, 2.5),
        "a supply voltage below": (0.8, 1 / 0.98, 1 / 0.8)}),
    (STEEP, {"pump_amps": "14 A"}, "pump_amps", {
        "a bound pump": (0.8, 1.15, 6.0), "a start winding": (0.4, 1.3, 2.5),
        "a supply voltage below": (0.8, 1 / 0.98, 1 / 0.8), "more flow than thought": (0.7,),
        "water that stands higher": (0.6,)}),
    ({}, {"pump_amps": "3 A"}, "pump_amps", {
        "a closed valve": (0.8,), "water that stands deeper": (0.6,),
        "a pump that draws air": (1.0, 0.25, 0.65),
        "a supply voltage above": (0.3, 1 / 1.15, 1 / 1.02)}),
    ({}, {**BUCKET, "bucket_time": "120 s"}, "bucket_flow", {
        "water that stands deeper": (0.9,), "a leak in the drop pipe": (0.8, 0.3, 0.9)}),
    ({}, {**BUCKET, "bucket_time": "120 s", "pumping_level": "105 ft"}, "bucket_flow", {
        "water that stands deeper": (0.045,), "a leak in the drop pipe": (0.8, 0.3, 0.9)}),
    ({}, {**BUCKET, "bucket_time": "10 s"}, "bucket_flow", {
        "water from the tank": (1.0, 1.1, 1.5, 4.0), "water that stands higher": (0.6,)}),
    ({}, {"pumping_level": "150 ft"}, "pumping_level", {
        "a well that gives less": (1.0,), "water that stands deeper at rest": (0.7,),
        "a neighbour's well": (0.3,)}),
    (BESIDE, {"pumping_level": "150 ft", "static_level": "85 ft"}, "pumping_level", {
        "a well that gives less": (1.0,), "water that stands deeper at rest": (0.1,),
        "a neighbour's well": (0.3,), "another pump of the well": (0.6,)}),
    ({}, {"pumping_level": "87 ft"}, "pumping_level", {
        "not settled yet": (1.0,), "a pump that gives less": (0.8,),
        "water that stands higher at rest": (0.6,)}),
    ({}, {"pumping_level": "70 ft", "pumping_time": "2 h", **BUCKET}, "pumping_level", {
        "not settled yet": (0.3,), "a pump that gives less": (0.1,),
        "water that stands higher at rest": (0.6,)}),
    (GRID, {"tank_temperature": "45 degF", "time": "12:00"}, "tank_temperature", {
        "more hot water drawn": (0.7,), "an array or element": (0.6,),
        "a thermometer": (0.3,), "the element on the grid": (1.0,)}),
    ({}, {"element_volts": "143 V", "element_amps": "7 A"}, "element_resistance", {
        **PLATES, "an element that runs hot": (0.3, 1.03, 1.12),
        "a loose or burnt joint": (0.2, 1.15, 1.6), "a short across": (0.3, 0.0, 0.3)}),
    ({**TWO, **TRACKING, "element": TWO["element"] + TRACKING["element"][len(PLATE):]},
     {"element_volts": "143 V", "element_amps": "7 A"}, "element_resistance", {
        **PLATES, "an element that runs hot": (0.3, 1.03, 1.12), "one of 2 elements": (0.6, 2.0),
        "a loose or burnt joint": (0.2, 1.15, 1.6), "a short across": (0.3, 0.0, 0.3),
        "a meter that does not": (0.3, 0.5, 2.0)}),
    ({}, {"element_amps": "4 A", **SUNNY}, "element_amps",
     {**MISSING, **SHADED, **PLATES, **JOINT}),
    ({}, {"element_amps": "4 A", **CLEAR}, "element_amps",
     {**MISSING, **SHADED, **PLATES, **JOINT, "less sun": (0.1,)}),
    ({}, {"element_amps": "0.6 A", "date": "2026-07-10", "time": "12:00"}, "element_amps",
     {**MISSING, **SHADED, **PLATES, **JOINT, "less sun": (1.0,)}),
    ({}, {"element_amps": "9.5 A", **SUNNY}, "element_amps",
     {**BOLD, **PLATES, "a sun meter": (0.8,)}),
    ({}, {"element_amps": "9.7 A", **CLEAR}, "element_amps",
     {**BOLD, **PLATES, "sun brighter": (0.8,)}),
    ({}, {"element_amps": "4 A", "element_volts": "100 V", **SUNNY}, "element_amps",
     {**MISSING, **SHADED, **JOINT, "an element that is not that of the file": (3.0,)}),
    ({"array": "series = 4\nparallel = 3"}, {"element_amps": "6 A", **SUNNY}, "element_amps",
     {**FROM_EACH, **SHADED, **PLATES, **JOINT, "a string of 3": (1.0,), "2 strings of": (1.0,)}),
    (TRACKING, {"element_amps": "4 A", **SUNNY}, "element_amps",
     {**MISSING, **SHADED, **PLATES, **JOINT, "electronics that": (0.7,)}),
    (ON_INVERTER, {"element_amps": "25 A"}, "element_amps",
     {**PLATES, "an inverter whose voltage": (0.5, 1.05, 1.15)}),
]  # fmt: skip
"""The site, what is read there, the reading, and of each cause the weight and, where what would
be read is a multiple of what is expected, those multiples."""

FIXED: list[tuple[dict[str, str], dict[str, str], tuple[float, float]]] = [
    ({}, {"pump_amps": "0.1 A"}, (0.5, 0.4)),
    ({}, {"pumping_level": "210 ft"}, (0.6, 0.4)),
    ({}, {"static_level": "120 ft"}, (0.5, 0.4)),
    ({}, {"static_level": "60 ft"}, (0.6, 0.3)),
    ({}, {"precharge": "20 psi"}, (0.6, 0.3)),
    ({}, {"precharge": "50 psi"}, (0.6, 0.3)),
    ({}, {"gauge_pressure": "20 psi", "pump_state": "on"}, (0.5, 0.4)),
    ({}, {"gauge_pressure": "20 psi", "pump_state": "off"}, (0.5, 0.3)),
    ({}, {"gauge_pressure": "80 psi", "pump_state": "off"}, (0.5, 0.4)),
    ({}, {"gauge_pressure": "80 psi", "pump_state": "on"}, (0.6, 0.3)),
    ({}, {"evening_pressure": "60 psi", "morning_pressure": "45 psi", "hours_between": "9 h"},
     (0.5, 0.4)),
    ({}, {"evening_pressure": "45 psi", "morning_pressure": "60 psi", "hours_between": "9 h"},
     (0.6, 0.3)),
    ({}, {"element_amps": "0.1 A", **SUNNY}, (0.5, 0.3)),
    ({}, {"element_amps": "4 A", "date": "2026-07-10", "time": "23:30"}, (0.6, 0.3)),
    ({}, {"tank_temperature": "165 degF"}, (0.7, 0.2)),
    ({"valve": "high_limit = \"160 degF\""}, {"tank_temperature": "175 degF"}, (0.8, 0.1)),
    ({"element": PLATE.replace("150", "110")}, {"tap_temperature": "150 degF"}, (0.7, 0.2)),
    (NO_VALVE, {"tap_temperature": "150 degF"}, (0.8, 0.1)),
    ({}, {"tap_temperature": "45 degF"}, (0.5, 0.4)),
]  # fmt: skip
"""The site, what is read there, and the shares of the two causes that need no weighing."""


@cache
def case_of(changes: tuple[tuple[str, str], ...]) -> Case:
    return Case(parse_site(TEXT.format(**{**USUAL, **dict(changes)})))


Weighed = list[tuple[Quantity, weighing.Candidate]]


def read(changes: dict[str, str], written: dict[str, str]) -> tuple[list[ReadingResult], Weighed]:
    """What readings say, and every candidate that was weighed."""
    weighed: Weighed = []
    scored = weighing.scored

    def noted(reading: Quantity, candidate: weighing.Candidate) -> Any:
        weighed.append((reading, candidate))
        return scored(reading, candidate)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(weighing, "scored", noted)
        found = study_readings(case_of(tuple(changes.items())), [readings_of_options(written)])
    for each in found.readings.readings:
        for told in each.implied:
            assert told.value.kind is KINDS[told.key.removeprefix("implied_")], told.key
        assert each.expected is None or each.expected.value.kind is each.measured.kind, each.key
    return list(found.readings.readings), weighed


def likelihood(reading: Quantity, candidate: weighing.Candidate) -> float:
    """Its weight, spread evenly over its cases and blurred by a bell that is a twentieth of the
    larger of reading and cases wide, or half of what the reading leaves open; as if the reading
    were the nearest of them."""
    values = candidate.values[np.isfinite(candidate.values)]
    apart = max(0.0, values.min() - reading.high, reading.low - values.max())
    wide = max(abs(reading), abs(values.max())) / 20
    wide = max(wide, (reading.high - reading.low) / 2)
    bell = wide * math.sqrt(2 * math.pi)
    spread = bell / (bell + values.max() - values.min())
    return candidate.weight * spread * math.exp(-((apart / wide) ** 2) / 2)


@pytest.mark.parametrize("number", range(len(WEIGHED)))
def test_ways_to_be_wrong_weigh_what_is_stated(number: int) -> None:
    changes, written, key, weights = WEIGHED[number]
    readings, all_weighed = read(changes, written)
    (reading,) = [each for each in readings if each.key == key]
    weighed = [each for read_there, each in all_weighed if read_there == reading.measured]
    usual = float(reading.expected.value)
    for each in weighed:
        (stated,) = [row for start, row in weights.items() if each.text.startswith(start)]
        assert each.weight == pytest.approx(stated[0]), each.text
        if stated[1:]:
            shown = [float(value) / usual for value in each.values]
            assert shown == pytest.approx(stated[1:]), each.text
    texts = [each.text for each in weighed]
    assert all(any(text.startswith(start) for text in texts) for start in weights), texts
    # Of causes that shut each other out only the likeliest is told, and none of a thousandth.
    by_group: dict[str, float] = {}
    for each in weighed:
        name = each.group or each.text
        by_group[name] = max(by_group.get(name, 0.0), likelihood(reading.measured, each))
    likely = sorted([*by_group.values(), 0.002], reverse=True)
    told = [each / sum(likely) for each in likely[:2]]
    assert [each.share for each in reading.causes] == pytest.approx(
        [share for share in told if share > 0.001], rel=1e-3
    )


@pytest.mark.parametrize("number", range(len(FIXED)))
def test_causes_that_need_no_weighing(number: int) -> None:
    changes, written, shares = FIXED[number]
    (reading,) = [each for each in read(changes, written)[0] if each.causes]
    assert tuple(each.share for each in reading.causes) == shares, reading.causes


@pytest.mark.parametrize(("weight", "also"), [(1.94, True), (2.06, False)])
def test_a_cause_of_less_than_a_thousandth_is_not_told(weight: float, also: bool) -> None:
    """One way that would show just what is read counts by its weight alone; beside it stands a
    slip of the pen, of 0.002."""
    read_there = Quantity(7.0, kinds.CURRENT)
    way = weighing.Candidate("that way", np.array([7.0]), weight)
    slip = 0.002 / (weight + 0.002)
    assert (slip > 0.001) is also
    shares = [each.share for each in weighing.ranked(read_there, [way])]
    assert shares == pytest.approx([1.0 - slip, slip] if also else [1.0 - slip])
