"""How the items of a list are told apart: signs, numbers, letters, words with a number."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from meshcore.reading.letters.mails import Line
from meshcore.reading.vocabulary import fold

ITEM = re.compile(
    r"^(?P<indent>[ \t]*)(?:(?P<bullet>[-*+~])(?=[ \t])|(?P<label>\(?(?:\d{1,2}|\d\d0|0\d\d|[A-Za-z]|[ivx]{1,4})[.)]\)?)(?=[ \t])(?<!\)(?=[ \t]{1,3}(?:pcs?|pces?|pieces|off|ea|nos|units|st[üu]ck|stk|pi[èe]ces|piezas|uds)\b))"  # noqa: E501
    r"|(?P<word>(?:pos|item|line|poste?|position|artikel|ligne|línea|linea|art|partida|lot|no|nr|ítem|article|repère)"
    r"[ \t.:]*)(?:(?<=[ \t.:])(?P<letter>[A-Za-z])|(?P<number>\d{1,3}))(?=[ \t.:)])[.:)]?(?!-\d|[ \t]*(?:\+|&|and\b|und\b|et\b|y\b|to\b|bis\b|,)[ \t]*\w+)|(?P<position>0{1,4}\d{1,3})(?=[ \t]{2,}\S)|(?P<code>[A-Z](?:\d{1,2}(?:\.\d{1,2})?)?|\d{1,2}\.\d{1,2}|\d{1,3}-\d{2,4})(?=[ \t]{2,}\S|[ \t]\*[ \t])(?![ \t]+(?:mm|m|in|x)\b))[ \t.:*-]*",  # noqa: E501
    re.IGNORECASE,
)
#: Groups of an item's pattern that hold its label.
LABELS = ("label", "number", "letter", "code", "position")
#: "Screen 1:", "Deck A -": a word with a number, which names a line where others have it too.
_NAMED = re.compile(
    r"^[ \t]*(?:[^\W\d_]{3,15}[ ])?(?P<word>[^\W\d_]{2,15}\.?)[ ](?P<label>\d{1,2}|[A-Z])"
    r"[ \t]*(?:[:=)]|[ ]-(?=[ ])|[ \t]{2,})[ \t]*"
)


#: Words that head a number of pieces, and no item's.
_COUNTS = frozenset({"qty", "quantity", "menge", "anzahl", "stuck", "qte", "quantite", "nombre",
                     "cant", "cantidad"})  # fmt: skip


#: "1 - 12 panels", "2 - 6 panels": numbers that go up by one number the lines.
_NUMBERED = re.compile(r"^[ \t]*(?P<label>\d{1,2}|[A-H](?=[ ]*=))[ \t]*(?:-|:|/|=)[ \t]+(?=\S)")


#: "10  14 mesh …  qty 2": numbers that go up by one or by ten, before lines that count.
_SPACED = re.compile(
    r"^[ \t]*(?P<label>\d{1,3})[ \t]{2,}"
    r"(?!(?:rolls?|discs?|rings?|pcs|pieces?|panels?|sheets?|strips?|off|x|no)\b)(?=\S)"
)
_COUNTED = re.compile(
    r"(?i)\b(?:qty|quantity|rolls?|pcs|off|sheets?|pieces|ea|each|panels?|discs?|stk|stück|rollen)\b"
)


#: "3  2 rolls …": a count behind the number, which is then a label though others were struck out.
_LED = re.compile(rf"(?i)\d+[ \t]*(?:x[ \t]*)?{_COUNTED.pattern.removeprefix('(?i)')}")


#: Lines may be numbered by tens.
_TEN = 10


def _place(label: str) -> int:
    return int(label) if label.isdigit() else ord(label.upper()) - ord("A") + 1


def named_lines(run: Sequence[Line]) -> dict[int, re.Match[str]]:
    """Lines that begin with one word and a number each, by their place: "Screen 1: …"."""
    found = {k: hit for k, line in enumerate(run) if (hit := _NAMED.match(line.text))}
    words = [fold(hit["word"]) for hit in found.values()]
    named = {
        k: hit
        for k, hit in found.items()
        if words.count(fold(hit["word"])) > 1 and fold(hit["word"]) not in _COUNTS
    }
    numbered = {k: hit for k, line in enumerate(run) if (hit := _NUMBERED.match(line.text))}
    spaced = {k: hit for k, line in enumerate(run) if (hit := _SPACED.match(line.text))}
    steps = {int(b["label"]) - int(a["label"]) for a, b in pairwise(spaced.values())}
    counts = all(_COUNTED.search(run[k].text[hit.end() :]) for k, hit in spaced.items())
    rising = bool(steps) and min(steps) > 0
    led = rising and all(_LED.match(run[k].text[hit.end() :]) for k, hit in spaced.items())
    if len(spaced) > 1 and (steps in ({1}, {10}) or led) and counts:
        named |= spaced
    counted = [_place(hit["label"]) for hit in numbered.values()]
    step = 10 if counted and counted[0] == _TEN else 1
    turns = [counted[0] + k * step for k in range(len(counted))] if counted else []
    in_turn = len(counted) > 1 and counted == turns
    return named | (numbered if in_turn else {})


#: "(a)", "(ii)", "2)" amid a sentence.
_MARK = re.compile(
    r"(?<![\w)])(?:\((?P<inside>[a-h]|[ivx]{1,4}|\d{1,2})\)|(?<=[\s:;,])(?P<before>[a-h]|\d{1,2})\))(?=\s)"
)
_SERIES = (
    tuple("abcdefgh"),
    ("i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii"),
    tuple(str(n) for n in range(1, 31)),
)
#: Where the last item of an enumeration ends.
_END = re.compile(r"(?<=[^\s.\d][.!?])\s+(?=[A-ZÄÖÜÉÈÀ¿¡])|(?<=\d[.!?])\s+(?=[A-ZÄÖÜÉÈÀ¿¡])")


#: "Line A uses …; line B …": a word with a label at the head of sentences.
_WORDED = re.compile(
    r"(?:^|(?<=[.;:!]\s))[ \t]*(?P<word>[A-Za-zÀ-ÿ]{3,12})[ ](?P<label>[A-H]|\d{1,2})(?=[ :,])"
)


def _worded(text: str) -> list[tuple[int, int, int, str]]:
    found = [
        (hit.start(), hit.end(), hit["label"].casefold(), fold(hit["word"]))
        for hit in _WORDED.finditer(text)
    ]
    for word in dict.fromkeys(one[3] for one in found):
        labels = [one for one in found if one[3] == word]
        series = _SERIES[2] if labels[0][2].isdigit() else _SERIES[0]
        run: list[tuple[int, int, str]] = []
        for start, end, label, _ in labels:
            if len(run) < len(series) and label == series[len(run)]:
                run.append((start, end, label))
        if len(run) > 1 and word not in _COUNTS:
            return _closed(text, run)
    return []


def _closed(text: str, run: Sequence[tuple[int, int, str]]) -> list[tuple[int, int, int, str]]:
    """Items of a run, each with its end: the next one, or the end of the last one's sentence."""
    last = _END.search(text, run[-1][1])
    stops = [one[0] for one in run[1:]] + [last.start() if last else len(text)]
    return [(a, b, stop, label) for (a, b, label), stop in zip(run, stops, strict=True)]


def enumerated(text: str) -> list[tuple[int, int, int, str]]:
    """Items that are numbered in turn within prose: start, start of the words, end, label.

    Examples
    --------
    >>> [one[3] for one in enumerated("Price (i) 1 roll, (ii) 3 rolls of (i). Thanks")]
    ['i', 'ii']
    """
    found = [
        (hit.start(), hit.end(), hit["inside"] or hit["before"]) for hit in _MARK.finditer(text)
    ]
    for series in _SERIES:
        run: list[tuple[int, int, str]] = []
        for start, end, label in found:
            if len(run) < len(series) and label == series[len(run)]:
                run.append((start, end, label))
        if len(run) > 1:
            return _closed(text, run)
    return _worded(text)


_WITHIN = re.compile(
    r"(?<=[.;!])[ \t]+(?=(?:item|pos|position|line|artikel|ligne|poste|partida)\b\.?[ \t]*\d)",
    re.IGNORECASE,
)


def items_within(text: str) -> list[int]:
    """Where further items begin in an item: "Item 2: delete. Item 1: make qty 4."."""
    return [hit.end() for hit in _WITHIN.finditer(text)]
