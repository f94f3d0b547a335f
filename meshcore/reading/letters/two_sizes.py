"""Two sizes that are written for one, "36/48 in wide", "25-30 m long": one amount, to be asked."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.item import Item
from meshcore.reading.letters.resolve import MM_OF
from meshcore.reading.vocabulary import fold

#: Tag of an amount that names two sizes; its meaning says both.
EITHER = "either"
#: Two sizes for one are to each other at most as this (our choice); a larger ratio is a width and
#: a length, or an opening and its wire.
_WIDEST = 4.0
#: An opening before the stroke and its wire after it differ by more than this (common practice).
_NO_WIRE = 1.5
#: Sides of a form, whose sizes are never written larger first with anything but a choice.
_SIDES = frozenset({"width", "length", "height", "diameter", "od", "id"})
_ROUND = frozenset({"diameter", "od", "id"})
#: Tag of such an amount for what it is a size of, and its meaning where that is open.
SIDE, _OPEN = "side_of", "size"
#: Columns of a table whose cells hold one size, and the role of it.
_HINTS = {"width": "width", "length": "length", "aperture": "aperture", "pitch": "pitch",
          "wire_diameter": "wire"}  # fmt: skip
_WIDTHS, _LENGTHS = frozenset({"mm", "cm", "in"}), frozenset({"m", "ft", "yd"})
_CLOTH = frozenset({"wire", "aperture", "pitch", "maille"})
_CROSSES = frozenset({"x", "by", "*", "par", "por", "mal"})
#: Words and signs that stand between the name of a size and the size.
_LINKS = frozenset({":", "=", "of", "von", "de", "is", "ist", "est", "es"})
#: A fraction as it is written; sizes in these units have none.
_FRACTION = re.compile(r"^(\d{1,2})/(\d{1,2})(?=\D|$)")
_NO_FRACTIONS = frozenset({"mm", "cm", "µm"})


def two_for_one(items: Sequence[Item], hint: str = "") -> list[Item]:
    """Join two amounts with a stroke that are said of one size to one amount that names both.

    "36/48 in wide", "fil 0,5/0,63 mm", "50/60 mm x 10 m", "25-30 m long"; "2/0.5 mm" stays an
    opening and its wire, "1000/2000 mm" a width and a length. `hint` is the column of a cell.
    """
    out: list[Item] = []
    n = 0
    while n < len(items):
        if _strokes(items, n, hint) and (role := _one_size(items, n, hint)):
            low, high = items[n], items[n + 2]
            written = [f"{i.number or i.text} {high.unit}".strip() for i in (low, high)]
            tags = {EITHER: f'"{written[0]}" or "{written[1]}"', SIDE: role}
            text = f"{low.text}{items[n + 1].text}{high.text}"
            out.append(replace(high, text=text, start=low.start, glued=low.glued, tags=tags))
            n += 3
            continue
        out.append(_no_fraction(items[n]))
        n += 1
    return out


def _strokes(items: Sequence[Item], n: int, hint: str) -> bool:
    """Whether two amounts of one unit stand here with a stroke or a dash between."""
    three = items[n : n + 3]
    if len(three) < 3 or three[0].kind != "num" or three[2].kind != "num":  # noqa: PLR2004
        return False
    low, sign, high = three
    close = sign.glued and high.glued
    if sign.text not in ("/", "-", "–") or (sign.text != "/" and not close):
        return False
    if any(i.tags.get("alloy") or i.spelled or not i.values for i in (low, high)):
        return False
    if not high.unit and not low.unit:
        return hint in _HINTS and len(items) == len(three)
    return high.unit in MM_OF and low.unit in ("", high.unit)


def _one_size(items: Sequence[Item], n: int, hint: str) -> str:
    """Return what two amounts are one size of, or "size" where that is open; empty if they are two."""  # noqa: E501
    low, high = min(items[n].values), min(items[n + 2].values)
    role = _role(items, n) or _HINTS.get(hint, "")
    dashed = items[n + 1].text != "/"
    if low == high or not 0 < max(low, high) <= _WIDEST * min(low, high):
        return ""
    if low < high:
        if dashed or role or _is_crossed(items, n):
            return role or _OPEN
        return "width" if _before_length(items, n) else ""
    ring = role in _ROUND and any(i.tags.get("shape") == "ring" for i in items)
    if dashed or ring:
        return ""
    return role if role in _SIDES or (role in _CLOTH and low <= _NO_WIRE * high) else ""


def _before_length(items: Sequence[Item], n: int) -> bool:
    """Whether the length of a roll stands after its two widths: "1000/1220 mm, 30 m"."""
    after = items[n + 3 : n + 6]
    rolled = any(i.tags.get("form") in ("roll", "strip") for i in items)
    if not rolled or len(after) < 2 or after[0].text != "," or items[n + 2].unit not in _WIDTHS:  # noqa: PLR2004
        return False
    crossed = len(after) > 2 and fold(after[2].text) in _CROSSES  # noqa: PLR2004
    return after[1].unit in _LENGTHS and not crossed


def _role(items: Sequence[Item], n: int) -> str:
    """Return what the word beside two amounts says they are; empty where two words or none do."""
    after = [i for i in items[n + 3 : n + 6] if fold(i.text) not in ("in", "de", "of")]
    before = [i for i in items[max(n - 4, 0) : n] if fold(i.text) not in _LINKS]
    for words, leans in ((after, "before"), (before[::-1], "after")):
        if not words or "size" not in words[0].tags or words[0].kind == "num":
            continue
        role = words[0].tags["size"]
        two = len(words) > 1 and words[1].text in "/x&+-"
        if role not in _SIDES | _CLOTH or words[0].tags.get("leans") == leans or two:
            continue
        return role
    return ""


def _is_crossed(items: Sequence[Item], n: int) -> bool:
    """Whether an "x" and another amount stand beside: "50/60 mm x 10 m", "1 m x 15/30 m"."""
    for cross, other in ((n - 1, n - 2), (n + 3, n + 4)):
        if 0 <= other < len(items) and cross < len(items):
            unit = items[other].unit
            if fold(items[cross].text) in _CROSSES and items[other].kind == "num":
                return not unit or unit in MM_OF
    return False


def _no_fraction(item: Item) -> Item:
    """Name both sizes of what looks like a fraction and has a metric unit: "3/4 mm wire"."""
    found = _FRACTION.match(item.text)
    if item.kind != "num" or item.unit not in _NO_FRACTIONS or found is None:
        return item
    shown = " or ".join(f'"{one} {item.unit}"' for one in found.groups())
    return replace(item, tags={EITHER: shown})


def two_words(items: Sequence[Item]) -> dict[int, str]:
    """Roles of two amounts that are named together: "aperture/wire 2/0.5 mm", "2/0.5 mm w/d".

    Returns
    -------
    The place of each amount and its role; empty where no two words are joined as they are.
    """
    roles: dict[int, str] = {}
    for n in range(len(items) - 2):
        first, sign, second = items[n : n + 3]
        if not first.kind == second.kind == "num" or fold(sign.text) not in _JOINS:
            continue
        before = [k for k in range(max(n - 4, 0), n) if items[k].text not in (":", "=", "(", ",")]
        for three in (before[-3:], [n + 3, n + 4, n + 5]):
            if len(three) < 3 or three[-1] >= len(items):  # noqa: PLR2004
                continue
            told = [items[k].tags.get("size", "") for k in (three[0], three[2])]
            joined = fold(items[three[1]].text) in _JOINS
            if joined and all(one in _SIDES | _CLOTH for one in told):
                roles |= {n: told[0], n + 2: told[1]}
    return roles


_JOINS = frozenset({"/", "x", "*", "×"})
