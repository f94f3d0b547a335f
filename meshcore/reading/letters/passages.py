"""A letter cut into passages: mails, tables, items of lists, sentences."""

from __future__ import annotations

import re
from dataclasses import replace

from meshcore.reading.letters.blocks import heads_block
from meshcore.reading.letters.broken_cells import with_rest
from meshcore.reading.letters.chats import CHAT, is_chat, speakers, who_says
from meshcore.reading.letters.going_on import goes_on
from meshcore.reading.letters.keyed import form_cells
from meshcore.reading.letters.lexicon import Lexicon
from meshcore.reading.letters.listing import ITEM, LABELS, named_lines
from meshcore.reading.letters.mails import Line, blank_heads, letter_lines
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.sentences import cut_sentences
from meshcore.reading.letters.tables import (
    Cell,
    Heading,
    find_headings,
    quantity_cells,
    row_cells,
    told_by_legend,
)
from meshcore.reading.letters.wrapping import column_width, is_column, is_filled
from meshcore.reading.vocabulary import fold


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
    column = column_width([part.split("\n") for part in body.split("\n\n")])
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
                    for p in _spoken(run, body, lexicon, spoken, column)
                ]
            run = []
    passages = _mentions(passages, body)
    return body, [piece for passage in passages for piece in _pieces(passage, body)]


#: "Pos. 2 brauchen wir nicht": a word and a number that head a sentence, and no item of a list.
_MENTION = re.compile(r"^[ \t]*[^\W\d_]{2,9}\.?[ \t]*\d{1,3}[ \t]+(?=[^\W\d_])")


def _mentions(passages: list[Passage], body: str) -> list[Passage]:
    """Take an item whose label has come before, and which says its label amid words, for prose."""
    out: list[Passage] = []
    seen: set[str] = set()
    for one in passages:
        if one.kind == "item" and one.label in seen and _MENTION.match(body[one.start : one.end]):
            plain = replace(one, kind="prose", label="", body=one.start)
            out += cut_sentences(plain, body)
            continue
        known = one.kind == "item" and one.label in seen
        if one.kind in ("item", "row") and one.label:
            seen.add(one.label)
        out += _first_sentence(one, body) if known else [one]
    return out


def _first_sentence(one: Passage, body: str) -> list[Passage]:
    """Part what is said of a line by its number from the sentences after it."""
    plain = replace(
        one, kind="prose", start=max(one.start, one.body), body=max(one.start, one.body)
    )
    parts = cut_sentences(plain, body)
    if len(parts) < 2:  # noqa: PLR2004
        return [one]
    rest = [replace(part, label="") for part in parts[1:]]
    return [replace(one, end=parts[0].end), *rest]


def _spoken(
    run: list[Line], body: str, lexicon: Lexicon, names: dict[int, str], column: int
) -> list[Passage]:
    """Cut a paragraph; where lines say who speaks, each stretch is of its speaker."""
    heads = [k for k, line in enumerate(run) if line.start in names]
    if not heads:
        return _paragraph(run, body, lexicon, column)
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


def _paragraph(run: list[Line], body: str, lexicon: Lexicon, column: int = 0) -> list[Passage]:
    out: list[Passage] = []
    if is_column([line.text for line in run], column):
        whole = Passage(run[0].start, run[-1].end, "prose", body=run[0].start)
        return cut_sentences(whole, body)
    table = None
    named = named_lines(run)
    forms = form_cells(
        [(line.start, "" if k in named else line.text) for k, line in enumerate(run)], lexicon
    )
    form = {n for cells, _ in forms for n in cells}
    form |= {n + 1 for cells, _ in forms for n, c in cells.items() if c.start > run[n].end}
    later: list[Passage] = []
    for by_line, label in forms:
        top, bottom = run[min(by_line)], run[max(by_line)]
        cells = tuple(by_line.values())
        end = max(bottom.end, *(c.end for c in cells), 0)
        told = [
            c for c in cells if not c.column and len(body[c.start : c.end].split()) >= _SENTENCE_OF
        ]
        cells = tuple(c for c in cells if c not in told)
        out.append(Passage(top.start, end, "row", label, body=top.start, cells=cells))
        later += [Passage(c.start, c.end, "prose", body=c.start) for c in told]
    filled = is_filled([line.text for line in run])
    for k, line in enumerate(run):
        if k in form:
            continue
        if table is not None and _take_row(out, line, table, body):
            continue
        found_table = find_headings(line.text, line.start, lexicon) if k + 1 < len(run) else None
        if found_table is not None:
            table = found_table[0], told_by_legend(found_table[1], body, lexicon)
            continue
        counts = quantity_cells(line.text, line.start, lexicon)
        if counts:
            out.append(Passage(line.start, line.end, "row", body=line.start, cells=counts))
            continue
        found = named.get(k) or ITEM.match(line.text)
        chat = CHAT.match(line.text) if found is None else None
        indent = len(line.text) - len(line.text.lstrip())
        last = out[-1] if out else None
        if found:
            label = next((found[n] for n in LABELS if n in found.re.groupindex and found[n]), "")
            out.append(
                Passage(
                    line.start,
                    line.end,
                    "item",
                    label.strip("().").casefold().lstrip("0"),
                    indent=indent,
                    body=line.start + found.end(),
                    word=fold(found["word"])
                    if k in named and "word" in found.re.groupindex
                    else "",
                )
            )
        elif chat and is_chat([one.text for one in run]):
            out.append(
                Passage(
                    line.start,
                    line.end,
                    "note",
                    speaker=who_says(chat),
                    indent=indent,
                    body=line.start + chat.end(),
                )
            )
        elif last is not None and goes_on(run[k - 1], line, last, indent, lexicon) and filled:
            out[-1] = replace(last, end=line.end)
        elif k == 0 and heads_block(run):
            out.append(Passage(line.start, line.end, "item", indent=indent, body=line.start))
        else:
            kind = "note" if len(line.text.strip()) < 90 and len(run) > 1 else "prose"  # noqa: PLR2004
            out.append(Passage(line.start, line.end, kind, indent=indent, body=line.start))
    ordered = sorted(out + later, key=lambda one: one.start)
    return [piece for passage in ordered for piece in cut_sentences(passage, body)]


#: A cell without a field of so many words is a sentence, read by itself.
_SENTENCE_OF = 5


def _take_row(
    out: list[Passage], line: Line, table: tuple[re.Pattern[str], list[Heading]], body: str
) -> bool:
    """Take a line for a row of a table, or for more of the row above it."""
    row = out[-1] if out and out[-1].kind == "row" else None
    if row is not None:
        more = with_rest(line.text, line.start, *table, row.cells, row.start)
        if more:
            out[-1] = replace(row, cells=more, end=line.end)
            return True
    cells = row_cells(line.text, line.start, *table)
    if cells:
        out.append(_row(line, cells, body))
    return bool(cells) or not line.text.strip(" |+:=_-\t")


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
