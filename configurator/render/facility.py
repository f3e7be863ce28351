"""The facility sheet: what each closet must have ready, as text for whoever runs the building."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from configurator import messages
from configurator.answer import Answer
from configurator.answer_facility import Circuits, Closet, Facility, FeedLoad, Limit, Outlets
from configurator.cautions import cautions, lifting
from configurator.messages import counted, listed, number
from configurator.render import proof
from configurator.render.sections import Bullets, Listing, Section, Table, as_text, lines, section, title
from configurator.render.style import PLAIN, Style

LIMITED = {
    "rack_units_free": "space",
    "rack_depth_mm": "depth of the deepest unit",
    "rack_weight_kg": "weight",
    "heat_w": "heat that stays",
    "ups_va": "load of the UPS",
    "noise_db": "sound power",
}
HEAD = "Planning figures at full load, rounded up; local codes and licensed people have the last word."
OWN = "A stack that names no closet has a room of its own, and so has each of its copies."
BOTH_WAYS = {"front-to-back", "back-to-front"}


def render(answer: Answer, style: Style = PLAIN) -> str:
    """The sheet of each closet, one after the other."""
    about = [
        ("Customer", answer.customer or ""),
        ("Project", answer.project or ""),
        ("Order date", answer.order_date.isoformat()),
    ]
    notes = [f"Note: {note}" for note in answer.notes]
    told = [section("", lines(*notes))] * bool(notes)
    told.append(section("", Listing(tuple(row for row in about if row[1]), indent=""), lines(HEAD)))
    for place, closet in enumerate(answer.closets, start=1):
        told.append(title(f"Closet {place} of {len(answer.closets)}: {closet.name}"))
        told.append(section("", Listing((("holds", holds(closet)), *_own(closet)))))
        if closet.facility is not None:
            told.append(section("One room at full load", Listing(tuple(rows(closet.facility)))))
            told.append(section("Mind on site", Bullets(closet.facility.cautions)))
    told.append(section("", lines(f"Checked: {messages.checks(answer)}.")))
    return as_text([*told, *proof.waivers(answer.waivers, proof.NOT_NEEDED)], style)


def overview(closets: Sequence[Closet]) -> Iterator[Section]:
    """All closets in one table, then what is over a limit; nothing where a stack's own figures say it all."""
    if len(closets) == 1 and closets[0].own and closets[0].rooms == 1:
        return
    heads = ("Closet", "Rooms", "Holds", "Rack units", "kg", "W", "VA", "A", "BTU/h", "BTU/h staying", "Outlets")
    yield section("", Table(heads, tuple(_row(closet) for closet in closets), right=(1, 3, 4, 5, 6, 8, 9)))
    notes = ["Figures are those of one room at full load.", *([OWN] if any(one.own for one in closets) else [])]
    yield section("", lines(*notes))
    if over := [f"{closet.name}: {text}" for closet in closets for text in _over(closet)]:
        yield section("Over what the demand says", Bullets(tuple(over)))


def together(closets: Iterable[Closet]) -> tuple[str, ...]:
    """What to mind in any of the rooms, once for all."""
    rooms = [closet.facility for closet in closets if closet.facility is not None]
    return cautions(
        feeds_poe=any(room.poe_w for room in rooms),
        heaviest_kg=max((room.heaviest_kg for room in rooms if room.heaviest_kg is not None), default=None),
        laser_classes=sorted({one for room in rooms for one in room.laser_classes}),
        airflow=next((room.airflow for room in rooms if set(room.airflow) >= BOTH_WAYS), ()),
    )


def holds(closet: Closet) -> str:
    """What stands in one room."""
    stacks = []
    for one in closet.stacks:
        copies = f", {one.copies} copies" if one.copies > 1 else ""
        stacks.append(f"{one.name}{copies}" + ("" if one.built else " (has no build, left out of the figures)"))
    return listed(stacks, "; ")


def _own(closet: Closet) -> Iterator[tuple[str, str]]:
    if closet.rooms > 1:
        yield "rooms", f"{closet.rooms} alike, one for each copy, since the demand names no closet"
    elif closet.own:
        yield "rooms", "1, of the stack's own, since the demand names no closet"


def _row(closet: Closet) -> tuple[str, ...]:
    one = closet.facility
    head = (closet.name, str(closet.rooms), "the stack" if closet.own and one is not None else holds(closet))
    if one is None:
        return (*head, *[""] * 8)
    amps = [f"{feed.feed} {number(feed.amps)}" if feed.feed else number(feed.amps) for feed in one.feeds if feed.amps]
    figures = (one.plug_w, one.volt_amperes)
    return (
        *head,
        str(one.rack_units),
        "" if one.weight_kg is None else number(one.weight_kg),
        *(number(figure) for figure in figures),
        ", ".join(amps),
        number(one.heat_btu_h),
        number(one.closet_btu_h),
        ", ".join(f"{outlets.count} x {outlets.plug}" for outlets in one.outlets),
    )


def _over(closet: Closet) -> Iterator[str]:
    """What is over: stacks are proved one by one, and what each keeps within they may exceed together."""
    if closet.facility is None:
        return
    several = sum(one.copies for one in closet.stacks) > 1
    why = "; stacks are proved one by one, and it is all that stand here together that exceed this" if several else ""
    for limit in closet.facility.limits:
        if limit.within is False:
            yield _limit(limit) + why
    for outlets in closet.facility.outlets:
        if outlets.within is False:
            yield _outlets(outlets) + why
    for circuits in closet.facility.circuits:
        if circuits.within is False:
            yield f"circuits, {_circuits(circuits)}"


# --- one facility, line by line ---------------------------------------------------------------------------


def rows(one: Facility) -> list[tuple[str, str]]:
    """Label and text of each figure."""
    weight = "not in the catalog" if one.weight_kg is None else f"{number(one.weight_kg)} kg"
    deep = "" if one.depth_mm is None else f", {one.depth_mm} mm deep"
    feeds = [feed for feed in one.feeds if feed.feed is not None or len(one.feeds) > 1]
    amps = "" if feeds or one.feeds[0].amps is None else f", {number(one.feeds[0].amps)} A at {one.feeds[0].input_v} V"
    poe = f"of it {number(one.poe_w)} W PoE"
    out = [
        ("space", f"{counted(one.rack_units, 'rack unit', 'rack units')}{deep}; weight {weight}"),
        ("power", f"{number(one.plug_w)} W at the plugs, {number(one.volt_amperes)} VA{amps}; {poe}"),
        ("heat", f"{number(one.heat_btu_h)} BTU/h of all watts at the plugs"),
        ("", f"{number(one.closet_btu_h)} BTU/h ({number(one.closet_w)} W) stay in the closet, without the PoE"),
    ]
    out += [("feeds", _feed(feed)) for feed in feeds]
    out += [("circuits", _circuits(circuits)) for circuits in one.circuits if circuits.expected_a is not None]
    for inlet in one.inlets:
        plug = f", plug {inlet.plug}" if inlet.plug else ""
        feed = f", feed {inlet.feed}" if inlet.feed else ""
        amps = ""
        if inlet.expected_a is not None and inlet.rated_a is not None:
            amps = f"; each up to {number(inlet.expected_a)} A, rated {number(inlet.rated_a)} A"
            amps += f" at {inlet.input_v} V"
        out.append(("inlets", f"{inlet.count} x {inlet.inlet}{plug}{feed}{amps}"))
    out += [("outlets", _outlets(outlets)) for outlets in one.outlets]
    if one.noise_db is not None:
        out.append(("sound", f"{number(one.noise_db)} dB sound power, A-weighted"))
    if one.airflow:
        out.append(("airflow", ", ".join(one.airflow)))
    if one.heaviest_kg is not None:
        out.append(("lifting", f"the heaviest unit weighs {number(one.heaviest_kg)} kg: {lifting(one.heaviest_kg)}"))
    if one.laser_classes:
        out.append(("lasers", f"class {', '.join(one.laser_classes)}"))
    out += [("limits", _limit(limit)) for limit in one.limits]
    return [
        (label if place == 0 or out[place - 1][0] != label else "", text) for place, (label, text) in enumerate(out)
    ]


def _feed(one: FeedLoad) -> str:
    at = "" if one.amps is None else f", {number(one.amps)} A at {one.input_v} V"
    text = f"{one.feed or 'one feed'}: {number(one.plug_w)} W, {number(one.volt_amperes)} VA{at}"
    if one.lost_volt_amperes is not None:
        at = "" if one.lost_amps is None else f", {number(one.lost_amps)} A"
        text += f"; with feed {'B' if one.feed == 'A' else 'A'} lost {number(one.lost_volt_amperes)} VA{at}"
    return text


def _circuits(one: Circuits) -> str:
    each = "a stack" if one.shared else "an inlet"
    feed = f" on feed {one.feed}" if one.feed else ""
    currents = [(one.expected_a, ""), (one.lost_feed_a, " with the other feed lost"), (one.rated_a, " rated")]
    amps = ", ".join(f"{number(amps)} A{words}" for amps, words in currents if amps is not None)
    allowed = ""
    if one.circuit_a is not None and one.allowed_a is not None:
        share = "" if one.share_percent == 100 else f" ({one.share_percent} % of {number(one.circuit_a)} A)"
        over = ": TOO MUCH" if one.within is False else ""
        allowed = f"; {number(one.allowed_a)} A allowed{share}{over}"
    return f"{one.count}{feed}, one {each}: up to {amps}{allowed}"


def _outlets(one: Outlets) -> str:
    free = "" if one.free is None else f" of {one.free} free"
    short = f": {one.count - one.free} TOO FEW" if one.free is not None and one.within is False else ""
    return f"{one.count} x {one.plug}{free}{short}"


def _limit(one: Limit) -> str:
    if one.figure is None:
        return f"{LIMITED[one.key]}: not in the catalog for every unit; {number(one.limit)} {one.unit} allowed"
    text = f"{LIMITED[one.key]}: {number(one.figure)} of {number(one.limit)} {one.unit} allowed"
    return text if one.within else f"{text}: {number(Decimal(one.figure) - one.limit)} {one.unit} TOO MUCH"
