"""Drop pipe and lateral: the narrowest that is wide enough, of the least class that does."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Literal

from wellsolar import kinds
from wellsolar.constants import BAR, INCH, PSI
from wellsolar.data import pipes
from wellsolar.data.pipes import PipeSize, PressureClass
from wellsolar.physics.hydraulics import pipe
from wellsolar.studies.house.chain import lateral_name
from wellsolar.studies.pump.shut_off import DEEP, LATERAL_PIPE, PIPE
from wellsolar.studies.pump.verdicts import VELOCITY
from wellsolar.studies.sizing.draft import Draft
from wellsolar.studies.sizing.search import Candidate, Choice, Sized, first_listed, smallest
from wellsolar.units import System, read, show
from wellsolar.verdicts import Change, set_to

Run = Literal["drop_pipe", "lateral"]

RUNS: tuple[Run, ...] = ("drop_pipe", "lateral")

PARTS: dict[Run, str] = {"drop_pipe": "drop pipe", "lateral": "lateral pipe"}
"""What both are called on the list."""

MATERIALS: dict[System, dict[Run, tuple[str, ...]]] = {
    "US": {
        "drop_pipe": ("polyethylene SIDR", "PVC sch 80", "galvanised steel"),
        "lateral": ("polyethylene SIDR", "PVC sch 40", "galvanised steel"),
    },
    "SI": {
        "drop_pipe": ("polyethylene PE100", "galvanised steel EN 10255"),
        "lateral": ("polyethylene PE100", "galvanised steel EN 10255"),
    },
}
"""What the trade hangs pumps on and lays to the house, the lightest first: common practice."""

NARROWEST = 0.018
"""Bore of the narrowest pipe that is used at a well, 3/4 in or 25 mm [m]: common practice."""

DIAMETERS = 3
"""Diameters wide enough that are tried of a material: in wider ones the class is no better."""

LEAST: dict[System, dict[Run, tuple[float, str]]] = {
    "US": {
        "drop_pipe": (160.0 * PSI, "160 psi, usual"),
        "lateral": (160.0 * PSI, "160 psi, IPC 605.3"),
    },
    "SI": {"drop_pipe": (10.0 * BAR, "PN 10, usual"), "lateral": (10.0 * BAR, "PN 10, usual")},
}
"""Least class that is hung in a well or laid to a house [Pa], and by what: between well and house
International Plumbing Code 605.3, from memory; the others common practice, no source. A weaker one
may bear the pressure, but neither handling nor a surge."""

USED, BY_OUTLET = "the narrowest that is used", "the pump's outlet"
"""What holds the least size of a pipe: at any well, and of the drop pipe on a pump whose outlet is
told."""

OF_OUTLET = 0.9
"""Part of an outlet that the bore of a pipe of the same nominal size has at least: by the table of
bores, of which the next smaller size has less."""

Rest = Callable[[Sequence[Change]], tuple[Change, ...]]
"""Changes with what follows from them, such as the duty of a pump that is not chosen."""


def widest() -> Change:
    """A lateral of the material that is taken where a file names none, so wide that it binds
    nothing."""
    return set_to("piping.lateral.size", "3 in")


def pipe_of(draft: Draft, run: Run, number: int, flow: float, rest: Rest) -> Draft:
    """The draft with a pipe of which the file does not tell material and size.

    Parameters:
        draft: with the pump
        run: which pipe
        number: place of the pump, from 1
        flow: that the pipe carries [m3/s]
        rest: adds what follows from a pipe
    Returns:
        the draft with the pipe; of what the file tells of it, that is kept
    """
    key = f"piping.{run}"
    if draft.says(f"{key}.size"):
        return _class_of(draft, run, number, rest)
    told = draft.part.file.tables.get("piping", {}).get(run, {}).get("material")
    draft, listed = _listed(draft, run, number, rest, told)
    if listed:
        of_stock = first_listed(draft.case, _choice(draft, run, number, listed), listed)
        if of_stock.passes:
            return draft.chosen(of_stock)
        draft = draft.refusing(PARTS[run], {**_refused(draft, run), **of_stock.refused})
    materials = MATERIALS[draft.system][run] if told is None else (str(told),)
    sized: Sized | None = None
    for material in materials:
        candidates = [
            Candidate(label, rest(changes)) for label, changes in _sold(draft, run, material, flow)
        ]
        if not candidates:
            continue
        of_material = smallest(draft.case, _choice(draft, run, number, candidates, material))
        sized = of_material if sized is None or of_material.passes else sized
        if of_material.passes:
            break
    return draft if sized is None else draft.chosen(sized)


def _class_of(draft: Draft, run: Run, number: int, rest: Rest) -> Draft:
    """The class of a pipe whose size is told and whose class is open."""
    key = f"piping.{run}"
    own = getattr(draft.case.site.piping, run)
    in_well = run == "drop_pipe"
    made_in = pipes.pressure_classes(own.material, own.size, in_well)
    if draft.says(f"{key}.pressure_class") or len(made_in) < 2:
        return draft
    candidates = [
        Candidate(
            _class_label(own.size, pressure_class, draft.system),
            rest([_printed(key, pressure_class)]),
        )
        for pressure_class in _laid(made_in, run, draft.system) or made_in[-1:]
    ]
    sized = smallest(draft.case, _choice(draft, run, number, candidates, own.material))
    return draft.chosen(sized) if sized.passes else draft


def _choice(
    draft: Draft, run: Run, number: int, candidates: Sequence[Candidate], material: str = ""
) -> Choice:
    site = draft.case.site
    name = site.pump[number - 1].name
    bears = (PIPE, DEEP) if run == "drop_pipe" else (LATERAL_PIPE,)
    # Only polyethylene is made in classes weaker than the least.
    by_class = material.startswith("polyethylene") or (not material and run == "lateral")
    least = LEAST[draft.system][run][1] if by_class else USED
    if run == "drop_pipe" and _narrowest(draft, run) > NARROWEST:
        least = BY_OUTLET
    return draft.in_any_season(Choice(
        PARTS[run], candidates, ("pumps",), (VELOCITY, *bears),
        subjects=[name, lateral_name(site)], least=least,
    ))  # fmt: skip


def _narrowest(draft: Draft, run: Run) -> float:
    """The least bore of a pipe [m]: no drop pipe is narrower than its pump's outlet, common
    practice."""
    outlet = draft.outlet if run == "drop_pipe" else None
    return max(NARROWEST, OF_OUTLET * (outlet or 0.0))


def _refused(draft: Draft, run: Run) -> Mapping[str, str]:
    return draft.refused.get(PARTS[run], {})


def _listed(
    draft: Draft, run: Run, number: int, rest: Rest, size_told: object
) -> tuple[Draft, list[Candidate]]:
    """Pipes of the user's own, those first of which there is enough for the run; the draft tells
    which are too narrow or too weak for any run.

    Parameters:
        draft, run, number, rest: as of `pipe_of`
        told: the material that the file tells, None for any
    Returns:
        the draft, and what could be chosen
    """
    site = draft.case.site
    lengths = {
        "drop_pipe": float(site.pump[number - 1].intake_depth or 0.0),
        "lateral": float(site.piping.lateral.length or 0.0),
    }
    other = next(run_name for run_name in RUNS if run_name != run)
    taken = next(
        (sized.candidate.label for sized in draft.sized if sized.part == PARTS[other]), ""
    )
    listed: list[Candidate] = []
    refused: dict[str, str] = {}
    for item in draft.stock.of("pipe", wanted=lengths[run]):
        values = {key: str(value) for key, value in item.values.items()}
        # A coil of which the other pipe is cut has to do for both.
        wanted = lengths[run] + (lengths[other] if taken == item.called(lengths[other]) else 0.0)
        label, short = item.called(wanted), _too_small(draft, run, values)
        if short:
            refused[label] = short
        elif size_told in (None, values["material"]):
            listed.append(Candidate(label, rest(item.changes(f"piping.{run}"))))
    return draft.refusing(PARTS[run], refused), listed


def _too_small(draft: Draft, run: Run, values: Mapping[str, str]) -> str:
    """What holds a pipe of the stock that is too narrow or too weak for any run; else empty."""
    size = pipes.pipe_size(values["material"], values["size"])
    bore = float(read(values["bore"], kinds.BORE)) if "bore" in values else size.bore
    if bore < _narrowest(draft, run):
        return USED if bore < NARROWEST else BY_OUTLET
    classes = pipes.pressure_classes(values["material"], values["size"], run == "drop_pipe")
    bears = [pressure_class.pressure for pressure_class in classes]
    if "pressure_class" in values:
        bears = [float(read(values["pressure_class"], kinds.PRESSURE))]
    least, by = LEAST[draft.system][run]
    return by if min(bears, default=least) < least * 0.99 else ""


def _sold(
    draft: Draft, run: Run, material: str, flow: float
) -> Iterator[tuple[str, list[Change]]]:
    """Pipes of a material from narrow to wide, each from its weakest class up; of those too narrow
    by the water's velocity the widest alone, as the next smaller."""
    least = _narrowest(draft, run)
    system, named = draft.system, "in" if material in _IN_INCHES else "DN"
    listed = [pipes.pipe_size(material, size) for size in pipes.sizes(material)]
    alike = [
        pipe_size
        for size in listed
        for pipe_size in pipes.named_alike(material, size)
        if pipe_size.series[0] in ("in", "mm") or named == "DN"
    ]
    sizes = {pipe_size.nominal: pipe_size for pipe_size in alike if pipe_size.bore >= least}
    groups: dict[str, list[PipeSize]] = {}
    for size in sorted(sizes.values(), key=lambda size: (_measure(size.diameter), -size.bore)):
        if "PN" not in size.wall:
            groups.setdefault(size.diameter, []).append(size)
    wide = [
        name for name, group in groups.items()
        if pipe.velocity(flow, group[0].bore) <= draft.case.site.limits.velocity
    ]  # fmt: skip
    names = [*groups]
    begin = names.index(wide[0]) if wide else len(names)
    if begin > 0:
        yield from _classes(run, groups[names[begin - 1]][:1], system, last=True)
    for name in wide[:DIAMETERS]:
        yield from _classes(run, groups[name], system)


_IN_INCHES = ("polyethylene SIDR", "PVC sch 40", "PVC sch 80", "galvanised steel",
              "copper K", "copper L", "copper M", "polyethylene PE3608",
              "polyethylene PE4710")  # fmt: skip


def _classes(
    run: Run, group: Sequence[PipeSize], system: System, last: bool = False
) -> Iterator[tuple[str, list[Change]]]:
    key = f"piping.{run}"
    for size in group:
        changes = [set_to(f"{key}.material", size.material), set_to(f"{key}.size", size.nominal)]
        size_name = f"{size.nominal} {size.material}"
        made_in = pipes.pressure_classes(size.material, size.nominal, run == "drop_pipe")
        classes = _laid(made_in, run, system)
        if len(made_in) < 2:
            if classes or not made_in or size is group[-1]:
                yield size_name, changes
            continue
        # Of a pipe that is made in weak classes alone, the strongest.
        classes = classes or made_in[-1:]
        for pressure_class in classes[-1:] if last else classes:
            yield (
                _class_label(size_name, pressure_class, system),
                [*changes, _printed(key, pressure_class)],
            )


def _laid(classes: Sequence[PressureClass], run: Run, system: System) -> Sequence[PressureClass]:
    """Those of a pipe's classes that are hung in a well or laid to a house."""
    least = LEAST[system][run][0] * 0.99
    return [pressure_class for pressure_class in classes if pressure_class.pressure >= least]


def _class_label(size_name: str, pressure_class: PressureClass, system: System) -> str:
    return f"{size_name}, {show(pressure_class.pressure, kinds.PRESSURE, system)}"


def _printed(key: str, pressure_class: PressureClass) -> Change:
    return set_to(f"{key}.pressure_class", f"{round(pressure_class.pressure / PSI)} psi")


def _measure(diameter: str) -> float:
    """A nominal diameter as a number to sort by: "1 1/4 in", "32 mm" or "DN 25"."""
    if not diameter.endswith("in"):
        return float(re.sub(r"[^0-9.]", "", diameter))
    whole = 0.0
    for part in diameter.removesuffix("in").split():
        over, _, under = part.partition("/")
        whole += float(over) / float(under or 1.0)
    return whole * INCH * 1e3
