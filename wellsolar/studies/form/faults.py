"""What fails in a house, found by questions that its owner can answer; only of parts it has."""

from __future__ import annotations

from collections.abc import Iterator

from wellsolar.results.form import Fault
from wellsolar.site.part_names import BYPASS, COLD, HOUSE_MAIN
from wellsolar.site.schema import Site
from wellsolar.studies.asked.studied import Studied
from wellsolar.studies.electric.supplies import has_inverter
from wellsolar.studies.outage.equipment import uses_grid
from wellsolar.studies.plumbing.layout import layout_of
from wellsolar.units import System

ROOTS = ("water", "cycling", "pressure", "cold", "breaker")
"""What an owner sees first, in this order."""

COVERS = "Covers stay on: what is behind them is live and kills. Dry hands, on dry ground."
SOLAR = (
    "Covers and plugs of the solar wires stay shut: they are live in any light, and an arc does "
    "not go out."
)
SCALDS = "The water may scald: try it by a few drops, and keep children from the taps."
VESSEL = "Tank and pipes are under pressure: nobody unscrews anything at them."
OPEN_WELL = "The well stays shut: nobody opens its cap or reaches into it."

ELECTRICIAN = "An electrician licensed for it"
DRILLER = "The well driller or pump installer"
PLUMBER = "The plumber"


def study_faults(case: Studied, system: System) -> tuple[Fault, ...]:
    """Questions and what to do, for what the site has.

    Parameters:
        case: the site and its studies
        system: of the units in which gauges are told
    Returns:
        the roots that apply, in their order, then all else that can be reached from them
    """
    faults = _Faults(case.site, system)
    by_key = {fault.key: fault for fault in faults.all()}
    roots = [key for key in ROOTS if key in by_key]
    keys_on_page: list[str] = []
    waiting = list(roots)
    while waiting:
        key = waiting.pop(0)
        if key not in keys_on_page:
            keys_on_page.append(key)
            waiting += [then for _, then in by_key[key].answers]
    return tuple(by_key[key] for key in keys_on_page)


class _Faults:
    """The questions of a site."""

    def __init__(self, site: Site, system: System) -> None:
        self.site, self.system = site, system
        self.valves = {fitting.name for fitting in layout_of(site)}
        heater = site.water_heater
        fed = set() if heater is None else {element.fed_by for element in heater.element}
        self.solar = bool(fed & {group.name for group in site.array})
        second = heater is not None and heater.second_tank is not None
        self.heater_breaker = bool(fed & {"grid", "inverter"}) or second
        self.pumps_on_mains = any(table.supply == "AC" for table in site.pump)
        self.off = "breaker" if self.pumps_on_mains else "switch"
        switch = site.pressure_switch
        self.gauge = None if switch is None else (
            switch.cut_in.text(system), switch.cut_out.text(system)
        )  # fmt: skip

    def all(self) -> Iterator[Fault]:
        """All that may be asked."""
        if self.site.pump:
            yield from self._water()
            yield from self._pressure()
        if self.site.pressure_tank is not None and self.site.pump:
            yield from self._cycling()
        if self.site.water_heater is not None:
            yield from self._cold()
        if self.pumps_on_mains or self.heater_breaker:
            yield from self._breaker()

    def _meanwhile(self) -> str:
        """How there is water until it is mended."""
        ways = ["the other pump"] if len(self.site.pump) > 1 else []
        ways += ["the hand pump"] if self.site.hand_pump is not None else []
        return f"Until then {' or '.join(ways)}, as the card says." if ways else (
            "Until then drink from bottles, or from water that you stored.")  # fmt: skip

    def _water(self) -> Iterator[Fault]:
        powered = self.pumps_on_mains and (uses_grid(self.site) or has_inverter(self.site))
        next_up = "water.gauge" if self.gauge is not None else "water.runs"
        breaker = "water.breaker" if self.pumps_on_mains else next_up
        yield Fault(
            "water",
            "No water at any tap. Are the lights on?" if powered
            else "No water at any tap. Does the sun shine on the modules?",
            (("Yes", breaker), ("No", "water.power")),
        )  # fmt: skip
        yield Fault(
            "water.power",
            "The power is out" if powered else "There is too little sun for the pump",
            first=COVERS,
            steps=(
                "Go by the card below, at what has failed." if powered else
                "Wait for the sun, and use what is stored sparingly.",
                self._meanwhile(),
            ),
            who=f"{ELECTRICIAN}, if power is back and there is still no water.",
        )  # fmt: skip
        if self.pumps_on_mains:
            yield Fault(
                "water.breaker",
                "How does the pump's breaker stand?",
                (("On", next_up), ("Off or in between", "breaker")),
            )
        if self.gauge is not None:
            low, high = self.gauge
            yield Fault(
                "water.gauge",
                "What does the pressure gauge show?",
                ((f"Less than {low}", "water.runs"), (f"{low} to {high}, or more", "water.shut")),
            )
            shut = [f"See that {HOUSE_MAIN} is open."] if HOUSE_MAIN in self.valves else []
            shut += [f"Open {BYPASS}: if water comes, the filter is clogged."] * (
                BYPASS in self.valves)  # fmt: skip
            yield Fault(
                "water.shut", "There is pressure at the gauge, and no water comes to the taps",
                first=VESSEL,
                steps=(*shut, "In frost, a pipe may be frozen: warm the room, no flame."),
                who=f"{PLUMBER}.", reads=("gauge_pressure",),
            )  # fmt: skip
        yield Fault(
            "water.runs", "Does a pump hum or run?",
            (("Yes", "water.dry"), ("No", "water.still")),
        )  # fmt: skip
        yield Fault(
            "water.dry", "It runs and brings no water: it may burn out dry",
            first=f"{COVERS} {OPEN_WELL}",
            steps=(
                f"Its {self.off} OFF at once.",
                "Shut every tap and let the well rest for an hour.",
                f"Its {self.off} ON once. Air, sand or nothing in ten minutes: OFF, and leave it.",
                self._meanwhile(),
            ),
            who=f"{DRILLER}.", reads=("pump_amps", "static_level", "pumping_level"),
        )  # fmt: skip
        yield Fault(
            "water.still", "It does not start",
            first=COVERS,
            steps=(
                f"Its {self.off} OFF for an hour: a motor that was too hot may come back.",
                f"Its {self.off} ON once. If it does not start, OFF, and leave it.",
                self._meanwhile(),
            ),
            who=f"{ELECTRICIAN}.", reads=("pump_amps", "gauge_pressure"),
        )  # fmt: skip

    def _pressure(self) -> Iterator[Fault]:
        yield Fault(
            "pressure", "Water comes weakly. Where?",
            (("At one tap", "pressure.tap"), ("Everywhere", "pressure.all")),
        )  # fmt: skip
        yield Fault(
            "pressure.tap", "One tap alone is clogged",
            first="Shut the tap before you look, hot and cold: hot water may scald."
            if self.site.water_heater is not None
            else "Shut the tap before you look.",
            steps=("Unscrew its screen, rinse it, screw it on again.",),
            who=f"{PLUMBER}, if it stays weak.",
        )  # fmt: skip
        filtered = BYPASS in self.valves
        answers = (("Yes", "pressure.filter"),) if filtered else (("Yes", "pressure.level"),)
        asks = f"Open {BYPASS}. Is it strong now?" if filtered else (
            "Is more drawn than usual, or is a toilet or hose running?")  # fmt: skip
        other = (("No", "pressure.level" if filtered else "pressure.worn"),)
        yield Fault("pressure.all", asks, (*answers, *other))
        if filtered:
            yield Fault(
                "pressure.filter", "Softener or filter is clogged",
                first=VESSEL,
                steps=(f"Leave {BYPASS} open until it is cleaned or changed.",),
                who=f"{PLUMBER}, or whoever changes your filters.",
            )  # fmt: skip
            yield Fault(
                "pressure.level", "Is more drawn than usual, or is a toilet or hose running?",
                (("Yes", "pressure.draw"), ("No", "pressure.worn")),
            )  # fmt: skip
        else:
            yield Fault(
                "pressure.level", "Shut it. Is it strong now?",
                (("Yes", "pressure.draw"), ("No", "pressure.worn")),
            )  # fmt: skip
        yield Fault(
            "pressure.draw", "More is drawn than the pump gives",
            first="Water on a floor near outlets or wires: keep away from it.",
            steps=("Shut what runs, and draw at one place at a time.",),
            who=f"{PLUMBER}, if nothing runs and it stays weak.",
        )  # fmt: skip
        yield Fault(
            "pressure.worn", "The pump gives less, or the water stands deeper",
            first=f"{COVERS} {OPEN_WELL}",
            steps=(
                "Draw little, with pauses, so that the well can come back.",
                f"Air or sand at a tap: the pump's {self.off} OFF.",
            ),
            who=f"{DRILLER}.",
            reads=("bucket_volume", "fill_time", "pumping_level", "static_level"),
        )  # fmt: skip

    def _cycling(self) -> Iterator[Fault]:
        yield Fault(
            "cycling", "The pump clicks on and off. When?",
            (("While a tap runs", "cycling.tank"), ("With every tap shut", "cycling.leak")),
        )  # fmt: skip
        yield Fault(
            "cycling.tank", "The pressure tank has lost its air, or its bladder is torn",
            first=f"{COVERS} {VESSEL}",
            steps=(
                f"Open a tap wide while the pump runs, then its {self.off} OFF.",
                "Draw water in large lots, not by cups, until it is mended.",
                self._meanwhile(),
            ),
            who=f"{PLUMBER}: the air is read with the tank drained.",
            reads=("precharge", "fill_time"),
        )  # fmt: skip
        yield Fault(
            "cycling.leak", "Does a toilet run, or a tap or pipe drip?",
            (("Yes", "cycling.drip"), ("No", "cycling.check")),
        )  # fmt: skip
        yield Fault(
            "cycling.drip", "Water leaks in the house",
            first="Water on a floor near outlets or wires: keep away from it.",
            steps=("Shut the valve at that toilet or tap.",),
            who=f"{PLUMBER}.", reads=("evening_pressure",),
        )  # fmt: skip
        yield Fault(
            "cycling.check", "Water runs back into the well, or leaks in the ground",
            first=f"{COVERS} {OPEN_WELL} Foul water may be drawn in: boil what you drink.",
            steps=(f"The pump's {self.off} OFF when nobody needs water.", self._meanwhile()),
            who=f"{DRILLER}; then have the water tested for bacteria.",
            reads=("evening_pressure",),
        )  # fmt: skip

    def _cold(self) -> Iterator[Fault]:
        after = "cold.sun" if self.solar else "cold.breaker" if self.heater_breaker else "cold.off"
        yield Fault(
            "cold", "How is the hot water?",
            (("Cold or lukewarm", after), ("Far too hot", "cold.scalds")),
        )  # fmt: skip
        off = ["solar switch"] if self.solar else []
        off += ["breaker"] if self.heater_breaker else []
        all_off = " and ".join(off) or "supply"
        yield Fault(
            "cold.scalds", "It scalds",
            first=f"{SCALDS} Keep away from the outlet of its relief valve.",
            steps=(f"The heater's {all_off} OFF, and off until it is mended.",
                   "Mix with cold at the tap, never in a bath with a child in it."),
            who=f"{PLUMBER}, today.", reads=("tank_temperature", "tap_temperature"),
        )  # fmt: skip
        if self.solar:
            yield Fault(
                "cold.sun", "Did the sun shine on the last days?",
                (("No", "cold.wait"), ("Yes", "cold.switch")),
            )  # fmt: skip
            grid = (
                ("The heater's breaker ON, if the grid may help.",) if self.heater_breaker else ()
            )
            yield Fault(
                "cold.wait", "There was too little sun",
                first="Lukewarm for days breeds germs: no showers till it is hot again.",
                steps=(*grid, "Wash at a bowl until the sun is back."),
                who=f"{ELECTRICIAN}, if it stays cold in sun.",
            )  # fmt: skip
            yield Fault(
                "cold.switch", "How does the heater's solar switch stand?",
                (("ON", "cold.solar"), ("OFF", "cold.opened")),
            )  # fmt: skip
            yield Fault(
                "cold.opened", "Somebody, or a guard, switched the modules off",
                first=SOLAR,
                steps=(f"Ask who switched it off, and why. See that {COLD} is open and that a hot "
                       "tap runs without air: an element that is dry burns out.",
                       "If it was no guard and no repair, ON."),
                who=f"{ELECTRICIAN}, if it was a guard, or if you do not know.",
            )  # fmt: skip
            yield Fault(
                "cold.solar", "The modules, their wires or the element do not heat",
                first=SOLAR,
                steps=("Look from the ground for shade, snow or dirt on the modules.",
                       "The solar switch OFF, and leave it for the repair.",
                       *grid),
                who=f"{ELECTRICIAN} and for solar wires.",
                reads=("element_amps", "element_volts", "tank_temperature"),
            )  # fmt: skip
        elif self.heater_breaker:
            yield Fault(
                "cold.breaker", "How does the heater's breaker stand?",
                (("On", "cold.off"), ("Off or in between", "breaker")),
            )  # fmt: skip
            yield from self._not_heating()
        else:
            yield from self._not_heating()

    def _not_heating(self) -> Iterator[Fault]:
        """The heater does not heat, and nothing of its owner's is the reason."""
        yield Fault(
            "cold.off", "The element, its thermostat or its high limit is open",
            first=COVERS,
            steps=("A high limit that tripped is not pushed in again: it tripped for a reason.",
                   "The heater off at its supply, and left so for the repair."),
            who=f"{ELECTRICIAN} and for water heaters.", reads=("tank_temperature",),
        )  # fmt: skip

    def _breaker(self) -> Iterator[Fault]:
        yield Fault(
            "breaker", "A breaker is off. Did it trip before, since it was last looked at?",
            (("No, the first time", "breaker.once"), ("Yes, again", "breaker.again")),
        )  # fmt: skip
        yield Fault(
            "breaker.once", "It may be switched on once",
            first=COVERS,
            steps=("Smell of burning, heat or a wet panel: leave it, go away, call.",
                   "Wait ten minutes. Push it fully OFF, then ON.",
                   "If it goes off again, leave it OFF."),
            who=f"{ELECTRICIAN}, if it goes off again.", reads=("pump_amps",),
        )  # fmt: skip
        yield Fault(
            "breaker.again", "Something is broken behind it",
            first=COVERS,
            steps=("Leave it OFF: each try may do more harm.", self._meanwhile()),
            who=f"{ELECTRICIAN}.", reads=("pump_amps",),
        )  # fmt: skip
