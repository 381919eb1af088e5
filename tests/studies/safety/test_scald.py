"""Mixing valve, its standard and burns, against published times."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from tests.site_texts import edited
from tests.site_texts import printed as printed_number
from tests.studies import printed
from tests.studies.safety.sites import NO_VALVE, RIGHT, hazard, mended, studied, verdict, wrong
from wellsolar import kinds
from wellsolar.studies.safety import scald
from wellsolar.units import Quantity
from wellsolar.verdicts import Verdict, changes_of


def test_a_mixing_valve_and_what_water_of_150_degf_does() -> None:
    text, found = hazard("no mixing valve at 150 degF")
    # Third-degree burns at 150 degF: 2 s (federal consumer-safety figures), 1.5 s (hospital
    # chart), in whole seconds on the safe side; a child in a quarter of it.
    assert "an adult in 1 s, a child in less than 1 s" in found.reason.text("US")
    mended(text, found)
    hot = printed_number(found, r"set to (\d+) °F")
    standard = printed_number(found, r"(ASSE \d+)")
    valve = f'[water_heater.mixing_valve]\noutlet = "{hot} degF"\nstandard = "{standard}"\n'
    assert wrong(studied(f"{text}\n{valve}")) == {}


def test_valves_at_the_fixtures() -> None:
    text, found = hazard("1017-type valve alone")
    assert "ASSE 1017 alone" in found.reason.text("US")
    right = edited(text, ("fixture_valves = false", "fixture_valves = true"))
    assert wrong(studied(right)) == {}
    mended(text, found)


@pytest.mark.parametrize(
    ("standard", "outlet", "status"),
    [
        ("ASSE 1017", "120", "pass"),
        ("ASSE 1017", "95", "caution"),
        ("ASSE 1070", "120", "caution"),
        ("ASSE 1016", "120", "caution"),
    ],
)
def test_what_the_mixing_valves_standard_covers(standard: str, outlet: str, status: str) -> None:
    text = edited(
        RIGHT,
        ('standard = "ASSE 1017"', f'standard = "{standard}"'),
        ('outlet = "120 degF"', f'outlet = "{outlet} degF"'),
        ('temperature = "110 degF"', 'temperature = "95 degF"'),
    )
    rule = "mixing-valve standard"
    # Of other standards no hottest supply is known.
    open_supply = {} if "1017" in standard else {"mixing-valve supply": "unknown"}
    expected = {} if status == "pass" else {rule: status}
    assert wrong(studied(text)) == expected | open_supply
    if status != "pass":
        mended(text, verdict(text, rule))
    if outlet != "120":
        least = printed_number(verdict(text, rule), r"set it to (\d+) °F")
        assert least == "105"


def test_times_before_and_after_the_valve() -> None:
    text = edited(RIGHT, ('"150 degF"', '"140 degF"'))
    told = verdict(text, "time to a burn").reason.text("US")
    # 140 degF: an adult 5 s, a child 1 s or so; 120 degF: 5 min, a quarter of it.
    assert "140 °F burns an adult in 5 s, a child in 1 s" in told
    assert "120 °F burns an adult in 5 min, a child in 1 min" in told


def test_a_valve_set_too_hot() -> None:
    text = edited(RIGHT, ('outlet = "120 degF"', 'outlet = "130 degF"'))
    assert wrong(studied(text)) == {"mixing valve": "fail"}
    mended(text, verdict(text, "mixing valve"))


@pytest.mark.parametrize(("fixtures", "status"), [("true", "caution"), ("false", "fail")])
def test_a_thermostat_of_120_degf_is_no_control(fixtures: str, status: str) -> None:
    # UPC 408.3 (2015): the thermostat of a water heater is no control for the 120 degF.
    text = edited(
        RIGHT,
        NO_VALVE,
        ('"150 degF"', '"120 degF"'),
        ("fixture_valves = true", f"fixture_valves = {fixtures}"),
    )
    found = verdict(text, "mixing valve")
    assert found.status == status
    assert found.quantity == pytest.approx((180 - 32) / 1.8)
    assert "comes to 180 °F" in found.reason.text("US")
    assert mended(text, found).verdict("mixing-valve supply").status == "pass"


@pytest.mark.parametrize(
    ("limit", "setting", "more", "status"),
    [
        # ASSE 1017-2023, scope: supply 125 to 180 degF, 20 degF above the setting.
        ("180 degF", "140 degF", "", "pass"),
        ("182 degF", "140 degF", "", "caution"),
        ("180 degF", "139 degF", "", "caution"),
        ("180 degF", "140 degF", 'greatest_supply = "185 degF"', "pass"),
        ("180 degF", "140 degF", 'greatest_supply = "170 degF"', "fail"),
    ],
)
def test_what_the_mixing_valve_may_be_given(
    limit: str, setting: str, more: str, status: str
) -> None:
    text = edited(
        RIGHT,
        ('high_limit = "180 degF"', f'high_limit = "{limit}"'),
        ('"150 degF"', f'"{setting}"'),
        ('standard = "ASSE 1017"', f'standard = "ASSE 1017"\n{more}'),
    )
    found = verdict(text, "mixing-valve supply")
    assert found.status == status
    if status != "pass":
        mended(text, found)


@pytest.mark.parametrize(("lower", "upper", "hottest"), [(135, 120, 1), (125, 130, 2)])
def test_the_hottest_of_the_thermostats_is_set_hotter(
    lower: int, upper: int, hottest: int
) -> None:
    on_grid = (
        '[[water_heater.element]]\nposition = "upper"\nrated_power = "4500 W"\n'
        f'rated_voltage = "240 V"\nfed_by = "grid"\nthermostat = "{upper} degF"\n\n'
    )
    text = edited(
        RIGHT,
        ('"150 degF"', f'"{lower} degF"'),
        ("[water_heater.draw]\n", f"{on_grid}[water_heater.draw]\n"),
    )
    (change,) = changes_of(verdict(text, "mixing-valve supply").remedy)
    assert str(change) == f'water_heater.element[{hottest}].thermostat="140 degF"'


class TestLukewarm:
    """Four modules leave a household's tank lukewarm, whatever its thermostat is set to."""

    SUNNY = edited(
        RIGHT,
        (
            "[water_heater.draw]\n",
            '[[water_heater.element]]\nposition = "upper"\nrated_power = "4500 W"\n'
            'rated_voltage = "240 V"\nfed_by = "grid"\nthermostat = "120 degF"\n'
            'thermostat_switches = "AC"\n\n[water_heater.draw]\nvolume = "60 gal"\n',
        ),
        (
            "[sun]\n",
            '[sun]\nmonthly = "2.4, 3.2, 4.3, 5.4, 5.9, 6.3, 6.1, 5.5, 4.7, 3.8, 2.7, 2.2 '
            'kWh/m2/day"\n',
        ),
    )

    def test_it_is_told_and_the_grid_clears_it(self) -> None:
        found = verdict(self.SUNNY, "storage temperature")
        assert found.status == "caution"
        assert "on 0 of 365 evenings" in found.reason.text("US")
        hot = printed_number(found, r"from the grid to ([0-9.]+) °F")
        assert hot == "140"
        right = edited(self.SUNNY, ('thermostat = "120 degF"', f'thermostat = "{hot} degF"'))
        assert verdict(right, "storage temperature").status == "pass"
        mended(self.SUNNY, found)


def degf(value: float | None) -> Quantity | None:
    return None if value is None else Quantity((value - 32) / 1.8, kinds.TEMPERATURE)


def tank(hottest: float, guarded: float, second: Any = None) -> Any:
    """A tank set to so much, that gets so hot with its thermostat stuck [degF]; its relief valve
    opens at 210 degF, and its water boils at 212 degF."""
    both = [(hottest, guarded)] + ([second.told] if second else [])
    return SimpleNamespace(
        told=(hottest, guarded), hottest=float(degf(hottest)), guarded=float(degf(guarded)),
        hottest_set=float(degf(max(each for each, _ in both))),
        hottest_drawn=float(degf(max(each for _, each in both))), second=second,
        pressure=SimpleNamespace(relief_temperature=float(degf(210))),
        boiling_temperature=float(degf(212)),
    )  # fmt: skip


def heater(
    limit: float | None = 180, *thermostats: float, second: Any = None, **valve: Any
) -> Any:
    usual = {"outlet": degf(120), "standard": "ASSE 1017", "greatest_supply": None}
    return SimpleNamespace(
        mixing_valve=SimpleNamespace(**(usual | valve)), second_tank=second,
        high_limit=degf(limit), greatest_temperature=None, fixture_valves=None,
        draw=SimpleNamespace(temperature=degf(110)),
        element=[SimpleNamespace(thermostat=degf(each), fed_by="roof") for each in thermostats],
    )  # fmt: skip


def second_tank(limit: float | None, plate: float | None = None) -> Any:
    return SimpleNamespace(
        thermostat=degf(130), high_limit=degf(limit), greatest_temperature=degf(plate)
    )


def changes(found: Verdict) -> list[str]:
    return [str(each).removeprefix("water_heater.") for each in changes_of(found.remedy)]


@pytest.mark.parametrize(
    ("setting", "guarded", "valve", "status", "least", "change"),
    [
        # ASSE 1017-2023 (second hand): 125 degF or more, 20 above the valve, no more than 180.
        (140, 180, {}, "pass", None, []),
        (139, 180, {}, "caution", "140 °F", ['element[1].thermostat="140 degF"']),
        (125, 180, {"outlet": degf(100)}, "pass", None, []),
        (124, 180, {"outlet": degf(100)}, "caution", "125 °F",
         ['element[1].thermostat="125 degF"']),
        (100, 170, {"standard": None, "greatest_supply": degf(170)}, "pass", None, []),
        (140, 180, {"standard": "ASSE 1070"}, "unknown", "greatest_supply", []),
        (140, 180, {"standard": None}, "unknown", "standard", []),
        (140, 181, {}, "caution", None, ['high_limit="180 degF"']),
        (140, 180, {"greatest_supply": degf(170)}, "fail", None, ['high_limit="170 degF"']),
        # A thermostat no nearer than 9 degF to its high limit, on a dial of 5 degF.
        (165, 180, {"greatest_supply": degf(170)}, "fail", None,
         ['high_limit="170 degF"', 'element[1].thermostat="160 degF"']),
    ],
)  # fmt: skip
def test_what_a_mixing_valve_is_given(
    setting: float, guarded: float, valve: dict[str, Any], status: str, least: str | None,
    change: list[str],
) -> None:  # fmt: skip
    table = heater(guarded, setting, **valve)
    found = scald._supply(table, table.mixing_valve, tank(setting, guarded))
    assert (found.status, found.subject) == (status, "mixing valve")
    assert changes(found) == change
    if status == "unknown":
        assert found.needs == (f"water_heater.mixing_valve.{least}",)
    elif least is not None:
        assert printed.told(found.reason)["needed"] == f"{least}, temperature"
        assert printed.compared(found)[1:] == (
            f"{setting} °F, temperature", f"{least}, temperature"
        )  # fmt: skip
        assert printed.told(found.remedy) == {"needed": f"{least}, temperature"}
    else:
        most = 180.0 if valve.get("greatest_supply") is None else 170.0
        both = f"{guarded} °F, temperature", f"{most:.0f} °F, temperature"
        assert printed.compared(found) == (status, *both)
        parts = printed.told(found.reason)
        assert (parts["hottest"], parts["most"]) == both
        if status != "pass":
            whose = "its maker" if status == "fail" else "its standard"
            assert parts["whose"] == whose
            assert printed.told(found.remedy) == {"limit": both[1]}


@pytest.mark.parametrize(
    ("own", "behind", "plate", "status", "told"),
    [
        # Settings, what a stuck thermostat makes of them, and high limits [degF].
        ((140, 210, None), None, None, "unknown", ["high_limit"]),
        ((180, 210, None), None, None, "unknown", ["high_limit"]),
        ((181, 210, None), None, None, "caution",
         ['high_limit="180 degF"', 'element[1].thermostat="170 degF"']),
        ((140, 175, 175), (130, 210, None), None, "unknown", ["second_tank.high_limit"]),
        ((140, 210, None), (130, 210, None), None, "unknown",
         ["high_limit", "second_tank.high_limit"]),
        ((140, 190, 190), (130, 210, None), None, "caution",
         ['high_limit="180 degF"', 'second_tank.high_limit="180 degF"']),
        ((140, 190, 190), (130, 185, 185), 170, "caution",
         ['high_limit="180 degF"', 'second_tank.high_limit="170 degF"']),
    ],
)  # fmt: skip
def test_a_tank_too_hot_for_its_mixing_valve(
    own: tuple[float, float, float | None], behind: tuple[float, float, float | None] | None,
    plate: float | None, status: str, told: list[str],
) -> None:  # fmt: skip
    second = None if behind is None else second_tank(behind[2], plate)
    table = heater(own[2], own[0], second=second)
    safety = tank(*own[:2], None if behind is None else tank(*behind[:2]))
    found = scald._too_hot(table, table.mixing_valve, safety)
    assert found.status == status
    if status == "unknown":
        assert [each.removeprefix("water_heater.") for each in found.needs] == told
        return
    assert changes(found) == told
    # The lower of two limits is told.
    assert printed.told(found.remedy) == {"limit": f"{plate or 180} °F, temperature"}


@pytest.mark.parametrize(
    ("limit", "settings", "needed", "change"),
    [
        (None, (139,), 140, 'element[1].thermostat="140 degF"'),
        (None, (140,), 140, None),
        (None, (130, 139), 140, 'element[2].thermostat="140 degF"'),
        (None, (139, 130), 141, 'element[1].thermostat="145 degF"'),
        # 9 degF of room below the high limit.
        (150, (139,), 140, 'element[1].thermostat="140 degF"'),
        (148, (139,), 140, None),
    ],
)
def test_a_thermostat_set_hotter(
    limit: float | None, settings: tuple[float, ...], needed: float, change: str | None
) -> None:
    table = heater(limit, *settings)
    found = scald._hot_enough(table, tank(max(settings), 180), float(degf(needed)))
    assert [str(each) for each in found] == ([f"water_heater.{change}"] if change else [])


@pytest.mark.parametrize(
    ("outlet", "standard", "status"),
    [
        # ASSE 1017 valves hold 105 to 120 degF (second hand); hotter is judged elsewhere.
        (105, "ASSE 1017", "pass"),
        (104, "ASSE 1017", "caution"),
        (120, "ASSE 1017", "pass"),
        (121, "ASSE 1017", None),
        (120, "ASSE 1070", "caution"),
        (120, None, "unknown"),
    ],
)
def test_what_the_standard_of_a_valve_covers(
    outlet: float, standard: str | None, status: str | None
) -> None:
    valve: Any = SimpleNamespace(outlet=degf(outlet), standard=standard)
    found = scald._standard(valve)
    assert [each.status for each in found] == ([] if status is None else [status])
    if outlet == 104:
        parts = printed.told(found[0].reason)
        assert (parts["low"], parts["high"]) == ("105 °F, temperature", "120 °F, temperature")
        assert changes(found[0]) == ['mixing_valve.outlet="105 degF"']
    elif status == "pass":
        assert "is made for a tank" in found[0].reason.template
    elif standard == "ASSE 1070":
        assert "is not made for a tank" in found[0].reason.template
        assert changes(found[0]) == ['mixing_valve.standard="ASSE 1017"']


@pytest.mark.parametrize(
    ("seconds", "bound", "words"),
    [
        # Rounded to the safe side.
        (0.5, "", "less than 1 s"),
        (1.0, "", "1 s"),
        (1.9, "", "1 s"),
        (7.9, "at most", "less than 7 s"),
        (0.2, "at most", "less than 1 s"),
        (59.9, "", "59 s"),
        (60.0, "", "1 min"),
        (119.0, "", "1 min"),
        (120.0, "", "2 min"),
        (float("inf"), "", None),
    ],
)
def test_a_time_to_a_burn_in_words(
    monkeypatch: pytest.MonkeyPatch, seconds: float, bound: str, words: str | None
) -> None:
    burn = SimpleNamespace(seconds=seconds, bound=bound)
    monkeypatch.setattr(scald.scald, "burn_time", lambda hot, who: burn)
    assert scald._time(50.0, "adult") == words
    told = "burns nobody by the published times"
    if words is not None:
        told = f"burns an adult in {words}, a child in {words}"
    assert scald._burns(50.0) == told


@pytest.mark.parametrize(("setting", "after"), [(140, 120), (115, 115)])
def test_what_comes_out_behind_the_valve_burns(setting: float, after: float) -> None:
    valve: Any = SimpleNamespace(outlet=degf(120))
    found = scald._burn(valve, tank(setting, 180))
    assert (found.status, found.limit) == ("pass", None)
    parts = printed.told(found.reason)
    assert parts["outlet"] == f"{after} °F, temperature"
    assert parts["setting"] == f"{setting} °F, temperature"
    assert parts["hottest"] == "180 °F, temperature"


@pytest.mark.parametrize(
    ("setting", "fixtures", "wanted", "status", "shown", "change"),
    [
        (120, True, 110, "caution", None, ["element[1].thermostat=\"140 degF\""]),
        (120, None, 110, "fail", None, ["element[1].thermostat=\"140 degF\""]),
        (121, True, 110, "fail", "121", ["element[1].thermostat=\"140 degF\""]),
        (140, True, 110, "fail", "140", []),
        (140, True, 121, "fail", "140", ["draw.temperature=\"120 degF\""]),
    ],
)  # fmt: skip
def test_a_tank_without_a_mixing_valve(
    setting: float, fixtures: bool | None, wanted: float, status: str, shown: str | None,
    change: list[str],
) -> None:  # fmt: skip
    table = heater(180, setting)
    table.fixture_valves, table.draw.temperature = fixtures, degf(wanted)
    found = scald._unmixed(table, tank(setting, 180))
    both = "180 °F, temperature", "120 °F, temperature"
    assert printed.compared(found) == (status, *both)
    valve = ['mixing_valve.outlet="120 degF"', 'mixing_valve.standard="ASSE 1017"']
    assert sorted(changes(found)) == sorted([*valve, *change])
    cool = shown is None
    assert found.reason.template.startswith("the tank is set to {setting} and no mixing valve")
    assert ("a thermostat is no control" in found.reason.template) is cool
    assert ("only the fixtures' own valves" in found.reason.template) is (status == "caution")
    assert found.claims == (("water_heater.fixture_valves",) if status == "caution" else ())
    assert found.reason.parts["burns"] == scald._burns(float(degf(180 if cool else setting)))
    parts = printed.told(found.remedy)
    # 20 degF above the valve.
    assert parts["drop"].startswith("20 °F")
    assert ("{drop} hotter" in found.remedy.template) is cool


@pytest.mark.parametrize(
    ("outlet", "wanted", "status", "change"),
    [
        (120, 110, "pass", []),
        (121, 110, "fail", ['mixing_valve.outlet="120 degF"']),
        (121, 121, "fail",
         ['mixing_valve.outlet="120 degF"', 'draw.temperature="120 degF"']),
    ],
)  # fmt: skip
def test_how_far_water_is_mixed_down(
    outlet: float, wanted: float, status: str, change: list[str]
) -> None:
    table = heater(180, 140, outlet=degf(outlet))
    table.draw.temperature = degf(wanted)
    found = scald._mixed(table, table.mixing_valve, tank(140, 180))
    assert printed.compared(found) == (
        status, f"{outlet} °F, temperature", "120 °F, temperature"
    )  # fmt: skip
    assert changes(found) == change
    assert ("which still {burns}" in found.reason.template) is (status == "fail")
    assert printed.told(found.reason)["hottest"] == "180 °F, temperature"
