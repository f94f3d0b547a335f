"""Price against corrosion margin on the screen, and apart from it what has no place there."""

from __future__ import annotations

from html import escape

import pandas as pd
import streamlit as st

from meshcore.alloys.methods.verdicts import VERDICTS
from meshcore.arrays import BoolArray
from meshcore_estimator.alloys import chart as alloy_chart
from meshcore_estimator.alloys.marks import mark, marked
from meshcore_estimator.alloys.story import NOT_ASKED_WORD
from meshcore_estimator.alloys.wording import amount
from meshcore_estimator.shared.parts import aside, folded, soft

_NO_ROOM = "Drawn without their names, for want of room:"


def draw(table: pd.DataFrame, shown: BoolArray) -> None:
    """Draw price against margin, and apart from it the alloys that have no place there."""
    st.header("Price against corrosion margin", anchor=False)
    method = _method(table)
    drawn = alloy_chart.can_be_drawn(table, method)
    if not drawn.any():
        st.html(aside("No alloy has both a price and a corrosion margin, so there is nothing to "
                      "set one against the other. The table has them all."))  # fmt: skip
        return
    with st.container(key="alloy_picture"):
        st.markdown(_picture(table, shown, method), unsafe_allow_html=True)
    with st.container(key="alloy_strip"):
        st.markdown(_strip(table[~drawn & shown]), unsafe_allow_html=True)


def _method(table: pd.DataFrame) -> str:
    """Let one method be chosen: margins of two do not compare, so each has its own picture."""
    found = alloy_chart.methods(table)
    if len(found) < 2:  # noqa: PLR2004 - nothing to choose
        chosen = next(iter(found), "")
    else:
        chosen = st.selectbox(
            "Margins in steps of", found, key="margin_method",
            help="Margins of one method compare with one another, and not with those of others.",
        ) or found[0]  # fmt: skip
    if chosen and len(found) == 1:
        st.caption(f"Margins in steps of one method: {chosen}. Those of others do not compare.")
    return chosen


@st.cache_data(max_entries=20, show_spinner=False)
def _drawn(table: pd.DataFrame, shown: BoolArray, method: str) -> list[alloy_chart.Picture]:
    return alloy_chart.pictures(table, shown, method)


def _picture(table: pd.DataFrame, shown: BoolArray, method: str) -> str:
    keys = "".join(marked(v) for v in VERDICTS if v != NOT_ASKED_WORD)
    sizes = []
    for width, picture in zip(alloy_chart.WIDTHS, _drawn(table, shown, method), strict=True):
        unnamed = escape(", ".join(picture.unnamed))
        note = f'<p class="mc-said mc-soft">{_NO_ROOM} {unnamed}.</p>' if unnamed else ""
        sizes.append(
            f'<div class="mc-picture-{width}" style="display:none">{picture.svg}{note}</div>'
        )
    return (
        f'<div class="mc-key">{keys}<span class="mc-marked"><i class="mc-front-key"></i>'
        "front: no cheaper alloy has as much margin</span>"
        '<span class="mc-marked"><i class="mc-ring-key"></i>cheapest that meets</span></div>'
        f'<div class="mc-pictures">{"".join(sizes)}</div>'
    )


def _strip(rows: pd.DataFrame) -> str:
    """Alloys without a margin or a price, by price: they have no place in the picture."""
    if rows.empty:
        return ""
    ordered = rows.sort_values("price", kind="stable")
    chips = "".join(_chip(row, rows) for _, row in ordered.iterrows())
    currency = str(rows["currency"].iloc[0])
    return folded(
        f"Not in the picture, for want of a margin by this method or a price ({len(rows)}), "
        f"with prices in {currency}",
        f'<div class="mc-strip">{chips}</div>',
    )


def _chip(row: pd.Series, table: pd.DataFrame) -> str:
    price = soft(amount(float(row["price"]), table, unit=False)).html
    return (
        f'<span class="mc-chip" title="{escape(str(row["reason"]))}">'
        f"{mark(str(row['verdict']))}{escape(str(row['alloy']))} {price}</span>"
    )
