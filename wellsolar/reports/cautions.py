"""The cautions that go with work on wells, pressure, electricity and hot water.

A state of a verdict is called caution too: here is what can hurt, and the reports say so.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

TITLE = "What can hurt or kill"

CAUTIONS: dict[str, str] = {
    "electric shock": (
        "Mains kills. Before the cover of a pump's box, pressure switch, drive or water heater "
        "comes off, open every breaker and isolator that feeds it, lock and tag them, and measure "
        "it dead, wire to wire and wire to ground. Capacitors in control boxes, drives and "
        "inverters stay charged: wait as long as their label says, then measure again. This is "
        "work for a licensed electrician, under the local electrical code."
    ),
    "mains": (
        "Never feed a house from an inverter or generator while it is joined to the grid: it "
        "kills line workers. A transfer switch, bonding, grounding and fuses are work for a "
        "licensed electrician, with the permit that the local code asks for."
    ),
    "direct current": (
        "Modules give full voltage whenever light falls on them, and a direct-current arc does "
        "not go out by itself as one of alternating current does. Break it only with switches, "
        "fuses and contacts rated for that direct voltage; cover the modules or open the rated "
        "disconnect before touching a terminal. This work belongs to a licensed electrician, "
        "under the local electrical code."
    ),
    "generator fumes": (
        "A generator's exhaust kills within minutes and has no smell. Run it outdoors only, never "
        "in a garage, shed or pump house, at least 20 ft (6 m) from every window, door and vent, "
        "its exhaust pointing away from them, with carbon-monoxide alarms in the house. Let it "
        "cool before it is filled."
    ),
    "pits and open wells": (
        "A well pit, a cistern, a tank and a dug well can hold air that kills whoever climbs in, "
        "and whoever follows to help. Nobody goes in without tested air, a harness and people "
        "above who can lift: leave it to those trained for it. Lock covers and fence open wells, "
        "so that no child falls in."
    ),
    "roof": (
        "A fall from a roof kills. Work on modules there with harness and anchor or guard rails, "
        "never alone nor in wind, rain or frost, clear of overhead lines; a licensed roofer or "
        "installer has them."
    ),
    "lifting": (
        "A pump on a full drop pipe weighs more than people can hold, and it falls when it "
        "slips: the parts list's lifting rig names the heaviest string. Lift it with a rig, a "
        "pipe clamp and a safety rope, keep clear of overhead lines, and leave deep settings to a "
        "licensed well driller."
    ),
    "overheating": (
        "A tank on the sun goes on heating while nobody draws. It needs a thermostat that can "
        "break the direct current, a high limit with hand reset, and a heater relief valve for "
        "temperature and pressure, its discharge led to a safe place. None of them replaces "
        "another."
    ),
    "battery": (
        "A battery drives thousands of amperes through a dropped tool, which burns and melts. "
        "Take off rings, use insulated tools, open its disconnect first, and keep a fuse made for "
        "direct current at its terminals. Lead cells give off gas that explodes: ventilate, no "
        "flame or spark, goggles against acid. Lithium cells need the electronics and the "
        "temperatures that their maker names."
    ),
    "pressure": (
        "A pressure tank and a water heater are pressure vessels. Relieve the water pressure "
        "before changing a precharge or opening a fitting, stay below the pressure on the "
        "vessel's plate, and never plug, cap or valve off a relief valve."
    ),
    "closed valve": (
        "A hand pump against a closed valve, or a powered one that nothing stops, raises the "
        "pressure until something gives. The hand pump relief valve or tank relief valve of the "
        "parts list stands before the first valve, set as its line says."
    ),
    "scald": (
        "Hot water burns before a hand can be pulled away, children and old people first. Set "
        "and test the mixing valve with a thermometer at the tap, and let a licensed plumber "
        "fit it as the local plumbing code asks."
    ),
    "pumps together": (
        "Turn the electric pump's breaker off before the hand pump line valve is opened. Close "
        "that valve, then open any spout valve, before the breaker is turned on: an electric pump "
        "on an open spout floods the well's top and draws air, and a hand pump against it cannot "
        "be held."
    ),
    "legionella": (
        "Lukewarm stored water can grow legionella, and a tank heated by sun alone is lukewarm "
        "for days. Heat it through as local health rules advise before people shower again, "
        "more so where someone is old or ill."
    ),
    "drinking water": (
        "Work in a well can foul it. Use parts meant for drinking water, keep the sanitary seal "
        "and cap closed, disinfect after the work and have the water tested. Many places let "
        "only licensed people open a well: ask the local health office first."
    ),
    "stored water": (
        "Water goes foul in a tank that light, dust or animals reach. Keep it covered and dark, "
        "its vent and overflow screened, its inlet above the water; clean and disinfect it before "
        "its first use and as the local health office advises. Draw by a tap, not by dipping, and "
        "boil or chlorinate what is in doubt before anybody drinks it: chlorine takes half an "
        "hour or more. No module, box or joint of wires above open water, nor where it can rise "
        "to: a fault puts the water under voltage."
    ),
    "heater water": (
        "A water heater holds water for an emergency: turn its power and the modules off, close "
        "the heater cold valve, open a hot tap for air and draw slowly at the heater drain. An "
        "insulated tank scalds for days: let each bucket cool. The first of it carries sediment; "
        "do not drink it hot, nor warm without boiling it, and refill the tank before anything "
        "heats it again."
    ),
    "freezing": (
        "Water that freezes bursts pipes, pumps and tanks. Keep lines below the local frost "
        "depth or let them drain, a hand pump's riser too, and watch what a heated room no "
        "longer protects in an outage."
    ),
}
"""Key of `wellsolar.site.cautions` -> what to mind. The distance from windows: US Consumer Product
Safety Commission, as news and trade pages quote it. Half an hour for chlorine: the US
Environmental Protection Agency's page on water in emergencies, from memory."""


def in_short(keys: Sequence[str], room: int, kept: Collection[str] = ()) -> str:
    """What can hurt or kill, the most deadly that there is room for, and whose work it is.

    Parameters:
        keys: of what to mind, the most deadly first
        room: letters
        kept: keys that others make room for
    Returns:
        the words; empty where nothing is to be minded
    """
    keys_told, whose = list(keys), ": licensed trades, local code first"
    while keys_told and len(", ".join(keys_told) + whose) > room:
        keys_told.remove(
            next(
                (caution for caution in reversed(keys_told) if caution not in kept), keys_told[-1]
            )
        )
    return ", ".join(keys_told) + whose if keys_told else ""


def named(key: str) -> tuple[str, str]:
    """A caution as its heading and its text."""
    return key[:1].upper() + key[1:], CAUTIONS[key]
