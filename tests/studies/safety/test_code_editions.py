"""What each edition of the electrical code asks of modules, and what a file leaves open."""

from __future__ import annotations

from itertools import product
from typing import get_args

import pytest

from tests.site_texts import edited
from tests.studies.safety.test_arrays import PUMP_ON_SUN, applied, verdicts
from wellsolar.site.schema import CodeEdition, Grounding, Place, Reaches
from wellsolar.studies.safety.code_editions import (
    Laid,
    arc_fault_duty,
    ground_fault_duty,
    shutdown_duty,
)

CLEAR = Laid("no building", "ground", "solid", enclosed=True, edition=2017)
"""One group on a rack of its own, clear of every building."""


@pytest.mark.parametrize(
    ("edition", "rows", "grounding", "reaches", "status"),
    [
        # NEC (2017) 690.41(B), read: no more than two source circuits, no direct current on or in
        # a building, solidly grounded.
        (2017, 2, "solid", "no building", "pass"),
        (2017, 3, "solid", "no building", "fail"),
        (2017, 2, "functional", "no building", "fail"),
        (2017, 2, "solid", "outside wall", "fail"),
        # NEC (2014) 690.5, second hand: two source circuits on the ground, clear of buildings.
        (2014, 2, "none", "no building", "pass"),
        (2014, 3, "none", "no building", "caution"),
        (2014, 2, "none", "building", "fail"),
        # The later editions' words on arrays clear of buildings were not read.
        (2020, 2, "none", "no building", "caution"),
        (2023, 2, "solid", "no building", "pass"),
    ],
)
def test_who_may_do_without_ground_fault_protection(
    edition: CodeEdition, rows: int, grounding: str, reaches: Reaches, status: str
) -> None:
    laid = CLEAR._replace(edition=edition, grounding=grounding, reaches=reaches)
    assert ground_fault_duty(laid, rows, 160.0, 12.0).status == status


def test_no_ground_fault_protection_of_a_small_circuit() -> None:
    """NEC (2023) 690.41(B), second hand: of circuits above 30 V or 8 A."""
    indoors = CLEAR._replace(edition=2023, reaches="building")
    assert ground_fault_duty(indoors, 1, 30.0, 8.0).status == "pass"
    assert ground_fault_duty(indoors, 1, 30.1, 8.0).status == "fail"
    assert ground_fault_duty(indoors, 1, 30.0, 8.1).status == "fail"
    assert ground_fault_duty(indoors._replace(edition=2017), 1, 30.0, 8.0).status == "fail"


@pytest.mark.parametrize(
    ("edition", "place", "reaches", "status"),
    [
        # NEC 690.12, read: circuits on or in buildings, since 2014.
        (2014, "roof", "building", "fail"),
        (2014, "ground", "outside wall", "fail"),
        (2020, "ground", "outside wall", "fail"),
        (2017, "ground", "no building", "pass"),
        # Exceptions of 2023, read: arrays clear of buildings whose wires end outside; open
        # structures; buildings for such equipment alone, which are older (from memory).
        (2023, "ground", "outside wall", "pass"),
        (2023, "roof", "outside wall", "fail"),
        (2023, "open structure", "no building", "pass"),
        (2020, "open structure", "no building", "caution"),
        (2023, "open structure", "building", "fail"),
        (2023, "ground", "equipment building", "pass"),
        (2020, "ground", "equipment building", "caution"),
        (2014, "ground", "equipment building", "fail"),
    ],
)
def test_who_may_do_without_rapid_shutdown(
    edition: CodeEdition, place: Place, reaches: Reaches, status: str
) -> None:
    assert shutdown_duty(Laid(reaches, place, "none", False, edition)).status == status


@pytest.mark.parametrize(
    ("edition", "reaches", "enclosed", "status"),
    # NEC 690.11, second hand: nothing fails by it.
    [
        (2014, "no building", True, "caution"),
        (2017, "no building", True, "pass"),
        (2017, "no building", False, "caution"),
        (2017, "building", True, "caution"),
    ],
)
def test_who_may_do_without_arc_fault_protection(
    edition: CodeEdition, reaches: Reaches, enclosed: bool, status: str
) -> None:
    duty = arc_fault_duty(CLEAR._replace(edition=edition, reaches=reaches, enclosed=enclosed))
    assert duty.status == status
    assert bool(duty.claims) is (status == "pass")


EDITIONS: tuple[CodeEdition, ...] = (2014, 2017, 2020, 2023)
NO, WALL, EQUIPMENT, HOUSE = REACHES = get_args(Reaches)
STATES = {"p": "pass", "c": "caution", "f": "fail"}

SHUTDOWN: dict[tuple[Place, Reaches], str] = {
    ("ground", NO): "pppp", ("ground", WALL): "fffp", ("ground", EQUIPMENT): "fccp",
    ("open structure", NO): "cccp", ("open structure", WALL): "fffp",
}  # fmt: skip
"""How a group without rapid shutdown stands by the editions in turn; any other fails."""

ARC: dict[tuple[Place, Reaches], str] = {
    ("ground", NO): "cppp", ("ground", EQUIPMENT): "cccc", ("open structure", NO): "cccc",
    ("open structure", EQUIPMENT): "cccc",
}  # fmt: skip
"""The same of arc faults with the wires in metal or in the ground; any other has a caution."""


@pytest.mark.parametrize("place", get_args(Place))
@pytest.mark.parametrize("reaches", REACHES)
def test_every_layout_in_every_edition(place: Place, reaches: Reaches) -> None:
    """Duties as a table of the code's words, of each way to lay out modules."""
    for at, (edition, grounding, enclosed) in enumerate(
        product(EDITIONS, get_args(Grounding), (True, False))
    ):
        laid, year = Laid(reaches, place, grounding, enclosed, edition), at // 6
        wanted = SHUTDOWN.get((place, reaches), "ffff")[year]
        assert shutdown_duty(laid).status == STATES[wanted], laid
        arc = arc_fault_duty(laid)
        wanted = ARC.get((place, reaches), "cccc")[year] if enclosed else "c"
        assert arc.status == STATES[wanted], laid
        # What the later editions except by memory alone is trusted too, and not asked.
        structure = edition >= 2020 and place != "roof" and reaches in (NO, EQUIPMENT)
        excepted = enclosed and (wanted == "p" or structure)
        assert (arc.asked, arc.claims) == (not excepted, ("enclosed",) * excepted), laid
        for rows, volts, amperes in product((1, 2, 3), (30.0, 30.1), (8.0, 8.1)):
            duty = ground_fault_duty(laid, rows, volts, amperes)
            if volts == 30.0 and amperes == 8.0 and edition >= 2020:
                wanted = "p" if edition == 2023 else "c"
            elif place == "roof" or reaches != NO:
                wanted = "f"
            elif place == "open structure":
                wanted = "c"
            elif edition == 2014:
                wanted = "p" if rows <= 2 else "c"
            elif rows <= 2 and grounding == "solid":
                wanted = "p"
            else:
                wanted = "f" if edition == 2017 else "c"
            assert duty.status == STATES[wanted], (laid, rows, volts, amperes)


def test_a_file_that_leaves_open_what_the_editions_turn_on() -> None:
    bare = edited(
        PUMP_ON_SUN, ('reaches = "no building"\ngrounding = "solid"\nenclosed = true\n', "")
    )
    asked = "array[1].rapid_shutdown", "array[1].reaches"
    assert verdicts(bare)["rapid shutdown"].needs == asked
    # Told that there is none: what counts next is where the wires end, then the edition.
    none = edited(bare, ("arc_fault_protection = true", "rapid_shutdown = false"))
    assert verdicts(none)["rapid shutdown"].needs == ("array[1].reaches", "site.code_edition")
    wall = edited(none, ("rapid_shutdown", 'reaches = "outside wall"\nrapid_shutdown'))
    assert verdicts(wall)["rapid shutdown"].needs == ("site.code_edition",)
    for edition, status in ((2020, "fail"), (2023, "pass")):
        dated = edited(wall, ("[site]\n", f"[site]\ncode_edition = {edition}\n"))
        assert verdicts(dated)["rapid shutdown"].status == status
        assert f"{edition}" in verdicts(dated)["rapid shutdown"].reason.text("US")
    dated = edited(wall, ("[site]\n", "[site]\ncode_edition = 2020\n"))
    assert applied(dated, verdicts(dated)["rapid shutdown"]) == "pass"
    # On a roof the modules themselves must go dead, elsewhere the wires into the house: NEC
    # 690.12(B) (from memory).
    for place, means in (("ground", "a switch outside"), ("roof", "switches at the modules")):
        placed = edited(dated, ('place = "ground"', f'place = "{place}"'))
        (remedy,) = [each.remedy for key, each in verdicts(placed).items()
                     if key == "rapid shutdown"]  # fmt: skip
        assert remedy.text("US").startswith(means), place


def test_wires_in_metal_are_a_claim_that_the_sheet_proves() -> None:
    text = edited(
        PUMP_ON_SUN,
        ("arc_fault_protection = true", "arc_fault_protection = false"),
        ("[site]\n", "[site]\ncode_edition = 2020\n"),
    )
    found = verdicts(text)["arc fault"]
    assert (found.status, found.claims) == ("pass", ("array[1].enclosed",))
