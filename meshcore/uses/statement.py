"""What a use is: its figures, what they ask of a cloth, and what a cloth does for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.enquiry import PLAIN
from meshcore.uses.figures import Figure, Value
from meshcore.uses.relations.flow import ScreenColumns
from meshcore.weave.cloth import ClothColumns

Figures = Mapping[str, Value]
#: Where a number of a use comes from that has no better source.
PRACTICE = "common practice, no source"
#: What it weighs to be away from cloth that is woven every day: a judgement, no source.
CUSTOMARY_WEIGHT = 0.5


@dataclass(frozen=True, slots=True)
class Metal:
    """What a use needs to know of the wire.

    Parameters
    ----------
    tensile_pa
        Least and greatest tensile strength as it is in the cloth [Pa]; NaN where not known.
    density_kg_m3
        Density [kg/m³].
    family
        Family of the alloy.
    """

    tensile_pa: tuple[float, float]
    density_kg_m3: float
    family: str


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the figures of a use ask of a cloth.

    Parameters
    ----------
    aperture_m, wire_m
        Least and greatest of each [m].
    weaves
        Weaves to choose from, the usual one first, each with its reason.
    allowed
        Whether each cloth keeps what else is asked.
    cost
        How far each is from what is best for the use; less is better [-].
    reasons
        What limits the cloth and why, with its source.
    hints
        What else to think of.
    customary
        What it weighs to be away from the nearest cloth of a list, by the logarithm of wire or
        aperture; nothing where the use has heavier or lighter wires of its own.
    """

    aperture_m: tuple[float, float]
    wire_m: tuple[float, float]
    weaves: tuple[tuple[int, str], ...]
    allowed: Callable[[ClothColumns], BoolArray]
    cost: Callable[[ClothColumns], FloatArray]
    reasons: tuple[str, ...]
    hints: tuple[str, ...] = ()
    customary: float = CUSTOMARY_WEIGHT


@dataclass(frozen=True, slots=True)
class Measure:
    """One thing that cloth does for a use.

    Parameters
    ----------
    name
        What it is.
    values
        One a cloth, in `unit`; NaN where a relation does not cover it.
    unit
        As it is printed.
    origin
        Where it comes from.
    """

    name: str
    values: FloatArray
    unit: str
    origin: str

    def text(self, row: int) -> str:
        """Write the value of one cloth; a dash where the relation does not cover it."""
        value = float(self.values[row])
        return f"{value:.3g} {self.unit}".strip() if np.isfinite(value) else "–"


@dataclass(frozen=True, slots=True)
class Statement:
    """A use of cloth.

    Parameters
    ----------
    use
        One of ``USES``.
    title
        As a page calls it.
    figures
        By which it is stated.
    ask
        What the figures ask of a cloth.
    measures
        What cloths do for the use, by its figures; those left blank leave measures out.
    alloys
        Alloys that are usual, the first where none is named.
    caution
        To stand beside every answer.
    sources
        What it rests on.
    """

    use: str
    title: str
    figures: tuple[Figure, ...]
    ask: Callable[[Figures, Metal], Wanted]
    measures: Callable[[ClothColumns, Figures, Metal], tuple[Measure, ...]]
    alloys: tuple[str, ...]
    caution: str
    sources: tuple[str, ...]


def number(figures: Figures, name: str) -> float:
    """Value of a figure that is a number; NaN where it was left out."""
    return float(figures[name])


def everything(cloth: ClothColumns) -> BoolArray:
    """Allow every cloth."""
    return np.ones(len(cloth.weave), dtype=np.bool_)


def nothing(reason: str) -> Wanted:
    """Ask for what no cloth is, and say why."""
    return Wanted(
        (np.inf, -np.inf), (0.0, 0.0), ((PLAIN, ""),), everything,
        lambda cloth: np.zeros(len(cloth.weave)), (reason,), customary=0.0,
    )  # fmt: skip


def away(values: FloatArray, target: float) -> FloatArray:
    """How far values are from a target, by the logarithm of their ratio [-]."""
    apart: FloatArray = np.abs(np.log(values / target))
    return apart


def screen_columns(cloth: ClothColumns) -> ScreenColumns:
    """Return what correlations of flow see of cloth."""
    return ScreenColumns(
        cloth.aperture_m, cloth.wire_diameter_m, cloth.thickness_m, cloth.open_area,
        cloth.path_ratio,
    )  # fmt: skip


def open_area_measure(cloth: ClothColumns) -> Measure:
    """Return the open area of cloth."""
    return Measure("open area", cloth.open_area * 100.0, "%", "(w/p)² of the nominal sizes")


def length_range(limits: tuple[float, float]) -> str:
    """Write a range of lengths in mm."""
    low, high = limits
    return f"{low * 1e3:.3g} to {high * 1e3:.3g} mm"
