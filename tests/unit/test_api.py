from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest

import configurator
from configurator import api
from configurator.build import Build
from configurator.catalog import Catalog
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Statement
from configurator.solved import Solved
from configurator.verify import CheckFailed, verify
from tests.unit import hand_made

CATALOG = hand_made.catalog()


def too_many(build: Build, _ask: Ask, _catalog: Catalog) -> Iterable[Breach]:
    if len(build.units) > 1:
        yield Breach(f"{len(build.units)} units, one at most", unit=2)


def rule(*, applies: bool = True) -> Rule:
    return Rule("a.one", "ports", "One.", COMMON_PRACTICE, check=too_many, applies=lambda _: applies)


class Engine:
    """Hands out the hand-made build and remembers for whom."""

    def __init__(self, price_minor: int = hand_made.TOTAL_MINOR) -> None:
        self.asked: list[str] = []
        self.price_minor = price_minor

    def __call__(self, ask: Ask, _catalog: Catalog, _rules: tuple[Rule, ...], _limit_s: float | None) -> Solved:
        self.asked.append(ask.stack.name)
        return replace(hand_made.solved(ask.stack.name), price_minor=self.price_minor)


def test_equal_stacks_are_solved_once_and_keep_their_names() -> None:
    engine = Engine()
    second = hand_made.ask("Annexe", copies=4)
    elsewhere = {key: replace(one, where="demand.yaml:99", ref="9.9") for key, one in second.statements.items()}
    asked = hand_made.asked(hand_made.ask(), replace(second, statements=elsewhere))
    answer = api.solve(asked, CATALOG, rules=[], engine=engine)
    assert engine.asked == ["Library"]
    assert [stack.name for stack in answer.stacks] == ["Library", "Annexe"]
    assert [stack.build.stack for stack in answer.stacks if stack.build] == ["Library", "Annexe"]
    whys = [why.ref for stack in answer.stacks for line in stack.bill for why in line.reasons]
    assert whys == ["5.1", "9.9"]


def test_stacks_that_differ_are_solved_apart() -> None:
    engine = Engine()
    said = hand_made.ask("Said")
    stated = {**said.statements, "airflow": Statement("airflow", "airflow: front-to-back")}
    asks = (
        hand_made.ask(),
        hand_made.ask("Growing", headroom_percent=5),
        hand_made.ask("Low line", input_v=120),
        replace(said, statements=stated),
        replace(hand_made.ask("Chain"), topology="chain"),
    )
    api.solve(hand_made.asked(*asks), CATALOG, rules=[], engine=engine)
    assert engine.asked == ["Library", "Growing", "Low line", "Said", "Chain"]


def test_a_build_that_a_check_rejects_is_never_shown() -> None:
    with pytest.raises(CheckFailed) as caught:
        api.solve(hand_made.asked(hand_made.ask()), CATALOG, rules=[rule()], engine=Engine())
    assert [(name, breach.text) for name, breach in caught.value.breaches] == [("a.one", "2 units, one at most")]
    assert caught.value.build == hand_made.build()


def test_a_bill_that_differs_from_the_price_found_is_never_shown() -> None:
    with pytest.raises(CheckFailed, match="the bill comes to 317500, the price found is 317499"):
        api.solve(hand_made.asked(hand_made.ask()), CATALOG, rules=[], engine=Engine(317499))


def test_a_rule_that_does_not_apply_to_the_catalog_is_not_checked() -> None:
    assert [name for name, _ in verify(hand_made.build(), hand_made.ask(), CATALOG, [rule()])] == ["a.one"]
    assert verify(hand_made.build(), hand_made.ask(), CATALOG, [rule(applies=False)]) == ()


def test_a_catalog_folder_without_a_price_list_says_where_it_was_looked_for(tmp_path: Path) -> None:
    with pytest.raises(configurator.BadInput, match=r"prices/prices\.csv"):
        configurator.load_catalog(tmp_path)


def test_every_public_name_is_there_and_has_a_docstring() -> None:
    for name in configurator.__all__:
        assert getattr(configurator, name).__doc__
    with pytest.raises(AttributeError, match="no attribute 'surprise'"):
        _ = configurator.surprise
