"""Numbers of test sieves and their apertures: ASTM E11, as the PyPI package `fluids` carries them.

The tables hold the same figures, so they agree to the last one.
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from fluids.particle_size_distribution import ASTM_E11_sieves

from meshcore.units import METRES_PER_INCH
from meshcore.weave.specification.series import numbered_as, sieve_numbers

OPENINGS = {
    float(sum(map(Fraction, name.removeprefix("No. ").split()))): sieve.opening
    for sieve in ASTM_E11_sieves.values()
    if (name := str(sieve.old_designation)).startswith("No. ")
}


def test_each_number_has_its_aperture() -> None:
    numbers, apertures = sieve_numbers()
    own = dict(zip((numbers * METRES_PER_INCH).round(6).tolist(), apertures.tolist(), strict=True))
    assert len(own) >= 30
    assert own.keys() <= OPENINGS.keys()
    for number, aperture in own.items():
        assert aperture == pytest.approx(OPENINGS[number], rel=1e-9), number


def test_a_count_is_a_sieve_number_only_beside_its_own_aperture() -> None:
    count = np.array([325.0, 325.0, 324.0]) / METRES_PER_INCH
    assert numbered_as(count, np.array([45e-6, 44e-6, 45e-6])).tolist() == [True, False, False]
