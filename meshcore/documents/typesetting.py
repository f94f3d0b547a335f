"""Typesetting by Typst: data in, a tagged and archival PDF out."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, partial
from importlib import resources
from itertools import pairwise
from typing import Any, Literal

#: PDF/A-3 with tags (ISO 19005-3, level a) and PDF/UA-1 (ISO 14289-1).
STANDARDS: tuple[Literal["a-3a"], Literal["ua-1"]] = ("a-3a", "ua-1")
#: Stands for a sign that no font at hand can show.
NO_SIGN = "\N{WHITE SQUARE}"
#: What Typst says of a sign that the fonts do not have.
_MISSING = re.compile(r"the text [`\"]+(?P<text>.+?)[`\"]+ could not be displayed", re.DOTALL)
#: How Typst writes a mark that stands alone, as in ``\\u{bcd}``.
_ESCAPED = re.compile(r"\\u\{(\w+)\}")
#: Different signs that are tried one by one before all beyond Latin are given up.
_MOST_TRIES = 40


@dataclass(frozen=True, slots=True)
class Printed:
    """A PDF, and the signs of its texts that no font could show."""

    content: bytes
    missing: str


def typeset(layout: str, data: Mapping[str, Any], *, system_fonts: bool = True) -> Printed:
    """Typeset data by a layout of this package.

    Parameters
    ----------
    layout
        Name of the file in ``layout``.
    data
        What it sets; texts are set as they stand.
    system_fonts
        Whether the machine's own fonts may show what those of Typst lack.

    Notes
    -----
    Fonts are those that come with Typst, so that a document looks the same on every machine. Only
    for a sign that they lack are the fonts of the machine asked; what no font has stands as its
    code point, such as ``[U+7E54]``, and is told.
    """
    clean = each_text(data, _printable)
    made = _compiled(layout, clean, own_fonts_alone=True)
    if isinstance(made, bytes):
        return Printed(made, "")
    alone = True
    if system_fonts:
        # A font of the machine may break the standards, as one of pictures does: then it is left.
        more = _compiled(layout, clean, own_fonts_alone=False)
        if isinstance(more, bytes):
            return Printed(more, "")
        if more:
            made, alone = more, False
    missing: list[str] = []
    for _ in range(_MOST_TRIES):
        signs = [sign for sign in _not_shown(made) or _marks_on(clean, made) if sign not in missing]
        if not signs:
            break
        missing += signs
        clean = each_text(clean, partial(_without, missing=signs))
        made = _compiled(layout, clean, own_fonts_alone=alone)
        if isinstance(made, bytes):
            return Printed(made, "".join(missing))
    made = _compiled(layout, each_text(clean, _latin), own_fonts_alone=True)
    if isinstance(made, bytes):
        return Printed(made, "".join(missing))
    raise RuntimeError(f"a sign cannot be set: {made!r}")


def _compiled(layout: str, data: Mapping[str, Any], *, own_fonts_alone: bool) -> bytes | str:
    """Return the PDF; or the signs that no font shows, empty where a font broke a standard."""
    import typst  # noqa: PLC0415 - heavy: loaded when something is printed

    try:
        made = typst.compile(
            _source(layout), sys_inputs={"data": json.dumps(data)}, pdf_standards=list(STANDARDS),
            ignore_system_fonts=own_fonts_alone,
        )  # fmt: skip
    except typst.TypstError as error:
        sign = _MISSING.search(str(error))
        if sign is None and own_fonts_alone:
            raise
        return _ESCAPED.sub(_unescaped, sign["text"]) if sign else ""
    return bytes(made)


def _unescaped(code: re.Match[str]) -> str:
    return bytes.fromhex(code[1].zfill(8)).decode("utf-32-be")


#: Pixels per inch of a picture on the screen.
_SCREEN_PPI = 110.0


def pictures(layout: str, data: Mapping[str, Any]) -> list[bytes]:
    """Set data by a layout, and return its pages as pictures (PNG)."""
    import typst  # noqa: PLC0415 - heavy: loaded when something is printed

    text = json.dumps(each_text(data, _printable), ensure_ascii=False)
    made = typst.compile(_source(layout), format="png", ppi=_SCREEN_PPI,
                         sys_inputs={"data": text},
                         ignore_system_fonts=not is_beyond_latin(text))  # fmt: skip
    return [bytes(page) for page in made] if isinstance(made, list) else [bytes(made)]


def is_beyond_latin(text: str) -> bool:
    """Tell whether a text holds signs that Typst's own fonts may lack.

    Examples
    --------
    >>> is_beyond_latin("Köper 1 × 2 – Ткань"), is_beyond_latin("織物")
    (False, True)
    """
    return any(sign > _LAST_LATIN and sign not in _OTHERS for sign in text)


@cache
def _source(layout: str) -> bytes:
    return resources.files("meshcore.documents").joinpath("layout").joinpath(layout).read_bytes()


#: Last of the signs of Latin, Greek and Cyrillic that the fonts have.
_LAST_LATIN = "\u04ff"
#: Signs beyond them that the fonts have, and that documents print.
_OTHERS = "–−×·‘’“”„…€□²\u200b"


def each_text(value: Any, change: Callable[[str], str]) -> Any:  # noqa: ANN401 - plain data of any shape
    """Change every text of plain data."""
    if isinstance(value, str):
        return change(value)
    if isinstance(value, list | tuple):
        return [each_text(one, change) for one in value]
    if isinstance(value, dict):
        return {name: each_text(one, change) for name, one in value.items()}
    return value


def _printable(text: str) -> str:
    """Return a text without controls, and without what turns the direction of reading."""
    return "".join(
        s if s.isprintable() or s in "\r\n\N{NO-BREAK SPACE}\N{ZERO WIDTH SPACE}" else " "
        for s in text
    )


def _not_shown(cluster: str) -> list[str]:
    """Return the signs for which a cluster cannot be shown, each once.

    A mark that no font has is set together with the sign before it, which the fonts do have.

    Examples
    --------
    >>> _not_shown("]\u309a"), _not_shown("\u30ab\u309a"), _not_shown("e\u0489")
    (['\u309a'], ['カ', '\u309a'], ['\u0489'])
    """
    beyond = [sign for sign in cluster if is_beyond_latin(sign)]
    return list(dict.fromkeys(beyond or [sign for sign in cluster if not sign.isascii()]))


def _marks_on(data: Mapping[str, Any], shown: str) -> list[str]:
    """Return the signs that follow one that the fonts have: Typst names it for a mark on it."""
    found: list[str] = []

    def seek(text: str) -> str:
        pairs = pairwise(text)
        found.extend(sign for first, sign in pairs if first in shown and is_beyond_latin(sign))
        return text

    each_text(data, seek)
    return list(dict.fromkeys(found))


def _without(text: str, missing: Sequence[str]) -> str:
    for sign in missing:
        text = text.replace(sign, f"[U+{ord(sign):04X}]")
    return text


def _latin(text: str) -> str:
    return "".join(s if s <= _LAST_LATIN or s in _OTHERS else NO_SIGN for s in text)
