"""A letter cut into passages: mails, tables, items of lists, sentences."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from meshcore.reading.letters.chats import CHAT, is_chat, speakers
from meshcore.reading.letters.keyed import form_cells
from meshcore.reading.letters.lexicon import Lexicon
from meshcore.reading.letters.mails import Line, blank_heads, letter_lines
from meshcore.reading.letters.tables import Cell, find_headings, row_cells
from meshcore.reading.letters.wrapping import WRAPPED, is_filled
from meshcore.reading.vocabulary import fold


@dataclass(frozen=True, slots=True)
class Passage:
    """One stretch of the letter that is read as a whole.

    Parameters
    ----------
    start, end
        Where it stands.
    kind
        ``item``, ``prose``, ``row`` or ``note``.
    label
        Its number or letter where it is numbered.
    paragraph
        Number of its paragraph.
    mail
        Number of its mail, the oldest first.
    ends_colon
        Whether more is to follow.
    speaker
        Who says it, in a chat.
    cells
        Start, end and heading of each cell of a row.
    """

    start: int
    end: int
    kind: str = "prose"
    label: str = ""
    paragraph: int = 0
    mail: int = 0
    ends_colon: bool = False
    speaker: str = ""
    indent: int = 0
    body: int = 0
    cells: tuple[Cell, ...] = ()


_ITEM = re.compile(
    r"^(?P<indent>[ \t]*)(?:(?P<bullet>[-*+~])(?=[ \t])|(?P<label>\(?(?:\d{1,2}|\d\d0|0\d\d|[A-Za-z]|[ivx]{1,4})[.)]\)?)(?=[ \t])"  # noqa: E501
    r"|(?P<word>(?:pos|item|line|poste?|position|artikel|ligne|línea|linea|art|partida|lot|no|nr|ítem|article|repère)"
    r"[ \t.:]*)(?:(?<=[ \t.:])(?P<letter>[A-Za-z])|(?P<number>\d{1,3}))(?=[ \t.:)])[.:)]?(?!-\d|[ \t]*(?:\+|&|and\b|und\b|et\b|y\b|to\b|bis\b|,)[ \t]*\w+)|(?P<position>0{1,4}\d{1,3})(?=[ \t]{2,}\S)|(?P<code>[A-Z](?:\d{1,2}(?:\.\d{1,2})?)?|\d{1,2}\.\d{1,2})(?=[ \t]{2,}\S)(?![ \t]+(?:mm|m|in|x)\b))[ \t.:-]*",  # noqa: E501
    re.IGNORECASE,
)
_SENTENCE = re.compile(
    r"(?<=[^\s.\d][.!?])\s+(?=[^\sa-z0-9]|\d)|(?<=\d[.!?])\s+(?=[A-ZÄÖÜÉÈÀ¿¡(])|(?<=[.!?])\s*\n|;\s"
)
#: A letter typed without capitals: its sentences begin in lower case.
_LOWER_SENTENCE = re.compile(r"(?<=[^\s.][.!?])\s+(?=\w)|;\s")
_ABBREVIATED = re.compile(
    r"(?i)(?:\b(?:pos|no|nr|dia|diam|approx|ca|ref|réf|art|st|stk|z\.b|incl|max|min|cert|galv|verz|ext|int|env|ro|p|prev|aprox|cant|drg|inc|wk|fig|lbs|mr|mrs|dr|hr|fr|bzw|u|ext|tel|phos|eg|ie|e\.g|i\.e|sq|gr|dbl|qty|thk|larg|long|haut|lg|durchm|épais|esp|alt|anch|lar|qté|dim|mat|werkst|br|l|b|h|w)|\.)\.$"
)


def cut_passages(text: str, lexicon: Lexicon) -> tuple[str, list[Passage]]:
    """Cut a letter into passages, the oldest mail first.

    Returns
    -------
    The text with quoting signs, heads and signatures blanked, place for place, and the passages.
    """
    lines = letter_lines(text)
    blank_heads(lines, lexicon)
    names = speakers([line.text for line in lines])
    spoken = {lines[n].start: who for n, who in names.items()}
    body = "\n".join(line.text for line in lines)
    depths = sorted({line.depth for line in lines}, reverse=True)
    passages: list[Passage] = []
    paragraph = 0
    for mail, depth in enumerate(depths):
        run: list[Line] = []
        for line in [*(one for one in lines if one.depth == depth), None]:
            if line is not None and line.text.strip():
                run.append(line)
                continue
            if run:
                paragraph += 1
                passages += [
                    replace(p, paragraph=paragraph, mail=mail)
                    for p in _spoken(run, body, lexicon, spoken)
                ]
            run = []
    return body, [piece for passage in passages for piece in _pieces(passage, body)]


def _spoken(run: list[Line], body: str, lexicon: Lexicon, names: dict[int, str]) -> list[Passage]:
    """Cut a paragraph; where lines say who speaks, each stretch is of its speaker."""
    heads = [k for k, line in enumerate(run) if line.start in names]
    if not heads:
        return _paragraph(run, body, lexicon)
    out = _paragraph(run[: heads[0]], body, lexicon) if heads[0] else []
    for head, end in zip(heads, [*heads[1:], len(run)], strict=True):
        who = names[run[head].start]
        told = _paragraph(run[head + 1 : end], body, lexicon) if end > head + 1 else []
        out += [replace(one, speaker=who) for one in told]
    return out


#: A sentence of more signs than this is read in pieces: no person writes one.
_LONGEST = 3000


def _pieces(passage: Passage, body: str) -> list[Passage]:
    """Cut an endless passage at spaces, so that reading takes time in step with its length."""
    if passage.end - passage.start <= _LONGEST or passage.cells:
        return [passage]
    out: list[Passage] = []
    start = max(passage.start, passage.body)
    while start < passage.end:
        stop = min(start + _LONGEST, passage.end)
        space = body.rfind(" ", start, stop) if stop < passage.end else stop
        stop = space if space > start else stop
        out.append(
            replace(
                passage, start=start, body=start, end=stop, label=passage.label if not out else ""
            )
        )
        start = stop
    return out


def _paragraph(run: list[Line], body: str, lexicon: Lexicon) -> list[Passage]:
    out: list[Passage] = []
    table = None
    forms = form_cells([(line.start, line.text) for line in run], lexicon)
    form = {n for cells, _ in forms for n in cells}
    form |= {n + 1 for cells, _ in forms for n, c in cells.items() if c.start > run[n].end}
    for by_line, label in forms:
        top, bottom = run[min(by_line)], run[max(by_line)]
        cells = tuple(by_line.values())
        end = max(bottom.end, *(c.end for c in cells), 0)
        out.append(Passage(top.start, end, "row", label, body=top.start, cells=cells))
    named = _named_lines(run)
    filled = is_filled([line.text for line in run])
    for k, line in enumerate(run):
        if k in form:
            continue
        if table is not None:
            cells = row_cells(line.text, line.start, *table)
            if cells or not line.text.strip(" |+:=_-\t"):
                if cells:
                    out.append(_row(line, cells, body))
                continue
        found_table = find_headings(line.text, line.start, lexicon) if k + 1 < len(run) else None
        if found_table is not None:
            table = found_table
            continue
        found = named.get(k) or _ITEM.match(line.text)
        chat = CHAT.match(line.text) if found is None else None
        indent = len(line.text) - len(line.text.lstrip())
        last = out[-1] if out else None
        if found:
            label = next((found[n] for n in _LABELS if n in found.re.groupindex and found[n]), "")
            out.append(
                Passage(
                    line.start,
                    line.end,
                    "item",
                    label.strip("().").casefold().lstrip("0"),
                    indent=indent,
                    body=line.start + found.end(),
                )
            )
        elif chat and is_chat([one.text for one in run]):
            out.append(
                Passage(
                    line.start,
                    line.end,
                    "note",
                    speaker=fold(chat["who"]),
                    indent=indent,
                    body=line.start + chat.end(),
                )
            )
        elif last is not None and _goes_on(run[k - 1], line, last, indent) and filled:
            out[-1] = replace(last, end=line.end)
        else:
            kind = "note" if len(line.text.strip()) < 90 and len(run) > 1 else "prose"  # noqa: PLR2004
            out.append(Passage(line.start, line.end, kind, indent=indent, body=line.start))
    return [piece for passage in out for piece in _sentences(passage, body)]


#: Groups of an item's pattern that hold its label.
_LABELS = ("label", "number", "letter", "code", "position")
#: "Screen 1:", "Deck A -": a word with a number, which names a line where others have it too.
_NAMED = re.compile(
    r"^[ \t]*(?P<word>[^\W\d_]{2,15})[ ](?P<label>\d{1,2}|[A-Z])"
    r"[ \t]*(?:[:=)]|[ ]-(?=[ ])|[ \t]{2,})[ \t]*"
)


#: Words that head a number of pieces, and no item's.
_COUNTS = frozenset({"qty", "quantity", "menge", "anzahl", "stuck", "qte", "quantite", "nombre",
                     "cant", "cantidad"})  # fmt: skip


#: "1 - 12 panels", "2 - 6 panels": numbers that go up by one number the lines.
_NUMBERED = re.compile(r"^[ \t]*(?P<label>\d{1,2})[ \t]*(?:-|:|/|=)[ \t]+(?=\S)")


def _named_lines(run: list[Line]) -> dict[int, re.Match[str]]:
    """Lines that begin with one word and a number each, by their place: "Screen 1: …"."""
    found = {k: hit for k, line in enumerate(run) if (hit := _NAMED.match(line.text))}
    words = [fold(hit["word"]) for hit in found.values()]
    named = {
        k: hit
        for k, hit in found.items()
        if words.count(fold(hit["word"])) > 1 and fold(hit["word"]) not in _COUNTS
    }
    numbered = {k: hit for k, line in enumerate(run) if (hit := _NUMBERED.match(line.text))}
    counted = [int(hit["label"]) for hit in numbered.values()]
    in_turn = len(counted) > 1 and counted == list(range(counted[0], counted[0] + len(counted)))
    return named | (numbered if in_turn else {})


def _row(line: Line, cells: tuple[Cell, ...], body: str) -> Passage:
    label = next((body[c.start : c.end] for c in cells if c.column == "label"), "")
    return Passage(
        line.start,
        line.end,
        "row",
        label.strip(" ().").casefold().lstrip("0"),
        body=line.start,
        cells=cells,
    )


#: How a line of a list without bullets begins: with a number, a sign or a capital word and a number.  # noqa: E501
_ENTRY = re.compile(r"^\s*(?:\d|[A-Z]\d|[-+*#(]|\S+[:.]\s)")


def _goes_on(before: Line, line: Line, last: Passage, indent: int) -> bool:
    """Whether a line goes on with the passage before: wrapped, or set in under an item."""
    if last.kind == "item":
        return indent > last.indent or (_wrapped(before, line) and line.text.lstrip()[:1].islower())
    return _wrapped(before, line) and last.kind != "row"


def _wrapped(before: Line, line: Line) -> bool:
    if before.end + 1 != line.start:
        return False
    text = before.text.rstrip()
    first = line.text.lstrip()[:1]
    if not first.islower() and _ENTRY.match(before.text) and _ENTRY.match(line.text):
        return False
    return (
        len(text) >= WRAPPED
        and text[-1:] not in ":;!?"
        and not (text[-1:] == "." and not _ABBREVIATED.search(text))
        and not re.search(r"\S {3,}\S", before.text.strip() + " " + line.text.strip())
    )


#: A sentence that is a line of its own among prose.
_OPTION = re.compile(
    r"(?i)\s*(?:option|variante?|opci[óo]n|alternative)\s+(?P<label>[a-z]|\d{1,2})\s*[:=)-]\s"
)


def _sentences(passage: Passage, body: str) -> list[Passage]:
    text = body[passage.start : passage.end]
    lower = bool(re.search(r"[a-z)]\. +[a-z]", text)) and not re.search(r"[.!?] +[A-Z]", text)
    lower = lower and passage.kind == "prose" and not passage.speaker
    ends = _LOWER_SENTENCE if lower else _SENTENCE
    if passage.kind == "row":
        return [passage]
    if passage.kind == "item":
        return [replace(passage, ends_colon=text.rstrip().endswith(":"))]
    out: list[Passage] = []
    start = 0
    for found in [*ends.finditer(text), None]:
        stop = len(text) if found is None else found.end()
        if found is not None and _ABBREVIATED.search(text[: found.start()][-12:]):
            continue
        if text[start:stop].strip():
            begin = passage.start + start
            option = _OPTION.match(text, start, stop)
            out.append(
                replace(
                    passage,
                    kind="item" if option else passage.kind,
                    label=option["label"].casefold() if option else passage.label,
                    start=begin,
                    end=passage.start + stop,
                    body=max(passage.start + option.end() if option else begin, passage.body),
                    ends_colon=text[start:stop].rstrip().endswith((":", "-")),
                )
            )
        start = stop
    return out
