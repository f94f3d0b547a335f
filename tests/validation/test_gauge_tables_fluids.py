"""Wire gauge tables of the PyPI package `fluids` (Machinery's Handbook, 2012, as it states).

Standing: an independent copy. Its "BSWG" is the imperial standard gauge, its "SWG" the steel wire
gauge. Tables must agree to the figure printed, except where a disagreement is listed below with
the reason why the value here stands.
"""

from __future__ import annotations

import pytest
from fluids.piping import t_from_gauge, wire_schedules

from meshcore.reading.sizes.gauges import GAUGES
from meshcore.units import METRES_PER_INCH

#: System here → the name that `fluids` gives it.
THEIR_NAME = {"American": "AWG", "imperial": "BSWG", "steel wire": "SWG", "Birmingham": "BWG"}
#: How `fluids` writes the gauges of more than one nought: 1/2 for 00 up to 1/7 for 7/0, rounded.
NOUGHTS = {0.5: -1, 0.33: -2, 0.25: -3, 0.2: -4, 0.167: -5, 0.143: -6}

#: (system, number): (inches here, inches there). Imperial 28: GNU units has 0.0148 too, which keeps
#: the step of 0.0016 from No. 26 to 27. American 38: the formula of ASTM B258 gives 0.0039652, to
#: be printed 0.00397 by that standard's own rounding; the handbook cut it short.
DISAGREEMENTS = {("imperial", 28): (0.0148, 0.0149), ("American", 38): (0.0039652, 0.00396)}


def number_of(theirs: float) -> int:
    return NOUGHTS.get(theirs, int(theirs))


CASES = [
    (gauge, theirs) for gauge in GAUGES for theirs in wire_schedules[THEIR_NAME[gauge.name]][0]
]


@pytest.mark.parametrize(("gauge", "theirs"), CASES, ids=lambda v: getattr(v, "name", str(v)))
def test_table(gauge: object, theirs: float) -> None:
    assert isinstance(gauge, type(GAUGES[0]))
    number = number_of(theirs)
    printed = t_from_gauge(theirs, SI=False, schedule=THEIR_NAME[gauge.name])
    here = gauge.diameters_m[number] / METRES_PER_INCH
    if (gauge.name, number) in DISAGREEMENTS:
        assert DISAGREEMENTS[gauge.name, number] == pytest.approx((here, printed), rel=1e-5)
        return
    if gauge.name != "American":
        assert here == pytest.approx(printed, rel=1e-9)
        return
    # Theirs are rounded to four places, from No. 31 to five; the formula is not.
    last_digit = 1e-4 if number < 31 else 1e-5
    assert here == pytest.approx(printed, abs=0.5001 * last_digit)


def test_tables_are_of_one_length() -> None:
    """Nothing there is missing here; ours goes on from No. 50 to 56 by the formula."""
    lengths = {g.name: len(wire_schedules[THEIR_NAME[g.name]][0]) for g in GAUGES}
    assert lengths == {g.name: len(g.diameters_m) - 6 * (g.name == "American") for g in GAUGES}
