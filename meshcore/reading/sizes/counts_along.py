"""What a mesh count is per: a length, or the side of an area."""

from __future__ import annotations

from dataclasses import replace

from meshcore.messages import Message
from meshcore.reading import count_refusals
from meshcore.reading.numbers.lexing import Token


def along_sides(tail: list[Token]) -> list[Token]:
    """Take "10 x 10 / sq in" for the meshes along each side of a square inch."""
    sides = {"in2": "in", "cm2": "cm"}
    return [
        replace(t, senses=(("unit_length", sides[area]),), text=sides[area])
        if (area := t.means("unit_area")) in sides
        else t
        for t in tail
    ]


#: Lengths in millimetres that meshes are counted along (common practice, no source); 8/2 mm is an
#: aperture and its wire.
_COUNTED_ALONG_MM = frozenset({1.0, 10.0, 25.0, 25.4, 50.0, 50.8, 100.0, 1000.0})


def per_length(number: Token, second: Token, rest: list[Token]) -> list[Token] | Message:
    """Take "20 / 25.4 mm" for a count; what is no length to count along is a wire."""
    unit = rest[2].means("unit_length") if len(rest) > 2 else "mm"  # noqa: PLR2004 - a stroke, a number, its unit
    if unit == "mm" and not any(n.value in _COUNTED_ALONG_MM for n in second.numbers):
        return count_refusals.aperture_and_wire(number.text, second.text)
    return rest
