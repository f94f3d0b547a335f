"""GNU units (Debian package `units`): its American and imperial wire gauges.

Standing: tables kept independently of `fluids` and of this project. Its `brwiregauge` joins the
imperial sizes by straight lines between chosen numbers, which is exact at whole numbers but for
rounding; it has no steel wire or Birmingham wire gauge to compare.
"""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from meshcore.reading.sizes.gauges import GAUGES

#: Relative rounding of the fifteen figures that the program is asked to print.
PRINTED = 1e-13


def sizes_m(program: Path, function: str, numbers: list[int]) -> list[float]:
    """Sizes by one of the program's gauge functions [m]."""
    questions = "".join(f"{function}({number})\nm\n" for number in numbers)
    done = subprocess.run(
        [program, "--terse", "--digits", "15"],
        input=questions,
        check=True,
        capture_output=True,
        text=True,
        timeout=60,
    )
    return [float(line) for line in done.stdout.split()]


@pytest.mark.parametrize(
    ("name", "function"), [("American", "wiregauge"), ("imperial", "brwiregauge")]
)
def test_gauges(units_path: Path, name: str, function: str) -> None:
    gauge = next(g for g in GAUGES if g.name == name)
    numbers = sorted(gauge.diameters_m)
    here = [gauge.diameters_m[n] for n in numbers]
    assert here == pytest.approx(sizes_m(units_path, function, numbers), rel=PRINTED)
