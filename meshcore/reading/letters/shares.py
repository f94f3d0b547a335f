"""The shares that a count is told in: "four with a hem, eight without"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold


@dataclass(frozen=True, slots=True)
class Share:
    """A share of a count: how many, the work done to them, and where it is said.

    Parameters
    ----------
    count
        Zero for "the rest".
    """

    count: float
    number: Item
    work: tuple[Item, ...]
    alloy: Item | None
    first: int
    last: int


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
                   "anders", "sides", "sont", "sind", "van", "van a", "seront"})  # fmt: skip
#: Words of where work is done: "with hooks on the 500 sides".
_WHERE = frozenset({"on", "along", "at", "the", "both", "long", "short", "auf", "an", "den", "der",
                    "sur", "les", "en", "los", "las", "mm", "two", "four", "sides"})  # fmt: skip
#: Words for what is left of a count.
_REST = frozenset({"rest", "the rest", "others", "remaining", "remainder", "the others", "rest der",
                   "der rest", "ubrigen", "die ubrigen", "restlichen", "reste", "le reste",
                   "les autres", "autres", "resto", "el resto", "los demas", "demas", "otros",
                   "las demas", "anderen", "die anderen"})  # fmt: skip


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
        run = [one, other]
        for more in found[n + 2 :]:
            if more is None:
                break
            run.append(more)
        if any(share.work or share.alloy for share in run) and run[0].count:
            return run
    return []


_OF_THEM = frozenset({"of them", "of these", "of those", "davon", "dont", "d'entre eux",
                      "d'entre elles", "de ellos", "de ellas", "of which", "de los cuales",
                      "de las cuales"})  # fmt: skip


def _with_rest(items: Sequence[Item], found: Sequence[Share | None]) -> list[Share]:
    """Return one share and the rest: "10 pcs, 5 of them hooked"; empty where there is none."""
    told = [one for one in found if one is not None]
    if len(told) != 1 or not told[0].count or not told[0].work:
        return []
    one = told[0]
    words = " ".join(fold(i.text) for i in items[one.first : one.last])
    counted = any(i.whole and max(i.values) > one.count for i in items[: one.first])
    if not counted or not any(w in words for w in _OF_THEM):
        return []
    return [one, Share(0.0, one.number, (), None, one.first, one.last)]


def _at_and(items: Sequence[Item], a: int, b: int) -> list[tuple[int, int]]:
    """Part a stretch at an "and" before a number: "four hemmed and eight plain"."""
    for n in range(a + 1, b - 1):
        after = items[n + 1]
        if "and" in items[n].tags and (after.whole or fold(after.text) in _REST):
            return [(a, n), (n + 1, b)]
    return [(a, b)]


def _share(items: Sequence[Item], a: int, b: int) -> Share | None:
    """Return the share that a stretch states: a number or a rest, and its work or none."""
    number: Item | None = None
    work: list[Item] = []
    alloy: Item | None = None
    told = rest = False
    for item in items[a:b]:
        word = fold(item.text)
        if work and ("edge" in item.tags or word in _WHERE or item.kind == "num"):
            continue
        if item.whole and number is None and not item.tags.get("alloy"):
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
        elif word not in _FILL:
            return None
    if number is None or not (work or alloy is not None or told):
        return None
    if told:
        work = []
    count = 0.0 if rest else max(number.values)
    return Share(count, number, tuple(work), alloy, a, b)
