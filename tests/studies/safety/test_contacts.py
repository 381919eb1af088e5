"""Contacts in an array's circuit, by ratings made by hand: 150 V in the cold and 12 A.

What is to interrupt a current is rated for it at its voltage: NEC (2014, 2017) 110.9,
second hand. Ratings that
are sold: common practice, no source.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from tests.studies.printed import printed_as, told
from wellsolar import kinds
from wellsolar.studies.safety import contacts as asked
from wellsolar.units import Quantity
from wellsolar.verdicts import Verdict, changes_of

PATH = "water_heater.element[1]"


def volts(value: float | None) -> Quantity | None:
    return None if value is None else Quantity(value, kinds.VOLTAGE)


def amps(value: float | None) -> Quantity | None:
    return None if value is None else Quantity(value, kinds.CURRENT)


def fed(cold: float = 150.0, current: float = 12.0, known: bool = True) -> Any:
    """An element on an array of so much in the cold and in bright sun, 130 V with mild cells."""
    circuit = SimpleNamespace(
        system_voltage=cold, current=current, cold_told=known, mild_voltage=130.0
    )
    return SimpleNamespace(path=PATH, circuit=circuit)


def changes(verdict: Verdict) -> list[str]:
    return [str(each).removeprefix(f"{PATH}.") for each in changes_of(verdict.remedy)]


@pytest.mark.parametrize(
    ("voltage", "current", "known", "status", "shown"),
    [
        (150.0, 12.0, True, "pass", "150 V"),
        (149.0, 12.0, True, "fail", "149 V"),
        (150.0, 11.0, True, "fail", "11 A"),
        (149.0, 11.0, True, "fail", "149 V"),
        (149.0, None, True, "fail", "149 V"),
        (None, 11.0, True, "fail", "11 A"),
        (None, 12.0, True, "unknown", "voltage"),
        (150.0, None, True, "unknown", "current"),
        (None, None, True, "unknown", "voltage current"),
        # Passed by the assumed cold alone, it hangs on the record low; not so below 130 V.
        (140.0, 12.0, False, "unknown", "record_low"),
        (130.0, 12.0, False, "unknown", "record_low"),
        (140.0, None, False, "unknown", "record_low current"),
        (129.0, 12.0, False, "fail", "129 V"),
        (140.0, 11.0, False, "fail", "140 V"),
        (150.0, 11.0, False, "fail", "11 A"),
    ],
)
@pytest.mark.parametrize("what", ["thermostat", "high limit"])
@pytest.mark.parametrize("switches", ["DC", "relay"])
def test_what_contacts_are_rated_for(
    what: str, switches: str, voltage: float | None, current: float | None, known: bool,
    status: str, shown: str,
) -> None:  # fmt: skip
    element: Any = SimpleNamespace(
        thermostat_switches=switches, switch_voltage=volts(voltage), switch_current=amps(current),
        high_limit_switches=switches, high_limit_voltage=volts(voltage),
        high_limit_current=amps(current), high_limit_poles=2,
    )  # fmt: skip
    both = asked.contact_verdicts(element, fed(known=known), "thermostat")
    assert [each.subject for each in both] == ["thermostat", "high limit"]
    found = both[what == "high limit"]
    assert found.status == status
    begins = "switch" if what == "thermostat" else "high_limit"
    if status == "unknown":
        keys = {"voltage": f"{PATH}.{begins}_voltage", "current": f"{PATH}.{begins}_current",
                "record_low": "sun.record_low"}  # fmt: skip
        assert found.needs == tuple(keys[each] for each in shown.split())
        return
    limit = "12 A, current" if shown.endswith("A") else "150 V, voltage"
    assert printed_as(found.quantity) == f"{shown}, {'current' if limit[3] == 'A' else 'voltage'}"
    assert printed_as(found.limit) == limit
    parts = {"needed": "150 V, voltage", "bright": "12 A, current"}
    parts |= {} if voltage is None else {"volts": f"{voltage:.0f} V, voltage"}
    parts |= {} if current is None else {"current": f"{current:.0f} A, current"}
    assert told(found.reason) == parts
    whose = "its contacts break " if switches == "DC" else (
        "the relay that it drives breaks " if what == "thermostat" else "its own relay breaks "
    )  # fmt: skip
    named = [f"{{{name}}}" for name in ("volts", "current") if name in parts]
    assert found.reason.template == (
        whose + " and ".join(named) + " of direct current; the array can reach {needed} and "
        "{bright}"
    )


@pytest.mark.parametrize(
    ("voltage", "current", "cold", "bright", "sold"),
    [
        # What is there is kept where it is enough; else 250 V and 16 A are the next that are sold.
        (150.0, 11.0, 150.0, 12.0, ("150 V", "16 A")),
        (149.0, 12.0, 150.0, 12.0, ("250 V", "12 A")),
        (None, None, 150.0, 12.0, ("250 V", "16 A")),
        (None, None, 250.0, 16.0, ("250 V", "16 A")),
        # Beyond 1000 V and 200 A whole numbers, up.
        (None, None, 1200.4, 250.2, ("1201 V", "251 A")),
        (None, None, 1200.0, 250.0, ("1200 V", "250 A")),
    ],
)
def test_the_rating_that_is_sold(
    voltage: float | None, current: float | None, cold: float, bright: float,
    sold: tuple[str, str],
) -> None:  # fmt: skip
    found = asked.rating_for(fed(cold, bright).circuit, volts(voltage), amps(current))
    assert printed_as(found.voltage) == f"{sold[0]}, voltage"
    assert printed_as(found.current) == f"{sold[1]}, current"
    parts = found.parts()
    assert (parts["least"], parts["amps"]) == (cold, bright)
    assert (parts["volts"], parts["amperes"]) == (found.voltage, found.current)


WELDS = "contacts rated for alternating current in a circuit of up to {volts} of direct current"


@pytest.mark.parametrize("driven", [None, ("to {hot} by noon", {"hot": "x"})])
def test_contacts_for_alternating_current_weld(driven: Any) -> None:
    element: Any = SimpleNamespace(
        thermostat_switches="AC", switch_voltage=volts(999), switch_current=amps(99),
        high_limit_switches="AC", high_limit_voltage=volts(999), high_limit_current=amps(99),
        high_limit_poles=2,
    )  # fmt: skip
    thermostat, limit = asked.contact_verdicts(element, fed(), "upper thermostat", driven)
    assert (thermostat.subject, limit.subject) == ("upper thermostat", "upper high limit")
    for found in (thermostat, limit):
        assert (found.status, found.quantity, found.limit) == ("fail", 150.0, None)
        assert found.reason.template.startswith(WELDS)
    home = ", and with nobody home the array drives the tank to {hot} by noon"
    assert thermostat.reason.template.endswith(home) is (driven is not None)
    assert ("hot" in thermostat.reason.parts) is (driven is not None)
    assert "nobody home" not in limit.reason.template
    # The ratings are those of the contacts, of no relay that is to come.
    assert changes(thermostat) == [
        'thermostat_switches="relay"', 'switch_voltage="250 V"', 'switch_current="16 A"'
    ]  # fmt: skip
    assert changes(limit) == [
        'high_limit_switches="relay"', 'high_limit_voltage="250 V"', 'high_limit_current="16 A"',
        "high_limit_poles=2",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("switches", "voltage", "poles", "status", "needs", "mended"),
    [
        (None, 150.0, 2, "unknown", "high_limit_switches", []),
        ("relay", 150.0, 2, "pass", None, []),
        ("relay", 150.0, None, "unknown", "high_limit_poles", []),
        ("DC", 150.0, 1, "caution", None, ["high_limit_poles=2"]),
        ("relay", 149.0, 1, "fail", None,
         ['high_limit_voltage="250 V"', 'high_limit_current="12 A"', "high_limit_poles=2"]),
        ("same relay", 150.0, 2, "fail", None,
         ['high_limit_switches="relay"', 'high_limit_voltage="250 V"',
          'high_limit_current="16 A"', "high_limit_poles=2"]),
        ("nothing", 150.0, 2, "fail", None,
         ['high_limit_switches="relay"', 'high_limit_voltage="250 V"',
          'high_limit_current="16 A"', "high_limit_poles=2"]),
    ],
)  # fmt: skip
def test_a_high_limit_of_its_own(
    switches: str | None, voltage: float, poles: int | None, status: str, needs: str | None,
    mended: list[str],
) -> None:  # fmt: skip
    element: Any = SimpleNamespace(
        high_limit_switches=switches, high_limit_voltage=volts(voltage),
        high_limit_current=amps(12), high_limit_poles=poles,
    )  # fmt: skip
    found = asked._high_limit(element, fed(), "high limit")
    assert found.status == status
    assert found.needs == (() if needs is None else (f"{PATH}.{needs}",))
    assert changes(found) == mended
    if switches == "same relay":
        assert found.reason.template.startswith("it acts on the thermostat's relay")
    if switches == "nothing":
        assert found.reason.template.startswith("it opens nothing in this array's circuit")


def test_a_thermostat_is_asked_what_it_switches_and_keeps_its_relay() -> None:
    bare: Any = SimpleNamespace(thermostat_switches=None, switch_voltage=None, switch_current=None)
    assert asked._thermostat(bare, fed(), "thermostat", None).needs == (
        f"{PATH}.thermostat_switches",
    )
    relay: Any = SimpleNamespace(
        thermostat_switches="relay", switch_voltage=volts(149), switch_current=amps(12)
    )
    found = asked._thermostat(relay, fed(), "thermostat", None)
    assert changes(found) == ['switch_voltage="250 V"', 'switch_current="12 A"']
    assert told(found.remedy) == {
        "volts": "250 V, voltage", "amperes": "12 A, current", "least": "150 V, voltage",
        "amps": "12 A, current",
    }  # fmt: skip
    assert asked.breaks_of(fed())[1] == {"volts": 150.0, "amperes": 12.0}
