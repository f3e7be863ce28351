"""Charts are the same bytes twice, hold their words as text, and read without colour."""

from __future__ import annotations

import builtins
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest

import configurator
from configurator import charts
from configurator.errors import BadInput
from configurator.varying.sweep import Sweep
from tests.journeys.running import TINY

ON = configurator.load_catalog(TINY).prices.issued


def swept(*vary: str, stack: str | None = None, name: str | None = None) -> Sweep:
    """A sweep of the tiny demand; a kind of it under another name."""
    catalog = configurator.load_catalog(TINY, on=ON)
    text = (TINY / "demand.yaml").read_text(encoding="utf-8")
    if name is not None:
        text = text.replace("name: desks", f"name: {name}")
    asked = configurator.load_demand(TINY / "demand.yaml", catalog, on=ON)
    if name is not None:
        from configurator.reading import demand_from

        asked = demand_from(text, catalog, ON)
    return configurator.sweep(asked, catalog, vary, stack=stack)


def svg(chart: Any) -> str:
    """The chart as SVG, well-formed."""
    text: str = charts.bytes_of(chart, ".svg").decode()
    _parsed(text)
    return text


def _parsed(text: str) -> ET.Element:
    return ET.fromstring(text)  # noqa: S314 -- made here, from nobody's file


def words(text: str) -> list[str]:
    """Everything that the chart says."""
    return ["".join(one.itertext()) for one in _parsed(text).iter() if one.tag.endswith("}text")]


ONE = ("ports=6..28:2",)
GRID = ("Plain.ports=4..24:4", "Powered.devices=2,10")
FIELD = ("Plain.ports=4..12:4", "Powered.devices=1..11")


def test_a_chart_says_what_it_shows() -> None:
    said = words(svg(charts.chart_of(swept(*ONE, stack="Plain"))))
    for text in ("Cheapest price of Plain", "desks, number", "Price, EUR", "unit added", "cannot be met"):
        assert text in said
    assert "+1 pond.8t, +1 pond.supply.100" in said


def test_a_grid_names_its_lines() -> None:
    said = words(svg(charts.chart_of(swept(*GRID))))
    assert {"access point 2", "access point 10", "Cheapest price of the order"} <= set(said)


def test_a_large_grid_is_a_field_of_figures() -> None:
    one = swept(*FIELD)
    said = words(svg(charts.chart_of(one)))
    for point in one.points:
        assert point.price_minor is not None
        assert f"{point.price_minor // 100:,}".replace(",", " ") in said
    assert "access point, number" in said


@pytest.mark.parametrize("vary", [ONE, GRID, FIELD])
def test_nothing_but_greys(vary: tuple[str, ...]) -> None:
    text = svg(charts.chart_of(swept(*vary, stack="Plain" if vary is ONE else None)))
    colours = set(re.findall(r"#[0-9a-fA-F]{6}\b|#[0-9a-fA-F]{3}\b", text))
    assert colours
    for colour in colours:
        digits = colour[1:] if len(colour) == 7 else "".join(2 * digit for digit in colour[1:])
        assert digits[0:2] == digits[2:4] == digits[4:6], colour
    assert not re.search(r"(?:fill|stroke)\s*[:=]\s*\"?\s*(?!none|url|#)[a-z]+", text)
    assert "rgb(" not in text


@pytest.mark.parametrize("ending", charts.ENDINGS)
def test_the_same_sweep_makes_the_same_bytes(ending: str) -> None:
    one, other = (charts.bytes_of(charts.chart_of(swept(*GRID)), ending) for _ in range(2))
    assert one == other
    assert b"20" not in re.findall(rb"<dc:date>(.*?)</dc:date>", one)
    assert b"<dc:date>" not in one


def test_what_users_wrote_is_shown_as_it_is() -> None:
    """Markup is escaped, formulas are not set, control characters can't break the file."""
    name = '"<b>A&B</b> $x^2$ \\x01 {0}"'
    one = swept(*ONE, stack="Plain", name=name)
    text = svg(charts.chart_of(one))
    assert "<b>" not in text
    assert any("<b>A&B</b> $x^2$" in said for said in words(text))
    bars = words(svg(charts.bars(["<i>\x02</i>", "$2"], [1.0, 2.5], title="t\x03", axis="EUR")))
    assert {"<i>·</i>", "$2", "2.50", "t·"} <= set(bars)


def test_a_frontier_is_what_no_other_beats() -> None:
    xs, ys = [1.0, 2.0, 2.0, 3.0, 4.0], [9.0, 5.0, 6.0, 5.0, 1.0]
    assert charts.unbeaten(xs, ys) == [0, 1, 4]
    said = words(svg(charts.points(xs, ys, list("abcde"), title="T", axes_words=("watts, W", "price, EUR"))))
    assert {"a", "e", "T", "watts, W", "price, EUR"} <= set(said)


def test_lines_and_shapes_differ() -> None:
    """Each line of a grid has a shape of its own, each sort of step another."""
    assert len(set(charts.SHAPES)) == charts.MOST_LINES
    assert len({shape for shape, _ in charts.MARKERS.values()}) == len(charts.MARKERS)


def test_a_users_settings_change_nothing() -> None:
    import matplotlib as mpl

    one = charts.bytes_of(charts.chart_of(swept(*GRID)), ".svg")
    with mpl.rc_context({"lines.linewidth": 7, "axes.facecolor": "red", "font.size": 30}):
        assert charts.bytes_of(charts.chart_of(swept(*GRID)), ".svg") == one
        assert mpl.rcParams["font.size"] == 30


def test_without_the_library_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    real = builtins.__import__

    def without(name: str, *rest: Any, **more: Any) -> Any:
        if name.partition(".")[0] == "matplotlib":
            raise ImportError(name)
        return real(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(BadInput) as told:
        charts.check_chart(tmp_path / "a.svg")
    assert "library that is not installed" in str(told.value)
    assert "configurator[charts]" in str(told.value)


@pytest.mark.parametrize("name", ["a.pdf", "chart", "a.svg.txt"])
def test_other_endings_are_refused(name: str, tmp_path: Path) -> None:
    with pytest.raises(BadInput) as told:
        charts.check_chart(tmp_path / name)
    assert "ends in .svg or .png" in str(told.value)


def test_a_chart_is_written_whole(tmp_path: Path) -> None:
    charts.save(charts.chart_of(swept(*ONE, stack="Plain")), tmp_path / "a.PNG")
    assert (tmp_path / "a.PNG").read_bytes().startswith(b"\x89PNG")
    assert [path.name for path in tmp_path.iterdir()] == ["a.PNG"]
