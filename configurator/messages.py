"""The sentences made for people, apart from the rules' own.  Everything else hands data to this module."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, Literal

from configurator.money import with_code

if TYPE_CHECKING:
    from datetime import date

    from configurator.answer import Accompanying, Answer, Link, OrderLine, StackAnswer, Unit, Uplink, Watts
    from configurator.answer_proof import Waived
    from configurator.catalog import Catalog

NOT_INCLUDED = ("tax", "freight", "duty", "installation")
DEMO_NOTE = "Demonstration catalog: the maker, the parts and the prices are invented; nothing here can be ordered."
DEMO_DEMAND_NOTE = "No demand was given: this is the packaged demonstration demand, of an invented customer."
NOT_ADDED_UP = (
    "Of several discounts on a part the largest counts; they don't add up. "
    "What one costs is rounded half up to the minor unit."
)
NO_PADDING = "Nothing is ordered only to come to more."
MOST_LISTED = 8


# --- answers ------------------------------------------------------------------------------------------


def status(stack: StackAnswer, answer: Answer) -> str:
    """What is proved about one stack."""

    def money(minor: int | None) -> str:
        return "unknown" if minor is None else with_code(minor, answer.decimals, answer.currency)

    if stack.life is not None and answer.objective == "life":
        from configurator.life.words import status as of_owning  # whose sentences are made of these

        return of_owning(stack, answer)
    if stack.status == "cheapest":
        return f"Proved cheapest: {money(stack.price_minor)}; no valid build costs less on this price list."
    if stack.status == "best found":
        return (
            f"Best found: {money(stack.price_minor)}; not proved cheapest, none can cost less than "
            f"{money(stack.bound_minor)} (gap {money(stack.gap_minor)})."
        )
    if stack.status == "cannot be met":
        return "Cannot be met: no build meets this demand under the rules, with this catalog and price list."
    return "Not decided: time ran out before a build was found or ruled out; allow more with --time-limit."


def conflict_heading(place: int, of: int, *, smallest: bool) -> str:
    """Over one conflict of a stack that cannot be met."""
    which = "Why" if of == 1 else f"Why, {place} of {of}"
    proof = "any one fewer of these could be met" if smallest else "not proved smallest: fewer of these may do"
    return f"{which}: these cannot hold together ({proof})."


PROVED = {
    "cheapest": (
        "Every choice of whole units, of what serves each device and of how units are linked is in the model; "
        "the lower bound of its price equals the price, so no valid order costs less on this price list."
    ),
    "best found": "The lower bound of the price is below the price found: a valid order may cost less.",
    "none": "There is no order of all stacks.",
}
TOGETHER = (
    "Each stack was solved by itself; where packs, cold spares or a closet couple them, then all of them together, "
    "between the sum of their own bounds and what they come to apart."
)
TIERS = (
    "For each value of the order from which discounts hold, the cheapest order that comes to it was solved for or "
    "shown to cost no less. For that value nothing is ordered that has no place in a build, "
    "and no stack gets more units than it has without it."
)
CORRECTIONS = "What would help, cheapest first: each line alone is enough, and no less will do"
WRITE_NEAREST = "`configurator explain --stack … --nearest NUMBER` writes the demand file with one of these changes."
MORE_REASONS = "The search stopped before every reason was found: there may be more."


def cannot_hold(statements: Iterable[str]) -> str:
    """A conflict in one line, before its reasons are known."""
    return f"these cannot hold together: {'; '.join(statements)}"


NO_CONFLICT = "No single cause was found: every choice of whole units was tried and none works."


def waiver(one: Waived) -> str:
    """Which breach is accepted, by whom, why and until when."""
    until = "" if one.until is None else f", until {one.until}"
    return f"{one.rule} for {one.stack}: accepted by {one.by}{until}: {one.reason}"


def proved(
    kind: Literal["cheapest", "best found", "none"],
    *,
    several: bool,
    tiers: bool,
    refused: Sequence[str],
    late: Sequence[str],
) -> str:
    """What was proved of an order, and how.

    several -- it is more than one stack; tiers -- discounts depend on its value
    refused, late -- stacks that can't be met, or were not decided, by name
    """
    told = [PROVED[kind], TOGETHER if several and kind != "none" else "", TIERS if tiers and kind != "none" else ""]
    if refused:
        told.append(f"Proved, with every choice of whole units ruled out, that these can't be met: {listed(refused)}.")
    if late:
        told.append(f"Not decided in time: {listed(late)}.")
    return " ".join(filter(None, told))


def checks(answer: Answer) -> str:
    """How many rules looked at what was found, and passed it."""
    if all(stack.build is None for stack in answer.stacks):
        return "nothing was found that rules could look at"
    passed = counted(len(answer.proof.checks.passed), "rule", "rules")
    return f"{passed} looked at what was found, without the solver, and passed it"


def proof_in_short(stack: StackAnswer, answer: Answer) -> str:
    """What is proved of a stack, in a few words for one cell."""
    if stack.gap_minor is None:
        return {"cannot be met": "proved that it can't be met"}.get(stack.status, "nothing proved")
    gap = f"gap {with_code(stack.gap_minor, answer.decimals, answer.currency)}"
    if answer.objective == "life":
        proved_ = "proved cheapest to own" if stack.status == "cheapest" else "not proved cheapest to own"
        return f"{proved_}; {counted(len(answer.proof.checks.passed), 'rule', 'rules')} passed"
    proved_ = "proved cheapest" if stack.status == "cheapest" else f"not proved cheapest, {gap}"
    return f"{proved_}; {counted(len(answer.proof.checks.passed), 'rule', 'rules')} passed"


def along(one: Accompanying) -> str:
    """What comes along, and for whom."""
    count = f"{one.quantity} x " if one.quantity > 1 else ""
    return f"{count}{one.part}" + (f" for {one.name}" if one.name else "")


def beyond(line: OrderLine) -> str:
    """What of an order's line no stack needs, and why it is there."""
    if line.reason is not None:
        return line.reason
    if not line.left_over:
        return ""
    least = f"no fewer than {line.least_quantity}" if line.least_quantity > 1 else ""
    packs = f"packs of {line.pack_size}" if line.pack_size > 1 else ""
    return f"{line.left_over} left over: sold in {' and '.join(filter(None, (packs, least)))}"


def total(answer: Answer) -> str:
    """What the order comes to, or that it has no total."""
    if answer.problem is not None:
        return f"Order total: none. {answer.problem}"
    if answer.total_minor is not None and answer.objective == "life" and answer.life and answer.life.cost:
        owned = with_code(answer.life.cost.total_minor, answer.decimals, answer.currency)
        years = counted(answer.life.years, "year", "years")
        proof = "" if answer.life.proved == "cheapest to own" else ", not proved cheapest to own"
        total_ = with_code(answer.total_minor, answer.decimals, answer.currency)
        return f"Order total: {total_}; {owned} over {years}{proof}"
    if answer.total_minor is not None and answer.bound_minor not in (None, answer.total_minor):
        bound = with_code(answer.bound_minor or 0, answer.decimals, answer.currency)
        proof = f"not proved cheapest, none can cost less than {bound}"
        return f"Order total: {with_code(answer.total_minor, answer.decimals, answer.currency)}; {proof}"
    if answer.total_minor is not None:
        return f"Order total: {with_code(answer.total_minor, answer.decimals, answer.currency)}"
    missing = sum(stack.copies for stack in answer.stacks if stack.build is None)
    rest = sum(line.amount_minor for line in answer.bill)
    words = f"Order total: none, since {counted(missing, 'stack has', 'stacks have')} no build"
    return words + (f"; the others come to {with_code(rest, answer.decimals, answer.currency)}" if answer.bill else "")


def watts(unit: Unit) -> tuple[str, ...]:
    """What a unit uses and has left, with all supplies and with one lost."""
    power = unit.power
    uses = f"uses {number(power.own_w)} W"
    if power.poe_w:
        uses += f" and {number(power.poe_w)} W of PoE"
    if not unit.supplies:
        return (f"{uses}; the catalog names no supply, so nothing is said of what is left",)
    first = f"{uses}; {_left(power.all_supplies)}"
    if power.one_lost is None:
        return first, "with its one supply lost: stops"
    return first, f"with one supply lost: {_left(power.one_lost)}"


def _left(watts: Watts) -> str:
    left = f"{number(watts.output_w)} W supplied, {_spare(watts.left_w)}"
    if watts.poe_budget_w is not None:
        left += f"; PoE up to {number(watts.poe_budget_w)} W, {_spare(watts.poe_left_w)}"
    return left


def _spare(left_w: Decimal) -> str:
    return f"{number(left_w)} W left" if left_w >= 0 else f"{number(-left_w)} W short"


def topology(stack: StackAnswer) -> str:
    """How the units are linked, in one line."""
    if stack.topology is None:
        return "One unit alone: nothing to stack."
    speed = speed_words(stack.links[0].speed_mbps) if stack.links else ""
    links = counted(len(stack.links), "link", "links")
    laced = ":" if stack.lacing is None else f", laced {stack.lacing}"
    return f"{stack.topology.capitalize()} of {len(stack.units)} units, {links} at {speed}{laced}"


def link(one: Link) -> str:
    """One stacking connection and what it takes."""
    parts = " + ".join(counted_parts(one.parts)) or "fibre that lies there"
    length = "" if one.length_m is None else f", {number(one.length_m)} m long"
    return f"unit {one.from_unit} to unit {one.to_unit}: {parts}{length}, over a way of {number(one.way_m)} m"


def uplink(one: Uplink) -> str:
    """Where an uplink leaves the stack and what is at its ends."""
    plug = " + ".join(one.plug) or "no optic or cable: a fixed port"
    far = f"{one.far_end} ordered for the far end" if one.far_end else "far end not ordered here"
    where = f"unit {one.unit}, {port_words(one.slot, one.group)} port {_port(one)}"
    return f"{where} at {speed_words(one.speed_mbps)}: {plug}; {far}"


def _port(one: Uplink) -> str:
    return str(one.port) if one.way is None else f"{one.port} way {one.way}"


def unwritten(reason: str) -> str:
    """The answer could not be written where it was to go."""
    return f"error: the answer can't be written: {reason}\n\nhint: make room, or name another place with --output FILE"


def fault(problem: str) -> str:
    """The tool's own fault, in one line and a hint."""
    hint = "please report it with the demand; CONFIGURATOR_TRACE=1 shows where it happened"
    return f"error: fault in the tool: {problem}\n\nhint: {hint}"


def check_failed(breaches: Iterable[tuple[str, str]], dump: str | None) -> str:
    """A solved build that an independent check rejects."""
    found = "\n".join(f"  {rule}: {text}" for rule, text in breaches)
    kept = f"; the demand, the build and this list are kept in {dump}" if dump else ""
    return (
        "error: fault in the tool: an independent check rejects the build that was found, so no bill is shown\n"
        f"{found}\n\nhint: please report it{kept}"
    )


def catalog_notes(unpriced: Sequence[str], unknown: Sequence[str]) -> tuple[str, ...]:
    """What doesn't match between catalog and price list."""
    out = []
    if unpriced:
        out.append(f"No price on this list, so never on a bill: {listed(unpriced)}.")
    if unknown:
        out.append(f"On the price list but not in the catalog, so never on a bill: {listed(unknown)}.")
    return tuple(out)


def earned(value: str | None) -> str:
    """Which discounts the prices of an explanation are with; `value`: the threshold that the order reaches."""
    whole = "of an order that reaches no value from which more discounts hold"
    which = whole if value is None else f"of an order from {value} at list prices, which this order comes to"
    return (
        f"Prices are those with the discounts {which}. "
        "They stay the same whatever is set aside or asked for, though another order may earn others."
    )


def discount_notes(late: Sequence[str], unknown: Sequence[str]) -> tuple[str, ...]:
    """Which discounts take nothing off, and why.

    late -- those of other days, in words; unknown -- part numbers that the price list lacks
    """
    out = []
    if late:
        out.append(f"Discounts that don't hold on the order's day: {listed(late, '; ')}.")
    if unknown:
        out.append(f"Discounts on parts that are not on the price list: {listed(unknown)}.")
    return tuple(out)


def catalog_summary(catalog: Catalog, on: date, notes: Iterable[str]) -> str:
    """A catalog and price list without faults: what is in them."""
    prices = catalog.prices
    unit_types = counted(len(catalog.unit_types), "unit type", "unit types")
    families = counted(len(catalog.families), "family", "families")
    lines = [
        f"Catalog: {catalog.name}",
        f"  {unit_types} in {families}, {counted(len(catalog.by_id), 'part', 'parts')} to order",
        f"Price list: {prices.name}",
        f"  {counted(len(prices.rows), 'price', 'prices')} in {prices.currency}",
        f"  issued {prices.issued}, valid until {prices.valid_until}; in force on {on}",
        *(f"Note: {note}" for note in notes),
        "No faults found.",
    ]
    return "\n".join(lines) + "\n"


# --- words for figures ----------------------------------------------------------------------------------


def number(value: Decimal) -> str:
    """A figure without needless zeros: 12.50 is 12.5."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def speed_words(mbps: int) -> str:
    """10000 Mb/s is 10 Gb/s."""
    return f"{number(Decimal(mbps) / 1000)} Gb/s" if mbps >= 1000 else f"{mbps} Mb/s"


def counted(count: int, one: str, many: str) -> str:
    """`1 unit`, `2 units`."""
    return f"{count} {one if count == 1 else many}"


def counted_parts(parts: Iterable[str]) -> list[str]:
    """`2 x A`, `B`: parts in order, told once."""
    listed = list(parts)
    return [part if listed.count(part) == 1 else f"{listed.count(part)} x {part}" for part in dict.fromkeys(listed)]


def listed(names: Sequence[str], apart: str = ", ") -> str:
    """Some names, and how many more there are."""
    rest = len(names) - MOST_LISTED
    return apart.join(names[:MOST_LISTED]) + (f" and {rest} more" if rest > 0 else "")


def port_words(slot: str | None, group: str) -> str:
    """A port group, with the slot of the module it is on."""
    return group if slot is None else f"{group} (slot {slot})"


def ranges(ports: Iterable[int]) -> str:
    """`1-3, 5` of 1, 2, 3, 5."""
    runs: list[list[int]] = []
    for port in sorted(ports):
        if runs and port == runs[-1][1] + 1:
            runs[-1][1] = port
        else:
            runs.append([port, port])
    return ", ".join(str(a) if a == b else f"{a}-{b}" for a, b in runs)
