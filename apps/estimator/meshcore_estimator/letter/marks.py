"""The letter as it came, with what was read marked in place and named."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from html import escape

from meshcore.reading.letters.letter import Letter
from meshcore_estimator.shared.parts import LABELS

#: Field of a line → the kind of mark it bears.
_KINDS = {
    **dict.fromkeys(("mesh_count", "pitch", "aperture", "wire_diameter", "open_area", "weave"),
                    "cloth"),
    "alloy": "alloy",
    **dict.fromkeys(("form", "width", "length", "shape", "dimensions"), "form"),
    "quantity": "quantity",
    "services": "services",
}  # fmt: skip
#: Each kind and what the key calls it, in the order of the key.
KEY = (
    ("cloth", "Sizes and weave"),
    ("alloy", "Alloy"),
    ("form", "Form and sizes of it"),
    ("quantity", "Quantity"),
    ("services", "Services"),
    ("header", "About the enquiry"),
    ("unread", "Not read"),
    ("apart", "Other goods"),
)
_HEADER = {
    "reference": "reference",
    "wanted_by": "wanted by",
    "deliver_to": "deliver to",
    "sender": "sender",
}


@dataclass(frozen=True, slots=True)
class Span:
    """A passage of the letter and what was made of it."""

    start: int
    end: int
    kind: str
    label: str
    line: str = ""


def marked(letter: Letter) -> str:
    """Return the letter's text as HTML with its marks."""
    spans = list(_spans(letter))
    cuts = sorted({0, len(letter.text), *(s.start for s in spans), *(s.end for s in spans)})
    parts = [
        _part(letter.text[start:end], [s for s in spans if s.start <= start and end <= s.end],
              [s for s in spans if s.end == end and s.start <= start])
        for start, end in itertools.pairwise(cuts)
    ]  # fmt: skip
    return f'<div class="mc-letter" tabindex="0">{"".join(parts)}</div>'


def key() -> str:
    """Return what each kind of mark stands for, as HTML."""
    entries = "".join(f'<mark class="mc-read-{kind}">{escape(text)}</mark>' for kind, text in KEY)
    return f'<div class="mc-letter-key">{entries}</div>'


def _spans(letter: Letter) -> Iterator[Span]:
    read = letter.evidence
    for line, name, start, end in zip(
        read["line"], read["field"], read["start"], read["end"], strict=True
    ):
        kind = _KINDS.get(str(name), "header")
        label = LABELS.get(str(name), str(name).replace("_", " ")).lower()
        yield Span(int(start), int(end), kind, label, str(line))
    for name, found in letter.header.items():
        if found is not None:
            yield Span(found.start, found.end, "header", _HEADER.get(name, name))
    for table, kind in ((letter.unread, "unread"), (letter.not_square, "apart")):
        for start, end, why in zip(table["start"], table["end"], table["why"], strict=True):
            yield Span(int(start), int(end), kind, str(why))


def _part(text: str, over: Sequence[Span], ending: Sequence[Span]) -> str:
    """Return a part of the text with the marks that lie over it, named where they end."""
    if not over:
        return escape(text)
    # What became a cell outranks the passage of other goods or unread words that it stands in.
    kind = min((s.kind for s in over), key=[k for k, _ in KEY].index)
    named = "; ".join(_names(over))
    label = "; ".join(_names(ending))
    shown = f'<span class="mc-read-label">{escape(label)}</span>' if label else ""
    return f'<mark class="mc-read-{kind}" title="{escape(named)}">{escape(text)}{shown}</mark>'


def _names(spans: Iterable[Span]) -> Iterator[str]:
    """Name what the spans were read as, each once with the lines that it went into."""
    lines: dict[str, list[str]] = {}
    for span in spans:
        of = lines.setdefault(span.label, [])
        if span.line and span.line not in of:
            of.append(span.line)
    # A word such as "discs" says the form and the shape at once; the shape tells both.
    if "shape" in lines:
        lines.pop("form", None)
    if "length" in lines and lines.get("form") == lines["length"]:
        lines.pop("form")
    for label, numbers in lines.items():
        yield f"{label} {', '.join(numbers)}" if numbers else label
