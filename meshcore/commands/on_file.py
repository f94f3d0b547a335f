"""What commands about the register share: a thing on file by its number."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from meshcore.commands.options import Commands

if TYPE_CHECKING:
    from meshcore.register.connecting import Register
    from meshcore.register.entries import Entry


def numbered(deeds: Commands, name: str, help_: str, command: object) -> argparse.ArgumentParser:
    """Add a command on one thing, by its number."""
    one = deeds.add_parser(name, help=help_)
    one.add_argument("number", metavar="NUMBER", help="of the thing on file")
    one.set_defaults(command=command)
    return one


def counted(number: int, noun: str) -> str:
    """Write a number of things.

    Examples
    --------
    >>> counted(1, "line"), counted(2, "line")
    ('1 line', '2 lines')
    """
    return f"{number:,} {noun}{'' if number == 1 else 's'}"


def register_to_save() -> Register:
    """Open the register to save; where there is none it is made, and that is said.

    A name that is spelt wrong would otherwise begin a second register, with numbers given twice.
    """
    from meshcore.register.errors import MissingRegisterError  # noqa: PLC0415 - only when it runs
    from meshcore.register.opening import open_register  # noqa: PLC0415

    try:
        return open_register(create=False)
    except MissingRegisterError:
        register = open_register()
        print(f"made a new register at {register.where}", file=sys.stderr)
        return register


def not_on_file(kind: str, number: str) -> None:
    """Refuse a number of one's own that a thing on file bears already.

    Raises
    ------
    RecordsError
        If one does; it says for whom that is.
    """
    from meshcore.register.errors import MissingRegisterError, RecordsError  # noqa: PLC0415 - only when it runs
    from meshcore.register.finding import find  # noqa: PLC0415
    from meshcore.register.indexing import DELETED  # noqa: PLC0415
    from meshcore.register.opening import open_register  # noqa: PLC0415
    from meshcore.register.words import folded  # noqa: PLC0415

    try:
        register = open_register(create=False)
    except MissingRegisterError:
        return
    for one in (
        *find(register, number, kinds=(kind,), limit=50),
        *find(register, f"{number} {DELETED}", kinds=(kind,), limit=50),
    ):
        if folded(one.number) == folded(number):
            whose = f", for {one.sender}" if one.sender else ""
            raise RecordsError(
                f"{kind} {one.number} is on file already{whose}. Save a change as its revision "
                f"(--revise {one.number}), print it again (register show {one.number} -o OUT), or "
                "give another number."
            )


def opened_thing(number: str, kinds: tuple[str, ...] = ()) -> tuple[Register, Entry]:
    """Open the thing that bears a number, of the given kinds if any are given.

    Raises
    ------
    RecordsError
        If there is none, or more than one kind of thing bears it.
    """
    from meshcore.register.entries import entry_of  # noqa: PLC0415 - only when it runs
    from meshcore.register.errors import RecordsError  # noqa: PLC0415
    from meshcore.register.finding import find  # noqa: PLC0415
    from meshcore.register.opening import open_register  # noqa: PLC0415
    from meshcore.register.words import folded, likely_number  # noqa: PLC0415

    register = open_register(create=False)
    found = find(register, number, kinds=kinds, limit=50)
    exact = [one for one in found if folded(one.number) == folded(number)]
    if not exact:
        what = " or ".join(kinds) or "thing"
        near = likely_number(number)
        close = [one for one in find(register, near, kinds=kinds, limit=50) if one.number == near]
        told = [*close, *found]
        hint = f" Perhaps {told[0].number}?" if told else ""
        raise RecordsError(f'no {what} "{number}" is on file.{hint}')
    if len(exact) > 1:
        every = ", ".join(f"{one.kind} {one.number}" for one in exact)
        raise RecordsError(f'"{number}" may be any of: {every}. Write the whole number.')
    return register, entry_of(register, exact[0].id)
