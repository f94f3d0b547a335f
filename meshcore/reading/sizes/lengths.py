"""A text to one length: which of its sizes the field means, and in which reading."""

from __future__ import annotations

import re
from dataclasses import replace

from meshcore.messages import Message
from meshcore.reading import pair_refusals, refusals, wire_refusals
from meshcore.reading.numbers.choosing import (
    Sized,
    choose,
    example,
    field_words,
    is_material_number,
)
from meshcore.reading.numbers.lexing import Token, lex, plain, without_standard
from meshcore.reading.numbers.phrases import doubt, with_more, without_tolerance
from meshcore.reading.numbers.readings import Hints, Reading, Stated
from meshcore.reading.refusals import about
from meshcore.reading.sizes.beside_each_other import with_named_wire, with_pairs, with_units
from meshcore.reading.sizes.measures import Measure, Parsed, parse
from meshcore.reading.sizes.rolls import ROLL_LENGTHS
from meshcore.reading.sizes.sieve_numbers import beside_a_sieve, is_of_the_sieve
from meshcore.reading.sizes.size_pairs import (
    aperture_and_wire,
    differs,
    length_after_width,
    may_be_wide,
    quantity_of,
    stated_of,
    width_and_length,
)

TOPICS = (
    "unit_length", "label", "aside", "says_more", "approximate", "limit", "range", "or", "and",
    "not", "unsure", "number", "part", "counted", "form", "per", "separator", "unit_area",
    "unit_mass",
)  # fmt: skip
#: Fields of which none is a diameter: that is a disc's.
_FLAT = frozenset({"width", "length"})
#: Fields in which square mesh has one size both ways.
ONE_EACH_WAY = frozenset({"pitch", "aperture", "wire_diameter"})
#: What a name that could be several things means in a field.
_DIAMETER = "diameter"
#: Fields of which none is square: the word is of a piece, or of an opening.
_NEVER_SQUARE, _SQUARE = frozenset({"wire_diameter", "width", "length"}), "square"
#: The one field that is round; a mesh is not, nor a roll.
_ROUND_ALONE, _ROUND = "wire_diameter", "round"
#: Sizes that say one thing twice agree this nearly [-]: 48 in is 1.22 m, 100 ft is 30 m.
_AGREEMENT = {"width": 0.01, "length": 0.02}
_USUAL_AGREEMENT = 0.01
#: Farthest that a width or length is off where it was only turned into another unit [-]: 100 ft is
#: 30.5 m, but 30 m are another roll (common practice, no source).
_CONVERTED = 0.005
#: Farthest that a size may be rounded where it is said twice [-]: 0.020 in is 0.5 mm, but 1 mm is
#: no 18 SWG (common practice, no source).
ROUNDED = 0.03
#: A stainless grade beside a size: its L is no length.
_GRADE = re.compile(r"(?<![\w.,])[34]\d\dl(?!\w)")
#: Inches are written with a point: "36,48 in" may be two stock widths.
_COMMA_INCHES = re.compile(r"(\d{2}),([1-9]\d) ?(?:in|inch|inches|\"|ft|'|feet)")


def read_length(text: str, field: str, unit: str, hints: Hints) -> Reading | Message:  # noqa: PLR0911 - one return for each thing that stands in a text
    """Read a length, which may be named, given both ways, or stand with another size.

    Parameters
    ----------
    text, field, unit, hints
        As for `meshcore.reading.texts.read_text`; `unit` by its one name.
    """
    whole = plain(without_standard(text))
    if field == "aperture" and (sieve := beside_a_sieve(whole)):
        return _of_a_sieve(*sieve, text, unit, hints)
    bare = without_tolerance(whole)
    tokens = lex(bare, TOPICS)
    mend = f"Write it as {example(field)}."
    if field in ONE_EACH_WAY and (grade := _GRADE.search(whole)):
        return about(refusals.states_more("alloy", grade[0].upper()), field, text)
    if field in _FLAT and hints.decimal != "," and (pair := _COMMA_INCHES.fullmatch(whole)):
        return about(pair_refusals.two_values(pair[1], pair[2], example(field)), field, text)
    if why := doubt(bare, tokens, f"Write one size, such as {example(field)}."):
        return about(why, field, text)
    parsed = with_named_wire(parse(tokens), field)
    if parsed.is_unit:
        unknown = refusals.unit_unknown(parsed.unknown, "length", example(field))
        return about(unknown, field, text)
    if why := _unreadable(parsed, tokens, field, mend):
        return about(why, field, text)
    read = with_more(_chosen(list(parsed.measures), field, unit, hints), tokens, whole != bare)
    return about(read, field, text) if isinstance(read, Message) else read


def _of_a_sieve(size: str, number: int, text: str, unit: str, hints: Hints) -> Reading | Message:
    """Read an aperture beside its sieve's number, and hold the one against the other."""
    read = read_length(size, "aperture", unit, hints)
    if isinstance(read, Message):
        return about(read, "aperture", text)
    if not is_of_the_sieve(read.value, number):
        return about(pair_refusals.sieve_differs(size, number), "aperture", text)
    return replace(read, said=read.said or pair_refusals.sieve_number(size, number))


def _unreadable(parsed: Parsed, tokens: tuple[Token, ...], field: str, mend: str) -> Message | None:  # noqa: PLR0911 - one return for each thing that can be wrong
    """Return why a text holds no size of its field; None where it may."""
    if any(m.fraction[1].strip("0") == "" and m.fraction[1] for m in parsed.measures):
        return refusals.fraction_over_zero()
    if not parsed.measures or any(not m.numbers for m in parsed.measures):
        return refusals.unreadable("a length", mend)
    if parsed.between or parsed.unknown:
        unknown = refusals.not_understood(parsed.unknown, "a length", mend)
        return pair_refusals.name_between(parsed.between) if parsed.between else unknown
    whole = next((t.text for t in tokens if t.means("form") in ROLL_LENGTHS), "")
    if field == "width" and whole:
        return refusals.states_more("length", whole)
    if field in _NEVER_SQUARE and any(t.means("aside") == _SQUARE for t in tokens):
        return refusals.of_a_shape(_SQUARE, field_words(field), example(field))
    if field != _ROUND_ALONE and any(t.means("aside") == _ROUND for t in tokens):
        return refusals.of_a_shape(_ROUND, field_words(field), example(field))
    return None


def _chosen(
    measures: list[Measure],
    field: str,
    unit: str,
    hints: Hints,
) -> Reading | Message:
    """Pick the sizes that are of the field, and read them."""
    counted = [m for m in measures if m.counted]
    measures = [_of_field(m, field) for m in measures if not m.counted]
    measures = with_units(measures, unit)
    measures = with_pairs(measures, unit)
    own = [m for m in measures if not m.labels or field in m.labels]
    others = [m for m in measures if m.labels and field not in m.labels]
    if not own:
        named = " or ".join(
            sorted(field_words(name) for m in others or counted for name in m.labels)
        )
        if named == _DIAMETER:
            return refusals.of_a_shape(named, field_words(field), example(field))
        return refusals.named_otherwise(named or "quantity", field_words(field))
    return _combined(own, others, counted, field, unit, hints)


def _of_field(measure: Measure, field: str) -> Measure:
    """Settle names that could be several things: a diameter is the wire's in a cloth's fields."""
    labels = measure.labels
    if _DIAMETER in labels and field not in _FLAT:
        labels = (labels - {_DIAMETER}) | {"wire_diameter" if field in ONE_EACH_WAY else field}
    if field in labels:
        labels = frozenset({field})
    return replace(measure, labels=labels)


def _combined(
    own: list[Measure],
    others: list[Measure],
    counted: list[Measure],
    field: str,
    unit: str,
    hints: Hints,
) -> Reading | Message:
    first, rest = own[0], own[1:]
    also = [stated_of(m, m.labels, hints) for m in others]
    also += [quantity_of(m) for m in counted]
    if rest:
        settled = _settle_rest(first, rest, field, unit, hints)
        if isinstance(settled, Message):
            return settled
        first, more = settled
        also += more
    if wrong := _not_taken(also, field, hints):
        return wrong
    sized = choose(first, field, unit, hints)
    if sized.why:
        return sized.why
    for measure in rest:
        if measure.before in ("(", "[", "=", "/", "=(", "/(", ",") and not also:
            second = choose(measure, field, unit, hints)
            if second.why or not _agree(sized, second, field):
                return second.why or pair_refusals.conflict(_in_mm(sized), _in_mm(second))
            if field in _AGREEMENT and abs(1.0 - second.value / sized.value) > _CONVERTED:
                said = pair_refusals.nearly_agree(_in_mm(sized), _in_mm(second), sized.said)
                sized = replace(sized, said=said)
    return Reading(
        sized.value, sized.half, sized.unit, sized.said, tuple(s for s in also if s is not None)
    )


def _settle_rest(  # noqa: PLR0911 - one return for each way of writing sizes side by side
    first: Measure, rest: list[Measure], field: str, unit: str, hints: Hints
) -> tuple[Measure, list[Stated | None]] | Message:
    """Say what sizes without a name are beside the first: the same, another way, or another's."""
    signs = "".join(m.before for m in rest)
    values = [m.numbers[0].value for m in (first, *rest)]
    one_unit = len({m.unit or unit for m in (first, *rest)}) == 1
    same = one_unit and values[0] == values[1]
    if field == "wire_diameter" and signs == "×" and len(rest) == 1 and same:
        return wire_refusals.flat_wire(first.text.split()[0])
    if any(is_material_number(m.text) for m in rest):
        number = next(m.text for m in rest if is_material_number(m.text))
        return refusals.states_more("alloy", number)
    if field in ONE_EACH_WAY and signs == "×" and len(rest) == 1:
        if same:
            return first, []
        return differs(first, rest[0])
    is_pair = one_unit and (
        (signs in ("/", "×/") and len(rest) == len(signs)) or (signs == "××" and len(rest) == 2)  # noqa: PLR2004 - width, height, wire
    )
    if field in ONE_EACH_WAY and is_pair:
        return aperture_and_wire(first, rest, field, unit, hints)
    if field == "width" and signs == "×":
        return width_and_length(first, rest[0], unit, hints)
    if field == "length" and signs == "×" and may_be_wide(first):
        return length_after_width(first, rest[0], hints)
    if all(m.before in ("(", "[", "=", "/", "=(", ",") for m in rest) and (
        not one_unit or signs != "/"
    ):
        return first, []
    if signs in ("-", "/") and len(rest) == 1:
        each = _said(first, unit), _said(rest[0], unit)
        return pair_refusals.two_values(each[0], each[1], example(field))
    if signs in ("-", "/"):
        return refusals.span(f"Write one size, such as {example(field)}.")
    known = unit or rest[-1].unit
    return pair_refusals.two_numbers(_said(first, known), _said(rest[0], known))


def _said(measure: Measure, unit: str) -> str:
    """Write a size as it was typed, with its unit."""
    return f"{measure.numbers[0].value:g} {measure.unit or unit}".strip()


def _not_taken(also: list[Stated | None], field: str, hints: Hints) -> Message | None:
    """Refuse what states another field where that cannot be used, lest it be lost."""
    for stated in also:
        if stated is None:
            return pair_refusals.several(field_words(field), example(field))
        if stated.field not in hints.takes:
            return refusals.states_more(field_words(stated.field), stated.text)
    return None


def _agree(first: Sized, second: Sized, field: str) -> bool:
    share = _AGREEMENT.get(field, _USUAL_AGREEMENT)
    apart = abs(first.value - second.value)
    greater = max(first.value, second.value)
    return apart <= max(share * greater, min(max(first.half, second.half), ROUNDED * greater))


def _in_mm(sized: Sized) -> str:
    return f"{sized.value * 1e3:.6g} mm"
