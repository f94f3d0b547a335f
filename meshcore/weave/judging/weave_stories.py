"""What each weave is, how a piece in the hand is told, what it is for, and what it is not for.

Common practice, no source, but for test sieves: ISO 3310-1 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

from meshcore.enquiry import (
    DOUBLE_CRIMP,
    FLAT_TOP,
    INTERMEDIATE_CRIMP,
    LOCK_CRIMP,
    PLAIN,
    TWILLED,
    WEAVES,
    WELDED,
)


@dataclass(frozen=True, slots=True)
class WeaveStory:
    """What there is to say of a weave, each a sentence or two.

    Parameters
    ----------
    what
        How its wires run.
    told
        How a piece in the hand is told from the others.
    used
        What it is usually taken for.
    stops
        What it is not for, and why.
    """

    what: str
    told: str
    used: str
    stops: str


_STORIES: dict[int, WeaveStory] = {
    PLAIN: WeaveStory(
        what="Each wire goes over one and under one. The wires bend as they are woven.",
        told="Every crossing looks like its neighbour turned by a quarter. A wire pulled out of it "
        "is wavy, one wave in two openings.",
        used="Sieving, straining, filtering, insect screens, most cloth of 10 meshes per inch and "
        "finer; test sieves.",
        stops="Wire that is heavy for its pitch cannot be beaten up; coarse cloth of heavy wire "
        "is crimped before weaving.",
    ),
    TWILLED: WeaveStory(
        what="Each wire goes over two and under two, each row one wire further along.",
        told="Lines run slantwise over the cloth, and each wire lies straight over two openings "
        "at a time.",
        used="Wire that is too heavy for plain weave at that count: strong, dense cloth, filters "
        "and backing.",
        stops="Light wire slides in it, since it is bound at every second crossing alone.",
    ),
    DOUBLE_CRIMP: WeaveStory(
        what="As plain weave, but warp and shute are crimped before they are woven.",
        told="It looks like coarse plain weave, yet the wires sit in their bends: pushed by the "
        "thumb, they do not slide.",
        used="Vibrating screens, guards, sorting, all coarse cloth whose opening has to be exact.",
        stops="Light wire over a large opening has too few crimps to hold it.",
    ),
    INTERMEDIATE_CRIMP: WeaveStory(
        what="Crimped before weaving, with more crimps than crossings: here one wave more between "
        "one crossing and the next.",
        told="Between two crossings the wire makes another wave that holds nothing.",
        used="Large openings of light wire, where the wires of a double crimp would shift: guards, "
        "light screens, infill.",
        stops="Its waves meet at a third of the wire that a double crimp takes.",
    ),
    LOCK_CRIMP: WeaveStory(
        what="Straight wires with a sharp bump at each crossing alone, in which the other wire is "
        "locked.",
        told="Wires are straight between the crossings, and have a knee on both sides of each.",
        used="Screens and guards that must stay true in hard use; rigid panels, infill.",
        stops="Neighbouring knees meet early, so heavy wire over a small opening cannot be made.",
    ),
    FLAT_TOP: WeaveStory(
        what="All crimp is on the lower side; the upper side lies in one plane.",
        told="A straightedge lies flat on one side and rocks on the other.",
        used="Screens over which the material slides, long wear, panels to walk past; worn evenly "
        "along the whole upper side.",
        stops="It cannot be turned over, and fine wire holds no such crimp.",
    ),
    WELDED: WeaveStory(
        what="Not woven: straight wires laid across one another and welded at each crossing.",
        told="All wires of one direction lie on one side, and a weld is at each crossing.",
        used="Cages, fences, reinforcement, guards of large openings.",
        stops="It does not bend back as cloth does, welds break under vibration, and coated or "
        "some alloyed wire welds badly.",
    ),
}
#: In the order of ``WEAVES``.
STORIES: tuple[WeaveStory, ...] = tuple(_STORIES[code] for code in range(len(WEAVES)))
