"""A check takes any build: what it can't see it skips, and it never falls over."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from configurator.build import Build
from configurator_rules import RULES
from tests.rules.power_world import ACCESS, FAMILIES, powered_type, supply, world
from tests.rules.worlds import cage, group, make_ask, optic, part, twinax

CATALOG = world(
    powered_type(
        60,
        "PS",
        ports=(ACCESS, cage("up", 2, roles=["network", "split", "stack"], stack_reserve_w=2)),
        poe_table=[{"supplies": ["PS"], "poe_w": 90}],
        fan_bays={"takes": ["FAN"], "by_supplies": [1]},
        module_slots=[{"id": "S", "takes": ["M"]}],
    ),
    supply("PS", (100, 240, 500), inlet="C14", airflow="front-to-back"),
    families=[{"id": "F", "largest_stack": 4, "longest_link_m": 3}],
    fan_trays=[part("FAN", airflow="back-to-front")],
    modules=[part("M", ports=[group("m", 2)])],
    optics=[optic("SR")],
    cables=[twinax("DAC", 3), twinax("SPLIT", 3, ways=4)],
    fibre_cables=[part("LEAD", fibre="OM4", length_m=3, near="LC", far="LC")],
    stack_adapters=[part("CARD", unit_types=["T"])],
    cords=[part("CORD", countries=["DE"], coupler="C13", plug="CEE 7/7", rating_a=10, length_m=2)],
    couplers=[{"connector": "C13", "inlets": ["C14"], "rating_a": 10}],
)
ASK = make_ask(
    ports=[{"count": 2, "powered_at_class": 4}],
    devices=[{"kind": "camera", "count": 2, "device_w": 99}],
    uplinks=[{"count": 2, "speed_mbps": "10G"}],
    on_supply_loss="carries_all",
    on_feed_loss="carries_all",
    airflow="front-to-back",
    country="DE",
    input_v=230,
    circuit={"amps": 10},
    outlets=[{"plug": "CEE 7/7", "count": 1}],
    rack_positions=[1, 2, 3],
    stack_fibre="OM4",
    topology="ring",
)

NUMBERS = st.integers(-2, 5)
IDS = st.sampled_from(["T", "PS", "FAN", "M", "SR", "DAC", "SPLIT", "LEAD", "CARD", "CORD", "S", "F", "nobody"])
GROUPS = st.sampled_from(["access", "up", "m", "nowhere"])
SLOTS = st.sampled_from([None, "S", "nowhere"])
STATEMENTS = st.sampled_from(["ports[0]", "devices[0]", "uplinks[0]", "uplinks[9]", "nothing"])


def several(items: st.SearchStrategy[Any]) -> st.SearchStrategy[list[Any]]:
    """None to three of them."""
    return st.lists(items, max_size=3)


USES = st.fixed_dictionaries(
    {
        "slot": SLOTS,
        "group": GROUPS,
        "port": NUMBERS,
        "way": st.none() | NUMBERS,
        "statement": STATEMENTS,
        "speed_mbps": st.sampled_from([1000, 10_000]),
        "powered": st.booleans(),
        "plug": st.none() | IDS,
    }
)
UNITS = st.fixed_dictionaries(
    {
        "position": NUMBERS,
        "unit_type": IDS,
        "box": IDS,
        "supplies": several(
            st.fixed_dictionaries(
                {"bay": NUMBERS, "supply": IDS, "cord": st.none() | IDS, "feed": st.sampled_from([None, "A", "B"])}
            )
        ),
        "fan_trays": several(IDS),
        "modules": several(st.fixed_dictionaries({"slot": st.just("S"), "module": IDS})),
        "stack_slot": SLOTS,
        "stack_group": st.none() | GROUPS,
        "stack_ports": several(NUMBERS),
        "adapters": several(IDS),
        "splits": several(
            st.fixed_dictionaries({"slot": SLOTS, "group": GROUPS, "port": NUMBERS, "parts": several(IDS)})
        ),
        "uses": several(USES),
    }
)
LINKS = st.fixed_dictionaries(
    {
        "from_unit": NUMBERS,
        "to_unit": NUMBERS,
        "way_m": st.decimals(-1, 5, places=3),
        "speed_mbps": st.sampled_from([1000, 10_000]),
        "parts": several(IDS),
    }
)
BUILDS = st.fixed_dictionaries(
    {
        "stack": st.just("closet"),
        "units": several(UNITS),
        "topology": st.sampled_from([None, "ring", "chain"]),
        "links": several(LINKS),
    }
).map(Build.model_validate)


@given(BUILDS)
def test_a_check_takes_any_build(build: Build) -> None:
    """Unknown parts, ports that aren't there, links to nowhere: every breach still has its words."""
    for rule in RULES:
        if rule.family in FAMILIES:
            assert all(len(breach.text.split()) > 3 for breach in rule.check(build, ASK, CATALOG)), rule.id
