"""Where things stand on the sheet of a cloth, in drawing units, and what is drawn there."""

from __future__ import annotations

from dataclasses import dataclass

from meshcore.arrays import BoolArray
from meshcore.weave.drawing.svg import OUTLINE

#: Fills told apart by every common colour vision (Okabe and Ito, 2008, from memory), and light
#: enough under ink on white, dark enough under ink on black.
WARP_FILL, SHUTE_FILL = "#56b4e9", "#e69f00"

#: The plan is a square of side `SIDE` at (`LEFT`, `TOP`).
SIDE, LEFT, TOP, RIGHT = 420.0, 74.0, 138.0, 156.0
WIDTH = LEFT + SIDE + RIGHT
#: Outlines never take more than this share of a wire.
_OUTLINE_SHARE = 0.12


@dataclass(frozen=True, slots=True)
class Plan:
    """What is drawn, in drawing units."""

    weave: int
    over: BoolArray
    pitch: float
    wire: float

    @property
    def wires(self) -> int:
        """How many wires are drawn each way [-]."""
        return len(self.over)

    @property
    def cut(self) -> int:
        """Shute wire that the section is taken along; the one above it in the plan lies behind."""
        return self.wires // 2

    @property
    def outline(self) -> float:
        """How wide the outline of a wire is drawn."""
        return min(OUTLINE, _OUTLINE_SHARE * self.wire)

    def across(self, number: float) -> float:
        """X of a warp wire's axis."""
        return LEFT + (number + 0.5) * self.pitch

    def down(self, number: float) -> float:
        """Y of a shute wire's axis in the plan."""
        return TOP + (number + 0.5) * self.pitch
