"""Sizes that stand side by side in one cell: an aperture and its wire, a width and a length."""

from __future__ import annotations

from dataclasses import replace

from meshcore.messages import Message
from meshcore.reading import pair_refusals, wire_refusals
from meshcore.reading.numbers.choosing import Sized, choose, example, field_words
from meshcore.reading.numbers.readings import Hints, Stated
from meshcore.reading.sizes.measures import Measure
from meshcore.units import LENGTHS_M

#: Wire of more than this share of its aperture is not what "10/10 mm" says [-].
_HEAVIEST_WIRE = 0.9
#: Tenths of a millimetre are how some shops write a wire: "16/10" is 1.6 mm.
_TENTHS = 10.0
#: Narrowest roll whose width and length may stand in one cell [m].
_NARROWEST_ROLL_M = 0.1


def aperture_and_wire(  # noqa: PLR0911 - one return for each thing that a pair may be
    first: Measure, rest: list[Measure], field: str, unit: str, hints: Hints
) -> tuple[Measure, list[Stated | None]] | Message:
    """Read "8/2 mm", "10x10/0.63" or "25 x 25 x 3" as aperture and wire, as the trade does."""
    wire = rest[-1]
    aperture = first.numbers[0].value
    if len(rest) > 1 and rest[0].numbers[0].value != aperture:
        return differs(first, rest[0])
    thick = wire.numbers[0].value
    one_way = len(rest) == 1
    if field == "wire_diameter" and one_way and "." in first.text.replace(",", "."):
        if thick == aperture:
            return wire_refusals.flat_wire(first.text.split()[0])
        if thick > aperture * _HEAVIEST_WIRE:
            return differs(first, wire)
        return pair_refusals.aperture_and_wire(field_words(field), example(field))
    if thick > aperture * _HEAVIEST_WIRE or (one_way and thick == _TENTHS):
        if thick == aperture and one_way and thick != _TENTHS and field == "pitch":
            return first, []
        return pair_refusals.pair_unclear(f"Write one size, such as {example(field)}.")
    if field != "aperture":
        return pair_refusals.aperture_and_wire(field_words(field), example(field))
    known = first.unit or wire.unit or unit
    if not known and first.fraction == ("", ""):
        # The pair is how millimetres are written; inches carry their sign.
        first, wire = replace(first, unit="mm"), replace(wire, unit="mm")
    return first, [stated_of(wire, frozenset({"wire_diameter"}), hints, unit)]


def width_and_length(
    first: Measure, second: Measure, unit: str, hints: Hints
) -> tuple[Measure, list[Stated | None]] | Message:
    """Read 48" x 100' as a width and a length, unless the one may count the other."""
    wide = choose(first, "width", unit, hints)
    if wide.why and first.text.isdecimal():
        return pair_refusals.several_strips(first.text, second.text)
    if wide.why:
        return wide.why
    if second.text.isdecimal() and not unit:
        return pair_refusals.several_strips(second.text, first.text)
    if wide.value < _NARROWEST_ROLL_M or _may_count(first, second, wide, hints):
        return pair_refusals.several_strips(first.text, second.text)
    return first, [stated_of(second, frozenset({"length"}), hints, unit)]


#: Most that a bare whole number before a length counts; 1220 before it is a width [-].
_MOST_COUNTED = 200.0


def may_be_wide(first: Measure) -> bool:
    """Whether what stands before a length is a width, and no count: "1.22 x 30 m"."""
    return not first.text.isdecimal() or first.numbers[0].value > _MOST_COUNTED


def _may_count(first: Measure, second: Measure, wide: Sized, hints: Hints) -> bool:
    """Whether a whole number before the sign may say how many: "2x 1 m" is no longer than wide."""
    whole = first.text.isdecimal() and bool(second.unit)
    long = choose(second, "length", "", hints)
    return whole and long.why is None and long.value <= wide.value


def length_after_width(
    first: Measure, second: Measure, hints: Hints
) -> tuple[Measure, list[Stated | None]] | Message:
    """Read 48" x 100' as a width and the length; a bare number before the sign may be a count."""
    return second, [stated_of(first, frozenset({"width"}), hints)]


def stated_of(
    measure: Measure, labels: frozenset[str], hints: Hints, unit: str = ""
) -> Stated | None:
    """Return what a size states of another field; None where it cannot be told."""
    if len(labels) != 1:
        return None
    field = next(iter(labels))
    sized = choose(measure, field, unit, hints)
    if sized.why:
        return None
    value = sized.value / LENGTHS_M[sized.unit]
    return Stated(field, sized.value, f"{value:.10g} {sized.unit}")


def quantity_of(measure: Measure) -> Stated | None:
    """Return the number of things that a measure counts; None where it is no whole number."""
    value = measure.numbers[0].value
    whole = len(measure.numbers) == 1 and value == round(value) and value > 0
    return Stated("quantity", value, f"{value:g}") if whole else None


def differs(first: Measure, second: Measure) -> Message:
    """Refuse two sizes of warp and shute that differ: that is no square mesh."""
    warp, shute = first.text.split()[0], second.text.split()[0]
    perhaps_wire = second.numbers[0].value < first.numbers[0].value
    mend = f"{warp} {second.unit or first.unit or 'mm'}"
    return pair_refusals.not_square(warp, shute, mend, perhaps_wire=perhaps_wire)
