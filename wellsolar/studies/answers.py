"""The questions of a site in one sentence each, from the results of the studies."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.constants import DAY
from wellsolar.results import Results
from wellsolar.results.entries import DAYS
from wellsolar.results.hand import HandPumpResult, HandTask, LiftResult
from wellsolar.results.heat import DivertedTankResult, HeatDay, HeatedTankResult
from wellsolar.results.match import HeaterRankingResult, MatchResult
from wellsolar.results.outages import OutageResult
from wellsolar.results.pumps import PressureTankResult, PumpResult
from wellsolar.results.ranges import RangeResult
from wellsolar.results.supply import ChainYearResult, RankingResult
from wellsolar.results.whole import Answer
from wellsolar.studies.sun.days import MONTH_NAMES
from wellsolar.units import Quantity
from wellsolar.verdicts import Sentence, Verdict, say


def answers(results: Results) -> tuple[Answer, ...]:
    """The short answers that the file tells enough for: one for each pump, for pumps compared, the
    tanks, heaters compared, the hand pump and each other lift, for how array and element suit each
    other, and for the outages."""
    verdicts = results.verdicts
    answers = [
        Answer(pump.name, _pump(pump, results), _plain_pump(pump, results))
        for pump in results.pumps
    ]
    if results.ranking is not None:
        answers += _ranking(results.ranking)
    if results.ranges is not None:
        answers += _ranges(results.ranges)
    if results.chain_year is not None:
        answers.append(
            Answer("storage tank", _chain(results.chain_year), _plain_chain(results.chain_year))
        )
    if results.heated_tank is not None and results.heated_tank.days:
        answers.append(
            Answer("hot water", _heat(results.heated_tank), _plain_heat(results.heated_tank))
        )
    if results.diverted_tank is not None:
        answers += _diverted(results.diverted_tank)
    if results.heater_ranking is not None:
        answers += _heaters(results.heater_ranking)
    if results.hand_pump is not None:
        answers.append(
            Answer("hand pump", _hand(results.hand_pump, verdicts), _plain_hand(results.hand_pump))
        )
    for lift in results.lifts:
        sentence = _lift(lift, verdicts)
        answers.append(Answer(lift.name, sentence, sentence))
    if results.outages is not None:
        answers += _outages(results.outages)
    if results.matching is not None:
        answers += _match(results.matching)
    if results.pressure_tank is not None:
        answers.append(Answer("pressure tank", _pressure_tank(results.pressure_tank)))
    return tuple(answers)


def _state(subject: str, verdicts: tuple[Verdict, ...]) -> str:
    """What fails of a subject, as the end of a sentence."""
    failed = [
        verdict.rule.key
        for verdict in verdicts
        if (verdict.subject, verdict.status) == (subject, "fail")
    ]
    return f"; fails on {', '.join(failed)}" if failed else ""


def _pump(pump: PumpResult, results: Results) -> Sentence:
    first, last = pump.duties[0], pump.duties[-1]
    state = _state(pump.name, results.verdicts)
    if first.flow <= 0 and not pump.level_known:
        told = "whether it lifts water to the tank hangs on how far the well is drawn down{state}"
        return say(told, state=state)
    if first.flow <= 0:
        return say("lifts no water to the tank{state}", state=state)
    sized = next((supply for supply in results.supply if supply.pump == pump.name), None)
    flows = (
        "{first:about} at cut-in, {last:about} at cut-out"
        if len(pump.duties) > 1
        else "{first:about}"
    )
    if _drawn_down(pump):
        flows = "{first:about}, all that the well gives"
    template = flows + ", {power:about}"
    parts: dict[str, Quantity | str] = {
        "first": Quantity(first.flow, kinds.FLOW),
        "last": Quantity(last.flow, kinds.FLOW),
        "power": Quantity(max(duty.input_power for duty in pump.duties), kinds.COMPUTED_POWER),
    }
    if pump.daily_energy is not None:
        template += ", {energy:about} a day"
        parts["energy"] = Quantity(pump.daily_energy, kinds.ENERGY)
    if sized is not None:
        template += ", needs {modules} of {module} in the darkest month"
        parts["modules"] = Quantity(sized.modules_needed, kinds.MODULES)
        parts["module"] = Quantity(sized.module_power, kinds.POWER)
    year = next(
        (supply_year for supply_year in results.supply_years if supply_year.pump == pump.name),
        None,
    )
    if year is not None:
        template += "; with the {there} there, {short} short a year"
        parts["there"] = Quantity(year.modules, kinds.MODULES)
        parts["short"] = Quantity(year.days_short, kinds.DAYS)
    if "{last" not in template:
        del parts["last"]
    return say(template + "{state}", state=state, **parts)


def _drawn_down(pump: PumpResult) -> bool:
    """Whether it gives what the well gives, as it draws the water down to its intake."""
    return pump.level_known and all(duty.flow < duty.pump_flow for duty in pump.duties)


def _ranking(ranking: RankingResult) -> list[Answer]:
    """The pump and battery that do with the fewest modules."""
    best = next(iter(ranking.rows), None)
    modules = None if best is None else best.modules[ranking.allowed.index(ranking.by)]
    if best is None or modules is None:
        return []
    template = "{pump} with {modules} of {module}"
    parts: dict[str, Quantity | str] = {
        "pump": best.pump,
        "modules": Quantity(modules, kinds.MODULES),
        "module": Quantity(ranking.module_power, kinds.POWER),
        "short": Quantity(ranking.by, kinds.DAYS),
    }
    if best.battery is None:
        template += " and no battery"
    else:
        template += " and a battery of {battery}"
        parts["battery"] = Quantity(best.battery, kinds.ENERGY)
    return [
        Answer("fewest modules", say(template + ", short on no more than {short} a year", **parts))
    ]


def _ranges(ranges: RangeResult) -> list[Answer]:
    """In what share of the cases each pump does all that it is asked."""
    driver_texts: list[str] = []
    parts = {"cases": f"{ranges.cases}"}
    numbers = {}
    for place, choice in enumerate(ranges.choices):
        verb = "" if driver_texts else " does all that is asked of it"
        of_all = "" if driver_texts else " of {cases} cases"
        driver_texts.append(f"{{name{place}}}{verb} in {{holds{place}:about}}{of_all}")
        parts[f"name{place}"] = choice.pump
        numbers[f"holds{place}"] = Quantity(choice.holds, kinds.FRACTION)
    if not driver_texts:
        return []
    return [Answer("over the ranges", say(", ".join(driver_texts), **parts, **numbers))]


def _pressure_tank(tank: PressureTankResult) -> Sentence:
    template = "{drawdown:about} between {cut_out} and {cut_in}, with {precharge} of air"
    parts: dict[str, Quantity | str] = {
        "drawdown": Quantity(tank.drawdown, kinds.VOLUME),
        "cut_out": Quantity(tank.cut_out, kinds.PRESSURE),
        "cut_in": Quantity(tank.cut_in, kinds.PRESSURE),
        "precharge": Quantity(tank.precharge, kinds.PRESSURE),
    }
    for number, cycle in enumerate(tank.cycles):
        template += f"; {{name{number}}} runs {{run{number}:about}}"
        parts[f"name{number}"] = cycle.pump
        parts[f"run{number}"] = Quantity(cycle.run_time, kinds.DURATION)
    return say(template, **parts)


def _diverted(tank: DivertedTankResult) -> list[Answer]:
    """What a battery's surplus gives of the hot water."""
    if tank.annual_share is None:
        return []
    text = say(
        "the battery's surplus gives {share:about} of the year's hot water",
        share=Quantity(tank.annual_share, kinds.FRACTION),
    )
    return [Answer("hot water", text)]


def _heaters(ranking: HeaterRankingResult) -> list[Answer]:
    """The best design beside the file's own."""
    heater_answers = []
    best = next(iter(ranking.rows), None)
    for name, row in (("best design", best), ("as it is", ranking.own)):
        if row is not None:
            text = say(
                "{series} in series by {strings} on {element}, {tank}: {share:about} of the hot "
                "water from PV",
                series=f"{row.series}",
                strings=f"{row.strings}",
                element=row.element,
                tank=Quantity(row.tank_volume, kinds.VOLUME),
                share=Quantity(row.share, kinds.FRACTION),
            )
            heater_answers.append(Answer(name, text))
    return heater_answers


def _chain(chain: ChainYearResult) -> Sentence:
    return say(
        "takes {pumped:about} a day and holds the use of {days:about}, both on average; {short} "
        "short a year",
        pumped=Quantity(chain.daily_pumped, kinds.SUMMED_VOLUME),
        days=Quantity(chain.turnover, DAYS),
        short=Quantity(chain.days_short, kinds.DAYS),
    )


def _heat(heated: HeatedTankResult) -> Sentence:
    clear = [day for day in heated.days if day.kind == "clear"]
    best = max(clear, key=lambda day: day.element_energy)
    worst = min(clear, key=lambda day: day.element_energy)
    parts: dict[str, Quantity | str] = {
        "volume": Quantity(heated.tank_volume, kinds.VOLUME),
        "setpoint": Quantity(heated.setpoint, kinds.TEMPERATURE),
        "best": _days_text(best),
        "worst": _days_text(worst),
        "month": MONTH_NAMES[worst.month - 1],
    }
    template = "no run of clear days brings {volume} from cold to {setpoint}"
    if best.days_to_setpoint is not None:
        verb = "brings" if best.days_to_setpoint == 1 else "bring"
        template = f"{{best}} {verb} {{volume}} from cold to {{setpoint}}, "
        template += "{worst}" if worst.days_to_setpoint is not None else "none in {month}"
    if heated.annual_share is not None:
        template += "; PV gives {share:about} of the year's hot water"
        parts["share"] = Quantity(heated.annual_share, kinds.FRACTION)
    if heated.households:
        last = heated.households[-1]
        often = "on at least {evenings} a year"
        if last.fewest_evenings >= last.year.days:
            often = "every day of the year"
        template += f"; hot in the evening {often}"
        parts["evenings"] = Quantity(last.fewest_evenings, kinds.DAYS)
        if last.heated_by != "PV":
            template += " with {grid:about} from the grid"
            parts["grid"] = Quantity(last.year.grid_heat, kinds.ENERGY)
    return say(template, **parts)


def _days_text(day: HeatDay) -> str:
    """How many clear days in a row it takes, and in what month; nothing where none are enough."""
    month = MONTH_NAMES[day.month - 1]
    if day.days_to_setpoint is None:
        return ""
    noun = "clear day" if day.days_to_setpoint == 1 else "clear days"
    return f"{day.days_to_setpoint} {noun} in {month}"


def _hand(hand: HandPumpResult, verdicts: tuple[Verdict, ...]) -> Sentence:
    state = _state("hand pump", verdicts)
    if not hand.draws_water:
        return say("draws no water{state}", state=state)
    template = "{flow:about} at the spout for an hour, {force:about} on the handle"
    duty = hand.duties[0]
    parts: dict[str, Quantity | str] = {
        "flow": Quantity(duty.sustained_flow, kinds.FLOW),
        "force": Quantity(duty.handle_force, kinds.FORCE),
    }
    return _with_tasks(template, parts, hand.tasks, hand.people_pumping, state)


def _lift(lift: LiftResult, verdicts: tuple[Verdict, ...]) -> Sentence:
    state = _state(lift.name, verdicts)
    if lift.flow <= 0.0:
        return say("lifts no water here{state}", state=state)
    parts: dict[str, Quantity | str] = {"flow": Quantity(lift.flow, kinds.FLOW)}
    return _with_tasks("{flow:about} at its spout", parts, lift.tasks, lift.people, state)


def _with_tasks(
    template: str,
    parts: dict[str, Quantity | str],
    tasks: tuple[HandTask, ...],
    people: int,
    state: str,
) -> Sentence:
    """The times of the jobs that matter most, behind what was said."""
    for task in tasks:
        if task.people == people and task.key in ("survival", "tank", "storage tank"):
            key = task.key.replace(" ", "_")
            template += f"; {{{key}_time:about}} for {task.label}"
            parts[f"{key}_time"] = Quantity(task.time, kinds.DURATION)
    return say(template + "{state}", state=state, **parts)


def _match(matching: MatchResult) -> list[Answer]:
    """An answer for the array on its element and one for an element on the inverter."""
    match_answers = []
    match, diversion = matching.match, matching.diversion
    if match is not None:
        sentence = say(
            "{energy:about} a year at the element, {ratio:about} of what the array could "
            "give; an element of {best:about} would take {best_ratio:about}",
            energy=Quantity(match.own.energy, kinds.ENERGY),
            ratio=Quantity(match.own.ratio, kinds.FRACTION),
            best=Quantity(match.best_single.resistances[0], kinds.RESISTANCE),
            best_ratio=Quantity(match.best_single.ratio, kinds.FRACTION),
        )
        match_answers.append(Answer("array on element", sentence))
    if diversion is not None and diversion.named:
        sentence = say(
            "{energy:about} a year by the element on the inverter, of {spilled:about} that the "
            "battery leaves",
            energy=Quantity(diversion.energy, kinds.ENERGY),
            spilled=Quantity(diversion.spilled, kinds.ENERGY),
        )
        match_answers.append(Answer("battery's surplus", sentence))
    return match_answers


def _outages(result: OutageResult) -> list[Answer]:
    """The site's weak links, or that there is none; nothing where nobody knows how much is
    needed."""
    if result.survival is None or not result.links:
        return []
    weak = result.weak
    worst = min(result.links, key=lambda link: link.outage.volume)
    others = [link.component for link in weak if link is not worst]
    template = "{left:about} at the least, without the {name}: enough to survive on"
    if result.whole.short:
        template = "{left:about} even with all in order: less than survival water"
    elif weak:
        template = "{left:about} at the least, without the {name}: less than survival water"
        template += "; less also without the {others}" if others else ""
    left = result.whole.volume if result.whole.short else worst.outage.volume
    text = say(
        template,
        others=", ".join(others),
        name=worst.component,
        left=Quantity(left / DAY, kinds.DAILY_FLOW),
    )
    return [Answer("with one failure", text, _plain_outages(result))]


# The same for an owner


def _plain_pump(pump: PumpResult, results: Results) -> Sentence:
    first, last = pump.duties[0], pump.duties[-1]
    if first.flow <= 0:
        return _pump(pump, results)
    parts: dict[str, Quantity | str] = {"first": Quantity(first.flow, kinds.FLOW)}
    template = "gives {first}"
    if len(pump.duties) > 1:
        template = "gives {last} to {first}, as the pressure in the tank is high or low"
        parts["last"] = Quantity(last.flow, kinds.FLOW)
    if _drawn_down(pump):
        template = "gives {first}, all that the well gives"
        parts.pop("last", None)
    if pump.daily_energy is not None:
        template += ", for {energy} of electricity a day"
        parts["energy"] = Quantity(pump.daily_energy, kinds.ENERGY)
    for year in results.supply_years:
        if year.pump == pump.name:
            template += ". On its modules the water never falls short"
            if year.days_short:
                template = template.replace("never falls short", "falls short on {short} a year")
                parts["short"] = Quantity(year.days_short, kinds.DAYS)
    return say(template, **parts)


def _plain_chain(chain: ChainYearResult) -> Sentence:
    return say(
        "holds the water of {days}; it falls short on {short} a year",
        days=Quantity(chain.turnover, DAYS),
        short=Quantity(chain.days_short, kinds.DAYS),
    )


def _plain_heat(heated: HeatedTankResult) -> Sentence | None:
    texts: list[str] = []
    parts: dict[str, Quantity | str] = {}
    if heated.annual_share is not None:
        texts.append("The sun gives {share} of the year's hot water")
        parts["share"] = Quantity(heated.annual_share, kinds.FRACTION)
    if heated.households:
        last = heated.households[-1]
        every = last.fewest_evenings >= last.year.days
        texts.append("The evening's water is hot on {evenings} a year" + " or more" * (not every))
        parts["evenings"] = Quantity(last.fewest_evenings, kinds.DAYS)
        if last.heated_by != "PV":
            texts[-1] += ", for {grid} from the grid"
            parts["grid"] = Quantity(last.year.grid_heat, kinds.ENERGY)
    return say(". ".join(texts), **parts) if texts else None


def _plain_hand(hand: HandPumpResult) -> Sentence:
    if not hand.draws_water:
        return say("draws no water")
    parts: dict[str, Quantity | str] = {
        "flow": Quantity(hand.duties[0].sustained_flow, kinds.FLOW)
    }
    jobs = tuple(task for task in hand.tasks if task.key != "tank")
    return _with_tasks("gives {flow} by hand", parts, jobs, hand.people_pumping, "")


def _plain_outages(result: OutageResult) -> Sentence:
    if result.whole.short:
        return say("there is too little water to live on, even with all in order")
    if result.weak:
        names = ", or without the ".join(link.component for link in result.weak)
        return say("there is too little water to live on without the {names}", names=names)
    return say("whatever one thing fails, there is water to live on")
