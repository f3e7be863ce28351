"""All units of a stack run one software release, which has every feature asked."""

from __future__ import annotations

from configurator.build import Agreed, Build
from configurator_rules.licences.release import RULE
from tests.rules.service_world import feature, told, typed, world
from tests.rules.worlds import build, make_ask, make_catalog, unit

CATALOG = world(
    typed("OLD", releases=["7.1", "7.2"]),
    typed("NEW", releases=["7.2", "8.1"]),
    typed("LAST", releases=["8.1", "9.0"]),
    typed("ANY"),
    features=[feature("sensing", releases=["8.1", "9.0"]), feature("routing")],
)


def stack(*types: str, release: str | None = None) -> Build:
    """Units of these types, running this release."""
    agreed = [Agreed(topic="release", choice=release)] if release is not None else []
    return build(*(unit(position=n, unit_type=t) for n, t in enumerate(types, start=1)), agreed=agreed)


def test_a_release_that_all_units_run() -> None:
    """Types that list none run any; where the stack's isn't named, there has to be one."""
    assert told(RULE, stack("OLD", "NEW", "ANY", release="7.2"), make_ask(), CATALOG) == []
    assert told(RULE, stack("OLD", "NEW", "ANY"), make_ask(), CATALOG) == []
    assert told(RULE, stack("ANY", release="1.0"), make_ask(), CATALOG) == []


def test_a_release_that_has_the_feature() -> None:
    assert told(RULE, stack("NEW", "LAST", release="8.1"), make_ask(features=["sensing", "routing"]), CATALOG) == []


def test_a_release_that_is_none_of_some_units() -> None:
    assert told(RULE, stack("OLD", "NEW", release="8.1"), make_ask(), CATALOG) == [
        "unit 1: release 8.1 is none of those of OLD (7.1, 7.2)"
    ]


def test_units_without_a_common_release() -> None:
    assert told(RULE, stack("OLD", "LAST", "LAST"), make_ask(), CATALOG) == [
        "no release is all units' and has all features (those of OLD: 7.1, 7.2; those of LAST: 8.1, 9.0)"
    ]


def test_a_release_without_the_feature() -> None:
    """Whether the stack asks for it or a port does."""
    text = "release 7.2 is none of those with sensing (8.1, 9.0)"
    assert told(RULE, stack("NEW", release="7.2"), make_ask(features=["sensing"]), CATALOG) == [text]
    of_ports = make_ask(ports=[{"count": 1, "features": ["sensing"]}])
    assert told(RULE, stack("NEW", release="7.2"), of_ports, CATALOG) == [text]


def test_the_release_asked() -> None:
    ask = make_ask(release="8.1")
    assert told(RULE, stack("NEW", release="8.1"), ask, CATALOG) == []
    assert told(RULE, stack("NEW"), ask, CATALOG) == []
    assert told(RULE, stack("NEW", release="7.2"), ask, CATALOG) == ["the stack runs release 7.2, 8.1 is asked"]
    assert told(RULE, stack("OLD"), ask, CATALOG) == ["unit 1: release 8.1 is none of those of OLD (7.1, 7.2)"]


def test_a_catalog_without_releases_is_free_of_the_rule() -> None:
    assert not RULE.applies(make_catalog(features=[feature("routing")]))
