"""The watts that people are shown are the watts that the rules' own checks count."""

from __future__ import annotations

from decimal import Decimal

from configurator import api
from configurator.answer import StackAnswer
from configurator.catalog import Catalog
from configurator.setting import Ask

# One looks at the supplies' best outputs, the other at those of the site's voltage.
COVERING = [rule for rule in api.rule_book() if rule.id in ("power.supplies_cover_load", "power.derating")]


def drawing_more(catalog: Catalog, unit_type: str, more_w: Decimal) -> Catalog:
    """The catalog with one unit type drawing so much more by itself."""
    units = tuple(
        unit.model_copy(update={"base_draw_w": unit.base_draw_w + more_w}) if unit.id == unit_type else unit
        for unit in catalog.parts.unit_types
    )
    return Catalog(catalog.parts.model_copy(update={"unit_types": units}), catalog.prices, catalog.name)


def positions_in_breach(stack: StackAnswer, ask: Ask, catalog: Catalog) -> set[int | None]:
    """Units that the checks find short of watts."""
    assert stack.build is not None
    return {breach.unit for rule in COVERING for breach in rule.check(stack.build, ask, catalog)}


def test_watts_left_are_exactly_what_the_check_would_still_let_a_unit_draw() -> None:
    catalog = api.load_catalog()
    asked = api.load_demand(None, catalog)
    answer = api.solve(asked, catalog)
    tried = 0
    for stack, ask in zip(answer.stacks, asked.asks, strict=True):
        for unit_type in {unit.type for unit in stack.units}:
            left = {unit.position: unit.power.all_supplies.left_w for unit in stack.units if unit.type == unit_type}
            least_w = min(left.values())
            tightest = {position for position, left_w in left.items() if left_w == least_w}
            all_used = drawing_more(catalog, unit_type, least_w)
            assert positions_in_breach(stack, ask, all_used) == set(), stack.name
            too_much = drawing_more(catalog, unit_type, least_w + Decimal("0.1"))
            assert positions_in_breach(stack, ask, too_much) == tightest, stack.name
            tried += 1
    assert tried >= len(answer.stacks)
