"""The Monte Carlo range against quadrature, on a case that can be integrated.

No source is needed but calculus: one line whose price is m·M + L/e, metal M times a triangular
factor m and loom cost L over a triangular efficiency factor e, independent. Its mean is
M·E[m] + L·E[1/e] and its distribution function is a single integral over e of the distribution
function of m; both by scipy's adaptive quadrature.

Tolerances: four standard errors of 200,000 draws, for the mean σ/√n, for a quantile
√(q(1−q)/n)/f at the density f there; rounding to the cent adds at most half a cent.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import pytest
from costing_lines import book, lines, rate
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.stats import triang

from meshcore.costing.items import CostColumn, PricingRule, Remark
from meshcore.costing.order_columns import OrderColumns
from meshcore.costing.ranges import BudgetRange, Uncertainty, budget_range
from meshcore.costing.rates import Rates

METAL, LOOM = 700.0, 300.0
METAL_SPREAD, EFFICIENCY_SPREAD = 0.20, 0.15
DRAWS = 200_000
HALF_CENT = 0.005


def costs(_columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    efficiency = rates.figure("efficiency", "")
    yield CostColumn("metal", "lots", 1.0, "lot", rates.money("metal", "lot"))
    yield CostColumn("loom", "lots", LOOM / efficiency.values, "lot", 1.0, uses=(efficiency,))


@pytest.fixture(scope="module")
def drawn() -> BudgetRange:
    priced = book(rate("metal", METAL, "lot", "EUR"), rate("efficiency", 100.0, "%"))
    rules = [("test", PricingRule("costs", "wire", costs))]
    spreads = [
        Uncertainty("metal", METAL_SPREAD), Uncertainty("efficiency", EFFICIENCY_SPREAD)
    ]  # fmt: skip
    return budget_range(lines(1), rules, priced, spreads, draws=DRAWS, seed=11)


METAL_FACTOR = triang(0.5, loc=1 - METAL_SPREAD, scale=2 * METAL_SPREAD)
EFFICIENCY_FACTOR = triang(0.5, loc=1 - EFFICIENCY_SPREAD, scale=2 * EFFICIENCY_SPREAD)
EDGES = (1 - EFFICIENCY_SPREAD, 1 + EFFICIENCY_SPREAD)


def below(price: float) -> float:
    """Share of draws at or below a price."""

    def inner(e: float) -> float:
        return float(EFFICIENCY_FACTOR.pdf(e) * METAL_FACTOR.cdf((price - LOOM / e) / METAL))

    return float(quad(inner, *EDGES, points=[1.0], limit=200)[0])


def test_the_mean(drawn: BudgetRange) -> None:
    inverse = quad(lambda e: EFFICIENCY_FACTOR.pdf(e) / e, *EDGES, points=[1.0])[0]
    error = 4 * drawn.prices.std() / np.sqrt(DRAWS)
    assert drawn.mean == pytest.approx(METAL + LOOM * inverse, abs=error + HALF_CENT)


@pytest.mark.parametrize(("share", "quoted"), [(0.1, "p10"), (0.5, "p50"), (0.9, "p90")])
def test_the_quantiles(drawn: BudgetRange, share: float, quoted: str) -> None:
    expected = brentq(lambda price: below(price) - share, 700.0, 1400.0, xtol=1e-6)
    density = (below(expected + 1.0) - below(expected - 1.0)) / 2.0
    error = 4 * np.sqrt(share * (1 - share) / DRAWS) / density
    assert getattr(drawn, quoted) == pytest.approx(expected, abs=error + HALF_CENT)


def test_the_nominal_price_is_the_one_without_uncertainty(drawn: BudgetRange) -> None:
    assert drawn.nominal == METAL + LOOM


def test_no_draw_lies_outside_what_was_stated(drawn: BudgetRange) -> None:
    least = METAL * (1 - METAL_SPREAD) + LOOM / (1 + EFFICIENCY_SPREAD)
    most = METAL * (1 + METAL_SPREAD) + LOOM / (1 - EFFICIENCY_SPREAD)
    assert drawn.prices.min() >= least - HALF_CENT
    assert drawn.prices.max() <= most + HALF_CENT
