"""A text to a mesh count, in any customary way of writing one."""

from __future__ import annotations

import math
from dataclasses import replace

from meshcore.messages import Message
from meshcore.reading import count_refusals, pair_refusals, refusals
from meshcore.reading.numbers.choosing import impossible, pick
from meshcore.reading.numbers.lexing import Token, lex, plain, without_standard
from meshcore.reading.numbers.phrases import doubt, says_about, with_more, without_tolerance
from meshcore.reading.numbers.readings import NO_HINTS, Hints, Reading, Stated
from meshcore.reading.numbers.worded import with_number_words
from meshcore.reading.refusals import about
from meshcore.reading.sizes.counts_along import along_sides, per_length
from meshcore.reading.sizes.counts_beside import aperture_beside, with_its_size, with_its_weave
from meshcore.reading.sizes.lengths import read_length
from meshcore.reading.unit_words import unit_factor
from meshcore.reading.vocabulary import words
from meshcore.units import AREAS_M2, LENGTHS_M

TOPICS = (
    "count_noun", "count_unit", "per", "unit_length", "unit_area", "approximate", "limit", "range",
    "or", "and", "not", "unsure", "number", "part", "aside", "says_more", "separator",
)  # fmt: skip
EXAMPLES = '"10 / in", "10 mesh" or "4 / cm"'
_MEND = f"Write it as {EXAMPLES}."
#: Counts that name no unit are per inch in English: "10 mesh", "#10", "10M". In other tongues
#: they are as often per centimetre. Common practice, no source.
_PER_INCH_NOUNS = frozenset({"mesh", "meshes", "m", "#", "mesh count", "count"})
#: How some write millimetres, of which no count is; not meshes a metre.
_MILLIMETRES = "m/m"
#: Before a number it is what English calls mesh; behind one it counts per either.
_MEANS_MESH = frozenset({"malla"})
_PREFIXES = frozenset({"no", "nr", "number", "mesh no"})
#: Two counts that say one thing twice agree this nearly [-].
_AGREEMENT = 0.03


def read_count(text: str, field: str, unit: str, hints: Hints) -> Reading | Message:
    """Read a mesh count.

    Parameters
    ----------
    text, field, unit, hints
        As for `meshcore.reading.texts.read_text`.
    """
    whole = plain(without_standard(text))
    bare = without_tolerance(whole)
    has_tolerance, bare = bare != whole, bare.replace("⁻1", "-1")
    if bare.endswith(".") and bare[:-1].isdecimal():
        bare = bare[:-1]
    tokens = with_number_words(lex(bare, TOPICS), "count_noun")
    read = doubt(bare, tokens, f"Write one count, such as {EXAMPLES}.") or _statements(
        bare, field, unit, hints
    )
    read = with_more(read, tokens, has_tolerance)
    return about(read, field, text) if isinstance(read, Message) else read


def _statements(bare: str, field: str, unit: str, hints: Hints) -> Reading | Message:  # noqa: PLR0911 - one return for each thing beside a count
    if (parted := with_its_weave(bare)) is not None:
        return _with_more(parted[0], parted[1], field, unit, hints)
    count, beside = with_its_size(bare)
    if isinstance(beside, Message):
        return beside
    if beside is not None:
        return _with_more(count, beside, field, unit, hints)
    first, rest = _two_statements(_said_once(bare))
    reading = _one_count(first, field, unit, hints)
    if isinstance(reading, Message) or not rest:
        return reading
    opening = aperture_beside(rest, reading.value)
    if opening is not None:
        if opening.field not in hints.takes:
            return refusals.states_more(opening.field, opening.text)
        return replace(reading, also=(opening,))
    second = _from_pitch(rest) or _one_count(rest, field, unit, hints)
    if isinstance(second, Message):
        return second
    apart = abs(reading.value - second.value)
    if apart > max(reading.half_width + second.half_width, _AGREEMENT * reading.value):
        return count_refusals.counts_differ()
    return reading


def _with_more(
    count: str, stated: Stated, field: str, unit: str, hints: Hints
) -> Reading | Message:
    """Read a count, and give it what stands beside it, where that can be used."""
    if stated.field not in hints.takes:
        return refusals.states_more(stated.field.replace("_", " "), stated.text)
    read = _statements(count, field, unit, hints)
    return read if isinstance(read, Message) else replace(read, also=(*read.also, stated))


def _said_once(bare: str) -> str:
    """Fold "10 / in × 10 / in" to one of its halves; "10 × 10" is left, the sign says mesh."""
    first, sign, second = bare.partition(" × ")
    has_unit = any(letter.isalpha() for letter in first)
    return first if sign and first == second and has_unit else bare


def _from_pitch(text: str) -> Reading | None:
    """Read a count from the pitch that stands beside it by name; None where none does."""
    if not any("pitch" in token.meanings("label") for token in lex(text, ("label",))):
        return None
    pitch = read_length(text, "pitch", "", NO_HINTS)
    if isinstance(pitch, Message):
        return None
    return Reading(1.0 / pitch.value, 0.0, pitch.unit)


def _two_statements(bare: str) -> tuple[str, str]:
    """Part "10 mesh (4/cm)" into its two statements."""
    if bare.endswith(")") and "(" in bare:
        first, _, second = bare[:-1].partition("(")
        tokens = lex(second, TOPICS)
        if tokens and all(_is_aside(token) for token in tokens):
            return first.strip(), ""
        if len(tokens) == 1 and tokens[0].means("unit_length"):
            return first.strip(), f"{first.split()[0]} / {second}"
        return first.strip(), second.strip()
    return bare, ""


def _one_count(bare: str, field: str, unit: str, hints: Hints) -> Reading | Message:
    tokens = list(with_number_words(lex(bare, TOPICS), "count_noun"))
    tokens = [t for n, t in enumerate(tokens) if not _is_aside(t) or _is_no_circa(tokens, n)]
    prefix = _prefix(tokens)
    numbers = [n for n, t in enumerate(tokens) if t.kind in ("number", "fraction")]
    if not numbers:
        return refusals.unreadable("a mesh count", _MEND)
    place = numbers[0]
    if prefix is None or place != 0:
        return _unknown(tokens)
    number, rest = tokens[0], tokens[1:]
    if len(rest) > 1 and rest[0].text == "-" and rest[1].means("count_noun"):
        rest = rest[1:]
    tail = _each_way(number, rest)
    if isinstance(tail, Message):
        return tail
    return _with_tail(number, prefix, tail, field, unit, hints)


def _is_aside(token: Token) -> bool:
    aside = token.means("approximate") or token.means("aside") or token.means("says_more")
    return bool(aside) and not token.means("per")


def _is_no_circa(tokens: list[Token], place: int) -> bool:
    return bool(tokens[place].means("approximate")) and not says_about(tokens, place)


def _prefix(tokens: list[Token]) -> str | None:
    """Take what stands before the number: "mesh", "no. ", "#"; None if it is something else."""
    said: list[str] = []
    while tokens and tokens[0].kind not in ("number", "fraction"):
        token = tokens.pop(0)
        if token.text in ("=", ":", "-") and said:
            continue
        if not (token.means("count_noun") or token.text in _PREFIXES or token.text == "#"):
            tokens.insert(0, token)
            return None
        said.append(token.text)
    return " ".join(said)


def _unknown(tokens: list[Token]) -> Message:
    odd = next((t.text for t in tokens if t.kind in ("word", "sign") and not t.senses), "")
    if odd:
        return refusals.not_understood(odd, "a mesh count", _MEND)
    return refusals.unreadable("a mesh count", _MEND)


def _each_way(number: Token, rest: list[Token]) -> list[Token] | Message:  # noqa: PLR0911 - one return for each way of writing a count twice
    """Fold "10 x 10 mesh" to "10 mesh"; what differs in warp and shute is not square mesh."""
    if not number.numbers:
        return refusals.unreadable("a mesh count", _MEND)
    small = number.kind == "fraction" and number.numbers[0].value < 1.0
    if small and not any(t.means("per") for t in rest):
        return count_refusals.part_of_a_mesh(number.text)
    if (len(rest) > 1 and rest[0].text in ("×", "/", "-")) or (
        len(rest) > 1 and rest[0].means("separator")
    ):
        second = rest[1]
        if second.kind in ("number", "fraction") and rest[0].text in ("×", "-", "by", "/"):
            if rest[0].text == "/" and len(rest) > 2 and _is_length(rest[2]):  # noqa: PLR2004 - "/ 25.4 mm"
                return per_length(number, second, rest)
            if not second.numbers or not number.numbers:
                return refusals.unreadable("a mesh count", _MEND)
            if second.numbers[0].value != number.numbers[0].value:
                if rest[0].text == "-":
                    return refusals.span(f"Write one count, such as {EXAMPLES}.")
                stroke = rest[0].text == "/"
                mend = f"{number.text} mesh"
                return pair_refusals.not_square(number.text, second.text, mend, perhaps_wire=stroke)
            tail = along_sides(rest[2:])
            if len(tail) > 1 and tail[0].text == "/" and tail[1].kind == "number":
                return per_length(number, tail[1], tail)
            return tail or [Token("word", "mesh", senses=(("count_noun", "mesh"),))]
    if len(rest) > 2 and rest[0].means("count_noun") and rest[1].text == "×":  # noqa: PLR2004 - "18 mesh x 16 mesh"
        return pair_refusals.not_square(number.text, rest[2].text, f"{number.text} mesh")
    return rest


def _is_length(token: Token) -> bool:
    return bool(token.means("unit_length"))


def _with_tail(  # noqa: PLR0911 - one return for each way of naming what a count is per
    number: Token, prefix: str, rest: list[Token], field: str, unit: str, hints: Hints
) -> Reading | Message:
    """Read what stands after the number: nothing, a noun, or what the count is per."""
    tail = " ".join(t.text for t in rest)
    if tail == _MILLIMETRES:
        return refusals.unit_unknown("m/m", "mesh count", EXAMPLES)
    per_area = _per_area(rest)
    if per_area is not None:
        return _scaled(number, per_area, field, hints, "", by_area=True)
    named = " ".join(part for part in (tail, prefix) if part).strip()
    if not named:
        factor = unit_factor(unit, "count") if unit else None
        if factor is None:
            mend = f'Write "{number.text} / in" or "{number.text} / cm".'
            return refusals.unit_missing(mend)
        return _scaled(number, factor, field, hints, unit)
    nouns = words("count_noun") if "#" in prefix.split() else ()
    if prefix in _MEANS_MESH and not tail and unit in ("", "/in"):
        return _scaled(number, 1.0 / LENGTHS_M["in"], field, hints, "/ in")
    if all(word in {*_PER_INCH_NOUNS, *_PREFIXES, *nouns} for word in named.split()) and _says_mesh(
        named
    ):
        return _scaled(number, 1.0 / LENGTHS_M["in"], field, hints, "/ in")
    factor = unit_factor(tail.replace(" ' ", "'"), "count")
    if factor is not None and _prefix_fits(prefix):
        return _scaled(number, factor, field, hints, tail)
    if tail in words("count_noun") or prefix in words("count_noun"):
        heading = unit_factor(unit, "count") if unit and unit != "/in" else None
        if heading is not None and not tail:
            return _scaled(number, heading, field, hints, unit)
        return count_refusals.per_what(number.text)
    weave = tail.removeprefix("mesh ")
    if weave in words("weave"):
        return refusals.states_more("weave", words("weave")[weave])
    return refusals.unit_unknown(named, "mesh count", EXAMPLES)


def _says_mesh(named: str) -> bool:
    """Whether it says mesh; "No. 10" alone is a sieve's or a gauge's as well."""
    return any(word in _PER_INCH_NOUNS for word in named.split())


def _prefix_fits(prefix: str) -> bool:
    return all(word in words("count_noun") or word in _PREFIXES for word in prefix.split())


def _per_area(rest: list[Token]) -> float | None:
    """Return counts a square metre, where a count is by area: "1600 meshes / cm²"."""
    areas = [t for t in rest if t.means("unit_area")]
    others = [t for t in rest if not t.means("unit_area")]
    plainly = all(t.means("count_noun") or t.means("per") or t.text == "/" for t in others)
    if len(areas) != 1 or not plainly or not any(t.means("per") or t.text == "/" for t in others):
        return None
    return 1.0 / AREAS_M2[areas[0].means("unit_area")]


def _scaled(
    number: Token,
    factor: float,
    field: str,
    hints: Hints,
    unit: str,
    *,
    by_area: bool = False,
) -> Reading | Message:
    if not number.numbers:
        return refusals.unreadable("a number", _MEND)
    read = list(number.numbers)
    if by_area:
        read = [replace(n, value=math.sqrt(n.value)) for n in read]
        factor = math.sqrt(factor)
    if len(read) > 1 and read[0].value == round(read[0].value):  # "10,000 mesh"
        return refusals.separator(" or ".join(f"{n.value:,g} {unit or '/ in'}" for n in read))
    found = pick(read, factor, field, hints, unit or "/ in")
    if isinstance(found, Message):
        return found
    chosen, said = found
    value = chosen.value * factor
    if wrong := impossible(field, value, hints.form, number.text):
        return wrong
    half = chosen.half * factor * (0.5 / chosen.value if by_area else 1.0)
    if by_area and said is None:
        said = count_refusals.counted_by_area(f"{value * LENGTHS_M['cm']:.4g} / cm")
    return Reading(value, half, unit or "/ in", said)
