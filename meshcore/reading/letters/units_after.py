"""The unit that follows a number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.item import NO_TAGS, Item
from meshcore.reading.vocabulary import fold

_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "ft": 304.8, "in": 25.4}


def join_units(items: Sequence[Item], text: str, capitals: bool) -> list[Item]:
    """Give each number the unit that follows it, and join feet and inches."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        item = items[at]
        following = items[at + 1] if at + 1 < len(items) else None
        if item.kind == "num" and following is not None and not item.tags.get("alloy"):
            if (
                following.text == "-"
                and at + 2 < len(items)
                and "unit" in items[at + 2].tags
                and following.glued
                and items[at + 2].glued
            ):
                at += 1
                following = items[at + 1]
            unit = _unit_after(
                item,
                following,
                items[at + 2] if at + 2 < len(items) else None,
                capitals,
                _is_sized(items, at) or _asks_for_screens(items, at),
            )
            if unit == "in" and _is_preposition(items, at, out):
                unit = ""
            if unit:
                item = replace(
                    item,
                    unit=unit,
                    end=following.end,
                    number=item.text,
                    tags=NO_TAGS,
                    text=text[item.start : following.end],
                )
                at += 1
                dashed = _past_dash(out)
                last = out[-2] if dashed else out[-1] if out else None
                if (
                    unit == "in"
                    and last is not None
                    and last.unit == "ft"
                    and last.kind == "num"
                    and not any(v > 12 for v in item.values)  # noqa: PLR2004
                    and (last.end >= item.start - 1 or dashed)
                ):
                    item = replace(
                        last,
                        end=item.end,
                        text=text[last.start : item.end],
                        unit="in",
                        values=tuple(12 * last.values[0] + v for v in item.values),
                    )
                    del out[-2 if dashed else -1 :]
        out.append(item)
        at += 1
    return _metres(_bracketed(_and_a_half(out)))


def _and_a_half(items: list[Item]) -> list[Item]:
    """Add the half of "a metre and a half" to what it is half of."""
    out: list[Item] = []
    n = 0
    while n < len(items):
        one = items[n]
        k = n + 2 + (n + 2 < len(items) and fold(items[n + 2].text) in ("a", "one"))
        half = items[k] if k < len(items) else None
        told = one.unit in _MM and half is not None and "and" in items[n + 1].tags
        if told and half is not None and half.values == (0.5,) and not half.unit:
            one = replace(one, end=half.end, values=tuple(v + 0.5 for v in one.values),
                          text=f"{one.text} and a half")  # fmt: skip
            n = k
        out.append(one)
        n += 1
    return out


def _past_dash(out: Sequence[Item]) -> bool:
    """Whether feet and a dash stand before an amount: 4'-0 in."""
    return len(out) > 1 and out[-1].text == "-" and out[-1].glued and out[-2].unit == "ft"


def _is_bare(item: Item) -> bool:
    return item.kind == "num" and not item.unit and not item.tags.get("alloy")


#: Words in brackets that may stand beside the unit of what was before: "(sorry, inches)".
_MOST_BRACKETED = 6


def _bracketed(items: list[Item]) -> list[Item]:
    """Give bare sizes before brackets the unit that these hold: "24 x 36 (sorry, inches)"."""
    for n, item in enumerate(items):
        if item.text != "(" or not n or items[n - 1].kind != "num" or items[n - 1].unit:
            continue
        end = next(
            (k for k in range(n, min(n + _MOST_BRACKETED, len(items))) if items[k].text == ")"), 0
        )
        inside = items[n + 1 : end]
        units = [i.tags["unit"] for i in inside if i.kind == "word" and i.tags.get("unit") in _MM]
        if len(units) != 1 or any(i.kind == "num" for i in inside):
            continue
        if all("unit" not in i.tags or len(i.text) < 2 for i in inside):  # noqa: PLR2004
            continue
        k = n - 1
        while (
            k >= 0
            and items[k].kind == "num"
            and not items[k].unit
            and not items[k].tags.get("alloy")
        ):
            items[k] = replace(items[k], unit=units[0])
            k -= 2 if k > 1 and fold(items[k - 1].text) in ("x", "by", "*") else len(items)
    return items


#: A bare whole number from here on is no size in inches where an "in" and another size follow.
_NO_INCHES = 50.0


def _is_preposition(items: Sequence[Item], at: int, before: Sequence[Item]) -> bool:
    """Whether the "in" after a number is no unit: "of line 1 in 0.5 m", "and six in 200 mm"."""
    word = items[at + 1]
    if fold(word.text) != "in" or word.glued or not items[at].whole:
        return False
    if before and {"item", "same", "as"} & before[-1].tags.keys():
        return True
    after = items[at + 2 : at + 4]
    if len(after) < 2 or after[0].kind != "num" or "/" in items[at].text:  # noqa: PLR2004
        return False
    if "count" in after[1].tags:
        return True
    counts = items[at].spelled or bool(before and "and" in before[-1].tags)
    return "unit" in after[1].tags and (counts or items[at].values[0] >= _NO_INCHES)


#: A size beside an "x" from here on [mm] is no wire or opening: what it is crossed with is long.
_WIDE = 100.0


def _metres(items: list[Item]) -> list[Item]:
    """Take the "M" of "1000MM X 30M" for metres: it stands crossed with a width."""
    for n, item in enumerate(items):
        if item.unit != "M":
            continue
        sized = items[n - 1].tags.get("size") if n else ""
        if sized in ("width", "length"):
            items[n] = replace(item, unit="m")
            continue
        for cross, other in ((n - 1, n - 2), (n + 1, n + 2)):
            if (
                0 <= other < len(items)
                and fold(items[cross].text) in ("x", "by", "*")
                and items[other].unit in _MM
                and _is_wide(items[other].values[0] * _MM[items[other].unit], item)
            ):
                items[n] = replace(item, unit="m")
    return items


def _is_wide(size_mm: float, count: Item) -> bool:
    """Whether a size is too large for the wire or opening of cloth of so many to the inch."""
    return size_mm >= _WIDE or size_mm * count.values[0] >= _MM["in"]


def _is_sized(items: Sequence[Item], at: int) -> bool:
    """Whether crossed sizes stand after a word: "10 screens 1525 x 1220 mm" are pieces."""
    after = [i for i in items[at + 2 : at + 7] if "unit" not in i.tags][:3]
    if after and "same size" in after[0].tags and items[at].whole:
        return True
    if len(after) < 3 or items[at + 1].kind != "word" or fold(items[at + 1].text) in _SHORT:  # noqa: PLR2004
        return False
    crossed = fold(after[1].text) in ("x", "by", "*")
    return after[0].kind == "num" and crossed and after[2].kind == "num" and items[at].whole


#: One of these after a number of more stands before what is counted.
_THINGS = frozenset({"machine", "deck", "tank", "drum", "kiln", "oven", "rack"})


def _asks_for_screens(items: Sequence[Item], at: int) -> bool:
    """Whether things of a plant are goods here: "price ten screens", "for 30 machine guard inserts"."""  # noqa: E501
    word, after = fold(items[at + 1].text), items[at + 2] if at + 2 < len(items) else None
    named = after is not None and after.kind == "word" and not after.tags.keys() - {"process"}
    things = word in ("screen", "screens") or (word in _THINGS and named)
    return things and any("quote" in i.tags for i in items[max(at - 2, 0) : at])


#: Units of a process as short as this name no things.
_SHORT = frozenset({"c", "t", "l", "h", "v", "kg", "lb", "kw", "hp", "hz", "db", "m2", "m3", "min"})


def _crosses(after: Item | None) -> bool:
    """Whether another size stands after a width: "48 W x 96 L"."""
    return after is not None and (
        after.kind == "num" or fold(after.text) in ("x", "by", "*", ",", "/")
    )


def _unit_after(  # noqa: PLR0911
    item: Item, following: Item, after: Item | None, capitals: bool, sized: bool = False
) -> str:
    tags, folded = following.tags, fold(following.text)
    if item.spelled and following.text in ("'", '"'):
        return ""  # "A's mesh"
    if following.kind == "mark" and following.text not in "\"'#%°":
        return ""
    if "count" in tags and item.spelled and item.values == (1.0,):
        return ""  # "a mesh"
    if "count" in tags and "alloy" not in tags:
        return f"/{tags['count']}"
    if (
        following.text == "M"
        and following.glued
        and not capitals
        and item.whole
        and item.values[0] <= 650  # noqa: PLR2004
    ):
        return "M"
    if following.text == "W" and item.whole and not _crosses(after):
        return "process"  # "12 W" are watts, and a width only beside a length
    if "unit" in tags:
        unit = tags["unit"]
        if folded in ("g", "w", "d") and not following.glued:
            return ""
        if (
            folded == "in"
            and after is not None
            and not following.glued
            and ({"alloy", "the"} & after.tags.keys() or fold(after.text) in ("our", "a", "all"))
        ):
            return ""
        return unit
    if "process" in tags:
        return "" if sized else "process"
    return ""
