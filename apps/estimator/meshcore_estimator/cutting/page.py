"""Cutting: strips slit or pieces nested from one cloth, with the plan that the price follows."""

from __future__ import annotations

import operator
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from pathlib import Path

import pandas as pd
import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from meshcore.commands.cutting_report import plan_dxf, plan_svg
from meshcore.costing.book.price_book import PriceBook
from meshcore.demo import is_demo
from meshcore.documents.cut_sheet_labels import labels_in, read_labels
from meshcore.documents.cut_sheets import cut_sheet_pdf, plan_sheets
from meshcore.documents.terms import TermsError
from meshcore.estimates.results import EstimateSet
from meshcore.lists.workbook import workbook_bytes
from meshcore.supply.cutting import CuttingEffort
from meshcore.supply.nesting.plan import NestPlan
from meshcore.supply.policy import SupplyPolicy
from meshcore.weave.geometry.path import PathModel
from meshcore_estimator.cutting import cloth as cutting_cloth
from meshcore_estimator.cutting import drawings as cutting_drawings
from meshcore_estimator.cutting import order as cutting_order
from meshcore_estimator.cutting import plan_view as cutting_plan_view
from meshcore_estimator.cutting import planning_job
from meshcore_estimator.cutting import result as cutting_result
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.shared import breakdown, current, result, settings, settling
from meshcore_estimator.shared.files import XLSX
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.parts import aside
from meshcore_estimator.shared.pricing import estimate_list
from meshcore_estimator.shared.provenance import made_from
from meshcore_estimator.shared.roles import Deed, may

_STYLE = Path(__file__).parent / "page.css"
_PLANNED, _WANTED, _LABELS = "cutting_planned", "cutting_wanted", "cutting_labels"
#: Time for a plan where none is given: the user waits for it [s].
_SECONDS = 3.0
#: Longest time that may be given to a plan [s].
_MOST_SECONDS = 120.0


@dataclass(frozen=True, slots=True)
class Asked:
    """An order, and all that it is priced and planned with."""

    form: str
    order: pd.DataFrame
    book: PriceBook
    policy: SupplyPolicy
    path_model: PathModel
    effort: CuttingEffort

    def same_as(self, other: Asked) -> bool:
        """Whether a plan made for the other holds for this one too."""
        return (
            self.order.equals(other.order)
            and operator.is_(self.book, other.book)
            and operator.is_(self.policy, other.policy)
            and (self.path_model, self.effort) == (other.path_model, other.effort)
        )


def page() -> None:
    """Draw the page."""
    st.html(_STYLE)
    current.start()
    if cutting_order.start(is_demo()):
        st.session_state[_WANTED] = True
    cutting_cloth.take()
    cloth = current.line()
    asking, answering = st.columns([7, 11], gap="large")
    with asking, st.container(key="enquiry_form", gap="small"):
        order, said = _ask(cloth)
    enquiry_form.keep()
    settling.taken()
    with answering, st.container(key="cutting_answer"):
        if cloth is None or not len(order.order):
            _invite()
            return
        _answer(cloth, order, said)


def _ask(cloth: Line | None) -> tuple[Asked, DeltaGenerator]:
    """Draw the form; return what is asked, and the place for what is said of it."""
    cutting_cloth.draw(cloth)
    form, said = cutting_order.draw()
    effort = _effort(form)
    st.button("Plan the cutting", key="plan_cutting", type="primary", width="stretch",
              icon=":material/content_cut:", on_click=_want)  # fmt: skip
    path_model: PathModel = "flat" if enquiry_form.path_model() == "flat" else "arc"
    order = cutting_order.as_list(form, cutting_cloth.cells())
    return Asked(
        form, order, settings.price_book(), settings.supply_policy(), path_model, effort
    ), said


def _want() -> None:
    st.session_state[_WANTED] = True


def _effort(form: str) -> CuttingEffort:
    """Draw how hard to look, and how pieces may lie."""
    bias = along = False
    with st.container(key="cutting_lie"):
        if form == cutting_order.PIECE:
            bias = st.checkbox("On the bias, 45° to the wires", key="cutting_bias",
                               persist_state="session")  # fmt: skip
            along = st.checkbox("Warp along the long side of each piece", key="cutting_along",
                                persist_state="session")  # fmt: skip
    left, right = st.columns(2, wrap=False)
    seconds = left.number_input(
        "Time budget [s]", 0.5, _MOST_SECONDS, _SECONDS, 0.5, "%g", key="cutting_seconds",
        persist_state="session", help="The longest that a plan is looked for. A proven one stops "
        "sooner.",
    )  # fmt: skip
    seed = right.number_input(
        "Seed", 0, None, 0, 1, key="cutting_seed", persist_state="session",
        help="The same seed gives the same plan, unless the time runs out.",
    )  # fmt: skip
    return CuttingEffort(seconds, int(seed), bias, along)


def _invite() -> None:
    st.html(
        aside(
            "Name the cloth and list what is to be cut from it. Strips are slit together and "
            "pieces nested together; the price follows the cloth that the plan takes. Write sizes "
            'with their units: 150 mm, 2-1/2 in, 50 ft; pieces as "disc" and "diameter 200 mm".'
        )
    )


def _answer(cloth: Line, order: Asked, said: DeltaGenerator) -> None:
    whole = estimate_list(
        order.order, order.book, order.policy, order.path_model, cutting=CuttingEffort(0)
    )
    planned = _planned(order)
    shown = whole if planned is None else planned
    if grave := cutting_result.said(shown, grave=True):
        said.html(grave)
    with st.container(horizontal=True, vertical_alignment="center", key="cutting_title"):
        with st.container(width="stretch", key="cutting_status"):
            st.html(cutting_result.title(shown, cloth))
        _downloads(cloth, shown, planned)
    with st.container(key="headline"):
        cutting_result.headline(whole, planned)
        breakdown.priced_with(shown)
    with st.container(key="cutting_notes"):
        if planned is None:
            st.html(aside('Each line is priced in whole rows. "Plan the cutting" slits or nests '
                          "all lines together."))  # fmt: skip
        if missing := cutting_order.left_out(order.form):
            st.html(aside(f"Not in this price, because it cannot be read: {', '.join(missing)}.",
                          "refused"))  # fmt: skip
        st.html(aside(cutting_result.SHARP, "review"))
    with st.container(key="cutting_lines"):
        cutting_result.by_line(whole, planned)
        if may(Deed.COSTS):
            cutting_result.cost_items(shown)
    if planned is not None and planned.plans:
        _ask_labels(planned)
    for plan in planned.plans if planned else ():
        cutting_plan_view.draw(
            plan, [cutting_result.what(shown, row) for row in plan.firsts.tolist()]
        )
    if notes := cutting_result.said(shown, grave=False):
        with st.container(key="cutting_remarks"):
            st.html(notes)
    with st.container(key="basis"):
        breakdown.basis(shown)
    with st.container(key="price_bar"):
        st.html(cutting_result.bar(shown, is_planned=planned is not None))


def _planned(order: Asked) -> EstimateSet | None:
    """Return the order with its plan: a new one where it is wanted, or the last if it holds."""
    kept: tuple[Asked, EstimateSet] | None = st.session_state.get(_PLANNED)
    if kept is not None and order.same_as(kept[0]):
        st.session_state[_WANTED] = False
        return kept[1]
    job = planning_job.running(lambda other: isinstance(other, Asked) and order.same_as(other))
    if job is None and not st.session_state.get(_WANTED):
        return None
    place = st.empty()
    with place.container():
        estimates = planning_job.awaited(job or _begun(order))
    place.empty()
    # Not before: a plan that a change on the screen breaks off is begun again.
    st.session_state[_WANTED] = False
    st.session_state[_PLANNED] = (order, estimates)
    return estimates


def _begun(order: Asked) -> planning_job.Job:
    def plan(job: planning_job.Job) -> EstimateSet:
        return estimate_list(
            order.order, order.book, order.policy, order.path_model, job.tell, order.effort
        )

    return planning_job.begin(order, order.effort.seconds, plan)


def _downloads(cloth: Line, shown: EstimateSet, planned: EstimateSet | None) -> None:
    # First, so that it stays where it is whether there is a plan or not.
    st.download_button(
        "Workbook", partial(_workbook, _named(shown), cloth), file_name="cutting.xlsx", mime=XLSX,
        on_click="ignore", icon=":material/download:", key="download_cutting_xlsx",
    )  # fmt: skip
    if planned is not None and planned.plans:
        try:
            labels = _labels(planned)
        except TermsError:
            # What is wrong is said beside the field; until then the sheet has room for a pen.
            labels = {}
        st.download_button(
            "Cut sheet", partial(_cut_sheet, planned, labels), file_name="cut_sheet.pdf",
            mime="application/pdf", on_click="ignore", icon=":material/print:",
            key="download_cut_sheet", help="Knife positions, pieces and what to check off, on A4.",
        )  # fmt: skip
    for plan in planned.plans if planned else ():
        st.download_button(
            "Drawing", partial(plan_svg, plan),
            file_name="cutting_plan.svg", mime="image/svg+xml", on_click="ignore",
            icon=":material/download:", key="download_plan_svg",
        )  # fmt: skip
        if not isinstance(plan.layout, NestPlan) or plan.layout.checked:
            st.download_button(
                "DXF for the cutter", partial(plan_dxf, plan), file_name="cutting_plan.dxf",
                mime="image/vnd.dxf", on_click="ignore", icon=":material/download:",
                key="download_plan_dxf",
            )  # fmt: skip


def _ask_labels(planned: EstimateSet) -> None:
    """Draw where the numbers of the lines' labels are typed, for the cut sheet."""
    st.text_input(
        "Label numbers, for the cut sheet", key=_LABELS, persist_state="session",
        placeholder="e.g. 1=L-0012, 2=L-0013", autocomplete="off",
    )  # fmt: skip
    with st.container(key="cutting_labels_said"):
        try:
            _labels(planned)
        except TermsError as error:
            st.html(aside(str(error), "refused"))


def _labels(planned: EstimateSet) -> dict[int, str]:
    return read_labels(labels_in(st.session_state.get(_LABELS) or ""), planned)


def _cut_sheet(planned: EstimateSet, labels: dict[int, str]) -> bytes:
    sheets = plan_sheets(planned, date.today(), labels)
    return cut_sheet_pdf(sheets, planned.policy.name).content


def _workbook(shown: EstimateSet, cloth: Line) -> bytes:
    what = f"an order cut from {result.cloth(cloth)}"
    return workbook_bytes(shown, made_from(what, shown.book))


def _named(estimates: EstimateSet) -> EstimateSet:
    """Return the order with drawings called by their names, not by where they lie here.

    The folder is the session's: what is made when a button is clicked no longer knows it.
    """
    cells = estimates.enquiries["dimensions"].map(cutting_drawings.without_folder)
    return replace(estimates, enquiries=estimates.enquiries.assign(dimensions=cells))
