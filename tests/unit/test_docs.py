"""Pages that are written from the code are current, complete, and their examples load."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml
from pydantic import BaseModel

from configurator import api, reading
from configurator.answer import Answer
from configurator.build import Order
from configurator.catalog import Catalog, PriceRow
from configurator.demand import Demand, Uplinks, Wishes
from configurator.meanings import facts, held_by
from configurator.parts import Parts
from configurator.reading import discounts
from configurator.reading.prices import COLUMNS, OPTIONAL
from configurator.reading.waivers import WaiverFile
from configurator.render import docs, formats
from configurator.render.formats import EXAMPLE, excerpt
from configurator.review.audit import Audit, audit_of
from configurator.review.changes import Changes

ON = reading.load_prices(EXAMPLE / "prices.csv").issued
PAGES = docs.pages(docs.kept())
FORMATS: dict[str, type[BaseModel]] = {
    "catalog.md": Parts,
    "demand.md": Demand,
    "waivers.md": WaiverFile,
    "answer.md": Answer,
    "audit.md": Audit,
}
WRITTEN: dict[str, type[BaseModel]] = {"answer.md": Answer, "audit.md": Audit}


def catalog() -> Catalog:
    return api.load_catalog(EXAMPLE, on=ON)


def models(root: type[BaseModel]) -> Iterator[type[BaseModel]]:
    """A model and every one that it leads to."""
    seen = [root]
    for model in seen:
        seen += [held for _, held in held_by(model) if held not in seen]
    yield from seen


ALL = sorted(
    {m for root in (Parts, Demand, Answer, Audit, Changes, WaiverFile, Order, PriceRow) for m in models(root)},
    key=lambda m: (m.__name__, m.__module__),
)

# --- current ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", list(PAGES), ids=lambda path: path.relative_to(docs.ROOT).as_posix())
def test_a_page_is_current(path: Path) -> None:
    """`python -m configurator.render.docs` writes them."""
    assert path.read_text(encoding="utf-8") == PAGES[path]


def test_there_is_a_page_for_each_format_and_family() -> None:
    families = {rule.family for rule in api.rule_book()}
    names = {path.relative_to(docs.ROOT).as_posix() for path in PAGES}
    formats_named = {f"configurator/formats/{name}" for name in (*FORMATS, "prices.md", "discounts.md")}
    assert names == formats_named | {f"rules/{family}/README.md" for family in families}


# --- complete ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("model", ALL, ids=lambda model: f"{model.__module__}.{model.__name__}")
def test_every_field_has_a_meaning(model: type[BaseModel]) -> None:
    assert [fact.key for fact in facts(model) if len(fact.meaning) < 3] == []
    assert model.__doc__


def test_every_wish_says_how_it_is_taken_while_nobody_says() -> None:
    assert [fact.key for fact in facts(Wishes) if not fact.otherwise] == []


@pytest.mark.parametrize("page", FORMATS)
def test_every_field_of_every_model_is_on_its_page(page: str) -> None:
    text = (docs.ROOT / "configurator" / "formats" / page).read_text(encoding="utf-8")
    rows = re.findall(r"^\| `(\w+)` \|", text, re.MULTILINE)
    for model in models(FORMATS[page]):
        aliases = {field.alias or key for key, field in model.model_fields.items()}
        assert aliases <= set(rows), model


def test_a_field_is_told_in_plain_words() -> None:
    told = {fact.key: fact for fact in facts(Uplinks)}
    length = told["length_m"]
    assert (length.kind, length.unit, length.limits, length.default) == ("figure", "m", "0 to 1,000,000", "5")
    assert told["over"].kind == "one of fibre, direct, copper, any"
    assert (told["count"].required, told["count"].limits) == (True, "1 to 10,000")
    page = (docs.ROOT / "configurator" / "formats" / "demand.md").read_text(encoding="utf-8")
    assert "| `length_m` | figure | m, 0 to 1,000,000 | 5 | way to the far end |" in page


def test_every_column_of_a_price_list_is_on_its_page() -> None:
    page = formats.prices_page()
    assert set(formats.COLUMN_WORDS) == {*COLUMNS, *OPTIONAL}
    for column in (*COLUMNS, *OPTIONAL):
        assert f"| `{column}` |" in page


def test_every_column_of_discounts_is_on_its_page() -> None:
    page = formats.discounts_page()
    assert tuple(formats.DISCOUNT_WORDS) == (*discounts.COLUMNS, *discounts.OPTIONAL)
    for column in formats.DISCOUNT_WORDS:
        assert f"| `{column}` |" in page


def test_the_example_of_discounts_can_be_read() -> None:
    read = reading.load_discounts(EXAMPLE / "discounts.csv", catalog().prices, ON)
    assert [row.line for row in read.in_force] == [2, 3, 4]
    assert {row.part for row in read.rows if row.part} <= set(catalog().prices.rows)


def test_every_rule_is_on_its_familys_page_with_its_tests() -> None:
    for rule in api.rule_book():
        page = PAGES[docs.ROOT / "rules" / rule.family / "README.md"]
        part = page.partition(f"## `{rule.id}`\n")[2].partition("\n## ")[0]
        assert f"\n{rule.sentence}\n" in part
        assert rule.source.text in part
        assert f"tests/rules/test_{rule.id.replace('.', '_')}.py" in part


@pytest.mark.parametrize("path", list(PAGES), ids=lambda path: path.relative_to(docs.ROOT).as_posix())
def test_links_lead_somewhere(path: Path) -> None:
    text = PAGES[path]
    headings = re.findall(r"^## (.*)$", text, re.MULTILINE)
    anchors = {re.sub(r"[^a-z0-9_ -]", "", heading.lower()).replace(" ", "-") for heading in headings}
    assert len(anchors) == len(headings)
    for link in re.findall(r"\]\(([^)]*)\)", text):
        file, _, anchor = link.partition("#")
        assert anchor in anchors if not file else (path.parent / file).exists(), link


# --- examples ---------------------------------------------------------------------------------------


def test_the_example_catalog_has_something_under_every_key() -> None:
    parts = catalog().parts
    assert [key for key in Parts.model_fields if not getattr(parts, key)] == []
    assert api.catalog_notes(catalog()) == ()


def test_the_example_demand_says_something_in_every_section() -> None:
    demand = reading.load_demand(EXAMPLE / "demand.yaml", catalog(), ON).demand
    assert list(models(Demand)) == [model for model in models(Demand) if next(formats.instances(demand, model), None)]


SOURCES = {"catalog.md": "parts/parts.yaml", "demand.md": "demand.yaml", "waivers.md": "waivers.yaml"}


@pytest.mark.parametrize("page", SOURCES)
def test_every_section_shows_its_part_of_the_example(page: str) -> None:
    """An excerpt is as it stands in the file, so it loads with it."""
    source = EXAMPLE / SOURCES[page]
    whole = "\n".join(line.strip() for line in source.read_text(encoding="utf-8").splitlines())
    text = PAGES[docs.ROOT / "configurator" / "formats" / page]
    sections = re.split(r"^## ", text, flags=re.MULTILINE)[2:]
    for section in sections:
        shown = re.search(r"```yaml\n(.*?)\n```", section, re.DOTALL)
        if not section.startswith("Every part\n"):
            assert shown is not None, section[:40]
            assert "\n".join(line.strip() for line in shown[1].splitlines()) in whole
            assert isinstance(yaml.safe_load(shown[1]), dict)


@pytest.mark.parametrize("section", list(formats.sections(Parts, (), "")), ids=lambda section: section.title)
def test_an_excerpt_begins_with_its_key(section: formats.Section) -> None:
    if section.keys:
        text = (EXAMPLE / "parts" / "parts.yaml").read_text(encoding="utf-8")
        assert excerpt(text, section.keys[-1]).startswith(f"{section.keys[-1]}:")


def test_an_excerpt_ends_where_its_key_does() -> None:
    text = "a:\n  - b: 1\n    c: {d: 2}\n    e:\n      - 3\n\n  - b: 4\nf: 5\n"
    assert excerpt(text, "a") == "a:\n  - b: 1\n    c: {d: 2}\n    e:\n      - 3\n\n  - b: 4"
    assert excerpt(text, "e") == "e:\n  - 3"
    assert excerpt(text, "c") == "c: {d: 2}"
    assert excerpt(text, "z") == ""


@pytest.mark.parametrize("name", list(docs.ANSWERS.values()))
def test_the_example_answers_load(name: str) -> None:
    text = (EXAMPLE / name).read_text(encoding="utf-8")
    assert json.loads(Answer.model_validate_json(text).model_dump_json(by_alias=True)) == json.loads(text)


@pytest.mark.parametrize("name", list(docs.AUDITS))
def test_the_example_audits_are_of_the_example_answers(name: str) -> None:
    audit = reading.load_audit(EXAMPLE / docs.AUDITS[name])
    assert audit == audit_of(reading.load_answer(EXAMPLE / name))


def test_the_example_waivers_load_and_are_in_the_example_answer() -> None:
    asked = reading.load_demand(EXAMPLE / "demand.yaml", catalog(), ON)
    accepted = reading.load_waivers(EXAMPLE / "waivers.yaml", *api.named(asked), ON)
    assert accepted
    assert reading.load_answer(EXAMPLE / "answer.json").waivers == accepted


@pytest.mark.parametrize("name", WRITTEN)
def test_examples_of_answers_are_out_of_the_example_answers(name: str) -> None:
    page = PAGES[docs.ROOT / "configurator" / "formats" / name]
    by_title = {section.title: section.model for section in formats.sections(WRITTEN[name], (), "")}
    sections = re.split(r"^## ", page, flags=re.MULTILINE)[1:]
    shown = {
        text.partition("\n")[0]: found[1] for text in sections if (found := re.search(r"```json\n([^`]*)```", text))
    }
    assert len(shown) > 10
    for title, example in shown.items():
        by_title[title].model_validate_json(example)


def test_the_example_answers_are_what_the_tool_finds() -> None:
    for path, found in docs.solved().items():
        kept = Answer.model_validate_json(path.read_text(encoding="utf-8"))
        assert (found.status, found.total_minor, found.bill) == (kept.status, kept.total_minor, kept.bill)
