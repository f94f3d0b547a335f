"""Sizes that stand beside each other: each with its unit, its name, or parted by a stroke."""

from __future__ import annotations

import math
from dataclasses import replace

from meshcore.reading.numbers.numerals import Number
from meshcore.reading.sizes.measures import Measure, Parsed

#: Of two sizes with the name of the wire between, the wire is the one of less than this share of
#: the other [-]: no mesh has a wire of three times its opening (common practice, no source).
_SURELY_WIRE = 1.0 / 3.0


def with_named_wire(parsed: Parsed, field: str) -> Parsed:
    """Give the wire's name between two sizes to the one that alone can be the wire."""
    if not parsed.between or field != "aperture" or len(parsed.measures) != 2:  # noqa: PLR2004 - aperture and wire
        return parsed
    first, second = parsed.measures
    labels = first.labels | second.labels
    one_unit = bool(first.unit) and first.unit == second.unit
    if labels != {"wire_diameter"} or not (one_unit and first.numbers and second.numbers):
        return parsed
    if second.numbers[0].value > _SURELY_WIRE * first.numbers[0].value:
        return parsed
    named = (replace(first, labels=frozenset()), replace(second, labels=labels))
    return replace(parsed, measures=named, between="")


#: Signs before a size that is said again, perhaps in another unit.
_AGAIN = frozenset({"(", "[", "="})


def with_units(measures: list[Measure], unit: str) -> list[Measure]:
    """Give a size without a unit that of the next one after it: "8 x 8 mm", "1.22 x 30 m"."""
    out: list[Measure] = []
    later = ""
    for measure in reversed(measures):
        if measure.unit:
            later = measure.unit
        elif later and not unit:
            measure = replace(measure, unit=later)  # noqa: PLW2901 - the size with its unit
        if measure.before[:1] in _AGAIN:
            later = ""
        out.append(measure)
    return out[::-1]


def with_pairs(measures: list[Measure], unit: str) -> list[Measure]:
    """Take a fraction of no inches for what it is: two sizes with a stroke between."""
    out: list[Measure] = []
    for measure in measures:
        if measure.fraction == ("", "") or measure.sure or _is_part(measure, unit):
            out.append(measure)
            continue
        top, bottom = (Number(float(part), 0.5, 1.0) for part in measure.fraction)
        out.append(replace(measure, numbers=(top,), fraction=("", "")))
        out.append(replace(measure, numbers=(bottom,), fraction=("", ""), before="/"))
    return out


#: Parts that an inch or foot is divided into; "36/48 in" are two widths (common practice).
_PARTS_OF_AN_INCH, _PARTS_OF_A_FOOT = (
    frozenset({2, 3, 4, 5, 8, 10, 16, 32, 64}),
    frozenset({2, 3, 4, 8}),
)


def _is_part(measure: Measure, unit: str) -> bool:
    """Whether a fraction is of a unit that is divided so, in lowest terms."""
    known = measure.unit or unit
    top, bottom = (int(part) for part in measure.fraction)
    if known == "in":
        return bottom in _PARTS_OF_AN_INCH and (math.gcd(top, bottom) == 1 or bottom not in _PAIRS)
    return known in ("ft", "mi", "yd") and bottom in _PARTS_OF_A_FOOT and math.gcd(top, bottom) == 1


#: Denominators that may be a second size as well: "8/16 in" is two, "2/4 in" one half.
_PAIRS = frozenset({10, 16, 32, 64})
