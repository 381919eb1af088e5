"""The series of the figures against calculations of the test's own."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from matplotlib.path import Path as Outline
from scipy.optimize import brentq

from tests.reports.conftest import Made
from wellsolar import kinds
from wellsolar.reports.charts.style import apart, folded, letters_of, scale_of
from wellsolar.reports.figures import well
from wellsolar.reports.figures.all import plots
from wellsolar.reports.figures.outage import outage_plots
from wellsolar.reports.figures.plots import Axis, BarPanel, MatrixPanel, WellPanel
from wellsolar.results import Results
from wellsolar.results.figures import WellDrawing
from wellsolar.results.outages import OutageResult
from wellsolar.site.loading.read import load_site
from wellsolar.studies.case import USUAL, study_site

CHECKOUT = Path(__file__).parents[3]
FOOT, GPM = 0.3048, 3.785411784e-3 / 60


@pytest.fixture(scope="module")
def ridge() -> Results:
    return study_site(load_site(CHECKOUT / "examples" / "ridge_house.toml"), (*USUAL, "figures"))


def between(x: float, xs: Any, ys: Any) -> float:
    """A straight line between the two points beside x."""
    for i in range(len(xs) - 1):
        if xs[i] * (1 - 1e-9) <= x <= xs[i + 1] * (1 + 1e-9):
            return float(ys[i] + (ys[i + 1] - ys[i]) * (x - xs[i]) / (xs[i + 1] - xs[i]))
    raise AssertionError(f"{x} lies outside")


def test_the_curve_goes_through_the_sheet_and_crosses_where_the_pump_works(
    ridge: Results,
) -> None:
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
    place = file.site.site.model_copy(update={"latitude": type(latitude)(-30.0, latitude.kind)})
    turned = replace(file, site=file.site.model_copy(update={"site": place}))
    found = study_site(turned, ("heat", "figures"))
    assert {(day.season, day.month) for day in found.figures.tank_days} == {
        ("winter", 6),
        ("summer", 12),
    }


def test_the_well_is_drawn_as_the_file_has_it(ridge: Results) -> None:
    well = ridge.figures.well
    assert well.depth == pytest.approx(220 * FOOT)
    assert (well.highest_level, well.static_level, well.lowest_level) == pytest.approx(
        (80 * FOOT, 85 * FOOT, 105 * FOOT)
    )
    assert well.pitless_depth == pytest.approx(3 * FOOT)
    assert well.lateral == pytest.approx(120 * FOOT)
    assert [each.intake_depth for each in well.pumps] == pytest.approx([190 * FOOT, 170 * FOOT])


def test_figures_are_only_of_what_the_site_has(reports: dict[str, Any]) -> None:
    assert set(reports["smallest"].json["figures"]) == {
        "system",
        "one_line",
        "water",
        "well",
        "head",
        "pump_curve_1",
        "outages",
    }
    assert set(reports["high_pass"].json["figures"]) == {
        "system",
        "water",
        "well",
        "outages",
    }
    assert "storage_tank" in reports["hill_tank"].json["figures"]
    assert "storage_tank" not in reports["ridge_house"].json["figures"]
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


def test_a_word_too_long_for_its_line_is_parted_and_no_number_is_cut() -> None:
    told = "submersible, 1.00 hp, single-phase, 11.5 gpm, intake at 190 ft"
    for letters in (8, 9, 12, 18):
        lines = folded(told, letters, 12).split("\n")
        assert not any("…" in line for line in lines)
        assert all(letters_of(line) <= letters for line in lines)
        assert "".join(lines).replace("-", "").replace("\N{NO-BREAK SPACE}", "").replace(
            " ", ""
        ) == told.replace(" ", "").replace("-", "")
    assert folded("w" * 90, 8) == "www…"


def test_axes_print_what_they_say() -> None:
    """Exact by definition: 0.3048 m a foot, 32 and 1.8 of degF, 3600 s an hour."""
    assert scale_of(kinds.LENGTH, "US").of(3.048) == pytest.approx(10.0)
    assert scale_of(kinds.TEMPERATURE, "US").of(100.0) == pytest.approx(212.0)
    assert scale_of(kinds.TEMPERATURE, "SI").of(100.0) == pytest.approx(100.0)
    assert scale_of(kinds.DURATION, "US", "h").of(7200.0) == pytest.approx(2.0)
    assert scale_of(kinds.COUNT, "SI").of(3.0) == 3.0


def test_the_matrix_has_every_outage_and_every_source(ridge: Results) -> None:
    """Shares by arithmetic of the test's own: four people at 15 L, at 20 L, and 240 gal a day."""
    found = ridge_outages()
    (plot,) = outage_plots(found)
    (panel,) = plot.panels
    assert isinstance(panel, MatrixPanel)
    assert panel.rows == (found.whole.name, *(each.name for each in found.outages))
    sources = [each.source for each in found.whole.cells]
    assert [each.label for each in panel.columns] == ["all together", "hot water", *sources]
    gallon = 3.785411784e-3
    wanted = (4 * 0.015, 4 * 0.020, 240 * gallon)
    stored = next(each for each in panel.columns if each.label == "stored water")
    for number, each in enumerate((found.whole, *found.outages)):
        cell = stored.cells[number]
        litres = each.cell("stored water").volume
        assert cell.value == litres
        assert cell.shares == pytest.approx([min(1.0, litres / use) for use in wanted])
    hands = panel.columns[0].cells[-1]
    assert panel.rows[-1] == "no power at all"
    # 8 h at the handle: more than an ordinary day asks for.
    assert hands.value > 240 * gallon
    assert (hands.word, hands.shares) == ("ordinary", (1.0, 1.0, 1.0))


def ridge_outages() -> OutageResult:
    site = load_site(CHECKOUT / "examples" / "ridge_house.toml")
    found = study_site(site, (*USUAL, "outage")).outages
    assert found is not None
    return found


def test_an_outage_without_enough_to_drink_is_called_short(reports: dict[str, Any]) -> None:
    """South slope without its pump: 24.6 L a day for two who need 30 L."""
    figure = reports["south_slope"].json["figures"]["outages"]
    panel = figure["panels"][0]
    row = panel["rows"].index("no power at all")
    column = panel["columns"]["all"]
    assert column["words"][row] == "short"
    met = column["met"]["survival"][row]
    assert met == pytest.approx(column["values_m3"][row] / 0.030, rel=1e-6)
    assert 0.0 < met < 1.0
    told = figure["description"][row]
    assert "no power at all" in told
    assert "too little to survive on" in told
    assert "no water at the taps" in told


def test_the_well_shows_the_frost_and_breaks_off_far_below_all_that_matters(
    tmp_path: Path,
) -> None:
    text = (CHECKOUT / "examples" / "ridge_house.toml").read_text("utf-8")
    panel = well_panel(tmp_path, text)
    assert panel.well.frost_depth == pytest.approx(18 * 0.0254)
    assert (panel.shown, panel.well.line_to_house) == (panel.well.depth, True)
    frost = next(each for each in panel.marks if each.role == "frost")
    assert frost.label.text("US") == "ground freezes to 1.5 ft"
    deep = well_panel(tmp_path, text.replace('depth = "220 ft"', 'depth = "1900 ft"', 1))
    assert deep.well.depth == pytest.approx(1900 * FOOT)
    assert deep.shown == pytest.approx(1.25 * 190 * FOOT)  # a quarter below the deepest intake


def test_a_suction_pump_stands_outside_its_well_and_a_hand_pump_alone_feeds_no_line(
    tmp_path: Path,
) -> None:
    high = (CHECKOUT / "examples" / "high_pass.toml").read_text("utf-8")
    panel = well_panel(tmp_path, high)
    assert (panel.hanging, panel.well.line_to_house) == ((), False)
    assert [each.kind for each in panel.above] == ["hand pump"]
    assert not [each for each in panel.marks if each.role == "pipe"]
    jet = (
        '[[pump]]\nname = "jet"\nkind = "suction"\nintake_depth = "9 m"\n'
        'flow = "0, 20 L/min"\nhead = "50, 20 m"\n'
    )
    panel = well_panel(tmp_path, f"{high}\n{jet}")
    assert [each.in_well for each in panel.hanging] == [False]
    assert panel.well.line_to_house


def well_panel(folder: Path, text: str) -> WellPanel:
    path = folder / "site.toml"
    path.write_text(text, "utf-8")
    results = study_site(load_site(path), ("pump", "hand", "figures"))
    panel = next(each for each in plots(results) if each.key == "well").panels[0]
    assert isinstance(panel, WellPanel)
    return panel


def test_a_tank_on_the_surplus_alone_has_its_months(tmp_path: Path) -> None:
    """No array heats it: days of sun mean nothing to it, and its months are the household's."""
    text = (CHECKOUT / "examples" / "ridge_house.toml").read_text("utf-8")
    start, end = (
        text.index('[[array]]\nname = "hot water"'),
        text.index('[[array]]\nname = "house'),
    )
    text = text[:start] + text[end:].replace('fed_by = "hot water"', 'fed_by = "inverter"')
    path = tmp_path / "site.toml"
    path.write_text(text, "utf-8")
    results = study_site(load_site(path), (*USUAL, "figures"))
    found = {each.key: each for each in plots(results)}
    assert "tank_days" not in found
    months = results.diverted_tank.households[0].months
    energy = found["hot_water_months"].panels[0]
    assert isinstance(energy, BarPanel)
    wanted, given = energy.series
    # 55 gal of 110 degF from 55 degF water: 208.2 L of 0.991 kg/L, by 30.6 K and 4.18 kJ/(kg K),
    # are 26.4 MJ a day (density and heat capacity from memory).
    assert wanted.values[0] == pytest.approx(31 * 26.4e6, rel=0.005)
    assert given.values == tuple(each.heat_delivered for each in months)


def test_the_months_of_a_supply_say_what_is_wanted(reports: dict[str, Any]) -> None:
    """240 gal a day at 3.83 gpm and 482 W through an inverter of 90 %, and its 30 W of idling:
    in January 32.4 h x 0.482 kW / 0.9 + 744 h x 0.030 kW = 39.7 kWh.

    Flow and power of a fill are the program's own, its cable's loss with them, so that this holds
    the sum; the sheet's points between 310 and 210 ft hold them: 3 to 4 gpm, 460 to 475 W, and no
    more than 3 % lost in the cable.
    """
    figure = reports["ridge_house"].json["figures"]["supply_months_1"]
    wanted = figure["panels"][0]["series"]["wanted"]["values_J"]
    assert wanted[0] == pytest.approx(39.66 * 3.6e6, rel=0.005)
    hours, idle = 31 * 240 / 60, 744 * 0.030
    least, most = hours / 4 * 0.460 / 0.9 + idle, hours / 3 * 0.475 / 0.97 / 0.9 + idle
    assert least * 3.6e6 < wanted[0] < most * 3.6e6
    assert wanted[1] == pytest.approx(wanted[0] * 28 / 31, rel=1e-9)
    grid = reports["ridge_house"].json["sections"]["supply_year_1"]["grids"]["months"]
    assert [each["wanted_J"] for each in grid["rows"]] == wanted


def _panel(height: float | None, elevation: float = 0.0) -> WellPanel:
    """A well of 60 m, its storage tank so high above the ground and the house at an elevation."""
    drawn = WellDrawing(
        60.0,
        0.15,
        20.0,
        20.0,
        20.0,
        1.5,
        None,
        True,
        elevation,
        30.0,
        3.0,
        height,
        False,
        True,
        (),
    )
    axis = Axis("depth", kinds.LENGTH, down=True)
    return WellPanel("", axis, drawn, 60.0, None, (), (), ())


def test_a_tank_stands_on_a_hill_to_scale_where_there_is_room() -> None:
    assert _panel(None).hill is None
    assert _panel(1.5).hill is None
    assert _panel(-3.0, -10.0).hill is None
    # 136 pt over 352 pt for 60 m are 23.2 m.
    low, high = _panel(15.0).hill, _panel(40.0).hill
    assert (low.height, low.broken) == (15.0, False)
    assert high.height == pytest.approx(60.0 * 136 / 352, rel=2e-3)
    assert high.broken
    # One in a house that lies itself on the hill is none.
    assert _panel(15.0, 14.0).hill is None


def test_days_of_the_storage_tank_are_told_by_their_month() -> None:
    """The last of February is the 59th day; in a leap year the 60th is."""
    assert [well._date(*each) for each in ((1, 365), (59, 365), (60, 365), (60, 366))] == [
        "1 January",
        "28 February",
        "1 March",
        "29 February",
    ]
    assert well._date(365, 365) == well._date(366, 366) == "31 December"


def test_two_dots_make_the_hatch_of_all_of_them(reports: dict[str, Made]) -> None:
    """A tile of two dots, laid side by side, has a dot wherever the drawing library has one."""
    tile = re.search(
        r'width="([\d.]+)" height="([\d.]+)">\n<rect [^>]+>\n'
        r'<circle cx="([\d.]+)" cy="([\d.]+)" r="([\d.]+)"[^>]+>\n'
        r'<circle cx="([\d.]+)" cy="([\d.]+)" r="([\d.]+)"[^>]+>\n</pattern>',
        reports["ridge_house"].text,
    )
    assert tile is not None
    wide, high, x, y, radius, other_x, other_y, other_radius = map(float, tile.groups())
    whole = Outline.hatch("..", 6)  # type: ignore[attr-defined]
    starts = np.flatnonzero(whole.codes == Outline.MOVETO)
    dots = [72.0 * dot for dot in np.split(whole.vertices, starts[1:])]
    assert radius == other_radius == pytest.approx((dots[0].max(0) - dots[0].min(0))[0] / 2)
    middles = {tuple(np.round((dot.max(0) + dot.min(0)) / 2, 3) % 72.0) for dot in dots}
    laid = {
        ((across * wide + aside) % 72.0, (down * high + below) % 72.0)
        for aside, below in ((0.0, 0.0), (other_x - x, other_y - y))
        for across in range(round(72 / wide))
        for down in range(round(72 / high))
    }
    assert laid == middles
