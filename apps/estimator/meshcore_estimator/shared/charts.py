"""Pictures of what the core worked out."""

from __future__ import annotations

import json
import textwrap

import altair as alt
import pandas as pd
import streamlit as st

from meshcore.costing.money import money_text
from meshcore.costing.stages import COST_STAGES

#: Colours that stand on the light and on the dark page; ``style.css`` has them for the key.
COST, ADDED = "#3f8aa3", "#b98a3e"
#: Ink of words in a picture on a light and on a dark page; ``.streamlit/config.toml`` has them too.
_INK = {"light": "#18242a", "dark": "#e2eaed"}
#: Height of one item and of its bar, size of the words [px].
_STEP, _BAR, _FONT = 29, 13, 12.5
#: Letters in a line of an item's name before it is broken; room for names and amounts [px].
_LINE, _NAMES, _AMOUNTS = 24, 152, 74


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
    Name, bar and amount of an item stand side by side; long names are broken, so that the bars
    have room at any width.
    """
    names = ["\n".join(textwrap.wrap(label, _LINE)) for label in items["label"]]
    broken = [place for place, name in enumerate(names) if "\n" in name]
    shown = pd.DataFrame(
        {
            "place": range(len(items)),
            "item": items["label"],
            "stage": items["stage"],
            "amount": items["amount"],
            "colour": [COST if stage in COST_STAGES else ADDED for stage in items["stage"]],
            "text": [money_text(amount, "", digits).strip() for amount in items["amount"]],
        }
    )
    names_axis = alt.Axis(
        title=None, domain=False, ticks=False, grid=False, labelColor=ink(), labelFontSize=_FONT,
        labelAlign="left", labelPadding=_NAMES, labelLimit=0, labelOverlap=False,
        # A broken name is hung so that its two lines lie about the middle of the bar.
        labelBaseline={
            "condition": {"test": f"indexof({broken}, datum.value) >= 0", "value": "bottom"},
            "value": "middle",
        },
        labelExpr=f"split({json.dumps(names)}[datum.value], '\\n')",
    )  # fmt: skip
    base = alt.Chart(shown).encode(
        y=alt.Y("place:O", axis=names_axis),
        tooltip=[
            alt.Tooltip("item:N", title="Item"),
            alt.Tooltip("stage:N", title="Stage"),
            alt.Tooltip("text:N", title=f"Amount [{currency}]"),
        ],
    )
    bars = base.mark_bar(height=_BAR).encode(
        x=alt.X("amount:Q", axis=None, scale=alt.Scale(zero=True, nice=False)),
        color=alt.Color("colour:N", scale=None),
    )
    amounts = base.mark_text(align="right", dx=_AMOUNTS, fontSize=_FONT, color=ink()).encode(
        x=alt.value("width"), text="text:N"
    )
    return alt.layer(bars, amounts).properties(
        height=alt.Step(_STEP), padding={"left": 0, "right": 0, "top": 4, "bottom": 0}
    )
