"""What a sentence denies: amounts, choices and alloys that it names in order not to have them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from meshcore.uses.sentences.phrases import Phrase, phrases_in

Span = tuple[int, int]
#: What makes the next named one of the same denial.
_ALSO = re.compile(r"\s*,?\s*(?:/|(?:or|nor|oder|noch|ou|ni|o)\s)\s*")
#: What stands behind a thing that must not do something, rather than not be: "no dust may pass".
_DOES = re.compile(
    r"\s*(?:may|shall|must|can|should|will|gets?|to\s+(?:pass|get|come|go)|passes|through|darf|"
    r"durfen|kann|konnen|soll|sollen|doit|doivent|peut|peuvent|debe|deben|puede|pueden)\b"
)
_TOPIC = "use_denial"


def overlap(one: Span, other: Span) -> bool:
    """Whether two stretches of a sentence share a letter."""
    return one[0] < other[1] and other[0] < one[1]


@dataclass(frozen=True, slots=True)
class Denied:
    """What of a folded sentence is denied.

    Parameters
    ----------
    sentence
        The sentence with it blanked, letter for letter as long.
    spans
        Where it stands.
    """

    sentence: str
    spans: tuple[Span, ...]


def without_denied(sentence: str, named: Sequence[Span]) -> Denied:
    """Blank what a folded sentence denies.

    Parameters
    ----------
    sentence
        The sentence.
    named
        Where it names what can be denied.

    Examples
    --------
    >>> denied = without_denied("not in 304 but in bronze", [(7, 10)])
    >>> denied.sentence.split(), denied.spans
    (['in', 'in', 'bronze'], ((7, 10),))
    >>> without_denied("not more than 6 mm", [(14, 18)]).spans
    ()
    """
    phrases = tuple(phrases_in(sentence, _TOPIC))
    longest = dict(sorted(named, key=lambda span: span[1]))
    spans: list[Span] = []
    blank: list[Span] = []
    for one in phrases:
        inside = any(start <= one.start < end for start, end in named)
        if "not" not in one.meanings or inside:
            continue
        found = tuple(_denied_by(one, sentence, longest, phrases))
        if found:
            spans += found
            blank += [(one.start, one.end), *found, *_turn(sentence, found[-1][1], phrases)]
    for start, end in blank:
        sentence = sentence[:start] + " " * (end - start) + sentence[end:]
    return Denied(sentence, tuple(dict.fromkeys(spans)))


def _denied_by(
    one: Phrase, sentence: str, named: dict[int, int], phrases: Sequence[Phrase]
) -> Iterator[Span]:
    """Yield what stands right behind words that deny, and what is joined to it."""
    between = {p.start: p.end for p in phrases if "but" not in p.meanings}
    place = one.end
    while True:
        place += len(sentence[place:]) - len(sentence[place:].lstrip())
        if place in named:
            end = named[place]
            if _DOES.match(sentence, end):
                return
            yield place, end
            also = _ALSO.match(sentence, end)
            if not also:
                return
            place = also.end()
        elif place in between:
            place = between[place]
        else:
            return


def _turn(sentence: str, end: int, phrases: Sequence[Phrase]) -> Iterator[Span]:
    """Yield the words behind what is denied that turn to what is meant, as "but"."""
    for one in phrases:
        if "but" in one.meanings and one.start >= end and not sentence[end : one.start].strip(" ,"):
            yield end, one.end
