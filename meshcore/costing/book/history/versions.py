"""Versions of a price book's file, kept beside it: the file as it was, by whom, when and why.

Beside ``book.toml`` stands the folder ``book.toml.versions``. In it a version is two files: the
book as it was saved, ``0007.toml``, and what is said of it, ``0007.about.toml``. A version counts
once the second is there, which is written whole; a saving that broke off leaves at most a first one
without it, and that is no version.
"""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from operator import index
from pathlib import Path

from meshcore.costing.book.files import read_price_book
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.book.workbooks import unreadable
from meshcore.whole_files import save

#: Ends the name of the folder.
FOLDER = ".versions"
_ABOUT = ".about.toml"
#: Digits of a version's number in a file's name.
_DIGITS = 4


@dataclass(frozen=True, slots=True)
class Version:
    """One version of a price book.

    Parameters
    ----------
    number
        From one on.
    author
        Who saved it; empty where nobody knows, as of a file that was written by other means.
    at
        When, in UTC.
    note
        Why.
    digest
        SHA-256 of the file, by which a version is told from what stands in the book now.
    path
        The file as it was saved.
    """

    number: int
    author: str
    at: datetime
    note: str
    digest: str
    path: Path


def versions_folder(book: str | Path) -> Path:
    """Return the folder in which the versions of a book are kept.

    Examples
    --------
    >>> versions_folder("books/mill.toml").name
    'mill.toml.versions'
    """
    file = Path(book)
    return file.with_name(file.name + FOLDER)


def digest_of(content: bytes) -> str:
    """Return the SHA-256 of a file's content, in hexadecimal."""
    return hashlib.sha256(content).hexdigest()


def book_versions(book: str | Path) -> tuple[Version, ...]:
    """List the versions of a book, oldest first.

    Raises
    ------
    PriceBookError
        If what is said of a version cannot be read.
    """
    return tuple(_read(book))


def _read(book: str | Path) -> Iterator[Version]:
    folder, suffix = versions_folder(book), Path(book).suffix
    for about in sorted(folder.glob(f"*{_ABOUT}"), key=lambda one: (len(one.name), one.name)):
        try:
            said = tomllib.loads(about.read_text(encoding="utf-8"))
            yield Version(
                number=index(said["number"]),
                author=str(said["author"]),
                at=said["at"].astimezone(UTC),
                note=str(said["note"]),
                digest=str(said["digest"]),
                path=about.with_name(about.name.removesuffix(_ABOUT) + suffix),
            )
        except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
            text = f"what is said of this version cannot be read: {error}. Take it away or mend it."
            raise unreadable(about, text) from error


def version(book: str | Path, number: int) -> Version:
    """Return one version of a book.

    Raises
    ------
    PriceBookError
        If there is none of that number.
    """
    held = book_versions(book)
    for one in held:
        if one.number == number:
            return one
    known = f"There are {held[0].number} to {held[-1].number}." if held else "None is kept yet."
    raise unreadable(versions_folder(book), f"there is no version {number}. {known}")


def read_version(book: str | Path, number: int) -> PriceBook:
    """Read a book as it was in one version.

    Raises
    ------
    PriceBookError
        If there is no such version, its file is not what was saved, or no longer reads.
    """
    one = version(book, number)
    content_of(one)
    return read_price_book(one.path)


def content_of(one: Version) -> bytes:
    """Return the file of a version as it was saved.

    Raises
    ------
    PriceBookError
        If it is gone, or has been changed since.
    """
    try:
        content = one.path.read_bytes()
    except OSError as error:
        raise unreadable(one.path, f"cannot be opened: {error.strerror}.") from error
    if digest_of(content) != one.digest:
        text = "was changed since it was saved as a version, so it is not what it was then."
        raise unreadable(one.path, text)
    return content


def in_force(book: str | Path, held: tuple[Version, ...]) -> Version | None:
    """Return the latest version that is what the book's file holds; None where none is."""
    try:
        digest = digest_of(Path(book).read_bytes())
    except OSError as error:
        raise unreadable(Path(book), f"cannot be opened: {error.strerror}.") from error
    return next((one for one in reversed(held) if one.digest == digest), None)


def add_version(book: Path, content: bytes, author: str, at: datetime, note: str) -> Version:
    """Keep a state of a book as its next version; the book's file itself is left as it is.

    To be called by whoever holds the book locked.

    Raises
    ------
    PriceBookError
        If it cannot be written.
    """
    folder = versions_folder(book)
    try:
        folder.mkdir(exist_ok=True)
        number = _last_number(folder) + 1
        stem = f"{number:0{_DIGITS}d}"
        one = Version(number, author, at, note, digest_of(content), folder / f"{stem}{book.suffix}")
        save(one.path, content)
        save(folder / f"{stem}{_ABOUT}", _about(one).encode())
    except OSError as error:
        raise unreadable(folder, f"cannot be written: {error.strerror}.") from error
    return one


def _last_number(folder: Path) -> int:
    """Return the highest number in the folder, that of a saving that broke off included."""
    stems = (path.name.split(".")[0] for path in folder.iterdir())
    return max((int(stem) for stem in stems if stem.isdigit()), default=0)


def _about(one: Version) -> str:
    import tomlkit  # noqa: PLC0415 - only where a book is saved

    return tomlkit.dumps(
        {
            "number": one.number,
            "author": one.author,
            "at": one.at,
            "note": one.note,
            "digest": one.digest,
        }
    )
