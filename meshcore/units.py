"""Units: the words that people write for them, and the one unit registry."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import TYPE_CHECKING, Literal, TypeAlias, cast

if TYPE_CHECKING:
    import pint

Kind: TypeAlias = Literal["length", "count", "share", "angle", "mass", "number"]

#: SI unit that each kind is held in; a share and a number are held as plain floats.
SI_UNIT: dict[Kind, str] = {
    "length": "m",
    "count": "1/m",
    "share": "",
    "angle": "rad",
    "mass": "kg",
    "number": "",
}
#: International inch and foot [m], exact by definition (international yard and pound, 1959).
METRES_PER_INCH = 0.0254
METRES_PER_FOOT = 0.3048
#: Unit words that people write, as pint knows them.
_UNIT_WORDS: dict[str, str] = {
    '"': "inch", "''": "inch", "″": "inch", "”": "inch", "“": "inch", "in.": "inch", "ins": "inch",
    "inches": "inch", "in": "inch", "inch": "inch", "'": "foot", "′": "foot", "’": "foot",
    "ft.": "foot", "ft": "foot", "feet": "foot", "foot": "foot", "yd": "yard", "yds": "yard",
    "mm": "mm", "mm.": "mm", "cm": "cm", "m": "m", "mtr": "m", "mtrs": "m", "metre": "m",
    "metres": "m", "meter": "m", "meters": "m", "um": "micrometer", "µm": "micrometer",
    "μm": "micrometer", "micron": "micrometer", "microns": "micrometer", "mu": "micrometer",
    "mil": "thou", "mils": "thou", "thou": "thou", "%": "percent", "pct": "percent",
    "per cent": "percent", "percent": "percent", "°": "degree", "deg": "degree",
    "degrees": "degree", "degree": "degree", "º": "degree", "kg": "kg", "lb": "lb", "lbs": "lb",
    "′′": "inch", "millimeter": "mm", "millimetre": "mm", "centimeter": "cm", "centimetre": "cm",
    "micrometer": "micrometer", "micrometre": "micrometer", "yard": "yard", "radian": "radian",
    "kilogram": "kg", "pound": "lb",
}  # fmt: skip
_COUNT_UNITS: dict[str, str] = {
    "mesh": "inch", "mesh/in": "inch", "mesh per inch": "inch", "": "",
    "per in": "inch", "per inch": "inch", "/in": "inch", "/inch": "inch", "/ in": "inch",
    "/ inch": "inch", '/"': "inch", '/ "': "inch", "1/in": "inch", "lpi": "inch", "in": "",
    "openings per inch": "inch", "per linear inch": "inch", "meshes per inch": "inch",
    "1/inch": "inch", "/cm": "cm", "/ cm": "cm", "per cm": "cm", "1/cm": "cm", "mesh/cm": "cm",
    "mesh per cm": "cm", "meshes per cm": "cm", "1/mm": "mm", "/mm": "mm", "/ mm": "mm",
    "1/m": "m", "/m": "m", "/ m": "m", "1 / meter": "m", "1 / inch": "inch",
    "1 / centimeter": "cm", "1 / millimeter": "mm",
}  # fmt: skip


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


@lru_cache(maxsize=512)
def unit_factor(unit: str, kind: Kind) -> float | None:
    """Factor from `unit` to the SI unit of `kind`; None if it is not such a unit.

    Examples
    --------
    >>> unit_factor("in", "length"), unit_factor("kg", "length"), unit_factor("/ cm", "count")
    (0.0254, None, 100.0)
    """
    word = unit.strip()
    word = word if word in _UNIT_WORDS else word.casefold()
    if kind == "count":
        per = _COUNT_UNITS.get(word)
        length = unit_factor(per, "length") if per else None
        return None if length is None else 1.0 / length
    if kind == "share" and not word:
        return None
    if kind == "number":
        return 1.0 if not word else None
    name = _UNIT_WORDS.get(word)
    if name is None:
        return None
    quantity = unit_registry().Quantity(1.0, name)
    target = SI_UNIT[kind] or "dimensionless"
    if not quantity.is_compatible_with(target):
        return None
    factor = float(quantity.to(target).magnitude)
    # Units of length and mass are exact decimals of SI; pint's last bit is not: a foot is 0.3048 m.
    return factor if kind == "angle" else float(f"{factor:.15g}")
