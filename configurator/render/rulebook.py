"""The rule book for reviewers: every rule, its sentence and its source, by family."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence

from configurator.render.blocks import listing
from configurator.render.style import PLAIN, Style
from configurator.rule import Rule, Source


def source_words(source: Source) -> str:
    """Where a rule comes from, and how far that was seen."""
    return source.text if source.text == source.basis else f"{source.text} ({source.basis})"


def as_table(rules: Sequence[Rule], style: Style = PLAIN) -> str:
    """Plain text."""
    blocks = [style.section("", f"{len(rules)} rules.  Every build that is shown has passed the check of each.")]
    for family, members in _families(rules):
        rows = [pair for rule in members for pair in ((rule.id, rule.sentence), ("", source_words(rule.source)))]
        blocks.append(style.section(family, listing(rows)))
    return "\n\n".join(blocks) + "\n"


def as_json(rules: Iterable[Rule]) -> str:
    """One object a rule, in the book's order."""
    rows = [
        {
            "id": rule.id,
            "family": rule.family,
            "sentence": rule.sentence,
            "source": rule.source.text,
            "basis": rule.source.basis,
            "about": list(rule.about),
        }
        for rule in rules
    ]
    return json.dumps({"schema": "1.0", "rules": rows}, indent=2, ensure_ascii=False) + "\n"


def as_markdown(rules: Iterable[Rule]) -> str:
    """A table a family."""
    blocks = ["# Rules"]
    for family, members in _families(rules):
        rows = [f"| `{rule.id}` | {_cell(rule.sentence)} | {_cell(source_words(rule.source))} |" for rule in members]
        blocks.append("\n".join([f"## {family}", "", "| rule | what it says | source |", "|---|---|---|", *rows]))
    return "\n\n".join(blocks) + "\n"


def _families(rules: Iterable[Rule]) -> list[tuple[str, list[Rule]]]:
    """Rules by family, both in the book's order."""
    found: dict[str, list[Rule]] = {}
    for rule in rules:
        found.setdefault(rule.family, []).append(rule)
    return list(found.items())


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")
