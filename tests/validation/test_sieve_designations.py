"""Test sieves by aperture and by number, against the tables of the PyPI package `fluids`.

ISO 3310-1 and ASTM E11 as in `fluids.particle_size_distribution`; apertures of 1 mm and above,
since its wires below are mis-scaled.
"""

from __future__ import annotations

import math

import pytest
from fluids.particle_size_distribution import ASTM_E11_sieves, ISO_3310_1_sieves

import meshcore as mc
from meshcore.uses.relations.sieves import aperture_designated, sieve_numbered, sieve_of

#: Below this, its wires are mis-scaled [m].
MILLIMETRE = 1e-3
#: Up to here demo rules weave test-sieve cloth [m].
WOVEN = 20e-3
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


DESIGNATED = [(str(s.old_designation), s.opening) for s in ASTM_E11_sieves.values()]


@pytest.mark.parametrize(("designation", "opening"), DESIGNATED)
def test_every_designation_of_astm_e11_is_read(designation: str, opening: float) -> None:
    assert aperture_designated(designation.rstrip(".")) == pytest.approx(opening, rel=1e-6)
    found = mc.specify("test sieving", aperture=designation, count=1)
    if opening <= WOVEN:
        shown = f"{opening * 1e6:.3g} µm" if opening < 1e-3 else f"{opening * 1e3:.3g} mm"
        assert found.offers[0].measures["sieve"] == shown


@pytest.mark.parametrize(("one", "opening"), [
    ("#100", 150e-6), ("100 mesh", 150e-6), ("No 3½", 5.6e-3), ('1/4"', 6.3e-3), ("2 mm", None),
    ("No. 11", None), ("0.26 in", None),
])  # fmt: skip
def test_designations_as_people_write_them(one: str, opening: float | None) -> None:
    """Of ASTM E11, from memory; 2 mm is an aperture, and 11 and 0.26 in are none."""
    assert aperture_designated(one) == pytest.approx(opening or math.nan, nan_ok=True)


def test_a_sieve_that_is_none_names_its_neighbours() -> None:
    """155 µm lies between 150 and 160 µm of R20 and R40/3, ISO 565 (from memory)."""
    (message,) = mc.specify("test sieving", aperture="155 µm").messages
    assert "150 µm and 160 µm" in message.text
    (message,) = mc.specify("test sieving", aperture="No. 11").messages
    assert message.code == "use.sieve_unknown"
