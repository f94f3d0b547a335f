"""ASTM B258, American wire gauge: d = 0.005 in · 92^((36 − n)/39).

Standing: the formula is published and quoted from memory; the rounded sizes are those printed in
handbooks to four significant figures but no finer than 0.0001 in down to No. 40, hence the
tolerance of half the last digit.
"""

from __future__ import annotations

import pytest

from meshcore.reading.sizes.gauge_texts import read_gauge
from meshcore.reading.sizes.gauges import GAUGES
from meshcore.units import METRES_PER_INCH

AMERICAN = GAUGES[0].diameters_m


def test_defining_sizes() -> None:
    assert AMERICAN[36] == pytest.approx(0.005 * METRES_PER_INCH, rel=1e-15)
    assert AMERICAN[-3] == pytest.approx(0.46 * METRES_PER_INCH, rel=1e-15)


def test_39_equal_steps() -> None:
    steps = [AMERICAN[n] / AMERICAN[n + 1] for n in range(-3, 36)]
    assert len(steps) == 39
    assert steps == pytest.approx([92 ** (1 / 39)] * 39, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "inches"),
    [("0000 AWG", 0.4600), ("000 AWG", 0.4096), ("00 AWG", 0.3648), ("0 AWG", 0.3249),
     ("1 AWG", 0.2893), ("10 AWG", 0.1019), ("16 AWG", 0.0508), ("20 AWG", 0.0320),
     ("22 AWG", 0.0253), ("28 AWG", 0.0126)],
)  # fmt: skip
def test_printed_sizes(text: str, inches: float) -> None:
    assert read_gauge(text, "wire_diameter") == pytest.approx(
        inches * METRES_PER_INCH, abs=0.5e-4 * METRES_PER_INCH
    )
