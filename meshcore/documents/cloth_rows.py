"""A line of cloth in words: heading, specification, sizes in the buyer's units, open points."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from meshcore.documents.facts import ClothLine, Doubt
from meshcore.documents.wording import Words
from meshcore.units import METRES_PER_INCH

_PERCENT = 100.0
_METRIC = frozenset({"mm", "cm", "m"})
_UNITS = _METRIC | {"in", "ft", "x"}
#: Weaves of a count that a metric buyer tells by the centimetre [m].
_CM = 1e-2
#: Cloth of fewer than two meshes an inch goes by its aperture: common practice, no source [m].
_COARSE_M = METRES_PER_INCH / 2


@dataclass(frozen=True, slots=True)
class Row:
    """A line of a document's table.

    Parameters
    ----------
    label, heading, details
        What it is called, what it is, and more of it.
    quantity, unit_price, amount
        As they are printed.
    numbers
        The same for machines: quantity, unit price and amount in minor units; None where none.
    offer
        ``one of`` for a choice, ``option`` for what is offered beside, ``instead`` for what is
        offered instead; in no sum.
    unit_places
        Decimal places of the unit price beyond those of the currency.
    """

    label: str
    heading: str
    details: tuple[str, ...]
    quantity: str = ""
    unit_price: str = ""
    amount: str = ""
    numbers: tuple[float, int, int] | None = None
    offer: str = ""
    unit_places: int = 0


#: What machines are told of an offer, by its role.
_OFFERS = {"beside": "option", "choice": "one of", "instead": "instead"}


def cloth_rows(say: Words, lines: Iterable[ClothLine], currency: str, digits: int) -> Iterable[Row]:
    """Write lines of cloth out; tolerances, which go by form, stand among the terms."""
    for line in lines:
        yield Row(
            label=line.label,
            heading=cloth_heading(say, line),
            details=tuple(_details(say, line, currency, digits)),
            quantity=quantity_text(say, line),
            unit_price=say.money(line.unit_minor, digits),
            amount=say.money(line.amount_minor, digits),
            numbers=(line.quantity, line.unit_minor, line.amount_minor),
            offer=_OFFERS.get(line.role, ""),
        )


def quantity_text(say: Words, line: ClothLine) -> str:
    """Return how many, and of what form."""
    return f"{say.number(line.quantity, 0)} {say.form(line.form, line.quantity != 1)}"


def cloth_heading(say: Words, line: ClothLine) -> str:
    """Return the cloth in one sentence: alloy, count, wire; coarse cloth goes by its aperture."""
    wire = say.say("cloth", "wire", size=say.fine(line.wire_m, line.inches_first))
    alloy = alloy_name(say, line.alloy)
    name = alloy[:1].upper() + alloy[1:]
    if line.pitch_m > _COARSE_M:
        size = say.fine(line.aperture_m, line.inches_first)
        return f"{name}, {say.say('cloth', 'aperture', size=size)}, {wire}"
    return f"{name}, {count_text(say, line)}, {wire}"


def count_text(say: Words, line: ClothLine) -> str:
    """Return the count by the length that the buyer counts by, with the other beside it.

    Where no count was given, the units of the sizes decide.
    """
    by_inch = line.counted_by == "in" or (not line.counted_by and line.inches_first)
    inch = say.number(METRES_PER_INCH / line.pitch_m, 3, trim=True)
    cm = say.number(_CM / line.pitch_m, 3, trim=True)
    if by_inch:
        return f"{say.say('cloth', 'mesh', n=inch)} ({say.say('cloth', 'also_metric', n=cm)})"
    return f"{say.say('cloth', 'mesh_metric', n=cm)} ({say.say('cloth', 'also_inch', n=inch)})"


def alloy_name(say: Words, designation: str) -> str:
    """Return the trade's word for an alloy where it has one, else its designation.

    Examples
    --------
    >>> from meshcore.documents.wording import words
    >>> alloy_name(words("de"), "brass 65/35"), alloy_name(words("de"), "316L")
    ('Messing 65/35', '316L')
    """
    first, space, rest = designation.partition(" ")
    whole = say.among("alloys", designation)
    return whole if whole != designation else say.among("alloys", first) + space + rest


def specification(say: Words, line: ClothLine) -> list[str]:
    """Return the rest of the specification, a sentence each."""
    coarse = line.pitch_m > _COARSE_M
    size = say.fine(line.aperture_m, line.inches_first)
    aperture = "" if coarse else say.say("cloth", "aperture", size=size)
    share = say.number(line.open_area * _PERCENT, 1)
    weave = say.say("cloth", "weave", weave=say.among("weaves", line.weave))
    numbers = [
        say.say("cloth", "alloy_numbers", uns=line.uns) if line.uns else "",
        _standard_number(say, line.en),
    ]
    named = ", ".join(text for text in numbers if text)
    parts = [weave, aperture, say.say("cloth", "open_area", n=share)]
    first = ", ".join(part for part in parts if part)
    return [f"{first} · {named}" if named else first, sizes_text(say, line)]


def services_text(say: Words, line: ClothLine) -> tuple[str, ...]:
    """Return what is done to the cloth; nothing where nothing is."""
    if not line.services:
        return ()
    listed = ", ".join(say.among("services", name) for name in line.services)
    return (say.say("cloth", "services", list=listed),)


def described(say: Words, line: ClothLine) -> tuple[str, ...]:
    """Return what a line is: cloth, specification, sizes, and what is done to it."""
    return (cloth_heading(say, line), *specification(say, line), *services_text(say, line))


def _standard_number(say: Words, number: str) -> str:
    """Return a number of the European standards, which for aluminium begins with EN itself."""
    return (
        number
        if not number or number.startswith("EN")
        else say.say("cloth", "standard_numbers", en=number)
    )


def sizes_text(say: Words, line: ClothLine) -> str:
    """Return form and sizes, in the buyer's units with the other beside them."""
    name = say.form(line.form, False)
    if line.form == "piece":
        # What is typed stands, its names of shapes and sizes in the language; the box beside it.
        metric = bool(_METRIC & _letters(line.sizes_text))
        box = " × ".join(say.one_unit(s, metric) for s in (line.width_m, line.length_m))
        over_all = say.say("cloth", "over_all", size=box) if line.width_m else ""
        sizes = "; ".join(text for text in (_shape_text(say, line), over_all) if text)
        return f"{name[:1].upper()}{name[1:]}{say.held['numbers']['colon']}{sizes}"
    width = say.width(line.width_m, line.inches_first)
    return f"{name} {width} × {say.length(line.length_m, line.inches_first)}".capitalize()


def _shape_text(say: Words, line: ClothLine) -> str:
    """Return a piece's sizes with the words of shapes in the language; others stay as typed."""
    return _shape_words(say).sub(
        lambda word: say.among("shapes", word[0].casefold()), line.sizes_text
    )


def _shape_words(say: Words) -> re.Pattern[str]:
    names = sorted(say.held["shapes"], key=len, reverse=True)
    return re.compile(r"\b(?:" + "|".join(map(re.escape, names)) + r")\b", re.IGNORECASE)


#: What parts the cells of a text that was asked, and services within one.
_PARTED = " · "


def asked_in(say: Words, asked: str) -> str:
    """Return what was asked with the trade's own words in the language; the rest as typed.

    A form, a weave, an alloy, services and sizes of a shape are words of the list that is filled
    in, which in an office are often English; a remark is the buyer's own and stays.

    Examples
    --------
    >>> from meshcore.documents.wording import words
    >>> asked_in(words("de"), "10 mesh · carbon steel · rolls · 48 in · slit, clean · no cores")
    '10 mesh · Kohlenstoffstahl · Rolle · 48 in · längsgeteilt, entfettet · no cores'
    """
    return _PARTED.join(_cell_in(say, cell) for cell in asked.split(_PARTED))


def _cell_in(say: Words, cell: str) -> str:
    word = " ".join(cell.casefold().split())
    for name in say.held["forms"]:
        if word in (name, f"{name}s"):
            return say.form(name, False)
    for section in ("weaves", "alloys", "shapes"):
        if word in say.held[section]:
            return say.among(section, word)
    names = [name.strip() for name in word.split(",")]
    if all(name in say.held["services"] for name in names):
        return ", ".join(say.among("services", name) for name in names)
    if not _letters(_shape_words(say).sub(" ", cell)) - _UNITS:
        return _shape_words(say).sub(lambda one: say.among("shapes", one[0].casefold()), cell)
    return cell


def _letters(text: str) -> set[str]:
    """Return what is written in letters alone, such as units."""
    return set("".join(s if s.isalpha() else " " for s in text.casefold()).split())


def _details(say: Words, line: ClothLine, currency: str, digits: int) -> Iterable[str]:
    theirs = [
        say.say("cloth", "your_number", text=line.reference) if line.reference else "",
        _wanted_by(say, line) if line.wanted_by else "",
    ]
    if any(theirs):
        yield " · ".join(text for text in theirs if text)
    if line.role != "asked":
        yield _role(say, line)
    yield from specification(say, line)
    yield from services_text(say, line)
    if line.breaks:
        listed = "; ".join(
            say.say("cloth", "break", quantity=say.number(one.quantity, 0),
                    price=say.money(one.unit_minor, digits, currency))
            for one in line.breaks
        )  # fmt: skip
        yield say.say("cloth", "breaks", list=listed)
    if line.not_included:
        yield say.say("cloth", "not_included", list=quotes(say, line.not_included))
    if line.to_confirm:
        listed = "; ".join(dict.fromkeys(_doubt(say, one) for one in line.to_confirm))
        yield say.say("cloth", "to_confirm", list=listed)


def _role(say: Words, line: ClothLine) -> str:
    """Tell what an offer stands for: beside which line, one of which, or instead of what."""
    if line.role == "instead":
        return say.say("cloth", "instead", text=asked_in(say, line.asked))
    if not line.beside:
        return say.say("cloth", "option")
    return say.say("cloth", line.role, text=line.beside)


def _wanted_by(say: Words, line: ClothLine) -> str:
    return say.say("cloth", "late" if line.late else "wanted_by", text=line.wanted_by)


def _doubt(say: Words, doubt: Doubt) -> str:
    field = say.among("fields", doubt.field)
    return f"{field} {say.quoted(doubt.read)}" if doubt.read else field


def quotes(say: Words, texts: Iterable[str]) -> str:
    """Return what others typed, in quotation marks; services by their names in the language."""
    known = say.held["services"]
    return ", ".join(str(known[text]) if text in known else say.quoted(text) for text in texts)
