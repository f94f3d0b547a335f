"""What in a letter says what the cloth is for."""

from __future__ import annotations

import re

from meshcore.reading.uses import use_named
from meshcore.uses.catalogue import STATEMENTS
from meshcore.uses.sentences.clues import PLAINLY
from meshcore.uses.sentences.reading import read_sentence, uses_of


def use_passage(text: str) -> tuple[str, str]:
    """Return what in a letter says a use, and the use; both empty where nothing says one plainly.

    Parameters
    ----------
    text
        The letter.

    Returns
    -------
    The first sentence that speaks of one use; where it gives none of the figures that are needed,
    with the rest of its paragraph.

    Examples
    --------
    >>> use_passage("Good morning. It is for a vibrating screen, cutting at 6 mm. Regards")
    ('It is for a vibrating screen, cutting at 6 mm', 'screening')
    >>> use_passage("We need a strainer. It must stop 0.5 mm.")[0]
    'We need a strainer. It must stop 0.5 mm'
    >>> use_passage("Please quote 10 mesh.")
    ('', '')
    """
    for paragraph in re.split(r"\n\s*\n", text):
        joined = " ".join(paragraph.split())
        for sentence in re.split(r"(?<=[.!?])\s+(?=[^\W\d])|\n", paragraph):
            one = " ".join(sentence.split()).rstrip(".!?")
            use = _use_of(one)
            if use:
                return (one if _says_what_is_needed(use, one) else joined.rstrip(".!?")), use
    return "", ""


def _use_of(sentence: str) -> str:
    named = use_named(sentence)[1]
    said = uses_of(sentence, PLAINLY)
    return said[0] if len(said) == 1 else named if not said else ""


def _says_what_is_needed(use: str, sentence: str) -> bool:
    statement = STATEMENTS[use]
    said = read_sentence(statement, sentence).figures
    return any(one.name in said for one in statement.figures if one.needed)
