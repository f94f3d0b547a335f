"""The nearest cloth that can be woven: what must hold, the offers, and one click to use one."""

from __future__ import annotations

import streamlit as st

from meshcore.costing.money import minor_digits, money_text
from meshcore.estimates.nearest import nearest_weavable
from meshcore.weave.search.alternatives import PROPERTIES, Alternatives
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.numbers import change, fixed, size
from meshcore_estimator.shared.parts import LABELS, message_list, offer

#: Offers shown: enough to choose from at a glance.
_OFFERS = 5
_HOLD = "nearest_hold"
_NAMES = {"mass": "Mass per area", "strength": "Strength"}


def draw(line: Line) -> None:
    """Draw what must hold, and the offers."""
    hold = st.multiselect(
        "Hold", PROPERTIES, key=_HOLD, persist_state="session", placeholder="Nothing in particular",
        format_func=lambda name: LABELS.get(name, _NAMES.get(name, name)), select_all=False,
        help="What must stay as asked, within 1 %. All else is traded; the nearest comes first.",
    )  # fmt: skip
    offered = nearest_weavable(line.estimates, line.number, hold, _OFFERS)
    if offered.message is not None:
        st.html(message_list([offered.message]))
        return
    for rank in range(len(offered)):
        _offer(line, offered, rank)


def _offer(line: Line, offered: Alternatives, rank: int) -> None:
    with st.container(
        horizontal=True, vertical_alignment="center", key=f"offer_{rank}", gap="small"
    ):
        st.html(offer(offered.name(rank), _figures(line, offered, rank), _reason(offered, rank)))
        st.button(
            "Use this one", key=f"use_offer_{rank}", on_click=enquiry_form.use,
            args=(offered.cells(rank),),
        )  # fmt: skip


def _reason(offered: Alternatives, rank: int) -> str:
    why, changed = offered.why[rank], offered.trade_off(rank)
    return f"{why[:1].upper()}{why[1:]}{f': {changed}' if changed else ''}."


def _figures(line: Line, offered: Alternatives, rank: int) -> list[tuple[str, str, str]]:
    row = offered.frame().iloc[rank]
    currency = str(line["currency"])
    price = money_text(float(row["price"]), currency, minor_digits(currency))
    return [
        ("Aperture", size(row["aperture_mm"], "mm"), change(offered.aperture_change[rank])),
        ("Open area", fixed(row["open_area_pct"], 1, "%"), change(offered.open_area_change[rank])),
        ("Mass per area", fixed(row["mass_per_area_kg_m2"], 3, "kg/m²"),
         change(offered.mass_change[rank])),
        ("Price", price, change(offered.price_change[rank])),
    ]  # fmt: skip
