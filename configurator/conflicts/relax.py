"""Setting statements aside: the same demand without some of what it says."""

from __future__ import annotations

from dataclasses import fields, replace

from configurator.kinds import said_by
from configurator.setting import Ask, Setting

SERVED = ("ports[", "devices[", "uplinks[")
# Set aside, these would ask for more, not less: an unknown voltage counts as the worst one.
KEPT = ("input_v", "order_date", "stack_fibre", "blank_panels")
OPEN = ("topology", "two_unit_links")  # where nothing is said a rule decides; set aside, nothing does
# What a statement of the demand sets in `Setting`, where the names differ.
SETTING_OF = {"circuit": ("circuit_amps", "circuit_share_percent", "circuit_shared")}
_DEFAULTS = {field.name: field.default for field in fields(Setting)}


def without(ask: Ask, keys: frozenset[str]) -> Ask:
    """The demand without the statements with these keys.

    What is set aside asks for nothing: no ports are wanted for it, or any value will do.
    """
    served = frozenset(key for key in keys if key.startswith(SERVED))
    setting: dict[str, object] = {}
    wishes: dict[str, object] = {}
    changes: dict[str, object] = {}
    for key in keys - served:
        for name in SETTING_OF.get(key, (key,)):
            if name in _DEFAULTS and name != "order_date":
                setting[name] = _DEFAULTS[name]
        if key in type(ask.stack).model_fields:
            wishes[key] = None
        if key in ("topology", "two_unit_links", "outlets"):
            changes[key] = None
        if key in ("headroom_percent", "headroom_count", "headroom_uplinks_percent", "headroom_uplinks_count"):
            changes[key] = 0
        if key == "headroom_draws":
            changes[key] = False
        if key == "outlets":
            setting["outlet_plugs"] = ()
    relaxed = replace(
        ask,
        stack=ask.stack.model_copy(update=wishes) if wishes else ask.stack,
        setting=replace(ask.setting, **setting) if setting else ask.setting,  # type: ignore[arg-type]
        dropped=ask.dropped | served | keys.intersection(OPEN),
        **changes,  # type: ignore[arg-type]
    )
    if served and ask.setting.port_features:  # what only ports set aside ask for, nobody does
        left = tuple(sorted({feature for _, said in said_by(relaxed) for feature in said.features}))
        relaxed = replace(relaxed, setting=replace(relaxed.setting, port_features=left))
    return relaxed


def droppable(ask: Ask) -> tuple[str, ...]:
    """Statements that can be set aside and then change something, assumptions first."""
    keys = [k for k in ask.statements if k not in KEPT and without(ask, frozenset([k])) != ask]
    return tuple(sorted(keys, key=lambda key: (not ask.statements[key].assumed, key.startswith(SERVED), key)))
