"""Wire gauges as people type them."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_UP, Decimal

from meshcore.messages import Message
from meshcore.reading.numbers.lexing import lex, plain
from meshcore.reading.numbers.worded import with_number_words
from meshcore.reading.sizes.gauges import GAUGES, designation

#: Signs by which a text is a gauge at all; checked first, since most cells are plain sizes.
_MENTION = re.compile(
    r"(?<![a-z])(?:gauge|gage|gge|ga|gau|jauge|calibre|galga|u?s?swg|iswg|awg|bwg|stwg"
    r"|s\.w\.g|a\.w\.g|b\.w\.g|b\.? ?& ?s\.?|w\.? ?& ?m\.?|brown (?:&|and) sharpe"
    r"|washburn (?:&|and) moen|us steel wire|u\.s\. steel wire)(?![a-z])"
    r"|^(?:#|nos?\b|nr\b)\.?\s*\d|^\d+\s*(?:g\.?|#)$"
)
_SPELLINGS = re.compile(r"(?<![a-z])(?:gage|gge|gau|ga|g|jauge|calibre|galga|cal)(?![a-z])")
_INNER_DOTS = re.compile(r"(?<=[a-z])\.(?=[a-z])|(?<=[bw])\.(?= ?&)")
_MARKS = re.compile(r"(?<=[a-z])[./-]|-(?=[a-z])|[#(),°º]")
_FILLERS = re.compile(
    r"(?<![a-z])(?:gauge|wire|no|nos|nr|n|number|dia|diam|diameter|size)(?![a-z])"
)
_TWO_NUMBERS = re.compile(r"\d\s*(?:/|x|×|\*|\bby\b|\band\b|\s)\s*[1-9]")
_ZEROS = re.compile(r"^(\d)/0$")
_SYSTEMS = tuple((g, re.compile(rf"(?<![a-z])(?:{g.pattern})(?![a-z])")) for g in GAUGES)


def read_gauge(text: str, field: str) -> float | Message | None:
    """Read a wire gauge.

    Parameters
    ----------
    text
        As typed, such as ``"16 SWG"``, ``"28 ga AWG"`` or ``"#16 BWG"``.
    field
        The column it stands in, for the message.

    Returns
    -------
    The diameter [m]; None if the text is no gauge; a refusal if it is a gauge of no known system
    or size. "SWG" is the imperial standard gauge; the steel wire gauge is to be written out.

    Examples
    --------
    >>> read_gauge("16 SWG", "wire_diameter")
    0.0016256
    >>> read_gauge("0.025 in", "wire_diameter") is None
    True
    >>> print(read_gauge("16 ga", "wire_diameter"))
    wire_diameter: read "16 ga" — a gauge number without its system: 1.291 mm (American), \
1.626 mm (imperial), 1.588 mm (steel wire), 1.651 mm (Birmingham). Write "16 SWG", or the size \
in mm or in.
    """
    folded = text.casefold()
    if not _MENTION.search(folded):
        return None
    folded = _SPELLINGS.sub("gauge", _MARKS.sub(" ", _INNER_DOTS.sub("", folded)))
    named = [gauge for gauge, pattern in _SYSTEMS if pattern.search(" ".join(folded.split()))]
    number = _number(folded)
    if number is None:
        return Message(field, text, _unnumbered(folded), code="wire.gauge_number_unclear")
    if not named:
        return Message(field, text, _without_system(number), code="wire.gauge_ambiguous")
    if len(named) > 1:
        either = " or ".join(f"{designation(number)} {g.suffix}" for g in named)
        return Message(
            field,
            text,
            f"two gauge systems at once. Write {either}.",
            code="wire.gauge_two_systems",
        )
    gauge = named[0]
    diameter = gauge.diameters_m.get(number)
    if diameter is None:
        low, high = designation(min(gauge.diameters_m)), designation(max(gauge.diameters_m))
        return Message(
            field,
            text,
            f"no such size: the {gauge.name} gauge runs from {low} to {high}. "
            "Write the size in mm or in.",
            code="wire.gauge_size_unknown",
        )
    return diameter


def sizes_of(text: str) -> tuple[float, ...]:
    """Return the diameters [m] that a gauge number has in the systems that have it.

    Examples
    --------
    >>> [round(d * 1e3, 3) for d in sizes_of("16 ga")]
    [1.291, 1.626, 1.587, 1.651]
    """
    folded = _MARKS.sub(" ", _INNER_DOTS.sub("", text.casefold()))
    number = _number(_SPELLINGS.sub("gauge", folded))
    if number is None:
        return ()
    return tuple(g.diameters_m[number] for g in GAUGES if number in g.diameters_m)


def other_systems(text: str) -> tuple[tuple[float, str], ...]:
    """Return what a gauge may be too: diameter [m] and system.

    That is in the other systems than the one that is named, or in each where none is named.

    Examples
    --------
    >>> [(round(d * 1e3, 3), name) for d, name in other_systems("16 SWG")]
    [(1.291, 'American'), (1.587, 'steel wire'), (1.651, 'Birmingham')]
    >>> [name for _, name in other_systems("16 ga")]
    ['American', 'imperial', 'steel wire', 'Birmingham']
    >>> other_systems("1.6 mm")
    ()
    """
    read = read_gauge(text, "wire_diameter")
    if read is None or (isinstance(read, Message) and read.code != "wire.gauge_ambiguous"):
        return ()
    folded = _MARKS.sub(" ", _INNER_DOTS.sub("", text.casefold()))
    number = _number(_SPELLINGS.sub("gauge", folded))
    return tuple(
        (g.diameters_m[number], g.name)
        for g in GAUGES
        if number is not None and g.diameters_m.get(number, read) != read
    )


_WRITE = '"16 SWG", "16 AWG", "16 BWG" or "16 steel wire gauge", or the size in mm or in'


def _number(folded: str) -> int | None:
    """Gauge number that is left once the system and the filling words are taken away."""
    rest = " ".join(folded.split())
    for _, pattern in _SYSTEMS:
        rest = pattern.sub(" ", rest)
    rest = " ".join(_FILLERS.sub(" ", rest).split())
    zeros = _ZEROS.match(rest)
    if zeros:
        return 1 - int(zeros[1])
    if re.fullmatch(r"0+", rest):
        return 1 - len(rest)
    return int(rest) if re.fullmatch(r"[1-9]\d?", rest) else _worded(rest)


def _worded(rest: str) -> int | None:
    """Read a gauge number in words, such as "twenty-two"."""
    tokens = with_number_words(lex(plain(rest), ("number",)), "")
    alone = len(tokens) == 1 and tokens[0].kind == "number" and not any(map(str.isdigit, rest))
    return int(tokens[0].numbers[0].value) if alone and rest.isascii() else None


def _unnumbered(folded: str) -> str:
    if _TWO_NUMBERS.search(folded):
        return (
            "two gauges are not square mesh, which has one wire in warp and shute. Write one, or "
            "ask for a quotation by hand."
        )
    return f"not read as a gauge. Write it as {_WRITE}."


def _millimetres(metres: float) -> str:
    """Size to a micrometre, halves up, as the printed tables round."""
    micrometres = Decimal(repr(round(metres * 1e6, 6))).quantize(Decimal(1), ROUND_HALF_UP)
    return f"{micrometres / 1000:.3f}"


def _without_system(number: int) -> str:
    meanings = [
        f"{_millimetres(g.diameters_m[number])} mm ({g.name})"
        for g in GAUGES
        if number in g.diameters_m
    ]
    if not meanings:
        return f"a gauge number that no system has. Write it as {_WRITE}."
    suffix = "SWG" if number in GAUGES[1].diameters_m else "AWG"
    return (
        f"a gauge number without its system: {', '.join(meanings)}. "
        f'Write "{designation(number)} {suffix}", or the size in mm or in.'
    )


#: How a heading names a gauge that is of no one system.
SYSTEMLESS = "gauge"


def is_system(unit: str) -> bool:
    """Whether a heading's unit is a wire gauge: "SWG", "gauge".

    Examples
    --------
    >>> is_system("SWG"), is_system("Ga."), is_system("mm")
    (True, True, False)
    """
    return bool(_MENTION.search(unit.casefold())) and not any(c.isdigit() for c in unit)
