"""What an answer tells, section by section, for every text form alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from configurator import messages
from configurator.answer import Answer, OrderLine, StackAnswer, Unit
from configurator.money import grouped
from configurator.render import discounts, facility, life, proof, refusal
from configurator.render.sections import Bullets, Lines, Listing, Section, Table, lines, section, title


def contents(answer: Answer) -> Iterator[Section]:
    """The whole answer."""
    yield _head(answer)
    for place, stack in enumerate(answer.stacks, start=1):
        copies = f", {stack.copies} copies" if stack.copies > 1 else ""
        yield title(f"Stack {place} of {len(answer.stacks)}: {stack.name}{copies}")
        yield from _stack(stack, answer)
    if closets := list(facility.overview(answer.closets)):
        yield title("Closets")
        yield from closets
    yield title("Order")
    yield from _order(answer)


def _head(answer: Answer) -> Section:
    dates = f"issued {answer.price_list.issued}, valid until {answer.price_list.valid_until}"
    rows = [
        ("Customer", answer.customer or ""),
        ("Project", answer.project or ""),
        ("Catalog", " of ".join(filter(None, (answer.catalog.name, answer.catalog.maker)))),
        ("Price list", f"{answer.price_list.name or '-'}, {answer.currency}, {dates}"),
        ("Order date", answer.order_date.isoformat()),
    ]
    notes = [f"Note: {note}" for note in answer.notes]
    about = Listing(tuple(row for row in rows if row[1]), indent="")
    return section("", *([lines(*notes, "")] if notes else []), about)


# --- one stack --------------------------------------------------------------------------------------


def _stack(stack: StackAnswer, answer: Answer) -> Iterator[Section]:
    yield section("", lines(discounts.status(stack, answer)))
    if stack.status == "cannot be met":
        for one in refusal.sections(stack, answer):
            listed = [Listing(one.rows)] if one.rows else []
            yield section(one.heading, *listed, Lines(one.texts, indent="  "))
    if stack.build is None:
        return
    yield section("Bill for one stack", _bill(stack, answer))
    if any(line.reasons for line in stack.bill):
        yield section("Why each part is there", _reasons(stack))
    if stack.included:
        inside = tuple((one.box, one.part, one.description, str(one.quantity)) for one in stack.included)
        heading = "Already in the boxes, at no charge: don't order these again"
        yield section(heading, Table(("In", "Part", "Description", "Qty"), inside, right=(3,)))
    yield section("Units", *(part for unit in stack.units for part in _unit(unit)))
    links = Lines(tuple(messages.link(link) for link in stack.links), indent="  ")
    yield section("Stacking", lines(messages.topology(stack)), *([links] if stack.links else []))
    if stack.uplinks:
        rows = [(_with_ref(one.name, one.ref), messages.uplink(one)) for one in stack.uplinks]
        yield section("Uplinks", Listing(tuple(rows)))
    if stack.along or stack.agreed:
        agreed = [(one.topic, one.choice) for one in stack.agreed]
        along = [(one.slot, messages.along(one)) for one in stack.along]
        yield section("For the stack as a whole", Listing((*agreed, *along)))
    if stack.facility is not None:
        rows = facility.rows(stack.facility)
        yield section("Facility, for one stack at full load", Listing(tuple(rows)))
    yield from life.of_stack(stack, answer)


def _bill(stack: StackAnswer, answer: Answer) -> Table:
    inside = any(line.included for line in stack.bill)
    heads = ("Part", "Description", "Qty", *discounts.heads(answer), f"Amount {answer.currency}")
    rows: list[tuple[str, ...]] = []
    for line in stack.bill:
        prices = (*discounts.prices(line, answer), grouped(line.amount_minor, answer.decimals))
        extra = (str(line.included) if line.included else "",) if inside else ()
        rows.append((line.part, line.description, str(line.quantity), *prices, *extra))
    rows += [(*row, *([""] if inside else [])) for row in discounts.totals(stack.bill, "Total of one stack", answer)]
    right = tuple(range(2, len(rows[0])))
    return Table((*heads, *(["Also in boxes"] if inside else [])), tuple(rows), right)


def _reasons(stack: StackAnswer) -> Listing:
    """A line for each rule that wants a part, with the statements that make it."""
    rows: list[tuple[str, str]] = []
    for line in stack.bill:
        said: dict[tuple[str, str], list[str]] = {}
        for why in line.reasons:
            statements = said.setdefault((why.text, why.rule), [])
            if why.said is not None:
                statements.append(_with_ref(why.said, why.ref))
        for place, ((text, rule), statements) in enumerate(said.items()):
            made_by = f" For {'; '.join(statements)}" if statements else ""
            rows.append((line.part if place == 0 else "", f"{text}{made_by} ({rule})"))
    return Listing(tuple(rows))


def _unit(unit: Unit) -> tuple[Lines, Listing]:
    rows: list[tuple[str, str]] = []
    for one in unit.supplies:
        bay = f"bay {one.bay}" if one.bay else "built in"
        with_it = [f"cord {one.cord}"] * bool(one.cord) + [f"feed {one.feed}"] * bool(one.feed)
        rows.append(("supply", f"{bay}: {one.supply}" + (f" ({', '.join(with_it)})" if with_it else "")))
    if unit.fan_trays:
        rows.append(("fans", ", ".join(messages.counted_parts(unit.fan_trays))))
    rows += [("module", f"slot {one.slot}: {one.module}") for one in unit.modules]
    if unit.stacking is not None:
        ports = messages.port_words(unit.stacking.slot, unit.stacking.group)
        adapters = ", ".join(messages.counted_parts(unit.stacking.adapters))
        rows.append(("stacks", f"through {ports} {unit.stacking.ports}" + (f", with {adapters}" if adapters else "")))
    for split in unit.splits:
        where = f"{messages.port_words(split.slot, split.group)} port {split.port}"
        rows.append(("split", f"{where} by {' + '.join(split.parts)}"))
    for use in unit.uses:
        plug = f" through {use.plug}" if use.plug else ""
        fed = ", powered" if use.powered else ""
        where = f"{messages.port_words(use.slot, use.group)} {use.ports}"
        speed = messages.speed_words(use.speed_mbps)
        rows.append((_with_ref(use.name, use.ref), f"{use.count} on {where} at {speed}{fed}{plug}"))
    rows += [(one.slot, messages.along(one)) for one in unit.along]
    rows += [("free", f"{one.count} on {messages.port_words(one.slot, one.group)} {one.ports}") for one in unit.free]
    rows += [("watts" if place == 0 else "", text) for place, text in enumerate(messages.watts(unit))]
    blows = f", {unit.airflow}" if unit.airflow else ""
    return lines(f"Unit {unit.position}: {unit.type}, ordered as {unit.box}{blows}"), Listing(tuple(rows))


def _with_ref(text: str, ref: str | None) -> str:
    return f"{text} [{ref}]" if ref else text


# --- the order ----------------------------------------------------------------------------------------


def _order(answer: Answer) -> Iterator[Section]:
    coupled = any(line.left_over or line.reason for line in answer.bill)
    if answer.bill and (coupled or len(answer.stacks) > 1 or answer.stacks[0].copies > 1):
        yield section("Bill of all stacks", _order_bill(answer.bill, answer))
    if coupled:
        yield section("Shares of the order, packs left over shared out by need", _shares(answer))
    yield from discounts.sections(answer)
    yield section(messages.total(answer), lines("Not included: " + ", ".join(answer.not_included) + "."))
    yield from life.of_order(answer)
    yield from proof.sections(answer)
    if answer.assumptions:
        rows = []
        for one in answer.assumptions:
            for_some = "" if len(one.stacks) == len(answer.stacks) else f" (for {messages.listed(one.stacks, '; ')})"
            rows.append(one.text + for_some)
        yield section("Assumed, since nobody said", Bullets(tuple(rows)))
    if any(closet.facility for closet in answer.closets):
        yield section("Mind on site", Bullets(facility.together(answer.closets)))


def _order_bill(lines: Sequence[OrderLine], answer: Answer) -> Table:
    """What is ordered; where packs or spares make it more than the stacks need, what is left over and why."""
    rows = []
    more = any(line.left_over or line.reason for line in lines)
    for line in lines:
        money = (*discounts.prices(line, answer), grouped(line.amount_minor, answer.decimals))
        why = (messages.beyond(line),) if more else ()
        rows.append((line.part, line.description, str(line.quantity), *money, *why))
    heads = ("Part", "Description", "Qty", *discounts.heads(answer), f"Amount {answer.currency}")
    right = tuple(range(2, len(heads)))
    return Table((*heads, *(["Of it not for a stack"] if more else [])), tuple(rows), right)


def _shares(answer: Answer) -> Table:
    """What each stack comes to of the whole order, with what is left over shared out."""
    rows = [
        (stack.name, str(stack.copies), grouped(stack.share_minor, answer.decimals))
        for stack in answer.stacks
        if stack.share_minor is not None
    ]
    spares = sum(line.amount_minor for line in answer.bill if line.reason is not None)
    rows += [("cold spares", "", grouped(spares, answer.decimals))] if spares else []
    return Table(("Stack", "Copies", f"Share {answer.currency}"), tuple(rows), right=(1, 2))
