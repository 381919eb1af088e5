"""What each source of water and heat gives in each outage of a house."""

from __future__ import annotations

import math

import pytest

from tests.studies.outage import huts
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.case import study_site

FOOT = 0.3048


class TestRidgeHouse:
    """Four people, 15.9 gal. Water at 105 ft in the low season, 0.35 gpm a foot, spout 2 ft; the
    cylinder of 1 3/4 in, 6 in strokes, 40 a minute, 90 %: so many that strength is no limit."""

    def strokes(self) -> float:
        """Litres a minute at 40 strokes, the rods of 12 mm giving way under the column."""
        area, head, length = math.pi / 4 * 0.04445**2, 107 * FOOT, 125 * FOOT
        flow = 40 * 0.90 * area * 0.1524 * 1000
        head += flow / (0.35 * 3.785412 / FOOT)
        stretch = 999.3 * huts.G * head * area * length / (math.pi / 4 * 0.012**2 * 2.0e11)
        return float(flow * (1 - stretch / 0.1524))

    def stored(self) -> float:
        """Litres in the heater and, by Boyle's law, in the pressure tank half way."""
        air: float = 101.325 * (1 - 2.25577e-5 * 900 * FOOT) ** 5.25588 / 6.894757  # psi at 900 ft
        water = [86 * (1 - (38 + air) / (psi + air)) for psi in (40, 60)]
        return float(1000 * huts.GALLON * (50 + sum(water) / 2))

    def test_everything_but_hands(self) -> None:
        hands = huts.event(huts.outages(huts.example("ridge_house")), "hands")
        cell = hands.cell("hand pump")
        assert cell.effort / 60 == pytest.approx(60 / self.strokes(), rel=0.003)
        short = 60 - self.stored() / 7
        assert hands.effort / 60 == pytest.approx(short / self.strokes(), rel=0.01)
        assert hands.pressure == "by hand"

    def test_stored_water_and_its_days(self) -> None:
        found = huts.outages(huts.example("ridge_house"))
        assert sum(each.volume for each in found.stores) * 1000 == pytest.approx(
            self.stored(), rel=0.003
        )
        heater = next(each for each in found.stores if each.name == "water heater")
        assert heater.days == pytest.approx(50 * huts.GALLON * 1000 / 60, rel=1e-6)

    def test_the_mains_bring_what_pump_and_well_give(self) -> None:
        found = huts.outages(huts.example("ridge_house"))
        assert found.whole.cell("house pump").power == "grid"
        # Both pumps together could give more than the 11 gpm that the well was tested for.
        tested = 11 * 1440 * huts.GALLON
        pumps = sum(found.whole.cell(name).volume for name in ("house pump", "frugal pump"))
        assert pumps > tested
        assert found.whole.volume == pytest.approx(tested)

    def test_modules_on_the_element_do_not_ask_for_grid_or_inverter(self) -> None:
        text = huts.example("ridge_house") + (
            '\n[[outage]]\nname = "all dead"\ndays = 10\n'
            'failed = ["grid", "inverter", "battery"]\n'
        )
        results = huts.studied(text)
        assert results.outages is not None
        dead = huts.named(results.outages, "all dead")
        assert {each.source for each in dead.cells if each.volume > 0} == {
            "hand pump", "stored water",
        }  # fmt: skip
        assert dead.hot.days is not None
        assert dead.hot.state == "on sunny days"
        alone = study_site(parse_site(text), ("heat",)).heated_tank
        hot = alone.households[0].fewest_evenings
        assert dead.hot.days == pytest.approx(10 * hot / 365)
        assert huts.verdict(results, huts.OWN).status == "pass"
        assert huts.event(results.outages, "battery").hot.state == "hot"  # type: ignore[union-attr]

    def test_without_sun_the_tank_cools_as_its_own_study_says(self) -> None:
        text = huts.example("ridge_house")
        tank = study_site(parse_site(text), ("heat",)).heated_tank
        dark = huts.event(huts.outages(text), "dark_7").hot
        warm = [(day.top_temperature or 0.0) >= tank.tap.temperature for day in tank.dark_days]
        assert dark.days == (warm.index(False) if False in warm else 7)
        assert dark.end_temperature == tank.dark_days[6].top_temperature

    def test_a_bladder_lost(self) -> None:
        lost = huts.event(huts.outages(huts.example("ridge_house")), "bladder")
        assert lost.pressure == lost.cell("house pump").pressure == "short cycling"
        assert "starts" in lost.cell("house pump").limit
        assert lost.cell("hand pump").pressure == "no"
        heater = 50 * huts.GALLON / 7
        assert lost.cell("stored water").volume == pytest.approx(heater, rel=1e-6)

    def test_a_start_too_hard_for_the_inverter(self) -> None:
        # 48 A at 230 V are 11 kVA at start; the frugal pump ramps up within its running current.
        text = huts.changed(huts.example("ridge_house"), ('"12 kVA"', '"6 kVA"'))
        grid = huts.event(huts.outages(text), "grid")
        assert grid.cell("house pump").volume == 0.0
        assert "does not start" in grid.cell("house pump").limit
        assert grid.cell("frugal pump").power == "inverter"
