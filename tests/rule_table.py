"""Every rule pulls its weight: with its part of the model off, its check rejects what comes out.

For each rule there are scenarios, a tiny catalog and one stack.  The engine solves it without the
rule, all others on; the build must be one that this rule's check rejects, and no other's.
Run as `python -m tests.rule_table` it prints the table; exit code 1 when a rule has no such scenario.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

import yaml
from pydantic import BaseModel
from tabulate import tabulate

from configurator.catalog import Catalog, PriceList, PriceRow
from configurator.demand import Spares, Stack
from configurator.engine.order import solve_order
from configurator.parts import Parts
from configurator.reading.shapes import shape
from configurator.reading.sheet import Sheet
from configurator.rule import Rule
from configurator.setting import Ask, OrderAsk
from configurator.solved import SolvedOrder
from configurator.verify import verify, verify_order
from configurator_rules import RULES
from tests.rules.worlds import make_ask

FOLDER = Path(__file__).parent / "scenarios"
ISSUED, VALID_UNTIL, ORDER_DATE = date(2025, 1, 1), date(2025, 12, 31), date(2025, 6, 2)


@dataclass(frozen=True)
class Scenario:
    """A tiny catalog and one stack, with the order's cold spares; `why` tells what goes wrong without the rule."""

    name: str
    why: str
    catalog: Catalog
    ask: Ask
    spares: tuple[Spares, ...] = ()

    @property
    def order(self) -> OrderAsk:
        """The order of this one stack (and its copies)."""
        return OrderAsk((self.ask,), self.spares)


@dataclass(frozen=True)
class Row:
    """What came of one scenario with its rule off, and with all rules on."""

    rule: str
    scenario: str
    rejected_by: tuple[str, ...]
    without_it: str
    with_it: str
    rejected_with_it: tuple[str, ...] = ()

    @property
    def alive(self) -> bool:
        """Whether this rule's check, and only this one, rejects the build, and with the rule no check does."""
        return self.rejected_by == (self.rule,) and not self.rejected_with_it


def load(path: Path) -> Scenario:
    """A scenario file on top of base.yaml, whose lists come first.

    So that a file holds only what it is about: parts need no description, unit types without supply
    bays have the fixed supply, draw nothing and are of the family `fam`; where no boxes are listed
    each unit type has one that holds nothing else, and all parts listed with a price are active.
    """
    said = _read(path)
    lists: dict[str, Any] = _read(FOLDER / "base.yaml")
    for name, listed in said["parts"].items():
        lists[name] = [*lists.get(name, []), *listed] if isinstance(listed, list) else listed
    lists.setdefault("families", [{"id": "fam"}])
    lists.setdefault("boxes", [{"id": f"{unit['id']} box", "unit": unit["id"]} for unit in lists["unit_types"]])
    for unit in lists["unit_types"]:
        own = {"family": "fam", "base_draw_w": "0"}
        own |= {} if "supply_bays" in unit else {"built_in_supply": "fixed"}
        unit |= {key: value for key, value in own.items() if key not in unit}
    for name, listed in lists.items():
        if name not in ("families", "optics_matrix", "practice", "poe_classes", "couplers"):
            for part in listed:
                part.setdefault("description", "-")
    ask = make_ask(**_shaped(said["stack"], Stack))
    order_date = date.fromisoformat(said["order_date"]) if "order_date" in said else ORDER_DATE
    plugs = tuple(outlets.plug for outlets in ask.outlets or ())
    ask = replace(ask, setting=replace(ask.setting, order_date=order_date, outlet_plugs=plugs))
    spares = tuple(Spares.model_validate(one) for one in said.get("spares", []))
    return Scenario(
        path.stem,
        said["why"],
        Catalog(Parts.model_validate(_shaped(lists, Parts)), _prices(said), path.stem),
        ask,
        spares,
    )


def _read(path: Path) -> Any:
    """The file's data; every scalar is text."""
    return yaml.BaseLoader(path.read_text(encoding="utf-8")).get_single_data()


def _shaped(data: Any, model: type[BaseModel]) -> Any:
    """The data as a file's reader hands it to the model."""
    sheet = Sheet("scenario", data, {}, {})
    assert not shape(sheet, model)
    return sheet.data


def _prices(said: dict[str, Any]) -> PriceList:
    days, withdrawn = said.get("lead_time_days", {}), said.get("withdrawn", [])
    rows = {
        part: PriceRow(
            part=part,
            price_minor=price_minor,
            status="withdrawn" if part in withdrawn else "active",
            lead_time_days=int(days.get(part, 0)),
            pack_size=int(said.get("pack_size", {}).get(part, 1)),
            least_quantity=int(said.get("least_quantity", {}).get(part, 1)),
        )
        for part, price_minor in said["prices"].items()
    }
    until = date.fromisoformat(said["valid_until"]) if "valid_until" in said else VALID_UNTIL
    return PriceList("EUR", 2, issued=ISSUED, valid_until=until, rows=rows)


def scenarios(rule: Rule) -> list[Scenario]:
    """The rule's scenarios: `<rule id>.yaml`, and `<rule id>.<more words>.yaml`."""
    return [load(path) for path in (*FOLDER.glob(f"{rule.id}.yaml"), *sorted(FOLDER.glob(f"{rule.id}.*.yaml")))]


def row_of(rule: Rule, scenario: Scenario) -> Row:
    """The scenario solved without the rule, and solved with all of them; both checked by all rules."""
    without = solve_order(scenario.order, scenario.catalog, tuple(other for other in RULES if other is not rule))
    on = solve_order(scenario.order, scenario.catalog, RULES)
    return Row(
        rule.id,
        scenario.name,
        _rejected_by(without, scenario),
        _price(without),
        _price(on),
        _rejected_by(on, scenario),
    )


def _rejected_by(solved: SolvedOrder, scenario: Scenario) -> tuple[str, ...]:
    """The rules whose checks reject what was solved."""
    builds = [one.build for copies in solved.stacks for _, one in copies if one.build]
    found = [breach for build in builds for breach in verify(build, scenario.ask, scenario.catalog, RULES)]
    found += verify_order(solved.order, scenario.order, scenario.catalog, RULES) if solved.order else ()
    return tuple(sorted({rule_id for rule_id, _ in found}))


def _price(solved: SolvedOrder) -> str:
    return str(solved.price_minor) if solved.status in ("cheapest", "best found") else solved.status


def rows() -> Iterator[Row]:
    """The table, in the rule book's order."""
    for rule in RULES:
        found = [row_of(rule, scenario) for scenario in scenarios(rule)]
        yield from found or [Row(rule.id, "none", (), "", "")]


def main() -> int:
    """Prints the table; 1 when some rule is not shown to be alive."""
    table = list(rows())
    cells = [
        (row.rule, row.scenario, ", ".join(row.rejected_by), row.without_it, row.with_it, "" if row.alive else "BLANK")
        for row in table
    ]
    headers = ("rule off", "scenario", "rejected by", "price without it", "price with it", "")
    print(tabulate(cells, headers=headers, disable_numparse=True))
    blank = [row.rule for row in table if not row.alive]
    print(f"\n{len(RULES)} rules, {len(table)} scenarios, {len(blank)} blanks")
    return 1 if blank else 0


if __name__ == "__main__":
    sys.exit(main())
