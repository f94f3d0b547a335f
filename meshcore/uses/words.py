"""A use and its figures in a sentence, such as "for a vibrating screen, cutting at 6 mm"."""

from __future__ import annotations

import re

from meshcore.messages import Message
from meshcore.reading.vocabulary import fold, words
from meshcore.uses.figures import Figure, read_figures
from meshcore.uses.statement import Statement

#: What may stand between the words for a figure and the figure.
_FILLERS = frozenset({"of", "at", "about", "approx", "ca", "von", "de", "a", "ab", "bei"})


def figures_said(statement: Statement, text: str) -> dict[str, str]:
    """Find the figures of a use in a sentence.

    Parameters
    ----------
    statement
        The use.
    text
        What a buyer wrote.

    Returns
    -------
    Figure → the words that give it; figures that the sentence does not give are left out.

    Examples
    --------
    >>> from meshcore.uses.catalogue import STATEMENTS
    >>> figures_said(STATEMENTS["screening"], "for a vibrating screen, cutting at 6 mm, damp feed")
    {'cut_size': '6 mm', 'feed': 'damp'}
    """
    sentence = fold(text)
    found = {one.name: _said(one, sentence) for one in statement.figures}
    return {name: said for name, said in found.items() if said}


def _said(one: Figure, sentence: str) -> str:
    if one.kind == "choice":
        return next((choice for choice in one.choices if _names(choice, sentence)), "")
    phrases = [word for word, name in words("use_figure").items() if name == one.name]
    for phrase in sorted(phrases, key=len, reverse=True):
        match = re.search(rf"(?<!\w){re.escape(phrase)}(?!\w)", sentence)
        if match:
            return _figure_behind(one, sentence[match.end() :])
    return ""


def _names(choice: str, sentence: str) -> bool:
    """Whether a sentence names a choice, of one or of many."""
    single = choice.removesuffix("es") if choice.endswith("oes") else choice.removesuffix("s")
    if choice.endswith("ies"):
        single = f"{choice.removesuffix('ies')}y"
    either = "|".join(map(re.escape, (choice, single)))
    return re.search(rf"(?<!\w)(?:{either})(?!\w)", sentence) is not None


def _figure_behind(one: Figure, rest: str) -> str:
    """Words right behind a phrase that read as the figure; empty where they do not."""
    behind = [word.strip(",;.") for word in rest.split()]
    while behind and behind[0] in _FILLERS:
        behind = behind[1:]
    for length in (2, 1):
        text = " ".join(behind[:length])
        if text and not isinstance(_read(one, text), Message):
            return text.replace("μ", "µ")
    return ""


def _read(one: Figure, text: str) -> object:
    values, wrong = read_figures([one], {one.name: text})
    return wrong[0] if wrong else values[one.name]
