"""A small invented catalog in files, and what is said about a bad one."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from configurator.catalog import Catalog
from configurator.errors import BadInput, Problem
from configurator.reading import load_catalog, load_demand
from configurator.reading.asks import Asked

ON = date(2026, 6, 1)

PARTS = """\
maker: Invented Works
families:
  - {id: fam, largest_stack: 8}
unit_types:
  - id: u24
    description: twenty-four ports
    family: fam
    base_draw_w: 60.5
    supply_bays: {count: 2, takes: [ps-a]}
    ports:
      - {id: access, count: 24, connector: RJ45, speeds_mbps: [100M, 1000, 2.5G], poe_class: 4}
      - {id: up, count: 4, connector: SFP+, cage: cage-a, speeds_mbps: [10G], roles: [network, stack, split]}
    excludes:
      - [{group: up, role: stack}, {group: up, role: split}]
boxes:
  - {id: "00123", description: base unit, unit: u24, contents: [{part: ps-a}]}
supplies:
  - id: ps-a
    description: supply
    outputs: [{from_v: 200, to_v: 240, output_w: 600}]
    inlet: C14
cords:
  - {id: cord-gb, description: cord, countries: [GB], coupler: C13, plug: plug G, rating_a: 10, length_m: 2}
  - {id: cord-no, description: cord, countries: [NO], coupler: C13, plug: plug F, rating_a: 10, length_m: 2.5}
optics:
  - id: opt-sr
    description: optic
    form: SFP+
    speeds_mbps: 10G
    interface: 10GBASE-SR
    connector: LC
    reaches: [{fibre: OM4, max_m: 400}, {fibre: OM3, max_m: 300}]
optics_matrix:
  - {cage: cage-a, takes: [opt-sr]}
countries:
  - {code: GB, name: Great Britain, mains_v: 230, regions: [isles, west], circuit_a: 16, circuit_share_percent: 80}
  - {code: NO, name: Norway, mains_v: 230, regions: [north]}
"""

PRICES = """\
part,price,currency,status,lead_time_days,issued,valid_until
00123,1000.50,EUR,active,10,2026-05-01,2026-07-31
ps-a,200,EUR,active,5,2026-05-01,2026-07-31
cord-gb,5.5,EUR,active,1,2026-05-01,2026-07-31
cord-no,6,EUR,withdrawn,0,2026-05-01,2026-07-31
opt-sr,80,EUR,active,3,2026-05-01,2026-07-31
"""

DEMAND = """\
customer: Somebody
defaults:
  country: NO
stacks:
  - name: hall
    devices:
      - {kind: phone, count: 40, poe_class: 4}
"""


def folder_of(tmp_path: Path, **files: str) -> Path:
    """A folder of YAML files."""
    folder = tmp_path / "parts"
    folder.mkdir(exist_ok=True)
    for name, text in files.items():
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    return folder


def written(tmp_path: Path, name: str, data: str | bytes) -> Path:
    """A file with this text or these bytes."""
    path = tmp_path / name
    path.write_bytes(data.encode() if isinstance(data, str) else data)
    return path


def catalog_of(tmp_path: Path, parts: str = PARTS, prices: str = PRICES, on: date = ON) -> Catalog:
    """The catalog of these texts."""
    return load_catalog(folder_of(tmp_path, all=parts), written(tmp_path, "prices.csv", prices), on)


def asked_of(tmp_path: Path, demand: str, parts: str = PARTS) -> Asked:
    """What a demand asks of the small catalog, or of another."""
    return load_demand(written(tmp_path, "demand.yaml", demand), catalog_of(tmp_path, parts), ON)


def refused(call: Callable[[], object]) -> tuple[Problem, ...]:
    """The problems that a call is refused for."""
    with pytest.raises(BadInput) as caught:
        call()
    return caught.value.problems


def only(call: Callable[[], object]) -> Problem:
    """The one problem that a call is refused for."""
    problems = refused(call)
    assert len(problems) == 1, "\n\n".join(map(str, problems))
    return problems[0]


def changed(text: str, old: str, new: str) -> str:
    """A text with one place changed; the place has to be there, once."""
    assert text.count(old) == 1, f"{old!r} is there {text.count(old)} times"
    return text.replace(old, new)
