"""Test sieves by aperture and by number, against the tables of the PyPI package `fluids`.

ISO 3310-1 and ASTM E11 as in `fluids.particle_size_distribution`; apertures of 1 mm and above,
since its wires below are mis-scaled.
"""

from __future__ import annotations

import pytest
from fluids.particle_size_distribution import ASTM_E11_sieves, ISO_3310_1_sieves

from meshcore.uses.relations.sieves import sieve_numbered, sieve_of

#: Below this, its wires are mis-scaled [m].
MILLIMETRE = 1e-3
COARSE = sorted(
    (s.opening, s.d_wire) for s in ISO_3310_1_sieves.values() if s.opening >= MILLIMETRE
)
_NAMES = [(str(s.old_designation).partition("No.")[2].strip(), s.opening)
          for s in ASTM_E11_sieves.values()]  # fmt: skip
NUMBERED = sorted((int(name), opening) for name, opening in _NAMES if name.isdecimal())


@pytest.mark.parametrize(("opening", "wire"), COARSE)
def test_every_sieve_of_the_standard_is_found(opening: float, wire: float) -> None:
    found = sieve_of(round(opening, 7))
    assert found is not None
    assert found.wire_m == pytest.approx(wire, rel=0.02)


@pytest.mark.parametrize(("number", "opening"), NUMBERED)
def test_numbers_are_those_of_astm_e11(number: int, opening: float) -> None:
    found = sieve_numbered(number)
    assert found is None or found.aperture_m == pytest.approx(opening, rel=1e-3)


def test_most_numbers_are_known() -> None:
    known = [number for number, _ in NUMBERED if sieve_numbered(number)]
    assert len(known) >= 0.9 * len(NUMBERED)
