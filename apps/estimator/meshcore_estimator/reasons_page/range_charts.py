"""Pictures of how sure a price is: its range, what drives it, how it falls with quantity."""

from __future__ import annotations

from collections.abc import Sequence

import altair as alt
import pandas as pd

from meshcore.costing.money import minor_digits
from meshcore.costing.ranges import BudgetRange
from meshcore.estimates.firmness import CombinedRange
from meshcore_estimator.shared.charts import ADDED, COST, ink
from meshcore_estimator.shared.numbers import amount
from meshcore_estimator.shared.parts import plain_key
from meshcore_estimator.shared.side_by_side import signed

#: A picture as altair may return one.
Picture = alt.LayerChart | alt.FacetChart
#: Bars of a histogram, at most; height of a picture [px].
_BARS, _HEIGHT = 50, 300
#: Height of one driver [px]: its words, and its bar below them.
_STEP, _BAR, _WORDS_ABOVE, _FONT = 31, 8, -11, 12.5
#: What an axis with its title takes of a picture's height [px]; streamlit fits both into it.
_AXIS = 86


def histogram(spread: BudgetRange) -> Picture:
    """Draw how often each price came up, with P10, P50 and P90 marked."""
    digits = minor_digits(spread.currency)
    bars = (
        alt.Chart(pd.DataFrame({"price": spread.prices}))
        .mark_bar(color=COST)
        .encode(
            x=alt.X("price:Q", bin=alt.Bin(maxbins=_BARS), title=f"Price [{spread.currency}]",
                    axis=alt.Axis(grid=False, tickCount=6, format=",.0f")),
            y=alt.Y("count()", title="Draws", axis=alt.Axis(tickCount=4)),
            tooltip=[alt.Tooltip("price:Q", bin=alt.Bin(maxbins=_BARS), title="Price"),
                     alt.Tooltip("count()", title="Draws")],
        )
    )  # fmt: skip
    quoted = pd.DataFrame(
        {
            "price": [spread.p10, spread.p50, spread.p90],
            "name": ["P10", "P50", "P90"],
            "text": [amount(p, digits) for p in (spread.p10, spread.p50, spread.p90)],
        }
    )
    base = alt.Chart(quoted).encode(x="price:Q")
    rules = base.mark_rule(color=ADDED, strokeWidth=2).encode(
        tooltip=[alt.Tooltip("name:N", title=" "), alt.Tooltip("text:N", title="Price")]
    )
    words = base.mark_text(dy=-7, baseline="bottom", color=ink(), fontSize=_FONT).encode(
        y=alt.value(0), text="name:N"
    )
    return alt.layer(bars, rules, words).properties(height=_HEIGHT, padding={"top": 22})


def spans(both: CombinedRange) -> list[tuple[str, float, float]]:
    """Name what may turn out otherwise, and from where to where the bill then lies."""
    return [
        ("Rates and yield, P10 to P90", *both.budget),
        ("Lengths at the delivery tolerances", *both.delivery),
        ("Both together, P10 to P90", both.both[0], both.both[2]),
    ]


def together(both: CombinedRange, nominal: float) -> Picture:
    """Draw the budget range, the delivery tolerances and both combined, on one scale of money."""
    digits = minor_digits(both.currency)
    rows = pd.DataFrame(spans(both), columns=["name", "low", "high"])
    rows["text"] = [
        f"{amount(low, digits)} to {amount(high, digits)}"
        for low, high in rows[["low", "high"]].to_numpy().tolist()
    ]
    base = alt.Chart(rows).encode(y=alt.Y("name:N", sort=None, axis=None))
    bars = base.mark_bar(height=_BAR, yOffset=2, color=COST).encode(
        x=alt.X("low:Q", title=f"Bill [{both.currency}]", scale=alt.Scale(zero=False),
                axis=alt.Axis(grid=False, tickCount=6, format=",.0f")),
        x2="high:Q",
        tooltip=[alt.Tooltip("name:N", title=" "), alt.Tooltip("text:N", title="Bill")],
    )  # fmt: skip
    words = base.mark_text(align="left", dy=_WORDS_ABOVE, fontSize=_FONT, color=ink())
    ends = base.mark_text(align="right", dy=_WORDS_ABOVE, fontSize=_FONT, color=ink())
    at = alt.Chart(pd.DataFrame({"price": [nominal]})).mark_rule(color=ADDED, strokeWidth=2)
    return alt.layer(
        bars,
        at.encode(x="price:Q"),
        words.encode(x=alt.value(0), text="name:N"),
        ends.encode(x=alt.value("width"), text="text:N"),
    ).properties(height=_STEP * len(rows) + _AXIS, padding={"top": 4})


def tornado(drivers: pd.DataFrame, currency: str) -> Picture:
    """Draw how far each driver moves the price, the widest swing on top.

    Parameters
    ----------
    drivers
        From the core: ``driver``, ``change_low``, ``change_high``; a side without a price is blank.
    currency
        ISO 4217 code.

    Notes
    -----
    Words stand above the bars, so that the picture is whole at any width.
    """
    digits = minor_digits(currency)
    drivers = drivers.assign(driver=drivers["driver"].map(plain_key))
    sides = pd.concat(
        [
            pd.DataFrame({"place": drivers.index, "driver": drivers["driver"],
                          "change": drivers[column], "colour": colour, "moved": moved})
            for column, colour, moved in (("change_low", COST, "lower"),
                                          ("change_high", ADDED, "higher"))
        ]
    ).dropna(subset=["change"])  # fmt: skip
    sides["text"] = [signed(change, digits) or "0" for change in sides["change"]]
    words = pd.DataFrame(
        {
            "place": drivers.index,
            "driver": drivers["driver"],
            "text": [
                f"{_side(low, digits)}  |  {_side(high, digits)}"
                for low, high in drivers[["change_low", "change_high"]].to_numpy().tolist()
            ],
        }
    )
    rows = alt.Y("place:O", axis=None)
    bars = (
        alt.Chart(sides)
        .mark_bar(height=_BAR, yOffset=2)
        .encode(
            y=rows,
            x=alt.X("change:Q", axis=None, stack=None),
            color=alt.Color("colour:N", scale=None),
            tooltip=[alt.Tooltip("driver:N", title="Input"), alt.Tooltip("moved:N", title="Moved"),
                     alt.Tooltip("text:N", title=f"Price [{currency}]")],
        )
    )  # fmt: skip
    zero = alt.Chart(pd.DataFrame({"at": [0.0]})).mark_rule(color=ink(), opacity=0.5)
    said = alt.Chart(words).encode(y=rows).mark_text(dy=_WORDS_ABOVE, fontSize=_FONT, color=ink())
    left = said.mark_text(align="left", dy=_WORDS_ABOVE, fontSize=_FONT, color=ink())
    right = said.mark_text(align="right", dy=_WORDS_ABOVE, fontSize=_FONT, color=ink())
    return alt.layer(
        bars,
        zero.encode(x="at:Q"),
        left.encode(x=alt.value(0), text="driver:N"),
        right.encode(x=alt.value("width"), text="text:N"),
    ).properties(
        height=_STEP * len(drivers), padding={"left": 0, "right": 0, "top": 4, "bottom": 0}
    )


def _side(change: float, digits: int) -> str:
    return "no price" if pd.isna(change) else signed(change, digits) or "0"


def quantity_curve(
    curve: pd.DataFrame, column: str, title: str, currency: str, asked: Sequence[float]
) -> Picture:
    """Draw a price against quantity, with the breaks and the quantity asked for.

    Parameters
    ----------
    curve
        From the core: ``quantity``, ``price``, ``unit_price``, ``at_break``.
    column
        Which price.
    title
        What the axis calls it.
    currency
        ISO 4217 code.
    asked
        The quantity asked for, marked if it is on the curve.
    """
    digits = minor_digits(currency)
    shown = curve.assign(text=[amount(price, digits) for price in curve[column]])
    base = alt.Chart(shown).encode(
        x=alt.X("quantity:Q", title="Quantity", axis=alt.Axis(grid=False, tickCount=6, format=",d"),
                scale=alt.Scale(nice=False)),
        y=alt.Y(f"{column}:Q", title=f"{title} [{currency}]", scale=alt.Scale(zero=False),
                axis=alt.Axis(tickCount=5, format=",.0f")),
        tooltip=[alt.Tooltip("quantity:Q", title="Quantity"),
                 alt.Tooltip("text:N", title=f"{title} [{currency}]")],
    )  # fmt: skip
    breaks = (
        alt.Chart(shown[shown["at_break"]])
        .mark_rule(color=ADDED, strokeDash=[4, 3])
        .encode(x="quantity:Q", tooltip=[alt.Tooltip("quantity:Q", title="Break from")])
    )
    here = base.transform_filter(alt.FieldOneOfPredicate("quantity", list(asked)))
    return alt.layer(
        breaks,
        base.mark_line(color=COST, point={"color": COST, "size": 18}),
        here.mark_point(color=ADDED, filled=True, size=110, opacity=1),
    ).properties(height=_HEIGHT)
