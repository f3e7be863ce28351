"""Conflicts and corrections by a general-purpose explanation library, on the same rows, as a second opinion.

CPMpy's MARCO enumerates all smallest conflicts and corrections of constraints by another algorithm.  It is
told the rows of a model, those that one statement brings under that statement; how many units there may be,
which the engine keeps by its arrangements, it is told in a row of its own.  Where placing whole devices on
whole units has taught the engine rows, it is told these too.
"""

from __future__ import annotations

import random
import time
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any
from unittest.mock import patch

import cpmpy as cp  # type: ignore[import-untyped]
from cpmpy.tools.explain.marco import marco  # type: ignore[import-untyped]

from configurator.book import Book
from configurator.conflicts.conflict import Explainer, found
from configurator.conflicts.relax import SERVED, droppable, without
from configurator.engine.cuts import Knapsack, carried_by
from configurator.engine.model import StackModel
from configurator.engine.search import solve_stack
from configurator.kinds import said_by
from configurator.rule import Row
from configurator.setting import Ask, Statement
from configurator_rules import RULES
from tests.oracles.draft import fresh
from tests.oracles.random_worlds import World, tight_watts_world
from tests.oracles.tiny_worlds import tiny_world
from tests.properties.asking import asked_otherwise
from tests.properties.test_conflicts import possible

ARRANGED = ("units_at_most", "units_at_least")
ROWS = ("rack_units_free", "heat_w", "ups_va")  # wishes that only add rows
Sets = set[frozenset[str]]
Weights = tuple[int, ...]


@dataclass(frozen=True)
class Translated:
    """A demand's rows as constraints of the library: those of each statement under a literal of its own."""

    literals: Mapping[str, Any]
    hard: list[Any]

    def explained(self) -> tuple[Sets, Sets]:
        """All smallest conflicts and corrections; the library never asks whether nothing at all can hold."""
        names = {literal.name: key for key, literal in self.literals.items()}
        sets: dict[str, Sets] = {"MUS": set(), "MCS": set()}
        for what, members in marco(list(self.literals.values()), self.hard):
            sets[what].add(frozenset(names[member.name] for member in members))
        return sets["MUS"], sets["MCS"] or {frozenset(self.literals)}


def translated(ask: Ask, book: Book, learnt: Iterable[Weights] = ()) -> Translated:
    """All that `droppable` names under literals, the rest in force as soon as anything is asked for."""
    atoms = frozenset(droppable(ask))
    assert all(key.startswith(SERVED) or key in ARRANGED or key in ROWS for key in atoms)
    model = StackModel(_any_number(book, atoms.intersection(ARRANGED)), ask, priced=False, asked=False)
    for weights in learnt:
        model.add_weight_row(weights, carried_by(model.capacity, Knapsack(model.capacity), weights))
    told = _Telling(model, [cp.intvar(lo, hi) for lo, hi in model.model.bounds])
    hard = [told.present.implies(one) for one in (*told.of_model(), *told.rows(_rows(ask, atoms, "", book)))]
    literals = {key: cp.boolvar(name=key) for key in ask.statements if key in atoms}
    for key, literal in literals.items():
        own = list(told.rows(_rows(ask, atoms, key, book)))
        if key.startswith(SERVED):
            own += [told.present, *told.spread(key)]
        elif key == "units_at_most":
            own.append(told.units <= ask.stack.units_at_most)
        elif key == "units_at_least":
            own.append(told.present.implies(told.units >= ask.stack.units_at_least))
        hard += [literal.implies(one) for one in own]
    return Translated(literals, hard)


def _any_number(book: Book, limits: frozenset[str]) -> Book:
    """The same rules, of which the one about the number of units does not hear these limits."""
    (deaf,) = (rule for rule in book.rules if rule.id == "stacking.units_asked")
    arranges = deaf.arranges
    assert arranges is not None
    told = replace(deaf, arranges=lambda arranged, ask, catalog: arranges(arranged, without(ask, limits), catalog))
    return Book(tuple(told if rule is deaf else rule for rule in book.rules), fresh(book.catalog))


def _rows(ask: Ask, atoms: frozenset[str], key: str, book: Book) -> Iterator[Row]:
    """What rules say because of one statement; of none: whatever is asked."""
    silent = book.limits(without(ask, atoms))
    if not key:
        yield from (row for _, row in silent)
        return
    before = Counter(rule for rule, _ in silent)
    for rule, row in book.limits(without(ask, atoms - {key})):
        before[rule] -= 1
        if before[rule] < 0:
            yield row


class _Telling:
    """A model's variables and rows in the library's words."""

    def __init__(self, model: StackModel, values: list[Any]) -> None:
        self.model = model
        self.values = values
        self.zero = cp.intvar(0, 0)  # so that no sum is empty
        self.present = cp.boolvar(name="something is asked for")
        self.units = self.sum((var, 1) for var in model.n)

    def sum(self, terms: Iterable[tuple[int, int]]) -> Any:
        """A sum of variables with coefficients."""
        return cp.sum([self.zero, *(coefficient * self.values[var] for var, coefficient in terms)])

    def of_model(self) -> Iterator[Any]:
        """The model's own rows."""
        for row in self.model.model.rows:
            total = self.sum(zip(row.variables, row.coefficients, strict=True))
            bounds = (total >= row.lo) & (total <= row.hi)
            yield cp.all([self.values[var] == 1 for var in row.only_if]).implies(bounds) if row.only_if else bounds

    def rows(self, rows: Iterable[Row]) -> Iterator[Any]:
        """Rules' rows."""
        model = self.model
        for row in rows:
            terms = [(v, row.fitouts(c.fitout)) for v, c in zip(model.n, model.columns, strict=True) if row.fitouts]
            for var, offer in zip(model.q, model.offers.offers, strict=True):
                terms += [(var, row.kinds(model.kinds[offer.kind]))] if row.kinds else []
                terms += [(var, row.plugs(offer.plug))] if row.plugs else []
            total = self.sum(terms)
            says = total <= row.bound if row.sense == "<=" else total >= row.bound
            if row.only_if is not None:
                members = [(v, 1) for v, c in zip(model.n, model.columns, strict=True) if row.only_if(c.fitout)]
                says = (self.sum(members) >= 1).implies(says)
            if row.agreed is not None:
                topic, choice = row.agreed
                such = [
                    (e, 1)
                    for e, a in zip(model.e, model.accord_of, strict=True)
                    if model.accords[a].get(topic) == choice
                ]
                says = (self.sum(such) >= 1).implies(says)
            yield says

    def spread(self, key: str) -> Iterator[Any]:
        """A kind reaches no more units through an offer than it has devices there, or units have ports for it."""
        model = self.model
        for index, kind in enumerate(model.kinds):
            least, reached = model.book.spread(kind), []
            if kind.statement != key or least <= 1:
                continue
            for bit, (var, offer) in enumerate(zip(model.q, model.offers.offers, strict=True)):
                if offer.kind == index:
                    with_ports = [
                        (n, 1)
                        for n, column in zip(model.n, model.columns, strict=True)
                        if any(mask >> bit & 1 for _, mask in column.slices)
                    ]
                    units = cp.intvar(0, max(1, model.most))
                    yield units <= self.values[var]
                    yield units <= self.sum(with_ports)
                    reached.append(units)
            yield cp.sum([self.zero, *reached]) >= least


# --- comparing ----------------------------------------------------------------------------------------


def by_engine(world: World) -> tuple[Sets, Sets, list[Weights]] | None:
    """Conflicts, corrections and learnt weights; none where a placement failed and taught no weights."""
    explainer = Explainer(world.ask, world.catalog, RULES, time.monotonic() + 600)
    sets: dict[str, Sets] = {"conflict": set(), "correction": set()}
    learn, forbid = StackModel.add_weight_row, StackModel.add_no_good
    with (
        patch.object(StackModel, "add_weight_row", autospec=True, side_effect=learn) as learnt,
        patch.object(StackModel, "add_no_good", autospec=True, side_effect=forbid) as forbidden,
    ):
        for what, keys in found(explainer, most=1000):
            sets[what].add(keys)
    assert explainer.sure
    if forbidden.called:
        return None
    return sets["conflict"], sets["correction"], [call.args[1] for call in learnt.call_args_list]


def compared(worlds: Iterable[World]) -> Counter[str]:
    """How many worlds were compared, had what, or were not compared."""
    seen: Counter[str] = Counter()
    for world in worlds:
        seen["worlds"] += 1
        book, engine = Book(RULES, world.catalog), by_engine(world)
        if engine is None or book.boxed_only(world.ask.setting):
            continue
        conflicts, corrections, learnt = engine
        assert translated(world.ask, book, dict.fromkeys(learnt)).explained() == (conflicts, corrections)
        rough, _ = translated(world.ask, book).explained()
        seen["compared"] += 1
        seen["several conflicts"] += len(conflicts) > 1
        seen["several statements"] += any(len(one) > 2 for one in conflicts)
        seen["limits"] += any(key in one for one in conflicts for key in (*ARRANGED, *ROWS))
        seen["needs what placing taught"] += rough != conflicts
    return seen


def with_statements(world: World) -> World:
    """The world with a statement for what is served and for limits on counts, all else always in force."""
    keys = [key for key, _ in said_by(world.ask)]
    keys += [name for name in (*ARRANGED, *ROWS) if getattr(world.ask.stack, name) is not None]
    return World(world.catalog, replace(world.ask, statements={key: Statement(key, key) for key in keys}))


def tiny_worlds(seeds: Iterable[int]) -> Iterator[World]:
    """Tiny worlds that cannot be met: more of everything than was asked, and limits on counts."""
    for seed in seeds:
        rng, world = random.Random(seed), tiny_world(seed)
        stack = world.ask.stack
        devices = tuple(one.model_copy(update={"count": one.count * rng.randint(1, 4)}) for one in stack.devices)
        uplinks = tuple(one.model_copy(update={"count": one.count * rng.randint(1, 3)}) for one in stack.uplinks)
        limits: dict[str, object] = {
            "units_at_most": rng.choice((None, 1, 2)),
            "units_at_least": rng.choice((None, None, 2, 3, 4)),
            "rack_units_free": rng.choice((None, None, 1, 2)),
            "heat_w": rng.choice((None, None, 20, 40, 60)),
            "ups_va": rng.choice((None, None, 40, 90, 150)),
        }
        world = with_statements(asked_otherwise(world, {**limits, "devices": devices, "uplinks": uplinks}))
        if not possible(world.ask, world):
            yield world


def tight_worlds(seeds: Iterable[int]) -> Iterator[World]:
    """Worlds that whole units only just don't meet, with devices of several odd wattages."""
    for seed in seeds:
        rng = random.Random(seed)
        world = asked_otherwise(tight_watts_world(rng, rng.choice((1, 1, 4))), {"units_at_most": None})
        answer = solve_stack(world.ask, world.catalog, RULES, explain=False)
        if answer.build is None or not answer.counters.cuts:
            continue
        # the watts of one unit fewer may be enough together
        world = with_statements(asked_otherwise(world, {"units_at_most": max(1, len(answer.build.units) - 1)}))
        if not possible(world.ask, world):
            yield world


def test_the_library_finds_the_same_conflicts_and_corrections() -> None:
    seen = compared(tiny_worlds(range(80)))
    assert seen["compared"] >= 0.8 * seen["worlds"] >= 60
    assert min(seen["several conflicts"], seen["several statements"], seen["limits"]) >= 12


def test_the_library_finds_the_same_where_whole_units_carry_less_than_their_watts_together() -> None:
    seen = compared(tight_worlds(range(150)))
    assert seen["compared"] >= 0.8 * seen["worlds"] >= 12
    assert seen["needs what placing taught"] >= 3
