"""What to do in the year so that a site stays as it was handed over."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from wellsolar.results.whole import Care
from wellsolar.site.schema import Site
from wellsolar.verdicts import say

YEAR, HALF, MONTH = "once a year", "twice a year", "once a month"
OWNER, PLUMBER, ELECTRICIAN = "owner", "plumber", "electrician"


class _Task(NamedTuple):
    """A task: which site has it, how often, who does it, its words, its source."""

    there: Callable[[Site], object]
    often: str
    by: str
    text: str
    source: str = "common practice"


def _backups(site: Site) -> str:
    return " and the ".join(pump.name for pump in site.pump if pump.role == "backup")


_TASKS = (
    _Task(
        lambda site: True, YEAR, OWNER,
        "Have the water tested for bacteria and nitrate, and again after any work in the well.",
        source="water test",
    ),
    _Task(
        lambda site: True, YEAR, OWNER,
        "Look at the well: cap tight, vent screened, ground sloping away, nothing poured out or "
        "stored near it.",
    ),
    _Task(_backups, MONTH, OWNER, "Run the {names} for ten minutes."),
    _Task(
        lambda site: site.hand_pump, MONTH, OWNER,
        "Work the hand pump until it gives water, then set its valves back as the card says.",
    ),
    _Task(
        lambda site: site.hand_pump and site.hand_pump.frost_drain, YEAR, OWNER,
        "Before the first frost, see that the hand pump's frost drain runs.",
    ),
    _Task(
        lambda site: site.storage_tank, YEAR, OWNER,
        "Look into the storage tank: cover, screens and float. Clean it when it needs it.",
    ),
    _Task(
        lambda site: site.water_heater and site.water_heater.mixing_valve, YEAR, OWNER,
        "Measure the hottest water at a tap with a thermometer, and write it down.",
    ),
    _Task(
        lambda site: site.array, HALF, OWNER,
        "From the ground, look at modules and wires: dirt, shade, cracks, wires that are chewed.",
    ),
    _Task(
        lambda site: site.power.generator_rating, MONTH, OWNER,
        "Run the generator outside, with a load on it.",
    ),
    _Task(
        lambda site: site.pressure_tank, YEAR, PLUMBER,
        "Check the air of the pressure tank against the commissioning sheet, with the pump off "
        "and no water in the tank.",
        source="precharge",
    ),
    _Task(
        lambda site: site.water_heater, YEAR, PLUMBER,
        "Lift the lever of the heater's relief valve and let it close. What comes out scalds.",
        source="relief valve test",
    ),
    _Task(
        lambda site: site.water_heater, YEAR, PLUMBER,
        "Draw off the heater's sediment and look at its anode.",
    ),
    _Task(
        lambda site: site.array, YEAR, ELECTRICIAN,
        "Work each isolator, test the ground-fault device, and check the terminals.",
    ),
    _Task(
        lambda site: site.power.battery_energy, YEAR, ELECTRICIAN,
        "Check the battery as its maker asks.",
    ),
)  # fmt: skip
"""In the order of the page: the owner's own first."""


def care_of(site: Site) -> tuple[Care, ...]:
    """What its owner has to do or to order in a year: tasks of what is there, the owner's own
    first."""
    names = {"names": _backups(site)}
    return tuple(
        Care(task.often, task.by,
             say(task.text, **(names if "{names}" in task.text else {})), task.source)
        for task in _TASKS if task.there(site)
    )  # fmt: skip
