"""Which weave to recommend for what the cloth is to do, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from meshcore.arrays import IntArray
from meshcore.enquiry import DOUBLE_CRIMP, INTERMEDIATE_CRIMP, PLAIN, TWILLED, WEAVES
from meshcore.messages import Message
from meshcore.weave.cloth import ClothColumns, WeaveRule
from meshcore.weave.geometry.path import cloth_path
from meshcore.weave.judging.practicality import CAN_BE_WOVEN, CANNOT, NOT_JUDGED, REVIEW, assess

#: Purposes in the order of their codes.
PURPOSES: tuple[str, ...] = (
    "general",
    "vibrating screen",
    "open area",
    "filtration",
    "test sieving",
)
GENERAL, VIBRATING_SCREEN, OPEN_AREA, FILTRATION, TEST_SIEVING = range(len(PURPOSES))

#: Weaves to try for each purpose, the usual one first, each with its reason. Common practice, no
#: source, except test sieving: ISO 3310-1 (from memory).
PREFERENCES: tuple[tuple[tuple[int, str], ...], ...] = (
    (
        (PLAIN, "plain weave is usual, and nothing here needs more"),
        (TWILLED, "the wire is too heavy for its pitch to be plain woven"),
        (DOUBLE_CRIMP, "too coarse or too heavy for plain weave, so the wires are pre-crimped"),
        (INTERMEDIATE_CRIMP, "light wire over a large aperture would shift; extra crimps hold it"),
    ),
    (
        (DOUBLE_CRIMP, "a vibrating screen needs its aperture exact, so the wires are pre-crimped"),
        (INTERMEDIATE_CRIMP, "the aperture must be exact, and so light a wire needs extra crimps"),
        (PLAIN, "the wire is too fine to be pre-crimped"),
        (TWILLED, "the wire is too fine to be pre-crimped, and too heavy to be plain woven"),
    ),
    (
        (PLAIN, "plain weave holds this open area"),
        (DOUBLE_CRIMP, "pre-crimped wires hold the open area where plain weave would not"),
        (INTERMEDIATE_CRIMP, "light wire over a large aperture would shift and lose open area"),
        (TWILLED, "the wire is too heavy for its pitch to be plain woven"),
    ),
    (
        (PLAIN, "every wire is bound at every crossing, so the apertures stay even"),
        (TWILLED, "the wire is too heavy for its pitch to be plain woven"),
        (DOUBLE_CRIMP, "too coarse or too heavy for plain weave, as a support for finer cloth"),
    ),
    (
        (PLAIN, "test sieves are plain woven (ISO 3310-1, from memory)"),
        (TWILLED, "plain weave is not practical here; ask whether the sieve standard allows twill"),
    ),
)
_NO_WEAVE = "no weave that serves this purpose can be woven in these sizes"


@dataclass(frozen=True, slots=True)
class Recommendation:
    """A weave for each line.

    Parameters
    ----------
    purpose
        Index into ``PURPOSES``.
    weave
        Index into ``WEAVES``; -1 where none will do.
    verdict
        Index into ``VERDICTS``, of the recommended weave.
    place
        Place of the weave in the purpose's ``PREFERENCES``; -1 where none will do.
    """

    purpose: IntArray
    weave: IntArray
    verdict: IntArray
    place: IntArray

    def reason(self, row: int) -> str:
        """Why this weave, in one line."""
        place = int(self.place[row])
        return _NO_WEAVE if place < 0 else PREFERENCES[int(self.purpose[row])][place][1]


def recommend(
    cloth: ClothColumns, purpose: IntArray, rules: Sequence[tuple[str, WeaveRule]]
) -> Recommendation:
    """Recommend a weave for each line's sizes and purpose.

    Parameters
    ----------
    cloth
        The cloth; the weave asked for does not matter.
    purpose
        Index into ``PURPOSES``, one a line.
    rules
        Weave rules, each with its plugin's name.

    Returns
    -------
    The first preference of the purpose that can be woven; failing that, the first that needs a
    look. Lines without sizes have none.

    Examples
    --------
    >>> from meshcore.weave.geometry.specifications import specifications
    >>> cloth = specifications(np.array([0]), np.array([0.6e-3]), np.array([2.6e-3]))
    >>> advised = recommend(cloth, np.array([VIBRATING_SCREEN]), ())
    >>> WEAVES[advised.weave[0]], advised.reason(0)
    ('double crimp', 'a vibrating screen needs its aperture exact, so the wires are pre-crimped')
    """
    verdicts = np.stack([verdict_as(cloth, code, rules) for code in range(len(WEAVES))])
    lines = len(purpose)
    weave, place = np.full(lines, -1, dtype=np.int64), np.full(lines, -1, dtype=np.int64)
    for good in (CAN_BE_WOVEN, REVIEW):
        for code, preferences in enumerate(PREFERENCES):
            for number, (candidate, _) in enumerate(preferences):
                takes = (purpose == code) & (weave < 0) & (verdicts[candidate] == good)
                weave[takes], place[takes] = candidate, number
    verdict = np.where(weave < 0, CANNOT, verdicts[weave, np.arange(lines)])
    verdict[verdicts[PLAIN] == NOT_JUDGED] = NOT_JUDGED
    return Recommendation(purpose, weave, verdict, place)


def verdict_as(cloth: ClothColumns, weave: int, rules: Sequence[tuple[str, WeaveRule]]) -> IntArray:
    """Verdict of each line's sizes in another weave, as an index into ``VERDICTS``."""
    codes = np.full(len(cloth.weave), weave, dtype=np.int64)
    path = cloth_path(codes, cloth.wire_diameter_m, cloth.pitch_m)
    woven = replace(cloth, weave=codes, path_ratio=path.path_ratio, thickness_m=path.thickness_m)
    return assess(woven, rules).verdict


def read_purpose(text: str, field: str = "purpose") -> int | Message:
    """Read a purpose by its name.

    Examples
    --------
    >>> read_purpose(" Vibrating  screen")
    1
    >>> print(read_purpose("fencing"))
    purpose: read "fencing" — no purpose known here. Write one of: general, vibrating screen, \
open area, filtration, test sieving.
    """
    word = " ".join(text.split()).casefold()
    if word in PURPOSES:
        return PURPOSES.index(word)
    return Message(
        field,
        text,
        f"no purpose known here. Write one of: {', '.join(PURPOSES)}.",
        code="purpose.unknown",
    )
