"""Further quantities of lines that stand: "price 25 too", "2 rolls, alternatively 5"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.passage import Passage
from meshcore.reading.vocabulary import fold

#: What a passage that only counts may say besides.
_COUNTS = frozenset({"form", "shape", "counted"})
#: Words beside the numbers of a further price.
_MORE = frozenset({"also", "and", "or", "too", "well", "additionally", "auch", "aussi", "egalement",
                   "tambien", "ausserdem", "zusatzlich", "ebenso", "idem", "likewise",
                   "plus"})  # fmt: skip
#: How a question begins that asks what several quantities cost.
_COSTS = frozenset({"cost", "costs", "kosten", "kostet", "coutent", "coute", "cuestan", "cuesta",
                    "price", "prices"})  # fmt: skip
_FOR = frozenset({"for", "at", "fur", "bei", "pour", "para", "a", "per"})


def price_more(build: Build, passage: Passage, said: Said) -> bool:
    """Offer lines in further quantities: "please price (iv) also for 72 off"; False where it asks for none."""  # noqa: E501
    if not build.present or passage.cells or said.has("same", "cloth", "correct", "withdraw"):
        return False
    if any(f.name not in ("quantity", *_COUNTS) for f in said.facts):
        return False
    if said.has("unlike") and not said.has("also"):
        return False
    aim = aim_of(said, build.present, build.lines)
    numbers = _numbers(said, aim.used)
    lines = list(aim.lines) or _last(build, passage, said)
    if not numbers or not _asks_more(said, numbers) or not _may_count(build, lines, numbers, said):
        return False
    for line in lines:
        have = {f.value for one in _kin(build, line) for f in one.of("quantity")}
        fresh = [i for i in numbers if max(i.values) not in have]
        if len(numbers) > 1 and fresh and all(f.weak for f in line.of("quantity")):
            one = fresh.pop(0)  # "a round guard … prices for 5 and 20": the article counts none
            line.put([Fact("quantity", max(one.values), one.text, one.start, one.end, one)])
        at = max(
            n for n, one in enumerate(build.lines) if any(one is kin for kin in _kin(build, line))
        )
        build.lines[at + 1 : at + 1] = [_again(line, i) for i in fresh]
    return True


def _may_count(build: Build, lines: Sequence[Draft], numbers: Sequence[Item], said: Said) -> bool:
    """Whether numbers may be further ones of lines, or, where they have none, their first ones."""
    waiting = [line for line in lines if not line.has("quantity")]
    if not waiting:
        return bool(lines)
    kinds = {(f.name, f.value) for f in said.facts if f.name in ("form", "shape")}
    alone = len({name for name, _ in kinds}) == len(kinds) and said.has("quote")
    others = [line for line in build.present if not line.has("quantity")]
    counted = len(numbers) > 1 and not said.loose and len(said.of("quantity")) == len(numbers)
    return alone and counted and len(others) == len(waiting) == len(lines) == 1


def _numbers(said: Said, used: frozenset[int]) -> list[Item]:
    """Bare numbers that count, and nothing else; empty where any amount is something else."""
    out = []
    for n, item in enumerate(said.items):
        if item.kind != "num" or item.start in used or n in said.dropped:
            continue
        if item.spelled and item.values == (1.0,):
            continue
        if not item.whole or "alloy" in item.tags:
            return []
        out.append(item)
    return out


def _asks_more(said: Said, numbers: Sequence[Item]) -> bool:
    """Whether a passage asks for a price and says that it is a further one."""
    words = {fold(i.text) for i in said.items} | {
        "also" for i in said.items if "also" in i.tags or fold(i.text) == "as well as"
    }
    first = next(n for n, i in enumerate(said.items) if i is numbers[0])
    before = said.items[first - 1] if first else None
    told = before is None or fold(before.text) in _FOR or {"also", "quote"} & before.tags.keys()
    named = len(numbers) > 1 or bool(told) or any(f.name == "quantity" for f in said.facts)
    if words & _COSTS and said.has("each") and fold(_before(said, numbers[0])) in _PRICED:
        return True  # "please add the price of 300 of each size"
    if _only_counts(said.items) or (words & _COSTS and said.has("all") and len(numbers) > 1):
        return True
    return said.has("quote") and bool(words & _MORE) and named


#: Before a number that a price is asked for.
_PRICED = frozenset({"of", "for", "at", "per", "fur", "von", "de", "pour", "para", "bei"})


def _before(said: Said, number: Item) -> str:
    """Return the word before a number."""
    n = next(k for k, i in enumerate(said.items) if i is number)
    return said.items[n - 1].text if n else ""


def _only_counts(items: Sequence[Item]) -> bool:
    """Whether a passage says no more than "also for 36 off and 100 off"."""
    words = [i for i in items if i.kind == "word"]
    if not words or not ("also" in words[0].tags or fold(words[0].text) in _MORE):
        return False
    led = any(fold(i.text) in _FOR for i in words[:3])
    plain = {"quantity", "form", "shape", "counts_pieces", "and", "also", "quote", "all", "total"}
    return led and all(plain & i.tags.keys() or fold(i.text) in _MORE | _FOR | _POLITE
                       for i in words)  # fmt: skip


_POLITE = frozenset({"please", "pls", "bitte", "svp", "merci", "por favor", "thanks"})


def _last(build: Build, passage: Passage, said: Said) -> list[Draft]:
    if said.has("all", "each"):
        return build.present
    near = [line for line in build.opened if line.paragraph == passage.paragraph and not line.gone]
    return near[-1:] or (build.present if len(build.present) == 1 else [])


def _kin(build: Build, line: Draft) -> list[Draft]:
    """Lines that are one with a line but for their quantity: its price breaks."""
    return [
        one
        for one in build.lines
        if one is line
        or (one.start == line.start and one.label == line.label and _told(one) == _told(line))
    ]


def _told(line: Draft) -> set[tuple[str, int]]:
    """Return what a line says besides its quantity, by where it is said."""
    return {(f.name, f.start) for f in line.facts if f.name != "quantity"}


def _again(line: Draft, item: Item) -> Draft:
    fact = Fact("quantity", max(item.values), item.text, item.start, item.end, item)
    facts = [f if f.origin else replace(f, origin="its first price") for f in line.facts]
    kept = [f for f in facts if f.name != "quantity"]
    return replace(line, facts=[*kept, fact], notes=list(line.notes))


def count_alternative(
    build: Build, part: Said, rest: Sequence[Fact], quantities: Sequence[Fact]
) -> bool:
    """Take "…, alternatively 5 rolls" for another quantity of the line before it."""
    line = build.opened[-1] if build.opened else None
    if line is None or line.gone or not quantities or not line.has("quantity"):
        return False
    first = [i for i in part.items if i.kind != "mark"][:1]
    joined = bool(first) and first[0].kind == "num"
    if not joined or not {f.name for f in rest} <= _COUNTS or any(f.weak for f in quantities):
        return False
    if any(line.value(f.name) not in (None, f.value) for f in rest):
        return False
    for fact in quantities:
        if fact.item is not None and fact.value != line.value("quantity"):
            build.lines.append(_again(line, fact.item))
    return True
