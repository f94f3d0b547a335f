"""Specifications for a use as the page shows them, and what the enquiry's cloth does for it."""

from __future__ import annotations

from collections.abc import Iterable

import streamlit as st

from meshcore.costing.money import minor_digits, money_text
from meshcore.estimates.performing import Performance
from meshcore.estimates.specified import Offer, Specifications
from meshcore.estimates.wording import CAUTION
from meshcore.messages import Message
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.shared import navigation
from meshcore_estimator.shared.numbers import NONE
from meshcore_estimator.shared.parts import LABELS, Markup, aside, lines, offer, soft, table, tag
from meshcore_estimator.uses import form

#: Measures that stand beside the price of an offer; the others follow in its line of reasons.
_BESIDE = 3


def draw(found: Specifications) -> None:
    """Draw the specifications with their price, reasons, caution and sources."""
    st.header(f"{found.title}: what does it", anchor=False)
    st.html(table((), [(f"{reason[:1].upper()}{reason[1:]}",) for reason in found.reasons]))
    asked = form.fields_shown()
    _told(message for message in found.told if message.field not in asked)
    for rank, one in enumerate(found.offers):
        with st.container(
            horizontal=True, vertical_alignment="center", key=f"offer_use_{rank}", gap="small"
        ):
            st.html(offer(one.name, _figures(one, found.currency), _rest(one)))
            st.button("Use this one", key=f"by_use_take_{rank}", on_click=_take,
                      args=(dict(one.cells), found.alloy))  # fmt: skip
        _told(one.told)
    with st.container(key="by_use_cautions"):
        # What holds of every estimate stands below each page.
        st.html(aside(found.caution.removesuffix(CAUTION).rstrip(), "review"))
        said = [f"Think of: {hint}." for hint in found.hints]
        said.append(f"Rests on: {'; '.join(found.sources)}.")
        st.html(f"<div>{lines(*(soft(text) for text in said)).html}</div>")


def _told(messages: Iterable[Message]) -> None:
    for message in messages:
        called = form.label(message.field)
        is_cell = message.read and message.field in LABELS
        what = f"{called} {message.read}" if is_cell else message.read or called
        st.html(aside(f"{what[:1].upper()}{what[1:]}: {message.text}", message.severity))


def refused(found: Specifications) -> None:
    """Say why there is no specification; a figure that is still to be stated is no fault."""
    for message in found.messages:
        kind = "plain" if message.code == "use.figure_missing" else "review"
        st.html(aside(f"{form.label(message.field)}: {message.text}", kind))


def performance(told: Performance, name: str, with_caution: bool) -> None:
    """Draw what the enquiry's own cloth does for the use."""
    st.header("And the cloth of the enquiry?", anchor=False)
    if told.messages:
        st.html(aside("It does not say: its sizes make no cloth that can be woven."))
        return
    mark = Markup("")
    if told.meets is not None:
        mark = tag("keeps all of it", "ok") if told.meets else tag("does not keep it", "review")
    if told.meets and told.weave_doubted:
        mark = tag("its sizes keep it, its weave is doubted", "review")
    kept = [soft(f"Not kept: {reason}.") for reason in told.failing]
    st.html(f"<div>{lines(name, mark, *kept).html}</div>")
    asked = form.fields_shown()
    _told(message for message in told.told if message.field not in asked)
    rows = [
        (one.name, one.text(0), soft(one.origin if one.is_known(0) else one.outside))
        for one in told.measures
    ]
    st.html(table(("", "this cloth", "by"), rows, numeric=(1,), wide=True))
    if with_caution:
        st.html(aside(told.caution.removesuffix(CAUTION).rstrip(), "review"))


def _figures(one: Offer, currency: str) -> list[tuple[str, str, str]]:
    price = NONE if one.price != one.price else money_text(
        one.price, currency, minor_digits(currency))  # fmt: skip
    measures = list(one.measures.items())[:_BESIDE]
    return [*((name.capitalize(), text, "") for name, text in measures), ("Price", price, "")]


def _rest(one: Offer) -> str:
    more = [f"{name} {text}" for name, text in list(one.measures.items())[_BESIDE:]]
    beside = [f"beside the first: {one.trade_off}"] if one.trade_off else []
    said = "; ".join([*beside, *one.reasons, *more])
    return f"{said[:1].upper()}{said[1:]}."


def _take(cells: dict[str, str], alloy: str) -> None:
    enquiry_form.use({**cells, "alloy": enquiry_form.typed("alloy") or alloy})
    navigation.go_to("enquiry")
