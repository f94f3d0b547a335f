"""A list is one order; its lines in one cloth are woven, cut and counted together.

Expected figures follow from the rules of the demonstration book, or from pricing the same cloth
written another way; no trade source.
"""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd
import pytest
from run_charges import without_run_charges
from thorough import share

import meshcore as mc
from meshcore.costing.book.price_book import PriceBook
from meshcore.demo import demo_data
from meshcore.estimates.results import EstimateSet
from meshcore.estimates.summary import list_totals

SEED = 20261125
ORDERS = share(1_500, 10_000)
MESHES = (("10 / in", "0.025 in"), ("20 / in", "0.016 in"), ("4 / in", "0.063 in"))
POLICY = mc.read_supply_policy(demo_data() / "supply_policy.toml")


def line(form: str = "roll", quantity: int = 1, **cells: str) -> dict[str, object]:
    sizes = {
        "roll": {"width": "48 in", "length": "100 ft"},
        "strip": {"width": "100 mm", "length": "10 m"},
        "piece": {"shape": "rectangle", "dimensions": "200 mm x 150 mm"},
    }[form]
    mesh = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304"}
    return {**mesh, "form": form, "quantity": quantity, **sizes, **cells}


def priced(rows: list[dict[str, object]], **options: object) -> EstimateSet:
    return mc.estimate_list(pd.DataFrame(rows).fillna(""), supply_policy=POLICY, **options)  # type: ignore[arg-type]


def total(estimates: EstimateSet) -> float:
    return round(float(np.nansum(estimates.ledger.price)), 2)


def without_steps() -> PriceBook:
    """The demonstration book without its rounding step, which is by line."""
    book = mc.default_price_book()
    return dataclasses.replace(book, rules_disabled=(*book.rules_disabled, "rounding"))


#: Half a cent for each line and item; nothing else may come of writing one line as several.
def rounding(estimates: EstimateSet) -> float:
    return 0.005 * len(estimates) * len(estimates.ledger.items) + 1e-9


@pytest.mark.parametrize("form", ["roll", "strip", "piece"])
def test_twenty_lines_of_one_cost_what_one_line_of_twenty_costs(form: str) -> None:
    one = priced([line(form, 20)], price_book=without_steps())
    twenty = priced([line(form)] * 20, price_book=without_steps())
    assert total(twenty) == pytest.approx(total(one), abs=rounding(twenty))
    set_up = [
        next(i.minor.sum() for i in e.ledger.items if i.label == "warp set-up")
        for e in (one, twenty)
    ]
    assert set_up[0] == set_up[1]


def test_with_the_book_as_it_is_only_the_rounding_step_of_each_line_is_added() -> None:
    step = 0.05
    one, twenty = priced([line(quantity=20)]), priced([line()] * 20)
    assert 0.0 <= total(twenty) - total(one) + rounding(twenty) <= 20 * step + 2 * rounding(twenty)


def test_forty_small_pieces_are_one_order_with_one_minimum_and_one_warp() -> None:
    """Apart, each comes to the smallest charge of 120.00 and its set-up of 18.00.

    With a loom change of 90.00 each is above that, and the loom is still changed over once.
    """
    rows = [line("piece", dimensions="100 mm x 100 mm")] * 40
    least = without_run_charges(mc.default_price_book())
    together = priced(rows, price_book=least)
    assert total(priced(rows, lines_apart=True, price_book=least)) == 40 * 138.00
    one_line = priced([line("piece", 40, dimensions="100 mm x 100 mm")], price_book=least)
    assert total(together) == pytest.approx(total(one_line), abs=40 * 0.05)
    items = priced(rows).cost_items()
    assert items[items["label"] == "loom change"]["amount"].sum() == pytest.approx(90.0)


def test_an_order_column_tells_orders_apart_and_its_blanks_are_said() -> None:
    rows = [line(order="a"), line(order="A "), line(order="b"), line(order="")]
    found = priced(rows)
    assert found.orders.order.tolist() == [0, 0, 1, 2]
    assert [m.code for m in found[3].messages if m.field == "order"] == ["line.without_order"]
    assert found.orders_taken == "3 orders, by the column order"
    assert found.table["order_taken"].tolist() == [1, 1, 2, 3]


@pytest.mark.parametrize("orders", [[], ["", "", ""]])
def test_without_order_names_the_list_is_one_order_and_says_so(orders: list[str]) -> None:
    rows = [line(order=name) for name in orders] or [line()] * 3
    found = priced(rows)
    assert found.orders.order.tolist() == [0, 0, 0]
    assert found.orders_taken == "one order of 3 lines"


def test_an_order_number_that_is_written_in_several_ways_is_one_order_and_asked() -> None:
    """A spreadsheet makes 1.0 of 1, and takes the zero from 01."""
    one, many = (
        priced([line(order=name) for name in names])
        for names in (("1", "1", "1", "2"), ("1", "01", "1.0", "2"))
    )
    assert many.table["order_taken"].tolist() == [1, 1, 1, 2]
    assert many.table["price"].tolist() == one.table["price"].tolist()
    said = [[m for m in priced_line.messages if m.field == "order"] for priced_line in many]
    assert [len(messages) for messages in said] == [1, 1, 1, 0]
    assert said[0][0].read == '"01", "1", "1.0"'
    assert not any(m.field == "order" for every in one.messages.values() for m in every)


def test_a_refused_line_is_neither_woven_nor_counted_with_the_others() -> None:
    good = line("strip", 5)
    with_bad = priced([good, {**line("strip", 6), "quantity": "six or so"}])
    assert with_bad[1].status == "refused"
    assert with_bad[0].price == priced([good])[0].price


def test_a_line_refused_by_pricing_is_taken_out_of_the_others_rows() -> None:
    """The book has no rate for the press, so the second line falls after supply is worked out."""
    book = mc.default_price_book()
    kept = tuple(r for r in book.rates if r.key != "service.form")
    lacking = dataclasses.replace(book, rates=kept)
    found = priced([line("strip", 5), line("strip", 6, services="form")], price_book=lacking)
    alone = priced([line("strip", 5)], price_book=lacking)
    assert found[1].status == "refused"
    assert found[0].price == alone[0].price
    assert len(found[1].messages) == len(set(found[1].messages))


def test_a_quantity_break_looks_at_all_of_one_cloth_in_the_order() -> None:
    """Each roll is 37.16 m²; three of them reach the break at 100 m², of 2 %."""
    three = priced([line(), line(), line()])
    rates = {
        float(r) for i in three.ledger.items if i.label == "quantity break (credit)" for r in i.rate
    }
    assert rates == {-0.02}
    other = priced([line(), line(), line(alloy="316L")])
    assert not [i for i in other.ledger.items if i.label == "quantity break (credit)"]


def test_lines_of_other_widths_have_a_warp_of_their_own() -> None:
    found = priced([line(), line(width="36 in"), line()])
    assert found.orders.warp.tolist() == [0, 1, 0]
    assert found.orders.same_cloth.tolist() == [0, 0, 0]


def random_orders(rng: np.random.Generator, orders: int) -> pd.DataFrame:
    """Two or three lines an order: rolls, strips and pieces of three meshes and three alloys."""
    rows = []
    for order in range(orders):
        for _ in range(int(rng.integers(2, 4))):
            mesh, wire = MESHES[int(rng.integers(len(MESHES)))]
            form = str(rng.choice(["roll", "strip", "piece"]))
            cells = {
                "roll": {"width": str(rng.choice(["36 in", "48 in", "1 m"])),
                         "length": str(rng.choice(["100 ft", "49 ft", "12 m"]))},
                "strip": {"width": f"{rng.integers(20, 500)} mm",
                          "length": f"{rng.integers(1, 30)} m"},
                "piece": {"dimensions": f"{rng.integers(60, 900)} mm x {rng.integers(60, 900)} mm"},
            }[form]  # fmt: skip
            rows.append(
                {
                    "order": order,
                    "mesh_count": mesh,
                    "wire_diameter": wire,
                    "alloy": str(rng.choice(["304", "316L", "carbon steel"])),
                    "form": form,
                    "quantity": int(rng.integers(1, 40)),
                    "services": str(rng.choice(["", "", "", "rush", "certificate", "anneal"])),
                    **{"width": "", "length": "", "dimensions": ""},
                    **cells,
                }
            )
    return pd.DataFrame(rows)


@pytest.mark.thorough
def test_no_order_costs_more_than_its_lines_as_orders_of_their_own() -> None:
    table = random_orders(np.random.default_rng(SEED), ORDERS)
    together = mc.estimate_list(table, supply_policy=POLICY)
    apart = mc.estimate_list(table, supply_policy=POLICY, lines_apart=True)
    assert together.ledger.priced.mean() > 0.99
    order = together.orders.order
    sums = [
        np.bincount(order, weights=np.where(e.ledger.priced, e.ledger.price_minor, 0.0))
        for e in (together, apart)
    ]
    assert (sums[0] <= sums[1]).all()
    items = np.sum([item.minor for item in together.ledger.items], axis=0)
    np.testing.assert_array_equal(items, together.ledger.price_minor)


def test_splitting_a_line_in_two_changes_nothing_but_what_is_by_line() -> None:
    rng = np.random.default_rng(SEED + 1)
    table = random_orders(rng, 1_000)
    table = table[table["quantity"] > 1].reset_index(drop=True)
    table["services"] = table["services"].replace("certificate", "")
    first = table["quantity"].map(lambda q: int(rng.integers(1, q))).to_numpy()
    halves = pd.concat(
        [table.assign(quantity=first), table.assign(quantity=table["quantity"] - first)]
    )
    book = without_steps()
    kept = tuple(r for r in book.rates if not r.key.endswith(".set_up") or "weaving" in r.key)
    book = dataclasses.replace(book, rates=kept)
    whole = mc.estimate_list(table, book, POLICY)
    split = mc.estimate_list(halves.sort_values("order"), book, POLICY)
    by_order = [
        np.bincount(e.orders.order, weights=np.where(e.ledger.priced, e.ledger.price_minor, 0.0))
        for e in (whole, split)
    ]
    lines = np.bincount(split.orders.order)
    # A cent more or less of an item moves the shares that rest on it by less than another.
    allowed = lines * len(split.ledger.items)
    assert (np.abs(by_order[0] - by_order[1]) <= allowed).all()
    relative = np.abs(by_order[0] - by_order[1]) / by_order[0]
    assert np.quantile(relative, 0.99) < 2e-4


def test_an_option_is_priced_and_in_no_total() -> None:
    """Two rolls ordered and one offered beside them: the total is that of the two alone."""
    rolls = [line() | {"line": label} for label in ("1", "2", "or")]
    offered, without, one = priced(rolls), priced(rolls[:2]), priced(rolls[:1])
    assert offered.table["order_taken"].tolist() == [1, 1, 0]
    assert offered.table["price"].tolist()[:2] == without.table["price"].tolist()
    assert offered[2].price == one[0].price
    totals, alone = list_totals(offered), list_totals(without)
    assert (totals.price, totals.mass_kg) == (alone.price, alone.mass_kg)
    assert offered.orders_taken == "one order of 2 lines and 1 option in no total"
    quoted = mc.quotation(offered, number="Q1")
    assert (len(quoted.lines), [offer.label for offer in quoted.offers]) == (2, ["or"])
    assert quoted.net_minor == round(alone.price * 100)


def test_an_order_is_priced_where_the_solver_ends_a_hair_below_none() -> None:
    """The bound of these strips takes −4e-7 m of one width, within what the solver allows."""
    cloth = {"mesh_count": "20 / in", "wire_diameter": "0.014 in", "alloy": "316L"}
    rows = [
        line("strip", 60, width="419 mm", length="14 m") | cloth,
        line("strip", 3, width="32 mm", length="24 m") | cloth,
    ]
    assert set(priced(rows).table["status"]) == {"ok"}
