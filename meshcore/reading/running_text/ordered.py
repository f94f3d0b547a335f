"""How much is ordered: counts of rolls and pieces, and amounts by length, area or mass."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from meshcore.arrays import FloatArray, IntArray, ObjectArray
from meshcore.enquiry import PIECE
from meshcore.messages import Message, MessageLog
from meshcore.reading.columns import QuantityColumn
from meshcore.reading.texts import is_blank, read_text, tidy
from meshcore.reading.vocabulary import fold, words
from meshcore.units import METRES_PER_FOOT, METRES_PER_INCH

#: Units of an amount of cloth → what it measures, and its size in m, m² or kg. The pound is the
#: international one of 1959.
_AMOUNTS: Mapping[str, tuple[str, float]] = {
    "m": ("run", 1.0), "cm": ("run", 0.01), "dm": ("run", 0.1), "mm": ("run", 0.001),
    "km": ("run", 1000.0),
    "ft": ("run", METRES_PER_FOOT), "yd": ("run", 3 * METRES_PER_FOOT),
    "in": ("run", METRES_PER_INCH), "m2": ("area", 1.0), "ft2": ("area", METRES_PER_FOOT**2),
    "cm2": ("area", 1e-4), "in2": ("area", METRES_PER_INCH**2), "mm2": ("area", 1e-6),
    "kg": ("mass", 1.0), "g": ("mass", 1e-3), "t": ("mass", 1000.0), "lb": ("mass", 0.45359237),
    "oz": ("mass", 0.028349523125),
}  # fmt: skip
#: Units in which no cloth is ordered: beside a number of things they are the unit of its sizes
#: (common practice, no source).
_OF_SIZES = frozenset({"mm", "cm", "in", "mm2", "cm2", "in2"})
#: Words for one thing of whatever form: they tell nothing of it (common practice, no source).
_EACH = frozenset(
    {"ea", "each", "no", "nos", "off", "unit", "units", "item", "items", "only", "c62", "nr",
     "ud", "uds", "unidad", "unidades", "u", "h87", "unite", "unites"}
)  # fmt: skip
_COUNTED_FORM = {"roll": "roll", "strip": "strip", "piece": "piece", "disc": "piece",
                 "sheet": "piece"}  # fmt: skip
_NUMBER_FIRST = re.compile(r"^(?P<count>[\d.,' ]*\d)\s*(?P<rest>[^\d\s.,'].*)$")
_EACH_LENGTH = re.compile(
    r"(?:@|à|\bje\b|\bof\b|\bde\b|\bx\b|×|\bzu\b)\s*(?P<length>\d+(?:[.,]\d+)?\s*(?:m|lm|lfm|ft|'))"
    r"(?![\w²])",
    re.IGNORECASE,
)
#: Slack by which a whole number of rolls may be missed, as sizes are rounded [-] (our choice).
_WHOLE_SLACK = 1e-3


@dataclass(frozen=True, slots=True)
class Ordered:
    """What one cell, with the unit of measure beside it, says of how much is ordered.

    Parameters
    ----------
    count
        The text that holds the count.
    form
        Form that its words name, such as ``"full roll"``; empty if none.
    length
        Length of each that it names, as text; empty if none.
    measures, amount
        ``"run"``, ``"area"`` or ``"mass"`` with its size in m, m² or kg; empty for a count.
    trouble
        Why it cannot be read; empty if it can.
    """

    count: str
    form: str = ""
    length: str = ""
    measures: str = ""
    amount: float = 0.0
    trouble: str = ""


@lru_cache(maxsize=65536)
def read_ordered(cell: str, unit: str) -> Ordered:
    """Read how much a cell orders; `unit` is its unit of measure, or empty.

    Examples
    --------
    >>> read_ordered("200", "m2").measures, read_ordered("2", "rolls").form
    ('area', 'roll')
    >>> read_ordered("2 rolls @ 30 m", "").length, read_ordered("50 kg", "").measures
    ('30 m', 'mass')
    """
    plain = tidy(cell)
    matched = _NUMBER_FIRST.match(plain)
    rest = matched["rest"] if matched else ("" if re.search(r"\d", plain) else plain)
    own = _amount_unit(rest) if matched else ""
    of_unit = "" if is_blank(unit) else _amount_unit(unit)
    form = _form_in(plain) or _form_of_unit(unit)
    if of_unit in _OF_SIZES and not own:
        text = f'"{unit}" is a unit of sizes, and not of how many. Write it beside the sizes.'
        return Ordered(cell, form, trouble=text)
    if own and of_unit and own != of_unit:
        return Ordered(cell, trouble=f'"{plain}" and the unit "{unit}" disagree. Leave one out.')
    if (own or of_unit) and not (own == "" and rest.strip()):
        count = matched["count"] if matched and own else plain
        return _amount_of(cell, count, own or of_unit, form)
    if not is_blank(unit) and not of_unit and not _is_count(unit):
        known = fold(unit) in words("counted_unclear")
        why = "how many each holds is not said" if known else "no unit of measure that is known"
        text = f'"{unit}": {why}. Write how many rolls, strips or pieces.'
        return Ordered(cell, form, trouble=text)
    length = _EACH_LENGTH.search(plain)
    return Ordered(cell, form, length["length"] if length else "")


def _amount_of(cell: str, count: str, unit: str, form: str) -> Ordered:
    measures, factor = _AMOUNTS[unit]
    reading = read_text(count, "number", "quantity")
    if isinstance(reading, Message):
        return Ordered(cell, form, trouble=reading.text)
    return Ordered("1", form, "", measures, reading.value * factor)


@lru_cache(maxsize=4096)
def _amount_unit(text: str) -> str:
    """Return the unit of length, area or mass that a text names alone."""
    word = fold(text)
    for topic in ("unit_area", "unit_mass", "unit_length"):
        found = words(topic).get(word, "")
        if found in _AMOUNTS:
            return found
    return ""


def _is_count(unit: str) -> bool:
    word = fold(unit)
    return word in _EACH or word in words("counted") or word in words("form")


def _form_of_unit(unit: str) -> str:
    word = fold(unit)
    if not word or word in _EACH:
        return ""
    return words("form").get(word) or _COUNTED_FORM.get(words("counted").get(word, ""), "")


@lru_cache(maxsize=65536)
def _form_in(text: str) -> str:
    """Form that the words of a quantity name: "1 full roll", "10 Zuschnitte"."""
    folded = [fold(word) for word in re.findall(r"[^\W\d_][\w/\-]*|1/2", text)]
    for length in (3, 2, 1):
        for start in range(len(folded) - length + 1):
            phrase = " ".join(folded[start : start + length])
            if phrase not in _EACH and phrase in words("form"):
                return words("form")[phrase]
            if phrase not in _EACH and phrase in words("counted"):
                return _COUNTED_FORM.get(words("counted")[phrase], "")
    return ""


@dataclass(frozen=True, slots=True)
class Amounts:
    """Lines ordered by length, area or mass.

    Parameters
    ----------
    rows
        Their rows.
    measures
        What each is measured by.
    values
        How much, in m, m² or kg.
    texts
        As it was written, with its unit.
    """

    rows: IntArray
    measures: tuple[str, ...]
    values: FloatArray
    texts: tuple[str, ...]


def apply_amounts(
    amounts: Amounts,
    quantity: FloatArray,
    width: QuantityColumn,
    length: QuantityColumn,
    form: IntArray,
    log: MessageLog,
) -> tuple[FloatArray, QuantityColumn]:
    """Turn amounts into a number of rolls or strips and the length of each, or ask back.

    An amount without a length is one run of that length; with one, it is so many of them where
    they come out whole. A mass is asked back, and so is an area of pieces.
    """
    counts, lengths, given = quantity.copy(), length.values.copy(), length.given.copy()
    texts: ObjectArray = np.array(length.texts, dtype=object)
    rows = zip(amounts.rows.tolist(), amounts.measures, amounts.values.tolist(), amounts.texts,
               strict=True)  # fmt: skip
    for row, measures, value, text in rows:
        across = width.values[row] if measures == "area" else 1.0
        if measures == "mass" or form[row] == PIECE or not across > 0 or not value > 0:
            counts[row] = np.nan
            log.add([row], _asked_back(measures, text))
            continue
        run = value / across
        if not given[row]:
            lengths[row], given[row], texts[row] = run, True, f"{run:.6g} m"
            log.add([row], _one_run(text, run))
        elif not np.isnan(lengths[row]):
            whole = run / lengths[row]
            counts[row] = round(whole) if abs(whole - round(whole)) < _WHOLE_SLACK else np.nan
            log.add([row], _so_many(text, whole, lengths[row], not np.isnan(counts[row])))
    return counts, replace(length, values=lengths, given=given, texts=texts)


def _asked_back(measures: str, text: str) -> Message:
    why = {
        "mass": "a mass, and not how many rolls or metres it is",
        "area": "an area, and not how many rolls or pieces of which size",
        "run": "a length, and not how many pieces of which size",
    }[measures]
    mend = f"{why}. Write how many rolls, strips or pieces, and the length of each."
    return Message("quantity", text, mend, code="quantity.by_amount")


def _one_run(text: str, run: float) -> Message:
    said = f"taken as one run of {run:.6g} m. Write how many rolls of which length if it is not."
    return Message("quantity", text, said, "review", code="quantity.one_run")


def _so_many(text: str, count: float, length: float, whole: bool) -> Message:
    if whole:
        said = f"taken as {count:.0f} of {length:.6g} m each. Write their number if it is not."
        return Message("quantity", text, said, "review", code="quantity.from_amount")
    said = f"is {count:.4g} of {length:.6g} m each, no whole number. Write how many, and how long."
    return Message("quantity", text, said, code="quantity.amount_not_whole")
