"""Which amount of a sentence is which figure of a use."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from meshcore.uses.figures import Figure
from meshcore.uses.sentences.amounts import AmountSaid
from meshcore.uses.sentences.phrases import Phrase, first_phrase, last_phrase, phrases_in

#: What may stand between the words for a figure and the figure.
_FILLERS = re.compile(
    r"[\s,:;(=]*(?:(?:of|at|is|are|about|approx\.?|around|ca\.?|roughly|say|the|an?|only|just|von|"
    r"de|du|des|ab|bei|environ|etwa|unos|or|not)\s*)*$"
)
#: Kinds of which one amount alone is no figure unless words say so: a share may be of anything.
_ONLY_BY_WORDS = frozenset({"share", "pressure", "line load", "number"})
#: Kinds that a figure may be read from beside its own.
_ALSO = {"sieve": ("length", "sieve"), "size": ("length", "sieve"), "number": ("number",)}
#: Figures of a guard, which no size of its openings is.
_OF_A_GUARD = ("distance", "least_wire")
#: How well words fit an amount: right beside it, or in its clause.
_BESIDE, _IN_CLAUSE = 2, 1


@dataclass(frozen=True, slots=True)
class Neighbourhood:
    """An amount with the words between it and the amounts before and behind."""

    amount: AmountSaid
    before: str
    behind: str


def neighbourhoods(sentence: str, amounts: Sequence[AmountSaid]) -> tuple[Neighbourhood, ...]:
    """Return each amount with the words about it."""
    ends = [0, *(one.end for one in amounts)]
    starts = [*(one.start for one in amounts), len(sentence)]
    return tuple(
        Neighbourhood(one, sentence[ends[n] : one.start], sentence[one.end : starts[n + 1]])
        for n, one in enumerate(amounts)
    )


def assigned(figures: Sequence[Figure], nearby: Sequence[Neighbourhood]) -> dict[str, AmountSaid]:
    """Return figure → the amount that is it; a figure that two amounts fit alike is left out.

    Parameters
    ----------
    figures
        Those of the use, but for its choices.
    nearby
        The amounts, with the words about them.
    """
    fits = {
        (one.name, n): fit
        for one in figures
        for n, near in enumerate(nearby)
        if (fit := _fit(one, near)) is not None
    }
    found: dict[str, AmountSaid] = {}
    taken: set[int] = set()
    for least in (_BESIDE, _IN_CLAUSE, 0):
        for one in figures:
            able = [n for n in range(len(nearby))
                    if n not in taken and fits.get((one.name, n), -1) == least]  # fmt: skip
            if (
                one.name not in found
                and len(able) == 1
                and not _wanted_more(able[0], one, figures, fits, found)
            ):
                found[one.name] = nearby[able[0]].amount
                taken.add(able[0])
    return found


def _wanted_more(
    place: int, one: Figure, figures: Sequence[Figure], fits: dict[tuple[str, int], int],
    found: dict[str, AmountSaid],
) -> bool:  # fmt: skip
    """Whether the words about an amount say another figure, or as well one that is needed."""
    own = fits[one.name, place]
    return any(
        (other.needed, fits.get((other.name, place), -1)) > (one.needed, own)
        if fits.get((other.name, place), -1) == own
        else fits.get((other.name, place), -1) > own
        for other in figures
        if other.name != one.name and other.name not in found
    )


def _fit(one: Figure, near: Neighbourhood) -> int | None:
    """How well an amount fits a figure; None where it is none of it."""
    amount = near.amount
    if amount.kind not in _ALSO.get(one.kind, (one.kind,)):
        return None
    if amount.ends and not one.of_range:
        return None
    before = _FILLERS.sub("", near.before)
    last, first = (
        last_phrase(before, "use_figure"),
        first_phrase(_lead(near.behind), "use_figure_behind"),
    )
    if _means(last, one) or _means(first, one):
        return _BESIDE
    if _is_of_something_else(one, near, before):
        return None
    return _by_clause(one, near)


def _by_clause(one: Figure, near: Neighbourhood) -> int | None:
    said = _said_in_clause(near)
    if one.name in said:
        return _IN_CLAUSE
    # A length is a figure of most uses: of which, words of another say.
    of_another = said and one.kind in ("length", "size") and not one.needed
    return None if of_another or one.kind in _ONLY_BY_WORDS else 0


def _lead(behind: str) -> str:
    return re.sub(r"^[\s)]*(?:(?:of|in|at|de|d')\s*)?", "", behind) if behind else ""


def _means(phrase: Phrase | None, one: Figure) -> bool:
    return phrase is not None and one.name in phrase.meanings


def _is_of_something_else(one: Figure, near: Neighbourhood, before: str) -> bool:
    ahead, after = (
        last_phrase(before, "use_aside"),
        first_phrase(near.behind.lstrip(" -)"), "use_aside"),
    )
    sides = [("before", ahead), ("behind", after)]
    if one.name in _OF_A_GUARD:
        # A comma ends what is said of the mesh: "guard mesh, 500 mm to the blade".
        parted = re.search(r"[,;:]\s*$", near.before)
        sides += [("behind_guarding", after), *([] if parted else [("before_guarding", ahead)])]
    return any(phrase is not None and side in phrase.meanings for side, phrase in sides)


def _said_in_clause(near: Neighbourhood) -> set[str]:
    """Figures that words between the nearest commas and the amount speak of."""
    before = re.split(r"[,;.]\s", near.before)[-1]
    behind = re.split(r"[,;.]\s", near.behind)[0]
    said = [*phrases_in(before, "use_figure"), *phrases_in(behind, "use_figure_behind")]
    return {name for phrase in said for name in phrase.meanings}
