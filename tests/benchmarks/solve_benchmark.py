"""How fast stacks are solved, measured in one run: `python -m tests.benchmarks.solve_benchmark`.

Every time covers a stack's whole solve, its model's building included; the solver has one worker.
Cold: the catalog remembers nothing.  Warm: it remembers what other demands taught it (in the
demonstration, the same ones).  Times depend on the machine: compare them with each other, and
the command's with the bare import.  A demand that needed a cut is one that the model's first
rows let through though whole units can't carry it.
"""

from __future__ import annotations

import argparse
import random
import statistics
import sys
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

if __package__ in (None, ""):  # run by its path
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from configurator.catalog import Catalog
from configurator.engine.search import solve_stack
from configurator.setting import Ask
from configurator.solved import Counters, Solved
from configurator_rules import RULES
from tests.benchmarks.commands import command_times
from tests.oracles.blocks import solve_by_cp_sat
from tests.oracles.draft import fresh
from tests.oracles.random_parts import random_catalog
from tests.oracles.random_worlds import World, random_ask, tight_watts_world

LIMIT_S = 60.0  # for one stack; what takes longer is counted as not decided
WORK = ("rounds", "cuts", "packings", "no_goods")


@dataclass
class Series:
    """Solves of one sort."""

    name: str
    milliseconds: list[float] = field(default_factory=list)
    work: list[Counters] = field(default_factory=list)
    statuses: list[str] = field(default_factory=list)

    def solve(self, ask: Ask, catalog: Catalog) -> Solved:
        """Solves and notes; times are kept of what can be met, the rest is explained and takes longer."""
        start = time.perf_counter()
        answer = solve_stack(ask, catalog, RULES, LIMIT_S)
        took_ms = (time.perf_counter() - start) * 1000
        self.statuses.append(answer.status)
        if answer.status != "cannot be met":
            self.milliseconds.append(took_ms)
            self.work.append(answer.counters)
        return answer

    def line(self) -> str:
        """Times and work, for people."""
        sums = {name: sum(getattr(counters, name) for counters in self.work) for name in WORK}
        undecided = sum(status in ("best found", "not decided") for status in self.statuses)
        cut = sum(counters.cuts > 0 for counters in self.work)
        return (
            f"{self.name:<34} {times(self.milliseconds)}  met {len(self.work):>3} of {len(self.statuses):>3}, "
            f"not proved {undecided}; " + ", ".join(f"{n.replace('_', '-')} {s}" for n, s in sums.items())
            + f"; {cut} needed a cut"
        )  # fmt: skip


def times(milliseconds: Sequence[float]) -> str:
    """Median and 95th percentile."""
    if not milliseconds:
        return "median      - ms, p95      - ms"
    ordered = sorted(milliseconds)
    p95 = ordered[min(len(ordered) - 1, int(0.95 * len(ordered)))]
    return f"median {statistics.median(ordered):6.1f} ms, p95 {p95:6.1f} ms"


def main() -> int:
    """Prints everything; 1 when an oracle contradicts the engine."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--demands", type=int, default=300, help="generated demands a catalog")
    options.add_argument("--tight", type=int, default=20, help="demands that need a cut, for each size of catalog")
    options.add_argument("--oracle-seconds", type=float, default=60.0, help="time for the oracle on each of them")
    options.add_argument("--repeats", type=int, default=5, help="runs of each command")
    chosen = options.parse_args()
    solve_stack(*_small(), RULES)  # loads the solver
    demo()
    for types in (8, 40):
        generated(types, chosen.demands)
    contradicted = sum([tight(types, chosen.tight, chosen.oracle_seconds) for types in (1, 8, 40)])
    for text in command_times(chosen.repeats):
        print(text, flush=True)
    return 1 if contradicted else 0


def _small() -> tuple[Ask, Catalog]:
    catalog = random_catalog(random.Random(0), 1)
    return random_ask(random.Random(0), catalog, most=4), catalog


def demo() -> None:
    """The demonstration's stacks, each ten times over."""
    import configurator

    catalog = configurator.load_catalog()
    asks = configurator.load_demand(None, catalog).asks
    _cold_and_warm("demonstration", catalog, list(asks) * 10, list(asks))


def generated(types: int, count: int) -> None:
    """Random demands of six kinds of device on one random catalog."""
    catalog = random_catalog(random.Random(types), types)
    asks = [random_ask(random.Random(1000 + n), catalog) for n in range(count)]
    others = [random_ask(random.Random(900_000 + n), catalog) for n in range(max(1, count // 6))]
    _cold_and_warm(f"six kinds, {types} types", catalog, asks, others)


def _cold_and_warm(name: str, catalog: Catalog, asks: Iterable[Ask], before: Iterable[Ask]) -> None:
    cold, warm, learning = Series(f"{name}, cold"), Series(f"{name}, warm"), Series("")
    remembering = fresh(catalog)
    for ask in before:
        learning.solve(ask, remembering)
    for ask in asks:
        cold.solve(ask, fresh(catalog))
        warm.solve(ask, remembering)
    print(cold.line(), warm.line(), sep="\n", flush=True)


def tight(types: int, wanted: int, oracle_seconds: float) -> int:
    """Demands that pooled watts meet and whole units don't, against the block model; how often it contradicts."""
    cut, uncut = Series(f"tight watts, {types} types, with cuts"), Series(f"tight watts, {types} types, without")
    worlds = _needing_cuts(types, wanted, cut, uncut)
    print(cut.line(), uncut.line(), sep="\n", flush=True)
    equal = undecided = 0
    for world, answer in worlds:
        oracle = solve_by_cp_sat(world.ask, world.catalog, oracle_seconds, workers=2)
        unproved = answer.status in ("best found", "not decided")
        undecided += oracle.status == "undecided" or unproved
        equal += not unproved and oracle.status != "undecided" and oracle.price_minor == answer.price_minor
    differ = len(worlds) - equal - undecided
    print(f"  the block model: {equal} optima equal, {differ} different, {undecided} left undecided", flush=True)
    return differ


def _needing_cuts(types: int, wanted: int, cut: Series, uncut: Series) -> list[tuple[World, Solved]]:
    """So many worlds whose solve needed a cut, found by trying seeds, each on a catalog of its own."""
    found: list[tuple[World, Solved]] = []
    for seed in range(40 * wanted):
        if len(found) == wanted:
            break
        world = tight_watts_world(random.Random(seed), types)
        trial = Series("")
        answer = trial.solve(world.ask, world.catalog)
        series = cut if answer.counters.cuts else uncut
        series.milliseconds += trial.milliseconds
        series.work += trial.work
        series.statuses += trial.statuses
        if answer.counters.cuts:
            found.append((world, answer))
    return found


if __name__ == "__main__":
    sys.exit(main())
