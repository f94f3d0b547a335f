"""Shapes and quantities in a running text."""

from __future__ import annotations

import re

from meshcore.reading.running_text.ordered import read_ordered
from meshcore.reading.running_text.scanning import Scan
from meshcore.reading.running_text.size_texts import NUMBER, SIZE, UNIT, rough_metres
from meshcore.reading.vocabulary import words

_SHAPE_TAIL = (
    rf"(?:\s*(?:of\s+|de\s+)?(?:ø|dia\.?|diameter|od|id|r|sw|notch|ausklinkung|encoche|[x×/,]|"
    rf"{SIZE}|°|af\b|a/f\b))+"
)
_FREE_SHAPE = re.compile(
    rf"(?<!\w)(?:r\s*{NUMBER}\s+r\s*{NUMBER}\s+{NUMBER}\s*°|{NUMBER}\s*[x×]\s*{NUMBER}\s+r\s*{NUMBER}(?!\w)|"
    rf"l\s+{NUMBER}\s*[x×]\s*{NUMBER}\s+(?:notch|ausklinkung)\s+{NUMBER}\s*[x×]\s*{NUMBER})"
)
_COUNT_WORDS = (
    r"(?:full rolls?|half rolls?|rolls?|coils|rollen?|rolle|rouleaux?|rouleau|rollos?|sheets?|"
    r"panels?|panneaux|pcs\.?|pieces|pièces|off(?:\s+half rolls|\s+rolls)?|no\.|stk\.?|stück|"
    r"nos\.?|rls|rlx|uds\.?|tafeln|zuschnitte|ronden|discs?|disques|discos|rings?|strips|streifen)"
)
_NUMBER_WORD = r"(?:one|two|three|four|five|six|a|ein|eine|un|une|una)"
_QUANTITY = re.compile(
    rf"(?<![\w.,x×/])(?:ca\.?\s*|approx\.?\s*|about\s*)?(?:\d+\s*(?:-|to|–)\s*)?"
    rf"(?:\d+(?:[.,]\d+)*|{_NUMBER_WORD})(?:\s*x)?(?:\s+dozen)?\s+{_COUNT_WORDS}(?![\w'])"
)
_QTY = re.compile(r"\b(?:qty|quantity|menge|anzahl)\.?\s*:?\s*(\d+(?:[.,]\d+)*)\b")
_IN_BRACKETS = re.compile(r"\(\s*(\d+)\s*\)")
_STRIP_WORDS = ("slit strip", "slit strips", "strip", "strips", "streifen", "bande", "bandes",
                "tira", "tiras")  # fmt: skip
_ROLL_WORDS = ("full roll", "half roll", "half rolls", "volle rolle", "halbe rolle",
               "rouleau complet", "roll", "rolle", "rouleau", "rollo", "sheets", "sheet", "panels",
               "panel", "zuschnitt")  # fmt: skip


def take_shape(scan: Scan) -> None:
    """Take a shape with its sizes: a name before them, or behind a diameter."""
    free = scan.search(_FREE_SHAPE)
    if free:
        scan.put("dimensions", scan.part(*free.span()), free)
        scan.fields["form"] = "piece"
        return
    shapes = words("shape")
    for name in sorted(shapes, key=lambda word: -len(word)):
        if shapes[name] in ("rectangle", "square") and name not in ("rectangle", "rectangles"):
            continue
        if len(name) == 1:
            continue
        found = scan.search_phrase(name)
        if not found:
            continue
        start, end = found.span()
        tail = re.compile(_SHAPE_TAIL).match(scan.low, end)
        lead = re.search(rf"(?:ø\s*)?{NUMBER}\s*{UNIT}\s*$", scan.low[:start])
        behind = _before_cloth(scan.low, tail) if tail else end
        if re.search(r"\d", scan.text[end:behind]):
            end = behind
            sizes_text = scan.text[found.end() : end].strip(" ,")
        elif lead and shapes[name] in ("disc", "square"):
            sizes_text, start = f"diameter {lead[0].strip()}", lead.start()
        elif shapes[name] == "disc" and (apart := _diameter_apart(scan)):
            sizes_text = f"diameter {scan.part(*apart.span(1))}"
            scan.blank(*apart.span())
        else:
            continue
        before = re.search(rf"(?:\d+|{_NUMBER_WORD})(?:\s+dozen)?\s*$", scan.low[:start])
        if before:
            scan.fields["quantity"] = scan.text[before.start() : start].strip()
            start = before.start()
        scan.fields |= {"shape": shapes[name], "dimensions": sizes_text, "form": "piece"}
        scan.blank(start, end)
        return


def _diameter_apart(scan: Scan) -> re.Match[str] | None:
    """Find the diameter of a disc that stands away from its name; a wire's is smaller."""
    return next(
        (m for m in _DIAMETER.finditer(scan.low) if (rough_metres(m[1]) or 0.0) >= _LEAST_DISC),
        None,
    )


#: A diameter in a running text, and the least that is a disc's and no wire's [m] (our choice).
_DIAMETER = re.compile(rf"(?:ø|durchm(?:esser|\.)?|dia(?:meter|\.)?|diam\.)\s*({SIZE})")
_LEAST_DISC = 0.02


def _before_cloth(low: str, tail: re.Match[str]) -> int:
    """End of a shape's sizes; a comma, a mesh count or "w 5" behind them begin the cloth."""
    text = tail[0]
    cut = re.search(r",(?!\d)|\s(?=\S*\s*-?(?:mesh|maschen|mailles))", text)
    end = tail.start() + (cut.start() if cut else len(text))
    rest = re.match(r"\s*-?\s*(?:mesh|maschen|mailles|stk|pcs|off)", low[end:])
    if rest:
        last = re.search(r"\s*\S+\s*$", low[tail.start() : end])
        end = tail.start() + (last.start() if last else 0)
    return end


def take_quantity(scan: Scan) -> None:
    """Take how many, and the form that the words name."""
    for phrase in _STRIP_WORDS:
        found = None if "hook strips" in scan.low else scan.search_phrase(phrase)
        if found:
            scan.fields.setdefault("form", "strip")
    for pattern in (_QUANTITY, _QTY, _IN_BRACKETS):
        found = scan.search(pattern)
        if found is None:
            continue
        text = scan.part(*found.span())
        if "quantity" not in scan.fields:
            scan.fields["quantity"] = found[1] if pattern is not _QUANTITY else text
        form = read_ordered(text, "").form
        if form:
            scan.fields.setdefault("form", form)
        keep = re.search(r"(?:rollen|rolls|rouleaux|rollos|tiras|bandes)$", found[0])
        after = re.match(r"\s*(?:à|@|of|de)\s", scan.low[found.end() :])
        scan.blank(found.start(), found.end() - (len(keep[0]) if keep and after else 0))
    for phrase in (*_STRIP_WORDS, *_ROLL_WORDS):
        found = scan.search_phrase(phrase)
        if found and "hook strips" not in scan.low:
            scan.fields.setdefault("form", words("form").get(phrase, ""))
            if not re.match(r"\s+(?:de|à)\s", scan.low[found.end() :]):
                scan.blank(*found.span())
