"""What may get better though a thing gets worse, each with the reason from the trade."""

from __future__ import annotations

from typing import NamedTuple

from tests.properties.whole.verdicts import Better, Judged
from tests.properties.whole.worsenings import WORSENINGS, Worsening
from wellsolar.verdicts import RANK

AGAINST_MORE = (
    "deeper water", "water much deeper", "water perhaps deeper", "deeper drawdown", "less yield",
    "drawn deeper in the test", "perhaps less yield",
    "more turbulence in the well", "higher pressure", "a higher cut-out",
    "a higher tank", "more loss in treatment", "more pressure to hold", "higher in the mountains",
)  # fmt: skip
"""The pump works against more head."""

IN_PIPES = (
    "a narrower drop pipe", "a narrower drop pipe of its own", "a narrower lateral",
    "a rougher drop pipe", "a rougher lateral", "a longer lateral", "more fittings",
    "a check valve that opens late", "a stiffer spring in a check valve",
    "fittings that lose more", "fittings worth more pipe", "a rougher wall",
)  # fmt: skip
"""The pump works against more friction."""

WEAKER = ("an older pump", "a much weaker pump", "a sheet of fewer points")
"""The pump itself gives less."""


class Allowed(NamedTuple):
    """Rules that may be judged better after certain worsenings."""

    why: str
    worsenings: tuple[str, ...]
    rules: tuple[str, ...]


ALLOWED = (
    Allowed(
        "It asks whether a number is meant: a worse one may be the more ordinary, and one that is "
        "taken out is asked after no more. How bad it is, the other rules judge.",
        tuple(WORSENINGS),
        ("ordinary value",),
    ),
    Allowed(
        "The less comes into a tank and the more is drawn, the sooner its water is renewed.",
        tuple(WORSENINGS),
        ("turnover of the storage tank",),
    ),
    Allowed(
        "A neutral bonded twice is a caution, from memory; where the file does not tell, it asks.",
        ("a generator bonded twice",),
        ("neutral bond",),
    ),
    Allowed(
        "A supply that is not there meets no other.",
        ("no grid",),
        ("supplies kept apart", "neutral bond"),
    ),
    Allowed(
        "A pump that gives less water asks less of the well, its pipes, cable and supply, and "
        "fills the tank in a longer run.",
        (*AGAINST_MORE, *IN_PIPES, *WEAKER, "a pump hung far deeper"),
        ("yield", "pipe velocity", "on its curve", "voltage drop", "inverter rating", "run time",
         "motor load",
         "starts a day", "starts an hour", "filling run", "net positive suction head",
         "pumps at once on the well", "pumps at once in the pipe",
         "pumps at once on the inverter"),
    ),
    Allowed(
        "A pump that gives less draws the water down less.",
        (*IN_PIPES, *WEAKER, "higher pressure", "a higher cut-out", "a higher tank",
         "more loss in treatment", "more pressure to hold"),
        ("submergence", "runs dry"),
    ),
    Allowed(
        "A tank lower down is filled more easily, and a booster below the house asks for more.",
        ("a storage tank lower down",),
        ("delivers", "day's water", "day's water from the well", "peak flow",
         "inverter rating", "voltage drop", "on its curve", "pipe velocity"),
    ),
    Allowed(
        "An intake less deep hangs farther above the bottom; one above the water takes none.",
        ("an intake less deep",),
        ("above the bottom", "pumps at once on the well", "pumps at once in the pipe"),
    ),
    Allowed(
        "A well four times as deep has more water above a pump that hangs as much deeper.",
        ("a pump hung far deeper",),
        ("submergence", "runs dry"),
    ),
    Allowed(
        "A wider span of pressure stores more water between two starts.",
        ("a higher cut-out",),
        ("peak flow", "run time", "starts a day", "starts an hour"),
    ),
    Allowed(
        "The narrower the ring round a motor, the faster the water passes it.",
        ("a narrower casing", "a fatter pump"),
        ("motor cooling",),
    ),
    Allowed(
        "On a roof nothing is left open of what modules are asked, where a file does not tell "
        "how near to a building they come; what is only second hand is a caution then.",
        ("modules on the roof",),
        ("arc fault", "ground fault", "rapid shutdown"),
    ),
    Allowed(
        "The more a motor may draw by its plate, the higher its overload may be set.",
        ("more amperes at full load",),
        ("motor overload",),
    ),
    Allowed(
        "Where the drawdown is not known, the water may stand at the intake: one less deep has "
        "less to lift.",
        ("an intake less deep", "a shallower well"),
        ("reaches cut-out", "holds its pressure", "delivers"),
    ),
    Allowed(
        "A handle that moves the rod farther moves more water, one that moves it less is near.",
        ("a longer stroke", "a shorter stroke", "a longer lever arm of the load"),
        ("bucket time", "survival by hand", "hand travel", "handle force", "hand into the tank"),
    ),
    Allowed(
        "Rods stretch by a length, which is less of a longer stroke.",
        ("a longer stroke",),
        ("stretch of the rods",),
    ),
    Allowed(
        "A relief valve that opens too early fails; one that the file does not name is asked for.",
        ("no relief valve at the hand pump",),
        ("relief at the hand pump",),
    ),
    Allowed(
        "Three wires share the current that two carry; no table has the start of each such motor.",
        ("three phases",),
        ("voltage drop", "voltage at start", "motor conductor", "inverter surge",
         "generator start", "pumps that start at once", "pumps at once on the generator"),
    ),
    Allowed(
        "The code asks a breaker for ground faults of outlets on a single phase alone.",
        ("three phases",),
        ("ground-fault breaker",),
    ),
    Allowed(
        "A motor for half the voltage may be the one that the inverter of the file is made for.",
        ("a motor for less voltage",),
        ("supply voltage",),
    ),
    Allowed(
        "More modules give more heat and water, whatever else they break.",
        ("more modules in series", "far too many in series", "more rows of modules"),
        ("matched to the array", "share from PV", "reaches temperature", "storage temperature",
         "hot water in the evening", "hot evenings by the sun", "array for the pump",
         "battery for the pump", "days short",
         "surplus for the element", "modules of the tank used", "voltage drop",
         "array's direction"),
    ),
    Allowed(
        "Fewer modules, or less sun on them, break and overheat less.",
        ("fewer modules in series", "fewer rows of modules", "far too few modules", "less sun",
         "a duller sky", "trees", "a high horizon", "modules that look north", "modules on edge",
         "weaker modules", "dirtier modules", "darker ground"),
        ("cold open-circuit voltage", "electronics on the array", "element load", "isolator",
         "pv overcurrent", "pv conductor", "voltage drop", "relief capacity", "overheating",
         "modules on hand", "thermostat on direct current", "matched to the array", "arc fault"),
    ),
    Allowed(
        "Colder water than wanted is no danger, and a colder tank is reached sooner.",
        ("a colder thermostat", "a thermostat far too cold"),
        ("reaches temperature", "share from PV", "mixing valve", "mixing-valve supply",
         "high limit", "time to a burn", "overheating", "boiling", "thermal expansion",
         "scald protection at fixtures", "hot water in the evening"),
    ),
    Allowed(
        "A larger tank holds more of what the household takes.",
        ("a larger tank",),
        ("hot water stored", "hot evenings by the sun", "hot water in the evening"),
    ),
    Allowed(
        "The hotter the tank is kept, the more it holds and the sooner legionella dies.",
        ("a hotter thermostat", "a thermostat as hot as boiling", "a second tank's hotter "
         "thermostat"),
        ("storage temperature", "share from PV", "hot water in the evening", "mixing valve",
         "mixing-valve supply", "thermostat setting", "hot evenings by the sun",
         "matched to the array", "hot water stored", "reaches temperature"),
    ),
    Allowed(
        "A weaker pump presses less on pipe and tank where nothing stops it.",
        WEAKER,
        ("drop pipe pressure", "lateral pressure", "tank relief", "house pressure"),
    ),
    Allowed(
        "The deeper the water stands, the less of a pump's head is left above the ground.",
        ("deeper water", "water much deeper", "water perhaps deeper"),
        ("lateral pressure", "tank relief", "house pressure"),
    ),
    Allowed(
        "Deeper than any class of pipe hangs, and less deep than all, is known without the class.",
        ("a pump hung far deeper", "an intake less deep", "a shallower well"),
        ("deep setting",),
    ),
    Allowed(
        "Without a tank in the file the run of the pump is unknown, and names the tank.",
        ("without pressure_tank",),
        ("precharge", "drive's precharge", "tank relief", "starts a day", "starts an hour",
         "house pressure", "hand into the tank", "freezing"),
    ),
    Allowed(
        "Where the drawdown is not known, an intake less deep leaves less of it open.",
        ("an intake less deep", "a shallower well"),
        ("yield", "peak flow", "pipe velocity", "voltage drop", "on its curve"),
    ),
    Allowed(
        "A bigger motor carries more; one that is surely overloaded leaves nothing open, nor does "
        "a sheet that ends where the pump takes less.",
        ("a bigger motor", "a motor without a service factor", "a sheet of fewer points"),
        ("motor load",),
    ),
    Allowed(
        "A sheet that tells of less power than is taken flatters wire and supply; that it does is "
        "what its own rule says.",
        ("a sheet that promises too much",),
        ("voltage drop", "inverter rating", "motor conductor", "pumps at once on the inverter",
         "motor load", "pump breaker", "motor cooling", "array for the pump",
         "battery for the pump", "days short"),
    ),
    Allowed(
        "A precharge above the cut-in is the worse mistake: the taps run dry at each start.",
        ("far too little precharge",),
        ("precharge", "run time", "starts a day", "starts an hour"),
    ),
    Allowed(
        "Where there is too little precharge, a little more is right; far more never is.",
        ("too much precharge",),
        ("precharge", "run time", "starts a day", "starts an hour"),
    ),
)  # fmt: skip

BEHIND = {
    "day's water": ("delivers", "reaches cut-out", "holds its pressure"),
    "day's water from the well": ("delivers", "reaches cut-out", "holds its pressure"),
    "peak flow": ("delivers", "reaches cut-out", "holds its pressure"),
    "filling run": ("delivers",),
    "booster's peak": ("reaches cut-out", "holds its pressure"),
    "hand into the tank": ("cylinder under water",),
    "handle force": ("cylinder under water",),
    "hand travel": ("cylinder under water",),
    "survival by hand": ("cylinder under water",),
    "bucket time": ("cylinder under water",),
    "motor cooling": ("delivers", "reaches cut-out", "holds its pressure", "fits the casing"),
    "hot water stored": ("thermostat setting",),
    "runs dry": ("yield", "submergence"),
    "length of the test": ("test fit", "test in another well"),
}
"""A question that is asked no more where a more basic one of the same subject stands no better: a
pump that lifts no water at all is not asked how long it takes to bring a day's."""


def is_allowed(worsening: Worsening, where: str, better: Better, after: Judged) -> bool:
    """True where a verdict may be better, as the tables say; of a key that was taken out, also
    where its verdict is unknown then, or rests on a listed assumption in its place, or is not
    asked while another is unknown and names the key.

    Parameters:
        worsening: what was made worse
        where: the path
        better: the verdict
        after: what is said then
    """
    if not better.after and any(
        (basic, better.subject) in after.verdicts
        and RANK[after.verdicts[basic, better.subject].status] <= RANK[better.before]
        for basic in BEHIND.get(better.rule, ())
    ):
        return True
    if worsening.removes and (better.after == "unknown" or where in after.assumed):
        return True
    if (
        worsening.removes
        and not better.after
        and any(
            each.status == "unknown" and where in each.needs for each in after.verdicts.values()
        )
    ):
        return True
    return any(worsening.name in each.worsenings and better.rule in each.rules for each in ALLOWED)
