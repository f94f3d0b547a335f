"""What the words of a passage name: alloys, weaves, forms, shapes, services."""

from __future__ import annotations

from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

#: A square is a rectangle that is given one side.
_SHAPE_FORMS = {"square": "rectangle"}


def read_words(said: Said, counted: set[int]) -> None:
    """Add a fact for each word that names something; `counted` are places of counts."""
    for n, item in enumerate(said.items):
        if n in said.dropped or (n in counted and item.kind == "num"):
            continue
        tags = item.tags
        if item.unit or (item.kind == "num" and "alloy" not in tags):
            continue
        where = (item.text, item.start, item.end)
        if n in counted and ("counts_pieces" in tags or _numbers_off(item)):
            said.facts.append(Fact("counted", "pieces", *where))
        if "alloy" in tags and "other" not in tags:
            why = _hedged(said, n) or _only_if(said, n) or _under_if(said, n)
            said.facts.append(Fact("alloy", tags["alloy"], *where, why=why))
        if "weave" in tags and not _only_word(said, n):
            said.facts.append(Fact("weave", tags["weave"], *where, why=_only_if(said, n)))
        if "roll_length" in tags:
            said.facts.append(Fact("form", "roll", *where))
            said.facts.append(Fact("roll_length", tags["roll_length"], *where))
        elif "shape" in tags:
            said.facts.append(Fact("form", "piece", *where))
            said.facts.append(
                Fact(
                    "shape",
                    _SHAPE_FORMS.get(tags["shape"], tags["shape"]),
                    *where,
                    role=tags["shape"],
                )
            )
        elif "form" in tags:
            wound = tags["form"] == _WOUND
            form = "roll" if wound else tags["form"]
            said.facts.append(Fact("form", form, *where, role=_WOUND if wound else "", weak=wound))
        if "slit" in tags:
            said.facts.append(Fact("slit", "strip", *where))
        if "service" in tags:
            said.facts.append(Fact("services", tags["service"], *where))
            if tags["service"] == "galvanized after welding":
                said.facts.append(Fact("alloy", "galvanized steel", *where))


def _numbers_off(item: Item) -> bool:
    """Whether a "no." stands for pieces behind their number: "40 no. 18 x 18"."""
    return "not" in item.tags and fold(item.text).rstrip(".") in ("no", "nos")


#: Reels are of strip as well as of cloth: what else the letter says of the form decides.
_WOUND = "wound"


def _hedged(said: Said, n: int) -> str:
    """Why an alloy is to be asked about: the buyer is not sure of it."""
    low = max(n - 4, 0)
    commas = [k for k in range(low, n) if said.items[k].text == ","]
    for item in said.items[commas[-1] if commas else low : n + 5]:
        if "hedge" in item.tags:
            return f'"{item.text}": is {said.items[n].text} meant?'
    for k, item in enumerate(said.items[n:], n):
        near = said.items[max(k - 4, n) : k + 5]
        if fold(item.text) in _OPEN and any(i.tags.get("size") == "kind" for i in near):
            return f'"{said.items[n].text}": the grade is said to be {item.text}'
    return ""


#: What is said of a grade that nobody has chosen yet.
_OPEN = frozenset({"open", "tbd", "tbc", "undecided", "decide", "decided", "offen", "confirmed"})


def _only_if(said: Said, n: int) -> str:
    """Why a word is to be asked about: it is wanted under an if, "twill if it costs the same"."""
    after = said.items[n + 1] if n + 1 < len(said.items) else None
    if after is None or fold(after.text) not in ("if", "wenn", "falls", "si"):
        return ""
    return f'"{said.items[n].text} {after.text}…": which in the end?'


#: How many words before an alloy an "if" may stand that it hangs on (our choice).
_IF_BEFORE = 8
_IFS = frozenset({"if", "wenn", "falls", "si"})


def _under_if(said: Said, n: int) -> str:
    """Why an alloy is to be asked about: an "if" goes before it, "and if it can be had galvanised"."""  # noqa: E501
    for k in range(n - 1, max(n - _IF_BEFORE, -1), -1):
        if said.items[k].kind in ("mark", "nl"):
            return ""
        if fold(said.items[k].text) in _IFS:
            return f'"{said.items[k].text} … {said.items[n].text}": which in the end?'
    return ""


#: "Plain carbon steel" is a steel, and no weave.
_STEELS = frozenset({"carbon steel", "high-carbon steel", "galvanized steel"})


def _only_word(said: Said, n: int) -> bool:
    """Whether "plain" or "square" stands as any word may, and not as a weave."""
    item = said.items[n]
    after = said.items[n + 1] if n + 1 < len(said.items) else None
    if fold(item.text) == "plain" and after is not None and after.tags.get("alloy") in _STEELS:
        return True
    three = said.items[max(n - 2, 0) : n + 3]
    if any("or" in one.tags for one in three) and sum("weave" in one.tags for one in three) > 1:
        return False  # "plain or twilled"
    if fold(item.text) == "plain":
        near = said.items[max(n - 1, 0) : n] + said.items[n + 1 : n + 2]
        return any(
            one.kind == "word" and "weave" not in one.tags and "alloy" not in one.tags
            for one in near
        )
    if fold(item.text) in ("welded", "soude", "soldada") and n:
        before = said.items[n - 1]
        return "edge" in before.tags or fold(before.text) in ("not", "are", "is", "after")
    return False
