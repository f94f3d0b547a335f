"""A sentence of a buyer: the use that it speaks of, its figures, the alloy, and what is left."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from meshcore.messages import Message
from meshcore.uses.figures import Figure
from meshcore.uses.sentences.amounts import AmountSaid, amounts_in, folded
from meshcore.uses.sentences.assigning import assigned, neighbourhoods
from meshcore.uses.sentences.clues import uses_besides, uses_said
from meshcore.uses.sentences.named import (
    alloy_said,
    alloy_spans,
    alloys_left,
    weave_spans,
    weaves_said,
)
from meshcore.uses.sentences.negations import Span, overlap, without_denied
from meshcore.uses.sentences.phrases import phrases_in
from meshcore.uses.sentences.unread import words_unread
from meshcore.uses.statements.air import INSECTS

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from meshcore.uses.statement import Statement

_HALF, _LEVEL = "50 %", "0°"
#: What is kept out, of which it is said that it must not come in.
_KEPT_OUT = frozenset({*INSECTS.figures[0].choices, "none"})


@dataclass(frozen=True, slots=True)
class Said:
    """What a sentence says of a use.

    Parameters
    ----------
    figures
        Figure → the text that gives it.
    alloy
        Name of an alloy; empty where none is named.
    told
        Amounts and words that are not used, and ranges of which one end is: notes.
    denied
        Amounts, choices, names of alloys and weaves that it says it is not.
    weaves
        Weaves that it names.
    foreign
        Figure → the word that is of it, and that is none of its choices.
    refused
        What it says that the use has no relation for.
    """

    figures: Mapping[str, str]
    alloy: str
    told: tuple[Message, ...]
    denied: tuple[str, ...] = ()
    weaves: tuple[str, ...] = ()
    foreign: Mapping[str, str] = field(default_factory=dict)
    refused: tuple[Message, ...] = ()


def uses_of(text: str, least: int = 1) -> tuple[str, ...]:
    """Return the uses that a sentence speaks of most; none where it speaks of none.

    Parameters
    ----------
    text
        What a buyer wrote.
    least
        As for `uses_said`.

    Examples
    --------
    >>> uses_of("we need something to keep mosquitoes out of a 2 m/s air intake")
    ('insects',)
    """
    sentence = folded(text)
    return uses_said(sentence, amounts_in(sentence), least)


def read_sentence(statement: Statement, text: str) -> Said:
    """Read the figures of a use in a sentence.

    Parameters
    ----------
    statement
        The use.
    text
        What a buyer wrote.

    Returns
    -------
    What it says. Every amount in it is a figure, or is told as not used.

    Examples
    --------
    >>> from meshcore.uses.catalogue import STATEMENTS
    >>> said = read_sentence(STATEMENTS["screening"], "20 rolls, cutting at 6 mm, damp, 316L")
    >>> dict(said.figures), said.alloy
    ({'cut_size': '6 mm', 'feed': 'damp'}, '316L')
    >>> print(said.told[0])
    use: read "20 rolls" — not used: no figure of sizing and screening is said of it. Write it \
with the words for what it is.
    """
    given, typed = _given(statement, folded(text))
    every = amounts_in(typed)
    denied = without_denied(typed, _can_be_denied(typed, every))
    sentence = denied.sentence
    alloy, alloy_span = alloy_said(sentence, text)
    amounts = tuple(
        one for one in every
        if not any(overlap((one.start, one.end), span) for span in (alloy_span, *denied.spans))
    )  # fmt: skip
    sized = [one for one in statement.figures if one.kind != "choice"]
    found = assigned(sized, neighbourhoods(sentence, amounts))
    by_name = {one.name: one for one in statement.figures}
    figures = {name: _figure_text(by_name[name], one) for name, one in found.items()}
    if any(phrases_in(sentence, "use_half")) and "open_area" in by_name:
        figures.setdefault("open_area", _HALF)
    if any(phrases_in(sentence, "use_level")) and "inclination" in by_name:
        figures.setdefault("inclination", _LEVEL)
    stood_for = tuple(_stood_for(statement, sentence, figures))
    figures |= {message.field: text for message, text in stood_for}
    chosen, twice = _choices(statement.figures, sentence)
    metals = () if alloy else alloys_left(sentence)
    named = (alloy_span, *weave_spans(sentence), *metals)
    refusing = tuple(typed[start:end] for start, end in denied.spans)
    told = [*map(_not_meant, refusing), *_left(sentence, amounts, found, statement),
            *_ends(found, by_name), *(message for message, _ in stood_for), *twice,
            *_besides(sentence, amounts, statement),
            *(_no_alloy(sentence[start:end]) for start, end in metals),
            *words_unread(statement, sentence, amounts, named)]  # fmt: skip
    order = [one.name for one in statement.figures]
    both = figures | chosen | given
    return Said(
        {name: both[name] for name in order if name in both}, alloy, tuple(told),
        (*refusing, *_choices_in(refusing)), weaves_said(sentence),
        _foreign(statement.figures, sentence), tuple(_beyond(statement, sentence)),
    )  # fmt: skip


def _given(statement: Statement, sentence: str) -> tuple[dict[str, str], str]:
    """Take figures that are written with their names, as "duty=heavy", out of a sentence."""
    names = "|".join(re.escape(one.name) for one in statement.figures)
    found = list(re.finditer(rf"(?<!\w)({names})\s*=\s*([^,;=]+)(?=[,;]|$)", sentence))
    for match in found:
        sentence = sentence.replace(match.group(), " " * len(match.group()), 1)
    return {match[1]: match[2].strip() for match in found}, sentence


def _foreign(figures: Sequence[Figure], sentence: str) -> dict[str, str]:
    """Return words that are of a figure and none of its choices, as a fluid that is not here."""
    names = {one.name for one in figures}
    return {
        name: phrase.text
        for phrase in phrases_in(sentence, "use_foreign")
        for name in names.intersection(phrase.meanings)
    }


def _stood_for(
    statement: Statement, sentence: str, figures: Mapping[str, str]
) -> Iterator[tuple[Message, str]]:
    """Take figures that nothing gives from what is named, as of a spark arrester."""
    for phrase in phrases_in(sentence, "use_taken"):
        taken = statement.taken.get(phrase.meanings[0])
        if taken and taken.figure not in figures:
            text = f"{taken.text} is taken: {taken.why}"
            yield (
                Message(taken.figure, phrase.text, text, "review", code="use.figure_taken"),
                taken.text,
            )
            return


def _beyond(statement: Statement, sentence: str) -> Iterator[Message]:
    """Refuse what a relation of the use does not hold for, as children behind a guard."""
    for name, why in statement.beyond.items():
        for phrase in phrases_in(sentence, "use_beyond"):
            if name in phrase.meanings:
                text = f"nothing here holds for it: {why}"
                yield Message("use", phrase.text, text, code="use.beyond")


def _can_be_denied(sentence: str, amounts: Sequence[AmountSaid]) -> tuple[Span, ...]:
    """Where a sentence names amounts, alloys and choices; of animals it says what must not pass."""
    choices = [(p.start, p.end) for p in phrases_in(sentence, "use_choice")
               if not _KEPT_OUT & set(p.meanings)]  # fmt: skip
    return (
        *((one.start, one.end) for one in amounts), *choices, *alloy_spans(sentence),
        *weave_spans(sentence),
    )  # fmt: skip


def _besides(
    sentence: str, amounts: Sequence[AmountSaid], statement: Statement
) -> Iterator[Message]:
    if others := uses_besides(sentence, amounts, statement.use):
        named = " and ".join(others)
        text = f"said too; {statement.use} is taken. State one use at a time, if both are meant."
        yield Message("use", named, text, "note", code="use.another_said")


def _not_meant(denied: str) -> Message:
    text = "not used: the sentence says that it is not this."
    return Message("use", denied, text, "note", code="use.denied")


def _no_alloy(name: str) -> Message:
    text = "not taken for the alloy of the wire. Name that as the alloy, if it is meant."
    return Message("alloy", name, text, "note", code="use.alloy_not_taken")


def _choices_in(texts: Sequence[str]) -> Iterator[str]:
    for text in texts:
        for phrase in phrases_in(text, "use_choice"):
            yield from phrase.meanings


def _figure_text(one: Figure, amount: AmountSaid) -> str:
    if amount.ends:
        return amount.ends[0 if one.of_range == "least" else 1]
    return amount.text


def _ends(found: Mapping[str, AmountSaid], by_name: Mapping[str, Figure]) -> Iterator[Message]:
    for name, one in found.items():
        if one.ends:
            which = by_name[name].of_range
            text = f"a range: the {which} of it is taken. Write one amount if another is meant."
            yield Message(name, one.text, text, "note", code="use.range_taken")


def _left(
    sentence: str,
    amounts: Sequence[AmountSaid],
    found: Mapping[str, AmountSaid],
    statement: Statement,
) -> Iterator[Message]:
    used = {id(one) for one in found.values()}
    for one in amounts:
        if id(one) not in used:
            why = (
                f"not used: no figure of {statement.title.casefold()} is said of it. Write it with "
                "the words for what it is."
            )
            read = f"{one.text} {_counted(sentence, one)}".strip()
            yield Message("use", read, why, "note", code="use.amount_unused")


def _counted(sentence: str, one: AmountSaid) -> str:
    """Return the word behind a bare number, which says what it is of."""
    behind = re.match(r"\s*([^\W\d][\w/]*)", sentence[one.end :])
    return behind[1] if behind and one.kind == "number" else ""


def _choices(figures: Sequence[Figure], sentence: str) -> tuple[dict[str, str], list[Message]]:
    """Return what is chosen by words; of several animals the smallest, which stops the others."""
    said = [name for phrase in phrases_in(sentence, "use_choice") for name in phrase.meanings]
    chosen: dict[str, str] = {}
    twice: list[Message] = []
    for one in figures:
        if one.kind != "choice":
            continue
        named = [choice for choice in one.choices if choice in said]
        if len(named) == 1 or (named and one.smallest_first):
            chosen[one.name] = named[0]
        if len(named) > 1:
            taken = f"{named[0]} is taken, the smallest" if one.smallest_first else "none is taken"
            text = f"more than one is named: {taken}. Name one."
            twice.append(Message(one.name, ", ".join(named), text, "note", code="use.choice_twice"))
    return chosen, twice
