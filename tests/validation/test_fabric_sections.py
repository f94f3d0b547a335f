"""Section per width of square welded fabric, as its names give it (BS 4483, from memory).

A142 is 6 mm at 200 mm and has 142 mm² per metre; the names round to whole square millimetres.
"""

from __future__ import annotations

import pytest

from meshcore.uses.relations.carrying import steel_per_width


@pytest.mark.parametrize(("wire_mm", "section"), [(5, 98), (6, 142), (7, 193), (8, 252), (10, 393)])
def test_square_fabric(wire_mm: float, section: float) -> None:
    assert steel_per_width(wire_mm * 1e-3, 0.2) * 1e6 == pytest.approx(section, abs=1.0)
