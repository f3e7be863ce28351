"""A demand in one line: options of the command instead of a file, read by the same checks.

Ports of a class are taken as powered, each port feeding a device of that class, unless the line says
`capable`.  A class is asked for because telephones, cameras and access points will be plugged in, and a
build that feeds them all can't turn out short of watts on site, while one that only could feed some can.
It costs more, so the answer lists it among what was assumed.

Uplinks whose way nobody names go over fibre: what lies between closets.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any, NamedTuple

from pydantic import BaseModel

from configurator.catalog import Catalog
from configurator.demand import AccessPorts, Devices, Uplinks, Wishes
from configurator.errors import BadInput, Problem
from configurator.reading.asks import Asked
from configurator.reading.assumptions import Assumption
from configurator.reading.demand import asked_of
from configurator.reading.files import STANDARD_INPUT
from configurator.reading.line_words import Fields, Slip, read_field, read_words
from configurator.reading.sheet import Sheet
from configurator.reading.vocabulary import vocabulary
from configurator.reading.words import Path, key_of, listed, shown

NAME = "Stack"
LINE = "command line"
SERVED: Mapping[str, type[BaseModel]] = {"ports": AccessPorts, "devices": Devices, "uplinks": Uplinks}
"""Options that may be said several times, each a statement of its own."""
WISHES = ("units_at_least", "units_at_most", "on_supply_loss", "airflow", "country")
"""Options that hold a wish's value as it is."""
OPTIONS = (*SERVED, *WISHES, "headroom", "feature", "wish", "copies")
NAMELESS = "device"  # kind of devices of which the line tells none

Said = Mapping[str, Sequence[str]]  # values by option, without dashes and with underscores


class Where(NamedTuple):
    """An option with its value, as it was written."""

    option: str
    value: str

    def __str__(self) -> str:
        """As one would write it again."""
        quoted = f'"{self.value}"' if re.search(r"\s", self.value) or not self.value else self.value
        return f"{self.option} {quoted}"


@dataclass
class LineSheet(Sheet):
    """A demand's data as a file would hold it; a value stands in an option."""

    options: dict[Path, Where] = field(default_factory=dict)

    def where(self, path: Path) -> str:
        """The option."""
        return str(self._option(path)[1])

    def problem(self, path: Path, text: str, hint: str, *, on_key: bool = False) -> Problem:  # noqa: ARG002
        """What is wrong with the value there; a hint to add a line is one to add an option."""
        at, option = self._option(path)
        value = self.at(path)
        within = path[len(at) :] if len(at) > 2 else ()  # a wish is named by its option
        key = key_of(tuple(step for step in within if isinstance(step, str)))
        return Problem(str(option), None, None, key, None if value is None else shown(value), text, _as_option(hint))

    def _option(self, path: Path) -> tuple[Path, Where | str]:
        while path not in self.options:
            if not path:
                return path, LINE
            path = path[:-1]
        return path, self.options[path]


@dataclass(frozen=True)
class Line:
    """What the options say: a demand's data, and what was assumed to make it one."""

    sheet: LineSheet
    said: tuple[Where, ...]
    assumed: tuple[Assumption, ...]


def load_line(said: Said, catalog: Catalog, on: date) -> Asked:
    """What the options ask for; BadInput tells everything that is wrong with them."""
    line = read_line(said, catalog)
    asked = asked_of(line.sheet, catalog, on)
    return replace(asked, assumptions=(*line.assumed, *asked.assumptions))


def check_one_demand(file: str | None, said: Said, *, printed: bool) -> None:
    """BadInput where a file and options both ask for something, or nothing is there to be printed."""
    options = listed(f"--{option.replace('_', '-')}" for option in said)
    if file is not None and said:
        text = f"a demand file is named, and {options} would make another demand"
        hint = "leave the file out, or say in it what the options say: --print-demand without a file shows how"
        raise BadInput([Problem(STANDARD_INPUT if file == "-" else file, None, None, "", None, text, hint)])
    if printed and not said:
        text = "no option says what is asked for, so there is nothing to print"
        hint = "add --ports, --devices or --uplinks and no file; `configurator demand new` writes a file to start from"
        raise BadInput([Problem("--print-demand", None, None, "", None, text, hint)])


def read_line(said: Said, catalog: Catalog) -> Line:
    """The data of a demand that options stand for, before any check of what it says."""
    reader = _Reader(vocabulary(catalog).fibres)
    for option in OPTIONS:
        for value in said.get(option, ()):
            reader.take(option, value)
    if not any(said.get(option) for option in SERVED):
        hint = "add --ports, --devices or --uplinks: --ports 24,1G"
        reader.problems.append(Problem(LINE, None, None, "", None, "nothing asks for a port", hint))
    if reader.problems:
        raise BadInput(reader.problems)
    return reader.line()


class _Reader:
    """Takes options one by one."""

    def __init__(self, fibres: frozenset[str]) -> None:
        self.fibres = fibres
        self.stack: dict[str, Any] = {"name": NAME}
        self.wishes: Fields = {}
        self.options: dict[Path, Where] = {}
        self.said: list[Where] = []
        self.problems: list[Problem] = []
        self.assumed: dict[Assumption, None] = {}

    def take(self, option: str, value: str) -> None:
        where = Where(f"--{option.replace('_', '-')}", value)
        self.said.append(where)
        if not value.isprintable():
            self.tell(where, Slip("a character in it can't be printed", "use letters, digits and blanks"))
        elif option in SERVED:
            self.serve(option, where)
        elif option == "copies":
            self.stack["copies"] = value
            self.options["stacks", 0, "copies"] = where
        else:
            self.wish(*_as_wish(option, value), where)

    def serve(self, option: str, where: Where) -> None:
        """A statement that asks for ports."""
        stated: list[Fields] = self.stack.setdefault(option, [])
        fields, slips = read_words(where.value, SERVED[option], self.fibres)
        for slip in slips:
            self.tell(where, slip)
        self.options["stacks", 0, option, len(stated)] = where
        stated.append(self.completed(fields, SERVED[option]))

    def completed(self, fields: Fields, model: type[BaseModel]) -> Fields:
        """With what a line leaves open and a file would state."""
        poe_class, use = fields.pop("class", None), fields.pop("use", None)
        if model is AccessPorts and poe_class is not None:
            fields["capable_of_class" if use == "capable" else "powered_at_class"] = poe_class
            if use is None:
                text = f"each port of class {poe_class} feeds a device of that class, not only could"
                self.assume("ports.powered_at_class", str(poe_class), text)
        if model is Devices:
            fields.setdefault("kind", NAMELESS)
        if model is Uplinks and not fields.keys() & {"over", "far_form"}:
            fields["over"] = "fibre"
            if "fibre" not in fields:
                self.assume("uplinks.over", "fibre", "uplinks go over fibre, whichever lies there")
        return {key: fields[key] for key in model.model_fields if key in fields}

    def wish(self, key: str, value: str, where: Where) -> None:
        """A wish by its key."""
        path: Path = ("defaults", key)
        if path in self.options and key != "features":
            self.tell(where, Slip(f"{key} is stated twice, first by {self.options[path]}", "take one of the two out"))
            return
        slip = read_field(f"{key}={value}", Wishes, self.wishes)
        if slip is not None:
            self.tell(where, slip)
        self.options.setdefault(path, where)

    def assume(self, key: str, value: str, text: str) -> None:
        self.assumed[Assumption((NAME,), key, value, text)] = None

    def tell(self, where: Where, slip: Slip) -> None:
        self.problems.append(Problem(str(where), None, None, "", None, slip.text, slip.hint))

    def line(self) -> Line:
        order = {key: self.stack[key] for key in ("name", "copies", *SERVED) if key in self.stack}
        wishes = {key: self.wishes[key] for key in Wishes.model_fields if key in self.wishes}
        data = {**({"defaults": wishes} if wishes else {}), "stacks": [order]}
        return Line(LineSheet(LINE, data, {}, {}, options=self.options), tuple(self.said), tuple(self.assumed))


def _as_wish(option: str, value: str) -> tuple[str, str]:
    """The wish that an option stands for, by key and value."""
    if option == "headroom":
        return ("headroom_percent", value[:-1]) if value.endswith("%") else ("headroom_count", value)
    if option == "feature":
        return "features", value
    if option == "on_supply_loss":
        return option, value.replace("-", "_")
    if option == "wish":
        key, _, stated = value.partition("=")
        return key.strip().replace("-", "_"), stated.strip()
    return option, value


def _as_option(hint: str) -> str:
    """A hint about lines of a file, for one who writes options."""

    def said(found: re.Match[str]) -> str:
        key = found[1]
        if key in OPTIONS:
            return f"--{key.replace('_', '-')}"
        return f"--wish {key}=…" if key in Wishes.model_fields else f"{key}=…"

    return re.sub(r"(?:a line )?`(\w+):[^`]*`", said, hint).replace(" here or under `defaults`", "")
