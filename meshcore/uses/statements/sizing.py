"""Sizing and screening."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.enquiry import DOUBLE_CRIMP, INTERMEDIATE_CRIMP, LOCK_CRIMP, PLAIN, TWILLED
from meshcore.uses.figures import Figure
from meshcore.uses.plain import plain
from meshcore.uses.relations import screening
from meshcore.uses.statement import (
    OPEN_AREA,
    PRACTICE,
    Demand,
    Figures,
    Measure,
    Metal,
    Statement,
    Wanted,
    away,
    length_range,
    number,
    open_area_measure,
    open_wish,
)
from meshcore.weave.cloth import ClothColumns

#: Wire over aperture by the duty of a screen: common practice, no source.
DUTIES = {"light": (0.12, 0.30), "medium": (0.22, 0.42), "heavy": (0.34, 0.65)}
#: Below this aperture wires are heavier for their aperture [m], and by how much: common practice.
_FINE_APERTURE_M, _FINE_WIRE = 2e-3, 1.5
#: How near the cut has to come to the one asked for [-]: a judgement, no source.
_CUT_WITHIN = 0.08
#: Aperture over cut size that is looked at [-].
_APERTURE_TO_CUT = (1.0, 2.0)
#: Share of near-size feed from which a screen is hard to keep open: common practice, no source.
_MUCH_NEAR_SIZE = 0.20
#: What open area weighs beside the cut, dry, and where the feed clings: a judgement, no source.
_OPEN_WEIGHT = {"dry": 0.2, "damp": 0.8, "wet": 0.4}
#: Particle whose passage tells what a cloth carries, of the cut size [-]: half of it, which a feed
#: has most of below the cut (a judgement, no source).
_CARRIED = 0.5
#: What capacity weighs beside the cut, and what wear life does by duty, by the logarithms of both:
#: judgements, no source.
_CAPACITY_WEIGHT, _WEAR_WEIGHT = 0.05, {"light": 0.0, "medium": 0.02, "heavy": 0.10}
#: Wire over cut size, and over aperture, of the cloth that wear is told beside [-] (our choice).
_BESIDE = 0.3
#: Below this, half of the cut size passes only apertures of more than twice it, which no deck has
#: [-]: a judgement, no source.
_LEAST_TRIALS = 5
_WEAVES = (
    (DOUBLE_CRIMP, "pre-crimped wires keep the aperture exact under vibration"),
    (INTERMEDIATE_CRIMP, "so light a wire over the aperture is held by extra crimps"),
    (PLAIN, "too fine to be pre-crimped"),
    (TWILLED, "too fine to be pre-crimped, and too heavy for plain weave"),
    (LOCK_CRIMP, "wires locked at the crossings, for large lumps"),
)

_GAUDIN = "chance of passage, Gaudin 1939"
_TOO_STEEP = (
    "the deck is inclined by more than 45°, or leaves less than half of the aperture to what falls "
    "straight down: what slides along the wires has another chance"
)
FIGURES = (
    Figure("cut_size", "Cut size", "size", "6 mm", needed=True, usual=(30e-6, 0.15),
           note='half of the particles of this size pass; also a sieve, as "No. 4"'),
    Figure("feed", "Feed", "choice", "dry", "dry", choices=("dry", "damp", "wet")),
    Figure("duty", "Duty", "choice", "medium", "medium", choices=tuple(DUTIES)),
    Figure("inclination", "Inclination", "angle", "20°", "20°", note="of the deck, to 45°",
           most=screening.STEEPEST_RAD, usual=(0.0, np.deg2rad(30.0))),
    Figure("trials", "Trials", "number", "60", "60",
           note="how often a particle meets the cloth: 3 m of deck in hops of 50 mm",
           whole=True, least=_LEAST_TRIALS, usual=(10.0, 1000.0),
           why=": with fewer the aperture would have to be more than twice the cut"),
    Figure("near_size", "Near-size share", "share", "15 %",
           note="of the feed between ¾ and 1¼ of the aperture as the deck is inclined",
           usual=(0.0, 0.7)),
    OPEN_AREA,
)  # fmt: skip


def _cut(cloth: ClothColumns, figures: Figures) -> FloatArray:
    return screening.cut_size(
        cloth.aperture_m,
        cloth.wire_diameter_m,
        number(figures, "inclination"),
        number(figures, "trials"),
    )


def _carried(cloth: ClothColumns, figures: Figures) -> FloatArray:
    """Chance in one trial of a particle well below the cut [-]: what capacity goes with."""
    return screening.passage_chance(
        _CARRIED * number(figures, "cut_size"),
        cloth.aperture_m,
        cloth.wire_diameter_m,
        number(figures, "inclination"),
    )


def _wears(cloth: ClothColumns, figures: Figures) -> FloatArray:
    """Wear life beside a cloth whose aperture is the cut and whose wire is 0.3 of it [-]."""
    beside = (_BESIDE * number(figures, "cut_size"), (1.0 + _BESIDE) ** -2)
    return screening.relative_wear_life(cloth.wire_diameter_m, cloth.open_area, beside)


def _ask(figures: Figures, _metal: Metal) -> Wanted:
    cut, feed, duty = number(figures, "cut_size"), str(figures["feed"]), str(figures["duty"])
    least, most = _APERTURE_TO_CUT
    aperture = (least * cut, most * cut)
    low, high = DUTIES[duty]
    slope = np.rad2deg(number(figures, "inclination"))

    def cuts(cloth: ClothColumns) -> BoolArray:
        near: BoolArray = away(_cut(cloth, figures), cut) <= np.log1p(_CUT_WITHIN)
        return near

    def lasts(cloth: ClothColumns) -> BoolArray:
        fine = np.where(cloth.aperture_m < _FINE_APERTURE_M, _FINE_WIRE, 1.0)
        ratio = cloth.wire_diameter_m / cloth.aperture_m
        good: BoolArray = (ratio >= low * fine) & (ratio <= high * fine)
        return good

    def cost(cloth: ClothColumns) -> FloatArray:
        total: FloatArray = (
            2.0 * away(_cut(cloth, figures), cut)
            + _OPEN_WEIGHT[feed] * (1.0 - cloth.open_area)
            - _CAPACITY_WEIGHT * np.log(_carried(cloth, figures))
            - _WEAR_WEIGHT[duty] * np.log(_wears(cloth, figures))
        )
        return total

    return Wanted(
        aperture,
        (low * aperture[0], high * _FINE_WIRE * aperture[1]),
        _WEAVES,
        (
            Demand(
                f"the aperture is larger than the cut of {plain(cut * 1e3)} mm, and the size of "
                f"which half passes in {number(figures, 'trials'):.0f} trials at {slope:.0f}° lies "
                f"within {_CUT_WITHIN:.0%} of it (chance of passage, Gaudin 1939)",
                cuts,
            ),
            Demand(
                f"wire {low:.2g} to {high:.2g} of the aperture for {duty} duty, {_FINE_WIRE:g} "
                f"times that below {_FINE_APERTURE_M * 1e3:g} mm ({PRACTICE})",
                lasts,
            ),
            *open_wish(figures),
        ),
        cost,
        hints=_hints(figures),
        customary=0.0,
    )


def _hints(figures: Figures) -> tuple[str, ...]:
    hints = []
    if number(figures, "near_size") >= _MUCH_NEAR_SIZE:
        hints.append(
            "much near-size feed pegs square apertures: more deck, a slot or a self-cleaning "
            f"screen ({PRACTICE})"
        )
    if figures["feed"] == "damp":
        hints.append(f"damp fines blind cloth: wash it, heat it, or take lighter wire ({PRACTICE})")
    return tuple(hints)


def _measures(cloth: ClothColumns, figures: Figures, _metal: Metal) -> tuple[Measure, ...]:
    near = screening.NEAR_SIZE[0] * screening.projected_aperture(
        cloth.aperture_m, cloth.wire_diameter_m, number(figures, "inclination")
    )
    of_cut = _of_cut(cloth, figures) if np.isfinite(number(figures, "cut_size")) else ()
    return (
        Measure("cuts at", _cut(cloth, figures) * 1e3, "mm", f"half pass; {_GAUDIN}", _TOO_STEEP),
        *of_cut[:1],
        open_area_measure(cloth),
        *of_cut[1:],
        Measure("near-size from", near * 1e3, "mm", "¾ of the aperture as the deck is inclined",
                _TOO_STEEP),
    )  # fmt: skip


def _of_cut(cloth: ClothColumns, figures: Figures) -> tuple[Measure, ...]:
    """Return what cloth does for a cut that is named."""
    chance = screening.passage_chance(
        number(figures, "cut_size"), cloth.aperture_m, cloth.wire_diameter_m,
        number(figures, "inclination"),
    )  # fmt: skip
    passed = screening.share_passed(chance, number(figures, "trials")) * 100.0
    return (
        Measure("passes of the cut size", passed, "%", _GAUDIN, _TOO_STEEP),
        Measure("half that size passes each time", _carried(cloth, figures) * 100.0, "%",
                "chance of passage in one trial, Gaudin 1939; capacities compare as these do",
                _TOO_STEEP),
        Measure("life beside wire of 0.3 of the cut", _wears(cloth, figures), "×",
                "Archard 1953, a comparison only"),
    )  # fmt: skip


STATEMENT = Statement(
    "screening",
    "Sizing and screening",
    FIGURES,
    _ask,
    _measures,
    ("carbon steel", "304"),
    screening.CAUTION,
    (
        "A. M. Gaudin, Principles of Mineral Dressing, 1939 (from memory)",
        "J. F. Archard, Contact and rubbing of flat surfaces, 1953 (from memory)",
    ),
    f"a dry feed does not rust it, and it wears least for its price ({PRACTICE})",
    (
        "304",
        f"a damp or wet feed rusts carbon steel, and zinc wears off; stainless steel stands plain "
        f"water ({PRACTICE}); with salt or acid in it, compare alloys for the service",
    ),
    tells_alone=True,
)
__all__ = ["DUTIES", "FIGURES", "STATEMENT", "length_range"]
