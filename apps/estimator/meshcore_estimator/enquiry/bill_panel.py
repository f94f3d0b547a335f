"""Bill of rolls by the lengths that were delivered."""

from __future__ import annotations

import streamlit as st

from meshcore.costing.money import minor_digits, money_text
from meshcore.enquiry import ROLL
from meshcore.register.billing import Bill
from meshcore.register.invoicing import bill_rolls
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.numbers import converted, fixed, percent
from meshcore_estimator.shared.parts import Cell, message_list, soft, table, tag


def applies(line: Line) -> bool:
    """Whether there is anything to bill: a priced line of rolls."""
    return line.status != "refused" and int(line.estimates.orders.form[line.number]) == ROLL


def draw(line: Line) -> None:
    """Draw a field for the lengths delivered, and the bill that they make."""
    text = st.text_input(
        "Lengths delivered, roll by roll", key="bill_delivered", persist_state="session",
        placeholder="e.g. 99 ft, 101.5 ft, 30.4 m", live="500ms", autocomplete="off",
        help="Each roll is billed for its own length, at the price quoted for a metre. Part the "
        "lengths by semicolons where a comma is your decimal sign.",
    )  # fmt: skip
    if not text:
        return
    lengths = [length.strip() for length in text.split(";" if ";" in text else ",")]
    made = bill_rolls(line.estimates, lengths, line.number)
    if isinstance(made, tuple):
        st.html(message_list(made))
        return
    st.html(_table(made))
    if made.messages:
        st.html(message_list(made.messages))
    st.html(soft("At the price quoted, per metre of cloth as ordered.").html)


def _table(made: Bill) -> str:
    digits = minor_digits(made.currency)
    rows: list[tuple[Cell, ...]] = [
        (
            str(number),
            _length(ordered),
            _length(delivered),
            percent(deviation, 2, signed=True),
            tag("within", "ok") if within else tag("outside", "review"),
            money_text(amount, "", digits).strip(),
        )
        for number, (ordered, delivered, deviation, within, amount) in enumerate(
            zip(made.ordered_m.tolist(), made.delivered_m.tolist(), made.deviation.tolist(),
                made.within.tolist(), made.amounts.tolist(), strict=True),
            start=1,
        )
    ]  # fmt: skip
    total = money_text(made.total, "", digits).strip()
    headings = ("Roll", "Ordered", "Delivered", "Deviation", "Tolerance",
                f"Amount [{made.currency}]")  # fmt: skip
    foot = (("Total", "", "", "", "", total),)
    return table(headings, rows, numeric=(1, 2, 3, 5), foot=foot)


def _length(metres: float) -> str:
    return f"{fixed(metres, 3, 'm')} ({fixed(converted(metres, 'm', 'foot'), 2, 'ft')})"
