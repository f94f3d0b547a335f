"""Tolerances against GOST 6613-86, woven cloth with square meshes of non-ferrous wire.

Rows as a published extract of the standard's table has them: wire and its deviation, aperture and
the deviation of its average, all in mm; where the table joins cells, the value stands for each row.
The standard has steps where a formula is smooth, which parts the two by up to 45 %; what is held
against it is that neither is a multiple of the other. ISO 4782 and ISO 4783 were looked for and not
found in print, so their classes are not held against anything.
"""

from __future__ import annotations

import numpy as np

from meshcore.weave.geometry.tolerances import (
    WIRE_TOLERANCE_FROM_M,
    WIRE_TOLERANCE_MM,
    industrial_tolerance,
    wire_tolerance,
)

ROWS = np.array(
    [
        (0.030, 0.003, 0.040, 0.003), (0.036, 0.003, 0.050, 0.003), (0.040, 0.003, 0.063, 0.004),
        (0.050, 0.003, 0.071, 0.004), (0.055, 0.003, 0.080, 0.004), (0.060, 0.004, 0.100, 0.005),
        (0.080, 0.004, 0.125, 0.006), (0.090, 0.004, 0.140, 0.007), (0.100, 0.005, 0.160, 0.007),
        (0.120, 0.005, 0.200, 0.008), (0.140, 0.005, 0.280, 0.011), (0.160, 0.005, 0.400, 0.016),
        (0.200, 0.008, 0.450, 0.018), (0.250, 0.008, 0.500, 0.020), (0.300, 0.008, 0.630, 0.030),
        (0.300, 0.008, 0.800, 0.030), (0.400, 0.012, 1.000, 0.040), (0.400, 0.012, 1.250, 0.040),
        (0.500, 0.015, 1.600, 0.060), (0.500, 0.015, 2.500, 0.090),
    ]
)  # fmt: skip
WIRE, WIRE_OFF, APERTURE, APERTURE_OFF = ROWS.T * 1e-3
#: How far steps and formula may part [-].
STEPS = 0.45


def test_wire_is_drawn_as_closely_as_weavers_of_fine_cloth_ask() -> None:
    covered = WIRE >= WIRE_TOLERANCE_FROM_M
    ratio = WIRE_OFF[covered] / wire_tolerance(WIRE[covered])
    assert (np.abs(np.log(ratio)) <= np.log1p(STEPS)).all()
    assert np.isnan(wire_tolerance(WIRE[~covered])).all()


def test_the_formula_carried_on_is_no_multiple_of_what_is_asked_of_finer_wire() -> None:
    """Below 0.05 mm nothing is told, though the formula would be near: 2.6 of 3 µm at 30 µm."""
    carried = WIRE_TOLERANCE_MM * np.sqrt(WIRE * 1e3) * 1e-3
    assert (np.abs(np.log(WIRE_OFF / carried)) <= np.log1p(STEPS)).all()


def test_bands_of_the_average_aperture_are_looser_but_no_multiple() -> None:
    ratio = industrial_tolerance(APERTURE) / APERTURE_OFF
    assert (ratio >= 1.0).all()
    assert (ratio <= 2.0).all()
