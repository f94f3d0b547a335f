"""Numbers written as words, dozens and gross."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.item import NO_TAGS, Item
from meshcore.reading.vocabulary import fold

#: What a number is counted in.
_MANY = {"dozen": 12.0, "gross": 144.0, "pair": 2.0}


def join_numbers(items: Sequence[Item]) -> list[Item]:
    """Read numbers written as words, and dozens and gross."""
    out: list[Item] = []
    for item in items:
        worded = item.tags.get("number") or item.tags.get("vague")
        if item.kind == "word" and worded is not None:
            item = replace(item, kind="num", values=(float(worded),), spelled=True)  # noqa: PLW2901
        many = _MANY.get(item.tags.get("quantity", ""))
        last = out[-1] if out else None
        if (
            many is not None
            and last is not None
            and last.kind == "num"
            and not last.unit
            and last.values
        ):
            out[-1] = replace(
                last,
                text=f"{last.text} {item.text}",
                end=item.end,
                values=tuple(v * many for v in last.values),
                spelled=False,
                tags=NO_TAGS,
            )
            continue
        if _hyphened(out, item):
            out.pop()
            last = out[-1]
        if last is not None and item.spelled and _parts_one(last, item):
            out[-1] = replace(last, text=f"{last.text} {item.text}", end=item.end)
            continue
        if last is not None and item.spelled and last.spelled and _adds(last, item):
            out[-1] = _added(last, item)
            continue
        if (
            last is not None
            and item.spelled
            and last.kind == "word"
            and len(out) > 1
            and fold(last.text) in ("and", "point")
            and out[-2].spelled
        ):
            before = out[-2]
            if fold(last.text) == "point" or before.text.endswith("point"):
                out[-2:] = [_pointed(before, item)]
                continue
            if before.values[0] >= 100 and item.values[0] < 100:  # noqa: PLR2004
                out[-2:] = [_added(before, item)]
                continue
        if last is not None and item.spelled and fold(last.text) == "point" and last.kind == "word":
            out[-1] = _pointed(replace(last, values=(0.0,), text="point"), item)
            continue
        if (
            last is not None
            and item.spelled
            and "point" in last.text
            and last.spelled
            and item.values[0] < 10  # noqa: PLR2004
        ):
            out[-1] = _pointed(last, item)
            continue
        out.append(item)
    return _thousands(_said_twice(out))


#: A whole number whose thousands a sign parts: "2.500", "10,000".
_PARTED = re.compile(r"\d{1,3}(?:[.,]\d{3})+")


def _thousands(items: list[Item]) -> list[Item]:
    """Take "2.500" for a whole number where it counts: "1.000, 2.500 und 5.000 Ronden"."""
    for n, item in enumerate(items):
        wholes = tuple(v for v in item.values if v == int(v) and v >= _THOUSAND)
        if item.kind != "num" or item.unit or item.whole or not wholes:
            continue
        if _PARTED.fullmatch(item.text) and _counts(items, n):
            items[n] = replace(item, values=wholes)
    return items


_THOUSAND = 1000.0


def _counts(items: Sequence[Item], n: int) -> bool:
    """Whether a number, or a run of numbers that it stands in, stands before what it counts."""
    k = n + 1
    while k < len(items) and (items[k].text in ",/&" or "and" in items[k].tags):
        k += 1
        if k >= len(items) or items[k].kind != "num" or not _PARTED.fullmatch(items[k].text):
            break
        k += 1
    goods = {"form", "shape", "counts_pieces"}
    return k < len(items) and bool(goods & items[k].tags.keys()) and items[k].kind == "word"


def _said_twice(items: Sequence[Item]) -> list[Item]:
    """Take "sixty (60)" for one number, and "six (8)" for a doubt."""
    out: list[Item] = []
    n = 0
    while n < len(items):
        one, after = items[n], [i for i in items[n + 1 : n + 5] if i.kind != "nl"][:3]
        if one.spelled and len(after) == 3 and after[0].text == "(" and after[2].text == ")":  # noqa: PLR2004
            digits = after[1]
            if digits.whole and not digits.spelled and digits.glued and after[2].glued:
                tags = NO_TAGS if digits.values == one.values else {"vague": "is"}
                out.append(replace(one, kind="num", end=after[2].end, tags=tags,
                                   text=f"{one.text} ({digits.text})"))  # fmt: skip
                n = next(k for k in range(n, len(items)) if items[k] is after[2]) + 1
                continue
        out.append(one)
        n += 1
    return out


def _parts_one(last: Item, item: Item) -> bool:
    """Whether a part of one is told: "half a millimetre"."""
    return last.spelled and last.values[0] < 1.0 and fold(item.text) in ("a", "an")


def _hyphened(out: Sequence[Item], item: Item) -> bool:
    """Whether a number word follows another after a hyphen: "twenty-five"."""
    if len(out) < 2 or not item.spelled or out[-1].text != "-":  # noqa: PLR2004
        return False
    joined = out[-1].glued and item.glued
    return joined and out[-2].spelled and _adds(out[-2], item)


def _adds(a: Item, b: Item) -> bool:
    """Whether two number words are parts of one: "twenty five", "three hundred"."""
    x, y = a.values[0], b.values[0]
    if "point" in a.text:
        return False
    return (
        (y in (100.0, 1000.0) and x < y)
        or (x >= 20 and x % 10 == 0 and y < 10)  # noqa: PLR2004
        or (
            x >= 100 and x % 100 == 0 and y < 100  # noqa: PLR2004
        )
    )


def _added(a: Item, b: Item) -> Item:
    x, y = a.values[0], b.values[0]
    value = x * y if y in (100.0, 1000.0) and x < y else x + y
    return replace(a, text=f"{a.text} {b.text}", end=b.end, values=(value,))


def _pointed(a: Item, b: Item) -> Item:
    """Read decimals said one by one: "point two five"."""
    places = len(a.number)
    digits = f"{b.values[0]:.0f}"
    value = a.values[0] + b.values[0] * 10.0 ** -(places + len(digits))
    return replace(
        a,
        kind="num",
        text=f"{a.text} point {b.text}",
        end=b.end,
        values=(round(value, 9),),
        number=a.number + digits,
        spelled=True,
        tags=NO_TAGS,
    )
