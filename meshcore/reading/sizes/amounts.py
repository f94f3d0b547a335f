"""A text to one amount with its unit: a share, an angle, a mass, a temperature and the like."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from meshcore.messages import Message
from meshcore.reading import refusals
from meshcore.reading.numbers import plausible
from meshcore.reading.numbers.choosing import pick
from meshcore.reading.numbers.lexing import Token, lex, plain
from meshcore.reading.numbers.numerals import Number
from meshcore.reading.numbers.phrases import doubt, with_more, without_tolerance
from meshcore.reading.numbers.readings import Hints, Reading
from meshcore.reading.refusals import about
from meshcore.reading.sizes.measures import Measure, parse

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
    whole = plain(text)
    bare = without_tolerance(whole)
    tokens = lex(bare, (amount.topic, *_TOPICS))
    mend = f"Write it as {amount.example}."
    kept = _without_limit(tokens, amount.limit)
    read = doubt(bare, kept, mend) or _one(kept, amount, unit, hints, mend)
    if isinstance(read, Reading) and kept != tokens and read.said is None:
        read = replace(read, said=refusals.limit_taken())
    read = with_more(read, kept, whole != bare)
    return about(read, field, text) if isinstance(read, Message) else read


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
            return refusals.two_amounts(mend)
    return first


def _sized(measure: Measure, amount: Amount, unit: str, hints: Hints) -> Reading | Message:
    known = measure.unit or unit
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
