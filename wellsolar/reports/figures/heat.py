"""Figures of the sun's side of the house: array curves, the tank's days, the months."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.reports.figures.plots import (
    Axis,
    BarPanel,
    BarSeries,
    CurvePanel,
    Guide,
    Line,
    Mark,
    Plot,
    value,
)
from wellsolar.results import Results
from wellsolar.results.entries import MONTHS
from wellsolar.results.figures import FigureData, TankDay
from wellsolar.results.heat import HeatedTankResult, HouseholdYear
from wellsolar.results.supply import SupplyYearResult
from wellsolar.verdicts import Sentence, say

LONG_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip

HOT_EVENING = "an evening counts as hot where the whole of its draw comes as warm as wanted."

HEATED_BY = {
    "PV": "by the modules alone",
    "upper element": "with the upper element on the grid",
    "second tank": "with the second tank",
    "surplus": "by the battery's surplus alone",
}


def heat_plots(results: Results, data: FigureData) -> list[Plot]:
    """The figures of arrays, hot water and the months, in the order they are read."""
    plots = []
    heated = results.heated_tank
    if heated is not None and data.array_curves:
        plots.append(_array(data, heated))
    if heated is not None and data.tank_days:
        plots.append(_tank_days(data, heated))
    if heated is not None and heated.months:
        plots.append(_hot_water_months(heated))
    diverted = results.diverted_tank
    if diverted is not None and diverted.households:
        plots.append(_surplus_months(diverted.households))
    plots += [_supply_months(year, number) for number, year in enumerate(results.supply_years, 1)]
    return plots


def _array(data: FigureData, heated: HeatedTankResult) -> Plot:
    curves = data.array_curves
    lines = [
        Line(
            f"sun_{position + 1}", "", curve.voltages, curve.currents, 0,
            say("{sun}", sun=value(curve.irradiance, kinds.IRRADIANCE)),
        )
        for position, curve in enumerate(curves)
    ]  # fmt: skip
    for position, load in enumerate(data.loads):
        label = say("element and cable, {ohms}", ohms=value(load.resistance, kinds.RESISTANCE))
        lines.append(Line(f"load_{position + 1}", label, load.voltages, load.currents, 1))
    marks = (
        Mark("best", "most power", tuple(curve.best_voltage for curve in curves),
             tuple(curve.best_current for curve in curves), 2, "diamond"),
        Mark("works", "where it works", tuple(curve.voltage for curve in curves),
             tuple(curve.current for curve in curves), 1, "circle"),
    )  # fmt: skip
    sentences = tuple(
        say(
            "In {sun} the array works at {volts} and {amps}; the element takes {power} of the "
            "{most} that it could give.",
            sun=value(curve.irradiance, kinds.IRRADIANCE),
            volts=value(curve.voltage, kinds.VOLTAGE),
            amps=value(curve.current, kinds.CURRENT),
            power=value(point.power, kinds.COMPUTED_POWER),
            most=value(point.maximum_power, kinds.COMPUTED_POWER),
        )
        for curve, point in zip(curves, heated.working_points, strict=True)
    )
    return Plot(
        key="array",
        title=f"The modules on the heating element: {heated.array}",
        caption="Volts and amps of the whole array, cells as warm as in mild air, at the array's "
        "own terminals. The nearer the round marks lie to the diamonds, the less is lost.",
        description=sentences,
        section="heater_array",
        panels=(
            CurvePanel(
                "",
                Axis("voltage", kinds.VOLTAGE, from_zero=True),
                Axis("current", kinds.CURRENT, from_zero=True),
                tuple(lines),
                marks,
            ),
        ),
    )


def _tank_days(data: FigureData, heated: HeatedTankResult) -> Plot:
    guides = [
        Guide("setpoint", say("setpoint {t}", t=value(heated.setpoint, kinds.TEMPERATURE)),
              heated.setpoint, 1),
        Guide("tap", say("wanted at the tap {t}",
                         t=value(heated.tap.temperature, kinds.TEMPERATURE)),
              heated.tap.temperature, 2),
    ]  # fmt: skip
    if data.high_limit is not None:
        label = say("high limit {t}", t=value(data.high_limit, kinds.TEMPERATURE))
        guides.append(Guide("high_limit", label, data.high_limit, 7))
    panels = []
    for season in dict.fromkeys(day.season for day in data.tank_days):
        days = [day for day in data.tank_days if day.season == season]
        lines = tuple(
            Line(f"{season}_{day.kind}", f"{day.kind} day", day.times, day.temperatures,
                 {"clear": 3, "typical": 0, "poor": 5}[day.kind])
            for day in days
        )  # fmt: skip
        panels.append(
            CurvePanel(
                f"{season.capitalize()} ({LONG_MONTHS[days[0].month - 1]})",
                Axis("hour of the day (sun time)", kinds.DURATION, time="h", most=86_400.0),
                Axis("tank", kinds.TEMPERATURE),
                lines,
                (),
                tuple(guides),
            )
        )
    return Plot(
        key="tank_days",
        title="The tank through a day of sun",
        caption="Mean temperature of the tank, begun cold at midnight, with nobody drawing.",
        description=tuple(_day_told(day) for day in data.tank_days),
        section="heated_tank",
        panels=tuple(panels),
    )


def _day_told(day: TankDay) -> Sentence:
    return say(
        "{season}, a {kind} day of {month}: from {start} at midnight to {most} at its warmest.",
        season=day.season.capitalize(),
        kind=day.kind,
        month=LONG_MONTHS[day.month - 1],
        start=value(day.temperatures[0], kinds.TEMPERATURE),
        most=value(max(day.temperatures), kinds.TEMPERATURE),
    )


def _hot_water_months(heated: HeatedTankResult) -> Plot:
    energy = BarPanel(
        "Heat a day in the hot water",
        MONTHS,
        Axis("heat a day", kinds.ENERGY),
        (
            BarSeries("wanted", "wanted", tuple(month.heat_wanted for month in heated.months), 7),
            BarSeries("made", "by the modules",
                      tuple(month.heat_delivered for month in heated.months), 3),
        ),
    )  # fmt: skip
    panels = [energy, *(_evenings(household) for household in heated.households)]
    sentences = [
        say(
            "{month}: {made} a day by the modules of {wanted} wanted.",
            month=LONG_MONTHS[month.month - 1],
            made=value(month.heat_delivered, kinds.ENERGY),
            wanted=value(month.heat_wanted, kinds.ENERGY),
        )
        for month in heated.months
    ]
    sentences += [_evenings_told(household) for household in heated.households]
    return Plot(
        key="hot_water_months",
        title="Hot water through the year",
        caption=f"Means of each month of the site's year; {HOT_EVENING}",
        description=tuple(sentences),
        section="hot_water_year" if heated.households else "heated_tank",
        panels=tuple(panels),
    )


def _surplus_months(households: tuple[HouseholdYear, ...]) -> Plot:
    """The months of a tank that only a battery's surplus heats."""
    alone = households[0]
    energy = BarPanel(
        "Heat in the month's hot water",
        MONTHS,
        Axis("heat", kinds.ENERGY),
        (
            BarSeries("wanted", "wanted", tuple(month.heat_wanted for month in alone.months), 7),
            BarSeries("made", "given, by the battery's surplus alone",
                      tuple(month.heat_delivered for month in alone.months), 3),
        ),
    )  # fmt: skip
    sentences = [
        say(
            "{month}: {made} given by the surplus of {wanted} wanted.",
            month=LONG_MONTHS[month.month - 1],
            made=value(month.heat_delivered, kinds.ENERGY),
            wanted=value(month.heat_wanted, kinds.ENERGY),
        )
        for month in alone.months
    ]
    sentences += [_evenings_told(household) for household in households]
    return Plot(
        key="hot_water_months",
        title="Hot water through the year",
        caption=f"Sums of each month of the site's year; {HOT_EVENING}",
        description=tuple(sentences),
        section="hot_water_year",
        panels=(energy, *(_evenings(household) for household in households)),
    )


def _evenings_told(household: HouseholdYear) -> Sentence:
    year = household.year
    return say(
        "{how}: the evening's draw is hot on {hot} of {days} days, and the tank at its "
        "setpoint on {at}.",
        how=_how(household).capitalize(),
        hot=value(year.evenings_hot, kinds.COUNT),
        days=value(year.days, kinds.COUNT),
        at=value(year.evenings_at_setpoint, kinds.COUNT),
    )


def _how(household: HouseholdYear) -> str:
    return HEATED_BY.get(household.heated_by, household.heated_by)


def _evenings(household: HouseholdYear) -> BarPanel:
    return BarPanel(
        f"Days of the month, {_how(household)}",
        MONTHS,
        Axis("days", kinds.COUNT),
        (
            BarSeries("at_setpoint", "tank at its setpoint in the evening",
                      tuple(float(month.evenings_at_setpoint) for month in household.months), 0),
            BarSeries("hot", "evening's draw hot",
                      tuple(float(month.evenings_hot) for month in household.months), 1),
        ),
        numbers=True,
        most=31.0,
    )  # fmt: skip


def _supply_months(year: SupplyYearResult, number: int) -> Plot:
    panel = BarPanel(
        "Energy in the month",
        MONTHS,
        Axis("energy", kinds.ENERGY),
        (
            BarSeries("wanted", "wanted", tuple(month.wanted for month in year.months), 7),
            BarSeries("made", "modules give", tuple(month.made for month in year.months), 3),
            BarSeries("used", "used", tuple(month.used for month in year.months), 2),
        ),
    )
    short = BarPanel(
        "Days short of water",
        MONTHS,
        Axis("days", kinds.COUNT),
        (
            BarSeries("days_short", "days short",
                      tuple(float(month.days_short) for month in year.months), 1),
        ),
        numbers=True,
        most=31.0,
    )  # fmt: skip
    return Plot(
        key=f"supply_months_{number}",
        title=f"The year of the modules that run the {year.pump}",
        caption="What pump and other loads want, what the modules give, and what of it is used, "
        "with what the battery loses; and the days on which water falls short.",
        description=(
            say(
                "In the year the modules give {made}, of which {used} is used; water is short on "
                "{days}.",
                made=value(year.energy_made, kinds.ENERGY),
                used=value(year.energy_used, kinds.ENERGY),
                days=value(year.days_short, kinds.DAYS),
            ),
        ),
        section=f"supply_year_{number}",
        panels=(panel, short),
    )
