"""What stands on the well: the pressure that a hand pump makes against a shut valve, and whether a
lift leaves the well closed to what falls and crawls in."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from wellsolar import kinds
from wellsolar.constants import STANDARD_GRAVITY
from wellsolar.results.hand import HandPumpResult
from wellsolar.site.schema import HandPumpTable, LiftTable, Site
from wellsolar.studies.hand.lever import GREATEST_FORCE
from wellsolar.studies.house.chain import hand_goal, hangs_in_well
from wellsolar.studies.house.wells import is_here
from wellsolar.studies.pump.shut_off import Run
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.units import Quantity
from wellsolar.verdicts import Place, Remedy, Rule, Verdict, at_most, remedy, say, set_to

USUAL_PLATE = 689_476.0
"""Working pressure of a bladder tank whose plate the file does not give, 100 psi [Pa]: common
practice, no source."""

WATER = 1000.0
"""Density of water [kg/m3], near enough for a pressure by hand."""

HEAD_RELIEF = Rule(
    "relief at the hand pump",
    "does a relief valve guard the hand pump against a shut valve?",
    "a relief valve between the pump and the first valve, set above the pressure of its work and "
    "no higher than the pressure tank's plate, or what the line to a storage tank bears",
    "tank relief",
    limit_is="at most",
    safety=True,
    by="plumber",
    place=Place("well", "hand_pump"),
)

SEALED = Rule(
    "closed well",
    "does this lift leave the well closed?",
    "no bucket in a well that people drink from, and no rope pump through the sealed cap of a "
    "casing with pumps in it",
    "sanitary hand pump",
    by="driller",
    place=Place(section="lift_#"),
)

PRIMING = Rule(
    "priming",
    "does the hand pump draw without water poured in?",
    "a hand pump needs no priming: what is poured in at its top is drunk, with what is in it",
    "sanitary hand pump",
    safety=True,
    by="plumber",
    place=Place("well", "hand_pump"),
    claims=("needs_priming",),
)

OPEN_LIFTS = ("rope pump", "bucket and windlass")
"""Lifts that go in and out at the top of the well."""


def relief_verdicts(site: Site, table: HandPumpTable, result: HandPumpResult) -> list[Verdict]:
    """Whether a hand pump that presses into a tank, or up to one, has its relief valve; none for a
    pump to an open spout alone."""
    work = _work(site, table, result)
    if work is None:
        return []
    quantity = _by_hand(table, result)
    against = "hands of 400 N (90 lbf) against a shut valve make {made} at the head"
    setting = table.relief_pressure
    if setting is None:
        key = "hand_pump.relief_pressure"
        unknown = HEAD_RELIEF.unknown("hand pump", key)
        sentence = say(f"{against}: give {{key}}, or fit such a valve", made=quantity, key=key)
        return [replace(unknown, reason=sentence)]
    limit, of = work.limit, work.of
    reason = say(
        f"{against}; the relief valve opens at {{setting}}, above {work.told} of {{most}} and "
        "within {limit}, {of}",
        made=quantity, setting=setting, most=work.pressure, limit=limit, of=of,
    )  # fmt: skip
    early, late = at_most(setting, float(work.pressure)), not at_most(setting, float(limit))
    if early or late:
        template = "the relief valve opens at {setting}, "
        template += (
            f"no more than {work.told} of {{most}}: it spills {work.spills}"
            if early
            else "more than {limit}, {of}"
        )
        reason = say(template, setting=setting, most=work.pressure, limit=limit, of=of)
    guessed = late and work.guessed
    return [
        HEAD_RELIEF.verdict(
            "caution" if guessed else "fail" if early or late else "pass",
            "hand pump",
            reason,
            quantity=setting,
            limit=limit,
            remedy=_setting(site, work) if early or late else None,
        )
    ]


@dataclass(frozen=True)
class _Work:
    """What a hand pump presses against while it works, and the most that its line bears.

    told, spills: the pressure of the work and what comes of a valve that opens at it, in words
    of: what bears no more than the limit; guessed: where the file does not tell that limit
    """

    pressure: Quantity
    told: str
    spills: str
    limit: Quantity
    of: str
    guessed: bool


def _work(site: Site, table: HandPumpTable, result: HandPumpResult) -> _Work | None:
    """The work of a hand pump; None where the file names no tank's pressure for it."""
    switch, tank, inlet = site.pressure_switch, site.pressure_tank, result.duty("inlet")
    if inlet is not None:
        lift = WATER * STANDARD_GRAVITY * (inlet.head - result.pumping_level)
        pipe, key = site.piping.lateral, "piping.lateral"
        if table.line is not None:
            pipe, key = table.line, "hand_pump.line"
        run = Run(key, pipe, False, float(site.well.water_temperature), open=True)
        classes, class_is_told = run.classes, pipe.pressure_class is not None
        limit = run.bears(classes[0]) if classes else Quantity(USUAL_PLATE, kinds.PRESSURE)
        of = "what its line bears" if class_is_told else "the weakest that its line may be"
        pressure = Quantity(max(0.0, lift), kinds.PRESSURE)
        spills = "before the water is up at the tank"
        return _Work(pressure, "the height of the tank", spills, limit, of, not class_is_told)
    if hand_goal(site) != "pressure tank" or switch is None:
        return None
    plate = None if tank is None else tank.greatest_pressure
    of = "the tank's plate" if plate is not None else "a tank whose plate is not in the file"
    limit = plate or Quantity(USUAL_PLATE, kinds.PRESSURE)
    spills = "before the tank is full"
    return _Work(switch.cut_out, "the cut-out", spills, limit, of, plate is None)


def priming_verdicts(table: HandPumpTable) -> list[Verdict]:
    """Whether a hand pump above the water holds its prime; none for a pump with its cylinder in
    the water."""
    if table.kind != "suction":
        return []
    key = "hand_pump.needs_priming"
    if table.needs_priming is None:
        return [PRIMING.unknown("hand pump", key)]
    reason = "its foot valve holds the water"
    if table.needs_priming:
        reason = (
            "water is poured in at its top before it draws: only boiled or chlorinated water, "
            "until this is mended"
        )
    return [
        PRIMING.verdict(
            "fail" if table.needs_priming else "pass",
            "hand pump",
            say(reason),
            claims=[] if table.needs_priming else [key],
            remedy=remedy(
                "a foot valve that holds, with a tight cup and a closed head; or a deep-well hand "
                "pump",
                [set_to(key, False)],
            ),
        )
    ]


def _setting(site: Site, work: _Work) -> Remedy:
    """A relief valve that is sold between the pressure of the work and its limit."""
    fits = [
        size
        for size in sizes("relief valve", kinds.PRESSURE, site.site.print_units)
        if size > work.pressure and at_most(size, float(work.limit))
    ]
    if not fits:
        how = "a lower cut-out, or a tank whose plate allows more"
        if work.told != "the cut-out":
            how = "a line that bears more"
        return remedy(how, "no relief valve stands between")
    change = [set_to("hand_pump.relief_pressure", fits[0])]
    return remedy("a relief valve of {setting}", change, setting=fits[0])


def _by_hand(table: HandPumpTable, result: HandPumpResult) -> Quantity:
    """Pressure at the head that the strongest pull makes, the water at rest."""
    pull = (GREATEST_FORCE * result.people_pumping + result.counterweight) * table.lever_ratio
    eta = float(table.mechanical_efficiency)
    on_piston = max(0.0, pull - result.rod_weight) * 2.0 / (1.0 + 1.0 / eta)
    pressure = on_piston / (math.pi / 4.0 * table.bore**2)
    lifted = WATER * STANDARD_GRAVITY * result.static_level
    return Quantity(max(0.0, pressure - lifted), kinds.PRESSURE)


def sealed_verdicts(site: Site, table: LiftTable, number: int) -> list[Verdict]:
    """Whether a lift leaves the well closed; none for a lift of another kind."""
    if table.kind not in OPEN_LIFTS:
        return []
    key = f"lift[{number}].shares_casing"
    if table.shares_casing is None:
        why = f"a {table.kind} in this casing would hold its cap open"
        return [SEALED.unknown(table.name, key, why=why)]
    own = say("it stands on a well of its own")
    if table.kind == "rope pump":
        pumps = [pump for pump in site.pump if hangs_in_well(pump) and is_here(site, pump)]
        if not table.shares_casing:
            return [SEALED.verdict("pass", table.name, own)]
        hand = site.hand_pump
        shared = bool(pumps) or (hand is not None and is_here(site, hand))
        reason = "its rope and pipe go through the cap that seals the casing"
        if not shared:
            reason = "its rope and pipe keep the casing open: cover both, and drain the slab"
        return [
            SEALED.verdict(
                "fail" if shared else "caution",
                table.name,
                say(reason),
                remedy=remedy(
                    "stand it on a well of its own (shares_casing = false)", [set_to(key, False)]
                ),
            )
        ]
    reason = "each bucket carries into the well what is on hands, rope and ground"
    return [
        SEALED.verdict(
            "fail" if table.shares_casing else "caution",
            table.name,
            say(reason if table.shares_casing else f"an open well: {reason}"),
            remedy=remedy(
                "a hand pump with a closed head in its place; until then boil or chlorinate the "
                "water",
                "it is another lift, not a key of this one",
            ),
        )
    ]
