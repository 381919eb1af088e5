"""Ground fault, arc fault and rapid shutdown of a group of modules: what each edition of the
electrical code asks, and what it excepts.

Where the file leaves open what an edition turns on, every possibility is judged. They agree, or
the verdict is unknown and names the keys on which they differ.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from typing import Literal, NamedTuple, get_args

from wellsolar import kinds
from wellsolar.site.schema import ArrayTable, CodeEdition, Grounding, Place, Reaches, Site
from wellsolar.studies.array.circuit import WiredGroup
from wellsolar.studies.array.cold_voltage import hangs_on_the_cold, open_in_the_cold
from wellsolar.units import Quantity
from wellsolar.verdicts import Place as InReport
from wellsolar.verdicts import Remedy, Rule, Verdict, remedy, say, set_to

ARC_VOLTAGE = 80.0
"""Direct voltage from which arc-fault protection is asked [V]; NEC 690.11 (second hand)."""

SMALL_VOLTAGE, SMALL_CURRENT = 30.0, 8.0
"""Of a circuit that neither exceeds no ground-fault protection is asked [V, A]; NEC (2023)
690.41(B), second hand, and (2020) from memory."""

FEW_ROWS = 2
"""Source circuits up to which an array clear of buildings may do without; NEC (2017) 690.41(B)."""

GROUND_FAULT = Rule(
    "ground fault",
    "is a fault to ground found and broken?",
    "ground-fault protection for direct current, but for what the edition in force excepts clear "
    "of buildings",
    "ground fault",
    safety=True,
    by="electrician",
    place=InReport(section="circuit_guards"),
    claims=("ground_fault_protection",),
)

ARC_FAULT = Rule(
    "arc fault",
    "is an arc in the wiring found and put out?",
    "listed arc-fault protection for direct current of 80 V or more, but for what the edition in "
    "force excepts",
    "arc fault",
    safety=True,
    by="electrician",
    place=InReport(section="circuit_guards"),
    claims=("arc_fault_protection", "enclosed"),
)

SHUTDOWN = Rule(
    "rapid shutdown",
    "can firefighters make the wires in the house dead?",
    "rapid shutdown of an array's circuits on or in a building, but for what the edition in force "
    "excepts",
    "rapid shutdown",
    safety=True,
    by="electrician",
    place=InReport(section="circuit_guards"),
    claims=("rapid_shutdown",),
)


class Laid(NamedTuple):
    """How a group is laid out, and the edition in force: values of keys that the file may leave
    open, in the order in which they are asked for."""

    reaches: Reaches
    place: Place
    grounding: Grounding
    enclosed: bool
    edition: CodeEdition

    @property
    def on_a_building(self) -> bool:
        """True where its direct current runs on or in one."""
        return self.place == "roof" or self.reaches != "no building"


@dataclass(frozen=True)
class Duty:
    """What an edition asks.

    asked: whether it asks the protection; read: whether its words were read, or quoted alike of
        every edition; because: why, as a clause
    claims: flags of the file that it takes on trust
    """

    asked: bool
    read: bool
    because: str
    claims: tuple[str, ...] = ()

    @property
    def status(self) -> Literal["pass", "caution", "fail"]:
        """Without the protection: what was not read fails nothing."""
        if self.asked:
            return "fail" if self.read else "caution"
        return "pass" if self.read else "caution"


ON_A_BUILDING = "the circuit runs on or in a building"
UNSETTLED = "whether an open structure counts as a building, an inspector settles"
CLEAR = "its wires touch no building"


def ground_fault_duty(laid: Laid, rows: int, volts: float, amperes: float) -> Duty:
    """NEC (2014) 690.5, later 690.41(B).

    Parameters:
        rows: in parallel
        volts: open in the cold [V]
        amperes: 1.25 x its short-circuit current [A]
    """
    small = volts <= SMALL_VOLTAGE and amperes <= SMALL_CURRENT
    if small and laid.edition >= 2020:
        return Duty(False, laid.edition == 2023, "it exceeds neither 30 V nor 8 A")
    if laid.on_a_building:
        return Duty(True, True, ON_A_BUILDING)
    if laid.place == "open structure":
        return Duty(True, False, UNSETTLED)
    few = rows <= FEW_ROWS
    if laid.edition == 2014:
        because = f"it has {'two rows or fewer' if few else 'three rows or more'}, and {CLEAR}"
        return Duty(not few, few, because)
    excepted = few and laid.grounding == "solid"
    if excepted:
        because = f"it has two rows or fewer, solidly grounded, and {CLEAR}"
    else:
        because = (
            "clear of buildings only two rows or fewer, solidly grounded, may do without (as the "
            "edition of 2017 has it)"
        )
    return Duty(not excepted, laid.edition == 2017 or excepted, because)


def arc_fault_duty(laid: Laid) -> Duty:
    """NEC 690.11, of 80 V or more: no edition's words were read."""
    arcs = "an arc at 80 V or more does not go out by itself"
    if laid.edition == 2014 or not laid.enclosed or laid.place == "roof":
        return Duty(True, False, arcs)
    trusted = ("enclosed",)
    if laid.reaches == "no building" and laid.place == "ground":
        return Duty(False, True, f"{CLEAR} and lie in the ground or in metal", trusted)
    if laid.edition >= 2020 and laid.reaches in ("no building", "equipment building"):
        because = "structures for such equipment alone, wires in the ground or in metal, are "
        return Duty(False, False, because + "excepted as far as is known from memory", trusted)
    return Duty(True, False, arcs)


def shutdown_duty(laid: Laid) -> Duty:
    """NEC 690.12."""
    latest = laid.edition == 2023
    if laid.place == "roof":
        return Duty(True, True, "the modules are on a building")
    if laid.reaches == "no building":
        if laid.place == "ground":
            return Duty(False, True, CLEAR)
        return Duty(not latest, latest, "it stands on an open structure" if latest else UNSETTLED)
    if laid.reaches == "outside wall" and latest:
        return Duty(False, True, "its wires end on the outside of the building")
    if laid.reaches == "equipment building" and laid.place == "ground" and laid.edition != 2014:
        because = "they enter a building for such equipment alone"
        return Duty(False, latest, because if latest else f"{because}: excepted from memory")
    return Duty(True, True, "the modules stand clear, and their wires run on or in a building")


def guard_verdicts(site: Site, at: WiredGroup) -> list[Verdict]:
    """Ground fault, arc fault and rapid shutdown."""
    return [_ground_fault(site, at), _arc_fault(site, at), _shutdown(site, at)]


def _ground_fault(site: Site, at: WiredGroup) -> Verdict:
    """Whether something opens the circuit on a fault to ground."""
    sizes = at.group.parallel, float(open_in_the_cold(at.circuit)), at.circuit.current
    how = remedy(
        "ground-fault protection made for direct current, settled with the local inspector",
        [set_to(f"{at.path}.ground_fault_protection", True)],
    )
    return _judged(
        GROUND_FAULT, site, at, "ground_fault_protection", ground_fault_duty, how, *sizes
    )


def _arc_fault(site: Site, at: WiredGroup) -> Verdict:
    """Whether the array has arc-fault protection, or a voltage too low to need it."""
    group, volts, key = at.group, open_in_the_cold(at.circuit), "arc_fault_protection"
    least = Quantity(ARC_VOLTAGE, kinds.VOLTAGE)
    if volts < ARC_VOLTAGE:
        reason = say(
            "it stays below {least}, from which protection is required: {volts} at most",
            least=least,
            volts=volts,
        )
        return ARC_FAULT.verdict("pass", group.name, reason)
    if group.arc_fault_protection is None and hangs_on_the_cold(at.circuit, ARC_VOLTAGE - 1e-9):
        return ARC_FAULT.unknown(group.name, f"{at.path}.{key}", "sun.record_low")
    how = remedy(
        "listed arc-fault protection made for direct current, settled with the local inspector",
        [set_to(f"{at.path}.{key}", True)],
    )
    return _judged(ARC_FAULT, site, at, key, arc_fault_duty, how)


def _shutdown(site: Site, at: WiredGroup) -> Verdict:
    """Whether the array has rapid shutdown."""
    means = "a switch outside, where the wires enter"
    if at.group.place == "roof":
        means = "switches at the modules"
    how = remedy(
        "{means}, settled with the local inspector",
        [set_to(f"{at.path}.rapid_shutdown", True)],
        means=means,
    )
    return _judged(SHUTDOWN, site, at, "rapid_shutdown", shutdown_duty, how)


def _judged(
    rule: Rule,
    site: Site,
    at: WiredGroup,
    flag: str,
    duty: Callable[..., Duty],
    how: Remedy,
    *sizes: float,
) -> Verdict:
    """Whether a group has a protection, or may do without it in every way that the file leaves
    open; `sizes` are what the duty asks besides."""
    name, key, there = at.group.name, f"{at.path}.{flag}", getattr(at.group, flag)
    if there:
        return rule.verdict("pass", name, say("the array has it"), claims=[key])
    first, states, turns = _outcomes(duty, sizes, tuple(_possible(site, at.group).values()))
    open_to = [_key(at, axis) for axis in turns]
    if there is None and states != {"pass"}:
        return rule.unknown(name, key, *open_to[:1])
    if len(states) > 1:
        why = "there is none, and what the electrical code asks turns on how it is laid out"
        return rule.unknown(name, *open_to[:2], why=why)
    edition = site.site.code_edition
    code = "the electrical code" if edition is None else f"the electrical code of {edition}"
    words = "there is none, and {because}; {code} asks it"
    if not first.asked:
        words = "{code} asks none: {because}" if there is None else (
            "there is none, and {code} asks none: {because}")  # fmt: skip
    reason = say(words, because=first.because, code=code)
    trusted = [f"{at.path}.{claim}" for claim in first.claims] if first.status == "pass" else []
    return rule.verdict(first.status, name, reason, remedy=how, claims=trusted)


@lru_cache(maxsize=256)
def _outcomes(
    duty: Callable[..., Duty], sizes: tuple[float, ...], possible: tuple[tuple[object, ...], ...]
) -> tuple[Duty, frozenset[str], tuple[str, ...]]:
    """Of every way in which a group may be laid out the first, how all of them stand, and the
    things on which that turns."""
    duties = {laid: duty(laid, *sizes) for laid in map(Laid._make, product(*possible))}
    states = frozenset(duty.status for duty in duties.values())
    turns = Laid._fields if len(states) > 1 else ()
    first = next(iter(duties.values()))
    return first, states, tuple(axis for axis in turns if _turns(duties, axis))


def _possible(site: Site, group: ArrayTable) -> dict[str, tuple[object, ...]]:
    """For each thing that editions turn on what it may be; of what feeds anything but a pump the
    wires are taken to enter a building where the file does not tell."""
    place, reaches = group.place, group.reaches
    enters = place == "roof" or group.feeds != "pump"
    anywhere: tuple[Reaches, ...] = ("building",) if enters else get_args(Reaches)
    edition = site.site.code_edition
    return {
        "reaches": anywhere if reaches is None else (reaches,),
        "place": get_args(Place) if place is None else (place,),
        "grounding": get_args(Grounding) if group.grounding is None else (group.grounding,),
        "enclosed": (True, False) if group.enclosed is None else (group.enclosed,),
        "edition": get_args(CodeEdition) if edition is None else (edition,),
    }


def _turns(duties: Mapping[Laid, Duty], axis: str) -> bool:
    """Whether what is asked turns on one thing, all others being equal."""
    at = Laid._fields.index(axis)
    alike: dict[tuple[object, ...], set[str]] = {}
    for laid, duty in duties.items():
        alike.setdefault((*laid[:at], *laid[at + 1 :]), set()).add(duty.status)
    return any(len(states) > 1 for states in alike.values())


def _key(at: WiredGroup, axis: str) -> str:
    """The key of the file that tells it."""
    return "site.code_edition" if axis == "edition" else f"{at.path}.{axis}"
