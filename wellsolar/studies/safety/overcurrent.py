"""Whether a group of modules needs fuses, and whether those that it has are of the right size."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.studies.array.circuit import FEWEST_FUSED, WiredGroup
from wellsolar.studies.array.cold_voltage import open_in_the_cold
from wellsolar.units import Quantity
from wellsolar.verdicts import (
    Change,
    Place,
    Remedy,
    Rule,
    Sentence,
    Verdict,
    at_least,
    at_most,
    remedy,
    say,
    set_to,
)

OVERCURRENT = Rule(
    "pv overcurrent",
    "is a fuse or breaker needed, and is it of the right size?",
    "none where wires and modules bear all that other rows and what stands behind can feed into a "
    "fault, else a fuse in each row, no more than the modules' label allows; what is fitted at "
    "least 1.25 x 1.25 x short-circuit current, and no more than the wire allows where a source "
    "could burn it",
    "pv overcurrent",
    safety=True,
    by="electrician",
    place=Place(section="circuit_guards"),
)


def overcurrent_verdict(at: WiredGroup) -> Verdict:
    """Whether a group's wires and modules are safe from what is fed into a fault."""
    verdicts = [judge(at) for judge in (_wrong_size, _rows_bear_it, _wire_bears_it)]
    judged = [verdict for verdict in verdicts if verdict is not None]
    fails = [verdict for verdict in judged if verdict.status == "fail"]
    return next(iter([*fails, *judged]), None) or _fine(at)


def _wrong_size(at: WiredGroup) -> Verdict | None:
    """A fuse or breaker too small for bright sun, or too large for the modules' label."""
    circuit, group, label = at.circuit, at.group, at.module.series_fuse
    row = _amperes(circuit.row_current * circuit.conductor_current / circuit.current)
    for device, needed in (
        (group.overcurrent, _amperes(circuit.conductor_current)),
        (group.string_fuse, row),
    ):
        if device is not None and not at_least(device, needed):
            reason = say(
                "{device} is less than the {asked} required: bright sun fatigues it until it "
                "opens",
                device=device,
                asked=needed,
            )
            return _device(at, reason, device, needed)
    fuse = group.string_fuse
    if fuse is not None and label is not None and not at_most(fuse, label):
        reason = say(
            "{fuse} in each row is more than the {label} that the modules' label allows: a module "
            "burns first",
            fuse=fuse,
            label=label,
        )
        return _device(at, reason, fuse, label)
    return None


def _rows_bear_it(at: WiredGroup) -> Verdict | None:
    """Whether a faulty row bears what is fed into it; None where it does."""
    group, circuit, label = at.group, at.circuit, at.module.series_fuse
    if group.string_fuse is not None:
        return None
    behind = _behind(at)
    if behind is None:
        return _unknown_behind(at)
    rows = circuit.parallel
    fed = _amperes((rows - 1) * circuit.row_current + behind)
    bears = _amperes(circuit.row_current) if label is None else label
    if at_most(fed, bears):
        return None
    if label is None and rows < FEWEST_FUSED:
        return OVERCURRENT.unknown(
            group.name, "module.series_fuse", f"{at.path}.string_fuse",
            why="what stands behind the modules can feed a fault in them",
        )  # fmt: skip
    source = "all the others feed" if behind == 0.0 else "the others and what stands behind feed"
    template = f"{{rows}} rows side by side and no fuse in each: {source} {{fed}} into a fault in "
    template += "one"
    parts: dict[str, Quantity | str] = {"rows": f"{rows}", "fed": fed}
    if rows == 1:
        template = "no fuse in the row: what stands behind feeds {fed} into a fault in it"
    if label is not None:
        template += ", and a module's label allows {label}"
        parts["label"] = label
    return _device(at, say(template, **parts), None, None)


def _wire_bears_it(at: WiredGroup) -> Verdict | None:
    """Whether the wire bears what can be driven through it; None where it does."""
    group, circuit = at.group, at.circuit
    bears, most = circuit.ampacity, circuit.overcurrent_most
    if bears is None or most is None:
        return None
    device = group.overcurrent
    if device is not None and at_most(device, most):
        return None
    behind = _back(at)
    if behind is None:
        return _unknown_behind(at)
    own = 0.0 if device is None else circuit.current
    drives = _amperes(max(behind, own))
    if at_most(drives, bears):
        return None
    allowed = _amperes(most)
    if device is None:
        reason = say(
            "no fuse or breaker, and what stands behind drives {drives} into a fault in a wire "
            "that bears {bears}: it burns",
            drives=drives,
            bears=_amperes(bears),
        )
    else:
        reason = say(
            "{device} is more than the {allowed} allowed for its wire: the wire burns first",
            device=device,
            allowed=allowed,
        )
    return _device(at, reason, device, allowed)


def _fine(at: WiredGroup) -> Verdict:
    """Nothing is needed, or what is there does."""
    group, circuit = at.group, at.circuit
    asked = _amperes(circuit.conductor_current)
    parts: dict[str, Quantity | str] = {"asked": asked}
    if group.overcurrent is None and group.string_fuse is None:
        rows = circuit.parallel
        how = "one row of modules" if rows == 1 else f"{rows} rows of modules"
        behind = _back(at) or 0.0
        others = "no other source" if behind == 0.0 else "{behind} from what stands behind"
        if behind > 0.0:
            parts["behind"] = _amperes(behind)
        reason = say(
            f"{how} and {others}: wires sized for {{asked}} carry whatever they can drive, so no "
            "fuse is required" + (", and one would not blow" if rows == 1 and not behind else ""),
            **parts,
        )
        return OVERCURRENT.verdict("pass", group.name, reason)
    texts: list[str] = []
    shown: Quantity | None = None
    most = circuit.overcurrent_most
    if group.overcurrent is not None:
        shown = group.overcurrent
        parts["device"] = group.overcurrent
        words = "{device} is at least the {asked} required"
        if most is not None and at_most(group.overcurrent, most):
            words += " and no more than its wire allows"
        elif circuit.ampacity is not None:
            words += "; nothing here drives more than its wire carries, so that it would not blow"
        texts.append(words)
    if group.string_fuse is not None:
        parts["fuse"] = group.string_fuse
        each = "the row" if circuit.parallel == 1 else f"each of the {circuit.parallel} rows"
        texts.append(f"{each} has a fuse of {{fuse}}")
    return OVERCURRENT.verdict(
        "pass", group.name, say("; ".join(texts), **parts), quantity=shown,
        limit=None if shown is None else asked,
    )  # fmt: skip


def _back(at: WiredGroup) -> float | None:
    """What stands behind can drive back [A]; None where the file does not tell.

    An element and a pump's drive on modules alone are no sources.
    """
    quantity = at.group.backfeed
    if quantity is None and at.group.feeds in ("heater", "pump"):
        return 0.0
    return None if quantity is None else float(quantity)


def _behind(at: WiredGroup) -> float | None:
    """The same through the fuse or breaker in the common wire [A]."""
    back, device = _back(at), at.group.overcurrent
    if device is None:
        return back
    return float(device) if back is None else min(back, float(device))


def _unknown_behind(at: WiredGroup) -> Verdict:
    """That nobody knows what stands behind can drive back."""
    why = "what the controller or inverter behind the modules can drive back is not given"
    return OVERCURRENT.unknown(at.group.name, f"{at.path}.backfeed", why=why)


def _device(
    at: WiredGroup, reason: Sentence, label: Quantity | None, limit: Quantity | None
) -> Verdict:
    """The verdict that there is none, or one of a wrong size."""
    return OVERCURRENT.verdict(
        "fail", at.group.name, reason, quantity=label, limit=limit, remedy=_right_devices(at)
    )


def _right_devices(at: WiredGroup) -> Remedy:
    """The devices that are needed, with what goes with them."""
    group, circuit, label = at.group, at.circuit, at.module.series_fuse
    size, most, row = circuit.overcurrent_asked, circuit.overcurrent_most, circuit.row_fuse
    if size is None or row is None:
        return remedy(
            "fewer rows side by side: no device of the code's table is large enough",
            "how many rows go together hangs on the whole design",
        )
    if label is not None and row > label:
        return remedy(
            "another module: its label allows less than bright sun drives",
            "another module is another sheet",
        )
    whole = group.overcurrent is not None or _back(at) != 0.0
    rows = circuit.parallel >= FEWEST_FUSED or group.string_fuse is not None
    rows = rows or (circuit.parallel > 1 and _back(at) != 0.0) or not whole
    ways: list[str] = []
    changes: list[Change] = []
    parts: dict[str, Quantity | str] = {"volts": open_in_the_cold(circuit)}
    if whole:
        ways.append("a fuse or breaker of {size}")
        changes.append(set_to(f"{at.path}.overcurrent", _amperes(size)))
        parts["size"] = _amperes(size)
    if rows:
        many = circuit.parallel > 1
        ways.append(("one of {fuse} in each of the {rows} rows" if many else "one of {fuse} in "
                     "the row") + ", no more than the modules' label allows")  # fmt: skip
        changes.append(set_to(f"{at.path}.string_fuse", _amperes(row)))
        parts |= {"fuse": _amperes(row), "rows": f"{circuit.parallel}"}
    template = " and ".join(ways) + ", made for {volts:up} of direct current"
    wire = at.wire
    if whole and most is not None and size > most and wire is not None:
        if wire.smallest_gauge is None:
            template += ", on thicker wire than the table has"
        else:
            template += ", on wire of {gauge}"
            parts["gauge"] = wire.smallest_gauge
            changes.append(set_to(f"{at.path}.cable.gauge", wire.smallest_gauge))
    if not whole:
        template = template.replace("one of {fuse}", "a fuse of {fuse}", 1)
    return remedy(template, changes, **parts)


def _amperes(value: float) -> Quantity:
    """A current as a quantity [A]."""
    return Quantity(value, kinds.CURRENT)
