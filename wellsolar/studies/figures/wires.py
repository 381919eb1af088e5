"""The electric side of a site as a one-line diagram: supplies above, what they drive below."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from wellsolar import kinds
from wellsolar.results.figures import Branch, Carries, Parallel, Series, Sign, Thing
from wellsolar.site.schema import ArrayTable, Cable, ElementTable, PumpTable, Site
from wellsolar.studies.electric.sources_apart import pairs_of
from wellsolar.studies.electric.supplies import on_solar_drive, on_the_sun, supplies_of
from wellsolar.studies.figures.tags import Piece, Tags, meeting, parting, pump_thing, run
from wellsolar.studies.house.chain import pumps_run
from wellsolar.units import Quantity

AC: Carries = "alternating current"
DC: Carries = "direct current"

COUPLERS = {"switched": "relays that choose a resistance", "tracking": "power-point controller"}


def power_of(site: Site) -> Branch | None:
    """The electric side of a site on one line: the diagram from the supplies down to pumps and
    elements; None where it has none of these."""
    drawn = tuple(_Wiring(site).whole())
    if not drawn:
        return None
    return drawn[0] if len(drawn) == 1 else Parallel(drawn)


class _Wiring:
    """The wires of one site while they are put together."""

    def __init__(self, site: Site) -> None:
        self.site = site
        self.tags = Tags()
        heater = site.water_heater
        self.elements = () if heater is None else heater.element
        self.supplies = supplies_of(site)

    @cached_property
    def grid(self) -> Thing:
        """The grid, which may stand in two places."""
        phases = self.site.power.grid_phases
        phase_word = None if phases is None else "three-phase" if phases == 3 else "single-phase"
        return self.tags.thing("grid", "grid", ("{}", phase_word), carries=AC)

    @cached_property
    def battery(self) -> Thing:
        """The battery, which may stand in two places."""
        energy = self.site.power.battery_energy
        return self.tags.thing(
            "battery", "battery", ("{}", energy), carries=DC, is_known=energy is not None
        )

    def whole(self) -> list[Branch]:
        """What hangs together, each as a branch of its own."""
        branches: list[Branch] = []
        for group in self.site.array:
            if group.feeds == "heater":
                branches.append(self.onto_elements(group))
            elif group.feeds == "pump":
                branches.append(self.onto_pumps(group))
            elif group.feeds == "other":
                branches.append(Series(tuple(self.modules(group))))
        house = self.house()
        branches += [] if house is None else [house]
        if len(self.supplies) > 1 and (fed := self.fed_by("grid")):
            branches.append(Series((self.grid, *parting(fed))))
        direct = [pump for pump in self.site.pump if pump.supply == "DC" and not self.sunny(pump)]
        if direct and not any(group.feeds == "pump" for group in self.site.array):
            branches.append(
                Series((self.battery, *parting(self.onto_pump(pump) for pump in direct)))
            )
        return branches

    def sunny(self, table: PumpTable) -> bool:
        """Whether modules drive a pump straight."""
        return on_the_sun(self.site, table) or on_solar_drive(self.site, table)

    def fed_by(self, supply: str) -> list[Branch]:
        """The elements that hang on a supply of alternating current."""
        return [self.on_mains(element) for element in self.elements if element.fed_by == supply]

    def house(self) -> Branch | None:
        """The supplies of alternating current and what they drive."""
        order = [supply for supply in ("grid", "generator", "inverter") if supply in self.supplies]
        parts = meeting(self.supply(supply) for supply in order)
        if len(order) > 1:
            kept = set(pairs_of(self.site)) <= set(self.site.power.kept_apart or ())
            one = ("one supply at a time", "")
            parts.append(self.turned("transfer", "transfer switch", one, is_known=kept))
        pumps = [pump for pump in self.site.pump if pump.supply == "AC" and not self.sunny(pump)]
        lanes = [self.onto_pump(pump) for pump in pumps]
        if len(lanes) > 1 and pumps_run(self.site) == "kept apart":
            one = ("one pump at a time", "")
            lanes = [
                Series((self.turned("changeover", "changeover switch", one), *parting(lanes)))
            ]
        lanes += self.fed_by("inverter")
        lanes += self.fed_by("grid") if order == ["grid"] else []
        return Series((*parts, *parting(lanes))) if lanes or len(order) > 1 else None

    def supply(self, supply: str) -> Branch:
        """One supply with what charges it."""
        power = self.site.power
        if supply == "grid":
            return self.grid
        if supply == "generator":
            return self.turned("generator", "generator", ("{}", power.generator_rating))
        groups = [array for array in self.site.array if array.feeds == "battery"]
        charged: list[Branch] = [Series(tuple(self.modules(group))) for group in groups]
        if power.battery_energy is not None or charged:
            charged.append(self.battery)
        inverter = self.turned(
            "inverter",
            "inverter",
            ("{}", power.inverter_rating),
            ("{} for a start", power.inverter_surge),
            ("{}", power.inverter_voltage),
            is_known=power.inverter_rating is not None,
        )
        return Series((*meeting(charged), inverter))

    def modules(self, group: ArrayTable) -> list[Branch]:
        """A group of modules with its fuses, its isolator and its cable."""
        module, count = self.site.module, group.series * group.parallel
        watts: Quantity | None = None
        if module is not None:
            one = module.rated_power or module.vmp * module.imp
            watts = Quantity(count * one, kinds.POWER)
        row = f"{group.series} in series" if group.series > 1 else "1 module"
        rows = row if group.parallel == 1 else f"{group.parallel} rows, {row}"
        poles = {1: "opens one conductor", 2: "opens both conductors"}
        things = [self.tags.thing("modules", group.name, ("{}", watts), (rows, ""), carries=DC)]
        if group.string_fuse is not None and group.parallel > 1:
            rated = ("{}", group.string_fuse)
            things.append(self.tags.thing("fuse", "string fuses", rated, carries=DC))
        isolator = self.turned(
            "isolator",
            f"isolator of {group.name}",
            ("{}", group.isolator_voltage),
            ("{}", group.isolator_current),
            ("{}", poles.get(group.isolator_poles or 0)),
            carries=DC,
            is_known=group.isolator_voltage is not None,
        )
        return [*things, isolator, *wire(group.cable)]

    def onto_elements(self, group: ArrayTable) -> Branch:
        """Modules that heat, down to their elements."""
        fed = [element for element in self.elements if element.fed_by == group.name]
        lanes = [self.element(element, self.guards(element)) for element in fed]
        return Series((*self.modules(group), *parting(lanes)))

    def guards(self, element: ElementTable) -> list[Branch]:
        """What stands between modules and an element: electronics, thermostat, high limit."""
        branches: list[Branch] = []
        if element.coupling != "direct":
            branches.append(self.tags.thing("controller", COUPLERS[element.coupling], carries=DC))
        relay = " and relay" if element.thermostat_switches == "relay" else ""
        branches.append(
            self.tags.thing(
                "contacts",
                f"thermostat{relay}",
                ("set to {}", element.thermostat),
                ("{}", element.switch_voltage),
                ("{}", element.switch_current),
                carries=DC,
                is_known=element.thermostat_switches is not None,
            )
        )
        if element.high_limit_switches not in (None, "nothing", "same relay"):
            heater = self.site.water_heater
            branches.append(
                self.tags.thing(
                    "high limit",
                    "high limit",
                    ("opens at {}", None if heater is None else heater.high_limit),
                    ("{}", element.high_limit_voltage),
                    ("{}", element.high_limit_current),
                    carries=DC,
                )
            )
        return branches

    def on_mains(self, element: ElementTable) -> Branch:
        """An element on alternating current with its breaker, thermostat and high limit."""
        breaker = self.turned("breaker", f"breaker of {element.position} element", is_known=False)
        set_to = ("set to {}", element.thermostat)
        guard = self.tags.thing("contacts", "thermostat and high limit", set_to, carries=AC)
        return self.element(element, [breaker, *self.surplus_switch(element), guard])

    def surplus_switch(self, element: ElementTable) -> list[Branch]:
        """What lets the battery's surplus alone onto an element."""
        if element.surplus_switch in (None, "none"):
            return []
        sign: Sign = "contacts" if element.surplus_switch == "relay" else "controller"
        name = f"{element.surplus_switch} switch for the surplus"
        rated = ("{}", element.surplus_switch_current)
        return [self.tags.thing(sign, name, rated, carries=AC)]

    def element(self, element: ElementTable, before: Iterable[Branch]) -> Branch:
        """An element behind its guards; its tag is its place in the file."""
        number = next(at for at, other in enumerate(self.elements, 1) if other is element)
        joined = "by relays" if element.coupling == "switched" else f"in {element.wired}"
        alike = f"{element.count} {joined}: each {{}}" if element.count > 1 else "{}"
        rated = ((alike, element.rated_power), ("{}", element.rated_voltage))
        name = f"{element.position} element"
        return Series((*before, self.tags.thing("element", name, *rated, number=number)))

    def onto_pumps(self, group: ArrayTable) -> Branch:
        """Modules that drive pumps straight."""
        pumps = [pump for pump in self.site.pump if self.sunny(pump) or pump.supply == "DC"]
        lanes: list[Branch] = [
            Series((*self.drive(pump), *wire(pump.cable), pump_thing(self.site, pump)))
            for pump in pumps or self.site.pump[:1]
        ]
        return Series((*self.modules(group), *parting(lanes)))

    def onto_pump(self, table: PumpTable) -> Branch:
        """A pump on a house's supply or on its battery, from its breaker down."""
        current = DC if table.supply == "DC" else AC
        has_breaker = table.breaker is not None
        name = f"breaker of {table.name}"
        breaker = self.turned(
            "breaker", name, ("{}", table.breaker), carries=current, is_known=has_breaker
        )
        pump = pump_thing(self.site, table)
        return Series((breaker, *self.drive(table), *wire(table.cable), pump))

    def drive(self, table: PumpTable) -> list[Branch]:
        """What starts a pump or varies its speed, unless it sits in the motor."""
        direct = table.start == "direct"
        if table.electronics == "in the motor" or (direct and table.supply == "AC"):
            return []
        name = f"{'soft starter' if table.start == 'soft' else 'drive'} of {table.name}"
        current = DC if table.supply == "DC" else AC
        return [self.tags.thing("controller", name, carries=current, is_known=not direct)]

    def turned(
        self,
        sign: Sign,
        name: str,
        *pieces: Piece,
        carries: Carries = AC,
        is_known: bool = True,
    ) -> Thing:
        """What a hand switches, with the next tag of its kind."""
        return self.tags.thing(
            sign, name, *pieces, carries=carries, is_known=is_known, turned=True
        )


def wire(cable: Cable | None) -> list[Branch]:
    """The run of a cable; none where the file names no cable."""
    if cable is None:
        return []
    gauge = cable.gauge.replace("mm2", "mm²")
    return [run("cable", ("{}", gauge), ("{}", cable.length))]
