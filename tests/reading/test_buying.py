"""How units are bought, as a demand says it: read, and refused where it can't be meant."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.reading.small import DEMAND, asked_of, changed, only


def with_wish(wish: str) -> str:
    """The small demand with one more wish for the order."""
    return changed(DEMAND, "  country: NO\n", f"  country: NO\n  {wish}\n")


def test_a_style_goes_into_the_setting_and_is_a_statement(tmp_path: Path) -> None:
    asked = asked_of(tmp_path, with_wish('bought_as: {value: base_units, ref: "4.2"}'))
    for ask in asked.asks:
        assert ask.setting.bought_as == "base_units"
        statement = ask.statements["bought_as"]
        assert (statement.text, statement.ref, statement.assumed) == ("bought_as: base_units", "4.2", False)


def test_nobody_says_how(tmp_path: Path) -> None:
    for ask in asked_of(tmp_path, DEMAND).asks:
        assert (ask.setting.bought_as, ask.setting.bought_as_by_type) == ("either", ())
        assert not {"bought_as", "bought_as_by_type"} & set(ask.statements)


def test_a_type_of_its_own(tmp_path: Path) -> None:
    asked = asked_of(tmp_path, with_wish("bought_as_by_type: [{unit: u24, bought_as: bundles}]"))
    (said,) = asked.asks[0].setting.bought_as_by_type
    assert (said.unit, said.bought_as) == ("u24", "bundles")
    assert asked.asks[0].statements["bought_as_by_type"].text == "bought_as_by_type: unit u24 bought_as bundles"


@pytest.mark.parametrize(
    ("wish", "key", "text", "hint"),
    [
        ("bought_as: bundle", "defaults.bought_as", '"bundle" is not known here', 'did you mean "bundles"?'),
        (
            "bought_as_by_type: [{unit: u42, bought_as: bundles}]",
            "defaults.bought_as_by_type[0].unit",
            '"u42" is no unit type',
            'did you mean "u24"?',
        ),
        (
            'bought_as_by_type: [{unit: "00123", bought_as: bundles}]',
            "defaults.bought_as_by_type[0].unit",
            '"00123" is no unit type',
            "name the unit type in this box: u24",
        ),
        (
            "bought_as_by_type: [{unit: u24, bought_as: bundles}, {unit: u24, bought_as: either}]",
            "defaults.bought_as_by_type[1].unit",
            'unit type "u24" is there twice',
            "take one of the two out",
        ),
        ("bought_as_by_type: []", "defaults.bought_as_by_type", "the list is empty", "name a unit type in it"),
        ("bought_as_by_type: [{unit: u24}]", "defaults.bought_as_by_type[0]", "bought_as", ""),
    ],
)
def test_what_can_not_be_meant(tmp_path: Path, wish: str, key: str, text: str, hint: str) -> None:
    problem = only(lambda: asked_of(tmp_path, with_wish(wish)))
    assert problem.key.startswith(key)
    assert text in problem.text
    assert hint in problem.hint
