"""What a screen or a report sums up: totals of a list, and the path rules compared."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from meshcore.arrays import BoolArray, FloatArray
from meshcore.weave.cloth import by_alloy
from meshcore.weave.geometry.mass import mass_per_area
from meshcore.weave.geometry.path import cloth_path

if TYPE_CHECKING:
    from meshcore.costing.ledger import Ledger
    from meshcore.estimates.results import EstimateSet


class ListTotals(NamedTuple):
    """Lines by status, and sums over the lines that have a price.

    Parameters
    ----------
    lines, ok, review, refused
        Number of lines, in all and by status.
    mass_kg
        Mass delivered [kg].
    price, price_min, price_max
        At nominal size and at the delivery tolerances, in `currency`.
    currency, digits
        ISO 4217 code, and the decimal places of its minor unit.
    """

    lines: int
    ok: int
    review: int
    refused: int
    mass_kg: float
    price: float
    price_min: float
    price_max: float
    currency: str
    digits: int


def list_totals(estimates: EstimateSet) -> ListTotals:
    """Sum a priced list up; refused lines and options count as lines, and add nothing.

    Examples
    --------
    >>> import meshcore as mc
    >>> import pandas as pd
    >>> lines = pd.DataFrame({"mesh_count": "10 / in", "wire_diameter": "0.025 in",
    ...                       "alloy": ["304", "unobtainium"], "form": "roll",
    ...                       "width": "48 in", "length": "100 ft", "quantity": 3})
    >>> totals = list_totals(mc.estimate_list(lines))
    >>> totals.lines, totals.ok, totals.refused, round(totals.mass_kg, 1)
    (2, 1, 1, 227.5)
    """
    rank = estimates.log.rank()
    ok, review, refused = (int((rank == n).sum()) for n in range(3))
    kept = ~estimates.log.refused() & ~estimates.options
    return ListTotals(
        lines=len(estimates),
        ok=ok,
        review=review,
        refused=refused,
        mass_kg=math.fsum(estimates.orders.net_mass_kg[kept].tolist()),
        price=_sum(estimates.ledger.price_minor, estimates.ledger, kept),
        price_min=_sum(estimates.price_low_minor, estimates.ledger, kept),
        price_max=_sum(estimates.price_high_minor, estimates.ledger, kept),
        currency=estimates.book.currency,
        digits=estimates.ledger.digits,
    )


def _sum(minor: FloatArray, ledger: Ledger, kept: BoolArray) -> float:
    """Sum of prices in whole minor units, so that no cent is lost."""
    return math.fsum(minor[kept & ledger.priced].tolist()) / 10.0**ledger.digits


class PathComparison(NamedTuple):
    """Mass per area by each path rule [kg/m²], and how far the flat rule is off the arc [-]."""

    arc_kg_m2: FloatArray
    flat_kg_m2: FloatArray
    flat_over_arc: FloatArray


def weighed_shares(estimates: EstimateSet) -> FloatArray:
    """Mass of each line over what is reckoned of its cloth [-]: 1 where nothing was weighed."""
    cloth = estimates.orders.cloth
    density = by_alloy(cloth, lambda alloy: alloy.density_kg_m3)
    reckoned = mass_per_area(cloth.wire_diameter_m, cloth.pitch_m, cloth.path_ratio, density)
    shares: FloatArray = estimates.mass_per_area_kg_m2 / reckoned
    return shares


def path_comparison(estimates: EstimateSet) -> PathComparison:
    """Compare the arc path of each weave with the flat 3 % crimp allowance, line by line.

    The rule by which the lines are reckoned bears what was weighed, as their mass and price do.

    Examples
    --------
    >>> import meshcore as mc
    >>> e = mc.estimate(mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
    ...                            form=mc.Roll(width="48 in", length="100 ft")))
    >>> compared = path_comparison(e.estimates)
    >>> [round(float(column[0]), 4) for column in compared]
    [2.041, 2.0367, -0.0021]
    """
    cloth = estimates.orders.cloth
    density = by_alloy(cloth, lambda alloy: alloy.density_kg_m3)
    wire, pitch = cloth.wire_diameter_m, cloth.pitch_m
    path = cloth_path(cloth.weave, wire, pitch, path_model="arc")
    arc = mass_per_area(wire, pitch, path.path_ratio, density)
    flat = estimates.flat_rule_mass_per_area_kg_m2()
    weighed = weighed_shares(estimates)
    if estimates.path_model == "arc":
        arc = arc * weighed
    else:
        flat = flat * weighed
    return PathComparison(arc, flat, flat / arc - 1.0)
