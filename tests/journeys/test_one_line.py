"""A demand in one line: what it is read as, what it is refused for, and the file that it stands for."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator import api, reading
from configurator.errors import BadInput
from configurator.reading import Line
from configurator.reading.demand import asked_of
from configurator.reading.yaml_source import parse
from configurator.render import demand as as_demand
from tests.journeys.running import TINY, TINY_DAY, run

CATALOG = api.load_catalog()
ON = api.order_day(demonstration=True)
SMALL = ("--catalog", TINY / "parts", "--prices", TINY / "prices.csv", "--on", TINY_DAY)


def line(**said: str | list[str]) -> Line:
    """What some options say, with the demonstration's fibres."""
    given = {option: [value] if isinstance(value, str) else value for option, value in said.items()}
    return reading.read_line(given, CATALOG)


def stack(**said: str | list[str]) -> dict[str, Any]:
    found: dict[str, Any] = line(**said).sheet.data["stacks"][0]
    return found


def refused(**said: str) -> list[str]:
    """Place, what is wrong and hint of everything that the options are refused for, by the demand's checks too."""
    given = {option: [value] for option, value in said.items()}
    with pytest.raises(BadInput) as caught:
        reading.load_line(given, CATALOG, ON)
    told = [
        (one.file, ": ".join(part for part in (one.key, one.text) if part), one.hint) for one in caught.value.problems
    ]
    return [" | ".join(one) for one in told]


# --- words ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("option", "value", "stated"),
    [
        ("ports", "24", "{count: 24}"),
        ("ports", "180,class4,powered", "{count: 180, powered_at_class: 4}"),
        ("ports", "capable class 4 1G 180", "{count: 180, speed_mbps: 1G, capable_of_class: 4}"),
        ("ports", "30, 10G, OM4, 60 m", "{count: 30, speed_mbps: 10G, over: OM4, length_m: 60}"),
        ("ports", "9,class3,60 %,powered", "{count: 9, powered_at_class: 3, powered_percent: 60}"),
        ("ports", "24,name=desks", "{count: 24, name: desks}"),
        ("ports", "24,features=a,features=b", "{count: 24, features: [a, b]}"),
        (
            "devices",
            "12 access points, class 6, 2.5g",
            "{kind: access points, count: 12, speed_mbps: 2.5G, poe_class: 6}",
        ),
        ("devices", "3 door lock 9.5W 60m", "{kind: door lock, count: 3, device_w: 9.5, cable_m: 60}"),
        ("devices", "4,class2", "{kind: device, count: 4, poe_class: 2}"),
        ("uplinks", "2,10G,OM4,80m", "{count: 2, speed_mbps: 10G, over: fibre, fibre: OM4, length_m: 80}"),
        ("uplinks", "1,1G,copper", "{count: 1, speed_mbps: 1G, over: copper}"),
        ("uplinks", "1,1G,OS2,2.5km", "{count: 1, speed_mbps: 1G, over: fibre, fibre: OS2, length_m: 2500}"),
        (
            "uplinks",
            "4 40G direct 3m far_form=QSFP+",
            "{count: 4, speed_mbps: 40G, over: direct, length_m: 3, far_form: QSFP+}",
        ),
        ("uplinks", "2,10G,far_form=SFP+", "{count: 2, speed_mbps: 10G, far_form: SFP+}"),
        ("uplinks", "2,10G", "{count: 2, speed_mbps: 10G, over: fibre}"),
    ],
)
def test_words_are_known_by_their_form(option: str, value: str, stated: str) -> None:
    assert as_demand.flow(stack(**{option: value})[option][0]) == stated


def test_each_time_an_option_is_said_is_a_statement() -> None:
    assert [one["count"] for one in stack(ports=["24", "12,class4"])["ports"]] == ["24", "12"]


def test_wishes_are_options_or_key_and_value() -> None:
    found = line(
        ports="5",
        units_at_least="2",
        units_at_most="3",
        on_supply_loss="sheds-poe",
        airflow="front-to-back",
        country="NL",
        headroom="10%",
        feature=["link-encryption", "other"],
        wish=["topology=chain", "rack_positions=20,21", "headroom-uplinks-count=2"],
        copies="4",
    ).sheet.data
    assert found["defaults"] == {
        "headroom_percent": "10",
        "headroom_uplinks_count": "2",
        "units_at_least": "2",
        "units_at_most": "3",
        "topology": "chain",
        "rack_positions": ["20", "21"],
        "on_supply_loss": "sheds_poe",
        "airflow": "front-to-back",
        "country": "NL",
        "features": ["link-encryption", "other"],
    }
    assert found["stacks"] == [{"name": "Stack", "copies": "4", "ports": [{"count": "5"}]}]


def test_headroom_without_percent_is_a_number() -> None:
    assert line(ports="5", headroom="3").sheet.data["defaults"] == {"headroom_count": "3"}


# --- what a line leaves open ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("ports", "assumed"),
    [
        ("180,class4", ["each port of class 4 feeds a device of that class, not only could"]),
        ("180,class4,powered", []),
        ("180,class4,capable", []),
        ("180", []),
    ],
)
def test_ports_of_a_class_are_powered_unless_it_is_said(ports: str, assumed: list[str]) -> None:
    assert [one.text for one in line(ports=ports).assumed] == assumed


@pytest.mark.parametrize(("uplinks", "assumed"), [("2,10G", 1), ("2,10G,OM4", 0), ("2,10G,far_form=SFP+", 0)])
def test_uplinks_go_over_fibre_unless_it_is_said(uplinks: str, assumed: int) -> None:
    assert len(line(uplinks=uplinks).assumed) == assumed


def test_the_answer_says_which_it_took() -> None:
    """Powered at class 4 takes 30 W a port from the supplies; capable takes none."""
    powered, capable = (
        json.loads(run("solve", *SMALL, "--ports", words, "--format", "json").stdout)
        for words in ("6,class4", "6,class4,capable")
    )
    assert powered["assumptions"][0]["text"].startswith("each port of class 4 feeds a device")
    assert "powered at class 4" in json.dumps(powered["stacks"][0]["bill"])
    assert "able to feed class 4" in json.dumps(capable["stacks"][0]["bill"])
    # 500 + 150 (30 + 6 x 30 W out of 300 W) against 500 + 60 (30 W out of 100 W), in euro cents
    assert (powered["total_minor"], capable["total_minor"]) == (65000, 56000)


# --- refusals -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ({"ports": "180,clas4"}, '--ports 180,clas4 | "clas4" is not known here | did you mean "class4"?'),
        ({"ports": "class4"}, "--ports class4 | it is not said how many | add the count: a number without a unit"),
        ({"ports": ""}, '--ports "" | it is not said how many | add the count: a number without a unit'),
        (
            {"ports": "24,48"},
            '--ports 24,48 | two counts: "24" and "48" | take one out, or say its unit: 10G, class4, 80m',
        ),
        (
            {"ports": "24,1G,10G"},
            '--ports 24,1G,10G | speed_mbps is stated twice: "1G" and "10G" | take one of the two out',
        ),
        ({"ports": "24,capable"}, "--ports 24,capable | capable, and no class is stated | add a class such as class4"),
        ({"ports": "24,nmae=x"}, '--ports 24,nmae=x | "nmae" is not a field that is known here | did you mean "name"?'),
        ({"uplinks": "2"}, "--uplinks 2 | it is not said how fast | add a speed such as 10G"),
        ({"uplinks": "2,10GbE"}, '--uplinks 2,10GbE | "10GbE" is not known here | did you mean "10G"?'),
        ({"uplinks": "2,10G,fiber"}, '--uplinks 2,10G,fiber | "fiber" is not known here | did you mean "fibre"?'),
        (
            {"devices": "2 phones clss4"},
            '--devices "2 phones clss4" | "clss4" is not known here | did you mean "class4"?',
        ),
        (
            {"ports": "2", "wish": "circuit=16"},
            "--wish circuit=16 | circuit takes more than one word | write a demand file",
        ),
        ({"ports": "2", "wish": "topolgy=ring"}, '--wish topolgy=ring | "topolgy" is not a field that is known here'),
        ({"ports": "2", "country": "N\x07L"}, "a character in it can't be printed"),
        ({"country": "NL"}, "command line | nothing asks for a port | add --ports, --devices or --uplinks"),
        (
            {"ports": "2", "headroom": "3", "wish": "headroom_count=4"},
            "headroom_count is stated twice, first by --headroom 3",
        ),
        # what the demand's own checks refuse
        (
            {"ports": "2"},
            'command line | no country is stated for "Stack", and power cords depend on it | add --country with',
        ),
        ({"ports": "2,class9"}, '--ports 2,class9 | powered_at_class: "9" is too large | write 8 or less'),
        ({"ports": "0", "country": "NL"}, '--ports 0 | count: "0" is too small | write 1 or more'),
        (
            {"ports": "2", "airflow": "back-to-frnt"},
            '--airflow back-to-frnt | "back-to-frnt" is not known here | did you mean',
        ),
        (
            {"uplinks": "2,10G,OM9", "country": "NL"},
            '--uplinks 2,10G,OM9 | fibre: "OM9" is no fibre that this catalog knows',
        ),
        (
            {"uplinks": "2,10G,direct", "country": "NL"},
            "over: a direct cable needs the form of the far end's cage | add far_form=…;",
        ),
        ({"ports": "2", "country": "NZ"}, '--country NZ | "NZ" is no country that this catalog knows'),
        ({"ports": "2,copies=3", "country": "NL"}, '"copies" is not a field that is known here'),
        ({"ports": "2", "copies": "0"}, '--copies 0 | "0" is too small | write 1 or more'),
    ],
)
def test_a_refusal_names_option_value_and_a_way_out(said: dict[str, str], told: str) -> None:
    (found,) = refused(**said)
    assert told in found


def test_everything_that_is_wrong_is_told_at_once() -> None:
    found = refused(ports="180,clas4", uplinks="2", wish="topolgy=ring")
    assert [one.split(" | ")[0] for one in found] == ["--ports 180,clas4", "--uplinks 2", "--wish topolgy=ring"]


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["demand.yaml", "--ports", "3"], "demand.yaml: a demand file is named, and --ports would make another demand"),
        (["-", "--country", "NL"], "standard input: a demand file is named, and --country would make another demand"),
        (["--print-demand"], "--print-demand: no option says what is asked for"),
        (["demand.yaml", "--print-demand"], "--print-demand: no option says what is asked for"),
        (["--ports", "180,clas4"], '--ports 180,clas4: "clas4" is not known here\n\nhint: did you mean "class4"?'),
    ],
)
def test_a_line_that_cannot_be_meant_ends_with_exit_code_2(arguments: list[str], told: str) -> None:
    done = run("solve", *arguments)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith(told)
    assert "Traceback" not in done.stderr


def test_a_refused_build_names_the_options() -> None:
    """Three units of 8 ports at most stack in the tiny catalog."""
    done = run("solve", *SMALL, "--ports", "30", "--units-at-most", "3")
    assert done.returncode == 3
    assert "port, 1 Gb/s (--ports 30)" in done.stdout


# --- the file that a line stands for ----------------------------------------------------------------


@pytest.mark.parametrize(
    "words",
    [
        ["--ports", "12", "--uplinks", "2,10G,OM4,50m"],
        ["--devices", "10 access points, class 4", "--on-supply-loss", "carries-all"],
        ["--ports", "6,class4", "--wish", "topology=chain", "--units-at-least", "2", "--copies", "3"],
    ],
)
def test_the_printed_file_gives_the_same_bill(words: list[str], tmp_path: Path) -> None:
    printed = run("solve", *SMALL, *words, "--print-demand")
    assert (printed.returncode, printed.stderr) == (0, "")
    file = tmp_path / "demand.yaml"
    file.write_text(printed.stdout, encoding="utf-8")
    by_line, by_file = (
        json.loads(run("solve", *SMALL, *one, "--format", "json").stdout) for one in (words, [str(file)])
    )
    assert by_line["total_minor"] is not None
    assert by_line["bill"] == by_file["bill"]


WORDS = st.sampled_from(
    ["24", "0", "1G", "10g", "class4", "class 9", "60%", "2.5km", "11W", "OM4", "OM9", "copper", "direct", "any",
     "powered", "capable", "name=x", "features=a", "ref=", "=", "count=3", "phone", "99999999999999999999", "1e5"]
)  # fmt: skip
VALUES = st.lists(WORDS | st.text(max_size=8), max_size=6).map(" ".join)


@settings(max_examples=300, deadline=None)
@given(
    said=st.dictionaries(
        st.sampled_from(reading.OPTIONS), st.lists(VALUES | st.just("country=NL"), min_size=1, max_size=2), max_size=4
    )
)
def test_whatever_is_typed_is_read_or_refused(said: dict[str, list[str]]) -> None:
    refusal: BadInput | None = None
    try:
        asked = reading.load_line(said, CATALOG, ON)
    except BadInput as error:
        refusal = error
    else:
        text = as_demand.render(reading.read_line(said, CATALOG))
        assert asked_of(parse("printed", text), CATALOG, ON).demand == asked.demand
    problems = refusal.problems if refusal else ()
    assert all(one.text and one.hint and one.line is None for one in problems)


@pytest.mark.parametrize("name", ["null", "yes: no", "a, b", "#1", "'", '"', "- x", "[y", "ünder", "1.50", "a\\b"])
def test_what_is_printed_is_read_as_it_was(name: str) -> None:
    found = line(ports=f"24,name={name.replace(' ', '_').replace(',', ';')}", wish=f"features={name}")
    text = as_demand.render(found)
    assert parse("printed", text).data == found.sheet.data


def test_the_printed_file_tells_the_line_and_what_was_assumed() -> None:
    done = run("solve", "--ports", "180,class4", "--uplinks", "2, 10G", "--country", "NL", "--print-demand")
    assert done.stdout == (
        "# configurator solve --ports 180,class4 --uplinks '2, 10G' --country NL\n"
        "# Assumed, since the line doesn't say: each port of class 4 feeds a device of that class, not only could.\n"
        "# Assumed, since the line doesn't say: uplinks go over fibre, whichever lies there.\n"
        "defaults:\n"
        "  country: NL\n"
        "stacks:\n"
        "  - name: Stack\n"
        "    ports:\n"
        "      - {count: 180, powered_at_class: 4}\n"
        "    uplinks:\n"
        "      - {count: 2, speed_mbps: 10G, over: fibre}\n"
    )


def test_the_printed_file_can_be_written_to_a_file(tmp_path: Path) -> None:
    target = tmp_path / "demand.yaml"
    done = run("solve", "--ports", "24", "--country", "NL", "--print-demand", "--output", target)
    assert (done.returncode, done.stdout) == (0, "")
    assert re.search(r"count: 24", target.read_text(encoding="utf-8"))


def test_one_line_is_enough() -> None:
    """180 class 4 ports and two 10 Gb/s uplinks, proved cheapest."""
    done = run("solve", "--ports", "180,class4", "--uplinks", "2,10G", "--country", "NL", "--format", "json")
    assert done.returncode == 0, done.stderr
    answer = json.loads(done.stdout)
    assert answer["status"] == "cheapest"
    served = [use for unit in answer["stacks"][0]["units"] for use in unit["uses"]]
    assert sum(use["count"] for use in served if use["statement"] == "ports[0]" and use["powered"]) == 180
    assert sum(use["count"] for use in served if use["statement"] == "uplinks[0]") == 2
