"""What commands write: a file, or the document of what is filed.

A document is made once beside its place before anything is filed, so that none is left out.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path


def write_file(content: bytes, path: Path) -> None:
    """Write a file.

    Raises
    ------
    ListError
        If it cannot be written.
    """
    from meshcore.lists.reading import ListError  # noqa: PLC0415 - only when a command runs
    from meshcore.whole_files import save  # noqa: PLC0415

    try:
        save(path, content)
    except OSError as error:
        raise ListError(f"{path}: cannot be written ({error.strerror}).") from error


def try_document(write: Callable[[Path], object], path: Path) -> None:
    """Write a document beside its place and take it away again, before anything is filed.

    A full disk, or a place that takes no file although it looks so, is so met while there still is
    nothing that the document would be missing of.

    Parameters
    ----------
    write
        Writes it to a path, in the form that the name ends in.
    path
        Where it is to be.

    Raises
    ------
    TermsError
        If it cannot be written.
    """
    from meshcore.documents.terms import TermsError  # noqa: PLC0415 - only when a command runs
    from meshcore.whole_files import beside, is_apart  # noqa: PLC0415

    # A pipe or a device is tried in its own place.
    trial = path if is_apart(path) else beside(path)
    try:
        write(trial)
    except TermsError as error:
        told = str(error).replace(str(trial), str(path))
        raise TermsError(f"{told} Nothing was filed.") from error
    finally:
        if trial != path:
            trial.unlink(missing_ok=True)


def write_filed(write: Callable[[Path], str], path: Path, what: str, again: str) -> str:
    """Write the document of what is on file by now; return what to know of it.

    Parameters
    ----------
    write, path
        As of `try_document`.
    what
        What is on file, with its number.
    again
        The command that prints it.

    Raises
    ------
    TermsError
        If it cannot be written; it names what is on file, and how it is printed again.
    """
    from meshcore.documents.terms import TermsError  # noqa: PLC0415 - only when a command runs

    try:
        return write(path)
    except TermsError as error:
        raise TermsError(
            f"{error} {what} is on file. Print it again: {again} -o with another name."
        ) from error
