"""`solve --objective life` as people run it: what it tells, in every form, and that `check` reads it."""

from __future__ import annotations

import json
from importlib import resources
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from configurator.life.result import CheapestToBuy
from tests.journeys.running import DEMO, TINY, TINY_DAY, run

DEMAND = DEMO / "demands" / "life.yaml"
ON = ("--on", "2026-11-25")
YEARS = "\nlife: {years: 5, energy_per_kwh: 0.28, discount_rate_percent: 4}\n"


@pytest.fixture(scope="module")
def owned() -> dict[str, Any]:
    """The answer as JSON."""
    done = run("solve", DEMAND, *ON, "--objective", "life", "--format", "json")
    assert (done.returncode, done.stderr) == (0, "")
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def test_the_cheapest_to_own_is_not_the_cheapest_to_buy(owned: dict[str, Any]) -> None:
    done = run("solve", DEMAND, *ON, "--format", "json")
    bought = json.loads(done.stdout)
    (own,), (buy,) = owned["stacks"], bought["stacks"]
    beside = own["life"]["to_buy"]
    assert beside["cost"] == buy["life"]["cost"]
    assert beside["build"] == buy["build"]
    assert own["price_minor"] - buy["price_minor"] == beside["more_now_minor"] > 0
    assert buy["life"]["cost"]["total_minor"] - own["life"]["cost"]["total_minor"] == beside["saved_minor"] > 0
    assert sum(line["difference_minor"] for line in beside["lines"]) == beside["more_now_minor"]
    assert own["life"]["bound_minor"] == own["life"]["cost"]["total_minor"]
    assert own["bound_minor"] == buy["price_minor"]  # no valid build costs less to buy
    assert buy["life"]["bound_minor"] is None
    assert buy["life"]["to_buy"] is None


def test_the_parts_of_a_cost_add_up(owned: dict[str, Any]) -> None:
    for cost in (
        owned["life"]["cost"],
        owned["stacks"][0]["life"]["cost"],
        owned["stacks"][0]["life"]["to_buy"]["cost"],
    ):
        parts = ("purchase_minor", "renewals_minor", "energy_minor", "cooling_minor")
        assert sum(cost[part] for part in parts) == cost["total_minor"]
    assert owned["life"]["cost"]["purchase_minor"] == owned["total_minor"]
    levels = owned["stacks"][0]["life"]["levels"]
    assert sum(level["hours_a_day"] for level in levels) == 24


def test_energy_is_what_the_levels_come_to(owned: dict[str, Any]) -> None:
    """Watts times hours of 365 days, over the years, to what rounding of the watts to a tenth leaves open."""
    life = owned["life"]
    wh_a_day = sum(one["hours_a_day"] * one["mains_w"] for one in owned["stacks"][0]["life"]["levels"])
    assert life["cost"]["energy_kwh"] == pytest.approx(wh_a_day * 365 * life["years"] / 1000, rel=0.0005)


def test_every_form_tells_both(owned: dict[str, Any]) -> None:
    for form, marks in (("table", ""), ("markdown", "### ")):
        done = run("solve", DEMAND, *ON, "--objective", "life", "--format", form)
        assert done.returncode == 0
        assert "Proved cheapest to own: 15 000.98 EUR over 7 years" in done.stdout
        assert f"{marks}Over 7 years, for one stack, as of today" in done.stdout
        assert f"{marks}Cheapest to own beside the cheapest to buy, line by line" in done.stdout
        for sentence in owned["life"]["assumptions"]:
            assert sentence.split(":")[0] in done.stdout
    done = run("solve", DEMAND, *ON, "--objective", "life", "--format", "csv")
    assert "proved cheapest to own" in done.stdout


def test_json_keeps_the_schema(owned: dict[str, Any]) -> None:
    kept = (resources.files("configurator") / "schema" / "answer.schema.json").read_text(encoding="utf-8")
    jsonschema.validate(owned, json.loads(kept))


def test_without_years_there_is_nothing_to_own_by() -> None:
    done = run("solve", TINY / "demand.yaml", "--catalog", TINY / "parts", "--prices", TINY / "prices.csv",
               "--on", TINY_DAY, "--objective", "life")  # fmt: skip
    assert done.returncode == 2
    assert "demand.yaml: life: the demand says nothing of the years of ownership" in done.stderr
    assert "hint: add `life: {years: 5, energy_per_kwh: 0.28}`" in done.stderr
    assert done.stdout == ""


def test_discounts_by_the_orders_value_are_refused(tmp_path: Path) -> None:
    demand, discounts = tmp_path / "demand.yaml", tmp_path / "discounts.csv"
    demand.write_text((TINY / "demand.yaml").read_text(encoding="utf-8") + YEARS, encoding="utf-8")
    discounts.write_text("part,category,percent,from,until,order_from\n,,5,,,1000\n", encoding="utf-8")
    done = run("solve", demand, "--catalog", TINY / "parts", "--prices", TINY / "prices.csv", "--on", TINY_DAY,
               "--discounts", discounts, "--objective", "life")  # fmt: skip
    assert done.returncode == 2
    assert "discounts that depend on the order's value" in done.stderr


def test_an_order_that_packs_couple_is_proved_as_a_whole(tmp_path: Path) -> None:
    """By itself the stack would take one cord of 2 m at 7.40; sold in fives they come to 37.00, one of 3 m to 8.80."""
    demand = tmp_path / "demand.yaml"
    demand.write_text(DEMAND.read_text(encoding="utf-8").replace("cord_m: 2.5", "cord_m: 1"), encoding="utf-8")
    done = run("solve", demand, *ON, "--objective", "life", "--format", "json")
    answer = json.loads(done.stdout)
    assert done.returncode == 0
    assert (answer["status"], answer["life"]["proved"]) == ("cheapest", "cheapest to own")
    assert [line["quantity"] for line in answer["bill"] if line["part"] == "cord.c13.cee7-7.3m"] == [1]
    assert all(line["left_over"] == 0 for line in answer["bill"])
    file = tmp_path / "answer.json"
    file.write_text(done.stdout, encoding="utf-8")
    assert run("check", file, *ON).returncode == 0


def test_what_packs_leave_over_is_part_of_the_cost(tmp_path: Path) -> None:
    """Five stacks alike need a cord each besides those in their boxes: a pack of five."""
    demand = tmp_path / "demand.yaml"
    text = DEMAND.read_text(encoding="utf-8").replace("cord_m: 2.5", "cord_m: 1")
    demand.write_text(text.replace("- name: Conservatory\n", "- name: Conservatory\n    copies: 5\n"), encoding="utf-8")
    answer = json.loads(run("solve", demand, *ON, "--objective", "life", "--format", "json").stdout)
    cost = answer["life"]["cost"]
    assert answer["life"]["proved"] == "cheapest to own"
    assert [line["quantity"] for line in answer["bill"] if line["part"] == "cord.c13.cee7-7.2m"] == [5]
    assert cost["purchase_minor"] == answer["total_minor"] == sum(line["amount_minor"] for line in answer["bill"])
    assert cost["energy_minor"] == sum(one["life"]["cost"]["energy_minor"] * one["copies"] for one in answer["stacks"])


@pytest.mark.parametrize("objective", ["life", "purchase"])
def test_check_works_it_out_again(objective: str, tmp_path: Path) -> None:
    answer, audit = tmp_path / "answer.json", tmp_path / "audit.json"
    run("solve", DEMAND, *ON, "--objective", objective, "--format", "json", "--output", answer, "--audit", audit)
    for file in (answer, audit):
        done = run("check", file, *ON)
        assert done.returncode == 0, done.stdout + done.stderr
    told = json.loads(audit.read_text(encoding="utf-8"))
    told["stacks"][0]["life"]["cost"]["energy_minor"] -= 1
    audit.write_text(json.dumps(told), encoding="utf-8")
    done = run("check", audit, *ON)
    assert done.returncode == 3
    assert "(life)" in done.stdout


def test_check_looks_at_the_build_beside_it_too(owned: dict[str, Any], tmp_path: Path) -> None:
    beside = CheapestToBuy.model_validate(owned["stacks"][0]["life"]["to_buy"])
    unit = beside.build.units[0]
    lame = beside.build.model_copy(update={"units": (unit.model_copy(update={"supplies": unit.supplies[:1]}),)})
    changed = beside.model_copy(update={"build": lame}).model_dump(mode="json")
    answer = tmp_path / "answer.json"
    stack = {**owned["stacks"][0], "life": {**owned["stacks"][0]["life"], "to_buy": changed}}
    answer.write_text(json.dumps({**owned, "stacks": [stack]}), encoding="utf-8")
    done = run("check", answer, *ON)
    assert done.returncode == 3
    assert "the build that is cheaper to buy: power.supply_loss" in done.stdout


def test_since_tells_that_it_prices_what_is_cheapest_to_buy(owned: dict[str, Any], tmp_path: Path) -> None:
    file = tmp_path / "owned.json"
    file.write_text(json.dumps(owned), encoding="utf-8")
    done = run("since", file, DEMAND, *ON)
    assert "solved today, cheapest to buy instead of to own" in done.stdout
    assert "`solve --objective life` tells what owning costs today" in done.stdout
    bought = tmp_path / "bought.json"
    bought.write_text(run("solve", DEMAND, *ON, "--format", "json").stdout, encoding="utf-8")
    assert "to own" not in run("since", bought, DEMAND, *ON).stdout
