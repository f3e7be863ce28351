"""What a statement costs is the difference to a fresh solve of the demand file without it."""

from __future__ import annotations

import random
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given

from configurator import api, reading
from configurator.catalog import Catalog
from configurator.conflicts.relax import KEPT
from configurator.engine.search import solve_stack
from configurator.reasoning.explaining import explain
from configurator_rules import RULES
from tests.journeys.running import TINY
from tests.properties.asking import examples, seeds

ON = reading.load_prices(TINY / "prices.csv").issued


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return api.load_catalog(TINY, on=ON)


def demand(seed: int) -> dict[str, Any]:
    """A stack on the tiny catalog with statements of many sorts."""
    rng = random.Random(seed)
    stack: dict[str, Any] = {"name": "one", "ports": [{"count": rng.randint(1, 9)}]}
    if rng.random() < 0.7:
        stack["devices"] = [{"kind": "lamp", "count": rng.randint(1, 6), "poe_class": rng.choice((3, 4))}]
    if rng.random() < 0.7:
        way = {"speed_mbps": "10G", "over": "fibre", "fibre": "OM4", "length_m": 50}
        stack["uplinks"] = [{"count": rng.randint(1, 3), **way}]
    wishes: dict[str, Any] = {
        "on_supply_loss": rng.choice(("sheds_poe", "carries_all")),
        "headroom_percent": rng.choice((10, 50)),
        "units_at_most": rng.choice((2, 3)),
        "units_at_least": 2,
        "cord_m": 1,
    }
    stack.update({key: value for key, value in wishes.items() if rng.random() < 0.5})
    return {"stacks": [stack]}


def without(sheet: dict[str, Any], key: str) -> dict[str, Any]:
    """The file without one statement."""
    rest = deepcopy(sheet)
    name, bracket, index = key.removesuffix("]").partition("[")
    stack = rest["stacks"][0]
    if bracket:
        del stack[name][int(index)]
    else:
        del stack[name]
    return rest


def price(sheet: dict[str, Any], catalog: Catalog, folder: Path) -> int | None:
    """The least price of a demand file's only stack."""
    file = folder / "demand.yaml"
    file.write_text(yaml.safe_dump(sheet), encoding="utf-8")
    asked = api.load_demand(file, catalog, ON)
    return solve_stack(asked.asks[0], catalog, RULES, explain=False).price_minor


@given(seeds)
@examples(12)
def test_each_price_is_that_of_the_file_without_the_statement(
    catalog: Catalog, tmp_path_factory: pytest.TempPathFactory, seed: int
) -> None:
    folder, sheet = tmp_path_factory.mktemp("demands"), demand(seed)
    here = price(sheet, catalog, folder)
    found = explain(api.load_demand(folder / "demand.yaml", catalog, ON), catalog).stacks[0]
    if here is None:
        assert found.stack.status == "cannot be met"
        assert found.statements == ()
        return
    stated = {one.statement.key: one for one in found.statements}
    served = [key for key in stated if "[" in key]
    wishes = {key for key in sheet["stacks"][0] if key not in ("name", "ports", "devices", "uplinks")}
    assert wishes | set(served) == set(stated)
    for key, one in stated.items():
        rest = without(sheet, key)
        nothing = served == [key]
        fresh = 0 if nothing else price(rest, catalog, folder)
        assert one.status in ("cheapest", "same")
        assert one.price_minor == fresh, key
        assert one.difference_minor == (fresh or 0) - here
        assert key not in KEPT


@given(seeds)
@examples(6)
def test_each_assumption_the_other_way_is_the_price_of_a_file_that_says_so(
    catalog: Catalog, tmp_path_factory: pytest.TempPathFactory, seed: int
) -> None:
    """For those whose other value is one that a file can state in a word."""
    folder, sheet = tmp_path_factory.mktemp("demands"), demand(seed)
    if price(sheet, catalog, folder) is None:
        return
    found = explain(api.load_demand(folder / "demand.yaml", catalog, ON), catalog).stacks[0]
    tried = 0
    for one in found.assumptions:
        key = one.statement.key
        if one.tried is None or not one.tried.startswith(f"{key}: "):
            continue
        said = deepcopy(sheet)
        said["stacks"][0][key] = yaml.safe_load(one.tried.removeprefix(f"{key}: ").removesuffix(" %"))
        assert one.statement.assumed
        assert one.price_minor == price(said, catalog, folder), one.tried
        tried += 1
    assert tried > 3
