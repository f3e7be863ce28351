"""How the project is laid out: who imports whom, what every rule has, what no file holds."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from dataclasses import fields
from importlib import import_module
from pathlib import Path

import pytest

from configurator.rule import Rule
from configurator_rules import RULES

ROOT = Path(__file__).parents[2]
ENGINE = sorted((ROOT / "configurator").rglob("*.py"))
RULE_FILES = sorted((ROOT / "rules").rglob("*.py"))
PUTS_TOGETHER = {"api", "cli"}  # hand the rule book to the engine; a module, or a folder of modules
WORDS = {
    "build",
    "catalog",
    "demand",
    "fields",
    "fitout",
    "kinds",
    "months",
    "parts",
    "rule",
    "services",
    "setting",
}  # what rules may know
IN_WORDS = {
    "id",
    "family",
    "sentence",
    "source",
    "about",
    "explains",
    "only_if_asked",
    "applies",
    "check",
    "check_order",
}  # all else is a form of the model
LONGEST = 400  # lines of a file


def tracked() -> list[Path]:
    """Files under version control, or about to be."""
    command = ["git", "ls-files", "--cached", "--others", "--exclude-standard"]
    listed = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout
    return [path for name in listed.splitlines() if (path := ROOT / name).is_file() and not path.is_symlink()]


def texts() -> Iterator[tuple[Path, str]]:
    """Tracked files that are text."""
    for path in tracked():
        try:
            yield path, path.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue


def imported(path: Path) -> set[str]:
    """Modules that a file names in absolute imports, wherever in the file, `a.b` for `from a import b`."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {name.name for name in node.names}
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            found |= {node.module, *(f"{node.module}.{name.name}" for name in node.names)}
    return found


def roots(path: Path) -> set[str]:
    """Top-level packages that a file imports from."""
    return {name.split(".")[0] for name in imported(path)}


def named(rule: Rule) -> str:
    """The name pytest gives to a rule's case."""
    return rule.id


# --- imports --------------------------------------------------------------------------------------


def test_the_engine_knows_no_rule() -> None:
    folder = ROOT / "configurator"
    core = [path for path in ENGINE if path.relative_to(folder).parts[0].removesuffix(".py") not in PUTS_TOGETHER]
    assert {"search.py", "book.py"} <= {path.name for path in core}
    assert [str(path) for path in core if {"configurator_rules", "rules"} & roots(path)] == []


def test_rules_know_only_the_engines_words() -> None:
    allowed = {f"configurator.{name}" for name in WORDS}
    for path in RULE_FILES:
        engine = {name for name in imported(path) if name.split(".")[0] == "configurator"}
        outside = {name for name in engine if ".".join(name.split(".")[:2]) not in allowed and name != "configurator"}
        assert outside == set(), path


def test_rules_import_no_solver() -> None:
    assert [path for path in RULE_FILES if {"ortools", "highspy", "numpy"} & roots(path)] == []


@pytest.mark.parametrize("path", [*ENGINE, *RULE_FILES, *sorted((ROOT / "tests").rglob("*.py"))], ids=str)
def test_packages_go_by_their_installed_names(path: Path) -> None:
    assert {"rules", "demo_catalog"} & roots(path) == set()


def test_checks_run_without_the_solver() -> None:
    """A build is checked in a process where the solver cannot be imported at all."""
    program = """
import sys
from datetime import date

class NoSolver:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in ("ortools", "highspy", "numpy", "pandas"):
            raise ImportError(f"{name} is blocked")

sys.meta_path.insert(0, NoSolver())
from configurator.build import Build, BuiltUnit
from configurator.catalog import Catalog, PriceList
from configurator.demand import Stack
from configurator.parts import Parts
from configurator.setting import Ask, Setting
from configurator_rules import RULES

catalog = Catalog(Parts(), PriceList("EUR", 2, date(2025, 1, 1), date(2025, 12, 31)))
stack = Stack.model_validate({"name": "one", "ports": [{"count": 1}]})
ask = Ask(stack, Setting(order_date=date(2025, 6, 2)))
build = Build(stack="one", units=(BuiltUnit(position=1, unit_type="unknown", box="unknown"),))
found = {rule.id for rule in RULES if list(rule.check(build, ask, catalog))}
print(*sorted(found))
"""
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "ports.all_served" in done.stdout.split()


# --- rules ----------------------------------------------------------------------------------------


def test_rule_ids_are_unique() -> None:
    ids = [rule.id for rule in RULES]
    assert len(ids) > 40
    assert sorted(ids) == sorted(set(ids))


@pytest.mark.parametrize("rule", RULES, ids=named)
def test_a_rule_stands_in_the_file_of_its_name(rule: Rule) -> None:
    family, name = rule.id.split(".")
    assert family == rule.family
    assert import_module(f"configurator_rules.{family}.{name}").RULE is rule


@pytest.mark.parametrize("rule", RULES, ids=named)
def test_a_rule_has_words_a_source_and_a_check_in_its_own_file(rule: Rule) -> None:
    assert rule.sentence.endswith(".")
    assert len(rule.sentence.split()) >= 4
    assert rule.source.text.strip()
    if rule.source.basis == "common practice":
        assert "practice" in rule.source.text
    assert f"configurator_rules.{rule.id}" in (rule.check.__module__, rule.check_order.__module__)


@pytest.mark.parametrize("rule", RULES, ids=named)
def test_a_rule_has_a_part_of_the_model(rule: Rule) -> None:
    forms = {field.name for field in fields(Rule)} - IN_WORDS
    assert {"port_serves", "requires"} <= forms
    assert any(getattr(rule, form) for form in forms)


@pytest.mark.parametrize("rule", RULES, ids=named)
def test_a_rule_has_tests_of_its_own(rule: Rule) -> None:
    path = ROOT / "tests" / "rules" / f"test_{rule.id.replace('.', '_')}.py"
    assert path.is_file()
    functions = [n for n in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(n, ast.FunctionDef)]
    assert sum(function.name.startswith("test_") for function in functions) >= 2


def test_every_file_of_a_family_that_holds_a_rule_is_in_the_book() -> None:
    holds_a_rule = [path for path in RULE_FILES if "\nRULE = " in path.read_text(encoding="utf-8")]
    in_files = {f"{path.parent.name}.{path.stem}" for path in holds_a_rule}
    assert in_files == {rule.id for rule in RULES}


# --- files ----------------------------------------------------------------------------------------


def test_no_source_file_is_longer_than_a_reader_holds() -> None:
    lines = {path: text.count("\n") for path, text in texts() if path.suffix == ".py"}
    assert len(lines) > 50
    assert {str(path): count for path, count in lines.items() if count > LONGEST} == {}


MACHINE = re.compile(r"(?<![\w.~/-])/(?:home|root|work|tmp|opt|farm|Users)/\w")
HOST = re.compile(
    r"index-url|find-links|\bpypi\.org|files\.pythonhosted|https?://[^\s\"')]*(?:/simple\b|/pypi/)",
    re.IGNORECASE,
)


def test_no_file_names_a_path_of_a_machine() -> None:
    found = [f"{path}: {hit.group()}" for path, text in texts() for hit in MACHINE.finditer(text)]
    assert found == []


def test_no_file_names_a_registry() -> None:
    own = Path(__file__)
    found = [f"{path}: {hit.group()}" for path, text in texts() if path != own for hit in HOST.finditer(text)]
    assert found == []


def test_the_searches_for_paths_and_registries_find_some() -> None:
    assert MACHINE.search("see /" + "home/someone/file")
    assert HOST.search("pip install --index" + "-url x")


def test_every_package_is_installed() -> None:
    """The list of packages in pyproject.toml is the tree's."""
    setuptools = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]
    there = {
        ".".join((name, *path.parent.relative_to(ROOT / folder).parts))
        for name, folder in setuptools["package-dir"].items()
        for path in (ROOT / folder).rglob("*.py")
    }
    assert sorted(setuptools["packages"]) == sorted(there)
