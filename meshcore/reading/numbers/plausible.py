"""What a field may plausibly hold: the windows by which readings are chosen and sizes judged.

Two windows a field. Outside the usual one a size is put up for review; outside the possible one it
is refused. Of two readings of one text, that is the one meant which alone is usual.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from meshcore.units import METRES_PER_INCH

PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Window:
    """What one field may hold, in SI units, or in the unit that ends the field's name.

    Parameters
    ----------
    usual
        Least and greatest that is ordered every day.
    possible
        Least and greatest that can be meant at all.
    finest
        Finest digit that anybody states; a reading that states a finer one is not usual.
    reason
        What the greatest and the least follow from, as a message may say it.
    origin
        Where the limits come from.
    """

    usual: tuple[float, float]
    possible: tuple[float, float]
    finest: float
    reason: str
    origin: str = PRACTICE


_MM, _UM = 1e-3, 1e-6
_PER_INCH = 1.0 / METRES_PER_INCH

_PIECE_SIDE = Window(
    (5 * _MM, 6.0), (1 * _MM, 50.0), 0.01 * _MM,
    "pieces are cut from about 5 mm to 6 m",
)  # fmt: skip
#: Windows by field; a field that depends on the form stands as "width, roll".
WINDOWS: Mapping[str, Window] = {
    "mesh_count": Window(
        (0.15 * _PER_INCH, 650 * _PER_INCH), (0.05 * _PER_INCH, 1000 * _PER_INCH), 0.0,
        "square mesh is woven from about 6 in between wires to about 635 wires to the inch",
    ),
    "pitch": Window(
        (36 * _UM, 170 * _MM), (25 * _UM, 500 * _MM), 0.01 * _UM,
        "square mesh is woven from about 6 in between wires to about 635 wires to the inch",
    ),
    "aperture": Window(
        (20 * _UM, 125 * _MM), (5 * _UM, 400 * _MM), 0.01 * _UM,
        "apertures of wire cloth run from 20 µm to 125 mm",
        "ISO 565 (from memory)",
    ),
    "wire_diameter": Window(
        (16 * _UM, 25 * _MM), (8 * _UM, 50 * _MM), 0.01 * _UM,
        "wire for square mesh runs from about 16 µm to 25 mm",
    ),
    "open_area": Window(
        (0.08, 0.96), (0.01, 0.995), 1e-5,
        "square mesh is mostly between 8 % and 96 % open",
    ),
    "width, roll": Window(
        (150 * _MM, 4.0), (50 * _MM, 12.0), 0.1 * _MM,
        "rolls are woven or slit from 150 mm to about 4 m wide",
    ),
    "width, strip": Window(
        (5 * _MM, 2.5), (1 * _MM, 12.0), 0.01 * _MM,
        "strips are slit from about 5 mm wide to the width of a roll",
    ),
    "width, piece": _PIECE_SIDE,
    "length, roll": Window(
        (0.25, 110.0), (0.05, 1000.0), 1 * _MM,
        "rolls hold up to about 100 m; more cannot be handled",
    ),
    "length, strip": Window(
        (10 * _MM, 310.0), (1 * _MM, 2000.0), 0.1 * _MM,
        "strip is coiled up to about 300 m, joined; more cannot be handled",
    ),
    "length, piece": _PIECE_SIDE,
    "dimensions": Window(
        (1 * _MM, 6.0), (0.1 * _MM, 50.0), 0.01 * _MM,
        "pieces are cut from a few millimetres to about 6 m",
    ),
    "quantity, roll": Window(
        (1, 500), (1, 10_000), 1, "an order is of a few hundred rolls at most",
    ),
    "quantity, strip": Window(
        (1, 50_000), (1, 1_000_000), 1, "an order is of some thousands of strips at most",
    ),
    "quantity, piece": Window(
        (1, 1_000_000), (1, 50_000_000), 1, "an order is of a million pieces at most",
    ),
    "temperature_c": Window(
        (15.0, 1300.0), (-196.0, 1400.0), 0.1,
        "metal in hot air is between room temperature and about 1,300 °C",
    ),
    "water_temperature_c": Window(
        (0.0, 100.0), (-20.0, 250.0), 0.1, "water is liquid from 0 °C to 100 °C at the open air",
    ),
    "chloride_mg_l": Window(
        (1.0, 200_000.0), (0.0, 360_000.0), 0.1,
        "from clean fresh water to brine, saturated at about 190 g/l of chloride",
    ),
    "distance_to_sea_m": Window(
        (1.0, 1_000_000.0), (0.0, 3_000_000.0), 0.1, "nowhere on land is 3,000 km from the sea",
    ),
    "distance_to_salted_road_m": Window(
        (1.0, 100_000.0), (0.0, 1_000_000.0), 0.1, "a distance to a road, to the metre at best",
    ),
    "so2_ug_m3": Window(
        (1.0, 250.0), (0.0, 5000.0), 0.1,
        "yearly means run from 1 µg/m³ in clean air to 250 µg/m³ beside a works",
        "EN 1993-1-4 Annex A goes to 250 µg/m³ (from memory)",
    ),
    "angle": Window(
        (0.0, 2.0 * math.pi), (-2.0 * math.pi, 2.0 * math.pi), 0.0, "a full turn is 360°",
    ),
    "hours": Window((1.0, 1_000_000.0), (0.0, 10_000_000.0), 0.1, "hours to the hour at best"),
    "years_wanted": Window((0.5, 100.0), (0.0, 500.0), 0.1, "a life in years"),
}  # fmt: skip


def window(field: str, form: str = "") -> Window | None:
    """Return the window of a field, for a form where it depends on it; None where it has none.

    Examples
    --------
    >>> window("width", "roll").usual
    (0.15, 4.0)
    >>> window("note") is None
    True
    """
    return WINDOWS.get(f"{field}, {form}") or WINDOWS.get(field)


def is_usual(field: str, value: float, digit: float = 0.0, form: str = "") -> bool:
    """Whether a reading is ordered every day, so that it may be chosen over one that is not.

    Parameters
    ----------
    field, form
        The enquiry column, or service condition, and the form where it is known.
    value
        What was read, in the unit of the field's `Window`.
    digit
        Value of the last digit that this reading states, in the same unit.

    Returns
    -------
    Whether it is inside the usual window and states no finer digit than anybody does. A field
    without a window has none by which to choose, and every reading of it is usual.

    Examples
    --------
    "1.220 mm" as the width of a roll, read as a decimal and as thousands:

    >>> is_usual("width", 1.22e-3, 1e-6, "roll"), is_usual("width", 1.220, 1e-3, "roll")
    (False, True)
    """
    known = window(field, form)
    if known is None:
        return True
    least, greatest = known.usual
    return least <= value <= greatest and (digit <= 0.0 or digit >= known.finest * (1.0 - _DUST))


#: Relative slack for the arithmetic of a digit typed just as fine as is stated.
_DUST = 1e-6


def is_possible(field: str, value: float, form: str = "") -> bool:
    """Whether a value can be meant at all.

    Examples
    --------
    >>> is_possible("width", 1.22e-3, "roll"), is_possible("temperature_c", 1050.0)
    (False, True)
    """
    known = window(field, form)
    return known is None or known.possible[0] <= value <= known.possible[1]
