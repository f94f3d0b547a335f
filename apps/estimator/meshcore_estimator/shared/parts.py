"""Tables, tags and messages as HTML; ``style.css`` says how they look.

Everything that comes from a user, a file or a plugin is escaped here and nowhere else.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from html import escape

from meshcore.costing.book.edits import is_edited_name
from meshcore.enquiry import MUST_STAND, SET_PRICE
from meshcore.messages import Message
from meshcore_estimator.shared.numbers import NONE

#: Enquiry column → what the screen calls it.
LABELS: dict[str, str] = {
    "mesh_count": "Mesh count",
    "pitch": "Pitch",
    "aperture": "Aperture",
    "wire_diameter": "Wire diameter",
    "open_area": "Open area",
    "weave": "Weave",
    "alloy": "Alloy",
    "form": "Form",
    "width": "Width",
    "length": "Length",
    "shape": "Shape",
    "dimensions": "Dimensions",
    "quantity": "Quantity",
    "services": "Services",
    "note": "Note",
    SET_PRICE: "Price or margin to try",
    MUST_STAND: "Must stand",
}
#: Column that no sentence would have as a word → how it is called in one.
COLUMN_WORDS = {name: label.lower() for name, label in LABELS.items() if "_" in name}
_BETWEEN_NAMES = re.compile(", | and ")
#: Colour of each verdict, in the order of ``meshcore.weave.judging.practicality.VERDICTS``.
VERDICT_TAGS = ("ok", "review", "refused", "plain")
_STATUS_WORDS = {"ok": "OK", "review": "Review", "refused": "Refused"}
#: The element of each kind of field that draws its frame.
_FRAMES = (
    '[data-testid="stTextInputRootElement"], [data-testid="stTextAreaRootElement"], '
    '[data-baseweb="select"] > div'
)


#: Holds the place of what is not said.
NOTHING = '<div class="mc-nothing"></div>'


@dataclass(frozen=True, slots=True)
class Markup:
    """HTML made here, which is not to be escaped again."""

    html: str


Cell = str | Markup


#: Columns that stand side by side on a narrow screen too.
_FEW = 3


def _html(cell: Cell) -> str:
    return cell.html if isinstance(cell, Markup) else escape(cell)


def status_word(status: str) -> str:
    """Status as the screen writes it."""
    return _STATUS_WORDS.get(status, status)


def tag(text: str, kind: str) -> Markup:
    """Return a small label; `kind` is ``ok``, ``review``, ``refused`` or ``plain``."""
    return Markup(f'<span class="mc-tag mc-{escape(kind)}">{escape(text)}</span>')


def edited_tag(name: str) -> Markup:
    """Return the label of a price book that was edited and not saved; nothing for any other."""
    return tag("edited", "review") if is_edited_name(name) else Markup("")


def book_name(name: str) -> Markup:
    """Return the name of a price book, labelled where it was edited and not saved."""
    return Markup(f"{escape(name)} {edited_tag(name).html}".rstrip())


def folded(heading: str, inner: str) -> str:
    """Return what only some want to read, folded away under a heading that says what it is.

    Parameters
    ----------
    heading
        As text.
    inner
        As HTML.
    """
    return (
        f'<details class="mc-fold"><summary>{escape(heading)}</summary><div>{inner}</div></details>'
    )


def verbatim(text: str) -> str:
    """Return a text that Markdown shows as it stands: no picture, link or formula comes of it.

    Any punctuation of ASCII may be escaped (CommonMark, "Backslash escapes").
    """
    return _PUNCTUATION.sub(r"\\\1", " ".join(text.split()))


#: Punctuation of ASCII.
_PUNCTUATION = re.compile(r"([!-/:-@\[-`{-~])")


def soft(text: str) -> Markup:
    """Return text in the softer ink."""
    return Markup(f'<span class="mc-soft">{escape(text)}</span>')


def whole(text: str) -> Markup:
    """Return text that is not broken over two lines: a date, a count."""
    return Markup(f'<span class="mc-whole">{escape(text)}</span>')


def lines(*cells: Cell) -> Markup:
    """Return cells one below the other, empty ones left out."""
    return Markup("<br>".join(_html(cell) for cell in cells if cell))


def table(
    headings: Sequence[str],
    rows: Iterable[Sequence[Cell]],
    numeric: Collection[int] = (),
    foot: Iterable[Sequence[Cell]] = (),
    wide: bool = False,
) -> str:
    """Return a table that scrolls inside itself where it is wider than its place.

    On a narrow screen the cells of a table of many columns stand below one another, each with its
    heading, so that no amount is off the screen; the roles say then that it is a table still.

    Parameters
    ----------
    headings
        One a column; an empty sequence leaves the heading row out.
    rows, foot
        Cells, row by row; the foot is set off from the body.
    numeric
        Columns that are set flush right with figures of one width.
    wide
        Whether columns keep a width at which they read well, rather than shrink.
    """
    head = "".join(
        f'<th scope="col" role="columnheader"{_class(n, numeric)}>{escape(h)}</th>'
        if h
        else '<td role="cell"></td>'
        for n, h in enumerate(headings)
    )
    named = escape(", ".join(filter(None, headings))) or "Table"
    kinds = f"{' mc-wide' if wide else ''}{' mc-stacks' if len(headings) > _FEW else ''}"
    top = f'<thead role="rowgroup"><tr role="row">{head}</tr></thead>' if headings else ""
    return (
        f'<div class="mc-scroll" tabindex="0" role="region" aria-label="{named}">'
        f'<table role="table" class="mc-table{kinds}">{top}'
        f'<tbody role="rowgroup">{_rows(rows, headings, numeric)}</tbody>'
        f'<tfoot role="rowgroup">{_rows(foot, headings, numeric)}</tfoot></table></div>'
    )


def _rows(rows: Iterable[Sequence[Cell]], headings: Sequence[str], numeric: Collection[int]) -> str:
    return "".join(
        '<tr role="row">'
        + "".join(
            f'<td role="cell"{_heading(n, headings)}{_class(n, numeric)}>{_html(cell)}</td>'
            for n, cell in enumerate(row)
        )
        + "</tr>"
        for row in rows
    )


def _heading(column: int, headings: Sequence[str]) -> str:
    return f' data-heading="{escape(headings[column])}"' if column < len(headings) else ""


def _class(column: int, numeric: Collection[int]) -> str:
    return ' class="mc-number"' if column in numeric else ""


def figures(cells: Iterable[tuple[str, str, str]]) -> str:
    """Return the headline figures: label, value, and what stands below it if known."""
    return (
        '<div class="mc-figures">'
        + "".join(
            f'<div class="mc-figure"><div class="mc-label">{escape(label)}</div>'
            f'<div class="mc-value">{escape(value)}</div>'
            f'<div class="mc-below">{escape(below.removeprefix(NONE))}</div></div>'
            for label, value, below in cells
        )
        + "</div>"
    )


def offer(name: str, cells: Iterable[tuple[str, str, str]], reason: str = "") -> str:
    """Return an offer: its name, then label, value and change of each figure; below it, why."""
    return (
        f'<div class="mc-offer"><b>{escape(name)}</b>'
        + "".join(
            f'<div><span class="mc-label">{escape(label)}</span><br>{escape(value)}'
            f' <span class="mc-change">{escape(change)}</span></div>'
            for label, value, change in cells
        )
        + (f'<p class="mc-soft">{escape(reason)}</p>' if reason else "")
        + "</div>"
    )


@dataclass(frozen=True, slots=True)
class Bar:
    """One row of a table with bars: what it is, how long its bar is, its amount, and its colour."""

    name: str
    length: float
    text: str
    kind: str


def bars(rows: Sequence[Bar], heading: str) -> str:
    """Return a table whose amounts are drawn as bars too; those below nothing go to the left.

    The page works out the bars' lengths itself, so that they fit whatever its width is.
    """
    lengths = [row.length for row in rows]
    ends = f"--low: {min(0.0, *lengths):g}; --high: {max(0.0, *lengths):g}"
    drawn = "".join(
        f'<tr><th scope="row">{escape(row.name)}</th>'
        f'<td class="mc-bar-cell"><span class="mc-length mc-{escape(row.kind)}-bar"'
        f' style="--length: {row.length:g}"></span></td>'
        f'<td class="mc-number">{escape(row.text)}</td></tr>'
        for row in rows
    )
    return (
        f'<table class="mc-table mc-bars" style="{ends}"><caption class="mc-unseen">'
        f"{escape(heading)}</caption><tbody>{drawn}</tbody></table>"
    )


def key(entries: Iterable[tuple[str, str]]) -> str:
    """Return the key of a picture: colour and what it stands for."""
    return (
        '<div class="mc-key">'
        + "".join(
            f'<span><i style="background:{escape(colour)}"></i>{escape(text)}</span>'
            for colour, text in entries
        )
        + "</div>"
    )


def message_list(messages: Iterable[Message]) -> str:
    """Return messages with their field and what was read, in the order given."""
    items = "".join(
        f'<li class="mc-{m.severity}"><b>{escape(_label(m.field))}</b>'
        f"{_read(m)} <span>{escape(_sentence(m.text))}</span></li>"
        for m in messages
    )
    return f'<ul class="mc-messages">{items}</ul>'


def plain_key(key: str) -> str:
    """Return the name of a rate as words.

    Examples
    --------
    >>> plain_key("weaving.picks_per_minute"), plain_key("mass per area")
    ('weaving: picks per minute', 'mass per area')
    """
    return key.replace(".", ": ").replace("_", " ")


def _label(field: str) -> str:
    # A heading of the list's own is called as it is written there.
    return LABELS.get(field, f"{field[:1].upper()}{field[1:].replace('_', ' ')}")


def _read(message: Message) -> str:
    if not message.read:
        return ""
    # Several fields together are read by their names, and not as somebody typed them.
    are_names = all(name in LABELS for name in _BETWEEN_NAMES.split(message.read))
    read = called(message.read) if are_names else message.read
    return f" <q>{escape(read)}</q>"


def _sentence(text: str) -> str:
    """Begin with a capital: a message's text is worded to follow its field's name."""
    text = called(text)
    return text[:1].upper() + text[1:]


def called(text: str) -> str:
    """Call fields as the screen does, where a text calls them by their columns.

    Examples
    --------
    >>> called("set the wire_diameter, or leave mesh_count blank")
    'set the wire diameter, or leave mesh count blank'
    """
    for name, label in COLUMN_WORDS.items():
        text = text.replace(name, label)
    return text


def field_notes(messages: Sequence[Message], labels: Mapping[str, str] = LABELS) -> str:
    """Return what is said of some fields, the gravest first, and mark those fields.

    Where nothing is said, that is an element too: a place that came and went would make the page
    draw every field below it anew, and drop what is half typed there.

    Parameters
    ----------
    messages
        Of fields that are drawn in containers with the key ``field_`` and their name.
    labels
        Field → what the screen calls it.
    """
    if not messages:
        return NOTHING
    worst = "refused" if any(m.severity == "refused" for m in messages) else "review"
    shown = sorted(messages, key=lambda m: m.severity != "refused")
    marked = ", ".join(f".st-key-field_{name}" for name in dict.fromkeys(m.field for m in shown))
    notes = "".join(
        f'<div class="mc-note mc-{m.severity}" id="note-{escape(m.field)}-{n}"'
        f' data-fields="{escape(m.field)}"><b>{escape(labels.get(m.field, m.field))}.</b> '
        f"{escape(_sentence(m.text))}</div>"
        for n, m in enumerate(shown)
    )
    rule = f":is({marked}) :is({_FRAMES}) {{ border-color: var(--mc-{worst}) }}"
    return f"<style>{rule}</style>{notes}"


def aside(text: str, kind: str = "plain") -> str:
    """Return a paragraph set off from the rest."""
    return f'<div class="mc-aside mc-{escape(kind)}">{escape(text)}</div>'
