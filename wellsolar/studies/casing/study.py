"""Whether all that hangs in the well finds room side by side in its casing."""

from __future__ import annotations

from wellsolar import kinds
from wellsolar.errors import OutOfRange
from wellsolar.physics.well import casing_fit as casing
from wellsolar.physics.well.casing_fit import Section
from wellsolar.results import CasingBody, CasingResult, CasingSection, PumpResult, StudyPart
from wellsolar.site.schema import Site
from wellsolar.studies.casing.bodies import Hanging, bodies_of, diameters, hanging
from wellsolar.studies.casing.remedy import remedy_for
from wellsolar.units import Quantity
from wellsolar.verdicts import Rule, Status, Verdict, say

FIT = Rule(
    "fits the casing",
    "does all that hangs in the well fit the casing?",
    "the smallest circle round pumps, pipes, cables, cylinder and spool at each depth, within the "
    "casing by the clearance; torque arrestors, couplings and crooked casings ask for more",
    "casing fit",
    limit_is="at least",
)


def study_casing_fit(
    site: Site, pumps: tuple[PumpResult, ...]
) -> tuple[CasingResult | None, StudyPart]:
    """The fit in a well's casing.

    Parameters:
        site: the site
        pumps: results of the site's pumps, for the depths at which they may hang
    Returns:
        the fit, None where the file does not speak of it or lacks a diameter, and what it brings
    """
    bore = site.well.casing_bore
    missing, known = diameters(site)
    if bore is None or len(missing) + known < 2 or known == 0:
        return None, StudyPart()
    if missing:
        return None, StudyPart((FIT.unknown("casing", *missing[:2]),))
    hung, assumptions = hanging(site)
    bodies = bodies_of(site, hung)
    clearance = float(site.limits.casing_clearance)
    try:
        sections = casing.sections(bodies, float(bore), clearance)
    except OutOfRange:
        why = (
            f"more than {casing.MOST_BODIES} bodies hang at one depth; pumps that are only "
            'compared are "other" and have no diameter'
        )
        return None, StudyPart((FIT.unknown("casing", "pump[1].role", why=why),))
    tightest = min(sections, key=lambda each: each.clearance)
    result = CasingResult(
        bore=float(bore),
        clearance_wanted=clearance,
        bodies=tuple(
            CasingBody(each.name, each.diameter, each.top, each.bottom) for each in bodies
        ),
        sections=tuple(
            CasingSection(each.top, each.bottom, each.bodies, each.layout.bore, each.clearance)
            for each in sections
        ),
        tightest=sections.index(tightest),
    )
    verdict = _verdict(site, hung, pumps, tightest)
    return result, StudyPart((verdict,), tuple(assumptions), ("lifting",))


def _verdict(
    site: Site, hung: list[Hanging], pumps: tuple[PumpResult, ...], tightest: Section
) -> Verdict:
    wanted = tightest.needed_bore - tightest.layout.bore
    status: Status = "pass"
    if not tightest.fits:
        status = "caution" if tightest.clearance >= -1e-12 else "fail"
    bore = tightest.layout.bore + tightest.clearance
    parts: dict[str, Quantity | str] = {
        "bodies": " + ".join(tightest.bodies),
        "top": Quantity(tightest.top, kinds.LENGTH),
        "bottom": Quantity(tightest.bottom, kinds.LENGTH),
        "circle": Quantity(tightest.layout.bore, kinds.BORE),
        "casing": Quantity(bore, kinds.BORE),
    }
    reason = (
        "tightest from {top} to {bottom}: {bodies} take a circle of {circle}, the casing has "
        "{casing}"
    )
    return FIT.verdict(
        status,
        "casing",
        say(reason, **parts),
        quantity=Quantity(tightest.clearance, kinds.BORE),
        limit=Quantity(wanted, kinds.BORE),
        remedy=None if status == "pass" else remedy_for(site, hung, pumps),
    )
