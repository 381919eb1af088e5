"""Direct current of an array: contacts, fuses, isolator and code, against the code's factors."""

from __future__ import annotations

import re
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from tests.site_texts import edited
from tests.studies.printed import compared, told
from tests.studies.safety.sites import RIGHT, safety, studied, verdict, wrong
from wellsolar import kinds
from wellsolar.site.loading.read import parse_site
from wellsolar.studies.array.circuit import limits_of
from wellsolar.studies.array.cold_voltage import greatest_allowed
from wellsolar.studies.array.heater_circuit import element_on_array
from wellsolar.studies.safety.direct_current import _element_load, _isolator, studied_element
from wellsolar.units import Quantity
from wellsolar.verdicts import changes_of


@pytest.mark.parametrize(
    ("guard", "rule", "subject"),
    [
        ("thermostat", "thermostat on direct current", "thermostat"),
        ("high_limit", "high limit on direct current", "high limit"),
    ],
)
class TestContacts:
    """Thermostat and high limit each break the array's current: 4 x 49.3 V x 1.18 of the code's
    table at -18 degC, and 1.25 x 10.3 A."""

    VOLTS, AMPERES = 4 * 49.3 * 1.18, 1.25 * 10.3

    def keys(self, guard: str) -> tuple[str, str, str]:
        rated = "switch" if guard == "thermostat" else "high_limit"
        return f"{guard}_switches", f"{rated}_voltage", f"{rated}_current"

    def test_contacts_for_alternating_current_weld(
        self, guard: str, rule: str, subject: str
    ) -> None:
        switches, volts, amperes = self.keys(guard)
        there = f'{switches} = "{"relay" if guard == "thermostat" else "DC"}"'
        found = verdict(edited(RIGHT, (there, f'{switches} = "AC"')), rule, subject)
        assert found.status == "fail"
        told = dict(str(each).split("=") for each in changes_of(found.remedy))
        made = {path.split(".")[-1]: value.strip('"') for path, value in told.items()}
        assert made[switches] == "relay"
        assert float(made[volts].split()[0]) >= self.VOLTS
        assert float(made[amperes].split()[0]) >= self.AMPERES

    def test_both_volts_and_amperes_are_asked(self, guard: str, rule: str, subject: str) -> None:
        _, volts, amperes = self.keys(guard)
        just = {volts: ("1000", "233"), amperes: ("32", "12.9")}
        short = {volts: "232", amperes: "12.8"}
        for key, (old, enough) in just.items():
            unit = "V" if key == volts else "A"
            line = f'{key} = "{old} {unit}"'
            passes = edited(RIGHT, (line, f'{key} = "{enough} {unit}"'))
            assert verdict(passes, rule, subject).status == "pass"
            fails = edited(RIGHT, (line, f'{key} = "{short[key]} {unit}"'))
            assert verdict(fails, rule, subject).status == "fail"
            silent = verdict(edited(RIGHT, (line + "\n", "")), rule, subject)
            assert silent.status == "unknown"
            assert silent.needs == (f"water_heater.element[1].{key}",)


def test_one_contact_that_welds_must_not_defeat_both_guards() -> None:
    rule, subject = "high limit on direct current", "high limit"
    told = 'high_limit_switches = "DC"'
    for how, status in (("same relay", "fail"), ("nothing", "fail"), ("relay", "pass")):
        text = edited(RIGHT, (told, f'high_limit_switches = "{how}"'))
        assert verdict(text, rule, subject).status == status, how
    assert verdict(edited(RIGHT, (told + "\n", "")), rule, subject).status == "unknown"
    # NEC 422.47 (second hand): all ungrounded conductors.
    one = edited(RIGHT, ("high_limit_poles = 2", "high_limit_poles = 1"))
    assert verdict(one, rule, subject).status == "caution"
    silent = edited(RIGHT, ("high_limit_poles = 2\n", ""))
    assert verdict(silent, rule, subject).needs == ("water_heater.element[1].high_limit_poles",)


def test_without_a_record_low_the_coldest_of_the_codes_table() -> None:
    low = 'record_low = "-18 degC"\n'
    text = edited(RIGHT, (low, ""))
    circuit = safety(text).circuit
    # Table 690.7(A) ends at -40 degC with 1.25.
    assert circuit.system_voltage == pytest.approx(4 * 49.3 * 1.25)
    assumed = {each.path: each.value for each in studied(text).assumptions}
    assert assumed["sun.record_low"] == -40.0
    assert wrong(studied(text)) == {}
    # Between the voltage at 25 degC and that of the assumed cold nobody knows; below it fails.
    for volts, status in (
        ("247", "pass"),
        ("240", "unknown"),
        ("198", "unknown"),
        ("190", "fail"),
    ):
        weak = edited(text, ('isolator_voltage = "1000 V"', f'isolator_voltage = "{volts} V"'))
        found = verdict(weak, "isolator")
        assert found.status == status, volts
        assert (found.needs == ("sun.record_low",)) == (status == "unknown")


def test_currents_by_the_codes_factors() -> None:
    circuit = safety(RIGHT).circuit
    assert circuit.current == pytest.approx(12.875)  # 10.3 x 1.25
    assert circuit.conductor_current == pytest.approx(16.094, abs=0.001)  # x 1.25
    assert circuit.overcurrent_asked == 20.0
    assert circuit.overcurrent_most == 30.0  # 240.4(D) on 10 AWG


def test_a_fuse_in_one_row_is_too_small_or_never_blows() -> None:
    rule = "pv overcurrent"
    one = 'place = "roof"'
    assert "no fuse is required" in verdict(RIGHT, rule).reason.text("US")
    # One row drives 12.9 A, which 10 AWG carries: NEC 690.9(A) asks for no fuse, and a large one
    # harms nothing. A small one opens in bright sun, 690.9(B).
    for rating, status in (("15", "fail"), ("20", "pass"), ("35", "pass")):
        text = edited(RIGHT, (one, f'{one}\novercurrent = "{rating} A"'))
        found = verdict(text, rule)
        assert found.status == status, rating
        if status == "fail":
            assert [str(each) for each in changes_of(found.remedy)] == [
                'array[1].overcurrent="20 A"'
            ]
    # With a source behind it that can drive more than the wire bears, it burns first.
    for device, back, status in (
        ("35", "100 A", "fail"), ("30", "100 A", "unknown"), ("35", "20 A", "unknown"),
        ("35", "0 A", "pass"),
    ):  # fmt: skip
        text = edited(RIGHT, (one, f'{one}\novercurrent = "{device} A"\nbackfeed = "{back}"'))
        assert verdict(text, rule).status == status, (device, back)
    # A label of 30 A settles what the modules bear of it.
    label = ("cells = 72", 'cells = 72\nseries_fuse = "30 A"')
    text = edited(RIGHT, (one, f'{one}\novercurrent = "30 A"\nbackfeed = "100 A"'), label)
    assert verdict(text, rule).status == "pass"


def test_three_rows_want_fuses_unless_the_label_bears_the_others() -> None:
    rows = edited(RIGHT, ("parallel = 1", "parallel = 2"), ("series = 4", "series = 2"))
    assert verdict(rows, "pv overcurrent").status == "pass"
    text = edited(
        RIGHT,
        ("parallel = 1", "parallel = 3"),
        ("series = 4", "series = 2"),
        ('gauge = "10 AWG"', 'gauge = "6 AWG"'),
    )
    found = verdict(text, "pv overcurrent")
    assert found.status == "fail"
    assert [str(each) for each in changes_of(found.remedy)] == ['array[1].string_fuse="20 A"']
    mended = edited(text, ('place = "roof"', 'place = "roof"\nstring_fuse = "20 A"'))
    assert verdict(mended, "pv overcurrent").status == "pass"
    # Two others drive 2 x 12.875 A into the third.
    for label, status in (("25", "fail"), ("30", "pass")):
        told = edited(text, ("cells = 72", f'cells = 72\nseries_fuse = "{label} A"'))
        assert verdict(told, "pv overcurrent").status == status
    small = edited(mended, ("cells = 72", 'cells = 72\nseries_fuse = "15 A"'))
    assert verdict(small, "pv overcurrent").status == "fail"
    # The breaker of the common wire does not guard a row: 3 x 10.3 x 1.5625 = 48.3 A.
    common = edited(text, ('place = "roof"', 'place = "roof"\novercurrent = "50 A"'))
    assert verdict(common, "pv overcurrent").status == "fail"


def test_an_isolator_for_the_cold_voltage_and_the_current() -> None:
    for old, new in (
        ('"1000 V"\nisolator', '"232 V"\nisolator'),
        ('"32 A"\nisolator_poles', '"12.8 A"\nisolator_poles'),
    ):
        text = edited(RIGHT, (old, new))
        assert wrong(studied(text)) == {"isolator": "fail"}
        mended = text
        for change in changes_of(verdict(text, "isolator").remedy):
            key = change.path.rsplit(".", 1)[-1]
            mended = re.sub(rf"{key} = .*", f"{key} = {change.value}", mended)
        assert wrong(studied(mended)) == {}


@pytest.mark.parametrize(
    ("told", "status", "needs"),
    # NEC (2014) 690.13 has all conductors that are not grounded, (2017) 690.15 all that are not
    # solidly grounded (both read).
    [
        ("", "unknown", "array[1].isolator_poles"),
        ("isolator_poles = 1\n", "unknown", "array[1].grounding"),
        ('isolator_poles = 1\ngrounding = "none"\n', "fail", ""),
        ('isolator_poles = 1\ngrounding = "functional"\n', "unknown", "site.code_edition"),
        ('isolator_poles = 1\ngrounding = "solid"\n', "pass", ""),
    ],
)
def test_an_isolator_that_leaves_a_conductor_joined(told: str, status: str, needs: str) -> None:
    text = edited(RIGHT, ("isolator_poles = 2\n", told))
    found = verdict(text, "isolator")
    assert found.status == status
    assert found.needs == ((needs,) if needs else ())
    if status == "fail":
        assert "isolator_poles" in {
            change.path.rsplit(".", 1)[-1] for change in changes_of(found.remedy)
        }
        for edition, then in ((2014, "pass"), (2017, "fail")):
            device = edited(text, ('"none"', '"functional"'))
            dated = edited(device, ("[site]\n", f"[site]\ncode_edition = {edition}\n"))
            assert verdict(dated, "isolator").status == then


@pytest.mark.parametrize(
    ("key", "rule", "status"),
    # Of 690.41(B) and 690.12 the code's own words were read; of 690.11 what others say of it.
    [
        ("ground_fault_protection", "ground fault", "fail"),
        ("arc_fault_protection", "arc fault", "caution"),
        ("rapid_shutdown", "rapid shutdown", "fail"),
    ],
)
def test_what_the_inspector_settles(key: str, rule: str, status: str) -> None:
    told = edited(RIGHT, (f"{key} = true", f"{key} = false"))
    assert wrong(studied(told)) == {rule: status}
    assert "inspector" in verdict(told, rule).remedy.text("US")  # type: ignore[union-attr]
    silent = edited(RIGHT, (f"{key} = true\n", ""))
    assert wrong(studied(silent)) == {rule: "unknown"}
    assert verdict(silent, rule).needs == (f"array[1].{key}",)


def test_no_arc_fault_protection_below_80_volts() -> None:
    text = edited(RIGHT, ("series = 4", "series = 1"), ("arc_fault_protection = true\n", ""))
    # One module; 1.18 is NEC Table 690.7(A) from -16 to -20 degC, 80 V stands in NEC 690.11
    # (both second hand).
    assert 49.3 * 1.18 < 80
    assert verdict(text, "arc fault").status == "pass"


@pytest.mark.parametrize(
    ("thermostat", "high_limit", "volts", "amperes"),
    [("relay", "relay", 200.0, 20.0), ("relay", "AC", 250.0, 25.0), ("AC", "DC", 200.0, 20.0),
     ("AC", "AC", 300.0, 32.0)],
)  # fmt: skip
def test_an_array_is_borne_by_the_least_of_what_breaks_it(
    thermostat: str, high_limit: str, volts: float, amperes: float
) -> None:
    """Isolator 300 V, 32 A; relay 250 V, 25 A; high limit 200 V, 20 A. A contact for alternating
    current alone breaks none of it."""
    site = parse_site(RIGHT).site
    on = element_on_array(site)
    assert on is not None
    group = on.group.model_copy(update={
        "isolator_voltage": Quantity(300.0, kinds.VOLTAGE),
        "isolator_current": Quantity(32.0, kinds.CURRENT),
    })  # fmt: skip
    element = on.element.model_copy(update={
        "thermostat_switches": thermostat, "high_limit_switches": high_limit,
        "switch_voltage": Quantity(250.0, kinds.VOLTAGE),
        "switch_current": Quantity(25.0, kinds.CURRENT),
        "high_limit_voltage": Quantity(200.0, kinds.VOLTAGE),
        "high_limit_current": Quantity(20.0, kinds.CURRENT),
    })  # fmt: skip
    found = limits_of(site, replace(on, group=group, element=element))
    assert (found.voltage, found.switched) == (volts, amperes)


@pytest.mark.parametrize(
    ("label", "behind", "allowed"),
    [(None, None, 600.0), (1000.0, 450.0, 450.0), (300.0, 450.0, 300.0), (1000.0, None, 600.0),
     (None, 150.0, 150.0)],
)  # fmt: skip
def test_the_least_of_house_label_and_input_is_allowed(
    label: float | None, behind: float | None, allowed: float
) -> None:
    """600 V in and on a dwelling: NEC 690.7 (second hand)."""
    module = None if label is None else SimpleNamespace(greatest_system_voltage=label)
    group = SimpleNamespace(greatest_input_voltage=behind)
    found = greatest_allowed(module, group)  # type: ignore[arg-type]
    assert (float(found), found.kind) == (allowed, kinds.VOLTAGE)


def isolated(edition: int | None = None, **other: Any) -> Any:
    """What is said of an isolator of 600 V and 16 A in an array of 240 V and 15 A."""
    has = {
        "volts": 600.0, "amperes": 16.0, "poles": 2, "grounding": "none", "reach": 240.0,
        "current": 15.0, "told": True, "mild": 200.0,
    } | other  # fmt: skip
    group = SimpleNamespace(
        name="roof",
        isolator_voltage=has["volts"] and Quantity(has["volts"], kinds.VOLTAGE),
        isolator_current=has["amperes"] and Quantity(has["amperes"], kinds.CURRENT),
        isolator_poles=has["poles"],
        grounding=has["grounding"],
    )
    circuit = SimpleNamespace(
        current=has["current"], system_voltage=has["reach"], cold_told=has["told"],
        mild_voltage=has["mild"],
    )  # fmt: skip
    site: Any = SimpleNamespace(site=SimpleNamespace(code_edition=edition))
    at: Any = SimpleNamespace(group=group, circuit=circuit, path="array[1]")
    found = _isolator(site, at)
    assert found.subject == "roof"
    return found


@pytest.mark.parametrize(
    ("other", "status", "quantity", "limit", "changes"),
    [
        ({}, "pass", "600 V", "240 V", None),
        ({"volts": 240.0, "amperes": 15.0}, "pass", "240 V", "240 V", None),
        ({"volts": 239.0}, "fail", "239 V", "240 V", ("250 V", "16 A")),
        ({"amperes": 14.9}, "fail", "14.9 A", "15 A", ("600 V", "16 A")),
        ({"volts": 239.0, "amperes": 14.5}, "fail", "239 V", "240 V", ("250 V", "16 A")),
        # What is not told of one that fails already is not asked.
        ({"amperes": 14.5, "volts": None}, "fail", "14.5 A", "15 A", ("250 V", "16 A")),
        ({"volts": 239.0, "amperes": None, "poles": None}, "fail", "239 V", "240 V",
         ("250 V", "16 A", 2)),
        # Above what is sold the next whole volt and ampere.
        ({"reach": 1000.4, "current": 200.4}, "fail", "600 V", "1000 V", ("1001 V", "201 A")),
        # The cold is assumed, and at 25 degC it is 200 V.
        ({"volts": 199.0, "told": False}, "fail", "199 V", "240 V", ("250 V", "16 A")),
        ({"volts": 200.0, "told": False, "amperes": 14.5}, "fail", "200 V", "240 V",
         ("250 V", "16 A")),
    ],
)  # fmt: skip
def test_an_isolator_beside_the_arrays_volts_and_amperes(
    other: dict[str, Any], status: str, quantity: str, limit: str, changes: tuple[Any, ...] | None
) -> None:
    found = isolated(**other)
    assert found.status == status
    figures = [told(found.reason).get("rated_volts"), told(found.reason).get("rated_current")]
    assert found.quantity.text("US").replace(".0 ", " ") == quantity
    assert found.limit.text("US").replace(".0 ", " ").replace(",", "") == limit
    has = {"volts": 600.0, "amperes": 16.0} | other
    assert [each is not None for each in figures] == [
        has["volts"] is not None, has["amperes"] is not None
    ]  # fmt: skip
    if changes:
        made = {each.path: str(each.value).strip('"') for each in changes_of(found.remedy)}
        keys = ("isolator_voltage", "isolator_current", "isolator_poles")
        assert made == {
            f"array[1].{key}": str(value) for key, value in zip(keys, changes, strict=False)
        }


@pytest.mark.parametrize(
    ("edition", "other", "status", "needs"),
    [
        (None, {"volts": 200.0, "told": False}, "unknown", ("sun.record_low",)),
        (None, {"volts": None}, "unknown", ("array[1].isolator_voltage",)),
        (None, {"volts": None, "amperes": None}, "unknown",
         ("array[1].isolator_voltage", "array[1].isolator_current")),
        (None, {"poles": None}, "unknown", ("array[1].isolator_poles",)),
        (None, {"poles": 1, "grounding": None}, "unknown", ("array[1].grounding",)),
        (None, {"poles": 1, "grounding": "functional"}, "unknown", ("site.code_edition",)),
        (2014, {"poles": 1, "grounding": "functional"}, "pass", ()),
        (2017, {"poles": 1, "grounding": "functional"}, "fail", ()),
        (2017, {"poles": 1, "grounding": "solid"}, "pass", ()),
        (None, {"poles": 1, "grounding": "none"}, "fail", ()),
        (2014, {"poles": 1, "grounding": "none"}, "fail", ()),
    ],
)  # fmt: skip
def test_the_poles_of_an_isolator_and_what_is_asked_of_it(
    edition: int | None, other: dict[str, Any], status: str, needs: tuple[str, ...]
) -> None:
    found = isolated(edition, **other)
    assert (found.status, found.needs) == (status, needs)
    if status == "fail":
        made = {each.path: str(each.value).strip('"') for each in changes_of(found.remedy)}
        assert made == {
            "array[1].isolator_voltage": "600 V", "array[1].isolator_current": "16 A",
            "array[1].isolator_poles": "2",
        }  # fmt: skip


@pytest.mark.parametrize(
    ("volts", "mild", "most", "status"),
    [
        (240.0, 230.0, None, "pass"),
        (242.0, 241.0, 3, "fail"),
        (242.0, 240.0, 3, "unknown"),
        (242.0, 241.0, None, "fail"),
        (242.0, 241.0, 0, "fail"),
    ],
)
def test_an_element_of_240_v_beside_its_array(
    volts: float, mild: float, most: int | None, status: str
) -> None:
    for count, which in ((1, "an element"), (2, "each of the elements")):
        element: Any = SimpleNamespace(
            rated_voltage=Quantity(240.0, kinds.VOLTAGE),
            rated_power=Quantity(4500.0, kinds.POWER),
            count=count,
        )
        fed: Any = SimpleNamespace(
            element_voltage=volts, mild_element_voltage=mild, element_power=4575.0,
            most_series=most,
        )  # fmt: skip
        found = _element_load(element, fed, "array[1]", "element")
        if status == "unknown":
            assert found.needs == ("sun.record_low",)
            continue
        assert compared(found) == (status, f"{volts:.0f} V, voltage", "240 V, voltage")
        assert found.reason.parts == {
            "volts": volts, "power": 4575.0, "each": which, "plate": 240.0, "rated": 4500.0
        }  # fmt: skip
        if status == "fail":
            assert found.remedy is not None
            # 240 V squared over 4500 W.
            assert found.remedy.parts["resistance"] == pytest.approx(12.8)
            assert found.remedy.parts["volts"] == volts
            made = [str(each) for each in changes_of(found.remedy)]
            assert made == ([f"array[1].series={most}"] if most else [])
            assert found.remedy.template.startswith("no more") == bool(most)


def test_the_element_that_the_days_are_run_for_is_told_as_the_others() -> None:
    """Its number is 0, as its place among the others, that are numbered from 1, is not asked."""
    told = {"element_voltage": 182.0, "element_power": 3e3, "mild_element_voltage": 160.0,
            "most_series": 13, "circuit": "circuit"}  # fmt: skip
    result: Any = SimpleNamespace(safety=SimpleNamespace(**told), array="roof", wire="cable")
    found = studied_element(result, "water_heater.element[2]")
    assert vars(found) == told | {
        "path": "water_heater.element[2]", "number": 0, "array": "roof", "wire": "cable",
    }  # fmt: skip
