"""Which amount belongs to which word: sizes bound to the words beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from meshcore.reading.letters.item import Item
from meshcore.reading.letters.two_sizes import SIDE
from meshcore.reading.vocabulary import fold

#: What it costs to bind over a comma, a line's end, an "x", any other word (our choice: a comma
#: parts more than two words do, a line's end more than a comma).
_COMMA, _NEWLINE, _CROSS, _WORD = 2.0, 3.0, 2.5, 0.6
#: A word after the comma that ends an amount speaks of what comes next: "40 micron, wire as usual".
_COMMA_AFTER = 4.3
#: A word that leans to the other side costs this much more, and one left alone this much.
_AGAINST, _ALONE = 1.4, 2.6
#: An amount left alone.
_UNBOUND = 1.6
_FAR = 9.0
#: No hole, wire or pitch is measured in these.
_NEVER_CLOTH = frozenset({"m", "ft", "yd"})
#: No wire, opening or pitch of cloth is larger than this [mm] (common practice, no source).
_LARGEST_MM = {"wire": 25.0, "aperture": 155.0, "pitch": 180.0}
_FAR_MM = float("inf")
#: A count or a word of the form stands between a size and what it cannot belong to.
_APART = 2.5
_WIRE_UNITS = frozenset({"SWG", "BWG", "AWG", "gauge"})


@dataclass(frozen=True, slots=True)
class Bound:
    """An amount with the word that says what it is; `role` is empty where none does."""

    at: int
    role: str
    word: int = -1


def bind(items: Sequence[Item], amounts: Sequence[int], dropped: set[int]) -> list[Bound]:
    """Bind amounts to size words, each to at most one beside it, at the least cost in all."""
    chosen = set(amounts)
    row = [n for n in range(len(items)) if n in chosen or _is_word(items, n, dropped)]
    best: list[tuple[float, tuple[tuple[int, int], ...]]] = [(0.0, ())]
    for k in range(1, len(row) + 1):
        alone = _UNBOUND if row[k - 1] in chosen else _ALONE
        options = [(best[k - 1][0] + alone, best[k - 1][1])]
        if k > 1:
            pair = (row[k - 2], row[k - 1])
            cost = _pair_cost(items, pair, chosen)
            if cost < _FAR:
                options.append((best[k - 2][0] + cost, (*best[k - 2][1], pair)))
        best.append(min(options, key=lambda option: option[0]))
    bound = {}
    for a, b in best[-1][1]:
        amount, word = (a, b) if a in chosen else (b, a)
        bound[amount] = Bound(amount, _role(items[word], items[amount]), word)
    return [bound.get(n, Bound(n, _own_role(items[n]))) for n in row if n in chosen]


#: A hole in the middle of a piece is no opening of its cloth.
_MIDDLE = frozenset({"middle", "centre", "center", "mitte", "milieu", "centro", "mittig"})
#: After the word "wire" these name the goods: "wire mesh".
_GOODS = frozenset({"mesh", "cloth", "gauze", "netting", "fabric", "screen", "screens"})


def _in_the_middle(items: Sequence[Item], n: int) -> bool:
    """Whether a hole is one in the middle of the piece: "a hole of 60 in the middle"."""
    for item in items[n + 1 : n + 6]:
        if item.kind in ("mark", "nl"):
            return False
        if fold(item.text) in _MIDDLE:
            return True
    return False


def _is_word(items: Sequence[Item], n: int, dropped: set[int]) -> bool:  # noqa: PLR0911
    role = items[n].tags.get("size")
    if role is None or n in dropped or role in ("size", "kind") or items[n].kind == "num":
        return False
    if "place" in items[n].tags and not any(
        i.tags.get("size") == "base" or i.tags.get("shape") == "trapezoid" for i in items
    ):
        return False
    if role in ("width", "height") and items[n].tags.get("wide"):
        return True
    if role == "aperture" and _in_the_middle(items, n):
        return False
    if role == "wire" and n + 1 < len(items) and fold(items[n + 1].text) in _GOODS:
        return bool(n) and items[n - 1].kind == "num"
    if role == "length" and fold(items[n].text) == "je" and n + 2 < len(items):
        if items[n + 1].kind == "num" and not items[n + 1].unit:
            return False  # "auch für je 100" counts
        return "size" not in items[n + 2].tags  # "je 1,25 m Breite" names a width
    if role == "diameter":  # "outside dia 100": the narrower word tells
        for m in (n - 1, n + 1):
            other = items[m].tags.get("size") if 0 <= m < len(items) else None
            if other in ("od", "id", "wire"):
                return False
    return True


def _pair_cost(items: Sequence[Item], pair: tuple[int, int], chosen: set[int]) -> float:
    a, b = pair
    if (a in chosen) == (b in chosen):
        return _FAR
    word_first = b in chosen
    word, amount = (items[a], items[b]) if word_first else (items[b], items[a])
    role = word.tags["size"]
    if not _fits(role, amount):
        return _FAR
    cost = sum(_between(items[n], word_first) for n in range(a + 1, b))
    leans = word.tags.get("leans")
    run = b == a + 1 and role == "length" and amount.unit in ("m", "ft", "yd")
    if leans and (leans == "before") != word_first and not run:
        cost += _AGAINST
    if role in ("side", "base", "top") and not word_first:
        cost += _FAR
    return cost


def _fits(role: str, amount: Item) -> bool:  # noqa: PLR0911
    if amount.unit.startswith("/"):
        return False
    if amount.unit in _WIRE_UNITS:
        return role == "wire"
    if amount.unit == "%":
        return role in ("open_area", "aperture")
    if role == "open_area":
        return False
    if role in ("aperture", "wire", "pitch") and amount.unit in _NEVER_CLOTH:
        return False
    if role in ("aperture", "wire", "pitch") and amount.spelled and amount.whole:
        return False  # "1.2 mm wire: four with a hem" counts
    if amount.unit in ("mm", "") and min(amount.values) > _LARGEST_MM.get(role, _FAR_MM):
        return False
    if amount.unit == "thou":
        return role in ("wire", "aperture")
    return True


def _role(word: Item, amount: Item) -> str:
    return "open_area" if amount.unit == "%" else word.tags["size"]


def _own_role(amount: Item) -> str:
    """Return what an amount is by its unit alone."""
    if amount.unit in _WIRE_UNITS:
        return "wire"
    told = amount.tags.get(SIDE, "")
    return told if told == "width" else ""


def _between(item: Item, word_first: bool) -> float:  # noqa: PLR0911
    if item.kind == "nl":
        return _NEWLINE
    if item.text in (":", "="):
        return -0.5 if word_first else _NEWLINE
    if item.text in ".":
        return 0.1
    if item.text in ",;":
        return _COMMA if word_first else _COMMA_AFTER
    if item.text in "-/(+*":
        return 0.8
    if fold(item.text) in CROSSES:
        return _CROSS
    if item.kind == "num" or {"form", "shape"} & item.tags.keys():
        return _APART
    return _WORD


#: Words and signs that join the sizes of one thing.
CROSSES = frozenset({"x", "by", "*", "/", "par", "por", "mal", "auf", "sur"})
