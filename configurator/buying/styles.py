"""Ways to buy the same units: in bundles, as base units with loose parts, or whichever is cheaper."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from configurator.buying.comparison import Style
from configurator.catalog import Catalog
from configurator.demand import TypeBoughtAs
from configurator.parts import Box
from configurator.reading import Asked
from configurator.setting import Ask, Statement

WHOLE, BY_TYPE = "bought_as", "bought_as_by_type"
NAMES: dict[str, str] = {
    "bundles": "bundles only",
    "base_units": "base units and parts only",
    "either": "free mix",
    "asked": "as asked",
}


def is_bundle(box: Box) -> bool:
    """Whether a box holds more than a unit, or its catalog says that it is a bundle."""
    return bool(box.contents) if box.bundle is None else box.bundle


def bundles_of(catalog: Catalog) -> list[Box]:
    """Every bundle, by part number."""
    return [box for box in catalog.parts.boxes if is_bundle(box)]


def says_how(asked: Asked) -> bool:
    """Whether a demand restricts how some stack's units are bought."""
    return any(
        style != "either"
        for ask in asked.asks
        for style in (ask.setting.bought_as, *(one.bought_as for one in ask.setting.bought_as_by_type))
    )


def in_style(asked: Asked, style: Style) -> Asked:
    """The demand with every unit bought in one style, whatever it says of that itself."""
    return replace(asked, asks=tuple(bought(ask, style, ()) for ask in asked.asks))


def of_type(asked: Asked, unit_type: str, style: Style) -> Asked:
    """The demand with the units of one type bought in one style, and all else as it says."""
    return replace(asked, asks=tuple(_of_type(ask, unit_type, style) for ask in asked.asks))


def _of_type(ask: Ask, unit_type: str, style: Style) -> Ask:
    others = (one for one in ask.setting.bought_as_by_type if one.unit != unit_type)
    return bought(ask, ask.setting.bought_as, (*others, TypeBoughtAs(unit=unit_type, bought_as=style)))


def bought(ask: Ask, style: Style, by_type: Iterable[TypeBoughtAs]) -> Ask:
    """A stack bought in a style; what it is asked to be is a statement, so that a conflict can name it."""
    each = tuple(by_type)
    statements = {key: one for key, one in ask.statements.items() if key not in (WHOLE, BY_TYPE)}
    if style != "either":
        own = ask.statements.get(WHOLE)
        same = own is not None and ask.setting.bought_as == style
        statements[WHOLE] = own if same and own is not None else Statement(WHOLE, f"{WHOLE}: {style}")
    if each:
        own, same = ask.statements.get(BY_TYPE), each == ask.setting.bought_as_by_type
        words = ", ".join(f"unit {one.unit} {WHOLE} {one.bought_as}" for one in each)
        statements[BY_TYPE] = own if same and own is not None else Statement(BY_TYPE, f"{BY_TYPE}: {words}")
    wishes = {WHOLE: style, BY_TYPE: each or None}
    return replace(
        ask,
        stack=ask.stack.model_copy(update=wishes),
        setting=replace(ask.setting, bought_as=style, bought_as_by_type=each),
        statements=statements,
    )
