"""The most that is read at once, so that no input takes more than its time and memory."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from pathlib import Path
from typing import Any


@cache
def _limits() -> dict[str, Any]:
    return tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))


def most(name: str) -> int:
    """Return a limit of ``limits.toml``.

    Examples
    --------
    >>> most("rows")
    600000
    """
    limit: int = _limits()[name]["most"]
    return limit


def beyond(name: str, value: int) -> str:
    """Say that a limit is passed, and what would mend it; empty where it is not.

    Examples
    --------
    >>> beyond("rows", 1_700_000)
    'it has 1,700,000 rows, and 600,000 are read at most. Part the list, or save it as .parquet.'
    >>> beyond("rows", 17)
    ''
    """
    limit = _limits()[name]
    if value <= limit["most"]:
        return ""
    return (
        f"it has {value:,} {limit['what']}, and {limit['most']:,} are read at most. "
        f"{limit['mend']}".rstrip()
    )


#: A dot and the name behind it, as in ``book.note``.
_DOTTED = re.compile(r"""\.[ \t]*[\w\-"']""")


def parse_toml(text: str) -> dict[str, Any]:
    """Read TOML within the limits of size and depth.

    Raises
    ------
    tomllib.TOMLDecodeError
        If it is not TOML, too long, or nested too deep.

    Examples
    --------
    >>> parse_toml("a = [[1]]")
    {'a': [[1]]}
    >>> parse_toml("a = " + "[" * 20_000)
    Traceback (most recent call last):
    tomllib.TOMLDecodeError: it is nested too deep
    """
    if wrong := beyond("toml_bytes", len(text)):
        raise tomllib.TOMLDecodeError(wrong)
    deepest = most("toml_names")
    # A name stands before a sign of equality, or in a line of its own.
    parts = (part for line in text.splitlines() for part in line.split("="))
    if any(part.count(".") > deepest and len(_DOTTED.findall(part)) > deepest for part in parts):
        raise tomllib.TOMLDecodeError("it is nested too deep")
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise tomllib.TOMLDecodeError("it is nested too deep") from None
