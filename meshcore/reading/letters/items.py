"""A passage as items in a row: amounts with their units, words of the trade, marks."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from meshcore.reading import numbers
from meshcore.reading.letters.lexicon import Lexicon, fold, guess

_NUMBER = (
    r"\d{1,3}(?:'\d{3})+(?:[.,]\d+)?"
    r"|\d{1,3}(?:-|\s)\d{1,2}/(?:2|3|4|8|16|32|64)(?![\d/]|[.,]\d)"
    r"|\d{1,2}/(?:2|3|4|8|16|32|64)(?![\d/]|[.,]\d)"
    r"|\d*[¼½¾⅛⅜⅝⅞]"
    r"|\d+(?:[.,]\d+)*|(?<![\w.,])[.,]\d+"
)
_SPACED = re.compile(r"\d{1,3}(?: \d{3})+(?![\d.,/])(?:,\d+)?")
_TOKEN = re.compile(
    rf"(?P<nl>\n)|(?P<code>(?<![\w])(?!Ø)(?:[^\W\d_]{{1,6}}[-/.]?\d[\w/-]*\d[\w/-]*|\d+(?:-\d+){{2,}}[\w-]*"
    rf"|\d+[A-WYZ]+\d+\w*|\d{{7,}}))|(?P<num>{_NUMBER})"
    r"|(?P<word>(?:mm|cm|m|in|ft)(?=x\d)|[^\W\d_]+)|(?P<mark>[^\s\w]|_|\w)",
    re.IGNORECASE,
)  # fmt: skip
_VULGAR = {"¼": 0.25, "½": 0.5, "¾": 0.75, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875}
_NO_TAGS: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True)
class Item:
    """One amount, word or mark of a passage.

    Parameters
    ----------
    kind
        ``num``, ``word``, ``mark``, ``code`` or ``nl``.
    text, start, end
        As it stands in the plain text, and where.
    tags
        Kinds of word that it is, each with its meaning.
    values
        Every value that the digits can be read as.
    unit
        Unit of an amount by its one name; empty for a bare number.
    glued
        Whether it follows the item before without a space.
    """

    kind: str
    text: str
    start: int
    end: int
    tags: Mapping[str, str] = field(default_factory=dict)
    values: tuple[float, ...] = ()
    unit: str = ""
    glued: bool = False
    number: str = ""
    spelled: bool = False

    @property
    def whole(self) -> bool:
        """Whether it is a bare whole number."""
        return self.kind == "num" and not self.unit and bool(self.values) and all(
            v == int(v) and v >= 1 for v in self.values
        )  # fmt: skip


def cut_items(
    text: str, lexicon: Lexicon, start: int = 0, end: int = -1, spaced: bool = False, capitals: bool = False
) -> list[Item]:
    """Cut a stretch of plain text into items.

    Parameters
    ----------
    text, start, end
        Plain text, and the stretch of it.
    lexicon
        Words of the letter's language.
    spaced
        Whether a space may part thousands.
    capitals
        Whether all is in capitals, so that "12M" is metres and not mesh.
    """
    end = len(text) if end < 0 else end
    tokens = _tokens(text, start, end, spaced)
    return _join_units(_join_numbers(_not_alloys(_match(tokens, text, lexicon))), text, capitals)


def _tokens(text: str, start: int, end: int, spaced: bool) -> list[Item]:
    found: list[Item] = []
    at = start
    while at < end:
        wide = _SPACED.match(text, at, end) if spaced else None
        hit = wide or _TOKEN.search(text, at, end)
        if hit is None:
            break
        kind = "num" if wide else str(hit.lastgroup)
        if not wide and spaced and kind == "num":
            wide = _SPACED.match(text, hit.start(), end)
            hit = wide or hit
        glued = hit.start() == (found[-1].end if found else -1)
        values = number_values(hit[0]) if kind == "num" else ()
        found.append(Item(kind, hit[0], hit.start(), hit.end(), values=values, glued=glued))
        at = hit.end()
    return found


def number_values(text: str) -> tuple[float, ...]:
    """Every value that digits allow: fractions and thousands included.

    Examples
    --------
    >>> number_values("2-1/2"), number_values("1.250"), number_values("1½")
    ((2.5,), (1.25, 1250.0), (1.5,))
    """
    if text[-1] in _VULGAR:
        return (float(text[:-1] or 0) + _VULGAR[text[-1]],)
    parted = re.fullmatch(r"(?:(\d+)[-\s])?(\d+)/(\d+)", text)
    if parted:
        one = numbers.fraction(parted[1] or "", parted[2], parted[3])
        return () if one is None else (one.value,)
    return tuple(n.value for n in numbers.readings(text.lstrip(",") if text[:1] != "," else text))


def _match(tokens: Sequence[Item], text: str, lexicon: Lexicon) -> list[Item]:
    """Join words to the longest phrases known."""
    keys = [fold(t.text) if t.kind != "nl" else "\n" for t in tokens]
    keys = [k if k in lexicon.phrases else guess(k, lexicon.near) for k in keys]
    out: list[Item] = []
    at = 0
    while at < len(tokens):
        token = tokens[at]
        if token.kind == "code":
            split = _known_code(token, lexicon)
            out += split
            at += 1
            continue
        size, tags = _longest(keys, tokens, at, lexicon)
        if size == 0:
            out.append(token)
            at += 1
            continue
        last = tokens[at + size - 1]
        number = token.kind == "num" and size == 1
        out.append(
            Item(token.kind if number else "word", text[token.start : last.end], token.start, last.end,
                 tags, token.values if number else (), glued=token.glued)
        )  # fmt: skip
        at += size
    return out


def _longest(
    keys: Sequence[str], tokens: Sequence[Item], at: int, lexicon: Lexicon
) -> tuple[int, Mapping[str, str]]:
    for phrase, tags in lexicon.phrases.get(keys[at], ()):
        size = len(phrase)
        if at + size > len(keys) or tuple(keys[at : at + size]) != phrase:
            continue
        if tokens[at].kind == "num" and size > 1 and tokens[at + 1].kind == "word" and len(phrase[1]) == 1 \
                and not tokens[at + 1].glued and "alloy" in tags:  # fmt: skip
            continue
        if len(phrase[-1]) == 1 and phrase[-1].isalpha() and at + size < len(keys) \
                and tokens[at + size].glued and tokens[at + size].kind == "word":  # fmt: skip
            continue
        return size, tags
    return 0, _NO_TAGS


def _not_alloys(items: Sequence[Item]) -> list[Item]:
    """A number beside an "x" or before a unit is a size, even where an alloy goes by it."""
    out = list(items)
    for n, item in enumerate(items):
        if item.kind != "num" or "alloy" not in item.tags:
            continue
        after = items[n + 1] if n + 1 < len(items) else None
        before = items[n - 1] if n else None
        crossed = any(one is not None and fold(one.text) in ("x", "*", "by") for one in (before, after))
        unit = after is not None and after.tags.get("unit") in ("mm", "cm", "µm") and after.kind == "word"
        sized = before is not None and before.tags.get("size") in ("diameter", "od", "id", "width", "length", "radius")
        if crossed or unit or sized:
            out[n] = replace(item, tags=_NO_TAGS)
    return out


_GRADE = re.compile(r"^(?:aisi|ss|t|type|s/s|v|sus|astm|inox|ni|ti)?[-/.]?(\d[\w.]*)$", re.IGNORECASE)
_WORD_NUMBER = re.compile(r"^([^\W\d_]+)[-.]?(\d+(?:[.,]\d+)?)$")


def _known_code(token: Item, lexicon: Lexicon) -> list[Item]:
    """Take a code for an alloy or a word with its number where it is one: T304, MW10, R25."""
    key = tuple(re.findall(r"\d+(?:[.,]\d+)*|[^\W\d_]+|[^\s\w]", fold(token.text)))
    for phrase, tags in lexicon.phrases.get(key[0], ()) if key else ():
        if phrase == key:
            return [replace(token, kind="word", tags=tags)]
    grade = _GRADE.match(token.text)
    if grade:
        bare = tuple(re.findall(r"\d+(?:[.,]\d+)*|[^\W\d_]+", fold(grade[1])))
        for phrase, tags in lexicon.phrases.get(bare[0], ()):
            if phrase == bare and "alloy" in tags:
                return [replace(token, kind="word", tags=tags)]
    parted = _WORD_NUMBER.match(token.text)
    if parted:
        word = fold(parted[1])
        for phrase, tags in lexicon.phrases.get(word, ()):
            if phrase == (word,) and "size" in tags and "alloy" not in tags:
                middle = token.start + len(parted[1])
                return [
                    replace(token, kind="word", text=parted[1], end=middle, tags=tags),
                    Item("num", parted[2], token.end - len(parted[2]), token.end,
                         values=number_values(parted[2]), glued=True),
                ]  # fmt: skip
    return [token]


def _join_numbers(items: Sequence[Item]) -> list[Item]:
    """Read numbers written as words, and dozens and gross."""
    out: list[Item] = []
    for item in items:
        worded = item.tags.get("number") or item.tags.get("vague")
        if item.kind == "word" and worded is not None:
            item = replace(item, kind="num", values=(float(worded),), spelled=True)  # noqa: PLW2901
        many = {"dozen": 12.0, "gross": 144.0}.get(item.tags.get("quantity", ""))
        last = out[-1] if out else None
        if many is not None and last is not None and last.kind == "num" and not last.unit and last.values:
            out[-1] = replace(last, text=f"{last.text} {item.text}", end=item.end,
                              values=tuple(v * many for v in last.values), spelled=False,
                              tags=_NO_TAGS)  # fmt: skip
            continue
        if last is not None and item.spelled and last.spelled and _adds(last, item):
            out[-1] = _added(last, item)
            continue
        if last is not None and item.spelled and last.kind == "word" and len(out) > 1 \
                and fold(last.text) in ("and", "point") and out[-2].spelled:  # fmt: skip
            before = out[-2]
            if fold(last.text) == "point" or before.text.endswith("point"):
                out[-2:] = [_pointed(before, item)]
                continue
            if before.values[0] >= 100 and item.values[0] < 100:  # noqa: PLR2004
                out[-2:] = [_added(before, item)]
                continue
        if last is not None and item.spelled and fold(last.text) == "point" and last.kind == "word":
            out[-1] = _pointed(replace(last, values=(0.0,), text="point"), item)
            continue
        if last is not None and item.spelled and "point" in last.text and last.spelled \
                and item.values[0] < 10:  # fmt: skip  # noqa: PLR2004
            out[-1] = _pointed(last, item)
            continue
        out.append(item)
    return out


def _adds(a: Item, b: Item) -> bool:
    """Whether two number words are parts of one: "twenty five", "three hundred"."""
    x, y = a.values[0], b.values[0]
    if "point" in a.text:
        return False
    return (y in (100.0, 1000.0) and x < y) or (x >= 20 and x % 10 == 0 and y < 10) or (  # noqa: PLR2004
        x >= 100 and x % 100 == 0 and y < 100  # noqa: PLR2004
    )


def _added(a: Item, b: Item) -> Item:
    x, y = a.values[0], b.values[0]
    value = x * y if y in (100.0, 1000.0) and x < y else x + y
    return replace(a, text=f"{a.text} {b.text}", end=b.end, values=(value,))


def _pointed(a: Item, b: Item) -> Item:
    """Read decimals said one by one: "point two five"."""
    places = len(a.number)
    digits = f"{b.values[0]:.0f}"
    value = a.values[0] + b.values[0] * 10.0 ** -(places + len(digits))
    return replace(a, kind="num", text=f"{a.text} point {b.text}", end=b.end, values=(round(value, 9),),
                   number=a.number + digits, spelled=True, tags=_NO_TAGS)  # fmt: skip


def _join_units(items: Sequence[Item], text: str, capitals: bool) -> list[Item]:
    """Give each number the unit that follows it, and join feet and inches."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        item = items[at]
        following = items[at + 1] if at + 1 < len(items) else None
        if item.kind == "num" and following is not None and not item.tags.get("alloy"):
            if following.text == "-" and at + 2 < len(items) and "unit" in items[at + 2].tags \
                    and following.glued and items[at + 2].glued:  # fmt: skip
                at += 1
                following = items[at + 1]
            unit = _unit_after(item, following, items[at + 2] if at + 2 < len(items) else None, capitals)
            if unit:
                item = replace(item, unit=unit, end=following.end, number=item.text, tags=_NO_TAGS,
                               text=text[item.start : following.end])  # fmt: skip
                at += 1
                last = out[-1] if out else None
                if unit == "in" and last is not None and last.unit == "ft" and last.kind == "num" \
                        and not any(v > 12 for v in item.values) and last.end >= item.start - 1:  # fmt: skip  # noqa: PLR2004
                    item = replace(last, end=item.end, text=text[last.start : item.end], unit="in",
                                   values=tuple(12 * last.values[0] + v for v in item.values))  # fmt: skip
                    out.pop()
        out.append(item)
        at += 1
    return out


def _unit_after(item: Item, following: Item, after: Item | None, capitals: bool) -> str:
    tags, folded = following.tags, fold(following.text)
    if following.kind == "mark" and following.text not in "\"'#%°":
        return ""
    if "count" in tags and "alloy" not in tags:
        return f"/{tags['count']}"
    if following.text == "M" and following.glued and not capitals and item.whole and item.values[0] <= 650:  # noqa: PLR2004
        return "M"
    if "unit" in tags:
        unit = tags["unit"]
        if folded in ("g", "w", "d") and not following.glued:
            return ""
        if folded == "in" and after is not None and not following.glued and \
                ({"alloy", "the"} & after.tags.keys() or fold(after.text) in ("our", "a", "all")):  # fmt: skip
            return ""
        return unit
    if "process" in tags:
        return "process"
    return ""
