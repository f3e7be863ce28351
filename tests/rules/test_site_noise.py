"""The A-weighted sound power of all units together is within what the room allows."""

from __future__ import annotations

import pytest

from configurator.build import Build
from configurator_rules.site.noise import RULE
from tests.rules.closet_world import shares
from tests.rules.worlds import breaches, build, group, make_ask, make_catalog, unit, unit_type

LEVELS = {"T": "50", "LOUD": "60.0", "QUIET": "40.4"}
TYPES = [unit_type(group("access", 24), id=name, noise_db=level) for name, level in LEVELS.items()]
CATALOG = make_catalog(unit_types=[*TYPES, unit_type(group("access", 24), id="UNKNOWN")])


def standing(*types: str) -> Build:
    """A stack of units of these types."""
    return build(*(unit(position=n, unit_type=name) for n, name in enumerate(types, start=1)))


@pytest.mark.parametrize(
    ("types", "allowed_db"),
    [
        (["T"], "50"),  # exactly at the limit
        (["T", "T"], "53.1"),  # 53.01 dB
        (["T"] * 10, "60"),  # ten alike are 10 dB louder
        (["LOUD", "T"], "60.5"),  # 60.41 dB
        (["LOUD", "QUIET"], "60.1"),  # 60.05 dB
        (["T", "UNKNOWN"], "50"),
        (["UNKNOWN"], "0.1"),
    ],
)
def test_levels_add_as_powers(types: list[str], allowed_db: str) -> None:
    assert breaches(RULE, standing(*types), make_ask(noise_db=allowed_db), CATALOG) == []


@pytest.mark.parametrize(
    ("types", "allowed_db", "together_db"),
    [
        (["T"], "49.9", "50"),
        (["T", "T"], "53", "53.01"),
        (["T"] * 10, "59.9", "60"),
        (["LOUD", "T"], "60.4", "60.41"),
        (["LOUD", "QUIET"], "60", "60.05"),
    ],
)
def test_too_loud_together(types: list[str], allowed_db: str, together_db: str) -> None:
    assert breaches(RULE, standing(*types), make_ask(noise_db=allowed_db), CATALOG) == [
        f"the units make {together_db} dB together, {allowed_db} dB are allowed"
    ]


def test_where_nothing_is_said_any_noise_will_do() -> None:
    assert breaches(RULE, standing("LOUD", "LOUD"), make_ask(), CATALOG) == []


def test_a_catalog_without_levels_is_free_of_the_rule() -> None:
    assert RULE.applies(CATALOG)
    assert not RULE.applies(make_catalog(unit_types=[unit_type(group("access", 24))]))


def test_stacks_of_one_closet_share_it() -> None:
    """What is enough for one is not for two."""
    shares("site.noise")
