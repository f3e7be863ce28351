"""Licences and support in catalogs and demands: what can't be meant, and what is assumed."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import date

from configurator.catalog import Catalog
from configurator.demand import AccessPorts, Demand, Devices, Stack, Uplinks, Wishes
from configurator.errors import Problem
from configurator.months import months_on
from configurator.parts import Parts
from configurator.reading.assumptions import Assumed
from configurator.reading.sheet import Sheet
from configurator.reading.words import Path, did_you_mean, listed, shown

ASKING = ("support_level", "support_months", "support_until")
"""Wishes by which support is asked at all."""
OF_SUPPORT = ("optics_covered", "failed_parts_kept", "depot_km")
"""Wishes about the support that is asked."""

# --- catalogs -------------------------------------------------------------------------------------


def contradictions(sheet: Sheet, parts: Parts) -> Iterator[Problem]:
    """Entries about features and contracts that are well-formed and can't be meant."""
    run = {release for unit_type in parts.unit_types for release in unit_type.releases}
    if all(unit_type.releases for unit_type in parts.unit_types):
        for n, feature in enumerate(parts.features):
            for r, release in enumerate(feature.releases):
                if release not in run:
                    hint = did_you_mean(release, run, f"known are: {listed(sorted(run))}")
                    text = f"no unit type runs release {shown(release)}"
                    yield sheet.problem(("features", n, "releases", r), text, hint)
    for n, contract in enumerate(parts.support):
        if contract.covers_parts and contract.covers_optics:
            text = "a contract of parts covers what it lists, and covers_optics is of contracts of units"
            yield sheet.problem(("support", n, "covers_optics"), text, "take the line out", on_key=True)


# --- demands --------------------------------------------------------------------------------------


def slips(sheet: Sheet, demand: Demand, merged: tuple[Stack, ...], catalog: Catalog, on: date) -> Iterator[Problem]:
    """What a demand says about features and support and can't mean."""
    places: list[tuple[Path, Wishes]] = [(("defaults",), demand.defaults)]
    places += [(("stacks", n), stack) for n, stack in enumerate(demand.stacks)]
    anywhere = any(_asks(stack) for stack in merged)
    for at, wishes in places:
        yield from _names(sheet, at, wishes, catalog)
        yield from _of_support(sheet, at, wishes, catalog, on, anywhere)
    for n, stack in enumerate(merged):
        until, months = stack.support_until, stack.support_months
        if until is not None and months is not None and months_on(on, months) > until:
            keys = ("support_until", "support_months")
            spots: list[Path] = [("stacks", n, key) for key in keys if getattr(demand.stacks[n], key) is not None]
            text = f"{months} months of support last until {months_on(on, months)}, and it is to end on {until}"
            yield sheet.problem(
                (*spots, ("defaults", keys[0]))[0], text, "state one of support_months and support_until"
            )


def _asks(wishes: Wishes) -> bool:
    return any(getattr(wishes, key) is not None for key in ASKING)


def _names(sheet: Sheet, at: Path, wishes: Wishes, catalog: Catalog) -> Iterator[Problem]:
    """Features, levels and releases that the catalog doesn't know."""
    parts = catalog.parts
    features = {feature.id for feature in parts.features}
    asked = [((*at, "features", n), name) for n, name in enumerate(wishes.features or ())]
    if isinstance(wishes, Stack):
        for group in ("ports", "devices", "uplinks"):
            for s, said in enumerate(getattr(wishes, group)):
                asked += [((*at, group, s, "features", n), name) for n, name in enumerate(said.features)]
    for path, name in asked:
        yield from _known(sheet, path, name, features, "feature")
    levels = {level.id for level in parts.support_levels} | {contract.level for contract in parts.support}
    if wishes.support_level is not None and parts.support:
        yield from _known(sheet, (*at, "support_level"), wishes.support_level, levels, "level of support")
    run = {release for unit_type in parts.unit_types for release in unit_type.releases}
    if any(not unit_type.releases for unit_type in parts.unit_types):  # one that lists none runs any
        run |= {release for feature in parts.features for release in feature.releases}
    if wishes.release is not None and run:
        yield from _known(sheet, (*at, "release"), wishes.release, run, "release of a unit type")


def _known(sheet: Sheet, path: Path, name: str, known: Collection[str], what: str) -> Iterator[Problem]:
    if name not in known:
        otherwise = f"known are: {listed(sorted(known))}" if known else f"it knows no {what} at all: take it out"
        yield sheet.problem(
            path, f"{shown(name)} is no {what} that this catalog knows", did_you_mean(name, known, otherwise)
        )


def _of_support(
    sheet: Sheet, at: Path, wishes: Wishes, catalog: Catalog, on: date, anywhere: bool
) -> Iterator[Problem]:
    """Support that can't be had, that ends before it begins, or that nobody asks for."""
    key = next((key for key in ASKING if getattr(wishes, key) is not None), None)
    if key is not None and not catalog.parts.support:
        text = "support is asked, and this catalog has no contracts"
        yield sheet.problem((*at, key), text, "take the line out, or add contracts to the catalog", on_key=True)
    if wishes.support_until is not None and wishes.support_until <= on:
        text = f'"{wishes.support_until}" is not after the order date, {on}'
        yield sheet.problem((*at, "support_until"), text, "write a later day")
    for key in OF_SUPPORT:
        if getattr(wishes, key) not in (None, False) and not anywhere:
            text = f"{key} tells about support, and nothing asks for any"
            hint = f"add support_level, support_months or support_until, or leave {key} out"
            yield sheet.problem((*at, key), text, hint, on_key=True)


def assumed_services(stack: Stack, catalog: Catalog) -> Iterator[Assumed]:
    """Wishes about licences and support that nobody stated, where they change what is ordered."""
    yield from _of_licences(stack, catalog)
    contracts = catalog.parts.support
    if not contracts:
        return
    if not _asks(stack):
        yield Assumed("support_level", "none", "no support asked: none is ordered")
        return
    if stack.support_level is None and len({contract.level for contract in contracts}) > 1:
        yield Assumed("support_level", "any", "any level of support will do")
    if stack.support_months is None and stack.support_until is None:
        yield Assumed("support_months", "any", "support of any term will do")
    of_units = [contract for contract in contracts if not contract.covers_parts]
    if stack.optics_covered is None and catalog.parts.optics and not all(one.covers_optics for one in of_units):
        yield Assumed("optics_covered", "no", "support may leave optics out")
    if stack.failed_parts_kept is None and any(contract.keeps_failed_parts for contract in contracts):
        yield Assumed("failed_parts_kept", "no", "failed parts may be taken back")
    if stack.depot_km is None and any(contract.within_km is not None for contract in contracts):
        yield Assumed("depot_km", "near", "the site is near enough to a depot for every contract")


def _of_licences(stack: Stack, catalog: Catalog) -> Iterator[Assumed]:
    """The term of licences that end, and the release, where either is open."""
    said: list[AccessPorts | Devices | Uplinks] = [*stack.ports, *stack.devices, *stack.uplinks]
    asked = {*(stack.features or ()), *(feature for one in said for feature in one.features)}
    needed = {name for unit_type in catalog.parts.unit_types for name in unit_type.subscriptions}
    ending = [one for one in catalog.parts.licences if one.term_months is not None]
    if stack.licence_months is None and any(one.id in needed or asked.intersection(one.features) for one in ending):
        yield Assumed("licence_months", "any", "licences that end: any term will do")
    if stack.release is None and any(unit_type.releases for unit_type in catalog.parts.unit_types):
        yield Assumed("release", "any", "any software release that all units of a stack run will do")
