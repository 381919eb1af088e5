"""The series of the figures against calculations of the test's own."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
from scipy.optimize import brentq

from wellsolar import kinds
from wellsolar.reports.charts.style import apart, scale_of
from wellsolar.results import Results
from wellsolar.site.read import load_site
from wellsolar.studies.everything import PARTS, study_site

CHECKOUT = Path(__file__).parents[2]
FOOT, GPM = 0.3048, 3.785411784e-3 / 60


@pytest.fixture(scope="module")
def ridge() -> Results:
    return study_site(load_site(CHECKOUT / "examples" / "ridge_house.toml"), (*PARTS, "figures"))


def between(x: float, xs: Any, ys: Any) -> float:
    """A straight line between the two points beside x."""
    for i in range(len(xs) - 1):
        if xs[i] * (1 - 1e-9) <= x <= xs[i + 1] * (1 + 1e-9):
            return float(ys[i] + (ys[i + 1] - ys[i]) * (x - xs[i]) / (xs[i + 1] - xs[i]))
    raise AssertionError(f"{x} lies outside")


def test_the_curve_goes_through_the_sheet_and_crosses_where_the_pump_works(
    ridge: Results,
) -> None:
    assert ridge.figures is not None
    curve, pump = ridge.figures.pump_curves[0], ridge.pumps[0]
    for flow, head in ((0, 385), (4, 365), (7, 330), (10, 270), (13, 180)):  # the file's points
        assert between(flow * GPM, curve.flows, curve.heads) == pytest.approx(
            head * FOOT, rel=3e-3
        )
    assert [each.label for each in curve.systems] == ["at cut-in", "at cut-out"]
    for system, duty in zip(curve.systems, pump.duties, strict=True):
        for heads in (curve.heads, system.heads):
            found = between(duty.flow, curve.flows, heads)
            assert found == pytest.approx(duty.total_dynamic_head, rel=3e-3)
    # 40 psi and 60 psi lie 20 psi apart: 6894.76 Pa a psi over 998.9 kg/m3 and 9.80665 m/s2.
    apart_by = [b - a for a, b in zip(*(each.heads for each in curve.systems), strict=True)]
    assert min(apart_by) == pytest.approx(20 * 6894.757 / (999.5 * 9.80665), rel=1e-3)


def test_the_level_falls_as_the_casing_empties_and_then_stands(ridge: Results) -> None:
    """In a minute hardly anything flows in: what is pumped comes out of the casing, 6.065 in wide
    less what hangs in it. In a day it stands where pump and inflow, 0.35 gpm/ft, agree."""
    assert ridge.figures is not None
    assert ridge.well is not None
    course = ridge.figures.courses[0]
    pump = next(each for each in ridge.well.pumps if each.name == course.pump)
    area = math.pi / 4 * (6.065 * 0.0254) ** 2
    free = (ridge.well.water_area or 0.0) / area
    assert 0.75 < free < 1.0
    drawn = course.levels[1] - course.levels[0]
    inflow = 0.35 * GPM / FOOT
    tau = area * free / inflow
    settled = pump.flow_at_rest / inflow
    assert drawn == pytest.approx(settled * (1 - math.exp(-60.0 / tau)), rel=0.04)
    assert course.levels == tuple(sorted(course.levels))
    flow = inflow * (course.levels[-1] - course.levels[0])
    assert flow == pytest.approx(ridge.pumps[0].duties[0].flow, rel=2e-3)


def test_array_curves_obey_the_single_diode_equation(ridge: Results) -> None:
    """Each point by a root of the equation itself, I = IL - I0 (e^((V + I Rs)/a) - 1)
    - (V + I Rs)/Rsh, with values that De Soto et al. (2006) translate to sun and temperature."""
    assert ridge.figures is not None
    tank = ridge.heated_tank
    assert tank is not None
    boltzmann, charge_gap, slope = 8.617333262e-5, 1.121, -0.0002677
    for curve in ridge.figures.array_curves:
        warm, cold = curve.cell_temperature + 273.15, 298.15
        share = curve.irradiance / 1000.0
        photo = share * (tank.photocurrent + 0.0005 * 9.7 * (warm - cold))
        gap = charge_gap * (1 + slope * (warm - cold))
        dark = tank.saturation_current * (warm / cold) ** 3
        dark *= math.exp((charge_gap / cold - gap / warm) / boltzmann)
        ideality = tank.modified_ideality_voltage * warm / cold
        shunt = tank.shunt_resistance / share if math.isfinite(tank.shunt_resistance) else math.inf

        def excess(
            current: float, volts: float, photo: float = photo, dark: float = dark,
            ideality: float = ideality, shunt: float = shunt,
        ) -> float:  # fmt: skip
            junction = volts + current * tank.series_resistance
            return photo - dark * math.expm1(junction / ideality) - junction / shunt - current

        for volts, amps in list(zip(curve.voltages, curve.currents, strict=True))[::6]:
            one = volts / tank.series
            expected = brentq(excess, -20.0, 20.0, args=(one,)) * tank.parallel
            assert amps == pytest.approx(max(0.0, expected), abs=2e-3 * photo)
        powers = [v * i for v, i in zip(curve.voltages, curve.currents, strict=True)]
        best = curve.best_voltage * curve.best_current
        assert max(powers) <= best * (1 + 1e-9)
        assert max(powers) == pytest.approx(best, rel=0.01)
        # 12.8 ohm of 240 V and 4500 W, and the cable of the file: 500 ft of 10 AWG copper.
        load = ridge.figures.loads[0]
        assert curve.voltage / curve.current == pytest.approx(load.resistance, rel=1e-6)
        assert load.resistance == pytest.approx(12.8 + 500 * 1.24e-3, rel=2e-3)


def test_a_days_tank_takes_what_the_element_gives(ridge: Results) -> None:
    """From dawn to the warmest hour the heat in the tank is what the element gave, less a loss of
    1.5 W/K to the room; and the day ends where the table of days has it."""
    assert ridge.figures is not None
    tank = ridge.heated_tank
    assert tank is not None
    seen = set()
    for day in ridge.figures.tank_days:
        row = next(each for each in tank.days if (each.month, each.kind) == (day.month, day.kind))
        seen.add((day.season, day.month, day.kind))
        assert day.temperatures[0] == pytest.approx((55 - 32) / 1.8, abs=0.01)
        assert day.temperatures[-1] == pytest.approx(row.end_temperature, abs=1e-9)
        capacity = 50 * 3.785411784e-3 * 990 * 4180
        steps = zip(day.times[1:], day.times, day.temperatures[1:], strict=False)
        lost = sum(1.5 * (warm - (65 - 32) / 1.8) * (end - begin) for end, begin, warm in steps)
        rise = day.temperatures[-1] - day.temperatures[0]
        assert capacity * rise + lost == pytest.approx(row.element_energy, rel=0.015)
    assert seen == {
        (season, month, kind)
        for season, month in (("winter", 12), ("summer", 6))
        for kind in ("clear", "typical", "poor")
    }


def test_south_of_the_equator_the_seasons_change_places() -> None:
    from dataclasses import replace

    file = load_site(CHECKOUT / "examples" / "south_slope.toml")
    latitude = file.site.site.latitude
    assert latitude is not None
    place = file.site.site.model_copy(update={"latitude": type(latitude)(-30.0, latitude.kind)})
    turned = replace(file, site=file.site.model_copy(update={"site": place}))
    found = study_site(turned, ("heat", "figures"))
    assert found.figures is not None
    assert {(day.season, day.month) for day in found.figures.tank_days} == {
        ("winter", 6),
        ("summer", 12),
    }


def test_the_well_is_drawn_as_the_file_has_it(ridge: Results) -> None:
    assert ridge.figures is not None
    well = ridge.figures.well
    assert well.depth == pytest.approx(220 * FOOT)
    assert (well.highest_level, well.static_level, well.lowest_level) == pytest.approx(
        (80 * FOOT, 85 * FOOT, 105 * FOOT)
    )
    assert well.pitless_depth == pytest.approx(3 * FOOT)
    assert well.lateral == pytest.approx(120 * FOOT)
    assert [each.intake_depth for each in well.pumps] == pytest.approx([190 * FOOT, 170 * FOOT])


def test_figures_are_only_of_what_the_site_has(reports: dict[str, Any]) -> None:
    assert set(reports["smallest"].json["figures"]) == {"well", "head", "pump_curve_1"}
    assert set(reports["high_pass"].json["figures"]) == {"well"}
    assert {"array", "tank_days", "hot_water_months", "level"} <= set(
        reports["ridge_house"].json["figures"]
    )


def test_a_pump_that_outruns_its_well_is_said_to(reports: dict[str, Any]) -> None:
    """The old pump of the cabin pumps its well off, so that its marks lie off its curve."""
    figures = reports["creek_cabin"].json["figures"]
    assert "more than the well" in figures["pump_curve_1"]["caption"]
    assert "more than the well" not in figures["pump_curve_2"]["caption"]
    line = figures["pump_curve_1"]["panels"][0]["lines"]["pump"]
    mark = figures["pump_curve_1"]["panels"][0]["marks"]["duty_1"]
    flow = mark["x_m3_per_s"][0]
    assert mark["y_m"][0] < 0.95 * between(flow, line["x_m3_per_s"], line["y_m"])


def test_without_the_part_there_are_no_figures() -> None:
    found = study_site(load_site(CHECKOUT / "examples" / "smallest.toml"))
    assert found.figures is None


def test_labels_are_moved_apart_and_stay_in_their_room() -> None:
    placed = apart([10.0, 10.0, 11.0, 50.0], [4.0, 8.0, 4.0, 4.0], 0.0, 52.0)
    assert placed == [10.0, 16.0, 22.0, 50.0]
    low = apart([0.0, 100.0, 100.0], [10.0, 10.0, 10.0], 0.0, 100.0)
    assert low == [5.0, 85.0, 95.0]
    crowded = apart([5.0] * 4, [10.0] * 4, 0.0, 20.0)
    assert crowded == pytest.approx([2.5, 7.5, 12.5, 17.5])


def test_axes_print_what_they_say() -> None:
    """Exact by definition: 0.3048 m a foot, 32 and 1.8 of degF, 3600 s an hour."""
    assert scale_of(kinds.LENGTH, "US").of(3.048) == pytest.approx(10.0)
    assert scale_of(kinds.TEMPERATURE, "US").of(100.0) == pytest.approx(212.0)
    assert scale_of(kinds.TEMPERATURE, "SI").of(100.0) == pytest.approx(100.0)
    assert scale_of(kinds.DURATION, "US", "h").of(7200.0) == pytest.approx(2.0)
    assert scale_of(kinds.COUNT, "SI").of(3.0) == 3.0
