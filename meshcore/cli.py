"""The command line: ``python -m meshcore``."""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, NoReturn

from meshcore import __version__
from meshcore.commands import (
    alloys,
    billing,
    book_versions,
    books,
    drawing,
    letter,
    listing,
    modelling,
    pricing,
    quoting,
    registering,
    saved,
    specifying,
    weaving,
)
from meshcore.commands.overwriting import add_overwrite, keep_what_is_read
from meshcore.estimates.wording import CAUTION

if TYPE_CHECKING:
    from _typeshed import SupportsWrite

#: Exit code for input that could not be read or understood, or output that could not be written.
COULD_NOT = 2
#: Exit code where whoever read the output went away, as ``head`` does when it has seen enough: that
#: of a program stopped by SIGPIPE, number 13, as shells count it.
READER_GONE = 128 + 13


class _Parser(argparse.ArgumentParser):
    """An argument parser that says what is wrong in one line."""

    def error(self, message: str) -> NoReturn:
        self.exit(COULD_NOT, f"{self.prog}: {message}. See '{self.prog} --help'.\n")

    def _print_message(self, message: str, file: SupportsWrite[str] | None = None) -> None:
        # That of argparse says nothing where the output cannot be written.
        (sys.stderr if file is None else file).write(message)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line.

    Parameters
    ----------
    arguments
        Words after ``python -m meshcore``; those of the process by default.

    Returns
    -------
    0 when done, even where lines were refused; 2 where something could not be read, understood or
    written, after one line on stderr that says what to do; ``READER_GONE``, and nothing on stderr,
    where a pipe that the output goes to was closed.
    """
    if sys.stdout is None:
        _say("standard output is closed. Send it to a file, or to /dev/null.")
        return COULD_NOT
    for stream in (sys.stdout, sys.stderr):
        # A console of few letters shows a question mark for the others.
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    try:
        try:
            return _run(arguments)
        finally:
            sys.stdout.flush()
    except BrokenPipeError:
        _drop_output()
        return READER_GONE
    except OSError as error:
        # Commands tell themselves of files that fail, and those have a name.
        if error.filename is not None:
            raise
        _drop_output()
        _say(f"the output cannot be written ({error.strerror}).")
        return COULD_NOT


def _drop_output() -> None:
    """Send the rest to nowhere: left in the buffer, it would be written at exit, and fail again."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _say(text: str) -> None:
    """Tell why nothing came of it, in one line; with stderr closed there is nowhere to tell it."""
    if sys.stderr is not None:
        print(f"meshcore: {' '.join(text.split())}", file=sys.stderr)


def _run(arguments: Sequence[str] | None) -> int:
    chosen = _parser().parse_args(arguments)
    command: Callable[[argparse.Namespace], None] = chosen.command
    from meshcore.alloys.availability import AvailabilityError  # noqa: PLC0415
    from meshcore.costing.book.price_book import PriceBookError  # noqa: PLC0415 - only when a command runs
    from meshcore.costing.customer import CustomerError  # noqa: PLC0415
    from meshcore.documents.terms import TermsError  # noqa: PLC0415
    from meshcore.estimates.lead_time import LeadTimeError  # noqa: PLC0415
    from meshcore.lists.reading import ListError  # noqa: PLC0415
    from meshcore.reading.letters.open import LetterError  # noqa: PLC0415
    from meshcore.register.records import RecordsError  # noqa: PLC0415
    from meshcore.supply.policy import SupplyPolicyError  # noqa: PLC0415
    from meshcore.weave.solids.files import ModelError  # noqa: PLC0415

    try:
        keep_what_is_read(chosen)
        command(chosen)
    except (
        AvailabilityError,
        CustomerError,
        LeadTimeError,
        LetterError,
        ListError,
        ModelError,
        PriceBookError,
        SupplyPolicyError,
        RecordsError,
        TermsError,
    ) as error:
        _say(str(error))
        return COULD_NOT
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="meshcore",
        description="Estimates for industrial woven wire cloth.",
        epilog=CAUTION,
    )
    parser.add_argument("--version", action="version", version=f"meshcore {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    for group in (
        pricing,
        letter,
        quoting,
        registering,
        specifying,
        weaving,
        modelling,
        alloys,
        billing,
        books,
        book_versions,
        saved,
        listing,
        drawing,
    ):
        group.add(commands)
    add_overwrite(parser)
    return parser
