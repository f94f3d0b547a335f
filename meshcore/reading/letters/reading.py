"""One passage read: items to facts."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.binding import CROSSES, Bound, bind
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.items import Item
from meshcore.reading.letters.lexicon import fold
from meshcore.reading.letters.quantities import Counted, find_quantities
from meshcore.reading.letters.scope import denied, of_the_past

#: Marks that a passage is searched for.
MARKS = (
    "and", "or", "both", "correct", "withdraw", "same", "cloth", "same size", "same width", "all",
    "same number", "half number", "same alloy", "rest", "item", "the", "former", "latter", "last",
    "third", "fourth", "narrow", "wide", "also", "usual", "choice", "ditto", "except", "ask",
    "refuse", "other", "about", "history", "later", "unlike", "quote", "square", "edge", "not",
    "instead", "each", "as", "because", "again",
)  # fmt: skip
_LENGTHS = frozenset({"mm", "cm", "m", "µm", "in", "ft", "yd", "thou"})
_SIZES = {"aperture": "aperture", "wire": "wire_diameter", "pitch": "pitch", "open_area": "open_area"}
#: A square is a rectangle that is given one side.
_SHAPE_FORMS = {"square": "rectangle"}


def read_passage(items: Sequence[Item], listed: bool = False, hint: str = "") -> Said:
    """Read one passage.

    Parameters
    ----------
    items
        As cut.
    listed
        Whether it is an item of a list.
    hint
        The enquiry column that it stands in, for a cell of a table.
    """
    said = Said(items=list(items))
    said.dropped = denied(items)
    said.dropped |= of_the_past(items, said.dropped)
    for n, item in enumerate(items):
        for mark in MARKS:
            if mark in item.tags and (n not in said.dropped or mark in ("withdraw", "unlike", "refuse", "not", "correct", "item")):
                said.marks.setdefault(mark, []).append(item)
    for n, item in enumerate(items[:-1]):
        bracketed = items[n + 1].text == "(" and n + 3 < len(items) and items[n + 3].text == ")"
        if "as" in item.tags and n not in said.dropped and ("item" in items[n + 1].tags or bracketed):
            said.marks.setdefault("same", []).append(item)
    for n, item in enumerate(items):
        if "refuse" in item.tags:
            said.dropped |= set(_sentence(items, n))
    counted = find_quantities(items, said.dropped, listed)
    _quantities(said, counted)
    taken = {n for c in counted for n in range(c.first, c.last + 1)}
    starts = {one.start for c in counted for one in c.numbers}
    numbers = {n for n, item in enumerate(items) if item.start in starts}
    _words(said, taken)
    nouns = {items[c.noun].start for c in counted}
    if any(f.start in nouns for f in said.facts if f.name in ("form", "shape")):
        said.facts = [replace(f, weak=True) if f.name in ("form", "shape") and f.start not in nouns else f for f in said.facts]
    amounts = [n for n in range(len(items)) if n not in numbers and n not in said.dropped and _sized(items, n)]
    _sizes(said, bind(items, amounts, said.dropped), amounts, hint)
    said.facts.sort(key=lambda fact: fact.start)
    return said


def _sentence(items: Sequence[Item], n: int) -> range:
    """The sentence or line around an item."""
    ends = [k for k, i in enumerate(items) if i.kind == "nl" or i.kind == "mark" and i.text in ".;!?"]
    return range(max([k + 1 for k in ends if k < n], default=0), min([k for k in ends if k > n], default=len(items)))


def _sized(items: Sequence[Item], n: int) -> bool:
    item = items[n]
    if item.kind != "num" or not item.values or item.unit == "process" or item.tags.get("alloy"):
        return False
    after = items[n + 1] if n + 1 < len(items) else None
    if after is not None and ("edge" in after.tags and "size" not in after.tags or "process" in after.tags
                              and not item.unit):  # fmt: skip
        return False
    before = items[n - 1] if n else None
    if not item.unit and item.whole and before is not None and "item" in before.tags:
        return False
    return not (item.spelled and not item.unit and item.values[0] == 1.0)


def _quantities(said: Said, counted: Sequence[Counted]) -> None:
    for c in counted:
        for item in c.numbers:
            whole = [v for v in item.values if v == int(v)]
            said.facts.append(Fact("quantity", max(whole, default=0.0), item.text, item.start, item.end,
                                   item, group=c.first + 1, weak=c.weak,
                                   why=_about(said, item)))  # fmt: skip


def _about(said: Said, item: Item) -> str:
    """Why an amount is to be asked about: it is only roughly stated."""
    if "vague" in item.tags:
        return f'only "{item.text}" is stated'
    at = bisect_left(said.items, item.start, key=lambda one: one.start)
    before = said.items[max(at - 3, 0) : at]
    for k, one in enumerate(before):
        if "about" in one.tags and not any(x.kind == "mark" or x.kind == "num" and not x.spelled for x in before[k + 1 :]):
            return f'only "{one.text} {item.text}" is stated'
    return ""


def _words(said: Said, counted: set[int]) -> None:
    for n, item in enumerate(said.items):
        if n in said.dropped or n in counted and item.kind == "num":
            continue
        tags = item.tags
        if item.unit or (item.kind == "num" and "alloy" not in tags):
            continue
        where = (item.text, item.start, item.end)
        if "counts_pieces" in tags and n in counted:
            said.facts.append(Fact("counted", "pieces", *where))
        if "alloy" in tags and not ("other" in tags):
            said.facts.append(Fact("alloy", tags["alloy"], *where))
        if "weave" in tags and not _only_word(said, n, tags):
            said.facts.append(Fact("weave", tags["weave"], *where))
        if "roll_length" in tags:
            said.facts.append(Fact("form", "roll", *where))
            said.facts.append(Fact("roll_length", tags["roll_length"], *where))
        elif "shape" in tags:
            said.facts.append(Fact("form", "piece", *where))
            said.facts.append(Fact("shape", _SHAPE_FORMS.get(tags["shape"], tags["shape"]), *where,
                                   role=tags["shape"]))  # fmt: skip
        elif "form" in tags:
            said.facts.append(Fact("form", tags["form"], *where))
        if "service" in tags:
            said.facts.append(Fact("services", tags["service"], *where))
            if tags["service"] == "galvanized after welding":
                said.facts.append(Fact("alloy", "galvanized steel", *where))


def _only_word(said: Said, n: int, tags: object) -> bool:
    """Whether "plain" or "square" stands as any word may, and not as a weave."""
    item = said.items[n]
    if fold(item.text) == "plain":
        near = said.items[max(n - 1, 0) : n] + said.items[n + 1 : n + 2]
        return any(one.kind == "word" and "weave" not in one.tags and "alloy" not in one.tags for one in near)
    if fold(item.text) in ("welded", "soude", "soldada") and n:
        before = said.items[n - 1]
        return "edge" in before.tags or fold(before.text) in ("not", "are", "is", "after")
    return False


def _sizes(said: Said, bound: Sequence[Bound], amounts: Sequence[int], hint: str) -> None:
    items = said.items
    roles = {b.at: b.role for b in bound}
    doubts: dict[int, str] = {}
    amounts = _without_twins(items, amounts, roles, doubts)
    groups = _groups(items, amounts)
    group_of = {n: k + 1 for k, members in enumerate(groups) for n in members if len(members) > 1}
    for members in groups:
        _read_group(items, members, roles)
    for n in amounts:
        item, role = items[n], roles.get(n, "") or _hinted(items[n], hint)
        members = groups[group_of[n] - 1] if n in group_of else [n]
        name, role = _place(items, n, role, members)
        why = doubts.get(n, "") or _either(items, n) or (_about(said, item) if name != "open_area" else "")
        if item.unit == "gauge":
            why = f'"{item.text}": which gauge, SWG, BWG or another?'
        if name == "":
            said.loose.append(item)
            continue
        said.facts.append(Fact(name, "", item.text, item.start, item.end, item, role,
                               group_of.get(n, 0), why))  # fmt: skip


def _either(items: Sequence[Item], n: int) -> str:
    """Why an amount is to be asked about: another number stands before it with an "or"."""
    if n > 1 and "or" in items[n - 1].tags and items[n - 2].kind == "num" and not items[n - 2].unit:
        return f'"{items[n - 2].text} or {items[n].text}": which of them?'
    return ""


#: Two statements of one size in two units agree within this share (our choice: "36 in (915 mm)").
_TWIN = 0.01
_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8, "µm": 0.001, "thou": 0.0254}


def _without_twins(
    items: Sequence[Item], amounts: Sequence[int], roles: dict[int, str], doubts: dict[int, str]
) -> list[int]:
    """Take "36 in (915 mm)" for one size, and "36 in (1 m)" for a doubt."""
    out = list(amounts)
    for a, b in zip(amounts, amounts[1:], strict=False):
        bracketed = b == a + 2 and items[a + 1].text == "(" and b + 1 < len(items) and items[b + 1].text == ")"
        if not bracketed or items[a].unit not in _MM or items[b].unit not in _MM:
            continue
        first, second = (items[n].values[0] * _MM[items[n].unit] for n in (a, b))
        roles[a] = roles.get(a, "") or roles.get(b, "")
        out.remove(b)
        if abs(first - second) > _TWIN * max(first, second):
            doubts[a] = f'"{items[a].text}" and "{items[b].text}" are both stated'
    return out


def _hinted(item: Item, hint: str) -> str:
    if hint in ("width", "length", "aperture", "pitch", "open_area"):
        return hint
    if hint == "wire_diameter":
        return "wire"
    return "dim" if hint == "dimensions" else ""


#: No form has more sizes than this beside each other.
_MOST_SIZES = 4


def _groups(items: Sequence[Item], amounts: Sequence[int]) -> list[list[int]]:
    """Runs of amounts joined by "x" or "by", with only size words between."""
    groups: list[list[int]] = []
    for n in amounts:
        last = groups[-1][-1] if groups else None
        if last is not None and len(groups[-1]) < _MOST_SIZES and _joined(items, last, n):
            groups[-1].append(n)
        else:
            groups.append([n])
    return groups


def _joined(items: Sequence[Item], a: int, b: int) -> bool:
    crossed = False
    for item in items[a + 1 : b]:
        if fold(item.text) in CROSSES:
            crossed = True
        elif item.kind in ("mark", "nl") and item.text not in ".:'\"" or item.kind in ("num", "code"):
            return False
        elif "size" not in item.tags and "edge" not in item.tags and "form" not in item.tags and item.kind == "word":
            return False
    return crossed


def _read_group(items: Sequence[Item], members: Sequence[int], roles: dict[int, str]) -> None:
    """Settle what a pair or triple tells by its own shape: "10 mesh x .025"."""
    for k, n in enumerate(members):
        item = items[n]
        if not item.unit.startswith("/") and item.unit != "M":
            continue
        if k + 1 < len(members):
            after = members[k + 1]
            if roles.get(after, "") in ("", "diameter") and items[after].unit in ("", "in", "mm", "µm", "thou"):
                roles[after] = "wire"
    bare = [n for n in members if not items[n].unit]
    if len(members) >= 2 and not any(roles.get(n) for n in members):  # noqa: PLR2004
        first, second = items[members[0]], items[members[1]]
        small = all(v <= 650 for n in members[:2] for v in items[n].values)  # noqa: PLR2004
        if len(members) == 3 and len(bare) == 3 and first.values == second.values and \
                small and items[members[2]].values[0] < first.values[0] and first.values[0] < 200:  # fmt: skip  # noqa: PLR2004
            roles[members[0]] = roles[members[1]] = "mesh"
            roles[members[2]] = "wire"


def _place(items: Sequence[Item], n: int, role: str, members: Sequence[int]) -> tuple[str, str]:
    """Name of the fact that an amount states, and its role among the sizes of the form."""
    item = items[n]
    if item.unit.startswith("/") or item.unit == "M" or role == "mesh":
        return "mesh_count", ""
    if role == "maille":
        return "hole_or_pitch", ""
    if item.unit == "%":
        return ("open_area", "") if role == "open_area" else ("", "")
    if role in _SIZES:
        return _SIZES[role], ""
    if role == "thickness":
        return "", ""
    if role in ("width", "length", "height", "diameter", "od", "id", "radius", "side", "base", "top", "dim"):
        return "dim", "" if role == "dim" else role
    after = items[n + 1] if n + 1 < len(items) else None
    before = items[n - 1] if n else None
    if item.unit in ("in", "mm") and after is not None and "count" in after.tags:
        return "hole_or_pitch", ""
    if not item.unit and before is not None and _heads_count(items, n):
        return "mesh_count", ""
    if len(members) > 1:
        if _twice(items, members):
            return "hole_or_pitch", ""
        return ("pair" if _bare_pair(items, members) else "dim"), ""
    if item.unit == "µm":
        return "aperture", ""
    if item.unit == "thou":
        return "wire_diameter", ""
    if _beside_shape(items, n) and (item.unit or item.values[0] >= 3):  # noqa: PLR2004
        return "dim", ""
    if n >= 1 and (item.unit in ("mm", "in", "") and not item.whole or item.unit) and _after_mesh(items, n):
        return "wire_diameter", ""
    return "", ""


def _heads_count(items: Sequence[Item], n: int) -> bool:
    """Whether a bare number follows the word "mesh": "mesh: 20"."""
    before = items[n - 1]
    if before.text in ":=" and n > 1:
        before = items[n - 2]
    return "count" in before.tags and before.kind == "word"


def _bare_pair(items: Sequence[Item], members: Sequence[int]) -> bool:
    """Whether two small numbers stand side by side with nothing to tell what they are."""
    pair = [items[n] for n in members if items[n].unit not in ("gauge", "SWG", "BWG", "AWG")]
    bare = [one for one in pair if not one.unit]
    small = all(v < 60 for one in bare for v in one.values)  # noqa: PLR2004 - sizes of forms are more
    return len(bare) == len(pair) and small


def _twice(items: Sequence[Item], members: Sequence[int]) -> bool:
    """Whether a fraction stands twice, as the mesh of welded cloth is written: "1/2 x 1/2"."""
    first, second = items[members[0]], items[members[1]]
    small = first.values[0] * _MM.get(first.unit, _MM["in"]) <= _LARGEST_TWICE
    welded = any(i.tags.get("weave") == "welded" for i in items)
    return first.values == second.values and first.unit == second.unit and small and (
        welded or "/" in first.text and first.unit in ("", "in"))  # fmt: skip


#: Mesh of welded cloth written twice is smaller than this [mm]; larger is a sheet (common practice).
_LARGEST_TWICE = 110.0


def _beside_shape(items: Sequence[Item], n: int) -> bool:
    """Whether a shape's word stands right beside: "discs 90 mm", "16 squares 12 in"."""
    for m in (n - 1, n + 1):
        if 0 <= m < len(items) and ("shape" in items[m].tags or items[m].tags.get("form") == "strip"):
            return True
    k = n - 1
    while k >= 0 and n - k <= 3 and items[k].kind in ("word", "mark") and items[k].text not in ",;.":  # noqa: PLR2004
        if "shape" in items[k].tags:
            return True
        k -= 1
    return False


def _after_mesh(items: Sequence[Item], n: int) -> bool:
    """Whether a mesh count stands right before, but for a comma: "20 mesh, 0.5 mm"."""
    k = n - 1
    while k >= 0 and n - k <= 3:  # noqa: PLR2004
        if items[k].kind == "num":
            return items[k].unit.startswith("/") or items[k].unit == "M"
        if items[k].kind == "mark" and items[k].text not in ",":
            return False
        k -= 1
    return False


def carried(fact: Fact, origin: str) -> Fact:
    """Return a fact as carried over from elsewhere in the letter."""
    return replace(fact, origin=fact.origin or origin)
