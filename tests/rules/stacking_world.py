"""Small stacks for the tests of stacking: a family with two stacking ports a unit, cables of 1 m and 3 m."""

from __future__ import annotations

from typing import Any

from configurator.build import Build, BuiltUnit, StackLink
from configurator.catalog import Catalog
from tests.rules.worlds import group, make_catalog, part, unit, unit_type

STACK = group("st", 2, connector="ST", speeds_mbps=[40_000, 80_000], roles=["stack"], face="rear")
ACCESS = group("access", 24)


def cable(number: str, length_m: int | str, **said: Any) -> dict[str, Any]:
    """A stacking cable of 40 Gb/s."""
    own = {"kind": "stacking", "near": "ST", "far": "ST", "speeds_mbps": [40_000]}
    return part(number, length_m=str(length_m), **{**own, **said})


def stacking_type(number: str = "T", *ports: dict[str, Any], **said: Any) -> dict[str, Any]:
    """A unit type with 24 access ports and, unless others are named, two stacking ports."""
    return {**unit_type(ACCESS, *(ports or (STACK,)), **said), "id": number}


def family(number: str = "F", **said: Any) -> dict[str, Any]:
    """A family of which eight units stack."""
    return {"id": number, "largest_stack": 8, **said}


def catalog(*types: dict[str, Any], **parts: Any) -> Catalog:
    """A catalog of these types, or of one, with family F and two cables."""
    own: dict[str, Any] = {"families": [family()], "cables": [cable("C1", 1), cable("C3", 3)]}
    return make_catalog(unit_types=types or (stacking_type(),), **{**own, **parts})


def member(position: int, number: str = "T", **said: Any) -> BuiltUnit:
    """A unit that stacks through its first two stacking ports."""
    own = {"position": position, "unit_type": number, "stack_group": "st", "stack_ports": (1, 2)}
    return unit(**{**own, **said})


def link(from_unit: int, to_unit: int, *parts: str, way_m: str | None = None, **said: Any) -> StackLink:
    """A link over a cable of 3 m, of units one upon the other unless the way is said: 44.45 mm a unit and 0.3 m."""
    way = way_m or f"{abs(to_unit - from_unit) * 4445 + 30_000:06}"
    own = {"way_m": way_m or f"{way[:-5]}.{way[-5:]}", "speed_mbps": 40_000, "parts": parts or ("C3",)}
    return StackLink.model_validate({"from_unit": from_unit, "to_unit": to_unit, **own, **said})


def stack(units: int | list[BuiltUnit], topology: str | None, *links: StackLink) -> Build:
    """These units, or so many of type T, with these links."""
    members = [member(position) for position in range(1, units + 1)] if isinstance(units, int) else units
    return Build.model_validate({"stack": "closet", "topology": topology, "units": members, "links": links})


def ring(units: int | list[BuiltUnit]) -> Build:
    """A ring of three or more, from neighbour to neighbour and back."""
    count = units if isinstance(units, int) else len(units)
    return stack(units, "ring", *(link(position, position % count + 1) for position in range(1, count + 1)))


def alone(**said: Any) -> Build:
    """One unit that stacks with none."""
    return Build.model_validate({"stack": "closet", "units": [unit(**said)]})
