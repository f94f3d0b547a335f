"""Words by which a line is found: as they stand, and sizes in whatever unit they are typed."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator

from meshcore.messages import Message
from meshcore.reading.texts import read_text
from meshcore.units import METRES_PER_INCH

_PARTS = re.compile(r"[^\W_]+")
#: A size is found at this step [m], a count at this step [per in]: finer than either is typed.
_SIZE_STEP_M, _COUNT_STEP = 1e-6, 1e-3
#: Chunks that one size may be typed in, as "1 1/2 in" or "10 / in".
_MOST_CHUNKS = 3
#: Signs that a word is kept at; longer ones are no words.
_LONGEST = 60


def folded(text: str) -> str:
    """Return a number or name as one word: letters and digits alone, case and accents aside.

    Examples
    --------
    >>> folded("E-2207/1"), folded("Müller & Söhne"), folded("1.4404")
    ('e22071', 'mullersohne', '14404')
    """
    plain = unicodedata.normalize("NFKD", text.casefold())
    return "".join(sign for sign in plain if sign.isalnum())[:_LONGEST]


#: A number of ours as it is printed: its kind, the year, and six digits.
NUMBER_OF_OURS = r"[A-Z]\d{4}-\d{6}"
#: The same as it may be typed or scanned, among other signs: letters for digits, no dash.
_AMONG_OTHERS = re.compile(
    r"(?<![A-Za-z0-9])([A-Za-z])[ -]?([\doil]{4})[ -]?([\doil]{6})(?![A-Za-z0-9])", re.IGNORECASE
)
#: What a scanner puts before what it read, to tell the kind of code: "]Q1" of a QR code
#: (symbology identifiers of ISO/IEC 15424; from memory).
_SYMBOLOGY = re.compile(r"^\s*\][A-Za-z]\w")


def without_symbology(text: str) -> str:
    """Return what was scanned without the scanner's own sign before it.

    Examples
    --------
    >>> without_symbology("]Q1R2026-000003"), without_symbology("R2026-000003")
    ('R2026-000003', 'R2026-000003')
    """
    return _SYMBOLOGY.sub("", text)


def numbers_among(text: str) -> list[str]:
    """Return the numbers of ours that stand in a text among whatever else.

    Examples
    --------
    >>> numbers_among("]Q1R2026-000003 %% a2O26-OOOO01; R2026-0000031")
    ['R2026-000003', 'A2026-000001']
    """
    return list(
        dict.fromkeys(
            f"{kind.upper()}{year}-{count}"
            for kind, *digits in _AMONG_OTHERS.findall(without_symbology(text))
            for year, count in ([part.casefold().translate(_AS_DIGITS) for part in digits],)
        )
    )


#: Letters of a number of ours that are taken for digits.
_AS_DIGITS = str.maketrans("oil", "011")
#: Digits of the year in it.
_YEAR = 4
#: Digits of a number within its year.
_DIGITS = 6


def likely_number(text: str) -> str:
    """Return the number of ours that was likely meant; empty where none was.

    Examples
    --------
    >>> likely_number("r2O26-3"), likely_number("R2026-0000O3"), likely_number("BW 12")
    ('R2026-000003', 'R2026-000003', '')
    """
    plain = text.strip().casefold()
    year, _, count = plain[1:].translate(_AS_DIGITS).replace(" ", "-").partition("-")
    if not (plain[:1].isalpha() and len(year) == _YEAR and f"{year}{count}".isdecimal() and count):
        return ""
    return f"{plain[:1].upper()}{year}-{count.lstrip('0').zfill(_DIGITS)}"


def plain_words(text: str) -> list[str]:
    """Return the words of a text, each also in its parts where signs stand within it.

    Examples
    --------
    >>> plain_words("E-2207/1, 316L roll")
    ['e22071', 'e', '2207', '1', '316l', 'roll']
    """
    found: list[str] = []
    for chunk in text.split():
        whole = folded(chunk)
        parts = [folded(part) for part in _PARTS.findall(chunk)]
        found += [whole] if len(parts) == 1 else [whole, *parts]
    return [word for word in found if word]


def size_word(metres: float) -> str:
    """Return the word of a size.

    Examples
    --------
    >>> size_word(1.2192)
    'l1219200'
    """
    return f"l{round(metres / _SIZE_STEP_M)}"


def count_word(pitch_m: float) -> str:
    """Return the word of a mesh count, from its pitch.

    Examples
    --------
    >>> count_word(0.00254)
    'c10000'
    """
    return f"c{round(METRES_PER_INCH / pitch_m / _COUNT_STEP)}"


def measures(chunks: list[str]) -> Iterator[tuple[int, int, str]]:
    """Find sizes and counts with their units among the chunks of a text.

    Yields
    ------
    First chunk, number of chunks, and the word of the size.

    Examples
    --------
    >>> list(measures("10 mesh 316L 48 in".split()))
    [(0, 2, 'c10000'), (3, 2, 'l1219200')]
    """
    start = 0
    while start < len(chunks):
        taken = 1
        if chunks[start][0].isdigit():
            for many in range(min(_MOST_CHUNKS, len(chunks) - start), 0, -1):
                text = " ".join(chunks[start : start + many])
                if many > 1 and not _ends_in_unit(chunks[start + many - 1]):
                    continue
                if word := _measure(text):
                    yield start, many, word
                    taken = many
                    break
        start += taken


def _ends_in_unit(chunk: str) -> bool:
    return not chunk[-1].isdigit()


def _measure(text: str) -> str:
    if text.isdigit():
        return ""
    count = read_text(text, "count", "mesh_count")
    if not isinstance(count, Message) and count.value > 0:
        return count_word(1.0 / count.value)
    # What is plausible for a wire is not for a roll's length; whichever can be meant will do.
    for field in ("wire_diameter", "aperture", "width", "length"):
        size = read_text(text, "length", field)
        if not isinstance(size, Message) and size.value > 0:
            return size_word(size.value)
    return ""


def line_words(texts: Iterable[str], sizes_m: Iterable[float], pitches_m: Iterable[float]) -> str:
    """Return all words of a line, apart by spaces.

    Parameters
    ----------
    texts
        What is written in the line, and the names of its alloy.
    sizes_m, pitches_m
        Its sizes, and pitches of its mesh [m].
    """
    words = [word for text in texts for word in plain_words(text)]
    words += [size_word(size) for size in sizes_m] + [count_word(pitch) for pitch in pitches_m]
    return " ".join(dict.fromkeys(words)) or "x"
