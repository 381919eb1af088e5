"""Every rule of the program by its key."""

from __future__ import annotations

from importlib import import_module
from pkgutil import walk_packages

from wellsolar import studies
from wellsolar.errors import UnknownName
from wellsolar.studies.sheet.guards import refuse_unproven
from wellsolar.verdicts import RULES, Rule


def all_rules() -> dict[str, Rule]:
    """Every rule by its key: a rule is entered when the module that holds it is imported."""
    for module in walk_packages(studies.__path__, f"{studies.__name__}."):
        import_module(module.name)
    refuse_unproven(RULES.values())
    return RULES


def rule(key: str) -> Rule:
    """The rule of a key, such as `rule("voltage drop")`.

    Parameters:
        key: as the CSV and the JSON name it
    Returns:
        the rule
    Raises:
        UnknownName: if no rule is called so; the message names the nearest
    """
    known = all_rules()
    if key not in known:
        raise UnknownName("rule", key, sorted(known))
    return known[key]
