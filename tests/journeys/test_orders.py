"""A demand goes in, an order comes out: whole commands on real files."""

from __future__ import annotations

import csv
import io
import json
import subprocess
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

import jsonschema

from tests.journeys.running import DEMO, TINY, run, tiny


def answer(text: str) -> dict[str, Any]:
    """A JSON answer that keeps its schema."""
    data: dict[str, Any] = json.loads(text)
    schema = (resources.files("configurator") / "schema" / "answer.schema.json").read_text(encoding="utf-8")
    jsonschema.validate(data, json.loads(schema))
    return data


@cache
def demo(form: str) -> subprocess.CompletedProcess[str]:
    """The packaged demonstration, solved once for all tests of a process."""
    return run("solve", "--format", form)


def test_the_tiny_demand_costs_what_was_worked_out_by_hand() -> None:
    """The arithmetic stands in the comments of the demand file."""
    done = tiny("--format", "json")
    assert (done.returncode, done.stderr) == (0, "")
    data = answer(done.stdout)
    plain, powered = data["stacks"]
    assert (plain["status"], plain["price_minor"], plain["bound_minor"]) == ("cheapest", 92000, 92000)
    assert {line["part"]: line["quantity"] for line in plain["bill"]} == {
        "pond.8t.bare": 2,
        "pond.supply.100": 2,
        "pond.optic.10g-sr": 2,
        "pond.rear.0.5m": 2,
    }
    assert (powered["status"], powered["price_minor"]) == ("cheapest", 144000)
    assert {line["part"]: line["quantity"] for line in powered["bill"]} == {
        "pond.8p4.full": 1,
        "pond.8p4.bare": 1,
        "pond.supply.100": 2,
        "pond.rear.0.5m": 2,
    }
    assert data["total_minor"] == 92000 + 144000
    # 30 W for itself and eight devices of 30 W, on what is left of two 300 W supplies.
    units = {unit["box"]: unit["power"] for unit in powered["units"]}
    assert units["pond.8p4.full"]["one_lost"]["left_w"] >= 0
    assert sum(power["poe_w"] for power in units.values()) == 300


def test_the_packaged_demonstration_is_an_order_ready_to_send() -> None:
    done = demo("json")
    assert (done.returncode, done.stderr) == (0, "")
    data = answer(done.stdout)
    assert data["catalog"]["demonstration"]
    assert any("No demand was given" in note for note in data["notes"])
    assert any("invented" in note for note in data["notes"])
    assert data["status"] == "cheapest"
    for stack in data["stacks"]:
        assert stack["bound_minor"] == stack["price_minor"] == sum(line["amount_minor"] for line in stack["bill"])
        for line in stack["bill"]:
            assert line["reasons"], f"{stack['name']}: nobody says why {line['part']} is there"
    assert data["total_minor"] == sum(line["amount_minor"] for line in data["bill"])
    spares_minor = sum(line["amount_minor"] for line in data["bill"] if line["reason"] is not None)
    assert spares_minor > 0
    assert data["total_minor"] == spares_minor + sum(stack["share_minor"] for stack in data["stacks"])
    for line in data["bill"]:
        assert (line["quantity"] - line["left_over"]) == line["needed"] >= 0
    for part in {line["part"] for line in data["bill"]}:
        mine = [line for line in data["bill"] if line["part"] == part]
        assert sum(line["quantity"] for line in mine) % mine[0]["pack_size"] == 0
        assert sum(line["quantity"] for line in mine) >= mine[0]["least_quantity"]


def test_the_demonstration_as_a_table_says_that_it_is_one() -> None:
    done = demo("table")
    assert (done.returncode, done.stderr) == (0, "")
    text = done.stdout
    for words in (
        "Note: Demonstration catalog: the maker, the parts and the prices are invented",
        "Note: No demand was given",
        "Brackenhythe College",
        "Proved cheapest",
        "with one supply lost",
        "Order total: ",
        "Not included: tax, freight, duty, installation.",
        "[5.2]",  # the customer's own clause number
    ):
        assert words in text
    assert "\x1b" not in text


def test_csv_adds_up_to_the_total_of_the_json() -> None:
    total_minor = answer(demo("json").stdout)["total_minor"]
    done = demo("csv")
    assert done.returncode == 0
    rows = list(csv.DictReader(io.StringIO(done.stdout, newline=""), strict=True))
    assert sum(int(row["amount"].replace(".", "")) for row in rows) == total_minor
    assert {row["currency"] for row in rows} == {"EUR"}
    assert {row["order_date"] for row in rows} == {"2026-11-02"}


def test_the_same_question_gets_the_same_answer_byte_for_byte() -> None:
    assert tiny("--format", "json").stdout == tiny("--format", "json").stdout
    assert tiny().stdout == tiny().stdout


def test_a_demand_from_standard_input_is_answered_alike() -> None:
    text = (TINY / "demand.yaml").read_text(encoding="utf-8")
    piped, named = tiny("--format", "csv", demand="-", stdin=text), tiny("--format", "csv")
    assert piped.returncode == 0
    assert piped.stdout == named.stdout


def test_a_catalog_folder_may_hold_its_price_list(tmp_path: Path) -> None:
    (tmp_path / "parts.yaml").write_bytes((TINY / "parts" / "parts.yaml").read_bytes())
    (tmp_path / "prices.csv").write_bytes((TINY / "prices.csv").read_bytes())
    done = run("solve", TINY / "demand.yaml", "--catalog", tmp_path, "--on", "2026-11-16", "--format", "json")
    assert done.returncode == 0
    assert answer(done.stdout)["price_list"]["name"].endswith("prices.csv")


def test_the_output_file_holds_what_would_have_been_printed(tmp_path: Path) -> None:
    for form in ("table", "csv"):
        target = tmp_path / f"answer.{form}"
        done = tiny("--format", form, "--output", target)
        assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
        with target.open(encoding="utf-8", newline="" if form == "csv" else None) as stream:
            assert stream.read().replace("\r\n", "\n") == tiny("--format", form).stdout.replace("\r\n", "\n")


def test_a_demand_that_cannot_be_met_is_refused_with_its_reasons_and_the_rest_is_answered() -> None:
    done = run("solve", DEMO / "demands" / "impossible.yaml", "--format", "json")
    assert (done.returncode, done.stderr) == (3, "")
    data = answer(done.stdout)
    stacks = {stack["name"]: stack for stack in data["stacks"]}
    assert stacks["Porter's lodge"]["status"] == "cheapest"
    assert stacks["Mast"]["status"] == "cannot be met"
    assert (data["status"], data["total_minor"]) == ("cannot be met", None)
    conflicts = stacks["Mast"]["conflicts"]
    assert conflicts
    assert any(given["key"] == "uplinks[0]" for one in conflicts for given in one["statements"])
    assert any(given["ref"] == "6.13" for one in conflicts for given in one["statements"])
    assert any(rule["id"] == "modules.reach" for one in conflicts for rule in one["rules"])


def test_a_refusal_on_a_terminal_quotes_the_demand(tmp_path: Path) -> None:
    demand = tmp_path / "demand.yaml"
    demand.write_text(
        """\
defaults: {country: NL, currency: EUR}
stacks:
  - name: Mast
    ports: [{name: radios, count: 6, speed_mbps: 1G}]
    uplinks:
      - {count: 1, speed_mbps: 10G, over: fibre, fibre: OM4, length_m: 550, ref: "6.13"}
""",
        encoding="utf-8",
    )
    done = run("solve", demand)
    assert done.returncode == 3
    for words in ("Cannot be met", "550", "[6.13]", "demand.yaml:6", "modules.reach", "Order total: none"):
        assert words in done.stdout
