"""The plumbing of a site as a diagram: from the well to the taps, cold and hot."""

from __future__ import annotations

from collections.abc import Sequence

from wellsolar import kinds
from wellsolar.results.figures import Branch, Parallel, Series, Sign, Thing
from wellsolar.site.part_names import (
    BYPASS,
    COLD,
    FROST_DRAIN,
    HAND_CHECK,
    HAND_LINE,
    HAND_RELIEF,
    HEATER_CHECK,
    HEATER_DRAIN,
    HEATER_RELIEF,
    HOUSE_MAIN,
    SECOND_DRAIN,
    SECOND_RELIEF,
    SPOUT,
    TANK_DRAIN,
    TANK_RELIEF,
)
from wellsolar.site.schema import Pipe, Site, WaterHeaterTable
from wellsolar.studies.figures.tags import Piece, Tags, meeting, pump_thing, run
from wellsolar.studies.house import chain
from wellsolar.studies.house.wells import at_well
from wellsolar.studies.plumbing.layout import Fitting, layout_of, pressurised
from wellsolar.units import Quantity

CHECKS = "check valve"
SIGNS: dict[str, Sign] = {
    HAND_CHECK: "check valve",
    HAND_LINE: "valve",
    HAND_RELIEF: "relief valve",
    SPOUT: "valve",
    FROST_DRAIN: "drain",
    BYPASS: "treatment",
    TANK_DRAIN: "drain",
    HOUSE_MAIN: "valve",
    TANK_RELIEF: "relief valve",
    COLD: "valve",
    HEATER_DRAIN: "drain",
    HEATER_RELIEF: "relief valve",
    SECOND_DRAIN: "drain",
    SECOND_RELIEF: "relief valve",
    HEATER_CHECK: "check valve",
}
"""What each fitting of a site is drawn as."""


def water_of(site: Site) -> Branch | None:
    """The way of the water through a site: the diagram from the pumps down to the taps; None where
    nothing lifts water."""
    if not site.pump and site.hand_pump is None:
        return None
    return _Plumbing(site).whole()


class _Plumbing:
    """The plumbing of one site while it is put together."""

    def __init__(self, site: Site) -> None:
        self.site = site
        self.tags = Tags()
        self.fittings = {fitting.name: fitting for fitting in layout_of(site)}
        count = sum(fitting.count for fitting in site.piping.fittings if fitting.kind == CHECKS)
        self.checks = count

    def whole(self) -> Branch:
        """All of it; what ends in a tank or a bucket of its own stands beside what feeds taps."""
        site = self.site
        direct = [link for link in chain.links(site) if not link.into_tank and not link.from_tank]
        into_house = [link for link in direct if link.to_house]
        into_open = [link for link in direct if not link.to_house]
        apart: list[Branch] = []
        if into_open:
            filled_by = self.met(into_open, self.lanes(into_open, "open tank"))
            apart.append(Series((*filled_by, self.end("open tank"))))
        goal = chain.hand_goal(site)
        lanes = self.lanes(into_house, "pressure tank")
        stored = self.storage() if chain.has_cistern(site) else None
        feeds = chain.gravity_head(site) is not None or any(
            link.from_tank for link in chain.links(site)
        )
        besides: list[Branch] = []
        if stored is not None:
            (besides if feeds else apart).append(stored)
        if goal == "spout":
            apart.append(self.by_hand("spout"))
        if lanes or besides:
            apart.insert(0, self.house(self.met(into_house, lanes, besides)))
        return apart[0] if len(apart) == 1 else Parallel(tuple(apart))

    def lanes(self, through: list[chain.Link], goal: chain.Goal) -> list[Branch]:
        """The lanes of pumps that end in one place, in their order, and the hand pump's last."""
        lanes: list[Branch] = [self.lane(link) for link in through]
        by_hand = chain.hand_goal(self.site)
        if by_hand is not None and by_hand == goal:
            lanes.append(self.by_hand(by_hand))
        return lanes

    def met(
        self, through: list[chain.Link], lanes: list[Branch], besides: Sequence[Branch] = ()
    ) -> list[Branch]:
        """Where the lanes of pumps meet: before the line from the well those that press into it,
        and behind it those with a line of their own and what comes from elsewhere."""
        uses = [chain.presses_lateral(link.table) for link in through]
        if len(lanes) > len(through):
            hand = self.site.hand_pump
            uses.append(hand is not None and hand.line is None)
        joined = [lane for lane, used in zip(lanes, uses, strict=True) if used]
        apart = [lane for lane, used in zip(lanes, uses, strict=True) if not used]
        if not joined:
            return meeting((*apart, *besides))
        lateral = self.site.piping.lateral
        line = run(chain.lateral_name(self.site), *_of_pipe(lateral), ("{}", lateral.length))
        shared = [*meeting(joined), line]
        if not apart and not besides:
            return shared
        return meeting((Series(tuple(shared)), *apart, *besides))

    def storage(self) -> Branch:
        """From what fills the storage tank to what draws from it."""
        site, tank = self.site, self.site.storage_tank
        filling = [link for link in chain.links(site) if link.into_tank]
        filled_by = self.met(filling, self.lanes(filling, "storage tank"))
        size: list[Piece] = []
        if tank is not None:
            up = tank.elevation
            side = "below" if up is not None and up < 0.0 else "above"
            height = None if up is None else Quantity(abs(up), kinds.LENGTH)
            size = [("{}", tank.volume), (f"outlet {{}} {side} the ground at the well", height)]
        stored = self.tags.thing("storage tank", "storage tank", *size, carries="water")
        drawing: list[Branch] = [self.lane(link) for link in chain.links(site) if link.from_tank]
        parts = [*filled_by, stored]
        line = None if tank is None else tank.gravity_line
        if chain.gravity_head(site) is not None:
            parts.append(run("gravity line", *_of_pipe(line)))
        return Series((*parts, *meeting(drawing)))

    def lane(self, link: chain.Link) -> Branch:
        """A pump with its pipe and its check valve."""
        site, table = self.site, link.table
        parts: list[Branch] = [pump_thing(site, table, "water")]
        if chain.stands_elsewhere(table):
            drawn_through = table.suction_pipe or site.piping.lateral
            suction = _of_pipe(drawn_through)
            parts.insert(0, run("suction line", *suction, ("{}", drawn_through.length)))
        if not link.from_tank:
            hung = table.kind != "suction"
            place = at_well(site, table).piping.check_valve_place
            if table.well is not None and table.line is not None:
                self.checks += sum(fitting.kind == CHECKS for fitting in table.line.fittings)
            if self.checks > 0 or place in ("pump", "casing"):
                parts += self.check(hung and place in (None, "pump", "casing"))
            if hung:
                parts.append(run("drop pipe", *_of_pipe(table.drop_pipe or site.piping.drop_pipe)))
        if table.line is not None:
            parts.append(_own(table.line))
        if table.well is not None and not link.from_tank and place in ("buried line", "house"):
            parts.append(self.tags.thing("check valve", CHECKS, carries="water"))
        return Series(tuple(parts))

    def check(self, here: bool) -> list[Thing]:
        """The check valve of a pump; told as long as the file counts one."""
        if not here:
            return []
        shows_check, self.checks = self.checks > 0, self.checks - 1
        return [self.tags.thing("check valve", CHECKS, is_known=shows_check, carries="water")]

    def by_hand(self, goal: chain.HandGoal) -> Branch:
        """The hand pump with its valves up to where it delivers."""
        hand = self.site.hand_pump
        assert hand is not None
        pump = self.tags.thing(
            "hand pump",
            "hand pump",
            ("{} bore", hand.bore),
            ("{} stroke", hand.stroke),
            ("cylinder at {}", hand.cylinder_depth),
            ("on {}", hand.well),
            carries="water",
            beside=self.inline(HAND_RELIEF, SPOUT, FROST_DRAIN),
        )
        if goal == "spout":
            return Series((pump, self.end("spout")))
        parts: list[Branch] = [pump, *self.inline(HAND_CHECK, HAND_LINE)]
        if hand.line is not None:
            parts.append(_own(hand.line))
        return Series(tuple(parts))

    def house(self, sources: list[Branch]) -> Branch:
        """From where the pumps' lines meet to the taps."""
        site = self.site
        parts = list(sources)
        if site.piping.check_valve_place in ("buried line", "house"):
            parts.append(self.tags.thing("check valve", CHECKS, carries="water"))
        valve = site.constant_pressure_valve
        if valve is not None:
            parts.append(
                self.tags.thing(
                    "pressure valve",
                    "constant-pressure valve",
                    ("set to {}", valve.set_pressure),
                    carries="water",
                )
            )
        if site.pressure_tank is not None or site.pressure_switch is not None or pressurised(site):
            parts.append(self.pressure_tank())
        if site.piping.reducing_valve is not None:
            parts.append(
                self.tags.thing(
                    "pressure valve",
                    "pressure-reducing valve",
                    ("set to {}", site.piping.reducing_valve),
                    carries="water",
                )
            )
        parts += [*self.inline(BYPASS, HOUSE_MAIN)]
        cold = self.end("cold taps")
        if site.water_heater is None:
            return Series((*parts, cold))
        hot = self.hot(site.water_heater)
        return Series((*parts, Parallel((hot, cold), above=True)))

    def pressure_tank(self) -> Thing:
        """The pressure tank with what hangs on its tee."""
        site = self.site
        tank, switch = site.pressure_tank, site.pressure_switch
        beside = list(self.inline(TANK_RELIEF, TANK_DRAIN))
        if switch is not None:
            set_to = (("on at {}", switch.cut_in), ("off at {}", switch.cut_out))
            beside.insert(0, self.tags.thing("switch", "pressure switch", *set_to, turned=True))
        pieces: list[Piece] = []
        if tank is not None:
            pieces = [("{}", tank.volume), ("precharge {}", tank.precharge)]
        return self.tags.thing(
            "pressure tank",
            "pressure tank",
            *pieces,
            is_known=tank is not None,
            carries="water",
            beside=beside,
        )

    def hot(self, heater: WaterHeaterTable) -> Branch:
        """From the cold pipe of the heater to the hot taps."""
        parts = list(self.inline(COLD, HEATER_CHECK))
        beside = list(self.inline(HEATER_RELIEF, HEATER_DRAIN))
        if heater.expansion_tank:
            size = ("{}", heater.expansion_tank_volume)
            beside.append(self.tags.thing("expansion tank", "expansion tank", size))
        volume = ("{}", heater.volume)
        parts.append(self.heater("water heater", volume, beside))
        second = heater.second_tank
        if second is not None:
            beside = list(self.inline(SECOND_RELIEF, SECOND_DRAIN))
            parts.append(self.heater("second tank", ("{}", second.volume), beside))
        valve = heater.mixing_valve
        if valve is not None:
            parts.append(
                self.tags.thing(
                    "mixing valve",
                    "mixing valve",
                    ("gives {}", valve.outlet),
                    (f"{valve.standard}", "") if valve.standard else ("", None),
                    carries="hot water",
                )
            )
        return Series((*parts, self.end("hot taps")))

    def heater(self, name: str, volume: Piece, beside: list[Thing]) -> Thing:
        """A tank of hot water with what hangs on it."""
        return self.tags.thing("heater", name, volume, carries="hot water", beside=beside)

    def inline(self, *names: str) -> tuple[Thing, ...]:
        """Those of the site's fittings that sit in the pipe itself."""
        return tuple(self.fitting(self.fittings[name]) for name in names if name in self.fittings)

    def fitting(self, fitting: Fitting) -> Thing:
        """A fitting of the site as a thing of the diagram."""
        sign = SIGNS[fitting.name]
        rests = ("rests {}", fitting.rest or None)
        return self.tags.thing(
            sign, fitting.name, rests, is_known=fitting.told, turned=fitting.by_hand
        )

    def end(self, name: str) -> Thing:
        """Where water leaves."""
        return Thing("", "tap", name, run("").said)


def _own(line: Pipe) -> Thing:
    """A line that a pump does not share."""
    return run("line of its own", *_of_pipe(line), ("{}", line.length))


def _of_pipe(pipe: Pipe | None) -> tuple[Piece, ...]:
    """What a pipe is made of."""
    if pipe is None:
        return ()
    return (("{}", pipe.size), ("{}", pipe.material))
