"""The shares that a count is told in: "four with a hem, eight without"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from meshcore.reading.letters.binding import CROSSES
from meshcore.reading.letters.crossed import LEAST_SIDE
from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold


@dataclass(frozen=True, slots=True)
class Share:
    """A share of a count: how many, what is told of them, and where it is said.

    Parameters
    ----------
    count
        Zero for "the rest"; below one it is a part of the count, "half of them".
    sizes
        Sizes of their own, each with the word that says which size it is, or "".
    """

    count: float
    number: Item
    work: tuple[Item, ...]
    alloy: Item | None
    first: int
    last: int
    sizes: tuple[tuple[Item, str], ...] = ()

    @property
    def only_sized(self) -> bool:
        """Whether nothing but sizes is told of it."""
        return bool(self.sizes) and not self.work and self.alloy is None


#: Words that say that a share has none of the work of the other.
_WITHOUT = frozenset({"without", "none", "plain", "unhemmed", "not", "ohne", "nicht", "glatt",
                      "sans", "non", "sin", "no"})  # fmt: skip
#: Words that may stand in a share besides its number and its work.
_FILL = frozenset({"with", "a", "an", "of", "them", "these", "those", "of them", "of these",
                   "of those", "the", "other", "others", "remaining", "are", "to", "be", "get",
                   "gets", "have", "has", "having", "in", "should", "mit", "davon", "einem",
                   "einen", "einer", "die", "anderen", "ubrigen", "der", "den", "bekommen",
                   "werden", "je", "avec", "un", "une", "dont", "les", "autres", "d'entre",
                   "eux", "elles", "d'entre eux", "con", "de", "ellos", "ellas", "de ellos",
                   "de ellas", "los", "las", "otros", "otras", "demas", "y", "and", "und", "et",
                   "all", "round", "any", "only", "nur", "seulement", "solo", "which", "welche",
                   "of which", "pieces", "piece", "panels", "stuck", "piezas", "pcs",
                   "must", "edges", "bords", "bordes", "kanten", "rest", "sheets", "discs",
                   "reste", "resto", "le", "el", "restlichen", "them to be", "aus", "en",
                   "at", "instead", "please", "measuring", "made", "long", "half", "bitte",
                   "stattdessen", "of each", "each",
                   "should be", "shall be", "must be", "are to be", "to be", "shall",
                   "soll", "sollen", "sein", "seront", "deben", "ser", "plutot", "mejor",
                   "anders", "sides", "sont", "sind", "van",
                   "van a"})  # fmt: skip
#: Words of where work is done: "with hooks on the 500 sides".
_WHERE = frozenset({"on", "along", "at", "the", "both", "long", "short", "auf", "an", "den", "der",
                    "sur", "les", "en", "los", "las", "mm", "two", "four", "sides"})  # fmt: skip
#: Words for what is left of a count.
_REST = frozenset({"rest", "the rest", "others", "remaining", "remainder", "the others", "rest der",
                   "der rest", "ubrigen", "die ubrigen", "restlichen", "reste", "le reste",
                   "les autres", "autres", "resto", "el resto", "los demas", "demas", "otros",
                   "las demas", "anderen", "die anderen", "other", "the other", "andere",
                   "der andere", "die andere", "autre", "l autre", "otro", "otra"})  # fmt: skip


def find_shares(items: Sequence[Item]) -> list[Share]:
    """Return the shares that a passage parts a count into; empty where it parts none.

    Examples
    --------
    "…: four with a hem, eight without" has two shares.
    """
    cuts = [
        n
        for n, item in enumerate(items)
        if item.kind == "nl" or (item.kind == "mark" and item.text in ",;:.()-!?")
    ]
    bounds = [-1, *cuts, len(items)]
    stretches = [(a + 1, b) for a, b in pairwise(bounds) if b > a + 1]
    parts = [part for a, b in stretches for part in _at_and(items, a, b)]
    found = [_share(items, a, b) for a, b in parts]
    if rest := _with_rest(items, found):
        return rest
    for n in range(len(found) - 1):
        one, other = found[n], found[n + 1]
        if one is None or other is None:
            continue
        if one.only_sized != other.only_sized:
            continue
        run = [one, other]
        for more in found[n + 2 :]:
            if more is None or more.only_sized != one.only_sized:
                break
            run.append(more)
        if any(share.work or share.alloy for share in run) and run[0].count:
            return run
        if all(share.sizes for share in run) and _is_parted(items, run):
            return run
    return []


def _is_parted(items: Sequence[Item], run: Sequence[Share]) -> bool:
    """Whether shares are told of one count: "half of them …", "six of these …", "… the rest …"."""
    words = " ".join(fold(i.text) for i in items[run[0].first : run[0].last])
    parts = [share for share in run if share.count < 1.0]
    return bool(run[0].count) and (bool(parts) or any(w in words for w in _OF_THEM))


_OF_THEM = frozenset({"of them", "of these", "of those", "davon", "dont", "d'entre eux",
                      "d'entre elles", "de ellos", "de ellas", "of which", "de los cuales",
                      "de las cuales"})  # fmt: skip


def _with_rest(items: Sequence[Item], found: Sequence[Share | None]) -> list[Share]:
    """Return one share and the rest: "10 pcs, 5 of them hooked"; empty where there is none."""
    told = [one for one in found if one is not None]
    if len(told) != 1 or not told[0].count or not (told[0].work or told[0].sizes):
        return []
    one = told[0]
    words = " ".join(fold(i.text) for i in items[one.first : one.last])
    counted = any(i.whole and max(i.values) > one.count for i in items[: one.first])
    counted = counted or one.count < 1.0
    named = one.count < 1.0 and any(
        {"form", "shape"} & i.tags.keys() for i in items[one.first : one.last]
    )
    if not counted or not (named or any(w in words for w in _OF_THEM)):
        return []
    return [one, Share(0.0, one.number, (), None, one.first, one.last)]


def tells_part(items: Sequence[Item]) -> bool:
    """Whether a part of a count is told: "half of them", "a third of the discs"."""
    for n, item in enumerate(items[:-1]):
        after = fold(items[n + 1].text)
        if _is_part(item) and item.kind == "num" and (after in _OF_THEM or after == "of the"):
            return True
    return False


def _at_and(items: Sequence[Item], a: int, b: int) -> list[tuple[int, int]]:
    """Part a stretch at an "and" before a number: "four hemmed and eight plain"."""
    for n in range(a + 1, b - 1):
        after = items[n + 2] if "the" in items[n + 1].tags and n + 2 < b else items[n + 1]
        if "and" in items[n].tags and (after.whole or _is_part(after) or fold(after.text) in _REST):
            return [(a, n), (n + 1, b)]
    return [(a, b)]


def _share(  # noqa: PLR0912
    items: Sequence[Item], a: int, b: int
) -> Share | None:
    """Return the share that a stretch states: a number or a rest, and its work or none."""
    number: Item | None = None
    work: list[Item] = []
    alloy: Item | None = None
    sizes: list[tuple[Item, str]] = []
    told = rest = False
    for n, item in enumerate(items[a:b], a):
        word = fold(item.text)
        if number is not None and not work and _is_size(item, sizes, _is_crossed(items, n)):
            if sizes and fold(items[n - 1].text) not in CROSSES:
                return None
            sizes.append((item, ""))
        elif sizes and item.tags.get("size") in _ROLES:
            sizes[-1] = (sizes[-1][0], item.tags["size"])
        elif sizes and word in CROSSES:
            continue
        elif _is_part(item) and number is None:
            number = item
        elif work and ("edge" in item.tags or word in _WHERE or item.kind == "num"):
            continue
        elif item.whole and number is None and not item.tags.get("alloy"):
            number = item
        elif "service" in item.tags:
            work.append(item)
        elif "alloy" in item.tags and alloy is None:
            alloy = item
        elif word in _REST and number is None:
            rest = True
            number = item
        elif "not" in item.tags or word in _WITHOUT:
            told = True
        elif word not in _FILL and not _is_name(item, number):
            return None
    if number is None or not (work or alloy is not None or told or sizes):
        return None
    if told:
        work = []
    count = 0.0 if rest else _part(number)
    return Share(count, number, tuple(work), alloy, a, b, tuple(sizes))


#: Units and words of the sizes of a form.
_UNITS = frozenset({"mm", "cm", "m", "in", "ft"})
_ROLES = frozenset({"width", "length", "height", "diameter"})


def _is_crossed(items: Sequence[Item], n: int) -> bool:
    """Whether an amount is the first of two that an "x" joins."""
    two = items[n + 1 : n + 3]
    return len(two) == 2 and fold(two[0].text) in CROSSES and two[1].kind == "num"  # noqa: PLR2004


def _is_size(item: Item, sizes: Sequence[tuple[Item, str]], crossed: bool) -> bool:
    """Whether an amount is a size of a share: "the rest 1.2 m", "half of them 600 x 400"."""
    if item.kind != "num" or not item.values or item.tags.get("alloy") or len(sizes) > 1:
        return False
    bare = not item.unit and not item.spelled and min(item.values) >= LEAST_SIDE
    return item.unit in _UNITS or (bare and (crossed or bool(sizes)))


def _part(number: Item) -> float:
    return max(number.values) if number.values else 0.5


def _is_name(item: Item, number: Item | None) -> bool:
    """Whether a word names what a part is told of: "half of the panels"."""
    part = number is not None and _is_part(number)
    return part and bool({"form", "shape", "the"} & item.tags.keys())


def _is_part(item: Item) -> bool:
    """Whether a part of the count is told: "half of them", "a third"."""
    part = item.spelled and bool(item.values) and 0.0 < item.values[0] < 1.0
    return part or "half number" in item.tags
