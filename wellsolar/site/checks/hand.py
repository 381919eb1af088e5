"""What cannot be in the hand pump and in the other lifts of a file."""

from __future__ import annotations

from itertools import pairwise
from types import SimpleNamespace
from typing import Any

from wellsolar.site.checks.words import (
    Mistakes,
    as_given,
    count,
    in_the_well,
    known,
    list_given,
    names_a_well,
    same_names,
    well_of,
)
from wellsolar.site.locate import Path
from wellsolar.units import item_written
from wellsolar.wording import quoted


def hand_pump(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the sizes and the place of the hand pump."""
    hand = site.hand_pump
    if hand is None:
        return
    yield from names_a_well(site, ("hand_pump",), hand)
    if hand.well is not None and hand.delivers not in (None, "spout") and hand.line is None:
        yield (
            ("hand_pump",),
            f"stands on {quoted(hand.well)} and has no line to its tank: that of [piping] leads "
            "from [well], so give [hand_pump.line] its own material, size and length",
        )
    well = well_of(site, hand)
    if well is None:
        return
    if hand.delivers == "storage tank" and site.storage_tank is None:
        yield (
            ("hand_pump", "delivers"),
            '"storage tank" wants [storage_tank] with its volume: the file has none',
        )
    if hand.line is not None and hand.delivers is None:
        yield (
            ("hand_pump", "line"),
            'leads from the pump to a tank: say which by delivers = "pressure tank" or '
            '"storage tank"',
        )
    if hand.kind != "suction":
        yield from in_the_well(well, ("hand_pump", "cylinder_depth"), hand.cylinder_depth)
        if known(hand.bore, well.casing_bore) and hand.bore >= well.casing_bore:
            yield (
                ("hand_pump", "bore"),
                f"{as_given(hand.bore)} does not pass the casing ({as_given(well.casing_bore)})",
            )
        if known(hand.bore, hand.cylinder_diameter) and hand.cylinder_diameter <= hand.bore:
            yield (
                ("hand_pump", "cylinder_diameter"),
                f"{as_given(hand.cylinder_diameter)} is the outside of a cylinder whose bore is "
                f"{as_given(hand.bore)}: it must be more",
            )
    if known(hand.rod_diameter, hand.bore) and hand.rod_diameter >= hand.bore:
        yield (
            ("hand_pump", "rod_diameter"),
            f"{as_given(hand.rod_diameter)} does not pass the cylinder, whose bore is "
            f"{as_given(hand.bore)}",
        )


def discharge_table(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the maker's discharge table of the hand pump."""
    hand = site.hand_pump
    if hand is None:
        return
    lists = {
        name: getattr(hand, name)
        for name in ("discharge_head", "discharge_flow", "discharge_power")
    }
    for name, other in (
        ("discharge_flow", "discharge_head"),
        ("discharge_head", "discharge_flow"),
        ("discharge_power", "discharge_head"),
    ):
        if lists[name] is not None and lists[other] is None:
            yield (("hand_pump", name), f"stands without {other}: give both lists of the table")
    yield from _points(("hand_pump",), "discharge_", *lists.values())


def lifts(site: SimpleNamespace) -> Mistakes:
    """Mistakes in the other lifts."""
    yield from same_names("lift", site.lift)
    for index, lift in enumerate(site.lift):
        path: Path = ("lift", index)
        yield from _points(path, "", lift.head, lift.flow, lift.power)
        if known(lift.power, lift.efficiency):
            yield (
                (*path, "efficiency"),
                f"{as_given(lift.efficiency)} says again what power says "
                f"({list_given(lift.power)}): give one of the two",
            )
        if known(lift.greatest_head, lift.head) and lift.greatest_head < lift.head[-1]:
            yield (
                (*path, "greatest_head"),
                f"{as_given(lift.greatest_head)} is less than the last head at which it gives "
                f"water ({item_written(lift.head, len(lift.head) - 1)})",
            )


def _points(path: Path, begin: str, head: Any, flow: Any, power: Any) -> Mistakes:
    """Mistakes in a table of flows by head."""
    if head is not None and (
        head[0] <= 0 or any(after <= before for before, after in pairwise(head))
    ):
        yield (
            (*path, f"{begin}head"),
            f"{list_given(head)}: each head must be more than the one before, and the first more "
            "than zero",
        )
    if flow is not None and min(flow) <= 0:
        yield ((*path, f"{begin}flow"), f"{list_given(flow)}: a flow must be more than zero")
    if known(head, flow) and len(head) != len(flow):
        yield (
            (*path, f"{begin}flow"),
            f"has {count(flow, 'value')}, {begin}head has {len(head)}: one flow for each head",
        )
    if known(head, power) and len(power) not in (1, len(head)):
        yield (
            (*path, f"{begin}power"),
            f"has {count(power, 'value')}, {begin}head has {len(head)}: one power for all, or one "
            "for each head",
        )
