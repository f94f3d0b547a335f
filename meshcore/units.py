"""Units: what each is in SI, and the one unit registry. Words for them are in the word files."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Literal, TypeAlias, cast

if TYPE_CHECKING:
    import pint

#: Kinds of size, held inside in m, 1/m, a plain share, rad, kg and a plain number.
Kind: TypeAlias = Literal["length", "count", "share", "angle", "mass", "number"]

#: International inch and foot [m], exact by definition (international yard and pound, 1959).
METRES_PER_INCH = 0.0254
METRES_PER_FOOT = 0.3048
#: Length [m], mass [kg] and angle [rad] of each unit; exact by definition, save the angle.
LENGTHS_M: Mapping[str, float] = {
    "mm": 1e-3, "cm": 1e-2, "dm": 1e-1, "m": 1.0, "km": 1e3, "µm": 1e-6, "in": METRES_PER_INCH,
    "ft": METRES_PER_FOOT, "yd": 0.9144, "thou": 2.54e-5, "mil": 2.54e-5, "mi": 1609.344,
    "nmi": 1852.0,
}  # fmt: skip
MASSES_KG: Mapping[str, float] = {
    "kg": 1.0, "g": 1e-3, "t": 1e3, "lb": 0.45359237, "oz": 0.028349523125,
}  # fmt: skip
AREAS_M2: Mapping[str, float] = {
    "m2": 1.0, "cm2": 1e-4, "mm2": 1e-6, "ft2": METRES_PER_FOOT**2, "in2": METRES_PER_INCH**2,
}  # fmt: skip
SPEEDS_M_S: Mapping[str, float] = {
    "m/s": 1.0, "cm/s": 0.01, "m/min": 1 / 60, "ft/s": METRES_PER_FOOT,
    "ft/min": METRES_PER_FOOT / 60, "km/h": 1 / 3.6, "m/h": 1 / 3600,
}  # fmt: skip
ANGLES_RAD: Mapping[str, float] = {"deg": 0.017453292519943295, "rad": 1.0}
SHARES: Mapping[str, float] = {"%": 0.01, "1": 1.0}


@cache
def unit_registry() -> pint.UnitRegistry[float]:
    """Return the one unit registry of the package.

    Examples
    --------
    >>> f"{unit_registry()('2 inch').to('mm').magnitude:.1f}"
    '50.8'
    """
    import pint  # noqa: PLC0415 - heavy: loaded when a unit is first read

    return cast("pint.UnitRegistry[float]", pint.get_application_registry())  # type: ignore[no-untyped-call]
