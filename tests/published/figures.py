"""The published figures beside the tests, with the basis of each."""

from __future__ import annotations

import csv
from pathlib import Path

from configurator.parts import Parts
from configurator.reading.parts import load_parts

TABLES = Path(__file__).parent / "tables"
DEMO = Path(__file__).parents[2] / "demo_catalog" / "parts"


def rows(name: str) -> list[dict[str, str]]:
    """A table's rows, each with its source and basis."""
    with (TABLES / f"{name}.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def said(row: dict[str, str]) -> str:
    """Where a figure comes from, for a failing test to say."""
    clause = row.get("clause") or row.get("clause_or_spec") or row.get("rule") or ""
    return f"{row['source']} {clause} ({row['basis']})"


def demo_parts() -> Parts:
    """The demonstration catalog's parts, with the standards' tables that it doesn't state itself."""
    return load_parts(DEMO)
