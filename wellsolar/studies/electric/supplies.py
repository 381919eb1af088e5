"""The supplies of a pump: what drives it from the sun alone, and the phases of each against the
motor's."""

from __future__ import annotations

from typing import Literal

from wellsolar.site.schema import PumpTable, Site
from wellsolar.verdicts import Place, Rule, Verdict, remedy, say, set_to

Supply = Literal["inverter", "generator", "grid"]

PHASES = Rule(
    "supply phases",
    "has the supply the motor's phases?",
    "a three-phase motor hangs on three phases, or on a drive that makes them",
    "motor phases",
    by="electrician",
    read_by="owner",
    place=Place(section="pump_#"),
)


def has_inverter(site: Site) -> bool:
    """True where the file speaks of an inverter, or of a battery, which needs one."""
    power = site.power
    given = (power.inverter_rating, power.inverter_surge, power.inverter_voltage)
    return any(value is not None for value in (*given, power.battery_energy))


def has_no_inverter(site: Site) -> bool:
    """True where the file says which of its supplies are kept apart, and an inverter is none."""
    pairs = site.power.kept_apart
    return bool(pairs) and not has_inverter(site) and "inverter" not in " ".join(pairs or ())


def on_solar_drive(site: Site, table: PumpTable) -> bool:
    """True of a pump whose drive takes the direct current of modules, so that it needs no
    inverter: its speed varies, modules feed pumps straight and the file names no inverter."""
    straight = any(group.feeds == "pump" for group in site.array)
    return table.start == "variable speed" and straight and not has_inverter(site)


def on_the_sun(site: Site, table: PumpTable) -> bool:
    """Whether modules drive a pump of a chain straight, where others may hang on a battery. True
    where a group feeds pumps and this one has a solar drive, or direct current."""
    limits = (table.start_power, table.least_voltage, table.greatest_voltage)
    drives = bool(table.solar_table) or any(quantity is not None for quantity in limits)
    straight = any(group.feeds == "pump" for group in site.array)
    return straight and (drives or table.supply == "DC" or on_solar_drive(site, table))


def needs_three(table: PumpTable) -> bool:
    """True of a three-phase motor without a drive."""
    return table.supply == "AC" and table.phases == 3 and table.start != "variable speed"


def phases_of(site: Site, supply: Supply) -> int | None:
    """The phases of a supply; None where the file does not tell."""
    power = site.power
    return {
        "inverter": power.inverter_phases,
        "generator": power.generator_phases,
        "grid": power.grid_phases,
    }[supply]


def key_of(supply: Supply) -> str:
    """The key that gives the phases of a supply."""
    return f"power.{supply}_phases"


def supplies_of(site: Site) -> tuple[Supply, ...]:
    """The supplies of alternating current that a site has."""
    supplies: list[Supply] = ["inverter"] if has_inverter(site) else []
    supplies += ["generator"] if site.power.generator_rating is not None else []
    supplies += ["grid"] if site.power.grid else []
    return tuple(supplies)


def phase_verdicts(site: Site, table: PumpTable, path: str) -> list[Verdict]:
    """Whether each supply of a site has the three phases of a motor without a drive.

    Returns:
        one verdict; none of a motor that any supply runs
    """
    if not needs_three(table):
        return []
    phases_by_supply = {supply: phases_of(site, supply) for supply in supplies_of(site)}
    wrong = [supply for supply, phases in phases_by_supply.items() if phases == 1]
    open_ = [supply for supply, phases in phases_by_supply.items() if phases is None]
    if wrong:
        reason = say("the motor has three phases, {supplies} one", supplies=" and ".join(wrong))
        drive = remedy(
            "a drive that makes three phases of one, or a supply of three phases",
            [set_to(f"{path}.start", "variable speed")],
        )
        return [PHASES.verdict("fail", table.name, reason, remedy=drive)]
    if open_:
        why = "the motor has three phases, and most houses one"
        return [PHASES.unknown(table.name, *map(key_of, open_), why=why)]
    if not phases_by_supply:
        return []
    return [PHASES.verdict("pass", table.name, say("motor and supply have three phases"))]
