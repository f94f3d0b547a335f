"""Numbers that state no amount: in codes, before what they only head, and as labels of lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.item import NO_TAGS, Item, last_word
from meshcore.reading.vocabulary import fold

#: Kinds of word that a number may be written onto: "dia90", "qty4", "pos3", "1.2m x0.5".
_WRITTEN_ONTO = frozenset({"size", "count", "quantity", "item", "alloy", "unit", "form", "shape",
                           "wire", "also", "and"})  # fmt: skip
#: Letters that a size is written after: "B1200 x H800", "d0.5", "x3".
_LETTERS_OF_SIZES = frozenset({"x", "d", "w", "l", "h", "b", "r", "a"})
#: How words begin that say what is changed: "two corrections to mine".
_CHANGES = ("correction", "change", "amendment", "alteration", "modification", "question", "query",
            "anderung", "korrektur", "berichtigung", "frage", "changement", "remarque",
            "correccion", "cambio", "pregunta", "thing", "things", "punkt", "dinge",
            "sachen", "chose", "cosa", "remark", "note")  # fmt: skip
#: Words for a number of something, which are no word for a line before "20 mesh".
_NUMBER_WORDS = frozenset({"no", "no.", "nos", "nos.", "nr", "nr.", "n°", "nº", "#"})


def without_codes(items: Sequence[Item]) -> list[Item]:
    """Take numbers written onto letters for codes, and those that only head or label for words.

    Parameters
    ----------
    items
        A passage, with the units joined to their numbers.
    """
    out = list(items)
    for n, item in enumerate(out):
        if item.kind != "num" or not n:
            if item.kind == "num" and _heads(out, n):
                out[n] = replace(item, kind="word", tags=NO_TAGS)
            continue
        if _is_code(out, n):
            out[n] = replace(item, kind="code", tags=NO_TAGS, values=(), unit="")
        elif _heads(out, n):
            out[n] = replace(item, kind="word", tags=NO_TAGS)
    return _labelled_cloths(out)


def _is_code(items: Sequence[Item], n: int) -> bool:
    """Whether a number is written onto a word that is none of the trade's: "b4", "pH2", "KV22"."""
    item, before = items[n], items[n - 1]
    if not item.glued or item.unit or item.spelled or item.tags.get("alloy"):
        return False
    if before.text == "A" and item.whole and item.values[0] <= _PAPER:
        return True  # a sheet of paper: "A4"
    if before.kind != "word" or fold(before.text) in _LETTERS_OF_SIZES:
        return False
    if not before.text[-1:].isalpha() or (before.text.isupper() and len(before.text) == 1):
        return False
    return not (_WRITTEN_ONTO & before.tags.keys())


#: Sheets of paper are numbered to this.
_PAPER = 6.0


def _heads(items: Sequence[Item], n: int) -> bool:
    """Whether a number only says how many things are to be said: "two corrections to mine"."""
    item = items[n]
    after = items[n + 1 : n + 4]
    if not item.whole or not after or item.values[0] > _MOST_SAID:
        return False
    for k, one in enumerate(after):
        if one.kind != "word" or (k and {"form", "shape", "size"} & one.tags.keys()):
            return False
        if last_word(one).startswith(_CHANGES) and "unit" not in one.tags:
            return True
        if k and one.tags:
            return False
    return False


#: Nobody announces more corrections than this (our choice).
_MOST_SAID = 9


def _labelled_cloths(items: list[Item]) -> list[Item]:
    """Read "from pos 1 mesh" as the mesh of position 1, and not as one mesh."""
    out: list[Item] = []
    for n, item in enumerate(items):
        before = items[n - 1] if n else None
        labelled = (
            before is not None
            and item.kind == "num"
            and item.unit in ("/in", "M")
            and "item" in before.tags
            and before.kind == "word"
            and fold(before.text) not in _NUMBER_WORDS
            and n > 1
            and item.number.isdigit()
        )
        if not labelled:
            out.append(item)
            continue
        size = len(item.number)
        word = item.text[size:].lstrip()
        out.append(
            replace(item, text=item.number, end=item.start + size, unit="", values=item.values)
        )
        out.append(Item("word", word, item.end - len(word), item.end, {"cloth": "is"}, glued=False))
    return out
