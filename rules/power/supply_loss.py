"""When a supply fails, the rest carries on as asked.

`stops`: nothing is asked. `sheds_poe`: the unit stays up and its devices may go dark.
`carries_all`: nobody notices.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.parts import Supply
from configurator.rule import COMMON_PRACTICE, Breach, Budget, Rule
from configurator.setting import Ask, Setting

from . import modelling
from .checking import lack, largest_dw, output_dw, units_with_supplies

# the rule's part of the model


def _survivors(fitout: Fitout) -> list[tuple[Supply, ...]]:
    """What is left of the supplies, whichever is lost."""
    every = fitout.supplies
    return [every[:lost] + every[lost + 1 :] for lost in range(len(every))]


def gives_all(fitout: Fitout, setting: Setting, catalog: Catalog) -> int | None:
    """The weakest rest, where it has to carry PoE too."""
    if setting.on_supply_loss != "carries_all" or not modelling.has_supplies(fitout):
        return None
    return min((modelling.sum_dw(rest, setting) for rest in _survivors(fitout)), default=0)


def gives_base(fitout: Fitout, setting: Setting, catalog: Catalog) -> int | None:
    """The weakest rest, where it has to carry everything but PoE."""
    if setting.on_supply_loss != "sheds_poe" or not modelling.has_supplies(fitout):
        return None
    return min((modelling.sum_dw(rest, setting) for rest in _survivors(fitout)), default=0)


def gives_poe(fitout: Fitout, setting: Setting, catalog: Catalog) -> int | None:
    """The least row of a PoE table for any rest."""
    if setting.on_supply_loss != "carries_all" or not fitout.unit_type.poe_table:
        return None
    return min((modelling.tabled_dw(fitout.unit_type, rest, setting) for rest in _survivors(fitout)), default=0)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Whichever supply is lost, the rest carries what is asked; the strongest is tried first."""
    if ask.setting.on_supply_loss == "stops":
        return
    input_v, poe = ask.setting.input_v, ask.setting.on_supply_loss == "carries_all"
    for one in units_with_supplies(build, ask, catalog):
        if lack(one, one.supplies, input_v, poe=poe):
            continue  # not even all of them carry it: another rule says so
        order = sorted(one.supplies, key=lambda supply: (output_dw(supply, input_v) or 0, largest_dw(supply)))
        for lost in reversed(order):
            rest = list(one.supplies)
            rest.remove(lost)
            if found := lack(one, rest, input_v, poe=poe):
                what = "everything" if poe else "everything but PoE"
                yield Breach(f"with {lost.id} lost the rest must carry {what} and gives {found}", one.position)
                break


RULE = Rule(
    id="power.supply_loss",
    family="power",
    sentence="When one supply of a unit is lost, the rest carries what the customer asked to survive it.",
    source=COMMON_PRACTICE,
    about=("on_supply_loss", "input_v", "ports", "devices", "uplinks"),
    budgets=(
        *modelling.load_budgets("watts with a supply lost", gives_all),
        Budget("watts without PoE, a supply lost", gives_base, modelling.takes, modelling.draws_without_poe),
        Budget("PoE with a supply lost", gives_poe, modelling.takes_nothing, modelling.draws_poe),
    ),
    explains=("supply",),
    only_if_asked=("on_supply_loss",),
    check=check,
)
