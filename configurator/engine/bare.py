"""Fit-outs where prices play no part: only what a unit can carry matters, and whether it can be had at all.

Of fit-outs that carry no more than another none is looked at further, so that what a unit needs is
asked of few.
"""

from __future__ import annotations

from configurator.book import Book
from configurator.engine.cover import Needs, covers
from configurator.engine.fitouts import NO_LIMIT, Priced, outlines, power_needs, shape_needs
from configurator.engine.layouts import Wanted
from configurator.engine.offers import cheapest_recipe
from configurator.engine.powering import powerings
from configurator.parts import Box, UnitType
from configurator.setting import Setting


class Halves:
    """Both halves of a type's fit-outs; which of them can be had is found out when asked for."""

    def __init__(self, book: Book, unit: UnitType, setting: Setting, wanted: Wanted) -> None:
        self.book = book
        self.setting = setting
        self.boxes = [box for box in book.catalog.boxes_of[unit.id] if book.sold(box.id, setting)]
        self.shapes = outlines(book, unit, setting, wanted) if self.boxes else []
        self.powers = powerings(book, unit, setting) if self.boxes else []
        self.by_gives: dict[tuple[int, ...], list[int]] = {}  # power halves by what they give
        for place, (_, gives) in enumerate(self.powers):
            limited = tuple(NO_LIMIT if amount is None else amount for amount in gives)
            self.by_gives.setdefault(limited, []).append(place)
        self._of_shape: dict[int, list[Box]] = {}
        self._of_power: dict[int, list[Box]] = {}

    def had(self, shape: int, power: int) -> Priced | None:
        """A fit-out by its halves, in the first box with which both can be had; none: in no box."""
        with_power = self._boxes_for_power(power)
        box = next((box for box in self._boxes_for_shape(shape) if box in with_power), None) if with_power else None
        if box is None:
            return None
        outline, fitout = self.shapes[shape], self.powers[power][0]
        gives = self.powers[power][1]
        left = [(NO_LIMIT if g is None else g) - t for g, t in zip(gives, outline.takes, strict=True)]
        return Priced(outline, fitout, box.id, 0, tuple(left), (), (), (), (), 0, 0, ())

    def _boxes_for_shape(self, place: int) -> list[Box]:
        if place not in self._of_shape:
            self._of_shape[place] = self._able(shape_needs(self.book, self.shapes[place].fitout, self.setting))
        return self._of_shape[place]

    def _boxes_for_power(self, place: int) -> list[Box]:
        if place not in self._of_power:
            self._of_power[place] = self._able(power_needs(self.book, self.powers[place][0], self.setting))
        return self._of_power[place]

    def _able(self, needs: Needs) -> list[Box]:
        """Boxes with which all of this can be had."""
        if all(cheapest_recipe(self.book, need, self.setting) is not None for _, need in needs):
            return self.boxes
        return [box for box in self.boxes if covers(self.book, box, needs, self.setting)]
