"""What the reader says of two sizes or amounts in one text."""

from __future__ import annotations

from meshcore.messages import Message


def two_values(first: str, second: str, example: str) -> Message:
    """Refuse two sizes of which each may be meant."""
    text = f"a range or two values, {first} and {second}. Write one size, such as {example}."
    return Message("", "", text, code="size.two_values")


def two_numbers(first: str, second: str) -> Message:
    """Refuse numbers of which nothing says how they hang together."""
    text = f'two sizes, {first} and {second}. Write the one that is meant, such as "{first}".'
    return Message("", "", text, code="size.two_numbers")


def name_between(word: str) -> Message:
    """Refuse a name between two sizes that may be either's."""
    text = (
        f'"{word}" stands between two sizes and may name either. Write each size in a column of '
        "its own."
    )
    return Message("", "", text, code="size.name_between")


def several(field: str, example: str) -> Message:
    """Refuse more than one size, and no telling of what."""
    text = f"more than one size. Write the {field} alone, such as {example}."
    return Message("", "", text, code="size.several")


def pair_unclear(mend: str) -> Message:
    """Refuse two numbers with a stroke between that could be several things."""
    text = (
        "could be a fraction, an aperture and its wire, two sizes or tenths of a millimetre. "
        f"{mend}"
    )
    return Message("", "", text, code="size.pair_unclear")


def nearly_agree(taken: str, other: str, also: Message | None) -> Message:
    """Put to review two statements of one size that are apart by more than rounding."""
    more = f" {also.text}" if also is not None else ""
    text = (
        f"taken as {taken}; beside it stands {other}, which is not quite the same. Write the one "
        f"that is meant.{more}"
    )
    return Message("", "", text, "review", code="size.nearly_agree")


def aperture_and_wire(field: str, example: str) -> Message:
    """Refuse a pair that is an aperture and its wire, in another field."""
    text = f"reads as an aperture and its wire. Write the {field} alone, such as {example}."
    return Message("", "", text, code="size.aperture_and_wire")


def several_strips(count: str, size: str) -> Message:
    """Refuse a number times a width."""
    text = (
        f"could be {count} of {size}, several strips of one, or a width and a length. Write one "
        f'width here, such as "{size}", and how many as the quantity.'
    )
    return Message("", "", text, code="size.several_strips")


def conflict(first: str, second: str) -> Message:
    """Refuse two statements of one size that do not agree."""
    text = f"two sizes that do not agree: {first} and {second}. Write the one that is meant."
    return Message("", "", text, code="size.conflict")


def not_square(warp: str, shute: str, mend: str, *, perhaps_wire: bool = False) -> Message:
    """Refuse two counts or sizes that differ in warp and shute, of which one may be the wire."""
    wire = f" If {shute} is the wire, write it in a column of its own." if perhaps_wire else ""
    text = (
        f"{warp} one way and {shute} the other is not square mesh, and only square mesh is "
        f'estimated here. Write one, such as "{mend}", or ask for a quotation by hand.{wire}'
    )
    return Message("", "", text, code="mesh.not_square")


def two_or_a_part(first: str, second: str) -> Message:
    """Refuse two numbers with a stroke between, of which each may be meant."""
    text = (
        f"could be a range or two values, {first} and {second}, or a fraction. Write the one that "
        f'is meant, such as "{second}".'
    )
    return Message("", "", text, code="size.two_or_a_part")


def two_amounts(mend: str) -> Message:
    """Refuse two amounts that do not agree, or do not belong together."""
    return Message("", "", f"two amounts. {mend}", code="size.two_amounts")


def sieve_differs(size: str, number: int) -> Message:
    """Refuse an aperture beside the number of a sieve of another."""
    text = f"{size} is no opening of a sieve of No. {number}. Write the one that is meant."
    return Message("", "", text, code="aperture.sieve_differs")


def sieve_number(size: str, number: int) -> Message:
    """Note that a sieve's number stands beside its opening, and says no more."""
    text = (
        f"read as {size}; No. {number} is taken as the number of its sieve, and as no mesh count."
    )
    return Message("", "", text, "note", code="aperture.sieve_number")
