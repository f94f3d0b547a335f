"""Typesetting by Typst: data in, a tagged and archival PDF out."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache, partial
from importlib import resources
from typing import Any, Literal

#: PDF/A-3 with tags (ISO 19005-3, level a) and PDF/UA-1 (ISO 14289-1).
STANDARDS: tuple[Literal["a-3a"], Literal["ua-1"]] = ("a-3a", "ua-1")
#: Stands for a sign that no font at hand can show.
NO_SIGN = "\N{WHITE SQUARE}"
#: What Typst says of a sign that the fonts do not have.
_MISSING = re.compile(r"the text [`\"]+(?P<text>.+?)[`\"]+ could not be displayed", re.DOTALL)
#: Different signs that are tried one by one before all beyond Latin are given up.
_MOST_TRIES = 40


@dataclass(frozen=True, slots=True)
class Printed:
    """A PDF, and the signs of its texts that no font could show."""

    content: bytes
    missing: str


def typeset(layout: str, data: Mapping[str, Any]) -> Printed:
    """Typeset data by a layout of this package.

    Parameters
    ----------
    layout
        Name of the file in ``layout``.
    data
        What it sets; texts are set as they stand.

    Notes
    -----
    Fonts are those that come with Typst, so that a document looks the same on every machine; a
    sign that they do not have is shown as a square, and told.
    """
    import typst  # noqa: PLC0415 - heavy: loaded when something is printed

    clean = _each(data, _printable)
    text = json.dumps(clean)
    missing: list[str] = []
    for _ in range(_MOST_TRIES):
        try:
            content = typst.compile(
                _source(layout), sys_inputs={"data": text}, pdf_standards=list(STANDARDS),
                ignore_system_fonts=True,
            )  # fmt: skip
        except typst.TypstError as error:
            sign = _MISSING.search(str(error))
            if sign is None:
                raise
            missing.append(sign["text"])
            shown = sign["text"]
            clean = _each(clean, partial(_without, missing=shown))
            text = json.dumps(clean)
        else:
            return Printed(bytes(content), "".join(missing))
    return Printed(
        bytes(typst.compile(_source(layout), sys_inputs={"data": json.dumps(_each(clean, _latin))},
                            pdf_standards=list(STANDARDS), ignore_system_fonts=True)),
        "".join(missing),
    )  # fmt: skip


#: Pixels per inch of a picture on the screen.
_SCREEN_PPI = 110.0


def pictures(layout: str, data: Mapping[str, Any]) -> list[bytes]:
    """Set data by a layout, and return its pages as pictures (PNG)."""
    import typst  # noqa: PLC0415 - heavy: loaded when something is printed

    text = json.dumps(_each(data, _printable))
    made = typst.compile(_source(layout), format="png", ppi=_SCREEN_PPI,
                         sys_inputs={"data": text}, ignore_system_fonts=True)  # fmt: skip
    return [bytes(page) for page in made] if isinstance(made, list) else [bytes(made)]


@cache
def _source(layout: str) -> bytes:
    return resources.files("meshcore.documents").joinpath("layout").joinpath(layout).read_bytes()


#: Last of the signs of Latin, Greek and Cyrillic that the fonts have.
_LAST_LATIN = "\u04ff"


def _each(value: Any, change: Callable[[str], str]) -> Any:  # noqa: ANN401 - plain data of any shape
    """Change every text of plain data."""
    if isinstance(value, str):
        return change(value)
    if isinstance(value, list | tuple):
        return [_each(one, change) for one in value]
    if isinstance(value, dict):
        return {name: _each(one, change) for name, one in value.items()}
    return value


def _printable(text: str) -> str:
    """Return a text without controls, and without what turns the direction of reading."""
    return "".join(s if s.isprintable() or s in "\r\n\N{NO-BREAK SPACE}" else " " for s in text)


def _without(text: str, missing: str) -> str:
    for sign in missing:
        text = text.replace(sign, NO_SIGN)
    return text


def _latin(text: str) -> str:
    return "".join(s if s <= _LAST_LATIN or s in "–−×·’…€□²" else NO_SIGN for s in text)
