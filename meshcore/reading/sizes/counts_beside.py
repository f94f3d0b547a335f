"""What stands beside a mesh count in one cell: its wire, its opening, its weave."""

from __future__ import annotations

import re

from meshcore.enquiry import WEAVES
from meshcore.messages import Message
from meshcore.reading.numbers.lexing import lex
from meshcore.reading.numbers.readings import NO_HINTS, Reading, Stated
from meshcore.reading.refusals import about
from meshcore.reading.sizes.gauge_texts import read_gauge
from meshcore.reading.sizes.lengths import read_length
from meshcore.reading.vocabulary import fold, words
from meshcore.units import METRES_PER_INCH

#: A count of meshes, and what stands behind it: "10 mesh x 0.025 in", "3x3 .063", "10 M 0.6 mm".
_COUNT_AND_MORE = re.compile(
    r"(?P<count>(?P<first>\d+(?:[.,]\d+)?)"
    r"(?:(?:\s*×\s*(?P=first))?\s*-?\s*(?:mesh|meshes|m(?![a-z])|#)|\s*×\s*(?P=first)(?=\s)))"
    r"\s*(?P<sign>[×x/,@]|)\s*(?P<rest>\S.*)"
)
#: Thickest wire that stands behind a count [m]; "4 mesh / 25 mm" says what the count is per.
_THICKEST_BEHIND_M = 0.005
#: A size with no nought before its point is inches, as Americans write wire (common practice).
_POINT_FIRST = re.compile(r"(?<!\d)\.\d{2,4}")
#: Wire over pitch that square mesh is woven of, widely taken; by it a bare size is in one unit
#: alone (common practice, no source).
_LEAST_WIRE, _GREATEST_WIRE = 0.06, 0.65
#: Shares of the pitch that an opening in brackets has [-]; less is a wire.
_LEAST_OPENING = 0.62


def with_its_size(bare: str) -> tuple[str, Stated | Message | None]:
    """Part a count from the wire behind it.

    Parameters
    ----------
    bare
        Plain text.

    Returns
    -------
    The count, and the wire; nothing where none is, and a refusal where it is a gauge of no one
    system.

    Examples
    --------
    >>> with_its_size("8 mesh 22 swg")[1].text, with_its_size("3 × 3 .063")[1].text
    ('0.7112 mm', '1.6002 mm')
    >>> with_its_size("20 mesh fil 0,4")[1].text, with_its_size("4 mesh / 25 mm")
    ('0.4 mm', ('4 mesh / 25 mm', None))
    """
    found = _COUNT_AND_MORE.fullmatch(bare)
    if found is None:
        return bare, None
    rest = found["rest"]
    gauge = read_gauge(rest, "wire_diameter")
    if isinstance(gauge, Message):
        return bare, about(gauge, "mesh_count", bare)
    if gauge is not None:
        return found["count"], _wire(gauge)
    pitch = METRES_PER_INCH / float(found["first"].replace(",", "."))
    size = _size_of_wire(rest, pitch)
    if size is None or size > _THICKEST_BEHIND_M:
        return bare, None
    return found["count"].strip(), _wire(size)


def _wire(size: float) -> Stated:
    return Stated("wire_diameter", size, f"{size * 1e3:.10g} mm")


def _size_of_wire(text: str, pitch: float) -> float | None:
    """Return the size that a text gives of a wire [m]; None where it gives none."""
    first = lex(text, ("label",))[:1]
    if not first or not (first[0].kind in ("number", "fraction") or first[0].senses):
        return None
    if _POINT_FIRST.match(text):
        read = read_length(text, "wire_diameter", "in", NO_HINTS)
        return read.value if isinstance(read, Reading) else None
    each = [read_length(text, "wire_diameter", unit, NO_HINTS) for unit in ("", "mm", "in")]
    sizes = {round(r.value, 9) for r in each if isinstance(r, Reading)}
    if isinstance(each[0], Reading) and each[0].said is None:
        return each[0].value
    woven = [size for size in sizes if _LEAST_WIRE <= size / pitch <= _GREATEST_WIRE]
    return woven[0] if len(woven) == 1 else None


def aperture_beside(text: str, count: float) -> Stated | None:
    """Return the opening that stands in brackets behind a count; None where none does.

    Parameters
    ----------
    text
        What stands in the brackets.
    count
        The count [1/m].

    Examples
    --------
    >>> aperture_beside("74 micron", 200 / 0.0254).text
    '0.074 mm'
    >>> aperture_beside("0.63 mm", 10 / 0.0254) is None
    True
    """
    tokens = lex(text, ("label", "unit_length"))
    labels = {label for token in tokens for label in token.meanings("label")}
    if not any(token.means("unit_length") for token in tokens) or "pitch" in labels:
        return None
    read = read_length(text, "aperture", "", NO_HINTS)
    if isinstance(read, Message) or read.also or read.value * count >= 1.0:
        return None
    named = "aperture" in labels or read.unit == "µm"
    if not named and read.value * count < _LEAST_OPENING:
        return None
    return Stated("aperture", read.value, f"{read.value * 1e3:.10g} mm")


#: Letters of the shortest word for a weave that stands behind a count; "ft" is also a unit.
_SHORTEST_WEAVE = 4


def with_its_weave(bare: str) -> tuple[str, Stated] | None:
    """Part a count from the weave behind it; None where none is.

    Examples
    --------
    >>> with_its_weave("10 mesh twill")[1].text, with_its_weave("10 mesh")
    ('twilled', None)
    """
    words_behind = bare.replace(",", " , ").split()
    for place in range(1, len(words_behind)):
        said = fold(" ".join(words_behind[place:]))
        named = words("weave").get(said, "")
        if named in WEAVES and len(said) >= _SHORTEST_WEAVE and said[0].isalpha():
            count = " ".join(words_behind[:place]).replace(" , ", ",").rstrip(" ,;")
            return count, Stated("weave", 0.0, named)
    return None
