"""What was probably meant by sizes that cannot be woven: one slip, and the cloth behind it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from meshcore.units import METRES_PER_INCH

#: A decimal that slipped, and millimetres for inches, as factors of one size.
_DECIMAL = 10.0
_MM_PER_INCH = METRES_PER_INCH / 1e-3
#: Thousandths of an inch, in which wire is often told without its unit, taken for whole ones.
_THOUSANDTH = 1e-3
#: Counts per centimetre taken for counts per inch.
_CM_PER_INCH = METRES_PER_INCH / 0.01


@dataclass(frozen=True, slots=True)
class Meaning:
    """One thing that the sizes of a line may have been meant as.

    Parameters
    ----------
    wire_m, pitch_m
        The cloth that it would be [m].
    slip
        What would have slipped, as an offer says it.
    by_gauge
        Whether it is the same number in another gauge system: no slip of the hand, so it may be
        meant although what was typed can be woven in some weave.
    swapped
        Whether both sizes stand as typed, each for the other: it goes before a slip in one of them.
    renamed
        Whether both sizes stand as typed, but an aperture was called a pitch or the other way
        round: as likely as a slip that leads to a customary cloth.
    by_decimal
        Whether a decimal slipped: the numbers are not those that were typed, so it goes behind
        what keeps them.
    """

    wire_m: float
    pitch_m: float
    slip: str
    by_gauge: bool = False
    swapped: bool = False
    renamed: bool = False
    by_decimal: bool = False


def meanings(
    typed: Mapping[str, float],
    units: Mapping[str, str] | None = None,
    gauges: Sequence[tuple[float, str]] = (),
) -> Iterator[Meaning]:
    """Yield what sizes may have been meant as, one slip each.

    Parameters
    ----------
    typed
        The two sizes that were typed, by field: ``mesh_count`` [1/m], ``pitch``, ``aperture``,
        ``wire_diameter`` [m], ``open_area`` [-].
    units
        Unit that each was typed in: ``"in"`` or ``"mm"`` of a length, ``"in"`` or ``"cm"`` of a
        count; a field that is not there is not tried in the other unit.
    gauges
        Other diameters of a wire that was typed by its gauge [m], each with its system.

    Yields
    ------
    Meanings with an open mesh. Slips: a decimal, millimetres or thousandths for inches, another
    gauge system, an aperture for a pitch or a wire and the other way round, a count by the other
    unit. Common practice, no source.

    Examples
    --------
    >>> typed = {"mesh_count": 10 / 0.0254, "wire_diameter": 6.35e-3}
    >>> for one in meanings(typed, {"wire_diameter": "in"}):
    ...     print(round(one.wire_m * 1e3, 3), "mm:", one.slip)
    0.635 mm: wire with the decimal one place to the left
    0.064 mm: wire with the decimal two places to the left
    0.25 mm: wire in mm, not in inches
    0.006 mm: wire in thousandths of an inch, not in inches
    """
    slips: list[tuple[dict[str, float], str]] = [
        ({**typed, field: typed[field] * factor}, f"{name} {slip}")
        for field, name in _NAMES.items()
        if field in typed
        for factor, slip in (*_DECIMALS[field != "mesh_count"], *_UNITS.get(
            (field == "mesh_count", (units or {}).get(field, "")), ()))
    ]  # fmt: skip
    slips += _swapped(typed)
    named = [({**typed, "wire_diameter": d}, f"wire by the {name} gauge") for d, name in gauges]
    for number, (sizes, slip) in enumerate((*slips, *named)):
        solved = _solved(sizes)
        if solved is not None and 0.0 < solved[0] < solved[1]:
            yield Meaning(*solved, slip, number >= len(slips), slip == SWAPPED, slip in _RENAMED,
                          "with the decimal" in slip)  # fmt: skip


#: The slip of sizes that were typed in each other's place.
SWAPPED = "aperture and wire the other way round"
#: The slips of a size that was called by another's name.
_RENAMED = ("pitch, not aperture", "aperture, not pitch")
_NAMES = {
    "wire_diameter": "wire",
    "aperture": "aperture",
    "pitch": "pitch",
    "mesh_count": "count",
}
_DECIMAL_SLIPPED = "with the decimal one place"
#: Factor and slip of a decimal; a count is a whole number, in which none slips.
_DECIMALS: tuple[tuple[tuple[float, str], ...], ...] = (
    (),
    (
        (1.0 / _DECIMAL, f"{_DECIMAL_SLIPPED} to the left"),
        (_DECIMAL, f"{_DECIMAL_SLIPPED} to the right"),
        (1.0 / _DECIMAL**2, "with the decimal two places to the left"),
        (_DECIMAL**2, "with the decimal two places to the right"),
    ),
)
#: Whether it is a count, and the unit typed → factor and slip of the other unit.
_UNITS: Mapping[tuple[bool, str], tuple[tuple[float, str], ...]] = {
    (False, "in"): (
        (1.0 / _MM_PER_INCH, "in mm, not in inches"),
        (_THOUSANDTH, "in thousandths of an inch, not in inches"),
    ),
    (False, "mm"): (
        (_MM_PER_INCH, "in inches, not in mm"),
        (_MM_PER_INCH * _THOUSANDTH, "in thousandths of an inch, not in mm"),
    ),
    (True, "in"): ((_CM_PER_INCH, "per cm, not per inch"),),
    (True, "cm"): ((1.0 / _CM_PER_INCH, "per inch, not per cm"),),
}


def _swapped(typed: Mapping[str, float]) -> Iterator[tuple[dict[str, float], str]]:
    """Aperture and pitch, or aperture and wire, taken for one another."""
    rest = {field: size for field, size in typed.items() if field not in ("aperture", "pitch")}
    if "aperture" in typed and "pitch" not in typed:
        yield rest | {"pitch": typed["aperture"]}, _RENAMED[0]
    if "pitch" in typed and "aperture" not in typed:
        yield rest | {"aperture": typed["pitch"]}, _RENAMED[1]
    if "aperture" in typed and "wire_diameter" in typed:
        wire, aperture = typed["aperture"], typed["wire_diameter"]
        yield {"aperture": aperture, "wire_diameter": wire}, SWAPPED


def _solved(sizes: Mapping[str, float]) -> tuple[float, float] | None:
    """Wire and pitch of two sizes; None where they are not two that fix them."""
    size = dict(sizes)
    if "mesh_count" in size:
        size["pitch"] = 1.0 / size["mesh_count"]
    for fields, solve in _PAIRS:
        if all(field in size for field in fields):
            return solve(size)
    return None


_Solve = Callable[[dict[str, float]], tuple[float, float]]
_PAIRS: tuple[tuple[tuple[str, str], _Solve], ...] = (
    (("wire_diameter", "pitch"), lambda s: (s["wire_diameter"], s["pitch"])),
    (
        ("wire_diameter", "aperture"),
        lambda s: (s["wire_diameter"], s["aperture"] + s["wire_diameter"]),
    ),
    (("aperture", "pitch"), lambda s: (s["pitch"] - s["aperture"], s["pitch"])),
)
