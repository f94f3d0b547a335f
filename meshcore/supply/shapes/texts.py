"""Shapes as people write them: a name and its sizes."""

from __future__ import annotations

import difflib
import re
from functools import lru_cache

from meshcore.messages import Message
from meshcore.reading import refusals
from meshcore.reading.numbers.plausible import is_usual
from meshcore.reading.refusals import about
from meshcore.reading.shape_texts import LONGEST_SHAPE, shapes_named, written
from meshcore.reading.shape_tidying import points_parted, stops_parted
from meshcore.reading.texts import Reading, is_blank, read_text, tidy
from meshcore.reading.vocabulary import fold, words
from meshcore.supply.shapes.builders import Impossible
from meshcore.supply.shapes.kinds import KINDS, ShapeKind
from meshcore.supply.shapes.outlines import Shape
from meshcore.supply.shapes.polygon_text import read_polygon
from meshcore.units import Kind

__all__ = ["Shape", "read_as", "read_shape", "shape_names"]

#: Names of the free polygon; the others are in ``KINDS``.
_POLYGON_NAMES = ("polygon", "free polygon", "free form")
_BY_NAME: dict[str, ShapeKind] = {n: kind for kind in KINDS for n in (kind.name, *kind.aliases)}
#: Entries are parted by a semicolon, or by a comma that is no decimal comma.
_ENTRY_BREAK = re.compile(r"\s*(?:;|,(?!\d)|(?<!\d),)\s*")
#: The sign between two sizes: "300 x 200 mm".
_BY_SIGN = re.compile(r"(?<=[\d\"'′″a-z])\s*[x×*]\s*(?=[\d.])", re.IGNORECASE)
_NAMED = re.compile(r"^(?P<name>[^\d+\-.,]*?)\s*[:=]?\s*(?P<value>[+\-]?\s*[.,]?\d.*)$")
_LAST_WORD = re.compile(r"^(?P<value>.*\d.*?)\s+(?P<name>[^\W\d]+)\.?$")
_UNIT = re.compile(r"[^\d\s.,/+\-][^\d]*$")


@lru_cache(maxsize=8192)
def read_shape(shape: str, dimensions: str, field: str = "dimensions") -> Shape | Message:
    """Read a shape from its name and its sizes.

    Parameters
    ----------
    shape
        Name of the shape; blank where `dimensions` begins with it (``"disc: diameter 2 in"``).
        A rectangle needs no name.
    dimensions
        Sizes with their names, or in the usual order (``"300 x 200 mm"``).
    field
        The column that the sizes stand in, for the message.

    Returns
    -------
    The shape, or a refusal that names the size that is missing or impossible.

    Examples
    --------
    >>> read_shape("", "trapezoid: base 300 mm, top 180 mm, height 220 mm").area_m2
    0.0528
    >>> read_shape("disc", "radius 100 mm").size_m
    (0.2, 0.2)
    >>> print(read_shape("triangle", "side a 300 mm, side b 400 mm").text)
    a triangle needs its side c or angle too. Write "triangle: side a 300 mm, side b 400 mm, \
side c 500 mm, or: triangle: side a 300 mm, side b 400 mm, angle 60°".
    """
    if len(shape) + len(dimensions) > LONGEST_SHAPE:
        text = f"too long for a shape and its sizes. Write it in {LONGEST_SHAPE} letters or less."
        return Message(field, dimensions or shape, text, code="shape.too_long")
    settled = _said_twice(shape, dimensions, field) or _behind_a_stop(shape, dimensions, field)
    if settled is not None:
        return settled
    name, sizes = _parted(shape, dimensions)
    read = _by_name(name, sizes, shape, dimensions, field)
    another = _another_shape(name, sizes)
    if isinstance(read, Shape) and not another:
        return read
    named = written("" if is_blank(shape) else shape, dimensions)
    if isinstance(read, Shape) and not named:
        said = (
            f'"{another}" stands beside sizes of {_a(_BY_NAME[name or "rectangle"])}. Write one '
            f'shape with its sizes, such as "{_BY_NAME["disc"].example}".'
        )
        return Message(field, f"{shape} {dimensions}".strip(), said, code="shape.two")
    again = _by_name(*named, shape, dimensions, field) if named else read
    plain = not named or named[0] == "rectangle"
    if isinstance(again, Message) and plain:
        unnamed = not named and _parted(shape, dimensions)[0] not in _BY_NAME
        return (_of_the_shape_named(shape, dimensions, field) if unnamed else None) or read
    return again


#: Two statements of one piece agree this nearly [-]: 508 mm is 20 in.
_AGREEMENT = 0.01


def _said_twice(shape: str, dimensions: str, field: str) -> Shape | Message | None:
    """Read sizes that stand again in brackets, in another unit; None where none do."""
    first, opening, rest = tidy(dimensions).partition("(")
    second, closing, after = rest.partition(")")
    if not (opening and closing and first.strip()) or after.strip():
        return None
    both = [read_shape(shape, part.strip(), field) for part in (first, second)]
    one, other = both
    if not (isinstance(one, Shape) and isinstance(other, Shape)):
        return None
    if one.kind == other.kind and all(
        abs(a - b) <= _AGREEMENT * a for a, b in zip(one.size_m, other.size_m, strict=True)
    ):
        return one
    said = "two statements of the piece that do not agree. Write the one that is meant."
    return Message(field, dimensions, said, code="shape.statements_differ")


def _behind_a_stop(shape: str, dimensions: str, field: str) -> Shape | Message | None:
    """Read figures behind a word's stop, unless it may as well be their point; None without one."""
    spaced, pointed = stops_parted(dimensions), points_parted(dimensions)
    if spaced == dimensions:
        return None
    small = read_shape(shape, pointed, field)
    if isinstance(small, Shape) and all(is_usual("width", s, 0.0, "piece") for s in small.size_m):
        return about(refusals.stop_or_point(f'"{spaced}" or "{pointed}"'), field, dimensions)
    read = read_shape(shape, spaced, field)
    return about(read, field, dimensions) if isinstance(read, Message) else read


@lru_cache(maxsize=8192)
def read_as(shape: str, dimensions: str) -> str:
    """Return how a piece was understood that is not written by name; empty where it is.

    Examples
    --------
    >>> read_as("", "dia 200"), read_as("disc", "diameter 200 mm")
    ('disc: diameter 200 mm', '')
    """
    name, sizes = _parted(shape, dimensions)
    by_name = isinstance(_by_name(name, sizes, shape, dimensions, ""), Shape)
    if by_name and not _another_shape(name, sizes):
        return ""
    named = written("" if is_blank(shape) else shape, dimensions)
    return ": ".join(named) if named else ""


def _another_shape(name: str, sizes: str) -> str:
    """Return the word of some sizes that is of a shape other than the one named; empty if none."""
    if name in _POLYGON_NAMES:
        return ""
    kind = _BY_NAME.get(name or "rectangle")
    own = {kind.name, *kind.aliases} if kind else set()
    taken = kind.sizes if kind else ()
    named = shapes_named(sizes)
    return next((w for w, shape in named if shape not in own and w not in taken), "")


def _of_the_shape_named(shape: str, dimensions: str, field: str) -> Message | None:
    """Say how a shape's sizes are written, where its name alone is understood."""
    known = words("shape")
    named = [known[word] for word in fold(f"{shape} {dimensions}").split() if word in known]
    kind = _BY_NAME.get(named[0]) if named and named[0] != "rectangle" else None
    if kind is None or ":" in f"{shape} {dimensions}":
        return None
    said = f'its sizes are not all understood, or lack their unit. Write "{kind.example}".'
    return Message(field, f"{shape} {dimensions}".strip(), said, code="shape.sizes_unclear")


def _by_name(name: str, sizes: str, shape: str, dimensions: str, field: str) -> Shape | Message:
    """Read a shape whose sizes stand by name, or in the usual order."""
    if name in _POLYGON_NAMES:
        return read_polygon(sizes, field)
    kind = _BY_NAME.get(name or "rectangle")
    if kind is None:
        return _unknown_shape(name, shape)
    if is_blank(sizes):
        return Message(
            field,
            dimensions,
            f'{_a(kind)} needs its sizes. Write "{kind.example}".',
            code="shape.sizes_missing",
        )
    given = _read_sizes(kind, sizes, field)
    if isinstance(given, Message):
        return given
    return _built(kind, given, sizes, field)


def shape_names() -> tuple[str, ...]:
    """Names of all shapes that can be read, as lists offer them."""
    return (*(kind.name for kind in KINDS), "polygon")


def _parted(shape: str, dimensions: str) -> tuple[str, str]:
    """Name and sizes; either cell may carry both, with a colon between."""
    name, sizes = tidy(shape).casefold(), tidy(stops_parted(dimensions))
    if ":" in name:
        name, rest = (part.strip() for part in tidy(shape).split(":", 1))
        return name.casefold(), ", ".join(part for part in (rest, sizes) if part)
    if ":" in sizes:
        head, rest = (part.strip() for part in sizes.split(":", 1))
        known = head.casefold() in _BY_NAME or head.casefold() in _POLYGON_NAMES
        if known or (is_blank(name) and not re.search(r"\d", head)):
            return head.casefold(), rest
    return ("" if is_blank(name) else name), sizes


def _a(kind: ShapeKind) -> str:
    return f"{'an' if kind.name[0] in 'aeio' else 'a'} {kind.name}"


def _unknown_shape(name: str, read: str) -> Message:
    if any(c.isdigit() for c in read):
        example = _BY_NAME["rectangle"].example
        said = f'its figures and words are not understood together. Write "{example}".'
        return Message("shape", read, said, code="shape.not_understood")
    near = difflib.get_close_matches(name, [*_BY_NAME, *_POLYGON_NAMES], n=3)
    advice = f'Perhaps "{near[0]}". ' if near else ""
    return Message(
        "shape",
        read or name,
        f"no such shape. {advice}Known shapes: {', '.join(shape_names())}.",
        code="shape.unknown",
    )


def _read_sizes(kind: ShapeKind, text: str, field: str) -> dict[str, float] | Message:
    """Sizes that were given, under their own names."""
    given: dict[str, float] = {}
    order = list(kind.bare)
    for entry, unit in _entries(text):
        named = _name_of(kind, entry)
        name, value = named if named else ("", entry)
        if not named:
            name = next((n for n in order if n not in given), "")
            if not name:
                return _no_such_size(kind, entry, text, field)
        size, factor = kind.size_aliases.get(name, (name, 1.0))
        if size not in kind.sizes:
            return _no_such_size(kind, name, text, field)
        if size in given:
            return Message(
                field,
                text,
                f"{size} is given twice. Leave one of them out.",
                code="shape.size_twice",
            )
        reading = _read_size(kind.sizes[size], size in kind.signed, size, value, unit, text, field)
        if isinstance(reading, Message):
            return reading
        given[size] = factor * reading.value
    return given


def _entries(text: str) -> list[tuple[str, str]]:
    """Entries, each with the unit that a bare number in it would have."""
    entries: list[tuple[str, str]] = []
    for chunk in filter(None, _ENTRY_BREAK.split(text)):
        factors = _BY_SIGN.split(chunk)
        unit = _UNIT.search(factors[-1]) if len(factors) > 1 else None
        entries += [(factor, unit[0].strip() if unit else "") for factor in factors]
    return entries


def _name_of(kind: ShapeKind, entry: str) -> tuple[str, str] | None:
    """Name and value of an entry; None where it has no name."""
    matched = _NAMED.match(entry)
    if matched and matched["name"].strip(" ."):
        return matched["name"].strip(" .").casefold(), matched["value"]
    trailing = _LAST_WORD.match(entry)
    if trailing:
        word = trailing["name"].casefold()
        if word in kind.sizes or word in kind.size_aliases:
            return word, trailing["value"]
    return None if matched else (entry.casefold(), "")


def _read_size(
    kind: Kind, signed: bool, size: str, value: str, unit: str, text: str, field: str
) -> Reading | Message:
    reading = read_text(value, kind, field, unit if kind == "length" else "")
    if isinstance(reading, Message):
        return Message(field, text, f"{size}: {reading.text}", code=reading.code)
    if reading.said is not None and reading.said.code == "size.says_more":
        # A shape keeps no word of what stands beside its sizes.
        return Message(field, text, f"{size}: {reading.said.text}", code=reading.said.code)
    if reading.value <= 0 and not signed:
        return Message(
            field,
            text,
            f"{size} must be above zero. Write the size as measured.",
            code="shape.size_not_above_zero",
        )
    return reading


def _no_such_size(kind: ShapeKind, name: str, text: str, field: str) -> Message:
    known = ", ".join(kind.sizes)
    return Message(
        field, text,
        f'{_a(kind)} has no "{name}"; it has {known}. Write "{kind.example}".',
        code="shape.no_such_size",
    )  # fmt: skip


def _built(kind: ShapeKind, given: dict[str, float], text: str, field: str) -> Shape | Message:
    """Shape from sizes that are neither too few nor too many."""
    needed = given.keys() - set(kind.extra)
    if not any(needed == set(sizes) for sizes in kind.enough):
        return _wrong_sizes(kind, set(needed), text, field)
    built = kind.build(given)
    if isinstance(built, Impossible):
        return Message(
            field,
            text,
            f"{built.size}: {built.why}. Correct the {built.size}.",
            code="shape.impossible",
        )
    return built


def _wrong_sizes(kind: ShapeKind, given: set[str], text: str, field: str) -> Message:
    for sizes in kind.enough:
        if given > set(sizes):
            spare = ", ".join(size for size in kind.sizes if size in given - set(sizes))
            return Message(
                field, text,
                f"{', '.join(sizes)} already make {_a(kind)}; {spare} is one too many. "
                f"Leave one of them out.",
                code="shape.too_many_sizes",
            )  # fmt: skip
    missing = [[size for size in sizes if size not in given] for sizes in kind.enough]
    fewest = min(map(len, missing))
    choices = dict.fromkeys(" and ".join(lack) for lack in missing if len(lack) == fewest)
    return Message(
        field, text,
        f'{_a(kind)} needs its {" or ".join(choices)} too. Write "{kind.example}".',
        code="shape.too_few_sizes",
    )  # fmt: skip
