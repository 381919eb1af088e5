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
    found = [
        Answer(pump.name, _pump(pump, results), _plain_pump(pump, results))
        for pump in results.pumps
    ]
    if results.ranking is not None:
        found += _ranking(results.ranking)
    if results.ranges is not None:
        found += _ranges(results.ranges)
    if results.chain_year is not None:
        found.append(
            Answer("storage tank", _chain(results.chain_year), _plain_chain(results.chain_year))
        )
    if results.heated_tank is not None and results.heated_tank.days:
        found.append(
            Answer("hot water", _heat(results.heated_tank), _plain_heat(results.heated_tank))
        )
    if results.diverted_tank is not None:
        found += _diverted(results.diverted_tank)
    if results.heater_ranking is not None:
        found += _heaters(results.heater_ranking)
    if results.hand_pump is not None:
        found.append(
            Answer("hand pump", _hand(results.hand_pump, verdicts), _plain_hand(results.hand_pump))
        )
    for lift in results.lifts:
        told = _lift(lift, verdicts)
        found.append(Answer(lift.name, told, told))
    if results.outages is not None:
        found += _outages(results.outages)
    if results.matching is not None:
        found += _match(results.matching)
    if results.pressure_tank is not None:
        found.append(Answer("pressure tank", _pressure_tank(results.pressure_tank)))
    return tuple(found)


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
        "power": Quantity(max(duty.input_power for duty in pump.duties), kinds.POWER),
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


def _ranking(found: RankingResult) -> list[Answer]:
    """The pump and battery that do with the fewest modules."""
    best = next(iter(found.rows), None)
    modules = None if best is None else best.modules[found.allowed.index(found.by)]
    if best is None or modules is None:
        return []
    template = "{pump} with {modules} of {module}"
    parts: dict[str, Quantity | str] = {
        "pump": best.pump,
        "modules": Quantity(modules, kinds.MODULES),
        "module": Quantity(found.module_power, kinds.POWER),
        "short": Quantity(found.by, kinds.DAYS),
    }
    if best.battery is None:
        template += " and no battery"
    else:
        template += " and a battery of {battery}"
        parts["battery"] = Quantity(best.battery, kinds.ENERGY)
    return [
        Answer("fewest modules", say(template + ", short on no more than {short} a year", **parts))
    ]


def _ranges(found: RangeResult) -> list[Answer]:
    """In what share of the cases each pump does all that it is asked."""
    told: list[str] = []
    parts = {"cases": f"{found.cases}"}
    numbers = {}
    for place, choice in enumerate(found.choices):
        verb = "" if told else " does all that is asked of it"
        of_all = "" if told else " of {cases} cases"
        told.append(f"{{name{place}}}{verb} in {{holds{place}:about}}{of_all}")
        parts[f"name{place}"] = choice.pump
        numbers[f"holds{place}"] = Quantity(choice.holds, kinds.FRACTION)
    if not told:
        return []
    return [Answer("over the ranges", say(", ".join(told), **parts, **numbers))]


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


def _heaters(found: HeaterRankingResult) -> list[Answer]:
    """The best design beside the file's own."""
    made = []
    best = next(iter(found.rows), None)
    for name, row in (("best design", best), ("as it is", found.own)):
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
            made.append(Answer(name, text))
    return made


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
    made = []
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
        made.append(Answer("array on element", sentence))
    if diversion is not None and diversion.named:
        sentence = say(
            "{energy:about} a year by the element on the inverter, of {spilled:about} that the "
            "battery leaves",
            energy=Quantity(diversion.energy, kinds.ENERGY),
            spilled=Quantity(diversion.spilled, kinds.ENERGY),
        )
        made.append(Answer("battery's surplus", sentence))
    return made


def _outages(found: OutageResult) -> list[Answer]:
    """The site's weak links, or that there is none; nothing where nobody knows how much is
    needed."""
    if found.survival is None or not found.links:
        return []
    weak = found.weak
    worst = min(found.links, key=lambda link: link.outage.volume)
    others = [link.component for link in weak if link is not worst]
    told = "{left:about} at the least, without the {name}: enough to survive on"
    if found.whole.short:
        told = "{left:about} even with all in order: less than survival water"
    elif weak:
        told = "{left:about} at the least, without the {name}: less than survival water"
        told += "; less also without the {others}" if others else ""
    left = found.whole.volume if found.whole.short else worst.outage.volume
    text = say(
        told,
        others=", ".join(others),
        name=worst.component,
        left=Quantity(left / DAY, kinds.DAILY_FLOW),
    )
    return [Answer("with one failure", text, _plain_outages(found))]


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
    told: list[str] = []
    parts: dict[str, Quantity | str] = {}
    if heated.annual_share is not None:
        told.append("The sun gives {share} of the year's hot water")
        parts["share"] = Quantity(heated.annual_share, kinds.FRACTION)
    if heated.households:
        last = heated.households[-1]
        every = last.fewest_evenings >= last.year.days
        told.append("The evening's water is hot on {evenings} a year" + " or more" * (not every))
        parts["evenings"] = Quantity(last.fewest_evenings, kinds.DAYS)
        if last.heated_by != "PV":
            told[-1] += ", for {grid} from the grid"
            parts["grid"] = Quantity(last.year.grid_heat, kinds.ENERGY)
    return say(". ".join(told), **parts) if told else None


def _plain_hand(hand: HandPumpResult) -> Sentence:
    if not hand.draws_water:
        return say("draws no water")
    parts: dict[str, Quantity | str] = {
        "flow": Quantity(hand.duties[0].sustained_flow, kinds.FLOW)
    }
    jobs = tuple(task for task in hand.tasks if task.key != "tank")
    return _with_tasks("gives {flow} by hand", parts, jobs, hand.people_pumping, "")


def _plain_outages(found: OutageResult) -> Sentence:
    if found.whole.short:
        return say("there is too little water to live on, even with all in order")
    if found.weak:
        names = ", or without the ".join(link.component for link in found.weak)
        return say("there is too little water to live on without the {names}", names=names)
    return say("whatever one thing fails, there is water to live on")
