"""The heated tank: the fewest modules that meet what is asked of it, how they are wired, and the
element or elements on them.

Thousands of arrays on elements are screened by the hour, in the site's own year and in others of
the same months; the verdicts of a fine run decide, of the fewest modules that the screen does not
rule out first.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from wellsolar import kinds
from wellsolar.constants import HOUR
from wellsolar.data.hot_water_tables import ElementRating
from wellsolar.physics.array import module, resistive, string_layouts
from wellsolar.physics.sun.year import HourlyYear, PlaneYear
from wellsolar.physics.tank import events, hot_water
from wellsolar.physics.tank.ranking import drawn_year
from wellsolar.physics.tank.screen import TapSide, screen_tanks
from wellsolar.physics.types import FloatArray, Progress
from wellsolar.results.heat import HeatedTankResult
from wellsolar.site.loading.stock import Item
from wellsolar.site.schema import Site
from wellsolar.studies.array.cold_voltage import COLD_VOLTAGE
from wellsolar.studies.array.heater_circuit import (
    HeaterCircuit,
    OnArray,
    element_on_array,
)
from wellsolar.studies.asked.changed_site import changed_site
from wellsolar.studies.heat import verdicts as heat_verdicts
from wellsolar.studies.heat.days import reaches_in_a_day
from wellsolar.studies.heat.one_day import MOST_SERIES
from wellsolar.studies.heat.study import study_heated_tank
from wellsolar.studies.heat.tank import (
    TankAtWork,
    auxiliary_heat_of,
    circuit_in_tank,
    work_of,
)
from wellsolar.studies.heat.year import OTHER_SEEDS, heat_beside
from wellsolar.studies.house.demand import (
    HOURS_A_DAY,
    TapDraw,
    draw_volume_of,
    draws_of_day,
    evening_draw,
    heat_aims,
    in_pieces,
)
from wellsolar.studies.match.designs import (
    MOST_MODULES,
    MOST_STRINGS,
    Choice,
    DesignElement,
    choices_of,
    in_other_sun,
)
from wellsolar.studies.safety.direct_current import ELEMENT_LOAD
from wellsolar.studies.safety.legionella import LEGIONELLA
from wellsolar.studies.sun.days import MONTH_NAMES, STEP
from wellsolar.studies.sun.kinds_of_day import group_days
from wellsolar.studies.sun.module_sheet import parameters_of
from wellsolar.studies.sun.year import other_years, plane_of_group
from wellsolar.units import Quantity, in_file
from wellsolar.verdicts import Change, Rule, Verdict, set_to

ASKED: frozenset[Rule] = frozenset({
    heat_verdicts.SETTING, heat_verdicts.REACHES, heat_verdicts.SHARE, heat_verdicts.EVENING,
    heat_verdicts.BY_SUN, LEGIONELLA,
})  # fmt: skip
"""What is asked of a heated tank: each holds the number of modules from below."""

NEAR_EVENINGS, NEAR_SHARE = 5, 0.01
"""By how much the screen may be wrong: evenings, and share of the year's heat. Measured by the
tests, 3 and 0.005 on their sites."""

ALIKE_EVENINGS = 2
"""Evenings by which the screen may do one design more wrong than another of as many modules."""

SURE_OF_DAY = 1e-9
"""Part of the heat for a cold tank that may lack as round-off where a clear day can bring it."""

FIRST_ROUND = 6
"""Numbers of modules that are looked at together before there is a need for more: our choice."""

TOO_FEW = "too few modules even at their greatest power"
"""Of arrays of which no element is looked at."""

MOST_STRINGS_UNFUSED = 2
"""Rows side by side that ask no fuse in each: a third would feed a fault with two others."""

PAYS = 0.5
"""Part of what modules bring on average, hot evenings or heat, that one more has to bring where no
number of them does what is asked: our own."""

OF_EACH_COUNT = 6
"""Designs of a number of modules whose other years are screened: our choice."""


Wired = tuple[int, int]
"""Series and rows of an array."""


class Elements(NamedTuple):
    """Elements that there are.

    ratings: their plates; items: what the user's stock calls each plate
    free: openings of the tank, each with its thread [m], None where nobody tells it
    on_hand: True where no more may be used than are there
    """

    ratings: tuple[ElementRating, ...]
    items: Mapping[tuple[float, float], Item]
    free: Mapping[str, float | None]
    on_hand: bool = False

    def allow(self, element: DesignElement) -> bool:
        """Whether so many there are, and openings into which they screw."""
        item = self.items.get((element.voltage, element.power))
        there = item.on_hand if self.on_hand and item is not None else math.inf
        thread = None if item is None else item.opening
        fit = [thread is None or values is None or math.isclose(values, thread)
               for values in self.free.values()]  # fmt: skip
        return element.count <= min(len(fit), there) and all(fit[: element.count])

    def called(self, element: DesignElement) -> str:
        """What the stock calls it, to stand behind its plate."""
        item = self.items.get((element.voltage, element.power))
        return "" if item is None else f" ({item.called(element.count)})"


@dataclass(frozen=True, eq=False)
class Design:
    """An array on an element, as the screen sees it.

    choice: with its power by the hour; evenings: hot ones of the worst year looked at, of the
        site's own where the others were not
    share: of the year's heat; both None where the file tells of no draws
    day: power through the clear day of the darkest month [W]; reaches: whether it brings the tank
        from cold to its setpoint; sure: whether the other years were looked at
    """

    choice: Choice
    evenings: int | None
    share: float | None
    day: FloatArray
    reaches: bool
    sure: bool = True

    @property
    def modules(self) -> int:
        """Modules of all rows."""
        return self.choice.series * self.choice.strings

    @property
    def label(self) -> str:
        """As a counter would say it, with its element."""
        return f"{self.wired} on {self.choice.element.text}"

    @property
    def wired(self) -> str:
        """The modules and how they are wired."""
        return wired(self.choice.series, self.choice.strings)


@dataclass(frozen=True, eq=False)
class Judged:
    """A design after its fine run. site: with it; verdicts: of what is asked, and result: of what
    gives heat of it; spare: whether that is without one of the rows."""

    design: Design
    changes: tuple[Change, ...]
    site: Site
    result: HeatedTankResult
    verdicts: tuple[Verdict, ...]
    spare: bool = False

    @property
    def passes(self) -> bool:
        """Whether nothing that is asked stays short."""
        return all(verdict.status in ("pass", "unknown") for verdict in self.verdicts)

    @property
    def worst(self) -> tuple[int, ...]:
        """How it stands: fails, then cautions, then the modules."""
        stands = Counter(verdict.status for verdict in self.verdicts)
        return stands["fail"], stands["caution"], self.design.modules


@dataclass(frozen=True, eq=False)
class FoundHeater:
    """The fewest modules for a tank.

    chosen: the design; smaller: the best with fewer modules, None where one module does
    passes: False where nothing that was looked at does what is asked
    looked_at: designs; shut_out: rule -> how many it did not let pass
    most: where none passes, the one that brings most of what is asked
    missed: verdicts of the chosen one on what nothing that was looked at reaches
    """

    chosen: Judged
    smaller: Judged | None
    passes: bool
    looked_at: int
    shut_out: Mapping[str, int]
    most: Judged | None = None
    missed: tuple[Verdict, ...] = ()


@dataclass(frozen=True, eq=False)
class HeaterSearch:
    """A tank for which modules and element are looked for.

    site: with the tank, an array that feeds it and an element, both to be replaced unless kept
    year, diverted: as of `study_heated_tank`
    elements: that there are; kept: series and strings of an array that is there, else None
    most: modules that there are, None for any number
    price: of so many modules on an element, where money is to be least
    spare: whether what is asked has to be done with one of the rows dead
    """

    site: Site
    year: HourlyYear | None
    diverted: FloatArray | None
    elements: Elements
    kept: Wired | None = None
    most: int | None = None
    progress: Progress | None = None
    price: Callable[[int, DesignElement], float] | None = None
    spare: bool = False
    fine_runs: dict[str, Judged] = field(default_factory=dict)

    @cached_property
    def on(self) -> OnArray:
        """The element on its array."""
        on_array = element_on_array(self.site)
        assert on_array is not None
        return on_array

    @cached_property
    def circuit(self) -> HeaterCircuit:
        """Of the two."""
        assert self.site.module is not None
        return circuit_in_tank(self.site, self.on, parameters_of(self.site.module))

    @cached_property
    def work(self) -> TankAtWork:
        """The tank."""
        assert self.site.water_heater is not None
        return work_of(self.site, self.site.water_heater, self.on.element)

    @cached_property
    def planes(self) -> list[PlaneYear]:
        """The site's own year on the modules and others of the same months; none without sun."""
        if self.year is None:
            return []
        years = [self.year, *other_years(self.site, OTHER_SEEDS)]
        on = self.on
        return [plane_of_group(self.site, year, on.group, on.group_path) for year in years]

    def fewest(self) -> FoundHeater:
        """The design of the fewest modules that does what is asked, by its fine run.

        Returns:
            the design; where none does, the one that stands best
        """
        shut_out: Counter[str] = Counter()
        designs: list[Design] = []
        too_few, rounds = self._rounds()
        looked_at = 0
        for wired in rounds:
            some, left_out = self._designs_of(wired)
            designs += some
            shut_out.update(left_out)
            looked_at += len(some) + sum(left_out.values())
            for cost in sorted({self._cost(design) for design in some}):
                of_cost = [design for design in designs if self._cost(design) == cost]
                if any(self._hopeful(design) for design in of_cost):
                    others = [design for design in designs if self._cost(design) != cost]
                    of_cost = self._in_other_years(of_cost)
                    designs = [*others, *of_cost]
                candidates = self._of_count(of_cost)
                if candidates and candidates[-1].passes:
                    chosen, smaller = self._lowered(designs, candidates[-1])
                    if smaller is None and too_few:
                        few, _ = self._designs_of(too_few)
                        chosen, smaller = self._lowered([*few, *designs], chosen)
                    shut_out[TOO_FEW] += len(too_few)
                    return FoundHeater(chosen, smaller, True, looked_at + len(too_few), +shut_out)
                for design in of_cost:
                    short = self._short(design)
                    shut_out[min(short, key=lambda key: short[key])] += 1
        if too_few:
            few, left_out = self._designs_of(too_few)
            designs = [*few, *designs]
            shut_out.update(left_out)
            looked_at += len(few) + sum(left_out.values())
        if not designs:
            raise NothingSuits(shut_out)
        designs = self._in_other_years(designs)
        chosen, furthest = (self.judged(design) for design in self._as_far_as_it_pays(designs))
        # A clear day that some array makes warm enough is within reach, if not of this one.
        reached = {heat_verdicts.REACHES} if any(design.reaches for design in designs) else set()
        missed = [
            verdict for verdict in chosen.verdicts
            if verdict.status in ("fail", "caution") and verdict.rule not in reached
        ]  # fmt: skip
        return FoundHeater(chosen, None, False, looked_at, shut_out, furthest, tuple(missed))

    def _as_far_as_it_pays(self, designs: Sequence[Design]) -> tuple[Design, Design]:
        """Of designs none of which does what is asked, the one beyond which a module more brings
        less than `PAYS` of what those before it bring on average, and the one that brings most;
        where none brings anything, the smallest."""
        best: dict[int, Design] = {}
        looked_at = [design for design in designs if design.sure]
        for design in sorted(
            looked_at, key=lambda looked: _plainness(looked.choice), reverse=True
        ):
            held = best.get(design.modules)
            if held is None or self._brings(design) >= self._brings(held):
                best[design.modules] = design
        counts = sorted(best)
        brings = {count: self._brings(best[count]) for count in counts}
        most = max(counts, key=lambda count: (brings[count], -count))
        paid = next((count for count in counts if brings[count] > 0.0), most)
        while True:
            pays = PAYS * brings[paid] / paid
            more = (count for count in counts if count > paid
                    and (brings[count] - brings[paid]) / (count - paid) >= pays > 0.0)  # fmt: skip
            further = next(more, None)
            if further is None:
                return best[paid], best[most]
            paid = further

    def _brings(self, design: Design) -> float:
        """What a design brings of what is asked: hot evenings where those are not reached, else
        heat, its day's where no draws are told."""
        if design.evenings is None or design.share is None:
            return float(design.day.sum())
        return float(design.evenings) if self._marks[0] else design.share

    def _cost(self, design: Design) -> tuple[float, int]:
        """What is made least: money, then modules."""
        if self.price is None:
            return 0.0, design.modules
        return self.price(design.modules, design.choice.element), design.modules

    def _most_modules(self) -> int:
        """Modules up to which is looked."""
        if self.kept is not None:
            return self.kept[0] * self.kept[1]
        return MOST_MODULES if self.most is None else min(MOST_MODULES, self.most)

    def designs(self, most: int) -> tuple[list[Design], dict[str, int]]:
        """What suits of all arrays up to a number of modules, as the screen sees it.

        Parameters:
            most: modules of all rows
        Returns:
            the designs, and by rule how many others it left out
        """
        return self._designs_of(self._every(most))

    def _every(self, most: int) -> list[Wired]:
        """All arrays up to a number of modules, or the one that is there."""
        if self.kept is not None:
            return [self.kept]
        every = string_layouts.layouts_up_to(most, MOST_SERIES, MOST_STRINGS)
        return [layout for layout in every if layout[1] > self.spare]

    def _alive(self, choice: Choice) -> Choice:
        """What is left of an array by which it is judged."""
        return replace(choice, strings=choice.strings - 1) if self.spare else choice

    def _rounds(self) -> tuple[list[Wired], list[list[Wired]]]:
        """Arrays that are too few modules even at their greatest power, and the others in rounds,
        from few modules to many, the next smaller number with the first. Where more may cost
        less, all are one round."""
        every = self._every(self._most_modules())
        counts = sorted({series * strings for series, strings in every})
        if self.price is not None or not self.planes or not self._draws() or len(counts) < 2:
            return [], [every]
        able = self._able(counts)
        first = next((place for place, hot_one in enumerate(able) if hot_one), None)
        if first is None:
            return [], [every]
        first = max(0, first - 1)
        ends = [first, first + FIRST_ROUND, first + 2 * FIRST_ROUND, len(counts)]
        rounds = [counts[begin:end] for begin, end in pairwise(ends)]
        few, *parts = (
            [layout for layout in every if layout[0] * layout[1] in some]
            for some in (counts[:first], *rounds)
        )
        return few, [part for part in parts if part]

    def _able(self, counts: Sequence[int]) -> list[bool]:
        """Whether so many modules could do what is asked in a year, each at its greatest power at
        every hour."""
        plane = self.planes[0]
        one = module.at_conditions(
            self.circuit.parameters, plane.effective_irradiance, plane.cell_temperature
        )
        greatest = np.asarray(resistive.maximum_power_point(one).power)
        hot, share = self._screened(np.outer(counts, greatest), None)
        evenings, of_heat = self._marks
        able = (hot + NEAR_EVENINGS >= evenings) & (share + NEAR_SHARE >= of_heat)
        return [bool(answer) for answer in able]

    def _designs_of(self, wired: Sequence[Wired]) -> tuple[list[Design], dict[str, int]]:
        """What suits of some arrays, as of `designs`."""
        plane = self.planes[0] if self.planes else None
        choices, left_out = self._choices(plane, wired)
        if not choices:
            return [], left_out
        days = self._darkest_days(choices)
        reached = [self._reaches(day) for day in days]
        hot: Sequence[int | None] = [None] * len(choices)
        share: Sequence[float | None] = [None] * len(choices)
        if self._draws():
            own = np.stack([choice.power for choice in choices])
            hot, share = (column.tolist() for column in self._screened(own, self.progress))
        sure = hot[0] is None or len(self.planes) == 1
        rows = zip(choices, hot, share, days, reached, strict=True)
        return [Design(*row, sure) for row in rows], left_out

    def _choices(
        self, plane: PlaneYear | None, wired: Sequence[Wired]
    ) -> tuple[tuple[Choice, ...], dict[str, int]]:
        """Arrays on elements that suit, and by rule how many do not."""
        if plane is None:
            raise NothingSuits({})
        if not wired:
            return (), {}
        choices = choices_of(
            self.site, self.on, self.circuit, plane, 0, self._day_heat(), self.elements.ratings,
            wired, int(self.spare),
        )  # fmt: skip
        left = choices.left_out
        counted = {
            COLD_VOLTAGE.key: left.over_voltage,
            ELEMENT_LOAD.key: left.over_plate,
            "conductor or contacts": left.over_current,
            "another element gives more every month": left.weaker,
        }
        of_layouts = [
            choice for choice in choices.suiting if (choice.series, choice.strings) in wired
        ]
        fits = [choice for choice in of_layouts if self.elements.allow(choice.element)]
        counted["openings of the tank"] = len(of_layouts) - len(fits)
        distinct = {_electrically(choice): choice for choice in sorted(fits, key=_plainness)[::-1]}
        counted["the same power, less plainly wired"] = len(fits) - len(distinct)
        return tuple(distinct.values()), {key: count for key, count in counted.items() if count}

    def _darkest_days(self, choices: Sequence[Choice]) -> list[FloatArray]:
        """Power of each through the clear day that gives it least [W]."""
        aimed = self.site.aim.clear_day_month
        every = group_days(self.site, self.on.group, self.on.group_path, self.year).clear
        days = [day for name, day in zip(MONTH_NAMES, every, strict=True) if aimed in (None, name)]
        light = np.concatenate([day.effective_irradiance for day in days])
        cells = np.concatenate([day.cell_temperature for day in days])
        power = in_other_sun(self.circuit, light, cells, [*map(self._alive, choices)])
        of_day = power.reshape(len(choices), len(days), -1)
        darkest = of_day.sum(axis=2).argmin(axis=1)
        return [of_day[row, day] for row, day in enumerate(darkest.tolist())]

    def _reaches(self, day: FloatArray) -> bool:
        """Whether a day of power [W] brings a cold tank to its setpoint, or as far as is aimed at;
        it is run where the heat would be enough."""
        work, aimed = self.work, self.site.aim.clear_day_temperature
        warm = work.setpoint if aimed is None else min(work.setpoint, float(aimed))
        wanted = work.tank.capacity_above_element * (warm - work.inlet)
        if float(day.sum()) * STEP < wanted * (1.0 - SURE_OF_DAY):
            return False
        if aimed is not None and work.run(day, work.inlet).mean_temperature[-1] >= aimed:
            return True
        return warm == (aimed or warm) and reaches_in_a_day(work, day, work.inlet)

    def _in_other_years(self, designs: Sequence[Design]) -> list[Design]:
        """The same with the hot evenings of the worst of the years, of each number of modules
        those that have most in the own one."""
        taken: list[Design] = []
        so_far: Counter[int] = Counter()
        for design in sorted(designs, key=lambda design: -(design.evenings or 0)):
            so_far[design.modules] += 1
            if so_far[design.modules] <= (OF_EACH_COUNT if self._hopeful(design) else 1):
                taken.append(design)
        taken = [design for design in taken if not design.sure]
        if not taken:
            return list(designs)
        some = [self._alive(design.choice) for design in taken]
        powers = [
            in_other_sun(self.circuit, plane.effective_irradiance, plane.cell_temperature, some)
            for plane in self.planes[1:]
        ]
        theirs, _ = self._screened(np.concatenate(powers), None)
        fewest = theirs.reshape(len(powers), len(some)).min(axis=0).tolist()
        known = {
            id(design): replace(design, evenings=min(design.evenings or 0, least), sure=True)
            for design, least in zip(taken, fewest, strict=True)
        }
        return [known.get(id(design), design) for design in designs]

    def _hopeful(self, design: Design) -> bool:
        """Whether a design has hot evenings enough but for the screen's error."""
        return design.evenings is None or design.evenings >= self._marks[0] - NEAR_EVENINGS

    def _screened(
        self, powers: FloatArray, progress: Progress | None
    ) -> tuple[NDArray[np.int_], FloatArray]:
        """Hot evenings, and share of the heat, of tanks with so much power by the hour [W]."""
        heater, work = self.site.water_heater, self.work
        assert heater is not None
        draws, hours = self._draws(), powers.shape[1]
        side = TapSide(work.inlet, work.room, work.tap, work.setpoint, work.differential)
        pieces = events.every_day(in_pieces(draws, math.inf), hours // HOURS_A_DAY, 0.0)
        beside = self._beside()
        evening = evening_draw(draws)
        last = int((evening.start + evening.duration - 1e-3) // HOUR)
        screened = screen_tanks(
            [work.tank] * len(powers),
            range(len(powers)),
            powers if beside is None else powers + beside,
            drawn_year(pieces, hours, side).hourly(),
            side,
            progress,
            (int(evening.start // HOUR), min(last, HOURS_A_DAY - 1)),
        )
        return screened.hot, 1.0 - screened.short / max(screened.wanted, 1.0)

    def _draws(self) -> tuple[TapDraw, ...]:
        """The household's draws of a day."""
        assert self.site.water_heater is not None
        draw, _ = draw_volume_of(self.site, self.site.water_heater)
        return () if draw is None else draws_of_day(self.site.water_heater.draw, draw)

    def _day_heat(self) -> float:
        """Heat of the draws of a day, of a tank from cold where none are told [J]."""
        work = self.work
        drawn = sum(draw.volume for draw in self._draws()) or work.tank.volume
        hot = max(work.tap, work.inlet)
        return hot_water.heating_energy(drawn, work.inlet, hot)

    def _beside(self) -> FloatArray | None:
        """What else heats the tank [W]."""
        if self.year is None:
            return None
        return heat_beside(self.site, self.on, self.circuit, self.year, self.diverted)

    @property
    def _marks(self) -> tuple[float, float]:
        """Evenings and share that are asked for."""
        days = self.planes[0].hours.month.size // HOURS_A_DAY if self.planes else 365
        aims, heater = heat_aims(self.site), self.site.water_heater
        assert heater is not None
        helped = auxiliary_heat_of(heater)
        # What else heats may make the evenings hot, which the screen of the sun alone can't tell.
        alone = 0.0 if helped.grid or helped.second else aims.evenings
        return math.ceil(max(alone, aims.sun_evenings or 0.0) * days), aims.share

    def _short(self, design: Design) -> dict[str, float]:
        """By rule, how far the screen sees a design from what is asked, in parts of the screen's
        own error; less than nothing where it falls short."""
        evenings, share = self._marks
        short = {heat_verdicts.REACHES.key: 1.0 if design.reaches else -math.inf}
        if design.evenings is not None and design.share is not None:
            short[heat_verdicts.SHARE.key] = (design.share - share) / NEAR_SHARE
            alone = heat_aims(self.site).sun_evenings is not None
            rule = heat_verdicts.BY_SUN if alone else heat_verdicts.EVENING
            short[rule.key] = (design.evenings - evenings) / NEAR_EVENINGS
        return short

    def _promise(self, design: Design) -> tuple[int, float]:
        """How few of what is asked the screen sees a design fall short of, then how far it is from
        the rest."""
        short = self._short(design).values()
        missed = sum(margin < -1.0 for margin in short)
        return -missed, sum(min(margin, 1.0) for margin in short if margin > -math.inf)

    def _of_count(self, designs: Sequence[Design]) -> list[Judged]:
        """Fine runs of the designs of one number of modules that may do, the most promising first,
        up to the first that does."""
        judged: list[Judged] = []
        more = NEAR_EVENINGS
        plain_first = sorted(designs, key=lambda design: _plainness(design.choice))
        for design in sorted(plain_first, key=self._promise, reverse=True):
            if self._promise(design)[0] < 0:
                break
            if design.evenings is not None and design.evenings + more < self._marks[0]:
                continue
            judged.append(self.judged(design))
            if judged[-1].passes:
                break
            if design.evenings is not None and judged[-1].result.households:
                counted = judged[-1].result.households[0].fewest_evenings
                seen = counted - design.evenings + ALIKE_EVENINGS
                more = min(NEAR_EVENINGS, seen if len(judged) == 1 else max(more, seen))
        return judged

    def _lowered(self, designs: Sequence[Design], chosen: Judged) -> tuple[Judged, Judged | None]:
        """The design of the fewest modules, and the best with fewer, which falls short."""
        while True:
            fewer = [
                design for design in designs if self._cost(design) < self._cost(chosen.design)
            ]
            if not fewer:
                return chosen, None
            cost = max(self._cost(design) for design in fewer)
            best = max(
                (design for design in fewer if self._cost(design) == cost), key=self._promise
            )
            smaller = self.judged(best)
            if not smaller.passes:
                return chosen, smaller
            chosen = smaller

    def judged(self, design: Design) -> Judged:
        """A design after its fine run.

        Parameters:
            design: of `designs`
        Returns:
            what is asked, judged
        """
        if design.label not in self.fine_runs:
            changes = self.changes(design.choice)
            site = changed_site(self.site, changes)
            alive = changed_site(self.site, self.changes(self._alive(design.choice)))
            result, part = study_heated_tank(alive, self.year, self.diverted, advise=False)
            assert result is not None
            verdicts = tuple(verdict for verdict in part.verdicts if verdict.rule in ASKED)
            self.fine_runs[design.label] = Judged(
                design, changes, site, result, verdicts, self.spare
            )
        return self.fine_runs[design.label]

    def changes(self, choice: Choice) -> tuple[Change, ...]:
        """A design as it is written to the site file.

        Parameters:
            choice: an array on an element
        Returns:
            the changes, of array and element
        """
        element, path = choice.element, self.on.path
        plate = [
            (f"{path}.rated_power", Quantity(element.power, kinds.POWER)),
            (f"{path}.rated_voltage", Quantity(element.voltage, kinds.VOLTAGE)),
        ]
        set_keys = [
            set_to(f"{self.on.group_path}.series", choice.series),
            set_to(f"{self.on.group_path}.parallel", choice.strings),
            *(set_to(key, in_file(value)) for key, value in plate),
        ]
        if element.count > 1:
            wired = "series" if element.joined == "in series" else "parallel"
            set_keys += [set_to(f"{path}.count", element.count), set_to(f"{path}.wired", wired)]
        return tuple(set_keys)


class NothingSuits(Exception):  # noqa: N818 - reads as what happened
    """No array on any element suits; `shut_out`: rule -> how many it did not let pass."""

    def __init__(self, shut_out: Mapping[str, int]) -> None:
        super().__init__("no array on any element suits")
        self.shut_out = shut_out


def wired(series: int, strings: int) -> str:
    """Modules and how they are wired, as a counter would say it.

    Parameters:
        series: modules in each row
    """
    one = f"{series * strings} modules" if series * strings > 1 else "1 module"
    return f"{one} in a row" if strings == 1 else f"{one} in {strings} rows of {series}"


def _electrically(choice: Choice) -> tuple[int, str]:
    """What arrays on elements have in common whose power is the same at every hour: twice the
    rows of half the length on a quarter of the resistance."""
    return choice.series * choice.strings, f"{choice.power.sum():.4g} {choice.power.max():.4g}"


def _plainness(choice: Choice) -> tuple[bool, int, int]:
    """How plainly an array is wired: without fuses in its rows, on one element, in few rows."""
    return choice.strings > MOST_STRINGS_UNFUSED, choice.element.count, choice.strings
