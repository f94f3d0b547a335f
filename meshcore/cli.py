"""The command line: ``python -m meshcore``."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from typing import NoReturn

from meshcore.commands import alloys, billing, books, letter, listing, pricing, saved, weaving
from meshcore.estimates.wording import CAUTION

#: Exit code for input that could not be read or understood, or output that could not be written.
COULD_NOT = 2
#: Exit code where whoever read the output went away, as ``head`` does when it has seen enough: that
#: of a program stopped by SIGPIPE, number 13, as shells count it.
READER_GONE = 128 + 13


class _Parser(argparse.ArgumentParser):
    """An argument parser that says what is wrong in one line."""

    def error(self, message: str) -> NoReturn:
        self.exit(COULD_NOT, f"{self.prog}: {message}. See '{self.prog} --help'.\n")


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
    try:
        try:
            return _run(arguments)
        finally:
            sys.stdout.flush()
    except BrokenPipeError:
        # What is left in the buffer would be written at exit, and fail again.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return READER_GONE


def _run(arguments: Sequence[str] | None) -> int:
    chosen = _parser().parse_args(arguments)
    command: Callable[[argparse.Namespace], None] = chosen.command
    from meshcore.costing.book.price_book import PriceBookError  # noqa: PLC0415 - only when a command runs
    from meshcore.lists.reading import ListError  # noqa: PLC0415
    from meshcore.reading.letters.open import LetterError  # noqa: PLC0415
    from meshcore.register.records import RecordsError  # noqa: PLC0415
    from meshcore.supply.policy import SupplyPolicyError  # noqa: PLC0415

    try:
        command(chosen)
    except (LetterError, ListError, PriceBookError, SupplyPolicyError, RecordsError) as error:
        print(f"meshcore: {' '.join(str(error).split())}", file=sys.stderr)
        return COULD_NOT
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="meshcore",
        description="Estimates for industrial woven wire cloth.",
        epilog=CAUTION,
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    for group in (pricing, letter, weaving, alloys, billing, books, saved, listing):
        group.add(commands)
    return parser
