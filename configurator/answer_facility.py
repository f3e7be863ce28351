"""What a closet must have ready, as people and programs read it: part of the answer's models."""

from __future__ import annotations

from typing import Literal

from configurator.fields import Model, Number

Feed = Literal["A", "B"]


class Inlets(Model):
    """Inlets that are alike, and the current of one."""

    inlet: str  # IEC 60320 inlet
    plug: str | None  # at the rack's end of the cord; none: no cord
    feed: Feed | None  # the one they hang on; none: feeds are not told apart
    count: int  # how many
    input_v: int | None  # voltage at them; none: nobody said
    expected_a: Number | None  # most that one carries while every supply works; none: no input voltage known
    rated_a: Number | None  # at the supply's rated output; none: no input voltage known


class FeedLoad(Model):
    """What one feed carries in all."""

    feed: Feed | None  # which of the two; none: feeds are not told apart
    input_v: int | None  # voltage at the inlets; none: nobody said
    plug_w: Number  # while both feeds work
    volt_amperes: Number  # while both feeds work
    amps: Number | None  # while both feeds work; none: no input voltage known
    lost_volt_amperes: Number | None  # while the other feed is lost; none: feeds are not told apart
    lost_amps: Number | None  # while the other feed is lost; none: as above, or no input voltage known


class Circuits(Model):
    """Branch circuits that are alike, and the current of the one that carries most."""

    feed: Feed | None  # which of the two; none: feeds are not told apart
    shared: bool  # each carries a whole stack (its inlets on this feed); off: each carries one inlet
    count: int  # how many
    input_v: int | None  # voltage at the inlets; none: nobody said
    circuit_a: Number | None  # what one is rated for; none: nobody said
    share_percent: int  # of it, what the site's code allows
    allowed_a: Number | None  # rating times share, rounded down; none: no rating known
    expected_a: Number | None  # most that one carries while everything works; none: no input voltage known
    lost_feed_a: Number | None  # most that one carries while the other feed is lost; none: no two feeds, or no voltage
    rated_a: Number | None  # of one that carries one inlet, at the supply's rated output; none: shared, or no voltage
    within: bool | None  # all of these currents are allowed; none: rating or voltage unknown


class Outlets(Model):
    """Outlets of one type that the cords' plugs go into."""

    plug: str  # type of plug
    count: int  # how many are needed
    free: int | None  # how many the demand says are free; none: it doesn't say, or not the same for all stacks here
    within: bool | None  # there are enough; none: not known


class Limit(Model):
    """A limit that the demand states, and the figure it is held against."""

    key: str  # the demand's word: heat_w, rack_units_free …
    figure: Number | None  # what is reached; none: the catalog doesn't say
    limit: Number  # as stated
    unit: str  # W, VA, dB, rack units, mm, kg
    within: bool | None  # whether the limit holds; none: not known


class Facility(Model):
    """What a room must have ready: everything in use at once, every PoE port at what it reserves.

    Watts, volt-amperes, amperes, heat and sound are rounded up to a tenth.
    """

    rack_units: int  # of all units
    depth_mm: int | None  # of the deepest unit; none: not in the catalog for every unit
    weight_kg: Number | None  # of all units with what is fitted; none: not in the catalog for every unit
    heaviest_kg: Number | None  # of the heaviest unit whose weight is known; none: none is
    lifters: int | None  # people who lift it under ideal conditions; none: lifting gear, or no weight known
    load_w: Number  # what the supplies deliver
    poe_w: Number  # of it, what leaves on the devices' cables
    plug_w: Number  # what the supplies take
    volt_amperes: Number  # what the supplies take
    input_v: int | None  # voltage at the inlets; none: nobody said, or not the same for all stacks here
    heat_btu_h: Number  # of all plug watts
    closet_w: Number  # plug watts less the PoE that leaves
    closet_btu_h: Number  # heat of what stays
    noise_db: Number | None  # A-weighted sound power of all units; none: not in the catalog for every unit
    airflow: tuple[str, ...]  # directions that units blow in
    laser_classes: tuple[str, ...]  # of the optics, as the catalog has them
    feeds: tuple[FeedLoad, ...]  # what each feed carries
    circuits: tuple[Circuits, ...]  # branch circuits
    inlets: tuple[Inlets, ...]  # by type, plug and feed
    outlets: tuple[Outlets, ...]  # by plug
    limits: tuple[Limit, ...]  # as the demand states them
    cautions: tuple[str, ...]  # what to mind on site


class Standing(Model):
    """A stack in a closet."""

    name: str  # the stack's
    copies: int  # how many of it stand in this closet
    built: bool  # off: it has no build, so the figures leave it out


class Closet(Model):
    """A room with everything that stands in it."""

    name: str  # as the demand calls it; of a room of its own, the stack's name
    own: bool  # no closet is named: each copy of the stack has a room of its own
    rooms: int  # how many rooms are like this one; the figures are those of one
    stacks: tuple[Standing, ...]  # what stands in one room, in the demand's order
    facility: Facility | None  # what its stacks ask of it together; none: nothing in it has a build
