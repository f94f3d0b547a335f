"""The sizes that a passage states, alone and in pairs."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from meshcore.reading.letters.binding import Bound
from meshcore.reading.letters.doubts import only_about
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.many_sizes import counts_of_sizes
from meshcore.reading.letters.placing import place_amount
from meshcore.reading.letters.resolve import MM_OF
from meshcore.reading.letters.size_groups import read_group, same_twice, size_groups, two_counts
from meshcore.reading.letters.two_sizes import EITHER, two_words
from meshcore.reading.vocabulary import fold


def read_sizes(said: Said, bound: Sequence[Bound], amounts: Sequence[int], hint: str) -> None:
    """Add a fact for each amount that says, or shows by its place, what it is."""
    items = said.items
    roles = {b.at: _told_after(items, b) for b in bound} | two_words(items)
    doubts: dict[int, str] = {}
    amounts = _without_twins(items, amounts, roles, doubts)
    _holes_in_wire(items, amounts, roles)
    groups = size_groups(items, amounts, roles)
    group_of = {n: k + 1 for k, members in enumerate(groups) for n in members if len(members) > 1}
    for members in groups:
        same_twice(items, members, amounts, roles)
        read_group(items, members, roles)
        amounts = two_counts(items, members, amounts, doubts)
    for n in amounts:
        if not roles.get(n) and _square_holes(items, n):
            roles[n] = "maille"
    counted = set(counts_of_sizes(items, said.dropped).values())
    for n in amounts:
        item, role = items[n], roles.get(n, "") or _hinted(hint)
        members = groups[group_of[n] - 1] if n in group_of else [n]
        name, role = place_amount(items, n, role, members)
        name = name or ("dim" if n in counted else "")
        why = (
            doubts.get(n, "")
            or either(items, n)
            or (only_about(said, item) if name != "open_area" else "")
        )
        if item.unit == "gauge":
            why = f'"{item.text}": which gauge, SWG, BWG or another?'
        if name in ("", "dim") and not role and len(members) == 1 and _is_square(items, n):
            where = (items[n + 1].text, items[n + 1].start, items[n + 1].end)
            said.facts.append(Fact("form", "piece", *where))
            said.facts.append(Fact("shape", "rectangle", *where, role="square"))
            name, role = "dim", ""
        if name == "dim" and role == "length" and _is_length_of(items, n):
            said.facts.append(Fact("form", "roll", item.text, item.start, item.end, weak=True))
        if name == "" and _off_a_roll(items, n):
            name, role = "dim", "length"
            where = (item.text, item.start, item.end)
            said.facts.append(Fact("form", "roll", *where, weak=True))
        if name == "":
            said.loose.append(item)
            continue
        said.facts.append(
            Fact(name, "", item.text, item.start, item.end, item, role, group_of.get(n, 0), why)
        )


_OF_WIRE = frozenset({"in", "en", "mit", "with", "from", "of", "aus", "x", "/", "con", "avec"})


def _holes_in_wire(items: Sequence[Item], amounts: Sequence[int], roles: dict[int, str]) -> None:
    """Take "20 mm in 5 mm wire" for an opening, and "300 mm wide, 2 m each" for a length."""
    for a, b in pairwise(amounts):
        joined = b == a + 2 and fold(items[a + 1].text) in _OF_WIRE
        one = items[a]
        fits = one.unit in ("mm", "in") and items[b].unit == one.unit
        if joined and fits and not roles.get(a) and roles.get(b) == "wire":
            roles[a] = "aperture"
        each = b + 1 < len(items) and fold(items[b + 1].text) in ("each", "apiece")
        if each and roles.get(a) == "width" and not roles.get(b) and items[b].unit in ("m", "ft"):
            roles[b] = "length"


def _told_after(items: Sequence[Item], bound: Bound) -> str:
    """Role of an amount, by the bracket after it if it says more: "maille 1 mm (ouverture)"."""
    after = items[bound.at + 1 : bound.at + 4]
    if bound.role == "maille" and len(after) == 3 and after[0].text == "(" and after[2].text == ")":  # noqa: PLR2004
        told = after[1].tags.get("size", "")
        return told if told in ("aperture", "pitch") else bound.role
    return bound.role


#: No square hole beside a bare "sq" is larger than this [mm] (our choice): a piece may be.
_LARGEST_SQ_MM = 60.0


def _square_holes(items: Sequence[Item], n: int) -> bool:
    """Whether an amount is the hole or the pitch by a "sq": "1 in sq. mesh", "12.5 mm sq, 2.5 wire"."""  # noqa: E501
    after = [i for i in items[n + 1 : n + 4] if i.text != "."]
    if items[n].unit not in ("mm", "in") or not after or fold(after[0].text) != "sq":
        return False
    if len(after) > 1 and fold(after[1].text) == "mesh":
        return True
    wired = any(i.tags.get("size") == "wire" for i in items)
    wired = wired or not any({"form", "shape"} & i.tags.keys() for i in items)
    ended = len(after) < 2 or after[1].kind in ("mark", "nl", "num")  # noqa: PLR2004
    return wired and ended and max(items[n].values) * MM_OF[items[n].unit] <= _LARGEST_SQ_MM


_OF = frozenset({"of", "de", "von", "d"})


def _is_square(items: Sequence[Item], n: int) -> bool:
    """Whether an amount is the side of a square piece: "580 mm square", "a foot square"."""
    after = items[n + 1 : n + 3]
    return (
        bool(items[n].unit)
        and bool(after)
        and fold(after[0].text) == "square"
        and not any({"size", "count", "weave", "form", "shape"} & i.tags.keys() for i in after[1:])
    )


def _off_a_roll(items: Sequence[Item], n: int) -> bool:
    """Whether an amount is a length of cloth as such: "2 metros de malla", "6 ft of 10 mesh"."""
    after = items[n + 1 : n + 3]
    if after and items[n].unit in ("m", "ft", "yd") and fold(after[0].text) == "of it":
        return True
    if len(after) > 1 and items[n].unit in ("m", "ft", "yd") and fold(after[0].text) == "off":
        return "the" in after[1].tags
    return (
        items[n].unit in ("m", "ft", "yd")
        and len(after) == 2  # noqa: PLR2004
        and fold(after[0].text) in _OF
        and (
            bool({"alloy", "count", "cloth", "weave", "the"} & after[1].tags.keys())
            or after[1].unit.startswith("/")
            or fold(after[1].text) in ("it", "mesh", "malla", "tela", "toile", "gewebe", "cloth")
        )
    )


def _is_length_of(items: Sequence[Item], n: int) -> bool:
    """Whether an amount is a length of cloth by the word for it: "a 5 m length of the same mesh"."""  # noqa: E501
    after = [fold(i.text) for i in items[n + 1 : n + 3]]
    return items[n].unit in ("m", "ft", "yd") and after in [["length", one] for one in _OF]


_LESS = frozenset({"less", "minus", "weniger", "moins", "menos"})
_BETWEEN = frozenset({"between", "zwischen", "entre"})


#: The ends of a range of sizes are to each other at most as this (our choice).
_WIDEST_RANGE = 4.0


def _ranges(items: Sequence[Item], n: int) -> bool:
    """Whether a size is the lower end of a range: "wire 0.9 to 1.2 mm"."""
    three = items[n : n + 3]
    if len(three) < 3 or three[2].kind != "num" or not three[2].values or not three[0].values:  # noqa: PLR2004
        return False
    if "range" not in three[1].tags and not (three[1].text == "-" and three[1].glued):
        return False
    after = items[n + 3] if n + 3 < len(items) else None
    named = after is not None and "size" in after.tags
    united = three[2].unit in MM_OF or (not three[2].unit and named)
    if three[0].unit not in ("", three[2].unit) or not united:
        return False
    low, high = min(three[0].values), max(three[2].values)
    return 0 < low < high <= _WIDEST_RANGE * low


def either(items: Sequence[Item], n: int) -> str:  # noqa: PLR0911
    """Why an amount is to be asked about: another number stands beside it, "or" or "between"."""
    if EITHER in items[n].tags:
        return f'"{items[n].text}": {items[n].tags[EITHER]}?'
    for k in (n + 1, n + 2):
        if k + 1 < len(items) and fold(items[k].text) in _LESS and items[k + 1].kind == "num":
            return f'"{" ".join(i.text for i in items[n : k + 2])}": which size is meant?'
        if k < len(items) and items[k].kind != "word":
            break
    if n > 2 and "and" in items[n - 1].tags and fold(items[n - 3].text) in _BETWEEN:  # noqa: PLR2004
        return f'"{" ".join(i.text for i in items[n - 3 : n + 1])}": which of them?'
    if n and fold(items[n - 1].text) in _BETWEEN:
        shown = " ".join(i.text for i in items[n - 1 : n + 3])
        return f'"{shown}": which of them?'
    for k in (n, n - 2):
        if k >= 0 and _ranges(items, k):
            return f'"{" ".join(i.text for i in items[k : k + 3])}": which of them?'
    if n > 2 and fold(items[n - 1].text) == "er":  # noqa: PLR2004 - "eine 12er oder 13er Masche"
        return ""
    ered = n > 2 and fold(items[n - 2].text) == "er" and "or" in items[n - 1].tags  # noqa: PLR2004
    if ered and _rivals(items[n - 3], items[n]):
        return f'"{items[n - 3].text}er {items[n - 1].text} {items[n].text}er": which of them?'
    for a, b in ((n - 2, n), (n, n + 2)):
        if a >= 0 and b < len(items) and "or" in items[a + 1].tags and _rivals(items[a], items[b]):
            return f'"{items[a].text} or {items[b].text}": which of them?'
    return ""


def _rivals(one: Item, other: Item) -> bool:
    """Whether two amounts beside an "or" may be the same size: "1 m or 1.2 m", "0.28 or 0.3"."""
    if not one.kind == other.kind == "num" or not one.values or not other.values:
        return False
    if {"alloy"} & (one.tags.keys() | other.tags.keys()):
        return False
    return one.unit in ("", other.unit) or (one.unit in MM_OF and other.unit in MM_OF)


#: Two statements of one size in two units agree within this share (our choice: "36 in (915 mm)").
_TWIN = 0.01


def _without_twins(
    items: Sequence[Item], amounts: Sequence[int], roles: dict[int, str], doubts: dict[int, str]
) -> list[int]:
    """Take "36 in (915 mm)" for one size, and "36 in (1 m)" for a doubt."""
    out = list(amounts)
    for a, b in pairwise(amounts):
        bracketed = (
            b == a + 2
            and items[a + 1].text == "("
            and b + 1 < len(items)
            and items[b + 1].text == ")"
        )
        if not bracketed or items[a].unit not in MM_OF or items[b].unit not in MM_OF:
            continue
        first, second = (items[n].values[0] * MM_OF[items[n].unit] for n in (a, b))
        roles[a] = roles.get(a, "") or roles.get(b, "")
        out.remove(b)
        if abs(first - second) > _TWIN * max(first, second):
            doubts[a] = f'"{items[a].text}" and "{items[b].text}" are both stated'
    return out


def _hinted(hint: str) -> str:
    if hint in ("width", "length", "aperture", "pitch", "open_area"):
        return hint
    if hint == "wire_diameter":
        return "wire"
    return "dim" if hint == "dimensions" else ""
