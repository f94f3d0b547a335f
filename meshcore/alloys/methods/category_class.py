"""A stated ISO 9223 category against the class of a stainless steel.

EN 1993-1-4 asks where the place lies; whoever has measured the category knows more. A class that
falls short of what places of that category need falls short, whatever else is said of the place.
"""

from __future__ import annotations

import numpy as np

from meshcore.alloys.methods.outdoor_loss import CATEGORIES
from meshcore.alloys.methods.outdoor_stainless import CLASSES
from meshcore.alloys.methods.verdicts import FAILS, NOT_ASKED, Fitness, not_asked
from meshcore.arrays import IntArray

METHOD = "stated ISO 9223 category, stainless"
#: Least class in each category, of those that Annex A gives places of that category where rain
#: washes them: inland, town, coast, shore, at sea (project's own reading).
LEAST_CLASS = np.array([1, 2, 2, 3, 4, 5])


def judge(category: IntArray, classes: IntArray) -> Fitness:
    """Rule out what falls short of the category that somebody has stated.

    Parameters
    ----------
    category
        Index into ``CATEGORIES`` of each service in air; -1 where nobody has stated one.
    classes
        Class 1 to 5 that each alloy is counted in; 0 where it has none.

    Examples
    --------
    Class II in C3 and in CX:

    >>> judge(np.array([2, 5]), np.array([2])).verdict.tolist()
    [[0], [4]]
    """
    shape = (len(category), len(classes))
    if (category < 0).all():
        return not_asked(METHOD, shape)
    needed = np.where(category < 0, 0, LEAST_CLASS[category])
    short = (classes[None, :] > 0) & (classes[None, :] < needed[:, None])
    verdict = np.where(short, FAILS, NOT_ASKED).astype(np.int8)

    def say(service: int, alloy: int) -> str:
        return (
            f"class {CLASSES[classes[alloy]]} falls short of class {CLASSES[needed[service]]}, the "
            f"least for air of category {CATEGORIES[category[service]]} (project's own reading of "
            "EN 1993-1-4 Annex A)"
        )

    return Fitness(METHOD, verdict, np.full(shape, np.nan), say)
