"""Commands about the register: what is on file, what becomes of it, and the repeat order."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.commands import ordering, repeating
from meshcore.commands.on_file import counted, numbered, opened_thing, register_to_save
from meshcore.commands.options import Commands

if TYPE_CHECKING:
    from meshcore.register.finding import Found


def add(commands: Commands) -> None:
    """Add ``register`` and ``repeat``."""
    register = commands.add_parser("register", help="what is on file, and what becomes of it")
    deeds = register.add_subparsers(required=True, metavar="WHAT")
    find = deeds.add_parser("find", help="by number, reference, sender, cloth, date or state")
    find.add_argument("text", nargs="*", metavar="TEXT", help='as "10 mesh 316L sent 2026-03"')
    find.add_argument("--limit", type=int, default=20, metavar="N", help="as many (20)")
    find.set_defaults(command=_find)
    show = numbered(deeds, "show", "all that is on file of one thing", _show)
    show.add_argument("-o", "--output", type=Path, metavar="OUT",
                      help="print its document again: .pdf .xlsx .csv .txt")  # fmt: skip
    show.add_argument("--revision", type=int, metavar="N", help="as it was; the newest")
    mark = numbered(deeds, "mark", "mark a quotation sent, won, lost or lapsed", _mark)
    mark.add_argument("state", choices=("sent", "won", "lost", "lapsed", "deleted"))
    mark.add_argument("--reason", default="", metavar="TEXT", help="why")
    ordering.add_to(deeds)
    for name, help_, command in (
        ("export", "what is on file as a list: .csv", _export),
        ("backup", "all of it into one file: .jsonl.gz", _backup),
        ("restore", "a backup into an empty register", _restore),
    ):
        one = deeds.add_parser(name, help=help_)
        one.add_argument("file", type=Path, metavar="FILE")
        one.set_defaults(command=command)
        if name == "export":
            one.add_argument("--overwrite", action="store_true",
                             help="although the file is there already")  # fmt: skip
    repeating.add(commands)


def _find(chosen: argparse.Namespace) -> None:
    from meshcore.register.finding import find  # noqa: PLC0415 - only when it runs
    from meshcore.register.opening import open_register  # noqa: PLC0415
    from meshcore.register.wanting import no_days  # noqa: PLC0415

    text = " ".join(chosen.text)
    found = find(open_register(create=False), text, limit=chosen.limit)
    for one in no_days(text):
        print(f'"{one}" is no day or range of the calendar.', file=sys.stderr)
    print("\n".join(map(_told, found)) or "Nothing on file agrees.")


def _told(one: Found) -> str:
    from meshcore.register.amounts import amount_text  # noqa: PLC0415 - only when it runs

    amount = amount_text(one.total_minor, one.choice_minor, one.digits, one.currency)
    about = " · ".join(t for t in (one.sender, one.reference, one.title, one.line) if t)
    named = f"{one.number:<14}{one.kind:<10} {one.state:<9} {one.day}"
    return f"{named} {amount:>16}  {about[:120]}".rstrip()


def _show(chosen: argparse.Namespace) -> None:
    from meshcore.commands.showing import print_again, shown, write_as_it_came  # noqa: PLC0415 - only when it runs
    from meshcore.documents.printing import check_document  # noqa: PLC0415
    from meshcore.register.entries import entry  # noqa: PLC0415

    register, opened = opened_thing(chosen.number)
    came = opened.kind in ("letter", "list")
    if chosen.output and not came:
        check_document(chosen.output)
    if chosen.revision is not None:
        opened = entry(register, opened.kind, opened.number, chosen.revision)
    print("\n".join(shown(register, opened)))
    if chosen.output:
        said = "" if came else print_again(register, opened, chosen.output)
        if came:
            write_as_it_came(opened, chosen.output)
        print(f"Wrote {chosen.output}.")
        if said:
            print(said, file=sys.stderr)


def _mark(chosen: argparse.Namespace) -> None:
    from meshcore.register.quotations import mark_quotation  # noqa: PLC0415 - only when it runs

    register, opened = opened_thing(chosen.number, ("quotation",))
    marked = mark_quotation(register, opened, chosen.state, chosen.reason)
    print(f"Quotation {marked.number} is {marked.state}.")


def _export(chosen: argparse.Namespace) -> None:
    from meshcore.documents.printing import write_bytes  # noqa: PLC0415 - only when it runs
    from meshcore.register.errors import RecordsError  # noqa: PLC0415
    from meshcore.register.exporting import export  # noqa: PLC0415
    from meshcore.register.opening import open_register  # noqa: PLC0415

    if os.path.exists(chosen.file) and not chosen.overwrite:
        raise RecordsError(
            f"{chosen.file}: is there already. Give the list another name, or say --overwrite."
        )
    listed = export(open_register(create=False))
    write_bytes(listed.encode("utf-8"), chosen.file)
    print(f"{counted(listed.count(_LINE_END) - 1, 'thing')}.\nWrote {chosen.file}.")


#: How lines of CSV end (RFC 4180).
_LINE_END = "\r\n"


def _backup(chosen: argparse.Namespace) -> None:
    from meshcore.register.copying import backup  # noqa: PLC0415 - only when it runs
    from meshcore.register.opening import open_register  # noqa: PLC0415

    changes = backup(chosen.file, open_register(create=False))
    print(f"{counted(changes, 'change')}.\nWrote {chosen.file}.")


def _restore(chosen: argparse.Namespace) -> None:
    from meshcore.register.copying import check_backup, restore  # noqa: PLC0415 - only when it runs

    # A file that is no backup makes no register.
    check_backup(chosen.file)
    register = register_to_save()
    print(f"{counted(restore(chosen.file, register), 'change')} restored into {register.where}.")
