"""Which array, element and tank give a household the most: a site's heated tank, ranked."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from wellsolar import kinds
from wellsolar.errors import OutOfRange
from wellsolar.physics.array import module_fit
from wellsolar.physics.sun.year import HourlyYear
from wellsolar.physics.tank import events, hot_water, stratified
from wellsolar.physics.tank import (
    ranking as heater_ranking,
)
from wellsolar.physics.tank.ranking import HeaterDesign, HeaterRanking, RankedHeater
from wellsolar.physics.tank.screen import TapSide
from wellsolar.physics.types import FloatArray
from wellsolar.results.heat import HeatedTankResult
from wellsolar.results.match import HeaterRankingResult, HeaterRow, ModuleStep
from wellsolar.results.whole import StudyPart
from wellsolar.site.schema import Site
from wellsolar.studies.array.coupling import Tracking
from wellsolar.studies.array.heater_circuit import (
    HeaterCircuit,
    OnArray,
    circuit_of,
    element_on_array,
    lacking_for_year,
)
from wellsolar.studies.heat.study import study_heated_tank
from wellsolar.studies.heat.tank import differential_of, tank_of
from wellsolar.studies.heat.year import heat_beside
from wellsolar.studies.house import demand
from wellsolar.studies.match.designs import MOST_MODULES, Choice, Choices, choices_of
from wellsolar.studies.match.verdicts import USED, used_verdict
from wellsolar.studies.sold.standard_sizes import sizes
from wellsolar.studies.sun.module_sheet import rating_of
from wellsolar.studies.sun.refused import why_refused
from wellsolar.studies.sun.year import plane_of_group
from wellsolar.studies.supply.ranking_asked import RankingAsked

SAME_SIZE = 0.05
"""Part by which a tank that is sold is taken to be the site's own."""


OWN_TANK = "own tank"


def study_heater_ranking(
    site: Site,
    year: HourlyYear | None,
    diverted: FloatArray | None,
    asked: RankingAsked,
) -> tuple[HeaterRankingResult | None, StudyPart]:
    """The arrays, elements and tanks of a site's heated tank ranked by what comes to the tap.

    Parameters:
        diverted: power of an element on the inverter by the hour [W]
    Returns:
        the ranking, None where the file tells too little, and what it brings
    """
    on = element_on_array(site)
    name = "water heater" if on is None else on.group.name
    missing = [*([] if on is not None else ["array"]), *lacking_for_year(site, year)]
    if missing or on is None or year is None or site.module is None:
        return None, StudyPart((USED.unknown(name, *missing[:2]),))
    heated, heat_part = study_heated_tank(site, year, diverted)
    if heated is None:
        return None, StudyPart(heat_part.verdicts)
    if heated.draw_volume is None:
        return None, StudyPart((USED.unknown(name, "water_heater.draw.volume", "site.people"),))
    if heated.draw_volume > demand.MOST_TANKS * heated.tank_volume:
        why = f"more than {demand.MOST_TANKS:.0f} tanks a day is no household's draw"
        keys = ("water_heater.draw.volume", "water_heater.volume")
        return None, StudyPart((USED.unknown(name, *keys, why=why),))
    try:
        parameters = module_fit.fit_five_parameters(rating_of(site.module))
        water = hot_water.half_heated(heated.inlet_temperature, heated.setpoint)
        circuit = circuit_of(parameters, on.group, on.element, water, float(site.losses.wiring))
        result = _Ranking(site, on, circuit, heated, heated.draw_volume, asked).of_year(
            year, diverted
        )
    except OutOfRange as error:
        unknown = USED.unknown(name, "module.vmp", "module.imp", why=why_refused(error))
        return None, StudyPart((unknown,))
    assumptions = heat_part.assumptions
    return result, StudyPart((used_verdict(on, result),), assumptions)


@dataclass(frozen=True)
class _Ranking:
    """A site's heated tank, about to be ranked."""

    site: Site
    on: OnArray
    circuit: HeaterCircuit
    heated: HeatedTankResult
    draw_volume: float
    asked: RankingAsked

    def of_year(self, year: HourlyYear, diverted: FloatArray | None) -> HeaterRankingResult:
        heater = self.site.water_heater
        assert heater is not None
        plane = plane_of_group(self.site, year, self.on.group, self.on.group_path)
        most = self._most()
        inlet, tap = self.heated.inlet_temperature, self.heated.tap.temperature
        wanted = hot_water.heating_energy(self.draw_volume, inlet, max(tap, inlet))
        choices = choices_of(self.site, self.on, self.circuit, plane, most, wanted)
        all_choices = [choice for choice in choices.suiting if not choice.own] + [choices.own]
        powers = np.stack([choice.power for choice in all_choices])
        beside = heat_beside(self.site, self.on, self.circuit, year, diverted)
        if beside is not None:
            powers = powers + beside
        designs, volumes = self._designs(all_choices, choices)
        pieces = demand.in_pieces(demand.draws_of_day(heater.draw, self.draw_volume), math.inf)
        draws = events.every_day(pieces, powers.shape[1] // demand.HOURS_A_DAY, 0.0)
        own = next(
            number
            for number, design in enumerate(designs)
            if design.source == len(all_choices) - 1 and design.group == OWN_TANK
        )
        ranking = heater_ranking.rank_heaters(
            designs, powers, draws, self._side(), self.asked.top + 1, self.asked.workers,
            self.asked.progress, [own],
        )  # fmt: skip
        return self._result(ranking, all_choices, choices, own, most, volumes)

    def _most(self) -> int:
        """Modules up to which is looked: those on hand, if they are no more than usual."""
        assert self.site.module is not None
        on_hand = self.site.module.on_hand
        own = self.circuit.series * self.circuit.parallel
        return max(own, min(MOST_MODULES, MOST_MODULES if on_hand is None else on_hand))

    def _side(self) -> TapSide:
        heater = self.site.water_heater
        assert heater is not None
        return TapSide(
            inlet=self.heated.inlet_temperature,
            room=self.heated.room_temperature,
            tap=self.heated.tap.temperature,
            setpoint=self.heated.setpoint,
            hysteresis=differential_of(heater),
        )

    def _designs(
        self, all_choices: Sequence[Choice], choices: Choices
    ) -> tuple[list[HeaterDesign], tuple[float, ...]]:
        """Every choice with every tank; one of the site's own that does not suit with its own."""
        heater = self.site.water_heater
        assert heater is not None
        tank = tank_of(heater, self.on.element)
        least, system = self.draw_volume / demand.MOST_TANKS, self.site.site.print_units
        others = [
            volume
            for volume in map(float, sizes("water heater", kinds.VOLUME, system))
            if abs(volume / tank.volume - 1.0) > SAME_SIZE and volume >= least
        ]
        volumes = tuple(sorted([tank.volume, *others]))
        suits = any(choice.own for choice in choices.suiting)
        designs = [
            HeaterDesign(
                choice.series * choice.strings,
                source,
                tank if volume == tank.volume else stratified.resized(tank, volume),
                OWN_TANK if volume == tank.volume else "",
                demand.largest_shift(self.draw_volume, volume),
            )
            for volume in volumes
            for source, choice in enumerate(all_choices)
            if suits or not choice.own or volume == tank.volume
        ]
        return designs, volumes

    def _result(
        self,
        ranking: HeaterRanking,
        all_choices: Sequence[Choice],
        choices: Choices,
        own: int,
        most: int,
        volumes: tuple[float, ...],
    ) -> HeaterRankingResult:
        assert self.site.module is not None
        suits = any(choice.own for choice in choices.suiting)
        rows = {heater.number: _row(heater, all_choices[heater.design.source], own)
                for heater in ranking.rows}  # fmt: skip
        listed = [heater for heater in ranking.rows if suits or heater.number != own]
        elsewhere = sum(group.series * group.parallel for group in self.site.array)
        elsewhere -= self.circuit.series * self.circuit.parallel
        return HeaterRankingResult(
            screened=ranking.screened,
            refined=len(ranking.rows),
            most_modules=most,
            on_hand=self.site.module.on_hand,
            elsewhere=elsewhere,
            tank_volumes=volumes,
            heat_wanted=ranking.wanted,
            tracking=isinstance(self.circuit.coupling, Tracking),
            left_out=choices.left_out,
            rows=tuple(rows[heater.number] for heater in listed[: self.asked.top]),
            own=rows[own],
            own_suits=suits,
            steps=_steps(listed, rows),
        )


def _row(heater: RankedHeater, choice: Choice, own: int) -> HeaterRow:
    return HeaterRow(
        series=choice.series,
        strings=choice.strings,
        element=choice.element.text,
        rated_power=choice.element.power,
        rated_voltage=choice.element.voltage,
        count=choice.element.count,
        joined=choice.element.joined,
        own_element=choice.element.own,
        resistance=choice.element.resistance,
        greatest_voltage=choice.greatest_voltage,
        tank_volume=heater.design.tank.volume,
        heat_loss=heater.design.tank.heat_loss_coefficient,
        share=heater.share,
        heat_missing=heater.short,
        own=heater.number == own,
    )


def _steps(listed: Sequence[RankedHeater], rows: dict[int, HeaterRow]) -> tuple[ModuleStep, ...]:
    """The first of each number of modules, on the site's own tank and on any."""
    first: dict[int, HeaterRow] = {}
    on_own: dict[int, HeaterRow] = {}
    for heater in listed:
        first.setdefault(heater.design.modules, rows[heater.number])
        if heater.design.group == OWN_TANK:
            on_own.setdefault(heater.design.modules, rows[heater.number])
    return tuple(ModuleStep(on_own.get(count), first[count]) for count in sorted(first))
