"""Questions about the water heater that modules feed."""

from __future__ import annotations

from wellsolar.interview.answers.facts import Facts
from wellsolar.interview.answers.question import Part, Question
from wellsolar.interview.answers.shapes import as_element
from wellsolar.interview.questions.sun import HEATER_ARRAY


def water_heater(facts: Facts) -> list[Question]:
    """Tank, element, what switches it, and what keeps people from harm; nothing where no modules
    heat water."""
    fed = [array for array in facts.many("array") if array.get("feeds") == "heater"]
    if not fed:
        return []
    array = str(fed[0].get("name", HEATER_ARRAY))
    questions = [_tank(array)]
    if facts.get("water_heater", "element", 0) is not None:
        questions += [_thermostat(), _upper(facts)]
    return [*questions, _mixing_valve(), _high_limit(), _aim()]


def _tank(array: str) -> Question:
    place = ("water_heater", "element", 0)
    return Question(
        "water_heater",
        "How large is the tank that the modules heat, what is its lower element rated for, and "
        "what stands between modules and element: a straight wire, relays, or a controller?",
        "50 gal, 4500 W, 240 V, straight", like_si="190 L, 4500 W, 240 V, controller",
        helps="The volume as on its plate; the element as stamped on its flange: watts at so "
        "many volts. From both follows its resistance, and from that what the modules can give "
        "it. Tank and element are under mains: read, with the cover on.",
        parts=(
            Part(("water_heater", "volume"), "tank",
                 said=("electric water heater", "electric tank", "electric", "water heater",
                       "heater", "tank")),
            Part((*place, "rated_power"), "element", said=("lower element", "element")),
            Part((*place, "rated_voltage"), "volts"),
            Part((*place, "coupling"), "coupled", optional=True),
        ),
        before=as_element,
        sets={(*place, "position"): "lower", (*place, "fed_by"): array},
        open="anything about hot water",
    )  # fmt: skip


def _thermostat() -> Question:
    place = ("water_heater", "element", 0)
    return Question(
        "water_heater.thermostat",
        "What is its thermostat set to, and what breaks the modules' direct current when it "
        "opens: AC contacts (an ordinary thermostat), DC contacts, or a relay made for direct "
        "current? Of a relay, give what it is made for.", "140F, relay, 300 V, 32 A",
        like_si="60 C, relay, 300 V, 32 A",
        helps="Contacts made for alternating current weld or burn on when they break direct "
        "current, and the water then goes on heating. Say what is there, not what should be: the "
        "verdict tells. Below 140 degF legionella, germs that make lungs ill, can live; above "
        "120 degF water scalds without a mixing valve.",
        parts=(
            Part((*place, "thermostat_switches"), "opened by", optional="wanted"),
            Part((*place, "thermostat"), "thermostat"),
            Part((*place, "switch_voltage"), "made for", optional=True),
            Part((*place, "switch_current"), "and", optional=True),
            Part(("water_heater", "mixing_valve", "outlet"), "mixing valve", optional=True,
                 said=("mixing valve", "mixer")),
        ),
        open="whether the tank is hot enough, and whether it can overheat",
    )  # fmt: skip


def _upper(facts: Facts) -> Question:
    place = ("water_heater", "element", 1)
    first = ("water_heater", "element", 0)
    power, volts = facts.get(*first, "rated_power"), facts.get(*first, "rated_voltage")
    return Question(
        "water_heater.upper",
        "Is there an upper element on the grid as well? Give the setting of its thermostat, or "
        "say no.",
        "120F", like_si="50 C",
        helps="It heats what the sun did not. It is taken to be rated as the lower one.",
        parts=(Part((*place, "thermostat"), "upper thermostat"),),
        sets={
            (*place, "position"): "upper",
            (*place, "rated_power"): power or "4500 W",
            (*place, "rated_voltage"): volts or "240 V",
            (*place, "fed_by"): "grid",
        },
        declines=True,
        open="how often there is hot water without sun",
    )  # fmt: skip


def _mixing_valve() -> Question:
    place = ("water_heater", "mixing_valve")
    return Question(
        "water_heater.mixing_valve",
        "Is there a mixing valve behind the tank? Give its setting and the standard stamped on "
        "it, or say no.", "120F, ASSE 1017", like_si="49 C, ASSE 1017",
        helps="It mixes the tank's water down before the taps. Without one a tank hot enough "
        "against legionella scalds within seconds.",
        parts=(
            Part((*place, "standard"), "standard", optional="wanted"),
            Part((*place, "outlet"), "mixing valve"),
        ),
        declines=True,
        open="whether a tap can scald",
    )  # fmt: skip


def _high_limit() -> Question:
    return Question(
        "water_heater.high_limit",
        "At what temperature does the high limit with hand reset cut everything off?", "170F",
        like_si="77 C",
        helps="The red button beside the upper thermostat; its temperature is stamped on it or "
        "stands in the tank's papers.",
        parts=(Part(("water_heater", "high_limit"), "high limit"),),
        open="what stops the tank when the thermostat fails",
    )  # fmt: skip


def _aim() -> Question:
    return Question(
        "aim.sun_share",
        "What share of the year's hot-water heat should the modules give?", "60 %",
        helps="What you aim at is what is judged. Half of it is wellsolar's mark where you skip "
        "this; [aim] in the site file has more, such as hot evenings by the sun alone.",
        parts=(Part(("aim", "sun_share"), "of the heat"),),
        open="whether you aim at more or less than half of the heat",
    )  # fmt: skip
