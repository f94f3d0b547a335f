"""Every unit that is read is what pint, which defines its units apart from us, takes it for."""

from __future__ import annotations

from typing import Any

import pint
import pytest

from meshcore.units import LENGTHS_M, MASSES_KG

PINT: Any = pint.UnitRegistry()
#: A mil is a thousandth of an inch; pint has it under its other name alone.
SAME = {"mil": "thou"}


@pytest.mark.parametrize(("unit", "factor"), LENGTHS_M.items())
def test_lengths(unit: str, factor: float) -> None:
    assert factor == pytest.approx(
        PINT.Quantity(1.0, SAME.get(unit, unit)).to("m").magnitude, rel=1e-12
    )


@pytest.mark.parametrize(("unit", "factor"), MASSES_KG.items())
def test_masses(unit: str, factor: float) -> None:
    assert factor == pytest.approx(PINT.Quantity(1.0, unit).to("kg").magnitude, rel=1e-12)
