"""The cautions that go with work on wells, pressure, electricity and hot water."""

from __future__ import annotations

CAUTIONS: dict[str, str] = {
    "scald": (
        "Hot water burns before a hand can be pulled away, children and old people first. Set "
        "and test the mixing valve with a thermometer at the tap, and let a licensed plumber "
        "fit it as the local plumbing code asks."
    ),
    "direct current": (
        "Modules give full voltage whenever light falls on them, and a direct-current arc does "
        "not go out by itself as one of alternating current does. Break it only with switches, "
        "fuses and contacts rated for that direct voltage; cover the modules or open the rated "
        "disconnect before touching a terminal. This work belongs to a licensed electrician, "
        "under the local electrical code."
    ),
    "mains": (
        "Never feed a house from an inverter or generator while it is joined to the grid: it "
        "kills line workers. A transfer switch, bonding, grounding and fuses are work for a "
        "licensed electrician, with the permit that the local code asks for."
    ),
    "pressure": (
        "A pressure tank and a water heater are pressure vessels. Relieve the water pressure "
        "before changing a precharge or opening a fitting, stay below the pressure on the "
        "vessel's plate, and never plug, cap or valve off a relief valve."
    ),
    "lifting": (
        "A pump on a full drop pipe weighs more than people can hold, and it falls when it "
        "slips. Lift it with a rig, a pipe clamp and a safety rope, keep clear of overhead lines, "
        "and leave deep settings to a licensed well driller."
    ),
    "drinking water": (
        "Work in a well can foul it. Use parts meant for drinking water, keep the sanitary seal "
        "and cap closed, disinfect after the work and have the water tested. Many places let "
        "only licensed people open a well: ask the local health office first."
    ),
    "freezing": (
        "Water that freezes bursts pipes, pumps and tanks. Keep lines below the local frost "
        "depth or let them drain, a hand pump's riser too, and watch what a heated room no "
        "longer protects in an outage."
    ),
    "closed valve": (
        "A piston pump against a closed valve, or a powered one whose switch sticks, raises the "
        "pressure until something gives. Fit a relief valve of the right setting between the "
        "pump and the first valve."
    ),
    "heater water": (
        "A water heater holds water for an emergency: turn its power and the modules off, close "
        "its cold side, open a hot tap for air and draw slowly at the drain valve. An insulated "
        "tank scalds for days: let each bucket cool. The first of it carries sediment; do not "
        "drink it hot, nor warm without boiling it, and refill the tank before anything heats it "
        "again."
    ),
    "pumps together": (
        "Turn the electric pump's breaker off before the hand pump's valve is opened, and close "
        "that valve before the breaker is turned on: an electric pump on an open spout floods the "
        "well's top and draws air, and a hand pump against it cannot be held."
    ),
    "overheating": (
        "A tank on the sun goes on heating while nobody draws. It needs a thermostat that can "
        "break the direct current, a high limit with hand reset, and a temperature and pressure "
        "relief valve with its discharge led to a safe place. None of them replaces another."
    ),
    "legionella": (
        "Lukewarm stored water can grow legionella, and a tank heated by sun alone is lukewarm "
        "for days. Heat it through as local health rules advise before people shower again, "
        "more so where someone is old or ill."
    ),
}
"""Key -> what to mind; a study names the keys that its subject calls for."""
