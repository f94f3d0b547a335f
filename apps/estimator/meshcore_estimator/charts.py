"""Pictures of what the core worked out."""

from __future__ import annotations

import altair as alt
import pandas as pd
import streamlit as st

from meshcore.costing.items import COST_STAGES
from meshcore.report import money

#: Colours that stand on the light and on the dark page; ``style.css`` has them for the key.
COST, ADDED = "#3f8aa3", "#b98a3e"
#: Ink of words in a picture on a light and on a dark page; ``.streamlit/config.toml`` has them too.
_INK = {"light": "#18242a", "dark": "#e2eaed"}
#: Height of one item [px]: its words, and its bar below them.
_STEP, _BAR, _WORDS_ABOVE, _FONT = 31, 7, -11, 12.5


def ink() -> str:
    """Colour of words in a picture on the page as it is now."""
    return _INK[st.context.theme.type or "light"]


def breakdown(items: pd.DataFrame, currency: str, digits: int) -> alt.LayerChart | alt.FacetChart:
    """Draw the cost items of one line, in the order in which they are worked.

    Parameters
    ----------
    items
        Cost items, columns ``ITEM_COLUMNS``.
    currency, digits
        ISO 4217 code, and the decimal places of its minor unit.

    Notes
    -----
    Words stand above the bars, so that the picture is whole at any width.
    """
    shown = pd.DataFrame(
        {
            "place": range(len(items)),
            "item": items["label"],
            "stage": items["stage"],
            "amount": items["amount"],
            "colour": [COST if stage in COST_STAGES else ADDED for stage in items["stage"]],
            "text": [money(amount, "", digits).strip() for amount in items["amount"]],
        }
    )
    base = alt.Chart(shown).encode(
        y=alt.Y("place:O", axis=None),
        tooltip=[
            alt.Tooltip("item:N", title="Item"),
            alt.Tooltip("stage:N", title="Stage"),
            alt.Tooltip("text:N", title=f"Amount [{currency}]"),
        ],
    )
    amount = alt.X("amount:Q", axis=None, scale=alt.Scale(zero=True, nice=False))
    bars = base.mark_bar(height=_BAR, yOffset=2).encode(
        x=amount, color=alt.Color("colour:N", scale=None)
    )
    words = base.mark_text(align="left", dy=_WORDS_ABOVE, fontSize=_FONT, color=ink()).encode(
        x=alt.value(0), text="item:N"
    )
    amounts = base.mark_text(align="right", dy=_WORDS_ABOVE, fontSize=_FONT, color=ink()).encode(
        x=alt.value("width"), text="text:N"
    )
    return alt.layer(bars, words, amounts).properties(
        height=alt.Step(_STEP), padding={"left": 0, "right": 0, "top": 4, "bottom": 0}
    )
