"""The command about versions of a price book: listed, compared, saved and taken back."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.commands.books import changes_text
from meshcore.commands.options import Commands, whole_number

if TYPE_CHECKING:
    from meshcore.costing.book.history.saving import SavedBook


def add(commands: Commands) -> None:
    """Add ``versions``."""
    versions = commands.add_parser("versions", help="list, save or take back versions of a book")
    versions.add_argument("book", type=Path, metavar="BOOK", help="price book, .toml or .xlsx")
    deed = versions.add_mutually_exclusive_group()
    deed.add_argument("--between", type=whole_number, nargs=2, metavar=("M", "N"),
                      help="list what version N changes in version M")  # fmt: skip
    deed.add_argument("--save", type=Path, metavar="CHANGED",
                      help="bring BOOK to what CHANGED holds, as a new version")  # fmt: skip
    deed.add_argument("--take-back", type=whole_number, metavar="N",
                      help="bring BOOK back to version N, as a new version")  # fmt: skip
    versions.add_argument("--by", default="", metavar="NAME",
                          help="who does it; by default who is at work")  # fmt: skip
    versions.add_argument("--note", default="", metavar="TEXT", help="why")
    versions.set_defaults(command=_versions)


def _versions(chosen: argparse.Namespace) -> None:
    from meshcore.costing.book.files import read_price_book  # noqa: PLC0415 - only when it runs
    from meshcore.costing.book.history import saving, versions  # noqa: PLC0415
    from meshcore.register.storing import who_is_at_work  # noqa: PLC0415

    author = chosen.by or who_is_at_work()
    if chosen.between:
        print(changes_text(*(versions.read_version(chosen.book, n) for n in chosen.between)))
    elif chosen.save:
        base, changed = read_price_book(chosen.book), read_price_book(chosen.save)
        print(changes_text(base, changed))
        _tell(saving.save_version(chosen.book, changed, base, author=author, note=chosen.note))
    elif chosen.take_back:
        _tell(saving.take_back(chosen.book, chosen.take_back, author=author, note=chosen.note))
    else:
        print(_listed(chosen.book))


def _tell(saved: SavedBook) -> None:
    version = saved.version
    print(f"Saved as version {version.number} by {version.author}: {version.note}")
    if not saved.keeps_layout:
        print("The file is written anew: its layout did not allow a change cell by cell, so its "
              "comments stand in the version before only.")  # fmt: skip


def _listed(book: Path) -> str:
    from meshcore.costing.book.files import read_price_book  # noqa: PLC0415 - only when it runs
    from meshcore.costing.book.history.versions import book_versions, in_force  # noqa: PLC0415

    held = read_price_book(book)
    kept = book_versions(book)
    if not kept:
        return f"{held.name}, of {held.date}. No version is kept yet; the first saving keeps two."
    now = in_force(book, kept)
    rows = [
        f"{'*' if one is now else ' '} {one.number:4d}  {one.at:%Y-%m-%d %H:%M} UTC  "
        f"{one.author or 'nobody known'}: {one.note}"
        for one in reversed(kept)
    ]
    if now is None:
        rows.insert(0, "The file was changed by other means since; the next saving keeps that too.")
    return "\n".join([f"{held.name}, of {held.date}. The book holds the one with a star.", *rows])
