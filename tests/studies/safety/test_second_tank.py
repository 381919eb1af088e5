"""Guards of a second tank, against plates and densities of a handbook."""

from __future__ import annotations

import pytest

from tests.site_texts import edited, printed
from tests.studies.safety.sites import (
    DRAW_AND_SUN,
    ELEMENT,
    HEATER,
    NO_VALVE,
    SECOND,
    SITE,
    studied,
    verdict,
    wrong_of,
)
from wellsolar.reports.tables.sections import sections
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.safety.numbers import tank_safety

GALLON = 3.785411784e-3

TWO = (
    SITE
    + edited(HEATER, ('expansion_tank_volume = "14 gal"', 'expansion_tank_volume = "20 gal"'))
    + DRAW_AND_SUN
    + SECOND
    + ELEMENT.format(position="lower", fed_by="inverter", thermostat="120 degF")
)


class TestSecondTank:
    """The taps draw from it: its thermostat can scald, and it wants guards of its own."""

    def test_what_is_right_is_told_so(self) -> None:
        # Of the first tank only that 120 degF is no storage: the second makes up for it.
        assert wrong_of(TWO) == {("storage temperature", "water heater"): "caution"}

    def test_its_thermostat_counts_for_the_taps(self) -> None:
        found = verdict(edited(TWO, NO_VALVE), "mixing valve")
        assert found.status == "fail"
        assert found.quantity == pytest.approx((180 - 32) / 1.8)
        assert "set to 140 °F" in found.reason.text("US")
        assert verdict(TWO, "mixing valve").status == "pass"

    @pytest.mark.parametrize(
        ("rule", "key", "right", "bad"),
        [
            ("high limit", "high_limit", "170 degF", "138 degF"),
            ("relief valve", "relief_temperature", "210 degF", None),
            ("relief valve", "relief_pressure", "150 psi", None),
            ("relief capacity", "relief_capacity", "30000 W", "4400 W"),
        ],
    )
    def test_guards_of_its_own(self, rule: str, key: str, right: str, bad: str | None) -> None:
        mine = (rule, "second tank")
        line = f'{key} = "{right}"\n'
        without = TWO.replace(SECOND, SECOND.replace(line, ""))
        assert wrong_of(without)[mine] == "unknown"
        assert verdict(without, *mine).needs == (f"water_heater.second_tank.{key}",)
        assert mine not in wrong_of(TWO)
        if bad is not None:
            text = TWO.replace(SECOND, SECOND.replace(line, f'{key} = "{bad}"\n'))
            assert wrong_of(text)[mine] == "fail"
            assert verdict(text, *mine).remedy is not None

    def test_a_cool_one_is_no_storage_and_the_remedy_mends_it(self) -> None:
        cool = TWO.replace(SECOND, SECOND.replace('"140 degF"', '"120 degF"'))
        found = verdict(cool, "storage temperature", "second tank")
        assert found.status == "caution"
        hot = printed(found, r"thermostat to (\d+) °F")
        mended = TWO.replace(SECOND, SECOND.replace('"140 degF"', f'"{hot} degF"'))
        assert verdict(mended, "storage temperature", "second tank").status == "pass"

    def test_the_water_of_both_expands(self) -> None:
        # Pounds per gallon at 60 psi: 8.3446 at 50 degF, 8.0999 at 180 and 8.1317 at 170 degF
        # (IAPWS-95).
        grown = 80 * (8.3446 / 8.0999 - 1) + 40 * (8.3446 / 8.1317 - 1)
        tank = studied(TWO).diverted_tank
        assert tank.safety.pressure.expansion / GALLON == pytest.approx(grown, rel=0.005)
        assert "the water of both tanks" in verdict(TWO, "thermal expansion").reason.text("US")

    def test_the_weaker_relief_valve_limits_the_expansion(self) -> None:
        weak = TWO.replace(SECOND, SECOND.replace('"150 psi"', '"75 psi"'))
        assert wrong_of(weak)[("thermal expansion", "water heater")] == "fail"
        found = verdict(weak, "thermal expansion")
        assert found.limit == pytest.approx(0.9 * 75 * 6894.757, rel=1e-6)
        volume = printed(found, r"at least ([\d.]+ gal)")
        mended = edited(weak, ('expansion_tank_volume = "20 gal"',
                               f'expansion_tank_volume = "{volume}"'))  # fmt: skip
        assert ("thermal expansion", "water heater") not in wrong_of(mended)

    def test_its_guards_stand_in_the_tables(self) -> None:
        assert "second_tank_guards" in {each.key for each in sections(studied(TWO))}


@pytest.mark.parametrize(("asked", "held"), [("56 degC", 60.0), ("71 degC", 71.0)])
def test_numbers_of_both_tanks(asked: str, held: float) -> None:
    """Nine tenths of each relief valve's setting, the heat that is held through, no less than
    60 degC, and the heat of all elements together: of one on modules, as told, and of the plates
    of two others, the one on an inverter of 230 V by the square of the voltage."""
    text = TWO.replace(SECOND, SECOND.replace('"150 psi"', '"125 psi"', 1))
    grid = ELEMENT.format(position="upper", fed_by="grid", thermostat="120 degF")
    text += grid.replace("4500 W", "2000 W")
    text += f'[limits]\nstorage_temperature = "{asked}"\n'
    site = parse_site(text).site
    assert site.water_heater is not None
    found = tank_safety(site, site.water_heater, 60.0, 1700.0, [900.0])
    second, psi = found.second, 6894.757
    assert second is not None
    assert second.pressure.limit == pytest.approx(0.9 * 125 * psi, rel=1e-6)
    assert second.pressure.expansion_limit == pytest.approx(0.9 * 125 * psi, rel=1e-6)
    assert (found.heat_through, second.heat_through) == pytest.approx((held, held))
    on_inverter = 4500 * (230 / 240) ** 2
    assert found.heat_input == pytest.approx(1700 + 900 + on_inverter + 2000)
    assert second.heat_input == pytest.approx(4500)
