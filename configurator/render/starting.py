"""A commented demand file to start from: every field of a demand's models, each with an example that loads.

The fields, their units, limits, meanings and defaults come from the models, the names in the examples from
the catalog, so nothing here has to be kept up with either.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from pydantic import BaseModel

from configurator.catalog import Catalog
from configurator.demand import Demand, Life, Spares, Stack, Wishes
from configurator.meanings import Fact, facts, held_by
from configurator.reading.line import SERVED
from configurator.reading.vocabulary import port_groups, vocabulary
from configurator.reading.words import figure
from configurator.render.demand import flow

COLUMN = 36  # from here on a line's comment

# Figures that a reader takes for an example and not for a limit; any other field shows its least.
FIGURES = {
    "altitude_m": "500",
    "amps": "16",
    "between_units_m": "3",
    "cable_m": "60",
    "copies": "2",
    "cord_m": "1.5",
    "count": "4",
    "cooling_percent": "40",
    "depot_km": "40",
    "device_w": "11",
    "discount_rate_percent": "4",
    "draw_percent": "60",
    "energy_per_kwh": "0.30",
    "headroom_count": "2",
    "headroom_percent": "10",
    "headroom_uplinks_count": "1",
    "headroom_uplinks_percent": "50",
    "headroom_w": "50",
    "headroom_w_percent": "10",
    "heat_w": "2000",
    "hours_a_day": "24",
    "inlet_c": "35",
    "lead_m": "3",
    "length_m": "80",
    "licence_months": "36",
    "noise_db": "70",
    "oversubscription": "20",
    "percent": "10",
    "port_w": "13",
    "powered_percent": "60",
    "rack_depth_mm": "800",
    "rack_positions": "20",
    "rack_units_free": "12",
    "rack_weight_kg": "200",
    "share_percent": "80",
    "support_months": "36",
    "units_at_most": "4",
    "ups_va": "3000",
    "years": "5",
}
TEXTS = {"closet": "Room 2.14", "customer": "Customer", "project": "Project", "ref": '"4.2"', "kind": "camera"}
USUAL_MBPS = 10_000  # of an uplink, where the catalog has cages that fast: common practice

HEAD = """\
# A demand: what each stack of switches has to serve.  Names in it suit {catalog}.
# A line that begins with # says nothing; take the # away where something is to be said.
# Behind each: what it means (unit; range); else: how it is taken while nobody says.
# Any wish may carry the customer's own reference: airflow: {{value: front-to-back, ref: "4.2"}}
"""
GUESSED = "# The country is a guess, since a cord is chosen for one: put your own."


@dataclass(frozen=True)
class Said:
    """A line of the file and the comment behind it."""

    text: str
    told: str = ""

    def __str__(self) -> str:
        """With comments one below another."""
        return f"{self.text:<{COLUMN}}  # {self.told}" if self.told else self.text


BLANK = Said("")


SUPPORT = (
    "support_level",
    "support_months",
    "support_until",
    "optics_covered",
    "failed_parts_kept",
    "depot_km",
)
"""Wishes that only a catalog with support contracts can meet."""


@dataclass(frozen=True)
class Examples:
    """What to write in an example of a field."""

    known: Mapping[str, str]  # names and figures by field, from the catalog
    lacking: frozenset[str]  # fields for which the catalog has nothing
    on: date

    def of(self, fact: Fact, model: type[BaseModel]) -> str:
        """A value of this field, as YAML on one line."""
        if fact.model is not None:
            needed = self.item(next(held for key, held in held_by(model) if key == fact.key))
            text = f"{{{', '.join(f'{key}: {value}' for key, value in needed.items())}}}"
        else:
            text = self._value(fact)
        return f"[{text}]" if fact.kind.startswith("list") else text

    def item(self, model: type[BaseModel], **shown: str) -> dict[str, str]:
        """What has to be stated of this model, and what else is shown."""
        needed = {fact.key: self.of(fact, model) for fact in facts(model) if fact.required}
        return {**needed, **shown}

    def _value(self, fact: Fact) -> str:
        kind = fact.kind.removeprefix("list: ")
        if fact.default and fact.key == "speed_mbps":  # of access ports; the catalog's is for uplinks
            return fact.default
        if fact.key in self.known:
            return self.known[fact.key]
        if fact.key in FIGURES or fact.key in TEXTS:
            return FIGURES.get(fact.key) or TEXTS[fact.key]
        if kind.startswith("one of "):
            return kind.removeprefix("one of ").split(", ")[-1]
        if kind.startswith("date"):
            return str(self.on + timedelta(days=365))
        if kind == "yes or no":
            return "no" if "yes" in (fact.default, fact.otherwise) else "yes"
        if kind in ("whole number", "figure"):
            return fact.default or fact.limits.removeprefix("more than ").split(" ")[0].replace(",", "") or "1"
        return fact.default or "name"


def first_line(catalog: Catalog) -> dict[str, list[str]]:
    """What a starting file asks for where nobody says: access ports, and uplinks over a fibre of the catalog."""
    known = known_names(catalog)
    said = {"ports": [f"24,{_speed(_nearest(_speeds(catalog, in_cages=False), 1000))}"]}
    if "fibre" in known:
        said["uplinks"] = [f"2,{known['speed_mbps']},{known['fibre']},50m"]
    return said


def guessed_country(catalog: Catalog) -> str | None:
    """A country of the catalog; none where it knows none."""
    cords = [country for cord in catalog.parts.cords for country in cord.countries]
    return next(iter([*vocabulary(catalog).countries, *cords]), None)


def known_names(catalog: Catalog) -> dict[str, str]:
    """Names and figures that the catalog knows, by the field that may hold them."""
    words, parts = vocabulary(catalog), catalog.parts
    country = guessed_country(catalog)
    usual = next((row for code, row in catalog.countries.items() if code == country), None)
    fibre = _first("OM4", words.fibres)
    found = {
        "country": country,
        "input_v": str(usual.mains_v) if usual else "230",
        "region": _first(usual.regions[0] if usual and usual.regions else "", words.regions),
        "currency": catalog.prices.currency,
        "speed_mbps": _speed(_nearest(_speeds(catalog, in_cages=True), USUAL_MBPS)),
        "stacking_mbps": _speed(min(_stacking(catalog), default=USUAL_MBPS)),
        "fibre": fibre,
        "stack_fibre": fibre,
        "far_form": _first("SFP+", words.forms),
        "far_connector": _first("LC", words.connectors),
        "panel_connector": _first("LC", words.connectors),
        "far_interface": _first("10GBASE-SR", words.interfaces),
        "plug": _first("", words.plugs),
        **dict.fromkeys(
            ("poe_class", "capable_of_class", "powered_at_class"), _first("4", map(str, catalog.poe_classes))
        ),
        "features": _first("", (feature.id for feature in parts.features)),
        "support_level": _first("", {contract.level for contract in parts.support}),
        "release": _first("", (release for unit in parts.unit_types for release in unit.releases)),
        "marks": _first("", (mark for part in catalog.by_id.values() for mark in part.marks)),
        "part": _first("", catalog.by_id),
        "unit": _first("", (unit.id for unit in parts.unit_types)),
    }
    return {key: flow(name) for key, name in found.items() if name}


def lacking(catalog: Catalog) -> frozenset[str]:
    """Fields of which the catalog has nothing that could be asked for."""
    names = {key for key in ("features", "release", "marks") if key not in known_names(catalog)}
    return frozenset(names if catalog.parts.support else {*names, *SUPPORT})


def _first(wanted: str, names: Iterable[str]) -> str | None:
    """The name that most know, if it is there, or the first."""
    known = sorted(names)
    return wanted if wanted in known else next(iter(known), None)


def _speeds(catalog: Catalog, *, in_cages: bool) -> list[int]:
    groups = [group for group in port_groups(catalog) if "network" in group.roles]
    return [speed for group in groups if (group.cage is not None) == in_cages for speed in group.speeds_mbps]


def _stacking(catalog: Catalog) -> list[int]:
    return [speed for group in port_groups(catalog) if "stack" in group.roles for speed in group.speeds_mbps]


def _nearest(speeds: Iterable[int], usual: int) -> int:
    return min(speeds, key=lambda speed: (abs(speed - usual), speed), default=usual)


def _speed(mbps: int) -> str:
    return f"{figure(Decimal(mbps) / 1000)}G" if mbps >= 1000 else f"{mbps}M"


def render(data: Mapping[str, Any], catalog: Catalog, on: date, *, guessed: bool = False) -> str:
    """The file: what the data states as it is, everything else commented out."""
    examples = Examples(known_names(catalog), lacking(catalog), on)
    (stack,) = data["stacks"]
    top = [fact for fact in facts(Demand) if fact.model is None]
    own = [fact for fact in facts(Stack) if fact.key not in {*Wishes.model_fields, *SERVED}]
    lists = {fact.key: fact for fact in (*facts(Demand), *facts(Stack)) if fact.model is not None}
    lines = [
        *_fields(top, Demand, {}, examples),
        BLANK,
        Said("# Wishes for every stack.  Each may be said of one stack instead, beside its name."),
        *([Said(GUESSED)] if guessed else []),
        Said("defaults:"),
        *_indented(_fields(facts(Wishes), Wishes, _texts(data.get("defaults", {})), examples), 2),
        BLANK,
        *_off(_list("spares", lists, [examples.item(Spares, of="supplies", count="1")], Spares, examples)),
        BLANK,
        *_off(_block("life", lists, Life, examples)),
        BLANK,
        Said("stacks:"),
        *_indented(_item(_fields(own, Stack, _texts({k: stack[k] for k in stack if k not in SERVED}), examples)), 2),
    ]
    for key, model in SERVED.items():
        stated = [_texts(one) for one in stack.get(key, [])]
        block = list(_list(key, lists, stated or [examples.item(model)], model, examples))
        lines += [BLANK, *_indented(block if stated else _off(block), 4)]
    return HEAD.format(catalog=catalog.parts.maker or "any catalog") + "\n" + "".join(f"{line}\n" for line in lines)


def _texts(stated: Mapping[str, Any]) -> dict[str, str]:
    return {key: flow(value) for key, value in stated.items()}


def _list(
    key: str,
    about: Mapping[str, Fact],
    items: Iterable[Mapping[str, str]],
    model: type[BaseModel],
    examples: Examples,
) -> Iterator[Said]:
    """A list's key and its items."""
    yield Said(f"{key}:", f"{about[key].meaning}; any number of items")
    for stated in items:
        yield from _indented(_item(_fields(facts(model), model, stated, examples)), 2)


def _block(key: str, about: Mapping[str, Fact], model: type[BaseModel], examples: Examples) -> Iterator[Said]:
    """A key and the fields under it."""
    yield Said(f"{key}:", about[key].meaning)
    yield from _indented(_fields(facts(model), model, examples.item(model), examples), 2)


def _fields(
    told: Iterable[Fact], model: type[BaseModel], stated: Mapping[str, str], examples: Examples
) -> Iterator[Said]:
    """Each field: those that are stated, in their order, then the others commented out."""
    by_key = {fact.key: fact for fact in told}
    for key, value in stated.items():
        yield Said(f"{key}: {value}", comment(by_key[key]))
    for key, fact in by_key.items():
        if key not in stated:
            note = "; this catalog has none" if key in examples.lacking else ""
            yield Said(f"# {key}: {examples.of(fact, model)}", comment(fact) + note)


def _item(lines: Iterable[Said]) -> Iterator[Said]:
    """An item of a list: a dash before its first line."""
    for n, line in enumerate(lines):
        yield replace(line, text=f"{'  ' if n else '- '}{line.text}")


def _indented(lines: Iterable[Said], by: int) -> list[Said]:
    return [replace(line, text=f"{' ' * by}{line.text}") for line in lines]


def _off(lines: Iterable[Said]) -> list[Said]:
    """Lines that say nothing yet."""
    return [replace(line, text=f"# {line.text}") for line in lines]


def comment(fact: Fact) -> str:
    """What a field means, its unit and range, and how it is taken while nobody says."""
    kind = fact.kind.removeprefix("list: ")
    choices = kind.removeprefix("one of ") if kind.startswith("one of ") else kind if kind == "yes or no" else ""
    about = "; ".join(part for part in (choices, fact.unit, fact.limits) if part)
    taken = f"; else: {fact.default or fact.otherwise}" if fact.default or fact.otherwise else ""
    return f"{fact.meaning}{f' ({about})' if about else ''}{taken}"
