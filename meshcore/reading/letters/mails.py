"""A letter's lines, each of its mail; heads, signatures and what follows them blanked."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import islice

from meshcore.reading.letters.lexicon import Lexicon, cut

_QUOTED = re.compile(r"^[ \t]*((?:>[ \t]?)+)")
_MAIL_HEAD = re.compile(
    r"(?i)^\s*(?:from|to|cc|subject|date|sent|von|an|betreff|datum|gesendet|de|objet|date|envoyé|para|asunto|"
    r"fecha|enviado|attn|fax to|re|our ref|your ref|message-id|pages|seiten|company|contact|telephone|firma|telefon|"  # noqa: E501
    r"e-?mail|submitted|postcode|plz|objet|société|branche|gesendet am|reply-to|vendor|buyer|approved|tel)\s*:\s"  # noqa: E501
    r"|^\s*[àa]\s*:\s.*@"
)
_FORWARDED = re.compile(
    r"(?i)^\s*(?:-{3,}(?!-).*(?:forwarded|original|weitergeleitete|ursprüngliche|transféré|original|this morning|yesterday|earlier|my (?:first )?(?:mail|message|list)|previous|gestern|heute früh|ce matin|hier|ayer|esta mañana).*-{3,}|on .{5,80}wrote:|"  # noqa: E501
    r"am .{5,80}schrieb.*:|le .{5,80}a écrit\s*:|el .{5,80}escribió:|_{5,})\s*$"
)


def quoted_depth(line: str) -> int:
    """How often a line is quoted.

    Examples
    --------
    >>> quoted_depth("> > 3 rolls"), quoted_depth("3 rolls")
    (2, 0)
    """
    found = _QUOTED.match(line)
    return found[1].count(">") if found else 0


_FROM = re.compile(r"(?i)^\s*(?:from|von|de|remitente|gesendet von)\s*:")


@dataclass(slots=True)
class Line:
    """One line: where it stands, its text without quoting signs, and how deep in the mails."""

    start: int
    end: int
    text: str
    depth: int


def letter_lines(text: str) -> list[Line]:
    """Return the lines of a letter, each with the depth of its mail: 0 is the newest."""
    out: list[Line] = []
    at, added, said = 0, 0, False
    rows = text.split("\n")
    for n, line in enumerate(rows):
        depth = quoted_depth(line)
        head = _FROM.match(line.lstrip("> ")) and any(
            _MAIL_HEAD.match(one.lstrip("> ") + " ") for one in rows[n + 1 : n + 3]
        )
        if said and (_FORWARDED.match(line.lstrip("> ")) or (head and depth == 0)):
            added += 1
            said = False
        said = said or (
            bool(line.strip()) and not _MAIL_HEAD.match(line + " ") and not _FORWARDED.match(line)
        )
        quote = _QUOTED.match(line)
        shown = " " * quote.end() + line[quote.end() :] if quote else line
        out.append(Line(at, at + len(line), shown, depth + added))
        at += len(line) + 1
    return out


def blank_heads(lines: list[Line], lexicon: Lexicon) -> None:
    """Blank the heads of mails, and what follows the closing words of each."""
    closed: set[int] = set()
    last_depth = -1
    for n, line in enumerate(lines):
        if line.depth != last_depth:
            closed.discard(line.depth)
            last_depth = line.depth
        bare = line.text.strip()
        if line.depth in closed:
            if re.match(r"(?i)^(?:p\.?\s?s\.?|nb|n\.b\.)\b", bare):
                closed.discard(line.depth)
            else:
                line.text = " " * len(line.text)
                continue
        if (_MAIL_HEAD.match(line.text + " ") and not _is_place(lines, n)) or _FORWARDED.match(
            bare
        ):
            line.text = " " * len(line.text)
        elif _closes(bare, lexicon):
            closed.add(line.depth)
            line.text = " " * len(line.text)


_TO = re.compile(r"(?i)^\s*to\s*:\s")


def _is_place(lines: list[Line], n: int) -> bool:
    """Whether a "To:" stands amid a letter, with no other heads of a mail beside it."""
    if not n or not _TO.match(lines[n].text + " "):
        return False
    beside = [lines[k].text for k in (n - 1, n + 1) if 0 <= k < len(lines)]
    if any(_MAIL_HEAD.match(one + " ") for one in beside):
        return False
    above = (one for one in islice(lines, n) if one.text.strip())
    return sum(1 for _ in islice(above, _HEAD_LINES + 1)) > _HEAD_LINES


#: The heads of a mail are no more lines than this (our choice).
_HEAD_LINES = 4
#: "Thanks for the prices", "Merci de nous chiffrer": a letter that begins so does not end there.
_GOES_ON = frozenset({"for", "de", "pour", "fur", "por", "d"})


def _closes(bare: str, lexicon: Lexicon) -> bool:
    if bare.endswith(":"):
        return False
    words = [w for w in cut(bare) if w.isalpha()]
    if not words or len(words) > 6 or any(c.isdigit() for c in bare):  # noqa: PLR2004
        return False
    for size in range(min(len(words), 5), 0, -1):
        for phrase, tags in lexicon.phrases.get(words[0], ()):
            if phrase == tuple(words[:size]) and "closing" in tags:
                if words[size : size + 1] and words[size] in _GOES_ON:
                    return False
                return size >= len(words) - 3 and (bare[-1] in ",.!" or len(words) <= size + 3)
    return False
