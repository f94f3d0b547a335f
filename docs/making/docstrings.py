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


def plain_returns(
    _app: object, _what: str, _name: str, _thing: object, _options: object, lines: list[str]
) -> None:
    """Turn a Returns section written as prose, and references, into what is shown as such.

    The generator would take the first line of such a section for a type.
    """
    text = "\n".join(lines)
    parts = sections(text)
    prose = parts.get("Returns", "")
    if prose and not re.search(r"^\s", prose, re.MULTILINE):
        said = " ".join(prose.split())
        text = _without(text, "Returns", f":returns: {said}\n\n")
    if "References" in parts:
        text = re.sub(r"^\.\. \[\d+\] ", "* ", text, flags=re.MULTILINE)
    lines[:] = text.split("\n")


def _without(text: str, heading: str, instead: str) -> str:
    """Put something in the place of a section."""
    found = next(m for m in _HEADING.finditer(text) if m["name"] == heading)
    after = _HEADING.search(text, found.end())
    end = after.start() if after else len(text)
    return text[: found.start()] + instead + text[end:]
