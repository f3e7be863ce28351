"""What to mind on site.  Figures are for planning; local codes and licensed people have the last word."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from configurator.messages import counted, number

ONE_PERSON_KG = 23
"""Load constant of the revised NIOSH lifting equation (1991): an ideal lift; restated in public text, number seen."""
TEAMS = (Fraction(1), Fraction(4, 3), Fraction(3, 2))
"""What one, two and three people lift, in what one lifts: a team of two has two thirds of the sum of what each
can, of three half (HSE, guidance on the Manual Handling Operations Regulations 1992, paragraph 120; number seen)."""


def lifters(weight_kg: Decimal) -> int | None:
    """How many people lift so much under ideal conditions; none: more than three can."""
    return next((n for n, times in enumerate(TEAMS, start=1) if weight_kg <= times * ONE_PERSON_KG), None)


def lifting(weight_kg: Decimal) -> str:
    """Who lifts so much, in words."""
    people = lifters(weight_kg)
    return "lifting gear" if people is None else counted(people, "person", "people")


def cautions(
    *, feeds_poe: bool, heaviest_kg: Decimal | None, laser_classes: Iterable[str], airflow: Iterable[str] = ()
) -> tuple[str, ...]:
    """What to mind, as far as what stands there has it."""
    out = [
        "Mains: planning figures; connection, earthing and protection follow the local code, by licensed people.",
        # NFPA 70 (NEC) 210.20(A): 125 % of a continuous load; IEC 60364 has no such general rule.
        "Branch circuits: size them for the rated current by the local code; the NEC keeps continuous loads to 80 %.",
        "Heat: full load, every PoE port at what it reserves; who answers for the room decides on its cooling.",
    ]
    if feeds_poe:
        # Common practice; the codes and cabling standards give bundle sizes by gauge and category.
        out.append("PoE: bundled cables warm each other; the local code and the cabling standard limit bundles.")
    if heaviest_kg is not None:
        out.append(
            f"Lifting: the heaviest unit weighs {number(heaviest_kg)} kg ({lifting(heaviest_kg)}, under ideal "
            "conditions: close to the body, between knee and shoulder, with a good grip); lift and mount it by the "
            "local rules for manual handling."
        )
    classes = tuple(laser_classes)
    if classes:
        # IEC 60825-1 names the classes; from memory.
        glass = ", and never with a magnifier" if "1M" in classes else ""
        out.append(
            f"Lasers: optics of class {', '.join(classes)} (IEC 60825-1); the light is invisible, so never look into "
            f"an open connector{glass}, and cap those that stay empty."
        )
    directions = sorted(set(airflow) & {"front-to-back", "back-to-front"})
    if len(directions) > 1:
        out.append("Air: some units blow front-to-back, others back-to-front; keep warm air from others' inlets.")
    return tuple(out)
