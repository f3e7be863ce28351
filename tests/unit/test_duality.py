"""All smallest conflicts and corrections against enumeration of all sets, and figures against a walk step by step."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from itertools import combinations, pairwise

import pytest

from configurator.conflicts.conflict import Explainer
from configurator.conflicts.duality import conflicts_and_corrections
from configurator.conflicts.loosen import Figure, Value, fewest_steps
from configurator.setting import Statement
from configurator_rules import RULES
from tests.rules.worlds import cage, group, make_ask, make_catalog, optic, part, unit_type

Sets = set[frozenset[str]]


def families(seed: int) -> Iterator[tuple[list[str], Sets]]:
    """Statements, and random sets of them that can't hold together."""
    rng = random.Random(seed)
    for _ in range(150):
        atoms = [f"a{n}" for n in range(rng.randint(1, 7))]
        clashes = [rng.sample(atoms, rng.randint(1, min(4, len(atoms)))) for _ in range(rng.randint(0, 6))]
        yield atoms, {frozenset(clash) for clash in clashes}


def smallest(sets: Sets) -> Sets:
    return {one for one in sets if not any(other < one for other in sets)}


def by_enumeration(atoms: list[str], clashes: Sets) -> tuple[Sets, Sets]:
    every = {frozenset(some) for size in range(len(atoms) + 1) for some in combinations(atoms, size)}
    bad = {some for some in every if any(clash <= some for clash in clashes)}
    helpful = {some for some in every if frozenset(atoms) - some not in bad}
    return smallest(bad), smallest(helpful)


@pytest.mark.parametrize("seed", range(6))
def test_both_lists_are_complete_and_hold_nothing_else(seed: int) -> None:
    for atoms, clashes in families(seed):
        asked: list[frozenset[str]] = []

        def holds(some: frozenset[str], clashes: Sets = clashes, asked: list[frozenset[str]] = asked) -> bool:
            asked.append(some)
            return not any(clash <= some for clash in clashes)

        found = list(conflicts_and_corrections(atoms, holds, most=1000))
        conflicts = [some for what, some in found if what == "conflict"]
        corrections = [some for what, some in found if what == "correction"]
        assert len(set(asked)) == len(asked) <= 2 ** len(atoms), "nothing is asked twice"
        if not clashes:
            assert found == []
            continue
        assert (set(conflicts), set(corrections)) == by_enumeration(atoms, clashes)
        assert (len(set(conflicts)), len(set(corrections))) == (len(conflicts), len(corrections))
        assert all(one & other for one in conflicts for other in corrections)
        assert found == list(conflicts_and_corrections(atoms, holds, most=1000)), "the same each time"


@pytest.mark.parametrize("seed", range(3))
def test_what_is_found_before_the_search_stops_is_true(seed: int) -> None:
    """And it is what the whole search finds first."""
    stopped = 0
    for atoms, clashes in families(100 + seed):

        def holds(some: frozenset[str], clashes: Sets = clashes) -> bool:
            return not any(clash <= some for clash in clashes)

        found, whole = (list(conflicts_and_corrections(atoms, holds, most=most)) for most in (2, 1000))
        conflicts, corrections = by_enumeration(atoms, clashes)
        told = [some for what, some in found if what == "conflict"]
        assert set(told) <= conflicts
        assert len(told) == min(2, len(conflicts))
        assert {some for what, some in found if what == "correction"} <= (corrections if clashes else set())
        assert found == whole[: len(found)]
        assert len(conflicts) < 2 or found[-1][0] == "conflict", "nothing comes after the last one"
        stopped += len(conflicts) > 2
    assert stopped > 5


def test_no_statement_at_all() -> None:
    assert list(conflicts_and_corrections([], lambda _: True, most=9)) == []


def test_a_rule_that_nothing_can_meet_is_a_conflict_of_no_statements() -> None:
    """Nothing can be given up to help."""
    assert list(conflicts_and_corrections(["a", "b"], lambda _: False, most=9)) == [("conflict", frozenset())]


def test_earlier_statements_are_kept_in_the_first_conflict() -> None:
    """Two conflicts of one size: the one of what the customer wrote comes before that of assumptions."""
    clashes: Sets = {frozenset({"said", "devices"}), frozenset({"assumed", "devices"})}
    atoms = ["devices", "said", "assumed"]
    found = conflicts_and_corrections(atoms, lambda some: not any(clash <= some for clash in clashes), most=9)
    first = next(some for what, some in found if what == "conflict")
    assert first == {"devices", "said"}


def test_what_is_set_aside_asks_for_nothing() -> None:
    """Uplinks without which the ports oversubscribe what is left are no reason to call their lack a conflict."""
    catalog = make_catalog(
        families=[{"id": "F"}],
        unit_types=[unit_type(group("a", 8), cage("up", 2))],
        boxes=[part("BOX", unit="T")],
        optics=[optic("SR")],
        optics_matrix=[{"cage": "C-SFP+", "takes": ["SR"]}],
    )
    uplinks = [{"count": 1, "speed_mbps": 10_000, "over": "fibre", "fibre": "OM4", "length_m": 50}]
    ask = make_ask(ports=[{"count": 8, "speed_mbps": 1000}], uplinks=uplinks, oversubscription=2)
    atoms = ("ports[0]", "uplinks[0]", "oversubscription")
    explainer = Explainer(
        replace(ask, statements={key: Statement(key, key) for key in atoms}), catalog, RULES, time.monotonic() + 60
    )
    every = [frozenset(some) for size in range(4) for some in combinations(atoms, size)]
    assert explainer.possible(frozenset(atoms))
    assert [set(some) for some in every if not explainer.possible(some)] == []


# --- figures ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(40))
def test_a_figure_moves_by_the_fewest_steps(seed: int) -> None:
    rng = random.Random(seed)
    said = rng.randint(2, 120)
    figure = Figure("x", "count", said, -1)
    works_up_to = rng.randint(0, said - 1)
    by_walking = next((n for n in range(1, said) if said - n <= works_up_to), None)
    assert fewest_steps(figure, lambda value: int(str(value)) <= works_up_to) == by_walking


@pytest.mark.parametrize("seed", range(20))
def test_a_figure_that_grows_moves_by_the_fewest_steps(seed: int) -> None:
    rng = random.Random(seed)
    said, needed = rng.randint(1, 50), rng.randint(60, 5000)
    figure = Figure("units_at_most", "units_at_most", said, 1)
    assert fewest_steps(figure, lambda value: int(str(value)) >= needed) == needed - said


def moving(rng: random.Random) -> Figure:
    """A count, a length or level with or without a fraction, or a date."""
    decimal = Decimal(rng.randint(1, 900)).scaleb(-rng.randint(0, 1))
    return rng.choice(
        (
            Figure("x", "count", rng.randint(1, 90), -1),
            Figure("x", "units_at_most", rng.randint(1, 90), 1),
            Figure("x", "length_m", decimal, -1),
            Figure("x", "noise_db", decimal, 1),
            Figure("x", "deliver_by", date(2031, 1, 1) + timedelta(rng.randint(0, 400)), 1),
        )
    )


@pytest.mark.parametrize("seed", range(80))
def test_the_fewest_steps_are_those_of_a_walk(seed: int) -> None:
    """The answer changes once on the way, or never; the step before the one told is impossible."""
    rng = random.Random(seed)
    figure, needed = moving(rng), rng.randint(1, 100)
    values = [figure.at(steps) for steps in range(1, min(figure.most_steps(), 200) + 1)]
    works = set(values[needed - 1 :])

    def possible(value: Value) -> bool:
        return value in works or value not in values

    by_walking = next((steps for steps, value in enumerate(values, 1) if possible(value)), None)
    assert fewest_steps(figure, possible) == by_walking


@pytest.mark.parametrize("seed", range(40))
def test_each_step_goes_one_further_in_the_easier_direction(seed: int) -> None:
    """To a whole number, past the figure itself, and where less is easier never below the least there can be."""
    figure = moving(random.Random(seed))
    values = [figure.at(steps) for steps in range(1, min(figure.most_steps(), 50) + 1)]
    ways = [figure.said, *values]
    assert ways == sorted(ways, reverse=figure.easier < 0)
    assert len(set(ways)) == len(ways)
    for before, value in pairwise(values):
        assert after(before, value) == figure.easier
    if figure.easier < 0:
        assert figure.at(figure.most_steps()) == (1 if figure.field == "count" else 0)


def after(one: Value, other: Value) -> int | Decimal:
    """How much further another value is."""
    if isinstance(one, date):
        assert isinstance(other, date)
        return (other - one).days
    assert not isinstance(other, date)
    return Decimal(other) - Decimal(one)


def test_a_figure_that_nothing_moves_far_enough() -> None:
    assert fewest_steps(Figure("x", "count", 7, -1), lambda _: False) is None
    assert fewest_steps(Figure("x", "count", 1, -1), lambda _: True) is None, "fewer than one is none"


@pytest.mark.parametrize(
    ("figure", "steps", "value"),
    [
        (Figure("a", "count", 9, -1), 2, 7),
        (Figure("a", "noise_db", Decimal("42.5"), 1), 1, Decimal(43)),
        (Figure("a", "length_m", Decimal("42.5"), -1), 1, Decimal(42)),
        (Figure("a", "length_m", Decimal(42), -1), 1, Decimal(41)),
        (Figure("a", "deliver_by", date(2031, 2, 27), 1), 3, date(2031, 3, 2)),
    ],
)
def test_steps_are_whole_and_go_to_what_asks_for_less(figure: Figure, steps: int, value: Value) -> None:
    assert figure.at(steps) == value
