"""A use, the specifications that do it, and what the cloth of the enquiry does for it."""

from __future__ import annotations

import streamlit as st

from meshcore.estimates.performing import performance
from meshcore.estimates.specified import Specifications
from meshcore.estimates.specifying import specify
from meshcore.messages import Message
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.shared import current, result, settings, settling
from meshcore_estimator.uses import answer, form

#: Specifications shown.
_COUNT = 5
#: Cells of the enquiry that say what is ordered.
_ORDER = ("form", "width", "length", "shape", "dimensions", "services")


def page() -> None:
    """Draw the page."""
    current.start()
    form.restore()
    order = _order()
    found = _specified(order)
    asking, answering = st.columns([5, 12], gap="large")
    with asking, st.container(key="by_use_form", gap="small"):
        form.draw(_by_field((*found.messages, *found.told)))
    enquiry_form.keep()
    form.keep()
    settling.taken()
    with answering, st.container(key="by_use_answer"):
        if len(found):
            answer.draw(found)
            st.caption(
                "Priced as the enquiry is supplied." if order else
                "Priced as one full roll in the first stock width; the enquiry may say otherwise."
            )  # fmt: skip
        else:
            answer.refused(found)
        line = current.line()
        if line is not None:
            one = line.estimates[line.number]
            told = performance(one, form.statement().use, form.texts())
            with st.container(key="by_use_own"):
                if len(found) or not told.messages:
                    answer.performance(told, result.cloth(line), with_caution=not len(found))


def _specified(order: dict[str, str]) -> Specifications:
    return specify(
        form.statement().use,
        form.texts(),
        alloy=form.typed("alloy"),
        form=order or None,
        quantity=enquiry_form.typed("quantity") if order else 1,
        price_book=settings.price_book(),
        supply_policy=settings.supply_policy(),
        count=_COUNT,
    )


def _order() -> dict[str, str]:
    """Cells of what the enquiry orders; none where it does not say all of it."""
    cells = enquiry_form.cells()
    sized = cells["dimensions"] if cells["form"] == "piece" else cells["width"] and cells["length"]
    return {name: cells[name] for name in _ORDER} if sized and cells["quantity"] else {}


def _by_field(messages: tuple[Message, ...]) -> dict[str, list[Message]]:
    notes: dict[str, list[Message]] = {}
    for message in messages:
        if message.code != "use.figure_missing":
            notes.setdefault(message.field, []).append(message)
    return notes
