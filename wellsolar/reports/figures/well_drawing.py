"""The figure of the well, drawn to scale, with what hangs in it."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.figures.plots import (
    Above,
    Axis,
    DepthMark,
    Hanging,
    Plot,
    Text,
    WellPanel,
    value,
)
from wellsolar.results import Results
from wellsolar.results.figures import FigureData, HungPump, WellDrawing
from wellsolar.results.pumps import PumpResult
from wellsolar.verdicts import Sentence, say

SCALE = "Depths are to scale, widths and what stands above the ground are not."
HILL = "Depths and the height of the storage tank are to scale, widths and the house are not."
HILL_BROKEN = "The hill goes on at the break in it."
BROKEN = "The well goes on below the broken line."
APART = "Each well has a scale of its own; the house above them is the same."

DEEP, BELOW = 0.4, 1.25
"""Part of a well's depth above which all must lie for the drawing to be broken off, and how far
below the deepest of it."""


def drawings(results: Results, data: FigureData) -> list[Plot]:
    """Each well to scale, with what hangs in it and what stands in the house."""
    return [_plot(results, data, drawn) for drawn in (data.well, *data.other_wells)]


def _plot(results: Results, data: FigureData, drawn: WellDrawing) -> Plot:
    """One well: each has a figure, as two of them are higher than a sheet of paper."""
    panel = _panel(results, data, drawn)
    labels = [label for label in (panel.title, *(mark.label for mark in panel.marks)) if label]
    listed = tuple(
        say("{what}.", what=line)
        if isinstance(line, str)
        else Sentence(f"{line.template}.", line.parts)
        for line in labels
    )
    which = "The first well" if data.other_wells else "The well"
    section = "well" if results.well is not None else _first_section(results)
    return Plot(
        key=f"other_well_{drawn.number}" if drawn.number else "well",
        title=f"{drawn.name if drawn.number else which}, drawn to scale",
        caption=_caption(panel, alone=not data.other_wells),
        description=listed,
        section=f"other_well_{drawn.number}" if drawn.number else section,
        panels=(panel,),
    )


def _title(drawn: WellDrawing) -> Text:
    """What a well of several is called, and how its ground lies to the first."""
    if not drawn.number:
        return "the first well"
    height = value(abs(drawn.ground_height), kinds.LENGTH)
    if height == 0.0:
        return drawn.name
    lies = "higher" if drawn.ground_height > 0.0 else "lower"
    template = f"{{name}}, its ground {{height}} {lies} than at the first"
    return say(template, name=drawn.name, height=height)


def _here(drawn: WellDrawing, hung: HungPump) -> bool:
    return not hung.from_tank and hung.well == drawn.number


def _panel(results: Results, data: FigureData, drawn: WellDrawing) -> WellPanel:
    """One well, and the house."""
    marks = _depth_marks(results, drawn)
    both = zip(results.pumps, drawn.pumps, strict=True)
    in_well = [pump for pump, hung in both if _here(drawn, hung)]
    deepest = [duty.pumping_level for pump in in_well for duty in pump.duties]
    known = all(pump.level_known for pump in in_well)
    return WellPanel(
        title=_title(drawn) if data.other_wells else "",
        axis=Axis("depth below the ground", kinds.LENGTH, down=True),
        well=drawn,
        shown=_shown(drawn.depth, marks),
        pumped_level=max(deepest) if deepest and known else None,
        marks=marks,
        hanging=_hanging(results, drawn),
        above=_above(results, drawn),
    )


def _caption(panel: WellPanel, *, alone: bool) -> str:
    """What is to scale, and where it is broken off."""
    hill = panel.hill
    broken = hill is not None and hill.broken
    caption = [SCALE if hill is None or broken else HILL]
    caption += [HILL_BROKEN] if broken else []
    caption += [BROKEN] if panel.shown < panel.well.depth else []
    caption += [] if alone else [APART]
    return " ".join(caption)


def _shown(depth: float, marks: tuple[DepthMark, ...]) -> float:
    """How far down the drawing goes: not to the bottom where all that matters lies far above."""
    deepest = max(mark.depth for mark in marks if mark.role != "bottom")
    return deepest * BELOW if deepest < DEEP * depth else depth


def _first_section(results: Results) -> str:
    return "pump_1" if results.pumps else "hand_pump"


def _depth_marks(results: Results, drawn: WellDrawing) -> tuple[DepthMark, ...]:
    marks = [
        DepthMark("static", say("water at rest at {depth}",
                                depth=value(drawn.static_level, kinds.LENGTH)),
                  drawn.static_level, "rest"),
        DepthMark("bottom", _bottom(drawn), drawn.depth, "bottom"),
    ]  # fmt: skip
    if drawn.line_to_house:
        marks.append(DepthMark("pitless", _pitless(drawn), drawn.pitless_depth, "pipe"))
    if drawn.frost_depth:
        sentence = say("ground freezes to {depth}", depth=value(drawn.frost_depth, kinds.LENGTH))
        marks.append(DepthMark("frost", sentence, drawn.frost_depth, "frost"))
    if drawn.highest_level != drawn.lowest_level:
        for key, word, depth in (
            ("highest", "highest", drawn.highest_level),
            ("lowest", "lowest", drawn.lowest_level),
        ):
            sentence = say(f"{word} water at rest {{depth}}", depth=value(depth, kinds.LENGTH))
            marks.append(DepthMark(key, sentence, depth, "range"))
    for number, pump in enumerate(results.pumps, 1):
        hung = drawn.pumps[number - 1]
        if _here(drawn, hung):
            marks += _pump_marks(pump, number, hung.in_well)
    hand = results.hand_pump if drawn.hand else None
    if hand is not None:
        if hand.cylinder_depth is not None:
            sentence = say(
                "hand cylinder at {depth}", depth=value(hand.cylinder_depth, kinds.LENGTH)
            )
            marks.append(DepthMark("cylinder", sentence, hand.cylinder_depth, "hand"))
        if hand.level_known:
            sentence = say(
                "water under the hand pump {depth}",
                depth=value(hand.pumping_level, kinds.LENGTH),
            )
            marks.append(DepthMark("hand_level", sentence, hand.pumping_level, "pumped"))
    return tuple(sorted(marks, key=lambda mark: mark.depth))


def _bottom(drawn: WellDrawing) -> Sentence:
    depth = value(drawn.depth, kinds.LENGTH)
    if drawn.casing_bore is None:
        return say("bottom at {depth}", depth=depth)
    return say(
        "bottom at {depth}; casing {bore} wide inside",
        depth=depth,
        bore=value(drawn.casing_bore, kinds.BORE),
    )


def _pitless(drawn: WellDrawing) -> Sentence:
    depth = value(drawn.pitless_depth, kinds.LENGTH)
    if drawn.lateral is None:
        return say("pipe leaves the well at {depth}", depth=depth)
    return say(
        "pipe leaves the well at {depth}, then {length} of buried line",
        depth=depth,
        length=value(drawn.lateral, kinds.LENGTH),
    )


def _pump_marks(pump: PumpResult, number: int, in_well: bool) -> list[DepthMark]:
    intake = say(
        "{pump}: intake at {depth}" if in_well else "{pump}: foot valve at {depth}",
        pump=pump.name,
        depth=value(pump.intake_depth, kinds.LENGTH),
    )
    marks = [DepthMark(f"intake_{number}", intake, pump.intake_depth, "pump")]
    if not pump.level_known:
        return marks
    levels = [duty.pumping_level for duty in pump.duties if duty.flow > 0]
    if levels:
        deepest = max(levels)
        sentence = say(
            "{pump}: pumping level {depth}",
            pump=pump.name,
            depth=value(deepest, kinds.LENGTH),
        )
        if len(levels) > 1 and min(levels) < deepest:
            sentence = say(
                "{pump}: pumping level {least} to {depth}",
                pump=pump.name,
                least=value(min(levels), kinds.LENGTH),
                depth=value(deepest, kinds.LENGTH),
            )
        marks.append(DepthMark(f"level_{number}", sentence, deepest, "pumped"))
    return marks


def _hanging(results: Results, drawn: WellDrawing) -> tuple[Hanging, ...]:
    hung = [
        Hanging(
            f"pump_{number}",
            pump.name,
            pump.intake_depth,
            pump.length,
            False,
            pump.in_well,
            pump.two_pipes,
        )
        for number, pump in enumerate(drawn.pumps, 1)
        if _here(drawn, pump)
    ]
    hand = results.hand_pump if drawn.hand else None
    if hand is not None and hand.cylinder_depth is not None:
        hung.append(Hanging("hand_pump", "hand pump", hand.cylinder_depth, None, hand=True))
    return tuple(hung)


def _above(results: Results, drawn: WellDrawing) -> tuple[Above, ...]:
    above_ground: list[Above] = []
    if results.hand_pump is not None and drawn.hand:
        above_ground.append(Above("hand pump", "hand pump"))
    storage = _storage(drawn)
    # A tank that is no link of the chain stands apart, behind what the pipes join.
    linked = drawn.storage_height is not None
    above_ground += storage if linked else []
    above_ground += [Above("booster", pump.name) for pump in drawn.pumps if pump.from_tank]
    tank = results.pressure_tank
    if tank is not None:
        above_ground.append(
            Above("tank", say("pressure tank {volume}", volume=value(tank.volume, kinds.VOLUME)))
        )
    heated = results.heated_tank
    if heated is not None:
        volume = value(heated.tank_volume, kinds.VOLUME)
        above_ground.append(Above("heater", say("water heater {volume}", volume=volume)))
        above_ground.append(Above("modules", f"{heated.modules} modules"))
    above_ground += [] if linked else storage
    return tuple(above_ground)


def _storage(drawn: WellDrawing) -> list[Above]:
    """The storage tank with its volume and height."""
    if drawn.storage_volume is None:
        return []
    volume = value(drawn.storage_volume, kinds.VOLUME)
    label = say("storage tank {volume}", volume=volume)
    if drawn.storage_height is not None:
        height = value(abs(drawn.storage_height), kinds.LENGTH)
        side = "up" if drawn.storage_height >= 0.0 else "down"
        label = say(f"storage tank {{volume}}, {{height}} {side}", volume=volume, height=height)
    return [Above("cistern", label)]
