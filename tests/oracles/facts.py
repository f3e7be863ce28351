"""Published figures that generated worlds are built from, each with its source."""

from __future__ import annotations

from configurator.parts import CountryRow, Coupler, PoeClassRow

# IEEE 802.3 clauses 33 and 145: watts at port and device, channel loop resistance;
# least port volts by type (44 type 1, 50 types 2 and 3, 52 type 4), partly from memory.
POE_CLASSES = tuple(
    PoeClassRow.model_validate(dict(poe_class=c, port_w=p, device_w=d, port_min_v=v, loop_ohm=r))
    for c, p, d, v, r in (
        (0, "15.4", "12.95", 44, "20"),
        (1, "4.0", "3.84", 44, "20"),
        (2, "7.0", "6.49", 44, "20"),
        (3, "15.4", "12.95", 44, "20"),
        (4, "30", "25.5", 50, "12.5"),
        (5, "45", "40", 50, "6.25"),
        (6, "60", "51", 50, "6.25"),
        (7, "75", "62", 52, "6.25"),
        (8, "90", "71.3", 52, "6.25"),
    )
)

# IEC 60320: connector, the inlets it mates with, rated amperes.  That C15 also fits C14 is from memory.
COUPLERS = tuple(
    Coupler.model_validate(dict(connector=c, inlets=i, rating_a=a))
    for c, i, a in (("C13", ("C14",), "10"), ("C15", ("C14", "C16"), "10"), ("C19", ("C20",), "16"))
)

# Mains voltages are IEC 60038's (230 V) and ANSI C84.1's (120 V); regions are invented.
COUNTRIES = (
    CountryRow(code="DE", name="Germany", mains_v=230, regions=("EMEA",)),
    CountryRow(code="US", name="United States", mains_v=120, regions=("AMER",)),
)
PLUGS = {"DE": "CEE 7-7", "US": "NEMA 5-20"}  # a plug of each country, from memory; NEMA WD 6
