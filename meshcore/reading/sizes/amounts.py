"""A text to one amount with its unit: a share, an angle, a mass, a temperature and the like."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from meshcore.messages import Message
from meshcore.reading import pair_refusals, refusals
from meshcore.reading.numbers import plausible
from meshcore.reading.numbers.choosing import pick
from meshcore.reading.numbers.lexing import Token, lex, plain
from meshcore.reading.numbers.numerals import Number
from meshcore.reading.numbers.phrases import doubt, with_more, without_tolerance
from meshcore.reading.numbers.readings import Hints, Reading
from meshcore.reading.refusals import about
from meshcore.reading.sizes.measures import Measure, parse
from meshcore.reading.vocabulary import phrases

#: Two amounts that say one thing twice agree this nearly [-].
_AGREEMENT = 0.01


@dataclass(frozen=True, slots=True)
class Amount:
    """What is needed to read an amount.

    Parameters
    ----------
    topic
        Table of the word files with its units.
    units
        Unit by its one name → (factor, what is added after).
    noun
        What it is called in a message.
    example
        How it is written.
    window
        Field whose plausible window decides between two readings.
    bare
        Units that a bare number may be in; the one that alone is plausible is taken.
    is_judged
        Whether an amount that is out of the window's reach is refused here; if not, it is judged
        where it is used.
    limit
        The limit, ``"most"`` or ``"least"``, that a text may state as well as the amount itself.
    """

    topic: str
    units: Mapping[str, tuple[float, float]]
    noun: str
    example: str
    window: str = ""
    bare: tuple[str, ...] = ()
    is_judged: bool = False
    limit: str = ""


_TOPICS = ("approximate", "limit", "range", "or", "and", "not", "unsure", "number", "part",
           "label", "aside")  # fmt: skip


def read_amount(
    text: str, amount: Amount, field: str, unit: str, hints: Hints
) -> Reading | Message:
    """Read one amount.

    Parameters
    ----------
    text, field, hints
        As for `meshcore.reading.texts.read_text`.
    amount
        What is read.
    unit
        Unit of a bare number by its one name; empty where the heading gives none.
    """
    whole = _with_sign(_AROUND_STROKE.sub("/", plain(text)))
    bare = without_tolerance(whole)
    tokens = _with_units(lex(bare, (amount.topic, *_TOPICS)), amount.topic)
    mend = f"Write it as {amount.example}."
    kept = _without_limit(tokens, amount.limit)
    read = doubt(bare, kept, mend) or _one(kept, amount, unit, hints, mend)
    if isinstance(read, Reading) and kept != tokens and read.said is None:
        read = replace(read, said=refusals.limit_taken())
    read = with_more(read, kept, whole != bare)
    return about(read, field, text) if isinstance(read, Message) else read


#: A stroke in a unit, with spaces about it: "mg / litre".
_AROUND_STROKE = re.compile(r"(?<=[a-zμ])\s*/\s*(?=[a-z])")


def _with_sign(text: str) -> str:
    """Put the sign for the word before a number: "minus 20 °C"."""
    for word in phrases("negative"):
        if text.startswith(f"{word} ") and text[len(word) + 1 :][:1].isdigit():
            return f"-{text[len(word) + 1 :]}"
    return text


def _with_units(tokens: tuple[Token, ...], topic: str) -> tuple[Token, ...]:
    """Take what stands behind a number and names a unit for nothing else: "300 C", "90 min"."""
    out: list[Token] = []
    for token in tokens:
        behind = bool(out) and out[-1].kind in ("number", "fraction")
        unit = token.means(topic)
        out.append(replace(token, senses=((topic, unit),)) if behind and unit else token)
    return tuple(out)


def _without_limit(tokens: tuple[Token, ...], limit: str) -> tuple[Token, ...]:
    """Drop "max." beside the one number of a text, where such a limit is as good as the amount."""
    alone = sum(t.kind in ("number", "fraction") for t in tokens) == 1
    if not (limit and alone):
        return tokens
    return tuple(t for t in tokens if limit not in t.meanings("limit"))


def _one(  # noqa: PLR0911 - one return for each thing that can be wrong
    tokens: tuple[Token, ...], amount: Amount, unit: str, hints: Hints, mend: str
) -> Reading | Message:
    """Read the one amount in a text, which may be said twice."""
    parsed = parse(tokens, amount.topic)
    if not parsed.measures or any(not m.numbers for m in parsed.measures):
        return refusals.unreadable(amount.noun, mend)
    if parsed.is_unit:
        return refusals.unit_unknown(parsed.unknown, "it", amount.example)
    if parsed.unknown:
        return refusals.not_understood(parsed.unknown, amount.noun, mend)
    if any(m.labels and amount.window not in m.labels for m in parsed.measures):
        return refusals.something_else(amount.noun, mend)
    if any(m.fraction != ("", "") and not m.sure and not m.unit for m in parsed.measures):
        return refusals.fraction_unclear(mend)
    if any(m.before == "-" for m in parsed.measures[1:]):
        return refusals.span(mend)
    if pair := _two_with_a_stroke(parsed.measures, amount):
        return pair_refusals.two_or_a_part(*pair)
    sized = [_sized(m, amount, unit, hints) for m in parsed.measures]
    first = sized[0]
    for measure, other in zip(parsed.measures, sized, strict=True):
        if isinstance(other, Message):
            return other
        if isinstance(first, Message):
            return first
        parted = measure.before in ("(", "/", "=") or other is first
        slack = max(first.half_width + other.half_width, _AGREEMENT * abs(first.value))
        one_unit = measure.before == "/" and other.unit == first.unit
        if not parted or one_unit or abs(other.value - first.value) > slack:
            return pair_refusals.two_amounts(mend)
    return first


#: Units that are parted by halving: "3/4 mile" is a fraction. Elsewhere "850/900 °C" is two.
_HALVED = frozenset({"in", "ft", "yd", "mi"})
#: How units are written in a message, where not as they are named.
_SHOWN_UNITS = {
    "C": "°C", "F": "°F", "a": "years", "month": "months", "decade": "decades", "d": "days",
    "µg/m3": "µg/m³", "mg/m3": "mg/m³", "g/m2": "g/m²", "kg/m2": "kg/m²", "oz/ft2": "oz/ft²",
    "1": "",
}  # fmt: skip


def _may_be_two(measure: Measure, amount: Amount) -> bool:
    """Whether a stroke between two numbers may part two amounts."""
    if measure.fraction == ("", "") or measure.sure:
        return False
    return measure.unit not in _HALVED or amount.topic != "unit_length"


def _two_with_a_stroke(measures: Sequence[Measure], amount: Amount) -> tuple[str, str] | None:
    """Return two amounts that a stroke parts, as in "850/900 °C"; None where none does."""
    for measure in measures:
        if _may_be_two(measure, amount):
            return _each_in_its_unit(measure.fraction, measure)
    if len(measures) == 2 and measures[1].before == "/" and not measures[0].unit:  # noqa: PLR2004 - one before the stroke, one behind
        each = (measures[0].text, measures[1].text.split()[0])
        return _each_in_its_unit(each, measures[1])
    return None


def _each_in_its_unit(numbers: tuple[str, str], measure: Measure) -> tuple[str, str]:
    unit = _SHOWN_UNITS.get(measure.unit, measure.unit)
    parting = "" if unit == "%" else " "
    first, second = (f"{number}{parting}{unit}".strip() for number in numbers)
    return first, second


def _sized(measure: Measure, amount: Amount, unit: str, hints: Hints) -> Reading | Message:
    known = measure.unit or unit
    if known and known not in amount.units:
        shown = _SHOWN_UNITS.get(known, known)
        return refusals.unit_unknown(shown, "it", amount.example)
    if known:
        return _in_unit(measure, known, amount, hints)
    read = [
        answer
        for each in amount.bare
        if not isinstance(answer := _in_unit(measure, each, amount, hints), Message)
    ]
    usual = [r for r in read if plausible.is_usual(amount.window, r.value)]
    if len(usual) == 1:
        return usual[0]
    return refusals.unit_missing(f"Write it as {amount.example}.")


def _in_unit(measure: Measure, unit: str, amount: Amount, hints: Hints) -> Reading | Message:
    factor, added = amount.units[unit]
    found = _picked(list(measure.numbers), factor, added, amount, hints, unit)
    if isinstance(found, Message):
        return found
    number, said = found
    value = number.value * factor + added
    if amount.is_judged and not plausible.is_possible(amount.window, value):
        known = plausible.window(amount.window)
        reason = f": {known.reason}" if known else ""
        return refusals.beyond_window(reason, amount.example)
    return Reading(value, number.half * factor, unit, said)


def _picked(
    numbers: list[Number], factor: float, added: float, amount: Amount, hints: Hints, unit: str
) -> tuple[Number, Message | None] | Message:
    """Pick a reading; where a unit has a nought of its own, the window is moved to it."""
    if not added or len(numbers) == 1:
        return pick(numbers, factor, amount.window, hints, unit, every_digit=True)
    fits = [n for n in numbers if plausible.is_usual(amount.window, n.value * factor + added,
                                                     n.half * 2 * factor)]  # fmt: skip
    if len(fits) == 1:
        return fits[0], None
    return pick(numbers, factor, "", hints, unit)
