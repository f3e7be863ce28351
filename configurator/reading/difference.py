"""Two demand files compared, statement by statement; and the earlier one with some of the changes made."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from copy import deepcopy
from dataclasses import dataclass
from typing import Any, Literal

from configurator.demand import AccessPorts, Demand, Devices, Spares, Stack, Uplinks
from configurator.reading.asks import APART, WISHES, as_written, in_words
from configurator.reading.demand import EMBEDDED
from configurator.reading.validate import validated
from configurator.reading.yaml_source import parse
from configurator.render.demand import text_of

Said = AccessPorts | Devices | Uplinks
Kind = Literal["added", "gone", "changed"]
SERVED = ("ports", "devices", "uplinks")
ABOUT = ("customer", "project")  # of the order; the rest is of its stacks
OF_STACK = ("copies", "closet", *WISHES)


@dataclass(frozen=True)
class Change:
    """One statement that is not as it was."""

    stack: str  # name; empty: of the order as a whole
    key: str  # airflow, devices[0] … as it is now, or was; stack: all that the stack asks for
    kind: Kind
    then: str | None  # in the user's words; none: nobody said it
    now: str | None
    ref: str | None = None  # the customer's own reference, now or then
    was_at: int | None = None  # place in its list
    is_at: int | None = None


class Difference:
    """What changed from one demand file to the other."""

    def __init__(self, then: str, now: str) -> None:
        self._then, self._was = _read(then)
        self._now, self._is = _read(now)
        self.changes = tuple(self._found())

    @property
    def statements(self) -> tuple[tuple[Change, ...], ...]:
        """The changes, a wish that changed alike in several stacks as one."""
        found: dict[object, list[Change]] = {}
        for place, change in enumerate(self.changes):
            wish = change.stack and change.key in WISHES
            found.setdefault((change.key, change.then, change.now) if wish else place, []).append(change)
        return tuple(map(tuple, found.values()))

    def made(self, changes: Collection[Change]) -> str:
        """The earlier file with only some of the changes made."""
        out = deepcopy(self._then)
        for change in changes:
            if not change.stack and change.key in ABOUT:
                _set(out, change.key, self._now.get(change.key))
        out["spares"] = _listed("spares", "", out, self._now, changes)
        stacks = []
        now = {stack["name"]: stack for stack in self._now["stacks"]}
        whole = {change.stack: change.kind for change in changes if change.key == "stack"}
        for stack in out["stacks"]:
            name = stack["name"]
            if whole.get(name) == "gone":
                continue
            for change in changes:
                if change.stack == name and change.key in OF_STACK:
                    _set(stack, change.key, now[name].get(change.key))
            for key in SERVED if name in now else ():
                stack[key] = _listed(key, name, stack, now[name], changes)
            stacks.append({key: value for key, value in stack.items() if value != []})
        stacks += [deepcopy(stack) for name, stack in now.items() if whole.get(name) == "added"]
        out["stacks"] = stacks
        return text_of({key: value for key, value in out.items() if value not in (None, [])})

    # --- what changed -------------------------------------------------------------------------------

    def _found(self) -> Iterator[Change]:
        for key in ABOUT:
            yield from _plain("", key, getattr(self._was, key), getattr(self._is, key), self._then, self._now)
        yield from _paired("", "spares", self._was.spares, self._is.spares, _spares_words)
        was = {stack.name: (stack, raw) for stack, raw in zip(self._was.stacks, self._then["stacks"], strict=True)}
        now = {stack.name: (stack, raw) for stack, raw in zip(self._is.stacks, self._now["stacks"], strict=True)}
        for name, (stack, raw) in was.items():
            if name not in now:
                yield Change(name, "stack", "gone", _stack_words(stack), None)
            else:
                yield from _of_stack(name, stack, raw, *now[name])
        for name, (stack, _) in now.items():
            if name not in was:
                yield Change(name, "stack", "added", None, _stack_words(stack))


def _of_stack(name: str, was: Stack, then: Any, new: Stack, now: Any) -> Iterator[Change]:
    for key in OF_STACK:
        yield from _plain(name, key, getattr(was, key), getattr(new, key), then, now)
    for key in SERVED:
        yield from _paired(name, key, getattr(was, key), getattr(new, key), in_words)


def _plain(stack: str, key: str, was: object, new: object, then: Any, now: Any) -> Iterator[Change]:
    """A statement that stands under a key of its own."""
    if was == new:
        return
    before, after = then.get(key), now.get(key)
    kind: Kind = "added" if before is None else "gone" if after is None else "changed"
    was_said, is_said = (None if x is None else f"{key}: {as_written(_unwrapped(x))}" for x in (before, after))
    refs = [said["ref"] for said in (after, before) if isinstance(said, dict) and isinstance(said.get("ref"), str)]
    yield Change(stack, key, kind, was_said, is_said, next(iter(refs), None))


def _paired(
    stack: str, key: str, was: tuple[Any, ...], new: tuple[Any, ...], words: Callable[[Any], str]
) -> Iterator[Change]:
    """Statements of a list: those that say the same stay, those of the same kind or name changed."""
    left, right = dict(enumerate(was)), dict(enumerate(new))
    pairs: list[tuple[int, int]] = []
    for alike in (_meant, _called):
        for n in list(left):
            m = next((m for m in right if alike(left[n]) == alike(right[m])), None)
            if m is not None:
                before, after = left.pop(n), right.pop(m)
                if _meant(before) != _meant(after):
                    pairs.append((n, m))
    for n, m in pairs:
        yield Change(stack, f"{key}[{m}]", "changed", words(was[n]), words(new[m]), new[m].ref or was[n].ref, n, m)
    for n, one in left.items():
        yield Change(stack, f"{key}[{n}]", "gone", words(one), None, one.ref, was_at=n)
    for m, one in right.items():
        yield Change(stack, f"{key}[{m}]", "added", None, words(one), one.ref, is_at=m)


def _meant(said: Any) -> Any:
    """A statement without the customer's reference to it."""
    return said.model_copy(update={"ref": None})


def _called(said: Any) -> Any:
    """What a statement is about."""
    return (said.of, said.part) if isinstance(said, Spares) else getattr(said, "kind", None) or said.name


def _spares_words(said: Spares) -> str:
    amount = f"{said.percent} %" if said.count is None else str(said.count)
    return f"cold spares: {amount} of {said.of or said.part}"


def _stack_words(stack: Stack) -> str:
    copies = f"{stack.copies} copies: " if stack.copies > 1 else ""
    return copies + "; ".join([in_words(said) for key in SERVED for said in getattr(stack, key)])


# --- files ------------------------------------------------------------------------------------------


def _read(text: str) -> tuple[dict[str, Any], Demand]:
    """A file's data with the order's wishes in each stack and lists as lists, and what it says."""
    sheet = parse(EMBEDDED, text)
    raw = deepcopy(sheet.data)
    for holder in (sheet.data.get("defaults"), *_as_list(sheet.data.get("stacks"))):
        _unwrap(holder)
    if sheet.data.get("defaults", "") is None:
        del sheet.data["defaults"]
    validated(sheet, Demand)  # its shape is right from here on
    data = _own(raw)
    plain = parse(EMBEDDED, text_of(data))
    for stack in plain.data["stacks"]:
        _unwrap(stack)
    return data, validated(plain, Demand)


def _own(data: dict[str, Any]) -> dict[str, Any]:
    """The order's wishes are each stack's that has none of its own."""
    defaults = data.pop("defaults", None) or {}
    data["stacks"] = _as_list(data["stacks"])
    data["spares"] = _as_list(data.get("spares"))
    for stack in data["stacks"]:
        apart = any(stack.get(key) is not None for key in APART)
        for key, value in defaults.items():
            if stack.get(key) is None and not (apart and key in APART):
                stack[key] = deepcopy(value)
        for key in SERVED:
            stack[key] = _as_list(stack.get(key))
    return {key: value for key, value in data.items() if value != []}


def _as_list(value: Any) -> list[Any]:
    return [] if value is None else value if isinstance(value, list) else [value]


def _unwrap(holder: Any) -> None:
    for key in WISHES if isinstance(holder, dict) else ():
        if key in holder:
            holder[key] = _unwrapped(holder[key])


def _unwrapped(said: Any) -> Any:
    """A wish that is written as {value: …, ref: …} is its value."""
    return said.get("value") if isinstance(said, dict) and set(said) & {"value", "ref"} else said


def _set(holder: dict[str, Any], key: str, value: Any) -> None:
    if value is None:
        holder.pop(key, None)
    else:
        holder[key] = deepcopy(value)


def _listed(key: str, stack: str, then: Any, now: Any, changes: Collection[Change]) -> list[Any]:
    """A list of statements with some of the changes made."""
    mine = [change for change in changes if change.stack == stack and change.key.startswith(f"{key}[")]
    instead = {change.was_at: change.is_at for change in mine if change.was_at is not None}
    new = now.get(key) or []
    out = []
    for n, said in enumerate(then.get(key) or []):
        if n not in instead:
            out.append(said)
        elif (m := instead[n]) is not None:
            out.append(deepcopy(new[m]))
    return out + [deepcopy(new[c.is_at]) for c in mine if c.was_at is None and c.is_at is not None]
