"""A text to a number of things: rolls, pieces, dozens; and what else such a cell states."""

from __future__ import annotations

import re
from dataclasses import replace

from meshcore.messages import Message
from meshcore.reading import count_refusals, refusals
from meshcore.reading.numbers.choosing import choose, pick
from meshcore.reading.numbers.lexing import Token, lex, plain, tidy
from meshcore.reading.numbers.numerals import NUMBER, Number
from meshcore.reading.numbers.phrases import doubt, with_more, without_tolerance
from meshcore.reading.numbers.readings import Hints, Reading, Stated
from meshcore.reading.numbers.worded import with_number_words
from meshcore.reading.refusals import about
from meshcore.reading.sizes.measures import parse
from meshcore.reading.sizes.totals import agrees, without_total
from meshcore.reading.unit_words import unit_factor
from meshcore.units import LENGTHS_M

TOPICS = (
    "counted", "counted_unclear", "multiple", "number", "part", "approximate", "limit", "range",
    "or", "and", "not", "unsure", "label", "unit_length", "unit_area", "unit_mass", "form",
    "per", "unit_time", "aside",
)  # fmt: skip
_MEND = count_refusals.HOW_MANY
#: How English numbers the places of a row; "1 St." is one piece in German.
_ORDINAL = re.compile(r"\d*1st")
#: Signs between a number and what it counts.
_LINKS = frozenset({"x", "-", ".", "×"})
#: Units of measure that a quantity is asked in at times, and what they say.
_MEASURED = ("unit_length", "unit_area", "unit_mass")


def read_quantity(text: str, field: str, unit: str, hints: Hints) -> Reading | Message:
    """Read a number of things.

    Parameters
    ----------
    text, field, unit, hints
        As for `meshcore.reading.texts.read_text`.
    """
    whole, total = without_total(_count_first(plain(text)))
    bare = without_tolerance(whole)
    tokens = with_number_words(lex(bare, TOPICS), "counted")
    read = (
        _for_each(bare)
        or doubt(bare, tokens, _MEND)
        or _understood(bare, tokens, field, unit, hints)
    )
    if isinstance(read, Reading) and _ORDINAL.fullmatch(tidy(text)):
        read = replace(read, said=count_refusals.ordinal())
    if isinstance(read, Reading) and total:
        read = _held_against(total, read, hints)
    read = with_more(read, tokens, bare != whole)
    return about(read, field, text) if isinstance(read, Message) else read


#: A length before its number: "25 m × 2", "90 m in 3 rolls".
_LENGTH_TIMES = re.compile(rf"(?P<size>{NUMBER}\s*[^\W\d_]+)\s*×\s*(?P<count>\d+)")
_LENGTH_IN = re.compile(
    rf"(?P<size>{NUMBER}\s*[^\W\d_]+)\s+(?:in|en|auf)\s+(?P<count>\d+\s+[^\W\d]+)"
)


def _count_first(bare: str) -> str:
    """Put the number before the length that it is of, as most write it."""
    found = _LENGTH_TIMES.fullmatch(bare)
    if found and _is_length(found["size"]):
        return f"{found['count']} × {found['size']}"
    found = _LENGTH_IN.fullmatch(bare)
    return f"{found['count']} = {found['size']}" if found and _is_length(found["size"]) else bare


def _is_length(text: str) -> bool:
    tokens = lex(text, ("unit_length",))
    return len(tokens) == 2 and bool(tokens[1].means("unit_length"))  # noqa: PLR2004 - a number and its unit


#: Three numbers or more with strokes between: "10/20/50".
_STROKED = re.compile(r"\d+(?:\s*/\s*\d+){2,}")
_SPAN = re.compile(r"\d+\s*-\s*\d+(?![\d.,])(?!\s*-)")


def _for_each(bare: str) -> Message | None:
    """Refuse several numbers: with strokes between, as prices are asked by quantity, or a range."""
    if _SPAN.match(bare):
        return refusals.span(_MEND)
    return count_refusals.several_quantities() if _STROKED.fullmatch(bare) else None


def _held_against(total: str, read: Reading, hints: Hints) -> Reading | Message:
    """Hold a total length against the number and the length of each, or find that length by it."""
    whole = _total_metres(total, hints)
    if whole is None or not read.value > 0:
        return refusals.not_understood(total, "a number", _MEND)
    each = next((stated for stated in read.also if stated.field == "length"), None)
    if each is None:
        one = whole / read.value
        if "length" not in hints.takes:
            return refusals.states_more("length", f"{one:.6g} m")
        return replace(read, also=(*read.also, Stated("length", one, f"{one:.10g} m")))
    if not agrees(whole, read.value * each.value):
        return count_refusals.total_differs(total, f"{read.value:g} × {each.text}")
    return read


def _total_metres(text: str, hints: Hints) -> float | None:
    """Metres of a total length; None where it is none, or may be two."""
    parsed = parse(lex(text, TOPICS))
    if parsed.unknown or len(parsed.measures) != 1 or not parsed.measures[0].unit:
        return None
    sized = choose(parsed.measures[0], "length", "", hints)
    return None if sized.why else sized.value


def _understood(
    bare: str, tokens: tuple[Token, ...], field: str, unit: str, hints: Hints
) -> Reading | Message:
    if "+" in bare.replace("e+", "e") or ";" in bare:
        return count_refusals.several_quantities()
    if unit and unit_factor(unit, "number") is None and not _multiple_of(unit):
        return count_refusals.asked_in(unit)
    trimmed = _without_names(list(tokens))
    counted = _count(trimmed)
    if isinstance(counted, Message):
        return counted
    number, rest = counted
    return _with_rest(number, rest, field, unit, hints)


def _multiple_of(unit: str) -> float:
    """How many one unit is: 2 for pairs, 12 for dozens; 0 where it is none of these."""
    tokens = lex(plain(unit), ("multiple",))
    return float(tokens[0].means("multiple") or 0) if len(tokens) == 1 else 0.0


def _without_names(tokens: list[Token]) -> list[Token]:
    """Drop "qty", "approx" and what stands about a number and says nothing of it."""
    kept = [
        t
        for t in tokens
        if not (t.means("label") == "quantity" or (t.means("approximate") and not t.means("part")))
    ]
    while kept and kept[0].text in (":", "=", "x", "×"):
        kept.pop(0)
    return kept


def _count(tokens: list[Token]) -> tuple[Token, list[Token]] | Message:  # noqa: PLR0911 - one return for each way of writing a number
    """Take the number and its multiple from the front; what follows is left."""
    if not tokens:
        return refusals.unreadable("a number", _MEND)
    first = tokens[0]
    if first.means("multiple") and (len(tokens) == 1 or _is_counted(tokens[1])):
        return _numbered(first, float(first.means("multiple"))), tokens[1:]
    if first.means("counted") and first.text not in _NAMES_A_PLACE and len(tokens) > 1:
        body = [t for t in tokens[1:] if t.text not in (":", "=")]
        if len(body) == 1 and body[0].kind == "number":
            return body[0], []
    if first.text == "-" and len(tokens) > 1 and tokens[1].numbers:
        return count_refusals.order_below_zero()
    if first.kind not in ("number", "fraction") or not first.numbers:
        return refusals.unreadable("a number", _MEND)
    rest = tokens[1:]
    if rest and rest[0].means("multiple"):
        many = float(rest[0].means("multiple"))
        first, rest = _numbered(first, first.numbers[0].value * many), rest[1:]
    elif first.kind == "fraction":
        return count_refusals.part_of_a_thing()
    return _repeated(first, rest)


#: Words that count behind a number, and before one name a place in a list: "No. 10", "item 10".
_NAMES_A_PLACE = frozenset({"no", "nos", "no's", "nr", "item", "items", "unit", "units"})


def _numbered(token: Token, value: float) -> Token:
    return Token("number", token.text, (Number(value, 0.0, 1.0),))


def _repeated(number: Token, rest: list[Token]) -> tuple[Token, list[Token]] | Message:
    """Hold "3 (three)" against itself."""
    places = [n for n, t in enumerate(rest) if t.text == ")"]
    if not rest or rest[0].text != "(" or not places:
        return number, rest
    inner = _count(rest[1 : places[0]])
    if isinstance(inner, Message) or inner[1]:
        return number, rest
    if inner[0].numbers[0].value != number.numbers[0].value:
        return count_refusals.figure_and_word()
    return number, rest[places[0] + 1 :]


def _is_counted(token: Token) -> bool:
    return bool(token.means("counted") or token.means("form"))


def _with_rest(
    number: Token, rest: list[Token], field: str, unit: str, hints: Hints
) -> Reading | Message:
    """Read what follows the number: nothing, what is counted, or a size that it states too."""
    while rest and rest[0].text in _LINKS and (len(rest) == 1 or _is_counted(rest[1])):
        rest = rest[1:]
    also: list[Stated] = []
    counted = ""
    while rest and _is_counted(rest[0]):
        counted = rest[0].means("counted") or counted
        if rest[0].means("form") == "half roll":
            also.append(Stated("form", 0.0, "half roll"))
        rest = rest[1:]
        while rest and rest[0].text in _LINKS and (len(rest) == 1 or _is_counted(rest[1])):
            rest = rest[1:]
    if rest and rest[0].means("counted_unclear"):
        return count_refusals.pack_unclear(rest[0].text)
    if rest:
        stated = _sizes(rest, counted, hints)
        if isinstance(stated, Message):
            return stated
        also += stated
    for one in also:
        if one.field not in hints.takes:
            return refusals.states_more(one.field, one.text)
    return _whole(number, field, unit, hints, tuple(also))


def _sizes(rest: list[Token], counted: str, hints: Hints) -> list[Stated] | Message:  # noqa: PLR0911 - one return for each thing that can be wrong
    """Read the sizes that stand with a number: "2 rolls @ 30 m", "4 discs dia 200"."""
    if any(rest[0].means(topic) for topic in _MEASURED):
        return count_refusals.asked_in(rest[0].text)
    said = " ".join(t.text for t in rest)
    by_form = hints.form == "roll" and not counted and rest[0].text in ("×", "@")
    is_roll = by_form or counted == "roll" or any(t.means("counted") == "roll" for t in rest)
    parsed = parse(tuple(rest))
    measures = parsed.measures
    if parsed.unknown or not measures or any(not m.numbers or m.counted for m in measures):
        return refusals.not_understood(parsed.unknown or said, "a number", _MEND)
    says_sizes = any(m.unit or m.labels or m.before for m in measures)
    if counted and not is_roll and says_sizes:
        return [Stated("dimensions", 0.0, said.lstrip(", "))]
    if not is_roll or not all(m.unit for m in measures) or len(measures) > 2:  # noqa: PLR2004 - width and length
        return refusals.not_understood(said, "a number", _MEND)
    if len(measures) == 1 and measures[0].before.startswith("("):
        return count_refusals.each_or_in_all(measures[0].text)
    fields = ("length",) if len(measures) == 1 else ("width", "length")
    stated: list[Stated] = []
    for name, measure in zip(fields, measures, strict=True):
        sized = choose(measure, name, "", hints)
        if sized.why:
            return sized.why
        stated.append(Stated(name, sized.value, _written(sized.value, sized.unit)))
    return stated


def _written(value: float, unit: str) -> str:
    return f"{value / LENGTHS_M[unit]:.10g} {unit}"


def _whole(
    number: Token, field: str, unit: str, hints: Hints, also: tuple[Stated, ...]
) -> Reading | Message:
    """Choose the reading of the number; of things that are counted only a whole one is one."""
    read = list(number.numbers)
    if not read:
        return refusals.unreadable("a number", _MEND)
    many = (_multiple_of(unit) if unit else 0.0) or 1.0
    if len(read) > 1 and field == "quantity":
        whole = [n for n in read if n.value == round(n.value)]
        if len(whole) == 1:
            return Reading(whole[0].value * many, 0.0, "", None, also)
        if not hints.decimal:
            either = " or ".join(f"{n.value:g}" for n in read)
            return count_refusals.quantity_could_be(either)
    found = pick(read, 1.0, "", hints, "")
    if isinstance(found, Message):
        return found
    said = found[1]
    if said is not None and field == "quantity":
        said = replace(said, severity="review")  # a thousand times as many may be meant
    return Reading(found[0].value * many, found[0].half, "", said, also)
