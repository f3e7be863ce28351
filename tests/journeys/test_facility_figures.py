"""What the facility sheet shows is what the rules' own checks count: a limit just below its figure is refused."""

from __future__ import annotations

from dataclasses import replace
from decimal import ROUND_CEILING, Decimal
from typing import Any

import pytest

from configurator import api
from configurator.answer_facility import Facility
from configurator.build import Build
from configurator.catalog import Catalog
from configurator.facilities.facility import facility_of
from configurator.setting import Ask

RULES = {rule.id: rule for rule in api.rule_book()}


def with_sound(catalog: Catalog) -> Catalog:
    """The catalog with a level for every unit type, each another one."""
    levels_db = (Decimal(400 + 7 * place) / 10 for place in range(1000))
    units = tuple(
        unit.model_copy(update={"noise_db": level_db, "depth_mm": unit.depth_mm or 400})
        for unit, level_db in zip(catalog.parts.unit_types, levels_db, strict=False)
    )
    return Catalog(catalog.parts.model_copy(update={"unit_types": units}), catalog.prices, catalog.name)


CATALOG = with_sound(api.load_catalog())
ASKED = api.load_demand(None, CATALOG)
ANSWER = api.solve(ASKED, CATALOG)
ASKS = {ask.stack.name: ask for ask in ASKED.asks}
STACKS = [(stack.build, ASKS[stack.name]) for stack in ANSWER.stacks if stack.build is not None]


def limited(ask: Ask, key: str, limit: Decimal) -> Ask:
    """The same stack with this limit."""
    wish: dict[str, Any] = {key: limit if key in ("rack_weight_kg", "noise_db", "heat_w") else int(limit)}
    setting = replace(ask.setting, rack_depth_mm=int(limit)) if key == "rack_depth_mm" else ask.setting
    return replace(ask, stack=ask.stack.model_copy(update=wish), setting=setting)


def refused(rule: str, build: Build, ask: Ask) -> bool:
    return bool(list(RULES[rule].check(build, ask, CATALOG)))


@pytest.mark.parametrize(
    ("key", "rule", "figure", "step"),
    [
        ("rack_units_free", "racking.space", "rack_units", "1"),
        ("rack_depth_mm", "racking.depth", "depth_mm", "1"),
        ("rack_weight_kg", "racking.weight", "weight_kg", "0.001"),
        ("noise_db", "site.noise", "noise_db", "0.1"),
    ],
)
def test_a_check_allows_what_is_shown_and_no_less(key: str, rule: str, figure: str, step: str) -> None:
    tried = 0
    for build, ask in STACKS:
        shown = getattr(facility_of(build, ask, CATALOG), figure)
        if shown is None:
            continue
        assert not refused(rule, build, limited(ask, key, Decimal(shown))), (ask.stack.name, shown)
        assert refused(rule, build, limited(ask, key, Decimal(shown) - Decimal(step))), (ask.stack.name, shown)
        tried += 1
    assert tried > len(STACKS) / 2


@pytest.mark.parametrize(
    ("key", "rule", "figure", "step"),
    [("heat_w", "site.heat", "closet_w", "0.1"), ("ups_va", "site.ups", "volt_amperes", "1")],
)
def test_a_check_never_allows_less_than_is_shown(key: str, rule: str, figure: str, step: str) -> None:
    """The rules count losses at the poorest supply, so they may refuse a little more."""
    for build, ask in STACKS:
        shown: Facility = facility_of(build, ask, CATALOG)
        below = Decimal(getattr(shown, figure)).quantize(Decimal(step), ROUND_CEILING) - Decimal(step)
        assert refused(rule, build, limited(ask, key, below)), (ask.stack.name, below)


def test_every_stack_of_the_order_stands_in_a_closet() -> None:
    in_closets = [(one.name, one.copies * closet.rooms) for closet in ANSWER.closets for one in closet.stacks]
    assert sorted(in_closets) == sorted((stack.name, stack.copies) for stack in ANSWER.stacks)
    whole_w = sum((closet.facility.plug_w * closet.rooms for closet in ANSWER.closets if closet.facility), Decimal(0))
    by_stack = sum((stack.facility.plug_w * stack.copies for stack in ANSWER.stacks if stack.facility), Decimal(0))
    assert abs(whole_w - by_stack) <= Decimal("0.1") * len(ANSWER.stacks)  # each is rounded up by itself
