"""One clause of a change: which lines it points at, and what it says of them now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters import targets
from meshcore.reading.letters.aims import Aim, aim_of, states
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.placing import SIZES
from meshcore.reading.letters.reading import read_passage
from meshcore.reading.letters.resolve import MM_OF
from meshcore.reading.letters.sides import other_side
from meshcore.reading.vocabulary import fold

_ORIGIN = "a correction"
#: Fields that a number may stand in, in the order in which an old value is looked for.
_FIELDS = ("quantity", "dim", "mesh_count", "aperture", "pitch", "wire_diameter")


def amend(build: Build, passage: Passage, said: Said) -> bool:
    """Apply a clause to the lines that it points at; False where it points at none or says nothing."""  # noqa: E501
    if _less_work(build, said):
        return True
    aim = aim_of(said, build.present, build.lines, passage.label)
    if not aim.lines:
        return False
    if said.has("withdraw"):
        return False
    return amend_lines(build, said, list(aim.lines), aim)


def amend_lines(build: Build, said: Said, lines: list[Draft], aim: Aim | None = None) -> bool:
    """Set in lines what a clause says of them; False where it says nothing."""
    aim = aim or Aim()
    if _less_work(build, said):
        return True
    changed = False
    old = _by_old(said, lines, aim)
    if old:
        lines = [line for line, _ in old]
    elif _takes_back(said):
        return False
    told = {id(line): facts for line, facts in old}
    free = _free(said, aim)
    for line in lines:
        own = told.get(id(line), [])
        facts = [f for f in aim.rest(said.facts) if not _only_names(f, line)]
        facts = [f for f in facts if not _calls(f, said)]
        facts = [f for f in facts if not any(f.start == o.start for o in own)] + own
        facts = [_on_top(f, said.items, line) for f in _news(facts, line)]
        taken = {f.start for f in facts}
        left = [i for i in free if i.start not in taken]
        if id(line) in told and not own:
            changed, left = True, []
        whole = [i for i in left if i.whole and _ends(said.items, i) and not _is_grade(said, i)]
        if len(whole) == 1 and not any(f.name == "quantity" for f in facts):
            facts += bare_change(said, whole[0])
        changed = _put(line, facts, [i for i in left if i.unit in MM_OF]) or changed
    return changed


def _only_names(fact: Fact, line: Draft) -> bool:
    """Whether a form or shape is what the line is already: it only names the line."""
    if fact.name in ("form", "shape", "counted"):
        return line.has(fact.name) or fact.name == "counted"
    return False


def _calls(fact: Fact, said: Said) -> bool:
    """Whether an alloy only says which goods are spoken of: "the second lot of 304 can come later"."""  # noqa: E501
    changes = said.has("correct", "unlike", "instead", "quote") or said.has_any("put")
    if fact.name != "alloy" or changes:
        return False
    n = next((k for k, one in enumerate(said.items) if one.start == fact.start), 0)
    return n > 1 and fold(said.items[n - 1].text) in ("of", "von", "de")


def _on_top(fact: Fact, items: Sequence[Item], line: Draft) -> Fact:
    """Add a number with a plus to what the line counts: "pos 1 +2 rolls"."""
    n = next((k for k, one in enumerate(items) if one is fact.item), 0)
    before = line.of("quantity")
    if fact.name != "quantity" or not n or items[n - 1].text != "+" or not before:
        return fact
    if not items[n].glued:
        return fact
    return replace(fact, value=float(before[-1].value) + float(fact.value))


def _news(facts: Sequence[Fact], line: Draft) -> list[Fact]:
    """Leave out what a clause says over again of a line: "the 316 is too dear, so 304"."""
    kept = []
    for fact in facts:
        alike = [f for f in facts if f.name == fact.name and f.name in ("alloy", "wire_diameter")]
        if len(alike) > 1 and targets.matches(line, fact):
            continue
        kept.append(fact)
    return kept


def _put(line: Draft, facts: Sequence[Fact], sized: Sequence[Item]) -> bool:
    """Set facts and one loose size in a line; whether anything was said."""
    shown = [f.text for f in facts]
    alone = [f for f in facts if f.name == "dim"]
    if len(alone) == 1 and line.value("form") == "piece" and len(line.of("dim")) > 1:
        facts = [f for f in facts if f is not alone[0]]
        _one_side(line, alone[0])
    line.put([replace(f, origin=_ORIGIN) for f in facts])
    if len(sized) == 1 and line.of("dim") and not alone:
        one = sized[0]
        if line.value("form") == "piece" and len(line.of("dim")) == 1:
            if not _may_replace(line.of("dim")[0], one):
                return bool(shown)
            size = replace(line.of("dim")[0], text=one.text, start=one.start, end=one.end, item=one)
            line.put([replace(size, origin=_ORIGIN)])
        elif line.value("form") != "piece":
            other_side(line, line, one)
        else:
            _one_side(line, Fact("dim", "", one.text, one.start, one.end, one))
        shown.append(one.text)
    if shown:
        line.notes.append(f"corrected: {', '.join(shown)}")
    return bool(shown)


#: The one size of a piece is changed by no more than this, either way (our choice).
_MOST_CHANGED = 3.0


def _may_replace(fact: Fact, one: Item) -> bool:
    """Whether a size is near enough to the one of a piece to stand in its place."""
    if fact.item is None or not fact.item.values or not one.values:
        return True
    old = max(fact.item.values) * MM_OF.get(fact.item.unit, 1.0)
    new = max(one.values) * MM_OF.get(one.unit, 1.0)
    return bool(old and new) and 1 / _MOST_CHANGED <= new / old <= _MOST_CHANGED


def _one_side(line: Draft, new: Fact) -> None:
    """Set one side of a piece that has two: the one that the new size names or takes back."""
    sides = line.of("dim")
    at = {"width": 0, "height": -1, "length": -1}.get(new.role)
    named = [k for k, f in enumerate(sides) if f.role and f.role == new.role]
    if named:
        at = named[0]
    if at is None:
        line.put([replace(new, why=f'"{new.text}": which of the sizes does it change?')])
        return
    fresh = replace(sides[at], item=new.item, text=new.text, start=new.start, end=new.end)
    line.old.append(sides[at])
    line.facts = [replace(fresh, origin=_ORIGIN) if f is sides[at] else f for f in line.facts]


def _free(said: Said, aim: Aim) -> list[Item]:
    """Amounts of a clause that point at nothing, are not taken back, and name no alloy."""
    return [
        i
        for n, i in enumerate(said.items)
        if i.kind == "num"
        and n not in said.dropped
        and i.start not in aim.used
        and "alloy" not in i.tags
        and i.unit != "process"
        and not (i.spelled and i.values == (1.0,))
        and not (n and "quote" in said.items[n - 1].tags and len(i.text) >= _REFERENCE)
    ]


#: A number of so many digits after "your offer" is its reference (our choice).
_REFERENCE = 4


#: Words that may follow a bare number that counts: "8 of the small ones", "12 in place of 10".
_AFTER = frozenset({"unlike", "form", "shape", "correct", "instead", "not", "but", "quantity",
                    "place", "narrow", "wide", "the"})  # fmt: skip


def _ends(items: Sequence[Item], item: Item) -> bool:
    """Whether a bare number ends its clause, or is followed by what it counts or stands for."""
    n = next(k for k, one in enumerate(items) if one is item)
    after = items[n + 1] if n + 1 < len(items) else None
    if after is None or after.kind != "word":
        return after is None or after.text in ".,;)!-"
    return bool(_AFTER & after.tags.keys()) or fold(after.text) in ("of", "please", "pls", "for")


_SIDES = ("width", "length", "height")


def bare_change(said: Said, item: Item) -> list[Fact]:
    """Return what a bare number changes: the size that the words name, else the count.

    "The width of item 2 should read 1250" changes no count.
    """
    roles = {i.tags["size"] for i in said.items if "size" in i.tags and "quantity" not in i.tags}
    roles -= {f.role for f in said.facts} | {role for role, name in SIZES.items() if said.of(name)}
    if not roles or any("quantity" in i.tags for i in said.items):
        return [_quantity(item)]
    role = roles.pop() if len(roles) == 1 else ""
    if role in _SIDES:
        return [Fact("dim", "", item.text, item.start, item.end, item, role)]
    if role in SIZES:
        return [Fact(SIZES[role], "", item.text, item.start, item.end, item)]
    return []


#: Before the number of a grade, which counts nothing: "once in 330".
_MADE_IN = frozenset({"in", "en", "aus", "grade", "type", "alloy"})
#: Numbers of grades have so many digits.
_GRADE_DIGITS = 3


def _is_grade(said: Said, item: Item) -> bool:
    """Whether a bare number names a grade that the words do not know."""
    n = next((k for k, one in enumerate(said.items) if one is item), 0)
    return len(item.text) == _GRADE_DIGITS and n > 0 and fold(said.items[n - 1].text) in _MADE_IN


def _quantity(item: Item) -> Fact:
    return Fact("quantity", max(item.values), item.text, item.start, item.end, item)


def _by_old(said: Said, lines: Sequence[Draft], aim: Aim) -> list[tuple[Draft, list[Fact]]]:
    """Lines that say what a clause takes back, each with the new value: "180 not 160 mm"."""
    olds = [said.items[n] for n in sorted(said.dropped) if said.items[n].kind == "num"]
    news = _free(said, aim)
    if len(olds) != 1 or not news or "alloy" in olds[0].tags:
        return []
    new = min(news, key=lambda i: abs(i.start - olds[0].start))
    out: list[tuple[Draft, list[Fact]]] = []
    told = {f.name for f in said.facts if f.start == new.start} - {"dim"}
    for line in lines:
        sized = bool(new.unit) or not olds[0].text.isalnum()
        names = [name for name in _FIELDS if not (sized and name == "quantity")]
        names = [name for name in names if name in told] or names
        fact = next((f for name in names for f in line.of(name) if _was(f, olds[0])), None)
        if fact is None or fact.item is None:
            continue
        unit = new.unit or (olds[0].unit if fact.name != "quantity" else "") or fact.item.unit
        item = replace(new, unit=unit)
        fresh = replace(fact, item=item, text=new.text, start=new.start, end=new.end, why="")
        if fact.name == "quantity":
            fresh = replace(fresh, value=max(new.values), weak=False)
        elif fact.name == "dim" and line.value("form") == "piece" and len(line.of("dim")) > 1:
            line.facts = [replace(fresh, origin=_ORIGIN) if f is fact else f for f in line.facts]
            line.old.append(fact)
            line.notes.append(f"corrected: {new.text}")
            out.append((line, []))
            continue
        elif fact.name == "dim" and line.value("form") in ("roll", "strip"):
            fresh = replace(fresh, role=line.place_of(fact))
        out.append((line, [fresh]))
    return out


def _takes_back(said: Said) -> bool:
    """Whether a clause takes back a number: what does not state it is not meant."""
    numbers = [n for n in said.dropped if said.items[n].kind == "num"]
    whole = [n for n in numbers if "alloy" not in said.items[n].tags]
    return said.has_any("unlike") and bool(whole)


def _was(fact: Fact, old: Item) -> bool:
    if fact.name == "quantity":
        return old.whole and fact.value in old.values
    return states(fact, old)


def _less_work(build: Build, said: Said) -> bool:
    """Take work off lines: "drop the hemming", "item 2 without hooks"."""
    gone = [said.items[n] for n in sorted(said.dropped) if "not" not in said.items[n].tags]
    told = [f for f in said.facts if f.name == "services"] if said.has("withdraw") else []
    told += [f for f in read_passage(gone).facts if f.name == "services"] if gone else []
    other = [f for f in said.facts if f.name not in ("services", "form", "shape", "counted")]
    if not told or (said.has("withdraw") and (other or said.has("item"))):
        return False
    work = {f.value for f in told}
    aim = aim_of(said, build.present, build.lines)
    lines = list(aim.lines) or build.present
    having = [line for line in lines if any(f.value in work for f in line.of("services"))]
    for line in having:
        line.old += [f for f in line.of("services") if f.value in work]
        line.facts = [f for f in line.facts if f.name != "services" or f.value not in work]
        line.notes.append(f"corrected: without {', '.join(str(v) for v in sorted(work, key=str))}")
    for head in build.heads:
        if not aim.lines and any(f.name == "services" and f.value in work for f in head):
            head[:] = [f for f in head if f.name != "services" or f.value not in work]
            having = having or build.present
    return bool(having) and (said.has("withdraw") or not aim.rest(said.facts))
