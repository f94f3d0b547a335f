"""Alloys and weaves that a folded sentence names."""

from __future__ import annotations

import re
from collections.abc import Iterator

from meshcore.alloys.records.registry import installed_registry
from meshcore.alloys.records.spotting import names_alloy
from meshcore.reading.vocabulary import words
from meshcore.uses.sentences.amounts import amounts_in
from meshcore.uses.sentences.negations import Span, overlap
from meshcore.uses.sentences.phrases import Phrase, first_phrase, last_phrase, phrases_in

#: Most words of a name of an alloy that are looked at.
_MOST_WORDS = 3
#: Letters from which a word for a weave is none but that, in a sentence: shorter ones are units and
#: other words too ("ft", "lock", "plain").
_SURE_LETTERS = 6
#: The same of a word that may name an alloy.
_LEAST_LETTERS = 4


def alloy_said(sentence: str, text: str) -> tuple[str, Span]:
    """Find the name of an alloy, by a number or between words that say that it is one.

    Parameters
    ----------
    sentence, text
        The sentence folded, and as it was typed.

    Returns
    -------
    The name as typed and where it stands in `sentence`; empty where there is none.

    Examples
    --------
    >>> alloy_said("guard in stainless steel 100 mm away", "guard in stainless steel 100 mm away")
    ('stainless steel', (9, 24))
    """
    units = [(one.start, one.end) for one in amounts_in(sentence)
             if one.kind not in ("number", "other")]  # fmt: skip
    for span in _few_words(sentence):
        name = sentence[span[0] : span[1]].rstrip(".")
        if any(overlap(span, unit) for unit in units) or not _names_alloy(name):
            continue
        if any(sign.isdigit() for sign in name) or said_as_alloy(sentence, span):
            return _as_typed(name, text), span
    return "", (0, 0)


def alloy_spans(sentence: str) -> tuple[Span, ...]:
    """Where words stand that may name an alloy."""
    return tuple(s for s in _few_words(sentence) if _names_alloy(sentence[s[0] : s[1]]))


def alloys_left(sentence: str) -> tuple[Span, ...]:
    """Where words stand that may name an alloy and that nothing says is that of the wire."""
    spans: list[Span] = []
    for span in alloy_spans(sentence):
        name = sentence[span[0] : span[1]]
        sure = len(name) >= _LEAST_LETTERS and name.isalpha() and name not in words("alloy_aside")
        if sure and not any(overlap(span, other) for other in spans):
            spans.append(span)
    return tuple(spans)


def weaves_said(sentence: str) -> tuple[str, ...]:
    """Return the weaves that a folded sentence names.

    Examples
    --------
    >>> weaves_said("screen sand at 4 mm, plain weave"), weaves_said("in a welded frame, 2 ft wide")
    (('plain',), ())
    """
    return tuple(dict.fromkeys(name for one in _weaves(sentence) for name in one.meanings))


def weave_spans(sentence: str) -> tuple[Span, ...]:
    """Where words stand that name a weave."""
    return tuple((one.start, one.end) for one in _weaves(sentence))


def _weaves(sentence: str) -> Iterator[Phrase]:
    for one in phrases_in(sentence, "weave"):
        behind = sentence[one.end :]
        sure = len(one.text) >= _SURE_LETTERS or ends_what_is_said(behind)
        if one.text[0].isalpha() and sure and not first_phrase(behind.lstrip(), "weave_aside"):
            yield one


def _few_words(sentence: str) -> Iterator[Span]:
    """Yield where words stand that a name of an alloy may be, the most words first."""
    tokens = [match.span() for match in re.finditer(r"[\w.][\w.%/-]*", sentence)]
    for length in range(_MOST_WORDS, 0, -1):
        for first in range(len(tokens) - length + 1):
            yield tokens[first][0], tokens[first + length - 1][1]


def _names_alloy(name: str) -> bool:
    return names_alloy(installed_registry(), name) or name in words("alloy_kind")


def said_as_alloy(sentence: str, span: Span) -> bool:
    """Whether words stand where the material of the wire is said."""
    before, behind = sentence[: span[0]].rstrip(), sentence[span[1] :]
    ahead = last_phrase(before, "use_alloy")
    opens = not before or before[-1] in ",;:(" or (ahead is not None and "before" in ahead.meanings)
    return (opens or _ends_with_a_thing(before)) and ends_what_is_said(behind)


def _ends_with_a_thing(before: str) -> bool:
    """Whether a cloth for a use is named last, as "guard"; "screening" is of what is screened."""
    named = (last_phrase(before, topic) for topic in ("use", "use_sure"))
    return any(one is not None and not one.text.endswith("ing") for one in named)


def ends_what_is_said(behind: str) -> bool:
    """Whether a name ends here: by a sign, a figure, or a word for the cloth."""
    behind = behind.lstrip()
    after = first_phrase(behind, "use_alloy")
    return (
        not behind
        or behind[0] in ",;:.)"
        or behind[0].isdigit()
        or (after is not None and "behind" in after.meanings)
    )


def _as_typed(name: str, text: str) -> str:
    found = re.search(re.escape(name), text, re.IGNORECASE)
    return found.group() if found else name
