"""Figures of a demand file by name, and the demand with other ones: `devices[access point]`, `uplinks[0].length_m`.

A demand with another figure is read anew from its file's data, so whatever reading checks and assumes holds of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Any, Literal, cast, get_args, get_origin

from pydantic import BaseModel

from configurator.catalog import Catalog
from configurator.demand import Stack
from configurator.errors import BadInput, Problem
from configurator.reading import Asked
from configurator.reading.asks import WISHES
from configurator.reading.demand import asked_of
from configurator.reading.shapes import core, is_model, item
from configurator.reading.words import Path, did_you_mean, figure, listed, shown, speed
from configurator.reading.yaml_source import parse

OPTION = "--vary"
Value = int | Decimal
NAMES = ("kind", "name", "plug")  # fields by which one of several statements is called
UNITS = {"w": "W", "m": "m", "km": "km", "mm": "mm", "kg": "kg", "v": "V", "va": "VA", "db": "dB", "c": "°C"}
PERCENT, MONTHS, SPEED = "percent", "months", "mbps"


@dataclass(frozen=True)
class Figure:
    """A figure of the demand file, and where it stands."""

    name: str  # as it was asked for
    stacks: tuple[int, ...]  # places of the stacks in the file, from 0, in all of which it is set
    path: Path  # within a stack: ("devices", 0, "count")
    words: str  # for people: access point, count
    whole: bool  # only whole numbers
    stated: Value | None  # of the first of the stacks; none: nobody stated it

    @property
    def field(self) -> str:
        """The field itself."""
        return next(step for step in reversed(self.path) if isinstance(step, str))

    @property
    def unit(self) -> str:
        """What it is counted in; empty: it is a bare number."""
        last = self.field.rpartition("_")[2]
        if last == PERCENT:
            return "%"
        return {MONTHS: MONTHS, SPEED: "Gb/s", "amps": "A"}.get(last, UNITS.get(last, ""))

    @property
    def is_speed(self) -> bool:
        """Whether it is a rate in Mb/s."""
        return self.field.endswith(SPEED)

    def told(self, value: Value) -> str:
        """The value with its unit."""
        if self.is_speed:
            return speed(int(value))
        unit = self.unit.removesuffix("s") if self.unit == MONTHS and value == 1 else self.unit
        return f"{figure(value)} {unit}".rstrip()

    @property
    def served(self) -> str | None:
        """The key of the statement that serves something, as `devices[0]`; none: it is a wish."""
        first, *rest = self.path
        return f"{first}[{rest[0]}]" if first in ("ports", "devices", "uplinks") else None


def wrong(value: str, text: str, hint: str, option: str = OPTION) -> BadInput:
    """What is wrong with an option's value, and a way out."""
    return BadInput([Problem(option, None, None, "", value, text, hint)])


# --- which figure -------------------------------------------------------------------------------------


def place_of(asked: Asked, stack: str, option: str = "--stack") -> int:
    """The place of a stack in the file by its name; BadInput where there is none."""
    names = [ask.stack.name for ask in asked.asks]
    if stack not in names:
        hint = did_you_mean(stack, names, f"known are: {listed(names)}")
        raise wrong(stack, f"no stack of this demand is called {shown(stack)}", hint, option)
    return names.index(stack)


def figure_of(name: str, asked: Asked, stack: str | None = None) -> Figure:
    """The figure that a name stands for; BadInput where there is none, with what may have been meant.

    stack -- the stack that is looked at alone; none: all of them
    """
    names = [ask.stack.name for ask in asked.asks]
    owners = sorted((one for one in names if name.startswith(f"{one}.")), key=len)
    rest, places = name, tuple(range(len(names))) if stack is None else (place_of(asked, stack),)
    if owners:
        owner = place_of(asked, owners[-1])
        if stack is not None and owner not in places:
            raise wrong(name, f"{shown(name)} is a figure of another stack", f"leave --stack out, or name {stack}")
        rest, places = name[len(owners[-1]) + 1 :], (owner,)
    steps = list(_steps(name, rest))
    first = steps[0][0]
    _known(name, first, Stack, names)
    if len(places) > 1 and first not in WISHES:
        hint = f"name one with --stack, or write STACK.{rest}; the stacks are: {listed(names)}"
        raise wrong(name, f"{shown(name)} could be of any of {len(names)} stacks", hint)
    found = asked.asks[places[0]].stack
    path, whole = _walk(name, steps, found)
    return Figure(name, places, path, _words(path, found), whole, _stated(path, found))


def _steps(name: str, rest: str) -> Iterator[tuple[str, str | None]]:
    """Names with what stands in brackets behind them."""
    while rest:
        head, _, _ = rest.partition(".")
        inside = None
        if "[" in head:
            head, _, after = rest.partition("[")
            inside, closed, rest = after.partition("]")
            if not closed or (rest and not rest.startswith(".")):
                raise wrong(name, f"{shown(name)} has a bracket that is not closed", "write devices[access point]")
            rest = rest[1:]
        else:
            rest = rest[len(head) + 1 :]
        yield head, inside
        if not head:
            break


def _known(name: str, step: str, model: type[BaseModel], stacks: list[str] | None = None) -> None:
    if step not in model.model_fields:
        numbers = _numbers(model)
        known = [*numbers, *(stacks or ())]
        hint = did_you_mean(step, known, f"known here: {listed(numbers, 60)}")
        where = "" if step == name else f" in {shown(name)}"
        raise wrong(name, f"{shown(step)}{where} is no figure that is known here", hint)


def _numbers(model: type[BaseModel]) -> list[str]:
    """Fields that are numbers, or hold some."""
    return [key for key in model.model_fields if _may_hold(_held(model, key))]


def _held(model: type[BaseModel], key: str) -> Any:
    """What a field holds."""
    return core(cast("Any", model.model_fields[key].annotation))


def _may_hold(found: Any) -> bool:
    if get_origin(found) is tuple:
        return _may_hold(item(found, 0))
    return _is_number(found) or is_model(found)


def _is_number(found: Any) -> bool:
    if get_origin(found) is Literal:
        return all(isinstance(one, int) for one in get_args(found))
    return isinstance(found, type) and issubclass(found, int | Decimal) and not issubclass(found, bool)


def _walk(name: str, steps: list[tuple[str, str | None]], stack: Stack) -> tuple[Path, bool]:
    """The path of a figure in a stack, and whether it is a whole number."""
    path: list[str | int] = []
    model: type[BaseModel] = Stack
    here: Any = stack
    found: Any = None
    for step, inside in steps:
        if found is not None and not is_model(found):
            raise wrong(name, f"{shown(step)} in {shown(name)} stands behind a number", "leave it out")
        _known(name, step, model)
        path.append(step)
        found = _held(model, step)
        here = getattr(here, step, None)
        if get_origin(found) is tuple:
            index = _index(name, step, inside, here or (), alone=_is_number(item(found, 0)))
            found = item(found, 0)
            if index is not None:
                path.append(index)
                here = here[index]
            elif here:
                here = here[0]
        elif inside is not None:
            raise wrong(name, f"{shown(step)} is no list, so nothing goes in brackets behind it", "leave them out")
        if is_model(found):
            model = found
            if here is None:
                text = f"{shown(step)} in {shown(name)} is not stated in the demand"
                raise wrong(name, text, "state it in the file, then vary its figures")
    if is_model(found) and "count" in found.model_fields:
        path.append("count")
        found = _held(found, "count")
    if not _is_number(found):
        hint = f"write {name}.FIELD, with one of: {listed(_numbers(model))}" if is_model(found) else "vary a number"
        raise wrong(name, f"{shown(name)} is no number", hint)
    return tuple(path), not (isinstance(found, type) and issubclass(found, Decimal))


def _index(name: str, step: str, inside: str | None, there: tuple[Any, ...], *, alone: bool) -> int | None:
    """The place in a list that is meant; none: the one figure of a list of figures."""
    if alone and inside is None and len(there) < 2:
        return None
    if not there:
        raise wrong(name, f"the stack states no {step}", "vary what it states")
    called = [_called(one) for one in there]
    known = f"known here: {listed(f'{step}[{title or n}]' for n, title in enumerate(called))}"
    if inside is None:
        if len(there) > 1:
            raise wrong(name, f"{shown(name)} could be any of {len(there)}", known)
        return 0
    if inside.isdigit() and inside.isascii() and len(inside) < 6:
        if int(inside) >= len(there):
            raise wrong(name, f"there is no {step}[{inside}]: they are counted from 0", known)
        return int(inside)
    places = [n for n, title in enumerate(called) if title == inside]
    if len(places) > 1:
        numbers = listed(f"{step}[{n}]" for n in places)
        raise wrong(name, f"{len(places)} of {step} are called {shown(inside)}", f"write one of {numbers}")
    if not places:
        hint = did_you_mean(inside, [title for title in called if title], known)
        raise wrong(name, f"none of {step} is called {shown(inside)}", hint)
    return places[0]


def _called(one: object) -> str | None:
    return next((str(title) for key in NAMES if (title := getattr(one, key, None)) is not None), None)


def _stated(path: Path, stack: Stack) -> Value | None:
    here: Any = stack
    for step in path:
        here = here[step] if isinstance(step, int) else getattr(here, step)
        if here is None:
            return None
    if isinstance(here, tuple):
        here = here[0] if here else None
    return here if isinstance(here, int | Decimal) else None


def _words(path: Path, stack: Stack) -> str:
    """`access point, count`, `uplinks, speed mbps`, `headroom percent`."""
    first, *rest = path
    field = next(str(step) for step in reversed(path) if isinstance(step, str))
    head, _, last = field.rpartition("_")
    told = head if head and (last in UNITS or last in (PERCENT, MONTHS, SPEED)) else field
    told = told.replace("_", " ")
    if field in WISHES or not rest:
        return told
    one = getattr(stack, str(first))[rest[0]] if isinstance(rest[0], int) else None
    title = _called(one) or str(first)
    return title if field == "count" else f"{title}, {told}"


# --- with other figures ---------------------------------------------------------------------------------


def with_figures(asked: Asked, figures: list[tuple[Figure, Value]], catalog: Catalog) -> Asked:
    """The demand with other figures, read anew; BadInput names the figure that the demand file doesn't take."""
    if asked.source is None:
        raise wrong("", "this demand was not read from a file or line, so no figure of it can be varied", "read it")
    sheet = parse(asked.source.name, asked.source.text)
    sheet.sources = (asked.source,)
    for one, value in figures:
        for place in one.stacks:
            _set(sheet.data, place, one.path, figure(value))
    try:
        return asked_of(sheet, catalog, asked.asks[0].setting.order_date)
    except BadInput as error:
        said = "; ".join(f"{one.name}={figure(value)}" for one, value in figures)
        raise BadInput([Problem(OPTION, None, None, said, said, e.text, e.hint) for e in error.problems]) from None


def _set(data: Any, place: int, path: Path, value: str) -> None:
    """Sets a figure of one stack; a wish that only the order states becomes the stack's own first."""
    stack, key = data["stacks"][place], str(path[0])
    if key in WISHES and stack.get(key) is None:
        said = (data.get("defaults") or {}).get(key)
        stack[key] = deepcopy(said) if len(path) > 1 else None
    holder: Any = stack
    for step, after in pairwise(path):
        holder = _bare(holder, step)
        if isinstance(after, int) and not isinstance(holder, list):
            break  # a single value where a list may stand
    last = path[-1]
    if len(path) > 1 and isinstance(last, int) and not isinstance(holder, list):
        stack[key] = [value]
    elif isinstance(holder, dict) and isinstance(holder.get(last), dict) and "value" in holder[last]:
        holder[last]["value"] = value  # its reference stays
    else:
        holder[last] = value


def _bare(holder: Any, step: str | int) -> Any:
    """What stands there, without the reference around it."""
    found = holder[step]
    return found["value"] if isinstance(found, dict) and "value" in found else found
