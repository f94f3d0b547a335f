"""What flows through a cloth and what stays, and filtration and straining."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.enquiry import PLAIN, TWILLED
from meshcore.uses.figures import Figure
from meshcore.uses.plain import plain
from meshcore.uses.relations import flow
from meshcore.uses.relations.gas import INCOMPRESSIBLE_MACH, is_incompressible
from meshcore.uses.statement import (
    EQUAL,
    NO_ALLOWANCE,
    OPEN_AREA,
    PRACTICE,
    Demand,
    Figures,
    Measure,
    Metal,
    Statement,
    Wanted,
    away,
    number,
    open_area_measure,
    open_wish,
    screen_columns,
)
from meshcore.weave.cloth import ClothColumns
from meshcore.weave.geometry.tolerances import largest_opening

#: Least aperture over the largest that is worth offering [-]: a judgement, no source.
_LEAST_SHARE = 0.6
#: What open area weighs beside the aperture: a judgement, no source.
_OPEN_WEIGHT = 0.4
#: Wire over pitch of cloth that is handled and cleaned, and what it weighs to miss that of a use:
#: common practice, no source.
_FILTER_WIRE, _HOLDS_WEIGHT = 0.34, 0.25
FLOW_SOURCES = (
    "K. E. G. Wieghardt, Aeronautical Quarterly 4, 1953 (from memory; the higher coefficient)",
    "J. C. Armour, J. N. Cannon, AIChE Journal 14, 1968 (ranges by its abstract)",
    "R. D. Blevins, Applied Fluid Dynamics Handbook, 1984, as the package fluids has it",
    "I. E. Idelchik, Handbook of Hydraulic Resistance (from memory)",
    "E. Brundrett, J. Fluids Engineering 115, 1993 (from memory)",
)
_ALLOWANCE = (
    "an allowance over the nominal aperture, no tolerance: none is covered for a single opening "
    f"({PRACTICE})"
)
_UNCOVERED = (
    "no author covers this flow: each has his range of Reynolds number and open area, and a gas is "
    f"to be below Mach {INCOMPRESSIBLE_MACH:g} in the openings"
)
#: Speeds that are usual ahead of cloth, by the fluid [m/s]: common practice, no source.
USUAL_AIR, _USUAL_LIQUID = (0.01, 20.0), (1e-4, 5.0)
_SPEED = Figure("speed", "Speed ahead of the cloth", "speed", "2 m/s", of_range="greatest",
                usual=_USUAL_LIQUID, usual_by={"air": USUAL_AIR})  # fmt: skip
DROP = Figure("most_drop", "Pressure drop at most", "pressure", "50 Pa", usual=(0.1, 2e5),
               note="clean, by the highest of the authors")  # fmt: skip


def _fluid_name(figures: Figures) -> str:
    return str(figures.get("fluid", "air"))


def _coefficients(cloth: ClothColumns, figures: Figures) -> dict[str, FloatArray]:
    """Loss coefficients by author; NaN too where a gas is too fast to be incompressible."""
    name, speed = _fluid_name(figures), number(figures, "speed")
    slow = is_incompressible(cloth.open_area, speed, name)
    found = flow.loss_coefficients(screen_columns(cloth), speed, flow.FLUIDS[name])
    return {author: np.where(slow, loss, np.nan) for author, loss in found.items()}


def _drop(losses: Mapping[str, FloatArray], figures: Figures) -> flow.Spread:
    return flow.spread(losses, number(figures, "speed"), flow.FLUIDS[_fluid_name(figures)])


def _flow_note(figures: Figures) -> tuple[str, ...]:
    speed = number(figures, "speed")
    if not np.isfinite(speed):
        return ()
    fluid = flow.FLUIDS[_fluid_name(figures)].name
    return (f"pressure drops are of {fluid} at {plain(speed, 4)} m/s ahead of the cloth",)


def _within_drop(cloth: ClothColumns, figures: Figures) -> BoolArray:
    drop = _drop(_coefficients(cloth, figures), figures)
    inside: BoolArray = drop.high <= number(figures, "most_drop")
    return inside


def _drop_demand(figures: Figures) -> tuple[Demand, ...]:
    most, speed = number(figures, "most_drop"), number(figures, "speed")
    if not (np.isfinite(most) and np.isfinite(speed)):
        return ()
    text = (
        f"an author covers the flow at {plain(speed)} m/s of {_fluid_name(figures)}, and of all "
        f"who do, the highest gives no more than {plain(most)} Pa"
    )
    return (Demand(text, lambda cloth: _within_drop(cloth, figures)),)


def flow_measures(cloth: ClothColumns, figures: Figures) -> tuple[Measure, ...]:
    """Return open area, and the pressure drop where a speed is given, with its spread."""
    if not np.isfinite(number(figures, "speed")):
        return (open_area_measure(cloth),)
    losses = _coefficients(cloth, figures)
    drop = _drop(losses, figures)
    covering = [author for author, loss in losses.items() if np.isfinite(loss).any()]
    known = np.array([np.isfinite(loss) for loss in losses.values()])
    authors = known.sum(axis=0)
    is_limited = np.isfinite(number(figures, "most_drop"))
    origin = f"of the authors who cover the flow: {', '.join(covering)}"
    return (
        open_area_measure(cloth),
        Measure("pressure drop, middle", drop.middle, "Pa", f"geometric mean {origin}", _UNCOVERED),
        Measure("pressure drop, lowest", drop.low, "Pa", f"lowest {origin}", _UNCOVERED),
        Measure("pressure drop, highest", drop.high, "Pa", f"highest {origin}", _UNCOVERED),
        Measure("pressure drop, authors", np.where(authors, authors, np.nan), "",
                "where it is one only, lowest and highest are his alone, and no spread", _UNCOVERED,
                tuple("one only, so no spread" if n == 1 else f"{n}" for n in authors),
                tuple(bool(n == 1 and is_limited) for n in authors)),
    )  # fmt: skip


def finest(
    largest: float,
    weaves: tuple[tuple[int, str], ...],
    figures: Figures,
    demands: tuple[Demand, ...],
    wire_to_pitch: float,
) -> Wanted:
    """Ask for the largest aperture that stops a size, open and yet of wire that holds."""

    def cost(cloth: ClothColumns) -> FloatArray:
        slenderness = cloth.wire_diameter_m / cloth.pitch_m
        total: FloatArray = (
            np.log(largest / cloth.aperture_m)
            + _OPEN_WEIGHT * (1.0 - cloth.open_area)
            + _HOLDS_WEIGHT * away(slenderness, wire_to_pitch)
        )
        return total

    return Wanted(
        (_LEAST_SHARE * largest, largest * (1.0 + EQUAL)),
        (0.0, largest),
        weaves,
        demands + _drop_demand(figures),
        cost,
        notes=_flow_note(figures),
    )


def finer_than(largest: float) -> Callable[[ClothColumns], BoolArray]:
    """Ask for apertures of so many metres at most."""
    return lambda cloth: cloth.aperture_m <= largest * (1.0 + EQUAL)


def _ask_filter(figures: Figures, _metal: Metal) -> Wanted:
    particle = number(figures, "particle")
    strict = figures["aperture_by"] == "tolerance"

    def stops(cloth: ClothColumns) -> BoolArray:
        widest = largest_opening(cloth.aperture_m) if strict else cloth.aperture_m
        kept: BoolArray = widest <= particle * (1.0 + EQUAL)
        return kept

    which = "the largest single opening" if strict else "the nominal aperture"
    plus = f"; it is {_ALLOWANCE}" if strict else "; single openings are larger"
    demand = Demand(
        f"a sphere of {plain(particle * 1e3)} mm is stopped: {which} is no wider (geometry){plus}",
        stops,
    )
    weaves = (
        (PLAIN, "every wire is bound at every crossing, so the apertures stay even"),
        (TWILLED, "the wire is too heavy for its pitch to be plain woven"),
    )
    return finest(particle, weaves, figures, (demand, *open_wish(figures)), _FILTER_WIRE)


def _filter_measures(cloth: ClothColumns, figures: Figures, _metal: Metal) -> tuple[Measure, ...]:
    largest = largest_opening(cloth.aperture_m) * 1e3
    return (
        Measure("largest sphere, nominal", cloth.aperture_m * 1e3, "mm", "the aperture"),
        Measure("largest sphere, single opening", largest, "mm", _ALLOWANCE, NO_ALLOWANCE),
        *flow_measures(cloth, figures),
    )


FILTRATION = Statement(
    "filtration",
    "Filtration and straining",
    (
        Figure("particle", "Smallest particle to stop", "size", "0.1 mm", needed=True,
               of_range="least", usual=(5e-6, 20e-3),
               note="as a sphere; fibres pass lengthwise"),
        Figure("aperture_by", "Aperture by", "choice", "nominal", "nominal",
               choices=("nominal", "tolerance"),
               note="whether the largest single opening must stop it too"),
        Figure("fluid", "Fluid", "choice", "water", "water", choices=tuple(flow.FLUIDS)),
        _SPEED,
        DROP,
        OPEN_AREA,
    ),
    _ask_filter,
    _filter_measures,
    ("316L", "304"),
    f"Fibres and plates pass apertures smaller than their length. {flow.CAUTION}",
    FLOW_SOURCES,
    f"fine wire has little to lose, so what stands most waters and solvents is usual ({PRACTICE})",
    tells_alone=True,
)  # fmt: skip
