"""Alloys compared for one mesh, one order and one service: which one, and why not a cheaper one."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pandas as pd
import streamlit as st

from meshcore.alloys.comparison.conditions import Conditions
from meshcore.alloys.comparison.reading_conditions import read_conditions
from meshcore.demo import is_demo
from meshcore.enquiry import MUST_STAND
from meshcore.estimates.alloy_comparison import compare_for_line
from meshcore.estimates.life_cost import LifeCost
from meshcore.estimates.life_cost_reading import read_life_cost
from meshcore.lists.comparison_workbook import comparison_workbook
from meshcore.messages import Message
from meshcore_estimator.alloys import answer as alloy_answer
from meshcore_estimator.alloys import grid as alloy_grid
from meshcore_estimator.alloys import marks as alloy_marks
from meshcore_estimator.alloys import picture as alloy_picture
from meshcore_estimator.alloys import service_form
from meshcore_estimator.alloys import story as alloy_story
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.enquiry import form_fields
from meshcore_estimator.shared import current, navigation, result, settings, settling
from meshcore_estimator.shared.files import XLSX
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.parts import aside, lines, message_list, soft
from meshcore_estimator.shared.provenance import made_from

_STYLE = Path(__file__).parent / "page.css"


def page() -> None:
    """Draw the page."""
    st.html(_STYLE)
    st.html(alloy_marks.colour_rules())
    current.start()
    service_form.restore(is_demo())
    line = current.line()
    service = read_conditions(service_form.texts())
    cost = read_life_cost(service_form.cost_texts())
    first = st.container(key="alloys_first")
    asking, answering = st.columns([5, 12], gap="large")
    with asking, st.container(key="alloys_form", gap="small"):
        _ask(line, service, cost)
    enquiry_form.keep()
    service_form.keep()
    settling.taken()
    with answering, st.container(key="alloys_answer"):
        if isinstance(service, Conditions) and isinstance(cost, LifeCost):
            table = _answer(line, service, cost)
            with first:
                st.html(alloy_answer.first(table, service.environment))
        else:
            st.html(aside(service_form.refusal(_refused(service, cost)), "refused"))


def _refused(
    service: Conditions | tuple[Message, ...], cost: LifeCost | tuple[Message, ...]
) -> list[Message]:
    """Every refusal of what is typed of the service and its cost."""
    return [m for said in (service, cost) if isinstance(said, tuple) for m in said]


def _ask(
    line: Line | None,
    service: Conditions | tuple[Message, ...],
    cost: LifeCost | tuple[Message, ...],
) -> None:
    st.header("Mesh and order", anchor=False)
    with st.container(key="asked"):
        st.html(_asked(line))
    with st.expander("Edit mesh and order", expanded=line is None, key="mesh_and_order"):
        completed = result.completed(line) if line else {}
        form_fields.draw(
            _by_field(_of_the_cloth(line)), completed, settings.supply_policy(), alloy=False
        )
    service_form.draw(_by_field(_refused(service, cost)))


def _asked(line: Line | None) -> str:
    """Return the cloth and the order in two lines, as HTML."""
    if line is None:
        return lines(soft("None yet: without them there are verdicts, but no prices.")).html
    words = enquiry_form.as_list().iloc[0]
    sizes = [words["width"], words["length"]] if words["form"] != "piece" else []
    order = [" × ".join(filter(None, sizes)), words["shape"], words["dimensions"]]
    texts = [f"{words['quantity'] or '?'} × {words['form']}", *order, words["services"]]
    return lines(result.cloth(line), ", ".join(filter(None, texts))).html


def _by_field(messages: list[Message] | tuple[Message, ...]) -> dict[str, list[Message]]:
    notes: dict[str, list[Message]] = {}
    for message in messages:
        notes.setdefault(message.field, []).append(message)
    return notes


def _of_the_cloth(line: Line | None) -> list[Message]:
    """Return what there is to say of mesh and order, whatever the alloy."""
    return [m for m in line.messages if m.field != "alloy"] if line else []


def _answer(line: Line | None, service: Conditions, cost: LifeCost) -> pd.DataFrame:
    table = compare_for_line(
        enquiry_form.as_list(),
        service,
        price_book=settings.price_book(),
        supply_policy=settings.supply_policy(),
        path_model=enquiry_form.path_model(),
        life_cost=cost,
    )
    _title(table, line)
    with st.container(key="verdict_in_words"):
        alloy_answer.draw(table)
    if refused := [m for m in _of_the_cloth(line) if m.severity == "refused"]:
        with st.container(key="no_prices"):
            st.html(aside("There are no prices until this is mended."))
            st.html(message_list(refused))
    with st.container(key="compared"):
        shown = alloy_grid.choose(table)
        alloy_picture.draw(table, shown)
    with st.container(key="alloy_table"):
        chosen = alloy_grid.draw(table, shown)
    if chosen is not None:
        with st.container(key="alloy", border=True):
            _alloy(table, chosen)
    if said := alloy_answer.rests_on(table):
        with st.container(key="alloy_rests_on"):
            st.html(said)
    if papers := alloy_answer.papers(table):
        with st.container(key="alloy_papers"):
            st.html(papers)
    with st.container(key="alloy_cautions"):
        st.html(alloy_answer.cautions(table))
    _bar(table)
    return table


def _title(table: pd.DataFrame, line: Line | None) -> None:
    with st.container(horizontal=True, vertical_alignment="center", key="alloys_title"):
        with st.container(width="stretch"):
            st.header("Which alloy?", anchor=False)
        st.download_button(
            "Workbook", partial(_workbook, table, line), file_name="alloys.xlsx", mime=XLSX,
            icon=":material/download:", on_click="ignore", key="download_alloys_xlsx",
        )  # fmt: skip
        st.download_button(
            "CSV", partial(_csv, table), file_name="alloys.csv", mime="text/csv",
            icon=":material/download:", on_click="ignore", key="download_alloys_csv",
        )  # fmt: skip


def _workbook(table: pd.DataFrame, line: Line | None) -> bytes:
    what = f"the enquiry {result.subject(line)}" if line else "no enquiry"
    return comparison_workbook(table, made_from(what, settings.price_book()))


def _csv(table: pd.DataFrame) -> bytes:
    return table.to_csv(index=False).encode()


def _alloy(table: pd.DataFrame, row: int) -> None:
    name = str(table["alloy"].iloc[row])
    with st.container(horizontal=True, vertical_alignment="center"):
        with st.container(width="stretch"):
            st.markdown(alloy_answer.title(table.iloc[row]), unsafe_allow_html=True)
        st.button("Use this alloy", icon=":material/edit_note:", key="use_alloy",
                  on_click=_use, args=(name, str(table.attrs[MUST_STAND])))  # fmt: skip
    alloy_answer.draw_alloy(table, row)


def _use(name: str, must_stand: str) -> None:
    enquiry_form.use_alloy(name, must_stand)
    navigation.go_to("enquiry")


def _bar(table: pd.DataFrame) -> None:
    """Draw what stays in sight on a narrow screen."""
    best = alloy_story.cheapest(table)
    with st.container(key="price_bar"):
        st.html(alloy_answer.bar(table, best))
