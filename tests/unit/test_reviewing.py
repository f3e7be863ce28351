"""What a check of an answer finds: nothing in what was solved, and every figure that is changed afterwards."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from configurator.answer import Answer
from configurator.answer_proof import Waived
from configurator.catalog import Catalog
from configurator.reading import Asked
from configurator.render import review as as_form
from configurator.review.audit import Audit, audit_of
from configurator.review.reviewing import Review, review
from tests.unit import earlier

Made = tuple[Answer, Asked, Catalog]
ACCEPTED = Waived(rule="power.supply_loss", stack="Powered", by="R. Viewer", reason="spare on site", until=None)


def check(made: Made, change: Callable[[Any], None] = lambda _: None, waivers: tuple[Waived, ...] = ()) -> Review:
    """The review of an answer's audit in which something was changed."""
    answer, asked, catalog = made
    data = audit_of(answer).model_dump(mode="json", by_alias=True)
    change(data)
    return review(Audit.model_validate(data), asked, catalog, earlier.RULES, waivers)


def found(result: Review) -> set[tuple[str, str]]:
    return {(one.stack, one.what) for one in result.findings}


# --- as it was solved -------------------------------------------------------------------------------


@pytest.mark.parametrize("make", [earlier.tiny, earlier.impossible, earlier.coupled], ids=lambda make: make.__name__)
def test_what_was_solved_passes(make: Callable[[], Made]) -> None:
    made = make()
    result = check(made)
    assert (result.findings, result.differs, result.unused, result.named) == ((), (), (), ())
    assert result.passed
    assert result.looked == made[0].proof.checks.passed
    assert result.not_applicable == made[0].proof.checks.not_applicable
    assert len(result.looked) + len(result.not_applicable) == len(earlier.RULES)


def test_it_counts_what_was_looked_at() -> None:
    assert (check(earlier.tiny()).stacks, check(earlier.tiny()).conflicts) == (2, 0)
    refused = check(earlier.impossible())
    assert (refused.stacks, refused.conflicts) == (0, len(earlier.impossible()[0].stacks[0].conflicts))
    assert refused.conflicts > 0


# --- changed afterwards -----------------------------------------------------------------------------


def put(*path: str | int, to: Any) -> Callable[[Any], None]:
    """A change of the value at a path; a number is added to what is there."""

    def change(data: Any) -> None:
        for step in path[:-1]:
            data = data[step]
        data[path[-1]] = data[path[-1]] + to if isinstance(to, int) and not isinstance(to, bool) else to

    return change


def drop(*path: str | int) -> Callable[[Any], None]:
    """A change that takes an item out of a list."""

    def change(data: Any) -> None:
        for step in path[:-1]:
            data = data[step]
        del data[path[-1]]

    return change


TAMPERED: dict[str, tuple[Callable[[Any], None], tuple[str, str]]] = {
    "total": (put("total_minor", to=1), ("", "price")),
    "unit price": (put("lines", 0, "unit_price_minor", to=-100), ("", "price")),
    "amount": (put("lines", 0, "amount_minor", to=-100), ("", "price")),
    "quantity": (put("lines", 0, "quantity", to=1), ("", "quantity")),
    "line": (drop("lines", 0), ("", "quantity")),
    "part of a line": (put("lines", 0, "part", to="pond.8p4.none"), ("", "quantity")),
    "currency": (put("currency", to="USD"), ("", "price")),
    "decimals": (put("decimals", to=1), ("", "price")),
    "stack's price": (put("stacks", 0, "price_minor", to=-1), ("Plain", "price")),
    "bound above": (put("stacks", 0, "bound_minor", to=1), ("Plain", "price")),
    "bound below": (put("stacks", 0, "bound_minor", to=-1), ("Plain", "price")),
    "status": (put("stacks", 0, "status", to="cannot be met"), ("Plain", "status")),
    "no build": (put("stacks", 0, "build", to=None), ("Plain", "status")),
    "copies": (put("stacks", 0, "copies", to=1), ("Plain", "demand")),
    "no copies": (put("stacks", 0, "copies", to=-1), ("Plain", "demand")),
    "name": (put("stacks", 0, "name", to="Fancy"), ("Fancy", "demand")),
    "stack": (drop("stacks", 1), ("Powered", "demand")),
    "other's build": (put("stacks", 0, "build", "stack", to="Powered"), ("Plain", "demand")),
    "supply": (drop("stacks", 1, "build", "units", 0, "supplies", 0), ("Powered", "power.supply_loss")),
    "unit type": (put("stacks", 0, "build", "units", 0, "unit_type", to="pond.9"), ("Plain", "quantity")),
    "bought": (drop("stacks", 0, "build", "units", 0, "bought", 0), ("Plain", "ordering.complete")),
    "link": (drop("stacks", 0, "build", "links", 0), ("Plain", "stacking.topology")),
    "use": (drop("stacks", 0, "build", "units", 0, "uses", 0), ("Plain", "ports.all_served")),
    "demand's text": (put("demand", to="stacks: [{name: Plain, ports: [{count: 1}]}]"), ("", "demand")),
}


@pytest.mark.parametrize("what", TAMPERED)
def test_a_changed_figure_is_found(what: str) -> None:
    change, finding = TAMPERED[what]
    result = check(earlier.tiny(), change)
    assert finding in found(result)
    assert not result.passed
    assert as_form.text(result).startswith("Not passed: ")


def test_what_cold_spares_and_packs_add_is_counted() -> None:
    """The cables come in packs of 2; one more optic lies on the shelf."""
    made = earlier.coupled()
    data = audit_of(made[0]).model_dump(mode="json", by_alias=True)
    spare = next(n for n, one in enumerate(data["spares"]) if one["count"])
    assert ("", "ordering.spares") in found(check(made, drop("spares", spare)))
    assert ("", "quantity") in found(check(made, drop("spares", spare)))


def test_nonsense_in_a_build_is_a_finding_and_no_fault() -> None:
    """Whatever a build names, the review comes to its end."""
    nonsense = {"slot": "?", "group": "?", "port": -1, "statement": "devices[99]", "speed_mbps": 0, "plug": "?"}

    def change(data: Any) -> None:
        unit = data["stacks"][1]["build"]["units"][0]
        unit["uses"].append(nonsense)
        unit["bought"].append({"part": "?", "count": -5})
        unit["supplies"] = [{"bay": -3, "supply": "?"}]
        unit["stack_ports"] = [0, 99]
        data["stacks"][1]["build"]["links"][0].update(from_unit=99, to_unit=99, way_m="-1")

    result = check(earlier.tiny(), change)
    assert ("Powered", "quantity") in found(result)
    assert not result.passed


# --- what an answer shows ---------------------------------------------------------------------------


def shown(made: Made, change: Callable[[Any], None] = lambda _: None) -> Review:
    """The review of an answer in which something was changed."""
    answer, asked, catalog = made
    data = answer.model_dump(mode="json", by_alias=True)
    change(data)
    changed = Answer.model_validate(data)
    return review(audit_of(changed), asked, catalog, earlier.RULES, answer=changed)


@pytest.mark.parametrize("make", [earlier.tiny, earlier.impossible, earlier.coupled], ids=lambda make: make.__name__)
def test_what_an_answer_shows_comes_out_again(make: Callable[[], Made]) -> None:
    assert shown(make()).findings == ()


SHOWN = {
    "quantity of a stack's bill": ("stacks", 0, "bill", 0, "quantity"),
    "amount of a stack's bill": ("stacks", 0, "bill", 0, "amount_minor"),
    "what lies in boxes": ("stacks", 1, "included", 0, "quantity"),
    "a port of a unit": ("stacks", 0, "units", 0, "uses", 0, "count"),
    "where an uplink leaves": ("stacks", 0, "uplinks", 0, "port"),
    "watts": ("stacks", 0, "units", 0, "power", "own_w"),
    "rack units": ("stacks", 0, "facility", "rack_units"),
    "a closet": ("closets", 0, "rooms"),
    "a stack's share": ("stacks", 1, "share_minor"),
    "what the order needs": ("bill", 0, "needed"),
    "the bound": ("bound_minor",),
}


@pytest.mark.parametrize("what", SHOWN)
def test_a_figure_that_is_shown_otherwise_is_found(what: str) -> None:
    result = shown(earlier.tiny(), put(*SHOWN[what], to=1))
    assert ("", "shown") in found(result)
    assert not result.passed


def test_words_that_are_shown_otherwise_are_found() -> None:
    assert ("", "shown") in found(shown(earlier.tiny(), put("stacks", 0, "bill", 0, "part", to="pond.8t.gold")))
    assert ("", "shown") in found(shown(earlier.tiny(), drop("assumptions", 0)))
    assert ("", "shown") in found(shown(earlier.tiny(), put("proof", "checks", "passed", to=[])))
    assert ("", "shown") in found(shown(earlier.tiny(), put("status", to="best found")))


REASON = ("stacks", 1, "bill", 1, "reasons", 0)
SAID = {
    "a statement that nobody made": (("stacks", 0, "statements", 0, "text"), "ports: 900 desks"),
    "a reference that nobody gave": (("stacks", 0, "statements", 0, "ref"), "9.9"),
    "an assumption that is none": (("stacks", 0, "statements", -1, "text"), "nothing to see here"),
    "a statement as an assumption": (("stacks", 0, "statements", 0, "assumed"), True),
    "a reason of no rule": ((*REASON, "rule"), "power.magic"),
    "other words of a rule": ((*REASON, "text"), "It has always been there."),
    "a reason that nobody gave": ((*REASON, "said"), "ports: 900 desks"),
    "the reference of a reason": ((*REASON, "ref"), "9.9"),
}


@pytest.mark.parametrize("what", SAID)
def test_what_nobody_said_is_found(what: str) -> None:
    path, to = SAID[what]
    result = shown(earlier.tiny(), put(*path, to=to))
    assert ("", "shown") in found(result)
    assert not result.passed


@pytest.mark.parametrize("path", [("aside", 0), ("lowered", 0, "statement")], ids=["given up", "lowered"])
def test_a_change_of_what_nobody_said_is_found(path: tuple[str | int, ...]) -> None:
    where = ("stacks", 0, "corrections", 0, *path, "text")
    assert ("", "shown") in found(shown(earlier.impossible(), put(*where, to="ports: 1 desk")))


def test_a_statement_that_is_left_out_is_found() -> None:
    assert ("", "shown") in found(shown(earlier.tiny(), drop("stacks", 0, "statements", 0)))


def test_where_a_statement_stands_is_no_part_of_it() -> None:
    assert shown(earlier.tiny(), put("stacks", 0, "statements", 0, "where", to="elsewhere.yaml:3")).findings == ()


# --- inputs -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("role", ["catalog", "prices"])
def test_another_hash_is_told_and_breaks_no_rule(role: str) -> None:
    def change(data: Any) -> None:
        next(one for one in data["inputs"] if one["role"] == role)["sha256"] = "0" * 64

    result = check(earlier.tiny(), change)
    assert result.passed
    assert len(result.differs) == 1
    assert "not the same" in result.differs[0]
    assert "Passed, but not with all that the answer was made from." in as_form.text(result)


def test_another_hash_of_the_demand_is_a_finding() -> None:
    def change(data: Any) -> None:
        next(one for one in data["inputs"] if one["role"] == "demand")["sha256"] = "0" * 64

    assert ("", "demand") in found(check(earlier.tiny(), change))


def test_no_hashes_are_told() -> None:
    result = check(earlier.tiny(), put("inputs", to=[]))
    assert [text for text in result.differs if "does not say" in text] == list(result.differs)
    assert len(result.differs) == 2


def test_other_rules_are_told() -> None:
    result = check(earlier.tiny(), put("book", "rules", to=-1))
    count = len(earlier.RULES)
    assert result.differs == (f"the rule book is not the same: {count - 1} rules then, {count} now",)


# --- figures of conflicts ---------------------------------------------------------------------------


def proof(data: Any) -> Any:
    return next(one["proof"] for one in data["stacks"][0]["conflicts"] if one["proof"])


FORGED: dict[str, Callable[[Any], None]] = {
    "asked": lambda data: proof(data)["sums"][0].update(asked=9999),
    "each": lambda data: proof(data)["sums"][0]["carried"][0].update(each=1),
    "units": lambda data: proof(data)["sums"][0]["carried"][1].update(units=5),
    "weight": lambda data: proof(data)["sums"][0]["weighed"][0].update(weight=0),
    "count": lambda data: proof(data)["sums"][0]["weighed"][0].update(count=50),
    "kind": lambda data: proof(data)["sums"][0]["weighed"][0].update(statement="ports[7]"),
    "no sums": lambda data: proof(data).update(sums=[]),
    "step": lambda data: proof(data)["sums"][0].update(step_w=0.0, shared_out=False),
    "sentence": lambda data: data["stacks"][0]["conflicts"][0].update(text="Asked: 40 ports, 31 ports at most."),
    "rule": lambda data: data["stacks"][0]["conflicts"][0]["rules"][0].update(id="ports.twice"),
    "words": lambda data: data["stacks"][0]["conflicts"][0]["statements"][0].update(text="30 ports"),
    "statement": lambda data: data["stacks"][0]["conflicts"][0]["statements"].clear(),
    "no proof": lambda data: data["stacks"][0]["conflicts"][0].update(proof=None, text="So it is."),
}


@pytest.mark.parametrize("what", FORGED)
def test_a_forged_figure_of_a_conflict_is_found(what: str) -> None:
    result = check(earlier.impossible(), FORGED[what])
    assert ("Grandstand", "figures") in found(result)
    assert not result.passed


# --- waivers ----------------------------------------------------------------------------------------

only_the_supply = drop("stacks", 1, "build", "units", 0, "supplies", 0)
"""A unit with one supply less than it was solved with, ordered all the same."""


def test_a_waiver_accepts_the_breaches_of_one_rule_by_one_stack() -> None:
    plain = check(earlier.tiny(), only_the_supply)
    told = [one for one in plain.findings if one.what == ACCEPTED.rule]
    assert told
    waived = check(earlier.tiny(), only_the_supply, (ACCEPTED,))
    assert [one for one in waived.findings if one.what == ACCEPTED.rule and one.waived != ACCEPTED] == []
    assert len(waived.findings) == len(plain.findings)
    assert waived.unused == ()
    for form in (as_form.text(waived), as_form.as_json(waived), as_form.markdown(waived)):
        for word in ("R. Viewer", "spare on site"):
            assert word in form


def test_with_every_breach_accepted_it_passes() -> None:
    broken = {one.what for one in check(earlier.tiny(), only_the_supply).findings}
    every = tuple(ACCEPTED.model_copy(update={"rule": rule}) for rule in sorted(broken))
    assert check(earlier.tiny(), only_the_supply, every).passed


@pytest.mark.parametrize("change", [{"stack": "Plain"}, {"rule": "ports.once"}], ids=["other stack", "other rule"])
def test_a_waiver_of_something_else_accepts_nothing(change: dict[str, str]) -> None:
    other = ACCEPTED.model_copy(update=change)
    result = check(earlier.tiny(), only_the_supply, (other,))
    assert all(one.waived is None for one in result.findings)
    assert result.unused == (other,)
    assert "Waivers of nothing" in as_form.text(result)


def test_only_breaches_of_rules_can_be_accepted() -> None:
    """A waiver file can't name `price`; an answer that does is not believed."""
    forged = ACCEPTED.model_copy(update={"rule": "price", "stack": ""})
    assert not check(earlier.tiny(), put("total_minor", to=1), (forged,)).passed


def test_an_answer_cannot_vouch_for_itself() -> None:
    def change(data: Any) -> None:
        only_the_supply(data)
        data["waivers"] = [ACCEPTED.model_dump(mode="json")]

    result = check(earlier.tiny(), change)
    assert not result.passed
    assert result.named == (ACCEPTED,)
    assert "R. Viewer" in as_form.text(result)
    assert check(earlier.tiny(), change, (ACCEPTED,)).named == ()


def test_a_waiver_with_an_end_tells_it() -> None:
    ending = ACCEPTED.model_copy(update={"until": date(2031, 5, 17)})
    assert "until 2031-05-17" in as_form.text(check(earlier.tiny(), only_the_supply, (ending,)))


# --- any file ---------------------------------------------------------------------------------------

ODD: list[Any] = [None, "", "?", -1, 0, 10**17, "-1", "1e9", [], {}, True, "devices[99]", "9999-12-31"]


def leaves(data: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Where each value stands that is no list or mapping, or an empty one."""
    steps = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    found = [leaf for step, part in steps for leaf in leaves(part, (*path, step))]
    return found or [path]


@settings(max_examples=150)
@given(st.data())
def test_whatever_is_changed_the_review_comes_to_its_end(data: st.DataObject) -> None:
    """One to three values of an answer become odd ones: it is no answer then, or is reviewed."""
    answer, asked, catalog = data.draw(st.sampled_from([earlier.tiny(), earlier.impossible(), earlier.coupled()]))
    changed = answer.model_dump(mode="json", by_alias=True)
    for _ in range(data.draw(st.integers(1, 3))):
        path = data.draw(st.sampled_from(leaves(changed)))
        holder: Any = changed
        for step in path[:-1]:
            holder = holder[step]
        holder[path[-1]] = data.draw(st.sampled_from(ODD))
    try:
        again = Answer.model_validate(changed)
    except ValidationError:
        return
    result = review(audit_of(again), asked, catalog, earlier.RULES, answer=again)
    for form in (as_form.text, as_form.markdown, as_form.as_json):
        assert form(result)
