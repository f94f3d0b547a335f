"""Why the price of the enquiry is what it is, how sure it is, and what it is against others."""

from __future__ import annotations

from functools import partial

import pandas as pd
import streamlit as st

from meshcore.costing.delivered import UNITS
from meshcore.costing.money import minor_digits, money_text
from meshcore.costing.price_bins import price_bins
from meshcore.costing.ranges import CHANGE, Uncertainty
from meshcore.estimates import reasons
from meshcore.estimates.firmness import BudgetClass, budget_class, combined_range
from meshcore.estimates.unit_prices import unit_prices
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.reasons_page import range_charts, saved_panel
from meshcore_estimator.reasons_page.uncertainty_form import ask_draws, ask_uncertainties
from meshcore_estimator.shared import breakdown, charts, current, navigation, result, settling
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.numbers import amount, percent, short
from meshcore_estimator.shared.parts import (
    aside,
    figures,
    key,
    message_list,
    plain_key,
    table,
)
from meshcore_estimator.shared.provenance import made_from
from meshcore_estimator.shared.side_by_side import signed

#: Drivers in the picture; all stand in the table.
_MOST_DRAWN = 12
#: Curves to choose from.
_CURVES = {"unit_price": "Price each", "price": "Price of all"}
#: How far each input is moved: all by one share, or each as far as it may be off.
_ALIKE, _OWN = f"{percent(CHANGE, 0)} each", "Own uncertainty"
#: How a budget class is marked.
_FIRM = {"firm": "ok", "budget": "plain"}
#: Height of the arithmetic [px]; it scrolls inside.
_TEXT_HEIGHT = 420


def page() -> None:
    """Draw the page."""
    current.start()
    line = current.line()
    if line is None:
        st.html(aside("No enquiry is typed yet. Type one on the enquiry page: its range and the "
                      "reasons for its price stand here."))  # fmt: skip
        st.button("To the enquiry", icon=":material/edit_note:", key="to_enquiry",
                  on_click=navigation.go_to, args=("enquiry",))  # fmt: skip
    else:
        with st.container(key="reasons_title"):
            st.html(result.title(line))
            breakdown.priced_with(line.estimates)
        if line.estimates.ledger.priced[line.number]:
            _reasons(line)
        else:
            st.html(message_list(line.messages))
    saved_panel.draw(line)


def _reasons(line: Line) -> None:
    drivers = reasons.tornado(line.estimates, [line.number])
    with st.container(key="budget"):
        uncertainties = _budget(line, drivers)
    left, right = st.columns(2, gap="large")
    with left, st.container(key="drivers"):
        _drivers(line, drivers, uncertainties)
    with right, st.container(key="quantities"):
        _quantities(line)
    with st.container(key="by_unit"):
        _by_unit(line)
    with st.container(key="arithmetic"):
        _arithmetic(line)


def _budget(line: Line, drivers: pd.DataFrame) -> list[Uncertainty]:
    """Draw how sure the price is; return what is stated to be uncertain."""
    st.header("Budget range", anchor=False)
    st.html(_firmness(budget_class(line.estimates, line.number)))
    asking, answering = st.columns([4, 8], gap="large")
    with asking, st.container(key="uncertain_form"):
        uncertainties = ask_uncertainties(line.estimates.book, drivers["driver"].tolist())
        draws, seed = ask_draws()
    settling.taken()
    with answering, st.container(key="uncertain_answer"):
        if not uncertainties:
            st.html(aside("Nothing is stated to be uncertain. Add an input to the table, with the "
                          "furthest that it may be off."))  # fmt: skip
            return uncertainties
        spread = reasons.budget_range(
            line.estimates, [line.number], uncertainties, draws=draws, seed=seed
        )
        digits, currency = minor_digits(spread.currency), spread.currency
        low, nominal, high = (amount(float(line[c]), digits)
                              for c in ("price_min", "price", "price_max"))  # fmt: skip
        st.html(figures((
            ("P10", money_text(spread.p10, currency, digits), "one in ten is below"),
            ("P50", amount(spread.p50, digits), "half of the draws are below"),
            ("P90", amount(spread.p90, digits), "one in ten is above"),
            ("Mean", amount(spread.mean, digits), f"{draws:,} draws, seed {seed}"),
            ("Nominal", nominal, f"{low} to {high} at the delivery tolerances"),
        )))  # fmt: skip
        both = combined_range(line.estimates, [line.number], uncertainties, draws=draws, seed=seed)
        st.altair_chart(range_charts.together(both, spread.nominal), width="stretch")
        st.html(table(
            ("What may turn out otherwise", f"From [{currency}]", f"To [{currency}]"),
            [(name, amount(start, digits), amount(end, digits))
             for name, start, end in range_charts.spans(both)],
            numeric=(1, 2),
        ))  # fmt: skip
        st.altair_chart(range_charts.histogram(spread), width="stretch")
        with st.expander("Draws as a table", icon=":material/table:"):
            bins = price_bins(spread).to_dict("records")
            rows = [
                (f"{amount(one['price_from'], digits)} to {amount(one['price_to'], digits)}",
                 f"{one['draws']:,}")
                for one in bins
            ]  # fmt: skip
            st.html(table((f"Price [{spread.currency}]", "Draws"), rows, numeric=(1,)))
    return uncertainties


def _firmness(firm: BudgetClass) -> str:
    return aside(
        f"Budget class: {firm.name}{f'. {firm.why}' if firm.why else ': nothing is open'}.",
        _FIRM.get(firm.name, "review"),
    )


def _drivers(line: Line, drivers: pd.DataFrame, uncertainties: list[Uncertainty]) -> None:
    st.header("What drives the price", anchor=False)
    by, currency = percent(CHANGE, 0), str(line["currency"])
    moved: str = st.segmented_control(
        "How far each input is moved", [_ALIKE, _OWN], default=_ALIKE, required=True,
        key="tornado_by", label_visibility="collapsed",
    )  # fmt: skip
    if moved == _OWN:
        by = "by its own uncertainty"
        drivers = reasons.tornado(line.estimates, [line.number], own=uncertainties)
        if drivers.empty:
            st.html(aside("Nothing that is stated to be uncertain moves this price."))
            return
    st.html(key(((charts.COST, f"input {by} lower"), (charts.ADDED, f"input {by} higher"))))
    st.altair_chart(range_charts.tornado(drivers.head(_MOST_DRAWN), currency), width="stretch")
    digits = minor_digits(currency)
    with st.expander(f"All {len(drivers)} inputs as a table", icon=":material/table:"):
        rows = [
            (plain_key(row["driver"]), *(
                "no price" if pd.isna(row[side]) else signed(row[side], digits) or "0"
                for side in ("change_low", "change_high")
            ), amount(row["swing"], digits) if pd.notna(row["swing"]) else "–")
            for row in drivers.to_dict("records")
        ]  # fmt: skip
        headings = ("Input", f"{by} lower [{currency}]", f"{by} higher [{currency}]", "Swing")
        st.html(table(headings, rows, numeric=(1, 2, 3)))


def _quantities(line: Line) -> None:
    st.header("Price against quantity", anchor=False)
    currency, asked = str(line["currency"]), float(line.estimates.orders.quantity[line.number])
    curve = reasons.quantity_curve(line.estimates, line.number)
    st.html(key(((charts.COST, "each whole quantity, an order of its own"),
                 (charts.ADDED, "asked for; dashed, where a break begins"))))  # fmt: skip
    if enquiry_form.path_model() == "flat":
        st.caption("By the arc of the weave: the flat 3 % rule is not followed here.")
    column: str = st.segmented_control(
        "Which price", list(_CURVES), default="unit_price", required=True, key="curve_of",
        format_func=lambda name: _CURVES[name], label_visibility="collapsed",
    )  # fmt: skip
    st.altair_chart(
        range_charts.quantity_curve(curve, column, _CURVES[column], currency, [asked]),
        width="stretch",
    )
    with st.expander(f"All {len(curve)} quantities as a table", icon=":material/table:"):
        digits = minor_digits(currency)
        every = [
            (f"{one['quantity']:,.0f}", *(amount(one[name], digits) for name in _CURVES),
             "begins" if one["at_break"] else "")
            for one in curve.to_dict("records")
        ]  # fmt: skip
        named = (f"{title} [{currency}]" for title in _CURVES.values())
        st.html(table(("Quantity", *named, "Break"), every, numeric=(0, 1, 2)))
    breaks = curve[curve["at_break"]]
    if breaks.empty:
        st.caption("No quantity break is reached up to here.")
        return
    digits = minor_digits(currency)
    rows = [
        (short(row["quantity"]), *(
            amount(row[column], digits) for column in ("unit_price", "price", "credits")
        ))
        for row in breaks.to_dict("records")
    ]  # fmt: skip
    headings = ("Break from", f"Price each [{currency}]", "Price", "of which credits")
    st.html(table(headings, rows, numeric=(0, 1, 2, 3)))


def _by_unit(line: Line) -> None:
    """Draw the price of each unit that the line is sold by."""
    st.header("Price by unit", anchor=False)
    currency = str(line["currency"])
    prices = {unit: float(unit_prices(line.estimates, unit)[line.number]) for unit in UNITS}
    rows = [
        (unit, amount(price, minor_digits(currency)))
        for unit, price in prices.items()
        if pd.notna(price)
    ]
    st.html(table(("Of what is delivered, per", f"Price [{currency}]"), rows, numeric=(1,)))


def _as_file(line: Line, text: str) -> str:
    what = f"the enquiry {result.subject(line)}"
    return f"{made_from(what, line.estimates.book)}\n\n{text}"


def _arithmetic(line: Line) -> None:
    text = reasons.explain(line.estimates, line.number)
    with st.container(horizontal=True, vertical_alignment="center"):
        st.header("The arithmetic, to redo by hand", anchor=False)
        st.download_button("Save as text", partial(_as_file, line, text), mime="text/plain",
                           file_name="arithmetic.txt", on_click="ignore",
                           icon=":material/download:",
                           key="download_arithmetic")  # fmt: skip
    st.code(text, language=None, wrap_lines=True, height=_TEXT_HEIGHT)
