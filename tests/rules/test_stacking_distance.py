"""No stacking link is longer than its units allow."""

from __future__ import annotations

from typing import Any

import pytest

from configurator.build import Build, BuiltUnit
from configurator.catalog import Catalog
from tests.rules.power_world import found
from tests.rules.stacking_world import cable, catalog, family, link, member, stack, stacking_type
from tests.rules.worlds import make_ask

RULE = "stacking.distance"
LONG = [cable("C3", 30)]


def chain(*ways: str, units: list[BuiltUnit] | None = None) -> Build:
    """A chain with these ways from neighbour to neighbour."""
    links = [link(position, position + 1, way_m=way) for position, way in enumerate(ways, start=1)]
    return stack(units or len(ways) + 1, "chain", *links)


def at_most(longest_link_m: str | None, *types: dict[str, Any], **said: Any) -> Catalog:
    """Family F, whose links are at most so long."""
    own = family(longest_link_m=longest_link_m, topologies=["chain"], **said)
    return catalog(*types, families=[own], cables=LONG)


def test_units_one_upon_the_other_are_a_rack_unit_apart() -> None:
    """44.45 mm (EIA-310) and 0.3 m of slack are 0.34445 m."""
    assert found(chain("0.34445"), make_ask(), at_most("0.345")) == {}
    assert found(chain("0.34445"), make_ask(), at_most("0.344")) == {
        RULE: ["the way between units 1 and 2 is 0.34445 m, F stacks over at most 0.344 m"]
    }


def test_the_tallest_type_of_the_family_sets_units_apart() -> None:
    """A type of two rack units in the family makes 88.9 mm and 0.3 m, although no unit is one."""
    tall = (stacking_type(), stacking_type("TALL", rack_units=2))
    assert found(chain("0.3889"), make_ask(), at_most("0.4", *tall)) == {}
    assert found(chain("0.3889"), make_ask(), at_most("0.388", *tall)) == {
        RULE: ["the way between units 1 and 2 is 0.3889 m, F stacks over at most 0.388 m"]
    }


def test_rack_positions_set_units_apart() -> None:
    """From position 40 down to 10 are 30 times 44.45 mm and 0.3 m: 1.6335 m."""
    ask = make_ask(rack_positions=[40, 10, 9])
    assert found(chain("1.6335", "0.34445"), ask, at_most("1.634")) == {}
    assert found(chain("1.6335", "0.34445"), ask, at_most("1.633")) == {
        RULE: ["the way between units 1 and 2 is 1.6335 m, F stacks over at most 1.633 m"]
    }


def test_slack_is_the_familys() -> None:
    """44.45 mm and 1 m of slack."""
    assert found(chain("1.04445"), make_ask(), at_most("1.045", routing_slack_m=1)) == {}
    assert list(found(chain("1.04445"), make_ask(), at_most("1.044", routing_slack_m=1))) == [RULE]


def test_stated_distances_hold_their_slack() -> None:
    """10 m and 20 m between neighbours are the ways, and 10 m for all are as well."""
    assert found(chain("10", "20"), make_ask(between_units_m=[10, 20]), at_most("20")) == {}
    assert found(chain("10", "10"), make_ask(between_units_m=[10]), at_most("10")) == {}
    assert found(chain("10", "20"), make_ask(between_units_m=[10, 20]), at_most("19.5")) == {
        RULE: ["the way between units 2 and 3 is 20 m, F stacks over at most 19.5 m"]
    }


@pytest.mark.parametrize(("between", "way"), [([10, 20], "30"), ([10], "20")])
def test_distances_add_up_along_the_line(between: list[int], way: str) -> None:
    """From the first unit to the third it is as far as from the first to the second to the third."""
    links = [link(1, 2, way_m="10"), link(2, 3, way_m=str(between[-1])), link(3, 1, way_m=way)]
    ring = stack(3, "ring", *links)
    ask = make_ask(between_units_m=between)
    assert found(ring, ask, catalog(families=[family(longest_link_m=way)], cables=LONG)) == {}
    assert found(ring, ask, catalog(families=[family(longest_link_m="19.9")], cables=LONG))[RULE][-1] == (
        f"the way between units 3 and 1 is {way} m, F stacks over at most 19.9 m"
    )


def test_every_member_family_counts() -> None:
    """Family F stacks over 10 m, family G over 3 m; the longer slack of the two is taken."""
    families = [
        family("F", stacks_with=["G"], longest_link_m=10, topologies=["chain"]),
        family("G", stacks_with=["F"], longest_link_m=3, topologies=["chain"], routing_slack_m=3),
    ]
    mixed = catalog(stacking_type(), stacking_type("NEW", family="G"), families=families, cables=LONG)
    build = chain("3.04445", units=[member(1), member(2, "NEW")])
    assert found(build, make_ask(), mixed) == {
        RULE: ["the way between units 1 and 2 is 3.04445 m, G stacks over at most 3 m"]
    }


def test_a_build_tells_the_true_way() -> None:
    """Ten rack units and slack are 0.7445 m; a build may round to less than a millimetre, and not say 0.5 m."""
    ask = make_ask(rack_positions=[20, 10])
    assert found(chain("0.7445"), ask, at_most(None)) == {}
    assert found(chain("0.744"), ask, at_most(None)) == {}
    assert list(found(chain("0.7435"), ask, at_most(None))) == [RULE]
    assert found(chain("0.5"), ask, at_most(None)) == {
        RULE: ["the way between units 1 and 2 is 0.7445 m, the build says 0.5 m"]
    }
