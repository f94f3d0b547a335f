"""Terms of a customer as a clerk might write them: priced as worked by hand, or refused by place.

The line: 3 rolls of 48 in × 100 ft, 304, 10 mesh of 0.635 mm. By hand: 111.483648 m², 91.44 m,
1,200 ft², 227.535154 kg (2.040973 kg/m², see the hand-worked order). The order's set-up is 18.00,
and prices go up to the next 0.05; 2,679.75 is what the demonstration book makes of it by itself.
"""

from __future__ import annotations

import math
import tomllib
from datetime import date, timedelta

import pandas as pd
import pytest

import meshcore as mc
from meshcore.costing.agreed import for_customer
from meshcore.costing.book.files import from_toml
from meshcore.costing.book.price_book import PriceBook, PriceBookError
from meshcore.costing.customer import CustomerError, customer_from_toml, parse_customer
from meshcore.demo import demo_data
from meshcore.estimates.results import EstimateSet

BOOK = mc.demo_price_book()
BOOK_TEXT = (demo_data() / "price_book.toml").read_text("utf-8")
DAY = date.today()
BEFORE, AFTER = DAY - timedelta(days=1), DAY + timedelta(days=1)
ROLLS = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
         "width": "48 in", "length": "100 ft", "quantity": 3}  # fmt: skip
STRIPS = ROLLS | {"form": "strip", "width": "300 mm", "length": "10 m", "quantity": 4}
OWN_PRICE, AREA, MASS = 2679.75, 111.483648, 227.535154
CUSTOMER = '[customer]\nname = "Weir"\n'
EUR = 'currency = "EUR"'


def rate(key: str, amount: float, unit: str = "%", *more: str) -> str:
    cells = (f'key = "{key}"', f'unit = "{unit}"', f"amount = {amount}", "date = 2026-10-01",
             'note = "agreed"', *more)  # fmt: skip
    return "\n".join(("[[rates]]", *cells, ""))


def net(unit: str = "m2", amount: float = 20.0, *more: str, wire: str = "0.025 in") -> str:
    cells = ('mesh_count = "10/in"', f'wire_diameter = "{wire}"', 'alloy = "304"', EUR,
             f'unit = "{unit}"', f"amount = {amount}", "date = 2026-10-01", 'note = "list"',
             *more)  # fmt: skip
    return "\n".join(("[[net_prices]]", *cells, ""))


def book_with(text: str) -> PriceBook:
    return from_toml(f"{BOOK_TEXT}\n{text}", "book")


def priced(terms: str, *lines: dict[str, object], book: PriceBook = BOOK) -> EstimateSet:
    own = for_customer(book, parse_customer(tomllib.loads(CUSTOMER + terms), "weir.toml"))
    return mc.estimate_list(pd.DataFrame(lines or [ROLLS]).fillna(""), own)


def up(price: float) -> float:
    return math.ceil(round(price, 2) / 0.05 - 1e-9) * 0.05


def codes(estimates: EstimateSet, line: int = 0) -> set[str]:
    return {m.code for m in estimates[line].messages}


@pytest.mark.parametrize(
    ("terms", "line", "by_hand"),
    [
        (net("m2", 20.0), ROLLS, AREA * 20),
        (net("kg", 12.0), ROLLS, MASS * 12),
        (net("lb", 5.5), ROLLS, MASS / 0.45359237 * 5.5),
        (net("m", 25.0), ROLLS, 91.44 * 25),
        (net("ft", 8.0), ROLLS, 300 * 8.0),
        (net("roll", 800.0), ROLLS, 3 * 800),
        (net("ft2", 2.0), ROLLS, 1200 * 2),
        (net("100 ft2", 200.0), ROLLS, 1200 * 2),
        (net("m", 30.0), STRIPS, 40 * 30),
        (net("piece", 150.0), STRIPS, 4 * 150),
        (net("m2", 20.0).replace('"304"', '"1.4301"'), ROLLS, AREA * 20),
        (net(wire="0.635 mm"), ROLLS, AREA * 20),
        (net() + rate("customer.discount", 5.0), ROLLS, AREA * 20),
        (net("roll", 800.0) + net("piece", 150.0), STRIPS, 4 * 150),
        (net("m2", 20.0, f"valid_from = {DAY}", f"valid_to = {DAY}"), ROLLS, AREA * 20),
        (net("m2", 20.0, f"valid_to = {DAY}") + net("m2", 22.0, f"valid_from = {AFTER}"), ROLLS,
         AREA * 20),
        (net("m2", 20.0, f"valid_to = {BEFORE}") + net("m2", 22.0, f"valid_from = {DAY}"), ROLLS,
         AREA * 22),
        (net("m2", 20.0, "valid_from = 2026-01-01")
         + net("m2", 22.0, f"valid_from = {BEFORE}"), ROLLS, AREA * 22),
    ],
)  # fmt: skip
def test_a_net_price_is_of_what_is_delivered(
    terms: str, line: dict[str, object], by_hand: float
) -> None:
    estimates = priced(terms, line)
    assert estimates.ledger.price[0] == pytest.approx(up(by_hand + 18.0), abs=1e-6)
    assert "book.rate_not_in_force" not in codes(estimates)


@pytest.mark.parametrize(
    ("terms", "line", "code"),
    [
        (net("piece", 3.0), ROLLS, "price.net_other_unit"),
        (net("roll", 300.0), STRIPS, "price.net_other_unit"),
        (net(wire="0.64 mm"), ROLLS, "price.net_near_size"),
        (net("m2", 20.0, f"valid_to = {BEFORE}"), ROLLS, "book.rate_not_in_force"),
        (net("m2", 20.0, f"valid_from = {AFTER}"), ROLLS, "book.rate_not_in_force"),
        (net("m2", 2000.0), ROLLS, "price.far_above_cost"),
        (net("m2", 0.2), ROLLS, "price.below_cost"),
    ],
)
def test_a_net_price_that_may_not_be_meant_is_said(
    terms: str, line: dict[str, object], code: str
) -> None:
    estimates = priced(terms, line)
    assert estimates[0].status == "review"
    assert code in codes(estimates)


@pytest.mark.parametrize(
    ("terms", "said"),
    [
        (net() + net("m2", 22.0), "net_prices[2].amount"),
        (net() + net("kg", 12.0), "for the same cloth and days"),
        (net("m2", 0.0), "a price is above 0"),
        (net("m2", -3.0), "no rate is negative"),
        (net("h"), "a net price is per"),
        (net().replace(EUR, ""), "a price is in a currency"),
        (net().replace("wire_diameter", "wire_dia"), 'Is "wire_diameter" meant?'),
        (net("m2", 20.0, 'allloy = "x"'), 'Is "alloy" meant?'),
        (net("m2", 20.0, f"valid_from = {AFTER}", f"valid_to = {DAY}"), "ends before it begins"),
        (rate("customer.discount", 5.0, "%", 'aloy = "304"'), 'Is "alloy" meant?'),
        (rate("customer.discount", 5.0) + rate("customer.discount", 7.0), "rates[2].amount"),
        (rate("customer.discount", 100.0), "below 100 %"),
        (rate("customer.rebate", 100.0), "below 100 %"),
        (rate("customer.commission", 100.0), "below 100 %"),
        (rate("wire.metal", 3.0, "kg", EUR), "would hold for nothing"),
        (rate("wire.metal", 3.0, "m2", EUR, 'alloy = "304"'), "EUR per kg"),
        (rate("overhead.share", 10.0), "would hold for nothing"),
        (rate("break.discount", 10.0), "at sizes, as 100 m2"),
        (rate("surcharge.metal_index.value", 2.4, "kg", EUR), "no surcharge.metal_index.base"),
        (f"valid_from = {AFTER}\nvalid_to = {DAY}\n", "ends before it begins"),
        ('valid_to = "2026-12-31"\n', "a date is due"),
        ('zone = ["north"]\n', "a text is due"),
        ('zones = "north"\n', 'Is "zone" meant?'),
        ('zone = "north"\n', "no freight.zone.north"),
    ],
)
def test_terms_that_cannot_stand_are_refused_by_place(terms: str, said: str) -> None:
    with pytest.raises(CustomerError) as caught:
        priced(terms)
    assert said in str(caught.value)


@pytest.mark.parametrize("text", ["rates = 3\n[customer]\nname = 'W'", "customer = 3", "[customer"])
def test_a_file_that_is_no_such_file_is_refused(text: str) -> None:
    with pytest.raises(CustomerError, match=r"weir\.toml"):
        customer_from_toml(text, "weir.toml")


# Days on which terms hold: every kind of entry, not rates alone.


@pytest.mark.parametrize(
    "entry",
    ['zone = "north"', 'incoterm = "EXW"\nplace = "x"', 'destination = "hill"', ""],
    ids=["zone", "incoterm", "destination", "rates"],
)
@pytest.mark.parametrize("days", [f"valid_to = {BEFORE}", f"valid_from = {AFTER}"])
def test_outside_their_days_terms_change_nothing_and_it_is_said(entry: str, days: str) -> None:
    book = book_with(
        rate("freight.zone.north", 60.0, "pallet", EUR)
        + rate("freight.pallet_load", 150.0, "kg")
        + rate("tax.destination.hill", 8.0)
    )
    terms = f"{entry}\n{days}\n" + rate("wire.metal", 3.0, "kg", EUR, 'alloy = "304"')
    estimates = priced(terms, book=book)
    assert estimates.ledger.price[0] == OWN_PRICE
    assert estimates[0].status == "review"
    assert "book.terms_not_in_force" in codes(estimates)


@pytest.mark.parametrize("days", [f"valid_to = {DAY}", f"valid_from = {DAY}"])
def test_on_their_first_and_last_day_terms_hold(days: str) -> None:
    estimates = priced(f'{days}\nincoterm = "EXW"\nplace = "x"\n')
    assert "freight" not in set(estimates.cost_items()["stage"])
    assert "book.terms_not_in_force" not in codes(estimates)


@pytest.mark.parametrize("theirs", ["", "valid_from = 2026-01-01", f"valid_to = {DAY}"])
@pytest.mark.parametrize("alloy", ["304", "1.4301", "S30400"])
def test_an_agreed_rate_goes_before_the_mills_whenever_that_began(theirs: str, alloy: str) -> None:
    """236.636560 kg at 3.00 are 709.91; the mill's own row began on the first of November."""
    later = '{ alloy = "304", amount = 3.45, valid_from = 2026-11-01 }'
    book = from_toml(BOOK_TEXT.replace('{ alloy = "304", amount = 3.45 }', later), "book")
    agreed = rate("wire.metal", 3.0, "kg", EUR, f'alloy = "{alloy}"', theirs)
    items = priced(agreed, book=book).cost_items().set_index("label")
    assert items["amount"]["base metal"] == 709.91


def test_an_agreed_rate_that_lapsed_leaves_the_mills_own() -> None:
    lapsed = rate("wire.metal", 3.0, "kg", EUR, 'alloy = "304"', f"valid_to = {BEFORE}")
    estimates = priced(lapsed)
    assert estimates.ledger.price[0] == OWN_PRICE
    assert "book.rate_not_in_force" in codes(estimates)


def test_an_agreed_margin_is_the_only_one() -> None:
    items = priced(rate("margin.share", 10.0)).cost_items()
    assert items[items["stage"] == "margin"]["label"].tolist() == ["margin on cost"]


def test_an_agreed_table_stands_in_for_the_mills_whole_table() -> None:
    """10 % from 50 m²: the mill's 2 % from 100 m² is no step of it."""
    items = priced(rate("break.discount", 10.0, "%", 'at = "50 m2"')).cost_items()
    [share] = items[items["label"] == "quantity break (credit)"]["rate"]
    assert share == -0.10


# Tax by destination.

HILL = rate("tax.destination.hill", 8.0) + rate("tax.destination.isle", 0.0)


@pytest.mark.parametrize(
    ("name", "price"),
    [("hill", round(OWN_PRICE * 1.08, 2)), ("Hill", round(OWN_PRICE * 1.08, 2)),
     ("isle", OWN_PRICE)],
)  # fmt: skip
def test_tax_is_that_of_the_destination_and_none_where_it_is_none(name: str, price: float) -> None:
    estimates = priced(f'destination = "{name}"\n', book=book_with(HILL))
    assert estimates.ledger.price[0] == pytest.approx(price)
    assert estimates[0].status == "ok"


def test_a_destination_that_the_book_does_not_know_is_named_with_those_it_does() -> None:
    with pytest.raises(CustomerError, match="There are hill, isle"):
        priced('destination = "Atlantis"\n', book=book_with(HILL))


def test_a_tax_of_a_hundred_percent_is_refused() -> None:
    with pytest.raises(PriceBookError, match="below 100 %"):
        book_with(rate("tax.destination.hill", 100.0))


def test_a_tax_as_a_fraction_is_doubted() -> None:
    estimates = priced('destination = "hill"\n', book=book_with(HILL.replace("8.0", "0.08")))
    assert "book.figure_implausible" in codes(estimates)


# Freight by zone and pallet.

TARIFF = (
    rate("freight.zone.north", 60.0, "pallet", EUR, 'at = "1 pallet"')
    + rate("freight.zone.north", 48.0, "pallet", EUR, 'at = "2 pallets"')
    + rate("freight.pallet_load", 150.0, "kg")
)


@pytest.mark.parametrize(
    ("load", "due"),
    [
        (150.0, 2 * 48.0),  # 227.54 kg
        (227.6, 60.0),
        (227.5, 2 * 48.0),
        (113.76757, 3 * 48.0),
        (113.76758, 2 * 48.0),
        (113.77, 2 * 48.0),
    ],
)
def test_pallets_are_counted_and_priced_by_their_step(load: float, due: float) -> None:
    book = book_with(TARIFF.replace("150.0", f"{load}"))
    items = priced('zone = "North"\n', book=book).cost_items()
    freight = items[items["stage"] == "freight"]
    assert freight["label"].tolist() == ["freight by pallet"]
    assert freight["amount"].sum() == due


@pytest.mark.parametrize(
    "other", [{"alloy": "niobium"}, {"wire_diameter": "0.09 in"}, {"alloy": "no such"}]
)
def test_a_refused_line_is_not_on_the_pallets_of_the_others(other: dict[str, object]) -> None:
    estimates = priced('zone = "north"\n', ROLLS, ROLLS | other, book=book_with(TARIFF))
    assert [e.status for e in estimates] == ["ok", "refused"]
    alone = priced('zone = "north"\n', ROLLS, book=book_with(TARIFF))
    assert estimates.ledger.price[0] == alone.ledger.price[0]


@pytest.mark.parametrize(
    "tariff",
    [
        TARIFF.replace("pallet_load", "pallet_lod"),
        rate("freight.zone.north", 0.6, "kg", EUR) + rate("freight.pallet_load", 150.0, "kg"),
        rate("freight.zone.north", 48.0, "pallet", EUR, 'at = "9 pallets"')
        + rate("freight.pallet_load", 150.0, "kg"),
    ],
)
def test_a_tariff_that_does_not_price_the_order_refuses_it(tariff: str) -> None:
    assert priced('zone = "north"\n', book=book_with(tariff))[0].status == "refused"


def test_a_pallet_that_bears_nothing_is_refused() -> None:
    with pytest.raises(PriceBookError, match="divided by it"):
        book_with(TARIFF.replace("150.0", "0.0"))


# Metal index.

BASE = rate("surcharge.metal_index.base", 2.0, "kg", EUR, 'alloy = "304"')


def value(amount: float, unit: str = "kg", currency: str = "EUR", alloy: str = "304") -> str:
    cells = (f'currency = "{currency}"', f'alloy = "{alloy}"')
    return rate("surcharge.metal_index.value", amount, unit, *cells)


@pytest.mark.parametrize(
    ("terms", "by_hand"),
    [
        (value(2.4), MASS * 0.4),
        (value(1.6), MASS * -0.4),
        (value(2400.0, "t"), MASS * 0.4),
        (value(1.3, "lb", "USD"), MASS * (1.3 * 0.86 / 0.45359237 - 2.0)),
        (value(2.4) + rate("surcharge.metal_index.content", 18.0), MASS * 0.18 * 0.4),
        (value(2.4, alloy="1.4301"), MASS * 0.4),
    ],
)
def test_the_index_is_charged_from_its_base_on_what_is_delivered(
    terms: str, by_hand: float
) -> None:
    items = priced(BASE + terms).cost_items()
    [amount] = items[items["label"].str.startswith("metal index")]["amount"]
    assert amount == pytest.approx(by_hand, abs=0.0051)


@pytest.mark.parametrize(
    ("terms", "status", "code"),
    [
        ("", "refused", "price.index_missing"),
        (value(2.4, alloy="316"), "refused", "price.index_missing"),
        (value(2400.0), "review", "book.index_implausible"),
        (value(2.4).replace("2026-10-01", "2025-01-01"), "review", "book.rate_too_old"),
    ],
)
def test_an_index_that_is_missing_old_or_astray_is_said(terms: str, status: str, code: str) -> None:
    estimates = priced(BASE + terms)
    assert estimates[0].status == status
    assert code in codes(estimates)


def test_the_arithmetic_shows_base_value_and_date_of_an_index() -> None:
    text = priced(BASE + value(2.4))[0].explain()
    assert "index 2.4 against base 2" in text
    assert "agreed (2026-10-01)" in text


# Rebate, commission, rush and minimum.


@pytest.mark.parametrize(("rebate", "commission"), [(3.0, 5.0), (0.0, 5.0), (3.0, 0.0), (20, 25)])
def test_rebate_and_commission_leave_the_price_that_was_reckoned(
    rebate: float, commission: float
) -> None:
    """What is left when both are paid from the price is the price without them, to the step."""
    shares = rate("customer.rebate", rebate) + rate("customer.commission", commission)
    price = float(priced(shares).ledger.price[0])
    left = price * (1 - rebate / 100) * (1 - commission / 100)
    assert left == pytest.approx(OWN_PRICE, abs=0.07)


def test_rush_says_what_it_is_charged_on() -> None:
    """15 % of the rushed line as it stands; the other bears none."""
    lines = ROLLS | {"services": "rush"}, STRIPS | {"alloy": "316L"}
    items = priced("", *lines).cost_items()
    [rush] = items[items["label"] == "rush"].to_dict("records")
    before = items[(items["line"] == 0) & ~items["label"].isin(["rush", "rounding up"])]
    assert rush["line"] == 0
    assert rush["quantity"] == pytest.approx(before["amount"].sum())
    assert rush["amount"] == pytest.approx(0.15 * rush["quantity"], abs=0.0051)
    assert rush["driver"] == "price so far of what is in a rush"


def test_a_minimum_says_what_it_fills_up() -> None:
    small = STRIPS | {"quantity": 1}
    items = priced(rate("minimum.order", 1500.0, "order", EUR), small).cost_items()
    [floor] = items[items["label"] == "minimum charge per order"].to_dict("records")
    assert "shortfall of the order" in floor["driver"]
    stages = ("breaks and minimums", "surcharges")
    before = items[~items["stage"].isin(stages)]["amount"].sum()
    assert floor["amount"] == pytest.approx(1500.0 - before)


def test_a_discount_in_money_refuses_and_is_not_as_if_it_were_not_there() -> None:
    estimates = priced(rate("customer.discount", 5.0, "kg", EUR))
    assert estimates[0].status == "refused"
    assert "price.key_of_another_kind" in codes(estimates)


# Rates that hold for a time, in a book of the mill.


@pytest.mark.parametrize(
    ("rows", "amount", "code"),
    [
        (((9.0, "", ""),), 9.0, ""),
        (((9.0, "", BEFORE), (9.5, DAY, "")), 9.5, ""),
        (((9.0, "", DAY), (9.5, AFTER, "")), 9.0, ""),
        (((9.0, BEFORE, AFTER), (9.5, DAY, AFTER)), 9.5, ""),
        (((9.5, DAY, AFTER), (9.0, BEFORE, AFTER)), 9.5, ""),
        (((9.0, DAY, DAY),), 9.0, ""),
        (((9.0, "", BEFORE), (9.5, AFTER, "")), None, "book.rate_not_in_force"),
        (((9.0, AFTER, ""),), None, "book.rate_not_in_force"),
    ],
)
def test_of_rows_in_time_the_one_in_force_charges(
    rows: tuple[tuple[float, object, object], ...], amount: float | None, code: str
) -> None:
    """In a book without a set-up of its own: that is made a minimum that is never reached."""
    text = "".join(
        rate("surcharge.order_set_up", each, "order", EUR,
             *(f"valid_from = {start}" for _ in [start] if start),
             *(f"valid_to = {end}" for _ in [end] if end))
        for each, start, end in rows
    )  # fmt: skip
    own = '[[rates]]\nkey = "surcharge.order_set_up"'
    without = BOOK_TEXT.replace(own, '[[rates]]\nkey = "minimum.line"').replace(
        'unit = "order"\namount = 18.00', 'unit = "line"\namount = 18.00'
    )
    book = from_toml(without + text, "book")
    estimates = mc.estimate_list(pd.DataFrame([ROLLS]), book)
    items = estimates.cost_items().set_index("label")["amount"]
    assert items.get("order set-up") == amount
    assert (code in codes(estimates)) == bool(code)


@pytest.mark.parametrize(
    "rows",
    [
        rate("minimum.line", 9.0, "line", EUR) * 2,
        rate("minimum.line", 9.0, "line", EUR, f"valid_from = {DAY}") * 2,
        rate("minimum.line", 9.0, "line", EUR, f"valid_from = {AFTER}", f"valid_to = {DAY}"),
        rate("minimum.line", 9.0, "line", EUR, 'valid_from = "soon"'),
    ],
)
def test_rows_in_time_that_cannot_stand_are_refused(rows: str) -> None:
    with pytest.raises(PriceBookError):
        book_with(rows)


# Services, rebates and names of alloys beside a net price.

#: Bright annealing of the demonstration book: 60.00 for the lot and 1.45 a kg; the overhead on
#: finishing is 38 %, and the margin 18 % of the price.
ANNEALED = ROLLS | {"services": "anneal"}
ANNEALING = round((60.0 + round(MASS * 1.45, 2)) * 1.38 / 0.82, 2)


@pytest.mark.parametrize(
    ("terms", "by_hand"),
    [
        (net("m2", 20.0), AREA * 20 + ANNEALING),
        (net("m2", 20.0, 'services = "included"'), AREA * 20),
        (net("m2", 20.0) + rate("customer.rebate", 3.0), AREA * 20 + ANNEALING),
        (net("m2", 20.0) + rate("customer.commission", 5.0), AREA * 20 + ANNEALING),
    ],
)
def test_services_are_charged_beside_a_net_price_and_shares_are_paid_out_of_it(
    terms: str, by_hand: float
) -> None:
    estimates = priced(terms, ANNEALED)
    assert estimates.ledger.price[0] == pytest.approx(up(by_hand + 18.0), abs=1e-6)
    assert "price.net_agreed" in codes(estimates)
    assert "provision for the rebate" not in set(estimates.cost_items()["label"])


def test_a_line_without_a_net_price_still_bears_the_rebate() -> None:
    both = priced(
        net("m2", 20.0) + rate("customer.rebate", 3.0), ROLLS, ROLLS | {"wire_diameter": "0.6 mm"}
    )
    items = both.cost_items()
    assert items[items["label"] == "provision for the rebate"]["line"].tolist() == [1]


@pytest.mark.parametrize("other", ["1.4301", "S30400"])
@pytest.mark.parametrize("unit", ["m2", "kg"])
def test_two_net_prices_of_one_alloy_under_two_names_are_refused(other: str, unit: str) -> None:
    second = net(unit, 22.0).replace('"304"', f'"{other}"')
    with pytest.raises(CustomerError, match="for the same cloth and days"):
        priced(net("m2", 20.0) + second)


def test_two_rates_of_one_alloy_under_two_names_are_refused() -> None:
    rows = [rate("wire.metal", 3.0, "kg", EUR, f'alloy = "{a}"') for a in ("304", "1.4301")]
    with pytest.raises(CustomerError, match="is given at"):
        priced("".join(rows))
