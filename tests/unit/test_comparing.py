"""What changed since an earlier answer: each effect against an order solved by itself, and the steps' sum."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from configurator import api
from configurator.catalog import Catalog
from configurator.errors import BadInput
from configurator.reading import Asked, demand_from
from configurator.render import changes as as_form
from configurator.review.audit import Audit, audit_of
from configurator.review.changes import Changes
from configurator.review.comparing import MOST_TRIED, since
from tests.journeys.running import TINY
from tests.unit import earlier

ON = earlier.ON
THEN = (TINY / "demand.yaml").read_text(encoding="utf-8")
MORE_DESKS = THEN.replace("name: desks, count: 12", "name: desks, count: 20")
BOTH = MORE_DESKS.replace("kind: access point, count: 10", "kind: access point, count: 4")
IMPOSSIBLE = THEN.replace("name: desks, count: 12", "name: desks, count: 2000")
DEARER = {"pond.8t.bare,300.00": "pond.8t.bare,310.00", "pond.supply.100,60.00": "pond.supply.100,55.00"}


def folder(at: Path, *, prices: dict[str, str] | None = None, parts: dict[str, str] | None = None) -> Path:
    """The tiny catalog with some of its text replaced."""
    shutil.copytree(TINY, at, dirs_exist_ok=True)
    for file, changes in ((at / "prices.csv", prices or {}), (at / "parts" / "parts.yaml", parts or {})):
        text = file.read_text(encoding="utf-8")
        for old, new in changes.items():
            assert old in text
            text = text.replace(old, new)
        file.write_text(text, encoding="utf-8")
    return at


def total(demand: str, catalog: Catalog, on: date = ON) -> int | None:
    """What an order costs, solved by itself."""
    return api.solve(demand_from(demand, catalog, on), catalog).total_minor


def today(demand: str, catalog: Catalog, on: date = ON) -> Asked:
    return demand_from(demand, catalog, on)


def tiny_audit() -> Audit:
    return audit_of(earlier.tiny()[0])


def adds_up(changes: Changes) -> bool:
    """Whether the steps between then and now add up to the difference."""
    return (
        sum(one.more_minor or 0 for one in changes.steps if one.what not in ("earlier", "today")) == changes.more_minor
    )


def step(changes: Changes, what: str) -> tuple[int | None, int | None]:
    (found,) = [one for one in changes.steps if one.what == what]
    return found.price_minor, found.more_minor


# --- nothing ----------------------------------------------------------------------------------------


def test_nothing_changed() -> None:
    answer, asked, catalog = earlier.tiny()
    changes = since(tiny_audit(), asked, catalog, earlier.RULES)
    assert (changes.demand, changes.files, changes.parts, changes.prices, changes.not_told_apart) == (
        (),
        (),
        (),
        (),
        (),
    )
    assert [one.what for one in changes.steps] == ["earlier", "today"]
    assert (changes.more_minor, changes.total_now_minor) == (0, answer.total_minor)
    assert (changes.earlier.valid, changes.earlier.price_minor) == (True, answer.total_minor)


# --- the demand -------------------------------------------------------------------------------------


def test_each_changed_statement_costs_what_the_order_with_it_alone_costs() -> None:
    answer, _, catalog = earlier.tiny()
    changes = since(tiny_audit(), today(BOTH, catalog), catalog, earlier.RULES)
    fewer = THEN.replace("kind: access point, count: 10", "kind: access point, count: 4")
    assert [(one.stacks, one.kind, one.effect.price_minor) for one in changes.demand] == [
        (("Plain",), "changed", total(MORE_DESKS, catalog)),
        (("Powered",), "changed", total(fewer, catalog)),
    ]
    for one in changes.demand:
        assert one.effect.price_minor is not None
        assert one.effect.more_minor == one.effect.price_minor - (answer.total_minor or 0)
    assert step(changes, "demand") == (total(BOTH, catalog), changes.more_minor)
    assert adds_up(changes)


def test_what_statements_do_only_together_is_named() -> None:
    """4 desks more fit the second unit, and so do 4 tills; both need a third."""
    _, _, catalog = earlier.tiny()
    then = "stacks: [{name: A, ports: [{name: desks, count: 9}, {name: tills, count: 2}]}]"
    now = then.replace("count: 9", "count: 13").replace("count: 2", "count: 6")
    changes = since(audit_of(api.solve(today(then, catalog), catalog)), today(now, catalog), catalog, earlier.RULES)
    assert [one.effect.more_minor for one in changes.demand] == [0, 0]
    more = (total(now, catalog) or 0) - (total(then, catalog) or 0)
    assert (changes.demand_together_minor, changes.more_minor) == (more, more)
    assert more > 0
    assert " EUR more than one by one." in as_form.text(changes)


def test_the_earlier_order_is_judged_by_what_is_asked_today() -> None:
    _, _, catalog = earlier.tiny()
    changes = since(tiny_audit(), today(MORE_DESKS, catalog), catalog, earlier.RULES)
    assert changes.earlier.valid is False
    assert [(one.stack, one.rule) for one in changes.earlier.objections] == [("Plain", "ports.all_served")]


def test_a_stack_more_or_less() -> None:
    """South costs by itself what it adds: nothing couples the stacks."""
    _, _, catalog = earlier.tiny()
    more = THEN + "\n  - name: South\n    ports: [{count: 3}]\n"
    changes = since(tiny_audit(), today(more, catalog), catalog, earlier.RULES)
    (one,) = changes.demand
    assert (one.stacks, one.key, one.kind) == (("South",), "stack", "added")
    assert one.effect.more_minor == total("stacks: [{name: South, ports: [{count: 3}]}]", catalog)


def test_what_cannot_be_met_today_has_no_price() -> None:
    _, _, catalog = earlier.tiny()
    changes = since(tiny_audit(), today(IMPOSSIBLE, catalog), catalog, earlier.RULES)
    assert (changes.status, changes.total_now_minor, changes.more_minor) == ("cannot be met", None, None)
    assert changes.demand[0].effect.status == "cannot be met"
    assert "no build for Plain" in changes.demand[0].effect.text
    assert "Today there is no order of all stacks" in as_form.text(changes)


def test_what_could_not_be_met_then() -> None:
    answer, _, catalog = earlier.impossible()
    lower = (answer.demand or "").replace("count: 40", "count: 30")
    changes = since(audit_of(answer), today(lower, catalog), catalog, earlier.RULES)
    assert (changes.total_then_minor, changes.more_minor, changes.earlier.valid) == (None, None, None)
    assert changes.total_now_minor == total(lower, catalog)
    assert "can be had" in changes.demand[0].effect.text


def test_beyond_a_stated_number_statements_are_told_and_not_solved() -> None:
    many = [f"  - {{name: S{n}, ports: [{{count: 1}}]}}" for n in range(MOST_TRIED + 3)]
    then = "stacks:\n" + "\n".join(many) + "\n"
    catalog = earlier.tiny()[2]
    asked = today(then, catalog)
    answer = api.solve(asked, catalog)
    changes = since(audit_of(answer), today(then.replace("count: 1}", "count: 2}"), catalog), catalog, earlier.RULES)
    assert len(changes.demand) == MOST_TRIED + 3
    assert [one.effect.status for one in changes.demand[MOST_TRIED:]] == ["not tried"] * 3
    assert any(f"the first {MOST_TRIED} were solved" in note for note in changes.not_told_apart)


# --- prices and catalog -----------------------------------------------------------------------------


def test_prices_alone_and_together_with_the_demand(tmp_path: Path) -> None:
    """What the two do only together is named, and all of it adds up."""
    now = api.load_catalog(folder(tmp_path, prices=DEARER), on=ON)
    _, _, then = earlier.tiny()
    changes = since(tiny_audit(), today(MORE_DESKS, now), now, earlier.RULES, earlier_prices=then.prices)
    assert step(changes, "demand")[0] == total(MORE_DESKS, then)
    assert step(changes, "prices")[0] == total(THEN, now)
    assert changes.total_now_minor == total(MORE_DESKS, now)
    assert step(changes, "together")[1]
    assert adds_up(changes)
    assert changes.not_told_apart == ()


def test_prices_without_the_earlier_list(tmp_path: Path) -> None:
    """Today's list stands in for it, and the answer's unit prices tell what its parts changed."""
    now = api.load_catalog(folder(tmp_path, prices={"pond.8t.bare,300.00": "pond.8t.bare,310.00"}), on=ON)
    changes = since(tiny_audit(), today(MORE_DESKS, now), now, earlier.RULES)
    assert [(one.part, one.then_minor, one.now_minor, one.quantity, one.more_minor) for one in changes.prices] == [
        ("pond.8t.bare", 30000, 31000, 2, 2000)
    ]
    assert (changes.earlier.price_minor, changes.earlier.more_minor) == (238000, 2000)
    assert step(changes, "rules") == (total(THEN, now), 2000)
    assert step(changes, "demand")[0] == total(MORE_DESKS, now)
    assert adds_up(changes)
    assert any("--earlier-prices" in note for note in changes.not_told_apart)


def test_with_the_earlier_list_every_part_is_compared(tmp_path: Path) -> None:
    changed = {
        "pond.supply.300,150.00": "pond.supply.300,160.00",
        "pond.8t.bare,300.00,EUR,active,10": "pond.8t.bare,300.00,EUR,active,12",
    }
    now = api.load_catalog(folder(tmp_path, prices=changed), on=ON)
    then = earlier.tiny()[2]
    changes = since(tiny_audit(), today(THEN, now), now, earlier.RULES, earlier_prices=then.prices)
    assert {(one.part, one.terms, one.more_minor) for one in changes.prices} == {
        ("pond.supply.300", (), 0),
        ("pond.8t.bare", ("lead_time_days",), 0),
    }


def test_a_part_without_a_price_today_is_named(tmp_path: Path) -> None:
    row = next(
        line for line in (TINY / "prices.csv").read_text("utf-8").splitlines() if line.startswith("pond.8p4.full")
    )
    now = api.load_catalog(folder(tmp_path, prices={row + "\n": ""}), on=ON)
    changes = since(tiny_audit(), today(THEN, now), now, earlier.RULES)
    assert (changes.earlier.price_minor, changes.earlier.unpriced) == (None, ("pond.8p4.full",))
    assert changes.earlier.valid is False


def test_the_catalog_alone(tmp_path: Path) -> None:
    """With the earlier catalog at hand its change has a price, and its parts are told."""
    text = (TINY / "parts" / "parts.yaml").read_text(encoding="utf-8")
    draw = next(line.strip() for line in text.splitlines() if line.strip().startswith("base_draw_w"))
    now = api.load_catalog(folder(tmp_path, parts={draw: "base_draw_w: 99.5"}), on=ON)
    old = api.load_technical(TINY)
    changes = since(tiny_audit(), today(THEN, now), now, earlier.RULES, earlier_catalog=old)
    assert [(one.name, one.kind) for one in changes.files] == [("parts.yaml", "changed")]
    assert {(one.group, one.kind, one.fields) for one in changes.parts} == {("unit_types", "changed", ("base_draw_w",))}
    assert step(changes, "catalog")[0] == total(THEN, now) == changes.total_now_minor
    assert adds_up(changes)
    assert changes.not_told_apart == ()
    bare = since(tiny_audit(), today(THEN, now), now, earlier.RULES)
    assert bare.parts == ()
    assert [one.what for one in bare.steps] == ["earlier", "rules", "today"]
    assert any("--earlier-catalog" in note for note in bare.not_told_apart)


def test_a_comment_in_the_catalog_changes_no_part(tmp_path: Path) -> None:
    at = folder(tmp_path)
    file = at / "parts" / "parts.yaml"
    file.write_text("# seen\n" + file.read_text(encoding="utf-8"), encoding="utf-8")
    now = api.load_catalog(at, on=ON)
    changes = since(tiny_audit(), today(THEN, now), now, earlier.RULES, earlier_catalog=api.load_technical(TINY))
    assert [one.name for one in changes.files] == ["parts.yaml"]
    assert (changes.parts, changes.more_minor) == ((), 0)


def test_files_that_are_not_the_earlier_ones_are_refused(tmp_path: Path) -> None:
    at = folder(tmp_path, prices=DEARER, parts={"base_draw_w: 20": "base_draw_w: 21"})
    now = api.load_catalog(at, on=ON)
    with pytest.raises(BadInput, match="not the price list that the earlier answer was made from"):
        since(tiny_audit(), today(THEN, now), now, earlier.RULES, earlier_prices=now.prices)
    with pytest.raises(BadInput, match="not the catalog that the earlier answer was made from"):
        since(tiny_audit(), today(THEN, now), now, earlier.RULES, earlier_catalog=api.load_technical(at))


def test_another_currency_is_refused(tmp_path: Path) -> None:
    now = api.load_catalog(folder(tmp_path, prices={",EUR,": ",USD,"}), on=ON)
    with pytest.raises(BadInput, match="the earlier answer is in EUR, today's price list in USD"):
        since(tiny_audit(), today(THEN, now), now, earlier.RULES)


# --- rules, tool, date ------------------------------------------------------------------------------


def test_other_rules_and_another_version_are_told() -> None:
    """Without one rule less is ordered: what was asked then, solved with today's rules, starts the sum."""
    answer, asked, catalog = earlier.tiny()
    fewer = tuple(rule for rule in earlier.RULES if rule.id != "power.supply_loss")
    old = tiny_audit().model_copy(update={"tool_version": "0.0.1"})
    changes = since(old, asked, catalog, fewer)
    assert (changes.book_then.rules, changes.book_now.rules) == (len(earlier.RULES), len(fewer))
    assert changes.tool_then == "0.0.1"
    first = next(one for one in changes.steps if one.what == "rules")
    assert "other rules and another version of this tool" in first.text
    without = api.solve(asked, catalog, rules=fewer).total_minor
    assert first.price_minor == without
    assert (without or 0) < (answer.total_minor or 0)
    assert adds_up(changes)


def test_a_date_that_changes_nothing_is_no_step() -> None:
    _, _, catalog = earlier.tiny()
    changes = since(tiny_audit(), today(THEN, catalog, date(2026, 12, 1)), catalog, earlier.RULES)
    assert changes.date_now == date(2026, 12, 1)
    assert [one.what for one in changes.steps] == ["earlier", "today"]


def test_a_date_by_which_parts_must_be_there() -> None:
    """A supply takes 5 days; a unit 10: ordered a day before they must be there, nothing can be."""
    _, _, catalog = earlier.tiny()
    late = THEN.replace("  - name: Plain\n", "  - name: Plain\n    deliver_by: 2026-12-20\n")
    then = audit_of(api.solve(today(late, catalog), catalog))
    changes = since(then, today(late, catalog, date(2026, 12, 15)), catalog, earlier.RULES)
    assert [one.what for one in changes.steps] == ["earlier", "date", "today"]
    assert changes.status == "cannot be met"


# --- forged and absent ------------------------------------------------------------------------------


def test_without_its_demand_only_prices_are_told_apart() -> None:
    _, _, catalog = earlier.tiny()
    bare = tiny_audit().model_copy(update={"demand": None})
    changes = since(bare, today(MORE_DESKS, catalog), catalog, earlier.RULES)
    assert changes.demand == ()
    assert changes.not_told_apart[0].startswith("The earlier answer holds no demand")
    assert "today's demand" in next(one.text for one in changes.steps if one.what == "rules")
    assert adds_up(changes)


def test_a_demand_that_was_changed_in_the_answer_is_told() -> None:
    _, asked, catalog = earlier.tiny()
    forged = tiny_audit().model_copy(update={"demand": MORE_DESKS})
    changes = since(forged, asked, catalog, earlier.RULES)
    assert any("is not the file whose hash it holds" in note for note in changes.not_told_apart)


# --- forms ------------------------------------------------------------------------------------------


def test_the_same_each_time(tmp_path: Path) -> None:
    now = api.load_catalog(folder(tmp_path, prices=DEARER), on=ON)
    found = [since(tiny_audit(), today(BOTH, now), now, earlier.RULES) for _ in range(2)]
    for form in (as_form.text, as_form.markdown, as_form.render):
        assert form(found[0]) == form(found[1])


def test_the_packaged_schema_is_current() -> None:
    kept = Path(as_form.__file__).parents[1] / "schema" / "changes.schema.json"
    assert kept.read_text(encoding="utf-8") == as_form.schema(), (
        "python -m configurator.render.changes > configurator/schema/changes.schema.json"
    )
