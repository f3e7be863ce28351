"""How fast "no" is explained, measured in one run: `python -m tests.benchmarks.explain_benchmark`.

The demonstration's impossible demand, and generated ones on its catalog; one worker.
First: until the first smallest conflict is known.  All: until all smallest conflicts and corrections
are.  Cold: the catalog remembers nothing.  After its own solve: nothing but what finding the demand
impossible taught it, as when one command is run.  Warm: also what other demands taught it.  A model
each time: one is built for each question, instead of one frame for many.  CPMpy: a general-purpose
library enumerates the conflicts and corrections of one model's rows, which hold no placement; what it
is not told of is in force throughout, for both.  Times depend on the machine: compare them with each other.
"""

from __future__ import annotations

import argparse
import random
import statistics
import sys
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from tabulate import tabulate

if __package__ in (None, ""):  # run by its path
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from configurator import api, packaged, reading
from configurator.book import Book
from configurator.catalog import Catalog
from configurator.conflicts.conflict import MOST_CONFLICTS, Explainer, first_told, found, told
from configurator.conflicts.correction import corrected
from configurator.conflicts.frame import Frames
from configurator.engine.search import solve_stack
from configurator.errors import BadInput
from configurator.kinds import kinds_of
from configurator.setting import Ask
from configurator_rules import RULES
from tests.oracles.draft import fresh
from tests.oracles.random_worlds import World

LIMIT_S = 600.0  # for one demand; nothing here takes so long
MOST = 1000  # conflicts of one demand; none here has so many
WISHES = {
    "airflow": ("front-to-back", "back-to-front"),
    "on_supply_loss": ("carries_all", "sheds_poe"),
    "on_feed_loss": ("carries_all",),
    "units_at_most": ("1", "2", "3"),
    "units_at_least": ("2", "3"),
    "topology": ("chain", "ring"),
    "rack_units_free": ("1", "2", "4"),
    "rack_depth_mm": ("240", "300", "400"),
    "rack_weight_kg": ("8", "20"),
    "noise_db": ("30", "45", "55"),
    "heat_w": ("200", "400"),
    "support_months": ("36", "60"),
    "features": ("[precise-time]", "[routing]"),
    "deliver_by": ("2026-11-20", "2027-03-31"),
    "inlet_c": ("42", "50"),
    "headroom_percent": ("20", "50"),
    "oversubscription": ("2", "4"),
    "stacking_mbps": ("160G",),
}


def demand(rng: random.Random) -> str:
    """A stack that asks for a good deal at once."""
    served: dict[str, list[str]] = {}
    for number in range(rng.randint(1, 3)):
        name = rng.choice(("ports", "devices", "uplinks"))
        speed = rng.choice(("1G", "2.5G", "10G"))
        if name == "ports":
            text = f"count: {rng.randint(4, 120)}, speed_mbps: {speed}"
        elif name == "devices":
            text = f"kind: device {number}, count: {rng.randint(4, 160)}, poe_class: {rng.choice((3, 4, 6, 8))}"
        else:
            fibre, way = rng.choice(("OM4", "OS2")), rng.choice((20, 90, 350, 900, 12000))
            speed = rng.choice(("1G", "10G", "25G", "40G"))
            text = f"count: {rng.randint(1, 4)}, speed_mbps: {speed}, over: fibre, fibre: {fibre}, length_m: {way}"
        served.setdefault(name, []).append(text)
    lines = ["defaults: {country: NL, currency: EUR, cord_m: 1.5}", "stacks:", "  - name: generated"]
    for name, texts in served.items():
        lines += [f"    {name}:", *(f"      - {{{text}}}" for text in texts)]
    lines += [f"    {wish}: {rng.choice(WISHES[wish])}" for wish in rng.sample(list(WISHES), rng.randint(1, 4))]
    return "\n".join(lines) + "\n"


def impossible(catalog: Catalog, wanted: int, first: int = 0) -> Iterator[Ask]:
    """So many generated demands that cannot be met, from the seeds after `first`."""
    on, seed = api.order_day(demonstration=True), first
    while wanted:
        seed += 1
        try:
            (ask,) = reading.demand_from(demand(random.Random(seed)), catalog, on).asks
        except BadInput:
            continue  # nothing in the catalog knows such a thing
        if solve_stack(ask, catalog, RULES, explain=False).status == "cannot be met":
            wanted -= 1
            yield ask


def of_demonstration(catalog: Catalog) -> Iterator[Ask]:
    """The stacks of the demonstration's impossible demand that cannot be met."""
    file = Path(str(packaged.demand_file())).with_name("impossible.yaml")
    for ask in api.load_demand(file, catalog, api.order_day(demonstration=True)).asks:
        if solve_stack(ask, catalog, RULES, explain=False).status == "cannot be met":
            yield ask


class Asked(Explainer):
    """Counts what it is asked."""

    questions = 0

    def possible(self, kept: frozenset[str]) -> bool:
        """Whether some build meets these statements."""
        self.questions += 1
        return super().possible(kept)


class Anew(Asked):
    """Builds a model for each question."""

    def met(self, ask: Ask, figure: object = None) -> bool:  # noqa: ARG002
        """Whether some build meets a demand."""
        return not kinds_of(ask) or self.decided(Frames(self.book, ask).search(ask, self.deadline)[0])


@dataclass
class Series:
    """Demands of one sort, explained in one way."""

    name: str
    statements: list[int] = field(default_factory=list)
    conflicts: list[int] = field(default_factory=list)
    corrections: list[int] = field(default_factory=list)
    questions: list[int] = field(default_factory=list)
    frames: list[int] = field(default_factory=list)
    first_ms: list[float] = field(default_factory=list)
    all_ms: list[float] = field(default_factory=list)

    def explain(self, ask: Ask, catalog: Catalog, kind: type[Asked] = Asked) -> None:
        """Finds all conflicts and corrections, and notes what it took."""
        start, conflicts, corrections = time.perf_counter(), 0, 0
        explainer = kind(ask, catalog, RULES, time.monotonic() + LIMIT_S)
        for what, _ in found(explainer, MOST):
            if what == "correction":
                corrections += 1
                continue
            conflicts += 1
            if conflicts == 1:
                self.first_ms.append(_since_ms(start))
        self.all_ms.append(_since_ms(start))
        self.statements.append(len(explainer.atoms))
        self.conflicts.append(conflicts)
        self.corrections.append(corrections)
        self.questions.append(explainer.questions)
        self.frames.append(len(explainer.frames))

    def cells(self) -> list[str]:
        """A row of the table."""
        sizes = (self.statements, self.conflicts, self.corrections, self.questions, self.frames)
        return [self.name, *(spread(numbers) for numbers in sizes), spread(self.first_ms), spread(self.all_ms)]


def spread(numbers: Sequence[float]) -> str:
    """Median and 95th percentile."""
    if not numbers:
        return "-"
    ordered = sorted(numbers)
    return f"{statistics.median(ordered):.0f} / {ordered[min(len(ordered) - 1, int(0.95 * len(ordered)))]:.0f}"


def searching(asks: Sequence[Ask], others: Sequence[Ask], catalog: Catalog) -> tuple[list[Series], Catalog]:
    """The search for conflicts and corrections from a catalog that remembers nothing, little, and much."""
    names = ("cold", "after its own solve", "warm", "warm, a model each time")
    series = cold, solved, warm, anew = [Series(name) for name in names]
    known = fresh(catalog)
    for ask in others:
        Series("").explain(ask, known)
    for ask in asks:
        cold.explain(ask, fresh(catalog))
        alone = fresh(catalog)
        for remembering in (alone, known):
            solve_stack(ask, remembering, RULES, explain=False)
        solved.explain(ask, alone)
        # what asking one way teaches, the other must not profit from: take turns
        ways = [(warm, Asked), (anew, Anew)]
        for one, kind in ways if len(warm.all_ms) % 2 else reversed(ways):
            one.explain(ask, known, kind)
    return series, known


def telling(asks: Sequence[Ask], catalog: Catalog) -> list[list[str]]:
    """What comes after the sets are known: sentences, rules, prices."""
    took: dict[str, list[float]] = {
        "first conflict's sentence": [],
        "all conflicts' sentences and rules": [],
        "all corrections' prices and figures": [],
    }
    for ask in asks:
        explainer = Asked(ask, catalog, RULES, time.monotonic() + LIMIT_S)
        sets = list(found(explainer, MOST_CONFLICTS))
        conflicts = [keys for what, keys in sets if what == "conflict"]
        corrections = [[keys] for what, keys in sets if what == "correction"]
        start = time.perf_counter()
        first_told(explainer, conflicts[0])
        first_ms = _since_ms(start)
        start = time.perf_counter()
        for keys in conflicts:
            told(explainer, keys)
        told_ms = _since_ms(start)
        start = time.perf_counter()
        corrected(explainer, corrections)
        for times, took_ms in zip(took.values(), (first_ms, told_ms, _since_ms(start)), strict=True):
            times.append(took_ms)
    return [[name, spread(times)] for name, times in took.items()]


def by_library(asks: Sequence[Ask], catalog: Catalog) -> str:
    """The search by CPMpy, over what is served and limits on counts alone, and ours over the same."""
    from tests.properties.test_second_explanation import translated, with_statements

    ours, library = Series(""), list[float]()
    equal = 0
    for one in asks:
        ask, book = with_statements(World(catalog, one)).ask, Book(RULES, catalog)
        ours.explain(ask, catalog)
        explainer = Asked(ask, catalog, RULES, time.monotonic() + LIMIT_S)
        sets = set(found(explainer, MOST))
        start = time.perf_counter()
        whole = ask.generously() if book.boxed_only(ask.setting) else ask
        conflicts, corrections = translated(whole, book).explained()
        library.append(_since_ms(start))
        equal += sets == {("conflict", one) for one in conflicts} | {("correction", one) for one in corrections}
    ratio = statistics.median(library) / statistics.median(ours.all_ms)
    return (
        f"over {spread(ours.statements)} statements CPMpy takes {spread(library)} ms, this tool "
        f"{spread(ours.all_ms)} ms: {ratio:.1f} times as long; the same sets for {equal} of {len(asks)} demands"
    )


def _since_ms(start: float) -> float:
    return (time.perf_counter() - start) * 1000


def main() -> None:
    """Measures and prints."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--demands", type=int, default=100, help="generated demands")
    wanted = parser.parse_args().demands
    catalog = api.load_catalog()
    others = list(impossible(fresh(catalog), max(1, wanted // 5), first=1_000_000))
    for name, asks in (
        ("demonstration", list(of_demonstration(catalog))),
        ("generated", list(impossible(fresh(catalog), wanted))),
    ):
        series, known = searching(asks, others, catalog)
        print(f"\n{name}, {len(asks)} demands: median / 95th percentile")
        heads = ("", "statements", "conflicts", "corrections", "questions", "frames", "first, ms", "all, ms")
        print(tabulate([one.cells() for one in series], heads, disable_numparse=True))
        _, _, warm, anew = series
        first, every = (
            statistics.median(getattr(anew, times)) / statistics.median(getattr(warm, times))
            for times in ("first_ms", "all_ms")
        )
        print(f"a model each time takes {first:.2f} times as long to the first conflict, {every:.2f} times to all")
        print(by_library(asks, known), flush=True)
        print(tabulate(telling(asks, known), ("then, warm", "ms"), disable_numparse=True), flush=True)


if __name__ == "__main__":
    main()
