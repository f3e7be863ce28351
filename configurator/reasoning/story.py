"""The story of a build: how full its units and the stack are, what they still carry, what they are there for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from decimal import Decimal

from configurator import messages
from configurator.answer import StackAnswer, Unit, Watts
from configurator.answer_refusal import Given, RuleWords
from configurator.build import BuiltUnit, PortUse, SplitPort
from configurator.catalog import Catalog
from configurator.facilities.load import group_in
from configurator.parts import Module, PortGroup
from configurator.reasoning.carrying import Carried
from configurator.reasoning.explanation import Carries, Drives, Fullness
from configurator.reasoning.statement_prices import Found
from configurator.setting import Ask


def fullness(stack: StackAnswer, ask: Ask, catalog: Catalog) -> tuple[Fullness, ...]:
    """Ports, watts, PoE and what is left when a supply is lost, unit by unit; rack units, circuits and limits."""
    if stack.build is None:
        return ()
    units = zip(stack.units, stack.build.units, strict=True)
    return (*(one for unit, built in units for one in _of_unit(unit, built, ask, catalog)), *_of_stack(stack))


def _full(unit: int | None, what: str, used: Decimal | int, of: Decimal | int, measure: str) -> Fullness:
    used, of = Decimal(used), Decimal(of)
    percent = int(100 * used / of) if of else 100
    return Fullness(unit=unit, what=what, used=used, of=of, measure=measure, percent=percent, full=used >= of)


def _of_unit(unit: Unit, built: BuiltUnit, ask: Ask, catalog: Catalog) -> Iterator[Fullness]:
    at = unit.position
    for slot, group, used in _ports(built, catalog):
        count = group_in(built, slot, group, catalog).count
        yield _full(at, f"ports {messages.port_words(slot, group)}", used, count, "ports")
    power = unit.power
    if not unit.supplies:
        return
    yield from _of_supplies(at, power.all_supplies, power.poe_w, "")
    on_loss = ask.setting.on_supply_loss
    if power.one_lost is not None and on_loss == "carries_all":
        yield from _of_supplies(at, power.one_lost, power.poe_w, " with one supply lost")
    if power.one_lost is not None and on_loss == "sheds_poe":
        lost_w = power.one_lost.output_w
        yield _full(at, "watts of its supplies with one supply lost, feeding nothing", power.own_w, lost_w, "W")


def _of_supplies(at: int, watts: Watts, poe_w: Decimal, while_: str) -> Iterator[Fullness]:
    """What supplies give, and PoE where the catalog caps it."""
    yield _full(at, f"watts of its supplies{while_}", watts.output_w - watts.left_w, watts.output_w, "W")
    if watts.poe_budget_w:
        yield _full(at, f"PoE that it may feed{while_}", poe_w, watts.poe_budget_w, "W")


def _ports(unit: BuiltUnit, catalog: Catalog) -> Iterator[tuple[str | None, str, int]]:
    """Groups of ports of a unit, with how many are in use, split or stacking."""
    taken: dict[tuple[str | None, str], set[int]] = {}
    used: list[PortUse | SplitPort] = [*unit.uses, *unit.splits]
    for port in used:
        taken.setdefault((port.slot, port.group), set()).add(port.port)
    if unit.stack_group is not None:
        taken.setdefault((unit.stack_slot, unit.stack_group), set()).update(unit.stack_ports)
    places: list[tuple[str | None, PortGroup]] = [(None, group) for group in catalog.unit_types[unit.unit_type].ports]
    for fitted in unit.modules:
        places += [(fitted.slot, group) for group in catalog.get(fitted.module, Module).ports]
    for slot, group in places:
        yield slot, group.id, len(taken.get((slot, group.id), ()))


def _of_stack(stack: StackAnswer) -> Iterator[Fullness]:
    """Figures of the room that have an upper end."""
    facility = stack.facility
    if facility is None:
        return
    for limit in facility.limits:
        if limit.figure is not None:
            yield _full(None, f"{limit.key} as stated", limit.figure, limit.limit, limit.unit)
    for one in facility.circuits:
        drawn = [amps for amps in (one.expected_a, one.lost_feed_a, one.rated_a) if amps is not None]
        if one.allowed_a is not None and drawn:
            feed = "" if one.feed is None else f" on feed {one.feed}"
            yield _full(None, f"each circuit{feed}, at its highest", max(drawn), one.allowed_a, "A")
    for outlets in facility.outlets:
        if outlets.free is not None:
            yield _full(None, f"free outlets {outlets.plug}", outlets.count, outlets.free, "outlets")


def carries(found: Iterable[Carried], given: dict[str, Given], sentences: dict[str, str]) -> tuple[Carries, ...]:
    """What the units still carry, in sentences."""
    return tuple(
        Carries(
            statement=given[one.statement],
            asked=one.asked,
            most=one.most,
            binds=one.most == one.asked,
            no_port=one.no_port,
            rules=tuple(RuleWords(id=rule, sentence=sentences[rule]) for rule in one.rules),
            text=_carries(one, sentences),
        )
        for one in found
    )


def _carries(one: Carried, sentences: dict[str, str]) -> str:
    more = one.most - one.asked
    still = f"up to {one.most}, {more} more" if more else "no more"
    whys = ["no port is left for it"] if one.no_port else []
    whys += [f"{sentences[rule].removesuffix('.')} ({rule})" for rule in one.rules]
    why = "; ".join(whys) or "several limits at once"
    return f"{one.asked} asked, and these units carry {still}. What stops the next: {why}."


def drives(stack: StackAnswer, found: Iterable[Found], given: dict[str, Given]) -> tuple[Drives, ...]:
    """For each unit type the statements without which the cheapest build has fewer of it."""
    every = list(found)
    out = []
    for unit_type, count in Counter(unit.type for unit in stack.units).items():
        fewer = [(one, one.units[unit_type]) for one in every if one.units is not None and one.units[unit_type] < count]
        words = [f"{one.statement.text} ({'none' if left == 0 else left} without it)" for one, left in fewer]
        units = f"{count} x {unit_type}"
        text = f"{units}: there for {'; '.join(words)}." if words else f"{units}: no single statement is behind it."
        statements = tuple(given[one.statement.key] for one, _ in fewer)
        out.append(Drives(unit_type=unit_type, count=count, statements=statements, text=text))
    return tuple(out)
