"""All that an office has, in one file: register, book with its versions, and the other files."""

from __future__ import annotations

import os
import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path, PurePosixPath

from meshcore.costing.book.history.versions import versions_folder
from meshcore.demo import AVAILABILITY_VARIABLE, POLICY_VARIABLE, own_book_file
from meshcore.register import copying
from meshcore.register.connecting import REGISTER_VARIABLE, default_register
from meshcore.register.errors import MissingRegisterError, RecordsError
from meshcore.register.opening import open_register
from meshcore.whole_files import whole_file
from meshcore_estimator.access import ACCESS_VARIABLE
from meshcore_estimator.set_up import TERMS_VARIABLE

#: What the file holds: the register, and below a folder each the files that variables name.
_REGISTER, _BOOK, _OTHERS = "register.jsonl.gz", "book", "files"
_VARIABLES = (POLICY_VARIABLE, AVAILABILITY_VARIABLE, TERMS_VARIABLE, ACCESS_VARIABLE)


class CopyError(ValueError):
    """A copy that cannot be made or put back; nothing was changed."""


def back_up(target: Path) -> tuple[str, ...]:
    """Write all into one file, also while people are at work; return what it holds.

    Secrets and what is being typed are not in it.

    Raises
    ------
    CopyError
        If the file is there already, or something cannot be read or written.
    """
    if target.exists():
        raise CopyError(f"{target}: is there already. Give the backup another name.")
    try:
        with (
            tempfile.TemporaryDirectory() as folder,
            whole_file(target) as whole,
            zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as packed,
        ):
            for name, path in (*_register(Path(folder)), *_files()):
                packed.write(path, name)
            return tuple(packed.namelist())
    except RecordsError as error:
        raise CopyError(str(error)) from error
    except OSError as error:
        raise CopyError(f"{target}: cannot be written ({error.strerror or error}).") from error


def _register(folder: Path) -> Iterator[tuple[str, Path]]:
    """Write the register as it is at one moment; none where nothing was ever saved."""
    try:
        register = open_register(create=False)
    except MissingRegisterError:
        return
    path = folder / _REGISTER
    copying.backup(path, register)
    yield _REGISTER, path


def _files() -> Iterator[tuple[str, Path]]:
    book = own_book_file()
    if book is not None:
        yield f"{_BOOK}/{book.name}", book
        kept = versions_folder(book)
        for path in sorted(kept.rglob("*")) if kept.is_dir() else ():
            if path.is_file() and not path.name.startswith("."):
                yield f"{_BOOK}/{kept.name}/{path.relative_to(kept).as_posix()}", path
    for variable in _VARIABLES:
        named = os.environ.get(variable)
        if named:
            kind = variable.removeprefix("MESHCORE_").lower()
            yield f"{_OTHERS}/{kind}/{Path(named).name}", Path(named)


def put_back(source: Path, folder: Path) -> tuple[str, ...]:
    """Put files into an empty folder, and the register into the one in use, which must be empty.

    Returns
    -------
    What was put back.

    Raises
    ------
    CopyError
        If the file is no such copy, or the folder or the register holds anything.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise CopyError(f"{folder}: is not empty. Name a new folder, and compare.")
    try:
        with zipfile.ZipFile(source) as packed, tempfile.TemporaryDirectory() as aside:
            names = packed.namelist()
            if (bad := packed.testzip()) is not None:
                raise CopyError(f"{source}: {bad} is damaged. Nothing was put back.")
            if astray := [name for name in names if not _is_ours(name)]:
                raise CopyError(f"{source}: {astray[0]} is none of ours. Nothing was put back.")
            # First what may be refused: a register that holds anything.
            if _REGISTER in names:
                held = Path(packed.extract(_REGISTER, aside))
                copying.check_backup(held)
                copying.restore(held, open_register())
            folder.mkdir(parents=True, exist_ok=True)
            for name in names:
                if name != _REGISTER:
                    packed.extract(name, folder)
            return tuple(names)
    except RecordsError as error:
        raise CopyError(str(error)) from error
    except (OSError, zipfile.BadZipFile) as error:
        raise CopyError(f"{source}: is no backup of an office ({error}).") from error


def _is_ours(name: str) -> bool:
    parts = PurePosixPath(name).parts
    return name == _REGISTER or (len(parts) > 1 and parts[0] in (_BOOK, _OTHERS)
                                 and ".." not in parts)  # fmt: skip


def told(names: tuple[str, ...]) -> str:
    """Say what a copy holds, and what is to be said of where the register is."""
    where = os.environ.get(REGISTER_VARIABLE) or default_register()
    return "".join(f"{name}\n" for name in names) + f"register: {where}\n"
