"""The dip of voltage at a start, by a voltage divider."""

from __future__ import annotations

import pytest

from tests.studies.pump.deep_pump import (
    BASE,
    FOOT,
    PUMP,
    SWITCH,
    printed,
    pump_of,
    studied,
    verdict_of,
)
from wellsolar.studies.electric.starting import larger
from wellsolar.verdicts import changes_of

OHM_12 = 1.98 / 304.8


class TestStart:
    TEXT = BASE + SWITCH.format(volume=40, precharge=28) + PUMP
    DIRECT = (
        'rated_power = "1 hp"\nlocked_rotor_current = "48 A"\n'
        'cable = { gauge = "12 AWG", length = "330 ft" }\n'
    )

    def test_the_dip_by_a_voltage_divider(self) -> None:
        start = pump_of(self.TEXT + self.DIRECT).start
        # The locked rotor at a power factor of 0.6, in the cable as behind a generator.
        motor = 230 / 48 * complex(0.6, 0.8)
        cable = 2 * 330 * FOOT * OHM_12
        assert start.cable_dip == pytest.approx(1 - abs(motor) / abs(motor + cable), rel=1e-6)

    def test_wire_or_starter_mends_it(self) -> None:
        text = (self.TEXT + self.DIRECT).replace("330 ft", "900 ft")
        verdict = verdict_of(text, "voltage at start")
        assert verdict.status == "fail"
        gauge = printed(verdict, r"use ([\d/]+ AWG)")
        (change,) = changes_of(verdict.remedy)
        assert (change.path, change.value) == ("pump[1].cable.gauge", f'"{gauge}"')
        thicker = text.replace("12 AWG", gauge)
        assert verdict_of(thicker, "voltage at start").status == "pass"
        current = printed(verdict, r"current to ([\d.]+) A")
        soft = text + f'start = "soft"\nstarting_current = "{current} A"\n'
        assert verdict_of(soft, "voltage at start").status == "pass"

    # Trade tables leave a submersible motor 65 % of its voltage: 3.42 ohm of cable here, 860 ft.
    @pytest.mark.parametrize(("length", "status"), [(330, "pass"), (850, "pass"), (870, "fail")])
    def test_the_longer_the_deeper(self, length: int, status: str) -> None:
        text = (self.TEXT + self.DIRECT).replace("330 ft", f"{length} ft")
        assert verdict_of(text, "voltage at start").status == status

    def test_what_the_file_lacks_of_cable_and_start_is_asked(self) -> None:
        cable = 'cable = { gauge = "12 AWG", length = "330 ft" }\n'
        bare = (self.TEXT + self.DIRECT).replace(cable, "")
        for rule in ("voltage at start", "voltage drop", "motor conductor"):
            assert verdict_of(bare, rule).needs == ("pump[1].cable",)
        started = verdict_of(self.TEXT + cable, "voltage at start")
        assert started.needs == ("pump[1].locked_rotor_current",)

    def test_a_variable_speed_pump_has_no_dip_to_judge(self) -> None:
        text = self.TEXT + self.DIRECT + 'start = "variable speed"\n'
        assert "voltage at start" not in {each.rule.key for each in studied(text).verdicts}

    def test_the_generator_it_asks_for_keeps_65_percent(self) -> None:
        text = self.TEXT + self.DIRECT + '[power]\ngenerator_rating = "3 kVA"\n'
        verdict = verdict_of(text, "generator start")
        assert verdict.status == "fail"
        rating = float(printed(verdict, r"needs ([\d.]+) VA"))
        (change,) = changes_of(verdict.remedy)
        sold = change.value.strip('"')
        assert change.path == "power.generator_rating"
        for bought in (f"{rating} VA", sold):
            enough = text.replace("3 kVA", bought)
            assert verdict_of(enough, "generator start").status == "pass"
        less = text.replace("3 kVA", f"{0.99 * rating:.0f} VA")
        assert verdict_of(less, "generator start").status == "fail"
        # The locked rotor at a power factor of 0.6 behind 25 % of reactance and the cable.
        motor = 230 / 48 * complex(0.6, 0.8)
        whole = motor + 2 * 330 * FOOT * OHM_12 + 0.25j * 230**2 / rating
        assert abs(motor) / abs(whole) == pytest.approx(0.65, abs=0.001)
        # Trade tables put 5 kW or 6.3 kVA beside a 1 hp motor of this kind (read).
        assert rating == pytest.approx(6300, rel=0.1)

    def test_it_asks_for_what_the_start_takes(self) -> None:
        text = self.TEXT + '[power]\ngenerator_rating = "3 kVA"\n'
        assert verdict_of(text, "generator start").needs == ("pump[1].locked_rotor_current",)


@pytest.mark.parametrize(("needed", "exact"), [(4321.0, 4330.0), (12_345.0, 12_400.0)])
def test_what_a_start_needs_is_told_in_three_figures_rounded_up(
    needed: float, exact: float
) -> None:
    way = larger("generator", "generator_rating", needed, "")
    assert way.parts["exact"] == pytest.approx(exact)
    assert float(way.parts["sold"]) >= needed
