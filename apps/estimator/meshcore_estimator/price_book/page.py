"""The price book: looked over, edited step by step, and what the edits do to the enquiry."""

from __future__ import annotations

import tempfile
from datetime import date
from functools import partial
from pathlib import Path

import streamlit as st

from meshcore.costing.book.files import read_price_book, to_toml, write_price_book
from meshcore.costing.book.price_book import PriceBook, PriceBookError
from meshcore.costing.book.reporting import BookReport
from meshcore.costing.comparison import compare_books
from meshcore.costing.money import minor_digits
from meshcore.demo import default_price_book, is_demo_book, own_book_file
from meshcore.estimates import reasons
from meshcore.estimates.books import installed_doubts
from meshcore.messages import Message
from meshcore_estimator.price_book import customer_panel, supply_panel, versions_panel
from meshcore_estimator.price_book import editors as book_editors
from meshcore_estimator.price_book.draft import (
    Draft,
    build,
    draft_text,
    looked_over,
    open_draft,
    read_draft,
    stale_rows,
)
from meshcore_estimator.shared import current, navigation, settings, settling, side_by_side
from meshcore_estimator.shared.files import TOML, XLSX, written
from meshcore_estimator.shared.numbers import amount
from meshcore_estimator.shared.parts import (
    Cell,
    Markup,
    aside,
    figures,
    lines,
    message_list,
    soft,
    table,
    tag,
)

_DRAFT, _UPLOAD, _PROBLEM = "book_draft", "book_upload", "book_problem"
_VISIT = "book_visit"
#: What a book report says that is no doubt of a row, and how grave it is.
_FINDINGS = (
    ("unpriced", "No metal price, so refused", "review"),
    ("unknown_rules", "Switched off, but no plugin has such a rule", "review"),
)
_INVENTED = (
    "Invented for demonstration: these are nobody's prices. Never quote from them. Open your own "
    "book below, or name it with --book."
)
Built = PriceBook | tuple[Message, ...]


def page() -> None:
    """Draw the page."""
    current.start()
    draft = _draft()
    head, tools, said = (st.container(key=f"book_{name}") for name in ("head", "tools", "messages"))
    with st.container(key="book_tables"):
        _tables(draft)
    settling.taken()
    built = build(draft)
    _mark_stale(draft, built)
    with head:
        _head(draft, built)
    with tools:
        _tools(draft, built)
    with said:
        _said(built)
    with st.container(key="book_compared"):
        if isinstance(built, PriceBook):
            left, right = st.columns([5, 7], gap="large")
            with left, st.container(key="book_changes"):
                _changes(draft, built)
            with right, st.container(key="book_effect"):
                _effect(draft, built)
    with st.container(key="book_versions"):
        versions_panel.draw(draft, built if isinstance(built, PriceBook) else None, _open_anew)
    left, right = st.columns([5, 7], gap="large")
    with left, st.container(key="book_open"):
        _open_another()
        customer_panel.draw()
    with right, st.container(key="supply_policy"):
        supply_panel.draw(settings.supply_policy())


def _draft() -> Draft:
    """Return the draft in hand; its tables begin anew where they were not on screen."""
    if _DRAFT not in st.session_state:
        _open_default()
    draft: Draft = st.session_state[_DRAFT]
    if st.session_state.get(_VISIT) != navigation.visit():
        draft.mount()
        st.session_state[_VISIT] = navigation.visit()
    return draft


def _open_default() -> None:
    """Begin to edit the book that is in use where none is chosen in the session."""
    named = own_book_file()
    source = named.name if named else "price_book.toml of the demonstration"
    st.session_state[_DRAFT] = open_draft(default_price_book(), source, str(named or ""))


def _open_anew() -> None:
    """Begin anew with what the file of the book holds now, and estimate with that."""
    settings.use_default_book()
    _open_default()


def to_text() -> str:
    """Return the draft in hand as text, to be kept over a reload."""
    draft: Draft | None = st.session_state.get(_DRAFT)
    return draft_text(draft) if draft is not None else ""


def from_text(text: str) -> None:
    """Put back what `to_text` returned, into a session that has nothing yet."""
    st.session_state[_DRAFT] = read_draft(text)


def _tables(draft: Draft) -> None:
    names = ("Rates", "Exchange rates", "Rules", "Book")
    drawn = (book_editors.rates, book_editors.exchange, book_editors.rules, book_editors.settings)
    for tab, draw in zip(st.tabs(names), drawn, strict=True):
        with tab:
            draw(draft)


def _mark_stale(draft: Draft, built: Built) -> None:
    """Draw the tables anew where a row has become stale, or is no longer."""
    if isinstance(built, PriceBook):
        stale = stale_rows(built, draft.now, looked_over(built))
        if stale != draft.stale:
            draft.stale = stale
            draft.mount()
            st.rerun()


def _head(draft: Draft, built: Built) -> None:
    name = str(draft.now.settings.get("name", ""))
    st.html(f'<div class="mc-title">{_state(draft, built).html} <span>{lines(name).html}</span> '
            f"{soft(draft.source).html}</div>")  # fmt: skip
    if is_demo_book(draft.saved):
        st.html(aside(_INVENTED, "review"))
    shown = built if isinstance(built, PriceBook) else draft.saved
    st.html(figures(_facts(shown) if shown is built else [(f[0], "–", "") for f in _facts(shown)]))
    if shown.note:
        st.html(f'<div class="mc-soft">{lines(shown.note).html}</div>')


def _facts(book: PriceBook) -> list[tuple[str, str, str]]:
    report = looked_over(book)
    return [
        ("Prices in", book.currency, f"rounded {book.rounding} to the step"),
        ("Book of", book.date.isoformat(), f"{report.keys} keys, {report.rates} rates"),
        ("Rates dated", report.newest.isoformat(), f"the oldest {report.oldest.isoformat()}"),
        ("Stale", str(len(report.stale)), f"older than {book.stale_after_days} days"),
    ]


def _state(draft: Draft, built: Built) -> Markup:
    if not isinstance(built, PriceBook):
        return tag("Cannot be used", "refused")
    if not settings.is_in_use(built, draft.saved):
        return tag("Edited, not in use", "review")
    return tag("In use", "ok") if built == draft.saved else tag("Edited, in use", "review")


def _tools(draft: Draft, built: Built) -> None:
    book = built if isinstance(built, PriceBook) else None
    stem = Path(draft.source.split(" ")[0]).stem
    with st.container(horizontal=True):
        st.button("Undo", icon=":material/undo:", on_click=draft.undo, key="book_undo",
                  disabled=len(draft.steps) == 1)  # fmt: skip
        st.button("Redo", icon=":material/redo:", on_click=draft.redo, key="book_redo",
                  disabled=not draft.undone)  # fmt: skip
        st.button("Back to the saved book", on_click=draft.discard, key="book_discard",
                  icon=":material/restart_alt:", disabled=book == draft.saved)  # fmt: skip
        st.button("Use for now", icon=":material/check:", key="book_use",
                  on_click=settings.use_edited_book, args=(book, draft.saved),
                  disabled=book is None or settings.is_in_use(book, draft.saved))  # fmt: skip
        for name, suffix, mime in (("TOML", ".toml", TOML), ("xlsx", ".xlsx", XLSX)):
            st.download_button(
                f"Download {name}", partial(_file, book, suffix), mime=mime,
                file_name=f"{stem}{suffix}", icon=":material/download:", on_click="ignore",
                disabled=book is None, key=f"book_download_{name.lower()}",
            )  # fmt: skip


def _file(book: PriceBook | None, suffix: str) -> bytes:
    if book is None:
        return b""
    if suffix == ".toml":
        return to_toml(book).encode()
    return written(suffix, partial(write_price_book, book))


def _said(built: Built) -> None:
    """Draw what is wrong in which cell; of a sound book, what should be looked at."""
    if not isinstance(built, PriceBook):
        st.html(message_list(built))
        return
    if doubts := installed_doubts(built, date.today()):
        # Said as they are on every estimate: what is priced with this book is in review for them.
        st.html(message_list(doubts))
    rows = _findings(looked_over(built))
    if not rows:
        return
    with st.expander(f"Looked over: {len(rows)} things to know", icon=":material/fact_check:"):
        st.html(table((), rows))


def _findings(report: BookReport) -> list[tuple[Cell, ...]]:
    stale = [(tag("stale", "review"), "Older than the book allows", ", ".join(report.stale))]
    return [
        *(stale if report.stale else []),
        *(
            (tag(str(len(names)), kind), said, ", ".join(names))
            for field, said, kind in _FINDINGS
            if (names := getattr(report, field))
        ),
    ]


def _changes(draft: Draft, book: PriceBook) -> None:
    st.header("Changes to the saved book", anchor=False)
    changes = compare_books(draft.saved, book)
    if changes.empty:
        st.html(aside("None. What you change in the tables above is listed here."))
        return
    st.html(side_by_side.book_changes(changes))


def _effect(draft: Draft, book: PriceBook) -> None:
    st.header("What they do to the enquiry", anchor=False)
    if book == draft.saved:
        st.html(aside("Nothing has changed: the enquiry is priced as with the saved book."))
        return
    first, second = current.priced_with(draft.saved), current.priced_with(book)
    if first is None or second is None:
        st.html(aside("No enquiry is typed yet. Type one on the enquiry page to see its price "
                      "change here."))  # fmt: skip
        return
    try:
        compared = reasons.compare(first, second)
    except ValueError as error:
        st.html(aside(f"No comparison: {error}", "review"))
        return
    total, digits = compared.iloc[-1], minor_digits(book.currency)
    if not compared["difference"].any():
        st.html(aside("The price of the enquiry stays as it is: nothing that it rests on changed."))
        return
    before, after = (amount(total[f"amount_{side}"], digits) for side in ("first", "second"))
    st.html(figures((
        ("Saved book", before, book.currency),
        ("Edited book", after, book.currency),
        ("Difference", side_by_side.signed(total["difference"], digits) or "0", book.currency),
    )))  # fmt: skip
    st.html(side_by_side.comparison(compared, book.currency, ("Saved", "Edited"), True))
    st.caption("Items that stay the same are left out; the differences add up to the last line.")


def _open_another() -> None:
    st.header("Open another book", anchor=False)
    st.file_uploader(
        "Price book, TOML or xlsx", ["toml", "xlsx"], key=_UPLOAD, on_change=_read_upload,
        help="Used at once. Download this one first to see how a book is written.",
    )  # fmt: skip
    problem: PriceBookError | None = st.session_state.get(_PROBLEM)
    if problem is not None:
        st.html(aside(f"{problem.source} was not opened; the book above stays.", "refused"))
        st.html(message_list(problem.messages))


def _read_upload() -> None:
    given = st.session_state[_UPLOAD]
    st.session_state[_PROBLEM] = None
    if given is None:
        return
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / Path(given.name).name
        path.write_bytes(given.getvalue())
        try:
            book = read_price_book(path)
        except PriceBookError as error:
            st.session_state[_PROBLEM] = error
            return
    st.session_state[_DRAFT] = open_draft(book, path.name)
    settings.use_price_book(book)
