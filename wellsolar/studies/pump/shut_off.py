"""What pipes, tank and house bear of a pump that nothing stops: switch stuck or valve shut.

At no flow a pump presses with its shut-off head, from the water as high as it ever stands.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from wellsolar import kinds
from wellsolar.constants import BAR, PSI, STANDARD_GRAVITY
from wellsolar.data import pipes
from wellsolar.data.pipes import PressureClass
from wellsolar.physics.hydraulics import pressure_tank, water
from wellsolar.results.pumps import PumpResult
from wellsolar.site.schema import Pipe, PumpTable, Site
from wellsolar.studies.house import chain
from wellsolar.studies.house.wells import at_well
from wellsolar.studies.sold.pipe_sizes import STEEL, size_of, steel_like
from wellsolar.studies.sold.standard_sizes import next_down, sizes
from wellsolar.studies.well.total_head import line_for, line_of
from wellsolar.units import Quantity, System
from wellsolar.verdicts import (
    Change,
    Place,
    Remedy,
    Rule,
    Sentence,
    Verdict,
    at_least,
    at_most,
    print_alike,
    remedy,
    say,
    set_to,
)

LEAST_PLATE = 75.0 * PSI
"""The least working pressure of a pressure tank [Pa]: water systems council, second hand."""

HOUSE_LIMIT = 80.0 * PSI
"""Greatest static pressure in a house [Pa]: model plumbing codes."""

HARD_FACTS = ("read", "second hand", "computed")
"""Provenances of a class that is enough for more than a caution."""

USUAL_REDUCED = 60.0 * PSI
"""What a reducing valve is set to here, within the 25 to 75 psi of usual ones [Pa]: common
practice, no source."""

DIFFERENTIAL = 20.0 * PSI
"""Between cut-in and cut-out of a usual switch [Pa]: common practice, no source."""

TANK = "pressure tank"
GRAVITY = "storage_tank.gravity_line"

PIPE = Rule(
    "drop pipe pressure",
    "does the drop pipe bear the pump if nothing stops it?",
    "the pump's shut-off head, at its end of the drop pipe, no more than the pressure class in "
    "water of this temperature",
    "pipe classes",
    limit_is="at most",
    by="driller",
    place=Place("head", "pump_#"),
)

LATERAL_PIPE = Rule(
    "lateral pressure",
    "does the line bear the greatest pressure on it?",
    "what is left of the pump's shut-off head at the lowest point of the lateral no more than the "
    "pressure class in water of this temperature; a relief valve at the tank limits it",
    "pipe classes",
    limit_is="at most",
    by="plumber",
    place=Place("head", "pump_1"),
    worst={"well.static_level": "low", "well.specific_capacity": "high"},
)

DEEP = Rule(
    "deep setting",
    "does a pump hang this deep on such a pipe?",
    "no deeper than the trade hangs pumps on the material and its class",
    "common practice",
    limit_is="at most",
    by="driller",
    place=Place("head", "pump_#"),
)

RELIEF = Rule(
    "tank relief",
    "does the pressure tank bear the pump if nothing stops it?",
    "what the pump can press into the tank, or a relief valve that opens above the working "
    "pressure, no higher than the tank's plate; no valve between the two, and it must let the "
    "pump's flow through; local codes may ask for one whatever the pump",
    "tank relief",
    limit_is="at most",
    safety=True,
    by="plumber",
    place=Place(section="pressure_tank|pump_1"),
)

HOUSE = Rule(
    "house pressure",
    "is the pressure in the house within what plumbing codes allow?",
    "static pressure no more than 80 psi (552 kPa), or a pressure reducing valve",
    "house pressure",
    limit_is="at most",
    by="plumber",
    place=Place(section="pressure_tank|pump_1"),
)


def tank_pressure(site: Site, table: PumpTable, result: PumpResult) -> float:
    """What a pump can press into the pressure tank [Pa], from the water at rest, at no flow."""
    line = line_of(site, table, result.intake_depth)
    lift = _highest_water(site, table) + line.elevation
    return line.pressure_of(max(0.0, result.shut_off_head - lift))


def _highest_water(site: Site, table: PumpTable) -> float:
    """Depth of the water that a pump draws where it stands highest [m]: the well's at rest, or
    that of the full storage tank."""
    if table.draws == "well" or site.storage_tank is None:
        return float(at_well(site, table).well.static_level)
    return -chain.storage_of(site, site.storage_tank).surface(1.0)


def lateral_pressure(site: Site, table: PumpTable, result: PumpResult) -> float:
    """What a pump can press into the lowest point of the lateral [Pa], a relief valve open.

    One at the tank frees neither a line into the storage tank nor one before a constant-pressure
    valve.
    """
    line = line_of(site, table, result.intake_depth)
    lowest = max(float(at_well(site, table).piping.pitless_depth), -line.elevation)
    left = result.shut_off_head - _highest_water(site, table) + lowest
    pressure = line.pressure_of(max(0.0, left))
    relief = None if site.pressure_tank is None else site.pressure_tank.relief_pressure
    if relief is None or _not_relieved(chain.link_of(site, table)):
        return pressure
    return min(pressure, relief + line.pressure_of(line.elevation + lowest))


def _not_relieved(link: chain.Link) -> bool:
    """Whether a relief valve at the pressure tank leaves the pump's line under pressure."""
    return link.into_tank or link.valve is not None


def working_pressure(site: Site) -> float | None:
    """The greatest pressure at the tank while everything works [Pa]; None where nothing tells."""
    switch, to_house = site.pressure_switch, [link for link in chain.links(site) if link.to_house]
    most = [link.pressures[-1] for link in to_house]
    if switch is not None and not to_house:
        most.append(float(switch.cut_out))
    return max(most, default=None)


def pipe_verdicts(site: Site, pumps: tuple[PumpResult, ...]) -> list[Verdict]:
    """Whether drop pipes and lateral bear the pumps, and are pipes for such depths."""
    verdicts = []
    at_work = list(zip(site.pump, pumps, strict=True))
    for number, (table, result) in enumerate(at_work, 1):
        if not chain.hangs_in_well(table):
            continue
        key = "piping.drop_pipe" if table.drop_pipe is None else f"pump[{number}].drop_pipe"
        line = line_of(site, table, result.intake_depth)
        here = at_well(site, table)
        run = Run(key, table.drop_pipe or site.piping.drop_pipe, True, _warmth(here))
        curve = "" if table.flow[0] == 0.0 else f"pump[{number}].flow"
        pressure = line.pressure_of(result.shut_off_head)
        verdicts.append(_bears(here, run, pressure, table.name, table.name, curve))
        verdicts += _deep(run, Quantity(line.drop.length, kinds.LENGTH), table.name)
    lateral = site.piping.lateral
    for number, (table, result) in enumerate(at_work, 1):
        if table.line is not None and table.line.length:
            apart, here = _not_relieved(chain.link_of(site, table)), at_well(site, table)
            run = Run(f"pump[{number}].line", table.line, False, _warmth(here), apart)
            curve = "" if table.flow[0] == 0.0 else f"pump[{number}].flow"
            pressure = lateral_pressure(site, table, result)
            subject = f"line of {table.name}"
            verdicts.append(_bears(here, run, pressure, subject, table.name, curve))
    verdicts += _gravity_line(site)
    through = [number for number, (table, _) in enumerate(at_work) if chain.presses_lateral(table)]
    if through and lateral.length:
        number = max(through, key=lambda place: lateral_pressure(site, *at_work[place]))
        table, result = at_work[number]
        apart = _not_relieved(chain.link_of(site, table))
        run = Run("piping.lateral", lateral, False, _warmth(site), apart)
        curve = "" if table.flow[0] == 0.0 else f"pump[{number + 1}].flow"
        pressure = lateral_pressure(site, table, result)
        verdicts.append(_bears(site, run, pressure, chain.lateral_name(site), table.name, curve))
    return verdicts


def _gravity_line(site: Site) -> list[Verdict]:
    """Whether the line from the storage tank down to the house bears the full tank, at rest."""
    tank = site.storage_tank
    line = None if tank is None else tank.gravity_line
    if tank is None or line is None or not line.length:
        return []
    lowest = max(float(site.piping.pitless_depth), -site.piping.tank_elevation)
    density = water.density(_warmth(site))
    head = max(0.0, chain.storage_of(site, tank).surface(1.0) + lowest)
    run = Run(GRAVITY, line, False, _warmth(site), open=True)
    pressure = density * STANDARD_GRAVITY * head
    return [_bears(site, run, pressure, "gravity line", "the full storage tank", "")]


@dataclass(frozen=True)
class Run:
    """A run of pipe by its key, in the well or outside, and how warm its water is [degC]; open:
    where no relief valve at the pressure tank frees it."""

    key: str
    pipe: Pipe
    in_well: bool
    warmth: float
    open: bool = False

    @property
    def classes(self) -> tuple[PressureClass, ...]:
        """What it may be, from the weakest to the strongest; by the file where that tells it."""
        sold = self.sold(self.pipe.material)
        printed = self.pipe.pressure_class
        if printed is None:
            return sold
        nearest = max(
            (
                pressure_class
                for pressure_class in sold
                if at_most(Quantity(pressure_class.pressure, kinds.PRESSURE), printed)
            ),
            key=lambda pressure_class: pressure_class.pressure,
            default=sold[0] if sold else None,
        )
        depth = None if nearest is None else nearest.greatest_depth
        return (PressureClass("the class of the file", printed, depth, "read"),)

    def sold(self, material: str) -> tuple[PressureClass, ...]:
        """The classes of its size in a material."""
        return pipes.pressure_classes(material, self.pipe.size, self.in_well)

    def bears(self, pressure_class: PressureClass, material: str | None = None) -> Quantity:
        """The pressure of a class in this water."""
        share = pipes.share_when_warm(material or self.pipe.material, self.warmth)
        return Quantity(pressure_class.pressure * share, kinds.PRESSURE)


def _warmth(site: Site) -> float:
    return float(site.well.water_temperature)


def _bears(site: Site, run: Run, pressure: float, subject: str, pump: str, curve: str) -> Verdict:
    """Whether a run of pipe bears a pressure; `curve` names the flows of a datasheet that does
    not begin at no flow, so that there is more pressure than it tells."""
    rule = PIPE if run.in_well else LATERAL_PIPE
    classes, pressed = run.classes, Quantity(pressure, kinds.PRESSURE)
    if not classes:
        why = "no table has this size: what it is made for is printed on it"
        return rule.unknown(subject, f"{run.key}.pressure_class", why=why)
    least, most = run.bears(classes[0]), run.bears(classes[-1])
    when = "with all taps shut" if run.key == GRAVITY else "if nothing stops it"
    said = f"{{pump}} presses up to {{pressed}} into {{pipe}} pipe {when}; "
    parts: dict[str, Quantity | str] = {
        "pump": pump,
        "pressed": pressed,
        "pipe": f"{run.pipe.size} {run.pipe.material}",
        "most": most,
    }
    if not at_most(pressed, most):
        cold = at_most(pressed, classes[-1].pressure)
        soft = cold or classes[-1].provenance not in HARD_FACTS
        bears = (
            "which bears {most}" if len(classes) == 1 else "no class of it bears more than {most}"
        )
        if cold:
            bears += " in water of {warm}"
            parts["warm"] = site.well.water_temperature
        return rule.verdict(
            "caution" if soft else "fail",
            subject,
            say(said + bears, **parts),
            quantity=pressed,
            limit=most,
            remedy=_stronger(site, run, pressed),
        )
    if not at_most(pressed, least):
        said += "it is made for {least} to {most}, as printed on it"
        sentence = say(said, least=least, **parts)
        return rule.unknown(subject, f"{run.key}.pressure_class", why=sentence)
    if curve:
        why = "its curve does not begin at no flow, where a pump presses hardest"
        return rule.unknown(subject, curve, why=why)
    return rule.verdict(
        "pass",
        subject,
        say(said + "it bears {least}", least=least, **parts),
        quantity=pressed,
        limit=least,
    )


def _stronger(site: Site, run: Run, pressed: Quantity) -> Remedy:
    """A relief valve for a lateral, the next class of the same material, or steel."""
    ways: list[tuple[str, list[Change]]] = []
    parts: dict[str, Quantity | str] = {"pressed": pressed}
    if not run.in_well and not run.open:
        ways += _with_relief(site, run, parts)
    sold = run.sold(run.pipe.material)
    if len(sold) > 1:
        strong = [
            pressure_class
            for pressure_class in sold
            if at_least(run.bears(pressure_class), pressed)
        ]
        if strong:
            up = Quantity(strong[0].pressure, kinds.PRESSURE)
            parts |= {"up": up, "name": strong[0].name}
            ways.append(
                (
                    "pipe of the class of {up}, {name} (needs {pressed:up})",
                    [set_to(f"{run.key}.pressure_class", _in_whole_psi(up))],
                )
            )
    for wall in pipes.other_walls(size_of(run.pipe)):
        (found,) = pipes.pressure_classes(wall.material, wall.nominal, run.in_well)
        if at_least(run.bears(found), pressed):
            parts["wall"] = f"{wall.nominal} {wall.material}"
            changes = [set_to(f"{run.key}.size", wall.nominal), *_reprinted(run, found.pressure)]
            ways.append(("{wall} (needs {pressed:up})", changes))
            break
    steel = run.sold(STEEL)[0]
    if not run.pipe.material.startswith(STEEL) and at_least(run.bears(steel, STEEL), pressed):
        ways += [
            ("galvanised steel pipe (needs {pressed:up})", change) for change in _in_steel(run)
        ]
    if not ways:
        return remedy(
            "a pump of less head, or pipe made for {pressed:up} by its maker's sheet",
            "the pump's curve is what its maker gives",
            **parts,
        )
    return remedy(", or ".join(words for words, _ in ways), ways[0][1], **parts)


def _in_steel(run: Run) -> list[list[Change]]:
    """The changes that make a run one of galvanised steel; none where none is as wide."""
    size = steel_like(run.pipe)
    if size is None:
        return []
    other = [] if size == run.pipe.size else [set_to(f"{run.key}.size", size)]
    bears = run.sold(STEEL)[0].pressure
    return [[set_to(f"{run.key}.material", STEEL), *other, *_reprinted(run, bears)]]


def _reprinted(run: Run, pressure: float) -> list[Change]:
    """The class of another pipe [Pa], where the file tells that of the present one."""
    if run.pipe.pressure_class is None:
        return []
    inches = size_of(run.pipe).series[0] == "in"
    printed = _in_whole_psi(pressure) if inches else f"{pressure / BAR:.3g} bar"
    return [set_to(f"{run.key}.pressure_class", printed)]


def _in_whole_psi(pressure: float) -> Quantity:
    """A pressure [Pa] in whole psi, as gauges are read and classes printed."""
    psi = round(pressure / PSI)
    return Quantity(psi * PSI, kinds.PRESSURE, written=f"{psi} psi")


def set_in_steps_of(system: System) -> float:
    """The steps in which gauges are read and switches set [Pa]: a psi, or a twentieth of a bar."""
    return PSI if system == "US" else BAR / 20.0


def to_set(pressure: float, system: System) -> Quantity:
    """A pressure [Pa] in whole psi, or in twentieths of a bar at a metric site."""
    if system == "US":
        return _in_whole_psi(pressure)
    bars = round(20.0 * pressure / BAR) / 20.0
    return Quantity(bars * BAR, kinds.PRESSURE, written=f"{bars:g} bar")


def _with_relief(
    site: Site, run: Run, parts: dict[str, Quantity | str]
) -> list[tuple[str, list[Change]]]:
    """A relief valve at the tank that keeps the lateral within its class, with the class where
    the file does not tell it; nothing where there is one already or none does."""
    tank, line = site.pressure_tank, line_for(site, 0.0)
    relief = relief_sold(site, math.inf)
    if tank is None or tank.relief_pressure is not None or relief is None:
        return []
    lowest = max(float(site.piping.pitless_depth), -line.elevation)
    left = Quantity(relief + line.pressure_of(line.elevation + lowest), kinds.PRESSURE)
    strong = next(
        (
            pressure_class
            for pressure_class in run.classes
            if at_least(run.bears(pressure_class), left)
        ),
        None,
    )
    if strong is None:
        return []
    words, changes = (
        "a relief valve at the tank that opens at {relief}",
        [set_to("pressure_tank.relief_pressure", relief)],
    )
    parts["relief"] = relief
    if len(run.classes) > 1:
        least = _in_whole_psi(strong.pressure)
        words += " on pipe of the class of {least} or more"
        changes.append(set_to(f"{run.key}.pressure_class", least))
        parts["least"] = least
    return [(words, changes)]


def relief_sold(site: Site, most: float) -> Quantity | None:
    """The lowest relief valve that is sold and opens above the working pressure, no higher than a
    pressure [Pa] and the tank's plate; None where there is none."""
    tank, working = site.pressure_tank, working_pressure(site) or 0.0
    plate = None if tank is None else tank.greatest_pressure
    highest = most if plate is None else min(most, plate)
    for size in sizes("relief valve", kinds.PRESSURE, site.site.print_units):
        if not _opens_at_work(size, working):
            return size if at_most(size, highest) else None
    return None


def _opens_at_work(relief: Quantity, working: float) -> bool:
    return relief <= working or print_alike(relief, working)


def _deep(run: Run, hung: Quantity, subject: str) -> list[Verdict]:
    """Whether the trade hangs a pump this deep on such a pipe; nothing where no depth is known."""
    depths = [
        pressure_class.greatest_depth
        for pressure_class in run.classes
        if pressure_class.greatest_depth is not None
    ]
    if not depths:
        return []
    least, most = depths[0], depths[-1]
    kind = f"{run.pipe.size} {run.pipe.material}"
    limit = Quantity(most, kinds.LENGTH)
    if at_most(hung, least):
        reason = say("the pump hangs on {hung} of {kind}", hung=hung, kind=kind)
        limit = Quantity(least, kinds.LENGTH)
        return [DEEP.verdict("pass", subject, reason, quantity=hung, limit=limit)]
    if at_most(hung, most):
        why = say("the pump hangs on {hung} of {kind}", hung=hung, kind=kind)
        return [DEEP.unknown(subject, f"{run.key}.pressure_class", why=why)]
    way = remedy("a drop pipe that its maker says bears the depth", "the maker's word decides")
    for changes in _in_steel(run):
        way = remedy("galvanised steel drop pipe, or the pipe maker's word for it", changes)
    return [
        DEEP.verdict(
            "caution",
            subject,
            say(
                "the pump hangs on {hung} of {kind}, on which the trade hangs none deeper than "
                "{limit}",
                hung=hung,
                kind=kind,
                limit=limit,
            ),
            quantity=hung,
            limit=limit,
            remedy=way,
        )
    ]


def tank_verdicts(site: Site, pumps: tuple[PumpResult, ...]) -> list[Verdict]:
    """Whether tank and house bear the pressure, at work and when nothing stops the pump."""
    working = working_pressure(site)
    if not pumps or working is None:
        return []
    pressed = any(link.to_house for link in chain.links(site))
    tank = site.pressure_tank if pressed else None
    verdicts = [] if tank is None else [_relief(site, pumps, working)]
    return [*verdicts, _house(site, Quantity(working, kinds.PRESSURE))]


def _relief(site: Site, pumps: tuple[PumpResult, ...], working: float) -> Verdict:
    tank = site.pressure_tank
    assert tank is not None
    plate, relief = tank.greatest_pressure, tank.relief_pressure
    pressures = [tank_pressure(site, *pump) for pump in zip(site.pump, pumps, strict=True)]
    pressing = [link.number - 1 for link in chain.links(site) if link.to_house]
    strongest = max(pressing, key=lambda number: pressures[number])
    begins = site.pump[strongest].flow[0] == 0.0
    stuck = Quantity(pressures[strongest], kinds.PRESSURE)
    at_work = Quantity(working, kinds.PRESSURE)
    limit = Quantity(LEAST_PLATE, kinds.PRESSURE) if plate is None else plate
    parts: dict[str, Quantity | str] = {
        "pump": pumps[strongest].name, "stuck": stuck, "plate": limit, "working": at_work,
    }  # fmt: skip
    if plate is not None and not at_most(at_work, plate):
        reason = say("{working} at work is more than the {plate} of the tank's plate", **parts)
        return RELIEF.verdict(
            "fail", TANK, reason, quantity=at_work, limit=plate, remedy=_for_plate(site, plate)
        )
    if relief is not None:
        parts["relief"] = relief
        fits = relief_sold(site, float(limit))
        if _opens_at_work(relief, working):
            reason = say(
                "the relief valve opens at {relief}, and {working} is usual work", **parts
            )
            return _relief_fails(reason, relief, at_work, fits)
        if at_most(relief, limit):
            made_for = "the tank's plate" if plate is not None else "the least of any tank"
            reason = say(
                "the relief valve opens at {relief}, above the {working} of usual work and within "
                "the {plate} of " + made_for,
                **parts,
            )
            return RELIEF.verdict("pass", TANK, reason, quantity=relief, limit=limit)
        if plate is not None:
            reason = say("the relief valve opens at {relief}, above the plate's {plate}", **parts)
            return _relief_fails(reason, relief, plate, fits)
        why = "whether the relief valve opens in time depends on the tank"
        return RELIEF.unknown(TANK, "pressure_tank.greatest_pressure", why=why)
    if at_most(stuck, limit) and begins:
        made_for = "the tank's plate" if plate is not None else "the least of any tank"
        reason = say(
            "{pump} presses up to {stuck} into the tank, within the {plate} of " + made_for,
            **parts,
        )
        return RELIEF.verdict("pass", TANK, reason, quantity=stuck, limit=limit)
    held = site.pump[strongest].held_pressure is not None
    sticks = "{pump} presses up to {stuck} into the tank if " + (
        "its drive does not slow it" if held else "the switch sticks"
    )
    if plate is None or at_most(stuck, plate):
        missing = () if plate is not None else ("pressure_tank.greatest_pressure",)
        return RELIEF.unknown(
            TANK, *missing, "pressure_tank.relief_pressure", why=say(sticks, **parts)
        )
    reason = say(sticks + ", the plate says {plate}, and the file names no relief valve", **parts)
    return _relief_fails(reason, stuck, plate, relief_sold(site, float(plate)))


def _relief_fails(
    reason: Sentence, relief: Quantity, limit: Quantity, fits: Quantity | None
) -> Verdict:
    way: Remedy = remedy(
        "a tank whose plate leaves room for a relief valve between it and the working pressure",
        "the tank's plate is what its maker gives",
    )
    if fits is not None:
        way = remedy(
            "a relief valve at the tank that opens at {fits}, with no valve between them",
            [set_to("pressure_tank.relief_pressure", fits)],
            fits=fits,
        )
    return RELIEF.verdict("fail", TANK, reason, quantity=relief, limit=limit, remedy=way)


def _for_plate(site: Site, plate: Quantity) -> Remedy:
    """Lower pressures for a tank that the usual ones overload."""
    changes, ways_told, parts = _lower(site, float(plate))
    if not changes:
        return remedy(
            "a tank made for the pressure it works at", "the tank's plate is what its maker gives"
        )
    return remedy(ways_told + ", or a tank made for the pressure", changes, **parts)


def _lower(site: Site, most: float) -> tuple[list[Change], str, dict[str, Quantity | str]]:
    """The changes that lower switch and drives to a pressure [Pa], and what they are called;
    none where no usual setting is low enough."""
    changes: list[Change] = []
    ways_told: list[str] = []
    cut_out = next_down("switch cut-out", most, kinds.PRESSURE, site.site.print_units)
    if cut_out is None:
        return changes, "", {}
    cut_in = to_set(cut_out - DIFFERENTIAL, site.site.print_units)
    parts: dict[str, Quantity | str] = {"cut_in": cut_in, "cut_out": cut_out}
    switch = site.pressure_switch
    if switch is not None and switch.cut_out > cut_out:
        precharge = pressure_tank.recommended_precharge(cut_in)
        changes += [
            set_to("pressure_switch.cut_in", cut_in),
            set_to("pressure_switch.cut_out", cut_out),
            set_to("pressure_tank.precharge", to_set(precharge, site.site.print_units)),
        ]
        ways_told.append("set the switch to {cut_in} and {cut_out}, with the precharge below")
    for number, table in enumerate(site.pump, 1):
        if table.held_pressure is not None and table.held_pressure > cut_out:
            changes.append(set_to(f"pump[{number}].held_pressure", cut_out))
            ways_told.append(f"let {{pump_{number}}} hold {{cut_out}}")
            parts[f"pump_{number}"] = table.name
    return changes, " and ".join(ways_told), parts


def _house(site: Site, working: Quantity) -> Verdict:
    reduced = site.piping.reducing_valve
    limit = Quantity(HOUSE_LIMIT, kinds.PRESSURE)
    static = working if reduced is None else min(working, reduced)
    where = "at the tank" if static is working else "behind the reducing valve"
    usual = Quantity(USUAL_REDUCED, kinds.PRESSURE)
    return HOUSE.verdict(
        "pass" if at_most(static, limit) else "fail",
        "house",
        say("the taps get up to {static}, " + where, static=static),
        quantity=static,
        limit=limit,
        remedy=remedy(
            "a pressure reducing valve between tank and house, set to {usual}, or a lower cut-out",
            [set_to("piping.reducing_valve", to_set(usual, site.site.print_units))],
            usual=usual,
        ),
    )
