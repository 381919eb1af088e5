"""PV-heated tanks ranked by what they give at the tap. Every field is in SI."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class HeaterRow:
    """One design.

    series, strings: modules in a string, and strings side by side; element: in words
    resistance: of the elements as joined [ohm]; greatest_voltage: across them in the brightest
    cold sun [V]; tank_volume: [m3]; heat_loss: of the tank [W/K]
    share: of the heat wanted that comes to the tap; heat_missing: in the year [J]
    own: True for the site's own design
    """

    series: int
    strings: int
    element: str
    resistance: float
    greatest_voltage: float
    tank_volume: float
    heat_loss: float
    share: float
    heat_missing: float
    own: bool

    @property
    def modules(self) -> int:
        """Modules of all strings."""
        return self.series * self.strings


@dataclass(frozen=True)
class ModuleStep:
    """The best that a number of modules gives, on the site's own tank and on any.

    own_tank: None where no element suits
    """

    own_tank: HeaterRow | None
    any_tank: HeaterRow


@dataclass(frozen=True)
class LeftOut:
    """Why arrays and elements were left out, each with every tank.

    over_voltage: arrays above cold_limit open in the cold; over_current: arrays above wire_limit
    over_plate: pairs of array and element above its plate's voltage in the brightest cold sun
    weaker: pairs of which another element on that array gives more in every month
    cold_limit: [V], None where the file tells no record low; wire_limit: [A], None without wire
    """

    over_voltage: int
    over_current: int
    over_plate: int
    weaker: int
    cold_limit: float | None
    wire_limit: float | None


@dataclass(frozen=True)
class HeaterRankingResult:
    """The designs of a site's PV-heated tank, the best first.

    screened: looked at by the hour; refined: of them run along the draws
    most_modules: that were looked at; on_hand, elsewhere: the site's, and those of its other
    groups; heat_wanted: at the tap in the year [J]; tracking: True where electronics track
    rows: the best; own: the site's own design; own_suits: True where it keeps to the limits, so
    that it may stand among them; steps: by number of modules
    """

    screened: int
    refined: int
    most_modules: int
    on_hand: int | None
    elsewhere: int
    tank_volumes: tuple[float, ...]
    heat_wanted: float
    tracking: bool
    left_out: LeftOut
    rows: tuple[HeaterRow, ...]
    own: HeaterRow
    own_suits: bool
    steps: tuple[ModuleStep, ...]
