"""What commands write never takes the place of what was read, unless that is asked for."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from pathlib import Path

#: Options that name a file to be written, each with the endings that it may have; of none, the
#: command itself says which.
WRITTEN: dict[str, tuple[str, ...]] = {
    "output": (),
    "save_mapping": (".toml", ".json"),
    "drawing": (".svg",),
    "plan_drawing": (".svg",),
    "plan_dxf": (".dxf",),
    "cut_sheet": (".pdf", ".svg"),
    "quote": (),
}
#: Options that name a file to be read, and what it is.
READ: dict[str, str] = {
    "input": "what it reads",
    "book": "the price book",
    "policy": "the supply policy",
    "customer": "the customer's terms",
    "mapping": "the mapping",
    "lead_time": "the lead times",
    "terms": "the terms",
    "availability": "the list of wire",
    "against": "the price book",
    "coming": "the coming rates",
    "save": "the price book",
}


def add_overwrite(parser: argparse.ArgumentParser) -> None:
    """Add ``--overwrite`` to every command that writes files."""
    for one in commands_of(parser):
        if any(action.dest in WRITTEN for action in one._actions):
            one.add_argument("--overwrite", action="store_true",
                             help="although it replaces what was read")  # fmt: skip


def commands_of(parser: argparse.ArgumentParser) -> Iterator[argparse.ArgumentParser]:
    """Give a parser and all those of its commands."""
    yield parser
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for inner in action.choices.values():
                yield from commands_of(inner)


def keep_what_is_read(chosen: argparse.Namespace) -> None:
    """Refuse what would be written in the place of what is read, or of another such file.

    Raises
    ------
    ListError
        If two names are of one file, whatever they look like, or an ending is of another kind.
    """
    from meshcore.lists.reading import ListError  # noqa: PLC0415 - only when a command runs

    written = {name: path for name in WRITTEN if (path := getattr(chosen, name, None))}
    seen: dict[str, Path] = {}
    for name, path in written.items():
        option = "-o" if name == "output" else f"--{name.replace('_', '-')}"
        endings = WRITTEN[name]
        if endings and path.suffix.casefold() not in endings:
            raise ListError(f"{path}: {option} writes {' or '.join(endings)}; end the name in it.")
        for other, before in seen.items():
            if _is_one_file(before, path):
                raise ListError(f"{path}: is named for {other} and {option}. Give each its own.")
        seen[option] = path
        if getattr(chosen, "overwrite", False):
            continue
        for read, what in _read(chosen):
            if _is_one_file(read, path):
                raise ListError(f"{path}: would overwrite {what}. Give {option} another name, or "
                                "say --overwrite.")  # fmt: skip
        if name == "save_mapping" and path.exists() and not _is_mapping(path):
            raise ListError(f"{path}: is there already, and holds no mapping. Give {option} "
                            "another name, or say --overwrite.")  # fmt: skip


def _read(chosen: argparse.Namespace) -> Iterator[tuple[Path, str]]:
    """Give the files that are read: those named, and those of the mill."""
    from meshcore.demo import AVAILABILITY_VARIABLE, BOOK_VARIABLE, POLICY_VARIABLE  # noqa: PLC0415

    for name, what in READ.items():
        named = getattr(chosen, name, None)
        if isinstance(named, Path) or (named and name == "input"):
            yield Path(named), what
    for variable, what in (
        (BOOK_VARIABLE, READ["book"]),
        (POLICY_VARIABLE, READ["policy"]),
        (AVAILABILITY_VARIABLE, READ["availability"]),
    ):
        if held := os.environ.get(variable):
            yield Path(held), f"{what} in use"


def _is_one_file(read: Path, written: Path) -> bool:
    # Path.exists raises where a name is too long; os.path.exists says no.
    if os.path.exists(read) and os.path.exists(written):
        return read.samefile(written)
    return os.path.abspath(read) == os.path.abspath(written)


def _is_mapping(path: Path) -> bool:
    from meshcore.lists.mapping import read_mapping  # noqa: PLC0415 - only when one is there
    from meshcore.lists.reading import ListError  # noqa: PLC0415

    try:
        read_mapping(path)
    except ListError:
        return False
    return True
