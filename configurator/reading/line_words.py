"""The words of a one-line demand: `180,class4`, `12 access points, class 4, 2.5G`, `2,10G,OM4,80m`.

Words stand in any order, apart by commas or blanks, and each is known by its form: a bare number is the
count, `10G` a speed, `class4` a PoE class, `80m` or `2km` a length, `11W` watts at the device, `60%` how
many are powered at once; a fibre goes by its name.  What is left of a device's words is its kind.
Any other field of the file's models is said as `field=value`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, get_origin

from pydantic import BaseModel

from configurator.demand import AccessPorts, Devices, Uplinks
from configurator.reading.shapes import core, is_model, item
from configurator.reading.vocabulary import COPPER
from configurator.reading.words import did_you_mean, figure, listed, nearest, shown

Fields = dict[str, str | list[str]]


@dataclass(frozen=True)
class Slip:
    """What is wrong with a word, and a way out."""

    text: str
    hint: str


@dataclass(frozen=True)
class Form:
    """A form of word: what it looks like, the field that it fills, and what it stands for there."""

    pattern: str
    field: str
    example: str
    value: Callable[[str], str] = str


def _metres(text: str) -> str:
    return figure(Decimal(text[:-2]) * 1000) if text.endswith("km") else text[:-1]


def _without_unit(text: str) -> str:
    return text[:-1]


def _class(text: str) -> str:
    return text.removeprefix("class")


_SPEED = Form(r"[0-9]+(\.[0-9]+)?[GMg]", "speed_mbps", "a speed such as 10G", str.upper)
_LENGTH = r"[0-9]+(\.[0-9]+)?k?m"
_PERCENT = Form(r"[0-9]+%", "powered_percent", "how many are powered at once such as 60%", _without_unit)
_FIBRE = re.compile(r"(OM|OS)[0-9][A-Za-z]?")  # categories of ISO/IEC 11801, from memory

FORMS: Mapping[type[BaseModel], tuple[Form, ...]] = {
    AccessPorts: (
        _SPEED,
        Form(r"class[0-9]+", "class", "class4", _class),
        Form("powered|capable", "use", "powered or capable"),
        _PERCENT,
        Form(_LENGTH, "length_m", "a length such as 80m", _metres),
    ),
    Devices: (
        _SPEED,
        Form(r"class[0-9]+", "poe_class", "class4", _class),
        Form(r"[0-9]+(\.[0-9]+)?W", "device_w", "watts at the device such as 11W", _without_unit),
        _PERCENT,
        Form(_LENGTH, "cable_m", "a length such as 80m", _metres),
    ),
    Uplinks: (
        _SPEED,
        Form("fibre|direct|any", "over", "fibre, direct, copper or any"),
        Form(_LENGTH, "length_m", "a length such as 80m", _metres),
    ),
}
"""Forms of words by what they speak of; `class` and `use` of ports make one field together."""

_JOINED = re.compile(r"(\bclass)\s+(?=[0-9])|([0-9])\s+(?=(?:k?m|W|%)(?:[\s,]|$))")
_COUNT = re.compile(r"[0-9]+")
_PHRASE = "kind"  # of devices: the words that have no form of their own


def read_words(value: str, model: type[BaseModel], fibres: frozenset[str]) -> tuple[Fields, list[Slip]]:
    """The fields that a value's words state, as a file would, and what is wrong with the words."""
    reader = _Words(model, fibres)
    for word in re.split(r"[\s,]+", _JOINED.sub(r"\1\2", value).strip(" ,")):
        if word:
            reader.take(word)
    return reader.fields, reader.slips or list(reader.lacking())


def read_field(word: str, model: type[BaseModel], fields: Fields) -> Slip | None:
    """`field=value` into the fields; a list grows by what is stated again, or by commas."""
    key, _, value = word.partition("=")
    if key not in model.model_fields:
        return Slip(
            f"{shown(key)} is not a field that is known here",
            did_you_mean(key, model.model_fields, f"known here: {listed(model.model_fields, 60)}"),
        )
    if not value:
        return Slip(f"{key} is stated without a value", f"write {key}=…")
    if _holds_mappings(model, key):
        return Slip(f"{key} takes more than one word", "write a demand file; --print-demand shows this line as one")
    if get_origin(_kind(model, key)) is tuple:
        _add(fields, key, value)
        return None
    return _state(fields, key, value)


def _holds_mappings(model: type[BaseModel], key: str) -> bool:
    """Whether a field, or each item of its list, is a mapping."""
    kind = _kind(model, key)
    return is_model(item(kind, 0) if get_origin(kind) is tuple else kind)


def _kind(model: type[BaseModel], key: str) -> Any:
    annotation: Any = model.model_fields[key].annotation
    return core(annotation)


def _add(fields: Fields, key: str, value: str) -> None:
    """To a list, which may be stated piece by piece."""
    held = fields.setdefault(key, [])
    assert isinstance(held, list)
    held += [part for part in re.split(r"[\s,]+", value) if part]


def _state(fields: Fields, key: str, value: str) -> Slip | None:
    if key in fields:
        return Slip(f"{key} is stated twice: {shown(fields[key])} and {shown(value)}", "take one of the two out")
    fields[key] = value
    return None


class _Words:
    """Takes words one by one."""

    def __init__(self, model: type[BaseModel], fibres: frozenset[str]) -> None:
        self.model = model
        self.fibres = fibres
        self.forms = FORMS[model]
        self.fields: Fields = {}
        self.slips: list[Slip] = []
        self.phrase: list[str] = []

    def take(self, word: str) -> None:
        field, value = self._known(word)
        slip: Slip | None = None
        if field is not None:
            slip = _state(self.fields, field, value)
        elif "=" in word:
            slip = read_field(word, self.model, self.fields)
        elif self.model is Devices and not self._looks_known(word):
            self.phrase.append(word)
            self.fields[_PHRASE] = " ".join(self.phrase)
        else:
            slip = self._unknown(word)
        if slip is not None:
            self.slips.append(slip)

    def _known(self, word: str) -> tuple[str | None, str]:
        """The field that a word fills, and with what."""
        if _COUNT.fullmatch(word):
            if "count" in self.fields:
                return None, word
            return "count", word
        for form in self.forms:
            if re.fullmatch(form.pattern, word):
                return form.field, form.value(word)
        if self.model is AccessPorts and (word == COPPER or self._is_fibre(word)):
            return "over", word
        if self.model is Uplinks and word == COPPER:
            return "over", word
        if self.model is Uplinks and self._is_fibre(word):
            return "fibre", word
        return None, word

    def _is_fibre(self, word: str) -> bool:
        return word in self.fibres or _FIBRE.fullmatch(word) is not None

    def _spelt(self) -> list[str]:
        """Words that are known by their letters."""
        said = [word for form in self.forms for word in form.pattern.split("|") if word.isalpha()]
        fibres = [] if self.model is Devices else [COPPER, *sorted(self.fibres)]
        return [*said, *fibres, *(["class4"] if self.model is not Uplinks else [])]

    def _looks_known(self, word: str) -> bool:
        """Whether a word is rather a slip than a part of a device's name."""
        return word[0].isdigit() or nearest(word, ["class", "class4", "powered", "capable"]) is not None

    def _unknown(self, word: str) -> Slip:
        forms = listed(("a count", *(form.example for form in self.forms)), 40)
        if _COUNT.fullmatch(word):
            text = f"two counts: {shown(self.fields['count'])} and {shown(word)}"
            return Slip(text, "take one out, or say its unit: 10G, class4, 80m")
        found = re.match(r"[0-9]+(\.[0-9]+)?[GM]", word)
        if found:
            return Slip(f"{shown(word)} is not known here", f'did you mean "{found[0]}"?')
        otherwise = f"known here: {forms}; any other field as field=value"
        return Slip(f"{shown(word)} is not known here", did_you_mean(word, self._spelt(), otherwise))

    def lacking(self) -> Iterator[Slip]:
        """What has to be said and isn't."""
        if "count" not in self.fields:
            yield Slip("it is not said how many", "add the count: a number without a unit")
        if self.model is Uplinks and "speed_mbps" not in self.fields:
            yield Slip("it is not said how fast", "add a speed such as 10G")
        if "use" in self.fields and "class" not in self.fields:
            yield Slip(f"{self.fields['use']}, and no class is stated", "add a class such as class4")
