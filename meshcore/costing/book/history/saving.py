"""A price book's file brought up to date: each time a new version, and the old one kept."""

from __future__ import annotations

from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from meshcore.costing.book.edits import saved_name
from meshcore.costing.book.files import read_price_book, written_book
from meshcore.costing.book.history.sameness import is_same_book
from meshcore.costing.book.history.toml_text import revised_toml
from meshcore.costing.book.history.versions import (
    Version,
    add_version,
    book_versions,
    content_of,
    in_force,
    version,
    versions_folder,
)
from meshcore.costing.book.history.workbook_cells import revised_workbook
from meshcore.costing.book.price_book import PriceBook, PriceBookError
from meshcore.costing.book.workbooks import unreadable
from meshcore.whole_files import locked, save

_CHANGED = (
    "was changed by somebody else since it was opened. Open it anew, and make your changes in what "
    "it holds now."
)
_AS_FOUND = "as it was found"
#: File in the folder of versions that whoever saves holds meanwhile.
_LOCK = ".lock"


@dataclass(frozen=True, slots=True)
class SavedBook:
    """What came of saving a book.

    Parameters
    ----------
    version
        The new version, which the book's file now holds.
    book
        The book as that file reads.
    keeps_layout
        Whether comments, order and spacing of the file before stand in it. Where its layout did
        not allow that, the file is written anew, and the version before has them.
    """

    version: Version
    book: PriceBook
    keeps_layout: bool


def save_version(
    path: str | Path,
    book: PriceBook,
    base: PriceBook,
    *,
    author: str,
    note: str,
    now: datetime | None = None,
) -> SavedBook:
    """Bring the file of a price book up to date, as a new version.

    Parameters
    ----------
    path
        The file, ``.toml`` or ``.xlsx``. What it holds is kept as a version first, if it is none
        yet.
    book
        What the file is to read as. The mark of an edited book is taken off its name, and it is
        dated the day of saving unless its date was changed by hand.
    base
        The book that was changed: what the file held when the changes were begun.
    author, note
        Who saves it, and why; neither may be blank.
    now
        When; the present by default.

    Raises
    ------
    PriceBookError
        If author or note is blank, nothing is changed, the file holds another book than `base`
        by now, what is to be written does not read as a book, or it cannot be written. The file
        and its versions then stay as they were.
    """
    file, at = Path(path), now or datetime.now(UTC)
    _need(file, author, note)
    wanted = _issued(book, base, at)
    try:
        with _held(file):
            before = read_price_book(file)
            if not is_same_book(before, base):
                raise unreadable(file, _CHANGED)
            if is_same_book(replace(wanted, date=before.date), before):
                raise unreadable(file, "nothing is changed, so there is no new version to save.")
            content, keeps_layout = _revised(file, wanted)
            _check(file, content)
            made = _put(file, content, author, at, note)
            return SavedBook(made, read_price_book(file), keeps_layout)
    except OSError as error:
        raise unreadable(file, f"cannot be written: {error.strerror}.") from error


def take_back(
    path: str | Path, number: int, *, author: str, note: str = "", now: datetime | None = None
) -> SavedBook:
    """Bring a book's file back to what it was in a version; that is a new version too.

    Parameters
    ----------
    path
        The file.
    number
        Of the version whose content it is to have again, comments included.
    author, note
        Who does it, which may not be blank, and why.
    now
        When; the present by default.

    Raises
    ------
    PriceBookError
        If there is no such version, it no longer reads, the file holds it already, or it cannot
        be written.
    """
    file, at = Path(path), now or datetime.now(UTC)
    said = f"back to version {number}{': ' if note.strip() else ''}{note.strip()}"
    _need(file, author, said)
    try:
        with _held(file):
            one = version(file, number)
            content = content_of(one)
            read_price_book(one.path)
            if content == file.read_bytes():
                raise unreadable(file, f"holds version {number} already.")
            made = _put(file, content, author, at, said)
            return SavedBook(made, read_price_book(file), keeps_layout=True)
    except OSError as error:
        raise unreadable(file, f"cannot be written: {error.strerror}.") from error


def _check(file: Path, content: bytes) -> None:
    """Read what is to be written, so that no file is ever replaced by one that does not read."""
    with TemporaryDirectory() as folder:
        trial = Path(folder) / file.name
        trial.write_bytes(content)
        try:
            read_price_book(trial)
        except PriceBookError as error:
            raise PriceBookError(str(file), error.messages) from error


def _need(file: Path, author: str, note: str) -> None:
    for name, text in (("author", author), ("note", note)):
        if not text.strip():
            raise unreadable(file, f"a version needs its {name}. Say who saves it, and why.")


def _issued(book: PriceBook, base: PriceBook, at: datetime) -> PriceBook:
    """Return the book as it is to be issued: under its saved name, dated when it was changed."""
    named = replace(book, name=saved_name(book), stand_in=False)
    is_dated = book.date != base.date and named.name == book.name
    return named if is_dated else replace(named, date=at.date())


def _held(file: Path) -> AbstractContextManager[None]:
    folder = versions_folder(file)
    folder.mkdir(exist_ok=True)
    return locked(folder / _LOCK)


def _revised(file: Path, book: PriceBook) -> tuple[bytes, bool]:
    try:
        if file.suffix.lower() == ".xlsx":
            return revised_workbook(file, book), True
        return revised_toml(file.read_bytes().decode(), book).encode(), True
    except ValueError:
        return written_book(book, file.suffix), False


def _put(file: Path, content: bytes, author: str, at: datetime, note: str) -> Version:
    held = book_versions(file)
    if in_force(file, held) is None:
        changed = datetime.fromtimestamp(file.stat().st_mtime, UTC)
        add_version(file, file.read_bytes(), "", changed, _AS_FOUND)
    made = add_version(file, content, author.strip(), at, note.strip())
    save(file, content)
    return made
