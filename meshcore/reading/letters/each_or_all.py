"""A length beside a count of rolls that may be of each or of all: "3 rolls (75 m)"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

_LENGTHS = frozenset({"m", "ft", "yd"})
#: Between a length and the rolls that it is cut into: "90 m in 3 rolls", "90 m auf 3 Rollen".
_INTO = frozenset({"in", "as", "into", "auf", "als", "en", "sur", "on"})


def each_or_all(said: Said) -> None:
    """Ask about a length that may be of each roll or of all, unless the letter says which."""
    counts = [f for f in said.of("quantity") if not f.weak and f.item is not None]
    if len(counts) != 1 or float(counts[0].value) <= 1 or not counts[0].item:
        return
    items = said.items
    count = next((n for n, i in enumerate(items) if i.start == counts[0].start), -1)
    noun = next((n for n in range(count + 1, min(count + 4, len(items)))
                 if items[n].tags.get("form") == "roll"), -1)  # fmt: skip
    if count < 0 or noun < 0:
        return
    lengths = [f for f in said.of("dim") if f.item is not None and f.item.unit in _LENGTHS]
    loose = [] if any(f.group for f in lengths) else [i for i in said.loose if i.unit in _LENGTHS]
    for one in (*(f.item for f in lengths if f.role in ("", "length")), *loose):
        at = next((n for n, i in enumerate(items) if one is not None and i.start == one.start), -1)
        if one is None or at < 0 or not _is_open(items, at, count, noun):
            continue
        why = f'{_shown(items, at, count, noun)}: is "{one.text}" for each of them, or for all?'
        if _in_all(items, at):
            each = f"{one.values[0] / float(counts[0].value):g} {one.unit}"
            why = f'"{one.text}" in all for "{counts[0].text}" rolls: {each} each?'
        if one in loose:
            said.loose = [i for i in said.loose if i is not one]
            where = (one.text, one.start, one.end)
            said.facts.append(Fact("dim", "", *where, one, "length", why=why))
        else:
            said.facts = [replace(f, why=why) if f.item is one else f for f in said.facts]
        return


def _shown(items: Sequence[Item], at: int, count: int, noun: int) -> str:
    """Return the words that leave it open, without what stands between that is of no concern."""
    first, last = min(at, count), max(at, noun)
    between = items[first : last + 1]
    if len(between) > _NEAR:
        rolls = " ".join(i.text for i in items[count : noun + 1])
        return f'"{items[at].text}" and "{rolls}"'
    text = " ".join(i.text for i in between).replace("( ", "(")
    return f'"{text})"' if "(" in text else f'"{text}"'


#: So many words are shown as they stand.
_NEAR = 6


def _is_open(items: Sequence[Item], at: int, count: int, noun: int) -> bool:
    """Whether a length beside a count of rolls leaves open what it is the length of."""
    after = items[at + 1 : at + 4]
    if any("each" in i.tags or fold(i.text) in ("each", "per", "je", "pro") for i in after[:2]):
        return False
    if _in_all(items, at):
        return True
    if at == noun + 2 and items[at - 1].text in ("(", "="):
        return items[at - 1].text == "=" or (bool(after) and after[0].text == ")")
    led = count > 0 and (fold(items[count - 1].text) in _INTO or items[count - 1].text == "(")
    if not led or at > count:
        return False
    if items[count - 1].text == "(" and at > 1 and fold(items[at - 1].text) in ("x", "by", "*"):
        return False  # "1 m x 30 m (2 rolls)" is the size of a roll, and how many
    return count - 1 == at + 1 or fold(items[count - 1].text) in _INTO


def _in_all(items: Sequence[Item], at: int) -> bool:
    """Whether a length is said to be the sum: "75 m in total"."""
    beside = [*items[max(at - 1, 0) : at], *items[at + 1 : at + 3]]
    return any("total" in i.tags for i in beside)
