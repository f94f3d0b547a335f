"""Versions of the book's file: saved, listed, two of them compared, and taken back."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

import streamlit as st

from meshcore.costing.book.history.sameness import is_same_book
from meshcore.costing.book.history.saving import SavedBook, save_version, take_back
from meshcore.costing.book.history.versions import (
    Version,
    book_versions,
    in_force,
    read_version,
    versions_folder,
)
from meshcore.costing.book.price_book import PriceBook, PriceBookError
from meshcore.costing.comparison import compare_books
from meshcore.demo import default_price_book
from meshcore_estimator.price_book.draft import Draft
from meshcore_estimator.shared import settling, side_by_side, who
from meshcore_estimator.shared.parts import NOTHING, Cell, aside, lines, soft, table, tag
from meshcore_estimator.shared.roles import Deed, NotAllowedError, may, need

_NOTE, _SAID = "book_note", "book_versions_said"
_BEFORE, _AFTER, _BACK = "book_version_before", "book_version_after", "book_version_back"
#: Fields that are kept over a reload.
KEPT = (_NOTE, who.KEY)
_NO_FILE = (
    "This book has no file that the estimator may write: it is the demonstration's, or was opened "
    "by upload. Download it, and start the estimator with --book to keep versions of it."
)
_NOT_THE_KEEPER = (
    "The book is saved by whoever keeps it. What you change here prices your own estimates, and "
    "can be downloaded for the keeper."
)
_SAVED_MEANWHILE = (
    "The file holds another book by now: somebody saved it meanwhile. Yours can be downloaded; to "
    "save changes, open the file anew."
)
_OTHER_MEANS = (
    "The file was changed by other means since it was saved last; the next saving keeps that as "
    "well."
)
_LAID_OUT_ANEW = (
    "The file is written anew, since its layout did not allow a change cell by cell: its comments "
    "stand in the version before only."
)
#: Versions that are listed, newest first.
_MOST = 30
#: Begins to edit the book that its file holds now.
OpenAnew = Callable[[], None]


def draw(draft: Draft, built: PriceBook | None, open_anew: OpenAnew) -> None:
    """Draw what can be done with the file of a book.

    Parameters
    ----------
    draft
        The book under the user's hands.
    built
        Its current state; None where that is no book.
    open_anew
        Called when the file holds another book than the draft was begun from.
    """
    st.header("Versions", anchor=False)
    if not draft.file:
        st.html(aside(_NO_FILE))
        return
    file = Path(draft.file)
    # Places that are there whether anything is said or not: one that came or went would shut the
    # box below it.
    said = st.session_state.pop(_SAID, None)
    st.html(aside(*said) if said else NOTHING)
    try:
        held = book_versions(file)
        now = in_force(file, held)
        is_other = not is_same_book(default_price_book(), draft.saved)
    except PriceBookError as error:
        st.html(aside(str(error), "refused"))
        return
    with st.container(key="said_book_other"):
        if is_other:
            st.html(aside(_SAVED_MEANWHILE, "review"))
            st.button("Open it as it is now", key="book_anew", icon=":material/refresh:",
                      on_click=open_anew)  # fmt: skip
        else:
            st.html(NOTHING)
    left, right = st.columns([4, 8], gap="large")
    with left:
        if may(Deed.BOOK):
            _save(draft, built, file, open_anew, is_other)
        else:
            st.html(aside(_NOT_THE_KEEPER))
    with right:
        _listed(held, now)
        if may(Deed.BOOK):
            _take_back(held, now, file, open_anew)
    _compared(file, held)


def _save(
    draft: Draft, built: PriceBook | None, file: Path, open_anew: OpenAnew, is_other: bool
) -> None:
    who.ask()
    st.text_input("Why", key=_NOTE, placeholder="e.g. metal prices of the quarter",
                  persist_state="session")  # fmt: skip
    is_changed = built is not None and not is_same_book(built, draft.saved)
    st.button("Save as a new version", icon=":material/save:", key="book_save", type="primary",
              disabled=not is_changed or is_other, on_click=_saved,
              args=(built, draft.saved, file, open_anew))  # fmt: skip
    st.caption(f"Writes {file.name}, comments kept. What it holds now stays as a version in "
               f"{versions_folder(file).name}.")  # fmt: skip


def _saved(book: PriceBook, base: PriceBook, file: Path, open_anew: OpenAnew) -> None:
    note = str(st.session_state.get(_NOTE) or "")
    if _do(partial(save_version, file, book, base, author=who.name(), note=note), open_anew):
        settling.write({_NOTE: ""})


def _do(deed: Callable[[], SavedBook], open_anew: OpenAnew) -> bool:
    try:
        need(Deed.BOOK)
        saved = deed()
    except NotAllowedError as error:
        st.session_state[_SAID] = (str(error), "refused")
        return False
    except PriceBookError as error:
        st.session_state[_SAID] = (error.messages[0].text.capitalize(), "refused")
        return False
    version = saved.version
    text = f"Saved as version {version.number}, and in use."
    st.session_state[_SAID] = (text, "ok") if saved.keeps_layout else (_LAID_OUT_ANEW, "review")
    open_anew()
    return True


def _listed(held: tuple[Version, ...], now: Version | None) -> None:
    if not held:
        st.html(aside("None yet. The first saving keeps the file as it is, too."))
        return
    st.html(NOTHING if now is not None else aside(_OTHER_MEANS, "review"))
    rows: list[tuple[Cell, ...]] = [
        (
            str(one.number),
            f"{one.at:%Y-%m-%d %H:%M}",
            one.author or soft("not known"),
            lines(one.note, tag("in force", "ok") if one is now else ""),
        )
        for one in reversed(held[-_MOST:])
    ]
    st.html(table(("No.", "Saved (UTC)", "By", "Why"), rows, numeric=(0,)))
    st.html(soft(f"The newest {_MOST} of {len(held)}.").html if len(held) > _MOST else NOTHING)


def _take_back(
    held: tuple[Version, ...], now: Version | None, file: Path, open_anew: OpenAnew
) -> None:
    others = [one for one in reversed(held) if one is not now]
    if not others:
        return
    with st.popover("Take back to a version", icon=":material/history:"):
        names = {one.number: _name(one) for one in others}
        number = st.selectbox("Version", list(names), key=_BACK,
                              format_func=lambda n: names.get(n, str(n)))  # fmt: skip
        st.html(aside(f"The file is to hold version {number} again? What it holds now stays as a "
                      "version, so this can be taken back too."))  # fmt: skip
        st.button("Take it back", key="book_take_back", on_click=_taken_back,
                  args=(file, number, open_anew))  # fmt: skip


def _taken_back(file: Path, number: int, open_anew: OpenAnew) -> None:
    _do(partial(take_back, file, number, author=who.name()), open_anew)


def _name(one: Version) -> str:
    return f"{one.number}: {one.at:%Y-%m-%d}, {one.note}"


def _compared(file: Path, held: tuple[Version, ...]) -> None:
    names = {one.number: _name(one) for one in reversed(held)}
    if len(names) <= 1:
        return
    numbers = list(names)
    with st.expander("What changed between two versions", icon=":material/compare_arrows:",
                     key="book_between", on_change="rerun") as box:  # fmt: skip
        if not box.open:
            return
        left, right = st.columns(2)
        before, after = (
            column.selectbox(label, numbers, index=place, key=key,
                             format_func=lambda n: names.get(n, str(n)))
            for column, label, place, key in ((left, "From", 1, _BEFORE), (right, "To", 0, _AFTER))
        )  # fmt: skip
        try:
            first, second = (read_version(file, number) for number in (before, after))
        except PriceBookError as error:
            st.html(aside(str(error), "refused"))
            return
        changes = compare_books(first, second)
        if changes.empty:
            st.html(aside("They hold the same, but for comments and layout."))
        else:
            st.html(side_by_side.book_changes(changes))
