"""What a use is: its figures, what they ask of a cloth, and what a cloth does for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.enquiry import PLAIN
from meshcore.messages import Message
from meshcore.uses.figures import Figure, Value
from meshcore.uses.plain import plain
from meshcore.uses.relations.flow import ScreenColumns
from meshcore.weave.cloth import ClothColumns

Figures = Mapping[str, Value]
#: A size typed as the limit is within it, however it was computed [-].
EQUAL = 1e-9
#: Why there is no largest single opening.
NO_ALLOWANCE = "the allowance is for apertures of 20 µm to 125 mm"
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


def everything(cloth: ClothColumns) -> BoolArray:
    """Allow every cloth."""
    return np.ones(len(cloth.weave), dtype=np.bool_)


@dataclass(frozen=True, slots=True)
class Demand:
    """One thing asked of a cloth.

    Parameters
    ----------
    text
        What is asked and why, with its source.
    kept
        Whether each cloth keeps it.
    """

    text: str
    kept: Callable[[ClothColumns], BoolArray]


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the figures of a use ask of a cloth, and where it is looked for first.

    Parameters
    ----------
    aperture_m, wire_m
        Least and greatest of each [m] that are looked at first; cloth outside is no worse for it.
    weaves
        Weaves to choose from, the usual one first, each with its reason.
    demands
        What is asked: all that a cloth has to keep.
    cost
        How far each is from what is best for the use; less is better [-].
    worth
        Whether each cloth is worth offering while there is another; it is no demand.
    hints
        What else to think of.
    notes
        What was assumed.
    customary
        What it weighs to be away from the nearest cloth of a list, by the logarithm of wire or
        aperture; nothing where the use has heavier or lighter wires of its own.
    bound
        Whether cloth of another weave does not do it, rather than being unusual for it.
    """

    aperture_m: tuple[float, float]
    wire_m: tuple[float, float]
    weaves: tuple[tuple[int, str], ...]
    demands: tuple[Demand, ...]
    cost: Callable[[ClothColumns], FloatArray]
    worth: Callable[[ClothColumns], BoolArray] = everything
    hints: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    customary: float = CUSTOMARY_WEIGHT
    bound: bool = False

    @property
    def reasons(self) -> tuple[str, ...]:
        """What limits the cloth and why, with its source, and what was assumed."""
        return (*(demand.text for demand in self.demands), *self.notes)

    def keeps(self, cloth: ClothColumns) -> BoolArray:
        """Return whether each cloth keeps all that is asked."""
        kept = everything(cloth)
        for demand in self.demands:
            kept &= demand.kept(cloth)
        return kept


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
    outside
        Why there is none, where the relation does not cover the cloth.
    words
        One a cloth, where it is told in words.
    alone
        One a cloth: whether what is asked of it is kept by the word of one author alone.
    """

    name: str
    values: FloatArray
    unit: str
    origin: str
    outside: str = ""
    words: tuple[str, ...] = ()
    alone: tuple[bool, ...] = ()

    def is_known(self, row: int) -> bool:
        """Whether the relation covers one cloth."""
        return bool(np.isfinite(self.values[row]))

    def text(self, row: int) -> str:
        """Write the value of one cloth; a dash where the relation does not cover it."""
        if self.words and self.is_known(row):
            return self.words[row]
        value = float(self.values[row])
        return f"{plain(value)} {self.unit}".strip() if self.is_known(row) else "–"


def uncovered(measures: Sequence[Measure], rows: Sequence[int]) -> tuple[Message, ...]:
    """Say why there are no values where there are none, each reason once.

    Parameters
    ----------
    measures
        What cloths do.
    rows
        Those that are told of.
    """
    names: dict[str, dict[str, None]] = {}
    for one in measures:
        if not all(one.is_known(row) for row in rows):
            names.setdefault(one.outside, {})[one.name.split(",")[0]] = None
    return tuple(
        Message("use", " and ".join(without), f"none is given where a dash stands: {why}.",
                "review", code="use.relation_uncovered")
        for why, without in names.items()
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Taken:
    """What a word stands for where nothing else gives the figure: its text, and why."""

    figure: str
    text: str
    why: str


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
    alloy_why
        Why the first is usual.
    caution
        To stand beside every answer.
    sources
        What it rests on.
    wet_alloys
        Alloy that is usual where the figures say that it is wet, and why; empty where the usual
        one does there too.
    tells_alone
        Whether a cloth that is given says what it does without any figure of the use.
    beyond
        What a sentence may say that no relation of the use holds for → what to do then.
    taken
        What a sentence may name → the figure that it stands for.
    """

    use: str
    title: str
    figures: tuple[Figure, ...]
    ask: Callable[[Figures, Metal], Wanted]
    measures: Callable[[ClothColumns, Figures, Metal], tuple[Measure, ...]]
    alloys: tuple[str, ...]
    caution: str
    sources: tuple[str, ...]
    alloy_why: str
    wet_alloys: tuple[str, str] = ("", "")
    tells_alone: bool = False
    beyond: Mapping[str, str] = field(default_factory=dict)
    taken: Mapping[str, Taken] = field(default_factory=dict)

    def is_wet(self, figures: Figures) -> bool:
        """Whether the figures say that cloth is wet in this use."""
        return figures.get("feed") in WET_FEEDS or figures.get("fluid") == "water"

    def alloy_for(self, figures: Figures) -> tuple[str, str]:
        """Return the alloy that is usual for the figures, and why."""
        if self.wet_alloys[0] and self.is_wet(figures):
            return self.wet_alloys
        return self.alloys[0], self.alloy_why


#: Feeds that wet the cloth.
WET_FEEDS = ("damp", "wet")
#: Words of the families whose bare steel rusts in water (common practice, no source).
_RUSTING = ("carbon steel",)


def rusts(family: str) -> bool:
    """Whether wire of a family of alloys rusts in plain water."""
    return any(word in family for word in _RUSTING)


def number(figures: Figures, name: str) -> float:
    """Value of a figure that is a number; NaN where it was left out."""
    return float(figures[name])


def nothing(reason: str) -> Wanted:
    """Ask for what no cloth is, and say why."""
    return Wanted(
        (np.inf, -np.inf), (0.0, 0.0), ((PLAIN, ""),),
        (Demand(reason, lambda cloth: ~everything(cloth)),),
        lambda cloth: np.zeros(len(cloth.weave)), customary=0.0,
    )  # fmt: skip


def least_open(least: float, why: str = "") -> Demand:
    """Demand an open area [-]."""
    return Demand(
        f"at least {plain(least * 100)} % open{why}",
        lambda cloth: cloth.open_area >= least * (1.0 - EQUAL),
    )


#: A wish of open area, of uses that need none.
OPEN_AREA = Figure("open_area", "Open area at least", "share", "60 %", usual=(0.1, 0.9))


def open_wish(figures: Figures) -> tuple[Demand, ...]:
    """Demand the open area that is wished, if one is."""
    least = number(figures, OPEN_AREA.name)
    return (least_open(least),) if np.isfinite(least) else ()


def away(values: FloatArray, target: float) -> FloatArray:
    """How far values are from a target, by the logarithm of their ratio [-]."""
    apart: FloatArray = np.abs(np.log(values / target))
    return apart


def screen_columns(cloth: ClothColumns) -> ScreenColumns:
    """Return what correlations of flow see of cloth."""
    return ScreenColumns(
        cloth.aperture_m, cloth.wire_diameter_m, cloth.thickness_m, cloth.open_area,
        cloth.path_ratio, cloth.weave,
    )  # fmt: skip


def open_area_measure(cloth: ClothColumns) -> Measure:
    """Return the open area of cloth."""
    return Measure("open area", cloth.open_area * 100.0, "%", "(w/p)² of the nominal sizes")


def length_range(limits: tuple[float, float]) -> str:
    """Write a range of lengths in mm."""
    low, high = limits
    return f"{plain(low * 1e3)} to {plain(high * 1e3)} mm"
