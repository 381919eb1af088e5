"""Two arrays at one heater, against Ohm's law and the coefficient of a module's sheet."""

from __future__ import annotations

import pytest

from tests.site_texts import edited, printed
from tests.studies.safety.sites import (
    ARRAY,
    DRAW_AND_SUN,
    ELEMENT,
    HEATER,
    RIGHT,
    SITE,
    mended,
    on_arrays,
    studied,
    verdict,
    wrong_of,
)
from wellsolar.reports.tables.sections import sections


class TestTwoArrays:
    """Each array carries direct current of its own, and each is judged."""

    def test_what_is_right_is_told_so(self) -> None:
        assert wrong_of(on_arrays(4)) == {}
        subjects = {
            (each.rule.key, each.subject)
            for each in studied(on_arrays(4)).verdicts
            if each.status == "pass"
        }
        for rule in ("isolator", "pv overcurrent", "ground fault", "arc fault", "rapid shutdown",
                     "cold open-circuit voltage", "pv conductor", "voltage drop"):  # fmt: skip
            assert {(rule, "south"), (rule, "east")} <= subjects
        assert ("thermostat on direct current", "thermostat of element 2") in subjects
        assert ("high limit on direct current", "high limit of element 2") in subjects
        assert ("element load", "element 2") in subjects

    def test_the_second_arrays_voltage_in_the_cold(self) -> None:
        text = on_arrays(11)
        found = verdict(text, "cold open-circuit voltage", "east")
        assert found.status == "fail"
        # By the sheet 43 K below 25 degC; NEC Table 690.7(A) (second hand) has 1.18 for -18 degC,
        # which is more and counts.
        cold = 11 * 49.3 * (1 + 0.0028 * 43)
        assert found.quantity is not None
        assert found.quantity == pytest.approx(max(cold, 11 * 49.3 * 1.18), rel=1e-6)
        assert verdict(text, "cold open-circuit voltage", "south").status == "pass"
        most = int(printed(found, r"no more than (\d+) modules"))
        assert most == 10
        mended = on_arrays(most)
        assert verdict(mended, "cold open-circuit voltage", "east").status == "pass"

    def test_the_second_arrays_guards_are_judged_by_its_own_voltage(self) -> None:
        # Six modules come to 349 V in that cold, and relays of 300 V break those of four alone.
        wrong = wrong_of(on_arrays(6))
        assert wrong == {
            ("thermostat on direct current", "thermostat of element 2"): "fail",
            ("high limit on direct current", "high limit of element 2"): "fail",
        }

    def test_the_second_thermostat(self) -> None:
        found = verdict(
            on_arrays(4, switches="AC"), "thermostat on direct current", "thermostat of element 2"
        )
        assert found.status == "fail"
        assert found.remedy is not None

    def test_the_second_element_bears_its_array(self) -> None:
        # Two rows drive up to 2 x 12.9 A into 12.8 ohm: 330 V, where the plate says 240 V.
        named = ("element load", "element 2")
        found = verdict(on_arrays(9, parallel=2), *named)
        assert found.status == "fail"
        assert found.quantity is not None
        assert found.quantity == pytest.approx(2 * 10.3 * 1.25 * 12.8, rel=0.05)
        most = int(printed(found, r"no more than (\d+) modules in series"))
        assert verdict(on_arrays(most, parallel=2), *named).status == "pass"
        assert verdict(on_arrays(most + 1, parallel=2), *named).status == "fail"

    def test_an_array_that_feeds_two_elements_is_judged_once(self) -> None:
        results = studied(on_arrays(4, fed_by="south"))
        isolators = [each.subject for each in results.verdicts if each.rule.key == "isolator"]
        assert isolators == ["south"]
        named = [(each.rule.key, each.subject) for each in results.verdicts]
        assert len(named) == len(set(named))

    def test_one_that_could_not_boil_the_tank_alone_is_no_comfort_beside_another(self) -> None:
        # One module is too little to boil 80 gal, and says nothing of a second array's heat.
        small = "series = 4\nparallel = 1"
        alone = SITE + HEATER + DRAW_AND_SUN + ARRAY.format(name="south", series=1, parallel=1)
        alone += ELEMENT.format(position="lower", fed_by="south", thermostat="150 degF")
        alone = edited(alone, ('high_limit = "180 degF"\n', ""))
        assert verdict(alone, "overheating").status == "pass"
        both = edited(on_arrays(4), ('high_limit = "180 degF"\n', ""))
        both = both.replace(small, "series = 1\nparallel = 1", 1)
        found = verdict(both, "overheating")
        assert found.status == "fail"
        assert "the arrays together" in found.reason.text("US")
        left_out = {each.path: each.value for each in studied(both).assumptions}
        assert left_out["water_heater.element[2].fed_by"] == "east"

    def test_both_stand_in_the_tables(self) -> None:
        keys = [each.key for each in sections(studied(on_arrays(4)))]
        assert {"circuit_guards", "circuit_guards_2"} <= set(keys)
        assert len(keys) == len(set(keys))


GRID = ELEMENT.format(position="upper", fed_by="grid", thermostat="120 degF")
LIMITED = 'high_limit_switches = "AC"\nhigh_limit_poles = 2\n'
APART = ("fixture_valves = true", "fixture_valves = true\nsupplies_apart = {}")


def beside_the_grid(limits: str = LIMITED, apart: str = "true", grid: str = GRID) -> str:
    """An element on the grid beside one on modules."""
    text = edited(RIGHT, (APART[0], APART[1].format(apart)))
    return text.replace("[water_heater.draw]", grid + limits + "\n[water_heater.draw]")


class TestEveryElementsThermostat:
    """A high limit and a thermostat at one element stop nothing at another."""

    @pytest.mark.parametrize("number", [1, 2])
    def test_an_array_whose_element_has_none(self, number: int) -> None:
        text = on_arrays(4)
        assert verdict(text, "overheating").status == "pass"
        position = ("lower", "upper")[number - 1]
        head, cut, rest = text.partition(f'position = "{position}"')
        bare = head + cut + rest.replace('thermostat = "150 degF"\n', "", 1)
        found = verdict(bare, "overheating")
        said = [each for each in studied(bare).verdicts if each.rule.key == "overheating"]
        assert said == [found]  # an element on the grid would have one of its own
        assert found.status == "fail"
        assert f"thermostat of element {number}" in found.reason.text("US")

    def test_an_element_on_the_grid_that_has_none(self) -> None:
        bare = edited(GRID, ('thermostat = "120 degF"\n', ""))
        found = verdict(beside_the_grid(grid=bare), "overheating", "element 2")
        assert found.needs == ("water_heater.element[2].thermostat",)


class TestModulesBesideTheGrid:
    """Two supplies want two limits, and their wires a partition (NEC 690.31(B), 2014, read)."""

    def test_what_is_right_is_told_so(self) -> None:
        assert wrong_of(beside_the_grid()) == {}

    @pytest.mark.parametrize(
        ("limits", "status"),
        [
            ("", "unknown"),
            ('high_limit_switches = "nothing"\n', "fail"),
            ('high_limit_switches = "same relay"\n', "fail"),
            ('high_limit_switches = "AC"\n', "unknown"),
            ('high_limit_switches = "AC"\nhigh_limit_poles = 1\n', "caution"),
        ],
    )
    def test_the_grid_has_a_limit_of_its_own(self, limits: str, status: str) -> None:
        text, rule = beside_the_grid(limits), "high limit on grid or inverter"
        found = verdict(text, rule, "high limit of element 2")
        assert found.status == status
        if status in ("fail", "caution"):
            mended(text, found)
        alone = verdict(text, "high limit on direct current", "high limit")
        assert alone.status == "pass"

    def test_currents_apart(self) -> None:
        rule = "currents apart in the heater"
        found = verdict(beside_the_grid(apart="false"), rule)
        assert found.status == "fail"
        mended(beside_the_grid(apart="false"), found)
        untold = beside_the_grid().replace("supplies_apart = true\n", "")
        assert verdict(untold, rule).needs == ("water_heater.supplies_apart",)

    def test_one_kind_of_current_is_asked_nothing(self) -> None:
        rules = {each.rule.key for each in studied(on_arrays(4)).verdicts}
        assert not rules & {"currents apart in the heater", "high limit on grid or inverter"}
