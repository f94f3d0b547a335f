"""Where the knives stand and where the cloth is cut across, roll by roll."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from meshcore.arrays import FloatArray
from meshcore.supply.offcuts import LEAST_OFFCUT_M
from meshcore.supply.slitting.plan import Run, SlitPlan
from meshcore.supply.slitting.roll_packing import PackedRoll


@dataclass(frozen=True, slots=True)
class LanePlace:
    """A lane across the cloth: from and to, counted from one edge [m], and its (item, count)."""

    from_m: float
    to_m: float
    strips: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Section:
    """A run on its roll.

    Parameters
    ----------
    pattern
        Number of the run in the plan.
    from_m, to_m
        Where it begins and ends along the roll [m].
    lanes
        Lanes from one edge to the other.
    knives_m
        Where the knives stand, from the same edge [m]; what a knife takes lies beyond it.
    """

    pattern: int
    from_m: float
    to_m: float
    lanes: tuple[LanePlace, ...]
    knives_m: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class RollSheet:
    """Alike rolls: their stock width, what they are, and the runs on each from its start."""

    stock: int
    roll: PackedRoll
    sections: tuple[Section, ...]

    @property
    def used_m(self) -> float:
        """Length that is slit [m]."""
        return self.sections[-1].to_m if self.sections else 0.0


def lane_places(plan: SlitPlan, run: Run) -> tuple[LanePlace, ...]:
    """Where each lane of a run lies, from the edge that the knives are set from."""
    at = 0.0 if run.as_woven else plan.terms.edge_trim_m
    places = []
    for lane in run.lanes:
        places.append(LanePlace(at, at + lane.width_m, lane.strips))
        at += lane.width_m + plan.terms.kerf_m
    return tuple(places)


def knives_of(plan: SlitPlan, run: Run) -> tuple[float, ...]:
    """Where the knives stand for a run, from one edge [m]: as many as the plan charges for."""
    places = lane_places(plan, run)
    if run.as_woven:
        return ()
    ends = [place.to_m for place in places]
    if plan.terms.edge_trim_m > 0:
        return (places[0].from_m, *ends)
    width = plan.terms.stocks[run.stock].width_m
    # The last lane ends at a knife only where there is cloth beside it.
    beside = width - ends[-1] - plan.terms.kerf_m > LEAST_OFFCUT_M
    return tuple(ends if beside else ends[:-1])


def roll_sheets(plan: SlitPlan) -> Iterator[RollSheet]:
    """Return the rolls of a plan, alike ones together, with the runs on each in their order."""
    for stock, rolls in enumerate(plan.rolls):
        numbered = [(n, run) for n, run in enumerate(plan.runs, 1) if run.stock == stock]
        for roll in rolls:
            sections, at = [], 0.0
            for (number, run), count in zip(numbered, roll.runs, strict=True):
                for _ in range(count):
                    end = at + run.length_m
                    sections.append(
                        Section(number, at, end, lane_places(plan, run), knives_of(plan, run))
                    )
                    at = end
            yield RollSheet(stock, roll, tuple(sections))


def cuts_along(lane: LanePlace, start_m: float, lengths_m: FloatArray) -> list[float]:
    """Where the strips of a lane end along the roll [m]."""
    ends, at = [], start_m
    for item, count in lane.strips:
        for _ in range(count):
            at += float(lengths_m[item])
            ends.append(at)
    return ends
