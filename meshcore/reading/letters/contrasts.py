"""Changes told by contrast: "5 not 3", "in 316L not 316"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.item import Item, last_word
from meshcore.reading.vocabulary import fold


def with_contrasts(items: Sequence[Item]) -> list[Item]:
    """Take the "not" between two numbers or two alloys for "instead of"."""
    out = _made_of(_goes_to(_said_wrong(_arrows(_read_for(_swapped(goes_out(items)))))))
    out = _said_but(_not_but(out))
    for n in range(1, len(out) - 1):
        before = out[n - 2] if out[n - 1].text == "," and n > 1 else out[n - 1]
        if n > 1 and {"form", "shape", "counts_pieces"} & before.tags.keys():
            before = out[n - 2]  # "4 rolls not 3"
        if "not" in out[n].tags and out[n - 1].text == "," and not _alike(before, out[n + 1]):
            before = _last_alike(out, n) or before  # "six of the big ones, not four"
        if "not" in out[n].tags and _alike(before, out[n + 1]):
            out[n] = replace(out[n], tags={**out[n].tags, "unlike": "instead of"})
        if fold(out[n].text) == "than" and not out[n].tags and _better(out, n):
            out[n] = replace(out[n], tags={"unlike": "instead of"})
    return out


#: What leads to the new after what is denied: "not 12 but 20", "no son 12 sino 20".
_BUT = frozenset({"but", "sondern", "mais", "sino", "rather", "aber", "pero"})
#: Between the denial and the old stand no more words than this, nor between the old and the new.
_MOST_DENIED, _MOST_NAMED = 3, 4


def _not_but(items: Sequence[Item]) -> list[Item]:
    """Read "not 12 strips but 20" as "20 strips instead of 12"."""
    out = list(items)
    for n, item in enumerate(out):
        if "not" not in item.tags:
            continue
        near = range(n + 1, min(n + 2 + _MOST_DENIED, len(out)))
        old = next((k for k in near if out[k].kind == "num" or "alloy" in out[k].tags), None)
        if old is None or any(out[k].kind == "mark" for k in range(n, old)):
            continue
        after = range(old + 1, min(old + 2 + _MOST_NAMED, len(out)))
        but = next((k for k in after if fold(out[k].text) in _BUT), None)
        if but is None or but + 1 >= len(out) or not _alike(out[old], out[but + 1]):
            continue
        named = [i for i in out[old + 1 : but] if i.kind != "mark"]
        if not named:
            continue
        mark = replace(item, tags={"unlike": "instead of"})
        return [*out[:n], out[but + 1], *named, mark, out[old], *out[but + 2 :]]
    return out


#: How somebody tells what was asked for before: "I said 6 rolls but 4 will do".
_SAID = frozenset({"said", "wrote", "asked", "ordered", "sagte", "schrieb",
                   "geschrieben", "gesagt", "dit", "ecrit", "dije", "puse"})  # fmt: skip
#: Between the word and the old value, and between the "but" and the new one.
_MOST_TOLD = 5


def _said_but(items: Sequence[Item]) -> list[Item]:
    """Read "I said 6 rolls but 4 will do" as "4 rolls instead of 6"."""
    out = list(items)
    verb = next((n for n, item in enumerate(out) if last_word(item) in _SAID), None)
    if verb is None:
        return out
    near = range(verb + 1, min(verb + 2 + _MOST_TOLD, len(out)))
    old = next((k for k in near if out[k].kind == "num" or "alloy" in out[k].tags), None)
    after = range(old + 1, min(old + 2 + _MOST_TOLD, len(out))) if old is not None else range(0)
    but = next((k for k in after if fold(out[k].text) in _BUT), None)
    if old is None or but is None:
        return out
    news = [
        k for k in range(but + 1, min(but + 2 + _MOST_TOLD, len(out))) if _alike(out[old], out[k])
    ]
    if not news:
        return out
    new = news[0]
    mark = replace(out[but], tags={"unlike": "instead of"})
    named = [i for i in out[old + 1 : but] if i.kind != "mark"]
    return [*out[:verb], out[new], *named, mark, out[old]]


#: What ends a clause that takes an item out: "pos 3 out", "line 4 goes".
_OUT = frozenset(
    {"out", "off", "longer", "gone", "goes", "go", "raus", "weg", "fuera", "dehors", "falls"}
)


#: What may stand before it.
_LEADS_OUT = frozenset({"goes", "go", "comes", "come", "is", "are", "to", "be", "can", "no",
                       "drops",
                        "falls", "fallt", "kann", "est", "sont", "queda", "quedan"})  # fmt: skip


def goes_out(items: Sequence[Item]) -> list[Item]:
    """Take the "goes" that ends a clause after an item's number for a withdrawal."""
    out = list(items)
    for n in range(2, len(out)):
        after = out[n + 1] if n + 1 < len(out) else None
        ended = after is None or after.kind in ("mark", "nl") or "and" in after.tags
        if not ended or out[n].kind != "word" or fold(out[n].text) not in _OUT:
            continue
        k = n - 1
        while k > 0 and fold(out[k].text) in _LEADS_OUT:
            k -= 1
        last = k
        while k > 0 and (out[k].whole or "and" in out[k].tags or out[k].text in ",-/&"):
            k -= 1
        if k == last and k > 0 and len(out[k].text) == 1:
            k -= 1  # "position b goes"
        if "item" in out[k].tags and k < last:
            out[n] = replace(out[n], tags={"withdraw": "is"})
    return out


#: How "swap the 316 for 304" begins, and what stands between the old and the new.
_SWAPS = ("swap", "replace", "exchange", "ersetz", "tausch", "rempla", "sustitu", "reempla")
_BY = frozenset({"for", "by", "with", "durch", "gegen", "par", "por", "mit"})


def _swapped(items: Sequence[Item]) -> list[Item]:
    """Read "swap the 316 in item 3 for 304" as "304 instead of 316 in item 3"."""
    out = list(items)
    verbs = [n for n, item in enumerate(out) if fold(item.text).startswith(_SWAPS)]
    for verb in verbs[:1]:
        for n in range(verb + 2, len(out) - 1):
            if out[n].text in ".;!?" and out[n].kind == "mark":
                break
            if fold(out[n].text) not in _BY:
                continue
            old = next((k for k in range(verb + 1, n) if _alike(out[k], out[n + 1])), None)
            if old is None:
                continue
            mark = replace(out[n], tags={"unlike": "instead of"})
            new, gone = out[n + 1], out[old]
            return [*out[:old], new, mark, gone, *out[old + 1 : n], *out[n + 2 :]]
    return out


#: How "read 24 mesh for 20 mesh" begins, and what stands between the new and the old.
_READ = ("read", "lire", "lisez", "lesen", "lies", "lease", "leer", "lean")
_FOR = frozenset({"for", "fur", "statt", "pour", "por"})


def _read_for(items: Sequence[Item]) -> list[Item]:
    """Read "please read 316L for 304" as "316L instead of 304"."""
    out = list(items)
    reads = [n for n, item in enumerate(out) if last_word(item) in _READ]
    for n in range(reads[0] + 1 if reads else len(out), len(out) - 1):
        if fold(out[n].text) in _FOR and _alike(out[n - 1], out[n + 1]):
            out[n] = replace(out[n], tags={"unlike": "instead of"})
    return out


_MAKES = frozenset({"mach", "mache", "machen", "make", "macht"})
_OUT_OF = frozenset({"aus", "aus den", "aus dem", "out of", "out of the", "of the"})


def _made_of(items: Sequence[Item]) -> list[Item]:
    """Read "make 8 out of the 6" as "8 instead of the 6"."""
    out = list(items)
    for n in range(1, len(out) - 2):
        if not out[n].whole or fold(out[n - 1].text) not in _MAKES:
            continue
        after = n + 3 if "the" in out[n + 2].tags and n + 3 < len(out) else n + 2
        if fold(out[n + 1].text) in _OUT_OF and out[after].whole and not out[after].unit:
            out[n + 1] = replace(out[n + 1], tags={"unlike": "instead of"})
    return out


#: What is compared stands no more words before the "not" than this (our choice).
_MOST_BETWEEN = 8
#: How words end that say of what stands before them that it is wrong.
_WRONG = ("wrong", "falsch", "faux", "fausse", "mal", "error", "erreur")


def _last_alike(items: Sequence[Item], n: int) -> Item | None:
    """Return the last item before a "not" that is of the kind of what follows it."""
    for item in reversed(items[max(n - _MOST_BETWEEN, 0) : n]):
        if item.kind == "mark" and item.text in ".;!?":
            return None
        if _alike(item, items[n + 1]):
            return item
    return None


#: Words that lead from an old number to its new one.
_TO = frozenset({"passe a", "passent a", "passer a", "pasa a", "pasan a", "changed to", "goes to"})


def _goes_to(items: Sequence[Item]) -> list[Item]:
    """Read "les 4 panneaux passent à 6" as "6 panels instead of 4"."""
    out = list(items)
    for n in range(1, len(out) - 1):
        if fold(out[n].text) not in _TO:
            continue
        old = _last_alike(out, n)
        if old is not None and old.kind == "num":
            at = next(k for k, item in enumerate(out) if item is old)
            if at and "item" in out[at - 1].tags:
                continue  # "line 1 goes to 6 rolls": the first number is a name
            if any(item.kind == "mark" and item.text == "," for item in out[at:n]):
                continue  # another clause counts there
            mark = replace(out[n], tags={"unlike": "instead of"})
            out[at], out[n], out[n + 1] = out[n + 1], mark, old
    return out


def _said_wrong(items: Sequence[Item]) -> list[Item]:
    """Read "the 316 is wrong, we use 304" as "instead of the 316 we use 304"."""
    out = list(items)
    for n in range(1, len(out) - 1):
        word = out[n]
        if "correct" not in word.tags or not fold(word.text).endswith(_WRONG):
            continue
        if any(_alike(out[n - 1], other) for other in out[n + 1 :]):
            mark = replace(word, tags={"unlike": "instead of"})
            out[n - 1 : n + 1] = [mark, out[n - 1]]
    return out


def _arrows(items: Sequence[Item]) -> list[Item]:
    """Read "20 -> 30" as "30 instead of 20"."""
    out: list[Item] = []
    n = 0
    while n < len(items):
        drawn = items[n].text == "-" and n + 1 < len(items) and items[n + 1].text == ">"
        size = 2 if drawn else 1
        told = drawn or items[n].text in ("→", "⇒", "»")
        after = items[n + size] if n + size < len(items) else None
        if told and out and after is not None and _alike(out[-1], after):
            sign = items[n]
            mark = Item("word", sign.text, sign.start, sign.end, {"unlike": "instead of"})
            out[-1:] = [after, mark, out[-1]]
            n += size + 1
            continue
        out.append(items[n])
        n += 1
    return out


#: Words before a "than" that only limit: "no more than 5".
_LIMITS = frozenset({"more", "less", "bigger", "larger", "smaller", "fewer", "wider", "longer"})


def _better(items: Sequence[Item], n: int) -> bool:
    """Whether a "than" stands between two counts: "better have 6 rolls than 4"."""
    before = [i for i in items[max(n - 2, 0) : n] if i.kind == "num"]
    limits = fold(items[n - 1].text) in _LIMITS
    return bool(before) and not limits and before[-1].whole and items[n + 1].whole


def _alike(one: Item, other: Item) -> bool:
    if "alloy" in one.tags or "alloy" in other.tags:
        return "alloy" in one.tags and "alloy" in other.tags
    same = one.unit in ("", other.unit) or not other.unit
    return one.kind == other.kind == "num" and same
