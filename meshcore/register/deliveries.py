"""Lengths delivered, as people write them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from meshcore.messages import Message
from meshcore.reading.texts import is_blank, read_text
from meshcore.register.errors import RecordsError
from meshcore.register.words import NUMBER_OF_OURS, without_symbology

#: A comma between two digits is a decimal comma; any other ends a length, as a semicolon does.
_LENGTH_END = re.compile(r";|(?<!\d),|,(?=\s)")
_ROLLS = r"(?:rolls?|rollen?|rouleaux?|rollos?)\s*(?:[x×*@]|at|of|à|zu|je|de)?"
_TIMES = re.compile(rf"(\d{{1,3}})\s*(?:[x×*]|{_ROLLS})\s*(?=\S*\d)(.+)", re.IGNORECASE)
#: A label before a length, and a heat or batch behind it.
_LABELLED = re.compile(r"([^\W\d_][\w/-]*)\s*[:=]\s*(.+)")
#: A label as a scanner or a hand writes it, with nothing between it and the length.
_SCANNED = re.compile(rf"({NUMBER_OF_OURS})[:=]?\s+(.+)", re.IGNORECASE)
_HEAT = re.compile(
    r"(.+?)\s+(?:heat|batch|lot|schmelze|charge|coulée|colada|lote)\.?\s*(?:no\.?|nr\.?|n°)?"
    r"\s*[:#]?\s*(\S+(?:\s+\S+)*)",
    re.IGNORECASE,
)
_COUNT = re.compile(
    r"(\d{1,6})\s*(?:pcs?|pieces?|strips?|stück|stk|zuschnitte?|streifen|pièces?|bandes?|piezas?|"
    r"tiras?)\.?",
    re.IGNORECASE,
)
#: Rolls that one entry may stand for.
_MOST = 500


@dataclass(frozen=True, slots=True)
class Delivery:
    """One length delivered [m], with the label and the heat or batch where they are told.

    Of strips and pieces the count is told instead of a length.
    """

    length_m: float
    text: str
    label: str = ""
    heat: str = ""
    count: int = 0


def lengths_of(text: str) -> list[str]:
    """Part a list of lengths as it is typed on one line.

    Examples
    --------
    >>> lengths_of("30,5 m, 29,8 m")
    ['30,5 m', '29,8 m']
    """
    return [part.strip() for part in _LENGTH_END.split(text)]


def typed_deliveries(text: str, unit: str = "") -> list[Delivery]:
    """Read lengths as they are typed: ``3 x 100 ft``, ``98``, decimal commas.

    Parameters
    ----------
    text
        Apart by semicolons, lines, or commas with a space behind. A label may stand before a
        length and its heat behind it: ``R2026-000003: 98 ft heat H7``; strips and pieces are
        told by their count, ``R2026-000004: 12 pcs``.
    unit
        Of bare numbers: that of the order; without it they take the unit of the others.

    Raises
    ------
    RecordsError
        If one cannot be read; it names it.

    Examples
    --------
    >>> [round(one.length_m, 4) for one in typed_deliveries("2 x 100 ft; 98; 29,87 m")]
    [30.48, 30.48, 29.8704, 29.87]
    >>> [one.text for one in typed_deliveries("2 rolls at 100 ft; R2026-000003 98 ft")]
    ['100 ft', '100 ft', '98 ft']
    >>> [one] = typed_deliveries("R2026-000003: 98 ft heat H7")
    >>> one.label, round(one.length_m, 4), one.heat
    ('R2026-000003', 29.8704, 'H7')
    """
    every = (part for line in text.split("\n") for part in lengths_of(line))
    entries = [_entry(part) for part in every if not is_blank(part)]
    usual = unit or next((_unit(one.size) for one in entries if _unit(one.size)), "")
    return [_delivery(one, usual) for one in entries for _ in range(one.times)]


@dataclass(frozen=True, slots=True)
class _Entry:
    """What is typed of one delivery, apart."""

    text: str
    label: str
    times: int
    size: str
    heat: str


def _entry(part: str) -> _Entry:
    part = without_symbology(part)
    labelled = _LABELLED.fullmatch(part) or _SCANNED.fullmatch(part)
    label, rest = (labelled[1], labelled[2]) if labelled else ("", part)
    heated = _HEAT.fullmatch(rest)
    rest, heat = (heated[1], heated[2]) if heated else (rest, "")
    times, size = (1, rest) if _bare(rest) else _times(rest)
    return _Entry(part, label, times, size, heat)


def _delivery(one: _Entry, unit: str) -> Delivery:
    counted = _COUNT.fullmatch(one.size.strip())
    if counted:
        return Delivery(0.0, one.size, one.label, one.heat, int(counted[1]))
    return Delivery(_length(one.size, unit), one.size, one.label, one.heat)


def delivery_of(size: str, label: str = "", heat: str = "", unit: str = "") -> Delivery:
    """Return one delivery by its length or count as typed, of a label and of a heat if told.

    Raises
    ------
    RecordsError
        If it cannot be read.

    Examples
    --------
    >>> delivery_of("98", "R2026-000003", unit="ft").length_m
    29.8704
    """
    return _delivery(_Entry(size, label, 1, size, heat), unit)


def _bare(part: str) -> bool:
    return not _TIMES.fullmatch(part)


def _times(part: str) -> tuple[int, str]:
    found = _TIMES.fullmatch(part)
    count = int(found[1]) if found else 1
    if not 0 < count <= _MOST:
        raise RecordsError(f'delivered: read "{part}" — {count} rolls; from 1 to {_MOST} are due.')
    return count, found[2].strip() if found else part


def _unit(part: str) -> str:
    read = read_text(part, "length", "length")
    return "" if isinstance(read, Message) else read.unit


def _length(part: str, unit: str) -> float:
    read = read_text(part, "length", "length", unit)
    if isinstance(read, Message):
        raise RecordsError(str(read).replace("length:", "delivered:", 1))
    if read.value <= 0:
        raise RecordsError(f'delivered: read "{part}" — a length above zero is due.')
    return read.value
