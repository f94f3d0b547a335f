"""What is only guessed at, likened to something, left for later, or left to a drawing: all is asked."""  # noqa: E501

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from meshcore.reading.letters.conflicts import ask_doubtful
from meshcore.reading.letters.facts import CLOTH, Said
from meshcore.reading.letters.finished import Finished
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.passage import Passage
from meshcore.reading.vocabulary import fold

#: Size words → the column that is asked where they are likened to something.
_COLUMNS = {"aperture": "aperture", "wire": "wire_diameter", "pitch": "pitch", "width": "width",
            "length": "length", "diameter": "dimensions"}  # fmt: skip
#: Names of cells that say a column, so that it needs no asking.
_HELD = {"pitch": ("pitch", "mesh_count", "aperture")}
#: How something is likened: "like a paperclip", "the size of a lentil", "as thick as a match".
_LIKENED = (("like", "a"), ("size", "of"), ("as", "thick"), ("thick", "as"), ("as", "big"),
            ("as", "fine"), ("as", "coarse"), ("wie", "ein"), ("wie", "eine"), ("so", "gross"),
            ("so", "dick"), ("comme", "un"), ("comme", "une"), ("taille", "d"), ("gros", "comme"),
            ("como", "un"), ("como", "una"), ("tamano", "de"), ("tamano", "del"))  # fmt: skip
#: How a size is only compared with another: "a bit bigger than a sheet of A4".
_COMPARED = frozenset({"bigger", "larger", "smaller", "wider", "longer", "thicker", "thinner",
                       "grosser", "kleiner", "dicker", "dunner", "breiter", "langer", "grand",
                       "petit", "grande", "petite", "pequeno", "pequena", "gruesa",
                       "grueso"})  # fmt: skip
_THAN = frozenset({"than", "als", "que"})


def guessed(said: Said) -> None:
    """Ask about each amount of a sentence that says it is a guess: "someone said six mesh"."""
    parts = _sentences(said.items)
    unsure = [
        (a, b)
        for a, b in parts
        if any("guess" in i.tags for i in said.items[a:b]) or _two_sayings(said.items[a:b])
    ]
    if not unsure:
        return
    for n, fact in enumerate(said.facts):
        inside = any(
            said.items[a].start <= fact.start <= said.items[b - 1].start for a, b in unsure
        )
        if inside and not fact.why and fact.name not in ("form", "shape", "counted", "services"):
            said.facts[n] = replace(fact, why=f'"{fact.text}" is said to be a guess')


#: How somebody is said to say something.
_SAYS = frozenset({"said", "says", "thinks", "reckons", "told", "suggests", "suggested", "sagt",
                   "sagte", "meint", "meinte", "dit", "disait", "pense", "dice", "dijo", "cree",
                   "piensa"})  # fmt: skip


def _two_sayings(items: Sequence[Item]) -> bool:
    """Whether two people are told to say different things: "one says 8 mesh, another 3 mm holes"."""  # noqa: E501
    told = [n for n, i in enumerate(items) if fold(i.text) in _SAYS]
    if len(told) < 2:  # noqa: PLR2004
        return False
    first = any(i.kind == "num" and i.unit for i in items[told[0] : told[-1]])
    return first and any(i.kind == "num" and i.unit for i in items[told[-1] :])


def _sentences(items: Sequence[Item]) -> list[tuple[int, int]]:
    ends = [n for n, i in enumerate(items) if i.kind == "nl" or i.text in ".;!?"]
    bounds = [-1, *ends, len(items)]
    return [(a + 1, b) for a, b in pairwise(bounds) if b > a + 1]


def likened(said: Said) -> list[tuple[str, str]]:
    """Columns that a passage only likens to something, each with why it is asked."""
    out = []
    words = [fold(i.text) for i in said.items]
    flat = [(word, n) for n, text in enumerate(words) for word in text.split()]
    for k in range(len(flat) - 1):
        if (flat[k][0], flat[k + 1][0]) not in _LIKENED:
            continue
        n = flat[k][1]
        near = said.items[max(n - 5, 0) : n]
        role = next((i.tags["size"] for i in reversed(near) if i.tags.get("size") in _COLUMNS), "")
        if role:
            shown = " ".join(i.text for i in said.items[n : n + 5])
            out.append((_COLUMNS[role], f'only "{shown}" is stated'))
    for n, word in enumerate(words[:-1]):
        if word in _COMPARED and words[n + 1].split()[:1] and words[n + 1].split()[0] in _THAN:
            shown = " ".join(i.text for i in said.items[n : n + 6])
            out.append(("dimensions", f'only "{shown}" is stated'))
    return out


#: An area, which is no count of rolls or pieces.
_AREA = re.compile(
    r"(?i)\d ?(?:m2|m²|sq\.? ?m|sqm|ft2|ft²|sq\.? ?ft|qm|square met|quadratmeter|m[èe]tres? carr|metros? cuadr)"  # noqa: E501
)


def left_open(said: Said) -> list[tuple[str, str]]:
    """Columns that a passage leaves for later, each with why: "quantity tbc", "wire to follow"."""
    out = [("quantity", f'only "{i.text}" is stated') for i in said.items if "some" in i.tags]
    out += [("quantity", f'"{i.text}": in which rolls or pieces?') for i in said.items
            if said.cloth() and _AREA.search(i.text)]  # fmt: skip
    for n, item in enumerate(said.items):
        if "open" not in item.tags or "size" in item.tags:
            continue
        near = [*said.items[max(n - 4, 0) : n][::-1], *said.items[n + 1 : n + 3]]
        for one in near:
            if one.kind in ("num", "nl") or one.text in ".;":
                break
            column = _told(one)
            if column:
                out.append((column, f'"{item.text}" stands for it'))
                break
    return out


def _told(item: Item) -> str:
    role = item.tags.get("size", "")
    if role in _COLUMNS:
        return _COLUMNS[role]
    if role == "kind":
        return "alloy"
    if "quantity" in item.tags:
        return "quantity"
    return "dimensions" if role == "size" else ""


def ask_vague(
    done: Sequence[Finished], starts: Sequence[int], read: Sequence[tuple[Passage, Said]]
) -> None:
    """Ask each line about what its passages only liken to something or leave for later.

    Parameters
    ----------
    done, starts
        The lines, and where the own words of each begin.
    read
        The passages as read.
    """
    for passage, said in read:
        found = likened(said) + left_open(said)
        own = [one for one, at in zip(done, starts, strict=True) if at == passage.start]
        if passage.kind in ("item", "row"):
            lines = own
        else:
            lines = own or (list(done) if len(done) == 1 else [])
        for column, why in found:
            for one in lines:
                _ask(one, column, why)


def _ask(one: Finished, column: str, why: str) -> None:
    if column in one.cells:
        if column == "quantity":
            return
        ask_doubtful(one, frozenset({"dim" if column == "dimensions" else column}), why)
        return
    held = _HELD.get(column, (column,))
    if any(name in one.cells for name in held):
        return
    if not any(name == column for name, _ in one.asked):
        one.asked.append((column, why))


#: Columns that a drawing may hold.
_DRAWN = ("mesh_count", "aperture", "wire_diameter", "alloy", "dimensions", "shape")


def ask_drawn(one: Finished, why: str) -> None:
    """Ask about all that a line leaves to a drawing or to the mill's own records."""
    cloth = any(name in one.cells for name in (*CLOTH, "mesh_count", "aperture", "pitch"))
    sized = any(name in one.cells for name in ("dimensions", "width", "length", "drawing"))
    for column in _DRAWN:
        known = column in one.cells or any(name == column for name, _ in one.asked)
        spare = (column in ("mesh_count", "aperture") and cloth) or (
            column in ("dimensions", "shape") and sized
        )
        if not known and not spare:
            one.asked.append((column, why))
