"""Reference pages of the file formats: every field of a model, and an example that loads."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from pydantic import BaseModel

from configurator.answer import Answer
from configurator.demand import Demand, Wishes
from configurator.fields import Content, Part
from configurator.groups import CATEGORIES
from configurator.meanings import Fact, facts, held_by
from configurator.parts import Parts
from configurator.reading.prices import COLUMNS, OPTIONAL
from configurator.reading.waivers import WaiverFile
from configurator.review.audit import Audit

EXAMPLE = Path(__file__).parents[1] / "formats" / "example"
COMMON: dict[type[BaseModel], str] = {
    Part: "Besides [what every part has](#every-part):",
    Wishes: "Besides every wish of [`defaults`](#defaults):",
}
"""Models that others are made of: their fields are told once."""
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
AUDIT = f"""\
# Audit

{WRITTEN}

What `configurator solve --audit FILE` writes: the record of an answer that `configurator check FILE` checks again
without the solver, and that `configurator since FILE` compares with today.
It holds the demand itself and the hashes of all files that the answer was made from.
A minor number of `audit` adds fields, a major one breaks.
Every field is there; `null` is what "none" says.
Money is whole numbers of the currency's minor unit.

The examples are from [example/audit.json](example/audit.json), the record of the answer to
[example/demand.yaml](example/demand.yaml), and from [example/refusal-audit.json](example/refusal-audit.json), that of
the answer to [example/impossible.yaml](example/impossible.yaml).
"""
WAIVERS = f"""\
# Waivers

{WRITTEN}

A YAML file of breaches that a reviewer accepts, each of one rule by one stack.
`configurator check FILE --waivers WAIVERS` does not fail for these; it tells them, and those that waive nothing.
`configurator solve --waivers WAIVERS` finds valid builds as ever and shows the waivers of its stacks in every form.
Only rules can be waived: no price, no sum, no figure of a conflict.
A waiver holds where its file is named; those that an answer names are shown only.

{READ}
The example is [example/waivers.yaml](example/waivers.yaml), for [example/demand.yaml](example/demand.yaml).
"""
PRICES = f"""\
# Price list

{WRITTEN}

A CSV file (RFC 4180) in UTF-8 with these columns, in any order, and a row for each part.
The currency and the dates are the same in all rows.
A part without a price cannot be ordered; a price without a part is reported.
"""
DISCOUNTS = f"""\
# Discounts

{WRITTEN}

A CSV file (RFC 4180) in UTF-8 with these columns, in any order, and a row for each discount on a price list; it serves
where `--discounts FILE` names it.
A row is on one part, on one category, or, with both empty, on everything.
Of several discounts on a part the largest counts; they don't add up.
What one costs is its list price less the discount, rounded half up to the currency's minor unit, once for one piece.

A discount with `order_from` holds where the whole order, all lines at list prices, comes to at least that.
Such an order is looked for where it is cheaper, and nothing is ordered only to come to more: whatever is ordered has
its place in a build, and no stack gets more units than it has without the threshold.
An order of which some stack has no build earns no such discount.
"""
DISCOUNT_WORDS = {
    "part": ("name", "", "part number, as the price list has it; empty: see `category`"),
    "category": (f"one of {', '.join(CATEGORIES)}", "", "group of the bill; empty, as `part` is: everything"),
    "percent": ("figure", "percent", "taken off the list price; above 0, up to 100, up to two decimals"),
    "from": ("date, year-month-day", "", "first day on which it holds; may be left out: since ever"),
    "until": ("date, year-month-day", "", "last day on which it holds; may be left out: for good"),
    "order_from": (
        "figure",
        "the currency's major unit",
        "value of the whole order at list prices from which it holds; may be left out: any",
    ),
}
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
    """A model under the keys that lead to it, and the stretch of the example that has them."""

    keys: tuple[str, ...]  # none: the file itself
    model: type[BaseModel]
    example: str

    @property
    def title(self) -> str:
        """Its heading."""
        name = ".".join(self.keys)
        return "The file" if not name else f"`{name}`" if " " not in name else name.capitalize()

    @property
    def anchor(self) -> str:
        """What a link to it ends with."""
        return "#" + re.sub(r"[^a-z0-9_ -]", "", self.title.lower()).replace(" ", "-")


def catalog_page() -> str:
    """The technical catalog's page."""
    text = (EXAMPLE / "parts" / "parts.yaml").read_text(encoding="utf-8")
    parts = [
        Section(("every part",), Part, ""),
        *sections(Content, ("every part", "contents"), excerpt(text, "contents")),
    ]
    return _page(CATALOG, [*sections(Parts, (), text), *parts])


def demand_page() -> str:
    """The demand's page."""
    return _page(DEMAND, list(sections(Demand, (), (EXAMPLE / "demand.yaml").read_text(encoding="utf-8"))))


def prices_page() -> str:
    """The price list's page."""
    table = _table(
        ("column", "written as", "unit", "meaning"), [(f"`{key}`", *COLUMN_WORDS[key]) for key in (*COLUMNS, *OPTIONAL)]
    )
    rows = (EXAMPLE / "prices.csv").read_text(encoding="utf-8").splitlines()[:6]
    source = "The example is the beginning of [example/prices.csv](example/prices.csv)."
    return "\n".join([PRICES, *table, "", source, "", "```csv", *rows, "```", ""])


def discounts_page() -> str:
    """The discounts' page."""
    words = [(f"`{key}`", *told) for key, told in DISCOUNT_WORDS.items()]
    rows = (EXAMPLE / "discounts.csv").read_text(encoding="utf-8").splitlines()
    source = "The example is [example/discounts.csv](example/discounts.csv)."
    table = _table(("column", "written as", "unit", "meaning"), words)
    return "\n".join([DISCOUNTS, *table, "", source, "", "```csv", *rows, "```", ""])


def waivers_page() -> str:
    """The waiver file's page."""
    return _page(WAIVERS, list(sections(WaiverFile, (), (EXAMPLE / "waivers.yaml").read_text(encoding="utf-8"))))


def answer_page(answers: Sequence[Answer]) -> str:
    """The answer's page, with examples out of some answers."""
    return _written(ANSWER, Answer, answers)


def audit_page(audits: Sequence[Audit]) -> str:
    """The audit's page, with examples out of some audits."""
    return _written(AUDIT, Audit, audits)


def _written(head: str, model: type[BaseModel], examples: Sequence[BaseModel]) -> str:
    """The page of a file that the tool writes."""
    out, told = [head], list(sections(model, (), ""))
    for section in told:
        found_in = facts(section.model, "serialization")
        rows = [(f"`{fact.key}`", _kind(fact, told), fact.unit, _with_none(fact)) for fact in found_in]
        out += [*_head(section), *_table(("field", "written as", "unit", "meaning"), rows), ""]
        found = next(instances(examples, section.model), None)
        if found is not None and not list(held_by(section.model)):
            out += ["```json", found.model_dump_json(by_alias=True, indent=2), "```", ""]
    return "\n".join(out)


def sections(root: type[BaseModel], keys: tuple[str, ...], example: str) -> Iterator[Section]:
    """A model and those that its fields hold, each told once."""
    seen: set[type[BaseModel]] = set()

    def below(section: Section) -> Iterator[Section]:
        seen.add(section.model)
        yield section
        for key, held in held_by(section.model):
            if held not in seen and key not in _common(section.model):
                yield from below(Section((*section.keys, key), held, excerpt(section.example, key)))

    yield from below(Section(keys, root, example))


def excerpt(text: str, key: str) -> str:
    """The first time that a text of YAML has a key, with everything below it."""
    lines = text.splitlines()
    for n, line in enumerate(lines):
        found = re.match(rf"([ -]*){key}:", line)
        if found is not None:
            indent = len(found[1])
            below = [line[indent:]]
            for rest in lines[n + 1 :]:
                if rest.strip() and len(rest) - len(rest.lstrip()) <= indent:
                    break
                below.append(rest[indent:])
            return "\n".join(below).strip()
    return ""


def instances(held: object, model: type[BaseModel]) -> Iterator[BaseModel]:
    """Every value of a model in some answers."""
    if isinstance(held, BaseModel):
        if type(held) is model:
            yield held
        for key in type(held).model_fields:
            yield from instances(getattr(held, key), model)
    elif isinstance(held, Sequence) and not isinstance(held, str):
        for part in held:
            yield from instances(part, model)


def _page(head: str, told: Sequence[Section]) -> str:
    out = [head]
    for section in told:
        out += [
            *_head(section),
            *_table(("field", "written as", "unit, range", "default", "meaning"), _rows(section, told)),
            "",
        ]
        if section.keys and section.example:
            out += ["```yaml", section.example, "```", ""]
    return "\n".join(out)


def _head(section: Section) -> list[str]:
    about = " ".join((section.model.__doc__ or "").split("\n\n")[0].split())
    base = next((words for model, words in COMMON.items() if _is_made_of(section.model, model)), "")
    return [f"## {section.title}", "", about, *([base] if base else []), ""]


def _is_made_of(model: type[BaseModel], base: type[BaseModel]) -> bool:
    return model is not base and issubclass(model, base)


def _common(model: type[BaseModel]) -> set[str]:
    """Fields that a model shares with others, and that are told once."""
    return {key for base in COMMON if _is_made_of(model, base) for key in base.model_fields}


def _kind(fact: Fact, told: Sequence[Section]) -> str:
    """What is written there; a mapping leads to where it is told."""
    anchor = next((section.anchor for section in told if section.model.__name__ == fact.model), None)
    return fact.kind if anchor is None else fact.kind.replace("mapping", f"[mapping]({anchor})")


def _rows(section: Section, told: Sequence[Section]) -> Iterator[tuple[str, ...]]:
    for fact in facts(section.model):
        if fact.key not in _common(section.model):
            about = ", ".join(part for part in (fact.unit, fact.limits) if part)
            default = "has to be stated" if fact.required else fact.default or fact.otherwise or "nothing"
            yield f"`{fact.key}`", _kind(fact, told), about, default, fact.meaning


def _with_none(fact: Fact) -> str:
    return "; ".join(part for part in (fact.meaning, f"none: {fact.otherwise}" if fact.otherwise else "") if part)


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    return [_line(heads), _line(["---"] * len(heads)), *map(_line, rows)]


def _line(cells: Sequence[str]) -> str:
    return f"| {' | '.join(cell.replace('|', '&#124;') for cell in cells)} |"
