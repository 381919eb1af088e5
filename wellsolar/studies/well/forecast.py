"""What is forecast from a pumping test beyond its end and beside its well, and how surely."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.physics.well import step_drawdown
from wellsolar.results.well import WellTestResult
from wellsolar.site.defaults import default_of
from wellsolar.site.schema import Site
from wellsolar.studies.well.drawdown import CAPACITY_KEYS, Behaviour, behaviour_of
from wellsolar.studies.well.pumping_tests import ON_SITE
from wellsolar.units import Quantity, read
from wellsolar.verdicts import Place, Rule, Sentence, Verdict, remedy, say

ENOUGH = DAY
"""Least time of pumping of a test from which a day is forecast [s]: see the rule's source."""

TEST_LENGTH = Rule(
    "length of the test",
    "was the well pumped long enough for what is forecast from it?",
    "pumped for a day; from a shorter test the drawdown of a day lies between that of a level "
    "that settles when the test ends and that of one which then falls twice as fast",
    "test length",
    limit_is="at least",
    by="driller",
    place=Place(section="well"),
)
OBSERVED = Rule(
    "test in another well",
    "does the test show how far this well is drawn down?",
    "an observation well gives transmissivity and storage of the aquifer; the well loss and skin "
    "of the pumped well show in its own levels alone: a step test, or a settled level",
    "observation well",
    by="driller",
    place=Place(section="well"),
)


def forecast_verdicts(site: Site, behaviour: Behaviour) -> list[Verdict]:
    """How far the pumping test of a site carries.

    Returns:
        verdicts; none without such a test, or where nothing could be fitted to it
    """
    test = next((test for test in behaviour.tests if test.kind != "step test"), None)
    if test is None or test.transmissivity is None or test.length is None:
        return []
    verdicts = [_length(site, test, test.length)]
    if test.distance is not None:
        verdicts.append(_observed(test.distance, behaviour))
    return verdicts


def _length(site: Site, test: WellTestResult, length: float) -> Verdict:
    quantity, wanted = Quantity(length, kinds.DURATION), Quantity(ENOUGH, kinds.DURATION)
    if length >= ENOUGH:
        reason = say("it was pumped for {length}", length=quantity)
        return TEST_LENGTH.verdict("pass", test.kind, reason, quantity=quantity, limit=wanted)
    return TEST_LENGTH.verdict(
        "caution",
        test.kind,
        _band(site, quantity),
        quantity=quantity,
        limit=wanted,
        remedy=remedy(
            "pump it for {length} at one rate, and read the level to the end", ON_SITE,
            length=wanted,
        ),
    )  # fmt: skip


def _band(site: Site, length: Quantity) -> Sentence:
    """How long the test was, and the drawdown of a day by the ends of what may follow it."""
    table = site.well.drawdown_test
    assert table is not None
    trend, flow = table.trend_after, table.flow
    ends = trend if trend.is_range else _spread(trend)
    days = [_after_a_day(site, drawdown, float(flow)) for drawdown in (trend, ends.low, ends.high)]
    likely, least, most = days
    pumped = "it was pumped for {length}"
    if likely is None or least is None or most is None:
        return say(f"{pumped}, and a day is forecast from it", length=length)
    return say(
        f"{pumped}; a day at {{flow}} draws the water down by {{likely}} if it goes on so, "
        "between {least} and {most} by what the aquifer meets later",
        length=length,
        flow=Quantity(flow, kinds.FLOW),
        likely=Quantity(likely, kinds.LENGTH),
        least=Quantity(least, kinds.LENGTH),
        most=Quantity(most, kinds.LENGTH),
    )


def _spread(trend: Quantity) -> Quantity:
    """The published spread round the usual trend; a trend that the file states for certain."""
    default = default_of(("well", "drawdown_test", "trend_after"))
    assert default is not None
    usual = read(default.value, kinds.RATIO) == trend
    return read(default.spread, kinds.RATIO) if usual else trend


def _after_a_day(site: Site, trend: float, flow: float) -> float | None:
    """Drawdown after a day at a flow, by the trend after the test [m]; None where unknown."""
    table = site.well.drawdown_test
    assert table is not None
    test = table.model_copy(update={"trend_after": Quantity(trend, kinds.RATIO)})
    well = site.well.model_copy(update={"drawdown_test": test})
    drawdown = behaviour_of(site.model_copy(update={"well": well})).drawdown
    if drawdown is None or drawdown.aquifer is None:
        return None
    loss = 1.0 / drawdown.specific_capacity
    return step_drawdown.jacob_drawdown(flow, loss, drawdown.well_loss)


def _observed(distance: float, behaviour: Behaviour) -> Verdict:
    away, drawdown = Quantity(distance, kinds.LENGTH), behaviour.drawdown
    if drawdown is None:
        return OBSERVED.unknown(
            "well",
            *CAPACITY_KEYS,
            why="the levels are those of another well: they give the aquifer's transmissivity and "
            "storage, and neither loss nor skin of this one",
        )
    reason = say(
        "the aquifer by the levels of a well {away} away, the drawdown of this well by its own: "
        "{how}",
        away=away,
        how=drawdown.how,
    )
    return OBSERVED.verdict("pass", "well", reason)
