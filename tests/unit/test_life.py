"""Energy, present value and renewals against published formulas and sums done by hand."""

from __future__ import annotations

import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from configurator.build import Bought, Build
from configurator.demand import Life, Stack
from configurator.life.answering import paid_back
from configurator.life.cost import cost_of
from configurator.life.curves import Curve, curve_of
from configurator.life.present_value import half_up, renewed_in, single, uniform
from configurator.life.renewals import renewed_minor, with_renewals
from configurator.life.spreading import Drawing, NoRoom, mains_w
from configurator.life.terms import terms_of
from configurator.parts import EfficiencyPoint, Supply
from configurator.setting import Ask
from tests.oracles.draft import Draft
from tests.oracles.life import taken_w
from tests.oracles.random_worlds import make_ask


def life(**said: object) -> Life:
    return Life.model_validate({"years": 1, "energy_per_kwh": "0.10", **said})


def supply(*points: tuple[int, str], efficiency: str = "0.9") -> Supply:
    """A supply of 1000 W with these efficiencies at parts of its load."""
    return Supply.model_validate(
        dict(
            id="S",
            description="-",
            outputs=[dict(from_v=1, to_v=999, output_w=1000)],
            efficiency=efficiency,
            efficiency_at=[dict(load_percent=load, efficiency=part) for load, part in points],
        )
    )


def curve(*points: tuple[int, str]) -> Curve:
    return curve_of([(supply(*points), Decimal(1000))])


# --- energy ---------------------------------------------------------------------------------------


def plain_shop(base_draw_w: int) -> tuple[Draft, Build, Ask]:
    """One unit without a supply of its own: the mains give what it draws."""
    draft = Draft()
    draft.add("families", id="F")
    ports = [dict(id="c", count=8, connector="RJ45", speeds_mbps=(1000,))]
    draft.add("unit_types", id="T", description="-", family="F", ports=ports, base_draw_w=base_draw_w)
    draft.add("boxes", 1000, id="T-A", unit="T")
    unit = dict(position=1, unit_type="T", box="T-A", bought=(Bought(part="T-A", count=1),))
    ask = make_ask(Stack.model_validate(dict(name="one", ports=[dict(count=1)])))
    return draft, Build.model_validate(dict(stack="one", units=(unit,))), ask


@pytest.mark.parametrize(
    ("watts", "hours_a_day", "days", "kwh", "cents_a_kwh", "cents"),
    # U.S. Department of Energy, "Estimating Appliance and Home Electronic Energy Use", as restated in public
    # text: (200 W x 4 h/day x 120 days/year) / 1000 = 96 kWh, x 11 cents/kWh = $10.56/year
    [(200, 4, 120, 96, 11, 1056)],
)
def test_energy_is_watts_times_hours(
    watts: int, hours_a_day: int, days: int, kwh: int, cents_a_kwh: int, cents: int
) -> None:
    """The example's hours of 120 days are spread over the 365 days of a year: a device draws in these alone."""
    draft, build, ask = plain_shop(watts)
    terms = terms_of(life(energy_per_kwh=Decimal(cents_a_kwh) / 100), 2)
    whole_year = cost_of(build, ask, draft.catalog(), terms)
    part = Fraction(hours_a_day * days, 24 * 365)
    assert whole_year.kwh_a_year * part == kwh
    assert whole_year.energy * part == cents


def test_a_constant_load_all_year() -> None:
    """1000 W at all hours of 365 days are 8760 kWh; at 0.10 a kWh 876.00."""
    draft, build, ask = plain_shop(1000)
    cost = cost_of(build, ask, draft.catalog(), terms_of(life(), 2))
    assert cost.kwh_a_year == 8760
    assert (cost.energy_minor, cost.cooling_minor, cost.total_minor) == (87_600, 0, 88_600)


def test_cooling_takes_its_share_of_the_heat() -> None:
    draft, build, ask = plain_shop(1000)
    cost = cost_of(build, ask, draft.catalog(), terms_of(life(cooling_percent=40), 2))
    assert (cost.energy_minor, cost.cooling_minor) == (87_600, 35_040)
    assert cost.cooling_kwh_a_year == 3504


# --- present value -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("years", "percent", "factor"),
    # P/A (i = 6 %, n = 10) = 7.3601: interest tables of engineering economy, as restated in public text
    # ("time value of money" of an energy modelling course); the other from memory of the same tables.
    [(10, 6, "7.3601"), (5, 4, "4.4518")],
)
def test_the_uniform_factor_is_that_of_the_tables(years: int, percent: int, factor: str) -> None:
    rate = Fraction(percent, 100)
    assert round(float(uniform(years, rate)), 4) == float(factor)
    # the closed form ((1 + d)^n - 1) / (d (1 + d)^n) of the uniform present value factor, NIST Handbook 135
    # (from memory; 10 CFR 436.19 has life-cycle cost as the sum of such present values)
    assert uniform(years, rate) == ((1 + rate) ** years - 1) / (rate * (1 + rate) ** years)


def test_without_a_rate_a_year_is_worth_a_year() -> None:
    assert uniform(7, Fraction(0)) == 7
    assert single(3, Fraction(0)) == 1


def test_halves_are_rounded_up() -> None:
    assert [half_up(Fraction(n, 4)) for n in (1, 2, 3, 5, 6)] == [0, 1, 1, 1, 2]


# --- renewals ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("term", "years", "falls"),
    [(12, 5, [1, 2, 3, 4]), (36, 5, [3]), (24, 5, [2, 4]), (60, 5, []), (18, 3, [2]), (1, 1, [1] * 11)],
)
def test_what_ends_is_bought_again_until_the_end(term: int, years: int, falls: list[int]) -> None:
    """What ends after 18 months is renewed in the second year, and counts at its end."""
    assert [year for year, _ in renewed_in(term, years)] == falls


def test_months_are_bought_as_far_as_the_years_go() -> None:
    """24 months of 60: again 24 after two years, and 12 of 24 after four."""
    assert renewed_in(24, 5, in_part=True) == ((2, Fraction(1)), (4, Fraction(1, 2)))


def contracts() -> Draft:
    draft = Draft()
    draft.add("families", id="F")
    ports = [dict(id="c", count=8, connector="RJ45", speeds_mbps=(1000,))]
    draft.add("unit_types", id="T", description="-", family="F", ports=ports, base_draw_w=10)
    draft.add("support_levels", id="basic", description="-", rank=1)
    draft.add("support", 10_000, id="ONE", level="basic", term_months=12)
    draft.add("support", 27_000, id="THREE", level="basic", term_months=36)
    draft.add("support", 900, id="MONTH", level="basic", term_months=60, by_month=True)
    draft.add("boxes", 50_000, id="T-A", unit="T", contents=[dict(part="ONE")])
    return draft


def test_renewals_by_hand() -> None:
    """At 10 %: 100.00 after one and two of three years are 90.909… and 82.644…, together 173.55."""
    catalog, terms = contracts().catalog(), terms_of(life(years=3, discount_rate_percent=10), 2)
    _, _, ask = plain_shop(1)
    asked = replace(ask, setting=replace(ask.setting, support_months=24))
    # the month's price 9.00 again for 12 of 24 months after year 2: half of 9.00 / 1.21 = 3.719…
    assert renewed_minor(asked, terms, catalog) == {"ONE": 17_355, "T-A": 17_355, "MONTH": 372}
    assert renewed_minor(ask, terms, catalog)["ONE"] == 17_355
    assert "T-A" not in renewed_minor(ask, terms, catalog)  # nobody asks for what lies in the box


def test_a_catalog_with_renewals_has_other_prices_and_the_same_parts() -> None:
    catalog = contracts().catalog()
    dearer = with_renewals(catalog, {"ONE": 5})
    assert (dearer.price_minor("ONE"), dearer.price_minor("THREE")) == (10_005, 27_000)
    assert list(dearer.by_id) == list(catalog.by_id)
    assert with_renewals(catalog, {}) is catalog


def test_what_is_saved_pays_back_year_by_year() -> None:
    dearer, cheaper = [Fraction(10)] * 3, [Fraction(6)] * 3
    assert paid_back(Fraction(8), dearer, cheaper) == 2
    assert paid_back(Fraction(9), dearer, cheaper) == 3
    assert paid_back(Fraction(13), dearer, cheaper) is None


# --- supplies --------------------------------------------------------------------------------------------


def test_a_supply_takes_what_is_published_at_the_published_points() -> None:
    """500 W at 94 % are 531.91 W; and in the middle between 200 and 500 W the middle of both inputs."""
    found = curve((20, "0.90"), (50, "0.94"), (100, "0.91"))
    points = {200: Fraction(200 * 100, 90), 500: Fraction(500 * 100, 94), 1000: Fraction(1000 * 100, 91)}
    for load, taken in points.items():
        assert found.mains_w(Fraction(load)) == taken
    assert found.mains_w(Fraction(350)) == (points[200] + points[500]) / 2


def test_below_the_lowest_point_losses_go_on() -> None:
    """From 222.2 W at 200 and 531.9 W at 500 the line goes down to 15.8 W at no load."""
    found = curve((20, "0.90"), (50, "0.94"), (100, "0.91"))
    assert round(float(found.mains_w(Fraction(0))), 1) == 15.8
    assert found.mains_w(Fraction(100)) > Fraction(100) / Fraction("0.90")


def test_below_the_lowest_point_no_supply_is_better_than_there() -> None:
    """Where efficiency falls with load, the lowest point's holds further down."""
    assert curve((20, "0.95"), (50, "0.80")).mains_w(Fraction(100)) == Fraction(100) / Fraction("0.95")


def test_without_points_one_efficiency_holds_at_any_load() -> None:
    assert curve_of([(supply(efficiency="0.8"), Decimal(1000))]).mains_w(Fraction(40)) == 50


def test_two_supplies_share_evenly_what_one_would_carry() -> None:
    """Two at 25 % each lose more than one at 50 % where losses go on at low load."""
    one = supply((20, "0.90"), (50, "0.94"), (100, "0.91"))
    single_curve, double = curve_of([(one, Decimal(1000))]), curve_of([(one, Decimal(1000))] * 2)
    assert double.mains_w(Fraction(500)) == 2 * single_curve.mains_w(Fraction(250))
    assert double.mains_w(Fraction(500)) > single_curve.mains_w(Fraction(500))


def test_a_point_above_the_line_between_its_neighbours_is_passed_over() -> None:
    """At 60 % the input would be 800 W; between 222.2 W at 20 % and 1000 W at 100 % the line has 611.1 W."""
    assert curve((20, "0.90"), (60, "0.75"), (100, "1")).mains_w(Fraction(600)) == (Fraction(2000, 9) + 1000) / 2


@pytest.mark.parametrize("seed", range(40))
def test_curves_are_those_of_the_plain_interpolation(seed: int) -> None:
    """Random points and loads, one or two supplies: the same watts as interpolated directly, ever steeper."""
    rng = random.Random(seed)
    made, rated = [], []
    for _ in range(rng.choice((1, 2))):
        loads = rng.sample(range(5, 101, 5), rng.randint(0, 5))
        one = supply(*((load, str(Decimal(rng.randint(60, 98)) / 100)) for load in loads))
        made.append(one)
        rated.append(Decimal(rng.choice((290, 630, 1000))))
    found, total = curve_of(list(zip(made, rated, strict=True))), sum(rated)
    slopes = [stretch.slope for stretch in found.stretches]
    assert slopes == sorted(slopes)
    for _ in range(30):
        load = Fraction(rng.randint(0, int(total * 12)), 10)
        shares = [load * Fraction(output) / Fraction(total) for output in rated]
        every = zip(made, rated, shares, strict=True)
        assert found.mains_w(load) == sum(taken_w(one, Fraction(output), share) for one, output, share in every)


# --- spreading -------------------------------------------------------------------------------------------


def test_watts_go_first_where_the_mains_give_least_for_them() -> None:
    """100 W: 60 into the room of the better unit at 1 / 0.8, 40 into the other at 1 / 0.5."""
    good, bad = (curve_of([(supply(efficiency=part), Decimal(1000))]) for part in ("0.8", "0.5"))
    units = [Drawing(bad, Fraction(0), Fraction(500)), Drawing(good, Fraction(0), Fraction(60))]
    assert mains_w(units, Fraction(100)) == 60 / Fraction("0.8") + 40 / Fraction("0.5")


def test_more_than_the_units_can_take_is_no_build() -> None:
    with pytest.raises(NoRoom):
        mains_w([Drawing(curve(), Fraction(0), Fraction(10))], Fraction(11))


def test_points_keep_their_order_of_load_whatever_the_file_has() -> None:
    points = [EfficiencyPoint(load_percent=n, efficiency=Decimal(e)) for n, e in ((50, "0.94"), (20, "0.9"))]
    shuffled = supply().model_copy(update={"efficiency_at": tuple(points)})
    assert curve_of([(shuffled, Decimal(1000))]) == curve((20, "0.9"), (50, "0.94"))
