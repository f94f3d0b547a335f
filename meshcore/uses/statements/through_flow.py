"""Filtration and straining, ventilation, and insect screens: what flows and what stays."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.enquiry import DOUBLE_CRIMP, INTERMEDIATE_CRIMP, PLAIN, TWILLED, WELDED
from meshcore.uses.figures import Figure
from meshcore.uses.plain import plain
from meshcore.uses.relations import flow, insects
from meshcore.uses.relations.gas import INCOMPRESSIBLE_MACH, is_incompressible
from meshcore.uses.statement import (
    EQUAL,
    NO_ALLOWANCE,
    PRACTICE,
    Demand,
    Figures,
    Measure,
    Metal,
    Statement,
    Wanted,
    away,
    least_open,
    length_range,
    number,
    open_area_measure,
    screen_columns,
)
from meshcore.weave.cloth import ClothColumns
from meshcore.weave.geometry.tolerances import largest_opening

#: Least aperture over the largest that is worth offering [-]: a judgement, no source.
_LEAST_SHARE = 0.6
#: What open area weighs beside the aperture: a judgement, no source.
_OPEN_WEIGHT = 0.4
#: Wire over pitch of cloth that is handled and cleaned, that the wind moves, and that is fixed in a
#: frame, and what it weighs to miss it: common practice, no source.
_FILTER_WIRE, _INSECT_WIRE, _AIR_WIRE, _HOLDS_WEIGHT = 0.34, 0.19, 0.15, 0.25
_FLOW_SOURCES = (
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
_USUAL_AIR, _USUAL_LIQUID = (0.01, 20.0), (1e-4, 5.0)
_SPEED = Figure("speed", "Speed ahead of the cloth", "speed", "2 m/s", of_range="greatest",
                usual=_USUAL_LIQUID, usual_by={"air": _USUAL_AIR})  # fmt: skip
_DROP = Figure("most_drop", "Pressure drop at most", "pressure", "50 Pa", usual=(0.1, 2e5),
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
        f"an author covers the flow at {plain(speed)} m/s of {_fluid_name(figures)}, and none "
        f"gives more than {plain(most)} Pa"
    )
    return (Demand(text, lambda cloth: _within_drop(cloth, figures)),)


def _flow_measures(cloth: ClothColumns, figures: Figures) -> tuple[Measure, ...]:
    if not np.isfinite(number(figures, "speed")):
        return (open_area_measure(cloth),)
    losses = _coefficients(cloth, figures)
    drop = _drop(losses, figures)
    covering = [author for author, loss in losses.items() if np.isfinite(loss).any()]
    known = np.array([np.isfinite(loss) for loss in losses.values()])
    authors = known.sum(axis=0)
    origin = f"of the authors who cover the flow: {', '.join(covering)}"
    return (
        open_area_measure(cloth),
        Measure("pressure drop, middle", drop.middle, "Pa", f"geometric mean {origin}", _UNCOVERED),
        Measure("pressure drop, lowest", drop.low, "Pa", f"lowest {origin}", _UNCOVERED),
        Measure("pressure drop, highest", drop.high, "Pa", f"highest {origin}", _UNCOVERED),
        Measure("pressure drop, authors", np.where(authors, authors, np.nan), "",
                "where it is one only, lowest and highest are his alone, and no spread", _UNCOVERED,
                tuple("one only, so no spread" if n == 1 else f"{n}" for n in authors)),
    )  # fmt: skip


def _finest(
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


def _finer_than(largest: float) -> Callable[[ClothColumns], BoolArray]:
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
    return _finest(particle, weaves, figures, (demand,), _FILTER_WIRE)


def _filter_measures(cloth: ClothColumns, figures: Figures, _metal: Metal) -> tuple[Measure, ...]:
    largest = largest_opening(cloth.aperture_m) * 1e3
    return (
        Measure("largest sphere, nominal", cloth.aperture_m * 1e3, "mm", "the aperture"),
        Measure("largest sphere, single opening", largest, "mm", _ALLOWANCE, NO_ALLOWANCE),
        *_flow_measures(cloth, figures),
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
        _DROP,
    ),
    _ask_filter,
    _filter_measures,
    ("316L", "304"),
    f"Fibres and plates pass apertures smaller than their length. {flow.CAUTION}",
    _FLOW_SOURCES,
    f"fine wire has little to lose, so what stands most waters and solvents is usual ({PRACTICE})",
    tells_alone=True,
)  # fmt: skip


def _ask_ventilation(figures: Figures, _metal: Metal) -> Wanted:
    keep, least = number(figures, "keep_out"), number(figures, "open_area")
    return _finest(
        keep,
        (
            (PLAIN, "plain weave holds this open area"),
            (DOUBLE_CRIMP, "too coarse or too heavy for plain weave, so the wires are pre-crimped"),
            (INTERMEDIATE_CRIMP, "light wire over a large aperture is held by extra crimps"),
            (WELDED, "welded crossings hold light wire over a large aperture"),
        ),
        figures,
        (
            Demand(
                f"what is {plain(keep * 1e3)} mm across stays out (geometry)", _finer_than(keep)
            ),
            least_open(least),
        ),
        _AIR_WIRE,
    )


def _air_measures(cloth: ClothColumns, figures: Figures, _metal: Metal) -> tuple[Measure, ...]:
    light = insects.light_passed(cloth.aperture_m, cloth.wire_diameter_m) * 100.0
    slanting = insects.light_passed(cloth.aperture_m, cloth.wire_diameter_m, _SLANT_RAD) * 100.0
    return (
        *_flow_measures(cloth, figures),
        Measure("light, straight", light, "%", "shadow of the wires"),
        Measure("light at 45°", slanting, "%", "shadow of the wires"),
    )


def _insect_measures(cloth: ClothColumns, figures: Figures, metal: Metal) -> tuple[Measure, ...]:
    kept = [insects.kept_out_by(float(aperture)) for aperture in cloth.aperture_m]
    smallest = np.array([out[0].aperture_m if out else np.nan for out in kept])
    largest = insects.KEPT_OUT[-1]
    return (
        Measure("keeps out", smallest * 1e3, "mm",
                "the smallest of the list whose largest aperture this is not above; young ones are "
                "smaller",
                f"nothing of the list, which ends with {largest.name} at "
                f"{plain(largest.aperture_m * 1e3)} mm",
                tuple(f"{out[0].name} and larger" if out else "" for out in kept)),
        *_air_measures(cloth, figures, metal),
    )  # fmt: skip


_SLANT_RAD = 0.25 * np.pi
VENTILATION = Statement(
    "ventilation",
    "Ventilation",
    (
        Figure(
            "keep_out",
            "Smallest thing to keep out",
            "length",
            "6 mm",
            needed=True,
            of_range="least",
            usual=(0.5e-3, 60e-3),
        ),
        Figure("open_area", "Open area at least", "share", "60 %", "60 %", usual=(0.2, 0.9)),
        Figure(
            "speed",
            "Speed of the air",
            "speed",
            "2 m/s",
            "2 m/s",
            of_range="greatest",
            usual=_USUAL_AIR,
        ),
        _DROP,
    ),
    _ask_ventilation,
    _air_measures,
    ("304", "galvanized steel"),
    flow.CAUTION,
    _FLOW_SOURCES,
    f"it stands in the weather without paint ({PRACTICE}); near the sea, name 316L",
    tells_alone=True,
)


def _ask_insects(figures: Figures, _metal: Metal) -> Wanted:
    one = next(k for k in insects.KEPT_OUT if k.name == figures["insect"])
    return _finest(
        one.aperture_m,
        ((PLAIN, "fine cloth is plain woven"), (WELDED, "welded mesh keeps out larger animals")),
        figures,
        (
            Demand(
                f"{one.name} are kept out to {plain(one.aperture_m * 1e3)} mm ({one.origin})",
                _finer_than(one.aperture_m),
            ),
        ),
        _INSECT_WIRE,
    )


INSECTS = Statement(
    "insects",
    "Insects and small animals",
    (
        Figure("insect", "What to keep out", "choice", "mosquitoes", needed=True,
               choices=tuple(k.name for k in insects.KEPT_OUT), smallest_first=True),
        Figure("speed", "Speed of the air", "speed", "1 m/s", "1 m/s", of_range="greatest",
               usual=_USUAL_AIR),
        _DROP,
    ),
    _ask_insects,
    _insect_measures,
    ("304", "aluminium 5056", "phosphor bronze 5 %"),
    insects.CAUTION,
    ("Bethke and Paine, 1991, for pests of glasshouse crops (from memory)", PRACTICE,
     *_FLOW_SOURCES),
    f"it stands in the weather without paint ({PRACTICE}); near the sea, name 316L",
    tells_alone=True,
)  # fmt: skip
__all__ = ["FILTRATION", "INSECTS", "VENTILATION", "length_range"]
