"""The table of readings: everything that may be read on the finished job, each told once.

Plain data and nothing else, so that the command line can offer each row as an option without
loading anything. What a reading means is told in the class of its key in `studies/reading/`.
"""

from __future__ import annotations

from typing import NamedTuple

from wellsolar.site.cautions import CAUTIONS


class Row(NamedTuple):
    """One thing that may be read.

    key: its name in a file; the option is the same with hyphens; help: the option's text
    kind: name of its kind in `wellsolar.kinds`; empty for a word
    above, least, most: bounds in SI
    usual: between what ends most lie, as a range of a site file; empty for those of its kind
    bare: unit of a number written without one; empty where it needs its unit
    together: readings of which one says nothing without the others, told at the first
    needs: another without which it says nothing, while that one may stand alone
    alone: True of a word that says something by itself
    surrounding: True where it only says under which sun, or after how long, others were read
    cautions: what to mind while it is read, or what is off is put right
    """

    key: str
    help: str
    kind: str = ""
    above: float | None = None
    least: float | None = None
    most: float | None = None
    usual: str = ""
    bare: str = ""
    together: tuple[str, ...] = ()
    needs: str = ""
    alone: bool = False
    surrounding: bool = False
    cautions: tuple[str, ...] = ()

    @property
    def option(self) -> str:
        """The option of the command line."""
        return f"--{self.key.replace('_', '-')}"


MOST_VOLTS, MOST_AMPERES = 1500.0, 2000.0
MOST_PRESSURE = 2.0e6
DEEPEST = 2000.0

READINGS = (
    Row("element_amps", "Current of the element.", "CURRENT",
        least=0.0, most=MOST_AMPERES, usual="0 A .. 60 A",
        bare="A", cautions=("direct current", "electric shock")),
    Row("element_volts", "Voltage across the element.", "VOLTAGE",
        least=0.0, most=MOST_VOLTS, usual="0 V .. 600 V",
        bare="V", cautions=("direct current", "electric shock")),
    Row("irradiance", "Sun on the plane of the modules.", "IRRADIANCE",
        above=0.0, most=2000.0, usual="1 W/m2 .. 1300 W/m2", bare="W/m2", surrounding=True),
    Row("cell_temperature", "Temperature at the modules' backs.", "TEMPERATURE",
        least=-60.0, most=100.0, usual="-30 degF .. 180 degF", surrounding=True),
    Row("sky", "The sky then: clear, thin cloud or overcast."),
    Row("date", "Date or month, as 2026-02-14 or 2."),
    Row("time", "Time of day without summer time, as 14:30."),
    Row("pump", "Name of the pump that was read; the first otherwise."),
    Row("pump_amps", "Current of a running pump.", "CURRENT",
        least=0.0, most=MOST_AMPERES, usual="0 A .. 150 A",
        bare="A", cautions=("electric shock",)),
    Row("fill_time", "Time from cut-in to cut-out, no tap open.", "WATCH",
        above=0.0, most=1.0e6, usual="5 s .. 60 min",
        bare="s", cautions=("electric shock", "pressure")),
    Row("gauge_pressure", "Pressure at the tank: while the bucket fills, or by itself.",
        "PRESSURE",
        least=0.0, most=MOST_PRESSURE, usual="0 psi .. 150 psi",
        cautions=("electric shock", "pressure")),
    Row("pump_state", "Whether the pump was on or off while the gauge was read.",
        needs="gauge_pressure"),
    Row("bucket_volume", "Water caught with the pump on.", "VOLUME",
        above=0.0, most=100.0, usual="0.5 gal .. 100 gal", together=("bucket_time",)),
    Row("bucket_time", "Time to catch that water.",
        "WATCH", above=0.0, most=1.0e6, usual="2 s .. 60 min",
        bare="s"),
    Row("precharge", "Air pressure of the drained pressure tank.", "PRESSURE",
        least=0.0, most=MOST_PRESSURE, usual="0 psi .. 100 psi", cautions=("pressure",)),
    Row("static_level", "Depth of the water at rest.", "LENGTH",
        least=0.0, most=DEEPEST, usual="0 ft .. 1000 ft",
        cautions=("drinking water", "pits and open wells")),
    Row("pumping_level", "Depth of the water while the pump runs.", "LENGTH",
        least=0.0, most=DEEPEST, usual="0 ft .. 1200 ft",
        cautions=("drinking water", "pits and open wells")),
    Row("pumping_time", "Time since the pump started; without it the level has settled.", "WATCH",
        above=0.0, most=1.0e6, usual="1 min .. 10 days",
        bare="min", needs="pumping_level", surrounding=True),
    Row("evening_pressure", "Pressure before a night without draw.", "PRESSURE",
        least=0.0, most=MOST_PRESSURE, usual="0 psi .. 150 psi",
        together=("morning_pressure", "hours_between"),
        cautions=("pressure",)),
    Row("morning_pressure", "Pressure after that night.",
        "PRESSURE", least=0.0, most=MOST_PRESSURE,
        usual="0 psi .. 150 psi"),
    Row("hours_between", "Time between those two.", "DURATION", above=0.0, most=1.0e6,
        usual="1 h .. 48 h", bare="h"),
    Row("house_main", "Whether the house main valve was open or shut that night.",
        needs="evening_pressure"),
    Row("hand_strokes", "Strokes of the hand pump for 20 L (5.3 gal) at its spout.", "COUNT",
        above=0.0, most=1.0e5, usual="10 .. 1000", cautions=("pumps together",)),
    Row("tank_temperature", "Temperature of the water in the heated tank.", "TEMPERATURE",
        least=0.0, most=120.0, usual="33 degF .. 212 degF", cautions=("scald",)),
    Row("tap_temperature", "Temperature of the water at the nearest tap.", "TEMPERATURE",
        least=0.0, most=120.0, usual="33 degF .. 212 degF", cautions=("scald",)),
    Row("proven", "Lines of the sheet that were tested and are in order, as 21, 24-28.",
        alone=True),
    Row("failed", "Lines of the sheet that were tested and are not.", alone=True),
)  # fmt: skip
"""Every reading, in the order of the command's help."""

KEYS = tuple(row.key for row in READINGS)


def refuse_slips(rows: tuple[Row, ...]) -> None:
    """Raise ValueError where a row names a reading or a caution that there is not."""
    keys = [row.key for row in rows]
    for row in rows:
        unknown = {*row.together, row.needs} - {"", *keys}
        unknown |= set(row.cautions) - set(CAUTIONS)
        if unknown or keys.count(row.key) > 1:
            raise ValueError(f"{row.key}: stands twice, or names {sorted(unknown)}")


refuse_slips(READINGS)
