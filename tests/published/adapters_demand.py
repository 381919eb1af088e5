"""Ways from a published example of a household's water to the functions that answer it."""

from __future__ import annotations

from wellsolar.physics.hydraulics import demand


def peak_of_a_house(tubs: float, lavatories: float, sprinklers: float = 0.0) -> float:
    """Peak of a house with one toilet, kitchen sink, dishwasher and clothes washer besides."""
    others = dict.fromkeys(("toilets", "kitchen_sinks", "dishwashers", "clothes_washers"), 1)
    own = {"tubs": int(tubs), "lavatories": int(lavatories), "sprinklers": int(sprinklers)}
    return demand.peak_of_fixtures({**others, **own})
