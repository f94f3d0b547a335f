"""An enquiry list: read, checked line by line, priced, and given back."""

from __future__ import annotations

import operator
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np
import pandas as pd
import streamlit as st

from meshcore.costing.money import money_text
from meshcore.demo import demo_data
from meshcore.estimates.questions import QuestionList
from meshcore.estimates.results import EstimateSet
from meshcore.estimates.summary import ListTotals, list_totals
from meshcore.lists.reading import READABLE
from meshcore.lists.template import write_template
from meshcore.lists.workbook import workbook_bytes
from meshcore.lists.writing import write_list
from meshcore.messages import Message
from meshcore_estimator.enquiry import answer
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.lists import (
    changed_lines,
    how_read,
    line_table,
    mending,
    said_of_lines,
    senders_panel,
    workbook_job,
)
from meshcore_estimator.lists import source as lists
from meshcore_estimator.lists.source import MOST_MB, Source
from meshcore_estimator.shared import (
    breakdown,
    question_panel,
    result,
    settings,
    settling,
)
from meshcore_estimator.shared.files import XLSX, written
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.numbers import fixed
from meshcore_estimator.shared.parts import (
    NOTHING,
    aside,
    figures,
    status_word,
)
from meshcore_estimator.shared.pricing import estimate_list
from meshcore_estimator.shared.provenance import made_from

_UPLOAD, _PRICED = "list_upload", "list_priced"
_FILTERS = ("all", "ok", "review", "refused")


@dataclass(frozen=True, slots=True)
class Priced:
    """A priced list; kept while neither the list nor what it is priced with changes."""

    by: tuple[object, ...]
    estimates: EstimateSet
    table: pd.DataFrame
    asked: QuestionList
    totals: ListTotals
    #: How many lines have no price without an answer.
    open_lines: int
    said: Mapping[int, list[Message]]


def page() -> None:
    """Draw the page."""
    with st.container(key="list_source_box"):
        path_model = _choose()
    source = _read()
    settling.taken()
    if source is None:
        return
    priced = _price(source, path_model)
    with st.container(key="list_totals"):
        _totals(source, priced.totals, priced.estimates)
    with st.container(key="lines"):
        chosen, shown = _lines(source, priced)
        changed_lines.taken_out(source)
    with st.container(key="line_box"):
        if chosen is not None:
            with st.container(key="line", border=True):
                _line(source, Line(priced.estimates, priced.table, chosen), priced.asked)
    with st.container(key="questions_of_list"):
        _questions(source, priced)
    with st.container(key="said"):
        said_of_lines.draw(priced.estimates, priced.table, priced.said, shown)
    with st.container(key="basis"):
        breakdown.basis(priced.estimates)


def _read() -> Source | None:
    """Draw how the list was read, and the lines to be mended; return it as it is to be priced."""
    source, problem = lists.current()
    with st.container(key="list_problem_box"):
        st.html(aside(problem, "refused") if problem else NOTHING)
    with st.container(key="list_sender_box"):
        senders_panel.offer(source)
    if source is None:
        if problem:
            st.button("Say what each column holds", on_click=lists.read_without_headings,
                      key="without_headings", icon=":material/view_column:")  # fmt: skip
        else:
            st.html(aside("An enquiry list is a table with one enquiry a row, as text or a "
                          "workbook. Customary headings are recognised, and columns of your own "
                          "come back untouched. The template has every heading with a "
                          "note."))  # fmt: skip
        return None
    with st.container(key="how_read"):
        summary = st.container()
        # What nobody looks at is not worked out.
        how = st.expander("How it was read", icon=":material/view_column:", key="how_read_open",
                          on_change="rerun")  # fmt: skip
        if how.open:
            with how:
                how_read.draw(source)
                senders_panel.draw(source)
        lines = st.expander("Mend the lines", icon=":material/edit:", key="mend_open",
                            on_change="rerun")  # fmt: skip
        if lines.open:
            with lines:
                mending.draw(source)
        current = lists.current()[0]
        # With what has just been mended.
        summary.caption(how_read.summary(current or source))
    return current


def _choose() -> str:
    """Draw the ways to give a list; return the path rule."""
    upload, others = st.columns([3, 2], gap="medium")
    upload.file_uploader(
        "Enquiry list",
        [s.removeprefix(".") for s in READABLE],
        key=_UPLOAD,
        on_change=_read_upload,
        max_upload_size=MOST_MB,
    )
    with others:
        path_model: str = st.segmented_control(
            "Wire path", list(enquiry_form.PATH_WORDS), default="arc", required=True,
            width="stretch",
            format_func=lambda name: enquiry_form.PATH_WORDS[name].capitalize(),
            key="list_path", persist_state="session",
        )  # fmt: skip
        with st.container(horizontal=True):
            st.button("Use the demo list", on_click=_read_demo, key="use_demo",
                      icon=":material/science:")  # fmt: skip
            st.download_button("Template", partial(written, ".xlsx", write_template),
                               file_name="enquiries.xlsx", mime=XLSX, on_click="ignore",
                               icon=":material/download:", key="download_template")  # fmt: skip
    return path_model


def _read_upload() -> None:
    given = st.session_state[_UPLOAD]
    if given is None:
        lists.take_away()
    else:
        lists.give(given.name, Path(given.name).suffix, given.getvalue())


def _read_demo() -> None:
    demo = demo_data() / "enquiries.csv"
    lists.give(f"{demo.name} (demonstration)", ".csv", demo.read_bytes())


def _price(source: Source, path_model: str) -> Priced:
    """Price the list, with a progress bar; the last result stands while nothing changed."""
    book, policy = settings.price_book(), settings.supply_policy()
    by = (source, book, policy, path_model)
    kept: Priced | None = st.session_state.get(_PRICED)
    if kept is not None and all(map(operator.is_, kept.by, by)):
        return kept
    bar = st.progress(0.0, "Starting")

    def tell(stage: str, share: float) -> None:
        bar.progress(share, stage)

    estimates = estimate_list(
        source.enquiries,
        book,
        policy,
        "flat" if path_model == "flat" else "arc",
        tell,
    )
    bar.empty()
    asked = question_panel.of(estimates)
    open_lines = sum(question_panel.needed(asked, row) > 0 for row in range(len(asked.lines)))
    priced = st.session_state[_PRICED] = Priced(
        by, estimates, estimates.table, asked, list_totals(estimates), open_lines,
        estimates.log.by_line(),
    )  # fmt: skip
    return priced


def _totals(source: Source, totals: ListTotals, estimates: EstimateSet) -> None:
    def amount(value: float, unit: str = totals.currency) -> str:
        return money_text(value, unit, totals.digits).strip()

    with st.container(horizontal=True, vertical_alignment="center"):
        st.header(source.name, anchor=False)
        with st.container(horizontal=True, width="content"):
            _downloads(source, estimates)
    st.html(figures((
        ("Price of the priced lines", amount(totals.price),
         f"{amount(totals.price_min, '')} to {amount(totals.price_max)}"),
        ("Mass delivered", fixed(totals.mass_kg, 1, "kg"), "priced lines"),
        ("Lines", str(totals.lines), f"{totals.ok} ok"),
        ("To review", str(totals.review), "priced, but look at them"),
        ("Refused", str(totals.refused), "not priced: something must be mended"),
    )))  # fmt: skip
    breakdown.priced_with(estimates)


def _workbook(source: Source, estimates: EstimateSet) -> bytes:
    return workbook_bytes(estimates, _made_from(source, estimates))


def _made_from(source: Source, estimates: EstimateSet) -> str:
    return made_from(f"the list {source.name}{changed_lines.told(source)}", estimates.book)


def _downloads(source: Source, estimates: EstimateSet) -> None:
    stem = Path(source.name).stem
    if workbook_job.is_long(estimates):
        workbook_job.draw(estimates, partial(_made_from, source, estimates), f"{stem}_priced.xlsx")
    else:
        st.download_button("Workbook", partial(_workbook, source, estimates), mime=XLSX,
                           file_name=f"{stem}_priced.xlsx", on_click="ignore",
                           icon=":material/download:", key="download_xlsx")  # fmt: skip
    st.download_button("CSV", partial(written, ".csv", partial(write_list, estimates)),
                       file_name=f"{stem}_priced.csv", mime="text/csv", on_click="ignore",
                       icon=":material/download:", key="download_csv")  # fmt: skip


def _lines(source: Source, priced: Priced) -> tuple[int | None, list[int]]:
    """Draw the lines and a filter; return the line chosen, and all that are shown."""
    status = priced.table["status"]
    counts = status.value_counts().to_dict() | {"all": len(status)}
    wanted: str = st.segmented_control(
        "Lines", _FILTERS, default="all", required=True, key="status_filter", wrap=True,
        format_func=lambda s: f"{'All' if s == 'all' else status_word(s)} {counts.get(s, 0)}",
    )  # fmt: skip
    shown = np.flatnonzero((status == wanted) | (wanted == "all")).tolist()
    # Of other lines, what was chosen is another line.
    key = "_".join((f"line_table_{wanted}", *source.changes.out))
    place = line_table.draw(priced.estimates, priced.table.iloc[shown], key,
                            changed_lines.marks(source))  # fmt: skip
    if place is None:
        st.caption("Click a line to see it in full.")
    return (None if place is None else shown[place]), shown


def _questions(source: Source, priced: Priced) -> None:
    """Draw what to ask the buyer back about the whole list; worked out when it is opened."""
    count = priced.open_lines
    what = f"{count} {'line has' if count == 1 else 'lines have'} no price without an answer"
    box = st.expander(f"Questions to ask back: {what}", icon=":material/forum:",
                      key="questions_open", on_change="rerun")  # fmt: skip
    if not box.open:
        return
    with box:
        letter = priced.asked.text_for_all()
        st.download_button(
            "Text", letter, file_name=f"{Path(source.name).stem}_questions.txt",
            mime="text/plain", on_click="ignore", icon=":material/download:",
            key="download_questions",
        )  # fmt: skip
        question_panel.draw(letter)


def _line(source: Source, line: Line, asked: QuestionList) -> None:
    with st.container(horizontal=True, vertical_alignment="center"):
        st.html(result.title(line, f"Line {line.name}: "))
        changed_lines.buttons(source, line)
    result.headline(line)
    result.messages(line)
    answer.draw(line, lambda: asked, in_form=False)
