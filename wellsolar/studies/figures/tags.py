"""The tags of a site's equipment: letters of its kind and a number, the same in every diagram."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from wellsolar.results.figures import Branch, Carries, Parallel, Sign, Thing
from wellsolar.site.schema import PumpTable, Site
from wellsolar.studies.parts.lines import sized
from wellsolar.units import Quantity

Piece = tuple[str, Quantity | str | None]

LETTERS: dict[Sign, str] = {
    "pump": "P",
    "hand pump": "H",
    "pressure tank": "PT",
    "storage tank": "ST",
    "heater": "WH",
    "valve": "V",
    "drain": "V",
    "treatment": "V",
    "check valve": "CV",
    "relief valve": "RV",
    "mixing valve": "MV",
    "pressure valve": "PRV",
    "switch": "PS",
    "expansion tank": "XT",
    "modules": "PV",
    "battery": "B",
    "inverter": "INV",
    "grid": "GR",
    "generator": "G",
    "transfer": "TS",
    "changeover": "SW",
    "breaker": "CB",
    "fuse": "F",
    "isolator": "DS",
    "controller": "CT",
    "contacts": "TH",
    "high limit": "HL",
    "element": "E",
}
"""Letters of the tags, after what the trades write on drawings: common practice, no source."""


class Tags:
    """Gives out tags, the numbers of each kind from 1."""

    def __init__(self) -> None:
        self.given: Counter[str] = Counter()

    def thing(
        self,
        sign: Sign,
        name: str,
        *pieces: Piece,
        carries: Carries | None = None,
        is_known: bool = True,
        turned: bool = False,
        number: int | None = None,
        beside: Iterable[Thing] = (),
    ) -> Thing:
        """A thing with the next tag of its kind.

        Parameters:
            sign: what it is drawn as; name: what it is called
            pieces: of its ratings, as of `parts.lines.sized`; those without a value are left out
            carries: what leaves it; told: False of what the file does not tell
            turned: True of what a hand turns; number: of its tag, where the file counts it
            beside: what hangs on the pipe at the same place
        """
        letters = LETTERS[sign]
        self.given[letters] += 1
        tag = f"{letters}-{number or self.given[letters]}"
        return Thing(
            tag, sign, name, sized(*pieces), carries or "", is_known, turned, tuple(beside)
        )


def pump_thing(site: Site, table: PumpTable, carries: Carries | None = None) -> Thing:
    """A powered pump, the same in the pipes and on the wires: its tag is its place in the file.

    Parameters:
        carries: what leaves it in this diagram
    """
    number = next(at for at, pump in enumerate(site.pump, 1) if pump is table)
    watts = None if table.power is None else max(table.power)
    phases = "three-phase" if table.phases == 3 else "single-phase"
    return Tags().thing(
        "pump",
        table.name,
        (table.kind, ""),
        ("{}", table.rated_power or watts),
        ("{}", table.voltage),
        ("direct current" if table.supply == "DC" else phases, ""),
        ("intake at {}", table.intake_depth),
        ("in {}", table.well),
        carries=carries,
        number=number,
    )


def run(words: str, *pieces: Piece) -> Thing:
    """A run of pipe or wire, which has no tag."""
    return Thing("", "run", words, sized(*pieces))


def meeting(branches: Iterable[Branch]) -> list[Branch]:
    """Branches that meet at their ends, as one part of a series; a single one needs no joint."""
    lanes = tuple(branches)
    return list(lanes) if len(lanes) < 2 else [Parallel(lanes, below=True)]


def parting(branches: Iterable[Branch]) -> list[Branch]:
    """Branches that begin at one place, as one part of a series."""
    lanes = tuple(branches)
    return list(lanes) if len(lanes) < 2 else [Parallel(lanes, above=True)]
