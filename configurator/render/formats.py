"""Reference pages of the file formats: every field of a model, and an example that loads."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from pydantic import BaseModel

from configurator.answer import Answer
from configurator.catalog import PriceRow
from configurator.demand import Demand
from configurator.fields import Model
from configurator.meanings import Fact, facts, models_in
from configurator.parts import Parts
from configurator.reading.prices import COLUMNS

Mode = Literal["validation", "serialization"]
EXAMPLE = Path(__file__).parents[1] / "formats" / "example"
WRITTEN = "<!-- Written by `python -m configurator.render.docs`; changes here are lost. -->"

READ = """\
All scalars are read as text and taken as the field expects, so `NO` is Norway and `00123` a part number.
Speeds may be written `100M`, `2.5G`, `10G`.
A list of one item may be written as the item.
Aliases, tags and keys that are stated twice are refused; so is every key that is not on this page.
"""
CATALOG = f"""\
# Technical catalog

{WRITTEN}

A folder of YAML files; the same key in several files is one list.
`configurator check-catalog` tells everything that is wrong with one.

{READ}
A rule applies where the catalog gives its figures: a catalog without cords gets no cords.
The examples are from [example/parts/parts.yaml](example/parts/parts.yaml), which loads as it is.
"""
DEMAND = f"""\
# Demand

{WRITTEN}

A YAML file that says what each stack has to serve; `configurator demand new` writes one to start from.
A wish may carry the customer's own reference: `country: {{value: NL, ref: "2.1"}}`.
What nobody says is filled in and told in the answer under "Assumed".

{READ}
The examples are from [example/demand.yaml](example/demand.yaml), which loads with the catalog beside it.
"""
ANSWER = f"""\
# Answer

{WRITTEN}

What `configurator solve --format json` prints; its JSON Schema is
[answer.schema.json](../schema/answer.schema.json).
A minor number of `schema` adds fields, a major one breaks.
Every field is there; `null` is what "none" says.
Money is whole numbers of the currency's minor unit.

The examples are from [example/answer.json](example/answer.json), the answer to
[example/demand.yaml](example/demand.yaml), and from [example/refusal.json](example/refusal.json), the answer to
[example/impossible.yaml](example/impossible.yaml).
"""
PRICES = f"""\
# Price list

{WRITTEN}

A CSV file (RFC 4180) in UTF-8 with these columns, in any order, and a row for each part.
The currency and the dates are the same in all rows.
A part without a price cannot be ordered; a price without a part is reported.
"""
COLUMN_WORDS = {
    "part": ("name", "", "part number, as the catalog has it"),
    "price": ("figure", "the currency's major unit", "of one; no more decimals than ISO 4217 gives the currency"),
    "currency": ("three capital letters", "", "that the prices are in, by ISO 4217"),
    "status": ("one of active, withdrawn", "", "withdrawn parts can't be ordered"),
    "lead_time_days": ("whole number", "days", "from order to delivery"),
    "issued": ("date, year-month-day", "", "first day on which the list is in force"),
    "valid_until": ("date, year-month-day", "", "last day on which it is"),
    "pack_size": ("whole number", "", "ordered in multiples of this many; may be left out: 1"),
    "least_quantity": ("whole number", "", "ordered in no smaller number; may be left out: 1"),
}
"""What stands in each column of a price list: a CSV file has no model of its own."""


@dataclass(frozen=True)
class Section:
    """A model, under the key that holds it."""

    key: str  # empty: the file itself
    model: type[BaseModel]
    level: int

    @property
    def title(self) -> str:
        """Its heading."""
        return f"`{self.key}`" if self.key else "The file"


def catalog_page() -> str:
    """The technical catalog's page."""
    text = (EXAMPLE / "parts" / "parts.yaml").read_text(encoding="utf-8")
    return _page(CATALOG, Parts, text)


def demand_page() -> str:
    """The demand's page."""
    return _page(DEMAND, Demand, (EXAMPLE / "demand.yaml").read_text(encoding="utf-8"))


def prices_page() -> str:
    """The price list's page."""
    columns = [*COLUMNS, *(key for key in PriceRow.model_fields if key in COLUMN_WORDS and key not in COLUMNS)]
    rows = [(f"`{column}`", *COLUMN_WORDS[column]) for column in columns]
    table = _table(("column", "written as", "unit", "meaning"), rows)
    lines = (EXAMPLE / "prices.csv").read_text(encoding="utf-8").splitlines()
    example = "\n".join(lines[:6])
    whole = "The example is from [example/prices.csv](example/prices.csv)."
    return "\n".join([PRICES, *table, "", whole, "", "```csv", example, "```", ""])


def answer_page(answers: Sequence[Answer]) -> str:
    """The answer's page, with examples out of some answers."""
    out = [ANSWER]
    for section in sections(Answer):
        rows = [
            (f"`{fact.key}`", _kind(fact), fact.unit, _with_none(fact)) for fact in facts(section.model, "serialization")
        ]
        out += [*_head(section), *_table(("field", "written as", "unit", "meaning"), rows), ""]
        found = next(_instances(answers, section.model), None)
        if found is not None and not any(True for _ in models_in(section.model)):
            out += ["```json", found.model_dump_json(by_alias=True, indent=2), "```", ""]
    return "\n".join(out)


def _page(head: str, root: type[BaseModel], text: str) -> str:
    out = [head]
    for section in sections(root):
        out += [*_head(section), *_table(("field", "written as", "unit, range", "default", "meaning"), _rows(section)), ""]
        example = excerpt(text, section)
        if example:
            out += ["```yaml", example, "```", ""]
    return "\n".join(out)


def sections(root: type[BaseModel]) -> Iterator[Section]:
    """The file's own fields, then each model that one holds, the first time, under its key."""
    seen: set[type[BaseModel]] = set()

    def below(key: str, model: type[BaseModel], level: int) -> Iterator[Section]:
        if model in seen:
            return
        seen.add(model)
        yield Section(key, model, level)
        for held_key, held in _held(model):
            yield from below(held_key, held, min(level + 1, 4) if key else 2)

    yield from below("", root, 2)


def _held(model: type[BaseModel]) -> Iterator[tuple[str, type[BaseModel]]]:
    names = {held.__name__: held for held in models_in(model)}
    for key, field in model.model_fields.items():
        for name in names:
            if re.search(rf"\b{name}\b", str(field.annotation)):
                yield field.alias or key, names[name]


def _head(section: Section) -> list[str]:
    about = " ".join((section.model.__doc__ or "").split("\n\n")[0].split())
    base = _base(section.model)
    also = f"Besides those of {base}:" if base else ""
    return [f"{'#' * section.level} {section.title}", "", about, *([also] if also else []), ""]


def _base(model: type[BaseModel]) -> str:
    """What a model has in common with others, which is told once."""
    names = {"Part": "[every part](#every-part)", "Wishes": "[`defaults`](#defaults)"}
    return next((names[base.__name__] for base in model.__mro__[1:] if base.__name__ in names), "")


def _rows(section: Section) -> Iterator[tuple[str, ...]]:
    for fact in facts(section.model):
        about = ", ".join(part for part in (fact.unit, fact.limits) if part)
        default = "has to be stated" if fact.required else fact.default or fact.otherwise or "nothing"
        yield f"`{fact.key}`", _kind(fact), about, default, fact.meaning


def _kind(fact: Fact) -> str:
    return fact.kind


def _with_none(fact: Fact) -> str:
    return "; ".join(part for part in (fact.meaning, f"none: {fact.otherwise}" if fact.otherwise else "") if part)


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    return [_line(heads), _line(["---"] * len(heads)), *map(_line, rows)]


def _line(cells: Sequence[str]) -> str:
    return f"| {' | '.join(cell.replace('|', '&#124;') for cell in cells)} |"


def excerpt(text: str, section: Section) -> str:
    """The first time that the example has this section's key, with everything below it."""
    lines = text.splitlines()
    level = section.level
    del level
    start = next((n for n, line in enumerate(lines) if re.match(rf"[ -]*{re.escape(section.key)}:", line)), None)
    if not section.key or start is None:
        return ""
    indent = len(re.match(r"[ -]*", lines[start])[0])  # type: ignore[index]
    below = [lines[start][indent:]]
    for line in lines[start + 1 :]:
        if line.strip() and len(line) - len(line.lstrip()) <= indent and not line.startswith(" " * indent + "- "):
            break
        below.append(line[indent:])
    return "\n".join(below).strip()


def _instances(held: object, model: type[BaseModel]) -> Iterator[BaseModel]:
    """Every value of a model in some answers."""
    if isinstance(held, BaseModel):
        if type(held) is model:
            yield held
        for key in type(held).model_fields:
            yield from _instances(getattr(held, key), model)
    elif isinstance(held, list | tuple):
        for part in held:
            yield from _instances(part, model)
    elif isinstance(held, Mapping):
        for part in held.values():
            yield from _instances(part, model)
