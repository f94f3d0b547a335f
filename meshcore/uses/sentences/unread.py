"""Words of a sentence that nothing reads: named, so that nothing that is said is lost unsaid."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from meshcore.messages import Message
from meshcore.reading.vocabulary import words
from meshcore.uses.sentences.amounts import AmountSaid, without_standards
from meshcore.uses.sentences.named import ends_what_is_said, said_as_alloy
from meshcore.uses.sentences.negations import Span, overlap
from meshcore.uses.sentences.phrases import last_phrase, meanings, phrases_in
from meshcore.uses.statement import Statement

#: Topics whose words say the use, stand with an amount, or turn what stands beside them.
_READ = (
    "use", "use_sure", "use_hint", "use_figure", "use_figure_behind", "use_aside", "use_alloy",
    "use_denial", "use_level", "use_half", "use_taken", "alloy_aside",
)  # fmt: skip
#: Topics whose words are read where the use has what they mean.
_READ_BY_USE = ("use_choice", "use_foreign", "use_beyond")
_WORD = re.compile(r"(?<![\w/])\w[\w'’/-]*")


def words_unread(
    statement: Statement, sentence: str, amounts: Sequence[AmountSaid], taken: Sequence[Span]
) -> Iterator[Message]:
    """Name the words of a folded sentence that are not read.

    Parameters
    ----------
    statement
        The use.
    sentence
        The sentence, what it denies blanked.
    amounts
        The amounts in it.
    taken
        Where an alloy, weaves and the like stand that are taken or told.

    Yields
    ------
    A doubt for each that stands where a material does, or is none that can be woven; and one note
    of all others.
    """
    spans = [*taken, *((one.start, one.end) for one in amounts), *_read_spans(statement, sentence)]
    plain, left = {*words("use_plain"), *_own_words(statement)}, []
    for match in _WORD.finditer(without_standards(sentence)):
        is_read = any(overlap(match.span(), s) and s[0] <= match.start() for s in spans)
        is_word = match.group()[0].isalpha()
        if not is_word or is_read or match.group() in plain or _counts(match, amounts, sentence):
            continue
        if _is_material(match, sentence):
            mend = ("no alloy of this name is known here, and it is not used. If it is the "
                    "material, name a metal by its number.")  # fmt: skip
            yield Message("alloy", match.group(), mend, "review", code="use.material_unknown")
        else:
            left.append(match.group())
    if left:
        mend = ("not read. If one of these words is wanted of the cloth, give it as a figure, the "
                "alloy, the weave or a service.")  # fmt: skip
        named = ", ".join(dict.fromkeys(left))
        yield Message("use", named, mend, "note", code="use.words_unread")


def _read_spans(statement: Statement, sentence: str) -> Iterator[Span]:
    for topic in _READ:
        for one in phrases_in(sentence, topic):
            yield one.start, one.end
    own = _own(statement)
    for topic in _READ_BY_USE:
        for one in phrases_in(sentence, topic):
            if own & set(one.meanings):
                yield one.start, one.end


def _own(statement: Statement) -> set[str]:
    """Return what a word may mean that the use reads."""
    names = {one.name for one in statement.figures}
    of_air = {"air"} if "speed" in names and "fluid" not in names else set()
    choices = {choice for one in statement.figures for choice in one.choices}
    return {*names, *choices, *statement.beyond, *of_air, "none"}


def _own_words(statement: Statement) -> Iterator[str]:
    """Yield words that the use reads alone, though a longer phrase says another thing."""
    own = _own(statement)
    return (word for word, meant in meanings("use_choice").items() if own & set(meant))


def _counts(match: re.Match[str], amounts: Sequence[AmountSaid], sentence: str) -> bool:
    """Whether a word stands right behind a bare number, with which it is told."""
    return any(
        one.kind == "number"
        and one.end <= match.start()
        and not sentence[one.end : match.start()].strip()
        for one in amounts
    )


def _is_material(match: re.Match[str], sentence: str) -> bool:
    """Whether a word stands for the wire: as of a material, or as no metal is called."""
    before = sentence[: match.start()].rstrip()
    if any(one.text == match.group() for one in phrases_in(sentence, "use_no_metal")):
        return said_as_alloy(sentence, match.span())
    if any(sign.isdigit() for sign in match.group()):
        return True
    is_of = last_phrase(before, "use_material") is not None
    return is_of and (ends_what_is_said(sentence[match.end() :]) or _is_by_number(match, sentence))


def _is_by_number(match: re.Match[str], sentence: str) -> bool:
    return sentence[match.end() :].lstrip()[:1].isdigit()
