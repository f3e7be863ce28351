"""The argument of a conflict in words: what is asked, the most that is available, and where that limit comes from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from configurator.book import Book
from configurator.conflicts.certificate import Certificate, Way, Weighing, certify, proof_of, taken, ways
from configurator.conflicts.refusal import nearest, refusals, unfit
from configurator.engine.layouts import Wanted
from configurator.engine.model import StackModel
from configurator.kinds import Kind
from configurator.setting import Ask
from configurator.solved import Proof

MOST_WAYS = 3  # told one by one


@dataclass(frozen=True)
class Argument:
    """Why nothing meets a demand: sentences, the rules that they name, and the figures that prove it."""

    text: str
    rules: tuple[str, ...] = ()
    proof: Proof | None = None
    proved: bool = True  # off: the model shows none, and only solving it has


def argued(book: Book, ask: Ask) -> tuple[Argument, StackModel]:
    """Why a demand can't be met, and the model that shows it.

    Where some parts lie only in boxes: even if they were sold, as far as that is so.
    """
    boxed = book.boxed_only(ask.setting)
    model = StackModel(book, ask.generously() if boxed else ask, priced=False)
    found = argument(model)
    if boxed and not found.proved:
        model = StackModel(book, ask)
        found = argument(model)
    return found, model


def argument(model: StackModel) -> Argument:
    """The shortest true reason that the model itself can show."""
    unserved = _unserved(model)
    if unserved is not None:
        return unserved
    if not model.arrangements:
        return _unlinked(model)
    if not model.columns:
        return _unfit(model)
    certificate = certify(model)
    if certificate is None and (spread := _spread_too_far(model)):
        return Argument(spread)
    if certificate is None:
        return Argument(
            "No combination of whole units carries all of this: "
            f"{_counted(len(model.columns), 'fit-out')} in {_counted(len(model.arrangements), 'arrangement')} "
            "were ruled out, though no figure proves it.",
            proved=False,
        )
    return Argument(*_proved(model, certificate), proof_of(model, certificate))


def _unserved(model: StackModel) -> Argument | None:
    """A kind that no port of any fit-out serves, with the plug and port that come nearest."""
    offered = {offer.kind for offer in model.offers.offers}
    for index, kind in enumerate(model.kinds):
        if index not in offered:
            near = nearest(model.book, kind, model.setting)
            text = f"Nothing in the catalog serves {_words(kind)}."
            if near is None:
                return Argument(text)
            text = f"{text} What comes nearest is {near.what}, refused by: {_sentences(model, near.rules)}"
            return Argument(text, near.rules)
    served = {
        model.offers.offers[bit].kind
        for column in model.columns
        for _, mask in column.slices
        for bit in model.offers.bits(mask)
    }
    for index, kind in enumerate(model.kinds):
        if model.columns and index not in served:
            return Argument(f"No unit that may be ordered here has a port for {_words(kind)}.")
    return None


def _spread_too_far(model: StackModel) -> str:
    """A kind that is spread over more units than there may be."""
    most = max((model.most_units(together) for together in model.togethers()), default=0)
    for kind in model.kinds:
        if (least := model.book.spread(kind)) > most:
            text = f"{_words(kind)} are asked for spread over {least} units"
            return f"Asked: {text}. There can be {_counted(most, 'unit')} at most."
    return ""


def _unfit(model: StackModel) -> Argument:
    """No fit-out is allowed: what rules say against each unit type."""
    found = unfit(model.book, model.setting, Wanted(model.offers))
    texts = ["No unit type can be fitted out as asked."]
    for rules, types in sorted(found.items(), key=lambda item: (-len(item[1]), item[0])):
        texts.append(f"{_listed(types)}: {_sentences(model, rules)}")
    told = {rule for rules in found for rule in rules}
    return Argument(" ".join(texts), tuple(rule.id for rule in model.book.rules if rule.id in told))


def _unlinked(model: StackModel) -> Argument:
    """No arrangement is allowed: the rules that refuse the one with the fewest objections."""
    texts = ["No number of units can be linked as asked."]
    named: set[str] = set()
    for arrangement, rules in refusals(model.book, model.ask, model.stackings):
        longest = max((link.way_m for link in arrangement.links), default=None)
        far = "" if longest is None else f", their longest link {longest.normalize():f} m"
        units = "1 unit alone" if arrangement.units == 1 else f"{arrangement.units} units{far}"
        texts.append(f"For {units}: {_sentences(model, rules)}")
        named.update(rules)
    return Argument(" ".join(texts), tuple(r.id for r in model.book.rules if r.id in named))


def _sentences(model: StackModel, rules: tuple[str, ...]) -> str:
    return " ".join(f"{model.book.by_id[rule].sentence} ({rule})" for rule in rules)


# --- figures ------------------------------------------------------------------------------------------


def _proved(model: StackModel, certificate: Certificate) -> tuple[str, tuple[str, ...]]:
    """A certificate in words, and the rules that it names."""
    rules = tuple(dict.fromkeys(model.row_rules[index] for index in certificate.limits))
    if not certificate.weighings and not certificate.steps:
        return _too_much_asked(model, certificate.limits[0]), rules
    if len(certificate.weighings) == 1:
        (only,) = certificate.weighings
        every = ways(model, only)
        if all(way.units * way.each < only.asked for way in every):
            return f"{_asked(model, only)} {_carried(model, only, every)}", ()
    texts = [_asked(model, one) for one in certificate.weighings]
    types = list(dict.fromkeys(column.fitout.unit_type.id for column in model.columns))
    most = max((model.most_units(together) for together in model.togethers()), default=0)
    others = len(types) < len(model.book.catalog.parts.unit_types)
    least = " (no other carries more or takes less)" if others else ""
    groups = _counted(certificate.steps, "group")
    short = ["carries too little"] * bool(certificate.weighings) + ["breaks a limit"] * bool(rules)
    texts.append(
        f"Every choice of up to {_counted(most, 'unit')} of {_listed(types)}{least} was weighed "
        f"({groups} of choices): each {', or '.join(short)}{':' if rules else '.'}"
    )
    texts += [_limit(model, index) for index in certificate.limits]
    return " ".join(texts), rules


def _too_much_asked(model: StackModel, index: int) -> str:
    """What is asked breaks a limit by itself, whatever the units."""
    row, rule = model.rule_rows[index], model.book.by_id[model.row_rules[index]]
    figures = (
        ""
        if row.told is None
        else f": {row.told(taken(model, index))}" + (f"; {row.told(row.bound)} may be" if row.bound else "")
    )
    return f"What is asked breaks it by itself{figures}. {rule.sentence} ({rule.id})"


def _limit(model: StackModel, index: int) -> str:
    """A limit that keeps units out, and what the lightest unit takes of it."""
    row, rule = model.rule_rows[index], model.book.by_id[model.row_rules[index]]
    words = f"{rule.sentence} ({rule.id})"
    if row.told is None or row.fitouts is None:
        return words
    amount, name = min((row.fitouts(column.fitout), column.fitout.unit_type.id) for column in model.columns)
    share = taken(model, index)
    with_it = f" besides {row.told(share)} for what it serves" if share else ""
    least = f"The unit that takes least takes {row.told(amount)} ({name}){with_it}"
    return f"{words} {least}; {row.told(row.bound)} may be."


def _asked(model: StackModel, weighing: Weighing) -> str:
    things = " and ".join(_words(model.kinds[index]) for index in weighing.kinds)
    return f"Asked: {things}, together {_amount(weighing, weighing.asked)}."


def _carried(model: StackModel, weighing: Weighing, every: list[Way]) -> str:
    """The most that units of each way to stack carry, the best first."""
    best: dict[tuple[str, ...], Way] = {}
    for way in every:
        mode = way.together[1]
        families = () if mode is None else mode.families
        if families not in best or way.units * way.each > best[families].units * best[families].each:
            best[families] = way
    order = sorted(best.values(), key=lambda way: (-way.units * way.each, -way.units))
    useful = order[:1] + [way for way in order[1:] if way.each and way.units > 1]
    shown = useful[:MOST_WAYS]
    texts = []
    for way in shown:
        unit = f" ({_unit(model, weighing, way.column, way.each)})" if way.column is not None and way.each else ""
        unit += "".join(_apart(model, weighing)) if way.each else ""
        stack = f"at most {way.units} units stack" if way.units > 1 else "there is 1 unit at most"
        most = _amount(weighing, way.units * way.each)
        texts.append(
            f"One unit carries at most {_amount(weighing, way.each)} of that{unit}, and {stack}: {most} at most."
        )
    rest = len(useful) - len(shown)
    texts += [f"Other ways to stack carry no more ({rest})."] if rest else []
    return " ".join(texts)


def _apart(model: StackModel, weighing: Weighing) -> Iterator[str]:
    """How many of what is spread over units one of them may serve."""
    for kind in (model.kinds[index] for index in weighing.kinds):
        if (least := model.book.spread(kind)) > 1:
            few = max(0, kind.count - least + 1)
            yield f", {few} of the {kind.count} x {kind.name} at most, since these go over {least} units"


def _unit(model: StackModel, weighing: Weighing, place: int, each: int) -> str:
    """The unit that carries most, with what its supplies leave for ports where that is what bounds it."""
    column = model.columns[place]
    fitout = column.fitout
    supplies = " and ".join(f"{fitout.supplies.count(s)} x {s.id}" for s in dict.fromkeys(fitout.supplies))
    modules = " and ".join(module.id for _, module in fitout.modules)
    words = " with ".join([fitout.unit_type.id, *filter(None, (supplies,))]) + (f", {modules}" if modules else "")
    for budget in model.capacity.budgets:
        draws = {
            offer.draws[budget] for offer in model.offers.offers if offer.kind in weighing.kinds and offer.draws[budget]
        }
        left = column.priced.left[budget]
        if len(draws) == 1 and left // (draw := draws.pop()) == each:
            what = model.book.budgets[budget].binding(fitout, model.setting, model.book.catalog)
            return f"{words}: of {what} it has {_watts(left)} for its ports, and each takes {_watts(draw)}"
    return words


def _amount(weighing: Weighing, weight: int) -> str:
    if weighing.budget is not None:
        return _watts(weight * weighing.step)
    return _counted(weight, "port" if set(weighing.weights) <= {0, 1} else "unit of load")


def _listed(names: list[str]) -> str:
    return ", ".join(names)


def _counted(number: int, what: str) -> str:
    head, *tail = what.split(" ", 1)
    return " ".join([str(number), head if number == 1 else f"{head}s", *tail])


def _watts(amount_dw: int) -> str:
    return f"{amount_dw // 10}.{amount_dw % 10} W" if amount_dw % 10 else f"{amount_dw // 10} W"


def _words(kind: Kind) -> str:
    speed = kind.said.speed_mbps
    rate = f"{speed / 1000:g} Gb/s" if speed >= 1000 else f"{speed} Mb/s"
    if kind.count == kind.asked:
        return f"{kind.count} x {kind.name} ({rate})"
    grown = f"{kind.asked} and {kind.count - kind.asked} for growth" if kind.asked else "for growth"
    return f"{kind.count} x {kind.name} ({rate}; {grown})"
