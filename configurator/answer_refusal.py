"""Why a stack cannot be met, and what would help, as people and programs read it: part of the answer."""

from __future__ import annotations

from configurator.fields import Model, Number


class Given(Model):
    """A statement of the demand, or an assumption that fills it."""

    key: str  # airflow, devices[0] …
    text: str  # as the customer wrote it
    where: str  # file and line, or option
    ref: str | None  # the customer's own reference
    assumed: bool  # nobody said it


class RuleWords(Model):
    """A rule by its id and sentence."""

    id: str  # family and name
    sentence: str  # what it says


class WeighedKind(Model):
    """Devices of one statement in a sum."""

    statement: str  # its key: devices[0] …
    powered: bool  # those that watts are reserved for; else those that none are
    count: int  # how many, growth included
    weight: int  # of each


class CarriedBy(Model):
    """For one way to stack, how many units there may be and the most that one of them carries."""

    families: tuple[str, ...]  # that stack together; empty: one unit alone
    units: int  # how many at most
    each: int  # the most weight that one carries
    unit_type: str | None  # that carries most; none: none is allowed here
    supplies: tuple[str, ...]  # part numbers in it
    modules: tuple[str, ...]  # part numbers in it


class SumWords(Model):
    """What is asked, weighed, and the most that units carry of it."""

    weighed: tuple[WeighedKind, ...]  # what is asked
    asked: int  # counts times weights
    carried: tuple[CarriedBy, ...]  # by ways to stack
    budget: str | None  # what the weights draw; none: they count ports
    step_w: Number | None  # that a weight of 1 draws; none: weights are not watts
    shared_out: bool  # what a unit carries is counted in whole devices; else by the watts that it has left


class ProofWords(Model):
    """Figures that prove a conflict: each choice of whole units falls short by one of the sums, or breaks a limit."""

    sums: tuple[SumWords, ...]  # of which each choice misses one
    choices: int  # groups of choices of whole units that were gone through
    limits: tuple[str, ...]  # ids of rules that keep units out, or that what is asked breaks by itself


class ConflictWords(Model):
    """Statements and rules that cannot hold together."""

    statements: tuple[Given, ...]  # of the demand, and assumptions
    rules: tuple[RuleWords, ...]  # of the trade
    text: str  # with the numbers that clash
    smallest: bool  # proved: any one fewer could be met
    proof: ProofWords | None  # figures that `check` recomputes; none: rules refuse, and no figure does
    alike: tuple[tuple[Given, ...], ...]  # conflicts with other statements that ask for the same


class LoweredWords(Model):
    """One figure of a statement moved just far enough."""

    letter: str  # a, b … after the number of its correction
    statement: Given  # whose figure it is
    field: str  # count, length_m, units_at_most …
    said: str  # as stated
    works: str  # the nearest to it that works
    fails: str  # the next nearer one, shown not to work
    price_minor: int | None  # of the cheapest build then; none: not decided
    more_minor: int | None  # than the cheapest change of all; none: no price


class CorrectionWords(Model):
    """Statements without which the rest can be met; none fewer will do."""

    number: int  # from 1, cheapest first
    aside: tuple[Given, ...]  # statements to give up
    price_minor: int | None  # of the cheapest build without them; none: see `nothing_left`
    nothing_left: bool  # nothing is left to order then; else a price of none was not decided in time
    more_minor: int | None  # than the cheapest change of all; none: no price
    lowered: tuple[LoweredWords, ...]  # instead of giving one of them up
    alike: tuple[tuple[Given, ...], ...]  # corrections with other statements that ask for the same
