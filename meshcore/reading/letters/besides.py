"""What stands in a passage besides what is ordered: bolt holes, rooms, the buyer's own work."""

from __future__ import annotations

import re
from collections.abc import Sequence

from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

#: Who tells of what befell his goods, and how.
_TELLERS = frozenset({"we", "i", "they", "he", "she", "wir", "ich", "nous", "on", "ils"})
_BEFELL = frozenset({"broke", "lost", "bent", "tore", "spoiled", "spoilt", "damaged", "wrecked",
                     "dropped", "ruined", "scrapped", "miscounted", "found", "missed",
                     "forgot", "verloren", "zerbrochen", "perdu", "casse", "rompimos",
                     "perdimos"})  # fmt: skip
#: Between who tells and what befell stands no more than this (our choice).
_MOST_TOLD = 3


def mishaps(items: Sequence[Item]) -> set[int]:
    """Places of why more are wanted: "44 of the big ones, we broke 4 more"."""
    out: set[int] = set()
    for n, item in enumerate(items):
        if fold(item.text) not in _BEFELL:
            continue
        near = range(max(n - _MOST_TOLD, 0), n)
        low = next((k for k in near if fold(items[k].text) in _TELLERS), -1)
        stops = [k for k in range(n + 1, len(items)) if items[k].text in _STOPS]
        end = stops[0] if stops else len(items)
        counts = any(i.whole for i in items[n:end])
        sized = any(i.unit or {"form", "shape"} & i.tags.keys() for i in items[n:end])
        if low > 0 and counts and not sized and any(i.kind == "num" for i in items[:low]):
            out.update(range(low, end))
    return out


#: Between a price and what it is for.
_PER_ONE = frozenset({"a", "an", "per", "pro", "je", "le", "la", "el", "por", "par", "die", "das"})


def prices(items: Sequence[Item]) -> set[int]:
    """Places of prices for one: "the last one was 210 a roll"."""
    out: set[int] = set()
    for n, item in enumerate(items[:-2]):
        goods = {"form", "shape", "roll_length"} & items[n + 2].tags.keys()
        after = items[n + 3] if n + 3 < len(items) else None
        ended = after is None or after.kind in ("mark", "nl")
        named = n > 0 and bool({"item", "same", "as"} & items[n - 1].tags.keys())
        bare = item.kind == "num" and not item.unit and not item.spelled and not item.tags
        if bare and goods and ended and not named and fold(items[n + 1].text) in _PER_ONE:
            out.update(range(n, n + 3))
    return out


#: What a buyer does himself with what he has.
_OWN = re.compile(
    r"(?:we|i)(?:'ll| will)? (?:make|weld|build|fit|bend|fabricate|fold|cast|turn|punch|drill|cut)"
    r"(?: (?:that|those|these|them|it|this))?(?: up)? (?:ourselves|here|myself|in house)"
    r"|(?:machen|bauen|schweissen|biegen|fertigen|stanzen|bohren) wir(?: hier)? selbst"
    r"|nous (?:les )?(?:faisons|soudons|fabriquons) nous"
    r"|(?:los |las )?(?:hacemos|soldamos|fabricamos) nosotros"
)
_STOPS = frozenset(".;:!?\n,")


def bolt_holes(items: Sequence[Item]) -> set[int]:
    """Places of "4 holes Ø 11": bolts go through them, they are no openings of the cloth."""
    out: set[int] = set()
    for n in range(len(items) - 2):
        if not items[n].whole or items[n + 1].tags.get("size") != "aperture":
            continue
        if "hole" not in fold(items[n + 1].text):
            continue
        after = range(n + 2, min(n + 5, len(items)))
        dia = next((k for k in after if items[k].tags.get("size") == "diameter"), None)
        sized = [k for k in after if items[k].kind == "num"]
        if dia is not None and sized:
            out.update(range(n, max(dia, sized[0]) + 1))
    return out


_WHICH = frozenset({"which is", "that is", "which are", "which measures"})


def things_sized(items: Sequence[Item]) -> set[int]:
    """Places of the sizes of a thing that cloth is for: "a piece for the drum, which is 62 cm across".

    A relative clause tells of the noun before it; where that is no word of the trade and a form
    stands before, the sizes are of no form.
    """  # noqa: E501
    out: set[int] = set()
    for n in range(1, len(items) - 1):
        said = fold(items[n].text)
        two = f"{said} {fold(items[n + 1].text)}"
        if said not in _WHICH and two not in _WHICH:
            continue
        k = n - 2 if items[n - 1].text == "," else n - 1
        if k < 1 or items[k].kind != "word" or items[k].tags.keys() - {"process", "own"}:
            continue
        formed = any({"form", "shape"} & i.tags.keys() for i in items[:k])
        if not formed or "the" not in items[k - 1].tags:
            continue
        end = next((m for m in range(n, len(items)) if items[m].text in ",.;!?\n"), len(items))
        out.update(range(n, end))
    return out


def had_elsewhere(items: Sequence[Item]) -> set[int]:
    """Places of a clause about goods that are had from others: "the 6 foam panels we buy elsewhere"."""  # noqa: E501
    out: set[int] = set()
    for n, item in enumerate(items):
        if "elsewhere" not in item.tags:
            continue
        low = max((k + 1 for k in range(n) if _parts(items[k])), default=0)
        while low > 1 and not any(i.kind == "num" or "the" in i.tags for i in items[low:n]):
            # "the louvres (6, powder coated), we have from someone else": told of what is before
            low = max((k + 1 for k in range(low - 1) if _parts(items[k])), default=0)
        high = next((k for k in range(n, len(items)) if _parts(items[k])), len(items))
        out.update(range(low, high))
    return out


def _parts(item: Item) -> bool:
    return item.kind == "nl" or (item.kind == "mark" and item.text in _STOPS)


#: What cloth is held by: a size before it is its own.
_HOLDERS = frozenset({"frame", "frames", "rim", "rims", "hoop", "hoops", "housing", "housings",
                      "rahmen", "spannrahmen", "cadre", "cadres", "marco", "marcos", "bastidor",
                      "bastidores", "aro", "aros"})  # fmt: skip


def holders(items: Sequence[Item]) -> set[int]:
    """Places of the sizes of what holds the cloth: "our sieves (200 mm frames)"."""
    out: set[int] = set()
    for n, item in enumerate(items[1:], 1):
        if fold(item.text) in _HOLDERS and items[n - 1].unit in ("mm", "cm", "in"):
            crossed = n > 1 and _crossed(items[n - 2])  # then it may be of the goods
            out |= set() if crossed else {n - 1, n}
    return out


def profiles(items: Sequence[Item]) -> set[int]:
    """Places of the sizes of tube, bar and angle: "25 x 25 x 2 tube", "angle 40 x 40 x 4"."""
    out: set[int] = set()
    for n, item in enumerate(items):
        if "profile" not in item.tags:
            continue
        for step in (-1, 1):
            k = n + step
            if step == 1 and k < len(items) and items[k].text in ("(", ","):
                k += 1
            if not (0 <= k < len(items)) or items[k].kind != "num" or items[k].tags.get("alloy"):
                continue
            run = [k]
            while 0 <= k + step < len(items) and _crossed(items[k + step]):
                k += 2 * step
                if not (0 <= k < len(items)) or items[k].kind != "num":
                    break
                run.append(k)
            if len(run) > 1 or (step == -1 and items[run[0]].unit):
                out.update(range(min(run), max(run) + 1))
                out |= _thickness(items, max(n, *run))
    return out


def _crossed(item: Item) -> bool:
    return fold(item.text) in ("x", "*", "by")


def _thickness(items: Sequence[Item], n: int) -> set[int]:
    """Places of a wall's thickness said after a profile: ", 3 thick", ", wall 2 mm"."""
    after = range(n + 1, min(n + 5, len(items)))
    walls = [
        k
        for k in after
        if items[k].tags.get("size") == "thickness" or fold(items[k].text) == "wall"
    ]
    return set(range(n + 1, walls[0] + 1)) if walls else set()


#: Rooms and machines, whose sizes are none of what is ordered.
_PLACES = frozenset({
    "booth", "cabin", "enclosure", "house", "hut", "duct", "chamber", "stall",
    "bay", "shed", "barn", "tank", "building", "hall", "room", "yard", "kiln", "pond", "greenhouse",
    "warehouse", "silo", "conveyor", "factory", "pit", "trench", "roof", "wall", "oven", "dryer",
    "vessel", "machine", "floor", "corridor", "garden", "field", "halle", "becken", "behalter",
    "gebaude", "raum", "scheune", "dach", "ofen", "trockner", "forderband", "anlage", "maschine",
    "hangar", "cuve", "batiment", "salle", "toit", "four", "sechoir", "bassin", "nave", "tanque",
    "edificio", "techo", "horno", "secadero", "deposito", "maquina",
})  # fmt: skip
#: What says how large a thing is.
_IS = frozenset({"is", "are", "measures", "ist", "misst", "hat", "est", "mesure", "mide", "tiene",
                 "fait", "was", "has", "runs", "being"})  # fmt: skip
_SIDES = frozenset({"width", "length", "height"})


def rooms(items: Sequence[Item]) -> set[int]:
    """Places of the sizes of rooms and machines: "the bay is 14 m long, 3 m wide"."""
    out: set[int] = set()
    for n in range(len(items) - 2):
        if fold(items[n + 1].text) not in _IS or not _is_place(items, n):
            continue
        k = n + 2
        while k < len(items) and _tells_size(items[k]):
            k += 1
        if any(item.unit in ("m", "ft", "mm", "cm", "in") for item in items[n + 2 : k]):
            out.update(range(n, k))
    return out


#: Words of goods and their sizes.
_GOODS = frozenset({"form", "shape", "size", "count", "cloth", "item", "same", "one", "quantity",
                    "weave", "alloy", "service", "the", "unit", "each", "all"})  # fmt: skip


def _is_place(items: Sequence[Item], n: int) -> bool:
    """Whether a word names a room or machine, such as "the tower" whose size is in metres."""
    if fold(items[n].text) in _PLACES:
        return True
    before = items[n - 1] if n else None
    known = before is not None and ("the" in before.tags or fold(before.text) in _OURS)
    two = items[n + 2 : n + 4]
    metres = len(two) == 2 and two[0].unit in ("m", "ft") and two[1].tags.get("size") in _SIDES  # noqa: PLR2004
    return known and metres and items[n].kind == "word" and not _GOODS & items[n].tags.keys()


_OURS = frozenset({"our", "my", "their", "his", "her", "unser", "unsere", "mein", "notre", "mon",
                   "nuestro", "nuestra", "mi"})  # fmt: skip


def _tells_size(item: Item) -> bool:
    """Whether an item goes on telling how large a thing is."""
    words = ("and", "by", "x", "about", "some", "und", "et", "y", "etwa", "environ", "unos")
    sized = item.kind == "num" and (bool(item.unit) or not item.whole)
    return sized or item.tags.get("size") in _SIDES or fold(item.text) in words


def own_work(items: Sequence[Item]) -> set[int]:
    """Places of a clause about what the buyer makes himself, with the brackets after it."""
    words = [fold(item.text) for item in items]
    out: set[int] = set()
    for n, word in enumerate(words):
        text = " ".join(words[n : n + 8]).replace(" ' ", "'")
        if word not in _FIRST or not _OWN.match(text):
            continue
        low = max((k + 1 for k in range(n) if items[k].text in _STOPS), default=0)
        high = next(
            (k for k in range(n, len(items)) if items[k].text in _STOPS or items[k].text == "("),
            len(items),
        )
        out.update(range(low, high))
        if high < len(items) and items[high].text == "(":
            close = (k for k in range(high, len(items)) if items[k].text == ")")
            out.update(range(high, next(close, len(items) - 1) + 1))
    return out


#: First words of what `_OWN` finds.
_FIRST = frozenset(
    {"we", "i", "machen", "bauen", "schweissen", "biegen", "fertigen", "nous", "los", "las"}
    | {"stanzen", "bohren"}
    | {"hacemos", "soldamos", "fabricamos"}
)
