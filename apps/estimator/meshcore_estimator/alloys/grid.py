"""The alloys compared as a grid that scrolls and sorts, and what is shown of them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import pandas as pd
import streamlit as st

from meshcore.alloys.methods.verdicts import VERDICTS
from meshcore.arrays import BoolArray
from meshcore.costing.money import minor_digits
from meshcore_estimator.alloys import story as alloy_story
from meshcore_estimator.alloys.marks import SIGNS
from meshcore_estimator.alloys.wording import ASPECT_WORDS
from meshcore_estimator.shared.numbers import short

_TAG_COLOURS = {"meets": "blue", "marginal": "orange", "not judged": "gray", "fails": "red"}
_BEFORE = (
    "alloy", "verdict", "price", "price_per_m2", "life_years", "cost_per_year",
    "cost_over_years", "break_even_years", "corrosion_margin", "availability", "reason",
)  # fmt: skip
_AFTER = ("tensile", "family", "uns", "en")
_MARK_HELP = "Cheapest that meets, or on the front of price against margin."
_LIFE_HELP = "Of the wire in the open, at the fast end of its category; none where no loss counts."
_YEARS_HELP = "Cost over the years wanted: cloth that does not last is bought again."
_YEAR_HELP = "Even yearly cost over the years wanted, replacements counted."
_EVEN_HELP = "Year from which it costs no more than the alloy that is cheapest at first."
_TENSILE_HELP = "Of the wire in the temper named; annealed where none is. Thick wire to fine."
_WIRE_HELP = "Whether the mill has the wire, where it has said so."
#: Most of the height that the grid may take [px].
_MOST_HEIGHT, _ROW_HEIGHT = 460, 35


def choose(table: pd.DataFrame) -> BoolArray:
    """Draw the filters; return which rows are shown."""
    counts = table["verdict"].value_counts()
    verdicts = [v for v in VERDICTS if counts.get(v, 0)]
    left, right = st.columns([3, 2], gap="medium")
    with left:
        wanted = st.pills(
            "Verdicts shown", verdicts, selection_mode="multi", key="alloy_verdicts", wrap=True,
            format_func=lambda v: f"{SIGNS[v]} {v} {counts[v]}",
        )  # fmt: skip
    with right:
        families = st.multiselect(
            "Families shown", sorted(table["family"].unique()), key="alloy_families",
            placeholder="All", select_all=False,
        )  # fmt: skip
    shown = np.ones(len(table), dtype=np.bool_)
    if wanted:
        shown &= table["verdict"].isin(wanted).to_numpy()
    if families:
        shown &= table["family"].isin(families).to_numpy()
    if not shown.all():
        st.caption(f"{shown.sum()} of {len(table)} alloys are shown.")
    return shown


def draw(table: pd.DataFrame, shown: BoolArray) -> int | None:
    """Draw the rows shown.

    Returns
    -------
    Row of `table` to be looked at in full: the one chosen, or the first shown; None if none is.
    """
    rows = np.flatnonzero(shown)
    if not rows.size:
        st.caption("No alloy is of such a family and verdict.")
        return None
    asked = alloy_story.aspects_asked(table)
    state = st.dataframe(
        _cells(table.iloc[rows], asked),
        hide_index=True,
        column_config=_columns(str(table["currency"].iloc[0]), asked),
        height=min(_MOST_HEIGHT, _ROW_HEIGHT * (len(rows) + 1) + 3),
        on_select="rerun",
        selection_mode=["single-row", "single-cell"],
        placeholder="–",
        key=f"alloy_grid_{hash(rows.tobytes())}",
    )
    st.caption("Click a line to see the alloy in full below. Margins are in steps of each method, "
               "and do not compare from one method to another.")  # fmt: skip
    return int(rows[_place(state)])


def _place(state: Any) -> int:  # noqa: ANN401 - streamlit's state of a grid has no public type
    selection = state["selection"]
    if selection["rows"]:
        return int(selection["rows"][0])
    return int(selection["cells"][0][0]) if selection["cells"] else 0


def _cells(rows: pd.DataFrame, asked: list[str]) -> pd.DataFrame:
    shown = rows.assign(tensile=_tensile(rows))[[*_BEFORE, *asked, "wire", *_AFTER]].copy()
    # A grid writes "Infinity" for what has no end: the headline and the reason say it in words.
    for name in ("life_years", "corrosion_margin"):
        shown[name] = rows[name].where(np.isfinite(rows[name]))
    shown["verdict"] = [[_tag(v)] for v in rows["verdict"]]
    for aspect in (*asked, "wire"):
        shown[aspect] = [f"{SIGNS[v]} {v}" if v in SIGNS else "" for v in rows[aspect]]
    front = np.where(rows["on_front"], "front", "")
    shown.insert(2, "mark", np.where(rows["cheapest_that_meets"], "cheapest", front))
    return shown.reset_index(drop=True)


def _tensile(rows: pd.DataFrame) -> list[str]:
    ends = zip(rows["tensile_least_mpa"], rows["tensile_most_mpa"], strict=True)
    return ["" if np.isnan(least) else f"{short(least)}–{short(most)}" for least, most in ends]


def _tag(verdict: str) -> str:
    return f"{SIGNS[verdict]} {verdict}"


def _columns(currency: str, asked: list[str]) -> Mapping[str, Any]:
    config, digits = st.column_config, minor_digits(currency)
    money = "accounting" if digits == 2 else f"%.{digits}f"  # noqa: PLR2004 - what that format has
    return {
        "alloy": config.TextColumn("alloy", pinned=True, width=150),
        "verdict": config.MultiselectColumn(
            "verdict", options=[_tag(v) for v in _TAG_COLOURS], color=list(_TAG_COLOURS.values()),
            width=115,
        ),
        "mark": config.TextColumn("mark", width=75, help=_MARK_HELP),
        "price": config.NumberColumn(f"price [{currency}]", format=money, width=100),
        "price_per_m2": config.NumberColumn("per m²", format=money, width=80),
        "life_years": config.NumberColumn("life [years]", format="%.1f", width=85,
                                          help=_LIFE_HELP),
        "cost_per_year": config.NumberColumn("a year", format=money, width=90, help=_YEAR_HELP),
        "cost_over_years": config.NumberColumn("over the years", format=money, width=105,
                                               help=_YEARS_HELP),
        "break_even_years": config.NumberColumn("even at year", format="%.1f", width=95,
                                                help=_EVEN_HELP),
        "corrosion_margin": config.NumberColumn("margin", format="%+.1f", width=70),
        "availability": config.TextColumn("wire", width=105, help=_WIRE_HELP),
        "reason": config.TextColumn("reason", width=400),
        **{a: config.TextColumn(ASPECT_WORDS[a].lower(), width=110) for a in (*asked, "wire")},
        "tensile": config.TextColumn("tensile [MPa]", width=110, help=_TENSILE_HELP),
        "uns": config.TextColumn("UNS", width=75),
        "en": config.TextColumn("EN", width=75),
        "family": config.TextColumn("family", width=170),
    }  # fmt: skip
