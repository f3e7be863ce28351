"""Whatever is handed in is read or refused with a place and a way out, and nothing else happens."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from configurator.catalog import Catalog
from configurator.errors import BadInput
from configurator.reading import load_demand, load_parts, load_prices
from tests.reading.small import DEMAND, ON, PARTS, PRICES, catalog_of, folder_of, written

SNIPPETS = [
    *("", "~", "[]", "{}", "-1", "0", "1e999", "NaN", "[[[", "]", "}", "'", '"', ":", ": ", "- ", "\n", "\n  ", "\t"),
    *("&a ", "*a", "!!int ", "<<: ", "\x00", "\x85", "\u2028", "\ufeff", "é", "| \n", ">\n", "#", ",", "---\n", "%"),
    *("?", "{value: 5, ref: R}"),
    *("{value: , ref: }", "{ref: 1}", "[1, 2]", "[{a: 1}]", "9" * 30, "2026-02-30", "NO", "10G"),
]  # fmt: skip


@st.composite
def spoiled(draw: st.DrawFn, text: str) -> bytes:
    """The text with a few places replaced."""
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(text)))
        length = draw(st.integers(0, 12))
        text = text[:start] + draw(st.sampled_from(SNIPPETS)) + text[start + length :]
    return text.encode()


@st.composite
def revalued(draw: st.DrawFn, text: str) -> bytes:
    """The text with the values of some keys replaced."""
    lines = text.split("\n")
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(lines) - 1))
        key, colon, _rest = lines[at].partition(":")
        lines[at] = f"{key}{colon} {draw(st.sampled_from(SNIPPETS))}"
    return "\n".join(lines).encode()


def handed_in(read: Callable[[], object]) -> None:
    """Reads; a refusal has to be well told."""
    try:
        read()
    except BadInput as error:
        refusal = error
    else:
        return
    assert refusal.problems
    for problem in refusal.problems:
        assert problem.text
        assert problem.hint
        assert problem.line is None or problem.line >= 1
        assert problem.hint in str(problem)


@pytest.fixture(scope="module")
def catalog(tmp_path_factory: pytest.TempPathFactory) -> Catalog:
    return catalog_of(tmp_path_factory.mktemp("small"))


@settings(max_examples=300, deadline=None)
@given(data=st.one_of(spoiled(DEMAND), revalued(DEMAND), st.binary(max_size=200)))
@example(data=b"stacks: {}\n")
@example(data=b"stacks: [~]\n")
@example(data=b"defaults: []\nstacks: [{name: a, devices: [{}], airflow: {value: , ref: []}}]\n")
def test_any_demand_is_read_or_refused(catalog: Catalog, data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        handed_in(lambda: load_demand(written(Path(folder), "d.yaml", data), catalog, ON))


@settings(max_examples=300, deadline=None)
@given(data=st.one_of(spoiled(PARTS), revalued(PARTS)))
@example(data=b"unit_types: [~, [], {}]\noptics: [1]\n")
def test_any_catalog_is_read_or_refused(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = folder_of(Path(name))
        written(folder, "all.yaml", data)
        handed_in(lambda: load_parts(folder))


@settings(max_examples=300, deadline=None)
@given(data=st.one_of(spoiled(PRICES), st.binary(max_size=200)))
def test_any_price_list_is_read_or_refused(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        handed_in(lambda: load_prices(written(Path(folder), "p.csv", data), ON))
