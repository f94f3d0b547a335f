"""A comparison of alloys on the screen: in words, as a picture, and one alloy in full."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

import numpy as np
import pandas as pd
import streamlit as st

from meshcore.alloys.comparison.conditions import SERVICES
from meshcore.alloys.comparison.judging import ASPECTS
from meshcore.alloys.methods.verdicts import VERDICTS
from meshcore.alloys.records.registry import installed_registry
from meshcore_estimator.alloys.marks import marked
from meshcore_estimator.alloys.story import (
    MEETS_WORD,
    NOT_ASKED_WORD,
    NOT_JUDGED_WORD,
    Passed,
    asks_of_corrosion,
    aspects_asked,
    cheapest,
    more_margin,
    next_best,
    passed_over,
)
from meshcore_estimator.alloys.wording import ASPECT_WORDS, amount, margin
from meshcore_estimator.shared.numbers import short
from meshcore_estimator.shared.parts import Cell, Markup, aside, figures, folded, lines, soft
from meshcore_estimator.shared.parts import table as html_table

_OF_MANY = {"meets": "meet", "fails": "fail"}
_LIFE_DIGITS = 3


def draw(table: pd.DataFrame) -> None:
    """Draw in words which alloy is the cheapest that meets, and why no cheaper one is."""
    if not aspects_asked(table):
        priced = "; prices are shown already" if table["price"].notna().any() else ""
        st.html(aside("No service is described, so nothing is judged. Choose the surroundings, or "
                      f"say what the alloy must stand{priced}."))  # fmt: skip
        return
    best = cheapest(table)
    if best is None:
        st.html(aside(_none_meets(table), "review"))
        return
    _headline(table, best)
    st.html(f'<p class="mc-said">{_why(table, best)}</p>')
    _draw_cheaper(table, best)
    if told := " ".join(table.attrs.get("who_weaves", ())):
        st.html(f'<p class="mc-said">{escape(told)}</p>')


def _draw_cheaper(table: pd.DataFrame, best: int) -> None:
    """Say why no cheaper alloy is taken."""
    passed = passed_over(table, best)
    if not passed:
        st.html('<p class="mc-said">It is also the cheapest of all.</p>')
        return
    count = sum(len(p.alloys) for p in passed)
    st.markdown(
        folded(
            f"Why not a cheaper one? {count} cost less",
            html_table((), [_passed(p, table) for p in passed]),
        ),
        unsafe_allow_html=True,
    )


def _none_meets(table: pd.DataFrame) -> str:
    if (table["verdict"] == MEETS_WORD).any():
        return "No alloy that meets this service has a price: see the table."
    row = next_best(table)
    if row is None:
        unjudged = (table["verdict"] == NOT_JUDGED_WORD).sum()
        return (
            f"No alloy meets this service, and none is marginal. {unjudged} are not judged: "
            f"{_why_unjudged(table)}, which speaks neither for nor against them."
        )
    return (
        f"No alloy meets this service. The cheapest marginal one is {table['alloy'].iloc[row]}, "
        f"at {amount(table['price'].iloc[row], table)}: {table['reason'].iloc[row]}."
    )


def _why_unjudged(table: pd.DataFrame) -> str:
    if asked := table.attrs.get("would_decide"):
        return f"it depends on what is not stated ({', '.join(asked)})"
    return "no method here covers them"


def _headline(table: pd.DataFrame, best: int) -> None:
    row = table.iloc[best]
    counts = table["verdict"].value_counts()
    judged = ", ".join(f"{counts[v]} {_OF_MANY.get(v, v)}" for v in VERDICTS if counts.get(v, 0))
    life = float(row["life_years"])
    last = (
        ("Life reckoned", "no end", "no loss that counts in such air")
        if np.isinf(life)
        else ("Life reckoned", f"{short(life, _LIFE_DIGITS)} years",
         f"{amount(row['cost_per_year'], table)} a year over those wanted")
        if not np.isnan(life)
        else ("Alloys compared", str(len(table)), judged)
    )  # fmt: skip
    with st.container(key="headline"):
        st.html(
            figures(
                (
                    ("Cheapest that meets", str(row["alloy"]), _numbers(row)),
                    (
                        "Price of the order",
                        amount(row["price"], table),
                        f"{amount(row['price_per_m2'], table)} per m²",
                    ),
                    (
                        "Corrosion margin",
                        margin(float(row["corrosion_margin"])),
                        _of_margin(table, float(row["corrosion_margin"])),
                    ),
                    last,
                )
            )
        )


def _of_margin(table: pd.DataFrame, steps: float) -> str:
    """Say what a margin counts, or why there is none."""
    if not asks_of_corrosion(table):
        return "nothing asked of corrosion"
    if np.isnan(steps):
        return "what is published of it has no steps"
    return "nothing here attacks it" if np.isinf(steps) else "steps; 0 only just meets"


def _numbers(row: pd.Series) -> str:
    texts = (row["uns"], row["en"], row["family"])
    return " · ".join(text for text in texts if text and text != row["alloy"])


def _why(table: pd.DataFrame, best: int) -> str:
    row = table.iloc[best]
    said = [f"It meets: {escape(str(row['reason']))}."]
    own, further = margin(float(row["corrosion_margin"])), more_margin(table, best)
    # More of it than can be read off the screen is no more.
    more = [
        f"{alloy} {margin(float(m))} at {amount(float(price), table)}"
        for alloy, m, price in zip(
            further["alloy"], further["corrosion_margin"], further["price"], strict=True
        )
        if margin(float(m)) != own
    ]
    if more:
        steps = "; ".join(more)
        said.append(f"More corrosion margin costs, at the least: {escape(steps)}.")
    return " ".join(said)


def _passed(passed: Passed, table: pd.DataFrame) -> tuple[Cell, ...]:
    names = ", ".join(
        f'<span class="mc-nowrap">{escape(alloy)} '
        f"{soft(amount(price, table, unit=False)).html}</span>"
        for alloy, price in zip(passed.alloys, passed.prices, strict=True)
    )
    return (
        Markup(marked(passed.verdict)),
        lines(Markup(names), _capital(passed.reason)),
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def cautions(table: pd.DataFrame) -> str:
    """Return what must stand with a comparison, as HTML."""
    said = (*table.attrs["messages"], *table.attrs["cautions"])
    items = "".join(f"<li>{escape(text)}</li>" for text in said)
    return f'<div class="mc-aside mc-cautions"><b>Before you rely on this</b><ul>{items}</ul></div>'


def rests_on(table: pd.DataFrame) -> str:
    """Return what was assumed, what nobody knows, and what would change a verdict, as HTML."""
    said = table.attrs.get("assumptions", ())
    if not said:
        return ""
    items = "".join(f"<li>{escape(text)}</li>" for text in said)
    return folded(f"What this rests on, and what would change a verdict ({len(said)})",
                  f'<ul class="mc-said">{items}</ul>')  # fmt: skip


def papers(table: pd.DataFrame) -> str:
    """Return what is to be asked of the buyer and which paper proves it, as HTML."""
    said = table.attrs.get("papers", ())
    return _listed("To be asked, and which paper proves it", said) if said else ""


def _listed(heading: str, said: Sequence[str]) -> str:
    items = "".join(f"<li>{escape(text)}</li>" for text in said)
    return f'<div class="mc-aside mc-cautions"><b>{escape(heading)}</b><ul>{items}</ul></div>'


def title(row: pd.Series) -> str:
    """Return verdict and name of one alloy, as HTML."""
    return (
        f'<div class="mc-title">{marked(str(row["verdict"]))} <b>{escape(str(row["alloy"]))}</b> '
        f"{soft(_numbers(row)).html}</div>"
    )


def draw_alloy(table: pd.DataFrame, number: int) -> None:
    """Draw one alloy in full: why, what each method says, and how it takes services."""
    row = table.iloc[number]
    st.html(f'<p class="mc-said">{escape(_capital(str(row["reason"])))}.</p>')
    if row["wire_supply"]:
        st.html(f'<p class="mc-said">Wire: {escape(str(row["wire_supply"]))}.</p>')
    if row["flips"]:
        st.html(f'<p class="mc-said mc-soft">Would change it: {escape(str(row["flips"]))}.</p>')
    if row.get("messages"):
        st.html(aside(str(row["messages"]), "review" if row["price"] > 0 else "refused"))
    left, right = st.columns(2, gap="medium")
    with left:
        asked = [a for a in ASPECTS if row[a] != NOT_ASKED_WORD]
        rows = [(ASPECT_WORDS[a], Markup(marked(str(row[a])))) for a in asked]
        st.markdown(html_table(("Question", "Fitness"), rows), unsafe_allow_html=True)
    with right:
        st.html(html_table(("After weaving", "", "Why"), _services(str(row["alloy"]))))


def _services(designation: str) -> list[tuple[Cell, ...]]:
    alloy = next(a for a in installed_registry().alloys if a.designation == designation)
    return [
        (ASPECT_WORDS[name], alloy.services[name].level, soft(alloy.services[name].reason))
        for name in SERVICES
        if name in alloy.services
    ]


def bar(table: pd.DataFrame, best: int | None) -> str:
    """Return the answer in one line, as HTML."""
    if best is None:
        met = bool((table["verdict"] == MEETS_WORD).any())
        none = "No alloy that meets has a price" if met else "No alloy meets"
        return f'<div class="mc-bar"><span>{none}</span></div>'
    row = table.iloc[best]
    return (
        f'<div class="mc-bar"><span>{escape(str(row["alloy"]))}: the cheapest that meets</span>'
        f"<b>{amount(float(row['price']), table)}</b></div>"
    )


def first(table: pd.DataFrame, surroundings: str) -> str:
    """Return how many meet, to stand before the form where the screen is narrow, as HTML.

    Which one is the cheapest of them stands at the foot of such a screen.
    """
    counts = table["verdict"].value_counts()
    judged = ", ".join(f"{counts[v]} {_OF_MANY.get(v, v)}" for v in VERDICTS if counts.get(v, 0))
    where = f"<b>{escape(_capital(surroundings))}</b>: " if surroundings else ""
    return f'<p class="mc-said">{where}of {len(table)} alloys, {judged}.</p>'
