"""A port takes only a role that its group may take, and roles that exclude each other don't meet in a unit.

Why it matters: ports that stack, split or carry the network often share hardware that does one of these.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.fields import Role
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from .. import looking

# the rule's part of the model


def forbids(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """A role the group may not take, or two roles that exclude each other."""
    roles = {(p.group.id, "split" if p.split is not None else "network", p.group.roles) for p in fitout.ports}
    if fitout.stack is not None:
        roles.add((fitout.stack[1].id, "stack", fitout.stack[1].roles))
    if any(role not in may for _, role, may in roles):
        return True
    taken = {(group, role) for group, role, _ in roles}
    pairs = fitout.unit_type.excludes
    return any((one.group, one.role) in taken and (two.group, two.role) in taken for one, two in pairs)


# the check

Place = tuple[str | None, str]  # slot and group


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Notes each group's roles in a unit, then looks them up."""
    for unit in build.units:
        taken = _taken(unit)
        for (slot, name), role in taken:
            group = looking.group_of(unit, slot, name, catalog)
            if group is not None and role not in group.roles:
                may = " or ".join(group.roles)
                yield Breach(f"ports of {name} are in the role {role}, their roles are {may}", unit.position)
        unit_type = looking.type_of(unit, catalog)
        names = {(name, role) for (_, name), role in taken}
        for one, other in unit_type.excludes if unit_type else ():
            if {(one.group, one.role), (other.group, other.role)} <= names:
                text = f"{one.group} in the role {one.role} excludes {other.group} in the role {other.role}"
                yield Breach(text, unit.position)


def _taken(unit: BuiltUnit) -> list[tuple[Place, Role]]:
    """Groups and the roles that their ports take in this unit, each pair once."""
    split = {(s.slot, s.group, s.port) for s in unit.splits}
    taken: list[tuple[Place, Role]] = [((s.slot, s.group), "split") for s in unit.splits]
    if unit.stack_group is not None:
        taken.append(((unit.stack_slot, unit.stack_group), "stack"))
    for use in unit.uses:
        if use.way is None and (use.slot, use.group, use.port) not in split:
            taken.append(((use.slot, use.group), "network"))
    return list(dict.fromkeys(taken))


RULE = Rule(
    id="ports.roles",
    family="ports",
    sentence="A port takes only a role its group may take, and roles that exclude each other don't meet in a unit.",
    source=COMMON_PRACTICE,
    about=("ports", "devices", "uplinks"),
    forbids={"ports": forbids},
    check=check,
)
