"""A letter as read: lines, numbers, questions, evidence."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.enquiry import COLUMNS
from meshcore.reading.letters.accounting import Account, Span
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.choices import choice_orders
from meshcore.reading.letters.finished import Finished
from meshcore.reading.letters.found import Found
from meshcore.reading.letters.lexicon import language_of, lexicon
from meshcore.reading.letters.open import SUFFIXES, lines_ended, open_letter
from meshcore.reading.letters.plain import plain_text
from meshcore.reading.letters.through import read_through

if TYPE_CHECKING:
    import pandas as pd

#: Columns of `Letter.values` after the line's number.
VALUES = (
    "mesh_count_per_in",
    "pitch_mm",
    "aperture_mm",
    "wire_diameter_mm",
    "open_area_pct",
    "weave",
    "alloy",
    "form",
    "width_mm",
    "length_mm",
    "shape",
    "sizes_mm",
    "quantity",
    "services",
)


#: A letter is read up to so many signs (our choice: a list is read as a list); the rest is said to
#: be unread.
MOST_SIGNS = 200_000


@dataclass(frozen=True)
class Letter:
    """A letter as read; see the columns of each table at `read_letter`."""

    text: str
    language: str
    lines: pd.DataFrame
    values: pd.DataFrame
    asked: pd.DataFrame
    evidence: pd.DataFrame
    header: dict[str, Found | None]
    unread: pd.DataFrame
    not_square: pd.DataFrame
    ignored: pd.DataFrame


def read_text_of_letter(text: str) -> Letter:
    """Read the text of a letter."""
    text = lines_ended(text)
    whole, text = text, text[:MOST_SIGNS]
    language = language_of(text)
    plain = plain_text(text)
    done, build, account, header = read_through(plain, lexicon(language), language == "fr")
    account.ignored += [
        (n, n + 1, "a letter misread as a figure")
        for n, (sign, read) in enumerate(zip(text, plain, strict=True))
        if sign != read and sign.isdecimal() and not read.isdecimal()
    ]
    if len(whole) > MOST_SIGNS:
        build.unread.append((MOST_SIGNS, len(whole), f"after {MOST_SIGNS:,} signs"))
    return _letter(whole, language, done, build, account, header)


def _letter(
    text: str,
    language: str,
    done: Sequence[Finished],
    build: Build,
    account: Account,
    header: dict[str, Found | None],
) -> Letter:
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a letter is read

    columns = [*COLUMNS, "order"]
    orders = choice_orders(text, done)
    cells = [
        {name: one.cells.get(name, "") for name in columns} | {"line": n + 1, "order": orders[n]}
        for n, one in enumerate(done)
    ]
    values = [
        {"line": n + 1} | {name: one.values.get(name) for name in VALUES}
        for n, one in enumerate(done)
    ]
    asked = [
        {"line": n + 1, "field": field, "why": why, "choice": one.choices.get(field, ())}
        for n, one in enumerate(done)
        for field, why in dict(one.asked).items()
    ]
    evidence = [
        {
            "line": n + 1,
            "field": column,
            "start": f.start,
            "end": f.end,
            "text": text[f.start : f.end],
            "origin": f.origin,
        }
        for n, one in enumerate(done)
        for column, f in one.evidence
    ]
    return Letter(
        text,
        language,
        pd.DataFrame(cells, columns=columns, dtype=object),
        pd.DataFrame(values, columns=["line", *VALUES], dtype=object),
        pd.DataFrame(asked, columns=["line", "field", "why", "choice"]),
        pd.DataFrame(evidence, columns=["line", "field", "start", "end", "text", "origin"]),
        header,
        *(_spans(text, found) for found in (build.unread, build.aside, account.ignored)),
    )


def _spans(text: str, found: Sequence[Span]) -> pd.DataFrame:
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a letter is read

    rows = [
        {"start": a, "end": b, "text": text[a:b], "why": why}
        for a, b, why in sorted(dict.fromkeys(found))
        if text[a:b].strip()
    ]
    return pd.DataFrame(rows, columns=["start", "end", "text", "why"])


def read_letter(source: str | Path) -> Letter:
    """Read a buyer's letter to enquiry lines.

    Parameters
    ----------
    source
        The letter's text; or the path of a file: .txt .eml .html .md .docx .pdf (with text).

    Returns
    -------
    The letter as read: ``lines`` for `estimate_list`, the same as numbers in ``values``, what is
    to be ``asked``, and for each cell the ``evidence``, where in ``text`` it was read.

    Besides ``line``, ``field`` and ``why``, ``asked`` has a column ``choice``: the alloys that a
    line may be of, by which it is priced each way. ``evidence`` says in ``origin`` from where a
    cell was carried over; it is empty where the line states it. ``ignored`` holds what was left
    out on purpose, such as a telephone number, with what it is.

    Raises
    ------
    LetterError
        If a file cannot be read.
    TypeError
        If it is neither a text nor a path.

    Examples
    --------
    >>> letter = read_letter("Please quote 3 rolls 10 mesh, .025 in wire, 304, 48 in x 100 ft")
    >>> letter.lines.loc[0, ["mesh_count", "wire_diameter", "alloy", "width", "quantity"]].tolist()
    ['10 mesh', '.025 in', '304', '48 in', '3']
    """
    if isinstance(source, bytes | bytearray):
        raise TypeError(
            "read_letter takes the letter's text or a path, not bytes. Decode them first, "
            "bytes.decode('utf-8'), or give the path of the file."
        )
    if not isinstance(source, str | os.PathLike):
        raise TypeError(
            f"read_letter takes the letter's text or the path of its file, not {source!r} "
            f"({type(source).__name__})."
        )
    path = _named_file(source) if isinstance(source, str) else Path(source)
    return read_text_of_letter(open_letter(path) if path is not None else str(source))


#: A text longer than this names no file.
_LONGEST_NAME = 1000


def _named_file(text: str) -> Path | None:
    """Return the file that a text names; None where it is a letter itself."""
    if len(text) > _LONGEST_NAME or "\n" in text or not text.strip().casefold().endswith(SUFFIXES):
        return None
    path = Path(text.strip())
    return path if os.path.exists(path) or " " not in text.strip() else None
