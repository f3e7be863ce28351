"""A part asked for, or asked away: the other build line by line, or why there is none."""

from __future__ import annotations

from collections.abc import Sequence

from configurator import bill
from configurator.answer_refusal import Given, RuleWords
from configurator.build import Build
from configurator.catalog import Catalog
from configurator.engine.exchange import brings
from configurator.money import with_code
from configurator.reasoning.checked import check, given_of
from configurator.reasoning.counting import count_of
from configurator.reasoning.explanation import Change, Forced
from configurator.reasoning.part_forced import Refused, solve_with, solve_without, why_not
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.solved import Solved


def forced_with(
    ask: Ask,
    part: str,
    least: int,
    here: Solved,
    catalog: Catalog,
    rules: tuple[Rule, ...],
    time_limit_s: float | None = None,
) -> Forced:
    """The cheapest build that has so many of a part."""
    assert here.build is not None
    has = count_of(here.build, part, catalog)
    found = here if has >= least else solve_with(ask, part, least, catalog, rules, time_limit_s)
    refused = why_not(ask, part, least, catalog, rules) if found.status == "cannot be met" else None
    return _forced(ask, part, least, has, here, found, refused, catalog, rules)


def forced_without(
    ask: Ask, part: str, here: Solved, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None = None
) -> Forced:
    """The cheapest build that has none of a part."""
    assert here.build is not None
    has = count_of(here.build, part, catalog)
    found = solve_without(ask, part, catalog, rules, time_limit_s) if has else here
    refused = why_not(ask, part, None, catalog, rules) if found.status == "cannot be met" else None
    return _forced(ask, part, None, has, here, found, refused, catalog, rules)


def _forced(
    ask: Ask,
    part: str,
    least: int | None,
    has: int,
    here: Solved,
    found: Solved,
    refused: Refused | None,
    catalog: Catalog,
    rules: tuple[Rule, ...],
) -> Forced:
    assert here.build is not None
    if found.build is not None and found is not here:
        check(found.build, found, ask, catalog, rules)
    sentences = {rule.id: rule.sentence for rule in rules}
    given = {key: given_of(one) for key, one in ask.statements.items()}
    known = found.price_minor is not None and here.price_minor is not None
    more = (found.price_minor or 0) - (here.price_minor or 0) if known else None
    statements = tuple(given[key] for key in (refused.statements if refused else ()))
    names = (*refused.forbidding, *refused.rules) if refused else ()
    return Forced(
        part=part,
        least=least,
        has=has,
        status=found.status,
        price_minor=found.price_minor,
        difference_minor=more,
        changes=() if found.build is None else changes(here.build, found.build, catalog),
        most=refused.most if refused else None,
        statements=statements,
        rules=tuple(RuleWords(id=name, sentence=sentences[name]) for name in names),
        text=_text(part, least, has, found, more, refused, statements, catalog),
    )


def changes(before: Build, after: Build, catalog: Catalog) -> tuple[Change, ...]:
    """The lines in which two bills differ, in the order of a bill."""
    one, other = bill.bought(before), bill.bought(after)
    return tuple(
        Change(
            part=line.part,
            description=line.description,
            before=one[line.part],
            after=other[line.part],
            difference_minor=(other[line.part] - one[line.part]) * line.unit_price_minor,
        )
        for line in bill.lines(one | other, catalog)
        if one[line.part] != other[line.part]
    )


def _text(
    part: str,
    least: int | None,
    has: int,
    found: Solved,
    more: int | None,
    refused: Refused | None,
    statements: Sequence[Given],
    catalog: Catalog,
) -> str:
    wanted = f"without {part}" if least is None else f"with {part}" if least == 1 else f"with {least} or more of {part}"
    if found.price_minor is not None and more is not None:
        if (has == 0) if least is None else (has >= least):
            return f"The cheapest build is {wanted} already: it has {has or 'none'}."
        prices = catalog.prices
        dearer = f"{with_code(more, prices.decimals, prices.currency)} more" if more else "as much"
        total = with_code(found.price_minor, prices.decimals, prices.currency)
        proof = "" if found.status == "cheapest" else "; not proved cheapest"
        return f"The cheapest build {wanted} costs {dearer}: {total}{proof}."
    if refused is None:
        return f"Whether there is a build {wanted} was not decided in time."
    said = f"No valid build is {wanted}."
    if least is not None and refused.most is not None:
        most = f"The most of it in any valid build, none of it lying idle, is {refused.most}."
        said += f" {most}" if refused.most else " None has any that would not lie idle."
    if refused.forbidding:
        return f"{said} Nothing that it comes with may be ordered."
    if not brings(catalog, part):
        return f"{said} It can't be ordered by itself, and comes in no box."
    if refused.nearest:
        return f"{said} Rules object to every use of it; to the nearest, {refused.nearest}, those told here."
    if statements:
        said += " It could be, but for what is asked: " + "; ".join(one.text for one in statements) + "."
    elif refused.rules:
        said += " It is so even if less were asked."
    else:
        said += " No single statement or rule is to blame."
    return said if refused.smallest else f"{said} Time ran out: fewer of these may do."
