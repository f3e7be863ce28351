"""By how much a statement has to give way: its figures, which way is easier, and the demand with another figure."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, replace
from datetime import date, timedelta
from decimal import Decimal
from math import ceil

from configurator.conflicts.relax import SERVED
from configurator.setting import Ask, Setting

EASIER = {
    **dict.fromkeys(
        (
            *("units_at_most", "rack_units_free", "rack_depth_mm", "rack_weight_kg", "noise_db", "heat_w", "ups_va"),
            *("oversubscription", "deliver_by"),
        ),
        1,
    ),
    **dict.fromkeys(
        (
            *("units_at_least", "stacking_mbps", "support_months", "licence_months", "inlet_c", "altitude_m"),
            *("headroom_percent", "headroom_count", "headroom_uplinks_percent", "headroom_uplinks_count"),
            *("headroom_w", "headroom_w_percent", "cord_m", "between_units_m", "depot_km"),
        ),
        -1,
    ),
}
"""Wishes that are one figure: 1 where a larger one asks for less, -1 where a smaller one does."""
OF_SERVED = ("count", "length_m", "poe_class", "powered_at_class", "capable_of_class", "spread_over_units")
"""Figures of what is served; of all of them a smaller one asks for less."""
LEAST = {"count": 1, "units_at_least": 1, "spread_over_units": 1}
FARTHEST = 1_000_000  # no figure of a demand is larger
_SETTING = {field.name for field in fields(Setting)}
_ASK = {field.name for field in fields(Ask)}

Value = int | Decimal | date


@dataclass(frozen=True)
class Figure:
    """One figure of a statement, that may give way in whole steps."""

    key: str  # of the statement
    field: str  # count, length_m, units_at_most …
    said: Value
    easier: int  # 1: more asks for less; -1: less does

    def at(self, steps: int) -> Value:
        """The figure so many whole steps easier; the first step goes to a whole number."""
        if isinstance(self.said, date):
            return self.said + timedelta(days=steps)
        if isinstance(self.said, Decimal):
            whole = ceil(self.said) if self.easier < 0 else int(self.said)
            return Decimal(whole + self.easier * steps)
        return self.said + self.easier * steps

    def most_steps(self) -> int:
        """How many steps there are at most."""
        if self.easier > 0:
            return 3660 if isinstance(self.said, date) else FARTHEST
        assert not isinstance(self.said, date)
        return max(0, ceil(self.said) - LEAST.get(self.field, 0))


def figures(ask: Ask, key: str) -> Iterator[Figure]:
    """The figures of a statement that may give way."""
    if key.startswith(SERVED):
        said = _served(ask, key)
        for field in OF_SERVED:
            value = getattr(said, field, None)
            if isinstance(value, int | Decimal) and value:
                yield Figure(key, field, value, -1)
        return
    value = getattr(ask.stack, key, None)
    if isinstance(value, tuple) and len(value) == 1 and key == "between_units_m":
        value = value[0]
    if key in EASIER and isinstance(value, int | Decimal | date) and not isinstance(value, bool):
        yield Figure(key, key, value, EASIER[key])


def _served(ask: Ask, key: str) -> object:
    name, _, index = key.rstrip("]").partition("[")
    return getattr(ask.stack, name)[int(index)]


def with_figure(ask: Ask, figure: Figure, value: Value) -> Ask:
    """The demand with another figure in one statement."""
    if figure.key.startswith(SERVED):
        name, _, index = figure.key.rstrip("]").partition("[")
        group = list(getattr(ask.stack, name))
        group[int(index)] = group[int(index)].model_copy(update={figure.field: value})
        return replace(ask, stack=ask.stack.model_copy(update={name: tuple(group)}))
    held = (value,) if figure.key == "between_units_m" else value
    changes: dict[str, object] = {"stack": ask.stack.model_copy(update={figure.key: held})}
    if figure.key in _SETTING:
        changes["setting"] = replace(ask.setting, **{figure.key: value})  # type: ignore[arg-type]
    if figure.key in _ASK:
        changes[figure.key] = value
    return replace(ask, **changes)  # type: ignore[arg-type]


def fewest_steps(figure: Figure, possible: Callable[[Value], bool]) -> int | None:
    """The fewest steps with which it is possible, one fewer being impossible; none: however many."""
    most, step = figure.most_steps(), 1
    if not most:
        return None
    while not possible(figure.at(min(step, most))):
        if step >= most:
            return None
        step *= 2
    low, high = step // 2, min(step, most)  # impossible with `low` steps, possible with `high`
    while high - low > 1:
        middle = (low + high) // 2
        if possible(figure.at(middle)):
            high = middle
        else:
            low = middle
    return high
