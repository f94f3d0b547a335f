"""Bare numbers: the unit that alone can be meant where somebody wrote none."""

from __future__ import annotations

from collections.abc import Mapping

#: Field → unit → least and greatest number that people write in it without saying so. A number
#: that fits one of them alone is read so, and said; all others are asked. Common practice, no
#: source: wire and apertures in millimetres or in inches up to a heavy screen's, in micrometres
#: below a millimetre; widths in millimetres from a narrow strip, in inches, feet, metres or
#: centimetres up to a loom's; lengths in millimetres for pieces and for rolls off a drawing.
BARE: Mapping[str, Mapping[str, tuple[float, float]]] = {
    "wire_diameter": {"mm": (0.02, 16.0), "in": (0.0008, 0.65), "µm": (16.0, 1600.0)},
    "aperture": {"mm": (0.02, 125.0), "in": (0.0008, 4.5), "µm": (18.0, 5000.0)},
    "pitch": {"mm": (0.04, 150.0), "in": (0.0015, 6.0), "µm": (18.0, 6000.0)},
    "width": {
        "mm": (5.0, 6000.0), "in": (0.25, 144.0), "ft": (0.5, 13.0), "m": (0.1, 4.0),
        "cm": (2.0, 400.0),
    },
    "length": {"mm": (60.0, 110_000.0), "in": (2.0, 150.0), "ft": (0.5, 500.0), "m": (0.2, 500.0)},
}  # fmt: skip
#: Fields in which a bare whole number up to the greatest may be a gauge.
GAUGED: Mapping[str, int] = {"wire_diameter": 60}
#: Most that is headed in this unit: above it, another unit was typed under the heading.
HEADED_MOST: Mapping[tuple[str, str], float] = {
    ("wire_diameter", "in"): 0.625,
    ("width", "in"): 240.0,
    ("width", "ft"): 20.0,
    ("width", "m"): 12.0,
    ("length", "m"): 2000.0,
}
#: Never read from a bare number alone: who means micrometres says so.
SAID = "µm"


def bare_units(field: str, value: float, metric: bool = False) -> tuple[str, ...]:
    """Return the units that a bare number may be in; empty where it fits none, or may be a gauge.

    Parameters
    ----------
    field
        The enquiry column.
    value
        The number.
    metric
        Whether the text is written as metric texts are: "w = 2", "Ø 0,5".

    Examples
    --------
    >>> bare_units("wire_diameter", 1.6), bare_units("wire_diameter", 0.025)
    (('mm',), ('mm', 'in'))
    >>> bare_units("wire_diameter", 0.5, metric=True), bare_units("width", 1220.0)
    (('mm',), ('mm',))
    """
    units = tuple(u for u, (low, high) in BARE.get(field, {}).items() if low <= value <= high)
    if metric and "mm" in units:
        return ("mm",)
    may_be_gauge = value == round(value) and value <= GAUGED.get(field, -1)
    return () if may_be_gauge else units
