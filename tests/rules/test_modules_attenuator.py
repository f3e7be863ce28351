"""Where a way is too short for an optic's light, each receiver has an attenuator that takes enough off."""

from __future__ import annotations

from typing import Any

from configurator.build import Build
from configurator_rules.modules.attenuator import RULE
from configurator_rules.modules.reach import RULE as REACH
from tests.rules.worlds import (
    breaches,
    build,
    cage,
    make_ask,
    make_catalog,
    optic,
    part,
    split,
    unit,
    unit_type,
    uplink,
    use,
)


def far_reaching(number: str, short_db: str | None, **said: Any) -> dict[str, Any]:
    """An optic for 2 to 40 km; its shortest way and what to take off below it are invented."""
    row = {"fibre": "OS2", "max_m": 40_000, "min_m": 2_000, "short_db": short_db}
    return optic(number, **{"reaches": [row], **said})


TWO = [
    {"fibre": "OS1", "max_m": 10_000, "min_m": 500, "short_db": "3"},
    {"fibre": "OS2", "max_m": 10_000, "min_m": 1000, "short_db": "7.5"},
]
CATALOG = make_catalog(
    unit_types=[unit_type(cage("up", 4))],
    optics=[
        far_reaching("ER", "5"),
        far_reaching("BARE", None),
        optic("TWO", reaches=TWO),
        far_reaching("DOWN", "5", fibres=1, pairs_with="UP"),
        far_reaching("UP", "10", fibres=1, pairs_with="DOWN"),
    ],
    attenuators=[
        part("DB3", connector="LC", loss_db=3),
        part("DB5", connector="LC", loss_db=5),
        part("DB10", connector="LC", loss_db=10),
        part("SC5", connector="SC", loss_db=5),
    ],
)


def lit(plugs: list[str], attenuators: dict[str, int], statement: str = "uplinks[0]") -> Build:
    """A unit with these optics in its ports, and these attenuators along."""
    along = [{"slot": "attenuator", "part": p, "count": n, "statement": statement} for p, n in attenuators.items()]
    return build(unit(*(uplink("up", n, plug) for n, plug in enumerate(plugs, start=1))), along=along)


def wrong(plugs: list[str], attenuators: dict[str, int], **said: Any) -> list[str]:
    """What is wrong with these optics over 300 m, and these attenuators."""
    link = {"count": 1, "speed_mbps": "10G", "over": "fibre", "fibre": "OS2", "length_m": 300, **said}
    one, ask = lit(plugs, attenuators), make_ask(uplinks=[link])
    assert breaches(REACH, one, ask, CATALOG) == []
    return breaches(RULE, one, ask, CATALOG)


def test_each_receiver_has_one_that_takes_enough_off() -> None:
    assert wrong(["ER", "ER"], {"DB5": 1, "DB10": 1}) == []


def test_too_few_too_weak_or_of_another_connector() -> None:
    lacks = "uplinks[0]: 1 of 1 receivers of ER lack an attenuator (LC, 5 dB or more), there are: "
    assert wrong(["ER"], {}) == [lacks + "none"]
    assert wrong(["ER"], {"DB3": 2}) == [lacks + "2 of DB3"]
    assert wrong(["ER"], {"SC5": 1}) == [lacks + "1 of SC5"]
    assert wrong(["ER", "ER"], {"DB5": 1}) == [
        "uplinks[0]: 1 of 2 receivers of ER lack an attenuator (LC, 5 dB or more), there are: 1 of DB5"
    ]


def test_a_way_of_the_shortest_length_needs_none() -> None:
    assert wrong(["ER"], {}, length_m=2000) == []
    assert wrong(["ER"], {}, length_m="1999.9") != []


def test_the_partner_has_its_own() -> None:
    """Both ends are ordered: 5 dB before one receiver, 10 dB before that of the opposite wavelength."""
    both = {"ends": "both", "single_fibre": True}
    assert wrong(["DOWN"], {"DB5": 1, "DB10": 1}, **both) == []
    assert wrong(["DOWN"], {"DB5": 2}, **both) == [
        "uplinks[0]: 1 of 1 receivers of UP lack an attenuator (LC, 10 dB or more), there are: 2 of DB5"
    ]
    assert wrong(["DOWN"], {"DB5": 1}, single_fibre=True) == []


def test_where_no_fibre_is_named_it_is_enough_for_each() -> None:
    """OS1 asks 3 dB and OS2 7.5 dB below their shortest ways; at 700 m OS1 asks none."""
    assert wrong(["TWO"], {"DB10": 1}, fibre=None) == []
    assert wrong(["TWO"], {"DB3": 1}, fibre="OS1") == []
    assert wrong(["TWO"], {}, fibre="OS1", length_m=700) == []
    assert wrong(["TWO"], {"DB5": 1}, fibre=None, length_m=700) == [
        "uplinks[0]: 1 of 1 receivers of TWO lack an attenuator (LC, 7.5 dB or more), there are: 1 of DB5"
    ]


def test_ports_over_fibre_too() -> None:
    ask = make_ask(ports=[{"count": 1, "speed_mbps": "10G", "over": "OS2", "length_m": 100}])
    one = build(unit(use("up", 1, "ports[0]", speed_mbps=10_000, plug="ER")))
    assert breaches(RULE, one, ask, CATALOG) == [
        "ports[0]: 1 of 1 receivers of ER lack an attenuator (LC, 5 dB or more), there are: none"
    ]


def test_attenuators_of_another_statement_dont_count() -> None:
    ask = make_ask(uplinks=[{"count": 1, "speed_mbps": "10G", "over": "fibre", "fibre": "OS2", "length_m": 300}])
    assert len(breaches(RULE, lit(["ER"], {"DB5": 1}, "uplinks[1]"), ask, CATALOG)) == 1


def test_an_optic_that_may_not_be_weakened_is_refused_by_its_reach() -> None:
    ask = make_ask(uplinks=[{"count": 1, "speed_mbps": "10G", "over": "fibre", "fibre": "OS2", "length_m": 300}])
    one = lit(["BARE"], {"DB10": 1})
    assert breaches(RULE, one, ask, CATALOG) == []
    assert breaches(REACH, one, ask, CATALOG) == [
        "unit 1: port 1 of up, uplinks[0]: BARE carries 2000 to 40000 m over OS2, the way is 300 m"
    ]


def test_a_split_optic_is_no_end_of_a_link() -> None:
    ask = make_ask(uplinks=[{"count": 1, "speed_mbps": "10G", "over": "fibre", "fibre": "OS2", "length_m": 300}])
    one = build(unit(uplink("up", 1, "ER", way=1), splits=[split("up", 1, "ER", "FAN")]))
    assert breaches(RULE, one, ask, CATALOG) == []


def test_a_catalog_that_states_no_weakening_is_free_of_it() -> None:
    assert RULE.applies(CATALOG)
    assert not RULE.applies(make_catalog(optics=[far_reaching("BARE", None)]))
