"""Filtration and straining, ventilation, and insect screens: what flows and what stays."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.enquiry import DOUBLE_CRIMP, INTERMEDIATE_CRIMP, PLAIN, TWILLED, WELDED
from meshcore.uses.figures import Figure
from meshcore.uses.relations import flow, insects
from meshcore.uses.statement import (
    PRACTICE,
    Figures,
    Measure,
    Metal,
    Statement,
    Wanted,
    away,
    everything,
    length_range,
    number,
    open_area_measure,
    screen_columns,
)
from meshcore.weave.cloth import ClothColumns
from meshcore.weave.geometry.tolerances import industrial_tolerance

#: Least aperture over the largest that is worth offering [-]: a judgement, no source.
_LEAST_SHARE = 0.6
#: What open area weighs beside the aperture: a judgement, no source.
_OPEN_WEIGHT = 0.4
#: Wire over pitch of cloth that is handled and cleaned, that the wind moves, and that is fixed in a
#: frame, and what it weighs to miss it: common practice, no source.
_FILTER_WIRE, _INSECT_WIRE, _AIR_WIRE, _HOLDS_WEIGHT = 0.34, 0.19, 0.15, 0.25
#: A size typed as the limit is within it, however it was computed [-].
_EQUAL = 1e-9
_FLOW_SOURCES = (
    "K. E. G. Wieghardt, Aeronautical Quarterly 4, 1953 (from memory)",
    "J. C. Armour, J. N. Cannon, AIChE Journal 14, 1968 (from memory)",
    "R. D. Blevins, Applied Fluid Dynamics Handbook, 1984, as the package fluids has it",
    "I. E. Idelchik, Handbook of Hydraulic Resistance (from memory)",
    "E. Brundrett, J. Fluids Engineering 115, 1993 (from memory)",
)
_SPEED = Figure("speed", "Speed ahead of the cloth", "speed", "2 m/s")
_DROP = Figure("most_drop", "Pressure drop at most", "pressure", "50 Pa",
               note="clean, by the highest of the authors")  # fmt: skip


def _fluid(figures: Figures) -> flow.Fluid:
    return flow.FLUIDS[str(figures.get("fluid", "air"))]


def _within_drop(cloth: ClothColumns, figures: Figures) -> BoolArray:
    speed, most = number(figures, "speed"), number(figures, "most_drop")
    if not (np.isfinite(speed) and np.isfinite(most)):
        return everything(cloth)
    drop = flow.pressure_drop(screen_columns(cloth), speed, _fluid(figures))
    inside: BoolArray = drop.high <= most
    return inside


def _drop_reason(figures: Figures) -> tuple[str, ...]:
    most = number(figures, "most_drop")
    if not (np.isfinite(most) and np.isfinite(number(figures, "speed"))):
        return ()
    return (f"no author gives more than {most:.3g} Pa at {number(figures, 'speed'):.3g} m/s",)


def _flow_measures(cloth: ClothColumns, figures: Figures) -> tuple[Measure, ...]:
    if not np.isfinite(number(figures, "speed")):
        return (open_area_measure(cloth),)
    drop = flow.pressure_drop(screen_columns(cloth), number(figures, "speed"), _fluid(figures))
    origin = "of the authors who cover the flow: " + ", ".join(flow.CORRELATIONS)
    return (
        open_area_measure(cloth),
        Measure("pressure drop, middle", drop.middle, "Pa", f"geometric mean {origin}"),
        Measure("pressure drop, lowest", drop.low, "Pa", f"lowest {origin}"),
        Measure("pressure drop, highest", drop.high, "Pa", f"highest {origin}"),
    )


def _finest(
    largest: float,
    weaves: tuple[tuple[int, str], ...],
    figures: Figures,
    reasons: tuple[str, ...],
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
        (_LEAST_SHARE * largest, largest * (1.0 + _EQUAL)),
        (0.0, largest),
        weaves,
        lambda cloth: _within_drop(cloth, figures),
        cost,
        reasons + _drop_reason(figures),
    )


def _ask_filter(figures: Figures, _metal: Metal) -> Wanted:
    particle = number(figures, "particle")
    strict = figures["aperture_by"] == "tolerance"
    # The tolerance is a share of the aperture in each band, so the aperture follows at once.
    most = particle / (1.0 + float(industrial_tolerance(np.array(particle))) / particle)
    largest = most if strict else particle
    plus = " with its tolerance" if strict else ""
    reasons = (
        f"a sphere of {particle * 1e3:.3g} mm does not pass an aperture{plus} of its size or less: "
        "the largest sphere that passes a square aperture is as wide as it (geometry)",
    )
    weaves = (
        (PLAIN, "every wire is bound at every crossing, so the apertures stay even"),
        (TWILLED, "the wire is too heavy for its pitch to be plain woven"),
    )
    return _finest(largest, weaves, figures, reasons, _FILTER_WIRE)


def _filter_measures(cloth: ClothColumns, figures: Figures, _metal: Metal) -> tuple[Measure, ...]:
    largest = (cloth.aperture_m + industrial_tolerance(cloth.aperture_m)) * 1e3
    return (
        Measure("largest sphere, nominal", cloth.aperture_m * 1e3, "mm", "the aperture"),
        Measure("largest sphere, at tolerance", largest, "mm", f"average aperture ({PRACTICE})"),
        *_flow_measures(cloth, figures),
    )


FILTRATION = Statement(
    "filtration",
    "Filtration and straining",
    (
        Figure("particle", "Smallest particle to stop", "length", "0.1 mm", needed=True,
               note="as a sphere; fibres pass lengthwise"),
        Figure("aperture_by", "Aperture by", "choice", "nominal", "nominal",
               choices=("nominal", "tolerance"), note="whether the tolerance must stop it too"),
        Figure("fluid", "Fluid", "choice", "water", "water", choices=tuple(flow.FLUIDS)),
        _SPEED,
        _DROP,
    ),
    _ask_filter,
    _filter_measures,
    ("316L", "304"),
    f"Fibres and plates pass apertures smaller than their length. {flow.CAUTION}",
    _FLOW_SOURCES,
)  # fmt: skip


def _ask_ventilation(figures: Figures, _metal: Metal) -> Wanted:
    keep, least = number(figures, "keep_out"), number(figures, "open_area")
    wanted = _finest(
        keep,
        (
            (PLAIN, "plain weave holds this open area"),
            (DOUBLE_CRIMP, "too coarse or too heavy for plain weave, so the wires are pre-crimped"),
            (INTERMEDIATE_CRIMP, "light wire over a large aperture is held by extra crimps"),
            (WELDED, "welded crossings hold light wire over a large aperture"),
        ),
        figures,
        (
            f"what is {keep * 1e3:.3g} mm across stays out (geometry)",
            f"at least {least * 100:.3g} % open",
        ),
        _AIR_WIRE,
    )

    def allowed(cloth: ClothColumns) -> BoolArray:
        good: BoolArray = (cloth.open_area >= least) & _within_drop(cloth, figures)
        return good

    return Wanted(wanted.aperture_m, wanted.wire_m, wanted.weaves, allowed, wanted.cost,
                  wanted.reasons)  # fmt: skip


def _air_measures(cloth: ClothColumns, figures: Figures, _metal: Metal) -> tuple[Measure, ...]:
    light = insects.light_passed(cloth.aperture_m, cloth.wire_diameter_m) * 100.0
    slanting = insects.light_passed(cloth.aperture_m, cloth.wire_diameter_m, _SLANT_RAD) * 100.0
    return (
        *_flow_measures(cloth, figures),
        Measure("light, straight", light, "%", "shadow of the wires"),
        Measure("light at 45°", slanting, "%", "shadow of the wires"),
    )


_SLANT_RAD = 0.25 * np.pi
VENTILATION = Statement(
    "ventilation",
    "Ventilation",
    (
        Figure("keep_out", "Smallest thing to keep out", "length", "6 mm", needed=True),
        Figure("open_area", "Open area at least", "share", "60 %", "60 %"),
        Figure("speed", "Speed of the air", "speed", "2 m/s", "2 m/s"),
        _DROP,
    ),
    _ask_ventilation,
    _air_measures,
    ("304", "galvanized steel"),
    flow.CAUTION,
    _FLOW_SOURCES,
)


def _ask_insects(figures: Figures, _metal: Metal) -> Wanted:
    one = next(k for k in insects.KEPT_OUT if k.name == figures["insect"])
    return _finest(
        one.aperture_m,
        ((PLAIN, "fine cloth is plain woven"), (WELDED, "welded mesh keeps out larger animals")),
        figures,
        (f"{one.name} are kept out to {one.aperture_m * 1e3:.3g} mm ({one.origin})",),
        _INSECT_WIRE,
    )


INSECTS = Statement(
    "insects",
    "Insects and small animals",
    (
        Figure("insect", "What to keep out", "choice", "mosquitoes", needed=True,
               choices=tuple(k.name for k in insects.KEPT_OUT)),
        Figure("speed", "Speed of the air", "speed", "1 m/s", "1 m/s"),
        _DROP,
    ),
    _ask_insects,
    _air_measures,
    ("304", "aluminium 5056", "phosphor bronze"),
    insects.CAUTION,
    ("Bethke and Paine, 1991, for pests of glasshouse crops (from memory)", PRACTICE,
     *_FLOW_SOURCES),
)  # fmt: skip
__all__ = ["FILTRATION", "INSECTS", "VENTILATION", "length_range"]
