"""The lines of a priced list as a grid that scrolls, sorts and can be searched."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pandas as pd
import streamlit as st

from meshcore.costing.money import minor_digits
from meshcore.estimates.for_buyers import tells_costs
from meshcore.estimates.priced_table import PRICED_COLUMNS
from meshcore.estimates.results import EstimateSet
from meshcore_estimator.shared.parts import COLUMN_WORDS, status_word

#: What people look for first, in this order; the list's own columns follow, then the rest.
_FIRST = ("status", "price", "unit_price", "mass_kg", "messages")
_PLACES = {
    "mesh_count_per_in": 3, "pitch_mm": 3, "aperture_mm": 3, "wire_diameter_mm": 3,
    "open_area_pct": 1, "path_ratio": 4, "thickness_mm": 2, "density_kg_m3": 0,
    "mass_per_area_kg_m2": 4, "net_area_m2": 2, "gross_area_m2": 2, "yield_pct": 1,
    "mass_kg": 1, "mass_min_kg": 1, "mass_max_kg": 1,
}  # fmt: skip
_MONEY = ("cost", "price", "price_min", "price_max", "unit_price")
#: Priced column → what the screen calls it.
_NAMES = {
    "mesh_count_per_in": "Mesh count [/ in]", "pitch_mm": "Pitch [mm]",
    "aperture_mm": "Aperture [mm]", "wire_diameter_mm": "Wire diameter [mm]",
    "open_area_pct": "Open area [%]", "path_ratio": "Wire per length of cloth",
    "thickness_mm": "Thickness [mm]", "density_kg_m3": "Density [kg/m³]",
    "mass_per_area_kg_m2": "Mass per area [kg/m²]", "net_area_m2": "Area delivered [m²]",
    "gross_area_m2": "Cloth consumed [m²]", "yield_pct": "Yield [%]", "mass_kg": "Mass [kg]",
    "mass_min_kg": "Least mass [kg]", "mass_max_kg": "Most mass [kg]", "cost": "Cost",
    "price": "Price", "price_min": "Least price", "price_max": "Most price",
    "unit_price": "Price each",
}  # fmt: skip
_WORDS = {
    "weave": "Weave", "weave_asked": "Weave asked for", "currency": "Currency",
    "order_taken": "Order it is taken in",
}  # fmt: skip
#: Column of what was changed of a line; no list is likely to have one of that name.
_CHANGED = "changed_here"
_STATUS_COLOURS = {"ok": "green", "review": "orange", "refused": "red"}
#: Most of the height that the grid may take [px].
_MOST_HEIGHT, _ROW_HEIGHT = 420, 35


def draw(
    estimates: EstimateSet, lines: pd.DataFrame, key: str, changed: Mapping[str, str]
) -> int | None:
    """Draw the lines.

    Parameters
    ----------
    estimates
        The list that they belong to.
    lines
        The priced table, or some rows of it.
    key
        Under which the selection is kept.
    changed
        Index of a line, as text → what was changed of it since it came; shown where any was.

    Returns
    -------
    Place in `lines` of the line chosen; None if none is.
    """
    priced = [c for c in PRICED_COLUMNS if c != "cost" or tells_costs(estimates)]
    own = [c for c in lines.columns if c not in PRICED_COLUMNS]
    name = estimates.headings.column.get("line")
    first = [name] if name in own else []
    order = [*first, *_FIRST, *(c for c in own if c != name)]
    shown = lines.reset_index(drop=True)
    if changed:
        order.insert(len(first) + 1, _CHANGED)
        shown[_CHANGED] = [changed.get(str(label), "") for label in lines.index]
    words = {status: [status_word(status)] for status in _STATUS_COLOURS}
    shown["status"] = [words[status] for status in shown["status"]]
    for column, words_for_it in COLUMN_WORDS.items():
        shown["messages"] = shown["messages"].str.replace(column, words_for_it, regex=False)
    texts = {c: shown[c].astype("str") for c in own if shown[c].dtype == object}
    state = st.dataframe(
        shown.assign(**texts),
        hide_index=True,
        column_order=[*order, *(c for c in priced if c not in order)],
        column_config=_columns(first, estimates.book.currency),
        height=min(_MOST_HEIGHT, _ROW_HEIGHT * (len(shown) + 1) + 3),
        on_select="rerun",
        selection_mode=["single-row", "single-cell"],
        placeholder="",
        key=key,
    )
    return _chosen(state)


def _columns(pinned: list[str], currency: str) -> Mapping[str, Any]:
    config, digits = st.column_config, minor_digits(currency)
    money = "accounting" if digits == 2 else f"%.{digits}f"  # noqa: PLR2004 - what that format has
    return {
        "status": config.MultiselectColumn(
            "Status",
            options=[status_word(s) for s in _STATUS_COLOURS],
            color=list(_STATUS_COLOURS.values()),
            width=90,
        ),
        "messages": config.TextColumn("What is said", width=360),
        **{c: config.NumberColumn(f"{_NAMES[c]} [{currency}]", format=money) for c in _MONEY},
        **{c: config.NumberColumn(_NAMES[c], format=f"%.{n}f") for c, n in _PLACES.items()},
        **{c: config.Column(name) for c, name in _WORDS.items()},
        _CHANGED: config.TextColumn("Changed", width=90),
        **{c: config.Column(c, pinned=True, width=60) for c in pinned},
    }


def _chosen(state: Any) -> int | None:  # noqa: ANN401 - streamlit's state of a grid has no public type
    selection = state["selection"]
    if selection["rows"]:
        return int(selection["rows"][0])
    return int(selection["cells"][0][0]) if selection["cells"] else None
