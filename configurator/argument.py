"""The argument of a conflict in words: what is asked, the most that is available, and where that limit comes from."""

from __future__ import annotations

from configurator.kinds import Kind
from configurator.model import StackModel
from configurator.refusal import nearest, refusals


def argument(model: StackModel) -> tuple[str, tuple[str, ...]]:
    """The shortest true reason that the model itself can show, and the rules that it names."""
    unserved = _unserved(model)
    if unserved is not None:
        return unserved
    if not model.columns:
        return "No unit type can be fitted out as asked: every fit-out breaks one of these rules.", ()
    if not model.arrangements:
        return _unlinked(model)
    shortage = _shortage(model)
    return shortage or (
        "No combination of whole units carries all of this: "
        f"{len(model.columns)} fit-outs in {len(model.arrangements)} arrangements were ruled out, "
        "though no single figure proves it."
    ), ()


def _unserved(model: StackModel) -> tuple[str, tuple[str, ...]] | None:
    """A kind that no port of any fit-out serves, with the plug and port that come nearest."""
    offered = {offer.kind for offer in model.offers.offers}
    for index, kind in enumerate(model.kinds):
        if index not in offered:
            near = nearest(model.book, kind, model.setting)
            text = f"Nothing in the catalog serves {_words(kind)}."
            if near is None:
                return text, ()
            return f"{text} What comes nearest is {near.what}, refused by: {_sentences(model, near.rules)}", near.rules
    served = {
        model.offers.offers[bit].kind
        for column in model.columns
        for _, mask in column.slices
        for bit in model.offers.bits(mask)
    }
    for index, kind in enumerate(model.kinds):
        if model.columns and index not in served:
            return f"No unit that may be ordered here has a port for {_words(kind)}.", ()
    return None


def _unlinked(model: StackModel) -> tuple[str, tuple[str, ...]]:
    """No arrangement is allowed: the rules that refuse the one with the fewest objections."""
    texts = ["No number of units can be linked as asked."]
    named: set[str] = set()
    for arrangement, rules in refusals(model.book, model.ask, model.stackings):
        longest = max((link.way_m for link in arrangement.links), default=None)
        far = "" if longest is None else f", their longest link {longest.normalize():f} m"
        units = "1 unit alone" if arrangement.units == 1 else f"{arrangement.units} units{far}"
        texts.append(f"For {units}: {_sentences(model, rules)}")
        named.update(rules)
    return " ".join(texts), tuple(r.id for r in model.book.rules if r.id in named)


def _sentences(model: StackModel, rules: tuple[str, ...]) -> str:
    return " ".join(f"{model.book.by_id[rule].sentence} ({rule})" for rule in rules)


def _shortage(model: StackModel) -> str | None:
    """A capacity row that the whole stack breaks, told with its numbers; the one with the fewest kinds."""
    best: tuple[int, str] | None = None
    for weights, carried in model.capacity_rows:
        asked = 0
        kinds: list[Kind] = []
        for index, kind in enumerate(model.kinds):
            mine = [w for w, offer in zip(weights, model.offers.offers, strict=True) if offer.kind == index]
            least = min(mine, default=0)
            if least:
                asked += least * kind.count
                kinds.append(kind)
        limits = _limits(model, carried)
        most = max((units * each for units, each, _ in limits), default=0)
        if asked > most and (best is None or len(kinds) < best[0]):
            best = (len(kinds), _sentence(model, weights, kinds, asked, limits))
    return best[1] if best else None


def _limits(model: StackModel, carried: list[int]) -> list[tuple[int, int, int]]:
    """For each way to stack: most units, the most that one unit carries, and the column that does."""
    out = []
    for together in model.togethers():
        units = model.most_units(together)
        able = [(carried[i], i) for i, column in enumerate(model.columns) if model.suits(column, together)]
        if able:
            each, column = max(able, key=lambda pair: (pair[0], -pair[1]))
            out.append((units, each, column))
    return out


def _sentence(
    model: StackModel, weights: tuple[int, ...], kinds: list[Kind], asked: int, limits: list[tuple[int, int, int]]
) -> str:
    units, each, index = max(limits, key=lambda limit: (limit[0] * limit[1], limit[0]))
    fitout = model.columns[index].fitout
    supplies = " and ".join(f"{fitout.supplies.count(s)} x {s.id}" for s in dict.fromkeys(fitout.supplies))
    unit = fitout.unit_type.id + (f" with {supplies}" if supplies else "")
    plain = {w for w in weights if w} == {1}
    things = " and ".join(_words(kind) for kind in kinds)
    step = _step(model, weights)
    if step:
        asked_words, each_words, most_words = (_watts(n * step) for n in (asked, each, units * each))
    else:
        what = "port" if plain else "unit of load"
        asked_words, each_words, most_words = (_counted(n, what) for n in (asked, each, units * each))
    stack = f"at most {units} units stack" if units > 1 else "there is 1 unit at most"
    return (
        f"Asked: {things}, together {asked_words}. "
        f"One unit carries at most {each_words} of that ({unit}), and {stack}: {most_words} at most."
    )


def _step(model: StackModel, weights: tuple[int, ...]) -> int:
    """Tenths of a watt that one weight stands for, where the weights are draws; else 0."""
    used = [(w, offer) for w, offer in zip(weights, model.offers.offers, strict=True) if w]
    for budget in model.capacity.budgets:
        steps = {offer.draws[budget] / w for w, offer in used}
        if len(steps) == 1 and (step := steps.pop()) and any(w != used[0][0] for w, _ in used):
            return int(step)
    return 0


def _counted(number: int, what: str) -> str:
    head, *tail = what.split(" ", 1)
    return " ".join([str(number), head if number == 1 else f"{head}s", *tail])


def _watts(amount_dw: int) -> str:
    return f"{amount_dw // 10}.{amount_dw % 10} W"


def _words(kind: Kind) -> str:
    speed = kind.said.speed_mbps
    rate = f"{speed / 1000:g} Gb/s" if speed >= 1000 else f"{speed} Mb/s"
    return f"{kind.count} x {kind.name} ({rate})"
