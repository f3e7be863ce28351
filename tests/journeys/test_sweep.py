"""`configurator sweep`, `budget` and `capacity` as people run them."""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
from datetime import date
from importlib import import_module, resources
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import configurator
from configurator import reading
from configurator.catalog import Catalog
from configurator.reading import Asked
from configurator.render import budget as as_budget
from configurator.render import capacity as as_capacity
from configurator.varying.budget import Budget
from configurator.varying.budgeting import amount_minor
from configurator.varying.capacity import Capacity
from configurator.varying.sweep import Sweep
from tests.journeys.running import TINY, TINY_DAY, run

ON = date.fromisoformat(TINY_DAY)
Shop = tuple[Asked, Catalog]
TIMES = "\N{MULTIPLICATION SIGN}"
OPTIONS = ("--catalog", TINY, "--on", TINY_DAY)
MODELS: dict[str, Any] = {"sweep": Sweep, "budget": Budget, "capacity": Capacity}


def tiny(
    command: str, *arguments: str | Path, demand: str | Path = TINY / "demand.yaml", stdin: str = ""
) -> subprocess.CompletedProcess[str]:
    """A command for the tiny demand, whose file works the figures out."""
    return run(command, demand, *OPTIONS, *arguments, stdin=stdin)


@pytest.fixture(scope="module")
def shop() -> Shop:
    """The tiny demand and catalog."""
    catalog = configurator.load_catalog(TINY, on=ON)
    return configurator.load_demand(TINY / "demand.yaml", catalog, on=ON), catalog


# --- sweep ----------------------------------------------------------------------------------------------


def test_the_price_as_ports_grow() -> None:
    """8 ports a unit: 300 + 60 + 2 x 80 = 520; a second one 300 + 60 + 2 x 20 more; a third 300 + 60 + 20 more."""
    found = tiny("sweep", "--stack", "Plain", "--vary", "ports=7..26:1")
    assert (found.returncode, found.stderr) == (0, "")
    rows = dict(re.findall(r"^ +(\d+) +([\d ]+\.\d\d|cannot be met)", found.stdout, re.MULTILINE))
    assert [rows[str(count)] for count in (7, 8, 9, 16, 17, 24, 25)] == [
        "520.00", "520.00", "920.00", "920.00", "1 300.00", "1 300.00", "cannot be met",
    ]  # fmt: skip
    assert "9   a unit pond.8t and a supply pond.supply.100 more: 400.00 EUR more" in found.stdout
    assert "17  a unit pond.8t and a supply pond.supply.100 more: 380.00 EUR more" in found.stdout
    assert f"25 to 26  Plain: These cannot hold together: 25 {TIMES} desks, 1 Gb/s." in found.stdout


def test_the_price_of_the_order_in_a_grid() -> None:
    """The other stack costs 1 440.00 with 10 devices, and 620.00 with 2."""
    found = tiny("sweep", "--vary", "Plain.ports=8,12", "--vary", "Powered.devices[access point]=2,10")
    assert found.returncode == 0
    assert re.search(r"^ +8 +1 140\.00 +1 960\.00$", found.stdout, re.MULTILINE)
    assert re.search(r"^ +12 +1 540\.00 +2 360\.00$", found.stdout, re.MULTILINE)


def test_copies_add_stacks() -> None:
    found = tiny("sweep", "--vary", "Plain.copies=1..3", "--format", "json")
    points = json.loads(found.stdout)["points"]
    assert [point["stacks"] for point in points] == [2, 3, 4]
    assert [point["price_minor"] for point in points] == [236000, 328000, 420000]
    assert points[1]["text"] == "a stack, 2 units pond.8t and 2 supplies pond.supply.100 more"


def test_a_wish_goes_for_all_stacks() -> None:
    """With 40 % of growth Plain takes 17 ports and Powered 14 devices: 1 300.00 and 1 600.00."""
    found = tiny("sweep", "--vary", "headroom_percent=0,40", "--format", "json")
    assert [point["price_minor"] for point in json.loads(found.stdout)["points"]] == [236000, 290000]


def test_speeds_are_those_of_the_catalog() -> None:
    found = tiny("sweep", "--vary", "Plain.uplinks.speed_mbps=1G..25G", "--format", "json")
    data = json.loads(found.stdout)
    assert data["varied"][0]["values"] == [1000, 10000]
    assert [point["words"] for point in data["points"]] == [["1 Gb/s"], ["10 Gb/s"]]
    assert [point["status"] for point in data["points"]] == ["cannot be met", "cheapest"]
    assert data["points"][0]["conflict"]["statements"][0]["key"] == "uplinks[0]"


def test_steps_that_nobody_said_are_told() -> None:
    found = tiny("sweep", "--stack", "Powered", "--vary", "devices=1..70", "--format", "json")
    data = json.loads(found.stdout)
    assert data["varied"][0]["values"] == [*range(1, 70, 2), 70]
    assert data["notes"] == ["devices: in steps of 2, since no step was stated; what lies between is not solved."]


def test_nothing_can_be_met() -> None:
    found = tiny("sweep", "--stack", "Plain", "--vary", "ports=30,40")
    assert found.returncode == 3


def test_cells_that_could_run_are_neutralised(tmp_path: Path) -> None:
    """A name that starts like a formula is text in the CSV, and the file reads back."""
    text = (TINY / "demand.yaml").read_text(encoding="utf-8").replace("- name: Plain", '- name: "=1+1"')
    demand = tmp_path / "demand.yaml"
    demand.write_text(text, encoding="utf-8")
    found = tiny("sweep", "--vary", "=1+1.ports=8,30", "--format", "csv", demand=demand)
    rows = list(csv.reader(io.StringIO(found.stdout)))
    assert rows[0][0] == "'=1+1.ports"
    assert [row[1:3] for row in rows[1:]] == [["cheapest", "1960.00"], ["cannot be met", ""]]
    assert rows[2][-1].startswith("'=1+1: These cannot hold together")
    assert all(len(row) == len(rows[0]) for row in rows)


def test_cells_of_every_command_are_neutralised(shop: Shop) -> None:
    _, catalog = shop
    text = (TINY / "demand.yaml").read_text(encoding="utf-8")
    asked = reading.demand_from(text.replace("- name: Plain", '- name: "@x"'), catalog, ON)
    bought = as_budget.as_csv(configurator.budget(asked, catalog, 300000, ["@x.ports"]))
    carried = as_capacity.as_csv(configurator.capacity(asked, catalog, stack="@x"))
    for told, names in ((bought, {"'@x.ports"}), (carried, {"'@x"})):
        head, *rows = csv.reader(io.StringIO(told))
        assert {row[0] for row in rows} == names
        assert all(len(row) == len(head) for row in rows)


def test_discounts_that_an_order_earns_count(tmp_path: Path) -> None:
    """10 % off all from 2 500.00 on: each point is what `solve` says; a budget for the order can't be told."""
    (tmp_path / "discounts.csv").write_text(
        "part,category,percent,from,until,order_from\n,,10,,,2500.00\n", encoding="utf-8"
    )
    catalog = configurator.load_catalog(TINY, on=ON, discounts=tmp_path / "discounts.csv")
    text = (TINY / "demand.yaml").read_text(encoding="utf-8")
    asked = reading.demand_from(text, catalog, ON)
    found = configurator.sweep(asked, catalog, ["Plain.ports=8,12,17"])
    solved = [
        configurator.solve(reading.demand_from(text.replace("count: 12", f"count: {count}"), catalog, ON), catalog)
        for count in (8, 12, 17)
    ]
    assert [point.price_minor for point in found.points] == [one.total_minor for one in solved]
    assert found.points[0].price_minor == 196000
    assert found.points[2].price_minor == 274000 - 27400
    with pytest.raises(configurator.BadInput, match="a larger order can cost less"):
        configurator.budget(asked, catalog, 300000, ["Plain.ports"])
    (reach,) = configurator.budget(asked, catalog, 100000, ["ports"], stack="Plain").reaches
    assert reach.most == 16


def test_a_chart_beside_the_table(tmp_path: Path) -> None:
    chart = tmp_path / "ports.svg"
    found = tiny("sweep", "--stack", "Plain", "--vary", "ports=4..12:4", "--chart", chart)
    assert found.returncode == 0
    assert "Price EUR" in found.stdout
    assert "Cheapest price of Plain" in chart.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("stack", "vary", "said"),
    [
        (None, ("Plain.port=1..3",), 'did you mean "ports"?'),
        (None, ("ports=1..3",), "write STACK.ports; the stacks are: Plain, Powered"),
        (None, ("Plane.ports=1..3",), 'did you mean "Plain"?'),
        ("plain", ("ports=1..3",), 'did you mean "Plain"?'),
        ("Powered", ("devices[acess point]=1..3",), 'did you mean "access point"?'),
        ("Powered", ("devices[3]=1..3",), "known here: devices[access point]"),
        ("Powered", ("ports=1..3",), "the stack states no ports"),
        (None, ("airflow=1..3",), '"airflow" is no number'),
        (None, ("headroom_draws=1,2",), '"headroom_draws" is no number'),
        (None, ("circuit.amps=1..3",), '"circuit" in "circuit.amps" is not stated in the demand'),
        (None, ("Plain.ports=3..1",), "write the smaller first: 1..3"),
        (None, ("Plain.ports=1..2.5",), '"2.5" in "Plain.ports=1..2.5" is not a whole number'),
        (None, ("Plain.ports=1..9:0",), "write a step above 0"),
        (None, ("Plain.ports=1..900:1",), "--most-points 900"),
        (None, ("Plain.ports=1..30", "Powered.devices=1..30"), "--most-points 900"),
        (None, ("Plain.ports=0..2",), "Plain.ports=0"),
        (None, ("Plain.ports",), "write WHAT=FROM..TO"),
        (None, ("Plain.ports=ten",), "write digits with a dot"),
        (None, ("Plain.ports=1,2", "Plain.ports[0].count=1,2"), "both are the same figure"),
        (None, ("Plain.ports=1", "copies=1", "cord_m=1"), "3 figures are to vary"),
        (None, ("Plain.uplinks.speed_mbps=3G..5G",), "no speed of this catalog"),
        (None, ("Plain.uplinks.speed_mbps=3G",), "is no speed of IEEE 802.3 or of this catalog"),
        ("Plain", ("copies=1,2",), "leave --stack out"),
        ("Plain", ("Powered.devices=1",), "is a figure of another stack"),
        (None, ("Plain.ports[desks.count=1",), "a bracket that is not closed"),
        (None, ("headroom_percent.count=1",), "stands behind a number"),
    ],
)
def test_what_cant_be_varied(shop: Shop, stack: str | None, vary: tuple[str, ...], said: str) -> None:
    with pytest.raises(configurator.BadInput) as told:
        configurator.sweep(*shop, vary, stack=stack)
    assert said in str(told.value)
    assert "\n\nhint: " in str(told.value)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--vary", "Plain.port=1..3"), 'did you mean "ports"?'),
        ((), "add --vary WHAT=FROM..TO"),
        (("--vary", "Plain.ports=1,2", "--chart", "a.pdf"), "ends in .svg or .png"),
    ],
)
def test_bad_input_is_told(arguments: tuple[str, ...], said: str) -> None:
    found = tiny("sweep", *arguments)
    assert (found.returncode, found.stdout) == (2, "")
    assert said in found.stderr


# --- budget ---------------------------------------------------------------------------------------------


def test_what_a_budget_buys() -> None:
    """12 desks cost 920.00 as 16 do; 17 take a third unit for 380.00."""
    found = tiny("budget", "--stack", "Plain", "--amount", "1000")
    assert found.returncode == 0
    assert "As stated it costs 920.00 EUR; 80.00 EUR are left." in found.stdout
    assert re.search(r"^ports\[desks\] +12 +16 +920\.00 +80\.00$", found.stdout, re.MULTILINE)
    assert "17 would cost 1 300.00 EUR, 300.00 EUR too much." in found.stdout


def test_a_budget_that_is_too_small_buys_less() -> None:
    """8 desks go on one unit for 520.00; one uplink fewer saves an optic of 80.00; without either nothing is left."""
    found = tiny("budget", "--stack", "Plain", "--amount", "919.99", "--vary", "ports", "--vary", "uplinks")
    assert found.returncode == 0
    assert "As stated it costs 920.00 EUR, 0.01 EUR more than that" in found.stdout
    assert "Up to 8 instead, 4 less than stated, for 520.00 EUR, 399.99 EUR left." in found.stdout
    assert "Up to 1 instead, 1 less than stated, for 840.00 EUR, 79.99 EUR left." in found.stdout
    none = tiny("budget", "--stack", "Plain", "--amount", "519.99", "--vary", "ports")
    assert none.returncode == 3
    assert "Nothing fits the budget. 1 would cost 520.00 EUR, 0.01 EUR too much." in none.stdout


def test_a_budget_larger_than_any_stack() -> None:
    """Stacks have three units of 8 ports at most."""
    found = tiny("budget", "--stack", "Plain", "--amount", "1000000", "--format", "json")
    (reach,) = json.loads(found.stdout)["reaches"]
    assert (reach["most"], reach["next"]["status"], reach["proved"]) == (24, "cannot be met", True)
    assert reach["next"]["conflict"]["statements"][0]["text"].startswith("25 ")


def test_the_end_of_what_a_file_takes() -> None:
    found = tiny("budget", "--amount", "99999999", "--vary", "Plain.copies", "--format", "json")
    (reach,) = json.loads(found.stdout)["reaches"]
    assert (reach["most"], reach["next"]["status"]) == (10000, "not taken")
    assert "The demand file takes no 10001" in reach["text"]


def test_years_of_support_that_a_budget_buys() -> None:
    """The packaged demonstration sells support by the month and by terms."""
    found = run("budget", "--stack", "Front desk", "--amount", "900", "--vary", "support_months", "--format", "json")
    (reach,) = json.loads(found.stdout)["reaches"]
    assert reach["proved"]
    assert reach["unit"] == "months"
    assert reach["price_minor"] <= 90000
    assert reach["most"] >= reach["stated"] == 48


@pytest.mark.parametrize("text", ["12.345", "12,50", "-5", "", "1e9", "99999999999999"])
def test_no_amount(shop: Shop, text: str) -> None:
    with pytest.raises(configurator.BadInput, match="--amount: "):
        amount_minor(text, shop[1])
    assert amount_minor(" 12.5", shop[1]) == 1250


@pytest.mark.parametrize(
    ("stack", "name", "said"),
    [
        (None, "Plain.uplinks.length_m", "can cost less"),
        (None, "Plain.uplinks.speed_mbps", "can cost less"),
        (None, "units_at_most", "can cost less"),
        (None, "Powered.devices.poe_class", "a budget can be asked about: count"),
        ("Plain", "copies", "changes no price"),
        ("plain", "ports", 'did you mean "Plain"?'),
    ],
)
def test_a_budget_that_cant_be_asked_about(shop: Shop, stack: str | None, name: str, said: str) -> None:
    with pytest.raises(configurator.BadInput) as told:
        configurator.budget(*shop, 90000, [name], stack=stack)
    assert said in str(told.value)


def test_without_an_amount() -> None:
    found = tiny("budget")
    assert (found.returncode, found.stdout) == (2, "")
    assert "add --amount MONEY" in found.stderr


def test_uplinks_under_oversubscription_are_refused() -> None:
    text = (
        (TINY / "demand.yaml")
        .read_text(encoding="utf-8")
        .replace("name: Plain", "name: Plain\n    oversubscription: 2")
    )
    found = tiny("budget", "--amount", "900", "--vary", "Plain.uplinks", demand="-", stdin=text)
    assert found.returncode == 2
    assert "more uplinks carry more ports" in found.stderr


# --- capacity -------------------------------------------------------------------------------------------


def test_what_a_bill_carries(tmp_path: Path) -> None:
    """Two units of 8 ports; two optics, both in use; the answer tells the same as the demand."""
    answer, audit = tmp_path / "answer.json", tmp_path / "audit.json"
    solved = tiny("solve", "--format", "json", "--output", answer, "--audit", audit)
    assert solved.returncode == 0
    found = tiny("capacity")
    assert found.returncode == 0
    assert re.search(r"^desks +12 +16 +4$", found.stdout, re.MULTILINE)
    assert re.search(r"^uplink +2 +2 +0$", found.stdout, re.MULTILINE)
    assert "12 asked, up to 16 carried, 4 more. 17 can't be placed: no port is left for it." in found.stdout
    assert "3 can't be placed: no optic, cable or other part for it is left on the bill." in found.stdout
    assert "(power.supply_loss)" in found.stdout
    for file in (answer, audit):
        again = run("capacity", file, "--catalog", TINY, "--format", "json")
        assert again.returncode == 0
        rooms = [room for stack in json.loads(again.stdout)["stacks"] for room in stack["rooms"]]
        assert [(room["words"], room["asked"], room["most"]) for room in rooms] == [
            ("desks", 12, 16), ("uplink", 2, 2), ("access point", 10, 10), ("access point, PoE class", 4, 4),
        ]  # fmt: skip


def test_an_answer_that_is_not_valid_is_refused(tmp_path: Path) -> None:
    answer = tmp_path / "answer.json"
    tiny("solve", "--format", "json", "--output", answer)
    data = json.loads(answer.read_text(encoding="utf-8"))
    data["stacks"][0]["build"]["units"][0]["uses"][0]["port"] = 99
    answer.write_text(json.dumps(data), encoding="utf-8")
    found = run("capacity", answer, "--catalog", TINY)
    assert (found.returncode, found.stdout) == (2, "")
    assert "the answer is not valid for this demand and catalog: Plain: " in found.stderr
    assert "`configurator check` tells all" in found.stderr


def test_a_stack_without_a_build_carries_nothing() -> None:
    text = (TINY / "demand.yaml").read_text(encoding="utf-8").replace("count: 12", "count: 120")
    found = tiny("capacity", "--stack", "Plain", demand="-", stdin=text)
    assert found.returncode == 3
    assert "It has no build" in found.stdout


# --- forms ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("command", "arguments"),
    [
        ("sweep", ("--vary", "Plain.ports=8,30")),
        ("sweep", ("--vary", "Plain.ports=8,30", "--vary", "Powered.devices=2")),
        ("budget", ("--amount", "2500", "--vary", "Plain.ports", "--vary", "Powered.devices")),
        ("capacity", ()),
    ],
)
def test_forms(command: str, arguments: tuple[str, ...], tmp_path: Path) -> None:
    """JSON keeps its schema, which is the kept one; Markdown says what the terminal says; --output writes the same."""
    render = import_module(f"configurator.render.{command}")
    kept = (resources.files("configurator") / "schema" / f"{command}.schema.json").read_text(encoding="utf-8")
    assert kept == render.schema(), f"python -m configurator.render.{command} prints the schema"
    schema = json.loads(kept)
    jsonschema.Draft202012Validator.check_schema(schema)
    out = tmp_path / "out"
    forms = ("table", "json", "markdown", "csv")
    told = {form: tiny(command, *arguments, "--format", form).stdout for form in forms}
    for form, text in told.items():
        assert tiny(command, *arguments, "--format", form, "--output", out).stdout == ""
        assert out.read_text(encoding="utf-8") == text  # line ends are one here, however they are written
    data = json.loads(told["json"])
    jsonschema.validate(data, schema)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({**data, "schema": "9.0"}, schema)
    assert json.loads(MODELS[command].model_validate(data).model_dump_json(by_alias=True)) == data
    plain = re.sub(r"\\(.)", r"\1", told["markdown"])
    for figure in re.findall(r"\d{1,3}(?: \d{3})*\.\d\d", told["table"]):
        assert figure in plain
