"""What fails, asked question by question: each end is reached, and says what to do."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.reports.conftest import CHECKOUT
from tests.reports.pages.test_layout import broken_rules
from tests.reports.pages.test_on_site import Phone, key_of, page_of
from wellsolar.results.form import Fault
from wellsolar.site.loading.read import load_site
from wellsolar.site.readings.table import KEYS
from wellsolar.studies.case import Case
from wellsolar.studies.form.faults import COVERS, ROOTS, SOLAR, study_faults
from wellsolar.studies.plumbing.layout import layout_of

EXAMPLES = sorted((CHECKOUT / "examples").glob("*.toml"))
TRADES = ("licensed", "driller", "plumber")
VALVES = ("house main valve", "treatment bypass", "heater cold valve")


def faults_of(site: Path) -> tuple[Case, dict[str, Fault]]:
    case = Case(load_site(site))
    return case, {fault.key: fault for fault in study_faults(case, "US")}


@pytest.mark.parametrize("site", EXAMPLES, ids=lambda site: site.stem)
def test_every_end_is_reached_and_says_what_to_do_and_whom_to_call(site: Path) -> None:
    """Each is reached from what an owner sees; no question leads nowhere or back to itself; each
    end has a caution, steps and a trade."""
    case, faults = faults_of(site)
    reached: set[str] = set()

    def walk(key: str, way: tuple[str, ...]) -> None:
        assert key not in way, f"{way} goes round"
        reached.add(key)
        for _, then in faults[key].answers:
            walk(then, (*way, key))

    for root in ROOTS:
        if root in faults:
            walk(root, ())
    assert reached == set(faults)
    assert bool(faults) == bool(case.site.pump or case.site.water_heater)
    for fault in faults.values():
        if fault.answers:
            assert len({word for word, _ in fault.answers}) == len(fault.answers) >= 2
            assert fault.asks.endswith("?")
            continue
        assert fault.first.endswith(".")
        assert fault.steps
        assert all(step.endswith(".") for step in fault.steps)
        assert any(trade in fault.who.lower() for trade in TRADES)
        assert set(fault.reads) <= set(KEYS)


@pytest.mark.parametrize("site", EXAMPLES, ids=lambda site: site.stem)
def test_they_name_only_what_the_site_has_and_warn_before_what_kills(site: Path) -> None:
    case, faults = faults_of(site)
    has = case.site
    told = {key: " ".join((fault.asks, fault.first, *fault.steps, *(word for word, _ in
            fault.answers))).lower() for key, fault in faults.items()}  # fmt: skip
    every = " ".join(told.values())
    valves = {each.name for each in layout_of(has)}
    for name in VALVES:
        assert name not in every or name in valves
    for word, there in (
        ("hand pump", has.hand_pump is not None),
        ("other pump", len(has.pump) > 1),
        ("pressure tank", has.pressure_tank is not None),
        ("solar switch", has.water_heater is not None and bool(has.array)),
        ("hot", has.water_heater is not None),
        ("breaker", any(table.supply == "AC" for table in has.pump) or bool(has.water_heater)),
    ):
        assert there or word not in every.replace("a motor that was too hot", ""), word
    for key, fault in faults.items():
        steps = " ".join(fault.steps)
        if "breaker ON" in steps or "breaker OFF" in steps:
            assert COVERS in fault.first or SOLAR in fault.first or key.startswith(
                ("cold.wait", "pressure.worn", "cold.scalds")) or "OFF" in steps  # fmt: skip
    if "cold.solar" in faults:
        assert SOLAR in faults["cold.solar"].first


def test_a_thumb_finds_its_way_to_an_end_with_the_readings_taken(browser: Any) -> None:
    phone = Phone(browser, page_of(CHECKOUT / "examples" / "ridge_house.toml"))
    page = phone.page
    assert page.locator("[data-fault]:visible").count() == len(ROOTS)
    phone.type(key_of(phone, "precharge"), "12")
    cycling = page.locator('[data-fault="cycling"]')
    cycling.get_by_role("link", name="While a tap runs").tap()
    end = page.locator("[data-fault]:visible")
    assert end.count() == 1
    assert end.get_attribute("data-fault") == "cycling.tank"
    assert "Your reading, precharge, tank drained: ! Off: 12 psi" in end.inner_text()
    assert broken_rules(page) == []
    page.get_by_role("link", name="Begin again").tap()
    page.locator(f'[data-fault="{ROOTS[0]}"]').wait_for()
    assert page.locator("[data-fault]:visible").count() == len(ROOTS)
    page.locator("#faults > details > summary").tap()
    assert "Run the frugal pump: box A." in page.locator("#faults").inner_text()
    assert phone.said == []
    assert set(phone.asked) == {phone.path.as_uri(), *(
        each for each in phone.asked if each.startswith(phone.path.as_uri() + "#"))}  # fmt: skip
    phone.close()
