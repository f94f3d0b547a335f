"""Work that a letter speaks of only to say that it is not wanted."""

from __future__ import annotations

from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.facts import Said
from meshcore.reading.vocabulary import fold

#: How people decline what was only talked of, folded.
_DECLINED = (
    "do not think so", "don't think so", "dont think so", "leave it", "no need", "not necessary",
    "not needed", "rather not", "better not", "not worth it", "would not bother", "unnecessary",
    "glaube nicht", "denke nicht", "lieber nicht", "nicht notig", "unnotig", "braucht es nicht",
    "lassen wir", "ne pense pas", "ne crois pas", "pas la peine", "pas necessaire", "plutot pas",
    "plutot non", "inutile", "no creo", "no lo creo", "no hace falta", "mejor no",
    "no es necesario", "innecesario",
)  # fmt: skip
#: What is no more than talk of work, until the next sentence settles it, folded.
_TALKED_OF = (
    "talked of", "talked about", "thought of", "thought about", "asked whether", "asked if",
    "asks whether", "asks if", "wondered whether", "wondered if", "wonders whether", "wonders if",
    "gefragt, ob", "fragt, ob", "fragte, ob", "demande si", "demandait si", "pregunta si",
    "pregunto si",
)  # fmt: skip


def declines(words: str) -> bool:
    """Whether words decline something.

    Examples
    --------
    >>> declines("I do not think so, leave it."), declines("Yes please.")
    (True, False)
    """
    plain = fold(words.replace("\u2019", "'"))
    return any(phrase in plain for phrase in _DECLINED)


def only_talks(words: str) -> bool:
    """Whether work is only talked of: "our foreman asked whether they should be annealed".

    Examples
    --------
    >>> only_talks("Our foreman asked whether panels should be annealed."), only_talks("Anneal it.")
    (True, False)
    """
    plain = fold(words)
    return any(phrase in plain for phrase in _TALKED_OF)


def declined_at_once(build: Build, said: Said, body: str, end: int) -> bool:
    """Whether the words behind the work in a passage decline it, and speak of no other lines.

    Parameters
    ----------
    build
        The lines so far.
    said
        What the passage states.
    body, end
        The letter, and where the passage ends in it.
    """
    work = said.of("services")
    if not work or not declines(body[work[-1].end : end]):
        return False
    behind = [item for item in said.items if item.start >= work[-1].end]
    return not aim_of(Said(items=behind), build.present, build.lines).lines
