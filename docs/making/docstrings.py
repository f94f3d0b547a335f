"""Numpy docstrings as the site's generator takes them, and as tables of fields."""

from __future__ import annotations

import inspect
import re

_HEADING = re.compile(r"^(?P<name>[A-Z][A-Za-z ]+)\n-{3,}\n", re.MULTILINE)


def sections(text: str) -> dict[str, str]:
    r"""Parts of a cleaned docstring by heading; what comes first is under an empty heading.

    Examples
    --------
    >>> sections("Say it.\n\nReturns\n-------\nLength [m].")
    {'': 'Say it.', 'Returns': 'Length [m].'}
    """
    parts = _HEADING.split(text)
    return {"": parts[0].strip()} | {
        name: body.strip("\n") for name, body in zip(parts[1::2], parts[2::2], strict=True)
    }


def fields_of(record: type) -> dict[str, str]:
    """Fields of a record and their meanings, from its docstring, in one line each.

    Fields described together are given the same meaning.

    Examples
    --------
    >>> from meshcore.enquiry import Service
    >>> fields_of(Service)["aliases"]
    'Other ways it is written.'
    """
    body = sections(inspect.getdoc(record) or "").get("Parameters", "")
    meanings: dict[str, str] = {}
    names: list[str] = []
    for line in body.splitlines():
        if line and not line[0].isspace():
            names = [name.strip() for name in line.partition(" : ")[0].split(",")]
        else:
            for name in names:
                meanings[name] = f"{meanings.get(name, '')} {line.strip()}".strip()
    return meanings


def first_line(thing: object) -> str:
    """Return the first line of a docstring."""
    return (inspect.getdoc(thing) or "").partition("\n")[0]


def shown(
    _app: object, _what: str, _name: str, thing: object, _options: object, lines: list[str]
) -> None:
    """Bring a docstring into the form that the generator shows well.

    References become a list, since two docstrings of one page may have the same numbers; and a
    value without a comment of its own is not explained as any of its type is.
    """
    text = "\n".join(lines)
    if not (inspect.isclass(thing) or inspect.isroutine(thing) or isinstance(thing, property)):
        usual = inspect.cleandoc(type(thing).__doc__ or "")
        if usual and text.strip() == usual.strip():
            lines.clear()
            return
    if "References" in sections(text):
        text = re.sub(r"^\.\. \[\d+\] ", "* ", text, flags=re.MULTILINE)
    lines[:] = text.split("\n")


def shown_signature(
    _app: object,
    _what: str,
    _name: str,
    _thing: object,
    _options: object,
    signature: str | None,
    returned: str | None,
) -> tuple[str | None, str | None]:
    """Write a default that is made anew each time as one that the generator can read."""
    return (signature.replace("<factory>", "...") if signature else signature), returned
