"""The rules that make a conflict one: those without which, one at a time, its statements could hold."""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from configurator.book import Book
from configurator.conflicts.frame import Frames
from configurator.conflicts.listening import outspoken
from configurator.rule import Rule
from configurator.setting import Ask

if TYPE_CHECKING:
    from configurator.conflicts.conflict import Explainer

LIKELY = frozenset(
    ("limits", "arranges", "spreads", "port_holds", "port_serves", "port_takes", "plug_serves", "port_splits", "agrees")
)
"""Forms of rules that often make a conflict one, or that look at each other: asked about one by one."""


def blocking(explainer: Explainer, core: Ask, named: Iterable[str]) -> frozenset[str]:
    """Rules, by id, without one of which the statements could hold; those `named` are known to matter.

    Only rules that said anything while the model was built are tried.  With fewer rules nothing is
    harder to meet, so that several are tried at once: where not even that helps, none of them does.
    """
    heard = outspoken(explainer.rules, explainer.catalog, core)
    tried = [rule for rule in explainer.rules if rule.id in heard and rule.id not in frozenset(named)]
    found: set[str] = set()
    for group in _groups(tried, heard):
        if len(group) == 1 or not _impossible_without(explainer, group, core):
            found.update(rule.id for rule in group if _alone_forbids(explainer, rule, core))
    return frozenset(found)


def _groups(rules: list[Rule], heard: Mapping[str, set[str]]) -> list[list[Rule]]:
    """Rules to be tried at once: no two that spoke in one form, since what these let in multiplies."""
    alone = [[rule] for rule in rules if heard[rule.id] & LIKELY]
    groups: list[tuple[list[Rule], set[str]]] = []
    for rule in rules:
        if not (says := heard[rule.id]) & LIKELY:
            members, forms = next((one for one in groups if not one[1] & says), ([], set[str]()))
            if not members:
                groups.append((members, forms))
            members.append(rule)
            forms |= says
    return alone + [members for members, _ in groups]


def _impossible_without(explainer: Explainer, group: list[Rule], core: Ask) -> bool:
    """Whether the statements can't hold though none of these rules is there."""
    if time.monotonic() > explainer.deadline:
        return False
    rest = tuple(rule for rule in explainer.rules if all(rule is not one for one in group))
    return Frames(Book(rest, explainer.catalog), core).search(core, explainer.deadline)[0] == "impossible"


def _alone_forbids(explainer: Explainer, rule: Rule, core: Ask) -> bool:
    """Whether the statements could hold if this one rule were not."""
    if time.monotonic() > explainer.deadline:
        return False
    rest = tuple(other for other in explainer.rules if other is not rule)
    status, search = Frames(Book(rest, explainer.catalog), core).search(core, explainer.deadline)
    # a rule without which nothing at all is served only says that what is asked is asked
    return status not in ("impossible", "unknown") and search.serves
