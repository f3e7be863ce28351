"""Every page that is written from the code: formats, and the rule book family by family.

`python -m configurator.render.docs` writes them all; a test fails while any is not current.
They belong to a checkout: pages about rules name the tests of each.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import chdir
from pathlib import Path

from configurator import api, reading
from configurator.answer import Answer
from configurator.render import formats
from configurator.render import json as as_json
from configurator.render.formats import EXAMPLE
from configurator.render.rulebook import source_words
from configurator.review.audit import audit_of
from configurator.rule import Rule

ROOT = Path(__file__).parents[2]
ANSWERS = {"demand.yaml": "answer.json", "impossible.yaml": "refusal.json"}  # the example's demands and answers
AUDITS = {"answer.json": "audit.json", "refusal.json": "refusal-audit.json"}
WAIVERS = {"demand.yaml": "waivers.yaml"}


def pages(answers: Sequence[Answer]) -> dict[Path, str]:
    """Text by file."""
    folder = ROOT / "configurator" / "formats"
    out = {
        folder / "catalog.md": formats.catalog_page(),
        folder / "prices.md": formats.prices_page(),
        folder / "discounts.md": formats.discounts_page(),
        folder / "demand.md": formats.demand_page(),
        folder / "answer.md": formats.answer_page(answers),
        folder / "audit.md": formats.audit_page([audit_of(answer) for answer in answers]),
        folder / "waivers.md": formats.waivers_page(),
    }
    families: dict[str, list[Rule]] = {}
    for rule in api.rule_book():
        families.setdefault(rule.family, []).append(rule)
    return {
        **out,
        **{ROOT / "rules" / name / "README.md": family_page(name, rules) for name, rules in families.items()},
    }


def solved() -> dict[Path, Answer]:
    """The answers to the example's demands, by file."""
    on = reading.load_prices(EXAMPLE / "prices.csv").issued
    with chdir(EXAMPLE):  # names of files in the answers are those beside them
        catalog = api.load_catalog(".", on=on)
        asked = {demand: api.load_demand(demand, catalog, on) for demand in ANSWERS}
        accepted = {
            demand: reading.load_waivers(Path(WAIVERS[demand]), *api.named(one), on) if demand in WAIVERS else ()
            for demand, one in asked.items()
        }
    return {
        EXAMPLE / ANSWERS[demand]: api.solve(one, catalog, waivers=accepted[demand]) for demand, one in asked.items()
    }


def kept() -> list[Answer]:
    """The answers as they were last written."""
    return [Answer.model_validate_json((EXAMPLE / name).read_text(encoding="utf-8")) for name in ANSWERS.values()]


def family_page(family: str, rules: Iterable[Rule]) -> str:
    """One family of the rule book: what each rule says, why, from where, and what tests it."""
    about = _docstring(ROOT / "rules" / family / "__init__.py")
    out = [f"# Rules: {family}", "", formats.WRITTEN, "", about, ""]
    for rule in rules:
        out += [f"## `{rule.id}`", "", rule.sentence, ""]
        why = _why(ROOT / "rules" / Path(*rule.id.split(".")).with_suffix(".py"))
        out += [why, ""] if why else []
        reads = ", ".join(f"`{key}`" for key in rule.about) or "nothing: it holds whatever is asked"
        out += [f"- Source: {source_words(rule.source)}", f"- Reads of the demand: {reads}"]
        out += [f"- Tested in: {', '.join(_tests(rule))}", ""]
    return "\n".join(out)


def _docstring(path: Path) -> str:
    return ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""


def _why(path: Path) -> str:
    """What the rule's file says after its first sentence."""
    rest = _docstring(path).partition("\n\n")[2]
    text = " ".join(rest.removeprefix("Why it matters: ").split())
    return text[:1].upper() + text[1:]


def _tests(rule: Rule) -> Iterator[str]:
    """Links to what tests a rule: its own cases, its scenario, and published figures."""
    own = [ROOT / "tests" / "rules" / f"test_{rule.id.replace('.', '_')}.py"]
    own += [ROOT / "tests" / "scenarios" / f"{rule.id}.yaml"]
    published = sorted((ROOT / "tests" / "published").glob("test_*.py"))
    named = [path for path in published if rule.id in path.read_text(encoding="utf-8")]
    for path in [*(path for path in own if path.is_file()), *named]:
        name = path.relative_to(ROOT).as_posix()
        yield f"[{name}](../../{name})"


def main() -> None:
    """Writes the example's answers and every page."""
    answers = solved()
    texts = {path: as_json.render(answer) for path, answer in answers.items()}
    texts.update({EXAMPLE / AUDITS[p.name]: as_json.of_audit(audit_of(answer)) for p, answer in answers.items()})
    texts.update(pages(list(answers.values())))
    for path, text in texts.items():
        path.write_text(text, encoding="utf-8")
        sys.stdout.write(f"{path.relative_to(ROOT)}\n")


if __name__ == "__main__":
    main()
