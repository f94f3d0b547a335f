"""The weave of lines that name none: chosen for their sizes and for what the cloth is to do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from meshcore.arrays import BoolArray, IntArray, ObjectArray
from meshcore.enquiry import PLAIN, WEAVE_UNASKED, WEAVES
from meshcore.messages import Message, MessageLog
from meshcore.reading.columns import different_texts
from meshcore.reading.uses import use_named
from meshcore.weave.cloth import ClothColumns, WeaveRule, take_cloth
from meshcore.weave.geometry.path import PathModel, cloth_path
from meshcore.weave.judging.practicality import CAN_BE_WOVEN, assess
from meshcore.weave.judging.purpose import (
    FILTRATION,
    GENERAL,
    OPEN_AREA,
    TEST_SIEVING,
    VIBRATING_SCREEN,
    recommend,
)

#: Use → the purpose that its weave follows; any other use has the weave of general cloth.
PURPOSE_OF_USE = {
    "screening": VIBRATING_SCREEN,
    "filtration": FILTRATION,
    "ventilation": OPEN_AREA,
    "test sieving": TEST_SIEVING,
}


def with_chosen_weaves(
    cloth: ClothColumns,
    asked: IntArray,
    notes: ObjectArray,
    rules: Sequence[tuple[str, WeaveRule]],
    path_model: PathModel,
    log: MessageLog,
) -> ClothColumns:
    """Give lines that name no weave the one that is usual in their sizes, and say why.

    Parameters
    ----------
    cloth
        The cloth; plain where no weave is asked for.
    asked
        Weave asked for, ``WEAVE_UNASKED`` where there is none.
    notes
        Remark of each line, which may say what the cloth is for.
    rules
        Weave rules, each with its plugin's name.
    path_model
        As for `cloth_path`.
    log
        Receives a note for each line that becomes other than plain.

    Returns
    -------
    The cloth. A line stays plain where plain weave can be woven and the remark names no use that
    calls for another; where no weave can be woven, it stays plain too, and is judged as such.
    """
    free = (asked == WEAVE_UNASKED) & ~np.isnan(cloth.pitch_m) & ~np.isnan(cloth.wire_diameter_m)
    if not free.any():
        return cloth
    purpose, words = _purposes(notes, free)
    rows = np.flatnonzero(free)
    plain = assess(take_cloth(cloth, rows), rules).verdict == CAN_BE_WOVEN
    rows = rows[~plain | (purpose[rows] != GENERAL)]
    if not len(rows):
        return cloth
    advised = recommend(take_cloth(cloth, rows), purpose[rows], rules)
    other = (advised.weave > PLAIN) & (advised.verdict == CAN_BE_WOVEN)
    for place in np.flatnonzero(other).tolist():
        log.add([int(rows[place])], _reason(words[rows[place]], WEAVES[advised.weave[place]],
                                            advised.reason(place)))  # fmt: skip
    weave = cloth.weave.copy()
    weave[rows[other]] = advised.weave[other]
    path = cloth_path(weave, cloth.wire_diameter_m, cloth.pitch_m, path_model=path_model)
    return replace(cloth, weave=weave, path_ratio=path.path_ratio, thickness_m=path.thickness_m)


def weave_names(asked: IntArray) -> ObjectArray:
    """Name the weave that each line asks for; empty where it names none."""
    names = np.array([*WEAVES, ""], dtype=object)
    found: ObjectArray = names[np.where((asked >= 0) & (asked < len(WEAVES)), asked, len(WEAVES))]
    return found


def _reason(word: str, weave: str, reason: str) -> Message:
    why = f"the note speaks of {word}: {reason}" if word else reason
    text = f"none is named, so {weave}: {why}. Write another if it is to be one."
    return Message("weave", "", text, "note", code="weave.chosen")


def _purposes(notes: ObjectArray, free: BoolArray) -> tuple[IntArray, ObjectArray]:
    """Purpose that each remark names, and the word that names it."""
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    positions, unique = different_texts(pd.Series(np.where(free, notes, ""), dtype=object))
    named = [use_named(text) for text in unique]
    purpose = np.array([PURPOSE_OF_USE.get(use, GENERAL) for _, use in named], dtype=np.int64)
    words = np.array([word for word, _ in named], dtype=object)
    return purpose[positions], words[positions]
