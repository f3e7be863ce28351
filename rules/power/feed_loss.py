"""When a feed fails, the supplies on the other feed carry on as asked.

Two feeds help only if every unit hangs on both, and each half is strong enough by itself.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.parts import Supply
from configurator.rule import COMMON_PRACTICE, Breach, Budget, Rule
from configurator.setting import Ask, Setting

from ..looking import part_of
from . import modelling
from .checking import lack, units_with_supplies

# the rule's part of the model


def _feeds(fitout: Fitout) -> list[tuple[Supply, ...]]:
    """The supplies of each feed."""
    pairs = list(zip(fitout.supplies, fitout.feeds, strict=False))
    return [tuple(supply for supply, feed in pairs if feed == name) for name in ("A", "B")]


def forbids(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """Supplies spread unevenly."""
    if setting.on_feed_loss == "stops" or not modelling.has_supplies(fitout):
        return False
    one, other = _feeds(fitout)
    return abs(len(one) - len(other)) > 1


def gives_all(fitout: Fitout, setting: Setting, catalog: Catalog) -> int | None:
    """The weaker feed, where it has to carry PoE too."""
    if setting.on_feed_loss != "carries_all" or not modelling.has_supplies(fitout):
        return None
    return min(modelling.sum_dw(feed, setting) for feed in _feeds(fitout))


def gives_base(fitout: Fitout, setting: Setting, catalog: Catalog) -> int | None:
    """The weaker feed, where it has to carry everything but PoE."""
    if setting.on_feed_loss != "sheds_poe" or not modelling.has_supplies(fitout):
        return None
    return min(modelling.sum_dw(feed, setting) for feed in _feeds(fitout))


def gives_poe(fitout: Fitout, setting: Setting, catalog: Catalog) -> int | None:
    """The lesser row of a PoE table for either feed."""
    if setting.on_feed_loss != "carries_all" or not fitout.unit_type.poe_table:
        return None
    return min(modelling.tabled_dw(fitout.unit_type, feed, setting) for feed in _feeds(fitout))


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Supplies are spread over feeds A and B as evenly as possible, and each feed's carry what is asked."""
    if ask.setting.on_feed_loss == "stops":
        return
    input_v, poe = ask.setting.input_v, ask.setting.on_feed_loss == "carries_all"
    for one in units_with_supplies(build, ask, catalog):
        feeds: dict[str | None, list[Supply]] = {"A": [], "B": []}
        for fitted in one.unit.supplies:
            if supply := part_of(fitted.supply, Supply, catalog):
                feeds.setdefault(fitted.feed, []).append(supply)
        if None in feeds:
            yield Breach(f"{len(feeds[None])} of {len(one.supplies)} supplies are on neither feed", one.position)
        if abs(len(feeds["A"]) - len(feeds["B"])) > 1:
            yield Breach(
                f"{len(feeds['A'])} supplies are on feed A and {len(feeds['B'])} on feed B: "
                "their numbers differ by more than one",
                one.position,
            )
        if lack(one, one.supplies, input_v, poe=poe):
            continue  # not even all of them carry it: another rule says so
        for feed, lost in (("A", "B"), ("B", "A")):
            if found := lack(one, feeds[feed], input_v, poe=poe):
                what = "everything" if poe else "everything but PoE"
                yield Breach(f"with feed {lost} lost feed {feed} must carry {what} and gives {found}", one.position)


RULE = Rule(
    id="power.feed_loss",
    family="power",
    sentence="Supplies are spread evenly over two feeds, and each feed carries what the customer asked to survive.",
    source=COMMON_PRACTICE,
    about=("on_feed_loss", "input_v", "ports", "devices", "uplinks"),
    forbids={"supplies": forbids},
    budgets=(
        *modelling.load_budgets("watts with a feed lost", gives_all),
        Budget("watts without PoE, a feed lost", gives_base, modelling.takes, modelling.draws_without_poe),
        Budget("PoE with a feed lost", gives_poe, modelling.takes_nothing, modelling.draws_poe),
    ),
    explains=("supply",),
    only_if_asked=("on_feed_loss",),
    check=check,
)
