"""What the reader says of counts: of meshes to a length, and of things ordered."""

from __future__ import annotations

from meshcore.messages import Message


def part_of_a_mesh(number: str) -> Message:
    """Refuse a fraction where a count belongs."""
    text = (
        f'"{number}" could be a part of a mesh, a part of an inch or two counts. Write the count '
        'as a decimal, such as "0.5 / in".'
    )
    return Message("", "", text, code="mesh.fraction_unclear")


def per_what(number: str) -> Message:
    """Refuse a count of meshes per nothing."""
    text = f'per inch or per cm is not said. Write "{number} / in" or "{number} / cm".'
    return Message("", "", text, code="mesh.per_what")


def aperture_and_wire(aperture: str, wire: str) -> Message:
    """Refuse a pair of millimetres in a field of counts."""
    text = (
        f"reads as an aperture of {aperture} mm in wire of {wire} mm, or as {aperture} meshes in "
        f'{wire} mm. Write the sizes in columns of their own, or the count as "10 / in".'
    )
    return Message("", "", text, code="mesh.aperture_and_wire")


def counted_by_area(count: str) -> Message:
    """Note that a count was by area, and what it is along a side."""
    text = f"a count by area, which is {count} along each side."
    return Message("", "", text, "note", code="mesh.counted_by_area")


def counts_differ() -> Message:
    """Refuse two statements of one count that do not agree."""
    text = "two counts that do not agree. Write the one that is meant."
    return Message("", "", text, code="mesh.counts_differ")


#: How a quantity is mended.
HOW_MANY = "Write how many, as a whole number."


def asked_in(unit: str) -> Message:
    """Refuse a quantity by length, area or mass."""
    text = f'asked in "{unit}", not in rolls or pieces. {HOW_MANY}'
    return Message("", "", text, code="quantity.measured")


def pack_unclear(pack: str) -> Message:
    """Refuse a number of packs."""
    text = f'how many a "{pack}" holds is not said. {HOW_MANY}'
    return Message("", "", text, code="quantity.pack_unclear")


def quantity_could_be(either: str) -> Message:
    """Refuse a whole number with a mark before three noughts."""
    return Message("", "", f"could be {either}. {HOW_MANY}", code="quantity.separator_ambiguous")


def several_quantities() -> Message:
    """Refuse a sum or a list of numbers."""
    return Message("", "", f"more than one number. {HOW_MANY}", code="quantity.several")


def figure_and_word() -> Message:
    """Say that a figure and the word beside it differ."""
    text = f"figure and word do not agree. {HOW_MANY}"
    return Message("", "", text, code="quantity.figure_and_word")


def order_below_zero() -> Message:
    """Refuse a negative number of things."""
    return Message("", "", f"an order is above zero. {HOW_MANY}", code="quantity.below_zero")


def total_differs(total: str, parts: str) -> Message:
    """Refuse a total that is not that of its parts."""
    text = f"{total} in all, but {parts} is not that. Write the ones that are meant."
    return Message("", "", text, code="quantity.total_differs")


def each_or_in_all(size: str) -> Message:
    """Refuse a length in brackets behind a number: of each, or of all."""
    text = (
        f'{size} may be the length of each or of all together. Write "… of {size} each", or '
        f'"… , {size} in all".'
    )
    return Message("", "", text, code="quantity.each_or_in_all")


def ordinal() -> Message:
    """Put to review a number that may be a place in a row."""
    text = "may be a place in a row and no number of things; taken as 1. Write how many."
    return Message("", "", text, "review", code="quantity.ordinal")


def part_of_a_thing() -> Message:
    """Refuse half of something that is counted."""
    return Message("", "", f"a part of a thing. {HOW_MANY}", code="quantity.part")
