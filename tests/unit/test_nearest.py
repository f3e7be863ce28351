"""The demand file of a change that would help: one stack is changed, all others stay as they were asked."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from configurator import api, packaged, reading
from configurator.answer import StackAnswer
from configurator.assemble import stack_answer
from configurator.catalog import Catalog
from configurator.conflicts.nearest import labels, nearest
from configurator.engine.search import solve_stack
from configurator.errors import BadInput
from configurator.reading import Asked
from configurator.reading.changed import changed
from configurator.reading.yaml_source import parse
from configurator.reasoning import explaining
from configurator_rules import RULES

ON = api.order_day(demonstration=True)
FILE = Path(str(packaged.demand_file())).with_name("impossible.yaml")
QUICK = ("Attic", "Mast", "Ticket box", "Lakeside station", "Recording studio")


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return api.load_catalog()


@pytest.fixture(scope="module")
def asked(catalog: Catalog) -> Asked:
    return api.load_demand(FILE, catalog, ON)


def told(asked: Asked, catalog: Catalog, name: str) -> tuple[int, StackAnswer]:
    place = next(n for n, ask in enumerate(asked.asks) if ask.stack.name == name)
    ask = asked.asks[place]
    return place, stack_answer(solve_stack(ask, catalog, RULES), ask, catalog, RULES, 1)


def offered(answer: StackAnswer) -> Iterator[tuple[str, int]]:
    """Every change with a price."""
    for label, one, low in labels(answer):
        price = one.price_minor if low is None else low.price_minor
        if price is not None:
            yield label, price


@pytest.mark.parametrize("name", QUICK)
def test_every_change_is_a_file_that_can_be_met_at_the_price_told(name: str, asked: Asked, catalog: Catalog) -> None:
    place, answer = told(asked, catalog, name)
    changes = list(offered(answer))
    assert changes
    for label, price in changes:
        text = nearest(asked, place, answer, label)
        again = reading.demand_from(text, catalog, ON)
        assert [ask.stack.name for ask in again.asks] == [ask.stack.name for ask in asked.asks]
        solved = solve_stack(again.asks[place], catalog, RULES, explain=False)
        assert (label, solved.status, solved.price_minor) == (label, "cheapest", price)
        for other, (before, after) in enumerate(zip(asked.asks, again.asks, strict=True)):
            if other != place:
                assert _what(after) == _what(before)


def _what(ask: object) -> str:
    """What a stack asks for, wherever it stands in its file."""
    return re.sub(r"where='[^']*'", "", repr(ask))


def test_a_wish_of_the_whole_order_is_given_up_by_one_stack_alone() -> None:
    data = parse(
        "a", "defaults: {airflow: front-to-back}\nstacks:\n  - {name: a, ports: [{count: 4}]}\n  - {name: b}\n"
    ).data
    out = changed(data, 0, ["airflow"], {})
    assert out["defaults"] == {}
    assert out["stacks"] == [{"name": "a", "ports": [{"count": "4"}]}, {"name": "b", "airflow": "front-to-back"}]
    assert data["defaults"] == {"airflow": "front-to-back"}, "what was read stays as it is"


def test_a_figure_keeps_its_reference_and_what_is_given_up_goes() -> None:
    text = (
        "stacks:\n  - name: a\n    units_at_most: {value: 1, ref: '3.1'}\n    between_units_m: [400]\n"
        "    ports:\n      - {count: 9}\n      - {count: 5, ref: x}\n"
    )
    data = parse("a", text).data
    eased = {"units_at_most": ("units_at_most", "2"), "between_units_m": ("between_units_m", "300")}
    (stack,) = changed(data, 0, ["ports[0]"], eased)["stacks"]
    assert stack == {
        "name": "a",
        "units_at_most": {"value": "2", "ref": "3.1"},
        "between_units_m": ["300"],
        "ports": [{"count": "5", "ref": "x"}],
    }


def test_an_unknown_change_is_told_with_those_there_are(asked: Asked, catalog: Catalog) -> None:
    place, answer = told(asked, catalog, "Attic")
    with pytest.raises(BadInput, match=r'"9z" is no change that is offered for "Attic"') as error:
        nearest(asked, place, answer, "9z")
    assert "1" in str(error.value)


def test_nothing_left_to_order_is_no_file(catalog: Catalog) -> None:
    alone = reading.demand_from(
        "defaults: {country: NL}\nstacks:\n  - {name: a, units_at_most: 1, ports: [{count: 60}]}\n", catalog, ON
    )
    place, answer = told(alone, catalog, "a")
    empty = next(str(one.number) for one in answer.corrections if one.nothing_left)
    with pytest.raises(BadInput, match="nothing is left to order"):
        nearest(alone, place, answer, empty)


def test_conflicts_are_told_as_they_are_found(asked: Asked, catalog: Catalog) -> None:
    """Before the answer is there, in words, and no other than are in it."""
    seen: list[tuple[tuple[str, ...], str]] = []
    stacks = explaining.explained(
        asked, catalog, RULES, stack="Ticket box", as_found=lambda _, one: seen.append((one.statements, one.text))
    )
    (one,) = stacks
    assert seen == [(tuple(g.key for g in c.statements), c.text) for c in one.stack.conflicts]
