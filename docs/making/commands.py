"""The command line, as it explains itself."""

from __future__ import annotations

import contextlib
import io
import os
import re
from unittest import mock

from making.markdown import block, table

#: Width at which help is set; wider than a phone, which scrolls it, and no wider than the page.
_WIDTH = "84"
_COMMAND = re.compile(r"^    (?P<name>[a-z]+)(?: {2,}|\n +)(?P<text>\S.*)$", re.MULTILINE)


def help_of(*words: str) -> str:
    """Return what ``meshcore … --help`` prints."""
    from meshcore.cli import main  # noqa: PLC0415 - the site's other parts do without

    printed = io.StringIO()
    plain = {"COLUMNS": _WIDTH, "NO_COLOR": "1"}
    with (
        mock.patch.dict(os.environ, plain),
        contextlib.redirect_stdout(printed),
        contextlib.suppress(SystemExit),
    ):
        main([*words, "--help"])
    return printed.getvalue()


def listed() -> dict[str, str]:
    """Return the commands, and what each does."""
    return {found["name"]: found["text"] for found in _COMMAND.finditer(help_of())}


def names() -> str:
    """Return the commands as a table."""
    return table(
        ["Command", "What it does"],
        ([f"[`{name}`](command-line.md#{name})", text] for name, text in listed().items()),
    )


def all_commands() -> str:
    """Return the help of each command under its name."""
    return "\n\n".join(f"## {name}\n\n{block(help_of(name))}" for name in listed())
